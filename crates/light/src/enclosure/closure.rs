//! How are sampled view factors brought to sum to one in every row without losing reciprocity?
//!
//! By scales s with s_i Σ_j G_ij s_j = A_i for a symmetric G, which there is one set of (Sinkhorn).
//! Newton's method finds it in their logarithms (Knight & Ruiz, "A fast algorithm for matrix
//! balancing", IMA Journal of Numerical Analysis 33, 2013), each step by conjugate gradients:
//!
//! (diag(r) + S G S) δ = A − r, r = S G s, s ← s e^δ
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | G_ij | A_i F_ij as sampled | m² |
//! | A | areas | m² |
//! | s, S | scales, and the matrix that has them on its diagonal | 1 |
//! | r | what the rows sum to | m² |

use super::dot;

/// Rows are left within this share of their areas: far below what sampling leaves.
const CLOSE_ENOUGH: f64 = 1e-10;

/// A room takes four or five steps; one that has no such scales stops here.
const STEPS_MAX: usize = 20;
const ROUNDS_MAX: usize = 40;

/// Scales that close a room.
pub(super) struct Closure {
    /// Of each patch.
    pub(super) scales: Vec<f64>,
    /// The largest share by which a row missed its area before.
    pub(super) misfit: f64,
}

impl Closure {
    /// Of `exchange`, symmetric and row after row. A row of nothing is left as it is.
    pub(super) fn of(exchange: &[f64], areas: &[f64]) -> Self {
        let n = areas.len();
        let mut scales = vec![1.0; n];
        let mut misfit = None;
        for _ in 0..STEPS_MAX {
            let rows = scaled(exchange, &scales, &scales);
            let off = |(row, area): (&f64, &f64)| match *row > 0.0 {
                true => (row / area - 1.0).abs(),
                false => 0.0,
            };
            let off = rows.iter().zip(areas).map(off).fold(0.0, f64::max);
            misfit.get_or_insert(off);
            if off < CLOSE_ENOUGH {
                break;
            }
            let step = step(exchange, areas, &scales, &rows, off);
            for (scale, step) in scales.iter_mut().zip(&step) {
                *scale *= step.clamp(-1.0, 1.0).exp();
            }
        }
        Self {
            scales,
            misfit: misfit.unwrap_or(0.0),
        }
    }
}

/// S G v of values that are scaled already.
fn scaled(exchange: &[f64], scales: &[f64], values: &[f64]) -> Vec<f64> {
    let rows = exchange.chunks(scales.len().max(1)).zip(scales);
    rows.map(|(row, scale)| scale * dot(row, values)).collect()
}

