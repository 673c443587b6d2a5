//! What share of the light that leaves one surface reaches another?
//!
//! At a point: Lambert's formula, F = 1/(2π) Σ Θ_k (n · g_k), over the edges of the part of
//! the polygon that lies above the point's horizon
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | F | share of the point's half space, weighted by the cosine, that the polygon fills | 1 |
//! | Θ_k | angle that edge k spans, seen from the point | rad |
//! | g_k | unit vector square to the plane of the point and edge k | 1 |
//! | n | normal of the point's surface | 1 |
//!
//! Exact for a flat polygon in full view. Between two polygons it is averaged over points of
//! the first. The closed forms for two rectangles are those of heat-transfer handbooks
//! (Howell's catalogue C-11 and C-14, from memory) and serve as the oracle.

use std::f64::consts::{PI, TAU};

use geometry::{Point3, Vec3};
use units::Metres;
use wide::f64x4;

use crate::domain::{finite, positive};

/// More corners than a patch of a room has, its horizon's cut included.
const CORNERS_MAX: usize = 24;

/// F at a point of a surface with unit `normal`; the polygon's corners may run either way.
/// Zero for fewer than three corners, more than 23, or all below the point's horizon.
pub fn at_point(point: Point3, normal: Vec3, corners: &[Point3]) -> f64 {
    if corners.len() < 3 || corners.len() >= CORNERS_MAX {
        return 0.0;
    }
    let mut above = Ring::default();
    let mut last = corners[corners.len() - 1] - point;
    let mut last_up = last.dot(normal);
    for corner in corners {
        let next = *corner - point;
        let up = next.dot(normal);
        if (last_up > 0.0) != (up > 0.0) {
            above.add(last + (next - last) * (last_up / (last_up - up)));
        }
        if up > 0.0 {
            above.add(next);
        }
        (last, last_up) = (next, up);
    }
    above.seen_along(normal).abs() / TAU
}

/// Ways from a point to a polygon's corners, by coordinate: the angles of four edges are worked
/// out side by side.
#[derive(Default)]
struct Ring {
    x: [f64; Ring::PLACES],
    y: [f64; Ring::PLACES],
    z: [f64; Ring::PLACES],
    count: usize,
}

impl Ring {
    /// The last corner once more before the first, and what fills up the last four edges.
    const PLACES: usize = 1 + CORNERS_MAX + 3;

    fn add(&mut self, way: Vec3) {
        if self.count < CORNERS_MAX {
            self.count += 1;
            self.put(self.count, way);
        }
    }

    fn put(&mut self, place: usize, way: Vec3) {
        (self.x[place], self.y[place], self.z[place]) = (way.x, way.y, way.z);
    }

    /// Σ Θ_k (n · g_k).
    fn seen_along(&mut self, normal: Vec3) -> f64 {
        if self.count < 3 {
            return 0.0;
        }
        let last = self.count;
        self.put(0, Vec3::new(self.x[last], self.y[last], self.z[last]));
        let mut sum = f64x4::ZERO;
        for first in (0..self.count).step_by(4) {
            let (a, b) = (self.four(first), self.four(first + 1));
            let across = [
                a[1] * b[2] - a[2] * b[1],
                a[2] * b[0] - a[0] * b[2],
                a[0] * b[1] - a[1] * b[0],
            ];
            let size =
                (across[0] * across[0] + across[1] * across[1] + across[2] * across[2]).sqrt();
            let along = a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
            let up = across[0] * normal.x + across[1] * normal.y + across[2] * normal.z;
            // Edges towards or away from the point span no plane; those past the last are nothing.
            let spans = size.simd_gt(f64x4::splat(1e-15));
            sum += spans & (size.atan2(along) * up / size);
        }
        sum.reduce_add()
    }

    fn four(&self, from: usize) -> [f64x4; 3] {
        let of = |all: &[f64; Self::PLACES]| {
            f64x4::from([all[from], all[from + 1], all[from + 2], all[from + 3]])
        };
        [of(&self.x), of(&self.y), of(&self.z)]
    }
}

