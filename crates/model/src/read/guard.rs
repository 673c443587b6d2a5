//! Is a document shaped so that parsing it would run out of stack, or take for ever?
//!
//! The TOML libraries bound the depth of brackets and braces, but not that of dotted keys
//! and headings: `a.a.a. … = 1` makes a table inside a table for each dot, and dropping
//! some ten thousand of those ends the program. And each `[heading]` whose table was begun
//! by a longer heading moves all tables behind it, which takes the square of their number.
//! So both are counted in the tokens, before anything is built.

use toml_parser::Source;
use toml_parser::lexer::TokenKind;

use crate::read::Problem;

/// More parts than any key or heading of a job has.
const KEY_PARTS_MAX: usize = 16;

/// More headings in single brackets than any job has, `[[lists]]` not counted.
const HEADINGS_MAX: usize = 10_000;

/// What stands in the way of parsing a document at all.
pub(crate) fn problem(text: &str) -> Option<Problem> {
    let mut key_start = 0;
    let mut dots = 0;
    let mut headings = 0;
    let mut at_line_start = true;
    let mut tokens = Source::new(text).lex().peekable();
    while let Some(token) = tokens.next() {
        let kind = token.kind();
        match kind {
            TokenKind::Dot => {
                dots += 1;
                if dots == KEY_PARTS_MAX {
                    let accepted = format!("a key of up to {KEY_PARTS_MAX} parts");
                    let span = key_start..token.span().end();
                    return Some(
                        Problem::at("", "a key with too many parts", accepted).spanned(Some(span)),
                    );
                }
            }
            TokenKind::Whitespace
            | TokenKind::Atom
            | TokenKind::BasicString
            | TokenKind::LiteralString => {}
            _ => {
                dots = 0;
                key_start = token.span().end();
            }
        }
        if kind == TokenKind::LeftSquareBracket && at_line_start {
            // The second bracket of a list's heading is no heading of its own.
            let of_list = tokens
                .next_if(|next| next.kind() == TokenKind::LeftSquareBracket)
                .inspect(|bracket| key_start = bracket.span().end());
            headings += usize::from(of_list.is_none());
            if headings > HEADINGS_MAX {
                let accepted = format!("up to {HEADINGS_MAX} of them");
                let span = token.span().start()..token.span().end();
                return Some(Problem::at("", "too many headings", accepted).spanned(Some(span)));
            }
        }
        at_line_start = match kind {
            TokenKind::Newline => true,
            TokenKind::Whitespace => at_line_start,
            _ => false,
        };
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(text: &str) -> Option<std::ops::Range<usize>> {
        problem(text)?.span
    }

    #[test]
    fn dots_are_counted_within_one_key_alone() {
        assert_eq!(place("a = [1.5, 2.5, 3.5]\n[b.c.d]\n"), None);
        assert_eq!(place(&format!("x = [{}]", "1.5, ".repeat(100))), None);
        assert_eq!(place(&format!("# {}", "a.".repeat(100))), None);
        assert_eq!(place(&format!("note = \"{}\"", "a. ".repeat(100))), None);
    }

    #[test]
    fn a_long_dotted_key_is_found_from_both_sides() {
        let key = |dots: usize| "a.".repeat(dots) + "a = 1";
        assert_eq!(place(&key(KEY_PARTS_MAX - 1)), None);
        assert_eq!(place(&key(KEY_PARTS_MAX)), Some(0..32));
        assert_eq!(place(&format!("x = 1\n[{}]", "a.".repeat(40))), Some(7..39));
        assert_eq!(place(&format!("[[{}]]", "a.".repeat(40))), Some(2..34));
        assert!(place(&"\"a\" . 'b' . ".repeat(40)).is_some());
    }

    #[test]
    fn headings_are_counted_and_lists_are_not() {
        assert_eq!(place(&"[a]\n".repeat(HEADINGS_MAX)), None);
        assert!(place(&" [a]\n".repeat(HEADINGS_MAX + 1)).is_some());
        assert_eq!(place(&"[[a]]\n".repeat(HEADINGS_MAX + 1)), None);
    }
}
