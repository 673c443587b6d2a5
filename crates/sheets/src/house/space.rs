//! Which sheets does one space make?

use std::collections::BTreeSet;

use analysis::Missing;
use model::{Space, SpaceKind};

use super::about::first_reasons;
use super::elevation::has_something;
use super::list::{Of, Planned};
use super::{Set, ceiling, hanging, light, loudspeakers, page, pictures, sound};
use crate::{Content, Listed, Sheet, SheetKind};

/// Plan, walls and ceiling; what can't be drawn says so and names what to measure.
pub(super) fn planned<'a>(set: &Set<'a>, space: &'a Space) -> Vec<Planned<'a>> {
    let named = |kind, id: String, title: String, of| Planned {
        listed: Listed {
            id: format!("{}-{id}", space.id),
            title: format!("{}, {title}", space.label()),
            kind,
        },
        of,
    };
    let shape = set.analysis.shape(space);
    if let Err(missing) = shape.corners() {
        let title = "not drawn yet".to_owned();
        let of = Of::NotDrawn(space, missing.clone());
        return vec![named(SheetKind::NotDrawn, "plan".to_owned(), title, of)];
    }
    let is_room = space.kind.unwrap_or_default() == SpaceKind::Room;
    let shown: Vec<usize> = match is_room && shape.ceiling().is_ok() {
        true => (0..space.walls.len())
            .filter(|wall| has_something(set, space, *wall))
            .collect(),
        false => Vec::new(),
    };
    let views: Vec<(usize, String)> = shown
        .into_iter()
        .enumerate()
        .map(|(i, wall)| (wall, letter(i)))
        .collect();
    let mut remarks = Vec::new();
    if is_room {
        match shape.ceiling() {
            Err(missing) => {
                remarks.push(format!("Walls and ceiling are not drawn: needs {missing}."))
            }
            Ok(_) => {
                remarks.extend(bare_walls(space, &views));
                if !ceiling::has_something(set, space) {
                    remarks.push("Nothing on the ceiling, so it is not drawn.".to_owned());
                }
            }
        }
    }
    remarks.extend(turned(set, space));
    let walls: Vec<Planned<'a>> = views
        .iter()
        .map(|(wall, letter)| {
            let id = &space.walls[*wall].id;
            let title = format!("wall {letter}: {}", super::words(id));
            let of = Of::Wall(space, *wall, letter.clone());
            named(SheetKind::Wall, format!("wall-{id}"), title, of)
        })
        .collect();
    let plan = Of::Plan(space, views, remarks);
    let mut planned = vec![named(
        SheetKind::Plan,
        "plan".to_owned(),
        "plan".to_owned(),
        plan,
    )];
    planned.extend(walls);
    if is_room && shape.ceiling().is_ok() && ceiling::has_something(set, space) {
        let name = "ceiling".to_owned();
        planned.push(named(
            SheetKind::Ceiling,
            name.clone(),
            name,
            Of::Ceiling(space),
        ));
    }
    if is_room && shape.ceiling().is_ok() && sound::has_something(set, space) {
        let name = "sound".to_owned();
        planned.push(named(
            SheetKind::Sound,
            name.clone(),
            name,
            Of::Sound(space),
        ));
    }
    if is_room && shape.ceiling().is_ok() && loudspeakers::has_something(set, space) {
        planned.push(named(
            SheetKind::Sound,
            "loudspeakers".to_owned(),
            "where loudspeakers can go".to_owned(),
            Of::Loudspeakers(space),
        ));
    }
    for item in hanging::projectors(set, space) {
        let label = super::place::label_of(item);
        planned.push(named(
            SheetKind::ProjectorPlace,
            format!("hanging-{}", item.id),
            format!("where {label} can hang"),
            Of::Hanging(space, item),
        ));
    }
    if pictures::has_something(set, space) {
        planned.push(named(
            SheetKind::Pictures,
            "pictures".to_owned(),
            "how large and how high".to_owned(),
            Of::Pictures(space),
        ));
    }
    if light::has_something(set, space) {
        let title = "light through the year".to_owned();
        let of = Of::Light(space);
        planned.push(named(SheetKind::Light, "light".to_owned(), title, of));
    }
    planned
}

/// A, B, …, Z, AA, AB, …
fn letter(index: usize) -> String {
    let last = char::from(b'A' + u8::try_from(index % 26).expect("less than 26"));
    match index / 26 {
        0 => last.to_string(),
        more => format!("{}{last}", letter(more - 1)),
    }
}

/// How loudspeakers are set that are not square to their wall or ceiling.
fn turned(set: &Set<'_>, space: &Space) -> Vec<String> {
    let items = set.analysis.loudspeakers_in(space);
    items
        .filter_map(|(item, _)| {
            let words = checks::turn_words(set.analysis, item)?;
            Some(format!("{}: {words}.", super::place::label_of(item)))
        })
        .collect()
}

fn bare_walls(space: &Space, shown: &[(usize, String)]) -> Option<String> {
    let bare = (0..space.walls.len()).filter(|wall| shown.iter().all(|(one, _)| one != wall));
    let names: Vec<String> = bare
        .map(|wall| super::words(&space.walls[wall].id))
        .collect();
    (!names.is_empty()).then(|| {
        format!(
            "Nothing on these walls, so not drawn: {}.",
            names.join(", ")
        )
    })
}

/// The sheet of a space whose corners are not known.
pub(super) fn not_drawn<'a>(set: &Set<'a>, space: &'a Space, missing: &Missing) -> Sheet {
    let start = format!("space.{}.", space.id);
    let wanted = set
        .proof
        .measure_again
        .iter()
        .filter(|entry| entry.blank && entry.path.starts_with(&start));
    let mut items: Vec<String> = wanted
        .map(|entry| format!("{} ({})", entry.what, entry.tool))
        .collect();
    let first = missing.to_string();
    if !items.contains(&first) {
        items.insert(0, first);
    }
    let mut contents = vec![
        Content::Text {
            heading: String::new(),
            paragraphs: vec![format!(
                "{} can't be drawn: its walls are not known well enough to close. Plan, walls and ceiling follow when these are measured.",
                space.label()
            )],
        },
        Content::List {
            heading: "To measure".to_owned(),
            items,
        },
    ];
    let ids: BTreeSet<&str> = std::iter::once(space.id.as_str())
        .chain(set.analysis.items_in(space).map(|item| item.id.as_str()))
        .collect();
    let reasons = first_reasons(&set.reasons(space, &ids), usize::MAX);
    if !reasons.is_empty() {
        contents.push(Content::Table(page::table(&reasons)));
    }
    Sheet {
        contents,
        cautions: set.cautions(space, &ids, []),
        ..Sheet::default()
    }
}
