//! How much light does a zoom setting cost?
//!
//! k = (F_w/F)²
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | k | light at the setting over light at the wide end | 1 |
//! | F_w, F | f-number at the wide end and at the setting | 1 |
//!
//! Valid when the source fills the lens at both settings; many projectors do
//! not fill it at the wide end, so a lux reading wins. Definition of the
//! f-number; a loss of 20 to 40 % at the long end is usual (from memory).

use crate::domain::positive;

/// The f-numbers of a lens at its wide end and as set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FNumbers {
    /// F_w, at the wide end.
    pub wide: f64,
    /// F, at the zoom setting; at the long end the greatest.
    pub set: f64,
}

impl FNumbers {
    /// k, the light left. `None` unless 0 < F_w ≤ F.
    pub fn light(self) -> Option<f64> {
        let ratio = positive(self.wide)? / positive(self.set)?;
        positive(ratio * ratio).filter(|k| *k <= 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_end_loses_nothing() {
        let wide = FNumbers {
            wide: 2.0,
            set: 2.0,
        };
        assert_eq!(wide.light(), Some(1.0));
    }

    #[test]
    fn impossible_f_numbers_are_refused() {
        for bad in [0.0, -2.0, 1.9, f64::NAN, f64::INFINITY] {
            let numbers = FNumbers {
                wide: 2.0,
                set: bad,
            };
            assert_eq!(numbers.light(), None);
        }
    }
}
