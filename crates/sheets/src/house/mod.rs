//! Which sheets does a proven job make for the crew, and in which order?
//!
//! Findings first, because they decide whether the van leaves; then what to measure again, each space with its plan,
//! walls and ceiling, and last what is pulled and carried. Nothing is judged here: verdicts, limits and sentences are
//! those of the proof, and each number is printed to the digits that its measurements support.

mod about;
mod cable;
mod ceiling;
mod elevation;
mod figure;
mod findings;
mod measure;
mod page;
mod parts;
mod place;
mod plan;
mod route;
mod space;
#[cfg(test)]
mod tests;

use analysis::Analysis;
use checks::Proof;
use drawing::{Area, Scales};
use model::Job;

use crate::{Paper, Sheet, SheetError, TitleBlock, Units, drawing_areas, pdf};

/// The crew's whole set.
pub fn house(analysis: &Analysis, proof: &Proof, paper: Paper) -> Vec<Sheet> {
    let set = Set::new(analysis, proof, paper);
    let mut sheets = vec![findings::sheet(&set)];
    sheets.extend(measure::sheet(&set));
    for space in &analysis.job().space {
        sheets.extend(space::sheets(&set, space));
    }
    sheets.extend(cable::sheets(&set));
    sheets.extend(parts::sheet(&set));
    sheets
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
