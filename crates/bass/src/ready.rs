//! A solved space whose seats listen: what any sub does there follows in moments.

use std::ops::ControlFlow;

use analysis::Analysis;
use model::Space;
use num_complex::Complex;
use subwoofers::{Arrangement, Goal, Place, Transfers, difference, levels, score};
use units::{Decibels, Hertz};
use waves::{Finish, Listening, level_db};

use crate::frame::point;
use crate::inputs::Inputs;
use crate::places::SubPlace;
use crate::room::room;
use crate::solved::{SolveFault, Solved, ears};
use crate::study::{Judged, Placed};

/// Search lines run from here to here, Hz.
pub(crate) const FROM_HZ: f64 = 20.0;
pub(crate) const TO_HZ: f64 = 120.0;
const LINES_PER_OCTAVE: f64 = 12.0;
/// Curves begin here, Hz, and end where the solve holds.
const CURVE_FROM_HZ: f64 = 15.0;
const CURVE_LINES_PER_OCTAVE: f64 = 24.0;

/// Absorption at low frequency is not known better than within a factor of two either way
/// (common practice, no source).
pub(crate) const ROOMS: [f64; 5] = [
    1.0,
    0.5,
    std::f64::consts::FRAC_1_SQRT_2,
    std::f64::consts::SQRT_2,
    2.0,
];

/// A solved space with its seats listening, in the room as it is thought to be and in some with
/// less and more absorption.
pub struct Ready {
    pub(crate) solved: Solved,
    pub(crate) inputs: Inputs,
    pub(crate) lines: Vec<Hertz>,
    /// At the lines of the search, by room.
    pub(crate) rooms: Vec<Listening>,
    pub(crate) curve: Vec<Hertz>,
    /// At the lines of the curves, in the room as it is thought to be.
    pub(crate) listening: Listening,
    /// From the free places, by room.
    pub(crate) transfers: Vec<Transfers>,
    pub(crate) goal: Goal,
    pub(crate) wanted: Decibels,
    mark: String,
}

impl Ready {
    /// Lets the seats of a solved space listen. `progress` is told the share that is done and may
    /// stop it; `wanted` is the level that all subs together should reach.
    ///
    /// # Errors
    ///
    /// What the survey lacks (a seat, for one), or a stop.
    pub fn new(
        solved: Solved,
        analysis: &Analysis,
        space: &Space,
        wanted: Decibels,
        progress: &(dyn Fn(f64) -> ControlFlow<()> + Sync),
    ) -> Result<Self, SolveFault> {
        let lines = octave_lines(FROM_HZ, TO_HZ, LINES_PER_OCTAVE);
        let mut inputs = Inputs::new(analysis, space, &solved.ears, &lines)?;
        let mark = inputs.mark(solved.key(), &solved.room);
        let modes = &solved.modes;
        let top = modes.holds_up_to().0;
        let curve = octave_lines(CURVE_FROM_HZ, top, CURVE_LINES_PER_OCTAVE);
        inputs
            .places
            .retain(|place| modes.place(point(place.at)).is_some());
        let ears: Vec<_> = solved
            .ears
            .iter()
            .map(|(_, at)| modes.place(point(*at)).expect("ears are in the room"))
            .collect();
        let steps = ROOMS.len() as f64 + 2.0;
        let told = |done: usize| match progress(done as f64 / steps) {
            ControlFlow::Continue(()) => Ok(()),
            ControlFlow::Break(()) => Err(SolveFault::Solve(waves::SolveError::Stopped)),
        };
        let mut rooms = Vec::new();
        for (at, scale) in ROOMS.into_iter().enumerate() {
            told(at)?;
            let finish = scaled(&solved.room.finish, scale);
            rooms.push(modes.listening(&finish, &ears, &lines));
        }
        told(ROOMS.len())?;
        let listening = modes.listening(&solved.room.finish, &ears, &curve);
        told(ROOMS.len() + 1)?;
        let mut ready = Self {
            goal: Goal::even(&nowhere(&lines, &inputs.importance)),
            solved,
            inputs,
            lines,
            rooms,
            curve,
            listening,
            transfers: Vec::new(),
            wanted,
            mark,
        };
        let free: Vec<Placed> = ready.inputs.places.iter().map(Placed::plain).collect();
        ready.transfers = ready.tables(&free).expect("free places are in the room");
        if let Some(output) = &ready.inputs.output_db {
            let output: Vec<Decibels> = output.iter().copied().map(Decibels).collect();
            let goal = ready.goal.clone().with_output(&output, wanted);
            ready.goal = goal.expect("the output has one level for each line");
        }
        Ok(ready)
    }

