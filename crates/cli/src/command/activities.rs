//! Prints what each button does: what is switched on and set to what, which way picture and
//! sound take, and what can't be had at the same time.

use analysis::Analysis;
use checks::{ActivityReport, ActivityTold};
use clap::Args;

use crate::failure::Failure;
use crate::report::{Page, printable};
use crate::style::Style;
use crate::{Outcome, command, files};

/// Columns before what is told of an activity.
const INDENT: usize = 4;

#[derive(Args)]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// Print it as JSON.
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let report = checks::activity_report(&Analysis::new(job));
    let text = match arguments.json {
        true => view::text(&report),
        false => told(&report, files::output_style()),
    };
    files::print(&text)?;
    Ok(Outcome::NothingFails)
}

fn told(report: &ActivityReport, style: Style) -> String {
    let mut page = Page::default();
    if report.activities.is_empty() {
        page.line("The job lists no activities.");
    }
    for activity in &report.activities {
        page.line(&style.heading(&printable(&activity.label)));
        one(&mut page, activity);
        page.blank();
    }
    if !report.network.is_empty() {
        page.line(&style.heading("on the network"));
        for thing in &report.network {
            let address = thing.address.as_deref().unwrap_or("no address");
            page.wrapped(INDENT, &printable(&format!("{address}  {}", thing.label)));
        }
    }
    page.text()
}

fn one(page: &mut Page, activity: &ActivityTold) {
    let mut tell = |text: &str| page.wrapped(INDENT, &printable(text));
    tell(&format!("plays in {}", activity.zones.join(", ")));
    if let Some(missing) = &activity.missing {
        tell(&format!("not known yet: {missing}"));
    }
    for (what, way) in [("picture", &activity.picture), ("sound", &activity.sound)] {
        if !way.is_empty() {
            tell(&format!("{what}: {}", way.join("; ")));
        }
    }
    for (index, step) in activity.steps.iter().enumerate() {
        let switch = if step.on { "on" } else { "off" };
        let input = step
            .input
            .as_ref()
            .map_or_else(String::new, |input| format!(", input {input}"));
        let by = step.by.as_deref().unwrap_or("nothing reaches it");
        tell(&format!(
            "{}. {} {switch}{input} (by {by})",
            index + 1,
            step.label
        ));
    }
    for other in &activity.not_with {
        tell(&format!("not at the same time as {other}"));
    }
}
