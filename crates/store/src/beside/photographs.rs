//! Photographs: files named by their hash beside the database, and rows that pin them.
//!
//! A file is complete and on the disk before a row speaks of it, and it never changes: the
//! same picture twice is one file. A file without a row is what a killed server may leave.

use std::fs::{self, File};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use crate::act::{line, shown};
use crate::beside::pins::follow_names;
use crate::database::{Fault, Store};
use crate::jobs::{head_number, hex, off_thread, text, when};
use crate::{Act, StoreError, When};

/// Larger than a telephone's picture at its best.
pub(crate) const PHOTOGRAPH_BYTES_MAX: usize = 30_000_000;

/// Longest caption, in characters.
const CAPTION_MAX: usize = 2_000;

/// A photograph of a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Photograph {
    /// The number of the operation that added it: its id within the job.
    pub op: String,
    /// The SHA-256 of the picture, in hexadecimal digits.
    pub hash: String,
    /// The path of what it shows, such as `space.den.wall.north`; empty for the job.
    pub pinned: String,
    /// Where on that it is pinned, in the words of whoever pinned it.
    pub place: String,
    /// What to see on it.
    pub caption: String,
    /// Who added it.
    pub who: String,
    /// When.
    pub when: When,
}

/// A photograph to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPhotograph {
    /// The picture's bytes, kept as they are.
    pub bytes: Vec<u8>,
    /// The path of what it shows; empty for the job.
    pub pinned: String,
    /// Where on that it is pinned.
    pub place: String,
    /// What to see on it.
    pub caption: String,
}

