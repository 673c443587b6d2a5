//! What does the reference listening room of ITU-R BS.1116-3 ask for?
//!
//! Everything in this file is from memory of annex 1 of BS.1116-3: its first pages
//! alone could be read. Nothing here may fail a job as if it were confirmed.
//!
//! `T_m = 0.25 (V/V₀)^(1/3)`, `L_ref = 85 − 10 log₁₀ n`,
//! `1.1 w/h ≤ l/h ≤ 4.5 w/h − 4` with `l/h < 3` and `w/h < 3`
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | T_m | mean reverberation time from 200 Hz to 4 kHz | s |
//! | V, V₀ | volume, 100 | m³ |
//! | n | number of channels | 1 |
//! | l, w, h | length, width (l ≥ w), height | m |
//!
//! Meant for listening rooms of 20 to 70 m²; larger or smaller rooms are outside
//! the recommendation.

use units::{CubicMetres, Decibels, Hertz, Metres, Seconds};

mod references;
pub(crate) use references::REFERENCES;

/// The nominal reverberation time T_m for a room volume.
pub fn reverberation_nominal(volume: CubicMetres) -> Seconds {
    Seconds(0.25 * (volume.0 / 100.0).cbrt())
}

/// How far the reverberation time of a band may lie from T_m: lower and upper
/// deviation. ±0.05 s from 200 Hz to 4 kHz; below, the upper bound rises on a
/// logarithmic frequency axis to +0.30 s at 63 Hz. `None` outside 63 Hz to 4 kHz,
/// where no value is known well enough to judge by.
pub fn reverberation_tolerance(frequency: Hertz) -> Option<(Seconds, Seconds)> {
    let f = frequency.0;
    if !(63.0..=4000.0).contains(&f) {
        return None;
    }
    let rise = if f < 200.0 {
        0.25 * (200.0 / f).ln() / (200.0_f64 / 63.0).ln()
    } else {
        0.0
    };
    Some((Seconds(-0.05), Seconds(0.05 + rise)))
}

/// The level of each of `channels` channels (one or more) with pink noise at
/// −18 dBFS rms, dB(A) ± 0.25 dB.
pub fn reference_level(channels: u32) -> Decibels {
    Decibels(85.0 - 10.0 * f64::from(channels).log10())
}

/// The proportions of a room against the rule at the head of this file: the
/// smallest of its four margins, as a ratio to the height; positive keeps it.
/// Length and width may come in either order.
pub fn proportions_margin(one: Metres, other: Metres, height: Metres) -> f64 {
    let l = one.0.max(other.0) / height.0;
    let w = one.0.min(other.0) / height.0;
    [l - 1.1 * w, 4.5 * w - 4.0 - l, 3.0 - l, 3.0 - w]
        .into_iter()
        .fold(f64::INFINITY, f64::min)
}

/// How far an early reflection stays below the limit, 10 dB under the direct sound,
/// 1 to 8 kHz; positive keeps it. `None` later than 15 ms, where it is not judged.
pub fn early_reflection_margin(delay: Seconds, level: Decibels) -> Option<Decibels> {
    (delay.0 <= 0.015).then_some(Decibels(-10.0) - level)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tolerance_is_flat_above_200_and_rises_below() {
        let upper = |f| reverberation_tolerance(Hertz(f)).unwrap().1.0;
        assert_eq!((upper(200.0), upper(4000.0)), (0.05, 0.05));
        assert!((upper(63.0) - 0.30).abs() < 1e-12);
        // Half way on the logarithmic axis is half the rise.
        assert!((upper((200.0_f64 * 63.0).sqrt()) - 0.175).abs() < 1e-12);
        assert_eq!(reverberation_tolerance(Hertz(8000.0)), None);
        assert_eq!(reverberation_tolerance(Hertz(f64::NAN)), None);
    }

    #[test]
    fn proportions_do_not_mind_the_order() {
        let [a, b, h] = [7.0, 5.0, 2.7].map(Metres);
        assert_eq!(proportions_margin(a, b, h), proportions_margin(b, a, h));
    }

    #[test]
    fn early_reflections_are_judged_up_to_15_ms() {
        let margin = |ms, db| early_reflection_margin(Seconds(ms * 1e-3), Decibels(db));
        assert_eq!(margin(15.0, -12.0), Some(Decibels(2.0)));
        assert_eq!(margin(3.0, -9.0), Some(Decibels(-1.0)));
        assert_eq!(margin(15.1, 0.0), None);
    }
}
