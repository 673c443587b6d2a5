//! The cheapest way between two places by the shop's own weights.
//!
//! A* over non-negative prices. The bound of what is still to come is the straight distance at
//! the least price of a metre, and nothing where some move is shorter than the straight line;
//! so what is found is the optimum. Equal prices are told apart by the order in which places and
//! moves were added, the same on every machine.

use std::collections::BTreeSet;

use geometry::Point3;

use crate::astar::{Reached, astar};
use crate::graph::{Entry, Graph, Hole, Holes, Move, NodeId, Obstacle};
use crate::medium::{Hazard, Media, Medium};
use crate::span::Span;
use crate::void::{Crossing, Void};
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
    /// The share of a span that counts where nothing else is said.
    pub const HALFWAY: f64 = 0.5;

    /// Halfway between the least and the most, with nothing drilled yet.
    pub fn new(weights: &'a Weights, bars: &'a Bars) -> Self {
        Self {
            weights,
            bars,
            share: Self::HALFWAY,
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

/// A price less what rounding may have added, s.
fn less_rounding(price_s: f64) -> f64 {
    price_s * (1.0 - 1e-9) - 1e-6
}

/// The cheapest way; `None` where what may be used does not join the two places.
pub fn cheapest(graph: &Graph, from: NodeId, to: NodeId, by: &Reckoning<'_>) -> Option<Route> {
    let bound = bound(graph, to, by);
    let (nodes, price_s) = astar(graph.len(), [from, to], bound, |reached, id, price_s| {
        look_round(graph, by, reached, (id, price_s));
    })?;
    Some(route_over(graph, &nodes, price_s, by))
}

/// What is left from a place to a goal, s: never more than it is.
pub(crate) fn bound(graph: &Graph, to: NodeId, by: &Reckoning<'_>) -> impl Fn(NodeId) -> f64 {
    let goal = graph.node(to).at;
    let rate = graph.least_s_per_m();
    let rate = rate.map_or(0.0, |least| least + by.weights.metre_s_per_m);
    // Rounding may not make the bound exceed what is left.
    move |id: NodeId| graph.node(id).at.distance(goal) * rate * (1.0 - 1e-9)
}

/// The way over places that are neighbours in turn.
pub(crate) fn route_over(
    graph: &Graph,
    nodes: &[NodeId],
    price_s: f64,
    by: &Reckoning<'_>,
) -> Route {
    let steps = nodes.windows(2).flat_map(|pair| {
        let steps = steps_between(graph, pair[0], pair[1], by);
        steps.into_iter().flatten()
    });
    Route {
        steps: steps.collect(),
        price_s,
    }
}

/// Offers every move from a place that is reached at a price.
pub(crate) fn look_round<B: Fn(NodeId) -> f64>(
    graph: &Graph,
    by: &Reckoning<'_>,
    reached: &mut Reached<B>,
    (from, price_s): (NodeId, f64),
) {
    // No price is negative: what costs as much already gains nothing, such as the way back.
    for there in graph.moves_from(from) {
        if price_s < reached.price(there.to)
            && let Some(more_s) = by.price(there)
        {
            reached.offer([from, there.to], price_s + more_s);
        }
    }
    let Some(void) = graph.void_at(from) else {
        return;
    };
    if by.bars.voids.contains(&void) {
        return;
    }
    let rates = VoidRates::new(graph.void(void), void, by);
    let [settled, later] = graph.entries(void);
    let known = graph.settled_crossings(void, from);
    for (entry, crossing) in settled.iter().zip(known) {
        if entry.into != from
            && price_s < reached.price(entry.out)
            && let Some(more_s) = rates.price(crossing)
        {
            reached.offer([from, entry.out], price_s + more_s);
        }
    }
    for entry in settled[known.len()..].iter().chain(later) {
        rates.look_across(graph, reached, (from, price_s), *entry);
    }
}

/// Offers every move from a place of the first `count` to one after them.
pub(crate) fn look_onward<B: Fn(NodeId) -> f64>(
    graph: &Graph,
    by: &Reckoning<'_>,
    reached: &mut Reached<B>,
    count: usize,
) {
    for (from, there) in graph.moves_onward(count) {
        let price_s = reached.price(from);
        if price_s < reached.price(there.to)
            && let Some(more_s) = by.price(there)
        {
            reached.offer([from, there.to], price_s + more_s);
        }
    }
    for void in (0..graph.voids()).filter(|void| !by.bars.voids.contains(void)) {
        let [settled, later] = graph.entries(void);
        let (first, onward) = later.split_at(later.partition_point(|entry| entry.into < count));
        if onward.is_empty() {
            continue;
        }
        let rates = VoidRates::new(graph.void(void), void, by);
        for from in settled.iter().chain(first) {
            for entry in onward {
                let price_s = reached.price(from.into);
                rates.look_across(graph, reached, (from.into, price_s), *entry);
            }
        }
    }
}

/// Prices of the moves through one void.
struct VoidRates<'a> {
    by: &'a Reckoning<'a>,
    void: usize,
    time_s_per_m: f64,
    seen_s_per_m: f64,
    hazard_s: f64,
    /// Whether it may not be used, without holes and with them.
    is_barred: [bool; 2],
}

impl<'a> VoidRates<'a> {
    fn new(it: &Void, void: usize, by: &'a Reckoning<'a>) -> Self {
        let holes = Holes {
            obstacle: Obstacle::Joists(void),
            first: 0,
            lane: 0,
            sure: 0,
            most: 0,
            each_s: 0.0,
        };
        let bar = |holes: Option<&Holes>| by.bars.bar(medium_in_void(it, holes), holes, it.hazard);
        Self {
            by,
            void,
            time_s_per_m: it.time_s_per_m,
            seen_s_per_m: match it.medium.is_last_resort() {
                true => by.weights.seen_s_per_m,
                false => 0.0,
            },
            hazard_s: it.hazard.map_or(0.0, |_| by.weights.hazard.0),
            is_barred: [bar(None), bar(Some(&holes))],
        }
    }

    /// Offers the way from a place of the void that is reached at a price to another one.
    fn look_across<B: Fn(NodeId) -> f64>(
        &self,
        graph: &Graph,
        reached: &mut Reached<B>,
        (from, price_s): (NodeId, f64),
        entry: Entry,
    ) {
        // Most are known to be reached for less than the way in plan costs.
        let may_gain = |in_plan: &Crossing| {
            let least_s = self.price(in_plan).map(less_rounding);
            least_s.is_some_and(|least_s| price_s + least_s < reached.price(entry.out))
        };
        if entry.into != from
            && price_s < reached.price(entry.out)
            && let Some(crossing) = graph.crossing_if(self.void, [from, entry.out], may_gain)
            && let Some(more_s) = self.price(&crossing)
        {
            reached.offer([from, entry.out], price_s + more_s);
        }
    }

    /// What the moves of [`moves_in_void`] cost together, to the last bit.
    fn price(&self, crossing: &Crossing) -> Option<f64> {
        let along = self.part(crossing.along_m, None)?;
        let across = self.part(crossing.across_m, crossing.holes.as_ref())?;
        Some(along + across)
    }

    /// As [`Reckoning::price`]; a part of no length is left out.
    fn part(&self, length_m: f64, holes: Option<&Holes>) -> Option<f64> {
        if length_m <= 0.0 && holes.is_none() {
            return Some(0.0);
        }
        if self.is_barred[usize::from(holes.is_some())] {
            return None;
        }
        let holes_s = holes.map_or(0.0, |holes| self.by.holes(holes));
        let metres_s = self.by.weights.metre_s_per_m * length_m;
        let seen_s = self.seen_s_per_m * length_m;
        Some(length_m * self.time_s_per_m + metres_s + holes_s + seen_s + self.hazard_s)
    }
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
        medium: medium_in_void(it, holes.as_ref()),
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

fn medium_in_void(void: &Void, holes: Option<&Holes>) -> Medium {
    match holes {
        Some(_) if void.medium == Medium::JoistBay => Medium::Joist,
        _ => void.medium,
    }
}

/// The steps of the cheapest move between two neighbours.
fn steps_between(graph: &Graph, from: NodeId, to: NodeId, by: &Reckoning<'_>) -> [Option<Step>; 2] {
    let points = [from, to].map(|id| graph.node(id).at);
    let priced = graph.moves_from(from).filter(|there| there.to == to);
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
    let void = graph.void_at(from).expect("neighbours are joined");
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

#[cfg(test)]
mod tests {
    use units::Metres;

    use super::*;
    use crate::void::Joists;
    use crate::weights::Times;

    #[test]
    fn a_void_costs_what_its_moves_cost() {
        let media = [Medium::JoistBay, Medium::Attic, Medium::Surface];
        let spans = [(None, 0.5), (Some(0.13), 0.0), (None, 1.0)];
        let made = [Hole {
            obstacle: Obstacle::Joists(0),
            at: 3,
            lane: 2,
        }];
        let made = BTreeSet::from(made);
        let weights = Weights::PRACTICE;
        let mut barred = 0;
        for (medium, (first_m, share)) in media.into_iter().zip(spans) {
            let void = Void {
                joists: Some(Joists {
                    first_m,
                    spacing_m: 0.4,
                    either_way: false,
                    doubt: Some(1),
                }),
                hazard: Some(Hazard::Insulation),
                ..Void::open(
                    medium,
                    geometry::Vec2::new(0.6, 0.8),
                    Metres(2.4),
                    &Times::PRACTICE,
                )
            };
            let mut graph = Graph::new(vec![void]);
            let places = [
                [0.1, 0.2, 2.4],
                [0.7, 1.0, 2.4],
                [3.1, 0.3, 2.2],
                [0.1, 0.2, 2.4],
            ];
            let entries = places
                .map(|[x, y, z]| graph.enter(0, Point3::new(x, y, z), crate::graph::Spot::Other));
            let all_bars = [
                Bars::default(),
                Bars::default().and_obstacle(Obstacle::Joists(0)),
                Bars::default().and_medium(medium),
                Bars::default().and_medium(Medium::Joist),
            ];
            for bars in &all_bars {
                let by = Reckoning {
                    share,
                    made: Some(&made),
                    hole_share: 0.7,
                    ..Reckoning::new(&weights, bars)
                };
                let rates = VoidRates::new(graph.void(0), 0, &by);
                for from in &entries {
                    for to in &entries {
                        let crossing = graph.crossing(0, [from.into, to.out]);
                        let mut sum_s = Some(0.0);
                        for (_, there, _) in moves_in_void(&graph, 0, to.out, &crossing) {
                            if there.length_m.high > 0.0 || there.holes.is_some() {
                                sum_s = sum_s.zip(by.price(&there)).map(|(sum, more)| sum + more);
                            }
                        }
                        barred += u32::from(sum_s.is_none());
                        let bits = f64::to_bits;
                        assert_eq!(rates.price(&crossing).map(bits), sum_s.map(bits));
                    }
                }
            }
        }
        assert!(barred > 10, "{barred} barred");
    }
}
