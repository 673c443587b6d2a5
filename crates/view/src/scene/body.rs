//! Whatever stands, hangs or is let in, with its facts and where it is in words.

use analysis::Analysis;
use model::{Fixture, FixtureKind, Item, Kit, Opening, OpeningKind, Seat, Side, Swing, SwingInto};
use units::Dimension;

use super::ground::Ground;
use super::place::{self, Placed, Written, round, rounded};
use super::{Body, BodyKind, BodyPlace, Doors, Plan, Surface};
use crate::Field;
use crate::fields::{Blanks, Fields, item_name};
use crate::words::{capital, words};

/// Straight pieces that a leaf's way is drawn with.
const SWING_STEPS: u32 = 12;

/// Openings, fixtures, seats, items: what is there before what comes.
pub(crate) fn bodies(ground: &Ground<'_>, blanks: &Blanks<'_>) -> Vec<Body> {
    let (analysis, space) = (ground.analysis, ground.space);
    let fields = Fields::of_space(analysis, blanks, space);
    let mut bodies = Vec::new();
    bodies.extend(
        space
            .opening
            .iter()
            .map(|one| opening(ground, &fields, one)),
    );
    bodies.extend(
        space
            .fixture
            .iter()
            .map(|one| fixture(ground, &fields, one)),
    );
    bodies.extend(space.seat.iter().map(|one| seat(ground, &fields, one)));
    let items: Vec<&Item> = analysis.items_in(space).collect();
    bodies.extend(items.into_iter().map(|one| {
        let fields = Fields::of_item(analysis, blanks, space, one);
        item(ground, &fields, one)
    }));
    bodies
}

/// What of a body does not follow from its place.
struct Facts {
    id: String,
    at: String,
    kind: BodyKind,
    is: String,
    label: String,
    existing: bool,
    says: String,
    fields: Vec<Field>,
}

fn body(facts: Facts, placed: Placed) -> Body {
    Body {
        id: facts.id,
        at: facts.at,
        kind: facts.kind,
        is: facts.is,
        label: facts.label,
        says: facts.says,
        existing: facts.existing,
        place: placed.place,
        wall: placed.wall,
        on_wall: placed.on_wall,
        outline: placed.outline,
        centre: placed.centre,
        bottom_m: placed.bottom_m,
        top_m: placed.top_m,
        moves: placed.moves,
        doors: None,
        aim: None,
        fields: facts.fields,
        missing: placed.missing,
    }
}

fn opening(ground: &Ground<'_>, fields: &Fields<'_>, opening: &Opening) -> Body {
    let placed = place::opening(ground, opening);
    let thing = format!("opening.{}", opening.id);
    let label = words(&opening.id);
    let doors = opening
        .swing
        .as_ref()
        .and_then(|swing| doors(ground, opening, &placed, swing));
    Body {
        doors,
        ..body(
            Facts {
                id: format!("opening:{}", opening.id),
                at: format!("space.{}.{thing}", ground.space.id),
                kind: BodyKind::Opening,
                is: word(&opening.kind),
                says: opening_says(ground.analysis, opening, &label, &placed),
                label,
                existing: true,
                fields: opening_fields(fields, opening),
            },
            placed,
        )
    }
}

/// Fields of an opening, in the order in which a tape meets them.
fn opening_fields(fields: &Fields<'_>, opening: &Opening) -> Vec<Field> {
    let thing = format!("opening.{}", opening.id);
    let mut list = fields.fields(&thing, &["kind"]);
    list.extend(fields.place(&thing, "on"));
    list.extend(fields.fields(&thing, &["size.0", "size.1"]));
    list.extend(fields.fields(
        &thing,
        match opening.kind {
            OpeningKind::Door => &["swing.hinge", "swing.into", "swing.opens", "into"][..],
            OpeningKind::Window => &["glazing", "blind", "transmittance"],
            OpeningKind::Archway => &["into"],
            OpeningKind::Recess => &[],
        },
    ));
    list
}

/// The hinge, then the way of the leaf's edge from shut to open.
fn doors(ground: &Ground<'_>, opening: &Opening, placed: &Placed, swing: &Swing) -> Option<Doors> {
    let frame = ground.wall(&opening.on.wall)?;
    let rect = placed.on_wall?;
    let opens = ground.analysis.number(swing.opens.as_ref());
    let opens = opens
        .map(|opens| opens.value())
        .filter(|opens| *opens > 0.0);
    let opens = opens.map_or(std::f64::consts::FRAC_PI_2, |opens| {
        opens.min(std::f64::consts::PI)
    });
    let (hinge, way) = match swing.hinge {
        Side::Left => (rect.left, 1.0),
        Side::Right => (rect.right, -1.0),
    };
    let side = match swing.into {
        SwingInto::Room => 1.0,
        SwingInto::Away => -1.0,
    };
    let width = rect.right - rect.left;
    let edge = |step: u32| {
        let angle = opens * f64::from(step) / f64::from(SWING_STEPS);
        rounded(frame.point(
            hinge + way * width * angle.cos(),
            side * width * angle.sin(),
        ))
    };
    let mut points = vec![rounded(frame.point(hinge, 0.0))];
    points.extend((0..=SWING_STEPS).map(edge));
    Some(Doors { swing: points })
}

