//! What does the typesetter need to know?
//!
//! The set becomes one JSON document and one SVG file for each drawing and each verdict's shape; the template reads them
//! as values.

use drawing::font::{LETTERING_MM, text_width};
use drawing::{Drawing, Element, FigureSigns, Role, Scale, Verdict, point};
use serde_json::{Value, json};

use crate::drawing_page::{COLUMN_MM, Layout, Words, drawing_data};
use crate::page::{BOTTOM_MM, CHECK_MM, LEFT_MM, Page, RIGHT_MM, TOP_MM};
use crate::table::{MARK_MM, Measured, breakable, widths};
use crate::word_page::word_page;
use crate::{
    Column, ColumnKind, Content, FindingRow, Paper, Sheet, SheetError, Table, TitleBlock, Units,
};

/// All files of one set.
pub(crate) struct Gathered {
    pub files: Vec<(String, Vec<u8>)>,
    /// The texts of each drawing, in the order of the drawings.
    pub lettering: Vec<Vec<String>>,
}

/// Running text is set no wider than this: some 75 letters.
pub(crate) const TEXT_MM: f64 = 150.0;

const VERDICTS: [Verdict; 4] = [
    Verdict::Fits,
    Verdict::Tight,
    Verdict::Fails,
    Verdict::Unknown,
];

pub(crate) fn gather(
    title: &TitleBlock,
    paper: Paper,
    sheets: &[Sheet],
) -> Result<Gathered, SheetError> {
    if sheets.is_empty() {
        return Err(SheetError::Empty);
    }
    let mut gathered = Gathered {
        files: Vec::new(),
        lettering: Vec::new(),
    };
    let mut set = Vec::new();
    for sheet in sheets {
        set.push(sheet_data(&mut gathered, title, paper, sheet)?);
    }
    for verdict in VERDICTS {
        gathered.files.push((
            format!("{}.svg", verdict.word()),
            mark_svg(verdict).into_bytes(),
        ));
    }
    let (check, half, words) = match title.units {
        Units::Metric => (100.0, 50.0, "100 mm"),
        Units::Imperial => (101.6, 50.8, "4 in"),
    };
    let data = json!({
        "job": title.job, "customer": title.customer, "prepared_by": title.prepared_by,
        "revision": title.revision, "date": title.date, "paper": paper.name(),
        "check_mm": check, "check_half_mm": half,
        "check_words": format!("{words}. Check with a rule; if it differs, do not measure off this sheet: print it again at 100 %."),
        "lettering_mm": LETTERING_MM, "text_mm": TEXT_MM,
        "left_mm": LEFT_MM, "right_mm": RIGHT_MM, "top_mm": TOP_MM, "bottom_mm": BOTTOM_MM, "check_row_mm": CHECK_MM,
        "sheets": set,
    });
    gathered
        .files
        .push(("set.json".to_string(), data.to_string().into_bytes()));
    Ok(gathered)
}

fn sheet_data(
    gathered: &mut Gathered,
    title: &TitleBlock,
    paper: Paper,
    sheet: &Sheet,
) -> Result<Value, SheetError> {
    let page = word_page(sheet, paper);
    let mut parts = Vec::new();
    for content in &sheet.contents {
        parts.push(match content {
            Content::Drawing {
                drawing,
                notes,
                tables,
            } => {
                let words = Words {
                    cautions: sheet.cautions_with(parts.len()),
                    notes,
                    tables,
                };
                let layout = Layout::new(drawing, words, paper, &sheet.id)?;
                let file = format!("drawing-{}.svg", gathered.lettering.len());
                gathered.files.push((file.clone(), drawing::svg(drawing).into_bytes()));
                gathered.lettering.push(drawing.texts.iter().map(|t| t.content.clone()).collect());
                let set_tables = tables
                    .iter()
                    .map(|table| table_data(table, &sheet.id, layout.page.inner_width_mm()))
                    .collect::<Result<Vec<_>, _>>()?;
                let mut part = drawing_data(&layout, drawing, &file, words, &set_tables);
                part["page"] = page_data(layout.page, title, &sheet.title);
                part
            }
            Content::Table(table) => table_data(table, &sheet.id, page.inner_width_mm())?,
            Content::Findings(rows) => findings_data(rows, page.inner_width_mm()),
            Content::Text {
                heading,
                paragraphs,
            } => {
                let paragraphs: Vec<&str> = paragraphs.iter().flat_map(|p| p.split('\n')).collect();
                let paragraphs: Vec<String> = paragraphs.into_iter().map(|p| breakable(p, TEXT_MM)).collect();
                json!({ "kind": "text", "heading": breakable(heading, TEXT_MM), "paragraphs": paragraphs })
            }
            Content::List { heading, items } => {
                let items: Vec<String> = items.iter().map(|p| breakable(p, TEXT_MM)).collect();
                json!({ "kind": "list", "heading": breakable(heading, TEXT_MM), "items": items })
            }
        });
    }
    let scales: Vec<Scale> = sheet
        .contents
        .iter()
        .filter_map(|c| match c {
            Content::Drawing { drawing, .. } => Some(drawing.scale).filter(|scale| scale.0 > 0),
            _ => None,
        })
        .collect();
    let scale = match scales.as_slice() {
        [] => String::new(),
        [first, rest @ ..] if rest.iter().all(|s| s == first) => first.to_string(),
        _ => "as shown".to_string(),
    };
    Ok(json!({
        "id": sheet.id, "title": breakable(&sheet.title, page.inner_width_mm() * 0.6),
        // The narrowest place for a caution is a drawing's margin.
        "cautions": sheet.cautions.iter().map(|c| breakable(c, COLUMN_MM - 4.0)).collect::<Vec<_>>(), "scale": scale,
        "page": page_data(page, title, &sheet.title), "parts": parts,
    }))
}

