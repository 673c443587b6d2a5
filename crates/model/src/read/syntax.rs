//! What is said of a document that is no TOML?
//!
//! A slip in a quote or a bracket turns all that follows into slips: the first alone is
//! told. Most are made by people who never write TOML, in a few ways that can be named.

use std::ops::Range;

use crate::read::{Problem, shown};

/// What the parser says of a key that stands twice in a table.
pub(crate) const DUPLICATE: &str = "duplicate key";

/// A syntax error of the parser, in words for somebody who fills in a job.
pub(crate) fn problem(text: &str, message: &str, span: Option<Range<usize>>) -> Problem {
    let at = span.as_ref().map_or(0, |span| span.start);
    if message == DUPLICATE {
        let key = (span.clone())
            .and_then(|span| text.get(span))
            .unwrap_or_default();
        let message = format!("`{}` is written twice", shown(key));
        return Problem::at("", message, "each key once in a table").spanned(span);
    }
    let (message, accepted) = named_slip(line_at(text, at)).unwrap_or((
        message,
        "lines as `key = value` under [headings]; texts and quantities in quotes; \
         every bracket closed, perhaps on a line above",
    ));
    Problem::at("", message, accepted).spanned(span)
}

/// The slip that a line looks like, and what would be accepted.
fn named_slip(line: &str) -> Option<(&'static str, &'static str)> {
    let mut values = line.split(['=', '[', ',']).skip(1);
    if values.any(|value| value.trim_start().starts_with(['“', '”', '„'])) {
        return Some((
            "curly quotes can't hold a text",
            "straight quotes around it, as name = \"Cinema\"; inside them 8’ 1” may stay curly",
        ));
    }
    if inch_mark_ends_text(line) {
        return Some((
            "the inch or foot mark ends the text too early",
            "8 ft 1 in in quotes, or \\\" for the inch mark: \"8' 1\\\"\", \
             or three single quotes around: '''8' 1\"'''",
        ));
    }
    let value = line.split_once('=').map_or("", |(_, value)| value.trim());
    if let Some((whole, part)) = value.split_once(',')
        && is_digits(whole)
        && part.starts_with(|letter: char| letter.is_ascii_digit())
    {
        return Some((
            "a comma stands where a number ends",
            "a decimal point, as 87.5, or the number and its unit in quotes, as \"87,5 dB\"",
        ));
    }
    None
}

/// A length that closes its own quotes: `"8' 1""` or `'8' 1"'`.
fn inch_mark_ends_text(line: &str) -> bool {
    let letters: Vec<char> = line.chars().collect();
    let doubled =
        |pair: &[char]| pair[0].is_ascii_digit() && pair[1] == '"' && matches!(pair[2], '"' | '\'');
    // A foot mark within single quotes, and more of the length behind it.
    let foot = |part: &[char]| {
        part[0].is_ascii_digit() && part[1] == '\'' && part[2] == ' ' && part[3].is_ascii_digit()
    };
    letters.windows(3).any(doubled) || (line.contains("= '") && letters.windows(4).any(foot))
}

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|letter| letter.is_ascii_digit())
}

fn line_at(text: &str, at: usize) -> &str {
    let at = text.floor_char_boundary(at);
    let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
    let end = text[at..].find('\n').map_or(text.len(), |end| at + end);
    &text[start..end]
}

#[cfg(test)]
mod tests {
    use crate::read;

    fn told(line: &str) -> String {
        let text =
            format!("format = 1\n[job]\nname = \"x\"\n[survey]\n{line}\n[rates]\nhour = 1\n");
        let problems = read(&text, &[]).expect_err("the line is broken");
        assert_eq!(problems.len(), 1, "{problems:?}");
        problems[0].message.clone()
    }

    #[test]
    fn one_slip_is_one_problem_and_named_as_people_make_it() {
        for (line, message) in [
            (
                r#"by = { a = "16' 4"" }"#,
                "the inch or foot mark ends the text too early",
            ),
            (
                r#"by = '8' 1"'"#,
                "the inch or foot mark ends the text too early",
            ),
            ("by = “tape”", "curly quotes can't hold a text"),
            ("by = “8’ 1””", "curly quotes can't hold a text"),
            ("by = 87,5", "a comma stands where a number ends"),
            (
                "by = 16 ft",
                "string values must be quoted, expected literal string",
            ),
        ] {
            assert_eq!(told(line), message, "{line}");
        }
        let open = told("by = [ { a = 1,\n b = 2");
        assert!(!open.is_empty());
    }
}
