//! What every seat hears, from the subs as planned and from the best places there are.

use std::ops::ControlFlow;

use analysis::{Analysis, importance_of};
use model::Space;
use num_complex::Complex;
use subwoofers::{
    Arrangement, Difference, Effort, Goal, Grid, Place, Score, Setting, Transfers, Wanted,
    difference, levels, score, search,
};
use units::{Decibels, Hertz};
use waves::Finish;

use crate::frame::point;
use crate::places::{SubPlace, sub_places};
use crate::solved::{SolveFault, Solved};
use crate::subs::{output_db, planned_subs};

/// What a space's bass comes to.
#[derive(Clone, Debug)]
pub struct Study {
    /// Responses hold up to here.
    pub holds_up_to: Hertz,
    /// What was assumed and left out, in sentences.
    pub assumed: Vec<String>,
    /// Seats by id, in the order of all tables.
    pub seats: Vec<String>,
    /// The lines at which the search compares, a twelfth of an octave apart.
    pub frequencies: Vec<Hertz>,
    /// The room's resonances, lowest first.
    pub modes: Vec<Named>,
    /// The subs as planned; `None` without a placed sub.
    pub planned: Option<Judged>,
    /// The best for one sub, two, and so on, as many as were asked for.
    pub best: Vec<Arranged>,
    /// Every place, and what one sub there would come to.
    pub places: Vec<Judged>,
}

/// The best arrangements of a number of subs, one for each kind, best first.
#[derive(Clone, Debug)]
pub struct Arranged {
    /// The best, then runners-up of other kinds.
    pub ranked: Vec<Judged>,
    /// Whether the best is proven to be the best on the grid of settings.
    pub is_proven: bool,
}

/// An arrangement with what it comes to.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The subs.
    pub subs: Vec<Placed>,
    /// Spread, flatness and output.
    pub score: Score,
    /// How far √MSV may be off, dB, 95 %: twice its deviation over rooms with half to
    /// twice the absorption.
    pub spread_off: Decibels,
    /// Whether it is as good as the first of its list, as far as the room is known.
    pub equals_best: bool,
    /// Level at each seat over one sub's in free field at 1 m: `levels[seat][frequency]`.
    pub levels: Vec<Vec<Decibels>>,
}

/// A sub of an arrangement.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// Where it is.
    pub words: String,
    /// What a person would call places like it.
    pub kind: String,
    /// The middle of its case, m.
    pub at: [f64; 3],
    /// What is set on it.
    pub setting: Setting,
}

/// A resonance with what makes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Named {
    /// Where it resonates with the room as finished.
    pub frequency: Hertz,
    /// How long it rings, s for 60 dB.
    pub t60_s: f64,
    /// The surfaces that it presses on most, strongest first.
    pub between: Vec<String>,
    /// Seats that sit in its null.
    pub nulls: Vec<String>,
}

/// What a study is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Up to so many subs, one to four.
    pub subs: usize,
    /// What can be set on each.
    pub grid: Grid,
    /// How many runners-up are told.
    pub runners_up: usize,
    /// The level that all subs together should reach at the seats, if their sheet tells
    /// what one makes.
    pub wanted: Decibels,
}

/// Search lines run from here to here, Hz.
const FROM_HZ: f64 = 20.0;
const TO_HZ: f64 = 120.0;
const LINES_PER_OCTAVE: f64 = 12.0;

/// Absorption at low frequency is not known better than within a factor of two either way
/// (common practice, no source).
const ROOMS: [f64; 5] = [
    1.0,
    0.5,
    std::f64::consts::FRAC_1_SQRT_2,
    std::f64::consts::SQRT_2,
    2.0,
];

/// A seat with less of a mode than this, of its mean, sits in its null.
const NULL_SHARE: f64 = 0.2;
/// A surface with more than this of a mode's mean square pressure is one that makes it: 2 on
/// both walls of an axial mode, 1 on those that it runs along.
const PRESSED: f64 = 1.6;

impl Asked {
    /// Up to four subs on the usual grid, three runners-up, the level of full-scale effects.
    pub fn usual() -> Self {
        Self {
            subs: 4,
            grid: Grid::usual(),
            runners_up: 3,
            wanted: Decibels(115.0),
        }
    }
}

/// Studies a solved space. `progress` is told the share that is done and may stop it.
///
/// # Errors
///
/// What the survey lacks (a seat, for one), or a stop.
pub fn study(
    solved: &Solved,
    analysis: &Analysis,
    space: &Space,
    asked: &Asked,
    progress: &(dyn Fn(f64) -> ControlFlow<()> + Sync),
) -> Result<Study, SolveFault> {
    Work::new(solved, analysis, space, asked)?.study(asked, progress)
}

