//! A way's legs: which steps are told as one, and in which words.

use model::GoesRound;
use routing::{Graph, Holes, Medium, NodeId, Obstacle, Part, Spot, Step};
use uncertainty::Uncertain;

use super::lengths::Places;
use super::plan::VoidKind;
use super::told::minutes;
use super::{Ends, Planned};
use crate::{Analysis, Known, LegKind, Route, RouteLeg};

/// A leg through the construction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passage {
    /// What it runs through.
    pub medium: Medium,
    /// Words for a cable list, such as "up the bay".
    pub words: String,
    /// Holes at least and at most.
    pub holes: [u32; 2],
    /// Time at least and at most, s.
    pub time_s: [u32; 2],
    /// What of which wall is drilled; none where it is drilled nowhere, or in a floor or ceiling.
    pub drilled: Option<Drilled>,
}

/// A part of a wall that is drilled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drilled {
    /// The wall's space, by its id.
    pub space: String,
    /// The wall, by its id.
    pub wall: String,
    /// The part.
    pub part: WallPart,
    /// The bay of a plate's hole, counted from the first stud; none for what runs past several.
    pub bay: Option<i32>,
}

/// Parts of a wall that are drilled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WallPart {
    /// Its studs.
    Studs,
    /// A block between studs.
    Block,
    /// The plate over its studs.
    TopPlate,
    /// The plate under its studs.
    SolePlate,
    /// Its boards.
    Boards,
}

/// A part of a way inside one space, in the space's own frame.
#[derive(Clone, Debug, PartialEq)]
pub struct PathPiece {
    /// The space, by its id.
    pub space: String,
    /// Its corners, m.
    pub points: Vec<[f64; 3]>,
}

/// A hole on a way: two cables with the same `part`, `at` and `lane` go through one hole.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleAt {
    /// What it goes through.
    pub part: GoesRound,
    /// The bay, stud or joist.
    pub at: i32,
    /// Where along that part.
    pub lane: i32,
    /// The time for it, less where it may not be needed, s.
    pub time_s: f64,
    /// The share of it that is needed in any case: 1 where all of it is.
    pub sure: f64,
}

impl HoleAt {
    /// Whether both are one hole.
    pub fn is_same(&self, other: &Self) -> bool {
        (self.at, self.lane) == (other.at, other.lane) && self.part == other.part
    }

    /// The time for it at least and at most, s.
    pub fn time_span_s(&self) -> [f64; 2] {
        // `time_s` is halfway between both.
        let most_s = 2.0 * self.time_s / (1.0 + self.sure);
        [self.sure * most_s, most_s]
    }
}

/// What a way takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// Time, s.
    pub time_s: [f64; 2],
    /// Holes.
    pub holes: [u32; 2],
    /// Each hole that there may be.
    pub each: Vec<HoleAt>,
    /// Cable without slack and loops, as unknown facts turn out, m.
    pub length_m: [f64; 2],
    /// What is dangerous or somebody else's work on the way.
    pub hazards: Vec<routing::Hazard>,
    /// Unknown facts that it rests on, in words.
    pub doubts: Vec<String>,
    /// What it costs by the shop's weights, s.
    pub price_s: f64,
}

impl Work {
    /// "3 holes, 1 h 17 min", and what is not known.
    pub fn words(&self) -> String {
        let work = work_words(self.holes, self.time_s);
        match self.doubts.as_slice() {
            [] => work,
            doubts => format!("{work}; not known: {}", doubts.join(", ")),
        }
    }
}

/// Holes and time in words: "3 holes, 1 h 17 min"; spans from the least to the most.
pub fn work_words(holes: [u32; 2], time_s: [f64; 2]) -> String {
    let holes = match holes {
        [0, 0] => "no hole".to_owned(),
        [1, 1] => "1 hole".to_owned(),
        [sure, most] if sure == most => format!("{most} holes"),
        [sure, most] => format!("{sure} to {most} holes"),
    };
    let [least, most] = time_s.map(minutes);
    match least == most {
        true => format!("{holes}, {most}"),
        false => format!("{holes}, {least} to {most}"),
    }
}

