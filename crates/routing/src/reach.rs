//! All cheapest ways from one end, for the cables that begin there.
//!
//! A rack feeds dozens of cables. What it costs to get from its place to any other place of the
//! house is the same for all that are priced alike, so it is searched once, no farther than the
//! dearest cable that was asked for; a cable's own search takes it up from there. A search finds
//! the same way whatever was asked for before: all places that cost no more than its way are
//! settled in an order that nothing else changes, and dearer ones are on no cheapest way.

use crate::astar::Reached;
use crate::graph::{Graph, NodeId};
use crate::search::{Reckoning, Route, bound, look_onward, look_round, route_over};
use crate::weights::{Bars, Weights};

/// What it costs to get from one end to every other place, as far as that was asked for.
#[derive(Debug)]
pub struct Reach {
    graph: Graph,
    from: NodeId,
    weights: Weights,
    bars: Bars,
    share: f64,
    reached: Reached<fn(NodeId) -> f64>,
}

impl Reach {
    /// From an end of a house to which no other end was added, with nothing drilled yet; `share`
    /// is that of [`Reckoning`].
    pub fn new(graph: Graph, from: NodeId, weights: Weights, bars: Bars, share: f64) -> Self {
        Self {
            reached: Reached::new(graph.len(), from, |_| 0.0),
            graph,
            from,
            weights,
            bars,
            share,
        }
    }

    /// Whether ways are priced like this.
    pub fn is_priced(&self, weights: &Weights, bars: &Bars, share: f64) -> bool {
        self.weights == *weights && self.bars == *bars && self.share == share
    }

    /// The cheapest way to an end that was added to the house after this one: as
    /// [`crate::cheapest`], of equally cheap ways perhaps another one. `graph` is this one's
    /// with the other end.
    pub fn cheapest(&mut self, graph: &Graph, to: NodeId) -> Option<Route> {
        loop {
            let found = self.found(graph, to);
            let most_s = found.as_ref().map_or(f64::INFINITY, |found| found.price_s);
            if !self.look_as_far_as(most_s) {
                return found;
            }
        }
    }

    fn by(&self) -> Reckoning<'_> {
        Reckoning {
            share: self.share,
            ..Reckoning::new(&self.weights, &self.bars)
        }
    }

    /// Looks round from every place that costs no more than `most_s`; whether any was left.
    fn look_as_far_as(&mut self, most_s: f64) -> bool {
        let Self {
            graph,
            weights,
            bars,
            reached,
            ..
        } = self;
        let by = Reckoning {
            share: self.share,
            ..Reckoning::new(weights, bars)
        };
        let mut was_left = false;
        while let Some(place) = reached.next_within(most_s) {
            look_round(graph, &by, reached, place);
            was_left = true;
        }
        was_left
    }

    /// The cheapest way over the places that were looked round from.
    fn found(&self, graph: &Graph, to: NodeId) -> Option<Route> {
        let by = self.by();
        let bound = bound(graph, to, &by);
        let mut reached = self.reached.with_places(graph.len(), bound);
        look_onward(graph, &by, &mut reached, self.reached.len());
        let price_s = reached.settle(to, |reached, id, price_s| {
            look_round(graph, &by, reached, (id, price_s));
        })?;
        Some(route_over(
            graph,
            &reached.way_to(to, self.from),
            price_s,
            &by,
        ))
    }
}
