//! The revisions of one job that lie open on its desk, each proved.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

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

/// At most so many changes are proved as one: a look that waits behind them waits no longer than
/// for some of them.
const TOGETHER: usize = 16;

/// Changes that were saved, by the revisions that they made; noted in their order before the desk
/// is asked to prove them, so that it sees what waits.
#[derive(Clone, Default)]
pub struct Saves(Arc<Mutex<BTreeMap<Revision, Vec<Edit>>>>);

impl Saves {
    /// Notes what a revision differs by from the one before.
    pub fn note(&self, revision: Revision, edits: Vec<Edit>) {
        let mut saves = self.lock();
        saves.insert(revision, edits);
        if saves.len() > STEPS_KEPT {
            saves.pop_first();
        }
    }

    /// The changes from a revision to another and, as far as `at_most` allows, those after it; and
    /// where they end. None when one is not known.
    fn between(
        &self,
        from: Revision,
        to: Revision,
        at_most: usize,
    ) -> Option<(Revision, Vec<Edit>)> {
        let saves = self.lock();
        let (mut edits, mut at) = (Vec::new(), from);
        while let Some(more) = saves.get(&(at + 1)) {
            if at >= to && (at - from) as usize >= at_most {
                break;
            }
            edits.extend(more.iter().cloned());
            at += 1;
        }
        (at >= to).then_some((at, edits))
    }

    fn lock(&self) -> MutexGuard<'_, BTreeMap<Revision, Vec<Edit>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What lies on a desk.
pub struct Room {
    /// Least recently used first.
    revisions: Vec<(Revision, Proved)>,
    /// By the revision that a step led to: the one that it started from, and the findings that
    /// differ between both, by their keys.
    steps: BTreeMap<Revision, (Revision, BTreeSet<String>)>,
    saves: Saves,
}

impl Room {
    /// Nothing lies there yet.
    pub fn new(saves: Saves) -> Self {
        Self {
            revisions: Vec::new(),
            steps: BTreeMap::new(),
            saves,
        }
    }

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

    /// Lays a revision here, unless it lies here: from one before by what was saved since, or
    /// else by reading it.
    pub fn open(&mut self, revision: Revision, text: &str) -> Result<(), Error> {
        if self.at(revision).is_some() || self.reach(revision, 0).is_some() {
            return Ok(());
        }
        let job = model::read(text, &checks::limit_names())
            .map_err(|problems| bad_document(text, &problems))?;
        self.put(revision, Proved::new(Arc::new(job)));
        Ok(())
    }

    /// The revision to be looked at by who asks for this one or a later: what was saved up to it
    /// and waits is proved as one. None when it has to be read.
    pub fn catch_up(&mut self, revision: Revision) -> Option<Revision> {
        if self.place(revision).is_some() {
            return Some(revision);
        }
        let mut steps = self.steps.range(revision..);
        let over = steps.find(|(to, (from, _))| *from < revision && self.place(**to).is_some());
        match over {
            Some((to, _)) => Some(*to),
            None => self.reach(revision, TOGETHER),
        }
    }

    /// Lays a revision here that differs by known changes from an earlier one that lies here, or
    /// one that is later by further changes.
    fn reach(&mut self, revision: Revision, at_most: usize) -> Option<Revision> {
        let lying = self.revisions.iter().map(|(lying, _)| *lying);
        let from = lying.filter(|lying| *lying < revision).max()?;
        let (to, edits) = self.saves.between(from, revision, at_most)?;
        self.follow(from, to, &edits).then_some(to)
    }

    /// Lays a revision here that differs by edits from one that lies here; false when it
    /// has to be read instead.
    pub fn follow(&mut self, from: Revision, to: Revision, edits: &[Edit]) -> bool {
        let Some(before) = self.at(from) else {
            return false;
        };
        match prove_again(before, edits) {
            Ok(again) => {
                self.steps.insert(to, (from, touched(&again)));
                if self.steps.len() > STEPS_KEPT {
                    self.steps.pop_first();
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
        let (mut changed, mut at) = (BTreeSet::new(), revision);
        while at > earlier {
            let (from, step) = self.steps.get(&at)?;
            // A finding may have changed within a longer step and changed back.
            if *from < earlier {
                return None;
            }
            changed.extend(step);
            at = *from;
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
