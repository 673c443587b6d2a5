//! The one rule that turns a margin and its uncertainty into a verdict.

use analysis::{COVERAGE_FACTOR, Uncertain};
use serde::Serialize;

/// A margin this far below zero is what rounding leaves of an exact fit, SI.
const ROUNDING: f64 = 1e-9;

/// What a margin says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The margin is negative.
    Fails,
    /// The margin is not negative, but within its uncertainty or the check's comfort band.
    Tight,
    /// Something needed is not known.
    Unknown,
    /// The margin is larger than its uncertainty and the comfort band.
    Fits,
}

impl Verdict {
    /// The word that screens and sheets print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Fails => "fails",
            Self::Tight => "tight",
            Self::Unknown => "unknown",
            Self::Fits => "fits",
        }
    }

    /// The verdict on a margin. `comfort` is the margin below which a check calls a thing
    /// tight even when it is known exactly; zero where it has no such band.
    pub(crate) fn on(margin: &Uncertain, comfort: f64) -> Self {
        let expanded = COVERAGE_FACTOR * margin.standard_uncertainty();
        if margin.value() < -ROUNDING {
            Self::Fails
        } else if margin.value() > expanded && margin.value() >= comfort {
            Self::Fits
        } else {
            Self::Tight
        }
    }
}

#[cfg(test)]
mod tests {
    //! Both sides of each boundary of the rule.

    use uncertainty::SourceId;

    use super::*;

    fn margin(value: f64, expanded: f64) -> Uncertain {
        Uncertain::measured(value, expanded / COVERAGE_FACTOR, SourceId(0))
    }

    #[test]
    fn a_margin_beyond_its_uncertainty_fits() {
        assert_eq!(Verdict::on(&margin(0.0061, 0.006), 0.0), Verdict::Fits);
        assert_eq!(Verdict::on(&margin(0.0059, 0.006), 0.0), Verdict::Tight);
    }

    #[test]
    fn a_negative_margin_fails_however_uncertain() {
        assert_eq!(Verdict::on(&margin(-1e-8, 0.3), 0.0), Verdict::Fails);
        assert_eq!(Verdict::on(&margin(0.0, 0.3), 0.0), Verdict::Tight);
    }

    #[test]
    fn a_comfort_band_makes_a_known_margin_tight() {
        assert_eq!(Verdict::on(&margin(0.049, 0.001), 0.05), Verdict::Tight);
        assert_eq!(Verdict::on(&margin(0.05, 0.001), 0.05), Verdict::Fits);
    }

    #[test]
    fn nothing_to_spare_is_tight_even_when_exact() {
        assert_eq!(Verdict::on(&Uncertain::exact(0.0), 0.0), Verdict::Tight);
    }
}
