//! Do two people's changes end up in one document, with nothing lost?

use model::Edit;
use serde_json::json;
use store::{Kind, Side, StoreError};

use crate::scratch::{SOFA_EYE, STOOL_EYE, act, line, on_both, save};

#[test]
fn changes_of_different_facts_both_stand() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        let saved = save(&store, "Cyd", 1, &[Edit::set(STOOL_EYE, "1.25 m")]).await;
        assert!(saved.contested.is_empty());
        assert_eq!(saved.merged_over.len(), 1);
        assert_eq!(saved.merged_over[0].who, "Bob");
        assert_eq!(
            line(&saved.text, "slouching"),
            "eye = \"1.05 m\"   # slouching"
        );
        assert!(saved.text.contains("eye = \"1.25 m\""));
        let head = store.head("mill-lane").await.unwrap();
        assert_eq!((head.kind, head.base, head.number), (Kind::Merge, 1, 3));
    });
}

#[test]
fn the_later_value_stands_and_the_earlier_is_kept() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        let saved = save(&store, "Cyd", 1, &[Edit::set(SOFA_EYE, "1.00 m")]).await;
        assert_eq!(
            line(&saved.text, "slouching"),
            "eye = \"1.00 m\"   # slouching"
        );
        let contested = store.contested("mill-lane").await.unwrap();
        assert_eq!(contested, saved.contested);
        let contest = &contested[0];
        assert_eq!(contest.fact, SOFA_EYE);
        assert_eq!(contest.stands, Side::Later);
        assert_eq!(contest.earlier.value, Some(json!("1.05 m")));
        assert_eq!(
            (contest.earlier.who.as_str(), contest.earlier.revision),
            ("Bob", 2)
        );
        assert_eq!(contest.later.value, Some(json!("1.00 m")));
        assert_eq!(
            (contest.later.who.as_str(), contest.later.revision),
            ("Cyd", 3)
        );
        assert_eq!(store.jobs().await.unwrap()[0].contested, 1);
    });
}

#[test]
fn equal_values_are_no_contest() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        let saved = save(&store, "Cyd", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        assert!(saved.contested.is_empty());
        assert_eq!(saved.revision, 2);
    });
}

#[test]
fn a_contested_fact_is_settled_either_way_by_a_revision() {
    on_both(async |scratch| {
        for (keep, stands) in [(Side::Earlier, "1.05 m"), (Side::Later, "1.00 m")] {
            let store = scratch.open().await;
            let job = store
                .create(crate::scratch::DOCUMENT, &act("Ada"))
                .await
                .unwrap()
                .job;
            for (who, eye) in [("Bob", "1.05 m"), ("Cyd", "1.00 m")] {
                let change = crate::scratch::change(who, 1, &[Edit::set(SOFA_EYE, eye)]);
                store.save(&job, &change).await.unwrap();
            }
            let settle = act("Ada");
            let saved = store.resolve(&job, 1, keep, None, &settle).await.unwrap();
            assert_eq!(saved.revision, 4);
            assert!(line(&saved.text, "slouching").contains(stands));
            assert!(store.contested(&job).await.unwrap().is_empty());
            assert_eq!(store.head(&job).await.unwrap().kind, Kind::Resolve);
            assert_eq!(
                store.resolve(&job, 1, keep, None, &settle).await.unwrap(),
                saved
            );
            let again = store
                .resolve(&job, 1, keep, None, &act("Ada"))
                .await
                .unwrap_err();
            assert!(matches!(again, StoreError::NotContested { number: 1, .. }));

            // Taken back, it is open again.
            store.undo(&job, &act("Ada")).await.unwrap();
            assert_eq!(store.contested(&job).await.unwrap().len(), 1);
            store.redo(&job, &act("Ada")).await.unwrap();
            assert!(store.contested(&job).await.unwrap().is_empty());
        }
    });
}

#[test]
fn a_change_of_a_thing_that_went_is_set_aside_with_its_content() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Bob", 1, &[Edit::remove("space.den.seat.sofa")]).await;
        let edits = [
            Edit::set(SOFA_EYE, "1.00 m"),
            Edit::set(STOOL_EYE, "1.25 m"),
        ];
        let saved = save(&store, "Cyd", 1, &edits).await;
        assert!(!saved.text.contains("sofa"));
        assert!(saved.text.contains("1.25 m"), "the other edit is made");
        let contest = &saved.contested[0];
        assert_eq!(contest.fact, "space.den.seat.sofa");
        assert_eq!(contest.stands, Side::Earlier);
        assert_eq!(contest.earlier.value, None);
        assert_eq!(contest.later.value.as_ref().unwrap()["eye"], "1.00 m");

        let saved = store
            .resolve("mill-lane", 1, Side::Later, None, &act("Ada"))
            .await
            .unwrap();
        assert!(saved.text.contains("id = \"sofa\""));
        assert!(saved.text.contains("eye = \"1.00 m\""));
    });
}

