//! Lists the rules of codes that ship, or reads a file of a shop's own and says how a job takes
//! them over.

use checks::rules::{Rule, read, shipped};
use clap::Args;

use crate::failure::Failure;
use crate::report::{Page, printable};
use crate::{Outcome, files};

/// Columns before what is told of a rule.
const INDENT: usize = 4;

#[derive(Args)]
pub struct Arguments {
    /// A file of rules to read, with the same columns as `--csv` prints; those that ship when
    /// left out.
    file: Option<String>,
    /// Print the rules that ship as such a file, to change it.
    #[arg(long, conflicts_with = "file")]
    csv: bool,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    if arguments.csv {
        files::print(checks::rules::SHIPPED_TEXT)?;
        return Ok(Outcome::NothingFails);
    }
    let Some(file) = &arguments.file else {
        files::print(&told(shipped()))?;
        return Ok(Outcome::NothingFails);
    };
    let document = files::read(file)?;
    match read(&document.text) {
        Ok(rules) => {
            files::print(&(told(&rules) + &as_limits(&rules)))?;
            Ok(Outcome::NothingFails)
        }
        Err(errors) => {
            let lines: Vec<String> = (errors.iter())
                .map(|error| format!("{file}, {error}"))
                .collect();
            Err(Failure::Table(lines.join("\n")))
        }
    }
}

fn told(rules: &[Rule]) -> String {
    let mut page = Page::default();
    for rule in rules {
        page.line(&printable(&format!("{}  {}", rule.name, rule.written)));
        page.wrapped(
            INDENT,
            &printable(&format!(
                "{}; {} ({})",
                rule.meaning,
                rule.clause,
                rule.mark.words()
            )),
        );
    }
    page.text()
}

/// Those that a job can change, as it writes them.
fn as_limits(rules: &[Rule]) -> String {
    let names = checks::limit_names();
    let known: Vec<&Rule> = (rules.iter())
        .filter(|rule| names.iter().any(|limit| limit.name == rule.name))
        .collect();
    if known.is_empty() {
        return String::new();
    }
    let quoted = |text: &str| toml::Value::from(text).to_string();
    let mut text = String::from("\n# for the job file\n[rules]\n");
    for rule in &known {
        text += &format!("{} = {}\n", rule.name, quoted(&rule.written));
    }
    text += "[rules.reason]\n";
    for rule in &known {
        text += &format!("{} = {}\n", rule.name, quoted(&rule.clause));
    }
    text
}
