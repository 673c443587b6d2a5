//! What differs between two states of a job: facts and findings.

use std::collections::{BTreeMap, BTreeSet};

use checks::Proved;
use model::Job;
use schemars::JsonSchema;
use serde::Serialize;

use crate::words::words;
use crate::{Verdict, document, fact, findings};

/// What differs between two jobs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Comparison {
    /// Facts, in the order of the document.
    pub facts: Vec<FactChange>,
    /// Findings whose verdict differs, or that are on one side only: worst first as they
    /// are afterwards.
    pub findings: Vec<FindingChange>,
}

/// A fact that differs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FactChange {
    /// Its path in the document.
    pub at: String,
    /// What it is.
    pub what: String,
    /// As written before; null where it was blank.
    pub before: Option<String>,
    /// As written afterwards; null where it is blank.
    pub after: Option<String>,
}

/// A finding whose verdict differs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FindingChange {
    /// The finding's key.
    pub key: String,
    /// The check's question in short words.
    pub title: String,
    /// What it is about.
    pub subject: String,
    /// Before; null where it was not there.
    pub from: Option<Verdict>,
    /// Afterwards; null where it is not there.
    pub to: Option<Verdict>,
    /// The sentence afterwards; of a finding that went, the one before.
    pub because: String,
}

/// Facts and findings that differ between two proved jobs.
pub fn compare(before: &Proved, after: &Proved) -> Comparison {
    let [old, new]: [Vec<checks::Finding>; 2] =
        [before, after].map(|proved| proved.proof().findings);
    Comparison {
        facts: compare_facts(before.analysis().job(), after.analysis().job()),
        findings: compare_findings(&old, &new),
    }
}

/// Facts that differ, in the order of the later document; those that went come last.
pub fn compare_facts(before: &Job, after: &Job) -> Vec<FactChange> {
    let facts = |job: &Job| {
        let mut facts = Vec::new();
        let document = serde_json::to_value(job).unwrap_or_default();
        document::leaves(&document, "", &mut facts);
        facts
    };
    let (old, new) = (facts(before), facts(after));
    let old_texts: BTreeMap<&str, &str> = (old.iter())
        .map(|(at, text)| (at.as_str(), text.as_str()))
        .collect();
    let kept: BTreeSet<&str> = new.iter().map(|(at, _)| at.as_str()).collect();
    let is_id = |at: &str| at.rsplit('.').next() == Some("id");
    let changed = (new.iter())
        .filter(|(at, text)| old_texts.get(at.as_str()) != Some(&text.as_str()))
        .map(|(at, text)| FactChange {
            at: at.clone(),
            what: fact::name_of(after, at),
            before: old_texts.get(at.as_str()).map(|text| (*text).to_owned()),
            after: Some(text.clone()),
        });
    let gone = (old.iter())
        .filter(|(at, _)| !kept.contains(at.as_str()))
        .map(|(at, text)| FactChange {
            at: at.clone(),
            what: fact::name_of(before, at),
            before: Some(text.clone()),
            after: None,
        });
    // A thing that comes or goes is told by its other facts.
    changed
        .chain(gone)
        .filter(|change| !is_id(&change.at))
        .collect()
}

/// Findings whose verdict differs, or that are on one side only: worst first as they are
/// afterwards, those that went last.
pub fn compare_findings(
    before: &[checks::Finding],
    after: &[checks::Finding],
) -> Vec<FindingChange> {
    let by_key = |side: &[checks::Finding]| -> BTreeMap<String, usize> {
        let places = side.iter().enumerate();
        places
            .map(|(at, finding)| (findings::key(finding), at))
            .collect()
    };
    let (old, new) = (by_key(before), by_key(after));
    let keys: BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    let mut changes: Vec<FindingChange> = keys
        .into_iter()
        .filter_map(|key| {
            let was = old.get(key).map(|at| &before[*at]);
            let is = new.get(key).map(|at| &after[*at]);
            let verdict = |side: Option<&checks::Finding>| side.map(|one| one.verdict);
            if verdict(was) == verdict(is) {
                return None;
            }
            let told = is.or(was)?;
            Some(FindingChange {
                key: key.clone(),
                title: words(told.check),
                subject: told.subject.label.clone(),
                from: verdict(was).map(Verdict::from),
                to: verdict(is).map(Verdict::from),
                because: told.because.clone(),
            })
        })
        .collect();
    changes.sort_by(|a, b| {
        let rank = |change: &FindingChange| (change.to.is_none(), change.to, change.from);
        rank(a).cmp(&rank(b)).then_with(|| a.key.cmp(&b.key))
    });
    changes
}
