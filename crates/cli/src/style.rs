//! Colour as an extra: every word and shape says the same without it.

use anstyle::{AnsiColor, Style as Ansi};
use checks::Verdict;

/// Whether texts are coloured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    Plain,
    Coloured,
}

impl Style {
    /// Colour on a terminal only, and never against the wish of the person there.
    pub fn for_stream(is_terminal: bool) -> Self {
        // <https://no-color.org>: set and not empty.
        let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|value| value == "dumb");
        if is_terminal && !refused && !dumb {
            Self::Coloured
        } else {
            Self::Plain
        }
    }

    pub fn heading(self, text: &str) -> String {
        self.paint(Ansi::new().bold(), text)
    }

    pub fn aside(self, text: &str) -> String {
        self.paint(Ansi::new().dimmed(), text)
    }

    pub fn error(self, text: &str) -> String {
        self.paint(AnsiColor::BrightRed.on_default().bold(), text)
    }

    /// The verdict's shape and word.
    pub fn verdict(self, verdict: Verdict) -> String {
        let colour = match verdict {
            Verdict::Fits => AnsiColor::Green,
            Verdict::Tight => AnsiColor::Yellow,
            Verdict::Fails => AnsiColor::Red,
            Verdict::Unknown => AnsiColor::Cyan,
        };
        let text = format!("{} {}", shape(verdict), verdict.word());
        self.paint(colour.on_default().bold(), &text)
    }

    fn paint(self, ansi: Ansi, text: &str) -> String {
        match self {
            Self::Plain => text.to_owned(),
            Self::Coloured => format!("{ansi}{text}{ansi:#}"),
        }
    }
}

/// The shape that goes with a verdict's word, drawn alike on the sheets.
pub fn shape(verdict: Verdict) -> char {
    match verdict {
        Verdict::Fits => '◉',
        Verdict::Tight => '‖',
        Verdict::Fails => '⧄',
        Verdict::Unknown => '◌',
    }
}
