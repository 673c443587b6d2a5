//! The revisions of one job that lie open on its desk, each proved.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use checks::{Again, Proved, prove_again};
use model::Edit;
use view::Delta;

use crate::Error;
use crate::error::bad_document;

/// Counts up with each saved change of a job.
pub type Revision = u64;

/// Revisions kept proved: a phone in the cellar shows one from some dozens of changes ago, and
/// one that followed by its edits shares all but what they touch with the one before.
const KEPT: usize = 64;

/// Steps of which it is kept which findings they changed: names alone, so many more.
const STEPS_KEPT: usize = 1024;

/// What lies on a desk.
#[derive(Default)]
pub struct Room {
    /// Least recently used first.
    revisions: Vec<(Revision, Proved)>,
    /// The findings that differ from those of the revision before, by their keys.
    steps: BTreeMap<Revision, BTreeSet<String>>,
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
                if to == from + 1 {
                    self.steps.insert(to, touched(&again));
                    if self.steps.len() > STEPS_KEPT {
                        self.steps.pop_first();
                    }
                }
                self.put(to, again.proved);
                true
            }
            Err(_) => false,
        }
    }

    /// How the findings of a revision that lies here differ from those of an earlier one that need
    /// not: every finding that some step between them changed, as it is at the end. None when not
    /// every step is known.
    pub fn delta_since(&mut self, earlier: Revision, revision: Revision) -> Option<Delta> {
        if earlier > revision {
            return None;
        }
        let mut changed = BTreeSet::new();
        for step in earlier + 1..=revision {
            changed.extend(self.steps.get(&step)?);
        }
        let at = self.place(revision)?;
        Some(view::delta_of(&self.revisions[at].1, &changed))
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

/// The keys of what an edit changed or took away.
fn touched(again: &Again) -> BTreeSet<String> {
    let changed = again.changed.iter().map(view::key);
    let gone = (again.gone.iter()).map(|(check, space, subject)| {
        view::key_of(check, space.as_deref().unwrap_or_default(), subject)
    });
    changed.chain(gone).collect()
}
