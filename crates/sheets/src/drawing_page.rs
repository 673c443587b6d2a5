//! How does a drawing share its page with its tables, key and notes?
//!
//! Without tables they stand beside it where a column is free and holds them, otherwise below; tables stand below it over
//! the page's whole width, and all other words under them. What finds no room follows on a page of its own.

use std::collections::BTreeMap;

use drawing::font::{LETTERING_MM, wrap};
use drawing::{Drawing, Pen, Role};
use serde_json::{Value, json};

use crate::data::measured;
use crate::page::Page;
use crate::table::{breakable, height as table_height};
use crate::{Paper, SheetError, Table};

/// All that is set on one page with a drawing.
#[derive(Clone, Copy)]
pub(crate) struct Words<'a> {
    pub cautions: &'a [String],
    pub notes: &'a [String],
    pub tables: &'a [Table],
}

/// Notes stand beside the drawing when at least this much is free.
pub(crate) const COLUMN_MM: f64 = 56.0;
/// From the drawing to the column beside it, and between two columns.
pub(crate) const GAP_MM: f64 = 7.0;
pub(crate) const MARGIN_MM: f64 = 110.0;
/// Below the drawing.
const BELOW_MM: f64 = 4.0;
/// The least height that is worth two columns of notes below a drawing.
const STRIP_MM: f64 = 25.0;
/// From line to line, and what parts one note or row from the next besides.
pub(crate) const LINE_MM: f64 = LETTERING_MM * 1.21;
const NOTE_GAP_MM: f64 = 0.7;
/// A heading with its gaps, and a frame with its own.
pub(crate) const HEADING_MM: f64 = 10.0;
pub(crate) const FRAME_MM: f64 = 12.5;
/// What numbers, dashes, samples of lines and frames take off a column's width.
const KEY_MM: f64 = 9.0;
const DASH_MM: f64 = 4.0;
const SAMPLE_MM: f64 = 16.0;
const INSET_MM: f64 = 6.0;

/// Where a drawing's words stand.
#[derive(Clone, Copy, PartialEq)]
enum Place {
    /// In one column beside it.
    Beside,
    /// In two columns below it, the second filled after the first.
    Below,
    /// Under its tables, if it has any: kinds of lines on the left, key and notes on the right, cautions above both or on
    /// the left.
    Under,
}

/// A page with a drawing, and the room for its words.
pub(crate) struct Layout {
    pub page: Page,
    /// Whether all of its words find room.
    pub whole: bool,
    room: Room,
}

impl Layout {
    /// The first page and place that hold all; the first that holds the drawing where none does. A wide drawing lies
    /// rather than stands; with tables below it any drawing stands.
    pub fn new(
        drawing: &Drawing,
        words: Words<'_>,
        paper: Paper,
        sheet: &str,
    ) -> Result<Layout, SheetError> {
        let holds = |page: &Page| {
            drawing.width_mm <= page.inner_width_mm() + 1e-6
                && drawing.height_mm <= page.drawing_height_mm() + 1e-6
        };
        let wide = words.tables.is_empty() && drawing.width_mm >= drawing.height_mm;
        let pages = [wide, !wide].map(|lying| Page::new(paper, lying));
        let mut tight = None;
        for page in pages.into_iter().filter(holds) {
            for place in [Place::Beside, Place::Below, Place::Under] {
                let Some(room) = Room::new(place, page, drawing, words) else {
                    continue;
                };
                let whole = room.holds_all(page, drawing, words);
                let layout = Layout { page, whole, room };
                if whole {
                    return Ok(layout);
                }
                tight.get_or_insert(layout);
            }
        }
        tight.ok_or_else(|| SheetError::DrawingTooLarge {
            sheet: sheet.to_string(),
            drawing: drawing.title.clone(),
            width_mm: drawing.width_mm.ceil() as u32,
            height_mm: drawing.height_mm.ceil() as u32,
            paper: paper.name().to_string(),
        })
    }
}

struct Room {
    place: Place,
    /// Of one column.
    width_mm: f64,
    height_mm: f64,
}

