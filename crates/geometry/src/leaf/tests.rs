//! The swept leaf against a dense fan of its positions.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::*;

fn leaf(start_degrees: f64, sweep_degrees: f64) -> DoorLeaf {
    DoorLeaf::new(
        Point2::default(),
        Metres(0.8),
        Radians::from_degrees(start_degrees),
        Radians::from_degrees(sweep_degrees),
    )
    .unwrap()
}

fn rect(x: f64, y: f64, length_m: f64, width_m: f64, degrees: f64) -> PlanRect {
    let along = Vec2::from_angle(degrees.to_radians());
    PlanRect {
        centre: Point2::new(x, y),
        along,
        length_m,
        width_m,
    }
}

fn clear(leaf: &DoorLeaf, rect: PlanRect) -> f64 {
    leaf.clearance(&rect).0
}

#[test]
fn what_stands_beyond_the_arc_is_clear_by_the_radial_gap() {
    // Corner (0.8, 0.8) is 1.1314 m from the hinge.
    let gap = clear(&leaf(0.0, 90.0), rect(1.0, 1.0, 0.4, 0.4, 0.0));
    assert!((gap - (0.8 * 2.0_f64.sqrt() - 0.8)).abs() < 1e-12);
    // A side square to the spoke.
    let gap = clear(&leaf(0.0, 90.0), rect(1.0, 0.3, 0.2, 1.0, 0.0));
    assert!((gap - 0.1).abs() < 1e-12);
}

#[test]
fn what_stands_behind_the_closed_leaf_is_clear_of_its_line() {
    let gap = clear(&leaf(0.0, 90.0), rect(0.4, -0.3, 0.4, 0.4, 0.0));
    assert!((gap - 0.1).abs() < 1e-12);
    let gap = clear(
        &leaf(0.0, 90.0),
        rect(-0.3 - 0.2, -0.4 - 0.2, 0.4, 0.4, 0.0),
    );
    assert!((gap - 0.5).abs() < 1e-12);
}

#[test]
fn a_corner_in_the_arc_is_in_it_by_the_radial_depth() {
    let depth = clear(&leaf(0.0, 90.0), rect(0.9, 0.9, 0.8, 0.8, 0.0));
    assert!((depth - (0.5 * 2.0_f64.sqrt() - 0.8)).abs() < 1e-12);
}

#[test]
fn swinging_the_other_way_is_the_same_sector() {
    let place = rect(0.6, 0.5, 0.3, 0.2, 20.0);
    assert_eq!(
        clear(&leaf(0.0, 90.0), place),
        clear(&leaf(90.0, -90.0), place)
    );
}

#[test]
fn a_leaf_that_folds_flat_sweeps_a_half_disc() {
    let half = leaf(0.0, 180.0);
    assert!((clear(&half, rect(0.0, -0.3, 3.0, 0.4, 0.0)) - 0.1).abs() < 1e-9);
    assert!((clear(&half, rect(0.0, 1.1, 3.0, 0.4, 0.0)) - 0.1).abs() < 1e-12);
    assert!((clear(&half, rect(0.0, -0.1, 3.0, 0.4, 0.0)) + 0.1).abs() < 1e-9);
    assert!(DoorLeaf::new(Point2::default(), Metres(0.8), Radians(0.0), Radians(4.0)).is_err());
}

#[test]
fn a_leaf_that_does_not_move_is_its_own_line() {
    let shut = leaf(0.0, 0.0);
    assert!((clear(&shut, rect(0.4, 0.3, 0.2, 0.2, 0.0)) - 0.2).abs() < 1e-12);
    assert!((clear(&shut, rect(-0.5, 0.0, 0.2, 0.2, 0.0)) - 0.4).abs() < 1e-12);
    assert!((clear(&shut, rect(0.4, 0.05, 0.2, 0.2, 0.0)) + 0.05).abs() < 1e-12);
}

/// The sector as a dense fan of points.
fn sampled(leaf: &DoorLeaf) -> Vec<Point2> {
    let sweep = leaf.right.cross(leaf.left).atan2(leaf.right.dot(leaf.left));
    let start = leaf.right.y.atan2(leaf.right.x);
    let mut points = Vec::new();
    for i in 0..=90 {
        let spoke = Vec2::from_angle(start + sweep * f64::from(i) / 90.0);
        points.extend((0..=60).map(|j| leaf.hinge + spoke * (leaf.radius_m * f64::from(j) / 60.0)));
    }
    points
}

#[test]
fn clearance_agrees_with_sampled_sectors() {
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    let (mut apart, mut overlapping) = (0, 0);
    for _ in 0..400 {
        let leaf = leaf(
            rng.random_range(-180.0..180.0),
            rng.random_range(5.0..175.0),
        );
        let place = rect(
            rng.random_range(-1.3..1.3),
            rng.random_range(-1.3..1.3),
            rng.random_range(0.1..1.0),
            rng.random_range(0.1..1.0),
            rng.random_range(0.0..360.0),
        );
        let signed = clear(&leaf, place);
        // Distance of a point outside the rectangle from it.
        let distance = |p: &Point2| {
            let way = *p - place.centre;
            let beside = (way.dot(place.along).abs() - place.length_m / 2.0).max(0.0);
            beside.hypot((way.cross(place.along).abs() - place.width_m / 2.0).max(0.0))
        };
        let fan = sampled(&leaf);
        let nearest = fan.iter().map(distance).fold(f64::INFINITY, f64::min);
        if signed >= 0.0 {
            apart += 1;
            // Spacing of the fan: 0.8 m / 60 along, 0.8 m × 3.1 / 90 across.
            assert!(
                nearest >= signed - 1e-12 && nearest < signed + 0.02,
                "{nearest} {signed}"
            );
        } else {
            overlapping += 1;
            // Pushed by less than the depth in any direction, it still overlaps.
            for i in 0..36 {
                let push = Vec2::from_angle(f64::from(i) * 0.1745);
                let at = |share: f64| {
                    clear(
                        &leaf,
                        PlanRect {
                            centre: place.centre + push * (-signed * share),
                            ..place
                        },
                    )
                };
                assert!(at(0.999) < 0.0, "{signed}");
            }
            // And some direction frees it with the depth, to the spacing of directions.
            let free = (0..720).any(|i| {
                let push = Vec2::from_angle(f64::from(i) * 0.00873) * (-signed * 1.001 + 1e-6);
                clear(
                    &leaf,
                    PlanRect {
                        centre: place.centre + push,
                        ..place
                    },
                ) >= 0.0
            });
            assert!(free, "{signed}");
        }
    }
    assert!(apart > 100 && overlapping > 100, "{apart} {overlapping}");
}
