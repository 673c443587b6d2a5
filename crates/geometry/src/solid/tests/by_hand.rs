//! Rooms whose volumes and areas are worked out by hand, and rooms that are refused.

use super::seeded::{columns, seeded_rooms};
use super::*;

#[test]
fn prism_volume_is_area_times_height() {
    let room = solid(&L, flat(2.6), vec![]);
    assert!((room.volume().0 - 26.9 * 2.6).abs() < 1e-10);
    assert!((room.area_of(|s| matches!(s, Surface::Wall(_))).0 - 22.8 * 2.6).abs() < 1e-10);
    assert_eq!(room.vertices().len(), 12);
    assert_eq!(room.faces().len(), 8);
    assert_eq!(room.euler_characteristic(), 2);
}

#[test]
fn gable_volume_is_area_times_mean_height() {
    let room = solid(&RECT, gable(&plan(&RECT), [3, 1], 0.6, 1.8, 3.3), vec![]);
    assert!((room.volume().0 - 32.5 * (1.8 + 3.3) / 2.0).abs() < 1e-10);
    // The end walls are pentagons, the eaves walls rectangles.
    assert!((room.area(Surface::Wall(1)).0 - 5.0 * 2.55).abs() < 1e-10);
    assert!((room.area(Surface::Wall(0)).0 - 6.5 * 1.8).abs() < 1e-10);
    assert_eq!(room.vertices().len(), 10);
}

#[test]
fn hip_volume_is_the_prismatoids() {
    // Over 5.2 × 4.1 m to 1 m above the eaves: h/6 (A₀ + 4 Aₘ + A₁), level sections
    // (5.2 − 4.1 t) × 4.1 (1 − t).
    let hip = Ceiling::hip(&plan(&WIDE), Metres(2.2), HipPitch::Top(Metres(3.2))).unwrap();
    let section = |t: f64| (5.2 - 4.1 * t) * 4.1 * (1.0 - t);
    let over = (section(0.0) + 4.0 * section(0.5) + section(1.0)) / 6.0;
    let room = solid(&WIDE, hip.clone(), vec![]);
    assert!((room.volume().0 - (21.32 * 2.2 + over)).abs() < 1e-10);
    // Cut off half-way: the frustum below.
    let frustum = (section(0.0) + 4.0 * section(0.25) + section(0.5)) / 12.0;
    let room = solid(&WIDE, hip.cut_off_at(Metres(2.7)).unwrap(), vec![]);
    assert!((room.volume().0 - (21.32 * 2.2 + frustum)).abs() < 1e-10);
    assert!((room.area(Surface::Ceiling(4)).0 - section(0.5)).abs() < 1e-10);
}

#[test]
fn pyramid_over_a_square_is_a_third() {
    let square = [(0.0, 0.0), (0.0, 4.0), (4.0, 4.0), (4.0, 0.0)];
    let hip = Ceiling::hip(&plan(&square), Metres(2.0), HipPitch::Top(Metres(3.5))).unwrap();
    let room = solid(&square, hip, vec![]);
    assert!((room.volume().0 - (32.0 + 8.0)).abs() < 1e-10);
    assert_eq!(room.vertices().len(), 9);
}

#[test]
fn a_beam_takes_its_own_volume_and_shows_three_sides() {
    // 0.2 m wide, hanging 0.3 m from a flat ceiling from wall to wall.
    let room = solid(
        &WIDE,
        flat(2.6),
        vec![hanging(2.0, 2.05, 90.0, 5.0, 0.2, 2.3)],
    );
    assert!((room.volume().0 - (21.32 * 2.6 - 4.1 * 0.2 * 0.3)).abs() < 1e-10);
    assert!((room.area(Surface::Box(0, BoxSide::Underside)).0 - 0.82).abs() < 1e-10);
    for (side, area) in [(0, 1.23), (1, 0.0), (2, 1.23), (3, 0.0)] {
        assert!((room.area(Surface::Box(0, BoxSide::Side(side))).0 - area).abs() < 1e-10);
    }
    assert!((room.area(Surface::Wall(1)).0 - (5.2 * 2.6 - 0.06)).abs() < 1e-10);
    assert!((room.area(Surface::Ceiling(0)).0 - (21.32 - 0.82)).abs() < 1e-10);
}

