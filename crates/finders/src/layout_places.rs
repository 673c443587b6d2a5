//! Where should all loudspeakers of a layout go together?
//!
//! Each channel brings a few candidates: the best place of each piece of its patch, where it
//! is now, places that hide an old plate, and the mirror image of its partner's. A set of one
//! candidate a channel costs
//!
//! J = Σ_c [ Σ_s w_s (δ_cs² + 100 ε_cs²) / Σ_s w_s ] + λ Σ_p α_p² + 100 Σ_(o,e) Σ_s w_s σ_oes² / Σ_s w_s − ρ n − κ k
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | c, s | channel, seat | |
//! | w_s | the seat's importance | |
//! | δ_cs | from the printed direction | ° |
//! | ε_cs | beyond what is allowed at that seat | ° |
//! | α_p | of a pair: from the mirror image of the one to the other, at the main seat | ° |
//! | σ_oes | what an overhead and an ear-level channel lack to be told apart | ° |
//! | n, k | old plates used; loudspeakers left where they are | |
//! | λ, ρ, κ | what an answer weighs: symmetry, plates, what is planned | 1, °², °² |
//!
//! Two that overlap, and two at one plate, exclude each other. The cheapest set is found by
//! branch and bound; three answers weigh differently.

use std::collections::BTreeSet;

use analysis::{Analysis, Known, Means, Missing, item_label};
use checks::placing::{LOUDSPEAKER_CHECKS, Placing, findings_of_loudspeaker, placing};
use checks::{Caution, Verdict};
use geometry::Point2;
use model::{Edit, EditError, Item, Space, Zone};

use crate::cautions::cautions;
use crate::half_plane::Point;
use crate::joint::{Choice, cheapest};
use crate::loudspeaker_cells::{point_of, surface_cells};
use crate::loudspeaker_place::{
    Patch, SeatLoss, angle_at, corners, form, least_in, losses, patch, present, taped, turned_there,
};
use crate::region::region;

/// Sets of places for the loudspeakers of a zone.
#[derive(Clone, Debug)]
pub struct LayoutPlaces {
    /// The zone.
    pub zone: String,
    /// The space that it is in.
    pub space: String,
    /// Answers that differ, the best directions first.
    pub plans: Vec<LayoutPlan>,
    /// The layout as it is planned now, where every loudspeaker has a place.
    pub present: Option<LayoutPlan>,
    /// Loudspeakers that no wall or ceiling takes, and what is missing.
    pub left_out: Vec<Missing>,
    /// What to beware of in putting them there.
    pub cautions: Vec<Caution>,
}

/// One set of places.
#[derive(Clone, Debug)]
pub struct LayoutPlan {
    /// What it weighs.
    pub title: &'static str,
    /// J without what plates and what is planned are worth, °².
    pub objective: f64,
    /// Whether no cheaper set of the candidates is left.
    pub is_proved: bool,
    /// Each loudspeaker.
    pub places: Vec<PlannedPlace>,
    /// What each seat loses over all channels.
    pub seats: Vec<PlanSeat>,
    /// The largest angle by which a pair is off its mirror image at the main seat, rad.
    pub asymmetry_rad: f64,
    /// New holes to cut.
    pub cuts: usize,
    /// Old plates used.
    pub reused: usize,
    /// New wire square along the building from the amplifiers, m, where they are placed.
    pub wire_m: Option<f64>,
    /// What pulling that wire costs by the shop's own times and rates.
    pub price: Option<f64>,
    /// Findings of the place checks that fail, and that are tight.
    pub failing: usize,
    /// Tight ones.
    pub tight: usize,
    /// What makes it so.
    pub edits: Vec<Edit>,
}

/// A loudspeaker of a set.
#[derive(Clone, Debug)]
pub struct PlannedPlace {
    /// The item.
    pub item: String,
    /// What it is called.
    pub label: String,
    /// The wall's id, or `ceiling`.
    pub surface: String,
    /// Its middle there, m.
    pub at: Point2,
    /// Whether it stays where it is planned.
    pub stays: bool,
    /// The old plate that it hides and uses.
    pub reuses: Option<String>,
    /// What stands: how it is turned there, where it is best not turned to the main seat.
    pub turned: Option<String>,
    /// What each seat loses.
    pub losses: Vec<SeatLoss>,
}

