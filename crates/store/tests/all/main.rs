//! The store as its callers see it, on both databases.

mod backups;
mod beside;
mod bundles;
mod faults;
mod fixtures;
mod history;
mod merging;
mod saving;
mod scratch;
mod undoing;
