//! With which delay and polarity do subs and mains add up round the crossover?
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | A_s(f), B_s(f) | mains and subs at a seat, filters included | 1 |
//! | τ | delay of the subs; negative delays the mains | s |
//! | loss_s = 10 lg (Σ abs(A + B e^{−i2πfτ})² / Σ (abs A + abs B)²) | how far below in step, sums over half an octave round the crossover | dB |
//!
//! The best delay makes Σ_s w_s loss_s greatest. For two alike sources a time error Δt
//! is a phase error of 360° f Δt: 80 Hz and 1 ms are 28.8° and cost 0.28 dB. The
//! method is common practice, no source.

use std::f64::consts::TAU;

use num_complex::Complex;
use units::{Decibels, Hertz, Seconds};

use crate::Polarity;

/// Mains and subs at each seat by frequency, each with its part of the crossover, over
/// the same drive: `pressures[seat][frequency]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Mains<'a> {
    /// The lines of both tables.
    pub frequencies: &'a [Hertz],
    /// What counts more.
    pub importance: &'a [f64],
    /// The main loudspeaker, or the sum of those that play together.
    pub mains: &'a [Vec<Complex<f64>>],
    /// All subs as they are set.
    pub subs: &'a [Vec<Complex<f64>>],
}

/// A delay and polarity of all subs against the mains.
#[derive(Clone, Debug, PartialEq)]
pub struct Alignment {
    /// Added to the subs; negative is added to the mains.
    pub delay: Seconds,
    /// Of the subs.
    pub polarity: Polarity,
    /// At each seat, 0 dB where both are in step, negative otherwise.
    pub losses: Vec<Decibels>,
    /// Mean of the losses by importance.
    pub loss: Decibels,
}

/// The alignments at both polarities and all delays of `step` up to `most` either way,
/// best first.
///
/// Empty where no frequency lies within a quarter of an octave of the crossover, or a
/// table has another shape.
pub fn align(sound: &Mains, crossover: Hertz, step: Seconds, most: Seconds) -> Vec<Alignment> {
    let half = 2_f64.powf(0.25);
    let near = |hertz: f64| hertz >= crossover.0 / half && hertz <= crossover.0 * half;
    let lines: Vec<(usize, f64)> = sound
        .frequencies
        .iter()
        .enumerate()
        .filter_map(|(at, frequency)| near(frequency.0).then_some((at, frequency.0)))
        .collect();
    let seats = sound.importance.len();
    let whole = |table: &[Vec<Complex<f64>>]| {
        table.len() == seats
            && table
                .iter()
                .all(|seat| seat.len() == sound.frequencies.len())
    };
    if lines.is_empty() || seats == 0 || !whole(sound.mains) || !whole(sound.subs) {
        return Vec::new();
    }
    let steps = match step.0 > 0.0 {
        true => (most.0.max(0.0) / step.0 + 1e-9).floor() as i32,
        false => 0,
    };
    let mut all: Vec<Alignment> = (-steps..=steps)
        .flat_map(|steps| {
            let delay = Seconds(f64::from(steps) * step.0);
            [Polarity::Normal, Polarity::Inverted].map(|polarity| (delay, polarity))
        })
        .map(|(delay, polarity)| aligned(sound, &lines, delay, polarity))
        .collect();
    // Of equals the shortest delay, then normal polarity: a stable sort keeps the rest.
    all.sort_by(|a, b| a.delay.0.abs().total_cmp(&b.delay.0.abs()));
    all.sort_by(|a, b| b.loss.0.total_cmp(&a.loss.0));
    all
}

