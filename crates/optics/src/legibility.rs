//! From how far can the eye still use every pixel or letter?

use units::{Metres, Radians};

use crate::domain::positive;

/// The angle that an eye of normal acuity (20/20) just separates, one minute
/// of arc.
pub const ACUITY: Radians = Radians(std::f64::consts::PI / 10_800.0);

/// An angle in minutes of arc.
pub fn arcminutes(angle: Radians) -> f64 {
    angle.degrees() * 60.0
}

/// One pixel at the centre of a picture, seen square on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PixelView {
    /// Picture width, m.
    pub width: Metres,
    /// Pixels across that width.
    pub columns: u32,
    /// Eye to picture, m.
    pub distance: Metres,
}

impl PixelView {
    /// atan(p/D), p = w/columns: above [`ACUITY`] the eye sees the pixels.
    /// `None` unless all three are above zero. For an eye off the axis see
    /// [`crate::Picture::pixel_angle`].
    pub fn angle(self) -> Option<Radians> {
        let p = positive(self.width.0)? / positive(f64::from(self.columns))?;
        Some(Radians(p.atan2(positive(self.distance.0)?)))
    }
}

/// The distance from which one row of a picture fills the angle `acuity`.
///
/// D = h/(N tan α): h picture height m, N rows, α acuity ([`ACUITY`]), small.
/// Nearer, the eye sees rows; farther, it loses detail. Rounded, 1.6 h for
/// 2160 rows is the design viewing distance of Rec. ITU-R BT.2022 (from
/// memory). `None` unless all are above zero and α below 90°.
pub fn design_distance(height: Metres, rows: u32, acuity: Radians) -> Option<Metres> {
    if positive(acuity.0)? >= std::f64::consts::FRAC_PI_2 {
        return None;
    }
    let n = positive(f64::from(rows))?;
    positive(positive(height.0)? / (n * acuity.0.tan())).map(Metres)
}

/// Least picture height for basic decisions: h = D/(200 e).
///
/// D farthest viewer m, e height of the least text element over the picture
/// height, above 0 to 1. ANSI/AVIXA V202.01:2016, from memory: for signs and
/// meeting rooms, no limit for a cinema. `None` outside the ranges.
pub fn decision_height(farthest: Metres, element: f64) -> Option<Metres> {
    let e = positive(element).filter(|e| *e <= 1.0)?;
    positive(positive(farthest.0)? / (200.0 * e)).map(Metres)
}

/// Least picture height for analysing detail: h = N D/3438.
///
/// D farthest viewer m, N rows; 3438 minutes of arc make a radian.
/// ANSI/AVIXA V202.01:2016, from memory: for meeting rooms, no limit for a
/// cinema. `None` unless both are above zero.
pub fn analysis_height(farthest: Metres, rows: u32) -> Option<Metres> {
    let n = positive(f64::from(rows))?;
    positive(n * positive(farthest.0)? / 3438.0).map(Metres)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn impossible_views_are_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(design_distance(Metres(bad), 1080, ACUITY), None);
            assert_eq!(design_distance(Metres(1.0), 1080, Radians(bad)), None);
            assert_eq!(decision_height(Metres(bad), 0.03), None);
            assert_eq!(decision_height(Metres(4.0), bad), None);
            assert_eq!(analysis_height(Metres(bad), 1080), None);
            let view = PixelView {
                width: Metres(2.0),
                columns: 3840,
                distance: Metres(bad),
            };
            assert_eq!(view.angle(), None);
        }
        assert_eq!(design_distance(Metres(1.0), 0, ACUITY), None);
        assert_eq!(decision_height(Metres(4.0), 1.2), None);
        assert_eq!(analysis_height(Metres(4.0), 0), None);
    }

    proptest! {
        #[test]
        fn pixel_at_the_design_distance_fills_the_acuity(h in 0.3..4.0, rows in 480u32..5000) {
            let distance = design_distance(Metres(h), rows, ACUITY).unwrap();
            // Square pixels: as many columns across a square part as rows.
            let view = PixelView { width: Metres(h), columns: rows, distance };
            prop_assert!((arcminutes(view.angle().unwrap()) - 1.0).abs() < 1e-9);
        }

        #[test]
        fn analysis_height_agrees_with_acuity(h in 0.3..4.0, rows in 480u32..5000) {
            let distance = design_distance(Metres(h), rows, ACUITY).unwrap();
            let back = analysis_height(distance, rows).unwrap();
            // 3438 is 3437.75 rounded.
            prop_assert!((back.0 / h - 1.0).abs() < 1e-4);
        }
    }
}
