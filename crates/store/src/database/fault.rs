//! What does a database's error mean: a full disk, a damaged file, somebody else's lock?

use sqlx::error::DatabaseError;

use crate::StoreError;
use crate::place::{Database, Place};

/// What stops the work inside the store, before it is told with the store's place.
#[derive(Debug)]
pub(crate) enum Fault {
    Told(Box<StoreError>),
    Damage(String),
    Sql(sqlx::Error),
}

impl From<StoreError> for Fault {
    fn from(error: StoreError) -> Self {
        Self::Told(Box::new(error))
    }
}

impl From<sqlx::Error> for Fault {
    fn from(error: sqlx::Error) -> Self {
        Self::Sql(error)
    }
}

/// SQLite's result codes: <https://www.sqlite.org/rescode.html>. The lower eight bits are the
/// primary code.
mod sqlite {
    pub const PERM: u32 = 3;
    pub const BUSY: u32 = 5;
    pub const LOCKED: u32 = 6;
    pub const READONLY: u32 = 8;
    pub const IOERR: u32 = 10;
    pub const CORRUPT: u32 = 11;
    pub const FULL: u32 = 13;
    pub const CANTOPEN: u32 = 14;
    pub const NOTADB: u32 = 26;
}

impl Fault {
    /// Whether another's row came first: both databases then let exactly one of two win.
    pub fn is_lost_race(&self) -> bool {
        match self {
            Self::Sql(sqlx::Error::Database(error)) => error.is_unique_violation(),
            _ => false,
        }
    }

    /// Turns the database's error into what it means for this place.
    pub fn sorted(self, place: &Place) -> Self {
        let Self::Sql(error) = self else {
            return self;
        };
        match &error {
            sqlx::Error::Database(told) => {
                let code = told.code().unwrap_or_default();
                let sorted = match place.database {
                    Database::File(_) => of_sqlite(place, &code, told.as_ref()),
                    Database::Server(_) => of_postgres(place, &code, told.as_ref()),
                };
                sorted.unwrap_or(Self::Sql(error))
            }
            sqlx::Error::PoolTimedOut => {
                StoreError::Busy("no connection came free in time".to_owned()).into()
            }
            sqlx::Error::ColumnDecode { .. } | sqlx::Error::Decode(_) => {
                Self::Damage(error.to_string())
            }
            sqlx::Error::Io(_)
            | sqlx::Error::Tls(_)
            | sqlx::Error::PoolClosed
            | sqlx::Error::WorkerCrashed
            | sqlx::Error::Configuration(_)
            | sqlx::Error::Protocol(_) => StoreError::Unreachable {
                place: place.shown().display().to_string(),
                message: error.to_string(),
            }
            .into(),
            _ => Self::Sql(error),
        }
    }
}

fn of_sqlite(place: &Place, code: &str, told: &dyn DatabaseError) -> Option<Fault> {
    let message = told.message().to_owned();
    let place = place.shown();
    Some(match code.parse::<u32>().ok()? & 0xff {
        sqlite::BUSY | sqlite::LOCKED => StoreError::Busy(message).into(),
        sqlite::FULL => StoreError::Full { place, message }.into(),
        sqlite::IOERR => StoreError::Disk { place, message }.into(),
        sqlite::PERM | sqlite::READONLY | sqlite::CANTOPEN => {
            StoreError::NotWritable { place, message }.into()
        }
        sqlite::CORRUPT | sqlite::NOTADB => Fault::Damage(message),
        _ => return None,
    })
}

/// SQLSTATE codes: PostgreSQL 15 manual, appendix A.
fn of_postgres(place: &Place, code: &str, told: &dyn DatabaseError) -> Option<Fault> {
    let message = told.message().to_owned();
    let place = place.shown();
    Some(match code {
        "40001" | "40P01" | "55P03" | "57014" => StoreError::Busy(message).into(),
        "53100" => StoreError::Full { place, message }.into(),
        "58030" => StoreError::Disk { place, message }.into(),
        "25006" | "42501" => StoreError::NotWritable { place, message }.into(),
        "XX001" | "XX002" => Fault::Damage(message),
        _ if code.starts_with("08") || code.starts_with("28") || code.starts_with("57P") => {
            StoreError::Unreachable {
                place: place.display().to_string(),
                message,
            }
            .into()
        }
        "3D000" | "53300" => StoreError::Unreachable {
            place: place.display().to_string(),
            message,
        }
        .into(),
        _ => return None,
    })
}
