//! Runs every check, tries every remedy on a copy, and lists what to measure again.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

use analysis::{Analysis, Reads};
use model::{Edit, EditError, Job};
use serde::Serialize;

use crate::measure_again::{MeasureAgain, measure_again};
use crate::remedy::{Change, Effect};
use crate::{Area, Check, Finding, Run, Verdict, all};

/// A job proved.
#[derive(Clone, Debug)]
pub struct Proof {
    /// Every finding, by space in the job's order and worst first within each.
    pub findings: Vec<Finding>,
    /// What to measure, most decisive first.
    pub measure_again: Vec<MeasureAgain>,
    /// How many findings have each verdict.
    pub counts: Counts,
}

/// How many findings have each verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// With room to spare.
    pub fits: usize,
    /// Within uncertainty or comfort.
    pub tight: usize,
    /// Beyond a limit.
    pub fails: usize,
    /// Undecided for want of a fact.
    pub unknown: usize,
}

/// Proves a job: findings, the effect of each remedy, and what to measure again.
pub fn prove(job: Arc<Job>) -> Proof {
    let proved = Proved::new(job);
    let mut proof = proved.proof();
    try_remedies(&proved.analysis, &mut proof.findings);
    for finding in &mut proof.findings {
        finding.say_if_no_single_remedy_is_enough();
    }
    proof
}

/// As [`prove`], without trying the remedies.
pub fn prove_without_remedies(analysis: &Analysis) -> Proof {
    let runs = run_all(analysis);
    conclude(analysis, findings_of(&runs).cloned().collect())
}

/// A job proved, with what is needed to prove an edited copy in a fraction of the time.
pub struct Proved {
    analysis: Analysis,
    runs: Vec<Rc<CheckRun>>,
}

/// An edited copy, proved, and how its findings differ from those of its original.
pub struct Again {
    /// The copy.
    pub proved: Proved,
    /// Findings that are new or say anything else than before, in the order of the checks.
    pub changed: Vec<Finding>,
    /// Findings of the original that the copy does not have, as check, space and subject.
    pub gone: Vec<(&'static str, Option<String>, String)>,
}

/// What a check found in one space or in the house, and the facts that it rests on.
struct CheckRun {
    findings: Vec<Finding>,
    reads: Reads,
}

impl Proved {
    /// Runs every check; remedies are not tried.
    pub fn new(job: Arc<Job>) -> Self {
        let analysis = Analysis::new(job);
        let runs = run_all(&analysis);
        Self { analysis, runs }
    }

    /// The job and what was worked out about it.
    pub fn analysis(&self) -> &Analysis {
        &self.analysis
    }

    /// Findings in order, without the effects of remedies, and what to measure again.
    pub fn proof(&self) -> Proof {
        conclude(&self.analysis, findings_of(&self.runs).cloned().collect())
    }
}

/// Proves an edited copy: only checks that read what the edits change are run again.
///
/// For a drag that waits for the answer. The copy's findings are those that a full proof
/// of it gives: every other check read nothing that differs.
pub fn prove_again(proved: &Proved, edits: &[Edit]) -> Result<Again, EditError> {
    let analysis = proved.analysis.edited(edits)?;
    let mut again = Again {
        changed: Vec::new(),
        gone: Vec::new(),
        proved: Proved {
            runs: run_touched(&analysis, &proved.analysis, &proved.runs),
            analysis,
        },
    };
    let (before, after) = differing(&proved.runs, &again.proved.runs);
    let old: BTreeMap<_, _> = by_key(&before);
    let new: BTreeMap<_, _> = by_key(&after);
    let differs = |finding: &&Finding| old.get(&finding.key()) != Some(finding);
    again.changed = findings_of(&after).filter(differs).cloned().collect();
    let is_gone = |finding: &&Finding| !new.contains_key(&finding.key());
    again.gone = (findings_of(&before).filter(is_gone))
        .map(|finding| {
            let (check, space, subject) = finding.key();
            (check, space.map(str::to_owned), subject.to_owned())
        })
        .collect();
    Ok(again)
}

/// The runs that two proofs do not share, of each.
fn differing(
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

fn findings_of(runs: &[Rc<CheckRun>]) -> impl Iterator<Item = &Finding> {
    runs.iter().flat_map(|run| &run.findings)
}

fn by_key(runs: &[Rc<CheckRun>]) -> BTreeMap<Key<'_>, &Finding> {
    findings_of(runs)
        .map(|finding| (finding.key(), finding))
        .collect()
}

type Key<'a> = (&'static str, Option<&'a str>, &'a str);

