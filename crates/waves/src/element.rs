//! Mass and stiffness of the air in one cell, by exact integration.
//!
//! `M_ab = ∫ N_a N_b dV`, `K_ab = ∫ ∇N_a·∇N_b dV` with products of the shape functions of
//! [`line`](crate::line) along the three axes. A product of two shape functions is a short sum of
//! Legendre polynomials, so both follow from the moments `∫ P_i P_j P_k dV` of the piece of air,
//! and these follow from its boundary by the divergence theorem: no mesh of the piece is needed,
//! and polynomials are integrated exactly.

use faer::Mat;
use faer::linalg::matmul::matmul;
use faer::{Accum, Par};

use crate::cut::{Piece, signed_triangles};
use crate::grid::Slab;
use crate::line::{Products, legendre, triangle_rule};
use crate::room::{cross, sub};

/// A cell that holds little air would leave some shape functions undetermined. This share of the
/// whole cell's stiffness holds them (finite cell method: Parvizian, Düster and Rank 2007,
/// Comput. Mech. 41); it raises frequencies by about the same share, and never lowers the energy.
const HELD: f64 = 1e-5;

/// Matrices of one cell.
#[derive(Debug)]
pub(crate) struct Element {
    pub mass: Mat<f64>,
    pub stiffness: Mat<f64>,
    /// Of a cell full of air: the mass along each axis, of which `mass` is the product.
    pub lines: Option<[Line; 3]>,
}

/// What is not zero in the mass matrix of one interval.
#[derive(Debug)]
pub(crate) struct Line {
    size: usize,
    /// Row, column, value.
    entries: Vec<(usize, usize, f64)>,
}

impl Line {
    fn new(rows: &[f64], size: usize) -> Self {
        let entries = (0..size * size)
            .filter(|i| rows[*i].abs() > 1e-15)
            .map(|i| (i / size, i % size, rows[i]))
            .collect();
        Self { size, entries }
    }
}

/// `x = M x` of a full cell, axis by axis; `x` holds `columns` numbers for each function.
pub(crate) fn mass_by_lines(
    lines: &[Line; 3],
    x: &mut Vec<f64>,
    spare: &mut Vec<f64>,
    columns: usize,
) {
    let mut before = 1;
    let mut after = lines[1].size * lines[2].size * columns;
    for axis in 0..3 {
        let n = lines[axis].size;
        spare.clear();
        spare.resize(x.len(), 0.0);
        for outer in 0..before {
            let at = outer * n * after;
            for &(row, column, value) in &lines[axis].entries {
                let from = &x[at + column * after..at + (column + 1) * after];
                let to = &mut spare[at + row * after..at + (row + 1) * after];
                for (t, f) in to.iter_mut().zip(from) {
                    *t += value * f;
                }
            }
        }
        std::mem::swap(x, spare);
        before *= n;
        after /= lines.get(axis + 1).map_or(1, |next| next.size);
    }
}

/// Number of a shape function within its cell: the last axis fastest.
pub(crate) fn local(degrees: [usize; 3], i: usize, j: usize, k: usize) -> usize {
    (i * (degrees[1] + 1) + j) * (degrees[2] + 1) + k
}

/// A cell full of air: products of the intervals' own matrices.
pub(crate) fn whole(slabs: &[Slab; 3], tables: &[Products]) -> Element {
    let lines = slabs.map(|s| {
        let half = 0.5 * s.width_m();
        let table = &tables[s.degree];
        let mass: Vec<f64> = table.mass().iter().map(|v| v * half).collect();
        let stiffness: Vec<f64> = table.stiffness().iter().map(|v| v / half).collect();
        (mass, stiffness)
    });
    let n = slabs.map(|s| s.degree + 1);
    let size = n[0] * n[1] * n[2];
    let mut element = Element {
        mass: Mat::zeros(size, size),
        stiffness: Mat::zeros(size, size),
        lines: Some([0, 1, 2].map(|axis| Line::new(&lines[axis].0, n[axis]))),
    };
    let index = indices(n);
    for (b, [bi, bj, bk]) in index.iter().enumerate() {
        for (a, [ai, aj, ak]) in index.iter().enumerate() {
            let at = [bi * n[0] + ai, bj * n[1] + aj, bk * n[2] + ak];
            let m = [0, 1, 2].map(|axis| lines[axis].0[at[axis]]);
            let s = [0, 1, 2].map(|axis| lines[axis].1[at[axis]]);
            element.mass[(a, b)] = m[0] * m[1] * m[2];
            element.stiffness[(a, b)] =
                s[0] * m[1] * m[2] + m[0] * s[1] * m[2] + m[0] * m[1] * s[2];
        }
    }
    element
}

