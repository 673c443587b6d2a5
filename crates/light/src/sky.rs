//! How much light falls on open ground from the sky?

use std::f64::consts::FRAC_PI_2;

use units::{Lux, Radians};

use crate::domain::{finite, non_negative, positive};

/// Irradiance, W/m².
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct WattsPerSquareMetre(pub f64);

/// Luminous efficacy of radiation, lm/W.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct LumensPerWatt(pub f64);

impl WattsPerSquareMetre {
    /// Illuminance at a luminous efficacy: E_v = K E_e. For daylight K is 105
    /// to 120 lm/W (from memory). `None` when either is negative or not finite.
    pub fn illuminance(self, efficacy: LumensPerWatt) -> Option<Lux> {
        non_negative(non_negative(self.0)? * non_negative(efficacy.0)?).map(Lux)
    }
}

/// Global irradiance on open level ground under a clear sky, after Haurwitz.
///
/// E_g = 1098 cos z exp(−0.059/cos z), z zenith angle of the sun, zero with
/// the sun at or below the horizon. Needs no knowledge of the air, and misses
/// a real clear sky by up to 25 %. Form read in the `clearsky.haurwitz` of
/// pvlib; Haurwitz 1945 is also quoted with 0.057. `None` outside 0 to 180°.
pub fn haurwitz_clear_sky(zenith: Radians) -> Option<WattsPerSquareMetre> {
    let z = non_negative(zenith.0).filter(|z| *z <= std::f64::consts::PI)?;
    let cos_z = z.cos();
    if cos_z <= 0.0 {
        return Some(WattsPerSquareMetre(0.0));
    }
    finite(1098.0 * cos_z * (-0.059 / cos_z).exp()).map(WattsPerSquareMetre)
}

/// Illuminance on open level ground under an overcast sky, after Krochmann.
///
/// E = 300 + 21000 sin h lx, h height of the sun from 0 to 90° (from memory).
/// A mean: single days differ by half and more. `None` outside the range.
pub fn overcast_illuminance(sun_height: Radians) -> Option<Lux> {
    let h = non_negative(sun_height.0).filter(|h| *h <= FRAC_PI_2)?;
    positive(300.0 + 21_000.0 * h.sin()).map(Lux)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sun_below_the_horizon_gives_no_clear_sky_light() {
        for degrees in [90.0001, 120.0, 180.0] {
            let dark = haurwitz_clear_sky(Radians::from_degrees(degrees));
            assert_eq!(dark, Some(WattsPerSquareMetre(0.0)));
        }
        let low = haurwitz_clear_sky(Radians::from_degrees(89.99)).unwrap();
        assert!(low.0 >= 0.0 && low.0 < 1e-3);
    }

    #[test]
    fn higher_sun_gives_more_light() {
        for degrees in 0..90 {
            let [here, next] = [degrees, degrees + 1].map(f64::from);
            let clear = |z| haurwitz_clear_sky(Radians::from_degrees(z)).unwrap();
            assert!(clear(next) < clear(here));
            let overcast = |h| overcast_illuminance(Radians::from_degrees(h)).unwrap();
            assert!(overcast(next) > overcast(here));
        }
    }

    #[test]
    fn impossible_suns_are_refused() {
        for bad in [-0.1, 3.2, f64::NAN, f64::INFINITY] {
            assert_eq!(haurwitz_clear_sky(Radians(bad)), None);
            assert_eq!(overcast_illuminance(Radians(bad)), None);
        }
        let light = WattsPerSquareMetre(500.0);
        assert_eq!(light.illuminance(LumensPerWatt(f64::NAN)), None);
        assert_eq!(light.illuminance(LumensPerWatt(-1.0)), None);
    }
}
