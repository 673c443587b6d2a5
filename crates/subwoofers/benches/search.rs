//! How long the search for subs takes.
//!
//! Goals on two cores: all pairs of 60 places with gain, delay and polarity in 0.5 s;
//! four of 60 places in 2 s; one arrangement weighed anew in well under 5 ms.

use divan::Bencher;
use num_complex::Complex;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use subwoofers::{Arrangement, Goal, Grid, Place, Setting, Transfers, Wanted, score, search};
use units::Hertz;

const SEATS: usize = 5;

fn main() {
    divan::main();
}

/// 60 places, 5 seats, a twelfth of an octave from 20 Hz to 120 Hz.
fn table() -> Transfers {
    let mut random = ChaCha8Rng::seed_from_u64(1);
    let frequencies: Vec<Hertz> = (0..32)
        .map(|n| Hertz(20.0 * 2_f64.powf(f64::from(n) / 12.0)))
        .collect();
    let modes: Vec<f64> = (0..24).map(|_| random.random_range(20.0..130.0)).collect();
    let places = (0..60)
        .map(|place| {
            let mut pressures = vec![vec![Complex::new(0.3, 0.0); frequencies.len()]; SEATS];
            for &mode in &modes {
                let size: f64 = random.random_range(-1.0..1.0);
                for seat in &mut pressures {
                    let shape: f64 = size * random.random_range(-1.0..1.0);
                    for (pressure, f) in seat.iter_mut().zip(&frequencies) {
                        let below = mode * mode - f.0 * f.0;
                        *pressure += shape * mode * mode / Complex::new(below, mode * f.0 / 8.0);
                    }
                }
            }
            Place {
                kind: format!("wall {}", place / 15),
                pressures,
            }
        })
        .collect();
    Transfers::new(&frequencies, &[1.0; SEATS], places).expect("the table is whole")
}

#[divan::bench(args = [2, 3, 4], sample_count = 5)]
fn subs_of_60_places(bencher: Bencher, subs: usize) {
    let table = table();
    let goal = Goal::even(&table);
    let wanted = Wanted {
        subs,
        kept: Vec::new(),
        grid: Grid::usual(),
        runners_up: 3,
    };
    bencher.bench_local(|| search(&table, &goal, &wanted, &|_| true));
}

#[divan::bench]
fn one_arrangement(bencher: Bencher) {
    let table = table();
    let goal = Goal::even(&table);
    let arrangement = Arrangement {
        subs: [3, 17, 30, 59]
            .map(|place| (place, Setting::PLAIN))
            .to_vec(),
    };
    bencher.bench_local(|| score(&table, &goal, &arrangement));
}
