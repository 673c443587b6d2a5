//! The grid laid through a room: turned to its walls, with lines where flat walls stand, finer
//! towards re-entrant edges, and in each interval as few and as high polynomials as the wave needs.

use crate::room::{Room, Triangle, add, cross, dot, norm, scale, sub, unit};

/// Walls that stand this near to a grid plane lie in it, m.
const SNAP_M: f64 = 1e-6;
/// Grid lines keep this distance from each other, m; a wall between them is cut out of its cells.
const LINE_GAP_M: f64 = 0.04;

/// The grid's axes, as rows: coordinates in the grid are `rows · point`.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub(crate) struct Frame {
    pub rows: [[f64; 3]; 3],
}

impl Frame {
    pub(crate) const GIVEN: Self = Self {
        rows: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    };

    pub(crate) fn to_grid(self, p: [f64; 3]) -> [f64; 3] {
        self.rows.map(|row| dot(row, p))
    }

    /// The frame along which most of the boundary lies.
    pub(crate) fn along_walls(room: &Room) -> Self {
        let mut directions: Vec<(f64, [f64; 3])> = Vec::new();
        for triangle in &room.triangles {
            let [a, b, c] = triangle.corners;
            let across = cross(sub(b, a), sub(c, a));
            let area = 0.5 * norm(across);
            if area < 1e-10 {
                continue;
            }
            let n = unit(across);
            match directions
                .iter_mut()
                .find(|(_, d)| dot(*d, n).abs() > 1.0 - 1e-9)
            {
                Some((sum, _)) => *sum += area,
                None => directions.push((area, n)),
            }
        }
        // Of equal areas the one found first: rooms list their faces in a fixed order.
        let widest = |among: &[(f64, [f64; 3])]| {
            among
                .iter()
                .fold((0.0, [0.0; 3]), |best, d| {
                    if d.0 > best.0 * (1.0 + 1e-9) {
                        *d
                    } else {
                        best
                    }
                })
                .1
        };
        let first = unit(widest(&directions));
        let square: Vec<(f64, [f64; 3])> = directions
            .iter()
            .copied()
            .filter(|(_, d)| dot(*d, first).abs() < 1e-5)
            .collect();
        let second = if square.is_empty() {
            let least = (0..3)
                .min_by(|a, b| first[*a].abs().total_cmp(&first[*b].abs()))
                .unwrap_or(0);
            let mut along = [0.0; 3];
            along[least] = 1.0;
            along
        } else {
            widest(&square)
        };
        let second = unit(sub(second, scale(first, dot(second, first))));
        let third = cross(first, second);
        let mut rows = [first, second, third];
        // Nearest to the given axes, so that an upright room keeps its own coordinates exactly.
        let mut sorted = [[0.0; 3]; 3];
        for axis in [2, 1, 0] {
            let of = |r: &[f64; 3]| r[axis].abs();
            let best = (0..3)
                .filter(|i| rows[*i] != [0.0; 3])
                .max_by(|a, b| of(&rows[*a]).total_cmp(&of(&rows[*b])).then(b.cmp(a)))
                .unwrap_or(0);
            let row = scale(rows[best], if rows[best][axis] < 0.0 { -1.0 } else { 1.0 });
            sorted[axis] = row.map(|x| if x.abs() < 1e-12 { 0.0 } else { x });
            rows[best] = [0.0; 3];
        }
        Self { rows: sorted }
    }
}

/// One interval between grid lines.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub(crate) struct Slab {
    pub from_m: f64,
    pub to_m: f64,
    pub degree: usize,
}

impl Slab {
    pub(crate) fn width_m(&self) -> f64 {
        self.to_m - self.from_m
    }
}

/// Slabs along the three axes.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub(crate) struct Grid {
    pub frame: Frame,
    pub axes: [Vec<Slab>; 3],
}

/// What the grid is made for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fineness {
    /// Wavenumber up to which waves are resolved, rad/m.
    pub wavenumber: f64,
    /// Allowed relative error of the wavenumber by the grid's dispersion.
    pub dispersion: f64,
    /// How many times cells shrink towards a re-entrant edge.
    pub edge_layers: usize,
    /// Intervals of at most this width, m, and of this degree, whatever the wave needs.
    pub uniform: Option<(f64, usize)>,
}

