//! Which chores does the repository have, and which one is asked for?

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a command talks to its terminal"
)]

mod ci;
mod codegen;
mod tidy;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

const USAGE: &str = "\
usage: cargo xtask <command>

  ci       everything CI does, quickest first: formatting, house rules, clippy, the
           command, its published values, the page, doc tests, tests
  codegen  crates/server/openapi.json, and the page's types from it
  tidy     the house rules alone";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let result = match words.as_slice() {
        ["ci"] => ci::run(&root()),
        ["codegen"] => codegen::run(&root()),
        ["tidy"] => tidy::run(&root()),
        ["help" | "--help" | "-h"] => {
            println!("{USAGE}");
            Ok(())
        }
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("xtask: {message}");
            ExitCode::FAILURE
        }
    }
}

/// The repository's top folder, two above this crate.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .expect("crates/xtask has two folders above it")
        .to_path_buf()
}
