//! Applies edits to a document's text; comments, order and spelling elsewhere stay.

use serde_json::Value;
use toml_edit::{
    Array, ArrayOfTables, DocumentMut, InlineTable, Item, RawString, Table, Value as TomlValue,
};

use crate::edit::in_memory::is_list_of_elements;
use crate::edit::{Edit, EditError};
use crate::read::guard;

/// The text with the edits made.
pub fn edited_text(text: &str, edits: &[Edit]) -> Result<String, EditError> {
    let mut document = EditedText::read(text)?;
    document.make(edits)?;
    Ok(document.text())
}

/// A document's text with its comments, order and spelling, taken apart for edits.
#[derive(Debug)]
pub struct EditedText {
    document: DocumentMut,
    /// Whether its lines end as some editors end them.
    has_returns: bool,
    /// Whether it begins with the mark by which some editors know UTF-8.
    has_mark: bool,
}

const MARK: char = '\u{feff}';

impl EditedText {
    /// Takes a text apart.
    pub fn read(text: &str) -> Result<Self, EditError> {
        if let Some(problem) = guard::problem(text) {
            return Err(EditError::Unreadable(problem.message));
        }
        let document = text.parse().map_err(|error: toml_edit::TomlError| {
            EditError::Unreadable(error.message().to_owned())
        })?;
        Ok(Self {
            document,
            has_returns: text.contains("\r\n") && !text.replace("\r\n", "").contains('\n'),
            has_mark: text.starts_with(MARK),
        })
    }

    /// Makes edits. After one that can't be made, those before it are made.
    pub fn make(&mut self, edits: &[Edit]) -> Result<(), EditError> {
        for edit in edits {
            change(self.document.as_item_mut(), &edit.segments()?, edit)?;
        }
        Ok(())
    }

    /// The text as the edits leave it.
    pub fn text(&self) -> String {
        let mut text = self.document.to_string();
        if self.has_returns {
            text = text.replace("\r\n", "\n").replace('\n', "\r\n");
        }
        if self.has_mark && !text.starts_with(MARK) {
            text.insert(0, MARK);
        }
        text
    }
}

fn missing(edit: &Edit, segment: &str) -> EditError {
    EditError::NoSuchPlace {
        path: edit.at.clone(),
        segment: segment.to_owned(),
    }
}

fn change(item: &mut Item, segments: &[&str], edit: &Edit) -> Result<(), EditError> {
    let (segment, rest) = segments
        .split_first()
        .ok_or_else(|| missing(edit, &edit.at))?;
    match item {
        Item::Table(table) => in_table(table, segment, rest, edit),
        Item::ArrayOfTables(tables) => in_tables(tables, segment, rest, edit),
        Item::Value(value) => in_value(value, segment, rest, edit),
        Item::None => Err(missing(edit, segment)),
    }
}

fn in_table(table: &mut Table, segment: &str, rest: &[&str], edit: &Edit) -> Result<(), EditError> {
    if rest.is_empty() {
        return match &edit.set {
            None => match taken_out(table, segment) {
                true => Ok(()),
                false => Err(missing(edit, segment)),
            },
            Some(value) => write(table.entry(segment).or_insert(Item::None), value, edit),
        };
    }
    if !table.contains_key(segment) {
        table.insert(segment, absent(segment, rest, edit)?);
    }
    change(&mut table[segment], rest, edit)
}

/// Takes a fact away, whether it was there; what somebody wrote above or behind it stays, as lines
/// of its own.
fn taken_out(table: &mut Table, key: &str) -> bool {
    let comments = table.get_key_value(key).map(|(key, item)| {
        let above = key.leaf_decor().prefix().and_then(RawString::as_str);
        let behind = (item.as_value()).and_then(|value| value.decor().suffix()?.as_str());
        let lines = above
            .unwrap_or("")
            .lines()
            .chain(behind.unwrap_or("").lines());
        lines
            .map(str::trim)
            .filter(|line| line.starts_with('#'))
            .map(|line| format!("{line}\n"))
            .collect::<String>()
    });
    let keys: Vec<String> = table.iter().map(|(key, _)| key.to_owned()).collect();
    let Some(at) = keys.iter().position(|one| one == key) else {
        return false;
    };
    table.remove(key);
    let comments = comments.unwrap_or_default();
    if comments.is_empty() {
        return true;
    }
    // Above the next fact, else behind the last one.
    let is_value = |table: &Table, key: &String| table.get(key).is_some_and(Item::is_value);
    if let Some(next) = keys[at + 1..].iter().find(|key| is_value(table, key))
        && let Some(mut next) = table.key_mut(next)
    {
        let decor = next.leaf_decor_mut();
        let below = decor.prefix().and_then(RawString::as_str).unwrap_or("");
        decor.set_prefix(format!("{comments}{below}"));
    } else if let Some(last) = keys[..at].iter().rev().find(|key| is_value(table, key))
        && let Some(value) = table.get_mut(last).and_then(Item::as_value_mut)
    {
        let before = value
            .decor()
            .suffix()
            .and_then(RawString::as_str)
            .unwrap_or("");
        let suffix = format!("{before}\n{}", comments.trim_end());
        value.decor_mut().set_suffix(suffix);
    }
    true
}

