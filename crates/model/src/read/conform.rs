//! Holds a document against the job's schema, collecting everything that differs.
//!
//! Produces the JSON value that serde then takes without complaint. Each quantity
//! becomes `{ text, number }`: its number is its identity, so that two findings that
//! rest on one measurement know it.

use std::ops::Range;

use serde_json::{Map, Value, json};

use crate::measured::{KINDS, read_as};
use crate::read::tree::{Entry, Node, Tree};
use crate::read::{Problem, Problems, shown};
use crate::{MeasureNumber, Measurement};

/// Deeper nesting than any job has; a guard for the stack.
const DEPTH_MAX: usize = 32;

/// The longest id, in characters; it is printed on labels.
const ID_MAX: usize = 64;

/// Larger than any number of a house.
const NUMBER_MAX: f64 = 1e12;

type Known<'s> = dyn Fn(&str, &str) -> Option<MeasureNumber> + 's;

pub(crate) struct Conformer<'s> {
    schema: &'s Value,
    problems: Problems,
    measurements: Vec<Measurement>,
    /// Number of the first measurement to be found.
    first: u32,
    /// The number of a path that still holds the same text, for a part that is read again.
    known: Box<Known<'s>>,
}

impl<'s> Conformer<'s> {
    pub fn new(schema: &'s Value, first: u32) -> Self {
        Self {
            schema,
            problems: Problems::default(),
            measurements: Vec::new(),
            first,
            known: Box::new(|_, _| None),
        }
    }

    /// As [`Conformer::new`], for a part of a document that was read before: a path that
    /// still holds the same text keeps its number.
    pub fn again(
        schema: &'s Value,
        first: u32,
        known: impl Fn(&str, &str) -> Option<MeasureNumber> + 's,
    ) -> Self {
        Self {
            known: Box::new(known),
            ..Self::new(schema, first)
        }
    }

    pub fn finish(self) -> (Vec<Problem>, Vec<Measurement>) {
        (self.problems.into_vec(), self.measurements)
    }

    pub fn conform_root(&mut self, tree: &Tree) -> Value {
        self.conform(tree, self.schema, &mut String::new(), 0)
    }

    /// Conforms a part to a definition of the schema.
    pub fn conform_part(&mut self, tree: &Tree, definition: &str, path: &str) -> Value {
        let schema = &self.schema["$defs"][definition];
        self.conform(tree, schema, &mut path.to_owned(), 0)
    }

    fn problem(
        &mut self,
        path: &str,
        span: Option<Range<usize>>,
        message: String,
        accepted: String,
    ) {
        self.problems
            .push(Problem::at(path, message, accepted).spanned(span));
    }

    fn conform(
        &mut self,
        tree: &Tree,
        schema: &'s Value,
        path: &mut String,
        depth: usize,
    ) -> Value {
        if depth > DEPTH_MAX {
            self.problem(
                path,
                tree.span.clone(),
                "nested too deeply".into(),
                format!("at most {DEPTH_MAX} levels"),
            );
            return Value::Null;
        }
        let schema = self.resolved(schema);
        if let Some(kind) = schema.get("x-kind").and_then(Value::as_str) {
            return self.quantity(tree, kind, path);
        }
        if let Some(choices) = choices(schema) {
            return self.choice(tree, &choices, path);
        }
        match type_of(schema) {
            "object" => self.table(tree, schema, path, depth),
            "array" => self.list(tree, schema, path, depth),
            "string" => match &tree.node {
                Node::Text(text) => Value::String(text.clone()),
                _ => self.wrong_type(tree, "text in quotes", path),
            },
            "boolean" => match &tree.node {
                Node::Flag(flag) => Value::Bool(*flag),
                _ => self.wrong_type(tree, "true or false", path),
            },
            "integer" => match &tree.node {
                Node::Integer(whole) if (0..=1_000_000).contains(whole) => json!(whole),
                Node::Integer(whole) => {
                    self.problem(
                        path,
                        tree.span.clone(),
                        format!("{whole} is out of range"),
                        "a whole number from 0 to 1000000".into(),
                    );
                    Value::Null
                }
                _ => self.wrong_type(tree, "a whole number", path),
            },
            "number" => match &tree.node {
                Node::Integer(whole) => json!(whole),
                Node::Number(number) if is_usable(*number) => json!(number),
                Node::Number(number) => self.unusable(*number, tree, path, None),
                _ => self.wrong_type(tree, "a number", path),
            },
            other => unreachable!("the job's schema has no type `{other}` (at {path})"),
        }
    }

