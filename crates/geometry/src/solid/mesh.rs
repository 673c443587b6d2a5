//! Loops, triangles and closedness of a solid's faces.

use geo::{Coord, LineString, Polygon, TriangulateEarcut};

use super::{Face, Surface};
use crate::plan::{self, TOUCH_M};
use crate::{Point2, Point3, Vec2, Vec3};

/// A directed edge of a face's outline, anticlockwise seen from outside the air.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
pub(super) struct Edge {
    pub surface: Surface,
    pub from: usize,
    pub to: usize,
}

/// Joins the pieces of each surface and chains what is left into faces.
pub(super) fn faces(
    mut edges: Vec<Edge>,
    vertices: &[Point3],
    normal: impl Fn(Surface) -> Vec3,
) -> Vec<Face> {
    edges.retain(|e| e.from != e.to);
    edges.sort_unstable();
    let outline: Vec<Edge> = edges
        .iter()
        .copied()
        .filter(|e| {
            edges
                .binary_search(&Edge {
                    from: e.to,
                    to: e.from,
                    ..*e
                })
                .is_err()
        })
        .collect();
    let mut faces = Vec::new();
    for group in outline.chunk_by(|a, b| a.surface == b.surface) {
        let normal = normal(group[0].surface);
        let project = projection(normal);
        let (outers, holes): (Vec<_>, Vec<_>) = loops(group, |i| project(vertices[i]))
            .into_iter()
            .map(|corners| {
                let flat: Vec<Point2> = corners.iter().map(|&i| project(vertices[i])).collect();
                (corners, plan::signed_area(&flat).0, flat)
            })
            .partition(|&(_, area, _)| area >= 0.0);
        let mut with_holes: Vec<(Vec<Vec<usize>>, f64)> = outers
            .iter()
            .map(|(corners, area, _)| (vec![corners.clone()], *area))
            .collect();
        for (corners, area, flat) in holes {
            let around = (0..outers.len())
                .filter(|&i| plan::contains(&outers[i].2, flat[0]))
                .min_by(|&a, &b| outers[a].1.total_cmp(&outers[b].1));
            // A hole without an outline is an inverted sliver of rounding: keep it closed.
            match around {
                Some(i) => {
                    with_holes[i].0.push(corners);
                    with_holes[i].1 += area;
                }
                None => with_holes.push((vec![corners], area)),
            }
        }
        // The projection shortens sloping faces by the cosine of their slope.
        let stretch = if normal.z.abs() > 1e-9 {
            1.0 / normal.z.abs()
        } else {
            1.0
        };
        faces.extend(with_holes.into_iter().map(|(loops, area)| {
            super::build::face(group[0].surface, loops, normal, area * stretch)
        }));
    }
    faces
}

/// The face seen from outside: anticlockwise there is anticlockwise here.
fn projection(normal: Vec3) -> impl Fn(Point3) -> Point2 {
    let along = Vec2::new(normal.x, normal.y).left();
    move |p: Point3| {
        if normal.z > 1e-9 {
            p.on_plan()
        } else if normal.z < -1e-9 {
            Point2::new(p.x, -p.y)
        } else {
            Point2::new((p.on_plan() - Point2::default()).dot(along), p.z)
        }
    }
}

/// Chains the sorted edges of one surface; where outlines touch at a vertex, each
/// turns sharpest left, so that none crosses itself.
fn loops(edges: &[Edge], place: impl Fn(usize) -> Point2) -> Vec<Vec<usize>> {
    let mut used = vec![false; edges.len()];
    let mut loops = Vec::new();
    for start in 0..edges.len() {
        let (mut corners, mut current) = (Vec::new(), start);
        while !used[current] {
            used[current] = true;
            corners.push(edges[current].from);
            let Edge { from, to, .. } = edges[current];
            let first = edges.partition_point(|e| e.from < to);
            let way_back = place(from) - place(to);
            let clockwise_from_back = |&i: &usize| {
                let way = place(edges[i].to) - place(to);
                let turn = way.cross(way_back).atan2(way.dot(way_back));
                if turn <= 0.0 {
                    turn + std::f64::consts::TAU
                } else {
                    turn
                }
            };
            let leaving = (first..edges.len()).take_while(|&i| edges[i].from == to);
            let next = leaving
                .filter(|&i| !used[i] || i == start)
                .map(|i| (clockwise_from_back(&i), i))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            match next {
                Some((_, i)) => current = i,
                None => break,
            }
        }
        if corners.len() > 1 {
            loops.push(corners);
        }
    }
    loops
}

