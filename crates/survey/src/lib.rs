//! Does the room close as measured, and if not, which wall is mistyped?
//!
//! A room is walked clockwise seen from above, the inside on the right hand:
//! wall `i` goes from corner `i` to corner `i + 1`, and the last wall ends at
//! corner 0. Lengths, inside angles and diagonals are more than the corners
//! need, so they disagree a little; [`adjust`] finds the corners that disagree
//! least, how sure each corner is and through which measurement. When they
//! disagree by more than their tolerances allow, [`suspects`] says which
//! single value is most likely mistyped and what it should have been.
//!
//! Frame: corner 0 at the origin, wall 0 along +x, so the room lies at `y < 0`
//! beside wall 0. Metres and radians throughout.
//!
//! Valid for one plane polygon with straight walls and independent errors.
//! [`suspects`] looks for one mistake at a time; two mistakes in one room may
//! hide each other, which shows as `closes_to_sigma` staying above
//! [`closing_limit`]. One kind of two is looked for: [`swaps`], walls typed in
//! each other's place.
//!
//! ```
//! use std::f64::consts::FRAC_PI_2;
//! use survey::{Diagonal, Observation, Observed, Traverse, adjust, suspects};
//!
//! let tape = |value| Observed { value, sigma: 0.003 };
//! let square = Observed { value: FRAC_PI_2, sigma: 0.009 };
//! let room = Traverse {
//!     lengths: [4.53, 4.10, 5.43, 4.10].map(tape).to_vec(), // 5.43 typed as 4.53
//!     angles: vec![square; 4],
//!     diagonals: vec![Diagonal { from: 0, to: 2, length: tape(6.804) }],
//! };
//! let adjusted = adjust(&room)?;
//! assert!(!adjusted.closes());
//! let first = &suspects(&room, &adjusted)[0];
//! assert_eq!(first.observation, Observation::Length(0));
//! assert_eq!(first.slip.map(|slip| slip.to_string()), Some("two digits swapped".into()));
//! # Ok::<(), survey::SurveyError>(())
//! ```

mod adjust;
mod error;
mod linear;
mod network;
mod polygon;
mod slip;
mod suspects;
mod swaps;

pub use adjust::{Adjusted, adjust, closing_limit};
pub use error::SurveyError;
pub use slip::Slip;
pub use suspects::{Suspect, suspects};
pub use swaps::{Swap, swaps};

/// A measured value with its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// The value as typed, m or rad.
    pub value: f64,
    /// Standard uncertainty in the unit of `value`, above zero.
    pub sigma: f64,
}

/// A room as it was walked, clockwise seen from above.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Traverse {
    /// Length of each wall, m.
    pub lengths: Vec<Observed>,
    /// Inside angle at the end of each wall, rad, between 0 and 2π: corner
    /// `i + 1` for wall `i`. A corner that nobody measured is π/2 with a
    /// `sigma` that says how square rooms are.
    pub angles: Vec<Observed>,
    /// Distances measured across the room from corner to corner.
    pub diagonals: Vec<Diagonal>,
}

/// A distance from one corner of the room to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Diagonal {
    /// Corner the tape starts at; corner `i` is the start of wall `i`.
    pub from: usize,
    /// Corner the tape ends at.
    pub to: usize,
    /// The distance, m.
    pub length: Observed,
}

/// One of the measurements of a [`Traverse`], by its place in its list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Observation {
    /// The length of a wall.
    Length(usize),
    /// The inside angle at the end of a wall.
    Angle(usize),
    /// A diagonal.
    Diagonal(usize),
}

impl Traverse {
    /// The measurements in the order of every per-measurement list of this
    /// crate: lengths, then angles, then diagonals.
    pub fn observations(&self) -> Vec<Observation> {
        let lengths = (0..self.lengths.len()).map(Observation::Length);
        let angles = (0..self.angles.len()).map(Observation::Angle);
        let diagonals = (0..self.diagonals.len()).map(Observation::Diagonal);
        lengths.chain(angles).chain(diagonals).collect()
    }

    /// The typed value behind an observation, or nothing if there is no such
    /// measurement.
    pub fn observed(&self, observation: Observation) -> Option<Observed> {
        match observation {
            Observation::Length(i) => self.lengths.get(i).copied(),
            Observation::Angle(i) => self.angles.get(i).copied(),
            Observation::Diagonal(i) => self.diagonals.get(i).map(|diagonal| diagonal.length),
        }
    }

    /// The same room with one measurement replaced.
    pub fn with_value(&self, observation: Observation, value: f64) -> Traverse {
        let mut changed = self.clone();
        let observed = match observation {
            Observation::Length(i) => changed.lengths.get_mut(i),
            Observation::Angle(i) => changed.angles.get_mut(i),
            Observation::Diagonal(i) => changed.diagonals.get_mut(i).map(|d| &mut d.length),
        };
        if let Some(observed) = observed {
            observed.value = value;
        }
        changed
    }
}