impl Grid {
    /// The grid, and the room's triangles in its coordinates with their corners snapped to lines.
    pub(crate) fn new(room: &Room, frame: Frame, fineness: Fineness) -> (Self, Vec<Triangle>) {
        let mut triangles: Vec<Triangle> = room
            .triangles
            .iter()
            .map(|t| Triangle {
                corners: t.corners.map(|p| frame.to_grid(p)),
                surface: t.surface,
            })
            .collect();
        let edges = reentrant_edges(&triangles);
        let axes = [0, 1, 2].map(|axis| {
            let mut lines = lines(&triangles, axis);
            snap(&mut triangles, axis, &lines);
            let walls = lines.clone();
            let width = 2.0 / fineness.wavenumber;
            let of_axis = || {
                edges
                    .iter()
                    .filter_map(|edge| Some((edge.across[axis]?, edge)))
            };
            for (at, _) in of_axis() {
                if walls.iter().all(|line| (line - at).abs() > LINE_GAP_M) {
                    lines.push(at);
                }
            }
            for layer in 0..fineness.edge_layers + MORE_LAYERS {
                let step = width * 0.18f64.powi(layer as i32) * 0.3;
                for (at, edge) in of_axis() {
                    // No layers asked for: none, however sharp.
                    let asked = fineness.edge_layers > 0;
                    if !asked || layer >= fineness.edge_layers + edge.more_layers {
                        continue;
                    }
                    for line in [at - step, at + step] {
                        let inside = line > walls[0] && line < walls[walls.len() - 1];
                        if inside && lines.iter().all(|l| (l - line).abs() > 0.5 * step) {
                            lines.push(line);
                        }
                    }
                }
            }
            lines.sort_by(f64::total_cmp);
            lines
                .windows(2)
                .flat_map(|pair| slabs(pair[0], pair[1], fineness))
                .collect::<Vec<Slab>>()
        });
        (Self { frame, axes }, triangles)
    }

    /// The slab that holds a coordinate, or the nearest one.
    pub(crate) fn slab_at(&self, axis: usize, at_m: f64) -> usize {
        let slabs = &self.axes[axis];
        slabs
            .partition_point(|s| s.to_m < at_m)
            .min(slabs.len() - 1)
    }
}

/// Where walls lie across an axis, ascending, and the ends of the room.
fn lines(triangles: &[Triangle], axis: usize) -> Vec<f64> {
    let coordinates = || triangles.iter().flat_map(|t| t.corners).map(|p| p[axis]);
    let low = coordinates().fold(f64::INFINITY, f64::min);
    let high = coordinates().fold(f64::NEG_INFINITY, f64::max);
    let mut walls: Vec<(f64, f64)> = Vec::new();
    for triangle in triangles {
        let [a, b, c] = triangle.corners.map(|p| p[axis]);
        if (a - b).abs() > SNAP_M || (a - c).abs() > SNAP_M {
            continue;
        }
        let area = triangle.area_m2();
        match walls
            .iter_mut()
            .find(|(at, _)| (at - a).abs() < 2.0 * SNAP_M)
        {
            Some((_, sum)) => *sum += area,
            None => walls.push((a, area)),
        }
    }
    walls.sort_by(|x, y| y.1.total_cmp(&x.1).then(x.0.total_cmp(&y.0)));
    let mut lines = vec![low, high];
    for (at, _) in walls {
        if lines.iter().all(|line| (line - at).abs() > LINE_GAP_M) {
            lines.push(at);
        }
    }
    lines.sort_by(f64::total_cmp);
    lines
}

fn snap(triangles: &mut [Triangle], axis: usize, lines: &[f64]) {
    for corner in triangles.iter_mut().flat_map(|t| t.corners.iter_mut()) {
        if let Some(line) = lines
            .iter()
            .find(|line| (*line - corner[axis]).abs() < 2.0 * SNAP_M)
        {
            corner[axis] = *line;
        }
    }
}

/// An edge where the air turns by more than 180°: pressure is least smooth there.
struct ReentrantEdge {
    /// Its coordinates across the axis it runs along; the midpoint's, if along none.
    across: [Option<f64>; 3],
    /// Layers that it needs beyond those of a wall's corner.
    more_layers: usize,
}

/// The most that a [`ReentrantEdge`] asks for.
const MORE_LAYERS: usize = 2;

