//! How clearly is speech understood at a seat?
//!
//! The field at a seat is the direct sound and an exponential decay after it, band by band:
//!
//! `C₅₀ = 10 log₁₀((D + R (1 − e^(−k 0.05/T))) / (R e^(−k 0.05/T)))`, `k = 6 ln 10`,
//! `D₅₀ = 1/(1 + 10^(−C₅₀/10))`
//!
//! `m(F) = |D + R/(1 + j 2πFT/k)| / (D + R + N)`
//!
//! `SNR = 10 log₁₀(m/(1 − m))` within ±15 dB, `TI = (SNR + 15)/30`, MTI the mean of 14,
//! `STI = Σ α_k MTI_k − Σ β_k √(MTI_k MTI_{k+1})`, at most 1
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | D, R, N | direct, reverberant, noise energy | any, the same |
//! | T | reverberation time | s |
//! | F | modulation frequencies, 0.63 to 12.5 Hz | Hz |
//! | α_k, β_k | weights and redundancies, 125 Hz to 8 kHz | 1 |
//!
//! Without direct sound this is the indirect method of IEC 60268-16; with it the integral of
//! the squared impulse response gives the form above. Hearing threshold and upward masking
//! are left out: at very low or very high levels the result reads high. It tells of speech,
//! not of music.

use std::f64::consts::{LN_10, TAU};

use units::{Decibels, Seconds};

mod references;
pub(crate) use references::REFERENCES;

use crate::octave::Octaves;

/// Modulation frequencies, Hz (IEC 60268-16).
pub const MODULATIONS_HZ: [f64; 14] = [
    0.63, 0.80, 1.00, 1.25, 1.60, 2.00, 2.50, 3.15, 4.00, 5.00, 6.30, 8.00, 10.0, 12.5,
];

/// Weights, 125 Hz to 8 kHz: male speech in edition 4, the one set of edition 5.
pub const ALPHA: [f64; 7] = [0.085, 0.127, 0.230, 0.233, 0.309, 0.224, 0.173];

/// Redundancies between neighbouring bands.
pub const BETA: [f64; 6] = [0.085, 0.078, 0.065, 0.011, 0.047, 0.095];

/// The long-term spectrum of speech re its A-weighted level, 125 Hz to 8 kHz, dB
/// (IEC 60268-16, male).
pub const SPEECH_SPECTRUM_DB: [f64; 7] = [2.9, 2.9, -0.8, -6.8, -12.8, -18.8, -24.8];

/// A band at a seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandField {
    /// Direct sound over reverberant sound; −∞ for none of the first.
    pub direct_to_reverberant: Decibels,
    /// The reverberation time.
    pub time: Seconds,
    /// Direct and reverberant speech over noise; +∞ for no noise.
    pub signal_to_noise: Decibels,
}

impl BandField {
    /// A field without direct sound.
    pub fn reverberant(time: Seconds, signal_to_noise: Decibels) -> Self {
        Self {
            direct_to_reverberant: Decibels(f64::NEG_INFINITY),
            time,
            signal_to_noise,
        }
    }

    /// C₅₀, the early to late energy ratio; +∞ where nothing is late.
    pub fn clarity(&self) -> Decibels {
        let (direct, reverberant) = self.shares();
        let late = reverberant * (-6.0 * LN_10 * 0.05 / self.time.0).exp();
        Decibels(10.0 * ((direct + reverberant - late) / late).log10())
    }

    /// D₅₀, the early share of the energy.
    pub fn definition(&self) -> f64 {
        1.0 / (1.0 + 10_f64.powf(-self.clarity().0 / 10.0))
    }

    /// The modulation that is left of a modulation at a frequency.
    pub fn modulation(&self, frequency_hz: f64) -> f64 {
        self.modulations()(frequency_hz)
    }

    /// As [`BandField::modulation`], for many frequencies.
    fn modulations(&self) -> impl Fn(f64) -> f64 {
        let (direct, reverberant) = self.shares();
        let noise = 10_f64.powf(-self.signal_to_noise.0 / 10.0);
        let time_s = self.time.0;
        move |frequency_hz| {
            let turn = TAU * frequency_hz * time_s / (6.0 * LN_10);
            let less = 1.0 + turn * turn;
            let real = direct + reverberant / less;
            let imaginary = reverberant * turn / less;
            real.hypot(imaginary) / (1.0 + noise)
        }
    }

