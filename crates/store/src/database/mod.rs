//! One open database: SQLite or PostgreSQL, behind one set of statements.

mod check;
mod fault;
mod migrate;
mod write;

use std::fs;
use std::path::Path;
use std::sync::{Arc, Once};
use std::time::Duration;

use jiff::Timestamp;
use model::LimitName;
use sqlx::any::AnyPoolOptions;
use sqlx::{AnyPool, Executor};
use tokio::sync::Mutex;

use crate::beside::Waiting;
use crate::error::Backup;
use crate::jobs::Recent;
use crate::place::{Database, Place};
use crate::{StoreError, Turns, When};
pub(crate) use fault::Fault;
pub(crate) use write::Writing;

/// How long a statement waits for another's lock before it gives up.
const LOCK_WAIT: Duration = Duration::from_secs(10);

/// Readers beside the one writer; a crew has a handful of devices.
const CONNECTIONS_MAX: u32 = 5;

/// What makes SQLite durable: a commit returns when its log is flushed to the disk. Waiting comes
/// first, since two servers that make a file at once both want its journal for themselves.
const SQLITE_SETTINGS: &str = "PRAGMA busy_timeout = 10000; PRAGMA journal_mode = WAL; \
     PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA cell_size_check = ON";

/// The same for PostgreSQL, whatever the server's own setting is.
const POSTGRES_SETTINGS: &str = "SET synchronous_commit = on; SET lock_timeout = '10s'";

/// An open store. Cheap to clone: copies share their connections.
#[derive(Clone, Debug)]
pub struct Store {
    pub(crate) inner: Arc<Inner>,
}

#[derive(Debug)]
pub(crate) struct Inner {
    pub pool: AnyPool,
    /// Held by whoever writes to a file; see [`Store::write`].
    pub writer: Mutex<()>,
    /// Whose turn it is to change a job.
    pub turns: Turns,
    /// Ticks that wait to be written together.
    pub ticks: Waiting,
    /// Revisions of late.
    pub recent: Recent,
    pub place: Place,
    pub limits: Vec<LimitName>,
}

impl Store {
    /// Opens the store, or makes it. `limits` are the limits that a job may change under
    /// `[rules]`, by which documents are read.
    ///
    /// A damaged file is refused and left as it is; the error names the last backup. A store
    /// of a later format is refused; one of an earlier format is brought up to date, and a
    /// copy from before is kept beside it (`<file>.format-<n>`).
    pub async fn open(place: &Place, limits: Vec<LimitName>) -> Result<Self, StoreError> {
        let store = Self::open_with(place, limits, migrate::MIGRATIONS).await?;
        store.keep_backup_if_changed().await;
        Ok(store)
    }

    /// Opens a store for copying alone: no backup is kept of it, no limits are known.
    pub(crate) async fn open_bare(place: &Place) -> Result<Self, StoreError> {
        Self::open_with(place, Vec::new(), migrate::MIGRATIONS).await
    }

    async fn open_with(
        place: &Place,
        limits: Vec<LimitName>,
        migrations: &[&'static str],
    ) -> Result<Self, StoreError> {
        install_drivers();
        if let Database::File(path) = &place.database {
            check::head_of_file(path, place.last_backup()).map_err(|what| corrupt(place, what))?;
        }
        let pool = connect(place).await?;
        let store = Self {
            inner: Arc::new(Inner {
                pool,
                writer: Mutex::default(),
                turns: Turns::default(),
                ticks: Waiting::default(),
                recent: Recent::default(),
                place: place.clone(),
                limits,
            }),
        };
        match store.prepare(migrations).await {
            Ok(()) => Ok(store),
            Err(fault) => {
                let error = store.told(fault);
                store.end().await;
                Err(error)
            }
        }
    }

    async fn prepare(&self, migrations: &[&'static str]) -> Result<(), Fault> {
        self.check_file().await?;
        let prepared = async {
            self.migrate(migrations).await?;
            self.check_heads().await
        };
        match prepared
            .await
            .map_err(|fault: Fault| fault.sorted(&self.inner.place))
        {
            // A table that is not there, a column of another name: what is in the file is not
            // what was written.
            Err(Fault::Sql(error)) if self.is_file() => Err(Fault::Damage(error.to_string())),
            done => done,
        }
    }

    /// Proves every page of a file and the seal of every revision of every job; how many
    /// revisions there are.
    pub async fn prove(&self) -> Result<u64, StoreError> {
        let prove = async {
            self.check_file().await?;
            self.check_revisions().await
        };
        prove.await.map_err(|fault: Fault| self.told(fault))
    }

    /// Closes all connections; SQLite's log is folded into the file, and a backup is kept.
    pub async fn close(&self) {
        if !self.inner.pool.is_closed() {
            self.keep_backup_if_changed().await;
        }
        self.end().await;
    }

    pub(crate) async fn end(&self) {
        self.inner.pool.close().await;
    }

    /// Where the store is.
    pub fn place(&self) -> &Place {
        &self.inner.place
    }

    pub(crate) fn is_file(&self) -> bool {
        matches!(self.inner.place.database, Database::File(_))
    }

    /// What a fault means to whoever asked.
    pub(crate) fn told(&self, fault: impl Into<Fault>) -> StoreError {
        told(&self.inner.place, fault.into())
    }
}

/// Makes both databases known to the driver, once.
fn install_drivers() {
    static DRIVERS: Once = Once::new();
    DRIVERS.call_once(sqlx::any::install_default_drivers);
}

async fn connect(place: &Place) -> Result<AnyPool, StoreError> {
    let settings = match place.database {
        Database::File(_) => SQLITE_SETTINGS,
        Database::Server(_) => POSTGRES_SETTINGS,
    };
    let url = place.url()?;
    // A server may have hung up meanwhile; a file can't.
    let may_break = matches!(place.database, Database::Server(_));
    let options = AnyPoolOptions::new()
        .max_connections(CONNECTIONS_MAX)
        .test_before_acquire(may_break)
        .acquire_timeout(LOCK_WAIT + Duration::from_secs(5))
        .after_connect(move |connection, _| {
            Box::pin(async move { connection.execute(sqlx::raw_sql(settings)).await.map(drop) })
        });
    // One connection first: a pool would try again and again where a file can't be opened,
    // and then say only that it waited too long.
    let mut first = <sqlx::AnyConnection as sqlx::Connection>::connect(&url)
        .await
        .map_err(|error| told(place, Fault::Sql(error)))?;
    first
        .execute(sqlx::raw_sql(settings))
        .await
        .map_err(|error| told(place, Fault::Sql(error)))?;
    sqlx::Connection::close(first)
        .await
        .map_err(|error| told(place, Fault::Sql(error)))?;
    options
        .connect(&url)
        .await
        .map_err(|error| told(place, Fault::Sql(error)))
}

fn told(place: &Place, fault: Fault) -> StoreError {
    match fault.sorted(place) {
        Fault::Told(error) => *error,
        Fault::Damage(what) => corrupt(place, what),
        Fault::Sql(error) => StoreError::Database(error.to_string()),
    }
}

fn corrupt(place: &Place, what: String) -> StoreError {
    StoreError::Corrupt {
        place: place.shown(),
        what,
        backup: backup_at(place.last_backup()),
    }
}

/// The backup at a path, if there is one, with its date.
pub(crate) fn backup_at(path: &Path) -> Option<Backup> {
    let made = fs::metadata(path).and_then(|found| found.modified()).ok()?;
    Some(Backup {
        path: path.to_path_buf(),
        made: When::from_timestamp(Timestamp::try_from(made).ok()?),
    })
}
