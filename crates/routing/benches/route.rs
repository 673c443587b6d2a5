//! How long the ways of one room's cables take.

#[path = "../tests/common/mod.rs"]
mod common;

use std::sync::Arc;

use common::{Build, house, on};
use routing::{Bars, Blocks, HouseGraph, Reckoning, Times, Weights, cheapest};

fn main() {
    divan::main();
}

/// One room's graph.
#[divan::bench]
fn graph_of_a_room(bencher: divan::Bencher<'_, '_>) {
    let room = Arc::new(house(&Build::default()));
    bencher.bench(|| HouseGraph::new(Arc::clone(&room), &Times::PRACTICE));
}

/// Forty cables in a room whose graph is there.
#[divan::bench]
fn forty_cables(bencher: divan::Bencher<'_, '_>) {
    let room = Arc::new(house(&Build {
        blocks: Blocks::At(vec![1.22]),
        has_crawl_space: true,
        ..Build::default()
    }));
    let graph = HouseGraph::new(Arc::clone(&room), &Times::PRACTICE);
    let (weights, bars) = (Weights::PRACTICE, Bars::usual());
    bencher.bench(|| {
        let mut sum_s = 0.0;
        for cable in 0..40 {
            let left_m = 0.2 + 0.08 * f64::from(cable);
            let ends = [on(&room, 0, left_m, 0.3), on(&room, 2, 3.0, 1.5)];
            let (graph, nodes) = graph.with_ends(&ends);
            let by = Reckoning::new(&weights, &bars);
            let route = cheapest(&graph, nodes[0], nodes[1], &by);
            sum_s += route.map_or(0.0, |route| route.price_s);
        }
        sum_s
    });
}
