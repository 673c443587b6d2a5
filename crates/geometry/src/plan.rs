//! What does the floor plan say: areas, walls, and places measured from walls?
//!
//! Functions take any list of corners, so that a survey can be looked at before
//! it is known to be sound; [`Plan`] is a list that has been checked. A wall
//! index beyond the list wraps round, as walking on does.

use std::ops::Deref;

use thiserror::Error;
use units::{Metres, SquareMetres};

use crate::{Point2, Point3, Vec2};

/// Two places closer than this are one place: far below what any tape reads, far
/// above the rounding of room-sized numbers.
pub(crate) const TOUCH_M: f64 = 1e-6;

/// Below this angle two walls locate a point too badly to be used: a millimetre
/// along the wall would move the point by more than 57 mm.
const PARALLEL_DEGREES: f64 = 1.0;

/// The shortest wall that counts as one.
const WALL_LENGTH_M_MIN: f64 = 1e-3;

/// Why a list of corners, or a question about it, is refused.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum PlanError {
    /// Fewer than three corners.
    #[error("a plan needs at least 3 corners, this one has {count}")]
    TooFewCorners {
        /// Corners given.
        count: usize,
    },
    /// A coordinate is infinite or not a number.
    #[error("corner #{corner} has a coordinate that is not a finite number")]
    NotFinite {
        /// The corner.
        corner: usize,
    },
    /// A wall shorter than 1 mm.
    #[error("wall #{wall} is {length_mm:.3} mm long; a wall is at least 1 mm long")]
    ShortWall {
        /// The wall.
        wall: usize,
        /// Its length, mm.
        length_mm: f64,
    },
    /// Two walls cross, touch away from their common corner, or fold back on each other.
    #[error("walls #{a} and #{b} cross or touch")]
    WallsCross {
        /// The first wall.
        a: usize,
        /// The second wall.
        b: usize,
    },
    /// The corners run anticlockwise seen from above.
    #[error(
        "the corners run anticlockwise ({area_m2:.3} m² to the left of the walls); list them clockwise seen from above"
    )]
    Anticlockwise {
        /// Area enclosed, m².
        area_m2: f64,
    },
    /// A wall that the plan does not have.
    #[error("there is no wall #{wall}: the plan has {count} walls")]
    NoSuchWall {
        /// The wall asked for.
        wall: usize,
        /// Walls there are.
        count: usize,
    },
    /// Two walls too nearly parallel to locate a point.
    #[error(
        "walls #{a} and #{b} are within {angle_degrees:.2}° of parallel: distances from them do not fix a point; measure from two walls that meet at an angle"
    )]
    ParallelWalls {
        /// The first wall.
        a: usize,
        /// The second wall.
        b: usize,
        /// Angle between their lines, degrees.
        angle_degrees: f64,
    },
    /// A distance that is infinite or not a number.
    #[error("the distance from wall #{wall} is not a finite number")]
    DistanceNotFinite {
        /// The wall.
        wall: usize,
    },
}

/// A simple polygon of at least three corners, clockwise seen from above.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    corners: Vec<Point2>,
}

impl Plan {
    /// Checks the corners: finite, at least three, no wall under 1 mm, no two
    /// walls crossing or touching, clockwise.
    pub fn new(corners: Vec<Point2>) -> Result<Self, PlanError> {
        let count = corners.len();
        if let Some(corner) = corners.iter().position(|p| !p.is_finite()) {
            return Err(PlanError::NotFinite { corner });
        }
        if count < 3 {
            return Err(PlanError::TooFewCorners { count });
        }
        for wall in 0..count {
            let (a, b) = wall_ends(&corners, wall);
            if a.distance(b) < WALL_LENGTH_M_MIN {
                return Err(PlanError::ShortWall {
                    wall,
                    length_mm: a.distance(b) * 1e3,
                });
            }
        }
        if let Some((a, b)) = crossing_walls(&corners) {
            return Err(PlanError::WallsCross { a, b });
        }
        let SquareMetres(area_m2) = signed_area(&corners);
        if area_m2 > 0.0 {
            return Err(PlanError::Anticlockwise { area_m2 });
        }
        Ok(Self { corners })
    }

