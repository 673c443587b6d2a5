//! The shapes of every golden job and of small ones.

mod blanks;
mod fields;
mod jobs;
mod laws;
mod moves;
mod snapshots;
mod walk;
