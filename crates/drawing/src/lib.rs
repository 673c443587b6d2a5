//! Drawings to scale in millimetres of paper, written as SVG.
//!
//! A builder ([`elevation()`], [`plan()`], [`ceiling()`]) takes plain lengths in metres and texts that are formatted already, picks
//! the largest scale that fits the given [`Area`], and returns a [`Drawing`]: shapes by line kind, and texts whose boxes
//! are known, so that [`overlaps`] can prove that all of it can be read. [`svg()`] writes it, one user unit to a millimetre.

mod block;
mod canvas;
mod ceiling;
mod dimension;
mod elevation;
mod error;
pub mod font;
mod label;
mod model;
mod offset;
mod paper;
mod plan;
mod plan_signs;
mod scale;
mod svg;
mod verdict;

pub use ceiling::{CeilingPiece, CeilingPlan, Distance, Joists, ceiling};
pub use dimension::{Chain, Figure};
pub use elevation::{
    CutOut, Elevation, Fitted, Fixture, FixtureKind, Opening, OpeningKind, Patch, Side, Stud,
    elevation,
};
pub use error::DrawingError;
pub use model::{
    Anchor, Clash, Drawing, Element, Fill, Hatch, KeyEntry, Pen, Role, RouteDash, Shape, Text,
    overlaps,
};
pub use paper::{Bounds, Point, Quad, point};
pub use plan::{
    Loudspeaker, Piece, Plan, PlanOpening, PlanOpeningKind, PlanWall, Route, Seat, ViewArrow, plan,
};
pub use scale::{Area, Scale, Scales};
pub use svg::svg;
pub use verdict::Verdict;

/// Draws on the first of several areas that gives the largest scale, for instance a sheet lying or standing.
///
/// The error is that of the last area.
pub fn on_best(
    areas: &[Area],
    draw: impl Fn(Area) -> Result<Drawing, DrawingError>,
) -> Result<Drawing, DrawingError> {
    let mut best: Option<Result<Drawing, DrawingError>> = None;
    for area in areas {
        let drawn = draw(*area);
        let better = match (&best, &drawn) {
            (Some(Ok(best)), Ok(drawn)) => drawn.scale < best.scale,
            (Some(Ok(_)), Err(_)) => false,
            (None | Some(Err(_)), _) => true,
        };
        if better {
            best = Some(drawn);
        }
    }
    best.unwrap_or_else(|| {
        Err(DrawingError::Outline {
            what: "there is no area to draw on".to_string(),
        })
    })
}

/// Where labels may go: the picture and what the area has to spare around it.
pub(crate) fn label_region(canvas: &canvas::Canvas, area: Area) -> Bounds {
    let bounds = canvas.bounds();
    // Farther than this a leader is harder to follow than a number. Title and scale bar take 20 mm at most.
    let spare_x = ((area.width_mm - bounds.width() - 1.0) / 2.0).clamp(0.0, 35.0);
    let spare_y = (area.height_mm - 20.0 - bounds.height() - 1.0).clamp(0.0, 35.0);
    Bounds {
        min: bounds.min - point(spare_x, spare_y),
        max: bounds.max + point(spare_x, 0.0),
    }
}

/// Draws at each allowed scale, largest picture first, until the drawing fits the area.
pub(crate) fn fit(
    title: &str,
    area: Area,
    size_m: (f64, f64),
    mut draw: impl FnMut(Scale) -> Drawing,
) -> Result<Drawing, DrawingError> {
    let list = area.scales.list();
    let mut refused = None;
    for (i, scale) in list.iter().enumerate() {
        let bare = (scale.paper_mm(size_m.0), scale.paper_mm(size_m.1));
        let last = i + 1 == list.len();
        if !last && (bare.0 > area.width_mm || bare.1 > area.height_mm) {
            continue;
        }
        let drawing = draw(*scale);
        if drawing.width_mm <= area.width_mm && drawing.height_mm <= area.height_mm {
            return Ok(drawing);
        }
        refused = Some(drawing);
    }
    let drawing = refused.expect("the last scale is always drawn");
    Err(DrawingError::TooLarge {
        title: title.to_string(),
        scale: drawing.scale,
        width_mm: drawing.width_mm,
        height_mm: drawing.height_mm,
        area_width_mm: area.width_mm,
        area_height_mm: area.height_mm,
    })
}
