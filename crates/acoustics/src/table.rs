//! Reads the published tables that lie beside the code.

/// The data rows of a table: line 1 gives its source, line 2 its header.
///
/// The tables are our own files without quoting, so a split is a full parser.
pub(crate) fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    text.lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty())
        .skip(1)
        .map(|line| line.split(',').collect())
}

/// A cell that holds a number, or nothing.
pub(crate) fn number(cell: &str) -> Option<f64> {
    match cell {
        "" => None,
        digits => Some(
            digits
                .parse()
                .expect("tables beside the code hold numbers; the tests read every row"),
        ),
    }
}
