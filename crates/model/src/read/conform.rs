//! Holds a document against the job's schema, collecting everything that differs.
//!
//! What comes of it serde takes without complaint. Each quantity is given a number: that is
//! its identity, so that two findings that rest on one measurement know it.

use std::borrow::Cow;
use std::ops::Range;

use units::Reading;

use crate::measured::read_as;
use crate::read::conformed::Conformed;
use crate::read::shape::{
    ListShape, QuantityShape, RequiredKey, Shape, ShapeAt, Shapes, TableShape,
};
use crate::read::tree::{Entry, Node, Tree};
use crate::read::{Problem, Problems, shown};
use crate::{MeasureNumber, Measurement};

/// Deeper nesting than any job has; a guard for the stack.
const DEPTH_MAX: usize = 32;

/// The longest id, in characters; it is printed on labels.
const ID_MAX: usize = 64;

/// Larger than any number of a house.
const NUMBER_MAX: f64 = 1e12;

type Known<'s> = dyn Fn(&str, &str) -> Option<(MeasureNumber, Reading)> + 's;

pub(crate) struct Conformer<'s> {
    shapes: &'static Shapes,
    problems: Problems,
    measurements: Vec<Measurement>,
    /// Number of the first measurement to be found.
    first: u32,
    /// The number of a path that still holds the same text, and what that reads as, for a part
    /// that is read again.
    known: Box<Known<'s>>,
}

impl<'s> Conformer<'s> {
    pub fn new() -> Self {
        Self::again(0, |_, _| None)
    }

    /// As [`Conformer::new`], for a part of a document that was read before: a path that
    /// still holds the same text keeps its number.
    pub fn again(
        first: u32,
        known: impl Fn(&str, &str) -> Option<(MeasureNumber, Reading)> + 's,
    ) -> Self {
        Self {
            shapes: Shapes::of_job(),
            problems: Problems::default(),
            measurements: Vec::new(),
            first,
            known: Box::new(known),
        }
    }

    pub fn finish(self) -> (Vec<Problem>, Vec<Measurement>) {
        (self.problems.into_vec(), self.measurements)
    }

