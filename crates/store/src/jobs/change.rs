//! Changes a job: worked out beside the database, put there in a moment.
//!
//! A change is read, merged and checked on top of the last revision while others write. It is
//! put into the database if that revision is still the last one by then, and worked out again
//! if it is not. Within one program the changes of one job stand in line, so that only another
//! program can be quicker; if one is twice, the job is held until the change is in.

use std::sync::Arc;

use model::{Edit, LimitName};
use sqlx::AnyConnection;

use crate::database::{Fault, Store, Writing};
use crate::document::{FactChange, differences, facts, name_of};
use crate::jobs::contested::{follow, insert_contests, settle};
use crate::jobs::create::{off_thread, with_text};
use crate::jobs::history::head_number;
use crate::jobs::revision::{insert_revision, number, shown_number, text, when};
use crate::jobs::undo::Way;
use crate::jobs::{Change, Kind, MergedOver, Revision, Saved, Side, answer, answered};
use crate::merge::{Contest, Sides, merge};
use crate::{Act, StoreError};

/// How often a change is worked out beside the database before the job is held for it.
const RACES: usize = 2;

/// Tries in all; after a race, only an operation's number taken by another job needs one more.
const TRIES: usize = 5;

/// What somebody wants done with a job.
pub(super) enum Intent<'a> {
    Edit(&'a Change),
    /// A whole document in the place of a revision.
    Import {
        base: u64,
        document: &'a str,
        summary: &'a str,
    },
    Walk(Way),
    Settle {
        contested: u64,
        keep: Side,
        called: Option<&'a str>,
    },
}

/// What a change makes of the last revision.
pub(super) struct Step {
    pub kind: Kind,
    pub text: String,
    pub summary: String,
    /// The revision that its author saw; the last one if not said.
    pub base: Option<u64>,
    pub target: Option<u64>,
    /// The revision after which others set the contested facts; the base if not said.
    pub contested_since: Option<u64>,
    /// The edits as they came; nothing if they are to be read off the documents.
    pub edits: Option<Vec<Edit>>,
    pub contests: Vec<Contest>,
    /// Whether it stands in the history even if the document stays as it is.
    pub always: bool,
    pub after: After,
}

/// What else changes with a revision.
pub(super) enum After {
    Nothing,
    /// Contested facts follow a change that is taken back, or made again.
    Follow {
        target: u64,
        undone: bool,
    },
    /// The contested fact of this number is settled.
    Settled(u64),
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
            after: After::Nothing,
        }
    }

    pub fn merged(
        kind: Kind,
        sides: &Sides,
        summary: String,
        limits: &[LimitName],
    ) -> Result<Self, StoreError> {
        let merged = merge(sides, limits)?;
        Ok(Self {
            contests: merged.contests,
            ..Self::new(kind, merged.text, summary)
        })
    }
}

/// All that is to be written, worked out on top of one revision.
struct Plan {
    head: u64,
    /// The new revision and the job's name in it; nothing where nothing differs.
    revision: Option<(Arc<Revision>, String)>,
    contested_since: u64,
    contests: Vec<Contest>,
    after: After,
    saved: Saved,
}

/// What is known of an act before it is done.
enum Seen {
    /// It was done before; this was its answer.
    Done(Saved),
    /// The revision on top of which it is to be done.
    Head(Arc<Revision>),
}

impl Store {
    /// Does what is wanted, once; when this returns, it is on the disk.
    pub(super) async fn change(
        &self,
        job: &str,
        intent: &Intent<'_>,
        act: &Act,
        request: &str,
    ) -> Result<Saved, Fault> {
        let _turn = self.inner.turns.of(job).await;
        for tried in 0..TRIES {
            let done = match tried < RACES {
                true => self.raced(job, intent, act, request).await?,
                false => self.held(job, intent, act, request).await?,
            };
            if let Some(saved) = done {
                return Ok(saved);
            }
        }
        Err(StoreError::Busy("others change this job all the time".to_owned()).into())
    }

    /// Works it out while others write; nothing if one of them changed the job meanwhile.
    async fn raced(
        &self,
        job: &str,
        intent: &Intent<'_>,
        act: &Act,
        request: &str,
    ) -> Result<Option<Saved>, Fault> {
        let mut connection = self.inner.pool.acquire().await?;
        let plan = match self.see(&mut connection, job, act, request).await? {
            Seen::Done(saved) => return Ok(Some(saved)),
            Seen::Head(head) => self.plan(&mut connection, head, intent, act).await?,
        };
        drop(connection);
        let work = self.write().await?;
        self.put_down(work, plan, act, request).await
    }

    /// Takes the job first, so that nobody changes it meanwhile.
    async fn held(
        &self,
        job: &str,
        intent: &Intent<'_>,
        act: &Act,
        request: &str,
    ) -> Result<Option<Saved>, Fault> {
        let mut work = self.write().await?;
        // PostgreSQL waits here for whoever has the row.
        sqlx::query("UPDATE job SET head = head WHERE id = $1")
            .bind(job)
            .execute(&mut *work)
            .await?;
        let plan = match self.see(&mut work, job, act, request).await? {
            Seen::Done(saved) => return Ok(Some(saved)),
            Seen::Head(head) => self.plan(&mut work, head, intent, act).await?,
        };
        self.put_down(work, plan, act, request).await
    }

    /// Writes what is planned to the disk; nothing if it is of another revision than the last.
    async fn put_down(
        &self,
        mut work: Writing<'_>,
        plan: Plan,
        act: &Act,
        request: &str,
    ) -> Result<Option<Saved>, Fault> {
        let made = (plan.revision.as_ref()).map(|(revision, _)| Arc::clone(revision));
        let saved = put(&mut work, plan, act, request).await?;
        if saved.is_some() {
            work.commit().await?;
            if let Some(made) = made {
                self.inner.recent.keep(&made);
            }
        }
        Ok(saved)
    }

