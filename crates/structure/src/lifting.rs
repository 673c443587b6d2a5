//! How is the ladder set, and how heavy is a lift?
//!
//! ```text
//! foot = L/4        RWL = LC · HM · VM · DM · AM · FM · CM
//! HM = 10/H   VM = 1 − 0.0075|V − 30|   DM = 0.82 + 1.8/D   AM = 1 − 0.0032 A
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | LC | load constant, 51 lb | lb |
//! | H | hands in front of the ankles, 10 to 25 | in |
//! | V | hands above the floor at the start, 0 to 70 | in |
//! | D | height travelled, 10 to 70 | in |
//! | A | twist, 0 to 135 | ° |
//! | FM, CM | frequency and grip, tables of the source, 0 to 1 | 1 |
//!
//! NIOSH publication 94-110; OSHA 1926.1053(b)(5)(i); both from memory. Two
//! hands, standing, no jerk. A lift within the figure can still hurt.

use units::{Kilograms, Metres, Radians};

use units::guard::positive;

/// One pound, kg.
const POUND_KG: f64 = 0.453_592_37;
/// Load constant, lb (NIOSH 94-110, from memory).
const LOAD_CONSTANT_LB: f64 = 51.0;
/// Foot of a ladder from the wall over its working length (OSHA 1926.1053(b)(5)(i), from memory).
pub const LADDER_FOOT_PART: f64 = 0.25;
/// Ladder above the landing it leads to, 3 ft (OSHA 1926.1053(b)(1), from memory).
pub const LADDER_ABOVE_LANDING_MIN: Metres = Metres(3.0 * 0.3048);
/// Largest lift close to the body at waist height, men and women (HSE L23, from memory).
pub const WAIST_LIFT_MAX: [Kilograms; 2] = [Kilograms(25.0), Kilograms(16.0)];
/// Largest lift close to the body at head height, men and women (HSE L23, from memory).
pub const HEAD_LIFT_MAX: [Kilograms; 2] = [Kilograms(10.0), Kilograms(7.0)];
/// Display mass from which two people lift (common practice, no source).
pub const TWO_PEOPLE_MASS: Kilograms = Kilograms(25.0);
/// Display diagonal from which two people lift, 65 in (common practice, no source).
pub const TWO_PEOPLE_DIAGONAL: Metres = Metres(65.0 * 0.0254);

/// Distance of a leaning ladder's foot from the wall.
pub fn ladder_foot(working_length: Metres, foot_part: f64) -> Option<Metres> {
    let part = positive(foot_part).filter(|part| *part < 1.0)?;
    Some(Metres(positive(working_length.0)? * part))
}

/// Angle of the ladder from the floor, its working length measured along the rails.
pub fn ladder_angle(foot_part: f64) -> Option<Radians> {
    Some(Radians(
        positive(foot_part).filter(|part| *part < 1.0)?.acos(),
    ))
}

/// One lift by one person.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lift {
    /// Hands in front of the ankles.
    pub horizontal: Metres,
    /// Hands above the floor at the start.
    pub vertical: Metres,
    /// Height travelled.
    pub travel: Metres,
    /// Twist of the body.
    pub twist: Radians,
    /// Frequency multiplier, 1 for a lift every five minutes or rarer.
    pub frequency: f64,
    /// Grip multiplier, 1 good to 0.90 poor.
    pub coupling: f64,
}

impl Lift {
    /// Recommended weight limit; 0 beyond the reach of the equation, `None` for bad numbers.
    pub fn weight_limit(&self) -> Option<Kilograms> {
        let finite = |x: f64| x.is_finite().then_some(x);
        let h = positive(self.horizontal.inches())?;
        let v = units::guard::non_negative(self.vertical.inches())?;
        let d = units::guard::non_negative(self.travel.inches())?;
        let a = finite(self.twist.degrees())?.abs();
        let part = |part: f64| positive(part).filter(|part| *part <= 1.0);
        let (fm, cm) = (part(self.frequency)?, part(self.coupling)?);
        if h > 25.0 || v > 70.0 || d > 70.0 || a > 135.0 {
            return Some(Kilograms(0.0));
        }
        let hm = 10.0 / h.max(10.0);
        let vm = 1.0 - 0.0075 * (v - 30.0).abs();
        let dm = 0.82 + 1.8 / d.max(10.0);
        let am = 1.0 - 0.0032 * a;
        Some(Kilograms(
            LOAD_CONSTANT_LB * POUND_KG * hm * vm * dm * am * fm * cm,
        ))
    }

    /// Lifting index: mass over limit, above 1 is too much for some workers; `None` when the limit
    /// is 0.
    pub fn index(&self, mass: Kilograms) -> Option<f64> {
        Some(positive(mass.0)? / positive(self.weight_limit()?.0)?)
    }
}

/// Whether a display asks for two people, by mass or by diagonal.
pub fn two_people(mass: Kilograms, diagonal: Metres) -> Option<bool> {
    let (mass, diagonal) = (Kilograms(positive(mass.0)?), Metres(positive(diagonal.0)?));
    Some(mass > TWO_PEOPLE_MASS || diagonal > TWO_PEOPLE_DIAGONAL)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BEST: Lift = Lift {
        horizontal: Metres(10.0 * 0.0254),
        vertical: Metres(30.0 * 0.0254),
        travel: Metres(10.0 * 0.0254),
        twist: Radians(0.0),
        frequency: 1.0,
        coupling: 1.0,
    };

    #[test]
    fn the_best_lift_is_the_load_constant() {
        assert!((BEST.weight_limit().unwrap().0 - 51.0 * POUND_KG).abs() < 1e-9);
        let close = Lift {
            horizontal: Metres(0.1),
            ..BEST
        };
        assert_eq!(close.weight_limit(), BEST.weight_limit());
    }

    #[test]
    fn every_departure_lowers_the_limit() {
        let limit = BEST.weight_limit().unwrap();
        for worse in [
            Lift {
                horizontal: Metres(0.4),
                ..BEST
            },
            Lift {
                vertical: Metres(0.2),
                ..BEST
            },
            Lift {
                vertical: Metres(1.5),
                ..BEST
            },
            Lift {
                travel: Metres(1.0),
                ..BEST
            },
            Lift {
                twist: Radians(0.5),
                ..BEST
            },
            Lift {
                frequency: 0.9,
                ..BEST
            },
            Lift {
                coupling: 0.95,
                ..BEST
            },
        ] {
            assert!(worse.weight_limit().unwrap() < limit, "{worse:?}");
        }
        let beyond = Lift {
            horizontal: Metres(0.7),
            ..BEST
        };
        assert_eq!(beyond.weight_limit(), Some(Kilograms(0.0)));
        assert_eq!(beyond.index(Kilograms(1.0)), None);
    }

    #[test]
    fn ladder_leans_at_75_degrees() {
        assert!((ladder_angle(LADDER_FOOT_PART).unwrap().degrees() - 75.52).abs() < 0.01);
        assert_eq!(ladder_foot(Metres(-1.0), LADDER_FOOT_PART), None);
    }

    #[test]
    fn large_or_heavy_takes_two() {
        assert_eq!(
            two_people(Kilograms(20.0), Metres::from_inches(55.0)),
            Some(false)
        );
        assert_eq!(
            two_people(Kilograms(26.0), Metres::from_inches(55.0)),
            Some(true)
        );
        assert_eq!(
            two_people(Kilograms(20.0), Metres::from_inches(75.0)),
            Some(true)
        );
        assert_eq!(two_people(Kilograms(0.0), Metres(1.0)), None);
    }
}
