//! Where is a drawing gathered before its size is known?

use crate::dimension::FigureSigns;
use crate::font::LETTERING_MM;
use crate::model::{Anchor, Drawing, Element, Fill, Hatch, KeyEntry, Pen, Role, Shape, Text};
use crate::near::{Near, Placed};
use crate::paper::{Bounds, Point, Quad, lines_inside, point};
use crate::scale::{Area, Scale, scale_bar};

/// A line that a text had better not lie on.
pub(crate) struct Obstacle {
    pub from: Point,
    pub to: Point,
    pub weight: f64,
}

impl Placed for Obstacle {
    fn extent(&self) -> Bounds {
        Bounds::new(self.from, self.to)
    }
}

/// Elements and texts in paper millimetres about an origin of the builder's own choice.
#[derive(Default)]
pub(crate) struct Canvas {
    pub elements: Vec<Element>,
    pub texts: Vec<Text>,
    pub key: Vec<KeyEntry>,
    /// Boxes that no text may enter: other texts, verdict shapes, number circles.
    pub reserved: Near<Quad>,
    pub obstacles: Near<Obstacle>,
    /// Lines that no text may lie on at all.
    pub leaders: Near<(Point, Point)>,
    /// Rectangles of the things that are labelled: another thing's label had better not lie there.
    pub bodies: Vec<Bounds>,
}

impl Canvas {
    /// Draws an element; its lines become obstacles to texts.
    pub fn add(&mut self, element: Element) {
        for shape in &element.shapes {
            let weight = match element.role {
                Role::Dimension => 2.0,
                _ => shape.pen().weight(),
            };
            for (from, to) in shape.segments() {
                if element.role == Role::Leader {
                    self.leaders.push((from, to));
                } else {
                    self.obstacles.push(Obstacle { from, to, weight });
                }
            }
            if element.role == Role::Sign
                && let Some(bounds) = shape.bounds()
            {
                self.reserved.push(bounds.quad());
            }
        }
        self.elements.push(element);
    }

    /// Whether a text's box would cover another text or lie on a leader.
    pub fn is_taken(&self, quad: &Quad) -> bool {
        let bounds = quad.bounds();
        self.reserved.near(bounds).any(|r| r.overlaps(quad, 0.0))
            || self.leaders.near(bounds).any(|(a, b)| quad.struck(*a, *b))
    }

    /// Whether a line would run through a text.
    pub fn strikes(&self, from: Point, to: Point) -> bool {
        let mut near = self.reserved.near(Bounds::new(from, to));
        near.any(|r| r.struck(from, to))
    }

    /// The weights of the lines that a text's box would lie on, in the order in which they were drawn.
    pub fn weights_under(&self, quad: &Quad) -> impl Iterator<Item = f64> {
        let under = self.obstacles.near(quad.bounds());
        under
            .filter(|o| quad.struck(o.from, o.to))
            .map(|o| o.weight)
    }

    /// Draws shapes that need no telling.
    pub fn draw(&mut self, role: Role, shapes: Vec<Shape>) {
        if !shapes.is_empty() {
            self.add(Element {
                id: String::new(),
                about: String::new(),
                role,
                shapes,
            });
        }
    }

    /// Writes a text at a settled place.
    pub fn write(&mut self, text: Text) {
        self.reserved.push(text.quad());
        self.texts.push(text);
    }

    /// The rectangle round all that is drawn and written.
    pub fn bounds(&self) -> Bounds {
        let shapes = self
            .elements
            .iter()
            .flat_map(|e| &e.shapes)
            .filter_map(Shape::bounds);
        let texts = self.texts.iter().map(|t| t.quad().bounds());
        shapes
            .chain(texts)
            .reduce(Bounds::joined)
            .unwrap_or(Bounds::new(point(0.0, 0.0), point(0.0, 0.0)))
    }

    /// Hatches a polygon, or nothing where the scale is too small for a hatch to be read.
    pub fn hatch(&mut self, polygon: &[Point], hatch: Hatch, scale: Scale) {
        if scale.0 > 100 {
            return;
        }
        let shapes = hatch_shapes(polygon, hatch);
        self.draw(Role::Hatch, shapes);
    }

    /// Writes title and scale bar below the drawing and moves everything onto the paper.
    pub fn finish(mut self, title: &str, scale: Scale, area: Area) -> Drawing {
        let bounds = self.bounds();
        let heading = Text {
            bold: true,
            ..Text::new(
                point(bounds.min.x, bounds.max.y + 8.0),
                Anchor::Start,
                title,
            )
        };
        let width = heading.width_mm();
        self.write(heading);
        // Bar, its figures and the scale in words take about 85 mm.
        let beside = width + 12.0 + 85.0 <= bounds.width().max(area.width_mm * 0.8);
        let at = if beside {
            point(bounds.min.x + width + 12.0, bounds.max.y + 6.8)
        } else {
            point(bounds.min.x + 2.0, bounds.max.y + 16.0)
        };
        scale_bar(&mut self, scale, area.scales, at.x, at.y);
        self.on_paper(title, scale)
    }

    /// Writes the title below a drawing that has no scale, and moves everything onto the paper.
    pub fn finish_without_scale(mut self, title: &str) -> Drawing {
        let bounds = self.bounds();
        let at = point(bounds.min.x, bounds.max.y + 8.0);
        self.write(Text {
            bold: true,
            ..Text::new(at, Anchor::Start, title)
        });
        self.on_paper(title, Scale(0))
    }

