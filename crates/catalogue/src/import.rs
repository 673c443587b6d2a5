//! Rows become catalogue entries, or are rejected with a reason that points at the cell.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::cell::{self, Unread};
use crate::fact::{Fact, Sort};
use crate::table::{Row, Table};

/// What a column holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Column {
    /// The column, from 0.
    pub index: usize,
    /// The fact's path; nothing leaves the column out.
    #[serde(default)]
    pub fact: Option<String>,
    /// The unit of its bare numbers.
    #[serde(default)]
    pub unit: Option<String>,
    /// The unit stands neither in the head nor in the cells.
    #[serde(default)]
    pub unit_is_guessed: bool,
}

/// One catalogue entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Entry {
    /// Its id.
    pub id: String,
    /// Its facts as the job file writes them, the id among them.
    pub facts: Map<String, Value>,
}

/// What came of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Imported {
    /// Good rows, in order.
    pub entries: Vec<Entry>,
    /// Bad ones.
    pub rejected: Vec<Rejected>,
}

/// Why a row is no entry; a row may have several reasons.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Rejected {
    /// The row's number as a spreadsheet counts.
    pub row: usize,
    /// The head of the column at fault; none for the row as a whole.
    pub column: Option<String>,
    /// What stands in the cell.
    pub text: String,
    /// What is wrong.
    pub reason: String,
    /// What would be accepted.
    pub accepted: String,
}

/// Reads every row of the table by the columns given. Columns beyond the table and facts that the
/// kind does not have are left out.
pub fn import(table: &Table, kind: &str, facts: &[Fact], columns: &[Column]) -> Imported {
    let used: Vec<(&Column, &Fact)> = (columns.iter())
        .filter(|column| column.index < table.heads.len())
        .filter_map(|column| {
            let path = column.fact.as_deref()?;
            Some((column, facts.iter().find(|fact| fact.path == path)?))
        })
        .collect();
    let mut imported = Imported::default();
    let mut row_of: BTreeMap<String, usize> = BTreeMap::new();
    for row in &table.rows {
        match entry(table, kind, &used, row) {
            Ok(entry) => match row_of.get(&entry.id) {
                Some(earlier) => imported.rejected.push(Rejected {
                    row: row.number,
                    column: head_of(table, &used, "id"),
                    text: entry.id.clone(),
                    reason: format!("row {earlier} has the same id"),
                    accepted: "an id that stands once".into(),
                }),
                None => {
                    row_of.insert(entry.id.clone(), row.number);
                    imported.entries.push(entry);
                }
            },
            Err(rejected) => imported.rejected.extend(rejected),
        }
    }
    imported
}

fn entry(
    table: &Table,
    kind: &str,
    used: &[(&Column, &Fact)],
    row: &Row,
) -> Result<Entry, Vec<Rejected>> {
    let mut tree = Map::new();
    let mut rejected = Vec::new();
    let mut read_from = None;
    for (column, fact) in used {
        let text = &row.cells[column.index];
        match cell::value(text, &fact.sort, column.unit.as_deref()) {
            Ok(None) => {}
            Ok(Some(_)) if fact.sort == Sort::ReadFrom => read_from = Some(text),
            Ok(Some(value)) => put(&mut tree, &fact.path, value),
            Err(Unread { reason, accepted }) => rejected.push(Rejected {
                row: row.number,
                column: Some(table.heads[column.index].clone()),
                text: text.clone(),
                reason,
                accepted,
            }),
        }
    }
    let id = id(&tree);
    let Some(id) = id else {
        rejected.push(Rejected {
            row: row.number,
            column: head_of(table, used, "id").or_else(|| head_of(table, used, "name")),
            text: String::new(),
            reason: "it has neither an id nor a name".into(),
            accepted: "a short name that no other entry has".into(),
        });
        return Err(rejected);
    };
    let mut facts = Map::from_iter([("id".to_owned(), Value::from(id.clone()))]);
    for (name, value) in tree {
        facts.insert(name.clone(), whole(&name, value));
    }
    if let Some(text) = read_from {
        facts.insert("read_from".into(), sources(text, &facts));
    }
    // A row with a bad cell is told of the rest too, once the bad cells are out.
    rejected.extend(problems(table, kind, used, row, &id, &facts));
    match rejected.is_empty() {
        true => Ok(Entry { id, facts }),
        false => Err(rejected),
    }
}

