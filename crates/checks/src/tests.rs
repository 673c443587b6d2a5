//! Rules that hold for every check.

use std::collections::BTreeSet;

use analysis::Source;

use crate::{all, references};

#[test]
fn every_value_from_outside_is_met() {
    for (of, value) in references() {
        assert!(
            value.holds(),
            "{of}: off by {} {} ({})",
            value.error(),
            value.unit,
            value.cite
        );
    }
}

#[test]
fn a_published_source_brings_a_published_value() {
    for check in all() {
        let needs_value = matches!(check.source, Source::Published { .. });
        assert!(
            !needs_value || !check.published.is_empty(),
            "{} cites a work but checks no value of it",
            check.id
        );
    }
}

#[test]
fn no_id_is_used_twice() {
    let ids: BTreeSet<&str> = all().map(|check| check.id).collect();
    assert_eq!(ids.len(), all().count());
}

#[test]
fn every_limit_name_means_one_thing() {
    let mut seen = std::collections::BTreeMap::new();
    for limit in all().flat_map(|check| check.limits) {
        let known = seen.entry(limit.name).or_insert(limit);
        assert_eq!(known.value, limit.value, "{}", limit.name);
        assert_eq!(known.dimension, limit.dimension, "{}", limit.name);
    }
}

#[test]
fn limits_that_a_code_sets_are_those_of_the_rules() {
    let mut compared = 0;
    let limits = crate::all().flat_map(|check| check.limits.iter());
    for limit in limits {
        let Some(rule) = crate::rules::shipped_rule(limit.name) else {
            continue;
        };
        assert_eq!(limit.dimension, rule.dimension, "{}", limit.name);
        let off = limit.value / rule.value - 1.0;
        assert!(off.abs() < 1e-9, "{}: {}", limit.name, limit.value);
        compared += 1;
    }
    assert!(compared >= 12, "{compared}");
}
