//! Which sheets does a proven job make for the crew, and in which order?
//!
//! Findings first, because they decide whether the van leaves; then what to measure again, each space with its plan,
//! walls and ceiling, and last what is pulled and carried. Nothing is judged here: verdicts, limits and sentences are
//! those of the proof, and each number is printed to the digits that its measurements support.

mod about;
mod activities;
mod cable;
mod ceiling;
mod conduits;
mod elevation;
mod figure;
mod findings;
mod hanging;
mod light;
mod list;
mod loudspeakers;
mod measure;
mod page;
mod parts;
mod pictures;
mod place;
mod plan;
mod racks;
mod route;
mod sound;
mod space;
mod templates;
#[cfg(test)]
mod tests;

use std::sync::atomic::{AtomicBool, Ordering};

use analysis::Analysis;
use checks::Proof;
use drawing::{Area, Scales};
use model::Job;

use crate::{
    Listed, Paper, Sheet, SheetError, TitleBlock, Units, drawing_areas, pdf, pdf_unless, svg,
};

/// The crew's whole set.
pub fn house(analysis: &Analysis, proof: &Proof, paper: Paper) -> Vec<Sheet> {
    house_unless(analysis, proof, paper, &AtomicBool::new(false), |_, _| {})
        .expect("nobody sets the flag")
}

/// As [`house`]; nothing soon after somebody sets the flag. `told` hears after each sheet how many of how many are made.
pub fn house_unless(
    analysis: &Analysis,
    proof: &Proof,
    paper: Paper,
    stop: &AtomicBool,
    mut told: impl FnMut(usize, usize),
) -> Option<Vec<Sheet>> {
    let set = Set::new(analysis, proof, paper);
    let planned = set.planned();
    let all = planned.len();
    let mut sheets = Vec::with_capacity(all);
    for one in planned {
        if stop.load(Ordering::Relaxed) {
            return None;
        }
        sheets.push(set.made(one));
        told(sheets.len(), all);
    }
    Some(sheets)
}

/// The sheets of the crew's set in their order, without making any.
pub fn ids(analysis: &Analysis, proof: &Proof) -> Vec<Listed> {
    let set = Set::new(analysis, proof, Paper::A4);
    let planned = set.planned();
    planned.into_iter().map(|one| one.listed).collect()
}

/// Those sheets of the crew's set that have one of these ids, in the set's order; no other is made, and an id of no sheet
/// gives nothing.
pub fn contents(analysis: &Analysis, proof: &Proof, paper: Paper, which: &[&str]) -> Vec<Sheet> {
    let set = Set::new(analysis, proof, paper);
    let wanted = |one: &list::Planned<'_>| which.contains(&one.listed.id.as_str());
    let planned = set.planned().into_iter().filter(wanted);
    planned.map(|one| set.made(one)).collect()
}

/// The drawings of one sheet of the crew's set as SVG documents, each with its key below; none for a sheet of words, and
/// for an id of no sheet.
pub fn sheet_svg(analysis: &Analysis, proof: &Proof, paper: Paper, id: &str) -> Vec<String> {
    let set = Set::new(analysis, proof, paper);
    let planned = set.planned().into_iter();
    let drawn = planned.filter(|one| one.listed.id == id && one.listed.kind.is_drawn());
    drawn.flat_map(|one| svg(&set.made(one))).collect()
}

/// What stands at the foot of each sheet; an empty date leaves it to the job.
pub fn title_block(job: &Job, date: &str) -> TitleBlock {
    let header = &job.job;
    TitleBlock {
        job: header.name.clone(),
        customer: header.customer.clone().unwrap_or_default(),
        revision: header
            .revision
            .map(|revision| revision.to_string())
            .unwrap_or_default(),
        date: match date {
            "" => header.date.clone().unwrap_or_default(),
            date => date.to_owned(),
        },
        prepared_by: String::new(),
        units: match job.units() {
            model::Units::Metric => Units::Metric,
            model::Units::Imperial => Units::Imperial,
        },
    }
}

/// The crew's whole set as one PDF; the same arguments give the same bytes.
pub fn house_pdf(
    analysis: &Analysis,
    proof: &Proof,
    paper: Paper,
    date: &str,
) -> Result<Vec<u8>, SheetError> {
    let title = title_block(analysis.job(), date);
    pdf(&title, paper, &house(analysis, proof, paper))
}

/// As [`house_pdf`]; nothing soon after somebody sets the flag. `told` hears after each sheet how many of how many are
/// made; setting the pages comes after the last one.
pub fn house_pdf_unless(
    analysis: &Analysis,
    proof: &Proof,
    paper: Paper,
    date: &str,
    stop: &AtomicBool,
    told: impl FnMut(usize, usize),
) -> Result<Option<Vec<u8>>, SheetError> {
    let Some(sheets) = house_unless(analysis, proof, paper, stop, told) else {
        return Ok(None);
    };
    pdf_unless(&title_block(analysis.job(), date), paper, &sheets, stop)
}

/// Kept free below a drawing, so that what follows it starts on its page, mm.
const BELOW_MM: f64 = 5.0;

/// What every sheet of one set rests on.
struct Set<'a> {
    analysis: &'a Analysis,
    proof: &'a Proof,
    paper: Paper,
    areas: [Area; 2],
    figures: figure::Figures<'a>,
}

impl<'a> Set<'a> {
    fn new(analysis: &'a Analysis, proof: &'a Proof, paper: Paper) -> Self {
        let scales = match analysis.job().units() {
            model::Units::Metric => Scales::Metric,
            model::Units::Imperial => Scales::Imperial,
        };
        Self {
            analysis,
            proof,
            paper,
            areas: drawing_areas(paper, scales).map(|area| Area {
                height_mm: area.height_mm - BELOW_MM,
                ..area
            }),
            figures: figure::Figures::new(analysis, proof),
        }
    }

    fn job(&self) -> &'a Job {
        self.analysis.job()
    }
}

/// Stands on each sheet of what could be: nobody fits by it.
const ALTERNATIVES: &str = "These are alternatives, not the plan: what is fitted stands on the sheets of walls, ceiling and floor.";

/// A trim to half a decibel, with its sign: a true minus, as everywhere.
fn decibels(trim_db: f64) -> String {
    format!("{:+.1} dB", (trim_db * 2.0).round() / 2.0 + 0.0).replace('-', "\u{2212}")
}

/// "wall Party", and "Screen wall" for what is called a wall already.
fn wall_words(id: &str) -> String {
    let name = words(id);
    match name.to_lowercase().ends_with("wall") {
        true => name,
        false => format!("wall {name}"),
    }
}

/// A name as people read it: "screen-wall" as "Screen wall".
fn words(id: &str) -> String {
    capital(&id.replace(['-', '_'], " "))
}

/// A phrase as the beginning of a line.
fn capital(phrase: &str) -> String {
    let mut letters = phrase.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// The first few of a list, and how many more there are.
fn first_few(mut list: Vec<String>, count: usize, joint: &str) -> String {
    let more = list.len().saturating_sub(count);
    list.truncate(count);
    if more > 0 {
        list.push(format!("{more} more"));
    }
    list.join(joint)
}

/// A length that no line break parts.
fn unbroken(length: &str) -> String {
    length.replace(' ', "\u{a0}")
}
