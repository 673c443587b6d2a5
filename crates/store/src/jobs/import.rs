//! Takes a whole document as a job's next revision, and gives one out letter by letter.

use crate::act::line;
use crate::database::{Fault, Store};
use crate::document::check;
use crate::jobs::create::off_thread;
use crate::jobs::save::{Step, Turn};
use crate::jobs::{Kind, Saved, digest};
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
        let mut open = match self.take(job, act, request).await? {
            Turn::Done(saved) => return Ok(saved),
            Turn::Open(open) => open,
        };
        let begun = match base == open.head.number {
            true => None,
            false => Some(open.revision(base).await?.text),
        };
        let (mine, head) = (text.to_owned(), open.head.text.clone());
        let (store, summary) = (self.clone(), summary.to_owned());
        let step = off_thread(move || {
            let limits = &store.inner.limits;
            check(&mine, limits)?;
            match &begun {
                None => Ok(Step::new(Kind::Import, mine, summary)),
                Some(begun) => Step::merged(Kind::Merge, begun, &mine, &head, summary, limits),
            }
        })
        .await?;
        let base = Some(base);
        open.finish(Step { base, ..step }, act).await
    }

    /// A job's document, letter by letter as it was saved: the job file.
    pub async fn export(&self, job: &str) -> Result<String, StoreError> {
        Ok(self.head(job).await?.text)
    }
}