/// The id, or one made of the name.
fn id(tree: &Map<String, Value>) -> Option<String> {
    if let Some(id) = tree.get("id").and_then(Value::as_str) {
        return Some(id.to_owned());
    }
    let name = tree.get("name")?.as_str()?;
    let mut id = String::new();
    for letter in name.chars().flat_map(char::to_lowercase) {
        match letter {
            'a'..='z' | '0'..='9' => id.push(letter),
            _ if id.ends_with('-') || id.is_empty() => {}
            _ => id.push('-'),
        }
    }
    let id = id.trim_end_matches('-');
    (!id.is_empty()).then(|| id.to_owned())
}

/// Puts a value at a path of keys; parts of a list are gathered by their index.
fn put(tree: &mut Map<String, Value>, path: &str, value: Value) {
    match path.split_once('.') {
        None => {
            tree.insert(path.to_owned(), value);
        }
        Some((first, rest)) => {
            let inner = tree
                .entry(first)
                .or_insert_with(|| Value::Object(Map::new()));
            if let Value::Object(inner) = inner {
                put(inner, rest, value);
            }
        }
    }
}

/// Parts `0`, `1`, `2` as a list. A part without a figure is still to measure.
fn whole(name: &str, value: Value) -> Value {
    let Value::Object(parts) = value else {
        return value;
    };
    if !parts.keys().all(|key| key.parse::<usize>().is_ok()) {
        return Value::Object(parts);
    }
    let count = if name == "size" { 3 } else { 2 };
    (0..count)
        .map(|index: usize| {
            (parts.get(&index.to_string()).cloned()).unwrap_or_else(|| Value::from("?"))
        })
        .collect()
}

/// `mass: page 2; size: page 3`, or one text for every fact.
fn sources(text: &str, facts: &Map<String, Value>) -> Value {
    let known: BTreeSet<&str> = (facts.keys().map(String::as_str))
        .filter(|name| !matches!(*name, "id" | "name"))
        .collect();
    let pairs: Option<Vec<(&str, &str)>> = (text.split(';'))
        .map(|pair| {
            let (fact, from) = pair.split_once(':')?;
            known
                .contains(fact.trim())
                .then_some((fact.trim(), from.trim()))
        })
        .collect();
    let pairs = pairs.unwrap_or_else(|| known.iter().map(|fact| (*fact, text)).collect());
    let pairs = pairs
        .into_iter()
        .map(|(fact, from)| (fact.to_owned(), Value::from(from)));
    Value::Object(pairs.collect())
}

/// What the job's own reader says of the entry, each at its column.
fn problems(
    table: &Table,
    kind: &str,
    used: &[(&Column, &Fact)],
    row: &Row,
    id: &str,
    facts: &Map<String, Value>,
) -> Vec<Rejected> {
    let document = serde_json::json!({
        "format": 1,
        "job": { "name": "one entry" },
        "kit": { kind: [facts] },
    });
    let text = toml::to_string(&document).expect("an entry is texts, numbers, lists and tables");
    let Err(problems) = model::read(&text, &[]) else {
        return Vec::new();
    };
    let before = format!("kit.{kind}.{id}.");
    (problems.into_iter())
        .map(|problem| {
            let path = problem.at.strip_prefix(&before).unwrap_or_default();
            let at = used.iter().find(|(_, fact)| {
                !path.is_empty()
                    && (fact.path == path
                        || fact.path.starts_with(&format!("{path}."))
                        || path.starts_with(&format!("{}.", fact.path)))
            });
            Rejected {
                row: row.number,
                column: at.map(|(column, _)| table.heads[column.index].clone()),
                text: at.map_or_else(String::new, |(column, _)| row.cells[column.index].clone()),
                reason: problem.message,
                accepted: problem.accepted,
            }
        })
        .collect()
}

fn head_of(table: &Table, used: &[(&Column, &Fact)], path: &str) -> Option<String> {
    (used.iter())
        .find(|(_, fact)| fact.path == path)
        .map(|(column, _)| table.heads[column.index].clone())
}
