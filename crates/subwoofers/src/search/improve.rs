//! Changes one sub at a time, its setting or its place, while that makes it better.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use rayon::prelude::*;

use super::bench::{Bench, Scratch};
use super::pool::{Candidate, Pool};
use super::{Stopped, Wanted};
use crate::drive::Knobs;

/// So many of the best, and the best of each kind, may change places too.
const MOVED: usize = 10;

/// Improves each start; what is best of each kind afterwards.
pub(crate) fn improve(
    bench: &Bench,
    wanted: &Wanted,
    starts: Vec<Candidate>,
    progress: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Pool, Stopped> {
    let set = each(&starts, &|share| progress(0.4 * share), |start| {
        settled(bench, start, &mut bench.scratch())
    })?;
    let mut pool = Pool::default();
    for candidate in &set {
        pool.offer(bench, &candidate.subs, candidate.cost);
    }
    let mut best = set;
    best.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    best.truncate(MOVED);
    let moved = each(&best, &|share| progress(0.4 + 0.6 * share), |start| {
        moved(bench, wanted, start)
    })?;
    for candidate in &moved {
        pool.offer(bench, &candidate.subs, candidate.cost);
    }
    Ok(pool)
}

fn each(
    starts: &[Candidate],
    progress: &(dyn Fn(f64) -> bool + Sync),
    better: impl Fn(&Candidate) -> Candidate + Sync,
) -> Result<Vec<Candidate>, Stopped> {
    let (done, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    let all = starts
        .par_iter()
        .map(|start| {
            if stop.load(Ordering::Relaxed) {
                return start.clone();
            }
            let improved = better(start);
            let share = (done.fetch_add(1, Ordering::Relaxed) + 1) as f64 / starts.len() as f64;
            if !progress(share) {
                stop.store(true, Ordering::Relaxed);
            }
            improved
        })
        .collect();
    match stop.into_inner() {
        true => Err(Stopped::Asked),
        false => Ok(all),
    }
}

/// Sets sub after sub anew until a whole round changes nothing.
fn settled(bench: &Bench, start: &Candidate, scratch: &mut Scratch) -> Candidate {
    let mut best = start.clone();
    loop {
        let before = best.cost;
        for at in 0..best.subs.len() {
            set_one(bench, &mut best, at, scratch);
        }
        // Costs fall by finite steps through a finite grid, so this ends; a gain
        // below rounding is none.
        if best.cost >= before - 1e-9 {
            return best;
        }
    }
}

/// Tries all settings of one sub, later and earlier than the others.
fn set_one(bench: &Bench, best: &mut Candidate, at: usize, scratch: &mut Scratch) {
    let place = best.subs[at].0;
    let others: Vec<(usize, usize)> = best
        .subs
        .iter()
        .enumerate()
        .filter(|(sub, _)| *sub != at)
        .map(|(_, sub)| *sub)
        .collect();
    // Earlier than the others means that the others are delayed.
    for shift in 0.. {
        let Some(later) = delayed(bench, &others, shift) else {
            break;
        };
        let base = bench.sum(later.iter().copied());
        for (knob, knobs) in bench.knobs.iter().enumerate() {
            if shift > 0 && knobs.delay > 0 {
                continue;
            }
            let cost = bench.cost_with(&base, place, knob, scratch);
            if cost < best.cost {
                let mut subs = later.clone();
                subs.insert(at, (place, knob));
                *best = Candidate { subs, cost };
            }
        }
    }
}

/// The subs, each so many steps later; `None` where the grid ends.
fn delayed(bench: &Bench, subs: &[(usize, usize)], shift: usize) -> Option<Vec<(usize, usize)>> {
    let least = subs
        .iter()
        .map(|&(_, knob)| bench.knobs[knob].delay)
        .min()?;
    subs.iter()
        .map(|&(place, knob)| {
            let knobs = bench.knobs[knob];
            let delay = knobs.delay - least + shift;
            bench
                .knob(Knobs { delay, ..knobs })
                .map(|knob| (place, knob))
        })
        .collect()
}

/// Moves sub after sub to where it serves best, then sets all anew.
fn moved(bench: &Bench, wanted: &Wanted, start: &Candidate) -> Candidate {
    let mut scratch = bench.scratch();
    let mut best = start.clone();
    loop {
        let before = best.cost;
        for at in 0..best.subs.len() {
            if wanted.kept.contains(&best.subs[at].0) {
                continue;
            }
            let others = best.subs.iter().enumerate().filter(|(sub, _)| *sub != at);
            let base = bench.sum(others.map(|(_, sub)| *sub));
            for place in 0..bench.places() {
                if stands_elsewhere(&best, at, place) {
                    continue;
                }
                for knob in 0..bench.knobs.len() {
                    let cost = bench.cost_with(&base, place, knob, &mut scratch);
                    if cost < best.cost {
                        best.subs[at] = (place, knob);
                        best.cost = cost;
                    }
                }
            }
        }
        set_two(bench, &mut best, &mut scratch);
        best = settled(bench, &best, &mut scratch);
        if best.cost >= before - 1e-9 {
            return best;
        }
    }
}

/// Sets each two subs anew together: some valleys are crossed by two at once only.
fn set_two(bench: &Bench, best: &mut Candidate, scratch: &mut Scratch) {
    let mut sum = bench.silence();
    for one in 0..best.subs.len() {
        for other in one + 1..best.subs.len() {
            let (place, at) = (best.subs[one].0, best.subs[other].0);
            let others = best.subs.iter().enumerate();
            let others = others.filter(|(sub, _)| *sub != one && *sub != other);
            let base = bench.sum(others.map(|(_, sub)| *sub));
            for knob in 0..bench.knobs.len() {
                bench.add(&base, place, knob, &mut sum);
                for with in 0..bench.knobs.len() {
                    let cost = bench.cost_with(&sum, at, with, scratch);
                    if cost < best.cost {
                        best.subs[one].1 = knob;
                        best.subs[other].1 = with;
                        best.cost = cost;
                    }
                }
            }
        }
    }
}

/// Whether another sub stands there.
fn stands_elsewhere(candidate: &Candidate, at: usize, place: usize) -> bool {
    candidate
        .subs
        .iter()
        .enumerate()
        .any(|(sub, &(taken, _))| sub != at && taken == place)
}
