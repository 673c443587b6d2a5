//! How long the crew waits for its sheets.
//!
//! Goal: a set of 12 pages as PDF within 2 s. The demo house's set is longer; the metric
//! flat's is about that. The first set of a process pays for the typesetter's start.

use std::sync::Arc;

use analysis::Analysis;
use divan::Bencher;
use sheets::Paper;

const FLAT: &str = include_str!("../../../jobs/metric-flat.toml");
const DEMO: &str = include_str!("../../../jobs/harbour-lane-surveyed.toml");

fn main() {
    divan::main();
}

fn print(bencher: Bencher, text: &str) {
    let job = Arc::new(model::read(text, &checks::limit_names()).expect("the job reads"));
    let proof = checks::prove(Arc::clone(&job));
    let analysis = Analysis::new(job);
    let set =
        || sheets::house_pdf(&analysis, &proof, Paper::A4, "2026-05-11").expect("the set prints");
    bencher.bench_local(set);
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn set_of_metric_flat(bencher: Bencher) {
    print(bencher, FLAT);
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn set_of_demo_house(bencher: Bencher) {
    print(bencher, DEMO);
}
