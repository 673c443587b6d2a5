//! All that a crew asks about ways: the way in words, the best of another kind, what the dearest
//! hole costs, and which holes cables share. Searched on purpose, never inside a proof.

use std::collections::BTreeMap;

use model::{Cable, Edit, FramingPart, GoesRound, WayThrough};
use routing::{Medium, Obstacle, Reckoning, Route as Found, dear_step, of_another_kind};
use units::Dimension;

use super::plan::VoidKind;
use super::{PathPiece, Planned, Work};
use crate::{Analysis, Known, LegKind, Route};

/// Another way for the same cable.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherWay {
    /// The way.
    pub legs: Vec<String>,
    /// What the first way runs through and this one does not; empty where it goes round one part alone.
    pub leaves_out: Vec<WayThrough>,
    /// Where it runs, space by space.
    pub path: Vec<PathPiece>,
    /// What takes it.
    pub edits: Vec<Edit>,
    /// Cable without slack and loops, m.
    pub length_m: [f64; 2],
    /// Time, s.
    pub time_s: [f64; 2],
    /// Holes.
    pub holes: [u32; 2],
}

/// The obstacle that takes longest, and going round it.
#[derive(Clone, Debug, PartialEq)]
pub struct DearStepTold {
    /// A sentence with the numbers.
    pub sentence: String,
    /// Time for the obstacle's holes, s.
    pub time_s: f64,
    /// The way round it; none where that is the best way of another kind.
    pub round: Option<OtherWay>,
}

/// A cable's way and its alternatives.
#[derive(Clone, Debug)]
pub struct WayTold {
    /// The cable's id.
    pub cable: String,
    /// The way.
    pub route: Route,
    /// The best way of another kind.
    pub other: Option<OtherWay>,
    /// The dearest step.
    pub dear: Option<DearStepTold>,
}

/// A hole that several cables share.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharedHole {
    /// What it goes through, in words.
    pub through: String,
    /// How many holes they share there.
    pub holes: u32,
    /// The cables, by id.
    pub cables: Vec<String>,
}

/// All cables by the ways that they take, with shared holes counted once.
#[derive(Clone, Debug, PartialEq)]
pub struct WaysTogether {
    /// What the cables would take one by one, by the shop's weights, s.
    pub alone_s: f64,
    /// What they take together, s.
    pub together_s: f64,
    /// Holes that two cables or more share.
    pub shared: Vec<SharedHole>,
    /// Cables to pull in one go, longest pulls first.
    pub pulls: Vec<Vec<String>>,
}

impl Analysis {
    /// A cable's way with what else there would be.
    pub fn way_told(&self, cable: &Cable) -> Known<WayTold> {
        let route = self.route(cable)?.clone();
        let mut told = WayTold {
            cable: cable.id.clone(),
            route,
            other: None,
            dear: None,
        };
        if told.route.work.is_none() {
            return Ok(told);
        }
        let (Some(from), Some(to)) = (self.held_at(&cable.from), self.held_at(&cable.to)) else {
            return Ok(told);
        };
        let ends = self.ends(cable, [from, to])?;
        let joined = ends.planned.joined(&ends.ends);
        let (graph, nodes) = (joined.graph(), joined.nodes());
        let bars = self.bars(&ends.planned, cable, cable.way);
        let weights = self.weights();
        let by = Reckoning::new(&weights, &bars);
        let Some(best) = joined.cheapest(&weights, &bars, Reckoning::HALFWAY) else {
            return Ok(told);
        };
        if let Some(other) = of_another_kind(graph, nodes, &best, &by) {
            let media = other.media();
            let leaves_out = best.media().iter().filter(|medium| !media.holds(*medium));
            let leaves_out: Vec<WayThrough> = leaves_out.map(through).collect();
            let edits = vec![cable.kept_out_of(&leaves_out)];
            let route = self.route_of(&ends, graph, &other)?;
            told.other = Some(self.other_way(&route, &other, leaves_out, edits));
        }
        if let Some(dear) = dear_step(graph, nodes, &best, &by) {
            let sentence = self.dear_sentence(&ends.planned, &best, &dear);
            let this = self.part_of(&ends.planned, dear.obstacle);
            let round = match (&dear.round, this) {
                (Some(found), Some(this)) => {
                    let route = self.route_of(&ends, graph, found)?;
                    let edits = vec![cable.gone_round(this)];
                    Some(self.other_way(&route, found, Vec::new(), edits))
                }
                _ => None,
            };
            // The best way of another kind is offered once.
            let is_other = |round: &OtherWay| {
                (told.other.as_ref()).is_some_and(|other| other.path == round.path)
            };
            let round = round.filter(|round| !is_other(round));
            told.dear = Some(DearStepTold {
                sentence,
                time_s: dear.time_s,
                round,
            });
        }
        Ok(told)
    }

