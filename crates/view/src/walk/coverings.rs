//! Rugs, curtains, panels, furniture and people: what makes a room ring less than it does bare.

use checks::tables::finishes::{Counts, Finish, finish};
use model::{Covering, Space, SpaceKind};

use super::WalkThing;
use crate::fields::{Fields, choices_of_finishes, finish_words};
use crate::words::{capital, words};
use crate::{Choice, Field};

/// What may be chosen for a covering; nothing outdoors, where nothing rings.
pub(super) fn finishes(space: &Space) -> Vec<Choice> {
    match space.kind {
        Some(SpaceKind::Outdoor) => Vec::new(),
        _ => choices_of_finishes(),
    }
}

/// Each with its facts: how much of it there is, and where, if anybody said.
pub(super) fn coverings(fields: &Fields<'_>, space: &Space) -> Vec<WalkThing> {
    (space.covering.iter())
        .map(|covering| {
            let thing = format!("covering.{}", covering.id);
            let made_of = finish(&covering.finish).ok();
            WalkThing {
                id: covering.id.clone(),
                at: format!("space.{}.{thing}", space.id),
                kind: "covering".to_owned(),
                label: words(&covering.id),
                says: says(covering, made_of),
                fields: facts(fields, &thing, covering, made_of),
            }
        })
        .collect()
}

fn says(covering: &Covering, made_of: Option<&Finish>) -> String {
    let made_of = made_of.map_or(covering.finish.as_str(), finish_words);
    let name = words(&covering.id);
    let over = match covering.over.as_deref() {
        None => String::new(),
        Some(surface @ ("floor" | "ceiling")) => format!(", over the {surface}"),
        Some(wall) => format!(", over {}", words(wall).to_lowercase()),
    };
    // One that is called what it is needs no second name.
    match made_of.to_lowercase().starts_with(&name.to_lowercase()) {
        true => format!("{}{over}", capital(made_of)),
        false => format!("{name}: {made_of}{over}"),
    }
}

fn facts(
    fields: &Fields<'_>,
    thing: &str,
    covering: &Covering,
    made_of: Option<&Finish>,
) -> Vec<Field> {
    let mut list = fields.fields(thing, &["finish"]);
    if made_of.is_some_and(|finish| finish.counts == Counts::Each) {
        list.extend(fields.fields(thing, &["count", "planned"]));
        return list;
    }
    list.extend(fields.fields(thing, &["over", "area"]));
    let is_flat = matches!(covering.over.as_deref(), Some("floor" | "ceiling"));
    let sides = match is_flat {
        true => ["Along the first wall", "Away from the first wall"],
        false => ["Width", "Height"],
    };
    for (part, side) in sides.into_iter().enumerate() {
        list.extend(fields.field(&format!("{thing}.size.{part}"), side));
    }
    // What lies over nothing has no place that sound would look for.
    let place: &[(&str, &str)] = match covering.over.as_deref() {
        None => &[],
        Some(_) if is_flat => &[
            ("at.from.0", "First wall"),
            ("at.from.1", "Its middle off the first wall"),
            ("at.and.0", "Second wall"),
            ("at.and.1", "Its middle off the second wall"),
        ],
        Some(_) => &[
            ("on.from_left", "Its middle from the left corner"),
            ("on.height", "Its middle above the floor"),
        ],
    };
    for (part, label) in place {
        list.extend(fields.field(&format!("{thing}.{part}"), label));
    }
    list.extend(fields.fields(thing, &["planned"]));
    list
}
