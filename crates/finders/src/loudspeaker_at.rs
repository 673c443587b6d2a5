//! What stops a loudspeaker at a place, and which allowed place is nearest to it?

use analysis::{Analysis, Known, Means, Missing, item_label};
use checks::placing::placing;
use geometry::Point2;
use model::Item;

use crate::loudspeaker_cells::surface_cells;
use crate::loudspeaker_place::{LoudspeakerSpot, ROOM_MIN_M, corners, least_in, proved};
use crate::region::{Stop, region};

/// A place of a loudspeaker's middle on a surface.
#[derive(Clone, Debug)]
pub struct LoudspeakerAt {
    /// Everything that bars it there; empty where it is allowed, or off the surface.
    pub stops: Vec<Stop>,
    /// To the nearest edge of what is allowed, m, below nothing outside; none where nothing is.
    pub room_m: Option<f64>,
    /// What stops it at that edge.
    pub nearest_stop: Option<Stop>,
    /// The place itself where it is allowed, else the nearest on this surface that is, proved.
    pub spot: Option<LoudspeakerSpot>,
}

/// What stops a loudspeaker of a layout at a place of a surface.
pub fn loudspeaker_at(
    analysis: &Analysis,
    item: &Item,
    surface: &str,
    at: Point2,
) -> Known<LoudspeakerAt> {
    let placing = placing(analysis, item, &[])?;
    let surface = placing.surfaces.iter().find(|one| one.name == surface);
    let surface = surface.ok_or_else(|| {
        let what = format!("a surface that {} goes on", item_label(item));
        Missing::new(what, format!("item.{}", item.id), Means::Decide)
    })?;
    let place = [at.x, at.y];
    let found = surface_cells(&placing, surface, true, None);
    let is_in =
        |cell: &&crate::region::Cell| cell.sides.iter().all(|side| side.depth(place) >= 0.0);
    let mut stops: Vec<Stop> = Vec::new();
    if let Some(cell) = found.cells.iter().find(is_in) {
        for barred in &cell.barred {
            let stop = &found.stops[barred.stop];
            if barred.shape.depth(place) > 0.0 && !stops.contains(stop) {
                stops.push(stop.clone());
            }
        }
    }
    let allowed = region(&corners(surface), &found.cells, &found.stops);
    let room_m = (!allowed.parts.is_empty()).then(|| allowed.depth_m(at));
    let off = |edge: &&crate::region::Edge| edge.distance_m(at);
    let nearest = (allowed.edges()).min_by(|a, b| off(a).total_cmp(&off(b)));
    let nearest_stop = nearest.and_then(|edge| edge.stop.clone());
    let spot = match room_m {
        Some(room_m) if room_m > 0.0 => Some((place, room_m)),
        Some(_) => {
            let roomiest = allowed.roomiest().map_or(0.0, |(_, room)| room);
            let away = |[x, y]: [f64; 2]| (x - at.x).hypot(y - at.y);
            let found = least_in(&allowed, ROOM_MIN_M.min(roomiest * 0.9), away);
            found.map(|([x, y], _)| ([x, y], allowed.depth_m(Point2::new(x, y))))
        }
        None => None,
    };
    Ok(LoudspeakerAt {
        stops,
        room_m,
        nearest_stop,
        spot: spot
            .map(|(at, room_m)| proved(analysis, item, &placing, surface, at, Some(room_m)))
            .transpose()?,
    })
}
