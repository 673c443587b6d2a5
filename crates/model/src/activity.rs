//! What people do with the kit: watch a film, listen on the terrace.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Something that one button starts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Activity {
    /// Short name, unique among activities.
    pub id: String,
    /// What the button says; the id when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Zones that play.
    pub zones: Vec<String>,
    /// The signal whose picture is watched; none when only listened to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture: Option<String>,
    /// Items that sound passes, from the source to what drives the loudspeakers; the picture's
    /// way as far as the zone's amplifier when left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sound: Vec<String>,
    /// The most that the source sends as sound.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub format: Option<SoundKind>,
    /// Activities that people want to be able to have at the same time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub together: Vec<String>,
}

/// How sound is sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum SoundKind {
    /// Two linear channels.
    #[serde(rename = "pcm-2")]
    Pcm2,
    /// Six linear channels.
    #[serde(rename = "pcm-6")]
    Pcm6,
    /// Eight linear channels.
    #[serde(rename = "pcm-8")]
    Pcm8,
    /// AC-3, up to six channels.
    #[serde(rename = "ac-3")]
    Ac3,
    /// The DTS core, up to six channels.
    #[serde(rename = "dts")]
    Dts,
    /// E-AC-3, with or without objects.
    #[serde(rename = "e-ac-3")]
    EAc3,
    /// Any lossless format, with or without objects.
    #[serde(rename = "lossless")]
    Lossless,
}

impl Activity {
    /// Name for people.
    pub fn label(&self) -> &str {
        self.name.as_deref().unwrap_or(&self.id)
    }
}

impl SoundKind {
    /// Every one, the least first.
    pub const ALL: [Self; 7] = [
        Self::Pcm2,
        Self::Ac3,
        Self::Dts,
        Self::EAc3,
        Self::Pcm6,
        Self::Pcm8,
        Self::Lossless,
    ];

    /// Words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Pcm2 => "two linear channels",
            Self::Pcm6 => "six linear channels",
            Self::Pcm8 => "eight linear channels",
            Self::Ac3 => "AC-3",
            Self::Dts => "DTS core",
            Self::EAc3 => "E-AC-3",
            Self::Lossless => "lossless sound",
        }
    }
}
