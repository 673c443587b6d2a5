//! A fact of the document as a person edits it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Edit;

/// One fact that may be written or left blank.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Field {
    /// Its path in the document.
    pub at: String,
    /// Its name in the trade's words.
    pub label: String,
    /// What is written there.
    pub kind: FieldKind,
    /// As written; null while blank.
    pub text: Option<String>,
    /// The unit that a bare number means; null where each number needs its unit, or none has one.
    pub unit: Option<String>,
    /// What may be chosen; null where anything may be written.
    pub choices: Option<Vec<Choice>>,
    /// One sentence on what it is.
    pub help: String,
    /// Findings that wait for it while it is blank.
    pub blocks: usize,
}

/// One answer of several.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Choice {
    /// What is written.
    pub value: String,
    /// What is shown.
    pub label: String,
}

/// What a field holds; all from `length` to `force` are quantities written with their unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "each is what it says")]
pub enum FieldKind {
    Text,
    Choice,
    Flag,
    Number,
    Length,
    Angle,
    Area,
    Volume,
    Illuminance,
    LuminousFlux,
    Luminance,
    Level,
    Power,
    Voltage,
    Current,
    Impedance,
    Mass,
    Temperature,
    Frequency,
    Duration,
    Ratio,
    DataRate,
    WireSize,
    Force,
}

/// A field's text that reads.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FieldRead {
    /// As it will print, in the job's own units; null where it is left blank.
    pub text: Option<String>,
    /// The value in SI; null for what is no quantity, or blank.
    pub value: Option<f64>,
    /// The change that writes it.
    pub edit: Edit,
}

/// Why a field's text is not accepted.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FieldRefused {
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub hint: String,
    /// The letter at which it goes wrong, from 0; null where none is to blame.
    pub column: Option<usize>,
    /// What is accepted, with an example.
    pub accepted: String,
}
