//! One check over one space or the house, and the facts that it rests on.

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::atomic::{AtomicBool, Ordering};

use analysis::{Analysis, Reads};

use crate::{Check, Finding, all};

/// What a check found in one space or in the house, and the facts that it rests on.
pub(super) struct CheckRun {
    findings: Vec<Finding>,
    reads: Reads,
    /// All that people read of it, once it is looked through.
    words: OnceCell<String>,
}

impl CheckRun {
    /// Whether it and another run of its check in its space speak of the same things.
    pub fn finds_the_same(&self, other: &Self) -> bool {
        let same_subject = |(a, b): (&Finding, &Finding)| a.subject.id == b.subject.id;
        let both = || self.findings.iter().zip(&other.findings);
        self.findings.len() == other.findings.len()
            && both().next().is_none_or(|(a, b)| a.space == b.space)
            && both().all(same_subject)
    }

    /// The facts that it rests on.
    pub fn reads(&self) -> &Reads {
        &self.reads
    }

    /// Whether it would find the same, word for word, in an edited copy.
    fn still_holds(&self, edited: &Analysis) -> bool {
        let changed = edited.changed();
        if edited.holds(&self.reads) {
            return true;
        }
        // Trials have no words.
        !edited.is_trial()
            && !changed.renamed().is_empty()
            && !self.reads.touched_beyond_names(changed)
            && !changed.renamed().iter().any(|name| self.speaks_of(name))
    }

    /// Whether a name stands in its words, as it is or as part of a phrase.
    fn speaks_of(&self, name: &str) -> bool {
        let words = || plain(&self.findings.iter().map(Finding::words).collect::<String>());
        self.words.get_or_init(words).contains(&plain(name))
    }
}

/// A name or text without what sets one off as the start of a sentence or as an id.
fn plain(text: &str) -> String {
    text.to_lowercase().replace(['-', '_'], " ")
}

pub(super) fn findings_of(runs: &[Rc<CheckRun>]) -> impl Iterator<Item = &Finding> {
    runs.iter().flat_map(|run| &run.findings)
}

pub(super) fn by_key(runs: &[Rc<CheckRun>]) -> BTreeMap<Key<'_>, &Finding> {
    findings_of(runs)
        .map(|finding| (finding.key(), finding))
        .collect()
}

/// What a finding is known by.
pub(super) type Key<'a> = (&'static str, Option<&'a str>, &'a str);

/// Every check over every space, then over the house: always in this order.
pub(super) fn jobs(analysis: &Analysis) -> impl Iterator<Item = (&'static Check, Option<usize>)> {
    let spaces = 0..analysis.space_count();
    let of_space = |check: &&Check| check.run.is_of_spaces();
    let each = spaces.flat_map(move |space| {
        all()
            .filter(of_space)
            .map(move |check| (check, Some(space)))
    });
    let house = all().filter(move |check| !of_space(check));
    each.chain(house.map(|check| (check, None)))
}

pub(super) fn run_all(analysis: &Analysis) -> Vec<Rc<CheckRun>> {
    run_unless(analysis, &AtomicBool::new(false)).expect("nobody sets the flag")
}

/// Every run; nothing soon after the flag is set.
pub(super) fn run_unless(analysis: &Analysis, stop: &AtomicBool) -> Option<Vec<Rc<CheckRun>>> {
    jobs(analysis)
        .map(|(check, space)| {
            let goes_on = !stop.load(Ordering::Relaxed);
            goes_on.then(|| Rc::new(run(analysis, check, space)))
        })
        .collect()
}

/// Runs again what rests on a changed fact; the rest is shared with the original.
pub(super) fn run_touched(
    edited: &Analysis,
    original: &Analysis,
    runs: &[Rc<CheckRun>],
) -> Vec<Rc<CheckRun>> {
    // Runs are told apart by their position.
    if edited.space_count() != original.space_count() {
        return run_all(edited);
    }
    (jobs(edited).zip(runs))
        .map(|((check, space), old)| run_if_touched(edited, check, space, old))
        .collect()
}

/// A run of the original, again where it rests on a changed fact.
pub(super) fn run_if_touched(
    edited: &Analysis,
    check: &Check,
    space: Option<usize>,
    old: &Rc<CheckRun>,
) -> Rc<CheckRun> {
    match old.still_holds(edited) {
        true => Rc::clone(old),
        false => Rc::new(run(edited, check, space)),
    }
}

pub(super) fn run(analysis: &Analysis, check: &Check, space: Option<usize>) -> CheckRun {
    let (findings, reads) = analysis.noting(|| {
        let mut findings = check.run.ask(analysis, space);
        if !analysis.is_trial() {
            for finding in &mut findings {
                finding.name_deciders(analysis);
            }
        }
        findings
    });
    CheckRun {
        findings,
        reads,
        words: OnceCell::new(),
    }
}

/// The runs that two proofs do not share, of each.
pub(super) fn differing(
    one: &[Rc<CheckRun>],
    other: &[Rc<CheckRun>],
) -> (Vec<Rc<CheckRun>>, Vec<Rc<CheckRun>>) {
    if one.len() != other.len() {
        return (one.to_vec(), other.to_vec());
    }
    (one.iter().zip(other))
        .filter(|(a, b)| !Rc::ptr_eq(a, b))
        .map(|(a, b)| (Rc::clone(a), Rc::clone(b)))
        .unzip()
}
