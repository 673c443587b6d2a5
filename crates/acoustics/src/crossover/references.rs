//! Crossover gains worked with another filter design.

use std::f64::consts::FRAC_1_SQRT_2;

use units::{Hertz, Reference};

use super::{Order, high_pass, low_pass};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "squared Butterworth: Linkwitz-Riley order 4 low-pass at f/fc 0.5 (computed)",
        computed: || low_pass(Order::Fourth, Hertz(1.0), Hertz(0.5)).0,
        expected: -0.5265787744,
        tolerance: 0.001,
        unit: "dB",
    },
    Reference {
        cite: "squared Butterworth: Linkwitz-Riley order 4 low-pass at f/fc 1.0 (computed)",
        computed: || low_pass(Order::Fourth, Hertz(1.0), Hertz(1.0)).0,
        expected: -6.020599913,
        tolerance: 0.001,
        unit: "dB",
    },
    Reference {
        cite: "squared Butterworth: Linkwitz-Riley order 4 low-pass at f/fc 2.0 (computed)",
        computed: || low_pass(Order::Fourth, Hertz(1.0), Hertz(2.0)).0,
        expected: -24.60897843,
        tolerance: 0.001,
        unit: "dB",
    },
    Reference {
        cite: "squared Butterworth: Linkwitz-Riley order 2 low-pass at f/fc 1.0 (computed)",
        computed: || low_pass(Order::Second, Hertz(1.0), Hertz(1.0)).0,
        expected: -6.020599913,
        tolerance: 0.001,
        unit: "dB",
    },
    Reference {
        cite: "scipy.signal.butter squared: Linkwitz-Riley order 2 high-pass at f/fc 2.0 (computed)",
        computed: || high_pass(Order::Second, Hertz(1.0), Hertz(2.0)).0,
        expected: -1.9382,
        tolerance: 0.0002,
        unit: "dB",
    },
    Reference {
        cite: "scipy.signal.butter squared: Linkwitz-Riley order 4 high-pass at f/fc 0.70711 (computed)",
        computed: || high_pass(Order::Fourth, Hertz(1.0), Hertz(FRAC_1_SQRT_2)).0,
        expected: -13.9794,
        tolerance: 0.0002,
        unit: "dB",
    },
    Reference {
        cite: "scipy.signal.butter squared: Linkwitz-Riley order 8 high-pass at f/fc 0.5 (computed)",
        computed: || high_pass(Order::Eighth, Hertz(1.0), Hertz(0.5)).0,
        expected: -48.1987,
        tolerance: 0.0002,
        unit: "dB",
    },
];
