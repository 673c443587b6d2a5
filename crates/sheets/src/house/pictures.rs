//! How large can each picture of a space be, how high can each display hang, and what stops them?

use std::collections::BTreeSet;

use analysis::Analysis;
use checks::Caution;
use finders::{DisplayPlace, LargestPicture, Stop};
use model::{Item, Kit, Space};
use units::Dimension;

use super::Set;
use super::place::label_of;
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// Whether a space has a picture to ask about.
pub(super) fn has_something(set: &Set<'_>, space: &Space) -> bool {
    !pictures(set, space).is_empty()
}

/// Sizes of its screens and displays, then heights of its displays.
pub(super) fn sheet(set: &Set<'_>, space: &Space) -> Sheet {
    let items = pictures(set, space);
    let mut contents = vec![words(String::new(), vec![super::ALTERNATIVES.to_owned()])];
    for (item, is_display) in &items {
        contents.extend(sizes(set.analysis, item));
        if *is_display {
            contents.extend(heights(set.analysis, item));
        }
    }
    let ids: BTreeSet<&str> = items.iter().map(|(item, _)| item.id.as_str()).collect();
    Sheet {
        contents,
        cautions: set.cautions(space, &ids, [Caution::Lifting, Caution::Drilling]),
        ..Sheet::default()
    }
}

/// Screens and displays, and which are displays.
fn pictures<'a>(set: &Set<'a>, space: &'a Space) -> Vec<(&'a Item, bool)> {
    let analysis = set.analysis;
    (analysis.items_in(space))
        .filter_map(|item| match analysis.kit_of(item)? {
            Kit::Screen(_) => Some((item, false)),
            Kit::Display(_) => Some((item, true)),
            _ => None,
        })
        .collect()
}

fn sizes(analysis: &Analysis, item: &Item) -> Vec<Content> {
    let heading = format!("How large: {}", label_of(item));
    let found = match finders::largest_picture(analysis, item) {
        Ok(found) => found,
        Err(missing) => return vec![words(heading, vec![format!("Open: needs {missing}.")])],
    };
    let planned = found.size_text(analysis, found.present_m);
    let mut said = vec![found.says(analysis)];
    said.push(match &found.order {
        Some(order) => format!(
            "The largest that every check lets pass: {} (planned: {planned}).",
            found.size_text(analysis, order.width_m)
        ),
        None => format!("Planned: {planned}."),
    });
    if !found.too_small.is_empty() {
        let stops = stop_list(&found.too_small);
        said.push(format!(
            "At the largest of them it is too small for {stops}."
        ));
    }
    said.extend(at_every("size", &found.always));
    let mut contents = vec![words(heading, said)];
    contents.extend(size_table(analysis, &found).map(Content::Table));
    contents
}

fn size_table(analysis: &Analysis, found: &LargestPicture) -> Option<Table> {
    let rows: Vec<Vec<String>> = (found.stops.iter())
        .map(|stop| {
            vec![
                found.size_text(analysis, stop.width_m),
                stop.stop.to_string(),
                stop.because.clone(),
            ]
        })
        .collect();
    (!rows.is_empty()).then(|| Table {
        heading: "What stops a larger picture: with one out of the way, the next".to_owned(),
        columns: columns(["Up to", "Then this stops it", "What it says just beyond"]),
        rows,
        total: Vec::new(),
    })
}

fn heights(analysis: &Analysis, item: &Item) -> Vec<Content> {
    let heading = format!("How high: {}", label_of(item));
    let found = match finders::display_place(analysis, item) {
        Ok(found) => found,
        Err(missing) => return vec![words(heading, vec![format!("Open: needs {missing}.")])],
    };
    let exact = |value: f64, dimension| analysis.exact(value, dimension);
    let planned = exact(found.present_m, Dimension::Length);
    let mut said = vec![found.says(analysis)];
    match &found.best {
        Some(best) => {
            let tilt = best.tilt_rad.map_or(String::new(), |tilt| {
                format!(", tilted {} down", exact(tilt, Dimension::Angle))
            });
            said.push(format!(
                "Best by the seats: its middle {} above the floor{tilt} (planned: {planned}).",
                exact(best.height_m, Dimension::Length)
            ));
            // With the display there, not where it is planned.
            said.push(best.because.clone());
        }
        None => said.push(format!("Planned: its middle {planned} above the floor.")),
    }
    said.retain(|words| !words.is_empty());
    said.extend(at_every("height", &found.always));
    let mut contents = vec![words(heading, said)];
    contents.extend(height_table(analysis, &found).map(Content::Table));
    contents
}

fn height_table(analysis: &Analysis, found: &DisplayPlace) -> Option<Table> {
    let end = |stop: &Option<Stop>| {
        let told = stop.as_ref().map(Stop::to_string);
        told.unwrap_or_else(|| "no further tried".to_owned())
    };
    let rows: Vec<Vec<String>> = (found.stretches.iter())
        .map(|stretch| {
            vec![
                stretch.text(analysis),
                end(&stretch.below),
                end(&stretch.above),
            ]
        })
        .collect();
    (!rows.is_empty()).then(|| Table {
        heading: "Heights of its middle above the floor".to_owned(),
        columns: columns(["From, to", "Lower: this stops it", "Higher: this stops it"]),
        rows,
        total: Vec::new(),
    })
}

/// What no size or height mends.
fn at_every(what: &str, always: &[Stop]) -> Option<String> {
    (!always.is_empty()).then(|| format!("At every {what} these fail: {}.", stop_list(always)))
}

fn stop_list(stops: &[Stop]) -> String {
    let told: Vec<String> = stops.iter().map(Stop::to_string).collect();
    told.join(", ")
}

fn words(heading: String, paragraphs: Vec<String>) -> Content {
    Content::Text {
        heading,
        paragraphs,
    }
}

fn columns(heads: [&str; 3]) -> Vec<Column> {
    heads.map(|head| Column::new(head, ColumnKind::Text)).into()
}
