//! The whole job.

use std::collections::BTreeMap;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Method, Reading};

use crate::{
    Activity, Angle, Cable, Catalogue, Circuit, Frequency, HorizonPoint, Item, Kit, Length,
    Measurements, Pathway, Rates, Signal, Space, Spool, Temperature, Voltage, Zone,
};

/// The format that this crate reads and writes.
pub const FORMAT: u32 = 1;

/// One job: everything known about a house and what is to be fitted in it. Edited copies share
/// what an edit leaves alone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Job {
    /// The file format's number: 1.
    pub format: u32,
    /// Who and what for.
    pub job: Header,
    /// Where the house is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub site: Option<Site>,
    /// How measurements were taken.
    #[serde(default)]
    pub survey: Survey,
    /// What the crew's time costs.
    #[serde(default)]
    pub rates: Rates,
    /// Rooms and outdoor areas.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub space: Vec<Arc<Space>>,
    /// Mains circuits.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub circuit: Arc<Vec<Circuit>>,
    /// The catalogue.
    #[serde(default)]
    pub kit: Arc<Catalogue>,
    /// What is placed, by catalogue entry.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub item: Vec<Arc<Item>>,
    /// What plays where.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub zone: Arc<Vec<Zone>>,
    /// Cables.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cable: Vec<Arc<Cable>>,
    /// Conduits, chases and closets that cables can take.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub pathway: Arc<Vec<Pathway>>,
    /// Cable in stock.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub spool: Arc<Vec<Spool>>,
    /// Ways of picture and sound.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub signal: Arc<Vec<Signal>>,
    /// What people do with it.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub activity: Arc<Vec<Activity>>,
    /// Limits that this house changes, each with its reason.
    #[serde(default, skip_serializing_if = "Rules::is_empty")]
    pub rules: Rules,
    /// Every measurement of the document, in its order; shared with edited copies.
    #[serde(skip)]
    pub measurements: Measurements,
}

fn is_empty<T>(list: &Arc<Vec<T>>) -> bool {
    list.is_empty()
}

/// One measurement's place in the document and what was written there.
#[derive(Clone, Debug, PartialEq)]
pub struct Measurement {
    /// Its path, such as `space.loft.walls.street.length`.
    pub path: String,
    /// What was written.
    pub text: String,
    /// What it reads as.
    pub reading: Reading,
}

/// Who and what for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Header {
    /// The job's name.
    pub name: String,
    /// Who it is for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub customer: Option<String>,
    /// How results are printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub units: Option<Units>,
    /// The region whose customary limits apply.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rules: Option<Region>,
    /// Counts up with each issue of the sheets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revision: Option<u32>,
    /// The date that the sheets carry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
}

/// The system in which results are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// Feet and inches.
    Imperial,
    /// Metres and millimetres.
    #[default]
    Metric,
}

/// Regions whose customary limits ship with the tool.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Region {
    /// The United States and Canada.
    #[default]
    Us,
    /// Europe.
    Eu,
}

/// Where the house is.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Site {
    /// North positive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub latitude: Option<Angle>,
    /// East positive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longitude: Option<Angle>,
    /// As `Europe/Oslo`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_zone: Option<String>,
    /// Above the sea.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub elevation: Option<Length>,
    /// Above which the sky begins, all round; open where left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub horizon: Vec<HorizonPoint>,
    /// The coldest that it gets outdoors.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coldest: Option<Temperature>,
    /// The hottest that it gets outdoors, in the shade.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hottest: Option<Temperature>,
    /// The mains.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mains: Option<Mains>,
    /// Addresses of what is wired to the network.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub network: Option<Network>,
}

/// The part of the house's network that is given to the kit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Network {
    /// First address, as `192.168.20.40`.
    pub first: String,
    /// Last address, in the same network of 254.
    pub last: String,
}

impl Network {
    /// An address as its four numbers, as `192.168.20.40`.
    pub fn address(text: &str) -> Option<[u8; 4]> {
        let mut parts = text.trim().split('.').map(|part| part.parse::<u8>().ok());
        let mut next = || parts.next().flatten();
        let address = [next()?, next()?, next()?, next()?];
        parts.next().is_none().then_some(address)
    }
}

