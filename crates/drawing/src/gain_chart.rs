//! How bright is the picture from each seat? The screen's gain over the angle off its normal,
//! with the seats on it.
//!
//! Read without colour: the curve is a heavy line, thin where it is not known well; a seat is
//! a filled circle with its name on a leader above.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::font::{LETTERING_MM, text_width};
use crate::model::{Anchor, Drawing, Element, Fill, Pen, Role, Shape, Text};
use crate::paper::{Point, point};
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct GainChart {
    /// The drawing's title.
    pub title: String,
    /// Angle in degrees and gain there, from straight ahead outwards.
    pub curve: Vec<[f64; 2]>,
    /// Beyond this angle the curve is not known well, degrees.
    pub reliable_deg: Option<f64>,
    /// The angle at which half of the gain is left, degrees.
    pub half_deg: Option<f64>,
    /// The seats.
    pub seats: Vec<GainSeat>,
}

/// A seat before the screen.
#[derive(Clone, Debug, PartialEq)]
pub struct GainSeat {
    /// Its name, with what it sees.
    pub label: String,
    /// Its angle off the normal, degrees.
    pub angle_deg: f64,
    /// The gain there.
    pub gain: f64,
}

const LEFT_MM: f64 = 12.0;
const HEIGHT_MM: f64 = 46.0;
const WIDTH_MM: [f64; 2] = [90.0, 170.0];
/// Names stand in rows above the chart, this far apart.
const ROW_MM: f64 = 4.6;
const ANGLE_STEP_DEG: usize = 10;