    /// The corners in walking order.
    pub fn corners(&self) -> &[Point2] {
        &self.corners
    }
}

impl Deref for Plan {
    type Target = [Point2];
    fn deref(&self) -> &[Point2] {
        &self.corners
    }
}

/// Area by the shoelace formula, m²: negative for corners that run clockwise.
pub fn signed_area(corners: &[Point2]) -> SquareMetres {
    SquareMetres(corner_fan(corners).map(|(a, b)| a.cross(b) / 2.0).sum())
}

/// Enclosed area, m², whichever way the corners run.
pub fn area(corners: &[Point2]) -> SquareMetres {
    SquareMetres(signed_area(corners).0.abs())
}

/// Length of all walls, m.
pub fn perimeter(corners: &[Point2]) -> Metres {
    Metres(
        (0..corners.len())
            .map(|i| wall_ends(corners, i))
            .map(|(a, b)| a.distance(b))
            .sum(),
    )
}

/// Centre of the enclosed area; the mean of the corners when they enclose none.
pub fn centroid(corners: &[Point2]) -> Point2 {
    let Some(&origin) = corners.first() else {
        return Point2::default();
    };
    let (mut doubled, mut moment) = (0.0, Vec2::default());
    for (a, b) in corner_fan(corners) {
        doubled += a.cross(b);
        moment = moment + (a + b) * a.cross(b);
    }
    if doubled.abs() > 1e-12 {
        return origin + moment * (1.0 / (3.0 * doubled));
    }
    let sum = corners
        .iter()
        .fold(Vec2::default(), |sum, &p| sum + (p - origin));
    origin + sum * (1.0 / corners.len() as f64)
}

/// The first two walls that cross, touch away from their common corner, or fold
/// back on each other; `None` for a simple polygon.
pub fn crossing_walls(corners: &[Point2]) -> Option<(usize, usize)> {
    let n = corners.len();
    for a in 0..n {
        let (a0, a1) = wall_ends(corners, a);
        for b in a + 1..n {
            let (b0, b1) = wall_ends(corners, b);
            let touching = if b == a + 1 {
                folds_back(a0, a1, b1)
            } else if a == 0 && b == n - 1 {
                folds_back(b0, b1, a1)
            } else {
                segment_distance(a0, a1, b0, b1) < TOUCH_M
            };
            if touching {
                return Some((a, b));
            }
        }
    }
    None
}

/// Is the point inside the walls? The walls themselves (within 1 µm) count as inside.
pub fn contains(corners: &[Point2], point: Point2) -> bool {
    let touches = |i| {
        let (a, b) = wall_ends(corners, i);
        nearest_on_segment(a, b, point).1.distance(point) <= TOUCH_M
    };
    encloses(corners, point) || (0..corners.len()).any(touches)
}

/// Is the point inside by the parity of crossings? On a wall either answer is possible.
pub(crate) fn encloses(corners: &[Point2], point: Point2) -> bool {
    let mut inside = false;
    for i in 0..corners.len() {
        let (a, b) = wall_ends(corners, i);
        if (a.y > point.y) != (b.y > point.y) {
            let x = a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x);
            inside ^= point.x < x;
        }
    }
    inside
}

/// A place on a wall's foot and how far a point is from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearestOnWall {
    /// The wall.
    pub wall: usize,
    /// The place on the wall.
    pub point: Point2,
    /// Its distance from the wall's left end, m.
    pub from_left_m: f64,
    /// Its distance from the point asked about, m.
    pub distance_m: f64,
}

/// The place on one wall that is nearest to a point.
pub fn nearest_on_wall(corners: &[Point2], wall: usize, point: Point2) -> NearestOnWall {
    let (a, b) = wall_ends(corners, wall);
    let (t, nearest) = nearest_on_segment(a, b, point);
    NearestOnWall {
        wall: if corners.is_empty() {
            wall
        } else {
            wall % corners.len()
        },
        point: nearest,
        from_left_m: t * a.distance(b),
        distance_m: nearest.distance(point),
    }
}

/// The place on all walls that is nearest to a point; `None` without walls.
pub fn nearest_wall(corners: &[Point2], point: Point2) -> Option<NearestOnWall> {
    (0..corners.len())
        .map(|wall| nearest_on_wall(corners, wall, point))
        .min_by(|a, b| a.distance_m.total_cmp(&b.distance_m))
}

