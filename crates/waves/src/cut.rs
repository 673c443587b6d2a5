//! The room cut into cells by the planes of the grid, exactly and whatever its shape.
//!
//! A piece of air is kept as its boundary: convex polygons of the room's faces, and *caps*, the
//! parts of grid planes that close it. A cap is never traced into loops: it is a set of directed
//! edges whose sum has no ends, which is all that an integral over it needs (Green's theorem).
//! Cutting a closed boundary leaves one that is closed again, with faces in the cutting plane,
//! holes, several loops and corners on the plane needing no special case.

use std::collections::BTreeMap;

use crate::grid::Grid;
use crate::room::{Triangle, cross, dot, ring_normal, sub};

/// A corner this near to a cutting plane lies in it, m.
const ON_PLANE_M: f64 = 1e-9;
/// Pieces smaller than this share of their cell are left out.
const CRUMB: f64 = 1e-10;

/// A convex piece of a face of the room.
#[derive(Clone, Debug)]
pub(crate) struct Polygon {
    pub corners: Vec<[f64; 3]>,
    pub surface: usize,
}

/// A directed edge.
type Edge = ([f64; 3], [f64; 3]);

/// Part of a grid plane that closes a piece; its normal points along `axis`, up or down.
#[derive(Clone, Debug)]
pub(crate) struct Cap {
    pub axis: usize,
    pub upper: bool,
    pub edges: Vec<Edge>,
}

/// Air within one cell, connected.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    pub cell: [usize; 3],
    pub polygons: Vec<Polygon>,
    pub caps: Vec<Cap>,
    pub volume_m3: f64,
    /// Does it fill its cell?
    pub whole: bool,
}

#[derive(Clone, Debug, Default)]
struct Boundary {
    polygons: Vec<Polygon>,
    caps: Vec<Cap>,
}

/// All pieces of the room, by cell.
pub(crate) fn pieces(grid: &Grid, triangles: &[Triangle]) -> Vec<Piece> {
    let whole = Boundary {
        polygons: triangles
            .iter()
            .map(|t| Polygon {
                corners: t.corners.to_vec(),
                surface: t.surface,
            })
            .collect(),
        caps: Vec::new(),
    };
    let mut found = Vec::new();
    for (i, sheet) in slices(whole, 0, grid).into_iter().enumerate() {
        for (j, column) in slices(sheet, 1, grid).into_iter().enumerate() {
            for (k, cell) in slices(column, 2, grid).into_iter().enumerate() {
                found.extend(connected(cell, [i, j, k], grid));
            }
        }
    }
    found
}

fn slices(boundary: Boundary, axis: usize, grid: &Grid) -> Vec<Boundary> {
    let slabs = &grid.axes[axis];
    let mut rest = boundary;
    let mut slices = Vec::with_capacity(slabs.len());
    for slab in &slabs[..slabs.len() - 1] {
        let (lower, upper) = split(&rest, axis, slab.to_m);
        slices.push(lower);
        rest = upper;
    }
    slices.push(rest);
    slices
}

