//! Rows and columns out of a CSV or XLSX file, whatever spreadsheet wrote it.

use std::collections::BTreeMap;
use std::io::{Cursor, Read};

use calamine::{Data, Reader, Xlsx, XlsxError};
use thiserror::Error;

use crate::export::FORMULA_STARTS;

/// A spec-sheet table of a large shop has some thousand rows.
const ROWS_MAX: usize = 20_000;
const COLUMNS_MAX: usize = 200;
const FILE_BYTES_MAX: usize = 20_000_000;
/// An XLSX file is a zip of texts; one that unpacks to more than this is no price list.
const UNPACKED_BYTES_MAX: u64 = 100_000_000;
/// The longest text of a cell that is kept, in characters.
const CELL_MAX: usize = 2_000;

/// A table with a head row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// The head of each column, as written.
    pub heads: Vec<String>,
    /// The rows below it, each as long as the head.
    pub rows: Vec<Row>,
}

/// One row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Its number in the file as a spreadsheet counts: the head's is usually 1.
    pub number: usize,
    /// Its cells as text.
    pub cells: Vec<String>,
}

/// Why a file gives no table.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TableError {
    /// Too large in bytes, rows or columns.
    #[error("the file has {found}; at most {most} are read at once: split it")]
    TooLarge {
        /// What was found.
        found: String,
        /// What is allowed.
        most: String,
    },
    /// Not a file of the kind that it should be.
    #[error("the file can't be read as CSV or XLSX: {0}")]
    Unreadable(String),
    /// There is no row that names the columns.
    #[error("the file has no table: its first row with text must name the columns")]
    Empty,
    /// A workbook has several sheets and none of the name asked for.
    #[error("there is no sheet `{asked}`; the file has {}", .there.join(", "))]
    NoSuchSheet {
        /// The name asked for.
        asked: String,
        /// The names that are there.
        there: Vec<String>,
    },
}

impl Table {
    /// Reads CSV (comma, semicolon or tab; UTF-8, UTF-16 or Windows-1252) or XLSX; of a workbook,
    /// the sheet named or else the first with a table.
    pub fn read(bytes: &[u8], sheet: Option<&str>) -> Result<Self, TableError> {
        if bytes.len() > FILE_BYTES_MAX {
            return Err(too_large(
                format!("{:.0} MB", bytes.len() as f64 / 1e6),
                format!("{} MB", FILE_BYTES_MAX / 1_000_000),
            ));
        }
        let rows = if bytes.starts_with(b"PK\x03\x04") {
            xlsx_rows(bytes, sheet)?
        } else {
            csv_rows(bytes)?
        };
        Self::of(rows)
    }

    /// The sheets of a workbook; none of a CSV file.
    pub fn sheets(bytes: &[u8]) -> Vec<String> {
        workbook(bytes).map_or_else(|_| Vec::new(), |book| book.sheet_names().to_vec())
    }

    /// The first row with text is the head; rows without any are left out.
    fn of(rows: Vec<Row>) -> Result<Self, TableError> {
        let mut rows =
            (rows.into_iter()).filter(|row| row.cells.iter().any(|cell| !cell.is_empty()));
        let mut heads = rows.next().ok_or(TableError::Empty)?.cells;
        while heads.last().is_some_and(String::is_empty) {
            heads.pop();
        }
        if heads.len() > COLUMNS_MAX {
            return Err(too_large(
                format!("{} columns", heads.len()),
                format!("{COLUMNS_MAX} columns"),
            ));
        }
        let rows = rows.map(|mut row| {
            row.cells.resize(heads.len(), String::new());
            row
        });
        let rows: Vec<Row> = rows.take(ROWS_MAX + 1).collect();
        if rows.len() > ROWS_MAX {
            return Err(too_large(
                format!("more than {ROWS_MAX} rows"),
                format!("{ROWS_MAX} rows"),
            ));
        }
        Ok(Self { heads, rows })
    }
}

fn too_large(found: String, most: String) -> TableError {
    TableError::TooLarge { found, most }
}

