//! Does a store of every format that ever was still open?

use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use expect_test::expect;
use model::Edit;
use store::{Act, Change, NewPhotograph, Place, Session, Store, StoreError, When};

use crate::scratch::{DOCUMENT, SOFA_EYE, STOOL_EYE, Scratch, on_both, run};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fixtures")
        .join(name)
}

/// What stands in a fixture: one of everything that its format knows.
async fn fill(store: &Store) {
    let when = |minute: u32| When::parse(&format!("2026-11-25T10:{minute:02}:00Z")).unwrap();
    let act = |minute: u32, who: &str| Act::new(format!("op-{minute}"), who, when(minute));
    let change = |minute, who, at: &str, value: &str| Change {
        act: act(minute, who),
        base: 1,
        edits: vec![Edit::set(at, value)],
        summary: format!("{who} measures"),
    };
    store.create(DOCUMENT, &act(1, "Ada")).await.unwrap();
    for (minute, who, at, value) in [
        (2, "Bob", SOFA_EYE, "1.05 m"),
        (3, "Cyd", STOOL_EYE, "1.25 m"),
        (4, "Cyd", SOFA_EYE, "1.00 m"),
    ] {
        let change = change(minute, who, at, value);
        store.save("mill-lane", &change).await.unwrap();
    }
    store.undo("mill-lane", &act(5, "Ada")).await.unwrap();
    store.redo("mill-lane", &act(6, "Ada")).await.unwrap();
    store.name("mill-lane", 3, Some("as quoted")).await.unwrap();
    store
        .tick("mill-lane", "drill", true, &act(7, "Bob"))
        .await
        .unwrap();
    let picture = NewPhotograph {
        bytes: b"picture".to_vec(),
        pinned: "space.den".into(),
        place: "left".into(),
        caption: "behind the books".into(),
    };
    store
        .add_photograph("mill-lane", picture, &act(8, "Bob"))
        .await
        .unwrap();
    let session = Session {
        token: "ab12".into(),
        device: "Bob's phone".into(),
        role: "fitter".into(),
        created: when(9),
        expires: when(10),
        revoked: None,
    };
    store.add_session(&session).await.unwrap();
    store.create(DOCUMENT, &act(11, "Ada")).await.unwrap();
    store.remove("mill-lane-2", "Bob", &when(12)).await.unwrap();
}

async fn told(store: &Store) -> String {
    let mut told = Vec::new();
    for entry in store.history("mill-lane").await.unwrap() {
        let name = entry.name.unwrap_or_default();
        told.push(format!(
            "{} {:?} {} {} {name}",
            entry.number, entry.kind, entry.who, entry.summary
        ));
    }
    for contest in store.contested("mill-lane").await.unwrap() {
        told.push(format!("{} {:?}", contest.fact, contest.earlier.value));
    }
    let ticks = store.ticks("mill-lane").await.unwrap();
    let photographs = store.photographs("mill-lane").await.unwrap();
    told.push(format!(
        "{} tick, {} photograph",
        ticks.len(),
        photographs.len()
    ));
    told.push(format!("{} session", store.sessions().await.unwrap().len()));
    for job in store.removed_jobs().await.unwrap() {
        told.push(format!(
            "{} put away by {}",
            job.id,
            job.removed.unwrap().who
        ));
    }
    told.join("\n")
}

/// A copy of a fixture, to be opened.
fn copy_of(name: &str) -> Scratch {
    let scratch = Scratch::file();
    fs::copy(fixture(name), scratch.folder().join("jobs.db")).unwrap();
    scratch
}

#[test]
fn a_store_of_format_1_opens_and_holds_what_it_held() {
    run(async {
        let scratch = copy_of("format-1.db");
        let store = scratch.open().await;
        assert_eq!(store.prove().await.unwrap(), 6);
        expect![[r#"
            1 Create Ada Begin Mill Lane 
            2 Edit Bob Bob measures 
            3 Merge Cyd Cyd measures as quoted
            4 Merge Cyd Cyd measures 
            5 Undo Ada Undo: Cyd measures 
            6 Redo Ada Redo: Cyd measures 
            space.den.seat.sofa.eye Some(String("1.05 m"))
            1 tick, 1 photograph
            1 session"#]]
        .assert_eq(&told(&store).await);
    });
}

/// To make the fixture of a format before it is out: `STORE_FIXTURE=1 cargo test -p store`.
#[test]
fn a_store_of_format_2_opens_and_holds_what_it_held() {
    run(async {
        if env::var_os("STORE_FIXTURE").is_some() {
            let scratch = Scratch::file();
            let store = scratch.open().await;
            fill(&store).await;
            store.backup(&fixture("format-2.db")).await.unwrap();
            fs::remove_dir_all(fixture("format-2.db.photographs")).unwrap();
        }
        let scratch = copy_of("format-2.db");
        let store = scratch.open().await;
        assert_eq!(store.prove().await.unwrap(), 7);
        expect![[r#"
            1 Create Ada Begin Mill Lane 
            2 Edit Bob Bob measures 
            3 Merge Cyd Cyd measures as quoted
            4 Merge Cyd Cyd measures 
            5 Undo Ada Undo: Cyd measures 
            6 Redo Ada Redo: Cyd measures 
            space.den.seat.sofa.eye Some(String("1.05 m"))
            1 tick, 1 photograph
            1 session
            mill-lane-2 put away by Bob"#]]
        .assert_eq(&told(&store).await);
    });
}

#[test]
fn a_store_of_a_later_format_is_refused_and_left_alone() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        store.close().await;
        let later = async |number: i64| {
            let url = scratch.url();
            let mut connection = <sqlx::AnyConnection as sqlx::Connection>::connect(&url)
                .await
                .unwrap();
            sqlx::query("UPDATE store_format SET format = $1")
                .bind(number)
                .execute(&mut connection)
                .await
                .unwrap();
            sqlx::Connection::close(connection).await.unwrap();
        };
        later(3).await;
        let error = Store::open(&scratch.place, Vec::new()).await.unwrap_err();
        assert!(
            matches!(error, StoreError::NewerStore { found: 3, known: 2 }),
            "{error}"
        );
        later(2).await;
        assert_eq!(
            scratch.open().await.export("mill-lane").await.unwrap(),
            DOCUMENT
        );
    });
}

#[test]
fn a_place_of_odd_letters_is_a_place() {
    run(async {
        let scratch = Scratch::file();
        let path = scratch.folder().join("what? 100% #1 ä.db");
        let store = Store::open(&Place::file(&path), Vec::new()).await.unwrap();
        store.close().await;
        assert!(path.is_file());
    });
}