impl Analysis {
    pub(super) fn route_of(
        &self,
        ends: &Ends<'_>,
        graph: &Graph,
        found: &routing::Route,
    ) -> Known<Route> {
        let mut legs: Vec<RouteLeg> = Vec::new();
        let mut places = Places::default();
        for step in &found.steps {
            let length = self.step_length(ends, graph, step, &mut places)?;
            self.add_leg(ends, graph, (step, length), &mut legs);
        }
        let length = legs.iter().map(|leg| leg.length.clone()).sum();
        let planned = &ends.planned;
        let (time, holes, length_m) = (found.time_s(), found.holes(), found.length_m());
        let doubts = found.doubts().into_iter();
        Ok(Route {
            legs,
            length,
            path: pieces(self, planned, graph, found),
            work: Some(Work {
                time_s: [time.low, time.high],
                holes: [holes.low as u32, holes.high as u32],
                each: self.each_hole(planned, found),
                length_m: [length_m.low, length_m.high],
                hazards: found.hazards().into_iter().collect(),
                doubts: doubts
                    .map(|doubt| planned.doubts[doubt].what.clone())
                    .collect(),
                price_s: found.price_s,
            }),
        })
    }

    fn each_hole(&self, planned: &Planned, found: &routing::Route) -> Vec<HoleAt> {
        let mut each = Vec::new();
        for holes in found.steps.iter().filter_map(|step| step.by.holes) {
            let Some(part) = self.part_of(planned, holes.obstacle) else {
                continue;
            };
            let most = f64::from(holes.most.max(1));
            let time_s = holes.each_s * holes.count().middle() / most;
            each.extend(holes.each().map(|hole| HoleAt {
                part: part.clone(),
                at: hole.at,
                lane: hole.lane,
                time_s,
                sure: f64::from(holes.sure) / most,
            }));
        }
        each
    }

    /// Adds a step, or lengthens the leg before it where they are told as one.
    fn add_leg(
        &self,
        ends: &Ends<'_>,
        graph: &Graph,
        (step, length): (&Step, Uncertain),
        legs: &mut Vec<RouteLeg>,
    ) {
        let holes = step
            .by
            .holes
            .map_or([0, 0], |holes| [holes.sure, holes.most]);
        if length.value() < 1e-6 && holes[1] == 0 {
            return;
        }
        let along = self.leg_kind(ends, graph, step, holes);
        if let Some(last) = legs.last_mut()
            && let (LegKind::Through(before), LegKind::Through(now)) = (&mut last.along, &along)
            && before.words == now.words
            && before.drilled == now.drilled
            && (now.holes[1] == 0 || now.medium == Medium::StudBay)
        {
            for side in [0, 1] {
                before.time_s[side] += now.time_s[side];
                before.holes[side] += now.holes[side];
            }
            last.length = &last.length + &length;
            return;
        }
        legs.push(RouteLeg { along, length });
    }

    fn leg_kind(&self, ends: &Ends<'_>, graph: &Graph, step: &Step, holes: [u32; 2]) -> LegKind {
        let wall_of = |node: NodeId| match graph.node(node).spot {
            Spot::Wall { wall, .. } => Some(self.wall_name(&ends.planned, wall)),
            _ => None,
        };
        let [a, b] = step.points;
        let is_upright = (a.z - b.z).abs() > a.on_plan().distance(b.on_plan());
        if step.by.medium == Medium::Lead && !is_upright {
            if let Some(wall) = wall_of(step.nodes[1]) {
                return LegKind::ToWall(wall);
            }
            if let Some(wall) = wall_of(step.nodes[0]) {
                return LegKind::FromWall(wall);
            }
        }
        let time = step.by.time_in_all_s();
        LegKind::Through(Passage {
            medium: step.by.medium,
            words: self.words_of(&ends.planned, graph, step, holes),
            holes,
            time_s: [time.low.round() as u32, time.high.round() as u32],
            drilled: (step.by.holes).and_then(|holes| self.drilled(&ends.planned, &holes)),
        })
    }

    fn drilled(&self, planned: &Planned, holes: &Holes) -> Option<Drilled> {
        let (wall, part) = match holes.obstacle {
            Obstacle::Studs(wall) => (wall, WallPart::Studs),
            Obstacle::Block { wall, .. } => (wall, WallPart::Block),
            Obstacle::TopPlate(wall) => (wall, WallPart::TopPlate),
            Obstacle::SolePlate(wall) => (wall, WallPart::SolePlate),
            Obstacle::Boards(wall) => (wall, WallPart::Boards),
            Obstacle::Joists(_) | Obstacle::Conduit(_) | Obstacle::Other(_) => return None,
        };
        let (space, _) = planned.walls[wall];
        Some(Drilled {
            space: self.job.space[planned.spaces[space]].id.clone(),
            wall: self.wall_name(planned, wall),
            part,
            bay: matches!(part, WallPart::TopPlate | WallPart::SolePlate).then_some(holes.first),
        })
    }

