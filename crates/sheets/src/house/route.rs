//! Which way do cables run across a plan?

use analysis::{Known, LegKind, Route, Vector2};
use drawing::{RouteDash, WallRoute};
use model::{Cable, CableUse, Item, Kit, Space};

use super::Set;
use super::place::xy;

/// A point of a way no farther off a wall than this is in it, m.
const NEAR_WALL_M: f64 = 0.02;

/// A cable's line on a plan, or why it has none.
pub(super) enum OnPlan {
    /// The corners of each part of it that is here, m.
    Lines(Vec<Vec<[f64; 2]>>),
    /// It starts and ends in one cupboard.
    Inside,
    /// It leaves the space, or its legs are described in words.
    Elsewhere,
}

impl Set<'_> {
    /// A cable's line in a space; none when neither end is there.
    pub fn route_in(&self, space: &Space, cable: &Cable) -> Option<OnPlan> {
        let ends = [&cable.from, &cable.to].map(|end| self.analysis.item_at_end(end));
        let here = |item: Option<&Item>| {
            let of = item.and_then(|item| self.analysis.space_of(item).ok());
            of.is_some_and(|of| of.id == space.id)
        };
        if let Some(lines) = self.found_lines(space, cable) {
            return Some(OnPlan::Lines(lines));
        }
        if !ends.into_iter().any(here) {
            return None;
        }
        Some(match (ends, ends.into_iter().all(here)) {
            ([Some(from), Some(to)], true) => self
                .line(space, cable, from, to)
                .unwrap_or(OnPlan::Elsewhere),
            _ => OnPlan::Elsewhere,
        })
    }

    /// The parts in a space of a way that was found in the construction; none where it was not,
    /// or does not come here.
    fn found_lines(&self, space: &Space, cable: &Cable) -> Option<Vec<Vec<[f64; 2]>>> {
        let route = self.analysis.route(cable).ok()?;
        let here = route.path.iter().filter(|piece| piece.space == space.id);
        let lines = here.map(|piece| {
            let mut line: Vec<[f64; 2]> = (piece.points.iter()).map(|[x, y, _]| [*x, *y]).collect();
            // What runs upright in a wall is a point on the plan.
            line.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-3);
            line
        });
        let lines: Vec<_> = lines.filter(|line| line.len() > 1).collect();
        (!lines.is_empty()).then_some(lines)
    }

    /// The parts of ways that run inside a wall, seen from the room, m.
    pub fn routes_in_wall(&self, space: &Space, wall: usize) -> Vec<WallRoute> {
        let shape = self.analysis.shape(space);
        let (Ok((left, along, inward)), Ok(length)) =
            (shape.wall_frame(wall), shape.wall_length(wall))
        else {
            return Vec::new();
        };
        let ([x0, y0], [ax, ay], [nx, ny]) = (left.value(), along.value(), inward.value());
        let on_wall = |[x, y, z]: [f64; 3]| {
            let (dx, dy) = (x - x0, y - y0);
            let from_left = dx * ax + dy * ay;
            let is_on = (dx * nx + dy * ny).abs() < NEAR_WALL_M
                && (-NEAR_WALL_M..=length.value() + NEAR_WALL_M).contains(&from_left);
            is_on.then_some([from_left, z])
        };
        let mut routes = Vec::new();
        for cable in &self.job().cable {
            let Ok(route) = self.analysis.route(cable) else {
                continue;
            };
            for piece in route.path.iter().filter(|piece| piece.space == space.id) {
                let mut line: Vec<[f64; 2]> = Vec::new();
                let mut lines = Vec::new();
                for point in &piece.points {
                    match on_wall(*point) {
                        Some(at) => line.push(at),
                        None => lines.push(std::mem::take(&mut line)),
                    }
                }
                lines.push(line);
                for points_m in lines.into_iter().filter(|line| line.len() > 1) {
                    routes.push(WallRoute {
                        id: cable.id.clone(),
                        points_m,
                        dash: self.dash(cable),
                        label: cable.id.clone(),
                    });
                }
            }
        }
        routes
    }

    fn line(&self, space: &Space, cable: &Cable, from: &Item, to: &Item) -> Known<OnPlan> {
        let route = self.analysis.route(cable)?;
        if route
            .legs
            .iter()
            .any(|leg| matches!(leg.along, LegKind::Stated(_)))
        {
            return Ok(OnPlan::Elsewhere);
        }
        if route
            .legs
            .iter()
            .any(|leg| matches!(leg.along, LegKind::Inside(_)))
        {
            return Ok(OnPlan::Inside);
        }
        let start = self.analysis.item_point(from)?.in_plan();
        let end = self.analysis.item_point(to)?.in_plan();
        let wall = |of: fn(&LegKind) -> Option<&str>| {
            let name = route.legs.iter().find_map(|leg| of(&leg.along))?;
            space.wall(name)
        };
        let first = wall(|kind| match kind {
            LegKind::ToWall(wall) => Some(wall),
            _ => None,
        });
        let last = wall(|kind| match kind {
            LegKind::FromWall(wall) => Some(wall),
            _ => None,
        });
        let foot = |point: &Vector2, wall: Option<usize>| -> Known<Vector2> {
            let Some(wall) = wall else {
                return Ok(point.clone());
            };
            let shape = self.analysis.shape(space);
            let (_, off) = shape.on_wall(wall, point)?;
            let (_, _, inward) = shape.wall_frame(wall)?;
            Ok(point - &inward.scaled(&off))
        };
        let (near, far) = (foot(&start, first)?, foot(&end, last)?);
        let mut line = vec![xy(&start), xy(&near)];
        line.extend(corner(route, xy(&near), xy(&far)));
        line.extend([xy(&far), xy(&end)]);
        line.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-6);
        Ok(match line.len() {
            0 | 1 => OnPlan::Inside,
            _ => OnPlan::Lines(vec![line]),
        })
    }

    /// The dashes of what a cable carries.
    pub fn dash(&self, cable: &Cable) -> RouteDash {
        let kit = self
            .job()
            .kit
            .cable
            .iter()
            .find(|kit| kit.common.id == cable.kind);
        match kit.map(|kit| kit.carries) {
            Some(CableUse::Loudspeaker) | None => RouteDash::Solid,
            Some(CableUse::Video) => RouteDash::Long,
            Some(CableUse::Line | CableUse::Coax) => RouteDash::DashDot,
            Some(CableUse::Network | CableUse::Control) => RouteDash::Short,
        }
    }

    /// The catalogue's name of a cable's kind.
    pub fn cable_kind(&self, kind: &str) -> String {
        let found = self
            .job()
            .kit
            .all()
            .find(|kit| kit.common().id == kind && matches!(kit, Kit::Cable(_)));
        let name = found.and_then(|kit| kit.common().name.clone());
        name.unwrap_or_else(|| kind.to_owned())
    }
}

