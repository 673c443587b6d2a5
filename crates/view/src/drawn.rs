//! A drawing of the paper as the page shows it: the same lines and words, and what each thing is.

use drawing::{Anchor, Drawing, Element, Fill, Shape};
use schemars::JsonSchema;
use serde::Serialize;

/// A drawing in millimetres of paper, x to the right and y down.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Drawn {
    /// Its title.
    pub title: String,
    /// Width and height, mm.
    pub size_mm: [f64; 2],
    /// Size of its lettering, mm.
    pub lettering_mm: f64,
    /// What is drawn, lowest first.
    pub things: Vec<DrawnThing>,
    /// What is written; its title is left to whoever shows it.
    pub texts: Vec<DrawnText>,
}

/// Lines that belong together.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DrawnThing {
    /// The id of what they show; empty when it is nobody's.
    pub id: String,
    /// What somebody who can't see it is told.
    pub says: String,
    /// The box about it: left, top, width and height, mm.
    pub box_mm: [f64; 4],
    /// Its lines.
    pub lines: Vec<DrawnLine>,
}

/// A chain of straight pieces.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DrawnLine {
    /// Its points, mm; a closed one ends where it starts.
    pub points_mm: Vec<[f64; 2]>,
    /// The kind of line: `seen`, `route`, `thin` and so on.
    pub pen: &'static str,
    /// Its width, mm.
    pub width_mm: f64,
    /// Dash, gap, dash, gap, mm; empty for an unbroken one.
    pub dashes_mm: Vec<f64>,
    /// Whether its inside is inked.
    pub is_filled: bool,
}

/// A line of text.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DrawnText {
    /// The point of its base line that `anchor` names, mm.
    pub at_mm: [f64; 2],
    /// Which point that is: `start`, `middle` or `end`.
    pub anchor: &'static str,
    /// Whether it is bold.
    pub is_bold: bool,
    /// The words.
    pub text: String,
}

impl From<&Drawing> for Drawn {
    fn from(drawing: &Drawing) -> Self {
        let text = |text: &drawing::Text| DrawnText {
            at_mm: [text.at.x, text.at.y],
            anchor: match text.anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            },
            is_bold: text.bold,
            text: text.content.clone(),
        };
        Self {
            title: drawing.title.clone(),
            size_mm: [drawing.width_mm, drawing.height_mm],
            lettering_mm: drawing::LETTERING_MM,
            things: drawing.elements.iter().map(thing).collect(),
            texts: (drawing.texts.iter())
                .filter(|text| text.content != drawing.title)
                .map(text)
                .collect(),
        }
    }
}

fn thing(element: &Element) -> DrawnThing {
    let lines: Vec<DrawnLine> = element.shapes.iter().map(line).collect();
    let points = || lines.iter().flat_map(|line| &line.points_mm);
    let least = |axis: usize| points().map(|at| at[axis]).fold(f64::INFINITY, f64::min);
    let most = |axis: usize| {
        points()
            .map(|at| at[axis])
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let box_mm = match points().next() {
        Some(_) => [least(0), least(1), most(0) - least(0), most(1) - least(1)],
        None => [0.0; 4],
    };
    DrawnThing {
        id: element.id.clone(),
        says: element.about.clone(),
        box_mm,
        lines,
    }
}

fn line(shape: &Shape) -> DrawnLine {
    let segments = shape.segments();
    let first = segments.first().map(|(from, _)| *from);
    let fill = match shape {
        Shape::Path { fill, .. } | Shape::Circle { fill, .. } => *fill,
        Shape::Arc { .. } => Fill::None,
    };
    let pen = shape.pen();
    DrawnLine {
        points_mm: (first.into_iter())
            .chain(segments.iter().map(|(_, to)| *to))
            .map(|at| [at.x, at.y])
            .collect(),
        pen: pen.name(),
        width_mm: pen.width_mm(),
        dashes_mm: pen.dashes_mm().to_vec(),
        is_filled: fill == Fill::Ink,
    }
}

#[cfg(test)]
mod tests {
    use drawing::{Area, LineBox, LineLead, OneLine, RouteDash, Scales};

    use super::Drawn;

    #[test]
    fn lines_words_and_boxes_are_those_of_the_drawing() {
        let boxed = |id: &str, column| LineBox {
            id: id.to_owned(),
            label: id.to_owned(),
            column,
        };
        let diagram = OneLine {
            title: "Signals".to_owned(),
            boxes: vec![boxed("player", 0), boxed("screen", 1)],
            leads: vec![LineLead {
                id: "W1".to_owned(),
                from: 0,
                to: 1,
                dash: RouteDash::Long,
            }],
            key: Vec::new(),
        };
        let area = Area {
            width_mm: 500.0,
            height_mm: 500.0,
            scales: Scales::Metric,
            smallest: None,
        };
        let drawing = drawing::one_line(&diagram, area).unwrap();
        let drawn = Drawn::from(&drawing);
        assert_eq!(drawn.texts.len() + 1, drawing.texts.len());
        let player = drawn.things.iter().find(|one| one.id == "player").unwrap();
        let [left, top, width, height] = player.box_mm;
        // A box is closed: five points, the last the first.
        let points = &player.lines[0].points_mm;
        assert_eq!((points.len(), points[0]), (5, points[4]));
        assert_eq!(points[0], [left, top]);
        assert!(width > 0.0 && height > 0.0);
        let lead = drawn.things.iter().find(|one| one.id == "W1").unwrap();
        assert_eq!(
            (lead.lines[0].pen, lead.lines[0].dashes_mm[0]),
            ("route", 6.0)
        );
        assert!(lead.lines[1].is_filled);
    }
}
