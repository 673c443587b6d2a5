//! The damped room at one frequency: a small symmetric complex system in the basis of modes.

use std::sync::Arc;

use faer::Mat;
use faer::prelude::Solve;

use crate::Complex;

/// Residuals smaller than this share of the load are none.
const CONVERGED: f64 = 1e-12;
/// Sweeps after which the whole is solved directly.
const SWEEPS: usize = 40;

/// `Λ − k² + jk Σ β_s B_s`.
pub(crate) struct System {
    matrix: Mat<Complex>,
    /// Modes that are solved together; the others are stiff enough to follow.
    near: Vec<usize>,
}

impl System {
    pub(crate) fn new(
        values: &[f64],
        boundary: &[Arc<Mat<f64>>],
        betas: &[Complex],
        k: Complex,
    ) -> Self {
        let n = values.len();
        let mut real: Mat<f64> = Mat::zeros(n, n);
        let mut imaginary: Mat<f64> = Mat::zeros(n, n);
        for (b, beta) in boundary.iter().zip(betas) {
            if beta.re != 0.0 {
                real += &**b * faer::Scale(beta.re);
            }
            if beta.im != 0.0 {
                imaginary += &**b * faer::Scale(beta.im);
            }
        }
        let jk = Complex::new(0.0, k.re);
        let square = k * k;
        let matrix = Mat::from_fn(n, n, |i, j| {
            let coupling = jk * Complex::new(real[(i, j)], imaginary[(i, j)]);
            if i == j {
                coupling - square + values[i]
            } else {
                coupling
            }
        });
        // Sweeps converge when what couples the far modes is small beside their stiffness. The
        // norm of a sum of squares is at most its trace; typical is far less, so a wrong guess
        // costs sweeps and is then solved directly.
        let strongest = (0..n)
            .map(|i| {
                (0..n)
                    .map(|j| real[(i, j)].abs().hypot(imaginary[(i, j)]))
                    .sum::<f64>()
            })
            .fold(0.0, f64::max);
        let reach = square.re + 2.0 * k.re * strongest;
        let near = (0..n).filter(|i| values[*i] < reach).collect();
        Self { matrix, near }
    }

    /// The solution for each column of `load`.
    pub(crate) fn solved(&self, load: &Mat<Complex>) -> Mat<Complex> {
        let n = self.matrix.nrows();
        let direct = || self.matrix.partial_piv_lu().solve(load);
        if 3 * self.near.len() > 2 * n {
            return direct();
        }
        let near = &self.near;
        let block = Mat::from_fn(near.len(), near.len(), |i, j| {
            self.matrix[(near[i], near[j])]
        });
        let factor = block.partial_piv_lu();
        let mut is_near = vec![false; n];
        near.iter().for_each(|i| is_near[*i] = true);
        let size = load.norm_l2();
        let mut x: Mat<Complex> = Mat::zeros(n, load.ncols());
        let mut residual = load.clone();
        for _ in 0..SWEEPS {
            // Far modes each for themselves, then near ones together, knowing what the far did.
            let mut step = Mat::from_fn(n, load.ncols(), |i, c| {
                if is_near[i] {
                    Complex::new(0.0, 0.0)
                } else {
                    residual[(i, c)] / self.matrix[(i, i)]
                }
            });
            let left = &residual - &self.matrix * &step;
            let together = factor.solve(Mat::from_fn(near.len(), load.ncols(), |i, c| {
                left[(near[i], c)]
            }));
            for c in 0..load.ncols() {
                for (i, row) in near.iter().enumerate() {
                    step[(*row, c)] = together[(i, c)];
                }
            }
            x += &step;
            residual = load - &self.matrix * &x;
            if residual.norm_l2() <= CONVERGED * size {
                return x;
            }
        }
        direct()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both ways give the same, whatever the damping.
    #[test]
    fn sweeps_end_where_the_direct_solution_is() {
        let n = 60;
        let values: Vec<f64> = (0..n).map(|i| 0.2 * i as f64).collect();
        let shape = Mat::from_fn(n, 20, |i, q| ((i * q) as f64 * 0.7).cos() * 0.3);
        let boundary = vec![Arc::new(&shape * shape.transpose())];
        let load = Mat::from_fn(n, 2, |i, c| Complex::new(((i + 3 * c) as f64).sin(), 0.0));
        for beta in [0.0, 0.01, 0.1, 1.0] {
            for k in [0.1, 0.8, 2.0, 3.4] {
                let betas = [Complex::new(beta, 0.3 * beta)];
                let system = System::new(&values, &boundary, &betas, Complex::new(k, -1e-3));
                let found = system.solved(&load);
                let direct = system.matrix.partial_piv_lu().solve(&load);
                let error = (&found - &direct).norm_l2() / direct.norm_l2();
                assert!(error < 1e-9, "{beta} {k}: {error:.1e}");
            }
        }
    }
}
