//! A set of sheets as the typesetter's crate draws it.

use std::sync::Arc;

use checks::{Analysis, prove_unless};
use model::Job;

use super::{Column, Content, Paper, Sheet, SheetFinding, SheetLine, Table};
use crate::solve::{Stopped, Teller, Unsolved};

/// Proving, drawing, setting.
const STAGES: usize = 3;

/// A job's whole set.
pub struct Drawn {
    job: Arc<Job>,
    paper: sheets::Paper,
    sheets: Vec<sheets::Sheet>,
}

impl Drawn {
    /// Proves and draws.
    pub fn new(job: &Arc<Job>, paper: Paper, teller: &Teller) -> Result<Self, Unsolved> {
        let paper = match paper {
            Paper::A4 => sheets::Paper::A4,
            Paper::Letter => sheets::Paper::Letter,
        };
        teller.tell(0, STAGES, "proving the job and trying each remedy")?;
        let proof = prove_unless(Arc::clone(job), teller.stop()).ok_or(Stopped)?;
        teller.tell(1, STAGES, "drawing plans, walls and ceilings")?;
        let analysis = Analysis::new(Arc::clone(job));
        let sheets = sheets::house(&analysis, &proof, paper);
        Ok(Self {
            job: Arc::clone(job),
            paper,
            sheets,
        })
    }

    /// Its lines.
    pub fn lines(&self) -> Vec<SheetLine> {
        let spaces: Vec<&str> = self
            .job
            .space
            .iter()
            .map(|space| space.id.as_str())
            .collect();
        (self.sheets.iter())
            .map(|sheet| SheetLine::new(&sheet.id, &sheet.title, &spaces))
            .collect()
    }

    /// One of its sheets; `url` is where its drawings are, without their number.
    pub fn sheet(&self, id: &str, url: &str) -> Option<Sheet> {
        let sheet = self.find(id)?;
        let mut drawings = 0;
        let contents = sheet.contents.iter().map(|content| match content {
            sheets::Content::Drawing {
                drawing,
                notes,
                tables,
            } => {
                let svg_url = format!("{url}?drawing={drawings}");
                drawings += 1;
                Content::Drawing {
                    heading: drawing.title.clone(),
                    svg_url,
                    notes: notes.clone(),
                    tables: tables.iter().map(table).collect(),
                }
            }
            sheets::Content::Table(one) => Content::Table(table(one)),
            sheets::Content::Findings(rows) => Content::Findings {
                rows: rows.iter().map(finding).collect(),
            },
            sheets::Content::Text {
                heading,
                paragraphs,
            } => Content::Text {
                heading: heading.clone(),
                paragraphs: paragraphs.clone(),
            },
            sheets::Content::List { heading, items } => Content::List {
                heading: heading.clone(),
                items: items.clone(),
            },
        });
        Some(Sheet {
            id: sheet.id.clone(),
            title: sheet.title.clone(),
            cautions: sheet.cautions.clone(),
            contents: contents.collect(),
        })
    }

    /// A sheet's drawing, by its place on the sheet.
    pub fn svg(&self, id: &str, drawing: usize) -> Option<String> {
        sheets::svg(self.find(id)?).into_iter().nth(drawing)
    }

    /// All as pages, with a date as it is printed.
    pub fn pdf(&self, date: &str, teller: &Teller) -> Result<Vec<u8>, Unsolved> {
        teller.tell(2, STAGES, "setting the pages")?;
        let title = sheets::title_block(&self.job, date);
        sheets::pdf(&title, self.paper, &self.sheets)
            .map_err(|error| Unsolved::Refused(error.to_string()))
    }

    fn find(&self, id: &str) -> Option<&sheets::Sheet> {
        self.sheets.iter().find(|sheet| sheet.id == id)
    }
}

fn table(table: &sheets::Table) -> Table {
    Table {
        heading: table.heading.clone(),
        columns: (table.columns.iter())
            .map(|column| Column {
                head: column.head.clone(),
                holds: match column.kind {
                    sheets::ColumnKind::Text => "text",
                    sheets::ColumnKind::Number => "number",
                    sheets::ColumnKind::Tick => "tick",
                    sheets::ColumnKind::Verdict => "verdict",
                },
            })
            .collect(),
        rows: table.rows.clone(),
        total: table.total.clone(),
    }
}

fn finding(row: &sheets::FindingRow) -> SheetFinding {
    SheetFinding {
        verdict: verdict(row),
        title: row.check.clone(),
        subject: row.subject.clone(),
        value_text: row.value.clone(),
        limit_text: row.limit.clone(),
        margin_text: row.margin.clone(),
        because: row.because.clone(),
        others: row.others.clone(),
        source: row.source.clone(),
        remedies: row.remedies.clone(),
    }
}

fn verdict(row: &sheets::FindingRow) -> view::Verdict {
    match row.verdict {
        drawing::Verdict::Fits => view::Verdict::Fits,
        drawing::Verdict::Tight => view::Verdict::Tight,
        drawing::Verdict::Fails => view::Verdict::Fails,
        drawing::Verdict::Unknown => view::Verdict::Unknown,
    }
}
