//! Reads one signed amount: numbers with their units, without method and tolerance.

use std::ops::Range;

use crate::compound::compound;
use crate::dimension::{Dimension, Method, System};
use crate::error::Fault;
use crate::scan::{Number, Scan};
use crate::unit::{self, Found, Unit};
use crate::wire;

/// A value and the system it was typed in.
pub(crate) struct Amount {
    /// SI.
    pub value: f64,
    pub system: Option<System>,
}

/// A signed amount in SI, within the dimension's bounds.
pub(crate) fn amount(
    text: &str,
    range: Range<usize>,
    dimension: Dimension,
) -> Result<Amount, Fault> {
    let facts = dimension.facts();
    let typed = trimmed(text, range);
    if typed.is_empty() {
        return Err(Fault::new(
            typed,
            format!("no value where {} is due", facts.name),
        ));
    }
    let mut scan = Scan::new(text, typed.clone());
    let found = match dimension {
        Dimension::WireArea => wire_area(&mut scan)?,
        _ => {
            let sign = scan.sign();
            signed(&mut scan, sign, dimension)?
        }
    };
    // −459.67 °F is −273.15 °C but for the last bit.
    let slack = |bound: f64| 1e-9 * bound.abs();
    let within = facts.low - slack(facts.low)..=facts.high + slack(facts.high);
    if !within.contains(&found.value) {
        let message = format!(
            "`{}` is out of range: {} lies {}",
            excerpt(&text[typed.clone()]),
            facts.name,
            facts.bounds
        );
        return Err(Fault::new(typed, message));
    }
    // −0 would print and compare like nothing else does.
    Ok(Amount {
        value: found.value + 0.0,
        ..found
    })
}

fn signed(scan: &mut Scan, sign: f64, dimension: Dimension) -> Result<Amount, Fault> {
    let first = number(scan, dimension)?;
    if let Some(value) = proportion(scan, &first, dimension)? {
        return Ok(Amount {
            value: sign * value,
            system: None,
        });
    }
    if unit::is_compound(dimension) {
        return compound(scan, sign, first, dimension);
    }
    scan.skip_space();
    if scan.rest().is_empty() {
        let bare = matches!(dimension, Dimension::Ratio | Dimension::Factor)
            || (first.value == 0.0 && dimension != Dimension::Temperature);
        return if bare {
            Ok(Amount {
                value: sign * first.value,
                system: None,
            })
        } else {
            Err(no_unit(scan, &first, dimension))
        };
    }
    let at = scan.at..scan.end;
    let unit = find_unit(scan.text, at, dimension)?;
    Ok(Amount {
        value: sign * first.value * unit.factor + unit.offset,
        system: unit.system,
    })
}

pub(crate) fn number(scan: &mut Scan, dimension: Dimension) -> Result<Number, Fault> {
    if let Some(number) = scan.number()? {
        return Ok(number);
    }
    let at = trimmed(scan.text, scan.at..scan.end);
    if at.is_empty() {
        return Err(Fault::new(at, "a number is missing at the end"));
    }
    let word_end = scan.text[at.clone()]
        .find(char::is_whitespace)
        .map_or(at.end, |len| at.start + len);
    let at = at.start..word_end;
    let word = excerpt(&scan.text[at.clone()]);
    let message = match near_method(word.trim_matches(['(', ')']), dimension) {
        Some(near) => format!("`{word}` is not a number; did you mean `{near}`?"),
        None => format!("`{word}` is not a number"),
    };
    Err(Fault::new(at, message))
}

/// `4:12`, `4/12` and `4 in 12` as an angle, `16:9` and `1/2` as a ratio.
fn proportion(scan: &mut Scan, first: &Number, dimension: Dimension) -> Result<Option<f64>, Fault> {
    let value_of = |rise: f64, run: f64| {
        if dimension == Dimension::Angle {
            rise.atan2(run)
        } else {
            rise / run
        }
    };
    if !matches!(
        dimension,
        Dimension::Angle | Dimension::Ratio | Dimension::Factor
    ) {
        return Ok(None);
    }
    let mut ahead = scan.clone();
    ahead.skip_space();
    if let Some((rise, run)) = first.fraction.filter(|_| ahead.rest().is_empty()) {
        return Ok(Some(value_of(rise, run)));
    }
    let in_word = ahead
        .rest()
        .get(..3)
        .is_some_and(|word| word.eq_ignore_ascii_case("in "));
    if in_word && dimension == Dimension::Angle {
        ahead.at += 2;
    } else if !ahead.take(|c| matches!(c, ':' | '∶')) {
        return Ok(None);
    }
    ahead.skip_space();
    let run = number(&mut ahead, dimension)?;
    if run.value == 0.0 {
        return Err(Fault::new(run.at, "the second number can't be 0"));
    }
    ahead.skip_space();
    if !ahead.rest().is_empty() {
        let at = ahead.at..ahead.end;
        return Err(Fault::new(
            at.clone(),
            format!(
                "`{}` is unexpected after two numbers",
                excerpt(&scan.text[at])
            ),
        ));
    }
    *scan = ahead;
    Ok(Some(value_of(first.value, run.value)))
}