    fn wall_name(&self, planned: &Planned, wall: usize) -> String {
        let (space, wall) = planned.walls[wall];
        self.job.space[planned.spaces[space]].walls[wall].id.clone()
    }

    fn words_of(&self, planned: &Planned, graph: &Graph, step: &Step, holes: [u32; 2]) -> String {
        let [a, b] = step.points;
        let is_upright = (a.z - b.z).abs() > a.on_plan().distance(b.on_plan());
        let way = match (is_upright, a.z < b.z) {
            (true, true) => "up",
            (true, false) => "down",
            (false, _) => "along",
        };
        let wall = (step.nodes.iter()).find_map(|node| match graph.node(*node).spot {
            Spot::Wall { wall, .. } => Some(self.wall_name(planned, wall)),
            _ => None,
        });
        let of_wall = wall.map_or_else(String::new, |wall| format!(" of {wall}"));
        let is_roof = step.void.is_some_and(|void| planned.voids[void].is_roof);
        let kind = step.void.map(|void| planned.voids[void].kind);
        let (one, many) = match is_roof {
            true => ("rafter", "rafters"),
            false => ("joist", "joists"),
        };
        match step.by.medium {
            Medium::StudBay if holes[1] > 0 => {
                format!("{way} the bay{of_wall}, where a block may be")
            }
            Medium::StudBay => format!("{way} the bay{of_wall}"),
            Medium::Stud => format!(
                "along{} through {}",
                of_wall.replacen(" of", "", 1),
                counted(holes, "stud", "studs")
            ),
            Medium::FireBlock => format!("through the block{}", self.block_words(planned, step)),
            Medium::Plate => match step.by.holes.map(|holes| holes.obstacle) {
                Some(Obstacle::SolePlate(_)) => format!("through the sole plate{of_wall}"),
                _ => format!("through the top plate{of_wall}"),
            },
            Medium::Board if kind == Some(VoidKind::Behind) => "out behind the wall".to_owned(),
            Medium::Board => format!("through the board{of_wall}"),
            Medium::JoistBay => match step.part {
                Part::Across => format!("across the {one} bay"),
                _ => format!("along the {many}"),
            },
            Medium::Joist => format!("through {}", counted(holes, one, many)),
            Medium::Attic if kind == Some(VoidKind::Behind) => "behind the wall".to_owned(),
            Medium::Attic => "through the attic".to_owned(),
            Medium::CrawlSpace => "through the crawl space".to_owned(),
            Medium::Soffit => "inside the soffit".to_owned(),
            Medium::Closet | Medium::Conduit => {
                format!("through {}", self.conduit_name(planned, graph, step))
            }
            Medium::Lead => way.to_owned(),
            Medium::Baseboard => "behind the baseboard".to_owned(),
            Medium::Doorway => "behind the baseboard past a door".to_owned(),
            Medium::Rug => "under the rug".to_owned(),
            Medium::Surface if is_upright => format!("{way} on the surface{of_wall}"),
            Medium::Surface => "across the floor".to_owned(),
            Medium::Masonry => format!("{way} in a slot{of_wall}"),
        }
    }

    fn block_words(&self, planned: &Planned, step: &Step) -> String {
        let Some(Obstacle::Block { wall, block }) = step.by.holes.map(|holes| holes.obstacle)
        else {
            return String::new();
        };
        self.block_height(planned, wall, block)
            .map_or_else(String::new, |height| {
                format!(" at {}", self.length(&height))
            })
    }

    /// Height of a block, by its position from below.
    pub(super) fn block_height(
        &self,
        planned: &Planned,
        wall: usize,
        block: usize,
    ) -> Option<Uncertain> {
        let (space, wall) = planned.walls[wall];
        let space = &self.job.space[planned.spaces[space]];
        let blocks = space
            .construction_of(&space.walls[wall].id)?
            .fire_block_at
            .as_ref()?;
        let mut heights: Vec<Uncertain> = blocks
            .iter()
            .filter_map(|height| self.number(Some(height)))
            .collect();
        heights.sort_by(|a, b| a.value().total_cmp(&b.value()));
        heights.into_iter().nth(block)
    }

