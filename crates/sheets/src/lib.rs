//! Printed sheets: PDF bytes from plain contents.
//!
//! A [`Sheet`] holds drawings at their true scale, tables, findings and text. [`pdf`] sets a whole set of them on A4 or
//! Letter with a title block, [`svg`] gives a sheet's drawings alone, [`texts`] the words of each page. Nothing but the
//! arguments decides the bytes: no clock, no font search, no network. Every text of a job goes to the typesetter as data,
//! never as markup, so `#`, `$` or `*` in a name print as they are.

mod bass;
mod data;
mod drawing_page;
mod house;
mod page;
mod table;
mod texts;
mod word_page;
mod world;

use std::sync::atomic::{AtomicBool, Ordering};

use drawing::{Drawing, Verdict};
use thiserror::Error;

pub use bass::{BassSheet, bass_sheet};
pub use house::{
    contents, house, house_pdf, house_pdf_unless, house_unless, ids, sheet_svg, title_block,
};
pub use page::{Paper, drawing_areas};
pub use texts::texts;

/// What is printed at the foot of each sheet.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct TitleBlock {
    /// The job's name.
    pub job: String,
    /// For whom.
    pub customer: String,
    /// Which revision of the job.
    pub revision: String,
    /// The date as printed; the caller's clock, not ours.
    pub date: String,
    /// Who made the set.
    pub prepared_by: String,
    /// Which rule stands beside the check line.
    pub units: Units,
}

/// The units that a job is printed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Units {
    /// Metres and millimetres; the check line is 100 mm long.
    #[default]
    Metric,
    /// Feet and inches; the check line is 4 in long.
    Imperial,
}

/// A sheet of a set before it is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Its stable id, for instance "loft-wall-street".
    pub id: String,
    /// Its title.
    pub title: String,
    /// What it is of.
    pub kind: SheetKind,
}

/// What a sheet is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SheetKind {
    /// What was proved of the job.
    Findings,
    /// What to measure again.
    MeasureAgain,
    /// A space from above.
    Plan,
    /// One wall from inside.
    Wall,
    /// A ceiling in a mirror on the floor.
    Ceiling,
    /// A projected picture's contrast by month and hour.
    Light,
    /// Where a projector can hang, from above and cut along its beam.
    ProjectorPlace,
    /// How large each picture can be, how high each display can hang, and what stops them.
    Pictures,
    /// A room's sound: how long it rings, where it is loud, what comes back from where.
    Sound,
    /// A space that can't be drawn yet, and what to measure for it.
    NotDrawn,
    /// What each button does, and which thing is joined to which.
    Activities,
    /// What stands in which unit of a rack, and how full each circuit is.
    Racks,
    /// Conduits cut across, with their cables.
    Conduits,
    /// Cut-outs at their true size.
    Templates,
    /// The cable schedule.
    Cables,
    /// Labels for both ends of each cable.
    Labels,
    /// What goes into the van.
    Parts,
}

impl SheetKind {
    /// Whether it is a drawing with words; the others are words alone.
    pub fn is_drawn(self) -> bool {
        matches!(
            self,
            Self::Plan
                | Self::Wall
                | Self::Ceiling
                | Self::Light
                | Self::ProjectorPlace
                | Self::Sound
                | Self::Activities
                | Self::Racks
                | Self::Conduits
                | Self::Templates
        )
    }
}

/// One sheet of a set; it may run over several pages.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Sheet {
    /// A stable id, for instance "wall-street".
    pub id: String,
    /// Its title.
    pub title: String,
    /// What stands on it, in order.
    pub contents: Vec<Content>,
    /// What to beware of, set in a box on the first page.
    pub cautions: Vec<String>,
}

/// One part of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// A drawing at its true scale, on a page of its own, with its tables below it, and its key and notes beside or
    /// below it.
    Drawing {
        /// The drawing; at most as large as one of [`drawing_areas`].
        drawing: Box<Drawing>,
        /// Notes to it.
        notes: Vec<String>,
        /// Set below it over the page's whole width.
        tables: Vec<Table>,
    },
    /// A table whose head is repeated on each page.
    Table(Table),
    /// Findings with verdict, numbers, reason and remedies.
    Findings(Vec<FindingRow>),
    /// Paragraphs below a heading; the heading may be empty.
    Text {
        /// The heading.
        heading: String,
        /// The paragraphs.
        paragraphs: Vec<String>,
    },
    /// Points below a heading; the heading may be empty.
    List {
        /// The heading.
        heading: String,
        /// The points.
        items: Vec<String>,
    },
}

