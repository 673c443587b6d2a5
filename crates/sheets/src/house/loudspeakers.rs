//! Where can each loudspeaker go? Its patch on wall, ceiling or floor where it serves all seats.

use std::collections::BTreeSet;

use checks::Caution;
use drawing::{Case, PlaceRegion, RegionEdge};
use finders::{ChannelPlaces, LoudspeakerSpot, Patch};
use geometry::Point2;
use model::{LoudspeakerForm, Space};
use units::Dimension;

use super::page::Drawn;
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
        let planned = set.planned_at(space, item);
        let planned = planned.unwrap_or_else(|| "nowhere yet".to_owned());
        rows.extend(row(set, &found, planned));
        // Where no place serves there is nothing to draw.
        let patch = found.best.as_ref().and_then(|spot| {
            let mut patches = found.patches.iter();
            Some((spot, patches.find(|patch| patch.surface == spot.surface)?))
        });
        let Some((spot, patch)) = patch else {
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
        said.extend(spot.turned.clone());
    }
    for (region, remarks) in walls {
        let words = Drawn {
            lead: [super::ALTERNATIVES, HATCHED].map(str::to_owned).into(),
            remarks,
            may_shrink: true,
            ..Drawn::default()
        };
        let drawn = set.drawn(words, |area| drawing::place_region(&region, area));
        contents.extend(drawn.contents);
    }
    if !rows.is_empty() {
        let table = Table {
            heading: "Best by the seats, each alone: nearest to its printed direction over all of them; to its middle"
                .to_owned(),
            columns: vec![
                Column::new("What", ColumnKind::Text),
                Column::new("Could be", ColumnKind::Text),
                Column::new("Worst seat there, or what stops it", ColumnKind::Text),
                Column::new("Planned", ColumnKind::Text),
            ],
            rows,
            total: Vec::new(),
        };
        let alternatives = Content::Text {
            heading: String::new(),
            paragraphs: vec![super::ALTERNATIVES.to_owned()],
        };
        contents.splice(0..0, [alternatives, Content::Table(table)]);
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

/// What stops a loudspeaker that no place serves.
fn stopped(found: &ChannelPlaces) -> String {
    let labels: Vec<&str> = (found.stopped_by.iter())
        .map(|stop| stop.label.as_str())
        .collect();
    match labels.is_empty() {
        true => "several things together stop it".to_owned(),
        false => format!(
            "a place would if one of these were not: {}",
            labels.join(", ")
        ),
    }
}

fn title(patch: &Patch) -> String {
    match (patch.is_ceiling, patch.is_floor) {
        (true, _) => "Where loudspeakers can go in the ceiling, seen from above".to_owned(),
        (_, true) => "Where loudspeakers can stand on the floor, seen from above".to_owned(),
        _ => format!(
            "Where loudspeakers can go on {}, seen from inside",
            super::wall_words(&patch.surface)
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
    spot: &LoudspeakerSpot,
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
    let case = |at: Point2, label: String| {
        let [half, tall] = patch.half_m;
        Case {
            outline_m: [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
                .map(|(right, up)| [at.x + right * half, at.y + up * tall])
                .into(),
            lens_m: [at.x, at.y],
            label,
        }
    };
    region.cases.push(case(spot.at, found.label.clone()));
    if let Some((surface, at)) = &found.present
        && *surface == patch.surface
    {
        let label = format!("{}, planned", found.label);
        region.planned.push(case(*at, label));
    }
}

/// Where the best place is and who loses most there, or that there is none and why.
fn row(set: &Set<'_>, found: &ChannelPlaces, planned: String) -> Option<Vec<String>> {
    let Some(spot) = &found.best else {
        let none = "no place serves every seat".to_owned();
        return Some(vec![found.label.clone(), none, stopped(found), planned]);
    };
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
    let most = (spot.losses.iter()).max_by(|a, b| a.off_rad.total_cmp(&b.off_rad))?;
    Some(vec![
        found.label.clone(),
        format!("{}, {first}, {second}", words(&spot.surface)),
        format!("{}: {} off, allowed", most.seat, exact(most.off_rad)),
        planned,
    ])
}
