//! A small house to ask checks about, and one way to read their answers.

use std::sync::Arc;

use analysis::Analysis;
use model::{Edit, Job};

use crate::{Check, Finding};

/// A metric room of 6 × 4 × 2.4 m with four walls named north, east, south and west
/// (walked clockwise; north is 6 m), to which each test adds what it asks about.
pub(crate) const ROOM: &str = r#"
format = 1
[job]
name = "Test house"
units = "metric"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
diagonals = [["north.left", "south.left", "7.2111 m"]]
ceiling = { shape = "flat", height = "2.4 m" }
"#;

/// Reads a job, or shows what is wrong with it.
pub(crate) fn job(text: &str) -> Arc<Job> {
    match model::read(text, &crate::limit_names()) {
        Ok(job) => Arc::new(job),
        Err(problems) => {
            let listed: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("the test's job does not read:\n{}", listed.join("\n"))
        }
    }
}

/// What a check finds in the room with `extra` added.
pub(crate) fn findings(check: &Check, extra: &str) -> Vec<Finding> {
    findings_in(check, &Analysis::new(job(&format!("{ROOM}{extra}"))))
}

/// What a check finds in a job of its own.
pub(crate) fn findings_of(check: &Check, text: &str) -> Vec<Finding> {
    findings_in(check, &Analysis::new(job(text)))
}

/// What a check finds with the edits made.
pub(crate) fn findings_after(check: &Check, extra: &str, edits: &[Edit]) -> Vec<Finding> {
    let analysis = Analysis::new(job(&format!("{ROOM}{extra}")));
    findings_in(
        check,
        &analysis.edited(edits).expect("the edits can be made"),
    )
}

fn findings_in(check: &Check, analysis: &Analysis) -> Vec<Finding> {
    if !check.run.is_of_spaces() {
        return check.run.ask(analysis, None);
    }
    (0..analysis.space_count())
        .flat_map(|space| check.run.ask(analysis, Some(space)))
        .collect()
}

/// A picture 2 m wide in the middle of the west wall, and a projector square before it, with
/// what its sheet says.
pub(crate) fn cinema(from_screen_wall: &str, sheet: &str) -> String {
    format!(
        r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
{sheet}
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "{from_screen_wall}"], and = ["north", "2 m"], drop = "100 mm" }}
"#
    )
}

/// A picture 2 m wide on the west wall, and a projector on a mount 3 m from it, with what the
/// mount's sheet says.
pub(crate) fn mounted(from_north: &str, drop: &str, mount: &str) -> String {
    format!(
        r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
[[kit.mount]]
id = "mount-m1"
{mount}
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "mount"
is = "mount-m1"
space = "den"
[[item]]
id = "projector"
is = "projector-p3"
mount = "mount"
hung = {{ from = ["west", "3 m"], and = ["north", "{from_north}"], drop = "{drop}" }}
"#
    )
}

/// One line a finding: subject, verdict, margin in SI with three decimals, sentence.
pub(crate) fn told(findings: &[Finding]) -> String {
    findings
        .iter()
        .map(|finding| {
            let margin = finding
                .margin
                .as_ref()
                .map_or("–".to_owned(), |margin| format!("{:+.3}", margin.value()));
            format!(
                "{}: {} {margin}: {}\n",
                finding.subject.label,
                finding.verdict.word(),
                finding.because
            )
        })
        .collect::<String>()
        .replace('\u{202f}', " ")
}
