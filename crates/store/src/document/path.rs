//! Paths of facts: where one stands, and whether two touch.

use serde_json::Value;

/// Whether `inner` is `outer` or stands within it.
pub(crate) fn within(inner: &str, outer: &str) -> bool {
    inner
        .strip_prefix(outer)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// Whether a change of one is a change of the other.
pub(crate) fn touches(one: &str, other: &str) -> bool {
    within(one, other) || within(other, one)
}

/// The value at a path.
pub(crate) fn value_at<'a>(facts: &'a Value, path: &str) -> Option<&'a Value> {
    path.split('.')
        .try_fold(facts, |value, segment| match value {
            Value::Object(table) => table.get(segment),
            Value::Array(list) => list.iter().find(|part| id(part) == Some(segment)),
            _ => None,
        })
}

/// The id of a part of a list.
pub(super) fn id(part: &Value) -> Option<&str> {
    part.get("id").and_then(Value::as_str)
}

/// The ids of a list, if every part has one of its own that can stand in a path.
pub(super) fn ids(list: &[Value]) -> Option<Vec<&str>> {
    let ids: Vec<&str> = list.iter().map(id).collect::<Option<_>>()?;
    let mut sorted = ids.clone();
    sorted.sort_unstable();
    sorted.dedup();
    (sorted.len() == ids.len() && ids.iter().all(|id| plain(id))).then_some(ids)
}

/// Whether a key or id is one segment of a path.
pub(super) fn plain(segment: &str) -> bool {
    !segment.is_empty() && !segment.contains('.')
}