/// What stands where an edit is the first to write below it.
fn absent(segment: &str, rest: &[&str], edit: &Edit) -> Result<Item, EditError> {
    let segments = edit.segments()?;
    let is_kit = segments.first() == Some(&"kit");
    let depth = segments.len() - rest.len() - 1;
    Ok(match depth {
        0 if is_kit => {
            // Its lists stand as `[[kit.projector]]`, without a head of their own.
            let mut kit = Table::new();
            kit.set_implicit(true);
            Item::Table(kit)
        }
        1 if is_kit => Item::ArrayOfTables(ArrayOfTables::new()),
        _ if is_list_of_elements(segment) || is_top_list(segment) => {
            Item::ArrayOfTables(ArrayOfTables::new())
        }
        _ => Item::Value(TomlValue::InlineTable(InlineTable::new())),
    })
}

fn is_top_list(key: &str) -> bool {
    matches!(
        key,
        "space"
            | "item"
            | "cable"
            | "zone"
            | "circuit"
            | "pathway"
            | "spool"
            | "signal"
            | "activity"
    )
}

fn in_tables(
    tables: &mut ArrayOfTables,
    segment: &str,
    rest: &[&str],
    edit: &Edit,
) -> Result<(), EditError> {
    let place = tables.iter().enumerate().position(|(index, table)| {
        table.get("id").and_then(Item::as_str) == Some(segment) || segment == index.to_string()
    });
    match (place, rest, &edit.set) {
        (Some(place), [], None) => {
            tables.remove(place);
            Ok(())
        }
        (None, [], Some(Value::Object(fields))) => {
            let mut table = Table::new();
            for (key, value) in fields {
                table.insert(key, Item::Value(toml_value(value, edit)?));
            }
            tables.push(table);
            Ok(())
        }
        (Some(place), [], Some(Value::Object(fields))) => {
            let table = tables
                .get_mut(place)
                .expect("the place was found in this list");
            let is_gone = |key: &str| !fields.contains_key(key);
            let gone: Vec<String> = (table.iter())
                .map(|(key, _)| key.to_owned())
                .filter(|key| is_gone(key))
                .collect();
            for key in gone {
                table.remove(&key);
            }
            for (key, value) in fields {
                write(table.entry(key).or_insert(Item::None), value, edit)?;
            }
            Ok(())
        }
        (Some(place), [next, rest @ ..], _) => {
            let table = tables
                .get_mut(place)
                .expect("the place was found in this list");
            in_table(table, next, rest, edit)
        }
        _ => Err(missing(edit, segment)),
    }
}

fn in_value(
    value: &mut TomlValue,
    segment: &str,
    rest: &[&str],
    edit: &Edit,
) -> Result<(), EditError> {
    match value {
        TomlValue::InlineTable(table) => {
            if rest.is_empty() {
                match &edit.set {
                    None => table
                        .remove(segment)
                        .map(drop)
                        .ok_or_else(|| missing(edit, segment)),
                    Some(set) => {
                        let set = toml_value(set, edit)?;
                        match table.get_mut(segment) {
                            Some(old) => replace(old, set),
                            None => drop(table.insert(segment, set)),
                        }
                        Ok(())
                    }
                }
            } else {
                let next = table
                    .entry(segment)
                    .or_insert(TomlValue::InlineTable(InlineTable::new()));
                in_value(next, rest[0], &rest[1..], edit)
            }
        }
        TomlValue::Array(array) => in_array(array, segment, rest, edit),
        _ => Err(missing(edit, segment)),
    }
}

fn in_array(array: &mut Array, segment: &str, rest: &[&str], edit: &Edit) -> Result<(), EditError> {
    let place = array.iter().enumerate().position(|(index, part)| {
        part.as_inline_table()
            .and_then(|table| table.get("id"))
            .and_then(TomlValue::as_str)
            == Some(segment)
            || segment == index.to_string()
    });
    match (place, rest, &edit.set) {
        (Some(place), [], None) => {
            array.remove(place);
            Ok(())
        }
        (Some(place), [], Some(set)) => {
            let set = toml_value(set, edit)?;
            replace(
                array
                    .get_mut(place)
                    .expect("the place was found in this list"),
                set,
            );
            Ok(())
        }
        (Some(place), [next, rest @ ..], _) => in_value(
            array
                .get_mut(place)
                .expect("the place was found in this list"),
            next,
            rest,
            edit,
        ),
        (None, [], Some(set)) => {
            array.push(toml_value(set, edit)?);
            Ok(())
        }
        (None, ..) => Err(missing(edit, segment)),
    }
}

fn write(item: &mut Item, value: &Value, edit: &Edit) -> Result<(), EditError> {
    let value = toml_value(value, edit)?;
    match item {
        Item::Value(old) => replace(old, value),
        _ => *item = Item::Value(value),
    }
    Ok(())
}

/// Puts a value in another's place with the space and comment around it.
fn replace(old: &mut TomlValue, mut new: TomlValue) {
    *new.decor_mut() = old.decor().clone();
    *old = new;
}

fn toml_value(value: &Value, edit: &Edit) -> Result<TomlValue, EditError> {
    Ok(match value {
        Value::String(text) => TomlValue::from(text.as_str()),
        Value::Bool(flag) => TomlValue::from(*flag),
        Value::Number(number) => match number.as_i64() {
            Some(whole) => TomlValue::from(whole),
            None => TomlValue::from(number.as_f64().unwrap_or_default()),
        },
        Value::Array(list) => {
            let mut array = Array::new();
            for part in list {
                array.push(toml_value(part, edit)?);
            }
            TomlValue::Array(array)
        }
        Value::Object(fields) => {
            let mut table = InlineTable::new();
            for (key, part) in fields {
                table.insert(key, toml_value(part, edit)?);
            }
            TomlValue::InlineTable(table)
        }
        Value::Null => {
            return Err(EditError::Refused(format!(
                "nothing can be written at `{}`",
                edit.at
            )));
        }
    })
}
