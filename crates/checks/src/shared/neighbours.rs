//! What a thing that hangs on a wall may meet there, and how far it is from each.

use std::rc::Rc;

use analysis::{Analysis, Known, Missing, Parts, Reads, SpaceModel, Uncertain, WallRect};
use geometry::{DoorLeaf, PlanRect, Point2, Rect, Vec2};
use model::{FixtureKind, Item, Opening, OpeningKind, Side, Space, SpaceKind, SwingInto};
use units::{Metres, Radians};

use crate::Subject;
use crate::before_wall::{BeforeWall, apart};
use crate::obstacles::{FAR_BEFORE_M, Thing, things, things_by_wall};

/// What hangs on a wall, as its neighbours meet it.
pub(crate) struct Hanging<'a> {
    pub item: &'a Item,
    /// Its outside on the wall.
    pub outside: WallRect,
    /// How far it stands out from the wall, m.
    pub out: Uncertain,
    /// Whether a socket may stay wholly behind it, as behind a display.
    pub hides_sockets: bool,
    /// The facts that its outside rests on.
    pub reads: Reads,
    /// The check that asks.
    pub asked_by: &'static str,
}

/// Something that the outside of what hangs may meet.
pub(crate) struct Neighbour<'a> {
    pub subject: Subject,
    /// The gap, m, as measured.
    pub gap: Known<Uncertain>,
    /// The gap with the outside elsewhere on the wall, m.
    pub gap_of: Box<dyn Fn(Rect) -> f64 + 'a>,
    pub thing: Option<Thing<'a>>,
}

/// Everything that the outside may meet, near or far, but for what is left out.
pub(crate) fn neighbours<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    hanging: &'a Hanging<'a>,
    leave_out: impl Fn(&Thing<'_>) -> bool,
) -> Known<Vec<Neighbour<'a>>> {
    let shape = analysis.shape(space);
    let mut found = if analysis.is_trial() {
        let gaps: Known<Rc<[_]>> = analysis.kept_of_item(hanging.asked_by, hanging.item, || {
            analysis.rest_on(&hanging.reads);
            let space = analysis.with_parts(space, Parts::OPENINGS);
            let gap = |found: Neighbour<'_>| (found.subject, found.gap);
            let found = of_the_room(analysis, space, shape, hanging)?.into_iter();
            Ok(found.map(gap).collect())
        });
        // Nobody asks a trial where else a thing might hang.
        let told = |(subject, gap): &(Subject, Known<Uncertain>)| Neighbour {
            subject: subject.clone(),
            gap: gap.clone(),
            gap_of: Box::new(|_| f64::NAN),
            thing: None,
        };
        gaps?.iter().map(told).collect()
    } else {
        of_the_room(analysis, space, shape, hanging)?
    };
    for (thing, rect) in outlines(analysis, space, hanging) {
        if leave_out(&thing) {
            continue;
        }
        let rect = match rect {
            Ok(rect) => rect,
            Err(missing) => {
                found.push(Neighbour {
                    thing: Some(thing),
                    ..unknown(thing.subject(), missing)
                });
                continue;
            }
        };
        if !is_hidden(thing, hanging, &rect) {
            found.push(Neighbour {
                thing: Some(thing),
                ..beside(thing.subject(), &hanging.outside, &rect)
            });
        }
    }
    Ok(found)
}

/// The things on the wall of what hangs, or before that wall within its depth, wherever it
/// hangs there.
pub(crate) fn outlines<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    hanging: &Hanging<'_>,
) -> Vec<(Thing<'a>, Known<WallRect>)> {
    let wall = space.walls[hanging.outside.wall].id.as_str();
    let near: Box<dyn Iterator<Item = Thing<'a>>> = match hanging.out.value() < FAR_BEFORE_M - 0.01
    {
        true => Box::new(things_by_wall(analysis, space, hanging.outside.wall)),
        false => Box::new(things(analysis, space)),
    };
    let others = near.filter(|thing| thing.item_id() != Some(&hanging.item.id));
    others
        .filter_map(|thing| {
            let on_it = (thing.wall() == Some(wall)).then(|| thing.wall_rect(analysis, space));
            let rect = match on_it.flatten() {
                Some(rect) => rect.map(Some),
                None => before_the_wall(analysis, space, hanging, thing),
            };
            Some((thing, rect.transpose()?))
        })
        .collect()
}

