//! Is a job that was put away out of sight, and whole when it comes back?

use model::Edit;
use store::{Place, Store, StoreError, When};

use crate::scratch::{DOCUMENT, SOFA_EYE, act, on_both, save};

fn noon() -> When {
    When::parse("2026-11-25T12:00:00Z").unwrap()
}

#[test]
fn a_job_that_was_put_away_is_not_listed_and_comes_back_whole() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let listed = store.jobs().await.unwrap();
        assert!(store.remove("mill-lane", "Bob", &noon()).await.unwrap());
        assert_eq!(store.jobs().await.unwrap(), []);
        let away = store.removed_jobs().await.unwrap();
        let removed = away[0].removed.as_ref().unwrap();
        assert_eq!((removed.who.as_str(), &removed.when), ("Bob", &noon()));
        assert_eq!(store.export("mill-lane").await.unwrap(), DOCUMENT);

        assert!(store.put_back("mill-lane").await.unwrap());
        assert_eq!(store.jobs().await.unwrap(), listed);
        assert_eq!(store.removed_jobs().await.unwrap(), []);
    });
}

#[test]
fn putting_away_twice_keeps_who_did_first() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        assert!(store.remove("mill-lane", "Bob", &noon()).await.unwrap());
        assert!(!store.remove("mill-lane", "Cyd", &noon()).await.unwrap());
        let away = store.removed_jobs().await.unwrap();
        assert_eq!(away[0].removed.as_ref().unwrap().who, "Bob");
        assert!(store.put_back("mill-lane").await.unwrap());
        assert!(!store.put_back("mill-lane").await.unwrap());
    });
}

#[test]
fn a_change_from_out_of_reach_is_kept_in_a_job_that_was_put_away() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        store.remove("mill-lane", "Bob", &noon()).await.unwrap();
        save(&store, "Cyd", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        let ticked = store.tick("mill-lane", "drill", true, &act("Cyd")).await;
        ticked.unwrap();
        let away = store.removed_jobs().await.unwrap();
        assert_eq!(away[0].head, 2);
        // Its id stays its own.
        let other = store.create(DOCUMENT, &act("Ada")).await.unwrap();
        assert_eq!(other.job, "mill-lane-2");
    });
}

#[test]
fn a_backup_knows_which_jobs_were_put_away() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        store.remove("mill-lane", "Bob", &noon()).await.unwrap();
        let to = scratch.folder().join("monday.backup");
        store.backup(&to).await.unwrap();
        let copy = Store::open(&Place::file(to), Vec::new()).await.unwrap();
        assert_eq!(copy.jobs().await.unwrap(), []);
        let away = store.removed_jobs().await.unwrap();
        assert_eq!(copy.removed_jobs().await.unwrap(), away);
        copy.close().await;
    });
}

#[test]
fn a_job_that_there_is_not_can_not_be_put_away_or_back() {
    on_both(async |scratch| {
        let store = scratch.open().await;
        let removed = store.remove("attic", "Bob", &noon()).await;
        assert!(matches!(removed, Err(StoreError::NoSuchJob(_))));
        let back = store.put_back("attic").await;
        assert!(matches!(back, Err(StoreError::NoSuchJob(_))));
    });
}
