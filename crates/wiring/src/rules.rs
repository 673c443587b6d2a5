//! Rules of codes and trade as data: each with its clause, value, unit, region and mark.
//!
//! The rules that ship stand in `rules.csv`; a shop writes a file of the same form for its
//! local code. A rule without a clause is none: whoever reads a limit must be able to look up
//! where it stands.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::OnceLock;

use units::Dimension;

/// One rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Rule {
    /// Its name, by which a job changes it.
    pub name: String,
    /// Its value, SI.
    pub value: f64,
    /// How it is read and printed.
    pub dimension: Dimension,
    /// Its value as written.
    pub written: String,
    /// Where it holds.
    pub region: Region,
    /// How well it is known.
    pub mark: Mark,
    /// Where it stands.
    pub clause: String,
    /// What it limits.
    pub meaning: String,
}

/// Where a rule holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Region {
    /// The United States and Canada.
    Us,
    /// Europe.
    Eu,
    /// Everywhere.
    Any,
}

/// How well a rule is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Read at a public copy of its clause.
    Confirmed,
    /// Computed.
    Computed,
    /// Recalled, not seen again.
    FromMemory,
}

/// A line of a rules file that is no rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleError {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong with it.
    pub message: String,
    /// What would do.
    pub accepted: String,
}

impl fmt::Display for RuleError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "line {}: {}; {}",
            self.line, self.message, self.accepted
        )
    }
}

const HEADER: &str = "name,value,unit,region,mark,clause,meaning";

/// Units that a rule may be written in: dimension, and SI for one.
const UNITS: [(&str, Dimension, f64); 8] = [
    ("%", Dimension::Ratio, 0.01),
    ("1", Dimension::Factor, 1.0),
    ("mm", Dimension::Length, 1e-3),
    ("m", Dimension::Length, 1.0),
    ("in", Dimension::Length, 0.0254),
    ("deg", Dimension::Angle, std::f64::consts::PI / 180.0),
    ("N", Dimension::Force, 1.0),
    ("kg", Dimension::Mass, 1.0),
];

/// Every rule of a file, or every line of it that is none. Lines that begin with `#` and
/// empty ones are passed over; the first other line is the header.
pub fn read(text: &str) -> Result<Vec<Rule>, Vec<RuleError>> {
    let mut rules = Vec::new();
    let mut errors = Vec::new();
    let mut seen: BTreeSet<(String, Region)> = BTreeSet::new();
    let mut lines = (text.trim_start_matches('\u{feff}').lines().enumerate())
        .map(|(index, line)| (index + 1, line.trim()))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    match lines.next() {
        Some((_, header)) if header == HEADER => {}
        first => errors.push(RuleError {
            line: first.map_or(1, |(line, _)| line),
            message: "the heads of the columns are missing".to_owned(),
            accepted: HEADER.to_owned(),
        }),
    }
    for (number, line) in lines {
        match rule(line) {
            Ok(rule) if !seen.insert((rule.name.clone(), rule.region)) => errors.push(RuleError {
                line: number,
                message: format!("there is a rule `{}` for this region already", rule.name),
                accepted: "each rule once for each region".to_owned(),
            }),
            Ok(rule) => rules.push(rule),
            Err((message, accepted)) => errors.push(RuleError {
                line: number,
                message,
                accepted,
            }),
        }
    }
    match errors.is_empty() {
        true => Ok(rules),
        false => Err(errors),
    }
}

fn rule(line: &str) -> Result<Rule, (String, String)> {
    let fields: Vec<&str> = line.splitn(7, ',').map(str::trim).collect();
    let [name, value, unit, region, mark, clause, meaning] = fields[..] else {
        return Err((
            format!("it has {} fields of 7", fields.len()),
            HEADER.to_owned(),
        ));
    };
    let blank =
        |what: &str, accepted: &str| Err((format!("its {what} is missing"), accepted.to_owned()));
    if name.is_empty() {
        return blank("name", "a name such as `stud_hole_edge`");
    }
    if clause.is_empty() {
        return blank("clause", "the work and clause where the rule stands");
    }
    if meaning.is_empty() {
        return blank("meaning", "what the rule limits, in words");
    }
    let number: f64 = value
        .parse()
        .ok()
        .filter(|number: &f64| number.is_finite() && *number > 0.0)
        .ok_or_else(|| {
            (
                format!("`{value}` is no value"),
                "a number above zero".to_owned(),
            )
        })?;
    let known = UNITS.iter().find(|(known, ..)| *known == unit);
    let (_, dimension, si) = known.ok_or_else(|| {
        let units: Vec<&str> = UNITS.iter().map(|(unit, ..)| *unit).collect();
        (format!("`{unit}` is no unit of a rule"), units.join(", "))
    })?;
    let region = match region {
        "us" => Region::Us,
        "eu" => Region::Eu,
        "any" => Region::Any,
        other => return Err((format!("`{other}` is no region"), "us, eu, any".to_owned())),
    };
    let mark = match mark {
        "C" => Mark::Confirmed,
        "X" => Mark::Computed,
        "M" => Mark::FromMemory,
        other => return Err((format!("`{other}` is no mark"), "C, X, M".to_owned())),
    };
    Ok(Rule {
        name: name.to_owned(),
        value: number * si,
        dimension: *dimension,
        written: match unit {
            "1" => value.to_owned(),
            unit => format!("{value} {unit}"),
        },
        region,
        mark,
        clause: clause.to_owned(),
        meaning: meaning.to_owned(),
    })
}

