//! How are seats, loudspeakers, routes, chains and arrows drawn on a plan?

use crate::canvas::Canvas;
use crate::dimension::{Base, Figure, Laid, NEXT_MM, lay_chain, lay_from_object};
use crate::elevation::thing;
use crate::font::LETTERING_MM;
use crate::label::Label;
use crate::model::{Anchor, CAPITALS, Element, Fill, Pen, Role, RouteDash, Shape, Text};
use crate::paper::{Bounds, Point, point};
use crate::plan::{Route, Seat, View, ViewArrow, WallOnPaper, text_along};

/// A seat: its square, its back as a bar, and a stroke towards what it faces.
pub(crate) fn draw_seat(canvas: &mut Canvas, seat: &Seat, view: View) -> Bounds {
    let (centre, ahead) = (view.at(seat.at_m), view.direction(seat.facing));
    let half = view.0.paper_mm(seat.width_m) / 2.0;
    let side = point(-ahead.y, ahead.x);
    let corner = |a: f64, s: f64| centre + ahead * (half * a) + side * (half * s);
    let square = vec![
        corner(1.0, -1.0),
        corner(1.0, 1.0),
        corner(-1.0, 1.0),
        corner(-1.0, -1.0),
    ];
    let shapes = vec![
        Shape::Path {
            points: square.clone(),
            closed: true,
            pen: Pen::Seen,
            fill: Fill::Paper,
        },
        Shape::line(corner(-0.65, -1.0), corner(-0.65, 1.0), Pen::Seen),
        Shape::line(corner(1.0, 0.0), corner(1.5, 0.0), Pen::Seen),
    ];
    canvas.add(thing(&seat.id, &seat.label, shapes));
    Bounds::of(square).expect("four corners")
}

/// A loudspeaker with its axis: its outline, or a trapezium that opens towards its aim where there is none.
pub(crate) fn loudspeaker_shapes(
    centre: Point,
    aim: Point,
    width: f64,
    outline: &[Point],
) -> Vec<Shape> {
    let half = (width / 2.0).max(1.0);
    let side = point(-aim.y, aim.x);
    let corner = |a: f64, s: f64| centre + aim * (half * a) + side * (half * s);
    let (body, front) = match outline {
        [] => {
            let sign = vec![
                corner(0.9, -1.0),
                corner(0.9, 1.0),
                corner(-0.9, 0.55),
                corner(-0.9, -0.55),
            ];
            (sign, corner(0.9, 0.0))
        }
        outline => {
            let middle = outline
                .iter()
                .fold(point(0.0, 0.0), |sum, corner| sum + *corner)
                * (1.0 / outline.len() as f64);
            (outline.to_vec(), edge_towards(outline, middle, aim))
        }
    };
    vec![
        Shape::Path {
            points: body,
            closed: true,
            pen: Pen::Seen,
            fill: Fill::Paper,
        },
        Shape::line(front, front + aim * 4.0, Pen::Thin),
    ]
}

/// Where a ray from within an outline leaves it.
fn edge_towards(outline: &[Point], from: Point, aim: Point) -> Point {
    let edges = (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()]));
    let reach = edges.filter_map(|(a, b)| {
        let across = aim.cross(b - a);
        let (along, part) = (
            (a - from).cross(b - a) / across,
            (a - from).cross(aim) / across,
        );
        (across.abs() > 1e-9 && along > 0.0 && (0.0..=1.0).contains(&part)).then_some(along)
    });
    from + aim * reach.fold(0.0, f64::max)
}

/// A cable with its label each 100 mm of paper, at least once where it finds room.
pub(crate) fn draw_route(canvas: &mut Canvas, route: &Route, view: View) {
    let points = view.all(&route.points_m);
    draw_path(canvas, &route.id, &route.label, route.dash, points);
}

