//! What to hang, lay or take away so that a room rings as it should: for one octave, or one
//! treatment for all of them.

mod sets;

use acoustics::finishes;
use acoustics::octave::OctaveBand;
use analysis::Analysis;
use model::{CoveringPlan, Edit, Space};
use serde_json::json;
use units::{Dimension, Seconds};

use super::{Judged, Room};
use crate::room_sound::{Covered, RoomSound};
use crate::{Caution, Remedy};

pub(super) use sets::of_room;

const THICK_PANELS: (&str, &str) = ("porous_100_sigma10k", "porous panels 100 mm thick");
const PANELS: (&str, &str) = ("porous_50_sigma10k", "porous panels 50 mm thick");
const CARPET: (&str, &str) = ("carpet_1.35_kg_m2", "carpet on a pad");
const CURTAIN: (&str, &str) = (
    "curtain_heavy_half",
    "a heavy curtain draped to half its width",
);

/// What is offered to change one octave.
pub(super) fn of_octave(room: &Room<'_>, octave: &Judged<'_>, too_dead: bool) -> Vec<Remedy> {
    let Room {
        analysis,
        space,
        sound,
        ..
    } = *room;
    // The middle is aimed at, since every octave of the room has to find its place; where
    // that takes more than there is, a place just inside the limit that is broken.
    let (low, high) = (octave.limits.low.value(), octave.limits.high.value());
    let near = if too_dead { low } else { high };
    let goals = [0.5 * (low + high), 0.9 * near + 0.05 * (low + high)];
    let here = &octave.here.room;
    let found = goals.into_iter().find_map(|goal| {
        let more = here.absorption_for(Seconds(goal))?.0 - here.absorption().0;
        let found = if more > 0.0 {
            additions(analysis, space, sound, octave.band, more)
        } else {
            removals(analysis, space, octave.band, -more)
        };
        (!found.is_empty()).then_some(found)
    });
    found.unwrap_or_default()
}

/// A covering that can be bought or taken away.
struct Offer {
    /// m² of absorption that each m² of it changes.
    gain: f64,
    /// m² that there is room for, or that hang there.
    most_m2: f64,
    change: Change,
}

enum Change {
    Add {
        id: String,
        finish: &'static str,
        words: String,
        surface: String,
    },
    Shrink {
        id: String,
        area_m2: f64,
    },
    /// So many pieces of it stay.
    TakeAway {
        id: String,
        left: u32,
    },
}

/// Less of a covering than this is not left over, m²: a tenth of the smallest rug.
const LEFT_MIN_M2: f64 = 0.1;

/// Carpet, panels and curtains that add an absorption area, m².
pub(crate) fn additions(
    analysis: &Analysis,
    space: &Space,
    sound: &RoomSound,
    band: OctaveBand,
    more_m2: f64,
) -> Vec<Remedy> {
    let is_wall = |name: &str| space.wall(name).is_some();
    let largest_wall = (sound.pieces.iter())
        .filter(|piece| piece.surface.as_deref().is_some_and(is_wall))
        .max_by(|a, b| a.amount.value().total_cmp(&b.amount.value()));
    let of = |name: &str| {
        let named = |piece: &&Covered| piece.surface.as_deref() == Some(name);
        sound.pieces.iter().find(named)
    };
    let offers = [
        ("carpet", CARPET, of("floor")),
        ("panels", PANELS, largest_wall),
        ("ceiling-panels", PANELS, of("ceiling")),
        ("curtain", CURTAIN, largest_wall),
    ];
    let offer = |(id, (finish, words), over): (
        &'static str,
        (&'static str, &'static str),
        Option<&Covered>,
    )| {
        let over = over?;
        let alpha = finishes::finish(finish).ok()?.absorption[band.index()]?;
        Some(Offer {
            gain: alpha.min(1.0) - over.absorbs.alpha(band)?,
            most_m2: over.amount.value(),
            change: Change::Add {
                id: id.to_owned(),
                finish,
                words: words.to_owned(),
                surface: over.surface.clone()?,
            },
        })
    };
    let offers: Vec<Offer> = offers.into_iter().filter_map(offer).collect();
    // A curtain and panels can't share one wall, so a joint remedy leaves the curtain out.
    remedies(analysis, space, &offers, more_m2, offers.len().min(3))
}

