//! Does all that belongs to a drawing find room on its page?
//!
//! The drawing comes first. One page that says everything beats two: words stand in the drawing's margin, or tables and
//! words under a drawing of a somewhat smaller scale. Otherwise the cautions stand with the drawing, which gets as small as
//! that asks for; then where things go, then notes; what is left follows on a page of words, and the drawing says what
//! follows. Only where no drawing shares its page with the cautions do the words come first.

use std::cell::RefCell;

use drawing::{Area, Drawing, DrawingError, Scale};

use super::Set;
use super::about::{READ, Reason, first_reasons};
use crate::drawing_page::{
    COLUMN_MM, GAP_MM, Layout, MARGIN_MM, Words, framed, half, notes_height, tables_height,
};
use crate::word_page::holds_words;
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// Reasons told on the drawing's own page: all that are read on a ladder, or the worst where that keeps one page.
const REASONS: [usize; 2] = [8, 4];
/// Widths kept free beside a drawing for a column of words, in the order in which they are tried, mm.
const BESIDE_MM: [f64; 4] = [0.0, COLUMN_MM + GAP_MM, 80.0 + GAP_MM, MARGIN_MM + GAP_MM];
/// Heights kept free below a drawing for its key and kinds of lines, in the order in which they are tried, mm.
const BELOW_MM: [f64; 2] = [16.0, 40.0];
/// A drawing lower than this says nothing, mm.
const LEAST_MM: f64 = 40.0;
/// As much smaller may a drawing be for the sake of one page or its cautions: a step of the rule, or half where no
/// label then stands farther off, or for a wall, which says little.
const STEP: f64 = 1.4;
const HALF: f64 = 2.1;
/// As many more words may go into the key of a smaller drawing: with more it says less than two pages.
const KEYED: usize = 2;

/// What belongs to one drawing.
#[derive(Default)]
pub(super) struct Drawn {
    pub cautions: Vec<String>,
    /// Without which the drawing misleads: always on its page.
    pub lead: Vec<String>,
    /// Where things go.
    pub setting_out: Option<Table>,
    /// What fails or is tight.
    pub reasons: Vec<Reason>,
    /// What else is to be known.
    pub remarks: Vec<String>,
    /// Whether one page matters more than the largest scale.
    pub may_shrink: bool,
}

/// Which of a drawing's words stand on its page.
#[derive(Clone, Copy, PartialEq)]
struct With {
    cautions: bool,
    setting_out: bool,
    /// At most so many.
    reasons: usize,
    remarks: bool,
}

/// A drawing with what stands on its page.
struct OnePage {
    drawing: Drawing,
    cautions: Vec<String>,
    notes: Vec<String>,
    tables: Vec<Table>,
}

impl With {
    fn parts(cautions: bool, setting_out: bool, remarks: bool) -> Self {
        Self {
            cautions,
            setting_out,
            reasons: 0,
            remarks,
        }
    }
}

impl Drawn {
    /// The same without what there is none of.
    fn held(&self, with: With) -> With {
        With {
            cautions: with.cautions && !self.cautions.is_empty(),
            setting_out: with.setting_out && self.setting_out.is_some(),
            reasons: with.reasons.min(self.reasons.len()),
            remarks: with.remarks && !self.remarks.is_empty(),
        }
    }

    /// What the drawing's page says of the page that follows.
    fn follows(&self, with: With) -> Option<String> {
        let all = self.held(With {
            reasons: 1,
            ..With::parts(true, true, true)
        });
        let with = self.held(with);
        let (place, first) = match all.cautions && !with.cautions {
            true => ("page before", Some("cautions, to be read first")),
            false => ("next page", None),
        };
        let left: Vec<&str> = [
            first,
            (all.setting_out && !with.setting_out).then_some("where things go"),
            (all.reasons > 0 && with.reasons == 0).then_some("what fails or is tight"),
            (all.remarks && !with.remarks).then_some("notes"),
        ]
        .into_iter()
        .flatten()
        .collect();
        (!left.is_empty()).then(|| format!("On the {place}: {}.", left.join("; ")))
    }

