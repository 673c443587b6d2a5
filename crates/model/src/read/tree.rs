//! A document as a tree that knows where each part was written.

use std::ops::Range;

use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::read::Problem;

/// A value and the bytes in which it was written; without a place if it never was text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tree {
    pub span: Option<Range<usize>>,
    pub node: Node,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Node {
    Text(String),
    Integer(i64),
    Number(f64),
    Flag(bool),
    /// A date, which no fact of a job is.
    Date(String),
    List(Vec<Tree>),
    Table(Vec<Entry>),
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Entry {
    pub key: String,
    pub key_span: Option<Range<usize>>,
    pub value: Tree,
}

impl Tree {
    /// Parses a TOML document; every syntax error is reported, not the first alone.
    pub fn parse(text: &str) -> Result<Self, Vec<Problem>> {
        let (table, errors) = DeTable::parse_recoverable(text);
        if errors.is_empty() {
            let span = Some(table.span());
            return Ok(Self {
                span,
                node: table_node(table.into_inner()),
            });
        }
        Err(errors
            .into_iter()
            .map(|error| {
                Problem::at(
                    "",
                    error.message().to_owned(),
                    "a TOML document: `key = value` under `[table]` headings",
                )
                .spanned(error.span())
            })
            .collect())
    }

    /// The same tree from JSON, which carries no places.
    pub fn from_json(value: &Value) -> Self {
        let node = match value {
            Value::Null => Node::Text(String::new()),
            Value::Bool(flag) => Node::Flag(*flag),
            Value::Number(number) => match number.as_i64() {
                Some(integer) => Node::Integer(integer),
                None => Node::Number(number.as_f64().unwrap_or(f64::NAN)),
            },
            Value::String(text) => Node::Text(text.clone()),
            Value::Array(list) => Node::List(list.iter().map(Self::from_json).collect()),
            Value::Object(table) => Node::Table(
                table
                    .iter()
                    .filter(|(_, value)| !value.is_null())
                    .map(|(key, value)| Entry {
                        key: key.clone(),
                        key_span: None,
                        value: Self::from_json(value),
                    })
                    .collect(),
            ),
        };
        Self { span: None, node }
    }

    /// The entry of a table.
    pub fn get(&self, key: &str) -> Option<&Entry> {
        match &self.node {
            Node::Table(entries) => entries.iter().find(|entry| entry.key == key),
            _ => None,
        }
    }

    /// The text under a key.
    pub fn text_of(&self, key: &str) -> Option<&str> {
        match &self.get(key)?.value.node {
            Node::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The bytes of the deepest part of `path` that exists: a missing key's problem
    /// points at the table that lacks it.
    pub fn nearest_span(&self, path: &str) -> Option<Range<usize>> {
        let mut here = self;
        let mut span = None;
        for segment in path.split('.') {
            let next = match &here.node {
                Node::Table(_) => here
                    .get(segment)
                    .map(|entry| (&entry.value, entry.key_span.clone())),
                Node::List(list) => list
                    .iter()
                    .enumerate()
                    .find(|(index, tree)| {
                        tree.text_of("id") == Some(segment) || segment == index.to_string()
                    })
                    .map(|(_, tree)| (tree, None)),
                _ => None,
            };
            let Some((tree, key_span)) = next else { break };
            let id_span = || tree.get("id").and_then(|entry| entry.value.span.clone());
            span = match &tree.node {
                Node::Table(_) => id_span().or(key_span).or_else(|| tree.span.clone()),
                _ => tree.span.clone(),
            };
            here = tree;
        }
        span
    }

    /// What the value is called in a message.
    pub fn kind(&self) -> &'static str {
        match &self.node {
            Node::Text(_) => "text",
            Node::Integer(_) | Node::Number(_) => "a number",
            Node::Flag(_) => "true or false",
            Node::Date(_) => "a date",
            Node::List(_) => "a list",
            Node::Table(_) => "a table",
        }
    }
}

fn table_node(table: DeTable<'_>) -> Node {
    Node::Table(
        table
            .into_iter()
            .map(|(key, value)| {
                let key_span = Some(key.span());
                Entry {
                    key: key.into_inner().into_owned(),
                    key_span,
                    value: tree(value),
                }
            })
            .collect(),
    )
}

fn tree(value: Spanned<DeValue<'_>>) -> Tree {
    let span = Some(value.span());
    let node = match value.into_inner() {
        DeValue::String(text) => Node::Text(text.into_owned()),
        DeValue::Integer(integer) => match i64::from_str_radix(integer.as_str(), integer.radix()) {
            Ok(whole) => Node::Integer(whole),
            Err(_) => Node::Number(integer.as_str().parse().unwrap_or(f64::NAN)),
        },
        DeValue::Float(float) => Node::Number(float.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Boolean(flag) => Node::Flag(flag),
        DeValue::Datetime(date) => Node::Date(date.to_string()),
        DeValue::Array(list) => Node::List(list.into_iter().map(tree).collect()),
        DeValue::Table(table) => table_node(table),
    };
    Tree { span, node }
}
