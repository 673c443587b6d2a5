//! A computed change to the job, and what it would do.

use model::Edit;
use serde::Serialize;

use crate::{Caution, Verdict};

/// A change to the document that mends a finding.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Remedy {
    /// `check/subject/number`, to apply it by.
    pub id: String,
    /// What to do, with its numbers: an imperative sentence.
    pub says: String,
    /// The change to the document.
    pub edits: Vec<Edit>,
    /// What it takes.
    pub cost: Cost,
    /// Dangers of doing it.
    pub cautions: Vec<Caution>,
    /// What the whole job looks like with it; filled in by proving a copy.
    pub effect: Option<Effect>,
}

/// What a remedy takes of the crew. Times without the shop's own record are common practice.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Cost {
    /// Working time of the crew, s.
    pub time_s: f64,
    /// Further wire, m.
    pub wire_m: f64,
    /// Further holes to cut or drill.
    pub holes: u32,
    /// Money for time and wire where the job states its rates.
    pub money: Option<f64>,
}

/// The job proved again with a remedy applied.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Effect {
    /// The finding's own verdict afterwards.
    pub verdict: Verdict,
    /// Findings whose verdict improves, itself left out.
    pub better: Vec<Change>,
    /// Findings whose verdict gets worse.
    pub worse: Vec<Change>,
    /// Why it can't be applied, if it can't.
    pub refused: Option<String>,
}

/// A finding whose verdict a remedy changes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// The check.
    pub check: &'static str,
    /// The subject's label.
    pub subject: String,
    /// Verdict as the job is; none when the finding appears with the remedy.
    pub from: Option<Verdict>,
    /// Verdict with the remedy; none when the finding disappears.
    pub to: Option<Verdict>,
}

impl Remedy {
    /// A change with what to say about it; its id and effect come later.
    pub fn new(says: impl Into<String>, edits: Vec<Edit>) -> Self {
        Self {
            id: String::new(),
            says: says.into(),
            edits,
            cost: Cost::default(),
            cautions: Vec::new(),
            effect: None,
        }
    }

    /// States what it takes.
    pub fn costing(mut self, cost: Cost) -> Self {
        self.cost = cost;
        self
    }

    /// Adds a danger of doing it.
    pub fn caution(mut self, caution: Caution) -> Self {
        self.cautions.push(caution);
        self
    }
}