    /// Of the solve: [`Solved::key`].
    pub fn key(&self) -> &str {
        self.solved.key()
    }

    /// What the answers rest on: the solve, the finishes, the seats and the places.
    pub fn mark(&self) -> &str {
        &self.mark
    }

    /// The key and the mark that a space has at present, without solving.
    ///
    /// # Errors
    ///
    /// What the survey lacks.
    pub fn mark_of(
        analysis: &Analysis,
        space: &Space,
        top: Hertz,
    ) -> Result<(String, String), SolveFault> {
        let key = Solved::key_of(analysis, space, top)?;
        let lines = octave_lines(FROM_HZ, TO_HZ, LINES_PER_OCTAVE);
        let inputs = Inputs::new(analysis, space, &ears(analysis, space), &lines)?;
        let mark = inputs.mark(&key, &room(analysis, space)?);
        Ok((key, mark))
    }

    /// Up to where responses hold.
    pub fn holds_up_to(&self) -> Hertz {
        self.solved.modes.holds_up_to()
    }

    /// The solve itself.
    pub fn solved(&self) -> &Solved {
        &self.solved
    }

    /// Seats by id with their ears, m, in the order of all tables.
    pub fn seats(&self) -> &[(String, [f64; 3])] {
        &self.solved.ears
    }

    /// The frequencies of all curves, rising.
    pub fn frequencies(&self) -> &[Hertz] {
        &self.curve
    }

    /// The middle of a sub's case that stands on the floor there, m.
    pub fn standing(&self, [x, y]: [f64; 2]) -> [f64; 3] {
        [x, y, self.inputs.case_m[1] / 2.0]
    }

    /// The least and greatest coordinates of the space's own air and what archways join to it, m.
    pub fn bounds(&self) -> [[f64; 3]; 2] {
        let faces = self.solved.room.faces.iter();
        let corners = faces.flat_map(|face| &face.outline);
        corners.fold(
            [[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]],
            |[low, high], corner| {
                [
                    [0, 1, 2].map(|axis| low[axis].min(corner[axis])),
                    [0, 1, 2].map(|axis| high[axis].max(corner[axis])),
                ]
            },
        )
    }

    /// What subs come to, and whether that is as good as others; `None` with one outside the room.
    pub fn judge(&self, subs: &[Placed], against: Option<&[Placed]>) -> Option<Judged> {
        let rivals = against.unwrap_or_default();
        let all: Vec<Placed> = subs.iter().chain(rivals).cloned().collect();
        let tables = self.tables(&all)?;
        let numbered = |from: usize, some: &[Placed]| Arrangement {
            subs: some
                .iter()
                .enumerate()
                .map(|(at, sub)| (from + at, sub.setting))
                .collect(),
        };
        let arrangement = numbered(0, subs);
        let told = score(&tables[0], &self.goal, &arrangement);
        let spreads: Vec<f64> = tables
            .iter()
            .map(|table| score(table, &self.goal, &arrangement).spread.0)
            .collect();
        let equals_best = against.is_some() && {
            let best = numbered(subs.len(), rivals);
            let apart = difference(&tables, &self.goal, &best, &arrangement);
            apart.is_equal() || apart.mean < 0.0
        };
        let curve = self.table(&self.listening, &self.curve, &all)?;
        let levels = levels(&curve, &arrangement);
        Some(Judged {
            subs: subs.to_vec(),
            score: told,
            spread_off: Decibels(2.0 * deviation(&spreads)),
            equals_best,
            plays: self.plays(&tables[0], &arrangement),
            levels,
        })
    }

