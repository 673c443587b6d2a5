//! Proves a job and prints the findings, or applies one of their remedies to its file.

use std::sync::Arc;

use checks::{Area, Counts, Finding, Proof, Proved, prove};
use clap::builder::PossibleValuesParser;
use clap::{ArgGroup, Args};
use model::{Edit, Job, edited_text};

use crate::failure::Failure;
use crate::files::{self, Document, STANDARD};
use crate::report::Shown;
use crate::{Outcome, diagnose, name, report};

#[derive(Args)]
#[command(group = ArgGroup::new("to").args(["write", "output"]))]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// Print the findings as JSON, all numbers in SI; `schema findings` describes it.
    #[arg(long)]
    json: bool,
    /// Show this area's findings only; several with commas between.
    #[arg(long, value_name = "AREA", value_delimiter = ',', value_parser = areas())]
    only: Vec<String>,
    /// Show this space's findings only.
    #[arg(long, value_name = "ID")]
    space: Option<String>,
    /// Show the worst N findings of each space.
    #[arg(long, value_name = "N")]
    worst: Option<usize>,
    /// Apply a remedy to the job file and print the changed file, comments kept; may be given
    /// more than once. The status is then 0 once the change is made.
    #[arg(long, value_name = "REMEDY", conflicts_with_all = ["json", "only", "space", "worst"])]
    apply: Vec<String>,
    /// With --apply: change the file in place.
    #[arg(long, requires = "apply")]
    write: bool,
    /// With --apply: write the changed file here; an existing one stays as it is.
    #[arg(long, short, value_name = "FILE", requires = "apply")]
    output: Option<String>,
}

fn areas() -> PossibleValuesParser {
    PossibleValuesParser::new(Area::ALL.map(Area::word))
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    if arguments.write && arguments.file == STANDARD {
        return Err(Failure::NoPlace);
    }
    let document = files::read(&arguments.file)?;
    let job = read(&document)?;
    let proved = Proved::new(Arc::clone(&job));
    let mut proof = proved.proof();
    for finding in &mut proof.findings {
        *finding = proved.with_effects(finding);
    }
    if !arguments.apply.is_empty() {
        return apply(arguments, &document, &job, &proof);
    }
    let shown = shown(arguments, &job, &proof)?;
    let text = if arguments.json {
        view::text(&view::findings_shown(
            proved.analysis(),
            &proof,
            &shown.findings,
        ))
    } else {
        report::text(&job, &proof, &shown, files::output_style())
    };
    files::print(&text)?;
    Ok(outcome(&proof))
}

/// Reads a job, or reports all that is wrong with it.
pub fn read(document: &Document) -> Result<Arc<Job>, Failure> {
    let Document { name, text } = document;
    match model::read(text, &checks::limit_names()) {
        Ok(job) => Ok(Arc::new(job)),
        Err(problems) => {
            let style = files::error_style();
            Err(Failure::BadJob(diagnose::report(
                name, text, &problems, style,
            )))
        }
    }
}

/// The whole job's outcome, whatever of it was shown.
pub fn outcome(proof: &Proof) -> Outcome {
    if proof.counts.fails == 0 {
        Outcome::NothingFails
    } else {
        Outcome::SomethingFails
    }
}

fn shown<'a>(arguments: &Arguments, job: &Job, proof: &'a Proof) -> Result<Shown<'a>, Failure> {
    if let Some(id) = arguments.space.as_deref()
        && job.space(id).is_none()
    {
        let ids = job.space.iter().map(|space| space.id.as_str());
        return Err(name::unknown("space", id, ids, ""));
    }
    let asked = |finding: &&Finding| {
        let area = finding.area.word();
        (arguments.only.is_empty() || arguments.only.iter().any(|only| only == area))
            && (arguments.space.is_none() || arguments.space == finding.space)
    };
    let mut findings: Vec<&Finding> = proof.findings.iter().filter(asked).collect();
    if let Some(worst) = arguments.worst {
        // The proof has each space's worst first.
        let (mut space, mut count) = (None, 0);
        findings.retain(|finding| {
            count = if space == Some(&finding.space) {
                count + 1
            } else {
                1
            };
            space = Some(&finding.space);
            count <= worst
        });
    }
    let all = findings.len() == proof.findings.len();
    Ok(Shown { findings, all })
}

fn apply(
    arguments: &Arguments,
    document: &Document,
    job: &Job,
    proof: &Proof,
) -> Result<Outcome, Failure> {
    let mut edits: Vec<Edit> = Vec::new();
    for id in &arguments.apply {
        let remedies = || proof.findings.iter().flat_map(|finding| &finding.remedies);
        let Some(remedy) = remedies().find(|remedy| remedy.id == *id) else {
            let ids = remedies().map(|remedy| remedy.id.as_str());
            return Err(name::unknown(
                "remedy",
                id,
                ids,
                "`dryfit prove` prints each finding's",
            ));
        };
        edits.extend(remedy.edits.iter().cloned());
    }
    let to = To {
        file: &arguments.file,
        write: arguments.write,
        output: arguments.output.as_deref(),
    };
    let what = arguments.apply.join(", ");
    change(document, job, proof.counts, (&what, &edits), to)
}

/// Where a changed file goes.
pub struct To<'a> {
    /// The file that was read.
    pub file: &'a str,
    /// In its place.
    pub write: bool,
    /// To another file, which there is not yet.
    pub output: Option<&'a str>,
}

/// Writes the file with edits made and says what they come to; `what` names them where they can't be made.
pub fn change(
    document: &Document,
    job: &Job,
    before: Counts,
    (what, edits): (&str, &[Edit]),
    to: To<'_>,
) -> Result<Outcome, Failure> {
    let refused = |reason: String| Failure::Remedy {
        remedy: what.to_owned(),
        reason,
    };
    let text = edited_text(&document.text, edits).map_err(|error| refused(error.to_string()))?;
    // A change that makes the file unreadable must not reach it.
    let changed = model::read(&text, &checks::limit_names())
        .map_err(|problems| refused(problems[0].to_string()))?;
    let after = prove(Arc::new(changed));
    match to.output {
        Some(path) if path != STANDARD => {
            files::create(path, text.as_bytes(), "choose another name")?;
        }
        None if to.write => files::replace(to.file, &text)?,
        _ => files::print(&text)?,
    }
    let after = after.counts;
    files::print_aside(&format!(
        "{}: fails {} → {}, tight {} → {}, unknown {} → {}, fits {} → {}\n",
        report::printable(&job.job.name),
        before.fails,
        after.fails,
        before.tight,
        after.tight,
        before.unknown,
        after.unknown,
        before.fits,
        after.fits,
    ));
    Ok(Outcome::NothingFails)
}
