//! What spec sheets say of arms, mounts and brackets.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Angle, Common, Length, Mass};

/// An arm, mount or bracket.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MountKit {
    /// Facts that every entry may have; `size` is the wall plate or the bracket.
    #[serde(flatten)]
    pub common: Common,
    /// The heaviest thing that it may carry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carries: Option<Mass>,
    /// From the wall to the thing's mounting face, parked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standoff: Option<Length>,
    /// From the wall to the mounting face at full reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach: Option<Length>,
    /// How far it pulls down from its parked height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pull_down: Option<Length>,
    /// Length of the links that it swings down on, each as long as the other; without it the way
    /// is taken as straight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub link: Option<Length>,
    /// How far it turns to each side at full reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turns: Option<Angle>,
    /// Greatest tilt downwards.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt_down: Option<Angle>,
    /// Shortest and longest drop, from the ceiling to the top of what hangs from it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop: Option<[Length; 2]>,
    /// The steepest ceiling that it, or its adaptor, levels out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slope_max: Option<Angle>,
    /// Hole patterns that it takes, each across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub takes: Option<Vec<[Length; 2]>>,
    /// An adapter plate: the hole pattern of its back, across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offers: Option<[Length; 2]>,
    /// Screws into the wall, in all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screws: Option<u32>,
    /// The screws' nominal diameter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screw_diameter: Option<Length>,
    /// Length of thread in the wood.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thread_in_wood: Option<Length>,
    /// Distance between the upper and the lower row of screws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub row_spacing: Option<Length>,
    /// Distance between the outer screws of a row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screw_spread: Option<Length>,
    /// From the lower row of screws to the plate's lower edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heel: Option<Length>,
}
