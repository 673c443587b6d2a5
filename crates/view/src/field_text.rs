//! Does a field's text read, and which change of the document writes it?

use analysis::Analysis;
use model::{
    Angle, Area, Current, DataRate, Duration, Force, Frequency, Illuminance, Impedance, Job, Kind,
    Length, Level, Luminance, LuminousFlux, Mass, Measured, Power, Ratio, Space, Temperature,
    Voltage, Volume, WireSize,
};
use serde_json::{Value, json};

use crate::{Edit, FieldKind, FieldRead, FieldRefused, document, schema};

/// Reads a field's text without changing the job. An empty text leaves the fact blank.
pub fn field(analysis: &Analysis, at: &str, text: &str) -> Result<FieldRead, FieldRefused> {
    let node = schema::node(at).filter(|node| !node.has_parts());
    let node = node.ok_or_else(|| FieldRefused {
        message: format!("there is no fact at `{at}`"),
        hint: "Reload the page: it shows another version of the program.".to_owned(),
        column: None,
        accepted: "a place that the job file has".to_owned(),
    })?;
    let text = text.trim();
    let (set, printed, value) = if text.is_empty() {
        (None, None, None)
    } else if let Some(kind) = node.quantity() {
        let (value, printed) = quantity(analysis, kind, text)?;
        (Some(json!(text)), printed, value)
    } else {
        let set = plain(node, text)?;
        (Some(set), Some(text.to_owned()), None)
    };
    let edit = completed(
        analysis.job(),
        Edit {
            at: at.to_owned(),
            set,
        },
    );
    // What is blank already stays so.
    if edit.set.is_some() || is_written(analysis.job(), at) {
        let try_out = [model::Edit::from(edit.clone())];
        analysis
            .job()
            .edited(&try_out)
            .map_err(|error| FieldRefused {
                message: error.to_string(),
                hint: match edit.set {
                    Some(_) => "Write it as accepted.".to_owned(),
                    None => "It can't be left blank: write `?` while it is not known.".to_owned(),
                },
                column: None,
                accepted: node.help(),
            })?;
    }
    Ok(FieldRead {
        text: printed,
        value,
        edit,
    })
}

fn is_written(job: &Job, at: &str) -> bool {
    let job = serde_json::to_value(job).unwrap_or_default();
    document::at(&job, at).is_some()
}

/// Words, flags and numbers.
fn plain(node: schema::Node, text: &str) -> Result<Value, FieldRefused> {
    let refused = |message: String, accepted: &str| FieldRefused {
        message,
        hint: format!("Write {accepted}."),
        column: Some(0),
        accepted: accepted.to_owned(),
    };
    match node.kind() {
        FieldKind::Flag => match text.to_lowercase().as_str() {
            "yes" | "true" => Ok(json!(true)),
            "no" | "false" => Ok(json!(false)),
            _ => Err(refused(
                format!("`{text}` is neither yes nor no"),
                "yes or no",
            )),
        },
        FieldKind::Number if node.is_whole_number() => (text.parse::<u32>())
            .map(|number| json!(number))
            .map_err(|_| refused(format!("`{text}` is no whole number"), "a whole number")),
        FieldKind::Number => (text.parse::<f64>().ok().filter(|number| number.is_finite()))
            .map(|number| json!(number))
            .ok_or_else(|| refused(format!("`{text}` is no number"), "a number")),
        FieldKind::Choice => {
            let choices = node.choices().unwrap_or_default();
            let known = choices.iter().find(|choice| {
                choice.value == text || choice.label.to_lowercase() == text.to_lowercase()
            });
            known.map(|choice| json!(choice.value)).ok_or_else(|| {
                let list: Vec<&str> = choices.iter().map(|choice| choice.value.as_str()).collect();
                refused(format!("`{text}` is none of them"), &list.join(", "))
            })
        }
        _ => Ok(json!(text)),
    }
}

type Quantity = (Option<f64>, Option<String>);