/// Both ends of the wall, the floor, the ceiling, openings and door leaves.
fn of_the_room<'a>(
    analysis: &'a Analysis,
    space: &Space,
    shape: &SpaceModel,
    hanging: &'a Hanging<'a>,
) -> Known<Vec<Neighbour<'a>>> {
    let mut found = bounds(space, shape, hanging)?;
    found.extend(ceiling(space, shape, hanging));
    for opening in &space.opening {
        found.extend(hole(analysis, space, hanging, opening));
        found.extend(leaf(analysis, space, shape, hanging, opening)?);
    }
    Ok(found)
}

fn unknown<'a>(subject: Subject, missing: Missing) -> Neighbour<'a> {
    Neighbour {
        subject,
        gap: Err(missing),
        gap_of: Box::new(|_| f64::INFINITY),
        thing: None,
    }
}

/// A rectangle's best estimate.
pub(crate) fn best(rect: &WallRect) -> Rect {
    Rect {
        left_m: rect.left.value(),
        right_m: rect.right.value(),
        bottom_m: rect.bottom.value(),
        top_m: rect.top.value(),
    }
}

fn beside<'a>(subject: Subject, outside: &WallRect, rect: &WallRect) -> Neighbour<'a> {
    let other = best(rect);
    Neighbour {
        subject,
        gap: Ok(gap_between(outside, rect)),
        gap_of: Box::new(move |outside| outside.gap(&other).signed.0),
        thing: None,
    }
}

/// Distance of the nearest sides or corners, or minus the least move that parts them.
fn gap_between(a: &WallRect, b: &WallRect) -> Uncertain {
    let across = apart([&a.left, &a.right], [&b.left, &b.right]);
    let upright = apart([&a.bottom, &a.top], [&b.bottom, &b.top]);
    if across.value() > 0.0 && upright.value() > 0.0 {
        across.hypot(&upright)
    } else {
        across.max(&upright)
    }
}

fn is_within(inner: &WallRect, outer: &WallRect) -> bool {
    inner.left >= outer.left
        && inner.right <= outer.right
        && inner.bottom >= outer.bottom
        && inner.top <= outer.top
}

/// Hidden behind it on purpose, or what it hangs on.
fn is_hidden(thing: Thing<'_>, hanging: &Hanging<'_>, rect: &WallRect) -> bool {
    let Thing::Fixture(fixture) = thing else {
        return false;
    };
    let outside = &hanging.outside;
    match fixture.kind {
        FixtureKind::Socket => hanging.hides_sockets && is_within(rect, outside),
        FixtureKind::Plate | FixtureKind::ConduitEnd => is_within(rect, outside),
        FixtureKind::ChimneyBreast => rect.left <= outside.left && outside.right <= rect.right,
        _ => false,
    }
}

/// The outline on the wall of a thing that stands before it, within the depth of what hangs.
fn before_the_wall(
    analysis: &Analysis,
    space: &Space,
    hanging: &Hanging<'_>,
    thing: Thing<'_>,
) -> Known<Option<WallRect>> {
    let body = match thing.body(analysis, space) {
        Ok(body) => body,
        Err(missing) => {
            let undecided = match thing {
                Thing::Soffit(_) => true,
                Thing::Fixture(fixture) => stands_nowhere(analysis, space, hanging, fixture),
                Thing::Item(_) => false,
            };
            return if undecided { Err(missing) } else { Ok(None) };
        }
    };
    let wall = hanging.outside.wall;
    let [near_m, far_m] = BeforeWall::faces_m(analysis, space, wall, &body)?;
    let depth = hanging.out.value();
    if near_m > depth + 1e-6 || far_m <= 1e-6 {
        return Ok(None);
    }
    Ok(Some(BeforeWall::of(analysis, space, wall, &body)?.rect))
}

/// Nobody knows where the fixture is, or it stands by that wall.
fn stands_nowhere(
    analysis: &Analysis,
    space: &Space,
    hanging: &Hanging<'_>,
    fixture: &model::Fixture,
) -> bool {
    let Some(stands) = &fixture.at else {
        return fixture.on.is_none() && fixture.hung.is_none();
    };
    let shape = analysis.shape(space);
    let off = shape
        .corner_from(analysis, space, &stands.from, &stands.and, "")
        .and_then(|plan| shape.on_wall(hanging.outside.wall, &plan));
    off.map_or(true, |(_, off)| off.value() < 1.0)
}

