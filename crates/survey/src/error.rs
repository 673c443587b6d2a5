//! Why a room could not be closed.

use thiserror::Error;

use crate::{Adjusted, Observation};

/// Why a room could not be closed.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum SurveyError {
    /// A room needs three walls.
    #[error("{walls} walls do not enclose a room; measure at least 3")]
    TooFewWalls {
        /// Walls given.
        walls: usize,
    },
    /// There is one inside angle for each wall.
    #[error("{lengths} wall lengths but {angles} inside angles; give one angle for each wall")]
    CountsDiffer {
        /// Lengths given.
        lengths: usize,
        /// Angles given.
        angles: usize,
    },
    /// A length that is zero, negative or not a number.
    #[error("{observation:?} is {value} m; a length must be above zero")]
    BadLength {
        /// Which measurement.
        observation: Observation,
        /// Its value, m.
        value: f64,
    },
    /// An angle outside 0 to 2π.
    #[error(
        "the inside angle at the end of wall {wall} is {value} rad; it must lie between 0 and 2π"
    )]
    BadAngle {
        /// The wall it ends.
        wall: usize,
        /// Its value, rad.
        value: f64,
    },
    /// A standard uncertainty that is zero, negative or not a number.
    #[error("{observation:?} has standard uncertainty {sigma}; it must be above zero")]
    BadSigma {
        /// Which measurement.
        observation: Observation,
        /// Its standard uncertainty.
        sigma: f64,
    },
    /// A diagonal whose ends are not two corners of the room.
    #[error(
        "diagonal {diagonal} runs from corner {from} to corner {to}; the room has corners 0 to {last}"
    )]
    BadDiagonal {
        /// Place in the list of diagonals.
        diagonal: usize,
        /// Corner it starts at.
        from: usize,
        /// Corner it ends at.
        to: usize,
        /// The last corner of the room.
        last: usize,
    },
    /// Two walls meet where they should not.
    #[error(
        "wall {first} and wall {second} cross; one of the measurements between them is far off"
    )]
    WallsCross {
        /// The earlier wall.
        first: usize,
        /// The later wall.
        second: usize,
        /// The corners as they came out, for [`crate::suspects`] to work on.
        adjusted: Box<Adjusted>,
    },
    /// The walls close, with the inside on the left hand.
    #[error(
        "the inside angles add up to {sum_rad:.3} rad and should add up to {expected_rad:.3} rad; \
         some are outside angles or the room was walked anticlockwise"
    )]
    InsideOut {
        /// Sum of the angles given, rad.
        sum_rad: f64,
        /// (n − 2) π, rad.
        expected_rad: f64,
        /// The corners as they came out, for [`crate::suspects`] to work on.
        adjusted: Box<Adjusted>,
    },
    /// The corners kept moving.
    #[error("the corners did not settle in {iterations} steps; one of the measurements is far off")]
    DidNotConverge {
        /// Steps taken.
        iterations: usize,
    },
    /// The measurements do not fix the corners.
    #[error("the measurements do not fix the corners")]
    Singular,
}