fn fixture(ground: &Ground<'_>, fields: &Fields<'_>, fixture: &Fixture) -> Body {
    let placed = place::fixture(ground, fixture);
    let thing = format!("fixture.{}", fixture.id);
    let label = words(&fixture.id);
    let written = place::written_of(
        fixture.on.as_ref(),
        fixture.at.as_ref(),
        fixture.hung.as_ref(),
    );
    body(
        Facts {
            id: format!("fixture:{}", fixture.id),
            at: format!("space.{}.{thing}", ground.space.id),
            kind: BodyKind::Fixture,
            is: word(&fixture.kind),
            says: says(ground.analysis, &label, &placed, written),
            label,
            existing: true,
            fields: fixture_fields(fields, fixture),
        },
        placed,
    )
}

/// Fields of a fixture, in the order in which a tape meets them.
fn fixture_fields(fields: &Fields<'_>, fixture: &Fixture) -> Vec<Field> {
    let thing = format!("fixture.{}", fixture.id);
    let usual = match fixture.kind {
        FixtureKind::Furniture | FixtureKind::Walkway | FixtureKind::Post => "at",
        FixtureKind::CeilingLight
        | FixtureKind::Fan
        | FixtureKind::Sprinkler
        | FixtureKind::SmokeAlarm => "hung",
        _ => "on",
    };
    let mut list = fields.fields(&thing, &["kind"]);
    list.extend(fields.place(&thing, usual));
    list.extend(fields.fields(&thing, &["size.0", "size.1", "size.2"]));
    list.extend(fields.fields(
        &thing,
        match fixture.kind {
            FixtureKind::Plate | FixtureKind::CableEnd | FixtureKind::ConduitEnd => &["cable"][..],
            FixtureKind::Socket => &["circuit"],
            FixtureKind::Fireplace | FixtureKind::Mantel | FixtureKind::ChimneyBreast => {
                &["reading"]
            }
            _ => &[],
        },
    ));
    list.extend(fields.fields(&thing, &["note"]));
    list
}

fn seat(ground: &Ground<'_>, fields: &Fields<'_>, seat: &Seat) -> Body {
    let placed = place::seat(ground, seat);
    let label = format!("Seat {}", seat.id.replace('-', " "));
    let written = seat.at.as_ref().map(Written::At);
    let mut says = says(ground.analysis, &label, &placed, written);
    if let Some(eye) = placed.top_m {
        says += &format!(", eyes {} high", length(ground.analysis, eye));
    }
    let looks = (ground.analysis.seat(ground.space, seat).ok())
        .and_then(|place| ground.analysis.look_direction(ground.space, &place).ok());
    Body {
        aim: looks.map(|way| {
            let [x, y] = way.value();
            rounded([x, y, 0.0])
        }),
        ..body(
            Facts {
                id: format!("seat:{}", seat.id),
                at: format!("space.{}.seat.{}", ground.space.id, seat.id),
                kind: BodyKind::Seat,
                is: "seat".to_owned(),
                label,
                existing: true,
                says,
                fields: seat_fields(fields, seat),
            },
            placed,
        )
    }
}

/// Fields of a seat, in the order in which a tape meets them.
fn seat_fields(fields: &Fields<'_>, seat: &Seat) -> Vec<Field> {
    let thing = format!("seat.{}", seat.id);
    let mut list = fields.place(&thing, "at");
    list.extend(fields.fields(&thing, &["eye", "ear", "row", "riser", "importance"]));
    list
}

fn item(ground: &Ground<'_>, fields: &Fields<'_>, item: &Item) -> Body {
    let analysis = ground.analysis;
    let placed = place::item(ground, item);
    let label = item_name(item);
    let kit = analysis.kit_of(item);
    let holder = item.inside.as_deref().and_then(|id| analysis.item(id));
    let written = place::written_of(item.on.as_ref(), item.at.as_ref(), item.hung.as_ref());
    let says = match (placed.place, holder, &item.reuses) {
        (BodyPlace::Inside, Some(holder), _) => format!("{label}, in {}", item_name(holder)),
        (_, _, Some(plate)) if !item.is_placed() => {
            format!("{label}, takes over {}", plate.replace('-', " "))
        }
        _ => says(analysis, &label, &placed, written),
    };
    let usual = match placed.moves {
        Some(Surface::Wall) => "on",
        Some(Surface::Floor) => "at",
        Some(Surface::Ceiling) => "hung",
        None => "",
    };
    body(
        Facts {
            id: format!("item:{}", item.id),
            at: format!("item.{}", item.id),
            kind: BodyKind::Item,
            is: kit.map_or("thing", Kit::kind).to_owned(),
            label,
            existing: item.existing,
            says,
            fields: item_fields(fields, kit, usual),
        },
        placed,
    )
}

