//! A house as a graph: columns in the bays of each wall, the baseboard, voids, conduits, ends.
//!
//! A column stands in the middle of each bay, one more where an end is, and one on each wall of
//! the room square to the end; in a bay the crew may drill the plate where it likes. A column is
//! cut by blocks and openings. Neighbouring columns are joined along the sole plate and under the
//! top plate, through the studs between them.

mod column;
mod side;
#[cfg(test)]
mod tests;

use std::sync::Arc;

use geometry::Point3;
use units::Metres;

use column::bay_middles;
use side::is_clear;

use crate::graph::{Entry, FromLeft, Graph, Holes, Level, Move, NodeId, Obstacle, Spot};
use crate::house::{Conduit, Framing, House, Mouth};
use crate::medium::Medium;
use crate::ring::Ring;
use crate::span::Span;
use crate::weights::Times;

/// From farther than this a lead is a cable across the room, m (common practice, no source).
const LEAD_MAX_M: f64 = 1.0;

/// An end of a cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Where it is, m.
    pub at: Point3,
    /// The wall that it is on or gets its cable from, the distance from its left corner and
    /// the height above its floor, m.
    pub wall: Option<(usize, f64, f64)>,
    /// The void straight above, for what hangs.
    pub above: Option<usize>,
    /// Whether a rug covers the floor before that wall.
    pub has_rug: bool,
    /// Whether it is set into that wall: in a framed wall its cable comes to it inside.
    pub is_flush: bool,
}

/// A column of a wall.
#[derive(Clone, Debug)]
struct Column {
    from_left_m: f64,
    segments: Arc<[Segment]>,
    foot: NodeId,
}

/// The part of a column between two blocks, plates or openings.
#[derive(Clone, Copy, Debug)]
struct Segment {
    low: NodeId,
    high: NodeId,
    low_m: f64,
    high_m: f64,
}

/// A house as a graph, before any end is known. A copy with ends shares what they leave alone.
#[derive(Clone, Debug)]
pub struct HouseGraph {
    house: Arc<House>,
    times: Times,
    graph: Graph,
    columns: Vec<Arc<Vec<Column>>>,
    rings: Vec<Arc<Ring>>,
    /// Ends that stand in a wall's bay: the node, the wall, where along it, how high, m.
    in_bays: Vec<(NodeId, usize, f64, f64)>,
}

impl HouseGraph {
    /// The graph of a house.
    pub fn new(house: Arc<House>, times: &Times) -> Self {
        let mut built = Self::unsettled(house, times);
        built.graph.settle();
        built
    }

    fn unsettled(house: Arc<House>, times: &Times) -> Self {
        let mut graph = Graph::new(house.voids.clone());
        let rings = (0..house.rooms.len())
            .map(|room| Arc::new(Ring::new(&house, room, &mut graph, times)))
            .collect();
        let mut built = Self {
            times: *times,
            graph,
            columns: vec![Arc::default(); house.walls.len()],
            rings,
            in_bays: Vec::new(),
            house,
        };
        let house = Arc::clone(&built.house);
        for (index, wall) in house.walls.iter().enumerate() {
            for from_left_m in bay_middles(wall) {
                built.column(index, from_left_m, FromLeft::Chosen(from_left_m), true);
            }
        }
        for room in &house.rooms {
            for soffit in &room.soffits {
                for wall in &room.walls {
                    let from_left_m = house.walls[*wall].foot_of(soffit.centre);
                    built.column_within(*wall, from_left_m, FromLeft::Chosen(from_left_m));
                }
            }
        }
        for door in &house.doors {
            built.door(door);
        }
        for (index, conduit) in house.conduits.iter().enumerate() {
            built.conduit(index, conduit);
        }
        built
    }

    /// The house.
    pub fn house(&self) -> &House {
        &self.house
    }

    /// The graph with ends added, and the place of each end.
    pub fn with_ends(&self, ends: &[End]) -> (Graph, Vec<NodeId>) {
        let mut built = self.clone();
        let nodes = (ends.iter().enumerate()).map(|(index, end)| built.end(index, end));
        let nodes = nodes.collect();
        (built.graph, nodes)
    }

    /// The same house with one more end, by its number among the ends, and the end's place.
    pub fn with_end(&self, index: usize, end: &End) -> (Self, NodeId) {
        let mut built = self.clone();
        let node = built.end(index, end);
        (built, node)
    }

    /// Its places and moves.
    pub fn graph(&self) -> &Graph {
        &self.graph
    }

    fn end(&mut self, index: usize, end: &End) -> NodeId {
        let node = self.graph.add(end.at, Spot::End(index));
        let house = Arc::clone(&self.house);
        if let Some(void) = end.above {
            let top = end
                .at
                .on_plan()
                .at_height(house.voids[void].height_at(end.at.on_plan()));
            let entry = self.graph.enter(void, top, Spot::Above(index));
            let drop_m = (top.z - end.at.z).abs();
            let time_s = self.times.along(Medium::Lead, Metres(drop_m)).0;
            self.link_entry(node, entry, Move::free(0, Medium::Lead, drop_m, time_s));
        }
        let Some((wall, from_left_m, height_m)) = end.wall else {
            return node;
        };
        let from_left = FromLeft::OfEnd(index);
        let at = house.walls[wall].point(from_left_m, height_m);
        let off_m = at.distance(end.at);
        let spot = Spot::Wall {
            wall,
            from_left,
            level: Level::OfEnd(index),
        };
        // What hangs on the wall has its plate behind it.
        let plate = match off_m {
            off if off < 1e-6 => node,
            _ => self.graph.add(at, spot),
        };
        if plate != node {
            let medium = match off_m {
                off if off <= LEAD_MAX_M => Medium::Lead,
                _ if end.has_rug => Medium::Rug,
                _ => Medium::Surface,
            };
            let time_s = self.times.along(medium, Metres(off_m)).0;
            self.graph
                .join(node, Move::free(plate, medium, off_m, time_s));
        }
        if let Some(column) = self.column(wall, from_left_m, from_left, true) {
            self.attach(plate, wall, &column, height_m, end.is_flush);
        }
        for other in &house.rooms[house.walls[wall].room].walls {
            if *other != wall {
                let foot_m = house.walls[*other].foot_of(end.at.on_plan());
                self.column_within(*other, foot_m, from_left);
            }
        }
        node
    }

