//! Where does a thing stand, hang or sit, and how large is it?

use analysis::{Analysis, MARK_M};
use model::{
    Anchor, Fixture, FixtureKind, FromWall, Hung, InPlan, Item, Kit, LoudspeakerForm, Opening,
    Seat, Space,
};

use super::ground::{Frame, Ground};
use super::{BodyPlace, OnWall, Plan, Surface};

/// What is thinner than this is drawn this thick in plan, m, so that it can be seen.
const SEEN_M: f64 = 0.02;
/// How wide a seat is drawn, m. A sign: its head is what is measured.
const SEAT_M: f64 = 0.5;
/// A door or window is drawn this thick where its wall's thickness is not known, m.
const WALL_M: f64 = 0.1;

/// A thing in its place, as far as it is known.
pub(crate) struct Placed {
    pub place: BodyPlace,
    /// The wall that it is on.
    pub wall: Option<String>,
    pub on_wall: Option<OnWall>,
    pub outline: Option<Vec<Plan>>,
    pub centre: Option<Plan>,
    pub bottom_m: Option<f64>,
    pub top_m: Option<f64>,
    pub moves: Option<Surface>,
    /// Width, height and depth, m; signs stand for what is not known.
    pub size_m: [f64; 3],
    /// Direction of its width in plan, of length 1.
    pub along: Plan,
    /// Disappears in wall or ceiling.
    pub is_flush: bool,
    pub missing: Option<String>,
}

impl Placed {
    fn nowhere(place: BodyPlace, missing: Option<String>) -> Self {
        Self {
            place,
            wall: None,
            on_wall: None,
            outline: None,
            centre: None,
            bottom_m: None,
            top_m: None,
            moves: None,
            size_m: [MARK_M; 3],
            along: [1.0, 0.0],
            is_flush: false,
            missing,
        }
    }
}

/// How a place is written.
#[derive(Clone, Copy)]
pub(crate) enum Written<'a> {
    On(&'a model::OnWall, Anchor),
    At(&'a InPlan),
    Hung(&'a Hung),
}

/// What a box is drawn by.
struct Sized {
    size_m: [f64; 3],
    /// Disappears in wall or ceiling.
    flush: bool,
    /// Drawn round in plan.
    round: bool,
    /// Turned so that its width runs along this, whatever it is measured from.
    along: Option<Plan>,
}

pub(crate) fn written_of<'a>(
    on: Option<&'a model::OnWall>,
    at: Option<&'a InPlan>,
    hung: Option<&'a Hung>,
) -> Option<Written<'a>> {
    match (on, at, hung) {
        (Some(on), ..) => Some(Written::On(on, Anchor::Centre)),
        (_, Some(at), _) => Some(Written::At(at)),
        (.., Some(hung)) => Some(Written::Hung(hung)),
        _ => None,
    }
}

/// A placed item.
pub(crate) fn item(ground: &Ground<'_>, item: &Item) -> Placed {
    let analysis = ground.analysis;
    let kit = analysis.kit_of(item);
    if item.inside.is_some() && !item.is_placed() {
        return Placed {
            missing: None,
            ..Placed::nowhere(BodyPlace::Inside, None)
        };
    }
    let Some(written) = written_of(item.on.as_ref(), item.at.as_ref(), item.hung.as_ref()) else {
        let plate = item
            .reuses
            .as_deref()
            .and_then(|id| ground.space.fixture(id));
        if let Some(plate) = plate {
            return Placed {
                moves: None,
                ..fixture(ground, plate)
            };
        }
        let missing = format!("needs the place of {}", crate::fields::item_name(item));
        return Placed {
            moves: Some(usual_surface(kit)),
            size_m: analysis.item_shape(item).size.map(|part| part.value()),
            ..Placed::nowhere(BodyPlace::None, Some(missing))
        };
    };
    let shape = analysis.item_shape(item);
    let along = match kit {
        // A projector is turned to its screen.
        Some(Kit::Projector(_)) => analysis
            .screen_of(item)
            .ok()
            .and_then(|screen| Some(ground.wall(&screen.on.as_ref()?.wall)?.along)),
        _ => None,
    };
    let sized = Sized {
        size_m: shape.size.map(|part| part.value()),
        flush: shape.is_flush,
        round: shape.is_round,
        along,
    };
    written_place(ground, &crate::fields::item_name(item), written, &sized)
}

