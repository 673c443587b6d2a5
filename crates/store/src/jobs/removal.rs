//! Puts a job away and back: it goes from the list, and nothing of it is lost.

use crate::act::line;
use crate::database::{Fault, Store};
use crate::jobs::history::head_number;
use crate::{StoreError, When};

impl Store {
    /// Puts a job away; whether it was in the list. Everything that belongs to it is kept, in
    /// backups too, and can still be read and changed: a phone that was out of reach may have
    /// more to tell.
    pub async fn remove(&self, job: &str, who: &str, when: &When) -> Result<bool, StoreError> {
        line("the person's name", who)?;
        let statement =
            "UPDATE job SET removed = $1, removed_by = $2 WHERE id = $3 AND removed IS NULL";
        self.mark(job, statement, Some((when.as_str(), who)))
            .await
            .map_err(|fault| self.told(fault))
    }

    /// Puts a job back into the list; whether it was away.
    pub async fn put_back(&self, job: &str) -> Result<bool, StoreError> {
        let statement =
            "UPDATE job SET removed = $1, removed_by = $2 WHERE id = $3 AND removed IS NOT NULL";
        self.mark(job, statement, None)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn mark(
        &self,
        job: &str,
        statement: &'static str,
        removed: Option<(&str, &str)>,
    ) -> Result<bool, Fault> {
        let mut work = self.write().await?;
        head_number(&mut work, job).await?;
        let marked = sqlx::query(statement)
            .bind(removed.map(|(when, _)| when))
            .bind(removed.map(|(_, who)| who))
            .bind(job)
            .execute(&mut *work)
            .await?;
        work.commit().await?;
        Ok(marked.rows_affected() == 1)
    }
}
