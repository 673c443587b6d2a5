//! Does all that belongs to a drawing find room on its page?
//!
//! One page that says everything beats two: words stand in the drawing's margin, or tables and words below a drawing of
//! a somewhat smaller scale. Otherwise the words come first, on a page of their own, and the drawing follows on the back
//! with its key and what else has room: nobody turns a page on a ladder to learn what a number means.

use drawing::{Area, Drawing, DrawingError};

use super::Set;
use super::about::{Reason, first_reasons};
use crate::drawing_page::{
    COLUMN_MM, GAP_MM, HEADING_MM, LINE_MM, Words, framed, holds_all, page_for, tables_height,
};
use crate::page::{CHECK_MM, Page};
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// What a sheet's title takes, mm.
const TITLE_MM: f64 = 10.0;
/// The greatest width of running text, mm.
const TEXT_MM: f64 = 145.0;
/// Reasons told on the drawing's own page: all that are read on a ladder, or the worst where that keeps one page.
const REASONS: [usize; 2] = [8, 4];
/// Heights kept free below a drawing for its key and kinds of lines, in the order in which they are tried, mm.
const BELOW_MM: [f64; 2] = [16.0, 40.0];
/// As much smaller may a drawing be for the sake of one page: a step of the rule, or half for a wall with little on it.
const STEP: f64 = 1.4;
const HALF: f64 = 2.1;

/// What belongs to one drawing.
pub(super) struct Drawn {
    pub id: String,
    pub title: String,
    pub cautions: Vec<String>,
    /// Where things go.
    pub setting_out: Option<Table>,
    /// What fails or is tight.
    pub reasons: Vec<Reason>,
    /// What else is to be known.
    pub remarks: Vec<String>,
    /// Whether one page matters more than the largest scale.
    pub may_shrink: bool,
}

/// A drawing with what stands on its page.
struct OnePage {
    drawing: Drawing,
    notes: Vec<String>,
    tables: Vec<Table>,
}

impl Drawn {
    fn notes(&self) -> Vec<String> {
        let first = first_reasons(&self.reasons, usize::MAX);
        first
            .into_iter()
            .map(|reason| reason.because)
            .chain(self.remarks.iter().cloned())
            .collect()
    }

    /// Where things go, and the worst of what fails or is tight.
    fn tables(&self, reasons: usize) -> Vec<Table> {
        let why = first_reasons(&self.reasons, reasons);
        let why = (!why.is_empty()).then(|| table(&why));
        self.setting_out.iter().cloned().chain(why).collect()
    }

    fn sheet(self, contents: Vec<Content>) -> Sheet {
        Sheet {
            id: self.id,
            title: self.title,
            contents,
            cautions: self.cautions,
        }
    }
}

