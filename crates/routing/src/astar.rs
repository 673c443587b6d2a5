//! A* over places that are numbered from nought.
//!
//! What is known of a place lies in an array by its number, and who looks round from a place may
//! ask first what its neighbours cost already, so that a price that can't count need not be
//! worked out. Of equally cheap ways the one that was offered first stays; places of one bound
//! are looked round from in an order that rests on their prices and numbers alone, so that a
//! search that is broken off and taken up again finds what it would have found in one go.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::graph::NodeId;

/// The cheapest ways found so far.
#[derive(Debug)]
pub(crate) struct Reached<B> {
    bound: B,
    best: Vec<Best>,
    waiting: BinaryHeap<Waiting>,
}

/// The cheapest way to a place found so far.
#[derive(Clone, Copy, Debug)]
struct Best {
    /// What it costs; infinite before there is one.
    price: f64,
    /// The place before on it.
    before: NodeId,
}

/// A place from which nobody has looked round since it became cheaper.
#[derive(Debug)]
struct Waiting {
    /// What a way to the goal over it costs at least.
    least: f64,
    price: f64,
    id: NodeId,
}

impl<B: Fn(NodeId) -> f64> Reached<B> {
    /// Of so many places one, `from`, which costs nothing. `bound` is never more than what is
    /// left from a place to the goal.
    pub fn new(count: usize, from: NodeId, bound: B) -> Self {
        let unknown = Best {
            price: f64::INFINITY,
            before: from,
        };
        let mut reached = Self {
            bound,
            best: vec![unknown; count],
            waiting: BinaryHeap::new(),
        };
        reached.offer([from, from], 0.0);
        reached
    }

    /// The same prices for a search with more places and another goal, in which nobody waits.
    pub fn with_places<C>(&self, count: usize, bound: C) -> Reached<C> {
        let unknown = Best {
            price: f64::INFINITY,
            before: 0,
        };
        let mut best = self.best.clone();
        best.resize(count, unknown);
        Reached {
            bound,
            best,
            waiting: BinaryHeap::new(),
        }
    }

    /// How many places there are.
    pub fn len(&self) -> usize {
        self.best.len()
    }

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

    /// The next place to look round from and its price, if a way over it may cost no more than
    /// `most`.
    pub fn next_within(&mut self, most: f64) -> Option<(NodeId, f64)> {
        while self.waiting.peek().is_some_and(|next| next.least <= most)
            && let Some(Waiting { price, id, .. }) = self.waiting.pop()
        {
            // It may have become cheaper while it waited.
            if price <= self.price(id) {
                return Some((id, price));
            }
        }
        None
    }

    /// The places on the cheapest way to one that is reached.
    pub fn way_to(&self, goal: NodeId, from: NodeId) -> Vec<NodeId> {
        let before = |id: &NodeId| (*id != from).then(|| self.best[*id].before);
        let mut way: Vec<NodeId> = std::iter::successors(Some(goal), before).collect();
        way.reverse();
        way
    }

    /// Looks round until the goal's price is certain, and tells it. `look_round` offers all ways
    /// from a place that is reached at a price.
    pub fn settle(
        &mut self,
        goal: NodeId,
        look_round: impl Fn(&mut Self, NodeId, f64),
    ) -> Option<f64> {
        while let Some((id, price)) = self.next_within(f64::INFINITY) {
            if id == goal {
                return Some(price);
            }
            look_round(self, id, price);
        }
        None
    }
}

/// The places on the cheapest way and what it costs; as [`Reached::new`], [`Reached::settle`].
pub(crate) fn astar<B: Fn(NodeId) -> f64>(
    count: usize,
    [from, to]: [NodeId; 2],
    bound: B,
    look_round: impl Fn(&mut Reached<B>, NodeId, f64),
) -> Option<(Vec<NodeId>, f64)> {
    let mut reached = Reached::new(count, from, bound);
    let price = reached.settle(to, look_round)?;
    Some((reached.way_to(to, from), price))
}

impl Ord for Waiting {
    /// The heap hands out the greatest first: the least bound, of equal ones the dearest place,
    /// which is nearest to the goal, and then the one of the lowest number.
    fn cmp(&self, other: &Self) -> Ordering {
        (other.least.total_cmp(&self.least))
            .then(self.price.total_cmp(&other.price))
            .then(other.id.cmp(&self.id))
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
    fn ways_are_as_cheap_as_those_of_a_general_library() {
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
            let price = ours.as_ref().map(|(_, price)| *price);
            assert_eq!(price, theirs.map(|(_, price)| f64::from(price)));
            let Some((way, price)) = ours else { continue };
            assert_eq!([way[0], way[way.len() - 1]], [0, goal]);
            let moves = way.windows(2).map(|pair| {
                let there = joins[pair[0]].iter().filter(|join| join.0 == pair[1]);
                there.map(|join| join.1).min().unwrap()
            });
            assert_eq!(f64::from(moves.sum::<u32>()), price);
        }
        assert!(found > 100 && none > 20, "{found} found, {none} not");
    }
}
