//! What may stand in a projector's beam: things, people and door leaves.

use std::rc::Rc;

use analysis::{Analysis, Body, Known, Means, Missing, Parts, Uncertain};
use model::{Fixture, FixtureKind, Opening, OpeningKind, Seat, Side, Space, SwingInto};

use crate::Subject;
use crate::beam::{PERSON_RADIUS_M, Shape};
use crate::obstacles::Thing;

/// From the eyes to the crown, m (from memory, ISO 7250-1 sitting height less eye height).
const CROWN_ABOVE_EYES_M: f64 = 0.12;
/// A door leaf is looked at in steps of at most this, rad, between shut and fully open.
const LEAF_STEP_RAD: f64 = 0.2;
/// A door leaf's thickness, m: common practice.
const LEAF_THICKNESS_M: f64 = 0.04;

/// Something that may stand in the beam.
pub(crate) struct BeamObstacle<'a> {
    who: Who<'a>,
    /// Its shape, or every place that it takes at times; the worst counts.
    pub shapes: Known<Rc<[Shape]>>,
    /// There at times alone.
    pub passing: bool,
    pub thing: Option<Thing<'a>>,
}

/// What it is.
#[derive(Clone, Copy)]
enum Who<'a> {
    Thing(Thing<'a>),
    Seated(&'a Seat),
    Standing(&'a Seat),
    Walking(&'a Fixture),
    Leaf(&'a Opening),
}

impl BeamObstacle<'_> {
    pub fn subject(&self) -> Subject {
        match self.who {
            Who::Thing(thing) => thing.subject(),
            Who::Seated(seat) => Subject::new(&seat.id, format!("the head at seat {}", seat.id)),
            Who::Standing(seat) => Subject::new(
                format!("{}.standing", seat.id),
                format!("somebody standing at seat {}", seat.id),
            ),
            Who::Walking(way) => Subject::fixture(way),
            Who::Leaf(door) => Subject::new(
                format!("{}.leaf", door.id),
                format!("the leaf of {}", door.id.replace('-', " ")),
            ),
        }
    }
}

/// Of things and all else of a space what may stand in a beam: people who sit, stand up or walk
/// by at `standing_m`, and door leaves.
pub(crate) fn beam_obstacles<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    things: impl Iterator<Item = Thing<'a>>,
    standing_m: f64,
) -> Vec<BeamObstacle<'a>> {
    let mut found: Vec<BeamObstacle<'a>> = things
        .filter(|thing| !is_flat(*thing))
        .map(|thing| BeamObstacle {
            who: Who::Thing(thing),
            shapes: thing.kept(analysis, space, "beam shape", || {
                let body = thing.body(analysis, space)?;
                Ok(Rc::from([Shape::of(&body)]))
            }),
            passing: false,
            thing: Some(thing),
        })
        .collect();
    for seat in &space.seat {
        found.extend(people(analysis, space, seat, standing_m));
    }
    let walkways = space
        .fixture
        .iter()
        .filter(|fixture| fixture.kind == FixtureKind::Walkway);
    found.extend(walkways.map(|fixture| BeamObstacle {
        who: Who::Walking(fixture),
        shapes: walkers(analysis, space, fixture, standing_m).map(|shape| Rc::from([shape])),
        passing: true,
        thing: None,
    }));
    let leaves = analysis.kept_of_space("door leaves", space, Parts::OPENINGS, |space| {
        let leaves = space.opening.iter().map(|door| leaf(analysis, space, door));
        Rc::<[_]>::from_iter(leaves)
    });
    let doors = space.opening.iter().zip(leaves.iter());
    found.extend(doors.filter_map(|(door, shapes)| {
        Some(BeamObstacle {
            who: Who::Leaf(door),
            shapes: Ok(Rc::clone(shapes.as_ref()?)),
            passing: true,
            thing: None,
        })
    }));
    found
}

/// What lies so flat on its wall that no beam from inside the room meets it.
fn is_flat(thing: Thing<'_>) -> bool {
    matches!(thing, Thing::Fixture(fixture) if fixture.on.is_some() && matches!(
        fixture.kind,
        FixtureKind::Switch
            | FixtureKind::Socket
            | FixtureKind::MainsRun
            | FixtureKind::Thermostat
            | FixtureKind::Plate
            | FixtureKind::ConduitEnd
            | FixtureKind::Vent
            | FixtureKind::PictureRail
    ))
}

/// Somebody who sits there, and the same person standing up.
fn people<'a>(
    analysis: &Analysis,
    space: &Space,
    seat: &'a Seat,
    standing_m: f64,
) -> Vec<BeamObstacle<'a>> {
    let place = match analysis.seat(space, seat) {
        Ok(place) => place,
        Err(missing) => {
            return vec![BeamObstacle {
                who: Who::Seated(seat),
                shapes: Err(missing),
                passing: false,
                thing: None,
            }];
        }
    };
    let floor = analysis.number(seat.riser.as_ref()).unwrap_or_default();
    let seated = &place.eye.z - &floor + CROWN_ABOVE_EYES_M;
    let person = |who, height, passing| BeamObstacle {
        who,
        shapes: Ok(Rc::from([Shape::Person([
            place.plan.x.clone(),
            place.plan.y.clone(),
            floor.clone(),
            height,
        ])])),
        passing,
        thing: None,
    };
    vec![
        person(Who::Seated(seat), seated, false),
        person(Who::Standing(seat), Uncertain::exact(standing_m), true),
    ]
}

