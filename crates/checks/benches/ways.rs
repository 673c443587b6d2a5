//! How long the search for every cable's way takes.
//!
//! Goals, on one core: the demo house's cables ≤ 50 ms, 1,000 cables in 40 rooms ≤ 2 s.

mod large_house;

use std::sync::Arc;

use analysis::Analysis;
use divan::Bencher;

const DEMO: &str = include_str!("../../../jobs/harbour-lane-surveyed.toml");

fn main() {
    divan::main();
}

fn read(text: &str) -> Arc<model::Job> {
    Arc::new(model::read(text, &checks::limit_names()).expect("the benchmark's job reads"))
}

fn route_all(job: &Arc<model::Job>) -> usize {
    let analysis = Analysis::new(Arc::clone(job));
    let cables = analysis.cables();
    cables.filter(|cable| analysis.route(cable).is_ok()).count()
}

#[divan::bench]
fn demo(bencher: Bencher) {
    let job = read(DEMO);
    bencher.bench_local(|| route_all(&job));
}

/// Forty cables in the demo's loft.
#[divan::bench]
fn demo_with_forty_cables(bencher: Bencher) {
    let mut text = DEMO.to_owned();
    for index in 0..40 {
        let to = ["front-l", "front-r", "surround-l", "top-fl", "top-rr"][index % 5];
        text += &format!(
            "[[cable]]\nid = \"X{index}\"\nkind = \"speaker-14-2\"\nfrom = \"receiver\"\nto = \"{to}\"\n"
        );
    }
    let job = read(&text);
    bencher.bench_local(|| route_all(&job));
}

#[divan::bench(args = [1, 10, 40], sample_count = 5)]
fn rooms(bencher: Bencher, rooms: usize) {
    let job = read(&large_house::house(rooms));
    bencher.bench_local(|| route_all(&job));
}

/// What is asked on purpose: every cable's alternatives, and all together.
#[divan::bench(sample_count = 5)]
fn demo_together(bencher: Bencher) {
    let job = read(DEMO);
    bencher.bench_local(|| Analysis::new(Arc::clone(&job)).ways_together().shared.len());
}
