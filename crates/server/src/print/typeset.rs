//! A set of sheets as the typesetter's crate draws them.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use checks::{Analysis, Proof, prove_unless};
use model::Job;
use view::BassStudy;

use super::{Column, Content, Paper, Sheet, SheetFinding, SheetLine, Table};
use crate::bass::bass_sheet;
use crate::solve::{Stopped, Teller, Unsolved};

/// What is done besides drawing each sheet: proving before, setting after.
const STEPS_BESIDE: usize = 2;

/// A job's set: proved, each sheet drawn when it is asked for.
pub struct Set {
    job: Arc<Job>,
    paper: sheets::Paper,
    proof: Proof,
    listed: Vec<sheets::Listed>,
    drawn: Mutex<BTreeMap<String, Arc<sheets::Sheet>>>,
}

impl Set {
    /// Proves the job; draws nothing yet.
    pub fn new(job: &Arc<Job>, paper: Paper, teller: &Teller) -> Result<Self, Unsolved> {
        let paper = match paper {
            Paper::A4 => sheets::Paper::A4,
            Paper::Letter => sheets::Paper::Letter,
        };
        teller.tell(0, STEPS_BESIDE, "proving the job and trying each remedy")?;
        let proof = prove_unless(Arc::clone(job), teller.stop()).ok_or(Stopped)?;
        let listed = sheets::ids(&Analysis::new(Arc::clone(job)), &proof);
        Ok(Self {
            job: Arc::clone(job),
            paper,
            proof,
            listed,
            drawn: Mutex::default(),
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
        (self.listed.iter())
            .map(|sheet| SheetLine::new(&sheet.id, &sheet.title, &spaces))
            .collect()
    }

    /// One of its sheets; `url` is where its drawings are, without their number.
    pub fn sheet(&self, id: &str, url: &str) -> Option<Sheet> {
        let sheet = self.drawn(id)?;
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
        sheets::svg(&*self.drawn(id)?).into_iter().nth(drawing)
    }

    /// All as pages, those of the bass behind them, with a date as it is printed. Stops between two
    /// sheets.
    pub fn pdf(
        &self,
        date: &str,
        basses: &[BassStudy],
        teller: &Teller,
    ) -> Result<Vec<u8>, Unsolved> {
        let count = self.listed.len();
        let steps = count + STEPS_BESIDE;
        let mut all = match self.whole() {
            Some(all) => all,
            None => {
                teller.tell(1, steps, "drawing plans, walls and ceilings")?;
                let told = |done: usize, of: usize| {
                    // That it is to stop is told by the flag.
                    let _ = teller.tell(1 + done, steps, format!("{done} of {of} sheets drawn"));
                };
                let analysis = Analysis::new(Arc::clone(&self.job));
                let stop = teller.stop();
                let drawn = sheets::house_unless(&analysis, &self.proof, self.paper, stop, told);
                self.keep(drawn.ok_or(Stopped)?)
            }
        };
        let basses = basses.iter();
        all.extend(basses.filter_map(|study| bass_sheet(study, self.paper)));
        teller.tell(1 + count, steps, "setting the pages")?;
        let title = sheets::title_block(&self.job, date);
        let pdf = sheets::pdf_unless(&title, self.paper, &all, teller.stop())
            .map_err(|error| Unsolved::Refused(error.to_string()))?;
        Ok(pdf.ok_or(Stopped)?)
    }

    /// One sheet, drawn if nobody asked for it before.
    fn drawn(&self, id: &str) -> Option<Arc<sheets::Sheet>> {
        let known = self.lock().get(id).map(Arc::clone);
        if known.is_some() || self.listed.iter().all(|sheet| sheet.id != id) {
            return known;
        }
        let analysis = Analysis::new(Arc::clone(&self.job));
        let made = sheets::contents(&analysis, &self.proof, self.paper, &[id]);
        let sheet = Arc::new(made.into_iter().next()?);
        self.lock().insert(id.to_owned(), Arc::clone(&sheet));
        Some(sheet)
    }

    /// Every sheet, if each was drawn.
    fn whole(&self) -> Option<Vec<sheets::Sheet>> {
        let drawn = self.lock();
        let all = self.listed.iter().map(|listed| drawn.get(&listed.id));
        all.map(|sheet| sheet.map(|sheet| sheets::Sheet::clone(sheet)))
            .collect()
    }

    fn keep(&self, all: Vec<sheets::Sheet>) -> Vec<sheets::Sheet> {
        let mut drawn = self.lock();
        for sheet in &all {
            drawn.insert(sheet.id.clone(), Arc::new(sheet.clone()));
        }
        all
    }

    /// Nothing is drawn under the lock.
    fn lock(&self) -> MutexGuard<'_, BTreeMap<String, Arc<sheets::Sheet>>> {
        self.drawn.lock().unwrap_or_else(PoisonError::into_inner)
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
