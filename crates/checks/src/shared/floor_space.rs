//! What a case that stands on the floor keeps clear of, in plan.
//!
//! Each thing is a convex piece of the plan. Grown by the case (Minkowski's sum, told by the
//! support of both in a ring of directions) it holds the places of the case's middle where both
//! meet: from its sides stands how far they are apart, within 0.2 % of the way round a corner.

mod around;

use std::rc::Rc;

use analysis::{Analysis, Body, Known, Limit, Missing, Parts, Picture, Source};
use geometry::{Join, Plane};
use model::{Item, Opening, OpeningKind, Seat, Space, SpaceKind, SwingInto};
use units::Dimension;

use crate::Subject;
use crate::neighbours::opening_subject;
use crate::obstacles::{Thing, things_below};
use around::{Around, clearance};

/// Beside and behind it.
pub(crate) static FLOOR_GAP_MIN: Limit = Limit {
    name: "floor_gap_min",
    meaning: "the least gap between a loudspeaker that stands on the floor and a wall or another thing: plugs, air, and its port",
    dimension: Dimension::Length,
    value: 0.050,
    source: Source::CommonPractice,
    regional: &[],
};

/// Beside a head.
pub(crate) static FLOOR_SEAT_MIN: Limit = Limit {
    name: "floor_seat_min",
    meaning: "the least distance, in plan, of a loudspeaker that stands on the floor from the head of a seat",
    dimension: Dimension::Length,
    value: 0.450,
    source: Source::CommonPractice,
    regional: &[],
};

/// Before a doorway without a leaf.
pub(crate) static FLOOR_PASSAGE_MIN: Limit = Limit {
    name: "floor_passage_min",
    meaning: "how deep the floor before a doorway or archway is kept free; before a leaf that opens into the room as deep as it is wide. Local codes on ways out come first",
    dimension: Dimension::Length,
    value: 0.600,
    source: Source::CommonPractice,
    regional: &[],
};

/// A case on the floor.
#[derive(Clone, Debug)]
pub(crate) struct Case<'a> {
    pub item: &'a Item,
    /// Along its width, in plan, of length 1.
    pub along: [f64; 2],
    /// Half its width and half its depth, m.
    pub half_m: [f64; 2],
    /// Of its upper side, m.
    pub top_m: f64,
}

/// Why a case keeps clear of a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Why {
    /// It is in the way: a wall, a body, a slope.
    Solid,
    /// People walk there.
    Way,
    /// Somebody's head is there.
    Head,
    /// A picture is seen or thrown there.
    Sight,
}

impl Why {
    pub(crate) const ALL: &[Self] = &[Self::Solid, Self::Way, Self::Head, Self::Sight];
}

/// Something that a case keeps clear of.
#[derive(Clone, Debug)]
pub(crate) struct KeptOff {
    pub subject: Subject,
    /// Directions n, and s with n · p = s where they touch.
    pub sides: Vec<[f64; 3]>,
    /// The gap that is asked for, m.
    pub gap_m: f64,
}

impl KeptOff {
    /// From it to the case with its middle at a place, m; below nothing where they meet.
    pub fn clearance(&self, at: [f64; 2]) -> f64 {
        clearance(self.sides.iter().copied(), at)
    }
}

