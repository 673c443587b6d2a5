//! The recommendation's formulas, worked apart from the engine.

use units::{CubicMetres, Metres, Reference};

use super::{proportions_margin, reference_level, reverberation_nominal};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "ITU-R BS.1116-3 annex 1, T_m = 0.25 (V/100)^(1/3): V 50 m³ (from memory)",
        computed: || reverberation_nominal(CubicMetres(50.0)).0,
        expected: 0.1984251315,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "ITU-R BS.1116-3 annex 1, T_m = 0.25 (V/100)^(1/3): V 70 m³ (from memory)",
        computed: || reverberation_nominal(CubicMetres(70.0)).0,
        expected: 0.2219760004,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "ITU-R BS.1116-3 annex 1, T_m = 0.25 (V/100)^(1/3): V 100 m³ (from memory)",
        computed: || reverberation_nominal(CubicMetres(100.0)).0,
        expected: 0.25,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "ITU-R BS.1116-3 annex 1, T_m = 0.25 (V/100)^(1/3): V 150 m³ (from memory)",
        computed: || reverberation_nominal(CubicMetres(150.0)).0,
        expected: 0.2861785606,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "ITU-R BS.1116-3 annex 1, 85 - 10 lg n: level of each of 5 channels (from memory)",
        computed: || reference_level(5).0,
        expected: 78.01029996,
        tolerance: 0.01,
        unit: "dB(A)",
    },
    Reference {
        cite: "ITU-R BS.1116-3 annex 1 proportions, 7.0 x 5.0 x 2.7 m: 2.037 <= 2.593 <= 4.333, l/h < 3 by 0.407 (from memory)",
        computed: || margin(7.0, 5.0, 2.7),
        expected: 0.407407,
        tolerance: 0.0005,
        unit: "1",
    },
    Reference {
        cite: "ITU-R BS.1116-3 annex 1 proportions, 5.0 x 4.8 x 2.4 m: l/h 2.083 < 1.1 w/h 2.200 (from memory)",
        computed: || margin(5.0, 4.8, 2.4),
        expected: -0.116667,
        tolerance: 0.0005,
        unit: "1",
    },
];

fn margin(length_m: f64, width_m: f64, height_m: f64) -> f64 {
    proportions_margin(Metres(length_m), Metres(width_m), Metres(height_m))
}
