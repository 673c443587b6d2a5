//! Does a saved change stand, once, and is a bad one refused?

use expect_test::expect;
use model::Edit;
use store::{Act, Change, Kind, StoreError, When};

use crate::scratch::{DOCUMENT, SOFA_EYE, STOOL_EYE, act, change, line, on_both, on_file, save};

#[test]
fn a_job_is_kept_letter_by_letter() {
    on_both(async |scratch| {
        let store = scratch.open().await;
        let saved = store.create(DOCUMENT, &act("Ada")).await.unwrap();
        assert_eq!((saved.job.as_str(), saved.revision), ("mill-lane", 1));
        assert_eq!(store.export("mill-lane").await.unwrap(), DOCUMENT);
        let jobs = store.jobs().await.unwrap();
        assert_eq!((jobs.len(), jobs[0].name.as_str()), (1, "Mill Lane"));
    });
}

#[test]
fn a_change_keeps_comments_and_is_there_after_opening_again() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let saved = save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        assert_eq!(saved.revision, 2);
        assert_eq!(saved.text, DOCUMENT.replace("1.10 m", "1.05 m"));
        store.close().await;

        let store = scratch.open().await;
        let head = store.head("mill-lane").await.unwrap();
        assert_eq!((head.number, head.kind), (2, Kind::Edit));
        assert_eq!((head.who.as_str(), &head.text), ("Bob", &saved.text));
        assert_eq!(head.edits, [Edit::set(SOFA_EYE, "1.05 m")]);
        assert_eq!(head.reverse, [Edit::set(SOFA_EYE, "1.10 m")]);
        assert_eq!(store.revision("mill-lane", 1).await.unwrap().text, DOCUMENT);
    });
}

#[test]
fn an_operation_sent_again_is_answered_again_and_not_done_again() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let first = change("Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]);
        let saved = store.save("mill-lane", &first).await.unwrap();
        save(&store, "Cyd", 2, &[Edit::set(SOFA_EYE, "1.00 m")]).await;
        assert_eq!(store.save("mill-lane", &first).await.unwrap(), saved);
        assert_eq!(store.head("mill-lane").await.unwrap().number, 3);
        // Whenever it comes: a phone that had no answer asks again later.
        let mut later = first.clone();
        later.act.when = When::parse("2031-01-01T00:00:00Z").unwrap();
        assert_eq!(store.save("mill-lane", &later).await.unwrap(), saved);

        let create = act("Ada");
        let made = store.create(DOCUMENT, &create).await.unwrap();
        assert_eq!(store.create(DOCUMENT, &create).await.unwrap(), made);
        assert_eq!(made.job, "mill-lane-2");
        assert_eq!(store.jobs().await.unwrap().len(), 2);
    });
}

#[test]
fn a_number_used_for_something_else_is_refused() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let first = change("Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]);
        store.save("mill-lane", &first).await.unwrap();
        let other = Change {
            edits: vec![Edit::set(SOFA_EYE, "1.00 m")],
            ..first
        };
        let error = store.save("mill-lane", &other).await.unwrap_err();
        assert!(matches!(error, StoreError::OpReused(_)), "{error}");
        assert_eq!(store.head("mill-lane").await.unwrap().number, 2);
    });
}

#[test]
fn a_change_that_can_not_be_made_is_refused_with_its_path() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let edits = [
            Edit::set(SOFA_EYE, "1.05 m"),
            Edit::set("space.attic.seat.sofa.eye", "1 m"),
        ];
        let error = store
            .save("mill-lane", &change("Bob", 1, &edits))
            .await
            .unwrap_err();
        assert!(
            matches!(&error, StoreError::Edit { at, .. } if at == "space.attic.seat.sofa.eye"),
            "{error:?}"
        );
        expect![
            "`space.attic.seat.sofa.eye` is not in the job: there is no `attic`; nothing was saved"
        ]
        .assert_eq(&error.to_string());
        assert_eq!(store.head("mill-lane").await.unwrap().number, 1);
    });
}

#[test]
fn a_document_that_would_not_read_is_refused_with_its_problems() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let error = store
            .save(
                "mill-lane",
                &change("Bob", 1, &[Edit::set(SOFA_EYE, "tall")]),
            )
            .await
            .unwrap_err();
        assert!(
            matches!(&error, StoreError::Refused(problems) if problems[0].at == SOFA_EYE),
            "{error:?}"
        );
        assert_eq!(store.export("mill-lane").await.unwrap(), DOCUMENT);
        assert!(store.create("format = 1", &act("Ada")).await.is_err());
        assert!(store.create("not toml", &act("Ada")).await.is_err());
        assert_eq!(store.jobs().await.unwrap().len(), 1);
    });
}

