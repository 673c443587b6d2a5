//! From where does each seat hear each channel, and from where should it?
//!
//! Read without colour: straight ahead is up, arcs span what is allowed, a filled disc is a channel
//! within it, an open one with a cross is not. What plays overhead is on the inner ring.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::model::{Anchor, Drawing, Fill, Pen, Role, Shape, Text};
use crate::paper::{Point, point};
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct AngleDials {
    /// The drawing's title.
    pub title: String,
    /// One dial a seat.
    pub dials: Vec<AngleDial>,
}

/// A seat's dial.
#[derive(Clone, Debug, PartialEq)]
pub struct AngleDial {
    /// What stands below it.
    pub title: String,
    /// Each channel.
    pub channels: Vec<DialMark>,
}

/// A channel on a dial.
#[derive(Clone, Debug, PartialEq)]
pub struct DialMark {
    /// What stands at it: its number in a list.
    pub label: String,
    /// From straight ahead, positive to the left, rad.
    pub azimuth_rad: f64,
    /// Whether it plays above the listeners.
    pub is_overhead: bool,
    /// Whether it is heard from where it should be.
    pub is_inside: bool,
    /// What is allowed, from the right end to the left, rad.
    pub allowed_rad: Option<[f64; 2]>,
}

/// Radii of the rings, and what a dial takes on each side of its middle, mm.
const RING_MM: f64 = 17.0;
const INNER_MM: f64 = 10.0;
const HALF_MM: f64 = 24.0;
/// Below a dial for its title, mm.
const TITLE_MM: f64 = 6.0;
/// Steps of an arc, rad.
const STEP_RAD: f64 = 0.05;

