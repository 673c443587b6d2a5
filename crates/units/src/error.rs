//! Why a typed quantity can't be read, and what would be.

use std::fmt;
use std::ops::Range;

/// A typed quantity that can't be read.
///
/// Displays as a lower-case fragment: what is wrong, then what is accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// The offending bytes of the text; both ends lie on character boundaries.
    pub at: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// What is accepted instead, with an example.
    pub accepted: String,
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} (accepted: {})", self.message, self.accepted)
    }
}

impl std::error::Error for ReadError {}

/// A [`ReadError`] that does not know yet which dimension was asked for.
#[derive(Debug)]
pub(crate) struct Fault {
    pub at: Range<usize>,
    pub message: String,
}

impl Fault {
    pub fn new(at: Range<usize>, message: impl Into<String>) -> Self {
        Self {
            at,
            message: message.into(),
        }
    }

    pub fn accepted(self, accepted: String) -> ReadError {
        ReadError {
            at: self.at,
            message: self.message,
            accepted,
        }
    }
}
