//! How wide is each column?

use drawing::font::{LETTERING_MM, text_width, wrap};

use crate::ColumnKind;

/// One column as the widths are shared out.
pub(crate) struct Measured {
    pub kind: ColumnKind,
    /// All that stands in it, the head first.
    pub texts: Vec<String>,
}

/// Space left and right of a cell's text, together.
const PAD_MM: f64 = 4.0;
/// A verdict's shape and the gap after it.
pub(crate) const MARK_MM: f64 = 4.6;
/// From line to line, and what a row takes besides its lines.
const LINE_MM: f64 = LETTERING_MM * 1.21;
const ROW_MM: f64 = 1.3;
/// The least height of a row with a box to tick.
const BOX_ROW_MM: f64 = 6.9;
/// A text column wants no more than this before it wraps.
const COMFORT_MM: f64 = 85.0;

impl Measured {
    fn widest(&self) -> f64 {
        self.texts
            .iter()
            .map(|t| text_width(t, LETTERING_MM, true))
            .fold(6.0, f64::max)
    }

    fn longest_word(&self) -> f64 {
        let words = self.texts.iter().flat_map(|t| t.split(' '));
        words
            .map(|w| text_width(w, LETTERING_MM, true))
            .fold(6.0, f64::max)
    }

    fn wanted(&self) -> f64 {
        match self.kind {
            ColumnKind::Tick => self.longest_word(),
            ColumnKind::Number | ColumnKind::Text => self.widest().min(COMFORT_MM),
            ColumnKind::Verdict => self.widest() + MARK_MM,
        }
    }

    fn least(&self) -> f64 {
        match self.kind {
            ColumnKind::Tick => self.longest_word(),
            ColumnKind::Verdict => self.longest_word() + MARK_MM,
            // The head of a number column may wrap, its numbers may not.
            ColumnKind::Number => {
                let numbers = self
                    .texts
                    .iter()
                    .skip(1)
                    .map(|t| text_width(t, LETTERING_MM, true))
                    .fold(0.0, f64::max);
                let head = self.texts[0]
                    .split(' ')
                    .map(|w| text_width(w, LETTERING_MM, true))
                    .fold(6.0, f64::max);
                numbers.max(head).min(60.0)
            }
            ColumnKind::Text => self.longest_word().min(35.0),
        }
    }
}

/// Whether the columns would rather have a lying page.
pub(crate) fn wants_lying(columns: &[Measured], standing_mm: f64) -> bool {
    let wanted: f64 = columns.iter().map(|c| c.wanted() + PAD_MM).sum();
    wanted > standing_mm * 1.12 || must_lie(columns, standing_mm)
}

/// Whether the columns find no room on a standing page.
pub(crate) fn must_lie(columns: &[Measured], standing_mm: f64) -> bool {
    columns.iter().map(|c| c.least() + PAD_MM).sum::<f64>() > standing_mm
}

/// Widths in mm that fill at most `width_mm`: what each column needs at least, then a share of the rest by what it wants.
pub(crate) fn widths(columns: &[Measured], width_mm: f64) -> Vec<f64> {
    let least: Vec<f64> = columns.iter().map(|c| c.least() + PAD_MM).collect();
    let wanted: Vec<f64> = columns
        .iter()
        .map(|c| (c.wanted() + PAD_MM).max(c.least() + PAD_MM))
        .collect();
    let (least_sum, wanted_sum): (f64, f64) = (least.iter().sum(), wanted.iter().sum());
    if wanted_sum <= width_mm {
        // What is left goes to the columns that would wrap even so.
        let full: Vec<f64> = columns
            .iter()
            .map(|c| {
                if c.kind == ColumnKind::Text {
                    c.widest() + PAD_MM
                } else {
                    0.0
                }
            })
            .collect();
        let missing: Vec<f64> = full
            .iter()
            .zip(&wanted)
            .map(|(f, w)| (f - w).max(0.0))
            .collect();
        let missing_sum: f64 = missing.iter().sum();
        let part = if missing_sum > 0.0 {
            ((width_mm - wanted_sum) / missing_sum).min(1.0)
        } else {
            0.0
        };
        return wanted
            .iter()
            .zip(&missing)
            .map(|(w, m)| w + m * part)
            .collect();
    }
    if least_sum >= width_mm {
        return least.iter().map(|w| w * width_mm / least_sum).collect();
    }
    let part = (width_mm - least_sum) / (wanted_sum - least_sum);
    least
        .iter()
        .zip(&wanted)
        .map(|(l, w)| l + (w - l) * part)
        .collect()
}