/// Draws the chart; it has no scale. The error is that of an area too narrow for it.
pub fn gain_chart(chart: &GainChart, area: Area) -> Result<Drawing, DrawingError> {
    let width = (area.width_mm - LEFT_MM - 4.0).min(WIDTH_MM[1]);
    let rows = chart.seats.len().max(1) as f64;
    let height_mm = 8.0 + rows * ROW_MM + HEIGHT_MM + 22.0;
    if width < WIDTH_MM[0] || height_mm > area.height_mm {
        return Err(DrawingError::TooLarge {
            title: chart.title.clone(),
            scale: Scale(0),
            width_mm: LEFT_MM + 4.0 + WIDTH_MM[0],
            height_mm,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    let axes = Axes {
        chart,
        width,
        top_mm: 8.0 + rows * ROW_MM,
        angle_most: chart.curve.last().map_or(80.0, |[angle, _]| *angle),
        gain_most: gain_most(chart),
    };
    let mut canvas = Canvas::default();
    axes.grid(&mut canvas);
    axes.curve(&mut canvas);
    axes.seats(&mut canvas);
    Ok(canvas.finish_without_scale(&chart.title))
}

/// The next half above all that is drawn.
fn gain_most(chart: &GainChart) -> f64 {
    let gains = chart.curve.iter().map(|[_, gain]| *gain);
    let most = gains.chain(chart.seats.iter().map(|seat| seat.gain));
    (most.fold(0.0, f64::max) * 2.0 + 1e-9).ceil().max(1.0) / 2.0
}

struct Axes<'a> {
    chart: &'a GainChart,
    width: f64,
    top_mm: f64,
    angle_most: f64,
    gain_most: f64,
}

impl Axes<'_> {
    fn at(&self, angle_deg: f64, gain: f64) -> Point {
        let share = (angle_deg / self.angle_most).clamp(0.0, 1.0);
        let up = (gain / self.gain_most).clamp(0.0, 1.0);
        point(
            LEFT_MM + self.width * share,
            self.top_mm + HEIGHT_MM * (1.0 - up),
        )
    }

    fn grid(&self, canvas: &mut Canvas) {
        canvas.write(Text::new(
            point(0.0, self.top_mm - 3.0),
            Anchor::Start,
            "gain",
        ));
        let mut lines = Vec::new();
        let steps = (self.gain_most * 2.0).round() as u32;
        for step in 0..=steps {
            let gain = f64::from(step) / 2.0;
            let (left, right) = (self.at(0.0, gain), self.at(self.angle_most, gain));
            lines.push(Shape::line(left, right, Pen::Thin));
            let at = point(left.x - 2.0, left.y + 1.0);
            canvas.write(Text::new(at, Anchor::End, format!("{gain:.1}")));
        }
        for end in [0.0, self.angle_most] {
            lines.push(Shape::line(
                self.at(end, 0.0),
                self.at(end, self.gain_most),
                Pen::Seen,
            ));
        }
        for angle in (0..=self.angle_most.round() as usize).step_by(ANGLE_STEP_DEG) {
            let at = self.at(angle as f64, 0.0);
            lines.push(Shape::line(at, point(at.x, at.y + 1.2), Pen::Thin));
            let at = point(at.x, at.y + 5.0);
            canvas.write(Text::new(at, Anchor::Middle, format!("{angle}°")));
        }
        canvas.draw(Role::Dimension, lines);
        let mut words = "off the screen's normal, seen from each seat".to_owned();
        if let Some(half) = self.chart.half_deg {
            words.push_str(&format!("; half of the gain is left at {half:.0}°"));
        }
        let at = point(LEFT_MM, self.top_mm + HEIGHT_MM + 10.5);
        canvas.write(Text::new(at, Anchor::Start, words));
        let known = self.chart.reliable_deg;
        if let Some(reliable) = known.filter(|reliable| *reliable < self.angle_most - 1e-6) {
            let at = point(LEFT_MM, self.top_mm + HEIGHT_MM + 15.5);
            let words = format!("thin beyond {reliable:.0}°, where the curve is not known well");
            canvas.write(Text::new(at, Anchor::Start, words));
        }
    }

    fn curve(&self, canvas: &mut Canvas) {
        let known = self.chart.reliable_deg.unwrap_or(self.angle_most) + 1e-9;
        let points = |keep: &dyn Fn(f64) -> bool| -> Vec<Point> {
            let kept = self.chart.curve.iter().filter(|[angle, _]| keep(*angle));
            kept.map(|[angle, gain]| self.at(*angle, *gain)).collect()
        };
        let last = (self.chart.curve.iter())
            .map(|[angle, _]| *angle)
            .filter(|angle| *angle <= known)
            .fold(0.0, f64::max);
        let parts = [
            (points(&|angle| angle <= known), Pen::Cut),
            (points(&|angle| angle >= last), Pen::Thin),
        ];
        let shapes = parts.into_iter().filter(|(points, _)| points.len() > 1);
        let shapes = shapes.map(|(points, pen)| Shape::Path {
            points,
            closed: false,
            pen,
            fill: Fill::None,
        });
        canvas.draw(Role::Sign, shapes.collect());
    }

    fn seats(&self, canvas: &mut Canvas) {
        let mut seats: Vec<&GainSeat> = self.chart.seats.iter().collect();
        seats.sort_by(|a, b| a.angle_deg.total_cmp(&b.angle_deg));
        for (row, seat) in seats.iter().enumerate() {
            let at = self.at(seat.angle_deg, seat.gain);
            // Rows fall to the right, so that no leader crosses a name to its right.
            let y = 6.0 + row as f64 * ROW_MM;
            let width = text_width(&seat.label, LETTERING_MM, false);
            let right = at.x + 1.5 + width <= LEFT_MM + self.width;
            let (x, anchor) = match right {
                true => (at.x + 1.5, Anchor::Start),
                false => (at.x - 1.5, Anchor::End),
            };
            canvas.add(Element {
                id: String::new(),
                about: seat.label.clone(),
                role: Role::Thing,
                shapes: vec![
                    Shape::line(point(at.x, y - 2.5), at, Pen::Thin),
                    Shape::Circle {
                        centre: at,
                        radius_mm: 1.1,
                        pen: Pen::Seen,
                        fill: Fill::Ink,
                    },
                ],
            });
            canvas.write(Text::new(point(x, y), anchor, &seat.label));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scale::Scales;

    fn chart() -> GainChart {
        let curve = (0..=32).map(|step| f64::from(step) * 2.5);
        let seat = |label: &str, angle_deg: f64| GainSeat {
            label: label.to_owned(),
            angle_deg,
            gain: 1.3 * angle_deg.to_radians().cos().powi(3),
        };
        GainChart {
            title: "Cinema, gain by seat".to_owned(),
            curve: curve
                .map(|angle| [angle, 1.3 * angle.to_radians().cos().powi(3)])
                .collect(),
            reliable_deg: Some(52.5),
            half_deg: Some(37.5),
            seats: vec![
                seat("left, 48 cd/m²", 28.0),
                seat("middle, 61 cd/m²", 2.0),
                seat("right, 48 cd/m²", 28.4),
                seat("bed, 20 cd/m²", 71.0),
            ],
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
    fn every_seat_is_told_and_nothing_overlaps() {
        let drawing = gain_chart(&chart(), area(180.0)).expect("it fits");
        let told: Vec<&str> = (drawing.elements.iter())
            .map(|element| element.about.as_str())
            .filter(|about| !about.is_empty())
            .collect();
        assert_eq!(told.len(), 4);
        let overlaps = crate::overlaps(&drawing);
        assert!(overlaps.is_empty(), "{overlaps:?}");
    }

    #[test]
    fn a_narrow_area_is_refused() {
        assert!(gain_chart(&chart(), area(70.0)).is_err());
    }
}
