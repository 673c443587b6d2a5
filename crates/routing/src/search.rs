//! The cheapest way between two places by the shop's own weights.
//!
//! A* over non-negative prices. The bound of what is still to come is the straight distance at
//! the least price of a metre, and nothing where some move is shorter than the straight line;
//! so what is found is the optimum. Equal prices are told apart by the order in which places and
//! moves were added, the same on every machine.

use std::collections::BTreeSet;
use std::ops::Add;

use geometry::Point3;
use pathfinding::num_traits::Zero;
use pathfinding::prelude::astar;

use crate::graph::{Graph, Hole, Holes, Move, NodeId};
use crate::medium::{Hazard, Media, Medium};
use crate::span::Span;
use crate::void::Crossing;
use crate::weights::{Bars, Weights};

/// How a way is priced.
#[derive(Clone, Copy, Debug)]
pub struct Reckoning<'a> {
    /// The shop's weights.
    pub weights: &'a Weights,
    /// What may not be used.
    pub bars: &'a Bars,
    /// Which of a span counts: 0 the least, 1 the most, ½ halfway.
    pub share: f64,
    /// Holes that are there already.
    pub made: Option<&'a BTreeSet<Hole>>,
    /// The share of a hole that this cable pays: 1 where it has it to itself.
    pub hole_share: f64,
}

impl<'a> Reckoning<'a> {
    /// Halfway between the least and the most, with nothing drilled yet.
    pub fn new(weights: &'a Weights, bars: &'a Bars) -> Self {
        Self {
            weights,
            bars,
            share: 0.5,
            made: None,
            hole_share: 1.0,
        }
    }

    fn of(&self, span: Span) -> f64 {
        span.low + self.share * span.width()
    }

    fn holes(&self, holes: &Holes) -> f64 {
        let count = self.of(holes.count());
        let made = self.made.map_or(0, |made| {
            holes.each().filter(|hole| made.contains(hole)).count()
        });
        let left = (f64::from(holes.most) - made as f64).max(0.0);
        self.hole_share * count.min(left) * (holes.each_s + self.weights.hole.0)
    }

    /// What a move costs, s; `None` where it may not be used.
    pub fn price(&self, there: &Move) -> Option<f64> {
        if (self.bars).bar(there.medium, there.holes.as_ref(), there.hazard) {
            return None;
        }
        let length_m = self.of(there.length_m);
        let seen = match there.medium.is_last_resort() {
            true => self.weights.seen_s_per_m * length_m,
            false => 0.0,
        };
        let hazard = there.hazard.map_or(0.0, |_| self.weights.hazard.0);
        let holes = there.holes.map_or(0.0, |holes| self.holes(&holes));
        Some(self.of(there.time_s) + self.weights.metre_s_per_m * length_m + holes + seen + hazard)
    }
}

/// Which part of a move between two places a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// All of it.
    Whole,
    /// The part of a void along its joists.
    Along,
    /// The part of a void square to its joists.
    Across,
}

/// One step of a way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// The places that its move joins.
    pub nodes: [NodeId; 2],
    /// Which part of the move it is.
    pub part: Part,
    /// From where to where, m.
    pub points: [Point3; 2],
    /// The void that it runs through.
    pub void: Option<usize>,
    /// Medium, length, time, holes, hazard, doubt.
    pub by: Move,
}

/// A way from end to end.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Its steps in order.
    pub steps: Vec<Step>,
    /// What it costs, s.
    pub price_s: f64,
}

impl Route {
    /// Length of cable, m, without slack and loops.
    pub fn length_m(&self) -> Span {
        self.steps.iter().map(|step| step.by.length_m).sum()
    }

    /// Time, s.
    pub fn time_s(&self) -> Span {
        self.steps.iter().map(|step| step.by.time_in_all_s()).sum()
    }

    /// Holes to drill.
    pub fn holes(&self) -> Span {
        let holes = self.steps.iter().filter_map(|step| step.by.holes);
        holes.map(|holes| holes.count()).sum()
    }

    /// Every hole that it may need.
    pub fn each_hole(&self) -> impl Iterator<Item = Hole> {
        let holes = self.steps.iter().filter_map(|step| step.by.holes);
        holes.flat_map(|holes| holes.each())
    }

    /// What it runs through.
    pub fn media(&self) -> Media {
        let runs = |step: &&Step| step.by.length_m.high > 1e-9 || step.by.holes.is_some();
        Media::of(self.steps.iter().filter(runs).map(|step| step.by.medium))
    }

    /// What makes it dangerous, each once, in order.
    pub fn hazards(&self) -> BTreeSet<Hazard> {
        self.steps
            .iter()
            .filter_map(|step| step.by.hazard)
            .collect()
    }

    /// The unknown facts that it rests on, each once, in order.
    pub fn doubts(&self) -> BTreeSet<usize> {
        self.steps.iter().filter_map(|step| step.by.doubt).collect()
    }
}