/// Coverings made smaller by an absorption area, m².
fn removals(analysis: &Analysis, space: &Space, band: OctaveBand, less_m2: f64) -> Vec<Remedy> {
    let offer = |covering: &model::Covering| {
        let over = covering.over.as_deref()?;
        let finishes_here = space.finishes.as_ref()?;
        let under = match over {
            "floor" => finishes_here.floor.as_deref(),
            "ceiling" => finishes_here.ceiling.as_deref(),
            wall => (finishes_here.wall.get(wall).map(String::as_str))
                .or(finishes_here.walls.as_deref()),
        };
        let alpha = |name: &str| finishes::finish(name).ok()?.absorption[band.index()];
        let area_m2 = covering.area.as_ref()?.value()?;
        Some(Offer {
            gain: alpha(&covering.finish)?.min(1.0) - alpha(under?)?,
            // Something stays, so that the covering keeps its place in the job.
            most_m2: area_m2 - 0.1,
            change: Change::Shrink {
                id: covering.id.clone(),
                area_m2,
            },
        })
    };
    let offers: Vec<Offer> = space.coverings().filter_map(offer).collect();
    remedies(analysis, space, &offers, less_m2, offers.len())
}

/// Each offer that does alone; where none does, the first `joint` of them together.
fn remedies(
    analysis: &Analysis,
    space: &Space,
    offers: &[Offer],
    change_m2: f64,
    joint: usize,
) -> Vec<Remedy> {
    let single = offers.iter().filter_map(|offer| {
        let area = change_m2 / offer.gain;
        (offer.gain > 0.05 && area <= offer.most_m2)
            .then(|| remedy(analysis, space, &[(offer, area)]))
    });
    let single: Vec<Remedy> = single.collect();
    if !single.is_empty() {
        return single;
    }
    let mut left_m2 = change_m2;
    let mut taken: Vec<(&Offer, f64)> = Vec::new();
    for offer in offers[..joint].iter().filter(|offer| offer.gain > 0.05) {
        let area = (left_m2 / offer.gain).min(offer.most_m2);
        if left_m2 > 0.0 && area > 0.0 {
            left_m2 -= area * offer.gain;
            taken.push((offer, area));
        }
    }
    if left_m2 <= 1e-9 {
        vec![remedy(analysis, space, &taken)]
    } else {
        Vec::new()
    }
}

/// All of these changes in one.
fn remedy(analysis: &Analysis, space: &Space, changes: &[(&Offer, f64)]) -> Remedy {
    let mut words: Vec<[String; 3]> = Vec::new();
    let mut edits: Vec<Edit> = Vec::new();
    let mut high = false;
    for (offer, area_m2) in changes {
        match &offer.change {
            Change::Add {
                id,
                finish,
                words: covering,
                surface,
            } => {
                let text = area_text(analysis, *area_m2, offer.most_m2);
                let place = match surface.as_str() {
                    "floor" | "ceiling" => format!("the {surface}"),
                    wall => format!("wall {wall}"),
                };
                high |= surface != "floor";
                words.push([
                    "cover ".to_owned(),
                    format!("{text} of {place}"),
                    format!(" with {covering}"),
                ]);
                let id = free_id(space, id, &edits);
                let mut table =
                    json!({ "id": id, "finish": finish, "over": surface, "area": text });
                if space.has_measured_reverberation() {
                    table["planned"] = TO_COME.into();
                }
                let at = format!("space.{}.covering.{id}", space.id);
                edits.push(Edit::set(at, table));
            }
            Change::Shrink { id, area_m2: now } => {
                let left = now - area_m2;
                let text = area_text(analysis, left, *now);
                words.push([
                    "leave only ".to_owned(),
                    format!("{text} of {}", id.replace('-', " ")),
                    String::new(),
                ]);
                let smaller = Part {
                    key: "area",
                    value: text.into(),
                };
                edits.extend(lessened(space, id, Some(smaller), &edits));
            }
            Change::TakeAway { id, left } => {
                let of = match left {
                    0 => id.replace('-', " "),
                    left => format!("all but {left} of {}", id.replace('-', " ")),
                };
                words.push(["take away ".to_owned(), of, String::new()]);
                let fewer = (*left > 0).then(|| Part {
                    key: "count",
                    value: (*left).into(),
                });
                edits.extend(lessened(space, id, fewer, &edits));
            }
        }
    }
    let says = together(&words);
    let says = format!("{}{}.", says[..1].to_uppercase(), &says[1..]);
    let remedy = Remedy::new(says, edits);
    if high {
        remedy.caution(Caution::Ladder)
    } else {
        remedy
    }
}

