//! What every seat hears, from the subs as planned and from the best places there are.

use std::ops::ControlFlow;

use analysis::Analysis;
use model::Space;
use subwoofers::{Effort, Grid, Score, Setting, Wanted, search};
use units::{Decibels, Hertz};

use crate::bands::{BandDecay, BandLevel, spacing};
use crate::frame::point;
use crate::places::PlaceSort;
use crate::ready::{Ready, TO_HZ};
use crate::rows::Row;
use crate::solved::SolveFault;
use crate::subs::{Sub, planned_subs, setting_of};
use crate::timed::Timed;
use crate::treat::Treated;

/// What a space's bass comes to.
#[derive(Clone, Debug)]
pub struct Study {
    /// Responses hold up to here.
    pub holds_up_to: Hertz,
    /// What was assumed and left out, in sentences.
    pub assumed: Vec<String>,
    /// Seats by id, in the order of all tables.
    pub seats: Vec<String>,
    /// The frequencies of all curves, rising.
    pub frequencies: Vec<Hertz>,
    /// The room's resonances, lowest first.
    pub modes: Vec<Named>,
    /// Where resonances leave a gap or fall on each other, in sentences; empty where they are spread.
    pub spacing: Vec<String>,
    /// How long each third octave rings, as the planned subs excite it, or the best for one.
    pub decays: Vec<BandDecay>,
    /// The subs as planned; `None` without a placed sub.
    pub planned: Option<Judged>,
    /// How the planned subs, or the best for one, fall in with the mains; `None` without mains.
    pub timed: Option<Timed>,
    /// What moving all seats forwards and back along their look would do to the same subs.
    pub rows: Vec<Row>,
    /// What treatment and open doors would do to the same subs.
    pub treated: Vec<Treated>,
    /// The best for one sub, two, and so on, as many as were asked for.
    pub best: Vec<Arranged>,
    /// Every place, and what one sub there would come to.
    pub places: Vec<Judged>,
    /// The subs that decays, timing, rows and treatment hold for.
    pub heard: Vec<Placed>,
    pub(crate) ringing: Vec<waves::Decay>,
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
    /// The loudest by third octave, mean over the seats; nothing without the sub's output.
    pub plays: Vec<BandLevel>,
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
    /// What sort of place it is; `None` where it stands as planned or tried.
    pub sort: Option<PlaceSort>,
    /// The wall that it stands at or is let into, and how far from that wall's left end, m.
    pub wall: Option<(String, f64)>,
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
    /// The frequency at which subs and mains part.
    pub crossover: Hertz,
}

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
            crossover: Hertz(80.0),
        }
    }
}

/// The subs of a job that have a place, and a sentence for each that has none.
pub fn planned(analysis: &Analysis, space: &Space) -> (Vec<Placed>, Vec<String>) {
    let (mut placed, mut said) = (Vec::new(), Vec::new());
    for sub in planned_subs(analysis, space) {
        match sub.at {
            Some(at) => {
                let wall = let_into(analysis, space, &sub, at);
                placed.push(Placed {
                    words: format!("{}, where it is planned", sub.label),
                    kind: "as planned".into(),
                    sort: wall.as_ref().map(|_| PlaceSort::InWall),
                    wall,
                    at,
                    setting: setting_of(sub.item),
                });
            }
            None => said.push(format!("{} has no place in the room yet", sub.label)),
        }
    }
    (placed, said)
}

/// The wall that a sub is let into, and how far along it, m.
fn let_into(
    analysis: &Analysis,
    space: &Space,
    sub: &Sub<'_>,
    at: [f64; 3],
) -> Option<(String, f64)> {
    let on = sub.item.on.as_ref().filter(|_| sub.kit.cutout.is_some())?;
    let plan = analysis::Vector2::new(at[0], at[1]);
    let (along, _) = analysis
        .shape(space)
        .on_wall(space.wall(&on.wall)?, &plan)
        .ok()?;
    Some((on.wall.clone(), along.value()))
}

/// Share of a study's time that the search takes.
const SEARCH_SHARE: f64 = 0.7;

impl Ready {
    /// Studies the space. `progress` is told the share that is done and may stop it.
    ///
    /// # Errors
    ///
    /// A stop.
    pub fn study(
        &self,
        asked: &Asked,
        planned: &[Placed],
        progress: &(dyn Fn(f64) -> ControlFlow<()> + Sync),
    ) -> Result<Study, SolveFault> {
        let told = |share: f64| match progress(share) {
            ControlFlow::Continue(()) => Ok(()),
            ControlFlow::Break(()) => Err(SolveFault::Solve(waves::SolveError::Stopped)),
        };
        let best = self.best(asked, &|share| progress(SEARCH_SHARE * share))?;
        told(SEARCH_SHARE)?;
        let alone: Vec<Judged> = self
            .free()
            .iter()
            .filter_map(|place| self.judge(std::slice::from_ref(place), None))
            .collect();
        told(SEARCH_SHARE + 0.05)?;
        let judged = self.judge_planned(planned, &best);
        let one = best.first().and_then(|best| best.ranked.first());
        let heard = judged.as_ref().or(one);
        let heard = heard.map_or_else(Vec::new, |judged| judged.subs.clone());
        let decays = self.solved.modes.decays(&self.solved.room.finish);
        told(SEARCH_SHARE + 0.1)?;
        let treated = self.treated(&heard, &|share| {
            progress(SEARCH_SHARE + 0.1 + (0.9 - SEARCH_SHARE) * share)
        })?;
        Ok(Study {
            holds_up_to: self.holds_up_to(),
            assumed: self.assumed(planned),
            seats: self.seats().iter().map(|(id, _)| id.clone()).collect(),
            frequencies: self.frequencies().to_vec(),
            spacing: {
                let resonances = decays.iter().map(|decay| Hertz(decay.frequency_hz));
                let mut resonances: Vec<Hertz> = resonances.collect();
                resonances.sort_by(|a, b| a.0.total_cmp(&b.0));
                spacing(&resonances, Hertz(TO_HZ))
            },
            modes: self.named(&decays),
            decays: self.band_decays(&heard, &decays),
            planned: judged,
            timed: self.timed(&heard, asked.crossover),
            rows: self.rows(&heard),
            treated,
            best,
            places: alone,
            heard,
            ringing: decays,
        })
    }

