//! Which flat faces close a room in, and where are they hit?
//!
//! Faces are polygons of any shape, with holes; the room need not be convex. Each face
//! is kept with its plane and its outline in the two coordinates that are largest on it,
//! so that a point on it is told from one beside it by counting crossings.

use std::collections::HashMap;

use units::{Metres, SquareMetres};

use crate::direction::Point;
use crate::vector::{cross, dot, norm};

/// Corners nearer than this are one, and a face may be out of its plane by as much, m.
const TOUCH_M: f64 = 1e-3;

/// A point this near to an edge counts as on the face, m.
const EDGE_M: f64 = 1e-9;

/// A flat face.
#[derive(Clone, Debug, PartialEq)]
pub struct Facet {
    /// Its corners, anticlockwise seen from outside the air; in a loop, any number.
    pub outline: Vec<Point>,
    /// The outlines of holes in it, the other way round.
    pub holes: Vec<Vec<Point>>,
}

/// Why faces do not close a room in.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EnclosureError {
    /// Fewer than three corners, all on one line, or not finite.
    #[error("face {0} has no area")]
    NoArea(usize),
    /// A corner lies out of the plane of the others.
    #[error("face {face} is not flat: a corner is {off_mm:.1} mm out of its plane")]
    NotFlat {
        /// The face.
        face: usize,
        /// How far, mm.
        off_mm: f64,
    },
    /// An edge that no other face shares.
    #[error(
        "the room is open: face {face} ends at ({:.3}, {:.3}, {:.3}) m and no face goes on from there", .at[0].0, .at[1].0, .at[2].0
    )]
    Open {
        /// The face.
        face: usize,
        /// The middle of the open edge.
        at: Point,
    },
}

/// A room's air and the faces around it.
#[derive(Clone, Debug)]
pub struct Enclosure {
    pub(crate) faces: Vec<Flat>,
    /// Nothing can stand between two points of a convex room.
    pub(crate) convex: bool,
    corners: Vec<[f64; 3]>,
}

/// A face with its plane: `n · p = offset` on it, more inside the room.
#[derive(Clone, Debug)]
pub(crate) struct Flat {
    pub normal: [f64; 3],
    pub offset: f64,
    /// The two coordinates in which the outline is kept.
    pub across: [usize; 2],
    edges: Vec<[[f64; 2]; 2]>,
    /// Outside these no point of the plane is on the face; without end along the coordinate
    /// that the outline is kept without.
    pub bounds: [[f64; 3]; 2],
    /// The outline is its bounds: most walls of most houses.
    pub fills_bounds: bool,
    area_m2: f64,
}

impl Enclosure {
    /// Faces that close a room in.
    pub fn new(facets: &[Facet]) -> Result<Self, EnclosureError> {
        let loops: Vec<Vec<Vec<[f64; 3]>>> = facets.iter().map(loops).collect();
        let faces = (loops.iter().enumerate())
            .map(|(face, loops)| Flat::new(face, loops))
            .collect::<Result<Vec<Flat>, EnclosureError>>()?;
        let corners: Vec<[f64; 3]> = loops.iter().flatten().flatten().copied().collect();
        closed(&loops)?;
        let convex =
            (faces.iter()).all(|face| (corners.iter()).all(|corner| face.height(*corner) > -1e-6));
        Ok(Self {
            faces,
            convex,
            corners,
        })
    }

    /// The number of its faces.
    pub fn face_count(&self) -> usize {
        self.faces.len()
    }

    /// The area of a face.
    pub fn face_area(&self, face: usize) -> SquareMetres {
        SquareMetres(self.faces[face].area_m2)
    }

    /// Square to a face, into the room, length 1.
    pub fn normal(&self, face: usize) -> [f64; 3] {
        self.faces[face].normal
    }

    /// How far a point lies before the plane of a face; negative behind it.
    pub fn height(&self, face: usize, point: Point) -> Metres {
        Metres(self.faces[face].height(point.map(|part| part.0)))
    }

