//! Places as people measure them: along a wall, from two walls, below a ceiling.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Length;

/// A place on a wall, facing it from inside the room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct OnWall {
    /// The wall's name.
    pub wall: String,
    /// From the wall's left corner, seen from inside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_left: Option<Length>,
    /// From the finished floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Length>,
    /// Which point of the thing was measured to. Openings: lower-left when left out;
    /// everything else: centre.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Anchor>,
}

/// The point of a thing on a wall that a place refers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Anchor {
    /// The middle.
    Centre,
    /// The middle of the lower edge.
    BottomCentre,
    /// The middle of the upper edge.
    TopCentre,
    /// The lower left corner.
    LowerLeft,
    /// The lower right corner.
    LowerRight,
    /// The upper left corner.
    UpperLeft,
    /// The upper right corner.
    UpperRight,
}

impl Anchor {
    /// The anchor's offset from the thing's centre, in halves of its width and height.
    pub fn offset(self) -> [f64; 2] {
        match self {
            Self::Centre => [0.0, 0.0],
            Self::BottomCentre => [0.0, -1.0],
            Self::TopCentre => [0.0, 1.0],
            Self::LowerLeft => [-1.0, -1.0],
            Self::LowerRight => [1.0, -1.0],
            Self::UpperLeft => [-1.0, 1.0],
            Self::UpperRight => [1.0, 1.0],
        }
    }
}

/// A distance square off a wall: `["street", "10' 4\""]`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FromWall(
    /// The wall's name.
    pub String,
    /// Square off the wall, into the room.
    pub Length,
);

/// A place in plan by its distances from two walls, standing at a height.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct InPlan {
    /// Distance from a first wall.
    pub from: FromWall,
    /// Distance from a second wall, not parallel to the first.
    pub and: FromWall,
    /// The underside's height above the floor; on the floor when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Length>,
}

/// A place below the ceiling by its distances from two walls.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Hung {
    /// Distance from a first wall.
    pub from: FromWall,
    /// Distance from a second wall, not parallel to the first.
    pub and: FromWall,
    /// From the ceiling above that point down to the thing's top; flush when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop: Option<Length>,
}
