//! One space as it is drawn: what a plan, its walls and a view in space show.

mod body;
mod ground;
mod overhead;
mod overlay;
mod place;
mod route;
mod snap;
mod types;
mod wall;

use analysis::{Analysis, Closure};
use model::{Space, SpaceKind, Units};

use crate::fields::Blanks;

pub use types::*;

pub(crate) use body::{bodies, length, word};
pub(crate) use ground::{Frame, Ground, PARALLEL, cross, dot, misclosure_m};
pub(crate) use place::{Placed, fixture, item, opening, round, seat};
pub(crate) use wall::suspected;

/// What is drawn of a room whose ceiling nobody measured, and outdoors, m. A sign only.
const HEIGHT_M: f64 = 2.4;

/// A space as it is drawn; none where the job has no such space.
///
/// A room that does not close, or has facts still to measure, gives what is known: walls as
/// far as the walk can be followed, things on their walls, and for the rest what is missing.
/// `findings` say how many of them wait for each blank fact.
pub fn scene(analysis: &Analysis, findings: &[&checks::Finding], space: &str) -> Option<Scene> {
    let space = analysis.space(space)?;
    let blanks = Blanks::of(findings);
    let ground = Ground::new(analysis, space);
    let overlays = overlay::overlays(&ground);
    let aims = overlay::aims(&ground, &overlays);
    let mut bodies = bodies(&ground, &blanks);
    for body in &mut bodies {
        body.aim = body.aim.or_else(|| aims.get(&body.id).copied());
    }
    let mut walls = wall::walls(&ground);
    for wall in &mut walls {
        wall.snaps = snap::of_wall(&ground, wall, &bodies);
    }
    let mut ceiling = overhead::ceiling(&ground);
    ceiling.snaps = snap::in_plan(&ground, &bodies);
    let (min, max) = bounds_of(&ground.floor);
    Some(Scene {
        space: space.id.clone(),
        name: space.label().to_owned(),
        kind: kind_of(space),
        units: match analysis.units() {
            Units::Imperial => SceneUnits::Imperial,
            Units::Metric => SceneUnits::Metric,
        },
        floor: ground
            .floor
            .iter()
            .map(|corner| place::rounded(*corner))
            .collect(),
        bounds: Bounds { min, max },
        // One who faces the first wall looks along y.
        north_rad: (analysis.number(space.first_wall_faces.as_ref())).map(|faces| -faces.value()),
        height_m: height(&walls, &ceiling),
        closed: ground.closed,
        gap_text: gap(&ground),
        walls,
        ceiling,
        soffits: overhead::soffits(&ground),
        bodies,
        overlays,
    })
}

/// Indoors or out.
pub(crate) fn kind_of(space: &Space) -> SceneKind {
    match space.kind.unwrap_or_default() {
        SpaceKind::Room => SceneKind::Room,
        SpaceKind::Outdoor => SceneKind::Outdoor,
    }
}

fn bounds_of(points: &[Plan]) -> (Plan, Plan) {
    let least = |k: usize| points.iter().map(|point| point[k]).reduce(f64::min);
    let most = |k: usize| points.iter().map(|point| point[k]).reduce(f64::max);
    let pair = |of: &dyn Fn(usize) -> Option<f64>| [0, 1].map(|k| round(of(k).unwrap_or(0.0)));
    (pair(&least), pair(&most))
}

fn height(walls: &[SceneWall], ceiling: &SceneCeiling) -> f64 {
    let of_planes = ceiling.planes.iter().flatten().map(|point| point[2]);
    let of_walls = walls
        .iter()
        .flat_map(|wall| &wall.top)
        .map(|point| point[1]);
    of_planes
        .chain(of_walls)
        .reduce(f64::max)
        .unwrap_or(HEIGHT_M)
}

/// By how much the walls miss each other, or what keeps them from being tried.
fn gap(ground: &Ground<'_>) -> Option<String> {
    let (analysis, shape) = (ground.analysis, ground.shape);
    let miss = |closure: &Closure| {
        let [miss_m, _] = misclosure_m(closure);
        format!(
            "The walk as measured ends {} from where it begins.",
            length(analysis, miss_m)
        )
    };
    if let Some(failed) = shape.failed_closure() {
        let words = failed.fault.words(ground.space);
        let miss = miss(&failed.closure);
        return Some(format!("The walls enclose no room: {words}. {miss}"));
    }
    match shape.closure() {
        Err(missing) => Some(format!("Needs {missing}.")),
        Ok(closure) if closure.distance() > closure.limit() => Some(format!(
            "{} All measurements together disagree by {:.1} times what chance explains.",
            miss(closure),
            closure.distance() / closure.limit()
        )),
        Ok(_) => None,
    }
}