    fn conduit_name(&self, planned: &Planned, graph: &Graph, step: &Step) -> String {
        let conduit = (step.nodes.iter()).find_map(|node| match graph.node(*node).spot {
            Spot::Mouth { conduit, .. } => Some(conduit),
            _ => None,
        });
        conduit.map_or_else(
            || "the conduit".to_owned(),
            |conduit| {
                self.job.pathway[planned.conduits[conduit]]
                    .label()
                    .replace('-', " ")
            },
        )
    }
}

/// "5 joists", "3 to 5 joists", "1 joist".
fn counted(holes: [u32; 2], one: &str, many: &str) -> String {
    match holes {
        [1, 1] => format!("1 {one}"),
        [sure, most] if sure == most => format!("{most} {many}"),
        [sure, most] => format!("{sure} to {most} {many}"),
    }
}

/// The way's corners, piece by piece in the spaces that it runs through.
fn pieces(
    analysis: &Analysis,
    planned: &Planned,
    graph: &Graph,
    found: &routing::Route,
) -> Vec<PathPiece> {
    let space_of = |node: NodeId| match graph.node(node).spot {
        Spot::Wall { wall, .. } => Some(planned.walls[wall].0),
        Spot::Mouth { conduit, mouth } => {
            let end = &analysis.job.pathway[planned.conduits[conduit]].ends[mouth];
            Some(planned.index_of(analysis.space_at(&end.space)?))
        }
        _ => None,
    };
    let mut pieces: Vec<(usize, Vec<[f64; 3]>)> = Vec::new();
    // An end is in the space of the first wall or void that its way meets.
    let known = |step: &Step| {
        let void = step.void.map(|void| planned.voids[void].space);
        [space_of(step.nodes[0]), space_of(step.nodes[1]), void]
    };
    let first = (found.steps.iter()).find_map(|step| known(step).into_iter().flatten().next());
    let mut here = first.unwrap_or(0);
    for step in &found.steps {
        let [from, to, _] = known(step);
        let homes = [from.unwrap_or(here), to.unwrap_or(from.unwrap_or(here))];
        if matches!(step.by.medium, Medium::Conduit | Medium::Closet) && homes[0] != homes[1] {
            here = homes[1];
            continue;
        }
        // A void's first part is drawn in the space that it comes from, its last where it goes.
        let is_first = step.points[0] == graph.node(step.nodes[0]).at;
        let is_last = step.points[1] == graph.node(step.nodes[1]).at;
        let spaces = match (homes[0] == homes[1], step.void.is_some()) {
            (true, _) => vec![homes[0]],
            (false, true) if !is_last => vec![homes[0]],
            (false, true) if !is_first => vec![homes[1]],
            (false, _) => homes.to_vec(),
        };
        for space in spaces {
            let points = step.points.map(|point| planned.frames[space].back(point));
            match pieces.last_mut() {
                Some((last, line)) if *last == space => line.extend(points),
                _ => pieces.push((space, points.to_vec())),
            }
        }
        here = homes[1];
    }
    let same = |a: &[f64; 3], b: &[f64; 3]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-6);
    (pieces.into_iter())
        .map(|(space, mut points)| {
            points.dedup_by(|a, b| same(a, b));
            PathPiece {
                space: analysis.job.space[planned.spaces[space]].id.clone(),
                points: without_middles(points),
            }
        })
        .filter(|piece| piece.points.len() > 1)
        .collect()
}

/// Drops points on the straight line between their neighbours.
fn without_middles(points: Vec<[f64; 3]>) -> Vec<[f64; 3]> {
    let mut kept: Vec<[f64; 3]> = Vec::with_capacity(points.len());
    for point in points {
        if let [.., before, middle] = kept[..] {
            let off = |a: [f64; 3], b: [f64; 3]| {
                let square: f64 = a.iter().zip(&b).map(|(a, b)| (a - b).powi(2)).sum();
                square.sqrt()
            };
            if off(before, middle) + off(middle, point) - off(before, point) < 1e-9 {
                kept.pop();
            }
        }
        kept.push(point);
    }
    kept
}