/// The file of the rules that ship.
pub const SHIPPED_TEXT: &str = include_str!("rules.csv");

/// The rules that ship.
pub fn shipped() -> &'static [Rule] {
    static RULES: OnceLock<Vec<Rule>> = OnceLock::new();
    RULES.get_or_init(|| read(SHIPPED_TEXT).expect("the tests read it whole"))
}

/// A shipped rule by name.
pub fn shipped_rule(name: &str) -> Option<&'static Rule> {
    shipped().iter().find(|rule| rule.name == name)
}

impl Mark {
    /// Words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Confirmed => "confirmed",
            Self::Computed => "computed",
            Self::FromMemory => "from memory",
        }
    }
}

#[cfg(test)]
mod tests {
    use units::{Metres, Newtons, Radians, SquareMetres};

    use super::*;
    use crate::conduit::{FillLimits, JamBand, ThreeCables, bends_left, fill};
    use crate::holes::{
        Bearing, JoistHole, JoistLimits, NotchPlace, StudHole, StudLimits, TopPlate,
        nail_plate_margin, top_plate_margin,
    };
    use crate::pull::bend_radius_min;

    fn value(name: &str) -> f64 {
        shipped_rule(name).expect(name).value
    }

    fn stud() -> StudLimits {
        StudLimits {
            hole_bearing: value("stud_hole_bearing"),
            hole_non_bearing: value("stud_hole_non_bearing"),
            notch_bearing: value("stud_notch_bearing"),
            notch_non_bearing: value("stud_notch_non_bearing"),
            edge_min: Metres(value("stud_hole_edge")),
        }
    }

    fn joist() -> JoistLimits {
        JoistLimits {
            hole: value("joist_hole"),
            edge_min: Metres(value("joist_hole_edge")),
            notch: value("joist_notch"),
            notch_end: value("joist_notch_end"),
        }
    }

    /// The engine's margin for a case that is worth `x` of what the rule limits.
    fn margin(name: &str, x: f64) -> f64 {
        let fill_of = |count: usize| {
            let d = (x * 4.0 / std::f64::consts::PI / count as f64).sqrt();
            let limits = FillLimits {
                one: value("conduit_fill_one"),
                two: value("conduit_fill_two"),
                more: value("conduit_fill_more"),
            };
            let filled = fill(SquareMetres(1.0), &vec![Metres(d); count]).unwrap();
            limits.of(count).unwrap() - filled
        };
        let stud_hole = |bearing| {
            // A deep stud, so that the share decides and not the edge.
            let hole = StudHole {
                depth: Metres(1.0),
                diameter: Metres(x),
                centre: Metres(0.5),
                bearing,
            };
            hole.margins(&stud()).unwrap().size.0
        };
        let jam = |from_below: bool| {
            let band = JamBand {
                low: value("conduit_jam_low"),
                high: value("conduit_jam_high"),
            };
            let ratio = ThreeCables {
                inside_diameter: Metres(x),
                outside_diameter: Metres(1.0),
            };
            let inside = band.contains(ratio.jam_ratio().unwrap());
            // Less than the low end, more than the high end slips.
            if inside == from_below { -1.0 } else { 1.0 }
        };
        match name {
            "conduit_fill_one" => fill_of(1),
            "conduit_fill_two" => fill_of(2),
            "conduit_fill_more" => fill_of(3),
            "conduit_bends_max" => bends_left(&[Radians(x)], Radians(value(name))).unwrap().0,
            "conduit_jam_low" => jam(true),
            "conduit_jam_high" => jam(false),
            "pull_four_pair_max" => (Newtons(value(name)) - Newtons(x)).0,
            "bend_four_pair" | "bend_coax" => {
                x - bend_radius_min(Metres(1.0), value(name)).unwrap().0
            }
            "mains_distance_min" | "nail_plate_thickness" => x - value(name),
            "circuit_continuous_part" => value(name) - x,
            "nail_plate_edge" => nail_plate_margin(Metres(x), Metres(value(name))).unwrap().0,
            "stud_hole_bearing" => stud_hole(Bearing::Bearing),
            "stud_hole_non_bearing" => stud_hole(Bearing::NonBearing),
            "stud_hole_edge" => {
                let hole = StudHole {
                    depth: Metres(1.0),
                    diameter: Metres(0.01),
                    centre: Metres(x + 0.005),
                    bearing: Bearing::Bearing,
                };
                hole.margins(&stud()).unwrap().edge.0
            }
            "stud_notch_bearing" => stud().notch_max(Metres(1.0), Bearing::Bearing).unwrap().0 - x,
            "stud_notch_non_bearing" => {
                stud()
                    .notch_max(Metres(1.0), Bearing::NonBearing)
                    .unwrap()
                    .0
                    - x
            }
            "joist_hole" | "joist_hole_edge" => {
                let (diameter, centre) = match name {
                    "joist_hole" => (x, 0.5),
                    _ => (0.01, x + 0.005),
                };
                let hole = JoistHole {
                    depth: Metres(1.0),
                    diameter: Metres(diameter),
                    centre: Metres(centre),
                    neighbour: None,
                };
                let margins = hole.margins(&joist()).unwrap();
                if name == "joist_hole" {
                    margins.size.0
                } else {
                    margins.edge.0
                }
            }
            "joist_notch" => {
                joist()
                    .notch_max(Metres(1.0), NotchPlace::OuterThird)
                    .unwrap()
                    .0
                    - x
            }
            "joist_notch_end" => joist().notch_max(Metres(1.0), NotchPlace::End).unwrap().0 - x,
            "top_plate_cut" => {
                let plate = TopPlate {
                    width: Metres(1.0),
                    cut: Metres(x),
                };
                top_plate_margin(plate, value(name)).unwrap().0
            }
            other => panic!("rule {other} is tried by no engine"),
        }
    }

