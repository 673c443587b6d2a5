//! The one place where a job meets the engines.
//!
//! [`Analysis`] owns a job and answers questions about it: where a corner is, where a
//! lens hangs, how loud a seat is. Every answer is an [`Uncertain`] that knows which
//! measurements it rests on, or a [`Missing`] that says what to measure. Answers about
//! spaces are computed on first ask and kept; an edited copy shares them with its
//! original wherever the edit did not touch the space.

mod aim;
mod ask;
mod asked;
mod closure;
mod daylight;
mod house;
mod index;
mod limit;
mod lining;
mod loudspeaker;
mod numbers;
mod parts;
mod picture;
mod pictured;
mod place;
mod placed;
mod print;
mod projector;
mod readers;
mod reads;
mod reflection;
mod remembered;
mod reverberation;
mod route;
mod screen;
mod seat;
mod settled;
mod sky_over;
mod space;
mod spool_plan;
mod variables;
mod ways;
mod words;

use std::cell::OnceCell;
use std::rc::Rc;
use std::sync::Arc;

use model::{Edit, EditError, Item, Job, Space};

pub use ask::{Known, Means, Missing};
pub use closure::{Closure, FailedClosure, WallsFault};
pub use daylight::{DayWindow, Daylight, Repainted};
pub use limit::{Limit, LimitValue, Source};
pub use lining::{Lining, Linings, finish_named, opening_absorption};
pub use loudspeaker::LoudspeakerPlace;
pub use numbers::COVERAGE_FACTOR;
pub use parts::Parts;
pub use picture::{Outline, Picture};
pub use place::{Body, WallRect, fixture_label, is_solid};
pub use placed::{ItemOnWall, ItemShape, MARK_M};
pub use projector::{Lens, ProjectorPlace};
pub use readers::Readers;
pub use reads::{Changes, Reads};
pub use reflection::{Reflection, RoomFaces, Sounding};
pub use route::{CABLE_SLACK, LegKind, Route, RouteLeg, SERVICE_LOOP};
pub use seat::{EYE_OVER_HIP_M, SeatPlace, importance_of, row_of};
pub use sky_over::SkyOver;
pub use space::{ShapeFault, SpaceModel};
pub use spool_plan::{OpenedSpool, SCRAP_BELOW, SpoolPlan};
pub use survey::{Observation, Slip, Suspect, Swap, closing_limit};
pub use uncertainty::{Uncertain, Vector2, Vector3};
pub use variables::VariableName;
pub use ways::*;

use asked::Asked;
use index::Index;
use parts::{Pruned, have_same_shape};
use reads::Ledger;
use remembered::Remembered;
use settled::{Held, SettledAt};
use variables::Variables;

/// A job and everything that has been worked out about it.
pub struct Analysis {
    job: Arc<Job>,
    variables: Variables,
    index: Index,
    ledger: Ledger,
    changed: Changes,
    is_trial: bool,
    remembered: Rc<Remembered>,
    asked: Asked,
    spaces: Vec<OnceCell<Rc<SpaceModel>>>,
    pruned: Vec<OnceCell<Pruned>>,
    answers: Rc<Answers>,
    /// Those of the analysis that this one was edited from.
    before: Option<Rc<Answers>>,
    held: Held,
}

/// Answers by the places of the things that they are about.
struct Answers {
    routes: Vec<Kept<Known<Route>>>,
    cuts: Vec<Kept<Known<(Uncertain, f64)>>>,
    points: Vec<Kept<Known<Vector3>>>,
    pictures: Vec<Kept<Known<Picture>>>,
    seats: Vec<Vec<Kept<Known<SeatPlace>>>>,
}

/// An answer and the facts that it rests on, once it has been asked for.
type Kept<T> = OnceCell<Rc<(T, Reads)>>;

impl Analysis {
    /// Nothing is computed until it is asked for.
    pub fn new(job: Arc<Job>) -> Self {
        let variables = Variables::new(&job);
        let index = Index::new(&job);
        Self::empty(job, variables, index)
    }

