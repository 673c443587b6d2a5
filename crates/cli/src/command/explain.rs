//! Prints a check's manual, the list of all checks, or the words that a job may use.

mod words;

use analysis::Limit;
use checks::{Area, Check};
use clap::Args;

use crate::Outcome;
use crate::failure::Failure;
use crate::report::{self, Page};
use crate::{files, name};

#[derive(Args)]
pub struct Arguments {
    /// A check, a limit, or one of the words `limits`, `layouts`, `finishes` and `woods`; the list
    /// of checks when left out.
    about: Option<String>,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let text = match arguments.about.as_deref() {
        None => list(),
        Some(about) => match explained(about) {
            Some(text) => text,
            None => return Err(unknown(about)),
        },
    };
    files::print(&text)?;
    Ok(Outcome::NothingFails)
}

fn explained(about: &str) -> Option<String> {
    if let Some(check) = checks::find(about) {
        return Some(manual(check));
    }
    if let Some(text) = words::list(about) {
        return Some(text);
    }
    let uses = |check: &&Check| check.limits.iter().any(|limit| limit.name == about);
    let manuals: Vec<String> = checks::all().filter(uses).map(manual).collect();
    (!manuals.is_empty()).then(|| manuals.join("\n"))
}

fn unknown(about: &str) -> Failure {
    let checks = checks::all().map(|check| check.id);
    let limits = checks::limit_names().into_iter().map(|limit| limit.name);
    let names = checks
        .chain(limits)
        .chain(words::LISTS.map(|(name, _)| name));
    name::unknown("check or limit", about, names, "`dryfit explain` lists all")
}

fn list() -> String {
    let style = files::output_style();
    let mut page = Page::default();
    for area in Area::ALL {
        let checks: Vec<&Check> = checks::all().filter(|check| check.area == area).collect();
        if checks.is_empty() {
            continue;
        }
        page.line(&style.heading(area.word()));
        let width = checks.iter().map(|check| check.id.len()).max();
        let indent = 2 + width.unwrap_or_default() + 2;
        for check in checks {
            page.hanging(&format!("  {}", check.id), indent, check.proves);
        }
        page.blank();
    }
    page.line("`dryfit explain CHECK` prints one check's manual. Words that a job file may use:");
    page.blank();
    for (list, says) in words::LISTS {
        page.hanging(&format!("  dryfit explain {list}"), 28, says);
    }
    page.text()
}

fn manual(check: &Check) -> String {
    let style = files::output_style();
    let mut page = Page::default();
    page.line(&style.heading(check.id));
    let source = check.source.words();
    for (heading, text) in [
        ("proves", check.proves),
        ("matters", check.matters),
        ("formula", check.formula),
        ("source", source.as_str()),
        ("when it fails", check.when_it_fails),
    ] {
        page.blank();
        page.line(&style.heading(heading));
        if heading == "formula" {
            formula(&mut page, text);
        } else {
            page.wrapped(2, text);
        }
    }
    if !check.limits.is_empty() {
        page.blank();
        page.line(&style.heading("limits that a job may change under [rules]"));
        for limit in check.limits {
            limit_entry(&mut page, limit);
        }
        page.blank();
        page.line("  For example, in the job file, each with the reason that the sheets print:");
        page.blank();
        for line in rules_example(check.limits[0]) {
            page.line(&format!("    {line}"));
        }
    }
    if !check.published.is_empty() {
        page.blank();
        page.line(&style.heading("published values, recomputed by `dryfit verify`"));
        for value in check.published {
            let unit = if value.unit == "1" { "" } else { value.unit };
            let text = format!(
                "{}: expected {} ±{} {unit}, computed {} {unit}",
                value.cite,
                super::verify::number(value.expected),
                super::verify::number(value.tolerance),
                super::verify::number((value.computed)()),
            );
            page.hanging_from(2, "· ", &text.replace(" ,", ",").replace("  ", " "));
        }
    }
    page.text()
}

/// A limit's name, what it means, its value and where that comes from.
fn limit_entry(page: &mut Page, limit: &Limit) {
    let value = units::in_both_systems(limit.value, limit.dimension);
    page.line(&format!("  {} = {value}", limit.name));
    page.wrapped(4, &format!("{} ({})", limit.meaning, limit.source.words()));
    for (region, value, source) in limit.regional {
        let value = units::in_both_systems(*value, limit.dimension);
        let region = format!("{region:?}").to_lowercase();
        page.wrapped(
            4,
            &format!("with rules = \"{region}\": {value} ({})", source.words()),
        );
    }
}

