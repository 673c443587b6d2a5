//! Decay of a box with lossy walls against its exact damped modes.

use units::Hertz;
use waves::{Admittance, Complex, Finish};

use crate::rooms::{shoebox, solved, up_to};

/// The damped wavenumber of the mode with `n` half waves along each side.
///
/// Along one side `X = cos κx + (a/κ) sin κx` with `a = jkβ_0`, `b = jkβ_1`, and at the far wall
/// `(a + b) κ cos κL = (κ² − ab) sin κL`; `k² = Σ κ²` closes the loop.
fn exact(size: [f64; 3], beta: [[f64; 2]; 3], n: [usize; 3]) -> Complex {
    let j = Complex::new(0.0, 1.0);
    let real = |x: f64| Complex::new(x, 0.0);
    let pi = std::f64::consts::PI;
    let mut k = real(
        (0..3)
            .map(|d| (n[d] as f64 * pi / size[d]).powi(2))
            .sum::<f64>()
            .sqrt(),
    );
    for _ in 0..100 {
        let mut square = real(0.0);
        for d in 0..3 {
            let (a, b, l) = (j * k * real(beta[d][0]), j * k * real(beta[d][1]), size[d]);
            // The first correction of a mode along this side, then Newton by a secant.
            let start = real((n[d] as f64 * pi / l).powi(2))
                + (a + b) * real(if n[d] == 0 { 1.0 } else { 2.0 } / l);
            let mut kappa = start.sqrt();
            let f = |x: Complex| {
                (a + b) * x * (x * real(l)).cos() - (x * x - a * b) * (x * real(l)).sin()
            };
            for _ in 0..60 {
                let h = kappa * real(1e-6);
                let slope = (f(kappa + h) - f(kappa - h)) / (h * real(2.0));
                let step = f(kappa) / slope;
                kappa -= step;
                if step.norm() < 1e-14 * kappa.norm() {
                    break;
                }
            }
            square += kappa * kappa;
        }
        k = square.sqrt();
    }
    k
}

#[test]
fn a_lossy_box_decays_as_its_exact_modes_do() {
    let size = [5.2, 3.9, 2.6];
    let betas = [[0.01, 0.03], [0.02, 0.02], [0.05, 0.004]];
    // Surfaces: floor, ceiling, y0, x1, y1, x0.
    let of = |beta: f64| Admittance::Measured(vec![(100.0, beta, 0.0)]);
    let finish = Finish::new(
        [
            betas[2][0],
            betas[2][1],
            betas[1][0],
            betas[0][1],
            betas[1][1],
            betas[0][0],
        ]
        .map(of)
        .to_vec(),
    );
    let room = shoebox(size[0], size[1], size[2]);
    let modes = solved(&room, up_to(120.0), &[]);
    let mut expected: Vec<(f64, f64)> = Vec::new();
    for i in 0..6 {
        for j in 0..5 {
            for l in 0..4 {
                let k = exact(size, betas, [i, j, l]);
                expected.push((
                    k.re * 343.0 / (2.0 * std::f64::consts::PI),
                    1000f64.ln() / (k.im * 343.0),
                ));
            }
        }
    }
    let found = modes.decays(&finish);
    assert!(found.len() >= 15, "{}", found.len());
    for decay in found.iter().filter(|d| d.frequency_hz < 100.0) {
        let nearest = expected
            .iter()
            .min_by(|a, b| {
                // Two modes may lie at one frequency; damping tells them apart.
                let off = |e: &(f64, f64)| {
                    10.0 * (e.0 / decay.frequency_hz - 1.0).abs() + (e.1 / decay.t60_s - 1.0).abs()
                };
                off(a).total_cmp(&off(b))
            })
            .expect("some");
        assert!(
            (decay.frequency_hz / nearest.0 - 1.0).abs() < 1e-3,
            "{decay:?} {nearest:?}"
        );
        assert!(
            (decay.t60_s / nearest.1 - 1.0).abs() < 1e-2,
            "{decay:?} {nearest:?}"
        );
    }
}

/// More absorption never rings longer, and none rings for ever.
#[test]
fn absorption_shortens_every_decay() {
    let room = shoebox(4.0, 4.0, 2.5);
    let modes = solved(&room, up_to(90.0), &[]);
    let decays = |alpha: f64| modes.decays(&Finish::new(vec![Admittance::diffuse(alpha); 6]));
    assert!(
        modes
            .decays(&Finish::new(vec![Admittance::Rigid; 6]))
            .iter()
            .all(|d| d.t60_s > 1e6)
    );
    for (less, more) in decays(0.05).iter().zip(decays(0.1)) {
        assert!(
            more.t60_s < less.t60_s && more.t60_s > 0.0,
            "{less:?} {more:?}"
        );
    }
    assert!(modes.holds_up_to() == Hertz(90.0));
}
