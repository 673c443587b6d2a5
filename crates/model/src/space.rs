//! A room or outdoor area as walked and measured.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    Angle, Area, Current, FromWall, Hung, Illuminance, InPlan, Length, Level, LuminousFlux, OnWall,
    Overhang, Ratio, Reflectances, Reverberation, Temperature, Watched,
};

/// A room, or an outdoor area bounded by edges.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Space {
    /// Short name, unique among spaces.
    pub id: String,
    /// Name for people; the id when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// A room when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<SpaceKind>,
    /// The walls as walked, clockwise seen from above, so that the room is on the right hand.
    pub walls: Vec<Wall>,
    /// Lengths from corner to corner across the room; they prove the survey.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub diagonals: Vec<Diagonal>,
    /// What is overhead; not known when left out. An outdoor area has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ceiling: Option<Ceiling>,
    /// The finished floor's height above the house's ground floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor_level: Option<Length>,
    /// The compass direction in which one faces the first wall from inside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_wall_faces: Option<Angle>,
    /// How the space touches one that is placed already.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub joined: Option<Joined>,
    /// What walls, floor and ceiling are covered with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finishes: Option<Finishes>,
    /// Light on the screen wall when the picture is watched.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ambient: Option<Illuminance>,
    /// What surfaces give back of the light; assumed where left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectances>,
    /// When the picture is watched.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watched: Option<Watched>,
    /// Background noise, dB(A).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub noise: Option<Level>,
    /// Background noise by octave, 63 Hz to 8 kHz, with vents and projector off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub noise_octaves: Option<[Level; 8]>,
    /// How long it rings, as measured; takes the place of what tables say of the room.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reverberation: Option<Reverberation>,
    /// Outdoors: its sides where the neighbours begin.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub neighbours: Option<Vec<String>>,
    /// Usual air temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Temperature>,
    /// Doors, windows and archways.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub opening: Vec<Opening>,
    /// Whatever is in the way or of use.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fixture: Vec<Fixture>,
    /// Soffits and beams: boxes below the ceiling.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub soffit: Vec<Soffit>,
    /// What is inside walls, ceiling and floor.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub construction: Vec<Construction>,
    /// Where people sit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub seat: Vec<Seat>,
    /// Rugs, curtains, panels and upholstery.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub covering: Vec<Covering>,
}

/// Indoors or out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SpaceKind {
    /// Closed by walls, floor and ceiling.
    #[default]
    Room,
    /// Open to the sky.
    Outdoor,
}

/// One wall, or one edge of an outdoor area.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Wall {
    /// Short name, unique within its space.
    pub id: String,
    /// Corner to corner along the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// Inside angle at the wall's end, where the next wall begins; square when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corner: Option<Angle>,
    /// An edge with no wall on it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub open: bool,
}

/// A length across the room: `["street.left", "yard.left", "26' 9\""]`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Diagonal(
    /// A corner as `wall.left` or `wall.right`.
    pub String,
    /// Another corner.
    pub String,
    /// The length between them.
    pub Length,
);

/// The shape overhead.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Ceiling {
    /// Flat, shed, gable, hip or several planes.
    pub shape: CeilingShape,
    /// Flat: floor to ceiling.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Length>,
    /// Gable: the two walls that the ridge runs between.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ridge: Option<[String; 2]>,
    /// Gable: the ridge's distance from the first ridge wall's left corner; the middle when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ridge_from_left: Option<Length>,
    /// Gable and hip: height where the slope starts. Shed: height at the low wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub eaves: Option<Length>,
    /// Gable and hip: height of the ridge. Shed: height at the corner farthest from the low wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub top: Option<Length>,
    /// Shed: the wall along which the ceiling is lowest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<String>,
    /// Planes: each through three measured points.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub planes: Vec<CeilingPlane>,
    /// Planes: whether the lowest (a tent, when left out) or the highest (a valley) counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub join: Option<CeilingJoin>,
}

/// The shapes that a ceiling is measured as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CeilingShape {
    /// One height.
    Flat,
    /// One slope, rising from a low wall.
    Shed,
    /// Two slopes meeting in a ridge.
    Gable,
    /// A slope rising from every wall.
    Hip,
    /// Any planes through measured points.
    Planes,
}

/// One plane of a ceiling by three points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CeilingPlane {
    /// Three points: distances from two walls, and the ceiling's height there.
    pub through: [CeilingPoint; 3],
}

/// A point of the ceiling.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CeilingPoint {
    /// Distance from a first wall.
    pub from: FromWall,
    /// Distance from a second wall.
    pub and: FromWall,
    /// The ceiling's height above the floor.
    pub height: Length,
}

/// Which of several planes is the ceiling where they overlap.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CeilingJoin {
    /// The lowest, as under a gable.
    Lowest,
    /// The highest, as under a valley.
    Highest,
}

/// Two spaces that share an opening, so that the house fits together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Joined {
    /// This space's opening.
    pub opening: String,
    /// The same opening seen from the other side, as `space.opening`.
    pub to: String,
    /// The wall's thickness between them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall: Option<Length>,
}

