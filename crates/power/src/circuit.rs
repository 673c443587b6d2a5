//! Does the circuit carry what hangs on it, for hours?
//!
//! NEC 210.20(A): the overcurrent device is at least `1.00 × other + 1.25 ×
//! continuous`, so a load that lasts three hours or more may take 80 %.
//! Home cinema kit counts as continuous.

use std::sync::OnceLock;

use units::{Amperes, Volts, Watts};

use units::guard::{non_negative, positive};
use units::table::{number, rows};

/// Continuous load over rating by the 125 % rule (NEC 210.20(A), confirmed in a public copy of
/// NEC 2023); elsewhere 0.8 is common practice, no source.
pub const CONTINUOUS_PART: f64 = 0.8;
/// One cord-and-plug load over rating (NEC 210.23(A)(1), confirmed).
pub const CORD_AND_PLUG_PART: f64 = 0.8;
/// Loads fastened in place over rating, where the circuit is shared with others (NEC
/// 210.23(A)(2), confirmed).
pub const FASTENED_PART: f64 = 0.5;

/// A branch circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// Nominal voltage.
    pub voltage: Volts,
    /// Rating of its overcurrent device.
    pub rating: Amperes,
}

/// What hangs on a circuit; apparent power where the sheet gives it, else real power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircuitLoad {
    /// On for three hours or more.
    pub continuous: Watts,
    /// All else that may be on at the same time.
    pub other: Watts,
}

impl Circuit {
    /// Power at the full rating: `V I`.
    pub fn capacity(&self) -> Option<Watts> {
        Some(Watts(positive(self.voltage.0)? * positive(self.rating.0)?))
    }

    /// Largest continuous load, given the continuous part (0 to 1).
    pub fn continuous_capacity(&self, continuous_part: f64) -> Option<Watts> {
        Some(Watts(
            self.capacity()?.0 * positive(continuous_part).filter(|p| *p <= 1.0)?,
        ))
    }

    /// What is left of the capacity under a mixed load: `V I − other − continuous/part`;
    /// negative is too much.
    pub fn margin(&self, load: &CircuitLoad, continuous_part: f64) -> Option<Watts> {
        let part = positive(continuous_part).filter(|p| *p <= 1.0)?;
        let counted = non_negative(load.other.0)? + non_negative(load.continuous.0)? / part;
        Some(Watts(self.capacity()?.0 - counted))
    }

    /// Current drawn by this power at the nominal voltage and a power factor of 0 to 1.
    pub fn current(&self, power: Watts, power_factor: f64) -> Option<Amperes> {
        let pf = positive(power_factor).filter(|pf| *pf <= 1.0)?;
        Some(Amperes(
            non_negative(power.0)? / (positive(self.voltage.0)? * pf),
        ))
    }
}

/// A circuit as it is found in the houses of a region.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UsualCircuit {
    /// Region whose code names it.
    pub region: &'static str,
    /// Name.
    pub name: &'static str,
    /// Voltage and rating.
    pub circuit: Circuit,
    /// Largest continuous load over rating.
    pub continuous_part: f64,
    /// Largest current of one cord-and-plug load.
    pub plug_max: Amperes,
    /// Clause.
    pub source: &'static str,
    /// `confirmed` or `from memory`.
    pub mark: &'static str,
}

/// The usual circuits of every region.
pub fn usual_circuits() -> &'static [UsualCircuit] {
    static TABLE: OnceLock<Vec<UsualCircuit>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let circuit = |row: Vec<&'static str>| UsualCircuit {
            region: row[0],
            name: row[1],
            circuit: Circuit {
                voltage: Volts(number(row[2])),
                rating: Amperes(number(row[3])),
            },
            continuous_part: number(row[4]),
            plug_max: Amperes(number(row[5])),
            source: row[6],
            mark: row[7],
        };
        rows(include_str!("circuits.csv")).map(circuit).collect()
    })
}

/// Peak current at switch-on over rated current for toroids and switched supplies, low and high
/// end, for half a cycle (from memory); switch such kit on one after another.
pub const INRUSH_OVER_RATED: [f64; 2] = [10.0, 30.0];
/// Pause between two switch-ons, s, low and high end (from memory).
pub const STAGGER_S: [f64; 2] = [0.5, 1.0];

#[cfg(test)]
mod tests {
    use super::*;

    const FIFTEEN: Circuit = Circuit {
        voltage: Volts(120.0),
        rating: Amperes(15.0),
    };

    #[test]
    fn mixed_load_on_both_sides_of_the_limit() {
        let margin = |continuous, other| {
            let load = CircuitLoad {
                continuous: Watts(continuous),
                other: Watts(other),
            };
            FIFTEEN.margin(&load, CONTINUOUS_PART).unwrap().0
        };
        assert!(margin(1440.0, 0.0).abs() < 1e-9);
        assert!(margin(0.0, 1800.0).abs() < 1e-9);
        assert!(margin(1000.0, 551.0) < 0.0);
        assert!(margin(1000.0, 549.0) > 0.0);
    }

    #[test]
    fn table_plugs_agree_with_their_clause() {
        assert_eq!(usual_circuits().len(), 5);
        for usual in usual_circuits().iter().filter(|usual| usual.region == "us") {
            let limit = usual.circuit.rating.0 * CORD_AND_PLUG_PART;
            assert!((usual.plug_max.0 - limit).abs() < 1e-9, "{usual:?}");
        }
        let plug_w = |region: &str| {
            let usual = usual_circuits()
                .iter()
                .find(|usual| usual.region == region)
                .unwrap();
            usual.circuit.voltage.0 * usual.plug_max.0
        };
        assert_eq!(plug_w("uk"), 2990.0);
        assert_eq!(plug_w("eu"), 3680.0);
    }

    #[test]
    fn nonsense_gives_no_answer() {
        assert_eq!(
            Circuit {
                voltage: Volts(0.0),
                ..FIFTEEN
            }
            .capacity(),
            None
        );
        assert_eq!(FIFTEEN.continuous_capacity(1.2), None);
        assert_eq!(FIFTEEN.current(Watts(100.0), 0.0), None);
        let bad = CircuitLoad {
            continuous: Watts(f64::NAN),
            other: Watts(0.0),
        };
        assert_eq!(FIFTEEN.margin(&bad, 0.8), None);
    }
}
