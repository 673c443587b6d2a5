//! How does something run over the octaves, and within which limits should it lie?
//!
//! Read without colour: each value is a ring with its number, limits are dashed steps, and a
//! bar shows how much of a value is left open.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::font::text_width;
use crate::model::{Anchor, Drawing, Element, Fill, Pen, Role, Shape, Text};
use crate::paper::{Point, point};
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct OctaveChart {
    /// The drawing's title.
    pub title: String,
    /// What stands above the upright axis, with its unit.
    pub axis: String,
    /// The octaves as printed.
    pub octaves: Vec<String>,
    /// The value in each octave, none where it is not known.
    pub values: Vec<Option<ChartValue>>,
    /// The lower and upper limit in each octave; none where nothing is asked for.
    pub limits: Vec<Option<[f64; 2]>>,
    /// The values that the axis begins and ends with.
    pub ends: [f64; 2],
    /// From one line of the axis to the next.
    pub step: f64,
    /// Words for the limits.
    pub limits_are: String,
}

/// A value in an octave.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartValue {
    /// The value.
    pub value: f64,
    /// How much of it is open, to either side.
    pub open: f64,
    /// As printed.
    pub text: String,
}

const LEFT_MM: f64 = 14.0;
const HEIGHT_MM: f64 = 70.0;
const COLUMN_MM: [f64; 2] = [11.0, 20.0];

