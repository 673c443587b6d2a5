//! The space that sound fills, as flat faces: is it closed, and what does it measure?

use std::collections::BTreeMap;

use geometry::Point3;
use units::{CubicMetres, SquareMetres};

use crate::triangulate::triangulate;

/// Corners closer than this are one corner, m.
const WELD_M: f64 = 1e-4;
/// How far a corner may stand out of its face's plane, m.
const FLATNESS_M: f64 = 5e-3;

/// A flat piece of the boundary.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Face {
    /// Corners, m, anticlockwise seen from outside the room (the normal points out of the air).
    pub outline: Vec<[f64; 3]>,
    /// Holes in it, each clockwise seen from outside.
    pub holes: Vec<Vec<[f64; 3]>>,
    /// Which surface it belongs to: an index into the list of admittances.
    pub surface: usize,
}

/// A closed space: faces whose edges all meet.
///
/// Several spaces joined by openings are one `Room` with the opening left out of both sides and
/// the reveals put in. An opening to the outside is a face whose surface lets sound out.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    pub(crate) triangles: Vec<Triangle>,
    surfaces: usize,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Triangle {
    pub corners: [[f64; 3]; 3],
    pub surface: usize,
}

/// Why faces don't make a room.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RoomError {
    /// A corner that is not a number.
    #[error("face {face} has a corner that is not finite")]
    NotFinite {
        /// Which face, from 0.
        face: usize,
    },
    /// Too few corners, or no area.
    #[error("face {face} has no area")]
    NoArea {
        /// Which face, from 0.
        face: usize,
    },
    /// Corners that don't lie in one plane.
    #[error("face {face} is not flat: a corner stands {off_m:.4} m out of its plane")]
    NotFlat {
        /// Which face, from 0.
        face: usize,
        /// By how much, m.
        off_m: f64,
    },
    /// An outline that crosses itself.
    #[error("the outline of face {face} crosses itself")]
    Crossing {
        /// Which face, from 0.
        face: usize,
    },
    /// An edge that no other face meets.
    #[error(
        "the room is not closed: face {face} has an open edge from ({:.3}, {:.3}, {:.3}) to ({:.3}, {:.3}, {:.3}) m",
        from_m[0], from_m[1], from_m[2], to_m[0], to_m[1], to_m[2]
    )]
    Open {
        /// Which face, from 0.
        face: usize,
        /// One end, m.
        from_m: [f64; 3],
        /// The other end, m.
        to_m: [f64; 3],
    },
    /// Normals that point into the air.
    #[error("the faces are turned inside out: list their corners anticlockwise seen from outside")]
    InsideOut,
}

impl Room {
    /// The room within `faces`, in any order.
    ///
    /// # Errors
    /// See [`RoomError`].
    pub fn new(faces: &[Face]) -> Result<Self, RoomError> {
        let mut corners = Corners::default();
        let mut rings: Vec<(usize, Vec<Vec<usize>>)> = Vec::new();
        for (index, face) in faces.iter().enumerate() {
            let mut of_face = Vec::new();
            for ring in std::iter::once(&face.outline).chain(&face.holes) {
                if ring.iter().flatten().any(|x| !x.is_finite()) {
                    return Err(RoomError::NotFinite { face: index });
                }
                let mut welded: Vec<usize> = ring.iter().map(|p| corners.index(*p)).collect();
                welded.dedup();
                while welded.len() > 1 && welded.first() == welded.last() {
                    welded.pop();
                }
                if welded.len() < 3 {
                    return Err(RoomError::NoArea { face: index });
                }
                of_face.push(welded);
            }
            rings.push((index, of_face));
        }
        let points = corners.points;
        for (_, of_face) in &mut rings {
            for ring in of_face {
                *ring = with_corners_between(ring, &points);
            }
        }
        closed(&rings, &points)?;
        let mut triangles = Vec::new();
        for (index, of_face) in &rings {
            let positions: Vec<Vec<[f64; 3]>> = of_face
                .iter()
                .map(|r| r.iter().map(|i| points[*i]).collect())
                .collect();
            check_flat(*index, &positions)?;
            let surface = faces[*index].surface;
            let cut = triangulate(&positions).ok_or(RoomError::Crossing { face: *index })?;
            triangles.extend(cut.into_iter().map(|corners| Triangle { corners, surface }));
        }
        let surfaces = faces.iter().map(|f| f.surface + 1).max().unwrap_or(0);
        let room = Self {
            triangles,
            surfaces,
        };
        if room.volume().0 <= 0.0 {
            return Err(RoomError::InsideOut);
        }
        Ok(room)
    }