/// Drops vertices that lie straight on in both of the only two faces that have
/// them, and numbers the rest anew.
pub(super) fn drop_straight_vertices(faces: &mut [Face], vertices: &mut Vec<Point3>) {
    let mut uses = vec![0_usize; vertices.len()];
    let mut straight = vec![0_usize; vertices.len()];
    for corners in faces.iter().flat_map(|f| &f.loops) {
        let n = corners.len();
        for i in 0..n {
            let [before, here, after] =
                [corners[(i + n - 1) % n], corners[i], corners[(i + 1) % n]];
            uses[here] += 1;
            let across = vertices[after] - vertices[before];
            let step = vertices[here] - vertices[before];
            let off = across.cross(step).length();
            if step.dot(across) > 0.0 && off <= TOUCH_M * across.length() {
                straight[here] += 1;
            }
        }
    }
    let keep = |i: usize| uses[i] > 0 && !(uses[i] == 2 && straight[i] == 2);
    let mut renumbered = vec![0; vertices.len()];
    let mut kept = Vec::new();
    for (i, &vertex) in vertices.iter().enumerate() {
        if keep(i) {
            renumbered[i] = kept.len();
            kept.push(vertex);
        }
    }
    for corners in faces.iter_mut().flat_map(|f| &mut f.loops) {
        corners.retain(|&i| keep(i));
        corners.iter_mut().for_each(|i| *i = renumbered[*i]);
    }
    *vertices = kept;
}

/// Fills in the triangles of every face.
pub(super) fn triangulate(faces: &mut [Face], vertices: &[Point3]) {
    for face in faces {
        let project = projection(face.normal);
        let ring = |corners: &Vec<usize>| {
            let at = |&i: &usize| {
                let p = project(vertices[i]);
                Coord { x: p.x, y: p.y }
            };
            LineString(corners.iter().chain(corners.first()).map(at).collect())
        };
        let numbers: Vec<usize> = face.loops.concat();
        if numbers.len() == 3 {
            face.triangles = vec![[numbers[0], numbers[1], numbers[2]]];
            continue;
        }
        let mut rings = face.loops.iter().filter(|l| l.len() > 2).map(ring);
        let Some(outer) = rings.next() else {
            continue;
        };
        let polygon = Polygon::new(outer, rings.collect());
        let raw = polygon.earcut_triangles_raw().triangle_indices;
        face.triangles = raw
            .chunks_exact(3)
            .map(|t| {
                let flat = [t[0], t[1], t[2]].map(|i| project(vertices[numbers[i]]));
                let [a, b, c] = [t[0], t[1], t[2]].map(|i| numbers[i]);
                if plan::signed_area(&flat).0 < 0.0 {
                    [a, c, b]
                } else {
                    [a, b, c]
                }
            })
            .collect();
        restore_straight_vertices(face, vertices);
    }
}

/// Ear clipping leaves out vertices that lie straight on; neighbours meet the face
/// there, so the triangle beside such a vertex is split.
fn restore_straight_vertices(face: &mut Face, vertices: &[Point3]) {
    let numbers: Vec<usize> = face.loops.concat();
    for &missing in &numbers {
        if face.triangles.iter().any(|t| t.contains(&missing)) {
            continue;
        }
        let beside = |from: usize, to: usize| {
            let along = vertices[to] - vertices[from];
            let step = vertices[missing] - vertices[from];
            let share = step.dot(along) / along.dot(along);
            let off = (step - along * share).length();
            (share > 0.0 && share < 1.0)
                .then_some(off)
                .filter(|&off| off < 1e-5)
        };
        let nearest = (0..face.triangles.len())
            .flat_map(|i| (0..3).map(move |side| (i, side)))
            .filter_map(|(i, side)| {
                let t = face.triangles[i];
                beside(t[side], t[(side + 1) % 3]).map(|off| (off, i, side))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, i, side)) = nearest {
            let t = face.triangles[i];
            let [from, to, apex] = [t[side], t[(side + 1) % 3], t[(side + 2) % 3]];
            face.triangles[i] = [from, missing, apex];
            face.triangles.push([missing, to, apex]);
        }
    }
}

/// A vertex of an edge that does not run as often one way as the other.
pub(super) fn open_edge<'a>(loops: impl Iterator<Item = &'a [usize]>) -> Option<usize> {
    let mut edges: Vec<(usize, usize)> = Vec::new();
    for corners in loops {
        edges.extend((0..corners.len()).map(|i| (corners[i], corners[(i + 1) % corners.len()])));
    }
    edges.sort_unstable();
    let count = |edge: (usize, usize)| {
        edges.partition_point(|&e| e <= edge) - edges.partition_point(|&e| e < edge)
    };
    edges
        .iter()
        .find(|&&(a, b)| count((a, b)) != count((b, a)))
        .map(|e| e.0)
}

/// Vertices − edges + faces.
pub(super) fn euler_characteristic<'a>(triangles: impl Iterator<Item = &'a [usize; 3]>) -> i64 {
    let (mut vertices, mut edges, mut count) = (Vec::<usize>::new(), Vec::new(), 0);
    for t in triangles {
        vertices.extend(t);
        edges.extend((0..3).map(|i| {
            let (a, b) = (t[i], t[(i + 1) % 3]);
            (a.min(b), a.max(b))
        }));
        count += 1;
    }
    vertices.sort_unstable();
    vertices.dedup();
    edges.sort_unstable();
    edges.dedup();
    vertices.len() as i64 - edges.len() as i64 + count
}
