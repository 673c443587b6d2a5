//! What the checks of a loudspeaker's place compare, by best estimates, as plain numbers: a
//! finder lays them over every wall and the ceiling at once.
//!
//! Directions come from the layout's own limits, and what is in the way from the neighbours
//! that the checks ask about, so that a place clear of all of it is one that no check refuses.

use std::rc::Rc;

use analysis::{
    Analysis, Known, Means, Missing, Reads, Uncertain, Vector2, WallRect, importance_of, item_label,
};
use geometry::{Ceiling, Rect};
use model::{
    Edit, Fixture, FixtureKind, FromWall, Hung, Item, Kit, LoudspeakerForm, LoudspeakerKit,
    LoudspeakerPattern, OnWall, OpeningKind, Space, SpaceKind,
};

use super::placing_framing::{UnderCeiling, bars_across, behind_board, blocks, framed, joists};
use crate::cables::{ceiling_clear, on_wall_clear};
use crate::cut_out::{self, CutOut, is_cut_in};
use crate::floor_space::{Case, KeptOff, Why, kept_off};
use crate::in_ceiling::{Footprint, on_ceiling};
use crate::listening::{audience, is_overhead, position};
use crate::neighbours::{Hanging, best, leaf, opening_subject, outlines};
use crate::obstacles::{Thing, is_picture};
use crate::picture::picture_clear;
use crate::plate::reuses;
use crate::sound::{
    channel_azimuth, channel_elevation, dipole_null, floor_clear, height_separation,
    loudspeaker_aim,
};
use crate::{Finding, find};

/// The checks that judge where a loudspeaker is.
pub const LOUDSPEAKER_CHECKS: [&str; 11] = [
    "channel-azimuth",
    "channel-elevation",
    "height-separation",
    "dipole-null",
    "floor-clear",
    "on-wall-clear",
    "picture-clear",
    "cutout-framing",
    "cutout-fire-block",
    "cavity-depth",
    "ceiling-clear",
];

/// Who listens.
#[derive(Clone, Debug)]
pub struct Listener {
    /// The seat's id.
    pub seat: String,
    /// Its ear, m.
    pub ear_m: [f64; 3],
    /// What is looked at, in plan, m.
    pub faced_m: [f64; 2],
    /// How far beyond a range a channel may be heard here, rad.
    pub allowance_rad: f64,
    /// How much it counts.
    pub importance: f64,
    /// Whether layouts are meant for it.
    pub is_main: bool,
}

/// The directions that a layout has for a channel.
#[derive(Clone, Debug)]
pub struct Directions {
    /// The layout's own label of the channel.
    pub channel: &'static str,
    /// The printed azimuth, rad, positive to the left.
    pub azimuth_rad: Option<f64>,
    /// The printed elevation, rad.
    pub elevation_rad: Option<f64>,
    /// Allowed azimuths at the main seat, from the right end to the left, rad.
    pub azimuths_rad: Option<[f64; 2]>,
    /// Allowed angles up at the main seat, rad.
    pub heights_rad: Option<[f64; 2]>,
    /// Whether the angle up is seen from the side.
    pub side_view: bool,
    /// Whether it plays above the listeners.
    pub is_overhead: bool,
    /// The side that its name tells where no azimuth is printed: 1 left, -1 right, 0 neither.
    pub side: f64,
}

/// A loudspeaker that one has to be told apart from.
#[derive(Clone, Debug)]
pub struct Apart {
    /// Its item.
    pub item: String,
    /// What it is called.
    pub label: String,
    /// Where it sounds from, m.
    pub at_m: [f64; 3],
}

/// How something is in the way of the middle p of what is placed on a surface, m.
#[derive(Clone)]
pub enum Bar {
    /// Everywhere.
    Everywhere,
    /// Where n · p ≤ k for each `[n₀, n₁, k]`.
    Sides(Vec<[f64; 3]>),
    /// Where the outside, of these halves, is nearer than a gap to a rectangle.
    Near {
        /// The rectangle.
        rect: Rect,
        /// The gap, m.
        gap_m: f64,
        /// Places at which the outside hides the rectangle, or lies within it, and may.
        but: Option<Rect>,
    },
    /// Where a clearance, convex over the places around it, is below a gap.
    Clearance {
        /// The clearance at a place, m.
        of: Rc<dyn Fn([f64; 2]) -> f64>,
        /// The gap, m.
        gap_m: f64,
    },
}

