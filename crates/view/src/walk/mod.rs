//! One space as it is measured: fields in the order in which a tape meets them.

mod blanks;
mod closes;
mod coverings;
mod types;

use analysis::Analysis;
use model::{CeilingShape, Framing, Space, SpaceKind};

use crate::Field;
use crate::fact;
use crate::fields::{Blanks, Fields, label};
use crate::scene::{self, BodyKind, Ground, suspected};
use crate::words::words;
use blanks::{blanks, blanks_of};
use closes::closes;
use coverings::{coverings, finishes};

pub use types::*;

/// The survey of a space; none where the job has no such space. `findings` say what each
/// blank fact decides.
pub fn walk(analysis: &Analysis, findings: &[&checks::Finding], space: &str) -> Option<Walk> {
    let space = analysis.space(space)?;
    let ground = Ground::new(analysis, space);
    let by_path = Blanks::of(findings);
    let fields = Fields::of_space(analysis, &by_path, space);
    let bodies = scene::bodies(&ground, &by_path);
    let things = |kind: BodyKind| {
        let bodies = bodies.iter().filter(|body| body.kind == kind);
        bodies
            .map(|body| WalkThing {
                id: body.at.rsplit('.').next().unwrap_or_default().to_owned(),
                at: body.at.clone(),
                kind: body.is.clone(),
                label: body.label.clone(),
                says: body.says.clone(),
                fields: body.fields.clone(),
            })
            .collect()
    };
    let (closes, closes_needs) = closes(&ground);
    let rooms = analysis.job().space.iter();
    Some(Walk {
        space: space.id.clone(),
        name: space.label().to_owned(),
        kind: scene::kind_of(space),
        rooms: rooms
            .map(|room| Room {
                id: room.id.clone(),
                name: room.label().to_owned(),
                kind: scene::kind_of(room),
                blanks: blanks_of(analysis, findings, room).len(),
            })
            .collect(),
        wall_strip: wall_strip(&ground),
        closes,
        closes_needs,
        fields: room_fields(&fields, space),
        fixtures: things(BodyKind::Fixture),
        openings: things(BodyKind::Opening),
        seats: things(BodyKind::Seat),
        soffits: soffits(&ground, &fields),
        constructions: constructions(&fields, space),
        coverings: coverings(&fields, space),
        covering_finishes: finishes(space),
        blanks: blanks(analysis, findings, space),
    })
}

fn wall_strip(ground: &Ground<'_>) -> Vec<WalkWall> {
    let (job, space) = (ground.analysis.job(), ground.space);
    let suspected = suspected(ground);
    (space.walls.iter().enumerate())
        .map(|(index, wall)| {
            let known = wall
                .length
                .as_ref()
                .filter(|length| length.value().is_some());
            let at = format!("space.{}.walls.{}.length", space.id, wall.id);
            let how = known.and_then(|_| fact::measurement(job, &at));
            let how = how.map(|measurement| fact::how(job, measurement));
            let corner = wall
                .corner
                .as_ref()
                .filter(|corner| corner.value().is_some());
            let length_text = known.map(|length| length.text().to_owned());
            let corner_text = corner.map(|corner| corner.text().to_owned());
            let name = words(&wall.id);
            let length_words = match (&length_text, how) {
                (Some(_), Some(how)) => {
                    let value = known.and_then(model::Length::value).unwrap_or_default();
                    let value = scene::length(ground.analysis, value);
                    match how {
                        "laser" | "tape" => format!("{value} by {how}"),
                        "drawing" => format!("{value} off a drawing"),
                        "guess" => format!("{value}, a guess"),
                        how => format!("{value}, {how}"),
                    }
                }
                (Some(text), None) => text.clone(),
                (None, _) => "still to measure".to_owned(),
            };
            let corner_words = match &corner_text {
                Some(text) => format!("corner at its right end {text}"),
                None => "corner at its right end taken as square".to_owned(),
            };
            WalkWall {
                says: format!("{name}, {length_words}, {corner_words}"),
                id: wall.id.clone(),
                name,
                length_text,
                how,
                corner_text,
                doubtful: suspected.contains(&index),
            }
        })
        .collect()
}

/// Walls, diagonals, ceiling, floor level, facing, finishes, ambient, noise, reverberation, temperature.
fn room_fields(fields: &Fields<'_>, space: &Space) -> Vec<Field> {
    let is_room = space.kind != Some(SpaceKind::Outdoor);
    let mut list: Vec<Option<Field>> = Vec::new();
    for wall in &space.walls {
        let (thing, name) = (format!("walls.{}", wall.id), words(&wall.id));
        list.push(fields.field(&format!("{thing}.length"), &format!("{name}, length")));
        let corner = format!("{name}, corner at its right end");
        list.push(fields.field(&format!("{thing}.corner"), &corner));
        if !is_room || wall.open {
            list.push(fields.field(&format!("{thing}.open"), &format!("{name}, no wall on it")));
        }
    }
    for (index, diagonal) in space.diagonals.iter().enumerate() {
        let name = format!(
            "Diagonal from {} to {}",
            corner(&diagonal.0),
            corner(&diagonal.1)
        );
        list.push(fields.field(&format!("diagonals.{index}.2"), &name));
    }
    if is_room {
        list.extend(ceiling(fields, space));
    }
    let mut named = |at: &str, name: &str| list.push(fields.field(at, name));
    named("floor_level", "Floor level");
    named("first_wall_faces", "First wall faces");
    if is_room {
        named("finishes.walls", "Finish of the walls");
        for wall in space.walls.iter().map(|wall| &wall.id) {
            let at = format!("finishes.wall.{wall}");
            if fields.has(&at) {
                named(&at, &format!("Finish of {}", words(wall)));
            }
        }
        named("finishes.floor", "Finish of the floor");
        named("finishes.ceiling", "Finish of the ceiling");
    }
    named("ambient", "Light on the screen wall");
    named("noise", "Background noise");
    if is_room {
        for (key, band) in [
            ("hz_125", "125\u{202F}Hz"),
            ("hz_250", "250\u{202F}Hz"),
            ("hz_500", "500\u{202F}Hz"),
            ("hz_1000", "1\u{202F}kHz"),
            ("hz_2000", "2\u{202F}kHz"),
            ("hz_4000", "4\u{202F}kHz"),
        ] {
            named(&format!("reverberation.{key}"), &format!("Rings at {band}"));
        }
        named("reverberation.by", "Made to ring by");
        named("reverberation.places", "Measured from so many places");
    }
    named("temperature", "Usual air temperature");
    list.into_iter().flatten().collect()
}

