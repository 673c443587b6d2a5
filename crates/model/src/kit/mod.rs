//! The catalogue: what spec sheets say of each thing that may be fitted.

mod cable;
mod device;
mod mount;
mod picture;
mod sound;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use cable::*;
pub use device::*;
pub use mount::*;
pub use picture::*;
pub use sound::*;

use crate::{Control, Current, Duration, Length, Mass, Port, Power, Temperature};

/// Every catalogue entry, by kind: `[[kit.projector]]`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Catalogue {
    /// Projection screens.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub screen: Vec<ScreenKit>,
    /// Projectors.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub projector: Vec<ProjectorKit>,
    /// Flat displays.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub display: Vec<DisplayKit>,
    /// Arms, mounts and brackets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mount: Vec<MountKit>,
    /// Loudspeakers of all kinds, bars and subwoofers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub loudspeaker: Vec<LoudspeakerKit>,
    /// Amplifiers and receivers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub amplifier: Vec<AmplifierKit>,
    /// Sources, switches, extenders, network and control kit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub device: Vec<DeviceKit>,
    /// Cupboards and racks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cupboard: Vec<CupboardKit>,
    /// Cable by kind.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cable: Vec<CableKit>,
    /// Plates, boxes and whatever else is cut into a wall.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub plate: Vec<PlateKit>,
}

/// Facts that every catalogue entry may have.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Common {
    /// Short name, unique in the whole catalogue.
    pub id: String,
    /// Name for people; the id when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Outside width, height and depth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<[Length; 3]>,
    /// Mass without packing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass: Option<Mass>,
    /// Mains power drawn at its highest in use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watts: Option<Power>,
    /// Of its mains power, the part that stays as heat where it stands; all of it when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heat: Option<Power>,
    /// Highest surrounding temperature that it is rated for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_to: Option<Temperature>,
    /// Its ports; without them a cable's end may name any.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub port: Vec<Port>,
    /// Ways of control that it accepts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub control: Option<Vec<Control>>,
    /// Ways of control that it gives to other things.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sends: Option<Vec<Control>>,
    /// Time that a picture takes through it, in the mode used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture_delay: Option<Duration>,
    /// Time that sound takes through it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound_delay: Option<Duration>,
    /// Height in units of a rack, 44.45 mm each; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rack_units: Option<u32>,
    /// Highest current in the first half cycle after it is switched on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inrush: Option<Current>,
    /// Where each fact was read, by the fact's name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub read_from: BTreeMap<String, String>,
}

/// Any catalogue entry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kit<'a> {
    /// A projection screen.
    Screen(&'a ScreenKit),
    /// A projector.
    Projector(&'a ProjectorKit),
    /// A flat display.
    Display(&'a DisplayKit),
    /// An arm, mount or bracket.
    Mount(&'a MountKit),
    /// A loudspeaker.
    Loudspeaker(&'a LoudspeakerKit),
    /// An amplifier or receiver.
    Amplifier(&'a AmplifierKit),
    /// A source or other device.
    Device(&'a DeviceKit),
    /// A cupboard or rack.
    Cupboard(&'a CupboardKit),
    /// A cable kind.
    Cable(&'a CableKit),
    /// A plate or box.
    Plate(&'a PlateKit),
}

impl<'a> Kit<'a> {
    /// The facts that every entry may have.
    pub fn common(self) -> &'a Common {
        match self {
            Self::Screen(kit) => &kit.common,
            Self::Projector(kit) => &kit.common,
            Self::Display(kit) => &kit.common,
            Self::Mount(kit) => &kit.common,
            Self::Loudspeaker(kit) => &kit.common,
            Self::Amplifier(kit) => &kit.common,
            Self::Device(kit) => &kit.common,
            Self::Cupboard(kit) => &kit.common,
            Self::Cable(kit) => &kit.common,
            Self::Plate(kit) => &kit.common,
        }
    }

    /// The word after `kit.` in the job file.
    pub fn kind(self) -> &'static str {
        match self {
            Self::Screen(_) => "screen",
            Self::Projector(_) => "projector",
            Self::Display(_) => "display",
            Self::Mount(_) => "mount",
            Self::Loudspeaker(_) => "loudspeaker",
            Self::Amplifier(_) => "amplifier",
            Self::Device(_) => "device",
            Self::Cupboard(_) => "cupboard",
            Self::Cable(_) => "cable",
            Self::Plate(_) => "plate",
        }
    }
}

impl Catalogue {
    /// Every entry in the order of kinds, then of the file.
    pub fn all(&self) -> impl Iterator<Item = Kit<'_>> {
        (self.screen.iter().map(Kit::Screen))
            .chain(self.projector.iter().map(Kit::Projector))
            .chain(self.display.iter().map(Kit::Display))
            .chain(self.mount.iter().map(Kit::Mount))
            .chain(self.loudspeaker.iter().map(Kit::Loudspeaker))
            .chain(self.amplifier.iter().map(Kit::Amplifier))
            .chain(self.device.iter().map(Kit::Device))
            .chain(self.cupboard.iter().map(Kit::Cupboard))
            .chain(self.cable.iter().map(Kit::Cable))
            .chain(self.plate.iter().map(Kit::Plate))
    }
}
