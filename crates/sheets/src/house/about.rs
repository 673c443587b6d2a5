//! Which findings speak of a thing that is drawn, and what do they say to the crew?

use std::collections::BTreeSet;

use checks::{Caution, Finding, Verdict};
use model::Space;

use super::Set;

/// More sentences than this are not read on a ladder.
pub(super) const READ: usize = 8;

/// Why something fails or is tight.
#[derive(Clone)]
pub(super) struct Reason {
    /// The verdict's word; empty for a remark.
    pub verdict: &'static str,
    /// The finding's sentence.
    pub because: String,
}

/// A verdict in the drawings' own shapes.
pub(super) fn shape_of(verdict: Verdict) -> drawing::Verdict {
    match verdict {
        Verdict::Fails => drawing::Verdict::Fails,
        Verdict::Tight => drawing::Verdict::Tight,
        Verdict::Unknown => drawing::Verdict::Unknown,
        Verdict::Fits => drawing::Verdict::Fits,
    }
}

/// Whether a subject names a thing: alone, joined with others by `+`, or by a part of it after a point.
fn names(subject: &str, id: &str) -> bool {
    subject.split('+').any(|part| {
        part.strip_prefix(id)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    })
}

impl<'a> Set<'a> {
    /// Whether a finding speaks of a thing of a space. Names of items hold for the whole house, all others for their
    /// space alone.
    fn speaks_of(&self, finding: &Finding, space: &Space, id: &str) -> bool {
        let here = match &finding.space {
            Some(of) => *of == space.id,
            None => self.job().item(id).is_some(),
        };
        here && names(&finding.subject.id, id)
    }

    /// The worst verdict on a thing; none where nothing is proved of it.
    pub fn verdict(&self, space: &Space, id: &str) -> Option<drawing::Verdict> {
        let about = self
            .proof
            .findings
            .iter()
            .filter(|finding| self.speaks_of(finding, space, id));
        about.map(|finding| finding.verdict).min().map(shape_of)
    }

    /// Why things fail or are tight, worst first.
    pub fn reasons(&self, space: &Space, ids: &BTreeSet<&str>) -> Vec<Reason> {
        let mut reasons: Vec<Reason> = Vec::new();
        for verdict in [Verdict::Fails, Verdict::Tight] {
            let told = self.told(space, ids);
            for finding in told.filter(|finding| finding.verdict == verdict) {
                if reasons
                    .iter()
                    .all(|reason| reason.because != finding.because)
                {
                    reasons.push(Reason {
                        verdict: verdict.word(),
                        because: finding.because.clone(),
                    });
                }
            }
        }
        reasons
    }

    /// The dangers that come with things: what their findings and remedies say, and what is plain to see.
    pub fn cautions(
        &self,
        space: &Space,
        ids: &BTreeSet<&str>,
        seen: impl IntoIterator<Item = Caution>,
    ) -> Vec<String> {
        let mut cautions: BTreeSet<Caution> = seen.into_iter().collect();
        for finding in self.told(space, ids) {
            cautions.extend(cautions_of(finding));
        }
        caution_words(cautions)
    }

    /// Findings about any of these things, in the proof's order.
    fn told<'b>(
        &'b self,
        space: &'b Space,
        ids: &'b BTreeSet<&str>,
    ) -> impl Iterator<Item = &'a Finding> + 'b {
        let told = |finding: &&Finding| ids.iter().any(|id| self.speaks_of(finding, space, id));
        self.proof.findings.iter().filter(told)
    }
}

/// The first few reasons, never more than are read, and how many there are besides.
pub(super) fn first_reasons(reasons: &[Reason], count: usize) -> Vec<Reason> {
    let count = count.min(READ);
    let mut first: Vec<Reason> = reasons.iter().take(count).cloned().collect();
    if reasons.len() > first.len() {
        first.push(Reason {
            verdict: "",
            because: format!(
                "{} more on the findings sheet.",
                reasons.len() - first.len()
            ),
        });
    }
    first
}

/// Dangers of what a finding speaks of and of what would mend it.
pub(super) fn cautions_of(finding: &Finding) -> impl Iterator<Item = Caution> + '_ {
    let of_remedies = finding.remedies.iter().flat_map(|remedy| &remedy.cautions);
    finding.cautions.iter().chain(of_remedies).copied()
}

/// Each caution once, in one order on all sheets.
pub(super) fn caution_words(cautions: BTreeSet<Caution>) -> Vec<String> {
    cautions
        .into_iter()
        .map(|caution| caution.words().to_owned())
        .collect()
}
