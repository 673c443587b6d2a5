//! Which published values does this crate reproduce?
//!
//! Each entry names the place and how well the value is known: `confirmed` was
//! read at the place, `computed` follows from the formula named, `from memory`
//! is recalled and not seen again.

use std::f64::consts::FRAC_PI_2;

use units::{Amperes, Decibels, Metres, Newtons, Ohms, Radians, Reference, Watts};

use crate::awg::Awg;
use crate::conduit::{ThreeCables, conduit, fill};
use crate::holes::{
    Bearing, JoistLimits, NAIL_PLATE_EDGE_MIN, StudHole, StudLimits, nail_plate_margin,
};
use crate::line::{ConstantVoltageLine, LINE_VOLTS_70};
use crate::pull::{BEND_RULES, Cable, Piece, bend_radius_min, bend_ratio, pull};
use crate::route::{Ends, Point, Spare, Way, route};
use crate::wire::{Conductor, SpeakerLine, loop_ratio};

/// The values, in the order of the modules they test.
pub fn references() -> Vec<Reference> {
    vec![
        Reference {
            cite: "20 log10((Z+2rL)/Z), ASTM B258 and IEC 60028: 14 AWG, 15 m, 8 ohm (computed)",
            computed: || level_loss_db(14, 15.0, 8.0),
            expected: 0.265763,
            tolerance: 0.002,
            unit: "dB",
        },
        Reference {
            cite: "20 log10((Z+2rL)/Z): 16 AWG, 50 ft, 4 ohm (computed)",
            computed: || level_loss_db(16, 15.24, 4.0),
            expected: 0.830911,
            tolerance: 0.002,
            unit: "dB",
        },
        Reference {
            cite: "20 log10((Z+2rL)/Z): 18 AWG, 30 m, 8 ohm (computed)",
            computed: || level_loss_db(18, 30.0, 8.0),
            expected: 1.26748,
            tolerance: 0.002,
            unit: "dB",
        },
        Reference {
            cite: "Z/(Rs+2rL): damping factor, 14 AWG, 15 m, 8 ohm, source 0.04 ohm (computed)",
            computed: || known(speaker(14, 15.0, 8.0).and_then(|line| line.damping_factor())),
            expected: 27.7239,
            tolerance: 0.1,
            unit: "1",
        },
        Reference {
            cite: "20 log10(1.05): loop 5 % of the load (computed)",
            computed: || {
                known(
                    SpeakerLine {
                        load: Ohms(8.0),
                        source: Ohms(0.0),
                        loop_resistance: Ohms(0.4),
                    }
                    .level_loss()
                    .map(|loss| loss.0),
                )
            },
            expected: 0.423786,
            tolerance: 0.0001,
            unit: "dB",
        },
        Reference {
            cite: "10^(0.5/20) - 1: loop over load that loses 0.5 dB (computed)",
            computed: || known(loop_ratio(Decibels(0.5))),
            expected: 0.0592537,
            tolerance: 0.0001,
            unit: "1",
        },
        Reference {
            cite: "2 L I r: 12 AWG copper at 20 C, 20 m, 12 A (computed)",
            computed: || drop_v(12, 20.0, 12.0),
            expected: 2.50113,
            tolerance: 0.01,
            unit: "V",
        },
        Reference {
            cite: "2 L I r over 120 V, set against the 3 % of NEC 210.19(A) (computed)",
            computed: || drop_v(12, 20.0, 12.0) / 120.0 * 100.0,
            expected: 2.08428,
            tolerance: 0.02,
            unit: "%",
        },
        Reference {
            cite: "12 V less 2 L I r: trigger on 26 AWG, 15 m, 100 mA (computed)",
            computed: || 12.0 - drop_v(26, 15.0, 0.1),
            expected: 11.5983,
            tolerance: 0.01,
            unit: "V",
        },
        Reference {
            cite: "V^2/P: 70.7 V line, 100 W of taps (computed)",
            computed: || {
                known(
                    ConstantVoltageLine {
                        volts: LINE_VOLTS_70,
                        taps: Watts(100.0),
                        loop_resistance: Ohms(0.0),
                    }
                    .load()
                    .map(|z| z.0),
                )
            },
            expected: 49.9849,
            tolerance: 0.05,
            unit: "ohm",
        },
        Reference {
            cite: "NEC chapter 9 table 8: 12 AWG solid copper at 75 C, 1.93 ohm per 1000 ft (confirmed within 0.5 %)",
            computed: || {
                known(
                    copper(12)
                        .and_then(|c| {
                            Conductor {
                                temperature: units::Celsius(75.0),
                                ..c
                            }
                            .loop_resistance(Metres(152.4))
                        })
                        .map(|r| r.0),
                )
            },
            expected: 1.93,
            tolerance: 0.00965,
            unit: "ohm",
        },
        Reference {
            cite: "NEC chapter 9 table 4: three cables of 6.2 mm in 3/4 ENT, limit 40 (computed)",
            computed: || fill_percent("ENT", 0.75, &[Metres(6.2e-3); 3]),
            expected: 30.9223,
            tolerance: 0.05,
            unit: "%",
        },
        Reference {
            cite: "NEC chapter 9 table 4: two cables of 7.0 mm in 1/2 EMT, limit 31 (computed)",
            computed: || fill_percent("EMT", 0.5, &[Metres(7.0e-3); 2]),
            expected: 39.2442,
            tolerance: 0.05,
            unit: "%",
        },
        Reference {
            cite: "NEC chapter 9 table 4: one cable of 9.5 mm in 1/2 ENT, limit 53 (computed)",
            computed: || fill_percent("ENT", 0.5, &[Metres(9.5e-3)]),
            expected: 44.6616,
            tolerance: 0.05,
            unit: "%",
        },
        Reference {
            cite: "D/d: three cables of 8.5 mm in 25.4 mm, avoid 2.8 to 3.2 (computed)",
            computed: || {
                known(
                    ThreeCables {
                        inside_diameter: Metres(25.4e-3),
                        outside_diameter: Metres(8.5e-3),
                    }
                    .jam_ratio(),
                )
            },
            expected: 2.98824,
            tolerance: 0.001,
            unit: "1",
        },
        Reference {
            cite: "T e^(mu theta): 45 N in, mu 0.35, two bends of 90 degrees, limit 110 (computed)",
            computed: || two_bends_n(),
            expected: 135.128,
            tolerance: 0.1,
            unit: "N",
        },
        Reference {
            cite: "e^(mu theta): mu 0.5, one bend of 90 degrees (computed)",
            computed: || known(bend_ratio(0.5, Radians(FRAC_PI_2))),
            expected: 2.19328,
            tolerance: 0.001,
            unit: "1",
        },
        Reference {
            cite: "mu m g L: 0.06 kg/m, 20 m level, mu 0.4 (computed)",
            computed: || level_pull_n(),
            expected: 4.70719,
            tolerance: 0.01,
            unit: "N",
        },
        Reference {
            cite: "ANSI/TIA-568, 4 x diameter: bend radius of a 6.2 mm 4-pair cable (from memory)",
            computed: || {
                known(bend_radius_min(Metres(6.2e-3), BEND_RULES[0].fixed).map(|r| r.0 * 1e3))
            },
            expected: 24.8,
            tolerance: 0.1,
            unit: "mm",
        },
        Reference {
            cite: "IRC R602.6 in WAC 296-150C-1000: hole in a 3 1/2 in bearing stud, 40 % (confirmed)",
            computed: || stud_hole_in(Bearing::Bearing),
            expected: 1.4,
            tolerance: 0.001,
            unit: "in",
        },
        Reference {
            cite: "IRC R602.6 in WAC 296-150C-1000: hole in a 3 1/2 in non-bearing stud, 60 % (confirmed)",
            computed: || stud_hole_in(Bearing::NonBearing),
            expected: 2.1,
            tolerance: 0.001,
            unit: "in",
        },
        Reference {
            cite: "IRC R602.6 in WAC 296-150C-1000: notch in a 3 1/2 in bearing stud, 25 % (confirmed)",
            computed: || stud_notch_in(Bearing::Bearing),
            expected: 0.875,
            tolerance: 0.001,
            unit: "in",
        },
        Reference {
            cite: "IRC R602.6 in WAC 296-150C-1000: notch in a 3 1/2 in non-bearing stud, 40 % (confirmed)",
            computed: || stud_notch_in(Bearing::NonBearing),
            expected: 1.4,
            tolerance: 0.001,
            unit: "in",
        },
        Reference {
            cite: "IRC R502.8, D/3 and 2 in from the edges: hole in a 9 1/4 in joist (confirmed)",
            computed: || {
                known(
                    JoistLimits::IRC
                        .hole_max(Metres::from_inches(9.25))
                        .map(Metres::inches),
                )
            },
            expected: 3.08333,
            tolerance: 0.001,
            unit: "in",
        },
        Reference {
            cite: "NEC 300.4(A)(1): wood beside a 1 in hole centred in a 3 1/2 in stud (computed)",
            computed: || known(centred_hole().edge_distance().map(Metres::inches)),
            expected: 1.25,
            tolerance: 0.001,
            unit: "in",
        },
        Reference {
            cite: "NEC 300.4(A)(1): the same against 1 1/4 in, no nail plate wanted (computed)",
            computed: || {
                known(
                    centred_hole()
                        .edge_distance()
                        .and_then(|edge| nail_plate_margin(edge, NAIL_PLATE_EDGE_MIN))
                        .map(Metres::inches),
                )
            },
            expected: 0.0,
            tolerance: 0.001,
            unit: "in",
        },
        Reference {
            cite: "straight runs: floor point 2.0 m from the wall, 0.8 m along, 1.5 m up (computed)",
            computed: || floor_route_m(),
            expected: 4.3,
            tolerance: 1e-6,
            unit: "m",
        },
    ]
}

