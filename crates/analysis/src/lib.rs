//! The one place where a job meets the engines.
//!
//! [`Analysis`] owns a job and answers questions about it: where a corner is, where a
//! lens hangs, how loud a seat is. Every answer is an [`Uncertain`] that knows which
//! measurements it rests on, or a [`Missing`] that says what to measure. Answers about
//! spaces are computed on first ask and kept; an edited copy shares them with its
//! original wherever the edit did not touch the space.

mod ask;
mod closure;
mod house;
mod limit;
mod loudspeaker;
mod numbers;
mod picture;
mod place;
mod print;
mod projector;
mod route;
mod seat;
mod space;
mod variables;

use std::cell::OnceCell;
use std::rc::Rc;
use std::sync::Arc;

use model::{Edit, EditError, Item, Job, Space};

pub use ask::{Known, Means, Missing};
pub use closure::{Closure, FailedClosure, WallsFault};
pub use limit::{Limit, LimitValue, Source};
pub use loudspeaker::LoudspeakerPlace;
pub use numbers::COVERAGE_FACTOR;
pub use picture::{Outline, Picture};
pub use place::{Body, WallRect, is_solid};
pub use projector::{Lens, ProjectorPlace};
pub use route::{CABLE_SLACK, LegKind, Route, RouteLeg, SERVICE_LOOP};
pub use seat::{SeatPlace, importance_of, row_of};
pub use space::{ShapeFault, SpaceModel};
pub use survey::{Observation, Slip, Suspect, closing_limit};
pub use uncertainty::{Uncertain, Vector2, Vector3};
pub use variables::VariableName;

use variables::Variables;

/// A job and everything that has been worked out about it.
pub struct Analysis {
    job: Arc<Job>,
    variables: Variables,
    spaces: Vec<OnceCell<Rc<SpaceModel>>>,
    routes: Vec<OnceCell<Known<Route>>>,
}

impl Analysis {
    /// Nothing is computed until it is asked for.
    pub fn new(job: Arc<Job>) -> Self {
        let variables = Variables::new(&job);
        let spaces = job.space.iter().map(|_| OnceCell::new()).collect();
        let routes = job.cable.iter().map(|_| OnceCell::new()).collect();
        Self {
            job,
            variables,
            spaces,
            routes,
        }
    }

    /// The analysis of the job with edits made, sharing every space that they leave alone.
    pub fn edited(&self, edits: &[Edit]) -> Result<Self, EditError> {
        let job = Arc::new(self.job.edited(edits)?);
        let variables = self.variables.for_edited(&job);
        let same_survey = job.survey == self.job.survey;
        let spaces = job
            .space
            .iter()
            .map(|space| {
                let kept = self
                    .job
                    .space
                    .iter()
                    .position(|old| have_same_shape(old, space))
                    .filter(|_| same_survey);
                match kept.and_then(|index| self.spaces[index].get()) {
                    Some(model) => OnceCell::from(Rc::clone(model)),
                    None => OnceCell::new(),
                }
            })
            .collect();
        let routes = route::kept((&self.job, &self.routes), &job);
        Ok(Self {
            job,
            variables,
            spaces,
            routes,
        })
    }

    /// The job.
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// The shape of a space, by its index in the job.
    pub fn space_model(&self, index: usize) -> &SpaceModel {
        self.spaces[index].get_or_init(|| Rc::new(SpaceModel::new(self, &self.job.space[index])))
    }

    /// The shape of a space of this job.
    pub fn shape(&self, space: &Space) -> &SpaceModel {
        let index = self
            .job
            .space
            .iter()
            .position(|candidate| candidate.id == space.id);
        self.space_model(index.expect("a space of this job"))
    }

    /// The space that an item is in.
    pub fn space_of(&self, item: &Item) -> Known<&Space> {
        self.job.space_of(item).map(Arc::as_ref).ok_or_else(|| {
            Missing::new(
                format!("the space that {} is in", item_label(item)),
                format!("item.{}.space", item.id),
                Means::Decide,
            )
        })
    }

    /// Items of a space in the order of the job.
    pub fn items_in<'a>(&'a self, space: &'a Space) -> impl Iterator<Item = &'a Item> {
        self.job
            .item
            .iter()
            .map(Arc::as_ref)
            .filter(move |item| self.job.space_of(item).is_some_and(|of| of.id == space.id))
    }
}

/// Whether two states of a space have every fact in common that its shape rests on.
fn have_same_shape(old: &Arc<Space>, new: &Arc<Space>) -> bool {
    Arc::ptr_eq(old, new)
        || (old.id == new.id
            && old.kind == new.kind
            && old.walls == new.walls
            && old.diagonals == new.diagonals
            && old.ceiling == new.ceiling
            && old.soffit == new.soffit)
}

/// Name for people.
pub fn item_label(item: &Item) -> &str {
    item.name.as_deref().unwrap_or(&item.id)
}
