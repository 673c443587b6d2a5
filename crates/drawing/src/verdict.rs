//! How does a verdict look in black?

use crate::model::{Fill, Pen, Shape};
use crate::paper::{Bounds, Point, point};

/// Whether something fits, as word and shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Ring with a dot inside.
    Fits,
    /// Two bars close together.
    Tight,
    /// A square cut through by a slanted line.
    Fails,
    /// A dotted ring.
    Unknown,
}

/// Side of the square that a verdict's shape takes, mm.
pub(crate) const MARK_MM: f64 = 3.0;

impl Verdict {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Fits => "fits",
            Verdict::Tight => "tight",
            Verdict::Fails => "fails",
            Verdict::Unknown => "unknown",
        }
    }

    /// The shape, 3 mm across about `centre`.
    pub fn shapes(self, centre: Point) -> Vec<Shape> {
        let ring = |pen, radius_mm, fill| Shape::Circle {
            centre,
            radius_mm,
            pen,
            fill,
        };
        match self {
            Verdict::Fits => vec![
                ring(Pen::Mark, 1.25, Fill::Paper),
                ring(Pen::Thin, 0.45, Fill::Ink),
            ],
            Verdict::Unknown => vec![ring(Pen::MarkDotted, 1.25, Fill::Paper)],
            Verdict::Tight => [-0.55, 0.55]
                .map(|dx| Shape::line(centre + point(dx, -1.4), centre + point(dx, 1.4), Pen::Mark))
                .into(),
            Verdict::Fails => vec![
                Shape::Path {
                    points: Bounds::centred(centre, 2.1, 2.1).quad().0.to_vec(),
                    closed: true,
                    pen: Pen::Mark,
                    fill: Fill::Paper,
                },
                Shape::line(
                    centre + point(-1.5, 1.5),
                    centre + point(1.5, -1.5),
                    Pen::Mark,
                ),
            ],
        }
    }
}
