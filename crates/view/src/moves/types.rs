//! The shapes of a move, and of what comes of it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Edit;

/// A body's middle, moved.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Move {
    /// The body's id in its scene.
    pub of: String,
    /// The space whose scene it is; may be left out for items, and where the id is of one
    /// space only.
    #[serde(default)]
    pub space: Option<String>,
    /// Where its middle goes.
    #[serde(flatten)]
    pub to: MoveTo,
}

/// Where a body's middle goes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum MoveTo {
    /// On a wall.
    Wall {
        /// The wall's name.
        wall: String,
        /// From the wall's left corner, seen from inside, m.
        along_m: f64,
        /// Above the floor, m.
        height_m: f64,
    },
    /// In plan.
    Plan {
        /// Along the first wall, m.
        x: f64,
        /// Square to that, m.
        y: f64,
        /// Above the floor, m; as it is when left out.
        #[serde(default)]
        height_m: Option<f64>,
    },
}

/// A move in the form in which the place is written.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Moved {
    /// What to write; nothing where it stays where it is.
    pub edits: Vec<Edit>,
    /// Where it is then, and what kept it from going all the way.
    pub says: String,
    /// Whether wall or room kept it from going all the way.
    pub held: bool,
}

/// Why a body can't be moved there.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{message}")]
pub struct MoveError {
    /// What is wrong.
    pub message: String,
    /// What to do instead.
    pub hint: String,
    /// The path of the thing in the document, where there is one.
    pub at: Option<String>,
}