impl Room {
    /// None where a place is not for these words.
    fn new(place: Place, page: Page, drawing: &Drawing, words: Words<'_>) -> Option<Room> {
        let free = page.inner_width_mm() - drawing.width_mm - GAP_MM;
        let below = page.drawing_height_mm() - drawing.height_mm - BELOW_MM;
        let (width_mm, height_mm) = match place {
            Place::Beside if words.tables.is_empty() && free >= COLUMN_MM => {
                (free.min(MARGIN_MM), page.drawing_height_mm())
            }
            // A frame that breaks over two columns is not read.
            Place::Below if words.tables.is_empty() && words.cautions.is_empty() => (
                half(page.inner_width_mm()),
                if below < STRIP_MM { 0.0 } else { below },
            ),
            Place::Under => (
                half(page.inner_width_mm()),
                below - tables_height(words.tables, page.inner_width_mm()),
            ),
            Place::Beside | Place::Below => return None,
        };
        Some(Room {
            place,
            width_mm,
            height_mm,
        })
    }

    fn holds_all(&self, page: Page, drawing: &Drawing, words: Words<'_>) -> bool {
        let lines = legend(drawing);
        let lines = self.listed(lines.iter().map(words_of), SAMPLE_MM);
        let key = self.listed(drawing.key.iter().map(|k| k.text.as_str()), KEY_MM);
        let notes = self.listed(words.notes.iter().map(String::as_str), DASH_MM);
        let cautions = self.cautions(words.cautions);
        match self.place {
            Place::Beside => cautions + key + notes + lines < self.height_mm,
            // Each list may end a few lines early.
            Place::Below => key + notes + lines < 1.6 * self.height_mm,
            Place::Under => {
                under(page, words.cautions, cautions, lines, key + notes).0 < self.height_mm
            }
        }
    }

    fn height_of(&self, text: &str, indent_mm: f64) -> f64 {
        height_of(text, self.width_mm - indent_mm)
    }

    fn cautions(&self, cautions: &[String]) -> f64 {
        framed(cautions, self.width_mm)
    }

    fn listed<'t>(&self, texts: impl Iterator<Item = &'t str>, indent_mm: f64) -> f64 {
        let heights: Vec<f64> = texts.map(|text| self.height_of(text, indent_mm)).collect();
        match heights.is_empty() {
            true => 0.0,
            false => HEADING_MM + heights.iter().sum::<f64>(),
        }
    }
}

fn height_of(text: &str, width_mm: f64) -> f64 {
    wrap(text, LETTERING_MM, false, width_mm).len() as f64 * LINE_MM + NOTE_GAP_MM
}

/// The height of framed cautions; nothing without any.
pub(crate) fn framed(cautions: &[String], width_mm: f64) -> f64 {
    let lines = |words: &String| wrap(words, LETTERING_MM, false, width_mm - INSET_MM).len();
    match cautions.iter().map(lines).sum::<usize>() {
        0 => 0.0,
        lines => FRAME_MM + lines as f64 * LINE_MM,
    }
}

/// The height of tables below one another.
pub(crate) fn tables_height(tables: &[Table], width_mm: f64) -> f64 {
    let height = |table: &Table| {
        let above = if table.heading.is_empty() {
            BELOW_MM
        } else {
            HEADING_MM
        };
        above + table_height(&measured(table), width_mm)
    };
    tables.iter().map(height).sum::<f64>() + BELOW_MM
}

/// The width of one of two columns.
pub(crate) fn half(width_mm: f64) -> f64 {
    (width_mm - GAP_MM) / 2.0
}

/// The height of notes below their heading; nothing without any.
pub(crate) fn notes_height(notes: &[String], width_mm: f64) -> f64 {
    let heights = notes.iter().map(|note| height_of(note, width_mm - DASH_MM));
    match notes.is_empty() {
        true => 0.0,
        false => HEADING_MM + heights.sum::<f64>(),
    }
}

/// The height of what stands under tables, and whether the cautions take the page's whole width there: whichever is lower.
fn under(page: Page, cautions: &[String], half: f64, lines: f64, right: f64) -> (f64, bool) {
    let across = framed(cautions, page.inner_width_mm()) + lines.max(right);
    let aside = (half + lines).max(right);
    (across.min(aside), across < aside)
}

