//! Plain facts set in the place of plain facts, which is what most changes do: what the document
//! says with them is known without reading it again.

use model::Edit;
use serde_json::Value;

use crate::document::path::id;

/// The facts with the edits made, where each sets a text, whole number or flag in the place of
/// another. None otherwise: what comes of such edits is told by reading the edited text.
pub(crate) fn replaced(facts: &Value, edits: &[Edit]) -> Option<Value> {
    let mut facts = facts.clone();
    for edit in edits {
        let value = edit.set.as_ref().filter(|value| is_plain(value))?;
        let fact = fact_at(&mut facts, &edit.at)?;
        *fact = value.clone();
    }
    Some(facts)
}

/// Whether TOML has one way only to say it.
fn is_plain(value: &Value) -> bool {
    match value {
        Value::String(text) => !text.contains(char::is_control),
        Value::Number(number) => number.is_i64(),
        Value::Bool(_) => true,
        _ => false,
    }
}

/// A scalar that everything on the way to is named by keys and ids; an id itself is none, since
/// paths of other facts lead over it.
fn fact_at<'a>(facts: &'a mut Value, path: &str) -> Option<&'a mut Value> {
    let segments = || path.split('.');
    let by_place = |segment: &str| segment.bytes().all(|letter| letter.is_ascii_digit());
    if segments().any(by_place) || segments().next_back() == Some("id") {
        return None;
    }
    let fact = segments().try_fold(facts, |value, segment| match value {
        Value::Object(table) => table.get_mut(segment),
        Value::Array(list) => list.iter_mut().find(|part| id(part) == Some(segment)),
        _ => None,
    })?;
    let is_scalar = matches!(fact, Value::String(_) | Value::Number(_) | Value::Bool(_));
    is_scalar.then_some(fact)
}