#[test]
fn boxes_of_one_underside_count_their_overlap_once() {
    let boxes = vec![
        hanging(2.0, 2.0, 0.0, 2.0, 1.0, 2.3),
        hanging(2.5, 2.5, 0.0, 2.0, 1.0, 2.3),
    ];
    let room = solid(&WIDE, flat(2.6), boxes);
    // 2 m² twice less 1.5 × 0.5 m² common.
    assert!((under_boxes(&room) - 3.25).abs() < 1e-10);
    assert!((room.volume().0 - (21.32 * 2.6 - 3.25 * 0.3)).abs() < 1e-10);
    assert_watertight(&room, "equal boxes");
}

#[test]
fn the_lower_of_two_boxes_hides_the_higher() {
    let boxes = vec![
        hanging(2.0, 2.0, 0.0, 2.0, 1.0, 2.4),
        hanging(2.5, 2.5, 0.0, 2.0, 1.0, 2.2),
    ];
    let room = solid(&WIDE, flat(2.6), boxes);
    let under = |k| room.area(Surface::Box(k, BoxSide::Underside)).0;
    assert!((under(0) - 1.25).abs() < 1e-10);
    assert!((under(1) - 2.0).abs() < 1e-10);
    assert!((room.volume().0 - (21.32 * 2.6 - 2.0 * 0.4 - 1.25 * 0.2)).abs() < 1e-10);
    assert_watertight(&room, "stepped boxes");
}

#[test]
fn a_free_column_makes_a_ring_of_air() {
    let room = solid(
        &WIDE,
        flat(2.6),
        vec![hanging(2.5, 2.0, 10.0, 0.4, 0.4, 0.0)],
    );
    assert_watertight(&room, "column");
    assert_eq!(room.euler_characteristic(), 0);
    assert!((room.volume().0 - (21.32 - 0.16) * 2.6).abs() < 1e-10);
    assert!((room.area(Surface::Floor).0 - 21.16).abs() < 1e-10);
    assert_eq!(room.overhead(Point2::new(2.5, 2.0)), None);
    assert!(!room.contains(Point3::new(2.5, 2.0, 1.0)));
}

#[test]
fn a_beam_through_a_slope_hangs_only_where_it_shows() {
    // A shed from 2 m to 3 m; a beam with its underside at 2.5 m shows in the upper half.
    let shed = Ceiling::shed(&plan(&RECT), 0, Metres(2.0), Metres(3.0)).unwrap();
    let room = solid(&RECT, shed, vec![hanging(2.5, 3.0, 0.0, 5.0, 0.2, 2.5)]);
    assert_watertight(&room, "beam in slope");
    // A wedge: ½ × 2.5 m × 0.5 m × 0.2 m.
    assert!((room.volume().0 - (32.5 * 2.5 - 0.125)).abs() < 1e-10);
    assert!((room.area(Surface::Box(0, BoxSide::Side(0))).0 - 0.625).abs() < 1e-10);
}

#[test]
fn eaves_on_the_floor_close_without_walls_there() {
    let room = solid(&RECT, gable(&plan(&RECT), [3, 1], 0.0, 0.0, 2.5), vec![]);
    assert_watertight(&room, "tent");
    assert_eq!(room.area(Surface::Wall(0)).0, 0.0);
    assert!((room.volume().0 - 32.5 * 1.25).abs() < 1e-10);
}

