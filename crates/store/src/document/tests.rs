//! Facts that differ, and documents brought over.

use serde_json::{Value, json};

use super::{FactChange, differences, facts, rewritten, touches, value_at};

fn paths(before: Value, after: Value) -> Vec<String> {
    differences(&before, &after)
        .into_iter()
        .map(|change| change.at)
        .collect()
}

#[test]
fn a_path_touches_itself_and_what_is_within() {
    assert!(touches("space.den", "space.den"));
    assert!(touches("space.den", "space.den.seat.sofa"));
    assert!(touches("space.den.seat.sofa", "space.den"));
    assert!(!touches("space.den", "space.denim"));
    assert!(!touches("space.den.seat", "space.den.walls"));
}

#[test]
fn named_parts_are_told_apart_by_name_and_others_as_a_whole() {
    let before = json!({
        "space": [{ "id": "den", "corners": [["a", "b"], ["c", "d"]] }, { "id": "loft" }],
    });
    let after = json!({
        "space": [{ "id": "hall" }, { "id": "den", "corners": [["a", "b"], ["c", "e"]] }],
    });
    assert_eq!(
        paths(before, after),
        ["space.hall", "space.den.corners", "space.loft"]
    );
}

#[test]
fn another_order_is_a_change_of_the_list() {
    let walls = |ids: [&str; 3]| json!({ "walls": ids.map(|id| json!({ "id": id })) });
    assert_eq!(
        paths(walls(["a", "b", "c"]), walls(["a", "c", "b"])),
        ["walls"]
    );
}

#[test]
fn a_key_that_can_not_stand_in_a_path_makes_its_table_one_fact() {
    let before = json!({ "rules": { "a.b": 1, "c": 2 } });
    let after = json!({ "rules": { "a.b": 1, "c": 3 } });
    assert_eq!(paths(before, after), ["rules"]);
}

#[test]
fn a_thing_that_is_there_is_rewritten_fact_by_fact() {
    let text = "[[item]]\nid = \"lamp\"\nheight = \"1 m\" # to the switch\nis = \"l1\"\n";
    let change = FactChange {
        at: "item.lamp".into(),
        before: None,
        after: Some(json!({ "id": "lamp", "height": "1 m", "is": "l2" })),
    };
    let now = facts(text).unwrap();
    let text = rewritten(text, &[change], &now).unwrap();
    assert_eq!(
        text,
        "[[item]]\nid = \"lamp\"\nheight = \"1 m\" # to the switch\nis = \"l2\"\n"
    );
    let is = facts(&text).unwrap();
    assert_eq!(value_at(&is, "item.lamp.is"), Some(&json!("l2")));
}
