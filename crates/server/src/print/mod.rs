//! A job's sheets, proved once for each revision and paper, drawn when somebody reads or prints
//! them, and kept.

#[cfg_attr(feature = "sheets", path = "typeset.rs")]
#[cfg_attr(not(feature = "sheets"), path = "without.rs")]
mod set;

use std::sync::{Arc, Mutex, PoisonError};

use model::Job;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::desk::Revision;
use crate::solve::{Teller, Unsolved};
pub use set::Set;

/// Sets kept; one of a house has some MB.
const KEPT: usize = 4;

/// What sheets are printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// 210 × 297 mm.
    A4,
    /// 8.5 × 11 in.
    Letter,
}

impl Paper {
    /// What a job's own country prints on, as its units tell.
    pub fn of(job: &Job) -> Self {
        match job.units() {
            model::Units::Metric => Self::A4,
            model::Units::Imperial => Self::Letter,
        }
    }
}

/// Of which job, and on what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// The job's id.
    pub job: String,
    /// Which revision.
    pub revision: Revision,
    /// The paper.
    pub paper: Paper,
}

/// Sets of sheets.
#[derive(Clone, Default)]
pub struct Sets {
    kept: Arc<Mutex<Places>>,
}

/// Least recently used first.
type Places = Vec<(Key, Arc<Place>)>;

/// Where one set lies; locked while its job is proved, so that others wait for it.
#[derive(Default)]
struct Place(Mutex<Option<Arc<Set>>>);

impl Sets {
    /// The set, begun if it is not kept. Blocks until its job is proved.
    pub fn of(&self, key: Key, job: &Arc<Job>, teller: &Teller) -> Result<Arc<Set>, Unsolved> {
        let paper = key.paper;
        let place = self.place(key);
        // A set that was given up, or panicked, is begun again.
        let mut kept = place.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(set) = &*kept {
            return Ok(Arc::clone(set));
        }
        let set = Arc::new(Set::new(job, paper, teller)?);
        *kept = Some(Arc::clone(&set));
        Ok(set)
    }

    fn place(&self, key: Key) -> Arc<Place> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let used = match kept.iter().position(|(known, _)| *known == key) {
            Some(at) => kept.remove(at),
            None => (key, Arc::default()),
        };
        let place = Arc::clone(&used.1);
        kept.push(used);
        if kept.len() > KEPT {
            kept.remove(0);
        }
        place
    }
}

/// A sheet in the list of sheets.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SheetLine {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// What it is: `findings`, `plan`, `wall`, `cables` …
    pub kind: String,
    /// The space that it shows, if it is one space's.
    pub space: Option<String>,
}

impl SheetLine {
    /// Sheets of a space are named after it: `loft-wall-street`.
    pub fn new(id: &str, title: &str, spaces: &[&str]) -> Self {
        let of_space = |space: &&&str| {
            let rest = id.strip_prefix(**space);
            rest.is_some_and(|rest| rest.starts_with('-'))
        };
        let space = (spaces.iter().filter(of_space)).max_by_key(|space| space.len());
        let kind = match space {
            Some(space) => id[space.len() + 1..].split('-').next().unwrap_or(id),
            None => id,
        };
        Self {
            id: id.to_owned(),
            title: title.to_owned(),
            kind: kind.to_owned(),
            space: space.map(|space| (*space).to_owned()),
        }
    }
}

/// A sheet's words and drawings.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Sheet {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// What to beware of.
    pub cautions: Vec<String>,
    /// What stands on it, in order.
    pub contents: Vec<Content>,
}

/// One part of a sheet.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Content {
    /// A table.
    Table(Table),
    /// Paragraphs.
    Text {
        /// Above them; may be empty.
        heading: String,
        /// The paragraphs.
        paragraphs: Vec<String>,
    },
    /// Points.
    List {
        /// Above them; may be empty.
        heading: String,
        /// The points.
        items: Vec<String>,
    },
    /// A drawing to scale.
    Drawing {
        /// Its title, scale included.
        heading: String,
        /// Where it is as SVG.
        svg_url: String,
        /// Notes to it.
        notes: Vec<String>,
        /// Below it.
        tables: Vec<Table>,
    },
    /// Findings.
    Findings {
        /// One each.
        rows: Vec<SheetFinding>,
    },
}

/// A table of a sheet.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "SheetTable")]
pub struct Table {
    /// Above it; may be empty.
    pub heading: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows: one text for each column that is no tick box.
    pub rows: Vec<Vec<String>>,
    /// Sums; empty or like a row.
    pub total: Vec<String>,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "SheetColumn")]
pub struct Column {
    /// Its head.
    pub head: String,
    /// What stands in it: `text`, `number`, `tick` or `verdict`.
    pub holds: &'static str,
}

/// A finding as a sheet prints it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SheetFinding {
    /// The verdict.
    pub verdict: view::Verdict,
    /// What was checked.
    pub title: String,
    /// What it is about.
    pub subject: String,
    /// The value found; empty when unknown.
    pub value_text: String,
    /// The limit.
    pub limit_text: String,
    /// The margin with sign and uncertainty.
    pub margin_text: String,
    /// The reason.
    pub because: String,
    /// Findings of the same thing that are less bad.
    pub others: Vec<String>,
    /// Where the limit comes from.
    pub source: String,
    /// What would mend it.
    pub remedies: Vec<String>,
}

#[cfg(test)]
mod tests {
    use super::SheetLine;

    #[test]
    fn a_sheet_is_of_the_space_that_it_is_named_after() {
        let of = |id: &str| {
            let line = SheetLine::new(id, "", &["loft", "loft-bath"]);
            (line.kind, line.space)
        };
        let some = |space: &str| Some(space.to_owned());
        assert_eq!(of("loft-wall-street"), ("wall".to_owned(), some("loft")));
        assert_eq!(of("loft-bath-plan"), ("plan".to_owned(), some("loft-bath")));
        assert_eq!(of("lofty"), ("lofty".to_owned(), None));
        assert_eq!(of("measure-again"), ("measure-again".to_owned(), None));
    }
}