    /// Whether an act was done, and what it is to be done on top of if it was not.
    async fn see(
        &self,
        connection: &mut AnyConnection,
        job: &str,
        act: &Act,
        request: &str,
    ) -> Result<Seen, Fault> {
        if let Some(saved) = answered::<Saved>(connection, &act.op, request).await? {
            return Ok(Seen::Done(with_text(connection, saved).await?));
        }
        let head = head_number(connection, job).await?;
        let head = self.recent_revision(connection, job, head).await?;
        Ok(Seen::Head(head))
    }

    async fn plan(
        &self,
        connection: &mut AnyConnection,
        head: Arc<Revision>,
        intent: &Intent<'_>,
        act: &Act,
    ) -> Result<Plan, Fault> {
        let step = match intent {
            Intent::Edit(change) => self.step_of_edits(connection, &head, change).await?,
            Intent::Import {
                base,
                document,
                summary,
            } => {
                self.step_of_document(connection, &head, *base, document, summary)
                    .await?
            }
            Intent::Walk(way) => self.step_of_walk(connection, &head, *way).await?,
            Intent::Settle {
                contested,
                keep,
                called,
            } => {
                self.step_of_settling(connection, &head, *contested, *keep, *called)
                    .await?
            }
        };
        let base = step.base.unwrap_or(head.number);
        let mut plan = Plan {
            head: head.number,
            revision: None,
            contested_since: step.contested_since.unwrap_or(base),
            contests: step.contests,
            after: step.after,
            saved: Saved {
                job: head.job.clone(),
                revision: head.number,
                text: String::new(),
                merged_over: self.merged_over(connection, &head, base).await?,
                contested: Vec::new(),
            },
        };
        if step.text == head.text && plan.contests.is_empty() && !step.always {
            plan.saved.text = head.text.clone();
            return Ok(plan);
        }
        let (old, new) = (Arc::clone(&head), step.text);
        let (there, back, name, text) = off_thread(move || {
            let (old, facts) = (facts(&old.text)?, facts(&new)?);
            let there = differences(&old, &facts);
            Ok((there, differences(&facts, &old), name_of(&facts), new))
        })
        .await?;
        let revision = Revision {
            job: head.job.clone(),
            number: head.number + 1,
            kind: step.kind,
            text,
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
        plan.saved.revision = revision.number;
        plan.revision = Some((Arc::new(revision), name));
        Ok(plan)
    }

    /// The revisions that came between.
    async fn merged_over(
        &self,
        connection: &mut AnyConnection,
        head: &Revision,
        base: u64,
    ) -> Result<Vec<MergedOver>, Fault> {
        if let Some(between) = self.inner.recent.between(&head.job, base, head.number) {
            return Ok(between.iter().map(|one| MergedOver::from(&**one)).collect());
        }
        let rows = sqlx::query(
            "SELECT number, who, made, summary FROM revision WHERE job = $1 AND number > $2 AND \
             number <= $3 ORDER BY number",
        )
        .bind(&head.job)
        .bind(shown_number(base))
        .bind(shown_number(head.number))
        .fetch_all(connection)
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

impl From<&Revision> for MergedOver {
    fn from(revision: &Revision) -> Self {
        Self {
            revision: revision.number,
            who: revision.who.clone(),
            when: revision.when.clone(),
            summary: revision.summary.clone(),
        }
    }
}

/// Writes what is planned and keeps the answer; nothing if the plan is of a revision that is
/// not the last one any more, or if the act was done meanwhile. Then nothing may be committed.
async fn put(
    work: &mut AnyConnection,
    plan: Plan,
    act: &Act,
    request: &str,
) -> Result<Option<Saved>, Fault> {
    let mut saved = plan.saved;
    if !claim(work, &saved.job, plan.head, plan.revision.as_ref()).await? {
        return Ok(None);
    }
    let mut text = std::mem::take(&mut saved.text);
    if let Some((revision, _)) = plan.revision {
        insert_revision(work, &revision).await?;
        saved.contested =
            insert_contests(work, &revision, plan.contested_since, plan.contests).await?;
        text = revision.text.clone();
    }
    match plan.after {
        After::Nothing => {}
        After::Follow { target, undone } => follow(work, &saved.job, target, undone).await?,
        After::Settled(contested) => settle(work, &saved.job, contested, saved.revision).await?,
    }
    match answer(work, &act.op, request, &saved).await {
        Err(fault) if fault.is_lost_race() => return Ok(None),
        done => done?,
    }
    saved.text = text;
    Ok(Some(saved))
}

/// Takes the job if its last revision is still that one, and names the next one as its last.
async fn claim(
    work: &mut AnyConnection,
    job: &str,
    head: u64,
    next: Option<&(Arc<Revision>, String)>,
) -> Result<bool, Fault> {
    let query = match next {
        None => sqlx::query("UPDATE job SET head = head WHERE id = $1 AND head = $2")
            .bind(job)
            .bind(shown_number(head)),
        Some((revision, name)) => sqlx::query(
            "UPDATE job SET head = $1, name = $2, changed = $3 WHERE id = $4 AND head = $5",
        )
        .bind(shown_number(revision.number))
        .bind(name)
        .bind(revision.when.as_str())
        .bind(job)
        .bind(shown_number(head)),
    };
    Ok(query.execute(work).await?.rows_affected() == 1)
}
