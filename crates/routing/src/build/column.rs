//! Columns: the bays of a wall from plate to plate, cut by blocks and openings.

use std::sync::Arc;

use units::Metres;

use super::side::{HEADER_M, bay};
use super::{Column, HouseGraph, Segment};
use crate::graph::{FromLeft, Holes, Level, Move, NodeId, Obstacle, Spot};
use crate::house::{Blocks, Framing, Studs, Wall};
use crate::medium::{Hazard, Medium};
use crate::span::Span;
use crate::void::real_spacing;

/// No block stands nearer to a plate than this, m (common practice, no source).
const BLOCK_OFF_PLATE_M: f64 = 0.6;
/// Walls of more bays are slips of the pen; their far end has no columns of its own.
const BAYS_MAX: f64 = 400.0;
/// Nearer to a corner nobody drills, m (common practice, no source).
const CORNER_M: f64 = 0.03;

impl HouseGraph {
    /// A column where a wall is; nothing past its ends.
    pub(super) fn column_within(&mut self, wall: usize, from_left_m: f64, from_left: FromLeft) {
        if CORNER_M < from_left_m && from_left_m < self.house.walls[wall].length_m - CORNER_M {
            self.column(wall, from_left_m, from_left, true);
        }
    }

    /// Adds a column and joins it to its neighbours; none where no wall stands.
    pub(super) fn column(
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
        let foot = Arc::make_mut(&mut self.rings[it.room]).place(
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
            segments: segments.into(),
            foot,
        };
        self.join_up(wall, &column, from_left);
        let index = self.columns[wall].partition_point(|one| one.from_left_m <= from_left_m);
        Arc::make_mut(&mut self.columns[wall]).insert(index, column.clone());
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
    pub(super) fn upright(
        &self,
        wall: usize,
        from_left_m: f64,
        to: NodeId,
        length_m: f64,
    ) -> Vec<Move> {
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
}

/// The middle of each bay, m.
pub(super) fn bay_middles(wall: &Wall) -> Vec<f64> {
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
