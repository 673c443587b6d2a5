//! May this hole or notch be made in a stud, joist or plate, and does it want a nail plate?
//!
//! Margins are signed lengths: zero or more is allowed. The limits are those
//! of sawn timber; an engineered joist or a truss takes only what its maker's
//! sheet allows, and no number here speaks for it. Drilling into a wall can
//! meet mains, pipes and gas: find them first.

use units::Metres;

use units::guard::{non_negative, positive};

/// Whether a stud carries load from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bearing {
    /// Carries load: outside walls and walls under joists or other walls.
    Bearing,
    /// Carries only itself.
    NonBearing,
}

/// Limits for holes and notches in studs, as parts of the depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StudLimits {
    /// Hole diameter over depth, bearing.
    pub hole_bearing: f64,
    /// Hole diameter over depth, non-bearing (or doubled bearing studs, at most two in a row).
    pub hole_non_bearing: f64,
    /// Notch depth over depth, bearing.
    pub notch_bearing: f64,
    /// Notch depth over depth, non-bearing.
    pub notch_non_bearing: f64,
    /// Least wood from the edge of a hole to the edge of the stud.
    pub edge_min: Metres,
}

impl StudLimits {
    /// 40 %, 60 %, 25 %, 40 %, 5/8 in.
    pub const IRC: Self = Self {
        hole_bearing: 0.40,
        hole_non_bearing: 0.60,
        notch_bearing: 0.25,
        notch_non_bearing: 0.40,
        edge_min: Metres(0.625 * 0.0254),
    };
    /// Where the limits of `IRC` stand.
    pub const CITE: &str = "IRC R602.6 (confirmed: text in WAC 296-150C-1000)";

    /// Largest hole in a stud of this depth, by its share of the depth and by the wood left
    /// at both edges when centred; `None` when no hole at all is left.
    pub fn hole_max(&self, depth: Metres, bearing: Bearing) -> Option<Metres> {
        let d = positive(depth.0)?;
        let share = match bearing {
            Bearing::Bearing => self.hole_bearing,
            Bearing::NonBearing => self.hole_non_bearing,
        };
        positive((share * d).min(d - 2.0 * self.edge_min.0)).map(Metres)
    }

    /// Deepest notch in a stud of this depth.
    pub fn notch_max(&self, depth: Metres, bearing: Bearing) -> Option<Metres> {
        let share = match bearing {
            Bearing::Bearing => self.notch_bearing,
            Bearing::NonBearing => self.notch_non_bearing,
        };
        Some(Metres(share * positive(depth.0)?))
    }
}

/// A hole bored through a stud.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StudHole {
    /// Depth of the stud, from face board to face board.
    pub depth: Metres,
    /// Diameter of the hole.
    pub diameter: Metres,
    /// From the nearer face of the stud to the centre of the hole.
    pub centre: Metres,
    /// Load on the stud.
    pub bearing: Bearing,
}

/// Margins of a hole, each positive when allowed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleMargins {
    /// Largest diameter less this one.
    pub size: Metres,
    /// Wood at the nearer edge less the least wood.
    pub edge: Metres,
}

impl StudHole {
    /// Wood left between the hole and the nearer face.
    pub fn edge_distance(&self) -> Option<Metres> {
        let (depth, d) = (positive(self.depth.0)?, positive(self.diameter.0)?);
        let c = non_negative(self.centre.0)?;
        (c <= depth).then_some(Metres(c.min(depth - c) - d / 2.0))
    }

    /// Margins against the limits.
    pub fn margins(&self, limits: &StudLimits) -> Option<HoleMargins> {
        let edge = self.edge_distance()?;
        let largest = limits
            .hole_max(self.depth, self.bearing)
            .unwrap_or(Metres(0.0));
        Some(HoleMargins {
            size: largest - self.diameter,
            edge: edge - limits.edge_min,
        })
    }
}

/// The hole that several round cables share: as much wider than their areas together as a hole for
/// one is wider than it, D = k √(Σ d²).
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | D | diameter of the hole | m |
/// | d | diameter of a cable | m |
/// | k | hole over cable where one goes through alone, at least √2 | 1 |
///
/// Disks whose areas together are at most half of a disk's area always find room in it (Fekete,
/// Keldenich and Scheffer 2019, "Packing disks into disks with optimal worst-case density", from
/// memory), so from k = √2 on the cables go through whatever their sizes. `None` for a smaller k,
/// without cables, and for a diameter that is not above zero.
pub fn shared_hole(diameters: &[Metres], k: f64) -> Option<Metres> {
    if diameters.is_empty() || k.is_nan() || k < std::f64::consts::SQRT_2 {
        return None;
    }
    let squares = diameters.iter().map(|d| Some(positive(d.0)?.powi(2)));
    let sum: f64 = squares.sum::<Option<f64>>()?;
    Some(Metres(k * sum.sqrt()))
}

