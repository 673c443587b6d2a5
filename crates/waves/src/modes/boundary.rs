//! What surfaces do to modes: sums over points of a surface.

use faer::linalg::matmul::matmul;
use faer::{Accum, Mat, MatMut, MatRef, Par};

use crate::mesh::Mesh;

/// `∫_s φ φᵀ dS` from points on the surface, weights above zero: positive semidefinite as built.
pub(super) fn boundary_matrix(mesh: &Mesh, vectors: MatRef<'_, f64>, surface: usize) -> Mat<f64> {
    let n = vectors.ncols();
    let mut sum: Mat<f64> = Mat::zeros(n, n);
    let mut pressures: Vec<f64> = Vec::new();
    for cell in &mesh.cells {
        let points = mesh.boundary_points(cell, surface);
        if points.is_empty() {
            continue;
        }
        let at: Vec<(Vec<f64>, f64)> = points
            .iter()
            .map(|(p, w)| (mesh.shapes_at(cell, *p), w.sqrt()))
            .collect();
        // Functions that vanish on the whole surface are most of them when it lies in the grid.
        let alive: Vec<usize> = (0..cell.unknowns.len())
            .filter(|i| at.iter().any(|(shapes, _)| shapes[*i].abs() > 1e-13))
            .collect();
        let here = Mat::from_fn(points.len(), alive.len(), |q, i| {
            at[q].0[alive[i]] * at[q].1
        });
        let mut local: Mat<f64> = Mat::zeros(alive.len(), n);
        for c in 0..n {
            let (mut to, from) = (local.col_mut(c), vectors.col(c));
            for (i, shape) in alive.iter().enumerate() {
                to[i] = from[cell.unknowns[*shape] as usize];
            }
        }
        let start = pressures.len();
        pressures.resize(start + points.len() * n, 0.0);
        matmul(
            MatMut::from_row_major_slice_mut(&mut pressures[start..], points.len(), n),
            Accum::Replace,
            here.as_ref(),
            local.as_ref(),
            1.0,
            Par::Seq,
        );
        if pressures.len() > POINTS_TOGETHER * n {
            add_squares(&mut sum, &pressures);
            pressures.clear();
        }
    }
    add_squares(&mut sum, &pressures);
    mirrored(&mut sum);
    sum
}

/// What is below the diagonal, above it too.
pub(super) fn mirrored(sum: &mut Mat<f64>) {
    for c in 0..sum.ncols() {
        for r in 0..c {
            sum[(r, c)] = sum[(c, r)];
        }
    }
}

/// Points whose products are summed at once.
const POINTS_TOGETHER: usize = 1024;
/// Columns of a product that are summed at once: above the diagonal it is left out.
const COLUMNS_TOGETHER: usize = 64;

/// Adds `pᵀ p` of pressures by point to `sum`, below its diagonal.
pub(super) fn add_squares(sum: &mut Mat<f64>, pressures: &[f64]) {
    let n = sum.ncols();
    if n == 0 || pressures.is_empty() {
        return;
    }
    let p = MatRef::from_row_major_slice(pressures, pressures.len() / n, n);
    for from in (0..n).step_by(COLUMNS_TOGETHER) {
        let to = (from + COLUMNS_TOGETHER).min(n);
        matmul(
            sum.get_mut(from.., from..to),
            Accum::Add,
            p.get(.., from..).transpose(),
            p.get(.., from..to),
            1.0,
            Par::Seq,
        );
    }
}