/// Answers of the crate that may be missing, as a number that then fails its reference.
fn known(answer: Option<f64>) -> f64 {
    answer.unwrap_or(f64::NAN)
}

fn copper(gauge: i32) -> Option<Conductor> {
    Awg::new(gauge).map(Conductor::copper)
}

fn speaker(gauge: i32, one_way_m: f64, load_ohm: f64) -> Option<SpeakerLine> {
    let loop_resistance = copper(gauge)?.loop_resistance(Metres(one_way_m))?;
    Some(SpeakerLine {
        load: Ohms(load_ohm),
        source: Ohms(0.04),
        loop_resistance,
    })
}

fn level_loss_db(gauge: i32, one_way_m: f64, load_ohm: f64) -> f64 {
    known(speaker(gauge, one_way_m, load_ohm).and_then(|line| Some(line.level_loss()?.0)))
}

fn drop_v(gauge: i32, one_way_m: f64, current_a: f64) -> f64 {
    known(
        copper(gauge).and_then(|c| Some(c.voltage_drop(Metres(one_way_m), Amperes(current_a))?.0)),
    )
}

fn fill_percent(kind: &str, trade_size_in: f64, cables: &[Metres]) -> f64 {
    known(
        conduit(kind, trade_size_in)
            .and_then(|pipe| fill(pipe.area, cables))
            .map(|part| part * 100.0),
    )
}

