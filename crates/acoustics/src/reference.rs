//! The values from outside the project that the engines are held to.

use units::Reference;

use crate::{
    air, arrival, coverage, crossover, direction, isolation, layout, level, listening_room, modes,
    noise, piston, reverberation, speech,
};

/// Every reference value of the crate, topic by topic.
pub fn references() -> Vec<Reference> {
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
        speech::REFERENCES,
        isolation::REFERENCES,
    ]
    .into_iter()
    .flatten()
    .copied()
    .collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_published_value_holds() {
        let broken: Vec<String> = references()
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
        for reference in references() {
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