impl std::fmt::Debug for Bar {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Everywhere => f.write_str("Everywhere"),
            Self::Sides(sides) => f.debug_tuple("Sides").field(sides).finish(),
            Self::Near { rect, gap_m, but } => {
                (f.debug_tuple("Near").field(rect).field(gap_m).field(but)).finish()
            }
            Self::Clearance { gap_m, .. } => f.debug_tuple("Clearance").field(gap_m).finish(),
        }
    }
}

/// What is in the way on a surface.
#[derive(Clone, Debug)]
pub struct Barrier {
    /// The check that says so.
    pub check: &'static str,
    /// A few words on it.
    pub label: String,
    /// Where.
    pub bar: Bar,
}

/// An old plate or cable end on a surface.
#[derive(Clone, Debug)]
pub struct OldEnd {
    /// The fixture's id.
    pub id: String,
    /// What it is called.
    pub label: String,
    /// Its outline on the surface, m.
    pub rect: Rect,
}

/// A wall or the ceiling.
#[derive(Clone, Debug)]
pub struct Surface {
    /// The wall's id, `ceiling` or `floor`.
    pub name: String,
    /// Whether it is the floor: places are then in plan.
    pub is_floor: bool,
    /// The ceiling's planes, for the ceiling: places are then in plan.
    pub ceiling: Option<Ceiling>,
    /// Corners: on a wall from its left corner and above the floor; in plan for the ceiling; m.
    pub outline: Vec<[f64; 2]>,
    /// A wall: where it sounds from with its middle at (0, 0), m; the floor: the height alone.
    pub origin_m: [f64; 3],
    /// A wall: to its right, in plan; the ceiling: along the wall that its upper side faces.
    pub along: [f64; 2],
    /// The ceiling: how far below it sounds from, m.
    pub below_m: f64,
    /// The ceiling and the floor: the walls that a place is measured from.
    pub from: [String; 2],
    /// Half of the outside on the surface, m.
    pub half_m: [f64; 2],
    /// What is in the way.
    pub barriers: Vec<Barrier>,
    /// Old plates and cable ends.
    pub ends: Vec<OldEnd>,
}

/// All that decides where a loudspeaker may be.
#[derive(Clone, Debug)]
pub struct Placing {
    /// Where its channel belongs.
    pub directions: Directions,
    /// Who listens, the main seat among them.
    pub listeners: Vec<Listener>,
    /// The least angle between ear-level and overhead channels at the main seat, rad.
    pub separation_rad: f64,
    /// How far a dipole's main seat may be off its null, rad; nothing for other loudspeakers.
    pub null_rad: Option<f64>,
    /// The loudspeakers of the other layer.
    pub apart_from: Vec<Apart>,
    /// Where it can go at all.
    pub surfaces: Vec<Surface>,
    /// Facts without which a check says nothing, so that nothing is kept off for it.
    pub needs: Vec<Missing>,
}

