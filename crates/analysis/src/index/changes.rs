//! Everything in which an edited copy differs from its original.

use std::rc::Rc;
use std::sync::Arc;

use model::{Cable, Item, Job};

use crate::index::{Index, item_ends, pairs};
use crate::reads::{Changes, List, Reads, Thing};
use crate::{item_label, parts};

/// Whether two items differ in nothing but where they are and which way they look.
fn same_but_for_place(a: &Item, b: &Item) -> bool {
    a.name == b.name && same_beyond_name_and_place(a, b)
}

/// Whether two items differ in their names and nothing else.
fn same_but_for_name(a: &Item, b: &Item) -> bool {
    a.name != b.name && same_beyond_name_and_place(a, b) && same_place(a, b)
}

/// Whether two items are written to be at the same place and to look the same way.
fn same_place(a: &Item, b: &Item) -> bool {
    a.on == b.on
        && a.at == b.at
        && a.hung == b.hung
        && a.tilt == b.tilt
        && a.turn == b.turn
        && a.aim == b.aim
        && a.turned == b.turned
}

/// Whether two items differ in nothing but their names, where they are and which way they look.
fn same_beyond_name_and_place(a: &Item, b: &Item) -> bool {
    // Every field by name: a new one has to be told where it belongs.
    let Item {
        id,
        is,
        name: _,
        space,
        on: _,
        at: _,
        hung: _,
        inside,
        lights,
        mount,
        adapter,
        loose_cable,
        shows,
        under,
        tilt: _,
        turn: _,
        aim: _,
        turned: _,
        tap,
        bass,
        zone,
        channel,
        driven_by,
        sound_delay,
        plugged_into,
        start_delay,
        slot,
        circuit,
        reuses,
        existing,
        count,
        note,
    } = a;
    *id == b.id
        && *is == b.is
        && *space == b.space
        && *inside == b.inside
        && *lights == b.lights
        && *mount == b.mount
        && *adapter == b.adapter
        && *loose_cable == b.loose_cable
        && *shows == b.shows
        && *under == b.under
        && *tap == b.tap
        && *bass == b.bass
        && *zone == b.zone
        && *channel == b.channel
        && *driven_by == b.driven_by
        && *sound_delay == b.sound_delay
        && *plugged_into == b.plugged_into
        && *start_delay == b.start_delay
        && *slot == b.slot
        && *circuit == b.circuit
        && *reuses == b.reuses
        && *existing == b.existing
        && *count == b.count
        && *note == b.note
}

/// Whether two cables differ in nothing but what they are made of and cut from.
fn same_run(a: &Cable, b: &Cable) -> bool {
    // Every field by name: a new one has to be told where it belongs.
    let Cable {
        id,
        kind: _,
        from,
        to,
        way,
        keeps_out_of,
        goes_round,
        legs,
        service_loop,
        slack,
        existing,
        fixed: _,
        length: _,
        spool: _,
    } = a;
    *id == b.id
        && *from == b.from
        && *to == b.to
        && *way == b.way
        && *keeps_out_of == b.keeps_out_of
        && *goes_round == b.goes_round
        && *legs == b.legs
        && *service_loop == b.service_loop
        && *slack == b.slack
        && *existing == b.existing
}

/// Whether two lists hold the same; one that both share does.
fn same_list<T: PartialEq>(old: &Arc<Vec<T>>, new: &Arc<Vec<T>>) -> bool {
    Arc::ptr_eq(old, new) || old == new
}