struct Work<'a> {
    solved: &'a Solved,
    subs: Vec<SubPlace>,
    /// Places as planned, numbered after those that are free.
    planned: Vec<usize>,
    /// The room as it is thought to be, then with less and more absorption.
    rooms: Vec<Transfers>,
    goal: Goal,
    assumed: Vec<String>,
}

impl<'a> Work<'a> {
    fn new(
        solved: &'a Solved,
        analysis: &Analysis,
        space: &Space,
        asked: &Asked,
    ) -> Result<Self, SolveFault> {
        let mut assumed = solved.room.assumed.clone();
        let subs = planned_subs(analysis, space);
        let mut places = sub_places(analysis, space, &subs)?;
        let modes = &solved.modes;
        places.retain(|place| modes.place(point(place.at)).is_some());
        let free = places.len();
        for sub in &subs {
            match sub.at {
                Some(at) if modes.place(point(at)).is_some() => places.push(SubPlace {
                    at,
                    kind: "as planned".into(),
                    words: format!("{}, where it is planned", sub.label),
                    wall: None,
                }),
                _ => assumed.push(format!("{} has no place in the room yet", sub.label)),
            }
        }
        let planned = (free..places.len()).collect();
        let frequencies = lines();
        let importance: Vec<f64> = solved
            .ears
            .iter()
            .map(|(id, _)| {
                let seat = space.seat.iter().find(|seat| seat.id == *id);
                seat.map_or(1.0, importance_of).max(0.1)
            })
            .collect();
        if importance.is_empty() {
            return Err(SolveFault::Missing(analysis::Missing::new(
                format!("where anyone sits in {}", space.label()),
                format!("space.{}.seat", space.id),
                analysis::Means::Tape,
            )));
        }
        let rooms: Vec<Transfers> = ROOMS
            .iter()
            .map(|scale| transfers(solved, *scale, &places, &frequencies, &importance))
            .collect();
        let hertz: Vec<f64> = frequencies.iter().map(|frequency| frequency.0).collect();
        let mut goal = Goal::even(&rooms[0]);
        let output = subs.first().and_then(|sub| output_db(sub.kit, &hertz));
        assumed.push(
            "± says what half and twice the absorption would change; below 125 Hz it is taken as at 125 Hz (common practice, no source)"
                .into(),
        );
        match output {
            Some(output) => {
                assumed.push(format!(
                    "reserve is over {:.0} dB for all subs together; below its lowest note a sub is taken to fall by 24 dB an octave (common practice, no source)",
                    asked.wanted.0
                ));
                let output: Vec<Decibels> = output.into_iter().map(Decibels).collect();
                goal = goal
                    .with_output(&output, asked.wanted)
                    .expect("the output has one level for each line");
            }
            None => assumed.push(
                "what one sub can put out is not known: places are compared by evenness alone"
                    .into(),
            ),
        }
        Ok(Self {
            solved,
            subs: places,
            planned,
            rooms,
            goal,
            assumed,
        })
    }

    fn study(
        self,
        asked: &Asked,
        progress: &(dyn Fn(f64) -> ControlFlow<()> + Sync),
    ) -> Result<Study, SolveFault> {
        let plain = |places: &[usize]| Arrangement {
            subs: places
                .iter()
                .map(|&place| (place, Setting::PLAIN))
                .collect(),
        };
        let free = self.subs.len() - self.planned.len();
        let most = asked.subs.min(free).min(4);
        let mut best = Vec::new();
        // Planned places are no choice of their own: the search is over free ones.
        let open = self.rooms[0].first(free);
        for subs in 1..=most {
            let wanted = Wanted {
                subs,
                kept: Vec::new(),
                grid: asked.grid.clone(),
                runners_up: asked.runners_up,
            };
            let part = |share: f64| {
                let done = (subs as f64 - 1.0 + share) / most as f64;
                progress(done) == ControlFlow::Continue(())
            };
            let found = search(&open, &self.goal, &wanted, &part)
                .map_err(|_| SolveFault::Solve(waves::SolveError::Stopped))?;
            let first = found
                .ranked
                .first()
                .map(|(arrangement, _)| arrangement.clone());
            let ranked = found
                .ranked
                .iter()
                .map(|(arrangement, _)| self.judge(arrangement, first.as_ref()))
                .collect();
            best.push(Arranged {
                ranked,
                is_proven: found.effort == Effort::Every,
            });
        }
        let placed = (!self.planned.is_empty()).then(|| plain(&self.planned));
        let planned = placed.map(|planned| {
            let count = planned.subs.len();
            let rival = best
                .get(count - 1)
                .and_then(|arranged: &Arranged| arranged.ranked.first());
            let rival = rival.map(|rival| self.arrangement_of(rival));
            self.judge(&planned, rival.as_ref())
        });
        let alone: Vec<Judged> = (0..free)
            .map(|place| self.judge(&plain(&[place]), None))
            .collect();
        Ok(Study {
            holds_up_to: self.solved.modes.holds_up_to(),
            seats: self.solved.ears.iter().map(|(id, _)| id.clone()).collect(),
            frequencies: self.rooms[0].frequencies().collect(),
            modes: self.named(),
            planned,
            best,
            places: alone,
            assumed: self.assumed,
        })
    }