fn conclude(analysis: &Analysis, mut findings: Vec<Finding>) -> Proof {
    let order: BTreeMap<&str, usize> = analysis
        .job()
        .space
        .iter()
        .enumerate()
        .map(|(index, space)| (space.id.as_str(), index))
        .collect();
    // Stable: equal findings stay in the order of the checks and of the job.
    findings.sort_by(|a, b| {
        let place = |finding: &Finding| {
            finding
                .space
                .as_deref()
                .map_or(usize::MAX, |space| order[space])
        };
        // A survey that does not hold together comes first: all else stands on it.
        let stands_on = |finding: &Finding| finding.area != Area::Survey;
        (place(a), a.verdict, stands_on(a))
            .cmp(&(place(b), b.verdict, stands_on(b)))
            .then_with(|| severity(b).total_cmp(&severity(a)))
    });
    let mut counts = Counts::default();
    for finding in &findings {
        match finding.verdict {
            Verdict::Fits => counts.fits += 1,
            Verdict::Tight => counts.tight += 1,
            Verdict::Fails => counts.fails += 1,
            Verdict::Unknown => counts.unknown += 1,
        }
    }
    let measure_again = measure_again(analysis, &findings);
    Proof {
        findings,
        measure_again,
        counts,
    }
}

/// How far a margin is gone, as a share of the limit, to order findings of different units.
fn severity(finding: &Finding) -> f64 {
    match (&finding.margin, finding.limit) {
        (Some(margin), Some(limit)) => -margin.value() / limit.abs().max(1e-3),
        _ => 0.0,
    }
}

/// Every check over every space, then over the house: always in this order.
fn jobs(analysis: &Analysis) -> impl Iterator<Item = (&'static Check, Option<usize>)> {
    let spaces = 0..analysis.space_count();
    let of_space = |check: &&Check| matches!(check.run, Run::EachSpace(_));
    let each = spaces.flat_map(move |space| {
        all()
            .filter(of_space)
            .map(move |check| (check, Some(space)))
    });
    let house = all().filter(move |check| !of_space(check));
    each.chain(house.map(|check| (check, None)))
}

fn run_all(analysis: &Analysis) -> Vec<Rc<CheckRun>> {
    jobs(analysis)
        .map(|(check, space)| Rc::new(run(analysis, check, space)))
        .collect()
}

/// Runs again what rests on a changed fact; the rest is shared with the original.
fn run_touched(edited: &Analysis, original: &Analysis, runs: &[Rc<CheckRun>]) -> Vec<Rc<CheckRun>> {
    // Runs are told apart by their position.
    if edited.space_count() != original.space_count() {
        return run_all(edited);
    }
    (jobs(edited).zip(runs))
        .map(|((check, space), old)| {
            if old.reads.touched_by(edited.changed()) {
                Rc::new(run(edited, check, space))
            } else {
                Rc::clone(old)
            }
        })
        .collect()
}

fn run(analysis: &Analysis, check: &Check, space: Option<usize>) -> CheckRun {
    let (findings, reads) = analysis.noting(|| {
        let mut findings = match (&check.run, space) {
            (Run::EachSpace(run), Some(space)) => run(analysis, analysis.space_number(space)),
            (Run::House(run), None) => run(analysis),
            _ => Vec::new(),
        };
        if !analysis.is_trial() {
            for finding in &mut findings {
                finding.name_deciders(analysis);
            }
        }
        findings
    });
    CheckRun { findings, reads }
}

/// Applies each remedy to a copy, proves again what it can touch, and notes the difference.
fn try_remedies(analysis: &Analysis, findings: &mut [Finding]) {
    if findings.iter().all(|finding| finding.remedies.is_empty()) {
        return;
    }
    // A verdict rests on fewer facts than what would mend it, which looks through the
    // whole catalogue: the copies are held against a trial of the job itself.
    let Ok(as_is) = analysis.tried(&[]) else {
        return;
    };
    let runs = run_all(&as_is);
    // Several findings often ask for one and the same change.
    let mut tried: BTreeMap<String, Result<Vec<Turned>, String>> = BTreeMap::new();
    for finding in findings {
        for at in 0..finding.remedies.len() {
            let edits = &finding.remedies[at].edits;
            let turned = tried
                .entry(format!("{edits:?}"))
                .or_insert_with(|| turned(&as_is, &runs, edits));
            finding.remedies[at].effect = Some(effect(finding, turned));
        }
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

/// Every finding that turns when a copy of the job is edited; or why it can't be.
fn turned(as_is: &Analysis, runs: &[Rc<CheckRun>], edits: &[Edit]) -> Result<Vec<Turned>, String> {
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
fn effect(own: &Finding, turned: &Result<Vec<Turned>, String>) -> Effect {
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
