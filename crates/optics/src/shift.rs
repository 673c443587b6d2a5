//! How much lens shift does a lens place need, and can the lens give it?
//!
//! s = (y_centre − y_lens)/h, and the same across with w
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | s | shift, positive for a picture above (right of) the lens | 1 |
//! | y | height, or place across to the right as seen from the seats | m |
//! | h, w | picture height, width | m |
//!
//! Valid with the optical axis square to the screen. Joint limits, with u and
//! v the shifts in use and U and V the limits of either alone:
//! rectangle max(|u|/U, |v|/V) ≤ 1; diamond |u|/U + |v|/V ≤ 1; ellipse
//! (u/U)² + (v/V)² ≤ 1; or any curve read off the maker's chart, see [`Curve`].
//! Which one holds is printed in that chart; the diamond lies inside the
//! rectangle and the ellipse, so take it when the chart is missing.

use units::Metres;

use crate::domain::{finite, non_negative};
use crate::{PictureSize, Span};

mod curve;

pub use curve::Curve;

/// A lens shift in full picture heights and widths.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shift {
    /// Picture centre above the lens axis, in picture heights.
    pub vertical: f64,
    /// Picture centre right of the lens axis, in picture widths.
    pub horizontal: f64,
}

/// Where the picture's centre stands from the lens, seen from the seats.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CentreOffset {
    /// Picture centre above the lens, m.
    pub up: Metres,
    /// Picture centre right of the lens, m.
    pub right: Metres,
}

/// The shift that puts a picture's centre at an offset from the lens.
/// `None` when the offset is not finite.
pub fn needed_shift(picture: PictureSize, offset: CentreOffset) -> Option<Shift> {
    Some(Shift {
        vertical: finite(offset.up.0 / picture.height().0)?,
        horizontal: finite(offset.right.0 / picture.width().0)?,
    })
}

/// The three ways in which sheets print a shift along one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Convention {
    /// Share of the full picture: 0.5 (50 %) puts the axis on the edge.
    FullPicture,
    /// Share of half the picture: 1.0 (100 %) puts the axis on the edge.
    HalfPicture,
    /// Lens axis to the far edge over the full picture: 1.0 (100 %) puts the
    /// axis on the near edge, 0.5 on the centre. States no direction.
    FarEdge,
}

/// A shift of full picture heights or widths as a sheet would print it,
/// as a fraction (1.0 for 100 %). `None` when not finite.
///
/// Full s; half 2s; far edge |s| + 0.5.
pub fn printed_from_shift(shift: f64, convention: Convention) -> Option<f64> {
    finite(match convention {
        Convention::FullPicture => shift,
        Convention::HalfPicture => 2.0 * shift,
        Convention::FarEdge => shift.abs() + 0.5,
    })
}

/// The shift in full picture heights or widths behind a printed fraction.
///
/// A far-edge figure has no direction: the answer is its size, not below
/// zero, and `None` below 0.5. `None` when not finite.
pub fn shift_from_printed(printed: f64, convention: Convention) -> Option<f64> {
    match convention {
        Convention::FullPicture => finite(printed),
        Convention::HalfPicture => finite(printed / 2.0),
        Convention::FarEdge => non_negative(printed - 0.5),
    }
}

/// How the limits of both axes act together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JointLimit {
    /// Either axis is free of the other.
    Rectangle,
    /// The used fractions may sum to 1.
    Diamond,
    /// The squares of the used fractions may sum to 1.
    Ellipse,
    /// The used fractions lie within a curve read off the maker's chart.
    Curve(Curve),
}

impl JointLimit {
    /// The joint fraction of two non-negative fractions.
    fn norm(self, u: f64, v: f64) -> f64 {
        match self {
            Self::Rectangle => u.max(v),
            Self::Diamond => u + v,
            Self::Ellipse => u.hypot(v),
            Self::Curve(curve) => curve.norm(u, v),
        }
    }

