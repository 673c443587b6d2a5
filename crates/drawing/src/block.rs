//! How is a label set: its lines, its verdict's shape, or its number in a ring?

use crate::canvas::Canvas;
use crate::font::{LETTERING_MM, text_width, wrap};
use crate::model::{Anchor, CAPITALS, Element, Fill, LEADING, Pen, Role, Shape, Text};
use crate::paper::{Bounds, Point, point};
use crate::verdict::{MARK_MM, Verdict};

/// Lines of a label with the verdict's shape before the first.
pub(crate) struct Block {
    pub lines: Vec<String>,
    pub verdict: Option<Verdict>,
    pub ring: bool,
}

const LINE_MM: f64 = LETTERING_MM * LEADING;
pub(crate) const MARK_GAP_MM: f64 = 0.9;
const RING_MM: f64 = 2.9;
/// Words side by side need more room than lines above one another, or they read as one text.
pub(crate) const WORDS_APART: Point = point(1.2, 0.4);
impl Block {
    pub fn indent(&self) -> f64 {
        if self.verdict.is_some() {
            MARK_MM + MARK_GAP_MM
        } else {
            0.0
        }
    }

    pub fn apart(&self) -> Point {
        if self.ring {
            point(0.3, 0.3)
        } else {
            WORDS_APART
        }
    }

    fn ring_radius(&self) -> f64 {
        RING_MM.max(text_width(&self.lines[0], LETTERING_MM, false) / 2.0 + 0.8)
    }

    pub fn size(&self) -> (f64, f64) {
        if self.ring {
            return (
                2.0 * self.ring_radius() + self.indent(),
                2.0 * self.ring_radius(),
            );
        }
        let width = self
            .lines
            .iter()
            .map(|l| text_width(l, LETTERING_MM, false))
            .fold(0.0, f64::max);
        (
            width + self.indent(),
            LETTERING_MM + (self.lines.len() as f64 - 1.0) * LINE_MM,
        )
    }

    pub fn put(&self, canvas: &mut Canvas, at: Bounds) {
        let first_middle = if self.ring {
            at.centre().y
        } else {
            at.min.y + (0.76 - CAPITALS / 2.0) * LETTERING_MM
        };
        let mut shapes = Vec::new();
        if let Some(verdict) = self.verdict {
            shapes.extend(verdict.shapes(point(at.min.x + MARK_MM / 2.0, first_middle)));
        }
        if self.ring {
            let centre = point(at.max.x - self.ring_radius(), first_middle);
            // The ring belongs to its own figure, so it is reserved after the figure and by its box only.
            shapes.push(Shape::Circle {
                centre,
                radius_mm: self.ring_radius(),
                pen: Pen::Seen,
                fill: Fill::Paper,
            });
            canvas.write(Text::new(
                centre + point(0.0, CAPITALS * LETTERING_MM / 2.0),
                Anchor::Middle,
                self.lines[0].clone(),
            ));
        } else {
            for (i, line) in self.lines.iter().enumerate() {
                let base = at.min.y + 0.76 * LETTERING_MM + i as f64 * LINE_MM;
                canvas.write(Text::new(
                    point(at.min.x + self.indent(), base),
                    Anchor::Start,
                    line.clone(),
                ));
            }
        }
        if !shapes.is_empty() {
            let about = self.verdict.map_or(String::new(), |v| v.word().to_string());
            canvas.add(Element {
                id: String::new(),
                about,
                role: Role::Sign,
                shapes,
            });
        }
    }
}

/// The same number of lines, as even as can be.
pub(crate) fn evened(words: &str, lines: Vec<String>, width_mm: f64) -> Vec<String> {
    let narrower = (1..10).rev().map(|tenth| {
        wrap(
            words,
            LETTERING_MM,
            false,
            width_mm * f64::from(tenth) / 10.0,
        )
    });
    let count = lines.len();
    // A line that starts or ends where the wider wrap did not cut a word must not cut one either.
    let whole = |l: &[String]| l.join(" ") == lines.join(" ");
    narrower
        .take_while(|l| l.len() == count && whole(l))
        .last()
        .unwrap_or_else(|| lines.clone())
}