#[test]
fn nothing_but_set_aside_edits_still_stand_in_the_history() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let head = save(&store, "Bob", 1, &[Edit::remove("space.den.seat.sofa")]).await;
        let saved = save(&store, "Cyd", 1, &[Edit::set(SOFA_EYE, "1.00 m")]).await;
        assert_eq!(saved.text, head.text);
        assert_eq!(saved.revision, 3);
        assert_eq!(saved.contested[0].later.revision, 3);
    });
}

#[test]
fn taking_away_what_another_changed_keeps_it_as_contested() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        let saved = save(&store, "Cyd", 1, &[Edit::remove("space.den.seat.sofa")]).await;
        assert!(!saved.text.contains("sofa"));
        let contest = &saved.contested[0];
        assert_eq!(contest.stands, Side::Later);
        assert_eq!(contest.earlier.value.as_ref().unwrap()["eye"], "1.05 m");
        let saved = store
            .resolve("mill-lane", 1, Side::Earlier, None, &act("Ada"))
            .await
            .unwrap();
        assert!(saved.text.contains("1.05 m"));
    });
}

#[test]
fn two_new_things_of_one_kind_both_come() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let lamp = |id: &str| {
            let at = format!("space.den.fixture.{id}");
            Edit::set(at, json!({ "id": id, "kind": "wall-light" }))
        };
        save(&store, "Bob", 1, &[lamp("left")]).await;
        let saved = save(&store, "Cyd", 1, &[lamp("right")]).await;
        assert!(saved.contested.is_empty(), "{:?}", saved.contested);
        assert!(saved.text.contains("id = \"left\"") && saved.text.contains("id = \"right\""));
    });
}

#[test]
fn two_new_things_of_one_name_are_contested() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let lamp = |kind: &str| {
            Edit::set(
                "space.den.fixture.lamp",
                json!({ "id": "lamp", "kind": kind }),
            )
        };
        save(&store, "Bob", 1, &[lamp("wall-light")]).await;
        let saved = save(&store, "Cyd", 1, &[lamp("socket")]).await;
        assert_eq!(saved.contested.len(), 1);
        assert!(saved.text.contains("kind = \"socket\""));
        assert!(!saved.text.contains("wall-light"));
    });
}

#[test]
fn an_edit_that_no_longer_reads_is_set_aside_and_the_rest_is_made() {
    on_both(async |scratch| {
        let store = scratch.open().await;
        let text = format!(
            "{}\n[[kit.screen]]\nid = \"s1\"\n",
            crate::scratch::DOCUMENT
        );
        store.create(&text, &act("Ada")).await.unwrap();
        save(&store, "Bob", 1, &[Edit::remove("kit.screen.s1")]).await;
        let edits = [
            Edit::set("item.screen", json!({ "id": "screen", "is": "s1" })),
            Edit::set(STOOL_EYE, "1.25 m"),
        ];
        let saved = save(&store, "Cyd", 1, &edits).await;
        assert!(saved.text.contains("1.25 m"));
        assert!(!saved.text.contains("[[item]]"));
        let contest = &saved.contested[0];
        assert_eq!(
            (contest.fact.as_str(), contest.stands),
            ("item.screen", Side::Earlier)
        );
        assert_eq!(contest.later.value.as_ref().unwrap()["is"], "s1");
        assert_eq!(contest.earlier.who, "Bob");
        assert!(
            contest.reason.contains("would not read"),
            "{}",
            contest.reason
        );
    });
}

#[test]
fn a_change_that_is_wrong_on_its_own_base_is_refused_even_when_late() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        let change = crate::scratch::change("Cyd", 1, &[Edit::set(STOOL_EYE, "tall")]);
        let error = store.save("mill-lane", &change).await.unwrap_err();
        assert!(matches!(error, StoreError::Refused(_)), "{error:?}");
        assert_eq!(store.head("mill-lane").await.unwrap().number, 2);
    });
}

#[test]
fn a_document_edited_elsewhere_is_merged_fact_by_fact() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        let elsewhere = crate::scratch::DOCUMENT.replace("1.20 m", "1.25 m");
        let saved = store
            .import("mill-lane", 1, &elsewhere, "From the van", &act("Cyd"))
            .await
            .unwrap();
        assert!(saved.contested.is_empty());
        assert!(saved.text.contains("1.05 m") && saved.text.contains("1.25 m"));

        let whole = store
            .import("mill-lane", 3, &elsewhere, "From the van", &act("Cyd"))
            .await
            .unwrap();
        assert_eq!(
            whole.text, elsewhere,
            "of the last revision: letter by letter"
        );
        assert_eq!(store.head("mill-lane").await.unwrap().kind, Kind::Import);
    });
}