/// Whose a piece of the plan is.
#[derive(Clone, Copy)]
enum Whose<'a> {
    Wall(&'a str),
    Thing(Thing<'a>),
    Opening(&'a Opening),
    Seat(&'a Seat),
    SightOf(&'a Seat),
    BeamOf(&'a Item),
    Ceiling,
}

impl Whose<'_> {
    fn subject(self) -> Subject {
        match self {
            Self::Wall(id) => Subject::new(id, format!("wall {id}")),
            Self::Thing(thing) => thing.subject(),
            Self::Opening(opening) => opening_subject(opening, ""),
            Self::Seat(seat) => Subject::seat(seat),
            Self::SightOf(seat) => {
                let id = format!("{}.sight", seat.id);
                Subject::new(id, format!("what seat {} sees", seat.id))
            }
            Self::BeamOf(item) => {
                let id = format!("{}.beam", item.id);
                Subject::new(id, format!("the beam of {}", analysis::item_label(item)))
            }
            Self::Ceiling => Subject::new("ceiling", "the ceiling"),
        }
    }
}

/// A piece of the plan.
enum Extent {
    /// Of these corners.
    Hull(Vec<[f64; 2]>),
    /// Grown by the case.
    Sides(Vec<[f64; 3]>),
}

/// A convex piece of the plan that a case keeps clear of.
struct Piece<'a> {
    whose: Whose<'a>,
    extent: Extent,
    gap_m: f64,
}

/// Everything that a case keeps clear of, and what is missing for the rest.
pub(crate) struct Floor<'a> {
    around: Around,
    pieces: Vec<Piece<'a>>,
    pub needs: Vec<Missing>,
}

impl Floor<'_> {
    fn grown(&self, piece: &Piece<'_>) -> KeptOff {
        KeptOff {
            subject: piece.whose.subject(),
            sides: match &piece.extent {
                Extent::Hull(hull) => self.around.sides(hull).collect(),
                Extent::Sides(sides) => sides.clone(),
            },
            gap_m: piece.gap_m,
        }
    }

    /// All of it.
    pub fn all(&self) -> impl Iterator<Item = KeptOff> {
        self.pieces.iter().map(|piece| self.grown(piece))
    }

    /// What has least to spare where the middle of the case is at a place; the first of equals.
    pub fn nearest(&self, at: [f64; 2]) -> Option<KeptOff> {
        let spare = |piece: &Piece<'_>| {
            let clear = match &piece.extent {
                Extent::Hull(hull) => clearance(self.around.sides(hull), at),
                Extent::Sides(sides) => clearance(sides.iter().copied(), at),
            };
            clear - piece.gap_m
        };
        let spare_at_least = |piece: &Piece<'_>| match &piece.extent {
            Extent::Hull(hull) => clearance(self.around.some_sides(hull), at) - piece.gap_m,
            Extent::Sides(_) => spare(piece),
        };
        let bounds = self.pieces.iter().map(spare_at_least).enumerate();
        let mut bounds: Vec<(usize, f64)> = bounds.collect();
        bounds.sort_by(|(_, one), (_, other)| one.total_cmp(other));
        let mut least: Option<(f64, usize)> = None;
        for (index, bound) in bounds {
            // All that are left have at least as much.
            if least.is_some_and(|(least, _)| bound > least) {
                break;
            }
            let spare = spare(&self.pieces[index]);
            let order =
                |(least, first): (f64, usize)| spare.total_cmp(&least).then(index.cmp(&first));
            if least.is_none_or(|least| order(least).is_lt()) {
                least = Some((spare, index));
            }
        }
        least.map(|(_, index)| self.grown(&self.pieces[index]))
    }
}

/// From a wall along x to a case whose middle is so far before it, m.
pub(crate) fn off_a_wall(off_m: f64, half_m: [f64; 2]) -> f64 {
    let wall = before(([0.0, 0.0], [1.0, 0.0], [0.0, 1.0]), [0.0, 4.0], -0.3);
    let kept = KeptOff {
        subject: Subject::new("wall", "wall"),
        sides: Around::new([1.0, 0.0], half_m).sides(&wall).collect(),
        gap_m: 0.0,
    };
    kept.clearance([2.0, off_m])
}

