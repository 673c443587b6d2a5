//! What spec sheets say of loudspeakers and amplifiers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Angle, Common, DataRate, Frequency, Impedance, Length, Level, Power};

/// A loudspeaker, bar or subwoofer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LoudspeakerKit {
    /// Facts that every entry may have; `size` is the outside (grille or case).
    #[serde(flatten)]
    pub common: Common,
    /// How it is fitted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub form: Option<LoudspeakerForm>,
    /// Level at 1 m on the axis for 2.83 V.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sensitivity: Option<Level>,
    /// Nominal impedance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub impedance: Option<Impedance>,
    /// Lowest impedance in its band.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub impedance_min: Option<Impedance>,
    /// Power that it takes for hours without damage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_max: Option<Power>,
    /// Power that it takes in the instant of a peak, where the maker states that as well.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_peak: Option<Power>,
    /// Highest level that it makes at 1 m on its axis, as the rms of a tone, where the maker
    /// states one; one that is powered by itself is judged by it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_max: Option<Level>,
    /// Highest level at 1 m on its axis in the instant of a peak, where the maker states that:
    /// 3 dB more than the same as a tone's rms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_peak: Option<Level>,
    /// Full angle between the directions that are 6 dB down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coverage: Option<Angle>,
    /// How its two sides play together; `monopole` when left out. The lobes of a dipole and of
    /// a bipole are to its left and right; `angled` is how far a bipole's sides are off square,
    /// `coverage` that of one side, and the sensitivity is that of its loudest direction.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pattern: Option<LoudspeakerPattern>,
    /// Diameter of the diaphragm that plays the top octaves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub driver: Option<Length>,
    /// Measured polar data as plain text: a line `frequency_hz, around_deg, off_deg, level_db`,
    /// then one line for each direction and frequency; `around_deg` clockwise from straight up
    /// as seen from in front, `off_deg` off the axis from 0 to 180.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub polar: Option<String>,
    /// How far off square its drivers can be turned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turns: Option<Angle>,
    /// How far off square its baffle is built.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub angled: Option<Angle>,
    /// The weighted sound reduction index of the wall or ceiling where it is fitted, its back
    /// box included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reduction: Option<Level>,
    /// Powers that its line transformer can be set to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taps: Option<Vec<Power>>,
    /// Lowest frequency that it plays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plays_from: Option<Frequency>,
    /// Of one that stands: from its underside up to the middle of its sound, about that of its
    /// tweeter; half its height when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sounds_up: Option<Length>,
    /// Cut-out, across and up; a round hole's diameter twice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cutout: Option<[Length; 2]>,
    /// Depth needed behind the board's face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_behind: Option<Length>,
    /// Mounting holes in its back or bracket, across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holes: Option<[Length; 2]>,
    /// Width of its bracket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bracket_width: Option<Length>,
    /// Number of amplifier channels that it asks for; 1 when left out, 0 when powered by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channels: Option<u32>,
}

/// How a loudspeaker is fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LoudspeakerForm {
    /// On the floor.
    Floor,
    /// On a stand or shelf.
    Stand,
    /// On the wall.
    OnWall,
    /// In the wall.
    InWall,
    /// In the ceiling.
    InCeiling,
    /// A bar under or over the picture.
    Bar,
    /// Outdoors in the ground or planting.
    Landscape,
    /// A subwoofer.
    Subwoofer,
}

impl LoudspeakerKit {
    /// Whether it has two sides, which it may turn along its wall.
    pub fn is_two_sided(&self) -> bool {
        matches!(
            self.pattern,
            Some(LoudspeakerPattern::Dipole | LoudspeakerPattern::Bipole)
        )
    }
}

/// How the sides of a loudspeaker play together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LoudspeakerPattern {
    /// It has one side.
    Monopole,
    /// Two sides in opposite phase: nothing goes straight ahead, seats hear it by way of walls.
    Dipole,
    /// Two sides in phase: broader than one.
    Bipole,
}

/// An amplifier or receiver.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AmplifierKit {
    /// Facts that every entry may have.
    #[serde(flatten)]
    pub common: Common,
    /// Channels for loudspeakers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channels: Option<u32>,
    /// Power of each channel with all driven.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power: Option<Power>,
    /// The load for which that power is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub into: Option<Impedance>,
    /// Lowest load that it may drive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_min: Option<Impedance>,
    /// Output impedance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source_impedance: Option<Impedance>,
    /// Zones that can play different things at once; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zones: Option<u32>,
    /// The highest data rate that passes through it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub video_rate: Option<DataRate>,
    /// Copy protection version that it passes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<String>,
}