/// The lines of a job file that keep a limit as it is: to be changed by whoever copies them.
fn rules_example(limit: &Limit) -> [String; 4] {
    [
        "[rules]".to_owned(),
        format!("{} = \"{}\"", limit.name, written(limit)),
        "[rules.reason]".to_owned(),
        format!("{} = \"agreed with the customer\"", limit.name),
    ]
}

/// A limit's value as a keyboard writes it, in the units in which it is the rounder number.
fn written(limit: &Limit) -> String {
    let typed = |text: String| {
        let text = text.replace('\u{202f}', " ");
        text.replace("′", " ft")
            .replace('″', " in")
            .replace('−', "-")
    };
    let off = |text: &str| {
        let value = units::read(text, limit.dimension).ok();
        let value = value.and_then(|reading| reading.value);
        value.map_or(f64::INFINITY, |value| (value - limit.value).abs())
    };
    let [metric, imperial] = report::in_both_systems(limit.value, limit.dimension).map(typed);
    let nearest = if off(&imperial) < off(&metric) {
        imperial
    } else {
        metric
    };
    // A small angle is lost in the steps in which angles are printed.
    match limit.dimension {
        units::Dimension::Angle if off(&nearest) > limit.value.abs() * 0.01 => {
            format!("{:.4} deg", limit.value.to_degrees())
        }
        _ => nearest,
    }
}

/// A formula's sentences on lines of their own, and below the first what its letters are.
fn formula(page: &mut Page, text: &str) {
    for paragraph in text.lines() {
        for sentence in sentences(paragraph) {
            let mut line = String::new();
            let mut indent = 2;
            for part in sentence.split("; ") {
                let is_letter = part.split_once(": ").is_some_and(|(letter, _)| {
                    letter.chars().count() <= 8 && !letter.contains(' ')
                });
                if is_letter || line.is_empty() {
                    if !line.is_empty() {
                        page.wrapped(indent, &line);
                        indent = 4;
                    }
                    line = part.to_owned();
                } else {
                    line.push_str("; ");
                    line.push_str(part);
                }
            }
            page.wrapped(indent, &line);
        }
    }
}

/// A text's sentences, each with its full stop.
fn sentences(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut start = 0;
    for (at, _) in text.match_indices(". ") {
        let next = text[at + 2..].chars().next();
        if next.is_some_and(char::is_uppercase) && at >= start {
            found.push(&text[start..=at]);
            start = at + 2;
        }
    }
    found.push(&text[start..]);
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEADER: &str = "format = 1\n[job]\nname = \"x\"\n";

    #[test]
    fn every_example_of_a_limit_is_read_and_keeps_its_value() {
        for check in checks::all() {
            for limit in check.limits {
                let text = format!("{HEADER}{}\n", rules_example(limit).join("\n"));
                let job = model::read(&text, &checks::limit_names())
                    .unwrap_or_else(|problems| panic!("{}: {problems:?}", limit.name));
                let written = &job.rules.limits[limit.name];
                let read = units::read(written, limit.dimension).expect("read above");
                let value = read.value.expect("a number");
                let off = (value - limit.value).abs();
                assert!(off <= limit.value.abs() * 0.01, "{}: {value}", limit.name);
            }
        }
    }

    #[test]
    fn meanings_are_told_alike() {
        for limit in checks::all().flat_map(|check| check.limits) {
            let first = limit.meaning.chars().next().expect("a meaning");
            assert!(first.is_lowercase(), "{}: {}", limit.name, limit.meaning);
            assert!(!limit.meaning.ends_with('.'), "{}", limit.name);
        }
    }

    #[test]
    fn a_limit_and_each_list_of_words_is_explained() {
        let manual = explained("beam_margin").expect("a limit");
        assert!(manual.starts_with("beam-clear\n"), "{manual}");
        for (list, _) in words::LISTS {
            let text = explained(list).expect("a list");
            assert!(text.lines().count() > 10, "{text}");
            for line in text.lines() {
                assert!(unicode_width::UnicodeWidthStr::width(line) <= 100, "{line}");
            }
        }
        assert_eq!(explained("no-such"), None);
    }
}