    /// Whether nothing can stand between two points of it.
    pub fn is_convex(&self) -> bool {
        self.convex
    }

    /// The least box round it, lower and upper corner.
    pub fn bounds(&self) -> [Point; 2] {
        let end = |pick: fn(f64, f64) -> f64, start: f64| {
            [0, 1, 2].map(|axis| {
                let along = self.corners.iter().map(|corner| corner[axis]);
                Metres(along.fold(start, pick))
            })
        };
        [
            end(f64::min, f64::INFINITY),
            end(f64::max, f64::NEG_INFINITY),
        ]
    }

    /// Volume by the divergence theorem.
    pub fn volume_m3(&self) -> f64 {
        (self.faces.iter())
            .map(|face| -face.offset * face.area_m2 / 3.0)
            .sum()
    }

    /// Whether a point is in the air: the ray from it meets an odd number of faces.
    pub fn contains(&self, point: Point) -> bool {
        let from = point.map(|part| part.0);
        // Askew, so that it runs along no wall and through no corner of a built room.
        let way = [0.613_72, 0.485_31, 0.622_67];
        let meets = |face: &&Flat| {
            let slope = dot(face.normal, way);
            let along = -face.height(from) / slope;
            slope != 0.0 && along > 0.0 && face.holds([0, 1, 2].map(|i| from[i] + along * way[i]))
        };
        from.iter().all(|part| part.is_finite()) && self.faces.iter().filter(meets).count() % 2 == 1
    }

    /// The first face that a ray meets, and how far on; `way` has length 1.
    pub(crate) fn hit(&self, from: [f64; 3], way: [f64; 3], not: usize) -> Option<(usize, f64)> {
        let mut nearest: Option<(usize, f64)> = None;
        for (index, face) in self.faces.iter().enumerate() {
            let slope = dot(face.normal, way);
            if index == not || slope >= 0.0 {
                continue;
            }
            let along = -face.height(from) / slope;
            if along > 0.0
                && nearest.is_none_or(|(_, least)| along < least)
                && (self.convex || face.holds([0, 1, 2].map(|i| from[i] + along * way[i])))
            {
                nearest = Some((index, along));
            }
        }
        nearest
    }

    /// Whether a face stands between two points; those at its ends are left out.
    pub(crate) fn is_blocked(&self, from: [f64; 3], to: [f64; 3], ends: [usize; 2]) -> bool {
        if self.convex {
            return false;
        }
        self.faces.iter().enumerate().any(|(index, face)| {
            if ends.contains(&index) {
                return false;
            }
            let (a, b) = (face.height(from), face.height(to));
            if a * b >= 0.0 {
                return false;
            }
            let along = a / (a - b);
            face.holds([0, 1, 2].map(|i| from[i] + along * (to[i] - from[i])))
        })
    }
}