    /// The greatest fraction of one axis when the other uses `u`, 0 ≤ u ≤ 1.
    fn rest_of_norm(self, u: f64) -> f64 {
        match self {
            Self::Rectangle => 1.0,
            Self::Diamond => 1.0 - u,
            Self::Ellipse => (1.0 - u * u).sqrt(),
            Self::Curve(curve) => curve.rest(u),
        }
    }

    /// The same with the axes exchanged.
    fn rest_of_norm_across(self, v: f64) -> f64 {
        match self {
            Self::Curve(curve) => curve.exchanged().rest(v),
            other => other.rest_of_norm(v),
        }
    }

    /// Fractions (u, v) along the limit in the first quarter, from (1, 0) to (0, 1).
    /// An ellipse is cut into `pieces` chords, which lie inside it.
    fn quarter(self, pieces: u32) -> Vec<[f64; 2]> {
        match self {
            Self::Rectangle => vec![[1.0, 0.0], [1.0, 1.0], [0.0, 1.0]],
            Self::Diamond => vec![[1.0, 0.0], [0.0, 1.0]],
            Self::Ellipse => (0..=pieces.max(1))
                .map(|piece| {
                    let part = f64::from(piece) / f64::from(pieces.max(1));
                    let (sine, cosine) = (part * std::f64::consts::FRAC_PI_2).sin_cos();
                    [cosine, sine]
                })
                .collect(),
            Self::Curve(curve) => curve.points().to_vec(),
        }
    }
}

/// How far a lens can be shifted, in full picture heights and widths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShiftTravel {
    /// Travel of the picture upwards from rest, in picture heights.
    pub up: f64,
    /// Travel downwards.
    pub down: f64,
    /// Travel to the left as seen from the seats, in picture widths.
    pub left: f64,
    /// Travel to the right.
    pub right: f64,
    /// Where the picture stands with the lens at rest: zero, or the built-in
    /// offset of a lens whose picture rises above its axis.
    pub rest: Shift,
}

impl ShiftTravel {
    /// The same travel both ways, about a rest in the centre.
    pub fn symmetric(travel: Shift) -> Self {
        Self {
            up: travel.vertical,
            down: travel.vertical,
            left: travel.horizontal,
            right: travel.horizontal,
            rest: Shift::default(),
        }
    }
}

/// The shifts a lens can give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShiftLimit {
    travel: ShiftTravel,
    joint: JointLimit,
}

/// The least and greatest shift along one axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShiftSpan {
    /// Least shift.
    pub min: f64,
    /// Greatest shift.
    pub max: f64,
}

impl ShiftLimit {
    /// A limit from the travel on the sheet. `None` when a travel is negative
    /// or a number is not finite. Zero travel is a lens fixed on that axis.
    pub fn new(travel: ShiftTravel, joint: JointLimit) -> Option<Self> {
        for way in [travel.up, travel.down, travel.left, travel.right] {
            non_negative(way)?;
        }
        finite(travel.rest.vertical)?;
        finite(travel.rest.horizontal)?;
        Some(Self { travel, joint })
    }

    /// The part of the limit that a shift uses: at or below 1 it can be set.
    ///
    /// `f64::INFINITY` when a shift is asked of an axis that has no travel
    /// that way; `None` when the shift is not finite.
    pub fn used(self, shift: Shift) -> Option<f64> {
        Some(self.joint.norm(
            self.used_horizontal(finite(shift.horizontal)?),
            self.used_vertical(finite(shift.vertical)?),
        ))
    }

    /// The vertical shifts that can be set at a horizontal shift. `None` when
    /// that one is itself out of reach or not finite.
    pub fn vertical_span(self, horizontal: f64) -> Option<ShiftSpan> {
        let used = self.used_horizontal(finite(horizontal)?);
        let ShiftTravel { up, down, rest, .. } = self.travel;
        (used <= 1.0).then(|| {
            let rest_of_norm = self.joint.rest_of_norm(used);
            ShiftSpan {
                min: rest.vertical - down * rest_of_norm,
                max: rest.vertical + up * rest_of_norm,
            }
        })
    }

