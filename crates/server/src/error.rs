//! What is told when a request can't be answered.

use std::fmt;

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;

/// Why a request was not answered, in words for people, with a fitting status.
#[derive(Clone, Debug, PartialEq)]
pub struct Error {
    /// The response's status.
    pub status: StatusCode,
    /// What the response says; boxed, because every answer carries room for it.
    pub says: Box<Says>,
}

/// The body of every answer that is an error.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "Error")]
pub struct Says {
    /// What is wrong, with names and numbers.
    pub message: String,
    /// What to do next; empty when the message says it.
    pub hint: String,
    /// The document path that it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// What was kept although the request was not answered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kept: Option<String>,
    /// Another request of the same client took this one's place.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub superseded: Option<bool>,
    /// The letter of the text that could not be read, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<usize>,
    /// What would be accepted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub accepted: Option<String>,
    /// Everything wrong with a document.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub problems: Vec<Problem>,
}

/// One thing wrong with a document.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Problem {
    /// The line, from 1.
    pub line: usize,
    /// The letter in its line, from 1.
    pub column: usize,
    /// What is wrong.
    pub says: String,
    /// What would be accepted.
    pub accepted: String,
    /// The path of the fact that it is about, where there is one.
    pub at: Option<String>,
}

impl Error {
    /// An error of that status.
    pub fn new(status: StatusCode, message: impl Into<String>, hint: impl Into<String>) -> Self {
        let says = Says {
            message: message.into(),
            hint: hint.into(),
            ..Says::default()
        };
        Self {
            status,
            says: Box::new(says),
        }
    }

    /// Something that is not there: `no job "x"`.
    pub fn not_found(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::new(StatusCode::NOT_FOUND, message, hint)
    }

    /// A request that reads, but asks for what can't be.
    pub fn refused(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, message, hint)
    }

    /// A later request took this one's place.
    pub fn superseded() -> Self {
        let mut error = Self::new(
            StatusCode::CONFLICT,
            "a later request took this one's place",
            "",
        );
        error.says.superseded = Some(true);
        error
    }

    /// A fault of the program. What exactly stands in the log only.
    pub fn fault(log: impl fmt::Display) -> Self {
        tracing::error!("{log}");
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "the program made a mistake and could not answer",
            "what was saved is kept; try again, and if it stays so, send the last lines that \
             `dryfit serve` printed",
        )
    }

    /// The document path that it is about.
    pub fn at(mut self, at: impl Into<String>) -> Self {
        self.says.at = Some(at.into()).filter(|at| !at.is_empty());
        self
    }

    /// What was kept.
    pub fn kept(mut self, kept: impl Into<String>) -> Self {
        self.says.kept = Some(kept.into());
        self
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.says.message)
    }
}

impl std::error::Error for Error {}

impl IntoResponse for Error {
    fn into_response(self) -> Response {
        (self.status, Json(self.says)).into_response()
    }
}

impl From<model::EditError> for Error {
    fn from(error: model::EditError) -> Self {
        let at = match &error {
            model::EditError::NoSuchPlace { path, .. } => Some(path.clone()),
            _ => None,
        };
        let error = Self::refused(error.to_string(), "nothing was saved");
        match at {
            Some(at) => error.at(at),
            None => error,
        }
    }
}

/// Everything wrong with a document, at its letters where it came as text.
pub fn bad_document(text: &str, problems: &[model::Problem]) -> Error {
    let place = |at: usize| {
        let before = &text[..text.floor_char_boundary(at)];
        let line_start = before.rfind('\n').map_or(0, |end| end + 1);
        let line = 1 + before.matches('\n').count();
        (line, 1 + before[line_start..].chars().count())
    };
    let listed = problems.iter().take(PROBLEMS_MAX).map(|problem| {
        let (line, column) = (problem.span.as_ref()).map_or((1, 1), |span| place(span.start));
        Problem {
            line,
            column,
            says: problem.message.clone(),
            accepted: problem.accepted.clone(),
            at: (!problem.at.is_empty()).then(|| problem.at.clone()),
        }
    });
    let first = problems.first();
    let message = match problems {
        [] => "the document can't be read".to_owned(),
        [one] => one.message.clone(),
        [one, rest @ ..] => format!("{}; and {} more", one.message, rest.len()),
    };
    let hint = match first.map(|problem| problem.accepted.as_str()) {
        None | Some("") => String::new(),
        Some(accepted) => format!("accepted: {accepted}"),
    };
    let mut error = Error::refused(message, hint);
    error.says.at = first.map(|one| one.at.clone()).filter(|at| !at.is_empty());
    error.says.problems = listed.collect();
    error
}

/// More than anybody mends before reading the document again.
const PROBLEMS_MAX: usize = 50;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_slip_of_a_document_is_told_at_its_line_and_letter() {
        let text = "format = 1\n[job]\nnam = \"é\"\n";
        let problems = model::read(text, &[]).unwrap_err();
        let error = bad_document(text, &problems);
        assert_eq!(error.status, StatusCode::UNPROCESSABLE_ENTITY);
        let places: Vec<_> = (error.says.problems.iter())
            .map(|problem| (problem.line, problem.column))
            .collect();
        assert!(places.contains(&(3, 1)), "{places:?} {error}");
    }

    #[test]
    fn a_fault_tells_the_reader_nothing_of_the_inside() {
        let error = Error::fault("secret path /home");
        assert!(!error.says.message.contains("secret"));
        assert!(!error.says.hint.contains("secret"));
    }
}
