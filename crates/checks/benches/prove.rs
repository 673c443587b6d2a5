//! How long a proof takes, and how that grows with the house.
//!
//! Goals, on one core: the demo house with all uncertainty and remedies ≤ 50 ms; one edit
//! proved again ≤ 16 ms; reading ≤ 5 ms; 40 rooms with 400 items and 1,000 cables ≤ 1 s.

mod large_house;

use std::sync::Arc;

use analysis::Analysis;
use checks::Proved;
use divan::Bencher;
use model::Edit;

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const DEMO: &str = include_str!("../../../jobs/harbour-lane-surveyed.toml");

fn main() {
    divan::main();
}

fn read(text: &str) -> Arc<model::Job> {
    Arc::new(model::read(text, &checks::limit_names()).expect("the benchmark's job reads"))
}

#[divan::bench]
fn read_demo(bencher: Bencher) {
    let limits = checks::limit_names();
    bencher.bench_local(|| model::read(DEMO, &limits));
}

#[divan::bench]
fn prove_demo(bencher: Bencher) {
    let job = read(DEMO);
    bencher.bench_local(|| checks::prove(Arc::clone(&job)));
}

#[divan::bench]
fn prove_demo_without_remedies(bencher: Bencher) {
    let job = read(DEMO);
    bencher.bench_local(|| checks::prove_without_remedies(&Analysis::new(Arc::clone(&job))));
}

/// A drag: the projector's drop is changed and everything that rests on it proved again.
#[divan::bench]
fn one_edit_of_demo(bencher: Bencher) {
    let proved = Proved::new(read(DEMO));
    let edit = [Edit::set("item.projector.hung.drop", "14\"")];
    bencher.bench_local(|| checks::prove_again(&proved, &edit).map(|again| again.changed.len()));
}

#[divan::bench(args = [1, 10, 40])]
fn one_edit_of_rooms(bencher: Bencher, rooms: usize) {
    let proved = Proved::new(read(&large_house::house(rooms)));
    let edit = [Edit::set("item.projector-0.hung.drop", "180 mm")];
    bencher.bench_local(|| checks::prove_again(&proved, &edit).map(|again| again.changed.len()));
}

#[divan::bench(args = [1, 2, 5, 10, 20, 40], sample_count = 5)]
fn prove_rooms(bencher: Bencher, rooms: usize) {
    let job = read(&large_house::house(rooms));
    bencher.bench_local(|| checks::prove(Arc::clone(&job)));
}

#[divan::bench(args = [1, 10, 40], sample_count = 10)]
fn read_rooms(bencher: Bencher, rooms: usize) {
    let text = large_house::house(rooms);
    let limits = checks::limit_names();
    bencher.bench_local(|| model::read(&text, &limits));
}