fn workbook(bytes: &[u8]) -> Result<Xlsx<Cursor<&[u8]>>, TableError> {
    let unreadable = |error: &dyn std::fmt::Display| TableError::Unreadable(error.to_string());
    unpacks_within(bytes, UNPACKED_BYTES_MAX)?;
    Xlsx::new(Cursor::new(bytes)).map_err(|error| unreadable(&error))
}

/// Unpacks an archive once, part by part: what it says of its own size may be a lie.
pub(crate) fn unpacks_within(bytes: &[u8], most: u64) -> Result<(), TableError> {
    let unreadable = |error: &dyn std::fmt::Display| TableError::Unreadable(error.to_string());
    let mut archive =
        zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| unreadable(&error))?;
    let mut left = most;
    for index in 0..archive.len() {
        let entry = archive
            .by_index(index)
            .map_err(|error| unreadable(&error))?;
        let mut part = Vec::new();
        left -=
            (entry.take(left).read_to_end(&mut part)).map_err(|error| unreadable(&error))? as u64;
        claims_are_sound(&part)?;
        if left == 0 {
            let most = format!("{} MB", most / 1_000_000);
            return Err(too_large(format!("more than {most} when unpacked"), most));
        }
    }
    Ok(())
}

/// The reader of workbooks makes room for as many texts as a part claims to have, and reckons with
/// the name of a cell however long it is; either can end the program.
fn claims_are_sound(part: &[u8]) -> Result<(), TableError> {
    let mut pieces = part.split(|byte| *byte == b'=');
    let mut before = pieces.next().unwrap_or_default().trim_ascii_end();
    for piece in pieces {
        let after = piece.trim_ascii_start();
        if let Some((quote @ (b'"' | b'\''), value)) = after.split_first() {
            let value = value.split(|byte| byte == quote).next().unwrap_or_default();
            if before.ends_with(b"ount") && has_more_than(value, u8::is_ascii_digit, 7) {
                return Err(too_large(
                    "more than 10 million texts".to_owned(),
                    format!("{} MB", UNPACKED_BYTES_MAX / 1_000_000),
                ));
            }
            let names_cells = [&b" r"[..], b"\tr", b"\nr", b"\rr", b"ref"];
            let is_no_cell = |name: &[u8]| {
                has_more_than(name, u8::is_ascii_alphabetic, 3)
                    || has_more_than(name, u8::is_ascii_digit, 7)
            };
            if names_cells.iter().any(|name| before.ends_with(name))
                && value
                    .split(|byte| matches!(byte, b':' | b' '))
                    .any(is_no_cell)
            {
                return Err(TableError::Unreadable("a cell has no right name".into()));
            }
        }
        before = piece.trim_ascii_end();
    }
    Ok(())
}

fn has_more_than(text: &[u8], kind: fn(&u8) -> bool, most: usize) -> bool {
    text.iter().filter(|byte| kind(byte)).count() > most
}

fn xlsx_rows(bytes: &[u8], sheet: Option<&str>) -> Result<Vec<Row>, TableError> {
    let mut book = workbook(bytes)?;
    let names = book.sheet_names().to_vec();
    let wanted: Vec<String> = match sheet {
        Some(asked) if names.iter().any(|name| name == asked) => vec![asked.to_owned()],
        Some(asked) => {
            return Err(TableError::NoSuchSheet {
                asked: asked.to_owned(),
                there: names,
            });
        }
        None => names,
    };
    for name in wanted {
        let rows = sheet_rows(&mut book, &name)?;
        if !rows.is_empty() {
            return Ok(rows);
        }
    }
    Err(TableError::Empty)
}

