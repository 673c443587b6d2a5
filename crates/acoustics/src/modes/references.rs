//! Modes of boxes worked apart from the engine.

use units::{Hertz, Metres, MetresPerSecond, Reference};

use super::{BoxRoom, quarter_wave_notch};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "c/2 sqrt(sum (n/L)^2): 6.0 x 4.5 x 2.6 m, c 343 m/s: mode 1 0 0 (computed)",
        computed: || room(6.0, 4.5, 2.6).mode([1, 0, 0]).frequency.0,
        expected: 28.58333333,
        tolerance: 0.001,
        unit: "Hz",
    },
    Reference {
        cite: "c/2 sqrt(sum (n/L)^2): 6.0 x 4.5 x 2.6 m, c 343 m/s: mode 0 1 0 (computed)",
        computed: || room(6.0, 4.5, 2.6).mode([0, 1, 0]).frequency.0,
        expected: 38.11111111,
        tolerance: 0.001,
        unit: "Hz",
    },
    Reference {
        cite: "c/2 sqrt(sum (n/L)^2): 6.0 x 4.5 x 2.6 m, c 343 m/s: mode 1 1 0 (computed)",
        computed: || room(6.0, 4.5, 2.6).mode([1, 1, 0]).frequency.0,
        expected: 47.63888889,
        tolerance: 0.001,
        unit: "Hz",
    },
    Reference {
        cite: "c/2 sqrt(sum (n/L)^2): 6.0 x 4.5 x 2.6 m, c 343 m/s: mode 2 0 0 (computed)",
        computed: || room(6.0, 4.5, 2.6).mode([2, 0, 0]).frequency.0,
        expected: 57.16666667,
        tolerance: 0.001,
        unit: "Hz",
    },
    Reference {
        cite: "c/2 sqrt(sum (n/L)^2): 6.0 x 4.5 x 2.6 m, c 343 m/s: mode 0 0 1 (computed)",
        computed: || room(6.0, 4.5, 2.6).mode([0, 0, 1]).frequency.0,
        expected: 65.96153846,
        tolerance: 0.001,
        unit: "Hz",
    },
    Reference {
        cite: "enumeration: 6.0 x 4.5 x 2.6 m, c 343 m/s: modes up to 100 Hz (computed)",
        computed: || count(100.0),
        expected: 16.0,
        tolerance: 0.0,
        unit: "modes",
    },
    Reference {
        cite: "4 pi V/3 (f/c)^3 + pi S/4 (f/c)^2 + L/8 f/c: 6.0 x 4.5 x 2.6 m: smooth count up to 100 Hz (computed)",
        computed: || room(6.0, 4.5, 2.6).count_smooth(Hertz(100.0)),
        expected: 16.44642107,
        tolerance: 0.01,
        unit: "modes",
    },
    Reference {
        cite: "enumeration: 6.0 x 4.5 x 2.6 m, c 343 m/s: modes up to 200 Hz (computed)",
        computed: || count(200.0),
        expected: 88.0,
        tolerance: 0.0,
        unit: "modes",
    },
    Reference {
        cite: "4 pi V/3 (f/c)^3 + pi S/4 (f/c)^2 + L/8 f/c: 6.0 x 4.5 x 2.6 m: smooth count up to 200 Hz (computed)",
        computed: || room(6.0, 4.5, 2.6).count_smooth(Hertz(200.0)),
        expected: 91.11407933,
        tolerance: 0.01,
        unit: "modes",
    },
    Reference {
        cite: "enumeration, base-ten third octaves 20 to 200 Hz, c 343 m/s: 7.0 x 5.0 x 2.7 m: the count never falls (computed)",
        computed: || falls(7.0, 5.0, 2.7),
        expected: 0.0,
        tolerance: 0.0,
        unit: "bands",
    },
    Reference {
        cite: "enumeration, base-ten third octaves 20 to 200 Hz, c 343 m/s: 6.0 x 4.5 x 2.6 m: the count falls once (7 to 6) (computed)",
        computed: || falls(6.0, 4.5, 2.6),
        expected: 1.0,
        tolerance: 0.0,
        unit: "bands",
    },
    Reference {
        cite: "enumeration, base-ten third octaves 20 to 200 Hz, c 343 m/s: 5.0 x 5.0 x 2.5 m: the count falls once (2 to 0) (computed)",
        computed: || falls(5.0, 5.0, 2.5),
        expected: 1.0,
        tolerance: 0.0,
        unit: "bands",
    },
    Reference {
        cite: "f = c/4d: notch of a wall 0.86 m behind a source, c 343.2 m/s (computed)",
        computed: || quarter_wave_notch(Metres(0.86), MetresPerSecond(343.2)).0,
        expected: 99.767442,
        tolerance: 1e-06,
        unit: "Hz",
    },
];

fn room(length_m: f64, width_m: f64, height_m: f64) -> BoxRoom {
    BoxRoom::new(
        [length_m, width_m, height_m].map(Metres),
        MetresPerSecond(343.0),
    )
    .expect("a room of positive sides")
}

fn count(up_to_hz: f64) -> f64 {
    room(6.0, 4.5, 2.6)
        .modes(Hertz(up_to_hz))
        .expect("a short list")
        .len() as f64
}

fn falls(length_m: f64, width_m: f64, height_m: f64) -> f64 {
    let bonello = room(length_m, width_m, height_m)
        .bonello(Hertz(0.0))
        .expect("a short list");
    bonello.falls_at().len() as f64
}
