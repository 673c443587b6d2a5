//! Which published values does this crate reproduce?
//!
//! Each entry names the place and how well the value is known: `confirmed` was
//! read at the place, `computed` follows from the formula named, `from memory`
//! is recalled and not seen again.

use units::{Amperes, Celsius, Kelvin, Metres, Reference, Seconds, SquareMetres, Volts, Watts};

use crate::amplifier::PowerBalance;
use crate::battery::{BatteryEnergy, INVERTER_EFFICIENCY, PeukertBattery, USABLE_FRESH};
use crate::cabinet::{ClosedCabinet, DISCHARGE_COEFFICIENT, Vents};
use crate::circuit::{CONTINUOUS_PART, Circuit};
use crate::fireplace::{FireplaceRule, Projection, projection};
use crate::heat::{Air, Airflow, btu_per_hour};

/// The values, in the order of the modules they test.
pub fn references() -> Vec<Reference> {
    vec![
        Reference {
            cite: "NEC 210.20(A), 125 %: 15 A 120 V circuit, continuous (computed)",
            computed: || continuous_w(120.0, 15.0),
            expected: 1440.0,
            tolerance: 1e-9,
            unit: "W",
        },
        Reference {
            cite: "NEC 210.20(A), 125 %: 20 A 120 V circuit, continuous (computed)",
            computed: || continuous_w(120.0, 20.0),
            expected: 1920.0,
            tolerance: 1e-9,
            unit: "W",
        },
        Reference {
            cite: "V I: 16 A 230 V circuit, full (computed)",
            computed: || full_w(230.0, 16.0),
            expected: 3680.0,
            tolerance: 1e-9,
            unit: "W",
        },
        Reference {
            cite: "V I: BS 1363 plug, 13 A at 230 V (computed)",
            computed: || full_w(230.0, 13.0),
            expected: 2990.0,
            tolerance: 1e-9,
            unit: "W",
        },
        Reference {
            cite: "V I: 15 A 120 V circuit, full (computed)",
            computed: || full_w(120.0, 15.0),
            expected: 1800.0,
            tolerance: 1e-9,
            unit: "W",
        },
        Reference {
            cite: "3600/1055.056: 1 W (computed)",
            computed: || known(btu_per_hour(Watts(1.0))),
            expected: 3.41214,
            tolerance: 0.0001,
            unit: "BTU/h",
        },
        Reference {
            cite: "P/(rho c dT): 300 W, 10 K, 1.204 kg/m3, 1006 J/kgK (computed)",
            computed: || known(flow().map(Airflow::cubic_metres_per_hour)),
            expected: 89.166,
            tolerance: 0.2,
            unit: "m3/h",
        },
        Reference {
            cite: "P/(rho c dT): the same in CFM (computed)",
            computed: || known(flow().map(Airflow::cubic_feet_per_minute)),
            expected: 52.4811,
            tolerance: 0.1,
            unit: "CFM",
        },
        Reference {
            cite: "CFM = k W/dT in degrees Fahrenheit, k quoted as 3.16 (computed)",
            computed: || {
                known(
                    Air::SEA_LEVEL
                        .airflow(Watts(1.0), Kelvin(5.0 / 9.0))
                        .map(Airflow::cubic_feet_per_minute),
                )
            },
            expected: 3.14887,
            tolerance: 0.01,
            unit: "CFM F/W",
        },
        Reference {
            cite: "rho c dT Cd A/sqrt2 sqrt(2 g H dT/T_in): two 0.020 m2, 1.0 m apart, 22 C, 12 K (computed)",
            computed: || vents_w(),
            expected: 107.247,
            tolerance: 3.2174,
            unit: "W",
        },
        Reference {
            cite: "P/(U A): 80 W in 2.22 m2, U 3.5 W/m2K (computed)",
            computed: || closed_rise_k(),
            expected: 10.296,
            tolerance: 0.5148,
            unit: "K",
        },
        Reference {
            cite: "in less out: 2 x 100 W class AB at 1/8 power, 25 W of 110 W (computed)",
            computed: || {
                known(
                    PowerBalance {
                        mains: Watts(110.0),
                        output: Watts(25.0),
                    }
                    .heat()
                    .map(|heat| heat.0),
                )
            },
            expected: 85.0,
            tolerance: 1.0,
            unit: "W",
        },
        Reference {
            cite: "E n k/P: 300 Wh, 180 W, 0.85 inverter, 0.8 usable (computed)",
            computed: || energy_min(),
            expected: 68.0,
            tolerance: 0.1,
            unit: "min",
        },
        Reference {
            cite: "Peukert, H (C/(I H))^k: 9 Ah at 20 h, k 1.2, 12 A (computed)",
            computed: || peukert_min(),
            expected: 23.3356,
            tolerance: 0.5,
            unit: "min",
        },
        Reference {
            cite: "IRC R1001.11 exception 4: projection 8 in above the opening (confirmed)",
            computed: || fireplace_limit_in(),
            expected: 1.0,
            tolerance: 0.01,
            unit: "in",
        },
    ]
}