fn item_fields(fields: &Fields<'_>, kit: Option<Kit<'_>>, usual: &str) -> Vec<Field> {
    const OTHERS: [&str; 15] = [
        "in",
        "mount",
        "lights",
        "under",
        "tilt",
        "turned.wall",
        "turned.by",
        "aim.dial",
        "aim.off",
        "zone",
        "channel",
        "driven_by",
        "circuit",
        "reuses",
        "note",
    ];
    let usually: &[&str] = match kit {
        Some(Kit::Projector(_)) => &["lights", "circuit"],
        Some(Kit::Display(_)) => &["mount", "tilt", "circuit"],
        Some(Kit::Loudspeaker(_)) => &["zone", "channel", "driven_by"],
        Some(Kit::Amplifier(_) | Kit::Device(_)) => &["in", "circuit"],
        _ => &[],
    };
    let mut list = fields.fields("", &["name", "is"]);
    list.extend(fields.place("", usual));
    let others = OTHERS
        .into_iter()
        .filter(|part| usually.contains(part) || fields.has(part));
    list.extend(fields.fields("", &others.collect::<Vec<_>>()));
    list
}

/// A kind's word as the document writes it.
pub(crate) fn word(kind: &impl serde::Serialize) -> String {
    let word = serde_json::to_value(kind).ok();
    let word = word.as_ref().and_then(serde_json::Value::as_str);
    word.unwrap_or_default().to_owned()
}

pub(crate) fn length(analysis: &Analysis, length_m: f64) -> String {
    analysis.exact(length_m, Dimension::Length)
}

/// A hole is told by its edges: "Bay window, on wall street, 4′ 2″ from left, 5′ 6″ wide".
fn opening_says(analysis: &Analysis, opening: &Opening, label: &str, placed: &Placed) -> String {
    let Some(rect) = placed.on_wall else {
        return says(analysis, label, placed, None);
    };
    let mut text = format!(
        "{label}, on wall {}, left edge {} from left, {} wide, {} high",
        opening.on.wall,
        length(analysis, rect.left),
        length(analysis, rect.right - rect.left),
        length(analysis, rect.top - rect.bottom),
    );
    if rect.bottom > 0.0 {
        text += &format!(", from {} up", length(analysis, rect.bottom));
    }
    text
}

/// Name and place in one phrase.
fn says(analysis: &Analysis, label: &str, placed: &Placed, written: Option<Written<'_>>) -> String {
    let mut parts = vec![capital(label)];
    match written {
        Some(Written::At(at)) => parts.extend(off_walls(analysis, [&at.from, &at.and])),
        Some(Written::Hung(hung)) => {
            parts.extend(off_walls(analysis, [&hung.from, &hung.and]));
            parts.push(match hung.drop.as_ref().map(|drop| drop.value()) {
                None => "at the ceiling".to_owned(),
                Some(Some(drop)) => format!("{} below the ceiling", length(analysis, drop)),
                Some(None) => "its drop still to measure".to_owned(),
            });
        }
        Some(Written::On(..)) | None => match (&placed.wall, &placed.on_wall) {
            (Some(wall), Some(rect)) => {
                let middle = |a: f64, b: f64| length(analysis, (a + b) / 2.0);
                parts.push(format!("on wall {wall}"));
                parts.push(format!("{} from left", middle(rect.left, rect.right)));
                parts.push(format!("{} high", middle(rect.bottom, rect.top)));
            }
            (Some(wall), None) => {
                parts.push(format!("on wall {wall}"));
                parts.push("its place still to measure".to_owned());
            }
            (None, _) => parts.push("not placed yet".to_owned()),
        },
    }
    parts.join(", ")
}

fn off_walls(analysis: &Analysis, walls: [&model::FromWall; 2]) -> Vec<String> {
    let off = |model::FromWall(wall, distance): &model::FromWall| match distance.value() {
        Some(distance) => format!("{} off wall {wall}", length(analysis, distance)),
        None => format!("distance off wall {wall} still to measure"),
    };
    walls.map(off).into()
}

/// The middle of a polygon's corners.
pub(crate) fn middle(points: &[Plan]) -> Plan {
    let count = points.len().max(1) as f64;
    [0, 1].map(|k| round(points.iter().map(|point| point[k]).sum::<f64>() / count))
}
