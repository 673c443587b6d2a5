//! What is a drawing made of?
//!
//! Line kinds and widths follow the row of ISO 128-2 (seen in secondary sources only); the dashes and the uses are
//! common drafting practice.

use crate::dimension::FigureSigns;
use crate::font::{LETTERING_MM, text_width};
use crate::paper::{Bounds, Point, Quad, point};
use crate::scale::Scale;

/// The kind of a line; it settles width, dashes and whether the ink is soft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pen {
    /// Wall, ceiling and floor where they are cut.
    Cut,
    /// Kit, furniture and edges of openings.
    Seen,
    /// Dimensions, leaders, hatch, door swings.
    Thin,
    /// Behind or above: studs, joists, a beam over.
    Hidden,
    /// Centre lines.
    Axis,
    /// What was there before the job.
    Existing,
    /// Where a thing is planned, on a drawing of where it could be.
    Planned,
    /// A cable, dashed by its kind.
    Route(RouteDash),
    /// Field of view, throw, coverage of light and sound.
    Coverage,
    /// A verdict's shape.
    Mark,
    /// The ring of the verdict `unknown`.
    MarkDotted,
}

/// The dashes of a cable route; the caller gives each cable kind one of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RouteDash {
    /// Unbroken.
    Solid,
    /// 6–2.
    Long,
    /// 3–2.
    Short,
    /// 6–1.5–0.7–1.5.
    DashDot,
}

impl Pen {
    /// Line width in mm of paper.
    pub fn width_mm(self) -> f64 {
        match self {
            Pen::Cut => 0.70,
            Pen::Seen => 0.35,
            Pen::Thin | Pen::Axis => 0.18,
            Pen::Hidden | Pen::Existing | Pen::Planned | Pen::Coverage => 0.25,
            Pen::Route(_) => 0.50,
            Pen::Mark | Pen::MarkDotted => 0.45,
        }
    }

    /// Lengths of dash, gap, dash, gap… in mm; empty for an unbroken line.
    pub fn dashes_mm(self) -> &'static [f64] {
        match self {
            Pen::Hidden => &[3.0, 1.5],
            Pen::Axis => &[8.0, 1.5, 0.5, 1.5],
            Pen::Coverage => &[1.0, 1.0],
            Pen::Planned => &[4.0, 1.0, 0.5, 1.0, 0.5, 1.0],
            Pen::MarkDotted => &[0.5, 0.6],
            Pen::Route(RouteDash::Long) => &[6.0, 2.0],
            Pen::Route(RouteDash::Short) => &[3.0, 2.0],
            Pen::Route(RouteDash::DashDot) => &[6.0, 1.5, 0.7, 1.5],
            Pen::Cut
            | Pen::Seen
            | Pen::Thin
            | Pen::Existing
            | Pen::Mark
            | Pen::Route(RouteDash::Solid) => &[],
        }
    }

    /// The word for it, also the SVG class.
    pub fn name(self) -> &'static str {
        match self {
            Pen::Cut => "cut",
            Pen::Seen => "seen",
            Pen::Thin => "thin",
            Pen::Hidden => "hidden",
            Pen::Axis => "axis",
            Pen::Existing => "existing",
            Pen::Planned => "planned",
            Pen::Route(_) => "route",
            Pen::Coverage => "coverage",
            Pen::Mark | Pen::MarkDotted => "mark",
        }
    }

    /// How much a text suffers from being crossed by it, in the placement's own unit.
    pub(crate) fn weight(self) -> f64 {
        match self {
            Pen::Cut => 12.0,
            Pen::Seen
            | Pen::Existing
            | Pen::Planned
            | Pen::Route(_)
            | Pen::Mark
            | Pen::MarkDotted => 2.5,
            Pen::Coverage | Pen::Axis | Pen::Hidden | Pen::Thin => 0.6,
        }
    }
}

/// What fills a closed shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Nothing: what lies below shows through.
    None,
    /// The colour of the ground: hides what lies below.
    Paper,
    /// Black.
    Ink,
}

/// What a cut surface is made of, by its hatch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hatch {
    /// Single lines at 45°.
    Masonry,
    /// Pairs of lines at 45°.
    Wood,
    /// A wave.
    Insulation,
    /// Dots.
    Board,
}

/// One stroke or filled area.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A chain of straight lines.
    Path {
        /// Its points in order.
        points: Vec<Point>,
        /// Whether the last point is joined to the first.
        closed: bool,
        /// The line.
        pen: Pen,
        /// The inside.
        fill: Fill,
    },
    /// A part of a circle.
    Arc {
        /// The centre.
        centre: Point,
        /// The radius, mm.
        radius_mm: f64,
        /// Where it starts, rad, 0 at three o'clock and clockwise on paper.
        from_rad: f64,
        /// Where it ends; at most one turn from the start, either way.
        to_rad: f64,
        /// The line.
        pen: Pen,
    },
    /// A whole circle.
    Circle {
        /// The centre.
        centre: Point,
        /// The radius, mm.
        radius_mm: f64,
        /// The line.
        pen: Pen,
        /// The inside.
        fill: Fill,
    },
}

