//! From bay to bay: along the plates and through the studs between them.

use std::sync::Arc;

use units::Metres;

use super::{Column, HouseGraph};
use crate::graph::{Holes, Move, Obstacle};
use crate::house::{Framing, Studs, Wall};
use crate::medium::Medium;
use crate::span::Span;
use crate::void::{between, real_spacing};

/// Above an opening stands its header, m (common practice, no source).
pub(super) const HEADER_M: f64 = 0.15;

impl HouseGraph {
    /// Joins neighbouring columns along the sole plate and under the top plate.
    pub(super) fn rows(&mut self, wall: usize, studs: &Studs, [left, right]: [usize; 2]) {
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
    pub(super) fn sideways(&self, wall: usize, studs: &Studs, places: [f64; 2], lane: i32) -> Move {
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
    pub(super) fn join_same_bay(&mut self, here: &Column, there: &Column) {
        for segment in here.segments.iter() {
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
}

/// The bay of a place along a wall.
pub(super) fn bay(wall: &Wall, from_left_m: f64) -> i32 {
    match &wall.framing {
        Framing::Studs(studs) => ((from_left_m - studs.first_m.unwrap_or(0.0))
            / real_spacing(studs.spacing_m))
        .floor() as i32,
        _ => (from_left_m / 0.4).floor() as i32,
    }
}

/// Whether no opening lies between two places of a wall at or between their heights.
pub(super) fn is_clear(wall: &Wall, a: [f64; 2], b: [f64; 2]) -> bool {
    let (left, right) = (a[0].min(b[0]), a[0].max(b[0]));
    let (low, high) = (a[1].min(b[1]), a[1].max(b[1]));
    !(wall.openings.iter()).any(|opening| {
        opening[0] < right && opening[1] > left && opening[2] < high && opening[3] + HEADER_M > low
            || opening[0] < right && opening[1] > left && opening[2] <= low && high <= opening[3]
    })
}
