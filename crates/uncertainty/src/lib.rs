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

mod budget;
mod function;
mod operators;
mod vector;

use budget::Budget;

pub use function::{through, through_many};
pub use vector::{Vector2, Vector3};

/// Identifies one independent source of uncertainty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// A value and what each source of uncertainty contributes to it. A copy shares the budget.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Uncertain {
    value: f64,
    budget: Budget,
}

impl Uncertain {
    /// A number without uncertainty. Costs no allocation.
    pub const fn exact(value: f64) -> Self {
        Self {
            value,
            budget: Budget::EMPTY,
        }
    }

    /// A measured number with its standard uncertainty (one σ, same unit).
    pub fn measured(value: f64, standard_uncertainty: f64, source: SourceId) -> Self {
        let budget = if standard_uncertainty > 0.0 {
            Budget::from_iter([(source, standard_uncertainty)])
        } else {
            Budget::EMPTY
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
        // The sum of nothing is −0.
        (self.budget.iter().map(|(_, u)| u * u).sum::<f64>() + 0.0).sqrt()
    }

    /// Covariance with another number, from the sources that both share
    /// (JCGM 100:2008 §F.1.2.3).
    pub fn covariance(&self, other: &Self) -> f64 {
        let mut sum = 0.0;
        budget::merge(&self.budget, &other.budget, |_, a, b| sum += a * b);
        sum
    }

    /// `value` with the budget of `Σ weight · part`: the chain rule in one place.
    pub fn combined(value: f64, parts: &[(f64, &Uncertain)]) -> Self {
        Self {
            value,
            budget: budget::combined(parts),
        }
    }
}

impl From<f64> for Uncertain {
    fn from(value: f64) -> Self {
        Self::exact(value)
    }
}

#[cfg(test)]
mod tests;