/// Anybody anywhere on a walkway: its area, wider by a person's half width all round, as
/// high as a person. Without a size: one person at its middle.
fn walkers(analysis: &Analysis, space: &Space, fixture: &Fixture, standing_m: f64) -> Known<Shape> {
    let at = format!("space.{}.fixture.{}", space.id, fixture.id);
    let stands = fixture.at.as_ref().ok_or_else(|| {
        let what = format!("where people walk on {}", fixture.id.replace('-', " "));
        Missing::new(what, format!("{at}.at"), Means::Tape)
    })?;
    let standing = Uncertain::exact(standing_m);
    let path = format!("{at}.at");
    if fixture.size.is_none() {
        let plan =
            analysis
                .shape(space)
                .corner_from(analysis, space, &stands.from, &stands.and, &path)?;
        let floor = analysis.number(stands.height.as_ref()).unwrap_or_default();
        return Ok(Shape::Person([plan.x, plan.y, floor, standing]));
    }
    let [length, _, width] = analysis.fixture_size(space, fixture)?;
    let size = [
        length + 2.0 * PERSON_RADIUS_M,
        standing,
        width + 2.0 * PERSON_RADIUS_M,
    ];
    let body = analysis.body_standing(space, stands, size, &path)?;
    Ok(Shape::of(&body))
}

/// A door's leaf that opens into the room, from shut to fully open.
fn leaf(analysis: &Analysis, space: &Space, door: &Opening) -> Option<Rc<[Shape]>> {
    let swing = door.swing.as_ref()?;
    if door.kind != OpeningKind::Door || swing.into != SwingInto::Room {
        return None;
    }
    // A door whose place is not known is asked for by the check of the picture's outside.
    let rect = analysis.opening_rect(space, door).ok()?;
    let (left, along, inward) = analysis.shape(space).wall_frame(rect.wall).ok()?;
    let (hinge, sign) = match swing.hinge {
        Side::Left => (&rect.left, 1.0),
        Side::Right => (&rect.right, -1.0),
    };
    let hinge = &left + &along.scaled(hinge);
    let opens = analysis
        .number(swing.opens.as_ref())
        .map_or(std::f64::consts::FRAC_PI_2, |opens| opens.value().abs());
    let (width, height) = (rect.width(), rect.top.clone());
    let steps = (opens / LEAF_STEP_RAD).ceil().clamp(1.0, 32.0) as u32;
    let shapes = (0..=steps).map(|step| {
        let (sine, cosine) = (opens * f64::from(step) / f64::from(steps)).sin_cos();
        let sideways = along.scaled(&Uncertain::exact(sign * cosine));
        let way = &sideways + &inward.scaled(&Uncertain::exact(sine));
        let middle = &hinge + &way.scaled(&(&width / 2.0));
        Shape::of(&Body {
            centre: middle.at_height(&height / 2.0),
            along: way,
            size: [
                width.clone(),
                height.clone(),
                Uncertain::exact(LEAF_THICKNESS_M),
            ],
        })
    });
    Some(shapes.collect())
}