/// A cell that the boundary cuts.
pub(crate) fn cut(piece: &Piece, slabs: &[Slab; 3], tables: &[Products]) -> Element {
    let degrees = slabs.map(|s| s.degree);
    let moments = moments(piece, slabs);
    let half = slabs.map(|s| 0.5 * s.width_m());
    let volume = half[0] * half[1] * half[2];
    let value = |axis: usize| tables[degrees[axis]].value.as_slice();
    let slope = |axis: usize| tables[degrees[axis]].slope.as_slice();
    let mut mass = contracted(&moments, degrees, [value(0), value(1), value(2)]);
    mass *= faer::Scale(volume);
    let mut stiffness = whole(slabs, tables).stiffness * faer::Scale(HELD);
    for (axis, half_width) in half.into_iter().enumerate() {
        let factors = [0, 1, 2].map(|d| if d == axis { slope(d) } else { value(d) });
        let part = contracted(&moments, degrees, factors);
        stiffness += part * faer::Scale(volume / (half_width * half_width));
    }
    Element {
        mass,
        stiffness,
        lines: None,
    }
}

/// `∫ P_i P_j P_k` over the piece in the cell's own coordinates [−1, 1]³, the last axis fastest.
fn moments(piece: &Piece, slabs: &[Slab; 3]) -> Vec<f64> {
    let to_cell = |p: [f64; 3]| {
        [0, 1, 2].map(|d| (2.0 * p[d] - slabs[d].from_m - slabs[d].to_m) / slabs[d].width_m())
    };
    let triangles: Vec<[[f64; 3]; 3]> = signed_triangles(&piece.polygons, &piece.caps)
        .map(|t| t.map(to_cell))
        .collect();
    // `div (F e_d) = f` with F the integral of f along d from the cell's lower side: triangles
    // along d and on the lower side give nothing. Take the axis that leaves fewest.
    let share = |t: &[[f64; 3]; 3], d: usize| {
        let area = cross(sub(t[1], t[0]), sub(t[2], t[0]))[d];
        if t.iter().all(|p| p[d] < -1.0 + 1e-13) {
            0.0
        } else {
            area
        }
    };
    let count = |d: &usize| {
        triangles
            .iter()
            .filter(|t| share(t, *d).abs() > 1e-15)
            .count()
    };
    let along = (0..3).min_by_key(count).unwrap_or(0);
    let terms = slabs.map(|s| 2 * s.degree + 1);
    let most = slabs.iter().map(|s| s.degree).max().unwrap_or(1);
    // On a slanted triangle the integrand has the degrees of all axes together.
    let degree: usize = slabs.iter().map(|s| 2 * s.degree).sum::<usize>() + 1;
    let slanted = triangle_rule(degree / 2 + 2);
    let level = triangle_rule(2 * most + 2);
    let mut first: Vec<f64> = Vec::new();
    let mut rest: Vec<f64> = Vec::new();
    let mut polys = [0, 1, 2].map(|d| vec![0.0; terms[d] + 1]);
    let mut points = 0;
    for t in &triangles {
        let area = share(t, along);
        if area.abs() <= 1e-15 {
            continue;
        }
        let flat =
            (t[0][along] - t[1][along]).abs() < 1e-14 && (t[0][along] - t[2][along]).abs() < 1e-14;
        for (u, v, weight) in if flat { &level } else { &slanted } {
            let x = [0, 1, 2].map(|d| t[0][d] + u * (t[1][d] - t[0][d]) + v * (t[2][d] - t[0][d]));
            for d in 0..3 {
                legendre(x[d], &mut polys[d]);
            }
            let integral = &polys[along];
            let mut raised = vec![x[along] + 1.0; terms[along]];
            for (k, slot) in raised.iter_mut().enumerate().skip(1) {
                *slot = (integral[k + 1] - integral[k - 1]) / (2.0 * k as f64 + 1.0);
            }
            polys[along][..terms[along]].copy_from_slice(&raised);
            first.extend(polys[0][..terms[0]].iter().map(|p| p * weight * area));
            for j in 0..terms[1] {
                rest.extend(polys[2][..terms[2]].iter().map(|p| p * polys[1][j]));
            }
            points += 1;
        }
    }
    let (rows, columns) = (terms[0], terms[1] * terms[2]);
    let mut sum: Mat<f64> = Mat::zeros(columns, rows);
    matmul(
        sum.as_mut(),
        Accum::Replace,
        faer::MatRef::from_column_major_slice(&rest, columns, points),
        faer::MatRef::from_column_major_slice(&first, rows, points).transpose(),
        1.0,
        Par::Seq,
    );
    (0..rows)
        .flat_map(|i| (0..columns).map(move |jk| (i, jk)))
        .map(|(i, jk)| sum[(jk, i)])
        .collect()
}

