//! How far down is a loudspeaker at a frequency beside its crossover?
//!
//! Linkwitz–Riley, a Butterworth filter squared: with r = f/f_c and order N,
//! `|H_low| = 1/(1 + r^N)`, `|H_high| = r^N/(1 + r^N)`.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | f, f_c | frequency, crossover frequency | Hz |
//! | N | order: 2, 4 or 8 (12, 24, 48 dB per octave) | 1 |
//!
//! The magnitudes add to 1: in phase for orders 4 and 8, and for order 2 with one
//! branch inverted. The filter alone; drivers add their own slopes.

use std::f64::consts::LN_10;

use units::{Decibels, Hertz};

mod references;
pub(crate) use references::REFERENCES;

/// The order of a Linkwitz–Riley crossover.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Order {
    /// 12 dB per octave.
    Second,
    /// 24 dB per octave.
    Fourth,
    /// 48 dB per octave.
    Eighth,
}

impl Order {
    fn exponent(self) -> i32 {
        match self {
            Self::Second => 2,
            Self::Fourth => 4,
            Self::Eighth => 8,
        }
    }
}

/// The gain of the low-pass branch.
pub fn low_pass(order: Order, crossover: Hertz, frequency: Hertz) -> Decibels {
    Decibels(-20.0 * (frequency.0 / crossover.0).powi(order.exponent()).ln_1p() / LN_10)
}

/// The gain of the high-pass branch.
pub fn high_pass(order: Order, crossover: Hertz, frequency: Hertz) -> Decibels {
    // Mirrored about the crossover frequency on a logarithmic axis.
    low_pass(order, frequency, crossover)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn branches_add_to_one() {
        for order in [Order::Second, Order::Fourth, Order::Eighth] {
            for frequency in [10.0, 57.0, 80.0, 113.0, 640.0] {
                let (crossover, frequency) = (Hertz(80.0), Hertz(frequency));
                let low = low_pass(order, crossover, frequency).0;
                let high = high_pass(order, crossover, frequency).0;
                let sum = 10_f64.powf(low / 20.0) + 10_f64.powf(high / 20.0);
                assert!((sum - 1.0).abs() < 1e-12, "{order:?} {frequency:?}");
            }
        }
    }
}
