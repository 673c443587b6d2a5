//! How does the sun's beam come through a window?
//!
//! cos i = cos h cos(a − γ); d = y cos(a − γ)/tan h, b = −y sin(a − γ)/tan h
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | i | incidence on the glass, from its normal | rad |
//! | h, a | height and azimuth of the sun | rad |
//! | γ | azimuth the window faces | rad |
//! | y | height of a point of the opening above the floor | m |
//! | d | how far in from the wall its ray meets the floor | m |
//! | b | how far along the wall it has moved by then | m |
//!
//! Azimuths run clockwise from north. Valid for an upright window in a thin
//! wall with a free view of the sun. Exact geometry, no source needed.

use std::f64::consts::FRAC_PI_2;

use units::{Metres, Radians};

use crate::domain::{finite, non_negative, positive};

/// The sun before an upright window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunOnWindow {
    /// h, height of the sun, −90° to 90°.
    pub sun_height: Radians,
    /// a, azimuth of the sun, clockwise from north.
    pub sun_azimuth: Radians,
    /// γ, azimuth that the window faces, clockwise from north.
    pub window_azimuth: Radians,
}

/// Where a ray through a window meets the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeamLanding {
    /// d, in from the wall, square to it, m.
    pub depth: Metres,
    /// b, along the wall, m: positive to the right for one who looks out.
    pub along: Metres,
}

impl SunOnWindow {
    /// i, the incidence on the glass; above 90° the sun is behind the wall.
    /// `None` when a number is out of range.
    pub fn incidence(self) -> Option<Radians> {
        let h = finite(self.sun_height.0).filter(|h| h.abs() <= FRAC_PI_2)?;
        let turn = finite(self.sun_azimuth.0 - self.window_azimuth.0)?;
        // Rounding may carry a product of cosines past one.
        Some(Radians((h.cos() * turn.cos()).clamp(-1.0, 1.0).acos()))
    }

    /// Whether the sun is up and before the wall. `None` when a number is out
    /// of range.
    pub fn is_sunlit(self) -> Option<bool> {
        Some(self.incidence()?.0 < FRAC_PI_2 && self.sun_height.0 > 0.0)
    }

    /// Where the ray through a point of the opening, `height` above the floor,
    /// lands. `None` when no sun comes in, the height is negative, or a number
    /// is out of range.
    pub fn landing(self, height: Metres) -> Option<BeamLanding> {
        let y = non_negative(height.0)?;
        if !self.is_sunlit()? {
            return None;
        }
        let tan_h = positive(self.sun_height.0.tan())?;
        let (sin, cos) = (self.sun_azimuth.0 - self.window_azimuth.0).sin_cos();
        Some(BeamLanding {
            depth: Metres(finite(y * cos / tan_h)?),
            // A sun to the right of the normal, looking out, throws its beam
            // to the left.
            along: Metres(finite(-y * sin / tan_h)?),
        })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sun(height_deg: f64, azimuth_deg: f64) -> SunOnWindow {
        SunOnWindow {
            sun_height: Radians::from_degrees(height_deg),
            sun_azimuth: Radians::from_degrees(azimuth_deg),
            window_azimuth: Radians::from_degrees(180.0),
        }
    }

    #[test]
    fn sun_square_on_lands_straight_in() {
        let landing = sun(45.0, 180.0).landing(Metres(2.0)).unwrap();
        assert!((landing.depth.0 - 2.0).abs() < 1e-12);
        assert!(landing.along.0.abs() < 1e-12);
        assert!((sun(45.0, 180.0).incidence().unwrap().degrees() - 45.0).abs() < 1e-9);
    }

    #[test]
    fn western_sun_lands_towards_the_east() {
        // Looking out to the south, west is to the right and east to the left.
        assert!(sun(30.0, 225.0).landing(Metres(0.9)).unwrap().along.0 < 0.0);
    }

    #[test]
    fn night_and_north_let_no_sun_in() {
        assert_eq!(sun(-1.0, 180.0).is_sunlit(), Some(false));
        assert_eq!(sun(30.0, 0.0).is_sunlit(), Some(false));
        assert_eq!(sun(30.0, 0.0).landing(Metres(1.0)), None);
    }

    #[test]
    fn impossible_suns_are_refused() {
        for bad in [f64::NAN, f64::INFINITY] {
            assert_eq!(sun(bad, 180.0).incidence(), None);
            assert_eq!(sun(30.0, bad).incidence(), None);
            assert_eq!(sun(30.0, 180.0).landing(Metres(bad)), None);
        }
        assert_eq!(sun(91.0, 180.0).incidence(), None);
        assert_eq!(sun(30.0, 180.0).landing(Metres(-1.0)), None);
    }

    proptest! {
        #[test]
        fn mirrored_sun_lands_mirrored(h in 1.0..89.0, turn in 0.0..89.0, y in 0.0..3.0) {
            let east = sun(h, 180.0 - turn).landing(Metres(y)).unwrap();
            let west = sun(h, 180.0 + turn).landing(Metres(y)).unwrap();
            prop_assert!((east.depth.0 - west.depth.0).abs() < 1e-9);
            prop_assert!((east.along.0 + west.along.0).abs() < 1e-9);
        }

        #[test]
        fn landing_lies_on_the_ray(h in 1.0..89.0, turn in -89.0..89.0, y in 0.1..3.0) {
            // The ray's fall, run and square-in part make the incidence.
            let sun = sun(h, 180.0 + turn);
            let landing = sun.landing(Metres(y)).unwrap();
            let length = (landing.depth.0.powi(2) + landing.along.0.powi(2) + y * y).sqrt();
            let cosine = landing.depth.0 / length;
            prop_assert!((cosine - sun.incidence().unwrap().0.cos()).abs() < 1e-9);
        }
    }
}
