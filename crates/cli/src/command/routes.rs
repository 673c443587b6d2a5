//! Prints which way each cable takes, what else there would be, and from which spool it is cut.

use analysis::Analysis;
use clap::{ArgGroup, Args, ValueEnum};

use crate::failure::Failure;
use crate::report::{Page, printable};
use crate::style::Style;
use crate::{Outcome, command, files, name};

/// Columns before what is told of a cable.
const INDENT: usize = 6;

#[derive(Args)]
#[command(group = ArgGroup::new("to").args(["write", "output"]))]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// One cable alone.
    #[arg(long, value_name = "ID")]
    cable: Option<String>,
    /// Print the ways as JSON; `schema routes` describes it.
    #[arg(long)]
    json: bool,
    /// Write the cable schedule, in the order of pulling, to this file ending in .csv or .xlsx.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["json", "cable"])]
    schedule: Option<String>,
    /// Let the cable take another of its ways and print the changed file, comments kept: the other
    /// way, the way round its dearest hole, or back to the cheapest.
    #[arg(long, value_name = "WAY", requires = "cable", conflicts_with_all = ["json", "schedule"])]
    apply: Option<Take>,
    /// With --apply: change the file in place.
    #[arg(long, requires = "apply")]
    write: bool,
    /// With --apply: write the changed file here; an existing one stays as it is.
    #[arg(long, short, value_name = "FILE", requires = "apply")]
    output: Option<String>,
}

/// A way that a cable may be let take.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Take {
    /// The best way of another kind.
    Other,
    /// Round its dearest hole alone.
    Round,
    /// The cheapest way again.
    Back,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    if arguments.write && arguments.file == files::STANDARD {
        return Err(Failure::NoPlace);
    }
    let document = files::read(&arguments.file)?;
    let job = command::prove::read(&document)?;
    let analysis = Analysis::new(job.clone());
    if let Some(output) = &arguments.schedule {
        let rows = view::cable_schedule(&analysis);
        command::write_table(output, "Cables", &view::SCHEDULE_HEADS, &rows)?;
        return Ok(Outcome::NothingFails);
    }
    let Some(ways) = view::ways(&analysis, arguments.cable.as_deref()) else {
        let ids = job.cable.iter().map(|cable| cable.id.as_str());
        let written = arguments.cable.as_deref().unwrap_or_default();
        return Err(name::unknown("cable", written, ids, ""));
    };
    if let Some(take) = arguments.apply {
        let edits = edits_of(&ways.cables[0], take)?;
        let before = checks::prove_without_remedies(&analysis).counts;
        let to = command::prove::To {
            file: &arguments.file,
            write: arguments.write,
            output: arguments.output.as_deref(),
        };
        return command::prove::change(&document, &job, before, ("the way", &edits), to);
    }
    let text = match arguments.json {
        true => view::text(&ways),
        false => report(&analysis, &ways, files::output_style()),
    };
    files::print(&text)?;
    Ok(Outcome::NothingFails)
}

/// What lets a cable take a way.
fn edits_of(way: &view::CableWay, take: Take) -> Result<Vec<model::Edit>, Failure> {
    let of = |other: &Option<view::OtherWay>| other.as_ref().map(|other| other.edits.clone());
    let (edits, word) = match take {
        Take::Other => (of(&way.other), "other"),
        Take::Round => (of(&way.round), "round"),
        Take::Back => (Some(way.back.clone()), "back"),
    };
    let edits = edits.filter(|edits| !edits.is_empty());
    let edits = edits.ok_or_else(|| Failure::Unknown {
        what: "way",
        written: word.to_owned(),
        known: format!(
            "`dryfit routes --cable {}` says which ways there are",
            way.cable
        ),
    })?;
    Ok(edits.into_iter().map(model::Edit::from).collect())
}

