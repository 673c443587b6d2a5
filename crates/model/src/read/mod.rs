//! Reads a job document and reports every mistake at its place.
//!
//! Three stages: the TOML parser, of which the first error is told; the
//! document against the job's schema (unknown keys, missing keys, wrong types,
//! quantities that do not read); then sense (names that point nowhere, places
//! outside their wall). The schema is derived from the very types that hold the job,
//! so the shape stands in one place.

mod conform;
mod conformed;
pub(crate) mod guard;
mod problem;
mod shape;
mod syntax;
mod tree;

use std::sync::OnceLock;

use serde::Deserialize;
use serde_json::Value;
use units::Dimension;

pub use problem::{Problem, Suggestion};

use crate::{Job, Measurements, validate};
pub(crate) use conform::{Conformer, can_be_id};
pub(crate) use problem::{Problems, Use, Watched, shown};
pub(crate) use tree::{Place, Places, Tree};

/// The name of a limit that a job may change under `[rules]`, and what it is a quantity of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LimitName {
    /// The key under `[rules]`.
    pub name: &'static str,
    /// How its text reads.
    pub dimension: Dimension,
}

/// Longer documents are refused unread; a job of 1,000 cables has a tenth of this.
const DOCUMENT_BYTES_MAX: usize = 5_000_000;

/// Reads a job, or says everything that is wrong with the document.
pub fn read(text: &str, limits: &[LimitName]) -> Result<Job, Vec<Problem>> {
    if text.len() > DOCUMENT_BYTES_MAX {
        return Err(vec![Problem::whole(
            format!("the document is {:.1} MB long", text.len() as f64 / 1e6),
            format!("a job of up to {} MB", DOCUMENT_BYTES_MAX / 1_000_000),
        )]);
    }
    let tree = Tree::parse(text)?;
    let (job, mut problems) = conform_job(&tree);
    if let Some(job) = &job {
        problems.extend(validate::problems(job, limits));
        let mut places = Places::new(&tree);
        for problem in &mut problems {
            problem.find_place(&mut places);
        }
    }
    match job {
        Some(job) if problems.is_empty() => Ok(job),
        _ => {
            problems
                .sort_by_key(|problem| problem.span.as_ref().map_or(usize::MAX, |span| span.start));
            Err(problems)
        }
    }
}

fn conform_job(tree: &Tree) -> (Option<Job>, Vec<Problem>) {
    let mut conformer = Conformer::new();
    let value = conformer.conform_root(tree);
    let (mut problems, measurements) = conformer.finish();
    if !problems.is_empty() {
        return (None, problems);
    }
    match Job::deserialize(value) {
        Ok(mut job) => {
            job.measurements = Measurements::new(measurements);
            (Some(job), problems)
        }
        Err(error) => {
            problems.push(Problem::whole(
                error.to_string(),
                "a document that `dryfit schema job` describes".into(),
            ));
            (None, problems)
        }
    }
}

/// The JSON Schema of a job document, with `x-kind` on every quantity.
pub fn schema() -> Value {
    schema_value().clone()
}

fn schema_value() -> &'static Value {
    static SCHEMA: OnceLock<Value> = OnceLock::new();
    SCHEMA.get_or_init(|| schemars::schema_for!(Job).to_value())
}