/// What decides where a loudspeaker of a zone may be, without some other items.
pub fn placing(analysis: &Analysis, item: &Item, without: &[&str]) -> Known<Placing> {
    let Some(Kit::Loudspeaker(kit)) = analysis.kit_of(item) else {
        let what = format!("a loudspeaker: {} is none", item_label(item));
        return Err(Missing::new(
            what,
            format!("item.{}.is", item.id),
            Means::Decide,
        ));
    };
    let zone = analysis.zone_of(item);
    let Some((zone, layout)) = zone.and_then(|zone| Some((zone, zone.layout.as_deref()?))) else {
        let what = format!("the zone with a layout that {} plays in", item_label(item));
        return Err(Missing::new(
            what,
            format!("item.{}.zone", item.id),
            Means::Decide,
        ));
    };
    let space = analysis.space(&zone.space).ok_or_else(|| {
        let what = format!("the space of zone {}", zone.id);
        Missing::new(what, format!("zone.{}.space", zone.id), Means::Decide)
    })?;
    let position = position(zone, layout, item)?;
    let audience = audience(analysis, space, zone, layout, true);
    let mut needs = Vec::new();
    let listeners: Vec<Listener> = (audience.seats.iter())
        .map(|ears| Listener {
            seat: ears.seat.id.clone(),
            ear_m: ears.place.ear.value(),
            faced_m: ears.faced.value(),
            allowance_rad: ears.allowance(analysis),
            importance: importance_of(ears.seat),
            is_main: ears.is_main(),
        })
        .collect();
    if listeners.is_empty() {
        let seat = audience
            .unplaced
            .into_iter()
            .find(|(subject, _)| subject.id != item.id);
        return Err(seat.map_or_else(
            || {
                let what = format!("a seat in {}", space.label());
                Missing::new(what, format!("space.{}.seat", space.id), Means::Decide)
            },
            |(_, missing)| missing,
        ));
    }
    let heights = channel_elevation::heights(analysis, &position);
    let directions = Directions {
        channel: position.channel,
        azimuth_rad: position.azimuth.map(|angle| angle.0),
        elevation_rad: position.elevation.map(|angle| angle.0),
        azimuths_rad: channel_azimuth::allowed(analysis, &position, kit.is_two_sided())
            .map(|(range, _)| [range.min.0, range.max.0]),
        side_view: heights.as_ref().is_some_and(|heights| heights.side_view),
        heights_rad: heights.map(|heights| [heights.low.value, heights.high.value]),
        is_overhead: is_overhead(&position),
        side: match position.azimuth {
            None if position.channel.ends_with("left") => 1.0,
            None if position.channel.ends_with("right") => -1.0,
            _ => 0.0,
        },
    };
    let apart_from = (audience.channels.iter())
        .filter(|other| {
            other.item.id != item.id
                && !without.contains(&other.item.id.as_str())
                && other.is_overhead() != directions.is_overhead
        })
        .map(|other| Apart {
            item: other.item.id.clone(),
            label: item_label(other.item).to_owned(),
            at_m: other.at.value(),
        })
        .collect();
    let surfaces = surfaces(analysis, space, (item, kit), without, &mut needs)?;
    needs.sort_by(|a, b| a.at.cmp(&b.at));
    needs.dedup_by(|a, b| a.at == b.at);
    Ok(Placing {
        directions,
        listeners,
        separation_rad: analysis
            .limit(&height_separation::HEIGHT_SEPARATION_MIN)
            .value,
        null_rad: (kit.pattern == Some(LoudspeakerPattern::Dipole))
            .then(|| analysis.limit(&dipole_null::DIPOLE_NULL_MAX).value),
        apart_from,
        surfaces,
        needs,
    })
}

/// What the checks of a loudspeaker's place say of it, and of what is heard through it.
pub fn findings_of_loudspeaker(analysis: &Analysis, space: &Space, item: &Item) -> Vec<Finding> {
    let at = (0..analysis.space_count()).find(|at| analysis.space_number(*at).id == space.id);
    (LOUDSPEAKER_CHECKS.iter())
        .filter_map(|id| find(id))
        .flat_map(|check| check.run.ask(analysis, at))
        .filter(|finding| {
            let mut parts = finding.subject.id.split('+');
            parts.any(|part| part == item.id)
        })
        .collect()
}

/// How a loudspeaker that stands is best turned to its seats, in words and as edits; nothing where
/// it is best as it is.
pub fn turned_to_seats(analysis: &Analysis, item: &Item) -> Option<(String, Vec<Edit>)> {
    let Some(Kit::Loudspeaker(kit)) = analysis.kit_of(item) else {
        return None;
    };
    item.at.as_ref()?;
    let space = analysis.space_of(item).ok()?;
    let turn = loudspeaker_aim::best_turn(analysis, space, item, kit)?;
    Some((turn.says, turn.edits))
}

