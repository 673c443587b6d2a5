//! Which words stand on each page?

use typst::layout::{Abs, Frame, FrameItem, Point};

use crate::{Paper, Sheet, SheetError, TitleBlock, data, world};

/// The words of each page from top to bottom, a line of the page to a line of text; the lettering of a drawing follows
/// its page's own words as one line each.
pub fn texts(
    title: &TitleBlock,
    paper: Paper,
    sheets: &[Sheet],
) -> Result<Vec<String>, SheetError> {
    let gathered = data::gather(title, paper, sheets)?;
    let document = world::document(&gathered)?;
    let mut lettering = gathered.lettering.iter();
    let mut pages = Vec::new();
    for page in document.pages() {
        let (mut runs, mut drawings) = (Vec::new(), 0);
        walk(&page.frame, Point::zero(), &mut runs, &mut drawings);
        // Half a millimetre apart is still one line.
        runs.sort_by(|a, b| {
            (row(a.0.y), a.0.x)
                .partial_cmp(&(row(b.0.y), b.0.x))
                .expect("lengths are finite")
        });
        let mut out = String::new();
        let mut last = None;
        for (at, text) in runs {
            out.push_str(match last {
                None => "",
                Some(y) if y == row(at.y) => " ",
                Some(_) => "\n",
            });
            out.push_str(&text);
            last = Some(row(at.y));
        }
        for drawn in lettering.by_ref().take(drawings).flatten() {
            out.push_str("\n| ");
            out.push_str(drawn);
        }
        pages.push(out);
    }
    Ok(pages)
}

fn row(y: Abs) -> i64 {
    (y.to_mm() / 0.8).round() as i64
}

/// Collects runs of text, and counts the drawings: images larger than a verdict's shape.
fn walk(frame: &Frame, origin: Point, runs: &mut Vec<(Point, String)>, drawings: &mut usize) {
    for (at, item) in frame.items() {
        let at = origin + *at;
        match item {
            FrameItem::Text(text) => runs.push((at, text.text.to_string())),
            // Groups here are only shifted, never turned: a turned one would only misplace its words in the list.
            FrameItem::Group(group) => walk(
                &group.frame,
                at + Point::new(group.transform.tx, group.transform.ty),
                runs,
                drawings,
            ),
            FrameItem::Image(_, size, _) if size.x.to_mm() > 5.0 => *drawings += 1,
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Column, ColumnKind, Content, FindingRow, Table};

    /// The largest right and lower ends of text, and the page's size, mm.
    fn reach(frame: &Frame, origin: Point, ends: &mut Vec<(f64, f64)>) {
        for (at, item) in frame.items() {
            let at = origin + *at;
            match item {
                FrameItem::Text(text) => ends.push(((at.x + text.width()).to_mm(), at.y.to_mm())),
                FrameItem::Group(group) => reach(
                    &group.frame,
                    at + Point::new(group.transform.tx, group.transform.ty),
                    ends,
                ),
                _ => {}
            }
        }
    }

    #[test]
    fn nothing_leaves_the_page_whatever_is_typed() {
        let endless = "x".repeat(300);
        let column = |kind| Column {
            head: "Headline of many words".into(),
            kind,
        };
        let table = Table {
            heading: endless.clone(),
            columns: vec![
                column(ColumnKind::Text),
                column(ColumnKind::Number),
                column(ColumnKind::Tick),
                column(ColumnKind::Text),
            ],
            rows: vec![vec![endless.clone(), endless.clone(), "words ".repeat(400)]],
            total: vec![],
        };
        let finding = FindingRow {
            verdict: drawing::Verdict::Fails,
            check: endless.clone(),
            subject: endless.clone(),
            value: endless.clone(),
            limit: endless.clone(),
            margin: endless.clone(),
            because: endless.clone(),
            others: vec![endless.clone()],
            source: endless.clone(),
            remedies: vec![endless.clone()],
        };
        let sheet = Sheet {
            id: "s".into(),
            title: endless.clone(),
            contents: vec![
                Content::Table(table),
                Content::Findings(vec![finding]),
                Content::Text {
                    heading: endless.clone(),
                    paragraphs: vec![endless.clone()],
                },
                Content::List {
                    heading: String::new(),
                    items: vec![endless.clone()],
                },
            ],
            cautions: vec![endless.clone()],
        };
        let title = TitleBlock {
            job: endless.clone(),
            customer: endless.clone(),
            revision: endless.clone(),
            date: endless.clone(),
            prepared_by: endless,
            ..TitleBlock::default()
        };
        for paper in [Paper::A4, Paper::Letter] {
            let gathered = data::gather(&title, paper, std::slice::from_ref(&sheet)).unwrap();
            for page in world::document(&gathered).unwrap().pages() {
                let mut ends = Vec::new();
                reach(&page.frame, Point::zero(), &mut ends);
                let (width, height) = (page.frame.width().to_mm(), page.frame.height().to_mm());
                for (x, y) in ends {
                    assert!(
                        x < width - 8.0 && y < height - 8.0,
                        "{x} of {width}, {y} of {height} mm"
                    );
                }
            }
        }
    }

    fn images(frame: &Frame, sizes: &mut Vec<(f64, f64)>) {
        for (_, item) in frame.items() {
            match item {
                FrameItem::Image(_, size, _) => sizes.push((size.x.to_mm(), size.y.to_mm())),
                FrameItem::Group(group) => images(&group.frame, sizes),
                _ => {}
            }
        }
    }

    #[test]
    fn a_drawing_is_set_at_its_true_size() {
        let wall = drawing::Elevation {
            title: "Wall".into(),
            length_m: 3.0,
            top_m: vec![[0.0, 2.4], [3.0, 2.4]],
            ..Default::default()
        };
        let [lying, _] = crate::drawing_areas(Paper::A4, drawing::Scales::Metric);
        let drawn = drawing::elevation(&wall, lying).unwrap();
        let size = (drawn.width_mm, drawn.height_mm);
        let sheet = Sheet {
            contents: vec![Content::Drawing {
                drawing: Box::new(drawn),
                notes: vec![],
                tables: vec![],
            }],
            ..Sheet::default()
        };
        let gathered = data::gather(&TitleBlock::default(), Paper::A4, &[sheet]).unwrap();
        let mut sizes = Vec::new();
        images(
            &world::document(&gathered).unwrap().pages()[0].frame,
            &mut sizes,
        );
        // Typst counts in points as f64; a micrometre is far below a printer's dot.
        assert_eq!(sizes.len(), 1);
        assert!(
            (sizes[0].0 - size.0).abs() < 1e-3 && (sizes[0].1 - size.1).abs() < 1e-3,
            "{sizes:?} {size:?}"
        );
    }
}
