//! The document of a job that begins with one room of four walls.

use model::{Edit, Units, edited_text};

use crate::Error;

/// Walls in walk order, clockwise seen from above.
const WALLS: [&str; 4] = ["front", "right", "back", "left"];

const TEMPLATE: &str = "\
# A job for dryfit. What is not known yet stands as \"?\".
format = 1

[job]
name = \"\"
units = \"metric\"
revision = 1

[survey]
by = \"tape\"

[[space]]
id = \"ROOM\"
name = \"\"
walls = [
  { id = \"front\", length = \"?\" },
  { id = \"right\", length = \"?\" },
  { id = \"back\", length = \"?\" },
  { id = \"left\", length = \"?\" },
]
ceiling = { shape = \"flat\", height = \"?\" }
";

/// The document. Lengths as typed; one that is left empty is still to be measured.
pub fn document(
    name: &str,
    room: &str,
    lengths: &[String; 4],
    height: Option<&str>,
    units: Units,
) -> Result<String, Error> {
    let (name, room) = (
        named(name, "the job", "name")?,
        named(room, "the room", "room")?,
    );
    let id = id_of(room);
    let units = match units {
        Units::Imperial => "imperial",
        Units::Metric => "metric",
    };
    let mut edits = vec![
        Edit::set("job.name", name),
        Edit::set("job.units", units),
        Edit::set(format!("space.{id}.name"), room),
    ];
    let mut typed = |at: String, text: &str| {
        let text = text.trim();
        if !text.is_empty() {
            edits.push(Edit::set(at, text));
        }
    };
    for (wall, length) in WALLS.iter().zip(lengths) {
        typed(format!("space.{id}.walls.{wall}.length"), length);
    }
    typed(
        format!("space.{id}.ceiling.height"),
        height.unwrap_or_default(),
    );
    Ok(edited_text(&TEMPLATE.replace("ROOM", &id), &edits)?)
}

fn named<'a>(name: &'a str, what: &str, at: &str) -> Result<&'a str, Error> {
    match name.trim() {
        "" => Err(Error::refused(
            format!("{what} has no name"),
            "type one; it can be changed later",
        )
        .at(at)),
        name => Ok(name),
    }
}

/// A short name made of a long one: "Home Cinema" as `home-cinema`.
fn id_of(name: &str) -> String {
    let plain = |letter: char| match letter.to_ascii_lowercase() {
        letter if letter.is_ascii_alphanumeric() => letter,
        _ => ' ',
    };
    let spaced: String = name.chars().map(plain).collect();
    let words: Vec<&str> = spaced.split_whitespace().take(4).collect();
    match words.join("-") {
        id if id.starts_with(|letter: char| letter.is_ascii_alphabetic()) => id,
        _ => "room".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lengths(four: [&str; 4]) -> [String; 4] {
        four.map(str::to_owned)
    }

    #[test]
    fn a_blank_job_reads_and_holds_what_was_typed() {
        let four = lengths(["16' 4\"", "4.2 m", "", " 3.21 m laser "]);
        let text = document(
            "Quay \"Row\"",
            "Home Cinema",
            &four,
            Some("9'"),
            Units::Imperial,
        )
        .unwrap();
        let job = model::read(&text, &[]).unwrap_or_else(|problems| panic!("{problems:#?}"));
        assert_eq!(job.job.name, "Quay \"Row\"");
        let space = job.space("home-cinema").unwrap();
        assert_eq!(space.label(), "Home Cinema");
        let known: Vec<bool> = (space.walls.iter())
            .map(|wall| text.contains(&format!("id = \"{}\", length = \"?\"", wall.id)))
            .collect();
        assert_eq!(known, [false, false, true, false], "{text}");
    }

    #[test]
    fn a_room_of_strange_letters_has_an_id() {
        assert_eq!(id_of("Wohnküche 2"), "wohnk-che-2");
        assert_eq!(id_of("映画館"), "room");
        assert_eq!(id_of("2nd floor"), "room");
    }

    #[test]
    fn a_name_that_is_left_empty_is_told_at_its_field() {
        let error = document("  ", "Den", &lengths([""; 4]), None, Units::Metric).unwrap_err();
        assert_eq!(error.says.at.as_deref(), Some("name"));
    }
}
