//! How much air carries the heat away?
//!
//! `V̇ = P/(ρ c ΔT)`: all mains power of the kit, except light and sound sent
//! out of the box, stays in it as heat.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | P | heat | W |
//! | ρ, c | density and specific heat of air, 1.204 and 1006 at 20 °C, sea level | kg/m³, J/(kg K) |
//! | ΔT | rise of the air on its way through | K |

use units::{Celsius, Kelvin, Metres, Watts};

use units::guard::{non_negative, positive};

/// One British thermal unit (International Table), J.
pub const BTU_J: f64 = 1_055.055_852_62;
/// One cubic foot per minute, m³/s.
pub const CFM_M3_PER_S: f64 = 0.3048 * 0.3048 * 0.3048 / 60.0;

/// Largest intake temperature kept as a target (common practice, no source).
pub const INTAKE_TARGET: Celsius = Celsius(35.0);
/// Usual largest intake of kit and displays; the lowest figure of the sheets rules (from memory).
pub const INTAKE_MAX: Celsius = Celsius(40.0);
/// Rise of the air through a rack kept as a target (from memory).
pub const RISE_TARGET: Kelvin = Kelvin(10.0);

/// Heat per hour in BTU/h, the unit of air-conditioning sheets.
pub fn btu_per_hour(heat: Watts) -> Option<f64> {
    Some(non_negative(heat.0)? * 3600.0 / BTU_J)
}

/// Air that flows, m³/s.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Airflow(pub f64);

impl Airflow {
    /// In cubic metres per hour.
    pub fn cubic_metres_per_hour(self) -> f64 {
        self.0 * 3600.0
    }

    /// In cubic feet per minute.
    pub fn cubic_feet_per_minute(self) -> f64 {
        self.0 / CFM_M3_PER_S
    }

    /// An airflow given in cubic feet per minute, as fan sheets print it.
    pub fn from_cubic_feet_per_minute(cfm: f64) -> Self {
        Self(cfm * CFM_M3_PER_S)
    }
}

/// Air at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Density, kg/m³.
    pub density_kg_per_m3: f64,
    /// Specific heat at constant pressure, J/(kg K).
    pub specific_heat_j_per_kg_k: f64,
}

impl Air {
    /// Dry air at 20 °C and 101 325 Pa.
    pub const SEA_LEVEL: Self = Self {
        density_kg_per_m3: 1.204,
        specific_heat_j_per_kg_k: 1006.0,
    };

    /// Air at 20 °C at an elevation of −500 m to 5000 m: pressure of the ISO 2533 standard
    /// atmosphere, `(1 − 2.25577e-5 h)^5.25588` (from memory).
    pub fn at_elevation(elevation: Metres) -> Option<Self> {
        let h = elevation.0;
        if !(-500.0..=5000.0).contains(&h) {
            return None;
        }
        let pressure_ratio = (1.0 - 2.25577e-5 * h).powf(5.25588);
        let density_kg_per_m3 = Self::SEA_LEVEL.density_kg_per_m3 * pressure_ratio;
        Some(Self {
            density_kg_per_m3,
            ..Self::SEA_LEVEL
        })
    }

    /// Heat taken up per volume and kelvin, J/(m³ K).
    pub(crate) fn heat_capacity(&self) -> Option<f64> {
        Some(positive(self.density_kg_per_m3)? * positive(self.specific_heat_j_per_kg_k)?)
    }

    /// Airflow that takes this heat away at this rise.
    pub fn airflow(&self, heat: Watts, rise: Kelvin) -> Option<Airflow> {
        Some(Airflow(
            non_negative(heat.0)? / (self.heat_capacity()? * positive(rise.0)?),
        ))
    }

    /// Rise of the air when this airflow takes this heat away.
    pub fn rise(&self, heat: Watts, airflow: Airflow) -> Option<Kelvin> {
        Some(Kelvin(
            non_negative(heat.0)? / (self.heat_capacity()? * positive(airflow.0)?),
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rise_undoes_airflow() {
        let flow = Air::SEA_LEVEL.airflow(Watts(300.0), Kelvin(10.0)).unwrap();
        let rise = Air::SEA_LEVEL.rise(Watts(300.0), flow).unwrap();
        assert!((rise.0 - 10.0).abs() < 1e-12);
        let again = Airflow::from_cubic_feet_per_minute(flow.cubic_feet_per_minute());
        assert!((again.0 - flow.0).abs() < 1e-15);
    }

    #[test]
    fn thin_air_needs_a_fifth_more_at_1500_metres() {
        let high = Air::at_elevation(Metres(1500.0)).unwrap();
        let ratio = Air::SEA_LEVEL.density_kg_per_m3 / high.density_kg_per_m3;
        assert!((ratio - 1.2).abs() < 0.005, "{ratio}");
        assert_eq!(Air::at_elevation(Metres(0.0)), Some(Air::SEA_LEVEL));
        assert_eq!(Air::at_elevation(Metres(9000.0)), None);
    }

    #[test]
    fn nonsense_gives_no_answer() {
        assert_eq!(Air::SEA_LEVEL.airflow(Watts(300.0), Kelvin(0.0)), None);
        assert_eq!(Air::SEA_LEVEL.rise(Watts(300.0), Airflow(0.0)), None);
        assert_eq!(btu_per_hour(Watts(f64::NAN)), None);
    }
}