/// Points of a convex polygon with their shares of its area: its middle (level 0), the middles
/// of the triangles about it (level 1), and of those cut into four once more a level.
pub fn points(corners: &[Point3], level: u8) -> Vec<(Point3, f64)> {
    let middle = mean(corners);
    let mut triangles: Vec<[Point3; 3]> = (0..corners.len())
        .map(|k| [middle, corners[k], corners[(k + 1) % corners.len()]])
        .collect();
    for _ in 1..level {
        triangles = triangles.into_iter().flat_map(quarters).collect();
    }
    let areas: Vec<f64> = triangles.iter().map(|t| twice_area(*t)).collect();
    let total: f64 = areas.iter().sum();
    if total <= 0.0 {
        return Vec::new();
    }
    if level == 0 {
        let moment = triangles
            .iter()
            .zip(&areas)
            .fold(Vec3::default(), |sum, (t, area)| {
                sum + (mean(t) - middle) * (area / total)
            });
        return vec![(middle + moment, 1.0)];
    }
    let weighed = triangles.iter().zip(&areas);
    weighed.map(|(t, area)| (mean(t), area / total)).collect()
}

fn quarters([a, b, c]: [Point3; 3]) -> [[Point3; 3]; 4] {
    let (ab, bc, ca) = (a.towards(b, 0.5), b.towards(c, 0.5), c.towards(a, 0.5));
    [[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]]
}

fn mean(corners: &[Point3]) -> Point3 {
    let first = corners[0];
    let sum = corners
        .iter()
        .fold(Vec3::default(), |sum, c| sum + (*c - first));
    first + sum * (1.0 / corners.len() as f64)
}

fn twice_area([a, b, c]: [Point3; 3]) -> f64 {
    (b - a).cross(c - a).length()
}

/// F from one polygon to another in full view of it, averaged over the points of `level`.
pub fn between(from: &[Point3], normal: Vec3, to: &[Point3], level: u8) -> f64 {
    let points = points(from, level);
    points
        .iter()
        .map(|(point, share)| share * at_point(*point, normal, to))
        .sum()
}

/// F between two equal rectangles that face each other: sides `x` and `y`, distance `l`.
/// `None` unless all are above zero.
pub fn facing_rectangles(x: Metres, y: Metres, l: Metres) -> Option<f64> {
    let l = positive(l.0)?;
    let (x, y) = (positive(x.0)? / l, positive(y.0)? / l);
    let (x_1, y_1) = ((1.0 + x * x).sqrt(), (1.0 + y * y).sqrt());
    let log = (x_1 * y_1 / (1.0 + x * x + y * y).sqrt()).ln();
    let angles = x * y_1 * (x / y_1).atan() + y * x_1 * (y / x_1).atan();
    finite(2.0 / (PI * x * y) * (log + angles - x * x.atan() - y * y.atan()))
}

