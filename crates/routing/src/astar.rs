//! A* over places that are numbered from nought.
//!
//! Finds what `pathfinding::prelude::astar` finds, which of several equally cheap ways included:
//! places wait in the same heap and are offered in the same order. What is known of a place lies
//! in an array by its number, and who looks round from a place may ask first what its neighbours
//! cost already, so that a price that can't count need not be worked out.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::graph::NodeId;

/// The cheapest ways found so far.
pub(crate) struct Reached<B> {
    bound: B,
    best: Vec<Best>,
    waiting: BinaryHeap<Waiting>,
}

/// The cheapest way to a place found so far.
#[derive(Clone, Copy)]
struct Best {
    /// What it costs; infinite before there is one.
    price: f64,
    /// The place before on it.
    before: NodeId,
}

/// A place from which nobody has looked round since it became cheaper.
struct Waiting {
    /// What a way to the goal over it costs at least.
    least: f64,
    price: f64,
    id: NodeId,
}

impl<B: Fn(NodeId) -> f64> Reached<B> {
    /// What the cheapest way to a place costs, of those found so far; infinite without any.
    pub fn price(&self, id: NodeId) -> f64 {
        self.best[id].price
    }

    /// A way to a place by the one before it, and what it costs.
    pub fn offer(&mut self, [before, id]: [NodeId; 2], price: f64) {
        let best = &mut self.best[id];
        if price < best.price {
            *best = Best { price, before };
            let least = price + (self.bound)(id);
            self.waiting.push(Waiting { least, price, id });
        }
    }

    fn way_to(&self, goal: NodeId, from: NodeId) -> Vec<NodeId> {
        let before = |id: &NodeId| (*id != from).then(|| self.best[*id].before);
        let mut way: Vec<NodeId> = std::iter::successors(Some(goal), before).collect();
        way.reverse();
        way
    }
}

/// The places on the cheapest way and what it costs. `bound` is never more than what is left
/// from a place, `look_round` offers all ways from a place that is reached at a price.
pub(crate) fn astar<B: Fn(NodeId) -> f64>(
    count: usize,
    [from, to]: [NodeId; 2],
    bound: B,
    look_round: impl Fn(&mut Reached<B>, NodeId, f64),
) -> Option<(Vec<NodeId>, f64)> {
    let unknown = Best {
        price: f64::INFINITY,
        before: from,
    };
    let mut reached = Reached {
        bound,
        best: vec![unknown; count],
        waiting: BinaryHeap::new(),
    };
    reached.offer([from, from], 0.0);
    while let Some(Waiting { price, id, .. }) = reached.waiting.pop() {
        if id == to {
            return Some((reached.way_to(to, from), price));
        }
        // It became cheaper while it waited.
        if price > reached.price(id) {
            continue;
        }
        look_round(&mut reached, id, price);
    }
    None
}

impl Ord for Waiting {
    /// The heap hands out the greatest first: the least bound, and of equal ones the dearest
    /// place, which is nearest to the goal.
    fn cmp(&self, other: &Self) -> Ordering {
        (other.least.total_cmp(&self.least)).then(self.price.total_cmp(&other.price))
    }
}

impl PartialOrd for Waiting {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Waiting {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Waiting {}

#[cfg(test)]
mod tests {
    use super::astar;

    /// Numbers that look drawn by lot.
    struct Lot(u64);

    impl Lot {
        fn below(&mut self, most: usize) -> usize {
            self.0 = (self.0.wrapping_mul(6_364_136_223_846_793_005)).wrapping_add(1);
            (self.0 >> 33) as usize % most
        }
    }

    /// Prices are small whole numbers, so that many ways cost the same.
    #[test]
    fn the_same_way_is_found_as_by_a_general_library() {
        let mut lot = Lot(7);
        let (mut found, mut none) = (0, 0);
        for _ in 0..400 {
            let count = 2 + lot.below(60);
            let places: Vec<[usize; 2]> =
                (0..count).map(|_| [lot.below(8), lot.below(8)]).collect();
            let mut joins: Vec<Vec<(usize, u32)>> = vec![Vec::new(); count];
            for _ in 0..lot.below(4 * count) {
                let (a, b) = (lot.below(count), lot.below(count));
                let apart = (0..2).map(|axis| places[a][axis].abs_diff(places[b][axis]) as u32);
                let price = apart.sum::<u32>() + lot.below(3) as u32;
                joins[a].push((b, price));
                joins[b].push((a, price));
            }
            let goal = count - 1;
            let bound = |id: usize| {
                let apart = (0..2).map(|axis| places[id][axis].abs_diff(places[goal][axis]) as u32);
                apart.sum::<u32>()
            };
            let theirs = pathfinding::prelude::astar(
                &0,
                |id| joins[*id].clone(),
                |id| bound(*id),
                |id| *id == goal,
            );
            let ours = astar(
                count,
                [0, goal],
                |id| f64::from(bound(id)),
                |reached, id, price| {
                    for (to, more) in &joins[id] {
                        reached.offer([id, *to], price + f64::from(*more));
                    }
                },
            );
            match theirs {
                Some(_) => found += 1,
                None => none += 1,
            }
            assert_eq!(ours, theirs.map(|(way, price)| (way, f64::from(price))));
        }
        assert!(found > 100 && none > 20, "{found} found, {none} not");
    }
}