    pub fn conform_root<'t>(&mut self, tree: &'t Tree) -> Conformed<'t> {
        self.conform(tree, self.shapes.root(), &mut String::new(), 0)
    }

    /// Conforms a part to a definition of the schema.
    pub fn conform_part<'t>(
        &mut self,
        tree: &'t Tree,
        definition: &str,
        path: &str,
    ) -> Conformed<'t> {
        let shape = self.shapes.definition(definition);
        self.conform(tree, shape, &mut path.to_owned(), 0)
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

    fn conform<'t>(
        &mut self,
        tree: &'t Tree,
        shape: ShapeAt,
        path: &mut String,
        depth: usize,
    ) -> Conformed<'t> {
        if depth > DEPTH_MAX {
            self.problem(
                path,
                tree.span.clone(),
                "nested too deeply".into(),
                format!("at most {DEPTH_MAX} levels"),
            );
            return Conformed::Nothing;
        }
        match self.shapes.get(shape) {
            Shape::Quantity(quantity) => self.quantity(tree, *quantity, path),
            Shape::Choice(choices) => self.choice(tree, choices, path),
            Shape::Table(table) => self.table(tree, table, path, depth),
            Shape::List(list) => self.list(tree, list, path, depth),
            Shape::Text => match &tree.node {
                Node::Text(text) => Conformed::Text(Cow::Borrowed(text)),
                _ => self.wrong_type(tree, "text in quotes", path),
            },
            Shape::Flag => match &tree.node {
                Node::Flag(flag) => Conformed::Flag(*flag),
                _ => self.wrong_type(tree, "true or false", path),
            },
            Shape::Whole => match &tree.node {
                Node::Integer(whole) if (0..=1_000_000).contains(whole) => Conformed::Whole(*whole),
                Node::Integer(whole) => {
                    self.problem(
                        path,
                        tree.span.clone(),
                        format!("{whole} is out of range"),
                        "a whole number from 0 to 1000000".into(),
                    );
                    Conformed::Nothing
                }
                _ => self.wrong_type(tree, "a whole number", path),
            },
            Shape::Number => match &tree.node {
                Node::Integer(whole) => Conformed::Whole(*whole),
                Node::Number(number) if is_usable(*number) => Conformed::Number(*number),
                Node::Number(number) => self.unusable(*number, tree, path, None),
                _ => self.wrong_type(tree, "a number", path),
            },
        }
    }

    fn wrong_type<'t>(&mut self, tree: &Tree, wanted: &str, path: &str) -> Conformed<'t> {
        let message = format!("this is {}, where {wanted} belongs", tree.kind());
        let accepted = wanted.trim_end_matches(',').to_owned();
        self.problem(path, tree.span.clone(), message, accepted);
        Conformed::Nothing
    }

    fn unusable<'t>(
        &mut self,
        number: f64,
        tree: &Tree,
        path: &str,
        accepted: Option<String>,
    ) -> Conformed<'t> {
        let message = format!("{number:e} is not a usable number");
        let bounds = || format!("a number between -{NUMBER_MAX:e} and {NUMBER_MAX:e}");
        let accepted = accepted.unwrap_or_else(bounds);
        self.problem(path, tree.span.clone(), message, accepted);
        Conformed::Nothing
    }

    fn quantity<'t>(
        &mut self,
        tree: &'t Tree,
        quantity: QuantityShape,
        path: &str,
    ) -> Conformed<'t> {
        let QuantityShape {
            kind,
            dimension,
            bare_unit,
        } = quantity;
        let text: Cow<'t, str> = match &tree.node {
            Node::Text(text) => text.into(),
            Node::Integer(whole) => whole.to_string().into(),
            Node::Number(number) if is_usable(*number) => number.to_string().into(),
            Node::Number(number) => {
                let wanted = bare_unit.is_empty().then(|| in_quotes(kind));
                return self.unusable(*number, tree, path, wanted);
            }
            _ => return self.wrong_type(tree, &in_quotes(kind), path),
        };
        // A path says what it is a quantity of: the same text there reads the same.
        if let Some((number, reading)) = (self.known)(path, &text) {
            return Conformed::Quantity(text, number, reading);
        }
        match read_as(&text, dimension, bare_unit) {
            Ok(reading) => {
                let number = self.first + self.measurements.len() as u32;
                self.measurements.push(Measurement {
                    path: path.to_owned(),
                    text: text.clone().into_owned(),
                    reading: reading.clone(),
                });
                Conformed::Quantity(text, MeasureNumber(number), reading)
            }
            Err(error) => {
                let quoted = matches!(tree.node, Node::Text(_));
                let span = tree
                    .span
                    .clone()
                    .map(|whole| inner_span(whole, &text, error.at, quoted));
                self.problem(path, span, error.message, error.accepted);
                Conformed::Nothing
            }
        }
    }

    fn choice<'t>(
        &mut self,
        tree: &'t Tree,
        choices: &[&'static str],
        path: &str,
    ) -> Conformed<'t> {
        let Node::Text(text) = &tree.node else {
            return self.wrong_type(tree, &format!("one of {}", listed(choices)), path);
        };
        if choices.contains(&text.as_str()) {
            return Conformed::Text(Cow::Borrowed(text));
        }
        let message = format!("`{}` is not known here", shown(text));
        let brief = Problem::at(path, message, "").placed(tree.place_of_text());
        self.problems.add(brief, |mut problem| {
            problem.accepted = format!("one of {}", listed(choices));
            problem
                .suggesting(text, choices.iter().copied())
                .placed(tree.place_of_text())
        });
        Conformed::Nothing
    }

    fn table<'t>(
        &mut self,
        tree: &'t Tree,
        table: &'static TableShape,
        path: &mut String,
        depth: usize,
    ) -> Conformed<'t> {
        let Node::Table(entries) = &tree.node else {
            return self.wrong_type(tree, "a table", path);
        };
        let mut conformed = Vec::with_capacity(entries.len());
        for entry in entries {
            let Some(part) = table.under(&entry.key) else {
                self.unknown_key(entry, table, path);
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
            conformed.push((entry.key.as_str(), value));
        }
        for RequiredKey { name, meaning } in &table.required {
            if tree.get(name).is_none() {
                let span = tree
                    .get("id")
                    .and_then(|entry| entry.value.span.clone())
                    .or_else(|| tree.span.clone());
                let mut accepted = format!("{name}: {meaning}");
                let shape = table.named(name).map(|at| self.shapes.get(at));
                if let Some(Shape::Choice(choices)) = shape {
                    accepted.push_str(&format!("; one of {}", listed(choices)));
                }
                self.problem(path, span, format!("`{name}` is missing"), accepted);
            }
        }
        Conformed::Table(conformed)
    }

    fn unknown_key(&mut self, entry: &Entry, table: &'static TableShape, path: &str) {
        let key = shown(&entry.key);
        let brief = Problem::at(joined(path, &key), format!("unknown key `{key}`"), "")
            .spanned(entry.key_span.clone());
        let home = self.home(path, &entry.key);
        self.problems.add(brief, |mut problem| {
            let names = &table.keys;
            problem.accepted = match &home {
                Some(home) => format!("here one of {}; {home}", listed(names)),
                None => format!("one of {}", listed(names)),
            };
            problem.suggesting(&entry.key, names.iter().copied())
        });
    }

    /// Where a list belongs that is written at the top.
    fn home(&self, path: &str, key: &str) -> Option<String> {
        if !path.is_empty() {
            None
        } else if self.shapes.is_list("Space", key) {
            Some(format!("[[space.{key}]] below the [[space]] that it is in"))
        } else if self.shapes.is_list("Catalogue", key) {
            Some(format!("[[kit.{key}]] in the catalogue"))
        } else {
            None
        }
    }

    fn list<'t>(
        &mut self,
        tree: &'t Tree,
        shape: &'static ListShape,
        path: &mut String,
        depth: usize,
    ) -> Conformed<'t> {
        let Node::List(parts) = &tree.node else {
            let wanted = match &tree.node {
                Node::Table(_) => "a list in square brackets, or a heading in two as [[item]],",
                _ => "a list in square brackets",
            };
            return self.wrong_type(tree, wanted, path);
        };
        if let Some(count) = shape.exact_count
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
            return Conformed::Nothing;
        }
        let mut list = Vec::with_capacity(parts.len());
        for (index, part) in parts.iter().enumerate() {
            let segment = match part.text_of("id") {
                Some(id) if can_be_id(id) => id.to_owned(),
                _ => index.to_string(),
            };
            list.push(self.inside(path, &segment, |this, path| {
                this.conform(part, shape.part(index), path, depth + 1)
            }));
        }
        Conformed::List(list)
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
