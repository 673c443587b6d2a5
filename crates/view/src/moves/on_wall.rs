//! A thing moved along, up and between walls.

use serde_json::json;

use super::inside::highest;
use super::text::{Round, on_tape, tape_step_m, written};
use super::thing::{Thing, mounted_with};
use super::{MoveError, Moved, clamped, length, marked};
use crate::Edit;
use crate::scene::{Ground, OnWall, Placed};
use crate::words::list;

/// Where a thing on a wall is let go.
struct Target<'a> {
    wall: &'a str,
    /// Middle from the left corner and above the floor, m: as asked.
    asked: [f64; 2],
    /// The same within the wall and below the ceiling.
    kept: [f64; 2],
    /// Between which the middle may be.
    bounds: [[f64; 2]; 2],
    /// Which of the two is where it was.
    stays: [bool; 2],
}

/// The edits that bring a thing's middle to a place on a wall.
pub(super) fn on_wall(
    ground: &Ground<'_>,
    thing: &Thing<'_>,
    wall: &str,
    asked: [f64; 2],
) -> Result<Moved, MoveError> {
    let analysis = ground.analysis;
    let placed = thing.placed(ground);
    let target = target(ground, thing, &placed, wall, asked)?;
    if target.stays == [true; 2] {
        return Ok(thing.stays(told(ground, thing, wall, asked)));
    }
    let (mut edits, now) = written_there(ground, thing, &placed, &target);
    let mut says = told(ground, thing, wall, now);
    let before = placed.on_wall.map(middle_of);
    if let Some(before) = before.filter(|_| !edits.is_empty()) {
        let by = [now[0] - before[0], now[1] - before[1]];
        let mut names = Vec::new();
        for other in mounted_with(analysis, thing) {
            edits.extend(carried(ground, &other, wall, by));
            names.push(other.label.clone());
        }
        if !names.is_empty() {
            says += &format!(", with {}", list(&names));
        }
    }
    let half_step = tape_step_m(analysis.printer()) / 2.0;
    let held = (0..2).any(|k| (target.kept[k] - target.asked[k]).abs() > half_step);
    if held {
        says += "; the wall lets it go no farther";
    }
    Ok(thing.moved(edits, says, held))
}

/// Keeps the place asked for within the wall and below the ceiling's lowest point over the
/// thing.
fn target<'a>(
    ground: &Ground<'_>,
    thing: &Thing<'_>,
    placed: &Placed,
    wall: &'a str,
    asked: [f64; 2],
) -> Result<Target<'a>, MoveError> {
    let index = thing.space.wall(wall).ok_or_else(|| {
        thing.refused(
            format!("there is no wall {wall}"),
            "Choose a wall of this space.",
        )
    })?;
    let half_step = tape_step_m(ground.analysis.printer()) / 2.0;
    let [width, height, _] = placed.size_m;
    let same_wall = thing.on.is_some_and(|on| on.wall == wall);
    let middle = placed.on_wall.filter(|_| same_wall).map(middle_of);
    let is_at = |k: usize, to: f64| middle.is_some_and(|now| (now[k] - to).abs() < half_step);
    let end = ground.length_m(index).unwrap_or(f64::INFINITY);
    let bounds_along = [width / 2.0, end - width / 2.0];
    let along = match is_at(0, asked[0]) {
        true => asked[0],
        false => clamped(asked[0], bounds_along),
    };
    let ceiling = highest(
        &ground.wall_top(index),
        [along - width / 2.0, along + width / 2.0],
    );
    let bounds_up = [height / 2.0, ceiling - height / 2.0];
    let up = match is_at(0, asked[0]) && is_at(1, asked[1]) {
        true => asked[1],
        false => clamped(asked[1], bounds_up),
    };
    Ok(Target {
        wall,
        asked,
        kept: [along, up],
        bounds: [bounds_along, bounds_up],
        stays: [is_at(0, asked[0]), is_at(1, asked[1]) && is_at(1, up)],
    })
}

/// The place as it is written, to the point that was measured to; and where the middle is
/// then.
fn written_there(
    ground: &Ground<'_>,
    thing: &Thing<'_>,
    placed: &Placed,
    target: &Target<'_>,
) -> (Vec<Edit>, [f64; 2]) {
    const KEYS: [&str; 2] = ["from_left", "height"];
    let analysis = ground.analysis;
    let half_step = tape_step_m(analysis.printer()) / 2.0;
    let same_wall = thing.on.is_some_and(|on| on.wall == target.wall);
    let anchor = thing.on.and_then(|on| on.to).unwrap_or(thing.anchor);
    let offset = anchor.offset();
    let facts = match thing.on {
        Some(on) => [on.from_left.as_ref(), on.height.as_ref()],
        None => [None, None],
    };
    let mut edits = Vec::new();
    let mut place = json!({ "wall": target.wall });
    let mut now = placed.on_wall.map_or(target.kept, middle_of);
    if thing.on.is_some() && !same_wall {
        edits.push(thing.edit("on.wall", json!(target.wall)));
    }
    for k in 0..2 {
        let from_middle = placed.size_m[k] * offset[k] / 2.0;
        let bounds = target.bounds[k].map(|bound| bound + from_middle);
        let measured = marked(analysis, target.kept[k] + from_middle, bounds);
        let like = facts[k].map(model::Length::text);
        let text = json!(written(analysis.printer(), measured, like));
        let old = facts[k].and_then(model::Length::value);
        let is_same = same_wall && old.is_some_and(|old| (old - measured).abs() < half_step);
        place[KEYS[k]] = text.clone();
        if target.stays[k] {
            continue;
        }
        now[k] = measured - from_middle;
        if !is_same {
            edits.push(thing.edit(&format!("on.{}", KEYS[k]), text));
        }
    }
    if thing.on.is_none() {
        edits = vec![thing.edit("on", place)];
    }
    (edits, now)
}

fn told(ground: &Ground<'_>, thing: &Thing<'_>, wall: &str, [along, up]: [f64; 2]) -> String {
    format!(
        "{}, on wall {wall}, {} from left, {} high",
        thing.label,
        length(ground.analysis, along),
        length(ground.analysis, up)
    )
}

fn middle_of(rect: OnWall) -> [f64; 2] {
    [
        (rect.left + rect.right) / 2.0,
        (rect.bottom + rect.top) / 2.0,
    ]
}

/// What goes along on the same mount, by the same way.
fn carried(ground: &Ground<'_>, other: &Thing<'_>, wall: &str, by: [f64; 2]) -> Vec<Edit> {
    let Some(on) = other.on else {
        return Vec::new();
    };
    let half_step = tape_step_m(ground.analysis.printer()) / 2.0;
    let mut edits = Vec::new();
    if on.wall != wall {
        edits.push(other.edit("on.wall", json!(wall)));
    }
    let facts = [("on.from_left", &on.from_left), ("on.height", &on.height)];
    for ((key, fact), by) in facts.into_iter().zip(by) {
        let Some((fact, value)) = fact.as_ref().and_then(|fact| Some((fact, fact.value()?))) else {
            continue;
        };
        if by.abs() >= half_step {
            let printer = ground.analysis.printer();
            let moved = on_tape(printer, value + by, Round::Nearest);
            edits.push(other.edit(key, json!(written(printer, moved, Some(fact.text())))));
        }
    }
    edits
}
