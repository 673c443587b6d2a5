//! One thing wrong with a job document: where, what, and what would be accepted.

use std::fmt;
use std::ops::Range;

use crate::read::Tree;

/// One thing wrong with a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The path of the offending value, such as `space.loft.seat.sofa.at`; empty for the whole.
    pub at: String,
    /// The offending bytes of the document, when it came as text.
    pub span: Option<Range<usize>>,
    /// What is wrong: a fragment with names and numbers.
    pub message: String,
    /// What would be accepted.
    pub accepted: String,
    /// A likely correction.
    pub suggestion: Option<Suggestion>,
}

/// A likely correction of a problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Suggestion {
    /// The bytes to replace.
    pub span: Option<Range<usize>>,
    /// What to put there.
    pub replacement: String,
}

impl Problem {
    pub(crate) fn at(
        path: impl Into<String>,
        message: impl Into<String>,
        accepted: impl Into<String>,
    ) -> Self {
        Self {
            at: path.into(),
            span: None,
            message: message.into(),
            accepted: accepted.into(),
            suggestion: None,
        }
    }

    pub(crate) fn whole(message: String, accepted: String) -> Self {
        Self {
            span: None,
            ..Self::at("", message, accepted)
        }
    }

    pub(crate) fn spanned(mut self, span: Option<Range<usize>>) -> Self {
        self.span = span;
        self
    }

    /// Proposes the nearest of the known names, when one is near enough to be a slip.
    pub(crate) fn suggesting<'a>(
        mut self,
        written: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        let budget = 1 + written.chars().count() / 4;
        let nearest = known
            .into_iter()
            .map(|name| (strsim::damerau_levenshtein(written, name), name))
            .filter(|(distance, _)| *distance <= budget)
            .min();
        if let Some((_, name)) = nearest {
            self.suggestion = Some(Suggestion {
                span: self.span.clone(),
                replacement: name.to_owned(),
            });
        }
        self
    }

    /// Looks up the bytes of a problem that was found by path.
    pub(crate) fn find_place(&mut self, tree: &Tree) {
        if self.span.is_none() && !self.at.is_empty() {
            self.span = tree.nearest_span(&self.at);
            if let Some(suggestion) = &mut self.suggestion {
                suggestion.span = self.span.clone();
            }
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.at.is_empty() {
            write!(out, "{}: ", self.at)?;
        }
        write!(out, "{}", self.message)?;
        if !self.accepted.is_empty() {
            write!(out, "; accepted: {}", self.accepted)?;
        }
        if let Some(suggestion) = &self.suggestion {
            write!(out, "; did you mean `{}`?", suggestion.replacement)?;
        }
        Ok(())
    }
}

impl std::error::Error for Problem {}
