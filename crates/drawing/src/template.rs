//! A cut-out at its true size, to be taped to the wall.
//!
//! What is larger than the paper is drawn in parts, each with the middle lines of the whole, so
//! that they can be joined over them.

use crate::canvas::Canvas;
use crate::model::{Anchor, Drawing, Element, Pen, Role, Shape, Text};
use crate::paper::point;
use crate::scale::{Area, Scale};

/// A cut-out.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// The drawing's title.
    pub title: String,
    /// Width, m.
    pub width_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// Round rather than square: width and height are its diameter.
    pub round: bool,
    /// Written in its middle.
    pub words: Vec<String>,
}

/// Kept free round a template for its middle lines, title and scale bar, mm.
const AROUND_MM: [f64; 2] = [20.0, 36.0];
/// Parts that a template is drawn in at most, each way.
const PARTS_MAX: usize = 4;

/// The template's parts at 1:1; none where more than sixteen would be needed.
pub fn template(template: &Template, area: Area) -> Vec<Drawing> {
    let whole = [template.width_m * 1e3, template.height_m * 1e3];
    let room = [area.width_mm - AROUND_MM[0], area.height_mm - AROUND_MM[1]];
    let counts = [0, 1].map(|axis| (whole[axis] / room[axis]).ceil().max(1.0) as usize);
    if !whole.iter().all(|size| size.is_finite() && *size > 0.0)
        || counts.iter().any(|count| *count > PARTS_MAX)
    {
        return Vec::new();
    }
    let [across, down] = counts;
    let mut drawings = Vec::new();
    for row in 0..down {
        for column in 0..across {
            let part = [0, 1].map(|axis| {
                let (index, count) = [(column, across), (row, down)][axis];
                let step = whole[axis] / count as f64;
                [index as f64 * step, (index + 1) as f64 * step]
            });
            let mut canvas = Canvas::default();
            draw_part(&mut canvas, template, whole, part);
            let title = match across * down {
                1 => template.title.clone(),
                of => format!(
                    "{}, part {} of {of}",
                    template.title,
                    row * across + column + 1
                ),
            };
            drawings.push(canvas.finish(&title, Scale(1), area));
        }
    }
    drawings
}

/// The part of the whole between these, mm from its upper left corner.
fn draw_part(
    canvas: &mut Canvas,
    template: &Template,
    whole: [f64; 2],
    [[left, right], [top, bottom]]: [[f64; 2]; 2],
) {
    let middle = [whole[0] / 2.0, whole[1] / 2.0];
    let mut shapes = Vec::new();
    if template.round {
        shapes.extend(round_part(middle, [[left, right], [top, bottom]]));
    } else {
        let sides = [
            (left == 0.0, point(left, top), point(left, bottom)),
            (
                right >= whole[0] - 1e-9,
                point(right, top),
                point(right, bottom),
            ),
            (top == 0.0, point(left, top), point(right, top)),
            (
                bottom >= whole[1] - 1e-9,
                point(left, bottom),
                point(right, bottom),
            ),
        ];
        let cut = sides.into_iter().filter(|(is_edge, ..)| *is_edge);
        shapes.extend(cut.map(|(_, a, b)| Shape::line(a, b, Pen::Seen)));
    }
    canvas.add(Element {
        id: String::new(),
        about: template.title.clone(),
        role: Role::Thing,
        shapes,
    });
    let mut axes = Vec::new();
    if (left..=right).contains(&middle[0]) {
        axes.push(Shape::line(
            point(middle[0], top - 5.0),
            point(middle[0], bottom + 5.0),
            Pen::Axis,
        ));
    }
    if (top..=bottom).contains(&middle[1]) {
        axes.push(Shape::line(
            point(left - 5.0, middle[1]),
            point(right + 5.0, middle[1]),
            Pen::Axis,
        ));
    }
    canvas.draw(Role::Dimension, axes);
    // Clear of both middle lines.
    let x = if left < middle[0] - 1.0 {
        left + 4.0
    } else {
        middle[0].max(left) + 4.0
    };
    let mut y = if top < middle[1] - 1.0 {
        (top + bottom.min(middle[1])) / 2.0
    } else {
        middle[1].max(top) + 8.0
    };
    if template.round {
        y = y.max(middle[1].min(bottom) - 12.0);
    }
    let limit = if left < middle[0] - 1.0 {
        middle[0].min(right) - x - 1.0
    } else {
        right - x - 1.0
    };
    for words in &template.words {
        for line in crate::one_line::wrapped(words, limit.max(12.0)) {
            canvas.write(Text::new(point(x, y), Anchor::Start, line));
            y += 4.0;
        }
    }
}

/// The arcs of a circle that lie in a part, as chords of a degree.
fn round_part(middle: [f64; 2], [[left, right], [top, bottom]]: [[f64; 2]; 2]) -> Vec<Shape> {
    let radius = middle[0];
    let at = |degrees: i32| {
        let angle = f64::from(degrees).to_radians();
        point(
            middle[0] + radius * angle.cos(),
            middle[1] + radius * angle.sin(),
        )
    };
    let inside = |x: f64, y: f64| {
        x >= left - 1e-9 && x <= right + 1e-9 && y >= top - 1e-9 && y <= bottom + 1e-9
    };
    let mut shapes = Vec::new();
    let mut run = Vec::new();
    for degrees in 0..=360 {
        let here = at(degrees);
        if inside(here.x, here.y) {
            run.push(here);
        } else {
            if run.len() > 1 {
                shapes.push(std::mem::take(&mut run));
            }
            run.clear();
        }
    }
    if run.len() > 1 {
        shapes.push(run);
    }
    (shapes.into_iter())
        .map(|points| Shape::Path {
            points,
            closed: false,
            pen: Pen::Seen,
            fill: crate::model::Fill::None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scale::Scales;

    const AREA: Area = Area {
        width_mm: 180.0,
        height_mm: 240.0,
        scales: Scales::Metric,
        smallest: None,
    };

    fn cut_out(width_m: f64, height_m: f64, round: bool) -> Template {
        Template {
            title: "Cut-out".to_owned(),
            width_m,
            height_m,
            round,
            words: vec!["One-gang plate".to_owned()],
        }
    }

    fn longest_mm(drawing: &Drawing) -> f64 {
        let shapes = drawing.elements[0].shapes.iter();
        shapes
            .flat_map(Shape::segments)
            .map(|(a, b)| (a.x - b.x).hypot(a.y - b.y))
            .fold(0.0, f64::max)
    }

    #[test]
    fn a_millimetre_is_a_millimetre() {
        let drawings = template(&cut_out(0.057, 0.095, false), AREA);
        assert_eq!(drawings.len(), 1);
        assert!((longest_mm(&drawings[0]) - 95.0).abs() < 1e-9);
        let round = template(&cut_out(0.206, 0.206, true), AREA);
        assert_eq!(round.len(), 4);
    }

    #[test]
    fn a_tall_one_comes_in_parts_that_add_up() {
        let drawings = template(&cut_out(0.2, 0.475, false), AREA);
        assert_eq!(drawings.len(), 2 * 3);
        for drawing in &drawings {
            assert!(drawing.width_mm <= AREA.width_mm, "{}", drawing.width_mm);
            assert!(drawing.height_mm <= AREA.height_mm, "{}", drawing.height_mm);
        }
        assert!(template(&cut_out(3.0, 0.1, false), AREA).is_empty());
        assert!(template(&cut_out(f64::NAN, 0.1, false), AREA).is_empty());
    }
}
