//! What is done of a job: ticks from several phones, some of them sent hours later.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use sqlx::any::AnyRow;

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
        self.try_tick(job, task, done, act)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_tick(&self, job: &str, task: &str, done: bool, act: &Act) -> Result<(), Fault> {
        let mut connection = self.inner.pool.acquire().await?;
        head_number(&mut connection, job).await?;
        let inserted = sqlx::query(
            "INSERT INTO tick (op, job, task, done, who, made) VALUES ($1, $2, $3, $4, $5, $6) \
             ON CONFLICT (op) DO NOTHING",
        )
        .bind(&act.op)
        .bind(job)
        .bind(task)
        .bind(i64::from(done))
        .bind(&act.who)
        .bind(act.when.as_str())
        .execute(&mut *connection)
        .await?;
        if inserted.rows_affected() == 1 {
            return Ok(());
        }
        let row = sqlx::query("SELECT * FROM tick WHERE op = $1")
            .bind(&act.op)
            .fetch_one(&mut *connection)
            .await?;
        let known = of_row(&row)?;
        let same = (known.task.as_str(), known.done) == (task, done) && known.who == act.who;
        if text(&row, "job")? == job && same {
            return Ok(());
        }
        Err(StoreError::OpReused(act.op.clone()).into())
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

fn of_row(row: &AnyRow) -> Result<Tick, Fault> {
    Ok(Tick {
        task: text(row, "task")?,
        done: number(row, "done")? == 1,
        who: text(row, "who")?,
        when: when(row, "made")?,
        op: text(row, "op")?,
    })
}
