//! Ceilings against hand formulas, and refusals that say which wall.

use super::*;

fn plan(corners: &[(f64, f64)]) -> Plan {
    Plan::new(corners.iter().map(|&(x, y)| Point2::new(x, y)).collect()).unwrap()
}

/// 5 m (x) by 6.5 m (y); wall 0 west, 1 north, 2 east, 3 south.
fn rect() -> Plan {
    plan(&[(0.0, 0.0), (0.0, 6.5), (5.0, 6.5), (5.0, 0.0)])
}

fn height(ceiling: &Ceiling, x: f64, y: f64) -> f64 {
    ceiling.height_at(Point2::new(x, y)).0
}

fn assert_close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-12, "{a} against {b}");
}

#[test]
fn shed_rises_from_the_low_wall_to_the_far_corner() {
    let shed = Ceiling::shed(&rect(), 0, Metres(2.0), Metres(3.0)).unwrap();
    assert_close(height(&shed, 0.0, 3.0), 2.0);
    assert_close(height(&shed, 5.0, 1.0), 3.0);
    assert_close(height(&shed, 2.5, 6.0), 2.5);
    assert_close(shed.planes()[0].pitch().0, (1.0_f64 / 5.0).atan());
}

#[test]
fn gable_ridge_runs_between_the_middles_of_its_walls() {
    let gable = Ceiling::gable(&rect(), [3, 1], Metres(0.0), Metres(1.9), Metres(3.2)).unwrap();
    for y in [0.0, 2.0, 6.5] {
        assert_close(height(&gable, 2.5, y), 3.2);
        assert_close(height(&gable, 0.0, y), 1.9);
        assert_close(height(&gable, 5.0, y), 1.9);
        assert_close(height(&gable, 1.25, y), 2.55);
    }
    // From south to north: west is on the left.
    assert_eq!(gable.surface_above(Point2::new(1.0, 1.0)), 0);
    assert_eq!(gable.surface_above(Point2::new(4.0, 1.0)), 1);
}

#[test]
fn shifted_ridge_reaches_the_same_eaves_on_both_sides() {
    let gable = Ceiling::gable(&rect(), [3, 1], Metres(0.6), Metres(1.8), Metres(3.3)).unwrap();
    assert_close(height(&gable, 3.1, 4.0), 3.3);
    assert_close(height(&gable, 0.0, 4.0), 1.8);
    assert_close(height(&gable, 5.0, 4.0), 1.8);
    let gone = Ceiling::gable(&rect(), [3, 1], Metres(2.5), Metres(1.8), Metres(3.3));
    assert!(matches!(
        gone,
        Err(CeilingError::RidgeAtEdge { side: "right", .. })
    ));
}

#[test]
fn hip_rises_from_every_wall_at_one_angle() {
    let angle = Radians(30_f64.to_radians());
    let hip = Ceiling::hip(&rect(), Metres(2.2), HipPitch::Angle(angle)).unwrap();
    let rise = angle.0.tan();
    assert_close(height(&hip, 0.0, 3.0), 2.2);
    assert_close(height(&hip, 1.0, 3.0), 2.2 + rise);
    assert_close(height(&hip, 2.5, 3.25), 2.2 + 2.5 * rise);
    assert_close(height(&hip, 2.5, 0.5), 2.2 + 0.5 * rise);
}

#[test]
fn hip_of_known_top_reaches_it_over_the_inscribed_circle() {
    let hip = Ceiling::hip(&rect(), Metres(2.2), HipPitch::Top(Metres(3.2))).unwrap();
    assert_close(height(&hip, 2.5, 3.25), 3.2);
    // A triangle's inradius is 2 area / perimeter: 3-4-5 has 1 m, centre (1, 1).
    let triangle = plan(&[(0.0, 0.0), (0.0, 3.0), (4.0, 0.0)]);
    let hip = Ceiling::hip(&triangle, Metres(2.0), HipPitch::Top(Metres(3.5))).unwrap();
    assert_close(height(&hip, 1.0, 1.0), 3.5);
    assert_close(hip.planes()[0].slope(), 1.5);
}

#[test]
fn hip_over_an_inward_corner_is_refused_by_name() {
    let l = plan(&[
        (0.0, 0.0),
        (0.0, 5.4),
        (3.5, 5.4),
        (3.5, 3.2),
        (6.0, 3.2),
        (6.0, 0.0),
    ]);
    let error = Ceiling::hip(&l, Metres(2.2), HipPitch::Top(Metres(3.2))).unwrap_err();
    assert!(matches!(
        error,
        CeilingError::PlanNotConvex { corner: 3, .. }
    ));
    assert!(
        error
            .to_string()
            .contains("corner #3 turns inwards by 90.0°")
    );
}

