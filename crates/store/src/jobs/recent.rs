//! Revisions of late. None is ever changed once it is saved, and each save asks for its base, for
//! what others saved since and for what it can take back.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use sqlx::AnyConnection;

use crate::Store;
use crate::database::Fault;
use crate::jobs::Revision;
use crate::jobs::revision::read_revision;

/// As much text is kept in all: some three hundred revisions of a house.
const KEPT_BYTES: usize = 8 << 20;

/// What was read with its seal proved, or saved; the latest to come last.
#[derive(Debug, Default)]
pub(crate) struct Recent(Mutex<VecDeque<Arc<Revision>>>);

impl Recent {
    /// Keeps a revision that is on the disk.
    pub fn keep(&self, revision: &Arc<Revision>) {
        if revision.text.len() > KEPT_BYTES {
            return;
        }
        let mut kept = self.lock();
        if find(&kept, &revision.job, revision.number).is_some() {
            return;
        }
        kept.push_back(Arc::clone(revision));
        let mut bytes: usize = kept.iter().map(|one| one.text.len()).sum();
        while bytes > KEPT_BYTES {
            let oldest = kept.pop_front();
            bytes -= oldest.map_or(bytes, |one| one.text.len());
        }
    }

    /// A revision, if it is kept.
    pub fn get(&self, job: &str, number: u64) -> Option<Arc<Revision>> {
        find(&self.lock(), job, number).cloned()
    }

    /// The revisions after one up to another, if all of them are kept.
    pub fn between(&self, job: &str, after: u64, last: u64) -> Option<Vec<Arc<Revision>>> {
        let is_between =
            |one: &&Arc<Revision>| one.number > after && one.number <= last && one.job == job;
        let mut found: Vec<_> = self.lock().iter().filter(is_between).cloned().collect();
        found.sort_by_key(|one| one.number);
        (found.len() as u64 == last.saturating_sub(after)).then_some(found)
    }

    fn lock(&self) -> MutexGuard<'_, VecDeque<Arc<Revision>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn find<'a>(
    kept: &'a VecDeque<Arc<Revision>>,
    job: &str,
    number: u64,
) -> Option<&'a Arc<Revision>> {
    (kept.iter().rev()).find(|one| one.number == number && one.job == job)
}

impl Store {
    /// As [`read_revision`], of what is committed.
    pub(crate) async fn recent_revision(
        &self,
        connection: &mut AnyConnection,
        job: &str,
        number: u64,
    ) -> Result<Arc<Revision>, Fault> {
        if let Some(kept) = self.inner.recent.get(job, number) {
            return Ok(kept);
        }
        let read = Arc::new(read_revision(connection, job, number).await?);
        self.inner.recent.keep(&read);
        Ok(read)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::When;
    use crate::jobs::Kind;

    fn revision(job: &str, number: u64, length: usize) -> Arc<Revision> {
        Arc::new(Revision {
            job: job.to_owned(),
            number,
            kind: Kind::Edit,
            text: "x".repeat(length),
            who: "Ada".to_owned(),
            when: When::parse("2026-11-26T08:00:00Z").unwrap(),
            summary: String::new(),
            base: number - 1,
            target: None,
            edits: Vec::new(),
            reverse: Vec::new(),
            touched: Vec::new(),
        })
    }

    #[test]
    fn what_lies_between_is_told_in_order_or_not_at_all() {
        let recent = Recent::default();
        for (job, number) in [("a", 4), ("a", 2), ("b", 3), ("a", 5)] {
            recent.keep(&revision(job, number, 1));
        }
        let numbers = |after, last| {
            let found = recent.between("a", after, last)?;
            Some(found.iter().map(|one| one.number).collect::<Vec<_>>())
        };
        assert_eq!(numbers(3, 5), Some(vec![4, 5]));
        assert_eq!(numbers(1, 5), None, "nobody knows the third");
        assert_eq!(numbers(5, 5), Some(Vec::new()));
        assert!(recent.get("b", 2).is_none());
    }

    #[test]
    fn the_oldest_go_when_there_is_too_much_text() {
        let recent = Recent::default();
        for number in 1..=9 {
            recent.keep(&revision("a", number, 1 << 20));
        }
        assert!(recent.get("a", 1).is_none());
        assert!(recent.between("a", 1, 9).is_some());
        recent.keep(&revision("a", 10, KEPT_BYTES + 1));
        assert!(recent.get("a", 10).is_none() && recent.get("a", 9).is_some());
    }
}
