//! How loud is it where, seen from above?
//!
//! Read without colour: each cell prints how far it is below the loudest place in whole
//! decibels, and heavy lines run where another 3 dB are lost.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::model::{Anchor, Drawing, Fill, Pen, Role, Shape, Text};
use crate::paper::{Point, point};
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelMap {
    /// The drawing's title.
    pub title: String,
    /// Middle of each cell, m, and its level re the loudest, dB.
    pub cells: Vec<([f64; 2], f64)>,
    /// Side of a cell, m.
    pub cell_m: f64,
    /// The room's corners, m.
    pub outline_m: Vec<[f64; 2]>,
    /// Seats and loudspeakers: where, and what is printed there.
    pub marks: Vec<([f64; 2], String)>,
}

/// A heavy line stands where a level crosses a multiple of this, dB.
const CLASS_DB: f64 = 3.0;

/// Cells smaller than this hold no number, mm.
const NUMBER_MM: f64 = 5.2;

/// Between two small maps, mm.
const GAP_MM: f64 = 6.0;

/// Above a small map for what it is of, mm.
const CAPTION_MM: f64 = 6.0;

/// A room's corners in plan: left, right, low and high, m.
struct Ends {
    left: f64,
    right: f64,
    low: f64,
    high: f64,
}

impl Ends {
    fn of(map: &LevelMap) -> Self {
        let end = |axis: usize, pick: fn(f64, f64) -> f64, from: f64| {
            map.outline_m
                .iter()
                .map(|corner| corner[axis])
                .fold(from, pick)
        };
        Self {
            left: end(0, f64::min, f64::INFINITY),
            right: end(0, f64::max, f64::NEG_INFINITY),
            low: end(1, f64::min, f64::INFINITY),
            high: end(1, f64::max, f64::NEG_INFINITY),
        }
    }

    /// How large a metre is where the plan has this width and height, mm.
    fn metre_mm(&self, width_mm: f64, height_mm: f64) -> f64 {
        let wide = width_mm / (self.right - self.left);
        wide.min(height_mm / (self.high - self.low))
    }
}

fn too_large(title: &str, area: Area) -> DrawingError {
    DrawingError::TooLarge {
        title: title.to_owned(),
        scale: Scale(0),
        width_mm: 0.0,
        height_mm: 0.0,
        area_width_mm: area.width_mm,
        area_height_mm: area.height_mm,
    }
}

/// Draws the map on the whole width; it has no scale. The error is that of an empty map.
pub fn level_map(map: &LevelMap, area: Area) -> Result<Drawing, DrawingError> {
    let ends = Ends::of(map);
    let metre_mm = ends.metre_mm(area.width_mm - 6.0, area.height_mm - 24.0);
    if !(metre_mm > 0.0 && metre_mm.is_finite()) || map.cells.is_empty() {
        return Err(too_large(&map.title, area));
    }
    let mut canvas = Canvas::default();
    draw(&mut canvas, map, point(0.0, 0.0), metre_mm, true);
    Ok(canvas.finish_without_scale(&map.title))
}

