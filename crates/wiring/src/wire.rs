//! How much does a wire take away: resistance, level, damping, voltage?
//!
//! ```text
//! r = ρ k_m k_s (1 + α (T − 20))/A      R = 2 r L
//! loss = 20 log10((Z + R)/Z)            DF = Z/(R_s + R)            ΔV = I R
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | ρ | resistivity of annealed copper at 20 °C, 0.017241 (IEC 60028) | Ω mm²/m |
//! | α | its temperature coefficient, 0.00393 (IEC 60028) | 1/K |
//! | k_m | metal: copper 1, copper-clad aluminium 1.55 (from memory) | 1 |
//! | k_s | lay: solid 1, stranded 1.02 (common practice, no source) | 1 |
//! | L | length of the cable one way; the current goes there and back | m |
//! | Z | lowest impedance of the load in its band, not the nominal one | Ω |
//! | R_s | output resistance of the amplifier | Ω |
//!
//! Resistive only: inductance and skin effect are left out, which is fair
//! below 20 kHz for pairs up to some 50 m.

use units::{Amperes, Celsius, Decibels, Metres, Ohms, SquareMetres, Volts};

use crate::awg::Awg;
use units::guard::{non_negative, positive};

/// Resistivity of annealed copper at 20 °C, Ω m (IEC 60028, 100 % IACS).
pub const COPPER_RESISTIVITY_OHM_M: f64 = 0.017241e-6;
/// Temperature coefficient of resistance of copper at 20 °C, 1/K (IEC 60028).
pub const COPPER_TEMPERATURE_COEFFICIENT_PER_K: f64 = 0.00393;
/// Resistance of copper-clad aluminium over copper of the same area (from memory).
pub const COPPER_CLAD_ALUMINIUM_FACTOR: f64 = 1.55;
/// Resistance of a stranded conductor over a solid one of the same gauge (common practice, no source).
pub const STRANDED_FACTOR: f64 = 1.02;

/// Largest loop resistance over load for a loudspeaker wire: the 5 % rule, 0.42 dB
/// (common practice, no source).
pub const LOOP_RATIO_MAX: f64 = 0.05;
/// Largest level loss in a loudspeaker wire by the half-decibel rule (common practice, no source).
pub const LEVEL_LOSS_MAX: Decibels = Decibels(0.5);
/// Least damping factor at the loudspeaker (common practice, no source).
pub const DAMPING_FACTOR_MIN: f64 = 20.0;
/// Least voltage at the far end of a 12 V trigger wire (common practice, no source).
pub const TRIGGER_VOLTS_MIN: Volts = Volts(10.0);

/// Voltage-drop advice as parts of the supply voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DropLimits {
    /// In the branch circuit.
    pub branch: f64,
    /// From the service to the farthest outlet.
    pub total: f64,
}

impl DropLimits {
    /// 3 % in the branch, 5 % in all.
    pub const NEC: Self = Self {
        branch: 0.03,
        total: 0.05,
    };
    /// Where the limits of `NEC` stand.
    pub const CITE: &str = "NEC 210.19(A) informational note: advice, not a rule (from memory)";
}

/// What the conductor is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// Annealed copper, 100 % IACS.
    Copper,
    /// Copper-clad aluminium ("CCA"): [`COPPER_CLAD_ALUMINIUM_FACTOR`].
    CopperCladAluminium,
}

/// How the conductor is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lay {
    /// One round wire.
    Solid,
    /// Strands, which run a little longer than the cable: [`STRANDED_FACTOR`].
    Stranded,
}

/// One conductor of a cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductor {
    /// Metal area.
    pub area: SquareMetres,
    /// Metal.
    pub metal: Metal,
    /// Build.
    pub lay: Lay,
    /// Temperature of the conductor, −60 to 200 °C.
    pub temperature: Celsius,
}

/// Resistance per length, Ω/m.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct OhmsPerMetre(pub f64);

impl Conductor {
    /// A solid copper conductor of this gauge at 20 °C.
    pub fn copper(gauge: Awg) -> Self {
        Self {
            area: gauge.area(),
            metal: Metal::Copper,
            lay: Lay::Solid,
            temperature: Celsius(20.0),
        }
    }