    fn judge(&self, arrangement: &Arrangement, against: Option<&Arrangement>) -> Judged {
        let told = score(&self.rooms[0], &self.goal, arrangement);
        let spreads: Vec<f64> = self
            .rooms
            .iter()
            .map(|room| score(room, &self.goal, arrangement).spread.0)
            .collect();
        let equals_best = against.is_some_and(|best| {
            let apart: Difference = difference(&self.rooms, &self.goal, best, arrangement);
            apart.is_equal() || apart.mean < 0.0
        });
        Judged {
            subs: arrangement
                .subs
                .iter()
                .map(|&(place, setting)| {
                    let SubPlace {
                        at, kind, words, ..
                    } = self.subs[place].clone();
                    Placed {
                        words,
                        kind,
                        at,
                        setting,
                    }
                })
                .collect(),
            score: told,
            spread_off: Decibels(2.0 * deviation(&spreads)),
            equals_best,
            levels: levels(&self.rooms[0], arrangement),
        }
    }

    fn arrangement_of(&self, judged: &Judged) -> Arrangement {
        let place = |placed: &Placed| {
            let at = self.subs.iter().position(|sub| sub.at == placed.at);
            at.expect("an arrangement is made of the places")
        };
        Arrangement {
            subs: judged
                .subs
                .iter()
                .map(|placed| (place(placed), placed.setting))
                .collect(),
        }
    }

    fn named(&self) -> Vec<Named> {
        let modes = &self.solved.modes;
        let ears: Vec<_> = self.solved.ears.iter().map(|(_, at)| point(*at)).collect();
        let decays = modes.decays(&self.solved.room.finish);
        let all = modes.modes();
        // The first is pressure alike everywhere; decays leave it out.
        (all.iter().enumerate().skip(1).zip(decays))
            .filter(|((_, mode), _)| mode.frequency_hz <= TO_HZ)
            .map(|((number, mode), decay)| {
                let mut pressed: Vec<(f64, String)> = mode
                    .surface_pressure
                    .iter()
                    .zip(&self.solved.room.surfaces)
                    .filter(|(pressure, surface)| **pressure > PRESSED && !surface.is_opening)
                    .map(|(pressure, surface)| (*pressure, surface.name.replace('-', " ")))
                    .collect();
                pressed.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
                let heard = modes.shape(number, &ears);
                let null = |heard: &Option<f64>| heard.is_some_and(|p| p.abs() < NULL_SHARE);
                let nulls = heard.iter().zip(&self.solved.ears);
                let nulls = nulls.filter(|(heard, _)| null(heard));
                Named {
                    frequency: Hertz(decay.frequency_hz),
                    t60_s: decay.t60_s,
                    between: pressed.into_iter().map(|(_, name)| name).collect(),
                    nulls: nulls.map(|(_, (id, _))| id.clone()).collect(),
                }
            })
            .collect()
    }
}

/// A twelfth of an octave apart.
fn lines() -> Vec<Hertz> {
    let count = ((TO_HZ / FROM_HZ).log2() * LINES_PER_OCTAVE).floor() as i32;
    (0..=count)
        .map(|at| Hertz(FROM_HZ * 2_f64.powf(f64::from(at) / LINES_PER_OCTAVE)))
        .collect()
}

fn transfers(
    solved: &Solved,
    scale: f64,
    places: &[SubPlace],
    frequencies: &[Hertz],
    importance: &[f64],
) -> Transfers {
    let modes = &solved.modes;
    let finish = Finish {
        scale: vec![scale; solved.room.finish.surfaces.len()],
        ..solved.room.finish.clone()
    };
    let heard = |at: [f64; 3]| {
        modes
            .place(point(at))
            .expect("places and ears are in the room")
    };
    let ears: Vec<_> = solved.ears.iter().map(|(_, at)| heard(*at)).collect();
    let listening = modes.listening(&finish, &ears, frequencies);
    let sources: Vec<_> = places.iter().map(|place| heard(place.at)).collect();
    let table = listening
        .from_each(&sources)
        .into_iter()
        .zip(places)
        .map(|(seats, place)| Place {
            kind: place.kind.clone(),
            pressures: seats
                .into_iter()
                .map(|lines| {
                    lines
                        .into_iter()
                        .map(|p| Complex::new(p.re, p.im))
                        .collect()
                })
                .collect(),
        });
    Transfers::new(frequencies, importance, table.collect()).expect("the table is whole")
}

fn deviation(values: &[f64]) -> f64 {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values
        .iter()
        .map(|value| (value - mean) * (value - mean))
        .sum();
    (squares / (count - 1.0).max(1.0)).sqrt()
}
