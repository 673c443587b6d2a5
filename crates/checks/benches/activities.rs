//! How long the activities of the demo house take to work out.
//!
//! Goal, on one core: ≤ 5 ms.

use std::sync::Arc;

use analysis::Analysis;
use divan::Bencher;

const DEMO: &str = include_str!("../../../jobs/harbour-lane-settled.toml");

fn main() {
    divan::main();
}

#[divan::bench]
fn demo(bencher: Bencher) {
    let job = model::read(DEMO, &checks::limit_names()).expect("the demo reads");
    let job = Arc::new(job);
    bencher.bench_local(|| {
        let analysis = Analysis::new(Arc::clone(&job));
        checks::activity_report(&analysis).activities.len()
    });
}
