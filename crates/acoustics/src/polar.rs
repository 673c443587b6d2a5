//! How strongly does a measured loudspeaker radiate in each direction?
//!
//! Polar data come as plain text, one line for each direction and frequency:
//!
//! ```text
//! # any number of comment lines
//! frequency_hz, around_deg, off_deg, level_db
//! 1000, 0, 0, 0.0
//! 1000, 0, 30, -2.1
//! ```
//!
//! | column | meaning |
//! | --- | --- |
//! | `frequency_hz` | frequency or nominal band |
//! | `around_deg` | which way off the axis: clockwise from straight up, as seen from in front of the loudspeaker; 90 is to the right of somebody who looks at it |
//! | `off_deg` | how far off the axis, 0 to 180 |
//! | `level_db` | level; only differences to `off_deg` 0 matter |
//!
//! Every frequency has every pair of the angles that occur. The axis (`off_deg` 0) may stand
//! once. Where `around_deg` is only 0 the loudspeaker is the same all round; up to 90 it is
//! mirrored left and right, up and down; up to 180 left and right; else it goes all the way
//! round. Between directions levels are interpolated in decibels along both angles, between
//! frequencies along log f: each sample is met exactly. Beyond the last `off_deg` its level
//! is held, since nothing louder may be assumed of what was not measured, nor anything
//! quieter.

use std::collections::{BTreeMap, BTreeSet};

use units::{Decibels, Hertz, Radians};

/// The widest step between two angles around that is still taken for a measurement, degrees.
const AROUND_STEP_MAX: i64 = 90;

/// The widest step between two angles off the axis.
const OFF_STEP_MAX: i64 = 30;

/// Levels of a loudspeaker over all directions, re its axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Balloon {
    frequencies_hz: Vec<f64>,
    /// Their logarithms.
    logs: Vec<f64>,
    /// Degrees.
    around: Vec<f64>,
    /// Degrees, from 0.
    off: Vec<f64>,
    /// By frequency, around, off.
    levels_db: Vec<f64>,
    symmetry: Symmetry,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Symmetry {
    Round,
    Quarter,
    LeftRight,
    None,
}

/// Why polar data can't be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PolarError {
    /// The first line that is no comment does not name the four columns.
    #[error(
        "polar data begin with the line `frequency_hz, around_deg, off_deg, level_db`, not with {0:?}"
    )]
    Heading(String),
    /// A line that is not four numbers.
    #[error("line {0} of the polar data is not four numbers")]
    Line(usize),
    /// An angle outside its range.
    #[error("line {line} of the polar data: {column} is {value}, outside {range}")]
    Range {
        /// The line.
        line: usize,
        /// Which column.
        column: &'static str,
        /// What it says.
        value: f64,
        /// What it may be.
        range: &'static str,
    },
    /// The same direction and frequency twice.
    #[error("line {0} of the polar data repeats a direction that stands there already")]
    Twice(usize),
    /// Nothing but comments.
    #[error("the polar data hold no levels")]
    Empty,
    /// A direction that one frequency has and another lacks.
    #[error(
        "the polar data lack {off_deg}° off the axis at {around_deg}° around, at {frequency_hz} Hz"
    )]
    Missing {
        /// The frequency.
        frequency_hz: f64,
        /// Around.
        around_deg: f64,
        /// Off the axis.
        off_deg: f64,
    },
    /// No level on the axis.
    #[error("the polar data lack the axis itself (off_deg 0) at {0} Hz")]
    Axis(f64),
    /// Angles too far apart to interpolate between.
    #[error(
        "the polar data leave a gap from {from}° to {to}° {which}; steps of at most {most}° are needed"
    )]
    Gap {
        /// Which angle.
        which: &'static str,
        /// Its start.
        from: f64,
        /// Its end.
        to: f64,
        /// The widest step.
        most: i64,
    },
}

/// Angles and frequencies in thousandths, so that they can be sorted and found.
type Key = (i64, i64, i64);