/// Both ends of the wall, and the floor.
fn bounds<'a>(
    space: &Space,
    shape: &SpaceModel,
    hanging: &Hanging<'_>,
) -> Known<Vec<Neighbour<'a>>> {
    let outside = &hanging.outside;
    let length = shape.wall_length(outside.wall)?;
    let wall = &space.walls[outside.wall].id;
    let end = |side: &str| {
        Subject::new(
            format!("{wall}.{side}"),
            format!("the {side} end of wall {wall}"),
        )
    };
    let length_m = length.value();
    let obstacle = |subject, gap: Uncertain, gap_of: Box<dyn Fn(Rect) -> f64>| Neighbour {
        subject,
        gap: Ok(gap),
        gap_of,
        thing: None,
    };
    Ok(vec![
        obstacle(
            end("left"),
            outside.left.clone(),
            Box::new(|outside| outside.left_m),
        ),
        obstacle(
            end("right"),
            length - &outside.right,
            Box::new(move |outside| length_m - outside.right_m),
        ),
        obstacle(
            Subject::new("floor", "the floor"),
            outside.bottom.clone(),
            Box::new(|outside| outside.bottom_m),
        ),
    ])
}

/// The ceiling's line on the wall, and where the front of what hangs meets it.
fn ceiling<'a>(space: &Space, shape: &SpaceModel, hanging: &Hanging<'_>) -> Option<Neighbour<'a>> {
    if space.kind == Some(SpaceKind::Outdoor) {
        return None;
    }
    let subject = Subject::new("ceiling", "the ceiling");
    let known = || {
        let outside = &hanging.outside;
        let ceiling = shape.ceiling()?;
        let (left, along, inward) = shape.wall_frame(outside.wall)?;
        let outline = ceiling
            .wall_top(&shape.outline()?, outside.wall)
            .unwrap_or_default();
        // Between the corners a fold of the ceiling may hang lowest.
        let folds = outline
            .iter()
            .map(|point| point.from_left_m)
            .filter(|s| (outside.left.value()..outside.right.value()).contains(s));
        let places = [outside.left.clone(), outside.right.clone()]
            .into_iter()
            .chain(folds.map(Uncertain::exact));
        let mut least: Option<Uncertain> = None;
        for place in places {
            for off in [Uncertain::exact(0.0), hanging.out.clone()] {
                let plan = &(&left + &along.scaled(&place)) + &inward.scaled(&off);
                let room = shape.ceiling_at(&plan)? - &outside.top;
                least = Some(least.map_or(room.clone(), |least| least.min(&room)));
            }
        }
        let gap = least.unwrap_or_default();
        let now = best(outside).headroom(&outline).map(|room| room.signed.0);
        // What the front's depth takes of the room above the wall's own line.
        let less = now.map_or(0.0, |now| (now - gap.value()).max(0.0));
        Ok((gap, outline, less))
    };
    Some(match known() {
        Ok((gap, outline, less)) => Neighbour {
            subject,
            gap: Ok(gap),
            gap_of: Box::new(move |outside| {
                let room = outside.headroom(&outline);
                room.map_or(f64::NEG_INFINITY, |room| room.signed.0 - less)
            }),
            thing: None,
        },
        Err(missing) => unknown(subject, missing),
    })
}

/// A hole in the same wall. What hangs may hang inside a recess.
fn hole<'a>(
    analysis: &Analysis,
    space: &Space,
    hanging: &Hanging<'_>,
    opening: &Opening,
) -> Option<Neighbour<'a>> {
    let outside = &hanging.outside;
    if opening.on.wall != space.walls[outside.wall].id {
        return None;
    }
    let subject = opening_subject(opening, "");
    let rect = match analysis.opening_rect(space, opening) {
        Ok(rect) => rect,
        Err(missing) => return Some(unknown(subject, missing)),
    };
    if opening.kind != OpeningKind::Recess || !is_within(outside, &rect) {
        return Some(beside(subject, outside, &rect));
    }
    let sides = [
        &outside.left - &rect.left,
        &rect.right - &outside.right,
        &outside.bottom - &rect.bottom,
        &rect.top - &outside.top,
    ];
    let hole = best(&rect);
    Some(Neighbour {
        subject,
        gap: Ok(sides
            .into_iter()
            .reduce(|a, b| a.min(&b))
            .unwrap_or_default()),
        gap_of: Box::new(move |outside| {
            let across = (outside.left_m - hole.left_m).min(hole.right_m - outside.right_m);
            let upright = (outside.bottom_m - hole.bottom_m).min(hole.top_m - outside.top_m);
            across.min(upright)
        }),
        thing: None,
    })
}

