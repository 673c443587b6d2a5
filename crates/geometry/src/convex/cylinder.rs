//! How far is a convex body from an upright cylinder, or how deep in it?

use std::f64::consts::TAU;

use units::Metres;

use super::{CLEAR_M, Clearance, Convex, ShapeError, foot_on_triangle, segment_step};
use crate::plan::nearest_on_segment;
use crate::{Point2, Point3, Vec2, Vec3};

/// Bodies that a plane parts by more than this do not meet whatever rounding does, m.
const PARTED_M: f64 = 1e-6;

/// An upright cylinder: a standing person, a pendant light, a pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UprightCylinder {
    middle: Point3,
    radius_m: f64,
    half_height_m: f64,
}

impl UprightCylinder {
    /// A cylinder from the middle of its lower end.
    pub fn new(base: Point3, radius: Metres, height: Metres) -> Result<Self, ShapeError> {
        if !(base.is_finite() && radius.0.is_finite() && height.0.is_finite()) {
            return Err(ShapeError::NotFinite { what: "cylinder" });
        }
        for (what, size) in [("cylinder's radius", radius), ("cylinder's height", height)] {
            if size.0 <= 0.0 {
                return Err(ShapeError::Negative {
                    what,
                    size_m: size.0,
                });
            }
        }
        let half_height_m = height.0 / 2.0;
        Ok(Self {
            middle: base + Vec3::UP * half_height_m,
            radius_m: radius.0,
            half_height_m,
        })
    }

    /// Distance of a point from the cylinder, 0 inside.
    pub(super) fn distance(&self, point: Point3) -> f64 {
        let from_middle = point - self.middle;
        let beside = (from_middle.x.hypot(from_middle.y) - self.radius_m).max(0.0);
        let above = (from_middle.z.abs() - self.half_height_m).max(0.0);
        // Of one leg alone the other is the length, without a root.
        match (beside == 0.0, above == 0.0) {
            (_, true) => beside,
            (true, _) => above,
            _ => beside.hypot(above),
        }
    }

    /// The farthest point against a direction.
    pub(super) fn farthest_against(&self, n: Vec3) -> Point3 {
        let beside = Vec2::new(n.x, n.y).unit().unwrap_or_default() * -self.radius_m;
        let above = if n.z == 0.0 {
            0.0
        } else {
            -n.z.signum() * self.half_height_m
        };
        self.middle + Vec3::new(beside.x, beside.y, above)
    }

    /// From a point outside to the nearest point of the cylinder.
    fn step_from(&self, point: Point3) -> Vec3 {
        let from_middle = point - self.middle;
        let beside = Vec2::new(from_middle.x, from_middle.y);
        let scale = (self.radius_m / beside.length()).min(1.0);
        let nearest = if scale < 1.0 { beside * scale } else { beside };
        let z = from_middle.z.clamp(-self.half_height_m, self.half_height_m);
        Vec3::new(nearest.x, nearest.y, z) - from_middle
    }
}

impl Convex {
    /// Clearance between this body and an upright cylinder, which moves `away`.
    pub fn clearance_to_cylinder(&self, cylinder: &UprightCylinder) -> Clearance {
        if self.overlaps_cylinder(cylinder) {
            self.depth_in_cylinder(cylinder)
        } else {
            self.distance_to_cylinder(cylinder)
        }
    }

    /// Does the body, cut to the cylinder's height and seen from above, come
    /// within the radius of its axis?
    fn overlaps_cylinder(&self, cylinder: &UprightCylinder) -> bool {
        // Bodies that a face parts do not meet.
        let parts = |n: &Vec3| {
            let support = cylinder.farthest_against(*n) - Point3::default();
            support.dot(*n) - self.reach(*n) > PARTED_M
        };
        if self.normals.iter().any(parts) {
            return false;
        }
        let axis = cylinder.middle.on_plan();
        let ends = [-1.0, 1.0].map(|sign| cylinder.middle.z + sign * cylinder.half_height_m);
        let within = |z: f64| ends[0] <= z && z <= ends[1];
        let mut seen: Vec<Point2> = self
            .vertices
            .iter()
            .filter(|v| within(v.z))
            .map(|v| v.on_plan())
            .collect();
        for &edge in self.edges.iter() {
            let [a, b] = self.ends(edge);
            for z in ends {
                if (a.z < z) != (b.z < z) {
                    seen.push(a.towards(b, (z - a.z) / (b.z - a.z)).on_plan());
                }
            }
        }
        surrounds(&seen, axis)
            || seen.iter().enumerate().any(|(i, &p)| {
                seen[i..].iter().any(|&q| {
                    let nearest = nearest_on_segment(p, q, axis).1;
                    nearest.distance(axis) < cylinder.radius_m
                })
            })
    }

