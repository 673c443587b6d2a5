//! Solves a space's bass and says where subs may best stand, and how each is set.

use std::io::{IsTerminal, Write};
use std::ops::ControlFlow;

use analysis::Analysis;
use bass::Study;
use bass::{Asked, Ready, Solved, planned};
use clap::Args;
use model::Space;
use server::Shelf;
use units::{Decibels, Hertz};
use view::{BassArrangement, BassStudy, bass_study};

use crate::data::Data;
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
    /// The frequency at which subs and mains part, Hz.
    #[arg(long, value_name = "HZ", default_value_t = 80, value_parser = clap::value_parser!(u8).range(30..=160))]
    crossover: u8,
    #[command(flatten)]
    data: Data,
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
        crossover: Hertz(f64::from(arguments.crossover)),
        ..Asked::usual()
    };
    let top = Hertz(f64::from(arguments.top));
    let study = studied(&analysis, space, top, &asked, &arguments.data.solves()?)?;
    let shown = bass_study(&analysis, space, &study);
    files::print(&match arguments.json {
        true => view::text(&shown),
        false => text(&shown),
    })?;
    Ok(Outcome::NothingFails)
}

/// The sheet of each cinema's bass with its subs as they are planned, or the best for one.
#[cfg(feature = "sheets")]
pub fn sheets(
    job: &std::sync::Arc<model::Job>,
    shelf: &Shelf,
    paper: sheets::Paper,
) -> Result<Vec<sheets::Sheet>, Failure> {
    let analysis = Analysis::new(job.clone());
    let mut all = Vec::new();
    for space in &job.space {
        let is_cinema = analysis.zones_in(space).any(|zone| zone.layout.is_some());
        if !is_cinema || space.seat.is_empty() {
            continue;
        }
        match studied(&analysis, space, Hertz(200.0), &Asked::usual(), shelf) {
            Ok(study) => {
                let shown = bass_study(&analysis, space, &study);
                all.extend(server::bass_sheet(&shown, paper));
            }
            // A space that can't be solved has no sheet; the others have theirs.
            Err(Failure::Bass(fault)) => {
                files::print_aside(&format!("no bass of {}: {fault}\n", space.label()));
            }
            Err(other) => return Err(other),
        }
    }
    Ok(all)
}

/// Solves a space, or takes the solve that is kept, and compares places.
pub fn studied(
    analysis: &Analysis,
    space: &Space,
    top: Hertz,
    asked: &Asked,
    shelf: &Shelf,
) -> Result<Study, Failure> {
    let key = Solved::key_of(analysis, space, top)?;
    let kept = shelf.get(&key);
    let kept = kept.map(|bytes| Solved::from_kept(analysis, space, top, &bytes));
    let solved = match kept.transpose()?.flatten() {
        Some(solved) => solved,
        None => {
            let solved = Solved::new(analysis, space, top, &mut |share| {
                told("Solving the wave equation", share);
                ControlFlow::Continue(())
            })?;
            if let Err(error) = shelf.put(&key, &solved.kept()) {
                files::print_aside(&format!("the solve could not be kept: {error}\n"));
            }
            solved
        }
    };
    let ready = Ready::new(solved, analysis, space, asked.wanted, &|share| {
        told("Letting each seat listen", share);
        ControlFlow::Continue(())
    })?;
    let (subs, _) = planned(analysis, space);
    Ok(ready.study(asked, &subs, &|share| {
        told("Comparing places", share);
        ControlFlow::Continue(())
    })?)
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
    if let Some(timed) = &study.timed {
        page.wrapped(0, &format!("{}.", timed.says));
        page.blank();
    }
    changes(&mut page, study);
    page.line("How long each third octave rings");
    let rings = study.decays.iter().filter_map(|band| {
        let t60_s = band.t60_s?;
        Some(format!("{} Hz {t60_s:.2} s", band.hz))
    });
    page.hanging_from(2, "", &rings.collect::<Vec<_>>().join(", "));
    page.blank();
    page.line("Resonances");
    for resonance in &study.resonances {
        page.hanging_from(2, "", &resonance.says);
    }
    match study.spacing.as_slice() {
        [] => page.line("They are spread: no gap, and none fall on each other."),
        said => {
            for said in said {
                page.hanging_from(2, "- ", said);
            }
        }
    }
    page.blank();
    for caution in &study.cautions {
        page.wrapped(0, &format!("CAUTION: {caution}"));
    }
    page.text()
}

/// What other rows and treatment would do to the same subs.
fn changes(page: &mut Page, study: &BassStudy) {
    let better = study.rows.iter().filter(|row| row.is_better);
    let best = better.min_by(|a, b| a.cost.total_cmp(&b.cost));
    if !study.rows.is_empty() {
        page.line("Seats moved together, subs as they are");
        let here = study.rows.iter().find(|row| row.forward_m.abs() < 1e-9);
        for row in here.into_iter().chain(best) {
            page.hanging_from(2, "- ", &row.says);
        }
        if best.is_none() {
            page.hanging_from(
                2,
                "- ",
                "No other row that was tried is better, as far as the room is known",
            );
        }
        page.blank();
    }
    if !study.treated.is_empty() {
        page.line(
            "What would change it (computed in the room's modes, where it goes on its surface)",
        );
        for treated in &study.treated {
            page.hanging_from(2, "- ", &treated.says);
        }
        page.blank();
    }
}

fn arranged(page: &mut Page, arrangement: &BassArrangement, rank: &str) {
    page.wrapped(
        2,
        &format!("{rank}{}.", sentence(&arrangement.says, rank.is_empty())),
    );
    for sub in &arrangement.subs {
        page.hanging_from(4, "- ", &format!("{}: {}", sub.words, sub.set));
        if let Some(fitting) = &sub.fitting {
            page.hanging_from(6, "", &fitting.says);
        }
    }
    if let Some(fitting) = arrangement
        .fitting
        .as_ref()
        .filter(|_| arrangement.subs.len() > 1)
    {
        page.hanging_from(4, "", &format!("to fit all: {}", fitting.says));
    }
    if rank.is_empty() && !arrangement.plays.is_empty() {
        let plays = arrangement.plays.iter();
        let plays = plays.map(|band| format!("{} Hz {:.0} dB", band.hz, band.level_db));
        let plays = plays.collect::<Vec<_>>().join(", ");
        page.hanging_from(4, "", &format!("loudest at the seats: {plays}"));
    }
}

fn sentence(says: &str, begins: bool) -> String {
    let mut letters = says.chars();
    match (letters.next(), begins) {
        (Some(first), true) => first.to_uppercase().chain(letters).collect(),
        _ => says.to_owned(),
    }
}
