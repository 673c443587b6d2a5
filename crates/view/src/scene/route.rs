//! Which way do cables run through a space, up, along and down again?

use analysis::LegKind;
use model::{Cable, Item};
use units::Dimension;

use super::ground::{Ground, at_height};
use super::place::rounded;
use super::{CableRoute, Plan, Point};

/// Ways that run through the space: parts of those found in the construction, and those of
/// cables with both ends here that follow from the job.
pub(crate) fn routes(ground: &Ground<'_>) -> Vec<CableRoute> {
    let analysis = ground.analysis;
    let mut routes = Vec::new();
    for cable in analysis.cables() {
        let found = analysis.route(cable).map_or(&[][..], |route| &route.path);
        let paths: Vec<Vec<Point>> = match found {
            [] => path(ground, cable).into_iter().collect(),
            pieces => (pieces.iter())
                .filter(|piece| piece.space == ground.space.id)
                .map(|piece| piece.points.iter().copied().map(rounded).collect())
                .collect(),
        };
        routes.extend(paths.into_iter().map(|path| CableRoute {
            cable: cable.id.clone(),
            label: label(ground, cable),
            existing: cable.existing.is_some(),
            path,
        }));
    }
    routes
}

/// "W16, Loudspeaker cable 14/2, 23′ 4″".
fn label(ground: &Ground<'_>, cable: &Cable) -> String {
    let kit = ground.analysis.kit(&cable.kind);
    let kind = kit.and_then(|kit| kit.common().name.clone());
    let mut label = format!(
        "{}, {}",
        cable.id,
        kind.unwrap_or_else(|| cable.kind.clone())
    );
    if let Ok(length) = ground.analysis.run_length(cable) {
        label += &format!(", {}", ground.analysis.print(&length, Dimension::Length));
    }
    label
}

/// The corners of a cable's way; none where it leaves the space, stays inside a cupboard, or
/// is described in words.
fn path(ground: &Ground<'_>, cable: &Cable) -> Option<Vec<Point>> {
    let analysis = ground.analysis;
    let end = |end: &str| -> Option<&Item> {
        let item = analysis.item_at_end(end)?;
        analysis.is_in(item, ground.space).then_some(item)
    };
    let (from, to) = (end(&cable.from)?, end(&cable.to)?);
    let route = analysis.route(cable).ok()?;
    let is_drawn = |kind: &LegKind| !matches!(kind, LegKind::Stated(_) | LegKind::Inside(_));
    if route.legs.is_empty() || !route.legs.iter().all(|leg| is_drawn(&leg.along)) {
        return None;
    }
    let start = analysis.item_point(from).ok()?.value();
    let end = analysis.item_point(to).ok()?.value();
    if route.legs.iter().any(|leg| leg.along == LegKind::Straight) {
        return Some(vec![rounded(start), rounded(end)]);
    }
    let is_overhead = (route.legs.iter())
        .find_map(|leg| match leg.along {
            LegKind::Rise => Some(true),
            LegKind::Drop => Some(false),
            _ => None,
        })
        .unwrap_or(true);
    let foot = |point: Point, wall: Option<&str>| -> Plan {
        let plan = [point[0], point[1]];
        match wall.and_then(|wall| ground.wall(wall)) {
            Some(frame) => frame.point(frame.place_of(plan)[0], 0.0),
            None => plan,
        }
    };
    let named = |of: fn(&LegKind) -> Option<&str>| route.legs.iter().find_map(|leg| of(&leg.along));
    let near = foot(
        start,
        named(|kind| match kind {
            LegKind::ToWall(wall) => Some(wall),
            _ => None,
        }),
    );
    let far = foot(
        end,
        named(|kind| match kind {
            LegKind::FromWall(wall) => Some(wall),
            _ => None,
        }),
    );
    let run = |plan: Plan| match is_overhead {
        true => ground.ceiling_at(plan),
        false => Some(0.0),
    };
    let mut path = vec![start, at_height(near, start[2])];
    let level = (route.legs.iter()).find_map(|leg| match leg.along {
        LegKind::Along => Some([far[0], near[1]]),
        LegKind::Across => Some([near[0], far[1]]),
        _ => None,
    });
    path.push(at_height(near, run(near)?));
    if let Some(corner) = level {
        path.push(at_height(corner, run(corner)?));
    }
    path.push(at_height(far, run(far)?));
    path.push(at_height(far, end[2]));
    path.push(end);
    let mut path: Vec<Point> = path.into_iter().map(rounded).collect();
    path.dedup();
    (path.len() > 1).then_some(path)
}
