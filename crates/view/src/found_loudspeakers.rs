//! What the finders answer about loudspeakers: where each can go, and where all of a layout
//! should go together.

use analysis::{Analysis, Missing, Uncertain, item_label};
use finders::{LayoutPlan, LoudspeakerSpot, SeatLoss, Stop};
use model::{Item, Space};
use schemars::JsonSchema;
use serde::Serialize;
use units::Dimension;

use crate::findings::caution_words;
use crate::found::{FoundEdge, FoundPart, FoundStop, needed, plan, rounded, stop};
use crate::scene::{Plan, length, round};
use crate::{Edit, Verdict};

/// Where the loudspeakers of a space can go.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LoudspeakerPlaces {
    /// The space's id.
    pub space: String,
    /// One answer a loudspeaker of a zone with a layout.
    pub loudspeakers: Vec<LoudspeakerPlace>,
}

/// Where a loudspeaker can go.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LoudspeakerPlace {
    /// The item's id.
    pub item: String,
    /// Its name for people.
    pub label: String,
    /// The layout's own label of its channel.
    pub channel: String,
    /// One sentence on where it can go.
    pub says: String,
    /// Each wall or the ceiling, with what is allowed there.
    pub patches: Vec<LoudspeakerPatch>,
    /// What stops it at the edges, by the number that an edge carries.
    pub stops: Vec<FoundStop>,
    /// Where it can go nowhere: what stops it, each alone.
    pub stopped_by: Vec<FoundStop>,
    /// The allowed place nearest to the printed direction over all seats; where nothing is
    /// allowed, the place whose worst seat loses least.
    pub spot: Option<FoundSpot>,
    /// The surface that it is on now.
    pub present_surface: Option<String>,
    /// Its middle there, m.
    pub present: Option<Plan>,
    /// What must be known before a check says anything: nothing is kept off for it.
    pub needs: Vec<String>,
    /// What to beware of in putting it there.
    pub cautions: Vec<&'static str>,
}

/// What is allowed on a wall or the ceiling.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LoudspeakerPatch {
    /// The wall's id, or `ceiling`.
    pub surface: String,
    /// Whether places are in plan; on a wall they are from its left corner and above the floor.
    pub is_ceiling: bool,
    /// Whether it is the floor, where places are in plan as well.
    pub is_floor: bool,
    /// The surface's corners, m.
    pub outline: Vec<Plan>,
    /// Half of the outside of what is placed, m.
    pub half_m: [f64; 2],
    /// All of it, m².
    pub area_m2: f64,
    /// Connected parts, the largest first.
    pub parts: Vec<FoundPart>,
}

/// A loudspeaker's place to use.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundSpot {
    /// The wall's id, or `ceiling`.
    pub surface: String,
    /// Its middle there, m.
    pub at: Plan,
    /// Whether every seat is served.
    pub is_allowed: bool,
    /// One sentence on where that is.
    pub says: String,
    /// What each seat loses.
    pub seats: Vec<FoundLoss>,
    /// The worst that its checks say of it there.
    pub verdict: Verdict,
    /// The sentence of the check that says so.
    pub because: String,
    /// What puts it there.
    pub edits: Vec<Edit>,
}

/// What a seat loses.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundLoss {
    /// The seat's id.
    pub seat: String,
    /// Whether layouts are meant for it.
    pub is_main: bool,
    /// From the printed direction, rad.
    pub off_rad: f64,
    /// Beyond what is allowed at that seat, rad; nothing or less where it is served.
    pub out_rad: f64,
    /// Both for people.
    pub text: String,
}

/// Where the loudspeakers of a space's layouts should go together.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LayoutPlaces {
    /// The space's id.
    pub space: String,
    /// One list a zone with a layout.
    pub zones: Vec<ZonePlaces>,
}

/// Sets of places for a zone's loudspeakers.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ZonePlaces {
    /// The zone's id.
    pub zone: String,
    /// The layout as it is planned now.
    pub present: Option<FoundPlan>,
    /// Answers that differ.
    pub plans: Vec<FoundPlan>,
    /// What must be known first.
    pub needs: Vec<String>,
    /// What to beware of in putting them there.
    pub cautions: Vec<&'static str>,
}

