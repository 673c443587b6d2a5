//! The plan cut up by lines: which cells do walls, boxes and creases enclose?
//!
//! All lines are split where they cross or touch, equal pieces become one edge,
//! and each edge is stored as two half-edges, one per side. A cell is named by
//! the closed walks of half-edges that keep it on their left. Because neighbours
//! share edges and points by index, whatever is raised over the cells closes
//! without gaps.

use crate::{Point2, Vec2};

/// Points closer than this become one.
const WELD_M: f64 = 1e-7;

/// A line to cut along; `wall` names the wall that it is the foot of.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Piece {
    pub from: Point2,
    pub to: Point2,
    pub wall: Option<usize>,
}

/// One side of an edge, with its cell on the left; the other side is at index `i ^ 1`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HalfEdge {
    pub from: usize,
    pub to: usize,
    pub wall: Option<usize>,
    /// Which closed walk it belongs to.
    pub walk: usize,
}

#[derive(Debug)]
pub(crate) struct Subdivision {
    pub points: Vec<Point2>,
    pub half_edges: Vec<HalfEdge>,
    /// For each closed walk a point in its cell, clear of all edges; `None` when
    /// nothing lies on its left.
    pub samples: Vec<Option<Point2>>,
}

impl Subdivision {
    pub(crate) fn new(pieces: &[Piece]) -> Self {
        let mut points = Vec::new();
        let ends: Vec<(usize, usize)> = pieces
            .iter()
            .map(|piece| (weld(&mut points, piece.from), weld(&mut points, piece.to)))
            .collect();
        for (i, a) in pieces.iter().enumerate() {
            for b in &pieces[i + 1..] {
                if let Some(crossing) = crossing(a, b) {
                    weld(&mut points, crossing);
                }
            }
        }
        let half_edges = split(pieces, &ends, &points);
        let mut subdivision = Self {
            points,
            half_edges,
            samples: Vec::new(),
        };
        subdivision.walk();
        subdivision
    }

    /// Numbers the closed walks and finds a point to the left of each.
    fn walk(&mut self) {
        const UNVISITED: usize = usize::MAX;
        let next = self.successors();
        for start in 0..self.half_edges.len() {
            if self.half_edges[start].walk != UNVISITED {
                continue;
            }
            let walk = self.samples.len();
            let (mut current, mut longest) = (start, start);
            while self.half_edges[current].walk == UNVISITED {
                self.half_edges[current].walk = walk;
                if self.length(current) > self.length(longest) {
                    longest = current;
                }
                current = next[current];
            }
            let sample = self.point_left_of(longest);
            self.samples.push(sample);
        }
    }

    /// For each half-edge the one that follows round the cell on its left: at its
    /// end, the first one clockwise from the way back.
    fn successors(&self) -> Vec<usize> {
        let angle = |&i: &usize| {
            let HalfEdge { from, to, .. } = self.half_edges[i];
            let way = self.points[to] - self.points[from];
            way.y.atan2(way.x)
        };
        let mut leaving: Vec<(usize, f64, usize)> = (0..self.half_edges.len())
            .map(|i| (self.half_edges[i].from, angle(&i), i))
            .collect();
        leaving.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
        let mut next = vec![0; self.half_edges.len()];
        let mut start = 0;
        while start < leaving.len() {
            let point = leaving[start].0;
            let fan = leaving[start..].iter().take_while(|l| l.0 == point).count();
            for i in 0..fan {
                let way_back = leaving[start + i].2;
                next[way_back ^ 1] = leaving[start + (i + fan - 1) % fan].2;
            }
            start += fan;
        }
        next
    }

    fn length(&self, half_edge: usize) -> f64 {
        let HalfEdge { from, to, .. } = self.half_edges[half_edge];
        self.points[from].distance(self.points[to])
    }

    /// A point half-way from the middle of the half-edge to what lies opposite.
    fn point_left_of(&self, half_edge: usize) -> Option<Point2> {
        let HalfEdge { from, to, .. } = self.half_edges[half_edge];
        let middle = self.points[from].towards(self.points[to], 0.5);
        let left = (self.points[to] - self.points[from]).unit()?.left();
        let mut nearest = f64::INFINITY;
        for (i, edge) in self.half_edges.iter().enumerate().step_by(2) {
            if i == half_edge & !1 {
                continue;
            }
            let a = self.points[edge.from];
            let along = self.points[edge.to] - a;
            let sine = left.cross(along);
            if sine.abs() < 1e-12 {
                continue;
            }
            let distance = (a - middle).cross(along) / sine;
            let share = (a - middle).cross(left) / sine;
            if distance > 1e-9 && (-1e-9..=1.0 + 1e-9).contains(&share) {
                nearest = nearest.min(distance);
            }
        }
        nearest.is_finite().then(|| middle + left * (nearest / 2.0))
    }
}

