//! What remedies would do: each is made on a copy, and what it touches proved again.

use std::cell::RefCell;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use analysis::Analysis;
use model::{Edit, EditError};

use super::run::{CheckRun, by_key, differing, findings_of, run_all, run_touched};
use crate::remedy::{Change, Effect};
use crate::{Finding, Verdict};

/// The job as it is, asked for verdicts alone, which copies with remedies are held against.
///
/// A verdict rests on fewer facts than what would mend it, which looks through the whole
/// catalogue: held against a trial, a copy has less to run again.
pub(super) struct Trial(Result<AsIs, EditError>);

struct AsIs {
    analysis: Analysis,
    runs: Vec<Rc<CheckRun>>,
    /// Several findings often ask for one and the same change.
    tried: RefCell<BTreeMap<String, Rc<Outcome>>>,
}

/// Every finding that turns when a copy of the job is edited; or why it can't be.
type Outcome = Result<Vec<Turned>, String>;

impl Trial {
    pub fn new(analysis: &Analysis) -> Self {
        Self(analysis.tried(&[]).map(|analysis| AsIs {
            runs: run_all(&analysis),
            analysis,
            tried: RefCell::default(),
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
        let outcome = Rc::new(turned(&self.analysis, &self.runs, edits));
        self.tried.borrow_mut().insert(key, Rc::clone(&outcome));
        outcome
    }
}

/// A finding whose verdict an edit changes.
struct Turned {
    key: (&'static str, Option<String>, String),
    label: String,
    /// None where it is there on one side alone.
    from: Option<Verdict>,
    to: Option<Verdict>,
}

fn turned(as_is: &Analysis, runs: &[Rc<CheckRun>], edits: &[Edit]) -> Outcome {
    let edited = as_is.tried(edits).map_err(|error| error.to_string())?;
    let again = run_touched(&edited, as_is, runs);
    let (before, after) = differing(runs, &again);
    let verdict = |side: Option<&Finding>| side.map(|finding| finding.verdict);
    let mut turned: Vec<Turned> = paired(&before, &after)
        .into_iter()
        .filter(|(old, new)| verdict(*old) != verdict(*new))
        .filter_map(|(old, new)| {
            let finding = new.or(old)?;
            let (check, space, subject) = finding.key();
            Some(Turned {
                key: (check, space.map(str::to_owned), subject.to_owned()),
                label: finding.subject.label.clone(),
                from: verdict(old),
                to: verdict(new),
            })
        })
        .collect();
    turned.sort_by(|a, b| a.key.cmp(&b.key));
    Ok(turned)
}

/// What an edit does to the finding that offers it, and to the others.
fn effect(own: &Finding, turned: &Outcome) -> Effect {
    let mut effect = Effect {
        verdict: own.verdict,
        better: vec![],
        worse: vec![],
        refused: turned.as_ref().err().cloned(),
    };
    for one in turned.iter().flatten() {
        // A finding that appears or goes counts as if it fitted on the other side.
        let [was, is] = [one.from, one.to].map(|side| side.unwrap_or(Verdict::Fits));
        let (check, space, subject) = &one.key;
        if (*check, space.as_deref(), subject.as_str()) == own.key() {
            effect.verdict = is;
            continue;
        }
        let change = Change {
            check,
            subject: one.label.clone(),
            from: one.from,
            to: one.to,
        };
        match is.cmp(&was) {
            Ordering::Greater => effect.better.push(change),
            Ordering::Less => effect.worse.push(change),
            Ordering::Equal => {}
        }
    }
    effect
}

/// Findings of both sides by their keys. A run that finds the same things again, in the same
/// order, needs no sorting.
fn paired<'a>(
    before: &'a [Rc<CheckRun>],
    after: &'a [Rc<CheckRun>],
) -> Vec<(Option<&'a Finding>, Option<&'a Finding>)> {
    let same_things = before.len() == after.len()
        && findings_of(before)
            .map(Finding::key)
            .eq(findings_of(after).map(Finding::key));
    if same_things {
        let both = findings_of(before).zip(findings_of(after));
        return both.map(|(old, new)| (Some(old), Some(new))).collect();
    }
    let (old, new) = (by_key(before), by_key(after));
    let keys: BTreeSet<_> = old.keys().chain(new.keys()).collect();
    keys.into_iter()
        .map(|key| (old.get(key).copied(), new.get(key).copied()))
        .collect()
}