/// Answers of the crate that may be missing, as a number that then fails its reference.
fn known(answer: Option<f64>) -> f64 {
    answer.unwrap_or(f64::NAN)
}

fn circuit(voltage_v: f64, rating_a: f64) -> Circuit {
    Circuit {
        voltage: Volts(voltage_v),
        rating: Amperes(rating_a),
    }
}

fn continuous_w(voltage_v: f64, rating_a: f64) -> f64 {
    known(
        circuit(voltage_v, rating_a)
            .continuous_capacity(CONTINUOUS_PART)
            .map(|p| p.0),
    )
}

fn full_w(voltage_v: f64, rating_a: f64) -> f64 {
    known(circuit(voltage_v, rating_a).capacity().map(|p| p.0))
}

fn flow() -> Option<Airflow> {
    Air::SEA_LEVEL.airflow(Watts(300.0), Kelvin(10.0))
}

fn vents_w() -> f64 {
    let vents = Vents {
        free_area_each: SquareMetres(0.020),
        height_apart: Metres(1.0),
        discharge_coefficient: DISCHARGE_COEFFICIENT,
    };
    known(
        vents
            .heat(&Air::SEA_LEVEL, Celsius(22.0), Kelvin(12.0))
            .map(|heat| heat.0),
    )
}

fn closed_rise_k() -> f64 {
    let cabinet = ClosedCabinet {
        free_faces: SquareMetres(2.22),
        u_w_per_m2_k: 3.5,
    };
    known(cabinet.rise(Watts(80.0)).map(|rise| rise.0))
}

fn energy_min() -> f64 {
    let battery = BatteryEnergy {
        nominal_wh: 300.0,
        inverter_efficiency: INVERTER_EFFICIENCY,
        usable: USABLE_FRESH,
    };
    known(battery.runtime(Watts(180.0)).map(|t| t.0 / 60.0))
}

fn peukert_min() -> f64 {
    let battery = PeukertBattery {
        capacity_ah: 9.0,
        rating: Seconds(20.0 * 3600.0),
        exponent: 1.2,
    };
    known(battery.runtime(Amperes(12.0)).map(|t| t.0 / 60.0))
}

fn fireplace_limit_in() -> f64 {
    match projection(Metres::from_inches(8.0), &FireplaceRule::IRC) {
        Some(Projection::AtMost(limit)) => limit.inches(),
        _ => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reference_is_met() {
        let references = references();
        assert!(references.len() >= 10);
        for r in references {
            let got = (r.computed)();
            let off = (got - r.expected).abs();
            // Written so that a missing answer (not a number) fails too.
            assert!(
                off <= r.tolerance,
                "{}: {got} {}, expected {} ± {}",
                r.cite,
                r.unit,
                r.expected,
                r.tolerance
            );
            let marked = ["(confirmed", "(computed", "(from memory"]
                .iter()
                .any(|mark| r.cite.contains(mark));
            assert!(marked, "{} has no mark", r.cite);
        }
    }
}
