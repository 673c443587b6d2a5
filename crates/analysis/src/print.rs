//! Numbers in the job's own units, never finer than the survey supports.

use model::Units;
use units::{Dimension, Printer, System};

use crate::{Analysis, COVERAGE_FACTOR, Uncertain};

/// Uncertainties below this are what rounding leaves of terms that cancel.
const ROUNDING: f64 = 1e-9;

impl Analysis {
    /// The printer of the job's units.
    pub fn printer(&self) -> Printer {
        let system = match self.units() {
            Units::Imperial => System::Imperial,
            Units::Metric => System::Metric,
        };
        Printer { system }
    }

    /// A number with its unit, to the digits that its uncertainty supports.
    ///
    /// Empty in a trial, whose sentences nobody reads.
    pub fn print(&self, number: &Uncertain, dimension: Dimension) -> String {
        if self.is_trial() {
            return String::new();
        }
        let uncertainty = COVERAGE_FACTOR * number.standard_uncertainty();
        self.printer().print(
            number.value(),
            dimension,
            (uncertainty > ROUNDING).then_some(uncertainty),
        )
    }

    /// A length, m.
    pub fn length(&self, number: &Uncertain) -> String {
        self.print(number, Dimension::Length)
    }

    /// A picture's diagonal, m, as the trade states it.
    pub fn diagonal(&self, value_m: f64) -> String {
        self.printer().print_diagonal(value_m)
    }

    /// An angle, rad.
    pub fn angle(&self, number: &Uncertain) -> String {
        self.print(number, Dimension::Angle)
    }

    /// An exact value with its unit. Empty in a trial, as with [`Analysis::print`].
    pub fn exact(&self, value: f64, dimension: Dimension) -> String {
        if self.is_trial() {
            return String::new();
        }
        self.printer().print(value, dimension, None)
    }
}
