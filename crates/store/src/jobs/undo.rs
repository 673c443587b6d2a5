//! Takes changes back and makes them again, each as a revision of its own.

use std::collections::BTreeSet;
use std::sync::Arc;

use sqlx::AnyConnection;

use crate::database::{Fault, Store};
use crate::jobs::change::{After, Intent, Step};
use crate::jobs::create::off_thread;
use crate::jobs::history::head_number;
use crate::jobs::revision::{kind, number, target};
use crate::jobs::{Kind, Revision, Saved, Undoable, digest};
use crate::merge::{Mine, Sides};
use crate::{Act, StoreError};

/// Which way through the history.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Way {
    Back,
    /// Back over one change that is named, wherever it stands.
    BackOver(u64),
    Forth,
}

impl Store {
    /// Takes back the latest change that stands, whoever made it and however long ago. The
    /// document is then letter by letter the one before the change, unless other changes
    /// came after it that stand; then its facts are set back, merged like any change.
    pub async fn undo(&self, job: &str, act: &Act) -> Result<Saved, StoreError> {
        self.walk(job, Way::Back, act).await
    }

    /// Takes back one change, wherever in the history it stands.
    pub async fn undo_revision(
        &self,
        job: &str,
        number: u64,
        act: &Act,
    ) -> Result<Saved, StoreError> {
        self.walk(job, Way::BackOver(number), act).await
    }

    /// Makes the change again that was taken back last. A change made after an undo ends
    /// what can be made again; its revisions stay in the history.
    pub async fn redo(&self, job: &str, act: &Act) -> Result<Saved, StoreError> {
        self.walk(job, Way::Forth, act).await
    }

    /// What [`Store::undo`] and [`Store::redo`] would act on.
    pub async fn undoable(&self, job: &str) -> Result<Undoable, StoreError> {
        let read = async {
            let mut connection = self.inner.pool.acquire().await?;
            let head = head_number(&mut connection, job).await?;
            let head = self.recent_revision(&mut connection, job, head).await?;
            let line = Line::up_to(&mut connection, &head).await?;
            let (last, next) = (line.last(), line.next());
            Ok(Undoable {
                undo: self.entry(&mut connection, job, last, false).await?,
                redo: self.entry(&mut connection, job, next, true).await?,
            })
        };
        read.await.map_err(|fault: Fault| self.told(fault))
    }

    async fn walk(&self, job: &str, way: Way, act: &Act) -> Result<Saved, StoreError> {
        act.check()?;
        self.try_walk(job, way, act)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_walk(&self, job: &str, way: Way, act: &Act) -> Result<Saved, Fault> {
        let (word, over) = match way {
            Way::Back => ("undo", 0),
            Way::BackOver(number) => ("undo", number),
            Way::Forth => ("redo", 0),
        };
        let request = digest(&(word, job, over, &act.who));
        self.change(job, &Intent::Walk(way), act, &request).await
    }

    pub(super) async fn step_of_walk(
        &self,
        connection: &mut AnyConnection,
        head: &Arc<Revision>,
        way: Way,
    ) -> Result<Step, Fault> {
        let job = &head.job;
        let target = Line::read(connection, job).await?.target(job, way)?;
        let before = self.recent_revision(connection, job, target - 1).await?;
        let after = self.recent_revision(connection, job, target).await?;
        let (kind, verb) = match way {
            Way::Forth => (Kind::Redo, "Redo"),
            _ => (Kind::Undo, "Undo"),
        };
        let summary: String = format!("{verb}: {}", after.summary);
        // A summary stays on its line however often it is taken back.
        let summary = summary.chars().take(200).collect();
        let (from, to) = match way {
            Way::Forth => (before, after),
            _ => (after, before),
        };
        let head = Arc::clone(head);
        let store = self.clone();
        let step = off_thread(move || {
            if head.text == from.text {
                return Ok(Step::new(kind, to.text.clone(), summary));
            }
            let sides = Sides {
                base: &from.text,
                mine: Mine::Text(&to.text),
                head: &head.text,
            };
            Step::merged(kind, &sides, summary, &store.inner.limits)
        })
        .await?;
        Ok(Step {
            target: Some(target),
            always: true,
            // Contests name whoever set the fact after the change that is taken back.
            contested_since: Some(target),
            after: After::Follow {
                target,
                undone: way != Way::Forth,
            },
            ..step
        })
    }
}

/// Which changes stand and which can be made again.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Line {
    stand: BTreeSet<u64>,
    undone: Vec<u64>,
    gone: BTreeSet<u64>,
}

