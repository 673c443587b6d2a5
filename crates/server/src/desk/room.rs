//! The revisions of one job that lie open on its desk, each proved.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use checks::{Again, Proved, prove_again};
use model::Edit;
use view::{Delta, Findings, Tellings, Told};

use crate::Error;
use crate::error::bad_document;

/// Counts up with each saved change of a job.
pub type Revision = u64;

/// Revisions kept proved: a phone in the cellar shows one from some dozens of changes ago, and
/// one that followed by its edits shares all but what they touch with the one before.
const KEPT: usize = 64;

/// The last ones of which every one is kept, if it was proved. Of those before, the older the
/// fewer: whoever shows one between waits for a few edits to be proved, not for all of the house.
const LAST_KEPT: u64 = 40;

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
    revisions: BTreeMap<Revision, Proved>,
    /// By the revision that a step led to: the one that it started from, and the findings that
    /// differ between both, by their keys.
    steps: BTreeMap<Revision, (Revision, BTreeSet<String>)>,
    saves: Saves,
    /// What was told of the last revision that was proved, and of which that is.
    told: (Revision, Tellings),
}

impl Room {
    /// Nothing lies there yet.
    pub fn new(saves: Saves) -> Self {
        Self {
            revisions: BTreeMap::new(),
            steps: BTreeMap::new(),
            saves,
            told: Default::default(),
        }
    }

    /// A revision, proved; none when it does not lie here.
    pub fn at(&self, revision: Revision) -> Option<&Proved> {
        self.revisions.get(&revision)
    }

    /// Two revisions, proved; none when one of them does not lie here.
    pub fn both(&self, one: Revision, other: Revision) -> Option<(&Proved, &Proved)> {
        Some((self.at(one)?, self.at(other)?))
    }

    /// Lays a revision here, unless it lies here: from one before by what was saved since, or
    /// else by reading it.
    pub fn open(&mut self, revision: Revision, text: &str) -> Result<(), Error> {
        if self.at(revision).is_some() || self.reach(revision, 0).is_some() {
            return Ok(());
        }
        let job = model::read(text, &checks::limit_names())
            .map_err(|problems| bad_document(text, &problems))?;
        if self.told.0 == revision {
            // Things may stand in another order than where they followed by edits.
            self.told = Default::default();
        }
        self.put(revision, Proved::new(Arc::new(job)));
        Ok(())
    }

    /// The revision to be looked at by who asks for this one or a later: what was saved up to it
    /// and waits is proved as one. None when it has to be read.
    pub fn catch_up(&mut self, revision: Revision) -> Option<Revision> {
        if self.at(revision).is_some() {
            return Some(revision);
        }
        let mut steps = self.steps.range(revision..);
        let over = steps.find(|(to, (from, _))| *from < revision && self.at(**to).is_some());
        match over {
            Some((to, _)) => Some(*to),
            None => self.reach(revision, TOGETHER),
        }
    }

    /// Lays a revision here that differs by known changes from an earlier one that lies here, or
    /// one that is later by further changes.
    fn reach(&mut self, revision: Revision, at_most: usize) -> Option<Revision> {
        let (&from, _) = self.revisions.range(..revision).next_back()?;
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
                let touched = touched(&again);
                match &mut self.told {
                    (of, told) if *of == from && to > from => {
                        told.follow(&again, &touched);
                        *of = to;
                    }
                    _ => {}
                }
                // Shorter steps tell more.
                let is_known = (self.steps.get(&to)).is_some_and(|(known, _)| *known > from);
                if !is_known {
                    self.steps.insert(to, (from, touched));
                }
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
            changed.extend(step.iter().cloned());
            at = *from;
        }
        self.tell(revision, |proved, told| told.delta_of(proved, &changed))
    }

    /// Every finding of a revision that lies here, as it is told.
    pub fn findings(&mut self, revision: Revision) -> Option<Findings<Told>> {
        self.tell(revision, |proved, told| told.findings(proved))
    }

    /// Tells of a revision that lies here. What was told of the last one is kept for the next.
    fn tell<T>(
        &mut self,
        revision: Revision,
        tell: impl FnOnce(&Proved, &mut Tellings) -> T,
    ) -> Option<T> {
        let proved = self.revisions.get(&revision)?;
        let (of, told) = &mut self.told;
        if revision < *of {
            return Some(tell(proved, &mut Tellings::default()));
        }
        if revision > *of {
            (*of, *told) = (revision, Tellings::default());
        }
        Some(tell(proved, told))
    }

    fn put(&mut self, revision: Revision, proved: Proved) {
        self.revisions.insert(revision, proved);
        if self.revisions.len() > KEPT
            && let Some(least) = self.least_missed(revision)
        {
            self.revisions.remove(&least);
        }
    }

    /// The revision, not that one, without which the gap between its neighbours is the smallest
    /// for its age.
    fn least_missed(&self, but: Revision) -> Option<Revision> {
        let numbers: Vec<Revision> = self.revisions.keys().copied().collect();
        let last = *numbers.last()?;
        // Those between the first and the last: from the first one any follows without being read.
        (1..numbers.len().saturating_sub(1))
            .filter(|at| numbers[*at] != but && last - numbers[*at] >= LAST_KEPT)
            .map(|at| {
                let gap = numbers[at + 1] - numbers[at - 1];
                (gap as f64 / (last - numbers[at]) as f64, numbers[at])
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, number)| number)
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