/// Draws the chart; it has no scale. The error is that of an area too narrow for it.
pub fn octave_chart(chart: &OctaveChart, area: Area) -> Result<Drawing, DrawingError> {
    let count = chart.octaves.len().max(1) as f64;
    let column = ((area.width_mm - LEFT_MM - 4.0) / count).min(COLUMN_MM[1]);
    let height_mm = HEIGHT_MM + 36.0;
    if column < COLUMN_MM[0] || height_mm > area.height_mm {
        return Err(DrawingError::TooLarge {
            title: chart.title.clone(),
            scale: Scale(0),
            width_mm: LEFT_MM + 4.0 + count * COLUMN_MM[0],
            height_mm,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    let axes = Axes { chart, column };
    let mut canvas = Canvas::default();
    axes.grid(&mut canvas);
    axes.limits(&mut canvas);
    axes.values(&mut canvas);
    Ok(canvas.finish_without_scale(&chart.title))
}

struct Axes<'a> {
    chart: &'a OctaveChart,
    column: f64,
}

impl Axes<'_> {
    fn x(&self, octave: usize) -> f64 {
        LEFT_MM + (octave as f64 + 0.5) * self.column
    }

    fn y(&self, value: f64) -> f64 {
        let [from, to] = self.chart.ends;
        let share = ((value - from) / (to - from)).clamp(0.0, 1.0);
        8.0 + HEIGHT_MM * (1.0 - share)
    }

    fn right(&self) -> f64 {
        LEFT_MM + self.column * self.chart.octaves.len() as f64
    }

    fn grid(&self, canvas: &mut Canvas) {
        let chart = self.chart;
        canvas.write(Text::new(point(0.0, 3.0), Anchor::Start, &chart.axis));
        let steps = ((chart.ends[1] - chart.ends[0]) / chart.step).round() as usize;
        let mut lines = Vec::new();
        for step in 0..=steps {
            let value = chart.ends[0] + step as f64 * chart.step;
            let y = self.y(value);
            lines.push(Shape::line(
                point(LEFT_MM, y),
                point(self.right(), y),
                Pen::Thin,
            ));
            let digits = usize::from(chart.step < 1.0);
            let text = format!("{value:.digits$}");
            canvas.write(Text::new(point(LEFT_MM - 2.0, y + 1.0), Anchor::End, &text));
        }
        let [top, bottom] = [self.y(chart.ends[1]), self.y(chart.ends[0])];
        for x in [LEFT_MM, self.right()] {
            lines.push(Shape::line(point(x, top), point(x, bottom), Pen::Seen));
        }
        canvas.draw(Role::Dimension, lines);
        for (octave, label) in chart.octaves.iter().enumerate() {
            let at = point(self.x(octave), bottom + 5.0);
            canvas.write(Text::new(at, Anchor::Middle, label));
        }
    }

    fn limits(&self, canvas: &mut Canvas) {
        let mut shapes = Vec::new();
        for end in 0..2 {
            let mut run: Vec<Point> = Vec::new();
            for (octave, limits) in self.chart.limits.iter().enumerate() {
                let Some(limits) = limits else {
                    stepped(&mut shapes, &mut run);
                    continue;
                };
                let limit = limits[end];
                // A limit off the chart is none.
                if !limit.is_finite() || limit < self.chart.ends[0] || limit > self.chart.ends[1] {
                    stepped(&mut shapes, &mut run);
                    continue;
                }
                let (x, y) = (self.x(octave), self.y(limit));
                run.push(point(x - self.column / 2.0, y));
                run.push(point(x + self.column / 2.0, y));
            }
            stepped(&mut shapes, &mut run);
        }
        if shapes.is_empty() {
            return;
        }
        canvas.draw(Role::Thing, shapes);
        let y = self.y(self.chart.ends[0]) + 12.0;
        let line = Shape::line(
            point(LEFT_MM, y - 1.0),
            point(LEFT_MM + 10.0, y - 1.0),
            Pen::Hidden,
        );
        canvas.draw(Role::Sign, vec![line]);
        let at = point(LEFT_MM + 13.0, y);
        canvas.write(Text::new(at, Anchor::Start, &self.chart.limits_are));
    }

    fn values(&self, canvas: &mut Canvas) {
        let mut last: Option<Point> = None;
        for (octave, value) in self.chart.values.iter().enumerate() {
            let Some(value) = value else {
                last = None;
                continue;
            };
            let at = point(self.x(octave), self.y(value.value));
            let mut shapes = Vec::new();
            if let Some(last) = last {
                shapes.push(Shape::line(last, at, Pen::Thin));
            }
            let [low, high] = [-1.0, 1.0].map(|side| self.y(value.value + side * value.open));
            if low - high > 0.5 {
                shapes.push(Shape::line(point(at.x, low), point(at.x, high), Pen::Seen));
                for y in [low, high] {
                    shapes.push(Shape::line(
                        point(at.x - 1.0, y),
                        point(at.x + 1.0, y),
                        Pen::Seen,
                    ));
                }
            }
            shapes.push(Shape::Circle {
                centre: at,
                radius_mm: 1.0,
                pen: Pen::Seen,
                fill: Fill::Ink,
            });
            canvas.add(Element {
                id: String::new(),
                about: format!("{} {}", self.chart.octaves[octave], value.text),
                role: Role::Thing,
                shapes,
            });
            // Beside the bar, where nothing else is written.
            let width = text_width(&value.text, crate::font::LETTERING_MM, false);
            let room = self.column / 2.0 - 1.6 > width;
            let (x, y) = if room {
                (at.x + 1.6, at.y - 1.2)
            } else {
                (at.x - width / 2.0, high - 1.5)
            };
            canvas.write(Text::new(point(x, y), Anchor::Start, &value.text));
            last = Some(at);
        }
    }
}

fn stepped(shapes: &mut Vec<Shape>, run: &mut Vec<Point>) {
    if run.len() > 1 {
        shapes.push(Shape::Path {
            points: std::mem::take(run),
            closed: false,
            pen: Pen::Hidden,
            fill: Fill::None,
        });
    }
    run.clear();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scale::Scales;

    fn chart() -> OctaveChart {
        let value = |value: f64| {
            Some(ChartValue {
                value,
                open: 0.05,
                text: format!("{value:.2}"),
            })
        };
        OctaveChart {
            title: "Cinema, reverberation".to_owned(),
            axis: "s".to_owned(),
            octaves: ["125", "250", "500", "1k", "2k", "4k"]
                .map(str::to_owned)
                .to_vec(),
            values: vec![
                value(0.5),
                value(0.42),
                None,
                value(0.3),
                value(0.28),
                value(0.25),
            ],
            limits: vec![
                Some([0.16, 0.5]),
                Some([0.16, 0.36]),
                None,
                None,
                Some([0.16, 9.0]),
                None,
            ],
            ends: [0.0, 0.8],
            step: 0.2,
            limits_are: "asked for".to_owned(),
        }
    }

    fn area(width_mm: f64) -> Area {
        Area {
            width_mm,
            height_mm: 200.0,
            scales: Scales::Metric,
            smallest: None,
        }
    }

    #[test]
    fn every_known_value_is_told_and_nothing_overlaps() {
        let drawing = octave_chart(&chart(), area(170.0)).expect("it fits");
        let told: Vec<&str> = drawing.elements.iter().map(|e| e.about.as_str()).collect();
        assert!(told.contains(&"125 0.50") && told.contains(&"4k 0.25"));
        assert_eq!(told.iter().filter(|about| !about.is_empty()).count(), 5);
        assert!(
            crate::overlaps(&drawing).is_empty(),
            "{:?}",
            crate::overlaps(&drawing)
        );
    }

    #[test]
    fn a_narrow_area_is_refused() {
        assert!(octave_chart(&chart(), area(60.0)).is_err());
    }
}
