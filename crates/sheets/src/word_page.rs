//! Which page do the words of a sheet stand on, and does one page hold them?

use drawing::font::{LETTERING_MM, wrap};

use crate::data::{TEXT_MM, measured};
use crate::drawing_page::{HEADING_MM, LINE_MM, framed, tables_height};
use crate::page::{CHECK_MM, Page};
use crate::table::{must_lie, wants_lying};
use crate::{Content, Paper, Sheet, Table};

/// What a sheet's title takes, mm.
const TITLE_MM: f64 = 10.0;
/// What points and their dashes take off the width of running text, mm.
const INDENT_MM: f64 = 5.0;

/// The page of a sheet's words; it lies when that suits a table. Words that follow a drawing rather share one page.
pub(crate) fn word_page(sheet: &Sheet, paper: Paper) -> Page {
    let [standing, lying] = [false, true].map(|lying| Page::new(paper, lying));
    let width = standing.inner_width_mm();
    let asks = |asks: fn(&[_], f64) -> bool| {
        let mut tables = tables(sheet);
        tables.any(|table| asks(&measured(table), width))
    };
    let is_findings = |content: &Content| matches!(content, Content::Findings(_));
    let follows = sheet.contents.iter().any(is_drawing);
    let lies = sheet.contents.iter().any(is_findings)
        || asks(must_lie)
        || asks(wants_lying) && (!follows || holds(lying, sheet));
    if lies { lying } else { standing }
}

/// Whether one page holds a sheet's tables, lists and cautions, those with its drawings aside.
pub(crate) fn holds_words(sheet: &Sheet, paper: Paper) -> bool {
    holds(word_page(sheet, paper), sheet)
}

fn holds(page: Page, sheet: &Sheet) -> bool {
    let width = page.inner_width_mm();
    let tables: Vec<Table> = tables(sheet).cloned().collect();
    let points = |content: &Content| match content {
        Content::List { items, .. } => {
            let lines = |text: &String| {
                wrap(text, LETTERING_MM, false, TEXT_MM - INDENT_MM).len() as f64 * LINE_MM
            };
            HEADING_MM + items.iter().map(lines).sum::<f64>()
        }
        _ => 0.0,
    };
    let cautions = match sheet.contents.first() {
        Some(first) if is_drawing(first) => 0.0,
        _ => framed(&sheet.cautions, width),
    };
    let needs =
        cautions + tables_height(&tables, width) + sheet.contents.iter().map(points).sum::<f64>();
    needs < page.drawing_height_mm() + CHECK_MM - TITLE_MM
}

fn is_drawing(content: &Content) -> bool {
    matches!(content, Content::Drawing { .. })
}

fn tables(sheet: &Sheet) -> impl Iterator<Item = &Table> {
    sheet.contents.iter().filter_map(|content| match content {
        Content::Table(table) => Some(table),
        _ => None,
    })
}
