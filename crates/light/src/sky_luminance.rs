//! Which part of the sky is how bright?
//!
//! CIE standard general sky (CIE S 011/E:2003, ISO 15469:2004):
//!
//! L/L_z = f(χ) φ(Z)/(f(Z_s) φ(0)), φ(Z) = 1 + a exp(b/cos Z),
//! f(χ) = 1 + c (exp(d χ) − exp(d π/2)) + e cos² χ
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | L, L_z | luminance of the element and of the zenith | cd/m² |
//! | Z, Z_s | zenith angle of the element and of the sun | rad |
//! | χ | angle between element and sun | rad |
//! | a to e | the sky's type | 1 |
//!
//! Parameters as printed by Darula and Kittler (2002, CIE general sky standard), read in two
//! public packages. The standard knows no sun below the horizon: in the dusk it is taken at
//! the horizon, which keeps the glow on its side (our own extension).

use std::f64::consts::FRAC_PI_2;

/// One of the standard's types.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyType {
    a: f64,
    b: f64,
    c: f64,
    d: f64,
    e: f64,
}

/// Type 1: overcast, three times brighter overhead than at the horizon, alike all round.
pub const OVERCAST: SkyType = SkyType {
    a: 4.0,
    b: -0.70,
    c: 0.0,
    d: -1.0,
    e: 0.0,
};

/// Type 5: the same luminance everywhere.
pub const UNIFORM: SkyType = SkyType {
    a: 0.0,
    b: -1.0,
    c: 0.0,
    d: -1.0,
    e: 0.0,
};

/// Type 12: clear, little haze.
pub const CLEAR: SkyType = SkyType {
    a: -1.0,
    b: -0.32,
    c: 10.0,
    d: -3.0,
    e: 0.45,
};

impl SkyType {
    /// φ over the zenith angle, by its cosine; at the horizon and below, that of the horizon.
    pub fn gradation(self, cos_zenith: f64) -> f64 {
        if cos_zenith <= 0.0 {
            return 1.0;
        }
        1.0 + self.a * (self.b / cos_zenith).exp()
    }

    /// f over the cosine of the angle to the sun.
    pub fn indicatrix(self, cos_sun: f64) -> f64 {
        if self.c == 0.0 && self.e == 0.0 {
            return 1.0;
        }
        let cos = cos_sun.clamp(-1.0, 1.0);
        let chi = cos.acos();
        1.0 + self.c * ((self.d * chi).exp() - (self.d * FRAC_PI_2).exp()) + self.e * cos * cos
    }

    /// L/L_z by the cosines of Z, χ and Z_s.
    pub fn relative(self, cos_zenith: f64, cos_sun: f64, cos_sun_zenith: f64) -> f64 {
        let sun = self.indicatrix(cos_sun_zenith.max(0.0)) * self.gradation(1.0);
        self.indicatrix(cos_sun) * self.gradation(cos_zenith) / sun
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn overcast_horizon_has_a_third_of_the_zeniths_luminance() {
        // Moon and Spencer's 1 : 3, which type 1 was fitted to: 1/(1 + 4 e^−0.7) = 0.335.
        let horizon = OVERCAST.relative(0.0, 0.3, 0.5);
        assert!((horizon - 0.335).abs() < 5e-4);
        assert!((OVERCAST.relative(1.0, 0.5, 0.5) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn zenith_is_the_measure_of_every_type() {
        for sky in [OVERCAST, UNIFORM, CLEAR] {
            for sun in [0.1, 0.5, 0.9] {
                // At the zenith the angle to the sun is the sun's zenith angle.
                assert!((sky.relative(1.0, sun, sun) - 1.0).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn clear_sky_is_brightest_about_the_sun_and_darkest_across() {
        // Sun 30° high: on its meridian at its height, and 90° from it through the zenith.
        let (sun, zenith) = (0.5, 30_f64.to_radians().sin());
        let near = CLEAR.relative(zenith, 1.0, sun);
        let across = CLEAR.relative(60_f64.to_radians().sin(), 0.0, sun);
        assert!(near > 10.0 && across < 1.0, "{near} {across}");
    }
}
