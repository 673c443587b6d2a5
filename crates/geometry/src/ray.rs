//! Where does a straight line leave the room, and does it meet a box on the way?

use crate::convex::OrientedBox;
use crate::plan::{TOUCH_M, nearest_on_segment};
use crate::solid::{Face, Solid, Surface};
use crate::{Point2, Point3, Vec3};

/// Where a segment leaves the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exit {
    /// Share of the way from its start, 0 to 1.
    pub share: f64,
    /// The place.
    pub point: Point3,
    /// The surface that it passes through; `None` when the segment starts outside
    /// the air or has an end that is not finite.
    pub through: Option<Surface>,
}

impl Solid {
    /// Where the segment first leaves the air; `None` when it never does.
    ///
    /// Running along a surface, touching it, and starting or ending on it all stay
    /// in the room; 1 µm beyond it does not.
    pub fn exit(&self, from: Point3, to: Point3) -> Option<Exit> {
        if !(from.is_finite() && to.is_finite() && self.contains(from)) {
            return Some(Exit {
                share: 0.0,
                point: from,
                through: None,
            });
        }
        let length = from.distance(to);
        let mut crossings: Vec<(f64, f64, Surface)> = Vec::new();
        for face in self.faces() {
            if let Some((share, outward)) = self.crossing(face, from, to) {
                crossings.push((share, outward, face.surface));
            }
        }
        // At one place the most outward face counts.
        crossings.sort_by(|a, b| {
            a.0.total_cmp(&b.0)
                .then(b.1.total_cmp(&a.1))
                .then(a.2.cmp(&b.2))
        });
        let mut reached = 0.0;
        let leaves_after = |reached: f64, next: f64| {
            (next - reached) * length > 2.0 * TOUCH_M
                && !self.contains(from.towards(to, (reached + next) / 2.0))
        };
        let ends = crossings.iter().map(|c| c.0).chain([1.0]);
        for next in ends.collect::<Vec<_>>() {
            if leaves_after(reached, next) {
                let here =
                    |c: &&(f64, f64, Surface)| (c.0 - reached).abs() * length <= 2.0 * TOUCH_M;
                let through = crossings
                    .iter()
                    .filter(here)
                    .filter(|c| c.1 > 0.0)
                    .reduce(|a, b| if b.1 > a.1 { b } else { a })
                    .map(|c| c.2);
                return Some(Exit {
                    share: reached,
                    point: from.towards(to, reached),
                    through,
                });
            }
            reached = reached.max(next);
        }
        None
    }

    /// Share of the way at which the segment meets the face, and how squarely it
    /// goes outward there.
    fn crossing(&self, face: &Face, from: Point3, to: Point3) -> Option<(f64, f64)> {
        let on_face = self.vertices()[face.loops[0][0]];
        let (start, end) = (
            (from - on_face).dot(face.normal),
            (to - on_face).dot(face.normal),
        );
        let outward = end - start;
        if outward.abs() < 1e-12 || start.min(end) > TOUCH_M || start.max(end) < -TOUCH_M {
            return None;
        }
        let share = (-start / outward).clamp(0.0, 1.0);
        self.on_face(face, from.towards(to, share))
            .then_some((share, outward))
    }

    /// Is a point of the face's plane within its outline, or within 1 µm of it?
    fn on_face(&self, face: &Face, point: Point3) -> bool {
        let flat = flattening(face.normal);
        let point = flat(point);
        let mut inside = false;
        for corners in &face.loops {
            for i in 0..corners.len() {
                let a = flat(self.vertices()[corners[i]]);
                let b = flat(self.vertices()[corners[(i + 1) % corners.len()]]);
                if nearest_on_segment(a, b, point).1.distance(point) <= TOUCH_M {
                    return true;
                }
                if (a.y > point.y) != (b.y > point.y) {
                    inside ^= point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x);
                }
            }
        }
        inside
    }
}

/// Drops the axis that the normal is most along.
fn flattening(normal: Vec3) -> fn(Point3) -> Point2 {
    let Vec3 { x, y, z } = normal;
    if z.abs() >= x.abs().max(y.abs()) {
        |p| Point2::new(p.x, p.y)
    } else if x.abs() >= y.abs() {
        |p| Point2::new(p.y, p.z)
    } else {
        |p| Point2::new(p.x, p.z)
    }
}

impl OrientedBox {
    /// Shares of the way at which a segment enters and leaves the box; `None` when
    /// it misses. Touching counts as meeting.
    pub fn meets_segment(&self, from: Point3, to: Point3) -> Option<[f64; 2]> {
        if !(from.is_finite() && to.is_finite()) {
            return None;
        }
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (axis, half_m) in self.axes().into_iter().zip(self.half_sizes_m()) {
            let start = (from - self.centre()).dot(axis);
            let step = (to - from).dot(axis);
            if step.abs() < 1e-15 {
                if start.abs() > half_m {
                    return None;
                }
                continue;
            }
            let (a, b) = ((-half_m - start) / step, (half_m - start) / step);
            enter = enter.max(a.min(b));
            leave = leave.min(a.max(b));
        }
        (enter <= leave).then_some([enter, leave])
    }
}

#[cfg(test)]
mod tests;