    /// Resistance of one conductor per length; `None` outside the stated ranges.
    pub fn resistance_per_metre(&self) -> Option<OhmsPerMetre> {
        let a = positive(self.area.0)?;
        let t = self.temperature.0;
        if !(-60.0..=200.0).contains(&t) {
            return None;
        }
        let k_m = match self.metal {
            Metal::Copper => 1.0,
            Metal::CopperCladAluminium => COPPER_CLAD_ALUMINIUM_FACTOR,
        };
        let k_s = match self.lay {
            Lay::Solid => 1.0,
            Lay::Stranded => STRANDED_FACTOR,
        };
        let warm = 1.0 + COPPER_TEMPERATURE_COEFFICIENT_PER_K * (t - 20.0);
        Some(OhmsPerMetre(
            COPPER_RESISTIVITY_OHM_M * k_m * k_s * warm / a,
        ))
    }

    /// Resistance there and back of a cable this long one way.
    pub fn loop_resistance(&self, one_way: Metres) -> Option<Ohms> {
        Some(Ohms(
            2.0 * self.resistance_per_metre()?.0 * non_negative(one_way.0)?,
        ))
    }

    /// Voltage lost there and back at this current (single phase or direct current).
    pub fn voltage_drop(&self, one_way: Metres, current: Amperes) -> Option<Volts> {
        Some(Volts(
            self.loop_resistance(one_way)?.0 * non_negative(current.0)?,
        ))
    }

    /// Longest cable whose loop resistance is at most `loop_ratio_max` times the load.
    ///
    /// Use [`LOOP_RATIO_MAX`] or [`loop_ratio`] of a level loss.
    pub fn longest_run(&self, load: Ohms, loop_ratio_max: f64) -> Option<Metres> {
        let r = self.resistance_per_metre()?.0;
        Some(Metres(
            positive(loop_ratio_max)? * positive(load.0)? / (2.0 * r),
        ))
    }
}

/// The thinnest gauge whose loop resistance over this cable is at most `loop_ratio_max` times
/// the load; `None` when even 4/0 is too thin.
///
/// `like` gives metal, lay and temperature; its area is not used.
pub fn gauge_for(
    like: &Conductor,
    one_way: Metres,
    load: Ohms,
    loop_ratio_max: f64,
) -> Option<Awg> {
    let per_area = Conductor {
        area: SquareMetres(1.0),
        ..*like
    }
    .resistance_per_metre()?
    .0;
    let loop_max = positive(loop_ratio_max)? * positive(load.0)?;
    Awg::at_least(SquareMetres(
        2.0 * per_area * positive(one_way.0)? / loop_max,
    ))
}

/// Loop resistance over load that loses this level: `10^(loss/20) − 1`.
pub fn loop_ratio(loss: Decibels) -> Option<f64> {
    Some(10_f64.powf(non_negative(loss.0)? / 20.0) - 1.0)
}

/// An amplifier, a wire and a loudspeaker.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeakerLine {
    /// Lowest impedance of what hangs on the wire; pairs in parallel halve it.
    pub load: Ohms,
    /// Output resistance of the amplifier.
    pub source: Ohms,
    /// Resistance of the wire there and back.
    pub loop_resistance: Ohms,
}

impl SpeakerLine {
    /// Level lost in the wire, positive, against a wire of no resistance.
    pub fn level_loss(&self) -> Option<Decibels> {
        let (z, r) = (
            positive(self.load.0)?,
            non_negative(self.loop_resistance.0)?,
        );
        Some(Decibels(20.0 * ((z + r) / z).log10()))
    }

