//! How far does a passive copper video lead go at a rate?

use std::sync::OnceLock;

use units::{BitsPerSecond, Metres};

use units::guard::positive;
use units::table::{number, rows};

/// Reach of passive copper up to one rate (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CopperReach {
    /// Up to this link rate.
    pub rate_max: BitsPerSecond,
    /// Usually trusted to here.
    pub sure: Metres,
    /// Met by some leads to here.
    pub far: Metres,
}

/// What a length comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Within what is usually trusted.
    Fits,
    /// Some leads do it: prove it on the bench, or go active.
    Tight,
    /// Beyond: an active lead, an extender or fibre, and a pipe to change it later.
    Fails,
}

/// Every row of the table, by rate.
pub fn copper_reaches() -> &'static [CopperReach] {
    static TABLE: OnceLock<Vec<CopperReach>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let reach = |row: Vec<&'static str>| CopperReach {
            rate_max: BitsPerSecond(number(row[0]) * 1e9),
            sure: Metres(number(row[1])),
            far: Metres(number(row[2])),
        };
        rows(include_str!("video-copper.csv")).map(reach).collect()
    })
}

/// The row for this link rate from a table ascending by rate; `None` above its last rate.
pub fn copper_reach(rate: BitsPerSecond, table: &[CopperReach]) -> Option<CopperReach> {
    positive(rate.0)?;
    table.iter().find(|row| rate <= row.rate_max).copied()
}

impl CopperReach {
    /// Whether a lead of this length is within reach.
    pub fn of(&self, length: Metres) -> Option<Reach> {
        let length = Metres(positive(length.0)?);
        Some(if length <= self.sure {
            Reach::Fits
        } else if length <= self.far {
            Reach::Tight
        } else {
            Reach::Fails
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reach(gbit: f64, length_m: f64) -> Option<Reach> {
        copper_reach(BitsPerSecond(gbit * 1e9), copper_reaches())?.of(Metres(length_m))
    }

    #[test]
    fn length_and_rate_decide() {
        assert_eq!(reach(17.82, 5.0), Some(Reach::Fits));
        assert_eq!(reach(17.82, 6.0), Some(Reach::Tight));
        assert_eq!(reach(17.82, 8.0), Some(Reach::Fails));
        assert_eq!(reach(48.0, 3.0), Some(Reach::Fits));
        assert_eq!(reach(48.0, 3.5), Some(Reach::Fails));
        assert_eq!(reach(4.455, 12.0), Some(Reach::Tight));
        assert_eq!(reach(80.0, 1.0), None);
        assert_eq!(reach(18.0, f64::NAN), None);
    }

    #[test]
    fn a_faster_link_never_reaches_farther() {
        for pair in copper_reaches().windows(2) {
            assert!(pair[0].rate_max < pair[1].rate_max);
            assert!(pair[0].sure >= pair[1].sure && pair[0].far >= pair[1].far);
        }
        assert!(copper_reaches().iter().all(|row| row.sure <= row.far));
    }
}
