//! Begins a job, and lists the jobs that there are.

use sqlx::{AnyConnection, Row};

use crate::database::{Fault, Store};
use crate::document::{check, facts, name_of};
use crate::jobs::revision::{insert_revision, number, read_revision, shown_number, text, when};
use crate::jobs::{JobEntry, Kind, Removal, Revision, Saved, answer, answered, digest};
use crate::{Act, StoreError};

/// Longest id that is made of a name.
const SLUG_MAX: usize = 40;

/// Tries when others take the same id or number at the same moment.
const TRIES: usize = 20;

/// The jobs that meet a condition, each with the count of its open contested facts.
macro_rules! listing {
    ($condition:literal) => {
        concat!(
            "SELECT job.id, job.name, job.head, job.changed, job.removed, job.removed_by, ",
            "(SELECT COUNT(*) FROM contested WHERE contested.job = job.id AND withdrawn = 0 AND ",
            "(resolved_by IS NULL OR resolution_undone = 1)) AS contested FROM job ",
            $condition
        )
    };
}

impl Store {
    /// Every job but those that were put away, by name.
    pub async fn jobs(&self) -> Result<Vec<JobEntry>, StoreError> {
        let statement = listing!("WHERE job.removed IS NULL");
        self.list(statement).await.map_err(|fault| self.told(fault))
    }

    /// The jobs that were put away, by name.
    pub async fn removed_jobs(&self) -> Result<Vec<JobEntry>, StoreError> {
        let statement = listing!("WHERE job.removed IS NOT NULL");
        self.list(statement).await.map_err(|fault| self.told(fault))
    }

    async fn list(&self, statement: &'static str) -> Result<Vec<JobEntry>, Fault> {
        let rows = sqlx::query(statement).fetch_all(&self.inner.pool).await?;
        let mut jobs = Vec::new();
        for row in rows {
            let removed_by: Option<String> = row.try_get("removed_by")?;
            let removed = removed_by.map(|who| {
                let when = when(&row, "removed")?;
                Ok::<_, Fault>(Removal { who, when })
            });
            jobs.push(JobEntry {
                id: text(&row, "id")?,
                name: text(&row, "name")?,
                head: number(&row, "head")?,
                changed: when(&row, "changed")?,
                contested: number(&row, "contested")?,
                removed: removed.transpose()?,
            });
        }
        // By the letters' numbers, in both databases alike.
        jobs.sort_by(|one, other| (&one.name, &one.id).cmp(&(&other.name, &other.id)));
        Ok(jobs)
    }

    /// Begins a job with this document, kept letter by letter. Its id is made of its name.
    pub async fn create(&self, text: &str, act: &Act) -> Result<Saved, StoreError> {
        act.check()?;
        let mut tries = 1;
        loop {
            match self.try_create(text, act).await {
                Err(fault) if fault.is_lost_race() && tries < TRIES => tries += 1,
                done => return done.map_err(|fault| self.told(fault)),
            }
        }
    }

    async fn try_create(&self, text: &str, act: &Act) -> Result<Saved, Fault> {
        let request = digest(&("create", text, &act.who));
        let (name, text) = {
            let (store, text) = (self.clone(), text.to_owned());
            off_thread(move || {
                check(&text, &store.inner.limits)?;
                Ok((name_of(&*facts(&text)?), text))
            })
            .await?
        };
        let mut work = self.write().await?;
        if let Some(saved) = answered::<Saved>(&mut work, &act.op, &request).await? {
            return with_text(&mut work, saved).await;
        }
        let id = free_id(&mut work, &name).await?;
        insert_job(&mut work, &id, &name, 1, act).await?;
        let revision = Revision {
            job: id.clone(),
            number: 1,
            kind: Kind::Create,
            text,
            who: act.who.clone(),
            when: act.when.clone(),
            summary: format!("Begin {name}"),
            base: 0,
            target: None,
            edits: Vec::new(),
            reverse: Vec::new(),
            touched: Vec::new(),
        };
        insert_revision(&mut work, &revision).await?;
        let mut saved = Saved {
            job: id,
            revision: 1,
            text: String::new(),
            merged_over: Vec::new(),
            contested: Vec::new(),
        };
        answer(&mut work, &act.op, &request, &saved).await?;
        work.commit().await?;
        saved.text = revision.text;
        Ok(saved)
    }
}

pub(crate) async fn insert_job(
    connection: &mut AnyConnection,
    id: &str,
    name: &str,
    head: u64,
    act: &Act,
) -> Result<(), Fault> {
    sqlx::query("INSERT INTO job (id, name, head, changed) VALUES ($1, $2, $3, $4)")
        .bind(id)
        .bind(name)
        .bind(shown_number(head))
        .bind(act.when.as_str())
        .execute(connection)
        .await?;
    Ok(())
}

/// An answer that was kept, with its document.
pub(super) async fn with_text(
    connection: &mut AnyConnection,
    mut saved: Saved,
) -> Result<Saved, Fault> {
    saved.text = read_revision(connection, &saved.job, saved.revision)
        .await?
        .text;
    Ok(saved)
}

/// An id made of the name that no job has.
pub(crate) async fn free_id(connection: &mut AnyConnection, name: &str) -> Result<String, Fault> {
    let slug = slug(name);
    for count in 1_u32.. {
        let id = match count {
            1 => slug.clone(),
            _ => format!("{slug}-{count}"),
        };
        let taken = sqlx::query("SELECT id FROM job WHERE id = $1")
            .bind(&id)
            .fetch_optional(&mut *connection)
            .await?;
        if taken.is_none() {
            return Ok(id);
        }
    }
    unreachable!("there are not as many jobs as numbers")
}

/// The name in small letters, digits and hyphens: safe in an address and a file's name.
pub(crate) fn slug(name: &str) -> String {
    let mut slug = String::new();
    for letter in name.chars() {
        if letter.is_ascii_alphanumeric() {
            slug.push(letter.to_ascii_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
        if slug.len() >= SLUG_MAX {
            break;
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "job" } else { slug }.to_owned()
}

/// Runs work that computes for milliseconds beside the threads that answer requests.
pub(crate) async fn off_thread<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, StoreError> + Send + 'static,
) -> Result<T, Fault> {
    match tokio::task::spawn_blocking(work).await {
        Ok(done) => Ok(done?),
        Err(stopped) => match stopped.try_into_panic() {
            Ok(panic) => std::panic::resume_unwind(panic),
            Err(stopped) => Err(StoreError::Database(stopped.to_string()).into()),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::slug;

    #[test]
    fn an_id_is_safe_in_an_address() {
        assert_eq!(slug("Harbour Lane 12"), "harbour-lane-12");
        assert_eq!(slug("  ../Ä&\"Mill\"  "), "mill");
        assert_eq!(slug("日本"), "job");
        assert!(slug(&"long ".repeat(50)).len() <= 40);
    }
}
