//! A body dragged to another place, as edits of the document.
//!
//! A place keeps the form in which it is written: from a wall's left corner and the floor to
//! the point that was measured to, by distances from two walls, or hung below the ceiling.
//! Numbers are written to what a tape shows, 1/8 in or 1 mm. What would leave its wall or
//! room stays inside, and the words say so; what is not moved is not written.

mod in_plan;
mod inside;
mod on_wall;
mod text;
mod thing;
mod types;

use analysis::Analysis;

use crate::scene::{Ground, Surface};
use in_plan::in_plan;
use on_wall::on_wall;
use text::{Round, on_tape, written};
use thing::find;

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

/// A length on the tape's marks, in the style of the text in whose place it goes.
pub(crate) fn written_like(printer: units::Printer, length_m: f64, like: Option<&str>) -> String {
    written(printer, on_tape(printer, length_m, Round::Nearest), like)
}

fn length(analysis: &Analysis, length_m: f64) -> String {
    let on_marks = on_tape(analysis.printer(), length_m, Round::Nearest);
    analysis.exact(on_marks, units::Dimension::Length)
}
