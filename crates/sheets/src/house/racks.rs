//! What stands in which unit of each rack, and how full is each mains circuit?

use checks::{Area, Finding};
use drawing::{Bar, Bars, Rack, Racked};
use model::Item;
use units::Dimension;

use super::Set;
use super::about::caution_words;
use super::place::label_of;
use crate::{Column, ColumnKind, Content, Sheet, Table, drawing_areas};

/// Loads of circuits as they were proved.
fn circuits<'a>(set: &'a Set<'_>) -> Vec<&'a Finding> {
    (set.proof.findings.iter())
        .filter(|one| one.area == Area::Power && one.dimension == Dimension::Power)
        .filter(|one| one.value.is_some() && one.limit.is_some_and(|limit| limit > 0.0))
        .collect()
}

/// Whether there is a rack or a circuit to draw.
pub(super) fn has_something(set: &Set<'_>) -> bool {
    !checks::racks_told(set.analysis).is_empty() || !circuits(set).is_empty()
}

/// The sheet.
pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let areas = drawing_areas(set.paper, set.areas[0].scales);
    let mut contents = Vec::new();
    for told in checks::racks_told(set.analysis) {
        let Some(item) = set.analysis.item(&told.item) else {
            continue;
        };
        let rack = Rack {
            title: label_of(item),
            slots: told.slots,
            things: told.things.iter().map(|one| racked(set, one)).collect(),
        };
        // Standing first: racks are tall.
        let drawn = areas
            .iter()
            .rev()
            .find_map(|area| drawing::rack(&rack, *area).ok());
        let table = Table {
            heading: String::new(),
            columns: [
                ("Unit", ColumnKind::Number),
                ("Units high", ColumnKind::Number),
                ("Thing", ColumnKind::Text),
                ("Mass and heat", ColumnKind::Text),
            ]
            .into_iter()
            .map(|(head, kind)| Column::new(head, kind))
            .collect(),
            rows: (rack.things.iter())
                .map(|thing| {
                    vec![
                        thing.slot.to_string(),
                        thing.units.to_string(),
                        thing.label.clone(),
                        thing.beside.clone(),
                    ]
                })
                .collect(),
            total: Vec::new(),
        };
        let heat = heat(set, item);
        match drawn {
            Some(drawing) => contents.push(Content::Drawing {
                drawing: Box::new(drawing),
                notes: vec!["Units count from the bottom, 44.45 mm each.".to_owned()],
                tables: std::iter::once(table).chain(heat).collect(),
            }),
            None => contents.extend(std::iter::once(table).chain(heat).map(Content::Table)),
        }
    }
    let analysis = set.analysis;
    let bars: Vec<Bar> = (circuits(set).into_iter())
        .filter_map(|one| {
            let (value, limit) = (one.value.as_ref()?.value(), one.limit?);
            let print = |watts| analysis.exact(watts, Dimension::Power);
            Some(Bar {
                id: one.subject.id.clone(),
                label: one.subject.label.clone(),
                text: format!("{} of {}", print(value), print(limit)),
                share: value / limit,
            })
        })
        .collect();
    if !bars.is_empty() {
        let chart = Bars {
            title: "Load of each circuit".to_owned(),
            bars,
        };
        let drawn = areas
            .iter()
            .find_map(|area| drawing::bars(&chart, *area).ok());
        contents.extend(drawn.map(|drawing| Content::Drawing {
            drawing: Box::new(drawing),
            notes: Vec::new(),
            tables: Vec::new(),
        }));
    }
    // What is drawn comes first, and says that more follows.
    contents.sort_by_key(|content| !matches!(content, Content::Drawing { .. }));
    let more = contents.len() > 1;
    if let Some(Content::Drawing { notes, .. }) = contents.first_mut().filter(|_| more) {
        notes.insert(
            0,
            "On the next page: further racks and circuits.".to_owned(),
        );
    }
    Sheet {
        contents,
        cautions: caution_words([checks::Caution::Mains, checks::Caution::Heat].into()),
        ..Sheet::default()
    }
}

/// How warm it gets inside in each state of doors and air, against what is rated lowest.
fn heat(set: &Set<'_>, item: &Item) -> Option<Table> {
    let analysis = set.analysis;
    let states = checks::cupboard_states(analysis, item).into_iter();
    let rows: Vec<Vec<String>> = states
        .map(|state| {
            let inside = analysis.print(&state.inside, Dimension::Temperature);
            let mut row = vec![super::capital(state.words), inside];
            row.extend(match state.lowest {
                Some((label, rated)) => {
                    let spare = &rated - &state.inside;
                    let rated = analysis.print(&rated, Dimension::Temperature);
                    [
                        format!("{rated}, {label}"),
                        analysis.print(&spare, Dimension::TemperatureDifference),
                    ]
                }
                None => ["not known".to_owned(), "not known".to_owned()],
            });
            row
        })
        .collect();
    (!rows.is_empty()).then(|| Table {
        heading: "How warm it gets inside, everything running".to_owned(),
        columns: [
            ("Doors and air", ColumnKind::Text),
            ("Inside", ColumnKind::Number),
            ("Lowest rating inside", ColumnKind::Text),
            ("To spare", ColumnKind::Number),
        ]
        .into_iter()
        .map(|(head, kind)| Column::new(head, kind))
        .collect(),
        rows,
        total: Vec::new(),
    })
}

fn racked(set: &Set<'_>, told: &checks::RackedTold) -> Racked {
    let item = set.analysis.item(&told.item);
    Racked {
        id: told.item.clone(),
        label: item.map_or_else(|| told.label.clone(), label_of),
        beside: told.facts.clone(),
        slot: told.slot,
        units: told.units,
    }
}
