//! How long the search for amplifier channels takes.
//!
//! Goal, on one core: a house of eight zones and 32 channels ≤ 5 ms.

use divan::Bencher;
use links::assignment::{Amplifier, Load, assign};

fn main() {
    divan::main();
}

/// Four amplifiers of eight channels and four zones, 32 loudspeakers in eight zones.
#[divan::bench]
fn eight_zones(bencher: Bencher<'_, '_>) {
    let amplifiers = vec![
        Amplifier {
            channels: 8,
            zones: 4,
        };
        4
    ];
    let loads: Vec<Load> = (0..32)
        .map(|one| Load {
            channels: 1,
            zone: one / 4,
            weight: 1,
            may: vec![0, 1, 2, 3],
        })
        .collect();
    bencher.bench(|| assign(&amplifiers, &loads));
}

/// One channel too few, so that something is left over: the bound never stops the search early.
#[divan::bench]
fn one_channel_short(bencher: Bencher<'_, '_>) {
    let amplifiers = [8, 4, 2, 1].map(|channels| Amplifier { channels, zones: 2 });
    let loads: Vec<Load> = (0..10)
        .map(|one| Load {
            channels: 1 + one % 3,
            zone: one as usize / 4,
            weight: 1,
            may: vec![0, 1, 2, 3],
        })
        .collect();
    bencher.bench(|| assign(&amplifiers, &loads));
}
