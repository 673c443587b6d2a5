//! Do items, zones, signals, cables and changed limits point to things that exist?

use std::collections::BTreeMap;
use std::rc::Rc;

use super::names::{Names, in_rings};
use super::space::Within;
use super::{Pointer, Sense};
use crate::read::{LimitName, shown};
use crate::{Anchor, Item, Space};

/// Things stand in things, but nothing stands in a cupboard in a cupboard in … for ever.
const INSIDE_MAX: usize = 8;

impl<'a> Sense<'a> {
    pub(super) fn item(&mut self, item: &'a Item) {
        let path = format!("item.{}", item.id);
        self.item_links(item, &path);
        let places = [
            item.on.is_some(),
            item.at.is_some(),
            item.hung.is_some(),
            item.inside.is_some(),
        ];
        if places.iter().filter(|given| **given).count() > 1 {
            self.found.report(
                path.clone(),
                format!("`{}` is in two places at once", item.id),
                "one of `on`, `at`, `hung` and `in`",
            );
        }
        let Some(space) = self.space_of(item) else {
            if item.is_placed() && item.space.is_none() {
                self.found.report(
                    path,
                    format!("`{}` has a place but no space", item.id),
                    "`space = \"…\"`, one of the job's spaces",
                );
            }
            return;
        };
        self.item_in_space(item, space, &path);
    }

    fn item_links(&mut self, item: &Item, path: &str) {
        let known = &self.known;
        let links = [
            ("is", "catalogue entry", Some(&item.is), &known.kit),
            ("space", "space", item.space.as_ref(), &known.space),
            ("mount", "item", item.mount.as_ref(), &known.item),
            ("lights", "item", item.lights.as_ref(), &known.item),
            ("under", "item", item.under.as_ref(), &known.item),
            ("adapter", "item", item.adapter.as_ref(), &known.item),
            ("in", "item", item.inside.as_ref(), &known.item),
            (
                "plugged_into",
                "item",
                item.plugged_into.as_ref(),
                &known.item,
            ),
            ("driven_by", "item", item.driven_by.as_ref(), &known.item),
            ("zone", "zone", item.zone.as_ref(), &known.zone),
            ("circuit", "circuit", item.circuit.as_ref(), &known.circuit),
        ];
        for (field, what, link, names) in links {
            if let Some(link) = link {
                let pointer = Pointer::new(format!("{path}.{field}"), what, link);
                self.found.unless_known(pointer, names);
            }
        }
    }

    fn item_in_space(&mut self, item: &Item, space: &'a Space, path: &str) {
        let places = item.on.is_some() || item.at.is_some() || item.hung.is_some();
        if !places && item.reuses.is_none() {
            return;
        }
        let within = self.within(space);
        if let Some(reuses) = &item.reuses {
            let what = format!("fixture of `{}` called", space.id);
            let pointer = Pointer::new(format!("{path}.reuses"), &what, reuses);
            self.found.unless_known(pointer, &within.fixtures);
        }
        if let Some(on) = &item.on {
            // The width may hang on other facts (a screen's diagonal): the checks look at it.
            let at = format!("{path}.on");
            self.on_wall(&at, &within, on, None, Anchor::Centre, &item.id);
        }
        if let Some(place) = &item.at {
            self.two_walls(&format!("{path}.at"), &within, &place.from, &place.and);
        }
        if let Some(turned) = &item.turned {
            self.wall(format!("{path}.turned.wall"), &within, &turned.wall);
        }
        if let Some(place) = &item.hung {
            self.two_walls(&format!("{path}.hung"), &within, &place.from, &place.and);
        }
    }