/// A set of places.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundPlan {
    /// What it weighs.
    pub title: String,
    /// One sentence on what is won and lost.
    pub says: String,
    /// What it costs in directions, symmetry and separation, in square degrees.
    pub objective: f64,
    /// Whether no better set of the candidates is left.
    pub is_proved: bool,
    /// Each loudspeaker's place, for people.
    pub places: Vec<FoundChoice>,
    /// What each seat loses over all channels, for people.
    pub seats: Vec<String>,
    /// New holes to cut.
    pub cuts: usize,
    /// Old plates used.
    pub reused: usize,
    /// New wire, square along the building, m.
    pub wire_m: Option<f64>,
    /// What pulling it costs by the shop's own times and rates.
    pub price: Option<f64>,
    /// Findings of the place checks that fail.
    pub failing: usize,
    /// Findings that are tight.
    pub tight: usize,
    /// What makes it so; nothing for the layout as it is planned.
    pub edits: Vec<Edit>,
}

/// Where a set puts a loudspeaker.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundChoice {
    /// The item's id.
    pub item: String,
    /// The wall's id, or `ceiling`.
    pub surface: String,
    /// Its middle there, m.
    pub at: Plan,
    /// The same for people.
    pub says: String,
}

/// What stops a loudspeaker at a place of a wall, the ceiling or the floor.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LoudspeakerAt {
    /// The item's id.
    pub item: String,
    /// The wall's id, `ceiling` or `floor`.
    pub surface: String,
    /// The place asked about, m.
    pub at: Plan,
    /// Whether nothing bars it there.
    pub is_allowed: bool,
    /// One sentence on what stops it there, or how far the next stop is.
    pub says: String,
    /// All that bars it there.
    pub stops: Vec<FoundStop>,
    /// That place where it is allowed, else the nearest one that is.
    pub spot: Option<FoundSpot>,
}

/// The place in plan at these distances from two walls of a space, m; what is missing in words.
pub fn place_in_plan(
    analysis: &Analysis,
    space: &Space,
    walls: [(usize, f64); 2],
) -> Result<[f64; 2], String> {
    let distances = walls.map(|(_, distance_m)| Uncertain::exact(distance_m));
    let point = analysis
        .shape(space)
        .point_from_walls(walls.map(|(wall, _)| wall), distances.each_ref());
    point
        .map(|point| point.value())
        .map_err(|missing| needed(&missing))
}

/// What stops a loudspeaker at a place of a surface, m; none where the job has no such item.
pub fn loudspeaker_at(
    analysis: &Analysis,
    item: &str,
    surface: &str,
    [x, y]: [f64; 2],
) -> Option<Result<LoudspeakerAt, String>> {
    let item = analysis.item(item)?;
    let at = geometry::Point2::new(x, y);
    let found = match finders::loudspeaker_at(analysis, item, surface, at) {
        Ok(found) => found,
        Err(missing) => return Some(Err(needed(&missing))),
    };
    let label = item_label(item);
    let is_allowed = found.room_m.is_some_and(|room_m| room_m > 0.0);
    let stops: Vec<FoundStop> = found.stops.iter().map(stop).collect();
    let says = match (is_allowed, found.room_m) {
        (true, Some(room_m)) => {
            let by = match &found.nearest_stop {
                Some(stop) => format!(
                    "; {} stops it {} away",
                    stop.label,
                    length(analysis, room_m)
                ),
                None => String::new(),
            };
            format!("Here {label} serves every seat{by}.")
        }
        _ if stops.is_empty() => format!("{label} can't be off the edge of {surface}."),
        _ => {
            let labels: Vec<&str> = stops.iter().map(|stop| stop.label.as_str()).collect();
            format!("Not here: {}.", labels.join("; "))
        }
    };
    let spot = found.spot.as_ref().map(|spot| {
        let place = place_words(&spot.edits, &spot.surface);
        FoundSpot {
            says: match is_allowed {
                true => format!("{label} goes {place}.{}", turned_words(spot)),
                false => format!("The nearest allowed place: {place}.{}", turned_words(spot)),
            },
            ..found_spot(analysis, label, spot, true)
        }
    });
    Some(Ok(LoudspeakerAt {
        item: item.id.clone(),
        surface: surface.to_owned(),
        at: plan(at),
        is_allowed,
        says,
        stops,
        spot,
    }))
}

