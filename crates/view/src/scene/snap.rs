//! Lines that a dragged thing may snap to.

use std::collections::BTreeMap;

use super::body::middle;
use super::ground::Ground;
use super::place::round;
use super::{Body, BodyKind, BodyPlace, PlanSnap, SceneWall, WallSnap};

/// Lines of one wall: studs, its middle, other things' middles, half way between
/// neighbours, rows of seats, eyes.
pub(crate) fn of_wall(ground: &Ground<'_>, wall: &SceneWall, bodies: &[Body]) -> Vec<WallSnap> {
    let upright = |along_m: f64, why: String, of: Vec<String>| WallSnap {
        along_m: Some(round(along_m)),
        height_m: None,
        why,
        of,
    };
    let level = |height_m: f64, why: String, of: Vec<String>| WallSnap {
        along_m: None,
        height_m: Some(round(height_m)),
        why,
        of,
    };
    let mut snaps = Vec::new();
    let studs = wall.studs.iter();
    snaps.extend(studs.map(|stud| upright(stud.centre_m, "Stud".to_owned(), Vec::new())));
    if let Some(length_m) = wall.length_m {
        snaps.push(upright(
            length_m / 2.0,
            "Middle of the wall".to_owned(),
            Vec::new(),
        ));
    }
    let mut on_it: Vec<(&Body, f64, f64)> = bodies
        .iter()
        .filter(|body| body.wall.as_deref() == Some(&wall.id))
        .filter_map(|body| {
            let rect = body.on_wall?;
            let middle = |a: f64, b: f64| (a + b) / 2.0;
            Some((
                body,
                middle(rect.left, rect.right),
                middle(rect.bottom, rect.top),
            ))
        })
        .collect();
    on_it.sort_by(|a, b| a.1.total_cmp(&b.1).then_with(|| a.0.id.cmp(&b.0.id)));
    for (body, along, height) in &on_it {
        let is_picture = matches!(body.is.as_str(), "screen" | "display");
        let why = match is_picture {
            true => format!("Middle of the picture, {}", body.label),
            false => format!("Middle of {}", body.label),
        };
        let of = vec![body.id.clone()];
        snaps.push(upright(*along, why.clone(), of.clone()));
        if body.kind != BodyKind::Opening {
            snaps.push(level(*height, why, of));
        }
    }
    for pair in on_it.windows(2) {
        let [(one, a, _), (other, b, _)] = pair else {
            continue;
        };
        if (b - a).abs() > 0.05 {
            let why = format!("Half way between {} and {}", one.label, other.label);
            let of = vec![one.id.clone(), other.id.clone()];
            snaps.push(upright((a + b) / 2.0, why, of));
        }
    }
    if let (Some(frame), Some(length_m)) = (ground.wall(&wall.id), wall.length_m) {
        for (row, centre, of) in rows(ground, bodies) {
            let along = frame.place_of(centre)[0];
            if (0.0..=length_m).contains(&along) {
                snaps.push(upright(along, format!("In line with row {row}"), of));
            }
        }
    }
    for (height, of) in eyes(bodies) {
        snaps.push(level(height, "Eye height".to_owned(), of));
    }
    snaps
}

/// Lines in plan: the room's middle, things' middles, rows of seats, the picture's axis.
pub(crate) fn in_plan(ground: &Ground<'_>, bodies: &[Body]) -> Vec<PlanSnap> {
    let both = |[x, y]: [f64; 2], why: String, of: Vec<String>| {
        [(Some(round(x)), None), (None, Some(round(y)))].map(|(x, y)| PlanSnap {
            x,
            y,
            why: why.clone(),
            of: of.clone(),
        })
    };
    let mut snaps = Vec::new();
    if ground.closed {
        let (min, max) = super::bounds_of(&ground.floor);
        let centre = [0, 1].map(|k| (min[k] + max[k]) / 2.0);
        snaps.extend(both(centre, "Middle of the room".to_owned(), Vec::new()));
    }
    let stands = |body: &&Body| matches!(body.place, BodyPlace::Floor | BodyPlace::Ceiling);
    for body in bodies.iter().filter(stands) {
        if let Some(centre) = body.centre {
            snaps.extend(both(
                centre,
                format!("Middle of {}", body.label),
                vec![body.id.clone()],
            ));
        }
    }
    for (row, centre, of) in rows(ground, bodies)
        .into_iter()
        .filter(|row| row.2.len() > 1)
    {
        snaps.extend(both(centre, format!("Middle of row {row}"), of));
    }
    let is_picture = |body: &&Body| matches!(body.is.as_str(), "screen" | "display");
    for body in bodies.iter().filter(is_picture) {
        let frame = body.wall.as_deref().and_then(|wall| ground.wall(wall));
        let (Some(frame), Some(centre)) = (frame, body.centre) else {
            continue;
        };
        let why = format!("Middle of the picture, {}", body.label);
        let of = vec![body.id.clone()];
        // The axis is a line of one x or one y only where the wall runs along the other.
        let line = |x: Option<f64>, y: Option<f64>| PlanSnap {
            x,
            y,
            why: why.clone(),
            of: of.clone(),
        };
        const SQUARE: f64 = 1e-3;
        if frame.along[1].abs() < SQUARE {
            snaps.push(line(Some(centre[0]), None));
        } else if frame.along[0].abs() < SQUARE {
            snaps.push(line(None, Some(centre[1])));
        }
    }
    snaps
}

/// Rows of seats with their middles.
fn rows(ground: &Ground<'_>, bodies: &[Body]) -> Vec<(u32, [f64; 2], Vec<String>)> {
    let mut rows: BTreeMap<u32, Vec<(&str, [f64; 2])>> = BTreeMap::new();
    for seat in &ground.space.seat {
        let id = format!("seat:{}", seat.id);
        let body = bodies.iter().find(|body| body.id == id);
        if let Some((body, centre)) = body.and_then(|body| Some((body, body.centre?))) {
            rows.entry(analysis::row_of(seat))
                .or_default()
                .push((&body.id, centre));
        }
    }
    (rows.into_iter())
        .map(|(row, seats)| {
            let centres: Vec<[f64; 2]> = seats.iter().map(|(_, centre)| *centre).collect();
            let ids = seats.iter().map(|(id, _)| (*id).to_owned());
            (row, middle(&centres), ids.collect())
        })
        .collect()
}

/// Eye heights, each once.
fn eyes(bodies: &[Body]) -> Vec<(f64, Vec<String>)> {
    let mut eyes: Vec<(f64, Vec<String>)> = Vec::new();
    for body in bodies.iter().filter(|body| body.kind == BodyKind::Seat) {
        let Some(eye) = body.top_m else { continue };
        match eyes
            .iter_mut()
            .find(|(known, _)| (known - eye).abs() < 1e-3)
        {
            Some((_, of)) => of.push(body.id.clone()),
            None => eyes.push((eye, vec![body.id.clone()])),
        }
    }
    eyes
}