impl<'a> Floor<'a> {
    /// For one of these reasons, but for some items.
    pub fn new(
        analysis: &'a Analysis,
        space: &'a Space,
        case: &Case<'_>,
        without: &[&str],
        asked: &[Why],
    ) -> Known<Self> {
        let limit = |limit| analysis.limit(limit).value;
        let gap_m = limit(&FLOOR_GAP_MIN);
        let (mut pieces, mut needs) = (Vec::new(), Vec::new());
        let mut keep = |why: Why, whose: Whose<'a>, hull: Vec<[f64; 2]>, gap_m: f64| {
            if asked.contains(&why) {
                let extent = Extent::Hull(hull);
                pieces.push(Piece {
                    whose,
                    extent,
                    gap_m,
                });
            }
        };
        let shape = analysis.shape(space);
        let is_solid = asked.contains(&Why::Solid);
        if is_solid {
            for (wall, hull) in walls(analysis, space)?.iter() {
                let whose = Whose::Wall(&space.walls[*wall].id);
                keep(Why::Solid, whose, hull.to_vec(), gap_m);
            }
        }
        let solid = is_solid.then(|| things_below(analysis, space, case.top_m));
        for thing in solid.into_iter().flatten() {
            let id = thing.item_id();
            if id.is_some_and(|id| id == case.item.id || without.contains(&id)) {
                continue;
            }
            match thing.body(analysis, space) {
                Ok(body) => {
                    if let Some(hull) = stands_before(&body, case.top_m) {
                        keep(Why::Solid, Whose::Thing(thing), hull.to_vec(), gap_m);
                    }
                }
                // A thing on the ceiling without a size is in nobody's way.
                Err(missing) if is_on_floor(thing) => needs.push(missing),
                Err(_) => {}
            }
        }
        for passage in passages(analysis, space)?.iter() {
            if passage.bottom_m < case.top_m {
                let whose = Whose::Opening(&space.opening[passage.opening]);
                keep(Why::Way, whose, passage.hull.to_vec(), 0.0);
            }
        }
        let seats: Vec<_> = (analysis.seats_in(space))
            .filter_map(|(seat, place)| Some((seat, place.ok()?)))
            .collect();
        let head_m = limit(&FLOOR_SEAT_MIN);
        for (seat, place) in &seats {
            let head = vec![place.plan.value()];
            keep(Why::Head, Whose::Seat(seat), head, head_m);
        }
        let lower = |picture: &Picture| [-1.0, 1.0].map(|across| picture.point_value(across, -1.0));
        let faced = (analysis.picture_faced(space)).and_then(|item| analysis.picture(item));
        if let Ok(picture) = faced {
            let lower = lower(&picture);
            for (seat, place) in &seats {
                if let Some(hull) = in_sight(place.eye.value(), lower, case.top_m) {
                    keep(Why::Sight, Whose::SightOf(seat), hull, 0.0);
                }
            }
        }
        for (item, kit) in analysis.projectors_in(space) {
            if let Ok(place) = analysis.projector(item, kit) {
                let lower = lower(&place.picture);
                if let Some(hull) = in_sight(place.lens.at.value(), lower, case.top_m) {
                    keep(Why::Sight, Whose::BeamOf(item), hull, 0.0);
                }
            }
        }
        if is_solid && space.kind != Some(SpaceKind::Outdoor) && !shape.has_level_ceiling()? {
            pieces.extend(under_slopes(analysis, space, case)?);
        }
        Ok(Self {
            around: Around::new(case.along, case.half_m),
            pieces,
            needs,
        })
    }
}

/// A strip behind each wall that is there, by the wall's place in its room.
fn walls(analysis: &Analysis, space: &Space) -> Known<Rc<Vec<(usize, Strip)>>> {
    analysis.kept_of_space("strips of walls", space, Parts::NONE, |space| {
        let shape = analysis.shape(space);
        let there = (space.walls.iter().enumerate()).filter(|(_, facts)| !facts.open);
        let strip = |(wall, _)| {
            let (left, along, inward) = shape.wall_frame(wall)?;
            let frame = (left.value(), along.value(), inward.value());
            let long_m = shape.wall_length(wall)?.value();
            Ok((wall, before(frame, [0.0, long_m], -0.3)))
        };
        there.map(strip).collect::<Known<_>>().map(Rc::new)
    })
}

fn is_on_floor(thing: Thing<'_>) -> bool {
    match thing {
        Thing::Fixture(fixture) => fixture.hung.is_none(),
        Thing::Item(item) => item.at.is_some(),
        Thing::Soffit(_) => false,
    }
}

/// A rectangle in plan.
type Strip = [[f64; 2]; 4];

/// A strip along a wall, so deep before it.
fn before(
    ([x, y], [ax, ay], [ix, iy]): ([f64; 2], [f64; 2], [f64; 2]),
    [from, to]: [f64; 2],
    deep: f64,
) -> Strip {
    let corner = |s: f64, t: f64| [x + ax * s + ix * t, y + ay * s + iy * t];
    [
        corner(from, 0.0),
        corner(to, 0.0),
        corner(to, deep),
        corner(from, deep),
    ]
}

