//! Limits that a job may change, each with its source.

use model::Region;
use units::{Dimension, Printer};

use crate::{Analysis, Known, Means, Missing};

/// Where a limit or formula comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// A work that was read, with edition and clause.
    Published {
        /// Author or body, title, edition, clause or table.
        work: &'static str,
    },
    /// Follows from geometry or arithmetic alone.
    Derived {
        /// From what.
        from: &'static str,
    },
    /// A rule of thumb of the trade, without a source.
    CommonPractice,
    /// Recalled, with the place where it should stand, but not seen again.
    FromMemory {
        /// Where it is thought to stand.
        work: &'static str,
    },
    /// The maker's own spec sheet.
    SpecSheet,
    /// Changed by the job itself.
    Agreed {
        /// Why, as the job says.
        reason: Option<String>,
    },
}

impl Source {
    /// The words that findings, manuals and sheets print.
    pub fn words(&self) -> String {
        match self {
            Self::Published { work } => (*work).to_owned(),
            Self::Derived { from } => format!("derived: {from}"),
            Self::CommonPractice => "common practice, no source".to_owned(),
            Self::FromMemory { work } => format!("from memory: {work}"),
            Self::SpecSheet => "the maker's spec sheet".to_owned(),
            Self::Agreed {
                reason: Some(reason),
            } => format!("this house's own limit: {reason}"),
            Self::Agreed { reason: None } => "this house's own limit (no reason given)".to_owned(),
        }
    }
}

/// A limit by name, with its customary value.
#[derive(Debug)]
pub struct Limit {
    /// The key under `[rules]`.
    pub name: &'static str,
    /// What it limits, for people.
    pub meaning: &'static str,
    /// How its value is read and printed.
    pub dimension: Dimension,
    /// Customary value, SI.
    pub value: f64,
    /// Where that comes from.
    pub source: Source,
    /// Values that hold in one region only.
    pub regional: &'static [(Region, f64, Source)],
}

/// A limit as it holds for one job.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitValue {
    /// SI.
    pub value: f64,
    /// Where it comes from.
    pub source: Source,
}

impl Analysis {
    /// The region whose customary limits the job goes by.
    pub fn region(&self) -> Region {
        self.job.job.rules.unwrap_or_default()
    }

    /// The limit as this job has it: its own, else its region's, else the customary one.
    pub fn limit(&self, limit: &Limit) -> LimitValue {
        let rules = &self.job.rules;
        let own = rules
            .limits
            .get(limit.name)
            .and_then(|text| units::read(text, limit.dimension).ok()?.value);
        if let Some(value) = own {
            return LimitValue {
                value,
                source: Source::Agreed {
                    reason: rules.reason.get(limit.name).cloned(),
                },
            };
        }
        let region = self.region();
        match limit.regional.iter().find(|(of, ..)| *of == region) {
            Some((_, value, source)) => LimitValue {
                value: *value,
                source: source.clone(),
            },
            None => LimitValue {
                value: limit.value,
                source: limit.source.clone(),
            },
        }
    }
}

impl Analysis {
    /// The limit where a code of the job's region, or the job itself, states one; else it is
    /// missing, and `ask` names the code to look into.
    pub fn code_limit(&self, limit: &Limit, ask: &str) -> Known<LimitValue> {
        let found = self.limit(limit);
        let is_own = matches!(found.source, Source::Agreed { .. });
        let of_region = limit.regional.iter().any(|(of, ..)| *of == self.region());
        if self.region() == Region::Us || is_own || of_region {
            return Ok(found);
        }
        Err(Missing::new(
            format!("what the local code says of the {} ({ask})", limit.meaning),
            format!("rules.{}", limit.name),
            Means::LocalCode,
        ))
    }
}

impl Limit {
    /// The customary value in words.
    pub fn printed(&self, printer: Printer) -> String {
        printer.print(self.value, self.dimension, None)
    }
}
