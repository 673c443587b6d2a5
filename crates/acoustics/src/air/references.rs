//! Published attenuation and speed of sound.

use units::{Celsius, Hertz, Reference};

use super::{Air, speed_of_sound};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "ISO 9613-1 table 1 as kept in python-acoustics tests/data/absorption_coefficient.csv: 25 °C, 80 % RH, 1 kHz (confirmed)",
        computed: || db_per_km(25.0, 80.0, 1000.0),
        expected: 6.35,
        tolerance: 0.03175,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 table 1 as kept in python-acoustics tests/data/absorption_coefficient.csv: 25 °C, 80 % RH, 4 kHz (confirmed)",
        computed: || db_per_km(25.0, 80.0, 3981.0717055349733),
        expected: 21.1,
        tolerance: 0.1055,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 table 1 as kept in python-acoustics tests/data/absorption_coefficient.csv: 25 °C, 80 % RH, 10 kHz (confirmed)",
        computed: || db_per_km(25.0, 80.0, 10000.0),
        expected: 89.6,
        tolerance: 0.448,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 table 1 as kept in python-acoustics tests/data/absorption_coefficient.csv: -15 °C, 30 % RH, 1 kHz (confirmed)",
        computed: || db_per_km(-15.0, 30.0, 1000.0),
        expected: 9.44,
        tolerance: 0.0472,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 table 1 as kept in python-acoustics tests/data/absorption_coefficient.csv: -20 °C, 10 % RH, 8 kHz (confirmed)",
        computed: || db_per_km(-20.0, 10.0, 7943.282347242815),
        expected: 10.9,
        tolerance: 0.0545,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 eqs 3-5 worked apart: 20 °C, 50 % RH, 1000.00 Hz (computed)",
        computed: || db_per_km(20.0, 50.0, 1000.0),
        expected: 4.664731874,
        tolerance: 0.00933,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 eqs 3-5 worked apart: 20 °C, 50 % RH, 3981.07 Hz (computed)",
        computed: || db_per_km(20.0, 50.0, 3981.0717055349733),
        expected: 29.41924777,
        tolerance: 0.05884,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 eqs 3-5 worked apart: 20 °C, 50 % RH, 7943.28 Hz (computed)",
        computed: || db_per_km(20.0, 50.0, 7943.282347242815),
        expected: 103.9122274,
        tolerance: 0.20782,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 eqs 3-5 worked apart: 10 °C, 30 % RH, 7943.28 Hz (computed)",
        computed: || db_per_km(10.0, 30.0, 7943.282347242815),
        expected: 186.8490937,
        tolerance: 0.3737,
        unit: "dB/km",
    },
    Reference {
        cite: "ISO 9613-1 eqs 3-5 worked apart: 30 °C, 70 % RH, 7943.28 Hz (computed)",
        computed: || db_per_km(30.0, 70.0, 7943.282347242815),
        expected: 59.26141098,
        tolerance: 0.11852,
        unit: "dB/km",
    },
    Reference {
        cite: "331.3 sqrt(1 + T/273.15): speed of sound at 0 °C (computed)",
        computed: || speed_of_sound(Celsius(0.0)).0,
        expected: 331.3,
        tolerance: 0.01,
        unit: "m/s",
    },
    Reference {
        cite: "331.3 sqrt(1 + T/273.15): speed of sound at 10 °C (computed)",
        computed: || speed_of_sound(Celsius(10.0)).0,
        expected: 337.3099222,
        tolerance: 0.01,
        unit: "m/s",
    },
    Reference {
        cite: "331.3 sqrt(1 + T/273.15): speed of sound at 20 °C (computed)",
        computed: || speed_of_sound(Celsius(20.0)).0,
        expected: 343.2146227,
        tolerance: 0.01,
        unit: "m/s",
    },
    Reference {
        cite: "331.3 sqrt(1 + T/273.15): speed of sound at 25 °C (computed)",
        computed: || speed_of_sound(Celsius(25.0)).0,
        expected: 346.1292014,
        tolerance: 0.01,
        unit: "m/s",
    },
    Reference {
        cite: "331.3 sqrt(1 + T/273.15): speed of sound at 30 °C (computed)",
        computed: || speed_of_sound(Celsius(30.0)).0,
        expected: 349.0194419,
        tolerance: 0.01,
        unit: "m/s",
    },
    Reference {
        cite: "python-acoustics tests of its atmosphere, ISO 9613-1 reference: speed of sound at 20 °C (confirmed)",
        computed: || speed_of_sound(Celsius(20.0)).0,
        expected: 343.2,
        tolerance: 0.05,
        unit: "m/s",
    },
    Reference {
        cite: "python-acoustics 0.2.6 atmosphere, run: 22 °C, 35 % RH, 90 kPa, 250 Hz (computed)",
        computed: || 1e3 * thin_air().attenuation(Hertz(250.0)).db_per_m(),
        expected: 1.4681820545665363,
        tolerance: 1e-6,
        unit: "dB/km",
    },
    Reference {
        cite: "python-acoustics 0.2.6 atmosphere, run: 22 °C, 35 % RH, 90 kPa, 1 kHz (computed)",
        computed: || 1e3 * thin_air().attenuation(Hertz(1000.0)).db_per_m(),
        expected: 4.845061524894458,
        tolerance: 1e-6,
        unit: "dB/km",
    },
    Reference {
        cite: "python-acoustics 0.2.6 atmosphere, run: 22 °C, 35 % RH, 90 kPa, 4 kHz (computed)",
        computed: || 1e3 * thin_air().attenuation(Hertz(4000.0)).db_per_m(),
        expected: 37.45235493961812,
        tolerance: 1e-6,
        unit: "dB/km",
    },
    Reference {
        cite: "python-acoustics 0.2.6 atmosphere, run: 22 °C, 35 % RH, 90 kPa, 8 kHz (computed)",
        computed: || 1e3 * thin_air().attenuation(Hertz(8000.0)).db_per_m(),
        expected: 133.8209239683738,
        tolerance: 1e-6,
        unit: "dB/km",
    },
];

fn thin_air() -> Air {
    Air::new(Celsius(22.0), 0.35, 90.0).expect("air within ISO 9613-1")
}

fn db_per_km(temperature_c: f64, humidity_pct: f64, frequency_hz: f64) -> f64 {
    Air::new(Celsius(temperature_c), humidity_pct / 100.0, 101.325)
        .expect("air within ISO 9613-1")
        .attenuation(Hertz(frequency_hz))
        .db_per_m()
        * 1e3
}