/// Where a square route turns between two points.
fn corner(route: &Route, from: [f64; 2], to: [f64; 2]) -> Option<[f64; 2]> {
    let level = route
        .legs
        .iter()
        .find(|leg| matches!(leg.along, LegKind::Along | LegKind::Across))?;
    Some(match level.along {
        LegKind::Along => [to[0], from[1]],
        _ => [from[0], to[1]],
    })
}

/// Lays lines that run on one another side by side, `apart_m` from each other: each inner part moves square to itself by
/// its cable's own share, the ends stay where they are.
pub(super) fn side_by_side(lines: &mut [Vec<[f64; 2]>], apart_m: f64) {
    let count = lines.len() as f64;
    for (index, line) in lines.iter_mut().enumerate() {
        let shift = (index as f64 - (count - 1.0) / 2.0) * apart_m;
        let last = line.len() - 1;
        if last < 2 {
            continue;
        }
        let moved: Vec<[f64; 2]> = (0..=last)
            .map(|i| {
                let [x, y] = line[i];
                // A level part moves up or down, an upright one sideways; an end moves with its only part.
                let is_level = |a: [f64; 2], b: [f64; 2]| (a[1] - b[1]).abs() < (a[0] - b[0]).abs();
                let parts = [
                    i.checked_sub(1).map(|before| (before, i)),
                    (i < last).then_some((i, i + 1)),
                ];
                let (mut dx, mut dy) = (0.0, 0.0);
                for (a, b) in parts.into_iter().flatten().filter(|(_, b)| *b != last) {
                    if is_level(line[a], line[b]) {
                        dy = shift;
                    } else {
                        dx = shift;
                    }
                }
                [x + dx, y + dy]
            })
            .collect();
        *line = moved;
    }
}
