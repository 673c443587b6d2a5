//! Things of a job by their names, and who belongs where.
//!
//! A [`Job`] is plain lists, as its document is; a house of a thousand cables that looked
//! each name up in them would spend its time there.

use std::rc::Rc;
use std::sync::Arc;

use model::{Cable, Catalogue, CupboardKit, Item, Job, Kit, Space, Zone};

use crate::reads::{Changes, List, Reads, Thing};
use rustc_hash::FxHashMap;

use crate::{Analysis, item_label, parts};

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
        && old.zone.iter().zip(&new.zone).all(|(a, b)| a.id == b.id)
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

/// Whether two items differ in nothing but where they are and which way they look.
fn same_but_for_place(a: &Item, b: &Item) -> bool {
    let there = Item {
        on: b.on.clone(),
        at: b.at.clone(),
        hung: b.hung.clone(),
        tilt: b.tilt.clone(),
        turn: b.turn.clone(),
        aim: b.aim.clone(),
        turned: b.turned.clone(),
        ..a.clone()
    };
    there == *b
}

/// Whether two cables differ in nothing but what they are made of and cut from.
fn same_run(a: &Cable, b: &Cable) -> bool {
    let made_alike = Cable {
        kind: b.kind.clone(),
        fixed: b.fixed,
        length: b.length.clone(),
        spool: b.spool.clone(),
        ..a.clone()
    };
    made_alike == *b
}

/// Whether two items differ in their names and nothing else.
fn same_but_for_name(a: &Item, b: &Item) -> bool {
    let called = Item {
        name: b.name.clone(),
        ..a.clone()
    };
    a.name != b.name && called == *b
}

/// Everything in which an edited copy differs from its original, and what newcomers join.
pub(crate) fn changes(old: (&Job, &Index), new: (&Job, &Index)) -> Changes {
    let ((old, old_index), (new, new_index)) = (old, new);
    let same_house = old.format == new.format
        && old.job == new.job
        && old.site == new.site
        && old.survey == new.survey
        && old.rates == new.rates
        && old.pathway == new.pathway
        && old.rules == new.rules;
    let grown = old.item.len() <= new.item.len() && old.cable.len() <= new.cable.len();
    let same_lists = grown
        && old.space.len() == new.space.len()
        && old.zone.len() == new.zone.len()
        && pairs(&old.item, &new.item).all(|(a, b)| a.id == b.id)
        && pairs(&old.cable, &new.cable).all(|(a, b)| a.id == b.id)
        && pairs(&old.space, &new.space).all(|(a, b)| a.id == b.id)
        && (old.zone.iter().zip(&new.zone)).all(|(a, b)| a.id == b.id && a.space == b.space)
        && Rc::ptr_eq(&old_index.kit, &new_index.kit);
    if !(same_house && same_lists) {
        return Reads::everything().into();
    }
    let mut changed = Reads::default();
    let mut renamed = Vec::new();
    for (at, (a, b)) in old.space.iter().zip(&new.space).enumerate() {
        if !Arc::ptr_eq(a, b) {
            parts::note_changes(at, a, b, &mut changed);
        }
    }
    for (at, (a, b)) in old.zone.iter().zip(&new.zone).enumerate() {
        if a != b {
            changed.note(Thing::Zone, at);
        }
    }
    if !Arc::ptr_eq(&old.kit, &new.kit) {
        for (at, (a, b)) in old.kit.all().zip(new.kit.all()).enumerate() {
            if a != b {
                changed.note(Thing::Kit, at);
            }
        }
    }
    let (before, after) = (&*old_index.groups, &*new_index.groups);
    let zone_of = |index: &Index, item: &Item| {
        let id = item.zone.as_deref()?;
        index.names.zone.get(id).copied()
    };
    for at in 0..new.item.len() {
        let (a, b) = (old.item.get(at), &new.item[at]);
        let homes = [
            before.space_of_item.get(at).copied().flatten(),
            after.space_of_item[at],
        ];
        let same = a.is_some_and(|a| Arc::ptr_eq(a, b) || a == b);
        if same && homes[0] == homes[1] {
            continue;
        }
        if let Some(a) = a.filter(|a| homes[0] == homes[1] && same_but_for_name(a, b)) {
            renamed.push((at, item_label(a).to_owned()));
            continue;
        }
        changed.note(Thing::Item, at);
        if homes[0] != homes[1] || !a.is_some_and(|a| same_but_for_place(a, b)) {
            changed.note(Thing::ItemAnywhere, at);
        }
        if a.and_then(|a| a.mount.as_ref()) != b.mount.as_ref() {
            changed.note(Thing::List, List::Mounted as usize);
        }
        let zones = [a.and_then(|a| zone_of(old_index, a)), zone_of(new_index, b)];
        let is_same_kind = a.is_some_and(|a| a.is == b.is);
        if homes[0] != homes[1] || !is_same_kind {
            for space in homes.into_iter().flatten() {
                changed.note(Thing::ItemsOfSpace, space);
            }
        }
        if zones[0] != zones[1] || !is_same_kind {
            for zone in zones.into_iter().flatten() {
                changed.note(Thing::ItemsOfZone, zone);
            }
        }
    }
    for at in 0..new.cable.len() {
        let (a, b) = (old.cable.get(at), &new.cable[at]);
        let homes = [
            before.space_of_cable.get(at).copied().flatten(),
            after.space_of_cable[at],
        ];
        if !a.is_some_and(|a| Arc::ptr_eq(a, b) || a == b) {
            changed.note(Thing::Cable, at);
            if !a.is_some_and(|a| same_run(a, b)) {
                changed.note(Thing::CableRun, at);
            }
            if a.and_then(|a| a.existing.as_ref()) != b.existing.as_ref() {
                changed.note(Thing::List, List::ExistingCables as usize);
            }
            let old_ends = a.map_or([None; 2], |a| item_ends(a, &old_index.names));
            let new_ends = item_ends(b, &new_index.names);
            if old_ends != new_ends {
                for item in old_ends.into_iter().chain(new_ends).flatten() {
                    changed.note(Thing::CablesOfItem, item);
                }
            }
        }
        if homes[0] != homes[1] || a.is_none() {
            for space in homes.into_iter().flatten() {
                changed.note(Thing::CablesOfSpace, space);
            }
        }
    }
    let lists = [
        (List::Items, old.item.len() != new.item.len()),
        (List::Cables, old.cable.len() != new.cable.len()),
        (List::Spools, old.spool != new.spool),
        (List::Circuits, old.circuit != new.circuit),
        (List::Signals, old.signal != new.signal),
        (List::Activities, old.activity != new.activity),
    ];
    for (list, _) in lists.into_iter().filter(|(_, differs)| *differs) {
        changed.note(Thing::List, list as usize);
    }
    Changes::with_names(changed, renamed)
}