fn surfaces(
    analysis: &Analysis,
    space: &Space,
    (item, kit): (&Item, &LoudspeakerKit),
    without: &[&str],
    needs: &mut Vec<Missing>,
) -> Known<Vec<Surface>> {
    let (on_walls, in_ceiling) = match kit.form {
        Some(LoudspeakerForm::Floor | LoudspeakerForm::Stand) => {
            return Ok(vec![floor_surface(
                analysis,
                space,
                (item, kit),
                without,
                needs,
            )?]);
        }
        Some(LoudspeakerForm::InWall | LoudspeakerForm::OnWall | LoudspeakerForm::Bar) => {
            (true, false)
        }
        Some(LoudspeakerForm::InCeiling) => (false, true),
        None => (item.hung.is_none(), item.on.is_none()),
        Some(_) => {
            let what = format!(
                "a form that a layout's channel has: {} is a subwoofer or stands in the planting",
                item.is
            );
            let at = format!("kit.loudspeaker.{}.form", item.is);
            return Err(Missing::new(what, at, Means::Decide));
        }
    };
    let mut found = Vec::new();
    if on_walls {
        for wall in (0..space.walls.len()).filter(|wall| !space.walls[*wall].open) {
            found.push(wall_surface(
                analysis,
                space,
                (item, kit),
                wall,
                without,
                needs,
            )?);
        }
    }
    if in_ceiling && space.kind != Some(SpaceKind::Outdoor) {
        found.push(ceiling_surface(
            analysis,
            space,
            (item, kit),
            without,
            needs,
        )?);
    }
    Ok(found)
}

/// The floor, for what stands on it.
fn floor_surface(
    analysis: &Analysis,
    space: &Space,
    (item, kit): (&Item, &LoudspeakerKit),
    without: &[&str],
    needs: &mut Vec<Missing>,
) -> Known<Surface> {
    let shape = analysis.shape(space);
    let named = item.at.as_ref().map(|at| [&at.from.0, &at.and.0]);
    let named = named.and_then(|[a, b]| Some([space.wall(a)?, space.wall(b)?]));
    let walls = match named {
        Some(walls) => walls,
        None => square_walls(analysis, space)?,
    };
    let [width, height, depth] = analysis.item_size(item)?.map(|side| side.value());
    let under = (item.at.as_ref()).and_then(|at| analysis.number(at.height.as_ref()));
    let under_m = under.map_or(0.0, |under| under.value());
    let sounds_up = analysis.number(kit.sounds_up.as_ref());
    let sounds_up_m = sounds_up.map_or(height / 2.0, |up| up.value());
    let case = Case {
        item,
        along: shape.wall_frame(walls[0])?.1.value(),
        half_m: [width / 2.0, depth / 2.0],
        top_m: under_m + height,
    };
    let (things, missing) = kept_off(analysis, space, &case, without, Why::ALL)?;
    needs.extend(missing);
    let grown = |thing: KeptOff| Barrier {
        check: floor_clear::CHECK.id,
        label: thing.subject.label,
        bar: Bar::Sides(
            (thing.sides.iter())
                .map(|[x, y, touch]| [*x, *y, touch + thing.gap_m])
                .collect(),
        ),
    };
    let [ax, ay] = case.along;
    Ok(Surface {
        name: "floor".to_owned(),
        is_floor: true,
        ceiling: None,
        outline: (shape.outline()?.iter())
            .map(|corner| [corner.x, corner.y])
            .collect(),
        origin_m: [0.0, 0.0, under_m + sounds_up_m],
        along: case.along,
        below_m: 0.0,
        from: walls.map(|wall| space.walls[wall].id.clone()),
        half_m: [
            ax.abs() * case.half_m[0] + ay.abs() * case.half_m[1],
            ay.abs() * case.half_m[0] + ax.abs() * case.half_m[1],
        ],
        barriers: things.into_iter().map(grown).collect(),
        ends: Vec::new(),
    })
}

