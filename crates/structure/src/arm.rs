//! What do the weight and reach of a mount ask of each fixing?
//!
//! ```text
//! M = Σ m g x        T = M/s (turning about the lower row)   or   M/(s + e) (about the plate's heel)
//! V = Σ m g/n
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | x | distance of each mass from the wall | m |
//! | s | distance between the rows of fixings | m |
//! | e | from the lower row down to the heel of the plate | m |
//! | n | fixings that share the shear | 1 |
//!
//! Turning about the lower row is the safe model: the heel helps only where
//! plate and wall are stiff.

use units::{Kilograms, Metres, NewtonMetres, Newtons};

use crate::quantity::GRAVITY_M_S2;
use units::guard::{non_negative, positive};

/// Factor on the load of arms for a person who pulls or leans (common practice, no source).
pub const PULL_FACTOR: f64 = 2.0;
/// Load over rating that a listed mount holds in its test (UL 2442, UL 1678; from memory).
pub const LISTED_TEST_FACTOR: f64 = 4.0;

/// A mass that hangs out from the wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Mass.
    pub mass: Kilograms,
    /// Distance of its centre from the wall, arm at full reach.
    pub reach: Metres,
}

/// Moment of all loads about the wall.
pub fn moment(loads: &[Load]) -> Option<NewtonMetres> {
    loads.iter().try_fold(NewtonMetres(0.0), |sum, load| {
        let weight = non_negative(load.mass.0)? * GRAVITY_M_S2;
        Some(sum + NewtonMetres(weight * non_negative(load.reach.0)?))
    })
}

/// Weight of all loads.
pub fn weight(loads: &[Load]) -> Option<Newtons> {
    loads.iter().try_fold(Newtons(0.0), |sum, load| {
        Some(sum + Newtons(non_negative(load.mass.0)? * GRAVITY_M_S2))
    })
}

/// What the plate turns about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pivot {
    /// The lower row of fixings.
    LowerRow,
    /// The heel of the plate, this far below the lower row.
    Heel(Metres),
}

/// Two rows of fixings in a wall plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallPlate {
    /// Distance between the rows.
    pub rows_apart: Metres,
    /// Fixings in the top row.
    pub top_row: u32,
    /// Fixings in all.
    pub fixings: u32,
    /// What it turns about.
    pub pivot: Pivot,
}

/// What one fixing must hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FixingLoad {
    /// Pull on each fixing of the top row.
    pub tension: Newtons,
    /// Shear on each fixing.
    pub shear: Newtons,
}

impl WallPlate {
    /// Pull on the whole top row under this moment.
    pub fn top_row_tension(&self, moment: NewtonMetres) -> Option<Newtons> {
        let below = match self.pivot {
            Pivot::LowerRow => 0.0,
            Pivot::Heel(e) => non_negative(e.0)?,
        };
        Some(Newtons(
            non_negative(moment.0)? / (positive(self.rows_apart.0)? + below),
        ))
    }

    /// Pull and shear on each fixing, all loads times `factor` (1 or more).
    pub fn fixing_load(&self, loads: &[Load], factor: f64) -> Option<FixingLoad> {
        let factor = (factor.is_finite() && factor >= 1.0).then_some(factor)?;
        let all = (self.top_row > 0 && self.fixings >= self.top_row).then_some(self)?;
        let tension = all.top_row_tension(moment(loads)?)?.0 / f64::from(all.top_row);
        let shear = weight(loads)?.0 / f64::from(all.fixings);
        Some(FixingLoad {
            tension: Newtons(tension * factor),
            shear: Newtons(shear * factor),
        })
    }
}

impl FixingLoad {
    /// Size of the combined force on a top fixing.
    pub fn resultant(&self) -> Newtons {
        Newtons(self.tension.0.hypot(self.shear.0))
    }

    /// Angle of the combined force from the surface, for an inclined-load value.
    pub fn from_surface(&self) -> units::Radians {
        units::Radians(self.tension.0.atan2(self.shear.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lateral::InclinedLoad;
    use crate::quantity::newtons;

    const LOADS: [Load; 2] = [
        Load {
            mass: Kilograms(30.0),
            reach: Metres(0.60),
        },
        Load {
            mass: Kilograms(8.0),
            reach: Metres(0.30),
        },
    ];
    const PLATE: WallPlate = WallPlate {
        rows_apart: Metres(0.30),
        top_row: 2,
        fixings: 4,
        pivot: Pivot::LowerRow,
    };

    #[test]
    fn each_top_screw_takes_half_the_row() {
        let load = PLATE.fixing_load(&LOADS, 1.0).unwrap();
        assert!((load.tension.0 - 333.426).abs() < 0.01);
        let pulled = PLATE.fixing_load(&LOADS, PULL_FACTOR).unwrap();
        assert!((pulled.tension.0 - 2.0 * load.tension.0).abs() < 1e-9);
        assert!((pulled.resultant().0 - 2.0 * load.resultant().0).abs() < 1e-9);
    }

    #[test]
    fn combined_force_against_an_inclined_value() {
        let load = PLATE.fixing_load(&LOADS, PULL_FACTOR).unwrap();
        let value = InclinedLoad {
            withdrawal: newtons(307.0),
            lateral: newtons(159.0),
            from_surface: load.from_surface(),
        };
        // A 5/16 in lag with 1 1/2 in of thread in spruce holds this arm with a person on it.
        assert!(value.capacity().unwrap().0 > load.resultant().0);
    }

    #[test]
    fn nonsense_gives_no_answer() {
        assert_eq!(PLATE.fixing_load(&LOADS, 0.5), None);
        assert_eq!(
            WallPlate {
                top_row: 0,
                ..PLATE
            }
            .fixing_load(&LOADS, 1.0),
            None
        );
        assert_eq!(
            WallPlate {
                rows_apart: Metres(0.0),
                ..PLATE
            }
            .fixing_load(&LOADS, 1.0),
            None
        );
        assert_eq!(
            moment(&[Load {
                mass: Kilograms(f64::NAN),
                reach: Metres(1.0)
            }]),
            None
        );
        assert_eq!(moment(&[]), Some(NewtonMetres(0.0)));
    }
}
