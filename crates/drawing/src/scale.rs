//! Which scale does a drawing take, and how is it shown?

use crate::canvas::Canvas;
use crate::model::{Anchor, Element, Fill, Pen, Role, Shape, Text};
use crate::paper::point;

/// How many millimetres of the house one millimetre of paper stands for; 0 for what has no scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Scale(pub u32);

impl Scale {
    /// Millimetres of paper for a length in the house.
    pub fn paper_mm(self, length_m: f64) -> f64 {
        length_m * 1000.0 / f64::from(self.0)
    }
}

impl std::fmt::Display for Scale {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.0 {
            0 => write!(f, "not to scale"),
            times => write!(f, "1 : {times}"),
        }
    }
}

/// Which scales a drawing may take, and in which unit its scale bar counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scales {
    /// 1 : 10, 20, 25, 50, 75, 100 and, for what is larger than a house, 200 and 500: the faces of a metric scale rule.
    Metric,
    /// 1 : 12, 16, 24, 32, 48, 64, 96 (1 in, 3/4 in, 1/2 in, 3/8 in, 1/4 in, 3/16 in, 1/8 in to the foot: the faces of
    /// an architect's scale rule) and 192, 384.
    Imperial,
}

impl Scales {
    /// From the largest picture to the smallest.
    pub fn list(self) -> &'static [Scale] {
        match self {
            Scales::Metric => &[
                Scale(10),
                Scale(20),
                Scale(25),
                Scale(50),
                Scale(75),
                Scale(100),
                Scale(200),
                Scale(500),
            ],
            Scales::Imperial => &[
                Scale(12),
                Scale(16),
                Scale(24),
                Scale(32),
                Scale(48),
                Scale(64),
                Scale(96),
                Scale(192),
                Scale(384),
            ],
        }
    }
}

/// Room for one drawing on a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// Which scales are allowed.
    pub scales: Scales,
    /// The smallest picture that is worth drawing; `None` goes down to the last of the scales.
    pub smallest: Option<Scale>,
}

const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;

/// Draws the scale bar with its left end at `(x, y)`; four equal parts, filled by turns.
pub(crate) fn scale_bar(canvas: &mut Canvas, scale: Scale, scales: Scales, x: f64, y: f64) {
    let (whole_m, unit, unit_m) = match scales {
        // Drawings near their true size, 40 to 50 mm of paper: a foot is too long for them.
        Scales::Metric if scale.0 < 10 => (f64::from(scale.0) * 0.04, "mm", 0.001),
        Scales::Imperial if scale.0 < 6 => (f64::from(scale.0) * 2.0 * INCH_M, "in", INCH_M),
        // 40 to 50 mm of paper, in a round number of metres.
        Scales::Metric => (
            if scale.0.is_multiple_of(25) {
                f64::from(scale.0) / 25.0
            } else {
                f64::from(scale.0) / 20.0
            },
            "m",
            1.0,
        ),
        // 2 in of paper, or 2 1/4 in where that makes a round number of feet.
        Scales::Imperial => {
            let feet = if scale.0.is_multiple_of(12) {
                f64::from(scale.0) / 6.0
            } else {
                f64::from(scale.0) * 3.0 / 16.0
            };
            (feet * FOOT_M, "ft", FOOT_M)
        }
    };
    let parts = 4;
    let part_m = whole_m / f64::from(parts);
    let height = 1.2;
    let part_mm = scale.paper_mm(part_m);
    let mut shapes = Vec::new();
    for i in 0..parts {
        let (from, to) = (x + part_mm * f64::from(i), x + part_mm * f64::from(i + 1));
        let points = vec![
            point(from, y),
            point(to, y),
            point(to, y + height),
            point(from, y + height),
        ];
        let fill = if i % 2 == 0 { Fill::Ink } else { Fill::Paper };
        shapes.push(Shape::Path {
            points,
            closed: true,
            pen: Pen::Thin,
            fill,
        });
    }
    canvas.add(Element {
        id: String::new(),
        about: format!("Scale bar, {scale}"),
        role: Role::Sign,
        shapes,
    });
    for i in [0, 2, 4] {
        let figure = trimmed(part_m * f64::from(i) / unit_m);
        let words = if i == 4 {
            format!("{figure} {unit}")
        } else {
            figure
        };
        canvas.write(Text::new(
            point(x + part_mm * f64::from(i), y - 1.0),
            Anchor::Middle,
            words,
        ));
    }
    canvas.write(Text::new(
        point(x + part_mm * f64::from(parts) + 9.0, y + height),
        Anchor::Start,
        scale.to_string(),
    ));
}

fn trimmed(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_metre_at_one_to_twenty_is_fifty_millimetres() {
        assert_eq!(Scale(20).paper_mm(1.0), 50.0);
    }

    #[test]
    fn a_foot_at_one_to_forty_eight_is_a_quarter_inch() {
        assert!((Scale(48).paper_mm(0.3048) - 25.4 / 4.0).abs() < 1e-12);
    }
}
