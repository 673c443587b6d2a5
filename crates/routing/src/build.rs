//! A house as a graph: columns in the bays of each wall, the baseboard, voids, conduits, ends.
//!
//! A column stands in the middle of each bay, one more where an end is, and one on each wall of
//! the room square to the end; in a bay the crew may drill the plate where it likes. A column is
//! cut by blocks and openings. Neighbouring columns are joined along the sole plate and under the
//! top plate, through the studs between them.

use std::sync::Arc;

use geometry::Point3;
use units::Metres;

use crate::graph::{Entry, FromLeft, Graph, Holes, Level, Move, NodeId, Obstacle, Spot};
use crate::house::{Blocks, Conduit, Framing, House, Mouth, Studs, Wall};
use crate::medium::{Hazard, Medium};
use crate::ring::Ring;
use crate::span::Span;
use crate::void::{between, real_spacing};
use crate::weights::Times;

/// Above an opening stands its header, m (common practice, no source).
const HEADER_M: f64 = 0.15;
/// No block stands nearer to a plate than this, m (common practice, no source).
const BLOCK_OFF_PLATE_M: f64 = 0.6;
/// From farther than this a lead is a cable across the room, m (common practice, no source).
const LEAD_MAX_M: f64 = 1.0;

/// Walls of more bays are slips of the pen; their far end has no columns of its own.
const BAYS_MAX: f64 = 400.0;
/// Nearer to a corner nobody drills, m (common practice, no source).
const CORNER_M: f64 = 0.03;

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
}

/// A column of a wall.
#[derive(Clone, Debug)]
struct Column {
    from_left_m: f64,
    segments: Vec<Segment>,
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

/// A house as a graph, before any end is known.
#[derive(Clone, Debug)]
pub struct HouseGraph {
    house: Arc<House>,
    times: Times,
    graph: Graph,
    columns: Vec<Vec<Column>>,
    rings: Vec<Ring>,
    /// Ends that stand in a wall's bay: the node, the wall, where along it, how high, m.
    in_bays: Vec<(NodeId, usize, f64, f64)>,
}

impl HouseGraph {
    /// The graph of a house.
    pub fn new(house: Arc<House>, times: &Times) -> Self {
        let mut graph = Graph::new(house.voids.clone());
        let rings = (0..house.rooms.len())
            .map(|room| Ring::new(&house, room, &mut graph, times))
            .collect();
        let mut built = Self {
            times: *times,
            graph,
            columns: vec![Vec::new(); house.walls.len()],
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
        built.graph.settle();
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
            self.attach(plate, wall, &column, height_m);
        }
        for other in &house.rooms[house.walls[wall].room].walls {
            if *other != wall {
                let foot_m = house.walls[*other].foot_of(end.at.on_plan());
                self.column_within(*other, foot_m, from_left);
            }
        }
        node
    }

    /// A column where a wall is; nothing past its ends.
    fn column_within(&mut self, wall: usize, from_left_m: f64, from_left: FromLeft) {
        if CORNER_M < from_left_m && from_left_m < self.house.walls[wall].length_m - CORNER_M {
            self.column(wall, from_left_m, from_left, true);
        }
    }