impl Flat {
    fn new(face: usize, loops: &[Vec<[f64; 3]>]) -> Result<Self, EnclosureError> {
        // Newell: twice the area, square to the face, holes taken off.
        let mut area = [0.0; 3];
        for corners in loops {
            for (at, a) in corners.iter().enumerate() {
                let product = cross(*a, corners[(at + 1) % corners.len()]);
                area = [0, 1, 2].map(|i| area[i] + product[i]);
            }
        }
        let twice = norm(area);
        if !(twice > 2.0 * TOUCH_M * TOUCH_M && twice.is_finite()) || loops[0].len() < 3 {
            return Err(EnclosureError::NoArea(face));
        }
        let normal = area.map(|part| -part / twice);
        let corners = || loops.iter().flatten();
        let count = corners().count() as f64;
        let offset = corners().map(|corner| dot(normal, *corner)).sum::<f64>() / count;
        let off = |corner: &[f64; 3]| (dot(normal, *corner) - offset).abs();
        let worst = corners().map(off).fold(0.0, f64::max);
        if worst > TOUCH_M {
            let off_mm = worst * 1e3;
            return Err(EnclosureError::NotFlat { face, off_mm });
        }
        let size = normal.map(f64::abs);
        let across = if size[2] >= size[0] && size[2] >= size[1] {
            [0, 1]
        } else if size[0] >= size[1] {
            [1, 2]
        } else {
            [2, 0]
        };
        let flat = |corner: &[f64; 3]| across.map(|axis| corner[axis]);
        let edges: Vec<[[f64; 2]; 2]> = (loops.iter())
            .flat_map(|corners| {
                (0..corners.len())
                    .map(move |at| [at, (at + 1) % corners.len()].map(|i| flat(&corners[i])))
            })
            .collect();
        let mut bounds = [[f64::NEG_INFINITY; 3], [f64::INFINITY; 3]];
        for (side, axis) in across.into_iter().enumerate() {
            let along = || edges.iter().map(|edge| edge[0][side]);
            bounds[0][axis] = along().fold(f64::INFINITY, f64::min) - EDGE_M;
            bounds[1][axis] = along().fold(f64::NEG_INFINITY, f64::max) + EDGE_M;
        }
        let upright = |[a, b]: &[[f64; 2]; 2]| a[0] == b[0] || a[1] == b[1];
        Ok(Self {
            normal,
            offset,
            across,
            // Four edges that each run along a coordinate are a rectangle.
            fills_bounds: edges.len() == 4 && edges.iter().all(upright),
            edges,
            bounds,
            area_m2: twice / 2.0,
        })
    }

    pub fn height(&self, point: [f64; 3]) -> f64 {
        dot(self.normal, point) - self.offset
    }

    /// Whether a point of the plane lies on the face.
    pub fn holds(&self, point: [f64; 3]) -> bool {
        self.bounds_hold(point) && (self.fills_bounds || self.outline_holds(point))
    }

    /// Whether a point of the plane lies in the rectangle around the face.
    #[inline]
    pub fn bounds_hold(&self, [x, y, z]: [f64; 3]) -> bool {
        let [low, high] = &self.bounds;
        let larger = |a: f64, b: f64| if a > b { a } else { b };
        // One comparison in place of six: which of many points lie on a face can't be foretold.
        let out = larger(
            larger(
                larger(low[0] - x, x - high[0]),
                larger(low[1] - y, y - high[1]),
            ),
            larger(low[2] - z, z - high[2]),
        );
        out <= 0.0
    }

    /// Whether a point in the rectangle around the face lies on it.
    #[inline(never)]
    pub fn outline_holds(&self, point: [f64; 3]) -> bool {
        let [x, y] = self.across.map(|axis| point[axis]);
        let mut inside = false;
        for [[ax, ay], [bx, by]] in &self.edges {
            if (*ay > y) != (*by > y) && x < (bx - ax) * (y - ay) / (by - ay) + ax {
                inside = !inside;
            }
        }
        inside || self.edges.iter().any(|edge| is_on([x, y], edge))
    }
}

fn is_on([x, y]: [f64; 2], [[ax, ay], [bx, by]]: &[[f64; 2]; 2]) -> bool {
    let (dx, dy) = (bx - ax, by - ay);
    let length2 = dx * dx + dy * dy;
    let along = (((x - ax) * dx + (y - ay) * dy) / length2).clamp(0.0, 1.0);
    (x - ax - along * dx).hypot(y - ay - along * dy) <= EDGE_M
}

fn loops(facet: &Facet) -> Vec<Vec<[f64; 3]>> {
    std::iter::once(&facet.outline)
        .chain(&facet.holes)
        .map(|corners| {
            (corners.iter())
                .map(|point| point.map(|part| part.0))
                .collect()
        })
        .collect()
}

