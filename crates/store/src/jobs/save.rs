//! Saves a change on top of a job's last revision, merged with what others saved meanwhile.

use std::sync::Arc;

use sqlx::AnyConnection;

use crate::StoreError;
use crate::act::line;
use crate::database::{Fault, Store};
use crate::document::{check_edited, edited};
use crate::jobs::change::{Intent, Step};
use crate::jobs::create::off_thread;
use crate::jobs::{Change, Kind, Revision, Saved, digest};
use crate::merge::{Mine, Sides};

/// More edits than any person or remedy makes at once.
const EDITS_MAX: usize = 10_000;

impl Store {
    /// Saves a change; when this returns, it is on the disk.
    ///
    /// An operation that is known already is not done again: its answer is given again. A
    /// change of the last revision keeps every comment and spelling that it does not touch.
    /// A change of an earlier one is merged, fact by fact. Facts that others did not touch
    /// are set. A fact that somebody else set to another value is set to the value that
    /// arrives later, and both values stay in [`Saved::contested`]. A change of a thing that
    /// somebody took away, or with which the job would not read, is set aside there too.
    ///
    /// A change that can't be made on its own base, or after which the document would not
    /// read as a job, is refused, and nothing is saved.
    pub async fn save(&self, job: &str, change: &Change) -> Result<Saved, StoreError> {
        change.act.check()?;
        line("the summary", &change.summary)?;
        if change.edits.len() > EDITS_MAX {
            return Err(StoreError::Argument {
                what: "the change",
                message: format!("it has more than {EDITS_MAX} edits"),
            });
        }
        let request = digest(&(
            ("save", job, change.base, &change.edits),
            (&change.act.who, &change.summary),
        ));
        self.try_save(job, change, &request)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_save(&self, job: &str, change: &Change, request: &str) -> Result<Saved, Fault> {
        let intent = Intent::Edit(change);
        self.change(job, &intent, &change.act, request).await
    }

    pub(super) async fn step_of_edits(
        &self,
        connection: &mut AnyConnection,
        head: &Arc<Revision>,
        change: &Change,
    ) -> Result<Step, Fault> {
        let base = match change.base == head.number {
            true => None,
            false => Some(
                self.recent_revision(connection, &head.job, change.base)
                    .await?,
            ),
        };
        let store = self.clone();
        let head = Arc::clone(head);
        let Change { edits, summary, .. } = change.clone();
        let step = off_thread(move || {
            let limits = &store.inner.limits;
            match &base {
                None => {
                    let mine = edited(&head.text, &edits)?;
                    check_edited(&mine, &head.text, &edits, limits)?;
                    Ok(Step {
                        edits: Some(edits),
                        ..Step::new(Kind::Edit, mine, summary)
                    })
                }
                Some(base) => {
                    let sides = Sides {
                        base: &base.text,
                        mine: Mine::Edits(&edits),
                        head: &head.text,
                    };
                    Step::merged(Kind::Merge, &sides, summary, limits)
                }
            }
        })
        .await?;
        Ok(Step {
            base: Some(change.base),
            ..step
        })
    }
}