impl Store {
    /// Adds a photograph. The same operation again changes nothing.
    pub async fn add_photograph(
        &self,
        job: &str,
        photograph: NewPhotograph,
        act: &Act,
    ) -> Result<Photograph, StoreError> {
        act.check()?;
        line("the path", &photograph.pinned)?;
        line("the place", &photograph.place)?;
        let refuse = |what, message: String| Err(StoreError::Argument { what, message });
        if photograph.caption.chars().count() > CAPTION_MAX || photograph.caption.contains('\0') {
            let message = format!("more than {CAPTION_MAX} characters, or one that is no text");
            return refuse("the caption", message);
        }
        if photograph.bytes.len() > PHOTOGRAPH_BYTES_MAX || photograph.bytes.is_empty() {
            let message = format!(
                "it has {} bytes; accepted: 1 to {PHOTOGRAPH_BYTES_MAX}",
                photograph.bytes.len()
            );
            return refuse("the photograph", message);
        }
        self.try_add_photograph(job, photograph, act)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_add_photograph(
        &self,
        job: &str,
        new: NewPhotograph,
        act: &Act,
    ) -> Result<Photograph, Fault> {
        head_number(&mut *self.inner.pool.acquire().await?, job).await?;
        let folder = self.inner.place.photographs.clone();
        let bytes = new.bytes;
        let hash = off_thread(move || keep_file(&folder, &bytes)).await?;
        let photograph = Photograph {
            op: act.op.clone(),
            hash,
            pinned: new.pinned,
            place: new.place,
            caption: new.caption,
            who: act.who.clone(),
            when: act.when.clone(),
        };
        let mut work = self.write().await?;
        insert_photograph(&mut work, job, &photograph).await?;
        work.commit().await?;
        Ok(photograph)
    }

    /// The photographs of a job, oldest first, each pinned to what its wall is called now.
    pub async fn photographs(&self, job: &str) -> Result<Vec<Photograph>, StoreError> {
        let read = async {
            let mut connection = self.inner.pool.acquire().await?;
            head_number(&mut connection, job).await?;
            let mut photographs = read_photographs(&mut connection, job).await?;
            follow_names(&mut connection, job, &mut photographs).await?;
            Ok(photographs)
        };
        read.await.map_err(|fault: Fault| self.told(fault))
    }

    /// A picture's bytes, proved against its hash.
    pub async fn photograph(&self, hash: &str) -> Result<Vec<u8>, StoreError> {
        if !is_hash(hash) {
            return Err(StoreError::NoSuchPhotograph(shown(hash)));
        }
        let path = self.inner.place.photographs.join(hash);
        let hash = hash.to_owned();
        let read = off_thread(move || match fs::read(&path) {
            Ok(bytes) => Ok((hash_of(&bytes) == hash).then_some(bytes)),
            Err(error) if error.kind() == ErrorKind::NotFound => {
                Err(StoreError::NoSuchPhotograph(hash))
            }
            Err(error) => Err(StoreError::file("read", &path)(error)),
        });
        let what = "a photograph is not what was saved";
        match read.await {
            Ok(Some(bytes)) => Ok(bytes),
            Ok(None) => Err(self.told(Fault::Damage(what.to_owned()))),
            Err(fault) => Err(self.told(fault)),
        }
    }

    /// Takes a photograph out of the job; whether it was there. Its file stays.
    pub async fn remove_photograph(
        &self,
        job: &str,
        op: &str,
        when: &When,
    ) -> Result<bool, StoreError> {
        let write = async {
            let mut work = self.write().await?;
            let removed = sqlx::query(
                "UPDATE photograph SET removed = $1 WHERE job = $2 AND op = $3 AND removed IS NULL",
            )
            .bind(when.as_str())
            .bind(job)
            .bind(op)
            .execute(&mut *work)
            .await?;
            work.commit().await?;
            Ok(removed.rows_affected() == 1)
        };
        write.await.map_err(|fault: Fault| self.told(fault))
    }
}

pub(crate) async fn insert_photograph(
    connection: &mut AnyConnection,
    job: &str,
    new: &Photograph,
) -> Result<(), Fault> {
    let inserted = sqlx::query(
        "INSERT INTO photograph (op, job, hash, pinned, place, caption, who, made, removed) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, NULL) ON CONFLICT (op) DO NOTHING",
    )
    .bind(&new.op)
    .bind(job)
    .bind(&new.hash)
    .bind(&new.pinned)
    .bind(&new.place)
    .bind(&new.caption)
    .bind(&new.who)
    .bind(new.when.as_str())
    .execute(&mut *connection)
    .await?;
    if inserted.rows_affected() == 1 {
        return Ok(());
    }
    let row = sqlx::query("SELECT * FROM photograph WHERE op = $1")
        .bind(&new.op)
        .fetch_one(&mut *connection)
        .await?;
    let known = of_row(&row)?;
    // Sent again, it comes at another moment.
    let asked = Photograph {
        when: known.when.clone(),
        ..new.clone()
    };
    if text(&row, "job")? == job && known == asked {
        return Ok(());
    }
    Err(StoreError::OpReused(new.op.clone()).into())
}

pub(crate) async fn read_photographs(
    connection: &mut AnyConnection,
    job: &str,
) -> Result<Vec<Photograph>, Fault> {
    let rows = sqlx::query("SELECT * FROM photograph WHERE job = $1 AND removed IS NULL")
        .bind(job)
        .fetch_all(connection)
        .await?;
    let mut photographs: Vec<Photograph> = rows.iter().map(of_row).collect::<Result<_, _>>()?;
    photographs.sort_by(|one, other| (&one.when, &one.op).cmp(&(&other.when, &other.op)));
    Ok(photographs)
}

fn of_row(row: &AnyRow) -> Result<Photograph, Fault> {
    // Nothing else in the row may be empty; a caption is any text.
    let caption: String = row.try_get("caption")?;
    Ok(Photograph {
        op: text(row, "op")?,
        hash: text(row, "hash")?,
        pinned: text(row, "pinned")?,
        place: text(row, "place")?,
        caption,
        who: text(row, "who")?,
        when: when(row, "made")?,
    })
}

/// The hash that names a picture's file.
pub(crate) fn hash_of(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

pub(crate) fn is_hash(text: &str) -> bool {
    let digit = |byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f');
    text.len() == 64 && text.bytes().all(digit)
}

/// Puts a picture on the disk under its hash; nothing to do if it is there.
pub(crate) fn keep_file(folder: &Path, bytes: &[u8]) -> Result<String, StoreError> {
    static COUNT: AtomicU64 = AtomicU64::new(0);
    let hash = hash_of(bytes);
    let path = folder.join(&hash);
    if fs::read(&path).is_ok_and(|known| known == bytes) {
        return Ok(hash);
    }
    fs::create_dir_all(folder).map_err(StoreError::file("make the folder", folder))?;
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let part = folder.join(format!("{hash}.part-{}-{count}", std::process::id()));
    let written = write_synced(&part, bytes).and_then(|()| place(&part, &path, folder));
    if written.is_err() {
        // What is left is no picture; that it can't be removed changes nothing about that.
        drop(fs::remove_file(&part));
    }
    written.map(|()| hash)
}

fn write_synced(path: &PathBuf, bytes: &[u8]) -> Result<(), StoreError> {
    let write = || {
        let mut file = File::create(path)?;
        file.write_all(bytes)?;
        file.sync_all()
    };
    write().map_err(StoreError::file("write", path))
}

fn place(part: &Path, path: &Path, folder: &Path) -> Result<(), StoreError> {
    fs::rename(part, path).map_err(StoreError::file("rename", part))?;
    // A name is on the disk when its folder is.
    File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(StoreError::file("flush", folder))
}
