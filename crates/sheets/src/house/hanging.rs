//! Where can the projector hang? Its region from above and the room cut along the beam.

use std::collections::BTreeSet;

use analysis::{Analysis, ProjectorPlace, Vector2};
use checks::Caution;
use drawing::{Case, PlaceRegion, RegionEdge, Section};
use finders::{Height, ProjectorRegion};
use geometry::{Ceiling, Point2};
use model::{Item, Kit, Space};

use super::page::Drawn;
use super::{Set, ceiling, words};
use crate::{Column, ColumnKind, Sheet, Table};

/// How finely the section is followed, m.
const STEP_M: f64 = 0.02;
/// From the eyes to the crown, m (from memory, ISO 7250-1 sitting height less eye height).
const CROWN_ABOVE_EYES_M: f64 = 0.12;

/// The projectors of a space that a sheet is made of.
pub(super) fn projectors<'a>(set: &Set<'a>, space: &'a Space) -> Vec<&'a Item> {
    (set.analysis.items_in(space))
        .filter(|item| matches!(set.analysis.kit_of(item), Some(Kit::Projector(_))))
        .collect()
}

/// The sheet of one projector.
pub(super) fn sheet(set: &Set<'_>, space: &Space, item: &Item) -> Sheet {
    let analysis = set.analysis;
    let title = format!(
        "{}, where {} can hang",
        space.label(),
        super::place::label_of(item)
    );
    let ids = BTreeSet::from([item.id.as_str()]);
    let words_of = |remarks: Vec<String>, setting_out| Drawn {
        cautions: set.cautions(space, &ids, [Caution::Ladder, Caution::BrightBeam]),
        lead: vec![super::ALTERNATIVES.to_owned()],
        setting_out,
        reasons: set.reasons(space, &ids),
        remarks,
        may_shrink: false,
    };
    let found = match finders::projector_place(analysis, item, None) {
        Ok(found) => found,
        Err(missing) => {
            let remark = format!("Where it can hang is not known: needs {missing}.");
            let region = bare(set, space, title);
            return set.drawn(words_of(vec![remark], None), |area| {
                drawing::place_region(&region, area)
            });
        }
    };
    let mut region = bare(set, space, title);
    let mut stops: Vec<finders::Stop> = Vec::new();
    region.parts = (found.region.parts.iter())
        .map(|part| {
            part.rings
                .iter()
                .map(|ring| edges(ring, &mut stops))
                .collect()
        })
        .collect();
    region.stops = stops.iter().map(|stop| stop.label.clone()).collect();
    // With the projector in the place that is told, whatever place it has now.
    let tried = found
        .place
        .as_ref()
        .and_then(|place| analysis.tried(&place.edits).ok());
    if let Some(placed) = tried.as_ref().and_then(|tried| placed(tried, &item.id)) {
        let picture = &placed.picture;
        region.picture_m = [-1.0, 1.0].map(|side| plan(&picture.point(side, 0.0).in_plan()));
        region.place = Some(case(&placed, "most room here"));
        region.section = section(analysis, space, &placed, &found);
    }
    if let Some(now) = placed(analysis, &item.id) {
        region.planned.push(case(&now, "as it is planned"));
    }
    for (seat, place) in analysis.seats_in(space) {
        if let Ok(place) = place {
            region.heads_m.push((place.plan.value(), words(&seat.id)));
        }
    }
    let planned = set.planned_at(space, item);
    let drawn = words_of(remarks(set, &found), table(&found, planned));
    set.drawn(drawn, |area| drawing::place_region(&region, area))
}

fn bare(set: &Set<'_>, space: &Space, title: String) -> PlaceRegion {
    let shape = set.analysis.shape(space);
    PlaceRegion {
        title,
        corners_m: (shape.outline().unwrap_or_default().iter())
            .map(|corner| [corner.x, corner.y])
            .collect(),
        wall_names: space.walls.iter().map(|wall| words(&wall.id)).collect(),
        ridges_m: ceiling::ridges(shape),
        ..PlaceRegion::default()
    }
}

