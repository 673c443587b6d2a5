//! Places that a cable may pass, and the moves between them.

use std::collections::BTreeMap;
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

/// A complete house, which every graph with further ends shares.
#[derive(Debug, Default)]
struct Settled {
    nodes: Vec<Node>,
    moves: Vec<Vec<Move>>,
    entries: Vec<Vec<Entry>>,
    /// From each place to the entries of its void: worked out when first asked for.
    crossings: Vec<OnceLock<Box<[Crossing]>>>,
}

/// Places, moves between them, and voids in which every place leads to every other.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    settled: Arc<Settled>,
    voids: Arc<[Void]>,
    /// Places after the settled ones.
    nodes: Vec<Node>,
    moves: Vec<Vec<Move>>,
    /// Moves from settled places to later ones.
    further: BTreeMap<NodeId, Vec<Move>>,
    /// Entries of each void after the settled ones.
    entries: Vec<Vec<Entry>>,
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
            voids: voids.into(),
            ..Self::default()
        }
    }

    /// Adds a place.
    pub fn add(&mut self, at: Point3, spot: Spot) -> NodeId {
        self.add_in(None, at, spot)
    }

    fn add_in(&mut self, void: Option<usize>, at: Point3, spot: Spot) -> NodeId {
        self.nodes.push(Node { at, spot, void });
        self.moves.push(Vec::new());
        self.len() - 1
    }

    /// Adds a move there and the same move back.
    pub fn join(&mut self, from: NodeId, there: Move) {
        let back = Move { to: from, ..there };
        self.join_one_way(from, there);
        self.push(there.to, back);
    }

    pub(crate) fn join_one_way(&mut self, from: NodeId, there: Move) {
        let straight_m = self.node(from).at.distance(self.node(there.to).at);
        let length_m = there.length_m.low;
        self.has_shortcut |= length_m < straight_m - 1e-9;
        if length_m > 0.0 {
            let rate = there.time_s.low / length_m;
            self.least_s_per_m = Some(self.least_s_per_m.map_or(rate, |least| least.min(rate)));
        }
        self.push(from, there);
    }

    fn push(&mut self, from: NodeId, there: Move) {
        let moves = match from.checked_sub(self.settled.nodes.len()) {
            Some(later) => &mut self.moves[later],
            None => self.further.entry(from).or_default(),
        };
        moves.push(there);
    }

    /// Adds a place inside a void: cables reach it from every other place there.
    pub(crate) fn enter(&mut self, void: usize, at: Point3, spot: Spot) -> Entry {
        let into = self.add_in(Some(void), at, spot);
        let out = self.add(at, spot);
        let entry = Entry { into, out };
        self.entries[void].push(entry);
        entry
    }

    /// A place.
    pub fn node(&self, id: NodeId) -> &Node {
        let settled = &self.settled.nodes;
        settled
            .get(id)
            .unwrap_or_else(|| &self.nodes[id - settled.len()])
    }

    /// How many places there are.
    pub fn len(&self) -> usize {
        self.settled.nodes.len() + self.nodes.len()
    }

    /// Whether there is no place.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The moves from a place, those through voids aside, in the order in which they were added.
    pub fn moves_from(&self, from: NodeId) -> impl Iterator<Item = &Move> {
        let (first, further) = match self.settled.moves.get(from) {
            Some(settled) => (settled, self.further.get(&from)),
            None => (&self.moves[from - self.settled.moves.len()], None),
        };
        first.iter().chain(further.into_iter().flatten())
    }

    /// The moves from the first `count` places, all settled ones among them, to those after.
    pub(crate) fn moves_onward(&self, count: usize) -> impl Iterator<Item = (NodeId, &Move)> {
        let settled = self.settled.nodes.len();
        let further = self.further.iter().map(|(from, moves)| (*from, moves));
        let later = (settled..count).map(move |from| (from, &self.moves[from - settled]));
        further.chain(later).flat_map(move |(from, moves)| {
            let onward = moves.iter().filter(move |there| there.to >= count);
            onward.map(move |there| (from, there))
        })
    }

    /// How many voids there are.
    pub(crate) fn voids(&self) -> usize {
        self.voids.len()
    }

    /// A void.
    pub fn void(&self, void: usize) -> &Void {
        &self.voids[void]
    }

    /// The void that a place leads into.
    pub(crate) fn void_at(&self, from: NodeId) -> Option<usize> {
        self.node(from).void
    }

    /// The settled entries of a void and the later ones, in the order in which they were added.
    pub(crate) fn entries(&self, void: usize) -> [&[Entry]; 2] {
        let settled = self.settled.entries.get(void);
        [settled.map_or(&[], Vec::as_slice), &self.entries[void]]
    }

    /// Says that the house is complete: what is added from here on are ends.
    pub(crate) fn settle(&mut self) {
        let no_entries = vec![Vec::new(); self.voids.len()];
        self.settled = Arc::new(Settled {
            crossings: self.nodes.iter().map(|_| OnceLock::new()).collect(),
            nodes: std::mem::take(&mut self.nodes),
            moves: std::mem::take(&mut self.moves),
            entries: std::mem::replace(&mut self.entries, no_entries),
        });
    }

    /// The way from a place to another one of its void.
    pub(crate) fn crossing(&self, void: usize, ends: [NodeId; 2]) -> Crossing {
        let [a, b] = ends.map(|id| self.node(id).at);
        self.voids[void].crossing(void, a, b)
    }

    /// As [`Graph::crossing`], if the way in plan, of which no part is longer, may be worth it.
    pub(crate) fn crossing_if(
        &self,
        void: usize,
        ends: [NodeId; 2],
        may_count: impl FnOnce(&Crossing) -> bool,
    ) -> Option<Crossing> {
        let [a, b] = ends.map(|id| self.node(id).at);
        let in_plan = self.voids[void].crossing_in_plan(void, a, b);
        may_count(&in_plan).then(|| self.voids[void].crossing_from(in_plan, a, b))
    }

    /// The ways from a place to the first entries of its void, as far as they are known to all.
    pub(crate) fn settled_crossings(&self, void: usize, from: NodeId) -> &[Crossing] {
        let Some(kept) = self.settled.crossings.get(from) else {
            return &[];
        };
        kept.get_or_init(|| {
            let way = |entry: &Entry| self.crossing(void, [from, entry.out]);
            self.settled.entries[void].iter().map(way).collect()
        })
    }

    /// Time that each metre of straight distance takes at least, s/m.
    pub(crate) fn least_s_per_m(&self) -> Option<f64> {
        (self.least_s_per_m).filter(|_| !self.has_shortcut)
    }
}
