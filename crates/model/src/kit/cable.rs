//! What spec sheets say of cables and plates.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Common, DataRate, Force, Length, Mass, WireSize};

/// A kind of cable.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CableKit {
    /// Facts that every entry may have.
    #[serde(flatten)]
    pub common: Common,
    /// What it carries.
    pub carries: CableUse,
    /// Each conductor's size.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conductor: Option<WireSize>,
    /// Number of conductors.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conductors: Option<u32>,
    /// Outside diameter, the larger one of an oval.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diameter: Option<Length>,
    /// Whether it has electronics or fibre inside that lengthen its reach.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub active: bool,
    /// The highest data rate that it is certified for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub data_rate: Option<DataRate>,
    /// The longest length at that rate, where the maker states one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach: Option<Length>,
    /// Listed to run inside walls.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_wall: Option<bool>,
    /// Its class as printed on the jacket, such as `CL3R`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// Mass of each metre.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass_per_metre: Option<Mass>,
    /// The hardest pull that it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pull_max: Option<Force>,
    /// The tightest bend that it stands, to its inside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bend_radius: Option<Length>,
    /// Price of each metre, in the job's money.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price_per_metre: Option<f64>,
}

/// What a cable carries.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum CableUse {
    /// A loudspeaker's signal.
    Loudspeaker,
    /// A subwoofer's or other line-level signal.
    Line,
    /// Video with its sound.
    Video,
    /// Network on four pairs.
    Network,
    /// Control, triggers and infrared.
    Control,
    /// Antenna or satellite.
    Coax,
}

/// A plate, box or anything else cut into a wall or ceiling.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlateKit {
    /// Facts that every entry may have; `size` is the plate.
    #[serde(flatten)]
    pub common: Common,
    /// Cut-out, across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cutout: Option<[Length; 2]>,
    /// Depth needed behind the board's face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_behind: Option<Length>,
}