/// What the template needs for a drawing in the SVG file `file`; `tables` are the template's own.
pub(crate) fn drawing_data(
    layout: &Layout,
    drawing: &Drawing,
    file: &str,
    words: Words<'_>,
    tables: &[Value],
) -> Value {
    let Layout { page, whole, room } = layout;
    let (place, width) = (room.place, room.width_mm);
    let lines = legend(drawing);
    let mut left = match place {
        Place::Beside => room.height_mm - room.cautions(words.cautions),
        Place::Below => 1.8 * room.height_mm - room.cautions(words.cautions),
        Place::Under => room.height_mm,
    };
    if place != Place::Under {
        left -= room.listed(lines.iter().map(words_of), SAMPLE_MM);
    }
    let key: Vec<(String, &str)> = drawing
        .key
        .iter()
        .map(|k| (k.number.to_string(), k.text.as_str()))
        .collect();
    let (key_count, note_count) = if *whole {
        (key.len(), words.notes.len())
    } else {
        let heights = key.iter().map(|(_, text)| room.height_of(text, KEY_MM));
        let key_count = fitting(heights, &mut left);
        let heights = words.notes.iter().map(|n| room.height_of(n, DASH_MM));
        let whole_key = key_count == key.len();
        let note_count = if whole_key {
            fitting(heights, &mut left)
        } else {
            0
        };
        (key_count, note_count)
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
    let notes_height = room.listed(words.notes.iter().map(String::as_str), DASH_MM)
        + room.listed(drawing.key.iter().map(|k| k.text.as_str()), KEY_MM);
    let lines_height = room.listed(lines.iter().map(words_of), SAMPLE_MM);
    let cautions_height = room.cautions(words.cautions);
    let (_, across) = under(
        *page,
        words.cautions,
        cautions_height,
        lines_height,
        notes_height,
    );
    let column = if place == Place::Beside { width } else { 0.0 };
    json!({
        "kind": "drawing", "file": file, "width_mm": drawing.width_mm, "height_mm": drawing.height_mm,
        "alt": format!("{}, {}. {}", drawing.title, drawing.scale, told.join("; ")),
        "column_mm": column, "room_mm": page.drawing_height_mm(), "lines": lines, "under": place == Place::Under, "tables": tables, "cautions_across": across,
        "key": rows(&key[..key_count]), "more_key": rows(&key[key_count..]),
        "notes": notes_data(&words.notes[..note_count]), "more_notes": notes_data(&words.notes[note_count..]),
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

fn words_of(line: &Value) -> &str {
    line["words"].as_str().unwrap_or_default()
}

/// The line kinds on a drawing that are not self-evident and the signs at its lengths, with what they mean; routes of one
/// dash by their names.
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
    let has_scale = drawing.scale.0 > 0;
    let words = |pen: Pen, names: &[&str]| match pen {
        Pen::Route(_) => Some(route_names(names)),
        // A chart names its lines itself.
        _ if !has_scale => None,
        Pen::Hidden => Some("behind or above".to_string()),
        Pen::Existing => Some("there already".to_string()),
        Pen::Planned => Some("as it is planned".to_string()),
        Pen::Axis => Some("middle line".to_string()),
        Pen::Coverage => Some("throw, view or coverage".to_string()),
        Pen::Cut | Pen::Seen | Pen::Thin | Pen::Mark | Pen::MarkDotted => None,
    };
    let row = |(pen, names): (&Pen, &Vec<&str>)| {
        let words = words(*pen, names)?;
        Some(
            json!({ "width_mm": pen.width_mm(), "dashes_mm": pen.dashes_mm(), "soft": *pen == Pen::Existing, "words": words }),
        )
    };
    let sign = |(sign, words)| json!({ "sign": sign, "words": words });
    let signs = drawing.signs.explained().into_iter().map(sign);
    kinds.iter().filter_map(row).chain(signs).collect()
}

/// "Cable W1, Cable W2" as "Cable W1, W2": the same first word is told once.
fn route_names(names: &[&str]) -> String {
    let first = names[0].split_inclusive(' ').next().unwrap_or_default();
    let same = names
        .iter()
        .all(|name| name.len() > first.len() && name.starts_with(first));
    match same && first.ends_with(' ') {
        true => format!(
            "{first}{}",
            names
                .iter()
                .map(|name| &name[first.len()..])
                .collect::<Vec<_>>()
                .join(", ")
        ),
        false => names.join(", "),
    }
}