    #[test]
    fn each_rule_decides_between_its_two_sides() {
        for rule in shipped() {
            let sides = [0.999, 1.001].map(|part| margin(&rule.name, rule.value * part));
            assert!(
                sides[0] * sides[1] < 0.0,
                "{}: {sides:?} on both sides of {}",
                rule.name,
                rule.written
            );
            assert!(!rule.clause.is_empty() && !rule.meaning.is_empty());
        }
    }

    #[test]
    fn the_engines_own_defaults_are_these() {
        let same = |name: &str, own: f64| {
            let off = (value(name) / own - 1.0).abs();
            assert!(off < 1e-9, "{name}: {} against {own}", value(name));
        };
        same("conduit_fill_one", FillLimits::NEC.one);
        same("conduit_fill_two", FillLimits::NEC.two);
        same("conduit_fill_more", FillLimits::NEC.more);
        same(
            "conduit_bends_max",
            crate::conduit::BENDS_MAX_DEG.to_radians(),
        );
        same("conduit_jam_low", JamBand::PRACTICE.low);
        same("conduit_jam_high", JamBand::PRACTICE.high);
        same("pull_four_pair_max", crate::pull::FOUR_PAIR_TENSION_MAX.0);
        same("mains_distance_min", crate::cable::MAINS_DISTANCE_MIN.0);
        same("nail_plate_edge", crate::holes::NAIL_PLATE_EDGE_MIN.0);
        same("stud_hole_bearing", StudLimits::IRC.hole_bearing);
        same("stud_hole_non_bearing", StudLimits::IRC.hole_non_bearing);
        same("stud_hole_edge", StudLimits::IRC.edge_min.0);
        same("joist_hole", JoistLimits::IRC.hole);
        same("joist_notch", JoistLimits::IRC.notch);
        same("top_plate_cut", crate::holes::TOP_PLATE_CUT_MAX);
    }

    #[test]
    fn a_rule_without_its_clause_is_none() {
        let text = format!("{HEADER}\nstud_hole_edge,0.625,in,us,C,,least wood\n");
        let errors = read(&text).unwrap_err();
        assert_eq!(errors.len(), 1);
        assert_eq!(
            errors[0].to_string(),
            "line 2: its clause is missing; the work and clause where the rule stands"
        );
    }

    #[test]
    fn every_bad_line_is_told() {
        let text = "\u{feff}# local\nname,value,unit,region,mark,clause,meaning\na,1,furlong,us,C,x,y\nb,-1,mm,us,C,x,y\nc,1,mm,mars,C,x,y\nd,1,mm,us,?,x,y\ne,1,mm\nf,1,mm,us,C,x,y\nf,2,mm,us,C,x,y\nf,2,mm,eu,C,x,y, with a comma\n";
        let errors = read(text).unwrap_err();
        let lines: Vec<usize> = errors.iter().map(|error| error.line).collect();
        assert_eq!(lines, [3, 4, 5, 6, 7, 9]);
        assert_eq!(read("a,1,mm,us,C,x,y").unwrap_err()[0].accepted, HEADER);
        assert!(read("").is_err());
    }
}
