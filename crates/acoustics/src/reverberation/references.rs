//! Reverberation times printed by others, or worked apart from the engine.

use std::f64::consts::LOG10_E;

use units::{Celsius, CubicMetres, Hertz, MetresPerSecond, Reference, Seconds, SquareMetres};

use super::{
    BandRoom, Surface, WallPairs, absorption_from_time, critical_distance, mean_free_path,
    schroeder_frequency,
};
use crate::air::{Air, Attenuation, SPEED_AT_20_C};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "A/S: room 6.0 x 4.5 x 2.6 m, floor 0.69, one end wall 0.72, the rest 0.04, c 343.2 m/s: mean absorption (computed)",
        computed: || uneven().mean_alpha(),
        expected: 0.2748618785,
        tolerance: 0.0005,
        unit: "1",
    },
    Reference {
        cite: "Sabine, K = 24 ln 10 / c: room 6.0 x 4.5 x 2.6 m, floor 0.69, one end wall 0.72, the rest 0.04, c 343.2 m/s, no air (computed)",
        computed: || uneven().sabine().0,
        expected: 0.3786800518,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "Norris-Eyring, K = 24 ln 10 / c: room 6.0 x 4.5 x 2.6 m, floor 0.69, one end wall 0.72, the rest 0.04, c 343.2 m/s, no air (computed)",
        computed: || uneven().eyring().0,
        expected: 0.3238548081,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "Millington-Sette, K = 24 ln 10 / c: room 6.0 x 4.5 x 2.6 m, floor 0.69, one end wall 0.72, the rest 0.04, c 343.2 m/s, no air (computed)",
        computed: || uneven().millington().0,
        expected: 0.2289610382,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "Fitzroy, K = 24 ln 10 / c: room 6.0 x 4.5 x 2.6 m, floor 0.69, one end wall 0.72, the rest 0.04, c 343.2 m/s, no air (computed)",
        computed: || uneven_pairs().fitzroy(VOLUME, SPEED_AT_20_C).0,
        expected: 0.893396432,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "Arau-Puchades, K = 24 ln 10 / c: room 6.0 x 4.5 x 2.6 m, floor 0.69, one end wall 0.72, the rest 0.04, c 343.2 m/s, no air (computed)",
        computed: || {
            uneven_pairs()
                .arau(VOLUME, Attenuation::default(), SPEED_AT_20_C)
                .0
        },
        expected: 0.4528937683,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "Norris-Eyring with 4mV, the same room in air of 20 °C and 50 % at 7943 Hz (computed)",
        computed: || uneven().with_air(air_8k(), SPEED_AT_20_C).eyring().0,
        expected: 0.2715781717,
        tolerance: 0.0005,
        unit: "s",
    },
    Reference {
        cite: "python-acoustics tests/test_room.py: S 240 600 500 m², alpha 0.1 0.25 0.45, V 3000 m³, c 343 m/s: Sabine (confirmed)",
        computed: || hall().sabine().0,
        expected: 1.211382149,
        tolerance: 1e-06,
        unit: "s",
    },
    Reference {
        cite: "python-acoustics tests/test_room.py: S 240 600 500 m², alpha 0.1 0.25 0.45, V 3000 m³, c 343 m/s: Norris-Eyring (confirmed)",
        computed: || hall().eyring().0,
        expected: 1.020427763,
        tolerance: 1e-06,
        unit: "s",
    },
    Reference {
        cite: "python-acoustics tests/test_room.py: S 240 600 500 m², alpha 0.1 0.25 0.45, V 3000 m³, c 343 m/s: Arau-Puchades (confirmed)",
        computed: || {
            hall_pairs(1.0)
                .arau(HALL, Attenuation::default(), SPEED_343)
                .0
        },
        expected: 1.142442931,
        tolerance: 1e-06,
        unit: "s",
    },
    Reference {
        cite: "python-acoustics tests/test_room.py: S 240 240 600 600 500 500 m², alpha in pairs, V 3000 m³, c 343 m/s: Fitzroy (confirmed)",
        computed: || hall_pairs(2.0).fitzroy(HALL, SPEED_343).0,
        expected: 0.699854185,
        tolerance: 1e-06,
        unit: "s",
    },
    Reference {
        cite: "-sum S ln(1 - alpha), the three surfaces of python-acoustics tests/test_room.py: Millington-Sette (computed)",
        computed: || hall().millington().0,
        expected: 0.9728816356,
        tolerance: 1e-06,
        unit: "s",
    },
    Reference {
        cite: "python-acoustics 0.2.6 t60_sabine, run: box 6.0 x 4.5 x 2.6 m, alpha 0.57/0.10, 0.05/0.72, 0.05/0.05 by pairs, c 343 m/s (computed)",
        computed: || boxed().sabine().0,
        expected: 0.3616714814392934,
        tolerance: 1e-09,
        unit: "s",
    },
    Reference {
        cite: "python-acoustics 0.2.6 t60_eyring, run: box 6.0 x 4.5 x 2.6 m, alpha 0.57/0.10, 0.05/0.72, 0.05/0.05 by pairs, c 343 m/s (computed)",
        computed: || boxed().eyring().0,
        expected: 0.30665698366991767,
        tolerance: 1e-09,
        unit: "s",
    },
    Reference {
        cite: "python-acoustics 0.2.6 t60_fitzroy, run: box 6.0 x 4.5 x 2.6 m, alpha 0.57/0.10, 0.05/0.72, 0.05/0.05 by pairs, c 343 m/s (computed)",
        computed: || boxed_pairs().fitzroy(VOLUME, SPEED_343).0,
        expected: 0.62596871,
        tolerance: 1e-08,
        unit: "s",
    },
    Reference {
        cite: "python-acoustics 0.2.6 t60_arau, run: box 6.0 x 4.5 x 2.6 m, alpha 0.57/0.10, 0.05/0.72, 0.05/0.05 by pairs, c 343 m/s (computed)",
        computed: || {
            boxed_pairs()
                .arau(VOLUME, Attenuation::default(), SPEED_343)
                .0
        },
        expected: 0.3794783942029817,
        tolerance: 1e-09,
        unit: "s",
    },
    Reference {
        cite: "pyroomacoustics 0.10.1 rt60_sabine, run: S 108.6 m², V 70.2 m³, mean alpha 0.27486, m 0.006774 1/m, c 343.2 m/s (computed)",
        computed: || {
            uneven()
                .with_air(
                    Attenuation::from_db_per_m(0.006774 * 10.0 * LOG10_E),
                    SPEED_AT_20_C,
                )
                .sabine()
                .0
        },
        expected: 0.3559948976795158,
        tolerance: 1e-07,
        unit: "s",
    },
    Reference {
        cite: "pyroomacoustics 0.10.1 rt60_eyring, run: S 108.6 m², V 70.2 m³, mean alpha 0.27486, no air, c 343.2 m/s (computed)",
        computed: || uneven().eyring().0,
        expected: 0.3238548080575314,
        tolerance: 1e-07,
        unit: "s",
    },
    Reference {
        cite: "pyroomacoustics 0.10.1 inverse_sabine, run: T 0.4 s in 6 x 4.5 x 2.6 m, c 343.2 m/s: mean alpha (computed)",
        computed: || absorption_from_time(Seconds(0.4), VOLUME, SPEED_AT_20_C).0 / 108.6,
        expected: 0.26021177595362144,
        tolerance: 1e-09,
        unit: "1",
    },
    Reference {
        cite: "2000 sqrt(T/V): Schroeder frequency, T 0.40 s, V 70.2 m³ (computed)",
        computed: || schroeder_frequency(Seconds(0.4), VOLUME).0,
        expected: 150.9702712,
        tolerance: 0.01,
        unit: "Hz",
    },
    Reference {
        cite: "4V/S: mean free path, 6.0 x 4.5 x 2.6 m (computed)",
        computed: || mean_free_path(VOLUME, SquareMetres(108.6)).0,
        expected: 2.585635359,
        tolerance: 0.0005,
        unit: "m",
    },
    Reference {
        cite: "sqrt(QA/16 pi), A = KV/T: critical distance, Q 1, T 0.40 s, V 70.2 m³, c 343.2 m/s (computed)",
        computed: || critical(1.0),
        expected: 0.7497965855,
        tolerance: 0.0005,
        unit: "m",
    },
    Reference {
        cite: "sqrt(QA/16 pi), A = KV/T: critical distance, Q 6, the same room (computed)",
        computed: || critical(6.0),
        expected: 1.836619045,
        tolerance: 0.0005,
        unit: "m",
    },
];