fn split(boundary: &Boundary, axis: usize, at_m: f64) -> (Boundary, Boundary) {
    let mut halves = (Boundary::default(), Boundary::default());
    let mut lower_edges: Vec<Edge> = Vec::new();
    for polygon in &boundary.polygons {
        let sides: Vec<i8> = polygon
            .corners
            .iter()
            .map(|p| side(p[axis], at_m))
            .collect();
        let above = sides.contains(&1);
        let below = sides.contains(&-1);
        if !above && !below {
            let corners = polygon
                .corners
                .iter()
                .map(|p| snapped(*p, axis, at_m))
                .collect();
            let polygon = &Polygon {
                corners,
                surface: polygon.surface,
            };
            // In the plane: it bounds the half that its normal points out of.
            if ring_normal(&polygon.corners)[axis] > 0.0 {
                lower_edges.extend(ring_edges(&polygon.corners));
                halves.0.polygons.push(polygon.clone());
            } else {
                halves.1.polygons.push(polygon.clone());
            }
            continue;
        }
        if below {
            let corners = kept(&polygon.corners, &sides, axis, at_m, -1);
            lower_edges.extend(ring_edges(&corners).filter(|e| on(e, axis, at_m)));
            halves.0.polygons.push(Polygon {
                corners,
                surface: polygon.surface,
            });
        }
        if above {
            let corners = kept(&polygon.corners, &sides, axis, at_m, 1);
            halves.1.polygons.push(Polygon {
                corners,
                surface: polygon.surface,
            });
        }
    }
    for cap in &boundary.caps {
        let lower = kept_edges(&cap.edges, axis, at_m, -1);
        lower_edges.extend(lower.iter().filter(|e| on(e, axis, at_m)).copied());
        let upper = kept_edges(&cap.edges, axis, at_m, 1);
        for (half, edges) in [(&mut halves.0, lower), (&mut halves.1, upper)] {
            let edges = cancelled(edges);
            if !edges.is_empty() {
                half.caps.push(Cap {
                    axis: cap.axis,
                    upper: cap.upper,
                    edges,
                });
            }
        }
    }
    // What the lower half lacks to be closed, turned round, is what the upper half lacks.
    let seam = cancelled(lower_edges);
    if !seam.is_empty() {
        let reversed = seam.iter().map(|(a, b)| (*b, *a)).collect();
        halves.0.caps.push(Cap {
            axis,
            upper: true,
            edges: reversed,
        });
        halves.1.caps.push(Cap {
            axis,
            upper: false,
            edges: seam,
        });
    }
    halves
}

fn side(x: f64, at: f64) -> i8 {
    if x > at + ON_PLANE_M {
        1
    } else if x < at - ON_PLANE_M {
        -1
    } else {
        0
    }
}

fn on(edge: &Edge, axis: usize, at: f64) -> bool {
    side(edge.0[axis], at) == 0 && side(edge.1[axis], at) == 0
}

fn ring_edges(ring: &[[f64; 3]]) -> impl Iterator<Item = Edge> + '_ {
    (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]))
}

/// Where an edge meets the plane; the same bits whichever way the edge runs.
fn meeting(a: [f64; 3], b: [f64; 3], axis: usize, at: f64) -> [f64; 3] {
    let (a, b) = if a < b { (a, b) } else { (b, a) };
    let t = (at - a[axis]) / (b[axis] - a[axis]);
    let mut p = [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * t);
    p[axis] = at;
    p
}

fn snapped(mut p: [f64; 3], axis: usize, at: f64) -> [f64; 3] {
    if side(p[axis], at) == 0 {
        p[axis] = at;
    }
    p
}

/// A convex ring's part on one side of the plane (Sutherland and Hodgman 1974).
fn kept(ring: &[[f64; 3]], sides: &[i8], axis: usize, at: f64, keep: i8) -> Vec<[f64; 3]> {
    let n = ring.len();
    let mut corners = Vec::with_capacity(n + 1);
    for i in 0..n {
        let j = (i + 1) % n;
        if sides[i] == keep || sides[i] == 0 {
            corners.push(snapped(ring[i], axis, at));
        }
        if sides[i] * sides[j] == -1 {
            corners.push(meeting(ring[i], ring[j], axis, at));
        }
    }
    corners
}