/// Least wood in front of a cable hole without a nail plate: 1 1/4 in.
pub const NAIL_PLATE_EDGE_MIN: Metres = Metres(1.25 * 0.0254);
/// Least thickness of a steel nail plate: 1/16 in.
pub const NAIL_PLATE_THICKNESS_MIN: Metres = Metres(0.0625 * 0.0254);
/// Where the nail-plate rule stands.
pub const NAIL_PLATE_CITE: &str = "NEC 300.4(A)(1) (confirmed in a public copy of NEC 2023)";

/// Wood in front of the hole less the least wood: below zero the hole wants a nail plate.
pub fn nail_plate_margin(edge_distance: Metres, edge_min: Metres) -> Option<Metres> {
    let margin = edge_distance - edge_min;
    // A hole drawn exactly at the limit must not fail by the last bit of a float.
    let snapped = if margin.0.abs() < 1e-12 {
        0.0
    } else {
        margin.0
    };
    snapped.is_finite().then_some(Metres(snapped))
}

/// Limits for holes and notches in sawn joists.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JoistLimits {
    /// Hole diameter over depth.
    pub hole: f64,
    /// Least wood to top, bottom, another hole or a notch.
    pub edge_min: Metres,
    /// Notch depth over depth, outside the middle third of the span.
    pub notch: f64,
    /// Notch depth over depth at the ends, over the support.
    pub notch_end: f64,
}

impl JoistLimits {
    /// D/3, 2 in, D/6, D/4.
    pub const IRC: Self = Self {
        hole: 1.0 / 3.0,
        edge_min: Metres(2.0 * 0.0254),
        notch: 1.0 / 6.0,
        notch_end: 0.25,
    };
    /// Where the limits of `IRC` stand.
    pub const CITE: &str = "IRC R502.8 (confirmed on public pages)";

    /// Largest hole in a joist of this depth: by share, and by the wood left above and below
    /// when centred; `None` when no hole is left.
    pub fn hole_max(&self, depth: Metres) -> Option<Metres> {
        let d = positive(depth.0)?;
        positive((self.hole * d).min(d - 2.0 * self.edge_min.0)).map(Metres)
    }

    /// Deepest notch at a place along the joist; 0 in the middle third of the span.
    pub fn notch_max(&self, depth: Metres, place: NotchPlace) -> Option<Metres> {
        let share = match place {
            NotchPlace::End => self.notch_end,
            NotchPlace::OuterThird => self.notch,
            NotchPlace::MiddleThird => 0.0,
        };
        Some(Metres(share * positive(depth.0)?))
    }
}

/// A hole bored through a joist.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JoistHole {
    /// Depth of the joist.
    pub depth: Metres,
    /// Diameter of the hole.
    pub diameter: Metres,
    /// From the top of the joist to the centre of the hole.
    pub centre: Metres,
    /// Wood to the nearest other hole or notch, if there is one.
    pub neighbour: Option<Metres>,
}

impl JoistHole {
    /// Margins against the limits; the edge margin is the least of top, bottom and neighbour.
    pub fn margins(&self, limits: &JoistLimits) -> Option<HoleMargins> {
        let (depth, d) = (positive(self.depth.0)?, positive(self.diameter.0)?);
        let c = non_negative(self.centre.0)?;
        if c > depth {
            return None;
        }
        let mut wood = c.min(depth - c) - d / 2.0;
        if let Some(neighbour) = self.neighbour {
            wood = wood.min(non_negative(neighbour.0)?);
        }
        let largest = limits.hole_max(self.depth).unwrap_or(Metres(0.0));
        Some(HoleMargins {
            size: largest - self.diameter,
            edge: Metres(wood) - limits.edge_min,
        })
    }
}

/// Where along a joist a notch sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotchPlace {
    /// Over the support.
    End,
    /// In the first or last third of the span.
    OuterThird,
    /// In the middle third, where none is allowed.
    MiddleThird,
}

/// Largest part of a top plate's width that may be cut without a strap.
pub const TOP_PLATE_CUT_MAX: f64 = 0.50;
/// Where the top-plate rule stands, with the strap it asks for.
pub const TOP_PLATE_CITE: &str = "IRC R602.6.1 (confirmed on a public page): beyond 50 %, a strap 0.054 in x 1 1/2 in, eight nails each side (10d, from memory)";

/// Cut allowed without a strap less the cut; below zero the plate wants a strap.
pub fn top_plate_margin(plate: TopPlate, cut_max: f64) -> Option<Metres> {
    Some(Metres(
        positive(plate.width.0)? * positive(cut_max)? - non_negative(plate.cut.0)?,
    ))
}