    /// Joins a place in a wall to its column: inside the bay, on the surface, along the bay
    /// to other ends. Such moves alone are added, no places.
    fn attach(
        &mut self,
        node: NodeId,
        wall: usize,
        column: &Column,
        height_m: f64,
        is_flush: bool,
    ) {
        let house = Arc::clone(&self.house);
        let it = &house.walls[wall];
        let inside = (column.segments.iter())
            .find(|segment| (segment.low_m - 1e-9..=segment.high_m + 1e-9).contains(&height_m));
        // What stands on the floor has its cable at the baseboard already.
        let medium = match height_m {
            height_m if height_m < 1e-6 => Medium::Baseboard,
            _ => Medium::Surface,
        };
        let is_framed = matches!(it.framing, Framing::Studs(_));
        if !(is_flush && is_framed && inside.is_some() && medium == Medium::Surface) {
            let surface_s = self.times.along(medium, Metres(height_m)).0;
            let surface = Move::free(column.foot, medium, height_m, surface_s);
            self.graph.join(node, surface);
        }
        let Some(segment) = inside else { return };
        for (to, to_m) in [(segment.low, segment.low_m), (segment.high, segment.high_m)] {
            let length_m = (height_m - to_m).abs();
            for upright in self.upright(wall, column.from_left_m, to, length_m) {
                self.graph.join(node, upright);
            }
        }
        let here = (node, wall, column.from_left_m, height_m);
        if let Framing::Studs(studs) = &it.framing {
            let others = self.in_bays.clone();
            for (other, _, other_left_m, other_m) in others.into_iter().filter(|one| one.1 == wall)
            {
                let reach = [segment.low_m, segment.high_m];
                let (from, to) = ([column.from_left_m, height_m], [other_left_m, other_m]);
                if reach[0] <= other_m && other_m <= reach[1] && is_clear(it, from, to) {
                    let sideways = self.sideways(wall, studs, [from[0], to[0]], 2);
                    let up_m = (height_m - other_m).abs();
                    let length_m = up_m + (from[0] - to[0]).abs();
                    let along = Move {
                        to: other,
                        length_m: Span::exact(length_m),
                        time_s: Span::exact(self.times.along(sideways.medium, Metres(length_m)).0),
                        ..sideways
                    };
                    self.graph.join(node, along);
                }
            }
        }
        self.in_bays.push(here);
    }

    fn link_entry(&mut self, node: NodeId, entry: Entry, by: Move) {
        self.graph.join_one_way(
            node,
            Move {
                to: entry.into,
                ..by
            },
        );
        self.graph.join_one_way(entry.out, Move { to: node, ..by });
    }

    fn door(&mut self, door: &crate::house::Door) {
        let house = Arc::clone(&self.house);
        // Left here is right there.
        let pairs = [
            [door.jambs[0][0], door.jambs[1][1]],
            [door.jambs[0][1], door.jambs[1][0]],
        ];
        for pair in pairs {
            let ends = [0, 1].map(|side| {
                let (wall, at_m) = (door.walls[side], pair[side]);
                let ring = Arc::make_mut(&mut self.rings[house.walls[wall].room]);
                ring.place(
                    &house,
                    &mut self.graph,
                    &self.times,
                    wall,
                    at_m,
                    FromLeft::Chosen(at_m),
                )
            });
            let [a, b] = ends.map(|node| self.graph.node(node).at);
            let through_m = a.distance(b);
            let time_s =
                self.times.along(Medium::Baseboard, Metres(through_m)).0 + self.times.doorway.0;
            self.graph.join(
                ends[0],
                Move::free(ends[1], Medium::Doorway, through_m, time_s),
            );
        }
    }

    fn conduit(&mut self, index: usize, conduit: &Conduit) {
        let house = Arc::clone(&self.house);
        let nodes = [0, 1].map(|mouth| {
            let spot = Spot::Mouth {
                conduit: index,
                mouth,
            };
            match conduit.mouths[mouth] {
                Mouth::Wall {
                    wall,
                    from_left_m,
                    height_m,
                } => {
                    let node = self
                        .graph
                        .add(house.walls[wall].point(from_left_m, height_m), spot);
                    let from_left = FromLeft::Chosen(from_left_m);
                    if let Some(column) = self.column(wall, from_left_m, from_left, true) {
                        self.attach(node, wall, &column, height_m, false);
                    }
                    node
                }
                Mouth::Void { void, at } => {
                    let node = self.graph.add(at, spot);
                    let entry = self.graph.enter(void, at, spot);
                    self.link_entry(node, entry, Move::free(0, conduit.medium, 0.0, 0.0));
                    node
                }
            }
        });
        let through = Move {
            length_m: conduit.length_m,
            time_s: conduit.time_s,
            doubt: conduit.doubt,
            holes: Some(Holes {
                obstacle: Obstacle::Conduit(index),
                first: 0,
                lane: 0,
                sure: 0,
                most: 0,
                each_s: 0.0,
            }),
            ..Move::free(nodes[1], conduit.medium, 0.0, 0.0)
        };
        self.graph.join(nodes[0], through);
    }
}
