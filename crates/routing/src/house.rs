//! What walls, floors and ceilings hold, as plain data in one frame.

use geometry::{Point2, Point3, Vec2};

use crate::medium::{Hazard, Medium};
use crate::span::Span;
use crate::void::Void;

/// Rooms whose cables may reach each other, in one frame.
#[derive(Clone, Debug, Default)]
pub struct House {
    /// Every wall.
    pub walls: Vec<Wall>,
    /// The walls of each room in the order in which they stand round it.
    pub rooms: Vec<Room>,
    /// Every void.
    pub voids: Vec<Void>,
    /// Doors and archways between rooms.
    pub doors: Vec<Door>,
    /// Conduits, chases and closets.
    pub conduits: Vec<Conduit>,
}

/// One room.
#[derive(Clone, Debug, Default)]
pub struct Room {
    /// Its walls, by number, in order.
    pub walls: Vec<usize>,
    /// Hollow boxes below its ceiling.
    pub soffits: Vec<SoffitBox>,
}

/// One wall, seen from inside its room.
#[derive(Clone, Debug)]
pub struct Wall {
    /// The room that it belongs to.
    pub room: usize,
    /// Its left corner.
    pub left: Point2,
    /// Unit direction to its right corner.
    pub along: Vec2,
    /// Corner to corner, m.
    pub length_m: f64,
    /// Height of the floor in the house's frame, m.
    pub floor_m: f64,
    /// Distance from the left corner and height above the floor of each point of its upper
    /// edge, from left to right, m.
    pub top: Vec<[f64; 2]>,
    /// What it is built of.
    pub framing: Framing,
    /// Insulated, or rated against fire.
    pub hazard: Option<Hazard>,
    /// Left, right, lower and upper edge of each opening, m.
    pub openings: Vec<[f64; 4]>,
    /// The void over its top plate.
    pub above: Option<usize>,
    /// The void under its sole plate.
    pub below: Option<usize>,
    /// The void behind it.
    pub behind: Option<usize>,
    /// The same wall seen from the next room.
    pub party: Option<Party>,
}

/// What a wall is built of.
#[derive(Clone, Debug, PartialEq)]
pub enum Framing {
    /// Studs with bays between them.
    Studs(Studs),
    /// Masonry or concrete: nothing runs inside unless it is cut.
    Solid,
    /// No wall stands on this edge.
    Open,
}

/// Studs of a wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Studs {
    /// Centre of the first from the left corner, m.
    pub first_m: Option<f64>,
    /// Centre to centre, m.
    pub spacing_m: f64,
    /// The unknown fact, by the caller's number.
    pub doubt: Option<usize>,
    /// Whether cables pass the studs by holes that are there already, as in steel.
    pub has_knockouts: bool,
    /// Blocks between them.
    pub blocks: Blocks,
}

/// Blocks between studs.
#[derive(Clone, Debug, PartialEq)]
pub enum Blocks {
    /// At these heights above the floor, ascending, m.
    At(Vec<f64>),
    /// Nobody has looked: there may be one on the way; the unknown fact by the caller's number.
    Unknown(usize),
}

/// The same wall seen from the next room: `from_left` there is `mirror_m` less that here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Party {
    /// That wall.
    pub wall: usize,
    /// What both distances from the left add up to, m.
    pub mirror_m: f64,
}

/// A door or archway between two rooms: the wall and the left and right jamb on each side, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Door {
    /// Walls.
    pub walls: [usize; 2],
    /// Left and right jamb from the left corner of either wall, m.
    pub jambs: [[f64; 2]; 2],
}

/// A way with two mouths: a conduit, an open chase, a closet.
#[derive(Clone, Debug, PartialEq)]
pub struct Conduit {
    /// What it is.
    pub medium: Medium,
    /// Where it begins and ends.
    pub mouths: [Mouth; 2],
    /// Length, m.
    pub length_m: Span,
    /// Time to pull one cable through, s.
    pub time_s: Span,
    /// The unknown fact, by the caller's number.
    pub doubt: Option<usize>,
}

/// Where a conduit begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Mouth {
    /// In a wall.
    Wall {
        /// The wall.
        wall: usize,
        /// From its left corner, m.
        from_left_m: f64,
        /// Above its floor, m.
        height_m: f64,
    },
    /// In a void.
    Void {
        /// The void.
        void: usize,
        /// Where.
        at: Point3,
    },
}

/// A hollow box below a ceiling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SoffitBox {
    /// The void inside it.
    pub void: usize,
    /// Its middle in plan.
    pub centre: Point2,
    /// Unit direction of its length.
    pub along: Vec2,
    /// Half its length and half its width, m.
    pub half_m: [f64; 2],
    /// Height at which a cable enters it, above the floor, m.
    pub height_m: f64,
}

impl SoffitBox {
    /// Whether a point in plan is in or at it.
    pub(crate) fn holds(&self, point: Point2) -> bool {
        const BESIDE_M: f64 = 0.05;
        let off = point - self.centre;
        off.dot(self.along).abs() <= self.half_m[0] + BESIDE_M
            && self.along.cross(off).abs() <= self.half_m[1] + BESIDE_M
    }
}

impl Wall {
    /// A point of its face in plan.
    pub fn plan_at(&self, from_left_m: f64) -> Point2 {
        self.left + self.along * from_left_m
    }

    /// A point of its face.
    pub fn point(&self, from_left_m: f64, height_m: f64) -> Point3 {
        self.plan_at(from_left_m).at_height(self.floor_m + height_m)
    }

    /// Height of its upper edge above the floor, m.
    pub fn top_at(&self, from_left_m: f64) -> f64 {
        let first = self.top.first().map_or(0.0, |point| point[1]);
        let last = self.top.last().map_or(0.0, |point| point[1]);
        let span =
            (self.top.windows(2)).find(|pair| (pair[0][0]..=pair[1][0]).contains(&from_left_m));
        match span {
            Some([[a, low], [b, high]]) if b > a => {
                low + (high - low) * (from_left_m - a) / (b - a)
            }
            _ if from_left_m <= 0.0 => first,
            _ => last,
        }
    }

    /// The place along it that a point in plan is square to, m.
    pub fn foot_of(&self, point: Point2) -> f64 {
        (point - self.left).dot(self.along)
    }

    /// Openings that reach down to the floor.
    pub(crate) fn doors(&self) -> impl Iterator<Item = &[f64; 4]> {
        self.openings.iter().filter(|opening| opening[2] < 0.05)
    }
}
