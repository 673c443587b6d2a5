//! Ceiling planes, joists and soffits.

use geometry::{PlanRect, Surface};
use model::{CeilingShape, Framing, SpaceKind};

use super::body::{length, word};
use super::ground::{Ground, at_height, dot, minus};
use super::place::rounded;
use super::{Joist, Plan, Point, SceneCeiling, SceneSoffit};
use crate::words::words;

/// Joists closer than this are a slip of the pen, m.
const SPACING_MIN_M: f64 = 0.05;
/// A ceiling has fewer joists than this.
const JOISTS_MAX: i64 = 200;

/// What is overhead, without snap lines.
pub(crate) fn ceiling(ground: &Ground<'_>) -> SceneCeiling {
    let space = ground.space;
    let bare = |shape: &str, words: String| SceneCeiling {
        shape: shape.to_owned(),
        planes: Vec::new(),
        known: false,
        words,
        joists: Vec::new(),
        snaps: Vec::new(),
    };
    if space.kind == Some(SpaceKind::Outdoor) {
        return SceneCeiling {
            known: true,
            ..bare("none", "Open to the sky.".to_owned())
        };
    }
    let Some(stated) = &space.ceiling else {
        return bare("unknown", "The ceiling is still to measure.".to_owned());
    };
    let shape = word(&stated.shape);
    let planes = planes(ground);
    if planes.is_empty() {
        let needs = match ground.shape.ceiling() {
            Err(missing) if ground.closed => format!("Needs {missing}."),
            _ => match ground.flat_height() {
                Some(height) => format!(
                    "Flat, {} high; drawn once the walls close.",
                    length(ground.analysis, height)
                ),
                None => "Drawn once the walls close.".to_owned(),
            },
        };
        return bare(&shape, needs);
    }
    SceneCeiling {
        planes,
        known: true,
        joists: joists(ground),
        ..bare(&shape, heights(ground))
    }
}

/// Plane faces of the ceiling, soffits cut out where they reach it.
fn planes(ground: &Ground<'_>) -> Vec<Vec<Point>> {
    if let Ok(solid) = ground.shape.solid() {
        let faces = solid.faces().iter();
        let ceiling = faces.filter(|face| matches!(face.surface, Surface::Ceiling(_)));
        return ceiling
            .filter_map(|face| face.loops.first())
            .map(|ring| {
                let vertices = ring.iter().map(|vertex| solid.vertices()[*vertex]);
                vertices
                    .map(|point| rounded([point.x, point.y, point.z]))
                    .collect()
            })
            .collect();
    }
    match ground.flat_height().filter(|_| ground.closed) {
        Some(height) => {
            let corners = ground.floor.iter();
            vec![
                corners
                    .map(|corner| rounded(at_height(*corner, height)))
                    .collect(),
            ]
        }
        None => Vec::new(),
    }
}

/// The lowest and the highest point, in words.
fn heights(ground: &Ground<'_>) -> String {
    let Some(stated) = &ground.space.ceiling else {
        return String::new();
    };
    let value = |fact: &Option<model::Length>| {
        let number = ground.analysis.number(fact.as_ref())?;
        Some(ground.analysis.length(&number))
    };
    let between = |name: &str| match (value(&stated.eaves), value(&stated.top)) {
        (Some(low), Some(high)) => format!("{name}, {low} at its lowest, {high} at its highest."),
        _ => format!("{name}."),
    };
    match stated.shape {
        CeilingShape::Flat => match value(&stated.height) {
            Some(height) => format!("Flat, {height} high."),
            None => "Flat.".to_owned(),
        },
        CeilingShape::Shed => between("One slope"),
        CeilingShape::Gable => between("Two slopes and a ridge"),
        CeilingShape::Hip => between("A slope from every wall"),
        CeilingShape::Planes => "Planes through measured points.".to_owned(),
    }
}

