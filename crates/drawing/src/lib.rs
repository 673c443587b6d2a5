//! Drawings to scale in millimetres of paper, written as SVG.
//!
//! A builder ([`elevation()`], [`plan()`], [`ceiling()`]) takes plain lengths in metres and texts that are formatted already, picks
//! the largest scale that fits the given [`Area`], and returns a [`Drawing`]: shapes by line kind, and texts whose boxes
//! are known, so that [`overlaps`] can prove that all of it can be read. [`svg()`] writes it, one user unit to a millimetre.

mod angle_dials;
mod bars;
mod block;
mod canvas;
mod ceiling;
mod curve_chart;
mod dimension;
mod elevation;
mod error;
pub mod font;
mod gain_chart;
mod label;
mod label_page;
mod level_map;
mod model;
mod near;
mod octave_chart;
mod offset;
mod one_line;
mod paper;
mod pipe_section;
mod place_region;
mod plan;
mod plan_signs;
mod rack;
mod scale;
mod svg;
mod template;
mod verdict;
mod wall_route;
mod year_map;

pub use angle_dials::{AngleDial, AngleDials, DialMark, angle_dials};
pub use bars::{Bar, Bars, bars};
pub use ceiling::{CeilingPiece, CeilingPlan, Distance, Joists, ceiling};
pub use curve_chart::{CurveChart, curve_chart};
pub use dimension::{Chain, Figure, FigureSigns};
pub use elevation::{
    CutOut, Elevation, Fitted, Fixture, FixtureKind, Opening, OpeningKind, Patch, Side, Stud,
    elevation,
};
pub use error::DrawingError;
pub use font::LETTERING_MM;
pub use gain_chart::{GainChart, GainSeat, gain_chart};
pub use label_page::{CableLabel, LabelSheet, label_pages, label_sheet_fault};
pub use level_map::{LevelMap, level_map, level_maps};
pub use model::{
    Anchor, Clash, Drawing, Element, Fill, Hatch, KeyEntry, Pen, Role, RouteDash, Shape, Text,
    overlaps,
};
pub use octave_chart::{ChartValue, OctaveChart, octave_chart};
pub use one_line::{LineBox, LineLead, OneLine, one_line};
pub use paper::{Bounds, Point, Quad, point};
pub use pipe_section::{PipeCable, PipeSection, pipe_sections};
pub use place_region::{Case, PlaceRegion, RegionEdge, Section, place_region};
pub use plan::{
    Loudspeaker, Piece, Plan, PlanOpening, PlanOpeningKind, PlanWall, Route, Seat, ViewArrow, plan,
};
pub use rack::{RACK_UNIT_M, RACK_WIDTH_M, Rack, Racked, rack};
pub use scale::{Area, Scale, Scales};
pub use svg::svg;
pub use template::{Template, template};
pub use verdict::Verdict;
pub use wall_route::WallRoute;
pub use year_map::{YearCell, YearMap, year_map};

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
fn label_region(canvas: &canvas::Canvas, area: Area) -> Bounds {
    let bounds = canvas.bounds();
    // Farther than this a leader is harder to follow than a number. Title and scale bar take 20 mm at most.
    let spare_x = ((area.width_mm - bounds.width() - 1.0) / 2.0).clamp(0.0, 35.0);
    let spare_y = (area.height_mm - 20.0 - bounds.height() - 1.0).clamp(0.0, 35.0);
    Bounds {
        min: bounds.min - point(spare_x, spare_y),
        max: bounds.max + point(spare_x, 0.0),
    }
}

/// A drawing at one scale before its labels have places.
pub(crate) struct Sketch {
    pub canvas: canvas::Canvas,
    pub labels: Vec<label::Label>,
    /// North as an angle clockwise from the sheet's up, rad; `None` leaves the arrow out.
    pub north_rad: Option<f64>,
}

impl Sketch {
    /// Its size without labels, with the least that title and scale bar take.
    fn least_size_mm(&self) -> (f64, f64) {
        const TITLE_MM: f64 = 8.0;
        let bounds = self.canvas.bounds();
        (bounds.width(), bounds.height() + TITLE_MM)
    }

    fn finish(mut self, title: &str, scale: Scale, area: Area) -> Drawing {
        let region = label_region(&self.canvas, area);
        self.canvas.place_labels(self.labels, region);
        if let Some(angle) = self.north_rad {
            plan_signs::draw_north(&mut self.canvas, angle);
        }
        self.canvas.finish(title, scale, area)
    }
}

/// Draws at each allowed scale, largest picture first, until the drawing fits the area.
pub(crate) fn fit(
    title: &str,
    area: Area,
    size_m: (f64, f64),
    sketch: impl Fn(Scale) -> Sketch,
) -> Result<Drawing, DrawingError> {
    let list = area.scales.list();
    let bare = |scale: Scale| (scale.paper_mm(size_m.0), scale.paper_mm(size_m.1));
    let least = *list.last().expect("each list has scales");
    let mut refused = (least, bare(least));
    let allowed = |scale: &&Scale| area.smallest.is_none_or(|smallest| **scale <= smallest);
    for scale in list.iter().copied().filter(|scale| allowed(&scale)) {
        let (width_mm, height_mm) = bare(scale);
        if width_mm > area.width_mm || height_mm > area.height_mm {
            refused = (scale, (width_mm, height_mm));
            continue;
        }
        let sketch = sketch(scale);
        // Labels take long to place and only add to its size.
        let (width_mm, height_mm) = sketch.least_size_mm();
        if width_mm > area.width_mm || height_mm > area.height_mm {
            refused = (scale, (width_mm, height_mm));
            continue;
        }
        let drawing = sketch.finish(title, scale, area);
        if drawing.width_mm <= area.width_mm && drawing.height_mm <= area.height_mm {
            return Ok(drawing);
        }
        refused = (scale, (drawing.width_mm, drawing.height_mm));
    }
    let (scale, (width_mm, height_mm)) = refused;
    Err(DrawingError::TooLarge {
        title: title.to_string(),
        scale,
        width_mm,
        height_mm,
        area_width_mm: area.width_mm,
        area_height_mm: area.height_mm,
    })
}