/// A top plate with a hole or notch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TopPlate {
    /// Width of the plate.
    pub width: Metres,
    /// Width taken by the hole or notch.
    pub cut: Metres,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::section::packed;

    fn inches(x: f64) -> Metres {
        Metres::from_inches(x)
    }

    #[test]
    fn stud_hole_margins_on_both_sides_of_the_limit() {
        let hole = StudHole {
            depth: inches(3.5),
            diameter: inches(1.375),
            centre: inches(1.75),
            bearing: Bearing::Bearing,
        };
        let fits = hole.margins(&StudLimits::IRC).unwrap();
        assert!((fits.size.inches() - 0.025).abs() < 1e-9);
        assert!((fits.edge.inches() - 0.4375).abs() < 1e-9);
        let large = StudHole {
            diameter: inches(1.5),
            ..hole
        }
        .margins(&StudLimits::IRC)
        .unwrap();
        assert!(large.size.0 < 0.0);
        let off = StudHole {
            centre: inches(1.2),
            ..hole
        }
        .margins(&StudLimits::IRC)
        .unwrap();
        assert!(off.edge.0 < 0.0);
        assert_eq!(
            StudHole {
                centre: inches(4.0),
                ..hole
            }
            .margins(&StudLimits::IRC),
            None
        );
    }

    #[test]
    fn edges_rule_in_shallow_studs_and_joists() {
        // 60 % of 2 1/2 in would be 1.5 in, which leaves less than 5/8 in at each edge.
        let stud = StudLimits::IRC
            .hole_max(inches(2.5), Bearing::NonBearing)
            .unwrap();
        assert!((stud.inches() - 1.25).abs() < 1e-9);
        // A third of 5 1/2 in would be 1.83 in; 2 in above and below leave 1.5 in.
        assert!((JoistLimits::IRC.hole_max(inches(5.5)).unwrap().inches() - 1.5).abs() < 1e-9);
        assert_eq!(JoistLimits::IRC.hole_max(inches(3.5)), None);
    }

    #[test]
    fn joist_notch_by_place() {
        let notch = |place| {
            JoistLimits::IRC
                .notch_max(inches(9.0), place)
                .unwrap()
                .inches()
        };
        assert!((notch(NotchPlace::End) - 2.25).abs() < 1e-9);
        assert!((notch(NotchPlace::OuterThird) - 1.5).abs() < 1e-9);
        assert_eq!(notch(NotchPlace::MiddleThird), 0.0);
    }

    #[test]
    fn joist_hole_keeps_away_from_its_neighbour() {
        let hole = JoistHole {
            depth: inches(9.25),
            diameter: inches(1.0),
            centre: inches(4.0),
            neighbour: None,
        };
        assert!(hole.margins(&JoistLimits::IRC).unwrap().edge.0 > 0.0);
        let close = JoistHole {
            neighbour: Some(inches(1.5)),
            ..hole
        };
        assert!((close.margins(&JoistLimits::IRC).unwrap().edge.inches() + 0.5).abs() < 1e-9);
        let high = JoistHole {
            centre: inches(2.0),
            ..hole
        };
        assert!((high.margins(&JoistLimits::IRC).unwrap().edge.inches() + 0.5).abs() < 1e-9);
    }

    #[test]
    fn nail_plate_at_the_limit_is_not_wanted() {
        assert_eq!(
            nail_plate_margin(inches(1.25), NAIL_PLATE_EDGE_MIN),
            Some(Metres(0.0))
        );
        assert!(
            nail_plate_margin(inches(1.2), NAIL_PLATE_EDGE_MIN)
                .unwrap()
                .0
                < 0.0
        );
        assert_eq!(
            nail_plate_margin(Metres(f64::NAN), NAIL_PLATE_EDGE_MIN),
            None
        );
    }

    #[test]
    fn top_plate_strap_beyond_half() {
        let plate = TopPlate {
            width: inches(3.5),
            cut: inches(2.0),
        };
        assert!(top_plate_margin(plate, TOP_PLATE_CUT_MAX).unwrap().0 < 0.0);
        let small = TopPlate {
            cut: inches(1.5),
            ..plate
        };
        assert!(top_plate_margin(small, TOP_PLATE_CUT_MAX).unwrap().0 > 0.0);
    }

    #[test]
    fn a_shared_hole_takes_its_cables_whatever_their_sizes() {
        // One alone has the room it was given; four alike share twice that.
        assert_eq!(shared_hole(&[Metres(0.01)], 1.5), Some(Metres(0.015)));
        let four = shared_hole(&[Metres(0.01); 4], 1.5).unwrap();
        assert!((four.0 - 0.03).abs() < 1e-15);
        // Two alike of k = √2 touch both sides: 2 d, the worst case there is.
        let two = shared_hole(&[Metres(0.01); 2], std::f64::consts::SQRT_2).unwrap();
        assert!((two.0 - 0.02).abs() < 1e-15);
        assert_eq!(shared_hole(&[Metres(0.01)], 1.2), None);
        assert_eq!(shared_hole(&[], 1.5), None);
        assert_eq!(shared_hole(&[Metres(0.01), Metres(0.0)], 1.5), None);
        // Sizes in odd proportions, packed by search.
        for seed in 0..60_u32 {
            let count = 1 + seed % 9;
            let size = |at: u32| f64::from(2 + (seed * 7 + at * at * 5) % 11) * 1e-3;
            let cables: Vec<Metres> = (0..count).map(|at| Metres(size(at))).collect();
            let hole = shared_hole(&cables, 1.5).unwrap();
            assert!(packed(hole, &cables).is_some(), "{cables:?} in {hole:?}");
        }
    }
}
