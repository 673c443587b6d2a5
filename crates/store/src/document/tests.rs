//! Facts that differ, and documents brought over.

use std::collections::BTreeSet;

use model::Edit;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};

use super::{
    FactChange, check, check_edited, differences, edited, facts, kept, replaced, rewritten,
    touches, value_at,
};

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
    let (text, _) = rewritten(text, &[change], &now).unwrap();
    assert_eq!(
        text,
        "[[item]]\nid = \"lamp\"\nheight = \"1 m\" # to the switch\nis = \"l2\"\n"
    );
    let is = facts(&text).unwrap();
    assert_eq!(value_at(&is, "item.lamp.is"), Some(&json!("l2")));
}

const JOBS: [&str; 3] = [
    include_str!("../../../../jobs/metric-flat.toml"),
    include_str!("../../../../jobs/cellar-cinema.toml"),
    include_str!("../../../../jobs/harbour-lane-settled.toml"),
];

/// Jobs without limits of their own, which the checks alone know.
fn jobs() -> Vec<String> {
    let without = |text| model::edited_text(text, &[Edit::remove("rules")]);
    JOBS.map(|text| without(text).unwrap_or_else(|_| text.to_owned()))
        .to_vec()
}

/// Every scalar of a document with its path: ids where a list has them, else positions.
fn leaves(value: &Value, at: &str, found: &mut Vec<(String, Value)>) {
    let below = |segment: &str| match at {
        "" => segment.to_owned(),
        _ => format!("{at}.{segment}"),
    };
    match value {
        Value::Object(table) => {
            for (key, value) in table {
                leaves(value, &below(key), found);
            }
        }
        Value::Array(list) => {
            for (index, part) in list.iter().enumerate() {
                let id = part.get("id").and_then(Value::as_str);
                let segment = id.map_or_else(|| index.to_string(), str::to_owned);
                leaves(part, &below(&segment), found);
            }
        }
        scalar => found.push((at.to_owned(), scalar.clone())),
    }
}

/// Edits of one or two facts each, to what stands elsewhere in the job and to what nobody means.
fn some_edits(text: &str, count: usize) -> Vec<Vec<Edit>> {
    let mut random = ChaCha8Rng::seed_from_u64(31);
    let mut found = Vec::new();
    leaves(&facts(text).unwrap(), "", &mut found);
    let odd = [
        json!(""),
        json!("-3 m"),
        json!("no-such"),
        json!(7),
        json!(true),
        json!(2.5),
    ];
    let mut one = || {
        let (at, _) = found.choose(&mut random).unwrap();
        let key = at.rsplit('.').next();
        let alike: Vec<&Value> = (found.iter())
            .filter(|(other, _)| other.rsplit('.').next() == key)
            .map(|(_, value)| value)
            .collect();
        let set = match random.random_range(0..3) {
            0 => odd.choose(&mut random).unwrap().clone(),
            _ => (*alike.choose(&mut random).unwrap()).clone(),
        };
        Edit::set(at.clone(), set)
    };
    (0..count)
        .map(|index| (0..=index % 2).map(|_| one()).collect())
        .collect()
}

#[test]
fn facts_replaced_are_those_that_the_edited_text_reads_as() {
    let mut told = 0;
    for text in &jobs() {
        for edits in some_edits(text, 150) {
            let Some(facts) = replaced(&facts(text).unwrap(), &edits) else {
                continue;
            };
            told += 1;
            let edited = model::edited_text(text, &edits).unwrap();
            let read: Value = toml::from_str(&edited).unwrap();
            assert_eq!(facts, read, "{edits:?}");
        }
    }
    assert!(told > 100, "only {told} edits were plain");
}

#[test]
fn edits_in_a_row_leave_the_text_that_each_leaves_when_it_is_read() {
    for text in &jobs() {
        let (mut kept, mut changed) = (text.clone(), 0);
        for edits in some_edits(text, 80) {
            let read = model::edited_text(&kept, &edits);
            let Ok(after) = edited(&kept, &edits) else {
                assert!(read.is_err(), "{edits:?}");
                continue;
            };
            assert_eq!(Ok(&after), read.as_ref(), "{edits:?}");
            // Most are edited as they were left, without being read in between.
            changed += usize::from(after != kept);
            kept = after;
        }
        assert!(changed > 20, "only {changed} edits changed anything");
    }
}

#[test]
fn an_edited_document_is_taken_and_refused_as_if_it_were_read() {
    let mut outcomes = BTreeSet::new();
    for text in &jobs() {
        check(text, &[]).unwrap();
        for edits in some_edits(text, 100) {
            let Ok(after) = edited(text, &edits) else {
                continue;
            };
            let checked = check_edited(&after, text, &edits, &[]);
            match model::read(&after, &[]) {
                Ok(read) => {
                    checked.unwrap_or_else(|error| panic!("{error}: {edits:?}"));
                    let kept = kept::job(&after, &[]).expect("it was checked just now");
                    let told = |job: &model::Job| serde_json::to_value(job).unwrap();
                    assert_eq!(told(&kept), told(&read), "{edits:?}");
                    outcomes.insert("taken");
                }
                Err(problems) => {
                    let refused = super::newer_or_refused(&after, problems);
                    let told = checked.expect_err("the document does not read");
                    assert_eq!(told.to_string(), refused.to_string(), "{edits:?}");
                    outcomes.insert("refused");
                }
            }
        }
    }
    assert_eq!(outcomes.len(), 2, "{outcomes:?}");
}

#[test]
fn what_only_reading_tells_is_not_replaced() {
    let house = json!({
        "item": [{ "id": "lamp", "name": "Lamp", "legs": ["1 m"], "price": 2.5 }],
    });
    let told = |at: &str, set: Value| replaced(&house, &[Edit::set(at, set)]).is_some();
    assert!(told("item.lamp.name", json!("Reading lamp")));
    assert!(told("item.lamp.price", json!(3)));
    assert!(
        !told("item.lamp.id", json!("light")),
        "other paths lead over it"
    );
    assert!(
        !told("item.lamp.legs.0", json!("2 m")),
        "found by its place"
    );
    assert!(!told("item.lamp.legs", json!("2 m")), "a list goes");
    assert!(
        !told("item.lamp.note", json!("none")),
        "nothing stands there"
    );
    assert!(
        !told("item.lamp.price", json!(0.1)),
        "written in several ways"
    );
    assert!(
        !told("item.lamp.name", json!("two\nlines")),
        "written in several ways"
    );
    assert!(!told("item.lamp.name", json!(["a"])), "a list comes");
    assert!(replaced(&house, &[Edit::remove("item.lamp.name")]).is_none());
}
