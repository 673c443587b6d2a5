//! A document as facts by path: what differs between two, and the edits that lead over.
//!
//! A path is that of [`model::Edit`]: keys, and ids where a list of named things is met. A
//! list whose parts have no id (a pair of corners, the legs of a cable) is one fact.

mod difference;
mod path;
mod rewrite;

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use model::{Edit, EditError, LimitName, Problem, edited_text};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::StoreError;
pub(crate) use difference::differences;
pub(crate) use path::{touches, value_at, within};
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

/// Documents of late and their values, the latest last: one change asks for the same document
/// several times, and the next change for the one that this one made.
static READ: Mutex<VecDeque<(String, Arc<Value>)>> = Mutex::new(VecDeque::new());

/// As much text is kept in all: some sixty houses.
const KEPT_BYTES: usize = 4 << 20;

/// The document's values, without comments and spelling.
pub(crate) fn facts(text: &str) -> Result<Arc<Value>, StoreError> {
    let kept = || READ.lock().unwrap_or_else(PoisonError::into_inner);
    let known = (kept().iter().rev())
        .find(|(known, _)| known == text)
        .map(|(_, facts)| Arc::clone(facts));
    if let Some(facts) = known {
        return Ok(facts);
    }
    let facts: Value = toml::from_str(text).map_err(|error| StoreError::Edit {
        at: String::new(),
        message: format!("the document is not TOML: {}", error.message()),
    })?;
    let facts = Arc::new(facts);
    if text.len() <= KEPT_BYTES {
        let mut kept = kept();
        kept.push_back((text.to_owned(), Arc::clone(&facts)));
        let mut bytes: usize = kept.iter().map(|(text, _)| text.len()).sum();
        while bytes > KEPT_BYTES {
            let oldest = kept.pop_front();
            bytes -= oldest.map_or(bytes, |(text, _)| text.len());
        }
    }
    Ok(facts)
}

/// The text with the edits made, or which of them can't be.
pub(crate) fn edited(text: &str, edits: &[Edit]) -> Result<String, StoreError> {
    edited_text(text, edits).map_err(|error| refused(text, edits, error))
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
    model::read(text, limits)
        .map(drop)
        .map_err(|problems| newer_or_refused(text, problems))
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
