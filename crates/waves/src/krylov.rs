//! The lowest eigenpairs of `K x = λ M x` by block Lanczos around a shift.
//!
//! The operator `(K − σM)⁻¹M` is symmetric in the M-product; its largest eigenvalues are those of
//! λ nearest to σ (Ericsson and Ruhe 1980, Math. Comp. 35). Every new block is made orthogonal to
//! all before it, so no eigenvalue comes twice, and a block finds equal eigenvalues.

use faer::linalg::matmul::matmul;
use faer::{Accum, Mat, MatMut, MatRef, Par, Side};
use rayon::prelude::*;

use crate::fronts::Fronts;
use crate::mesh::Mesh;

/// Columns of a block, solved together: each factor is then read once for all of them.
const BLOCK: usize = 16;
const CHUNK: usize = BLOCK;
/// What is left of a squared norm when all but rounding is gone.
const NOTHING: f64 = 1e-22;

/// What a Krylov space says of the eigenvalues, ascending.
pub(crate) struct Ritz {
    pub values: Vec<f64>,
    /// Estimated error of each value, in units of λ.
    pub errors: Vec<f64>,
    /// The vectors in the space's basis.
    coefficients: Mat<f64>,
}

/// A growing Krylov space.
pub(crate) struct Krylov<'a> {
    mesh: &'a Mesh,
    fronts: &'a Fronts,
    shift: f64,
    basis: Mat<f64>,
    used: usize,
    most: usize,
    /// The operator in the basis; rows and columns beyond `used` are not filled.
    projected: Mat<f64>,
    /// M times the newest block.
    newest_mass: Mat<f64>,
}

impl<'a> Krylov<'a> {
    /// Starts from fixed pseudo-random numbers, with room for `usual` vectors and, if those are not
    /// enough, for `most`.
    pub(crate) fn new(
        mesh: &'a Mesh,
        fronts: &'a Fronts,
        shift: f64,
        [usual, most]: [usize; 2],
    ) -> Self {
        let n = mesh.unknowns;
        let block = BLOCK.min(n);
        let mut state = 0x9e37_79b9_7f4a_7c15_u64;
        let mut start: Mat<f64> = Mat::zeros(n, block);
        for c in 0..block {
            for r in 0..n {
                // xorshift64* (Vigna 2016, ACM Trans. Math. Softw. 42).
                state ^= state >> 12;
                state ^= state << 25;
                state ^= state >> 27;
                let bits = state.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 11;
                start[(r, c)] = bits as f64 / (1u64 << 53) as f64 - 0.5;
            }
        }
        let blocks = |vectors: usize| vectors.min(n).div_ceil(BLOCK) * BLOCK + BLOCK;
        let (capacity, most) = (blocks(usual.min(most)), blocks(most));
        let mut krylov = Self {
            mesh,
            fronts,
            shift,
            basis: Mat::zeros(n, capacity),
            used: 0,
            most,
            projected: Mat::zeros(capacity, capacity),
            newest_mass: Mat::zeros(n, block),
        };
        // One step of the operator damps what the grid can't carry.
        let mass = krylov.mass_times(start.as_ref());
        let start = krylov.solved(mass);
        krylov.append(start);
        krylov
    }

    pub(crate) fn used(&self) -> usize {
        self.used
    }

    /// Grows the space by one block; false if it is full or can't grow.
    pub(crate) fn grow(&mut self) -> bool {
        let block = self.newest_mass.ncols();
        if block == 0 || self.used + block > self.most {
            return false;
        }
        if self.used + block > self.basis.ncols() {
            let capacity = (2 * self.basis.ncols()).min(self.most);
            self.basis = widened(self.basis.as_ref(), [self.basis.nrows(), capacity]);
            self.projected = widened(self.projected.as_ref(), [capacity; 2]);
        }
        let from = self.used - block;
        let next = self.solved(self.newest_mass.clone());
        let (coefficients, rest) = self.append(next);
        for c in 0..block {
            for r in 0..coefficients.nrows() {
                self.projected[(r, from + c)] = coefficients[(r, c)];
                self.projected[(from + c, r)] = coefficients[(r, c)];
            }
            for r in 0..rest.nrows() {
                self.projected[(from + block + r, from + c)] = rest[(r, c)];
                self.projected[(from + c, from + block + r)] = rest[(r, c)];
            }
        }
        rest.nrows() > 0
    }