/// The part of a chain of edges on one side, closed again along the plane.
fn kept_edges(edges: &[Edge], axis: usize, at: f64, keep: i8) -> Vec<Edge> {
    let mut result: Vec<Edge> = Vec::with_capacity(edges.len() + 1);
    for &(a, b) in edges {
        let (sa, sb) = (side(a[axis], at), side(b[axis], at));
        if sa != keep && sb != keep {
            // An edge in the plane belongs to the closing below, which is worked out afresh.
            continue;
        }
        let start = if sa == -keep {
            meeting(a, b, axis, at)
        } else {
            snapped(a, axis, at)
        };
        let end = if sb == -keep {
            meeting(a, b, axis, at)
        } else {
            snapped(b, axis, at)
        };
        result.push((start, end));
    }
    // Ends that don't meet lie on one line. Walking along it, as many edges are missing as ends
    // have been passed without a start.
    let mut ends: BTreeMap<[u64; 3], ([f64; 3], i32)> = BTreeMap::new();
    for &(a, b) in &result {
        for (p, sign) in [(a, -1), (b, 1)] {
            if side(p[axis], at) == 0 {
                ends.entry(ordered(p)).or_insert((p, 0)).1 += sign;
            }
        }
    }
    let mut open: Vec<([f64; 3], i32)> = ends.into_values().filter(|(_, n)| *n != 0).collect();
    open.sort_by(|x, y| x.0.partial_cmp(&y.0).unwrap_or(std::cmp::Ordering::Equal));
    let mut running = 0;
    for pair in open.windows(2) {
        running += pair[0].1;
        let edge = if running > 0 {
            (pair[0].0, pair[1].0)
        } else {
            (pair[1].0, pair[0].0)
        };
        result.extend(std::iter::repeat_n(edge, running.unsigned_abs() as usize));
    }
    result
}

/// A key by which equal points are equal: −0 is 0.
fn ordered(p: [f64; 3]) -> [u64; 3] {
    p.map(|x| (x + 0.0).to_bits())
}

/// The chain without edges that meet their reverse or have no length.
fn cancelled(edges: Vec<Edge>) -> Vec<Edge> {
    let mut count: BTreeMap<([u64; 3], [u64; 3]), (Edge, i32)> = BTreeMap::new();
    for (a, b) in edges {
        let (ka, kb) = (ordered(a), ordered(b));
        if ka < kb {
            count.entry((ka, kb)).or_insert(((a, b), 0)).1 += 1;
        } else if kb < ka {
            count.entry((kb, ka)).or_insert(((b, a), 0)).1 -= 1;
        }
    }
    let mut rest = Vec::new();
    for ((a, b), n) in count.into_values() {
        let edge = if n > 0 { (a, b) } else { (b, a) };
        rest.extend(std::iter::repeat_n(edge, n.unsigned_abs() as usize));
    }
    rest
}

impl Boundary {
    /// Triangles whose signed sum is this boundary, with their cap's index if they are of one.
    fn volume_m3(&self, from: [f64; 3]) -> f64 {
        signed_triangles(&self.polygons, &self.caps)
            .map(|t| {
                let [a, b, c] = t.map(|p| sub(p, from));
                dot(a, cross(b, c)) / 6.0
            })
            .sum()
    }
}

/// Triangles, some of them turned, that add up to the boundary.
pub(crate) fn signed_triangles<'a>(
    polygons: &'a [Polygon],
    caps: &'a [Cap],
) -> impl Iterator<Item = [[f64; 3]; 3]> + 'a {
    let faces = polygons.iter().flat_map(|polygon| {
        let c = &polygon.corners;
        (2..c.len()).map(move |i| [c[0], c[i - 1], c[i]])
    });
    let closing = caps.iter().flat_map(|cap| {
        let apex = cap.edges[0].0;
        cap.edges.iter().map(move |(a, b)| [apex, *a, *b])
    });
    faces.chain(closing)
}