fn quantity(analysis: &Analysis, kind: FieldKind, text: &str) -> Result<Quantity, FieldRefused> {
    match kind {
        FieldKind::Length => read::<Length>(analysis, text),
        FieldKind::Angle => read::<Angle>(analysis, text),
        FieldKind::Area => read::<Area>(analysis, text),
        FieldKind::Volume => read::<Volume>(analysis, text),
        FieldKind::Illuminance => read::<Illuminance>(analysis, text),
        FieldKind::LuminousFlux => read::<LuminousFlux>(analysis, text),
        FieldKind::Luminance => read::<Luminance>(analysis, text),
        FieldKind::Level => read::<Level>(analysis, text),
        FieldKind::Power => read::<Power>(analysis, text),
        FieldKind::Voltage => read::<Voltage>(analysis, text),
        FieldKind::Current => read::<Current>(analysis, text),
        FieldKind::Impedance => read::<Impedance>(analysis, text),
        FieldKind::Mass => read::<Mass>(analysis, text),
        FieldKind::Temperature => read::<Temperature>(analysis, text),
        FieldKind::Frequency => read::<Frequency>(analysis, text),
        FieldKind::Duration => read::<Duration>(analysis, text),
        FieldKind::Ratio => read::<Ratio>(analysis, text),
        FieldKind::DataRate => read::<DataRate>(analysis, text),
        FieldKind::WireSize => read::<WireSize>(analysis, text),
        FieldKind::Force => read::<Force>(analysis, text),
        FieldKind::Text | FieldKind::Choice | FieldKind::Flag | FieldKind::Number => {
            Ok((None, Some(text.to_owned())))
        }
    }
}

/// A [`Measured`] of any kind, read and printed.
trait Quantified: Sized {
    fn read_and_print(analysis: &Analysis, text: &str) -> Result<Quantity, units::ReadError>;
}

impl<K: Kind> Quantified for Measured<K> {
    fn read_and_print(analysis: &Analysis, text: &str) -> Result<Quantity, units::ReadError> {
        let measured = Self::read(text)?;
        let printer = analysis.printer();
        let printed = measured.value().map(|value| {
            let spread = measured
                .reading()
                .tolerance_si()
                .filter(|spread| *spread > 0.0);
            let printed = printer.print(value, K::DIMENSION, None);
            match spread {
                Some(spread) => {
                    format!(
                        "{printed} {}",
                        printer.print_uncertainty(spread, K::DIMENSION)
                    )
                }
                None => printed,
            }
        });
        Ok((measured.value(), printed))
    }
}

fn read<Q: Quantified>(analysis: &Analysis, text: &str) -> Result<Quantity, FieldRefused> {
    Q::read_and_print(analysis, text).map_err(|error| {
        let letters = text
            .get(..error.at.start)
            .map(|before| before.chars().count());
        FieldRefused {
            message: error.message,
            hint: format!("Write {}.", error.accepted),
            column: letters,
            accepted: error.accepted,
        }
    })
}

/// Whether a change of this fact may need the document to be [`completed`] by it.
pub fn may_be_completed(at: &str) -> bool {
    let around = at.split('.').rev().skip(1).take(2);
    let mut around = around.chain(at.split('.').nth(2));
    around.any(|part| matches!(part, "at" | "hung" | "on" | "size" | "swing" | "ceiling"))
}

