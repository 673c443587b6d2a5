//! What is worth measuring before anything is ordered?

use checks::MeasureAgain;

use super::{Set, capital, first_few, words};
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// As many findings are told by name.
const SETTLED: usize = 3;

/// The list with boxes to tick and room to write.
pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let table = Table {
        heading: "Most decisive first".to_owned(),
        columns: vec![
            Column::new("Done", ColumnKind::Tick),
            Column::new("What", ColumnKind::Text),
            Column::new("With", ColumnKind::Text),
            Column::new("Reading", ColumnKind::Number),
            Column::new("What it settles", ColumnKind::Text),
        ],
        rows: set.proof.measure_again.iter().map(row).collect(),
        total: Vec::new(),
    };
    Sheet {
        contents: vec![Content::Table(table)],
        ..Sheet::default()
    }
}

fn row(entry: &MeasureAgain) -> Vec<String> {
    let what = match entry.blank {
        true => capital(&entry.what),
        false => format!("{}: take it again", capital(&entry.what)),
    };
    let settled = entry
        .settles
        .iter()
        .map(|(check, subject)| format!("{} of {subject}", words(check).to_lowercase()));
    vec![
        what,
        entry.tool.to_owned(),
        // A line to write on.
        "_".repeat(14),
        first_few(settled.collect(), SETTLED, "; "),
    ]
}
