//! Which mounting pattern has a display, and what mass is it made for?

use std::sync::OnceLock;

use units::{Kilograms, Metres};

use units::guard::positive;
use units::table::{number, rows};

/// One pattern of the VESA flat display mounting interface. Masses and patterns of MIS-B to
/// MIS-E confirmed on encyclopedic pages, the rest from memory.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pattern {
    /// Part and pattern.
    pub part: &'static str,
    /// Across.
    pub width: Metres,
    /// Up.
    pub height: Metres,
    /// Thread of the screws.
    pub screw: &'static str,
    /// Largest mass of the display.
    pub mass_max: Kilograms,
}

/// Every pattern of the table, by size.
pub fn patterns() -> &'static [Pattern] {
    static TABLE: OnceLock<Vec<Pattern>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let pattern = |row: Vec<&'static str>| Pattern {
            part: row[0],
            width: Metres(number(row[1]) * 1e-3),
            height: Metres(number(row[2]) * 1e-3),
            screw: row[3],
            mass_max: Kilograms(number(row[4])),
        };
        rows(include_str!("vesa-patterns.csv"))
            .map(pattern)
            .collect()
    })
}

/// Distances between the holes of a display.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HolePattern {
    /// Across.
    pub width: Metres,
    /// Up.
    pub height: Metres,
}

/// The pattern with these hole distances within 1 mm; `None` when the table lacks it, which a
/// display with an uncommon grid may well do.
pub fn pattern(holes: HolePattern) -> Option<&'static Pattern> {
    let same = |a: Metres, b: Metres| (a.0 - b.0).abs() <= 1e-3;
    patterns()
        .iter()
        .find(|p| same(p.width, holes.width) && same(p.height, holes.height))
}

impl Pattern {
    /// Largest mass less this one; negative is too heavy for the pattern.
    pub fn mass_left(&self, mass: Kilograms) -> Option<Kilograms> {
        Some(self.mass_max - Kilograms(positive(mass.0)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(width_mm: f64, height_mm: f64) -> Option<&'static Pattern> {
        pattern(HolePattern {
            width: Metres(width_mm * 1e-3),
            height: Metres(height_mm * 1e-3),
        })
    }

    #[test]
    fn patterns_by_their_holes() {
        assert_eq!(patterns().len(), 10);
        assert_eq!(of(100.0, 100.0).unwrap().mass_max, Kilograms(14.0));
        assert_eq!(of(600.0, 400.0).unwrap().screw, "M8");
        assert_eq!(of(410.0, 400.0), None);
    }

    #[test]
    fn mass_on_both_sides_of_the_limit() {
        let small = of(200.0, 100.0).unwrap();
        assert!(small.mass_left(Kilograms(22.0)).unwrap().0 > 0.0);
        assert!(small.mass_left(Kilograms(23.0)).unwrap().0 < 0.0);
        assert_eq!(small.mass_left(Kilograms(f64::NAN)), None);
    }
}
