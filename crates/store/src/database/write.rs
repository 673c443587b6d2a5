//! One change of this program at a time, each in its turn.

use std::ops::{Deref, DerefMut};

use sqlx::{Any, AnyConnection, Transaction};
use tokio::sync::MutexGuard;

use crate::Store;
use crate::database::Fault;

/// A transaction that writes; dropped without [`Writing::commit`], it leaves nothing.
pub(crate) struct Writing<'a> {
    // Rolled back before the turn ends: fields are dropped in this order.
    work: Transaction<'static, Any>,
    _turn: Writer<'a>,
}

/// Held while this program writes to a file.
pub(crate) type Writer<'a> = Option<MutexGuard<'a, ()>>;

impl Store {
    /// Waits for its turn to write.
    ///
    /// SQLite has one writer. Whoever waits for it inside SQLite looks again after 1 ms to
    /// 100 ms, in no order, and keeps one of the few connections from readers meanwhile. So the
    /// writers of one program stand in line before they take a connection, and only those of
    /// other programs wait inside. PostgreSQL has as many writers as it is asked for.
    pub(crate) async fn write(&self) -> Result<Writing<'_>, Fault> {
        let turn = self.turn().await;
        self.write_in(turn).await
    }

    /// The turn alone.
    pub(crate) async fn turn(&self) -> Writer<'_> {
        match self.is_file() {
            true => Some(self.inner.writer.lock().await),
            false => None,
        }
    }

    /// Begins to write once its turn has come.
    pub(crate) async fn write_in<'a>(&'a self, turn: Writer<'a>) -> Result<Writing<'a>, Fault> {
        let work = match turn {
            // The lock is taken here, where waiting is possible, and not at the first write
            // after a read, where it is not.
            Some(_) => self.inner.pool.begin_with("BEGIN IMMEDIATE").await?,
            None => self.inner.pool.begin().await?,
        };
        Ok(Writing { work, _turn: turn })
    }
}

impl Writing<'_> {
    /// Puts what was written on the disk.
    pub async fn commit(self) -> Result<(), Fault> {
        Ok(self.work.commit().await?)
    }
}

impl Deref for Writing<'_> {
    type Target = AnyConnection;

    fn deref(&self) -> &AnyConnection {
        &self.work
    }
}

impl DerefMut for Writing<'_> {
    fn deref_mut(&mut self) -> &mut AnyConnection {
        &mut self.work
    }
}
