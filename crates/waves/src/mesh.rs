//! The room as finite elements: pieces of air in cells, their matrices, and which unknowns they share.

use std::collections::BTreeMap;
use std::sync::Arc;

use faer::linalg::matmul::matmul;
use faer::{Accum, MatMut, MatRef, Par};
use rayon::prelude::*;

use crate::block::Block;
use crate::cut::{self, Groups, Piece, Polygon};
use crate::element::{self, Element};
use crate::grid::{Grid, Slab};
use crate::line::{Products, shapes, triangle_rule};
use crate::room::Triangle;

/// One piece of air with its matrices and unknowns.
pub(crate) struct Cell {
    pub at: [usize; 3],
    pub element: Arc<Element>,
    /// Global number of each local shape function.
    pub unknowns: Vec<u32>,
    /// The parts of the room's faces that bound it.
    pub polygons: Vec<Polygon>,
    /// Triangles whose signed sum is its whole boundary.
    pub bounds: Vec<[[f64; 3]; 3]>,
}

/// All of them.
pub(crate) struct Mesh {
    pub grid: Grid,
    pub cells: Vec<Cell>,
    pub unknowns: usize,
    /// Volume of all pieces, m³.
    pub volume_m3: f64,
    pub cut_cells: usize,
}

impl Mesh {
    pub(crate) fn new(grid: Grid, triangles: &[Triangle]) -> Self {
        let pieces = cut::pieces(&grid, triangles);
        let tables: Vec<Products> = (0..=crate::line::MAX_DEGREE)
            .map(|p| Products::new(p.max(1)))
            .collect();
        let (numbers, unknowns) = numbers(&grid, &pieces);
        let elements = elements(&grid, &pieces, &tables);
        let volume_m3 = pieces.iter().map(|p| p.volume_m3).sum();
        let cut_cells = pieces.iter().filter(|p| !p.whole).count();
        let cells = pieces
            .into_iter()
            .zip(numbers)
            .zip(elements)
            .map(|((piece, unknowns), element)| {
                let bounds = cut::signed_triangles(&piece.polygons, &piece.caps).collect();
                Cell {
                    at: piece.cell,
                    element,
                    unknowns,
                    polygons: piece.polygons,
                    bounds,
                }
            })
            .collect();
        Self {
            grid,
            cells,
            unknowns,
            volume_m3,
            cut_cells,
        }
    }

    /// Memory of the matrices of cut cells; those full of air share theirs.
    pub(crate) fn matrix_bytes(&self) -> f64 {
        let cut = self
            .cells
            .iter()
            .filter(|cell| cell.element.lines.is_none());
        let numbers = cut.map(|cell| 2.0 * (cell.unknowns.len() as f64).powi(2));
        8.0 * numbers.sum::<f64>()
    }

    pub(crate) fn slabs(&self, at: [usize; 3]) -> [Slab; 3] {
        [0, 1, 2].map(|axis| self.grid.axes[axis][at[axis]])
    }

    /// `out = M x`; `beside` is spare memory.
    pub(crate) fn mass_times(&self, x: &Block, out: &mut Block, beside: &mut Block) {
        self.apply(
            x,
            out,
            beside,
            |element, local, product, columns| match &element.lines {
                Some(lines) => {
                    element::mass_by_lines(lines, local, product, columns);
                    std::mem::swap(local, product);
                }
                None => dense(element.mass.as_ref(), local, product, columns),
            },
        );
    }

    /// `out = K x`; `beside` is spare memory.
    pub(crate) fn stiffness_times(&self, x: &Block, out: &mut Block, beside: &mut Block) {
        self.apply(x, out, beside, |element, local, product, columns| {
            dense(element.stiffness.as_ref(), local, product, columns);
        });
    }

    /// Adds up what cells make of their part of `x`; parts are rows of `columns` numbers. Half of the
    /// cells are added up beside the other half.
    fn apply(
        &self,
        x: &Block,
        out: &mut Block,
        beside: &mut Block,
        of_cell: impl Fn(&Element, &mut Vec<f64>, &mut Vec<f64>, usize) + Sync,
    ) {
        let (first, second) = self.cells.split_at(self.cells.len() / 2);
        rayon::join(
            || Self::add_up(first, x, out, &of_cell),
            || Self::add_up(second, x, beside, &of_cell),
        );
        out.add(beside);
    }

    fn add_up(
        cells: &[Cell],
        x: &Block,
        out: &mut Block,
        of_cell: &impl Fn(&Element, &mut Vec<f64>, &mut Vec<f64>, usize),
    ) {
        let columns = x.columns();
        out.clear(x.rows(), columns);
        let (mut local, mut product) = (Vec::new(), Vec::new());
        for cell in cells {
            local.clear();
            for u in &cell.unknowns {
                local.extend_from_slice(x.row(*u as usize));
            }
            of_cell(&cell.element, &mut local, &mut product, columns);
            for (u, part) in cell.unknowns.iter().zip(product.chunks_exact(columns)) {
                for (to, from) in out.row_mut(*u as usize).iter_mut().zip(part) {
                    *to += from;
                }
            }
        }
    }

    /// Values of a cell's shape functions at a point of the grid's coordinates.
    pub(crate) fn shapes_at(&self, cell: &Cell, p: [f64; 3]) -> Vec<f64> {
        shapes_at(&self.slabs(cell.at), p)
    }