fn stud_hole_in(bearing: Bearing) -> f64 {
    known(
        StudLimits::IRC
            .hole_max(Metres::from_inches(3.5), bearing)
            .map(Metres::inches),
    )
}

fn stud_notch_in(bearing: Bearing) -> f64 {
    known(
        StudLimits::IRC
            .notch_max(Metres::from_inches(3.5), bearing)
            .map(Metres::inches),
    )
}

fn two_bends_n() -> f64 {
    let bend = Piece::Bend {
        angle: Radians(FRAC_PI_2),
        radius: Metres(0.1),
    };
    let cable = Cable {
        mass_kg_per_m: 0.0,
        friction: 0.35,
        feed: Newtons(45.0),
    };
    known(pull(&cable, &[bend, bend]).map(|pull| pull.tension.0))
}

fn level_pull_n() -> f64 {
    let straight = Piece::Straight {
        level: Metres(20.0),
        rise: Metres(0.0),
    };
    let cable = Cable {
        mass_kg_per_m: 0.06,
        friction: 0.4,
        feed: Newtons(0.0),
    };
    known(pull(&cable, &[straight]).map(|pull| pull.tension.0))
}

fn centred_hole() -> StudHole {
    StudHole {
        depth: Metres::from_inches(3.5),
        diameter: Metres::from_inches(1.0),
        centre: Metres::from_inches(1.75),
        bearing: Bearing::Bearing,
    }
}

fn floor_route_m() -> f64 {
    let from = Point {
        x: Metres(2.0),
        y: Metres(0.0),
        height: Metres(0.0),
    };
    let to = Point {
        x: Metres(0.0),
        y: Metres(0.8),
        height: Metres(1.5),
    };
    let spare = Spare {
        service_loop: Metres(0.0),
        slack: 0.0,
    };
    known(route(&Ends { from, to }, Way::Floor(Metres(0.0)), &spare).map(|route| route.length.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reference_is_met() {
        let references = references();
        assert!(references.len() >= 15);
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