#[test]
fn what_cannot_close_is_refused_with_place_and_amount() {
    let refuse = |ceiling: Ceiling, boxes: Vec<HangingBox>| {
        Solid::new(plan(&RECT), ceiling, boxes).unwrap_err()
    };
    let dips = Ceiling::new(
        vec![Plane {
            slope_x: 0.5,
            slope_y: 0.0,
            height_m: -0.25,
        }],
        Join::Lower,
    );
    match refuse(dips.unwrap(), vec![]) {
        SolidError::CeilingBelowFloor {
            place: Place::Corner(0 | 1),
            below_m,
        } => {
            assert!((below_m - 0.25).abs() < 1e-12);
        }
        other => panic!("{other}"),
    }
    let valley = vec![
        Plane {
            slope_x: -1.0,
            slope_y: 0.0,
            height_m: 1.9,
        },
        Plane {
            slope_x: 1.0,
            slope_y: 0.0,
            height_m: -2.1,
        },
    ];
    match refuse(Ceiling::new(valley, Join::Upper).unwrap(), vec![]) {
        SolidError::CeilingBelowFloor {
            place: Place::Wall { wall, from_left_m },
            below_m,
        } => {
            assert!((below_m - 0.1).abs() < 1e-9);
            let expected = if wall == 1 { 2.0 } else { 3.0 };
            assert!(
                (from_left_m - expected).abs() < 1e-9,
                "wall {wall}: {from_left_m}"
            );
        }
        other => panic!("{other}"),
    }
    match refuse(flat(2.5), vec![hanging(7.0, 3.0, 0.0, 1.0, 1.0, 2.0)]) {
        SolidError::BoxOutside {
            index: 0,
            wall: 2,
            away_m,
        } => {
            assert!((away_m - 1.5).abs() < 1e-12);
        }
        other => panic!("{other}"),
    }
    // Side by side with the wall, from outside: nothing in common.
    let error = refuse(flat(2.5), vec![hanging(5.5, 3.0, 0.0, 1.0, 1.0, 2.0)]);
    assert!(matches!(error, SolidError::BoxOutside { .. }), "{error}");
    match refuse(flat(2.5), vec![hanging(2.0, 3.0, 0.0, 1.0, 1.0, 2.7)]) {
        SolidError::BoxAboveCeiling { index: 0, above_m } => {
            assert!((above_m - 0.2).abs() < 1e-12);
        }
        other => panic!("{other}"),
    }
    let error = refuse(flat(2.5), vec![hanging(2.0, 3.0, 0.0, 1.0, 1.0, -0.3)]);
    assert_eq!(
        error,
        SolidError::BoxBelowFloor {
            index: 0,
            below_m: 0.3
        }
    );
    let error = refuse(flat(2.5), vec![hanging(2.0, f64::NAN, 0.0, 1.0, 1.0, 2.0)]);
    assert_eq!(error, SolidError::BoxNotFinite { index: 0 });
    assert_eq!(refuse(flat(0.0), vec![]), SolidError::NoAir);
    let everywhere = hanging(2.0, 3.0, 0.0, 20.0, 20.0, 0.0);
    assert_eq!(refuse(flat(2.5), vec![everywhere]), SolidError::NoAir);
}

#[test]
fn an_opening_counts_only_below_the_walls_outline() {
    let room = solid(&RECT, gable(&plan(&RECT), [3, 1], 0.0, 2.0, 3.0), vec![]);
    let opening = |l: f64, r: f64, b: f64, t: f64| {
        let rect = Rect::new(Metres(l), Metres(r), Metres(b), Metres(t)).unwrap();
        room.opening_area_on_wall(1, &rect).0
    };
    assert!((opening(1.0, 2.0, 0.0, 2.0) - 2.0).abs() < 1e-12);
    // The whole gable end: 5 × 2 and the triangle 5 × 1 / 2.
    assert!((opening(-1.0, 6.0, 0.0, 4.0) - 12.5).abs() < 1e-12);
    // Only the triangle's left half above the eaves.
    assert!((opening(0.0, 2.5, 2.0, 4.0) - 1.25).abs() < 1e-12);
    assert_eq!(opening(0.0, 0.5, 2.5, 3.0), 0.0);
    assert_eq!(
        room.opening_area_on_wall(
            9,
            &Rect::new(Metres(0.0), Metres(1.0), Metres(0.0), Metres(1.0)).unwrap()
        )
        .0,
        0.0
    );
    // Under a soffit the wall ends at its underside.
    let room = solid(
        &RECT,
        flat(2.5),
        vec![hanging(2.5, 6.3, 0.0, 5.0, 0.4, 2.2)],
    );
    let rect = Rect::new(Metres(1.0), Metres(2.0), Metres(2.0), Metres(2.5)).unwrap();
    assert!((room.opening_area_on_wall(1, &rect).0 - 0.2).abs() < 1e-12);
}

