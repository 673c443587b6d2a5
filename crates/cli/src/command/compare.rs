//! Prints what differs between two states of a job: facts, and findings that turned.

use checks::{Proved, Verdict};
use clap::Args;
use model::Job;
use view::Comparison;

use crate::failure::Failure;
use crate::report::{Page, printable};
use crate::style::Style;
use crate::{Outcome, command, files};

/// Columns before what is told of a line above.
const INDENT: usize = 10;

#[derive(Args)]
pub struct Arguments {
    /// The job file as it was; `-` reads standard input.
    before: String,
    /// The job file as it is.
    after: String,
    /// Print the comparison as JSON; `schema comparison` describes it.
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let before = Proved::new(command::prove::read(&files::read(&arguments.before)?)?);
    let after = Proved::new(command::prove::read(&files::read(&arguments.after)?)?);
    let comparison = view::compare(&before, &after);
    let text = if arguments.json {
        view::text(&comparison)
    } else {
        let jobs = [before.analysis().job(), after.analysis().job()];
        report(jobs, &comparison, files::output_style())
    };
    files::print(&text)?;
    Ok(match view::counts(after.findings()).fails {
        0 => Outcome::NothingFails,
        _ => Outcome::SomethingFails,
    })
}

fn report([before, after]: [&Job; 2], comparison: &Comparison, style: Style) -> String {
    let mut page = Page::default();
    let head = match (head(before), head(after)) {
        (was, is) if was == is => is,
        (was, is) => format!("{was} → {is}"),
    };
    page.line(&style.heading(&printable(&head)));
    page.blank();
    page.line(&style.heading("facts"));
    if comparison.facts.is_empty() {
        page.line("none differs");
    }
    for fact in &comparison.facts {
        let side = |text: &Option<String>| text.clone().unwrap_or_else(|| "–".to_owned());
        let line = format!(
            "{}: {} → {}",
            fact.what,
            side(&fact.before),
            side(&fact.after)
        );
        page.wrapped(2, &printable(&line));
    }
    page.blank();
    page.line(&style.heading("findings"));
    if comparison.findings.is_empty() {
        page.line("none turns");
    }
    for finding in &comparison.findings {
        let side = |verdict: Option<view::Verdict>| match verdict {
            Some(verdict) => style.verdict(checked(verdict)),
            None => "–".to_owned(),
        };
        page.line(&format!(
            "{} → {}  {}: {}",
            side(finding.from),
            side(finding.to),
            finding.title,
            printable(&finding.subject)
        ));
        if finding.to.is_some_and(|to| to != view::Verdict::Fits) {
            page.wrapped(INDENT, &finding.because);
        }
    }
    page.text()
}

/// "Harbour Lane 9, revision 2".
fn head(job: &Job) -> String {
    match job.job.revision {
        Some(revision) => format!("{}, revision {revision}", job.job.name),
        None => job.job.name.clone(),
    }
}

fn checked(verdict: view::Verdict) -> Verdict {
    match verdict {
        view::Verdict::Fails => Verdict::Fails,
        view::Verdict::Tight => Verdict::Tight,
        view::Verdict::Unknown => Verdict::Unknown,
        view::Verdict::Fits => Verdict::Fits,
    }
}
