//! How long the bass of the demo's gabled room takes: to solve, to listen, to answer a moved sub.
//!
//! Goals on two cores: a solve to 200 Hz in 1 s, a moved sub in 5 ms.

use std::ops::ControlFlow;
use std::sync::Arc;

use analysis::Analysis;
use bass::{Asked, Placed, Ready, Solved, planned};
use divan::{Bencher, black_box};
use units::{Decibels, Dimension, Hertz};

const DEMO: &str = include_str!("../../../jobs/harbour-lane-settled.toml");
const ELEVATION: model::LimitName = model::LimitName {
    name: "elevation_tolerance",
    dimension: Dimension::Angle,
};
const TOP: Hertz = Hertz(200.0);

fn main() {
    divan::main();
}

fn demo() -> Analysis {
    let job = model::read(DEMO, &[ELEVATION]).expect("the demo reads");
    Analysis::new(Arc::new(job))
}

fn going(_: f64) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

fn solved(job: &Analysis) -> Solved {
    let space = job.space("loft").expect("the demo's loft");
    Solved::new(job, space, TOP, &mut going).expect("it solves")
}

fn ready(job: &Analysis) -> (Ready, Vec<Placed>) {
    let space = job.space("loft").expect("the demo's loft");
    let ready = Ready::new(solved(job), job, space, Decibels(115.0), &going);
    (ready.expect("its seats are known"), planned(job, space).0)
}

#[divan::bench(sample_count = 5)]
fn solve_to_200_hz(bencher: Bencher) {
    let job = demo();
    bencher.bench_local(|| solved(&job));
}

#[divan::bench(sample_count = 5)]
fn from_kept_bytes(bencher: Bencher) {
    let job = demo();
    let bytes = solved(&job).kept();
    let space = job.space("loft").expect("the demo's loft");
    bencher.bench_local(|| Solved::from_kept(&job, space, TOP, &bytes));
}

#[divan::bench(sample_count = 5)]
fn let_the_seats_listen(bencher: Bencher) {
    let job = demo();
    let space = job.space("loft").expect("the demo's loft");
    let solved = solved(&job);
    bencher
        .with_inputs(|| solved.clone())
        .bench_local_values(|solved| Ready::new(solved, &job, space, Decibels(115.0), &going));
}

#[divan::bench(sample_count = 3)]
fn study_up_to_four_subs(bencher: Bencher) {
    let job = demo();
    let (ready, subs) = ready(&job);
    bencher.bench_local(|| ready.study(&Asked::usual(), &subs, &going));
}

#[divan::bench]
fn a_moved_sub(bencher: Bencher) {
    let job = demo();
    let (ready, subs) = ready(&job);
    bencher.bench_local(|| ready.judge(black_box(&subs), None));
}

#[divan::bench]
fn a_field_of_2000_points(bencher: Bencher) {
    let job = demo();
    let (ready, subs) = ready(&job);
    let [low, high] = ready.bounds();
    let between = |axis: usize, part: f64| low[axis] + (high[axis] - low[axis]) * part;
    let points: Vec<[f64; 3]> = (0..2000)
        .map(|at| {
            let [x, y] = [at % 50, at / 50].map(f64::from);
            [
                between(0, (x + 0.5) / 50.0),
                between(1, (y + 0.5) / 40.0),
                1.1,
            ]
        })
        .collect();
    bencher.bench_local(|| ready.field(black_box(&subs), &points, Hertz(42.0)));
}
