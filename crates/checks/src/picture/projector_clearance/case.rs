//! The projector's case with its directions, and what stands nearest to each of its sides.

use analysis::{Analysis, Body, ProjectorPlace, SpaceModel, Vector2};
use geometry::{Ceiling, Plane};
use model::{Item, Space, SpaceKind};

use crate::in_line::things_in_line;
use crate::obstacles::Thing;
use crate::{Known, Uncertain};

/// Nothing farther than this from a side disturbs it, m: no maker asks for as much.
pub(super) const REACH_M: f64 = 1.0;
/// A wall counts as standing on a side when it faces it within 45°.
const FACING: f64 = 0.70;
/// A side of the case.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CaseSide {
    Behind,
    Left,
    Right,
    Above,
}

impl CaseSide {
    pub const ALL: [Self; 4] = [Self::Behind, Self::Left, Self::Right, Self::Above];

    pub fn word(self) -> &'static str {
        match self {
            Self::Behind => "behind",
            Self::Left => "left",
            Self::Right => "right",
            Self::Above => "above",
        }
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::Behind => "behind",
            Self::Left => "on the left of",
            Self::Right => "on the right of",
            Self::Above => "above",
        }
    }
}

/// What stands nearest to a side.
#[derive(Clone)]
pub(super) struct Nearest {
    pub gap: Uncertain,
    pub label: String,
    pub is_ceiling: bool,
}

/// The case with its directions: to the right of somebody who faces the screen, and back.
pub(super) struct Case<'a> {
    body: &'a Body,
    right: &'a Vector2,
    back: &'a Vector2,
    item: &'a Item,
    screen: &'a str,
    /// In plan.
    corners: [Vector2; 4],
}

/// A thing in the case's own directions, right, back and up, by best estimates: most things
/// stand before none of its sides.
pub(super) struct Seen<'a> {
    thing: Thing<'a>,
    body: Body,
    /// The middle of the thing from that of the case, m.
    middle_m: [f64; 3],
    /// Half of its size, m.
    half_m: [f64; 3],
}