#[test]
fn planes_go_through_their_measured_points() {
    let points = [
        Point3::new(0.3, 0.2, 2.41),
        Point3::new(4.6, 0.9, 2.93),
        Point3::new(1.1, 5.7, 3.37),
    ];
    let ceiling = Ceiling::through(&[points], Join::Upper).unwrap();
    for p in points {
        assert_close(ceiling.height_at(p.on_plan()).0, p.z);
    }
    let in_line = points.map(|p| Point3::new(p.x, 2.0 * p.x, p.z));
    assert!(matches!(
        Ceiling::through(&[points, in_line], Join::Upper),
        Err(CeilingError::PointsInLine { plane: 1, .. })
    ));
}

#[test]
fn upper_join_takes_the_highest_plane() {
    let planes = vec![
        Plane {
            slope_x: -0.2,
            slope_y: 0.0,
            height_m: 3.0,
        },
        Plane {
            slope_x: 0.2,
            slope_y: 0.0,
            height_m: 2.0,
        },
    ];
    let valley = Ceiling::new(planes, Join::Upper).unwrap();
    assert_close(height(&valley, 2.5, 1.0), 2.5);
    assert_close(height(&valley, 0.0, 1.0), 3.0);
    assert_close(height(&valley, 5.0, 1.0), 3.0);
}

#[test]
fn wall_top_of_a_gable_end_breaks_at_the_ridge() {
    let gable = Ceiling::gable(&rect(), [3, 1], Metres(0.6), Metres(1.8), Metres(3.3)).unwrap();
    let top = gable.wall_top(&rect(), 1).unwrap();
    let expected = [(0.0, 1.8), (3.1, 3.3), (5.0, 1.8)];
    assert_eq!(top.len(), 3);
    for (point, (from_left, height)) in top.iter().zip(expected) {
        assert_close(point.from_left_m, from_left);
        assert_close(point.height_m, height);
    }
    // Facing south the ridge is on the other hand.
    assert_close(gable.wall_top(&rect(), 3).unwrap()[1].from_left_m, 1.9);
    assert_eq!(gable.wall_top(&rect(), 0).unwrap().len(), 2);
    assert!(gable.wall_top(&rect(), 4).is_err());
}

#[test]
fn wall_top_of_a_cut_off_gable_is_flat_in_the_middle() {
    let gable = Ceiling::gable(&rect(), [3, 1], Metres(0.0), Metres(1.9), Metres(3.2)).unwrap();
    let top = gable
        .cut_off_at(Metres(2.55))
        .unwrap()
        .wall_top(&rect(), 1)
        .unwrap();
    let places: Vec<f64> = top.iter().map(|p| p.from_left_m).collect();
    assert_eq!(top.len(), 4);
    assert_close(places[1], 1.25);
    assert_close(places[2], 3.75);
    assert_close(top[1].height_m, 2.55);
}

#[test]
fn wall_top_follows_the_ceiling_everywhere() {
    let skew = plan(&[(-0.21, 3.98), (5.02, 4.47), (5.31, 0.12), (0.0, 0.0)]);
    let hip = Ceiling::hip(&skew, Metres(2.0), HipPitch::Top(Metres(3.1))).unwrap();
    let gable = Ceiling::gable(&skew, [0, 2], Metres(0.4), Metres(1.7), Metres(3.0)).unwrap();
    for ceiling in [hip, gable.clone().cut_off_at(Metres(2.6)).unwrap(), gable] {
        for i in 0..4 {
            let wall = plan::wall(&skew, i).unwrap();
            for pair in ceiling.wall_top(&skew, i).unwrap().windows(2) {
                for share in [0.0, 0.3, 0.8, 1.0] {
                    let mix = |a: f64, b: f64| a + share * (b - a);
                    let s = mix(pair[0].from_left_m, pair[1].from_left_m);
                    let z = ceiling.height_at(wall.left + wall.along * s).0;
                    assert!((z - mix(pair[0].height_m, pair[1].height_m)).abs() < 1e-9);
                }
            }
        }
    }
}

#[test]
fn measures_that_make_no_ceiling_are_refused() {
    let nan = Metres(f64::NAN);
    assert!(Ceiling::flat(nan).is_err());
    assert!(Ceiling::flat(Metres(-0.1)).is_err());
    assert!(Ceiling::new(vec![], Join::Lower).is_err());
    assert!(Ceiling::shed(&rect(), 7, Metres(2.0), Metres(3.0)).is_err());
    assert!(Ceiling::shed(&rect(), 0, Metres(2.0), nan).is_err());
    assert!(Ceiling::gable(&rect(), [1, 1], Metres(0.0), Metres(2.0), Metres(3.0)).is_err());
    assert!(Ceiling::gable(&rect(), [1, 3], nan, Metres(2.0), Metres(3.0)).is_err());
    assert!(Ceiling::hip(&rect(), Metres(2.0), HipPitch::Angle(Radians(1.5))).is_err());
    assert!(Ceiling::hip(&rect(), Metres(2.0), HipPitch::Angle(Radians(f64::NAN))).is_err());
    let swapped = Ceiling::shed(&rect(), 0, Metres(3.0), Metres(2.2)).unwrap_err();
    assert!(swapped.to_string().contains("0.800 m below"), "{swapped}");
}