    /// A prism: `plan` (m, anticlockwise from above) between two heights, m. Surface 0 is the
    /// floor, 1 the ceiling, 2 + i the wall from corner i to corner i + 1.
    ///
    /// # Errors
    /// See [`RoomError`].
    pub fn prism(plan: &[[f64; 2]], floor_m: f64, ceiling_m: f64) -> Result<Self, RoomError> {
        let at = |z: f64| plan.iter().map(move |p| [p[0], p[1], z]);
        let mut faces = vec![
            Face {
                outline: at(floor_m).rev().collect(),
                holes: vec![],
                surface: 0,
            },
            Face {
                outline: at(ceiling_m).collect(),
                holes: vec![],
                surface: 1,
            },
        ];
        for (i, a) in plan.iter().enumerate() {
            let b = plan[(i + 1) % plan.len()];
            let outline = vec![
                [a[0], a[1], floor_m],
                [b[0], b[1], floor_m],
                [b[0], b[1], ceiling_m],
                [a[0], a[1], ceiling_m],
            ];
            faces.push(Face {
                outline,
                holes: vec![],
                surface: 2 + i,
            });
        }
        Self::new(&faces)
    }

    /// How many surfaces its faces name.
    pub fn surfaces(&self) -> usize {
        self.surfaces
    }

    /// Volume of the air.
    pub fn volume(&self) -> CubicMetres {
        // The divergence theorem, seen from one corner so that far-off rooms lose no digits.
        let from = self.triangles.first().map_or([0.0; 3], |t| t.corners[0]);
        let six: f64 = self
            .triangles
            .iter()
            .map(|t| {
                let [a, b, c] = t.corners.map(|p| sub(p, from));
                dot(a, cross(b, c))
            })
            .sum();
        CubicMetres(six / 6.0)
    }

    /// Area of all faces.
    pub fn area(&self) -> SquareMetres {
        SquareMetres(self.triangles.iter().map(Triangle::area_m2).sum())
    }

    /// Is the point in the air, or within `tolerance_m` of its boundary?
    pub(crate) fn contains(&self, point: [f64; 3], tolerance_m: f64) -> bool {
        // The solid angle that the boundary fills (van Oosterom and Strackee 1983) is 4π inside.
        let angle: f64 = self
            .triangles
            .iter()
            .map(|t| solid_angle(t.corners, point))
            .sum();
        angle > 2.0 * std::f64::consts::PI
            || self
                .triangles
                .iter()
                .any(|t| t.distance_m(point) < tolerance_m)
    }
}

impl Triangle {
    pub(crate) fn area_m2(&self) -> f64 {
        let [a, b, c] = self.corners;
        0.5 * norm(cross(sub(b, a), sub(c, a)))
    }

    /// Distance from a point.
    fn distance_m(&self, p: [f64; 3]) -> f64 {
        let [a, b, c] = self.corners;
        let n = unit(cross(sub(b, a), sub(c, a)));
        let inside = [(a, b), (b, c), (c, a)]
            .iter()
            .all(|(s, e)| dot(cross(sub(*e, *s), sub(p, *s)), n) >= 0.0);
        if inside {
            return dot(sub(p, a), n).abs();
        }
        [(a, b), (b, c), (c, a)]
            .iter()
            .map(|(s, e)| {
                let along = sub(*e, *s);
                let t = (dot(sub(p, *s), along) / dot(along, along)).clamp(0.0, 1.0);
                norm(sub(p, add(*s, scale(along, t))))
            })
            .fold(f64::INFINITY, f64::min)
    }
}

/// The signed solid angle of a triangle, positive when its outer side is turned away.
pub(crate) fn solid_angle(corners: [[f64; 3]; 3], from: [f64; 3]) -> f64 {
    let [a, b, c] = corners.map(|p| sub(p, from));
    let (la, lb, lc) = (norm(a), norm(b), norm(c));
    let above = dot(a, cross(b, c));
    let below = la * lb * lc + dot(a, b) * lc + dot(a, c) * lb + dot(b, c) * la;
    2.0 * above.atan2(below)
}

