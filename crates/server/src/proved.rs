//! A job's revision as it lies proved at its desk, for whoever asks.

use std::sync::Arc;

use checks::{Proved, prove_again};
use model::{Edit, Job};
use schemars::JsonSchema;
use serde::Deserialize;
use view::Move;

use crate::desk::{Lane, Revision, Room, Unanswered};
use crate::error::bad_document;
use crate::{Error, State};

/// What a change consists of.
#[derive(Debug, Default, Deserialize, JsonSchema)]
pub struct Changes {
    /// Facts set or taken away.
    #[serde(default)]
    pub edits: Vec<view::Edit>,
    /// Bodies dragged elsewhere; made after the edits.
    #[serde(default)]
    pub moves: Vec<Move>,
}

/// More than a person changes at once. Each is read and laid over the document on its own, so that
/// ten thousand would keep the job's desk for a minute.
const AT_ONCE_MAX: usize = 1000;

/// A change as edits of the document.
pub struct Written {
    /// What to write.
    pub edits: Vec<Edit>,
    /// Where the moved bodies are then.
    pub says: String,
}

impl State {
    /// The revision that was asked for, or the last one's number.
    pub async fn revision(&self, job: &str, asked: Option<Revision>) -> Result<Revision, Error> {
        match asked {
            Some(revision) => Ok(revision),
            None => Ok(self.store().head(job).await?.number),
        }
    }

    /// Has a look at a revision, proved. What lies at the desk is not read again.
    pub async fn look<T, W>(
        &self,
        job: &str,
        revision: Revision,
        lane: Option<Lane>,
        look: W,
    ) -> Result<T, Error>
    where
        W: FnOnce(&Proved) -> T + Send + 'static,
        T: Send + 'static,
    {
        let look = move |at, room: &mut Room| room.at(at).map(look);
        let looked = self.look_from(job, revision, false, lane, look).await?;
        looked.ok_or_else(|| Error::fault("a revision does not stay on its desk"))
    }

    /// As [`State::look`], over the desk on which the revision lies; tells which revision it is.
    /// With `or_later` it may be a later one that lies proved already.
    pub(crate) async fn look_from<T, W>(
        &self,
        job: &str,
        revision: Revision,
        or_later: bool,
        lane: Option<Lane>,
        look: W,
    ) -> Result<T, Error>
    where
        W: FnOnce(Revision, &mut Room) -> T + Send + 'static,
        T: Send + 'static,
    {
        let mut look = look;
        // Nobody's desk may close for a job or a revision that there is not.
        let mut fresh: Option<Arc<store::Revision>> = match self.desks().is_open(job) {
            true => None,
            false => Some(self.store().revision(job, revision).await?),
        };
        // Other revisions may push one out between being laid there and being looked at.
        for _ in 0..3 {
            let read = fresh.take();
            let work = move |room: &mut Room| {
                let later = if or_later {
                    room.catch_up(revision)
                } else {
                    None
                };
                let at = later.unwrap_or(revision);
                if let Some(read) = read.filter(|_| later.is_none()) {
                    room.open(revision, &read.text)?;
                }
                match room.at(at).is_some() {
                    true => Ok::<_, Error>(Ok(look(at, room))),
                    false => Ok(Err(look)),
                }
            };
            let answer = self.desks().ask(job, lane.clone(), work).await;
            match answer.map_err(Error::from)?? {
                Ok(answer) => return Ok(answer),
                Err(back) => look = back,
            }
            fresh = Some(self.store().revision(job, revision).await?);
        }
        Err(Error::fault(format!(
            "revision {revision} of {job} does not stay on its desk"
        )))
    }

    /// A change as edits of a revision. Where nothing is dragged the revision need not be proved
    /// for it: somebody who was away for long does not wait for what is not asked.
    pub async fn written(
        &self,
        job: &str,
        revision: Revision,
        changes: Changes,
    ) -> Result<Written, Error> {
        if !changes.moves.is_empty() {
            let written = move |proved: &Proved| changes.written(proved);
            return self.look(job, revision, None, written).await?;
        }
        changes.few_enough()?;
        let as_typed =
            |edit: &view::Edit| !view::may_be_completed(&edit.at) && renamed_wall(edit).is_none();
        if changes.edits.iter().all(as_typed) {
            let edits = changes.edits.iter().map(model_edit).collect();
            let says = String::new();
            return Ok(Written { edits, says });
        }
        let revision = self.store().revision(job, revision).await?;
        let read = move || {
            let document = model::read(&revision.text, &checks::limit_names())
                .map_err(|problems| bad_document(&revision.text, &problems))?;
            changes.typed(&document)
        };
        (tokio::task::spawn_blocking(read).await)
            .map_err(|_| Error::fault("reading a document panicked"))?
    }

