//! How long the places of all channels of a 9.1.6 layout take, for eight seats.
//!
//! Goals, on one core: the patches of all fifteen ≤ 100 ms; every check of that room, without
//! trying remedies, ≤ 20 ms.

use divan::Bencher;

#[path = "../tests/cinema/mod.rs"]
mod cinema;

fn main() {
    divan::main();
}

/// The patches of fifteen channels on four walls or the ceiling.
#[divan::bench(sample_count = 10)]
fn patches(bencher: Bencher) {
    let text = cinema::cinema(
        "9.1.6",
        cinema::FLAT,
        &(cinema::THINGS.to_owned() + &cinema::nine_one_six()),
    );
    let analysis = cinema::read(&text);
    bencher.bench_local(|| {
        let items = analysis.items().filter(|item| item.channel.is_some());
        let areas = items.map(|item| {
            let found = finders::loudspeaker_patches(&analysis, item).expect("all is known");
            let patches = found.patches.iter();
            patches.map(|patch| patch.region.area_m2()).sum::<f64>()
        });
        areas.sum::<f64>()
    });
}

/// One channel with a place to use, proved.
#[divan::bench(sample_count = 10)]
fn one_place(bencher: Bencher) {
    let text = cinema::cinema("9.1.6", cinema::FLAT, &cinema::nine_one_six());
    let analysis = cinema::read(&text);
    bencher.bench_local(|| {
        let item = analysis.item("left-surround").expect("it is there");
        finders::loudspeaker_place(&analysis, item).map(|found| found.needs.len())
    });
}

/// Every check of the room with fifteen channels, on a job that was only read.
#[divan::bench(sample_count = 20)]
fn all_checks(bencher: Bencher) {
    let text = cinema::cinema(
        "9.1.6",
        cinema::FLAT,
        &(cinema::THINGS.to_owned() + &cinema::nine_one_six()),
    );
    let job = cinema::read(&text).job().clone();
    let job = std::sync::Arc::new(job);
    bencher.bench_local(|| {
        let analysis = analysis::Analysis::new(std::sync::Arc::clone(&job));
        checks::prove_without_remedies(&analysis).findings.len()
    });
}

/// What stops a loudspeaker at a place under the finger, with the nearest place that is allowed.
#[divan::bench(sample_count = 20)]
fn under_the_finger(bencher: Bencher) {
    let text = cinema::cinema("9.1.6", cinema::FLAT, &cinema::nine_one_six());
    let analysis = cinema::read(&text);
    bencher.bench_local(|| {
        let item = analysis.item("left-surround").expect("it is there");
        let at = geometry::Point2::new(1.0, 1.9);
        finders::loudspeaker_at(&analysis, item, "south", at).map(|found| found.stops.len())
    });
}