/// The change with the table made that the fact belongs to, where the document has none yet:
/// a seat's first distance makes its place, with the other distance still to measure.
///
/// A change that needs no such thing comes back as it is.
pub fn completed(job: &Job, edit: Edit) -> Edit {
    let Some(set) = edit.set.clone().filter(|_| may_be_completed(&edit.at)) else {
        return edit;
    };
    let whole = || {
        let parts: Vec<&str> = edit.at.split('.').collect();
        let document = serde_json::to_value(job).unwrap_or_default();
        let is_absent = |path: &[&str]| document::at(&document, &path.join(".")).is_none();
        let space = space_at(job, &parts);
        match parts.as_slice() {
            [
                thing @ ..,
                place @ ("at" | "hung"),
                which @ ("from" | "and"),
                part,
            ] if is_absent(&[thing, &[*place][..]].concat()) => {
                let [first, second] = two_walls(space?)?;
                let mut table = json!({ "from": [first, "?"], "and": [second, "?"] });
                table[*which][part.parse::<usize>().ok()?] = set;
                Some(([thing, &[*place][..]].concat().join("."), table))
            }
            [thing @ .., "on", fact] if is_absent(&[thing, &["on"][..]].concat()) => {
                let space = space?;
                let wall = covered_wall(space, thing).or_else(|| Some(&space.walls.first()?.id))?;
                let mut table = json!({ "wall": wall });
                table[*fact] = set;
                Some(([thing, &["on"][..]].concat().join("."), table))
            }
            [thing @ .., "size", part] if is_absent(&[thing, &["size"][..]].concat()) => {
                let is_flat = thing.contains(&"opening") || thing.contains(&"covering");
                let count = if is_flat { 2 } else { 3 };
                let mut list = vec![json!("?"); count];
                *list.get_mut(part.parse::<usize>().ok()?)? = set;
                Some(([thing, &["size"][..]].concat().join("."), json!(list)))
            }
            [thing @ .., "swing", fact] if is_absent(&[thing, &["swing"][..]].concat()) => {
                let mut table = json!({ "hinge": "left", "into": "room" });
                table[*fact] = set;
                Some(([thing, &["swing"][..]].concat().join("."), table))
            }
            // A ridge runs between two walls: until the other is said, the one opposite.
            ["space", _, "ceiling", "ridge", part @ ("0" | "1")]
                if is_absent(&parts[..parts.len() - 1]) =>
            {
                let other = opposite(space?, set.as_str()?)?;
                let ridge = match *part {
                    "0" => json!([set, other]),
                    _ => json!([other, set]),
                };
                let ceiling = parts[..3].join(".");
                Some(match is_absent(&parts[..3]) {
                    true => (ceiling, json!({ "shape": "gable", "ridge": ridge })),
                    false => (format!("{ceiling}.ridge"), ridge),
                })
            }
            [thing @ .., "ceiling", fact] if is_absent(&[thing, &["ceiling"][..]].concat()) => {
                let shape = match *fact {
                    "eaves" | "top" | "ridge" | "ridge_from_left" => "gable",
                    "low" => "shed",
                    _ => "flat",
                };
                let mut table = json!({ "shape": shape });
                table[*fact] = set;
                Some(([thing, &["ceiling"][..]].concat().join("."), table))
            }
            _ => None,
        }
    };
    match whole() {
        Some((at, set)) => Edit { at, set: Some(set) },
        None => edit,
    }
}

/// The wall that a covering at a path is over.
fn covered_wall<'a>(space: &'a Space, thing: &[&str]) -> Option<&'a String> {
    let ["space", _, "covering", id] = thing else {
        return None;
    };
    let covering = space.covering.iter().find(|covering| covering.id == *id)?;
    let over = covering.over.as_ref()?;
    Some(&space.walls.iter().find(|wall| wall.id == *over)?.id)
}

/// The space that a path is about: its own, or that of its item.
fn space_at<'a>(job: &'a Job, parts: &[&str]) -> Option<&'a Space> {
    match parts {
        ["space", id, ..] => job.space(id).map(AsRef::as_ref),
        ["item", id, ..] => job.space_of(job.item(id)?).map(AsRef::as_ref),
        _ => None,
    }
}

/// The wall half a walk further on.
fn opposite<'a>(space: &'a Space, wall: &str) -> Option<&'a str> {
    let index = space.walls.iter().position(|one| one.id == wall)?;
    let count = space.walls.len();
    let other = space.walls.get((index + count / 2) % count)?;
    Some(&other.id)
}

/// The first wall and the one after it, which are hardly ever parallel.
fn two_walls(space: &Space) -> Option<[&str; 2]> {
    Some([
        space.walls.first()?.id.as_str(),
        space.walls.get(1)?.id.as_str(),
    ])
}
