//! Which measurement is most likely mistyped, and what should it have been?
//!
//! # Does the room close at all?
//! `T = Σ (v/σ)²` is compared with its χ² limit ([`closing_limit`]); within it
//! there are no suspects. One test over all conditions keeps the chance of a
//! false alarm at 1 in 370 whatever the number of walls.
//!
//! # How bad is each measurement?
//! Baarda's data snooping: the standardised residual `w_k` says how far
//! measurement `k` lies from what all others say. Because a mistake may be a
//! metre long, the linear `w_k` only picks the candidates: each is then left
//! out and the room adjusted anew, which gives
//!
//! | symbol | meaning |
//! |---|---|
//! | `m_k` | what the others say measurement `k` should be: `needed` |
//! | `s_k` | standard deviation of (measured − `m_k`): `√(σ_k² + σ_m²)` |
//! | `T_k` | what disagreement is left without it |
//!
//! # How plausible is each as the one mistake?
//! Bayes' rule over "exactly one measurement is mistaken, each as likely as
//! the next". Half of all mistakes are taken to be one of the slips of
//! [`Slip`], every kind as likely as the next, half to be anything within ±5 m
//! or ±90° (no statistics of typing slips on tapes were found; even odds claim the
//! least). With `e` the meant value and `p_k(e)` that mixture, up to a constant
//! common to all `k`,
//!
//! `ln P_k = −T_k / 2 + ln s_k + ln ∫ p_k(e) Normal(e; m_k, s_k) de`.
//!
//! A slip that hits `m_k` thus beats an arbitrary mistake by about the number of
//! values within ±5 m that the others could tell apart from `m_k`.
//!
//! # What cannot be told apart
//! `T_j − T_k` is twice the logarithm of the odds at which the measurements
//! alone prefer `k` to `j`. Below 20 to 1 the two get the same `rank`, and
//! `decide_with` names the diagonal to measure. Opposite walls of a rectangle
//! without diagonals are equals: lengthening one closes the room as well as
//! shortening the other, unless that leaves a room so narrow that the other two
//! walls cannot differ as they do. So are all walls along one axis of a room
//! whose corners are all taken as square.

use std::collections::BTreeMap;
use std::mem::{Discriminant, discriminant};

use crate::adjust::{Adjusted, closing_limit, first_guess, solve};
use crate::linear::dot;
use crate::network::Network;
use crate::polygon::{crossing_walls, doubled_area, sees};
use crate::slip::{angle_slips, length_slips};
use crate::{Observation, Slip, Traverse};

/// A measurement that would, alone mistaken, explain why the room does not close.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// The measurement.
    pub observation: Observation,
    /// Its standardised residual.
    pub standardised_residual: f64,
    /// The value all other measurements say it should have, m or rad.
    pub needed: f64,
    /// The slip that would explain the difference, if one does within 3 σ.
    pub slip: Option<Slip>,
    /// [`Adjusted::closing_distance`] with the slip's value in its place, or
    /// `needed` where no slip fits.
    pub closes_to_sigma: f64,
    /// Share of belief among all single mistakes considered, 0 to 1.
    pub probability: f64,
    /// 1 for the likeliest. Suspects of the same rank cannot be told apart by
    /// the measurements; among them the likelier slip comes first.
    pub rank: usize,
    /// The two corners whose distance would tell this suspect from its equals,
    /// if it has equals and a diagonal can.
    pub decide_with: Option<[usize; 2]>,
}

/// Each candidate costs two adjustments; beyond so many, those with the least residuals are not
/// the one mistake.
const CANDIDATES_MAX: usize = 60;

/// One measurement left out.
struct Hypothesis {
    suspect: Suspect,
    place: usize,
    corners: Vec<[f64; 2]>,
    /// `T_k`.
    disagreement: f64,
    log_belief: f64,
}

