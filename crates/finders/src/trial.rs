//! What the checks of pictures say of a changed copy, by check and subject.

use std::collections::BTreeMap;

use analysis::{Analysis, Known, Means, Missing};
use checks::hanging::finding_of;
use checks::{Finding, Pictures, Verdict};
use model::{Edit, EditError, Space};

use crate::region::Stop;

/// A finding's check and subject.
pub(crate) type Key = (&'static str, String);

/// What was found of a copy.
pub(crate) struct Trial(BTreeMap<Key, Finding>);

/// The job that copies are made of.
pub(crate) struct Trials(Pictures);

impl Trials {
    pub fn new(analysis: &Analysis, space: &Space) -> Known<Self> {
        let pictures = Pictures::new(analysis, space);
        pictures.map(Self).map_err(|error| refused(&[], &error))
    }

    /// A copy with edits made.
    pub fn of(&self, edits: &[Edit]) -> Known<Trial> {
        let found = self.0.tried(edits);
        let found = found.map_err(|error| refused(edits, &error))?;
        let keyed = found
            .into_iter()
            .map(|finding| ((finding.check, finding.subject.id.clone()), finding));
        Ok(Trial(keyed.collect()))
    }

    /// What one check finds of one subject in a copy with edits made; spares the others.
    pub fn finding_of(&self, edits: &[Edit], key: &Key) -> Known<Option<Finding>> {
        let found = self.0.tried_one(edits, key.0, &key.1);
        found.map_err(|error| refused(edits, &error))
    }
}

impl Trial {
    /// Whether something is found that fails.
    pub fn fails(&self, key: &Key) -> bool {
        fails(self.0.get(key))
    }

    /// What fails.
    pub fn failing(&self) -> impl Iterator<Item = (&Key, &Finding)> {
        (self.0.iter()).filter(|(_, finding)| finding.verdict == Verdict::Fails)
    }

    /// Whether of all that is asked nothing fails or is tight.
    pub fn fits(&self, but: &[Key]) -> bool {
        self.unfit(but).next().is_none()
    }

    /// What fails or is tight of all that is asked.
    pub fn unfit<'a>(&'a self, but: &'a [Key]) -> impl Iterator<Item = &'a Key> {
        (self.0.iter())
            .filter(|(key, finding)| !but.contains(key) && !fits(Some(finding)))
            .map(|(key, _)| key)
    }

    /// One finding.
    pub fn finding(&self, key: &Key) -> Option<&Finding> {
        self.0.get(key)
    }

    /// The findings of a check.
    pub fn of_check(&self, check: &str) -> impl Iterator<Item = &Finding> {
        self.0
            .values()
            .filter(move |finding| finding.check == check)
    }
}

fn refused(edits: &[Edit], error: &EditError) -> Missing {
    let at = edits.first().map_or("", |edit| edit.at.as_str());
    let what = format!("a change that can be made: {error}");
    Missing::new(what, at, Means::Decide)
}

/// Whether a finding fails.
pub(crate) fn fails(finding: Option<&Finding>) -> bool {
    finding.is_some_and(|finding| finding.verdict == Verdict::Fails)
}

/// Whether a finding is neither one that fails nor a tight one.
pub(crate) fn fits(finding: Option<&Finding>) -> bool {
    finding.is_none_or(|finding| matches!(finding.verdict, Verdict::Fits | Verdict::Unknown))
}

/// A finding as what stops a thing.
pub(crate) fn stop(finding: &Finding) -> Stop {
    Stop {
        check: finding.check,
        label: finding.subject.label.clone(),
    }
}

/// What a check says of a finding's subject in a copy, with its numbers.
pub(crate) fn told(analysis: &Analysis, edits: &[Edit], finding: &Finding) -> String {
    let in_words = || {
        let edited = analysis.edited(edits).ok()?;
        let space = edited.space(finding.space.as_deref()?)?;
        finding_of(&edited, space, finding.check, &finding.subject.id)
    };
    in_words().map_or_else(String::new, |finding| finding.because.clone())
}
