//! How much contrast does room light leave, and how much light may there be?
//!
//! C = (L_w + L_a)/(L_b + L_a), L_b = L_w/C_0, L_a = E ρ/π
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | C | system contrast: white over black with the room light on | 1 |
//! | L_w, L_b | white and black of the picture alone | cd/m² |
//! | C_0 | native contrast, on/off, at or above 1 | 1 |
//! | L_a | luminance the room light adds to the screen | cd/m² |
//! | E | room light on the screen | lx |
//! | ρ | how the screen returns room light: its gain when diffuse | 1 |
//!
//! Valid where room light from all around meets a diffuse screen; a grey or
//! layered screen returns less, so take the maker's ambient reflectance for ρ.
//! The picture's own light coming back from pale walls is left out: it lowers
//! a chequer pattern further. Sum of luminances, no source needed.

use units::{CandelasPerSquareMetre, Lux};

use crate::domain::{non_negative, positive};

/// Luminance that room light adds to a screen: L_a = E ρ/π.
///
/// ρ is the gain of a diffuse screen or the maker's ambient reflectance.
/// `None` when either is negative or not finite.
pub fn ambient_luminance(illuminance: Lux, reflectance: f64) -> Option<CandelasPerSquareMetre> {
    let l_a = non_negative(illuminance.0)? * non_negative(reflectance)? / std::f64::consts::PI;
    non_negative(l_a).map(CandelasPerSquareMetre)
}

/// Room light behind a luminance on a dark screen: E = π L_a/ρ. `None` when
/// the luminance is negative or ρ is not above zero.
pub fn ambient_illuminance(luminance: CandelasPerSquareMetre, reflectance: f64) -> Option<Lux> {
    let e = std::f64::consts::PI * non_negative(luminance.0)? / positive(reflectance)?;
    non_negative(e).map(Lux)
}

/// A picture in a dark room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DarkRoomPicture {
    /// L_w, luminance of white; above zero.
    pub white: CandelasPerSquareMetre,
    /// C_0, on/off contrast; at or above 1.
    pub native_contrast: f64,
}

impl DarkRoomPicture {
    /// L_b, luminance of black. `None` when a number is out of range.
    pub fn black(self) -> Option<CandelasPerSquareMetre> {
        let native = positive(self.native_contrast).filter(|c| *c >= 1.0)?;
        non_negative(positive(self.white.0)? / native).map(CandelasPerSquareMetre)
    }

    /// C, contrast with the room's luminance added to white and black. `None`
    /// when a number is out of range.
    pub fn system_contrast(self, ambient: CandelasPerSquareMetre) -> Option<f64> {
        let l_b = self.black()?.0;
        let l_a = non_negative(ambient.0)?;
        positive((self.white.0 + l_a) / positive(l_b + l_a)?)
    }

    /// The ambient luminance at which the contrast has fallen to `contrast`:
    /// L_a = (L_w − C L_b)/(C − 1).
    ///
    /// `None` when `contrast` is not above 1, when the picture has less even
    /// in the dark, or when a number is out of range.
    pub fn ambient_luminance_limit(self, contrast: f64) -> Option<CandelasPerSquareMetre> {
        let l_b = self.black()?.0;
        let over_one = positive(contrast - 1.0)?;
        non_negative((self.white.0 - contrast * l_b) / over_one).map(CandelasPerSquareMetre)
    }

    /// The greatest room light on the screen that leaves `contrast`:
    /// E_max = π(L_w − C L_b)/((C − 1) ρ). `None` as for
    /// [`DarkRoomPicture::ambient_luminance_limit`] and unless ρ is above zero.
    pub fn ambient_limit(self, contrast: f64, reflectance: f64) -> Option<Lux> {
        ambient_illuminance(self.ambient_luminance_limit(contrast)?, reflectance)
    }

    /// The white that keeps `contrast` in a given ambient luminance, with the
    /// same native contrast: L_w = (C − 1) L_a/(1 − C/C_0).
    ///
    /// `None` unless 1 < C < C_0 or when a number is out of range.
    pub fn white_needed(
        self,
        contrast: f64,
        ambient: CandelasPerSquareMetre,
    ) -> Option<CandelasPerSquareMetre> {
        self.black()?;
        let over_one = positive(contrast - 1.0)?;
        let left = positive(1.0 - contrast / self.native_contrast)?;
        non_negative(over_one * non_negative(ambient.0)? / left).map(CandelasPerSquareMetre)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn picture(white: f64, native_contrast: f64) -> DarkRoomPicture {
        DarkRoomPicture {
            white: CandelasPerSquareMetre(white),
            native_contrast,
        }
    }

    #[test]
    fn contrast_above_native_is_out_of_reach() {
        assert_eq!(picture(100.0, 40.0).ambient_limit(50.0, 1.0), None);
        let ambient = CandelasPerSquareMetre(1.0);
        assert_eq!(picture(100.0, 40.0).white_needed(50.0, ambient), None);
    }

    #[test]
    fn impossible_contrasts_are_refused() {
        let dark = CandelasPerSquareMetre(0.0);
        for bad in [-1.0, 0.0, f64::NAN, f64::INFINITY] {
            assert_eq!(picture(bad, 1000.0).system_contrast(dark), None);
            assert_eq!(picture(100.0, bad).system_contrast(dark), None);
            assert_eq!(picture(100.0, 1000.0).ambient_limit(bad, 1.0), None);
            assert_eq!(picture(100.0, 1000.0).ambient_limit(50.0, bad), None);
        }
        assert_eq!(picture(100.0, 1000.0).ambient_limit(1.0, 1.0), None);
        for bad in [-1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(ambient_luminance(Lux(bad), 1.0), None);
            assert_eq!(ambient_luminance(Lux(10.0), bad), None);
            let ambient = CandelasPerSquareMetre(bad);
            assert_eq!(picture(100.0, 1000.0).system_contrast(ambient), None);
        }
    }

    proptest! {
        #[test]
        fn limit_inverts_contrast(white in 10.0..1000.0, native in 200.0..1e6, contrast in 2.0..150.0, rho in 0.1..2.0) {
            let picture = picture(white, native);
            let limit = picture.ambient_limit(contrast, rho).unwrap();
            let ambient = ambient_luminance(limit, rho).unwrap();
            prop_assert!((picture.system_contrast(ambient).unwrap() / contrast - 1.0).abs() < 1e-9);
            let needed = picture.white_needed(contrast, ambient).unwrap();
            prop_assert!((needed.0 / white - 1.0).abs() < 1e-9);
        }

        #[test]
        fn room_light_never_raises_contrast(white in 10.0..1000.0, native in 2.0..1e6, ambient in 0.0..100.0, more in 0.001..10.0) {
            let contrast = |l_a| picture(white, native).system_contrast(CandelasPerSquareMetre(l_a)).unwrap();
            prop_assert!(contrast(ambient + more) < contrast(ambient));
            prop_assert!(contrast(ambient) <= native * (1.0 + 1e-12));
        }
    }
}
