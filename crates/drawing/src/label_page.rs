//! Labels for cable ends on sheets of stickers, which are known by their sizes alone.

use crate::canvas::Canvas;
use crate::dimension::FigureSigns;
use crate::font::LETTERING_MM;
use crate::model::{Anchor, Drawing, Element, Pen, Role, Shape, Text};
use crate::one_line::wrapped;
use crate::paper::point;
use crate::scale::Scale;

/// A sheet of stickers, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LabelSheet {
    /// Width and height of the paper.
    pub page_mm: [f64; 2],
    /// Width and height of a sticker.
    pub label_mm: [f64; 2],
    /// From the paper's left and top edge to the first sticker.
    pub first_mm: [f64; 2],
    /// From one sticker's left and top edge to the next one's.
    pub pitch_mm: [f64; 2],
    /// Stickers across and down.
    pub grid: [usize; 2],
}

/// A label: its name, and what is written below.
#[derive(Clone, Debug, PartialEq)]
pub struct CableLabel {
    /// The cable's label.
    pub name: String,
    /// This end, the other end.
    pub lines: Vec<String>,
}

/// Kept free inside a sticker's edge, mm.
const EDGE_MM: f64 = 2.0;
const LINE_MM: f64 = LETTERING_MM * 1.15;

/// What is wrong with a sheet's sizes, in words; none where stickers lie on the paper.
pub fn label_sheet_fault(sheet: &LabelSheet) -> Option<String> {
    let all = [sheet.page_mm, sheet.label_mm, sheet.pitch_mm].concat();
    let good = all.iter().all(|size| size.is_finite() && *size > 0.0)
        && sheet
            .first_mm
            .iter()
            .all(|size| size.is_finite() && *size >= 0.0)
        && sheet.grid.iter().all(|count| (1..=100).contains(count));
    if !good {
        return Some("a size of the label sheet is not above zero".to_owned());
    }
    for (axis, word) in [(0, "across"), (1, "down")] {
        let last = sheet.first_mm[axis]
            + (sheet.grid[axis] - 1) as f64 * sheet.pitch_mm[axis]
            + sheet.label_mm[axis];
        if last > sheet.page_mm[axis] + 0.05 {
            return Some(format!(
                "{} labels {word} take {last:.1} mm, and the paper has {:.1} mm",
                sheet.grid[axis], sheet.page_mm[axis]
            ));
        }
    }
    if sheet.label_mm[1] < 2.0 * EDGE_MM + LINE_MM || sheet.label_mm[0] < 20.0 {
        return Some("a label is too small for one line of writing".to_owned());
    }
    None
}

/// Pages of labels at their true size, each as large as the paper; none where
/// [`label_sheet_fault`] has something to say.
pub fn label_pages(sheet: &LabelSheet, labels: &[CableLabel]) -> Vec<Drawing> {
    if label_sheet_fault(sheet).is_some() {
        return Vec::new();
    }
    let on_page = sheet.grid[0] * sheet.grid[1];
    (labels.chunks(on_page).enumerate())
        .map(|(page, labels)| {
            let mut canvas = Canvas::default();
            for (index, label) in labels.iter().enumerate() {
                let at = [index % sheet.grid[0], index / sheet.grid[0]];
                let corner = [0, 1]
                    .map(|axis| sheet.first_mm[axis] + at[axis] as f64 * sheet.pitch_mm[axis]);
                write(&mut canvas, sheet, corner, label);
            }
            Drawing {
                title: format!("Labels, page {}", page + 1),
                width_mm: sheet.page_mm[0],
                height_mm: sheet.page_mm[1],
                scale: Scale(1),
                elements: canvas.elements,
                texts: canvas.texts,
                key: Vec::new(),
                signs: FigureSigns::default(),
            }
        })
        .collect()
}

fn write(canvas: &mut Canvas, sheet: &LabelSheet, [left, top]: [f64; 2], label: &CableLabel) {
    let [width, height] = sheet.label_mm;
    let corners = vec![
        point(left, top),
        point(left + width, top),
        point(left + width, top + height),
        point(left, top + height),
    ];
    canvas.add(Element {
        id: label.name.clone(),
        about: label.name.clone(),
        role: Role::Thing,
        shapes: vec![Shape::outline(corners, Pen::Thin)],
    });
    let room = width - 2.0 * EDGE_MM;
    let most = ((height - 2.0 * EDGE_MM) / LINE_MM).floor().max(1.0) as usize;
    let mut lines = vec![(true, label.name.clone())];
    for line in &label.lines {
        lines.extend(wrapped(line, room).into_iter().map(|line| (false, line)));
    }
    for (index, (bold, line)) in lines.into_iter().take(most).enumerate() {
        let base = top + EDGE_MM + LETTERING_MM * 0.76 + index as f64 * LINE_MM;
        canvas.write(Text {
            bold,
            ..Text::new(point(left + EDGE_MM, base), Anchor::Start, line)
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: LabelSheet = LabelSheet {
        page_mm: [210.0, 297.0],
        label_mm: [63.5, 38.1],
        first_mm: [7.2, 15.1],
        pitch_mm: [66.0, 38.1],
        grid: [3, 7],
    };

    #[test]
    fn labels_lie_where_the_stickers_are() {
        let labels: Vec<CableLabel> = (0..22)
            .map(|n| CableLabel {
                name: format!("W{n:02}"),
                lines: vec![
                    "here: Receiver, front left".to_owned(),
                    "other end: Front left loudspeaker of the loft cinema".to_owned(),
                ],
            })
            .collect();
        let pages = label_pages(&SHEET, &labels);
        assert_eq!(pages.len(), 2);
        assert_eq!((pages[0].width_mm, pages[0].height_mm), (210.0, 297.0));
        let fifth = pages[0].elements[4].shapes[0].bounds().unwrap();
        assert!((fifth.min.x - 73.2).abs() < 1e-9 && (fifth.min.y - 53.2).abs() < 1e-9);
        for text in &pages[0].texts {
            assert!(
                text.width_mm() <= 63.5 - 2.0 * EDGE_MM + 1e-9,
                "{}",
                text.content
            );
        }
    }

    #[test]
    fn what_does_not_lie_on_the_paper_is_told() {
        let wide = LabelSheet {
            grid: [4, 7],
            ..SHEET
        };
        assert_eq!(
            label_sheet_fault(&wide).as_deref(),
            Some("4 labels across take 268.7 mm, and the paper has 210.0 mm")
        );
        assert!(label_pages(&wide, &[]).is_empty());
        let nothing = LabelSheet {
            label_mm: [0.0, 10.0],
            ..SHEET
        };
        assert!(label_sheet_fault(&nothing).is_some());
        assert_eq!(label_sheet_fault(&SHEET), None);
    }
}
