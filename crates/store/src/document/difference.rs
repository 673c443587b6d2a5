//! Which facts differ between two documents?

use serde_json::{Map, Value};

use crate::document::FactChange;
use crate::document::path::{ids, plain};

/// Every fact that differs, in the order of the later document, what went last.
pub(crate) fn differences(before: &Value, after: &Value) -> Vec<FactChange> {
    let mut found = Vec::new();
    compare("", before, after, &mut found);
    found
}

fn compare(at: &str, before: &Value, after: &Value, found: &mut Vec<FactChange>) {
    if before == after {
        return;
    }
    match (before, after) {
        (Value::Object(before), Value::Object(after)) if all_plain(before) && all_plain(after) => {
            tables(at, before, after, found);
        }
        (Value::Array(old), Value::Array(new)) => match (ids(old), ids(new)) {
            (Some(old_ids), Some(new_ids))
                if same_order(&old_ids, &new_ids)
                    && (!is_walk(at) || only_appended(&old_ids, &new_ids)) =>
            {
                for (id, part) in new_ids.iter().zip(new) {
                    let place = old_ids.iter().position(|known| known == id);
                    let was = place.map(|place| &old[place]);
                    one(&join(at, id), was, Some(part), found);
                }
                for (id, part) in old_ids.iter().zip(old) {
                    if !new_ids.contains(id) {
                        one(&join(at, id), Some(part), None, found);
                    }
                }
            }
            _ => whole(at, Some(before), Some(after), found),
        },
        _ => whole(at, Some(before), Some(after), found),
    }
}

fn tables(
    at: &str,
    before: &Map<String, Value>,
    after: &Map<String, Value>,
    found: &mut Vec<FactChange>,
) {
    for (key, value) in after {
        one(&join(at, key), before.get(key), Some(value), found);
    }
    for (key, value) in before {
        if !after.contains_key(key) {
            one(&join(at, key), Some(value), None, found);
        }
    }
}

fn one(at: &str, before: Option<&Value>, after: Option<&Value>, found: &mut Vec<FactChange>) {
    match (before, after) {
        (Some(before), Some(after)) => compare(at, before, after, found),
        // A list of named things that came or went did so thing by thing: two people who each
        // add the first of its kind add two things, not two lists.
        (None, Some(Value::Array(list))) if grows(at, list) => {
            compare(
                at,
                &Value::Array(Vec::new()),
                &Value::Array(list.clone()),
                found,
            );
        }
        (Some(Value::Array(list)), None) if grows(at, list) => {
            compare(
                at,
                &Value::Array(list.clone()),
                &Value::Array(Vec::new()),
                found,
            );
        }
        // A section that came or went did so fact by fact, for the same reason.
        (None, Some(Value::Object(_))) if section(at) => {
            compare(
                at,
                &Value::Object(Map::new()),
                after.unwrap_or(&Value::Null),
                found,
            );
        }
        (Some(Value::Object(_)), None) if section(at) => {
            compare(
                at,
                before.unwrap_or(&Value::Null),
                &Value::Object(Map::new()),
                found,
            );
        }
        _ => whole(at, before, after, found),
    }
}

fn section(at: &str) -> bool {
    ["kit", "site", "survey", "rates", "rules"].contains(&at)
}

/// Whether an edit of a part makes the list where there is none.
fn grows(at: &str, list: &[Value]) -> bool {
    let key = at.rsplit('.').next().unwrap_or_default();
    let top = [
        "space", "item", "cable", "zone", "circuit", "pathway", "spool", "signal", "activity",
    ]
    .contains(&at);
    let of_space = ["opening", "fixture", "soffit", "seat", "covering"].contains(&key);
    !list.is_empty() && (top || of_space) && ids(list).is_some()
}

fn whole(at: &str, before: Option<&Value>, after: Option<&Value>, found: &mut Vec<FactChange>) {
    found.push(FactChange {
        at: at.to_owned(),
        before: before.cloned(),
        after: after.cloned(),
    });
}

/// Whether what both lists have stands in the same order: walls follow each other.
fn same_order(old: &[&str], new: &[&str]) -> bool {
    let kept_old = old.iter().filter(|id| new.contains(id));
    let kept_new = new.iter().filter(|id| old.contains(id));
    kept_old.eq(kept_new)
}

/// Whether a list is a walk from wall to wall, in which each place counts.
fn is_walk(at: &str) -> bool {
    at.ends_with(".walls")
}

/// Whether what is new stands behind what was there: whoever makes the changes one by one puts
/// it there.
fn only_appended(old: &[&str], new: &[&str]) -> bool {
    let mut behind = new.iter().skip_while(|id| old.contains(id));
    behind.all(|id| !old.contains(id))
}

fn all_plain(table: &Map<String, Value>) -> bool {
    table.keys().all(|key| plain(key))
}

fn join(at: &str, segment: &str) -> String {
    if at.is_empty() {
        segment.to_owned()
    } else {
        format!("{at}.{segment}")
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn changed(before: &[&str], after: &[&str]) -> Vec<String> {
        let space = |walls: &[&str]| {
            let walls: Vec<Value> = walls.iter().map(|id| json!({ "id": id })).collect();
            json!({ "space": [{ "id": "den", "walls": walls }] })
        };
        let found = differences(&space(before), &space(after));
        found.into_iter().map(|change| change.at).collect()
    }

    #[test]
    fn a_wall_that_comes_between_others_is_a_change_of_the_walk() {
        let walls = ["a", "b", "c", "d"];
        assert_eq!(changed(&walls, &["a", "b", "c"]), ["space.den.walls.d"]);
        assert_eq!(changed(&["a", "b", "c"], &walls), ["space.den.walls.d"]);
        assert_eq!(changed(&["a", "c", "d"], &walls), ["space.den.walls"]);
        // Another name is another wall in its place.
        assert_eq!(changed(&["a", "x", "c", "d"], &walls), ["space.den.walls"]);
        assert_eq!(changed(&["a", "b", "d", "c"], &walls), ["space.den.walls"]);
    }
}