/// A cable through points of the paper, labelled as in [`draw_route`].
pub(crate) fn draw_path(
    canvas: &mut Canvas,
    id: &str,
    label: &str,
    dash: RouteDash,
    points: Vec<Point>,
) {
    let shape = Shape::Path {
        points: points.clone(),
        closed: false,
        pen: Pen::Route(dash),
        fill: Fill::None,
    };
    let line = thing(id, &format!("Cable {label}"), vec![shape]);
    if label.is_empty() {
        return canvas.add(line);
    }
    // The label stands in its own line, which therefore comes last.
    let length: f64 = points.windows(2).map(|w| (w[1] - w[0]).length()).sum();
    let count = (length / 100.0).floor().max(1.0) as usize;
    for k in 0..count {
        let wanted = length * (k as f64 + 0.5) / count as f64;
        // Try nearby stretches when the wanted one is taken or too short.
        let shifts =
            (0..80).map(|i| f64::from((i + 1) / 2) * 2.0 * if i % 2 == 0 { 1.0 } else { -1.0 });
        let mut best: Option<(f64, Text)> = None;
        for shift in shifts {
            let Some((at, along)) = along_path(&points, wanted + shift) else {
                continue;
            };
            let text = text_along(at, along, label);
            let quad = text.quad();
            if canvas.is_taken(&quad) {
                continue;
            }
            let weight: f64 = canvas.weights_under(&quad).sum();
            // Its own line behind the text must run straight: the label stands in the line.
            let bends = points
                .iter()
                .filter(|p| (**p - at).length() < text.width_mm() / 2.0 + 1.0)
                .count();
            let cost = weight + 4.0 * bends as f64 + shift.abs() * 0.05;
            if best.as_ref().is_none_or(|(c, _)| cost < *c) {
                best = Some((cost, text));
            }
        }
        if let Some((_, text)) = best {
            canvas.write(text);
        }
    }
    canvas.add(line);
}

/// The point `distance` along a path and the direction there.
fn along_path(points: &[Point], distance: f64) -> Option<(Point, Point)> {
    let mut left = distance;
    if left < 0.0 {
        return None;
    }
    for pair in points.windows(2) {
        let length = (pair[1] - pair[0]).length();
        if left <= length && length > 0.0 {
            let along = (pair[1] - pair[0]).unit();
            return Some((pair[0] + along * left, along));
        }
        left -= length;
    }
    None
}

/// Draws a chain outside its wall, or inside where the outside is taken; returns how far outside chains reach, or `None`
/// when it found no place.
pub(crate) fn draw_chain(
    canvas: &mut Canvas,
    wall: &WallOnPaper,
    stops: &[f64],
    figures: &[Figure],
    from: f64,
) -> Option<f64> {
    let outside = Base {
        origin: wall.at(0.0, wall.thickness),
        along: wall.along,
        out: wall.out,
    };
    let inside = Base {
        origin: wall.at(0.0, 0.0),
        along: wall.along,
        out: wall.out * -1.0,
    };
    let first = if from == 0.0 { 8.0 } else { from + NEXT_MM };
    let mut choices: Vec<(f64, f64, Laid)> = Vec::new();
    for step in 0..8 {
        let farther = 5.0 * f64::from(step);
        let laid = lay_from_object(
            canvas,
            outside,
            stops,
            figures,
            (from - 2.0).max(0.0),
            first + farther,
        );
        choices.push((1.5 * f64::from(step), laid.depth_mm, laid));
        if step < 4 {
            let laid = lay_chain(inside, stops, figures, 0.0, 8.0 + farther);
            choices.push((7.0 + 1.5 * f64::from(step), from, laid));
        }
    }
    let free = choices
        .into_iter()
        .filter(|(.., laid)| !laid.clashes(canvas));
    let judged = free.map(|(cost, depth, laid)| (cost + laid.weight(canvas), depth, laid));
    let (_, depth, laid) = judged.min_by(|a, b| a.0.total_cmp(&b.0))?;
    laid.put(canvas);
    Some(depth)
}