/// The height of a table that is `width_mm` wide, mm; no less than it takes when set.
pub(crate) fn height(columns: &[Measured], width_mm: f64) -> f64 {
    let widths = widths(columns, width_mm);
    let rows = columns.iter().map(|c| c.texts.len()).max().unwrap_or(0);
    let has_boxes = columns.iter().any(|c| c.kind == ColumnKind::Tick);
    let row = |row: usize| {
        let lines = |(column, width): (&Measured, &f64)| {
            let text = column.texts.get(row).map_or("", String::as_str);
            let mark = if column.kind == ColumnKind::Verdict {
                MARK_MM
            } else {
                0.0
            };
            wrap(text, LETTERING_MM, row == 0, width - PAD_MM - mark + 1e-6).len()
        };
        let lines = columns.iter().zip(&widths).map(lines).max().unwrap_or(1);
        let least = if has_boxes && row > 0 {
            BOX_ROW_MM
        } else {
            0.0
        };
        (lines as f64 * LINE_MM + ROW_MM).max(least)
    };
    (0..rows).map(row).sum()
}

/// A text whose words all fit the column: longer ones get invisible places to break.
pub(crate) fn breakable(text: &str, column_mm: f64) -> String {
    let room = column_mm - PAD_MM;
    let mut out = String::with_capacity(text.len());
    for (i, word) in text.split(' ').enumerate() {
        if i > 0 {
            out.push(' ');
        }
        // A column is often as wide as its widest word, to a rounding error.
        if text_width(word, LETTERING_MM, true) <= room + 1e-6 {
            out.push_str(word);
            continue;
        }
        let mut run = 0.0;
        for c in word.chars() {
            let width = text_width(c.encode_utf8(&mut [0; 4]), LETTERING_MM, true);
            if run > 0.0 && run + width > room * 0.9 {
                out.push('\u{200b}');
                run = 0.0;
            }
            run += width;
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(kind: ColumnKind, texts: &[&str]) -> Measured {
        Measured {
            kind,
            texts: texts.iter().map(|t| t.to_string()).collect(),
        }
    }

    #[test]
    fn columns_never_exceed_the_page() {
        let long = "word ".repeat(60);
        let columns = [
            column(ColumnKind::Text, &["a", &long]),
            column(ColumnKind::Number, &["n", "12.50"]),
            column(ColumnKind::Text, &["b", &long]),
        ];
        for width in [40.0, 100.0, 188.0] {
            assert!(widths(&columns, width).iter().sum::<f64>() <= width + 1e-9);
        }
    }

    #[test]
    fn numbers_keep_their_line() {
        let long = "word ".repeat(60);
        let columns = [
            column(ColumnKind::Text, &["a", &long]),
            column(ColumnKind::Number, &["Length cut", "10′ 6 1/2″"]),
        ];
        let number = widths(&columns, 100.0)[1];
        assert!(number >= text_width("10′ 6 1/2″", LETTERING_MM, true));
    }

    #[test]
    fn a_word_that_exactly_fits_its_column_is_not_broken() {
        for word in ["Verdict", "fails", "unknown", "Middle"] {
            let columns = [column(ColumnKind::Text, &[word])];
            let width = widths(&columns, 188.0)[0];
            assert_eq!(breakable(word, width), word);
        }
    }

    #[test]
    fn a_word_longer_than_its_column_can_be_broken() {
        let word = "x".repeat(100);
        let broken = breakable(&word, 30.0);
        assert!(
            broken
                .split('\u{200b}')
                .all(|part| text_width(part, LETTERING_MM, true) <= 26.0)
        );
        assert_eq!(broken.replace('\u{200b}', ""), word);
    }
}