/// Middles of the joists within the walls.
fn joists(ground: &Ground<'_>) -> Vec<Joist> {
    let made_of = ground.space.construction_of("ceiling");
    let made_of = made_of.filter(|made_of| made_of.framing == Framing::Joist);
    let Some(made_of) = made_of else {
        return Vec::new();
    };
    let number = |fact| ground.analysis.number(fact).map(|number| number.value());
    let frame = made_of.along.as_deref().and_then(|wall| ground.wall(wall));
    let (Some(frame), Some(spacing), Some(first)) = (
        frame,
        number(made_of.spacing.as_ref()),
        number(made_of.first_from_left.as_ref()),
    ) else {
        return Vec::new();
    };
    if spacing <= SPACING_MIN_M || !ground.closed {
        return Vec::new();
    }
    let reach = ground
        .floor
        .iter()
        .map(|corner| frame.place_of(*corner)[1])
        .fold(0.0, f64::max);
    (0..JOISTS_MAX)
        .map(|n| first + spacing * n as f64)
        .take_while(|off| *off < reach)
        .flat_map(|off| within(&ground.floor, frame.point(0.0, off), frame.along))
        .map(|[from, to]| Joist {
            from: rounded(from),
            to: rounded(to),
        })
        .collect()
}

/// The parts of a line that lie within a polygon.
fn within(corners: &[Plan], through: Plan, along: Plan) -> Vec<[Plan; 2]> {
    let across = [-along[1], along[0]];
    let side = |corner: Plan| dot(minus(corner, through), across);
    let mut cuts: Vec<f64> = Vec::new();
    for (index, a) in corners.iter().enumerate() {
        let b = corners[(index + 1) % corners.len()];
        let (s, t) = (side(*a), side(b));
        if (s > 0.0) != (t > 0.0) {
            let share = s / (s - t);
            let point = [0, 1].map(|k| a[k] + (b[k] - a[k]) * share);
            cuts.push(dot(minus(point, through), along));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let point = |at: f64| [0, 1].map(|k| through[k] + along[k] * at);
    let pairs = cuts.chunks_exact(2);
    pairs.map(|pair| [point(pair[0]), point(pair[1])]).collect()
}

/// Boxes below the ceiling.
pub(crate) fn soffits(ground: &Ground<'_>) -> Vec<SceneSoffit> {
    let Ok(boxes) = ground.shape.boxes() else {
        return Vec::new();
    };
    let pairs = ground.space.soffit.iter().zip(boxes);
    pairs
        .map(|(soffit, hanging)| {
            let underside = hanging.underside_m;
            let (rect, top) = below_ceiling(ground, &hanging.rect, underside);
            let at = |z: f64| rect.map(|corner| rounded(at_height(corner, z)));
            SceneSoffit {
                id: format!("soffit:{}", soffit.id),
                corners: at(underside).into_iter().chain(at(top)).collect(),
                label: format!(
                    "{}, underside {} high",
                    words(&soffit.id),
                    length(ground.analysis, underside)
                ),
            }
        })
        .collect()
}

/// The corners of the part of a box that hangs below the ceiling, and the highest point of
/// the ceiling over it. A beam between two slopes ends where they meet its underside.
fn below_ceiling(ground: &Ground<'_>, rect: &PlanRect, underside_m: f64) -> ([Plan; 4], f64) {
    const STATIONS: u32 = 64;
    let corners = rect.corners().map(|corner| [corner.x, corner.y]);
    let [near_right, far_right, far_left, near_left] = corners;
    let between = |a: Plan, b: Plan, share: f64| [0, 1].map(|k| a[k] + (b[k] - a[k]) * share);
    let shares = (0..=STATIONS).map(|n| f64::from(n) / f64::from(STATIONS));
    let heights: Vec<(f64, f64)> = shares
        .filter_map(|share| {
            let middle = between(
                between(near_right, far_right, share),
                between(near_left, far_left, share),
                0.5,
            );
            Some((share, ground.ceiling_at(middle)?))
        })
        .filter(|(_, height)| *height > underside_m)
        .collect();
    let (Some((start, _)), Some((end, _))) = (heights.first(), heights.last()) else {
        return (corners, underside_m);
    };
    let top = heights
        .iter()
        .map(|(_, height)| *height)
        .fold(underside_m, f64::max);
    let trimmed = [
        between(near_right, far_right, *start),
        between(near_right, far_right, *end),
        between(near_left, far_left, *end),
        between(near_left, far_left, *start),
    ];
    (trimmed, top)
}
