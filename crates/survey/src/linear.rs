//! Solves the small symmetric systems of the adjustment.
//!
//! A room has 2n − 3 unknowns, about twenty, so forty plain lines do the work
//! of a matrix library at no cost in build time.

/// A dense square matrix by rows.
#[derive(Clone, Debug)]
pub(crate) struct Square {
    pub(crate) size: usize,
    pub(crate) cells: Vec<f64>,
}

/// The lower triangle `L` of `A = L Lᵀ`.
#[derive(Clone, Debug)]
pub(crate) struct Cholesky {
    lower: Square,
}

impl Square {
    pub(crate) fn zero(size: usize) -> Self {
        Self {
            size,
            cells: vec![0.0; size * size],
        }
    }

    pub(crate) fn at(&self, row: usize, column: usize) -> f64 {
        self.cells[row * self.size + column]
    }

    pub(crate) fn add(&mut self, row: usize, column: usize, value: f64) {
        self.cells[row * self.size + column] += value;
    }

    /// Nothing when the matrix is not positive definite to working precision.
    pub(crate) fn cholesky(&self) -> Option<Cholesky> {
        // A pivot that lost twelve of its sixteen digits is noise.
        const SMALLEST_PIVOT: f64 = 1e-12;
        let mut lower = Square::zero(self.size);
        for row in 0..self.size {
            for column in 0..=row {
                let known: f64 = (0..column)
                    .map(|k| lower.at(row, k) * lower.at(column, k))
                    .sum();
                let rest = self.at(row, column) - known;
                let cell = if row != column {
                    rest / lower.at(column, column)
                } else if rest > SMALLEST_PIVOT * self.at(row, row) && rest.is_finite() {
                    rest.sqrt()
                } else {
                    return None;
                };
                lower.add(row, column, cell);
            }
        }
        Some(Cholesky { lower })
    }
}

impl Cholesky {
    /// Solves `A x = b`.
    pub(crate) fn solve(&self, b: &[f64]) -> Vec<f64> {
        let lower = &self.lower;
        let mut x = b.to_vec();
        for row in 0..lower.size {
            let known: f64 = (0..row).map(|k| lower.at(row, k) * x[k]).sum();
            x[row] = (x[row] - known) / lower.at(row, row);
        }
        for row in (0..lower.size).rev() {
            let known: f64 = (row + 1..lower.size).map(|k| lower.at(k, row) * x[k]).sum();
            x[row] = (x[row] - known) / lower.at(row, row);
        }
        x
    }
}

pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_a_three_by_three_system() {
        // A = L Lᵀ with L = [2 0 0; 6 1 0; −8 5 3]; x = (1, 2, 3).
        let a = Square {
            size: 3,
            cells: vec![4.0, 12.0, -16.0, 12.0, 37.0, -43.0, -16.0, -43.0, 98.0],
        };
        let b: Vec<f64> = (0..3)
            .map(|row| dot(&a.cells[3 * row..3 * row + 3], &[1.0, 2.0, 3.0]))
            .collect();
        let x = a.cholesky().expect("positive definite").solve(&b);
        for (found, expected) in x.iter().zip([1.0, 2.0, 3.0]) {
            assert!((found - expected).abs() < 1e-12, "{x:?}");
        }
    }

    #[test]
    fn refuses_an_indefinite_matrix() {
        let a = Square {
            size: 2,
            cells: vec![1.0, 2.0, 2.0, 1.0],
        };
        assert!(a.cholesky().is_none());
    }
}
