//! How far apart are two convex bodies, or how deep in each other?
//!
//! Bodies with flat faces: overlap is measured along every direction in which the
//! least push can lie (normals of both, and edge × edge: the separating-axis
//! theorem, whose directions are the face normals of the Minkowski difference);
//! distance is the least over vertex to face and edge to edge. Both are exact to
//! rounding and need no iteration. Against an upright cylinder a one-dimensional
//! search per edge is left, to 1e-9 m.

mod cylinder;
mod nearby;

use std::borrow::Cow;

use thiserror::Error;
use units::{Metres, Radians};

pub use cylinder::UprightCylinder;
pub use nearby::Nearby;

use crate::{Point3, Vec2, Vec3};

/// Why a shape is refused.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ShapeError {
    /// A measure is infinite or not a number.
    #[error("the {what} has a measure that is not a finite number")]
    NotFinite {
        /// The shape.
        what: &'static str,
    },
    /// A size below zero, or zero where that is no shape.
    #[error("the {what} is {size_m:.4} m: it must be more than 0 m")]
    Negative {
        /// The measure.
        what: &'static str,
        /// Its value, m.
        size_m: f64,
    },
    /// A beam without volume.
    #[error("the beam's apex is {height_mm:.3} mm off the plane of its picture: no beam")]
    FlatPyramid {
        /// Distance of the apex from the plane of the corners, mm.
        height_mm: f64,
    },
    /// Picture corners that do not go round a convex outline.
    #[error(
        "the picture's corners do not go round a convex outline: corner #{corner} turns the wrong way"
    )]
    CornersNotConvex {
        /// The corner.
        corner: usize,
    },
    /// A leaf that opens by more than a half turn.
    #[error("the door leaf swings {degrees:.1}°: at most 180° is possible")]
    SweepOverHalfTurn {
        /// The angle, degrees.
        degrees: f64,
    },
}

/// Bodies farther apart than this are clear of each other whatever rounding does, m.
const CLEAR_M: f64 = 2e-9;

/// Edges that are all but parallel are taken for parallel: over some metres their distance is
/// then known only to less than this, m.
const NEARLY_PARALLEL_M: f64 = 1e-4;

/// Distance or overlap of two bodies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearance {
    /// Clear distance, or minus the least push that would part the bodies.
    pub signed: Metres,
    /// Direction (length 1) in which the second body moves to gain clearance.
    pub away: Vec3,
}

/// A box at any angle: furniture, a fan, a beam, a projector's case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OrientedBox {
    centre: Point3,
    half_m: [f64; 3],
    axes: [Vec3; 3],
}

impl OrientedBox {
    /// A box that stands upright: `size` is its length along the plan direction
    /// `yaw` (anticlockwise from the x axis), its width across, and its height.
    pub fn upright(centre: Point3, size: [Metres; 3], yaw: Radians) -> Result<Self, ShapeError> {
        if !(centre.is_finite() && yaw.0.is_finite() && size.iter().all(|s| s.0.is_finite())) {
            return Err(ShapeError::NotFinite { what: "box" });
        }
        if let Some(size) = size.iter().find(|s| s.0 <= 0.0) {
            return Err(ShapeError::Negative {
                what: "box's size",
                size_m: size.0,
            });
        }
        let along = Vec2::from_angle(yaw.0);
        let level = |v: Vec2| Vec3::new(v.x, v.y, 0.0);
        let axes = [level(along), level(along.left()), Vec3::UP];
        Ok(Self {
            centre,
            half_m: size.map(|s| s.0 / 2.0),
            axes,
        })
    }

    /// The same box tilted about its own width axis, positive with its far end down.
    pub fn tilted(mut self, pitch: Radians) -> Result<Self, ShapeError> {
        if !pitch.0.is_finite() {
            return Err(ShapeError::NotFinite { what: "box" });
        }
        let [along, across, up] = self.axes;
        let (sine, cosine) = pitch.0.sin_cos();
        self.axes = [
            along * cosine - up * sine,
            across,
            up * cosine + along * sine,
        ];
        Ok(self)
    }

