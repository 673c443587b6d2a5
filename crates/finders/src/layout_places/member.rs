//! Where each loudspeaker of a layout might go, and which of them make a pair.

use analysis::Analysis;
use checks::placing::Placing;
use geometry::Point2;
use model::Item;

use crate::half_plane::Point;
use crate::loudspeaker_cells::{point_of, surface_cells};
use crate::loudspeaker_place::{
    Patch, SeatLoss, angle_at, corners, least_in, losses, patch, present,
};
use crate::region::region;

/// Degrees beyond what is allowed weigh as ten from the printed direction.
pub(super) const BEYOND: f64 = 100.0;
/// As many pieces of a patch bring a candidate each.
const PIECES_MAX: usize = 4;
/// A place this near to the planned one is the planned one, m.
pub(super) const SAME_M: f64 = 0.005;

/// A place of one loudspeaker.
pub(super) struct Candidate {
    pub surface: usize,
    pub at: Point,
    pub sound_m: [f64; 3],
    pub stays: bool,
    pub reuses: Option<String>,
    pub losses: Vec<SeatLoss>,
    /// Without weights, °².
    pub cost: f64,
}

/// A loudspeaker with the places that it might have.
pub(super) struct Member<'a> {
    pub item: &'a Item,
    pub placing: Placing,
    pub patches: Vec<Patch>,
    pub candidates: Vec<Candidate>,
}

pub(super) fn member<'a>(analysis: &Analysis, item: &'a Item, placing: Placing) -> Member<'a> {
    let patches: Vec<Patch> = (placing.surfaces.iter())
        .map(|surface| patch(&placing, surface))
        .collect();
    let mut member = Member {
        item,
        placing,
        patches,
        candidates: Vec::new(),
    };
    member.best_of_pieces();
    member.at_old_ends();
    if let Some((surface, at)) = present(analysis, item, &member.placing) {
        let index = member
            .placing
            .surfaces
            .iter()
            .position(|one| one.name == surface);
        if let Some(index) = index {
            member.add(index, [at.x, at.y], true);
        }
    }
    if member.candidates.iter().all(|candidate| candidate.stays) {
        member.least_bad();
    }
    member
}

impl Member<'_> {
    fn cost_at(&self, surface: usize, at: Point) -> f64 {
        let sound_m = point_of(&self.placing.surfaces[surface], at);
        cost(&losses(&self.placing, sound_m))
    }

    fn add(&mut self, surface: usize, at: Point, stays: bool) {
        let known = (self.candidates.iter_mut()).find(|known| {
            known.surface == surface && (known.at[0] - at[0]).hypot(known.at[1] - at[1]) < SAME_M
        });
        if let Some(known) = known {
            known.stays |= stays;
            return;
        }
        let of = &self.placing.surfaces[surface];
        let sound_m = point_of(of, at);
        let losses = losses(&self.placing, sound_m);
        let hidden = of.ends.iter().find(|end| {
            let rect = end.rect;
            rect.left_m >= at[0] - of.half_m[0]
                && rect.right_m <= at[0] + of.half_m[0]
                && rect.bottom_m >= at[1] - of.half_m[1]
                && rect.top_m <= at[1] + of.half_m[1]
        });
        self.candidates.push(Candidate {
            surface,
            at,
            sound_m,
            stays,
            reuses: hidden.map(|end| end.id.clone()),
            cost: cost(&losses),
            losses,
        });
    }

    /// The best place of each piece of the patches, the best pieces first.
    fn best_of_pieces(&mut self) {
        const ROOM_M: f64 = 0.010;
        let mut found: Vec<(f64, usize, Point)> = Vec::new();
        for (surface, patch) in self.patches.iter().enumerate() {
            for part in &patch.region.parts {
                let piece = crate::Region {
                    parts: vec![part.clone()],
                };
                let Some((_, roomiest)) = piece.roomiest() else {
                    continue;
                };
                let least = least_in(&piece, ROOM_M.min(roomiest * 0.9), |at| {
                    self.cost_at(surface, at)
                });
                found.extend(least.map(|(at, cost)| (cost, surface, at)));
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, surface, at) in found.into_iter().take(PIECES_MAX) {
            self.add(surface, at, false);
        }
    }

    /// Places that hide an old plate or cable end, where the loss is small.
    fn at_old_ends(&mut self) {
        /// Each way over the places that hide an end.
        const TRIES: i32 = 4;
        let mut found = Vec::new();
        for (index, surface) in self.placing.surfaces.iter().enumerate() {
            for end in &surface.ends {
                let rect = end.rect;
                let middle = [
                    (rect.left_m + rect.right_m) / 2.0,
                    (rect.bottom_m + rect.top_m) / 2.0,
                ];
                let room = [
                    surface.half_m[0] - (rect.right_m - rect.left_m) / 2.0,
                    surface.half_m[1] - (rect.top_m - rect.bottom_m) / 2.0,
                ];
                if room[0] <= 0.0 || room[1] <= 0.0 {
                    continue;
                }
                let region = &self.patches[index].region;
                let tries = (-TRIES..=TRIES).flat_map(|i| (-TRIES..=TRIES).map(move |k| (i, k)));
                let best = tries
                    .map(|(i, k)| {
                        let share = |at: i32| 0.95 * f64::from(at) / f64::from(TRIES);
                        [
                            middle[0] + room[0] * share(i),
                            middle[1] + room[1] * share(k),
                        ]
                    })
                    .filter(|at| region.depth_m(Point2::new(at[0], at[1])) > 0.0)
                    .map(|at| (self.cost_at(index, at), at))
                    .min_by(|a, b| a.0.total_cmp(&b.0));
                if let Some((_, at)) = best {
                    found.push((index, at));
                }
            }
        }
        for (surface, at) in found {
            self.add(surface, at, false);
        }
    }

    /// Where nothing is allowed: the place that is free and costs least.
    fn least_bad(&mut self) {
        const ROOM_M: f64 = 0.010;
        let mut found: Vec<(f64, usize, Point)> = Vec::new();
        for (index, surface) in self.placing.surfaces.iter().enumerate() {
            let cells = surface_cells(&self.placing, surface, false, None);
            let free = region(&corners(surface), &cells.cells, &cells.stops);
            let Some((_, roomiest)) = free.roomiest() else {
                continue;
            };
            let least = least_in(&free, ROOM_M.min(roomiest * 0.9), |at| {
                self.cost_at(index, at)
            });
            found.extend(least.map(|(at, cost)| (cost, index, at)));
        }
        if let Some((_, surface, at)) = found.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)) {
            self.add(surface, at, false);
        }
    }
}