fn edges(ring: &[finders::Edge], stops: &mut Vec<finders::Stop>) -> Vec<RegionEdge> {
    let mut number = |stop: &finders::Stop| {
        (stops.iter().position(|known| known == stop)).unwrap_or_else(|| {
            stops.push(stop.clone());
            stops.len() - 1
        })
    };
    ring.iter()
        .map(|edge| RegionEdge {
            from_m: [edge.from.x, edge.from.y],
            to_m: [edge.to.x, edge.to.y],
            stop: edge.stop.as_ref().map(&mut number),
        })
        .collect()
}

fn placed<'a>(analysis: &'a Analysis, id: &str) -> Option<ProjectorPlace<'a>> {
    let item = analysis.item(id)?;
    match analysis.kit_of(item) {
        Some(Kit::Projector(kit)) => analysis.projector(item, kit).ok(),
        _ => None,
    }
}

fn plan(point: &Vector2) -> [f64; 2] {
    point.value()
}

fn case(placed: &ProjectorPlace<'_>, label: &str) -> Case {
    let lens = placed.lens.at.value();
    Case {
        outline_m: super::place::outline(&placed.case),
        lens_m: [lens[0], lens[1]],
        label: format!("{}, {label}", super::place::label_of(placed.item)),
    }
}

/// The room cut square to the picture through the middle of the case.
fn section(
    analysis: &Analysis,
    space: &Space,
    placed: &ProjectorPlace<'_>,
    found: &ProjectorRegion,
) -> Option<Section> {
    let (face, picture) = (&placed.picture.face, &placed.picture);
    let (normal, centre) = (face.normal.value(), picture.centre.value());
    let middle = placed.case.centre.value();
    let shape = analysis.shape(space);
    let off = |x: f64, y: f64| (x - centre[0]) * normal[0] + (y - centre[1]) * normal[1];
    let corners = shape.outline().ok()?;
    let length_m = corners
        .iter()
        .map(|corner| off(corner.x, corner.y))
        .fold(0.0, f64::max);
    // From a distance to the place beside the case's own line.
    let case_off = off(middle[0], middle[1]);
    let at = |distance: f64| {
        Point2::new(
            middle[0] + normal[0] * (distance - case_off),
            middle[1] + normal[1] * (distance - case_off),
        )
    };
    let ceiling = shape.ceiling().ok();
    let height = |distance: f64| ceiling.map(|ceiling: &Ceiling| ceiling.height_at(at(distance)).0);
    let count = (length_m / STEP_M).ceil().max(1.0) as u32;
    let distances: Vec<f64> = (0..=count)
        .map(|step| length_m * f64::from(step) / f64::from(count))
        .collect();
    let case_height_m = placed.case.size[1].value();
    let middle_height = |distance: f64| match found.height {
        Height::Drop(drop_m) => height(distance).map(|top| top - drop_m - case_height_m / 2.0),
        Height::Above(above_m) => Some(above_m + case_height_m / 2.0),
    };
    let mut allowed_m: Vec<Vec<[f64; 2]>> = vec![Vec::new()];
    for distance in &distances {
        let inside = found.region.depth_m(at(*distance)) >= 0.0;
        match (inside, middle_height(*distance)) {
            (true, Some(height_m)) => {
                if let Some(stretch) = allowed_m.last_mut() {
                    stretch.push([*distance, height_m]);
                }
            }
            _ => allowed_m.push(Vec::new()),
        }
    }
    allowed_m.retain(|stretch| stretch.len() > 1);
    let depth_m = placed.case.size[2].value();
    let lens = placed.lens.at.value();
    let eyes_m = analysis
        .seats_in(space)
        .filter_map(|(seat, place)| {
            let [x, y, z] = place.ok()?.eye.value();
            Some(([off(x, y), z], z + CROWN_ABOVE_EYES_M, words(&seat.id)))
        })
        .collect();
    Some(Section {
        length_m,
        ceiling_m: (distances.iter())
            .filter_map(|distance| Some([*distance, height(*distance)?]))
            .collect(),
        picture_m: [-1.0, 1.0].map(|end| picture.point(0.0, end).z.value()),
        case_m: Some([
            [case_off - depth_m / 2.0, placed.case.bottom().value()],
            [case_off + depth_m / 2.0, placed.case.top().value()],
        ]),
        lens_m: Some([off(lens[0], lens[1]), lens[2]]),
        allowed_m,
        eyes_m,
    })
}

