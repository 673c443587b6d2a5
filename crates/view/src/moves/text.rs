//! A length as the document writes it: exact to what a tape shows, in the style of the text
//! that it takes the place of.

use units::{Dimension, Printer, System, step};

const INCH_M: f64 = 0.0254;

/// How a length may be rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Round {
    /// Whichever is nearer.
    Nearest,
    /// Never below.
    Up,
    /// Never above.
    Down,
}

/// What a tape shows: 1/8 in or 1 mm.
pub(crate) fn tape_step_m(printer: Printer) -> f64 {
    step(printer.system, Dimension::Length, None)
}

/// A length rounded to what a tape shows.
pub(crate) fn on_tape(printer: Printer, length_m: f64, round: Round) -> f64 {
    let step = tape_step_m(printer);
    let steps = length_m / step;
    // A whole number of steps but for rounding noise stays what it is.
    let whole = match round {
        Round::Nearest => steps.round(),
        Round::Up => (steps - 1e-6).ceil(),
        Round::Down => (steps + 1e-6).floor(),
    };
    whole * step + 0.0
}

/// A length on the tape's marks as text. `like` is the text in whose place it goes: its way
/// of writing, and what it says of how it was taken, are kept where its units are the job's.
pub(crate) fn written(printer: Printer, length_m: f64, like: Option<&str>) -> String {
    let printed = printer.print(length_m, Dimension::Length, None);
    let Some(like) = like
        .map(str::trim)
        .filter(|like| !like.is_empty() && *like != "?")
    else {
        return printed;
    };
    let reading = units::read(like, Dimension::Length).ok();
    let (amount, tail) = split_tail(like);
    let same_system = reading.is_some_and(|reading| reading.system == Some(printer.system));
    let styled = match printer.system {
        _ if !same_system => printed,
        System::Imperial => imperial(length_m, amount),
        System::Metric => metric(length_m, amount).unwrap_or(printed),
    };
    match tail {
        "" => styled,
        tail => format!("{styled} {tail}"),
    }
}

/// The amount, and what follows it: a method's word, a tolerance.
fn split_tail(text: &str) -> (&str, &str) {
    let words = [
        "laser", "tape", "drawing", "drawn", "plan", "pace", "guess", "estimate",
    ];
    let lower = text.to_lowercase();
    let starts = words.iter().filter_map(|word| lower.find(word));
    let starts = starts
        .chain(text.find('±'))
        .chain(text.find("+-"))
        .chain(text.find("+/-"));
    match starts.min().filter(|start| text.is_char_boundary(*start)) {
        Some(start) => (text[..start].trim(), text[start..].trim()),
        None => (text, ""),
    }
}

/// `8' 6 1/2"` with the marks that the old text has; inches alone where it has no feet.
fn imperial(length_m: f64, like: &str) -> String {
    const EIGHTHS: u64 = 8;
    let is_negative = length_m < 0.0;
    let eighths = (length_m.abs() / INCH_M * EIGHTHS as f64).round() as u64;
    let has_feet = like.contains(['\'', '′', '’']) || like.to_lowercase().contains("ft");
    let is_typographic = like.contains(['′', '″']);
    let (foot, inch) = if is_typographic {
        ('′', '″')
    } else {
        ('\'', '"')
    };
    let (feet, rest) = match has_feet {
        true => (eighths / (12 * EIGHTHS), eighths % (12 * EIGHTHS)),
        false => (0, eighths),
    };
    let (inches, part) = (rest / EIGHTHS, rest % EIGHTHS);
    let common = if part == 0 {
        EIGHTHS
    } else {
        1 << part.trailing_zeros()
    };
    let fraction = format!("{}/{}", part / common, EIGHTHS / common);
    let inches = match (inches, part) {
        (inches, 0) => format!("{inches}"),
        (0, _) => fraction,
        (inches, _) => format!("{inches} {fraction}"),
    };
    let sign = if is_negative { "-" } else { "" };
    match has_feet && feet > 0 {
        true => format!("{sign}{feet}{foot} {inches}{inch}"),
        false => format!("{sign}{inches}{inch}"),
    }
}

