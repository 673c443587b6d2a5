//! A thing moved in plan, standing or hanging.

use serde_json::{Value, json};

use super::inside::keep_inside;
use super::text::{tape_step_m, written};
use super::thing::Thing;
use super::{MoveError, Moved, clamped, length, marked};
use crate::scene::{Frame, Ground, PARALLEL, Placed, Surface, cross, dot};

/// The two walls that a place is written from.
struct Pair<'a> {
    names: [&'a str; 2],
    frames: [Frame; 2],
}

/// The edits that bring a thing's middle to a place in plan, and to a height.
pub(super) fn in_plan(
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
        says += "; the room lets it go no farther";
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
    placed: &Placed,
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
    placed: &Placed,
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