    /// Damping factor at the loudspeaker; `None` when nothing stands in the way (it is unbounded).
    pub fn damping_factor(&self) -> Option<f64> {
        let r = non_negative(self.source.0)? + non_negative(self.loop_resistance.0)?;
        Some(positive(self.load.0)? / positive(r)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::table::{number, rows};

    fn copper(number: i32) -> Conductor {
        Conductor::copper(Awg::new(number).unwrap())
    }

    #[test]
    fn resistance_gives_the_printed_table_at_20_and_75_degrees() {
        for row in rows(include_str!("awg.csv")) {
            let cold = copper(row[0].parse().unwrap());
            let warm = Conductor {
                temperature: Celsius(75.0),
                ..cold
            };
            let per_km = |c: Conductor| c.resistance_per_metre().unwrap().0 * 1e3;
            // Half of the last printed digit.
            assert!((per_km(cold) - number(row[5])).abs() <= 0.51e-4, "{row:?}");
            assert!(
                (per_km(cold) * 0.3048 - number(row[6])).abs() <= 0.51e-4,
                "{row:?}"
            );
            assert!((per_km(warm) - number(row[7])).abs() <= 0.51e-4, "{row:?}");
        }
    }

    #[test]
    fn solid_gauges_agree_with_nec_chapter_9_table_8() {
        // Direct-current resistance at 75 °C, uncoated solid copper, Ω/1000 ft as printed; the
        // table's own metal area makes it differ from the formula by up to 0.5 %.
        for (gauge, ohm_per_kft) in [(18, 7.77), (14, 3.07), (12, 1.93), (10, 1.21)] {
            let warm = Conductor {
                temperature: Celsius(75.0),
                ..copper(gauge)
            };
            let got = warm.resistance_per_metre().unwrap().0 * 304.8;
            assert!((got / ohm_per_kft - 1.0).abs() < 0.005, "{gauge}: {got}");
        }
    }

    #[test]
    fn longest_runs_give_the_printed_table() {
        let mut seen = 0;
        for row in rows(include_str!("speaker-cable-length.csv")) {
            let wire = copper(row[0].parse().unwrap());
            let load = Ohms(number(row[1]));
            let run = |ratio| wire.longest_run(load, ratio).unwrap().0;
            let half_db = run(loop_ratio(Decibels(0.5)).unwrap());
            let one_db = run(loop_ratio(Decibels(1.0)).unwrap());
            // Half of the last printed digit.
            assert!(
                (run(LOOP_RATIO_MAX) - number(row[2])).abs() <= 0.0051,
                "{row:?}"
            );
            assert!(
                (run(LOOP_RATIO_MAX) / 0.3048 - number(row[3])).abs() <= 0.051,
                "{row:?}"
            );
            assert!((half_db - number(row[4])).abs() <= 0.0051, "{row:?}");
            assert!(
                (half_db / 0.3048 - number(row[5])).abs() <= 0.051,
                "{row:?}"
            );
            assert!((one_db - number(row[6])).abs() <= 0.0051, "{row:?}");
            seen += 1;
        }
        assert_eq!(seen, 40);
    }

    #[test]
    fn gauge_for_undoes_longest_run() {
        for n in [10, 12, 14, 16, 18] {
            let wire = copper(n);
            let longest = wire.longest_run(Ohms(6.0), 0.05).unwrap();
            assert_eq!(gauge_for(&wire, longest, Ohms(6.0), 0.05), Awg::new(n));
            let longer = longest * 1.001;
            assert_eq!(gauge_for(&wire, longer, Ohms(6.0), 0.05), Awg::new(n - 1));
        }
    }

    #[test]
    fn clad_aluminium_and_strands_raise_the_resistance() {
        let clad = Conductor {
            metal: Metal::CopperCladAluminium,
            lay: Lay::Stranded,
            ..copper(16)
        };
        let ratio = clad.loop_resistance(Metres(10.0)).unwrap().0
            / copper(16).loop_resistance(Metres(10.0)).unwrap().0;
        assert!((ratio - 1.55 * 1.02).abs() < 1e-12);
    }

    #[test]
    fn bad_numbers_give_no_answer() {
        assert_eq!(copper(14).loop_resistance(Metres(-1.0)), None);
        assert_eq!(copper(14).longest_run(Ohms(0.0), 0.05), None);
        assert_eq!(
            Conductor {
                temperature: Celsius(f64::NAN),
                ..copper(14)
            }
            .resistance_per_metre(),
            None
        );
        assert_eq!(
            Conductor {
                area: SquareMetres(0.0),
                ..copper(14)
            }
            .resistance_per_metre(),
            None
        );
        let line = SpeakerLine {
            load: Ohms(8.0),
            source: Ohms(0.0),
            loop_resistance: Ohms(0.0),
        };
        assert_eq!(line.damping_factor(), None);
        assert_eq!(line.level_loss(), Some(Decibels(0.0)));
        assert_eq!(loop_ratio(Decibels(-1.0)), None);
    }
}