/// The measurements that could be the one mistake, likeliest first; empty when
/// the room closes within its tolerances.
///
/// `adjusted` is the result of [`crate::adjust`] on this traverse, or the one
/// its error carries. Suspects that leave the room open are dropped unless all
/// do; then the one that leaves least is returned, and `closes_to_sigma` above
/// [`closing_limit`] says there is more than one mistake.
pub fn suspects(traverse: &Traverse, adjusted: &Adjusted) -> Vec<Suspect> {
    let network = Network::new(traverse);
    let count = network.observations.len();
    let fits = adjusted.corners.len() == network.walls && adjusted.standardised.len() == count;
    if !fits || network.walls < 3 || adjusted.closes() {
        return vec![];
    }
    let weights: Vec<f64> = network.sigmas.iter().map(|sigma| sigma.powi(-2)).collect();
    let mut places: Vec<usize> = (0..count)
        .filter(|&place| adjusted.standardised[place] != 0.0)
        .collect();
    let badness = |place: &usize| adjusted.standardised[*place].abs();
    places.sort_by(|a, b| badness(b).total_cmp(&badness(a)).then(a.cmp(b)));
    places.truncate(CANDIDATES_MAX);
    places.sort_unstable();
    let mut hypotheses: Vec<Hypothesis> = (places.into_iter())
        .filter_map(|place| leave_out(traverse, adjusted, &network, &weights, place))
        .collect();
    keep_those_that_close(&mut hypotheses, closing_limit(adjusted.redundancy));
    hypotheses.sort_by(|a, b| {
        b.log_belief
            .total_cmp(&a.log_belief)
            .then(a.place.cmp(&b.place))
    });
    share_belief(&mut hypotheses);
    rank(&mut hypotheses);
    name_deciding_diagonals(&mut hypotheses, traverse);
    hypotheses.sort_by_key(|hypothesis| hypothesis.suspect.rank);
    hypotheses
        .into_iter()
        .map(|hypothesis| hypothesis.suspect)
        .collect()
}

fn leave_out(
    traverse: &Traverse,
    adjusted: &Adjusted,
    network: &Network,
    weights: &[f64],
    place: usize,
) -> Option<Hypothesis> {
    let observation = network.observations[place];
    let mut others = weights.to_vec();
    others[place] = 0.0;
    // A gross mistake can pull the adjusted corners into another valley; the
    // walk as typed starts elsewhere. The lower of the two is meant.
    let without = [adjusted.corners.clone(), first_guess(traverse)]
        .into_iter()
        .filter_map(|start| solve(network, &others, start).ok())
        .min_by(|a, b| a.disagreement.total_cmp(&b.disagreement))?;
    if crossing_walls(&without.corners).is_some() || doubled_area(&without.corners) >= 0.0 {
        return None;
    }
    let needed = match observation {
        // Read beside the typed value, an inside angle may come out a whole turn off.
        Observation::Angle(_) => without.readings[place].rem_euclid(std::f64::consts::TAU),
        _ => without.readings[place],
    };
    let row = &without.gradients[place];
    let spread = (network.sigmas[place].powi(2) + dot(row, &without.normal.solve(row))).sqrt();
    let typed = network.values[place];
    let (slips, range) = match observation {
        Observation::Angle(_) => (angle_slips(typed), std::f64::consts::PI),
        _ => (length_slips(typed), 10.0),
    };
    let (slip_density, slip) = most_plausible(&slips, needed, spread);
    let log_belief =
        -0.5 * without.disagreement + spread.ln() + (0.5 * slip_density + 0.5 / range).ln();
    let after = |value: f64| {
        let changed = Network::new(&traverse.with_value(observation, value));
        solve(&changed, weights, without.corners.clone())
            .map(|solution| solution.disagreement.sqrt())
    };
    let limit = closing_limit(adjusted.redundancy);
    let slip = slip.filter(|slip| after(slip.value()).is_ok_and(|distance| distance <= limit));
    let closes_to_sigma = after(slip.map_or(needed, Slip::value)).ok()?;
    log_belief.is_finite().then(|| Hypothesis {
        suspect: Suspect {
            observation,
            standardised_residual: adjusted.standardised[place],
            needed,
            slip,
            closes_to_sigma,
            probability: 0.0,
            rank: 0,
            decide_with: None,
        },
        place,
        corners: without.corners,
        disagreement: without.disagreement,
        log_belief,
    })
}

/// Probability density at `needed` of a slip, blurred by `spread`, and the
/// slip that contributes most of it if it lies within 3 σ.
fn most_plausible(slips: &[Slip], needed: f64, spread: f64) -> (f64, Option<Slip>) {
    let kind = |slip: &Slip| -> Discriminant<Slip> { discriminant(slip) };
    let kinds: Vec<_> = slips.iter().map(kind).collect();
    let mut distinct = kinds.clone();
    distinct.dedup();
    let distinct = distinct
        .iter()
        .enumerate()
        .filter(|(i, kind)| !distinct[..*i].contains(kind))
        .count();
    let mut density = 0.0;
    let mut best: Option<(f64, Slip)> = None;
    for (slip, own) in slips.iter().zip(&kinds) {
        let of_this_kind = kinds.iter().filter(|kind| *kind == own).count();
        let share = 1.0 / (distinct * of_this_kind) as f64;
        let z = (slip.value() - needed) / spread;
        let part = share * (-0.5 * z * z).exp() / (spread * (2.0 * std::f64::consts::PI).sqrt());
        density += part;
        if z.abs() <= 3.0 && best.is_none_or(|(most, _)| part > most) {
            best = Some((part, *slip));
        }
    }
    (density, best.map(|(_, slip)| slip))
}

