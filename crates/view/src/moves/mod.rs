//! A body dragged to another place, as edits of the document.
//!
//! A place keeps the form in which it is written: from a wall's left corner and the floor to
//! the point that was measured to, by distances from two walls, or hung below the ceiling.
//! Numbers are written to what a tape shows, 1/8 in or 1 mm. What would leave its wall or
//! room stays inside, and the words say so; what is not moved is not written.

mod inside;
mod text;
mod thing;
mod types;

use analysis::Analysis;
use serde_json::{Value, json};

use crate::Edit;
use crate::scene::{Frame, Ground, OnWall, PARALLEL, Surface, cross, dot};
use crate::words::list;
use inside::{highest, keep_inside};
use text::{Round, on_tape, tape_step_m, written};
use thing::{Thing, find, mounted_with};

pub use types::*;

/// The edits that bring a body's middle to a place, in the form in which its place is
/// written; none where it is there already.
pub fn edits_of(analysis: &Analysis, asked: &Move) -> Result<Moved, MoveError> {
    let thing = find(analysis, asked)?;
    let ground = Ground::new(analysis, thing.space);
    match (&asked.to, thing.placed(&ground).moves) {
        (
            MoveTo::Wall {
                wall,
                along_m,
                height_m,
            },
            Some(Surface::Wall),
        ) => on_wall(&ground, &thing, wall, finite([*along_m, *height_m])?),
        (MoveTo::Plan { x, y, height_m }, Some(surface @ (Surface::Floor | Surface::Ceiling))) => {
            let [x, y] = finite([*x, *y])?;
            let height_m = height_m.map(|height_m| finite([height_m])).transpose()?;
            in_plan(
                &ground,
                &thing,
                [x, y],
                height_m.map(|[height_m]| height_m),
                surface,
            )
        }
        (_, Some(Surface::Wall)) => Err(thing.refused(
            format!("{} is on a wall", thing.label),
            "Move it along and up a wall.",
        )),
        (_, Some(_)) => Err(thing.refused(
            format!("{} is on no wall", thing.label),
            "Move it on the plan.",
        )),
        (_, None) => Err(thing.refused(
            format!("{} has no place of its own", thing.label),
            "Give it one first, or move what holds it.",
        )),
    }
}

fn finite<const N: usize>(numbers: [f64; N]) -> Result<[f64; N], MoveError> {
    // Farther than any house is wide; what follows may then count in steps of the tape.
    const FAR_M: f64 = 1e4;
    match numbers.iter().all(|number| number.abs() < FAR_M) {
        true => Ok(numbers),
        false => Err(MoveError {
            message: "the place is not within a house".to_owned(),
            hint: "Move it within its room.".to_owned(),
            at: None,
        }),
    }
}

/// Keeps a value within bounds; in the middle where there is no room at all.
fn clamped(value: f64, [low, high]: [f64; 2]) -> f64 {
    if low > high {
        (low + high) / 2.0
    } else {
        value.clamp(low, high)
    }
}

/// A value on the tape's marks within bounds, as far as a mark lies there.
fn marked(analysis: &Analysis, value: f64, [low, high]: [f64; 2]) -> f64 {
    const ROUNDING_M: f64 = 1e-6;
    let printer = analysis.printer();
    let nearest = on_tape(printer, value, Round::Nearest);
    if nearest > high + ROUNDING_M {
        let below = on_tape(printer, high, Round::Down);
        if below >= low - ROUNDING_M {
            below
        } else {
            nearest
        }
    } else if nearest < low - ROUNDING_M {
        let above = on_tape(printer, low, Round::Up);
        if above <= high + ROUNDING_M {
            above
        } else {
            nearest
        }
    } else {
        nearest
    }
}