    fn other_way(
        &self,
        route: &Route,
        found: &Found,
        leaves_out: Vec<WayThrough>,
        edits: Vec<Edit>,
    ) -> OtherWay {
        OtherWay {
            legs: self.leg_words(route),
            leaves_out,
            path: route.path.clone(),
            edits,
            length_m: span(found.length_m()),
            time_s: span(found.time_s()),
            holes: span(found.holes()).map(|holes| holes as u32),
        }
    }

    /// What is drilled, as a job names it; none for what no job names.
    pub(super) fn part_of(&self, planned: &Planned, obstacle: Obstacle) -> Option<GoesRound> {
        let of_wall = |wall: usize, part, row| {
            let (space, wall) = planned.walls[wall];
            let space = &self.job.space[planned.spaces[space]];
            Some(GoesRound {
                space: space.id.clone(),
                of: space.walls[wall].id.clone(),
                part,
                row,
            })
        };
        match obstacle {
            Obstacle::Block { wall, block } => {
                let row = u32::try_from(block).ok()?.checked_add(1)?;
                of_wall(wall, FramingPart::FireBlock, Some(row))
            }
            Obstacle::TopPlate(wall) => of_wall(wall, FramingPart::TopPlate, None),
            Obstacle::SolePlate(wall) => of_wall(wall, FramingPart::SolePlate, None),
            Obstacle::Studs(wall) => of_wall(wall, FramingPart::Studs, None),
            Obstacle::Boards(wall) => of_wall(wall, FramingPart::Board, None),
            Obstacle::Joists(void) => {
                let void = planned.voids[void];
                let of = match void.kind {
                    VoidKind::Above => "ceiling",
                    VoidKind::Below => "floor",
                    VoidKind::Behind | VoidKind::Soffit => return None,
                };
                Some(GoesRound {
                    space: self.job.space[planned.spaces[void.space]].id.clone(),
                    of: of.to_owned(),
                    part: FramingPart::Joists,
                    row: None,
                })
            }
            Obstacle::Conduit(_) | Obstacle::Other(_) => None,
        }
    }

    /// The other way about; none where the plan has no such part.
    pub(super) fn obstacle_of(&self, planned: &Planned, round: &GoesRound) -> Option<Obstacle> {
        let is_it = |at: &usize| self.job.space[*at].id == round.space;
        let index = planned.spaces.iter().position(is_it)?;
        if round.part == FramingPart::Joists {
            let kind = match round.of.as_str() {
                "ceiling" => VoidKind::Above,
                _ => VoidKind::Below,
            };
            let void =
                (planned.voids.iter()).position(|void| void.space == index && void.kind == kind)?;
            return Some(Obstacle::Joists(void));
        }
        let wall =
            planned.first_wall[index] + self.job.space[planned.spaces[index]].wall(&round.of)?;
        Some(match round.part {
            FramingPart::FireBlock => Obstacle::Block {
                wall,
                block: round.row.unwrap_or(1).saturating_sub(1) as usize,
            },
            FramingPart::TopPlate => Obstacle::TopPlate(wall),
            FramingPart::SolePlate => Obstacle::SolePlate(wall),
            FramingPart::Studs => Obstacle::Studs(wall),
            FramingPart::Board => Obstacle::Boards(wall),
            FramingPart::Joists => return None,
        })
    }

    /// "the top plate of wall street", where a cable was told to go round it.
    pub fn round_words(&self, round: &GoesRound) -> String {
        let GoesRound {
            space,
            of,
            part,
            row,
        } = round;
        let label = self
            .space(space)
            .map_or(space.as_str(), |space| space.label());
        let what = match (part, row) {
            (FramingPart::FireBlock, Some(row)) if *row > 1 => {
                return format!("the row of blocks {row} of wall {of} in {label}");
            }
            (FramingPart::FireBlock, _) => "the lowest row of blocks",
            (FramingPart::TopPlate, _) => "the top plate",
            (FramingPart::SolePlate, _) => "the sole plate",
            (FramingPart::Studs, _) => "the studs",
            (FramingPart::Board, _) => "the board",
            (FramingPart::Joists, _) => return format!("the joists of the {of} of {label}"),
        };
        format!("{what} of wall {of} in {label}")
    }

    /// The item that holds what is at a cable's end, or the thing itself.
    pub(super) fn held_at(&self, end: &str) -> Option<&model::Item> {
        let item = self.item_at_end(end)?;
        self.holders(item).last()
    }