/// How a covering that the job brings is written.
const TO_COME: &str = "to-come";

/// A fact of what is left of a covering.
struct Part {
    key: &'static str,
    value: serde_json::Value,
}

/// Leaves a part of a covering, or nothing. One that was there when the room was measured stays
/// written as what goes, since the measurement holds it.
fn lessened(space: &Space, id: &str, left: Option<Part>, others: &[Edit]) -> Vec<Edit> {
    let at = format!("space.{}.covering.{id}", space.id);
    let covering = space.covering.iter().find(|covering| covering.id == id);
    let was_measured = space.has_measured_reverberation()
        && covering.is_some_and(|covering| covering.planned != Some(CoveringPlan::ToCome));
    let rest = covering.and_then(|covering| serde_json::to_value(covering).ok());
    match (left, rest) {
        (left, Some(mut rest)) if was_measured => {
            let mut edits = vec![Edit::set(format!("{at}.planned"), "to-go")];
            if let Some(left) = left {
                let id = free_id(space, &format!("{id}-left"), others);
                rest["id"] = id.as_str().into();
                rest["planned"] = TO_COME.into();
                rest[left.key] = left.value;
                edits.push(Edit::set(format!("space.{}.covering.{id}", space.id), rest));
            }
            edits
        }
        (None, _) => vec![Edit::remove(at)],
        (Some(left), _) => vec![Edit::set(format!("{at}.{}", left.key), left.value)],
    }
}

/// Verb, object and end of each change, joined to one sentence: objects that share verb and
/// end are listed between them.
fn together(words: &[[String; 3]]) -> String {
    let alike = |a: &[String; 3], b: &[String; 3]| a[0] == b[0] && a[2] == b[2];
    let listed = |group: &[[String; 3]]| {
        let objects: Vec<&str> = group.iter().map(|[_, object, _]| object.as_str()).collect();
        let (last, others) = objects.split_last().expect("a group has a member");
        let objects = match others {
            [] => (*last).to_owned(),
            _ => format!("{} and {last}", others.join(", ")),
        };
        format!("{}{objects}{}", group[0][0], group[0][2])
    };
    let groups: Vec<String> = words.chunk_by(alike).map(listed).collect();
    groups.join(" and ")
}

/// An area that a shop can cut: a tenth of a square metre or a square foot, rounded up
/// where there is room for it.
fn area_text(analysis: &Analysis, area_m2: f64, most_m2: f64) -> String {
    let step = match analysis.units() {
        model::Units::Metric => 0.1,
        model::Units::Imperial => 0.3048 * 0.3048,
    };
    let whole = (area_m2 / step).ceil() * step;
    let area = if whole <= most_m2 { whole } else { most_m2 };
    analysis.exact(area, Dimension::Area)
}

/// A name that no covering of the space has, nor gets by these edits.
fn free_id(space: &Space, id: &str, edits: &[Edit]) -> String {
    let taken = |id: &str| {
        let at = format!("space.{}.covering.{id}", space.id);
        space.covering.iter().any(|covering| covering.id == id)
            || edits.iter().any(|edit| edit.at == at)
    };
    let numbered = (2..).map(|number| format!("{id}-{number}"));
    std::iter::once(id.to_owned())
        .chain(numbered)
        .find(|id| !taken(id))
        .expect("the numbers do not end")
}