/// Every stretch of every edge has to run as often one way as the other. A corner of one
/// face may lie along the edge of another, so edges are cut at every corner on them.
fn closed(loops: &[Vec<Vec<[f64; 3]>>]) -> Result<(), EnclosureError> {
    let mut corners: Vec<[f64; 3]> = Vec::new();
    let mut index = |point: [f64; 3]| {
        let known = corners
            .iter()
            .position(|other| apart(*other, point) < TOUCH_M);
        known.unwrap_or_else(|| {
            corners.push(point);
            corners.len() - 1
        })
    };
    let mut edges: Vec<(usize, usize, usize)> = Vec::new();
    for (face, loops) in loops.iter().enumerate() {
        for corners in loops {
            let numbers: Vec<usize> = corners.iter().map(|corner| index(*corner)).collect();
            for (at, from) in numbers.iter().enumerate() {
                edges.push((face, *from, numbers[(at + 1) % numbers.len()]));
            }
        }
    }
    let mut balance: HashMap<(usize, usize), (i32, usize)> = HashMap::new();
    for (face, from, to) in edges {
        let (a, b) = (corners[from], corners[to]);
        let length = apart(a, b);
        let mut cuts: Vec<(f64, usize)> = (corners.iter().enumerate())
            .filter_map(|(number, point)| {
                let way = [0, 1, 2].map(|i| b[i] - a[i]);
                let step = [0, 1, 2].map(|i| point[i] - a[i]);
                let along = dot(way, step) / length;
                let foot = [0, 1, 2].map(|i| a[i] + way[i] * along / length);
                let on = along > -TOUCH_M && along < length + TOUCH_M;
                (on && apart(foot, *point) < TOUCH_M).then_some((along, number))
            })
            .collect();
        cuts.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in cuts.windows(2) {
            let (from, to) = (pair[0].1, pair[1].1);
            let (key, way) = if from < to {
                ((from, to), 1)
            } else {
                ((to, from), -1)
            };
            balance.entry(key).or_insert((0, face)).0 += way;
        }
    }
    let mut open: Vec<_> = (balance.into_iter())
        .filter(|(_, (balance, _))| *balance != 0)
        .collect();
    open.sort_unstable();
    match open.first() {
        None => Ok(()),
        Some(((from, to), (_, face))) => Err(EnclosureError::Open {
            face: *face,
            at: [0, 1, 2].map(|i| Metres((corners[*from][i] + corners[*to][i]) / 2.0)),
        }),
    }
}

fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
    norm([0, 1, 2].map(|i| a[i] - b[i]))
}

