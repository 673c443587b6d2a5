//! How much light has a source of a given age left?
//!
//! exponential 2^(−t/T); linear 1 − t/2T
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | t | time in use | s |
//! | T | rated life: time to half the light | s |
//!
//! The exponential describes solid-state sources, the straight line lamps, the
//! latter up to T only (choice of model from memory). Sources in the same
//! model vary by tens of percent: a lux reading on site wins.

use units::Seconds;

use crate::domain::{non_negative, positive};

/// How the light falls over time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgeModel {
    /// By the same fraction in equal times.
    Exponential,
    /// By the same amount in equal times, until half is left.
    Linear,
}

/// A light source that has half its light at its rated life.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightSource {
    /// T, time to half the light; above zero.
    pub life: Seconds,
    /// How the light falls.
    pub model: AgeModel,
}

impl LightSource {
    /// Light left at an age, over new. `None` when the age is negative, the
    /// life not above zero, or a linear source is past its life.
    pub fn left(self, age: Seconds) -> Option<f64> {
        let lives = non_negative(non_negative(age.0)? / positive(self.life.0)?)?;
        match self.model {
            AgeModel::Exponential => Some((-lives).exp2()),
            AgeModel::Linear => (lives <= 1.0).then_some(1.0 - lives / 2.0),
        }
    }

    /// Age at which a part of the light is left. `None` unless that is above 0
    /// to 1, or from ½ to 1 for a linear source, and the life above zero.
    pub fn age_at(self, left: f64) -> Option<Seconds> {
        let life = positive(self.life.0)?;
        let left = positive(left).filter(|left| *left <= 1.0)?;
        let lives = match self.model {
            // Zero and not minus zero for a source as new.
            AgeModel::Exponential => (-left.log2()).max(0.0),
            AgeModel::Linear if left >= 0.5 => 2.0 * (1.0 - left),
            AgeModel::Linear => return None,
        };
        non_negative(lives * life).map(Seconds)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const MODELS: [AgeModel; 2] = [AgeModel::Exponential, AgeModel::Linear];

    fn source(model: AgeModel) -> LightSource {
        LightSource {
            life: Seconds(3000.0 * 3600.0),
            model,
        }
    }

    #[test]
    fn half_is_left_at_the_rated_life() {
        for model in MODELS {
            assert_eq!(source(model).left(source(model).life), Some(0.5));
            assert_eq!(source(model).left(Seconds(0.0)), Some(1.0));
        }
    }

    #[test]
    fn lamp_past_its_life_is_not_modelled() {
        let past = Seconds(3001.0 * 3600.0);
        assert_eq!(source(AgeModel::Linear).left(past), None);
        assert_eq!(source(AgeModel::Linear).age_at(0.4), None);
        assert!(source(AgeModel::Exponential).left(past).unwrap() < 0.5);
    }

    #[test]
    fn impossible_ages_are_refused() {
        for model in MODELS {
            for bad in [-1.0, f64::NAN, f64::INFINITY] {
                assert_eq!(source(model).left(Seconds(bad)), None);
                assert_eq!(source(model).age_at(bad), None);
                let life = Seconds(bad);
                assert_eq!(LightSource { life, model }.left(Seconds(1.0)), None);
            }
            assert_eq!(source(model).age_at(0.0), None);
            assert_eq!(source(model).age_at(1.1), None);
        }
    }

    proptest! {
        #[test]
        fn age_inverts_light(part in 0.0..1.0) {
            for model in MODELS {
                let age = source(model).life * part;
                let back = source(model).age_at(source(model).left(age).unwrap()).unwrap();
                prop_assert!((back.0 - age.0).abs() < 1e-3);
            }
        }
    }
}