/// The mains.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Mains {
    /// Between live and neutral.
    pub voltage: Voltage,
    /// 50 or 60 Hz.
    pub frequency: Frequency,
}

/// How measurements were taken.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Survey {
    /// How every length of the survey was taken that does not say otherwise; by tape when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<TakenBy>,
}

/// Ways to take a length, each with its tolerance.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TakenBy {
    /// With a laser: ±3 mm.
    Laser,
    /// With a tape: ±6 mm.
    #[default]
    Tape,
    /// Off a drawing: ±50 mm.
    Drawing,
    /// Paced: ±150 mm.
    Paced,
    /// Guessed: ±300 mm.
    Guess,
}

impl From<TakenBy> for Method {
    fn from(by: TakenBy) -> Self {
        match by {
            TakenBy::Laser => Self::Laser,
            TakenBy::Tape => Self::Tape,
            TakenBy::Drawing => Self::Drawing,
            TakenBy::Paced => Self::Paced,
            TakenBy::Guess => Self::Guess,
        }
    }
}

/// Limits that a house changes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Rules {
    /// Why each limit was changed; the sheets print it.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub reason: BTreeMap<String, String>,
    /// Each changed limit by name, as it was written.
    #[serde(flatten)]
    pub limits: BTreeMap<String, String>,
}

impl Rules {
    fn is_empty(&self) -> bool {
        self.limits.is_empty() && self.reason.is_empty()
    }
}

impl Job {
    /// The space of that name.
    pub fn space(&self, id: &str) -> Option<&Arc<Space>> {
        self.space.iter().find(|space| space.id == id)
    }

    /// The item of that name.
    pub fn item(&self, id: &str) -> Option<&Arc<Item>> {
        self.item.iter().find(|item| item.id == id)
    }

    /// The catalogue entry of that name.
    pub fn kit(&self, id: &str) -> Option<Kit<'_>> {
        self.kit.all().find(|kit| kit.common().id == id)
    }

    /// The catalogue entry of an item.
    pub fn kit_of(&self, item: &Item) -> Option<Kit<'_>> {
        self.kit(&item.is)
    }

    /// The zone of that name.
    pub fn zone(&self, id: &str) -> Option<&Zone> {
        self.zone.iter().find(|zone| zone.id == id)
    }

    /// The circuit of that name.
    pub fn circuit(&self, id: &str) -> Option<&Circuit> {
        self.circuit.iter().find(|circuit| circuit.id == id)
    }

    /// The space that an item is in, its own or that of the item that holds it.
    pub fn space_of(&self, item: &Item) -> Option<&Arc<Space>> {
        let mut holder = item;
        // A chain longer than the number of items would be a cycle, which the reader refuses.
        for _ in 0..=self.item.len() {
            if let Some(space) = &holder.space {
                return self.space(space);
            }
            match holder.inside.as_deref().and_then(|id| self.item(id)) {
                Some(next) => holder = next,
                None => break,
            }
        }
        if self.space.len() == 1 && holder.is_placed() {
            self.space.first()
        } else {
            None
        }
    }

    /// The system in which results are printed.
    pub fn units(&self) -> Units {
        self.job.units.unwrap_or_default()
    }
}

impl Item {
    /// Whether it has a place of its own.
    pub fn is_placed(&self) -> bool {
        self.on.is_some() || self.at.is_some() || self.hung.is_some()
    }
}

impl Space {
    /// Name for people.
    pub fn label(&self) -> &str {
        self.name.as_deref().unwrap_or(&self.id)
    }

    /// The wall's index by name.
    pub fn wall(&self, id: &str) -> Option<usize> {
        self.walls.iter().position(|wall| wall.id == id)
    }

    /// The fixture of that name.
    pub fn fixture(&self, id: &str) -> Option<&crate::Fixture> {
        self.fixture.iter().find(|fixture| fixture.id == id)
    }

    /// What a wall, `ceiling` or `floor` is made of.
    pub fn construction_of(&self, surface: &str) -> Option<&crate::Construction> {
        self.construction
            .iter()
            .find(|construction| construction.of == surface)
    }
}
