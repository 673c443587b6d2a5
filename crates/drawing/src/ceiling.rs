//! How does a ceiling look in a mirror on the floor?
//!
//! A reflected ceiling plan keeps left and right of the floor plan, so both lie over one another.

use crate::Sketch;
use crate::canvas::Canvas;
use crate::dimension::{Base, Chain, Figure, FigureSigns, lay_chain};
use crate::elevation::thing;
use crate::error::{DrawingError, check_chain, finite, positive};
use crate::label::Label;
use crate::model::{Drawing, Fill, Pen, Role, Shape};
use crate::offset::doubled_area;
use crate::paper::{Bounds, Point, lines_inside};
use crate::plan::{Piece, View, WallOnPaper, check_outline, extent_m};
use crate::plan_signs::{draw_chain, draw_wall_name};
use crate::scale::{Area, Scale};

/// Joists above the ceiling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joists {
    /// Direction along a joist, rad counter-clockwise from the sheet's right.
    pub along_rad: f64,
    /// From middle to middle, m.
    pub spacing_m: f64,
    /// A point on the middle of one joist, m.
    pub through_m: [f64; 2],
}

/// A distance from a thing's middle to a wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Distance {
    /// Where the perpendicular meets the wall, m.
    pub foot_m: [f64; 2],
    /// The distance as printed.
    pub figure: Figure,
}

/// Something on the ceiling.
#[derive(Clone, Debug, PartialEq)]
pub struct CeilingPiece {
    /// Its outline, label and verdict.
    pub piece: Piece,
    /// Whether it is round: then the circle within the outline's bounds is drawn.
    pub round: bool,
    /// Whether it is there already.
    pub existing: bool,
    /// Its distances from two walls; may be empty.
    pub distances: Vec<Distance>,
}

/// One ceiling.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct CeilingPlan {
    /// The title under the drawing.
    pub title: String,
    /// Corners in order, m.
    pub corners_m: Vec<[f64; 2]>,
    /// Names of the walls below, from each corner to the next; may be empty.
    pub wall_names: Vec<String>,
    /// Chains outside each wall from its left corner, as in a plan; may be empty.
    pub chains: Vec<Vec<Chain>>,
    /// Ridges and other edges within the ceiling.
    pub ridges_m: Vec<[[f64; 2]; 2]>,
    /// Joists, where they are known.
    pub joists: Option<Joists>,
    /// What is on the ceiling, there already or by the job.
    pub pieces: Vec<CeilingPiece>,
    /// North as an angle clockwise from the sheet's up, rad.
    pub north_rad: Option<f64>,
}

/// Draws a reflected ceiling plan at the largest scale that fits the area.
pub fn ceiling(room: &CeilingPlan, area: Area) -> Result<Drawing, DrawingError> {
    check(room)?;
    let drawing = crate::fit(&room.title, area, extent_m(&room.corners_m), |scale| {
        sketch(room, scale)
    })?;
    let distances = room.pieces.iter().flat_map(|piece| &piece.distances);
    Ok(Drawing {
        signs: (distances.map(|distance| &distance.figure)).fold(
            FigureSigns::of(room.chains.iter().flatten()),
            FigureSigns::with,
        ),
        ..drawing
    })
}

fn check(room: &CeilingPlan) -> Result<(), DrawingError> {
    check_outline(&room.title, &room.corners_m)?;
    for (what, count) in [
        ("wall names", room.wall_names.len()),
        ("lists of chains", room.chains.len()),
    ] {
        if count != 0 && count != room.corners_m.len() {
            let what = format!(
                "\"{}\" has {} walls and {count} {what}",
                room.title,
                room.corners_m.len()
            );
            return Err(DrawingError::Outline { what });
        }
    }
    room.chains.iter().flatten().try_for_each(check_chain)?;
    room.ridges_m
        .iter()
        .flatten()
        .flatten()
        .try_for_each(|v| finite("ridge", *v))?;
    if let Some(joists) = room.joists {
        positive("joist spacing", joists.spacing_m)?;
        finite("joist direction", joists.along_rad)?;
        joists
            .through_m
            .iter()
            .try_for_each(|v| finite("joist", *v))?;
    }
    for item in &room.pieces {
        let feet = item.distances.iter().flat_map(|d| d.foot_m);
        item.piece
            .outline_m
            .iter()
            .flatten()
            .copied()
            .chain(feet)
            .try_for_each(|v| finite(&item.piece.label, v))?;
    }
    room.north_rad
        .map_or(Ok(()), |angle| finite("north", angle))
}