    fn empty(job: Arc<Job>, variables: Variables, index: Index) -> Self {
        Self {
            variables,
            index,
            ledger: Ledger::default(),
            changed: Changes::default(),
            is_trial: false,
            remembered: Rc::default(),
            asked: Asked::default(),
            spaces: none(job.space.len()),
            pruned: none(job.space.len()),
            answers: Rc::new(Answers::none(&job)),
            before: None,
            held: Held::default(),
            job,
        }
    }

    /// The analysis of the job with edits made, sharing every answer that they leave alone.
    pub fn edited(&self, edits: &[Edit]) -> Result<Self, EditError> {
        let job = Arc::new(self.job.edited(edits)?);
        // A chain of copies remembers what its first link was asked; trials are no chain.
        if !self.is_trial {
            self.take_over_all();
        }
        let variables = self.variables.for_edited(&job);
        let index = self.index.for_edited(&self.job, &job);
        let changed = index::changes((&self.job, &self.index), (&job, &index));
        let same_survey = job.survey == self.job.survey;
        let mut edited = Self::empty(job, variables, index);
        // A shape rests on fewer facts than its whole space.
        for (at, space) in edited.job.space.iter().enumerate() {
            let old = self.space_at(&space.id).filter(|_| same_survey);
            let same = old.filter(|old| {
                let old = &self.job.space[*old];
                Arc::ptr_eq(old, space) || have_same_shape(old, space)
            });
            if let Some(model) = same.and_then(|old| self.spaces[old].get()) {
                edited.spaces[at] = OnceCell::from(Rc::clone(model));
            }
        }
        edited.pruned = parts::shared((&self.job, &self.pruned), &edited.job);
        edited.changed = changed;
        edited.remembered = Rc::clone(&self.remembered);
        // What the answers of a remedy's copy rest on is not known.
        if !self.is_short_lived() {
            edited.before = Some(Rc::clone(&self.answers));
            edited.asked = self.asked.for_edited(!self.changed.is_empty());
        }
        Ok(edited)
    }

    /// As [`Analysis::edited`], to see what a remedy would do: what would mend the copy in
    /// turn is not asked.
    pub fn tried(&self, edits: &[Edit]) -> Result<Self, EditError> {
        let tried = Self {
            is_trial: true,
            ..self.edited(edits)?
        };
        // Copies hold what they find against it, also what it was never asked itself.
        if !tried.is_short_lived() {
            tried.take_over_all();
        }
        Ok(tried)
    }

    /// Whether nobody asks what would mend this job.
    pub fn is_trial(&self) -> bool {
        self.is_trial
    }

    /// Whether it shows what one remedy does and is then thrown away.
    pub(crate) fn is_short_lived(&self) -> bool {
        self.is_trial && !self.changed.is_empty()
    }

    /// The facts that differ from those of the analysis that this one was edited from.
    pub fn changed(&self) -> &Changes {
        &self.changed
    }

    /// The job. What reads it here counts as resting on every fact; the other questions
    /// note what they hand out.
    pub fn job(&self) -> &Job {
        self.ledger.note_everything();
        &self.job
    }

    /// An answer that is worked out on first ask and kept with the facts that it rests on.
    fn kept<T>(
        &self,
        cell: impl Fn(&Answers) -> Option<&Kept<T>>,
        answer: impl FnOnce() -> T,
    ) -> &T {
        let kept = self.kept_aside(cell, answer);
        self.ledger.note_all(&kept.1);
        &kept.0
    }

    /// As [`Analysis::kept`], of a settled answer.
    fn kept_settled<T>(
        &self,
        at: SettledAt,
        cell: impl Fn(&Answers) -> Option<&Kept<T>>,
        answer: impl FnOnce() -> T,
    ) -> &T {
        let kept = self.kept_aside(cell, answer);
        self.ledger.note_settled(|| at, &kept.1);
        &kept.0
    }

    fn kept_aside<T>(
        &self,
        cell: impl Fn(&Answers) -> Option<&Kept<T>>,
        answer: impl FnOnce() -> T,
    ) -> &(T, Reads) {
        let own = cell(&self.answers).expect("a thing of this job");
        if own.get().is_none()
            && let Some(kept) = self.still_true(&cell)
        {
            // A remedy's copy is asked too little for a second handle to be worth it.
            if self.is_short_lived() {
                return kept;
            }
            // It was empty a moment ago.
            let _ = own.set(Rc::clone(kept));
        }
        own.get_or_init(|| Rc::new(self.noting_aside(answer)))
    }

