//! What the checks of a loudspeaker's place compare, by best estimates, as plain numbers: a
//! finder lays them over every wall and the ceiling at once.
//!
//! Directions come from the layout's own limits, and what is in the way from the neighbours
//! that the checks ask about, so that a place clear of all of it is one that no check refuses.

mod floor;
mod framing;
mod overhead;
mod wall;

use std::rc::Rc;

use analysis::{Analysis, Known, Means, Missing, importance_of, item_label};
use geometry::{Ceiling, Rect};
use model::{
    Edit, Fixture, FixtureKind, Item, Kit, LoudspeakerForm, LoudspeakerKit, LoudspeakerPattern,
    Space, SpaceKind,
};

use crate::listening::{audience, is_overhead, position};
use crate::sound::{
    channel_azimuth, channel_elevation, dipole_null, height_separation, loudspeaker_aim,
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
    let asked = Asked {
        analysis,
        space,
        item,
        kit,
        without,
    };
    let surfaces = asked.surfaces(&mut needs)?;
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

/// Whose place is asked for, and which items are taken as away.
struct Asked<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    item: &'a Item,
    kit: &'a LoudspeakerKit,
    without: &'a [&'a str],
}

impl Asked<'_> {
    /// Where it can go by its form, with what each surface keeps it from.
    fn surfaces(&self, needs: &mut Vec<Missing>) -> Known<Vec<Surface>> {
        let Self {
            space, item, kit, ..
        } = *self;
        let (on_walls, in_ceiling) = match kit.form {
            Some(LoudspeakerForm::Floor | LoudspeakerForm::Stand) => {
                return Ok(vec![self.floor(needs)?]);
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
                found.push(self.wall(wall, needs)?);
            }
        }
        if in_ceiling && space.kind != Some(SpaceKind::Outdoor) {
            found.push(self.ceiling(needs)?);
        }
        Ok(found)
    }

    fn is_away(&self, item: &str) -> bool {
        self.without.contains(&item)
    }

    /// The walls that a place is measured from: those named, else the first one and the one
    /// that is most square to it.
    fn measured_from(&self, named: Option<[&str; 2]>) -> Known<[usize; 2]> {
        let named = named.and_then(|[a, b]| Some([self.space.wall(a)?, self.space.wall(b)?]));
        if let Some(walls) = named {
            return Ok(walls);
        }
        let shape = self.analysis.shape(self.space);
        let (_, along, _) = shape.wall_frame(0)?;
        let mut best = (0, 2.0);
        for wall in 1..self.space.walls.len() {
            let share = shape.wall_frame(wall)?.1.dot(&along).value().abs();
            if share < best.1 - 1e-9 {
                best = (wall, share);
            }
        }
        Ok([0, best.0])
    }
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