/// Where the loudspeakers of a space can go, or one of them; none where the job has no such
/// space.
pub fn loudspeaker_places(
    analysis: &Analysis,
    space: &str,
    only: Option<&str>,
) -> Option<LoudspeakerPlaces> {
    let space = analysis.space(space)?;
    let loudspeakers = (analysis.zones_in(space))
        .filter(|zone| zone.layout.is_some())
        .flat_map(|zone| analysis.loudspeakers_of(zone))
        .filter(|(item, kit)| {
            only.map_or(
                kit.form != Some(model::LoudspeakerForm::Subwoofer),
                |only| item.id == only,
            )
        })
        .map(|(item, _)| loudspeaker_place(analysis, space, item));
    Some(LoudspeakerPlaces {
        space: space.id.clone(),
        loudspeakers: loudspeakers.collect(),
    })
}

/// Where the loudspeakers of a space's layouts should go together; none where the job has no
/// such space.
pub fn layout_places(analysis: &Analysis, space: &str) -> Option<LayoutPlaces> {
    let space = analysis.space(space)?;
    let zones = (analysis.zones_in(space))
        .filter(|zone| zone.layout.is_some())
        .map(|zone| match finders::layout_places(analysis, zone) {
            Ok(found) => ZonePlaces {
                zone: zone.id.clone(),
                present: found
                    .present
                    .as_ref()
                    .map(|plan| found_plan(analysis, plan)),
                plans: (found.plans.iter())
                    .map(|plan| found_plan(analysis, plan))
                    .collect(),
                needs: found.left_out.iter().map(needed).collect(),
                cautions: caution_words(&found.cautions),
            },
            Err(missing) => ZonePlaces {
                zone: zone.id.clone(),
                present: None,
                plans: Vec::new(),
                needs: vec![needed(&missing)],
                cautions: Vec::new(),
            },
        });
    Some(LayoutPlaces {
        space: space.id.clone(),
        zones: zones.collect(),
    })
}

fn loudspeaker_place(analysis: &Analysis, space: &Space, item: &Item) -> LoudspeakerPlace {
    let found = match finders::loudspeaker_place(analysis, item) {
        Ok(found) => found,
        Err(missing) => return unknown(item, &missing),
    };
    let mut stops: Vec<FoundStop> = Vec::new();
    let mut number = |found: &Stop| {
        let found = stop(found);
        (stops.iter().position(|known| *known == found)).unwrap_or_else(|| {
            stops.push(found);
            stops.len() - 1
        })
    };
    let mut edge = |edge: &finders::Edge| FoundEdge {
        from: plan(edge.from),
        to: plan(edge.to),
        stop: edge.stop.as_ref().map(&mut number),
    };
    let patches: Vec<LoudspeakerPatch> = (found.patches.iter())
        .map(|patch| LoudspeakerPatch {
            surface: patch.surface.clone(),
            is_ceiling: patch.is_ceiling,
            is_floor: patch.is_floor,
            outline: patch.outline.iter().map(|corner| plan(*corner)).collect(),
            half_m: rounded(patch.half_m),
            area_m2: round(patch.region.area_m2()),
            parts: (patch.region.parts.iter())
                .map(|part| FoundPart {
                    area_m2: round(part.area_m2),
                    rings: (part.rings.iter())
                        .map(|ring| ring.iter().map(&mut edge).collect())
                        .collect(),
                })
                .collect(),
        })
        .collect();
    let stopped_by: Vec<FoundStop> = found.stopped_by.iter().map(stop).collect();
    let open: Vec<String> = (patches.iter())
        .filter(|patch| !patch.parts.is_empty())
        .map(|patch| {
            format!(
                "{} of {}",
                analysis.exact(patch.area_m2, Dimension::Area),
                surface_words(patch)
            )
        })
        .collect();
    let says = if open.is_empty() {
        let labels: Vec<&str> = stopped_by.iter().map(|stop| stop.label.as_str()).collect();
        let by = match labels.is_empty() {
            true => "several things together stop it".to_owned(),
            false => format!("it could if one of these were not: {}", labels.join(", ")),
        };
        format!(
            "No place in {} lets {} serve every seat; {by}.",
            space.label(),
            found.label
        )
    } else {
        format!(
            "{} serves every seat with its middle over {}.",
            found.label,
            open.join(" and ")
        )
    };
    let spot = (found.best.as_ref().map(|spot| (spot, true)))
        .or(found.least_bad.as_ref().map(|spot| (spot, false)));
    LoudspeakerPlace {
        item: found.item.clone(),
        label: found.label.clone(),
        channel: found.channel.to_owned(),
        says,
        patches,
        stopped_by,
        spot: spot.map(|(spot, is_allowed)| found_spot(analysis, &found.label, spot, is_allowed)),
        present_surface: found.present.as_ref().map(|(surface, _)| surface.clone()),
        present: found.present.as_ref().map(|(_, at)| plan(*at)),
        needs: found.needs.iter().map(needed).collect(),
        cautions: caution_words(&found.cautions),
        stops,
    }
}

