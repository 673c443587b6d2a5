//! What stands at a path of the document, for people: "seat sofa", "the ceiling's height".

use model::{Hung, InPlan, Job, Space};

use crate::place::fixture_label;
use crate::{Analysis, item_label};

impl Analysis {
    /// The thing that a path leads to or into: "Left surround", "seat sofa", "the hall door".
    pub fn thing_at(&self, path: &str) -> String {
        // Words rest on names alone, and on no fact that a verdict rests on.
        thing_of(&self.job, path)
    }

    /// The fact at a path, with the thing that it is one of: "the distance of seat sofa from
    /// wall hearth".
    pub fn fact_at(&self, path: &str) -> String {
        fact_of(&self.job, path)
    }
}

fn thing_of(job: &Job, path: &str) -> String {
    let parts: Vec<&str> = path.split('.').collect();
    match parts.as_slice() {
        ["item", id, ..] => (job.item.iter())
            .find(|item| item.id == *id)
            .map_or_else(|| (*id).to_owned(), |item| item_label(item).to_owned()),
        ["space", space, "seat", id, ..] => format!("seat {id}{}", among(job, space)),
        ["space", space, "fixture", id, ..] => {
            let fixture = space_of(job, space).and_then(|space| space.fixture(id));
            match fixture {
                Some(fixture) => format!("the {}", fixture_label(fixture)),
                None => format!("the {}", id.replace('-', " ")),
            }
        }
        ["space", _, "opening", id, ..] => format!("the {}", id.replace('-', " ")),
        ["space", _, "soffit", id, ..] => format!("soffit {}", id.replace('-', " ")),
        ["space", space, "walls", wall, ..] => format!("wall {wall}{}", among(job, space)),
        ["space", space, "ceiling", ..] => format!("the ceiling of {}", label_of(job, space)),
        ["space", space, "construction", index, ..] => {
            let of = construction_of(job, space, index).unwrap_or(index);
            let surface = match of {
                "ceiling" | "floor" => format!("the {of}"),
                wall => format!("wall {wall}"),
            };
            format!("{surface}{}", among(job, space))
        }
        ["space", space, ..] => label_of(job, space),
        ["cable", id, ..] => format!("cable {id}"),
        ["kit", _, id, ..] => (*id).to_owned(),
        _ => path.to_owned(),
    }
}

fn fact_of(job: &Job, path: &str) -> String {
    let parts: Vec<&str> = path.split('.').collect();
    let thing = thing_of(job, path);
    match parts.as_slice() {
        ["space", _, "walls", _, fact] => format!("the {fact} of {thing}"),
        ["space", space, "diagonals", index, _] => {
            let diagonal = space_of(job, space)
                .zip(index.parse().ok())
                .and_then(|(space, index): (_, usize)| space.diagonals.get(index));
            match diagonal {
                Some(diagonal) => format!(
                    "the diagonal from {} to {}{}",
                    diagonal.0,
                    diagonal.1,
                    among(job, space)
                ),
                None => format!("a diagonal of {}", label_of(job, space)),
            }
        }
        ["space", _, "ceiling", rest @ ..] => format!("{} of {thing}", ceiling_words(rest)),
        ["space", _, "joined", "wall"] => {
            format!("the thickness of the wall between {thing} and the space it is joined to")
        }
        ["space", space, kind, id, rest @ ..] => {
            if let Some(wall) = wall_measured_from(job, space, kind, id, rest) {
                return format!("the distance of {thing} from wall {wall}");
            }
            fact_words(&thing, rest)
        }
        ["item", id, rest @ ..] => {
            let item = job.item.iter().find(|item| item.id == *id);
            let wall = item.and_then(|item| wall_from(item.at.as_ref(), item.hung.as_ref(), rest));
            match wall {
                Some(wall) => format!("the distance of {thing} from wall {wall}"),
                None => fact_words(&thing, rest),
            }
        }
        ["cable", id, "legs", index, "length"] => {
            let cable = job.cable.iter().find(|cable| cable.id == *id);
            let leg = (cable.zip(index.parse().ok()))
                .and_then(|(cable, index): (_, usize)| cable.legs.get(index));
            match leg {
                Some(leg) => format!("the length of {thing} {}", leg.along),
                None => format!("the length of a leg of {thing}"),
            }
        }
        ["kit" | "cable", _, rest @ ..] => {
            // Kit stands below its kind.
            let rest = if parts[0] == "kit" {
                &rest[rest.len().min(1)..]
            } else {
                rest
            };
            fact_words(&thing, rest)
        }
        _ => path.to_owned(),
    }
}

/// The wall that a fact is measured from, where it is a distance from one.
fn wall_measured_from<'a>(
    job: &'a Job,
    space: &str,
    kind: &str,
    id: &str,
    rest: &[&str],
) -> Option<&'a str> {
    let space = space_of(job, space)?;
    match (kind, rest) {
        ("soffit", ["from" | "and", _]) => {
            let soffit = space.soffit.iter().find(|soffit| soffit.id == id)?;
            let from = if rest[0] == "from" {
                &soffit.from
            } else {
                &soffit.and
            };
            Some(&from.0)
        }
        ("seat", _) => {
            let seat = space.seat.iter().find(|seat| seat.id == id)?;
            wall_from(seat.at.as_ref(), None, rest)
        }
        ("fixture", _) => {
            let fixture = space.fixture(id)?;
            wall_from(fixture.at.as_ref(), fixture.hung.as_ref(), rest)
        }
        _ => None,
    }
}