    /// As [`State::look`], at the last revision or one that is later by now; its number too.
    pub async fn look_at_head<T, W>(&self, job: &str, look: W) -> Result<(Revision, T), Error>
    where
        W: FnOnce(&Proved) -> T + Send + 'static,
        T: Send + 'static,
    {
        let head = self.revision(job, None).await?;
        let look = move |at, room: &mut Room| Some((at, look(room.at(at)?)));
        let looked = self.look_from(job, head, true, None, look).await?;
        looked.ok_or_else(|| Error::fault("a revision does not stay on its desk"))
    }
}

impl From<Unanswered> for Error {
    fn from(unanswered: Unanswered) -> Self {
        match unanswered {
            Unanswered::Superseded => Self::superseded(),
            Unanswered::Broken => Self::fault("work at a desk panicked"),
        }
    }
}

impl Changes {
    /// The change in the form in which each place is written at present.
    pub fn written(&self, proved: &Proved) -> Result<Written, Error> {
        self.few_enough()?;
        let typed = self.typed(proved.analysis().job())?;
        if self.moves.is_empty() {
            return Ok(typed);
        }
        let mut edits = typed.edits;
        // A body may stand on what the same change has edited.
        let edited = match edits.is_empty() {
            true => None,
            false => Some(proved.analysis().edited(&edits)?),
        };
        let analysis = edited.as_ref().unwrap_or(proved.analysis());
        let mut says = Vec::new();
        for one in &self.moves {
            let moved = view::edits_of(analysis, one)?;
            edits.extend(moved.edits.iter().map(model_edit));
            says.push(moved.says);
        }
        let says = says.join("; ");
        Ok(Written { edits, says })
    }

    fn few_enough(&self) -> Result<(), Error> {
        let count = self.edits.len() + self.moves.len();
        if count <= AT_ONCE_MAX {
            return Ok(());
        }
        Err(Error::refused(
            format!("{count} changes at once; at most {AT_ONCE_MAX} are made"),
            "send them in parts",
        ))
    }

    /// What was typed, as edits of a document. What names a wall follows it to another name.
    fn typed(&self, job: &Job) -> Result<Written, Error> {
        let mut edits = Vec::new();
        for edit in &self.edits {
            match renamed_wall(edit) {
                Some((space, wall, name)) => {
                    let renamed = job.wall_renamed(space, wall, name);
                    edits.extend(renamed.map_err(|error| match error {
                        model::EditError::Refused(message) => {
                            Error::refused(message, "Give it another name.").at(edit.at.clone())
                        }
                        other => other.into(),
                    })?);
                }
                None => edits.push(model_edit(&view::completed(job, edit.clone()))),
            }
        }
        Ok(Written {
            edits,
            says: String::new(),
        })
    }

    /// A changed copy, proved.
    pub fn copy(&self, proved: &Proved) -> Result<(checks::Again, Written), Error> {
        let written = self.written(proved)?;
        let again = prove_again(proved, &written.edits)?;
        Ok((again, written))
    }
}

/// The space, wall and name of an edit that gives a wall another name.
fn renamed_wall(edit: &view::Edit) -> Option<(&str, &str, &str)> {
    let mut parts = edit.at.split('.');
    let ("space", space, "walls", wall, "id", None) = (
        parts.next()?,
        parts.next()?,
        parts.next()?,
        parts.next()?,
        parts.next()?,
        parts.next(),
    ) else {
        return None;
    };
    Some((space, wall, edit.set.as_ref()?.as_str()?))
}

fn model_edit(edit: &view::Edit) -> Edit {
    Edit {
        at: edit.at.clone(),
        set: edit.set.clone(),
    }
}

impl From<view::MoveError> for Error {
    fn from(error: view::MoveError) -> Self {
        let told = Self::refused(error.message, error.hint);
        match error.at {
            Some(at) => told.at(at),
            None => told,
        }
    }
}