/// Everything in which an edited copy differs from its original, and what newcomers join.
pub(crate) fn changes(old: (&Job, &Index), new: (&Job, &Index)) -> Changes {
    let ((old, old_index), (new, new_index)) = (old, new);
    let same_house = old.format == new.format
        && old.job == new.job
        && old.site == new.site
        && old.survey == new.survey
        && old.rates == new.rates
        && same_list(&old.pathway, &new.pathway)
        && old.rules == new.rules;
    let grown = old.item.len() <= new.item.len() && old.cable.len() <= new.cable.len();
    let same_lists = grown
        && old.space.len() == new.space.len()
        && old.zone.len() == new.zone.len()
        && pairs(&old.item, &new.item).all(|(a, b)| a.id == b.id)
        && pairs(&old.cable, &new.cable).all(|(a, b)| a.id == b.id)
        && pairs(&old.space, &new.space).all(|(a, b)| a.id == b.id)
        && (old.zone.iter().zip(new.zone.iter())).all(|(a, b)| a.id == b.id && a.space == b.space)
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
    for (at, (a, b)) in old.zone.iter().zip(new.zone.iter()).enumerate() {
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
    let (before, after) = (&old_index.groups, &new_index.groups);
    let same_homes = Rc::ptr_eq(before, after);
    let zone_of = |index: &Index, item: &Item| {
        let id = item.zone.as_deref()?;
        index.names.zone.get(id).copied()
    };
    for at in 0..new.item.len() {
        let (a, b) = (old.item.get(at), &new.item[at]);
        if same_homes && a.is_some_and(|a| Arc::ptr_eq(a, b)) {
            continue;
        }
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
        if same_homes && a.is_some_and(|a| Arc::ptr_eq(a, b)) {
            continue;
        }
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
        (List::Spools, !same_list(&old.spool, &new.spool)),
        (List::Circuits, !same_list(&old.circuit, &new.circuit)),
        (List::Signals, !same_list(&old.signal, &new.signal)),
        (List::Activities, !same_list(&old.activity, &new.activity)),
    ];
    for (list, _) in lists.into_iter().filter(|(_, differs)| *differs) {
        changed.note(Thing::List, list as usize);
    }
    Changes::with_names(changed, renamed)
}

#[cfg(test)]
mod tests {
    //! What is told apart field by field is what whole copies tell apart.

    use model::{Cable, Edit, Item, Job};

    use super::{same_but_for_name, same_but_for_place, same_run};

    const JOB: &str = r#"
format = 1
[job]
name = "One room"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
[[kit.display]]
id = "tv-kit"
[[kit.cable]]
id = "cord"
carries = "video"
[[item]]
id = "tv"
is = "tv-kit"
name = "Television"
on = { wall = "north", from_left = "3 m", height = "1.2 m" }
[[item]]
id = "box"
is = "tv-kit"
[[cable]]
id = "cable"
kind = "cord"
from = "box"
to = "tv"
"#;

    fn edited(job: &Job, at: &str, value: &str) -> Job {
        let edit = Edit::set(
            at,
            serde_json::from_str::<serde_json::Value>(value).unwrap(),
        );
        job.edited(&[edit]).expect("the edit can be made")
    }

    #[test]
    fn items_are_told_apart_as_copies_of_them_would_be() {
        let job = model::read(JOB, &[]).expect("the job reads");
        let old = &*job.item[0];
        let mut told = [0; 2];
        for (at, value) in [
            ("name", "\"Screen\""),
            ("name", "\"Television\""),
            ("on.height", "\"1.3 m\""),
            ("on.height", "\"1.2 m\""),
            (
                "at",
                "{ \"from\": [\"north\", \"1 m\"], \"and\": [\"west\", \"1 m\"] }",
            ),
            ("tilt", "\"3 deg\""),
            ("turn", "\"3 deg\""),
            ("space", "\"den\""),
            ("in", "\"box\""),
            ("zone", "\"den\""),
            ("tap", "\"10 W\""),
            ("sound_delay", "\"10 ms\""),
            ("slot", "2"),
            ("existing", "true"),
            ("count", "2"),
            ("note", "\"old\""),
        ] {
            let job = edited(&job, &format!("item.tv.{at}"), value);
            let renamed = edited(&job, "item.tv.name", "\"Another\"");
            for new in [&*job.item[0], &*renamed.item[0]] {
                let there = Item {
                    on: new.on.clone(),
                    at: new.at.clone(),
                    hung: new.hung.clone(),
                    tilt: new.tilt.clone(),
                    turn: new.turn.clone(),
                    aim: new.aim.clone(),
                    turned: new.turned.clone(),
                    ..old.clone()
                };
                let called = Item {
                    name: new.name.clone(),
                    ..old.clone()
                };
                let moved = there == *new;
                let renamed = called == *new && old.name != new.name;
                assert_eq!(same_but_for_place(old, new), moved, "{at}: {value}");
                assert_eq!(same_but_for_name(old, new), renamed, "{at}: {value}");
                told[0] += usize::from(moved);
                told[1] += usize::from(renamed);
            }
        }
        assert!(told.iter().all(|told| *told > 2), "{told:?}");
    }

    #[test]
    fn cables_are_told_apart_as_copies_of_them_would_be() {
        let job = model::read(JOB, &[]).expect("the job reads");
        let old = &*job.cable[0];
        for (at, value) in [
            ("kind", "\"thicker\""),
            ("fixed", "true"),
            ("length", "\"4 m\""),
            ("spool", "\"drum\""),
            ("from", "\"tv\""),
            ("to", "\"box\""),
            ("slack", "0.2"),
            ("service_loop", "\"1 m\""),
            ("existing", "\"grey\""),
        ] {
            let job = edited(&job, &format!("cable.cable.{at}"), value);
            let new = &*job.cable[0];
            let made_alike = Cable {
                kind: new.kind.clone(),
                fixed: new.fixed,
                length: new.length.clone(),
                spool: new.spool.clone(),
                ..old.clone()
            };
            assert_eq!(same_run(old, new), made_alike == *new, "{at}: {value}");
        }
    }
}
