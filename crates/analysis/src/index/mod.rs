//! Things of a job by their names, and who belongs where.
//!
//! A [`Job`] is plain lists, as its document is; a house of a thousand cables that looked
//! each name up in them would spend its time there.

mod changes;
mod questions;

use std::rc::Rc;
use std::sync::Arc;

use model::{Cable, Catalogue, Job, Kit};
use rustc_hash::FxHashMap;

pub(crate) use changes::changes;

/// Positions by id.
#[derive(Default)]
pub(crate) struct Names {
    item: FxHashMap<String, usize>,
    space: FxHashMap<String, usize>,
    cable: FxHashMap<String, usize>,
    zone: FxHashMap<String, usize>,
}

/// Catalogue entries by id.
#[derive(Default)]
pub(crate) struct KitNames(FxHashMap<String, KitAt>);

/// Where an entry stands in the catalogue.
#[derive(Clone, Copy)]
struct KitAt {
    /// In the order of all kinds.
    position: usize,
    list: KitList,
    within: usize,
}

/// The catalogue's lists.
#[derive(Clone, Copy)]
enum KitList {
    Screen,
    Projector,
    Display,
    Mount,
    Loudspeaker,
    Amplifier,
    Device,
    Cupboard,
    Cable,
    Plate,
}

impl KitList {
    fn of(entry: Kit<'_>) -> Self {
        match entry {
            Kit::Screen(_) => Self::Screen,
            Kit::Projector(_) => Self::Projector,
            Kit::Display(_) => Self::Display,
            Kit::Mount(_) => Self::Mount,
            Kit::Loudspeaker(_) => Self::Loudspeaker,
            Kit::Amplifier(_) => Self::Amplifier,
            Kit::Device(_) => Self::Device,
            Kit::Cupboard(_) => Self::Cupboard,
            Kit::Cable(_) => Self::Cable,
            Kit::Plate(_) => Self::Plate,
        }
    }
}

/// Who belongs where, by positions.
#[derive(Default, PartialEq)]
pub(crate) struct Groups {
    space_of_item: Vec<Option<usize>>,
    items_of_space: Vec<Vec<usize>>,
    items_of_zone: Vec<Vec<usize>>,
    space_of_cable: Vec<Option<usize>>,
    cables_of_space: Vec<Vec<usize>>,
    cables_of_item: Vec<Vec<usize>>,
}

/// All of it; parts that an edit leaves alone are shared with the original.
pub(crate) struct Index {
    names: Rc<Names>,
    kit: Rc<KitNames>,
    pub groups: Rc<Groups>,
}

impl Index {
    pub fn new(job: &Job) -> Self {
        let names = Rc::new(Names::new(job));
        let groups = Rc::new(Groups::new(job, &names));
        Self {
            names,
            kit: Rc::new(KitNames::new(&job.kit)),
            groups,
        }
    }

    pub fn for_edited(&self, old: &Job, new: &Job) -> Self {
        let names = if same_names(old, new) {
            Rc::clone(&self.names)
        } else {
            Rc::new(Names::new(new))
        };
        let kit = if Arc::ptr_eq(&old.kit, &new.kit) || same_kit_names(&old.kit, &new.kit) {
            Rc::clone(&self.kit)
        } else {
            Rc::new(KitNames::new(&new.kit))
        };
        let groups = if Rc::ptr_eq(&names, &self.names) && same_places(old, new) {
            Rc::clone(&self.groups)
        } else {
            Rc::new(Groups::new(new, &names))
        };
        Self { names, kit, groups }
    }
}

impl Names {
    fn new(job: &Job) -> Self {
        Self {
            item: positions(job.item.iter().map(|item| &item.id)),
            space: positions(job.space.iter().map(|space| &space.id)),
            cable: positions(job.cable.iter().map(|cable| &cable.id)),
            zone: positions(job.zone.iter().map(|zone| &zone.id)),
        }
    }
}

/// The first of equal names counts, as in a search from the front.
fn positions<'a>(ids: impl Iterator<Item = &'a String>) -> FxHashMap<String, usize> {
    let mut by_id = FxHashMap::default();
    for (position, id) in ids.enumerate() {
        by_id.entry(id.clone()).or_insert(position);
    }
    by_id
}

