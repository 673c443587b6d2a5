//! Ways that cables can take through the house besides walls, ceilings and floors.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Angle, Duration, Hung, InPlan, Length, OnWall};

/// A way with two ends that is there already: a conduit, an open chase, a closet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Pathway {
    /// Short name, unique among pathways.
    pub id: String,
    /// Name for people; the id when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What it is.
    pub kind: PathwayKind,
    /// Where it begins and where it ends.
    pub ends: [PathwayEnd; 2],
    /// Length of cable from end to end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// Inside diameter of a conduit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inside: Option<Length>,
    /// Its bends, in their order from the first end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bends: Option<Vec<Bend>>,
    /// Cables that lie in it already: ids of `[[cable]]`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<String>,
    /// Whether a pull string is in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub string: Option<bool>,
    /// Whether no further cable can be got through.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blocked: Option<bool>,
}

/// A bend of a conduit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Bend {
    /// How far it turns.
    pub angle: Angle,
    /// To the inside of the pipe.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radius: Option<Length>,
}

/// Kinds of pathway.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PathwayKind {
    /// A pipe for cables.
    Conduit,
    /// An open shaft or gap inside the walls.
    Chase,
    /// A closet, floor to floor.
    Closet,
}

/// Where a pathway ends: on a wall, in the floor or in the ceiling of a space.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PathwayEnd {
    /// The space.
    pub space: String,
    /// In a wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<OnWall>,
    /// Below the floor at this place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<InPlan>,
    /// Above the ceiling at this place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hung: Option<Hung>,
}

/// What the shop would rather avoid when it chooses a cable's way, each as the time that it
/// would give to be spared it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Avoid {
    /// A metre of cable.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub metre: Option<Duration>,
    /// A hole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hole: Option<Duration>,
    /// A metre of cable that people see or walk on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seen_metre: Option<Duration>,
    /// A place with insulation or another hazard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hazard: Option<Duration>,
}

impl Pathway {
    /// Name for people.
    pub fn label(&self) -> &str {
        self.name.as_deref().unwrap_or(&self.id)
    }
}
