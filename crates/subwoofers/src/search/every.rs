//! Every arrangement and joint setting, one by one.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use rayon::prelude::*;

use super::bench::{Bench, Planes, Scratch};
use super::pool::{Candidate, Pool};
use super::{Stopped, Wanted};

/// The best of each kind among all arrangements.
pub(crate) fn every(
    bench: &Bench,
    wanted: &Wanted,
    progress: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Pool, Stopped> {
    let pools = walk(
        bench,
        wanted,
        progress,
        Pool::default,
        |pool, subs, cost| {
            pool.offer(bench, subs, cost);
        },
    )?;
    let mut all = Pool::default();
    for pool in pools {
        all.merge(bench, pool);
    }
    Ok(all)
}

/// The best setting of each set of places, cheapest first.
pub(crate) fn best_of_each_set(
    bench: &Bench,
    wanted: &Wanted,
    progress: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Vec<Candidate>, Stopped> {
    let lists = walk(
        bench,
        wanted,
        progress,
        Vec::<Candidate>::new,
        |list, subs, cost| {
            // All settings of a set come one after the other.
            match list.last_mut() {
                Some(last)
                    if last
                        .subs
                        .iter()
                        .map(|sub| sub.0)
                        .eq(subs.iter().map(|sub| sub.0)) =>
                {
                    if cost < last.cost {
                        *last = Candidate {
                            subs: subs.to_vec(),
                            cost,
                        };
                    }
                }
                _ => list.push(Candidate {
                    subs: subs.to_vec(),
                    cost,
                }),
            }
        },
    )?;
    let mut all: Vec<Candidate> = lists.into_iter().flatten().collect();
    all.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    Ok(all)
}

/// Goes through all sets, one task for each set; tasks keep their order.
fn walk<T: Send>(
    bench: &Bench,
    wanted: &Wanted,
    progress: &(dyn Fn(f64) -> bool + Sync),
    start: impl Fn() -> T + Sync,
    take: impl Fn(&mut T, &[(usize, usize)], f64) + Sync,
) -> Result<Vec<T>, Stopped> {
    let heads = heads(bench, wanted);
    let (done, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    let kept: Vec<T> = heads
        .par_iter()
        .map(|head| {
            let mut kept = start();
            if !stop.load(Ordering::Relaxed) {
                let mut walk = Walk {
                    bench,
                    scratch: bench.scratch(),
                    subs: Vec::new(),
                };
                for set in tails(bench, wanted, head) {
                    walk.settings(&set, &bench.silence(), &mut |subs, cost| {
                        take(&mut kept, subs, cost);
                    });
                }
                let share = (done.fetch_add(1, Ordering::Relaxed) + 1) as f64 / heads.len() as f64;
                if !progress(share) {
                    stop.store(true, Ordering::Relaxed);
                }
            }
            kept
        })
        .collect();
    match stop.into_inner() {
        true => Err(Stopped::Asked),
        false => Ok(kept),
    }
}

/// The first one or two places of each set: work enough for a task.
fn heads(bench: &Bench, wanted: &Wanted) -> Vec<Vec<usize>> {
    sets(
        &[],
        &free(bench, wanted),
        (wanted.subs - wanted.kept.len()).min(2),
    )
}

/// The sets that begin with a head, kept places first.
fn tails(bench: &Bench, wanted: &Wanted, head: &[usize]) -> Vec<Vec<usize>> {
    let more = wanted.subs - wanted.kept.len() - head.len();
    let free = free(bench, wanted);
    let after = head.last().map_or(0, |last| {
        free.iter()
            .position(|place| place == last)
            .expect("a head is taken from the free")
            + 1
    });
    let start: Vec<usize> = wanted.kept.iter().chain(head).copied().collect();
    sets(&start, &free[after..], more)
}

fn free(bench: &Bench, wanted: &Wanted) -> Vec<usize> {
    (0..bench.places())
        .filter(|place| !wanted.kept.contains(place))
        .collect()
}

fn sets(start: &[usize], from: &[usize], more: usize) -> Vec<Vec<usize>> {
    if more == 0 {
        return vec![start.to_vec()];
    }
    let mut all = Vec::new();
    for at in 0..from.len() {
        let mut start = start.to_vec();
        start.push(from[at]);
        all.extend(sets(&start, &from[at + 1..], more - 1));
    }
    all
}

struct Walk<'a> {
    bench: &'a Bench<'a>,
    scratch: Scratch,
    subs: Vec<(usize, usize)>,
}

impl Walk<'_> {
    /// Tries all joint settings of the places left in `set` on top of `base`.
    fn settings(
        &mut self,
        set: &[usize],
        base: &Planes,
        take: &mut impl FnMut(&[(usize, usize)], f64),
    ) {
        let Some((&place, rest)) = set.split_first() else {
            return;
        };
        let mut sum = self.bench.silence();
        for knob in 0..self.bench.knobs.len() {
            self.subs.push((place, knob));
            if rest.is_empty() {
                let knobs: [usize; 4] =
                    std::array::from_fn(|at| self.subs.get(at).map_or(0, |sub| sub.1));
                if self.bench.is_joint(&knobs[..self.subs.len()]) {
                    let cost = self.bench.cost_with(base, place, knob, &mut self.scratch);
                    take(&self.subs, cost);
                }
            } else {
                self.bench.add(base, place, knob, &mut sum);
                self.settings(rest, &sum, take);
            }
            self.subs.pop();
        }
    }
}
