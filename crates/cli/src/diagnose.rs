//! How is everything wrong with a job document shown at its place?

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Patch, Renderer, Snippet};
use model::Problem;

use crate::report::wrap;
use crate::style::Style;

/// More than anybody mends before reading the file again.
const SHOWN_MAX: usize = 50;

/// Bytes of a line that are shown before and behind a slip. Longer lines are cut: a
/// document may be one line of megabytes.
const AROUND: usize = 160;

const WIDTH: usize = 100;

/// The report on everything wrong with a document, ending in a line end.
pub fn report(name: &str, text: &str, problems: &[Problem], style: Style) -> String {
    let renderer = match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    }
    .term_width(WIDTH);
    let mut report = String::new();
    for problem in problems.iter().take(SHOWN_MAX) {
        report.push_str(&renderer.render(&groups(name, text, problem)));
        report.push_str("\n\n");
    }
    if problems.len() > SHOWN_MAX {
        let more = problems.len() - SHOWN_MAX;
        report.push_str(&format!("and {more} more like these\n\n"));
    }
    let count = match problems.len() {
        1 => "one thing is".to_owned(),
        count => format!("{count} things are"),
    };
    report.push_str(&format!("{count} wrong with {name}; nothing was proved\n"));
    report
}

fn groups<'a>(name: &'a str, text: &'a str, problem: &'a Problem) -> Vec<Group<'a>> {
    let title = Level::ERROR.primary_title(&problem.message);
    let accepted = (!problem.accepted.is_empty()).then(|| {
        // The renderer sets notes behind the line number and ` = note: `, and wraps nothing.
        let at = problem
            .span
            .as_ref()
            .map_or(0, |span| span.start.min(text.len()));
        let number = 1 + text.as_bytes()[..at]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count();
        let before = number.to_string().len() + 9;
        let lines = wrap(&format!("accepted: {}", problem.accepted), WIDTH - before);
        Level::NOTE.message(lines.join("\n"))
    });
    let Some(span) = &problem.span else {
        let place = if problem.at.is_empty() {
            Level::NOTE.message(format!("in {name}"))
        } else {
            Level::NOTE.message(format!("in {name}, at {}", problem.at))
        };
        return vec![title.element(place).elements(accepted)];
    };
    let window = Window::around(text, span.clone());
    let label = match problem.at.as_str() {
        "" => None,
        at if at.len() <= 60 => Some(at),
        _ => None,
    };
    let annotation = AnnotationKind::Primary
        .span(window.inside(span))
        .label(label);
    let group = if window.cut {
        let origin = Origin::path(name)
            .line(window.line)
            .char_column(window.column);
        let snippet = window.snippet().annotation(annotation);
        title.element(origin).element(snippet)
    } else {
        let snippet = window.snippet().path(name).annotation(annotation);
        title.element(snippet)
    };
    let mut groups = vec![group.elements(accepted)];
    if let Some(suggestion) = &problem.suggestion
        && let Some(span) = &suggestion.span
    {
        let help = format!("did you mean `{}`?", suggestion.replacement);
        // A cut line is no patch: it would show a text that is not in the document.
        if window.cut {
            groups.push(Group::with_title(Level::HELP.secondary_title(help)));
        } else {
            let patch = Patch::new(window.inside(span), &suggestion.replacement);
            groups.push(
                Level::HELP
                    .secondary_title(help)
                    .element(window.snippet().path(name).patch(patch)),
            );
        }
    }
    groups
}

/// The line in which a slip begins.
struct Window<'a> {
    text: &'a str,
    /// Where it begins in the document.
    start: usize,
    /// Its line's number, from 1.
    line: usize,
    /// The slip's letter in the whole line, from 1.
    column: usize,
    /// It is a part of the line only.
    cut: bool,
}

impl<'a> Window<'a> {
    fn around(document: &'a str, span: Range<usize>) -> Self {
        let at = document.floor_char_boundary(span.start);
        let line_start = document[..at].rfind('\n').map_or(0, |end| end + 1);
        let line_end = document[at..]
            .find('\n')
            .map_or(document.len(), |end| at + end);
        let start = line_start.max(document.ceil_char_boundary(at.saturating_sub(AROUND)));
        let end = line_end.min(document.floor_char_boundary(at.saturating_add(AROUND)));
        Self {
            text: document[start..end].trim_end_matches('\r'),
            start,
            line: 1 + document[..at].matches('\n').count(),
            column: 1 + document[line_start..at].chars().count(),
            cut: start != line_start || end != line_end,
        }
    }

    /// A span of the document within the window.
    fn inside(&self, span: &Range<usize>) -> Range<usize> {
        let clamp = |at: usize| at.saturating_sub(self.start).min(self.text.len());
        let start = self.text.floor_char_boundary(clamp(span.start));
        let end = self.text.ceil_char_boundary(clamp(span.end));
        start..end.max(start)
    }

    fn snippet<T: Clone>(&self) -> Snippet<'a, T> {
        Snippet::source(self.text).line_start(self.line)
    }
}

#[cfg(test)]
mod tests;