    /// Its middle.
    pub fn centre(&self) -> Point3 {
        self.centre
    }

    /// Directions of length, width and height, length 1.
    pub fn axes(&self) -> [Vec3; 3] {
        self.axes
    }

    /// Half of length, width and height, m.
    pub fn half_sizes_m(&self) -> [f64; 3] {
        self.half_m
    }

    /// Its eight corners: bit 0 of the index is the far end, bit 1 the left, bit 2 the top.
    pub fn corners(&self) -> [Point3; 8] {
        std::array::from_fn(|i| {
            (0..3).fold(self.centre, |corner, k| {
                let sign = if i >> k & 1 == 1 { 1.0 } else { -1.0 };
                corner + self.axes[k] * (sign * self.half_m[k])
            })
        })
    }
}

/// A convex body with flat faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Convex {
    vertices: Vec<Point3>,
    triangles: Cow<'static, [[usize; 3]]>,
    edges: Cow<'static, [[usize; 2]]>,
    /// Outward face normals, length 1, parallel ones once per direction.
    normals: Vec<Vec3>,
}

/// Two triangles of each face of a box, by the places of its corners.
const BOX_TRIANGLES: [[usize; 3]; 12] = [
    [0, 2, 6],
    [0, 6, 4],
    [1, 3, 7],
    [1, 7, 5],
    [0, 1, 5],
    [0, 5, 4],
    [2, 3, 7],
    [2, 7, 6],
    [0, 1, 3],
    [0, 3, 2],
    [4, 5, 7],
    [4, 7, 6],
];
const BOX_EDGES: [[usize; 2]; 12] = [
    [0, 1],
    [0, 2],
    [0, 4],
    [1, 3],
    [1, 5],
    [2, 3],
    [2, 6],
    [3, 7],
    [4, 5],
    [4, 6],
    [5, 7],
    [6, 7],
];
/// Sides of a pyramid, whose apex comes first, and its base folded from corner 1 to 3, or 2 to 4.
const PYRAMID_TRIANGLES: [[[usize; 3]; 6]; 2] = [
    [
        [0, 1, 2],
        [0, 2, 3],
        [0, 3, 4],
        [0, 4, 1],
        [1, 2, 3],
        [1, 3, 4],
    ],
    [
        [0, 1, 2],
        [0, 2, 3],
        [0, 3, 4],
        [0, 4, 1],
        [2, 3, 4],
        [2, 4, 1],
    ],
];
/// Its edges, the fold last.
const PYRAMID_EDGES: [[[usize; 2]; 9]; 2] = [
    [
        [0, 1],
        [0, 2],
        [0, 3],
        [0, 4],
        [1, 2],
        [2, 3],
        [3, 4],
        [4, 1],
        [1, 3],
    ],
    [
        [0, 1],
        [0, 2],
        [0, 3],
        [0, 4],
        [1, 2],
        [2, 3],
        [3, 4],
        [4, 1],
        [2, 4],
    ],
];

impl From<&OrientedBox> for Convex {
    fn from(body: &OrientedBox) -> Self {
        let [x, y, z] = body.axes;
        Self {
            vertices: body.corners().to_vec(),
            triangles: Cow::Borrowed(&BOX_TRIANGLES),
            edges: Cow::Borrowed(&BOX_EDGES),
            normals: vec![x, -x, y, -y, z, -z],
        }
    }
}

