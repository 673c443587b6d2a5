//! How long does a battery carry the kit when the mains fails?
//!
//! ```text
//! by energy   t = E η k/P             Peukert  t = H (C/(I H))^n
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | E | nominal energy | Wh |
//! | η | efficiency of the inverter, 0.85 (from memory) | 1 |
//! | k | usable part: 0.8 fresh, 0.5 after three years (from memory) | 1 |
//! | P | load | W |
//! | C | capacity at the hour rating H | Ah |
//! | I | current drawn from the battery | A |
//! | n | Peukert's exponent, lead-acid 1.15 to 1.25 (from memory) | 1 |

use units::{Amperes, Seconds, Watts};

use units::guard::positive;

/// Efficiency of the inverter (from memory).
pub const INVERTER_EFFICIENCY: f64 = 0.85;
/// Usable part of a fresh battery (from memory).
pub const USABLE_FRESH: f64 = 0.8;
/// Usable part after three years (from memory).
pub const USABLE_AGED: f64 = 0.5;
/// Peukert's exponent of lead-acid cells, low and high end (from memory).
pub const PEUKERT_EXPONENT: [f64; 2] = [1.15, 1.25];

/// A battery supply known by its energy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BatteryEnergy {
    /// Nominal energy, Wh.
    pub nominal_wh: f64,
    /// Efficiency of the inverter, 0 to 1.
    pub inverter_efficiency: f64,
    /// Usable part, 0 to 1.
    pub usable: f64,
}

impl BatteryEnergy {
    /// Time this load is carried.
    pub fn runtime(&self, load: Watts) -> Option<Seconds> {
        let part = |part: f64| positive(part).filter(|part| *part <= 1.0);
        let usable_wh =
            positive(self.nominal_wh)? * part(self.inverter_efficiency)? * part(self.usable)?;
        Some(Seconds(usable_wh * 3600.0 / positive(load.0)?))
    }
}

/// A battery known by its capacity at an hour rating.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PeukertBattery {
    /// Capacity at the hour rating, Ah.
    pub capacity_ah: f64,
    /// Hour rating, commonly 20 h.
    pub rating: Seconds,
    /// Peukert's exponent, 1 to 2.
    pub exponent: f64,
}

impl PeukertBattery {
    /// Time this current is given; extrapolates poorly beyond some 20 times the rated current.
    pub fn runtime(&self, current: Amperes) -> Option<Seconds> {
        if !(1.0..=2.0).contains(&self.exponent) {
            return None;
        }
        let hours = positive(self.rating.0)? / 3600.0;
        let ratio = positive(self.capacity_ah)? / (positive(current.0)? * hours);
        Some(Seconds(hours * ratio.powf(self.exponent) * 3600.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BATTERY: PeukertBattery = PeukertBattery {
        capacity_ah: 9.0,
        rating: Seconds(72_000.0),
        exponent: 1.2,
    };

    #[test]
    fn rated_current_lasts_the_rated_time() {
        let t = BATTERY.runtime(Amperes(9.0 / 20.0)).unwrap();
        assert!((t.0 - 72_000.0).abs() < 1e-6);
        let ideal = PeukertBattery {
            exponent: 1.0,
            ..BATTERY
        };
        assert!((ideal.runtime(Amperes(9.0)).unwrap().0 - 3600.0).abs() < 1e-9);
    }

    #[test]
    fn nonsense_gives_no_answer() {
        assert_eq!(BATTERY.runtime(Amperes(0.0)), None);
        assert_eq!(
            PeukertBattery {
                exponent: 0.5,
                ..BATTERY
            }
            .runtime(Amperes(1.0)),
            None
        );
        let energy = BatteryEnergy {
            nominal_wh: 300.0,
            inverter_efficiency: 1.1,
            usable: 0.8,
        };
        assert_eq!(energy.runtime(Watts(100.0)), None);
    }
}
