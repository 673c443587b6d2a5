//! How may a sub be set: gain, delay and polarity?

use std::f64::consts::TAU;

use num_complex::Complex;
use units::{Decibels, Hertz, Seconds};

/// Which way the cone moves on a positive signal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Polarity {
    /// Outwards.
    Normal,
    /// Inwards.
    Inverted,
}

/// What is set on one sub.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// At most 0 dB: the loudest sub of an arrangement sets the level.
    pub gain: Decibels,
    /// Not negative: what the processor adds.
    pub delay: Seconds,
    /// Which way round.
    pub polarity: Polarity,
}

impl Setting {
    /// As it comes out of its box.
    pub const PLAIN: Self = Self {
        gain: Decibels(0.0),
        delay: Seconds(0.0),
        polarity: Polarity::Normal,
    };

    /// What the setting multiplies a pressure by: `±10^{g/20} e^{−i2πfτ}`.
    pub fn factor(self, frequency: Hertz) -> Complex<f64> {
        let size = 10_f64.powf(self.gain.0 / 20.0);
        let sign = match self.polarity {
            Polarity::Normal => size,
            Polarity::Inverted => -size,
        };
        Complex::from_polar(1.0, -TAU * frequency.0 * self.delay.0) * sign
    }
}

/// Subs at places of a table, each with its setting.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrangement {
    /// Places by their number in the table, rising, each with what is set there.
    pub subs: Vec<(usize, Setting)>,
}

/// The settings that a search may choose from.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    gains_db: Vec<f64>,
    delay_step_s: f64,
    delays: usize,
    polarities: Vec<Polarity>,
}

/// Why a grid of settings can't be searched.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum GridError {
    /// A gain that is positive or no number, or none of 0 dB.
    #[error("gains must be finite and at most 0 dB, with 0 dB among them; {0} dB is given")]
    Gain(f64),
    /// A step that is not positive where there is more than one delay.
    #[error("the step between delays must be a positive time; {0} s is given")]
    Step(f64),
}

impl Grid {
    /// Gains and delays to choose from, and whether polarity may be turned. Delays
    /// are 0 and `steps` steps above it.
    ///
    /// # Errors
    ///
    /// A gain above 0 dB, a list without 0 dB (the loudest sub sets the level), or
    /// a step that is no positive time.
    pub fn new(
        gains: &[Decibels],
        step: Seconds,
        steps: usize,
        with_polarity: bool,
    ) -> Result<Self, GridError> {
        let mut gains_db: Vec<f64> = gains.iter().map(|gain| gain.0).collect();
        if let Some(&wrong) = gains_db
            .iter()
            .find(|gain| !(gain.is_finite() && **gain <= 0.0))
        {
            return Err(GridError::Gain(wrong));
        }
        gains_db.sort_by(|a, b| b.total_cmp(a));
        gains_db.dedup();
        if gains_db.first().is_none_or(|&gain| gain < 0.0) {
            return Err(GridError::Gain(
                gains_db.first().copied().unwrap_or(f64::NAN),
            ));
        }
        if steps > 0 && !(step.0.is_finite() && step.0 > 0.0) {
            return Err(GridError::Step(step.0));
        }
        let polarities = match with_polarity {
            true => vec![Polarity::Normal, Polarity::Inverted],
            false => vec![Polarity::Normal],
        };
        Ok(Self {
            gains_db,
            delay_step_s: step.0,
            delays: steps + 1,
            polarities,
        })
    }

    /// 0, −3 and −6 dB; 0 to 10 ms by the millisecond; either polarity: what can be
    /// set on a common receiver (common practice, no source).
    pub fn usual() -> Self {
        let gains = [0.0, -3.0, -6.0].map(Decibels);
        Self::new(&gains, Seconds(0.001), 10, true).expect("0 dB is among the gains")
    }

    /// Nothing can be set: one output drives all subs alike.
    pub fn fixed() -> Self {
        Self::new(&[Decibels(0.0)], Seconds(0.0), 0, false).expect("0 dB is among the gains")
    }

    /// All settings of one sub, the plain one first.
    pub(crate) fn knobs(&self) -> Vec<Knobs> {
        let mut knobs = Vec::new();
        for gain in 0..self.gains_db.len() {
            for polarity in 0..self.polarities.len() {
                for delay in 0..self.delays {
                    knobs.push(Knobs {
                        gain,
                        delay,
                        polarity,
                    });
                }
            }
        }
        knobs
    }

    pub(crate) fn setting(&self, knobs: Knobs) -> Setting {
        Setting {
            gain: Decibels(self.gains_db[knobs.gain]),
            delay: Seconds(knobs.delay as f64 * self.delay_step_s),
            polarity: self.polarities[knobs.polarity],
        }
    }

    /// Settings of `subs` subs that differ in more than a common gain, delay or
    /// polarity: one sub has full gain, one has no delay, the first is not inverted.
    pub(crate) fn joint_settings(&self, subs: usize) -> f64 {
        let touching = |choices: usize| {
            let choices = choices as f64;
            choices.powi(subs as i32) - (choices - 1.0).powi(subs as i32)
        };
        let turned = (self.polarities.len() as f64).powi(subs as i32 - 1);
        touching(self.gains_db.len()) * touching(self.delays) * turned
    }
}

/// A setting by its place in each list of a grid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Knobs {
    pub(crate) gain: usize,
    pub(crate) delay: usize,
    pub(crate) polarity: usize,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_delay_turns_the_phase_by_360_f_t() {
        // 80 Hz and 1 ms: 28.8°.
        let late = Setting {
            delay: Seconds(0.001),
            ..Setting::PLAIN
        };
        let turned = late.factor(Hertz(80.0)).arg().to_degrees();
        assert!((turned + 28.8).abs() < 1e-9);
    }

    #[test]
    fn a_grid_without_zero_is_refused() {
        let step = Seconds(0.001);
        assert!(Grid::new(&[Decibels(-3.0)], step, 0, false).is_err());
        assert!(Grid::new(&[Decibels(3.0), Decibels(0.0)], step, 0, false).is_err());
        assert!(Grid::new(&[Decibels(0.0)], Seconds(-0.001), 4, false).is_err());
        assert!(Grid::new(&[Decibels(0.0)], Seconds(f64::NAN), 4, false).is_err());
    }

    #[test]
    fn joint_settings_leave_out_what_all_subs_share() {
        // Counted by hand: 5 pairs of three gains hold a 0, 21 pairs of 11 delays
        // hold a 0, and the second sub may be turned.
        assert_eq!(Grid::usual().joint_settings(2), 5.0 * 21.0 * 2.0);
        assert_eq!(Grid::usual().knobs().len(), 66);
        assert_eq!(Grid::fixed().joint_settings(4), 1.0);
    }
}
