//! The `dryfit` command: proves a job before the van leaves.

mod command;
mod data;
mod diagnose;
mod failure;
mod files;
mod name;
mod report;
mod style;

use std::process::ExitCode;

use clap::Parser;

use crate::command::Command;

/// A sixth of a proof goes into asking for small pieces of memory and giving them back, which this
/// allocator does in half the time of the system's (docs/performance.md).
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Proves a home-cinema or house-audio job before the van leaves.
#[derive(Parser)]
#[command(name = "dryfit", version, max_term_width = 100, after_help = EXIT_CODES)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

const EXIT_CODES: &str = "\
Exit status: 0 when nothing fails, 1 when something fails, 2 when the input is bad.
Colour is used on a terminal only, and not when NO_COLOR is set.";

/// How a command ended that did what it was asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// Nothing fails.
    NothingFails,
    /// A finding fails, or a published value is not met.
    SomethingFails,
}

fn main() -> ExitCode {
    match Arguments::parse().command.run() {
        Ok(Outcome::NothingFails) => ExitCode::SUCCESS,
        Ok(Outcome::SomethingFails) => ExitCode::from(1),
        Err(failure) => {
            files::print_error(&failure);
            ExitCode::from(2)
        }
    }
}
