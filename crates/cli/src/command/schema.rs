//! Prints the shape of a job file, or of what `prove --json` prints.

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
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let schema = match arguments.of {
        Document::Job => model::schema(),
        Document::Findings => view::schema_of::<view::Findings>(),
    };
    files::print(&view::text(&schema))?;
    Ok(Outcome::NothingFails)
}
