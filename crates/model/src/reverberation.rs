//! How long a room rings, as somebody measured it, and what has changed in the room since.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Covering, CoveringPlan, Duration, Space};

/// What [`Space::reverberation`](crate::Space::reverberation) is called in a path.
pub const REVERBERATION: &str = "reverberation";

/// How long a room rings, as measured: the time in which sound falls by 60 dB, by octave.
/// Octaves that nobody measured are left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Reverberation {
    /// The reverberation time at 125 Hz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hz_125: Option<Duration>,
    /// The reverberation time at 250 Hz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hz_250: Option<Duration>,
    /// The reverberation time at 500 Hz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hz_500: Option<Duration>,
    /// The reverberation time at 1 kHz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hz_1000: Option<Duration>,
    /// The reverberation time at 2 kHz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hz_2000: Option<Duration>,
    /// The reverberation time at 4 kHz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hz_4000: Option<Duration>,
    /// What sounded; a clap when left out. Sweeps and noise are loud: keep ears away or protected.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<DecayBy>,
    /// From how many different places of source and microphone; 1 when left out. Each more makes
    /// the times surer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub places: Option<u32>,
}

impl Reverberation {
    /// The octaves' times from 125 Hz to 4 kHz, with their keys.
    pub fn octaves(&self) -> [(&'static str, Option<&Duration>); 6] {
        [
            ("hz_125", self.hz_125.as_ref()),
            ("hz_250", self.hz_250.as_ref()),
            ("hz_500", self.hz_500.as_ref()),
            ("hz_1000", self.hz_1000.as_ref()),
            ("hz_2000", self.hz_2000.as_ref()),
            ("hz_4000", self.hz_4000.as_ref()),
        ]
    }

    /// Whether any octave has a time.
    pub fn is_measured(&self) -> bool {
        self.octaves()
            .into_iter()
            .any(|(_, time)| time.is_some_and(|time| time.value().is_some()))
    }
}

/// What a room was made to ring with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DecayBy {
    /// A clap or a balloon.
    #[default]
    Clap,
    /// A sweep through a loudspeaker.
    Sweep,
    /// Noise that is cut off, once at each place.
    Noise,
}

impl Space {
    /// The coverings that are there once the job is done.
    pub fn coverings(&self) -> impl Iterator<Item = &Covering> {
        let stays = |covering: &&Covering| covering.planned != Some(CoveringPlan::ToGo);
        self.covering.iter().filter(stays)
    }

    /// The coverings that were there when the room was measured.
    pub fn coverings_before(&self) -> impl Iterator<Item = &Covering> {
        let was = |covering: &&Covering| covering.planned != Some(CoveringPlan::ToCome);
        self.covering.iter().filter(was)
    }

    /// Whether coverings come or go after the measurement.
    pub fn has_planned_coverings(&self) -> bool {
        (self.covering.iter()).any(|covering| covering.planned.is_some())
    }

    /// Whether its reverberation was measured in an octave at least.
    pub fn has_measured_reverberation(&self) -> bool {
        (self.reverberation.as_ref()).is_some_and(Reverberation::is_measured)
    }
}
