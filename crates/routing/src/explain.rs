//! What else there would be: the best way of another kind, and what the dearest step costs.

use crate::graph::{Graph, NodeId, Obstacle};
use crate::search::{Reckoning, Route, cheapest};

/// The cheapest way that leaves out something which the given one runs through: of all media
/// of the given way, each is barred in turn. `None` where every way runs through all of them.
pub fn of_another_kind(
    graph: &Graph,
    [from, to]: [NodeId; 2],
    route: &Route,
    by: &Reckoning<'_>,
) -> Option<Route> {
    let others = route.media().iter().filter_map(|medium| {
        let bars = by.bars.and_medium(medium);
        cheapest(graph, from, to, &Reckoning { bars: &bars, ..*by })
    });
    others.min_by(|a, b| a.price_s.total_cmp(&b.price_s))
}

/// The obstacle that costs a way most, and the way round it.
#[derive(Clone, Debug, PartialEq)]
pub struct DearStep {
    /// What is drilled.
    pub obstacle: Obstacle,
    /// Time for all its holes on this way, s.
    pub time_s: f64,
    /// The best way that leaves it alone.
    pub round: Option<Route>,
}

/// The obstacle whose holes take a way longest; `None` where nothing is drilled.
pub fn dear_step(
    graph: &Graph,
    [from, to]: [NodeId; 2],
    route: &Route,
    by: &Reckoning<'_>,
) -> Option<DearStep> {
    let mut costs: Vec<(Obstacle, f64)> = Vec::new();
    for holes in route.steps.iter().filter_map(|step| step.by.holes) {
        let time_s = holes.count().middle() * holes.each_s;
        match costs.iter_mut().find(|cost| cost.0 == holes.obstacle) {
            Some(cost) => cost.1 += time_s,
            None => costs.push((holes.obstacle, time_s)),
        }
    }
    let (obstacle, time_s) = costs
        .into_iter()
        .filter(|cost| cost.1 > 0.0)
        .reduce(|a, b| if b.1 > a.1 { b } else { a })?;
    let bars = by.bars.and_obstacle(obstacle);
    let round = cheapest(graph, from, to, &Reckoning { bars: &bars, ..*by });
    Some(DearStep {
        obstacle,
        time_s,
        round,
    })
}
