//! Spec-sheet tables turned into kit entries, and back.
//!
//! A shop keeps its spec sheets in tables. [`Table::read`] takes one as CSV or XLSX,
//! [`guess`] says which column holds which fact in which unit, a person corrects that, and
//! [`import`] turns rows into catalogue entries: a row that does not read is rejected with
//! the cell, the reason and what would be accepted, and costs no other row anything.
//! [`csv`] and [`xlsx`] write entries so that reading them back gives the same entries.
//! Everything is bytes in, values out.

mod cell;
mod export;
mod fact;
mod guess;
mod import;
mod table;
#[cfg(test)]
mod tests;

pub use export::{csv, table_csv, table_xlsx, xlsx};
pub use fact::{Fact, Sort, facts, kinds};
pub use guess::guess;
pub use import::{Column, Entry, Imported, Rejected, import};
pub use table::{Row, Table, TableError};
