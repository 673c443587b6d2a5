//! Cable runs from port to port.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Length, Ratio};

/// One cable from port to port.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Cable {
    /// Its label, unique among cables, such as `W07`.
    pub id: String,
    /// The cable's catalogue entry.
    pub kind: String,
    /// `item` or `item.port`.
    pub from: String,
    /// `item` or `item.port`.
    pub to: String,
    /// The way it takes. Left out: the one that costs least where the construction is known,
    /// else overhead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub way: Option<Way>,
    /// Measured legs from end to end; they replace the route by `way`, and are needed where
    /// the survey does not join the spaces of both ends.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub legs: Vec<Leg>,
    /// Spare at each end, to pull out and re-end later.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service_loop: Option<Length>,
    /// Slack as a share of the route.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slack: Option<Ratio>,
    /// The old plate or cable end where an existing cable comes out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub existing: Option<String>,
    /// Whether an existing cable is stapled or clipped inside the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fixed: Option<bool>,
    /// A ready-made cable's length, or the length of an existing one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// The spool that it is cut from; any of its kind when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spool: Option<String>,
}

/// Where a cable runs between its ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// Up the wall, above the ceiling, down the wall.
    Overhead,
    /// Down the wall, along or under the floor, up the wall.
    Underfoot,
    /// Straight between its ends, on the surface or inside a cupboard.
    Direct,
}

/// One leg of a stated route.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Leg {
    /// Where it runs.
    pub along: String,
    /// How long it is.
    pub length: Length,
}
