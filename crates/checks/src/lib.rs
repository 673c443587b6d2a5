//! Each question that dryfit proves, one file a check.
//!
//! A check is a question about the job with a cited limit. It reads an
//! [`Analysis`], never stores anything and never calls another check. [`prove`] runs
//! them all, tries every remedy on a copy of the job, and lists what to measure again.

mod beam;
mod beam_obstacles;
mod before_wall;
mod caution;
mod chain;
mod check;
mod driven;
mod finding;
mod listening;
mod measure_again;
mod mounted;
mod moves;
mod neighbours;
mod obstacles;
mod prove;
mod remedy;
mod room_sound;
mod screen_light;
mod seeing;
mod track;
mod verdict;

mod bass;
mod cables;
mod picture;
mod power;
mod signal;
mod sound;
mod structure;
mod survey;

pub use analysis::{
    Analysis, COVERAGE_FACTOR, Known, Limit, LimitValue, Means, Missing, Source, Uncertain,
};
pub use caution::Caution;
pub use check::{Area, Check, Run, all, find, limit_names, references};
pub use finding::{Decider, Finding, Outcome, Subject};
pub use measure_again::MeasureAgain;
pub use prove::{Counts, Proof, prove, prove_without_remedies};
pub use remedy::{Change, Cost, Effect, Remedy};
pub use units::Reference as Published;
pub use verdict::Verdict;

#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
