//! What a case that stands on the floor keeps clear of, in plan.
//!
//! Each thing is a convex piece of the plan. Grown by the case (Minkowski's sum, told by the
//! support of both in a ring of directions) it holds the places of the case's middle where both
//! meet: from its sides stands how far they are apart, within 0.2 % of the way round a corner.

use std::f64::consts::TAU;

use analysis::{Analysis, Body, Known, Limit, Missing, Source};
use geometry::{Join, Plane};
use model::{Item, Opening, OpeningKind, Space, SpaceKind, SwingInto};
use units::Dimension;

use crate::Subject;
use crate::neighbours::opening_subject;
use crate::obstacles::{Thing, things_below};

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
    pub fn clearance(&self, [x, y]: [f64; 2]) -> f64 {
        let off = self.sides.iter().map(|[nx, ny, s]| nx * x + ny * y - s);
        off.fold(f64::NEG_INFINITY, f64::max)
    }
}

/// Where the middle of a case along `along`, of these halves, is when it meets a convex piece of
/// the plan.
fn grown([ax, ay]: [f64; 2], half_m: [f64; 2], hull: &[[f64; 2]]) -> Vec<[f64; 3]> {
    const RING: u32 = 48;
    let mut ways: Vec<[f64; 2]> = (0..RING)
        .map(|at| {
            let (sin, cos) = (TAU * f64::from(at) / f64::from(RING)).sin_cos();
            [cos * ax - sin * ay, cos * ay + sin * ax]
        })
        .collect();
    for (at, from) in hull.iter().enumerate() {
        let to = hull[(at + 1) % hull.len()];
        let [ex, ey] = [to[0] - from[0], to[1] - from[1]];
        let long = ex.hypot(ey);
        if long > 1e-9 {
            ways.push([ey / long, -ex / long]);
            ways.push([-ey / long, ex / long]);
        }
    }
    let reach = |[nx, ny]: [f64; 2]| {
        (nx * ax + ny * ay).abs() * half_m[0] + (ny * ax - nx * ay).abs() * half_m[1]
    };
    let support = |[nx, ny]: [f64; 2]| {
        let along = hull.iter().map(|[x, y]| nx * x + ny * y);
        along.fold(f64::NEG_INFINITY, f64::max)
    };
    ways.into_iter()
        .map(|n| [n[0], n[1], support(n) + reach(n)])
        .collect()
}

/// From a wall along x to a case whose middle is so far before it, m.
pub(crate) fn off_a_wall(off_m: f64, half_m: [f64; 2]) -> f64 {
    let wall = before(([0.0, 0.0], [1.0, 0.0], [0.0, 1.0]), [0.0, 4.0], -0.3);
    let kept = KeptOff {
        subject: Subject::new("wall", "wall"),
        sides: grown([1.0, 0.0], half_m, &wall),
        gap_m: 0.0,
    };
    kept.clearance([2.0, off_m])
}

/// Everything that a case keeps clear of for one of these reasons, but for some items, and what is
/// missing for the rest.
pub(crate) fn kept_off(
    analysis: &Analysis,
    space: &Space,
    case: &Case<'_>,
    without: &[&str],
    asked: &[Why],
) -> Known<(Vec<KeptOff>, Vec<Missing>)> {
    let limit = |limit| analysis.limit(limit).value;
    let gap_m = limit(&FLOOR_GAP_MIN);
    let (mut found, mut needs) = (Vec::new(), Vec::new());
    let mut keep = |why: Why, subject: Subject, hull: &[[f64; 2]], gap_m: f64| {
        if !asked.contains(&why) {
            return;
        }
        found.push(KeptOff {
            subject,
            sides: grown(case.along, case.half_m, hull),
            gap_m,
        });
    };
    let shape = analysis.shape(space);
    let is_solid = asked.contains(&Why::Solid);
    for (wall, facts) in space
        .walls
        .iter()
        .enumerate()
        .filter(|(_, wall)| is_solid && !wall.open)
    {
        let (left, along, inward) = shape.wall_frame(wall)?;
        let hull = before(
            (left.value(), along.value(), inward.value()),
            [0.0, shape.wall_length(wall)?.value()],
            -0.3,
        );
        keep(
            Why::Solid,
            Subject::new(&facts.id, format!("wall {}", facts.id)),
            &hull,
            gap_m,
        );
    }
    let solid = is_solid.then(|| things_below(analysis, space, case.top_m));
    for thing in solid.into_iter().flatten() {
        let id = thing.item_id();
        if id.is_some_and(|id| id == case.item.id || without.contains(&id)) {
            continue;
        }
        match thing.body(analysis, space) {
            Ok(body) => {
                let hull = stands_before(&body, case.top_m);
                hull.iter()
                    .for_each(|hull| keep(Why::Solid, thing.subject(), hull, gap_m));
            }
            // A thing on the ceiling without a size is in nobody's way.
            Err(missing) if is_on_floor(thing) => needs.push(missing),
            Err(_) => {}
        }
    }
    for opening in &space.opening {
        if let Some(hull) = passage(analysis, space, opening, case.top_m)? {
            keep(Why::Way, opening_subject(opening, ""), &hull, 0.0);
        }
    }
    let seats: Vec<_> = (analysis.seats_in(space))
        .filter_map(|(seat, place)| Some((seat, place.ok()?)))
        .collect();
    for (seat, place) in &seats {
        keep(
            Why::Head,
            Subject::seat(seat),
            &[place.plan.value()],
            limit(&FLOOR_SEAT_MIN),
        );
    }
    let faced = (analysis.picture_faced(space)).and_then(|item| analysis.picture(item));
    if let Ok(picture) = faced {
        let lower = [-1.0, 1.0].map(|across| picture.point(across, -1.0).value());
        for (seat, place) in &seats {
            if let Some(hull) = in_sight(place.eye.value(), lower, case.top_m) {
                let id = format!("{}.sight", seat.id);
                keep(
                    Why::Sight,
                    Subject::new(id, format!("what seat {} sees", seat.id)),
                    &hull,
                    0.0,
                );
            }
        }
    }
    for (item, kit) in analysis.projectors_in(space) {
        if let Ok(place) = analysis.projector(item, kit) {
            let lower = [-1.0, 1.0].map(|across| place.picture.point(across, -1.0).value());
            if let Some(hull) = in_sight(place.lens.at.value(), lower, case.top_m) {
                let id = format!("{}.beam", item.id);
                let label = format!("the beam of {}", analysis::item_label(item));
                keep(Why::Sight, Subject::new(id, label), &hull, 0.0);
            }
        }
    }
    if is_solid && space.kind != Some(SpaceKind::Outdoor) && !shape.has_level_ceiling()? {
        found.extend(under_slopes(analysis, space, case)?);
    }
    Ok((found, needs))
}

