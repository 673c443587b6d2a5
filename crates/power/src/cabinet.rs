//! How warm does a cupboard get, closed or with vents?
//!
//! ```text
//! closed  ΔT = P/(U A)        vents  P = ρ c ΔT C_d A_v/√2 √(2 g H ΔT/T_in)
//! open front  P = ρ c ΔT C_d A_o/3 √(g H ΔT/T_in)
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | U | heat through the walls per area and kelvin | W/(m² K) |
//! | A | faces with free air on the other side | m² |
//! | A_v | free area of each of two equal openings | m² |
//! | A_o | area of the open front, through which air comes in below and goes out above | m² |
//! | H | height between their middles; of an open front its own height | m |
//! | C_d | discharge coefficient, 0.6 (from memory) | 1 |
//! | T_in | absolute temperature inside | K |
//!
//! Steady state, mixed air, no wind. Vents are good to ±25 %; carry it as
//! uncertainty. A grille has only 0.5 to 0.7 of its face free (from memory).

use units::{Celsius, Kelvin, Metres, SquareMetres, Watts};

use crate::heat::Air;
use units::guard::{non_negative, positive};

/// Heat through a single wooden panel in still air, W/(m² K), low and high end (from memory).
pub const WOOD_PANEL_U_W_PER_M2_K: [f64; 2] = [3.0, 4.0];
/// Discharge coefficient of a sharp-edged opening (from memory).
pub const DISCHARGE_COEFFICIENT: f64 = 0.6;
/// Free part of a grille's face, low and high end (from memory).
pub const GRILLE_FREE_PART: [f64; 2] = [0.5, 0.7];
/// Relative uncertainty of the vent formula.
pub const VENTS_UNCERTAINTY: f64 = 0.25;
const GRAVITY_M_S2: f64 = 9.80665;
const ZERO_CELSIUS_K: f64 = 273.15;

/// A cupboard with its doors closed and no vents.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosedCabinet {
    /// Faces with free air on the other side.
    pub free_faces: SquareMetres,
    /// Heat through them, W/(m² K).
    pub u_w_per_m2_k: f64,
}

impl ClosedCabinet {
    /// Rise over the room once steady.
    pub fn rise(&self, heat: Watts) -> Option<Kelvin> {
        let ua = positive(self.u_w_per_m2_k)? * positive(self.free_faces.0)?;
        Some(Kelvin(non_negative(heat.0)? / ua))
    }

    /// Heat that stays within this rise.
    pub fn heat_max(&self, rise: Kelvin) -> Option<Watts> {
        let ua = positive(self.u_w_per_m2_k)? * positive(self.free_faces.0)?;
        Some(Watts(ua * non_negative(rise.0)?))
    }
}

/// Two equal openings, one low and one high.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vents {
    /// Free area of each.
    pub free_area_each: SquareMetres,
    /// Height between their middles.
    pub height_apart: Metres,
    /// Discharge coefficient.
    pub discharge_coefficient: f64,
}

impl Vents {
    /// Heat carried at this rise over a room of this temperature (−40 to 60 °C).
    pub fn heat(&self, air: &Air, room: Celsius, rise: Kelvin) -> Option<Watts> {
        if !(-40.0..=60.0).contains(&room.0) {
            return None;
        }
        let dt = non_negative(rise.0)?;
        let t_in = room.0 + ZERO_CELSIUS_K + dt;
        let h = positive(self.height_apart.0)?;
        let area = positive(self.discharge_coefficient)? * positive(self.free_area_each.0)?;
        let speed = (2.0 * GRAVITY_M_S2 * h * dt / t_in).sqrt();
        let heat = air.heat_capacity()? * dt * area / std::f64::consts::SQRT_2 * speed;
        non_negative(heat).map(Watts)
    }

    /// Rise at which the vents carry this heat; `None` above 100 K, where the kit is long lost.
    pub fn rise(&self, air: &Air, room: Celsius, heat: Watts) -> Option<Kelvin> {
        rise_of(heat, |rise| self.heat(air, room, rise))
    }

    /// Free area of each opening that carries this heat at this rise, the other figures kept.
    pub fn area_needed(
        &self,
        air: &Air,
        room: Celsius,
        wanted: HeatAtRise,
    ) -> Option<SquareMetres> {
        let carried = self.heat(air, room, wanted.rise)?;
        Some(self.free_area_each * (non_negative(wanted.heat.0)? / positive(carried.0)?))
    }
}

/// One tall opening, such as a cupboard's front with its doors open: the flow of a single opening
/// with warm air behind it, C_d A/3 √(g H ΔT/T) (BS 5925:1991, table 10, from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OpenFront {
    /// Its area.
    pub area: SquareMetres,
    /// Its height.
    pub height: Metres,
    /// Discharge coefficient.
    pub discharge_coefficient: f64,
}

