//! The projector's case with its directions, and what stands nearest to each of its sides.

use analysis::{Analysis, Body, ProjectorPlace, SpaceModel, Vector2};
use geometry::{Ceiling, Plane};
use model::{Space, SpaceKind};

use crate::obstacles::{Thing, things};
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
    item: &'a str,
    screen: &'a str,
}

/// A body in the case's own directions: middle and half size, right, back and up.
pub(super) struct Seen {
    label: String,
    middle: [Uncertain; 3],
    half: [Uncertain; 3],
}

impl<'a> Case<'a> {
    pub fn new(projector: &'a ProjectorPlace<'a>) -> Self {
        Self {
            body: &projector.case,
            right: &projector.picture.face.right,
            back: &projector.picture.face.normal,
            item: &projector.item.id,
            screen: &projector.screen.id,
        }
    }

    /// Half of the case's width, depth and height.
    fn half(&self) -> [Uncertain; 3] {
        let [width, height, depth] = &self.body.size;
        [width, depth, height].map(|side| side / 2.0)
    }

    /// Soffits and things whose body is known; the picture checks ask for the others.
    pub fn near_things(&self, analysis: &Analysis, space: &Space) -> Vec<Seen> {
        things(analysis, space)
            .filter(|thing| {
                !thing
                    .item_id()
                    .is_some_and(|id| id == self.item || id == self.screen)
            })
            .filter_map(|thing: Thing<'_>| {
                let body = thing.body(analysis, space).ok()?;
                Some(self.seen(&body, thing.subject().label))
            })
            .collect()
    }

    fn seen(&self, body: &Body, label: String) -> Seen {
        let offset = &body.centre.in_plan() - &self.body.centre.in_plan();
        let [length, height, depth] = &body.size;
        let parallel = body.along.dot(self.right).abs();
        let square = body.along.dot(self.back).abs();
        Seen {
            label,
            middle: [
                offset.dot(self.right),
                offset.dot(self.back),
                &body.centre.z - &self.body.centre.z,
            ],
            half: [
                (&parallel * length + &square * depth) / 2.0,
                (&square * length + &parallel * depth) / 2.0,
                height / 2.0,
            ],
        }
    }

    pub fn nearest(
        &self,
        analysis: &Analysis,
        space: &Space,
        side: CaseSide,
        near: &[Seen],
    ) -> Known<Option<Nearest>> {
        let shape = analysis.shape(space);
        let mut found: Vec<Nearest> = near
            .iter()
            .filter_map(|thing| self.gap_to(side, thing))
            .collect();
        match side {
            CaseSide::Above => found.extend(self.ceiling(space, shape)?),
            _ => {
                found.extend(self.wall(space, shape, side)?);
                found.extend(self.slope(space, shape, side, 0.0)?);
            }
        }
        Ok(found
            .into_iter()
            .reduce(|a, b| if b.gap < a.gap { b } else { a }))
    }

    /// The gap to a thing that stands before a side.
    fn gap_to(&self, side: CaseSide, thing: &Seen) -> Option<Nearest> {
        let (axis, sign) = match side {
            CaseSide::Left => (0, -1.0),
            CaseSide::Right => (0, 1.0),
            CaseSide::Behind => (1, 1.0),
            CaseSide::Above => (2, 1.0),
        };
        let half = self.half();
        let between =
            |k: usize| thing.middle[k].value().abs() - thing.half[k].value() - half[k].value();
        let before = (0..3).filter(|k| *k != axis).all(|k| between(k) < 0.0);
        let on_this_side = thing.middle[axis].value() * sign > 0.0;
        // What the case is stuck in is told on the side where the way out is shortest.
        let shortest = between(axis) >= 0.0 || (0..3).all(|k| between(k) <= between(axis));
        (before && on_this_side && shortest).then(|| Nearest {
            gap: &thing.middle[axis] * sign - &thing.half[axis] - &half[axis],
            label: thing.label.clone(),
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
            for corner in self.corners() {
                let (along, off) = shape.on_wall(index, &corner)?;
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
        for corner in self.corners() {
            // Of four corners those on this side are the nearest.
            if let Ok(Some(gap)) = shape.ceiling_comes_down(&corner, &towards, &middle)
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
        let corners = self.corners();
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
        let [across, back, _] = self.half();
        let inside = offset.dot(self.right).value().abs() <= across.value()
            && offset.dot(self.back).value().abs() <= back.value();
        inside.then_some(point)
    }

    /// The case's corners in plan.
    fn corners(&self) -> [Vector2; 4] {
        let [across, back, _] = self.half();
        [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)].map(|(right, behind)| {
            let sideways = self.right.scaled(&(&across * right));
            let backwards = self.back.scaled(&(&back * behind));
            &(&self.body.centre.in_plan() + &sideways) + &backwards
        })
    }
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
