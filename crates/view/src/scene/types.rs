//! One space as it is drawn: m and rad; x along the first wall, y square to it so that the
//! room lies on the right hand of a walk along its walls, z up from the floor.
//!
//! Seen from above with y upwards the walls run clockwise. A place on a wall is told from
//! the wall's left corner, seen from inside, and from the floor.

use schemars::JsonSchema;
use serde::Serialize;

use crate::Field;

/// x and y in plan, m.
pub type Plan = [f64; 2];
/// x, y and z, m.
pub type Point = [f64; 3];

/// One space.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Scene {
    /// The space's id.
    pub space: String,
    /// Its name for people.
    pub name: String,
    /// Indoors or out.
    pub kind: SceneKind,
    /// The system in which its texts are printed.
    pub units: SceneUnits,
    /// The corners in the order of the walk, the left end of each wall; where the walls
    /// enclose no room, the walk as measured, which is left open.
    pub floor: Vec<Plan>,
    /// The box about the floor.
    pub bounds: Bounds,
    /// North, clockwise from y upwards on the plan, rad; null where nobody held a compass to a
    /// wall.
    pub north_rad: Option<f64>,
    /// The highest point of the ceiling; 2.4 m where it is not known, or outdoors.
    pub height_m: f64,
    /// Whether the walls enclose a room.
    pub closed: bool,
    /// By how much the walls miss each other, where they do by more than chance explains, or
    /// what must be measured before they enclose a room.
    pub gap_text: Option<String>,
    /// The walls in the order of the walk.
    pub walls: Vec<SceneWall>,
    /// What is overhead.
    pub ceiling: SceneCeiling,
    /// Boxes below the ceiling.
    pub soffits: Vec<SceneSoffit>,
    /// Whatever stands, hangs or is let in: openings, fixtures, items, seats.
    pub bodies: Vec<Body>,
    /// Lines that nothing should be in the way of.
    pub overlays: Overlays,
}

/// Indoors or out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SceneKind {
    /// Closed by walls, floor and ceiling.
    Room,
    /// Open to the sky.
    Outdoor,
}

/// A system of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SceneUnits {
    /// Feet and inches.
    Imperial,
    /// Metres and millimetres.
    Metric,
}

/// A box in plan.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bounds {
    /// Least x and y.
    pub min: Plan,
    /// Greatest x and y.
    pub max: Plan,
}

/// One wall, or one edge of an outdoor area.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SceneWall {
    /// Its name in the document.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Its left end, seen from inside; null where the walk can't be followed to it.
    pub from: Option<Plan>,
    /// Its right end; null where the walk can't be followed to it.
    pub to: Option<Plan>,
    /// Its length as adjusted; null while unknown.
    pub length_m: Option<f64>,
    /// The same in the job's units.
    pub length_text: Option<String>,
    /// Whether it is among the likeliest mistakes of a room that does not close, or was
    /// worked out from the others.
    pub doubtful: bool,
    /// Whether it is an edge without a wall.
    pub open: bool,
    /// The compass direction in which one faces it, as `faces north, 10°`.
    pub faces_text: Option<String>,
    /// Its upper edge, left to right: distance from the left corner, height. Empty while
    /// unknown.
    pub top: Vec<[f64; 2]>,
    /// Studs, left to right.
    pub studs: Vec<Stud>,
    /// Blocks between studs.
    pub blocks: Vec<Block>,
    /// What is inside it, and how sure that is.
    pub framing_text: String,
    /// Lines that a thing dragged along it may snap to.
    pub snaps: Vec<WallSnap>,
}

/// A stud.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Stud {
    /// Its middle from the wall's left corner.
    pub centre_m: f64,
    /// Across its face.
    pub width_m: f64,
}

/// A row of blocks between studs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Block {
    /// Its middle above the floor.
    pub height_m: f64,
    /// Its left end from the wall's left corner.
    pub from_m: f64,
    /// Its right end.
    pub to_m: f64,
}

/// A line on a wall to snap to: upright or level.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WallSnap {
    /// Upright: from the wall's left corner.
    pub along_m: Option<f64>,
    /// Level: above the floor.
    pub height_m: Option<f64>,
    /// What is there.
    pub why: String,
    /// Bodies that it stems from: they do not snap to themselves.
    pub of: Vec<String>,
}

/// What is overhead.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SceneCeiling {
    /// `flat`, `shed`, `gable`, `hip`, `planes`, `none` outdoors, or `unknown`.
    pub shape: String,
    /// Its plane faces, each as its corners.
    pub planes: Vec<Vec<Point>>,
    /// Whether it is known well enough to be drawn.
    pub known: bool,
    /// Its heights in words, or what must be measured.
    pub words: String,
    /// Middles of the joists.
    pub joists: Vec<Joist>,
    /// Lines that a thing dragged in plan may snap to.
    pub snaps: Vec<PlanSnap>,
}

/// A joist's middle.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Joist {
    /// One end.
    pub from: Plan,
    /// The other end.
    pub to: Plan,
}

/// A line in plan to snap to: of one x or of one y.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlanSnap {
    /// The line of this x.
    pub x: Option<f64>,
    /// The line of this y.
    pub y: Option<f64>,
    /// What is there.
    pub why: String,
    /// Bodies that it stems from: they do not snap to themselves.
    pub of: Vec<String>,
}

