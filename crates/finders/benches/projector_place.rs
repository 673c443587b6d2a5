//! How long a finder takes over the attic of the demo house, which has a gabled ceiling.
//!
//! Goal, on one core: the region at one drop ≤ 20 ms.

use std::sync::Arc;

use analysis::Analysis;
use divan::Bencher;
use finders::Height;
use model::Kit;

const DEMO: &str = include_str!("../../../jobs/harbour-lane-settled.toml");

fn main() {
    divan::main();
}

fn demo() -> Analysis {
    let job = model::read(DEMO, &checks::limit_names()).expect("the benchmark's job reads");
    Analysis::new(Arc::new(job))
}

fn of_kind(analysis: &Analysis, is_asked: fn(Kit<'_>) -> bool) -> &model::Item {
    let mut items = analysis.items();
    items
        .find(|item| analysis.kit_of(item).is_some_and(is_asked))
        .expect("the demo house has one")
}

/// The region at one drop, with the roomiest place proved.
#[divan::bench]
fn region(bencher: Bencher) {
    let analysis = demo();
    let item = of_kind(&analysis, |kit| matches!(kit, Kit::Projector(_)));
    bencher.bench_local(|| {
        let found = finders::projector_region(&analysis, item, Height::Drop(0.5715));
        found.map(|found| found.region.area_m2())
    });
}

/// As asked on the page: the region, and every drop that has one.
#[divan::bench(sample_count = 10)]
fn region_and_drops(bencher: Bencher) {
    let analysis = demo();
    let item = of_kind(&analysis, |kit| matches!(kit, Kit::Projector(_)));
    bencher
        .bench_local(|| finders::projector_place(&analysis, item, None).map(|found| found.drops_m));
}

#[divan::bench(sample_count = 10)]
fn largest_picture(bencher: Bencher) {
    let analysis = demo();
    let item = of_kind(&analysis, |kit| matches!(kit, Kit::Screen(_)));
    bencher.bench_local(|| finders::largest_picture(&analysis, item).map(|found| found.largest_m));
}

#[divan::bench(sample_count = 10)]
fn display_place(bencher: Bencher) {
    let analysis = demo();
    let item = of_kind(&analysis, |kit| matches!(kit, Kit::Display(_)));
    bencher
        .bench_local(|| finders::display_place(&analysis, item).map(|found| found.stretches.len()));
}