/// An endless line on the plan: a point on it and its direction (length 1).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line2 {
    /// A point on the line.
    pub point: Point2,
    /// Its direction, length 1.
    pub direction: Vec2,
}

impl Line2 {
    /// Where two lines meet; `None` when they are parallel to within rounding.
    pub fn meeting(self, other: Self) -> Option<Point2> {
        let sine = self.direction.cross(other.direction);
        if sine.abs() < 1e-12 {
            return None;
        }
        let t = (other.point - self.point).cross(other.direction) / sine;
        Some(self.point + self.direction * t)
    }
}

/// A wall seen from inside the room: where it starts and which way it runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// The foot of its left end: corner *i*.
    pub left: Point2,
    /// From left to right, length 1.
    pub along: Vec2,
    /// Square to the wall, into the room, length 1.
    pub inward: Vec2,
    /// Length, m.
    pub length_m: f64,
}

impl Wall {
    /// The place at this distance from the left end and this height.
    pub fn point(&self, from_left: Metres, height: Metres) -> Point3 {
        self.point_off(from_left, height, Metres(0.0))
    }

    /// The same, standing off the wall into the room.
    pub fn point_off(&self, from_left: Metres, height: Metres, off: Metres) -> Point3 {
        (self.left + self.along * from_left.0 + self.inward * off.0).at_height(height.0)
    }

    /// A point as seen on the wall: distance from its left end, height, and
    /// distance off the wall (negative behind it).
    pub fn place_of(&self, point: Point3) -> (Metres, Metres, Metres) {
        let from_left = point.on_plan() - self.left;
        (
            Metres(from_left.dot(self.along)),
            Metres(point.z),
            Metres(from_left.dot(self.inward)),
        )
    }

    /// The line parallel to the wall at this distance into the room.
    pub fn line_off(&self, distance: Metres) -> Line2 {
        Line2 {
            point: self.left + self.inward * distance.0,
            direction: self.along,
        }
    }

    /// Distance of a point from the wall's line, positive on the room's side.
    pub fn distance_off(&self, point: Point2) -> Metres {
        Metres((point - self.left).dot(self.inward))
    }
}

/// One wall of the plan.
pub fn wall(corners: &[Point2], wall: usize) -> Result<Wall, PlanError> {
    if wall >= corners.len() {
        return Err(PlanError::NoSuchWall {
            wall,
            count: corners.len(),
        });
    }
    let (left, right) = wall_ends(corners, wall);
    let length_m = left.distance(right);
    let along = (right - left).unit().ok_or(PlanError::ShortWall {
        wall,
        length_mm: length_m * 1e3,
    })?;
    Ok(Wall {
        left,
        along,
        inward: along.right(),
        length_m,
    })
}

/// The point on a wall, in the space.
pub fn point_on_wall(
    corners: &[Point2],
    index: usize,
    from_left: Metres,
    height: Metres,
) -> Result<Point3, PlanError> {
    if !(from_left.0.is_finite() && height.0.is_finite()) {
        return Err(PlanError::DistanceNotFinite { wall: index });
    }
    Ok(wall(corners, index)?.point(from_left, height))
}

/// The point at given distances from the lines of two walls, into the room.
///
/// Refuses walls within 1° of parallel. The point may lie outside the room: ask
/// [`contains`].
pub fn point_from_two_walls(
    corners: &[Point2],
    a: usize,
    distance_a: Metres,
    b: usize,
    distance_b: Metres,
) -> Result<Point2, PlanError> {
    for (wall, distance) in [(a, distance_a), (b, distance_b)] {
        if !distance.0.is_finite() {
            return Err(PlanError::DistanceNotFinite { wall });
        }
    }
    let line_a = wall(corners, a)?.line_off(distance_a);
    let line_b = wall(corners, b)?.line_off(distance_b);
    let sine = line_a.direction.cross(line_b.direction).abs();
    let angle_degrees = sine.min(1.0).asin().to_degrees();
    match line_a.meeting(line_b) {
        Some(point) if angle_degrees >= PARALLEL_DEGREES => Ok(point),
        _ => Err(PlanError::ParallelWalls {
            a,
            b,
            angle_degrees,
        }),
    }
}