/// Draws the dials in rows; they have no scale. The error is that of none, or too many.
pub fn angle_dials(dials: &AngleDials, area: Area) -> Result<Drawing, DrawingError> {
    let columns = (area.width_mm / (2.0 * HALF_MM)).floor().max(1.0) as usize;
    let rows = dials.dials.len().div_ceil(columns);
    let height_mm = rows as f64 * (2.0 * HALF_MM + TITLE_MM);
    if dials.dials.is_empty() || height_mm > area.height_mm {
        return Err(DrawingError::TooLarge {
            title: dials.title.clone(),
            scale: Scale(0),
            width_mm: 2.0 * HALF_MM,
            height_mm,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    let mut canvas = Canvas::default();
    for (at, dial) in dials.dials.iter().enumerate() {
        let (column, row) = ((at % columns) as f64, (at / columns) as f64);
        let middle = point(
            HALF_MM * (2.0 * column + 1.0),
            row * (2.0 * HALF_MM + TITLE_MM) + HALF_MM,
        );
        draw(&mut canvas, dial, middle);
    }
    Ok(canvas.finish_without_scale(&dials.title))
}

fn draw(canvas: &mut Canvas, dial: &AngleDial, middle: Point) {
    let on = |azimuth: f64, radius: f64| {
        let (sin, cos) = azimuth.sin_cos();
        point(middle.x - sin * radius, middle.y - cos * radius)
    };
    let circle = |centre, radius_mm, pen, fill| Shape::Circle {
        centre,
        radius_mm,
        pen,
        fill,
    };
    let mut shapes = vec![
        circle(middle, RING_MM, Pen::Thin, Fill::None),
        circle(middle, INNER_MM, Pen::Thin, Fill::None),
        circle(middle, 1.2, Pen::Seen, Fill::None),
        Shape::line(on(0.0, 1.2), on(0.0, RING_MM + 4.0), Pen::Thin),
    ];
    for channel in &dial.channels {
        let radius = if channel.is_overhead {
            INNER_MM
        } else {
            RING_MM
        };
        if let Some([right, left]) = channel.allowed_rad {
            let steps = ((left - right) / STEP_RAD).ceil().max(1.0);
            let points = (0..=steps as u32)
                .map(|step| on(right + (left - right) * f64::from(step) / steps, radius));
            shapes.push(Shape::Path {
                points: points.collect(),
                closed: false,
                pen: Pen::Cut,
                fill: Fill::None,
            });
        }
    }
    canvas.draw(Role::Thing, shapes);
    let mut names: Vec<Text> = Vec::new();
    for channel in &dial.channels {
        let radius = if channel.is_overhead {
            INNER_MM
        } else {
            RING_MM
        };
        let at = on(channel.azimuth_rad, radius);
        let mut sign = vec![circle(
            at,
            1.3,
            Pen::Seen,
            if channel.is_inside {
                Fill::Ink
            } else {
                Fill::None
            },
        )];
        if !channel.is_inside {
            for way in [1.0, -1.0] {
                let [from, to] = [-1.8, 1.8].map(|arm| point(at.x + arm, at.y + way * arm));
                sign.push(Shape::line(from, to, Pen::Seen));
            }
        }
        canvas.draw(Role::Sign, sign);
        let beside = on(channel.azimuth_rad, radius + 3.6);
        let name = Text::new(
            point(beside.x, beside.y + 0.9),
            Anchor::Middle,
            &channel.label,
        );
        let quad = name.quad();
        if !names.iter().any(|other| other.quad().overlaps(&quad, 0.0)) {
            names.push(name);
        }
    }
    let below = point(middle.x, middle.y + HALF_MM + TITLE_MM / 2.0);
    names.push(Text::new(below, Anchor::Middle, &dial.title));
    for name in names {
        canvas.write(name);
    }
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

    fn mark(azimuth_deg: f64, is_inside: bool) -> DialMark {
        let azimuth_rad = azimuth_deg.to_radians();
        DialMark {
            label: "1".to_owned(),
            azimuth_rad,
            is_overhead: false,
            is_inside,
            allowed_rad: Some([azimuth_rad - 0.1, azimuth_rad + 0.1]),
        }
    }

    fn dials(count: usize, marks: &[DialMark]) -> AngleDials {
        let dial = AngleDial {
            title: "seat left".to_owned(),
            channels: marks.to_vec(),
        };
        AngleDials {
            title: "Directions".to_owned(),
            dials: vec![dial; count],
        }
    }

    #[test]
    fn a_channel_on_the_left_is_drawn_left() {
        let drawn = angle_dials(&dials(1, &[mark(90.0, true)]), AREA).unwrap();
        let signs = drawn.elements.iter().filter(|one| one.role == Role::Sign);
        let shapes: Vec<&Shape> = signs.flat_map(|one| &one.shapes).collect();
        let [Shape::Circle { centre, fill, .. }] = &shapes[..] else {
            panic!("{shapes:?}")
        };
        let title = drawn.texts.iter().find(|text| text.content == "seat left");
        let middle = title.expect("it has a title").at.x;
        assert!(
            (middle - centre.x - RING_MM).abs() < 1e-9,
            "{centre:?} {middle}"
        );
        assert_eq!(*fill, Fill::Ink);
    }

    #[test]
    fn what_is_out_of_its_range_is_crossed() {
        let drawn = angle_dials(&dials(1, &[mark(-30.0, false)]), AREA).unwrap();
        let signs = drawn.elements.iter().filter(|one| one.role == Role::Sign);
        assert_eq!(signs.flat_map(|one| &one.shapes).count(), 3);
    }

    #[test]
    fn no_words_overlap_and_none_or_too_many_are_refused() {
        let close = [mark(30.0, true), mark(32.0, true), mark(-30.0, false)];
        let drawn = angle_dials(&dials(8, &close), AREA).unwrap();
        assert_eq!(crate::overlaps(&drawn), []);
        assert!(angle_dials(&dials(0, &close), AREA).is_err());
        assert!(angle_dials(&dials(100, &close), AREA).is_err());
    }
}