/// A box below the ceiling.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SceneSoffit {
    /// `soffit:` and its name in the document.
    pub id: String,
    /// The four corners of its underside, then those above them.
    pub corners: Vec<Point>,
    /// Its name and height.
    pub label: String,
}

/// Something in a space.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Body {
    /// Unique within the scene: `item:tv`, `fixture:lamp`, `opening:door`, `seat:sofa-left`.
    pub id: String,
    /// Its path in the document.
    pub at: String,
    /// Which of the four it is.
    pub kind: BodyKind,
    /// What it is: `projector`, `screen`, `socket`, `door` and so on.
    pub is: String,
    /// Its name for people.
    pub label: String,
    /// Name and place in one phrase: "Left lamp, 1.20 m from left, 2.05 m high".
    pub says: String,
    /// Whether it was in the house before the crew came.
    pub existing: bool,
    /// What carries it.
    pub place: BodyPlace,
    /// The wall that it is on.
    pub wall: Option<String>,
    /// Its rectangle on that wall.
    pub on_wall: Option<OnWall>,
    /// Its outline in plan.
    pub outline: Option<Vec<Plan>>,
    /// Its middle in plan: what a move in plan is told by.
    pub centre: Option<Plan>,
    /// Its underside above the floor.
    pub bottom_m: Option<f64>,
    /// Its upper side above the floor.
    pub top_m: Option<f64>,
    /// The surface on which it can be dragged; null where it can't.
    pub moves: Option<Surface>,
    /// A door's leaf.
    pub doors: Option<Doors>,
    /// The direction in which it throws light or sound, or looks: of length 1.
    pub aim: Option<Point>,
    /// Its facts.
    pub fields: Vec<Field>,
    /// What must be known before it can be drawn.
    pub missing: Option<String>,
}

/// Kinds of body.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BodyKind {
    /// A placed catalogue entry.
    Item,
    /// A thing that was there before.
    Fixture,
    /// A door, window or other hole.
    Opening,
    /// A place to sit.
    Seat,
}

/// What carries a body.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BodyPlace {
    /// A wall.
    Wall,
    /// The floor, or something at a height above it.
    Floor,
    /// The ceiling.
    Ceiling,
    /// Another item, such as a cupboard.
    Inside,
    /// Nobody has said.
    None,
}

/// A surface on which a body can be dragged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Surface {
    /// Along and up a wall, and to another wall.
    Wall,
    /// In plan.
    Floor,
    /// In plan below the ceiling.
    Ceiling,
}

/// A rectangle on a wall.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OnWall {
    /// Left edge from the wall's left corner.
    pub left: f64,
    /// Right edge from the wall's left corner.
    pub right: f64,
    /// Lower edge above the floor.
    pub bottom: f64,
    /// Upper edge above the floor.
    pub top: f64,
    /// How far it stands out of the wall, where known.
    pub out: Option<f64>,
}

/// A door's leaf.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Doors {
    /// The hinge, then the way of the leaf's edge from shut to open.
    pub swing: Vec<Plan>,
}

/// Lines that nothing should be in the way of.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Overlays {
    /// From each seat's eyes to the middle of the picture that it faces.
    pub sight_lines: Vec<SightLine>,
    /// From each lens to the corners of its picture.
    pub beams: Vec<Beam>,
    /// Where each loudspeaker is loud.
    pub cones: Vec<Cone>,
    /// Where cables run.
    pub routes: Vec<CableRoute>,
}

/// From a seat to its picture.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SightLine {
    /// The seat's body.
    pub seat: String,
    /// The picture's body.
    pub item: String,
    /// Between the eyes.
    pub from: Point,
    /// The middle of the lit picture.
    pub to: Point,
}

/// A projector's light.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Beam {
    /// The projector's body.
    pub item: String,
    /// The middle of the front lens.
    pub lens: Point,
    /// The picture's corners as a viewer sees them: upper left, upper right, lower right,
    /// lower left.
    pub corners: Vec<Point>,
    /// What darkens the picture.
    pub shadows: Vec<BeamShadow>,
}

/// A shadow on a picture.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BeamShadow {
    /// Bodies whose shadow it is; none where it is of nothing that is drawn.
    pub of: Vec<String>,
    /// Whose, and how much of the picture: "somebody standing at seat left: shadow on 3 %".
    pub says: String,
    /// Whether it is there at times alone, as of somebody who stands up.
    pub passing: bool,
    /// Its corners on the picture.
    pub outline: Vec<Point>,
}

/// A loudspeaker's coverage.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cone {
    /// The loudspeaker's body.
    pub item: String,
    /// Where it sounds from.
    pub apex: Point,
    /// Its direction, of length 1.
    pub axis: Point,
    /// Between its axis and the directions that are 6 dB down.
    pub half_angle_rad: f64,
    /// To the farthest seat.
    pub reach_m: f64,
}

/// A cable's way through the space.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CableRoute {
    /// The cable's label in the document.
    pub cable: String,
    /// Label, kind and length to cut.
    pub label: String,
    /// Whether it is in the house already.
    pub existing: bool,
    /// From end to end.
    pub path: Vec<Point>,
}
