//! Do two rectangles on one wall leave room between them, and under the ceiling's line?
//!
//! Coordinates are the wall's own: distance from its left end, height above the floor.

use units::Metres;

use crate::convex::ShapeError;
use crate::{Point2, WallPoint};

/// A rectangle on a wall, its sides level and plumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Left side, distance from the wall's left end, m.
    pub left_m: f64,
    /// Right side, m.
    pub right_m: f64,
    /// Lower side above the floor, m.
    pub bottom_m: f64,
    /// Upper side above the floor, m.
    pub top_m: f64,
}

/// Which way a rectangle moves along the wall.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Shift {
    /// Towards the wall's left end.
    Left,
    /// Towards its right end.
    Right,
    /// Towards the ceiling.
    Up,
    /// Towards the floor.
    Down,
}

/// Room between two rectangles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Clear distance, or minus the least shift that would part them.
    pub signed: Metres,
    /// Overlapping: that shift of the second rectangle. Apart: the side of the
    /// first on which the second lies (the wider of two gaps).
    pub shift: Shift,
}

/// Least room under an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Headroom {
    /// Height from the rectangle's top to the outline, negative when it sticks through.
    pub signed: Metres,
    /// Where along the wall.
    pub from_left: Metres,
}

impl Rect {
    /// A rectangle with its sides in order.
    pub fn new(
        left: Metres,
        right: Metres,
        bottom: Metres,
        top: Metres,
    ) -> Result<Self, ShapeError> {
        let [left_m, right_m, bottom_m, top_m] = [left.0, right.0, bottom.0, top.0];
        if ![left_m, right_m, bottom_m, top_m]
            .iter()
            .all(|m| m.is_finite())
        {
            return Err(ShapeError::NotFinite { what: "rectangle" });
        }
        if right_m < left_m {
            return Err(ShapeError::Negative {
                what: "rectangle's width",
                size_m: right_m - left_m,
            });
        }
        if top_m < bottom_m {
            return Err(ShapeError::Negative {
                what: "rectangle's height",
                size_m: top_m - bottom_m,
            });
        }
        Ok(Self {
            left_m,
            right_m,
            bottom_m,
            top_m,
        })
    }

    /// Width, m.
    pub fn width(&self) -> Metres {
        Metres(self.right_m - self.left_m)
    }

    /// Height, m.
    pub fn height(&self) -> Metres {
        Metres(self.top_m - self.bottom_m)
    }

    /// Room between this rectangle and another: the distance of their nearest
    /// corners or sides, or minus the least shift of the other that parts them.
    pub fn gap(&self, other: &Self) -> Gap {
        let apart = [
            (other.left_m - self.right_m, Shift::Right),
            (self.left_m - other.right_m, Shift::Left),
            (other.bottom_m - self.top_m, Shift::Up),
            (self.bottom_m - other.top_m, Shift::Down),
        ];
        // The first of equals, so that ties are the same everywhere.
        let widest = |sides: &[(f64, Shift)]| {
            sides
                .iter()
                .copied()
                .reduce(|a, b| if b.0 > a.0 { b } else { a })
                .expect("not empty")
        };
        let (across, upright) = (widest(&apart[..2]), widest(&apart[2..]));
        let (gap_m, shift) = widest(&[across, upright]);
        let signed = if across.0 > 0.0 && upright.0 > 0.0 {
            Metres(across.0.hypot(upright.0))
        } else {
            Metres(gap_m)
        };
        Gap { signed, shift }
    }

    /// Least height between the rectangle's top and an outline above it, such as
    /// the ceiling's line on the wall; `None` when the outline spans no part of it.
    ///
    /// The outline runs from left to right; upright steps in it count as both heights.
    pub fn headroom(&self, outline: &[WallPoint]) -> Option<Headroom> {
        let mut least: Option<Headroom> = None;
        for piece in outline.windows(2) {
            let [a, b] = [piece[0], piece[1]];
            let (from, to) = (
                self.left_m.max(a.from_left_m),
                self.right_m.min(b.from_left_m),
            );
            if from > to {
                continue;
            }
            let run = b.from_left_m - a.from_left_m;
            let candidates = if run > 0.0 {
                let height =
                    |s: f64| a.height_m + (s - a.from_left_m) / run * (b.height_m - a.height_m);
                [(from, height(from)), (to, height(to))]
            } else {
                [(from, a.height_m), (to, b.height_m)]
            };
            for (from_left_m, height_m) in candidates {
                let signed = Metres(height_m - self.top_m);
                if least.is_none_or(|l| signed.0 < l.signed.0) {
                    least = Some(Headroom {
                        signed,
                        from_left: Metres(from_left_m),
                    });
                }
            }
        }
        least
    }

