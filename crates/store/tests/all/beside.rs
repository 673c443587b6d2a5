//! Are ticks, photographs, the catalogue and sessions kept, each once?

use std::fs;

use serde_json::json;
use store::{Act, CatalogueEntry, NewPhotograph, Session, StoreError, When};

use crate::scratch::{act, on_both, on_file};

fn photograph(bytes: &[u8]) -> NewPhotograph {
    NewPhotograph {
        bytes: bytes.to_vec(),
        pinned: "space.den.wall.north".into(),
        place: "left of the door".into(),
        caption: "the switch is behind the books\nand low".into(),
    }
}

fn when(text: &str) -> When {
    When::parse(text).unwrap()
}

#[test]
fn what_was_said_last_of_a_task_holds_in_whatever_order_it_arrives() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let said = |op: &str, at: &str| Act::new(op, "Bob", when(at));
        let late = said("t2", "2026-11-25T11:00:00Z");
        store
            .tick("mill-lane", "drill", false, &late)
            .await
            .unwrap();
        let early = said("t1", "2026-11-25T10:00:00Z");
        for _ in 0..2 {
            store
                .tick("mill-lane", "drill", true, &early)
                .await
                .unwrap();
        }
        store
            .tick(
                "mill-lane",
                "clean",
                true,
                &said("t3", "2026-11-25T12:00:00Z"),
            )
            .await
            .unwrap();
        let ticks = store.ticks("mill-lane").await.unwrap();
        let held: Vec<(&str, bool)> = ticks
            .iter()
            .map(|tick| (tick.task.as_str(), tick.done))
            .collect();
        assert_eq!(held, [("clean", true), ("drill", false)]);
        let reused = store.tick("mill-lane", "sweep", true, &early).await;
        assert!(matches!(reused, Err(StoreError::OpReused(_))));
        let nowhere = store.tick("attic", "sweep", true, &act("Bob")).await;
        assert!(matches!(nowhere, Err(StoreError::NoSuchJob(_))));
    });
}

#[test]
fn ticks_that_come_at_once_are_each_answered_for_themselves() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let mut ticking = Vec::new();
        for count in 0..60 {
            let store = store.clone();
            ticking.push(tokio::spawn(async move {
                // Every third is of no job, and every fifth is one operation sent again.
                let job = if count % 3 == 0 { "attic" } else { "mill-lane" };
                let act = match count % 5 {
                    0 => Act::new("again", "Bob", when("2026-11-25T10:00:00Z")),
                    _ => act("Bob"),
                };
                let task = if count % 5 == 0 { 5 } else { count };
                let told = store.tick(job, &format!("task-{task}"), true, &act).await;
                match (job, told) {
                    ("mill-lane", Ok(())) => {}
                    ("attic", Err(StoreError::NoSuchJob(_))) => {}
                    (_, told) => panic!("{job} {count}: {told:?}"),
                }
            }));
        }
        for tick in ticking {
            tick.await.unwrap();
        }
        // What was answered is there, also for another program.
        let ticks = scratch.open().await.ticks("mill-lane").await.unwrap();
        let tasks = (0..60).filter(|count| count % 3 != 0 && count % 5 != 0);
        assert_eq!(ticks.len(), tasks.count() + 1);
    });
}

#[test]
fn a_tick_is_written_though_whoever_sent_it_hung_up() {
    on_file(async |scratch| {
        let store = scratch.with_job().await;
        let act = act("Bob");
        {
            let mut sent = std::pin::pin!(store.tick("mill-lane", "drill", true, &act));
            let mut context = std::task::Context::from_waker(std::task::Waker::noop());
            // Written by a thread of its own, it may be answered at once: nobody waits for it.
            let _answer = sent.as_mut().poll(&mut context);
        }
        // Writers stand in line: this one comes behind it.
        store
            .tick("mill-lane", "clean", true, &self::act("Bob"))
            .await
            .unwrap();
        assert_eq!(store.ticks("mill-lane").await.unwrap().len(), 2);
    });
}