fn wall_surface(
    analysis: &Analysis,
    space: &Space,
    (item, kit): (&Item, &LoudspeakerKit),
    wall: usize,
    without: &[&str],
    needs: &mut Vec<Missing>,
) -> Known<Surface> {
    let shape = analysis.shape(space);
    let [width, height, depth] = analysis.item_size(item)?;
    let width = match analysis.number(kit.bracket_width.as_ref()) {
        Some(bracket) => width.max(&bracket),
        None => width,
    };
    let out = match kit.form {
        Some(LoudspeakerForm::InWall) => Uncertain::exact(0.0),
        _ => depth,
    };
    let name = space.walls[wall].id.clone();
    let half_m = [width.value() / 2.0, height.value() / 2.0];
    let hanging = Hanging {
        item,
        outside: WallRect {
            wall,
            left: &width * -0.5,
            right: &width * 0.5,
            bottom: &height * -0.5,
            top: &height * 0.5,
            out: Some(out.clone()),
        },
        out: out.clone(),
        hides_sockets: false,
        reads: Reads::default(),
        asked_by: "loudspeaker-place",
    };
    let (left, along, inward) = shape.wall_frame(wall)?;
    let ([x, y], [ix, iy]) = (left.value(), inward.value());
    let length_m = shape.wall_length(wall)?.value();
    let is_outdoor = space.kind == Some(SpaceKind::Outdoor);
    let top: Vec<[f64; 2]> = if is_outdoor {
        const OUTDOOR_TOP_M: f64 = 3.0;
        vec![[0.0, OUTDOOR_TOP_M], [length_m, OUTDOOR_TOP_M]]
    } else {
        let top = shape.ceiling()?.wall_top(&shape.outline()?, wall);
        let top = top.unwrap_or_default();
        top.iter()
            .map(|point| [point.from_left_m, point.height_m])
            .collect()
    };
    let mut outline = vec![[0.0, 0.0], [length_m, 0.0]];
    outline.extend(top.iter().rev());
    let mut barriers = Vec::new();
    let gap_m = analysis.limit(&on_wall_clear::GAP_MIN).value;
    let mut bar = |label: String, bar: Bar| {
        barriers.push(Barrier {
            check: on_wall_clear::CHECK.id,
            label,
            bar,
        });
    };
    let [half_width, half_height] = half_m;
    bar(
        format!("the left end of wall {name}"),
        Bar::Sides(vec![[1.0, 0.0, half_width + gap_m]]),
    );
    bar(
        format!("the right end of wall {name}"),
        Bar::Sides(vec![[-1.0, 0.0, half_width + gap_m - length_m]]),
    );
    bar(
        "the floor".to_owned(),
        Bar::Sides(vec![[0.0, 1.0, half_height + gap_m]]),
    );
    if !is_outdoor {
        let near = UnderCeiling {
            ceiling: shape.ceiling()?,
            left: [x, y],
            along: along.value(),
            inward: [ix, iy],
            half_width,
        };
        let folds: Vec<f64> = top.iter().map(|point| point[0]).collect();
        for sides in near.lower_than(half_height + gap_m, out.value(), &folds) {
            bar("the ceiling".to_owned(), Bar::Sides(sides));
        }
    }
    for opening in &space.opening {
        if opening.on.wall == name {
            match analysis.opening_rect(space, opening) {
                Ok(rect) => {
                    let hole = best(&rect);
                    // Within a recess it may hang, as far from its sides.
                    let within = (opening.kind == OpeningKind::Recess)
                        .then(|| shrunk(hole, [half_width + gap_m, half_height + gap_m]));
                    let near = Bar::Near {
                        rect: hole,
                        gap_m,
                        but: within.flatten(),
                    };
                    bar(opening_subject(opening, "").label, near);
                }
                Err(missing) => needs.push(missing),
            }
        }
        if let Some(leaf) = leaf(analysis, space, shape, &hanging, opening)? {
            let gap_of = leaf.gap_of;
            let of = move |[along, up]: [f64; 2]| {
                gap_of(Rect {
                    left_m: along - half_width,
                    right_m: along + half_width,
                    bottom_m: up - half_height,
                    top_m: up + half_height,
                })
            };
            let of = Rc::new(of);
            bar(leaf.subject.label, Bar::Clearance { of, gap_m });
        }
    }
    let own: Vec<&str> = (reuses(analysis, space).iter())
        .filter(|reuse| reuse.item.id == item.id)
        .map(|reuse| reuse.plate.id.as_str())
        .collect();
    for (thing, rect) in outlines(analysis, space, &hanging) {
        let is_own = matches!(thing, Thing::Fixture(fixture) if own.contains(&fixture.id.as_str()));
        if is_own || thing.item_id().is_some_and(|id| without.contains(&id)) {
            continue;
        }
        let rect = match rect {
            Ok(rect) => best(&rect),
            Err(missing) => {
                needs.push(missing);
                continue;
            }
        };
        let picture = match thing {
            Thing::Item(other) => analysis.kit_of(other).filter(|kit| is_picture(*kit)),
            _ => None,
        };
        let (check, gap_m) = match picture {
            Some(_) => (
                picture_clear::CHECK.id,
                analysis.limit(&picture_clear::GAP_MIN).value,
            ),
            None => (on_wall_clear::CHECK.id, gap_m),
        };
        let but = match thing {
            Thing::Fixture(fixture) => hides(fixture, rect, half_m),
            // Behind a cloth that lets sound through.
            Thing::Item(screen) => match picture {
                Some(Kit::Screen(kit)) if kit.sound_through == Some(true) => {
                    let lit = analysis.picture(screen).ok();
                    lit.and_then(|picture| shrunk(best(&picture.lit), half_m))
                }
                _ => None,
            },
            Thing::Soffit(_) => None,
        };
        barriers.push(Barrier {
            check,
            label: thing.subject().label,
            bar: Bar::Near { rect, gap_m, but },
        });
    }
    let on = OnWall {
        wall: name.clone(),
        from_left: None,
        height: None,
        to: None,
    };
    let cut_out = CutOut {
        item,
        kit: Kit::Loudspeaker(kit),
        surface: cut_out::Surface::Wall(&on),
    };
    if is_cut_in(cut_out.kit, cut_out.surface) {
        let [across, up] = cut_out.size(analysis)?.map(|size| size.value());
        noted(
            behind_board(analysis, space, &cut_out),
            needs,
            &mut barriers,
        );
        let studs = bars_across(analysis, space, &cut_out, across, length_m);
        let studs = studs.map(|bars| {
            (bars.into_iter())
                .map(|bar| framed(bar, [1.0, 0.0], 0.0))
                .collect()
        });
        noted(studs, needs, &mut barriers);
        if !is_outdoor {
            let near = UnderCeiling {
                ceiling: shape.ceiling()?,
                left: [x, y],
                along: along.value(),
                inward: [ix, iy],
                half_width: 0.0,
            };
            let blocks = blocks(analysis, space, &cut_out, up, &near);
            noted(blocks, needs, &mut barriers);
        }
    }
    let ends = (space.fixture.iter())
        .filter(|fixture| is_old_end(fixture))
        .filter(|fixture| fixture.on.as_ref().is_some_and(|on| on.wall == name))
        .filter_map(|fixture| {
            let point = analysis.fixture_point(space, fixture).ok()?;
            let (from_left, _) = shape.on_wall(wall, &point.in_plan()).ok()?;
            let size = analysis.fixture_size(space, fixture).ok();
            let half = size.map_or([0.0; 2], |[width, height, _]| {
                [width.value() / 2.0, height.value() / 2.0]
            });
            Some(old_end(fixture, [from_left.value(), point.z.value()], half))
        })
        .collect();
    let off = out.value();
    Ok(Surface {
        name,
        is_floor: false,
        ceiling: None,
        outline,
        origin_m: [x + ix * off, y + iy * off, 0.0],
        along: along.value(),
        below_m: 0.0,
        from: [String::new(), String::new()],
        half_m,
        barriers,
        ends,
    })
}