impl Sheet {
    /// The cautions that stand on the page of one of its contents, a drawing: they head the sheet.
    fn cautions_with(&self, content: usize) -> &[String] {
        match content {
            0 => &self.cautions,
            _ => &[],
        }
    }
}

/// A page's size, and its title block with each text cut to its cell.
fn page_data(page: Page, title: &TitleBlock, sheet: &str) -> Value {
    let inner = page.inner_width_mm();
    let block = [inner * 0.36, inner * 0.37, inner * 0.27];
    let cell = |column: usize, texts: [(&str, &str); 3]| {
        let line = |(i, (before, text)): (usize, (&str, &str))| {
            let words = if text.is_empty() {
                String::new()
            } else {
                format!("{before}{text}")
            };
            shortened(&words, block[column] - 5.5, i == 0)
        };
        texts.into_iter().enumerate().map(line).collect::<Vec<_>>()
    };
    json!({
        "width_mm": page.width_mm, "height_mm": page.height_mm, "block_mm": block,
        "left": cell(0, [("", &title.job), ("", &title.customer), ("Prepared by ", &title.prepared_by)]),
        "middle": cell(1, [("", sheet), ("Revision ", &title.revision), ("", &title.date)]),
    })
}

/// A table's columns as their widths are shared out.
pub(crate) fn measured(table: &Table) -> Vec<Measured> {
    let mut texts = 0;
    let column = |column: &Column| {
        let mut measured = Measured {
            kind: column.kind,
            texts: vec![column.head.clone()],
        };
        if column.kind != ColumnKind::Tick {
            measured.texts.extend(
                table
                    .rows
                    .iter()
                    .chain([&table.total])
                    .filter_map(|row| row.get(texts).cloned()),
            );
            texts += 1;
        }
        measured
    };
    table.columns.iter().map(column).collect()
}

fn table_data(table: &Table, sheet: &str, width_mm: f64) -> Result<Value, SheetError> {
    let wanted = table
        .columns
        .iter()
        .filter(|c| c.kind != ColumnKind::Tick)
        .count();
    let rows = table
        .rows
        .iter()
        .chain(Some(&table.total).filter(|t| !t.is_empty()));
    for (i, row) in rows.enumerate() {
        if row.len() != wanted {
            return Err(SheetError::Row {
                sheet: sheet.to_string(),
                row: i + 1,
                texts: row.len(),
                columns: wanted,
            });
        }
    }
    let widths = widths(&measured(table), width_mm);
    let row_data = |row: &Vec<String>| {
        let mut texts = row.iter();
        let cell = |(column, width): (&Column, &f64)| match column.kind {
            ColumnKind::Tick => json!({ "tick": true }),
            ColumnKind::Verdict => verdict_cell(texts.next().map_or("", String::as_str), *width),
            ColumnKind::Number | ColumnKind::Text => {
                json!({ "text": breakable(texts.next().map_or("", String::as_str), *width) })
            }
        };
        table
            .columns
            .iter()
            .zip(&widths)
            .map(cell)
            .collect::<Vec<_>>()
    };
    let heads: Vec<String> = table
        .columns
        .iter()
        .zip(&widths)
        .map(|(c, w)| breakable(&c.head, *w))
        .collect();
    let right: Vec<bool> = table
        .columns
        .iter()
        .map(|c| c.kind == ColumnKind::Number)
        .collect();
    let rows: Vec<_> = table.rows.iter().map(row_data).collect();
    let total = if table.total.is_empty() {
        Vec::new()
    } else {
        row_data(&table.total)
    };
    // A sum has no box to tick.
    let total: Vec<Value> = total
        .into_iter()
        .map(|c| {
            if c.get("tick").is_some() {
                json!({ "text": "" })
            } else {
                c
            }
        })
        .collect();
    Ok(
        json!({ "kind": "table", "heading": breakable(&table.heading, width_mm), "heads": heads, "widths_mm": widths, "right": right, "rows": rows, "total": total }),
    )
}