fn surface_words(patch: &LoudspeakerPatch) -> String {
    match (patch.is_ceiling, patch.is_floor) {
        (true, _) => "the ceiling".to_owned(),
        (_, true) => "the floor".to_owned(),
        _ => format!("wall {}", patch.surface),
    }
}

fn found_spot(
    analysis: &Analysis,
    label: &str,
    spot: &LoudspeakerSpot,
    is_allowed: bool,
) -> FoundSpot {
    let place = place_words(&spot.edits, &spot.surface);
    let says = if is_allowed {
        format!("Nearest to the printed direction for all seats, {label} goes {place}.")
    } else {
        let worst = (spot.losses.iter()).max_by(|a, b| {
            let weighted = |loss: &SeatLoss| loss.importance * loss.out_rad.max(0.0);
            weighted(a).total_cmp(&weighted(b))
        });
        let pays = worst.map_or_else(String::new, |loss| {
            format!(
                " There seat {} pays most: {} beyond what is allowed.",
                loss.seat,
                analysis.exact(loss.out_rad.max(0.0), Dimension::Angle)
            )
        });
        format!("The least bad place of {label} is {place}.{pays}")
    };
    FoundSpot {
        surface: spot.surface.clone(),
        at: plan(spot.at),
        is_allowed,
        says: says + &turned_words(spot),
        seats: spot
            .losses
            .iter()
            .map(|loss| found_loss(analysis, loss))
            .collect(),
        verdict: spot.verdict.into(),
        because: spot.because.clone(),
        edits: spot.edits.iter().map(Edit::from).collect(),
    }
}

/// " Turn …" where it stands otherwise than turned to the main seat.
fn turned_words(spot: &LoudspeakerSpot) -> String {
    (spot.turned.as_ref()).map_or_else(String::new, |says| format!(" {says}"))
}

fn found_loss(analysis: &Analysis, loss: &SeatLoss) -> FoundLoss {
    let off = analysis.exact(loss.off_rad, Dimension::Angle);
    let out = if loss.out_rad > 1e-4 {
        format!(
            ", {} beyond what is allowed",
            analysis.exact(loss.out_rad, Dimension::Angle)
        )
    } else {
        String::new()
    };
    FoundLoss {
        seat: loss.seat.clone(),
        is_main: loss.is_main,
        off_rad: round(loss.off_rad),
        out_rad: round(loss.out_rad),
        text: format!(
            "{}: {off} from the printed direction{out}, {} away",
            loss.seat,
            length(analysis, loss.distance_m)
        ),
    }
}

/// The place that edits write, in words.
fn place_words(edits: &[model::Edit], surface: &str) -> String {
    let placed = edits.iter().find_map(|edit| {
        let table = edit.set.as_ref().filter(|set| set.is_object())?;
        Some((edit.at.as_str(), table))
    });
    let table = placed.map(|(_, table)| table);
    let stands = placed.is_some_and(|(at, _)| at.ends_with(".at"));
    let on_wall = || {
        let table = table?;
        let from_left = table.get("from_left")?.as_str()?;
        let height = table.get("height")?.as_str()?;
        Some(format!(
            "on wall {surface}, {from_left} from its left corner and {height} up"
        ))
    };
    let in_ceiling = || {
        let table = table?;
        let off = |key: &str| {
            let pair = table.get(key)?;
            Some(format!(
                "{} from {}",
                pair.get(1)?.as_str()?,
                pair.get(0)?.as_str()?
            ))
        };
        Some(format!(
            "{}, {} and {}",
            if stands {
                "on the floor"
            } else {
                "in the ceiling"
            },
            off("from")?,
            off("and")?
        ))
    };
    on_wall()
        .or_else(in_ceiling)
        .unwrap_or_else(|| "where it is".to_owned())
}