    /// Ways to set these words with a drawing: reasons as notes or as a table.
    fn ways(&self, with: With) -> Vec<(Vec<String>, Vec<String>, Vec<Table>)> {
        let with = self.held(with);
        let cautions = match with.cautions {
            true => self.cautions.clone(),
            false => Vec::new(),
        };
        let remarks = self.remarks.iter().filter(|_| with.remarks);
        let follows = self.follows(with);
        let notes = self.lead.iter().chain(&follows).chain(remarks);
        let notes: Vec<String> = notes.cloned().collect();
        let setting_out = self.setting_out.iter().filter(|_| with.setting_out);
        let mut tables: Vec<Table> = setting_out.cloned().collect();
        if with.reasons == 0 {
            return vec![(cautions, notes, tables)];
        }
        let why = first_reasons(&self.reasons, with.reasons);
        let mut ways = Vec::new();
        if tables.is_empty() {
            let why = why.iter().map(|reason| reason.because.clone());
            let lead = self.lead.len();
            let (first, others) = notes.split_at(lead);
            let notes = first.iter().cloned().chain(why);
            let notes = notes.chain(others.iter().cloned()).collect();
            ways.push((cautions.clone(), notes, Vec::new()));
        }
        tables.push(table(&why));
        ways.push((cautions, notes, tables));
        ways
    }

    fn sheet(self, contents: Vec<Content>) -> Sheet {
        Sheet {
            contents,
            cautions: self.cautions,
            ..Sheet::default()
        }
    }
}

/// Draws each area once.
struct Trials<'a> {
    draw: &'a dyn Fn(Area) -> Result<Drawing, DrawingError>,
    drawn: RefCell<Vec<(Area, Option<Drawing>)>>,
}

impl Trials<'_> {
    fn draw(&self, area: Area) -> Option<Drawing> {
        let drawn = self.drawn.borrow();
        if let Some((_, drawing)) = drawn.iter().find(|(of, _)| *of == area) {
            return drawing.clone();
        }
        drop(drawn);
        let drawing = (self.draw)(area).ok();
        self.drawn.borrow_mut().push((area, drawing.clone()));
        drawing
    }
}

#[cfg(test)]
thread_local! {
    /// How many sheets of this thread were drawn.
    pub(super) static DRAWN: std::cell::Cell<usize> = const { std::cell::Cell::new(0) };
}

