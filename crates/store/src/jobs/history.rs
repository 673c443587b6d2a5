//! Reads what a job was: its last revision, any other, the whole line, and what differs.

use std::collections::BTreeMap;
use std::sync::Arc;

use sqlx::AnyConnection;
use sqlx::any::AnyRow;

use crate::act::line;
use crate::database::{Fault, Store};
use crate::document::{differences, facts};
use crate::jobs::create::off_thread;
use crate::jobs::revision::{kind, number, read_revision, shown_number, target, text, when};
use crate::jobs::undo::Line;
use crate::jobs::{Entry, Revision};
use crate::{FactChange, StoreError};

impl Store {
    /// The last revision of a job.
    pub async fn head(&self, job: &str) -> Result<Arc<Revision>, StoreError> {
        let read = async {
            let mut connection = self.inner.pool.acquire().await?;
            let head = head_number(&mut connection, job).await?;
            self.recent_revision(&mut connection, job, head).await
        };
        read.await.map_err(|fault: Fault| self.told(fault))
    }

    /// One revision of a job, with its document as it was saved, letter by letter.
    pub async fn revision(&self, job: &str, number: u64) -> Result<Arc<Revision>, StoreError> {
        if let Some(kept) = self.inner.recent.get(job, number) {
            return Ok(kept);
        }
        let read = async {
            let mut connection = self.inner.pool.acquire().await?;
            self.recent_revision(&mut connection, job, number).await
        };
        read.await.map_err(|fault: Fault| self.told(fault))
    }

    /// Every revision of a job without its document, oldest first.
    pub async fn history(&self, job: &str) -> Result<Vec<Entry>, StoreError> {
        let read = async {
            let mut connection = self.inner.pool.acquire().await?;
            history(&mut connection, job).await
        };
        read.await.map_err(|fault: Fault| self.told(fault))
    }

    /// The name that somebody gave a revision.
    pub async fn name_of(&self, job: &str, number: u64) -> Result<Option<String>, StoreError> {
        let read = async {
            let mut connection = self.inner.pool.acquire().await?;
            name_of(&mut connection, job, number).await
        };
        read.await.map_err(|fault: Fault| self.told(fault))
    }

    /// Gives a revision a name, such as "as quoted", or takes it away.
    pub async fn name(&self, job: &str, number: u64, name: Option<&str>) -> Result<(), StoreError> {
        line("the name", name.unwrap_or_default())?;
        let write = async {
            let mut work = self.write().await?;
            sqlx::query("DELETE FROM revision_name WHERE job = $1 AND number = $2")
                .bind(job)
                .bind(shown_number(number))
                .execute(&mut *work)
                .await?;
            read_revision(&mut work, job, number).await?;
            if let Some(name) = name {
                sqlx::query(
                    "INSERT INTO revision_name (job, number, name) VALUES ($1, $2, $3) \
                     ON CONFLICT (job, number) DO UPDATE SET name = excluded.name",
                )
                .bind(job)
                .bind(shown_number(number))
                .bind(name)
                .execute(&mut *work)
                .await?;
            }
            work.commit().await?;
            Ok(())
        };
        write.await.map_err(|fault: Fault| self.told(fault))
    }

    /// The facts that differ between two revisions, fact by fact and not line by line.
    pub async fn compare(
        &self,
        job: &str,
        before: u64,
        after: u64,
    ) -> Result<Vec<FactChange>, StoreError> {
        let before = self.revision(job, before).await?;
        let after = self.revision(job, after).await?;
        off_thread(move || Ok(differences(&*facts(&before.text)?, &*facts(&after.text)?)))
            .await
            .map_err(|fault| self.told(fault))
    }
}

/// The number of a job's last revision.
pub(crate) async fn head_number(connection: &mut AnyConnection, job: &str) -> Result<u64, Fault> {
    let row = sqlx::query("SELECT head FROM job WHERE id = $1")
        .bind(job)
        .fetch_optional(connection)
        .await?
        .ok_or_else(|| StoreError::NoSuchJob(job.to_owned()))?;
    number(&row, "head")
}

pub(crate) async fn history(
    connection: &mut AnyConnection,
    job: &str,
) -> Result<Vec<Entry>, Fault> {
    let rows = sqlx::query(
        "SELECT number, kind, who, made, summary, base, target FROM revision WHERE job = $1 \
         ORDER BY number",
    )
    .bind(job)
    .fetch_all(&mut *connection)
    .await?;
    if rows.is_empty() {
        return Err(StoreError::NoSuchJob(job.to_owned()).into());
    }
    let named = sqlx::query("SELECT number, name FROM revision_name WHERE job = $1")
        .bind(job)
        .fetch_all(&mut *connection)
        .await?;
    let mut names = BTreeMap::new();
    for row in &named {
        names.insert(number(row, "number")?, text(row, "name")?);
    }
    let mut entries = Vec::new();
    for row in &rows {
        let name = names.remove(&number(row, "number")?);
        entries.push(of_row(row, name, false)?);
    }
    let line = Line::of(
        entries
            .iter()
            .map(|entry| (entry.number, entry.kind, entry.target)),
    );
    for entry in &mut entries {
        entry.undone = line.is_undone(entry.number);
    }
    Ok(entries)
}

impl Store {
    /// One line of a job's history, if a number is given.
    pub(super) async fn entry(
        &self,
        connection: &mut AnyConnection,
        job: &str,
        asked: Option<u64>,
        undone: bool,
    ) -> Result<Option<Entry>, Fault> {
        let Some(asked) = asked else {
            return Ok(None);
        };
        let revision = self.recent_revision(connection, job, asked).await?;
        Ok(Some(Entry {
            number: revision.number,
            kind: revision.kind,
            who: revision.who.clone(),
            when: revision.when.clone(),
            summary: revision.summary.clone(),
            base: revision.base,
            target: revision.target,
            undone,
            name: name_of(connection, job, asked).await?,
        }))
    }
}

async fn name_of(
    connection: &mut AnyConnection,
    job: &str,
    number: u64,
) -> Result<Option<String>, Fault> {
    let row = sqlx::query("SELECT name FROM revision_name WHERE job = $1 AND number = $2")
        .bind(job)
        .bind(shown_number(number))
        .fetch_optional(connection)
        .await?;
    row.map(|row| text(&row, "name")).transpose()
}

fn of_row(row: &AnyRow, name: Option<String>, undone: bool) -> Result<Entry, Fault> {
    Ok(Entry {
        number: number(row, "number")?,
        kind: kind(row)?,
        who: text(row, "who")?,
        when: when(row, "made")?,
        summary: text(row, "summary")?,
        base: number(row, "base")?,
        target: target(row)?,
        undone,
        name,
    })
}
