//! How much daylight does a room get under an overcast sky?
//!
//! DF = T A_w θ M/(A (1 − R²)), in percent with θ in degrees
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | DF | average daylight factor: light inside over light outside | % |
//! | T | transmittance of the glazing, blinds included | 1 |
//! | A_w | glass area | m² |
//! | θ | angle of sky seen from the middle of the glass | ° |
//! | M | dirt factor, 1 when clean | 1 |
//! | A | area of all room surfaces, windows included | m² |
//! | R | mean reflectance of those surfaces | 1 |
//!
//! Valid for an overcast sky, no direct sun and a room of ordinary depth. Form
//! of BS 8206-2 (from memory), value computed; 2 % is dull, 5 % bright (from
//! memory).

use units::{Lux, Radians, SquareMetres};

use crate::domain::{fraction, non_negative, positive};

/// A room with a window under an overcast sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DaylitRoom {
    /// T, transmittance of glass and blind, 0 to 1.
    pub transmittance: f64,
    /// A_w, glass area, m²; not below zero.
    pub glass: SquareMetres,
    /// θ, vertical angle of sky seen from the glass, 0 to 90°.
    pub sky_angle: Radians,
    /// M, dirt factor, 0 to 1.
    pub dirt: f64,
    /// A, area of walls, floor and ceiling with windows, m²; above zero.
    pub surfaces: SquareMetres,
    /// R, mean reflectance, 0 to below 1.
    pub reflectance: f64,
}

impl DaylitRoom {
    /// Average daylight factor as a fraction (0.02 for 2 %). `None` when a
    /// number is out of range.
    pub fn daylight_factor(self) -> Option<f64> {
        let theta = non_negative(self.sky_angle.degrees()).filter(|angle| *angle <= 90.0)?;
        let t_m = fraction(self.transmittance)? * fraction(self.dirt)?;
        let r = fraction(self.reflectance)?;
        let absorbing = positive(positive(self.surfaces.0)? * (1.0 - r * r))?;
        let percent = t_m * non_negative(self.glass.0)? * theta / absorbing;
        non_negative(percent / 100.0)
    }

    /// Mean light inside from light outside on open ground: E_in = DF E_out.
    /// `None` when a number is out of range.
    pub fn illuminance(self, outside: Lux) -> Option<Lux> {
        non_negative(self.daylight_factor()? * non_negative(outside.0)?).map(Lux)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: DaylitRoom = DaylitRoom {
        transmittance: 0.68,
        glass: SquareMetres(4.0),
        sky_angle: Radians(1.1),
        dirt: 1.0,
        surfaces: SquareMetres(110.0),
        reflectance: 0.5,
    };

    #[test]
    fn closed_blind_lets_no_light_in() {
        let closed = DaylitRoom {
            transmittance: 0.0,
            ..ROOM
        };
        assert_eq!(closed.illuminance(Lux(10_000.0)), Some(Lux(0.0)));
    }

    #[test]
    fn paler_room_is_brighter() {
        let paler = DaylitRoom {
            reflectance: 0.6,
            ..ROOM
        };
        assert!(paler.daylight_factor() > ROOM.daylight_factor());
    }

    #[test]
    fn impossible_rooms_are_refused() {
        for bad in [-0.1, 1.1, f64::NAN] {
            for room in [
                DaylitRoom {
                    transmittance: bad,
                    ..ROOM
                },
                DaylitRoom { dirt: bad, ..ROOM },
                DaylitRoom {
                    reflectance: bad,
                    ..ROOM
                },
            ] {
                assert_eq!(room.daylight_factor(), None);
            }
        }
        for room in [
            DaylitRoom {
                reflectance: 1.0,
                ..ROOM
            },
            DaylitRoom {
                surfaces: SquareMetres(0.0),
                ..ROOM
            },
            DaylitRoom {
                glass: SquareMetres(-1.0),
                ..ROOM
            },
            DaylitRoom {
                sky_angle: Radians(1.6),
                ..ROOM
            },
        ] {
            assert_eq!(room.daylight_factor(), None);
        }
        assert_eq!(ROOM.illuminance(Lux(f64::NAN)), None);
    }
}
