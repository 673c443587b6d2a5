//! What is a fact called, by its path, and how is it known?

use model::{Job, Measurement, TakenBy};
use units::Method;

use crate::words::{capital, words};

/// A fact by its path in the trade's words: "Length of wall hearth in Living room".
pub fn name_of(job: &Job, path: &str) -> String {
    let parts: Vec<&str> = path.split('.').collect();
    let space_name = |id: &str| match job.space(id) {
        Some(space) => space.label().to_owned(),
        None => words(id),
    };
    let item_name = |id: &str| {
        let name = job.item(id).and_then(|item| item.name.clone());
        name.unwrap_or_else(|| words(id))
    };
    let named = match parts.as_slice() {
        ["space", space] => space_name(space),
        ["space", space, "walls"] => format!("walls of {}", space_name(space)),
        ["space", space, "walls", wall] => format!("wall {wall} in {}", space_name(space)),
        ["space", space, "walls", wall, rest @ ..] => {
            format!(
                "{} of wall {wall} in {}",
                part_words(rest),
                space_name(space)
            )
        }
        ["space", space, "diagonals", rest @ ..] => {
            let number = rest.first().and_then(|index| index.parse::<usize>().ok());
            match number {
                Some(index) => format!("diagonal {} of {}", index + 1, space_name(space)),
                None => format!("diagonals of {}", space_name(space)),
            }
        }
        ["space", space, "ceiling", rest @ ..] => {
            format!(
                "{} of the ceiling in {}",
                part_words(rest),
                space_name(space)
            )
        }
        ["space", space, "construction", which, rest @ ..] => {
            let by_index = |space: &model::Space| {
                let index: usize = which.parse().ok()?;
                Some(space.construction.get(index)?.of.clone())
            };
            let of = job.space(space).and_then(|space| by_index(space));
            let of = of.unwrap_or_else(|| (*which).to_owned());
            format!("{} of {of} in {}", part_words(rest), space_name(space))
        }
        ["space", space, "finishes", rest @ ..] => match rest {
            [] => format!("finishes of {}", space_name(space)),
            _ => format!("finish of {} in {}", rest.join(" "), space_name(space)),
        },
        ["space", space, model::REVERBERATION, rest @ ..] => match rest {
            [] => format!("how long {} rings", space_name(space)),
            [key] => match key.strip_prefix("hz_") {
                Some(hertz) => {
                    format!("how long {} rings at {hertz}\u{202F}Hz", space_name(space))
                }
                None => format!(
                    "{} of the reverberation of {}",
                    words(key).to_lowercase(),
                    space_name(space)
                ),
            },
            _ => path.to_owned(),
        },
        ["space", space, fact] => format!("{} of {}", part_words(&[fact]), space_name(space)),
        ["space", space, kind, id, rest @ ..] => {
            let thing = format!("{kind} {} in {}", id.replace('-', " "), space_name(space));
            of(rest, &thing)
        }
        ["item", id, rest @ ..] => of(rest, &item_name(id)),
        ["kit", kind, id, rest @ ..] => of(rest, &format!("{kind} {id}")),
        [
            kind @ ("cable" | "zone" | "circuit" | "pathway" | "spool" | "signal" | "activity"),
            id,
            rest @ ..,
        ] => of(rest, &format!("{kind} {id}")),
        ["rules", rest @ ..] => format!("limit {}", part_words(rest)),
        [group, rest @ ..] if !rest.is_empty() => {
            format!("{} of the {group}", part_words(rest))
        }
        _ => path.to_owned(),
    };
    capital(&named)
}

fn of(rest: &[&str], thing: &str) -> String {
    match rest {
        [] => thing.to_owned(),
        _ => format!("{} of {thing}", part_words(rest)),
    }
}

/// The end of a path in words.
pub(crate) fn part_words(parts: &[&str]) -> String {
    match parts {
        ["on", "from_left"] => "distance from the left corner".into(),
        ["on", "wall"] => "wall".into(),
        ["on", "to"] => "point measured to".into(),
        ["on", "height"] | ["at", "height"] => "height above the floor".into(),
        ["at" | "hung", "from", "1"] | ["from", "1"] => "distance from the first wall".into(),
        ["at" | "hung", "and", "1"] | ["and", "1"] => "distance from the second wall".into(),
        ["at" | "hung", "from", "0"] | ["from", "0"] => "first wall measured from".into(),
        ["at" | "hung", "and", "0"] | ["and", "0"] => "second wall measured from".into(),
        ["on"] | ["at"] | ["hung"] => "place".into(),
        ["hung", "drop"] => "drop below the ceiling".into(),
        ["size", "0"] => "width".into(),
        ["size", "1"] => "height".into(),
        ["size", "2"] => "depth".into(),
        ["first_from_left"] => "place of the first stud or joist".into(),
        ["spacing"] => "spacing of studs or joists".into(),
        ["fire_block_at", ..] => "height of the blocks".into(),
        ["first_wall_faces"] => "compass direction".into(),
        ["eye"] => "eye height".into(),
        ["ear"] => "ear height".into(),
        ["over"] => "surface".into(),
        ["driven_by"] => "amplifier".into(),
        ["is"] => "catalogue entry".into(),
        ["in"] => "cupboard".into(),
        [] => "shape".into(),
        _ => parts.join(" ").replace('_', " "),
    }
}

/// What was written at a path and reads as a quantity; the latest where it was edited.
pub(crate) fn measurement<'a>(job: &'a Job, path: &str) -> Option<&'a Measurement> {
    job.measurements.latest(path).map(|(_, latest)| latest)
}

/// How a written quantity is known: by the method beside it, else by where it stands.
pub(crate) fn how(job: &Job, measurement: &Measurement) -> &'static str {
    if let Some(method) = measurement.reading.method {
        return method.word();
    }
    let parts: Vec<&str> = measurement.path.split('.').collect();
    let is_existing = |id: &str| job.item(id).is_some_and(|item| item.existing);
    match parts.as_slice() {
        ["kit", ..] => "spec sheet",
        ["space", .., fact] => match *fact {
            "ambient" => "light meter",
            "noise" => "sound level meter",
            "temperature" | "reading" => "thermometer",
            key if key.starts_with("hz_") => "recording",
            _ => survey_method(job),
        },
        ["item", id, ..] if is_existing(id) => survey_method(job),
        ["cable", _, "legs", ..] => survey_method(job),
        ["item" | "cable" | "zone", ..] => "chosen",
        _ => "stated",
    }
}

/// How lengths of the survey are taken that do not say otherwise.
pub(crate) fn survey_method(job: &Job) -> &'static str {
    let by: TakenBy = job.survey.by.unwrap_or_default();
    Method::from(by).word()
}
