//! A store of the first format, brought up to the last one and a step further, which is made up.

use std::fs;

use sqlx::{Connection, Executor, Row};

use super::MIGRATIONS;
use crate::{Place, Store, StoreError};

const STEP: &str = "ALTER TABLE tick ADD COLUMN remark TEXT";
const BROKEN: &str =
    "ALTER TABLE tick ADD COLUMN remark TEXT; ALTER TABLE nowhere ADD COLUMN x TEXT";

fn run<T>(work: impl Future<Output = T>) -> T {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build();
    runtime.unwrap().block_on(work)
}

async fn open(place: &Place, further: &'static str) -> Result<Store, StoreError> {
    Store::open_with(place, Vec::new(), &[MIGRATIONS, &[further]].concat()).await
}

/// A store of format 1 in a folder of its own.
fn place(folder: &tempfile::TempDir) -> Place {
    let fixture = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/format-1.db");
    let path = folder.path().join("jobs.db");
    fs::copy(fixture, &path).unwrap();
    Place::file(path)
}

async fn format(place: &Place) -> i64 {
    crate::database::install_drivers();
    let url = place.url().unwrap();
    let mut connection = sqlx::AnyConnection::connect(&url).await.unwrap();
    let row = connection
        .fetch_one("SELECT format FROM store_format")
        .await
        .unwrap();
    row.get(0)
}

#[test]
fn an_earlier_format_is_brought_up_to_date_and_the_file_before_is_kept() {
    run(async {
        let folder = tempfile::TempDir::new().unwrap();
        let place = place(&folder);
        let store = open(&place, STEP).await.unwrap();
        assert_eq!(store.prove().await.unwrap(), 6);
        sqlx::query("UPDATE tick SET remark = 'dusty'")
            .execute(&store.inner.pool)
            .await
            .unwrap();
        store.close().await;
        assert_eq!(format(&place).await, MIGRATIONS.len() as i64 + 1);

        let kept = Place::file(folder.path().join("jobs.db.format-1"));
        assert_eq!(format(&kept).await, 1);
        let kept = Store::open(&kept, Vec::new()).await.unwrap();
        assert_eq!(kept.prove().await.unwrap(), 6);
    });
}

#[test]
fn a_step_that_fails_leaves_the_store_as_it_was() {
    run(async {
        let folder = tempfile::TempDir::new().unwrap();
        let place = place(&folder);
        assert!(open(&place, BROKEN).await.is_err());
        assert_eq!(format(&place).await, 1);
        let store = Store::open(&place, Vec::new()).await.unwrap();
        assert_eq!(store.prove().await.unwrap(), 6);
    });
}
