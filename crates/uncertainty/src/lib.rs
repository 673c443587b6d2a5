//! Numbers that know which measurements they came from.
//!
//! An [`Uncertain`] is a value with its uncertainty budget: for every independent
//! source of error, the share of standard uncertainty that it contributes,
//! `u_i(y) = (∂f/∂x_i) u(x_i)` (JCGM 100:2008 §5.1.3). Two numbers that stem from one
//! measurement share its entry, so the correlated law of propagation (§5.2) holds
//! without any covariance being written down: the same wall length met twice cancels
//! where it cancels.
//!
//! Elementary operations carry exact derivatives (forward-mode dual numbers, sparse).
//! Engine functions stay plain `f64`; [`through`] differentiates them over their few
//! direct arguments and applies the chain rule. Re-running a whole job once per
//! measurement was the alternative; it costs a run for each of some hundred
//! measurements, where this costs a few nanoseconds an operation.
//!
//! First order only: where a formula bends within the uncertainty of its inputs
//! (a clearance that changes its nearest edge, an angle at its turning point) the
//! result is the slope of the branch that is active at the measured values.

mod function;
mod operators;
mod vector;

use std::cmp::Ordering;

pub use function::{through, through_many};
pub use vector::{Vector2, Vector3};

/// Identifies one independent source of uncertainty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// A value and what each source of uncertainty contributes to it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Uncertain {
    value: f64,
    /// Sorted by source; `u_i(y)`, signed, in the value's own unit.
    budget: Vec<(SourceId, f64)>,
}

impl Uncertain {
    /// A number without uncertainty. Costs no allocation.
    pub const fn exact(value: f64) -> Self {
        Self {
            value,
            budget: Vec::new(),
        }
    }

    /// A measured number with its standard uncertainty (one σ, same unit).
    pub fn measured(value: f64, standard_uncertainty: f64, source: SourceId) -> Self {
        let budget = if standard_uncertainty > 0.0 {
            vec![(source, standard_uncertainty)]
        } else {
            Vec::new()
        };
        Self { value, budget }
    }

    /// The best estimate.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// Each source's signed contribution to the standard uncertainty.
    pub fn budget(&self) -> &[(SourceId, f64)] {
        &self.budget
    }

    /// The combined standard uncertainty, one σ (JCGM 100:2008 eq. 10).
    pub fn standard_uncertainty(&self) -> f64 {
        self.budget.iter().map(|(_, u)| u * u).sum::<f64>().sqrt()
    }

    /// Covariance with another number, from the sources that both share
    /// (JCGM 100:2008 §F.1.2.3).
    pub fn covariance(&self, other: &Self) -> f64 {
        let mut sum = 0.0;
        merge(&self.budget, &other.budget, |_, a, b| sum += a * b);
        sum
    }

    /// `value` with the budget of `Σ weight · part`: the chain rule in one place.
    pub fn combined(value: f64, parts: &[(f64, &Uncertain)]) -> Self {
        if parts.len() > MANY {
            return Self {
                value,
                budget: sorted_sum(parts),
            };
        }
        // Two buffers take turns: a result of many parts costs two allocations, not one a part.
        let (mut budget, mut sum) = (Vec::new(), Vec::new());
        for (weight, part) in parts {
            if *weight == 0.0 || part.budget.is_empty() {
                continue;
            }
            sum.clear();
            sum.reserve(budget.len() + part.budget.len());
            if budget.is_empty() {
                sum.extend(part.budget.iter().map(|(id, u)| (*id, weight * u)));
            } else {
                merge(&budget, &part.budget, |id, a, b| {
                    sum.push((id, a + weight * b))
                });
            }
            std::mem::swap(&mut budget, &mut sum);
        }
        Self { value, budget }
    }
}

impl From<f64> for Uncertain {
    fn from(value: f64) -> Self {
        Self::exact(value)
    }
}

/// With more parts than this, sorting all shares at once is faster than merging in turn.
const MANY: usize = 40;

/// As merging in turn does: the shares of each source are added in the order of the parts.
fn sorted_sum(parts: &[(f64, &Uncertain)]) -> Vec<(SourceId, f64)> {
    let mut shares: Vec<(SourceId, f64)> = (parts.iter())
        .filter(|(weight, _)| *weight != 0.0)
        .flat_map(|(weight, part)| part.budget.iter().map(move |(id, u)| (*id, weight * u)))
        .collect();
    // Stable: equal sources stay in the order of the parts.
    shares.sort_by_key(|(id, _)| *id);
    let mut budget: Vec<(SourceId, f64)> = Vec::new();
    for (id, u) in shares {
        match budget.last_mut() {
            Some((last, sum)) if *last == id => *sum += u,
            _ => budget.push((id, u)),
        }
    }
    budget
}

/// Walks two sorted budgets together; a missing entry counts as zero.
fn merge(
    left: &[(SourceId, f64)],
    right: &[(SourceId, f64)],
    mut visit: impl FnMut(SourceId, f64, f64),
) {
    let (mut i, mut j) = (0, 0);
    while let (Some((a, u)), Some((b, v))) = (left.get(i), right.get(j)) {
        match a.cmp(b) {
            Ordering::Equal => {
                visit(*a, *u, *v);
                i += 1;
                j += 1;
            }
            Ordering::Less => {
                visit(*a, *u, 0.0);
                i += 1;
            }
            Ordering::Greater => {
                visit(*b, 0.0, *v);
                j += 1;
            }
        }
    }
    left[i..].iter().for_each(|(a, u)| visit(*a, *u, 0.0));
    right[j..].iter().for_each(|(b, v)| visit(*b, 0.0, *v));
}

#[cfg(test)]
mod tests;
