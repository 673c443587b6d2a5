//! How long may a network channel be, and what power arrives at its end?
//!
//! ```text
//! cords  C = (102 − H)/(1 + D)            lost in the channel  P = I² R per powered pair set
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | H | fixed cable, at most 90 m | m |
//! | C | all cords together | m |
//! | D | de-rating of the cord: 0.2 for 24 AWG, 0.5 for 26 AWG | 1 |
//! | I | current per pair set | A |
//! | R | channel resistance per pair set: 20 Ω type 1, 12.5 Ω above | Ω |

use std::sync::OnceLock;

use units::{Amperes, Metres, Ohms, Volts, Watts};

use units::guard::{non_negative, positive};
use units::table::{number, rows};

/// Longest fixed cable (ANSI/TIA-568, from memory).
pub const FIXED_CABLE_MAX: Metres = Metres(90.0);
/// Longest channel with its cords (ANSI/TIA-568, from memory).
pub const CHANNEL_MAX: Metres = Metres(100.0);
/// De-rating of a 24 AWG cord (ANSI/TIA-568, from memory).
pub const CORD_DERATING_24_AWG: f64 = 0.2;
/// De-rating of a 26 AWG cord (ANSI/TIA-568, from memory).
pub const CORD_DERATING_26_AWG: f64 = 0.5;

/// Longest total of cords beside this much fixed cable, no longer than what leaves 100 m in
/// all; `None` beyond 90 m of fixed cable.
pub fn cords_max(fixed: Metres, derating: f64) -> Option<Metres> {
    let h = non_negative(fixed.0).filter(|h| *h <= FIXED_CABLE_MAX.0)?;
    let c = (102.0 - h) / (1.0 + non_negative(derating)?);
    Some(Metres(c.min(CHANNEL_MAX.0 - h)))
}

/// One class of power over the cable (IEEE 802.3 clauses 33 and 145; watts and currents
/// confirmed on public pages).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerClass {
    /// Class or classes, as printed.
    pub class: &'static str,
    /// Type, 1 to 4.
    pub kind: u32,
    /// Least power the source offers.
    pub source: Watts,
    /// Most power the device may draw.
    pub device: Watts,
    /// Pairs that carry it.
    pub pairs: u32,
    /// Highest current per pair set.
    pub current_max: Amperes,
    /// Least voltage at the source.
    pub source_voltage_min: Volts,
}

/// Every class of the table, by power.
pub fn power_classes() -> &'static [PowerClass] {
    static TABLE: OnceLock<Vec<PowerClass>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let class = |row: Vec<&'static str>| PowerClass {
            class: row[0],
            kind: number(row[1]) as u32,
            source: Watts(number(row[2])),
            device: Watts(number(row[3])),
            pairs: number(row[4]) as u32,
            current_max: Amperes(number(row[5]) * 1e-3),
            source_voltage_min: Volts(number(row[6])),
        };
        rows(include_str!("poe.csv")).map(class).collect()
    })
}

/// The lowest class that gives a device this much.
pub fn power_class_for(device: Watts) -> Option<&'static PowerClass> {
    positive(device.0)?;
    power_classes().iter().find(|class| device <= class.device)
}

impl PowerClass {
    /// Channel resistance per pair set that the class allows (from memory).
    pub fn channel_resistance(&self) -> Ohms {
        Ohms(if self.kind == 1 { 20.0 } else { 12.5 })
    }

    /// Power lost in the longest channel at the highest current, all pair sets.
    pub fn channel_loss_max(&self) -> Watts {
        let sets = f64::from(self.pairs / 2);
        Watts(sets * self.current_max.0.powi(2) * self.channel_resistance().0)
    }
}

/// What is left of a switch's power budget under its devices, by what the source must offer;
/// `None` when a device asks more than any class gives.
pub fn budget_left(budget: Watts, devices: &[Watts]) -> Option<Watts> {
    let mut left = positive(budget.0)?;
    for device in devices {
        left -= power_class_for(*device)?.source.0;
    }
    Some(Watts(left))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_lose_no_more_than_they_offer() {
        assert_eq!(power_classes().len(), 8);
        for class in power_classes() {
            let gap = class.source.0 - class.device.0;
            assert!(gap > 0.0, "{class:?}");
            // The highest current at the least voltage carries at least the offered power.
            let sets = f64::from(class.pairs / 2);
            let carried = sets * class.current_max.0 * class.source_voltage_min.0;
            assert!(carried >= class.source.0 - 0.05, "{class:?} {carried}");
            assert!(
                class.channel_loss_max().0 >= gap - 0.05 || class.kind >= 3,
                "{class:?}"
            );
        }
    }

    #[test]
    fn class_and_budget_for_devices() {
        assert_eq!(power_class_for(Watts(12.95)).unwrap().class, "0 and 3");
        assert_eq!(power_class_for(Watts(13.0)).unwrap().class, "4");
        assert_eq!(power_class_for(Watts(72.0)), None);
        let left = budget_left(Watts(60.0), &[Watts(20.0), Watts(6.0)]).unwrap();
        assert!((left.0 - 23.0).abs() < 1e-9);
        assert_eq!(budget_left(Watts(60.0), &[Watts(80.0)]), None);
    }

    #[test]
    fn short_fixed_cable_still_leaves_a_100_m_channel() {
        assert_eq!(
            cords_max(Metres(90.0), CORD_DERATING_24_AWG),
            Some(Metres(10.0))
        );
        assert_eq!(cords_max(Metres(91.0), CORD_DERATING_24_AWG), None);
        assert_eq!(cords_max(Metres(-1.0), 0.2), None);
        let short = cords_max(Metres(70.0), CORD_DERATING_26_AWG).unwrap();
        assert!((short.0 - 32.0 / 1.5).abs() < 1e-9);
    }
}
