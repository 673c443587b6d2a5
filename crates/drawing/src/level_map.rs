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

/// Draws the map on the whole width; it has no scale. The error is that of an empty map.
pub fn level_map(map: &LevelMap, area: Area) -> Result<Drawing, DrawingError> {
    let ends = |axis: usize| {
        let along = || map.outline_m.iter().map(|corner| corner[axis]);
        (
            along().fold(f64::INFINITY, f64::min),
            along().fold(f64::NEG_INFINITY, f64::max),
        )
    };
    let ((left, right), (low, high)) = (ends(0), ends(1));
    let wide = (area.width_mm - 6.0) / (right - left);
    let tall = (area.height_mm - 24.0) / (high - low);
    let mm = wide.min(tall);
    if !(mm > 0.0 && mm.is_finite()) || map.cells.is_empty() {
        return Err(DrawingError::TooLarge {
            title: map.title.clone(),
            scale: Scale(0),
            width_mm: 0.0,
            height_mm: 0.0,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    let on_paper = |[x, y]: [f64; 2]| point((x - left) * mm, (high - y) * mm);
    let mut canvas = Canvas::default();
    let side = map.cell_m * mm;
    let marks: Vec<Point> = map.marks.iter().map(|(at, _)| on_paper(*at)).collect();
    // Numbers only where they can be read: every cell, every second, …
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
    let names = names(&marks, map);
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
        if column.rem_euclid(every) == 0 && row.rem_euclid(every) == 0 && !hidden {
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
    Ok(canvas.finish_without_scale(&map.title))
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
    }
}