impl OpenFront {
    /// Heat carried at this rise over a room of this temperature (−40 to 60 °C).
    pub fn heat(&self, air: &Air, room: Celsius, rise: Kelvin) -> Option<Watts> {
        if !(-40.0..=60.0).contains(&room.0) {
            return None;
        }
        let dt = non_negative(rise.0)?;
        let t_in = room.0 + ZERO_CELSIUS_K + dt;
        let speed = (GRAVITY_M_S2 * positive(self.height.0)? * dt / t_in).sqrt();
        let area = positive(self.discharge_coefficient)? * positive(self.area.0)?;
        non_negative(air.heat_capacity()? * dt * area / 3.0 * speed).map(Watts)
    }

    /// Rise at which it carries this heat; `None` above 100 K.
    pub fn rise(&self, air: &Air, room: Celsius, heat: Watts) -> Option<Kelvin> {
        rise_of(heat, |rise| self.heat(air, room, rise))
    }
}

/// The rise at which so much heat is carried, up to 100 K. Heat grows with the rise throughout,
/// so halving finds the one crossing; 60 halvings of 100 K end far below any thermometer.
fn rise_of(heat: Watts, carried: impl Fn(Kelvin) -> Option<Watts>) -> Option<Kelvin> {
    let wanted = non_negative(heat.0)?;
    let (mut low, mut high) = (0.0, 100.0);
    if carried(Kelvin(high))?.0 < wanted {
        return None;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if carried(Kelvin(middle))?.0 < wanted {
            low = middle
        } else {
            high = middle
        }
    }
    Some(Kelvin(high))
}

/// Heat to be carried at a given rise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatAtRise {
    /// Heat.
    pub heat: Watts,
    /// Rise over the room.
    pub rise: Kelvin,
}

#[cfg(test)]
mod tests {
    use super::*;

    const VENTS: Vents = Vents {
        free_area_each: SquareMetres(0.020),
        height_apart: Metres(1.0),
        discharge_coefficient: DISCHARGE_COEFFICIENT,
    };
    const AIR: Air = Air::SEA_LEVEL;
    const ROOM: Celsius = Celsius(22.0);

    #[test]
    fn rise_and_area_undo_heat() {
        let heat = VENTS.heat(&AIR, ROOM, Kelvin(12.0)).unwrap();
        assert!((VENTS.rise(&AIR, ROOM, heat).unwrap().0 - 12.0).abs() < 1e-9);
        let twice = HeatAtRise {
            heat: heat * 2.0,
            rise: Kelvin(12.0),
        };
        let area = VENTS.area_needed(&AIR, ROOM, twice).unwrap();
        assert!((area.0 - 0.040).abs() < 1e-12);
    }

    #[test]
    fn an_open_front_carries_what_its_formula_says() {
        // 0.6 × 0.6 m × 1.2 m / 3 × √(9.80665 × 1.2 × 5 / 300.15) = 0.144 × 0.44276 = 0.063757 m³/s;
        // times 1.204 × 1006 × 5 it is 386.1 W.
        let front = OpenFront {
            area: SquareMetres(0.72),
            height: Metres(1.2),
            discharge_coefficient: 0.6,
        };
        let heat = front.heat(&AIR, ROOM, Kelvin(5.0)).unwrap();
        assert!((heat.0 - 386.1).abs() < 0.5, "{heat:?}");
        let rise = front.rise(&AIR, ROOM, heat).unwrap();
        assert!((rise.0 - 5.0).abs() < 1e-9);
        // Two vents as large as its halves, as far apart as their middles, carry more: theirs is
        // the best that an opening of that size could do.
        let halves = Vents {
            free_area_each: SquareMetres(0.36),
            height_apart: Metres(0.6),
            discharge_coefficient: 0.6,
        };
        assert!(halves.heat(&AIR, ROOM, Kelvin(5.0)).unwrap().0 > heat.0);
        assert_eq!(front.rise(&AIR, ROOM, Watts(1e6)), None);
    }

    #[test]
    fn more_heat_is_never_cooler() {
        let rise = |w: f64| VENTS.rise(&AIR, ROOM, Watts(w)).unwrap().0;
        for w in 1..60 {
            assert!(rise(f64::from(w) * 10.0) > rise(f64::from(w - 1) * 10.0));
        }
        assert_eq!(VENTS.rise(&AIR, ROOM, Watts(1e6)), None);
    }

    #[test]
    fn closed_heat_and_rise_undo_each_other() {
        let cabinet = ClosedCabinet {
            free_faces: SquareMetres(2.0),
            u_w_per_m2_k: 3.5,
        };
        assert_eq!(cabinet.rise(Watts(70.0)), Some(Kelvin(10.0)));
        assert_eq!(cabinet.heat_max(Kelvin(10.0)), Some(Watts(70.0)));
        let built_in = ClosedCabinet {
            free_faces: SquareMetres(0.0),
            ..cabinet
        };
        assert_eq!(built_in.rise(Watts(70.0)), None);
    }
}