fn sketch(room: &CeilingPlan, scale: Scale) -> Sketch {
    let view = View(scale);
    let mut canvas = Canvas::default();
    let mut labels = Vec::new();
    let corners = view.all(&room.corners_m);
    draw_joists(&mut canvas, room, view, &corners);
    canvas.add(thing(
        "",
        "Edge of the ceiling",
        vec![Shape::outline(corners.clone(), Pen::Cut)],
    ));
    for [a, b] in &room.ridges_m {
        canvas.add(thing(
            "",
            "Ridge or edge",
            vec![Shape::line(view.at(*a), view.at(*b), Pen::Seen)],
        ));
    }
    for item in &room.pieces {
        let points = view.all(&item.piece.outline_m);
        let Some(bounds) = Bounds::of(points.iter().copied()) else {
            continue;
        };
        let pen = if item.existing {
            Pen::Existing
        } else {
            Pen::Seen
        };
        let shape = if item.round {
            Shape::Circle {
                centre: bounds.centre(),
                radius_mm: bounds.width().min(bounds.height()) / 2.0,
                pen,
                fill: Fill::Paper,
            }
        } else {
            Shape::Path {
                points,
                closed: true,
                pen,
                fill: Fill::Paper,
            }
        };
        canvas.add(thing(
            &item.piece.id,
            &Label::told(&item.piece.label, item.piece.verdict),
            vec![shape],
        ));
        labels.push(Label {
            to: bounds,
            words: item.piece.label.clone(),
            verdict: item.piece.verdict,
        });
    }
    for item in &room.pieces {
        if let Some(bounds) = Bounds::of(view.all(&item.piece.outline_m)) {
            for distance in &item.distances {
                labels.extend(draw_distance(
                    &mut canvas,
                    bounds.centre(),
                    view.at(distance.foot_m),
                    &distance.figure,
                ));
            }
        }
    }
    let clockwise = doubled_area(&corners) > 0.0;
    for i in 0..corners.len() {
        let (start, end) = (corners[i], corners[(i + 1) % corners.len()]);
        let (left, right) = if clockwise {
            (start, end)
        } else {
            (end, start)
        };
        let along = (right - left).unit();
        let out = crate::paper::point(along.y, -along.x);
        let wall = WallOnPaper {
            left,
            along,
            out,
            length: (right - left).length(),
            thickness: 0.0,
        };
        let mut from = 0.0;
        for chain in room.chains.get(i).into_iter().flatten() {
            let stops: Vec<f64> = chain.stops_m.iter().map(|s| scale.paper_mm(*s)).collect();
            if let Some(depth) = draw_chain(&mut canvas, &wall, &stops, &chain.figures, from) {
                from = depth;
            } else {
                let figures: Vec<String> = chain.figures.iter().map(Figure::shown).collect();
                let middle = wall.at(wall.length / 2.0, 0.0);
                labels.push(Label {
                    to: Bounds::new(middle, middle),
                    words: format!("From left: {}", figures.join(", ")),
                    verdict: None,
                });
            }
        }
        if let Some(name) = room.wall_names.get(i) {
            labels.extend(draw_wall_name(&mut canvas, name, &wall));
        }
    }
    Sketch {
        canvas,
        labels,
        north_rad: room.north_rad,
    }
}

fn draw_joists(canvas: &mut Canvas, room: &CeilingPlan, view: View, corners: &[Point]) {
    let Some(joists) = room.joists else { return };
    let spacing = view.0.paper_mm(joists.spacing_m);
    // Closer than this the dashes run into a grey.
    if spacing < 1.0 {
        return;
    }
    // Angles turn the other way on paper, where y is down.
    let angle = -joists.along_rad;
    let first = view.at(joists.through_m).turned(-angle).y;
    let lines = lines_inside(corners, angle, spacing, first);
    let shapes = lines
        .into_iter()
        .map(|(a, b)| Shape::line(a, b, Pen::Hidden))
        .collect();
    canvas.add(thing("", "Joists above the ceiling", shapes));
}

/// A dimension from a thing to its wall; its figure is handed back as a label when it finds no place on the line.
fn draw_distance(
    canvas: &mut Canvas,
    middle: Point,
    foot: Point,
    figure: &Figure,
) -> Option<Label> {
    let length = (foot - middle).length();
    if length < 0.5 {
        return None;
    }
    let along = (foot - middle).unit();
    let base = Base {
        origin: middle,
        along,
        out: crate::paper::point(along.y, -along.x),
    };
    let whole = lay_chain(base, &[0.0, length], std::slice::from_ref(figure), 0.0, 0.0);
    // The line starts at the thing itself, so it needs no extension lines: only the line and its two strokes.
    let lines = whole
        .lines
        .iter()
        .enumerate()
        .filter(|(i, _)| *i != 1 && *i != 3)
        .map(|(_, s)| s.clone())
        .collect();
    let text = whole
        .texts
        .into_iter()
        .next()
        .filter(|_| whole.leaders.is_empty());
    canvas.draw(Role::Dimension, lines);
    if let Some(text) = text {
        let free = length - text.width_mm() - 2.0;
        for part in [0.0, 0.25, -0.25, 0.5, -0.5, 0.4, -0.4] {
            let moved = crate::model::Text {
                at: text.at + along * (free * part),
                ..text.clone()
            };
            let quad = moved.quad();
            let struck = canvas.weights_under(&quad).any(|weight| weight > 1.0);
            if !struck && !canvas.is_taken(&quad) {
                canvas.write(moved);
                return None;
            }
        }
    }
    let half = middle + along * (length / 2.0);
    Some(Label {
        to: Bounds::new(half, half),
        words: figure.shown(),
        verdict: None,
    })
}