/// The surface on which a kind is usually fitted.
fn usual_surface(kit: Option<Kit<'_>>) -> Surface {
    match kit {
        Some(Kit::Projector(_)) => Surface::Ceiling,
        Some(Kit::Screen(_) | Kit::Display(_) | Kit::Mount(_) | Kit::Plate(_)) => Surface::Wall,
        Some(Kit::Loudspeaker(kit)) => match kit.form {
            Some(LoudspeakerForm::InCeiling) => Surface::Ceiling,
            Some(LoudspeakerForm::OnWall | LoudspeakerForm::InWall | LoudspeakerForm::Bar) => {
                Surface::Wall
            }
            _ => Surface::Floor,
        },
        _ => Surface::Floor,
    }
}

/// A thing that was there before.
pub(crate) fn fixture(ground: &Ground<'_>, fixture: &Fixture) -> Placed {
    let size = ground.analysis.fixture_size(ground.space, fixture);
    let sized = Sized {
        size_m: match &size {
            Ok(size) => [0, 1, 2].map(|k| size[k].value()),
            Err(_) => [MARK_M; 3],
        },
        flush: false,
        round: matches!(
            fixture.kind,
            FixtureKind::CeilingLight
                | FixtureKind::Fan
                | FixtureKind::Sprinkler
                | FixtureKind::SmokeAlarm
        ),
        along: None,
    };
    let label = crate::words::words(&fixture.id);
    let written = written_of(
        fixture.on.as_ref(),
        fixture.at.as_ref(),
        fixture.hung.as_ref(),
    );
    let Some(written) = written else {
        let missing = format!("needs where {label} is");
        return Placed {
            moves: Some(match fixture.kind {
                FixtureKind::Furniture | FixtureKind::Walkway | FixtureKind::Post => Surface::Floor,
                FixtureKind::CeilingLight
                | FixtureKind::Fan
                | FixtureKind::Sprinkler
                | FixtureKind::SmokeAlarm => Surface::Ceiling,
                _ => Surface::Wall,
            }),
            size_m: sized.size_m,
            ..Placed::nowhere(BodyPlace::None, Some(missing))
        };
    };
    written_place(ground, &label, written, &sized)
}

/// A hole in a wall; drawn through the wall.
pub(crate) fn opening(ground: &Ground<'_>, opening: &Opening) -> Placed {
    let part = |index: usize| {
        let number = ground.analysis.number(Some(&opening.size[index]));
        number.map(|number| number.value())
    };
    let label = crate::words::words(&opening.id);
    let (Some(width), Some(height)) = (part(0), part(1)) else {
        let what = match (part(0), part(1)) {
            (None, None) => "width and height",
            (None, _) => "width",
            _ => "height",
        };
        // Its width and place along the wall are enough for the plan.
        let guess = Sized {
            size_m: [part(0).unwrap_or(MARK_M), part(1).unwrap_or(MARK_M), 0.0],
            flush: false,
            round: false,
            along: None,
        };
        let written = Written::On(&opening.on, Anchor::LowerLeft);
        let placed = written_place(ground, &label, written, &guess);
        return Placed {
            missing: Some(format!("needs the {what} of {label}")),
            outline: placed.outline.filter(|_| part(0).is_some()),
            on_wall: None,
            top_m: None,
            ..placed
        };
    };
    let sized = Sized {
        size_m: [width, height, 0.0],
        flush: false,
        round: false,
        along: None,
    };
    let written = Written::On(&opening.on, Anchor::LowerLeft);
    let mut placed = written_place(ground, &label, written, &sized);
    if let (Some(frame), Some(rect)) = (ground.wall(&opening.on.wall), &placed.on_wall) {
        let back = -thickness(ground.analysis, ground.space, &opening.on.wall);
        let corner = |along: f64, off: f64| rounded(frame.point(along, off));
        placed.outline = Some(vec![
            corner(rect.left, 0.0),
            corner(rect.right, 0.0),
            corner(rect.right, back),
            corner(rect.left, back),
        ]);
    }
    placed
}