/// "left end of screen wall".
fn corner(name: &str) -> String {
    match name.rsplit_once('.') {
        Some((wall, end)) => format!("{end} end of {}", words(wall).to_lowercase()),
        None => name.to_owned(),
    }
}

fn ceiling(fields: &Fields<'_>, space: &Space) -> Vec<Option<Field>> {
    let named = |part: &str, name: &str| fields.field(&format!("ceiling.{part}"), name);
    let mut list = vec![named("shape", "Ceiling, shape")];
    let shape = space.ceiling.as_ref().map(|ceiling| ceiling.shape);
    match shape {
        None | Some(CeilingShape::Flat) => list.push(named("height", "Ceiling height")),
        Some(CeilingShape::Shed) => list.extend([
            named("low", "Ceiling, low wall"),
            named("eaves", "Ceiling height at the low wall"),
            named("top", "Ceiling height at the far corner"),
        ]),
        Some(CeilingShape::Gable) => list.extend([
            named("ridge.0", "Ridge runs from wall"),
            named("ridge.1", "Ridge runs to wall"),
            named(
                "ridge_from_left",
                "Ridge from the left corner of its first wall",
            ),
            named("eaves", "Ceiling height where the slopes start"),
            named("top", "Ceiling height at the ridge"),
        ]),
        Some(CeilingShape::Hip) => list.extend([
            named("eaves", "Ceiling height where the slopes start"),
            named("top", "Ceiling height at its highest"),
        ]),
        Some(CeilingShape::Planes) => {
            let planes = space
                .ceiling
                .iter()
                .flat_map(|ceiling| ceiling.planes.iter().enumerate());
            for (plane, _) in planes {
                for point in 0..3 {
                    let at = format!("planes.{plane}.through.{point}.height");
                    let name =
                        format!("Ceiling plane {}, height at point {}", plane + 1, point + 1);
                    list.push(named(&at, &name));
                }
            }
        }
    }
    list
}

fn soffits(ground: &Ground<'_>, fields: &Fields<'_>) -> Vec<WalkThing> {
    let space = ground.space;
    (space.soffit.iter())
        .map(|soffit| {
            let thing = format!("soffit.{}", soffit.id);
            let mut list = fields.fields(&thing, &["from.0", "from.1", "and.0", "and.1"]);
            let along = fields.field(&format!("{thing}.size.0"), "Along the first wall");
            let away = fields.field(&format!("{thing}.size.1"), "Away from the first wall");
            list.extend(along.into_iter().chain(away));
            list.extend(fields.fields(&thing, &["underside"]));
            let height = soffit.underside.value();
            let height = height.map(|height| scene::length(ground.analysis, height));
            WalkThing {
                id: soffit.id.clone(),
                at: format!("space.{}.{thing}", space.id),
                kind: "soffit".to_owned(),
                label: words(&soffit.id),
                says: match height {
                    Some(height) => format!("{}, underside {height} high", words(&soffit.id)),
                    None => format!("{}, underside still to measure", words(&soffit.id)),
                },
                fields: list,
            }
        })
        .collect()
}

fn constructions(fields: &Fields<'_>, space: &Space) -> Vec<WalkThing> {
    (space.construction.iter().enumerate())
        .map(|(index, made_of)| {
            let thing = format!("construction.{index}");
            let parts: &[&str] = match made_of.framing {
                Framing::Joist => &["of", "framing", "along", "spacing", "first_from_left"],
                Framing::Stud | Framing::SteelStud => {
                    &["of", "framing", "spacing", "first_from_left"]
                }
                Framing::Masonry | Framing::Concrete => &["of", "framing"],
            };
            let mut list = fields.fields(&thing, parts);
            for block in 0..made_of.fire_block_at.as_ref().map_or(0, Vec::len) {
                let name = format!("Block {} above the floor", block + 1);
                list.extend(fields.field(&format!("{thing}.fire_block_at.{block}"), &name));
            }
            let others: &[&str] = match made_of.framing {
                Framing::Masonry | Framing::Concrete => &["board", "bearing"],
                Framing::Stud | Framing::SteelStud | Framing::Joist => &[
                    "face",
                    "cavity",
                    "board",
                    "insulated",
                    "bearing",
                    "species",
                    "beyond",
                ],
            };
            list.extend(fields.fields(&thing, others));
            let framing = scene::word(&made_of.framing);
            WalkThing {
                id: index.to_string(),
                at: format!("space.{}.{thing}", space.id),
                says: format!(
                    "{}, {}",
                    words(&made_of.of),
                    label(&framing).to_lowercase().replace('-', " ")
                ),
                kind: framing,
                label: words(&made_of.of),
                fields: list,
            }
        })
        .collect()
}