/// What a body covers of the floor, if it comes down below a height.
fn stands_before(body: &Body, top_m: f64) -> Option<Strip> {
    let [length, height, depth] = body.size.each_ref().map(|side| side.value());
    let bottom_m = body.centre.z.value() - height / 2.0;
    // What lies in wall or ceiling has no depth.
    if bottom_m >= top_m || length < 1e-3 || depth < 1e-3 {
        return None;
    }
    let ([x, y, _], [ax, ay]) = (body.centre.value(), body.along.value());
    let left = [x - ax * length / 2.0, y - ay * length / 2.0];
    let strip = before((left, [ax, ay], [-ay, ax]), [0.0, length], depth);
    Some(strip.map(|[x, y]| [x + ay * depth / 2.0, y - ax * depth / 2.0]))
}

/// The floor before a doorway or archway.
struct Passage {
    /// The opening's place in its room.
    opening: usize,
    /// Of its sill, m.
    bottom_m: f64,
    hull: Strip,
}

fn passages(analysis: &Analysis, space: &Space) -> Known<Rc<Vec<Passage>>> {
    analysis.kept_of_space("passages", space, Parts::OPENINGS, |space| {
        let openings = space.opening.iter().enumerate();
        let found = openings.filter_map(|(at, opening)| passage(analysis, space, at, opening));
        found.collect::<Known<_>>().map(Rc::new)
    })
}

fn passage(
    analysis: &Analysis,
    space: &Space,
    at: usize,
    opening: &Opening,
) -> Option<Known<Passage>> {
    if !matches!(opening.kind, OpeningKind::Door | OpeningKind::Archway) {
        return None;
    }
    let rect = analysis.opening_rect(space, opening).ok()?;
    let (from, to) = (rect.left.value(), rect.right.value());
    let swing = opening.swing.as_ref();
    let deep = match swing.is_some_and(|swing| swing.into == SwingInto::Room) {
        true => to - from,
        false => analysis.limit(&FLOOR_PASSAGE_MIN).value,
    };
    let frame = analysis.shape(space).wall_frame(rect.wall);
    Some(frame.map(|(left, along, inward)| Passage {
        opening: at,
        bottom_m: rect.bottom.value(),
        hull: before(
            (left.value(), along.value(), inward.value()),
            [from, to],
            deep,
        ),
    }))
}

/// Where something so high stands in the way from an eye or lens to a picture's lower edge.
fn in_sight(eye: [f64; 3], lower: [[f64; 3]; 2], top_m: f64) -> Option<Vec<[f64; 2]>> {
    let point = |corner: [f64; 3], part: f64| {
        [0, 1].map(|axis| eye[axis] + part * (corner[axis] - eye[axis]))
    };
    let is_low = |z: f64| z < top_m;
    let bottom = lower[0][2].min(lower[1][2]);
    let crossing = (eye[2] - top_m) / (eye[2] - bottom);
    let [one, other] = lower;
    match (is_low(eye[2]), is_low(bottom)) {
        (false, false) => None,
        (true, true) => Some(vec![[eye[0], eye[1]], point(one, 1.0), point(other, 1.0)]),
        (false, true) => Some(vec![
            point(one, crossing),
            point(one, 1.0),
            point(other, 1.0),
            point(other, crossing),
        ]),
        (true, false) => Some(vec![
            [eye[0], eye[1]],
            point(one, crossing),
            point(other, crossing),
        ]),
    }
}