/// In the unit that the old text ends with.
fn metric(length_m: f64, like: &str) -> Option<String> {
    let millimetres = (length_m * 1000.0).round();
    let number = like.trim_end_matches(|letter: char| letter.is_alphabetic());
    let unit = &like[number.len()..];
    let gap = &number[number.trim_end().len()..];
    let amount = match unit {
        "mm" => format!("{millimetres:.0}"),
        "cm" => trimmed(format!("{:.1}", millimetres / 10.0)),
        "m" => {
            // As many decimals as it had, and no fewer than are needed.
            let had = number.trim().rsplit(['.', ',']).next().map_or(0, str::len);
            let had = if number.contains(['.', ',']) { had } else { 0 };
            let needed = trimmed(format!("{:.3}", millimetres / 1000.0));
            let needed = needed
                .split_once('.')
                .map_or(0, |(_, decimals)| decimals.len());
            format!("{:.*}", had.clamp(needed, 3), millimetres / 1000.0)
        }
        _ => return None,
    };
    let amount = if number.contains(',') {
        amount.replace('.', ",")
    } else {
        amount
    };
    Some(format!("{amount}{gap}{unit}"))
}

fn trimmed(number: String) -> String {
    number
        .trim_end_matches('0')
        .trim_end_matches('.')
        .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written_like(system: System, length_m: f64, like: &str) -> String {
        written(Printer { system }, length_m, Some(like)).replace('\u{202f}', " ")
    }

    #[test]
    fn a_length_keeps_the_style_of_the_text_before_it() {
        let inches = |inches: f64| inches * INCH_M;
        for (length_m, like, expected) in [
            (inches(102.5), "8' 6\"", "8' 6 1/2\""),
            (inches(102.0), "8' 7\"", "8' 6\""),
            (inches(96.0), "8' 6\"", "8' 0\""),
            (inches(102.125), "9′ 1 1/2″", "8′ 6 1/8″"),
            (inches(42.75), "42\"", "42 3/4\""),
            (inches(0.5), "1' 2\"", "1/2\""),
            (inches(102.5), "8' 6\" laser", "8' 6 1/2\" laser"),
            (inches(102.5), "8' 6\" ± 1/4\"", "8' 6 1/2\" ± 1/4\""),
            (inches(-6.0), "-6 1/2\"", "-6\""),
            // Another system's text gives way to the job's own.
            (inches(102.5), "2.6 m", "8′ 6 1/2″"),
            (inches(102.5), "0", "8′ 6 1/2″"),
            (inches(102.5), "?", "8′ 6 1/2″"),
        ] {
            assert_eq!(
                written_like(System::Imperial, length_m, like),
                expected,
                "{like}"
            );
        }
        for (length_m, like, expected) in [
            (4.2, "4.35 m", "4.20 m"),
            (4.213, "4.35 m", "4.213 m"),
            (4.2, "4,35 m", "4,20 m"),
            (0.85, "900 mm", "850 mm"),
            (0.855, "90 cm", "85.5 cm"),
            (3.0, "3.5m", "3.0m"),
            (3.0, "9' 10\"", "3 m"),
            (4.2, "4.35 m laser", "4.20 m laser"),
        ] {
            assert_eq!(
                written_like(System::Metric, length_m, like),
                expected,
                "{like}"
            );
        }
    }

    #[test]
    fn what_is_written_reads_as_what_was_meant() {
        for system in [System::Imperial, System::Metric] {
            let printer = Printer { system };
            for like in ["8' 6\"", "42\"", "4.35 m", "900 mm", "90 cm laser", "?"] {
                for n in 0..400 {
                    let length_m = on_tape(printer, f64::from(n) * 0.0137, Round::Nearest);
                    let text = written(printer, length_m, Some(like));
                    let reading = units::read(&text, Dimension::Length).unwrap();
                    let error = (reading.value.unwrap() - length_m).abs();
                    assert!(error < 1e-9, "{text} like {like}: {error}");
                }
            }
        }
    }

    #[test]
    fn rounding_keeps_its_side() {
        let printer = Printer {
            system: System::Metric,
        };
        assert!((on_tape(printer, 1.2345, Round::Down) - 1.234).abs() < 1e-12);
        assert!((on_tape(printer, 1.2341, Round::Up) - 1.235).abs() < 1e-12);
        assert!((on_tape(printer, 1.234, Round::Up) - 1.234).abs() < 1e-12);
    }
}
