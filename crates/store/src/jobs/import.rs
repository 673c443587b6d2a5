//! Takes a whole document as a job's next revision, and gives one out letter by letter.

use std::sync::Arc;

use sqlx::AnyConnection;

use crate::act::line;
use crate::database::{Fault, Store};
use crate::document::check;
use crate::jobs::change::{Intent, Step};
use crate::jobs::create::off_thread;
use crate::jobs::{Kind, Revision, Saved, digest};
use crate::merge::{Mine, Sides};
use crate::{Act, StoreError};

impl Store {
    /// Puts a whole document, edited elsewhere, in the place of revision `base`. When others
    /// saved meanwhile, the facts in which it differs from `base` are merged like a change.
    pub async fn import(
        &self,
        job: &str,
        base: u64,
        text: &str,
        summary: &str,
        act: &Act,
    ) -> Result<Saved, StoreError> {
        act.check()?;
        line("the summary", summary)?;
        self.try_import(job, base, text, summary, act)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_import(
        &self,
        job: &str,
        base: u64,
        text: &str,
        summary: &str,
        act: &Act,
    ) -> Result<Saved, Fault> {
        let request = digest(&(("import", job, base, text), &act.who, summary));
        let intent = Intent::Import {
            base,
            document: text,
            summary,
        };
        self.change(job, &intent, act, &request).await
    }

    pub(super) async fn step_of_document(
        &self,
        connection: &mut AnyConnection,
        head: &Arc<Revision>,
        base: u64,
        document: &str,
        summary: &str,
    ) -> Result<Step, Fault> {
        let begun = match base == head.number {
            true => None,
            false => Some(self.recent_revision(connection, &head.job, base).await?),
        };
        let (mine, head) = (document.to_owned(), Arc::clone(head));
        let (store, summary) = (self.clone(), summary.to_owned());
        let step = off_thread(move || {
            let limits = &store.inner.limits;
            check(&mine, limits)?;
            match &begun {
                None => Ok(Step::new(Kind::Import, mine, summary)),
                Some(begun) => {
                    let sides = Sides {
                        base: &begun.text,
                        mine: Mine::Text(&mine),
                        head: &head.text,
                    };
                    Step::merged(Kind::Merge, &sides, summary, limits)
                }
            }
        })
        .await?;
        Ok(Step {
            base: Some(base),
            ..step
        })
    }

    /// A job's document, letter by letter as it was saved: the job file.
    pub async fn export(&self, job: &str) -> Result<String, StoreError> {
        Ok(self.head(job).await?.text.clone())
    }
}