fn wall_from<'a>(at: Option<&'a InPlan>, hung: Option<&'a Hung>, rest: &[&str]) -> Option<&'a str> {
    let [from, and] = match rest.first() {
        Some(&"at") => at.map(|at| [&at.from, &at.and])?,
        Some(&"hung") => hung.map(|hung| [&hung.from, &hung.and])?,
        _ => return None,
    };
    match rest.get(1) {
        Some(&"from") => Some(&from.0),
        Some(&"and") => Some(&and.0),
        _ => None,
    }
}

fn fact_words(thing: &str, rest: &[&str]) -> String {
    let fact = match rest {
        ["on", "from_left"] => return format!("the distance of {thing} from the left corner"),
        ["on" | "at", "height"] => return format!("the height of {thing} above the floor"),
        ["hung", "drop"] => return format!("the drop of {thing} below the ceiling"),
        ["first_from_left"] => "the place of the first stud or joist",
        ["spacing"] => "the spacing of studs or joists",
        ["fire_block_at", _] => "the height of a block between the studs",
        ["size", "0"] => "the width",
        ["size", "1"] => "the height",
        ["size", "2"] => "the depth",
        ["underside"] => "the underside",
        _ => {
            let fact = rest.join(" ").replace('_', " ");
            return format!("the {fact} of {thing}");
        }
    };
    format!("{fact} of {thing}")
}

fn ceiling_words(rest: &[&str]) -> String {
    match rest {
        ["height"] => "the height".to_owned(),
        ["eaves"] => "the height of the eaves".to_owned(),
        ["top"] => "the height of the top".to_owned(),
        ["ridge_from_left"] => "the ridge's distance from the left corner".to_owned(),
        ["planes", plane, "through", point, field, ..] => {
            let counted = |index: &str| index.parse().map_or(0, |index: u32| index + 1);
            let what = match *field {
                "height" => "the height",
                _ => "a distance from a wall",
            };
            format!(
                "{what} at point {} of plane {}",
                counted(point),
                counted(plane)
            )
        }
        _ => format!("the {}", rest.join(" ").replace('_', " ")),
    }
}

fn space_of<'a>(job: &'a Job, id: &str) -> Option<&'a Space> {
    let space = job.space.iter().find(|space| space.id == id)?;
    Some(space)
}

fn label_of(job: &Job, id: &str) -> String {
    space_of(job, id)
        .map_or(id, |space| space.label())
        .to_owned()
}

/// " in Loft cinema", where there are several spaces to be in.
fn among(job: &Job, space: &str) -> String {
    if job.space.len() > 1 {
        format!(" in {}", label_of(job, space))
    } else {
        String::new()
    }
}

fn construction_of<'a>(job: &'a Job, space: &str, index: &str) -> Option<&'a str> {
    let index: usize = index.parse().ok()?;
    let construction = space_of(job, space)?.construction.get(index)?;
    Some(&construction.of)
}

#[cfg(test)]
mod tests {
    //! Each kind of path in a small house.

    use std::sync::Arc;

    use crate::Analysis;

    const HOUSE: &str = r#"
format = 1
[job]
name = "Test house"
[[space]]
id = "den"
name = "Den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
diagonals = [["north.left", "south.left", "7.2111 m"]]
ceiling = { shape = "gable", ridge = ["north", "south"], eaves = "2 m", top = "3 m" }
[[space.seat]]
id = "sofa"
at = { from = ["north", "2 m"], and = ["west", "1 m"] }
[[space.fixture]]
id = "sconce-left"
kind = "wall-light"
on = { wall = "north", from_left = "1 m", height = "1.5 m" }
[[space.soffit]]
id = "duct"
from = ["north", "0 m"]
and = ["west", "1 m"]
size = ["2 m", "0.4 m"]
underside = "2 m"
[[space.construction]]
of = "north"
framing = "stud"
[[kit.loudspeaker]]
id = "onwall-w1"
[[item]]
id = "left"
is = "onwall-w1"
name = "Left surround"
hung = { from = ["east", "1 m"], and = ["north", "1 m"] }
"#;

    #[test]
    fn each_fact_names_its_thing() {
        let job = model::read(HOUSE, &[]).expect("the test's house reads");
        let analysis = Analysis::new(Arc::new(job));
        for (path, words) in [
            ("space.den.walls.north.length", "the length of wall north"),
            (
                "space.den.diagonals.0.2",
                "the diagonal from north.left to south.left",
            ),
            (
                "space.den.ceiling.eaves",
                "the height of the eaves of the ceiling of Den",
            ),
            (
                "space.den.seat.sofa.at.from.1",
                "the distance of seat sofa from wall north",
            ),
            (
                "space.den.seat.sofa.at.and.1",
                "the distance of seat sofa from wall west",
            ),
            ("space.den.seat.sofa.eye", "the eye of seat sofa"),
            (
                "space.den.fixture.sconce-left.on.from_left",
                "the distance of the sconce left from the left corner",
            ),
            (
                "space.den.fixture.sconce-left.size.0",
                "the width of the sconce left",
            ),
            (
                "space.den.soffit.duct.and.1",
                "the distance of soffit duct from wall west",
            ),
            (
                "space.den.construction.0.first_from_left",
                "the place of the first stud or joist of wall north",
            ),
            (
                "space.den.joined.wall",
                "the thickness of the wall between Den and the space it is joined to",
            ),
            (
                "item.left.hung.from.1",
                "the distance of Left surround from wall east",
            ),
            (
                "item.left.hung.drop",
                "the drop of Left surround below the ceiling",
            ),
            (
                "kit.loudspeaker.onwall-w1.size.1",
                "the height of onwall-w1",
            ),
        ] {
            assert_eq!(analysis.fact_at(path), words, "{path}");
        }
    }
}
