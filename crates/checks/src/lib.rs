//! Each question that dryfit proves, one file a check.
//!
//! A check is a question about the job with a cited limit. It reads an
//! [`Analysis`], never stores anything and never calls another check. [`prove`] runs
//! them all, tries every remedy on a copy of the job, and lists what to measure again.

mod activity_report;
mod bass;
mod cables;
mod caution;
mod check;
mod circuit_report;
mod conduit_report;
mod cut_out_report;
mod finding;
mod fitting;
pub mod light_year;
mod measure_again;
mod picture;
mod power;
mod prove;
mod rack_report;
mod remedy;
mod shared;
mod signal;
mod signal_diagram;
mod sound;
mod sound_map;
mod sound_report;
mod starting_settings;
mod structure;
mod survey;
mod verdict;

/// Tables whose rows a job file names: finishes, loudspeaker layouts, woods.
pub mod tables {
    pub use ::acoustics::{finishes, layout};
    pub use ::structure::wood;
}

/// Rules of codes and trade as data, each with its clause.
pub mod rules {
    pub use ::wiring::rules::*;
}

/// Where a projector may be, as its checks judge it: for finders.
pub mod hanging {
    pub use crate::shared::beam::Solid;
    pub use crate::shared::hanging::*;
}

/// Where a loudspeaker may be, as its checks judge it: for finders.
pub mod placing {
    pub use crate::shared::placing::*;
}

pub use activity_report::{
    ActivityReport, ActivityTold, AddressTold, LeadTold, StepTold, activity_report,
};
pub use analysis::{
    Analysis, COVERAGE_FACTOR, Known, Limit, LimitValue, Means, Missing, Source, Uncertain,
};
pub use caution::Caution;
pub use check::{Area, Check, Run, all, find, limit_names, references};
pub use circuit_report::{CircuitPart, CircuitTold, circuits_told};
pub use conduit_report::{ConduitSection, SectionCable, conduit_sections};
pub use cut_out_report::{CutOutTold, cut_outs_told};
pub use finding::{Decider, Finding, Found, Outcome, Subject};
pub use fitting::{fitting_cautions, fixture_caution};
pub use measure_again::MeasureAgain;
pub use power::{CupboardState, cupboard_states};
pub use prove::{
    Again, Counts, Pictures, Proof, Proved, prove, prove_again, prove_unless,
    prove_without_remedies,
};
pub use rack_report::{RackTold, RackedTold, racks_told};
pub use remedy::{Change, Cost, Effect, Remedy};
pub use shared::aiming::turn_words;
pub use signal_diagram::{Carried, SignalBox, SignalDiagram, SignalLead, signal_diagram};
pub use sound_map::{ChannelAngle, LevelMap, MAP_HZ, SeatAngles, channel_angles, level_map};
pub use sound_report::{
    DecayOctave, LEVEL_HZ, NOISE_OCTAVES_HZ, RayTimes, ReflectionLine, SeatLevels, SeatNoise,
    SoundReport, noise_curve_db, ray_times, sound_report,
};
pub use starting_settings::{StartingLine, StartingSettings, starting_settings};
pub use units::Reference as Published;
pub use verdict::Verdict;

// Named here so that a check says `crate::moves`, wherever the file lies.
use shared::{
    aiming, beam, beam_obstacles, before_wall, behind, chain, conduits, controlled, cut_out,
    driven, floor_space, framed, garden_sound, hops, in_ceiling, in_line, listening, mounted,
    moves, neighbours, obstacles, passing, plate, playing, room_sound, runs, screen_light,
    seat_sound, seats_apart, seeing, shifting, speaker_wire, track, whole,
};

#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
