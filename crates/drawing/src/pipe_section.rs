//! Cables in pipes, cut across: each pipe with its cables as they lie, large enough to read.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::font::{LETTERING_MM, text_width};
use crate::model::{Anchor, Drawing, Element, Fill, Pen, Role, Shape, Text};
use crate::one_line::wrapped;
use crate::paper::point;
use crate::scale::{Area, Scale};

/// A pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct PipeSection {
    /// Its id in the job.
    pub id: String,
    /// What stands above it.
    pub label: String,
    /// What stands below it, a line each.
    pub words: Vec<String>,
    /// Inside diameter, m.
    pub inside_m: f64,
    /// Its cables.
    pub cables: Vec<PipeCable>,
}

/// A cable in a pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct PipeCable {
    /// Its id in the job.
    pub id: String,
    /// What stands on it, where there is room.
    pub label: String,
    /// Its middle from the pipe's, across and up, m.
    pub centre_m: [f64; 2],
    /// Outside diameter, m.
    pub outside_m: f64,
}

/// Width of each pipe on paper, mm.
const PIPE_MM: f64 = 56.0;
const BETWEEN_MM: f64 = 8.0;
/// Above a pipe and below it, mm.
const ABOVE_MM: f64 = 8.0;
const LINE_MM: f64 = 5.0;

/// Draws them row by row, all as wide on paper as one another; the error is that of an area too
/// small.
pub fn pipe_sections(
    title: &str,
    pipes: &[PipeSection],
    area: Area,
) -> Result<Drawing, DrawingError> {
    let step = PIPE_MM + BETWEEN_MM;
    let across = (((area.width_mm + BETWEEN_MM) / step) as usize).max(1);
    let mut canvas = Canvas::default();
    let mut top = 0.0;
    for row in pipes.chunks(across) {
        let mut lines_most = 0;
        for (index, pipe) in row.iter().enumerate() {
            let left = index as f64 * step;
            lines_most = lines_most.max(draw(&mut canvas, pipe, left, top));
        }
        top += ABOVE_MM + PIPE_MM + lines_most as f64 * LINE_MM + BETWEEN_MM;
    }
    let width_mm = across.min(pipes.len()) as f64 * step - BETWEEN_MM;
    // The title and what says that there is no scale stand below.
    let height_mm = top + 20.0;
    if width_mm > area.width_mm || height_mm > area.height_mm {
        return Err(DrawingError::TooLarge {
            title: title.to_owned(),
            scale: Scale(0),
            width_mm,
            height_mm,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    Ok(canvas.finish_without_scale(title))
}

/// Draws one pipe; how many lines stand below it.
fn draw(canvas: &mut Canvas, pipe: &PipeSection, left: f64, top: f64) -> usize {
    let middle = point(left + PIPE_MM / 2.0, top + ABOVE_MM + PIPE_MM / 2.0);
    let mm = |length_m: f64| length_m / pipe.inside_m * PIPE_MM;
    let label = wrapped(&pipe.label, PIPE_MM).swap_remove(0);
    canvas.write(Text::new(
        point(middle.x, top + LETTERING_MM),
        Anchor::Middle,
        label,
    ));
    let circle = |x: f64, y: f64, radius_mm: f64, pen| Shape::Circle {
        centre: point(x, y),
        radius_mm,
        pen,
        fill: Fill::None,
    };
    canvas.add(Element {
        id: pipe.id.clone(),
        about: format!("{}: {}", pipe.label, pipe.words.join(", ")),
        role: Role::Thing,
        shapes: vec![circle(middle.x, middle.y, PIPE_MM / 2.0, Pen::Cut)],
    });
    for cable in &pipe.cables {
        let [x, y] = [
            middle.x + mm(cable.centre_m[0]),
            middle.y - mm(cable.centre_m[1]),
        ];
        let radius = mm(cable.outside_m / 2.0);
        canvas.add(Element {
            id: cable.id.clone(),
            about: cable.label.clone(),
            role: Role::Thing,
            shapes: vec![circle(x, y, radius, Pen::Seen)],
        });
        if text_width(&cable.label, LETTERING_MM, false) < radius * 1.8 {
            let base = point(x, y + LETTERING_MM * 0.34);
            canvas.write(Text::new(base, Anchor::Middle, &cable.label));
        }
    }
    let mut lines = 0;
    for words in &pipe.words {
        for line in wrapped(words, PIPE_MM) {
            lines += 1;
            let base = top + ABOVE_MM + PIPE_MM + lines as f64 * LINE_MM;
            canvas.write(Text::new(point(middle.x, base), Anchor::Middle, line));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::overlaps;
    use crate::scale::Scales;

    fn pipe(id: &str) -> PipeSection {
        PipeSection {
            id: id.to_owned(),
            label: format!("Conduit {id}"),
            words: vec!["38 % full of 40 %".to_owned(), "20 mm inside".to_owned()],
            inside_m: 0.020,
            cables: vec![
                PipeCable {
                    id: "W1".to_owned(),
                    label: "W1".to_owned(),
                    centre_m: [0.0, -0.006],
                    outside_m: 0.008,
                },
                PipeCable {
                    id: "W2".to_owned(),
                    label: "W2".to_owned(),
                    centre_m: [0.0, 0.004],
                    outside_m: 0.002,
                },
            ],
        }
    }

    #[test]
    fn circles_are_in_proportion_and_nothing_lies_on_a_name() {
        let area = Area {
            width_mm: 180.0,
            height_mm: 240.0,
            scales: Scales::Metric,
            smallest: None,
        };
        let pipes = ["P1", "P2", "P3"].map(pipe);
        let drawing = pipe_sections("Conduits", &pipes, area).unwrap();
        assert_eq!(overlaps(&drawing), []);
        let width = |id: &str| {
            let one = drawing.elements.iter().find(|one| one.id == id).unwrap();
            one.shapes[0].bounds().unwrap().width()
        };
        assert!((width("W1") / width("P1") - 0.4).abs() < 1e-9);
        // What is too small to write on goes without.
        let written = |words: &str| {
            drawing
                .texts
                .iter()
                .filter(|text| text.content == words)
                .count()
        };
        assert_eq!((written("W1"), written("W2")), (3, 0));
        let small = Area {
            height_mm: 80.0,
            ..area
        };
        assert!(pipe_sections("Conduits", &pipes, small).is_err());
    }
}
