//! Does a bundle carry a job whole, and is a hostile one refused with nothing kept?

use std::io::{Cursor, Write};

use expect_test::expect;
use model::Edit;
use store::{History, NewPhotograph, Side, Store, StoreError, is_bundle};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use crate::scratch::{DOCUMENT, SOFA_EYE, act, on_both, on_file, save};

async fn filled(store: &Store) {
    let picture = NewPhotograph {
        bytes: b"picture".to_vec(),
        pinned: "space.den".into(),
        place: "left".into(),
        caption: "behind the books".into(),
    };
    store
        .add_photograph("mill-lane", picture, &act("Bob"))
        .await
        .unwrap();
    save(store, "Bob", 1, &[Edit::set(SOFA_EYE, "1.05 m")]).await;
    save(store, "Cyd", 1, &[Edit::set(SOFA_EYE, "1.00 m")]).await;
    store.name("mill-lane", 2, Some("as quoted")).await.unwrap();
}

#[test]
fn a_bundle_without_history_carries_document_and_photographs() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        filled(&store).await;
        let bytes = store.bundle("mill-lane", History::Without).await.unwrap();
        assert!(is_bundle(&bytes));
        assert_eq!(
            bytes,
            store.bundle("mill-lane", History::Without).await.unwrap()
        );
        let saved = store.take_bundle(bytes, &act("Dee")).await.unwrap();
        assert_eq!((saved.job.as_str(), saved.revision), ("mill-lane-2", 1));
        let text = store.export("mill-lane").await.unwrap();
        assert_eq!(store.export("mill-lane-2").await.unwrap(), text);
        let photographs = store.photographs("mill-lane-2").await.unwrap();
        assert_eq!(photographs[0].caption, "behind the books");
        assert_eq!(
            store.photograph(&photographs[0].hash).await.unwrap(),
            b"picture"
        );
        assert_eq!(store.history("mill-lane-2").await.unwrap().len(), 1);
    });
}

#[test]
fn a_bundle_with_history_carries_every_revision_and_what_is_open() {
    on_both(async |scratch| {
        let store = scratch.with_job().await;
        filled(&store).await;
        let bytes = store.bundle("mill-lane", History::With).await.unwrap();
        let take = act("Dee");
        let saved = store.take_bundle(bytes.clone(), &take).await.unwrap();
        assert_eq!(saved.revision, 3);
        assert_eq!(store.take_bundle(bytes, &take).await.unwrap(), saved);
        assert_eq!(
            store.history("mill-lane-2").await.unwrap(),
            store.history("mill-lane").await.unwrap()
        );
        let open = store.contested("mill-lane-2").await.unwrap();
        assert_eq!(open, store.contested("mill-lane").await.unwrap());
        store
            .resolve("mill-lane-2", 1, Side::Earlier, None, &act("Dee"))
            .await
            .unwrap();
        for _ in 0..3 {
            store.undo("mill-lane-2", &act("Dee")).await.unwrap();
        }
        assert_eq!(store.export("mill-lane-2").await.unwrap(), DOCUMENT);
        assert_eq!(store.prove().await.unwrap(), 3 + 7);
    });
}