/// Corners welded to the first one near them.
#[derive(Default)]
struct Corners {
    points: Vec<[f64; 3]>,
}

impl Corners {
    fn index(&mut self, p: [f64; 3]) -> usize {
        let near = |q: &[f64; 3]| norm(sub(*q, p)) < WELD_M;
        self.points.iter().position(near).unwrap_or_else(|| {
            self.points.push(p);
            self.points.len() - 1
        })
    }
}

/// The ring with every corner of the room that lies on one of its edges put in, so that faces
/// which meet along part of an edge share its corners.
fn with_corners_between(ring: &[usize], points: &[[f64; 3]]) -> Vec<usize> {
    let mut full = Vec::new();
    for (i, &from) in ring.iter().enumerate() {
        let to = ring[(i + 1) % ring.len()];
        let (a, along) = (points[from], sub(points[to], points[from]));
        let length = norm(along);
        let mut between: Vec<(f64, usize)> = points
            .iter()
            .enumerate()
            .filter(|(k, _)| *k != from && *k != to)
            .filter_map(|(k, p)| {
                let t = dot(sub(*p, a), along) / (length * length);
                let off = norm(sub(*p, add(a, scale(along, t))));
                (t > 0.0 && t < 1.0 && off < WELD_M).then_some((t, k))
            })
            .collect();
        between.sort_by(|x, y| x.0.total_cmp(&y.0));
        full.push(from);
        full.extend(between.into_iter().map(|(_, k)| k));
    }
    full
}

/// Does every edge meet its reverse?
fn closed(rings: &[(usize, Vec<Vec<usize>>)], points: &[[f64; 3]]) -> Result<(), RoomError> {
    let mut open: BTreeMap<(usize, usize), (i32, usize)> = BTreeMap::new();
    for (face, of_face) in rings {
        for ring in of_face {
            for (i, &from) in ring.iter().enumerate() {
                let to = ring[(i + 1) % ring.len()];
                let sign = if from < to { 1 } else { -1 };
                let entry = open
                    .entry((from.min(to), from.max(to)))
                    .or_insert((0, *face));
                entry.0 += sign;
                if entry.0 * sign > 0 {
                    entry.1 = *face;
                }
            }
        }
    }
    match open.into_iter().find(|(_, (count, _))| *count != 0) {
        None => Ok(()),
        Some(((from, to), (_, face))) => Err(RoomError::Open {
            face,
            from_m: points[from],
            to_m: points[to],
        }),
    }
}

fn check_flat(face: usize, rings: &[Vec<[f64; 3]>]) -> Result<(), RoomError> {
    let normal = ring_normal(&rings[0]);
    if norm(normal) < 1e-8 {
        return Err(RoomError::NoArea { face });
    }
    let n = unit(normal);
    let count = rings[0].len() as f64;
    let level = rings[0].iter().map(|p| dot(*p, n)).sum::<f64>() / count;
    let off_m = rings
        .iter()
        .flatten()
        .map(|p| (dot(*p, n) - level).abs())
        .fold(0.0, f64::max);
    if off_m > FLATNESS_M {
        Err(RoomError::NotFlat { face, off_m })
    } else {
        Ok(())
    }
}

/// Newell's normal: twice the area along the normal.
pub(crate) fn ring_normal(ring: &[[f64; 3]]) -> [f64; 3] {
    let from = ring[0];
    ring.iter().enumerate().fold([0.0; 3], |sum, (i, p)| {
        add(
            sum,
            cross(sub(*p, from), sub(ring[(i + 1) % ring.len()], from)),
        )
    })
}

pub(crate) fn add(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}
pub(crate) fn sub(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}
pub(crate) fn scale(a: [f64; 3], s: f64) -> [f64; 3] {
    a.map(|x| x * s)
}
pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}
pub(crate) fn norm(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}
pub(crate) fn unit(a: [f64; 3]) -> [f64; 3] {
    scale(a, 1.0 / norm(a))
}

/// A point as the three numbers that the engine counts with.
pub(crate) fn array(p: Point3) -> [f64; 3] {
    [p.x, p.y, p.z]
}
