//! How do several things run over frequency?
//!
//! Read without colour: each line has dashes of its own and its name at its end. Frequency is
//! logarithmic, with ticks 1-2-3-5-8; levels are in steps of 10 dB.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::model::{Anchor, Drawing, Element, Fill, Pen, Role, RouteDash, Shape, Text};
use crate::paper::point;
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveChart {
    /// The drawing's title.
    pub title: String,
    /// What stands above the upright axis, with its unit.
    pub axis: String,
    /// The frequencies of all lines, Hz, rising.
    pub frequencies_hz: Vec<f64>,
    /// Each line with its name.
    pub lines: Vec<(String, Vec<f64>)>,
}

const LEFT_MM: f64 = 14.0;
const NAMES_MM: f64 = 34.0;
const WIDTH_MM: [f64; 2] = [70.0, 130.0];
const HEIGHT_MM: f64 = 80.0;
const STEP_DB: f64 = 10.0;
/// Deeper nulls end at the axis.
const SPAN_MOST_DB: f64 = 60.0;
const NAME_MM: f64 = 4.5;
const TICKS: [f64; 5] = [1.0, 2.0, 3.0, 5.0, 8.0];
const PENS: [Pen; 6] = [
    Pen::Seen,
    Pen::Hidden,
    Pen::Axis,
    Pen::Coverage,
    Pen::Route(RouteDash::Long),
    Pen::Route(RouteDash::DashDot),
];