/// The pieces of air in one cell that don't touch each other.
fn connected(cell: Boundary, at: [usize; 3], grid: &Grid) -> Vec<Piece> {
    if cell.polygons.is_empty() && cell.caps.is_empty() {
        return Vec::new();
    }
    let slabs = [0, 1, 2].map(|axis| grid.axes[axis][at[axis]]);
    let middle = slabs.map(|s| 0.5 * (s.from_m + s.to_m));
    let full: f64 = slabs.iter().map(|s| s.width_m()).product();
    let mut parts: Vec<(f64, Boundary)> = surfaces_that_touch(cell)
        .into_iter()
        .map(|part| (part.volume_m3(middle), part))
        .collect();
    // A surface turned inwards is a column standing in the air around it.
    if parts.iter().any(|(volume, _)| *volume < 0.0) {
        let mut merged = (0.0, Boundary::default());
        for (volume, part) in parts {
            merged.0 += volume;
            merged.1.polygons.extend(part.polygons);
            merged.1.caps.extend(part.caps);
        }
        parts = vec![merged];
    }
    parts
        .into_iter()
        .filter(|(volume, _)| *volume > CRUMB * full)
        .map(|(volume_m3, part)| Piece {
            cell: at,
            whole: (volume_m3 - full).abs() < 1e-11 * full,
            polygons: part.polygons,
            caps: part.caps,
            volume_m3,
        })
        .collect()
}

fn surfaces_that_touch(cell: Boundary) -> Vec<Boundary> {
    let mut index: BTreeMap<[u64; 3], usize> = BTreeMap::new();
    let mut groups = Groups::default();
    let mut of = |p: &[f64; 3], groups: &mut Groups| {
        *index.entry(ordered(*p)).or_insert_with(|| groups.push())
    };
    let edges = cell
        .caps
        .iter()
        .flat_map(|cap| cap.edges.iter().map(|(a, b)| (*a, *b)));
    let all: Vec<Edge> = cell
        .polygons
        .iter()
        .flat_map(|p| ring_edges(&p.corners))
        .chain(edges)
        .collect();
    for (a, b) in &all {
        let (i, j) = (of(a, &mut groups), of(b, &mut groups));
        groups.join(i, j);
    }
    let mut parts: BTreeMap<usize, Boundary> = BTreeMap::new();
    for polygon in cell.polygons {
        let corner = of(&polygon.corners[0], &mut groups);
        let group = groups.find(corner);
        parts.entry(group).or_default().polygons.push(polygon);
    }
    for cap in cell.caps {
        let mut by_group: BTreeMap<usize, Vec<Edge>> = BTreeMap::new();
        for edge in cap.edges {
            let corner = of(&edge.0, &mut groups);
            let group = groups.find(corner);
            by_group.entry(group).or_default().push(edge);
        }
        for (group, edges) in by_group {
            let cap = Cap {
                axis: cap.axis,
                upper: cap.upper,
                edges,
            };
            parts.entry(group).or_default().caps.push(cap);
        }
    }
    parts.into_values().collect()
}

/// Sets that are joined until they are asked for (union–find).
#[derive(Default)]
pub(crate) struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    pub(crate) fn of_size(n: usize) -> Self {
        Self {
            parent: (0..n).collect(),
        }
    }

    fn push(&mut self) -> usize {
        self.parent.push(self.parent.len());
        self.parent.len() - 1
    }

    pub(crate) fn find(&mut self, mut i: usize) -> usize {
        while self.parent[i] != i {
            self.parent[i] = self.parent[self.parent[i]];
            i = self.parent[i];
        }
        i
    }

    pub(crate) fn join(&mut self, i: usize, j: usize) {
        let (a, b) = (self.find(i), self.find(j));
        self.parent[a.max(b)] = a.min(b);
    }
}

/// Do two pieces meet through the grid plane between them (the first below the second)?
pub(crate) fn meet(lower: &Piece, upper: &Piece, axis: usize) -> bool {
    let corners = |piece: &Piece, up: bool| -> Vec<[u64; 3]> {
        let mut keys: Vec<[u64; 3]> = piece
            .caps
            .iter()
            .filter(|cap| cap.axis == axis && cap.upper == up)
            .flat_map(|cap| cap.edges.iter().map(|(a, _)| ordered(*a)))
            .collect();
        keys.sort_unstable();
        keys.dedup();
        keys
    };
    let below = corners(lower, true);
    let shared = corners(upper, false)
        .iter()
        .filter(|key| below.binary_search(key).is_ok())
        .count();
    shared >= 3
}