/// Draws maps of one room beside each other, as large as all of them can be and all as large as
/// each other; each has its own title above it, signs but no names. The error is that of none, or
/// of an empty one.
pub fn level_maps(title: &str, maps: &[LevelMap], area: Area) -> Result<Drawing, DrawingError> {
    let of = |columns: usize| {
        let rows = maps.len().div_ceil(columns) as f64;
        let width_mm = (area.width_mm - 6.0 + GAP_MM) / columns as f64 - GAP_MM;
        let height_mm = (area.height_mm - 24.0 + GAP_MM) / rows - GAP_MM - CAPTION_MM;
        let metres = maps
            .iter()
            .map(|map| Ends::of(map).metre_mm(width_mm, height_mm));
        (metres.fold(f64::INFINITY, f64::min), columns)
    };
    let best = (1..=maps.len()).map(of).max_by(|a, b| a.0.total_cmp(&b.0));
    let (metre_mm, columns) = best.unwrap_or((0.0, 1));
    let is_empty = maps.iter().any(|map| map.cells.is_empty());
    if !(metre_mm > 0.0 && metre_mm.is_finite()) || is_empty {
        return Err(too_large(title, area));
    }
    let size = |pick: &dyn Fn(&Ends) -> f64| {
        let sizes = maps.iter().map(|map| pick(&Ends::of(map)) * metre_mm);
        sizes.fold(0.0, f64::max)
    };
    let wide_mm = size(&|ends| ends.right - ends.left);
    let tall_mm = size(&|ends| ends.high - ends.low);
    let mut canvas = Canvas::default();
    for (at, map) in maps.iter().enumerate() {
        let (column, row) = ((at % columns) as f64, (at / columns) as f64);
        let corner = point(
            column * (wide_mm + GAP_MM),
            row * (tall_mm + GAP_MM + CAPTION_MM) + CAPTION_MM,
        );
        let caption = point(corner.x + wide_mm / 2.0, corner.y - 2.0);
        canvas.write(Text::new(caption, Anchor::Middle, map.title.clone()));
        draw(&mut canvas, map, corner, metre_mm, false);
    }
    Ok(canvas.finish_without_scale(title))
}

/// Draws a map with its upper left corner there.
fn draw(canvas: &mut Canvas, map: &LevelMap, corner: Point, mm: f64, is_named: bool) {
    let Ends {
        left, low, high, ..
    } = Ends::of(map);
    let on_paper = |[x, y]: [f64; 2]| point(corner.x + (x - left) * mm, corner.y + (high - y) * mm);
    let side = map.cell_m * mm;
    let marks: Vec<Point> = map.marks.iter().map(|(at, _)| on_paper(*at)).collect();
    // Numbers only where they can be read: every cell, every second, …, off the walls.
    let every = (NUMBER_MM / side).ceil().max(1.0) as i64;
    let place = |[x, y]: [f64; 2]| {
        let cell = |from: f64, at: f64| ((at - from) / map.cell_m - 0.5).round() as i64;
        (cell(left, x), cell(low, y))
    };
    let by_place: std::collections::BTreeMap<(i64, i64), f64> = map
        .cells
        .iter()
        .map(|(at, level)| (place(*at), *level))
        .collect();
    let names = match is_named {
        true => names(&marks, map),
        false => Vec::new(),
    };
    let class = |level: f64| (-level / CLASS_DB + 1e-9).floor() as i64;
    let mut lines = Vec::new();
    for (&(column, row), &level) in &by_place {
        let corner = |dx: i64, dy: i64| {
            on_paper([
                left + (column + dx) as f64 * map.cell_m,
                low + (row + dy) as f64 * map.cell_m,
            ])
        };
        let differs = |other: (i64, i64)| {
            by_place
                .get(&other)
                .is_some_and(|other| class(*other) != class(level))
        };
        if differs((column + 1, row)) {
            lines.push(Shape::line(corner(1, 0), corner(1, 1), Pen::Seen));
        }
        if differs((column, row + 1)) {
            lines.push(Shape::line(corner(0, 1), corner(1, 1), Pen::Seen));
        }
        let middle = point(
            (corner(0, 0).x + corner(1, 1).x) / 2.0,
            (corner(0, 0).y + corner(1, 1).y) / 2.0 + 0.9,
        );
        let number = Text::new(middle, Anchor::Middle, format!("{:.0}", level.abs()));
        let quad = number.quad();
        // A sign or its name stands there.
        let hidden = names.iter().any(|name| name.quad().overlaps(&quad, 0.0))
            || (marks.iter())
                .any(|mark| (mark.x - middle.x).abs() < 3.0 && (mark.y - middle.y).abs() < 3.0);
        let is_told = |cell: i64| cell.rem_euclid(every) == every / 2;
        if is_told(column) && is_told(row) && !hidden {
            canvas.write(number);
        }
    }
    canvas.draw(Role::Thing, lines);
    let outline = Shape::Path {
        points: map
            .outline_m
            .iter()
            .map(|corner| on_paper(*corner))
            .collect(),
        closed: true,
        pen: Pen::Cut,
        fill: Fill::None,
    };
    canvas.draw(Role::Thing, vec![outline]);
    for at in &marks {
        let sign = Shape::Circle {
            centre: *at,
            radius_mm: 0.9,
            pen: Pen::Seen,
            fill: Fill::Ink,
        };
        canvas.draw(Role::Sign, vec![sign]);
    }
    for name in names {
        canvas.write(name);
    }
}

