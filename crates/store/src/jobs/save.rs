//! Saves a change on top of a job's last revision, merged with what others saved meanwhile.

use model::{Edit, LimitName};
use sqlx::{Any, Transaction};

use crate::act::line;
use crate::database::{Fault, Store};
use crate::document::{FactChange, check, differences, edited, facts, name_of};
use crate::jobs::contested::insert_contests;
use crate::jobs::create::{off_thread, with_text};
use crate::jobs::revision::{insert_revision, number, read_revision, shown_number, text, when};
use crate::jobs::{Change, Kind, MergedOver, Revision, Saved, answer, answered, digest};
use crate::merge::{Contest, Sides, merge};
use crate::{Act, StoreError};

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
        self.try_save(job, change, request)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_save(&self, job: &str, change: &Change, request: String) -> Result<Saved, Fault> {
        let mut open = match self.take(job, &change.act, request).await? {
            Turn::Done(saved) => return Ok(saved),
            Turn::Open(open) => open,
        };
        let base = match change.base == open.head.number {
            true => None,
            false => Some(open.revision(change.base).await?.text),
        };
        let store = self.clone();
        let head = open.head.text.clone();
        let change_made = change.clone();
        let step = off_thread(move || {
            let limits = &store.inner.limits;
            let Change { edits, summary, .. } = change_made;
            let mine = edited(base.as_deref().unwrap_or(&head), &edits)?;
            check(&mine, limits)?;
            match &base {
                None => Ok(Step {
                    edits: Some(edits),
                    ..Step::new(Kind::Edit, mine, summary)
                }),
                Some(base) => Step::merged(Kind::Merge, base, &mine, &head, summary, limits),
            }
        })
        .await?;
        let base = Some(change.base);
        open.finish(Step { base, ..step }, &change.act).await
    }

    /// Takes the job for one act alone, unless the act is done already.
    pub(super) async fn take(&self, job: &str, act: &Act, request: String) -> Result<Turn, Fault> {
        let mut work = self.inner.pool.begin().await?;
        // The first statement writes, so that both databases wait here for whoever is at it,
        // and everything read after it is what they left.
        let taken = sqlx::query("UPDATE job SET head = head WHERE id = $1")
            .bind(job)
            .execute(&mut *work)
            .await?;
        if let Some(saved) = answered::<Saved>(&mut work, &act.op, &request).await? {
            return Ok(Turn::Done(with_text(&mut work, saved).await?));
        }
        if taken.rows_affected() == 0 {
            return Err(StoreError::NoSuchJob(job.to_owned()).into());
        }
        let row = sqlx::query("SELECT head FROM job WHERE id = $1")
            .bind(job)
            .fetch_one(&mut *work)
            .await?;
        let head = read_revision(&mut work, job, number(&row, "head")?).await?;
        Ok(Turn::Open(Box::new(Open {
            work,
            head,
            request,
        })))
    }
}

/// Whose turn it is with a job.
pub(super) enum Turn {
    /// The act was done before; this was its answer.
    Done(Saved),
    /// The job is taken until the work is finished or dropped.
    Open(Box<Open>),
}

/// A job taken for one act: nobody else changes it meanwhile.
pub(super) struct Open {
    pub work: Transaction<'static, Any>,
    pub head: Revision,
    request: String,
}

impl Open {
    pub async fn revision(&mut self, number: u64) -> Result<Revision, Fault> {
        read_revision(&mut self.work, &self.head.job, number).await
    }

    /// Adds the revision, keeps the answer, and puts both on the disk.
    pub async fn finish(mut self: Box<Self>, step: Step, act: &Act) -> Result<Saved, Fault> {
        let saved = self.add(step, act).await?;
        self.commit(saved, act).await
    }

    pub async fn commit(mut self: Box<Self>, mut saved: Saved, act: &Act) -> Result<Saved, Fault> {
        let text = std::mem::take(&mut saved.text);
        match answer(&mut self.work, &act.op, &self.request, &saved).await {
            // The number was taken meanwhile by an act on another job.
            Err(fault) if fault.is_lost_race() => {
                return Err(StoreError::OpReused(act.op.clone()).into());
            }
            done => done?,
        }
        self.work.commit().await?;
        saved.text = text;
        Ok(saved)
    }
}

