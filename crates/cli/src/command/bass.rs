//! Solves a space's bass and says where subs may best stand, and how each is set.

use std::io::{IsTerminal, Write};
use std::ops::ControlFlow;

use analysis::Analysis;
use bass::{Asked, Solved, study};
use clap::Args;
use units::{Decibels, Hertz};
use view::{BassArrangement, BassStudy, bass_study};

use crate::failure::Failure;
use crate::report::Page;
use crate::{Outcome, command, files, name};

#[derive(Args)]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// The space.
    #[arg(long, value_name = "ID")]
    space: String,
    /// Up to so many subs.
    #[arg(long, default_value_t = 4, value_parser = clap::value_parser!(u8).range(1..=4))]
    subs: u8,
    /// The wave equation is solved up to here, Hz.
    #[arg(long, value_name = "HZ", default_value_t = 200, value_parser = clap::value_parser!(u16).range(130..=400))]
    top: u16,
    /// The level that all subs together should reach at the seats, dB.
    #[arg(long, value_name = "DB", default_value_t = 115)]
    level: u8,
    /// Print the answer as JSON, all numbers in SI; `schema bass` describes it.
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let analysis = Analysis::new(job.clone());
    let Some(space) = analysis.space(&arguments.space) else {
        let ids = job.space.iter().map(|space| space.id.as_str());
        return Err(name::unknown("space", &arguments.space, ids, ""));
    };
    let asked = Asked {
        subs: usize::from(arguments.subs),
        wanted: Decibels(f64::from(arguments.level)),
        ..Asked::usual()
    };
    let top = Hertz(f64::from(arguments.top));
    let solved = Solved::new(&analysis, space, top, &mut |share| {
        told("Solving the wave equation", share);
        ControlFlow::Continue(())
    })?;
    let told = study(&solved, &analysis, space, &asked, &|share| {
        told("Comparing places", share);
        ControlFlow::Continue(())
    })?;
    let shown = bass_study(&analysis, space, &told);
    files::print(&match arguments.json {
        true => view::text(&shown),
        false => text(&shown),
    })?;
    Ok(Outcome::NothingFails)
}

/// Progress for a person who waits, on the error stream, one line that is written over.
fn told(what: &str, share: f64) {
    let mut out = std::io::stderr();
    if out.is_terminal() {
        let end = if share >= 1.0 { "\r\x1b[K" } else { "" };
        // Nobody is helped by an error about a progress line.
        let _ = write!(out, "\r{what}: {:3.0} %{end}", share * 100.0);
        let _ = out.flush();
    }
}

fn text(study: &BassStudy) -> String {
    let mut page = Page::default();
    page.wrapped(
        0,
        &format!(
            "Bass in {}, solved up to {:.0} Hz, for {}.",
            study.label,
            study.holds_up_to_hz,
            match study.seats.len() {
                1 => "1 seat".to_owned(),
                seats => format!("{seats} seats"),
            }
        ),
    );
    for assumed in &study.assumed {
        page.hanging_from(2, "- ", assumed);
    }
    page.blank();
    match &study.planned {
        Some(planned) => {
            page.line("As planned");
            arranged(&mut page, planned, "");
        }
        None => page.line("No sub is placed yet."),
    }
    page.blank();
    for best in &study.best {
        let proven = if best.is_proven {
            "proven among all settings tried"
        } else {
            "found by search"
        };
        page.line(&match best.subs {
            1 => "Best place for one sub".to_owned(),
            subs => format!("Best places for {subs} subs ({proven})"),
        });
        for (at, one) in best.ranked.iter().enumerate() {
            let rank = match (at, one.equals_best) {
                (0, _) => "",
                (_, true) => "As good, as far as the room is known: ",
                (_, false) => "Next of another kind: ",
            };
            arranged(&mut page, one, rank);
        }
        page.blank();
    }
    page.line("Resonances");
    for resonance in &study.resonances {
        page.hanging_from(2, "", &resonance.says);
    }
    page.blank();
    for caution in &study.cautions {
        page.wrapped(0, &format!("CAUTION: {caution}"));
    }
    page.text()
}

fn arranged(page: &mut Page, arrangement: &BassArrangement, rank: &str) {
    page.wrapped(
        2,
        &format!("{rank}{}.", sentence(&arrangement.says, rank.is_empty())),
    );
    for sub in &arrangement.subs {
        page.hanging_from(4, "- ", &format!("{}: {}", sub.words, sub.set));
    }
}

fn sentence(says: &str, begins: bool) -> String {
    let mut letters = says.chars();
    match (letters.next(), begins) {
        (Some(first), true) => first.to_uppercase().chain(letters).collect(),
        _ => says.to_owned(),
    }
}
