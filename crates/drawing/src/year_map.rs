//! How good is a picture at each hour of the year? A map of months and hours.
//!
//! Read without colour: each cell prints its contrast, heavy lines run where a class of
//! contrast begins, and hours that reach no class are crossed out.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::model::{Anchor, Drawing, Element, Fill, Pen, Role, Shape, Text};
use crate::paper::point;
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct YearMap {
    /// The drawing's title.
    pub title: String,
    /// Names of the months, as printed.
    pub months: [String; 12],
    /// By month and hour; none where the clock skips it.
    pub cells: [[Option<YearCell>; 24]; 12],
    /// Words for the classes, from the least: "7:1 passive viewing".
    pub classes: Vec<String>,
    /// What stands behind each month: from when on the highest class holds.
    pub from: [String; 12],
    /// What heads that column.
    pub from_head: String,
    /// Minutes after midnight between which the picture is watched.
    pub watched: Option<[u16; 2]>,
}

/// One hour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct YearCell {
    /// The contrast as printed, three letters at most.
    pub text: String,
    /// How many classes it reaches; 0 for none.
    pub classes: usize,
    /// Whether the sun shines on the picture.
    pub sun: bool,
}

const LEFT_MM: f64 = 13.0;
const RIGHT_MM: f64 = 30.0;
const ROW_MM: f64 = 6.4;
const HEAD_MM: f64 = 9.0;
const COLUMN_MM: [f64; 2] = [6.7, 9.0];