impl Convex {
    /// A beam: from the lens to the four corners of the picture, in order round it.
    ///
    /// Corners slightly off one plane are joined to the body that holds them all.
    pub fn pyramid(apex: Point3, corners: [Point3; 4]) -> Result<Self, ShapeError> {
        if !(apex.is_finite() && corners.iter().all(|c| c.is_finite())) {
            return Err(ShapeError::NotFinite { what: "beam" });
        }
        let diagonals = (corners[2] - corners[0]).cross(corners[3] - corners[1]);
        let Some(normal) = diagonals.unit() else {
            return Err(ShapeError::CornersNotConvex { corner: 0 });
        };
        for corner in 0..4 {
            let before = corners[corner] - corners[(corner + 3) % 4];
            let after = corners[(corner + 1) % 4] - corners[corner];
            if before.cross(after).dot(normal) <= 0.0 {
                return Err(ShapeError::CornersNotConvex { corner });
            }
        }
        let middle = corners[0]
            .towards(corners[2], 0.5)
            .towards(corners[1].towards(corners[3], 0.5), 0.5);
        let height = (apex - middle).dot(normal);
        if height.abs() < 1e-6 {
            return Err(ShapeError::FlatPyramid {
                height_mm: height.abs() * 1e3,
            });
        }
        let vertices = vec![apex, corners[0], corners[1], corners[2], corners[3]];
        // Of the two ways to fold the picture, the one that bulges away from the apex.
        let bulge =
            (corners[0].towards(corners[2], 0.5) - corners[1].towards(corners[3], 0.5)).dot(normal);
        let fold = usize::from(bulge * height > 0.0);
        let (triangles, edges) = (&PYRAMID_TRIANGLES[fold], &PYRAMID_EDGES[fold]);
        let edges = match bulge.abs() > 1e-9 {
            true => &edges[..],
            false => &edges[..8],
        };
        Ok(Self::with_normals(vertices, &triangles[..], edges))
    }

    /// A straight piece of something thin: a cable, a line of sight, a rod.
    pub fn segment(from: Point3, to: Point3) -> Result<Self, ShapeError> {
        if !(from.is_finite() && to.is_finite()) {
            return Err(ShapeError::NotFinite { what: "segment" });
        }
        Ok(Self {
            vertices: vec![from, to],
            triangles: Cow::Borrowed(&[]),
            edges: Cow::Borrowed(&[[0, 1]]),
            normals: vec![],
        })
    }

    fn with_normals(
        vertices: Vec<Point3>,
        triangles: impl Into<Cow<'static, [[usize; 3]]>>,
        edges: impl Into<Cow<'static, [[usize; 2]]>>,
    ) -> Self {
        let triangles = triangles.into();
        let sum = vertices
            .iter()
            .fold(Vec3::default(), |sum, &v| sum + (v - vertices[0]));
        let middle = vertices[0] + sum * (1.0 / vertices.len() as f64);
        let mut normals: Vec<Vec3> = Vec::new();
        for &[a, b, c] in triangles.iter() {
            let Some(n) = (vertices[b] - vertices[a])
                .cross(vertices[c] - vertices[a])
                .unit()
            else {
                continue;
            };
            let n = if (vertices[a] - middle).dot(n) < 0.0 {
                -n
            } else {
                n
            };
            if normals.iter().all(|m| m.dot(n) < 1.0 - 1e-14) {
                normals.push(n);
            }
        }
        Self {
            vertices,
            triangles,
            edges: edges.into(),
            normals,
        }
    }

    /// Outward directions of its faces, length 1, and how far it reaches along each from the
    /// frame's origin.
    pub fn faces(&self) -> impl Iterator<Item = (Vec3, f64)> {
        self.normals.iter().map(|n| (*n, self.reach(*n)))
    }

    /// Its corners.
    pub fn vertices(&self) -> &[Point3] {
        &self.vertices
    }

    /// Clearance between two bodies; the second one moves `away`.
    pub fn clearance(&self, other: &Self) -> Clearance {
        let faces = self
            .normals
            .iter()
            .copied()
            .chain(other.normals.iter().map(|&n| -n));
        let (mut least, mut away) = (f64::INFINITY, Vec3::UP);
        let mut note = |overlap: f64, n: Vec3| {
            if overlap < least {
                (least, away) = (overlap, n);
            }
            // Bodies that are clear along one direction are at least as far apart: which
            // other direction parts them least is of no use then.
            least < -CLEAR_M
        };
        let is_clear = faces
            .into_iter()
            .any(|n| note(self.reach(n) + other.reach(-n), n));
        if !is_clear {
            let other_edges = other.edge_directions();
            self.edge_directions().iter().any(|u| {
                other_edges.iter().any(|v| {
                    let n = u.cross(*v);
                    let Some(n) = n.unit().filter(|_| n.length() > 1e-9) else {
                        return false;
                    };
                    let ([low, high], [other_low, other_high]) = (self.extent(n), other.extent(n));
                    note(high - other_low, n) || note(other_high - low, -n)
                })
            });
        }
        if least.is_finite() && least > 0.0 {
            return Clearance {
                signed: Metres(-least),
                away,
            };
        }
        let (distance, step) = self.distance(other, away);
        Clearance {
            signed: Metres(distance),
            away: step.unit().filter(|_| distance > 1e-9).unwrap_or(away),
        }
    }