    /// Each leg with its length: "up the bay of street 2.1 m".
    pub fn leg_words(&self, route: &Route) -> Vec<String> {
        let legs = route.legs.iter().map(|leg| {
            let words = leg.along.words();
            match leg.length.value() {
                length_m if length_m < 1e-6 => words,
                _ => format!("{words} {}", self.length(&leg.length)),
            }
        });
        legs.collect()
    }

    fn dear_sentence(&self, planned: &Planned, best: &Found, dear: &routing::DearStep) -> String {
        let what = self.obstacle_words(planned, dear.obstacle);
        let how = match dear.obstacle {
            Obstacle::Block { .. } | Obstacle::Studs(_) => "open the board and drill",
            Obstacle::Joists(_) => "open the boards and drill",
            _ => "drill",
        };
        let start = format!("{what} costs {}: {how}", minutes(dear.time_s));
        let Some(round) = &dear.round else {
            return format!("{start}; there is no other way.");
        };
        let more_m = round.length_m().middle() - best.length_m().middle();
        let more_s = round.time_s().middle() - best.time_s().middle();
        let by = (round.steps.iter())
            .filter(|step| !best.media().holds(step.by.medium))
            .max_by(|a, b| {
                let time_s = |step: &routing::Step| step.by.time_in_all_s().middle();
                time_s(a).total_cmp(&time_s(b))
            })
            .map(|step| medium_words(step.by.medium));
        let length = self.exact(more_m.abs(), Dimension::Length);
        let length = match more_m {
            more_m if more_m.abs() < 0.01 => "no more cable".to_owned(),
            more_m if more_m > 0.0 => format!("{length} more cable"),
            _ => format!("{length} less cable"),
        };
        let time = match more_s {
            more_s if more_s.abs() < 30.0 => "the same time".to_owned(),
            more_s if more_s > 0.0 => format!("{} more", minutes(more_s)),
            _ if round.media().iter().any(Medium::is_last_resort) => {
                format!("{} less, but it is seen", minutes(-more_s))
            }
            _ => format!("{} less, but more holes", minutes(-more_s)),
        };
        let by = by.map_or_else(|| "another bay".to_owned(), str::to_owned);
        format!("{start}, or go round by {by}: {length} and {time}.")
    }

    pub(super) fn obstacle_words(&self, planned: &Planned, obstacle: Obstacle) -> String {
        let wall = |wall: usize| {
            let (space, wall) = planned.walls[wall];
            self.job.space[planned.spaces[space]].walls[wall].id.clone()
        };
        match obstacle {
            Obstacle::Block { wall: at, block } => match self.block_height(planned, at, block) {
                Some(height) => {
                    format!(
                        "the fire block at {} in wall {}",
                        self.length(&height),
                        wall(at)
                    )
                }
                None => format!("a block that may be in wall {}", wall(at)),
            },
            Obstacle::TopPlate(at) => format!("the top plate of wall {}", wall(at)),
            Obstacle::SolePlate(at) => format!("the sole plate of wall {}", wall(at)),
            Obstacle::Studs(at) => format!("going through the studs of wall {}", wall(at)),
            Obstacle::Boards(at) => format!("the board of wall {}", wall(at)),
            Obstacle::Joists(void) => match planned.voids[void].is_roof {
                true => "going across the rafters".to_owned(),
                false => "going across the joists".to_owned(),
            },
            Obstacle::Conduit(_) | Obstacle::Other(_) => "that".to_owned(),
        }
    }

    /// Every cable that is pulled by the way that it takes, each hole drilled once.
    pub fn ways_together(&self) -> WaysTogether {
        let is_pulled = |cable: &&Cable| cable.existing.is_none() && cable.legs.is_empty();
        let found = (self.cables().filter(is_pulled)).filter_map(|cable| {
            let work = self.route(cable).ok()?.work.as_ref()?;
            Some((cable, work))
        });
        let found: Vec<(&Cable, &Work)> = found.collect();
        let mut users_of: BTreeMap<(&GoesRound, i32, i32), Vec<usize>> = BTreeMap::new();
        let alone_s = found.iter().map(|(_, work)| work.price_s).sum();
        let (mut together_s, hole_s) = (alone_s, self.weights().hole.0);
        for (index, (_, work)) in found.iter().enumerate() {
            for hole in &work.each {
                let users = users_of
                    .entry((&hole.part, hole.at, hole.lane))
                    .or_default();
                if users.last() == Some(&index) {
                    continue;
                }
                if !users.is_empty() {
                    together_s -= hole.time_s + 0.5 * (1.0 + hole.sure) * hole_s;
                }
                users.push(index);
            }
        }
        users_of.retain(|_, users| users.len() > 1);
        let mut by_words: BTreeMap<(String, &[usize]), u32> = BTreeMap::new();
        for ((part, ..), users) in &users_of {
            let words = self.shared_words(found[users[0]].0, part);
            *by_words.entry((words, users.as_slice())).or_default() += 1;
        }
        let shared = by_words
            .into_iter()
            .map(|((words, users), holes)| SharedHole {
                through: match holes {
                    1 => words,
                    holes => format!("{words}, {holes} holes"),
                },
                holes,
                cables: (users.iter().map(|user| found[*user].0.id.clone())).collect(),
            });
        WaysTogether {
            alone_s,
            together_s,
            shared: shared.collect(),
            pulls: pulls(&found, users_of.values()),
        }
    }