/// Where a slope comes down onto the case.
fn under_slopes<'a>(analysis: &Analysis, space: &Space, case: &Case<'_>) -> Known<Vec<Piece<'a>>> {
    let ceiling = analysis.shape(space).ceiling()?;
    let [ax, ay] = case.along;
    let low = |plane: &Plane| {
        let steep = plane.slope();
        if steep < 1e-9 {
            return None;
        }
        let n = [plane.slope_x / steep, plane.slope_y / steep];
        let reach = (n[0] * ax + n[1] * ay).abs() * case.half_m[0]
            + (n[1] * ax - n[0] * ay).abs() * case.half_m[1];
        Some([n[0], n[1], (case.top_m - plane.height_m) / steep + reach])
    };
    let sides = ceiling.planes().iter().filter_map(low);
    let kept = |sides| Piece {
        whose: Whose::Ceiling,
        extent: Extent::Sides(sides),
        gap_m: 0.0,
    };
    Ok(match ceiling.join() {
        Join::Lower => sides.map(|side| kept(vec![side])).collect(),
        // Only where every plane is too low.
        Join::Upper => vec![kept(sides.collect())],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle([x, y]: [f64; 2], along: f64, [width, depth]: [f64; 2]) -> [[f64; 2]; 4] {
        let (sin, cos) = along.sin_cos();
        let left = [x - cos * width / 2.0, y - sin * width / 2.0];
        let strip = before((left, [cos, sin], [-sin, cos]), [0.0, width], depth);
        strip.map(|[x, y]| [x + sin * depth / 2.0, y - cos * depth / 2.0])
    }

    #[test]
    fn gaps_are_those_of_a_geometry_library() {
        let mut apart = 0;
        for row in units::table::rows(include_str!("floor_space/gaps.csv")) {
            let part = |at: usize| units::table::number(row[at]);
            let along = part(0);
            let hull = rectangle([part(3), part(4)], part(5), [part(6), part(7)]);
            let kept = KeptOff {
                subject: Subject::new("thing", "thing"),
                sides: {
                    let half_m = [part(1) / 2.0, part(2) / 2.0];
                    let around = Around::new([along.cos(), along.sin()], half_m);
                    around.sides(&hull).collect()
                },
                gap_m: 0.0,
            };
            let (gap, expected) = (kept.clearance([0.0, 0.0]), part(8));
            if expected == 0.0 {
                assert!(gap <= 1e-6, "{row:?}: {gap}");
                continue;
            }
            apart += 1;
            // Round a corner the ring of directions is short of the gap by 0.22 % at most.
            assert!(
                gap <= expected + 1e-6 && gap >= expected * 0.997,
                "{row:?}: {gap}"
            );
        }
        assert!(apart > 30);
    }

    /// As the least of all in turn; with two alike the first.
    #[test]
    fn the_nearest_is_found_without_growing_the_rest() {
        let piece = |at: u32| {
            let spot = |part: u32| f64::from(at * part % 101) / 20.0 - 2.5;
            let size = [0.2 + spot(7).abs() / 3.0, 0.2 + spot(11).abs() / 5.0];
            Piece {
                whose: Whose::Ceiling,
                extent: match at % 9 {
                    0 => Extent::Sides(vec![[1.0, 0.0, spot(13)], [0.0, -1.0, spot(17)]]),
                    1 => Extent::Hull(vec![[spot(29), spot(31)]]),
                    _ => Extent::Hull(rectangle([spot(29), spot(31)], spot(37), size).to_vec()),
                },
                gap_m: f64::from(at % 3) * 0.05,
            }
        };
        for from in (1..400).step_by(5) {
            let numbers = (from..from + 14).chain([from + 3]);
            let floor = Floor {
                around: Around::new([0.6, 0.8], [0.2, 0.15]),
                pieces: numbers.map(piece).collect(),
                needs: Vec::new(),
            };
            for at in [[0.0, 0.0], [1.3, -0.4], [-2.0, 2.2]] {
                let spare = |kept: &KeptOff| kept.clearance(at) - kept.gap_m;
                let in_turn = floor.all().min_by(|a, b| spare(a).total_cmp(&spare(b)));
                let [found, in_turn] = [floor.nearest(at), in_turn].map(|kept| {
                    let kept = kept.expect("there are pieces");
                    (kept.sides, kept.gap_m)
                });
                assert_eq!(found, in_turn);
            }
        }
    }

    #[test]
    fn what_is_lower_than_the_lines_to_the_picture_hides_nothing() {
        let eye = [0.0, 0.0, 1.1];
        let lower = [[3.0, -1.0, 0.8], [3.0, 1.0, 0.8]];
        assert_eq!(in_sight(eye, lower, 0.79), None);
        // 0.9 m high: met from two thirds of the way on.
        let hull = in_sight(eye, lower, 0.9).unwrap();
        assert!((hull[0][0] - 2.0).abs() < 1e-9, "{hull:?}");
        assert_eq!(in_sight(eye, lower, 1.2).unwrap().len(), 3);
    }
}
