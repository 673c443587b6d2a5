//! Is the database sound?

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use sqlx::Row;

use crate::database::{Fault, Store};

/// The first bytes of every SQLite file: <https://www.sqlite.org/fileformat.html>, 1.3.1.
const MAGIC: &[u8; 16] = b"SQLite format 3\0";

/// Whether a file begins like a database. One that is not there or empty is a fresh start,
/// for SQLite too; but not where a backup says that there was a store.
pub(super) fn head_of_file(path: &Path, backup: &Path) -> Result<(), String> {
    let mut file = match File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound && backup.exists() => {
            return Err("it is gone".to_owned());
        }
        Err(_) => return Ok(()),
    };
    let mut head = [0; MAGIC.len()];
    match file.read_exact(&mut head) {
        Ok(()) if &head == MAGIC => Ok(()),
        Ok(()) => Err("it does not begin like a database".to_owned()),
        Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => {
            match file.metadata().map(|found| found.len()) {
                Ok(0) if backup.exists() => Err("it is empty".to_owned()),
                Ok(0) => Ok(()),
                _ => Err("it ends within its first bytes".to_owned()),
            }
        }
        // Opening it says better why it can't be read.
        Err(_) => Ok(()),
    }
}

impl Store {
    /// Reads every page of a SQLite file. PostgreSQL looks after its own.
    pub(super) async fn check_file(&self) -> Result<(), Fault> {
        if !self.is_file() {
            return Ok(());
        }
        let rows = sqlx::query("PRAGMA quick_check(3)")
            .fetch_all(&self.inner.pool)
            .await?;
        let mut said = Vec::new();
        for row in rows {
            said.push(row.try_get::<String, _>(0)?);
        }
        if said == ["ok"] {
            return Ok(());
        }
        Err(Fault::Damage(said.join("; ")))
    }

    /// Reads the last revision of every job, with its seal, and holds it against the list.
    pub(super) async fn check_heads(&self) -> Result<(), Fault> {
        let mut connection = self.inner.pool.acquire().await?;
        let rows = sqlx::query(
            "SELECT revision.job, MAX(revision.number) AS last, MAX(job.head) AS head FROM revision \
             LEFT JOIN job ON job.id = revision.job GROUP BY revision.job",
        )
        .fetch_all(&mut *connection)
        .await?;
        for row in rows {
            let (job, last): (String, i64) = (row.try_get("job")?, row.try_get("last")?);
            if row.try_get::<Option<i64>, _>("head")? != Some(last) {
                let what = format!("the last revision of `{job}` is not the one listed");
                return Err(Fault::Damage(what));
            }
            let last = u64::try_from(last).unwrap_or_default();
            crate::jobs::read_revision(&mut connection, &job, last).await?;
        }
        Ok(())
    }

    /// Reads every revision of every job, with its seal.
    pub(super) async fn check_revisions(&self) -> Result<u64, Fault> {
        let mut count = 0;
        let mut connection = self.inner.pool.acquire().await?;
        let jobs = sqlx::query("SELECT id, head FROM job ORDER BY id")
            .fetch_all(&mut *connection)
            .await?;
        for job in jobs {
            let id: String = job.try_get("id")?;
            for number in 1..=crate::jobs::number(&job, "head")? {
                crate::jobs::read_revision(&mut connection, &id, number).await?;
                count += 1;
            }
        }
        Ok(count)
    }
}
