//! One thing wrong with a job document: where, what, and what would be accepted.

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

use crate::read::{Place, Places};

/// Past so many problems, what is accepted and what was meant is left out: nobody reads
/// that far, and a document of nothing but slips still takes no longer than a good one.
const DETAILED_MAX: usize = 200;

/// More names than any job has of one kind: further ones are not what somebody meant to write.
const NAMES_SEARCHED_MAX: usize = 1000;

/// The longest piece of the document that a message repeats, in characters.
const SHOWN_MAX: usize = 60;

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
    /// Whether the slip is in the last key of the path, and not in what stands behind it.
    in_key: bool,
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
            in_key: false,
        }
    }

    pub(crate) fn whole(message: String, accepted: String) -> Self {
        Self::at("", message, accepted)
    }

    pub(crate) fn spanned(mut self, span: Option<Range<usize>>) -> Self {
        self.span = span;
        self
    }

    pub(crate) fn in_key(mut self) -> Self {
        self.in_key = true;
        self
    }

    /// Proposes the nearest of the known names, when one is near enough to be a slip.
    pub(crate) fn suggesting<'a>(
        mut self,
        written: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        if let Some(name) = nearest(written, known) {
            self.suggestion = Some(Suggestion {
                span: self.span.clone(),
                replacement: name.to_owned(),
            });
        }
        self
    }

    /// Looks up the bytes of a problem that was found by path.
    pub(crate) fn find_place(&mut self, places: &mut Places) {
        if self.span.is_some() || self.at.is_empty() {
            return;
        }
        if let Some(place) = places.find(&self.at, self.in_key) {
            self.set_place(place);
        }
    }

    /// Puts the problem and its correction at a place.
    pub(crate) fn placed(mut self, place: Option<Place>) -> Self {
        if let Some(place) = place {
            self.set_place(place);
        }
        self
    }

    fn set_place(&mut self, place: Place) {
        if let Some(suggestion) = &mut self.suggestion {
            if place.quoted {
                suggestion.replacement = format!("\"{}\"", suggestion.replacement);
            }
            suggestion.span = Some(place.span.clone());
        }
        self.span = Some(place.span);
    }
}

/// The name that a slip of the pen may have meant.
fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = written.chars().count();
    if length > SHOWN_MAX {
        return None;
    }
    let slips_max = 1 + length / 4;
    known
        .into_iter()
        .take(NAMES_SEARCHED_MAX)
        .filter(|name| name.chars().count().abs_diff(length) <= slips_max)
        .map(|name| (strsim::damerau_levenshtein(written, name), name))
        .filter(|(slips, _)| *slips <= slips_max)
        .min()
        .map(|(_, name)| name)
}

/// A piece of the document as a message repeats it: cut short when nobody could read it.
pub(crate) fn shown(text: &str) -> Cow<'_, str> {
    match text.char_indices().nth(SHOWN_MAX) {
        Some((end, _)) => Cow::Owned(format!("{}…", &text[..end])),
        None => Cow::Borrowed(text),
    }
}

/// Problems as they are found.
#[derive(Default)]
pub(crate) struct Problems {
    found: Vec<Problem>,
    /// A name that is looked out for, and where the document has it.
    pub watched: Option<Watched>,
}

/// A name of something, and the places that mean it.
pub(crate) struct Watched {
    /// What it is the name of, in the words of messages.
    pub what: String,
    pub name: String,
    pub uses: Vec<Use>,
}

/// A place that names something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Use {
    pub at: String,
    /// What stands behind the name in the same text.
    pub behind: String,
    /// The name is the last key of the path.
    pub in_key: bool,
}

impl Problems {
    /// None yet, and a look-out for a name.
    pub fn watching(watched: Watched) -> Self {
        Self {
            found: Vec::new(),
            watched: Some(watched),
        }
    }

    /// Adds a problem that comes with a list or a search of names, both dear to make.
    pub fn add(&mut self, brief: Problem, detail: impl FnOnce(Problem) -> Problem) {
        let detailed = self.found.len() < DETAILED_MAX;
        self.found
            .push(if detailed { detail(brief) } else { brief });
    }

    pub fn push(&mut self, problem: Problem) {
        self.found.push(problem);
    }

    pub fn into_vec(self) -> Vec<Problem> {
        self.found
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