    /// How far the body reaches in a direction, from the frame's origin.
    fn reach(&self, n: Vec3) -> f64 {
        self.extent(n)[1]
    }

    /// From where to where the body reaches along a direction, from the frame's origin.
    fn extent(&self, n: Vec3) -> [f64; 2] {
        let note = |low: &mut f64, high: &mut f64, corner: &Point3| {
            let at = (*corner - Point3::default()).dot(n);
            // All corners are finite: a plain comparison is enough, and sooner made.
            *low = if at < *low { at } else { *low };
            *high = if at > *high { at } else { *high };
        };
        // Four side by side: one after the other waits for each to end.
        let (mut low, mut high) = ([f64::INFINITY; 4], [f64::NEG_INFINITY; 4]);
        let (fours, rest) = self.vertices.as_chunks::<4>();
        for corners in fours.iter().map(|four| &four[..]).chain([rest]) {
            for ((low, high), corner) in low.iter_mut().zip(&mut high).zip(corners) {
                note(low, high, corner);
            }
        }
        let least = low.into_iter().fold(f64::INFINITY, f64::min);
        [least, high.into_iter().fold(f64::NEG_INFINITY, f64::max)]
    }

    /// Directions of the edges (length 1), parallel ones once.
    fn edge_directions(&self) -> Vec<Vec3> {
        let mut directions: Vec<Vec3> = Vec::with_capacity(self.edges.len());
        for &[a, b] in self.edges.iter() {
            if let Some(u) = (self.vertices[b] - self.vertices[a]).unit()
                && directions.iter().all(|d| d.cross(u).length() > 1e-12)
            {
                directions.push(u);
            }
        }
        directions
    }

    /// Distance of two bodies that do not overlap, and the step from the nearest
    /// point of this one to that of the other; `apart` is a direction from this one to it.
    fn distance(&self, other: &Self, apart: Vec3) -> (f64, Vec3) {
        // Along any direction parts are at least as far from each other as their nearest
        // corners. Along a step that is nearly the shortest few parts are as near as it.
        let step = self.short_step(other, apart);
        let most = step.length() + NEARLY_PARALLEL_M;
        let along = step.unit().unwrap_or(apart);
        let (own, others) = (self.along(along), other.along(along));
        let greatest = |part: &[usize]| part.iter().map(|i| own[*i]).fold(f64::MIN, f64::max);
        let least = |part: &[usize]| part.iter().map(|i| others[*i]).fold(f64::MAX, f64::min);
        let first = others.iter().copied().fold(f64::MAX, f64::min);
        let last = own.iter().copied().fold(f64::MIN, f64::max);
        let mut nearest = (f64::INFINITY, Vec3::UP);
        let mut note = |step: Vec3| {
            let distance = step.length();
            if distance < nearest.0 {
                nearest = (distance, step);
            }
        };
        let starts: Vec<f64> = other.triangles.iter().map(|t| least(t)).collect();
        for (&v, at) in self.vertices.iter().zip(&own) {
            if first - at > most {
                continue;
            }
            for (&triangle, start) in other.triangles.iter().zip(&starts) {
                if start - at <= most
                    && let Some(foot) = foot_on_triangle(other.corners_of(triangle), v)
                {
                    note(foot - v);
                }
            }
        }
        let ends: Vec<f64> = self.triangles.iter().map(|t| greatest(t)).collect();
        for (&v, at) in other.vertices.iter().zip(&others) {
            if at - last > most {
                continue;
            }
            for (&triangle, end) in self.triangles.iter().zip(&ends) {
                if at - end <= most
                    && let Some(foot) = foot_on_triangle(self.corners_of(triangle), v)
                {
                    note(v - foot);
                }
            }
        }
        let starts: Vec<f64> = other.edges.iter().map(|edge| least(edge)).collect();
        for &edge in self.edges.iter() {
            let end = greatest(&edge);
            if first - end > most {
                continue;
            }
            for (&of_other, start) in other.edges.iter().zip(&starts) {
                if start - end <= most {
                    note(segment_step(self.ends(edge), other.ends(of_other)));
                }
            }
        }
        nearest
    }

