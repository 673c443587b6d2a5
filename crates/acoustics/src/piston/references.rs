//! Piston directivity worked with another Bessel function.

use units::{Hertz, Metres, Radians, Reference};

use super::{Piston, directivity, frequency_for_coverage};
use crate::air::SPEED_AT_20_C;

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "2 J1(x)/x by scipy.special.j1: radius 82.5 mm, 2000 Hz, 30° off axis, c 343.2 m/s (computed)",
        computed: || {
            piston(82.5, 2000.0)
                .level_off_axis(Radians::from_degrees(30.0))
                .0
        },
        expected: -2.607197593,
        tolerance: 0.01,
        unit: "dB",
    },
    Reference {
        cite: "2 J1(x)/x by scipy.special.j1: radius 82.5 mm, 4000 Hz, 45° off axis, c 343.2 m/s (computed)",
        computed: || {
            piston(82.5, 4000.0)
                .level_off_axis(Radians::from_degrees(45.0))
                .0
        },
        expected: -22.35806975,
        tolerance: 0.01,
        unit: "dB",
    },
    Reference {
        cite: "2 J1(x)/x by scipy.special.j1: radius 12.5 mm, 10000 Hz, 60° off axis, c 343.2 m/s (computed)",
        computed: || {
            piston(12.5, 10000.0)
                .level_off_axis(Radians::from_degrees(60.0))
                .0
        },
        expected: -4.684888511,
        tolerance: 0.01,
        unit: "dB",
    },
    Reference {
        cite: "ka sin t = 2.21509: radius 82.5 mm, c 343.2 m/s: frequency of 90° coverage (computed)",
        computed: || {
            frequency_for_coverage(Metres(0.0825), Radians::from_degrees(90.0), SPEED_AT_20_C).0
        },
        expected: 2074.052374,
        tolerance: 0.5,
        unit: "Hz",
    },
    Reference {
        cite: "first zero of J1 by scipy.special.jn_zeros: first null of a piston (computed)",
        computed: || first_null(),
        expected: 3.831706,
        tolerance: 1e-06,
        unit: "1",
    },
    Reference {
        cite: "10 lg((ka)²/(1 - J1(2ka)/ka)) by scipy: directivity index at ka 1 (computed)",
        computed: || Piston { ka: 1.0 }.directivity_index().0,
        expected: 3.734,
        tolerance: 0.0005,
        unit: "dB",
    },
    Reference {
        cite: "2 J1(x)/x by scipy: half-power angle, x 1.61634 (computed)",
        computed: || {
            Piston { ka: 1.61634 }
                .level_off_axis(Radians::from_degrees(90.0))
                .0
        },
        expected: -3.0103,
        tolerance: 0.0001,
        unit: "dB",
    },
];

fn piston(radius_mm: f64, frequency_hz: f64) -> Piston {
    Piston::new(Metres(radius_mm * 1e-3), Hertz(frequency_hz), SPEED_AT_20_C)
}

/// By halving: the directivity falls through zero once between 3 and 4.
fn first_null() -> f64 {
    let (mut low, mut high) = (3.0, 4.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if directivity(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}
