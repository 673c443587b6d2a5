//! Places that a cable may pass, and the moves between them.

use std::sync::{Arc, OnceLock};

use geometry::Point3;

use crate::medium::{Hazard, Medium};
use crate::span::Span;
use crate::void::{Crossing, Void};

/// A place by its position in the graph.
pub type NodeId = usize;

/// A place that a cable may pass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Where it is, m.
    pub at: Point3,
    /// What it is, so that its place can be worked out anew from measurements.
    pub spot: Spot,
    /// The void that it leads into.
    pub(crate) void: Option<usize>,
}

/// What a place is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spot {
    /// An end, by its position among the ends.
    End(usize),
    /// On or in a wall.
    Wall {
        /// The wall.
        wall: usize,
        /// Along it.
        from_left: FromLeft,
        /// Above its floor.
        level: Level,
    },
    /// In the void straight above an end that hangs.
    Above(usize),
    /// A mouth of a conduit.
    Mouth {
        /// The conduit.
        conduit: usize,
        /// The first or the second.
        mouth: usize,
    },
    /// Of a graph that was not made from a house.
    Other,
}

/// How far along a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FromLeft {
    /// This far, m: the crew chooses it.
    Chosen(f64),
    /// Where an end is, or square to it.
    OfEnd(usize),
    /// The wall's right corner.
    Corner,
}

/// How high above a wall's floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Level {
    /// On the floor.
    Floor,
    /// Under the ceiling or roof.
    Top,
    /// At a block, by its position among the wall's blocks.
    Block(usize),
    /// This high, m.
    Chosen(f64),
    /// As high as an end.
    OfEnd(usize),
}

/// What a hole is drilled through.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Obstacle {
    /// A row of blocks of a wall, by its position among the wall's blocks.
    Block {
        /// The wall.
        wall: usize,
        /// The row.
        block: usize,
    },
    /// The plate over a wall's studs.
    TopPlate(usize),
    /// The plate under a wall's studs.
    SolePlate(usize),
    /// A wall's studs.
    Studs(usize),
    /// A wall's board.
    Boards(usize),
    /// The joists or rafters of a void.
    Joists(usize),
    /// Nothing: the inside of a conduit, so that a full one can be barred.
    Conduit(usize),
    /// Of a graph that was not made from a house.
    Other(usize),
}

/// A row of holes through an obstacle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Holes {
    /// What they go through.
    pub obstacle: Obstacle,
    /// The bay, stud or joist of the first.
    pub first: i32,
    /// Where along the obstacle: cables of one lane share their holes.
    pub lane: i32,
    /// How many there are at least.
    pub sure: u32,
    /// How many there are at most.
    pub most: u32,
    /// Time for each, s.
    pub each_s: f64,
}

/// One hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hole {
    /// What it goes through.
    pub obstacle: Obstacle,
    /// The bay, stud or joist.
    pub at: i32,
    /// Where along the obstacle.
    pub lane: i32,
}

/// Rows of more holes are slips of the pen.
const HOLES_MAX: u32 = 1000;

impl Holes {
    /// Each hole that there may be.
    pub fn each(&self) -> impl Iterator<Item = Hole> + use<> {
        let Self {
            obstacle,
            first,
            lane,
            most,
            ..
        } = *self;
        (0..most.min(HOLES_MAX)).map(move |index| Hole {
            obstacle,
            at: first.saturating_add(i32::try_from(index).unwrap_or(i32::MAX)),
            lane,
        })
    }

    /// How many there are.
    pub fn count(&self) -> Span {
        Span::between(f64::from(self.sure), f64::from(self.most))
    }
}

/// One way from a place to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// The next place.
    pub to: NodeId,
    /// What it runs through.
    pub medium: Medium,
    /// Length of cable, m.
    pub length_m: Span,
    /// Time, holes aside, s.
    pub time_s: Span,
    /// What is drilled.
    pub holes: Option<Holes>,
    /// What makes it dangerous.
    pub hazard: Option<Hazard>,
    /// The unknown fact that its spans stem from, by the caller's number.
    pub doubt: Option<usize>,
}

impl Move {
    /// A move of known length that drills nothing.
    pub fn free(to: NodeId, medium: Medium, length_m: f64, time_s: f64) -> Self {
        Self {
            to,
            medium,
            length_m: Span::exact(length_m),
            time_s: Span::exact(time_s),
            holes: None,
            hazard: None,
            doubt: None,
        }
    }

    /// Time in all, s.
    pub fn time_in_all_s(&self) -> Span {
        let holes = self.holes.map(|holes| holes.count() * holes.each_s);
        self.time_s + holes.unwrap_or_default()
    }
}

