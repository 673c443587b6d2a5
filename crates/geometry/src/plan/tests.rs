//! Polygons against a table of shapes, and places against their inverses.

use super::*;

fn rect(x: f64, y: f64) -> Vec<Point2> {
    vec![
        Point2::new(0.0, 0.0),
        Point2::new(0.0, y),
        Point2::new(x, y),
        Point2::new(x, 0.0),
    ]
}

/// The made-up shapes of the table, turned to run clockwise.
fn table() -> Vec<(String, Vec<Point2>, [f64; 4])> {
    let text = include_str!("room-polygons.csv");
    text.lines()
        .skip(2)
        .map(|line| {
            let cells: Vec<&str> = line.split('"').collect();
            let mut corners: Vec<Point2> = cells[1]
                .split(' ')
                .map(|pair| {
                    let (x, y) = pair.split_once(',').unwrap();
                    Point2::new(x.parse().unwrap(), y.parse().unwrap())
                })
                .collect();
            corners.reverse();
            let numbers: Vec<f64> = cells[2]
                .split(',')
                .skip(1)
                .map(|n| n.parse().unwrap())
                .collect();
            (
                cells[0].trim_end_matches(',').to_string(),
                corners,
                numbers.try_into().unwrap(),
            )
        })
        .collect()
}

#[test]
fn area_perimeter_and_centroid_agree_with_the_table() {
    assert_eq!(table().len(), 7);
    for (name, corners, [area_m2, perimeter_m, x, y]) in table() {
        // Half a unit of the table's sixth decimal.
        let close = |a: f64, b: f64| assert!((a - b).abs() < 5.1e-7, "{name}: {a} against {b}");
        close(area(&corners).0, area_m2);
        close(signed_area(&corners).0, -area_m2);
        close(perimeter(&corners).0, perimeter_m);
        close(centroid(&corners).x, x);
        close(centroid(&corners).y, y);
        assert!(Plan::new(corners).is_ok(), "{name}");
    }
}

#[test]
fn area_far_from_the_origin_keeps_its_digits() {
    let far: Vec<Point2> = rect(5.2, 4.1)
        .iter()
        .map(|&p| p + Vec2::new(4e5, 5e6))
        .collect();
    assert!((area(&far).0 - 21.32).abs() < 1e-7);
}

#[test]
fn crossing_walls_are_named() {
    let bow = vec![
        Point2::new(0.0, 0.0),
        Point2::new(0.0, 3.0),
        Point2::new(4.0, 0.0),
        Point2::new(4.0, 3.0),
    ];
    assert_eq!(Plan::new(bow), Err(PlanError::WallsCross { a: 1, b: 3 }));
    let spike = vec![
        Point2::new(0.0, 0.0),
        Point2::new(0.0, 3.0),
        Point2::new(5.0, 3.0),
        Point2::new(4.0, 3.0),
        Point2::new(4.0, 0.0),
    ];
    assert_eq!(Plan::new(spike), Err(PlanError::WallsCross { a: 1, b: 2 }));
    let touching = vec![
        Point2::new(0.0, 0.0),
        Point2::new(0.0, 3.0),
        Point2::new(2.0, 0.0),
        Point2::new(4.0, 3.0),
        Point2::new(4.0, 0.0),
    ];
    assert_eq!(
        Plan::new(touching),
        Err(PlanError::WallsCross { a: 1, b: 4 })
    );
}

#[test]
fn unusable_corners_are_refused() {
    let mut corners = rect(5.0, 4.0);
    assert_eq!(
        Plan::new(corners[..2].to_vec()),
        Err(PlanError::TooFewCorners { count: 2 })
    );
    corners[2].y = f64::NAN;
    assert_eq!(Plan::new(corners), Err(PlanError::NotFinite { corner: 2 }));
    let mut anticlockwise = rect(5.0, 4.0);
    anticlockwise.reverse();
    assert_eq!(
        Plan::new(anticlockwise),
        Err(PlanError::Anticlockwise { area_m2: 20.0 })
    );
    let mut twice = rect(5.0, 4.0);
    twice.insert(1, twice[0]);
    assert_eq!(
        Plan::new(twice),
        Err(PlanError::ShortWall {
            wall: 0,
            length_mm: 0.0
        })
    );
}

#[test]
fn the_boundary_belongs_to_the_room() {
    let corners = table().remove(1).1; // The L: 6 m wide below y = 3.2, 3.5 m wide above.
    for (x, y, inside) in [
        (1.0, 1.0, true),
        (0.0, 0.0, true),
        (6.0, 1.6, true),
        (3.5, 3.2, true),
        (3.5, 5.4, true),
        (4.0, 3.2, true),
        (4.0, 3.2001, false),
        (6.0001, 1.0, false),
        (-1.0, 3.2, false),
        (7.0, 5.4, false),
    ] {
        assert_eq!(contains(&corners, Point2::new(x, y)), inside, "({x}, {y})");
    }
}

