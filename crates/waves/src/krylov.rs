//! The lowest eigenpairs of `K x = λ M x` by block Lanczos around a shift.
//!
//! The operator `(K − σM)⁻¹M` is symmetric in the M-product; its largest eigenvalues are those of
//! λ nearest to σ (Ericsson and Ruhe 1980, Math. Comp. 35). Every new block is made orthogonal to
//! all before it, so no eigenvalue comes twice, and a block finds equal eigenvalues.

use faer::linalg::matmul::matmul;
use faer::{Accum, Mat, MatMut, MatRef, Par, Side};
use rayon::prelude::*;

use crate::block::{self, Block, WIDTH};
use crate::fronts::Fronts;
use crate::mesh::Mesh;

/// What is left of a squared norm when all but rounding is gone.
const NOTHING: f64 = 1e-22;
/// How far a block may be from orthogonal to all before it: up to the root of what numbers round to
/// the projected operator is as exact as they are (Simon 1984, theorem 4).
const LOST: f64 = 1e-8;
/// A block whose squared norms differ by less than this is made orthonormal in one pass: what
/// rounding leaves is multiplied by their ratio.
const EVEN: f64 = 1e-4;

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
    basis: Vec<Block>,
    used: usize,
    most: usize,
    /// The operator in the basis; rows and columns beyond `used` are not filled.
    projected: Mat<f64>,
    /// M times the newest block and the one before it.
    masses: [Block; 2],
    /// Whether the newest block had to be made orthogonal to all others anew.
    is_lost: bool,
    /// Memory that each step uses anew.
    spare: Block,
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
        let mut state = 0x9e37_79b9_7f4a_7c15_u64;
        let mut start = Block::zeros(n, WIDTH.min(n));
        for row in 0..n {
            for number in start.row_mut(row) {
                // xorshift64* (Vigna 2016, ACM Trans. Math. Softw. 42).
                state ^= state >> 12;
                state ^= state << 25;
                state ^= state >> 27;
                let bits = state.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 11;
                *number = bits as f64 / (1u64 << 53) as f64 - 0.5;
            }
        }
        let blocks = |vectors: usize| vectors.min(n).div_ceil(WIDTH) * WIDTH + WIDTH;
        let (capacity, most) = (blocks(usual.min(most)), blocks(most));
        let mut krylov = Self {
            mesh,
            fronts,
            shift,
            basis: Vec::new(),
            used: 0,
            most,
            projected: Mat::zeros(capacity, capacity),
            masses: [Block::default(), Block::default()],
            is_lost: false,
            spare: Block::default(),
        };
        // One step of the operator damps what the grid can't carry.
        let mut start = krylov.mass_times(&start);
        fronts.solve(&mut start, &mut krylov.spare);
        krylov.append(start);
        krylov
    }

    pub(crate) fn used(&self) -> usize {
        self.used
    }

    /// Grows the space by one block; false if it is full or can't grow.
    pub(crate) fn grow(&mut self) -> bool {
        let newest = self.masses[0].columns();
        if newest == 0 || self.used + newest > self.most {
            return false;
        }
        if self.used + newest > self.projected.ncols() {
            let capacity = (2 * self.projected.ncols()).min(self.most);
            self.projected = widened(self.projected.as_ref(), [capacity; 2]);
        }
        let from = self.used - newest;
        let mut next = self.masses[0].clone();
        self.fronts.solve(&mut next, &mut self.spare);
        let (coefficients, rest) = self.append(next);
        for c in 0..newest {
            for r in 0..coefficients.nrows() {
                self.projected[(r, from + c)] = coefficients[(r, c)];
                self.projected[(from + c, r)] = coefficients[(r, c)];
            }
            for r in 0..rest.nrows() {
                self.projected[(from + newest + r, from + c)] = rest[(r, c)];
                self.projected[(from + c, from + newest + r)] = rest[(r, c)];
            }
        }
        rest.nrows() > 0
    }

    /// Orthogonalises a block to the space and adds it; returns its coefficients in the old space
    /// and in the new block.
    ///
    /// The operator is symmetric, so what it makes of the newest block lies in that block, the one
    /// before it and the next (Lanczos): these two are taken away first, by M-products that are known.
    /// What rounding leaves of all others is measured, and taken away in two steps running once it is
    /// no longer small (partial reorthogonalisation: Simon 1984, Math. Comp. 42).
    fn append(&mut self, mut next: Block) -> (Mat<f64>, Mat<f64>) {
        let mut coefficients: Mat<f64> = Mat::zeros(self.used, next.columns());
        let mut parts = Vec::new();
        let mut end = self.used;
        for (block, mass) in self.basis.iter().rev().zip(&self.masses) {
            let start = end - block.columns();
            let part = mass.inner_shared(&next);
            coefficients.get_mut(start..end, ..).copy_from(&part);
            parts.push((block, part));
            end = start;
        }
        next.add_products(-1.0, &parts);
        let mut mass = self.mass_times(&next);
        let mut gram = next.inner_shared(&mass);
        let brought = (0..gram.ncols())
            .map(|c| gram[(c, c)] + coefficients.col(c).squared_norm_l2())
            .fold(0.0, f64::max);
        let left: Vec<(&Block, Mat<f64>)> = (self.basis.par_iter())
            .map(|block| (block, block.inner(&mass)))
            .collect();
        let most = left
            .iter()
            .map(|(_, part)| part.norm_max())
            .fold(0.0, f64::max);
        let is_lost = most > LOST * least_norm(&gram, NOTHING * brought);
        if is_lost || self.is_lost {
            next.add_products(-1.0, &left);
            let mut at = 0;
            for (block, part) in &left {
                let mut rows = coefficients.get_mut(at..at + block.columns(), ..);
                rows += part;
                at += block.columns();
            }
            mass = self.mass_times(&next);
            gram = next.inner_shared(&mass);
            self.is_lost = !self.is_lost;
        }
        let (new, mass, factor) = orthonormal(next, mass, gram, brought);
        self.used += new.columns();
        self.basis.push(new);
        let [newest, older] = &mut self.masses;
        std::mem::swap(newest, older);
        *newest = mass;
        (coefficients, factor)
    }

    fn mass_times(&mut self, block: &Block) -> Block {
        let mut out = Block::default();
        self.mesh.mass_times(block, &mut out, &mut self.spare);
        out
    }

    /// The Ritz values up to `most`, ascending.
    pub(crate) fn ritz(&self, most: f64) -> Ritz {
        // The newest block's own column of the operator is not known yet.
        let last = self.masses[0].columns();
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
        block::times(&self.basis, ritz.coefficients.as_ref())
    }
}

