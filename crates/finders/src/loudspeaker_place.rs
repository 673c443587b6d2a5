//! Where on walls, ceiling or floor can a loudspeaker go so that every seat is served?

use std::f64::consts::{PI, TAU};

use analysis::{Analysis, Known, Means, Missing, item_label};
use checks::placing::{
    Directions, Listener, Placing, Surface, findings_of_loudspeaker, placing, turned_to_seats,
};
use checks::{Caution, Verdict};
use geometry::Point2;
use model::{Edit, Item, Kit, LoudspeakerForm};
use serde_json::json;
use units::{Dimension, step};

use crate::cautions::cautions;
use crate::half_plane::Point;
use crate::loudspeaker_cells::{SurfaceCells, point_of, surface_cells};
use crate::region::{Region, Stop, has_place, region};
use crate::trial::told;

/// Where a loudspeaker of a layout can be.
#[derive(Clone, Debug)]
pub struct ChannelPlaces {
    /// Its item.
    pub item: String,
    /// What it is called.
    pub label: String,
    /// The space that it plays in.
    pub space: String,
    /// The layout's own label of its channel.
    pub channel: &'static str,
    /// Each wall, the ceiling or the floor that it could go on, with what is allowed there.
    pub patches: Vec<Patch>,
    /// Where no surface has a place: what stops it, each alone.
    pub stopped_by: Vec<Stop>,
    /// The allowed place nearest to the printed direction over all seats, proved.
    pub best: Option<LoudspeakerSpot>,
    /// Where nothing is allowed: the place whose worst seat loses least, proved.
    pub least_bad: Option<LoudspeakerSpot>,
    /// Where it is, if it is on one of the surfaces.
    pub present: Option<(String, Point2)>,
    /// What its checks need to know before they say anything: nothing is kept off for it.
    pub needs: Vec<Missing>,
    /// What to beware of in putting it there.
    pub cautions: Vec<Caution>,
}

/// What is allowed on a wall, the ceiling or the floor.
#[derive(Clone, Debug)]
pub struct Patch {
    /// The wall's id, or `ceiling`.
    pub surface: String,
    /// Whether places are in plan; on a wall they are from its left corner and above the floor.
    pub is_ceiling: bool,
    /// Whether it is the floor, where places are in plan as well.
    pub is_floor: bool,
    /// The surface's corners, m.
    pub outline: Vec<Point2>,
    /// Half of the outside of what is placed, m.
    pub half_m: [f64; 2],
    /// Places of its middle that no check of a loudspeaker's place refuses.
    pub region: Region,
}

/// A place to use.
#[derive(Clone, Debug)]
pub struct LoudspeakerSpot {
    /// The wall's id, or `ceiling`.
    pub surface: String,
    /// The middle on it, m.
    pub at: Point2,
    /// Where it sounds from, m.
    pub sound_m: [f64; 3],
    /// To the nearest edge of the patch, m; nothing where it is not allowed.
    pub room_m: Option<f64>,
    /// What each seat loses there.
    pub losses: Vec<SeatLoss>,
    /// What puts it there.
    pub edits: Vec<Edit>,
    /// What stands: how it is turned there, where it is best not turned to the main seat.
    pub turned: Option<String>,
    /// The worst that its checks say of it there.
    pub verdict: Verdict,
    /// The sentence of the check that says so.
    pub because: String,
}

/// What a seat loses by a loudspeaker's place.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatLoss {
    /// The seat's id.
    pub seat: String,
    /// How much it counts.
    pub importance: f64,
    /// Whether layouts are meant for it.
    pub is_main: bool,
    /// From the printed direction, rad.
    pub off_rad: f64,
    /// Beyond what is allowed at that seat, rad.
    pub out_rad: f64,
    /// How far it is, m.
    pub distance_m: f64,
}

/// A lone overhead pair is wanted so far to its own side of straight up, rad: common practice.
const ASIDE_RAD: [f64; 2] = [20.0 * PI / 180.0, 60.0 * PI / 180.0];
/// Places closer than this to an edge are not proposed where there are others, m: a template
/// is taped up no better.
pub(crate) const ROOM_MIN_M: f64 = 0.010;
/// How finely a surface is searched before the best places are narrowed down, m.
const GRID_M: f64 = 0.10;
/// A place is told this well, m.
const FINE_M: f64 = 1e-3;

