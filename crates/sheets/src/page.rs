//! How large is the paper, and what is left of it for a drawing?

use drawing::{Area, Scales};

/// The paper that a set is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    A4,
    /// 8.5 × 11 in.
    Letter,
}

impl Paper {
    /// Width and height in mm, standing.
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (215.9, 279.4),
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "Letter",
        }
    }
}

/// Room for holes and clips.
pub(crate) const LEFT_MM: f64 = 13.0;
pub(crate) const RIGHT_MM: f64 = 9.0;
pub(crate) const TOP_MM: f64 = 10.0;
/// From the paper's lower edge to the contents: edge, title block, gap.
pub(crate) const BOTTOM_MM: f64 = 28.0;
/// The check line above the title block of drawing sheets.
pub(crate) const CHECK_MM: f64 = 9.0;

/// A page lying or standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Page {
    pub width_mm: f64,
    pub height_mm: f64,
    pub lying: bool,
}

impl Page {
    pub fn new(paper: Paper, lying: bool) -> Page {
        let (short, long) = paper.size_mm();
        let (width_mm, height_mm) = if lying { (long, short) } else { (short, long) };
        Page {
            width_mm,
            height_mm,
            lying,
        }
    }

    pub fn inner_width_mm(&self) -> f64 {
        self.width_mm - LEFT_MM - RIGHT_MM
    }

    pub fn drawing_height_mm(&self) -> f64 {
        self.height_mm - TOP_MM - BOTTOM_MM - CHECK_MM
    }
}

/// Where a drawing may lie on a sheet: the lying page, then the standing one.
///
/// `drawing::on_best` over both gives the larger scale.
pub fn drawing_areas(paper: Paper, scales: Scales) -> [Area; 2] {
    [true, false].map(|lying| {
        let page = Page::new(paper, lying);
        Area {
            width_mm: page.inner_width_mm(),
            height_mm: page.drawing_height_mm(),
            scales,
            smallest: None,
        }
    })
}