    /// A study after the planned subs were moved or set: what the places are worth stays, rows and
    /// treatment ask for a new study.
    pub fn renewed(&self, study: &Study, planned: &[Placed], crossover: Hertz) -> Study {
        let judged = self.judge_planned(planned, &study.best);
        let one = study.best.first().and_then(|best| best.ranked.first());
        let heard = judged.as_ref().or(one);
        let heard = heard.map_or_else(Vec::new, |judged| judged.subs.clone());
        let alike =
            |one: &Placed, other: &Placed| one.at == other.at && one.setting == other.setting;
        let mut study = Study {
            assumed: self.assumed(planned),
            planned: judged,
            ..study.clone()
        };
        let same = heard.len() == study.heard.len()
            && heard
                .iter()
                .zip(&study.heard)
                .all(|(one, other)| alike(one, other));
        if !same {
            study.decays = self.band_decays(&heard, &study.ringing);
            study.timed = self.timed(&heard, crossover);
            study.rows = Vec::new();
            study.treated = Vec::new();
            study.heard = heard;
        }
        study
    }

    fn free(&self) -> Vec<Placed> {
        self.inputs.places.iter().map(Placed::plain).collect()
    }

    fn best(
        &self,
        asked: &Asked,
        progress: &(dyn Fn(f64) -> ControlFlow<()> + Sync),
    ) -> Result<Vec<Arranged>, SolveFault> {
        let free = self.free();
        let most = asked.subs.min(free.len()).min(4);
        let mut best = Vec::new();
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
            let found = search(&self.transfers[0], &self.goal, &wanted, &part)
                .map_err(|_| SolveFault::Solve(waves::SolveError::Stopped))?;
            let placed = |(place, setting): &(usize, Setting)| Placed {
                setting: *setting,
                ..free[*place].clone()
            };
            let ranked: Vec<Vec<Placed>> = found
                .ranked
                .iter()
                .map(|(arrangement, _)| arrangement.subs.iter().map(placed).collect())
                .collect();
            let first = ranked.first().map(Vec::as_slice);
            best.push(Arranged {
                ranked: ranked
                    .iter()
                    .filter_map(|subs| self.judge(subs, first))
                    .collect(),
                is_proven: found.effort == Effort::Every,
            });
        }
        Ok(best)
    }

    /// The planned subs against the best that was found for as many.
    pub fn judge_planned(&self, planned: &[Placed], best: &[Arranged]) -> Option<Judged> {
        let inside: Vec<Placed> = planned
            .iter()
            .filter(|sub| self.is_inside(sub))
            .cloned()
            .collect();
        let number = inside.len().checked_sub(1)?;
        let rival = best.get(number).and_then(|best| best.ranked.first());
        self.judge(&inside, rival.map(|rival| rival.subs.as_slice()))
    }

    fn is_inside(&self, sub: &Placed) -> bool {
        self.solved.modes.place(point(sub.at)).is_some()
    }

    /// What was assumed and left out, in sentences.
    pub fn assumed(&self, planned: &[Placed]) -> Vec<String> {
        let mut assumed = self.solved.room.assumed.clone();
        let outside = planned.iter().filter(|sub| !self.is_inside(sub));
        assumed.extend(outside.map(|sub| format!("{}: not in the air, left out", sub.words)));
        assumed.extend(self.solved.furniture(Hertz(TO_HZ)));
        assumed.extend(self.inputs.not_tried.iter().cloned());
        assumed.push(
            "± says what half and twice the absorption would change; below 125 Hz it is taken as at 125 Hz (common practice, no source)"
                .into(),
        );
        assumed.push(match self.inputs.output_db {
            Some(_) => format!(
                "reserve is over {:.0} dB for all subs together; below its lowest note a sub is taken to fall by 24 dB an octave (common practice, no source)",
                self.wanted.0
            ),
            None => "what one sub can put out is not known: places are compared by evenness alone"
                .into(),
        });
        assumed
    }

    fn named(&self, decays: &[waves::Decay]) -> Vec<Named> {
        let modes = &self.solved.modes;
        let ears: Vec<_> = self.solved.ears.iter().map(|(_, at)| point(*at)).collect();
        let all = modes.modes();
        // The first is pressure alike everywhere; decays leave it out.
        (all.iter().enumerate().skip(1).zip(decays))
            .filter(|((_, mode), _)| mode.frequency_hz <= TO_HZ)
            .map(|((number, mode), decay)| {
                let mut pressed: Vec<(f64, String)> = mode
                    .surface_pressure
                    .iter()
                    .zip(&self.solved.room.surfaces)
                    .filter(|(pressure, surface)| **pressure > PRESSED && !surface.is_part)
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