/// Where a loudspeaker of a zone with a layout can be, with a place to use.
pub fn loudspeaker_place(analysis: &Analysis, item: &Item) -> Known<ChannelPlaces> {
    let placing = placing(analysis, item, &[])?;
    let found = channel_places(analysis, item, &placing)?;
    let spot = |(surface, at, room_m): (usize, Point, Option<f64>)| {
        let surface = &placing.surfaces[surface];
        proved(analysis, item, &placing, surface, at, room_m)
    };
    let best = best_spot(&placing, &found.patches).map(spot).transpose()?;
    let (mut stopped_by, mut least_bad) = (Vec::new(), None);
    if best.is_none() {
        stopped_by = stopped(&placing);
        least_bad = least_bad_spot(&placing).map(spot).transpose()?;
    }
    Ok(ChannelPlaces {
        best,
        least_bad,
        stopped_by,
        ..found
    })
}

/// As [`loudspeaker_place`], without a place to use.
pub fn loudspeaker_patches(analysis: &Analysis, item: &Item) -> Known<ChannelPlaces> {
    let placing = placing(analysis, item, &[])?;
    channel_places(analysis, item, &placing)
}

/// What puts a loudspeaker's middle at a place of a surface, written to the micrometre: for
/// those who hold a finder against the checks.
pub fn exact_spot(analysis: &Analysis, item: &Item, surface: &str, at: Point2) -> Known<Vec<Edit>> {
    let placing = placing(analysis, item, &[])?;
    let surface = placing.surfaces.iter().find(|one| one.name == surface);
    let surface = surface.ok_or_else(|| {
        let what = format!("a surface that {} goes on", item_label(item));
        Missing::new(what, format!("item.{}", item.id), Means::Decide)
    })?;
    edits(analysis, item, surface, [at.x, at.y], |length_m| {
        format!("{length_m:.6} m")
    })
}

fn channel_places(analysis: &Analysis, item: &Item, placing: &Placing) -> Known<ChannelPlaces> {
    let zone = analysis.zone_of(item);
    let patches: Vec<Patch> = (placing.surfaces.iter())
        .map(|surface| patch(placing, surface))
        .collect();
    Ok(ChannelPlaces {
        cautions: cautions(form(analysis, item), &patches),
        item: item.id.clone(),
        label: item_label(item).to_owned(),
        space: zone.map_or_else(String::new, |zone| zone.space.clone()),
        channel: placing.directions.channel,
        patches,
        stopped_by: Vec::new(),
        best: None,
        least_bad: None,
        present: present(analysis, item, placing),
        needs: placing.needs.clone(),
    })
}

/// How a loudspeaker is fitted.
pub(crate) fn form(analysis: &Analysis, item: &Item) -> Option<LoudspeakerForm> {
    match analysis.kit_of(item) {
        Some(Kit::Loudspeaker(kit)) => kit.form,
        _ => None,
    }
}

pub(crate) fn corners(surface: &Surface) -> Vec<Point2> {
    let corner = |[x, y]: &[f64; 2]| Point2::new(*x, *y);
    surface.outline.iter().map(corner).collect()
}

pub(crate) fn patch(placing: &Placing, surface: &Surface) -> Patch {
    let SurfaceCells { cells, stops } = surface_cells(placing, surface, true, None);
    let outline = corners(surface);
    Patch {
        region: region(&outline, &cells, &stops),
        surface: surface.name.clone(),
        is_ceiling: surface.ceiling.is_some(),
        is_floor: surface.is_floor,
        outline,
        half_m: surface.half_m,
    }
}

/// What would leave a place if it were not there, each alone.
fn stopped(placing: &Placing) -> Vec<Stop> {
    let mut found: Vec<Stop> = Vec::new();
    for surface in &placing.surfaces {
        let outline = corners(surface);
        for stop in surface_cells(placing, surface, true, None).stops {
            let cells = surface_cells(placing, surface, true, Some(&stop)).cells;
            if !found.contains(&stop) && has_place(&outline, &cells) {
                found.push(stop);
            }
        }
    }
    found
}

pub(crate) fn present(
    analysis: &Analysis,
    item: &Item,
    placing: &Placing,
) -> Option<(String, Point2)> {
    let space = analysis.space(&analysis.zone_of(item)?.space)?;
    let shape = analysis.shape(space);
    let point = analysis.item_point(item).ok()?;
    if let Some(on) = &item.on {
        let surface = placing.surfaces.iter().find(|one| one.name == on.wall)?;
        let wall = space.wall(&on.wall)?;
        let (from_left, _) = shape.on_wall(wall, &point.in_plan()).ok()?;
        let at = Point2::new(from_left.value(), point.z.value());
        return Some((surface.name.clone(), at));
    }
    let is_there = |surface: &&Surface| match (&item.at, &item.hung) {
        (Some(_), _) => surface.is_floor,
        (_, Some(_)) => surface.ceiling.is_some(),
        _ => false,
    };
    let surface = placing.surfaces.iter().find(is_there)?;
    let [x, y, _] = point.value();
    Some((surface.name.clone(), Point2::new(x, y)))
}

