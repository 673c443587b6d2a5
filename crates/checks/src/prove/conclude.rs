//! Findings in order, counted.

use std::collections::BTreeMap;

use analysis::Analysis;

use super::{Counts, Proof};
use crate::measure_again::measure_again;
use crate::{Area, Finding, Verdict};

pub(super) fn conclude(analysis: &Analysis, mut findings: Vec<Finding>) -> Proof {
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