/// F from a rectangle to another that stands square on one of its sides: `l` long that side,
/// `w` the first one's other side, `h` the second one's. `None` unless all are above zero.
pub fn standing_rectangles(w: Metres, h: Metres, l: Metres) -> Option<f64> {
    let l = positive(l.0)?;
    let (w, h) = (positive(w.0)? / l, positive(h.0)? / l);
    let (w2, h2) = (w * w, h * h);
    let s = w2 + h2;
    let angles = w * (1.0 / w).atan() + h * (1.0 / h).atan() - s.sqrt() * (1.0 / s.sqrt()).atan();
    let a = (1.0 + w2) * (1.0 + h2) / (1.0 + s);
    let b = w2 * (1.0 + s) / ((1.0 + w2) * s);
    let c = h2 * (1.0 + s) / ((1.0 + h2) * s);
    let logs = a.ln() + w2 * b.ln() + h2 * c.ln();
    finite((angles + logs / 4.0) / (PI * w))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn rectangle(corner: Point3, along: Vec3, up: Vec3) -> [Point3; 4] {
        [corner, corner + along, corner + along + up, corner + up]
    }

    const X: Vec3 = Vec3::new(1.0, 0.0, 0.0);
    const Y: Vec3 = Vec3::new(0.0, 1.0, 0.0);
    const Z: Vec3 = Vec3::new(0.0, 0.0, 1.0);
    const O: Point3 = Point3::new(0.0, 0.0, 0.0);

    fn off(part: f64, whole: f64) -> f64 {
        (part / whole - 1.0).abs()
    }

    #[test]
    fn closed_forms_have_the_handbooks_values() {
        // A cube's opposite and adjacent faces: 0.1998 and 0.2000 (handbook tables, from memory);
        // the six must make one.
        let one = Metres(1.0);
        let opposite = facing_rectangles(one, one, one).unwrap();
        let adjacent = standing_rectangles(one, one, one).unwrap();
        assert!((opposite - 0.199_825).abs() < 1e-6);
        assert!((adjacent - 0.200_044).abs() < 1e-6);
        assert!((opposite + 4.0 * adjacent - 1.0).abs() < 1e-12);
        // A box 6 × 4 × 2.4: the floor sees ceiling and walls, and nothing else.
        let [x, y, z] = [6.0, 4.0, 2.4].map(Metres);
        let all = facing_rectangles(x, y, z).unwrap()
            + 2.0 * standing_rectangles(y, z, x).unwrap()
            + 2.0 * standing_rectangles(x, z, y).unwrap();
        assert!((all - 1.0).abs() < 1e-12, "{all}");
    }

    #[test]
    fn averaged_points_meet_the_closed_forms_within_half_a_percent() {
        for (x, y, z) in [
            (1.0, 1.0, 1.0),
            (6.0, 4.0, 2.4),
            (4.0, 0.5, 2.0),
            (0.8, 0.8, 3.0),
        ] {
            let floor = rectangle(O, X * x, Y * y);
            let ceiling = rectangle(Point3::new(0.0, 0.0, z), X * x, Y * y);
            let exact = facing_rectangles(Metres(x), Metres(y), Metres(z)).unwrap();
            assert!(
                off(between(&floor, Z, &ceiling, 4), exact) < 0.005,
                "{x} {y} {z}"
            );
            // A wall on the side along x: w is y, h is z.
            let wall = rectangle(O, X * x, Z * z);
            let exact = standing_rectangles(Metres(y), Metres(z), Metres(x)).unwrap();
            let found = between(&floor, Z, &wall, 4);
            assert!(off(found, exact) < 0.005, "{x} {y} {z} {found} {exact}");
        }
    }

    #[test]
    fn finer_points_come_nearer() {
        let (floor, wall) = (rectangle(O, X, Y), rectangle(O, X, Z));
        let exact = standing_rectangles(Metres(1.0), Metres(1.0), Metres(1.0)).unwrap();
        let errors: Vec<f64> = (1..=5)
            .map(|level| off(between(&floor, Z, &wall, level), exact))
            .collect();
        assert!(errors.is_sorted_by(|a, b| b < a), "{errors:?}");
        assert!(errors[4] < 5e-4, "{errors:?}");
    }

    #[test]
    fn half_the_sky_is_half() {
        // A wall of endless size fills half of what a point of the floor at its foot sees.
        let wall = rectangle(Point3::new(-1e6, 1e-6, 0.0), X * 2e6, Z * 1e6);
        assert!((at_point(O, Z, &wall) - 0.5).abs() < 1e-5);
        // A wall that reaches below the point's horizon counts from the horizon up.
        let deep = rectangle(Point3::new(-1e6, 1e-6, -1e6), X * 2e6, Z * 2e6);
        assert!((at_point(O, Z, &deep) - 0.5).abs() < 1e-5);
        let below = rectangle(Point3::new(-1.0, 1.0, -2.0), X * 2.0, Z);
        assert_eq!(at_point(O, Z, &below), 0.0);
    }

    #[test]
    fn impossible_rectangles_are_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(
                facing_rectangles(Metres(bad), Metres(1.0), Metres(1.0)),
                None
            );
            assert_eq!(
                standing_rectangles(Metres(1.0), Metres(bad), Metres(1.0)),
                None
            );
        }
        assert_eq!(at_point(O, Z, &[]), 0.0);
    }

    proptest! {
        #[test]
        fn a_closed_box_fills_the_whole_half_space(x in 0.05..5.95f64, y in 0.05..3.95f64) {
            let faces = [
                rectangle(Point3::new(0.0, 0.0, 2.4), X * 6.0, Y * 4.0),
                rectangle(O, X * 6.0, Z * 2.4),
                rectangle(Point3::new(0.0, 4.0, 0.0), X * 6.0, Z * 2.4),
                rectangle(O, Y * 4.0, Z * 2.4),
                rectangle(Point3::new(6.0, 0.0, 0.0), Y * 4.0, Z * 2.4),
            ];
            let all: f64 = faces.iter().map(|face| at_point(Point3::new(x, y, 0.0), Z, face)).sum();
            prop_assert!((all - 1.0).abs() < 1e-12);
        }

        #[test]
        fn light_goes_both_ways_alike(x in 0.3..3.0f64, y in 0.3..3.0f64, z in 0.3..3.0f64) {
            // A₁ F₁₂ = A₂ F₂₁ in the closed form.
            let [w, h, l] = [x, y, z].map(Metres);
            let there = x * z * standing_rectangles(w, h, l).unwrap();
            let back = y * z * standing_rectangles(h, w, l).unwrap();
            prop_assert!((there / back - 1.0).abs() < 1e-9);
        }
    }
}
