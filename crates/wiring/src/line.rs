//! What does a 70 V or 100 V loudspeaker line load the amplifier with, and what is lost on it?
//!
//! `Z = V²/P`, `I = P/V`, loss as for any wire; all load taken at the far end,
//! so a line with taps along it loses less than this says.

use units::{Amperes, Decibels, Ohms, Volts, Watts};

use crate::wire::SpeakerLine;
use units::guard::positive;

/// Line voltage of a "70 V" system: 100 V peak, 70.7 V effective.
pub const LINE_VOLTS_70: Volts = Volts(70.7);
/// Line voltage of a 100 V system.
pub const LINE_VOLTS_100: Volts = Volts(100.0);
/// Largest sum of taps over the amplifier's rated power (common practice, no source).
pub const TAPS_OVER_RATING_MAX: f64 = 0.8;

/// A constant-voltage line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConstantVoltageLine {
    /// Line voltage at full drive.
    pub volts: Volts,
    /// Sum of the transformer taps.
    pub taps: Watts,
    /// Resistance of the wire there and back.
    pub loop_resistance: Ohms,
}

impl ConstantVoltageLine {
    /// Impedance of all taps together.
    pub fn load(&self) -> Option<Ohms> {
        Some(Ohms(
            positive(self.volts.0)?.powi(2) / positive(self.taps.0)?,
        ))
    }

    /// Line current at full drive without wire loss, the figure to size the wire by.
    pub fn current(&self) -> Option<Amperes> {
        Some(Amperes(positive(self.taps.0)? / positive(self.volts.0)?))
    }

    /// Level lost in the wire, positive.
    pub fn level_loss(&self) -> Option<Decibels> {
        let line = SpeakerLine {
            load: self.load()?,
            source: Ohms(0.0),
            loop_resistance: self.loop_resistance,
        };
        line.level_loss()
    }

    /// Power turned to heat in the wire at full drive.
    pub fn wire_power(&self) -> Option<Watts> {
        let r = self.loop_resistance;
        let i = self.volts.0 / (self.load()?.0 + units::guard::non_negative(r.0)?);
        Some(Watts(i * i * r.0))
    }

    /// What is left of the amplifier's rating under the sum of taps; negative is too much.
    pub fn taps_left(&self, amplifier: Watts, taps_over_rating_max: f64) -> Option<Watts> {
        let allowed = positive(amplifier.0)? * positive(taps_over_rating_max)?;
        Some(Watts(allowed - positive(self.taps.0)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: ConstantVoltageLine = ConstantVoltageLine {
        volts: LINE_VOLTS_100,
        taps: Watts(100.0),
        loop_resistance: Ohms(5.0),
    };

    #[test]
    fn loss_by_hand() {
        // 100 Ω behind 5 Ω: 20 log10(1.05) = 0.42379 dB; I = 0.95238 A, I²R = 4.5351 W.
        assert!((LINE.level_loss().unwrap().0 - 0.423786).abs() < 1e-6);
        assert!((LINE.wire_power().unwrap().0 - 4.535147).abs() < 1e-6);
        assert_eq!(LINE.current(), Some(Amperes(1.0)));
    }

    #[test]
    fn taps_against_the_rating() {
        assert_eq!(
            LINE.taps_left(Watts(120.0), TAPS_OVER_RATING_MAX),
            Some(Watts(-4.0))
        );
        assert_eq!(LINE.taps_left(Watts(f64::INFINITY), 0.8), None);
    }

    #[test]
    fn no_taps_no_answer() {
        let none = ConstantVoltageLine {
            taps: Watts(0.0),
            ..LINE
        };
        assert_eq!(none.load(), None);
        assert_eq!(none.level_loss(), None);
    }
}