#[test]
fn facing_a_wall_from_inside_its_left_end_is_the_first_corner() {
    let corners = rect(5.0, 4.0);
    let west = wall(&corners, 0).unwrap();
    assert_eq!(west.inward, Vec2::new(1.0, 0.0));
    assert_eq!(
        west.point(Metres(1.5), Metres(1.2)),
        Point3::new(0.0, 1.5, 1.2)
    );
    assert_eq!(west.point_off(Metres(1.5), Metres(1.2), Metres(0.3)).x, 0.3);
    // Looking west, the left hand points south: towards corner 0.
    let south = corners[0] - corners[1];
    assert!((-west.inward).cross(south) > 0.0);
    for i in 0..4 {
        let wall = wall(&corners, i).unwrap();
        let middle = wall.point_off(Metres(wall.length_m / 2.0), Metres(0.0), Metres(0.01));
        assert!(contains(&corners, middle.on_plan()));
        let (from_left, height, off) =
            wall.place_of(wall.point_off(Metres(0.7), Metres(1.1), Metres(0.2)));
        assert!((from_left.0 - 0.7).abs() + (height.0 - 1.1).abs() + (off.0 - 0.2).abs() < 1e-12);
    }
    assert!(wall(&corners, 4).is_err());
}

#[test]
fn two_distances_fix_a_point() {
    let corners = rect(5.0, 4.0);
    let point = point_from_two_walls(&corners, 0, Metres(1.2), 3, Metres(0.7)).unwrap();
    assert!(point.distance(Point2::new(1.2, 0.7)) < 1e-12);
    let point = point_from_two_walls(&corners, 1, Metres(1.0), 2, Metres(0.5)).unwrap();
    assert!(point.distance(Point2::new(4.5, 3.0)) < 1e-12);
}

#[test]
fn distances_from_skew_walls_are_kept() {
    let corners = table().remove(6).1;
    for (a, b) in [(0, 1), (1, 2), (2, 3), (3, 0)] {
        let point = point_from_two_walls(&corners, a, Metres(1.1), b, Metres(0.4)).unwrap();
        assert!((wall(&corners, a).unwrap().distance_off(point).0 - 1.1).abs() < 1e-12);
        assert!((wall(&corners, b).unwrap().distance_off(point).0 - 0.4).abs() < 1e-12);
        assert!(contains(&corners, point));
    }
}

#[test]
fn parallel_walls_fix_no_point() {
    let result = point_from_two_walls(&rect(5.0, 4.0), 0, Metres(1.0), 2, Metres(1.0));
    assert_eq!(
        result,
        Err(PlanError::ParallelWalls {
            a: 0,
            b: 2,
            angle_degrees: 0.0
        })
    );
    let crooked = vec![
        Point2::new(0.0, 0.0),
        Point2::new(0.0, 4.0),
        Point2::new(5.0, 4.0),
        Point2::new(5.05, 0.0),
    ];
    assert!(matches!(
        point_from_two_walls(&crooked, 0, Metres(1.0), 2, Metres(1.0)),
        Err(PlanError::ParallelWalls { angle_degrees, .. }) if (angle_degrees - 0.716).abs() < 0.001
    ));
    assert!(point_from_two_walls(&crooked, 0, Metres(f64::NAN), 1, Metres(1.0)).is_err());
}

#[test]
fn nearest_place_on_a_wall_stops_at_its_ends() {
    let corners = rect(5.0, 4.0);
    let nearest = nearest_on_wall(&corners, 0, Point2::new(2.0, 1.0));
    assert_eq!(
        (nearest.point, nearest.from_left_m, nearest.distance_m),
        (Point2::new(0.0, 1.0), 1.0, 2.0)
    );
    assert_eq!(
        nearest_on_wall(&corners, 0, Point2::new(3.0, 8.0)).point,
        corners[1]
    );
    assert_eq!(
        nearest_wall(&corners, Point2::new(2.5, 3.9)).unwrap().wall,
        1
    );
}

#[test]
fn reflex_corner_is_the_inner_corner_of_the_l() {
    let corners = table().remove(1).1;
    let (corner, excess) = reflex_corner(&corners).unwrap();
    assert_eq!(corners[corner], Point2::new(3.5, 3.2));
    assert!((excess - 90.0).abs() < 1e-9);
    assert_eq!(reflex_corner(&rect(5.0, 4.0)), None);
}
