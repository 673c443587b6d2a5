//! The baseboard round a room: places in order, each joined to the next.

use crate::graph::{FromLeft, Graph, Level, Move, NodeId, Spot};
use crate::house::{Framing, House};
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

impl Ring {
    /// The corners of a room.
    pub fn new(house: &House, room: usize, graph: &mut Graph, times: &Times) -> Self {
        let mut ring = Self::default();
        for wall in &house.rooms[room].walls {
            ring.starts_m.push(ring.round_m);
            ring.round_m += house.walls[*wall].length_m;
        }
        for wall in &house.rooms[room].walls {
            ring.place(house, graph, times, *wall, 0.0, FromLeft::Chosen(0.0));
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
        let walls = &house.rooms[house.walls[wall].room].walls;
        let side = (walls.iter().position(|one| *one == wall)).expect("a wall of this room");
        let spot = Spot::Wall {
            wall,
            from_left,
            level: Level::Floor,
        };
        let at = house.walls[wall].point(from_left_m, 0.0);
        let new = graph.add(at, spot);
        let place_m = self.starts_m[side] + from_left_m.clamp(0.0, house.walls[wall].length_m);
        let index = self.places.partition_point(|(place, _)| *place <= place_m);
        self.places.insert(index, (place_m, new));
        let count = self.places.len();
        if count > 1 {
            let before = (index + count - 1) % count;
            self.join(house, graph, times, walls, [before, index]);
        }
        if count > 2 {
            let after = (index + 1) % count;
            self.join(house, graph, times, walls, [index, after]);
        }
        new
    }

    fn join(
        &self,
        house: &House,
        graph: &mut Graph,
        times: &Times,
        walls: &[usize],
        [from, to]: [usize; 2],
    ) {
        let ((from_m, a), (to_m, b)) = (self.places[from], self.places[to]);
        let to_m = if to_m < from_m {
            to_m + self.round_m
        } else {
            to_m
        };
        // Corners part the ring, so both places are on the wall of the first, unless corners
        // are still missing.
        let side = self.starts_m.partition_point(|start| *start <= from_m) - 1;
        let wall = &house.walls[walls[side]];
        let (left_m, right_m) = (from_m - self.starts_m[side], to_m - self.starts_m[side]);
        if right_m > wall.length_m + 1e-9 || wall.framing == Framing::Open {
            return;
        }
        let doors = wall.doors().filter(|door| {
            let middle = 0.5 * (door[0] + door[1]);
            left_m < middle && middle <= right_m
        });
        let doors = doors.count();
        let length_m = right_m - left_m;
        let medium = match doors {
            0 => Medium::Baseboard,
            _ => Medium::Doorway,
        };
        let time_s =
            times.along(Medium::Baseboard, Metres(length_m)).0 + times.doorway.0 * doors as f64;
        graph.join(a, Move::free(b, medium, length_m, time_s));
    }
}
