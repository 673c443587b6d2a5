//! Lines of text wrapped at a hundred columns or the terminal's fewer, whatever the letters are.

use unicode_width::UnicodeWidthStr;

/// Columns of a line at most.
const COLUMNS_MOST: usize = 100;

/// Narrower than this a table of numbers is no table any more.
const COLUMNS_LEAST: usize = 60;

/// Lines of text as they are laid out.
pub struct Page {
    text: String,
    columns: usize,
}

impl Default for Page {
    /// As wide as the terminal, if that is what the page is printed on.
    fn default() -> Self {
        let terminal = terminal_size::terminal_size_of(std::io::stdout());
        let columns = terminal.map_or(COLUMNS_MOST, |(width, _)| usize::from(width.0));
        Self::of_columns(columns.clamp(COLUMNS_LEAST, COLUMNS_MOST))
    }
}

impl Page {
    fn of_columns(columns: usize) -> Self {
        Self {
            text: String::new(),
            columns,
        }
    }

    /// A line as it is.
    pub fn line(&mut self, text: &str) {
        self.text.push_str(text.trim_end());
        self.text.push('\n');
    }

    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A text from a column on, wrapped.
    pub fn wrapped(&mut self, indent: usize, text: &str) {
        self.wrapped_in(indent, text, str::to_owned);
    }

    /// As [`Page::wrapped`], each line set in a style.
    pub fn wrapped_in(&mut self, indent: usize, text: &str, style: impl Fn(&str) -> String) {
        for line in wrap(text, self.columns.saturating_sub(indent)) {
            self.line(&format!("{:indent$}{}", "", style(&line)));
        }
    }

    /// A text behind a sign; further lines stand below the text.
    pub fn hanging_from(&mut self, indent: usize, sign: &str, text: &str) {
        let behind = indent + width(sign);
        self.hanging(&format!("{:indent$}{sign}", ""), behind, text);
    }

    /// A text from a column on, behind what stands before it on the first line.
    pub fn hanging(&mut self, before: &str, indent: usize, text: &str) {
        let mut before = padded(before, indent);
        for line in wrap(text, self.columns.saturating_sub(indent)) {
            self.line(&format!("{before}{line}"));
            before = " ".repeat(indent);
        }
    }

    /// One text from the left and one to the right edge; on two lines when they meet.
    pub fn between(&mut self, left: &str, right: &str) {
        let (left_width, right_width) = (width(left), width(right));
        if left_width + 2 + right_width <= self.columns {
            let gap = self.columns - left_width - right_width;
            self.line(&format!("{left}{:gap$}{right}", ""));
        } else {
            self.line(left);
            let gap = self.columns.saturating_sub(right_width);
            self.line(&format!("{:gap$}{right}", ""));
        }
    }

    pub fn text(self) -> String {
        self.text
    }
}

/// The text with blanks behind it up to a column.
pub fn padded(text: &str, columns: usize) -> String {
    let gap = columns.saturating_sub(width(text));
    format!("{text}{:gap$}", "")
}

/// Columns that a text takes on a terminal; colours take none.
fn width(text: &str) -> usize {
    let mut columns = 0;
    let mut rest = text;
    while let Some((before, sequence)) = rest.split_once('\u{1b}') {
        columns += before.width();
        rest = sequence.split_once('m').map_or("", |(_, rest)| rest);
    }
    columns + rest.width()
}

/// Breaks a text into lines at its spaces; a word longer than a line is cut.
/// Narrow and ordinary no-break spaces hold a number and its unit together.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let text = printable(text);
    for mut word in text.split(' ').filter(|word| !word.is_empty()) {
        if !line.is_empty() && line.width() + 1 + word.width() > columns {
            lines.push(std::mem::take(&mut line));
        }
        while word.width() > columns {
            let end = fitting(word, columns);
            lines.push(word[..end].to_owned());
            word = &word[end..];
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The bytes of a word's beginning that fit, at least one letter.
fn fitting(word: &str, columns: usize) -> usize {
    let mut end = 0;
    for (at, letter) in word.char_indices() {
        let next = at + letter.len_utf8();
        if end > 0 && word[..next].width() > columns {
            break;
        }
        end = next;
    }
    end
}

/// A text without signs that would steer the terminal.
pub fn printable(text: &str) -> String {
    text.chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect()
}

/// A word as a shell takes it.
pub fn shell_word(text: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || "/-_.+:,@%=".contains(letter);
    if !text.is_empty() && text.chars().all(plain) {
        text.to_owned()
    } else {
        format!("'{}'", text.replace('\'', "'\\''"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_at_spaces_and_hold_a_number_and_its_unit() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(
            wrap("is 3.21\u{202f}m long", 8),
            ["is", "3.21\u{202f}m", "long"]
        );
        assert!(wrap("  ", 7).is_empty());
    }

    #[test]
    fn a_word_longer_than_a_line_is_cut_at_a_letter() {
        assert_eq!(wrap("ab漢字漢字cd", 5), ["ab漢", "字漢", "字cd"]);
        assert_eq!(wrap("漢字", 1), ["漢", "字"]);
    }

    #[test]
    fn colours_take_no_columns() {
        let green = "\u{1b}[32mfits\u{1b}[0m";
        assert_eq!(width(green), 4);
        assert_eq!(padded(green, 6), format!("{green}  "));
    }

    #[test]
    fn two_texts_share_a_line_while_they_fit() {
        let mut page = Page::of_columns(100);
        page.between(&"l".repeat(48), &"r".repeat(50));
        page.between(&"l".repeat(49), &"r".repeat(50));
        let text = page.text();
        let widths: Vec<usize> = text.lines().map(width).collect();
        assert_eq!(widths, [100, 49, 100]);
    }

    #[test]
    fn a_narrow_terminal_gets_narrow_lines() {
        let mut page = Page::of_columns(COLUMNS_LEAST);
        page.wrapped(10, &"word ".repeat(40));
        page.between(&"l".repeat(30), &"r".repeat(28));
        let text = page.text();
        assert!(
            text.lines().all(|line| width(line) <= COLUMNS_LEAST),
            "{text}"
        );
        assert!(
            text.lines()
                .last()
                .is_some_and(|line| width(line) == COLUMNS_LEAST)
        );
    }

    #[test]
    fn a_name_can_not_steer_the_terminal() {
        assert_eq!(printable("a\u{1b}[2Jb\nc"), "a [2Jb c");
    }

    #[test]
    fn a_word_with_blanks_is_quoted_for_the_shell() {
        assert_eq!(shell_word("a/b-c/1"), "a/b-c/1");
        assert_eq!(shell_word("it's b"), "'it'\\''s b'");
    }
}