impl Balloon {
    /// Reads the text form described at the head of this file.
    pub fn read(text: &str) -> Result<Self, PolarError> {
        let mut levels: BTreeMap<Key, f64> = BTreeMap::new();
        let mut headed = false;
        for (index, line) in text.lines().enumerate() {
            let line = line.trim();
            if line.is_empty() || line.starts_with('#') {
                continue;
            }
            let cells: Vec<&str> = line.split(',').map(str::trim).collect();
            if !headed {
                if cells != ["frequency_hz", "around_deg", "off_deg", "level_db"] {
                    return Err(PolarError::Heading(line.chars().take(60).collect()));
                }
                headed = true;
                continue;
            }
            let [frequency, around, off, level] =
                numbers(&cells).ok_or(PolarError::Line(index + 1))?;
            let within = |column, value: f64, low: f64, high: f64, range| {
                let inside = (low..=high).contains(&value);
                inside.then_some(()).ok_or(PolarError::Range {
                    line: index + 1,
                    column,
                    value,
                    range,
                })
            };
            within("frequency_hz", frequency, 1.0, 1e5, "1 to 100000 Hz")?;
            within("around_deg", around, 0.0, 360.0, "0 to 360°")?;
            within("off_deg", off, 0.0, 180.0, "0 to 180°")?;
            let around = if off == 0.0 { 0.0 } else { around % 360.0 };
            let key = [frequency, around, off].map(|part| (part * 1e3).round() as i64);
            let twice = levels.insert((key[0], key[1], key[2]), level).is_some();
            // The axis may be written for every angle around.
            if twice && off != 0.0 {
                return Err(PolarError::Twice(index + 1));
            }
        }
        Self::from_levels(&levels)
    }

    fn from_levels(levels: &BTreeMap<Key, f64>) -> Result<Self, PolarError> {
        let frequencies: BTreeSet<i64> = levels.keys().map(|key| key.0).collect();
        let off_axis = || levels.keys().filter(|key| key.2 != 0);
        let around: BTreeSet<i64> = off_axis().map(|key| key.1).collect();
        let off: BTreeSet<i64> = off_axis().map(|key| key.2).chain([0]).collect();
        if frequencies.is_empty() || around.is_empty() {
            return Err(PolarError::Empty);
        }
        let degrees = |thousandths: i64| thousandths as f64 / 1e3;
        let mut all = Vec::new();
        for &frequency in &frequencies {
            let axis = *levels
                .get(&(frequency, 0, 0))
                .ok_or(PolarError::Axis(degrees(frequency)))?;
            for &around in &around {
                for &off in &off {
                    let key = (frequency, if off == 0 { 0 } else { around }, off);
                    let level = levels.get(&key).ok_or(PolarError::Missing {
                        frequency_hz: degrees(frequency),
                        around_deg: degrees(around),
                        off_deg: degrees(off),
                    })?;
                    all.push(level - axis);
                }
            }
        }
        let last = *around.last().expect("not empty");
        let symmetry = match (around.len(), last) {
            (1, 0) => Symmetry::Round,
            (_, 90_000) => Symmetry::Quarter,
            (_, 180_000) => Symmetry::LeftRight,
            _ => Symmetry::None,
        };
        // What is mirrored has to begin where it is mirrored.
        let first = around.first().map(|first| (0, *first));
        let round = (symmetry == Symmetry::None)
            .then(|| (last, around.first().expect("not empty") + 360_000));
        gap(
            first.into_iter().chain(steps(&around)).chain(round),
            "around",
            AROUND_STEP_MAX,
        )?;
        gap(steps(&off), "off the axis", OFF_STEP_MAX)?;
        let list = |set: &BTreeSet<i64>| set.iter().map(|part| degrees(*part)).collect();
        Ok(Self {
            logs: (frequencies.iter().map(|f| degrees(*f).ln())).collect(),
            frequencies_hz: list(&frequencies),
            around: list(&around),
            off: list(&off),
            levels_db: all,
            symmetry,
        })
    }

    /// The level in a direction re the axis. Outside the frequencies measured the nearest
    /// one's level is held.
    pub fn level(&self, frequency: Hertz, around: Radians, off: Radians) -> Decibels {
        let (around_at, off_at) = (
            self.around_bracket(around.degrees()),
            bracket(&self.off, off.degrees().abs()),
        );
        let at = |frequency: usize| {
            let blend = |around: usize| {
                let start = (frequency * self.around.len() + around) * self.off.len();
                let [a, b] = [off_at.0, off_at.1].map(|off| self.levels_db[start + off]);
                a + off_at.2 * (b - a)
            };
            let (a, b) = (blend(around_at.0), blend(around_at.1));
            a + around_at.2 * (b - a)
        };
        let (low, high, share) = bracket(&self.logs, frequency.0.ln());
        let (a, b) = (at(low), at(high));
        Decibels(a + share * (b - a))
    }

