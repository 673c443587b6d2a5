//! Brings a document's text to other facts, keeping what it can of comments and spelling.

use model::Edit;
use serde_json::Value;

use crate::StoreError;
use crate::document::path::{id, value_at};
use crate::document::{FactChange, differences, edited, facts};

/// The text with the changes made, and the edits by which. `wanted` is the document that the
/// changes stem from: it says behind which neighbour a part stands in a list whose order matters.
pub(crate) fn rewritten(
    text: &str,
    changes: &[FactChange],
    wanted: &Value,
) -> Result<(String, Vec<Edit>), StoreError> {
    let (mut text, mut made) = (text.to_owned(), Vec::new());
    for change in changes {
        let edits = edits(&*facts(&text)?, change, wanted);
        text = edited(&text, &edits)?;
        made.extend(edits);
    }
    Ok((text, made))
}

fn edits(now: &Value, change: &FactChange, wanted: &Value) -> Vec<Edit> {
    let Some(after) = &change.after else {
        return vec![change.edit()];
    };
    if let Some(old) = value_at(now, &change.at) {
        // A thing in a list can't be set as a whole in text, and fact by fact its comments stay.
        // Under its own key, which says whether a list's order matters.
        let key = change.at.rsplit('.').next().unwrap_or_default();
        let under_key = |value: &Value| serde_json::json!({ "x": { key: value } });
        let mut finer = differences(&under_key(old), &under_key(after));
        let root = format!("x.{key}");
        for change_within in &mut finer {
            let rest = change_within.at.strip_prefix(&root).unwrap_or_default();
            change_within.at = format!("{}{rest}", change.at);
        }
        return finer.iter().map(FactChange::edit).collect();
    }
    match inserted(now, change, after, wanted) {
        Some(list) => vec![list],
        None => vec![change.edit()],
    }
}

/// The edit that puts a part back in the midst of a list whose order matters.
fn inserted(now: &Value, change: &FactChange, after: &Value, wanted: &Value) -> Option<Edit> {
    let (list_at, _) = change.at.rsplit_once('.')?;
    let Value::Array(list) = value_at(now, list_at)? else {
        return None;
    };
    let key = list_at.rsplit('.').next()?;
    if !ORDERED.contains(&key) {
        return None;
    }
    let Value::Array(wanted) = value_at(wanted, list_at)? else {
        return None;
    };
    let own = wanted.iter().position(|part| id(part) == id(after))?;
    let place = wanted[..own]
        .iter()
        .rev()
        .find_map(|before| list.iter().position(|part| id(part) == id(before)))
        .map_or(0, |before| before + 1);
    if place == list.len() {
        return None;
    }
    let mut list = list.clone();
    list.insert(place, after.clone());
    Some(Edit::set(list_at, Value::Array(list)))
}

/// Lists of named things in which the order says something: walls follow each other around
/// the room.
const ORDERED: &[&str] = &["walls"];