    /// The horizontal shifts that can be set at a vertical shift. `None` when
    /// that one is itself out of reach or not finite.
    pub fn horizontal_span(self, vertical: f64) -> Option<ShiftSpan> {
        let used = self.used_vertical(finite(vertical)?);
        let ShiftTravel {
            left, right, rest, ..
        } = self.travel;
        (used <= 1.0).then(|| {
            let rest_of_norm = self.joint.rest_of_norm_across(used);
            ShiftSpan {
                min: rest.horizontal - left * rest_of_norm,
                max: rest.horizontal + right * rest_of_norm,
            }
        })
    }

    /// The outline of the shifts that can be set, anticlockwise with horizontal to
    /// the right and vertical up: exact but for an ellipse, which is cut into
    /// 4 × `pieces` chords that lie inside it.
    pub fn outline(self, pieces: u32) -> Vec<Shift> {
        let ShiftTravel {
            up,
            down,
            left,
            right,
            rest,
        } = self.travel;
        let quarter = self.joint.quarter(pieces);
        let forth = || quarter.iter().copied();
        let back = || quarter.iter().rev().copied();
        let corner = |across: f64, along: f64| {
            move |[u, v]: [f64; 2]| Shift {
                horizontal: rest.horizontal + across * u,
                vertical: rest.vertical + along * v,
            }
        };
        let mut outline: Vec<Shift> = (forth().map(corner(right, up)))
            .chain(back().map(corner(-left, up)))
            .chain(forth().map(corner(-left, -down)))
            .chain(back().map(corner(right, -down)))
            .collect();
        // The ends of neighbouring quarters are one point, to rounding.
        let is_one = |a: &Shift, b: &Shift| {
            (a.horizontal - b.horizontal).abs() < 1e-12 && (a.vertical - b.vertical).abs() < 1e-12
        };
        outline.dedup_by(|a, b| is_one(a, b));
        if outline.len() > 1 && is_one(&outline[0], &outline[outline.len() - 1]) {
            outline.pop();
        }
        outline
    }

    /// Where the lens may hang, as heights above the picture's centre, when
    /// it stands `lens_right` of that centre seen from the seats.
    ///
    /// `None` when no height will do or the place is not finite.
    pub fn lens_heights(self, picture: PictureSize, lens_right: Metres) -> Option<Span> {
        // A lens to the right needs a picture shifted to the left.
        let shifts = self.vertical_span(-lens_right.0 / picture.width().0)?;
        let h = picture.height().0;
        Some(Span {
            min: Metres(-shifts.max * h),
            max: Metres(-shifts.min * h),
        })
    }

    /// Where the lens may hang, as distances right of the picture's centre,
    /// when it stands `lens_up` above that centre.
    ///
    /// `None` when no place will do or the height is not finite.
    pub fn lens_places_right(self, picture: PictureSize, lens_up: Metres) -> Option<Span> {
        let shifts = self.horizontal_span(-lens_up.0 / picture.height().0)?;
        let w = picture.width().0;
        Some(Span {
            min: Metres(-shifts.max * w),
            max: Metres(-shifts.min * w),
        })
    }

    fn used_vertical(self, vertical: f64) -> f64 {
        let ShiftTravel { up, down, rest, .. } = self.travel;
        fraction_used(vertical - rest.vertical, down, up)
    }

    fn used_horizontal(self, horizontal: f64) -> f64 {
        let ShiftTravel {
            left, right, rest, ..
        } = self.travel;
        fraction_used(horizontal - rest.horizontal, left, right)
    }
}

