//! What differs between two states of a job: facts and findings.

use schemars::JsonSchema;
use serde::Serialize;

use crate::Verdict;

/// What differs between two jobs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Comparison {
    /// Facts, in the order of the document.
    pub facts: Vec<FactChange>,
    /// Findings whose verdict differs, or that are on one side only: worst first as they
    /// are afterwards.
    pub findings: Vec<FindingChange>,
}

/// A fact that differs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FactChange {
    /// Its path in the document.
    pub at: String,
    /// What it is.
    pub what: String,
    /// As written before; null where it was blank.
    pub before: Option<String>,
    /// As written afterwards; null where it is blank.
    pub after: Option<String>,
}

/// A finding whose verdict differs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FindingChange {
    /// The finding's key.
    pub key: String,
    /// The check's question in short words.
    pub title: String,
    /// What it is about.
    pub subject: String,
    /// Before; null where it was not there.
    pub from: Option<Verdict>,
    /// Afterwards; null where it is not there.
    pub to: Option<Verdict>,
    /// The sentence afterwards, and where there is none, before.
    pub because: Vec<String>,
}