/// A zip archive of these entries.
fn archive(entries: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in entries {
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        zip.start_file(*name, options).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// The parts of a sound bundle.
async fn parts(store: &Store, history: History) -> Vec<(String, Vec<u8>)> {
    let bytes = store.bundle("mill-lane", history).await.unwrap();
    let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut parts = Vec::new();
    for place in 0..archive.len() {
        let mut entry = archive.by_index(place).unwrap();
        let mut bytes = Vec::new();
        std::io::copy(&mut entry, &mut bytes).unwrap();
        parts.push((entry.name().unwrap().into_owned(), bytes));
    }
    parts
}

fn packed(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let entries: Vec<(&str, &[u8])> = parts
        .iter()
        .map(|(name, bytes)| (name.as_str(), bytes.as_slice()))
        .collect();
    archive(&entries)
}

async fn refused(store: &Store, bytes: Vec<u8>) -> String {
    let error = store.take_bundle(bytes, &act("Eve")).await.unwrap_err();
    assert!(matches!(error, StoreError::Bundle(_)), "{error:?}");
    error.to_string()
}

#[test]
fn a_hostile_bundle_is_refused_and_nothing_is_kept() {
    on_file(async |scratch| {
        let store = scratch.with_job().await;
        filled(&store).await;
        let good = parts(&store, History::With).await;
        let with = |name: &str, bytes: Vec<u8>| {
            let mut parts = good.clone();
            parts.retain(|(known, _)| known != name);
            parts.push((name.to_owned(), bytes));
            packed(&parts)
        };
        let without = |name: &str| {
            let mut parts = good.clone();
            parts.retain(|(known, _)| known != name);
            packed(&parts)
        };
        let picture = good[3].0.clone();
        let history = String::from_utf8(good[2].1.clone()).unwrap();
        let manifest = String::from_utf8(good[0].1.clone()).unwrap();
        let many: Vec<(String, Vec<u8>)> = (0..2_100)
            .map(|count| (format!("photographs/{count:064x}"), Vec::new()))
            .collect();
        let hostile = [
            b"PK\x03\x04 and no more".to_vec(),
            archive(&[]),
            // Out of the folder, by any spelling.
            with("../jobs.db", b"x".to_vec()),
            with("/etc/passwd", b"x".to_vec()),
            with("photographs/../../x", b"x".to_vec()),
            with("photographs\\x", b"x".to_vec()),
            with("readme.txt", b"x".to_vec()),
            with("photographs/", Vec::new()),
            // Little that unpacks to much: the document, the history, a picture.
            with("job.toml", vec![b' '; 4_900_000]),
            with("job.toml", vec![b' '; 6_000_000]),
            with("history.json", vec![b' '; 101_000_000]),
            with(&picture, vec![0; 31_000_000]),
            packed(&many),
            // Parts that contradict each other.
            with(
                "job.toml",
                DOCUMENT.replace("1.10 m", "1.30 m").into_bytes(),
            ),
            with(&picture, b"another".to_vec()),
            with(&format!("photographs/{:064x}", 7), b"x".to_vec()),
            without(&picture),
            without("job.toml"),
            without("manifest.json"),
            without("history.json"),
            with(
                "history.json",
                history.replace("\"number\":2", "\"number\":9").into_bytes(),
            ),
            with("history.json", b"{}".to_vec()),
            with(
                "manifest.json",
                manifest
                    .replace("\"format\": 1", "\"format\": 2")
                    .into_bytes(),
            ),
            with("manifest.json", vec![b'['; 100_000]),
        ];
        let mut told = Vec::new();
        for bytes in hostile {
            told.push(refused(&store, bytes).await);
        }
        let told = told.join("\n").replace("the bundle is refused: ", "");
        let told = told
            .replace("; nothing was changed", "")
            .replace(&picture, "photographs/<hash>");
        expect![[r#"
            it is broken: invalid Zip archive: Could not find EOCD
            it has no manifest.json
            it holds `../jobs.db`, which no bundle has
            it holds `/etc/passwd`, which no bundle has
            it holds `photographs/../../x`, which no bundle has
            it holds `photographs\\x`, which no bundle has
            it holds `readme.txt`, which no bundle has
            it holds `photographs/`, which no bundle has
            `job.toml` unpacks to more than 478100 bytes, which no bundle's does
            `job.toml` unpacks to more than 584600 bytes, which no bundle's does
            `history.json` unpacks to more than 100000000 bytes, which no bundle's does
            `photographs/<hash>` unpacks to more than 3014400 bytes, which no bundle's does
            it has more than 2003 entries
            job.toml is not what its manifest says
            `photographs/<hash>` is not what its name says
            its manifest does not speak of `photographs/0000000000000000000000000000000000000000000000000000000000000007`
            its manifest speaks of `photographs/2cea274d0bedc39ec4ab6ba9e59ec889e3ed6fb56a1cf088…`
            it has no job.toml
            it has no manifest.json
            history.json is not what its manifest says
            revision 9 of history.json is out of line
            history.json can't be read: missing field `revisions` at line 1 column 2
            it has format 2, and this version knows formats up to 1; open it with the version that wrote it, or a later one
            manifest.json can't be read: invalid type: sequence, expected u32 at line 1 column 1"#]].assert_eq(&told);
        assert_eq!(store.jobs().await.unwrap().len(), 1);
        assert_eq!(store.prove().await.unwrap(), 3);
        let kept = std::fs::read_dir(scratch.folder().join("jobs.db.photographs")).unwrap();
        assert_eq!(kept.count(), 1);
        // The same parts unharmed are taken: what was refused was refused for its harm.
        assert!(store.take_bundle(packed(&good), &act("Dee")).await.is_ok());
    });
}

#[test]
fn an_archive_that_lies_about_its_lengths_is_cut_off() {
    on_file(async |scratch| {
        let store = scratch.with_job().await;
        let mut good = parts(&store, History::Without).await;
        good[1].1 = vec![b' '; 4_000_000];
        let mut bytes = packed(&good);
        // Every place that holds the length says 100 bytes instead.
        let truth = 4_000_000_u32.to_le_bytes();
        let mut places = 0;
        for place in 0..bytes.len() - 4 {
            if bytes[place..place + 4] == truth {
                bytes[place..place + 4].copy_from_slice(&100_u32.to_le_bytes());
                places += 1;
            }
        }
        assert!(places >= 1);
        refused(&store, bytes).await;
    });
}

#[test]
fn a_bundle_cut_or_bent_anywhere_is_refused_or_whole() {
    on_file(async |scratch| {
        let store = scratch.with_job().await;
        let good = store.bundle("mill-lane", History::Without).await.unwrap();
        for length in (0..good.len()).step_by(17) {
            assert!(
                store
                    .take_bundle(good[..length].to_vec(), &act("Eve"))
                    .await
                    .is_err()
            );
        }
        for place in (0..good.len()).step_by(7) {
            let mut bent = good.clone();
            bent[place] ^= 0x41;
            if let Ok(saved) = store.take_bundle(bent, &act("Eve")).await {
                assert_eq!(saved.text, DOCUMENT, "byte {place}");
            }
        }
    });
}
