//! Keeps both values of a contested fact until somebody settles it.

use std::sync::Arc;

use serde::{Deserialize, Serialize};
use serde_json::Value;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use crate::act::line;
use crate::database::{Fault, Store};
use crate::document::{FactChange, check, facts, rewritten, touches, value_at};
use crate::jobs::change::{After, Intent, Step};
use crate::jobs::create::off_thread;
use crate::jobs::revision::{from_json, json, number, shown_number, text, when};
use crate::jobs::{Claim, Contested, Kind, Revision, Saved, Side, digest};
use crate::merge::Contest;
use crate::{Act, StoreError};

impl Store {
    /// The contested facts of a job that nobody settled yet, oldest first.
    pub async fn contested(&self, job: &str) -> Result<Vec<Contested>, StoreError> {
        self.try_contested(job)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_contested(&self, job: &str) -> Result<Vec<Contested>, Fault> {
        let mut connection = self.inner.pool.acquire().await?;
        let rows = sqlx::query(
            "SELECT * FROM contested WHERE job = $1 AND withdrawn = 0 AND \
             (resolved_by IS NULL OR resolution_undone = 1) ORDER BY number",
        )
        .bind(job)
        .fetch_all(&mut *connection)
        .await?;
        if rows.is_empty() {
            crate::jobs::history::head_number(&mut connection, job).await?;
        }
        rows.iter().map(of_row).collect()
    }

    /// Settles a contested fact. Keeping the value that does not stand sets it; keeping the
    /// one that stands leaves the document as it is. Either is a revision, and undoing that
    /// opens the contest again. `called` is what people call the fact in the history; its path
    /// when left out.
    pub async fn resolve(
        &self,
        job: &str,
        contested: u64,
        keep: Side,
        called: Option<&str>,
        act: &Act,
    ) -> Result<Saved, StoreError> {
        act.check()?;
        if let Some(called) = called {
            line("the name of the fact", called)?;
        }
        self.try_resolve(job, contested, keep, called, act)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_resolve(
        &self,
        job: &str,
        contested: u64,
        keep: Side,
        called: Option<&str>,
        act: &Act,
    ) -> Result<Saved, Fault> {
        let request = digest(&("resolve", job, contested, keep, &act.who));
        let intent = Intent::Settle {
            contested,
            keep,
            called,
        };
        self.change(job, &intent, act, &request).await
    }

    pub(super) async fn step_of_settling(
        &self,
        connection: &mut AnyConnection,
        head: &Revision,
        contested: u64,
        keep: Side,
        called: Option<&str>,
    ) -> Result<Step, Fault> {
        let row = sqlx::query(
            "SELECT * FROM contested WHERE job = $1 AND number = $2 AND withdrawn = 0 AND \
             (resolved_by IS NULL OR resolution_undone = 1)",
        )
        .bind(&head.job)
        .bind(shown_number(contested))
        .fetch_optional(&mut *connection)
        .await?;
        let Some(row) = row else {
            return Err(StoreError::NotContested {
                job: head.job.clone(),
                number: contested,
            }
            .into());
        };
        let contest = of_row(&row)?;
        // Documents in which the fact stood: they know its place among its neighbours.
        let mut models = Vec::new();
        for claim in [&contest.later, &contest.earlier] {
            let number = claim.revision.max(2) - 1;
            models.push(self.recent_revision(connection, &head.job, number).await?);
        }
        let head = head.text.clone();
        let store = self.clone();
        let called = called.unwrap_or(&contest.fact).to_owned();
        off_thread(move || settled(&store, &contest, keep, &called, head, models)).await
    }
}

fn settled(
    store: &Store,
    contest: &Contested,
    keep: Side,
    called: &str,
    head: String,
    models: Vec<Arc<Revision>>,
) -> Result<Step, StoreError> {
    let claim = contest.claim(keep);
    let summary = format!("Keep what {} set: {called}", claim.who);
    let mut text = head.clone();
    if keep != contest.stands {
        let now = facts(&head)?;
        let mut wanted = now.clone();
        for model in models {
            let model = facts(&model.text)?;
            if value_at(&model, &contest.fact).is_some() {
                wanted = model;
                break;
            }
        }
        let change = FactChange {
            at: contest.fact.clone(),
            before: value_at(&now, &contest.fact).cloned(),
            after: claim.value.clone(),
        };
        if change.before != change.after {
            (text, _) = rewritten(&head, &[change], &wanted)?;
            check(&text, &store.inner.limits)?;
        }
    }
    Ok(Step {
        always: true,
        after: After::Settled(contest.number),
        ..Step::new(Kind::Resolve, text, summary)
    })
}

/// Keeps what a change left contested, with who set the earlier values.
pub(super) async fn insert_contests(
    connection: &mut AnyConnection,
    revision: &Revision,
    base: u64,
    contests: Vec<Contest>,
) -> Result<Vec<Contested>, Fault> {
    if contests.is_empty() {
        return Ok(Vec::new());
    }
    let between = sqlx::query(
        "SELECT number, who, made, touched FROM revision WHERE job = $1 AND number > $2 AND \
         number < $3 ORDER BY number DESC",
    )
    .bind(&revision.job)
    .bind(shown_number(base))
    .bind(shown_number(revision.number))
    .fetch_all(&mut *connection)
    .await?;
    let last = sqlx::query("SELECT COUNT(*) AS kept FROM contested WHERE job = $1")
        .bind(&revision.job)
        .fetch_one(&mut *connection)
        .await?;
    let numbers = number(&last, "kept")? + 1..;
    let mut kept = Vec::new();
    for (next, contest) in numbers.zip(contests) {
        let earlier = who_set(&between, &contest.fact, revision)?;
        let contested = Contested {
            number: next,
            fact: contest.fact,
            reason: contest.reason,
            stands: contest.stands,
            earlier: Claim {
                value: contest.earlier,
                ..earlier
            },
            later: Claim {
                value: contest.later,
                who: revision.who.clone(),
                when: revision.when.clone(),
                revision: revision.number,
            },
        };
        insert(connection, &revision.job, &contested).await?;
        kept.push(contested);
    }
    Ok(kept)
}

/// Whoever touched the fact last before this revision.
fn who_set(between: &[AnyRow], fact: &str, revision: &Revision) -> Result<Claim, Fault> {
    let mut found = None;
    for row in between {
        let touched: Vec<String> = from_json("touched facts", &text(row, "touched")?)?;
        if touched.iter().any(|at| touches(at, fact)) {
            found = Some(row);
            break;
        }
    }
    // With nobody on that very fact, it is the revisions between as a whole that don't fit.
    match found.or(between.first()) {
        Some(row) => Ok(Claim {
            value: None,
            who: text(row, "who")?,
            when: when(row, "made")?,
            revision: number(row, "number")?,
        }),
        None => Ok(Claim {
            value: None,
            who: revision.who.clone(),
            when: revision.when.clone(),
            revision: revision.number,
        }),
    }
}

/// A contested fact with what became of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct KeptContest {
    #[serde(flatten)]
    pub contested: Contested,
    /// Whether the change that contested it is taken back.
    pub withdrawn: bool,
    /// The revision that settled it.
    pub resolved_by: Option<u64>,
    /// Whether that is taken back.
    pub resolution_undone: bool,
}

/// Every contested fact of a job, settled or not.
pub(crate) async fn read_kept_contests(
    connection: &mut AnyConnection,
    job: &str,
) -> Result<Vec<KeptContest>, Fault> {
    let rows = sqlx::query("SELECT * FROM contested WHERE job = $1 ORDER BY number")
        .bind(job)
        .fetch_all(connection)
        .await?;
    let mut kept = Vec::new();
    for row in &rows {
        let resolved_by: Option<i64> = row.try_get("resolved_by")?;
        kept.push(KeptContest {
            contested: of_row(row)?,
            withdrawn: number(row, "withdrawn")? == 1,
            resolved_by: resolved_by.and_then(|number| u64::try_from(number).ok()),
            resolution_undone: number(row, "resolution_undone")? == 1,
        });
    }
    Ok(kept)
}

/// Keeps a contested fact that came with its history.
pub(crate) async fn insert_kept_contest(
    connection: &mut AnyConnection,
    job: &str,
    kept: &KeptContest,
) -> Result<(), Fault> {
    insert(connection, job, &kept.contested).await?;
    sqlx::query(
        "UPDATE contested SET withdrawn = $1, resolved_by = $2, resolution_undone = $3 \
         WHERE job = $4 AND number = $5",
    )
    .bind(i64::from(kept.withdrawn))
    .bind(kept.resolved_by.map(shown_number))
    .bind(i64::from(kept.resolution_undone))
    .bind(job)
    .bind(shown_number(kept.contested.number))
    .execute(connection)
    .await?;
    Ok(())
}

async fn insert(
    connection: &mut AnyConnection,
    job: &str,
    contested: &Contested,
) -> Result<(), Fault> {
    sqlx::query(
        "INSERT INTO contested (job, number, fact, reason, stands, earlier, earlier_revision, \
         earlier_who, earlier_made, later, later_revision, later_who, later_made, withdrawn, \
         resolved_by, resolution_undone) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, \
         $12, $13, 0, NULL, 0)",
    )
    .bind(job)
    .bind(shown_number(contested.number))
    .bind(&contested.fact)
    .bind(&contested.reason)
    .bind(match contested.stands {
        Side::Earlier => "earlier",
        Side::Later => "later",
    })
    .bind(contested.earlier.value.as_ref().map(json))
    .bind(shown_number(contested.earlier.revision))
    .bind(&contested.earlier.who)
    .bind(contested.earlier.when.as_str())
    .bind(contested.later.value.as_ref().map(json))
    .bind(shown_number(contested.later.revision))
    .bind(&contested.later.who)
    .bind(contested.later.when.as_str())
    .execute(connection)
    .await?;
    Ok(())
}

/// Notes which revision settled a contested fact.
pub(super) async fn settle(
    connection: &mut AnyConnection,
    job: &str,
    contested: u64,
    by: u64,
) -> Result<(), Fault> {
    sqlx::query(
        "UPDATE contested SET resolved_by = $1, resolution_undone = 0 WHERE job = $2 AND \
         number = $3",
    )
    .bind(shown_number(by))
    .bind(job)
    .bind(shown_number(contested))
    .execute(connection)
    .await?;
    Ok(())
}

/// When a change is taken back, what it contested is moot, and what it settled is open
/// again; made again, the reverse.
pub(super) async fn follow(
    connection: &mut AnyConnection,
    job: &str,
    target: u64,
    undone: bool,
) -> Result<(), Fault> {
    for statement in [
        "UPDATE contested SET withdrawn = $1 WHERE job = $2 AND later_revision = $3",
        "UPDATE contested SET resolution_undone = $1 WHERE job = $2 AND resolved_by = $3",
    ] {
        sqlx::query(statement)
            .bind(i64::from(undone))
            .bind(job)
            .bind(shown_number(target))
            .execute(&mut *connection)
            .await?;
    }
    Ok(())
}

fn of_row(row: &AnyRow) -> Result<Contested, Fault> {
    let claim = |value: &str, revision: &str, who: &str, made: &str| {
        let value: Option<String> = row.try_get(value)?;
        Ok::<_, Fault>(Claim {
            value: value
                .map(|value| from_json::<Value>("a contested value", &value))
                .transpose()?,
            who: text(row, who)?,
            when: when(row, made)?,
            revision: number(row, revision)?,
        })
    };
    Ok(Contested {
        number: number(row, "number")?,
        fact: text(row, "fact")?,
        reason: text(row, "reason")?,
        stands: match text(row, "stands")?.as_str() {
            "earlier" => Side::Earlier,
            "later" => Side::Later,
            other => {
                return Err(Fault::Damage(format!(
                    "`{other}` is no side of a contested fact"
                )));
            }
        },
        earlier: claim("earlier", "earlier_revision", "earlier_who", "earlier_made")?,
        later: claim("later", "later_revision", "later_who", "later_made")?,
    })
}
