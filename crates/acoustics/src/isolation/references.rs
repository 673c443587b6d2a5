//! Isolation values from outside the project.

use units::{Decibels, Hertz, Reference, SquareMetres};

use super::{Part, composite, mass_law, received, transmission_class, weighted};

const WALL: [f64; 16] = [
    10.0, 11.0, 12.0, 13.0, 15.0, 18.0, 20.0, 20.0, 25.0, 22.0, 18.0, 15.0, 20.0, 25.0, 28.0, 30.0,
];

const CLASS: [f64; 16] = [
    18.0, 18.0, 17.0, 17.0, 20.0, 21.0, 22.0, 23.0, 25.0, 26.0, 26.0, 25.0, 25.0, 26.0, 30.0, 31.0,
];

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "python-acoustics tests/test_building.py: R 10 … 30 dB, 100 Hz to 3.15 kHz: Rw (confirmed)",
        computed: || weighted(&WALL.map(Decibels)).index,
        expected: 22.0,
        tolerance: 0.0,
        unit: "dB",
    },
    Reference {
        cite: "python-acoustics tests/test_building.py: the same wall: Rw + C (confirmed)",
        computed: || weighted(&WALL.map(Decibels)).pink,
        expected: 19.657_473_18,
        tolerance: 1e-6,
        unit: "dB",
    },
    Reference {
        cite: "python-acoustics tests/test_building.py: the same wall: Rw + Ctr (confirmed)",
        computed: || weighted(&WALL.map(Decibels)).traffic,
        expected: 18.036_282_79,
        tolerance: 1e-6,
        unit: "dB",
    },
    Reference {
        cite: "python-acoustics tests/test_building.py: TL 18 … 31 dB, 125 Hz to 4 kHz: STC (confirmed)",
        computed: || transmission_class(&CLASS.map(Decibels)),
        expected: 25.0,
        tolerance: 0.0,
        unit: "dB",
    },
    Reference {
        cite: "python-acoustics tests/test_building.py: mass law, 10 kg/m², 200 Hz, 1.225 kg/m³, 343 m/s (confirmed)",
        computed: || mass_law(Hertz(200.0), 10.0, 1.225, 343.0).0,
        expected: 23.514_371_49,
        tolerance: 1e-6,
        unit: "dB",
    },
    Reference {
        cite: "wall 10.0 m² R 50 with door 1.8 m² R 25 in it: composite (computed)",
        computed: || {
            let part = |area, reduction| Part {
                area: SquareMetres(area),
                reduction: Decibels(reduction),
            };
            composite(&[part(8.2, 50.0), part(1.8, 25.0)]).map_or(f64::NAN, |r| r.0)
        },
        expected: 32.385_157_15,
        tolerance: 1e-6,
        unit: "dB",
    },
    Reference {
        cite: "L2 = L1 − R + 10 lg(S/A): 95 dB, R 45, 10 m², 15 m² (computed)",
        computed: || {
            let [area, absorption] = [10.0, 15.0].map(SquareMetres);
            received(Decibels(95.0), Decibels(45.0), area, absorption).0
        },
        expected: 48.239_087_41,
        tolerance: 1e-6,
        unit: "dB",
    },
];