    /// Frequencies that were measured.
    pub fn frequencies(&self) -> impl Iterator<Item = Hertz> + '_ {
        self.frequencies_hz.iter().map(|f| Hertz(*f))
    }

    fn around_bracket(&self, around_deg: f64) -> (usize, usize, f64) {
        let turn = around_deg.rem_euclid(360.0);
        let half = if turn > 180.0 { 360.0 - turn } else { turn };
        let folded = match self.symmetry {
            Symmetry::Round => 0.0,
            Symmetry::Quarter if half > 90.0 => 180.0 - half,
            Symmetry::Quarter | Symmetry::LeftRight => half,
            Symmetry::None => turn,
        };
        let last = self.around.len() - 1;
        let past = self.symmetry == Symmetry::None
            && (folded > self.around[last] || folded < self.around[0]);
        if !past {
            return bracket(&self.around, folded);
        }
        // Between the last angle and the first, all the way round.
        let span = self.around[0] + 360.0 - self.around[last];
        let along = (folded - self.around[last]).rem_euclid(360.0);
        (last, 0, along / span)
    }
}

fn numbers(cells: &[&str]) -> Option<[f64; 4]> {
    let parsed: Vec<f64> = (cells.iter())
        .map(|cell| cell.parse().ok().filter(|number: &f64| number.is_finite()))
        .collect::<Option<_>>()?;
    parsed.try_into().ok()
}

fn steps(angles: &BTreeSet<i64>) -> impl Iterator<Item = (i64, i64)> {
    angles.iter().copied().zip(angles.iter().copied().skip(1))
}

fn gap(
    mut steps: impl Iterator<Item = (i64, i64)>,
    which: &'static str,
    most: i64,
) -> Result<(), PolarError> {
    match steps.find(|(from, to)| to - from > most * 1000) {
        None => Ok(()),
        Some((from, to)) => Err(PolarError::Gap {
            which,
            from: from as f64 / 1e3,
            to: to as f64 / 1e3,
            most,
        }),
    }
}

