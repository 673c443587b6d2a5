//! The shapes of a survey as it is walked.

use schemars::JsonSchema;
use serde::Serialize;

use crate::scene::SceneKind;
use crate::{Choice, Edit, Field};

/// The survey of one space.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Walk {
    /// The space's id.
    pub space: String,
    /// Its name for people.
    pub name: String,
    /// Indoors or out.
    pub kind: SceneKind,
    /// Every space of the job, to walk on to.
    pub rooms: Vec<Room>,
    /// The walls as walked.
    pub wall_strip: Vec<WalkWall>,
    /// Whether the walls close; null while they can't be tried.
    pub closes: Option<Closes>,
    /// What must be measured before closing can be tried; null once it was tried.
    pub closes_needs: Option<String>,
    /// Walls, diagonals, ceiling, floor level, facing, finishes, ambient, noise, reverberation, temperature.
    pub fields: Vec<Field>,
    /// What was there before.
    pub fixtures: Vec<WalkThing>,
    /// Doors, windows and archways.
    pub openings: Vec<WalkThing>,
    /// Where people sit.
    pub seats: Vec<WalkThing>,
    /// Boxes below the ceiling.
    pub soffits: Vec<WalkThing>,
    /// What is inside walls, ceiling and floor.
    pub constructions: Vec<WalkThing>,
    /// What lies, hangs and stands there that changes how the room rings; furniture and people too.
    pub coverings: Vec<WalkThing>,
    /// What a covering may be: finishes by their names.
    pub covering_finishes: Vec<Choice>,
    /// Facts of this space and its items that are still blank, those that decide most
    /// findings first; last those that stand as `?`, and walls without a length, that decide none
    /// yet.
    pub blanks: Vec<Blank>,
}

/// A space of the job.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Room {
    /// Its id.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Indoors or out.
    pub kind: SceneKind,
    /// Facts of it that are still blank.
    pub blanks: usize,
}

/// A wall as walked.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WalkWall {
    /// Its name in the document.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Its length as written; null while blank.
    pub length_text: Option<String>,
    /// How its length was taken; null while blank.
    pub how: Option<&'static str>,
    /// The inside angle at its right end as written; null where it is taken as square.
    pub corner_text: Option<String>,
    /// Whether it is among the likeliest mistakes of a room that does not close.
    pub doubtful: bool,
    /// All of it in one phrase.
    pub says: String,
}

/// How well the walls close.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Closes {
    /// Whether what is left open is explained by chance.
    pub closed: bool,
    /// How far the end of the walk misses its beginning, as measured.
    pub misclosure_text: String,
    /// By how much it may, if each measurement is as good as it says: 95 %.
    pub limit_text: String,
    /// Both in one sentence.
    pub says: String,
    /// The corners, as a diagonal is written between them, whose distance would tell which of
    /// the suspects is mistaken; null where nothing is to be told apart.
    pub decide_with: Option<[String; 2]>,
    /// Measurements that would explain it if mistaken, likeliest first.
    pub suspects: Vec<WalkSuspect>,
}

/// A measurement that may be mistaken.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WalkSuspect {
    /// The wall, or null for a diagonal.
    pub wall: Option<String>,
    /// What to do.
    pub says: String,
    /// What writes the value that would close the room, once somebody has read it off again.
    pub edit: Edit,
}

/// A fixture, opening, seat, soffit, construction or covering.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WalkThing {
    /// Its path's last part in the document.
    pub id: String,
    /// Its path.
    pub at: String,
    /// What it is.
    pub kind: String,
    /// Its name for people.
    pub label: String,
    /// Name and place in one phrase.
    pub says: String,
    /// Its facts.
    pub fields: Vec<Field>,
}

/// A fact that is still blank.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Blank {
    /// What to measure.
    pub what: String,
    /// Where it belongs in the document.
    pub at: String,
    /// How to get it.
    pub tool: &'static str,
    /// How many findings it decides.
    pub decides: usize,
    /// Their keys.
    pub findings: Vec<String>,
}