/// A room with upright walls over a plan, whose corners run anticlockwise: a wall on each
/// side of the plan in its order, then the floor, then a level ceiling.
pub fn prism(plan: &[[Metres; 2]], height: Metres) -> Vec<Facet> {
    let at = |corner: [Metres; 2], z: Metres| [corner[0], corner[1], z];
    let zero = Metres(0.0);
    let count = plan.len();
    let wall = |index: usize| {
        let (a, b) = (plan[index], plan[(index + 1) % count]);
        vec![at(a, zero), at(b, zero), at(b, height), at(a, height)]
    };
    let floor = plan.iter().rev().map(|corner| at(*corner, zero)).collect();
    let ceiling = plan.iter().map(|corner| at(*corner, height)).collect();
    (0..count)
        .map(wall)
        .chain([floor, ceiling])
        .map(|outline| Facet {
            outline,
            holes: Vec::new(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shoebox() -> Vec<Facet> {
        let plan = [[0.0, 0.0], [6.0, 0.0], [6.0, 4.0], [0.0, 4.0]];
        prism(&plan.map(|corner| corner.map(Metres)), Metres(2.4))
    }

    fn ell() -> Vec<Facet> {
        let plan = [
            [0.0, 0.0],
            [6.0, 0.0],
            [6.0, 3.0],
            [3.0, 3.0],
            [3.0, 5.0],
            [0.0, 5.0],
        ];
        prism(&plan.map(|corner| corner.map(Metres)), Metres(2.5))
    }

    #[test]
    fn volume_and_areas_are_those_of_the_box() {
        let room = Enclosure::new(&shoebox()).unwrap();
        assert!((room.volume_m3() - 57.6).abs() < 1e-9);
        let areas: Vec<f64> = (0..6).map(|face| room.face_area(face).0).collect();
        for (found, by_hand) in areas.iter().zip([14.4, 9.6, 14.4, 9.6, 24.0, 24.0]) {
            assert!((found - by_hand).abs() < 1e-9);
        }
        assert!(room.is_convex());
        assert_eq!(room.normal(4).map(f64::round), [0.0, 0.0, 1.0]);
    }

    #[test]
    fn inside_and_outside_are_told_apart() {
        let room = Enclosure::new(&ell()).unwrap();
        assert!(!room.is_convex());
        assert!((room.volume_m3() - 24.0 * 2.5).abs() < 1e-9);
        let holds = |x, y, z| room.contains([x, y, z].map(Metres));
        assert!(holds(1.0, 4.0, 1.0) && holds(5.0, 1.0, 2.4));
        assert!(!holds(5.0, 4.0, 1.0) && !holds(1.0, 1.0, 2.6) && !holds(f64::NAN, 0.0, 0.0));
    }

    #[test]
    fn an_open_room_is_refused_with_the_place() {
        for missing in 0..6 {
            let mut facets = shoebox();
            facets.remove(missing);
            let refused = Enclosure::new(&facets);
            assert!(
                matches!(refused, Err(EnclosureError::Open { .. })),
                "{missing}"
            );
        }
        // Both of two opposite walls: areas still cancel, edges do not.
        let mut facets = shoebox();
        facets.remove(2);
        facets.remove(0);
        let error = Enclosure::new(&facets).unwrap_err();
        assert!(error.to_string().contains("the room is open"), "{error}");
    }

    #[test]
    fn bent_and_empty_faces_are_refused() {
        let mut facets = shoebox();
        facets[0].outline[2][1] = Metres(0.1);
        assert!(matches!(
            Enclosure::new(&facets),
            Err(EnclosureError::NotFlat { face: 0, .. })
        ));
        facets[0].outline.truncate(2);
        assert_eq!(
            Enclosure::new(&facets).unwrap_err(),
            EnclosureError::NoArea(0)
        );
    }

    #[test]
    fn a_corner_along_an_edge_leaves_no_gap() {
        // The first wall in two pieces: the floor's edge runs past the joint.
        let mut facets = shoebox();
        let z = [0.0, 2.4].map(Metres);
        let [a, m, b] = [0.0, 2.5, 6.0].map(Metres);
        let zero = Metres(0.0);
        let piece = |from, to| Facet {
            outline: vec![
                [from, zero, z[0]],
                [to, zero, z[0]],
                [to, zero, z[1]],
                [from, zero, z[1]],
            ],
            holes: Vec::new(),
        };
        facets[0] = piece(a, m);
        facets.push(piece(m, b));
        assert!(Enclosure::new(&facets).is_ok());
    }

    #[test]
    fn a_hole_is_no_part_of_its_face() {
        let square = |size: f64, z: f64| {
            [[-size, -size], [size, -size], [size, size], [-size, size]]
                .map(|[x, y]| [x, y, z].map(Metres))
                .to_vec()
        };
        let mut hole = square(0.5, 0.0);
        hole.reverse();
        let loops = loops(&Facet {
            outline: square(2.0, 0.0),
            holes: vec![hole],
        });
        let face = Flat::new(0, &loops).unwrap();
        assert!((face.area_m2 - 15.0).abs() < 1e-12);
        assert!(face.holds([1.0, 1.0, 0.0]) && !face.holds([0.1, 0.2, 0.0]));
        assert!(face.holds([0.5, 0.2, 0.0]), "an edge belongs to the face");
    }
}