/// What a seat loses over all channels of a set.
#[derive(Clone, Debug)]
pub struct PlanSeat {
    /// The seat.
    pub seat: String,
    /// Root mean square angle from the printed directions, rad.
    pub off_rad: f64,
    /// The most that a channel is beyond what is allowed here, rad.
    pub out_rad: f64,
    /// Which channel's item that is.
    pub worst: String,
}

/// Degrees beyond what is allowed weigh as ten from the printed direction.
const BEYOND: f64 = 100.0;
/// As many pieces of a patch bring a candidate each.
const PIECES_MAX: usize = 4;
/// Two on one surface keep so far apart, m.
const APART_M: f64 = 0.010;
/// A place this near to the planned one is the planned one, m.
const SAME_M: f64 = 0.005;

/// What an answer weighs.
struct Weights {
    title: &'static str,
    symmetry: f64,
    plate: f64,
    planned: f64,
}

const ANSWERS: [Weights; 3] = [
    Weights {
        title: "best directions",
        symmetry: 1.0,
        plate: 0.0,
        planned: 0.0,
    },
    Weights {
        title: "old plates used",
        symmetry: 0.5,
        plate: 400.0,
        planned: 0.0,
    },
    Weights {
        title: "least moved",
        symmetry: 0.5,
        plate: 100.0,
        planned: 100.0,
    },
];

struct Candidate {
    surface: usize,
    at: Point,
    sound_m: [f64; 3],
    stays: bool,
    reuses: Option<String>,
    losses: Vec<SeatLoss>,
    /// Without weights, °².
    cost: f64,
}

struct Member<'a> {
    item: &'a Item,
    placing: Placing,
    patches: Vec<Patch>,
    candidates: Vec<Candidate>,
}

/// Sets of places for the loudspeakers of a zone with a layout.
pub fn layout_places(analysis: &Analysis, zone: &Zone) -> Known<LayoutPlaces> {
    let space = analysis.space(&zone.space).ok_or_else(|| {
        let what = format!("the space of zone {}", zone.id);
        Missing::new(what, format!("zone.{}.space", zone.id), Means::Decide)
    })?;
    if zone.layout.is_none() {
        let what = format!("the layout of zone {}", zone.id);
        return Err(Missing::new(
            what,
            format!("zone.{}.layout", zone.id),
            Means::Decide,
        ));
    }
    let items: Vec<&Item> = (analysis.loudspeakers_of(zone))
        .map(|(item, _)| item)
        .filter(|item| !item.existing)
        .collect();
    let ids: Vec<&str> = items.iter().map(|item| item.id.as_str()).collect();
    let (mut members, mut left_out) = (Vec::new(), Vec::new());
    for item in items {
        match placing(analysis, item, &ids) {
            Ok(placing) if is_anywhere(&placing) => {}
            Ok(placing) => members.push(member(analysis, item, placing)),
            Err(missing) => left_out.push(missing),
        }
    }
    members.retain(|member| !member.candidates.is_empty());
    let dangers: BTreeSet<Caution> = (members.iter())
        .flat_map(|member| cautions(form(analysis, member.item), &member.patches))
        .collect();
    let pairs = pairs(&members);
    for (one, other) in &pairs {
        mirrored(&mut members, *one, *other);
        mirrored(&mut members, *other, *one);
    }
    let layout = Layout {
        analysis,
        space,
        members,
        pairs,
    };
    let mut plans: Vec<LayoutPlan> = Vec::new();
    for weights in &ANSWERS {
        if let Some(plan) = layout.plan(weights)? {
            let same = |known: &LayoutPlan| {
                (known.places.iter().zip(&plan.places))
                    .all(|(a, b)| a.surface == b.surface && a.at.distance(b.at) < SAME_M)
            };
            if !plans.iter().any(same) {
                plans.push(plan);
            }
        }
    }
    Ok(LayoutPlaces {
        zone: zone.id.clone(),
        space: space.id.clone(),
        present: layout.present()?,
        plans,
        left_out,
        cautions: dangers.into_iter().collect(),
    })
}

