//! How fast does sound travel, and how much of it does the air take?
//!
//! Attenuation of a pure tone by the atmosphere, ISO 9613-1:1993 equations 3 to 5
//! (read in a public implementation tested against the standard's table 1, not in
//! the standard itself):
//!
//! `f_rO = p_a/p_r (24 + 4.04e4 h (0.02 + h)/(0.391 + h))`
//!
//! `f_rN = p_a/p_r (T/T₀)^(-1/2) (9 + 280 h exp(-4.170 ((T/T₀)^(-1/3) − 1)))`
//!
//! `α = 8.686 f² (1.84e-11 (p_a/p_r)⁻¹ (T/T₀)^(1/2) + (T/T₀)^(-5/2)
//!   (0.01275 e^(-2239.1/T) (f_rO + f²/f_rO)⁻¹ + 0.1068 e^(-3352.0/T) (f_rN + f²/f_rN)⁻¹))`
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | α | attenuation coefficient | dB/m |
//! | f | frequency of the tone | Hz |
//! | f_rO, f_rN | relaxation frequencies of oxygen and nitrogen | Hz |
//! | T, T₀ | air temperature, 293.15 | K |
//! | p_a, p_r | air pressure, 101.325 | kPa |
//! | h | molar concentration of water vapour | % |
//!
//! Valid within the standard's ±10 % for −20 to 50 °C, h 0.05 to 5 %, below
//! 200 kPa; for octave bands at their exact mid-band frequency.

use units::{Celsius, Hertz, MetresPerSecond};

mod references;
pub(crate) use references::REFERENCES;

/// The reference temperature T₀ of ISO 9613-1, K.
const REFERENCE_TEMPERATURE_K: f64 = 293.15;

/// The triple point of water T₀₁, K.
const TRIPLE_POINT_K: f64 = 273.16;

/// The reference pressure p_r, kPa.
const REFERENCE_PRESSURE_KPA: f64 = 101.325;

/// The air of a room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    temperature: Celsius,
    relative_humidity: f64,
    pressure_kpa: f64,
}

/// Air outside the range of the formulas.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum AirError {
    /// Outside −20 to 50 °C.
    #[error("air at {0} °C is outside the −20 to 50 °C of ISO 9613-1")]
    Temperature(f64),
    /// Outside (0, 1].
    #[error("a relative humidity of {} % is not between 0 and 100 %", .0 * 100.0)]
    Humidity(f64),
    /// Outside (0, 200) kPa.
    #[error("an air pressure of {0} kPa is outside the 0 to 200 kPa of ISO 9613-1")]
    Pressure(f64),
}

/// What the air takes from a sound on its way.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Attenuation(f64);

impl Attenuation {
    /// From decibels per metre.
    pub fn from_db_per_m(db_per_m: f64) -> Self {
        Self(db_per_m)
    }

    /// In decibels per metre.
    pub fn db_per_m(self) -> f64 {
        self.0
    }

    /// The energy attenuation coefficient m of the reverberation formulas, 1/m:
    /// intensity falls as e^(−m x), so m = α_dB / (10 log₁₀ e) = α_dB / 4.3429.
    pub fn energy_per_m(self) -> f64 {
        self.0 / (10.0 * std::f64::consts::LOG10_E)
    }
}

impl Air {
    /// Air at a temperature, a relative humidity in (0, 1] and a pressure.
    pub fn new(
        temperature: Celsius,
        relative_humidity: f64,
        pressure_kpa: f64,
    ) -> Result<Self, AirError> {
        if !(-20.0..=50.0).contains(&temperature.0) {
            Err(AirError::Temperature(temperature.0))
        } else if !(relative_humidity > 0.0 && relative_humidity <= 1.0) {
            Err(AirError::Humidity(relative_humidity))
        } else if !(pressure_kpa > 0.0 && pressure_kpa < 200.0) {
            Err(AirError::Pressure(pressure_kpa))
        } else {
            Ok(Self {
                temperature,
                relative_humidity,
                pressure_kpa,
            })
        }
    }