fn aligned(sound: &Mains, lines: &[(usize, f64)], delay: Seconds, polarity: Polarity) -> Alignment {
    let sign = match polarity {
        Polarity::Normal => 1.0,
        Polarity::Inverted => -1.0,
    };
    let loss = |main: &Vec<Complex<f64>>, sub: &Vec<Complex<f64>>| {
        let (mut together, mut in_step) = (0.0, 0.0);
        for &(at, hertz) in lines {
            let turned = sub[at] * Complex::from_polar(sign, -TAU * hertz * delay.0);
            together += (main[at] + turned).norm_sqr();
            in_step += (main[at].norm() + sub[at].norm()).powi(2);
        }
        // Silence loses nothing; an exact null is 240 dB down.
        match in_step > 0.0 {
            true => Decibels(10.0 * (together / in_step).max(1e-24).log10()),
            false => Decibels(0.0),
        }
    };
    let losses: Vec<Decibels> = sound
        .mains
        .iter()
        .zip(sound.subs)
        .map(|(main, sub)| loss(main, sub))
        .collect();
    let total: f64 = sound.importance.iter().sum();
    let weighted: f64 = losses
        .iter()
        .zip(sound.importance)
        .map(|(loss, weight)| loss.0 * weight)
        .sum();
    Alignment {
        delay,
        polarity,
        losses,
        loss: Decibels(weighted / total),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CROSSOVER: Hertz = Hertz(80.0);

    fn lines() -> Vec<Hertz> {
        (0..13)
            .map(|n| Hertz(60.0 * 2_f64.powf(f64::from(n) / 16.0)))
            .collect()
    }

    /// Of unit size and so late.
    fn late(seconds: f64) -> Vec<Complex<f64>> {
        lines()
            .iter()
            .map(|f| Complex::from_polar(1.0, -TAU * f.0 * seconds))
            .collect()
    }

    fn best(mains: &[Vec<Complex<f64>>], subs: &[Vec<Complex<f64>>]) -> Alignment {
        let importance = vec![1.0; mains.len()];
        let lines = lines();
        let sound = Mains {
            frequencies: &lines,
            importance: &importance,
            mains,
            subs,
        };
        align(&sound, CROSSOVER, Seconds(0.0005), Seconds(0.012)).remove(0)
    }

    #[test]
    fn one_millisecond_at_80_hz_costs_a_quarter_decibel() {
        // 20 lg cos(28.8°/2) = −0.277 dB.
        let lines = [CROSSOVER];
        let (mains, subs) = (late_at(0.0), late_at(0.001));
        let sound = Mains {
            frequencies: &lines,
            importance: &[1.0],
            mains: &mains,
            subs: &subs,
        };
        let plain = aligned(&sound, &[(0, 80.0)], Seconds(0.0), Polarity::Normal);
        assert!((plain.loss.0 + 0.277).abs() < 5e-4, "{plain:?}");
    }

    fn late_at(seconds: f64) -> Vec<Vec<Complex<f64>>> {
        vec![vec![Complex::from_polar(1.0, -TAU * 80.0 * seconds)]]
    }

    #[test]
    fn a_late_sub_has_the_mains_delayed() {
        let found = best(&[late(0.003)], &[late(0.0075)]);
        assert_eq!(found.polarity, Polarity::Normal);
        assert!((found.delay.0 + 0.0045).abs() < 1e-12);
        assert!(found.loss.0.abs() < 1e-9);
    }

    #[test]
    fn a_sub_wired_the_wrong_way_round_is_turned() {
        let turned: Vec<Complex<f64>> = late(0.002).iter().map(|p| -p).collect();
        let found = best(&[late(0.004)], &[turned]);
        assert_eq!(
            (found.polarity, found.delay),
            (Polarity::Inverted, Seconds(0.002))
        );
    }

    #[test]
    fn two_seats_share_what_cannot_be_had_by_both() {
        // 0 ms suits the first seat, 2 ms the second: the middle costs both alike.
        let found = best(&[late(0.0), late(0.002)], &[late(0.0), late(0.0)]);
        assert_eq!(found.delay, Seconds(0.001));
        assert!((found.losses[0].0 - found.losses[1].0).abs() < 1e-9);
    }

    #[test]
    fn nothing_is_aligned_without_a_line_at_the_crossover() {
        let lines = [Hertz(20.0), Hertz(30.0)];
        let table = vec![vec![Complex::new(1.0, 0.0); 2]];
        let sound = Mains {
            frequencies: &lines,
            importance: &[1.0],
            mains: &table,
            subs: &table,
        };
        assert!(align(&sound, CROSSOVER, Seconds(0.001), Seconds(0.01)).is_empty());
    }
}
