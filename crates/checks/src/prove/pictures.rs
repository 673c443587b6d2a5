//! The checks of one space's pictures, asked of many copies of a job.

use std::rc::Rc;

use analysis::Analysis;
use model::{Edit, EditError, Space};

use super::run::{CheckRun, findings_of, run, run_if_touched};
use crate::shared::hanging::of_pictures;
use crate::{Check, Finding};

/// What the checks of a space's pictures say of a job, and of copies of it: each asks again
/// only what its edits touch.
pub struct Pictures {
    as_is: Analysis,
    space: usize,
    runs: Vec<(&'static Check, Rc<CheckRun>)>,
}

impl Pictures {
    /// Asks all of them of the job as it is, for verdicts alone.
    pub fn new(analysis: &Analysis, space: &Space) -> Result<Self, EditError> {
        let as_is = analysis.tried(&[])?;
        let at = |at: &usize| as_is.space_number(*at).id == space.id;
        let at = (0..as_is.space_count()).find(at);
        let at = at.expect("a space of this job");
        Ok(Self {
            runs: of_pictures()
                .map(|check| (check, Rc::new(run(&as_is, check, Some(at)))))
                .collect(),
            space: at,
            as_is,
        })
    }

    /// What they find of a copy with edits made.
    pub fn tried(&self, edits: &[Edit]) -> Result<Vec<Finding>, EditError> {
        let copy = self.as_is.tried(edits)?;
        let space = Some(self.space);
        let runs = (self.runs.iter()).map(|(check, old)| run_if_touched(&copy, check, space, old));
        let runs: Vec<_> = runs.collect();
        Ok(findings_of(&runs).cloned().collect())
    }

    /// What one of them finds of one subject in a copy with edits made.
    pub fn tried_one(
        &self,
        edits: &[Edit],
        check: &str,
        subject: &str,
    ) -> Result<Option<Finding>, EditError> {
        let copy = self.as_is.tried(edits)?;
        let known = self.runs.iter().find(|(known, _)| known.id == check);
        let found = known.and_then(|(check, old)| {
            let runs = [run_if_touched(&copy, check, Some(self.space), old)];
            let mut findings = findings_of(&runs);
            findings.find(|found| found.subject.id == subject).cloned()
        });
        Ok(found)
    }
}