    /// A furnished house where nobody measured: 20 °C, 50 % humidity, sea level.
    pub fn indoors() -> Self {
        Self {
            temperature: Celsius(20.0),
            relative_humidity: 0.5,
            pressure_kpa: REFERENCE_PRESSURE_KPA,
        }
    }

    /// The speed of sound in this air; humidity (0.3 % at most) is left out.
    pub fn speed_of_sound(&self) -> MetresPerSecond {
        speed_of_sound(self.temperature)
    }

    /// The attenuation of a tone, by the equations at the head of this file.
    pub fn attenuation(&self, frequency: Hertz) -> Attenuation {
        let f2 = frequency.0.powi(2);
        let kelvin = self.temperature.0 + 273.15;
        let t = kelvin / REFERENCE_TEMPERATURE_K;
        let p = self.pressure_kpa / REFERENCE_PRESSURE_KPA;

        let saturation = 10_f64.powf(-6.8346 * (TRIPLE_POINT_K / kelvin).powf(1.261) + 4.6151);
        let h = self.relative_humidity * 100.0 * saturation / p;
        let f_ro = p * (24.0 + 4.04e4 * h * (0.02 + h) / (0.391 + h));
        let f_rn = p / t.sqrt() * (9.0 + 280.0 * h * (-4.170 * (t.powf(-1.0 / 3.0) - 1.0)).exp());

        let classical = 1.84e-11 / p * t.sqrt();
        let oxygen = 0.01275 * (-2239.1 / kelvin).exp() / (f_ro + f2 / f_ro);
        let nitrogen = 0.1068 * (-3352.0 / kelvin).exp() / (f_rn + f2 / f_rn);
        Attenuation(8.686 * f2 * (classical + t.powf(-2.5) * (oxygen + nitrogen)))
    }
}

/// The speed of sound in dry air, `c = 331.3 √(1 + ϑ/273.15)` with ϑ in °C: the
/// ideal-gas law through 331.3 m/s at 0 °C, for temperatures that people live in.
pub fn speed_of_sound(temperature: Celsius) -> MetresPerSecond {
    MetresPerSecond(331.3 * (1.0 + temperature.0 / 273.15).sqrt())
}

/// The speed of sound at 20 °C as rounded in ISO 9613-1, which most published
/// reverberation examples use.
pub const SPEED_AT_20_C: MetresPerSecond = MetresPerSecond(343.2);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::octave::OctaveBand;
    use units::table;

    #[test]
    fn octave_table_is_met_everywhere() {
        let rows = table::rows(include_str!("air/absorption.csv"));
        let mut compared = 0;
        for row in rows {
            let cell = |i: usize| table::number(row[i]);
            let air = Air::new(Celsius(cell(0)), cell(1) / 100.0, 101.325).unwrap();
            for band in OctaveBand::ALL {
                let printed = cell(3 + band.index());
                let found = air.attenuation(band.exact()).db_per_m() * 1e3;
                // Four printed digits.
                assert!(
                    (found / printed - 1.0).abs() < 6e-4,
                    "{row:?} {band:?}: {found}"
                );
                compared += 1;
            }
            let m = air.attenuation(OctaveBand::Hz4000.exact()).energy_per_m();
            assert!((m / cell(10) - 1.0).abs() < 6e-4, "{row:?}: {m}");
        }
        assert_eq!(compared, 40 * 7);
    }

    #[test]
    fn impossible_air_is_refused() {
        assert!(Air::new(Celsius(60.0), 0.5, 101.325).is_err());
        assert!(Air::new(Celsius(20.0), 50.0, 101.325).is_err());
        assert!(Air::new(Celsius(20.0), 0.0, 101.325).is_err());
        assert!(Air::new(Celsius(20.0), 0.5, f64::NAN).is_err());
    }

    #[test]
    fn both_printed_laws_of_speed_agree() {
        // ISO 9613-1 writes 343.2 √(T/293.15).
        for celsius in [0.0, 10.0, 20.0, 30.0] {
            let iso = 343.2 * ((celsius + 273.15) / 293.15_f64).sqrt();
            assert!((speed_of_sound(Celsius(celsius)).0 - iso).abs() < 0.02);
        }
    }
}