    /// Orthogonalises a block to the space and adds it; returns its coefficients in the old space
    /// and in the new block.
    ///
    /// Once is enough here: what a block keeps is not much smaller than what it brings (Parlett
    /// 1998, The Symmetric Eigenvalue Problem, §6.9), and the pairs' errors are checked in the end.
    fn append(&mut self, mut block: Mat<f64>) -> (Mat<f64>, Mat<f64>) {
        let mass = self.mass_times(block.as_ref());
        let square = |c: usize| {
            (0..mass.nrows())
                .map(|r| block[(r, c)] * mass[(r, c)])
                .sum::<f64>()
        };
        let brought = (0..block.ncols()).map(square).fold(0.0, f64::max);
        let basis = self.basis.get(.., ..self.used);
        let coefficients = inner(basis, mass.as_ref());
        subtract(block.as_mut(), basis, coefficients.as_ref());
        let mass = self.mass_times(block.as_ref());
        let (new, mass, factor) = orthonormal(block, mass, brought);
        let columns = self.used..self.used + new.ncols();
        self.basis.get_mut(.., columns).copy_from(&new);
        self.used += new.ncols();
        self.newest_mass = mass;
        (coefficients, factor)
    }

    fn solved(&self, mut block: Mat<f64>) -> Mat<f64> {
        chunks(block.as_mut())
            .into_par_iter()
            .for_each(|chunk| self.fronts.solve(chunk));
        block
    }

    fn mass_times(&self, block: MatRef<'_, f64>) -> Mat<f64> {
        let mut out: Mat<f64> = Mat::zeros(block.nrows(), block.ncols());
        chunks(out.as_mut())
            .into_par_iter()
            .enumerate()
            .for_each(|(i, chunk)| {
                let from = i * CHUNK;
                let width = chunk.ncols();
                self.mesh
                    .mass_times(block.get(.., from..from + width), chunk);
            });
        out
    }

    /// The Ritz values up to `most`, ascending.
    pub(crate) fn ritz(&self, most: f64) -> Ritz {
        // The newest block's own column of the operator is not known yet.
        let last = self.newest_mass.ncols();
        let m = self.used - last;
        let projected = self.projected.get(..m, ..m).to_owned();
        let Ok(evd) = projected.self_adjoint_eigen(Side::Lower) else {
            return Ritz {
                values: vec![],
                errors: vec![],
                coefficients: Mat::zeros(m, 0),
            };
        };
        let u = evd.U();
        // How strongly the space leaks into the newest block.
        let leak = self.projected.get(m..self.used, ..m) * u;
        let mut found: Vec<(f64, f64, usize)> = (0..m)
            .filter_map(|i| {
                let theta = evd.S()[i];
                let value = self.shift + 1.0 / theta;
                let residual = (0..last).map(|r| leak[(r, i)].powi(2)).sum::<f64>().sqrt();
                let error = residual / theta.powi(2);
                let wanted = value.is_finite() && value <= most && value > -0.1 * most;
                wanted.then_some((value, error, i))
            })
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        Ritz {
            values: found.iter().map(|f| f.0).collect(),
            errors: found.iter().map(|f| f.1).collect(),
            coefficients: Mat::from_fn(m, found.len(), |i, j| u[(i, found[j].2)]),
        }
    }

    /// The vectors that belong to Ritz values.
    pub(crate) fn vectors(&self, ritz: &Ritz) -> Mat<f64> {
        let m = ritz.coefficients.nrows();
        times(self.basis.get(.., ..m), ritz.coefficients.as_ref())
    }
}

/// A matrix with room for more.
fn widened(matrix: MatRef<'_, f64>, [rows, columns]: [usize; 2]) -> Mat<f64> {
    let mut wide: Mat<f64> = Mat::zeros(rows, columns);
    wide.get_mut(..matrix.nrows(), ..matrix.ncols())
        .copy_from(matrix);
    wide
}

