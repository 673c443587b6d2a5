//! The document as JSON, walked by paths.

use serde_json::Value;

/// What stands at a path below a value: keys, and ids or positions where a list is met.
pub(crate) fn at<'a>(value: &'a Value, path: &str) -> Option<&'a Value> {
    let mut here = value;
    for segment in path.split('.').filter(|segment| !segment.is_empty()) {
        here = match here {
            Value::Object(fields) => fields.get(segment)?,
            Value::Array(list) => element(list, segment)?,
            _ => return None,
        };
    }
    Some(here)
}

fn element<'a>(list: &'a [Value], segment: &str) -> Option<&'a Value> {
    let by_id = |value: &&Value| value.get("id").and_then(Value::as_str) == Some(segment);
    let by_position = || list.get(segment.parse::<usize>().ok()?);
    list.iter().find(by_id).or_else(by_position)
}

/// A scalar as it is written; tables and lists have none.
pub(crate) fn text(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        Value::Bool(true) => Some("yes".to_owned()),
        Value::Bool(false) => Some("no".to_owned()),
        Value::Null | Value::Array(_) | Value::Object(_) => None,
    }
}

/// Every scalar below a value with its path, in the document's order.
pub(crate) fn leaves(value: &Value, path: &str, into: &mut Vec<(String, String)>) {
    let below = |segment: &str| match path {
        "" => segment.to_owned(),
        _ => format!("{path}.{segment}"),
    };
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                leaves(value, &below(key), into);
            }
        }
        Value::Array(list) => {
            for (position, value) in list.iter().enumerate() {
                let id = value.get("id").and_then(Value::as_str);
                let segment = id.map_or_else(|| position.to_string(), str::to_owned);
                leaves(value, &below(&segment), into);
            }
        }
        scalar => into.extend(text(scalar).map(|text| (path.to_owned(), text))),
    }
}