#[test]
fn wall_top_steps_round_soffits_and_drops_at_columns() {
    let outline = |room: &Solid, wall| -> Vec<(f64, f64)> {
        let round = |x: f64| (x * 1e9).round() / 1e9 + 0.0;
        room.wall_top(wall)
            .iter()
            .map(|p| (round(p.from_left_m), round(p.height_m)))
            .collect()
    };
    // On the north wall, whose left end is at x = 0.
    let soffit = hanging(1.0, 6.3, 0.0, 1.0, 0.6, 2.2);
    let room = solid(&RECT, flat(2.5), vec![soffit]);
    let steps = [
        (0.0, 2.5),
        (0.5, 2.5),
        (0.5, 2.2),
        (1.5, 2.2),
        (1.5, 2.5),
        (5.0, 2.5),
    ];
    assert_eq!(outline(&room, 1), steps);
    let room = solid(
        &RECT,
        flat(2.5),
        vec![HangingBox {
            underside_m: 0.0,
            ..soffit
        }],
    );
    let drops = [
        (0.0, 2.5),
        (0.5, 2.5),
        (0.5, 0.0),
        (1.5, 0.0),
        (1.5, 2.5),
        (5.0, 2.5),
    ];
    assert_eq!(outline(&room, 1), drops);
    // A tent's end wall is a triangle, and its eaves walls are nothing.
    let room = solid(&RECT, gable(&plan(&RECT), [3, 1], 0.0, 0.0, 2.5), vec![]);
    assert_eq!(outline(&room, 1), [(0.0, 0.0), (2.5, 2.5), (5.0, 0.0)]);
    assert!(outline(&room, 0).is_empty() && outline(&room, 9).is_empty());
}

#[test]
fn wall_top_without_boxes_is_the_ceilings() {
    for (seed, _, room) in seeded_rooms(200) {
        if !room.boxes().is_empty() {
            continue;
        }
        for wall in 0..room.plan().len() {
            let own = room.wall_top(wall);
            let ceiling = room.ceiling().wall_top(room.plan(), wall).unwrap();
            assert_eq!(own.len(), ceiling.len(), "seed {seed}, wall {wall}");
            for (a, b) in own.iter().zip(&ceiling) {
                assert!((a.from_left_m - b.from_left_m).abs() < 1e-6, "seed {seed}");
                assert!((a.height_m - b.height_m).abs() < 1e-6, "seed {seed}");
            }
        }
    }
}

#[test]
fn overhead_names_what_is_above() {
    let room = solid(
        &RECT,
        flat(2.5),
        vec![hanging(2.0, 3.0, 0.0, 1.0, 1.0, 2.2)],
    );
    let over = |x, y| room.overhead(Point2::new(x, y));
    assert_eq!(over(1.0, 1.0), Some((Surface::Ceiling(0), Metres(2.5))));
    assert_eq!(
        over(2.0, 3.0),
        Some((Surface::Box(0, BoxSide::Underside), Metres(2.2)))
    );
    assert_eq!(over(-1.0, 3.0), None);
}

/// Two boxes whose corners touch share an upright edge of four faces: closed, though
/// not everywhere two-sided.
#[test]
fn boxes_touching_at_a_corner_still_close() {
    let boxes = vec![
        hanging(1.5, 1.5, 0.0, 1.0, 1.0, 2.2),
        hanging(2.5, 2.5, 0.0, 1.0, 1.0, 2.2),
    ];
    let room = solid(&WIDE, flat(2.6), boxes);
    assert!(room.is_closed());
    assert!((room.volume().0 - (21.32 * 2.6 - 0.8)).abs() < 1e-10);
}

/// Boxes drawn almost, but not quite, along walls, creases and each other.
#[test]
fn nearly_aligned_lines_close_or_are_refused() {
    let mut rng = ChaCha8Rng::seed_from_u64(21);
    let (mut closed, mut refused) = (0, 0);
    for round in 0..600 {
        let mut off = || 10.0_f64.powf(rng.random_range(-9.0..-3.0)) * rng.random_range(-1.0..1.0);
        let gable = gable(&plan(&RECT), [3, 1], off(), 1.9, 3.2);
        let mut boxes = vec![
            hanging(
                0.25 + off(),
                3.25,
                off().to_degrees(),
                0.5,
                6.5 + off(),
                1.7,
            ),
            hanging(
                2.5 + off(),
                3.0,
                90.0 + off().to_degrees(),
                4.0 + off(),
                1.0,
                2.2,
            ),
            hanging(
                3.5 + off(),
                3.0 + off(),
                0.0,
                1.0 + off(),
                4.0,
                2.2 + off().abs(),
            ),
        ];
        boxes.truncate(1 + round % 3);
        match Solid::new(plan(&RECT), gable, boxes) {
            Ok(room) => {
                assert!(room.is_closed(), "round {round}");
                let (volume, _) = columns(&room);

                assert!((volume - room.volume().0).abs() < 1e-4, "round {round}");
                closed += 1;
            }
            Err(SolidError::NotClosed { .. }) => refused += 1,
            Err(other) => panic!("round {round}: {other}"),
        }
    }
    assert!(refused * 100 <= closed, "{refused} of {closed} refused");
}
