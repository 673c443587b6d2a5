//! Noise ratings printed by others, or worked apart from the engine.

use units::{Decibels, Hertz, Reference, Seconds};

use super::{NoiseSpectrum, a_weight, allowed_exposure, c_weight, exposure_dose};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "NIOSH 1998, 8/2^((L-85)/3): allowed time at 88 dB(A) (confirmed)",
        computed: || allowed_exposure(Decibels(88.0)).0 / 3600.0,
        expected: 4.0,
        tolerance: 1e-09,
        unit: "h",
    },
    Reference {
        cite: "NIOSH 1998, 8/2^((L-85)/3): allowed time at 94 dB(A) (confirmed)",
        computed: || allowed_exposure(Decibels(94.0)).0 / 3600.0,
        expected: 1.0,
        tolerance: 1e-09,
        unit: "h",
    },
    Reference {
        cite: "NIOSH 1998, 8/2^((L-85)/3): allowed time at 100 dB(A) (confirmed)",
        computed: || allowed_exposure(Decibels(100.0)).0 / 60.0,
        expected: 15.0,
        tolerance: 1e-09,
        unit: "min",
    },
    Reference {
        cite: "NIOSH 1998: dose of 2 h at 91 dB(A) and 1 h at 97 dB(A) (computed)",
        computed: || {
            100.0
                * exposure_dose([
                    (Decibels(91.0), Seconds(7200.0)),
                    (Decibels(97.0), Seconds(3600.0)),
                ])
        },
        expected: 300.0,
        tolerance: 0.01,
        unit: "%",
    },
    Reference {
        cite: "IEC 61672-1 table 3 weights: octaves 63 Hz to 8 kHz 50 45 40 36 33 30 27 25 dB: A-weighted (computed)",
        computed: || quiet().a_weighted().0,
        expected: 39.29006031,
        tolerance: 0.05,
        unit: "dB(A)",
    },
    Reference {
        cite: "tangent method: octaves 63 Hz to 8 kHz 50 45 40 36 33 30 27 25 dB: NC (computed)",
        computed: || nc(quiet()),
        expected: 35.0,
        tolerance: 0.0,
        unit: "NC",
    },
    Reference {
        cite: "max (L - a)/b: octaves 63 Hz to 8 kHz 50 45 40 36 33 30 27 25 dB: NR (computed)",
        computed: || nr(quiet()),
        expected: 33.00492611,
        tolerance: 0.05,
        unit: "NR",
    },
    Reference {
        cite: "python-acoustics tests/test_criterion.py: octaves 64 56 50 45 41 39 38 37 dB: NC (confirmed)",
        computed: || {
            nc(NoiseSpectrum::from_63_hz([
                64.0, 56.0, 50.0, 45.0, 41.0, 39.0, 38.0, 37.0,
            ]))
        },
        expected: 40.0,
        tolerance: 0.0,
        unit: "NC",
    },
    Reference {
        cite: "python-acoustics tests/test_criterion.py: octaves 65 56 50 45 41 39 38 37 dB: NC (confirmed)",
        computed: || {
            nc(NoiseSpectrum::from_63_hz([
                65.0, 56.0, 50.0, 45.0, 41.0, 39.0, 38.0, 37.0,
            ]))
        },
        expected: 45.0,
        tolerance: 0.0,
        unit: "NC",
    },
    Reference {
        cite: "IEC 61672-1:2013 table 3 as kept in python-acoustics: A-weight at 63 Hz (confirmed)",
        computed: || a_weight(Hertz(63.09573444801933)).0,
        expected: -26.2,
        tolerance: 0.05,
        unit: "dB",
    },
    Reference {
        cite: "IEC 61672-1:2013 table 3 as kept in python-acoustics: C-weight at 63 Hz (confirmed)",
        computed: || c_weight(Hertz(63.09573444801933)).0,
        expected: -0.8,
        tolerance: 0.05,
        unit: "dB",
    },
    Reference {
        cite: "IEC 61672-1:2013 table 3 as kept in python-acoustics: A-weight at 1000 Hz (confirmed)",
        computed: || a_weight(Hertz(1000.0)).0,
        expected: 0.0,
        tolerance: 0.05,
        unit: "dB",
    },
    Reference {
        cite: "IEC 61672-1:2013 table 3 as kept in python-acoustics: C-weight at 1000 Hz (confirmed)",
        computed: || c_weight(Hertz(1000.0)).0,
        expected: 0.0,
        tolerance: 0.05,
        unit: "dB",
    },
    Reference {
        cite: "IEC 61672-1:2013 table 3 as kept in python-acoustics: A-weight at 8000 Hz (confirmed)",
        computed: || a_weight(Hertz(7943.282347242815)).0,
        expected: -1.1,
        tolerance: 0.05,
        unit: "dB",
    },
    Reference {
        cite: "IEC 61672-1:2013 table 3 as kept in python-acoustics: C-weight at 8000 Hz (confirmed)",
        computed: || c_weight(Hertz(7943.282347242815)).0,
        expected: -3.0,
        tolerance: 0.05,
        unit: "dB",
    },
];

fn quiet() -> NoiseSpectrum {
    NoiseSpectrum::from_63_hz([50.0, 45.0, 40.0, 36.0, 33.0, 30.0, 27.0, 25.0])
}

fn nc(spectrum: NoiseSpectrum) -> f64 {
    spectrum
        .nc()
        .expect("every band is known and below the highest curve")
        .number
}

fn nr(spectrum: NoiseSpectrum) -> f64 {
    spectrum.nr().expect("every band is known").number
}
