//! How long the crew waits for its sheets.
//!
//! Goals: a set of 12 pages as PDF within 2 s (the L-shaped room's has 12), the demo house's
//! of some 30 pages within 3 s. The first set of a process pays for the typesetter's start.
//! A page of the browser asks for one sheet, or for the list of them.

use std::sync::Arc;

use analysis::Analysis;
use divan::Bencher;
use sheets::Paper;

const TWELVE: &str = include_str!("../../../jobs/l-shaped.toml");
const DEMO: &str = include_str!("../../../jobs/harbour-lane-surveyed.toml");

fn main() {
    divan::main();
}

fn proven(text: &str) -> (Analysis, checks::Proof) {
    let job = Arc::new(model::read(text, &checks::limit_names()).expect("the job reads"));
    let proof = checks::prove(Arc::clone(&job));
    (Analysis::new(job), proof)
}

fn print(bencher: Bencher, text: &str) {
    let (analysis, proof) = proven(text);
    bencher.bench_local(|| {
        sheets::house_pdf(&analysis, &proof, Paper::A4, "2026-05-11").expect("the set prints")
    });
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn set_of_twelve_pages(bencher: Bencher) {
    print(bencher, TWELVE);
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn set_of_demo_house(bencher: Bencher) {
    print(bencher, DEMO);
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn drawings_of_demo_house(bencher: Bencher) {
    let (analysis, proof) = proven(DEMO);
    bencher.bench_local(|| sheets::house(&analysis, &proof, Paper::A4));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn densest_plan_of_demo_house(bencher: Bencher) {
    let (analysis, proof) = proven(DEMO);
    bencher.bench_local(|| sheets::sheet_svg(&analysis, &proof, Paper::A4, "loft-plan"));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn findings_of_demo_house(bencher: Bencher) {
    let (analysis, proof) = proven(DEMO);
    bencher.bench_local(|| sheets::contents(&analysis, &proof, Paper::A4, &["findings"]));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn list_of_demo_house(bencher: Bencher) {
    let (analysis, proof) = proven(DEMO);
    bencher.bench_local(|| sheets::ids(&analysis, &proof));
}
