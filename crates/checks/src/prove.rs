//! Runs every check, tries every remedy on a copy, and lists what to measure again.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use analysis::Analysis;
use model::{Edit, Job, Space};
use serde::Serialize;

use crate::measure_again::{MeasureAgain, measure_again};
use crate::remedy::{Change, Effect};
use crate::{Check, Finding, Run, Verdict, all};

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
    let analysis = Analysis::new(job);
    let mut proof = conclude(&analysis, run_all(&analysis));
    try_remedies(&analysis, &mut proof.findings);
    proof
}

/// As [`prove`], without trying the remedies: for a drag that waits for the answer.
pub fn prove_without_remedies(analysis: &Analysis) -> Proof {
    conclude(analysis, run_all(analysis))
}

fn conclude(analysis: &Analysis, mut findings: Vec<Finding>) -> Proof {
    for finding in &mut findings {
        finding.name_deciders(analysis);
    }
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
        (place(a), a.verdict)
            .cmp(&(place(b), b.verdict))
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

fn run_all(analysis: &Analysis) -> Vec<Finding> {
    let mut findings = Vec::new();
    for space in &analysis.job().space {
        findings.extend(run_space(analysis, space));
    }
    findings.extend(run_house(analysis));
    findings
}

fn run_space(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let each = |check: &'static Check| match check.run {
        Run::EachSpace(run) => run(analysis, space),
        Run::House(_) => Vec::new(),
    };
    all().flat_map(each).collect()
}

fn run_house(analysis: &Analysis) -> Vec<Finding> {
    let whole = |check: &'static Check| match check.run {
        Run::House(run) => run(analysis),
        Run::EachSpace(_) => Vec::new(),
    };
    all().flat_map(whole).collect()
}

/// Applies each remedy to a copy, proves again what it can touch, and notes the difference.
fn try_remedies(analysis: &Analysis, findings: &mut [Finding]) {
    let mut tried: Vec<(usize, usize, Effect)> = Vec::new();
    let scopes = Scopes::new(analysis.job());
    for (index, finding) in findings.iter().enumerate() {
        for (number, remedy) in finding.remedies.iter().enumerate() {
            tried.push((
                index,
                number,
                effect(analysis, &scopes, findings, finding, &remedy.edits),
            ));
        }
    }
    for (index, number, effect) in tried {
        findings[index].remedies[number].effect = Some(effect);
    }
}

fn effect(
    analysis: &Analysis,
    scopes: &Scopes,
    findings: &[Finding],
    own: &Finding,
    edits: &[Edit],
) -> Effect {
    let edited = match analysis.edited(edits) {
        Ok(edited) => edited,
        Err(error) => {
            return Effect {
                verdict: own.verdict,
                better: vec![],
                worse: vec![],
                refused: Some(error.to_string()),
            };
        }
    };
    let touched = scopes.touched(edits, &Scopes::new(edited.job()));
    let again = run_touched(&edited, &touched);
    let before: BTreeMap<_, _> = findings
        .iter()
        .filter(|finding| {
            finding
                .space
                .as_deref()
                .is_none_or(|space| touched.contains(space))
        })
        .map(|finding| (finding.key(), finding))
        .collect();
    let after: BTreeMap<_, _> = again
        .iter()
        .map(|finding| (finding.key(), finding))
        .collect();
    let mut effect = Effect {
        verdict: after
            .get(&own.key())
            .map_or(Verdict::Fits, |finding| finding.verdict),
        better: vec![],
        worse: vec![],
        refused: None,
    };
    let keys: BTreeSet<_> = before
        .keys()
        .chain(after.keys())
        .filter(|key| **key != own.key())
        .collect();
    for key in keys {
        let (old, new) = (before.get(key), after.get(key));
        let (from, to) = (
            old.map(|finding| finding.verdict),
            new.map(|finding| finding.verdict),
        );
        // A finding that appears or goes counts as if it fitted on the other side.
        let (was, is) = (from.unwrap_or(Verdict::Fits), to.unwrap_or(Verdict::Fits));
        let Some(finding) = new.or(old).filter(|_| was != is) else {
            continue;
        };
        let change = Change {
            check: finding.check,
            subject: finding.subject.label.clone(),
            from,
            to,
        };
        if is > was {
            effect.better.push(change)
        } else {
            effect.worse.push(change)
        }
    }
    effect
}

