//! The store as its callers see it, on both databases.

mod history;
mod merging;
mod saving;
mod scratch;
mod undoing;