/// Part of the travel used by a way from rest; zero over zero is nothing used.
fn fraction_used(way: f64, travel_negative: f64, travel_positive: f64) -> f64 {
    let travel = if way < 0.0 {
        travel_negative
    } else {
        travel_positive
    };
    if way == 0.0 { 0.0 } else { way.abs() / travel }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::Aspect;

    fn joints() -> [JointLimit; 4] {
        let chart = [[1.0, 0.0], [0.8, 0.5], [0.3, 0.95], [0.0, 1.0]];
        [
            JointLimit::Rectangle,
            JointLimit::Diamond,
            JointLimit::Ellipse,
            JointLimit::Curve(Curve::new(&chart).unwrap()),
        ]
    }

    fn limit(vertical: f64, horizontal: f64, joint: JointLimit) -> ShiftLimit {
        let travel = ShiftTravel::symmetric(Shift {
            vertical,
            horizontal,
        });
        ShiftLimit::new(travel, joint).unwrap()
    }

    #[test]
    fn fixed_offset_lens_reaches_its_own_offset_alone() {
        let rest = Shift {
            vertical: 0.58,
            horizontal: 0.0,
        };
        let travel = ShiftTravel {
            rest,
            ..ShiftTravel::symmetric(Shift::default())
        };
        let fixed = ShiftLimit::new(travel, JointLimit::Diamond).unwrap();
        assert_eq!(fixed.used(rest), Some(0.0));
        assert_eq!(fixed.used(Shift::default()), Some(f64::INFINITY));
        let only = ShiftSpan {
            min: 0.58,
            max: 0.58,
        };
        assert_eq!(fixed.vertical_span(0.0), Some(only));
        assert_eq!(fixed.vertical_span(0.01), None);
    }

    #[test]
    fn unequal_travel_is_taken_on_its_own_side() {
        let travel = ShiftTravel {
            down: 0.1,
            ..ShiftTravel::symmetric(Shift {
                vertical: 0.6,
                horizontal: 0.2,
            })
        };
        let limit = ShiftLimit::new(travel, JointLimit::Rectangle).unwrap();
        let used = |vertical| {
            let shift = Shift {
                vertical,
                horizontal: 0.0,
            };
            limit.used(shift).unwrap()
        };
        assert!((used(0.3) - 0.5).abs() < 1e-12);
        assert!((used(-0.3) - 3.0).abs() < 1e-12);
    }

    #[test]
    fn lens_above_the_picture_hangs_where_downward_shift_allows() {
        let picture = PictureSize::from_height(Metres(1.2), Aspect::TELEVISION).unwrap();
        let heights = limit(0.6, 0.25, JointLimit::Diamond)
            .lens_heights(picture, Metres(0.0))
            .unwrap();
        assert!((heights.max.0 - 0.72).abs() < 1e-12);
        assert!((heights.min.0 + 0.72).abs() < 1e-12);
    }

    #[test]
    fn impossible_shifts_are_refused() {
        for bad in [f64::NAN, f64::INFINITY] {
            for convention in [
                Convention::FullPicture,
                Convention::HalfPicture,
                Convention::FarEdge,
            ] {
                assert_eq!(printed_from_shift(bad, convention), None);
                assert_eq!(shift_from_printed(bad, convention), None);
            }
            let limit = limit(0.6, 0.2, JointLimit::Ellipse);
            assert_eq!(limit.vertical_span(bad), None);
            assert_eq!(limit.horizontal_span(bad), None);
        }
        assert_eq!(shift_from_printed(0.4, Convention::FarEdge), None);
        let negative = ShiftTravel::symmetric(Shift {
            vertical: -0.1,
            horizontal: 0.2,
        });
        assert_eq!(ShiftLimit::new(negative, JointLimit::Diamond), None);
    }

    #[test]
    fn outline_of_a_diamond_is_its_four_ends() {
        let travel = ShiftTravel {
            down: 0.1,
            ..ShiftTravel::symmetric(Shift {
                vertical: 0.6,
                horizontal: 0.2,
            })
        };
        let outline = ShiftLimit::new(travel, JointLimit::Diamond)
            .unwrap()
            .outline(8);
        let ends: Vec<[f64; 2]> = (outline.iter())
            .map(|shift| [shift.horizontal, shift.vertical])
            .collect();
        assert_eq!(ends, [[0.2, 0.0], [0.0, 0.6], [-0.2, 0.0], [0.0, -0.1]]);
    }

    proptest! {
        #[test]
        fn every_point_of_the_outline_uses_the_whole_limit(vertical in 0.05..1.0, horizontal in 0.05..1.0) {
            for joint in joints() {
                let limit = limit(vertical, horizontal, joint);
                for shift in limit.outline(6) {
                    prop_assert!((limit.used(shift).unwrap() - 1.0).abs() < 1e-9);
                }
            }
        }

        #[test]
        fn conventions_convert_back(s in -3.0..3.0) {
            for convention in [Convention::FullPicture, Convention::HalfPicture] {
                let printed = printed_from_shift(s, convention).unwrap();
                prop_assert!((shift_from_printed(printed, convention).unwrap() - s).abs() < 1e-12);
            }
            let printed = printed_from_shift(s, Convention::FarEdge).unwrap();
            let back = shift_from_printed(printed, Convention::FarEdge).unwrap();
            prop_assert!((back - s.abs()).abs() < 1e-12);
        }

        #[test]
        fn span_ends_use_the_whole_limit(vertical in 0.05..1.0, horizontal in 0.05..1.0, part in -0.99..0.99) {
            for joint in joints() {
                let limit = limit(vertical, horizontal, joint);
                let across = part * horizontal;
                let span = limit.vertical_span(across).unwrap();
                for end in [span.min, span.max] {
                    let used = limit.used(Shift { vertical: end, horizontal: across }).unwrap();
                    prop_assert!((used - 1.0).abs() < 1e-9);
                }
                let up = part * vertical;
                let span = limit.horizontal_span(up).unwrap();
                for end in [span.min, span.max] {
                    let used = limit.used(Shift { vertical: up, horizontal: end }).unwrap();
                    prop_assert!((used - 1.0).abs() < 1e-9);
                }
            }
        }

        #[test]
        fn mirrored_shift_uses_as_much(v in -1.0..1.0, u in -1.0..1.0) {
            for joint in joints() {
                let limit = limit(0.6, 0.25, joint);
                let used = limit.used(Shift { vertical: v, horizontal: u });
                prop_assert_eq!(used, limit.used(Shift { vertical: v, horizontal: -u }));
                prop_assert_eq!(used, limit.used(Shift { vertical: -v, horizontal: u }));
            }
        }

        #[test]
        fn diamond_is_the_strictest(v in -1.0..1.0, u in -1.0..1.0) {
            let shift = Shift { vertical: v, horizontal: u };
            let used = |joint| limit(0.6, 0.25, joint).used(shift).unwrap();
            prop_assert!(used(JointLimit::Diamond) >= used(JointLimit::Ellipse) - 1e-12);
            prop_assert!(used(JointLimit::Ellipse) >= used(JointLimit::Rectangle) - 1e-12);
        }

        #[test]
        fn lens_places_agree_with_the_needed_shift(right in -0.4..0.4) {
            let picture = PictureSize::from_width(Metres(2.2), Aspect::TELEVISION).unwrap();
            let limit = limit(0.6, 0.25, JointLimit::Diamond);
            let heights = limit.lens_heights(picture, Metres(right)).unwrap();
            let offset = CentreOffset { up: -heights.max, right: Metres(-right) };
            let used = limit.used(needed_shift(picture, offset).unwrap()).unwrap();
            prop_assert!((used - 1.0).abs() < 1e-9);
            let places = limit.lens_places_right(picture, heights.max).unwrap();
            prop_assert!((places.max.0 - right.abs()).abs() < 1e-9);
        }
    }
}