/// A verdict's shape before its word; what is no verdict's word has no shape.
fn verdict_cell(word: &str, width_mm: f64) -> Value {
    match VERDICTS.iter().any(|verdict| verdict.word() == word) {
        true => json!({ "text": word, "verdict": word }),
        false => json!({ "text": breakable(word, width_mm - MARK_MM) }),
    }
}

fn findings_data(rows: &[FindingRow], width_mm: f64) -> Value {
    // The three numbers stand above one another, so that the reason has the width that a text is read in.
    let heads = [
        "Verdict",
        "Check",
        "Value, limit, margin",
        "Why, and what would cure it",
    ];
    let column = |head: &str, kind, texts: &dyn Fn(&FindingRow) -> Vec<String>| Measured {
        kind,
        texts: std::iter::once(head.to_string())
            .chain(rows.iter().flat_map(texts))
            .collect(),
    };
    let numbers = |r: &FindingRow| vec![r.value.clone(), r.limit.clone(), r.margin.clone()];
    let columns = [
        column(heads[0], ColumnKind::Verdict, &|r| {
            vec![r.verdict.word().to_string()]
        }),
        column(heads[1], ColumnKind::Text, &|r| {
            vec![r.check.clone(), r.subject.clone()]
        }),
        column(heads[2], ColumnKind::Number, &numbers),
        column(heads[3], ColumnKind::Text, &|r| vec![r.because.clone()]),
    ];
    let mut widths = widths(&columns, width_mm);
    // The reason is read as a text: it takes all that is left.
    widths[3] = width_mm - widths[..3].iter().sum::<f64>();
    let fitted = |texts: &[String], width: f64| -> Vec<String> {
        texts.iter().map(|t| breakable(t, width)).collect()
    };
    let row = |r: &FindingRow| {
        let mut numbers = numbers(r);
        numbers.retain(|number| !number.is_empty());
        json!({
            "verdict": r.verdict.word(),
            "check": breakable(&r.check, widths[1]), "subject": breakable(&r.subject, widths[1]),
            "numbers": fitted(&numbers, widths[2]),
            "because": breakable(&r.because, widths[3]), "others": fitted(&r.others, widths[3]),
            "source": breakable(&r.source, widths[3]), "remedies": fitted(&r.remedies, widths[3]),
        })
    };
    json!({ "kind": "findings", "heads": heads, "widths_mm": widths, "rows": rows.iter().map(row).collect::<Vec<_>>() })
}

fn mark_svg(verdict: Verdict) -> String {
    let shapes = verdict.shapes(point(1.8, 1.8));
    let element = Element {
        id: String::new(),
        about: String::new(),
        role: Role::Sign,
        shapes,
    };
    drawing::svg(&Drawing {
        title: verdict.word().to_string(),
        width_mm: 3.6,
        height_mm: 3.6,
        scale: Scale(1),
        elements: vec![element],
        texts: Vec::new(),
        key: Vec::new(),
        signs: FigureSigns::default(),
    })
}

/// A text on one line, with its end replaced by an ellipsis when it is too long.
fn shortened(text: &str, width_mm: f64, bold: bool) -> String {
    let one_line = text.replace('\n', " ");
    if text_width(&one_line, LETTERING_MM, bold) <= width_mm {
        return one_line;
    }
    let mut kept = String::new();
    for c in one_line.chars() {
        kept.push(c);
        if text_width(&kept, LETTERING_MM, bold) + text_width("…", LETTERING_MM, bold) > width_mm
        {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}