/// δ to no more digits than Newton's next step can use: `off` squared is what it leaves.
fn step(exchange: &[f64], areas: &[f64], scales: &[f64], rows: &[f64], off: f64) -> Vec<f64> {
    // A row of nothing asks for no change, whatever it is divided by.
    let by: Vec<f64> = rows
        .iter()
        .map(|r| if *r > 0.0 { *r } else { 1.0 })
        .collect();
    let missing = |(row, area): (&f64, &f64)| if *row > 0.0 { area - row } else { 0.0 };
    let mut left: Vec<f64> = rows.iter().zip(areas).map(missing).collect();
    let eased = |left: &[f64]| -> Vec<f64> { left.iter().zip(&by).map(|(l, b)| l / b).collect() };
    let mut way = eased(&left);
    let mut size = dot(&left, &way);
    let enough = size * (off.min(0.1).max(CLOSE_ENOUGH / off / 4.0)).powi(2);
    let mut step = vec![0.0; left.len()];
    for _ in 0..ROUNDS_MAX {
        let scaled_way: Vec<f64> = way.iter().zip(scales).map(|(w, s)| w * s).collect();
        let mut bent = scaled(exchange, scales, &scaled_way);
        for ((bent, way), row) in bent.iter_mut().zip(&way).zip(rows) {
            *bent += row * way;
        }
        let bend = dot(&way, &bent);
        // Rows that only trade with one another can have no scales; there is no way on.
        if bend.partial_cmp(&0.0) != Some(std::cmp::Ordering::Greater) {
            break;
        }
        let length = size / bend;
        for k in 0..step.len() {
            step[k] += length * way[k];
            left[k] -= length * bent[k];
        }
        let next = eased(&left);
        let next_size = dot(&left, &next);
        if next_size <= enough {
            break;
        }
        let turn = next_size / size;
        for (way, next) in way.iter_mut().zip(&next) {
            *way = next + turn * *way;
        }
        size = next_size;
    }
    step
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The old way to the same end: each row's scale is divided by the root of what the row is
    /// off by, over and over (Sinkhorn's iteration, made symmetric).
    fn by_sinkhorn(exchange: &[f64], areas: &[f64]) -> Vec<f64> {
        let mut scales = vec![1.0; areas.len()];
        for _ in 0..5_000 {
            let rows = scaled(exchange, &scales, &scales);
            for (scale, (row, area)) in scales.iter_mut().zip(rows.iter().zip(areas)) {
                *scale /= (row / area).sqrt();
            }
        }
        scales
    }

    fn worst(exchange: &[f64], scales: &[f64], areas: &[f64]) -> f64 {
        let rows = scaled(exchange, scales, scales);
        let off = rows.iter().zip(areas).map(|(r, a)| (r / a - 1.0).abs());
        off.fold(0.0, f64::max)
    }

    #[test]
    fn a_symmetric_three_by_three_has_the_scales_of_its_closed_form() {
        // Of [[0, a, b], [a, 0, c], [b, c, 0]] with rows of one: every pair trades a half, so
        // s₁ s₂ a = s₁ s₃ b = s₂ s₃ c = ½ and s₁² = c / (2 a b).
        let (a, b, c) = (0.2, 0.7, 0.4);
        let exchange = [0.0, a, b, a, 0.0, c, b, c, 0.0];
        let found = Closure::of(&exchange, &[1.0; 3]);
        let expected = [c / (2.0 * a * b), b / (2.0 * a * c), a / (2.0 * b * c)];
        for (scale, squared) in found.scales.iter().zip(expected) {
            assert!((scale * scale / squared - 1.0).abs() < 1e-9, "{scale}");
        }
        assert!((found.misfit - 0.4).abs() < 1e-12, "{}", found.misfit);
    }

    #[test]
    fn what_can_not_be_closed_is_left_finite() {
        // Two that see each other alone, of unequal areas; one that sees nothing; none at all.
        for (exchange, areas) in [
            (vec![0.0, 1.0, 1.0, 0.0], vec![1.0, 4.0]),
            (vec![0.0], vec![2.0]),
            (vec![0.0; 9], vec![1.0, 2.0, 3.0]),
            (vec![], vec![]),
        ] {
            let found = Closure::of(&exchange, &areas);
            assert!(found.scales.iter().all(|s| s.is_finite() && *s > 0.0));
            assert!(found.misfit.is_finite());
        }
    }

    proptest! {
        #[test]
        fn rows_close_with_the_scales_that_sinkhorn_finds(
            values in prop::collection::vec(0.05..1.0f64, 28),
            areas in prop::collection::vec(0.4..2.0f64, 8),
        ) {
            let n = areas.len();
            let mut exchange = vec![0.0; n * n];
            let pairs = (0..n).flat_map(|i| (0..i).map(move |j| (i, j)));
            for ((i, j), value) in pairs.zip(&values) {
                // Closed to begin with but for a share that differs from pair to pair, as
                // sampling leaves it.
                exchange[i * n + j] = areas[i] * areas[j] * (0.7 + 0.6 * value) / 8.0;
                exchange[j * n + i] = exchange[i * n + j];
            }
            let found = Closure::of(&exchange, &areas);
            prop_assert!(worst(&exchange, &found.scales, &areas) < CLOSE_ENOUGH);
            for (found, slow) in found.scales.iter().zip(by_sinkhorn(&exchange, &areas)) {
                prop_assert!((found / slow - 1.0).abs() < 1e-8, "{found} {slow}");
            }
        }
    }
}
