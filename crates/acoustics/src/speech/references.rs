//! Speech values worked apart from the engine.

use units::{Decibels, Reference, Seconds};

use super::{BandField, transmission_index};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "IEC 60268-16 indirect method: T 0.6 0.5 0.45 0.4 0.4 0.35 0.3 s, SNR 10 12 15 18 20 20 20 dB: STI (computed)",
        computed: || {
            let times = [0.6, 0.5, 0.45, 0.4, 0.4, 0.35, 0.3];
            let ratios = [10.0, 12.0, 15.0, 18.0, 20.0, 20.0, 20.0];
            let band = |i: usize| BandField::reverberant(Seconds(times[i]), Decibels(ratios[i]));
            transmission_index(&[0, 1, 2, 3, 4, 5, 6].map(band))
        },
        expected: 0.758_915_310_7,
        tolerance: 1e-6,
        unit: "1",
    },
    Reference {
        cite: "IEC 60268-16 indirect method: T 1.5 s, no noise, all bands: STI (computed)",
        computed: || {
            let quiet = Decibels(f64::INFINITY);
            transmission_index(&[BandField::reverberant(Seconds(1.5), quiet); 7])
        },
        expected: 0.497_906_950_5,
        tolerance: 1e-6,
        unit: "1",
    },
    Reference {
        cite: "10 lg(exp(13.8155 · 0.05/T) − 1): ideal decay T 0.4 s: C50 (computed)",
        computed: || {
            let quiet = Decibels(f64::INFINITY);
            BandField::reverberant(Seconds(0.4), quiet).clarity().0
        },
        expected: 6.649_627_135,
        tolerance: 1e-3, // The source rounds 6 ln 10 to 13.8155.
        unit: "dB",
    },
];
