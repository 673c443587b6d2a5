//! Turns a spec-sheet table into kit entries of a job file, and back.

use std::path::Path;

use catalogue::{Column, Entry, Fact, Imported, Table};
use clap::{Args, Subcommand};

use crate::Outcome;
use crate::command::prove;
use crate::failure::Failure;
use crate::files::{self, Document};

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand)]
enum What {
    /// Reads a CSV or XLSX table: prints its rows as entries for a job file, and says which
    /// columns were taken for what and which rows were rejected, with the reason for each.
    Read(Reading),
    /// Writes the entries of one kind as CSV, or as XLSX for a file of that name.
    Write(Writing),
}

#[derive(Args)]
struct Reading {
    /// The table: its first row names the columns.
    file: String,
    /// What its rows are: screen, projector, loudspeaker, …
    #[arg(long)]
    kind: String,
    /// The sheet of a workbook; the first with a table when left out.
    #[arg(long)]
    sheet: Option<String>,
    /// What a column holds and in which unit, where the guess is wrong: `"W (net)=size.0,mm"`;
    /// `"Colour="` leaves a column out.
    #[arg(long, value_name = "HEAD=FACT[,UNIT]")]
    column: Vec<String>,
    /// Adds the entries to this job file, in place, in place of those with the same id.
    #[arg(long, value_name = "JOB")]
    into: Option<String>,
}

#[derive(Args)]
struct Writing {
    /// The job file; `-` for standard input.
    job: String,
    /// Which entries: screen, projector, loudspeaker, …
    #[arg(long)]
    kind: String,
    /// The file to write, ending in .csv or .xlsx; standard output as CSV when left out.
    #[arg(short, long)]
    output: Option<String>,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    match &arguments.what {
        What::Read(reading) => read(reading),
        What::Write(writing) => write(writing),
    }
}

fn read(reading: &Reading) -> Result<Outcome, Failure> {
    let facts = facts(&reading.kind)?;
    let bytes =
        std::fs::read(&reading.file).map_err(|error| Failure::opening(&reading.file, &error))?;
    let table = Table::read(&bytes, reading.sheet.as_deref())
        .map_err(|error| Failure::Table(error.to_string()))?;
    let mut columns = catalogue::guess(&table, &facts);
    for said in &reading.column {
        correct(&mut columns, &table, &facts, said)?;
    }
    files::print_aside(&columns_told(&table, &facts, &columns));
    let imported = catalogue::import(&table, &reading.kind, &facts, &columns);
    match &reading.into {
        Some(job) => add(job, &reading.kind, &imported.entries)?,
        None => files::print(&entries_told(&reading.kind, &imported.entries))?,
    }
    files::print_aside(&rejected_told(&imported));
    Ok(match imported.rejected.is_empty() {
        true => Outcome::NothingFails,
        false => Outcome::SomethingFails,
    })
}

fn write(writing: &Writing) -> Result<Outcome, Failure> {
    let facts = facts(&writing.kind)?;
    let document = files::read(&writing.job)?;
    prove::read(&document)?;
    let tree: toml::Table = document
        .text
        .parse()
        .expect("the job was read from this text");
    let entries = (tree.get("kit"))
        .and_then(|kit| kit.get(&writing.kind)?.as_array())
        .into_iter()
        .flatten();
    let entries: Vec<Entry> = (entries)
        .filter_map(|entry| {
            let facts = serde_json::to_value(entry).ok()?;
            Some(Entry {
                id: facts.get("id")?.as_str()?.to_owned(),
                facts: facts.as_object()?.clone(),
            })
        })
        .collect();
    let Some(output) = &writing.output else {
        let text = catalogue::csv(&entries, &facts);
        files::print(&String::from_utf8_lossy(&text))?;
        return Ok(Outcome::NothingFails);
    };
    let ending = Path::new(output)
        .extension()
        .and_then(|ending| ending.to_str());
    let bytes = match ending.map(str::to_lowercase).as_deref() {
        Some("csv") => catalogue::csv(&entries, &facts),
        Some("xlsx") => catalogue::xlsx(&entries, &facts, &writing.kind)
            .map_err(|error| Failure::Table(error.to_string()))?,
        _ => {
            return Err(Failure::Unknown {
                what: "table ending",
                written: output.clone(),
                known: "a table is written as .csv or .xlsx".into(),
            });
        }
    };
    files::create(output, &bytes, "name another file, or move it away first")?;
    Ok(Outcome::NothingFails)
}