    /// Follows `$ref`, and takes the one alternative that is not null.
    fn resolved(&self, mut schema: &'s Value) -> &'s Value {
        loop {
            if let Some(reference) = schema.get("$ref").and_then(Value::as_str) {
                let name = reference.trim_start_matches("#/$defs/");
                schema = &self.schema["$defs"][name];
            } else if let Some(alternatives) = schema.get("anyOf").and_then(Value::as_array) {
                let real = alternatives
                    .iter()
                    .find(|alternative| alternative.get("type") != Some(&json!("null")));
                schema = real.expect("an optional fact has a type");
            } else {
                return schema;
            }
        }
    }

    fn wrong_type(&mut self, tree: &Tree, wanted: &str, path: &str) -> Value {
        let message = format!("this is {}, where {wanted} belongs", tree.kind());
        let accepted = wanted.trim_end_matches(',').to_owned();
        self.problem(path, tree.span.clone(), message, accepted);
        Value::Null
    }

    fn unusable(
        &mut self,
        number: f64,
        tree: &Tree,
        path: &str,
        accepted: Option<String>,
    ) -> Value {
        let message = format!("{number:e} is not a usable number");
        let bounds = || format!("a number between -{NUMBER_MAX:e} and {NUMBER_MAX:e}");
        let accepted = accepted.unwrap_or_else(bounds);
        self.problem(path, tree.span.clone(), message, accepted);
        Value::Null
    }

    fn quantity(&mut self, tree: &Tree, kind: &str, path: &str) -> Value {
        let (_, dimension, bare_unit) = *KINDS
            .iter()
            .find(|(name, ..)| *name == kind)
            .expect("every x-kind of the schema comes from KINDS");
        let text = match &tree.node {
            Node::Text(text) => text.clone(),
            Node::Integer(whole) => whole.to_string(),
            Node::Number(number) if is_usable(*number) => number.to_string(),
            Node::Number(number) => {
                let wanted = bare_unit.is_empty().then(|| in_quotes(kind));
                return self.unusable(*number, tree, path, wanted);
            }
            _ => return self.wrong_type(tree, &in_quotes(kind), path),
        };
        match read_as(&text, dimension, bare_unit) {
            Ok(reading) => {
                let number = (self.known)(path, &text).unwrap_or_else(|| {
                    let number = self.first + self.measurements.len() as u32;
                    self.measurements.push(Measurement {
                        path: path.to_owned(),
                        text: text.clone(),
                        reading,
                    });
                    MeasureNumber(number)
                });
                json!({ "text": text, "number": number.0 })
            }
            Err(error) => {
                let quoted = matches!(tree.node, Node::Text(_));
                let span = tree
                    .span
                    .clone()
                    .map(|whole| inner_span(whole, &text, error.at, quoted));
                self.problem(path, span, error.message, error.accepted);
                Value::Null
            }
        }
    }

    fn choice(&mut self, tree: &Tree, choices: &[&'s str], path: &str) -> Value {
        let Node::Text(text) = &tree.node else {
            return self.wrong_type(tree, &format!("one of {}", listed(choices)), path);
        };
        if choices.contains(&text.as_str()) {
            return Value::String(text.clone());
        }
        let message = format!("`{}` is not known here", shown(text));
        let brief = Problem::at(path, message, "").placed(tree.place_of_text());
        self.problems.add(brief, |mut problem| {
            problem.accepted = format!("one of {}", listed(choices));
            problem
                .suggesting(text, choices.iter().copied())
                .placed(tree.place_of_text())
        });
        Value::Null
    }

    fn table(&mut self, tree: &Tree, schema: &'s Value, path: &mut String, depth: usize) -> Value {
        let Node::Table(entries) = &tree.node else {
            return self.wrong_type(tree, "a table", path);
        };
        let properties = schema.get("properties").and_then(Value::as_object);
        let others = schema
            .get("additionalProperties")
            .filter(|schema| schema.is_object());
        let mut object = Map::new();
        for entry in entries {
            let known = properties.and_then(|properties| properties.get(&entry.key));
            let Some(part) = known.or(others) else {
                self.unknown_key(entry, properties, path);
                continue;
            };
            let value = self.inside(path, &entry.key, |this, path| {
                this.conform(&entry.value, part, path, depth + 1)
            });
            if let ("id", Some(id)) = (entry.key.as_str(), value.as_str())
                && !can_be_id(id)
            {
                self.problem(
                    path,
                    entry.value.span.clone(),
                    format!("`{}` can't be an id", shown(id)),
                    format!(
                        "up to {ID_MAX} characters without spaces, dots or quotes, \
                         such as `left-surround`"
                    ),
                );
            }
            object.insert(entry.key.clone(), value);
        }
        for name in schema
            .get("required")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
        {
            if tree.get(name).is_none() {
                let span = tree
                    .get("id")
                    .and_then(|entry| entry.value.span.clone())
                    .or_else(|| tree.span.clone());
                let fact = properties.and_then(|properties| properties.get(name));
                let meaning = fact
                    .and_then(|fact| fact.get("description")?.as_str())
                    .unwrap_or_default()
                    .trim_end_matches('.');
                let mut accepted = format!("{name}: {meaning}");
                if let Some(choices) = fact.and_then(|fact| choices(self.resolved(fact))) {
                    accepted.push_str(&format!("; one of {}", listed(&choices)));
                }
                self.problem(path, span, format!("`{name}` is missing"), accepted);
            }
        }
        Value::Object(object)
    }

    fn unknown_key(
        &mut self,
        entry: &Entry,
        properties: Option<&'s Map<String, Value>>,
        path: &str,
    ) {
        let key = shown(&entry.key);
        let brief = Problem::at(joined(path, &key), format!("unknown key `{key}`"), "")
            .spanned(entry.key_span.clone());
        let home = self.home(path, &entry.key);
        self.problems.add(brief, |mut problem| {
            let names: Vec<&str> = properties
                .into_iter()
                .flat_map(Map::keys)
                .map(String::as_str)
                .collect();
            problem.accepted = match &home {
                Some(home) => format!("here one of {}; {home}", listed(&names)),
                None => format!("one of {}", listed(&names)),
            };
            problem.suggesting(&entry.key, names)
        });
    }

    /// Where a list belongs that is written at the top.
    fn home(&self, path: &str, key: &str) -> Option<String> {
        let holds = |definition: &str| {
            let list = &self.schema["$defs"][definition]["properties"][key];
            self.resolved(list)["type"] == "array"
        };
        if !path.is_empty() {
            None
        } else if holds("Space") {
            Some(format!("[[space.{key}]] below the [[space]] that it is in"))
        } else if holds("Catalogue") {
            Some(format!("[[kit.{key}]] in the catalogue"))
        } else {
            None
        }
    }

    fn list(&mut self, tree: &Tree, schema: &'s Value, path: &mut String, depth: usize) -> Value {
        let Node::List(parts) = &tree.node else {
            let wanted = match &tree.node {
                Node::Table(_) => "a list in square brackets, or a heading in two as [[item]],",
                _ => "a list in square brackets",
            };
            return self.wrong_type(tree, wanted, path);
        };
        let places = schema.get("prefixItems").and_then(Value::as_array);
        let count = places
            .map(Vec::len)
            .or_else(|| schema.get("minItems")?.as_u64().map(|count| count as usize));
        let exact = places.is_some() || schema.get("minItems") == schema.get("maxItems");
        if let (Some(count), true) = (count, exact)
            && parts.len() != count
        {
            self.problem(
                path,
                tree.span.clone(),
                match parts.len() {
                    1 => format!("this list has 1 part, where {count} belong"),
                    written => format!("this list has {written} parts, where {count} belong"),
                },
                format!("{count} parts in square brackets"),
            );
            return Value::Null;
        }
        let mut list = Vec::with_capacity(parts.len());
        for (index, part) in parts.iter().enumerate() {
            let schema = places
                .and_then(|places| places.get(index))
                .or_else(|| schema.get("items"))
                .expect("a list of the schema says what it holds");
            let segment = match part.text_of("id") {
                Some(id) if can_be_id(id) => id.to_owned(),
                _ => index.to_string(),
            };
            list.push(self.inside(path, &segment, |this, path| {
                this.conform(part, schema, path, depth + 1)
            }));
        }
        Value::Array(list)
    }

    fn inside<T>(
        &mut self,
        path: &mut String,
        segment: &str,
        visit: impl FnOnce(&mut Self, &mut String) -> T,
    ) -> T {
        let length = path.len();
        if !path.is_empty() {
            path.push('.');
        }
        path.push_str(segment);
        let result = visit(self, path);
        path.truncate(length);
        result
    }
}

fn is_usable(number: f64) -> bool {
    number.is_finite() && number.abs() <= NUMBER_MAX
}

fn in_quotes(kind: &str) -> String {
    let article = if kind.starts_with(['a', 'e', 'i']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {kind} in quotes")
}

/// Whether a text can name a thing: in a path, in a message, on a label.
pub(crate) fn can_be_id(text: &str) -> bool {
    !text.is_empty()
        && text.chars().nth(ID_MAX).is_none()
        && !text
            .chars()
            .any(|c| c.is_whitespace() || c.is_control() || matches!(c, '.' | '"' | '\''))
}

fn joined(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}.{key}")
    }
}

fn listed(names: &[&str]) -> String {
    names
        .iter()
        .map(|name| format!("`{name}`"))
        .collect::<Vec<_>>()
        .join(", ")
}

/// The words of an enumeration, with or without a description of each.
fn choices(schema: &Value) -> Option<Vec<&str>> {
    if let Some(words) = schema.get("enum").and_then(Value::as_array) {
        return Some(words.iter().filter_map(Value::as_str).collect());
    }
    let mut words = Vec::new();
    for alternative in schema.get("oneOf").and_then(Value::as_array)? {
        match alternative.get("const").and_then(Value::as_str) {
            Some(word) => words.push(word),
            None => words.extend(
                alternative
                    .get("enum")
                    .and_then(Value::as_array)?
                    .iter()
                    .filter_map(Value::as_str),
            ),
        }
    }
    Some(words)
}

fn type_of(schema: &Value) -> &str {
    match schema.get("type") {
        Some(Value::String(name)) => name,
        Some(Value::Array(names)) => names
            .iter()
            .filter_map(Value::as_str)
            .find(|name| *name != "null")
            .unwrap_or(""),
        _ => "",
    }
}

/// The bytes of a slip inside a quoted text. Escapes move the place within the quotes;
/// then the whole text is named instead.
fn inner_span(whole: Range<usize>, text: &str, at: Range<usize>, quoted: bool) -> Range<usize> {
    let quotes = if quoted { 2 } else { 0 };
    if whole.len() != text.len() + quotes || at.end > text.len() {
        return whole;
    }
    // A slip between two characters, or at the very end, still gets one to point at.
    let next = text[at.start..].chars().next().map_or(1, char::len_utf8);
    let start = whole.start + quotes / 2;
    start + at.start..(start + at.end).max(start + at.start + next).min(whole.end)
}