    /// Level at points of the room at one frequency, over one sub's at 1 m in the open; `None`
    /// for a point that is outside the room, an empty list for a sub that is.
    pub fn field(&self, subs: &[Placed], points: &[[f64; 3]], at: Hertz) -> Vec<Option<Decibels>> {
        let modes = &self.solved.modes;
        let sources: Option<Vec<_>> = subs
            .iter()
            .map(|sub| {
                let factor = sub.setting.factor(at);
                let place = modes.place(point(sub.at))?;
                Some((place, waves::Complex::new(factor.re, factor.im)))
            })
            .collect();
        let Some(sources) = sources else {
            return Vec::new();
        };
        let points: Vec<_> = points.iter().map(|at| point(*at)).collect();
        let pressures = modes.field_at(&self.solved.room.finish, &sources, &points, at);
        pressures
            .into_iter()
            .map(|pressure| pressure.map(|pressure| Decibels(level_db(pressure))))
            .collect()
    }

    fn tables(&self, subs: &[Placed]) -> Option<Vec<Transfers>> {
        let rooms = self.rooms.iter();
        rooms
            .map(|room| self.table(room, &self.lines, subs))
            .collect()
    }

    pub(crate) fn table(
        &self,
        listening: &Listening,
        lines: &[Hertz],
        subs: &[Placed],
    ) -> Option<Transfers> {
        let sources = subs
            .iter()
            .map(|sub| self.solved.modes.place(point(sub.at)))
            .collect::<Option<Vec<_>>>()?;
        let heard = listening.from_each(&sources);
        let places = heard.into_iter().zip(subs).map(|(seats, sub)| Place {
            kind: sub.kind.clone(),
            pressures: seats.into_iter().map(plain).collect(),
        });
        let table = Transfers::new(lines, &self.inputs.importance, places.collect());
        Some(table.expect("the table is whole"))
    }
}

impl Placed {
    /// A sub at a place, as it comes out of its box.
    pub fn plain(place: &SubPlace) -> Self {
        Self {
            words: place.words.clone(),
            kind: place.kind.clone(),
            sort: Some(place.sort),
            wall: place.wall.clone(),
            at: place.at,
            setting: subwoofers::Setting::PLAIN,
        }
    }
}

pub(crate) fn plain(pressures: Vec<waves::Complex>) -> Vec<Complex<f64>> {
    let plain = |p: waves::Complex| Complex::new(p.re, p.im);
    pressures.into_iter().map(plain).collect()
}

/// A table without places: what a goal is made for.
fn nowhere(lines: &[Hertz], importance: &[f64]) -> Transfers {
    Transfers::new(lines, importance, Vec::new()).expect("lines rise and seats weigh")
}

pub(crate) fn scaled(finish: &Finish, scale: f64) -> Finish {
    Finish {
        scale: vec![scale; finish.surfaces.len()],
        ..finish.clone()
    }
}

/// So many to an octave, from one frequency to another, Hz.
fn octave_lines(from: f64, to: f64, per_octave: f64) -> Vec<Hertz> {
    let count = ((to / from).log2() * per_octave + 1e-9).floor() as i32;
    (0..=count)
        .map(|at| Hertz(from * 2_f64.powf(f64::from(at) / per_octave)))
        .collect()
}

pub(crate) fn deviation(values: &[f64]) -> f64 {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values
        .iter()
        .map(|value| (value - mean) * (value - mean))
        .sum();
    (squares / (count - 1.0).max(1.0)).sqrt()
}