    /// Joins a place in a wall to its column: inside the bay, on the surface, along the bay
    /// to other ends.
    fn attach(&mut self, node: NodeId, wall: usize, column: &Column, height_m: f64) {
        let house = Arc::clone(&self.house);
        let it = &house.walls[wall];
        // What stands on the floor has its cable at the baseboard already.
        let medium = match height_m {
            height_m if height_m < 1e-6 => Medium::Baseboard,
            _ => Medium::Surface,
        };
        let surface_s = self.times.along(medium, Metres(height_m)).0;
        let surface = Move::free(column.foot, medium, height_m, surface_s);
        self.graph.join(node, surface);
        let inside = (column.segments.iter())
            .find(|segment| (segment.low_m - 1e-9..=segment.high_m + 1e-9).contains(&height_m));
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

    /// Adds a column and joins it to its neighbours; none where no wall stands.
    fn column(
        &mut self,
        wall: usize,
        from_left_m: f64,
        from_left: FromLeft,
        and_behind: bool,
    ) -> Option<Column> {
        let house = Arc::clone(&self.house);
        let it = &house.walls[wall];
        if it.framing == Framing::Open {
            return None;
        }
        let foot = self.rings[it.room].place(
            &house,
            &mut self.graph,
            &self.times,
            wall,
            from_left_m,
            from_left,
        );
        let segments = self.segments(wall, from_left_m, from_left);
        let column = Column {
            from_left_m,
            segments,
            foot,
        };
        self.join_up(wall, &column, from_left);
        let index = self.columns[wall].partition_point(|one| one.from_left_m <= from_left_m);
        self.columns[wall].insert(index, column.clone());
        if let Framing::Studs(studs) = &it.framing {
            if index > 0 {
                self.rows(wall, studs, [index - 1, index]);
            }
            if index + 1 < self.columns[wall].len() {
                self.rows(wall, studs, [index, index + 1]);
            }
        }
        if let Some(party) = it.party.filter(|_| and_behind) {
            let there_m = party.mirror_m - from_left_m;
            if CORNER_M < there_m && there_m < house.walls[party.wall].length_m - CORNER_M {
                let other = self.column(party.wall, there_m, FromLeft::Chosen(there_m), false);
                if let Some(other) = other {
                    self.join_same_bay(&column, &other);
                }
            }
        }
        Some(column)
    }

    /// The free parts of a column, cut by openings and blocks.
    fn segments(&mut self, wall: usize, from_left_m: f64, from_left: FromLeft) -> Vec<Segment> {
        let house = Arc::clone(&self.house);
        let it = &house.walls[wall];
        let top_m = it.top_at(from_left_m);
        let mut segments = Vec::new();
        let mut holes: Vec<[f64; 2]> = (it.openings.iter())
            .filter(|[left, right, ..]| *left <= from_left_m && from_left_m <= *right)
            .map(|opening| [opening[2], opening[3] + HEADER_M])
            .collect();
        holes.sort_by(|a, b| a[0].total_cmp(&b[0]));
        holes.push([top_m, f64::INFINITY]);
        let (mut low_m, mut low) = (0.0, Level::Floor);
        for [bottom_m, after_m] in holes {
            let is_top = bottom_m >= top_m;
            let high_m = bottom_m.min(top_m);
            let high = if is_top {
                Level::Top
            } else {
                Level::Chosen(high_m)
            };
            if high_m > low_m + 1e-9 {
                self.between_blocks(
                    wall,
                    from_left_m,
                    from_left,
                    [(low_m, low), (high_m, high)],
                    &mut segments,
                );
            }
            if after_m >= top_m {
                break;
            }
            if after_m > low_m {
                (low_m, low) = (after_m, Level::Chosen(after_m));
            }
        }
        segments
    }

    fn between_blocks(
        &mut self,
        wall: usize,
        from_left_m: f64,
        from_left: FromLeft,
        [from, to]: [(f64, Level); 2],
        segments: &mut Vec<Segment>,
    ) {
        let house = Arc::clone(&self.house);
        let it = &house.walls[wall];
        let blocks: &[f64] = match &it.framing {
            Framing::Studs(Studs {
                blocks: Blocks::At(blocks),
                ..
            }) => blocks,
            _ => &[],
        };
        let inside = (blocks.iter().enumerate())
            .filter(|(_, block)| **block > from.0 + 1e-9 && **block < to.0 - 1e-9)
            .map(|(index, block)| (*block, Level::Block(index)));
        let mut bounds = vec![from];
        bounds.extend(inside);
        bounds.push(to);
        for pair in bounds.windows(2) {
            let [(low_m, low_level), (high_m, high_level)] = [pair[0], pair[1]];
            let [low, high] =
                [(low_m, low_level), (high_m, high_level)].map(|(height_m, level)| {
                    let spot = Spot::Wall {
                        wall,
                        from_left,
                        level,
                    };
                    self.graph.add(it.point(from_left_m, height_m), spot)
                });
            for upright in self.upright(wall, from_left_m, high, high_m - low_m) {
                self.graph.join(low, upright);
            }
            if let (Level::Block(block), Some(below)) = (low_level, segments.last()) {
                let below: &Segment = below;
                let obstacle = Obstacle::Block { wall, block };
                // The board has to be opened: a block is out of reach from either plate.
                let each_s = self.times.hole.0 + self.times.open.0;
                let hazard = it.hazard.or(Some(Hazard::FireBlock));
                let through = Move {
                    hazard,
                    ..self.hole(
                        low,
                        Medium::FireBlock,
                        obstacle,
                        bay(it, from_left_m),
                        each_s,
                    )
                };
                self.graph.join(below.high, through);
            }
            segments.push(Segment {
                low,
                high,
                low_m,
                high_m,
            });
        }
    }

    /// Up or down in a column.
    fn upright(&self, wall: usize, from_left_m: f64, to: NodeId, length_m: f64) -> Vec<Move> {
        let it = &self.house.walls[wall];
        let along = |medium| {
            let time_s = self.times.along(medium, Metres(length_m)).0;
            Move {
                hazard: it.hazard,
                ..Move::free(to, medium, length_m, time_s)
            }
        };
        let Framing::Studs(studs) = &it.framing else {
            let slot = Move {
                hazard: it.hazard.or(Some(Hazard::Masonry)),
                ..along(Medium::Masonry)
            };
            return vec![along(Medium::Surface), slot];
        };
        let mut bay_move = along(Medium::StudBay);
        if it.hazard == Some(Hazard::Insulation) {
            bay_move.time_s =
                bay_move.time_s + Span::exact(self.times.insulation_s_per_m * length_m);
        }
        if let Blocks::Unknown(doubt) = studs.blocks
            && length_m > BLOCK_OFF_PLATE_M
        {
            bay_move.doubt = Some(doubt);
            bay_move.holes = Some(Holes {
                obstacle: Obstacle::Block { wall, block: 0 },
                first: bay(it, from_left_m),
                lane: 0,
                sure: 0,
                most: 1,
                each_s: self.times.hole.0 + self.times.open.0,
            });
        }
        vec![bay_move]
    }

    fn hole(
        &self,
        to: NodeId,
        medium: Medium,
        obstacle: Obstacle,
        first: i32,
        each_s: f64,
    ) -> Move {
        Move {
            holes: Some(Holes {
                obstacle,
                first,
                lane: 0,
                sure: 1,
                most: 1,
                each_s,
            }),
            ..Move::free(to, medium, 0.0, self.times.fish.0)
        }
    }

    /// Joins a column to baseboard, voids and soffits.
    fn join_up(&mut self, wall: usize, column: &Column, from_left: FromLeft) {
        let house = Arc::clone(&self.house);
        let it = &house.walls[wall];
        let (left_m, bay) = (column.from_left_m, bay(it, column.from_left_m));
        let is_framed = matches!(it.framing, Framing::Studs(_));
        let each_s = self.times.hole.0;
        let place = |level| Spot::Wall {
            wall,
            from_left,
            level,
        };
        let licensed = it.hazard.filter(|hazard| hazard.is_licensed());
        if let Some(first) = column.segments.first().filter(|first| first.low_m < 1e-9) {
            let through = match is_framed {
                true => self.hole(
                    first.low,
                    Medium::Board,
                    Obstacle::Boards(wall),
                    bay,
                    each_s,
                ),
                false => Move::free(first.low, Medium::Baseboard, 0.0, 0.0),
            };
            self.graph.join(
                column.foot,
                Move {
                    hazard: licensed,
                    ..through
                },
            );
            if let Some(void) = it.below {
                let at = it.point(left_m, 0.0);
                let entry = self.graph.enter(void, at, place(Level::Floor));
                let plate = self.hole(0, Medium::Plate, Obstacle::SolePlate(wall), bay, each_s);
                self.link_entry(
                    first.low,
                    entry,
                    Move {
                        hazard: licensed,
                        ..plate
                    },
                );
            }
        }
        let top_m = it.top_at(left_m);
        let last = column
            .segments
            .last()
            .filter(|last| last.high_m > top_m - 1e-9);
        if let (Some(last), Some(void)) = (last, it.above) {
            let at = it.point(left_m, top_m);
            let entry = self.graph.enter(void, at, place(Level::Top));
            let plate = self.hole(0, Medium::Plate, Obstacle::TopPlate(wall), bay, each_s);
            self.link_entry(
                last.high,
                entry,
                Move {
                    hazard: licensed,
                    ..plate
                },
            );
        }
        let sides = house.rooms[it.room]
            .soffits
            .iter()
            .filter(|soffit| soffit.holds(it.plan_at(left_m)));
        let sides = sides.map(|soffit| (soffit.void, soffit.height_m));
        let behind = it.behind.map(|void| (void, 0.0));
        for (void, height_m) in sides.chain(behind) {
            let inside = (column.segments.iter())
                .find(|segment| (segment.low_m..=segment.high_m).contains(&height_m));
            let Some(segment) = inside else { continue };
            let at = it.point(left_m, height_m);
            let level = match height_m {
                0.0 => Level::Floor,
                height_m => Level::Chosen(height_m),
            };
            let entry = self.graph.enter(void, at, place(level));
            let length_m = height_m - segment.low_m;
            let time_s = self.times.along(Medium::StudBay, Metres(length_m)).0;
            let through = Move {
                length_m: Span::exact(length_m),
                time_s: Span::exact(time_s + self.times.fish.0),
                hazard: licensed,
                ..self.hole(0, Medium::Board, Obstacle::Boards(wall), bay, each_s)
            };
            self.link_entry(segment.low, entry, through);
        }
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

    /// Joins neighbouring columns along the sole plate and under the top plate.
    fn rows(&mut self, wall: usize, studs: &Studs, [left, right]: [usize; 2]) {
        let house = Arc::clone(&self.house);
        let it = &house.walls[wall];
        let (a, b) = (&self.columns[wall][left], &self.columns[wall][right]);
        let places = [a.from_left_m, b.from_left_m];
        let floor = |column: &Column| {
            column
                .segments
                .first()
                .copied()
                .filter(|first| first.low_m < 1e-9)
        };
        let top = |column: &Column| {
            let top_m = it.top_at(column.from_left_m);
            column
                .segments
                .last()
                .copied()
                .filter(|last| last.high_m > top_m - 1e-9)
        };
        let along_floor = floor(a)
            .zip(floor(b))
            .filter(|_| is_clear(it, [places[0], 0.02], [places[1], 0.02]));
        let along_top = top(a)
            .zip(top(b))
            .filter(|(a, b)| is_clear(it, [places[0], a.high_m], [places[1], b.high_m]));
        let rows = [
            along_floor.map(|(a, b)| (a.low, b.low, 0.0, 0)),
            along_top.map(|(a, b)| (a.high, b.high, a.high_m - b.high_m, 1)),
        ];
        for (from, to, up_m, lane) in rows.into_iter().flatten() {
            let length_m = (places[1] - places[0]).hypot(up_m);
            let sideways = self.sideways(wall, studs, places, lane);
            let along = Move {
                to,
                length_m: Span::exact(length_m),
                time_s: Span::exact(self.times.along(sideways.medium, Metres(length_m)).0),
                ..sideways
            };
            self.graph.join(from, along);
        }
    }

    /// Through the studs between two places of a wall, length and time left open.
    fn sideways(&self, wall: usize, studs: &Studs, places: [f64; 2], lane: i32) -> Move {
        let it = &self.house.walls[wall];
        let (first, sure, most) = between(studs.first_m, studs.spacing_m, places[0], places[1]);
        // The wall is closed: each stud means a board to open.
        let each_s = match studs.has_knockouts {
            true => 0.0,
            false => self.times.hole.0 + self.times.open.0,
        };
        let holes = (most > 0).then_some(Holes {
            obstacle: Obstacle::Studs(wall),
            first,
            lane,
            sure,
            most,
            each_s,
        });
        Move {
            holes,
            hazard: it.hazard,
            doubt: studs.doubt.filter(|_| sure != most),
            ..Move::free(
                0,
                if most > 0 {
                    Medium::Stud
                } else {
                    Medium::StudBay
                },
                0.0,
                0.0,
            )
        }
    }

    /// Both faces of one wall share their bays.
    fn join_same_bay(&mut self, here: &Column, there: &Column) {
        for segment in &here.segments {
            let same =
                (there.segments.iter()).find(|other| (other.low_m - segment.low_m).abs() < 0.05);
            if let Some(other) = same {
                let [a, b] = [segment.low, other.low].map(|node| self.graph.node(node).at);
                let through_m = a.distance(b);
                let time_s = self.times.along(Medium::StudBay, Metres(through_m)).0;
                let through = Move::free(other.low, Medium::StudBay, through_m, time_s);
                self.graph.join(segment.low, through);
            }
        }
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
                let ring = &mut self.rings[house.walls[wall].room];
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
                        self.attach(node, wall, &column, height_m);
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

/// The middle of each bay, m.
fn bay_middles(wall: &Wall) -> Vec<f64> {
    let Framing::Studs(studs) = &wall.framing else {
        return match wall.framing {
            Framing::Solid => vec![0.5 * wall.length_m],
            _ => Vec::new(),
        };
    };
    let spacing_m = real_spacing(studs.spacing_m);
    let first_m = studs.first_m.unwrap_or(0.0).rem_euclid(spacing_m);
    let count = ((wall.length_m - first_m) / spacing_m)
        .ceil()
        .clamp(0.0, BAYS_MAX) as usize;
    let studs_m = (0..count).map(|index| first_m + spacing_m * index as f64);
    let mut bounds = vec![0.0];
    bounds.extend(studs_m);
    bounds.push(wall.length_m);
    (bounds.windows(2))
        .filter(|pair| pair[1] - pair[0] > 0.1)
        .map(|pair| 0.5 * (pair[0] + pair[1]))
        .collect()
}

/// The bay of a place along a wall.
fn bay(wall: &Wall, from_left_m: f64) -> i32 {
    match &wall.framing {
        Framing::Studs(studs) => ((from_left_m - studs.first_m.unwrap_or(0.0))
            / real_spacing(studs.spacing_m))
        .floor() as i32,
        _ => (from_left_m / 0.4).floor() as i32,
    }
}

/// Whether no opening lies between two places of a wall at or between their heights.
fn is_clear(wall: &Wall, a: [f64; 2], b: [f64; 2]) -> bool {
    let (left, right) = (a[0].min(b[0]), a[0].max(b[0]));
    let (low, high) = (a[1].min(b[1]), a[1].max(b[1]));
    !(wall.openings.iter()).any(|opening| {
        opening[0] < right && opening[1] > left && opening[2] < high && opening[3] + HEADER_M > low
            || opening[0] < right && opening[1] > left && opening[2] <= low && high <= opening[3]
    })
}