impl Shape {
    /// A line from `a` to `b`.
    pub fn line(a: Point, b: Point, pen: Pen) -> Shape {
        Shape::Path {
            points: vec![a, b],
            closed: false,
            pen,
            fill: Fill::None,
        }
    }

    /// A closed, unfilled outline.
    pub fn outline(points: Vec<Point>, pen: Pen) -> Shape {
        Shape::Path {
            points,
            closed: true,
            pen,
            fill: Fill::None,
        }
    }

    /// Its line.
    pub fn pen(&self) -> Pen {
        match self {
            Shape::Path { pen, .. } | Shape::Arc { pen, .. } | Shape::Circle { pen, .. } => *pen,
        }
    }

    /// The shape as straight pieces; curves in chords of at most 1/16 turn.
    pub fn segments(&self) -> Vec<(Point, Point)> {
        let chords = |centre: Point, radius: f64, from: f64, to: f64| {
            let steps = ((to - from).abs() / (std::f64::consts::TAU / 16.0))
                .ceil()
                .max(1.0);
            let at = |i: f64| {
                let angle = from + (to - from) * i / steps;
                centre + point(angle.cos(), angle.sin()) * radius
            };
            (0..steps as usize)
                .map(|i| (at(i as f64), at(i as f64 + 1.0)))
                .collect::<Vec<_>>()
        };
        match self {
            Shape::Path { points, closed, .. } => {
                let mut pairs: Vec<_> = points.windows(2).map(|w| (w[0], w[1])).collect();
                if let (true, [first, .., last]) = (closed, points.as_slice()) {
                    pairs.push((*last, *first));
                }
                pairs
            }
            Shape::Arc {
                centre,
                radius_mm,
                from_rad,
                to_rad,
                ..
            } => chords(*centre, *radius_mm, *from_rad, *to_rad),
            Shape::Circle {
                centre, radius_mm, ..
            } => chords(*centre, *radius_mm, 0.0, std::f64::consts::TAU),
        }
    }

    pub(crate) fn bounds(&self) -> Option<Bounds> {
        match self {
            Shape::Circle {
                centre, radius_mm, ..
            } => Some(Bounds::centred(*centre, 2.0 * radius_mm, 2.0 * radius_mm)),
            Shape::Path { points, .. } => Bounds::of(points.iter().copied()),
            Shape::Arc { .. } => Bounds::of(self.segments().into_iter().flat_map(|(a, b)| [a, b])),
        }
    }
}

/// What an element is to the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// A thing of the room or the job.
    Thing,
    /// Hatch of a cut surface.
    Hatch,
    /// Dimension lines.
    Dimension,
    /// A line from a label to its thing.
    Leader,
    /// Verdict shapes, number circles, arrows, scale bar.
    Sign,
}

/// Shapes that belong together, for instance one lamp.
#[derive(Clone, Debug, PartialEq)]
pub struct Element {
    /// The id of the thing in the job; empty when it is nobody's.
    pub id: String,
    /// What a reader who cannot see the drawing is told; empty for what needs no telling.
    pub about: String,
    /// What it is to the drawing.
    pub role: Role,
    /// What is drawn, lowest first.
    pub shapes: Vec<Shape>,
}

/// Which point of a text its place names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The start of the base line.
    Start,
    /// The middle of the base line.
    Middle,
    /// The end of the base line.
    End,
}

/// One line of text; its box is known without a renderer.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The point of the base line that `anchor` names.
    pub at: Point,
    /// Which point that is.
    pub anchor: Anchor,
    /// Font size, mm.
    pub size_mm: f64,
    /// Whether the bold face is used.
    pub bold: bool,
    /// Turned by this, degrees clockwise on paper about `at`; −90 reads from the right.
    pub turn_deg: f64,
    /// The words.
    pub content: String,
}

/// Share of the font size above the base line that a box reserves: capitals, brackets and primes.
const ASCENT: f64 = 0.76;
/// Share of the font size below the base line.
const DESCENT: f64 = 0.22;
/// Height of capitals as a share of the font size (the face's own figure: 1409 of 2048).
pub(crate) const CAPITALS: f64 = 0.688;
/// From base line to base line as a share of the font size.
pub(crate) const LEADING: f64 = 1.15;

impl Text {
    /// An upright, regular text of the least lettering.
    pub fn new(at: Point, anchor: Anchor, content: impl Into<String>) -> Text {
        Text {
            at,
            anchor,
            size_mm: LETTERING_MM,
            bold: false,
            turn_deg: 0.0,
            content: content.into(),
        }
    }

    /// Length of the line, mm.
    pub fn width_mm(&self) -> f64 {
        text_width(&self.content, self.size_mm, self.bold)
    }

