//! Where on the floor may a sub stand?
//!
//! Along the walls and behind the seats, its case clear of doors and their leaves, archways, walkways,
//! what stands there already, and the seats.

use analysis::{Analysis, Body, Known};
use geo::{Contains, Coord, Intersects, LineString, Polygon};
use model::{Item, Kit, LoudspeakerForm, Opening, OpeningKind, Space, SwingInto};
use units::Dimension;

use super::{PlaceSort, STEP_LEAST_M, SubPlace};
use crate::subs::{Sub, case_m};

/// From the case to the wall behind it: plugs and air, m (common practice, no source).
pub(super) const GAP_M: f64 = 0.05;
/// From a head in plan to what may stand beside it, m (common practice, no source).
const HEAD_M: f64 = 0.45;
/// About so many places at most.
const PLACES_MOST: f64 = 56.0;
/// Nearer to a wall's end than this is in its corner, m.
const CORNER_M: f64 = 0.75;
/// A quarter of this share of a wall to either side is its middle.
const MIDDLE_SHARE: f64 = 0.08;

/// Free places on the floor.
pub(super) fn on_floor(
    analysis: &Analysis,
    space: &Space,
    subs: &[Sub<'_>],
) -> Known<Vec<SubPlace>> {
    let floor = Floor::new(analysis, space, subs)?;
    let walls = space.walls.len();
    let mut lengths = Vec::new();
    for wall in 0..walls {
        lengths.push(analysis.shape(space).wall_length(wall)?.value());
    }
    let around: f64 = lengths.iter().sum();
    let step = STEP_LEAST_M.max(around / PLACES_MOST);
    let mut places = Vec::new();
    for (wall, &length) in lengths.iter().enumerate() {
        if space.walls[wall].open {
            continue;
        }
        let first = floor.case[0] / 2.0 + GAP_M;
        let room = length - 2.0 * first;
        if room < 0.0 {
            continue;
        }
        let steps = (room / step).floor().max(0.0);
        // Evenly between both corners, so that a symmetric room has symmetric places.
        let pitch = if steps > 0.0 { room / steps } else { 0.0 };
        for at in 0..=steps as usize {
            let from_left = first + pitch * at as f64;
            places.extend(floor.at_wall(wall, length, from_left)?);
        }
    }
    places.extend(floor.behind_seats()?);
    Ok(places)
}

/// The floor with all that stands on it.
struct Floor<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    outline: Polygon<f64>,
    taken: Vec<Polygon<f64>>,
    heads: Vec<[f64; 2]>,
    case: [f64; 3],
}

