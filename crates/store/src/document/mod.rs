//! A document as facts by path: what differs between two, and the edits that lead over.
//!
//! A path is that of [`model::Edit`]: keys, and ids where a list of named things is met. A
//! list whose parts have no id (a pair of corners, the legs of a cable) is one fact.

mod difference;
mod kept;
mod path;
mod replace;
mod rewrite;

use std::sync::Arc;

use model::{Edit, EditError, EditedText, LimitName, Problem, edited_text};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::StoreError;
pub(crate) use difference::differences;
pub(crate) use path::{touches, value_at, within};
pub(crate) use replace::replaced;
pub(crate) use rewrite::rewritten;

/// One fact that differs between two revisions.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FactChange {
    /// The fact's path, such as `space.den.walls.north.length`; a thing that came or went
    /// is one fact with all that it holds.
    pub at: String,
    /// What stood there, if anything.
    pub before: Option<Value>,
    /// What stands there, if anything.
    pub after: Option<Value>,
}

impl FactChange {
    pub(crate) fn edit(&self) -> Edit {
        Edit {
            at: self.at.clone(),
            set: self.after.clone(),
        }
    }
}

/// What the document says, without comments and spelling.
pub(crate) fn facts(text: &str) -> Result<Arc<Value>, StoreError> {
    if let Some(facts) = kept::facts(text) {
        return Ok(facts);
    }
    let facts: Value = toml::from_str(text).map_err(|error| StoreError::Edit {
        at: String::new(),
        message: format!("the document is not TOML: {}", error.message()),
    })?;
    let facts = Arc::new(facts);
    kept::keep_facts(text, &facts);
    Ok(facts)
}

/// The text with the edits made, or which of them can't be.
pub(crate) fn edited(text: &str, edits: &[Edit]) -> Result<String, StoreError> {
    let refused = |error| refused(text, edits, error);
    let mut document = match kept::take_apart(text) {
        Some(document) => document,
        None => EditedText::read(text).map_err(refused)?,
    };
    document.make(edits).map_err(refused)?;
    let edited = document.text();
    if let Some(facts) = facts(text).ok().and_then(|facts| replaced(&facts, edits)) {
        kept::keep_facts(&edited, &Arc::new(facts));
        // Anything but a plain fact may be laid out otherwise when it is read again.
        kept::keep_apart(&edited, document);
    }
    Ok(edited)
}

fn refused(text: &str, edits: &[Edit], error: EditError) -> StoreError {
    // The error of a value does not name its edit; the first that fails is the one.
    let at = (1..=edits.len())
        .find(|count| edited_text(text, &edits[..*count]).is_err())
        .map(|count| edits[count - 1].at.clone())
        .unwrap_or_default();
    StoreError::Edit {
        at,
        message: error.to_string(),
    }
}

/// Whether the text reads as a job.
pub(crate) fn check(text: &str, limits: &[LimitName]) -> Result<(), StoreError> {
    if kept::job(text, limits).is_some() {
        return Ok(());
    }
    let job = model::read(text, limits).map_err(|problems| newer_or_refused(text, problems))?;
    kept::keep_job(text, limits, job);
    Ok(())
}

/// As [`check`], of a text that edits made of another: where that one reads and each edit replaces
/// a plain fact, the rest is not read again.
pub(crate) fn check_edited(
    text: &str,
    before: &str,
    edits: &[Edit],
    limits: &[LimitName],
) -> Result<(), StoreError> {
    let known = || {
        let job = kept::job(before, limits)?;
        replaced(&*facts(before).ok()?, edits)?;
        job.edited_soundly(edits, limits)
    };
    match known() {
        Some(job) => {
            kept::keep_job(text, limits, job);
            Ok(())
        }
        None => check(text, limits),
    }
}

fn newer_or_refused(text: &str, problems: Vec<Problem>) -> StoreError {
    let format = facts(text)
        .ok()
        .and_then(|facts| facts.get("format").and_then(Value::as_i64));
    match format {
        Some(found) if found > i64::from(model::FORMAT) => StoreError::NewerJob {
            found,
            known: model::FORMAT,
        },
        _ => StoreError::Refused(problems),
    }
}

/// The job's name, as its header says.
pub(crate) fn name_of(facts: &Value) -> String {
    facts
        .pointer("/job/name")
        .and_then(Value::as_str)
        .unwrap_or_default()
        .to_owned()
}

#[cfg(test)]
mod tests;
