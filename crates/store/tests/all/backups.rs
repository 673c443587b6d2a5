//! Does a backup bring everything back, on either database and from one to the other?

use std::fs;

use model::Edit;
use store::{NewPhotograph, Place, Store, StoreError};

use crate::beside::find;
use crate::scratch::{DOCUMENT, SOFA_EYE, Scratch, act, on_both, run, save};

async fn filled(store: &Store) -> String {
    let picture = NewPhotograph {
        bytes: b"picture".to_vec(),
        pinned: "space.den".into(),
        place: String::new(),
        caption: String::new(),
    };
    let kept = store
        .add_photograph("mill-lane", picture, &act("Bob"))
        .await
        .unwrap();
    store
        .tick("mill-lane", "drill", true, &act("Bob"))
        .await
        .unwrap();
    save(store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
    save(store, "Cyd", 1, &[Edit::set(SOFA_EYE, "1.00 m")]).await;
    store.name("mill-lane", 2, Some("as quoted")).await.unwrap();
    kept.hash
}

/// All that a store says of its job.
async fn told(store: &Store) -> String {
    let mut told = Vec::new();
    for number in 1..=store.head("mill-lane").await.unwrap().number {
        told.push(format!(
            "{:?}",
            store.revision("mill-lane", number).await.unwrap()
        ));
    }
    told.push(format!("{:?}", store.jobs().await.unwrap()));
    told.push(format!("{:?}", store.history("mill-lane").await.unwrap()));
    told.push(format!("{:?}", store.contested("mill-lane").await.unwrap()));
    told.push(format!("{:?}", store.ticks("mill-lane").await.unwrap()));
    told.push(format!(
        "{:?}",
        store.photographs("mill-lane").await.unwrap()
    ));
    told.join("\n")
}

#[test]
fn a_backup_brings_back_what_was_there_and_keeps_what_it_replaces() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let hash = filled(&store).await;
        let then = told(&store).await;
        let to = scratch.folder().join("monday.backup");
        let backup = store.backup(&to).await.unwrap();
        assert_eq!(backup.path, to);
        save(&store, "Dee", 3, &[Edit::set(SOFA_EYE, "0.90 m")]).await;
        let newer = told(&store).await;
        store.close().await;
        fs::remove_file(find(scratch.folder(), &hash).unwrap()).ok();

        let store = Store::restore(&scratch.place, &to, Vec::new())
            .await
            .unwrap();
        assert_eq!(told(&store).await, then);
        assert_eq!(store.photograph(&hash).await.unwrap(), b"picture");
        assert_eq!(store.prove().await.unwrap(), 3);
        // Sent again, an operation is known still.
        store.close().await;
        let replaced = fs::read_dir(scratch.folder())
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .find(|path| path.to_str().unwrap().ends_with(".replaced-1"))
            .expect("what was replaced is kept");
        let store = Store::open(&Place::file(replaced), Vec::new())
            .await
            .unwrap();
        assert_eq!(told(&store).await, newer);
    });
}

#[test]
fn a_backup_is_a_store_and_moves_between_databases() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let hash = filled(&store).await;
        let to = scratch.folder().join("whole.backup");
        store.backup(&to).await.unwrap();
        let elsewhere = Scratch::file();
        let moved = Store::restore(&elsewhere.place, &to, Vec::new())
            .await
            .unwrap();
        assert_eq!(told(&moved).await, told(&store).await);
        assert_eq!(moved.photograph(&hash).await.unwrap(), b"picture");
        let back = elsewhere.folder().join("back.backup");
        moved.backup(&back).await.unwrap();
        store.close().await;
        let returned = Store::restore(&scratch.place, &back, Vec::new())
            .await
            .unwrap();
        assert_eq!(told(&returned).await, told(&moved).await);
    });
}

#[test]
fn what_is_no_backup_replaces_nothing() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        store.close().await;
        let junk = scratch.folder().join("junk");
        fs::write(&junk, "no database, this").unwrap();
        let error = Store::restore(&scratch.place, &junk, Vec::new())
            .await
            .unwrap_err();
        assert!(matches!(error, StoreError::Corrupt { .. }), "{error}");
        assert_eq!(
            scratch.open().await.export("mill-lane").await.unwrap(),
            DOCUMENT
        );
    });
}

#[test]
fn a_store_in_a_file_keeps_its_last_backup_by_itself() {
    run(async {
        let scratch = Scratch::file();
        let store = scratch.with_job().await;
        store.close().await;
        let backup = store.last_backup().expect("one was kept at closing");
        let copy = Scratch::file();
        let restored = Store::restore(&copy.place, &backup.path, Vec::new())
            .await
            .unwrap();
        assert_eq!(restored.export("mill-lane").await.unwrap(), DOCUMENT);
    });
}
