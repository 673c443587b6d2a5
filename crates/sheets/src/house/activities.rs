//! What does each button do, and which thing is joined to which?

use std::collections::BTreeMap;

use checks::{ActivityReport, ActivityTold};
use drawing::{Area, LineBox, LineLead, OneLine, RouteDash};
use model::{CableUse, Kit};

use super::Set;
use super::place::label_of;
use crate::{Column, ColumnKind, Content, Sheet, Table, drawing_areas};

/// Whether there is anything to say: activities, or leads between things.
pub(super) fn has_something(set: &Set<'_>) -> bool {
    !set.job().activity.is_empty()
}

/// The sheet: the diagram, then the buttons, then addresses.
pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let report = checks::activity_report(set.analysis);
    let mut contents = Vec::new();
    let areas = drawing_areas(set.paper, drawing::Scales::Metric);
    let diagram = diagram(set, &report);
    let draw = |area: &Area| drawing::one_line(&diagram, *area).ok();
    if let Some(drawing) = areas.iter().find_map(draw) {
        contents.push(Content::Drawing {
            drawing: Box::new(drawing),
            notes: vec![
                "On the next page: what each button does.".to_owned(),
                "Each line is one cable, from where its signal comes; loudspeakers stand together by zone."
                    .to_owned(),
            ],
            tables: Vec::new(),
        });
    }
    for told in &report.activities {
        contents.push(Content::Text {
            heading: told.label.clone(),
            paragraphs: words(told),
        });
        if !told.steps.is_empty() {
            contents.push(Content::Table(buttons(told)));
        }
    }
    if !report.network.is_empty() {
        contents.push(Content::Table(network(&report)));
    }
    Sheet {
        contents,
        ..Sheet::default()
    }
}

fn column(head: &str, kind: ColumnKind) -> Column {
    Column {
        head: head.to_owned(),
        kind,
    }
}

fn words(told: &ActivityTold) -> Vec<String> {
    let mut words = vec![format!("Plays in {}.", told.zones.join(", "))];
    if let Some(missing) = &told.missing {
        words.push(format!("Not known yet: {missing}."));
    }
    for (what, way) in [("Picture", &told.picture), ("Sound", &told.sound)] {
        if !way.is_empty() {
            words.push(format!("{what}: {}.", way.join("; ")));
        }
    }
    if !told.not_with.is_empty() {
        words.push(format!(
            "Not at the same time as {}.",
            told.not_with.join("; nor as ")
        ));
    }
    words
}

fn buttons(told: &ActivityTold) -> Table {
    let row = |(index, step): (usize, &checks::StepTold)| {
        vec![
            (index + 1).to_string(),
            step.label.clone(),
            if step.on { "on" } else { "off" }.to_owned(),
            step.input.clone().unwrap_or_else(|| "–".to_owned()),
            (step.by.clone()).unwrap_or_else(|| "nothing reaches it".to_owned()),
        ]
    };
    Table {
        heading: String::new(),
        columns: vec![
            column("Tried", ColumnKind::Tick),
            column("Step", ColumnKind::Number),
            column("Thing", ColumnKind::Text),
            column("Switch", ColumnKind::Text),
            column("Input", ColumnKind::Text),
            column("By", ColumnKind::Text),
        ],
        rows: told.steps.iter().enumerate().map(row).collect(),
        total: Vec::new(),
    }
}

fn network(report: &ActivityReport) -> Table {
    let row = |one: &checks::AddressTold| {
        vec![
            one.label.clone(),
            one.address.clone().unwrap_or_else(|| "–".to_owned()),
            one.cables.to_string(),
        ]
    };
    Table {
        heading: "On the network".to_owned(),
        columns: vec![
            column("Set", ColumnKind::Tick),
            column("Thing", ColumnKind::Text),
            column("Address", ColumnKind::Text),
            column("Cables", ColumnKind::Number),
        ],
        rows: report.network.iter().map(row).collect(),
        total: Vec::new(),
    }
}

/// Things by how many steps they are from a source, and every cable between them; a zone's
/// loudspeakers are one box.
fn diagram(set: &Set<'_>, report: &ActivityReport) -> OneLine {
    let analysis = set.analysis;
    let zone_of = |id: &str| -> Option<String> {
        let item = analysis.item(id)?;
        match analysis.kit_of(item)? {
            Kit::Loudspeaker(_) => Some(format!("zone {}", item.zone.as_deref()?)),
            _ => None,
        }
    };
    let node = |id: &str| zone_of(id).unwrap_or_else(|| id.to_owned());
    // Cables of one kind between the same two boxes are one line.
    let mut lines: BTreeMap<(String, String, RouteDash), Vec<String>> = BTreeMap::new();
    for lead in &report.leads {
        let ends = (node(&lead.from), node(&lead.to), dash(lead.carries));
        lines.entry(ends).or_default().push(lead.cable.clone());
    }
    let mut depth: BTreeMap<String, usize> = BTreeMap::new();
    for (from, to, _) in lines.keys() {
        depth.entry(from.clone()).or_default();
        depth.entry(to.clone()).or_default();
    }
    // As often as there are things: a ring of network cables ends too.
    for _ in 0..depth.len() {
        for (from, to, dash) in lines.keys() {
            let next = depth[from] + 1;
            if *dash != RouteDash::Short && depth[to] < next && next < depth.len() {
                depth.insert(to.clone(), next);
            }
        }
    }
    let names: Vec<&String> = depth.keys().collect();
    let label = |id: &str| match id.strip_prefix("zone ") {
        Some(zone) => {
            let zone = analysis.zone(zone);
            let name = zone.map_or(id, |zone| zone.name.as_deref().unwrap_or(&zone.id));
            let count = zone.map_or(0, |zone| analysis.loudspeakers_of(zone).count());
            match count {
                1 => format!("{name}: one loudspeaker"),
                count => format!("{name}: {count} loudspeakers"),
            }
        }
        None => analysis.item(id).map_or_else(|| id.to_owned(), label_of),
    };
    let index = |id: &str| {
        names
            .iter()
            .position(|name| *name == id)
            .unwrap_or_default()
    };
    let mut used: Vec<RouteDash> = lines.keys().map(|(_, _, dash)| *dash).collect();
    used.sort_unstable();
    used.dedup();
    OneLine {
        title: "Picture, sound, network and control".to_owned(),
        boxes: (names.iter())
            .map(|id| LineBox {
                id: (*id).clone(),
                label: label(id),
                column: depth[*id],
            })
            .collect(),
        leads: (lines.iter())
            .map(|((from, to, dash), cables)| LineLead {
                id: match cables.as_slice() {
                    [first, .., last] => format!("{first} … {last}"),
                    one => one.concat(),
                },
                from: index(from),
                to: index(to),
                dash: *dash,
            })
            .collect(),
        key: (used.into_iter())
            .map(|dash| {
                let words = match dash {
                    RouteDash::Solid => "loudspeaker",
                    RouteDash::Long => "video with its sound",
                    RouteDash::DashDot => "line, digital sound, antenna",
                    RouteDash::Short => "network and control",
                };
                (dash, words.to_owned())
            })
            .collect(),
    }
}

fn dash(carries: CableUse) -> RouteDash {
    match carries {
        CableUse::Loudspeaker => RouteDash::Solid,
        CableUse::Video => RouteDash::Long,
        CableUse::Line | CableUse::Coax => RouteDash::DashDot,
        CableUse::Network | CableUse::Control => RouteDash::Short,
    }
}
