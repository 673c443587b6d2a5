//! The job: its facts, its file and changes to it.
//!
//! A job is one plain TOML document that a person can read, diff and mail. This crate
//! holds its single shape ([`Job`]), reads it with every mistake reported at its place
//! ([`read`]), and changes it ([`Edit`]) without losing a comment. Every fact may be
//! left out: what is not known yet is what the proof asks for.

mod activity;
mod cable;
mod edit;
mod item;
mod job;
mod kit;
mod light;
mod measured;
mod measurements;
mod pathway;
mod place;
mod port;
mod read;
mod rename;
mod reverberation;
mod space;
mod validate;

pub use activity::*;
pub use cable::*;
pub use edit::{Edit, EditError, EditedText, edited_text};
pub use item::*;
pub use job::*;
pub use kit::*;
pub use light::*;
pub use measured::*;
pub use measurements::Measurements;
pub use pathway::*;
pub use place::*;
pub use port::*;
pub use read::{LimitName, Problem, Suggestion, read, schema};
pub use reverberation::*;
pub use space::*;
