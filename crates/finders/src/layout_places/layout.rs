//! Which of those places go together, and what a set of them costs and mends.

use analysis::{Analysis, Known, Means, Missing, item_label};
use checks::Verdict;
use checks::placing::{LOUDSPEAKER_CHECKS, findings_of_loudspeaker};
use geometry::Point2;
use model::{Edit, EditError, Space};

use super::member::{BEYOND, Candidate, Member, main_axis, mirror};
use super::{LayoutPlan, PlanSeat, PlannedPlace};
use crate::joint::{Choice, cheapest};
use crate::loudspeaker_place::{angle_at, taped, turned_there};

/// Two on one surface keep so far apart, m.
const APART_M: f64 = 0.010;

/// What an answer weighs.
pub(super) struct Weights {
    title: &'static str,
    symmetry: f64,
    plate: f64,
    planned: f64,
}

pub(super) const ANSWERS: [Weights; 3] = [
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

/// The loudspeakers of a zone with all their places.
pub(super) struct Layout<'a> {
    pub analysis: &'a Analysis,
    pub space: &'a Space,
    pub members: Vec<Member<'a>>,
    pub pairs: Vec<(usize, usize)>,
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

    pub(super) fn plan(&self, weights: &Weights) -> Known<Option<LayoutPlan>> {
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
    pub(super) fn present(&self) -> Known<Option<LayoutPlan>> {
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
                let key = (finding.check, finding.subject.id.clone(), finding.verdict);
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
