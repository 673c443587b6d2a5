//! How high a ceiling is over every place, piece by piece.

use geometry::{Ceiling, Join, Plane};

use crate::half_plane::{Affine, HalfPlane};

pub(crate) fn affine(plane: &Plane) -> Affine {
    Affine {
        slope: [plane.slope_x, plane.slope_y],
        at_origin: plane.height_m,
    }
}

/// Each plane of a ceiling, and the sides between which it is the ceiling.
pub(crate) fn pieces(ceiling: &Ceiling) -> Vec<(Affine, Vec<HalfPlane>)> {
    let planes: Vec<Affine> = ceiling.planes().iter().map(affine).collect();
    (planes.iter().enumerate())
        .map(|(at, plane)| {
            let sides = (planes.iter().enumerate())
                .filter(|(other, _)| *other != at)
                .map(|(_, other)| match ceiling.join() {
                    Join::Lower => plane.minus(*other).at_most(0.0),
                    Join::Upper => plane.minus(*other).at_least(0.0),
                });
            (*plane, sides.collect())
        })
        .collect()
}
