//! Runs every check, tries every remedy on a copy, and lists what to measure again.

mod again;
mod conclude;
mod pictures;
mod run;
#[cfg(test)]
mod tests;
mod trial;

use std::cell::OnceCell;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use analysis::Analysis;
use model::Job;
use serde::Serialize;

use crate::Finding;
use crate::measure_again::MeasureAgain;
use conclude::conclude;
use run::{CheckRun, findings_of, run_all, run_unless};
use trial::Trial;

pub use again::{Again, prove_again};
pub use pictures::Pictures;

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
    prove_unless(job, &AtomicBool::new(false)).expect("nobody sets the flag")
}

/// As [`prove`]; nothing soon after somebody sets the flag, for whom the answer is too late.
pub fn prove_unless(job: Arc<Job>, stop: &AtomicBool) -> Option<Proof> {
    let analysis = Analysis::new(job);
    let runs = run_unless(&analysis, stop)?;
    let proved = Proved::of(analysis, runs);
    let mut proof = proved.proof();
    for finding in &mut proof.findings {
        proved.add_effects(finding, stop)?;
    }
    Some(proof)
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
    /// What remedies are tried on, once one is.
    trial: OnceCell<Trial>,
}

impl Proved {
    /// Runs every check; remedies are not tried.
    pub fn new(job: Arc<Job>) -> Self {
        let analysis = Analysis::new(job);
        let runs = run_all(&analysis);
        Self::of(analysis, runs)
    }

    fn of(analysis: Analysis, runs: Vec<Rc<CheckRun>>) -> Self {
        Self {
            analysis,
            runs,
            trial: OnceCell::new(),
        }
    }

    /// The job and what was worked out about it.
    pub fn analysis(&self) -> &Analysis {
        &self.analysis
    }

    /// Findings in order, without the effects of remedies, and what to measure again.
    pub fn proof(&self) -> Proof {
        conclude(&self.analysis, self.findings().cloned().collect())
    }

    /// Findings in the order of the checks, without the effects of remedies.
    pub fn findings(&self) -> impl Iterator<Item = &Finding> {
        findings_of(&self.runs)
    }

    /// A finding of this job with the effects of its remedies, each tried on a copy, as
    /// [`prove`] gives it. Further calls share what the first one sets up.
    pub fn with_effects(&self, finding: &Finding) -> Finding {
        let mut finding = finding.clone();
        let tried = self.add_effects(&mut finding, &AtomicBool::new(false));
        tried.expect("nobody sets the flag");
        finding
    }

    /// Nothing where the flag is set before all remedies have been tried.
    fn add_effects(&self, finding: &mut Finding, stop: &AtomicBool) -> Option<()> {
        for at in 0..finding.remedies.len() {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            let trial = self.trial.get_or_init(|| Trial::new(&self.analysis));
            let effect = trial.effect(finding, &finding.remedies[at].edits);
            finding.remedies[at].effect = Some(effect);
        }
        finding.say_if_no_single_remedy_is_enough();
        Some(())
    }
}