#[test]
fn a_job_of_a_later_format_is_refused_as_such() {
    on_file(async |scratch| {
        let store = scratch.open().await;
        let later = DOCUMENT.replace("format = 1", "format = 2");
        let error = store.create(&later, &act("Ada")).await.unwrap_err();
        assert!(
            matches!(error, StoreError::NewerJob { found: 2, known: 1 }),
            "{error:?}"
        );
    });
}

#[test]
fn a_change_that_changes_nothing_makes_no_revision() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let saved = save(&store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.10 m")]).await;
        assert_eq!(saved.revision, 1);
        assert_eq!(store.history("mill-lane").await.unwrap().len(), 1);
    });
}

#[test]
fn what_is_not_there_is_named() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let said = [
            store.head("attic").await.unwrap_err().to_string(),
            store
                .revision("mill-lane", 7)
                .await
                .unwrap_err()
                .to_string(),
            store.history("attic").await.unwrap_err().to_string(),
            store.contested("attic").await.unwrap_err().to_string(),
            store
                .save(
                    "mill-lane",
                    &change("Bob", 7, &[Edit::set(SOFA_EYE, "1 m")]),
                )
                .await
                .unwrap_err()
                .to_string(),
        ];
        expect![[r#"
            there is no job `attic`; look in the list of jobs
            `mill-lane` has no revision 7; its last is 1
            there is no job `attic`; look in the list of jobs
            there is no job `attic`; look in the list of jobs
            `mill-lane` has no revision 7; its last is 1"#]]
        .assert_eq(&said.join("\n"));
    });
}

#[test]
fn twenty_people_at_once_each_get_a_revision() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let mut saving = Vec::new();
        for person in 0..20 {
            let store = store.clone();
            saving.push(tokio::spawn(async move {
                let eye = format!("1.{:02} m", 30 + person);
                let change = change(&format!("P{person}"), 1, &[Edit::set(SOFA_EYE, eye)]);
                store.save("mill-lane", &change).await.unwrap()
            }));
        }
        let mut revisions = Vec::new();
        for saved in saving {
            revisions.push(saved.await.unwrap().revision);
        }
        revisions.sort_unstable();
        assert_eq!(revisions, (2..=21).collect::<Vec<u64>>());
        // All but the first met another's value.
        assert_eq!(store.contested("mill-lane").await.unwrap().len(), 19);
    });
}

/// Two stores over one place are to each other as two programs.
#[test]
fn a_change_that_is_worked_out_longer_gets_in_between_quick_ones() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let other = scratch.open().await;
        let (done, mut waiting) = tokio::sync::oneshot::channel::<()>();
        let quick = tokio::spawn(async move {
            let mut saves = 0_u64;
            // Each from the last revision, so that nothing is merged.
            while waiting.try_recv().is_err() {
                let head = other.head("mill-lane").await.unwrap().number;
                let eye = format!("1.{:03} m", saves % 1000);
                save(&other, "Quick", head, &[Edit::set(STOOL_EYE, eye)]).await;
                saves += 1;
            }
            saves
        });
        for round in 0..20 {
            let eye = format!("0.{} m", 60 + round);
            let slow = change("Slow", 1, &[Edit::set(SOFA_EYE, eye)]);
            let saved = store.save("mill-lane", &slow).await.unwrap();
            assert_eq!(store.save("mill-lane", &slow).await.unwrap(), saved);
        }
        done.send(()).unwrap();
        let saves = quick.await.unwrap();
        let history = store.history("mill-lane").await.unwrap();
        assert_eq!(history.len() as u64, 1 + 20 + saves);
        assert_eq!(store.prove().await.unwrap(), history.len() as u64);
    });
}

#[test]
fn one_act_that_arrives_at_two_servers_at_once_is_done_once() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let other = scratch.open().await;
        for round in 0..10_u64 {
            let eye = format!("1.{round:02} m");
            let act = change("Bob", round + 1, &[Edit::set(SOFA_EYE, eye)]);
            let (here, there) =
                tokio::join!(store.save("mill-lane", &act), other.save("mill-lane", &act));
            let (here, there) = (here.unwrap(), there.unwrap());
            assert_eq!(here, there);
            assert_eq!(here.revision, round + 2);
        }
    });
}

#[test]
fn an_act_without_a_number_is_refused() {
    on_file(async |scratch| {
        let store = scratch.open().await;
        let Act { who, when, .. } = act("Ada");
        let error = store.create(DOCUMENT, &Act::new("", who, when)).await;
        assert!(matches!(error, Err(StoreError::Argument { .. })));
        assert_eq!(
            line(DOCUMENT, "name ="),
            "name = \"Mill Lane\" # as on the gate"
        );
    });
}
