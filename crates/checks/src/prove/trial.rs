//! What remedies would do: each is made on a copy, and what it touches proved again.

use std::cell::RefCell;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use analysis::{Analysis, Readers};
use model::{Edit, EditError};

use super::run::{CheckRun, Key, by_key, findings_of, jobs, run_all, run_if_touched};
use crate::remedy::{Change, Effect};
use crate::{Check, Finding, Verdict};

/// The job as it is, asked for verdicts alone, which copies with remedies are held against.
///
/// A verdict rests on fewer facts than what would mend it, which looks through the whole
/// catalogue: held against a trial, a copy has less to run again.
pub(super) struct Trial(Result<AsIs, EditError>);

struct AsIs {
    analysis: Analysis,
    runs: Vec<Rc<CheckRun>>,
    /// What each run asks, and where.
    jobs: Vec<(&'static Check, Option<usize>)>,
    /// Of the runs.
    readers: Readers,
    /// Several findings often ask for one and the same change.
    tried: RefCell<BTreeMap<String, Rc<Outcome>>>,
}

/// Every finding that turns when a copy of the job is edited; or why it can't be.
type Outcome = Result<Vec<Turned>, String>;

impl Trial {
    pub fn new(analysis: &Analysis) -> Self {
        Self(analysis.tried(&[]).map(|analysis| {
            let runs = run_all(&analysis);
            AsIs {
                jobs: jobs(&analysis).collect(),
                readers: Readers::new(runs.iter().map(|run| run.reads())),
                analysis,
                runs,
                tried: RefCell::default(),
            }
        }))
    }

    /// What edits do to the finding that offers them, and to the others.
    pub fn effect(&self, own: &Finding, edits: &[Edit]) -> Effect {
        match &self.0 {
            Ok(as_is) => effect(own, &as_is.outcome(edits)),
            Err(error) => effect(own, &Err(error.to_string())),
        }
    }
}

impl AsIs {
    fn outcome(&self, edits: &[Edit]) -> Rc<Outcome> {
        let key = format!("{edits:?}");
        if let Some(known) = self.tried.borrow().get(&key) {
            return Rc::clone(known);
        }
        let outcome = Rc::new(self.turned(edits));
        self.tried.borrow_mut().insert(key, Rc::clone(&outcome));
        outcome
    }

    fn turned(&self, edits: &[Edit]) -> Outcome {
        let edited = self.analysis.tried(edits);
        let edited = edited.map_err(|error| error.to_string())?;
        let (before, after) = self.differing(&edited);
        Ok(turned(&before, &after))
    }

    /// The runs that the copy does not share with the job as it is, of each.
    fn differing(&self, edited: &Analysis) -> (Vec<Rc<CheckRun>>, Vec<Rc<CheckRun>>) {
        // Runs are told apart by their position.
        if edited.space_count() != self.analysis.space_count() {
            return (self.runs.clone(), run_all(edited));
        }
        let touched = self.readers.touched_by(edited.changed());
        let again = touched.into_iter().filter_map(|at| {
            let (old, (check, space)) = (&self.runs[at], self.jobs[at]);
            let new = run_if_touched(edited, check, space, old);
            (!Rc::ptr_eq(old, &new)).then(|| (Rc::clone(old), new))
        });
        again.unzip()
    }
}

/// A finding whose verdict or margin an edit changes.
struct Turned {
    key: (&'static str, Option<String>, String),
    change: Change,
}

/// Every such finding, by the runs of before that differ and those of after.
fn turned(before: &[Rc<CheckRun>], after: &[Rc<CheckRun>]) -> Vec<Turned> {
    let verdict = |side: Option<&Finding>| side.map(|finding| finding.verdict);
    let margin = |side: Option<&Finding>| Some(side?.margin.as_ref()?.value());
    let mut turned: Vec<Turned> = paired(before, after)
        .into_iter()
        .filter_map(|(old, new)| {
            let finding = new.or(old)?;
            let (check, space, subject) = finding.key();
            let ([from, to], [from_margin, to_margin]) =
                ([verdict(old), verdict(new)], [margin(old), margin(new)]);
            // A margin that fits on both sides is of no interest to anybody.
            let differs = from_margin != to_margin && [from, to] != [Some(Verdict::Fits); 2];
            (from != to || differs).then(|| Turned {
                key: (check, space.map(str::to_owned), subject.to_owned()),
                change: Change {
                    check,
                    subject: finding.subject.label.clone(),
                    from,
                    to,
                    from_margin,
                    to_margin,
                },
            })
        })
        .collect();
    turned.sort_by(|a, b| a.key.cmp(&b.key));
    turned
}

/// What an edit does to the finding that offers it, and to the others.
fn effect(own: &Finding, turned: &Outcome) -> Effect {
    let mut effect = Effect {
        verdict: own.verdict,
        margin: own.margin.as_ref().map(crate::Uncertain::value),
        better: vec![],
        worse: vec![],
        refused: turned.as_ref().err().cloned(),
    };
    for Turned { key, change } in turned.iter().flatten() {
        let (check, space, subject) = key;
        if (*check, space.as_deref(), subject.as_str()) == own.key() {
            effect.verdict = change.to.unwrap_or(Verdict::Fits);
            effect.margin = change.to_margin;
            continue;
        }
        match change.direction() {
            Ordering::Greater => effect.better.push(change.clone()),
            Ordering::Less => effect.worse.push(change.clone()),
            Ordering::Equal => {}
        }
    }
    // A turned verdict comes before what only fails by more or by less.
    for list in [&mut effect.better, &mut effect.worse] {
        list.sort_by_key(|change| change.from == change.to);
    }
    effect
}

/// A finding of before and that of after.
type Pair<'a> = (Option<&'a Finding>, Option<&'a Finding>);

/// Findings of both sides by their keys. Runs that find the same things again, in the same
/// order, need no sorting.
fn paired<'a>(before: &'a [Rc<CheckRun>], after: &'a [Rc<CheckRun>]) -> Vec<Pair<'a>> {
    if before.len() != after.len() {
        return paired_by_key(&by_key(before), &by_key(after));
    }
    let mut pairs = Vec::new();
    for (one, other) in before.iter().zip(after) {
        let [one, other] = [one, other].map(std::slice::from_ref);
        if one[0].finds_the_same(&other[0]) {
            let both = findings_of(one).zip(findings_of(other));
            pairs.extend(both.map(|(old, new)| (Some(old), Some(new))));
        } else {
            // Findings of one check in one place are in one run.
            pairs.extend(paired_by_key(&by_key(one), &by_key(other)));
        }
    }
    pairs
}

fn paired_by_key<'a>(
    old: &BTreeMap<Key<'a>, &'a Finding>,
    new: &BTreeMap<Key<'a>, &'a Finding>,
) -> Vec<Pair<'a>> {
    let keys: BTreeSet<_> = old.keys().chain(new.keys()).collect();
    keys.into_iter()
        .map(|key| (old.get(key).copied(), new.get(key).copied()))
        .collect()
}
