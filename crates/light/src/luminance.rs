//! How bright is a projected picture, and how many lumens make it so?
//!
//! L = Φ k g/(π A)
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | L | luminance of white, square to the screen | cd/m² |
//! | Φ | luminous flux printed for the projector | lm |
//! | k | product of the factors for mode, zoom, age and lit chip | 1 |
//! | g | gain of the screen, 1 for a perfect matt white | 1 |
//! | A | picture area | m² |
//!
//! Valid for light spread evenly over the picture, so it is the mean; the
//! centre is brighter than the edges. Definition of luminance and gain, no
//! source needed. Lumens are those of ANSI/ISO 21118 measurements (from
//! memory), not light-source or LED lumens.

use units::{CandelasPerSquareMetre, Lumens, SquareMetres};

use crate::domain::{fraction, non_negative, positive};

/// The luminance of one foot-lambert, 1/π cd/ft² (1 ft is 0.3048 m).
pub const FOOT_LAMBERT: CandelasPerSquareMetre =
    CandelasPerSquareMetre(1.0 / (std::f64::consts::PI * 0.3048 * 0.3048));

/// A luminance given in foot-lamberts.
pub fn from_foot_lamberts(foot_lamberts: f64) -> CandelasPerSquareMetre {
    FOOT_LAMBERT * foot_lamberts
}

/// A luminance in foot-lamberts.
pub fn foot_lamberts(luminance: CandelasPerSquareMetre) -> f64 {
    luminance.0 / FOOT_LAMBERT.0
}

/// The parts of the printed lumens that are left, each above 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FluxFactors {
    /// Picture and power mode over the brightest mode.
    pub mode: f64,
    /// Zoom setting over the wide end, see [`crate::zoom`].
    pub zoom: f64,
    /// Light source at its age over new, see [`crate::age`].
    pub age: f64,
    /// Lit part of the chip, below 1 when chip and picture differ in aspect.
    pub chip: f64,
}

impl Default for FluxFactors {
    /// The printed lumens, undiminished.
    fn default() -> Self {
        Self {
            mode: 1.0,
            zoom: 1.0,
            age: 1.0,
            chip: 1.0,
        }
    }
}

impl FluxFactors {
    /// Their product k; `None` unless each is above 0 to 1.
    pub fn product(self) -> Option<f64> {
        [self.mode, self.zoom, self.age, self.chip]
            .into_iter()
            .try_fold(1.0, |k, factor| positive(k * fraction(factor)?))
    }
}

/// What the flux falls on, and what is lost on the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Projection {
    /// Losses between the printed lumens and the screen.
    pub factors: FluxFactors,
    /// Gain of the screen; above zero.
    pub gain: f64,
    /// Picture area, m²; above zero.
    pub area: SquareMetres,
}

impl Projection {
    /// Luminance of white from the printed lumens. `None` when the flux is
    /// negative or a number is out of range.
    pub fn luminance(self, flux: Lumens) -> Option<CandelasPerSquareMetre> {
        let per_lumen = self.luminance_per_lumen()?;
        non_negative(non_negative(flux.0)? * per_lumen).map(CandelasPerSquareMetre)
    }

    /// Printed lumens that give a luminance of white: Φ = L π A/(k g). `None`
    /// when the luminance is negative or a number is out of range.
    pub fn flux_needed(self, luminance: CandelasPerSquareMetre) -> Option<Lumens> {
        let per_lumen = self.luminance_per_lumen()?;
        non_negative(non_negative(luminance.0)? / per_lumen).map(Lumens)
    }

    /// The greatest picture area that a flux lights to a luminance of white:
    /// A = Φ k g/(π L). The area given is not used. `None` unless both are
    /// above zero.
    pub fn area_lit(self, flux: Lumens, luminance: CandelasPerSquareMetre) -> Option<SquareMetres> {
        let one_square_metre = Self {
            area: SquareMetres(1.0),
            ..self
        };
        let on_one = one_square_metre.luminance(flux)?;
        positive(on_one.0 / positive(luminance.0)?).map(SquareMetres)
    }

    fn luminance_per_lumen(self) -> Option<f64> {
        let k = self.factors.product()?;
        let a = positive(self.area.0)?;
        positive(k * positive(self.gain)? / (std::f64::consts::PI * a))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn projection(gain: f64, area: f64) -> Projection {
        Projection {
            factors: FluxFactors::default(),
            gain,
            area: SquareMetres(area),
        }
    }

    #[test]
    fn no_flux_is_dark() {
        let dark = projection(1.0, 2.0).luminance(Lumens(0.0));
        assert_eq!(dark, Some(CandelasPerSquareMetre(0.0)));
    }

    #[test]
    fn impossible_light_is_refused() {
        for bad in [-1.0, f64::NAN, f64::INFINITY] {
            let usual = projection(1.0, 2.0);
            assert_eq!(usual.luminance(Lumens(bad)), None);
            assert_eq!(usual.flux_needed(CandelasPerSquareMetre(bad)), None);
            assert_eq!(projection(bad, 2.0).luminance(Lumens(1000.0)), None);
            assert_eq!(projection(1.0, bad).luminance(Lumens(1000.0)), None);
        }
        assert_eq!(projection(1.0, 0.0).luminance(Lumens(1000.0)), None);
        for bad in [0.0, -0.1, 1.1, f64::NAN] {
            let factors = FluxFactors {
                zoom: bad,
                ..FluxFactors::default()
            };
            assert_eq!(factors.product(), None);
        }
    }

    proptest! {
        #[test]
        fn flux_luminance_and_area_invert(flux in 1.0..1e5, k in 0.1..1.0, gain in 0.3..3.0, area in 0.5..50.0) {
            let factors = FluxFactors { mode: k, ..FluxFactors::default() };
            let projection = Projection { factors, gain, area: SquareMetres(area) };
            let luminance = projection.luminance(Lumens(flux)).unwrap();
            prop_assert!((projection.flux_needed(luminance).unwrap().0 / flux - 1.0).abs() < 1e-9);
            let lit = projection.area_lit(Lumens(flux), luminance).unwrap();
            prop_assert!((lit.0 / area - 1.0).abs() < 1e-9);
        }

        #[test]
        fn foot_lamberts_convert_back(l in 0.0..2000.0) {
            let back = from_foot_lamberts(foot_lamberts(CandelasPerSquareMetre(l)));
            prop_assert!((back.0 - l).abs() < 1e-9);
        }
    }
}
