//! How far from the screen may the lens be, and how large is the picture there?
//!
//! TR = D/w
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | TR | throw ratio | 1 |
//! | D | front lens plane to screen, square to the screen | m |
//! | w | picture width | m |
//!
//! Valid for a lens whose magnification rises in proportion to the distance:
//! all but mirror optics at very short throws, for which only the maker's
//! table counts. D starts at the front of the lens unless the sheet says
//! otherwise; sheets are off by 3 to 5 % at the zoom ends (from memory), see
//! [`ThrowRange::narrowed`]. Definition, no source needed.

use std::ops::RangeInclusive;

use units::Metres;

use crate::Span;
use crate::domain::positive;

/// A lens standing before a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Throw {
    /// Front lens plane to screen, m.
    pub distance: Metres,
    /// Picture width, m.
    pub width: Metres,
}

impl Throw {
    /// Throw ratio D/w; `None` unless both lengths are above zero.
    pub fn ratio(self) -> Option<f64> {
        positive(positive(self.distance.0)? / positive(self.width.0)?)
    }
}

/// The throw ratios a lens can be set to, from its wide to its long end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThrowRange {
    short: f64,
    long: f64,
}

impl ThrowRange {
    /// A zoom range as printed, least ratio first; a fixed lens has equal
    /// ends. `None` unless 0 < least ≤ greatest.
    pub fn new(ratios: RangeInclusive<f64>) -> Option<Self> {
        let (short, long) = (positive(*ratios.start())?, positive(*ratios.end())?);
        (short <= long).then_some(Self { short, long })
    }

    /// Least ratio: the wide end, with the largest picture.
    pub fn short(self) -> f64 {
        self.short
    }

    /// Greatest ratio: the long end, with the smallest picture.
    pub fn long(self) -> f64 {
        self.long
    }

    /// The part of the range that is sure when each printed end may be off by
    /// the fraction `tolerance` (0.05 for 5 %).
    ///
    /// `None` when nothing is sure or the tolerance is not from 0 to below 1.
    pub fn narrowed(self, tolerance: f64) -> Option<Self> {
        if !(0.0..1.0).contains(&tolerance) {
            return None;
        }
        Self::new(self.short * (1.0 + tolerance)..=self.long * (1.0 - tolerance))
    }

    /// Picture widths at a lens distance: D/TR_long to D/TR_short.
    pub fn widths(self, distance: Metres) -> Option<Span> {
        let d = positive(distance.0)?;
        Some(Span {
            min: Metres(positive(d / self.long)?),
            max: Metres(positive(d / self.short)?),
        })
    }

    /// Lens distances for a picture width: w TR_short to w TR_long.
    pub fn distances(self, width: Metres) -> Option<Span> {
        let w = positive(width.0)?;
        Some(Span {
            min: Metres(positive(w * self.short)?),
            max: Metres(positive(w * self.long)?),
        })
    }

    /// How far the lens stands inside both ends of its distance range.
    pub fn margin(self, throw: Throw) -> Option<DistanceMargin> {
        positive(throw.distance.0)?;
        let Span { min, max } = self.distances(throw.width)?;
        Some(DistanceMargin {
            near: throw.distance - min,
            far: max - throw.distance,
        })
    }
}

/// Distance in hand before a zoom end is reached; negative when past it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DistanceMargin {
    /// How much nearer to the screen the lens may go, m.
    pub near: Metres,
    /// How much farther from the screen the lens may go, m.
    pub far: Metres,
}

impl DistanceMargin {
    /// The end that decides.
    pub fn least(self) -> Metres {
        Metres(self.near.0.min(self.far.0))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn margin_is_negative_past_either_end() {
        let range = ThrowRange::new(1.2..=1.6).unwrap();
        let margin = |distance_m| {
            let throw = Throw {
                distance: Metres(distance_m),
                width: Metres(2.0),
            };
            range.margin(throw).unwrap()
        };
        assert!((margin(2.5).near.0 - 0.1).abs() < 1e-12);
        assert!((margin(2.5).far.0 - 0.7).abs() < 1e-12);
        assert!((margin(2.3).least().0 + 0.1).abs() < 1e-12);
        assert!((margin(3.3).least().0 + 0.1).abs() < 1e-12);
    }

    #[test]
    fn narrowing_past_the_middle_leaves_nothing() {
        let range = ThrowRange::new(1.2..=1.3).unwrap();
        let sure = range.narrowed(0.03).unwrap();
        assert!((sure.short() - 1.236).abs() < 1e-12);
        assert!((sure.long() - 1.261).abs() < 1e-12);
        assert_eq!(range.narrowed(0.05), None);
        assert_eq!(range.narrowed(f64::NAN), None);
    }

    #[test]
    fn impossible_throws_are_refused() {
        assert_eq!(ThrowRange::new(1.6..=1.2), None);
        let range = ThrowRange::new(1.2..=1.6).unwrap();
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(ThrowRange::new(bad..=1.6), None);
            assert_eq!(ThrowRange::new(1.2..=bad), None);
            assert_eq!(range.widths(Metres(bad)), None);
            assert_eq!(range.distances(Metres(bad)), None);
            let throw = Throw {
                distance: Metres(bad),
                width: Metres(2.0),
            };
            assert_eq!(throw.ratio(), None);
            assert_eq!(range.margin(throw), None);
        }
    }

    proptest! {
        #[test]
        fn widths_and_distances_invert(d in 0.5..15.0, short in 0.3..2.0, zoom in 1.0..2.0) {
            let range = ThrowRange::new(short..=short * zoom).unwrap();
            let widths = range.widths(Metres(d)).unwrap();
            prop_assert!((range.distances(widths.max).unwrap().min.0 - d).abs() < 1e-9);
            prop_assert!((range.distances(widths.min).unwrap().max.0 - d).abs() < 1e-9);
            let throw = Throw { distance: Metres(d), width: widths.max };
            prop_assert!((throw.ratio().unwrap() - short).abs() < 1e-9);
            prop_assert!(range.margin(throw).unwrap().least().0.abs() < 1e-9);
        }
    }
}