/// A price with a total order.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Price(f64);

impl Eq for Price {}

impl PartialOrd for Price {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Price {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl Add for Price {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Zero for Price {
    fn zero() -> Self {
        Self(0.0)
    }

    fn is_zero(&self) -> bool {
        self.0 == 0.0
    }
}

/// The cheapest way; `None` where what may be used does not join the two places.
pub fn cheapest(graph: &Graph, from: NodeId, to: NodeId, by: &Reckoning<'_>) -> Option<Route> {
    let rate = graph.least_s_per_m().unwrap_or(0.0) + by.weights.metre_s_per_m;
    let has_bound = graph.least_s_per_m().is_some();
    let goal = graph.node(to).at;
    let bound = |id: &NodeId| {
        let rest_m = graph.node(*id).at.distance(goal);
        // Rounding may not make the bound exceed what is left.
        Price(if has_bound {
            rest_m * rate * (1.0 - 1e-9)
        } else {
            0.0
        })
    };
    let (nodes, price) = astar(
        &from,
        |id| successors(graph, *id, by),
        bound,
        |id| *id == to,
    )?;
    let steps = nodes.windows(2).flat_map(|pair| {
        let steps = steps_between(graph, pair[0], pair[1], by);
        steps.into_iter().flatten()
    });
    Some(Route {
        steps: steps.collect(),
        price_s: price.0,
    })
}

fn successors(graph: &Graph, from: NodeId, by: &Reckoning<'_>) -> Vec<(NodeId, Price)> {
    let own = graph.moves_from(from).iter();
    let mut next: Vec<(NodeId, Price)> = own
        .filter_map(|there| Some((there.to, Price(by.price(there)?))))
        .collect();
    if let Some((void, entries)) = graph.ways_out(from)
        && !by.bars.voids.contains(&void)
    {
        let settled = graph.settled_crossings(void, from);
        for (index, entry) in entries.iter().enumerate() {
            if entry.into == from {
                continue;
            }
            let crossing = match settled.get(index) {
                Some(crossing) => *crossing,
                None => graph.crossing(void, [from, entry.out]),
            };
            if let Some(price) = price_in_void(graph, void, entry.out, &crossing, by) {
                next.push((entry.out, Price(price)));
            }
        }
    }
    next
}

/// The moves through a void, along the joists and square to them, in their order.
fn moves_in_void(
    graph: &Graph,
    void: usize,
    to: NodeId,
    crossing: &Crossing,
) -> [(Part, Move, Point3); 2] {
    let it = graph.void(void);
    let b = graph.node(to).at;
    let part = |length_m: f64, holes: Option<Holes>| Move {
        medium: match holes {
            Some(_) if it.medium == Medium::JoistBay => Medium::Joist,
            _ => it.medium,
        },
        holes,
        hazard: it.hazard,
        doubt: it
            .joists
            .and_then(|joists| joists.doubt)
            .filter(|_| holes.is_some_and(|holes| holes.sure != holes.most)),
        ..Move::free(to, it.medium, length_m, length_m * it.time_s_per_m)
    };
    let along = part(crossing.along_m, None);
    let across = part(crossing.across_m, crossing.holes);
    match crossing.along_first {
        true => [
            (Part::Along, along, crossing.corner),
            (Part::Across, across, b),
        ],
        false => [
            (Part::Across, across, crossing.corner),
            (Part::Along, along, b),
        ],
    }
}

fn price_in_void(
    graph: &Graph,
    void: usize,
    to: NodeId,
    crossing: &Crossing,
    by: &Reckoning<'_>,
) -> Option<f64> {
    let mut price = 0.0;
    for (_, there, _) in moves_in_void(graph, void, to, crossing) {
        if there.length_m.high > 0.0 || there.holes.is_some() {
            price += by.price(&there)?;
        }
    }
    Some(price)
}

/// The steps of the cheapest move between two neighbours.
fn steps_between(graph: &Graph, from: NodeId, to: NodeId, by: &Reckoning<'_>) -> [Option<Step>; 2] {
    let points = [from, to].map(|id| graph.node(id).at);
    let priced = graph.moves_from(from).iter().filter(|there| there.to == to);
    let own = priced
        .filter_map(|there| Some((by.price(there)?, there)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((_, there)) = own {
        let step = Step {
            nodes: [from, to],
            part: Part::Whole,
            points,
            void: None,
            by: *there,
        };
        return [Some(step), None];
    }
    let (void, _) = graph.ways_out(from).expect("neighbours are joined");
    let mut start = points[0];
    let crossing = graph.crossing(void, [from, to]);
    moves_in_void(graph, void, to, &crossing).map(|(part, there, end)| {
        let step = Step {
            nodes: [from, to],
            part,
            points: [start, end],
            void: Some(void),
            by: there,
        };
        start = end;
        (there.length_m.high > 0.0 || there.holes.is_some()).then_some(step)
    })
}
