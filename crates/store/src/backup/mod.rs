//! Copies of the whole store, and the way back to one.
//!
//! A backup is always a store in one SQLite file, whichever database it is of: SQLite makes
//! it in one step (`VACUUM INTO`), of PostgreSQL it is a copy row by row, read in one
//! snapshot. So a backup can be opened, and a store can move from one database to the other.

mod rows;

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use sqlx::{AnyPool, Executor};

use crate::StoreError;
use crate::database::{Fault, Store, backup_at};
use crate::error::Backup;
use crate::jobs::off_thread;
use crate::place::{Database, Place, beside};

impl Store {
    /// Writes a backup to a file, and the photographs beside it (`<file>.photographs`, only
    /// those that are not there). What is saved meanwhile is in the next one. A file that is
    /// there is replaced when the backup is complete, never before.
    pub async fn backup(&self, to: &Path) -> Result<Backup, StoreError> {
        let photographs = Place::file(to).photographs;
        let copied = async {
            let backup = self.try_backup(to).await?;
            let from = self.inner.place.photographs.clone();
            off_thread(move || copy_missing(&from, &photographs)).await?;
            Ok(backup)
        };
        copied.await.map_err(|fault: Fault| self.told(fault))
    }

    /// Keeps a backup beside the store, in the place of the last one ([`Place::last_backup`]).
    /// A store in a file does so by itself whenever it is opened, sound and changed, and when
    /// it is closed; the photographs are not copied, since they are never changed.
    pub async fn keep_backup(&self) -> Result<Backup, StoreError> {
        let to = self.inner.place.backup.clone();
        self.try_backup(&to).await.map_err(|fault| self.told(fault))
    }

    /// Keeps a backup unless the last one is as new as the store. That none could be made is
    /// no reason to refuse work: see [`Store::last_backup`].
    pub(crate) async fn keep_backup_if_changed(&self) {
        let Database::File(path) = &self.inner.place.database else {
            return;
        };
        let made = |path: &Path| fs::metadata(path).and_then(|found| found.modified()).ok();
        let changed = made(path).max(made(&beside(path, "-wal")));
        if made(&self.inner.place.backup) >= changed {
            return;
        }
        drop(self.keep_backup().await);
    }

    /// The last backup that was kept beside the store.
    pub fn last_backup(&self) -> Option<Backup> {
        backup_at(&self.inner.place.backup)
    }

    async fn try_backup(&self, to: &Path) -> Result<Backup, Fault> {
        let part = part_of(to);
        let made = match self.inner.place.database {
            Database::File(_) => vacuum_into(&self.inner.pool, &part).await,
            Database::Server(_) => self.copy_into(&part).await,
        };
        let to = to.to_path_buf();
        let placed = match made {
            Ok(()) => {
                let part = part.clone();
                off_thread(move || flushed_and_placed(&part, &to)).await
            }
            Err(fault) => Err(fault),
        };
        if placed.is_err() {
            // Half a backup is worth nothing; that it can't be removed changes nothing.
            drop(fs::remove_file(&part));
        }
        placed
    }

    /// A store in a file with everything that this one holds.
    async fn copy_into(&self, part: &Path) -> Result<(), Fault> {
        let copy = Store::open_bare(&Place::file(part)).await?;
        let mut from = self.inner.pool.begin().await?;
        from.execute(sqlx::raw_sql(
            "SET TRANSACTION ISOLATION LEVEL REPEATABLE READ",
        ))
        .await?;
        let mut to = copy.inner.pool.begin().await?;
        let copied = rows::copy(&mut from, &mut to).await;
        if copied.is_ok() {
            to.commit().await?;
        }
        copy.inner.pool.close().await;
        copied
    }

    /// Puts a backup in the place of a store, be that damaged or sound, and opens it. Nothing
    /// is deleted: the file that was there stands beside it as `<file>.replaced-<n>`; of a
    /// PostgreSQL database a backup of that name is made in the store's folder. No server may
    /// have the store open meanwhile. The backup itself stays as it is.
    pub async fn restore(
        place: &Place,
        from: &Path,
        limits: Vec<model::LimitName>,
    ) -> Result<Self, StoreError> {
        let photographs = Place::file(from).photographs;
        match &place.database {
            Database::File(path) => restore_file(path, from).await?,
            Database::Server(_) => restore_server(place, from).await?,
        }
        if photographs.is_dir() {
            copy_missing(&photographs, &place.photographs)?;
        }
        Self::open(place, limits).await
    }
}