/// Index of the point, or of one that it coincides with.
fn weld(points: &mut Vec<Point2>, point: Point2) -> usize {
    let near = |p: &Point2| (p.x - point.x).abs() < WELD_M && (p.y - point.y).abs() < WELD_M;
    points.iter().position(near).unwrap_or_else(|| {
        points.push(point);
        points.len() - 1
    })
}

fn crossing(a: &Piece, b: &Piece) -> Option<Point2> {
    let (u, v) = (a.to - a.from, b.to - b.from);
    let between = b.from - a.from;
    let sine = u.cross(v);
    if sine.abs() <= 1e-9 * u.length() * v.length() {
        return None; // Parallel: their ends split each other where they overlap.
    }
    let (s, t) = (between.cross(v) / sine, between.cross(u) / sine);
    let within = 0.0..=1.0;
    (within.contains(&s) && within.contains(&t)).then(|| a.from + u * s)
}

/// Cuts every piece at all points on it and keeps equal cuts once.
fn split(pieces: &[Piece], ends: &[(usize, usize)], points: &[Point2]) -> Vec<HalfEdge> {
    let mut edges: Vec<(usize, usize, Option<usize>)> = Vec::new();
    let mut on_piece: Vec<(f64, usize)> = Vec::new();
    for (piece, &(from, to)) in pieces.iter().zip(ends) {
        on_piece.clear();
        on_piece.push((0.0, from));
        let along: Vec2 = piece.to - piece.from;
        let length = along.length();
        for (i, &point) in points.iter().enumerate() {
            let step = point - piece.from;
            let t = step.dot(along) / (length * length);
            // What lies beyond an end is never on the piece, however close to it.
            let beside = step.cross(along).abs() < WELD_M * length;
            if beside && t > 0.0 && t < 1.0 && i != from && i != to {
                on_piece.push((t, i));
            }
        }
        on_piece.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        on_piece.push((1.0, to));
        for pair in on_piece.windows(2) {
            let (a, b) = (pair[0].1, pair[1].1);
            if a != b {
                edges.push((a.min(b), a.max(b), piece.wall));
            }
        }
    }
    // A wall's tag sorts after `None`, so the last of equal edges has it.
    edges.sort_unstable();
    let mut half_edges = Vec::with_capacity(2 * edges.len());
    for (i, &(from, to, wall)) in edges.iter().enumerate() {
        let repeated = edges.get(i + 1).is_some_and(|e| (e.0, e.1) == (from, to));
        if !repeated {
            half_edges.push(HalfEdge {
                from,
                to,
                wall,
                walk: usize::MAX,
            });
            half_edges.push(HalfEdge {
                from: to,
                to: from,
                wall,
                walk: usize::MAX,
            });
        }
    }
    half_edges
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(corners: &[(f64, f64)]) -> Vec<Piece> {
        (0..corners.len())
            .map(|i| {
                let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
                Piece {
                    from: Point2::new(a.0, a.1),
                    to: Point2::new(b.0, b.1),
                    wall: None,
                }
            })
            .collect()
    }

    #[test]
    fn two_overlapping_squares_make_three_cells_and_the_outside() {
        let mut all = pieces(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
        all.extend(pieces(&[(1.0, 1.0), (3.0, 1.0), (3.0, 3.0), (1.0, 3.0)]));
        let subdivision = Subdivision::new(&all);
        assert_eq!(subdivision.points.len(), 10);
        assert_eq!(subdivision.half_edges.len(), 24);
        assert_eq!(subdivision.samples.len(), 4);
    }

    #[test]
    fn a_line_drawn_twice_is_one_edge() {
        let mut all = pieces(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]);
        all.extend(pieces(&[(1.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0)]));
        let subdivision = Subdivision::new(&all);
        // Corners 4, and (1, 0), (4, 1), (1, 1); V − E + F = 1 + 1 with 3 faces.
        assert_eq!(subdivision.points.len(), 7);
        assert_eq!(subdivision.half_edges.len() / 2, 8);
        assert_eq!(subdivision.samples.len(), 3);
    }
}
