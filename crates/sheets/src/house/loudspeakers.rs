//! Where can each loudspeaker go? Its patch on wall, ceiling or floor where it serves all seats.

use std::collections::BTreeSet;

use checks::Caution;
use drawing::{Case, PlaceRegion, RegionEdge};
use finders::{ChannelPlaces, LoudspeakerSpot, Patch};
use model::{LoudspeakerForm, Space};
use units::Dimension;

use super::{Set, words};
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// Whether a space has a loudspeaker that plays a channel of a layout.
pub(super) fn has_something(set: &Set<'_>, space: &Space) -> bool {
    let has_no_channel = |form| {
        matches!(
            form,
            LoudspeakerForm::Landscape | LoudspeakerForm::Subwoofer
        )
    };
    let mut zones = (set.analysis.zones_in(space)).filter(|zone| zone.layout.is_some());
    !space.seat.is_empty()
        && zones.any(|zone| {
            let mut all = set.analysis.loudspeakers_of(zone);
            all.any(|(item, kit)| !kit.form.is_some_and(has_no_channel) && !item.existing)
        })
}

/// The sheet.
pub(super) fn sheet(set: &Set<'_>, space: &Space) -> Sheet {
    let analysis = set.analysis;
    let (mut contents, mut rows, mut open) = (Vec::new(), Vec::new(), Vec::new());
    let mut walls: Vec<(PlaceRegion, Vec<String>)> = Vec::new();
    let (mut ids, mut dangers) = (BTreeSet::new(), BTreeSet::<Caution>::new());
    let loudspeakers = (analysis.zones_in(space))
        .filter(|zone| zone.layout.is_some())
        .flat_map(|zone| analysis.loudspeakers_of(zone))
        .filter(|(item, kit)| kit.form != Some(LoudspeakerForm::Subwoofer) && !item.existing);
    for (item, _) in loudspeakers {
        let found = match finders::loudspeaker_place(analysis, item) {
            Ok(found) => found,
            Err(missing) => {
                open.push(format!(
                    "{}: needs {missing}.",
                    super::place::label_of(item)
                ));
                continue;
            }
        };
        ids.insert(item.id.as_str());
        dangers.extend(&found.cautions);
        open.extend(
            (found.needs.iter())
                .map(|need| format!("{}: not looked at, for want of {need}.", found.label)),
        );
        rows.extend(row(set, &found));
        let spot = found.best.as_ref().or(found.least_bad.as_ref());
        let shown = (spot.map(|spot| spot.surface.as_str()))
            .or(found.present.as_ref().map(|(surface, _)| surface.as_str()));
        let patch = found
            .patches
            .iter()
            .find(|patch| Some(patch.surface.as_str()) == shown);
        let Some(patch) = patch else {
            continue;
        };
        let at = walls
            .iter()
            .position(|(known, _)| known.title == title(patch));
        let at = at.unwrap_or_else(|| {
            walls.push((bare(patch), Vec::new()));
            walls.len() - 1
        });
        let (region, said) = &mut walls[at];
        draw_patch(region, &found, patch, spot);
        said.extend(notes(&found, spot));
    }
    for (region, mut notes) in walls {
        notes.insert(0, HATCHED.to_owned());
        let mut areas = set.areas.iter();
        let drawing = areas.find_map(|area| drawing::place_region(&region, *area).ok());
        if let Some(drawing) = drawing {
            contents.push(Content::Drawing {
                drawing: Box::new(drawing),
                notes,
                tables: Vec::new(),
            });
        }
    }
    if !rows.is_empty() {
        let table = Table {
            heading:
                "The place of each nearest to its printed direction over all seats, to its middle"
                    .to_owned(),
            columns: vec![
                Column::new("Fitted", ColumnKind::Tick),
                Column::new("What", ColumnKind::Text),
                Column::new("On", ColumnKind::Text),
                Column::new("First", ColumnKind::Text),
                Column::new("Second", ColumnKind::Text),
                Column::new("Worst seat", ColumnKind::Text),
            ],
            rows,
            total: Vec::new(),
        };
        contents.insert(0, Content::Table(table));
    }
    if !open.is_empty() {
        open.sort();
        open.dedup();
        contents.push(Content::List {
            heading: "Not known yet".to_owned(),
            items: open,
        });
    }
    Sheet {
        contents,
        cautions: set.cautions(space, &ids, dangers),
        ..Sheet::default()
    }
}

const HATCHED: &str = "Hatched: where the middle of each serves every seat and nothing is in the way; studs, joists and blocks are left out by their width. Each edge says what stops it there.";

