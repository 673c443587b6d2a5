//! Numbers as people type them: decimal point or comma, fractions, mixed numbers.

use std::ops::Range;

use crate::error::Fault;

/// More digits than this are a slip, and would only slow the reader down.
const NUMBER_BYTES_MAX: usize = 40;

/// A cursor over one stretch of a text.
#[derive(Clone)]
pub(crate) struct Scan<'a> {
    pub text: &'a str,
    pub at: usize,
    pub end: usize,
}

/// A number without its unit.
#[derive(Clone, Debug)]
pub(crate) struct Number {
    pub value: f64,
    pub at: Range<usize>,
    /// Written as digits alone.
    pub whole: bool,
    /// Numerator and denominator of a fraction that stands alone.
    pub fraction: Option<(f64, f64)>,
}

pub(crate) fn is_hyphen(c: char) -> bool {
    matches!(c, '-' | '\u{2010}' | '\u{2011}' | '–' | '−')
}

fn is_slash(c: char) -> bool {
    matches!(c, '/' | '\u{2044}' | '\u{2215}')
}

fn vulgar(c: char) -> Option<f64> {
    Some(match c {
        '½' => 1.0 / 2.0,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '¼' => 1.0 / 4.0,
        '¾' => 3.0 / 4.0,
        '⅕' => 1.0 / 5.0,
        '⅖' => 2.0 / 5.0,
        '⅗' => 3.0 / 5.0,
        '⅘' => 4.0 / 5.0,
        '⅙' => 1.0 / 6.0,
        '⅚' => 5.0 / 6.0,
        '⅛' => 1.0 / 8.0,
        '⅜' => 3.0 / 8.0,
        '⅝' => 5.0 / 8.0,
        '⅞' => 7.0 / 8.0,
        _ => return None,
    })
}

pub(crate) fn is_vulgar(c: char) -> bool {
    vulgar(c).is_some()
}

impl<'a> Scan<'a> {
    pub fn new(text: &'a str, range: Range<usize>) -> Self {
        Self {
            text,
            at: range.start,
            end: range.end,
        }
    }