impl Set<'_> {
    /// The sheet of a drawing on one page where that can be, at its largest scale otherwise; one that can't be drawn
    /// says why.
    pub fn drawn(
        &self,
        mut words: Drawn,
        draw: impl Fn(Area) -> Result<Drawing, DrawingError>,
    ) -> Sheet {
        #[cfg(test)]
        DRAWN.set(DRAWN.get() + 1);
        let largest = match drawing::on_best(&self.areas, &draw) {
            Ok(drawing) => drawing,
            Err(error) => {
                let lead = std::mem::take(&mut words.lead);
                let not_drawn = format!("Not drawn: {error}.");
                words
                    .remarks
                    .splice(0..0, lead.into_iter().chain([not_drawn]));
                let contents = self.following(&words, With::parts(true, false, false), None);
                return words.sheet(contents);
            }
        };
        let trials = Trials {
            draw: &draw,
            drawn: RefCell::default(),
        };
        let (with, page) = self.first_page(&words, &largest, &trials);
        let heads = page.cautions.len() == words.cautions.len();
        let drawing = page.content();
        let mut contents = self.following(&words, with, heads.then_some(&drawing));
        if !heads && contents.is_empty() {
            // The cautions alone make the page before.
            contents.push(Content::Text {
                heading: String::new(),
                paragraphs: Vec::new(),
            });
        }
        let at = if heads { 0 } else { contents.len() };
        contents.insert(at, drawing);
        words.sheet(contents)
    }

    /// The drawing's page, and what of its words it holds.
    fn first_page(&self, words: &Drawn, largest: &Drawing, trials: &Trials<'_>) -> (With, OnePage) {
        let smaller = |factor: f64| Scale((f64::from(largest.scale.0) * factor) as u32);
        let everything = REASONS.map(|reasons| With {
            reasons,
            ..With::parts(true, true, true)
        });
        let parts = |cautions: bool, setting_out: bool| {
            [true, false].map(|remarks| With::parts(cautions, setting_out, remarks))
        };
        let at = |with: [With; 2], smallest: Scale| with.map(|with| (with, smallest));
        let (large, less) = (largest.scale, smaller(STEP));
        let steps = [
            everything.map(|with| (with, smaller(HALF))),
            at(parts(true, true), large),
            at(parts(true, false), large),
            at(parts(true, true), less),
            at(parts(true, false), less),
        ];
        let readable = |drawing: &Drawing| is_readable(drawing, largest, words.may_shrink);
        let mut tried = Vec::new();
        for (with, smallest) in steps.into_iter().flatten() {
            let held = words.held(with);
            if tried.contains(&(held, smallest)) {
                continue;
            }
            tried.push((held, smallest));
            if let Some(page) = self.page_with(words, with, largest, smallest, &readable, trials) {
                return (with, page);
            }
        }
        // Whoever begins to work has read the cautions: a drawing that is harder to read does less harm. Where none shares
        // its page with them, what belongs to it still does.
        for with in [parts(true, false)[1], parts(false, false)[1]] {
            let smallest = smaller(HALF);
            if let Some(page) = self.page_with(words, with, largest, smallest, &|_| true, trials) {
                return (with, page);
            }
        }
        let with = With::parts(false, false, false);
        let page = OnePage {
            drawing: largest.clone(),
            cautions: Vec::new(),
            notes: (words.lead.iter().cloned())
                .chain(words.follows(with))
                .collect(),
            tables: Vec::new(),
        };
        (with, page)
    }

    /// The largest drawing no smaller than a scale that shares its page with these words.
    fn page_with(
        &self,
        words: &Drawn,
        with: With,
        largest: &Drawing,
        smallest: Scale,
        readable: &dyn Fn(&Drawing) -> bool,
        trials: &Trials<'_>,
    ) -> Option<OnePage> {
        let mut best: Option<OnePage> = None;
        for (cautions, notes, tables) in words.ways(with) {
            let words = Words {
                cautions: &cautions,
                notes: &notes,
                tables: &tables,
            };
            for area in self
                .areas_beside(words)
                .into_iter()
                .chain(self.areas_above(words))
            {
                let smallest = Some(smallest);
                let Some(drawing) = trials.draw(Area { smallest, ..area }) else {
                    continue;
                };
                let is_better = readable(&drawing)
                    && best
                        .as_ref()
                        .is_none_or(|best| drawing.scale < best.drawing.scale);
                if is_better && self.holds_all(&drawing, words) {
                    let is_largest = drawing.scale == largest.scale;
                    best = Some(OnePage {
                        drawing,
                        cautions: cautions.clone(),
                        notes: notes.clone(),
                        tables: tables.clone(),
                    });
                    if is_largest {
                        return best;
                    }
                }
            }
        }
        best
    }

    /// Room for a drawing with a column of words beside it.
    fn areas_beside(&self, words: Words<'_>) -> Vec<Area> {
        if !words.tables.is_empty() {
            return Vec::new();
        }
        let narrower = |area: Area| {
            BESIDE_MM.map(|column| Area {
                width_mm: area.width_mm - column,
                ..area
            })
        };
        self.areas.into_iter().flat_map(narrower).collect()
    }

    /// Room for a drawing with its words below it.
    fn areas_above(&self, words: Words<'_>) -> Vec<Area> {
        let lower = |area: Area| {
            let half = half(area.width_mm);
            let cautions = framed(words.cautions, half).min(framed(words.cautions, area.width_mm));
            let needs = tables_height(words.tables, area.width_mm) + cautions;
            let notes = notes_height(words.notes, half);
            let room = move |below: f64| Area {
                height_mm: area.height_mm - needs - below,
                ..area
            };
            BELOW_MM.into_iter().chain([notes, notes + 24.0]).map(room)
        };
        let [lying, standing] = self.areas;
        let areas = [standing, lying].into_iter().flat_map(lower);
        areas.filter(|area| area.height_mm >= LEAST_MM).collect()
    }

    pub fn holds_all(&self, drawing: &Drawing, words: Words<'_>) -> bool {
        Layout::new(drawing, words, self.paper, "").is_ok_and(|layout| layout.whole)
    }

    /// The words that the drawing's page does not hold, with as many reasons as their own page holds.
    fn following(&self, words: &Drawn, with: With, first: Option<&Content>) -> Vec<Content> {
        let with = words.held(with);
        let setting_out = words.setting_out.iter().filter(|_| !with.setting_out);
        let contents = |reasons: usize| -> Vec<Content> {
            let why = first_reasons(&words.reasons, reasons);
            let why = (with.reasons == 0 && !why.is_empty()).then(|| table(&why));
            let tables = setting_out.clone().cloned().chain(why);
            let remarks = (!with.remarks && !words.remarks.is_empty()).then(|| Content::List {
                heading: "Notes".to_owned(),
                items: words.remarks.clone(),
            });
            tables.map(Content::Table).chain(remarks).collect()
        };
        let is_held = |reasons: &usize| {
            let sheet = Sheet {
                contents: first
                    .cloned()
                    .into_iter()
                    .chain(contents(*reasons))
                    .collect(),
                cautions: words.cautions.clone(),
                ..Sheet::default()
            };
            holds_words(&sheet, self.paper)
        };
        let most = words.reasons.len().min(READ);
        contents((1..=most).rev().find(is_held).unwrap_or(1))
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

/// Whether a smaller drawing says as much as the largest: half as large it may lead no further label to its thing.
fn is_readable(drawing: &Drawing, largest: &Drawing, may_shrink: bool) -> bool {
    let times = f64::from(drawing.scale.0) / f64::from(largest.scale.0);
    if times <= STEP || may_shrink {
        return drawing.key.len() <= largest.key.len() + KEYED;
    }
    let leaders = |drawing: &Drawing| {
        let leads = |element: &&drawing::Element| element.role == drawing::Role::Leader;
        drawing.elements.iter().filter(leads).count()
    };
    drawing.key.len() <= largest.key.len() && leaders(drawing) <= leaders(largest)
}

/// How the things of one surface are set out: a table of its own columns.
pub(super) struct SetOut<'a> {
    pub heading: &'a str,
    /// After a box to tick, the thing and its verdict.
    pub columns: &'a [(&'a str, ColumnKind)],
}

impl SetOut<'_> {
    /// A row for each thing; none without things.
    pub fn table(&self, rows: Vec<Vec<String>>) -> Option<Table> {
        let thing = [
            ("Fitted", ColumnKind::Tick),
            ("What", ColumnKind::Text),
            ("Verdict", ColumnKind::Verdict),
        ];
        let columns = thing.iter().chain(self.columns);
        (!rows.is_empty()).then(|| Table {
            heading: self.heading.to_owned(),
            columns: columns
                .map(|(head, kind)| Column::new(*head, *kind))
                .collect(),
            rows,
            total: Vec::new(),
        })
    }
}

/// A table takes the paper's whole width, which a list does not.
pub(super) fn table(reasons: &[Reason]) -> Table {
    Table {
        heading: "What fails or is tight".to_owned(),
        columns: vec![
            Column::new("Verdict", ColumnKind::Verdict),
            Column::new("Why", ColumnKind::Text),
        ],
        rows: reasons
            .iter()
            .map(|reason| vec![reason.verdict.to_owned(), reason.because.clone()])
            .collect(),
        total: Vec::new(),
    }
}
