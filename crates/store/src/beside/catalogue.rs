//! The shop's own catalogue: kit that any job may take over.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::act::line;
use crate::database::{Fault, Store};
use crate::jobs::{from_json, json, text, when};
use crate::{StoreError, When};

/// One entry of the shop's catalogue.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CatalogueEntry {
    /// The kind of kit, as in a job's `[[kit.<kind>]]`.
    pub kind: String,
    /// Its id within the kind.
    pub id: String,
    /// Its facts, as a job's entry has them.
    pub facts: Map<String, Value>,
    /// When it was last changed.
    pub changed: When,
}

impl Store {
    /// Every entry, by kind and id.
    pub async fn catalogue(&self) -> Result<Vec<CatalogueEntry>, StoreError> {
        self.try_catalogue().await.map_err(|fault| self.told(fault))
    }

    async fn try_catalogue(&self) -> Result<Vec<CatalogueEntry>, Fault> {
        let rows = sqlx::query("SELECT kind, id, facts, changed FROM catalogue")
            .fetch_all(&self.inner.pool)
            .await?;
        let mut entries = Vec::new();
        for row in &rows {
            entries.push(CatalogueEntry {
                kind: text(row, "kind")?,
                id: text(row, "id")?,
                facts: from_json("facts of the catalogue", &text(row, "facts")?)?,
                changed: when(row, "changed")?,
            });
        }
        entries.sort_by(|one, other| (&one.kind, &one.id).cmp(&(&other.kind, &other.id)));
        Ok(entries)
    }

    /// Puts entries into the catalogue, all or none, each in the place of one of its kind
    /// and id.
    pub async fn put_in_catalogue(&self, entries: &[CatalogueEntry]) -> Result<(), StoreError> {
        for entry in entries {
            line("the kind", &entry.kind)?;
            line("the id", &entry.id)?;
        }
        let write = async {
            let mut work = self.write().await?;
            for entry in entries {
                sqlx::query(
                    "INSERT INTO catalogue (kind, id, facts, changed) VALUES ($1, $2, $3, $4) \
                     ON CONFLICT (kind, id) DO UPDATE SET facts = excluded.facts, \
                     changed = excluded.changed",
                )
                .bind(&entry.kind)
                .bind(&entry.id)
                .bind(json(&entry.facts))
                .bind(entry.changed.as_str())
                .execute(&mut *work)
                .await?;
            }
            work.commit().await?;
            Ok(())
        };
        write.await.map_err(|fault: Fault| self.told(fault))
    }

    /// Takes an entry out of the catalogue; whether it was there. Jobs that took it over keep it.
    pub async fn take_from_catalogue(&self, kind: &str, id: &str) -> Result<bool, StoreError> {
        let delete = async {
            let mut work = self.write().await?;
            let taken = sqlx::query("DELETE FROM catalogue WHERE kind = $1 AND id = $2")
                .bind(kind)
                .bind(id)
                .execute(&mut *work)
                .await?;
            work.commit().await?;
            Ok(taken.rows_affected() == 1)
        };
        delete.await.map_err(|fault: Fault| self.told(fault))
    }
}
