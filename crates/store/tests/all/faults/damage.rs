//! A damaged file: told as damaged, left alone, and the last backup named.

use std::fs;

use model::Edit;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use store::{Place, Revision, Store, StoreError};

use crate::scratch::{DOCUMENT, SOFA_EYE, Scratch, run, save};

const SEED: u64 = 20_261_126;

async fn filled(scratch: &Scratch) -> Vec<Revision> {
    let store = scratch.with_job().await;
    for count in 1..=20 {
        let eye = format!("1.{count:02} m");
        save(&store, "Bob", count, &[Edit::set(SOFA_EYE, eye)]).await;
    }
    let revisions = revisions(&store).await.unwrap();
    store.close().await;
    revisions
}

async fn revisions(store: &Store) -> Result<Vec<Revision>, StoreError> {
    let mut revisions = Vec::new();
    for entry in store.history("mill-lane").await? {
        let revision = store.revision("mill-lane", entry.number).await?;
        revisions.push(Revision::clone(&revision));
    }
    Ok(revisions)
}

#[test]
fn flipped_bytes_are_found_or_harmless_and_never_read_as_something_else() {
    run(async {
        let scratch = Scratch::file();
        let kept = filled(&scratch).await;
        let good = fs::read(scratch.folder().join("jobs.db")).unwrap();
        let mut random = ChaCha8Rng::seed_from_u64(SEED);
        let (mut found, mut harmless) = (0, 0);
        for trial in 0..200 {
            let bent = Scratch::file();
            let mut bytes = good.clone();
            for _ in 0..random.random_range(1..=4) {
                let place = random.random_range(0..bytes.len());
                bytes[place] ^= 1 << random.random_range(0..8);
            }
            fs::write(bent.folder().join("jobs.db"), &bytes).unwrap();
            let read = match Store::open(&bent.place, Vec::new()).await {
                Ok(store) => revisions(&store).await,
                Err(error) => Err(error),
            };
            match read {
                Ok(read) => {
                    assert_eq!(read, kept, "seed {SEED}, trial {trial}");
                    harmless += 1;
                }
                Err(StoreError::Corrupt { .. } | StoreError::NewerStore { .. }) => found += 1,
                // The job's own id is bent: its revisions stand under the right one still.
                Err(StoreError::NoSuchJob(_)) => found += 1,
                Err(error) => panic!("seed {SEED}, trial {trial}: {error:?}"),
            }
        }
        eprintln!(
            "seed {SEED}: of 200 bent files {found} were refused, {harmless} read back whole"
        );
        assert!(found > 50, "{found}");
    });
}

#[test]
fn a_cut_file_is_refused() {
    run(async {
        let scratch = Scratch::file();
        filled(&scratch).await;
        let good = fs::read(scratch.folder().join("jobs.db")).unwrap();
        for part in [
            1,
            10,
            99,
            100,
            511,
            4_000,
            4_096,
            good.len() / 2,
            good.len() - 1,
        ] {
            let cut = Scratch::file();
            fs::write(cut.folder().join("jobs.db"), &good[..part]).unwrap();
            let error = Store::open(&cut.place, Vec::new()).await.unwrap_err();
            assert!(
                matches!(error, StoreError::Corrupt { .. }),
                "{part}: {error:?}"
            );
            assert_eq!(
                fs::read(cut.folder().join("jobs.db")).unwrap(),
                &good[..part]
            );
        }
    });
}

#[test]
fn a_damaged_store_names_its_last_backup_and_comes_back_from_it() {
    run(async {
        let scratch = Scratch::file();
        let kept = filled(&scratch).await;
        let path = scratch.folder().join("jobs.db");
        let good = fs::read(&path).unwrap();
        let damages: [&dyn Fn(); 4] = [
            &|| fs::write(&path, &good[..good.len() / 2]).unwrap(),
            &|| fs::write(&path, [b"X", &good[1..]].concat()).unwrap(),
            // Not taken for a fresh start, which would end with the backup overwritten.
            &|| fs::write(&path, []).unwrap(),
            &|| fs::remove_file(&path).unwrap(),
        ];
        for (count, damage) in damages.iter().enumerate() {
            damage();
            let error = Store::open(&scratch.place, Vec::new()).await.unwrap_err();
            let told = error.to_string();
            let StoreError::Corrupt {
                backup: Some(backup),
                ..
            } = error
            else {
                panic!("{count}: {told}");
            };
            assert!(
                told.contains(&format!(
                    "The last backup is {} of {}",
                    backup.path.display(),
                    backup.made
                )),
                "{told}"
            );
            let store = Store::restore(&scratch.place, &backup.path, Vec::new())
                .await
                .unwrap();
            assert_eq!(revisions(&store).await.unwrap(), kept);
            store.close().await;
        }
    });
}

#[test]
fn something_that_is_no_store_is_left_alone() {
    run(async {
        let scratch = Scratch::file();
        let path = scratch.folder().join("job.toml");
        fs::write(&path, DOCUMENT).unwrap();
        let error = Store::open(&Place::file(&path), Vec::new())
            .await
            .unwrap_err();
        assert!(
            error.to_string().contains("does not begin like a database"),
            "{error}"
        );
        assert_eq!(fs::read_to_string(&path).unwrap(), DOCUMENT);
    });
}
