//! The store as its callers see it, on both databases.

#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "helpers of tests fail and tell as tests do"
)]

mod backups;
mod beside;
mod bundles;
mod faults;
mod fixtures;
mod history;
mod merging;
mod removing;
mod saving;
mod scratch;
mod undoing;
