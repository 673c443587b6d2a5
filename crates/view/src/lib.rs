//! What every door shows of a job: JSON shapes, and the functions that fill them.
//!
//! The command, the server and the page show the same answers because all of them take them
//! from here. Nothing is judged and no limit stands here: verdicts, sentences and numbers
//! are those of `analysis` and `checks`. Pure: the same job gives the same bytes.
//!
//! Numbers are SI (m, rad) whatever the job's units; fields that end in `_text`, `label`,
//! `says`, `words` and `because` are for people, in the job's units.

mod about;
mod bass_fitting;
mod bass_heard;
mod bass_put;
mod bass_study;
mod compare;
mod conduits;
mod document;
mod drawn;
mod fact;
mod field;
mod field_text;
mod fields;
mod finding;
mod findings;
mod found;
mod found_loudspeakers;
mod light;
mod moves;
pub mod scene;
mod schedule;
mod schema;
mod sound;
mod tellings;
mod walk;
mod ways;
mod wiring;
mod words;

use schemars::{JsonSchema, Schema};
use serde::Serialize;
use serde_json::Value;

pub use bass_fitting::BassFitting;
pub use bass_heard::*;
pub use bass_put::BassPut;
pub use bass_study::*;
pub use compare::*;
pub use conduits::*;
pub use drawn::*;
pub use fact::name_of;
pub use field::*;
pub use field_text::{completed, field, may_be_completed};
pub use finding::*;
pub use findings::{
    counts, delta, delta_between, finding, findings, findings_shown, key, key_of, limits, manual,
};
pub use found::*;
pub use found_loudspeakers::*;
pub use light::*;
pub use moves::{Move, MoveError, MoveTo, Moved, edits_of};
pub use scene::{Scene, scene};
pub use schedule::{SCHEDULE_HEADS, cable_schedule};
pub use sound::*;
pub use tellings::{Tellings, Told};
pub use walk::{Blank, Closes, Room, Walk, WalkSuspect, WalkThing, WalkWall, walk};
pub use ways::*;
pub use wiring::*;

/// The JSON Schema (draft 2020-12) of what a shape serialises to.
pub fn schema_of<T: JsonSchema>() -> Value {
    let generator = schemars::generate::SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator();
    Schema::to_value(generator.into_root_schema_for::<T>())
}

/// A document for people and programs, ending in a line end.
pub fn text(value: &impl Serialize) -> String {
    let text = serde_json::to_string_pretty(value).expect("keys are texts");
    text + "\n"
}
