//! Another name for a wall, wherever the document names it.

use serde_json::Value;

use crate::read::can_be_id;
use crate::validate::uses_of_wall;
use crate::{Edit, EditError, Job, Space};

/// Names that a surface without walls has.
const SURFACES: [&str; 2] = ["floor", "ceiling"];

impl Job {
    /// The edits that give a wall of a space another name, and that name to everything that is
    /// measured from it, hangs on it or says something of it.
    ///
    /// A name is letters, figures and hyphens, begins with a letter, and no other wall of the space
    /// has it.
    pub fn wall_renamed(
        &self,
        space: &str,
        wall: &str,
        name: &str,
    ) -> Result<Vec<Edit>, EditError> {
        let path = format!("space.{space}.walls.{wall}");
        let room = self.space(space).filter(|room| room.wall(wall).is_some());
        let room = room.ok_or_else(|| EditError::NoSuchPlace {
            path: path.clone(),
            segment: wall.to_owned(),
        })?;
        if name == wall {
            return Ok(Vec::new());
        }
        refuse(room, name)?;
        let document = serde_json::to_value(room).unwrap_or_default();
        let mut edits = Vec::new();
        for place in uses_of_wall(self, space, wall) {
            if !place.in_key {
                edits.push(Edit::set(place.at, format!("{name}{}", place.behind)));
                continue;
            }
            let below = place.at.strip_prefix(&format!("space.{space}."));
            let value = below.and_then(|below| found(&document, below));
            let table = place.at.strip_suffix(wall);
            if let (Some(value), Some(table)) = (value, table) {
                edits.push(Edit::set(format!("{table}{name}"), value.clone()));
                edits.push(Edit::remove(place.at.clone()));
            }
        }
        let neighbours = room.neighbours.iter().flatten().enumerate();
        for (index, _) in neighbours.filter(|(_, side)| *side == wall) {
            edits.push(Edit::set(format!("space.{space}.neighbours.{index}"), name));
        }
        // Last, since the others are found by what stands in the document.
        edits.push(Edit::set(format!("{path}.id"), name));
        Ok(edits)
    }
}

fn refuse(space: &Space, name: &str) -> Result<(), EditError> {
    let is_name = can_be_id(name)
        && name.starts_with(|letter: char| letter.is_ascii_alphabetic())
        && (name.chars()).all(|letter| letter.is_ascii_alphanumeric() || letter == '-');
    let message = if !is_name {
        format!("`{name}` can't be a wall's name: letters, figures and hyphens, a letter first")
    } else if SURFACES.contains(&name) {
        format!("a wall can't be called {name}: that is another surface")
    } else if space.wall(name).is_some() {
        format!("{} has a wall called {name} already", space.label())
    } else {
        return Ok(());
    };
    Err(EditError::Refused(message))
}

/// What stands at a path of keys.
fn found<'a>(document: &'a Value, path: &str) -> Option<&'a Value> {
    path.split('.')
        .try_fold(document, |here, key| here.get(key))
}

#[cfg(test)]
mod tests {
    //! Whatever names a wall follows it.

    use crate::{EditError, Job, edited_text, read};

    const JOB: &str = r#"
format = 1
[job]
name = "Four walls"
[[kit.display]]
id = "tv"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
diagonals = [["north.left", "south.left", "7.21 m"]]
ceiling = { shape = "gable", ridge = ["north", "south"], eaves = "2 m", top = "3 m" }
finishes = { walls = "gypsum-on-studs", wall = { north = "brick" } }
reflectance = { walls = 0.5, wall = { north = 0.2 } }
[[space.opening]]
id = "door"
kind = "door"
on = { wall = "north", from_left = "1 m", height = "0 m" }
size = ["0.8 m", "2 m"]
[[space.fixture]]
id = "lamp"
kind = "ceiling-light"
hung = { from = ["north", "1 m"], and = ["west", "1 m"], drop = "0.3 m" }
[[space.construction]]
of = "north"
framing = "stud"
[[space.construction]]
of = "ceiling"
framing = "joist"
along = "north"
[[space.seat]]
id = "sofa"
at = { from = ["south", "1 m"], and = ["north", "2 m"] }
[[space.covering]]
id = "panel"
finish = "porous_50_sigma10k"
over = "north"
area = "2 m²"
[[space]]
id = "attic"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
[[item]]
id = "display"
is = "tv"
space = "den"
on = { wall = "north", from_left = "3 m", height = "1.2 m" }
[[item]]
id = "above"
is = "tv"
space = "attic"
on = { wall = "north", from_left = "3 m", height = "1.2 m" }
"#;

    fn job() -> Job {
        read(JOB, &[]).expect("the job reads")
    }

    /// A job without the numbers of its measurements, which count reads.
    fn written(job: &Job) -> serde_json::Value {
        serde_json::to_value(job).expect("a job is written")
    }

    #[test]
    fn everything_that_names_a_wall_follows_it() {
        let edits = job().wall_renamed("den", "north", "street").unwrap();
        let text = edited_text(JOB, &edits).unwrap();
        let (den, attic) = text.split_once("id = \"attic\"").unwrap();
        assert!(!den.contains("north"), "{den}");
        // The other room's wall of that name is another wall.
        let display = attic.split_once("id = \"display\"").unwrap();
        assert!(display.0.contains("\"north\"") && !display.0.contains("street"));
        assert!(
            display.1.contains("wall = \"street\", from_left = \"3 m\""),
            "{text}"
        );
        assert!(
            display.1.contains("wall = \"north\", from_left = \"3 m\""),
            "{text}"
        );
        let renamed = read(&text, &[]).expect("it still makes sense");
        let in_memory = job().edited(&edits).unwrap();
        assert_eq!(written(&renamed), written(&in_memory));
        // And back again, it is what it was.
        let back = renamed.wall_renamed("den", "street", "north").unwrap();
        let back = renamed.edited(&back).unwrap();
        assert_eq!(written(&back), written(&job()));
    }

    #[test]
    fn a_name_that_will_not_do_is_refused_with_words() {
        for (name, words) in [
            ("east", "den has a wall called east already"),
            ("floor", "another surface"),
            ("", "letters, figures and hyphens"),
            ("2nd", "a letter first"),
            ("by the door", "hyphens"),
            ("a.b", "hyphens"),
        ] {
            match job().wall_renamed("den", "north", name) {
                Err(EditError::Refused(message)) => assert!(message.contains(words), "{message}"),
                other => panic!("{name}: {other:?}"),
            }
        }
        assert_eq!(job().wall_renamed("den", "north", "north"), Ok(Vec::new()));
        assert!(job().wall_renamed("den", "nowhere", "street").is_err());
        assert!(job().wall_renamed("nowhere", "north", "street").is_err());
    }
}