fn facts(kind: &str) -> Result<Vec<Fact>, Failure> {
    catalogue::facts(kind).ok_or_else(|| Failure::Unknown {
        what: "kind of kit",
        written: kind.to_owned(),
        known: format!("there is {}", catalogue::kinds().join(", ")),
    })
}

/// Sets right what a column holds, as the command line says it.
fn correct(
    columns: &mut [Column],
    table: &Table,
    facts: &[Fact],
    said: &str,
) -> Result<(), Failure> {
    let (head, holds) = said.rsplit_once('=').unwrap_or((said, ""));
    let (path, unit) = holds
        .split_once(',')
        .map_or((holds, None), |(path, unit)| (path, Some(unit)));
    let Some(at) = table.heads.iter().position(|known| known == head) else {
        return Err(Failure::Unknown {
            what: "column",
            written: head.to_owned(),
            known: format!("the table has {}", table.heads.join(", ")),
        });
    };
    let fact = facts
        .iter()
        .find(|fact| fact.path == path || fact.label == path);
    if fact.is_none() && !path.is_empty() {
        let known: Vec<&str> = facts.iter().map(|fact| fact.path.as_str()).collect();
        return Err(Failure::Unknown {
            what: "fact",
            written: path.to_owned(),
            known: format!("this kind has {}", known.join(", ")),
        });
    }
    columns[at].fact = fact.map(|fact| fact.path.clone());
    columns[at].unit = unit.map(|unit| unit.trim().to_owned());
    columns[at].unit_is_guessed = false;
    Ok(())
}

fn columns_told(table: &Table, facts: &[Fact], columns: &[Column]) -> String {
    let mut text = String::new();
    for column in columns {
        let head = &table.heads[column.index];
        let label = |path: &String| facts.iter().find(|fact| fact.path == *path);
        let Some(fact) = column.fact.as_ref().and_then(label) else {
            text += &format!("column \"{head}\" is left out\n");
            continue;
        };
        let unit = column.unit.as_ref().map_or_else(String::new, |unit| {
            let guessed = if column.unit_is_guessed {
                ", a guess: see that it is right"
            } else {
                ""
            };
            format!(", bare numbers in {unit}{guessed}")
        });
        text += &format!(
            "column \"{head}\" is read as {} ({}){unit}\n",
            fact.label, fact.path
        );
    }
    text
}

fn entries_told(kind: &str, entries: &[Entry]) -> String {
    let mut text = String::new();
    for entry in entries {
        let facts =
            toml::to_string(&entry.facts).expect("an entry is texts, numbers, lists and tables");
        text += &format!("[[kit.{kind}]]\n{facts}\n");
    }
    text
}

fn rejected_told(imported: &Imported) -> String {
    let mut text = String::new();
    for bad in &imported.rejected {
        let column = bad
            .column
            .as_ref()
            .map_or_else(String::new, |head| format!(", column \"{head}\""));
        text += &format!("row {}{column}: {}", bad.row, bad.reason);
        if !bad.accepted.is_empty() {
            text += &format!("; accepted: {}", bad.accepted);
        }
        text.push('\n');
    }
    let mut rows: Vec<usize> = imported.rejected.iter().map(|bad| bad.row).collect();
    rows.dedup();
    let rows_word = if imported.entries.len() == 1 {
        "row"
    } else {
        "rows"
    };
    text += &format!(
        "{} {rows_word} read, {} rejected\n",
        imported.entries.len(),
        rows.len()
    );
    text
}

/// Adds entries to a job file without losing a comment.
fn add(job: &str, kind: &str, entries: &[Entry]) -> Result<(), Failure> {
    let document = files::read(job)?;
    prove::read(&document)?;
    let edits: Vec<model::Edit> = (entries.iter())
        .map(|entry| model::Edit::set(format!("kit.{kind}.{}", entry.id), entry.facts.clone()))
        .collect();
    let text = model::edited_text(&document.text, &edits)
        .map_err(|error| Failure::Table(error.to_string()))?;
    let changed = Document {
        name: document.name,
        text,
    };
    prove::read(&changed)?;
    files::replace(job, &changed.text)
}
