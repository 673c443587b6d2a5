//! Prints the shape of a job file, or of what a command prints as JSON.

use clap::{Args, ValueEnum};

use crate::Outcome;
use crate::failure::Failure;
use crate::files;

#[derive(Args)]
pub struct Arguments {
    /// The document that it describes.
    of: Document,
}

#[derive(Clone, Copy, ValueEnum)]
enum Document {
    /// The job file, in TOML.
    Job,
    /// What `prove --json` prints.
    Findings,
    /// What `compare --json` prints.
    Comparison,
    /// What `bass --json` prints.
    Bass,
    /// What `routes --json` prints.
    Routes,
    /// What `wiring --json` prints.
    Wiring,
    /// What `light --json` prints.
    Light,
    /// What `scene` prints.
    Scene,
    /// What `find projector-place --json` prints.
    ProjectorPlace,
    /// What `find largest-picture --json` prints.
    LargestPicture,
    /// What `find display-place --json` prints.
    DisplayPlace,
    /// What `find loudspeaker-place --json` prints.
    LoudspeakerPlace,
    /// What `find loudspeaker-at --json` prints.
    LoudspeakerAt,
    /// What `find layout-places --json` prints.
    LayoutPlaces,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let schema = match arguments.of {
        Document::Job => model::schema(),
        Document::Findings => view::schema_of::<view::Findings>(),
        Document::Comparison => view::schema_of::<view::Comparison>(),
        Document::Bass => view::schema_of::<view::BassStudy>(),
        Document::Routes => view::schema_of::<view::Ways>(),
        Document::Wiring => view::schema_of::<view::Wiring>(),
        Document::Light => view::schema_of::<view::Light>(),
        Document::Scene => view::schema_of::<view::Scene>(),
        Document::ProjectorPlace => view::schema_of::<view::ProjectorPlaces>(),
        Document::LargestPicture => view::schema_of::<view::LargestPictures>(),
        Document::DisplayPlace => view::schema_of::<view::DisplayPlaces>(),
        Document::LoudspeakerPlace => view::schema_of::<view::LoudspeakerPlaces>(),
        Document::LoudspeakerAt => view::schema_of::<view::LoudspeakerAt>(),
        Document::LayoutPlaces => view::schema_of::<view::LayoutPlaces>(),
    };
    files::print(&view::text(&schema))?;
    Ok(Outcome::NothingFails)
}
