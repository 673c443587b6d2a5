//! How a surface gives way to sound: specific admittance `β = ρc v_n / p` by frequency.
//!
//! Locally reacting: what happens at a point depends on the pressure there alone. Passive: the real
//! part is never below zero, in every form and at every frequency, so no wall adds energy.
//!
//! Absorption coefficients tell nothing of phase; a real admittance is assumed. For real ζ = 1/β
//! (Kuttruff, Room Acoustics, 5th ed. 2009, eqs. 2.11 and 2.42 at normal and diffuse incidence):
//!
//! - normal incidence: `α = 4ζ/(1 + ζ)²`;
//! - diffuse: `α = 8/ζ² · (1 + ζ − 2 ln(1 + ζ) − 1/(1 + ζ))`, at most 0.951 at ζ = 1.567.
//!
//! Real walls below 100 Hz also give or take some stiffness and shift modes by a few per cent;
//! a [`Admittance::Measured`] or [`Admittance::Membrane`] surface carries that.

use units::{Hertz, Metres, SquareMetres};

use crate::Complex;

/// How one surface gives way.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum Admittance {
    /// Not at all.
    Rigid,
    /// Measured in a reverberation room: (Hz, α) ascending. Between bands β runs linearly in the
    /// logarithm of frequency; beyond the ends it stays.
    Diffuse(Vec<(f64, f64)>),
    /// Measured in a tube, at normal incidence: (Hz, α) ascending.
    Normal(Vec<(f64, f64)>),
    /// Measured admittance: (Hz, real part ≥ 0, imaginary part) ascending, positive when springy.
    Measured(Vec<(f64, f64, f64)>),
    /// A membrane before a closed cavity: `ζ = r + j(ωm/ρc − 1/tan(ωd/c))`.
    Membrane {
        /// Mass of the membrane, kg/m².
        mass_kg_m2: f64,
        /// Depth of the cavity, m.
        depth_m: f64,
        /// Resistance by ρc, ≥ 0.
        resistance: f64,
    },
    /// An opening to a large space, as a piston in a wall sees the air: `ζ = R_1(2ka) + jX_1(2ka)`
    /// (Kinsler et al., Fundamentals of Acoustics, 4th ed. 2000, §7.5) with a the radius of equal area.
    Opening {
        /// Clear area, m².
        area_m2: f64,
    },
}

/// What fills the room.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Air {
    /// Speed of sound, m/s.
    pub speed_of_sound_m_s: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Loss of pressure along the way: (Hz, Np/m) ascending; between them a power law. Empty: none.
    pub attenuation: Vec<(f64, f64)>,
}

impl Default for Air {
    /// Dry enough at 20 °C: 343 m/s, 1.204 kg/m³, no loss.
    fn default() -> Self {
        Self {
            speed_of_sound_m_s: 343.0,
            density_kg_m3: 1.204,
            attenuation: Vec::new(),
        }
    }
}

impl Air {
    /// Wavenumber, rad/m; a lossy wave `e^{j(ωt − kx)}` has a negative imaginary part.
    pub fn wavenumber(&self, frequency: Hertz) -> Complex {
        let real = 2.0 * std::f64::consts::PI * frequency.0 / self.speed_of_sound_m_s;
        let loss = interpolated(&self.attenuation, frequency.0, |a, b, t| {
            a * (b / a).powf(t)
        });
        Complex::new(real, -loss.unwrap_or(0.0))
    }
}

impl Admittance {
    /// The same absorption coefficient at all frequencies and diffuse incidence.
    pub fn diffuse(alpha: f64) -> Self {
        Self::Diffuse(vec![(125.0, alpha)])
    }

    /// The same absorption coefficient at all frequencies and normal incidence.
    pub fn normal(alpha: f64) -> Self {
        Self::Normal(vec![(125.0, alpha)])
    }

    /// A piece of wall that is left open.
    pub fn opening(area: SquareMetres) -> Self {
        Self::Opening { area_m2: area.0 }
    }

    /// A membrane before a closed cavity.
    pub fn membrane(mass_kg_m2: f64, depth: Metres, resistance: f64) -> Self {
        Self::Membrane {
            mass_kg_m2,
            depth_m: depth.0,
            resistance,
        }
    }