/// Draws the map; it has no scale. The error is that of an area too narrow for it.
pub fn year_map(map: &YearMap, area: Area) -> Result<Drawing, DrawingError> {
    let column = ((area.width_mm - LEFT_MM - RIGHT_MM - 2.0) / 24.0).min(COLUMN_MM[1]);
    let legend = map.classes.len() as f64 + 3.0;
    let height_mm = HEAD_MM + 12.0 * ROW_MM + 6.0 + legend * 4.5 + 10.0;
    if column < COLUMN_MM[0] || height_mm > area.height_mm {
        return Err(DrawingError::TooLarge {
            title: map.title.clone(),
            scale: Scale(0),
            width_mm: LEFT_MM + RIGHT_MM + 2.0 + 24.0 * COLUMN_MM[0],
            height_mm,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    let grid = Grid { column };
    let mut canvas = Canvas::default();
    grid.head(&mut canvas, map);
    for month in 0..12 {
        grid.month(&mut canvas, map, month);
    }
    grid.limits(&mut canvas, map);
    grid.legend(&mut canvas, map);
    Ok(canvas.finish_without_scale(&map.title))
}

struct Grid {
    column: f64,
}

impl Grid {
    fn x(&self, hour: f64) -> f64 {
        LEFT_MM + hour * self.column
    }

    fn y(&self, month: usize) -> f64 {
        HEAD_MM + month as f64 * ROW_MM
    }

    fn head(&self, canvas: &mut Canvas, map: &YearMap) {
        for hour in 0..24_u8 {
            let at = point(self.x(f64::from(hour) + 0.5), HEAD_MM - 1.6);
            canvas.write(Text::new(at, Anchor::Middle, hour.to_string()));
        }
        let at = point(self.x(24.0) + 2.0, HEAD_MM - 1.6);
        canvas.write(Text::new(at, Anchor::Start, &map.from_head));
        if let Some([from, until]) = map.watched {
            // An hour's cell stands for its full hour, at the cell's middle.
            let x = |minute: u16| self.x(f64::from(minute) / 60.0 + 0.5).min(self.x(24.0));
            let (left, right, y) = (x(from), x(until), HEAD_MM - 5.6);
            let line = [
                point(left, y + 1.0),
                point(left, y),
                point(right, y),
                point(right, y + 1.0),
            ];
            let shapes = line
                .windows(2)
                .map(|ends| Shape::line(ends[0], ends[1], Pen::Seen));
            canvas.add(Element {
                id: String::new(),
                about: "hours at which it is watched".to_owned(),
                role: Role::Sign,
                shapes: shapes.collect(),
            });
        }
    }

    fn month(&self, canvas: &mut Canvas, map: &YearMap, month: usize) {
        let base = self.y(month) + ROW_MM - 2.0;
        canvas.write(Text::new(
            point(LEFT_MM - 1.5, base),
            Anchor::End,
            &map.months[month],
        ));
        canvas.write(Text::new(
            point(self.x(24.0) + 2.0, base),
            Anchor::Start,
            &map.from[month],
        ));
        let mut shapes = Vec::new();
        for (hour, cell) in map.cells[month].iter().enumerate() {
            let (left, right) = (self.x(hour as f64), self.x(hour as f64 + 1.0));
            let (top, bottom) = (self.y(month), self.y(month) + ROW_MM);
            let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
            shapes.push(Shape::outline(
                corners.map(|(x, y)| point(x, y)).to_vec(),
                Pen::Thin,
            ));
            let text = cell.as_ref().map_or("–", |cell| cell.text.as_str());
            let at = point((left + right) / 2.0, base);
            canvas.write(Text::new(at, Anchor::Middle, text));
            let Some(cell) = cell else { continue };
            if cell.classes == 0 {
                shapes.push(Shape::line(
                    point(left, top),
                    point(right, bottom),
                    Pen::Thin,
                ));
                shapes.push(Shape::line(
                    point(left, bottom),
                    point(right, top),
                    Pen::Thin,
                ));
            }
            if cell.sun {
                shapes.push(Shape::Circle {
                    centre: point(right - 1.0, top + 1.0),
                    radius_mm: 0.6,
                    pen: Pen::Thin,
                    fill: Fill::Ink,
                });
            }
        }
        canvas.add(Element {
            id: String::new(),
            about: format!("{}: {}", map.months[month], map.from[month]),
            role: Role::Thing,
            shapes,
        });
    }

    /// Heavy lines between hours and months of different classes, the heaviest at the highest.
    fn limits(&self, canvas: &mut Canvas, map: &YearMap) {
        let class = |month: usize, hour: usize| {
            let cell = map.cells.get(month)?.get(hour)?.as_ref()?;
            Some(cell.classes)
        };
        let pen = |a: usize, b: usize| {
            let highest = map.classes.len();
            if a.max(b) == highest {
                Pen::Cut
            } else {
                Pen::Seen
            }
        };
        let mut shapes = Vec::new();
        for month in 0..12 {
            for hour in 0..24 {
                let Some(here) = class(month, hour) else {
                    continue;
                };
                let (x, y) = (self.x(hour as f64 + 1.0), self.y(month + 1));
                if let Some(next) = class(month, hour + 1).filter(|next| *next != here) {
                    shapes.push(Shape::line(
                        point(x, y - ROW_MM),
                        point(x, y),
                        pen(here, next),
                    ));
                }
                if let Some(below) = class(month + 1, hour).filter(|below| *below != here) {
                    shapes.push(Shape::line(
                        point(x - self.column, y),
                        point(x, y),
                        pen(here, below),
                    ));
                }
            }
        }
        canvas.add(Element {
            id: String::new(),
            about: "limits of the classes of contrast".to_owned(),
            role: Role::Thing,
            shapes,
        });
    }

    fn legend(&self, canvas: &mut Canvas, map: &YearMap) {
        let mut y = self.y(12) + 6.0;
        let mut line = |canvas: &mut Canvas, words: &str| {
            canvas.write(Text::new(point(LEFT_MM, y), Anchor::Start, words));
            y += 4.5;
        };
        line(
            canvas,
            "Each cell: contrast on the 21st at that hour, under the brighter sky.",
        );
        line(
            canvas,
            "Crossed out: no class. Dot: the sun shines on the picture.",
        );
        let highest = map.classes.len();
        for (index, words) in map.classes.iter().enumerate() {
            let border = if index + 1 == highest {
                "heaviest line"
            } else {
                "heavy line"
            };
            line(canvas, &format!("{words} ({border} where it begins)"));
        }
        if map.watched.is_some() {
            line(canvas, "Bracket above the hours: when it is watched.");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Scales, overlaps, svg};

    fn map() -> YearMap {
        let cell = |hour: usize| YearCell {
            text: if (8..18).contains(&hour) {
                "3".to_owned()
            } else {
                "412".to_owned()
            },
            classes: if (8..18).contains(&hour) { 0 } else { 4 },
            sun: hour == 12,
        };
        YearMap {
            title: "Loft: contrast through the year".to_owned(),
            months: std::array::from_fn(|m| format!("M{m}")),
            cells: std::array::from_fn(|month| {
                std::array::from_fn(|hour| (month != 2 || hour != 2).then(|| cell(hour)))
            }),
            classes: ["7:1 a", "15:1 b", "50:1 c", "80:1 d"]
                .map(str::to_owned)
                .to_vec(),
            from: std::array::from_fn(|_| "17:31".to_owned()),
            from_head: "80:1 from".to_owned(),
            watched: Some([19 * 60, 23 * 60]),
        }
    }

    fn area(width_mm: f64) -> Area {
        Area {
            width_mm,
            height_mm: 170.0,
            scales: Scales::Metric,
            smallest: None,
        }
    }

    #[test]
    fn every_figure_can_be_read() {
        for width in [208.0, 267.0] {
            let drawing = year_map(&map(), area(width)).expect("it fits");
            assert_eq!(overlaps(&drawing), vec![]);
            assert!(drawing.width_mm <= width && drawing.height_mm <= 170.0);
            assert!(svg(&drawing).contains("412"));
        }
    }

    #[test]
    fn limits_are_drawn_where_classes_change() {
        let drawing = year_map(&map(), area(267.0)).expect("it fits");
        let limits = drawing
            .elements
            .iter()
            .find(|e| e.about.starts_with("limits"));
        // Two changes in each of twelve months, all up to the highest class.
        let shapes = &limits.expect("they are drawn").shapes;
        assert_eq!(shapes.len(), 24);
        assert!(shapes.iter().all(|shape| shape.pen() == Pen::Cut));
    }

    #[test]
    fn a_narrow_area_is_refused() {
        let refused = year_map(&map(), area(150.0));
        assert!(matches!(refused, Err(DrawingError::TooLarge { .. })));
    }
}
