//! Which facts has a kind of kit, and how is each written?
//!
//! Both are read from the job's own schema, so a fact added there is a column here.

use serde_json::Value;
use units::Dimension;

/// One fact of a kind of kit that a column can hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// Its path in the entry: `mass`, `size.0`, `shift.up`.
    pub path: String,
    /// Its column's head; unique within its kind.
    pub label: String,
    /// What it is, for people.
    pub help: String,
    /// How a cell of it is read.
    pub sort: Sort,
}

/// How a cell is read.
#[derive(Clone, Debug, PartialEq)]
pub enum Sort {
    /// A quantity; `bare_unit` is what a bare number means, empty where it needs a unit.
    Quantity {
        /// Of what.
        dimension: Dimension,
        /// The unit of a bare number.
        bare_unit: &'static str,
    },
    /// A whole number.
    Whole,
    /// A plain number.
    Number,
    /// Yes or no.
    Flag,
    /// One of some words.
    Choice(Vec<String>),
    /// Several of some words.
    Choices(Vec<String>),
    /// Several pairs of quantities, across and up: `200 × 100 mm; 400 × 400 mm`.
    Pairs {
        /// Of what.
        dimension: Dimension,
        /// The unit of a bare number.
        bare_unit: &'static str,
    },
    /// Any text.
    Text,
    /// Where each fact was read: one text for all of a row, or `mass: page 2; size: page 3`.
    ReadFrom,
}

/// Every kind of kit, in the catalogue's order: `screen`, `projector`, …
pub fn kinds() -> Vec<String> {
    let schema = model::schema();
    (properties(&schema["$defs"]["Catalogue"]))
        .map(|(kind, _)| kind.to_owned())
        .collect()
}

/// The facts of a kind, in the order in which a spec sheet is filled in; none when there is no
/// such kind.
pub fn facts(kind: &str) -> Option<Vec<Fact>> {
    let schema = model::schema();
    let list = &schema["$defs"]["Catalogue"]["properties"].get(kind)?["items"];
    let mut facts = Vec::new();
    for (name, fact) in properties(resolved(&schema, list)) {
        add(&schema, fact, name.to_owned(), words(name), &mut facts);
    }
    Some(facts)
}

/// One fact, or each part of one that has parts.
fn add(schema: &Value, fact: &Value, path: String, label: String, facts: &mut Vec<Fact>) {
    let help = fact["description"].as_str().unwrap_or_default();
    let fact = resolved(schema, fact);
    let parts = fact["maxItems"]
        .as_u64()
        .filter(|most| fact["minItems"].as_u64() == Some(*most));
    if let Some(count) = parts {
        for (index, part) in part_words(&path, count).iter().enumerate() {
            let mut item = fact["items"].clone();
            item["description"] = help.into();
            add(
                schema,
                &item,
                format!("{path}.{index}"),
                format!("{label}, {part}"),
                facts,
            );
        }
        return;
    }
    if properties(fact).next().is_some() {
        for (name, part) in properties(fact) {
            add(
                schema,
                part,
                format!("{path}.{name}"),
                format!("{label}, {}", words(name)),
                facts,
            );
        }
        return;
    }
    facts.push(Fact {
        sort: sort(schema, fact, &path),
        help: help.replace('\n', " "),
        path,
        label,
    });
}

fn sort(schema: &Value, fact: &Value, path: &str) -> Sort {
    let kind = fact["x-kind"].as_str().and_then(model::quantity_kind);
    if let Some((dimension, bare_unit)) = kind {
        return Sort::Quantity {
            dimension,
            bare_unit,
        };
    }
    if path == "read_from" {
        return Sort::ReadFrom;
    }
    if let Some(words) = choices(fact) {
        return Sort::Choice(words);
    }
    match type_of(fact) {
        "integer" => Sort::Whole,
        "number" => Sort::Number,
        "boolean" => Sort::Flag,
        "array" => {
            let item = resolved(schema, &fact["items"]);
            match sort(schema, resolved(schema, &item["items"]), path) {
                Sort::Quantity {
                    dimension,
                    bare_unit,
                } => Sort::Pairs {
                    dimension,
                    bare_unit,
                },
                _ => Sort::Choices(choices(item).unwrap_or_default()),
            }
        }
        _ => Sort::Text,
    }
}

/// The words of an enumeration, in either spelling that the schema uses.
fn choices(fact: &Value) -> Option<Vec<String>> {
    let text = |value: &Value| value.as_str().map(str::to_owned);
    if let Some(list) = fact["enum"].as_array() {
        return list.iter().map(text).collect();
    }
    (fact["oneOf"].as_array()?.iter())
        .map(|choice| text(&choice["const"]))
        .collect()
}

/// Follows a reference, and looks past the `null` of a fact that may be left out.
fn resolved<'a>(schema: &'a Value, part: &'a Value) -> &'a Value {
    if let Some(name) = part["$ref"]
        .as_str()
        .and_then(|path| path.rsplit('/').next())
    {
        return resolved(schema, &schema["$defs"][name]);
    }
    match part["anyOf"].as_array() {
        Some(either) => (either.iter())
            .find(|one| one["type"] != "null")
            .map_or(part, |one| resolved(schema, one)),
        None => part,
    }
}

fn type_of(fact: &Value) -> &str {
    match &fact["type"] {
        Value::Array(types) => (types.iter().filter_map(Value::as_str))
            .find(|name| *name != "null")
            .unwrap_or_default(),
        other => other.as_str().unwrap_or_default(),
    }
}

fn properties(object: &Value) -> impl Iterator<Item = (&str, &Value)> {
    (object["properties"].as_object().into_iter().flatten())
        .map(|(name, value)| (name.as_str(), value))
}

/// `depth_behind` as "depth behind".
fn words(name: &str) -> String {
    name.replace('_', " ")
}

/// What the parts of a list of fixed length are called.
fn part_words(path: &str, count: u64) -> &'static [&'static str] {
    match (path, count) {
        ("throw", 2) => &["wide end", "long end"],
        ("resolution", 2) => &["across", "down"],
        ("focus", 2) => &["nearest", "farthest"],
        ("drop", 2) => &["shortest", "longest"],
        (_, 2) => &["across", "up"],
        // Octave bands from 63 Hz.
        (_, 8) => &[
            "63 Hz", "125 Hz", "250 Hz", "500 Hz", "1 kHz", "2 kHz", "4 kHz", "8 kHz",
        ],
        _ => &["width", "height", "depth"],
    }
}
