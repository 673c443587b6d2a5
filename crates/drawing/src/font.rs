//! How wide is a text?
//!
//! Liberation Sans (SIL Open Font License 1.1, `fonts/LICENSE`) has the advance widths of the usual office sans, so a
//! browser that lacks it falls back to a family of the same widths and the boxes in the model stay true.

use std::sync::LazyLock;

use ttf_parser::Face;

/// The family's name, as SVG and the sheets name it.
pub const FAMILY: &str = "Liberation Sans";
/// The upright face.
pub const REGULAR: &[u8] = include_bytes!("../fonts/LiberationSans-Regular.ttf");
/// The bold face.
pub const BOLD: &[u8] = include_bytes!("../fonts/LiberationSans-Bold.ttf");

/// Font size whose capitals are 2.5 mm high, the least lettering on paper.
pub const LETTERING_MM: f64 = 3.65;

static FACES: LazyLock<[Face<'static>; 2]> = LazyLock::new(|| {
    [REGULAR, BOLD]
        .map(|bytes| Face::parse(bytes, 0).expect("the embedded font is whole: the tests read it"))
});

/// The characters up to here have their widths looked up beforehand: letters, signs and primes of European languages.
const KNOWN: usize = 0x2100;

static ADVANCES: LazyLock<[Vec<f64>; 2]> = LazyLock::new(|| {
    let of = |face: &Face<'_>| {
        let known = (0..KNOWN as u32).map(|c| char::from_u32(c).map_or(0.0, |c| advance(face, c)));
        known.collect()
    };
    [of(&FACES[0]), of(&FACES[1])]
});

/// In units of the face. A character that the family lacks is set from another font; an em is wide enough for nearly all
/// of them.
fn advance(face: &Face<'_>, c: char) -> f64 {
    face.glyph_index(c)
        .and_then(|glyph| face.glyph_hor_advance(glyph))
        .map_or(f64::from(face.units_per_em()), f64::from)
}

/// The advance width of one line of text in mm, without kerning (which only narrows it).
pub fn text_width(text: &str, size_mm: f64, bold: bool) -> f64 {
    let face = &FACES[usize::from(bold)];
    let known = &ADVANCES[usize::from(bold)];
    let width = |c: char| match known.get(c as usize) {
        Some(width) => *width,
        None => advance(face, c),
    };
    text.chars().map(width).sum::<f64>() / f64::from(face.units_per_em()) * size_mm
}

/// Breaks a text into lines no wider than `width_mm`, at spaces and at the writer's own line ends; a longer word is cut.
///
/// No-break spaces hold a figure and its unit together.
pub fn wrap(text: &str, size_mm: f64, bold: bool, width_mm: f64) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        for word in paragraph.split([' ', '\t']).filter(|w| !w.is_empty()) {
            let longer = if line.is_empty() {
                word.to_string()
            } else {
                format!("{line} {word}")
            };
            if text_width(&longer, size_mm, bold) <= width_mm {
                line = longer;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for c in word.chars() {
                line.push(c);
                if line.chars().count() > 1 && text_width(&line, size_mm, bold) > width_mm {
                    line.pop();
                    lines.push(std::mem::replace(&mut line, c.to_string()));
                }
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_family_has_every_sign_the_sheets_print() {
        for face in FACES.iter() {
            for c in "′″½¼⅛±−×°²³≥≤Ω–—≈→µ·\u{a0}\u{202f}\u{2009}".chars()
            {
                assert!(face.glyph_index(c).is_some(), "{c:?}");
            }
        }
    }

    #[test]
    fn capitals_reach_the_least_lettering() {
        let cap =
            f64::from(FACES[0].capital_height().unwrap()) / f64::from(FACES[0].units_per_em());
        assert!(cap * LETTERING_MM >= 2.5, "{cap}");
    }

    #[test]
    fn digits_share_one_width() {
        let widths: Vec<f64> = "0123456789"
            .chars()
            .map(|c| text_width(&c.to_string(), 3.5, false))
            .collect();
        assert!(widths.iter().all(|w| (w - widths[0]).abs() < 1e-9));
    }

    #[test]
    fn wrapped_lines_keep_the_width_and_the_letters() {
        let text = "a very long label with Donaudampfschifffahrtsgesellschaftskapitän in it";
        let lines = wrap(text, 3.5, false, 25.0);
        assert!(lines.iter().all(|l| text_width(l, 3.5, false) <= 25.0));
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }
}