/// Writes a wall's name along its inner face; hands it back as a label when there is no room.
pub(crate) fn draw_wall_name(canvas: &mut Canvas, name: &str, wall: &WallOnPaper) -> Option<Label> {
    if name.is_empty() {
        return None;
    }
    let mut best: Option<(f64, Text)> = None;
    for part in [0.5, 0.35, 0.65, 0.25, 0.75, 0.15, 0.85] {
        for depth in [3.1, 7.5] {
            let text = text_along(wall.at(wall.length * part, -depth), wall.along, name);
            let quad = text.quad();
            let half = text.width_mm() / 2.0;
            let beyond =
                wall.length * part - half < 0.5 || wall.length * part + half > wall.length - 0.5;
            if beyond || canvas.is_taken(&quad) {
                continue;
            }
            let weight: f64 = canvas.weights_under(&quad).sum();
            let cost = weight + (part - 0.5).abs() + depth * 0.1;
            if best.as_ref().is_none_or(|(c, _)| cost < *c) {
                best = Some((cost, text));
            }
        }
    }
    match best {
        Some((cost, text)) if cost < 8.0 => {
            canvas.write(text);
            None
        }
        _ => {
            let middle = wall.at(wall.length / 2.0, 0.0);
            Some(Label {
                to: Bounds::new(middle, middle),
                words: name.to_string(),
                verdict: None,
            })
        }
    }
}

/// A ring with a letter, and a filled tip towards what is looked at.
pub(crate) fn draw_view(canvas: &mut Canvas, arrow: &ViewArrow, view: View) {
    let (centre, ahead) = (view.at(arrow.at_m), view.direction(arrow.towards));
    let radius_mm =
        2.9_f64.max(crate::font::text_width(&arrow.label, LETTERING_MM, true) / 2.0 + 0.8);
    let side = point(-ahead.y, ahead.x);
    let base = centre + ahead * (radius_mm * 0.8);
    let tip = vec![
        centre + ahead * (radius_mm + 2.6),
        base + side * 2.0,
        base - side * 2.0,
    ];
    canvas.write(Text {
        bold: true,
        ..Text::new(
            centre + point(0.0, CAPITALS * LETTERING_MM / 2.0),
            Anchor::Middle,
            arrow.label.clone(),
        )
    });
    let shapes = vec![
        Shape::Path {
            points: tip,
            closed: true,
            pen: Pen::Thin,
            fill: Fill::Ink,
        },
        Shape::Circle {
            centre,
            radius_mm,
            pen: Pen::Seen,
            fill: Fill::Paper,
        },
    ];
    canvas.add(Element {
        id: String::new(),
        about: format!("Viewing direction {}", arrow.label),
        role: Role::Sign,
        shapes,
    });
}

/// North to the upper right of all that is drawn.
pub(crate) fn draw_north(canvas: &mut Canvas, north_rad: f64) {
    let size = 14.0;
    let all = canvas.bounds();
    // Inside the upper right corner when that is free, otherwise beside the drawing.
    let inside = Bounds::centred(
        point(all.max.x - size / 2.0, all.min.y + size / 2.0),
        size,
        size,
    );
    let quad = inside.quad();
    let taken = canvas.is_taken(&quad) || canvas.weights_under(&quad).next().is_some();
    let centre = if taken {
        inside.centre() + point(size + 2.0, 0.0)
    } else {
        inside.centre()
    };
    let up = point(0.0, -1.0).turned(north_rad);
    let side = point(-up.y, up.x);
    let (tip, tail) = (centre + up * 2.6, centre - up * 5.5);
    let letter = Text {
        bold: true,
        ..Text::new(
            centre + up * 5.2 + point(0.0, CAPITALS * LETTERING_MM / 2.0),
            Anchor::Middle,
            "N",
        )
    };
    let head = |s: f64| vec![tip, tip - up * 4.5 + side * s, tip - up * 3.4];
    let shapes = vec![
        Shape::line(tail, tip - up * 3.4, Pen::Seen),
        Shape::Path {
            points: head(1.6),
            closed: true,
            pen: Pen::Thin,
            fill: Fill::Ink,
        },
        Shape::Path {
            points: head(-1.6),
            closed: true,
            pen: Pen::Thin,
            fill: Fill::Paper,
        },
    ];
    canvas.write(letter);
    canvas.add(Element {
        id: String::new(),
        about: "North".into(),
        role: Role::Sign,
        shapes,
    });
}
