//! What does a tilted projector make of its rectangle?
//!
//! edge ratio = (1 + v tan p)/(1 − v tan p), v = h/2D = 1/(2 a TR)
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | p | tilt of the axis from square to the screen | rad |
//! | v | tangent of half the vertical beam angle | 1 |
//! | a | aspect of the chip | 1 |
//! | TR | throw ratio | 1 |
//!
//! A chip point (x, y), in tangents from the axis, lands on a screen one unit
//! away at X = x/(cos p − y sin p), Y = (sin p + y cos p)/(cos p − y sin p):
//! the rectangle becomes a symmetric trapezoid. Point lens, no shift, tilt
//! about one axis. Correcting it in the chip costs light and rows: shun it.

use units::Radians;

use crate::Aspect;
use crate::domain::{finite, positive};

/// A projector tilted up or down before an upright screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tilted {
    /// Tilt of the axis, either way.
    pub tilt: Radians,
    /// Throw ratio of the lens as set; above zero.
    pub throw_ratio: f64,
    /// Aspect of the chip, and of the corrected picture.
    pub aspect: Aspect,
}

/// The trapezoid that a tilted projector throws, and what correcting costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Keystone {
    /// Long horizontal edge over short one, from 1.
    pub edge_ratio: f64,
    /// Part of the chip left when corrected to a rectangle on the short edge
    /// and as wide.
    pub chip_on_short_edge: f64,
    /// Part of the chip left under the largest rectangle in the trapezoid,
    /// which meets the long edge.
    pub chip_under_largest: f64,
}

impl Tilted {
    /// The trapezoid and its costs. `None` when the far edge of the beam no
    /// longer meets the screen, or a number is out of range.
    pub fn keystone(self) -> Option<Keystone> {
        // Up and down differ only by a reflection.
        let p = finite(self.tilt.0)?.abs();
        let a = self.aspect.ratio();
        let half_width = positive(0.5 / positive(self.throw_ratio)?)?;
        let v = half_width / a;
        if p + v.atan() >= std::f64::consts::FRAC_PI_2 {
            return None;
        }
        let (sin, cos) = p.sin_cos();
        let width_at = |y: f64| 2.0 * half_width / (cos - y * sin);
        let (short, long) = (width_at(-v), width_at(v));
        let (bottom, top) = ((p - v.atan()).tan(), (p + v.atan()).tan());
        let y_on_chip = |height: f64| (height.atan() - p).tan();

        // ∫ width·(cos p − y sin p) dy from y0 to y1, over the chip's area:
        // what a rectangle of one screen width covers of the chip.
        let chip_part = |width: f64, y0: f64, y1: f64| {
            let covered = width * (cos * (y1 - y0) - sin * (y1 * y1 - y0 * y0) / 2.0);
            covered / (4.0 * half_width * v)
        };
        // The sides are straight, so the width grows by k per unit of height
        // and a rectangle of aspect a under the top edge has
        // width = long − k width/a.
        let k = (long - short) / (top - bottom);
        let largest = long / (1.0 + k / a);

        Some(Keystone {
            edge_ratio: positive(long / short)?,
            chip_on_short_edge: positive(chip_part(short, -v, y_on_chip(bottom + short / a)))?,
            chip_under_largest: positive(chip_part(largest, y_on_chip(top - largest / a), v))?,
        })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn tilted(tilt_deg: f64, throw_ratio: f64) -> Tilted {
        Tilted {
            tilt: Radians::from_degrees(tilt_deg),
            throw_ratio,
            aspect: Aspect::TELEVISION,
        }
    }

    #[test]
    fn square_projector_keeps_its_chip() {
        let keystone = tilted(0.0, 1.5).keystone().unwrap();
        assert!((keystone.edge_ratio - 1.0).abs() < 1e-12);
        assert!((keystone.chip_on_short_edge - 1.0).abs() < 1e-12);
        assert!((keystone.chip_under_largest - 1.0).abs() < 1e-12);
    }

    #[test]
    fn impossible_tilts_are_refused() {
        assert_eq!(tilted(89.0, 1.5).keystone(), None);
        assert_eq!(tilted(f64::NAN, 1.5).keystone(), None);
        for bad in [0.0, -1.5, f64::NAN, f64::INFINITY] {
            assert_eq!(tilted(10.0, bad).keystone(), None);
        }
    }

    proptest! {
        #[test]
        fn edge_ratio_is_the_printed_formula(tilt in 0.0..40.0, tr in 0.6..3.0) {
            let v_tan_p = 9.0 / (32.0 * tr) * f64::to_radians(tilt).tan();
            let ratio = tilted(tilt, tr).keystone().unwrap().edge_ratio;
            prop_assert!((ratio - (1.0 + v_tan_p) / (1.0 - v_tan_p)).abs() < 1e-9);
        }

        #[test]
        fn tilting_down_costs_what_tilting_up_costs(tilt in 0.0..40.0, tr in 0.6..3.0) {
            prop_assert_eq!(tilted(tilt, tr).keystone(), tilted(-tilt, tr).keystone());
        }

        #[test]
        fn more_tilt_costs_more(tilt in 0.1..39.0, tr in 0.6..3.0) {
            let less = tilted(tilt, tr).keystone().unwrap();
            let more = tilted(tilt + 1.0, tr).keystone().unwrap();
            prop_assert!(more.edge_ratio > less.edge_ratio);
            prop_assert!(more.chip_on_short_edge < less.chip_on_short_edge);
            prop_assert!(more.chip_under_largest < less.chip_under_largest);
        }
    }
}
