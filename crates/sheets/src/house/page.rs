//! Does all that belongs to a drawing find room beside it?
//!
//! A drawing with little to say has it in its margin. Otherwise the words come first, on a page of their own, and the
//! drawing follows on the back with nothing but its key: nobody turns a page on a ladder to learn what a number means.

use std::collections::BTreeMap;

use drawing::font::{LETTERING_MM, wrap};
use drawing::{Area, Drawing, DrawingError, Pen};

use super::Set;
use super::about::{Reason, first_reasons};
use crate::drawing_page::{COLUMN_MM, page_for};
use crate::page::{CHECK_MM, Page};
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// Between a drawing and its margin, mm, and the margin's greatest width.
const GAP_MM: f64 = 7.0;
const MARGIN_MM: f64 = 85.0;
/// The least strip below a drawing that takes notes, mm.
const STRIP_MM: f64 = 26.0;
/// What a sheet's title takes, a heading, and the frame of the cautions with theirs, mm.
const TITLE_MM: f64 = 13.0;
const HEADING_MM: f64 = 11.0;
const FRAME_MM: f64 = 16.0;
/// What a table's row takes besides its lines, and its verdict's column, mm.
const ROW_MM: f64 = 1.7;
const VERDICT_MM: f64 = 24.0;
/// Kept free between notes in a margin, where they are many and narrow, and on a page of words, mm.
const NOTE_GAP_MM: f64 = 2.2;
const WORDS_GAP_MM: f64 = 0.5;
/// A line of running text, its height and its greatest width, mm.
const LINE_MM: f64 = LETTERING_MM * 1.25;
const TEXT_MM: f64 = 145.0;

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

impl Drawn {
    fn notes(&self) -> Vec<String> {
        let first = first_reasons(&self.reasons, usize::MAX);
        first
            .into_iter()
            .map(|reason| reason.because)
            .chain(self.remarks.iter().cloned())
            .collect()
    }
}

impl Set<'_> {
    /// The sheet of a drawing at its largest scale; one that can't be drawn says why.
    pub fn drawn(
        &self,
        mut words: Drawn,
        draw: impl Fn(Area) -> Result<Drawing, DrawingError>,
    ) -> Sheet {
        let notes = words.notes();
        let has_room = |drawing: &Drawing| {
            words.setting_out.is_none() && self.has_room(drawing, &notes, &words.cautions)
        };
        let largest = drawing::on_best(&self.areas, &draw);
        let beside = match &largest {
            Ok(drawing) if has_room(drawing) => Some(drawing.clone()),
            Ok(_) if words.may_shrink => {
                let narrowed = self.areas.map(|area| Area {
                    width_mm: area.width_mm - COLUMN_MM - GAP_MM,
                    ..area
                });
                drawing::on_best(&narrowed, &draw).ok().filter(has_room)
            }
            _ => None,
        };
        if let Some(drawing) = beside {
            let content = Content::Drawing {
                drawing: Box::new(drawing),
                notes,
            };
            return words.sheet(vec![content]);
        }
        let largest = largest
            .map_err(|error| words.remarks.insert(0, format!("Not drawn: {error}.")))
            .ok();
        // What finds room in the drawing's margin stands there: all notes, or at least what is no finding.
        let mut notes = Vec::new();
        if let Some(drawing) = &largest {
            if self.has_room(drawing, &words.notes(), &[]) {
                notes = words.notes();
                words.reasons.clear();
                words.remarks.clear();
            } else if self.has_room(drawing, &words.remarks, &[]) {
                notes = std::mem::take(&mut words.remarks);
            }
        }
        let mut contents = self.page_of_words(&mut words, largest.as_ref());
        contents.extend(largest.map(|drawing| Content::Drawing {
            drawing: Box::new(drawing),
            notes,
        }));
        words.sheet(contents)
    }

    /// The words as one page before their drawing, with as many reasons as the page holds.
    fn page_of_words(&self, words: &mut Drawn, drawing: Option<&Drawing>) -> Vec<Content> {
        let lies = |drawing| page_for(drawing, self.paper, &words.id).is_ok_and(|page| page.lying);
        let page = Page::new(
            self.paper,
            words.setting_out.is_some() || drawing.is_some_and(lies),
        );
        let width = page.inner_width_mm();
        let mut room = page.drawing_height_mm() + CHECK_MM - TITLE_MM;
        room -= part(FRAME_MM, &words.cautions, width - 8.0, WORDS_GAP_MM);
        room -= part(HEADING_MM, &words.remarks, TEXT_MM, WORDS_GAP_MM);
        if let Some(table) = &words.setting_out {
            room -= HEADING_MM + (table.rows.len() + 1) as f64 * (LINE_MM + ROW_MM);
        }
        room -= HEADING_MM + 2.0 * (LINE_MM + ROW_MM);
        let mut count = 0;
        for reason in &words.reasons {
            room -= lines(&reason.because, width - VERDICT_MM) * LINE_MM + ROW_MM;
            if room < 0.0 {
                break;
            }
            count += 1;
        }
        let reasons = first_reasons(&words.reasons, count);
        let why = (!reasons.is_empty()).then(|| Content::Table(table(&reasons)));
        let remarks = (!words.remarks.is_empty()).then(|| Content::List {
            heading: "Notes".to_owned(),
            items: words.remarks.clone(),
        });
        let setting_out = words.setting_out.take().map(Content::Table);
        setting_out.into_iter().chain(why).chain(remarks).collect()
    }

    /// Whether key, kinds of lines, cautions and notes stand beside the drawing, or notes alone below it.
    fn has_room(&self, drawing: &Drawing, notes: &[String], cautions: &[String]) -> bool {
        let Ok(page) = page_for(drawing, self.paper, "") else {
            return false;
        };
        let key: Vec<String> = drawing.key.iter().map(|entry| entry.text.clone()).collect();
        let needs = |width: f64| {
            part(FRAME_MM, cautions, width - 6.0, NOTE_GAP_MM)
                + part(HEADING_MM, &key, width - 9.0, NOTE_GAP_MM)
                + part(HEADING_MM, notes, width - 4.0, NOTE_GAP_MM)
                + part(
                    HEADING_MM,
                    &kinds_of_lines(drawing),
                    width - 16.0,
                    NOTE_GAP_MM,
                )
        };
        let margin = (page.inner_width_mm() - drawing.width_mm - GAP_MM).min(MARGIN_MM);
        if margin >= COLUMN_MM {
            return needs(margin) < page.drawing_height_mm();
        }
        // A frame that breaks over two columns is not read.
        let strip = page.drawing_height_mm() - drawing.height_mm - 4.0;
        cautions.is_empty()
            && strip > STRIP_MM
            && needs((page.inner_width_mm() - GAP_MM) / 2.0) < 1.6 * strip
    }
}