fn is_on_floor(thing: Thing<'_>) -> bool {
    match thing {
        Thing::Fixture(fixture) => fixture.hung.is_none(),
        Thing::Item(item) => item.at.is_some(),
        Thing::Soffit(_) => false,
    }
}

/// A strip along a wall, so deep before it.
fn before(
    ([x, y], [ax, ay], [ix, iy]): ([f64; 2], [f64; 2], [f64; 2]),
    [from, to]: [f64; 2],
    deep: f64,
) -> [[f64; 2]; 4] {
    let corner = |s: f64, t: f64| [x + ax * s + ix * t, y + ay * s + iy * t];
    [
        corner(from, 0.0),
        corner(to, 0.0),
        corner(to, deep),
        corner(from, deep),
    ]
}

/// What a body covers of the floor, if it comes down below a height.
fn stands_before(body: &Body, top_m: f64) -> Option<[[f64; 2]; 4]> {
    let [length, _, depth] = body.size.each_ref().map(|side| side.value());
    // What lies in wall or ceiling has no depth.
    if body.bottom().value() >= top_m || length < 1e-3 || depth < 1e-3 {
        return None;
    }
    let ([x, y, _], [ax, ay]) = (body.centre.value(), body.along.value());
    let left = [x - ax * length / 2.0, y - ay * length / 2.0];
    let strip = before((left, [ax, ay], [-ay, ax]), [0.0, length], depth);
    Some(strip.map(|[x, y]| [x + ay * depth / 2.0, y - ax * depth / 2.0]))
}

/// The floor before a doorway or archway.
fn passage(
    analysis: &Analysis,
    space: &Space,
    opening: &Opening,
    top_m: f64,
) -> Known<Option<[[f64; 2]; 4]>> {
    if !matches!(opening.kind, OpeningKind::Door | OpeningKind::Archway) {
        return Ok(None);
    }
    let Ok(rect) = analysis.opening_rect(space, opening) else {
        return Ok(None);
    };
    if rect.bottom.value() >= top_m {
        return Ok(None);
    }
    let (left, along, inward) = analysis.shape(space).wall_frame(rect.wall)?;
    let (from, to) = (rect.left.value(), rect.right.value());
    let swing = opening.swing.as_ref();
    let deep = match swing.is_some_and(|swing| swing.into == SwingInto::Room) {
        true => to - from,
        false => analysis.limit(&FLOOR_PASSAGE_MIN).value,
    };
    let frame = (left.value(), along.value(), inward.value());
    Ok(Some(before(frame, [from, to], deep)))
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
fn under_slopes(analysis: &Analysis, space: &Space, case: &Case<'_>) -> Known<Vec<KeptOff>> {
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
    let kept = |sides| KeptOff {
        subject: Subject::new("ceiling", "the ceiling"),
        sides,
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
                sides: grown(
                    [along.cos(), along.sin()],
                    [part(1) / 2.0, part(2) / 2.0],
                    &hull,
                ),
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
