//! A document as a tree that knows where each part was written.

use std::collections::HashMap;
use std::ops::Range;
use std::ptr;

use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::read::syntax;
use crate::read::{Problem, guard};

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
    /// Parses a TOML document; of what is no TOML the first slip is reported, since the
    /// parser takes what follows a lost quote or bracket for slips too.
    pub fn parse(text: &str) -> Result<Self, Vec<Problem>> {
        if let Some(problem) = guard::problem(text) {
            return Err(vec![problem]);
        }
        let (table, errors) = DeTable::parse_recoverable(text);
        if errors.is_empty() {
            let span = Some(table.span());
            return Ok(Self {
                span,
                node: table_node(table.into_inner()),
            });
        }
        let mut broken = false;
        Err(errors
            .into_iter()
            .filter(|error| {
                let twice = error.message() == syntax::DUPLICATE;
                twice || !std::mem::replace(&mut broken, true)
            })
            .map(|error| syntax::problem(text, error.message(), error.span()))
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

    /// The bytes of a text, within its quotes where it stands there letter for letter.
    pub fn place_of_text(&self) -> Option<Place> {
        let Node::Text(text) = &self.node else {
            return None;
        };
        let span = self.span.clone()?;
        Some(if span.len() == text.len() + 2 {
            Place {
                span: span.start + 1..span.end - 1,
                quoted: false,
            }
        } else {
            Place { span, quoted: true }
        })
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

/// Where the parts of a tree were written, looked up by path.
///
/// A list or table is indexed when it is first asked for, so that as many look-ups as
/// there are elements still take no more than linear time.
pub(crate) struct Places<'t> {
    root: &'t Tree,
    indexes: HashMap<*const Tree, HashMap<&'t str, usize>>,
}

/// The bytes that a path leads to.
pub(crate) struct Place {
    pub span: Range<usize>,
    /// The span holds the quotes of a text too, because its inside is written in escapes.
    pub quoted: bool,
}

impl<'t> Places<'t> {
    pub fn new(root: &'t Tree) -> Self {
        let indexes = HashMap::new();
        Self { root, indexes }
    }

    /// The bytes of the deepest part of `path` that exists: a missing key's problem
    /// points at the table that lacks it. With `in_key`, the bytes of its last key.
    pub fn find(&mut self, path: &str, in_key: bool) -> Option<Place> {
        let mut here = self.root;
        let mut key_span = None;
        let mut depth = 0;
        for segment in path.split('.') {
            let Some(index) = self.index(here, segment) else {
                break;
            };
            (here, key_span) = match &here.node {
                Node::Table(entries) => (&entries[index].value, entries[index].key_span.clone()),
                Node::List(list) => (&list[index], None),
                _ => unreachable!("only tables and lists have an index"),
            };
            depth += 1;
        }
        if depth == 0 {
            return None;
        }
        if let (true, Some(span)) = (in_key, &key_span) {
            let span = span.clone();
            return Some(Place {
                span,
                quoted: false,
            });
        }
        match &here.node {
            Node::Table(_) => {
                let id = here
                    .get("id")
                    .and_then(|entry| entry.value.place_of_text())
                    .map(|place| place.span);
                let span = id.or(key_span).or_else(|| here.span.clone())?;
                Some(Place {
                    span,
                    quoted: false,
                })
            }
            Node::Text(_) => here.place_of_text(),
            _ => here.span.clone().map(|span| Place {
                span,
                quoted: false,
            }),
        }
    }

    fn index(&mut self, tree: &'t Tree, segment: &str) -> Option<usize> {
        let names = self
            .indexes
            .entry(ptr::from_ref(tree))
            .or_insert_with(|| names(tree));
        let by_name = names.get(segment).copied();
        by_name.or_else(|| match &tree.node {
            Node::List(list) => segment.parse().ok().filter(|index| *index < list.len()),
            _ => None,
        })
    }
}

/// The keys of a table or the ids in a list; of those used twice, the first.
fn names(tree: &Tree) -> HashMap<&str, usize> {
    let mut names = HashMap::new();
    match &tree.node {
        Node::Table(entries) => {
            for (index, entry) in entries.iter().enumerate() {
                names.entry(entry.key.as_str()).or_insert(index);
            }
        }
        Node::List(list) => {
            for (index, part) in list.iter().enumerate() {
                if let Some(id) = part.text_of("id") {
                    names.entry(id).or_insert(index);
                }
            }
        }
        _ => {}
    }
    names
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