impl Analysis {
    /// The item of that name.
    pub fn item(&self, id: &str) -> Option<&Item> {
        let Some(at) = self.item_at(id) else {
            self.ledger.note(Thing::List, List::Items as usize);
            return None;
        };
        Some(self.noted_item(at))
    }

    pub(crate) fn noted_item(&self, at: usize) -> &Item {
        self.ledger.note(Thing::Item, at);
        &self.job.item[at]
    }

    pub(crate) fn item_at(&self, id: &str) -> Option<usize> {
        self.index.names.item.get(id).copied()
    }

    /// Every item.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        self.ledger.note(Thing::List, List::Items as usize);
        self.job.item.iter().enumerate().map(|(at, item)| {
            self.ledger.note(Thing::Item, at);
            item.as_ref()
        })
    }

    /// Every item, for a caller who does not look at where one is or which way it looks.
    pub fn items_anywhere(&self) -> impl Iterator<Item = &Item> {
        self.ledger.note(Thing::List, List::Items as usize);
        self.job.item.iter().enumerate().map(|(at, item)| {
            self.ledger.note(Thing::ItemAnywhere, at);
            item.as_ref()
        })
    }

    /// An item, for such a caller.
    pub fn item_anywhere(&self, id: &str) -> Option<&Item> {
        let Some(at) = self.item_at(id) else {
            self.ledger.note(Thing::List, List::Items as usize);
            return None;
        };
        self.ledger.note(Thing::ItemAnywhere, at);
        Some(&self.job.item[at])
    }

    /// Items that hang on a mount; others are not noted as read.
    pub fn carried_by(&self, mount: &Item) -> impl Iterator<Item = &Item> {
        self.ledger.note(Thing::List, List::Mounted as usize);
        let items = self.job.item.iter().enumerate();
        let carried = items.filter(|(_, item)| item.mount.as_ref() == Some(&mount.id));
        carried.map(|(at, _)| self.noted_item(at))
    }

    /// An item, what holds it, what holds that, and so on, for a caller who does not look at
    /// where one is.
    pub fn holders_anywhere<'a>(&'a self, item: &'a Item) -> impl Iterator<Item = &'a Item> {
        let held_by = |item: &&'a Item| self.item_anywhere(item.inside.as_deref()?);
        std::iter::successors(Some(item), held_by).take(self.job.item.len() + 1)
    }

    /// An item, what holds it, what holds that, and so on.
    pub fn holders<'a>(&'a self, item: &'a Item) -> impl Iterator<Item = &'a Item> {
        let held_by = |item: &&'a Item| self.item(item.inside.as_deref()?);
        // The reader refuses rings; the bound keeps a job built in memory finite too.
        std::iter::successors(Some(item), held_by).take(self.job.item.len() + 1)
    }

    /// Items of a space in the order of the job.
    pub fn items_in<'a>(&'a self, space: &'a Space) -> impl Iterator<Item = &'a Item> {
        self.items_of_kind(space, |_| true)
    }

    /// Items of a space, for a caller who asks nothing but settled questions about each and takes
    /// those that it looks at from [`Analysis::item`].
    pub fn unread_items_in<'a>(&'a self, space: &Space) -> impl Iterator<Item = &'a Item> {
        let space = self.space_at(&space.id).expect("a space of this job");
        self.ledger.note(Thing::ItemsOfSpace, space);
        let items = self.index.groups.items_of_space[space].iter();
        items.map(|&at| self.job.item[at].as_ref())
    }

    /// An item's place in the job.
    pub fn position_of_item(&self, item: &Item) -> usize {
        self.item_at(&item.id).expect("an item of this job")
    }

    /// The item at a place of the job.
    pub fn item_number(&self, at: usize) -> &Item {
        self.noted_item(at)
    }

    /// Items of a space of which something is true; of the others that answer alone is noted, as
    /// in [`Analysis::settled_of_item`].
    pub fn items_in_where<'a>(
        &'a self,
        space: &Space,
        question: &'static str,
        is_true: fn(&Self, &Item) -> bool,
    ) -> impl Iterator<Item = &'a Item> {
        self.unread_items_in(space)
            .filter(move |item| self.settled_of_item(question, item, is_true))
            .inspect(|item| {
                self.item(&item.id);
            })
    }

    /// Cupboards and racks of a space; other items are not noted as read.
    pub fn cupboards_in<'a>(
        &'a self,
        space: &'a Space,
    ) -> impl Iterator<Item = (&'a Item, &'a CupboardKit)> {
        self.items_of_kind(space, |kit| matches!(kit, Kit::Cupboard(_)))
            .filter_map(|item| match self.kit_of(item) {
                Some(Kit::Cupboard(kit)) => Some((item, kit)),
                _ => None,
            })
    }

    /// Items of a space that the catalogue has a kind of; others are not noted as read.
    pub(crate) fn items_of_kind<'a>(
        &'a self,
        space: &'a Space,
        is_kind: impl Fn(Kit<'a>) -> bool + 'a,
    ) -> impl Iterator<Item = &'a Item> {
        let space = self.space_at(&space.id).expect("a space of this job");
        self.ledger.note(Thing::ItemsOfSpace, space);
        self.of_kind(&self.index.groups.items_of_space[space], is_kind)
    }

    fn of_kind<'a>(
        &'a self,
        items: &'a [usize],
        is_kind: impl Fn(Kit<'a>) -> bool + 'a,
    ) -> impl Iterator<Item = &'a Item> {
        items.iter().filter_map(move |&at| {
            let item = self.job.item[at].as_ref();
            match self.kit_and_position(&item.is) {
                Some((_, kit)) if !is_kind(kit) => return None,
                _ => {}
            }
            self.ledger.note(Thing::Item, at);
            Some(item)
        })
    }

    /// Items that play in a zone and are of a kind.
    pub(crate) fn items_of_zone<'a>(
        &'a self,
        zone: &'a Zone,
        is_kind: impl Fn(Kit<'a>) -> bool + 'a,
    ) -> impl Iterator<Item = &'a Item> {
        let at = self.index.names.zone.get(&zone.id).copied();
        let at = at.expect("a zone of this job");
        self.ledger.note(Thing::ItemsOfZone, at);
        self.of_kind(&self.index.groups.items_of_zone[at], is_kind)
    }

    /// Items that play in a zone, in the order of the job.
    pub fn items_in_zone<'a>(&'a self, zone: &'a Zone) -> impl Iterator<Item = &'a Item> {
        self.items_of_zone(zone, |_| true)
    }

    /// The catalogue entry of that name.
    pub fn kit(&self, id: &str) -> Option<Kit<'_>> {
        let (position, kit) = self.kit_and_position(id)?;
        self.ledger.note(Thing::Kit, position);
        Some(kit)
    }

    /// The catalogue entry of an item.
    pub fn kit_of(&self, item: &Item) -> Option<Kit<'_>> {
        self.kit(&item.is)
    }

    fn kit_and_position(&self, id: &str) -> Option<(usize, Kit<'_>)> {
        let &KitAt {
            position,
            list,
            within,
        } = self.index.kit.0.get(id)?;
        let kit = &*self.job.kit;
        let kit = match list {
            KitList::Screen => Kit::Screen(&kit.screen[within]),
            KitList::Projector => Kit::Projector(&kit.projector[within]),
            KitList::Display => Kit::Display(&kit.display[within]),
            KitList::Mount => Kit::Mount(&kit.mount[within]),
            KitList::Loudspeaker => Kit::Loudspeaker(&kit.loudspeaker[within]),
            KitList::Amplifier => Kit::Amplifier(&kit.amplifier[within]),
            KitList::Device => Kit::Device(&kit.device[within]),
            KitList::Cupboard => Kit::Cupboard(&kit.cupboard[within]),
            KitList::Cable => Kit::Cable(&kit.cable[within]),
            KitList::Plate => Kit::Plate(&kit.plate[within]),
        };
        Some((position, kit))
    }

    /// The whole catalogue.
    pub fn catalogue(&self) -> &Catalogue {
        for position in 0..self.job.kit.all().count() {
            self.ledger.note(Thing::Kit, position);
        }
        &self.job.kit
    }

    /// The space of that name.
    pub fn space(&self, id: &str) -> Option<&Space> {
        Some(self.noted_space(self.space_at(id)?))
    }

    /// How many spaces there are.
    pub fn space_count(&self) -> usize {
        self.job.space.len()
    }

    /// The space at a position of the job.
    pub fn space_number(&self, at: usize) -> &Space {
        self.noted_space(at)
    }

    pub(crate) fn noted_space(&self, at: usize) -> &Space {
        self.note_space(at);
        &self.job.space[at]
    }

    pub(crate) fn space_at(&self, id: &str) -> Option<usize> {
        self.index.names.space.get(id).copied()
    }

    /// The position of the space that an item is in.
    pub(crate) fn space_at_item(&self, item: &Item) -> Option<usize> {
        let at = self.item_at(&item.id)?;
        self.index.groups.space_of_item[at]
    }

    /// Whether an item is in a space.
    pub fn is_in(&self, item: &Item, space: &Space) -> bool {
        self.space_at_item(item)
            .is_some_and(|at| self.job.space[at].id == space.id)
    }

    /// Cables whose findings belong to a space: with their far end there, or their near end
    /// where the far one is nowhere.
    pub fn cables_in<'a>(&'a self, space: &'a Space) -> impl Iterator<Item = &'a Cable> {
        let space = self.space_at(&space.id).expect("a space of this job");
        self.ledger.note(Thing::CablesOfSpace, space);
        (self.index.groups.cables_of_space[space].iter()).map(|&at| {
            self.ledger.note(Thing::Cable, at);
            self.job.cable[at].as_ref()
        })
    }

    /// As [`Analysis::cables_in`], for a caller who asks nothing but settled questions about each
    /// and takes those that it looks at from [`Analysis::cable`].
    pub fn unread_cables_in<'a>(&'a self, space: &Space) -> impl Iterator<Item = &'a Cable> {
        let space = self.space_at(&space.id).expect("a space of this job");
        self.ledger.note(Thing::CablesOfSpace, space);
        let cables = self.index.groups.cables_of_space[space].iter();
        cables.map(|&at| self.job.cable[at].as_ref())
    }

    /// A cable by its place in the job, for such a caller.
    pub fn unread_cable(&self, at: usize) -> &Cable {
        &self.job.cable[at]
    }

    /// A cable's place in the job.
    pub fn position_of_cable(&self, cable: &Cable) -> usize {
        self.cable_at(&cable.id).expect("a cable of this job")
    }

    /// A space's place in the job.
    pub fn position_of_space(&self, space: &Space) -> usize {
        self.space_at(&space.id).expect("a space of this job")
    }

    /// Cables with an end at an item.
    pub fn cables_at<'a>(&'a self, item: &str) -> impl Iterator<Item = &'a Cable> + use<'a> {
        let at = self.item_at(item);
        match at {
            Some(at) => self.ledger.note(Thing::CablesOfItem, at),
            None => self.ledger.note(Thing::List, List::Items as usize),
        }
        let cables = at.map(|at| self.index.groups.cables_of_item[at].as_slice());
        (cables.unwrap_or_default().iter()).map(|&at| self.noted_cable(at))
    }

    /// The cable of that name.
    pub fn cable(&self, id: &str) -> Option<&Cable> {
        let Some(at) = self.cable_at(id) else {
            self.ledger.note(Thing::List, List::Cables as usize);
            return None;
        };
        Some(self.noted_cable(at))
    }

    /// Every cable.
    pub fn cables(&self) -> impl Iterator<Item = &Cable> {
        self.ledger.note(Thing::List, List::Cables as usize);
        self.job.cable.iter().enumerate().map(|(at, cable)| {
            self.ledger.note(Thing::Cable, at);
            cable.as_ref()
        })
    }

    /// Cables that lie in the walls already; others are not noted as read.
    pub fn existing_cables(&self) -> impl Iterator<Item = &Cable> {
        self.ledger.note(Thing::List, List::ExistingCables as usize);
        let cables = self.job.cable.iter().enumerate();
        let existing = cables.filter(|(_, cable)| cable.existing.is_some());
        existing.map(|(at, _)| self.noted_cable(at))
    }

    pub(crate) fn noted_cable(&self, at: usize) -> &Cable {
        self.ledger.note(Thing::Cable, at);
        &self.job.cable[at]
    }

    /// Notes a cable for a caller who looks at nothing but where it runs and what is spared for it.
    pub(crate) fn note_run_of_cable(&self, at: usize) {
        self.ledger.note(Thing::CableRun, at);
    }

    pub(crate) fn cable_at(&self, id: &str) -> Option<usize> {
        self.index.names.cable.get(id).copied()
    }

    /// The zone of that name.
    pub fn zone(&self, id: &str) -> Option<&Zone> {
        let at = *self.index.names.zone.get(id)?;
        self.ledger.note(Thing::Zone, at);
        Some(&self.job.zone[at])
    }

    /// Every zone.
    pub fn zones(&self) -> impl Iterator<Item = &Zone> {
        (0..self.job.zone.len()).map(|at| self.noted_zone(at))
    }

    /// Zones of a space.
    pub fn zones_in<'a>(&'a self, space: &'a Space) -> impl Iterator<Item = &'a Zone> {
        (self.job.zone.iter().enumerate())
            .filter(|(_, zone)| zone.space == space.id)
            .map(|(at, _)| self.noted_zone(at))
    }

    fn noted_zone(&self, at: usize) -> &Zone {
        self.ledger.note(Thing::Zone, at);
        &self.job.zone[at]
    }

    /// Cable in stock.
    pub fn spools(&self) -> &[model::Spool] {
        self.ledger.note(Thing::List, List::Spools as usize);
        &self.job.spool
    }

    /// Mains circuits.
    pub fn circuits(&self) -> &[model::Circuit] {
        self.ledger.note(Thing::List, List::Circuits as usize);
        &self.job.circuit
    }

    /// Ways of picture and sound.
    pub fn signals(&self) -> &[model::Signal] {
        self.ledger.note(Thing::List, List::Signals as usize);
        &self.job.signal
    }

    /// What people do with the kit.
    pub fn activities(&self) -> &[model::Activity] {
        self.ledger.note(Thing::List, List::Activities as usize);
        &self.job.activity
    }

    /// Conduits, chases and closets.
    pub fn pathways(&self) -> &[model::Pathway] {
        &self.job.pathway
    }

    /// The system in which results are printed.
    pub fn units(&self) -> model::Units {
        self.job.units()
    }

    /// Where the house is.
    pub fn site(&self) -> Option<&model::Site> {
        self.job.site.as_ref()
    }

    /// What the crew's time costs.
    pub fn rates(&self) -> &model::Rates {
        &self.job.rates
    }
}