/// The corner that juts into the room the most, with the excess of its inside
/// angle over 180° in degrees; `None` for a convex plan.
pub fn reflex_corner(corners: &[Point2]) -> Option<(usize, f64)> {
    let n = corners.len();
    (0..n)
        .map(|i| {
            let before = corners[i] - corners[(i + n - 1) % n];
            let after = corners[(i + 1) % n] - corners[i];
            (i, before.cross(after).atan2(before.dot(after)).to_degrees())
        })
        .filter(|&(_, turn)| turn > 1e-6)
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// A rectangle on the plan at any angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanRect {
    /// Its middle.
    pub centre: Point2,
    /// Direction of its length, length 1.
    pub along: Vec2,
    /// Size along `along`, m.
    pub length_m: f64,
    /// Size across, m.
    pub width_m: f64,
}

impl PlanRect {
    /// Its corners, anticlockwise: side *s* runs from corner *s* to *s* + 1, side
    /// 0 on the right of `along`, then the far end, the left, and the near end.
    pub fn corners(&self) -> [Point2; 4] {
        let along = self.along * (self.length_m / 2.0);
        let left = self.along.left() * (self.width_m / 2.0);
        [
            self.centre - along - left,
            self.centre + along - left,
            self.centre + along + left,
            self.centre - along + left,
        ]
    }

    /// How far inside the rectangle the point is, m: the least distance from its
    /// sides, negative outside.
    pub fn depth(&self, point: Point2) -> f64 {
        let from_centre = point - self.centre;
        let along = self.length_m / 2.0 - from_centre.dot(self.along).abs();
        let across = self.width_m / 2.0 - from_centre.cross(self.along).abs();
        along.min(across)
    }
}

/// Foot of a wall's two ends; both at the origin when there are no corners.
pub(crate) fn wall_ends(corners: &[Point2], wall: usize) -> (Point2, Point2) {
    match corners.len() {
        0 => Default::default(),
        n => (corners[wall % n], corners[(wall + 1) % n]),
    }
}

/// Share of the way from `a` to `b`, and the place there, nearest to the point.
pub(crate) fn nearest_on_segment(a: Point2, b: Point2, point: Point2) -> (f64, Point2) {
    let along = b - a;
    let squared = along.dot(along);
    let t = if squared > 0.0 {
        ((point - a).dot(along) / squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (t, a.towards(b, t))
}

/// Distance between two segments, 0 when they cross.
pub(crate) fn segment_distance(a0: Point2, a1: Point2, b0: Point2, b1: Point2) -> f64 {
    let (u, v) = (a1 - a0, b1 - b0);
    let apart = |d: Vec2, origin: Point2, p: Point2, q: Point2| {
        (d.cross(p - origin) > 0.0) == (d.cross(q - origin) > 0.0)
    };
    if !apart(u, a0, b0, b1) && !apart(v, b0, a0, a1) {
        return 0.0;
    }
    [(a0, a1, b0), (a0, a1, b1), (b0, b1, a0), (b0, b1, a1)]
        .into_iter()
        .map(|(from, to, point)| nearest_on_segment(from, to, point).1.distance(point))
        .fold(f64::INFINITY, f64::min)
}

/// Do two walls that share their middle point double back?
fn folds_back(from: Point2, corner: Point2, to: Point2) -> bool {
    let (back, on) = (from - corner, to - corner);
    let shorter = if back.length() < on.length() {
        from
    } else {
        to
    };
    let (start, end) = if back.length() < on.length() {
        (corner, to)
    } else {
        (corner, from)
    };
    back.dot(on) > 0.0 && nearest_on_segment(start, end, shorter).1.distance(shorter) < TOUCH_M
}

/// Edges of the polygon as vectors from its first corner: room-sized numbers stay
/// room-sized however far the origin is.
fn corner_fan(corners: &[Point2]) -> impl Iterator<Item = (Vec2, Vec2)> {
    (0..corners.len()).map(|i| {
        let (a, b) = wall_ends(corners, i);
        (a - corners[0], b - corners[0])
    })
}

#[cfg(test)]
mod tests;
