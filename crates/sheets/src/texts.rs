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