/// What each seat loses where a loudspeaker sounds from a point.
pub(crate) fn losses(placing: &Placing, sound_m: [f64; 3]) -> Vec<SeatLoss> {
    let loss = |listener: &Listener| {
        let heard = Heard::at(listener, sound_m);
        SeatLoss {
            seat: listener.seat.clone(),
            importance: listener.importance,
            is_main: listener.is_main,
            off_rad: heard.off(&placing.directions),
            out_rad: heard.out(placing, listener, sound_m),
            distance_m: heard.distance_m,
        }
    };
    placing.listeners.iter().map(loss).collect()
}

/// How a listener hears a point.
struct Heard {
    azimuth: f64,
    elevation: f64,
    /// Up from straight ahead in the side view.
    overhead: f64,
    /// From straight up to the left, as seen from before the listener.
    aside: f64,
    distance_m: f64,
}

impl Heard {
    fn at(listener: &Listener, sound_m: [f64; 3]) -> Self {
        let [ex, ey, ez] = listener.ear_m;
        let facing = [listener.faced_m[0] - ex, listener.faced_m[1] - ey];
        let length = facing[0].hypot(facing[1]).max(1e-9);
        let [fx, fy] = facing.map(|part| part / length);
        let (dx, dy, dz) = (sound_m[0] - ex, sound_m[1] - ey, sound_m[2] - ez);
        let (ahead, left) = (fx * dx + fy * dy, fx * dy - fy * dx);
        Self {
            azimuth: left.atan2(ahead),
            elevation: dz.atan2(dx.hypot(dy)),
            overhead: dz.atan2(ahead),
            aside: left.atan2(dz),
            distance_m: dx.hypot(dy).hypot(dz),
        }
    }

    /// The angle from the printed direction.
    fn off(&self, directions: &Directions) -> f64 {
        let middle = directions
            .heights_rad
            .map_or(0.0, |[low, high]| (low + high) / 2.0);
        if directions.side_view {
            let aside = self.aside * directions.side;
            let off_side = if directions.side == 0.0 {
                0.0
            } else {
                (ASIDE_RAD[0] - aside).max(aside - ASIDE_RAD[1]).max(0.0)
            };
            return (self.overhead - middle).hypot(off_side);
        }
        let elevation = directions.elevation_rad.unwrap_or(middle);
        let Some(azimuth) = directions.azimuth_rad else {
            return (self.elevation - elevation).abs();
        };
        let (sin, cos) = (self.elevation.sin(), self.elevation.cos());
        let apart = sin * elevation.sin() + cos * elevation.cos() * (self.azimuth - azimuth).cos();
        apart.clamp(-1.0, 1.0).acos()
    }

    /// How far beyond what is allowed.
    fn out(&self, placing: &Placing, listener: &Listener, sound_m: [f64; 3]) -> f64 {
        let directions = &placing.directions;
        let mut out: f64 = 0.0;
        if let Some([right, left]) = directions.azimuths_rad {
            let half = (left - right).rem_euclid(TAU) / 2.0;
            let off = (self.azimuth - (right + half) + PI).rem_euclid(TAU) - PI;
            out = out.max(off.abs() - half - listener.allowance_rad);
        }
        if let Some([low, high]) = directions.heights_rad {
            let angle = if directions.side_view {
                self.overhead
            } else {
                self.elevation
            };
            out = out.max((low - angle).max(angle - high) - listener.allowance_rad);
        }
        let least = placing.separation_rad - listener.allowance_rad / 2.0;
        for other in &placing.apart_from {
            out = out.max(least - angle_at(listener.ear_m, sound_m, other.at_m));
        }
        out
    }
}

pub(crate) fn angle_at(ear: [f64; 3], one: [f64; 3], other: [f64; 3]) -> f64 {
    let way = |point: [f64; 3]| [0, 1, 2].map(|axis| point[axis] - ear[axis]);
    let (a, b) = (way(one), way(other));
    let dot = a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let cross = [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ];
    cross[0].hypot(cross[1]).hypot(cross[2]).atan2(dot)
}

/// The weighted mean square of the angles from the printed direction, rad².
pub(crate) fn cost(losses: &[SeatLoss]) -> f64 {
    let weight: f64 = losses.iter().map(|loss| loss.importance).sum();
    let sum: f64 = (losses.iter())
        .map(|loss| loss.importance * loss.off_rad.powi(2))
        .sum();
    sum / weight.max(1e-9)
}

