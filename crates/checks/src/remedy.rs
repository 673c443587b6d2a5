//! A computed change to the job, and what it would do.

use std::cmp::Ordering;

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
    /// Working time of the crew at least and at most, s.
    pub time_s: [f64; 2],
    /// Further wire, m.
    pub wire_m: f64,
    /// Further holes to cut or drill, at least and at most.
    pub holes: [u32; 2],
    /// Money for time and wire where the job states its rates.
    pub money: Option<f64>,
}

/// The job proved again with a remedy applied.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Effect {
    /// The finding's own verdict afterwards.
    pub verdict: Verdict,
    /// The finding's own margin afterwards, SI; none where it is unknown or falls away.
    pub margin: Option<f64>,
    /// Findings that get better as [`Change::direction`] says, itself left out; turned
    /// verdicts come first.
    pub better: Vec<Change>,
    /// Findings that get worse.
    pub worse: Vec<Change>,
    /// Why it can't be applied, if it can't.
    pub refused: Option<String>,
}

/// A finding that a remedy changes.
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
    /// Margin as the job is, SI, where there is one.
    pub from_margin: Option<f64>,
    /// Margin with the remedy, SI, where there is one.
    pub to_margin: Option<f64>,
}

/// What fails on both sides of a remedy is told of when it fails by more or less than this
/// share of the larger margin.
const TOLD_SHARE: f64 = 0.1;

impl Change {
    /// `Greater` where the finding gets better, `Less` where it gets worse, `Equal` where
    /// neither is worth telling.
    ///
    /// A finding that appears or goes counts as if it fitted on the other side. One that
    /// fails on both sides may fail by more or by less.
    pub fn direction(&self) -> Ordering {
        let [was, is] = [self.from, self.to].map(|side| side.unwrap_or(Verdict::Fits));
        if let (Verdict::Fails, Verdict::Fails, Some(from), Some(to)) =
            (was, is, self.from_margin, self.to_margin)
        {
            let told = (to - from).abs() > TOLD_SHARE * from.abs().max(to.abs());
            return if told {
                to.total_cmp(&from)
            } else {
                Ordering::Equal
            };
        }
        is.cmp(&was)
    }
}

impl Cost {
    /// This and another together.
    pub fn and(self, other: Self) -> Self {
        let money = match (self.money, other.money) {
            (Some(one), Some(other)) => Some(one + other),
            (one, other) => one.or(other),
        };
        Self {
            time_s: [0, 1].map(|side| self.time_s[side] + other.time_s[side]),
            wire_m: self.wire_m + other.wire_m,
            holes: [0, 1].map(|side| self.holes[side] + other.holes[side]),
            money,
        }
    }

    /// Halfway between the least and the most time, s.
    pub fn usual_time_s(&self) -> f64 {
        0.5 * (self.time_s[0] + self.time_s[1])
    }
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

#[cfg(test)]
mod tests {
    //! Both sides of each boundary of what is told.

    use super::*;

    fn direction(from: Option<(Verdict, f64)>, to: Option<(Verdict, f64)>) -> Ordering {
        let change = Change {
            check: "some-check",
            subject: "something".to_owned(),
            from: from.map(|side| side.0),
            to: to.map(|side| side.0),
            from_margin: from.map(|side| side.1),
            to_margin: to.map(|side| side.1),
        };
        change.direction()
    }

    #[test]
    fn what_fails_by_a_tenth_more_or_less_is_told() {
        let fails = |from, to| direction(Some((Verdict::Fails, from)), Some((Verdict::Fails, to)));
        assert_eq!(fails(-1.0, -1.12), Ordering::Less);
        assert_eq!(fails(-1.0, -1.10), Ordering::Equal);
        assert_eq!(fails(-1.0, -0.91), Ordering::Equal);
        assert_eq!(fails(-1.0, -0.89), Ordering::Greater);
    }

    #[test]
    fn a_verdict_counts_before_a_margin() {
        let tight = Some((Verdict::Tight, 0.01));
        assert_eq!(
            direction(Some((Verdict::Fails, -1.0)), tight),
            Ordering::Greater
        );
        assert_eq!(
            direction(tight, Some((Verdict::Tight, 0.001))),
            Ordering::Equal
        );
        assert_eq!(direction(None, tight), Ordering::Less);
        assert_eq!(direction(tight, None), Ordering::Greater);
    }
}
