//! The revisions of one job that lie open on its desk, each proved.

use std::sync::Arc;

use checks::{Proved, prove_again};
use model::Edit;

use crate::Error;
use crate::error::bad_document;

/// Counts up with each saved change of a job.
pub type Revision = u64;

/// Revisions kept proved: a phone in the cellar shows one from some dozens of changes ago, and
/// one that followed by its edits shares all but what they touch with the one before.
const KEPT: usize = 64;

/// What lies on a desk.
#[derive(Default)]
pub struct Room {
    /// Least recently used first.
    revisions: Vec<(Revision, Proved)>,
}

impl Room {
    /// A revision, proved; none when it does not lie here.
    pub fn at(&mut self, revision: Revision) -> Option<&Proved> {
        let at = self.place(revision)?;
        let used = self.revisions.remove(at);
        self.revisions.push(used);
        self.revisions.last().map(|(_, proved)| proved)
    }

    /// Two revisions, proved; none when one of them does not lie here.
    pub fn both(&self, one: Revision, other: Revision) -> Option<(&Proved, &Proved)> {
        let (one, other) = (self.place(one)?, self.place(other)?);
        Some((&self.revisions[one].1, &self.revisions[other].1))
    }

    /// Reads and proves a revision, unless it lies here.
    pub fn open(&mut self, revision: Revision, text: &str) -> Result<(), Error> {
        if self.at(revision).is_some() {
            return Ok(());
        }
        let job = model::read(text, &checks::limit_names())
            .map_err(|problems| bad_document(text, &problems))?;
        self.put(revision, Proved::new(Arc::new(job)));
        Ok(())
    }

    /// Lays a revision here that differs by edits from one that lies here; false when it
    /// has to be read instead.
    pub fn follow(&mut self, from: Revision, to: Revision, edits: &[Edit]) -> bool {
        let Some(before) = self.at(from) else {
            return false;
        };
        match prove_again(before, edits) {
            Ok(again) => {
                self.put(to, again.proved);
                true
            }
            Err(_) => false,
        }
    }

    fn put(&mut self, revision: Revision, proved: Proved) {
        if let Some(at) = self.place(revision) {
            self.revisions.remove(at);
        }
        self.revisions.push((revision, proved));
        if self.revisions.len() > KEPT {
            self.revisions.remove(0);
        }
    }

    fn place(&self, revision: Revision) -> Option<usize> {
        (self.revisions.iter()).position(|(kept, _)| *kept == revision)
    }
}