    /// An answer of the original that rests on nothing that has changed. Positions stay: a
    /// list that is not the old one with more behind it counts as everything changed.
    fn still_true<T>(
        &self,
        cell: impl Fn(&Answers) -> Option<&Kept<T>>,
    ) -> Option<&Rc<(T, Reads)>> {
        let kept = cell(self.before.as_deref()?)?.get()?;
        self.holds(&kept.1).then_some(kept)
    }

    /// Shares an answer of the original, if it is still true.
    fn take_over<T>(&self, cell: impl Fn(&Answers) -> Option<&Kept<T>>) {
        if let Some(own) = cell(&self.answers).filter(|own| own.get().is_none())
            && let Some(kept) = self.still_true(&cell)
        {
            // It was empty a moment ago.
            let _ = own.set(Rc::clone(kept));
        }
    }

    fn take_over_all(&self) {
        for at in 0..self.job.cable.len() {
            self.take_over(|answers| answers.routes.get(at));
            self.take_over(|answers| answers.cuts.get(at));
        }
        for at in 0..self.job.item.len() {
            self.take_over(|answers| answers.points.get(at));
            self.take_over(|answers| answers.pictures.get(at));
        }
        for (at, space) in self.job.space.iter().enumerate() {
            for seat in 0..space.seat.len() {
                self.take_over(|answers| answers.seats.get(at)?.get(seat));
            }
        }
    }

    /// As [`Analysis::kept_settled`], of an item.
    fn about_item<T: Clone>(
        &self,
        item: &Item,
        settled: impl FnOnce(usize) -> SettledAt,
        cells: impl Fn(&Answers) -> &Vec<Kept<T>>,
        answer: impl FnOnce() -> T,
    ) -> T {
        let at = self.item_at(&item.id).expect("an item of this job");
        let answer = || {
            self.noted_item(at);
            answer()
        };
        self.kept_settled(settled(at), |answers| cells(answers).get(at), answer)
            .clone()
    }

    /// The shape of a space, by its index in the job.
    pub fn space_model(&self, index: usize) -> &SpaceModel {
        let space = self.shape_and(index, Parts::NONE);
        self.spaces[index].get_or_init(|| Rc::new(SpaceModel::new(self, space)))
    }

    /// The shape of a space of this job.
    pub fn shape(&self, space: &Space) -> &SpaceModel {
        self.space_model(self.space_at(&space.id).expect("a space of this job"))
    }

    /// The space that an item is in.
    pub fn space_of(&self, item: &Item) -> Known<&Space> {
        Ok(self.noted_space(self.home_of(item)?))
    }

    /// As [`Analysis::space_of`], with some of its lists; the others are empty.
    pub fn space_with(&self, item: &Item, parts: Parts) -> Known<&Space> {
        Ok(self.space_in_parts(self.home_of(item)?, parts))
    }

    /// The id of the space that an item is in.
    pub fn space_id_of(&self, item: &Item) -> Known<&str> {
        Ok(&self.job.space[self.home_of(item)?].id)
    }

    /// As [`Analysis::space_of`], for a caller who looks at nothing but walls and ceiling.
    pub(crate) fn room_of(&self, item: &Item) -> Known<&Space> {
        Ok(self.shape_and(self.home_of(item)?, Parts::NONE))
    }

    fn home_of(&self, item: &Item) -> Known<usize> {
        self.space_at_item(item).ok_or_else(|| {
            Missing::new(
                format!("the space that {} is in", item_label(item)),
                format!("item.{}.space", item.id),
                Means::Decide,
            )
        })
    }
}

impl Answers {
    fn none(job: &Job) -> Self {
        Self {
            routes: none(job.cable.len()),
            cuts: none(job.cable.len()),
            points: none(job.item.len()),
            pictures: none(job.item.len()),
            seats: (job.space.iter())
                .map(|space| none(space.seat.len()))
                .collect(),
        }
    }
}

fn none<T>(count: usize) -> Vec<OnceCell<T>> {
    (0..count).map(|_| OnceCell::new()).collect()
}

/// Name for people.
pub fn item_label(item: &Item) -> &str {
    item.name.as_deref().unwrap_or(&item.id)
}
