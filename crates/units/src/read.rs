//! Reads a quantity as a person types it.
//!
//! A text is an amount, then optionally how it was taken and how far off it may
//! be: `12' 3" laser ± 5 mm`. An amount is a sign and one or more numbers, each
//! with its unit; a second, smaller unit may follow a whole number (`10' 6 1/2"`,
//! `3 m 21`, `12° 30′`). Nothing is guessed: what two people would read
//! differently is refused with a [`ReadError`] that says what to write.

use std::ops::Range;

use crate::amount::{Amount, amount, trimmed};
use crate::dimension::{Dimension, Method, System};
use crate::error::{Fault, ReadError};

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
    let is_share = matches!(dimension, Dimension::Ratio | Dimension::Factor);
    let relative = share.is_some() && !is_share;
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