    pub fn rest(&self) -> &'a str {
        &self.text[self.at..self.end]
    }

    pub fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    pub fn skip_space(&mut self) {
        self.take_while(char::is_whitespace);
    }

    /// Steps over the next character if it is one of those wanted.
    pub fn take(&mut self, wanted: impl Fn(char) -> bool) -> bool {
        match self.peek() {
            Some(c) if wanted(c) => {
                self.at += c.len_utf8();
                true
            }
            _ => false,
        }
    }

    pub fn take_while(&mut self, wanted: impl Fn(char) -> bool) -> &'a str {
        let start = self.at;
        while self.take(&wanted) {}
        &self.text[start..self.at]
    }

    /// The sign before a number: −1 or 1.
    pub fn sign(&mut self) -> f64 {
        let sign = if self.take(is_hyphen) {
            -1.0
        } else {
            self.take(|c| c == '+');
            1.0
        };
        self.skip_space();
        sign
    }

    /// `12`, `12.5`, `12,5`, `.5`, `1e3`, `1/2`, `½`, `6 1/2`, `6-1/2`, `6½`;
    /// nothing taken and `None` if no number starts here.
    pub fn number(&mut self) -> Result<Option<Number>, Fault> {
        let start = self.at;
        if let Some(value) = self.peek().and_then(vulgar) {
            self.take(is_vulgar);
            return Ok(Some(Number {
                value,
                at: start..self.at,
                whole: false,
                fraction: None,
            }));
        }
        let Some((value, whole)) = self.decimal()? else {
            return Ok(None);
        };
        if whole {
            if let Some(denominator) = self.denominator(start)? {
                let fraction = Some((value, denominator));
                return Ok(Some(Number {
                    value: value / denominator,
                    at: start..self.at,
                    whole: false,
                    fraction,
                }));
            }
            if let Some(part) = self.part_of_one()? {
                return Ok(Some(Number {
                    value: value + part,
                    at: start..self.at,
                    whole: false,
                    fraction: None,
                }));
            }
        }
        Ok(Some(Number {
            value,
            at: start..self.at,
            whole,
            fraction: None,
        }))
    }

    fn digit_follows(&self, skip: usize) -> bool {
        self.rest()
            .as_bytes()
            .get(skip)
            .is_some_and(u8::is_ascii_digit)
    }

    /// Digits with at most one separator and an exponent; true if digits alone.
    fn decimal(&mut self) -> Result<Option<(f64, bool)>, Fault> {
        let start = self.at;
        let starts = self.digit_follows(0)
            || (matches!(self.peek(), Some('.' | ',')) && self.digit_follows(1));
        if !starts {
            return Ok(None);
        }
        loop {
            let digits = self.take_while(|c| c.is_ascii_digit());
            let separator = matches!(self.peek(), Some('.' | ',')) && self.digit_follows(1);
            if separator {
                self.at += 1;
            } else if digits.is_empty() || !self.take(|c| c == '.') {
                break;
            }
        }
        let mantissa = &self.text[start..self.at];
        let exponent_start = self.at;
        if matches!(self.peek(), Some('e' | 'E')) {
            let signed = matches!(self.rest().as_bytes().get(1), Some(b'+' | b'-'));
            if self.digit_follows(1 + usize::from(signed)) {
                self.at += 1 + usize::from(signed);
                self.take_while(|c| c.is_ascii_digit());
            }
        }
        let at = start..self.at;
        if at.len() > NUMBER_BYTES_MAX {
            return Err(Fault::new(
                at.clone(),
                format!("a number of {} characters is too long", at.len()),
            ));
        }
        check_separators(mantissa, &at)?;
        let plain = format!(
            "{}{}",
            mantissa.replace(',', "."),
            &self.text[exponent_start..self.at]
        );
        let value: f64 = plain
            .parse()
            .map_err(|_| Fault::new(at.clone(), format!("`{plain}` is not a number")))?;
        let whole = plain
            .trim_end_matches('.')
            .bytes()
            .all(|byte| byte.is_ascii_digit());
        Ok(Some((value, whole)))
    }

    /// The `/ 2` after a numerator.
    fn denominator(&mut self, fraction_start: usize) -> Result<Option<f64>, Fault> {
        let mut ahead = self.clone();
        ahead.skip_space();
        if !ahead.take(is_slash) {
            return Ok(None);
        }
        ahead.skip_space();
        if !ahead.digit_follows(0) {
            return Ok(None);
        }
        let start = ahead.at;
        let digits = ahead.take_while(|c| c.is_ascii_digit());
        if digits.len() > NUMBER_BYTES_MAX {
            return Err(Fault::new(
                start..ahead.at,
                format!("a number of {} characters is too long", digits.len()),
            ));
        }
        let denominator: f64 = digits
            .parse()
            .expect("at most 40 ASCII digits are a number");
        if denominator == 0.0 {
            return Err(Fault::new(
                fraction_start..ahead.at,
                "a fraction can't have 0 below its line",
            ));
        }
        *self = ahead;
        Ok(Some(denominator))
    }

    /// The ` 1/2`, `-1/2` or `½` that makes a whole number a mixed one.
    fn part_of_one(&mut self) -> Result<Option<f64>, Fault> {
        let mut ahead = self.clone();
        ahead.skip_space();
        ahead.take(is_hyphen);
        ahead.skip_space();
        let start = ahead.at;
        if let Some(value) = ahead.peek().and_then(vulgar) {
            ahead.take(is_vulgar);
            *self = ahead;
            return Ok(Some(value));
        }
        // Only digits can be a numerator; anything longer is no fraction of an inch.
        let digits = ahead.take_while(|c| c.is_ascii_digit());
        if digits.is_empty() || digits.len() > NUMBER_BYTES_MAX || start == self.at {
            return Ok(None);
        }
        let numerator: f64 = digits
            .parse()
            .expect("at most 40 ASCII digits are a number");
        let Some(denominator) = ahead.denominator(start)? else {
            return Ok(None);
        };
        if numerator >= denominator {
            let fraction = &self.text[start..ahead.at];
            return Err(Fault::new(
                start..ahead.at,
                format!("`{fraction}` after a whole number must be less than one"),
            ));
        }
        *self = ahead;
        Ok(Some(numerator / denominator))
    }
}

/// Refuses `3.210,5` and `1,200`, which two readers would read differently.
fn check_separators(mantissa: &str, at: &Range<usize>) -> Result<(), Fault> {
    let count = mantissa
        .bytes()
        .filter(|byte| !byte.is_ascii_digit())
        .count();
    if count > 1 {
        return Err(Fault::new(
            at.clone(),
            format!(
                "`{mantissa}` is ambiguous: write one decimal point and nothing between thousands"
            ),
        ));
    }
    if let Some((whole, decimals)) = mantissa.split_once(',') {
        let could_be_thousands =
            decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
        if could_be_thousands {
            return Err(Fault::new(
                at.clone(),
                format!("`{mantissa}` is ambiguous: write {whole}{decimals} or {whole}.{decimals}"),
            ));
        }
    }
    Ok(())
}
