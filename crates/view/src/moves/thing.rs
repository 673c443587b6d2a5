//! What is moved: a thing of the document, found by its body's id.

use analysis::Analysis;
use model::{Anchor, Fixture, FromWall, Hung, InPlan, Item, OnWall, Opening, Seat, Space};
use serde_json::{Value, json};

use super::inside::Reach;
use super::{Move, MoveError, Moved};
use crate::Edit;
use crate::fields::item_name;
use crate::scene::{self, Ground, Placed};
use crate::words::words;

#[derive(Clone, Copy)]
enum Kind<'a> {
    Item(&'a Item),
    Fixture(&'a Fixture),
    Opening(&'a Opening),
    Seat(&'a Seat),
}

/// A thing of the document and how its place is written.
pub(crate) struct Thing<'a> {
    kind: Kind<'a>,
    pub space: &'a Space,
    path: String,
    pub label: String,
    pub on: Option<&'a OnWall>,
    pub at: Option<&'a InPlan>,
    pub hung: Option<&'a Hung>,
    /// The point that a place on a wall refers to where it does not say.
    pub anchor: Anchor,
    /// Written together with its first place: the space that it is put in.
    goes_to: Option<&'a Space>,
}

impl<'a> Thing<'a> {
    fn item(item: &'a Item, space: &'a Space) -> Self {
        Self {
            kind: Kind::Item(item),
            space,
            path: format!("item.{}", item.id),
            label: item_name(item),
            on: item.on.as_ref(),
            at: item.at.as_ref(),
            hung: item.hung.as_ref(),
            anchor: Anchor::Centre,
            goes_to: None,
        }
    }

    fn of_space(kind: Kind<'a>, space: &'a Space) -> Self {
        let (list, id, label) = match kind {
            Kind::Item(item) => ("item", &item.id, item_name(item)),
            Kind::Fixture(fixture) => ("fixture", &fixture.id, words(&fixture.id)),
            Kind::Opening(opening) => ("opening", &opening.id, words(&opening.id)),
            Kind::Seat(seat) => (
                "seat",
                &seat.id,
                format!("Seat {}", seat.id.replace('-', " ")),
            ),
        };
        let (on, at, hung) = match kind {
            Kind::Item(item) => (item.on.as_ref(), item.at.as_ref(), item.hung.as_ref()),
            Kind::Fixture(one) => (one.on.as_ref(), one.at.as_ref(), one.hung.as_ref()),
            Kind::Opening(opening) => (Some(&opening.on), None, None),
            Kind::Seat(seat) => (None, seat.at.as_ref(), None),
        };
        Self {
            kind,
            space,
            path: format!("space.{}.{list}.{id}", space.id),
            label,
            on,
            at,
            hung,
            anchor: match kind {
                Kind::Opening(_) => Anchor::LowerLeft,
                _ => Anchor::Centre,
            },
            goes_to: None,
        }
    }

    pub fn is_seat(&self) -> bool {
        matches!(self.kind, Kind::Seat(_))
    }

    /// Where it is, as its scene has it.
    pub fn placed(&self, ground: &Ground<'_>) -> Placed {
        match self.kind {
            Kind::Item(item) => scene::item(ground, item),
            Kind::Fixture(fixture) => scene::fixture(ground, fixture),
            Kind::Opening(opening) => scene::opening(ground, opening),
            Kind::Seat(seat) => scene::seat(ground, seat),
        }
    }

    /// The two walls and distances that its place in plan is written by.
    pub fn distances(&self) -> Option<[&'a FromWall; 2]> {
        match (self.at, self.hung) {
            (Some(at), _) => Some([&at.from, &at.and]),
            (_, Some(hung)) => Some([&hung.from, &hung.and]),
            _ => None,
        }
    }

    /// How far it reaches in plan; a seat is its head alone.
    pub fn reach(&self, placed: &Placed) -> Reach {
        if self.is_seat() {
            return Reach {
                half_m: [0.0; 2],
                along: [1.0, 0.0],
            };
        }
        let [width, height, depth] = placed.size_m;
        Reach {
            half_m: match placed.is_flush {
                true => [width / 2.0, height / 2.0],
                false => [width / 2.0, depth / 2.0],
            },
            along: placed.along,
        }
    }

    pub fn edit(&self, below: &str, set: Value) -> Edit {
        Edit {
            at: format!("{}.{below}", self.path),
            set: Some(set),
        }
    }

    pub fn moved(&self, mut edits: Vec<Edit>, says: String, held: bool) -> Moved {
        if let (Some(space), false) = (self.goes_to, edits.is_empty()) {
            edits.push(self.edit("space", json!(space.id)));
        }
        Moved { edits, says, held }
    }

    pub fn stays(&self, says: String) -> Moved {
        Moved {
            edits: Vec::new(),
            says,
            held: false,
        }
    }

    pub fn refused(&self, message: String, hint: &str) -> MoveError {
        MoveError {
            message,
            hint: hint.to_owned(),
            at: Some(self.path.clone()),
        }
    }
}

/// The thing that a body's id names.
pub(crate) fn find<'a>(analysis: &'a Analysis, asked: &Move) -> Result<Thing<'a>, MoveError> {
    let refused = |message: String, hint: &str| MoveError {
        message,
        hint: hint.to_owned(),
        at: None,
    };
    let unknown = || {
        refused(
            format!("there is no {} in this job", asked.of.replace(':', " ")),
            "Somebody may have taken it away: load the page again.",
        )
    };
    let named = |id: &str| {
        let space = analysis.job().space(id).map(AsRef::as_ref);
        space.ok_or_else(|| {
            refused(
                format!("there is no space {id}"),
                "Choose a space of the job.",
            )
        })
    };
    let (kind, id) = asked.of.split_once(':').ok_or_else(unknown)?;
    if kind == "item" {
        let item = analysis.item(id).ok_or_else(unknown)?;
        if let Ok(space) = analysis.space_of(item) {
            return Ok(Thing::item(item, space));
        }
        let space = named(asked.space.as_deref().ok_or_else(|| {
            refused(
                format!("{} is in no space yet", item_name(item)),
                "Say which space it goes to.",
            )
        })?)?;
        return Ok(Thing {
            goes_to: Some(space),
            ..Thing::item(item, space)
        });
    }
    let in_space = |space: &'a Space| {
        let kind = match kind {
            "fixture" => space.fixture(id).map(Kind::Fixture),
            "opening" => space
                .opening
                .iter()
                .find(|one| one.id == id)
                .map(Kind::Opening),
            "seat" => space.seat.iter().find(|one| one.id == id).map(Kind::Seat),
            _ => None,
        };
        Some(Thing::of_space(kind?, space))
    };
    if let Some(space) = asked.space.as_deref() {
        return in_space(named(space)?).ok_or_else(unknown);
    }
    let mut found = analysis
        .job()
        .space
        .iter()
        .filter_map(|space| in_space(space));
    match (found.next(), found.next()) {
        (Some(thing), None) => Ok(thing),
        (None, _) => Err(unknown()),
        (Some(_), Some(_)) => Err(refused(
            format!("several spaces have a {kind} called {id}"),
            "Say which space is meant.",
        )),
    }
}

/// What shares a mount with an item, the mount included, and hangs on the same wall.
pub(crate) fn mounted_with<'a>(analysis: &'a Analysis, thing: &Thing<'a>) -> Vec<Thing<'a>> {
    let Kind::Item(item) = thing.kind else {
        return Vec::new();
    };
    // The mount's own id is the name of the group.
    let is_mount = |one: &Item| {
        let is_carrier = |other: &&Item| other.mount.as_deref() == Some(one.id.as_str());
        analysis.items().any(|other| is_carrier(&other))
    };
    let group = |one: &'a Item| match one.mount.as_deref() {
        Some(mount) => Some(mount),
        None => is_mount(one).then_some(one.id.as_str()),
    };
    let Some(mine) = group(item) else {
        return Vec::new();
    };
    let wall = |one: &Item| one.on.as_ref().map(|on| on.wall.clone());
    let others: Vec<&Item> = analysis.items().collect();
    (others.into_iter())
        .filter(|other| other.id != item.id && wall(other) == wall(item))
        .filter(|other| other.mount.as_deref() == Some(mine) || other.id == mine)
        .filter(|other| analysis.is_in(other, thing.space))
        .map(|other| Thing::item(other, thing.space))
        .collect()
}
