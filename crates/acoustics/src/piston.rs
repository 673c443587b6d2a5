//! How much quieter is a loudspeaker off its axis?
//!
//! `D(θ) = 2 J₁(x)/x`, `x = k a sin θ`, `k = 2πf/c`
//!
//! `DI = 10 log₁₀ ((ka)² / (1 − J₁(2ka)/ka))`
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | D | pressure re on axis | 1 |
//! | J₁ | Bessel function of the first kind, order 1 | 1 |
//! | a | radius of the diaphragm | m |
//! | θ | angle off the axis, 0 to 90° | rad |
//! | DI | directivity index | dB |
//!
//! Valid for a rigid circular piston in an infinite baffle, far away. A waveguide,
//! a dome that breaks up or a small cabinet is none of these: where polar data
//! exist, they go before this.

use std::f64::consts::{FRAC_PI_2, PI};

use units::{Decibels, Hertz, Metres, MetresPerSecond, Radians};

mod references;
pub(crate) use references::REFERENCES;

/// x of the half-pressure (−6.02 dB) points.
const HALF_PRESSURE_X: f64 = 2.215_089;

/// A diaphragm that sounds at one frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piston {
    ka: f64,
}

impl Piston {
    /// A piston of that radius at that frequency.
    pub fn new(radius: Metres, frequency: Hertz, speed: MetresPerSecond) -> Self {
        Self {
            ka: 2.0 * PI * frequency.0 * radius.0 / speed.0,
        }
    }

    /// ka, the circumference in wavelengths.
    pub fn ka(&self) -> f64 {
        self.ka
    }

    /// The level at an angle off the axis, re on axis; −∞ in a null. Angles past
    /// 90° are behind the baffle: the value at 90° is given, the most there can be.
    pub fn level_off_axis(&self, angle: Radians) -> Decibels {
        let sine = angle.0.abs().min(FRAC_PI_2).sin();
        Decibels(20.0 * directivity(self.ka * sine).abs().log10())
    }

    /// The full angle between the half-pressure (−6 dB) points; `None` where the
    /// level falls less than 6 dB anywhere in front (ka < 2.215).
    pub fn coverage(&self) -> Option<Radians> {
        let sine = HALF_PRESSURE_X / self.ka;
        (sine <= 1.0).then(|| Radians(2.0 * sine.asin()))
    }

    /// The directivity index, re a source that radiates all round.
    pub fn directivity_index(&self) -> Decibels {
        let ka2 = self.ka.powi(2);
        // 1 − J₁(2x)/x loses its digits for small x: x²/2 (1 − x²/6) there.
        let radiated = if self.ka < 0.01 {
            ka2 / 2.0 * (1.0 - ka2 / 6.0)
        } else {
            1.0 - libm::j1(2.0 * self.ka) / self.ka
        };
        let ratio = if ka2 == 0.0 { 2.0 } else { ka2 / radiated };
        Decibels(10.0 * ratio.log10())
    }
}

/// The lowest frequency at which a piston's coverage is no wider than `coverage`.
pub fn frequency_for_coverage(radius: Metres, coverage: Radians, speed: MetresPerSecond) -> Hertz {
    let ka = HALF_PRESSURE_X / (coverage.0 / 2.0).sin();
    Hertz(ka * speed.0 / (2.0 * PI * radius.0))
}

/// `2 J₁(x)/x`.
fn directivity(x: f64) -> f64 {
    if x == 0.0 { 1.0 } else { 2.0 * libm::j1(x) / x }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::table;

    #[test]
    fn the_table_is_met_at_every_angle() {
        let angles = [10.0, 20.0, 30.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0];
        let mut rows = 0;
        for row in table::rows(include_str!("piston/piston.csv")) {
            let cell = |i: usize| table::number(row[i]);
            let piston = Piston { ka: cell(0) };
            for (i, angle) in angles.into_iter().enumerate() {
                let found = piston.level_off_axis(Radians::from_degrees(angle)).0;
                let listed = cell(i + 1);
                // Three decimals.
                assert!(
                    (found - listed).abs() < 6e-4,
                    "{} {angle}: {found}",
                    piston.ka
                );
            }
            match (piston.coverage(), table::number_or_blank(row[12])) {
                (Some(found), Some(listed)) => assert!((found.degrees() - listed).abs() < 6e-4),
                (found, listed) => assert_eq!((found, listed), (None, None)),
            }
            assert!((piston.directivity_index().0 - cell(13)).abs() < 6e-4);
            rows += 1;
        }
        assert_eq!(rows, 10);
    }

    #[test]
    fn half_pressure_is_where_the_directivity_is_half() {
        assert!((directivity(HALF_PRESSURE_X) - 0.5).abs() < 1e-6);
    }

    #[test]
    fn a_small_piston_fills_the_half_space() {
        for ka in [0.0, 1e-6, 0.009_999, 0.010_001] {
            let index = Piston { ka }.directivity_index().0;
            assert!((index - 3.0103).abs() < 1e-3, "{ka}: {index}");
        }
        assert_eq!(Piston { ka: 2.0 }.coverage(), None);
    }

    #[test]
    fn sound_behind_is_never_louder_than_at_the_baffle() {
        let piston = Piston { ka: 3.0 };
        let behind = piston.level_off_axis(Radians::from_degrees(150.0));
        assert_eq!(behind, piston.level_off_axis(Radians::from_degrees(90.0)));
    }
}
