//! How does a drawing share its page with its key and notes?
//!
//! They stand beside it where a column is free, otherwise below; what finds no room there follows on a page of its own.

use std::collections::BTreeMap;

use drawing::font::{LETTERING_MM, wrap};
use drawing::{Drawing, Pen, Role};
use serde_json::{Value, json};

use crate::page::Page;
use crate::table::breakable;
use crate::{Paper, SheetError};

/// Lying or standing, whichever holds the drawing; of both, the one that leaves the better margin for notes.
pub(crate) fn page_for(drawing: &Drawing, paper: Paper, sheet: &str) -> Result<Page, SheetError> {
    let holds = |page: &Page| {
        drawing.width_mm <= page.inner_width_mm() + 1e-6
            && drawing.height_mm <= page.drawing_height_mm() + 1e-6
    };
    let (lying, standing) = (Page::new(paper, true), Page::new(paper, false));
    let wide = drawing.width_mm >= drawing.height_mm;
    let choices = if wide {
        [lying, standing]
    } else {
        [standing, lying]
    };
    choices
        .into_iter()
        .find(holds)
        .ok_or_else(|| SheetError::DrawingTooLarge {
            sheet: sheet.to_string(),
            drawing: drawing.title.clone(),
            width_mm: drawing.width_mm.ceil() as u32,
            height_mm: drawing.height_mm.ceil() as u32,
            paper: paper.name().to_string(),
        })
}

/// Notes stand beside the drawing when at least this much is free.
pub(crate) const COLUMN_MM: f64 = 56.0;
const GAP_MM: f64 = 7.0;
/// The least height that is worth two columns of notes below a drawing.
const STRIP_MM: f64 = 25.0;
const LINE_MM: f64 = LETTERING_MM * 1.25;
const HEADING_MM: f64 = 11.0;

/// What the template needs for a drawing in the SVG file `file`.
pub(crate) fn drawing_data(
    page: Page,
    drawing: &Drawing,
    file: &str,
    notes: &[String],
    cautions: &[String],
) -> Value {
    let free = page.inner_width_mm() - drawing.width_mm - GAP_MM;
    let column = if free >= COLUMN_MM {
        free.min(85.0)
    } else {
        0.0
    };
    let lines = legend(drawing);
    // Two columns below hold twice their height; half a line is lost at the foot of each.
    let (width, mut room) = if column > 0.0 {
        (column, page.drawing_height_mm())
    } else {
        let strip = page.drawing_height_mm() - drawing.height_mm - 4.0;
        (
            (page.inner_width_mm() - GAP_MM) / 2.0,
            if strip < STRIP_MM {
                0.0
            } else {
                2.0 * strip - 10.0
            },
        )
    };
    let height = |text: &str, indent: f64| {
        wrap(text, LETTERING_MM, false, width - indent).len() as f64 * LINE_MM + 2.2
    };
    if !cautions.is_empty() {
        room -= 16.0 + cautions.iter().map(|c| height(c, 6.0)).sum::<f64>();
    }
    if !lines.is_empty() {
        let words = lines
            .iter()
            .map(|l| l["words"].as_str().unwrap_or_default());
        room -= HEADING_MM + words.map(|w| height(w, 16.0)).sum::<f64>();
    }
    let key: Vec<(String, &str)> = drawing
        .key
        .iter()
        .map(|k| (k.number.to_string(), k.text.as_str()))
        .collect();
    let key_count = fitting(key.iter().map(|(_, text)| height(text, 9.0)), &mut room);
    let note_count = if key_count == key.len() {
        fitting(notes.iter().map(|n| height(n, 4.0)), &mut room)
    } else {
        0
    };
    let rows = |key: &[(String, &str)]| {
        key.iter()
            .map(|(n, t)| json!({ "number": n, "text": breakable(t, width - 6.0) }))
            .collect::<Vec<_>>()
    };
    let notes_data = |notes: &[String]| {
        notes
            .iter()
            .map(|n| breakable(n, width - 2.0))
            .collect::<Vec<_>>()
    };
    let told: Vec<&str> = drawing
        .elements
        .iter()
        .map(|e| e.about.as_str())
        .filter(|a| !a.is_empty())
        .collect();
    json!({
        "kind": "drawing", "file": file, "width_mm": drawing.width_mm, "height_mm": drawing.height_mm,
        "alt": format!("{}, {}. {}", drawing.title, drawing.scale, told.join("; ")),
        "column_mm": column, "room_mm": page.drawing_height_mm(), "lines": lines,
        "key": rows(&key[..key_count]), "more_key": rows(&key[key_count..]),
        "notes": notes_data(&notes[..note_count]), "more_notes": notes_data(&notes[note_count..]),
    })
}

/// How many of these heights, below a heading, fit the room; what they take is taken off it.
fn fitting(heights: impl Iterator<Item = f64>, room: &mut f64) -> usize {
    let mut count = 0;
    for height in heights {
        let height = if count == 0 {
            height + HEADING_MM
        } else {
            height
        };
        if *room < height {
            break;
        }
        *room -= height;
        count += 1;
    }
    count
}

/// The line kinds on a drawing that are not self-evident, with what they mean; routes of one dash by their names.
fn legend(drawing: &Drawing) -> Vec<Value> {
    let mut kinds: BTreeMap<Pen, Vec<&str>> = BTreeMap::new();
    for element in drawing.elements.iter().filter(|e| e.role == Role::Thing) {
        for shape in &element.shapes {
            let names = kinds.entry(shape.pen()).or_default();
            if !names.contains(&element.about.as_str()) {
                names.push(&element.about);
            }
        }
    }
    let words = |pen: Pen, names: &[&str]| match pen {
        Pen::Hidden => Some("behind or above".to_string()),
        Pen::Existing => Some("there already".to_string()),
        Pen::Axis => Some("middle line".to_string()),
        Pen::Coverage => Some("throw, view or coverage".to_string()),
        Pen::Route(_) => Some(names.join(", ")),
        Pen::Cut | Pen::Seen | Pen::Thin | Pen::Mark | Pen::MarkDotted => None,
    };
    let row = |(pen, names): (&Pen, &Vec<&str>)| {
        let words = words(*pen, names)?;
        Some(
            json!({ "width_mm": pen.width_mm(), "dashes_mm": pen.dashes_mm(), "soft": *pen == Pen::Existing, "words": words }),
        )
    };
    kinds.iter().filter_map(row).collect()
}
