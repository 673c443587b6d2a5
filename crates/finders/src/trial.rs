//! What the checks of pictures say of a changed copy, by check and subject.

use std::collections::BTreeMap;

use analysis::{Analysis, Known, Means, Missing};
use checks::hanging::{finding_of, findings_of_pictures};
use checks::{Finding, Verdict};
use model::{Edit, Space};

use crate::region::Stop;

/// A finding's check and subject.
pub(crate) type Key = (&'static str, String);

/// What was found of a copy.
pub(crate) struct Trial(BTreeMap<Key, Finding>);

impl Trial {
    /// A copy with edits made.
    pub fn of(analysis: &Analysis, space: &Space, edits: &[Edit]) -> Known<Self> {
        let tried = tried(analysis, edits)?;
        let space = tried.space(&space.id).unwrap_or(space);
        let found = findings_of_pictures(&tried, space);
        let keyed = found
            .into_iter()
            .map(|finding| ((finding.check, finding.subject.id.clone()), finding));
        Ok(Self(keyed.collect()))
    }

    /// What one check finds of one subject in a copy with edits made; spares the others.
    pub fn finding_of(
        analysis: &Analysis,
        space: &Space,
        edits: &[Edit],
        key: &Key,
    ) -> Known<Option<Finding>> {
        let tried = tried(analysis, edits)?;
        let space = tried.space(&space.id).unwrap_or(space);
        Ok(finding_of(&tried, space, key.0, &key.1))
    }

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

fn tried(analysis: &Analysis, edits: &[Edit]) -> Known<Analysis> {
    analysis.tried(edits).map_err(|error| {
        let at = edits.first().map_or("", |edit| edit.at.as_str());
        let what = format!("a change that can be made: {error}");
        Missing::new(what, at, Means::Decide)
    })
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
    in_words().map_or_else(String::new, |finding| finding.because)
}
