//! What does a light quantity come to when nobody has measured it?
//!
//! Ranges from handbooks, recalled (`typicals.csv`): they stand in until a
//! reading on site, which always wins.

use units::table::{number, rows};

use crate::Mark;

/// A range of values met in practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Typical {
    /// What it is about.
    pub quantity: &'static str,
    /// Low end of the range, in `unit`.
    pub low: f64,
    /// Usual value, in `unit`.
    pub typical: f64,
    /// High end of the range, in `unit`.
    pub high: f64,
    /// Unit of the three numbers, `1` for a ratio.
    pub unit: &'static str,
}

/// How well the table is backed.
pub const MARK: Mark = Mark::FromMemory;

/// All ranges, in the order of the table.
pub fn typicals() -> impl Iterator<Item = Typical> {
    rows(include_str!("typicals.csv")).map(|row| Typical {
        quantity: row[0],
        low: number(row[1]),
        typical: number(row[2]),
        high: number(row[3]),
        unit: row[4],
    })
}

/// The range of one quantity by its name in the table.
pub fn typical(quantity: &str) -> Option<Typical> {
    typicals().find(|row| row.quantity == quantity)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_an_ordered_range() {
        assert_eq!(typicals().count(), 28);
        for row in typicals() {
            assert!(0.0 <= row.low && row.low <= row.typical, "{row:?}");
            assert!(row.typical <= row.high && row.high.is_finite(), "{row:?}");
            assert!(["1", "lx", "lm/W", "cd/m2"].contains(&row.unit), "{row:?}");
        }
    }

    #[test]
    fn names_are_unique_and_found() {
        for row in typicals() {
            assert_eq!(typical(row.quantity), Some(row));
        }
        assert_eq!(typical("moonlight"), None);
    }
}