    /// β at a frequency; the real part is ≥ 0.
    pub fn at(&self, frequency: Hertz, air: &Air) -> Complex {
        let f = frequency.0;
        let linear = |a: f64, b: f64, t: f64| a + (b - a) * t;
        let k = 2.0 * std::f64::consts::PI * f / air.speed_of_sound_m_s;
        let beta = match self {
            Self::Rigid => Complex::new(0.0, 0.0),
            Self::Diffuse(bands) => {
                let betas: Vec<(f64, f64)> = bands
                    .iter()
                    .map(|(f, a)| (*f, 1.0 / diffuse_impedance(*a)))
                    .collect();
                Complex::new(interpolated(&betas, f, linear).unwrap_or(0.0), 0.0)
            }
            Self::Normal(bands) => {
                let betas: Vec<(f64, f64)> = bands
                    .iter()
                    .map(|(f, a)| (*f, 1.0 / normal_impedance(*a)))
                    .collect();
                Complex::new(interpolated(&betas, f, linear).unwrap_or(0.0), 0.0)
            }
            Self::Measured(points) => {
                let real: Vec<(f64, f64)> = points.iter().map(|p| (p.0, p.1)).collect();
                let imaginary: Vec<(f64, f64)> = points.iter().map(|p| (p.0, p.2)).collect();
                Complex::new(
                    interpolated(&real, f, linear).unwrap_or(0.0),
                    interpolated(&imaginary, f, linear).unwrap_or(0.0),
                )
            }
            Self::Membrane {
                mass_kg_m2,
                depth_m,
                resistance,
            } => {
                let rho_c = air.density_kg_m3 * air.speed_of_sound_m_s;
                let omega = k * air.speed_of_sound_m_s;
                let reactance = omega * mass_kg_m2 / rho_c - 1.0 / (k * depth_m).tan();
                inverse(Complex::new(resistance.max(0.0), reactance))
            }
            Self::Opening { area_m2 } => {
                let x = 2.0 * k * (area_m2 / std::f64::consts::PI).sqrt();
                inverse(piston(x))
            }
        };
        Complex::new(beta.re.max(0.0), beta.im)
    }
}

fn inverse(z: Complex) -> Complex {
    let square = (z.re * z.re + z.im * z.im).max(1e-12);
    Complex::new(z.re / square, -z.im / square)
}

/// `α → ζ` at normal incidence, ζ ≥ 1; α is kept within 0 and 1.
fn normal_impedance(alpha: f64) -> f64 {
    let r = (1.0 - alpha.clamp(0.0, 1.0)).sqrt();
    (1.0 + r) / (1.0 - r).max(1e-12)
}

