//! Where may a thing be that is to stay inside its wall or room?

use geometry::Point2;

use crate::scene::{Ground, dot};

/// Half a body's size in plan, and the direction of the first.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reach {
    pub half_m: [f64; 2],
    pub along: [f64; 2],
}

/// How high a thing between two places along a wall may reach: the lowest point of the
/// wall's upper edge there. Without end where the edge is not known.
pub(crate) fn highest(top: &[[f64; 2]], [from, to]: [f64; 2]) -> f64 {
    let (Some(first), Some(last)) = (top.first(), top.last()) else {
        return f64::INFINITY;
    };
    if first[0] > last[0] {
        return f64::INFINITY;
    }
    let (from, to) = (from.clamp(first[0], last[0]), to.clamp(first[0], last[0]));
    let mut lowest = f64::INFINITY;
    for pair in top.windows(2) {
        let ([a, low], [b, high]) = (pair[0], pair[1]);
        if b < from || a > to {
            continue;
        }
        let at = |s: f64| match b - a > 1e-9 {
            true => low + (high - low) * (s - a) / (b - a),
            false => low.min(high),
        };
        lowest = lowest.min(at(from.max(a))).min(at(to.min(b)));
    }
    lowest
}

/// The place nearest to the one asked for at which a body keeps off every wall; its middle
/// alone where it is too large for the room.
pub(crate) fn keep_inside(ground: &Ground<'_>, asked: [f64; 2], reach: Reach) -> [f64; 2] {
    /// Pushed off one wall it may meet the next one; three walls meet nowhere.
    const PASSES: usize = 4;
    /// A middle brought back through a wall is put this far before it, m.
    const BEFORE_M: f64 = 0.001;
    if !ground.closed {
        return asked;
    }
    let corners: Vec<Point2> = ground
        .floor
        .iter()
        .map(|[x, y]| Point2::new(*x, *y))
        .collect();
    let mut here = asked;
    if !ground.contains(here) {
        let nearest = geometry::plan::nearest_wall(&corners, Point2::new(here[0], here[1]));
        let Some(frame) =
            nearest.and_then(|nearest| ground.walls.get(nearest.wall).copied().flatten())
        else {
            return asked;
        };
        let along = frame.place_of(here)[0].clamp(0.0, frame.length_m);
        here = frame.point(along, BEFORE_M);
    }
    let inside = here;
    for _ in 0..PASSES {
        for frame in ground.walls.iter().flatten() {
            let across = [-reach.along[1], reach.along[0]];
            let extent = |axis: [f64; 2]| {
                reach.half_m[0] * dot(reach.along, axis).abs()
                    + reach.half_m[1] * dot(across, axis).abs()
            };
            let [along, off] = frame.place_of(here);
            let sideways = extent(frame.along);
            let beside = along < -sideways || along > frame.length_m + sideways;
            let needed = extent(frame.inward);
            // A wall that lies behind another one of the room is not met.
            if !beside && off < needed && off > -needed {
                let by = needed - off;
                here = [0, 1].map(|k| here[k] + frame.inward[k] * by);
            }
        }
    }
    if ground.contains(here) { here } else { inside }
}

#[cfg(test)]
mod tests {
    use super::highest;

    #[test]
    fn a_thing_under_a_gable_reaches_to_the_lower_side() {
        let gable = [[0.0, 2.0], [2.0, 3.0], [4.0, 2.0]];
        assert!((highest(&gable, [0.5, 1.0]) - 2.25).abs() < 1e-12);
        assert!((highest(&gable, [1.5, 3.0]) - 2.5).abs() < 1e-12);
        assert!((highest(&gable, [-1.0, 9.0]) - 2.0).abs() < 1e-12);
        assert!(highest(&[], [0.0, 1.0]).is_infinite());
    }

    #[test]
    fn a_soffit_lowers_what_is_under_it() {
        let step = [[0.0, 2.5], [1.0, 2.5], [1.0, 2.2], [3.0, 2.2]];
        assert!((highest(&step, [0.2, 0.8]) - 2.5).abs() < 1e-12);
        assert!((highest(&step, [0.8, 1.2]) - 2.2).abs() < 1e-12);
    }
}