fn run_touched(analysis: &Analysis, touched: &BTreeSet<String>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for space in analysis
        .job()
        .space
        .iter()
        .filter(|space| touched.contains(&space.id))
    {
        findings.extend(run_space(analysis, space));
    }
    findings.extend(run_house(analysis));
    findings
}

/// Which spaces' findings may rest on each thing of a job.
struct Scopes {
    spaces: Vec<String>,
    /// Spaces by the first segments of a path: `item.amp`, `kit.projector.p3`, `cable.W07`.
    by_thing: BTreeMap<String, BTreeSet<String>>,
}

impl Scopes {
    fn new(job: &Job) -> Self {
        let mut scopes = Self {
            spaces: job.space.iter().map(|space| space.id.clone()).collect(),
            by_thing: BTreeMap::new(),
        };
        let space_of_item = |id: &str| {
            job.item(id)
                .and_then(|item| job.space_of(item))
                .map(|space| space.id.clone())
        };
        for item in &job.item {
            let Some(space) = job.space_of(item) else {
                continue;
            };
            scopes.add_item(job, &item.id, &space.id);
            let linked = [
                &item.mount,
                &item.lights,
                &item.under,
                &item.inside,
                &item.driven_by,
            ];
            for other in linked.into_iter().flatten() {
                scopes.add_item(job, other, &space.id);
            }
            if let Some(zone) = item.zone.as_deref().and_then(|id| job.zone(id)) {
                scopes.add(format!("zone.{}", zone.id), &space.id);
                for other in zone.amplifiers.iter().chain(&zone.faces) {
                    scopes.add_item(job, other, &space.id);
                }
            }
        }
        for zone in &job.zone {
            scopes.add(format!("zone.{}", zone.id), &zone.space);
            for other in zone.amplifiers.iter().chain(&zone.faces) {
                scopes.add_item(job, other, &zone.space);
            }
        }
        for cable in &job.cable {
            let ends =
                [&cable.from, &cable.to].map(|end| end.split('.').next().unwrap_or_default());
            let spaces: BTreeSet<String> =
                ends.iter().filter_map(|end| space_of_item(end)).collect();
            for space in &spaces {
                scopes.add(format!("cable.{}", cable.id), space);
                scopes.add(format!("kit.cable.{}", cable.kind), space);
                for spool in job.spool.iter().filter(|spool| spool.kind == cable.kind) {
                    scopes.add(format!("spool.{}", spool.id), space);
                }
                for end in ends {
                    scopes.add_item(job, end, space);
                }
                // A cable's route rests on the shapes at both of its ends.
                for other in &spaces {
                    scopes.add(format!("space.{other}"), space);
                }
            }
        }
        for space in &job.space {
            scopes.add(format!("space.{}", space.id), &space.id);
            if let Some(joined) = &space.joined {
                let other = joined.to.split('.').next().unwrap_or_default();
                scopes.add(format!("space.{other}"), &space.id);
            }
        }
        scopes
    }

    fn add(&mut self, thing: String, space: &str) {
        self.by_thing
            .entry(thing)
            .or_default()
            .insert(space.to_owned());
    }

    fn add_item(&mut self, job: &Job, id: &str, space: &str) {
        self.add(format!("item.{id}"), space);
        if let Some(item) = job.item(id)
            && let Some(kit) = job.kit_of(item)
        {
            self.add(format!("kit.{}.{}", kit.kind(), item.is), space);
        }
    }

    /// Spaces that the edits may touch, in the job or in its edited copy.
    fn touched(&self, edits: &[Edit], edited: &Self) -> BTreeSet<String> {
        let mut touched = BTreeSet::new();
        for edit in edits {
            let mut segments = edit.at.split('.');
            let first = segments.next().unwrap_or_default();
            let length = match first {
                "kit" => 3,
                "space" | "item" | "cable" | "zone" | "spool" => 2,
                // Circuits and signals belong to the house alone.
                "circuit" | "signal" | "job" => continue,
                // Limits, the survey's method and the site reach everywhere.
                _ => return self.spaces.iter().chain(&edited.spaces).cloned().collect(),
            };
            let thing: Vec<&str> = edit.at.split('.').take(length).collect();
            let thing = thing.join(".");
            for scopes in [self, edited] {
                touched.extend(scopes.by_thing.get(&thing).into_iter().flatten().cloned());
            }
        }
        touched
    }
}
