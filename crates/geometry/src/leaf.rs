//! Does a swinging door leaf meet what stands in its way, seen from above?

use std::f64::consts::PI;

use units::{Metres, Radians};

use crate::convex::ShapeError;
use crate::plan::{PlanRect, nearest_on_segment, segment_distance, wall_ends};
use crate::{Point2, Vec2};

/// The sector that a leaf sweeps from closed to fully open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoorLeaf {
    hinge: Point2,
    radius_m: f64,
    /// The sector's right and left edges seen from the hinge: it lies to the left
    /// of the first and to the right of the second.
    right: Vec2,
    left: Vec2,
}

impl DoorLeaf {
    /// A leaf of a given width that turns about `hinge` from the angle `start`
    /// (anticlockwise from the x axis) by `sweep` (negative for clockwise).
    ///
    /// A leaf opens by at most 180°.
    pub fn new(
        hinge: Point2,
        width: Metres,
        start: Radians,
        sweep: Radians,
    ) -> Result<Self, ShapeError> {
        if !(hinge.is_finite() && width.0.is_finite() && (start.0 + sweep.0).is_finite()) {
            return Err(ShapeError::NotFinite { what: "door leaf" });
        }
        if width.0 <= 0.0 {
            return Err(ShapeError::Negative {
                what: "door leaf's width",
                size_m: width.0,
            });
        }
        if sweep.0.abs() > PI + 1e-9 {
            return Err(ShapeError::SweepOverHalfTurn {
                degrees: sweep.0.abs().to_degrees(),
            });
        }
        let (low, high) = (
            start.0.min(start.0 + sweep.0),
            start.0.max(start.0 + sweep.0),
        );
        let (right, left) = (Vec2::from_angle(low), Vec2::from_angle(high));
        Ok(Self {
            hinge,
            radius_m: width.0,
            right,
            left,
        })
    }

    /// Distance between the swept sector and the rectangle, or minus the least
    /// distance that the rectangle must move to be clear of it.
    pub fn clearance(&self, rect: &PlanRect) -> Metres {
        let corners = rect.corners();
        let overlap_m = self.overlap(&corners);
        Metres(match overlap_m {
            Some(depth_m) => -depth_m,
            None => self.distance(&corners),
        })
    }

    /// Least overlap over all directions; `None` when one of them parts the two.
    ///
    /// The least push between convex shapes is square to a side of one of them, or
    /// from the hinge through a corner of the rectangle.
    fn overlap(&self, corners: &[Point2; 4]) -> Option<f64> {
        let side = |i: usize| {
            let (a, b) = wall_ends(corners, i);
            (b - a).unit().map(Vec2::right)
        };
        let spoke = |i: usize| (corners[i] - self.hinge).unit();
        let edges = [self.right.right(), self.left.left()];
        let directions = (0..4)
            .flat_map(|i| [side(i), spoke(i), spoke(i).map(|d| -d)])
            .flatten()
            .flat_map(|d| [d, -d])
            .chain(edges);
        let mut least = f64::INFINITY;
        for n in directions {
            let rect_low = corners
                .iter()
                .map(|&c| (c - self.hinge).dot(n))
                .fold(f64::INFINITY, f64::min);
            let overlap = self.reach(n) - rect_low;
            if overlap <= 0.0 {
                return None;
            }
            least = least.min(overlap);
        }
        (self.distance(corners) <= 0.0).then_some(least)
    }

    /// How far the sector reaches from the hinge in a direction of length 1.
    fn reach(&self, n: Vec2) -> f64 {
        if self.faces(n) {
            return self.radius_m;
        }
        (self.right.dot(n).max(self.left.dot(n)) * self.radius_m).max(0.0)
    }

    /// Is the direction within the sector's angle?
    fn faces(&self, n: Vec2) -> bool {
        self.right.cross(n) >= 0.0
            && n.cross(self.left) >= 0.0
            && n.dot(self.right + self.left) >= 0.0
            // A half turn has no inside by the two tests above on its straight side.
            && (self.right.dot(self.left) > -1.0 + 1e-12 || self.right.cross(n) > 0.0)
    }

    fn distance(&self, corners: &[Point2; 4]) -> f64 {
        let ends = [self.right, self.left].map(|d| self.hinge + d * self.radius_m);
        if (0..4).all(|i| {
            let (a, b) = wall_ends(corners, i);
            (b - a).cross(self.hinge - a) >= 0.0
        }) {
            return 0.0;
        }
        let mut least = f64::INFINITY;
        for i in 0..4 {
            let (a, b) = wall_ends(corners, i);
            for end in ends {
                least = least.min(segment_distance(self.hinge, end, a, b));
            }
            let foot = nearest_on_segment(a, b, self.hinge).1;
            for point in [a, foot] {
                let out = point - self.hinge;
                if self.faces(out) {
                    least = least.min((out.length() - self.radius_m).max(0.0));
                }
            }
        }
        least
    }
}

#[cfg(test)]
mod tests;
