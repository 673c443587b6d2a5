//! Arrivals worked apart from the engine.

use units::{Celsius, Metres, Reference};

use super::{Trim, flight_time, trims};
use crate::air::{SPEED_AT_20_C, speed_of_sound};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "speed of sound 331.3 sqrt(1 + T/273.15): flight time over 1 m at 20 °C (computed)",
        computed: || flight_time(Metres(1.0), speed_of_sound(Celsius(20.0))).0 * 1e3,
        expected: 2.913628773,
        tolerance: 0.0005,
        unit: "ms",
    },
    Reference {
        cite: "speed of sound 331.3 sqrt(1 + T/273.15): 4.2 m against 2.9 m at 20 °C, arrival difference (computed)",
        computed: || flight_time(Metres(4.2 - 2.9), speed_of_sound(Celsius(20.0))).0 * 1e3,
        expected: 3.787717405,
        tolerance: 0.001,
        unit: "ms",
    },
    Reference {
        cite: "20 lg(2.90/2.98): left and right 2.90 and 2.98 m away, free field: level trim of the nearer (computed)",
        computed: || pair_trim().gain.0,
        expected: -0.2364,
        tolerance: 0.001,
        unit: "dB",
    },
    Reference {
        cite: "0.08 m / 343.2 m/s: left and right 2.90 and 2.98 m away: delay of the nearer (computed)",
        computed: || pair_trim().delay.0 * 1e3,
        expected: 0.2331,
        tolerance: 0.001,
        unit: "ms",
    },
];

fn pair_trim() -> Trim {
    trims(&[2.90, 2.98].map(Metres), SPEED_AT_20_C)[0]
}