/// A wall's thickness, or a sign for it.
fn thickness(analysis: &Analysis, space: &Space, wall: &str) -> f64 {
    let number = |fact| analysis.number(fact).map(|number| number.value());
    let known = space.construction_of(wall).and_then(|made_of| {
        let board = number(made_of.board.as_ref()).unwrap_or(0.0);
        Some(number(made_of.cavity.as_ref())? + 2.0 * board)
    });
    known.filter(|thickness| *thickness > 0.0).unwrap_or(WALL_M)
}

/// A place to sit: a square about the head, from the riser to the eyes.
pub(crate) fn seat(ground: &Ground<'_>, seat: &Seat) -> Placed {
    let label = format!("seat {}", seat.id);
    let Some(at) = &seat.at else {
        let missing = format!("needs where {label} stands");
        return Placed {
            moves: Some(Surface::Floor),
            size_m: [SEAT_M, 0.0, SEAT_M],
            ..Placed::nowhere(BodyPlace::None, Some(missing))
        };
    };
    let sized = Sized {
        size_m: [SEAT_M, 0.0, SEAT_M],
        flush: false,
        round: false,
        along: None,
    };
    let placed = written_place(ground, &label, Written::At(at), &sized);
    let riser = ground.analysis.number(seat.riser.as_ref());
    let eye = ground
        .analysis
        .seat(ground.space, seat)
        .map(|place| place.eye.z.value());
    let eye = eye.ok().or_else(|| seat.eye.as_ref()?.value());
    Placed {
        bottom_m: Some(round(riser.map_or(0.0, |riser| riser.value()))),
        top_m: eye.map(round),
        ..placed
    }
}

fn written_place(ground: &Ground<'_>, label: &str, written: Written<'_>, sized: &Sized) -> Placed {
    match written {
        Written::On(on, default) => on_wall(ground, label, on, default, sized),
        Written::At(at) => {
            let plan = from_two_walls(ground, [&at.from, &at.and]);
            let bottom = at
                .height
                .as_ref()
                .map_or(Some(0.0), |height| height.value());
            let top = bottom.map(|bottom| bottom + sized.size_m[1]);
            in_plan(
                ground,
                label,
                (plan, &at.from),
                [bottom, top],
                sized,
                Surface::Floor,
            )
        }
        Written::Hung(hung) => {
            let plan = from_two_walls(ground, [&hung.from, &hung.and]);
            let ceiling = plan.as_ref().ok().and_then(|plan| ground.ceiling_at(*plan));
            let drop = hung.drop.as_ref().map_or(Some(0.0), |drop| drop.value());
            let top = ceiling.zip(drop).map(|(ceiling, drop)| ceiling - drop);
            let bottom = match sized.flush {
                true => top,
                false => top.map(|top| top - sized.size_m[1]),
            };
            in_plan(
                ground,
                label,
                (plan, &hung.from),
                [bottom, top],
                sized,
                Surface::Ceiling,
            )
        }
    }
}

fn on_wall(
    ground: &Ground<'_>,
    label: &str,
    on: &model::OnWall,
    default: Anchor,
    sized: &Sized,
) -> Placed {
    let [width, height, depth] = sized.size_m;
    let [dx, dy] = on.to.unwrap_or(default).offset();
    let number = |fact| ground.analysis.number(fact).map(|number| number.value());
    let along = number(on.from_left.as_ref()).map(|from_left| from_left - width * dx / 2.0);
    let up = number(on.height.as_ref()).map(|up| up - height * dy / 2.0);
    let frame = ground.wall(&on.wall);
    let out = if sized.flush { 0.0 } else { depth };
    let outline = frame.zip(along).map(|(frame, along)| {
        let (half, seen) = (width.max(SEEN_M) / 2.0, out.max(SEEN_M));
        let corner = |side: f64, off: f64| rounded(frame.point(along + side * half, off));
        vec![
            corner(-1.0, 0.0),
            corner(1.0, 0.0),
            corner(1.0, seen),
            corner(-1.0, seen),
        ]
    });
    let missing = match (along, up, frame) {
        (None, None, _) => Some(format!("needs where {label} is on wall {}", on.wall)),
        (None, ..) => Some(format!(
            "needs how far {label} is from the left corner of wall {}",
            on.wall
        )),
        (_, None, _) => Some(format!("needs how high {label} is above the floor")),
        (.., None) => Some(format!(
            "needs the walls up to wall {} to be drawn in plan",
            on.wall
        )),
        _ => None,
    };
    Placed {
        place: BodyPlace::Wall,
        wall: Some(on.wall.clone()),
        on_wall: along.zip(up).map(|(along, up)| OnWall {
            left: round(along - width / 2.0),
            right: round(along + width / 2.0),
            bottom: round(up - height / 2.0),
            top: round(up + height / 2.0),
            out: Some(round(out)),
        }),
        outline,
        centre: (frame.zip(along)).map(|(frame, along)| rounded(frame.point(along, out / 2.0))),
        bottom_m: up.map(|up| round(up - height / 2.0)),
        top_m: up.map(|up| round(up + height / 2.0)),
        moves: Some(Surface::Wall),
        size_m: sized.size_m,
        along: frame.map_or([1.0, 0.0], |frame| frame.along),
        is_flush: sized.flush,
        missing,
    }
}

