//! The values from outside the project that the engines are held to.

use crate::{
    air, arrival, coverage, crossover, direction, layout, level, listening_room, modes, noise,
    piston, reverberation,
};

/// One value from a published, cited or independently computed source, and the
/// engine's own answer to the same question.
#[derive(Clone, Copy, Debug)]
pub struct Reference {
    /// The place, the case and the mark: `confirmed` (seen at the place named),
    /// `computed` (by the formula named, apart from this crate) or `from memory`.
    pub cite: &'static str,
    /// The engine's answer, in `unit`.
    pub computed: fn() -> f64,
    /// The source's answer, in `unit`.
    pub expected: f64,
    /// The largest difference that the source's printed digits or stated
    /// accuracy leave room for, in `unit`.
    pub tolerance: f64,
    /// The unit's symbol; `1` for a pure number.
    pub unit: &'static str,
}

impl Reference {
    /// Whether the engine's answer lies within the tolerance.
    pub fn holds(&self) -> bool {
        // Decimal limits such as 0.001 are not exact in binary.
        ((self.computed)() - self.expected).abs() <= self.tolerance * (1.0 + 1e-9)
    }
}

/// Every reference value of the crate, topic by topic.
pub fn published() -> Vec<&'static Reference> {
    [
        direction::REFERENCES,
        arrival::REFERENCES,
        layout::REFERENCES,
        listening_room::REFERENCES,
        reverberation::REFERENCES,
        air::REFERENCES,
        modes::REFERENCES,
        level::REFERENCES,
        noise::REFERENCES,
        piston::REFERENCES,
        crossover::REFERENCES,
        coverage::REFERENCES,
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_published_value_holds() {
        let broken: Vec<String> = published()
            .into_iter()
            .filter(|reference| !reference.holds())
            .map(|r| {
                format!(
                    "{}: {} against {} {}",
                    r.cite,
                    (r.computed)(),
                    r.expected,
                    r.unit
                )
            })
            .collect();
        assert!(broken.is_empty(), "{}", broken.join("\n"));
    }

    #[test]
    fn every_value_says_where_it_comes_from() {
        let mut seen = BTreeSet::new();
        for reference in published() {
            let marks = ["(confirmed)", "(computed)", "(from memory)"];
            assert!(
                marks.iter().any(|m| reference.cite.ends_with(m)),
                "{}",
                reference.cite
            );
            assert!(seen.insert(reference.cite), "twice: {}", reference.cite);
            assert!(reference.tolerance >= 0.0 && !reference.unit.is_empty());
        }
        assert!(seen.len() >= 45, "{}", seen.len());
    }

    #[test]
    fn a_wrong_value_does_not_hold() {
        let wrong = Reference {
            cite: "",
            computed: || 1.0,
            expected: 1.1,
            tolerance: 0.05,
            unit: "1",
        };
        assert!(!wrong.holds());
        assert!(
            !Reference {
                computed: || f64::NAN,
                ..wrong
            }
            .holds()
        );
    }
}
