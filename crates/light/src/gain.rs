//! How much of a screen's gain is left at an angle?
//!
//! cosine power g(θ) = g₀ cosⁿ θ, n = ln ½/ln cos α; gaussian
//! g(θ) = g₀ 2^(−(θ/α)²)
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | g₀ | peak gain | 1 |
//! | θ | angle of the eye from the direction of the peak | rad |
//! | α | half-gain angle on the sheet | rad |
//!
//! The peak lies square to the screen or, on an angular-reflective screen,
//! along the mirrored projector ray; on a retro-reflective screen it lies
//! along the projector ray itself. Two models of the same sheet value: inside
//! 1.5 α their difference shows what is not known; beyond, both are
//! unreliable (computed, see [`GainCurve::is_reliable`]).

use units::Radians;

use crate::domain::{finite, positive};

/// The shape of a gain curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GainShape {
    /// A power of the cosine.
    CosinePower,
    /// A bell curve over the angle.
    Gaussian,
}

/// A screen's gain over the angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GainCurve {
    peak: f64,
    half_angle: f64,
    shape: GainShape,
}

impl GainCurve {
    /// A curve from a sheet's peak gain and half-gain angle. `None` unless the
    /// gain is above zero and the angle above 0 to below 90°.
    pub fn new(peak: f64, half_angle: Radians, shape: GainShape) -> Option<Self> {
        let peak = positive(peak)?;
        let half_angle = positive(half_angle.0)?;
        // So near to zero the cosine is 1 and its logarithm divides by zero.
        let usable = half_angle < std::f64::consts::FRAC_PI_2 && half_angle.cos() < 1.0;
        usable.then_some(Self {
            peak,
            half_angle,
            shape,
        })
    }

    /// Gain at an angle from the peak, either way. `None` at 90° and beyond.
    pub fn at(self, angle: Radians) -> Option<f64> {
        let theta = front(angle)?;
        finite(match self.shape {
            GainShape::CosinePower => {
                let n = 0.5f64.ln() / self.half_angle.cos().ln();
                self.peak * theta.cos().powf(n)
            }
            GainShape::Gaussian => self.peak * (-(theta / self.half_angle).powi(2)).exp2(),
        })
    }

    /// The angle at which the gain has fallen to `gain`. `None` unless it is
    /// above zero to the peak, or when the curve stays above it to 90°.
    pub fn angle_of(self, gain: f64) -> Option<Radians> {
        let part = positive(gain / self.peak).filter(|part| *part <= 1.0)?;
        let angle = match self.shape {
            GainShape::CosinePower => {
                let n = 0.5f64.ln() / self.half_angle.cos().ln();
                part.powf(1.0 / n).acos()
            }
            GainShape::Gaussian => self.half_angle * (-part.log2()).max(0.0).sqrt(),
        };
        front(Radians(angle)).map(Radians)
    }

    /// Whether an angle is within 1.5 half-gain angles of the peak, where the
    /// models can be believed.
    pub fn is_reliable(self, angle: Radians) -> bool {
        angle.0.abs() <= 1.5 * self.half_angle
    }
}

/// The size of an angle below 90°.
fn front(angle: Radians) -> Option<f64> {
    let theta = finite(angle.0)?.abs();
    (theta < std::f64::consts::FRAC_PI_2).then_some(theta)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const SHAPES: [GainShape; 2] = [GainShape::CosinePower, GainShape::Gaussian];

    fn curve(half_deg: f64, shape: GainShape) -> GainCurve {
        GainCurve::new(1.3, Radians::from_degrees(half_deg), shape).unwrap()
    }

    #[test]
    fn half_gain_angle_halves_the_gain() {
        for shape in SHAPES {
            let half = curve(35.0, shape).at(Radians::from_degrees(35.0)).unwrap();
            assert!((half - 0.65).abs() < 1e-12);
            assert_eq!(curve(35.0, shape).at(Radians(0.0)), Some(1.3));
        }
    }

    #[test]
    fn impossible_curves_are_refused() {
        for shape in SHAPES {
            for bad in [0.0, -30.0, 90.0, 1e-9, f64::NAN] {
                assert_eq!(GainCurve::new(1.0, Radians::from_degrees(bad), shape), None);
            }
            for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
                assert_eq!(GainCurve::new(bad, Radians(0.5), shape), None);
            }
            assert_eq!(curve(30.0, shape).at(Radians::from_degrees(91.0)), None);
            assert_eq!(curve(30.0, shape).at(Radians(f64::NAN)), None);
            assert_eq!(curve(30.0, shape).angle_of(1.4), None);
            assert_eq!(curve(30.0, shape).angle_of(0.0), None);
        }
        assert!(!curve(30.0, GainShape::Gaussian).is_reliable(Radians(f64::NAN)));
        assert!(!curve(30.0, GainShape::Gaussian).is_reliable(Radians::from_degrees(46.0)));
    }

    proptest! {
        #[test]
        fn angle_inverts_gain(half in 10.0..70.0, theta in 0.1..60.0) {
            for shape in SHAPES {
                let gain = curve(half, shape).at(Radians::from_degrees(theta)).unwrap();
                let back = curve(half, shape).angle_of(gain).unwrap();
                prop_assert!((back.degrees() - theta).abs() < 1e-6);
            }
        }

        #[test]
        fn gain_falls_alike_on_both_sides(half in 10.0..70.0, theta in 0.0..80.0, step in 0.1..5.0) {
            for shape in SHAPES {
                let gain = |deg| curve(half, shape).at(Radians::from_degrees(deg)).unwrap();
                prop_assert_eq!(gain(theta), gain(-theta));
                prop_assert!(gain(theta + step) < gain(theta));
            }
        }
    }
}