fn from_two_walls(ground: &Ground<'_>, walls: [&FromWall; 2]) -> Result<Plan, String> {
    let distance = |FromWall(wall, distance): &FromWall| {
        let known = ground.analysis.number(Some(distance));
        known
            .map(|known| known.value())
            .ok_or_else(|| format!("the distance from wall {wall}"))
    };
    let frame = |FromWall(wall, _): &FromWall| {
        ground
            .wall(wall)
            .ok_or_else(|| format!("the walls up to wall {wall}"))
    };
    let frames: [Frame; 2] = [frame(walls[0])?, frame(walls[1])?];
    let distances = [distance(walls[0])?, distance(walls[1])?];
    let meeting = ground.meeting([&frames[0], &frames[1]], distances);
    meeting.ok_or_else(|| "distances from two walls that are not parallel".to_owned())
}

fn in_plan(
    ground: &Ground<'_>,
    label: &str,
    (plan, first): (Result<Plan, String>, &FromWall),
    [bottom, top]: [Option<f64>; 2],
    sized: &Sized,
    surface: Surface,
) -> Placed {
    let along = sized.along.or_else(|| Some(ground.wall(&first.0)?.along));
    let [width, height, depth] = sized.size_m;
    let outline = plan
        .as_ref()
        .ok()
        .zip(along)
        .map(|(plan, along)| match sized.round {
            true => ring(*plan, width.max(SEEN_M) / 2.0),
            // What lies flat in the ceiling shows its face.
            false if sized.flush => rectangle(*plan, along, [width, height]),
            false => rectangle(*plan, along, [width, depth]),
        });
    let is_hung = surface == Surface::Ceiling;
    let missing = match (&plan, top) {
        (Err(what), _) => Some(format!("needs {what} to draw {label}")),
        (_, None) if is_hung => Some(format!("needs the ceiling's height to draw {label}")),
        (_, None) => Some(format!("needs how high {label} is above the floor")),
        _ => None,
    };
    Placed {
        place: if is_hung {
            BodyPlace::Ceiling
        } else {
            BodyPlace::Floor
        },
        wall: None,
        on_wall: None,
        outline,
        centre: plan.ok().map(rounded),
        bottom_m: bottom.map(round),
        top_m: top.map(round),
        moves: Some(surface),
        size_m: sized.size_m,
        along: along.unwrap_or([1.0, 0.0]),
        is_flush: sized.flush,
        missing,
    }
}

fn rectangle([x, y]: Plan, [ax, ay]: Plan, [width, depth]: [f64; 2]) -> Vec<Plan> {
    let (a, b) = (width.max(SEEN_M) / 2.0, depth.max(SEEN_M) / 2.0);
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(s, t)| rounded([x + ax * a * s + ay * b * t, y + ay * a * s - ax * b * t]))
        .into()
}

fn ring([x, y]: Plan, radius_m: f64) -> Vec<Plan> {
    const CORNERS: u32 = 16;
    let corner = |i: u32| {
        let angle = f64::from(i) * std::f64::consts::TAU / f64::from(CORNERS);
        rounded([x + radius_m * angle.cos(), y + radius_m * angle.sin()])
    };
    (0..CORNERS).map(corner).collect()
}

/// To a hundredth of a millimetre: finer than any tape, and short as text.
pub(crate) fn round(value_m: f64) -> f64 {
    let rounded = (value_m * 1e5).round() / 1e5;
    // No minus before a zero.
    rounded + 0.0
}

pub(crate) fn rounded<const N: usize>(point: [f64; N]) -> [f64; N] {
    point.map(round)
}
