//! How long is a straight-and-square way between two points?
//!
//! A cable in a building follows walls, plates and joists, not the line of sight.
//! These lengths are lower bounds of such a run: no slack, no detour.

use units::Metres;

use crate::{Point3, Vec2};

/// |Δalong| + |Δacross| + |Δz|: the shortest run that keeps square to `along`.
///
/// `along` is any plan direction of the framing (its length does not matter); a
/// vector without direction stands for the x axis.
pub fn manhattan(from: Point3, to: Point3, along: Vec2) -> Metres {
    Metres(across_plan(from, to, along) + (to.z - from.z).abs())
}

/// The run that climbs (or drops) to `level`, crosses there square to `along`,
/// and comes down (or up) at the other end.
pub fn up_and_over(from: Point3, to: Point3, level: Metres, along: Vec2) -> Metres {
    Metres((level.0 - from.z).abs() + across_plan(from, to, along) + (level.0 - to.z).abs())
}

fn across_plan(from: Point3, to: Point3, along: Vec2) -> f64 {
    let along = along.unit().unwrap_or(Vec2::new(1.0, 0.0));
    let step = to.on_plan() - from.on_plan();
    step.dot(along).abs() + step.cross(along).abs()
}

#[cfg(test)]
mod tests {
    use super::*;

    const A: Point3 = Point3::new(0.0, 0.0, 0.3);
    const B: Point3 = Point3::new(3.0, 4.0, 1.1);

    #[test]
    fn square_run_adds_the_three_axes() {
        assert!((manhattan(A, B, Vec2::new(1.0, 0.0)).0 - 7.8).abs() < 1e-12);
    }

    #[test]
    fn run_along_the_diagonal_is_the_diagonal() {
        assert!((manhattan(A, B, Vec2::new(0.6, 0.8)).0 - 5.8).abs() < 1e-12);
    }

    #[test]
    fn run_over_the_top_climbs_and_drops() {
        let x = Vec2::new(1.0, 0.0);
        assert!((up_and_over(A, B, Metres(2.6), x).0 - (2.3 + 7.0 + 1.5)).abs() < 1e-12);
        // Under the floor: down, across, up.
        assert!((up_and_over(A, B, Metres(-0.2), x).0 - (0.5 + 7.0 + 1.3)).abs() < 1e-12);
    }

    #[test]
    fn run_over_the_top_is_never_shorter_than_the_square_run() {
        for level in [-1.0, 0.3, 0.7, 1.1, 2.4] {
            let x = Vec2::new(1.0, 0.2);
            assert!(up_and_over(A, B, Metres(level), x).0 >= manhattan(A, B, x).0 - 1e-12);
        }
    }
}
