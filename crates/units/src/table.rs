//! The rows of a table that is shipped beside the code that reads it.
//!
//! Line one is a comment that gives the source, line two the header. The tables are our
//! own and hold no quoted fields, so a comma always separates; numbers are only asked for
//! in columns that the tests of the table have read through.

/// The fields of every data row.
pub fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let data = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty())
        .skip(1);
    data.map(|line| {
        debug_assert!(!line.contains('"'), "quoted field in a shipped table");
        line.split(',').map(str::trim).collect()
    })
}

/// A number of a shipped table.
pub fn number(field: &str) -> f64 {
    field.parse().expect("a shipped table holds numbers here")
}

/// A number that a shipped table may leave blank.
pub fn number_or_blank(field: &str) -> Option<f64> {
    (!field.is_empty()).then(|| number(field))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn source_header_and_empty_lines_are_no_rows() {
        let text = "# source: made up\nname, size_mm\n\nsmall, 4\nlarge,\n";
        let rows: Vec<_> = rows(text).collect();
        assert_eq!(rows, [["small", "4"], ["large", ""]]);
        let sizes: Vec<_> = rows.iter().map(|row| number_or_blank(row[1])).collect();
        assert_eq!(sizes, [Some(4.0), None]);
    }
}
