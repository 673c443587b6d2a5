//! Cable runs from port to port.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Edit, Length, Ratio};

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
    /// What its way keeps out of, besides what no crew uses unasked: the cheapest of the other ways
    /// is taken.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub keeps_out_of: Vec<WayThrough>,
    /// What its way goes round: single parts of the house, where others of their kind may be drilled.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub goes_round: Vec<GoesRound>,
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

/// A part of one wall, ceiling or floor that a cable's way is not drilled through.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub struct GoesRound {
    /// The space.
    pub space: String,
    /// A wall's name, `ceiling` or `floor`.
    pub of: String,
    /// The part.
    pub part: FramingPart,
    /// Which row of blocks, 1 the lowest; the lowest when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub row: Option<u32>,
}

/// Parts of framing that are drilled for a cable.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum FramingPart {
    /// A row of blocks between a wall's studs.
    FireBlock,
    /// The plate over a wall's studs.
    TopPlate,
    /// The plate under a wall's studs.
    SolePlate,
    /// A wall's studs.
    Studs,
    /// A wall's board.
    Board,
    /// The joists or rafters of a ceiling or floor.
    Joists,
}

/// What a cable runs through on its way.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum WayThrough {
    /// Up or down between studs.
    StudBays,
    /// Through studs, inside the wall.
    Studs,
    /// Through a block between studs.
    FireBlock,
    /// Through the plates under and over the studs.
    Plates,
    /// Through the boards of a wall.
    Board,
    /// Along between joists or rafters.
    JoistBays,
    /// Through joists or rafters.
    Joists,
    /// Through an attic.
    Attic,
    /// Through the crawl space.
    CrawlSpace,
    /// Inside a box below the ceiling.
    Soffit,
    /// Through a closet, floor to floor.
    Closet,
    /// Inside a conduit or an open chase.
    Conduit,
    /// From a thing to the plate in the wall behind it.
    Lead,
    /// Behind the baseboard.
    Baseboard,
    /// Across a doorway.
    Doorway,
    /// Under a rug.
    Rug,
    /// On the surface, for all to see.
    Surface,
    /// In a slot cut into masonry or concrete.
    Masonry,
}

impl Cable {
    /// Whether it is cut from a spool: it neither comes ready-made nor lies in the wall already.
    pub fn is_cut(&self) -> bool {
        self.length.is_none() && self.existing.is_none()
    }

    /// What makes its way keep out of these too. The cheapest way that leaves them out is then
    /// the one that it takes.
    pub fn kept_out_of(&self, these: &[WayThrough]) -> Edit {
        let mut all = self.keeps_out_of.clone();
        all.extend(these);
        all.sort_unstable();
        all.dedup();
        let all = serde_json::to_value(all).expect("words are a list of texts");
        Edit::set(format!("cable.{}.keeps_out_of", self.id), all)
    }

    /// What makes its way go round this too.
    pub fn gone_round(&self, this: GoesRound) -> Edit {
        let mut all = self.goes_round.clone();
        all.push(this);
        all.sort_unstable();
        all.dedup();
        let all = serde_json::to_value(all).expect("words are a list of tables");
        Edit::set(format!("cable.{}.goes_round", self.id), all)
    }
}

impl WayThrough {
    /// Words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::StudBays => "the stud bays",
            Self::Studs => "the studs",
            Self::FireBlock => "the fire block",
            Self::Plates => "the plates",
            Self::Board => "the board",
            Self::JoistBays => "the joist bays",
            Self::Joists => "the joists",
            Self::Attic => "the attic",
            Self::CrawlSpace => "the crawl space",
            Self::Soffit => "the soffit",
            Self::Closet => "the closet",
            Self::Conduit => "the conduit",
            Self::Lead => "a lead to the wall",
            Self::Baseboard => "the baseboard",
            Self::Doorway => "the doorway",
            Self::Rug => "the rug",
            Self::Surface => "the surface",
            Self::Masonry => "a slot in the masonry",
        }
    }
}

/// One leg of a stated route.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Leg {
    /// Where it runs.
    pub along: String,
    /// How long it is.
    pub length: Length,
}
