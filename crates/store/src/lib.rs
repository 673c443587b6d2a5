//! Jobs on disk: every revision kept, changes of several people merged, nothing lost.
//!
//! One [`Store`] is one database: a SQLite file, or a PostgreSQL database by its address.
//! Both run the same statements. A job is a line of revisions, each with its whole text;
//! [`Store::save`] adds one, and when others saved since the change began, merges it fact
//! by fact and keeps what contradicts as [`Contested`]. Undo and redo are revisions too.
//!
//! The store has no clock: whoever calls it says who acts and when ([`Act`]). What was
//! acknowledged is on the disk: SQLite runs with a write-ahead log that is flushed at every
//! commit (`synchronous=FULL`), PostgreSQL with `synchronous_commit=on`.
//!
//! Several servers may work on one store: every change first takes the job's row for
//! itself, so that the second waits for the first. SQLite's locks need a local disk.

mod act;
mod backup;
mod beside;
mod bundle;
mod database;
mod document;
mod error;
mod jobs;
mod merge;
mod place;
mod turns;

pub use act::{Act, When};
pub use beside::{CatalogueEntry, NewPhotograph, Photograph, Session, Tick};
pub use bundle::{History, is_bundle};
pub use database::Store;
pub use document::FactChange;
pub use error::{Backup, StoreError};
pub use jobs::{
    Change, Claim, Contested, Entry, JobEntry, Kind, MergedOver, Removal, Revision, Saved, Side,
    Undoable,
};
pub use place::Place;
pub use turns::{Turn, Turns};