impl<'a> Floor<'a> {
    fn new(analysis: &'a Analysis, space: &'a Space, subs: &[Sub<'_>]) -> Known<Self> {
        let (case, _) = case_m(analysis, subs);
        let corners = analysis.shape(space).outline()?;
        let outline = polygon(corners.iter().map(|corner| [corner.x, corner.y]));
        let mut taken = Vec::new();
        for fixture in &space.fixture {
            if let Ok(body) = analysis.fixture_body(space, fixture) {
                taken.extend(footprint(&body, case[1]));
            }
        }
        for item in analysis.items_in(space) {
            if stands_in_the_way(analysis, item)
                && let Ok(body) = analysis.item_body(space, item)
            {
                taken.extend(footprint(&body, case[1]));
            }
        }
        for opening in &space.opening {
            taken.extend(passage(analysis, space, opening, case[1])?);
        }
        let heads = analysis.seats_in(space).filter_map(|(_, place)| place.ok());
        let heads = heads.map(|place| place.plan.value()).collect();
        Ok(Self {
            analysis,
            space,
            outline,
            taken,
            heads,
            case,
        })
    }

    fn at_wall(&self, wall: usize, length: f64, from_left: f64) -> Known<Option<SubPlace>> {
        let (left, along, inward) = self.analysis.shape(self.space).wall_frame(wall)?;
        let (left, along, inward) = (left.value(), along.value(), inward.value());
        let off = GAP_M + self.case[2] / 2.0;
        let middle = [0, 1].map(|axis| left[axis] + along[axis] * from_left + inward[axis] * off);
        if !self.is_free(middle, along, HEAD_M)? {
            return Ok(None);
        }
        let walls = &self.space.walls;
        let name = |wall: usize| walls[wall % walls.len()].id.replace('-', " ");
        let here = name(wall);
        let kind = if from_left < CORNER_M {
            corner_of(name(wall + walls.len() - 1), here.clone())
        } else if length - from_left < CORNER_M {
            corner_of(here.clone(), name(wall + 1))
        } else if (from_left - length / 2.0).abs() < MIDDLE_SHARE * length {
            format!("middle of {here}")
        } else {
            format!("along {here}")
        };
        let distance = self.analysis.exact(from_left, Dimension::Length);
        Ok(Some(SubPlace {
            at: [middle[0], middle[1], self.case[1] / 2.0],
            sort: PlaceSort::Floor,
            words: format!("at {here}, {distance} from its left end to the middle of the case"),
            kind,
            wall: Some((walls[wall].id.clone(), from_left)),
        }))
    }

    /// Close behind each row's middle, facing the way its seats do.
    fn behind_seats(&self) -> Known<Vec<SubPlace>> {
        let mut places = Vec::new();
        for (seat, place) in self.analysis.seats_in(self.space) {
            let Ok(place) = place else { continue };
            let Ok(look) = self.analysis.look_direction(self.space, &place) else {
                continue;
            };
            let (plan, look) = (place.plan.value(), look.value());
            let back = HEAD_M + self.case[2] / 2.0;
            let middle = [plan[0] - look[0] * back, plan[1] - look[1] * back];
            let across = [-look[1], look[0]];
            if self.is_free(middle, across, HEAD_M * 0.9)? {
                let label = seat.id.replace('-', " ");
                places.push(SubPlace {
                    at: [middle[0], middle[1], self.case[1] / 2.0],
                    sort: PlaceSort::Nearfield,
                    kind: "behind the seats".into(),
                    words: format!("close behind seat {label}"),
                    wall: None,
                });
            }
        }
        Ok(places)
    }

    fn is_free(&self, middle: [f64; 2], along: [f64; 2], head_m: f64) -> Known<bool> {
        let [width, height, depth] = self.case;
        let case = rectangle(middle, along, [width, depth]);
        let far = |head: &[f64; 2]| (head[0] - middle[0]).hypot(head[1] - middle[1]) >= head_m;
        if !self.outline.contains(&case)
            || self.taken.iter().any(|taken| taken.intersects(&case))
            || !self.heads.iter().all(far)
        {
            return Ok(false);
        }
        let top = analysis::Vector2::new(middle[0], middle[1]);
        Ok(self.analysis.shape(self.space).ceiling_at(&top)?.value() > height)
    }
}

fn corner_of(one: String, other: String) -> String {
    format!("corner of {one} and {other}")
}

/// Subs may move, and what hangs or lies in wall and ceiling is in nobody's way.
fn stands_in_the_way(analysis: &Analysis, item: &Item) -> bool {
    match analysis.kit_of(item) {
        Some(Kit::Loudspeaker(kit)) => !matches!(
            kit.form,
            Some(LoudspeakerForm::Subwoofer | LoudspeakerForm::InWall | LoudspeakerForm::InCeiling)
        ),
        Some(Kit::Plate(_) | Kit::Mount(_)) => false,
        _ => true,
    }
}

/// What a body covers of the floor, if it comes down below a height.
fn footprint(body: &Body, below: f64) -> Option<Polygon<f64>> {
    if body.bottom().value() >= below {
        return None;
    }
    let [x, y, _] = body.centre.value();
    let [along, _, across] = [0, 1, 2].map(|side| body.size[side].value());
    (along > 0.0 && across > 0.0).then(|| rectangle([x, y], body.along.value(), [along, across]))
}

/// What a door or archway needs free before it: its width, and the leaf's sweep.
fn passage(
    analysis: &Analysis,
    space: &Space,
    opening: &Opening,
    below: f64,
) -> Known<Option<Polygon<f64>>> {
    if !matches!(opening.kind, OpeningKind::Door | OpeningKind::Archway) {
        return Ok(None);
    }
    let Ok(rect) = analysis.opening_rect(space, opening) else {
        return Ok(None);
    };
    if rect.bottom.value() >= below {
        return Ok(None);
    }
    let (left, along, inward) = analysis.shape(space).wall_frame(rect.wall)?;
    let (left, along, inward) = (left.value(), along.value(), inward.value());
    let (from, to) = (rect.left.value(), rect.right.value());
    let swings_in = opening
        .swing
        .as_ref()
        .is_some_and(|swing| swing.into == SwingInto::Room);
    // A person walks through even where no leaf sweeps.
    let deep = if swings_in {
        to - from
    } else {
        0.6_f64.max(0.5 * (to - from))
    };
    let middle =
        [0, 1].map(|axis| left[axis] + along[axis] * (from + to) / 2.0 + inward[axis] * deep / 2.0);
    Ok(Some(rectangle(middle, along, [to - from, deep])))
}

fn rectangle(middle: [f64; 2], along: [f64; 2], [width, depth]: [f64; 2]) -> Polygon<f64> {
    let across = [-along[1], along[0]];
    let corner = |u: f64, v: f64| {
        [0, 1].map(|axis| {
            middle[axis] + along[axis] * u * width / 2.0 + across[axis] * v * depth / 2.0
        })
    };
    polygon([
        corner(-1.0, -1.0),
        corner(1.0, -1.0),
        corner(1.0, 1.0),
        corner(-1.0, 1.0),
    ])
}

fn polygon(points: impl IntoIterator<Item = [f64; 2]>) -> Polygon<f64> {
    let coords = points.into_iter().map(|[x, y]| Coord { x, y }).collect();
    Polygon::new(LineString::new(coords), Vec::new())
}