/// The largest weighted angle beyond what is allowed; of equals the least mean.
fn worst(losses: &[SeatLoss]) -> f64 {
    let most = (losses.iter())
        .map(|loss| loss.importance * loss.out_rad.max(0.0))
        .fold(0.0, f64::max);
    most + 1e-3 * cost(losses)
}

/// The place of a region at which a cost is least: by a grid, then by ever smaller steps.
pub(crate) fn least_in(
    region: &Region,
    room_m: f64,
    cost: impl Fn(Point) -> f64,
) -> Option<(Point, f64)> {
    let mut best: Option<(f64, Point)> = None;
    let tried = |at: Point, best: &mut Option<(f64, Point)>| {
        let cost = cost(at);
        let is_better = best.is_none_or(|(known, _)| cost < known - 1e-12);
        let is_better = is_better && region.depth_m(Point2::new(at[0], at[1])) >= room_m;
        if is_better {
            *best = Some((cost, at));
        }
        is_better
    };
    for part in &region.parts {
        let ends = || part.rings.iter().flatten().map(|edge| edge.from);
        let fold = |pick: fn(Point2) -> f64| {
            let most = ends().map(pick).fold(f64::NEG_INFINITY, f64::max);
            [ends().map(pick).fold(f64::INFINITY, f64::min), most]
        };
        let ([left, right], [low, high]) = (fold(|p| p.x), fold(|p| p.y));
        let count = |length: f64| ((length / GRID_M).ceil() as u32).clamp(4, 60);
        let (across, up) = (count(right - left), count(high - low));
        for i in 0..across {
            for k in 0..up {
                let share = |at: u32, of: u32| (f64::from(at) + 0.5) / f64::from(of);
                let x = left + (right - left) * share(i, across);
                let y = low + (high - low) * share(k, up);
                tried([x, y], &mut best);
            }
        }
    }
    if let Some((at, room)) = region.roomiest()
        && room >= room_m
    {
        tried([at.x, at.y], &mut best);
    }
    let mut stride = GRID_M;
    while stride > FINE_M / 2.0 {
        let Some((_, [x, y])) = best else { break };
        let ways = [
            [1.0, 0.0],
            [-1.0, 0.0],
            [0.0, 1.0],
            [0.0, -1.0],
            [0.7, 0.7],
            [-0.7, 0.7],
            [0.7, -0.7],
            [-0.7, -0.7],
        ];
        let moved = ways
            .into_iter()
            .any(|[dx, dy]| tried([x + dx * stride, y + dy * stride], &mut best));
        if !moved {
            stride /= 2.0;
        }
    }
    best.map(|(cost, at)| (at, cost))
}

fn best_spot(placing: &Placing, patches: &[Patch]) -> Option<(usize, Point, Option<f64>)> {
    let mut best: Option<(f64, usize, Point)> = None;
    for (index, patch) in patches.iter().enumerate() {
        let Some((_, roomiest)) = patch.region.roomiest() else {
            continue;
        };
        let surface = &placing.surfaces[index];
        let room_m = ROOM_MIN_M.min(roomiest * 0.9);
        let found = least_in(&patch.region, room_m, |at| {
            cost(&losses(placing, point_of(surface, at)))
        });
        if let Some((at, cost)) = found
            && best.is_none_or(|(known, ..)| cost < known)
        {
            best = Some((cost, index, at));
        }
    }
    best.map(|(_, index, at)| {
        let depth = patches[index].region.depth_m(Point2::new(at[0], at[1]));
        (index, at, Some(depth))
    })
}

fn least_bad_spot(placing: &Placing) -> Option<(usize, Point, Option<f64>)> {
    let mut best: Option<(f64, usize, Point)> = None;
    for (index, surface) in placing.surfaces.iter().enumerate() {
        let SurfaceCells { cells, stops } = surface_cells(placing, surface, false, None);
        let free = region(&corners(surface), &cells, &stops);
        let Some((_, roomiest)) = free.roomiest() else {
            continue;
        };
        let found = least_in(&free, ROOM_MIN_M.min(roomiest * 0.9), |at| {
            worst(&losses(placing, point_of(surface, at)))
        });
        if let Some((at, cost)) = found
            && best.is_none_or(|(known, ..)| cost < known)
        {
            best = Some((cost, index, at));
        }
    }
    best.map(|(_, index, at)| (index, at, None))
}

