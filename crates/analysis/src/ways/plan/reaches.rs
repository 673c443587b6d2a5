//! The ends that cables of a plan begin at, and what it costs to get from there to every place.

use std::cell::RefCell;
use std::rc::Rc;

use routing::{Bars, End, Graph, HouseGraph, NodeId, Reach, Route, Weights};

/// Ends that are kept, and prices of each; the oldest goes. A rack's cables ask for one end
/// with a handful of prices.
const STARTS_MOST: usize = 16;
const REACHES_MOST: usize = 8;

/// What a plan's searches have in common.
#[derive(Default)]
pub(crate) struct Reaches {
    starts: RefCell<Vec<Rc<Start>>>,
}

/// One end that cables begin at.
struct Start {
    end: End,
    house: HouseGraph,
    node: NodeId,
    reaches: RefCell<Vec<Reach>>,
}

/// A plan with both ends of a cable.
pub(crate) struct Joined<'a> {
    reaches: &'a Reaches,
    plain: &'a HouseGraph,
    ends: [End; 2],
    start: Rc<Start>,
    house: HouseGraph,
    to: NodeId,
}

impl Reaches {
    /// Adds a cable's ends to its house.
    pub fn join<'a>(&'a self, plain: &'a HouseGraph, ends: &[End; 2]) -> Joined<'a> {
        let start = self.start(plain, &ends[0]);
        let (house, to) = start.house.with_end(1, &ends[1]);
        Joined {
            reaches: self,
            plain,
            ends: *ends,
            start,
            house,
            to,
        }
    }

    fn start(&self, house: &HouseGraph, end: &End) -> Rc<Start> {
        let mut starts = self.starts.borrow_mut();
        if let Some(start) = starts.iter().find(|start| start.end == *end) {
            return Rc::clone(start);
        }
        let (house, node) = house.with_end(0, end);
        if starts.len() == STARTS_MOST {
            starts.remove(0);
        }
        starts.push(Rc::new(Start {
            end: *end,
            house,
            node,
            reaches: RefCell::default(),
        }));
        Rc::clone(&starts[starts.len() - 1])
    }
}

impl Joined<'_> {
    /// The house with both ends.
    pub fn graph(&self) -> &Graph {
        self.house.graph()
    }

    /// The places of both ends.
    pub fn nodes(&self) -> [NodeId; 2] {
        [self.start.node, self.to]
    }

    /// The cheapest way from end to end, with nothing drilled yet. Where nothing else leads to
    /// what is set into a wall, its cable goes on the surface after all: the same places, with
    /// moves more.
    pub fn cheapest(&self, weights: &Weights, bars: &Bars, share: f64) -> Option<Route> {
        let found = self.cheapest_as_it_is(weights, bars, share);
        let on_surface = self.ends.map(|end| End {
            is_flush: false,
            ..end
        });
        if found.is_some() || on_surface == self.ends {
            return found;
        }
        let joined = self.reaches.join(self.plain, &on_surface);
        joined.cheapest_as_it_is(weights, bars, share)
    }

    fn cheapest_as_it_is(&self, weights: &Weights, bars: &Bars, share: f64) -> Option<Route> {
        let mut reaches = self.start.reaches.borrow_mut();
        let known = (reaches.iter()).position(|reach| reach.is_priced(weights, bars, share));
        let at = known.unwrap_or_else(|| {
            if reaches.len() == REACHES_MOST {
                reaches.remove(0);
            }
            let graph = self.start.house.graph().clone();
            let (from, bars) = (self.start.node, bars.clone());
            reaches.push(Reach::new(graph, from, *weights, bars, share));
            reaches.len() - 1
        });
        reaches[at].cheapest(self.graph(), self.to)
    }
}