/// `α → ζ` at diffuse incidence on the stiff branch ζ ≥ 1.567; more than a real impedance can
/// absorb is taken as the most it can.
fn diffuse_impedance(alpha: f64) -> f64 {
    let absorbed = |z: f64| 8.0 / (z * z) * (1.0 + z - 2.0 * (1.0 + z).ln() - 1.0 / (1.0 + z));
    let (mut low, mut high) = (MOST_ABSORBING, 1e9);
    if alpha >= absorbed(low) {
        return low;
    }
    for _ in 0..200 {
        let middle = f64::sqrt(low * high);
        if absorbed(middle) > alpha {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::sqrt(low * high)
}

/// Where the diffuse absorption of a real impedance is largest.
const MOST_ABSORBING: f64 = 1.567;

/// Radiation impedance of a piston by ρc: `R_1 = 1 − 2J_1(x)/x`, `X_1 = 2H_1(x)/x`, by their power
/// series; beyond x = 16, where these lose digits, the limit 1 is near enough.
fn piston(x: f64) -> Complex {
    if x > 16.0 {
        return Complex::new(1.0, 4.0 / (std::f64::consts::PI * x));
    }
    // 2J_1(x)/x = Σ (−1)^m (x/2)^{2m} / (m! (m + 1)!).
    let (mut term, mut bessel) = (1.0, 0.0);
    for m in 0..60 {
        bessel += term;
        term *= -(x * x / 4.0) / ((m as f64 + 1.0) * (m as f64 + 2.0));
    }
    // 2H_1(x)/x = (4/π)(x/3 − x³/(3²·5) + x⁵/(3²·5²·7) − …).
    let (mut term, mut struve) = (x / 3.0, 0.0);
    for m in 0..60 {
        struve += term;
        let odd = 2.0 * m as f64 + 3.0;
        term *= -(x * x) / (odd * (odd + 2.0));
    }
    Complex::new(1.0 - bessel, 4.0 / std::f64::consts::PI * struve)
}

/// The value at `f` in a table by ascending frequency, held beyond its ends; the mix is told how far
/// it lies between two entries on a logarithmic scale.
fn interpolated(table: &[(f64, f64)], f: f64, mix: impl Fn(f64, f64, f64) -> f64) -> Option<f64> {
    let (first, last) = (table.first()?, table.last()?);
    if f <= first.0 {
        return Some(first.1);
    }
    if f >= last.0 {
        return Some(last.1);
    }
    let i = table.partition_point(|p| p.0 <= f);
    let (a, b) = (table[i - 1], table[i]);
    Some(mix(a.1, b.1, (f / a.0).ln() / (b.0 / a.0).ln()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both formulas back: integrated over angles for the diffuse one (Paris),
    /// `α = 2∫ α(θ) sin θ cos θ dθ` with `α(θ) = 4ζ cos θ/(1 + ζ cos θ)²`.
    #[test]
    fn an_impedance_absorbs_what_it_was_made_for() {
        for alpha in [0.01, 0.05, 0.1, 0.3, 0.6, 0.9] {
            let z = normal_impedance(alpha);
            assert!((4.0 * z / (1.0 + z).powi(2) - alpha).abs() < 1e-12);
            let z = diffuse_impedance(alpha);
            let n = 20_000;
            let step = std::f64::consts::FRAC_PI_2 / n as f64;
            let sum: f64 = (0..n)
                .map(|i| {
                    let (sin, cos) = ((i as f64 + 0.5) * step).sin_cos();
                    2.0 * step * sin * cos * 4.0 * z * cos / (1.0 + z * cos).powi(2)
                })
                .sum();
            assert!((sum - alpha).abs() < 1e-6, "{alpha}: {sum}");
        }
    }

    #[test]
    fn no_surface_adds_energy() {
        let air = Air::default();
        let surfaces = [
            Admittance::Rigid,
            Admittance::diffuse(2.0),
            Admittance::Diffuse(vec![(63.0, 0.3), (125.0, 0.0), (250.0, 1.2)]),
            Admittance::Normal(vec![(63.0, 1.0), (250.0, 0.0)]),
            Admittance::Measured(vec![(20.0, -0.1, 3.0), (200.0, 0.2, -4.0)]),
            Admittance::membrane(4.0, Metres(0.1), 0.3),
            Admittance::membrane(4.0, Metres(0.1), -1.0),
            Admittance::opening(SquareMetres(1.8)),
        ];
        for surface in &surfaces {
            for f in 1..2000 {
                let beta = surface.at(Hertz(f as f64 * 0.5), &air);
                assert!(
                    beta.re >= 0.0 && beta.re.is_finite() && beta.im.is_finite(),
                    "{surface:?} {f}: {beta}"
                );
            }
        }
    }

    /// Kinsler et al., 4th ed., appendix 5: x = 2 → R_1 0.4233, X_1 0.6468; x = 6: 1.0922, 0.3594
    /// (checked with scipy.special.j1 and struve, scipy 1.17).
    #[test]
    fn a_piston_meets_the_tabled_impedance() {
        for (x, r, reactance) in [(2.0, 0.423_275, 0.646_802), (6.0, 1.092_228, 0.0)] {
            let z = piston(x);
            assert!((z.re - r).abs() < 1e-5, "{x}: {z}");
            if reactance > 0.0 {
                assert!((z.im - reactance).abs() < 1e-3, "{x}: {z}");
            }
        }
    }

    /// A membrane resonates where its mass meets the stiffness of the air behind it; from memory:
    /// f ≈ 60/√(m d) Hz for shallow cavities.
    #[test]
    fn a_membrane_resonates_at_the_usual_frequency() {
        let membrane = Admittance::membrane(5.0, Metres(0.1), 0.2);
        let air = Air::default();
        let peak = (100..2000)
            .map(|f| f as f64 * 0.1)
            .max_by(|a, b| {
                membrane
                    .at(Hertz(*a), &air)
                    .re
                    .total_cmp(&membrane.at(Hertz(*b), &air).re)
            })
            .expect("not empty");
        assert!(
            (peak / (60.0 / (5.0f64 * 0.1).sqrt()) - 1.0).abs() < 0.02,
            "{peak}"
        );
    }
}
