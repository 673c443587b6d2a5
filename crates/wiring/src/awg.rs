//! How thick is a wire of a given American gauge?
//!
//! ASTM B258: `d = 0.127 · 92^((36 − n)/39)` mm, `A = π d²/4`.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | d | diameter of the solid conductor | mm |
//! | n | gauge number; 0 is 1/0, −3 is 4/0 | 1 |
//! | A | area of the conductor | mm² |

use units::{Metres, SquareMetres};

use units::guard::positive;

/// A gauge from 4/0 (−3) to 40.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Awg(i32);

impl Awg {
    /// The gauge with this number; 0 is 1/0, −1 is 2/0, −3 is 4/0. Outside −3 to 40: `None`.
    pub fn new(number: i32) -> Option<Self> {
        (-3..=40).contains(&number).then_some(Self(number))
    }

    /// The gauge number.
    pub fn number(self) -> i32 {
        self.0
    }

    /// Diameter of the solid conductor (ASTM B258).
    pub fn diameter(self) -> Metres {
        let n = f64::from(self.0);
        Metres(0.127e-3 * 92_f64.powf((36.0 - n) / 39.0))
    }

    /// Area of the solid conductor; a stranded one of the same gauge has the same metal area.
    pub fn area(self) -> SquareMetres {
        let d = self.diameter().0;
        SquareMetres(std::f64::consts::PI * d * d / 4.0)
    }

    /// Area in circular mils, the square of the diameter in thousandths of an inch.
    pub fn area_circular_mils(self) -> f64 {
        (self.diameter().inches() * 1000.0).powi(2)
    }

    /// The thinnest gauge with at least this area; `None` above 4/0 or for a bad area.
    pub fn at_least(area: SquareMetres) -> Option<Self> {
        let wanted = positive(area.0)?;
        // A hair of tolerance lets the printed area of a gauge find that gauge.
        (-3..=40)
            .rev()
            .map(Self)
            .find(|gauge| gauge.area().0 >= wanted * (1.0 - 1e-9))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::table::{number, rows};

    #[test]
    fn formula_gives_the_printed_table() {
        let mut seen = 0;
        for row in rows(include_str!("awg.csv")) {
            let gauge = Awg::new(row[0].parse().unwrap()).unwrap();
            // Half of the last printed digit of each column.
            assert!(
                (gauge.diameter().0 * 1e3 - number(row[1])).abs() <= 0.51e-4,
                "{row:?}"
            );
            assert!(
                (gauge.diameter().inches() - number(row[2])).abs() <= 0.51e-5,
                "{row:?}"
            );
            assert!(
                (gauge.area().0 * 1e6 - number(row[3])).abs() <= 0.51e-4,
                "{row:?}"
            );
            assert!(
                (gauge.area_circular_mils() - number(row[4])).abs() <= 0.051,
                "{row:?}"
            );
            seen += 1;
        }
        assert_eq!(seen, 19);
    }

    #[test]
    fn four_aught_is_460_mils_and_36_is_5_mils() {
        // ASTM B258 defines the series by these two.
        assert!((Awg::new(-3).unwrap().diameter().inches() - 0.46).abs() < 1e-9);
        assert!((Awg::new(36).unwrap().diameter().inches() - 0.005).abs() < 1e-12);
    }

    #[test]
    fn at_least_finds_the_thinnest_that_serves() {
        assert_eq!(Awg::at_least(SquareMetres(1.5e-6)), Awg::new(15));
        assert_eq!(Awg::at_least(Awg::new(14).unwrap().area()), Awg::new(14));
        assert_eq!(Awg::at_least(SquareMetres(200e-6)), None);
        assert_eq!(Awg::at_least(SquareMetres(f64::NAN)), None);
        assert_eq!(Awg::new(41), None);
        assert_eq!(Awg::new(-4), None);
    }
}
