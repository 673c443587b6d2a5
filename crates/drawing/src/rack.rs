//! What stands in which unit of a rack, seen from in front.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::font::{LETTERING_MM, text_width};
use crate::model::{Anchor, Drawing, Element, Pen, Role, Shape, Text};
use crate::one_line::wrapped;
use crate::paper::point;
use crate::scale::{Area, Scale};
use crate::{Sketch, fit};

/// Height of a rack's unit, m (IEC 60297-3-100).
pub const RACK_UNIT_M: f64 = 0.04445;
/// Width of a rack's panel, m (IEC 60297-3-100).
pub const RACK_WIDTH_M: f64 = 0.4826;

/// A rack.
#[derive(Clone, Debug, PartialEq)]
pub struct Rack {
    /// The drawing's title.
    pub title: String,
    /// How many units it has.
    pub slots: u32,
    /// What stands in it.
    pub things: Vec<Racked>,
}

/// A thing in a rack.
#[derive(Clone, Debug, PartialEq)]
pub struct Racked {
    /// Its id in the job.
    pub id: String,
    /// What stands on it.
    pub label: String,
    /// What stands beside it: mass and heat.
    pub beside: String,
    /// Its lowest unit, from 1 at the bottom.
    pub slot: u32,
    /// Its height in units.
    pub units: u32,
}

/// Draws it to scale.
pub fn rack(rack: &Rack, area: Area) -> Result<Drawing, DrawingError> {
    let beside_mm = (rack.things.iter())
        .map(|one| text_width(&one.beside, LETTERING_MM, false))
        .fold(0.0, f64::max);
    let narrower = Area {
        width_mm: area.width_mm - beside_mm - 14.0,
        ..area
    };
    let size_m = (RACK_WIDTH_M, f64::from(rack.slots) * RACK_UNIT_M);
    let mut drawing = fit(&rack.title, narrower, size_m, |scale| sketch(rack, scale));
    // The words beside it were left room for.
    if let Err(DrawingError::TooLarge { .. }) = drawing {
        drawing = fit(&rack.title, area, size_m, |scale| sketch(rack, scale));
    }
    drawing
}

fn sketch(rack: &Rack, scale: Scale) -> Sketch {
    let mut canvas = Canvas::default();
    let width = scale.paper_mm(RACK_WIDTH_M);
    let unit = scale.paper_mm(RACK_UNIT_M);
    let top = f64::from(rack.slots) * unit;
    let frame = |left: f64, upper: f64, right: f64, lower: f64, pen| {
        Shape::outline(
            vec![
                point(left, upper),
                point(right, upper),
                point(right, lower),
                point(left, lower),
            ],
            pen,
        )
    };
    canvas.draw(Role::Thing, vec![frame(0.0, 0.0, width, top, Pen::Cut)]);
    let every = if unit >= LETTERING_MM { 1 } else { 5 };
    for slot in 1..=rack.slots {
        let lower = top - f64::from(slot - 1) * unit;
        if slot % every == 0 || slot == 1 {
            let at = point(-2.0, lower - unit / 2.0 + LETTERING_MM * 0.34);
            canvas.write(Text::new(at, Anchor::End, slot.to_string()));
        }
    }
    for one in &rack.things {
        let lower = top - f64::from(one.slot.saturating_sub(1)) * unit;
        let upper = lower - f64::from(one.units) * unit;
        canvas.add(Element {
            id: one.id.clone(),
            about: format!("{}, {}", one.label, one.beside),
            role: Role::Thing,
            shapes: vec![frame(1.0, upper, width - 1.0, lower, Pen::Seen)],
        });
        let base = (upper + lower) / 2.0 + LETTERING_MM * 0.34;
        let label = wrapped(&one.label, width - 4.0).swap_remove(0);
        canvas.write(Text::new(point(width / 2.0, base), Anchor::Middle, label));
        canvas.write(Text::new(
            point(width + 2.0, base),
            Anchor::Start,
            &one.beside,
        ));
    }
    Sketch {
        canvas,
        labels: Vec::new(),
        north_rad: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::overlaps;
    use crate::scale::Scales;

    #[test]
    fn units_are_to_scale_and_nothing_lies_on_a_name() {
        let one = Rack {
            title: "Rack".to_owned(),
            slots: 20,
            things: vec![Racked {
                id: "receiver".to_owned(),
                label: "Receiver".to_owned(),
                beside: "12 kg, 260 W".to_owned(),
                slot: 3,
                units: 4,
            }],
        };
        let area = Area {
            width_mm: 180.0,
            height_mm: 240.0,
            scales: Scales::Metric,
            smallest: None,
        };
        let drawing = rack(&one, area).unwrap();
        assert_eq!(overlaps(&drawing), []);
        let thing = drawing
            .elements
            .iter()
            .find(|one| one.id == "receiver")
            .unwrap();
        let height = thing.shapes[0].bounds().unwrap().height();
        let expected = 4.0 * 44.45 / f64::from(drawing.scale.0);
        assert!((height - expected).abs() < 1e-9, "{height}");
    }
}
