//! Prints one space as it is drawn: walls, bodies and lines of sight, as JSON.

use checks::Proved;
use clap::Args;

use crate::failure::Failure;
use crate::{Outcome, command, files, name};

#[derive(Args)]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// The space.
    #[arg(long, value_name = "ID")]
    space: String,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let proved = Proved::new(job.clone());
    let findings: Vec<_> = proved.findings().collect();
    let Some(scene) = view::scene(proved.analysis(), &findings, &arguments.space) else {
        let ids = job.space.iter().map(|space| space.id.as_str());
        return Err(name::unknown("space", &arguments.space, ids, ""));
    };
    files::print(&view::text(&scene))?;
    Ok(Outcome::NothingFails)
}