fn unknown(item: &Item, missing: &Missing) -> LoudspeakerPlace {
    let label = item_label(item).to_owned();
    LoudspeakerPlace {
        item: item.id.clone(),
        channel: item.channel.clone().unwrap_or_default(),
        says: format!("Where {label} can go is not known: needs {missing}."),
        label,
        patches: Vec::new(),
        stops: Vec::new(),
        stopped_by: Vec::new(),
        spot: None,
        present_surface: None,
        present: None,
        needs: vec![needed(missing)],
        cautions: Vec::new(),
    }
}

fn found_plan(analysis: &Analysis, found: &LayoutPlan) -> FoundPlan {
    let exact = |value: f64| analysis.exact(value, Dimension::Angle);
    let out = (found.seats.iter())
        .map(|seat| seat.out_rad)
        .fold(0.0, f64::max);
    let mut words = vec![format!(
        "pairs are within {} of mirror images",
        exact(found.asymmetry_rad)
    )];
    words.push(match out > 1e-4 {
        true => format!(
            "the worst seat has a channel {} beyond what is allowed",
            exact(out)
        ),
        false => "every seat is served by every channel".to_owned(),
    });
    words.push(format!("{} new holes", found.cuts));
    if found.reused > 0 {
        words.push(format!("{} old plates used", found.reused));
    }
    if let Some(wire_m) = found.wire_m {
        let mut wire = format!("about {} of new wire", length(analysis, wire_m));
        if let Some(price) = found.price {
            let currency = analysis.job().rates.currency.as_deref();
            wire += &format!(", {price:.0} {} to pull", currency.unwrap_or("in money"));
        }
        words.push(wire);
    }
    if found.failing > 0 {
        words.push(format!("{} checks of places fail", found.failing));
    }
    let moved = found.places.iter().filter(|place| !place.stays).count();
    words.push(format!("{moved} of {} moved", found.places.len()));
    FoundPlan {
        title: found.title.to_owned(),
        says: format!(
            "{}: {}.",
            crate::words::capital(found.title),
            words.join("; ")
        ),
        objective: round(found.objective),
        is_proved: found.is_proved,
        places: (found.places.iter())
            .map(|place| {
                let own = format!("item.{}.", place.item);
                let edits: Vec<model::Edit> = (found.edits.iter())
                    .filter(|edit| edit.at.starts_with(&own))
                    .cloned()
                    .collect();
                let plate = place
                    .reuses
                    .as_ref()
                    .map_or_else(String::new, |plate| format!(", over the old plate {plate}"));
                let turned = (place.turned.as_ref()).map_or_else(String::new, |says| {
                    format!(". {}", says.trim_end_matches('.'))
                });
                FoundChoice {
                    item: place.item.clone(),
                    surface: place.surface.clone(),
                    at: plan(place.at),
                    says: format!(
                        "{} {}{plate}{turned}",
                        place.label,
                        place_words(&edits, &place.surface)
                    ),
                }
            })
            .collect(),
        seats: (found.seats.iter())
            .map(|seat| {
                let out = match seat.out_rad > 1e-4 {
                    true => format!(
                        ", {} {} beyond what is allowed",
                        seat.worst,
                        exact(seat.out_rad)
                    ),
                    false => String::new(),
                };
                format!(
                    "{}: {} from the printed directions over all channels{out}",
                    seat.seat,
                    exact(seat.off_rad)
                )
            })
            .collect(),
        cuts: found.cuts,
        reused: found.reused,
        wire_m: found.wire_m.map(round),
        price: found.price.map(round),
        failing: found.failing,
        tight: found.tight,
        edits: found.edits.iter().map(Edit::from).collect(),
    }
}