/// 6.0 × 4.5 × 2.6 m.
const VOLUME: CubicMetres = CubicMetres(70.2);
const HALL: CubicMetres = CubicMetres(3000.0);
const SPEED_343: MetresPerSecond = MetresPerSecond(343.0);

fn surface(area_m2: f64, alpha: f64) -> Surface {
    Surface {
        area: SquareMetres(area_m2),
        alpha,
    }
}

fn room(volume: CubicMetres, surfaces: &[Surface]) -> BandRoom {
    BandRoom::new(volume, surfaces.to_vec()).expect("a room of positive areas")
}

fn pairs(pairs: [Surface; 3]) -> WallPairs {
    WallPairs::new(pairs).expect("pairs of positive areas")
}

/// Floor, ceiling, end walls (4.5 m wide), side walls (6.0 m long).
fn uneven() -> BandRoom {
    let ends = [surface(11.7, 0.72), surface(11.7, 0.04)];
    let sides = [surface(15.6, 0.04), surface(15.6, 0.04)];
    room(
        VOLUME,
        &[
            &[surface(27.0, 0.69), surface(27.0, 0.04)],
            &ends[..],
            &sides[..],
        ]
        .concat(),
    )
}

fn uneven_pairs() -> WallPairs {
    pairs([
        surface(54.0, 0.365),
        surface(23.4, 0.38),
        surface(31.2, 0.04),
    ])
}

fn hall() -> BandRoom {
    room(
        HALL,
        &[
            surface(240.0, 0.1),
            surface(600.0, 0.25),
            surface(500.0, 0.45),
        ],
    )
    .with_air(Attenuation::default(), SPEED_343)
}

fn hall_pairs(walls: f64) -> WallPairs {
    pairs([
        surface(240.0 * walls, 0.1),
        surface(600.0 * walls, 0.25),
        surface(500.0 * walls, 0.45),
    ])
}

fn boxed() -> BandRoom {
    let walls = [
        (27.0, 0.57),
        (27.0, 0.10),
        (15.6, 0.05),
        (15.6, 0.72),
        (11.7, 0.05),
        (11.7, 0.05),
    ];
    room(VOLUME, &walls.map(|(area, alpha)| surface(area, alpha)))
        .with_air(Attenuation::default(), SPEED_343)
}

fn boxed_pairs() -> WallPairs {
    pairs([
        surface(54.0, 0.335),
        surface(31.2, 0.385),
        surface(23.4, 0.05),
    ])
}

fn air_8k() -> Attenuation {
    Air::new(Celsius(20.0), 0.5, 101.325)
        .expect("air within ISO 9613-1")
        .attenuation(Hertz(7_943.282_347_242_815))
}

fn critical(directivity: f64) -> f64 {
    let absorption = absorption_from_time(Seconds(0.4), VOLUME, SPEED_AT_20_C);
    critical_distance(directivity, absorption).0
}