    fn on_paper(self, title: &str, scale: Scale) -> Drawing {
        // Half the widest line may stick out of a shape's bounds.
        let bounds = self.bounds().grown(0.5);
        let shift = point(0.0, 0.0) - bounds.min;
        let mut drawing = Drawing {
            title: title.to_string(),
            width_mm: bounds.width(),
            height_mm: bounds.height(),
            scale,
            elements: self.elements,
            texts: self.texts,
            key: self.key,
            signs: FigureSigns::default(),
        };
        drawing.shift(shift);
        drawing
    }
}

impl Drawing {
    pub(crate) fn shift(&mut self, by: Point) {
        for text in &mut self.texts {
            text.at = text.at + by;
        }
        for shape in self.elements.iter_mut().flat_map(|e| &mut e.shapes) {
            match shape {
                Shape::Path { points, .. } => points.iter_mut().for_each(|p| *p = *p + by),
                Shape::Arc { centre, .. } | Shape::Circle { centre, .. } => *centre = *centre + by,
            }
        }
    }

    /// The same drawing, taller by its key and what its signs mean in columns below; for a drawing that stands alone.
    pub fn with_key(&self) -> Drawing {
        let mut drawing = self.clone();
        let signs = self.signs.explained();
        if self.key.is_empty() && signs.is_empty() {
            return drawing;
        }
        let gap = 6.0;
        let columns = (((self.width_mm + gap) / 70.0).floor() as usize).max(1);
        let width = ((self.width_mm - gap * (columns as f64 - 1.0)) / columns as f64).max(60.0);
        let line_mm = LETTERING_MM * 1.25;
        let key = self.key.iter().map(|e| (e.number.to_string(), &*e.text));
        let signs = signs.iter().map(|(sign, words)| (sign.to_string(), *words));
        let wrapped = |(before, words): (String, &str)| {
            let lines = crate::font::wrap(words, LETTERING_MM, false, width - 9.0);
            (before, lines)
        };
        let rows: Vec<(String, Vec<String>)> = key.chain(signs).map(wrapped).collect();
        let lines: usize = rows.iter().map(|(_, l)| l.len().max(1)).sum();
        let per_column = lines.div_ceil(columns);
        let (mut column, mut row, mut deepest) = (0, 0, 0);
        for (before, lines) in rows {
            if row >= per_column && column + 1 < columns {
                (column, row) = (column + 1, 0);
            }
            let at = |row: usize| {
                point(
                    column as f64 * (width + gap),
                    self.height_mm + 6.0 + row as f64 * line_mm,
                )
            };
            drawing.texts.push(Text {
                bold: true,
                ..Text::new(at(row) + point(6.0, 0.0), Anchor::End, before)
            });
            for line in &lines {
                drawing.texts.push(Text::new(
                    at(row) + point(8.0, 0.0),
                    Anchor::Start,
                    line.clone(),
                ));
                row += 1;
            }
            deepest = deepest.max(row);
        }
        drawing.height_mm += 6.0 + deepest as f64 * line_mm;
        drawing.width_mm = drawing.width_mm.max(width);
        drawing
    }
}

fn hatch_shapes(polygon: &[Point], hatch: Hatch) -> Vec<Shape> {
    use std::f64::consts::FRAC_PI_4;
    let lines = |spacing, first| {
        let pieces = lines_inside(polygon, -FRAC_PI_4, spacing, first);
        pieces
            .into_iter()
            .map(|(a, b)| Shape::line(a, b, Pen::Thin))
            .collect::<Vec<_>>()
    };
    match hatch {
        Hatch::Masonry => lines(1.4, 0.0),
        Hatch::Wood => {
            let mut shapes = lines(2.8, 0.0);
            shapes.extend(lines(2.8, 0.8));
            shapes
        }
        Hatch::Insulation => match polygon {
            // One wave along the middle of a wall, as high as the wall allows.
            [a, b, c, d] => vec![wave(
                (*a + *d) * 0.5,
                (*b + *c) * 0.5,
                (*d - *a).length() * 0.28,
            )],
            _ => {
                let rows = lines_inside(polygon, 0.0, 2.4, 0.0).into_iter();
                rows.map(|(a, b)| wave(a, b, 0.8)).collect()
            }
        },
        Hatch::Board => {
            let mut shapes = Vec::new();
            for (row, (a, b)) in lines_inside(polygon, 0.0, 1.2, 0.3).into_iter().enumerate() {
                let mut x = ((a.x / 1.6).ceil() + if row % 2 == 0 { 0.0 } else { 0.5 }) * 1.6;
                while x < b.x - 0.2 {
                    shapes.push(Shape::Circle {
                        centre: point(x, a.y),
                        radius_mm: 0.1,
                        pen: Pen::Thin,
                        fill: Fill::Ink,
                    });
                    x += 1.6;
                }
            }
            shapes
        }
    }
}

/// A wave from `a` to `b` whose crests stand `rise` mm off the straight line.
fn wave(a: Point, b: Point, rise: f64) -> Shape {
    let length = (b - a).length();
    let along = (b - a).unit();
    let aside = point(-along.y, along.x);
    let period = (rise * 4.0).max(2.0);
    let steps = (length / period * 8.0).ceil().max(1.0);
    let at = |i: usize| {
        let run = length * i as f64 / steps;
        a + along * run + aside * (rise * (run * std::f64::consts::TAU / period).sin())
    };
    Shape::Path {
        points: (0..=steps as usize).map(at).collect(),
        closed: false,
        pen: Pen::Thin,
        fill: Fill::None,
    }
}