fn is_old_end(fixture: &Fixture) -> bool {
    matches!(
        fixture.kind,
        FixtureKind::Plate | FixtureKind::CableEnd | FixtureKind::ConduitEnd
    )
}

fn old_end(fixture: &Fixture, [x, y]: [f64; 2], half: [f64; 2]) -> OldEnd {
    OldEnd {
        id: fixture.id.clone(),
        label: fixture.id.replace('-', " "),
        rect: Rect {
            left_m: x - half[0],
            right_m: x + half[0],
            bottom_m: y - half[1],
            top_m: y + half[1],
        },
    }
}

fn noted(found: Known<Vec<Barrier>>, needs: &mut Vec<Missing>, barriers: &mut Vec<Barrier>) {
    match found {
        Ok(found) => barriers.extend(found),
        Err(missing) => needs.push(missing),
    }
}

/// A rectangle less so much on every side; nothing if nothing is left.
fn shrunk(rect: Rect, by: [f64; 2]) -> Option<Rect> {
    let shrunk = Rect {
        left_m: rect.left_m + by[0],
        right_m: rect.right_m - by[0],
        bottom_m: rect.bottom_m + by[1],
        top_m: rect.top_m - by[1],
    };
    (shrunk.right_m > shrunk.left_m && shrunk.top_m > shrunk.bottom_m).then_some(shrunk)
}

