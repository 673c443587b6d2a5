//! Which places and settings are best for one to four subs?
//!
//! All arrangements are tried where that is few enough ([`MOST_TRIED`]): then the
//! answer is exact on the grid of settings. Otherwise the best pairs (all of them
//! tried), and the best sets at equal settings, are grown and then improved, one
//! sub's setting or place at a time, until nothing gets better.

mod bench;
mod every;
mod grow;
mod improve;
mod pool;

use crate::{Arrangement, Goal, Grid, Score, Transfers, score};
use bench::Bench;
use pool::{Candidate, Pool};

/// As many arrangements are tried one by one, about a second's work; beyond, the
/// search is no longer exact.
const MOST_TRIED: f64 = 2.0e6;

/// What is looked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// How many subs, one to four.
    pub subs: usize,
    /// Places that are among them in any case: a sub that stays where it is.
    pub kept: Vec<usize>,
    /// What can be set on each.
    pub grid: Grid,
    /// How many runners-up of other kinds are told.
    pub runners_up: usize,
}

/// The outcome of a search.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The best first, then the best of each other kind of arrangement. Kinds differ
    /// in the kinds of their places.
    pub ranked: Vec<(Arrangement, Score)>,
    /// Whether every arrangement was tried, or what stands in for that.
    pub effort: Effort,
}

/// How thorough a search was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effort {
    /// Every arrangement and joint setting of the grid was tried: the best is the best.
    Every,
    /// Grown from the best pairs and improved step by step; a better one may exist.
    Grown,
}

/// Why a search gave no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Stopped {
    /// Progress was answered with "stop".
    #[error("the search was stopped")]
    Asked,
    /// None, or more than four subs.
    #[error("one to four subs can be placed, not {0}")]
    Subs(usize),
    /// There are fewer places than subs.
    #[error("{subs} subs need as many places; the table has {places}")]
    Places {
        /// Subs wanted.
        subs: usize,
        /// Places given.
        places: usize,
    },
    /// A kept place that is no place of the table, comes twice, or is one too many.
    #[error("place {0} can't be kept: it is not in the table, is named twice, or is one too many")]
    Kept(usize),
}

/// Finds the best places and settings.
///
/// `progress` is told the share that is done and answers whether to go on; it is
/// called from several threads.
///
/// # Errors
///
/// No one to four subs, too few places, a kept place that is none, or a stop.
pub fn search(
    transfers: &Transfers,
    goal: &Goal,
    wanted: &Wanted,
    progress: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Found, Stopped> {
    check(transfers, wanted)?;
    let bench = Bench::new(transfers, goal, &wanted.grid);
    let places = transfers.places().len();
    let sets = binomial(places - wanted.kept.len(), wanted.subs - wanted.kept.len());
    let tries = sets * wanted.grid.joint_settings(wanted.subs);
    let (pool, effort) = if tries <= MOST_TRIED {
        (every::every(&bench, wanted, progress)?, Effort::Every)
    } else {
        (grow::grow(&bench, wanted, progress)?, Effort::Grown)
    };
    Ok(Found {
        ranked: rank(transfers, goal, wanted, &bench, pool),
        effort,
    })
}

fn check(transfers: &Transfers, wanted: &Wanted) -> Result<(), Stopped> {
    let places = transfers.places().len();
    if !(1..=4).contains(&wanted.subs) {
        return Err(Stopped::Subs(wanted.subs));
    }
    if places < wanted.subs {
        return Err(Stopped::Places {
            subs: wanted.subs,
            places,
        });
    }
    for (at, &place) in wanted.kept.iter().enumerate() {
        if place >= places || at >= wanted.subs || wanted.kept[..at].contains(&place) {
            return Err(Stopped::Kept(place + 1));
        }
    }
    Ok(())
}

fn rank(
    transfers: &Transfers,
    goal: &Goal,
    wanted: &Wanted,
    bench: &Bench,
    pool: Pool,
) -> Vec<(Arrangement, Score)> {
    let told = |candidate: &Candidate| {
        let arrangement = bench.arrangement(candidate);
        let score = score(transfers, goal, &arrangement);
        (arrangement, score)
    };
    pool.best_of_each_kind()
        .iter()
        .take(wanted.runners_up + 1)
        .map(told)
        .collect()
}

fn binomial(from: usize, choose: usize) -> f64 {
    (0..choose)
        .map(|at| (from - at) as f64 / (at + 1) as f64)
        .product::<f64>()
        .round()
}

#[cfg(test)]
mod tests;