    fn within(&mut self, space: &'a Space) -> Rc<Within<'a>> {
        let made = self.within.entry(&space.id);
        Rc::clone(made.or_insert_with(|| Rc::new(Within::new(space))))
    }

    /// As `Job::space_of`, in as many steps as there are things around the item.
    fn space_of(&self, item: &'a Item) -> Option<&'a Space> {
        let mut holder = item;
        for _ in 0..=INSIDE_MAX {
            if let Some(space) = &holder.space {
                return self.known.spaces.get(space.as_str()).copied();
            }
            match (holder.inside.as_deref()).and_then(|id| self.known.items.get(id)) {
                Some(next) => holder = next,
                None => break,
            }
        }
        let only = self.job.space.len() == 1 && holder.is_placed();
        self.job
            .space
            .first()
            .filter(|_| only)
            .map(|space| &**space)
    }

    /// Nothing is inside itself, however many cupboards are between.
    pub(super) fn containment(&mut self) {
        let job = self.job;
        let holder: BTreeMap<&str, &str> = (job.item.iter())
            .filter_map(|item| Some((item.id.as_str(), item.inside.as_deref()?)))
            .collect();
        let rings = in_rings(&holder);
        for id in &rings {
            self.found.report(
                format!("item.{id}.in"),
                format!("`{id}` is inside itself"),
                "a cupboard or rack that is not inside it",
            );
        }
        for id in holder.keys() {
            let mut around = std::iter::successors(Some(*id), |id| holder.get(id).copied());
            if let Some(outer) = around.nth(INSIDE_MAX + 1)
                && rings.binary_search(&outer).is_err()
            {
                self.found.report(
                    format!("item.{id}.in"),
                    format!("`{id}` is inside more than {INSIDE_MAX} things, one in the other"),
                    format!("at most {INSIDE_MAX} cupboards and racks around one another"),
                );
            }
        }
    }

    pub(super) fn zones_and_signals(&mut self) {
        let job = self.job;
        for zone in job.zone.iter() {
            let path = format!("zone.{}", zone.id);
            let pointer = Pointer::new(format!("{path}.space"), "space", &zone.space);
            self.found.unless_known(pointer, &self.known.space);
            for (index, item) in zone.amplifiers.iter().enumerate() {
                let pointer = Pointer::new(format!("{path}.amplifiers.{index}"), "item", item);
                self.found.unless_known(pointer, &self.known.item);
            }
            if let Some(item) = &zone.faces {
                let pointer = Pointer::new(format!("{path}.faces"), "item", item);
                self.found.unless_known(pointer, &self.known.item);
            }
        }
        for signal in job.signal.iter() {
            let path = format!("signal.{}.through", signal.id);
            for (index, item) in signal.through.iter().enumerate() {
                let pointer = Pointer::new(format!("{path}.{index}"), "item", item);
                self.found.unless_known(pointer, &self.known.item);
            }
            if signal.through.len() < 2 {
                self.found.report(
                    path,
                    "a signal goes from one item to another".into(),
                    "two items or more, from source to picture",
                );
            }
        }
    }

    pub(super) fn cables(&mut self) {
        const KIND: &str = "kind of cable";
        let job = self.job;
        for cable in &job.cable {
            let path = format!("cable.{}", cable.id);
            let pointer = Pointer::new(format!("{path}.kind"), KIND, &cable.kind);
            self.found.unless_known(pointer, &self.known.cable_kind);
            for (field, end) in [("from", &cable.from), ("to", &cable.to)] {
                let (item, port) = end.split_at(end.find('.').unwrap_or(end.len()));
                let pointer = Pointer::new(format!("{path}.{field}"), "item", item);
                self.found
                    .unless_known(pointer.followed_by(port), &self.known.item);
            }
            if let Some(spool) = &cable.spool {
                let pointer = Pointer::new(format!("{path}.spool"), "spool", spool);
                self.found.unless_known(pointer, &self.known.spool);
            }
            if let Some(existing) = &cable.existing {
                let pointer = Pointer::new(format!("{path}.existing"), "fixture", existing);
                self.found.unless_known(pointer, &self.known.fixture);
            }
            self.goes_round(cable, &path);
        }
        for spool in job.spool.iter() {
            let at = format!("spool.{}.kind", spool.id);
            let pointer = Pointer::new(at, KIND, &spool.kind);
            self.found.unless_known(pointer, &self.known.cable_kind);
        }
    }

    fn goes_round(&mut self, cable: &crate::Cable, path: &str) {
        for (index, round) in cable.goes_round.iter().enumerate() {
            let at = format!("{path}.goes_round.{index}");
            let pointer = Pointer::new(format!("{at}.space"), "space", &round.space);
            self.found.unless_known(pointer, &self.known.space);
            let Some(space) = self.known.spaces.get(round.space.as_str()).copied() else {
                continue;
            };
            let is_level = matches!(round.of.as_str(), "ceiling" | "floor");
            match round.part {
                crate::FramingPart::Joists if !is_level => self.found.report(
                    format!("{at}.of"),
                    format!("wall `{}` has no joists", round.of),
                    "`ceiling` or `floor`",
                ),
                crate::FramingPart::Joists => {}
                _ => {
                    let within = self.within(space);
                    self.wall(format!("{at}.of"), &within, &round.of);
                }
            }
        }
    }

    pub(super) fn rules(&mut self, limits: &[LimitName]) {
        let rules = &self.job.rules;
        let names: Names = limits.iter().map(|limit| limit.name).collect();
        for (name, text) in &rules.limits {
            let at = format!("rules.{}", shown(name));
            match limits.iter().find(|limit| limit.name == name) {
                None => {
                    let pointer = Pointer::new(at, "limit", name).in_key();
                    self.found.unless_known(pointer, &names);
                }
                Some(limit) => {
                    if let Err(error) = units::read(text, limit.dimension) {
                        self.found.report(at, error.message, error.accepted);
                    }
                }
            }
        }
        // A limit with a slip in its name lacks its reason only until the slip is mended.
        if !rules.limits.keys().all(|name| names.contains(name)) {
            return;
        }
        let changed: Names = rules.limits.keys().map(String::as_str).collect();
        for name in rules.reason.keys() {
            let at = format!("rules.reason.{name}");
            let pointer = Pointer::new(at, "changed limit", name).in_key();
            self.found.unless_known(pointer, &changed);
        }
    }
}
