//! Grows arrangements from the best pairs, sub by sub, where trying all is too much.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::bench::Bench;
use super::pool::{Candidate, Pool};
use super::{MOST_TRIED, Stopped, Wanted, binomial, every, improve};
use crate::Grid;

/// So many sets of places go on to the next sub.
const WIDTH: usize = 40;

/// So many of the grown and of the equally set ones are improved.
const IMPROVED: usize = 48;

/// The best of each kind that growing and improving comes upon.
pub(crate) fn grow(
    bench: &Bench,
    wanted: &Wanted,
    progress: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Pool, Stopped> {
    let part = |from: f64, to: f64| move |share: f64| progress(from + (to - from) * share);
    let mut beam = pairs(bench, wanted, &part(0.0, 0.3))?;
    while beam.first().is_some_and(|set| set.subs.len() < wanted.subs) {
        beam = widen(bench, &beam);
        if !progress(0.4) {
            return Err(Stopped::Asked);
        }
    }
    let mut starts = varied(bench, beam, IMPROVED);
    starts.extend(equally_set(bench, wanted, &part(0.5, 0.6))?);
    if !progress(0.6) {
        return Err(Stopped::Asked);
    }
    improve::improve(bench, wanted, starts, &part(0.6, 1.0))
}

/// All pairs with all joint settings, cheapest first.
fn pairs(
    bench: &Bench,
    wanted: &Wanted,
    progress: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Vec<Candidate>, Stopped> {
    let subs = wanted.subs.min(2);
    let pair = Wanted {
        subs,
        kept: wanted.kept.iter().take(subs).copied().collect(),
        ..wanted.clone()
    };
    let mut beam = every::best_of_each_set(bench, &pair, progress)?;
    // A kept third or fourth sub joins at once, plainly set; improving sets it.
    for &place in wanted.kept.iter().skip(subs) {
        let mut scratch = bench.scratch();
        for candidate in &mut beam {
            let base = bench.sum(candidate.subs.iter().copied());
            candidate.cost = bench.cost_with(&base, place, 0, &mut scratch);
            candidate.subs.push((place, 0));
        }
    }
    Ok(beam)
}

/// Adds to each of the best sets each other place at its best setting.
fn widen(bench: &Bench, beam: &[Candidate]) -> Vec<Candidate> {
    let starts = varied(bench, beam.to_vec(), WIDTH);
    let grown: Vec<Vec<Candidate>> = starts
        .par_iter()
        .map(|start| {
            let base = bench.sum(start.subs.iter().copied());
            let mut scratch = bench.scratch();
            let others = (0..bench.places()).filter(|&place| !start.has(place));
            others
                .map(|place| {
                    let mut best = (0, f64::INFINITY);
                    for knob in 0..bench.knobs.len() {
                        let cost = bench.cost_with(&base, place, knob, &mut scratch);
                        if cost < best.1 {
                            best = (knob, cost);
                        }
                    }
                    let mut subs = start.subs.clone();
                    subs.push((place, best.0));
                    Candidate { subs, cost: best.1 }
                })
                .collect()
        })
        .collect();
    let mut all: Vec<Candidate> = grown.into_iter().flatten().collect();
    all.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let mut seen = BTreeSet::new();
    all.retain(|candidate| seen.insert(candidate.places()));
    all
}

/// The cheapest, and the cheapest of each kind: a kind that starts badly may end well.
fn varied(bench: &Bench, sorted: Vec<Candidate>, width: usize) -> Vec<Candidate> {
    let mut kinds = BTreeSet::new();
    sorted
        .into_iter()
        .enumerate()
        .filter(|(at, candidate)| {
            let mut kind: Vec<u16> = candidate
                .subs
                .iter()
                .map(|&(place, _)| bench.kinds[place])
                .collect();
            kind.sort_unstable();
            let first = kinds.insert(kind);
            *at < width || (first && kinds.len() <= width)
        })
        .map(|(_, candidate)| candidate)
        .collect()
}

/// The best sets with nothing set, if they can all be tried.
fn equally_set(
    bench: &Bench,
    wanted: &Wanted,
    progress: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Vec<Candidate>, Stopped> {
    let sets = binomial(
        bench.places() - wanted.kept.len(),
        wanted.subs - wanted.kept.len(),
    );
    if sets > MOST_TRIED {
        return Ok(Vec::new());
    }
    let fixed = Grid::fixed();
    let plain = bench.with_grid(&fixed);
    let all = every::best_of_each_set(
        &plain,
        &Wanted {
            grid: fixed.clone(),
            ..wanted.clone()
        },
        progress,
    )?;
    Ok(varied(bench, all, IMPROVED))
}
