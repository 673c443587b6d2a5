//! Entries written as a table that reads back as the same entries.

use rust_xlsxwriter::{Format, Workbook, XlsxError};
use serde_json::Value;

use crate::fact::{Fact, Sort};
use crate::import::Entry;

/// A spreadsheet takes a text that begins like this for a formula; an apostrophe is what it
/// writes itself to say "text".
pub(crate) const FORMULA_STARTS: [char; 4] = ['=', '@', '\t', '\r'];

/// Entries as CSV, UTF-8 with its mark, so that a spreadsheet reads `°` and `Ω`.
pub fn csv(entries: &[Entry], facts: &[Fact]) -> Vec<u8> {
    let used = used(entries, facts);
    let mut out = csv::Writer::from_writer("\u{feff}".as_bytes().to_vec());
    let heads = used.iter().map(|fact| fact.label.as_str());
    out.write_record(heads).expect("written to memory");
    for entry in entries {
        let cells = used.iter().map(|fact| harmless(text(entry, fact)));
        out.write_record(cells).expect("as long as the heads");
    }
    out.into_inner().expect("written to memory")
}

/// Entries as a workbook with one sheet, named after the kind.
pub fn xlsx(entries: &[Entry], facts: &[Fact], kind: &str) -> Result<Vec<u8>, XlsxError> {
    let used = used(entries, facts);
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name(kind)?;
    sheet.set_freeze_panes(1, 0)?;
    let bold = Format::new().set_bold();
    for (column, fact) in (0..).zip(&used) {
        sheet.write_string_with_format(0, column, &fact.label, &bold)?;
        for (row, entry) in (1..).zip(entries) {
            sheet.write_string(row, column, text(entry, fact))?;
        }
    }
    sheet.autofit();
    book.save_to_buffer()
}

/// Any table as CSV, UTF-8 with its mark.
pub fn table_csv(heads: &[&str], rows: &[Vec<String>]) -> Vec<u8> {
    let mut out = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer("\u{feff}".as_bytes().to_vec());
    out.write_record(heads).expect("written to memory");
    for row in rows {
        let cells = row.iter().map(|cell| harmless(cell.clone()));
        out.write_record(cells).expect("written to memory");
    }
    out.into_inner().expect("written to memory")
}

/// Any table as a workbook with one sheet of this name.
pub fn table_xlsx(name: &str, heads: &[&str], rows: &[Vec<String>]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name(name)?;
    sheet.set_freeze_panes(1, 0)?;
    let bold = Format::new().set_bold();
    for (column, head) in (0..).zip(heads) {
        sheet.write_string_with_format(0, column, *head, &bold)?;
    }
    for (at, row) in (1..).zip(rows) {
        for (column, cell) in (0..).zip(row) {
            sheet.write_string(at, column, cell)?;
        }
    }
    sheet.autofit();
    book.save_to_buffer()
}

/// Facts that any of the entries has, in the kind's order; at least its id and name.
fn used<'a>(entries: &[Entry], facts: &'a [Fact]) -> Vec<&'a Fact> {
    let wanted = |fact: &&Fact| {
        matches!(fact.path.as_str(), "id" | "name")
            || entries.iter().any(|entry| at(entry, &fact.path).is_some())
    };
    facts.iter().filter(wanted).collect()
}

fn at<'a>(entry: &'a Entry, path: &str) -> Option<&'a Value> {
    let mut keys = path.split('.');
    let mut value = entry.facts.get(keys.next()?)?;
    for key in keys {
        value = match key.parse::<usize>() {
            Ok(index) => value.get(index)?,
            Err(_) => value.get(key)?,
        };
    }
    Some(value)
}

fn text(entry: &Entry, fact: &Fact) -> String {
    match at(entry, &fact.path) {
        None | Some(Value::Null) => String::new(),
        Some(Value::String(text)) => text.clone(),
        Some(Value::Bool(flag)) => if *flag { "yes" } else { "no" }.to_owned(),
        Some(Value::Array(list)) => {
            let written = |one: &Value| match one {
                Value::Array(pair) => {
                    let parts: Vec<&str> = pair.iter().filter_map(Value::as_str).collect();
                    parts.join(" × ")
                }
                one => one.as_str().unwrap_or_default().to_owned(),
            };
            let words: Vec<String> = list.iter().map(written).collect();
            words.join("; ")
        }
        Some(Value::Object(sources)) if fact.sort == Sort::ReadFrom => {
            let pairs: Vec<String> = (sources.iter())
                .map(|(fact, from)| format!("{fact}: {}", from.as_str().unwrap_or_default()))
                .collect();
            pairs.join("; ")
        }
        Some(other) => other.to_string(),
    }
}

/// A text from a spec sheet must not run as a formula in the spreadsheet that opens it.
fn harmless(text: String) -> String {
    match text.starts_with(FORMULA_STARTS) {
        true => format!("'{text}"),
        false => text,
    }
}