/// `14 AWG`, `AWG 14`, `#14`, `2/0 AWG`, `250 kcmil`, `2.5 mm²`.
fn wire_area(scan: &mut Scan) -> Result<Amount, Fault> {
    let at = scan.at..scan.end;
    let typed = scan.rest();
    let lower = typed.to_ascii_lowercase();
    let front = ["awg", "#"]
        .into_iter()
        .find_map(|word| lower.strip_prefix(word).map(|rest| rest.len()));
    let back = ["awg", "gauge", "gage", "ga.", "ga"]
        .into_iter()
        .find_map(|word| lower.strip_suffix(word).map(str::len));
    if front.is_some() || back.is_some() {
        let start = front.map_or(0, |left| typed.len() - left);
        let end = back.unwrap_or(typed.len()).max(start);
        let number = typed[start..end].trim();
        let Some(gauge) = wire::read_gauge(number) else {
            let message = format!(
                "`{}` is not a gauge: they run 4/0, 3/0, 2/0, 1/0, 1, 2 … 40",
                excerpt(number)
            );
            return Err(Fault::new(at, message));
        };
        return Ok(Amount {
            value: wire::area_m2(gauge),
            system: Some(System::Imperial),
        });
    }
    let sign = scan.sign();
    let number = number(scan, Dimension::WireArea)?;
    scan.skip_space();
    if scan.rest().is_empty() {
        return Err(no_unit(scan, &number, Dimension::WireArea));
    }
    let unit = find_unit(scan.text, scan.at..scan.end, Dimension::WireArea)?;
    Ok(Amount {
        value: sign * number.value * unit.factor,
        system: unit.system,
    })
}

pub(crate) fn find_unit(
    text: &str,
    at: Range<usize>,
    dimension: Dimension,
) -> Result<&'static Unit, Fault> {
    let name = unit::normal(&text[at.clone()]);
    match unit::find(&name, dimension) {
        Found::Unit(unit) => Ok(unit),
        Found::Either(one, other) => {
            let typed = excerpt(&text[at.clone()]);
            Err(Fault::new(
                at,
                format!(
                    "`{typed}` could be {} or {}: mind the capitals",
                    one.symbol, other.symbol
                ),
            ))
        }
        Found::Nothing => Err(unknown_unit(text, at, &name, dimension)),
    }
}

fn unknown_unit(text: &str, at: Range<usize>, name: &str, dimension: Dimension) -> Fault {
    let typed = excerpt(&text[at.clone()]);
    let own = dimension.facts().name;
    let message = if let Some(home) = unit::home(name, dimension) {
        format!(
            "`{typed}` is the unit of {}, and this is {own}",
            home.facts().name
        )
    } else if let Some(near) =
        unit::nearest(name, dimension).or_else(|| near_method(name, dimension))
    {
        format!("`{typed}` is not a unit of {own}; did you mean `{near}`?")
    } else {
        format!("`{typed}` is not a unit of {own}")
    };
    Fault::new(at, message)
}

/// The method that a mistyped word after a length comes near to.
fn near_method(word: &str, dimension: Dimension) -> Option<&'static str> {
    (dimension == Dimension::Length)
        .then(|| unit::nearest_of(word, Method::ALL.into_iter().map(Method::word)))
        .flatten()
}

pub(crate) fn no_unit(scan: &Scan, number: &Number, dimension: Dimension) -> Fault {
    let typed = &scan.text[number.at.clone()];
    Fault::new(
        number.at.clone(),
        format!("`{typed}` has no unit: add {}", dimension.facts().units),
    )
}

/// The start of a text, short enough to stand in a message.
pub(crate) fn excerpt(text: &str) -> String {
    const CHARS_MAX: usize = 24;
    if text.chars().count() <= CHARS_MAX {
        return text.to_owned();
    }
    let start: String = text.chars().take(CHARS_MAX).collect();
    format!("{start}…")
}

/// The range without the spaces at its ends.
pub(crate) fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let part = &text[range.clone()];
    let start = range.start + (part.len() - part.trim_start().len());
    let end = start + part.trim().len();
    start..end
}