fn remarks(set: &Set<'_>, found: &ProjectorRegion) -> Vec<String> {
    let exact = |length_m: f64| set.analysis.exact(length_m, units::Dimension::Length);
    let mut remarks = Vec::new();
    remarks.push(match found.height {
        Height::Drop(drop_m) => format!(
            "Hatched: where the middle of the case can hang, its top {} below the ceiling above it, with no check failing. Below: the room cut along the beam; the heavy line there is where the middle can hang.",
            exact(drop_m)
        ),
        Height::Above(above_m) => format!(
            "Hatched: where the middle of the case can stand, its underside {} above the floor, with no check failing.",
            exact(above_m)
        ),
    });
    if found.region.parts.is_empty() {
        let labels = |stops: &[finders::Stop]| {
            let labels: Vec<&str> = stops.iter().map(|stop| stop.label.as_str()).collect();
            labels.join(", ")
        };
        remarks.push(match (&*found.stopped_by, &*found.stopped_together) {
            ([], []) => {
                "It can hang nowhere at this height: several things together stop it.".to_owned()
            }
            ([], together) => format!(
                "It can hang nowhere at this height; it could if none of these were: {}.",
                labels(together)
            ),
            (each, _) => format!(
                "It can hang nowhere at this height; it could if one of these were not: {}.",
                labels(each)
            ),
        });
    }
    let drops: Vec<String> = (found.drops_m.iter())
        .map(|[short, long]| format!("{} to {}", exact(*short), exact(*long)))
        .collect();
    if !drops.is_empty() {
        remarks.push(format!("It has a place at drops of {}.", drops.join(", ")));
    }
    if let Some(place) = &found.place {
        remarks.push(format!("At the place with most room: {}", place.because));
    }
    remarks.extend(
        (found.needs.iter()).map(|need| format!("Nothing was kept off for want of {need}.")),
    );
    remarks
}

/// Where the place with most room is, beside the one that is planned.
fn table(found: &ProjectorRegion, planned: Option<String>) -> Option<Table> {
    let place = found.place.as_ref()?;
    let set = place.edits.iter().find_map(|edit| edit.set.as_ref())?;
    let off = |key: &str| {
        let pair = set.get(key)?;
        let (wall, length) = (pair.get(0)?.as_str()?, pair.get(1)?.as_str()?);
        Some(format!("{length} off {}", words(wall)))
    };
    let height = set.get("drop").or_else(|| set.get("height"))?.as_str()?;
    Some(Table {
        heading: "Could be: the place with most room; to the middle of the case".to_owned(),
        columns: vec![
            Column::new("What", ColumnKind::Text),
            Column::new("Off a first wall", ColumnKind::Text),
            Column::new("Off a second wall", ColumnKind::Text),
            Column::new(
                match found.height {
                    Height::Drop(_) => "Top below ceiling",
                    Height::Above(_) => "Underside above floor",
                },
                ColumnKind::Number,
            ),
            Column::new("Planned", ColumnKind::Text),
        ],
        rows: vec![vec![
            found.label.clone(),
            off("from")?,
            off("and")?,
            height.to_owned(),
            planned.unwrap_or_else(|| "nowhere yet".to_owned()),
        ]],
        total: Vec::new(),
    })
}
