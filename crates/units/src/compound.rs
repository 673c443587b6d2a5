//! Reads an amount in a unit and the smaller ones after it: `10' 6 1/2"`, `12° 30′`.

use std::ops::Range;

use crate::amount::{Amount, excerpt, find_unit, no_unit, number};
use crate::dimension::Dimension;
use crate::error::Fault;
use crate::scan::{Number, Scan, is_hyphen, is_vulgar};
use crate::unit::{self, Found, Unit};

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
pub(crate) fn compound(
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
        let next = number(scan, dimension)?;
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
