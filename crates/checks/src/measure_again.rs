//! Which few measurements, taken or taken again, would settle the most findings?

use std::collections::BTreeMap;

use analysis::{Analysis, COVERAGE_FACTOR, Means, VariableName};
use uncertainty::SourceId;
use units::Method;

use crate::{Finding, Verdict};

/// A measurement worth taking before anything is ordered.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureAgain {
    /// What to measure.
    pub what: String,
    /// Where it stands, or belongs, in the document.
    pub path: String,
    /// What to take it with.
    pub tool: &'static str,
    /// Whether nobody has taken it yet.
    pub blank: bool,
    /// Findings that it would settle, as check and subject.
    pub settles: Vec<(&'static str, String)>,
}

/// Ranks measurements by how many undecided findings each would settle on its own.
///
/// A finding is undecided when the sign of its margin is within its uncertainty, or when
/// it is unknown. A length taken again is taken with a laser; a measurement settles a
/// finding when the margin's expanded uncertainty without it, and with the laser's in its
/// place, is smaller than the margin.
pub(crate) fn measure_again(analysis: &Analysis, findings: &[Finding]) -> Vec<MeasureAgain> {
    let mut by_path: BTreeMap<String, MeasureAgain> = BTreeMap::new();
    for finding in findings {
        if finding.verdict == Verdict::Unknown {
            for missing in finding
                .needs
                .iter()
                .filter(|missing| missing.means != Means::OutsideModel)
            {
                let entry = by_path
                    .entry(missing.at.clone())
                    .or_insert_with(|| MeasureAgain {
                        what: missing.what.clone(),
                        path: missing.at.clone(),
                        tool: missing.means.tool(),
                        blank: true,
                        settles: Vec::new(),
                    });
                entry
                    .settles
                    .push((finding.check, finding.subject.label.clone()));
            }
            continue;
        }
        let Some(margin) = &finding.margin else {
            continue;
        };
        let sigma = margin.standard_uncertainty();
        if margin.value().abs() > COVERAGE_FACTOR * sigma {
            continue;
        }
        for (id, share) in margin.budget() {
            let Some(better) = better_share(analysis, *id, *share) else {
                continue;
            };
            let remaining = (sigma * sigma - share * share + better * better)
                .max(0.0)
                .sqrt();
            if margin.value().abs() > COVERAGE_FACTOR * remaining {
                let (what, path) = described(analysis, *id);
                let entry = by_path.entry(path.clone()).or_insert_with(|| MeasureAgain {
                    what,
                    tool: means_of(&path).tool(),
                    path,
                    blank: false,
                    settles: Vec::new(),
                });
                entry
                    .settles
                    .push((finding.check, finding.subject.label.clone()));
            }
        }
    }
    let mut list: Vec<MeasureAgain> = by_path.into_values().collect();
    list.sort_by(|a, b| {
        b.settles
            .len()
            .cmp(&a.settles.len())
            .then_with(|| a.path.cmp(&b.path))
    });
    list
}

/// A source's contribution if it were measured as well as the best tool allows; `None`
/// where it is as good already, or no tool of the crew betters it.
fn better_share(analysis: &Analysis, id: SourceId, share: f64) -> Option<f64> {
    let laser = Method::Laser.tolerance_m() / COVERAGE_FACTOR;
    let sigma = analysis.standard_uncertainty_of(id)?;
    match analysis.variable(id) {
        // Four times as many places leave half of it open.
        VariableName::Measured { path, .. } if path.contains(".reverberation.") => {
            Some(share * 0.5)
        }
        VariableName::Measured { .. } => (laser < sigma).then(|| share * laser / sigma),
        // An assumption that is measured leaves a tenth of its spread, or the laser's.
        VariableName::Assumed { .. } => Some(share * 0.1),
    }
}

/// What a fact is taken with, by where it stands.
fn means_of(path: &str) -> Means {
    if path.starts_with("kit.") {
        Means::SpecSheet
    } else if path.contains(".finishes") || path.contains(".reverberation") {
        // What absorption tables leave open, a clap and a recording settle.
        Means::SoundLevelMeter
    } else if path.contains(".construction.") {
        Means::StudFinder
    } else {
        Means::Tape
    }
}

/// Words and path of a source of uncertainty.
pub(crate) fn described(analysis: &Analysis, id: SourceId) -> (String, String) {
    match analysis.variable(id) {
        VariableName::Measured { path, text } => {
            (format!("{} ({text})", analysis.fact_at(&path)), path)
        }
        VariableName::Assumed { what, path } => (what, path),
    }
}