/// Whether its layout leaves it free.
fn is_anywhere(placing: &Placing) -> bool {
    placing.directions.azimuths_rad.is_none() && placing.directions.heights_rad.is_none()
}

fn member<'a>(analysis: &Analysis, item: &'a Item, placing: Placing) -> Member<'a> {
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
fn pairs(members: &[Member<'_>]) -> Vec<(usize, usize)> {
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
fn main_axis(placing: &Placing) -> Option<([f64; 3], [f64; 2])> {
    let main = placing.listeners.iter().find(|listener| listener.is_main)?;
    Some((main.ear_m, main.faced_m))
}

/// A point on the other side of the plane straight up through an ear and what it faces.
fn mirror(ear: [f64; 3], faced: [f64; 2], point: [f64; 3]) -> [f64; 3] {
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
fn mirrored(members: &mut [Member<'_>], from: usize, to: usize) {
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

struct Layout<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    members: Vec<Member<'a>>,
    pairs: Vec<(usize, usize)>,
}

impl Layout<'_> {
    fn candidate(&self, (member, candidate): (usize, usize)) -> &Candidate {
        &self.members[member].candidates[candidate]
    }

    /// Of a pair: how far the one is off the other's mirror image at the main seat, rad.
    fn asymmetry(&self, one: (usize, usize), other: (usize, usize)) -> f64 {
        let Some((ear, faced)) = main_axis(&self.members[one.0].placing) else {
            return 0.0;
        };
        let mirrored = mirror(ear, faced, self.candidate(one).sound_m);
        angle_at(ear, mirrored, self.candidate(other).sound_m)
    }

    fn alone(&self, pick: (usize, usize), weights: &Weights) -> f64 {
        let candidate = self.candidate(pick);
        let plate = if candidate.reuses.is_some() {
            weights.plate
        } else {
            0.0
        };
        let planned = if candidate.stays {
            weights.planned
        } else {
            0.0
        };
        candidate.cost - plate - planned
    }

    /// What two of different groups cost together.
    fn between(&self, one: (usize, usize), other: (usize, usize)) -> f64 {
        let [a, b] = [one, other].map(|pick| &self.members[pick.0]);
        let [p, q] = [one, other].map(|pick| self.candidate(pick));
        let [on_a, on_b] = [
            &a.placing.surfaces[p.surface],
            &b.placing.surfaces[q.surface],
        ];
        if on_a.name == on_b.name {
            let gap = |axis: usize| {
                (p.at[axis] - q.at[axis]).abs() - on_a.half_m[axis] - on_b.half_m[axis]
            };
            if gap(0).max(gap(1)) < APART_M {
                return f64::INFINITY;
            }
        }
        if p.reuses.is_some() && p.reuses == q.reuses {
            return f64::INFINITY;
        }
        if a.placing.directions.is_overhead == b.placing.directions.is_overhead {
            return 0.0;
        }
        let weight: f64 = a.placing.listeners.iter().map(|one| one.importance).sum();
        let lacks = a.placing.listeners.iter().map(|listener| {
            let least = a.placing.separation_rad - listener.allowance_rad / 2.0;
            let angle = angle_at(listener.ear_m, p.sound_m, q.sound_m);
            listener.importance * (least - angle).max(0.0).to_degrees().powi(2)
        });
        BEYOND * lacks.sum::<f64>() / weight.max(1e-9)
    }

    fn groups(&self, weights: &Weights) -> Vec<Vec<Choice>> {
        let in_pair = |member: usize| {
            (self.pairs.iter()).any(|(one, other)| *one == member || *other == member)
        };
        let candidates =
            |member: usize| (0..self.members[member].candidates.len()).map(move |at| (member, at));
        let mut groups: Vec<Vec<Choice>> = (self.pairs.iter())
            .map(|(one, other)| {
                let both = candidates(*one).flat_map(|a| candidates(*other).map(move |b| (a, b)));
                both.filter(|(a, b)| self.between(*a, *b).is_finite())
                    .map(|(a, b)| Choice {
                        cost: self.alone(a, weights)
                            + self.alone(b, weights)
                            + self.between(a, b)
                            + weights.symmetry * self.asymmetry(a, b).to_degrees().powi(2),
                        picks: vec![a, b],
                    })
                    .collect()
            })
            .collect();
        for member in (0..self.members.len()).filter(|member| !in_pair(*member)) {
            groups.push(
                candidates(member)
                    .map(|pick| Choice {
                        cost: self.alone(pick, weights),
                        picks: vec![pick],
                    })
                    .collect(),
            );
        }
        groups.retain(|group| !group.is_empty());
        groups
    }

    fn plan(&self, weights: &Weights) -> Known<Option<LayoutPlan>> {
        let groups = self.groups(weights);
        let found = cheapest(&groups, |one, other| self.between(one, other));
        let Some(found) = found else {
            return Ok(None);
        };
        let mut picks: Vec<(usize, usize)> = (found.choices.iter().enumerate())
            .flat_map(|(group, choice)| groups[group][*choice].picks.clone())
            .collect();
        picks.sort_unstable();
        self.told(weights.title, &picks, found.is_proved).map(Some)
    }

    /// The layout as it is planned.
    fn present(&self) -> Known<Option<LayoutPlan>> {
        let picks: Option<Vec<(usize, usize)>> = (self.members.iter().enumerate())
            .map(|(at, member)| {
                let stays = member.candidates.iter().position(|one| one.stays);
                stays.map(|candidate| (at, candidate))
            })
            .collect();
        match picks {
            Some(picks) if !picks.is_empty() => self.told("as planned", &picks, true).map(Some),
            _ => Ok(None),
        }
    }

    fn told(
        &self,
        title: &'static str,
        picks: &[(usize, usize)],
        is_proved: bool,
    ) -> Known<LayoutPlan> {
        let analysis = self.analysis;
        let mut edits: Vec<Edit> = Vec::new();
        let mut places = Vec::new();
        for pick in picks {
            let (member, candidate) = (&self.members[pick.0], self.candidate(*pick));
            let surface = &member.placing.surfaces[candidate.surface];
            if !candidate.stays {
                edits.extend(taped(analysis, member.item, surface, candidate.at)?);
            }
            if let Some(end) = &candidate.reuses
                && member.item.reuses.as_ref() != Some(end)
            {
                let at = format!("item.{}.reuses", member.item.id);
                edits.push(Edit::set(at, end.clone()));
            }
            places.push(PlannedPlace {
                item: member.item.id.clone(),
                label: item_label(member.item).to_owned(),
                surface: surface.name.clone(),
                at: Point2::new(candidate.at[0], candidate.at[1]),
                stays: candidate.stays,
                reuses: candidate.reuses.clone(),
                turned: None,
                losses: candidate.losses.clone(),
            });
        }
        self.turn(picks, &mut places, &mut edits)?;
        let reused = places.iter().filter(|place| place.reuses.is_some()).count();
        let (wire_m, price) = self.wire(picks);
        let (failing, tight) = self.verdicts(&edits)?;
        let pairs = || {
            (self.pairs.iter()).filter_map(|(one, other)| {
                let pick = |member: usize| picks.iter().find(|pick| pick.0 == member).copied();
                Some(self.asymmetry(pick(*one)?, pick(*other)?))
            })
        };
        let lacks: f64 = (picks.iter().enumerate())
            .flat_map(|(at, one)| picks[..at].iter().map(move |other| (*one, *other)))
            .map(|(one, other)| self.between(one, other))
            .filter(|cost| cost.is_finite())
            .sum();
        let own: f64 = picks.iter().map(|pick| self.candidate(*pick).cost).sum();
        let asymmetry: f64 = pairs().map(|angle| angle.to_degrees().powi(2)).sum();
        Ok(LayoutPlan {
            title,
            objective: own + lacks + asymmetry,
            is_proved,
            seats: seats(&places),
            asymmetry_rad: pairs().fold(0.0, f64::max),
            cuts: places.len() - reused,
            reused,
            wire_m,
            price,
            failing,
            tight,
            places,
            edits,
        })
    }

    /// Turns what stands to its seats, once all is where it goes.
    fn turn(
        &self,
        picks: &[(usize, usize)],
        places: &mut [PlannedPlace],
        edits: &mut Vec<Edit>,
    ) -> Known<()> {
        let on_floor = |pick: &(usize, usize)| {
            let candidate = self.candidate(*pick);
            !candidate.stays && self.members[pick.0].placing.surfaces[candidate.surface].is_floor
        };
        if !picks.iter().any(on_floor) {
            return Ok(());
        }
        // A trial prints no words.
        let moved = self
            .analysis
            .edited(edits)
            .map_err(|error| refused(&error))?;
        for (pick, place) in picks.iter().zip(places) {
            let member = &self.members[pick.0];
            let surface = &member.placing.surfaces[self.candidate(*pick).surface];
            if on_floor(pick)
                && let Some((says, turn)) = turned_there(&moved, member.item, surface)
            {
                edits.extend(turn);
                place.turned = Some(says);
            }
        }
        Ok(())
    }

    /// What the place checks say of the space with a set of edits made.
    fn verdicts(&self, edits: &[Edit]) -> Known<(usize, usize)> {
        let tried = self
            .analysis
            .tried(edits)
            .map_err(|error| refused(&error))?;
        let space = tried.space(&self.space.id).unwrap_or(self.space);
        let mut seen: Vec<(&str, String, Verdict)> = Vec::new();
        for member in &self.members {
            let item = tried.item(&member.item.id).unwrap_or(member.item);
            for finding in findings_of_loudspeaker(&tried, space, item) {
                let key = (finding.check, finding.subject.id, finding.verdict);
                if LOUDSPEAKER_CHECKS.contains(&key.0) && !seen.contains(&key) {
                    seen.push(key);
                }
            }
        }
        let count = |asked: Verdict| seen.iter().filter(|one| one.2 == asked).count();
        Ok((count(Verdict::Fails), count(Verdict::Tight)))
    }

    /// New wire square along the building: out, up to the ceiling, across and down.
    fn wire(&self, picks: &[(usize, usize)]) -> (Option<f64>, Option<f64>) {
        let analysis = self.analysis;
        let mut sum = 0.0;
        for pick in picks {
            let (member, candidate) = (&self.members[pick.0], self.candidate(*pick));
            if candidate.reuses.is_some() {
                continue;
            }
            let amplifier = analysis.amplifier_of(member.item);
            let from = amplifier.and_then(|(amplifier, _)| analysis.item_point(amplifier).ok());
            let Some(from) = from.map(|from| from.value()) else {
                return (None, None);
            };
            let to = candidate.sound_m;
            sum += (from[0] - to[0]).abs() + (from[1] - to[1]).abs() + (from[2] - to[2]).abs();
        }
        let rates = &analysis.job().rates;
        let per_metre = rates.pull_per_metre.as_ref().and_then(|time| time.value());
        let price = per_metre
            .zip(rates.hour)
            .map(|(per_metre, hour)| sum * per_metre / 3600.0 * hour);
        (Some(sum), price)
    }
}

fn refused(error: &EditError) -> Missing {
    let what = format!("places that can be written: {error}");
    Missing::new(what, "item", Means::Decide)
}

fn seats(places: &[PlannedPlace]) -> Vec<PlanSeat> {
    let Some(first) = places.first() else {
        return Vec::new();
    };
    (first.losses.iter().enumerate())
        .map(|(seat, loss)| {
            let of = |place: &PlannedPlace| place.losses[seat].clone();
            let squares: f64 = places.iter().map(|place| of(place).off_rad.powi(2)).sum();
            let worst = (places.iter())
                .map(|place| (of(place).out_rad.max(0.0), place))
                .max_by(|a, b| a.0.total_cmp(&b.0));
            PlanSeat {
                seat: loss.seat.clone(),
                off_rad: (squares / places.len() as f64).sqrt(),
                out_rad: worst.map_or(0.0, |worst| worst.0),
                worst: worst.map_or_else(String::new, |(_, place)| place.label.clone()),
            }
        })
        .collect()
}