pub(crate) fn opening_subject(opening: &Opening, part: &str) -> Subject {
    let label = opening.id.replace('-', " ");
    match part {
        "" => Subject::new(&opening.id, label),
        _ => Subject::new(
            format!("{}.{part}", opening.id),
            format!("the swinging {part} of {label}"),
        ),
    }
}

/// The sector of a door's leaf that opens into the room, against the depth of what hangs.
pub(crate) fn leaf(
    analysis: &Analysis,
    space: &Space,
    shape: &SpaceModel,
    hanging: &Hanging<'_>,
    opening: &Opening,
) -> Known<Option<Neighbour<'static>>> {
    let Some(swing) = opening
        .swing
        .as_ref()
        .filter(|_| opening.kind == OpeningKind::Door)
    else {
        return Ok(None);
    };
    let Ok(door) = analysis.opening_rect(space, opening) else {
        // The hole itself asks for what is missing where it is on the same wall.
        return Ok(None);
    };
    if swing.into != SwingInto::Room {
        return Ok(None);
    }
    let (left, along, _) = shape.wall_frame(door.wall)?;
    let (hinge, sign) = match swing.hinge {
        Side::Left => (&door.left, 1.0),
        Side::Right => (&door.right, -1.0),
    };
    let hinge = &left + &along.scaled(hinge);
    let opens = analysis
        .number(swing.opens.as_ref())
        .unwrap_or_else(|| Uncertain::exact(std::f64::consts::FRAC_PI_2));
    let width = door.width();
    let (corner, right, normal) = shape.wall_frame(hanging.outside.wall)?;
    // The room lies clockwise of each wall's direction: a leaf hung on the left turns
    // clockwise away from the wall, one hung on the right the other way from its far side.
    let plan_gap = move |x: &[f64]| {
        let closed = if sign > 0.0 {
            x[3].atan2(x[2])
        } else {
            (-x[3]).atan2(-x[2])
        };
        let leaf = DoorLeaf::new(
            Point2::new(x[0], x[1]),
            Metres(x[4]),
            Radians(closed),
            Radians(-sign * x[5].abs().min(std::f64::consts::PI)),
        );
        let (middle, depth) = ((x[10] + x[11]) / 2.0, x[12].max(1e-3));
        let centre = Point2::new(
            x[6] + x[8] * middle + x[13] * depth / 2.0,
            x[7] + x[9] * middle + x[14] * depth / 2.0,
        );
        let rect = PlanRect {
            centre,
            along: Vec2::new(x[8], x[9]),
            length_m: x[11] - x[10],
            width_m: depth,
        };
        leaf.map_or(f64::INFINITY, |leaf| leaf.clearance(&rect).0)
    };
    let outside = &hanging.outside;
    let inputs = [
        &hinge.x,
        &hinge.y,
        &along.x,
        &along.y,
        &width,
        &opens,
        &corner.x,
        &corner.y,
        &right.x,
        &right.y,
        &outside.left,
        &outside.right,
        &hanging.out,
        &normal.x,
        &normal.y,
    ];
    let in_plan = uncertainty::through_many(&inputs, |x| vec![plan_gap(x)])
        .pop()
        .expect("one result");
    // A leaf reaches from the floor to the head of its door.
    let above = &outside.bottom - &door.top;
    let gap = if above.value() > 0.0 && in_plan.value() > 0.0 {
        above.hypot(&in_plan)
    } else {
        above.max(&in_plan)
    };
    let door_top = door.top.value();
    let at: Vec<f64> = inputs.iter().map(|input| input.value()).collect();
    Ok(Some(Neighbour {
        subject: opening_subject(opening, "leaf"),
        gap: Ok(gap),
        gap_of: Box::new(move |outside| {
            let mut at = at.clone();
            (at[10], at[11]) = (outside.left_m, outside.right_m);
            let (in_plan, above) = (plan_gap(&at), outside.bottom_m - door_top);
            if above > 0.0 && in_plan > 0.0 {
                above.hypot(in_plan)
            } else {
                above.max(in_plan)
            }
        }),
        thing: None,
    }))
}