/// What a place costs by itself, °².
fn cost(losses: &[SeatLoss]) -> f64 {
    let weight: f64 = losses.iter().map(|loss| loss.importance).sum();
    let sum: f64 = (losses.iter())
        .map(|loss| {
            let (off, out) = (
                loss.off_rad.to_degrees(),
                loss.out_rad.max(0.0).to_degrees(),
            );
            loss.importance * (off * off + BEYOND * out * out)
        })
        .sum();
    sum / weight.max(1e-9)
}

/// Pairs whose printed azimuths mirror each other at one height.
pub(super) fn pairs(members: &[Member<'_>]) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    for (at, one) in members.iter().enumerate() {
        let directions = &one.placing.directions;
        let azimuth = directions.azimuth_rad.unwrap_or(directions.side);
        if azimuth < 1e-3 {
            continue;
        }
        let mirrors = |other: &Member<'_>| {
            let mirrored = &other.placing.directions;
            let other_azimuth = mirrored.azimuth_rad.unwrap_or(mirrored.side);
            let opposite = (other_azimuth + azimuth).abs() < 1e-6
                && mirrored.side_view == directions.side_view;
            let level =
                directions.elevation_rad.unwrap_or(0.0) - mirrored.elevation_rad.unwrap_or(0.0);
            opposite && level.abs() < 1e-6
        };
        if let Some(other) = members.iter().position(mirrors) {
            found.push((at, other));
        }
    }
    found
}

/// The ear and what it faces, of the seat that layouts are meant for.
pub(super) fn main_axis(placing: &Placing) -> Option<([f64; 3], [f64; 2])> {
    let main = placing.listeners.iter().find(|listener| listener.is_main)?;
    Some((main.ear_m, main.faced_m))
}

/// A point on the other side of the plane straight up through an ear and what it faces.
pub(super) fn mirror(ear: [f64; 3], faced: [f64; 2], point: [f64; 3]) -> [f64; 3] {
    let way = [faced[0] - ear[0], faced[1] - ear[1]];
    let length = way[0].hypot(way[1]).max(1e-9);
    let left = [-way[1] / length, way[0] / length];
    let off = (point[0] - ear[0]) * left[0] + (point[1] - ear[1]) * left[1];
    [
        point[0] - 2.0 * off * left[0],
        point[1] - 2.0 * off * left[1],
        point[2],
    ]
}

/// Adds to a member the places nearest to the mirror images of another's.
pub(super) fn mirrored(members: &mut [Member<'_>], from: usize, to: usize) {
    let Some((ear, faced)) = main_axis(&members[from].placing) else {
        return;
    };
    let wanted: Vec<[f64; 3]> = (members[from].candidates.iter())
        .take(PIECES_MAX)
        .map(|candidate| mirror(ear, faced, candidate.sound_m))
        .collect();
    for point in wanted {
        let member = &members[to];
        let mut best: Option<(f64, usize, Point)> = None;
        for (index, patch) in member.patches.iter().enumerate() {
            let surface = &member.placing.surfaces[index];
            let Some((_, roomiest)) = patch.region.roomiest() else {
                continue;
            };
            let found = least_in(&patch.region, 0.010_f64.min(roomiest * 0.9), |at| {
                angle_at(ear, point, point_of(surface, at))
            });
            if let Some((at, off)) = found
                && best.is_none_or(|(known, ..)| off < known)
            {
                best = Some((off, index, at));
            }
        }
        if let Some((_, surface, at)) = best {
            members[to].add(surface, at, false);
        }
    }
}