#[test]
fn a_photograph_is_a_file_named_by_its_hash_and_pinned_once() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let add = act("Bob");
        let kept = store
            .add_photograph("mill-lane", photograph(b"picture"), &add)
            .await
            .unwrap();
        // What `printf picture | sha256sum` of coreutils prints.
        let hash = "2cea274d0bedc39ec4ab6ba9e59ec889e3ed6fb56a1cf088a64d9b383378dc97";
        assert_eq!(kept.hash, hash);
        let again = store
            .add_photograph("mill-lane", photograph(b"picture"), &add)
            .await
            .unwrap();
        assert_eq!(again, kept);
        assert_eq!(
            store.photographs("mill-lane").await.unwrap(),
            std::slice::from_ref(&kept)
        );
        assert_eq!(store.photograph(&kept.hash).await.unwrap(), b"picture");

        let other = store
            .add_photograph("mill-lane", photograph(b"another"), &add)
            .await;
        assert!(matches!(other, Err(StoreError::OpReused(_))));
        assert!(
            store
                .remove_photograph("mill-lane", &add.op, &add.when)
                .await
                .unwrap()
        );
        assert!(
            !store
                .remove_photograph("mill-lane", &add.op, &add.when)
                .await
                .unwrap()
        );
        assert!(store.photographs("mill-lane").await.unwrap().is_empty());
    });
}

#[test]
fn a_photograph_that_changed_on_the_disk_is_not_given_out() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let kept = store
            .add_photograph("mill-lane", photograph(b"picture"), &act("Bob"))
            .await
            .unwrap();
        let file = find(scratch.folder(), &kept.hash).unwrap();
        fs::write(&file, b"Picture").unwrap();
        let error = store.photograph(&kept.hash).await.unwrap_err();
        assert!(matches!(error, StoreError::Corrupt { .. }), "{error}");
        // Added again, it is whole again.
        store
            .add_photograph("mill-lane", photograph(b"picture"), &act("Bob"))
            .await
            .unwrap();
        assert_eq!(store.photograph(&kept.hash).await.unwrap(), b"picture");
        fs::remove_file(&file).unwrap();
        for nothing in [kept.hash.as_str(), "../jobs.db", ""] {
            let error = store.photograph(nothing).await.unwrap_err();
            assert!(matches!(error, StoreError::NoSuchPhotograph(_)), "{error}");
        }
    });
}

pub fn find(folder: &std::path::Path, name: &str) -> Option<std::path::PathBuf> {
    fs::read_dir(folder).unwrap().find_map(|entry| {
        let path = entry.unwrap().path();
        match path.is_dir() {
            true => find(&path, name),
            false => (path.file_name().unwrap() == name).then_some(path),
        }
    })
}

#[test]
fn the_catalogue_keeps_one_entry_of_each_kind_and_id() {
    on_both(async |scratch| {
        let store = scratch.open().await;
        let entry = |throw: &str| CatalogueEntry {
            kind: "projector".into(),
            id: "p3".into(),
            facts: json!({ "id": "p3", "throw": [throw, "2.1"] })
                .as_object()
                .unwrap()
                .clone(),
            changed: when("2026-11-25T10:00:00Z"),
        };
        store.put_in_catalogue(&[entry("1.5")]).await.unwrap();
        store.put_in_catalogue(&[entry("1.6")]).await.unwrap();
        assert_eq!(store.catalogue().await.unwrap(), [entry("1.6")]);
        assert!(store.take_from_catalogue("projector", "p3").await.unwrap());
        assert!(!store.take_from_catalogue("projector", "p3").await.unwrap());
        assert!(store.catalogue().await.unwrap().is_empty());
    });
}

#[test]
fn a_session_is_there_until_somebody_ends_it_and_says_so_after() {
    on_both(async |scratch| {
        let store = scratch.open().await;
        let session = Session {
            token: "ab12".into(),
            device: "Bob's phone".into(),
            role: "fitter".into(),
            created: when("2026-11-25T10:00:00Z"),
            expires: when("2027-11-25T10:00:00Z"),
            revoked: None,
        };
        store.add_session(&session).await.unwrap();
        assert!(store.add_session(&session).await.is_err());
        assert_eq!(store.session("ab12").await.unwrap(), Some(session.clone()));
        assert_eq!(store.session("cd34").await.unwrap(), None);
        let ended = when("2026-11-26T10:00:00Z");
        assert!(store.revoke_session("ab12", &ended).await.unwrap());
        assert!(!store.revoke_session("ab12", &ended).await.unwrap());
        assert_eq!(store.sessions().await.unwrap()[0].revoked, Some(ended));
    });
}