/// What puts a loudspeaker's middle at a place of a surface.
pub(crate) fn edits(
    analysis: &Analysis,
    item: &Item,
    surface: &Surface,
    at: Point,
    written: impl Fn(f64) -> String,
) -> Known<Vec<Edit>> {
    let path = |field: &str| format!("item.{}.{field}", item.id);
    let mut edits = Vec::new();
    let mut clear = |field: &str, is_set: bool| {
        if is_set {
            edits.push(Edit::remove(path(field)));
        }
    };
    // Elsewhere it is turned anew.
    clear("turned", item.turned.is_some());
    if surface.ceiling.is_none() && !surface.is_floor {
        clear("at", item.at.is_some());
        clear("hung", item.hung.is_some());
        let on = json!({
            "wall": surface.name,
            "from_left": written(at[0]),
            "height": written(at[1]),
        });
        edits.push(Edit::set(path("on"), on));
        return Ok(edits);
    }
    match surface.is_floor {
        true => clear("hung", item.hung.is_some()),
        false => clear("at", item.at.is_some()),
    }
    clear("on", item.on.is_some());
    let zone = analysis.zone_of(item);
    let space = zone
        .and_then(|zone| analysis.space(&zone.space))
        .ok_or_else(|| Missing::new("the zone's space", path("zone"), Means::Decide))?;
    let shape = analysis.shape(space);
    let off = |name: &str| -> Known<serde_json::Value> {
        let wall = space
            .wall(name)
            .ok_or_else(|| Missing::new("a wall to measure from", path("hung"), Means::Decide))?;
        let (left, _, inward) = shape.wall_frame(wall)?;
        let ([lx, ly], [ix, iy]) = (left.value(), inward.value());
        let off = (at[0] - lx) * ix + (at[1] - ly) * iy;
        Ok(json!([name, written(off)]))
    };
    let mut hung = json!({ "from": off(&surface.from[0])?, "and": off(&surface.from[1])? });
    if surface.is_floor {
        let height = item.at.as_ref().and_then(|at| at.height.as_ref());
        if let Some(height) = height.and_then(|height| serde_json::to_value(height).ok()) {
            hung["height"] = height;
        }
        edits.push(Edit::set(path("at"), hung));
        return Ok(edits);
    }
    let drop = item.hung.as_ref().and_then(|hung| hung.drop.as_ref());
    if let Some(drop) = drop.and_then(|drop| serde_json::to_value(drop).ok()) {
        hung["drop"] = drop;
    }
    edits.push(Edit::set(path("hung"), hung));
    Ok(edits)
}

/// The edits of a place as a tape shows it.
pub(crate) fn taped(
    analysis: &Analysis,
    item: &Item,
    surface: &Surface,
    at: Point,
) -> Known<Vec<Edit>> {
    let printer = analysis.printer();
    let fine = step(printer.system, Dimension::Length, None);
    edits(analysis, item, surface, at, |length_m| {
        printer.print((length_m / fine).round() * fine, Dimension::Length, None)
    })
}

/// How it is best turned once it stands where it was put.
pub(crate) fn turned_there(
    moved: &Analysis,
    item: &Item,
    surface: &Surface,
) -> Option<(String, Vec<Edit>)> {
    let there = moved.item(&item.id).filter(|_| surface.is_floor)?;
    turned_to_seats(moved, there)
}

pub(crate) fn proved(
    analysis: &Analysis,
    item: &Item,
    placing: &Placing,
    surface: &Surface,
    at: Point,
    room_m: Option<f64>,
) -> Known<LoudspeakerSpot> {
    let mut edits = taped(analysis, item, surface, at)?;
    let refused = |error: model::EditError| {
        let what = format!("a place for {}: {error}", item_label(item));
        Missing::new(what, format!("item.{}", item.id), Means::Decide)
    };
    let mut turned = None;
    if surface.is_floor {
        // A trial prints no words.
        let there = analysis.edited(&edits).map_err(refused)?;
        if let Some((says, turn)) = turned_there(&there, item, surface) {
            edits.extend(turn);
            turned = Some(says);
        }
    }
    let tried = analysis.tried(&edits).map_err(refused)?;
    let there = tried.item(&item.id).unwrap_or(item);
    let findings = findings_of_loudspeaker(&tried, tried.space_of(there)?, there);
    let worst = findings.iter().min_by_key(|finding| finding.verdict);
    let because = match worst {
        Some(worst) => told(analysis, &edits, worst),
        None => String::new(),
    };
    let sound_m = point_of(surface, at);
    Ok(LoudspeakerSpot {
        surface: surface.name.clone(),
        at: Point2::new(at[0], at[1]),
        sound_m,
        room_m,
        losses: losses(placing, sound_m),
        edits,
        turned,
        verdict: worst.map_or(Verdict::Unknown, |finding| finding.verdict),
        because,
    })
}
