//! The baseboard round a room: places in order, each joined to the next.

use crate::graph::{FromLeft, Graph, Level, Move, NodeId, Spot};
use crate::house::{Framing, House, Wall};
use crate::medium::Medium;
use crate::weights::Times;
use units::Metres;

/// Places behind the baseboard of one room, by their distance round it from its first corner.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ring {
    places: Vec<(f64, NodeId)>,
    /// Where each wall begins.
    starts_m: Vec<f64>,
    round_m: f64,
}

/// Nearer than this two places along a wall are one, m.
const ROUNDING_M: f64 = 1e-9;

impl Ring {
    /// The corners of a room and the jambs of its doors: a doorway is a move of its own.
    pub fn new(house: &House, room: usize, graph: &mut Graph, times: &Times) -> Self {
        let mut ring = Self::default();
        for wall in &house.rooms[room].walls {
            let it = &house.walls[*wall];
            ring.starts_m.push(ring.round_m);
            let doors = it.doors().filter(|_| it.framing != Framing::Open);
            let jambs = doors.flat_map(|door| [door[0], door[1]].map(|jamb| it.clamped(jamb)));
            let mut places_m: Vec<f64> = std::iter::once(0.0).chain(jambs).collect();
            places_m.sort_by(f64::total_cmp);
            places_m.dedup();
            for from_left_m in places_m {
                let from_left = FromLeft::Chosen(from_left_m);
                let node = foot(house, graph, *wall, from_left_m, from_left);
                ring.places.push((ring.round_m + from_left_m, node));
            }
            ring.round_m += it.length_m;
        }
        let count = ring.places.len();
        for index in (0..count).filter(|_| count > 1) {
            let ends = [index, (index + 1) % count].map(|place| ring.places[place]);
            ring.join(house, graph, times, room, ends);
        }
        ring
    }

    /// Adds a place at a wall's foot, joined to its neighbours.
    pub fn place(
        &mut self,
        house: &House,
        graph: &mut Graph,
        times: &Times,
        wall: usize,
        from_left_m: f64,
        from_left: FromLeft,
    ) -> NodeId {
        let it = &house.walls[wall];
        let walls = &house.rooms[it.room].walls;
        let side = (walls.iter().position(|one| *one == wall)).expect("a wall of this room");
        let node = foot(house, graph, wall, from_left_m, from_left);
        let from_left_m = it.clamped(from_left_m);
        let new = (self.starts_m[side] + from_left_m, node);
        let count = self.places.len();
        let index = self.places.partition_point(|(place, _)| *place <= new.0);
        let (before, after) = (
            self.places[(index + count - 1) % count],
            self.places[index % count],
        );
        self.join(house, graph, times, it.room, [before, new]);
        self.join(house, graph, times, it.room, [new, after]);
        // What goes past a place in a doorway goes from jamb to jamb.
        if it.doorway([from_left_m; 2]).is_none() {
            self.places.insert(index, new);
        }
        node
    }

    /// Joins a place and the next one of the ring; both are on one wall, since corners part it.
    fn join(
        &self,
        house: &House,
        graph: &mut Graph,
        times: &Times,
        room: usize,
        [(from_m, a), (to_m, b)]: [(f64, NodeId); 2],
    ) {
        let to_m = if to_m < from_m {
            to_m + self.round_m
        } else {
            to_m
        };
        let side = self.starts_m.partition_point(|start| *start <= from_m) - 1;
        let wall = &house.walls[house.rooms[room].walls[side]];
        if wall.framing == Framing::Open {
            return;
        }
        let along_m = [from_m, to_m].map(|place_m| place_m - self.starts_m[side]);
        let length_m = to_m - from_m;
        // There is no baseboard in a doorway.
        let (medium, more_s) = match wall.doorway(along_m) {
            Some(_) => (Medium::Doorway, times.doorway.0),
            None => (Medium::Baseboard, 0.0),
        };
        let time_s = times.along(medium, Metres(length_m)).0 + more_s;
        graph.join(a, Move::free(b, medium, length_m, time_s));
    }
}

/// A place at a wall's foot.
fn foot(
    house: &House,
    graph: &mut Graph,
    wall: usize,
    from_left_m: f64,
    from_left: FromLeft,
) -> NodeId {
    let spot = Spot::Wall {
        wall,
        from_left,
        level: Level::Floor,
    };
    graph.add(house.walls[wall].point(from_left_m, 0.0), spot)
}

impl Wall {
    fn clamped(&self, from_left_m: f64) -> f64 {
        from_left_m.clamp(0.0, self.length_m)
    }

    /// The door in whose opening a stretch from left to right lies, or a place between its jambs.
    fn doorway(&self, [left_m, right_m]: [f64; 2]) -> Option<&[f64; 4]> {
        self.doors().find(|door| {
            let (low, high) = (door[0] - ROUNDING_M, door[1] + ROUNDING_M);
            let middle_m = 0.5 * (left_m + right_m);
            let is_between = door[0] + ROUNDING_M < middle_m && middle_m < door[1] - ROUNDING_M;
            is_between && low <= left_m && right_m <= high
        })
    }
}
