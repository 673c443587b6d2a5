//! Prints a check's manual, or the list of all checks.

use checks::{Area, Check};
use clap::Args;

use crate::Outcome;
use crate::failure::Failure;
use crate::report::{self, Page};
use crate::{files, name};

#[derive(Args)]
pub struct Arguments {
    /// The check; the list of all when left out.
    check: Option<String>,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let text = match &arguments.check {
        None => list(),
        Some(id) => match checks::find(id) {
            Some(check) => manual(check),
            None => {
                let ids = checks::all().map(|check| check.id);
                return Err(name::unknown(
                    "check",
                    id,
                    ids,
                    "`dryfit explain` lists all",
                ));
            }
        },
    };
    files::print(&text)?;
    Ok(Outcome::NothingFails)
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
    page.line("`dryfit explain CHECK` prints one check's manual.");
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
        for paragraph in text.lines() {
            page.wrapped(2, paragraph);
        }
    }
    if !check.limits.is_empty() {
        page.blank();
        page.line(&style.heading("limits that a job may change under [rules]"));
        for limit in check.limits {
            let value = report::both_systems(limit.value, limit.dimension);
            let source = limit.source.words();
            let text = format!("{}: {value} ({source})", limit.meaning);
            page.line(&format!("  {}", limit.name));
            page.wrapped(4, &text);
            for (region, value, source) in limit.regional {
                let value = report::both_systems(*value, limit.dimension);
                let region = format!("{region:?}").to_lowercase();
                page.wrapped(
                    4,
                    &format!("rules \"{region}\": {value} ({})", source.words()),
                );
            }
        }
    }
    if !check.published.is_empty() {
        page.blank();
        page.line(&style.heading("published values, recomputed by `dryfit verify`"));
        for value in check.published {
            page.wrapped(2, value.cite);
        }
    }
    page.text()
}