/// A table.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Table {
    /// Set above it; may be empty.
    pub heading: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, each with one text for each column that is not a tick box.
    pub rows: Vec<Vec<String>>,
    /// Set in bold below the rows, for sums; empty or like a row.
    pub total: Vec<String>,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its head.
    pub head: String,
    /// What stands in it.
    pub kind: ColumnKind,
}

impl Column {
    /// From its head and what stands in it.
    pub fn new(head: impl Into<String>, kind: ColumnKind) -> Self {
        Self {
            head: head.into(),
            kind,
        }
    }
}

/// What stands in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnKind {
    /// Words, set from the left and wrapped.
    Text,
    /// Numbers, set from the right and never wrapped.
    Number,
    /// An empty box to be ticked by hand; rows hold nothing for it.
    Tick,
    /// A verdict's word, set after its shape; any other text stands alone.
    Verdict,
}

/// One finding as printed; all numbers are formatted by the caller.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FindingRow {
    /// The verdict.
    pub verdict: Verdict,
    /// What was checked.
    pub check: String,
    /// What it is about.
    pub subject: String,
    /// The value found; empty when unknown.
    pub value: String,
    /// The limit.
    pub limit: String,
    /// Margin with sign and uncertainty.
    pub margin: String,
    /// The reason in one sentence.
    pub because: String,
    /// What else is told in the same row, a paragraph each: findings of the same thing that are less bad.
    pub others: Vec<String>,
    /// Where the limit comes from.
    pub source: String,
    /// What would cure it.
    pub remedies: Vec<String>,
}

/// Why there is no set of sheets.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum SheetError {
    /// A drawing that would have to be shrunk.
    #[error(
        "sheet \"{sheet}\": the drawing \"{drawing}\" is {width_mm} × {height_mm} mm and does not fit {paper} at its scale; draw it smaller or print on larger paper"
    )]
    DrawingTooLarge {
        /// The sheet's id.
        sheet: String,
        /// The drawing's title.
        drawing: String,
        /// Its width, whole mm.
        width_mm: u32,
        /// Its height, whole mm.
        height_mm: u32,
        /// The paper's name.
        paper: String,
    },
    /// A row with too few or too many texts.
    #[error("sheet \"{sheet}\": row {row} of a table has {texts} texts for {columns} columns")]
    Row {
        /// The sheet's id.
        sheet: String,
        /// Which row, from 1.
        row: usize,
        /// How many texts it has.
        texts: usize,
        /// How many are wanted.
        columns: usize,
    },
    /// Nothing to print.
    #[error("a set needs at least one sheet")]
    Empty,
    /// The typesetter refused; a fault of this crate.
    #[error("the sheets could not be set: {0}")]
    Typesetting(String),
}

/// The whole set as one PDF; the same arguments give the same bytes.
pub fn pdf(title: &TitleBlock, paper: Paper, sheets: &[Sheet]) -> Result<Vec<u8>, SheetError> {
    world::written(&world::document(&data::gather(title, paper, sheets)?)?)
}

/// As [`pdf`]; nothing when the flag is set before the pages are set, or before they are written.
pub fn pdf_unless(
    title: &TitleBlock,
    paper: Paper,
    sheets: &[Sheet],
    stop: &AtomicBool,
) -> Result<Option<Vec<u8>>, SheetError> {
    let is_late = || stop.load(Ordering::Relaxed);
    if is_late() {
        return Ok(None);
    }
    let document = world::document(&data::gather(title, paper, sheets)?)?;
    if is_late() {
        return Ok(None);
    }
    world::written(&document).map(Some)
}

/// The drawings of a sheet as SVG documents, each with its key below.
pub fn svg(sheet: &Sheet) -> Vec<String> {
    let drawings = sheet.contents.iter().filter_map(|c| match c {
        Content::Drawing { drawing, .. } => Some(drawing),
        _ => None,
    });
    drawings.map(|d| drawing::svg(&d.with_key())).collect()
}
