//! The rows of a shipped table: source on line one, header on line two.
//!
//! The tables hold no quoted fields, so a comma always separates; `number`
//! is only called on columns that the tests of the table have read through.

/// The fields of every data row.
pub(crate) fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    debug_assert!(
        !text.lines().skip(2).any(|line| line.contains('"')),
        "quoted field in a shipped table"
    );
    let data = text.lines().skip(2).filter(|line| !line.is_empty());
    data.map(|line| line.split(',').map(str::trim).collect())
}

/// A number of a shipped table.
pub(crate) fn number(field: &str) -> f64 {
    field.parse().expect("a shipped table holds numbers here")
}
