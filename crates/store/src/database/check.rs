//! Is the database sound?

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use sqlx::Row;

use crate::database::{Fault, Store};

/// The first bytes of every SQLite file: <https://www.sqlite.org/fileformat.html>, 1.3.1.
const MAGIC: &[u8; 16] = b"SQLite format 3\0";

/// Whether a file that is there begins like a database. An empty file is one that was never
/// written; SQLite would take a torn head for an empty database too, and begin a new one.
pub(super) fn head_of_file(path: &Path) -> Result<(), String> {
    let Ok(mut file) = File::open(path) else {
        return Ok(());
    };
    let mut head = [0; MAGIC.len()];
    match file.read_exact(&mut head) {
        Ok(()) if &head == MAGIC => Ok(()),
        Ok(()) => Err("it does not begin like a database".to_owned()),
        Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => {
            match file.metadata().map(|found| found.len()) {
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

    /// Reads the last revision of every job, with its seal.
    pub(super) async fn check_heads(&self) -> Result<(), Fault> {
        for job in self.try_jobs().await? {
            let mut connection = self.inner.pool.acquire().await?;
            crate::jobs::read_revision(&mut connection, &job.id, job.head).await?;
        }
        Ok(())
    }

    /// Reads every revision of every job, with its seal.
    pub(super) async fn check_revisions(&self) -> Result<u64, Fault> {
        let mut count = 0;
        for job in self.try_jobs().await? {
            for number in 1..=job.head {
                let mut connection = self.inner.pool.acquire().await?;
                crate::jobs::read_revision(&mut connection, &job.id, number).await?;
                count += 1;
            }
        }
        Ok(count)
    }
}