impl KitNames {
    fn new(kit: &Catalogue) -> Self {
        let mut by_id = FxHashMap::default();
        let mut within = 0;
        let mut kind = "";
        for (position, entry) in kit.all().enumerate() {
            if entry.kind() != kind {
                (kind, within) = (entry.kind(), 0);
            }
            let id = entry.common().id.clone();
            by_id.entry(id).or_insert(KitAt {
                position,
                list: KitList::of(entry),
                within,
            });
            within += 1;
        }
        Self(by_id)
    }
}

impl Groups {
    fn new(job: &Job, names: &Names) -> Self {
        let item = |id: &str| names.item.get(id).map(|&at| &job.item[at]);
        let space = |id: &str| names.space.get(id).copied();
        let space_of = |item_at: usize| {
            let mut holder = &job.item[item_at];
            for _ in 0..=job.item.len() {
                if let Some(id) = &holder.space {
                    return space(id);
                }
                match holder.inside.as_deref().and_then(item) {
                    Some(next) => holder = next,
                    None => break,
                }
            }
            (job.space.len() == 1 && holder.is_placed()).then_some(0)
        };
        let space_of_item: Vec<_> = (0..job.item.len()).map(space_of).collect();
        let mut items_of_space = vec![Vec::new(); job.space.len()];
        let mut items_of_zone = vec![Vec::new(); job.zone.len()];
        for (at, item) in job.item.iter().enumerate() {
            if let Some(space) = space_of_item[at] {
                items_of_space[space].push(at);
            }
            let zone = item.zone.as_deref().and_then(|id| names.zone.get(id));
            if let Some(&zone) = zone {
                items_of_zone[zone].push(at);
            }
        }
        let home = |end: Option<usize>| end.and_then(|item| space_of_item[item]);
        let space_of_cable: Vec<_> = (job.cable.iter())
            .map(|cable| {
                let [from, to] = item_ends(cable, names);
                home(to).or_else(|| home(from))
            })
            .collect();
        let mut cables_of_space = vec![Vec::new(); job.space.len()];
        for (at, space) in space_of_cable.iter().enumerate() {
            if let Some(space) = space {
                cables_of_space[*space].push(at);
            }
        }
        let mut cables_of_item = vec![Vec::new(); job.item.len()];
        for (at, cable) in job.cable.iter().enumerate() {
            let [from, to] = item_ends(cable, names);
            for item in from.into_iter().chain(to.filter(|to| Some(*to) != from)) {
                cables_of_item[item].push(at);
            }
        }
        Self {
            cables_of_item,
            space_of_item,
            items_of_space,
            items_of_zone,
            space_of_cable,
            cables_of_space,
        }
    }
}

/// The items at both ends of a cable, written `item` or `item.port`.
fn item_ends(cable: &Cable, names: &Names) -> [Option<usize>; 2] {
    [&cable.from, &cable.to].map(|end| {
        let id = end.split('.').next().unwrap_or_default();
        names.item.get(id).copied()
    })
}

fn same_names(old: &Job, new: &Job) -> bool {
    let same = old.item.len() == new.item.len()
        && old.space.len() == new.space.len()
        && old.cable.len() == new.cable.len()
        && old.zone.len() == new.zone.len();
    same && pairs(&old.item, &new.item).all(|(a, b)| a.id == b.id)
        && pairs(&old.space, &new.space).all(|(a, b)| a.id == b.id)
        && pairs(&old.cable, &new.cable).all(|(a, b)| a.id == b.id)
        && old
            .zone
            .iter()
            .zip(new.zone.iter())
            .all(|(a, b)| a.id == b.id)
}

/// What differs in place, of two lists that begin alike.
fn pairs<'a, T>(
    old: &'a [Arc<T>],
    new: &'a [Arc<T>],
) -> impl Iterator<Item = (&'a Arc<T>, &'a Arc<T>)> {
    (old.iter().zip(new)).filter(|(a, b)| !Arc::ptr_eq(a, b))
}

fn same_kit_names(old: &Catalogue, new: &Catalogue) -> bool {
    let names = |kit: Kit<'_>| (kit.kind(), kit.common().id.clone());
    old.all().map(names).eq(new.all().map(names))
}

/// Whether every fact that [`Groups`] rest on is alike, names aside.
fn same_places(old: &Job, new: &Job) -> bool {
    pairs(&old.item, &new.item).all(|(a, b)| {
        a.space == b.space
            && a.inside == b.inside
            && a.zone == b.zone
            && a.is_placed() == b.is_placed()
    }) && pairs(&old.cable, &new.cable).all(|(a, b)| a.from == b.from && a.to == b.to)
}
