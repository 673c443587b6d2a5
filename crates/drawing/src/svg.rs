//! How is a drawing written as SVG?
//!
//! One user unit is one millimetre; `width` and `height` say so too, so that a print comes out at the stated scale. Each
//! shape carries its line kind as class, so that a page may restyle it, and plain attributes, so that nothing need be.

use std::fmt::Write;

use crate::font::FAMILY;
use crate::model::{Anchor, Drawing, Element, Fill, Pen, Role, Shape, Text};
use crate::paper::{Point, Quad};

const INK: &str = "#000";
const INK_SOFT: &str = "#57554e";
const PAPER: &str = "#fff";

/// The drawing as one SVG document; the same drawing gives the same bytes.
pub fn svg(drawing: &Drawing) -> String {
    let mut out = String::new();
    let (w, h) = (number(drawing.width_mm), number(drawing.height_mm));
    let title = escaped(&drawing.title);
    push(
        &mut out,
        format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" fill=\"none\" \
         stroke-linecap=\"butt\" stroke-linejoin=\"miter\">\n<title>{title}</title>\n"
        ),
    );
    for element in &drawing.elements {
        write_element(&mut out, element);
    }
    push(
        &mut out,
        format_args!(
            "<g class=\"lettering\" font-family=\"{FAMILY}, Arial, Helvetica, sans-serif\" fill=\"{INK}\">\n"
        ),
    );
    for text in &drawing.texts {
        write_text(&mut out, text);
    }
    out.push_str("</g>\n</svg>\n");
    out
}

fn push(out: &mut String, words: std::fmt::Arguments<'_>) {
    out.write_fmt(words)
        .expect("writing to a string cannot fail");
}

/// A number with at most three decimals: a micrometre of paper.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_string()
    } else {
        text.to_string()
    }
}

/// Text that XML reads back unchanged; control characters, which XML forbids, are left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}

fn write_element(out: &mut String, element: &Element) {
    let role = match element.role {
        Role::Thing => "thing",
        Role::Hatch => "hatch",
        Role::Dimension => "dimension",
        Role::Leader => "leader",
        Role::Sign => "sign",
    };
    push(out, format_args!("<g class=\"{role}\""));
    if !element.id.is_empty() {
        push(out, format_args!(" data-id=\"{}\"", escaped(&element.id)));
    }
    if !element.about.is_empty() {
        push(
            out,
            format_args!(" role=\"img\" aria-label=\"{}\"", escaped(&element.about)),
        );
    }
    out.push_str(">\n");
    for shape in &element.shapes {
        write_shape(out, shape);
    }
    out.push_str("</g>\n");
}

fn line_attributes(pen: Pen, fill: Fill) -> String {
    let ink = if pen == Pen::Existing { INK_SOFT } else { INK };
    let mut text = format!(
        " class=\"{}\" stroke=\"{ink}\" stroke-width=\"{}\"",
        pen.name(),
        number(pen.width_mm())
    );
    let dashes: Vec<String> = pen.dashes_mm().iter().map(|d| number(*d)).collect();
    if !dashes.is_empty() {
        push(
            &mut text,
            format_args!(" stroke-dasharray=\"{}\"", dashes.join(" ")),
        );
    }
    match fill {
        Fill::None => {}
        Fill::Paper => push(&mut text, format_args!(" fill=\"{PAPER}\"")),
        Fill::Ink => push(&mut text, format_args!(" fill=\"{INK}\"")),
    }
    text
}

fn path_data(points: &[Point], closed: bool) -> String {
    let mut data = String::new();
    for (i, p) in points.iter().enumerate() {
        push(
            &mut data,
            format_args!(
                "{}{} {}",
                if i == 0 { "M" } else { "L" },
                number(p.x),
                number(p.y)
            ),
        );
    }
    if closed {
        data.push('Z');
    }
    data
}

fn write_shape(out: &mut String, shape: &Shape) {
    match shape {
        Shape::Path {
            points,
            closed,
            pen,
            fill,
        } => {
            push(
                out,
                format_args!(
                    "<path d=\"{}\"{}/>\n",
                    path_data(points, *closed),
                    line_attributes(*pen, *fill)
                ),
            );
        }
        Shape::Circle {
            centre,
            radius_mm,
            pen,
            fill,
        } => push(
            out,
            format_args!(
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>\n",
                number(centre.x),
                number(centre.y),
                number(*radius_mm),
                line_attributes(*pen, *fill)
            ),
        ),
        Shape::Arc {
            centre,
            radius_mm,
            from_rad,
            to_rad,
            pen,
        } => {
            let at = |angle: f64| {
                *centre
                    + Point {
                        x: angle.cos(),
                        y: angle.sin(),
                    } * *radius_mm
            };
            let (a, b, r) = (at(*from_rad), at(*to_rad), number(*radius_mm));
            let large = u8::from((to_rad - from_rad).abs() > std::f64::consts::PI);
            let sweep = u8::from(to_rad > from_rad);
            push(
                out,
                format_args!(
                    "<path d=\"M{} {}A{r} {r} 0 {large} {sweep} {} {}\"{}/>\n",
                    number(a.x),
                    number(a.y),
                    number(b.x),
                    number(b.y),
                    line_attributes(*pen, Fill::None)
                ),
            );
        }
    }
}

/// Ground behind a text, so that lines do not strike it out.
fn write_ground(out: &mut String, Quad(corners): Quad) {
    push(
        out,
        format_args!(
            "<path class=\"ground\" d=\"{}\" fill=\"{PAPER}\"/>\n",
            path_data(&corners, true)
        ),
    );
}

fn write_text(out: &mut String, text: &Text) {
    write_ground(out, text.quad());
    let anchor = match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let (x, y) = (number(text.at.x), number(text.at.y));
    let turn = if text.turn_deg.abs() < 1e-9 {
        String::new()
    } else {
        format!(" transform=\"rotate({} {x} {y})\"", number(text.turn_deg))
    };
    let bold = if text.bold {
        " font-weight=\"700\""
    } else {
        ""
    };
    push(
        out,
        format_args!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"{anchor}{bold}{turn}>{}</text>\n",
            number(text.size_mm),
            escaped(&text.content)
        ),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_in_a_text_is_written_literally() {
        assert_eq!(
            escaped("<b> & \"x\"\u{0}\n"),
            "&lt;b&gt; &amp; &quot;x&quot; "
        );
    }

    #[test]
    fn numbers_are_short_and_never_minus_nothing() {
        assert_eq!(number(-0.0001), "0");
        assert_eq!(number(12.5), "12.5");
        assert_eq!(number(1.0 / 3.0), "0.333");
    }
}
