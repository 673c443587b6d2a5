//! The commands, one file each.

mod activities;
mod bass;
mod catalogue;
mod compare;
mod demo;
mod explain;
mod find;
mod jobs;
mod labels;
mod light;
mod new;
mod prove;
mod routes;
mod rules;
mod scene;
mod schema;
mod serve;
mod share;
#[cfg(feature = "sheets")]
mod sheets;
mod sound;
mod verify;
mod wiring;

use std::path::Path;

use clap::Subcommand;

use crate::Outcome;
use crate::failure::Failure;
use crate::files;

#[derive(Subcommand)]
pub enum Command {
    /// Writes a job file to fill in, with every blank still unknown.
    New(new::Arguments),
    /// Proves a job: what fits, what fails, by how much, and what would mend it.
    Prove(prove::Arguments),
    /// Compares two states of a job: facts that differ, and findings that turned.
    Compare(compare::Arguments),
    /// Prints which way each cable takes, what it costs, and from which spool it is cut.
    Routes(routes::Arguments),
    /// Prints what each button switches and selects, and what can't be had at the same time.
    Activities(activities::Arguments),
    /// Prints racks by units, loads of circuits, which thing is joined to which, and cut-outs.
    Wiring(wiring::Arguments),
    /// Writes labels for both ends of each cable, at the sizes of a sheet of stickers.
    Labels(labels::Arguments),
    /// Lists rules of codes with their clauses, or reads a file of them.
    Rules(rules::Arguments),
    /// Finds where a projector can hang, how large a picture can be, how high a display hangs.
    Find(find::Arguments),
    /// Solves the bass of a space, and says where subs may best stand and how each is set.
    Bass(bass::Arguments),
    /// Prints what each room will sound like: how long it rings, what comes back from where.
    Sound(sound::Arguments),
    /// Prints the contrast of projected pictures by month and hour, and from when on they can be watched.
    Light(light::Arguments),
    /// Prints one space as it is drawn, with walls, bodies and lines of sight, as JSON.
    Scene(scene::Arguments),
    /// Prints the sheets of a job: plans, walls, ceilings, cables and parts as PDF and SVG.
    #[cfg(feature = "sheets")]
    Sheets(sheets::Arguments),
    /// Opens the page at an address of this machine, and keeps its jobs.
    Serve(serve::Arguments),
    /// Lists the jobs that the page keeps; puts one away, and back.
    Jobs(jobs::Arguments),
    /// Takes a job file in among the jobs that the page keeps.
    Import(jobs::Import),
    /// Writes the file of a job that the page keeps.
    Export(jobs::Export),
    /// Writes every job that the page keeps into one file.
    Backup(jobs::Backup),
    /// Puts a backup in the place of the jobs that the page keeps; close the page before.
    Restore(jobs::Restore),
    /// Turns a spec-sheet table into kit entries of a job file, and back.
    Catalogue(catalogue::Arguments),
    /// Says what a check proves, by which formula and from which source; lists words to use.
    Explain(explain::Arguments),
    /// Recomputes every published value and compares.
    Verify,
    /// Prints the JSON Schema of a job file, or of what a command prints as JSON.
    Schema(schema::Arguments),
    /// Proves an invented house that comes with the program, and writes its sheets to ./out.
    Demo,
}

impl Command {
    pub fn run(self) -> Result<Outcome, Failure> {
        match self {
            Self::New(arguments) => new::run(&arguments),
            Self::Prove(arguments) => prove::run(&arguments),
            Self::Compare(arguments) => compare::run(&arguments),
            Self::Routes(arguments) => routes::run(&arguments),
            Self::Activities(arguments) => activities::run(&arguments),
            Self::Wiring(arguments) => wiring::run(&arguments),
            Self::Labels(arguments) => labels::run(&arguments),
            Self::Rules(arguments) => rules::run(&arguments),
            Self::Find(arguments) => find::run(&arguments),
            Self::Bass(arguments) => bass::run(&arguments),
            Self::Sound(arguments) => sound::run(&arguments),
            Self::Light(arguments) => light::run(&arguments),
            Self::Scene(arguments) => scene::run(&arguments),
            #[cfg(feature = "sheets")]
            Self::Sheets(arguments) => sheets::run(&arguments),
            Self::Serve(arguments) => serve::run(&arguments),
            Self::Jobs(arguments) => jobs::run(&arguments),
            Self::Import(arguments) => jobs::import(&arguments),
            Self::Export(arguments) => jobs::export(&arguments),
            Self::Backup(arguments) => jobs::backup(&arguments),
            Self::Restore(arguments) => jobs::restore(&arguments),
            Self::Catalogue(arguments) => catalogue::run(&arguments),
            Self::Explain(arguments) => explain::run(&arguments),
            Self::Verify => verify::run(),
            Self::Schema(arguments) => schema::run(&arguments),
            Self::Demo => demo::run(),
        }
    }
}

/// A table to a file that is not there yet, as its ending says.
pub fn write_table(
    output: &str,
    name: &str,
    heads: &[&str],
    rows: &[Vec<String>],
) -> Result<(), Failure> {
    let ending = Path::new(output)
        .extension()
        .and_then(|ending| ending.to_str());
    let bytes = match ending.map(str::to_lowercase).as_deref() {
        Some("csv") => ::catalogue::table_csv(heads, rows),
        Some("xlsx") => ::catalogue::table_xlsx(name, heads, rows)
            .map_err(|error| Failure::Table(error.to_string()))?,
        _ => {
            return Err(Failure::Unknown {
                what: "table ending",
                written: output.to_owned(),
                known: "a table is written as .csv or .xlsx".into(),
            });
        }
    };
    files::create(output, &bytes, "name another file, or move it away first")
}
