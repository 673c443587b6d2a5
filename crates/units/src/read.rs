//! Reads a quantity as a person types it.
//!
//! A text is an amount, then optionally how it was taken and how far off it may
//! be: `12' 3" laser ± 5 mm`. An amount is a sign and one or more numbers, each
//! with its unit; a second, smaller unit may follow a whole number (`10' 6 1/2"`,
//! `3 m 21`, `12° 30′`). Nothing is guessed: what two people would read
//! differently is refused with a [`ReadError`] that says what to write.

use std::ops::Range;

use crate::dimension::{Dimension, Method, System};
use crate::error::{Fault, ReadError};
use crate::scan::{Number, Scan, is_hyphen, is_vulgar};
use crate::unit::{self, Found, Unit};
use crate::wire;

/// Longer texts are refused unread.
const TEXT_BYTES_MAX: usize = 1000;

/// A quantity as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// SI as [`Dimension`] says; `None` for `?`, still to measure.
    pub value: Option<f64>,
    /// Stated with ±.
    pub tolerance: Option<Tolerance>,
    /// How a length was taken, if the text says so.
    pub method: Option<Method>,
    /// What it was typed in; `None` where the unit belongs to neither or both.
    pub system: Option<System>,
}

/// How far off a quantity may be, as typed after ±; never negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// SI, in the quantity's own dimension; K for a temperature.
    Absolute(f64),
    /// A share of the value: 0.03 for ± 3 %.
    Relative(f64),
}

impl Reading {
    /// How far off the value may be, ± SI: as stated, or else as its method
    /// implies; `None` if neither is known.
    pub fn tolerance_si(&self) -> Option<f64> {
        match self.tolerance {
            Some(Tolerance::Absolute(tolerance)) => Some(tolerance),
            Some(Tolerance::Relative(share)) => self.value.map(|value| value.abs() * share),
            None => self.method.map(Method::tolerance_m),
        }
    }
}

/// Reads one quantity.
///
/// - Lengths: `10' 6 1/2"`, `10ft 6.5in`, `10-6 1/2`, `126½"`, `3,21 m`, `3 m 21`.
/// - A slope `4:12` or `4/12` is the angle whose tangent it is.
/// - `16:9` is a ratio; a plain number is one too. Elsewhere only `0` may stand
///   without a unit.
/// - `14 AWG`, `AWG 14`, `14 ga`, `2/0 AWG` and `2.5 mm²` are wire sizes.
/// - After ± a percentage is a share of the value, save for a ratio, where it is
///   in percentage points.
///
/// # Errors
///
/// What can't be read, is ambiguous, or lies outside the dimension's bounds.
///
/// ```
/// use units::{Dimension, Method, read};
///
/// let reading = read("10' 6 1/2\" laser", Dimension::Length)?;
/// assert!((reading.value.unwrap() - 3.2131).abs() < 1e-12);
/// assert_eq!(reading.method, Some(Method::Laser));
///
/// let error = read("10' 14\"", Dimension::Length).unwrap_err();
/// assert_eq!(error.at, 4..7);
/// # Ok::<(), units::ReadError>(())
/// ```
pub fn read(text: &str, dimension: Dimension) -> Result<Reading, ReadError> {
    read_text(text, dimension).map_err(|fault| fault.accepted(dimension.accepted()))
}