fn keep_those_that_close(hypotheses: &mut Vec<Hypothesis>, limit: f64) {
    let least = hypotheses
        .iter()
        .map(|hypothesis| hypothesis.suspect.closes_to_sigma)
        .min_by(f64::total_cmp)
        .unwrap_or(limit);
    // Rounding must not part the walls that leave the room equally open.
    let limit = limit.max(least * (1.0 + 1e-9));
    hypotheses.retain(|hypothesis| hypothesis.suspect.closes_to_sigma <= limit);
}

fn share_belief(hypotheses: &mut [Hypothesis]) {
    let Some(most) = hypotheses.first().map(|first| first.log_belief) else {
        return;
    };
    let total: f64 = hypotheses.iter().map(|h| (h.log_belief - most).exp()).sum();
    for hypothesis in hypotheses {
        hypothesis.suspect.probability = (hypothesis.log_belief - most).exp() / total;
    }
}

/// Gives the same rank to what the measurements cannot tell apart.
fn rank(hypotheses: &mut [Hypothesis]) {
    const DECISIVE_ODDS: f64 = 20.0;
    let mut ranks = 0;
    for leader in 0..hypotheses.len() {
        if hypotheses[leader].suspect.rank != 0 {
            continue;
        }
        ranks += 1;
        let left = hypotheses[leader].disagreement;
        for follower in &mut hypotheses[leader..] {
            let apart = (follower.disagreement - left).abs();
            if follower.suspect.rank == 0 && apart < 2.0 * DECISIVE_ODDS.ln() {
                follower.suspect.rank = ranks;
            }
        }
    }
}

fn name_deciding_diagonals(hypotheses: &mut [Hypothesis], traverse: &Traverse) {
    let mut by_rank: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, hypothesis) in hypotheses.iter().enumerate() {
        by_rank.entry(hypothesis.suspect.rank).or_default().push(i);
    }
    for members in by_rank.values().filter(|members| members.len() > 1) {
        let shapes: Vec<&[[f64; 2]]> = members
            .iter()
            .map(|&i| hypotheses[i].corners.as_slice())
            .collect();
        let decide_with = deciding_diagonal(&shapes, traverse);
        for &i in members {
            hypotheses[i].suspect.decide_with = decide_with;
        }
    }
}

/// The unmeasured diagonal inside all shapes that tells most pairs of them
/// apart, and of those the one that differs most.
fn deciding_diagonal(shapes: &[&[[f64; 2]]], traverse: &Traverse) -> Option<[usize; 2]> {
    let n = traverse.lengths.len();
    let sigma = traverse
        .lengths
        .iter()
        .map(|length| length.sigma)
        .fold(0.0, f64::max);
    let measured = |from: usize, to: usize| {
        traverse
            .diagonals
            .iter()
            .any(|diagonal| [[from, to], [to, from]].contains(&[diagonal.from, diagonal.to]))
    };
    let mut best: Option<(usize, f64, [usize; 2])> = None;
    for from in 0..n {
        for to in from + 2..n {
            let beside = from == 0 && to == n - 1;
            if beside || measured(from, to) || !shapes.iter().all(|shape| sees(shape, from, to)) {
                continue;
            }
            let lengths: Vec<f64> = shapes
                .iter()
                .map(|shape| (shape[to][0] - shape[from][0]).hypot(shape[to][1] - shape[from][1]))
                .collect();
            let (mut told_apart, mut difference) = (0, 0.0);
            for (i, a) in lengths.iter().enumerate() {
                for b in &lengths[..i] {
                    told_apart += usize::from((a - b).abs() > 4.0 * sigma);
                    difference += (a - b).abs();
                }
            }
            // The first of equals, so that rounding does not choose.
            let better = best.is_none_or(|(most, largest, _)| {
                told_apart > most || (told_apart == most && difference > largest * (1.0 + 1e-6))
            });
            if told_apart > 0 && better {
                best = Some((told_apart, difference, [from, to]));
            }
        }
    }
    best.map(|(_, _, diagonal)| diagonal)
}