    /// The part of a polygon on the wall that lies in the rectangle; pieces of a
    /// polygon that it cuts apart stay joined by strips without area.
    pub(crate) fn clip(&self, polygon: &[Point2]) -> Vec<Point2> {
        let mut kept = polygon.to_vec();
        for side in [Shift::Left, Shift::Right, Shift::Down, Shift::Up] {
            let inside = |p: Point2| match side {
                Shift::Left => p.x - self.left_m,
                Shift::Right => self.right_m - p.x,
                Shift::Down => p.y - self.bottom_m,
                Shift::Up => self.top_m - p.y,
            };
            let mut next = Vec::with_capacity(kept.len() + 4);
            for (i, &p) in kept.iter().enumerate() {
                let q = kept[(i + 1) % kept.len()];
                let (p_in, q_in) = (inside(p), inside(q));
                if p_in >= 0.0 {
                    next.push(p);
                }
                if (p_in >= 0.0) != (q_in >= 0.0) {
                    next.push(p.towards(q, p_in / (p_in - q_in)));
                }
            }
            kept = next;
        }
        kept
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(left: f64, right: f64, bottom: f64, top: f64) -> Rect {
        Rect::new(Metres(left), Metres(right), Metres(bottom), Metres(top)).unwrap()
    }

    const fn at(from_left_m: f64, height_m: f64) -> WallPoint {
        WallPoint {
            from_left_m,
            height_m,
        }
    }

    #[test]
    fn side_by_side_leaves_the_distance_between_sides() {
        let gap = rect(0.0, 1.0, 0.0, 1.0).gap(&rect(1.25, 2.0, 0.5, 2.0));
        assert_eq!(
            gap,
            Gap {
                signed: Metres(0.25),
                shift: Shift::Right
            }
        );
        let gap = rect(0.0, 1.0, 1.0, 2.0).gap(&rect(0.2, 2.0, 0.0, 0.5));
        assert_eq!(
            gap,
            Gap {
                signed: Metres(0.5),
                shift: Shift::Down
            }
        );
    }

    #[test]
    fn corner_to_corner_leaves_the_diagonal() {
        let gap = rect(0.0, 1.0, 0.0, 1.0).gap(&rect(4.0, 5.0, 5.0, 6.0));
        assert_eq!(
            gap,
            Gap {
                signed: Metres(5.0),
                shift: Shift::Up
            }
        );
    }

    #[test]
    fn overlap_is_the_least_shift_that_parts_them() {
        let a = rect(0.0, 1.0, 0.0, 1.0);
        let mut b = rect(0.9, 2.0, 0.25, 0.8);
        let Gap { signed, shift } = a.gap(&b);
        assert!((signed.0 + 0.1).abs() < 1e-12);
        assert_eq!(shift, Shift::Right);
        b.left_m += 0.1;
        b.right_m += 0.1;
        assert!(a.gap(&b).signed.0.abs() < 1e-12);
        // One inside the other: out through the nearest side.
        assert_eq!(
            rect(0.0, 4.0, 0.0, 4.0)
                .gap(&rect(1.0, 2.0, 0.5, 1.5))
                .shift,
            Shift::Down
        );
    }

    #[test]
    fn gap_is_the_same_both_ways_with_the_shift_reversed() {
        let (a, b) = (rect(0.0, 1.3, 0.2, 1.0), rect(0.8, 2.0, 0.9, 1.6));
        let (there, back) = (a.gap(&b), b.gap(&a));
        assert_eq!(there.signed, back.signed);
        assert_eq!((there.shift, back.shift), (Shift::Up, Shift::Down));
    }

    #[test]
    fn headroom_under_a_slope_is_least_at_the_low_end() {
        let slope = [at(0.0, 2.0), at(2.0, 3.0), at(4.0, 2.0)];
        let head = rect(0.5, 1.5, 1.0, 2.0).headroom(&slope).unwrap();
        assert_eq!(
            head,
            Headroom {
                signed: Metres(0.25),
                from_left: Metres(0.5)
            }
        );
        let head = rect(1.0, 3.5, 1.0, 2.5).headroom(&slope).unwrap();
        assert_eq!(
            head,
            Headroom {
                signed: Metres(-0.25),
                from_left: Metres(3.5)
            }
        );
        assert_eq!(rect(4.5, 5.0, 0.0, 1.0).headroom(&slope), None);
    }

    #[test]
    fn headroom_under_a_soffit_is_the_soffit() {
        let step = [at(0.0, 2.0), at(1.0, 2.0), at(1.0, 2.6), at(4.0, 2.6)];
        let least = |r: Rect| r.headroom(&step).unwrap().signed.0;
        assert!((least(rect(0.5, 2.0, 0.0, 1.9)) - 0.1).abs() < 1e-12);
        assert!((least(rect(1.1, 2.0, 0.0, 1.9)) - 0.7).abs() < 1e-12);
    }

    #[test]
    fn rectangles_inside_out_are_refused() {
        assert!(Rect::new(Metres(1.0), Metres(0.0), Metres(0.0), Metres(1.0)).is_err());
        assert!(Rect::new(Metres(0.0), Metres(1.0), Metres(2.0), Metres(1.0)).is_err());
        assert!(Rect::new(Metres(0.0), Metres(f64::NAN), Metres(0.0), Metres(1.0)).is_err());
    }
}
