//! Can anybody see what a job was and what differs?

use expect_test::expect;
use model::Edit;
use serde_json::json;

use crate::scratch::{SOFA_EYE, act, on_both, save};

#[test]
fn what_differs_is_told_by_fact() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let edits = [
            Edit::set(SOFA_EYE, "1.05 m"),
            Edit::remove("space.den.seat.stool"),
            Edit::set("item.lamp", json!({ "id": "lamp", "is": "l1" })),
            Edit::set("kit.screen", json!([{ "id": "l1" }])),
        ];
        save(&store, "Bob", 1, &edits).await;
        let told: Vec<String> = store
            .compare("mill-lane", 1, 2)
            .await
            .unwrap()
            .iter()
            .map(|fact| {
                let shown = |value: &Option<serde_json::Value>| {
                    value
                        .as_ref()
                        .map_or("nothing".to_owned(), ToString::to_string)
                };
                format!(
                    "{}: {} -> {}",
                    fact.at,
                    shown(&fact.before),
                    shown(&fact.after)
                )
            })
            .collect();
        expect![[r#"
            space.den.seat.sofa.eye: "1.10 m" -> "1.05 m"
            space.den.seat.stool: {"id":"stool","at":{"from":["north","2 m"],"and":["west","1.5 m"]},"eye":"1.20 m"} -> nothing
            item.lamp: nothing -> {"id":"lamp","is":"l1"}
            kit.screen: nothing -> [{"id":"l1"}]"#]].assert_eq(&told.join("\n"));
        assert!(store.compare("mill-lane", 2, 2).await.unwrap().is_empty());
    });
}

#[test]
fn a_revision_can_have_a_name() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        store
            .name("mill-lane", 1, Some("first visit"))
            .await
            .unwrap();
        store.name("mill-lane", 2, Some("draft")).await.unwrap();
        store.name("mill-lane", 2, Some("as quoted")).await.unwrap();
        store.name("mill-lane", 1, None).await.unwrap();
        let names: Vec<Option<String>> = store
            .history("mill-lane")
            .await
            .unwrap()
            .into_iter()
            .map(|entry| entry.name)
            .collect();
        assert_eq!(names, [None, Some("as quoted".to_owned())]);
        let named = store.name_of("mill-lane", 2).await.unwrap();
        assert_eq!(named.as_deref(), Some("as quoted"));
        assert_eq!(store.name_of("mill-lane", 1).await.unwrap(), None);
        assert!(store.name("mill-lane", 9, Some("x")).await.is_err());
        assert!(
            store
                .name("mill-lane", 1, Some("two\nlines"))
                .await
                .is_err()
        );
    });
}

#[test]
fn every_line_of_the_history_says_who_when_and_what() {
    on_both(async |scratch| {
        let store = scratch.open().await;
        let begin = act("Ada");
        store
            .create(crate::scratch::DOCUMENT, &begin)
            .await
            .unwrap();
        let entry = store.history("mill-lane").await.unwrap().remove(0);
        assert_eq!((entry.who, entry.when), (begin.who, begin.when));
        assert_eq!(entry.summary, "Begin Mill Lane");
    });
}
