//! Does undo lead back to the first revision and redo forth again, whoever made the changes?

use model::Edit;
use store::{Kind, StoreError};

use crate::scratch::{DOCUMENT, SOFA_EYE, STOOL_EYE, act, line, on_both, save};

#[test]
fn undo_and_redo_walk_the_whole_history_letter_by_letter() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let mut texts = vec![DOCUMENT.to_owned()];
        for (count, who) in ["Ada", "Bob", "Cyd", "Ada"].iter().enumerate() {
            let base = texts.len() as u64;
            let edits = [
                Edit::set(SOFA_EYE, format!("1.{count}0 m")),
                Edit::remove("space.den.seat.stool.eye"),
            ];
            let edits = if count == 1 { &edits[..] } else { &edits[..1] };
            texts.push(save(&store, who, base, edits).await.text);
        }
        // Across a closing and opening, and by somebody else.
        store.close().await;
        let store = scratch.open().await;
        for text in texts.iter().rev().skip(1) {
            assert_eq!(
                &store.undo("mill-lane", &act("Dee")).await.unwrap().text,
                text
            );
        }
        let error = store.undo("mill-lane", &act("Dee")).await.unwrap_err();
        assert!(matches!(error, StoreError::NothingToUndo(_)));
        for text in &texts[1..] {
            assert_eq!(
                &store.redo("mill-lane", &act("Dee")).await.unwrap().text,
                text
            );
        }
        let error = store.redo("mill-lane", &act("Dee")).await.unwrap_err();
        assert!(matches!(error, StoreError::NothingToRedo(_)));
        assert_eq!(store.head("mill-lane").await.unwrap().number, 13);
    });
}

#[test]
fn a_change_after_an_undo_ends_redo_and_loses_nothing() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let undone = save(&store, "Ada", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        store.undo("mill-lane", &act("Ada")).await.unwrap();
        assert_eq!(
            store
                .undoable("mill-lane")
                .await
                .unwrap()
                .redo
                .unwrap()
                .number,
            2
        );
        save(&store, "Bob", 3, &[Edit::set(STOOL_EYE, "1.25 m")]).await;
        assert!(store.redo("mill-lane", &act("Ada")).await.is_err());
        assert_eq!(
            store.revision("mill-lane", 2).await.unwrap().text,
            undone.text
        );
        let history = store.history("mill-lane").await.unwrap();
        let undone: Vec<bool> = history.iter().map(|entry| entry.undone).collect();
        assert_eq!(undone, [false, true, false, false]);
        assert_eq!((history[2].kind, history[2].target), (Kind::Undo, Some(2)));
        assert_eq!(history[2].summary, "Undo: Ada changes 1 facts");
    });
}

#[test]
fn one_change_in_the_midst_is_taken_back_and_those_after_it_stand() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Ada", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        save(&store, "Bob", 2, &[Edit::set(STOOL_EYE, "1.25 m")]).await;
        let saved = store
            .undo_revision("mill-lane", 2, &act("Cyd"))
            .await
            .unwrap();
        assert_eq!(saved.text, DOCUMENT.replace("1.20 m", "1.25 m"));
        assert!(saved.contested.is_empty());
        let error = store.undo_revision("mill-lane", 2, &act("Cyd")).await;
        assert!(matches!(
            error,
            Err(StoreError::NotUndoable { number: 2, .. })
        ));
        // What is left to take back is Bob's change; made again, Ada's comes back too.
        assert_eq!(
            store.undo("mill-lane", &act("Cyd")).await.unwrap().text,
            DOCUMENT
        );
        store.redo("mill-lane", &act("Cyd")).await.unwrap();
        let saved = store.redo("mill-lane", &act("Cyd")).await.unwrap();
        assert!(line(&saved.text, "slouching").contains("1.05 m"));
        assert!(saved.text.contains("1.25 m"));
    });
}

#[test]
fn taking_back_what_another_changed_again_is_contested() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Ada", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        save(&store, "Bob", 2, &[Edit::set(SOFA_EYE, "1.00 m")]).await;
        let saved = store
            .undo_revision("mill-lane", 2, &act("Cyd"))
            .await
            .unwrap();
        assert!(line(&saved.text, "slouching").contains("1.10 m"));
        assert_eq!(saved.contested[0].earlier.who, "Bob");
    });
}

#[test]
fn a_wall_that_comes_back_stands_between_its_neighbours() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        let bay = DOCUMENT.replace(
            "  { id = \"east\", length = \"4 m\" },\n",
            "  { id = \"east\", length = \"4 m\" },\n  { id = \"bay\", length = \"1 m\" },\n",
        );
        store
            .import("mill-lane", 1, &bay, "A bay", &act("Ada"))
            .await
            .unwrap();
        save(&store, "Bob", 2, &[Edit::remove("space.den.walls.bay")]).await;
        save(&store, "Bob", 3, &[Edit::set(STOOL_EYE, "1.25 m")]).await;
        let saved = store
            .undo_revision("mill-lane", 3, &act("Cyd"))
            .await
            .unwrap();
        let place = |id: &str| saved.text.find(&format!("id = \"{id}\"")).unwrap();
        assert!(place("east") < place("bay") && place("bay") < place("south"));
        assert!(saved.text.contains("1.25 m"));
    });
}

#[test]
fn an_undo_sent_again_takes_back_one_change() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        save(&store, "Ada", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
        save(&store, "Ada", 2, &[Edit::set(SOFA_EYE, "1.00 m")]).await;
        let undo = act("Bob");
        let saved = store.undo("mill-lane", &undo).await.unwrap();
        assert_eq!(store.undo("mill-lane", &undo).await.unwrap(), saved);
        assert_eq!(store.head("mill-lane").await.unwrap().number, 4);
    });
}
