//! How much heat does an amplifier leave behind?
//!
//! Heat is what comes in from the mains less what goes out to the
//! loudspeakers. Tests of heat take 1/8 of the rated power (pink noise just
//! below clipping); a living room takes about 1/100 on average.

use std::sync::OnceLock;

use units::Watts;

use units::guard::{non_negative, positive};
use units::table::{number, rows};

/// Output over rating in a heat test (IEC 60065, IEC 62368-1 annex E; from memory).
pub const TEST_PART: f64 = 1.0 / 8.0;
/// Output over rating on average in a living room (from memory).
pub const LIVING_ROOM_PART: f64 = 1.0 / 100.0;

/// Usual figures of one class of output stage (from memory); the sheet's own figure comes first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutputClass {
    /// Name of the class.
    pub class: &'static str,
    /// Efficiency at 1/8 of the rated power, low end.
    pub efficiency_low: f64,
    /// High end.
    pub efficiency_high: f64,
    /// Draw with nothing playing, low end.
    pub idle_low: Watts,
    /// High end.
    pub idle_high: Watts,
}

/// Every class of the table.
pub fn output_classes() -> &'static [OutputClass] {
    static TABLE: OnceLock<Vec<OutputClass>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let class = |row: Vec<&'static str>| OutputClass {
            class: row[0],
            efficiency_low: number(row[1]),
            efficiency_high: number(row[2]),
            idle_low: Watts(number(row[3])),
            idle_high: Watts(number(row[4])),
        };
        rows(include_str!("amplifier-classes.csv"))
            .map(class)
            .collect()
    })
}

/// Rated power of an amplifier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amplifier {
    /// Rated power of one channel.
    pub per_channel: Watts,
    /// Channels driven.
    pub channels: u32,
}

impl Amplifier {
    /// Output at this part (0 to 1) of the rating, all driven channels together.
    pub fn output(&self, part: f64) -> Option<Watts> {
        let part = non_negative(part).filter(|part| *part <= 1.0)?;
        Some(Watts(
            positive(self.per_channel.0)? * f64::from(self.channels) * part,
        ))
    }

    /// Heat at this part of the rating and this efficiency (0 to 1), and not below the idle draw.
    pub fn heat(&self, part: f64, efficiency: f64, idle: Watts) -> Option<Watts> {
        let eta = positive(efficiency).filter(|eta| *eta <= 1.0)?;
        let out = self.output(part)?.0;
        Some(Watts((out / eta - out).max(non_negative(idle.0)?)))
    }
}

/// Measured or printed power in and out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerBalance {
    /// Drawn from the mains.
    pub mains: Watts,
    /// Sent out as sound or light.
    pub output: Watts,
}

impl PowerBalance {
    /// What stays as heat; `None` when more goes out than comes in.
    pub fn heat(&self) -> Option<Watts> {
        let (mains, output) = (non_negative(self.mains.0)?, non_negative(self.output.0)?);
        non_negative(mains - output).map(Watts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn efficiency_and_balance_agree() {
        let amplifier = Amplifier {
            per_channel: Watts(100.0),
            channels: 2,
        };
        assert_eq!(amplifier.output(TEST_PART), Some(Watts(25.0)));
        // 25 W out of 110 W.
        let heat = amplifier.heat(TEST_PART, 25.0 / 110.0, Watts(0.0)).unwrap();
        assert!((heat.0 - 85.0).abs() < 1e-9);
        // The stated efficiency of class AB, 20 to 30 %, brackets that case.
        let ab = output_classes()
            .iter()
            .find(|class| class.class == "AB")
            .unwrap();
        assert!(ab.efficiency_low <= 25.0 / 110.0 && 25.0 / 110.0 <= ab.efficiency_high);
    }

    #[test]
    fn idle_draw_is_the_floor() {
        let amplifier = Amplifier {
            per_channel: Watts(50.0),
            channels: 2,
        };
        assert_eq!(amplifier.heat(0.0, 0.25, Watts(45.0)), Some(Watts(45.0)));
    }

    #[test]
    fn table_is_ordered() {
        assert_eq!(output_classes().len(), 2);
        for class in output_classes() {
            assert!(class.efficiency_low < class.efficiency_high && class.efficiency_high < 1.0);
            assert!(class.idle_low < class.idle_high);
        }
    }

    #[test]
    fn nonsense_gives_no_answer() {
        let balance = PowerBalance {
            mains: Watts(10.0),
            output: Watts(20.0),
        };
        assert_eq!(balance.heat(), None);
        let amplifier = Amplifier {
            per_channel: Watts(100.0),
            channels: 2,
        };
        assert_eq!(amplifier.output(1.5), None);
        assert_eq!(amplifier.heat(0.1, 0.0, Watts(0.0)), None);
    }
}
