//! Where in a space may a sub stand, lie in a cupboard, or be let into a wall?

mod bays;
mod cabinet;
mod floor;

use analysis::{Analysis, Known};
use model::Space;

use crate::subs::Sub;

/// A place for a sub.
#[derive(Clone, Debug, PartialEq)]
pub struct SubPlace {
    /// The middle of the case, in the space, m; of its face where it is let into a wall.
    pub at: [f64; 3],
    /// What sort of place it is.
    pub sort: PlaceSort,
    /// What a person would call places like it.
    pub kind: String,
    /// Where it is, with distances in the job's units.
    pub words: String,
    /// The wall that it stands at or is let into, and how far the middle is from that wall's left
    /// end, m.
    pub wall: Option<(String, f64)>,
}

/// Sorts of place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlaceSort {
    /// On the floor along a wall.
    Floor,
    /// On the floor close behind a seat.
    Nearfield,
    /// Inside a cupboard or a piece of furniture.
    Cabinet,
    /// Let into a wall between two studs.
    InWall,
}

impl PlaceSort {
    /// For people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Floor => "on the floor",
            Self::Nearfield => "nearfield, close behind a seat",
            Self::Cabinet => "inside a cabinet",
            Self::InWall => "in the wall",
        }
    }
}

/// Steps along a wall are no shorter than this, m.
const STEP_LEAST_M: f64 = 0.35;

/// The places of a space for a sub like the first one planned there: stud bays for one that is let
/// into a wall, floor and cabinets for any other.
///
/// # Errors
///
/// What is missing for the room's walls.
pub fn sub_places(analysis: &Analysis, space: &Space, subs: &[Sub<'_>]) -> Known<Vec<SubPlace>> {
    let let_in = subs.first().and_then(|sub| sub.kit.cutout.as_ref());
    let places = match let_in {
        Some(_) => bays::in_walls(analysis, space, &subs[0])?,
        None => {
            let mut places = floor::on_floor(analysis, space, subs)?;
            places.extend(cabinet::in_cabinets(analysis, space, subs));
            places
        }
    };
    // Two walls share a corner: one of both places is enough.
    let mut kept: Vec<SubPlace> = Vec::new();
    for place in places {
        let near = |other: &SubPlace| {
            other.sort == place.sort
                && (other.at[0] - place.at[0]).hypot(other.at[1] - place.at[1]) < 0.6 * STEP_LEAST_M
        };
        if !kept.iter().any(near) {
            kept.push(place);
        }
    }
    Ok(kept)
}

/// What was not tried and why, in sentences.
pub fn not_tried(analysis: &Analysis, space: &Space, subs: &[Sub<'_>]) -> Vec<String> {
    match subs.first() {
        Some(sub) if sub.kit.cutout.is_some() => bays::not_tried(space),
        _ => cabinet::not_tried(analysis, space),
    }
}