fn on_wall(
    ground: &Ground<'_>,
    thing: &Thing<'_>,
    wall: &str,
    [along_m, height_m]: [f64; 2],
) -> Result<Moved, MoveError> {
    let analysis = ground.analysis;
    let index = thing.space.wall(wall).ok_or_else(|| {
        thing.refused(
            format!("there is no wall {wall}"),
            "Choose a wall of this space.",
        )
    })?;
    let half_step = tape_step_m(analysis.printer()) / 2.0;
    let placed = thing.placed(ground);
    let [width, height, _] = placed.size_m;
    let same_wall = thing.on.is_some_and(|on| on.wall == wall);
    let middle = placed.on_wall.filter(|_| same_wall).map(middle_of);
    let stays = |k: usize, to: f64| middle.is_some_and(|now| (now[k] - to).abs() < half_step);
    if stays(0, along_m) && stays(1, height_m) {
        return Ok(thing.stays(format!(
            "{}, on wall {wall}, {} from left, {} high",
            thing.label,
            length(analysis, along_m),
            length(analysis, height_m)
        )));
    }
    // Where it may be: within the wall, and below the ceiling's lowest point over it.
    let bounds_along = match ground.length_m(index) {
        Some(length_m) => [width / 2.0, length_m - width / 2.0],
        None => [width / 2.0, f64::INFINITY],
    };
    let along_kept = match stays(0, along_m) {
        true => along_m,
        false => clamped(along_m, bounds_along),
    };
    let top = ground.wall_top(index);
    let ceiling = highest(&top, [along_kept - width / 2.0, along_kept + width / 2.0]);
    let bounds_up = [height / 2.0, ceiling - height / 2.0];
    let height_kept = clamped(height_m, bounds_up);
    let held =
        (along_kept - along_m).abs() > half_step || (height_kept - height_m).abs() > half_step;

    let to = thing.on.and_then(|on| on.to).unwrap_or(thing.anchor);
    let [dx, dy] = to.offset();
    let (aside, lift) = (width * dx / 2.0, height * dy / 2.0);
    let shifted = |[low, high]: [f64; 2], by: f64| [low + by, high + by];
    let from_left = marked(analysis, along_kept + aside, shifted(bounds_along, aside));
    let above = marked(analysis, height_kept + lift, shifted(bounds_up, lift));
    let stays_along = stays(0, along_m);
    let stays_up = stays(1, height_m) && stays(1, height_kept);
    let is_same = |now: Option<f64>, then: f64| {
        same_wall && now.is_some_and(|now| (now - then).abs() < half_step)
    };
    let value = |fact: Option<&model::Length>| fact.and_then(model::Length::value);
    let old = thing.on;
    let texts = [
        old.and_then(|on| on.from_left.as_ref()),
        old.and_then(|on| on.height.as_ref()),
    ];
    let write = |length_m: f64, fact: Option<&model::Length>| {
        json!(written(
            analysis.printer(),
            length_m,
            fact.map(model::Length::text)
        ))
    };
    let mut edits = Vec::new();
    if old.is_none() {
        let mut place = json!({ "wall": wall });
        place["from_left"] = write(from_left, None);
        place["height"] = write(above, None);
        edits.push(thing.edit("on", place));
    } else {
        if !same_wall {
            edits.push(thing.edit("on.wall", json!(wall)));
        }
        if !stays_along && !is_same(value(texts[0]), from_left) {
            edits.push(thing.edit("on.from_left", write(from_left, texts[0])));
        }
        if !stays_up && !is_same(value(texts[1]), above) {
            edits.push(thing.edit("on.height", write(above, texts[1])));
        }
    }
    let now = match middle {
        Some([along, up]) => [
            if stays_along {
                along
            } else {
                from_left - aside
            },
            if stays_up { up } else { above - lift },
        ],
        None => [from_left - aside, above - lift],
    };
    let mut says = format!(
        "{}, on wall {wall}, {} from left, {} high",
        thing.label,
        length(analysis, now[0]),
        length(analysis, now[1])
    );
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
    if held {
        says += "; it would not stay within the wall farther on";
    }
    Ok(thing.moved(edits, says, held))
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

/// The two walls that a place is written from.
struct Pair<'a> {
    names: [&'a str; 2],
    frames: [Frame; 2],
}

fn in_plan(
    ground: &Ground<'_>,
    thing: &Thing<'_>,
    to: [f64; 2],
    height_m: Option<f64>,
    surface: Surface,
) -> Result<Moved, MoveError> {
    let analysis = ground.analysis;
    let half_step = tape_step_m(analysis.printer()) / 2.0;
    if thing.is_seat() && height_m.is_some() {
        return Err(thing.refused(
            format!("{} is moved in plan only", thing.label),
            "Its eye height is a fact of its own.",
        ));
    }
    let placed = thing.placed(ground);
    let stays =
        (placed.centre).is_some_and(|now| (0..2).all(|k| (now[k] - to[k]).abs() < half_step));
    let kept = match stays {
        true => to,
        false => keep_inside(ground, to, thing.reach(&placed)),
    };
    let mut held = (0..2).any(|k| (kept[k] - to[k]).abs() > half_step);
    let pair = pair(ground, thing, kept).ok_or_else(|| {
        thing.refused(
            format!("the walls near {} are not known yet", thing.label),
            "Measure the walls first.",
        )
    })?;
    let key = match surface {
        Surface::Ceiling => "hung",
        _ => "at",
    };
    let old = thing.distances();
    let write =
        |length_m: f64, like: Option<&str>| json!(written(analysis.printer(), length_m, like));
    let mut table = json!({});
    let mut edits = Vec::new();
    let mut words = vec![thing.label.clone()];
    for (index, which) in ["from", "and"].into_iter().enumerate() {
        let name = pair.names[index];
        let off = pair.frames[index].place_of(kept)[1];
        let distance = marked(analysis, off, [0.0, f64::INFINITY]);
        let before = old.map(|old| old[index]);
        let same_wall = before.is_some_and(|before| before.0 == name);
        let now = before
            .filter(|_| same_wall)
            .and_then(|before| before.1.value());
        let is_same = now.is_some_and(|now| (now - off).abs() < half_step);
        let like = before.map(|before| before.1.text());
        table[which] = json!([name, write(distance, like)]);
        if !stays && !is_same {
            if !same_wall {
                edits.push(thing.edit(&format!("{key}.{which}.0"), json!(name)));
            }
            edits.push(thing.edit(&format!("{key}.{which}.1"), write(distance, like)));
        }
        words.push(format!("{} off wall {name}", length(analysis, distance)));
    }
    let upright = match (height_m, surface) {
        (Some(height_m), Surface::Ceiling) => drop(ground, thing, &placed, kept, height_m)?,
        (Some(height_m), _) => Some(standing(ground, thing, &placed, kept, height_m)),
        (None, _) => None,
    };
    if let Some(upright) = &upright {
        held |= upright.held;
        words.push(upright.words.clone());
    }
    if old.is_none() {
        if let Some((field, text)) = upright.as_ref().and_then(|upright| upright.write.clone()) {
            table[field] = text;
        }
        edits = vec![thing.edit(key, table)];
    } else if let Some((field, text)) = upright.and_then(|upright| upright.write) {
        edits.push(thing.edit(&format!("{key}.{field}"), text));
    }
    let mut says = words.join(", ");
    if held {
        says += "; it would not stay within the room farther on";
    }
    Ok(thing.moved(edits, says, held))
}

/// A height above the floor or below the ceiling, as it is written.
struct Upright {
    write: Option<(&'static str, Value)>,
    words: String,
    held: bool,
}

/// The underside of what stands.
fn standing(
    ground: &Ground<'_>,
    thing: &Thing<'_>,
    placed: &crate::scene::Placed,
    at: [f64; 2],
    height_m: f64,
) -> Upright {
    let analysis = ground.analysis;
    let half_step = tape_step_m(analysis.printer()) / 2.0;
    let height = placed.size_m[1];
    let asked = height_m - height / 2.0;
    let ceiling = ground.ceiling_at(at).unwrap_or(f64::INFINITY);
    let old = thing.at.and_then(|at| at.height.as_ref());
    let now = placed.bottom_m;
    let stays = now.is_some_and(|now| (now - asked).abs() < half_step);
    let bounds = [0.0, (ceiling - height).max(0.0)];
    let kept = if stays { asked } else { clamped(asked, bounds) };
    let underside = marked(analysis, kept, bounds);
    let is_same = now.is_some_and(|now| (now - underside).abs() < half_step);
    Upright {
        write: (!stays && !is_same).then(|| {
            let text = written(analysis.printer(), underside, old.map(model::Length::text));
            ("height", json!(text))
        }),
        words: format!("underside {} high", length(analysis, underside)),
        held: (kept - asked).abs() > half_step,
    }
}

/// The drop of what hangs; none for what sits in the ceiling.
fn drop(
    ground: &Ground<'_>,
    thing: &Thing<'_>,
    placed: &crate::scene::Placed,
    at: [f64; 2],
    height_m: f64,
) -> Result<Option<Upright>, MoveError> {
    let analysis = ground.analysis;
    let old = thing.hung.and_then(|hung| hung.drop.as_ref());
    if old.is_none() && placed.is_flush {
        return Ok(None);
    }
    let ceiling = ground.ceiling_at(at).ok_or_else(|| {
        thing.refused(
            format!("the ceiling above {} is not known yet", thing.label),
            "Measure the ceiling first.",
        )
    })?;
    let half_step = tape_step_m(analysis.printer()) / 2.0;
    let height = placed.size_m[1];
    let asked = ceiling - height_m - height / 2.0;
    let now = match old {
        Some(old) => old.value(),
        None => thing.hung.map(|_| 0.0),
    };
    let stays = now.is_some_and(|now| (now - asked).abs() < half_step);
    let bounds = [0.0, (ceiling - height).max(0.0)];
    let kept = if stays { asked } else { clamped(asked, bounds) };
    let drop = marked(analysis, kept, bounds);
    let is_same = now.is_some_and(|now| (now - drop).abs() < half_step);
    Ok(Some(Upright {
        write: (!stays && !is_same).then(|| {
            let text = written(analysis.printer(), drop, old.map(model::Length::text));
            ("drop", json!(text))
        }),
        words: match drop < half_step {
            true => "at the ceiling".to_owned(),
            false => format!("{} below the ceiling", length(analysis, drop)),
        },
        held: (kept - asked).abs() > half_step,
    }))
}

/// The walls that the place is written from, where distances from them tell a point; else
/// new ones, the first along the old first where there is one, so that the thing keeps its
/// turn.
fn pair<'a>(ground: &Ground<'a>, thing: &Thing<'a>, at: [f64; 2]) -> Option<Pair<'a>> {
    /// Distances from walls at a smaller sine tell a point badly.
    const ILL_SUITED: f64 = 0.2;
    const ROUNDING_M: f64 = 1e-6;
    let walls: Vec<(&str, Frame)> = (ground.space.walls.iter())
        .zip(&ground.walls)
        .filter_map(|(wall, frame)| Some((wall.id.as_str(), (*frame)?)))
        .collect();
    let off = |frame: &Frame| frame.place_of(at)[1];
    let is_before = |frame: &Frame| off(frame) >= -ROUNDING_M;
    let named = |id: &str| walls.iter().find(|(name, _)| *name == id).copied();
    let old = thing
        .distances()
        .map(|[from, and]| [named(&from.0), named(&and.0)]);
    if let Some([Some(from), Some(and)]) = old {
        let turn = cross(from.1.along, and.1.along).abs();
        if turn >= ILL_SUITED && is_before(&from.1) && is_before(&and.1) {
            return Some(Pair {
                names: [from.0, and.0],
                frames: [from.1, and.1],
            });
        }
    }
    // Walls that a tape reaches square to them first, then the nearer ones.
    let mut near: Vec<(&str, Frame)> = walls
        .iter()
        .filter(|wall| is_before(&wall.1))
        .copied()
        .collect();
    near.sort_by(|a, b| {
        let rank = |(_, frame): &(&str, Frame)| {
            let [along, off] = frame.place_of(at);
            (!(0.0..=frame.length_m).contains(&along), off)
        };
        let (a, b) = (rank(a), rank(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let old_first = old.and_then(|[from, _]| from);
    let keeps_turn = |wall: &&(&str, Frame)| {
        old_first.is_some_and(|old| dot(old.1.along, wall.1.along).abs() > 0.999)
    };
    let kept = old_first.filter(|old| is_before(&old.1));
    let first = kept.or_else(|| near.iter().find(keeps_turn).or(near.first()).copied())?;
    let turn = |wall: &(&str, Frame)| cross(first.1.along, wall.1.along).abs();
    let square = near.iter().find(|wall| turn(wall) > 0.95);
    let second = square.or_else(|| {
        near.iter()
            .find(|wall| turn(wall) > PARALLEL.max(ILL_SUITED))
    })?;
    Some(Pair {
        names: [first.0, second.0],
        frames: [first.1, second.1],
    })
}

/// A length on the tape's marks, in the style of the text in whose place it goes.
pub(crate) fn written_like(printer: units::Printer, length_m: f64, like: Option<&str>) -> String {
    written(printer, on_tape(printer, length_m, Round::Nearest), like)
}

fn length(analysis: &Analysis, length_m: f64) -> String {
    let on_marks = on_tape(analysis.printer(), length_m, Round::Nearest);
    analysis.exact(on_marks, units::Dimension::Length)
}
