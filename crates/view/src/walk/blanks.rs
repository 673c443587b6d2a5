//! What is still to measure in a space, and how much hangs on it?

use std::collections::{BTreeMap, BTreeSet};

use analysis::{Analysis, Means};
use model::Space;

use super::Blank;
use crate::{FieldKind, document, fact, findings, schema};

/// Blank facts of a space and its items, those that decide most first.
pub(super) fn blanks(
    analysis: &Analysis,
    findings: &[&checks::Finding],
    space: &Space,
) -> Vec<Blank> {
    let mut blanks: Vec<Blank> = blanks_of(analysis, findings, space).into_values().collect();
    blanks.sort_by(|a, b| b.decides.cmp(&a.decides).then_with(|| a.at.cmp(&b.at)));
    blanks
}

/// The same by path.
pub(super) fn blanks_of(
    analysis: &Analysis,
    findings: &[&checks::Finding],
    space: &Space,
) -> BTreeMap<String, Blank> {
    let own = format!("space.{}", space.id);
    let items: BTreeSet<&str> = analysis
        .items_in(space)
        .map(|item| item.id.as_str())
        .collect();
    let is_here = |at: &str| {
        let of_space = at == own
            || at
                .strip_prefix(&own)
                .is_some_and(|rest| rest.starts_with('.'));
        let mut parts = at.split('.');
        let of_item =
            parts.next() == Some("item") && parts.next().is_some_and(|id| items.contains(id));
        of_space || of_item
    };
    let mut blanks: BTreeMap<String, Blank> = BTreeMap::new();
    let mut keys: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for finding in findings {
        for missing in &finding.needs {
            if missing.means == Means::OutsideModel || !is_here(&missing.at) {
                continue;
            }
            blanks.entry(missing.at.clone()).or_insert_with(|| Blank {
                what: crate::words::capital(&missing.what),
                at: missing.at.clone(),
                tool: missing.means.tool(),
                decides: 0,
                findings: Vec::new(),
            });
            let waiting = keys.entry(missing.at.clone()).or_default();
            waiting.insert(findings::key(finding));
        }
    }
    for (at, keys) in keys {
        if let Some(blank) = blanks.get_mut(&at) {
            blank.decides = keys.len();
            blank.findings = keys.into_iter().collect();
        }
    }
    for (at, what) in marked(analysis, space) {
        let tool = tool(&at);
        blanks.entry(at.clone()).or_insert_with(|| Blank {
            what,
            at,
            tool,
            decides: 0,
            findings: Vec::new(),
        });
    }
    blanks
}

/// Facts of the space and its items that stand as `?`, and walls without a length.
fn marked(analysis: &Analysis, space: &Space) -> Vec<(String, String)> {
    let job = analysis.job();
    let mut facts = Vec::new();
    let document = serde_json::to_value(space).unwrap_or_default();
    document::leaves(&document, &format!("space.{}", space.id), &mut facts);
    for item in analysis.items_in(space) {
        let document = serde_json::to_value(item).unwrap_or_default();
        document::leaves(&document, &format!("item.{}", item.id), &mut facts);
    }
    let walls = space.walls.iter().filter(|wall| wall.length.is_none());
    let walls = walls.map(|wall| format!("space.{}.walls.{}.length", space.id, wall.id));
    (facts.into_iter())
        .filter(|(_, text)| text.trim() == "?")
        .map(|(at, _)| at)
        .chain(walls)
        .map(|at| {
            let what = fact::name_of(job, &at);
            (at, what)
        })
        .collect()
}

/// What a blank fact is got with, by where it stands.
fn tool(at: &str) -> &'static str {
    let means = match schema::node(at).map(schema::Node::kind) {
        _ if at.contains(".construction.") => Means::StudFinder,
        Some(FieldKind::Length | FieldKind::Angle | FieldKind::Area) => Means::Tape,
        Some(FieldKind::Illuminance) => Means::LightMeter,
        Some(FieldKind::Temperature) => Means::Thermometer,
        Some(FieldKind::Level) => Means::SoundLevelMeter,
        _ => Means::Look,
    };
    means.tool()
}