    /// From a point of this body to one of another, a step that is hardly longer than the
    /// shortest (Frank and Wolfe 1956); it begins with the corners that face each other.
    fn short_step(&self, other: &Self, apart: Vec3) -> Vec3 {
        const ROUNDS: usize = 6;
        let corners = |way: Vec3| other.farthest_along(-way) - self.farthest_along(way);
        let mut step = corners(apart);
        for _ in 0..ROUNDS {
            let ahead = corners(step);
            let left = step.dot(step) - ahead.dot(step);
            // What is left could make the step shorter by a hundredth at most.
            if left <= 0.01 * step.dot(step) {
                break;
            }
            let change = ahead - step;
            step = step + change * (left / change.dot(change)).min(1.0);
        }
        step
    }

    /// The corner that is farthest along a direction.
    fn farthest_along(&self, way: Vec3) -> Point3 {
        let (mut farthest, mut most) = (self.vertices[0], f64::NEG_INFINITY);
        for &corner in &self.vertices {
            let at = (corner - Point3::default()).dot(way);
            if at > most {
                (farthest, most) = (corner, at);
            }
        }
        farthest
    }

    /// Where its corners are along a direction, from the frame's origin.
    fn along(&self, n: Vec3) -> Vec<f64> {
        let origin = Point3::default();
        self.vertices.iter().map(|&v| (v - origin).dot(n)).collect()
    }

    fn ends(&self, edge: [usize; 2]) -> [Point3; 2] {
        edge.map(|i| self.vertices[i])
    }

    fn corners_of(&self, triangle: [usize; 3]) -> [Point3; 3] {
        triangle.map(|i| self.vertices[i])
    }
}

/// The foot of a point on a triangle; `None` beside it, where an edge is nearer.
fn foot_on_triangle([a, b, c]: [Point3; 3], point: Point3) -> Option<Point3> {
    let normal = (b - a).cross(c - a);
    let squared = normal.dot(normal);
    // The slack keeps points over the seam of two triangles from falling between them.
    let inside = |p: Point3, q: Point3| (q - p).cross(point - p).dot(normal) >= -1e-9 * squared;
    let over = squared > 0.0 && inside(a, b) && inside(b, c) && inside(c, a);
    over.then(|| point - normal * ((point - a).dot(normal) / squared))
}

/// The step from the nearest point of one segment to the nearest of another.
fn segment_step([a, b]: [Point3; 2], [c, d]: [Point3; 2]) -> Vec3 {
    let (u, v, w) = (b - a, d - c, a - c);
    let (uu, uv, vv) = (u.dot(u), u.dot(v), v.dot(v));
    let (uw, vw) = (u.dot(w), v.dot(w));
    let determinant = uu * vv - uv * uv;
    let mut s = if determinant > 1e-12 * uu * vv {
        ((uv * vw - vv * uw) / determinant).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let mut t = if vv > 0.0 { (uv * s + vw) / vv } else { 0.0 };
    if !(0.0..=1.0).contains(&t) {
        t = t.clamp(0.0, 1.0);
        s = if uu > 0.0 {
            ((uv * t - uw) / uu).clamp(0.0, 1.0)
        } else {
            0.0
        };
    }
    c.towards(d, t) - a.towards(b, s)
}

#[cfg(test)]
mod tests;