/// What stands at the marks; where two would stand on each other, the first alone.
fn names(marks: &[Point], map: &LevelMap) -> Vec<Text> {
    let mut names: Vec<Text> = Vec::new();
    for (at, (_, text)) in marks.iter().zip(&map.marks) {
        let name = Text::new(point(at.x, at.y - 1.8), Anchor::Middle, text);
        let quad = name.quad();
        if !names.iter().any(|other| other.quad().overlaps(&quad, 0.0)) {
            names.push(name);
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scale::Scales;

    #[test]
    fn lines_stand_where_three_decibels_are_lost() {
        let cells = (0..6)
            .flat_map(|x| (0..4).map(move |y| (x, y)))
            .map(|(x, y)| ([f64::from(x) + 0.5, f64::from(y) + 0.5], -f64::from(x)))
            .collect();
        let map = LevelMap {
            title: "Level".to_owned(),
            cells,
            cell_m: 1.0,
            outline_m: vec![[0.0, 0.0], [0.0, 4.0], [6.0, 4.0], [6.0, 0.0]],
            marks: vec![([3.0, 2.0], "sofa".to_owned())],
        };
        let area = Area {
            width_mm: 170.0,
            height_mm: 200.0,
            scales: Scales::Metric,
            smallest: None,
        };
        let drawing = level_map(&map, area).expect("it fits");
        // Between 2 and 3 dB alone: four cells' sides.
        let heavy = drawing.elements[0].shapes.len();
        assert_eq!(heavy, 4);
        assert!(drawing.texts.iter().any(|text| text.content == "5"));
        let empty = LevelMap {
            cells: Vec::new(),
            ..map
        };
        assert!(level_map(&empty, area).is_err());
        assert!(level_maps("Levels", &[empty], area).is_err());
        assert!(level_maps("Levels", &[], area).is_err());
    }

    #[test]
    fn maps_beside_each_other_can_all_be_read() {
        let octave = |hertz: u32| LevelMap {
            title: format!("{hertz} Hz"),
            cells: (0..24)
                .flat_map(|x| (0..16).map(move |y| (x, y)))
                .map(|(x, y)| {
                    let at = [f64::from(x) * 0.25 + 0.125, f64::from(y) * 0.25 + 0.125];
                    (at, -f64::from(x) * 0.5)
                })
                .collect(),
            cell_m: 0.25,
            outline_m: vec![[0.0, 0.0], [0.0, 4.0], [6.0, 4.0], [6.0, 0.0]],
            marks: vec![([3.0, 2.0], "sofa".to_owned())],
        };
        let maps = [125, 250, 500, 1000, 2000, 4000, 8000].map(octave);
        let area = Area {
            width_mm: 180.0,
            height_mm: 240.0,
            scales: Scales::Metric,
            smallest: None,
        };
        let drawing = level_maps("Levels", &maps, area).expect("they fit");
        assert!(drawing.width_mm <= area.width_mm && drawing.height_mm <= area.height_mm);
        assert!(crate::overlaps(&drawing).is_empty());
        for map in &maps {
            let titled = |text: &&Text| text.content == map.title;
            assert_eq!(drawing.texts.iter().filter(titled).count(), 1);
        }
        // The names stand on the large map alone.
        assert!(drawing.texts.iter().all(|text| text.content != "sofa"));
    }
}
