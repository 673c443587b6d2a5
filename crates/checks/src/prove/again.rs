//! An edited copy proved in a fraction of the time.

use std::collections::BTreeMap;

use model::{Edit, EditError};

use super::Proved;
use super::run::{by_key, differing, findings_of, run_touched};
use crate::Finding;

/// An edited copy, proved, and how its findings differ from those of its original.
pub struct Again {
    /// The copy.
    pub proved: Proved,
    /// Findings that are new or say anything else than before, in the order of the checks.
    pub changed: Vec<Finding>,
    /// Findings of the original that the copy does not have, as check, space and subject.
    pub gone: Vec<(&'static str, Option<String>, String)>,
}

/// Proves an edited copy: only checks that read what the edits change are run again.
///
/// For a drag that waits for the answer. The copy's findings are those that a full proof
/// of it gives: every other check read nothing that differs.
pub fn prove_again(proved: &Proved, edits: &[Edit]) -> Result<Again, EditError> {
    let analysis = proved.analysis.edited(edits)?;
    let runs = run_touched(&analysis, &proved.analysis, &proved.runs);
    let mut again = Again {
        changed: Vec::new(),
        gone: Vec::new(),
        proved: Proved::of(analysis, runs),
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
