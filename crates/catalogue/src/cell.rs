//! What one cell says, as the job file writes it.

use serde_json::{Number, Value};
use units::read;

use crate::fact::Sort;

/// Why a cell does not read.
pub(crate) struct Unread {
    pub reason: String,
    pub accepted: String,
}

/// Whether a cell says nothing: what people put where they have no figure.
pub(crate) fn is_blank(cell: &str) -> bool {
    matches!(
        cell.to_lowercase().as_str(),
        "" | "-" | "–" | "—" | "?" | "n/a" | "n.a." | "na" | "tbd" | "tba" | "unknown"
    )
}

/// Whether a cell is a number without a unit: `435`, `17 1/2`, `3,21`.
pub(crate) fn is_bare(cell: &str) -> bool {
    !cell.is_empty()
        && cell.chars().all(|letter| {
            letter.is_numeric() || matches!(letter, ' ' | '.' | ',' | '/' | '+' | '-' | '−' | '±')
        })
}

/// The cell as a value; none where it is blank.
pub(crate) fn value(cell: &str, sort: &Sort, unit: Option<&str>) -> Result<Option<Value>, Unread> {
    if is_blank(cell) {
        return Ok(None);
    }
    let value = match sort {
        Sort::Quantity {
            dimension,
            bare_unit,
        } => {
            let unit = unit.unwrap_or(if *bare_unit == "1" { "" } else { bare_unit });
            let text = match is_bare(cell) && !unit.is_empty() {
                true => format!("{cell} {unit}"),
                false => cell.to_owned(),
            };
            match read(&text, *dimension) {
                Ok(_) => Value::from(text),
                Err(error) => {
                    return Err(Unread {
                        reason: error.message,
                        accepted: error.accepted,
                    });
                }
            }
        }
        Sort::Whole => {
            let number = number(cell).filter(|number| *number >= 0.0 && number.fract() == 0.0);
            let whole = number.filter(|number| *number <= f64::from(u32::MAX));
            Value::from(whole.ok_or_else(|| unread(cell, "a whole number"))? as u64)
        }
        Sort::Number => {
            let number = number(cell).and_then(Number::from_f64);
            Value::Number(number.ok_or_else(|| unread(cell, "a number"))?)
        }
        Sort::Flag => match cell.to_lowercase().as_str() {
            "yes" | "y" | "true" | "x" | "1" | "✓" | "✔" => Value::Bool(true),
            "no" | "n" | "false" | "0" | "✗" => Value::Bool(false),
            _ => return Err(unread(cell, "yes or no")),
        },
        Sort::Choice(words) => Value::from(choice(cell, words)?),
        Sort::Choices(words) => (cell.split([';', ',', '/', '+']))
            .filter(|part| !part.trim().is_empty())
            .map(|part| choice(part.trim(), words).map(Value::from))
            .collect::<Result<Value, Unread>>()?,
        Sort::Pairs {
            dimension,
            bare_unit,
        } => {
            let sort = Sort::Quantity {
                dimension: *dimension,
                bare_unit,
            };
            (cell.split(';'))
                .filter(|pair| !pair.trim().is_empty())
                .map(|pair| pair_of(pair.trim(), &sort, unit))
                .collect::<Result<Value, Unread>>()?
        }
        Sort::Text | Sort::ReadFrom => Value::from(cell),
    };
    Ok(Some(value))
}

/// `200 × 100 mm`: a unit behind the second counts for both.
fn pair_of(text: &str, sort: &Sort, unit: Option<&str>) -> Result<Value, Unread> {
    let bad = || {
        unread(
            text,
            "across × up, such as `200 × 100 mm`; several with `;` between",
        )
    };
    let (across, up) = text.split_once(['×', 'x', 'X', '*']).ok_or_else(bad)?;
    let (across, up) = (across.trim(), up.trim());
    let own_unit = up.trim_start_matches(|letter: char| !letter.is_alphabetic() && letter != '"');
    let unit = match own_unit.is_empty() {
        true => unit,
        false => Some(own_unit),
    };
    let part = |text: &str| value(text, sort, unit)?.ok_or_else(bad);
    Ok(Value::Array(vec![part(across)?, part(up)?]))
}

/// "In wall", "in-wall" and "IN WALL" are one word.
fn choice(cell: &str, words: &[String]) -> Result<String, Unread> {
    let plain = |text: &str| -> String {
        let letters = text.chars().filter(|letter| letter.is_alphanumeric());
        letters.flat_map(char::to_lowercase).collect()
    };
    let wanted = plain(cell);
    (words.iter())
        .find(|word| plain(word) == wanted)
        .cloned()
        .ok_or_else(|| Unread {
            reason: format!("`{}` is not known here", start(cell)),
            accepted: format!("one of {}", words.join(", ")),
        })
}

fn number(cell: &str) -> Option<f64> {
    let text = cell.replace([' ', '\u{a0}', '\u{202f}'], "");
    // `1:2000` is how contrasts are printed, either way round.
    let text = text
        .strip_prefix("1:")
        .or(text.strip_suffix(":1"))
        .unwrap_or(&text);
    let number: f64 = match thousands(text) {
        Some(text) => text.parse().ok()?,
        None => text.replace(',', ".").parse().ok()?,
    };
    number.is_finite().then_some(number)
}

/// `40,000` and `1,250,000`: every comma followed by exactly three digits, and no point before it.
fn thousands(text: &str) -> Option<String> {
    let (whole, rest) = text
        .split_once('.')
        .map_or((text, None), |(whole, rest)| (whole, Some(rest)));
    let mut groups = whole.split(',');
    let first = groups.next()?;
    let digits = |group: &str| group.bytes().all(|byte| byte.is_ascii_digit());
    let grouped = (1..=3).contains(&first.len()) && digits(first) && first != "0";
    let groups: Vec<&str> = groups.collect();
    if !grouped
        || groups.is_empty()
        || !groups.iter().all(|group| group.len() == 3 && digits(group))
    {
        return None;
    }
    let whole = whole.replace(',', "");
    Some(rest.map_or_else(|| whole.clone(), |rest| format!("{whole}.{rest}")))
}

fn unread(cell: &str, accepted: &str) -> Unread {
    Unread {
        reason: format!("`{}` is not {accepted}", start(cell)),
        accepted: accepted.to_owned(),
    }
}

/// As much of a cell as a message repeats.
fn start(cell: &str) -> String {
    cell.chars().take(40).collect()
}
