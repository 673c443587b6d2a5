//! Are two walls written in each other's place?
//!
//! A single mistake is looked for by leaving one measurement out, which finds no two walls
//! that changed places: in a rectangle they leave a kite, and the corners get the blame.
//! Here each pair of walls is exchanged, with the tolerances that belong to the values, and
//! the room adjusted anew. No number is fitted to explain the misclosure, so a pair that
//! closes the room says much by doing so.

use crate::adjust::{Adjusted, closing_limit, first_guess, solve};
use crate::network::Network;
use crate::polygon::{crossing_walls, doubled_area};
use crate::{Observed, Traverse};

/// Two walls whose lengths, exchanged, close a room that does not close as typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swap {
    /// Both walls, the earlier one first.
    pub walls: [usize; 2],
    /// [`Adjusted::closing_distance`] with their lengths exchanged, within
    /// [`closing_limit`].
    pub closes_to_sigma: f64,
}

const WALLS_MAX: usize = 24;

/// The pairs of walls that could be typed in each other's place, the one that closes best
/// first; empty when the room closes within its tolerances.
///
/// `adjusted` is the result of [`crate::adjust`] on this traverse, or the one its error
/// carries. Not asked in a room of more than 24 walls, where each of its many pairs would cost
/// an adjustment and several would close it by chance. Several pairs may close a room equally well: a rectangle whose walls are typed
/// `b a a b` is `a × b` or `b × a`.
pub fn swaps(traverse: &Traverse, adjusted: &Adjusted) -> Vec<Swap> {
    let walls = traverse.lengths.len();
    let fits = adjusted.corners.len() == walls
        && adjusted.standardised.len() == traverse.observations().len();
    if !fits || !(3..=WALLS_MAX).contains(&walls) || adjusted.closes() {
        return vec![];
    }
    let limit = closing_limit(adjusted.redundancy);
    // What no other measurement checks closes the room whatever it is.
    let is_checked = |wall: usize| adjusted.standardised[wall] != 0.0;
    let mut found: Vec<Swap> = (0..walls)
        .flat_map(|first| (first + 1..walls).map(move |second| [first, second]))
        .filter(|pair| pair.iter().all(|wall| is_checked(*wall)))
        .filter(|[first, second]| differ(traverse.lengths[*first], traverse.lengths[*second]))
        .filter_map(|walls| {
            let closes_to_sigma = closed_with(traverse, walls)?;
            (closes_to_sigma <= limit).then_some(Swap {
                walls,
                closes_to_sigma,
            })
        })
        .collect();
    // Rounding must not order the pairs that close equally well.
    let rounded = |swap: &Swap| (swap.closes_to_sigma * 1e6).round();
    found.sort_by(|a, b| (rounded(a).total_cmp(&rounded(b))).then(a.walls.cmp(&b.walls)));
    found
}

/// Whether exchanging two lengths changes anything, to 3 σ.
fn differ(a: Observed, b: Observed) -> bool {
    (a.value - b.value).abs() > 3.0 * a.sigma.hypot(b.sigma)
}

/// The closing distance of the room with two lengths exchanged, where it has a shape.
fn closed_with(traverse: &Traverse, [first, second]: [usize; 2]) -> Option<f64> {
    let mut exchanged = traverse.clone();
    exchanged.lengths.swap(first, second);
    let network = Network::new(&exchanged);
    let weights: Vec<f64> = network.sigmas.iter().map(|sigma| sigma.powi(-2)).collect();
    let solution = solve(&network, &weights, first_guess(&exchanged)).ok()?;
    let is_room =
        crossing_walls(&solution.corners).is_none() && doubled_area(&solution.corners) < 0.0;
    is_room.then(|| solution.disagreement.sqrt())
}
