//! Questions about the things of a job by their names and by where they belong.

use model::{Cable, Catalogue, CupboardKit, Item, Kit, Space, Zone};

use crate::Analysis;
use crate::index::{KitAt, KitList};
use crate::reads::{List, Thing};

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

    /// As [`Analysis::items_in_where`], of an item and a number: a wall, say.
    pub fn items_in_where_and<'a>(
        &'a self,
        space: &Space,
        question: &'static str,
        number: usize,
        is_true: fn(&Self, &Item, usize) -> bool,
    ) -> impl Iterator<Item = &'a Item> {
        self.unread_items_in(space)
            .filter(move |item| self.settled_of_item_and(question, item, number, is_true))
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