impl<'a> Case<'a> {
    pub fn new(projector: &'a ProjectorPlace<'a>) -> Self {
        let (body, face) = (&projector.case, &projector.picture.face);
        let (right, back) = (&face.right, &face.normal);
        let [across, deep, _] = half_of(body);
        let corner = |sideways: f64, behind: f64| {
            let sideways = right.scaled(&(&across * sideways));
            let backwards = back.scaled(&(&deep * behind));
            &(&body.centre.in_plan() + &sideways) + &backwards
        };
        let ends = [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)];
        Self {
            body,
            right,
            back,
            item: projector.item,
            screen: &projector.screen.id,
            corners: ends.map(|(sideways, behind)| corner(sideways, behind)),
        }
    }

    /// Soffits and things whose body is known; the picture checks ask for the others.
    pub fn near_things<'t>(&self, analysis: &'t Analysis, space: &'t Space) -> Vec<Seen<'t>>
    where
        'a: 't,
    {
        things_in_line(analysis, space, self.item)
            .filter(|thing| {
                !thing
                    .item_id()
                    .is_some_and(|id| id == self.item.id || id == self.screen)
            })
            .filter_map(|thing| {
                let body = thing.body(analysis, space).ok()?;
                Some(self.seen(thing, body))
            })
            .collect()
    }

    fn seen<'t>(&self, thing: Thing<'t>, body: Body) -> Seen<'t> {
        let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
        let ([x, y, z], [case_x, case_y, case_z]) = (body.centre.value(), self.body.centre.value());
        let (right, back, along) = (self.right.value(), self.back.value(), body.along.value());
        let offset = [x - case_x, y - case_y];
        let [length, height, depth] = body.size.each_ref().map(Uncertain::value);
        let (parallel, square) = (dot(along, right).abs(), dot(along, back).abs());
        Seen {
            thing,
            middle_m: [dot(offset, right), dot(offset, back), z - case_z],
            half_m: [
                (parallel * length + square * depth) / 2.0,
                (square * length + parallel * depth) / 2.0,
                height / 2.0,
            ],
            body,
        }
    }

    /// From the case's side to a body before it, along one of the case's directions.
    fn gap(&self, body: &Body, axis: usize, sign: f64) -> Uncertain {
        let offset = || &body.centre.in_plan() - &self.body.centre.in_plan();
        let [length, height, depth] = &body.size;
        let (middle, half) = match axis {
            2 => (&body.centre.z - &self.body.centre.z, height / 2.0),
            _ => {
                let parallel = body.along.dot(self.right).abs();
                let square = body.along.dot(self.back).abs();
                match axis {
                    0 => (
                        offset().dot(self.right),
                        (&parallel * length + &square * depth) / 2.0,
                    ),
                    _ => (
                        offset().dot(self.back),
                        (&square * length + &parallel * depth) / 2.0,
                    ),
                }
            }
        };
        &middle * sign - &half - &half_of(self.body)[axis]
    }

    /// Of things and of the room the nearest; among equals a thing.
    pub fn nearest(
        &self,
        side: CaseSide,
        near: &[Seen<'_>],
        of_the_room: Known<Option<Nearest>>,
    ) -> Known<Option<Nearest>> {
        let things = near.iter().filter_map(|thing| self.gap_to(side, thing));
        Ok(nearest(things.chain(of_the_room?)))
    }

    /// What of the room is nearest to each side: walls, slopes and the ceiling.
    pub fn of_the_room(&self, analysis: &Analysis, space: &Space) -> [Known<Option<Nearest>>; 4] {
        let shape = analysis.shape(space);
        CaseSide::ALL.map(|side| match side {
            CaseSide::Above => self.ceiling(space, shape),
            _ => {
                let wall = self.wall(space, shape, side)?;
                let slope = self.slope(space, shape, side, 0.0)?;
                Ok(nearest(wall.into_iter().chain(slope)))
            }
        })
    }

    /// The gap to a thing that stands before a side.
    fn gap_to(&self, side: CaseSide, seen: &Seen<'_>) -> Option<Nearest> {
        let (axis, sign) = match side {
            CaseSide::Left => (0, -1.0),
            CaseSide::Right => (0, 1.0),
            CaseSide::Behind => (1, 1.0),
            CaseSide::Above => (2, 1.0),
        };
        let [width, height, depth] = self.body.size.each_ref().map(|side| side.value() / 2.0);
        let half_m = [width, depth, height];
        let between = |k: usize| seen.middle_m[k].abs() - seen.half_m[k] - half_m[k];
        let before = (0..3).filter(|k| *k != axis).all(|k| between(k) < 0.0);
        let on_this_side = seen.middle_m[axis] * sign > 0.0;
        // What the case is stuck in is told on the side where the way out is shortest.
        let shortest = between(axis) >= 0.0 || (0..3).all(|k| between(k) <= between(axis));
        (before && on_this_side && shortest).then(|| Nearest {
            gap: self.gap(&seen.body, axis, sign),
            label: seen.thing.subject().label,
            is_ceiling: false,
        })
    }

    /// The nearest wall that faces a side and stands before it.
    fn wall(&self, space: &Space, shape: &SpaceModel, side: CaseSide) -> Known<Option<Nearest>> {
        let towards = self.towards(side);
        let mut nearest: Option<Nearest> = None;
        for (index, wall) in space
            .walls
            .iter()
            .enumerate()
            .filter(|(_, wall)| !wall.open)
        {
            let (_, _, inward) = shape.wall_frame(index)?;
            if -towards.dot(&inward).value() < FACING {
                continue;
            }
            let length = shape.wall_length(index)?;
            for corner in &self.corners {
                let (along, off) = shape.on_wall(index, corner)?;
                let before = (0.0..=length.value()).contains(&along.value());
                let is_nearer = nearest.as_ref().is_none_or(|nearest| off < nearest.gap);
                // A wall far behind the case's own back belongs to another part of the room.
                if before && is_nearer && off.value() > -REACH_M {
                    nearest = Some(Nearest {
                        gap: off,
                        label: format!("wall {}", wall.id),
                        is_ceiling: false,
                    });
                }
            }
        }
        Ok(nearest)
    }

    /// Away from the case on one of its sides.
    fn towards(&self, side: CaseSide) -> Vector2 {
        match side {
            CaseSide::Left => self.right.scaled(&Uncertain::exact(-1.0)),
            CaseSide::Right => self.right.clone(),
            CaseSide::Behind | CaseSide::Above => self.back.clone(),
        }
    }

    /// Where a slope beside the case has come down to half its height, with the case hung
    /// lower by `down_m`. What is below that on the case's own side is told above it.
    pub fn slope(
        &self,
        space: &Space,
        shape: &SpaceModel,
        side: CaseSide,
        down_m: f64,
    ) -> Known<Option<Nearest>> {
        if space.kind == Some(SpaceKind::Outdoor) {
            return Ok(None);
        }
        let towards = self.towards(side);
        let middle = &self.body.centre.z - down_m;
        let mut nearest: Option<Uncertain> = None;
        for corner in &self.corners {
            // Of four corners those on this side are the nearest.
            if let Ok(Some(gap)) = shape.ceiling_comes_down(corner, &towards, &middle)
                && nearest.as_ref().is_none_or(|nearest| gap < *nearest)
            {
                nearest = Some(gap);
            }
        }
        Ok(nearest.filter(|gap| gap.value() >= 0.0).map(|gap| Nearest {
            gap,
            label: "the sloping ceiling".to_owned(),
            is_ceiling: true,
        }))
    }

    fn ceiling(&self, space: &Space, shape: &SpaceModel) -> Known<Option<Nearest>> {
        if space.kind == Some(SpaceKind::Outdoor) {
            return Ok(None);
        }
        let mut nearest: Option<Uncertain> = None;
        for place in self.lowest_places(shape.ceiling()?) {
            let gap = shape.ceiling_at(&place)? - self.body.top();
            if nearest.as_ref().is_none_or(|nearest| gap < *nearest) {
                nearest = Some(gap);
            }
        }
        Ok(nearest.map(|gap| Nearest {
            gap,
            label: "the ceiling".to_owned(),
            is_ceiling: true,
        }))
    }

    /// Places over the case where the ceiling may hang lowest: its corners, where a valley
    /// crosses its edges, and where valleys meet over it.
    fn lowest_places(&self, ceiling: &Ceiling) -> Vec<Vector2> {
        let corners = &self.corners;
        let mut places = corners.to_vec();
        let planes = ceiling.planes();
        for (first, one) in planes.iter().enumerate() {
            for (second, other) in planes.iter().enumerate().skip(first + 1) {
                let between = |point: &Vector2| {
                    let [x, y] = point.value();
                    (one.slope_x - other.slope_x) * x
                        + (one.slope_y - other.slope_y) * y
                        + (one.height_m - other.height_m)
                };
                for (a, b) in [(0, 1), (1, 3), (3, 2), (2, 0)] {
                    let (at_a, at_b) = (between(&corners[a]), between(&corners[b]));
                    if at_a * at_b < 0.0 {
                        let share = Uncertain::exact(at_a / (at_a - at_b));
                        let along = &corners[b] - &corners[a];
                        places.push(&corners[a] + &along.scaled(&share));
                    }
                }
                for third in &planes[second + 1..] {
                    places.extend(meeting(one, other, third).and_then(|point| self.over(point)));
                }
            }
        }
        places
    }

    /// A point in plan, where it is over the case.
    fn over(&self, [x, y]: [f64; 2]) -> Option<Vector2> {
        let middle = self.body.centre.in_plan();
        let point = Vector2 {
            x: Uncertain::exact(x),
            y: Uncertain::exact(y),
        };
        let offset = &point - &middle;
        let [across, back, _] = half_of(self.body);
        let inside = offset.dot(self.right).value().abs() <= across.value()
            && offset.dot(self.back).value().abs() <= back.value();
        inside.then_some(point)
    }
}

fn nearest(found: impl Iterator<Item = Nearest>) -> Option<Nearest> {
    found.reduce(|a, b| if b.gap < a.gap { b } else { a })
}

/// Half of a case's width, depth and height.
fn half_of(case: &Body) -> [Uncertain; 3] {
    let [width, height, depth] = &case.size;
    [width, depth, height].map(|side| side / 2.0)
}

/// Where three planes have one height.
fn meeting(a: &Plane, b: &Plane, c: &Plane) -> Option<[f64; 2]> {
    let row = |one: &Plane, other: &Plane| {
        [
            one.slope_x - other.slope_x,
            one.slope_y - other.slope_y,
            other.height_m - one.height_m,
        ]
    };
    let ([a1, b1, c1], [a2, b2, c2]) = (row(a, b), row(a, c));
    let turn = a1 * b2 - a2 * b1;
    (turn.abs() > 1e-9).then(|| [(c1 * b2 - c2 * b1) / turn, (a1 * c2 - a2 * c1) / turn])
}