fn report(analysis: &Analysis, ways: &view::Ways, style: Style) -> String {
    let length = |length_m: f64| view::length_text(analysis, length_m);
    let mut page = Page::default();
    for way in &ways.cables {
        let cut = way
            .cut_m
            .map_or_else(String::new, |cut_m| format!(", cut {}", length(cut_m)));
        page.line(&style.heading(&printable(&format!("{}{cut}", way.cable))));
        let mut tell = |text: &str| page.wrapped(INDENT, &printable(text));
        match &way.missing {
            Some(missing) => tell(&format!("not known yet: {missing}")),
            None => tell(&way.legs.join(", ")),
        }
        if let Some(work) = &way.work_text {
            tell(work);
        }
        if !way.keeps_out_of.is_empty() {
            tell(&format!("Keeps out of {}", way.keeps_out_of.join(" and ")));
        }
        for round in &way.goes_round {
            tell(&format!("Goes round {round}"));
        }
        if !way.back.is_empty() {
            tell("Back to the cheapest way: --apply back");
        }
        if let Some(dear) = &way.dear_text {
            tell(&format!("Dearest: {dear}"));
        }
        if let Some(round) = &way.round {
            let (legs, work) = (round.legs.join(", "), &round.work_text);
            tell(&format!(
                "Round it: {legs}; {work} ({})",
                round.against_text
            ));
            tell("To take it: --apply round");
        }
        if let Some(other) = &way.other {
            tell(&format!(
                "Without {}: {}; {} ({})",
                other.leaves_out.join(" and "),
                other.legs.join(", "),
                other.work_text,
                other.against_text,
            ));
            tell("To take it: --apply other");
        }
        for (index, old) in way.existing.iter().enumerate() {
            let why = match &old.not_open {
                Some(why) => format!("not open, {why}"),
                None => analysis::work_words(old.holes, old.time_s),
            };
            let start = if index == 0 { "The old cable: " } else { "or " };
            tell(&format!("{start}{}: {why}", old.says));
        }
    }
    if !ways.shared.is_empty() {
        page.blank();
        page.line(&style.heading("holes that cables share"));
        for hole in &ways.shared {
            page.wrapped(
                INDENT,
                &printable(&format!("{}: {}", hole.cables.join(", "), hole.through)),
            );
        }
    }
    if let Some(joint) = &ways.joint {
        page.wrapped(INDENT, &printable(joint));
    }
    if !ways.pulls.is_empty() {
        page.blank();
        page.line(&style.heading("pull in this order"));
        for (index, pull) in ways.pulls.iter().enumerate() {
            page.wrapped(
                INDENT,
                &printable(&format!("{}. {}", index + 1, pull.join(", "))),
            );
        }
    }
    if !ways.spools.is_empty() {
        page.blank();
        page.line(&style.heading("cut from the spools"));
        for plan in &ways.spools {
            for text in spool_lines(plan, length) {
                page.wrapped(INDENT, &printable(&text));
            }
        }
    }
    page.text()
}

fn spool_lines(plan: &view::SpoolCuts, length: impl Fn(f64) -> String) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(fault) = &plan.fault {
        lines.push(format!("{}: {fault}", plan.kind));
    }
    for opened in &plan.opened {
        let cuts = opened
            .cuts
            .iter()
            .map(|(cable, length_m)| format!("{cable} {}", length(*length_m)));
        let cuts: Vec<String> = cuts.collect();
        let scrap = if opened.is_scrap { ", scrap" } else { "" };
        let left = length(opened.left_m);
        lines.push(format!(
            "{}: {}; {left} stays on it{scrap}",
            opened.spool,
            cuts.join(", ")
        ));
    }
    for spool in &plan.useless {
        lines.push(format!("{spool}: shorter than every cable of its kind"));
    }
    if plan.gap_m > 1e-6 {
        lines.push(format!(
            "{}: another plan might open {} less",
            plan.kind,
            length(plan.gap_m)
        ));
    }
    lines
}