/// Draws the chart; it has no scale. The error is that of an area too small for it.
pub fn curve_chart(chart: &CurveChart, area: Area) -> Result<Drawing, DrawingError> {
    let width = (area.width_mm - LEFT_MM - NAMES_MM).min(WIDTH_MM[1]);
    let height_mm = HEIGHT_MM + 22.0;
    if width < WIDTH_MM[0] || height_mm > area.height_mm {
        return Err(DrawingError::TooLarge {
            title: chart.title.clone(),
            scale: Scale(0),
            width_mm: LEFT_MM + NAMES_MM + WIDTH_MM[0],
            height_mm,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    let all = || chart.lines.iter().flat_map(|(_, line)| line).copied();
    let step = |level: f64| (level / STEP_DB).ceil() * STEP_DB;
    let top = step(all().fold(f64::NEG_INFINITY, f64::max).clamp(-200.0, 200.0) + 1.0);
    let low = all().fold(f64::INFINITY, f64::min).clamp(-200.0, 200.0);
    let axes = Axes {
        chart,
        width,
        top,
        bottom: (step(low - STEP_DB))
            .max(top - SPAN_MOST_DB)
            .min(top - STEP_DB),
    };
    let mut canvas = Canvas::default();
    axes.grid(&mut canvas);
    axes.lines(&mut canvas);
    Ok(canvas.finish_without_scale(&chart.title))
}

struct Axes<'a> {
    chart: &'a CurveChart,
    width: f64,
    top: f64,
    bottom: f64,
}

impl Axes<'_> {
    fn x(&self, hertz: f64) -> f64 {
        let ends = [
            self.chart.frequencies_hz.first(),
            self.chart.frequencies_hz.last(),
        ];
        let [from, to] = ends.map(|end| end.copied().unwrap_or(1.0));
        let share = if to > from {
            (hertz / from).ln() / (to / from).ln()
        } else {
            0.0
        };
        LEFT_MM + self.width * share
    }

    fn y(&self, level: f64) -> f64 {
        let share = (level - self.bottom) / (self.top - self.bottom);
        8.0 + HEIGHT_MM * (1.0 - share.clamp(0.0, 1.0))
    }

    fn grid(&self, canvas: &mut Canvas) {
        canvas.write(Text::new(point(0.0, 3.0), Anchor::Start, &self.chart.axis));
        let right = LEFT_MM + self.width;
        let mut lines = Vec::new();
        let steps = ((self.top - self.bottom) / STEP_DB).round() as usize;
        for step in 0..=steps {
            let level = self.bottom + step as f64 * STEP_DB;
            let y = self.y(level);
            lines.push(Shape::line(point(LEFT_MM, y), point(right, y), Pen::Thin));
            let sign = if level < 0.0 { "−" } else { "" };
            let text = format!("{sign}{:.0}", level.abs());
            canvas.write(Text::new(point(LEFT_MM - 2.0, y + 1.0), Anchor::End, &text));
        }
        let [top, bottom] = [self.y(self.top), self.y(self.bottom)];
        let ends = [
            self.chart.frequencies_hz.first(),
            self.chart.frequencies_hz.last(),
        ];
        if let [Some(from), Some(to)] = ends {
            for decade in [10.0, 100.0, 1000.0] {
                for tick in TICKS.map(|tick| tick * decade) {
                    if tick < from * 0.999 || tick > to * 1.001 {
                        continue;
                    }
                    let x = self.x(tick);
                    lines.push(Shape::line(point(x, top), point(x, bottom), Pen::Thin));
                    let at = point(x, bottom + 5.0);
                    canvas.write(Text::new(at, Anchor::Middle, format!("{tick:.0}")));
                }
            }
        }
        canvas.draw(Role::Dimension, lines);
        canvas.write(Text::new(
            point(right + 3.0, bottom + 5.0),
            Anchor::Start,
            "Hz",
        ));
    }

    fn lines(&self, canvas: &mut Canvas) {
        let right = LEFT_MM + self.width;
        let ends: Vec<f64> = (self.chart.lines.iter())
            .map(|(_, line)| self.y(line.last().copied().unwrap_or(self.bottom)))
            .collect();
        let names = apart(&ends, self.y(self.bottom));
        for (at, (name, line)) in self.chart.lines.iter().enumerate() {
            let pen = PENS[at % PENS.len()];
            let run = (self.chart.frequencies_hz.iter()).zip(line);
            let points = run.map(|(hertz, level)| point(self.x(*hertz), self.y(*level)));
            let leader = Shape::line(
                point(right, ends[at]),
                point(right + 3.0, names[at] - 1.0),
                Pen::Thin,
            );
            canvas.add(Element {
                id: String::new(),
                about: name.clone(),
                role: Role::Sign,
                shapes: vec![
                    Shape::Path {
                        points: points.collect(),
                        closed: false,
                        pen,
                        fill: Fill::None,
                    },
                    leader,
                ],
            });
            let sample = Shape::line(
                point(right + 3.5, names[at] - 1.0),
                point(right + 13.5, names[at] - 1.0),
                pen,
            );
            canvas.draw(Role::Sign, vec![sample]);
            canvas.write(Text::new(
                point(right + 15.0, names[at]),
                Anchor::Start,
                name,
            ));
        }
    }
}

/// Names beside the lines' ends, so far apart that each can be read, none below the axis.
fn apart(ends: &[f64], lowest: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..ends.len()).collect();
    order.sort_by(|&a, &b| ends[a].total_cmp(&ends[b]));
    let room = |at: usize| lowest - NAME_MM * (ends.len() - 1 - at) as f64;
    let mut placed = vec![0.0; ends.len()];
    let mut next = f64::NEG_INFINITY;
    for (at, &line) in order.iter().enumerate() {
        placed[line] = (ends[line] + 1.0).min(room(at)).max(next);
        next = placed[line] + NAME_MM;
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scale::Scales;

    fn chart() -> CurveChart {
        let frequencies_hz: Vec<f64> = (0..45)
            .map(|n| 15.0 * 2_f64.powf(f64::from(n) / 12.0))
            .collect();
        let line = |shift: f64| {
            let level = |hertz: &f64| shift - 40.0 * (hertz / 60.0).ln().abs();
            frequencies_hz.iter().map(level).collect()
        };
        CurveChart {
            title: "Loft, bass".to_owned(),
            axis: "Level, dB".to_owned(),
            lines: vec![
                ("Seat left".to_owned(), line(6.0)),
                ("Seat middle".to_owned(), line(5.5)),
                ("Seat right".to_owned(), line(-70.0)),
            ],
            frequencies_hz,
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
    fn every_line_has_its_name_and_names_do_not_overlap() {
        let drawing = curve_chart(&chart(), area(180.0)).expect("it fits");
        let told: Vec<&str> = drawing.elements.iter().map(|e| e.about.as_str()).collect();
        for name in ["Seat left", "Seat middle", "Seat right"] {
            assert!(told.contains(&name));
        }
        let quads: Vec<_> = drawing
            .texts
            .iter()
            .map(|text| (text.at.x, text.at.y))
            .collect();
        for (at, one) in quads.iter().enumerate() {
            for other in &quads[at + 1..] {
                assert!((one.0 - other.0).abs() > 1.0 || (one.1 - other.1).abs() > 3.0);
            }
        }
    }

    #[test]
    fn a_narrow_area_is_refused() {
        assert!(curve_chart(&chart(), area(90.0)).is_err());
    }
}
