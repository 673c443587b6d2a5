//! Recomputes every value from outside the project, and says which is off.

use units::Reference;

use crate::failure::Failure;
use crate::report::Page;
use crate::{Outcome, files};

pub fn run() -> Result<Outcome, Failure> {
    let references = checks::references();
    let (text, off) = table(&references);
    files::print(&text)?;
    Ok(if off == 0 {
        Outcome::NothingFails
    } else {
        Outcome::SomethingFails
    })
}

/// The table, and how many values are off. No value at all would prove nothing: that is off too.
fn table(references: &[(&'static str, Reference)]) -> (String, usize) {
    let mut page = Page::default();
    let mut off = usize::from(references.is_empty());
    let mut owner = "";
    for (of, reference) in references {
        if *of != owner {
            if !owner.is_empty() {
                page.blank();
            }
            page.line(&format!(
                "{of:<30} {:>14} {:>14} {:>12} {:>12}",
                "value", "expected", "error", "allowed"
            ));
            owner = of;
        }
        let holds = reference.holds();
        off += usize::from(!holds);
        let unit = if reference.unit == "1" {
            ""
        } else {
            reference.unit
        };
        page.line(&format!(
            "  {:<28} {:>14} {:>14} {:>12} {:>12} {unit}",
            if holds { "ok" } else { "OFF" },
            number((reference.computed)()),
            number(reference.expected),
            number(reference.error()),
            number(reference.tolerance),
        ));
        page.wrapped(6, reference.cite);
    }
    page.blank();
    page.line(&match off {
        0 => format!("all {} values are met", references.len()),
        _ => format!("{off} of {} values are off", references.len()),
    });
    (page.text(), off)
}

/// Seven digits: more than any source prints.
pub fn number(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return "refused".to_owned();
    }
    if !(1e-4..1e7).contains(&value.abs()) {
        return format!("{value:.5e}");
    }
    let whole_digits = value.abs().log10().floor() as i32 + 1;
    let decimals = usize::try_from(7 - whole_digits).unwrap_or(0).min(7);
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reference(expected: f64) -> (&'static str, Reference) {
        let reference = Reference {
            cite: "two and two, counted",
            computed: || 2.0 + 2.0,
            expected,
            tolerance: 0.001,
            unit: "1",
        };
        ("sums", reference)
    }

    #[test]
    fn a_value_that_is_off_is_counted_and_named() {
        let (text, off) = table(&[reference(4.0), reference(4.002)]);
        assert_eq!(off, 1);
        assert!(text.contains("OFF"), "{text}");
        assert!(text.ends_with("1 of 2 values are off\n"), "{text}");
    }

    #[test]
    fn values_within_their_tolerance_are_met_and_none_is_not() {
        assert_eq!(table(&[reference(4.0), reference(4.001)]).1, 0);
        assert_eq!(table(&[]).1, 1);
    }

    #[test]
    fn numbers_print_the_digits_that_a_source_may_have() {
        for (value, text) in [
            (0.0, "0"),
            (1.0, "1"),
            (-0.25, "-0.25"),
            (1234567.8, "1234568"),
            (343.2, "343.2"),
            (2.5e-6, "2.50000e-6"),
            (1.8e10, "1.80000e10"),
            (f64::NAN, "refused"),
        ] {
            assert_eq!(number(value), text);
        }
    }
}
