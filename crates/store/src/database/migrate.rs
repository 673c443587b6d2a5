//! Brings a store up to the format that this version writes.

use std::fs;

use sqlx::{AnyConnection, Executor, Row};

use crate::StoreError;
use crate::database::{Fault, Store};
use crate::place::{Database, beside};

/// The schema step by step; the store's format is how many were taken. A step is never
/// changed once it is out: `fixtures/` holds a store of each format.
pub(super) const MIGRATIONS: &[&str] = &[
    include_str!("../schema/0001.sql"),
    include_str!("../schema/0002.sql"),
];

/// Two servers that make one store at once stumble over each other; each tries again.
const TRIES: usize = 10;

impl Store {
    pub(super) async fn migrate(&self, migrations: &[&'static str]) -> Result<(), Fault> {
        let mut tries = 1;
        loop {
            match self.try_migrate(migrations).await {
                Err(fault @ Fault::Sql(_)) if tries < TRIES => {
                    tries += 1;
                    if let Fault::Told(error) = fault.sorted(&self.inner.place)
                        && !matches!(*error, StoreError::Busy(_))
                    {
                        return Err(Fault::Told(error));
                    }
                }
                done => return done,
            }
        }
    }

    async fn try_migrate(&self, migrations: &[&'static str]) -> Result<(), Fault> {
        let known = i64::try_from(migrations.len()).expect("a handful of migrations");
        let mut connection = self.inner.pool.acquire().await?;
        if let Some(found) = format(&mut connection).await? {
            if found > known {
                return Err(StoreError::NewerStore { found, known }.into());
            }
            if found == known {
                // Tells now rather than at the first change that nothing can be written.
                connection
                    .execute(sqlx::raw_sql("UPDATE store_format SET format = format"))
                    .await?;
                return Ok(());
            }
        }
        let mut work = sqlx::Connection::begin(&mut *connection).await?;
        work.execute(sqlx::raw_sql(
            "CREATE TABLE IF NOT EXISTS store_format (only_row BIGINT PRIMARY KEY, format BIGINT NOT NULL)",
        ))
        .await?;
        work.execute(sqlx::raw_sql(
            "INSERT INTO store_format (only_row, format) VALUES (1, 0) ON CONFLICT DO NOTHING",
        ))
        .await?;
        // Takes the row, so that a second server waits here and then finds nothing to do.
        work.execute(sqlx::raw_sql("UPDATE store_format SET format = format"))
            .await?;
        let found = format(&mut work).await?.unwrap_or(0);
        if found > 0 && found < known {
            self.keep_copy(found).await?;
        }
        let taken = usize::try_from(found).unwrap_or(0).min(migrations.len());
        for step in &migrations[taken..] {
            work.execute(sqlx::raw_sql(*step)).await?;
        }
        sqlx::query("UPDATE store_format SET format = $1")
            .bind(known)
            .execute(&mut *work)
            .await?;
        work.commit().await?;
        Ok(())
    }

    /// Keeps the store as it is before its format changes. PostgreSQL changes a format in
    /// one transaction or not at all, and its owner keeps dumps; a file has nobody else.
    async fn keep_copy(&self, format: i64) -> Result<(), Fault> {
        let Database::File(path) = &self.inner.place.database else {
            return Ok(());
        };
        let copy = beside(path, &format!(".format-{format}"));
        if copy.exists() {
            return Ok(());
        }
        let part = beside(&copy, ".part");
        if part.exists() {
            fs::remove_file(&part).map_err(StoreError::file("remove", &part))?;
        }
        let target = part.to_str().ok_or_else(|| StoreError::Argument {
            what: "the file's path",
            message: format!("{} is not UTF-8", part.display()),
        })?;
        // Another connection: a copy can't be made inside the transaction, and sees what
        // was there before it.
        sqlx::query("VACUUM INTO $1")
            .bind(target)
            .execute(&self.inner.pool)
            .await?;
        fs::rename(&part, &copy).map_err(StoreError::file("rename", &part))?;
        Ok(())
    }
}

/// The store's format; nothing if the database is empty.
async fn format(connection: &mut AnyConnection) -> Result<Option<i64>, Fault> {
    match sqlx::query("SELECT format FROM store_format")
        .fetch_optional(&mut *connection)
        .await
    {
        Ok(row) => Ok(row.map(|row| row.try_get(0)).transpose()?),
        Err(sqlx::Error::Database(error)) if is_missing_table(error.as_ref()) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

fn is_missing_table(error: &dyn sqlx::error::DatabaseError) -> bool {
    // SQLite has no code of its own for it: https://www.sqlite.org/rescode.html#error.
    error.code().as_deref() == Some("42P01") || error.message().starts_with("no such table")
}

#[cfg(test)]
mod tests;