fn reentrant_edges(triangles: &[Triangle]) -> Vec<ReentrantEdge> {
    let mut found: Vec<ReentrantEdge> = Vec::new();
    let near = |p: [f64; 3], q: [f64; 3]| norm(sub(p, q)) < 1e-9;
    for (i, first) in triangles.iter().enumerate() {
        for e in 0..3 {
            let (a, b) = (first.corners[e], first.corners[(e + 1) % 3]);
            let opposite = triangles[i + 1..].iter().find_map(|t| {
                let at =
                    (0..3).find(|k| near(t.corners[*k], b) && near(t.corners[(*k + 1) % 3], a))?;
                Some(t.corners[(at + 2) % 3])
            });
            let Some(opposite) = opposite else { continue };
            let [p, q, r] = first.corners;
            let across = cross(sub(q, p), sub(r, p));
            if norm(across) < 1e-12 {
                continue;
            }
            let n = unit(across);
            let along = unit(sub(b, a));
            let off = sub(opposite, a);
            let off = sub(off, scale(along, dot(off, along)));
            // How far the air turns beyond 180°: the neighbour rises to this face's outer side.
            // Within some degrees of flat the field is nearly smooth.
            let beyond_deg = dot(off, n).atan2(dot(off, cross(along, n))).to_degrees();
            if beyond_deg < 6.0 {
                continue;
            }
            // The gradient grows as r^(180°/(180° + beyond) − 1): fastest at the edge of a blade.
            let more_layers = usize::from(beyond_deg > 100.0) + usize::from(beyond_deg > 125.0);
            let across = [0, 1, 2]
                .map(|axis| (along[axis].abs() < 1.0 - 1e-6).then_some(middle(a, b)[axis]));
            match found
                .iter_mut()
                .find(|other| same_edge(&other.across, &across))
            {
                Some(other) => other.more_layers = other.more_layers.max(more_layers),
                None => found.push(ReentrantEdge {
                    across,
                    more_layers,
                }),
            }
        }
    }
    found
}

fn middle(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    scale(add(a, b), 0.5)
}

fn same_edge(a: &[Option<f64>; 3], b: &[Option<f64>; 3]) -> bool {
    a.iter().zip(b).all(|(x, y)| match (x, y) {
        (Some(x), Some(y)) => (x - y).abs() < 1e-6,
        (None, None) => true,
        _ => false,
    })
}

/// Intervals and degrees between two lines: the fewest functions that keep the dispersion error
/// `½ (p!/(2p)!)² (kh)^{2p}/(2p + 1)` (Ainsworth 2004, SIAM J. Numer. Anal. 42, eq. 3.3) small.
/// Some intervals may have one degree less than the others and be as much narrower as that asks.
fn slabs(from_m: f64, to_m: f64, fineness: Fineness) -> Vec<Slab> {
    let width = to_m - from_m;
    if let Some((widest, degree)) = fineness.uniform {
        let cells = (width / widest - 1e-9).ceil().max(1.0) as usize;
        return laid(from_m, to_m, &vec![(1.0, degree); cells]);
    }
    let kw = fineness.wavenumber * width;
    let reach = |p: usize| {
        let factorials: f64 = (p + 1..=2 * p).map(|k| k as f64).product();
        (fineness.dispersion * 2.0 * (2.0 * p as f64 + 1.0) * factorials * factorials)
            .powf(0.5 / p as f64)
    };
    // High degrees need fewer functions but couple more of them.
    let price = |p: usize| p as f64 * (1.0 + 0.03 * p as f64);
    let mut best: (f64, Vec<(f64, usize)>) = (f64::INFINITY, Vec::new());
    for p in 2..=DEGREE_USED {
        let cells = (kw / reach(p)).ceil().max(1.0) as usize;
        // As many narrower ones as the rounding up of the count has room for.
        let spared = cells as f64 * reach(p) - kw;
        let lower = match p {
            2 => 0,
            _ => ((spared / (reach(p) - reach(p - 1))) as usize).min(cells),
        };
        let cost = (cells - lower) as f64 * price(p) + lower as f64 * price(p - 1);
        if cost < best.0 {
            let mut all = vec![(reach(p), p); cells - lower];
            all.extend((0..lower).map(|_| (reach(p - 1), p - 1)));
            best = (cost, all);
        }
    }
    laid(from_m, to_m, &best.1)
}

/// Intervals of these shares of the whole, with their degrees.
fn laid(from_m: f64, to_m: f64, shares: &[(f64, usize)]) -> Vec<Slab> {
    let sum: f64 = shares.iter().map(|(share, _)| share).sum();
    let mut before = 0.0;
    let mut at_m = from_m;
    let mut slabs = Vec::with_capacity(shares.len());
    for (index, (share, degree)) in shares.iter().enumerate() {
        before += share;
        let end_m = match index + 1 == shares.len() {
            true => to_m,
            false => from_m + (to_m - from_m) * before / sum,
        };
        slabs.push(Slab {
            from_m: at_m,
            to_m: end_m,
            degree: *degree,
        });
        at_m = end_m;
    }
    slabs
}

/// Higher degrees gain little and make cut cells dear.
const DEGREE_USED: usize = 8;
