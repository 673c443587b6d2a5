//! How large is the picture, with and without its frame?

use units::{Metres, SquareMetres};

use crate::domain::{non_negative, positive};

/// Width over height of a picture or chip: above zero and finite.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Aspect(f64);

impl Aspect {
    /// 16:9, the television picture.
    pub const TELEVISION: Self = Self(16.0 / 9.0);
    /// 2.39:1, the wide film picture.
    pub const SCOPE: Self = Self(2.39);
    /// 4:3, the old television picture.
    pub const CLASSIC: Self = Self(4.0 / 3.0);

    /// An aspect given as width over height; `None` unless above zero.
    pub fn new(width_over_height: f64) -> Option<Self> {
        positive(width_over_height).map(Self)
    }

    /// Width over height.
    pub fn ratio(self) -> f64 {
        self.0
    }
}

/// The size of a flat picture; both sides are above zero and finite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureSize {
    width: Metres,
    height: Metres,
}

/// Two sides as they come from a tape or a spec sheet, unchecked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sides {
    /// Horizontal side, m.
    pub width: Metres,
    /// Vertical side, m.
    pub height: Metres,
}

impl PictureSize {
    /// A picture of two measured sides; `None` unless both are above zero.
    pub fn from_sides(sides: Sides) -> Option<Self> {
        positive(sides.width.0)?;
        positive(sides.height.0)?;
        Some(Self {
            width: sides.width,
            height: sides.height,
        })
    }

    /// A picture of a given diagonal; `None` unless it is above zero.
    ///
    /// h = d/√(1+a²), w = a h: d diagonal m, a aspect, w and h sides m.
    /// Exact for a flat rectangle.
    pub fn from_diagonal(diagonal: Metres, aspect: Aspect) -> Option<Self> {
        Self::from_height(Metres(diagonal.0 / 1f64.hypot(aspect.0)), aspect)
    }

    /// A picture of a given width; `None` unless it is above zero.
    pub fn from_width(width: Metres, aspect: Aspect) -> Option<Self> {
        let height = Metres(width.0 / aspect.0);
        Self::from_sides(Sides { width, height })
    }

    /// A picture of a given height; `None` unless it is above zero.
    pub fn from_height(height: Metres, aspect: Aspect) -> Option<Self> {
        let width = Metres(height.0 * aspect.0);
        Self::from_sides(Sides { width, height })
    }

    /// Horizontal side, m.
    pub fn width(self) -> Metres {
        self.width
    }

    /// Vertical side, m.
    pub fn height(self) -> Metres {
        self.height
    }

    /// Corner to corner, m.
    pub fn diagonal(self) -> Metres {
        Metres(self.width.0.hypot(self.height.0))
    }

    /// Width times height, m².
    pub fn area(self) -> SquareMetres {
        SquareMetres(self.width.0 * self.height.0)
    }

    /// Width over height.
    pub fn aspect(self) -> f64 {
        self.width.0 / self.height.0
    }

    /// Size over the frame: W = w + left + right, H = h + top + bottom.
    ///
    /// `None` when a border is negative or not finite. Case, brackets and the
    /// drop of a roller screen come on top: add them as borders.
    pub fn with_frame(self, frame: Frame) -> Option<Self> {
        for border in [frame.left, frame.right, frame.top, frame.bottom] {
            non_negative(border.0)?;
        }
        Self::from_sides(Sides {
            width: self.width + frame.left + frame.right,
            height: self.height + frame.top + frame.bottom,
        })
    }
}

/// The visible borders round a picture, seen from the seats.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Frame {
    /// Left border, m.
    pub left: Metres,
    /// Right border, m.
    pub right: Metres,
    /// Upper border, m.
    pub top: Metres,
    /// Lower border, m.
    pub bottom: Metres,
}

impl Frame {
    /// The same border on all four sides.
    pub fn even(border: Metres) -> Self {
        Self {
            left: border,
            right: border,
            top: border,
            bottom: border,
        }
    }
}

/// A picture of one aspect shown by a chip of another, without an anamorphic
/// lens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Letterbox {
    /// The projector's chip.
    pub chip: Aspect,
    /// The picture on the screen.
    pub picture: Aspect,
}

/// The part of a chip that makes the picture, each from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LitChip {
    /// Lit columns over all columns.
    pub columns: f64,
    /// Lit rows over all rows.
    pub rows: f64,
}

impl LitChip {
    /// Lit area over chip area: also the part of the lumens that reaches the
    /// picture.
    pub fn area(self) -> f64 {
        self.columns * self.rows
    }
}

impl Letterbox {
    /// The lit part of the chip when the picture touches two of its edges.
    ///
    /// A wider picture lights a_chip/a_picture of the rows, a narrower one
    /// a_picture/a_chip of the columns.
    pub fn lit(self) -> LitChip {
        let (chip, picture) = (self.chip.0, self.picture.0);
        LitChip {
            columns: (picture / chip).min(1.0),
            rows: (chip / picture).min(1.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn scope_on_a_television_chip_lights_74_percent_of_the_rows() {
        let letterbox = Letterbox {
            chip: Aspect::TELEVISION,
            picture: Aspect::SCOPE,
        };
        let lit = letterbox.lit();
        assert_eq!(lit.columns, 1.0);
        // 16/9/2.39 printed to three digits.
        assert!((lit.rows - 0.744).abs() < 0.0005);
        assert_eq!(lit.area(), lit.rows);
    }

    #[test]
    fn classic_on_a_television_chip_lights_three_quarters_of_the_columns() {
        let letterbox = Letterbox {
            chip: Aspect::TELEVISION,
            picture: Aspect::CLASSIC,
        };
        let lit = letterbox.lit();
        assert_eq!(lit.rows, 1.0);
        assert!((lit.columns - 0.75).abs() < 1e-12);
    }

    #[test]
    fn impossible_sizes_are_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Aspect::new(bad), None);
            for aspect in [Aspect::TELEVISION, Aspect::SCOPE] {
                assert_eq!(PictureSize::from_diagonal(Metres(bad), aspect), None);
                assert_eq!(PictureSize::from_width(Metres(bad), aspect), None);
                assert_eq!(PictureSize::from_height(Metres(bad), aspect), None);
            }
        }
        let picture = PictureSize::from_width(Metres(2.0), Aspect::TELEVISION).unwrap();
        assert_eq!(picture.with_frame(Frame::even(Metres(-0.01))), None);
        assert_eq!(picture.with_frame(Frame::even(Metres(f64::NAN))), None);
    }

    proptest! {
        #[test]
        fn diagonal_width_and_height_describe_one_picture(d in 0.1..20.0, a in 0.3..4.0) {
            let aspect = Aspect::new(a).unwrap();
            let picture = PictureSize::from_diagonal(Metres(d), aspect).unwrap();
            prop_assert!((picture.diagonal().0 - d).abs() < 1e-9);
            prop_assert!((picture.aspect() - a).abs() < 1e-9);
            for same in [
                PictureSize::from_width(picture.width(), aspect),
                PictureSize::from_height(picture.height(), aspect),
            ] {
                prop_assert!((same.unwrap().diagonal().0 - d).abs() < 1e-9);
            }
        }

        #[test]
        fn lit_chip_has_the_aspect_of_the_picture(chip in 0.5..3.0, picture in 0.5..3.0) {
            let letterbox = Letterbox {
                chip: Aspect::new(chip).unwrap(),
                picture: Aspect::new(picture).unwrap(),
            };
            let lit = letterbox.lit();
            prop_assert!((lit.columns * chip / lit.rows - picture).abs() < 1e-9);
        }
    }
}