/// The places below and above a number in a sorted list, and how far it is between them;
/// the ends are held.
fn bracket(sorted: &[f64], value: f64) -> (usize, usize, f64) {
    let above = sorted.partition_point(|one| *one <= value);
    if above == 0 {
        return (0, 0, 0.0);
    }
    if above == sorted.len() {
        return (above - 1, above - 1, 0.0);
    }
    let (low, high) = (sorted[above - 1], sorted[above]);
    (above - 1, above, (value - low) / (high - low))
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "frequency_hz, around_deg, off_deg, level_db\n";

    fn table(around: &[u32], off: &[u32], level: impl Fn(u32, u32, u32) -> f64) -> String {
        let mut text = format!("# made for a test\n\n{HEAD}");
        for frequency in [1000, 4000] {
            for around in around {
                for off in off {
                    let level = level(frequency, *around, *off);
                    text += &format!("{frequency}, {around}, {off}, {level}\n");
                }
            }
        }
        text
    }

    fn level(balloon: &Balloon, frequency: f64, around: f64, off: f64) -> f64 {
        let [around, off] = [around, off].map(Radians::from_degrees);
        balloon.level(Hertz(frequency), around, off).0
    }

    #[test]
    fn every_sample_is_kept() {
        let around: Vec<u32> = (0..360).step_by(45).collect();
        let off: Vec<u32> = (0..=180).step_by(15).collect();
        let made = |f: u32, a: u32, o: u32| {
            85.0 - f64::from(o) * 0.1 * f64::from(f).sqrt() / 30.0 - f64::from(o.min(1) * a % 77)
        };
        let balloon = Balloon::read(&table(&around, &off, made)).unwrap();
        for f in [1000, 4000] {
            for a in &around {
                for o in &off {
                    let found = level(&balloon, f64::from(f), f64::from(*a), f64::from(*o));
                    assert!(
                        (found - (made(f, *a, *o) - 85.0)).abs() < 1e-9,
                        "{f} {a} {o}"
                    );
                }
            }
        }
        // Half way along one angle, along the gap round 360°, and along log f.
        let mean = |a: f64, b: f64| (a + b) / 2.0;
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
        let at = |f, a, o| level(&balloon, f, a, o);
        near(
            at(1000.0, 45.0, 37.5),
            mean(at(1000.0, 45.0, 30.0), at(1000.0, 45.0, 45.0)),
        );
        near(
            at(1000.0, 337.5, 30.0),
            mean(at(1000.0, 315.0, 30.0), at(1000.0, 0.0, 30.0)),
        );
        near(
            at(2000.0, 45.0, 30.0),
            mean(at(1000.0, 45.0, 30.0), at(4000.0, 45.0, 30.0)),
        );
        near(at(500.0, 45.0, 30.0), at(1000.0, 45.0, 30.0));
    }

    #[test]
    fn what_is_mirrored_is_the_same_on_each_side() {
        let made = |_: u32, a: u32, o: u32| -f64::from(o * (a + 10)) / 100.0;
        let off = [0, 30, 60, 90];
        let quarter = Balloon::read(&table(&[0, 45, 90], &off, made)).unwrap();
        for around in [20.0, 160.0, 200.0, 340.0] {
            assert!(
                (level(&quarter, 1000.0, around, 60.0) - level(&quarter, 1000.0, 20.0, 60.0)).abs()
                    < 1e-9
            );
        }
        let half = Balloon::read(&table(&[0, 90, 180], &off, made)).unwrap();
        assert!(
            (level(&half, 1000.0, 200.0, 30.0) - level(&half, 1000.0, 160.0, 30.0)).abs() < 1e-9
        );
        assert!(level(&half, 1000.0, 20.0, 30.0) != level(&half, 1000.0, 160.0, 30.0));
        let round = Balloon::read(&table(&[0], &off, made)).unwrap();
        assert_eq!(
            level(&round, 1000.0, 123.0, 60.0),
            level(&round, 1000.0, 0.0, 60.0)
        );
        // Behind what was measured its last level is held.
        assert_eq!(
            level(&round, 1000.0, 0.0, 170.0),
            level(&round, 1000.0, 0.0, 90.0)
        );
    }

    #[test]
    fn missing_angles_are_named() {
        let whole = table(&[0, 90, 180, 270], &[0, 30, 60, 90], |_, _, o| {
            -f64::from(o)
        });
        let without: String = (whole.lines())
            .filter(|line| !line.starts_with("4000, 180, 60"))
            .map(|line| format!("{line}\n"))
            .collect();
        let error = Balloon::read(&without).unwrap_err();
        assert_eq!(
            error.to_string(),
            "the polar data lack 60° off the axis at 180° around, at 4000 Hz"
        );
        let wide = table(&[0, 90], &[0, 45, 90], |_, _, o| -f64::from(o));
        assert!(
            Balloon::read(&wide)
                .unwrap_err()
                .to_string()
                .contains("from 0° to 45° off the axis")
        );
        let lopsided = table(&[0, 45, 90, 135], &[0, 30], |_, _, o| -f64::from(o));
        assert!(
            Balloon::read(&lopsided)
                .unwrap_err()
                .to_string()
                .contains("from 135° to 360° around")
        );
    }

    #[test]
    fn what_is_no_table_is_refused_at_its_line() {
        let refused = |text: &str| Balloon::read(text).unwrap_err().to_string();
        assert!(refused("").contains("no levels"));
        assert!(refused("f,h,v,l\n").contains("begin with the line"));
        assert!(refused(&format!("{HEAD}1000, 0, 0\n")).contains("line 2"));
        assert!(refused(&format!("{HEAD}1000, 0, 190, -3\n")).contains("outside 0 to 180°"));
        assert!(refused(&format!("{HEAD}1000, 0, 30, NaN\n")).contains("line 2"));
        let twice = format!("{HEAD}1000, 0, 0, 0\n1000, 0, 30, -1\n1000, 0, 30, -2\n");
        assert!(refused(&twice).contains("line 4"));
        assert!(refused(&format!("{HEAD}1000, 0, 30, -3\n")).contains("lack the axis"));
    }
}