impl Line {
    pub fn of(revisions: impl IntoIterator<Item = (u64, Kind, Option<u64>)>) -> Self {
        let mut line = Self::default();
        for (number, kind, target) in revisions {
            match (kind, target) {
                (Kind::Create, _) => {}
                (Kind::Undo, Some(target)) => {
                    line.stand.remove(&target);
                    line.undone.push(target);
                }
                (Kind::Redo, Some(target)) => {
                    line.undone.retain(|undone| *undone != target);
                    line.stand.insert(target);
                }
                _ => {
                    line.stand.insert(number);
                    line.gone.extend(line.undone.drain(..));
                }
            }
        }
        line
    }

    /// As [`Line::read`], from the last revision alone where that tells: a long history is not
    /// read again each time that somebody saves.
    async fn up_to(connection: &mut AnyConnection, last: &Revision) -> Result<Self, Fault> {
        match last.kind {
            Kind::Undo | Kind::Redo => Self::read(connection, &last.job).await,
            // What was taken back before it can't be made again.
            _ => Ok(Self::of([(last.number, last.kind, last.target)])),
        }
    }

    async fn read(connection: &mut AnyConnection, job: &str) -> Result<Self, Fault> {
        let rows =
            sqlx::query("SELECT number, kind, target FROM revision WHERE job = $1 ORDER BY number")
                .bind(job)
                .fetch_all(connection)
                .await?;
        if rows.is_empty() {
            return Err(StoreError::NoSuchJob(job.to_owned()).into());
        }
        let mut revisions = Vec::new();
        for row in &rows {
            revisions.push((number(row, "number")?, kind(row)?, target(row)?));
        }
        Ok(Self::of(revisions))
    }

    /// The latest change that stands.
    pub fn last(&self) -> Option<u64> {
        self.stand.last().copied()
    }

    /// The change that was taken back last.
    pub fn next(&self) -> Option<u64> {
        self.undone.last().copied()
    }

    pub fn is_undone(&self, number: u64) -> bool {
        self.undone.contains(&number) || self.gone.contains(&number)
    }

    fn target(&self, job: &str, way: Way) -> Result<u64, StoreError> {
        match way {
            Way::Back => self
                .last()
                .ok_or_else(|| StoreError::NothingToUndo(job.to_owned())),
            Way::Forth => self
                .next()
                .ok_or_else(|| StoreError::NothingToRedo(job.to_owned())),
            Way::BackOver(number) if self.stand.contains(&number) => Ok(number),
            Way::BackOver(number) => Err(StoreError::NotUndoable {
                job: job.to_owned(),
                number,
                reason: match self.is_undone(number) {
                    true => "it is taken back already",
                    false => "it is no change that stands",
                },
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Kind, Line};

    fn line(revisions: &[(Kind, Option<u64>)]) -> Line {
        let numbered = (1..).zip(revisions);
        Line::of(numbered.map(|(number, (kind, target))| (number, *kind, *target)))
    }

    #[test]
    fn undo_walks_back_over_changes_and_not_over_undos() {
        let begun = [
            (Kind::Create, None),
            (Kind::Edit, None),
            (Kind::Edit, None),
            (Kind::Undo, Some(3)),
        ];
        let line = line(&begun);
        assert_eq!((line.last(), line.next()), (Some(2), Some(3)));
    }

    #[test]
    fn a_change_after_an_undo_ends_the_line_of_redos() {
        let line = line(&[
            (Kind::Create, None),
            (Kind::Edit, None),
            (Kind::Undo, Some(2)),
            (Kind::Edit, None),
        ]);
        assert_eq!((line.last(), line.next()), (Some(4), None));
        assert!(line.is_undone(2));
    }

    #[test]
    fn after_a_change_its_end_tells_as_much_as_the_whole_line() {
        let walk = [
            (Kind::Create, None),
            (Kind::Edit, None),
            (Kind::Merge, None),
            (Kind::Undo, Some(3)),
            (Kind::Redo, Some(3)),
            (Kind::Undo, Some(3)),
            (Kind::Undo, Some(2)),
            (Kind::Edit, None),
        ];
        for end in 1..=walk.len() {
            let (kind, target) = walk[end - 1];
            if matches!(kind, Kind::Undo | Kind::Redo) {
                continue;
            }
            let (whole, alone) = (line(&walk[..end]), Line::of([(end as u64, kind, target)]));
            assert_eq!(
                (whole.last(), whole.next()),
                (alone.last(), alone.next()),
                "{end}"
            );
        }
    }

    #[test]
    fn the_first_revision_can_not_be_taken_back() {
        assert_eq!(line(&[(Kind::Create, None)]).last(), None);
    }
}