async fn vacuum_into(pool: &AnyPool, part: &Path) -> Result<(), Fault> {
    sqlx::query("VACUUM INTO $1")
        .bind(utf8(part)?)
        .execute(pool)
        .await?;
    Ok(())
}

async fn restore_file(path: &Path, from: &Path) -> Result<(), StoreError> {
    let part = part_of(path);
    proved_copy(from, &part).await?;
    let replaced = free_name(path);
    for ending in ["-wal", "-shm", ""] {
        let old = beside(path, ending);
        if old.exists() {
            // The log belongs to the old file; with the restored one it would be poison.
            let kept = beside(&replaced, ending);
            fs::rename(&old, &kept).map_err(StoreError::file("rename", &old))?;
        }
    }
    flushed_and_placed(&part, path).map(drop)
}

async fn restore_server(place: &Place, from: &Path) -> Result<(), StoreError> {
    let part = part_of(&place.backup);
    if let Some(folder) = place.backup.parent() {
        fs::create_dir_all(folder).map_err(StoreError::file("make the folder", folder))?;
    }
    proved_copy(from, &part).await?;
    let store = Store::open_bare(place).await?;
    store.backup(&free_name(&place.backup)).await?;
    let copy = Store::open_bare(&Place::file(&part)).await?;
    let restored = async {
        let mut from = copy.inner.pool.begin().await?;
        let mut to = store.inner.pool.begin().await?;
        rows::clear(&mut to).await?;
        rows::copy(&mut from, &mut to).await?;
        to.commit().await?;
        Ok(())
    };
    let restored: Result<(), Fault> = restored.await;
    copy.inner.pool.close().await;
    store.inner.pool.close().await;
    drop(fs::remove_file(&part));
    restored.map_err(|fault| store.told(fault))
}

/// A copy of the backup, opened once: brought up to date, and proved to be sound.
async fn proved_copy(from: &Path, part: &Path) -> Result<(), StoreError> {
    fs::copy(from, part).map_err(StoreError::file("copy", from))?;
    let opened = Store::open_bare(&Place::file(part)).await;
    let proved = match opened {
        Ok(copy) => {
            let proved = copy.prove().await;
            copy.inner.pool.close().await;
            proved
        }
        Err(error) => Err(error),
    };
    if proved.is_err() {
        drop(fs::remove_file(part));
    }
    proved.map(drop)
}

/// A file of the same folder that is not there, for what is being made.
fn part_of(path: &Path) -> PathBuf {
    static COUNT: AtomicU64 = AtomicU64::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let part = beside(path, &format!(".part-{}-{count}", std::process::id()));
    // Left by a process of the same number that was killed.
    drop(fs::remove_file(&part));
    part
}

fn free_name(path: &Path) -> PathBuf {
    (1_u32..)
        .map(|count| beside(path, &format!(".replaced-{count}")))
        .find(|name| !name.exists())
        .expect("a folder does not hold as many files as numbers")
}

/// Flushes a complete file and gives it its name.
fn flushed_and_placed(part: &Path, to: &Path) -> Result<Backup, StoreError> {
    File::open(part)
        .and_then(|file| file.sync_all())
        .map_err(StoreError::file("flush", part))?;
    fs::rename(part, to).map_err(StoreError::file("rename", part))?;
    let folder = match to.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(StoreError::file("flush", folder))?;
    backup_at(to).ok_or_else(|| StoreError::Database(format!("{} is gone again", to.display())))
}

/// Copies the files of a folder that another lacks.
fn copy_missing(from: &Path, to: &Path) -> Result<(), StoreError> {
    if from == to || !from.is_dir() {
        return Ok(());
    }
    fs::create_dir_all(to).map_err(StoreError::file("make the folder", to))?;
    for entry in fs::read_dir(from).map_err(StoreError::file("read the folder", from))? {
        let entry = entry.map_err(StoreError::file("read the folder", from))?;
        let target = to.join(entry.file_name());
        let named = entry
            .file_name()
            .to_str()
            .is_some_and(crate::beside::is_hash);
        if !named || target.exists() {
            continue;
        }
        let bytes = fs::read(entry.path()).map_err(StoreError::file("read", &entry.path()))?;
        crate::beside::keep_file(to, &bytes)?;
    }
    Ok(())
}

fn utf8(path: &Path) -> Result<&str, StoreError> {
    path.to_str().ok_or_else(|| StoreError::Argument {
        what: "the file's path",
        message: format!("{} is not UTF-8", path.display()),
    })
}