/// `block = new · factor` with M-orthonormal `new`, and M times it. Directions of which next to
/// nothing is left of what was `brought` (a squared norm) are rounding, and dropped.
fn orthonormal(block: Mat<f64>, mass: Mat<f64>, brought: f64) -> (Mat<f64>, Mat<f64>, Mat<f64>) {
    let columns = block.ncols();
    let (mut new, mut mass) = (block, mass);
    let mut factor: Mat<f64> = Mat::identity(columns, columns);
    for pass in 0..2 {
        let gram = inner(new.as_ref(), mass.as_ref());
        let gram = Mat::from_fn(gram.nrows(), gram.ncols(), |i, j| {
            0.5 * (gram[(i, j)] + gram[(j, i)])
        });
        let Ok(evd) = gram.self_adjoint_eigen(Side::Lower) else {
            break;
        };
        let values: Vec<f64> = (0..gram.nrows()).map(|i| evd.S()[i]).collect();
        let least = if pass == 0 { NOTHING * brought } else { 0.5 };
        let kept: Vec<usize> = (0..values.len()).filter(|i| values[*i] > least).collect();
        let u = evd.U();
        let back = Mat::from_fn(new.ncols(), kept.len(), |i, j| {
            u[(i, kept[j])] / values[kept[j]].sqrt()
        });
        let forth = Mat::from_fn(kept.len(), new.ncols(), |i, j| {
            u[(j, kept[i])] * values[kept[i]].sqrt()
        });
        new = times(new.as_ref(), back.as_ref());
        mass = times(mass.as_ref(), back.as_ref());
        factor = forth * factor;
    }
    (new, mass, factor)
}

/// The matrix in chunks of columns.
pub(crate) fn chunks(matrix: MatMut<'_, f64>) -> Vec<MatMut<'_, f64>> {
    let mut rest = matrix;
    let mut chunks = Vec::new();
    while rest.ncols() > CHUNK {
        let (left, right) = rest.split_at_col_mut(CHUNK);
        chunks.push(left);
        rest = right;
    }
    chunks.push(rest);
    chunks
}

/// The matrix in chunks of `height` rows.
fn row_chunks(matrix: MatMut<'_, f64>, height: usize) -> Vec<MatMut<'_, f64>> {
    let mut rest = matrix;
    let mut chunks = Vec::new();
    while rest.nrows() > height {
        let (above, below) = rest.split_at_row_mut(height);
        chunks.push(above);
        rest = below;
    }
    chunks.push(rest);
    chunks
}

/// `aᵀ b`, shared among workers by columns of `a`, so that no sum depends on how many there are.
pub(crate) fn inner(a: MatRef<'_, f64>, b: MatRef<'_, f64>) -> Mat<f64> {
    let mut out: Mat<f64> = Mat::zeros(a.ncols(), b.ncols());
    row_chunks(out.as_mut(), 64)
        .into_par_iter()
        .enumerate()
        .for_each(|(i, rows)| {
            let from = i * 64;
            let part = a.get(.., from..from + rows.nrows());
            matmul(rows, Accum::Replace, part.transpose(), b, 1.0, Par::Seq);
        });
    out
}

/// `x −= a c`, shared by rows.
fn subtract(x: MatMut<'_, f64>, a: MatRef<'_, f64>, c: MatRef<'_, f64>) {
    row_chunks(x, 1024)
        .into_par_iter()
        .enumerate()
        .for_each(|(i, rows)| {
            let from = i * 1024;
            let part = a.get(from..from + rows.nrows(), ..);
            matmul(rows, Accum::Add, part, c, -1.0, Par::Seq);
        });
}

/// `a b`, shared by rows.
pub(crate) fn times(a: MatRef<'_, f64>, b: MatRef<'_, f64>) -> Mat<f64> {
    let mut out: Mat<f64> = Mat::zeros(a.nrows(), b.ncols());
    row_chunks(out.as_mut(), 1024)
        .into_par_iter()
        .enumerate()
        .for_each(|(i, rows)| {
            let from = i * 1024;
            let part = a.get(from..from + rows.nrows(), ..);
            matmul(rows, Accum::Replace, part, b, 1.0, Par::Seq);
        });
    out
}
