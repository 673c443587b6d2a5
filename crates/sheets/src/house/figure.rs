//! How is a measured length printed at a dimension: in brackets, with a star, or plain?

use std::collections::BTreeSet;

use analysis::{Analysis, COVERAGE_FACTOR, Uncertain};
use checks::Proof;
use drawing::{Chain, Figure};
use units::Method;

/// Stops closer than this are one stop, m: no pencil parts them.
pub(super) const ONE_STOP_M: f64 = 0.005;
/// A measurement decides a figure when at least this share of its variance is its own.
const DECIDING_SHARE: f64 = 0.25;

/// Prints lengths of one proven job.
pub(super) struct Figures<'a> {
    analysis: &'a Analysis,
    /// Measurements that decide whether something tight fits.
    deciding: BTreeSet<&'a str>,
}

impl<'a> Figures<'a> {
    pub fn new(analysis: &'a Analysis, proof: &'a Proof) -> Self {
        let deciders = proof.findings.iter().flat_map(|finding| &finding.deciders);
        Self {
            analysis,
            deciding: deciders.map(|decider| decider.path.as_str()).collect(),
        }
    }

    /// A length as a dimension shows it.
    pub fn figure(&self, length: &Uncertain) -> Figure {
        let tape = Method::Tape.tolerance_m() / COVERAGE_FACTOR;
        let rough = length
            .budget()
            .iter()
            .any(|(_, part)| part.abs() > tape * 1.01);
        let variance = length.standard_uncertainty().powi(2);
        let decides = length.budget().iter().any(|(id, part)| {
            let path = match self.analysis.variable(*id) {
                analysis::VariableName::Measured { path, .. }
                | analysis::VariableName::Assumed { path, .. } => path,
            };
            part * part >= DECIDING_SHARE * variance && self.deciding.contains(path.as_str())
        });
        Figure {
            text: self.analysis.length(length),
            rough,
            decides,
        }
    }

    /// The pieces between stops in rising order; none when fewer than two stops are apart.
    pub fn chain(&self, mut stops: Vec<Uncertain>) -> Option<Chain> {
        stops.retain(|stop| stop.value().is_finite());
        stops.sort_by(|a, b| a.value().total_cmp(&b.value()));
        stops.dedup_by(|next, kept| next.value() - kept.value() < ONE_STOP_M);
        (stops.len() > 1).then(|| Chain {
            stops_m: stops.iter().map(Uncertain::value).collect(),
            figures: stops
                .windows(2)
                .map(|pair| self.figure(&(&pair[1] - &pair[0])))
                .collect(),
        })
    }
}
