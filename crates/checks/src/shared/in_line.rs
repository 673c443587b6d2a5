//! Which things a projector's case or beam may meet at all.
//!
//! A room has many things and most of them are nowhere near either. Of an item that stays away
//! that alone is noted: where it moves and still stays away, nobody asks again.

use std::rc::Rc;

use analysis::{Analysis, Body, Known, Parts, ProjectorPlace, Uncertain};
use model::{Item, Kit, Space};

use crate::beam::{Beam, Shape};
use crate::obstacles::{Thing, fixed_things, is_in_the_way};

/// Nearer than this to a case's sides as best estimates have it, m: more than rounding.
const TOUCH_M: f64 = 0.01;
/// What is farther from a beam is not told beside what is nearer, m.
pub(crate) const NEAR_BEAM_M: f64 = 0.50;

/// Those of [`things`](crate::obstacles::things) that stand before a side of a projector's case,
/// over or under it, or that it is in, and perhaps others.
pub(crate) fn things_in_line<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    projector: &'a Item,
) -> impl Iterator<Item = Thing<'a>> {
    things_where(
        analysis,
        space,
        projector,
        "in line with a case",
        is_in_line,
    )
}

/// Those of [`things`](crate::obstacles::things) whose gap from a projector's beam is less than
/// [`NEAR_BEAM_M`] or not known, and perhaps others.
pub(crate) fn things_near_beam<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    projector: &'a Item,
) -> impl Iterator<Item = Thing<'a>> {
    things_where(analysis, space, projector, "near a beam", is_near_beam)
}

fn things_where<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    projector: &'a Item,
    question: &'static str,
    is_true: fn(&Analysis, &Item, usize) -> bool,
) -> impl Iterator<Item = Thing<'a>> {
    let items = analysis.unread_items_in(space).filter(move |item| {
        let other = analysis.position_of_item(item);
        analysis.settled_of_item_and(question, projector, other, is_true)
    });
    let items = items.filter_map(|item| Some(Thing::Item(analysis.item(&item.id)?)));
    fixed_things(space).chain(items)
}

fn place_of<'a>(analysis: &'a Analysis, item: &'a Item) -> Known<Option<ProjectorPlace<'a>>> {
    match analysis.kit_of(item) {
        Some(Kit::Projector(kit)) => analysis.projector(item, kit).map(Some),
        _ => Ok(None),
    }
}

fn is_in_line(analysis: &Analysis, projector: &Item, other: usize) -> bool {
    let other = analysis.item_number(other);
    if !is_in_the_way(analysis, other) {
        return false;
    }
    let space = analysis.space_with(other, Parts::NONE);
    let body = space.and_then(|space| Thing::Item(other).body(analysis, space));
    let (Ok(body), Ok(Some(place))) = (body, place_of(analysis, projector)) else {
        return true;
    };
    let [_, between] = beside_m(&place, &body);
    between.iter().filter(|gap| **gap < TOUCH_M).count() >= 2
}

fn is_near_beam(analysis: &Analysis, projector: &Item, other: usize) -> bool {
    let other = analysis.item_number(other);
    if !is_in_the_way(analysis, other) {
        return false;
    }
    // A copy in which the projector moves asks this of every thing.
    let near = analysis.kept_of_item("near its beam", projector, || {
        let place = place_of(analysis, projector).ok()??;
        let beam = Beam::new(analysis, &place).ok()?;
        Some(Rc::new(beam.near()))
    });
    let space = analysis.space_with(other, Parts::NONE);
    let body = space.and_then(|space| Thing::Item(other).body(analysis, space));
    let (Ok(body), Some(near)) = (body, near) else {
        return true;
    };
    near.gap_at_least(&Shape::of(&body)) < NEAR_BEAM_M
}

/// By best estimates, how far a thing's middle is from that of a projector's case along the case's
/// directions, and the gaps between them: across, away from the screen's wall, and up, m; negative
/// where they overlap.
pub(crate) fn beside_m(projector: &ProjectorPlace<'_>, body: &Body) -> [[f64; 3]; 2] {
    let (case, face) = (&projector.case, &projector.picture.face);
    let dot = |[ax, ay]: [f64; 2], [bx, by]: [f64; 2]| ax * bx + ay * by;
    let ([x, y, z], [case_x, case_y, case_z]) = (body.centre.value(), case.centre.value());
    let (offset, along) = ([x - case_x, y - case_y], body.along.value());
    let (right, normal) = (face.right.value(), face.normal.value());
    let [length, height, depth] = body.size.each_ref().map(Uncertain::value);
    let [across, up, back] = case.size.each_ref().map(Uncertain::value);
    let parallel = dot(along, right).abs();
    let square = dot(along, normal).abs();
    let middles = [dot(offset, right), dot(offset, normal), z - case_z];
    let between = [
        middles[0].abs() - (parallel * length + square * depth + across) / 2.0,
        middles[1].abs() - (square * length + parallel * depth + back) / 2.0,
        middles[2].abs() - (height + up) / 2.0,
    ];
    [middles, between]
}