    /// The box round the letters, turned with them.
    pub fn quad(&self) -> Quad {
        let width = self.width_mm();
        let left = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        let (top, bottom) = (-ASCENT * self.size_mm, DESCENT * self.size_mm);
        let corners = [
            point(left, top),
            point(left + width, top),
            point(left + width, bottom),
            point(left, bottom),
        ];
        Quad(corners.map(|c| self.at + c.turned(self.turn_deg.to_radians())))
    }
}

/// One row of the key beside a drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyEntry {
    /// The number in the circle.
    pub number: usize,
    /// What the number stands for.
    pub text: String,
}

/// A drawing at a stated scale, in millimetres of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// What is shown, for instance "Street wall, seen from inside".
    pub title: String,
    /// Width on paper, mm.
    pub width_mm: f64,
    /// Height on paper, mm.
    pub height_mm: f64,
    /// Its scale.
    pub scale: Scale,
    /// What is drawn, lowest first; texts lie on top of all of it.
    pub elements: Vec<Element>,
    /// All lettering.
    pub texts: Vec<Text>,
    /// What the number circles stand for, in order.
    pub key: Vec<KeyEntry>,
    /// Which signs stand at its lengths.
    pub signs: FigureSigns,
}

/// Two texts on one another, or a text off the paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Clash {
    /// The boxes of these two texts overlap.
    Texts(String, String),
    /// This text leaves the drawing.
    TextOutside(String),
    /// A shape of the element told by this text leaves the drawing.
    ShapeOutside(String),
    /// A leader runs through this text.
    LeaderThrough(String),
}

/// How much two boxes may share before it is an overlap, mm: less than a hair line.
const SLACK_MM: f64 = 0.05;

/// All overlaps of a drawing's texts, and all that leaves its paper; empty when it can be read.
pub fn overlaps(drawing: &Drawing) -> Vec<Clash> {
    let page = Bounds::new(point(0.0, 0.0), point(drawing.width_mm, drawing.height_mm));
    let quads: Vec<Quad> = drawing.texts.iter().map(Text::quad).collect();
    let boxes: Vec<Bounds> = quads.iter().map(Quad::bounds).collect();
    let mut found = Vec::new();
    for (i, text) in drawing.texts.iter().enumerate() {
        if !page.covers(&boxes[i]) {
            found.push(Clash::TextOutside(text.content.clone()));
        }
        for j in i + 1..quads.len() {
            if boxes[i].meets(&boxes[j]) && quads[i].overlaps(&quads[j], SLACK_MM) {
                found.push(Clash::Texts(
                    text.content.clone(),
                    drawing.texts[j].content.clone(),
                ));
            }
        }
    }
    for element in &drawing.elements {
        if element
            .shapes
            .iter()
            .filter_map(Shape::bounds)
            .any(|b| !page.covers(&b))
        {
            found.push(Clash::ShapeOutside(element.about.clone()));
        }
        if element.role == Role::Leader {
            for (a, b) in element.shapes.iter().flat_map(Shape::segments) {
                let struck = quads
                    .iter()
                    .zip(&drawing.texts)
                    .filter(|(q, _)| q.struck(a, b));
                found.extend(struck.map(|(_, t)| Clash::LeaderThrough(t.content.clone())));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawing(texts: Vec<Text>, elements: Vec<Element>) -> Drawing {
        Drawing {
            title: String::new(),
            width_mm: 50.0,
            height_mm: 20.0,
            scale: Scale(10),
            elements,
            texts,
            key: Vec::new(),
            signs: FigureSigns::default(),
        }
    }

    fn text(x: f64, y: f64, content: &str) -> Text {
        Text::new(point(x, y), Anchor::Start, content)
    }

    #[test]
    fn texts_on_one_another_clash() {
        let found = overlaps(&drawing(
            vec![text(5.0, 10.0, "one"), text(7.0, 11.0, "two")],
            vec![],
        ));
        assert_eq!(found, [Clash::Texts("one".into(), "two".into())]);
    }

    #[test]
    fn a_text_over_the_edge_clashes() {
        let found = overlaps(&drawing(vec![text(45.0, 10.0, "too far")], vec![]));
        assert_eq!(found, [Clash::TextOutside("too far".into())]);
    }

    #[test]
    fn a_leader_through_a_text_and_a_line_over_the_edge_clash() {
        let line = |role, to| Element {
            id: String::new(),
            about: "line".into(),
            role,
            shapes: vec![Shape::line(point(2.0, 9.0), to, Pen::Thin)],
        };
        let elements = vec![
            line(Role::Leader, point(40.0, 9.0)),
            line(Role::Thing, point(51.0, 9.0)),
        ];
        let found = overlaps(&drawing(vec![text(5.0, 10.0, "one")], elements));
        assert_eq!(
            found,
            [
                Clash::LeaderThrough("one".into()),
                Clash::ShapeOutside("line".into())
            ]
        );
    }
}