/// Finishes by surface: names that `dryfit explain finishes` lists.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Finishes {
    /// All walls that are not named below.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub walls: Option<String>,
    /// The floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor: Option<String>,
    /// The ceiling.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ceiling: Option<String>,
    /// Single walls by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub wall: BTreeMap<String, String>,
}

/// A hole in a wall.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Opening {
    /// Short name, unique within its space.
    pub id: String,
    /// What it is.
    pub kind: OpeningKind,
    /// Where it is; measured to its lower left corner unless said otherwise.
    pub on: OnWall,
    /// Across and up.
    pub size: [Length; 2],
    /// A door's leaf.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub swing: Option<Swing>,
    /// A door: whether it stands open while sound plays; shut when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stands_open: Option<bool>,
    /// A window's glass: a name that `dryfit explain finishes` lists.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub glazing: Option<String>,
    /// What hangs before a window.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blind: Option<String>,
    /// The share of light that passes glass and blind together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transmittance: Option<Ratio>,
    /// A roof's edge over it, outside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub overhang: Option<Overhang>,
    /// The space behind it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub into: Option<String>,
    /// The weighted sound reduction index of door or window as hung, with its seals.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reduction: Option<Level>,
    /// Its sound reduction index by octave, 125 Hz to 4 kHz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reduction_octaves: Option<[Level; 6]>,
}

/// Kinds of opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum OpeningKind {
    /// With a leaf.
    Door,
    /// Glazed.
    Window,
    /// Open, to another space.
    Archway,
    /// A recess in the wall, such as an alcove or a fireplace's opening.
    Recess,
}

/// How a door's leaf moves, seen from inside the room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Swing {
    /// The side on which it hangs.
    pub hinge: Side,
    /// Into this room, or away from it.
    pub into: SwingInto,
    /// How far it opens; a right angle when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opens: Option<Angle>,
}

/// Left or right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// Left, seen from inside the room.
    Left,
    /// Right, seen from inside the room.
    Right,
}

/// The side of the wall on which a leaf sweeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SwingInto {
    /// Into this room.
    Room,
    /// Out of this room.
    Away,
}

/// A thing that was in the house before the crew came.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Fixture {
    /// Short name, unique within its space.
    pub id: String,
    /// What it is.
    pub kind: FixtureKind,
    /// Where it is on a wall; measured to its centre unless said otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<OnWall>,
    /// Where it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<InPlan>,
    /// Where it hangs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hung: Option<Hung>,
    /// Across, up, and out of the wall. Standing or hanging things: across along the first
    /// wall named, up, and across the other way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<[Length; 3]>,
    /// Furniture: what is free inside, where a subwoofer may stand: across, up, deep.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inside: Option<[Length; 3]>,
    /// A plate's or cable end's cable: an id of `[[cable]]`, or words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cable: Option<String>,
    /// A socket's circuit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub circuit: Option<String>,
    /// A vent's sound power level by octave, 63 Hz to 8 kHz, at the air flow in use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub noise_power: Option<[Level; 8]>,
    /// The hottest reading at the place meant for a display, after an hour of fire.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reading: Option<Temperature>,
    /// A lamp's light while the picture is watched; 0 lm when it is off then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lumens: Option<LuminousFlux>,
    /// A mantel or trim: whether it can burn; taken to burn when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub combustible: Option<bool>,
    /// A fireplace: built of masonry, or in a factory with a label that says its clearances.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub built: Option<FireBuilt>,
    /// A fireplace: how near to its opening its label or the local code allows what can burn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label_clearance: Option<Length>,
    /// A note for the crew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// How a fireplace is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FireBuilt {
    /// Of brick or stone, on site.
    Masonry,
    /// In a factory; its label rules.
    Factory,
}

/// Kinds of fixture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FixtureKind {
    /// A lamp on a wall.
    WallLight,
    /// A lamp on or below the ceiling.
    CeilingLight,
    /// A ceiling fan.
    Fan,
    /// An air vent or return.
    Vent,
    /// A sprinkler head.
    Sprinkler,
    /// A smoke alarm.
    SmokeAlarm,
    /// A thermostat.
    Thermostat,
    /// A light switch.
    Switch,
    /// A mains socket.
    Socket,
    /// A mains cable inside a wall, as wide and high as it runs: upright or level.
    MainsRun,
    /// A fireplace: the firebox opening.
    Fireplace,
    /// A mantel shelf.
    Mantel,
    /// A chimney breast standing out of the wall.
    ChimneyBreast,
    /// A radiator.
    Radiator,
    /// A curtain drawn back.
    CurtainStack,
    /// A rail or moulding along the wall.
    PictureRail,
    /// A piece of furniture.
    Furniture,
    /// A wall plate with cables behind it.
    Plate,
    /// The end of a conduit.
    ConduitEnd,
    /// A cable that ends loose.
    CableEnd,
    /// A floor that people walk across.
    Walkway,
    /// A post or column.
    Post,
    /// Something else.
    Other,
}

