//! Amounts of money as people type them, in decimals and never in binary floats.

use rust_decimal::{Decimal, RoundingStrategy};

use crate::error::{Fault, ReadError};
use crate::scan::is_hyphen;

const ACCEPTED: &str = "an amount, for example 120, $1,234.50 or 1234,50 EUR";
/// Twelve digits before the point are more than any house costs.
const TEXT_BYTES_MAX: usize = 40;

/// An amount of money as typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Money {
    /// In the currency's main unit.
    pub amount: Decimal,
    /// The sign or code beside it (`$`, `EUR`), for the caller to compare with the
    /// job's own.
    pub currency: Option<String>,
}

/// Reads an amount of money: `120`, `1,234.50`, `1.234,50`, `$120`, `120 EUR`.
///
/// A comma before exactly three digits parts thousands; a point there is refused,
/// because it may be either.
///
/// # Errors
///
/// What can't be read or is ambiguous.
pub fn read_money(text: &str) -> Result<Money, ReadError> {
    parse(text).map_err(|fault| fault.accepted(ACCEPTED.to_owned()))
}

/// Prints an amount to the hundredth, half away from zero, with a sign or code:
/// `$1,234.50`, `−$3.00`, `1,234.50 EUR`.
pub fn print_money(amount: Decimal, currency: &str) -> String {
    let rounded = amount.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
    let digits = format!("{:.2}", rounded.abs());
    let (whole, cents) = digits.split_once('.').expect("two decimals have a point");
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let minus = if rounded.is_sign_negative() && !rounded.is_zero() {
        "−"
    } else {
        ""
    };
    if currency.chars().any(char::is_alphabetic) {
        format!("{minus}{grouped}.{cents}\u{202F}{currency}")
    } else {
        format!("{minus}{currency}{grouped}.{cents}")
    }
}

fn parse(text: &str) -> Result<Money, Fault> {
    let start = text.len() - text.trim_start().len();
    let typed = text.trim();
    let at = start..start + typed.len();
    if typed.len() > TEXT_BYTES_MAX {
        return Err(Fault::new(
            at,
            format!("{} bytes are too long for an amount of money", typed.len()),
        ));
    }
    let (negative, rest) = take_sign(typed);
    let (before, rest) = rest.split_at(rest.find(|c: char| !is_currency(c)).unwrap_or(rest.len()));
    let (negative, rest) = match take_sign(rest.trim_start()) {
        (true, rest) if !negative => (true, rest),
        (false, rest) => (negative, rest),
        (true, _) => return Err(Fault::new(at, "an amount can't have two signs")),
    };
    let number = rest.trim_end_matches(is_currency);
    let after = &rest[number.len()..];
    if !before.is_empty() && !after.is_empty() {
        return Err(Fault::new(at, "the currency is given twice"));
    }
    let number = number.trim();
    if number.is_empty() {
        return Err(Fault::new(at, "no amount of money"));
    }
    // `rest` is the end of `typed` and starts with the number.
    let number_at = at.end - rest.len()..at.end - rest.len() + number.len();
    let plain = plain(number).map_err(|message| Fault::new(number_at.clone(), message))?;
    let amount: Decimal = plain
        .parse()
        .map_err(|_| Fault::new(number_at, format!("`{number}` is not an amount of money")))?;
    let currency = [before, after]
        .into_iter()
        .find(|currency| !currency.is_empty())
        .map(str::to_owned);
    Ok(Money {
        amount: if negative { -amount } else { amount },
        currency,
    })
}

fn take_sign(text: &str) -> (bool, &str) {
    let mut chars = text.chars();
    match chars.next() {
        Some(c) if is_hyphen(c) => (true, chars.as_str().trim_start()),
        _ => (false, text),
    }
}

fn is_currency(c: char) -> bool {
    c.is_alphabetic() || matches!(c, '$' | '€' | '£' | '¥' | '₹' | '₩' | '¢' | '₣' | '₺' | '₽')
}

/// The number with a decimal point and nothing between thousands.
fn plain(number: &str) -> Result<String, String> {
    let is_space = |c: char| c.is_whitespace();
    let bad = number
        .chars()
        .find(|c| !(c.is_ascii_digit() || matches!(c, '.' | ',') || is_space(*c)));
    if let Some(bad) = bad {
        return Err(format!("`{bad}` can't stand in an amount of money"));
    }
    if !number.contains(|c: char| c.is_ascii_digit()) {
        return Err(format!("`{number}` has no digit"));
    }
    let ambiguous =
        || format!("`{number}` is ambiguous: write a decimal point and nothing between thousands");
    let marks: Vec<char> = number
        .chars()
        .filter(|c| !c.is_ascii_digit())
        .map(|c| if is_space(c) { ' ' } else { c })
        .collect();
    let decimals = |mark: char| number.rsplit(mark).next().map_or(0, str::len);
    // Which mark parts the decimals, and which the thousands.
    let (point, thousands) = match marks.as_slice() {
        [] => (None, None),
        ['.'] if decimals('.') == 3 => return Err(ambiguous()),
        [','] if decimals(',') == 3 => (None, Some(',')),
        [' '] => (None, Some(' ')),
        [point] => (Some(*point), None),
        [first, middle @ .., last] if middle.iter().all(|mark| mark == first) => {
            if first == last {
                (None, Some(*first))
            } else if *last == ' ' {
                return Err(ambiguous());
            } else {
                (Some(*last), Some(*first))
            }
        }
        _ => return Err(ambiguous()),
    };
    let (whole, cents) = match point {
        Some(point) => number
            .rsplit_once(point)
            .expect("the mark is in the number"),
        None => (number, ""),
    };
    if let Some(mark) = thousands {
        let is_mark = |c: char| c == mark || (mark == ' ' && is_space(c));
        let mut groups = whole.split(is_mark);
        let first = groups.next().unwrap_or_default();
        let first_fits = (1..=3).contains(&first.len()) && !first.starts_with('0');
        if !first_fits || groups.any(|group| group.len() != 3) {
            return Err(ambiguous());
        }
    }
    let digits: String = whole.chars().filter(char::is_ascii_digit).collect();
    let digits = if digits.is_empty() {
        "0".to_owned()
    } else {
        digits
    };
    Ok(if cents.is_empty() {
        digits
    } else {
        format!("{digits}.{cents}")
    })
}
