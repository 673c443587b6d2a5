//! With which delay and polarity do the subs fall in with the mains at each seat?
//!
//! Mains and subs each pass their half of a fourth-order Linkwitz-Riley crossover (from memory):
//! low `1/(1 + √2 s + s²)²`, high `s⁴/(1 + √2 s + s²)²`, `s = jf/f_c`; both sum to an all-pass.
//! Subs are taken as trimmed to the mains' level round the crossover, as a crew sets them.

use num_complex::Complex;
use subwoofers::{Mains, Polarity, align};
use units::{Decibels, Hertz, Seconds};

use crate::frame::point;
use crate::ready::{Ready, plain};
use crate::study::Placed;

/// How all subs together are set against the mains.
#[derive(Clone, Debug, PartialEq)]
pub struct Timed {
    /// Where they part.
    pub crossover: Hertz,
    /// The mains that play with them.
    pub mains: Vec<String>,
    /// Added to every sub; negative is added to the mains instead.
    pub delay: Seconds,
    /// Of every sub, beside its own.
    pub polarity: Polarity,
    /// At each seat, dB: 0 where both are in step.
    pub losses: Vec<Decibels>,
    /// Mean by importance, dB.
    pub loss: Decibels,
    /// The same as it would be with nothing set.
    pub loss_unset: Decibels,
}

/// What a receiver lets set: half milliseconds, up to this either way.
const STEP: Seconds = Seconds(0.0005);
const MOST: Seconds = Seconds(0.015);

impl Ready {
    /// The best delay and polarity of all subs together against the mains; `None` without subs or
    /// mains in the room, or with a crossover beyond the curves.
    pub fn timed(&self, subs: &[Placed], crossover: Hertz) -> Option<Timed> {
        let lines = self.frequencies();
        let inside: Vec<&(String, [f64; 3])> = (self.inputs.mains.iter())
            .filter(|(_, at)| self.solved.modes.place(point(*at)).is_some())
            .collect();
        if subs.is_empty() || inside.is_empty() {
            return None;
        }
        let low = |line: usize| filter(lines[line], crossover)[0];
        let high = |line: usize| filter(lines[line], crossover)[1];
        let mains = inside.iter().map(|(_, at)| (*at, Vec::new()));
        let mains = self.summed(mains, &high)?;
        let subs = subs.iter().map(|sub| {
            let factors = lines.iter().map(|line| sub.setting.factor(*line));
            (sub.at, factors.collect())
        });
        let mut subs = self.summed(subs, &low)?;
        let near = |line: &usize| (lines[*line].0 / crossover.0).log2().abs() <= 0.25;
        let power = |table: &[Vec<Complex<f64>>]| -> f64 {
            let seat = |seat: &Vec<Complex<f64>>| -> f64 {
                (0..lines.len())
                    .filter(near)
                    .map(|line| seat[line].norm_sqr())
                    .sum()
            };
            table.iter().map(seat).sum()
        };
        let trim = (power(&mains) / power(&subs)).sqrt();
        if !trim.is_finite() {
            return None;
        }
        subs.iter_mut()
            .flatten()
            .for_each(|pressure| *pressure *= trim);
        let sound = Mains {
            frequencies: lines,
            importance: &self.inputs.importance,
            mains: &mains,
            subs: &subs,
        };
        let all = align(&sound, crossover, STEP, MOST);
        let best = all.first()?;
        let unset = align(&sound, crossover, STEP, Seconds(0.0));
        let unset = unset.iter().find(|one| one.polarity == Polarity::Normal)?;
        Some(Timed {
            crossover,
            mains: inside.iter().map(|(label, _)| label.clone()).collect(),
            delay: best.delay,
            polarity: best.polarity,
            losses: best.losses.clone(),
            loss: best.loss,
            loss_unset: unset.loss,
        })
    }

    /// What sources sum to at each seat and line of the curves, each with a factor by line (none
    /// is 1), all through one filter.
    fn summed(
        &self,
        sources: impl Iterator<Item = ([f64; 3], Vec<Complex<f64>>)>,
        filter: &dyn Fn(usize) -> Complex<f64>,
    ) -> Option<Vec<Vec<Complex<f64>>>> {
        let lines = self.frequencies().len();
        let mut sums = vec![vec![Complex::new(0.0, 0.0); lines]; self.seats().len()];
        for (at, factors) in sources {
            let heard = self.listening.from(&self.solved.modes.place(point(at))?);
            for (sum, seat) in sums.iter_mut().zip(heard) {
                for (line, pressure) in plain(seat).into_iter().enumerate() {
                    let factor = factors.get(line).copied().unwrap_or(Complex::new(1.0, 0.0));
                    sum[line] += pressure * factor * filter(line);
                }
            }
        }
        Some(sums)
    }
}

/// Low and high half of the crossover.
fn filter(frequency: Hertz, crossover: Hertz) -> [Complex<f64>; 2] {
    let s = Complex::new(0.0, frequency.0 / crossover.0);
    let under = (s * s + s * std::f64::consts::SQRT_2 + 1.0).powi(2);
    [under.inv(), s.powi(4) / under]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_halves_are_6_db_down_and_in_step_where_they_part() {
        let [low, high] = filter(Hertz(80.0), Hertz(80.0));
        assert!((low.norm() - 0.5).abs() < 1e-12 && (low - high).norm() < 1e-12);
        for hertz in [20.0, 60.0, 133.0] {
            let [low, high] = filter(Hertz(hertz), Hertz(80.0));
            assert!(((low + high).norm() - 1.0).abs() < 1e-12, "{hertz} Hz");
        }
    }
}
