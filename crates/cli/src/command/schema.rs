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
    /// What `scene` prints.
    Scene,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let schema = match arguments.of {
        Document::Job => model::schema(),
        Document::Findings => view::schema_of::<view::Findings>(),
        Document::Comparison => view::schema_of::<view::Comparison>(),
        Document::Scene => view::schema_of::<view::Scene>(),
    };
    files::print(&view::text(&schema))?;
    Ok(Outcome::NothingFails)
}
