//! What does each button do, and which thing is joined to which?

use checks::{ActivityReport, ActivityTold, Carried};
use drawing::{Area, LineBox, LineLead, OneLine, RouteDash};

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
            Column::new("Tried", ColumnKind::Tick),
            Column::new("Step", ColumnKind::Number),
            Column::new("Thing", ColumnKind::Text),
            Column::new("Switch", ColumnKind::Text),
            Column::new("Input", ColumnKind::Text),
            Column::new("By", ColumnKind::Text),
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
            Column::new("Set", ColumnKind::Tick),
            Column::new("Thing", ColumnKind::Text),
            Column::new("Address", ColumnKind::Text),
            Column::new("Cables", ColumnKind::Number),
        ],
        rows: report.network.iter().map(row).collect(),
        total: Vec::new(),
    }
}

/// Things by how many steps they are from a source, and every cable between them; a zone's
/// loudspeakers are one box.
fn diagram(set: &Set<'_>, report: &ActivityReport) -> OneLine {
    let analysis = set.analysis;
    let told = checks::signal_diagram(analysis, &report.leads);
    let mut used: Vec<Carried> = told.leads.iter().map(|lead| lead.carries).collect();
    used.sort_unstable();
    used.dedup();
    OneLine {
        title: "Picture, sound, network and control".to_owned(),
        boxes: (told.boxes.iter())
            .map(|one| LineBox {
                id: one.id.clone(),
                label: (analysis.item(&one.id)).map_or_else(|| one.label.clone(), label_of),
                column: one.column,
            })
            .collect(),
        leads: (told.leads.iter())
            .map(|lead| LineLead {
                id: lead.words(),
                from: lead.from,
                to: lead.to,
                dash: dash(lead.carries),
            })
            .collect(),
        key: (used.into_iter())
            .map(|carries| (dash(carries), carries.words().to_owned()))
            .collect(),
    }
}

fn dash(carries: Carried) -> RouteDash {
    match carries {
        Carried::Loudspeaker => RouteDash::Solid,
        Carried::Video => RouteDash::Long,
        Carried::Line => RouteDash::DashDot,
        Carried::Network => RouteDash::Short,
    }
}