impl Set<'_> {
    /// The sheet of a drawing on one page where that can be, at its largest scale otherwise; one that can't be drawn
    /// says why.
    pub fn drawn(
        &self,
        mut words: Drawn,
        draw: impl Fn(Area) -> Result<Drawing, DrawingError>,
    ) -> Sheet {
        let largest = match drawing::on_best(&self.areas, &draw) {
            Ok(drawing) => drawing,
            Err(error) => {
                words.remarks.insert(0, format!("Not drawn: {error}."));
                let contents = self.page_of_words(&mut words, None);
                return words.sheet(contents);
            }
        };
        let least = f64::from(largest.scale.0) * if words.may_shrink { HALF } else { STEP };
        // A drawing so small that its words went into the key says less than two pages.
        let is_readable = |page: &OnePage| {
            f64::from(page.drawing.scale.0) <= least
                && page.drawing.key.len() <= largest.key.len() + 2
        };
        let beside = self.beside(&words, &largest, &draw).filter(is_readable);
        let one = match beside {
            Some(page) if page.drawing.scale == largest.scale => Some(page),
            beside => {
                let below = self.below(&words, &draw).filter(is_readable);
                let pages = beside.into_iter().chain(below);
                pages.min_by_key(|page| page.drawing.scale)
            }
        };
        if let Some(page) = one {
            return words.sheet(vec![page.content()]);
        }
        let (drawing, notes) = self.on_the_back(&mut words, largest, &draw);
        let mut contents = self.page_of_words(&mut words, Some(&drawing));
        contents.push(Content::Drawing {
            drawing: Box::new(drawing),
            notes,
            tables: Vec::new(),
        });
        words.sheet(contents)
    }

    /// All in the drawing's margin; things to set out want a table, which has no room there.
    fn beside(
        &self,
        words: &Drawn,
        largest: &Drawing,
        draw: impl Fn(Area) -> Result<Drawing, DrawingError>,
    ) -> Option<OnePage> {
        if words.setting_out.is_some() {
            return None;
        }
        let notes = words.notes();
        let holds = |drawing: &Drawing| self.holds_all(drawing, &words.cautions, &notes, &[]);
        let narrow = || drawing::on_best(&self.narrowed(), draw).ok();
        Some(largest.clone())
            .filter(holds)
            .or_else(|| narrow().filter(holds))
            .map(|drawing| OnePage {
                drawing,
                notes,
                tables: Vec::new(),
            })
    }

    /// Tables and words below the drawing on a standing page.
    fn below(
        &self,
        words: &Drawn,
        draw: impl Fn(Area) -> Result<Drawing, DrawingError>,
    ) -> Option<OnePage> {
        let [_, standing] = self.areas;
        let half = (standing.width_mm - GAP_MM) / 2.0;
        let mut tried = REASONS.to_vec();
        tried.dedup_by_key(|count| (*count).min(words.reasons.len()));
        for count in tried {
            let tables = words.tables(count);
            if tables.is_empty() {
                return None;
            }
            let cautions =
                framed(&words.cautions, half).min(framed(&words.cautions, standing.width_mm));
            let needs = tables_height(&tables, standing.width_mm) + cautions;
            for below in BELOW_MM {
                let area = Area {
                    height_mm: standing.height_mm - needs - below,
                    ..standing
                };
                if area.height_mm < 40.0 {
                    break;
                }
                let Ok(drawing) = draw(area) else { break };
                if self.holds_all(&drawing, &words.cautions, &words.remarks, &tables) {
                    return Some(OnePage {
                        drawing,
                        notes: words.remarks.clone(),
                        tables,
                    });
                }
            }
        }
        None
    }

    /// The drawing that follows its page of words, as large as its key allows, with the remarks that have room there.
    fn on_the_back(
        &self,
        words: &mut Drawn,
        largest: Drawing,
        draw: impl Fn(Area) -> Result<Drawing, DrawingError>,
    ) -> (Drawing, Vec<String>) {
        let holds = |drawing: &Drawing, notes: &[String]| self.holds_all(drawing, &[], notes, &[]);
        if holds(&largest, &words.remarks) {
            return (largest, std::mem::take(&mut words.remarks));
        }
        let narrow = drawing::on_best(&self.narrowed(), draw)
            .ok()
            .filter(|drawing| f64::from(drawing.scale.0) <= f64::from(largest.scale.0) * STEP);
        match narrow {
            Some(narrow) if holds(&narrow, &words.remarks) => {
                (narrow, std::mem::take(&mut words.remarks))
            }
            Some(narrow) if !holds(&largest, &[]) && holds(&narrow, &[]) => (narrow, Vec::new()),
            _ => (largest, Vec::new()),
        }
    }

    fn narrowed(&self) -> [Area; 2] {
        self.areas.map(|area| Area {
            width_mm: area.width_mm - COLUMN_MM - GAP_MM,
            ..area
        })
    }

    fn holds_all(
        &self,
        drawing: &Drawing,
        cautions: &[String],
        notes: &[String],
        tables: &[Table],
    ) -> bool {
        let words = Words {
            cautions,
            notes,
            tables,
        };
        page_for(drawing, tables, self.paper, "").is_ok_and(|page| holds_all(page, drawing, words))
    }

    /// The words as one page before their drawing, with as many reasons as the page holds.
    fn page_of_words(&self, words: &mut Drawn, drawing: Option<&Drawing>) -> Vec<Content> {
        let lies = |drawing| page_for(drawing, &[], self.paper, &words.id).is_ok_and(|p| p.lying);
        let page = Page::new(
            self.paper,
            words.setting_out.is_some() || drawing.is_some_and(lies),
        );
        let width = page.inner_width_mm();
        let mut room = page.drawing_height_mm() + CHECK_MM - TITLE_MM;
        room -= framed(&words.cautions, width);
        if !words.remarks.is_empty() {
            let lines = |text: &String| {
                drawing::font::wrap(text, drawing::font::LETTERING_MM, false, TEXT_MM).len() as f64
            };
            room -= HEADING_MM + words.remarks.iter().map(lines).sum::<f64>() * LINE_MM;
        }
        let most = words.reasons.len();
        let count = (1..=most)
            .rev()
            .find(|count| tables_height(&words.tables(*count), width) < room)
            .unwrap_or(1);
        let tables = words.tables(count).into_iter().map(Content::Table);
        let remarks = (!words.remarks.is_empty()).then(|| Content::List {
            heading: "Notes".to_owned(),
            items: words.remarks.clone(),
        });
        tables.chain(remarks).collect()
    }
}

impl OnePage {
    fn content(self) -> Content {
        Content::Drawing {
            drawing: Box::new(self.drawing),
            notes: self.notes,
            tables: self.tables,
        }
    }
}

/// A table takes the paper's whole width, which a list does not.
pub(super) fn table(reasons: &[Reason]) -> Table {
    let column = |head: &str, kind| Column {
        head: head.to_owned(),
        kind,
    };
    Table {
        heading: "What fails or is tight".to_owned(),
        columns: vec![
            column("Verdict", ColumnKind::Verdict),
            column("Why", ColumnKind::Text),
        ],
        rows: reasons
            .iter()
            .map(|reason| vec![reason.verdict.to_owned(), reason.because.clone()])
            .collect(),
        total: Vec::new(),
    }
}