    /// Points on a surface within a cell, with weights in m².
    pub(crate) fn boundary_points(&self, cell: &Cell, surface: usize) -> Vec<([f64; 3], f64)> {
        let slabs = self.slabs(cell.at);
        let degree = slabs.iter().map(|s| s.degree).max().unwrap_or(2);
        let rule = triangle_rule(degree + 1);
        let mut points = Vec::new();
        for polygon in cell.polygons.iter().filter(|p| p.surface == surface) {
            let c = &polygon.corners;
            for i in 2..c.len() {
                let (a, b) = (
                    crate::room::sub(c[i - 1], c[0]),
                    crate::room::sub(c[i], c[0]),
                );
                let twice = crate::room::norm(crate::room::cross(a, b));
                if twice < 1e-12 {
                    continue;
                }
                points.extend(rule.iter().map(|(u, v, w)| {
                    let p = [0, 1, 2].map(|d| c[0][d] + u * a[d] + v * b[d]);
                    (p, w * twice)
                }));
            }
        }
        points
    }
}

fn dense(matrix: MatRef<'_, f64>, local: &[f64], product: &mut Vec<f64>, columns: usize) {
    let size = matrix.nrows();
    product.clear();
    product.resize(size * columns, 0.0);
    matmul(
        MatMut::from_row_major_slice_mut(product, size, columns),
        Accum::Replace,
        // Symmetric: so that each sum runs along a column, as memory lies.
        matrix.transpose(),
        MatRef::from_row_major_slice(local, size, columns),
        1.0,
        Par::Seq,
    );
}

pub(crate) fn shapes_at(slabs: &[Slab; 3], p: [f64; 3]) -> Vec<f64> {
    let lines = [0, 1, 2].map(|d| {
        let s = slabs[d];
        let mut values = vec![0.0; s.degree + 1];
        shapes(
            s.degree,
            (2.0 * p[d] - s.from_m - s.to_m) / s.width_m(),
            &mut values,
        );
        values
    });
    let mut all = Vec::with_capacity(lines.iter().map(Vec::len).product());
    for x in &lines[0] {
        for y in &lines[1] {
            all.extend(lines[2].iter().map(|z| x * y * z));
        }
    }
    all
}

/// Matrices of all pieces; cells of one size that are full of air share theirs.
fn elements(grid: &Grid, pieces: &[Piece], tables: &[Products]) -> Vec<Arc<Element>> {
    let slabs_of = |piece: &Piece| [0, 1, 2].map(|axis| grid.axes[axis][piece.cell[axis]]);
    // Widths to a nanometre: intervals that are equal but for rounding are one size.
    let key =
        |piece: &Piece| slabs_of(piece).map(|s| ((s.width_m() * 1e9).round() as i64, s.degree));
    let mut sizes: BTreeMap<[(i64, usize); 3], Arc<Element>> = BTreeMap::new();
    for piece in pieces.iter().filter(|p| p.whole) {
        sizes
            .entry(key(piece))
            .or_insert_with(|| Arc::new(element::whole(&slabs_of(piece), tables)));
    }
    pieces
        .par_iter()
        .map(
            |piece| match sizes.get(&key(piece)).filter(|_| piece.whole) {
                Some(shared) => Arc::clone(shared),
                None => Arc::new(element::cut(piece, &slabs_of(piece), tables)),
            },
        )
        .collect()
}

/// Global numbers of every piece's shape functions. Pieces that meet through a grid plane share
/// the functions that differ from zero on it; pieces on two sides of a thin wall share nothing.
fn numbers(grid: &Grid, pieces: &[Piece]) -> (Vec<Vec<u32>>, usize) {
    let degrees = |piece: &Piece| [0, 1, 2].map(|axis| grid.axes[axis][piece.cell[axis]].degree);
    let mut starts = vec![0];
    for piece in pieces {
        let size: usize = degrees(piece).iter().map(|p| p + 1).product();
        starts.push(starts[starts.len() - 1] + size);
    }
    let mut in_cell: BTreeMap<[usize; 3], Vec<usize>> = BTreeMap::new();
    for (index, piece) in pieces.iter().enumerate() {
        in_cell.entry(piece.cell).or_default().push(index);
    }
    let mut groups = Groups::of_size(starts[pieces.len()]);
    for (index, piece) in pieces.iter().enumerate() {
        for axis in 0..3 {
            let mut next = piece.cell;
            next[axis] += 1;
            for &other in in_cell.get(&next).into_iter().flatten() {
                if cut::meet(piece, &pieces[other], axis) {
                    join(
                        &mut groups,
                        starts[index],
                        degrees(piece),
                        starts[other],
                        degrees(&pieces[other]),
                        axis,
                    );
                }
            }
        }
    }
    let mut number = BTreeMap::new();
    let mut all = Vec::with_capacity(pieces.len());
    for window in starts.windows(2) {
        let of_piece = (window[0]..window[1])
            .map(|i| {
                let next = number.len() as u32;
                *number.entry(groups.find(i)).or_insert(next)
            })
            .collect();
        all.push(of_piece);
    }
    let unknowns = number.len();
    (all, unknowns)
}

/// Joins the functions of two cells on the plane between them: `N_1` below is `N_0` above.
fn join(
    groups: &mut Groups,
    low: usize,
    low_p: [usize; 3],
    high: usize,
    high_p: [usize; 3],
    axis: usize,
) {
    let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
    for i in 0..=low_p[u] {
        for j in 0..=low_p[v] {
            let mut index = [0; 3];
            index[u] = i;
            index[v] = j;
            index[axis] = 1;
            let below = element::local(low_p, index[0], index[1], index[2]);
            index[axis] = 0;
            let above = element::local(high_p, index[0], index[1], index[2]);
            groups.join(low + below, high + above);
        }
    }
}