fn read_text(text: &str, dimension: Dimension) -> Result<Reading, Fault> {
    if text.len() > TEXT_BYTES_MAX {
        let message = format!(
            "{} bytes of text are too long for {}",
            text.len(),
            dimension.facts().name
        );
        return Err(Fault::new(0..text.len(), message));
    }
    let (head, tail) = split_tolerance(text);
    let (head, before) = split_method(text, head);
    let (tail, after) = match tail {
        Some(tail) => {
            let (tail, method) = split_method(text, tail);
            (Some(tail), method)
        }
        None => (None, None),
    };
    let method = match (before, after) {
        (Some(_), Some((_, at))) => return Err(Fault::new(at, "the method is given twice")),
        (one, other) => one.or(other),
    };
    if let (Some((_, at)), false) = (&method, dimension == Dimension::Length) {
        let message = format!(
            "`{}` says how a length was taken, and this is {}",
            &text[at.clone()],
            dimension.facts().name
        );
        return Err(Fault::new(at.clone(), message));
    }
    let method = method.map(|(method, _)| method);

    if text[head.clone()].trim() == "?" {
        if let Some(tail) = tail {
            return Err(Fault::new(
                tail,
                "a value still to measure can't have a tolerance",
            ));
        }
        return Ok(Reading {
            value: None,
            tolerance: None,
            method,
            system: None,
        });
    }
    let Amount { value, system } = amount(text, head, dimension)?;
    let tolerance = tail
        .map(|tail| tolerance(text, tail, dimension))
        .transpose()?;
    Ok(Reading {
        value: Some(value),
        tolerance,
        method,
        system,
    })
}

/// What stands before and after the first ±.
fn split_tolerance(text: &str) -> (Range<usize>, Option<Range<usize>>) {
    let signs = ["±", "+/-", "+/−", "+-", "+−"];
    let first = signs
        .iter()
        .filter_map(|sign| text.find(sign).map(|at| (at, sign.len())))
        .min();
    match first {
        Some((at, len)) => (0..at, Some(at + len..text.len())),
        None => (0..text.len(), None),
    }
}

/// Takes a trailing `laser`, `(laser)`, `, laser` or `by laser` off.
fn split_method(text: &str, range: Range<usize>) -> (Range<usize>, Option<(Method, Range<usize>)>) {
    let part = text[range.clone()].trim_end();
    let inner = part.strip_suffix(')').unwrap_or(part).trim_end();
    let before = inner.trim_end_matches(char::is_alphabetic);
    let word = before.len()..inner.len();
    let Some(method) = Method::from_word(&inner[word.clone()]) else {
        return (range, None);
    };
    let at = range.start + word.start..range.start + word.end;
    let mut left = before.trim_end();
    left = left.strip_suffix('(').unwrap_or(left).trim_end();
    left = left.strip_suffix(" by").unwrap_or(left).trim_end();
    left = left.strip_suffix(',').unwrap_or(left);
    (range.start..range.start + left.len(), Some((method, at)))
}

fn tolerance(text: &str, range: Range<usize>, dimension: Dimension) -> Result<Tolerance, Fault> {
    let typed = trimmed(text, range.clone());
    let share = text[typed.clone()]
        .strip_suffix('%')
        .or_else(|| text[typed.clone()].strip_suffix("percent"));
    let relative = share.is_some() && dimension != Dimension::Ratio;
    let found = match dimension {
        _ if relative => amount(text, typed.clone(), Dimension::Ratio)?.value,
        Dimension::Temperature => {
            amount(text, typed.clone(), Dimension::TemperatureDifference)?.value
        }
        Dimension::WireArea => {
            return Err(Fault::new(
                typed,
                "the tolerance of a wire size is a share of it: write it in %",
            ));
        }
        _ => amount(text, typed.clone(), dimension)?.value,
    };
    if found < 0.0 {
        return Err(Fault::new(typed, "a tolerance can't be negative"));
    }
    if relative && found > 1.0 {
        return Err(Fault::new(typed, "a tolerance above 100 % says nothing"));
    }
    Ok(if relative {
        Tolerance::Relative(found)
    } else {
        Tolerance::Absolute(found)
    })
}

fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let part = &text[range.clone()];
    let start = range.start + (part.len() - part.trim_start().len());
    let end = start + part.trim().len();
    start..end
}

struct Amount {
    value: f64,
    system: Option<System>,
}

