//! Proves an invented house that comes with the program, and prints its sheets.

use checks::prove;

use crate::failure::Failure;
use crate::files::{self, Document};
use crate::report::{self, Shown};
use crate::{Outcome, command};

const NAME: &str = "the demo house";
const HOUSE: &str = include_str!("../../../../jobs/harbour-lane-surveyed.toml");

pub fn run() -> Result<Outcome, Failure> {
    let document = Document {
        name: NAME.to_owned(),
        text: HOUSE.to_owned(),
    };
    let job = command::prove::read(&document)?;
    let proof = prove(job.clone());
    let shown = Shown {
        findings: proof.findings.iter().collect(),
        all: true,
    };
    files::print(&report::text(&job, &proof, &shown, files::output_style()))?;
    #[cfg(feature = "sheets")]
    {
        use command::sheets::{Paper, write};
        files::print(&write(&job, "out", Paper::Letter, "", Vec::new())?)?;
    }
    Ok(command::prove::outcome(&proof))
}