/// A box below the ceiling.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Soffit {
    /// Short name, unique within its space.
    pub id: String,
    /// The corner nearest to both walls, by distances from two walls.
    pub from: FromWall,
    /// Distance from the second wall.
    pub and: FromWall,
    /// Along the first wall named, and away from it.
    pub size: [Length; 2],
    /// The underside's height above the floor.
    pub underside: Length,
    /// Whether it is an empty box that cables can run in; a solid beam when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hollow: Option<bool>,
}

/// What a wall, the ceiling or the floor is made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Construction {
    /// A wall's name, `ceiling` or `floor`.
    pub of: String,
    /// Studs, joists or masonry.
    pub framing: Framing,
    /// Centre to centre.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spacing: Option<Length>,
    /// The first stud's centre from the wall's left corner; joists: from the wall named in `along`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_from_left: Option<Length>,
    /// Joists run parallel to this wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub along: Option<String>,
    /// The stud's or joist's width across its face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub face: Option<Length>,
    /// Free depth between the boards.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cavity: Option<Length>,
    /// Thickness of the board on the room's side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub board: Option<Length>,
    /// Heights of the blocks between studs; an empty list says that there are none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fire_block_at: Option<Vec<Length>>,
    /// Depth of the deepest notch in its studs or joists, there or planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notch: Option<Length>,
    /// Where along a joist that notch is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notch_at: Option<NotchAt>,
    /// Filled with insulation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insulated: Option<bool>,
    /// Rated against fire: only a licensed trade opens or drills it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated: Option<bool>,
    /// Carries load.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bearing: Option<bool>,
    /// Whether the building's air is moved through it: a plenum.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moves_air: Option<bool>,
    /// Wood species group, as `dryfit explain woods` lists it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub species: Option<String>,
    /// What is above a ceiling, below a floor or behind a wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beyond: Option<Beyond>,
    /// The space on its other side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub behind: Option<String>,
    /// The weighted sound reduction index of the bare wall, floor or ceiling.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reduction: Option<Level>,
    /// Its sound reduction index by octave, 125 Hz to 4 kHz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reduction_octaves: Option<[Level; 6]>,
}

/// Kinds of framing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Framing {
    /// Wood studs.
    Stud,
    /// Light steel studs.
    SteelStud,
    /// Wood joists.
    Joist,
    /// Brick or stone.
    Masonry,
    /// Solid concrete.
    Concrete,
}

/// What lies beyond a ceiling or floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Beyond {
    /// An attic that one can work in.
    Attic,
    /// Another storey.
    Storey,
    /// The roof itself.
    Roof,
    /// A crawl space.
    CrawlSpace,
    /// The ground.
    Ground,
    /// The open air: an outside wall.
    Outside,
}

/// Where along a joist a notch is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum NotchAt {
    /// Over its support.
    End,
    /// In the first or last third of its span.
    OuterThird,
    /// In the middle third.
    MiddleThird,
}

/// A place to sit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Seat {
    /// Short name, unique within its space.
    pub id: String,
    /// Where the head is, in plan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<InPlan>,
    /// The eye's height above the floor (a riser included).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub eye: Option<Length>,
    /// The ear's height above the floor; as the eye when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ear: Option<Length>,
    /// How far the back leans from upright while the picture is watched. Place and heights are
    /// measured upright; the head goes back and down from there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recline: Option<Angle>,
    /// How far above level the eyes look at rest, as on a bed's pillow; about half the recline when
    /// left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pitch: Option<Angle>,
    /// The row, counted from the picture; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub row: Option<u32>,
    /// The riser under the seat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub riser: Option<Length>,
    /// 1 when left out; the main seat has the highest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub importance: Option<u32>,
}

/// A soft thing that changes how the room rings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Covering {
    /// Short name, unique within its space.
    pub id: String,
    /// A name that `dryfit explain finishes` lists.
    pub finish: String,
    /// The surface that it hides: a wall's name, `floor` or `ceiling`; none for furniture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<String>,
    /// How much of it; what `size` covers when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<Area>,
    /// Across and up; on floor and ceiling: along the first wall named in `at`, and away from it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<[Length; 2]>,
    /// Where its middle hangs on the wall that it is over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<OnWall>,
    /// Where its middle lies on the floor or below the ceiling.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<InPlan>,
    /// Number of pieces or people, for finishes that count them; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Planned: not there yet when the room's reverberation was measured, or there and to go. There
    /// and staying when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planned: Option<CoveringPlan>,
}

/// What is planned for a covering.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CoveringPlan {
    /// It is hung or laid by the job.
    ToCome,
    /// It is taken away by the job.
    ToGo,
}

/// A mains circuit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Circuit {
    /// Short name, unique among circuits.
    pub id: String,
    /// The breaker's rating.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breaker: Option<Current>,
    /// What is on it already, at the worst hour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub existing: Option<crate::Power>,
}