/// A signed amount in SI, within the dimension's bounds.
fn amount(text: &str, range: Range<usize>, dimension: Dimension) -> Result<Amount, Fault> {
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
    if !(facts.low..=facts.high).contains(&found.value) {
        let message = format!(
            "`{}` is out of range: {} lies {}",
            &text[typed.clone()],
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
    let first = number(scan)?;
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
        let bare = dimension == Dimension::Ratio
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

fn number(scan: &mut Scan) -> Result<Number, Fault> {
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
    Err(Fault::new(
        at.clone(),
        format!("`{}` is not a number", excerpt(&scan.text[at])),
    ))
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
    if !matches!(dimension, Dimension::Angle | Dimension::Ratio) {
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
    let run = number(&mut ahead)?;
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

/// One number and the unit after it, if there is one.
struct Segment {
    number: Number,
    unit: Option<&'static Unit>,
    /// Number and unit.
    at: Range<usize>,
    /// A hyphen stands before it.
    hyphen: bool,
}

/// `10' 6 1/2"`, `3 m 21`, `12° 30′`, `12 lb 6 oz`, `1 h 30 min`.
fn compound(
    scan: &mut Scan,
    sign: f64,
    first: Number,
    dimension: Dimension,
) -> Result<Amount, Fault> {
    let mut segments = vec![segment(scan, first, false, dimension)?];
    loop {
        scan.skip_space();
        let comma = scan.take(|c| c == ',');
        scan.skip_space();
        let hyphen = !comma && scan.take(is_hyphen);
        scan.skip_space();
        if scan.rest().is_empty() && !comma && !hyphen {
            break;
        }
        let next = number(scan)?;
        segments.push(segment(scan, next, hyphen, dimension)?);
    }
    let (first, more) = segments
        .split_first()
        .expect("the first number is among them");
    let Some(unit) = first
        .unit
        .or_else(|| feet_before_hyphen(first, more, dimension))
    else {
        if first.number.value == 0.0 && more.is_empty() {
            return Ok(Amount {
                value: 0.0,
                system: None,
            });
        }
        return Err(no_unit(scan, &first.number, dimension));
    };
    let mut value = first.number.value * unit.factor;
    let (mut larger, mut larger_unit) = (first, unit);
    for smaller in more {
        larger_unit = smaller_unit(scan.text, larger, larger_unit, smaller, dimension)?;
        value += smaller.number.value * larger_unit.factor;
        larger = smaller;
    }
    Ok(Amount {
        value: sign * value,
        system: unit.system,
    })
}

fn segment(
    scan: &mut Scan,
    number: Number,
    hyphen: bool,
    dimension: Dimension,
) -> Result<Segment, Fault> {
    let number_end = scan.at;
    scan.skip_space();
    let start = scan.at;
    let unit = match scan.peek() {
        Some(c) if mark(c).is_some() => Some(marked_unit(scan, dimension)?),
        Some(c) if c.is_ascii_digit() || is_vulgar(c) || is_hyphen(c) || c == ',' => None,
        Some(_) => {
            scan.take_while(|c| {
                !(c.is_whitespace()
                    || c.is_ascii_digit()
                    || mark(c).is_some()
                    || is_vulgar(c)
                    || is_hyphen(c)
                    || c == ',')
            });
            Some(find_unit(scan.text, start..scan.at, dimension)?)
        }
        None => None,
    };
    if unit.is_none() {
        scan.at = number_end;
    }
    Ok(Segment {
        at: number.at.start..scan.at,
        number,
        unit,
        hyphen,
    })
}

/// The marks that people's keyboards and phones put for ′ (one) and ″ (two).
fn mark(c: char) -> Option<usize> {
    match c {
        '\'' | '’' | '‘' | '‛' | '′' | '‵' | '´' | '`' | 'ʹ' | 'ʼ' => Some(1),
        '"' | '”' | '“' | '‟' | '″' | '‶' | '˝' | 'ʺ' | '„' => Some(2),
        _ => None,
    }
}

/// Feet or inches, minutes or seconds, by mark; two single marks are a double.
fn marked_unit(scan: &mut Scan, dimension: Dimension) -> Result<&'static Unit, Fault> {
    let start = scan.at;
    let mut count = 0;
    while let Some(weight) = scan.peek().and_then(mark) {
        scan.take(|_| true);
        count += weight;
        if count >= 2 {
            break;
        }
    }
    let name = match count {
        1 => "'",
        2 => "\"",
        _ => "'\"",
    };
    match unit::find(name, dimension) {
        Found::Unit(unit) => Ok(unit),
        _ => {
            let at = start..scan.at;
            let message = format!(
                "`{}` is not a unit of {}",
                &scan.text[at.clone()],
                dimension.facts().name
            );
            Err(Fault::new(at, message))
        }
    }
}

/// Feet, if this is `10-6 1/2` or `10-6 1/2"` as the trade writes feet and inches.
fn feet_before_hyphen(
    first: &Segment,
    more: &[Segment],
    dimension: Dimension,
) -> Option<&'static Unit> {
    let [inches] = more else { return None };
    let unit_fits = inches.unit.is_none_or(|unit| unit.symbol == "in");
    (dimension == Dimension::Length && first.number.whole && inches.hyphen && unit_fits)
        .then(|| {
            unit::units(Dimension::Length)
                .iter()
                .find(|unit| unit.symbol == "ft")
        })
        .flatten()
}

/// The unit of a later segment, checked against the one before it.
fn smaller_unit(
    text: &str,
    larger: &Segment,
    larger_unit: &'static Unit,
    smaller: &Segment,
    dimension: Dimension,
) -> Result<&'static Unit, Fault> {
    let follows = unit::follow(dimension, larger_unit);
    let follow = match smaller.unit {
        Some(unit) => follows.iter().find(|follow| follow.symbol == unit.symbol),
        None => follows.iter().find(|follow| follow.bare),
    };
    let Some(follow) = follow else {
        let typed = excerpt(&text[smaller.at.clone()]);
        return Err(Fault::new(
            smaller.at.clone(),
            format!("`{typed}` can't follow {}", larger_unit.symbol),
        ));
    };
    if !larger.number.whole {
        let typed = &text[larger.at.clone()];
        let message = format!("`{typed}` must be a whole number where a smaller unit follows");
        return Err(Fault::new(larger.at.clone(), message));
    }
    if smaller.number.value >= follow.limit {
        let message = format!("{} stay under {}", follow.phrase, follow.limit);
        return Err(Fault::new(smaller.at.clone(), message));
    }
    // "3 m 5" is 3.05 m to one reader and 3.5 m to another.
    if follow.symbol == "cm"
        && smaller.unit.is_none()
        && (smaller.number.at.len() != 2 || !smaller.number.whole)
    {
        let typed = &text[smaller.at.clone()];
        let message = format!(
            "`{typed}` after metres has no unit: write two digits for centimetres, or its unit"
        );
        return Err(Fault::new(smaller.at.clone(), message));
    }
    let unit = unit::units(dimension)
        .iter()
        .find(|unit| unit.symbol == follow.symbol);
    Ok(unit.expect("every follow names a unit of its own dimension"))
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
    let number = number(scan)?;
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

fn find_unit(text: &str, at: Range<usize>, dimension: Dimension) -> Result<&'static Unit, Fault> {
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
    let methods = Method::ALL.map(Method::word);
    let more = if dimension == Dimension::Length {
        &methods[..]
    } else {
        &[]
    };
    let message = if let Some(home) = unit::home(name, dimension) {
        format!(
            "`{typed}` is the unit of {}, and this is {own}",
            home.facts().name
        )
    } else if let Some(near) = unit::nearest(name, dimension, more) {
        format!("`{typed}` is not a unit of {own}; did you mean `{near}`?")
    } else {
        format!("`{typed}` is not a unit of {own}")
    };
    Fault::new(at, message)
}

fn no_unit(scan: &Scan, number: &Number, dimension: Dimension) -> Fault {
    let typed = &scan.text[number.at.clone()];
    Fault::new(
        number.at.clone(),
        format!("`{typed}` has no unit: add {}", dimension.facts().units),
    )
}

/// The start of a text, short enough to stand in a message.
fn excerpt(text: &str) -> String {
    const CHARS_MAX: usize = 24;
    if text.chars().count() <= CHARS_MAX {
        return text.to_owned();
    }
    let start: String = text.chars().take(CHARS_MAX).collect();
    format!("{start}…")
}
