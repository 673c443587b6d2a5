//! The polynomials of one interval of the grid: hierarchical shape functions and Gauss rules.
//!
//! On `ξ ∈ [−1, 1]`: `N_0 = (1 − ξ)/2`, `N_1 = (1 + ξ)/2`, `N_k = (P_k − P_{k−2})/√(2(2k − 1))`
//! for k = 2…p, with the Legendre polynomials P (Szabó and Babuška 1991, Finite Element Analysis,
//! §3.1). Only `N_0` and `N_1` differ from zero at an end, so neighbours of any degree join.

/// Legendre polynomials P_0…P_n at `x`, into `out` (length n + 1).
pub(crate) fn legendre(x: f64, out: &mut [f64]) {
    out[0] = 1.0;
    if out.len() > 1 {
        out[1] = x;
    }
    for k in 2..out.len() {
        let kf = k as f64;
        out[k] = ((2.0 * kf - 1.0) * x * out[k - 1] - (kf - 1.0) * out[k - 2]) / kf;
    }
}

/// The shape functions of degree `p` at `x`, into `out` (length p + 1).
pub(crate) fn shapes(p: usize, x: f64, out: &mut [f64]) {
    let mut legendre_values = [0.0; MAX_DEGREE + 1];
    legendre(x, &mut legendre_values[..=p]);
    out[0] = 0.5 * (1.0 - x);
    out[1] = 0.5 * (1.0 + x);
    for k in 2..=p {
        let norm = (2.0 * (2.0 * k as f64 - 1.0)).sqrt();
        out[k] = (legendre_values[k] - legendre_values[k - 2]) / norm;
    }
}

/// Their derivatives by ξ: `N_k' = √((2k − 1)/2) P_{k−1}`.
fn slopes(p: usize, x: f64, out: &mut [f64]) {
    let mut legendre_values = [0.0; MAX_DEGREE + 1];
    legendre(x, &mut legendre_values[..=p]);
    out[0] = -0.5;
    out[1] = 0.5;
    for k in 2..=p {
        out[k] = ((2.0 * k as f64 - 1.0) / 2.0).sqrt() * legendre_values[k - 1];
    }
}

/// The highest degree an interval may have.
pub(crate) const MAX_DEGREE: usize = 8;

/// Gauss–Legendre nodes and weights on [−1, 1]: exact up to degree 2n − 1.
pub(crate) fn gauss(n: usize) -> Vec<(f64, f64)> {
    let mut values = vec![0.0; n + 1];
    (0..n)
        .map(|i| {
            // Newton from Tricomi's starting value.
            let mut x = -(std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..50 {
                legendre(x, &mut values);
                slope = n as f64 * (x * values[n] - values[n - 1]) / (x * x - 1.0);
                let step = values[n] / slope;
                x -= step;
                if step.abs() < 1e-16 {
                    break;
                }
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// What a degree needs: products of shape functions written in Legendre polynomials.
pub(crate) struct Products {
    /// Degree.
    pub p: usize,
    /// `N_a N_b = Σ_k value[(a·(p+1) + b)·(2p+1) + k] P_k`.
    pub value: Vec<f64>,
    /// The same of `N_a' N_b'`.
    pub slope: Vec<f64>,
}

impl Products {
    pub(crate) fn new(p: usize) -> Self {
        let (size, terms) = (p + 1, 2 * p + 1);
        let mut value = vec![0.0; size * size * terms];
        let mut slope = value.clone();
        let mut n = vec![0.0; size];
        let mut d = vec![0.0; size];
        let mut legendre_values = vec![0.0; terms];
        for (x, w) in gauss(terms + 1) {
            shapes(p, x, &mut n);
            slopes(p, x, &mut d);
            legendre(x, &mut legendre_values);
            for a in 0..size {
                for b in 0..size {
                    for (k, poly) in legendre_values.iter().enumerate() {
                        let share = w * poly * (2.0 * k as f64 + 1.0) / 2.0;
                        value[(a * size + b) * terms + k] += share * n[a] * n[b];
                        slope[(a * size + b) * terms + k] += share * d[a] * d[b];
                    }
                }
            }
        }
        Self { p, value, slope }
    }

    /// `∫ N_a N_b` over [−1, 1] as rows: the zeroth Legendre term, times 2.
    pub(crate) fn mass(&self) -> Vec<f64> {
        self.value
            .iter()
            .step_by(2 * self.p + 1)
            .map(|v| 2.0 * v)
            .collect()
    }

    /// `∫ N_a' N_b'` over [−1, 1] as rows.
    pub(crate) fn stiffness(&self) -> Vec<f64> {
        self.slope
            .iter()
            .step_by(2 * self.p + 1)
            .map(|v| 2.0 * v)
            .collect()
    }
}

/// A rule on the triangle (0,0), (1,0), (0,1) by collapsing the square: `(u, v, weight)`, weights
/// positive and adding up to 1/2; exact up to total degree 2n − 2.
pub(crate) fn triangle_rule(n: usize) -> Vec<(f64, f64, f64)> {
    let line = gauss(n);
    let mut rule = Vec::with_capacity(n * n);
    for &(s, ws) in &line {
        for &(t, wt) in &line {
            let u = 0.5 * (1.0 + s);
            let v = 0.5 * (1.0 + t) * (1.0 - u);
            rule.push((u, v, 0.25 * ws * wt * (1.0 - u)));
        }
    }
    rule
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauss_integrates_its_degree() {
        for n in 1..20 {
            for degree in 0..2 * n {
                let sum: f64 = gauss(n)
                    .iter()
                    .map(|(x, w)| w * x.powi(degree as i32))
                    .sum();
                let exact = if degree % 2 == 0 {
                    2.0 / (degree as f64 + 1.0)
                } else {
                    0.0
                };
                assert!((sum - exact).abs() < 1e-13, "{n} {degree}: {sum}");
            }
        }
    }

    /// ∫∫ u^a v^b = a! b! / (a + b + 2)!
    #[test]
    fn triangle_rule_integrates_its_degree() {
        let factorial = |n: i32| (1..=n).map(f64::from).product::<f64>();
        for a in 0..5 {
            for b in 0..(9 - a) {
                let sum: f64 = triangle_rule(5)
                    .iter()
                    .map(|(u, v, w)| w * u.powi(a) * v.powi(b))
                    .sum();
                let exact = factorial(a) * factorial(b) / factorial(a + b + 2);
                assert!((sum - exact).abs() < 1e-14, "{a} {b}");
            }
        }
    }

    #[test]
    fn products_give_back_the_product() {
        let products = Products::new(5);
        let mut n = [0.0; 6];
        let mut d = [0.0; 6];
        let mut poly = [0.0; 11];
        for x in [-0.9, -0.2, 0.33, 1.0] {
            shapes(5, x, &mut n);
            slopes(5, x, &mut d);
            legendre(x, &mut poly);
            for a in 0..6 {
                for b in 0..6 {
                    let at = (a * 6 + b) * 11;
                    let value: f64 = (0..11).map(|k| products.value[at + k] * poly[k]).sum();
                    let slope: f64 = (0..11).map(|k| products.slope[at + k] * poly[k]).sum();
                    assert!((value - n[a] * n[b]).abs() < 1e-13);
                    assert!((slope - d[a] * d[b]).abs() < 1e-12);
                }
            }
        }
    }
}
