//! What spec sheets say of devices, and of the cupboards that they stand in.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Common, Current, DataRate, Length, Power, Voltage};

/// A source, switch, extender, network or control device.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DeviceKit {
    /// Facts that every entry may have.
    #[serde(flatten)]
    pub common: Common,
    /// The highest data rate of its video ports.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub video_rate: Option<DataRate>,
    /// Copy protection version.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<String>,
    /// Lowest voltage at which its trigger input works.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trigger_min: Option<Voltage>,
    /// Current that its trigger input draws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trigger_current: Option<Current>,
    /// Power that all its network ports feed together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_budget: Option<Power>,
    /// Nominal energy of its battery, in watt hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub battery_wh: Option<f64>,
    /// Whether it keeps surges away from what is plugged into it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surge: Option<bool>,
}

/// A cupboard or rack that kit stands in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CupboardKit {
    /// Facts that every entry may have; `size` is the outside.
    #[serde(flatten)]
    pub common: Common,
    /// Faces that touch free air; the front, both sides and the top when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free_faces: Option<Vec<Face>>,
    /// Heat that passes each square metre of its panels, W/(m² K).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transmittance: Option<f64>,
    /// Free area of each of two vents, one low and one high, in square metres; shut when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vent_area: Option<crate::Area>,
    /// Height between the two vents.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vent_rise: Option<Length>,
    /// What its doors are made of; open when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub doors: Option<Doors>,
    /// Air that its fan moves, in cubic metres an hour; no fan when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fan_m3_per_h: Option<f64>,
    /// A free bay in which a subwoofer may stand: across, up, deep.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bay: Option<[Length; 3]>,
    /// Height of its rails in units of a rack, 44.45 mm each.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slots: Option<u32>,
}

/// What a cupboard's doors are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Doors {
    /// Glass: infrared passes.
    Glass,
    /// Wood or another thing that light does not pass.
    Solid,
    /// Steel: radio does not pass either.
    Steel,
}

/// A face of a box.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Face {
    /// Where the doors are.
    Front,
    /// Against the wall.
    Back,
    /// Left.
    Left,
    /// Right.
    Right,
    /// Top.
    Top,
    /// Bottom.
    Bottom,
}
