//! Catalogue entries placed in the house, and what plays where.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Angle, Area, Avoid, Duration, Hung, InPlan, Length, Level, OnWall, Power, Ratio};

/// One catalogue entry, placed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Item {
    /// Short name, unique among items.
    pub id: String,
    /// The catalogue entry.
    pub is: String,
    /// Name for people; the id when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The space that it is in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub space: Option<String>,
    /// On a wall: its centre unless said otherwise. A display on an arm: parked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<OnWall>,
    /// Standing: its middle in plan; a projector: its case's middle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<InPlan>,
    /// Hanging from the ceiling: its middle in plan; in the ceiling when `drop` is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hung: Option<Hung>,
    /// Inside another item, such as a cupboard.
    #[serde(default, rename = "in", skip_serializing_if = "Option::is_none")]
    pub inside: Option<String>,
    /// A projector: the screen that it lights.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lights: Option<String>,
    /// The arm, mount or bracket that carries it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mount: Option<String>,
    /// An adapter plate between it and its mount: an item.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adapter: Option<String>,
    /// What hangs on an arm: the cable that hangs free between the wall and it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loose_cable: Option<Length>,
    /// A screen: aspects of what is watched on it; its own alone when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shows: Option<Vec<Ratio>>,
    /// The picture that a bar or centre loudspeaker belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub under: Option<String>,
    /// Tilt downwards.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt: Option<Angle>,
    /// A display on an arm that turns: turned to the right as seen from the seats, at full reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turn: Option<Angle>,
    /// How drivers that turn, or an angled baffle, are set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aim: Option<Aim>,
    /// A loudspeaker that stands: how it is turned; towards the main seat when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turned: Option<Turned>,
    /// The power that its line transformer is set to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tap: Option<Power>,
    /// A subwoofer: what is set on it; nothing when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bass: Option<BassSetting>,
    /// The zone that it plays in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    /// The channel that it plays, such as `left-surround`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channel: Option<String>,
    /// The amplifier that drives it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub driven_by: Option<String>,
    /// Delay that is set in it, so that sound meets the picture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound_delay: Option<Duration>,
    /// What it is plugged into between it and the wall's socket: an item with a battery or
    /// protection against surges.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plugged_into: Option<String>,
    /// How long after the first thing of its circuit it is switched on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_delay: Option<Duration>,
    /// The lowest unit of its rack that it takes, counted from the bottom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slot: Option<u32>,
    /// The mains circuit that it hangs on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub circuit: Option<String>,
    /// An old plate whose hole and cable it takes over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reuses: Option<String>,
    /// In the house already, so that its place is measured and not chosen.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub existing: bool,
    /// Number of the same thing, for what is counted and not placed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// A note for the crew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// How a loudspeaker's drivers are set, as a fitter reads it off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Aim {
    /// Clockwise as seen when one looks at it: from straight up on a wall; in the ceiling,
    /// looking up, from the first wall that its place is measured from.
    pub dial: Angle,
    /// Off square; a fixed baffle's own angle when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub off: Option<Angle>,
}

/// How a loudspeaker that stands is turned, as a fitter measures it off a wall.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Turned {
    /// The wall that it is measured from.
    pub wall: String,
    /// Off straight away from that wall: to the right as one looks at it from in front; with a
    /// minus to the left.
    pub by: Angle,
}

/// What is set on one subwoofer, at the processor or on its back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BassSetting {
    /// Gain against the loudest subwoofer, which has 0 dB; 0 dB when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gain: Option<Level>,
    /// Delay; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delay: Option<Duration>,
    /// Whether its polarity is turned.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub inverted: bool,
}

/// Loudspeakers that play one thing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Zone {
    /// Short name, unique among zones.
    pub id: String,
    /// Name for people; the id when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The space whose seats it serves.
    pub space: String,
    /// The layout, as `5.1.4` or `4+5+0`: `dryfit explain layouts` lists them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub layout: Option<String>,
    /// The picture that its seats face: an item.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub faces: Option<String>,
    /// Peak level promised at each seat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub peak_level: Option<Level>,
    /// Amplifiers that feed it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub amplifiers: Vec<String>,
}

/// A way that picture and sound take, device by device.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Signal {
    /// Short name, unique among signals.
    pub id: String,
    /// Items from source to picture, in order.
    pub through: Vec<String>,
    /// Picture elements and frames, as `3840x2160p60`.
    pub format: String,
    /// Chroma sampling: `4:4:4` when left out, `4:2:2` or `4:2:0`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chroma: Option<String>,
    /// Bits for each component; 8 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bits: Option<u32>,
    /// Copy protection that the content asks for, as `2.2`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<String>,
}

/// What the crew's hour and usual tasks cost; common practice where left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Rates {
    /// Money's code, as `USD`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub currency: Option<String>,
    /// One person's hour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hour: Option<f64>,
    /// Time to patch and move one plate within its stud bay.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plate_move: Option<Duration>,
    /// Time for one hole through a plate, stud or block.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hole: Option<Duration>,
    /// Time to pull each metre of cable through framing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pull_per_metre: Option<Duration>,
    /// Time to open a board at one place and close it again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub open_board: Option<Duration>,
    /// Time to take each metre of baseboard off and put it on again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub baseboard_per_metre: Option<Duration>,
    /// What one more mains socket costs, run and connected by a licensed electrician.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mains_socket: Option<f64>,
    /// What a sender and a receiver cost that take one subwoofer's signal without wire.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wireless_link: Option<f64>,
    /// Whether a licensed trade is booked that may drill walls rated against fire.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub licensed: Option<bool>,
    /// What a cable's way avoids, as time that it is worth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub avoid: Option<Avoid>,
    /// What the shop hangs, lays and sells against an echoing room.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub treatment: Vec<Treatment>,
}

/// A rug, curtain or panel that the shop sells.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Treatment {
    /// Short name, unique among treatments.
    pub id: String,
    /// Name for people; the id when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// A name that `dryfit explain finishes` lists.
    pub finish: String,
    /// Where it can go: `floor`, `ceiling`, `walls`.
    pub over: Vec<TreatmentPlace>,
    /// Price of a piece, or of each square metre where it is cut to size, in the job's money.
    pub price: f64,
    /// What one piece covers; cut to size when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<Area>,
    /// What fitting any of it costs beside its price.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fitting: Option<f64>,
    /// The most that the shop has, in pieces or square metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most: Option<f64>,
}

/// Surfaces that a treatment is made for.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum TreatmentPlace {
    /// Lies on the floor.
    Floor,
    /// Hangs below the ceiling.
    Ceiling,
    /// Hangs on walls.
    Walls,
}

/// Cable in stock.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Spool {
    /// Short name, unique among spools.
    pub id: String,
    /// The cable's catalogue entry.
    pub kind: String,
    /// What is left on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
}
