//! What is done of a job: ticks from several phones, some of them sent hours later.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use serde::{Deserialize, Serialize};
use sqlx::AnyConnection;
use sqlx::any::AnyRow;
use tokio::sync::oneshot;

use crate::act::line;
use crate::database::{Fault, Store};
use crate::jobs::head_number;
use crate::jobs::{number, text, when};
use crate::{Act, StoreError, When};

/// One task ticked or unticked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tick {
    /// The task's id.
    pub task: String,
    /// Whether it is done.
    pub done: bool,
    /// Who says so.
    pub who: String,
    /// When that person did.
    pub when: When,
    /// The operation's number.
    pub op: String,
}

/// A tick on its way into the store.
#[derive(Clone, Debug)]
pub(crate) struct Said {
    job: String,
    task: String,
    done: bool,
    act: Act,
}

/// Ticks that wait for the writer's turn. A flush of the disk takes longer than writing ten.
#[derive(Debug, Default)]
pub(crate) struct Waiting(Mutex<Vec<(Said, Answer)>>);

type Answer = oneshot::Sender<Result<(), Fault>>;

impl Waiting {
    fn add(&self, said: Said, answer: Answer) {
        let mut waiting = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        waiting.push((said, answer));
    }

    fn take(&self) -> Vec<(Said, Answer)> {
        std::mem::take(&mut *self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

impl Store {
    /// Ticks or unticks a task. The same operation again changes nothing. Ticks may arrive
    /// in any order: what holds of a task is what was said last, by the time of saying.
    pub async fn tick(
        &self,
        job: &str,
        task: &str,
        done: bool,
        act: &Act,
    ) -> Result<(), StoreError> {
        act.check()?;
        line("the task's id", task)?;
        let said = Said {
            job: job.to_owned(),
            task: task.to_owned(),
            done,
            act: act.clone(),
        };
        self.try_tick(said).await.map_err(|fault| self.told(fault))
    }

    async fn try_tick(&self, said: Said) -> Result<(), Fault> {
        let (told, answer) = oneshot::channel();
        self.inner.ticks.add(said.clone(), told);
        let store = self.clone();
        // On its own: whoever asked may hang up, and others' ticks are in the same boat.
        tokio::spawn(async move { store.write_ticks().await });
        match answer.await {
            Ok(written) => written,
            // The boat went down, maybe not by this one's fault.
            Err(_) => {
                let mut work = self.write().await?;
                write_tick(&mut work, &said).await?;
                work.commit().await
            }
        }
    }

    /// Writes all ticks that wait when its turn comes, with one flush of the disk for all; none
    /// if another did. Who waits for a tick that was not written hears nothing.
    async fn write_ticks(&self) {
        let turn = self.turn().await;
        let waiting = self.inner.ticks.take();
        if waiting.is_empty() {
            return;
        }
        let Ok(mut work) = self.write_in(turn).await else {
            return;
        };
        let mut written = Vec::new();
        for (said, told) in waiting {
            match write_tick(&mut work, &said).await {
                Err(fault @ Fault::Told(_)) => drop(told.send(Err(fault))),
                Err(_) => return,
                Ok(()) => written.push(told),
            }
        }
        if !written.is_empty() && work.commit().await.is_ok() {
            for told in written {
                // Nobody may wait any more: it is written all the same.
                let _ = told.send(Ok(()));
            }
        }
    }

    /// What holds of each task that anybody ever ticked, by the task's id.
    pub async fn ticks(&self, job: &str) -> Result<Vec<Tick>, StoreError> {
        self.try_ticks(job).await.map_err(|fault| self.told(fault))
    }

    async fn try_ticks(&self, job: &str) -> Result<Vec<Tick>, Fault> {
        let mut connection = self.inner.pool.acquire().await?;
        head_number(&mut connection, job).await?;
        let rows = sqlx::query("SELECT * FROM tick WHERE job = $1")
            .bind(job)
            .fetch_all(&mut *connection)
            .await?;
        let mut latest: BTreeMap<String, Tick> = BTreeMap::new();
        for row in &rows {
            let tick = of_row(row)?;
            let later = latest
                .get(&tick.task)
                .is_none_or(|known| (&known.when, &known.op) < (&tick.when, &tick.op));
            if later {
                latest.insert(tick.task.clone(), tick);
            }
        }
        Ok(latest.into_values().collect())
    }
}

async fn write_tick(work: &mut AnyConnection, said: &Said) -> Result<(), Fault> {
    let Said {
        job,
        task,
        done,
        act,
    } = said;
    let inserted = sqlx::query(
        "INSERT INTO tick (op, job, task, done, who, made) SELECT $1, id, $3, $4, $5, $6 FROM job \
         WHERE id = $2 ON CONFLICT (op) DO NOTHING",
    )
    .bind(&act.op)
    .bind(job)
    .bind(task)
    .bind(i64::from(*done))
    .bind(&act.who)
    .bind(act.when.as_str())
    .execute(&mut *work)
    .await?;
    if inserted.rows_affected() == 1 {
        return Ok(());
    }
    head_number(work, job).await?;
    let row = sqlx::query("SELECT * FROM tick WHERE op = $1")
        .bind(&act.op)
        .fetch_one(&mut *work)
        .await?;
    let known = of_row(&row)?;
    let same = (&known.task, known.done, &known.who) == (task, *done, &act.who);
    if &text(&row, "job")? == job && same {
        return Ok(());
    }
    Err(StoreError::OpReused(act.op.clone()).into())
}

fn of_row(row: &AnyRow) -> Result<Tick, Fault> {
    Ok(Tick {
        task: text(row, "task")?,
        done: number(row, "done")? == 1,
        who: text(row, "who")?,
        when: when(row, "made")?,
        op: text(row, "op")?,
    })
}