impl Drawn {
    fn sheet(self, contents: Vec<Content>) -> Sheet {
        Sheet {
            id: self.id,
            title: self.title,
            contents,
            cautions: self.cautions,
        }
    }
}

fn lines(text: &str, width_mm: f64) -> f64 {
    wrap(text, LETTERING_MM, false, width_mm).len() as f64
}

/// The height of texts below a heading; nothing without texts.
fn part(head_mm: f64, texts: &[String], width_mm: f64, gap_mm: f64) -> f64 {
    match texts {
        [] => 0.0,
        texts => {
            head_mm
                + texts
                    .iter()
                    .map(|text| lines(text, width_mm) * LINE_MM + gap_mm)
                    .sum::<f64>()
        }
    }
}

/// A table takes the paper's whole width, which a list does not.
pub(super) fn table(reasons: &[Reason]) -> Table {
    let column = |head: &str| Column {
        head: head.to_owned(),
        kind: ColumnKind::Text,
    };
    Table {
        heading: "What fails or is tight".to_owned(),
        columns: vec![column("Verdict"), column("Why")],
        rows: reasons
            .iter()
            .map(|reason| vec![reason.verdict.to_owned(), reason.because.clone()])
            .collect(),
        total: Vec::new(),
    }
}

/// One text for each kind of line that the margin explains; cables by their names.
fn kinds_of_lines(drawing: &Drawing) -> Vec<String> {
    let mut kinds: BTreeMap<Pen, Vec<&str>> = BTreeMap::new();
    for element in &drawing.elements {
        for pen in element.shapes.iter().map(drawing::Shape::pen) {
            let names = kinds.entry(pen).or_default();
            if matches!(pen, Pen::Route(_)) && !names.contains(&element.about.as_str()) {
                names.push(&element.about);
            }
        }
    }
    let explained = |pen: &Pen| {
        matches!(
            pen,
            Pen::Hidden | Pen::Existing | Pen::Axis | Pen::Coverage | Pen::Route(_)
        )
    };
    kinds
        .into_iter()
        .filter(|(pen, _)| explained(pen))
        .map(|(_, names)| names.join(", "))
        .collect()
}