/// Places at which the outside hides a plate, or hangs wholly on a chimney breast.
fn hides(fixture: &Fixture, rect: Rect, half_m: [f64; 2]) -> Option<Rect> {
    const FAR_M: f64 = 1e3;
    match fixture.kind {
        FixtureKind::Plate | FixtureKind::ConduitEnd => {
            let (middle_x, middle_y) = (
                (rect.left_m + rect.right_m) / 2.0,
                (rect.bottom_m + rect.top_m) / 2.0,
            );
            let room = [
                half_m[0] - (rect.right_m - rect.left_m) / 2.0,
                half_m[1] - (rect.top_m - rect.bottom_m) / 2.0,
            ];
            (room[0] > 0.0 && room[1] > 0.0).then_some(Rect {
                left_m: middle_x - room[0],
                right_m: middle_x + room[0],
                bottom_m: middle_y - room[1],
                top_m: middle_y + room[1],
            })
        }
        FixtureKind::ChimneyBreast => Some(Rect {
            left_m: rect.left_m + half_m[0],
            right_m: rect.right_m - half_m[0],
            bottom_m: -FAR_M,
            top_m: FAR_M,
        })
        .filter(|rect| rect.right_m > rect.left_m),
        _ => None,
    }
}

fn ceiling_surface(
    analysis: &Analysis,
    space: &Space,
    (item, kit): (&Item, &LoudspeakerKit),
    without: &[&str],
    needs: &mut Vec<Missing>,
) -> Known<Surface> {
    let shape = analysis.shape(space);
    let corners = shape.outline()?;
    let named = item.hung.as_ref().map(|hung| [&hung.from.0, &hung.and.0]);
    let named = named.and_then(|[a, b]| Some([space.wall(a)?, space.wall(b)?]));
    let walls = match named {
        Some(walls) => walls,
        None => square_walls(analysis, space)?,
    };
    let drop = (item.hung.as_ref()).and_then(|hung| analysis.number(hung.drop.as_ref()));
    let [width, height, _] = analysis.item_size(item)?;
    // The face in plan, with its middle at the plan's origin.
    let own = Footprint {
        centre: Vector2::default(),
        along: shape.wall_frame(walls[0])?.1,
        half: [width / 2.0, height / 2.0],
    };
    let hung = Hung {
        from: corner(&space.walls[walls[0]].id),
        and: corner(&space.walls[walls[1]].id),
        drop: None,
    };
    let gap_m = analysis.limit(&ceiling_clear::GAP_MIN).value;
    let mut barriers = Vec::new();
    let check = ceiling_clear::CHECK.id;
    for (wall, facts) in space
        .walls
        .iter()
        .enumerate()
        .filter(|(_, facts)| !facts.open)
    {
        let (left, along, inward) = shape.wall_frame(wall)?;
        let length_m = shape.wall_length(wall)?.value();
        let reach_along = own.reach(&along).value();
        let reach = own.reach(&inward).value() + gap_m;
        let ([x, y], [ax, ay], [ix, iy]) = (left.value(), along.value(), inward.value());
        let (off_a, off_i) = (x * ax + y * ay, x * ix + y * iy);
        barriers.push(Barrier {
            check,
            label: format!("wall {}", facts.id),
            bar: Bar::Sides(vec![
                [ix, iy, reach + off_i],
                [-ix, -iy, reach - off_i],
                [ax, ay, length_m + reach_along + off_a],
                [-ax, -ay, reach_along - off_a],
            ]),
        });
    }
    for (subject, footprint) in on_ceiling(analysis, space, item) {
        if without.contains(&subject.id.as_str()) {
            continue;
        }
        let other = match footprint {
            Ok(other) => other,
            Err(missing) => {
                needs.push(missing);
                continue;
            }
        };
        let mut sides = Vec::new();
        let [cx, cy] = other.centre.value();
        for one in [&own, &other] {
            let [ax, ay] = one.along.value();
            for way in [[ax, ay], [-ay, ax]] {
                let direction = Vector2::new(way[0], way[1]);
                let reach = own.reach(&direction).value() + other.reach(&direction).value() + gap_m;
                let middle = way[0] * cx + way[1] * cy;
                sides.push([way[0], way[1], reach + middle]);
                sides.push([-way[0], -way[1], reach - middle]);
            }
        }
        barriers.push(Barrier {
            check,
            label: subject.label,
            bar: Bar::Sides(sides),
        });
    }
    let cut_out = CutOut {
        item,
        kit: Kit::Loudspeaker(kit),
        surface: cut_out::Surface::Ceiling(&hung),
    };
    if is_cut_in(cut_out.kit, cut_out.surface) {
        noted(
            behind_board(analysis, space, &cut_out),
            needs,
            &mut barriers,
        );
        noted(
            joists(analysis, space, &cut_out, walls[0]),
            needs,
            &mut barriers,
        );
    }
    let ends = (space.fixture.iter())
        .filter(|fixture| is_old_end(fixture) && fixture.hung.is_some())
        .filter_map(|fixture| {
            let point = analysis.fixture_point(space, fixture).ok()?;
            let [x, y, _] = point.value();
            Some(old_end(fixture, [x, y], [0.0; 2]))
        })
        .collect();
    let below_m = match (kit.form, &drop) {
        (Some(LoudspeakerForm::InCeiling), drop) => drop.as_ref().map_or(0.0, Uncertain::value),
        (_, Some(drop)) => drop.value() + analysis.item_size(item)?[1].value() / 2.0,
        _ => 0.0,
    };
    Ok(Surface {
        name: "ceiling".to_owned(),
        is_floor: false,
        ceiling: Some(shape.ceiling()?.clone()),
        outline: corners.iter().map(|corner| [corner.x, corner.y]).collect(),
        origin_m: [0.0; 3],
        along: own.along.value(),
        below_m,
        from: walls.map(|wall| space.walls[wall].id.clone()),
        half_m: own.half.each_ref().map(Uncertain::value),
        barriers,
        ends,
    })
}

/// A distance of nothing from a wall, to name a ceiling by.
fn corner(wall: &str) -> FromWall {
    FromWall(
        wall.to_owned(),
        model::Measured::read("0 m").expect("a length"),
    )
}

/// The first wall and the one that is most square to it.
fn square_walls(analysis: &Analysis, space: &Space) -> Known<[usize; 2]> {
    let shape = analysis.shape(space);
    let (_, along, _) = shape.wall_frame(0)?;
    let mut best = (0, 2.0);
    for wall in 1..space.walls.len() {
        let share = shape.wall_frame(wall)?.1.dot(&along).value().abs();
        if share < best.1 - 1e-9 {
            best = (wall, share);
        }
    }
    Ok([0, best.0])
}
