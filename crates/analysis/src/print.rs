//! Numbers in the job's own units, never finer than the survey supports.

use model::Units;
use units::{Dimension, Printer, System, step};

use crate::{Analysis, COVERAGE_FACTOR, Uncertain};

/// A value so near to its limit is at it.
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
        self.printer()
            .print(number.value(), dimension, Some(uncertainty))
    }

    /// A length, m.
    pub fn length(&self, number: &Uncertain) -> String {
        self.print(number, Dimension::Length)
    }

    /// A number beside its limit: where rounding would put it on the other side, or make
    /// both alike, it is told as under or over the limit.
    pub fn beside(&self, number: &Uncertain, limit: f64, dimension: Dimension) -> String {
        let told = self.print(number, dimension);
        if self.is_trial() {
            return told;
        }
        let printer = self.printer();
        let bound = printer.print(limit, dimension, None);
        let value = number.value();
        let uncertainty = COVERAGE_FACTOR * number.standard_uncertainty();
        let coarse = step(printer.system, dimension, Some(uncertainty));
        let rounded = (value / coarse).round() * coarse;
        // What the limit itself is rounded by hides in what is printed of it.
        let is_near = told == bound || (rounded - limit) * (value - limit) <= 0.0;
        let apart = (value - limit).abs();
        if !is_near || apart <= ROUNDING {
            return told;
        }
        let finest = step(printer.system, dimension, None);
        let just = if apart < finest { "just " } else { "" };
        let side = if value < limit { "under" } else { "over" };
        format!("{just}{side} {bound}")
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

#[cfg(test)]
mod tests {
    //! Rounding never puts a number on the other side of its limit.

    use std::sync::Arc;

    use uncertainty::SourceId;
    use units::Dimension;

    use crate::{Analysis, Uncertain};

    /// Lengths in mm beside a limit of 10 mm, with their standard uncertainty.
    fn beside(system: &str, value_mm: f64, uncertainty_mm: f64) -> String {
        let job = format!("format = 1\n[job]\nname = \"Den\"\nunits = \"{system}\"\n");
        let job = model::read(&job, &[]).expect("the job reads");
        let analysis = Analysis::new(Arc::new(job));
        let number = Uncertain::measured(value_mm / 1e3, uncertainty_mm / 1e3, SourceId(0));
        analysis.beside(&number, 0.010, Dimension::Length)
    }

    #[test]
    fn a_number_keeps_to_its_side_of_the_limit() {
        for (system, value_mm, uncertainty_mm, told) in [
            ("metric", 9.0, 0.0, "9 mm"),
            ("metric", 9.8, 0.0, "just under 10 mm"),
            ("metric", 10.0, 0.0, "10 mm"),
            ("metric", 10.3, 0.0, "just over 10 mm"),
            ("metric", 8.0, 10.0, "8 mm"),
            ("metric", 8.0, 20.0, "under 10 mm"),
            ("metric", 30.0, 20.0, "30 mm"),
            ("metric", 12.0, 20.0, "over 10 mm"),
            // To the next tenth of a metre it would be short of it.
            ("metric", 30.0, 200.0, "over 10 mm"),
            // 10 mm is told as 3/8 in, and so is what is a little less.
            ("imperial", 9.6, 0.0, "just under 3/8\u{2033}"),
            ("imperial", 6.4, 0.0, "1/4\u{2033}"),
            // To the next half inch it would be beyond.
            ("imperial", 9.6, 30.0, "just under 3/8\u{2033}"),
        ] {
            let found = beside(system, value_mm, uncertainty_mm);
            assert_eq!(found.replace('\u{202f}', " "), told);
        }
    }
}