/// A place where a cable enters a void and one where it leaves it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Entry {
    pub into: NodeId,
    pub out: NodeId,
}

/// The ways through voids between the places of a house, which every graph with further ends
/// shares: worked out when first asked for.
#[derive(Debug, Default)]
struct Settled {
    /// From each place to the first entries of its void.
    from: Vec<OnceLock<Box<[Crossing]>>>,
    /// How many entries each void had.
    entries: Vec<usize>,
}

/// Places, moves between them, and voids in which every place leads to every other.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    nodes: Vec<Node>,
    moves: Vec<Vec<Move>>,
    voids: Vec<Void>,
    entries: Vec<Vec<Entry>>,
    settled: Arc<Settled>,
    /// Least time for a metre of any move, s/m; nothing before there is a move.
    least_s_per_m: Option<f64>,
    /// Whether some move is shorter than the straight line between its places.
    has_shortcut: bool,
}

impl Graph {
    /// Without places.
    pub fn new(voids: Vec<Void>) -> Self {
        Self {
            entries: vec![Vec::new(); voids.len()],
            least_s_per_m: voids.iter().map(Void::least_s_per_m).reduce(f64::min),
            voids,
            ..Self::default()
        }
    }

    /// Adds a place.
    pub fn add(&mut self, at: Point3, spot: Spot) -> NodeId {
        self.nodes.push(Node {
            at,
            spot,
            void: None,
        });
        self.moves.push(Vec::new());
        self.nodes.len() - 1
    }

    /// Adds a move there and the same move back.
    pub fn join(&mut self, from: NodeId, there: Move) {
        let back = Move { to: from, ..there };
        self.join_one_way(from, there);
        self.moves[there.to].push(back);
    }

    pub(crate) fn join_one_way(&mut self, from: NodeId, there: Move) {
        let straight_m = self.nodes[from].at.distance(self.nodes[there.to].at);
        let length_m = there.length_m.low;
        self.has_shortcut |= length_m < straight_m - 1e-9;
        if length_m > 0.0 {
            let rate = there.time_s.low / length_m;
            self.least_s_per_m = Some(self.least_s_per_m.map_or(rate, |least| least.min(rate)));
        }
        self.moves[from].push(there);
    }

    /// Adds a place inside a void: cables reach it from every other place there.
    pub(crate) fn enter(&mut self, void: usize, at: Point3, spot: Spot) -> Entry {
        let into = self.add(at, spot);
        self.nodes[into].void = Some(void);
        let out = self.add(at, spot);
        let entry = Entry { into, out };
        self.entries[void].push(entry);
        entry
    }

    /// A place.
    pub fn node(&self, id: NodeId) -> &Node {
        &self.nodes[id]
    }

    /// How many places there are.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Whether there is no place.
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// The moves from a place, those through voids aside.
    pub fn moves_from(&self, from: NodeId) -> &[Move] {
        &self.moves[from]
    }

    /// A void.
    pub fn void(&self, void: usize) -> &Void {
        &self.voids[void]
    }

    pub(crate) fn ways_out(&self, from: NodeId) -> Option<(usize, &[Entry])> {
        let void = self.nodes[from].void?;
        Some((void, &self.entries[void]))
    }

    /// Says that the house is complete: what is added from here on are ends.
    pub(crate) fn settle(&mut self) {
        self.settled = Arc::new(Settled {
            from: (0..self.nodes.len()).map(|_| OnceLock::new()).collect(),
            entries: self.entries.iter().map(Vec::len).collect(),
        });
    }

    /// The way from a place to another one of its void.
    pub(crate) fn crossing(&self, void: usize, [from, to]: [NodeId; 2]) -> Crossing {
        let [a, b] = [from, to].map(|id| self.nodes[id].at);
        self.voids[void].crossing(void, a, b)
    }

    /// The ways from a place to the first entries of its void, as far as they are known to all.
    pub(crate) fn settled_crossings(&self, void: usize, from: NodeId) -> &[Crossing] {
        let Some(kept) = self.settled.from.get(from) else {
            return &[];
        };
        kept.get_or_init(|| {
            let entries = &self.entries[void][..self.settled.entries[void]];
            let way = |entry: &Entry| self.crossing(void, [from, entry.out]);
            entries.iter().map(way).collect()
        })
    }

    /// Time that each metre of straight distance takes at least, s/m.
    pub(crate) fn least_s_per_m(&self) -> Option<f64> {
        (self.least_s_per_m).filter(|_| !self.has_shortcut)
    }
}