    /// What a cable is drilled through, in words.
    fn shared_words(&self, cable: &Cable, part: &GoesRound) -> String {
        let items = self.held_at(&cable.from).zip(self.held_at(&cable.to));
        let ends = items.and_then(|(from, to)| self.ends(cable, [from, to]).ok());
        let words = ends.and_then(|ends| {
            let obstacle = self.obstacle_of(&ends.planned, part)?;
            Some(self.obstacle_words(&ends.planned, obstacle))
        });
        words.unwrap_or_else(|| self.round_words(part))
    }
}

/// Cables that share a hole are pulled in one go; the longest of each first.
fn pulls<'a>(
    cables: &[(&Cable, &Work)],
    shared: impl Iterator<Item = &'a Vec<usize>>,
) -> Vec<Vec<String>> {
    let mut pull_of: Vec<usize> = (0..cables.len()).collect();
    for users in shared {
        let pulls: Vec<usize> = users.iter().map(|user| pull_of[*user]).collect();
        let into = pulls.iter().copied().min().unwrap_or(0);
        for pull in &mut pull_of {
            if pulls.contains(pull) {
                *pull = into;
            }
        }
    }
    let length_m = |cable: usize| cables[cable].1.length_m[1];
    let mut by_pull: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (cable, pull) in pull_of.iter().enumerate() {
        by_pull.entry(*pull).or_default().push(cable);
    }
    let mut pulls: Vec<Vec<usize>> = by_pull.into_values().collect();
    for pull in &mut pulls {
        pull.sort_by(|a, b| length_m(*b).total_cmp(&length_m(*a)).then(a.cmp(b)));
    }
    pulls.sort_by(|a, b| length_m(b[0]).total_cmp(&length_m(a[0])).then(a.cmp(b)));
    pulls.sort_by_key(|pull| std::cmp::Reverse(pull.len()));
    let names = |pull: Vec<usize>| {
        pull.into_iter()
            .map(|cable| cables[cable].0.id.clone())
            .collect()
    };
    pulls.into_iter().map(names).collect()
}

fn span(of: routing::Span) -> [f64; 2] {
    [of.low, of.high]
}

/// "25 min", "1 h 40 min".
pub fn minutes(time_s: f64) -> String {
    let minutes = (time_s / 60.0).round() as i64;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

fn medium_words(medium: Medium) -> &'static str {
    through(medium).words()
}

/// A medium as a job names it.
fn through(medium: Medium) -> WayThrough {
    match medium {
        Medium::StudBay => WayThrough::StudBays,
        Medium::Stud => WayThrough::Studs,
        Medium::FireBlock => WayThrough::FireBlock,
        Medium::Plate => WayThrough::Plates,
        Medium::Board => WayThrough::Board,
        Medium::JoistBay => WayThrough::JoistBays,
        Medium::Joist => WayThrough::Joists,
        Medium::Attic => WayThrough::Attic,
        Medium::CrawlSpace => WayThrough::CrawlSpace,
        Medium::Soffit => WayThrough::Soffit,
        Medium::Closet => WayThrough::Closet,
        Medium::Conduit => WayThrough::Conduit,
        Medium::Lead => WayThrough::Lead,
        Medium::Baseboard => WayThrough::Baseboard,
        Medium::Doorway => WayThrough::Doorway,
        Medium::Rug => WayThrough::Rug,
        Medium::Surface => WayThrough::Surface,
        Medium::Masonry => WayThrough::Masonry,
    }
}

/// What a job names, as media.
pub(super) fn media(of: &[WayThrough]) -> impl Iterator<Item = Medium> {
    (Medium::ALL.into_iter()).filter(|medium| of.contains(&through(*medium)))
}

impl Route {
    /// Holes at least and at most; nothing where the way was not found in the construction.
    pub fn holes(&self) -> Option<[u32; 2]> {
        self.work.as_ref().map(|work| work.holes)
    }

    /// Whether any part of it is for all to see.
    pub fn is_seen(&self) -> bool {
        self.legs.iter().any(|leg| match &leg.along {
            LegKind::Through(passage) => passage.medium.is_last_resort(),
            _ => false,
        })
    }
}