/// `Σ_ijk moments_ijk f0[a0 b0 i] f1[a1 b1 j] f2[a2 b2 k]` for all pairs of shape functions.
fn contracted(moments: &[f64], degrees: [usize; 3], factors: [&[f64]; 3]) -> Mat<f64> {
    let terms = degrees.map(|p| 2 * p + 1);
    let n = degrees.map(|p| p + 1);
    let pairs = n.map(|n| n * n);
    // One axis after the other; each is a product of matrices.
    let product = |left: &[f64], rows: usize, inner: usize, right: &[f64], columns: usize| {
        // left: rows × inner (row-major); right: columns × inner (row-major).
        let mut out: Mat<f64> = Mat::zeros(columns, rows);
        matmul(
            out.as_mut(),
            Accum::Replace,
            faer::MatRef::from_row_major_slice(right, columns, inner),
            faer::MatRef::from_row_major_slice(left, rows, inner).transpose(),
            1.0,
            Par::Seq,
        );
        out
    };
    // (i j) k → (i j) × pairs of axis 2.
    let last = product(moments, terms[0] * terms[1], terms[2], factors[2], pairs[2]);
    // Reorder to (i, pair2) rows with j inner.
    let mut middle_in = vec![0.0; terms[0] * pairs[2] * terms[1]];
    for i in 0..terms[0] {
        for j in 0..terms[1] {
            for q in 0..pairs[2] {
                middle_in[(i * pairs[2] + q) * terms[1] + j] = last[(q, i * terms[1] + j)];
            }
        }
    }
    let middle = product(
        &middle_in,
        terms[0] * pairs[2],
        terms[1],
        factors[1],
        pairs[1],
    );
    let mut first_in = vec![0.0; pairs[1] * pairs[2] * terms[0]];
    for i in 0..terms[0] {
        for q in 0..pairs[2] {
            for r in 0..pairs[1] {
                first_in[(r * pairs[2] + q) * terms[0] + i] = middle[(r, i * pairs[2] + q)];
            }
        }
    }
    let first = product(
        &first_in,
        pairs[1] * pairs[2],
        terms[0],
        factors[0],
        pairs[0],
    );
    let index = indices(n);
    let size = index.len();
    let mut all: Mat<f64> = Mat::zeros(size, size);
    for (b, [bi, bj, bk]) in index.iter().enumerate() {
        for (a, [ai, aj, ak]) in index.iter().enumerate() {
            let column = (bj * n[1] + aj) * pairs[2] + bk * n[2] + ak;
            all[(a, b)] = first[(bi * n[0] + ai, column)];
        }
    }
    all
}

/// The three indices of each shape function of a cell, in their order.
fn indices(n: [usize; 3]) -> Vec<[usize; 3]> {
    (0..n[0])
        .flat_map(|i| (0..n[1]).flat_map(move |j| (0..n[2]).map(move |k| [i, j, k])))
        .collect()
}