    /// The mean transmission index over the modulation frequencies.
    pub fn transmission(&self) -> f64 {
        let modulation = self.modulations();
        let index = |frequency: &f64| {
            let m = modulation(*frequency);
            let ratio = 10.0 * (m / (1.0 - m)).log10();
            // Nothing lost gives 0/0 only where m is 1 exactly: that is the upper end.
            let ratio = if ratio.is_nan() { 15.0 } else { ratio };
            (ratio.clamp(-15.0, 15.0) + 15.0) / 30.0
        };
        MODULATIONS_HZ.iter().map(index).sum::<f64>() / 14.0
    }

    /// Direct and reverberant energy as shares of both.
    fn shares(&self) -> (f64, f64) {
        let ratio = 10_f64.powf(self.direct_to_reverberant.0 / 10.0);
        if ratio.is_infinite() {
            return (1.0, 0.0);
        }
        (ratio / (1.0 + ratio), 1.0 / (1.0 + ratio))
    }
}

/// The speech transmission index of seven bands.
pub fn transmission_index(bands: &[BandField; 7]) -> f64 {
    weighted_transmission(bands.map(|band| band.transmission()))
}

/// The speech transmission index of the mean indices of seven bands.
pub fn weighted_transmission(mti: [f64; 7]) -> f64 {
    let weighted: f64 = mti.iter().zip(ALPHA).map(|(m, alpha)| alpha * m).sum();
    let shared: f64 = (mti.windows(2).zip(BETA))
        .map(|(pair, beta)| beta * (pair[0] * pair[1]).sqrt())
        .sum();
    (weighted - shared).clamp(0.0, 1.0)
}

/// As [`transmission_index`], where every band is known.
pub fn transmission_index_of(bands: &Octaves<BandField>) -> Option<f64> {
    let known: Vec<BandField> = bands.iter().copied().collect::<Option<_>>()?;
    Some(transmission_index(&known.try_into().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::table;

    #[test]
    fn every_cell_of_the_grid_is_met() {
        let mut rows = 0;
        for row in table::rows(include_str!("speech/sti.csv")) {
            let ratio = if row[1] == "inf" {
                f64::INFINITY
            } else {
                table::number(row[1])
            };
            let band = BandField::reverberant(Seconds(table::number(row[0])), Decibels(ratio));
            let found = transmission_index(&[band; 7]);
            // Five printed decimals.
            assert!(
                (found - table::number(row[2])).abs() < 6e-6,
                "{row:?}: {found}"
            );
            rows += 1;
        }
        assert_eq!(rows, 88);
    }

    #[test]
    fn clarity_of_an_ideal_decay_is_the_tables() {
        let mut rows = 0;
        for row in table::rows(include_str!("speech/decay.csv")) {
            let cell = |i: usize| table::number(row[i]);
            let band = BandField::reverberant(Seconds(cell(0)), Decibels(f64::INFINITY));
            assert!((band.clarity().0 - cell(1)).abs() < 6e-5, "{row:?}");
            assert!((band.definition() - cell(3)).abs() < 6e-7, "{row:?}");
            rows += 1;
        }
        assert_eq!(rows, 10);
    }

    #[test]
    fn direct_sound_helps_and_noise_harms() {
        let at = |ratio: f64, noise: f64| {
            let band = BandField {
                direct_to_reverberant: Decibels(ratio),
                time: Seconds(0.6),
                signal_to_noise: Decibels(noise),
            };
            (transmission_index(&[band; 7]), band.clarity().0)
        };
        assert!(at(0.0, 20.0).0 > at(-10.0, 20.0).0);
        assert!(at(0.0, 20.0).1 > at(-10.0, 20.0).1);
        assert!(at(0.0, 20.0).0 > at(0.0, 5.0).0);
        assert!((at(200.0, 200.0).0 - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_direct_form_is_that_of_the_impulse_response() {
        // The definition itself: |∫ h² e^(−j2πFt) dt| / ∫ h² dt of a pulse and a decay.
        let (time, ratio, frequency): (f64, f64, f64) = (0.5, 2.0, 4.0);
        let rate = 6.0 * LN_10 / time;
        let step = 1e-6;
        let (mut real, mut imaginary) = (ratio, 0.0);
        let mut t = step / 2.0;
        while t < 3.0 {
            let energy = rate * (-rate * t).exp() * step;
            real += energy * (TAU * frequency * t).cos();
            imaginary -= energy * (TAU * frequency * t).sin();
            t += step;
        }
        let band = BandField {
            direct_to_reverberant: Decibels(10.0 * ratio.log10()),
            time: Seconds(time),
            signal_to_noise: Decibels(f64::INFINITY),
        };
        let by_definition = real.hypot(imaginary) / (ratio + 1.0);
        assert!((band.modulation(frequency) - by_definition).abs() < 1e-6);
    }
}
