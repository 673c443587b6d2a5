//! All runs together: a hole that several cables share is drilled once.
//!
//! Each run first takes its own cheapest way. Then, round after round, each run in turn is taken
//! out and finds its way anew among the holes of the others, until no run changes; the same from
//! first guesses in which holes cost half or nothing, or in which one hole is there already, and
//! the best of all counts. The sum is never above that of the runs alone; it is a local optimum, not proven least.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::graph::{Graph, Hole, NodeId};
use crate::search::{Reckoning, Route, cheapest};

/// Rounds after which the search ends; a house settles in two or three.
const ROUNDS_MAX: usize = 8;

/// One run to be planned.
#[derive(Clone, Debug)]
pub struct Run<'a> {
    /// Its ends.
    pub ends: [NodeId; 2],
    /// How it is priced; holes already made are those of the house, not of the other runs.
    pub by: Reckoning<'a>,
}

/// The ways of all runs, and what they come to.
#[derive(Clone, Debug)]
pub struct Together {
    /// The way of each run, in their order; nothing where there is none.
    pub routes: Vec<Option<Route>>,
    /// The runs that use each hole, in order.
    pub shared: BTreeMap<Hole, Vec<usize>>,
    /// What all cost together, s.
    pub price_s: f64,
    /// What they would cost one by one, s.
    pub alone_s: f64,
}

/// What a run pays for a hole in the first guesses: alone, halved with another, nothing.
const SHARES: [f64; 3] = [1.0, 0.5, 0.0];

/// Holes that are each tried as if they were there.
const FREE_HOLES_MAX: usize = 24;

/// Plans runs so that shared holes are counted once.
pub fn together(graph: &Graph, runs: &[Run<'_>]) -> Together {
    let guess = |share: f64, made: Option<&BTreeSet<Hole>>| -> Vec<Option<Route>> {
        let first = runs.iter().map(|run| {
            let by = Reckoning {
                hole_share: share,
                made,
                ..run.by
            };
            cheapest(graph, run.ends[0], run.ends[1], &by)
        });
        first.collect()
    };
    let mut alone_s = 0.0;
    let mut seen: BTreeSet<Hole> = BTreeSet::new();
    let mut best: Option<(f64, Vec<Option<Route>>)> = None;
    let mut keep = |mut routes: Vec<Option<Route>>, seen: Option<&mut BTreeSet<Hole>>| {
        if let Some(seen) = seen {
            seen.extend(routes.iter().flatten().flat_map(Route::each_hole));
        }
        let price_s = settle(graph, runs, &mut routes);
        if best.as_ref().is_none_or(|best| price_s < best.0 - 1e-9) {
            best = Some((price_s, routes));
        }
    };
    for share in SHARES {
        let routes = guess(share, None);
        if share == 1.0 {
            alone_s = (routes.iter().flatten()).map(|route| route.price_s).sum();
        }
        keep(routes, Some(&mut seen));
    }
    // A hole that no cable would drill for itself may be worth it for several.
    for hole in seen.iter().take(FREE_HOLES_MAX) {
        keep(guess(1.0, Some(&BTreeSet::from([*hole]))), None);
    }
    let (price_s, routes) = best.expect("there is a first guess");
    let mut shared: BTreeMap<Hole, Vec<usize>> = BTreeMap::new();
    for (index, route) in routes.iter().enumerate() {
        for hole in route.iter().flat_map(Route::each_hole) {
            let users = shared.entry(hole).or_default();
            if users.last() != Some(&index) {
                users.push(index);
            }
        }
    }
    Together {
        routes,
        shared,
        price_s,
        alone_s,
    }
}

/// Lets each run in turn find its way anew among the holes of the others, until none gains.
fn settle(graph: &Graph, runs: &[Run<'_>], routes: &mut [Option<Route>]) -> f64 {
    let mut price_s = sum_of(runs, routes);
    for _ in 0..ROUNDS_MAX {
        let before_s = price_s;
        for (index, run) in runs.iter().enumerate() {
            let others = (routes.iter().enumerate()).filter(|(other, _)| *other != index);
            let made: BTreeSet<Hole> = others
                .filter_map(|(_, route)| route.as_ref())
                .flat_map(Route::each_hole)
                .collect();
            let by = Reckoning {
                made: Some(&made),
                ..run.by
            };
            let new = cheapest(graph, run.ends[0], run.ends[1], &by);
            let old = std::mem::replace(&mut routes[index], new);
            let new_s = sum_of(runs, routes);
            if new_s < price_s - 1e-9 {
                price_s = new_s;
            } else {
                routes[index] = old;
            }
        }
        if price_s > before_s - 1e-9 {
            break;
        }
    }
    price_s
}

/// What ways come to when each hole is drilled by the first that needs it, s.
fn sum_of(runs: &[Run<'_>], routes: &[Option<Route>]) -> f64 {
    let mut made = BTreeSet::new();
    let mut sum_s = 0.0;
    for (run, route) in runs.iter().zip(routes) {
        let Some(route) = route else { continue };
        let by = Reckoning {
            made: Some(&made),
            ..run.by
        };
        let steps = route.steps.iter().filter_map(|step| by.price(&step.by));
        sum_s += steps.sum::<f64>();
        let holes: Vec<Hole> = route.each_hole().collect();
        made.extend(holes);
    }
    sum_s
}
