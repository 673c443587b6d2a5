//! What goes into the van?

use std::collections::BTreeMap;

use model::Kit;
use units::Dimension;

use super::cable::Supply;
use super::{Set, words};
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// The parts list; without contents when nothing comes into the house.
pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let tables = [kit(set), cables(set)].into_iter().flatten();
    Sheet {
        contents: tables.map(Content::Table).collect(),
        ..Sheet::default()
    }
}

fn kit(set: &Set<'_>) -> Option<Table> {
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    for item in set.job().item.iter().filter(|item| !item.existing) {
        let count = counts.entry(&item.is).or_default();
        *count = count.saturating_add(item.count.unwrap_or(1));
    }
    if counts.is_empty() {
        return None;
    }
    let analysis = set.analysis;
    let (mut mass_kg, mut watts) = (0.0, 0.0);
    let (mut weighed, mut rated) = (true, true);
    let mut rows = Vec::new();
    // In the order of the catalogue, which keeps kinds together.
    let listed = set
        .job()
        .kit
        .all()
        .filter_map(|kit| Some((kit, *counts.get(kit.common().id.as_str())?)));
    for (kit, count) in listed {
        let common = kit.common();
        let times = f64::from(count);
        let mass = analysis
            .number(common.mass.as_ref())
            .map(|mass| mass.value());
        let power = analysis
            .number(common.watts.as_ref())
            .map(|power| power.value());
        mass_kg += times * mass.unwrap_or(0.0);
        watts += times * power.unwrap_or(0.0);
        weighed &= mass.is_some() || matches!(kit, Kit::Cable(_) | Kit::Plate(_));
        rated &= power.is_some() || !draws_power(kit);
        let printed = |value: Option<f64>, dimension| {
            value.map_or("–".to_owned(), |value| analysis.exact(value, dimension))
        };
        rows.push(vec![
            common.name.clone().unwrap_or_else(|| common.id.clone()),
            words(kit.kind()),
            count.to_string(),
            printed(mass, Dimension::Mass),
            printed(mass.map(|mass| mass * times), Dimension::Mass),
            printed(power, Dimension::Power),
        ]);
    }
    let sum = |known: bool, value: f64, dimension| match known {
        true => analysis.exact(value, dimension),
        false => format!("over {}", analysis.exact(value, dimension)),
    };
    Some(Table {
        heading: "Kit; what is in the house already is left out".to_owned(),
        columns: vec![
            Column::new("In van", ColumnKind::Tick),
            Column::new("Part", ColumnKind::Text),
            Column::new("Kind", ColumnKind::Text),
            Column::new("Count", ColumnKind::Number),
            Column::new("Mass of each", ColumnKind::Number),
            Column::new("Mass", ColumnKind::Number),
            Column::new("Power of each", ColumnKind::Number),
        ],
        rows,
        total: vec![
            "All together".to_owned(),
            String::new(),
            counts
                .values()
                .fold(0, |sum: u32, count| sum.saturating_add(*count))
                .to_string(),
            String::new(),
            sum(weighed, mass_kg, Dimension::Mass),
            sum(rated, watts, Dimension::Power),
        ],
    })
}

/// Whether a spec sheet of that kind states mains power.
fn draws_power(kit: Kit<'_>) -> bool {
    matches!(
        kit,
        Kit::Projector(_) | Kit::Display(_) | Kit::Amplifier(_) | Kit::Device(_)
    )
}

/// Cable to cut by kind, and ready-made leads by kind.
fn cables(set: &Set<'_>) -> Option<Table> {
    #[derive(Default)]
    struct Sum {
        count: usize,
        cut_m: f64,
        ready: usize,
    }
    let mut kinds: BTreeMap<&str, Sum> = BTreeMap::new();
    for cable in &set.job().cable {
        match set.supply(cable) {
            Supply::Existing => continue,
            Supply::Cut(length_m) => {
                let sum = kinds.entry(&cable.kind).or_default();
                sum.count += 1;
                sum.cut_m += length_m;
            }
            Supply::ReadyMade(_) | Supply::Unknown => {
                let sum = kinds.entry(&cable.kind).or_default();
                sum.count += 1;
                sum.ready += 1;
            }
        }
    }
    let row = |(kind, sum): (&&str, &Sum)| {
        let price = (set.job().kit.cable.iter())
            .find(|kit| kit.common.id == **kind)
            .and_then(|kit| kit.price_per_metre);
        let money = price
            .filter(|_| sum.cut_m > 0.0)
            .and_then(|price| set.money(price * sum.cut_m));
        vec![
            set.cable_kind(kind),
            sum.count.to_string(),
            match sum.cut_m > 0.0 {
                true => set.analysis.exact(sum.cut_m, Dimension::Length),
                false => "–".to_owned(),
            },
            money.unwrap_or_else(|| "–".to_owned()),
        ]
    };
    (!kinds.is_empty()).then(|| Table {
        heading: "Cable".to_owned(),
        columns: vec![
            Column::new("In van", ColumnKind::Tick),
            Column::new("Cable", ColumnKind::Text),
            Column::new("Pieces", ColumnKind::Number),
            Column::new("To cut", ColumnKind::Number),
            Column::new("Price", ColumnKind::Number),
        ],
        rows: kinds.iter().map(row).collect(),
        total: Vec::new(),
    })
}
