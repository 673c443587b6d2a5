//! The best arrangement of each kind that a search has come upon.

use std::collections::BTreeMap;

use super::bench::Bench;

/// Subs by place and number of setting, with what they cost.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Candidate {
    pub(crate) subs: Vec<(usize, usize)>,
    pub(crate) cost: f64,
}

#[derive(Default)]
pub(crate) struct Pool {
    by_kind: BTreeMap<Vec<u16>, Candidate>,
}

impl Candidate {
    pub(crate) fn has(&self, place: usize) -> bool {
        self.subs.iter().any(|&(taken, _)| taken == place)
    }

    /// The same set of places is the same however it was come upon.
    pub(crate) fn places(&self) -> Vec<usize> {
        let mut places: Vec<usize> = self.subs.iter().map(|&(place, _)| place).collect();
        places.sort_unstable();
        places
    }
}

impl Pool {
    /// Keeps an arrangement if it is the best of its kind; of equals the first stays.
    pub(crate) fn offer(&mut self, bench: &Bench, subs: &[(usize, usize)], cost: f64) {
        let mut kind: Vec<u16> = subs.iter().map(|&(place, _)| bench.kinds[place]).collect();
        kind.sort_unstable();
        match self.by_kind.get_mut(&kind) {
            Some(best) if cost < best.cost => {
                best.subs.clear();
                best.subs.extend_from_slice(subs);
                best.cost = cost;
            }
            Some(_) => {}
            None => {
                self.by_kind.insert(
                    kind,
                    Candidate {
                        subs: subs.to_vec(),
                        cost,
                    },
                );
            }
        }
    }

    pub(crate) fn merge(&mut self, bench: &Bench, other: Self) {
        for candidate in other.by_kind.into_values() {
            self.offer(bench, &candidate.subs, candidate.cost);
        }
    }

    pub(crate) fn best_of_each_kind(self) -> Vec<Candidate> {
        let mut best: Vec<Candidate> = self.by_kind.into_values().collect();
        best.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        best
    }
}