/// A matrix with room for more.
fn widened(matrix: MatRef<'_, f64>, [rows, columns]: [usize; 2]) -> Mat<f64> {
    let mut wide: Mat<f64> = Mat::zeros(rows, columns);
    wide.get_mut(..matrix.nrows(), ..matrix.ncols())
        .copy_from(matrix);
    wide
}

/// The least norm of a direction of a block, of those that count.
fn least_norm(gram: &Mat<f64>, nothing: f64) -> f64 {
    let values = gram.self_adjoint_eigenvalues(Side::Lower);
    let least = values
        .ok()
        .and_then(|values| values.into_iter().find(|value| *value > nothing));
    least.unwrap_or(0.0).sqrt()
}

/// `block = new · factor` with M-orthonormal `new`, and M times it; `gram` is `blockᵀ M block`.
/// Directions of which next to nothing is left of what was `brought` (a squared norm) are rounding,
/// and dropped.
fn orthonormal(
    block: Block,
    mass: Block,
    gram: Mat<f64>,
    brought: f64,
) -> (Block, Block, Mat<f64>) {
    let columns = block.columns();
    let (mut new, mut mass, mut gram) = (block, mass, gram);
    let mut factor: Mat<f64> = Mat::identity(columns, columns);
    for pass in 0..2 {
        let even = Mat::from_fn(gram.nrows(), gram.ncols(), |i, j| {
            0.5 * (gram[(i, j)] + gram[(j, i)])
        });
        let Ok(evd) = even.self_adjoint_eigen(Side::Lower) else {
            break;
        };
        let values: Vec<f64> = (0..even.nrows()).map(|i| evd.S()[i]).collect();
        let least = if pass == 0 { NOTHING * brought } else { 0.5 };
        let kept: Vec<usize> = (0..values.len()).filter(|i| values[*i] > least).collect();
        let u = evd.U();
        let back = Mat::from_fn(values.len(), kept.len(), |i, j| {
            u[(i, kept[j])] / values[kept[j]].sqrt()
        });
        let forth = Mat::from_fn(kept.len(), values.len(), |i, j| {
            u[(j, kept[i])] * values[kept[i]].sqrt()
        });
        new = new.times(back.as_ref());
        mass = mass.times(back.as_ref());
        factor = forth * factor;
        let range =
            |pick: fn(f64, f64) -> f64, from: f64| kept.iter().map(|i| values[*i]).fold(from, pick);
        if range(f64::min, f64::INFINITY) > EVEN * range(f64::max, 0.0) {
            break;
        }
        gram = new.inner_shared(&mass);
    }
    (new, mass, factor)
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