    /// The nearest point of a body that is apart from the cylinder lies on an edge,
    /// or inside the face whose normal points straight at the cylinder.
    fn distance_to_cylinder(&self, cylinder: &UprightCylinder) -> Clearance {
        let mut nearest = (f64::INFINITY, Vec3::UP);
        let note = |nearest: &mut (f64, Vec3), distance: f64, step: Vec3| {
            if distance < nearest.0 {
                *nearest = (distance, step);
            }
        };
        let ends =
            [-1.0, 1.0].map(|end| cylinder.middle + Vec3::UP * (end * cylinder.half_height_m));
        // The search for an edge's nearest point is dear; the distance from the axis tells when
        // it is in vain. The edge that is nearest to the axis is searched before the others.
        let least =
            |edge: &[usize; 2]| segment_step(self.ends(*edge), ends).length() - cylinder.radius_m;
        let from_axis: Vec<f64> = self.edges.iter().map(least).collect();
        let on_edge = |edge: usize| {
            let [a, b] = self.ends(self.edges[edge]);
            let share = lowest(0.0, 1.0, |t| cylinder.distance(a.towards(b, t)));
            [0.0, share, 1.0].map(|t| a.towards(b, t))
        };
        let first = (0..from_axis.len()).min_by(|a, b| from_axis[*a].total_cmp(&from_axis[*b]));
        let first = first.map(|edge| (edge, on_edge(edge)));
        let known = first.map_or(f64::INFINITY, |(_, points)| {
            (points.map(|point| cylinder.distance(point)).into_iter()).fold(f64::INFINITY, f64::min)
        });
        for (edge, least) in from_axis.iter().enumerate() {
            if *least >= nearest.0 || *least > known + CLEAR_M {
                continue;
            }
            let points = match first {
                Some((first, points)) if first == edge => points,
                _ => on_edge(edge),
            };
            for point in points {
                note(
                    &mut nearest,
                    cylinder.distance(point),
                    cylinder.step_from(point),
                );
            }
        }
        for &t in self.triangles.iter() {
            let [a, b, c] = self.corners_of(t);
            if let Some(n) = (b - a).cross(c - a).unit() {
                for n in [n, -n] {
                    let support = cylinder.farthest_against(n);
                    if let Some(foot) = foot_on_triangle([a, b, c], support) {
                        let step = support - foot;
                        note(&mut nearest, step.length(), step);
                    }
                }
            }
        }
        let away = nearest.1.unit().unwrap_or(Vec3::UP);
        Clearance {
            signed: Metres(nearest.0),
            away,
        }
    }

    /// Least push: square to a face or an end, sideways off an edge or a corner, or
    /// square to an edge and to the rim.
    fn depth_in_cylinder(&self, cylinder: &UprightCylinder) -> Clearance {
        let overlap = |n: Vec3| {
            let against = (cylinder.middle - Point3::default()).dot(n)
                - cylinder.radius_m * n.x.hypot(n.y)
                - cylinder.half_height_m * n.z.abs();
            self.reach(n) - against
        };
        let mut least = (f64::INFINITY, Vec3::UP);
        let mut note = |n: Vec3| {
            let depth = overlap(n);
            if depth < least.0 {
                least = (depth, n);
            }
        };
        self.normals.iter().for_each(|&n| note(n));
        [Vec3::UP, -Vec3::UP].into_iter().for_each(&mut note);
        let level = |v: Vec2| v.unit().map(|u| Vec3::new(u.x, u.y, 0.0));
        for v in &self.vertices {
            if let Some(n) = level(cylinder.middle.on_plan() - v.on_plan()) {
                note(n);
                note(-n);
            }
        }
        for e in self.edge_directions() {
            let Some(u) = level(Vec2::new(e.x, e.y).right()) else {
                continue;
            };
            note(u);
            note(-u);
            let w = u.cross(e);
            let direction = |angle: f64| u * angle.cos() + w * angle.sin();
            const STEPS: usize = 24;
            let step = TAU / STEPS as f64;
            let sampled: Vec<f64> = (0..STEPS)
                .map(|i| overlap(direction(i as f64 * step)))
                .collect();
            for i in 0..STEPS {
                let around = sampled[(i + 1) % STEPS].min(sampled[(i + STEPS - 1) % STEPS]);
                if sampled[i] <= around {
                    let middle = i as f64 * step;
                    note(direction(lowest(middle - step, middle + step, |a| {
                        overlap(direction(a))
                    })));
                }
            }
        }
        Clearance {
            signed: Metres(-least.0.max(0.0)),
            away: least.1,
        }
    }
}

/// Does the point have others on every side: is no half plane round it empty?
fn surrounds(others: &[Point2], point: Point2) -> bool {
    let mut angles: Vec<f64> = others
        .iter()
        .map(|&p| p - point)
        .map(|way| way.y.atan2(way.x))
        .collect();
    angles.sort_by(f64::total_cmp);
    let (Some(first), Some(last)) = (angles.first(), angles.last()) else {
        return false;
    };
    let widest = angles
        .windows(2)
        .map(|w| w[1] - w[0])
        .fold(first + TAU - last, f64::max);
    widest < TAU / 2.0
}

/// Where a function with one dip between two bounds is lowest: golden section.
pub(super) fn lowest(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let shrink = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (high - shrink * (high - low), low + shrink * (high - low));
    let (mut at_a, mut at_b) = (f(a), f(b));
    for _ in 0..48 {
        if at_a <= at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - shrink * (high - low);
            at_a = f(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + shrink * (high - low);
            at_b = f(b);
        }
    }
    (low + high) / 2.0
}