/// The rows of a sheet that have text. Cell by cell: between two cells at the corners of a sheet
/// lie seventeen thousand million others, and a table of all of them is more than any memory holds.
fn sheet_rows(book: &mut Xlsx<Cursor<&[u8]>>, name: &str) -> Result<Vec<Row>, TableError> {
    let unreadable = |error: XlsxError| TableError::Unreadable(error.to_string());
    let mut cells = match book.worksheet_cells_reader(name) {
        Ok(cells) => cells,
        // A sheet that is a chart has no cells.
        Err(XlsxError::NotAWorksheet(_)) => return Ok(Vec::new()),
        Err(error) => return Err(unreadable(error)),
    };
    let mut rows: BTreeMap<u32, Vec<String>> = BTreeMap::new();
    while let Some(cell) = cells.next_cell().map_err(unreadable)? {
        let (row, column) = (cell.get_position().0, cell.get_position().1 as usize);
        let text = tidy(&text(&Data::from(cell.get_value().clone())));
        if text.is_empty() {
            continue;
        }
        if column >= COLUMNS_MAX * 4 {
            return Err(too_large(
                format!("{} columns", column + 1),
                format!("{COLUMNS_MAX} columns"),
            ));
        }
        let row = rows.entry(row).or_default();
        row.resize(row.len().max(column + 1), String::new());
        row[column] = text;
        if rows.len() > ROWS_MAX + 1 {
            return Err(too_large(
                format!("more than {ROWS_MAX} rows"),
                format!("{ROWS_MAX} rows"),
            ));
        }
    }
    let numbered = rows.into_iter().map(|(row, cells)| Row {
        number: row as usize + 1,
        cells,
    });
    Ok(numbered.collect())
}

fn text(cell: &Data) -> String {
    match cell {
        Data::Empty | Data::Error(_) => String::new(),
        Data::String(text) | Data::DateTimeIso(text) | Data::DurationIso(text) => text.clone(),
        // A spreadsheet stores 0.3 as 0.30000000000000004 when it was computed there.
        Data::Float(number) => round(*number).to_string(),
        Data::Int(whole) => whole.to_string(),
        Data::Bool(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        Data::DateTime(date) => date.to_string(),
    }
}

/// To twelve significant digits: fewer than a double holds, more than any spec sheet states.
fn round(number: f64) -> f64 {
    format!("{number:.11e}").parse().unwrap_or(number)
}

fn csv_rows(bytes: &[u8]) -> Result<Vec<Row>, TableError> {
    let text = decoded(bytes)?;
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter(&text))
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    for record in reader.records().take(ROWS_MAX + 2) {
        let record = record.map_err(|error| TableError::Unreadable(error.to_string()))?;
        if record.len() > COLUMNS_MAX * 4 {
            return Err(too_large(
                format!("{} columns", record.len()),
                format!("{COLUMNS_MAX} columns"),
            ));
        }
        rows.push(Row {
            number: record
                .position()
                .map_or(rows.len() + 1, |at| at.line() as usize),
            cells: record.iter().map(tidy).collect(),
        });
    }
    Ok(rows)
}

/// Spreadsheets write UTF-8 with or without a mark, UTF-16 with one, or the old code page.
fn decoded(bytes: &[u8]) -> Result<String, TableError> {
    if bytes.contains(&0) && encoding_rs::Encoding::for_bom(bytes).is_none() {
        return Err(TableError::Unreadable("it is not a text".into()));
    }
    let (text, _, had_errors) = encoding_rs::UTF_8.decode(bytes);
    if !had_errors {
        return Ok(text.into_owned());
    }
    let (text, _, _) = encoding_rs::WINDOWS_1252.decode(bytes);
    Ok(text.into_owned())
}

/// Whichever of comma, semicolon and tab stands most often in the first line with text, outside
/// quotes.
fn delimiter(text: &str) -> u8 {
    let line = text
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or_default();
    let mut in_quotes = false;
    let mut counts = [(b';', 0), (b'\t', 0), (b',', 0)];
    for byte in line.bytes() {
        if byte == b'"' {
            in_quotes = !in_quotes;
        }
        for (delimiter, count) in &mut counts {
            *count += usize::from(!in_quotes && byte == *delimiter);
        }
    }
    // The last of equals: a comma when nothing tells.
    (counts.into_iter().max_by_key(|(_, count)| *count)).map_or(b',', |(delimiter, _)| delimiter)
}

/// One line, no spaces around it, no breaking on what a web page left in it.
fn tidy(cell: &str) -> String {
    let words: Vec<&str> = cell.split_whitespace().collect();
    let text = words.join(" ");
    // The apostrophe by which a text is kept from running as a formula is not part of it.
    let text = match text.strip_prefix('\'') {
        Some(kept) if kept.starts_with(FORMULA_STARTS) => kept.to_owned(),
        _ => text,
    };
    match text.char_indices().nth(CELL_MAX) {
        Some((end, _)) => text[..end].to_owned(),
        None => text,
    }
}
