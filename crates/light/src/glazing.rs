//! How much light passes glass at a slant?
//!
//! Fresnel and Snell for N panes of ordinary glass, absorption by Bouguer's law:
//!
//! τ_r = ½ Σ (1 − r)/(1 + (2N − 1) r) over both polarisations; τ_a(θ) = τ_a(0)^(1/cos θ₂)
//!
//! r_⊥ = sin²(θ₂ − θ)/sin²(θ₂ + θ), r_∥ = tan²(θ₂ − θ)/tan²(θ₂ + θ), sin θ₂ = sin θ/n
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | θ, θ₂ | angle from the normal in air and in glass | rad |
//! | n | index of the glass, 1.526 | 1 |
//! | r | reflectance of one surface | 1 |
//!
//! Form of Duffie and Beckman, Solar Engineering of Thermal Processes, chapter 5 (from
//! memory). A coating's own angular behaviour is left out: what the sheet says at normal
//! incidence is taken as reflection and absorption of plain panes.

use std::f64::consts::FRAC_PI_2;

use units::Radians;

use crate::domain::{finite, fraction};

/// Refractive index of window glass.
const INDEX: f64 = 1.526;

/// Panes of glass in a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glazing {
    panes: u8,
    /// Transmittance of the glass itself on the straight way, all panes.
    clear: f64,
    /// What scales the model to the sheet's value when that is above any plain pane's.
    scale: f64,
}

/// Reflectances of one surface: across and along the plane of incidence.
fn reflectances(cosine: f64) -> [f64; 2] {
    let cos = cosine.clamp(0.0, 1.0);
    let inside = (1.0 - (1.0 - cos * cos) / (INDEX * INDEX)).sqrt();
    let across = (cos - INDEX * inside) / (cos + INDEX * inside);
    let along = (INDEX * cos - inside) / (INDEX * cos + inside);
    [across * across, along * along]
}

/// Reflectance of one surface of window glass for light without polarisation. `None` unless
/// the angle is from 0 to 90°.
pub fn surface_reflectance(incidence: Radians) -> Option<f64> {
    let angle = finite(incidence.0).filter(|i| (0.0..=FRAC_PI_2 + 1e-12).contains(i))?;
    let [across, along] = reflectances(angle.cos());
    Some((across + along) / 2.0)
}

impl Glazing {
    /// Glass with 1 to 4 panes that lets `normal` of the light pass straight through. `None`
    /// for another number of panes, or unless `normal` is from 0 to 1.
    pub fn new(panes: u8, normal: f64) -> Option<Self> {
        let normal = fraction(normal)?;
        if !(1..=4).contains(&panes) {
            return None;
        }
        let bare = plain(panes, 1.0);
        Some(Self {
            panes,
            clear: (normal / bare).min(1.0),
            scale: (normal / bare).max(1.0),
        })
    }

    /// Transmittance for light whose angle from the normal has this cosine.
    pub fn at(self, cosine: f64) -> f64 {
        if self.clear <= 0.0 || cosine <= 0.0 {
            return 0.0;
        }
        let cos = cosine.min(1.0);
        let inside = (1.0 - (1.0 - cos * cos) / (INDEX * INDEX)).sqrt();
        plain(self.panes, cos) * self.clear.powf(1.0 / inside) * self.scale
    }
}

/// τ_r of panes that absorb nothing.
fn plain(panes: u8, cosine: f64) -> f64 {
    let passed = |r: f64| (1.0 - r) / (1.0 + (2.0 * f64::from(panes) - 1.0) * r);
    let [across, along] = reflectances(cosine);
    (passed(across) + passed(along)) / 2.0
}

#[cfg(test)]
mod tests {
    use units::table::{number, rows};

    use super::*;

    #[test]
    fn worked_examples_of_the_handbook_come_out() {
        // Duffie and Beckman, examples 5.1.1 and 5.1.2 (from memory): one surface 0.0434 at 0°
        // and 0.093 at 60°; two panes that absorb nothing pass 0.76 at 60°.
        let at = |degrees| surface_reflectance(Radians::from_degrees(degrees)).unwrap();
        assert!((at(0.0) - 0.0434).abs() < 5e-5);
        assert!((at(60.0) - 0.093).abs() < 5e-4);
        assert!((plain(2, 0.5) - 0.76).abs() < 5e-3);
        assert!((at(90.0) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn one_surface_agrees_with_the_reference_library() {
        // pvlib's iam.physical without absorption: (1 − r(θ))/(1 − r(0)).
        let normal = 1.0 - surface_reflectance(Radians(0.0)).unwrap();
        for row in rows(include_str!("fresnel.csv")) {
            let r = surface_reflectance(Radians::from_degrees(number(row[0]))).unwrap();
            assert!(
                ((1.0 - r) / normal - number(row[1])).abs() < 1e-9,
                "{row:?}"
            );
        }
    }

    #[test]
    fn sheets_value_holds_straight_on_and_less_passes_at_a_slant() {
        for panes in 1..=3 {
            for normal in [0.0, 0.3, 0.7, 0.98] {
                let glass = Glazing::new(panes, normal).unwrap();
                assert!((glass.at(1.0) - normal).abs() < 1e-12);
                let slants: Vec<f64> = (0..=90)
                    .map(|d| glass.at(f64::from(d).to_radians().cos()))
                    .collect();
                assert!(slants.is_sorted_by(|a, b| b <= a || (b - a) < 1e-3));
                assert!(slants[90] < 1e-6);
            }
        }
    }

    #[test]
    fn impossible_panes_are_refused() {
        assert_eq!(Glazing::new(0, 0.7), None);
        assert_eq!(Glazing::new(5, 0.7), None);
        for bad in [-0.1, 1.1, f64::NAN] {
            assert_eq!(Glazing::new(2, bad), None);
        }
        for bad in [-0.1, 1.6, f64::NAN] {
            assert_eq!(surface_reflectance(Radians(bad)), None);
        }
    }
}