/// What a change makes of the last revision.
pub(super) struct Step {
    pub kind: Kind,
    pub text: String,
    pub summary: String,
    pub base: Option<u64>,
    pub target: Option<u64>,
    /// The revision after which others set the contested facts; the base if not said.
    pub contested_since: Option<u64>,
    /// The edits as they came; nothing if they are to be read off the documents.
    pub edits: Option<Vec<Edit>>,
    pub contests: Vec<Contest>,
    /// Whether it stands in the history even if the document stays as it is.
    pub always: bool,
}

impl Step {
    pub fn new(kind: Kind, text: String, summary: String) -> Self {
        Self {
            kind,
            text,
            summary,
            base: None,
            target: None,
            contested_since: None,
            edits: None,
            contests: Vec::new(),
            always: false,
        }
    }

    pub fn merged(
        kind: Kind,
        base: &str,
        mine: &str,
        head: &str,
        summary: String,
        limits: &[LimitName],
    ) -> Result<Self, StoreError> {
        let merged = merge(&Sides { base, mine, head }, limits)?;
        Ok(Self {
            contests: merged.contests,
            ..Self::new(kind, merged.text, summary)
        })
    }
}

impl Open {
    /// Adds the revision, in the transaction; nothing where nothing differs.
    pub async fn add(&mut self, step: Step, act: &Act) -> Result<Saved, Fault> {
        let head = self.head.clone();
        let base = step.base.unwrap_or(head.number);
        let mut saved = Saved {
            job: head.job.clone(),
            revision: head.number,
            text: head.text.clone(),
            merged_over: self.merged_over(base).await?,
            contested: Vec::new(),
        };
        if step.text == head.text && step.contests.is_empty() && !step.always {
            return Ok(saved);
        }
        let (old, new) = (head.text, step.text.clone());
        let (there, back, name) = off_thread(move || {
            let (old, new) = (facts(&old)?, facts(&new)?);
            let there = differences(&old, &new);
            Ok((there, differences(&new, &old), name_of(&new)))
        })
        .await?;
        let revision = Revision {
            job: head.job,
            number: head.number + 1,
            kind: step.kind,
            text: step.text,
            who: act.who.clone(),
            when: act.when.clone(),
            summary: step.summary,
            base,
            target: step.target,
            touched: there.iter().map(|change| change.at.clone()).collect(),
            edits: step
                .edits
                .unwrap_or_else(|| there.iter().map(FactChange::edit).collect()),
            reverse: back.iter().map(FactChange::edit).collect(),
        };
        insert_revision(&mut self.work, &revision).await?;
        sqlx::query("UPDATE job SET head = $1, name = $2, changed = $3 WHERE id = $4")
            .bind(shown_number(revision.number))
            .bind(name)
            .bind(act.when.as_str())
            .bind(&revision.job)
            .execute(&mut *self.work)
            .await?;
        let since = step.contested_since.unwrap_or(base);
        saved.contested = insert_contests(&mut self.work, &revision, since, step.contests).await?;
        saved.revision = revision.number;
        saved.text = revision.text;
        Ok(saved)
    }

    /// The revisions that came between.
    async fn merged_over(&mut self, base: u64) -> Result<Vec<MergedOver>, Fault> {
        if base == self.head.number {
            return Ok(Vec::new());
        }
        let rows = sqlx::query(
            "SELECT number, who, made, summary FROM revision WHERE job = $1 AND number > $2 \
             ORDER BY number",
        )
        .bind(&self.head.job)
        .bind(shown_number(base))
        .fetch_all(&mut *self.work)
        .await?;
        rows.iter()
            .map(|row| {
                Ok(MergedOver {
                    revision: number(row, "number")?,
                    who: text(row, "who")?,
                    when: when(row, "made")?,
                    summary: text(row, "summary")?,
                })
            })
            .collect()
    }
}
