//! Edits that move a thing by a computed amount, written in the job's own units.

use analysis::Analysis;
use model::{Edit, FromWall, Item};
use units::{Dimension, step};

/// Which way a computed length may be rounded to what a tape shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Round {
    /// Never below the computed length.
    Up,
    /// Never above it.
    Down,
    /// Whichever is nearer.
    Nearest,
}

/// A length as the job writes it, rounded to the finest step that is printed.
pub(crate) fn written_length(analysis: &Analysis, length_m: f64, round: Round) -> String {
    let printer = analysis.printer();
    let step = step(printer.system, Dimension::Length, None);
    // A length that is a whole number of steps but for rounding noise stays what it is.
    let steps = length_m / step;
    let whole = match round {
        Round::Up => (steps - 1e-6).ceil(),
        Round::Down => (steps + 1e-6).floor(),
        Round::Nearest => steps.round(),
    };
    printer.print(whole * step, Dimension::Length, None)
}

/// Moves a standing or hanging thing by `by_m` along a direction in plan, if one of the
/// two walls that it is measured from is square to that direction.
pub(crate) fn in_plan(
    analysis: &Analysis,
    item: &Item,
    direction: [f64; 2],
    by_m: f64,
    round: Round,
) -> Option<Edit> {
    let (field, walls): (&str, [(&str, &FromWall); 2]) = match (&item.at, &item.hung) {
        (Some(at), _) => ("at", [("from", &at.from), ("and", &at.and)]),
        (_, Some(hung)) => ("hung", [("from", &hung.from), ("and", &hung.and)]),
        _ => return None,
    };
    let space = analysis.space_of(item).ok()?;
    for (which, FromWall(wall, distance)) in walls {
        let (_, _, inward) = analysis.shape(space).wall_frame(space.wall(wall)?).ok()?;
        let [x, y] = inward.value();
        let share = x * direction[0] + y * direction[1];
        if share.abs() < 0.999 {
            continue;
        }
        let moved = distance.value()? + by_m * share;
        // Rounding away from the computed place, not from the wall.
        let round = match (round, share > 0.0) {
            (Round::Up, false) => Round::Down,
            (Round::Down, false) => Round::Up,
            (round, _) => round,
        };
        let text = written_length(analysis, moved, round);
        return (moved > 0.0)
            .then(|| Edit::set(format!("item.{}.{field}.{which}.1", item.id), text));
    }
    None
}

/// Sets a thing's distance along its wall.
pub(crate) fn from_left(analysis: &Analysis, item: &Item, length_m: f64, round: Round) -> Edit {
    Edit::set(
        format!("item.{}.on.from_left", item.id),
        written_length(analysis, length_m, round),
    )
}

/// Sets a thing's height on its wall.
pub(crate) fn height(analysis: &Analysis, item: &Item, length_m: f64, round: Round) -> Edit {
    Edit::set(
        format!("item.{}.on.height", item.id),
        written_length(analysis, length_m, round),
    )
}

/// The text that an edit writes, for the sentence that describes it.
pub(crate) fn text_of(edit: &Edit) -> &str {
    edit.set
        .as_ref()
        .and_then(serde_json::Value::as_str)
        .unwrap_or_default()
}