/// What a reader must know of a loudspeaker that no place serves, and of the place drawn.
fn notes(found: &ChannelPlaces, spot: Option<&LoudspeakerSpot>) -> Vec<String> {
    let mut notes = Vec::new();
    if found.best.is_none() {
        let labels: Vec<&str> = (found.stopped_by.iter())
            .map(|stop| stop.label.as_str())
            .collect();
        let why = match labels.is_empty() {
            true => "several things together stop it".to_owned(),
            false => format!("one would if one of these were not: {}", labels.join(", ")),
        };
        notes.push(format!(
            "{}: no place serves every seat; {why}. Drawn is the place whose worst seat loses least.",
            found.label
        ));
        notes.extend(spot.map(|spot| spot.because.clone()));
    }
    notes.extend(spot.and_then(|spot| spot.turned.clone()));
    notes.retain(|note| !note.is_empty());
    notes
}

fn title(patch: &Patch) -> String {
    match (patch.is_ceiling, patch.is_floor) {
        (true, _) => "Where loudspeakers can go in the ceiling, seen from above".to_owned(),
        (_, true) => "Where loudspeakers can stand on the floor, seen from above".to_owned(),
        _ => format!(
            "Where loudspeakers can go on wall {}, seen from inside",
            words(&patch.surface)
        ),
    }
}

fn bare(patch: &Patch) -> PlaceRegion {
    PlaceRegion {
        title: title(patch),
        corners_m: (patch.outline.iter())
            .map(|corner| [corner.x, corner.y])
            .collect(),
        ..PlaceRegion::default()
    }
}

fn draw_patch(
    region: &mut PlaceRegion,
    found: &ChannelPlaces,
    patch: &Patch,
    spot: Option<&LoudspeakerSpot>,
) {
    let stops = &mut region.stops;
    let mut number = |stop: &finders::Stop| {
        (!stop.is_framing()).then(|| {
            let words = format!("{}: {}", found.label, stop.label);
            (stops.iter().position(|known| *known == words)).unwrap_or_else(|| {
                stops.push(words);
                stops.len() - 1
            })
        })
    };
    for part in &patch.region.parts {
        let rings = part.rings.iter().map(|ring| {
            ring.iter()
                .map(|edge| RegionEdge {
                    from_m: [edge.from.x, edge.from.y],
                    to_m: [edge.to.x, edge.to.y],
                    stop: edge.stop.as_ref().and_then(&mut number),
                })
                .collect()
        });
        region.parts.push(rings.collect());
    }
    let Some(spot) = spot.filter(|spot| spot.surface == patch.surface) else {
        return;
    };
    let [half, tall] = patch.half_m;
    let corner = |right: f64, up: f64| [spot.at.x + right * half, spot.at.y + up * tall];
    region.cases.push(Case {
        outline_m: vec![
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ],
        lens_m: [spot.at.x, spot.at.y],
        label: found.label.clone(),
    });
}

/// Where the place to use is, and who loses most there.
fn row(set: &Set<'_>, found: &ChannelPlaces) -> Option<Vec<String>> {
    let spot = found.best.as_ref().or(found.least_bad.as_ref())?;
    let table = (spot.edits.iter())
        .filter_map(|edit| edit.set.as_ref())
        .find(|set| set.is_object())?;
    let text = |key: &str| table.get(key).and_then(|value| value.as_str());
    let off = |key: &str| {
        let pair = table.get(key)?;
        let (wall, length) = (pair.get(0)?.as_str()?, pair.get(1)?.as_str()?);
        Some(format!("{length} off {}", words(wall)))
    };
    let [first, second] = match (text("from_left"), text("height")) {
        (Some(from_left), Some(height)) => [
            format!("{from_left} from its left corner"),
            format!("{height} up"),
        ],
        _ => [off("from")?, off("and")?],
    };
    let exact = |value: f64| set.analysis.exact(value, Dimension::Angle);
    let worst = (spot.losses.iter()).max_by(|a, b| {
        (a.out_rad, a.off_rad)
            .partial_cmp(&(b.out_rad, b.off_rad))
            .unwrap_or(std::cmp::Ordering::Equal)
    })?;
    let loses = match worst.out_rad > 1e-4 {
        true => format!("{}: {} too far", worst.seat, exact(worst.out_rad)),
        false => {
            let most = (spot.losses.iter()).max_by(|a, b| a.off_rad.total_cmp(&b.off_rad))?;
            format!("{}: {} off, allowed", most.seat, exact(most.off_rad))
        }
    };
    Some(vec![
        found.label.clone(),
        words(&spot.surface),
        first,
        second,
        loses,
    ])
}
