//! A change to a job's document: one fact set or taken away, by its path.
//!
//! The same [`Edit`] is applied to a document's text, keeping its comments and order
//! ([`edited_text`]), and to a job in memory, reading only the part that it touches
//! ([`Job::edited`]), which is what lets every remedy be proved on a copy.

mod in_memory;
mod in_text;

use serde::{Deserialize, Serialize};
use serde_json::Value;

pub use in_text::{EditedText, edited_text};

#[cfg(doc)]
use crate::Job;
use crate::read::shown;

/// More parts than the longest path of a job has.
const SEGMENTS_MAX: usize = 16;

/// One fact set or taken away.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Edit {
    /// The fact's path: keys, and ids where a list is met, such as
    /// `space.loft.seat.sofa.eye` or `kit.projector.projector-p3.throw`.
    pub at: String,
    /// What to write there; nothing takes the fact away.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set: Option<Value>,
}

impl Edit {
    /// Sets the fact at `at`.
    pub fn set(at: impl Into<String>, value: impl Into<Value>) -> Self {
        Self {
            at: at.into(),
            set: Some(value.into()),
        }
    }

    /// The path's keys and ids. A path that is longer than any of a job leads nowhere.
    fn segments(&self) -> Result<Vec<&str>, EditError> {
        let segments: Vec<&str> = self.at.split('.').take(SEGMENTS_MAX + 1).collect();
        match segments.get(SEGMENTS_MAX) {
            None => Ok(segments),
            Some(segment) => Err(EditError::NoSuchPlace {
                path: shown(&self.at).into_owned(),
                segment: shown(segment).into_owned(),
            }),
        }
    }

    /// Takes the fact at `at` away.
    pub fn remove(at: impl Into<String>) -> Self {
        Self {
            at: at.into(),
            set: None,
        }
    }
}

/// Why an edit can't be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// A segment of the path is not there.
    #[error("`{path}` is not in the job: there is no `{segment}`")]
    NoSuchPlace {
        /// The whole path.
        path: String,
        /// The part that was not found.
        segment: String,
    },
    /// The text is not TOML any more.
    #[error("the document can't be read: {0}")]
    Unreadable(String),
    /// What was to be written is not accepted there.
    #[error("{0}")]
    Refused(String),
}

#[cfg(test)]
mod tests;
