//! Ports of kit, and the ways in which it can be controlled.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{CableUse, DataRate, Power};

/// Sockets of one sort on a thing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Port {
    /// Short name, unique on its thing: what a cable's end says behind the dot.
    pub id: String,
    /// What plugs in.
    pub kind: PortKind,
    /// Which way its signal goes; both ways when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub direction: Option<PortDirection>,
    /// How many are alike: with a count, `in` is written `in-1`, `in-2` and so on; one when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// The highest data rate that it takes; the thing's own `video_rate` when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rate: Option<DataRate>,
    /// Copy protection version of this port; the thing's own when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<String>,
    /// A video port: sound that comes back through it; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub returns: Option<SoundReturn>,
    /// A network port: the least power that it feeds into its cable.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub feeds: Option<Power>,
    /// A network port: the most power that its thing draws from the cable.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub draws: Option<Power>,
}

/// What plugs into a port.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum PortKind {
    /// Video with its sound.
    Video,
    /// Digital sound, optical or coaxial.
    Sound,
    /// Line level.
    Line,
    /// A loudspeaker's terminals.
    Loudspeaker,
    /// Network on four pairs.
    Network,
    /// USB.
    Usb,
    /// A trigger of 12 V.
    Trigger,
    /// Infrared by wire.
    Infrared,
    /// Serial control.
    Serial,
    /// Antenna or satellite.
    Coax,
}

/// Which way a port's signal goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PortDirection {
    /// Into its thing.
    In,
    /// Out of its thing.
    Out,
}

/// Sound that a video port sends back to where the picture comes from, or takes from there.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SoundReturn {
    /// The return channel: as much as an optical link.
    Plain,
    /// The enhanced return channel: eight channels and lossless formats.
    Enhanced,
}

/// A way to control a thing.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Control {
    /// Infrared light.
    Infrared,
    /// Serial commands by wire.
    Serial,
    /// Commands over the network.
    Network,
    /// A trigger of 12 V.
    Trigger,
    /// Radio.
    Radio,
}

impl Port {
    /// The names that a cable's end may say: its id, or one for each of several alike.
    pub fn names(&self) -> Vec<String> {
        match self.count {
            None => vec![self.id.clone()],
            Some(count) => (1..=count).map(|n| format!("{}-{n}", self.id)).collect(),
        }
    }

    /// Whether a cable's end of this name is one of its sockets.
    pub fn is_named(&self, name: &str) -> bool {
        let Some(count) = self.count else {
            return name == self.id;
        };
        let number = (name.strip_prefix(&self.id)).and_then(|rest| rest.strip_prefix('-'));
        number.is_some_and(|number| {
            !number.starts_with('0') && number.parse().is_ok_and(|n: u32| (1..=count).contains(&n))
        })
    }
}

impl PortKind {
    /// Whether a cable for this use plugs in.
    pub fn takes(self, carries: CableUse) -> bool {
        match carries {
            CableUse::Loudspeaker => self == Self::Loudspeaker,
            CableUse::Line => matches!(self, Self::Line | Self::Sound),
            CableUse::Video => self == Self::Video,
            CableUse::Network => self == Self::Network,
            CableUse::Control => matches!(
                self,
                Self::Trigger | Self::Infrared | Self::Serial | Self::Usb
            ),
            CableUse::Coax => matches!(self, Self::Coax | Self::Sound),
        }
    }

    /// Words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Video => "video",
            Self::Sound => "digital sound",
            Self::Line => "line",
            Self::Loudspeaker => "loudspeaker",
            Self::Network => "network",
            Self::Usb => "USB",
            Self::Trigger => "trigger",
            Self::Infrared => "infrared",
            Self::Serial => "serial",
            Self::Coax => "antenna",
        }
    }
}

impl Control {
    /// Words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Infrared => "infrared",
            Self::Serial => "serial",
            Self::Network => "network",
            Self::Trigger => "trigger",
            Self::Radio => "radio",
        }
    }
}

/// A cable's end as its item and, where one is written, its port.
pub fn cable_end(end: &str) -> (&str, Option<&str>) {
    match end.split_once('.') {
        Some((item, port)) => (item, Some(port)),
        None => (end, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_alike_are_numbered_from_one() {
        let port = |count| Port {
            id: "in".to_owned(),
            kind: PortKind::Video,
            direction: Some(PortDirection::In),
            count,
            rate: None,
            protection: None,
            returns: None,
            feeds: None,
            draws: None,
        };
        assert_eq!(port(None).names(), ["in"]);
        assert_eq!(port(Some(2)).names(), ["in-1", "in-2"]);
        assert!(port(None).is_named("in") && !port(None).is_named("in-1"));
        let two = port(Some(2));
        for name in ["in", "in-0", "in-3", "in-01", "in-x", "in-"] {
            assert!(!two.is_named(name), "{name}");
        }
        assert!(two.is_named("in-1") && two.is_named("in-2"));
    }

    #[test]
    fn an_end_may_leave_its_port_out() {
        assert_eq!(cable_end("receiver"), ("receiver", None));
        assert_eq!(cable_end("receiver.in-1"), ("receiver", Some("in-1")));
    }
}
