//! Rooms against other libraries, hand formulas and the laws of closed solids.

use std::f64::consts::PI;

use geo::{Area, BooleanOps, Centroid, Coord, LineString, MultiPolygon, Polygon};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use units::Radians;

use super::*;
use crate::{HipPitch, Join, Vec2};

fn corners(places: &[(f64, f64)]) -> Vec<Point2> {
    places.iter().map(|&(x, y)| Point2::new(x, y)).collect()
}

fn plan(places: &[(f64, f64)]) -> Plan {
    Plan::new(corners(places)).unwrap()
}

fn hanging(
    x: f64,
    y: f64,
    degrees: f64,
    length_m: f64,
    width_m: f64,
    underside_m: f64,
) -> HangingBox {
    let along = Vec2::from_angle(degrees.to_radians());
    HangingBox {
        rect: PlanRect {
            centre: Point2::new(x, y),
            along,
            length_m,
            width_m,
        },
        underside_m,
    }
}

const RECT: [(f64, f64); 4] = [(0.0, 0.0), (0.0, 6.5), (5.0, 6.5), (5.0, 0.0)];
const WIDE: [(f64, f64); 4] = [(0.0, 0.0), (0.0, 4.1), (5.2, 4.1), (5.2, 0.0)];
const SKEW: [(f64, f64); 4] = [(-0.21, 3.98), (5.02, 4.47), (5.31, 0.12), (0.0, 0.0)];
const CHAMFER: [(f64, f64); 5] = [(0.0, 4.2), (3.6, 4.2), (4.8, 3.0), (4.8, 0.0), (0.0, 0.0)];
const L: [(f64, f64); 6] = [
    (0.0, 5.4),
    (3.5, 5.4),
    (3.5, 3.2),
    (6.0, 3.2),
    (6.0, 0.0),
    (0.0, 0.0),
];
const T: [(f64, f64); 8] = [
    (0.0, 2.5),
    (2.4, 2.5),
    (2.4, 6.0),
    (4.6, 6.0),
    (4.6, 2.5),
    (7.0, 2.5),
    (7.0, 0.0),
    (0.0, 0.0),
];

fn gable(plan: &Plan, ridge: [usize; 2], shift: f64, eaves: f64, top: f64) -> Ceiling {
    Ceiling::gable(plan, ridge, Metres(shift), Metres(eaves), Metres(top)).unwrap()
}

fn flat(height: f64) -> Ceiling {
    Ceiling::flat(Metres(height)).unwrap()
}

fn solid(places: &[(f64, f64)], ceiling: Ceiling, boxes: Vec<HangingBox>) -> Solid {
    Solid::new(plan(places), ceiling, boxes).unwrap()
}

fn under_boxes(solid: &Solid) -> f64 {
    solid
        .area_of(|s| matches!(s, Surface::Box(_, BoxSide::Underside)))
        .0
}

fn surface(solid: &Solid) -> f64 {
    solid.area_of(|_| true).0
}

/// Every edge of the triangles exactly once each way: watertight and two-sided.
fn assert_watertight(solid: &Solid, what: &str) {
    assert!(solid.is_closed(), "{what}: faces");
    let mut edges: Vec<(usize, usize)> = solid
        .faces()
        .iter()
        .flat_map(|f| &f.triangles)
        .flat_map(|t| (0..3).map(move |i| (t[i], t[(i + 1) % 3])))
        .collect();
    edges.sort_unstable();
    for pair in edges.windows(2) {
        assert_ne!(pair[0], pair[1], "{what}: an edge twice");
    }
    for &(a, b) in &edges {
        assert!(
            edges.binary_search(&(b, a)).is_ok(),
            "{what}: open edge {a}–{b}"
        );
    }
}

/// ⅙ Σ a · (b × c) over the triangles.
fn triangle_volume(solid: &Solid) -> f64 {
    let o = solid.vertices()[0];
    solid
        .triangles()
        .map(|(_, [a, b, c])| (a - o).dot((b - o).cross(c - o)) / 6.0)
        .sum()
}

#[test]
fn rooms_agree_with_mesh_booleans() {
    let p = plan;
    let through =
        |a: [f64; 3], b: [f64; 3], c: [f64; 3]| [a, b, c].map(|[x, y, z]| Point3::new(x, y, z));
    let butterfly = [
        through([0.0, 0.0, 3.0], [0.0, 2.5, 3.0], [3.3, 0.0, 2.3]),
        through([7.0, 0.0, 2.9], [7.0, 2.5, 2.9], [3.7, 0.0, 2.35]),
    ];
    // The table lists corners anticlockwise: its wall from (0, 0) to (5.31, 0.12) is wall 2 here.
    let rooms = [
        (
            "gable_loft",
            solid(&RECT, gable(&p(&RECT), [3, 1], 0.0, 1.9, 3.2), vec![]),
        ),
        (
            "gable_off_centre_with_tie_beam",
            solid(
                &RECT,
                gable(&p(&RECT), [3, 1], 0.6, 1.8, 3.3),
                vec![hanging(2.5, 3.0, 0.0, 5.6, 0.2, 2.4)],
            ),
        ),
        (
            "skew_shed",
            solid(
                &SKEW,
                Ceiling::shed(&p(&SKEW), 2, Metres(2.1), Metres(3.4)).unwrap(),
                vec![],
            ),
        ),
        (
            "hip_30_degrees",
            solid(
                &WIDE,
                Ceiling::hip(&p(&WIDE), Metres(2.2), HipPitch::Angle(Radians(PI / 6.0))).unwrap(),
                vec![],
            ),
        ),
        (
            "chamfered_hip_to_3_4_m",
            solid(
                &CHAMFER,
                Ceiling::hip(&p(&CHAMFER), Metres(2.3), HipPitch::Top(Metres(3.4))).unwrap(),
                vec![hanging(2.0, 2.0, 25.0, 1.2, 0.7, 2.5)],
            ),
        ),
        (
            "l_flat_with_soffit_and_skew_beam",
            solid(
                &L,
                flat(2.6),
                vec![
                    hanging(1.75, 5.2, 0.0, 3.5, 0.4, 2.25),
                    hanging(2.6, 1.7, 33.0, 7.5, 0.18, 2.4),
                ],
            ),
        ),
        (
            "t_butterfly",
            solid(
                &T,
                Ceiling::through(&butterfly, Join::Upper).unwrap(),
                vec![hanging(3.5, 4.5, 12.0, 1.0, 0.6, 2.1)],
            ),
        ),
        (
            "l_gable_with_overlapping_boxes_and_column",
            solid(
                &L,
                // The ridge at x = 2.9, off the line between the middles of the end walls.
                Ceiling::through(
                    &[
                        through([2.9, 0.0, 3.1], [2.9, 1.0, 3.1], [0.0, 0.0, 2.0]),
                        through([2.9, 0.0, 3.1], [2.9, 1.0, 3.1], [6.0, 0.0, 2.0]),
                    ],
                    Join::Lower,
                )
                .unwrap(),
                vec![
                    hanging(2.5, 2.0, 20.0, 1.6, 1.0, 2.2),
                    hanging(3.0, 2.3, -35.0, 1.4, 0.8, 2.35),
                    hanging(0.2, 2.5, 0.0, 0.4, 0.9, 0.0),
                ],
            ),
        ),
    ];
    let table: Vec<(&str, Vec<f64>)> = include_str!("rooms.csv")
        .lines()
        .skip(2)
        .map(|line| {
            let (name, numbers) = line.split_once(',').unwrap();
            (
                name,
                numbers.split(',').map(|n| n.parse().unwrap()).collect(),
            )
        })
        .collect();
    assert_eq!(table.len(), rooms.len());
    for ((name, numbers), (own_name, room)) in table.iter().zip(&rooms) {
        assert_eq!(name, own_name);
        assert_watertight(room, name);
        // Columns count as covered plan in the table.
        let plan_area = plan::area(room.plan()).0;
        let covered = under_boxes(room) + plan_area - room.area(Surface::Floor).0;
        for (own, theirs) in [room.volume().0, surface(room), covered]
            .into_iter()
            .zip(numbers)
        {
            // Two units of the table's seventh decimal.
            assert!(
                (own - theirs).abs() < 2e-7,
                "{name}: {own} against {theirs}"
            );
        }
    }
}

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

// Seeded rooms.

type CeilingOver = dyn Fn(&Plan) -> Option<Ceiling>;

/// A room as drawn, turned by an angle and moved, before it is built.
struct Drawn {
    corners: Vec<Point2>,
    ceiling: Box<CeilingOver>,
    boxes: Vec<HangingBox>,
}

fn turned(p: Point2, angle: f64, mirror: bool) -> Point2 {
    let x = if mirror { -p.x } else { p.x };
    let (sine, cosine) = angle.sin_cos();
    Point2::new(cosine * x - sine * p.y + 1.3, sine * x + cosine * p.y - 0.7)
}

impl Drawn {
    fn random(rng: &mut ChaCha8Rng) -> Self {
        let mut places: Vec<Point2> = match rng.random_range(0..6) {
            0 => corners(&RECT),
            1 => corners(&L),
            2 => corners(&T),
            3 => corners(&SKEW),
            4 => corners(&CHAMFER),
            _ => {
                let n = rng.random_range(3..9);
                let step = 2.0 * PI / n as f64;
                let at = |i: usize| -(i as f64 + rng.random_range(-0.3..0.3)) * step;
                let angles: Vec<f64> = (0..n).map(at).collect();
                angles
                    .iter()
                    .map(|a| Point2::new(2.6 + 2.5 * a.cos(), 2.6 + 2.2 * a.sin()))
                    .collect()
            }
        };
        // Half of the rooms are crooked by up to 20 mm.
        if rng.random_bool(0.5) {
            for p in &mut places {
                p.x += rng.random_range(-0.02..0.02);
                p.y += rng.random_range(-0.02..0.02);
            }
        }
        let walls = places.len();
        let (low, rise) = (rng.random_range(1.6..2.4), rng.random_range(0.2..1.6));
        let (from, to) = (rng.random_range(0..walls), rng.random_range(0..walls));
        let shift = rng.random_range(-0.4..0.4);
        let cut = rng.random_bool(0.3);
        let kind = rng.random_range(0..6);
        let tilts: Vec<[f64; 3]> = (0..rng.random_range(2..5))
            .map(|_| {
                [
                    rng.random_range(-0.2..0.2),
                    rng.random_range(-0.2..0.2),
                    rng.random_range(3.0..3.4),
                ]
            })
            .collect();
        let ceiling = move |plan: &Plan| {
            let (eaves, top) = (Metres(low), Metres(low + rise));
            let ceiling = match kind {
                0 => Ceiling::flat(top),
                1 => Ceiling::shed(plan, from, eaves, top),
                2 => Ceiling::gable(plan, [from, to], Metres(shift), eaves, top),
                3 => Ceiling::hip(plan, eaves, HipPitch::Top(top)),
                join => {
                    let three = |x: f64, y: f64, t: &[f64; 3]| {
                        Point3::new(x, y, t[0] * x + t[1] * y + t[2])
                    };
                    // The planes are measured at points that turn with the room.
                    let measured: Vec<[Point3; 3]> = tilts
                        .iter()
                        .map(|t| {
                            [(0.0, 0.0), (3.0, 0.0), (0.0, 3.0)].map(|(x, y)| {
                                let p = plan[0]
                                    + (plan[1] - plan[0]).unit().unwrap() * x
                                    + (plan[1] - plan[0]).unit().unwrap().right() * y;
                                p.at_height(three(x - 1.0, y - 2.0, t).z)
                            })
                        })
                        .collect();
                    let join = if join == 4 { Join::Lower } else { Join::Upper };
                    Ceiling::through(&measured, join)
                }
            };
            let ceiling = ceiling.ok()?;
            if cut && ceiling.join() == Join::Lower {
                return ceiling.cut_off_at(Metres(low + 0.6 * rise)).ok();
            }
            Some(ceiling)
        };
        let boxes = (0..rng.random_range(0..4))
            .map(|_| {
                let underside = if rng.random_bool(0.1) {
                    0.0
                } else {
                    rng.random_range(1.7..2.4)
                };
                if rng.random_bool(0.4) {
                    // A soffit flush with a wall.
                    let wall = plan::wall(&places, rng.random_range(0..walls)).unwrap();
                    let width_m = rng.random_range(0.1..0.8);
                    let middle = wall.left + wall.along * (wall.length_m / 2.0);
                    let rect = PlanRect {
                        centre: middle + wall.inward * (width_m / 2.0),
                        along: wall.along,
                        length_m: wall.length_m,
                        width_m,
                    };
                    return HangingBox {
                        rect,
                        underside_m: underside,
                    };
                }
                hanging(
                    rng.random_range(0.5..4.5),
                    rng.random_range(0.3..3.0),
                    rng.random_range(-180.0..180.0),
                    rng.random_range(0.2..6.0),
                    rng.random_range(0.1..1.0),
                    underside,
                )
            })
            .collect();
        Self {
            corners: places,
            ceiling: Box::new(ceiling),
            boxes,
        }
    }

    fn built(&self, angle: f64) -> Option<Solid> {
        let places = self
            .corners
            .iter()
            .map(|&p| turned(p, angle, false))
            .collect();
        let plan = Plan::new(places).ok()?;
        let boxes = self.boxes.iter().map(|b| {
            let origin = Point2::default();
            let along = turned(origin + b.rect.along, angle, false) - turned(origin, angle, false);
            let rect = PlanRect {
                centre: turned(b.rect.centre, angle, false),
                along,
                ..b.rect
            };
            HangingBox { rect, ..*b }
        });
        let ceiling = (self.ceiling)(&plan)?;
        match Solid::new(plan, ceiling, boxes.collect()) {
            Ok(solid) => Some(solid),
            Err(SolidError::NotClosed { x_m, y_m }) => panic!("not closed at {x_m}, {y_m}"),
            Err(_) => None,
        }
    }
}

fn seeded_rooms(count: usize) -> Vec<(u64, Drawn, Solid)> {
    (0..)
        .filter_map(|seed| {
            let drawn = Drawn::random(&mut ChaCha8Rng::seed_from_u64(seed));
            let solid = drawn.built(0.3 + seed as f64)?;
            Some((seed, drawn, solid))
        })
        .take(count)
        .collect()
}

/// The mirror image, wall *i* becoming wall n − 2 − i (the last one staying last).
fn mirrored(solid: &Solid) -> Solid {
    let flip = |p: Point2| Point2::new(-p.x, p.y);
    let plan = Plan::new(solid.plan().iter().rev().map(|&p| flip(p)).collect()).unwrap();
    let planes = solid.ceiling().planes().iter().map(|p| Plane {
        slope_x: -p.slope_x,
        ..*p
    });
    let ceiling = Ceiling::new(planes.collect(), solid.ceiling().join()).unwrap();
    let boxes = solid.boxes().iter().map(|b| {
        let along = Vec2::new(-b.rect.along.x, b.rect.along.y);
        let rect = PlanRect {
            centre: flip(b.rect.centre),
            along,
            ..b.rect
        };
        HangingBox { rect, ..*b }
    });
    Solid::new(plan, ceiling, boxes.collect()).unwrap()
}

#[test]
fn three_hundred_seeded_rooms_are_closed() {
    for (seed, _, room) in seeded_rooms(300) {
        assert_watertight(&room, &format!("seed {seed}"));
        // 2 for each piece of air less 2 for each ring: always even.
        assert_eq!(room.euler_characteristic() % 2, 0, "seed {seed}");
        if room.boxes().iter().all(|b| b.underside_m > 0.0) {
            assert_eq!(room.euler_characteristic(), 2, "seed {seed}");
        }
        // Gauss: the outward areas of a closed surface cancel.
        let mut sum = Vec3::default();
        for face in room.faces() {
            sum = sum + face.normal * face.area_m2;
        }
        assert!(sum.length() < 1e-5, "seed {seed}: {sum:?}");
        let triangles: f64 = room
            .triangles()
            .map(|(_, [a, b, c])| (b - a).cross(c - a).length() / 2.0)
            .sum();
        assert!((triangles - surface(&room)).abs() < 1e-5, "seed {seed}");
        assert!(
            (triangle_volume(&room) - room.volume().0).abs() < 1e-5,
            "seed {seed}"
        );
    }
}

/// Volume and area under boxes by polygon clipping of another library: columns of
/// linear top over disjoint pieces of the plan.
fn columns(room: &Solid) -> (f64, f64) {
    const FAR_M: f64 = 30.0;
    let polygon = |corners: &[Point2]| {
        Polygon::new(
            LineString(corners.iter().map(|p| Coord { x: p.x, y: p.y }).collect()),
            vec![],
        )
    };
    let half_plane = |f: Plane| {
        let gradient = Vec2::new(f.slope_x, f.slope_y);
        let centre = room.plan()[0];
        let Some(up) = gradient.unit().filter(|_| gradient.length() > 1e-9) else {
            let whole = if f.height_m >= 0.0 { FAR_M } else { 1e-9 };
            return polygon(
                &[(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
                    .map(|(x, y)| centre + Vec2::new(x, y) * whole),
            );
        };
        let foot = centre - up * (f.height_at(centre).0 / gradient.length());
        // Nearly level planes meet far away.
        let far_m = FAR_M + centre.distance(foot);
        let across = up.left() * far_m;
        polygon(&[
            foot - across,
            foot + across,
            foot + across + up * far_m,
            foot - across + up * far_m,
        ])
    };
    let minus = |p: &Plane, q: &Plane| Plane {
        slope_x: p.slope_x - q.slope_x,
        slope_y: p.slope_y - q.slope_y,
        height_m: p.height_m - q.height_m,
    };
    let under = |area: &MultiPolygon, top: &Plane| match area.centroid() {
        Some(c) => area.unsigned_area() * top.height_at(Point2::new(c.x(), c.y())).0,
        None => 0.0,
    };
    let mut rest = MultiPolygon(vec![polygon(room.plan())]);
    let planes = room.ceiling().planes();
    let mut boxes: Vec<&HangingBox> = room.boxes().iter().collect();
    boxes.sort_by(|a, b| a.underside_m.total_cmp(&b.underside_m));
    let (mut volume, mut covered) = (0.0, 0.0);
    for hanging in boxes {
        let level = Plane::level(hanging.underside_m);
        let above = |p: &Plane| half_plane(minus(p, &level));
        let outline = MultiPolygon(vec![polygon(&hanging.rect.corners())]);
        let hung = match room.ceiling().join() {
            Join::Lower => planes
                .iter()
                .fold(outline, |area, p| area.intersection(&above(p))),
            Join::Upper => {
                let any = planes
                    .iter()
                    .fold(MultiPolygon(vec![]), |area, p| area.union(&above(p)));
                outline.intersection(&any)
            }
        };
        let inside = rest.intersection(&hung);
        volume += under(&inside, &level);
        covered += inside.unsigned_area();
        rest = rest.difference(&hung);
    }
    for (i, p) in planes.iter().enumerate() {
        let mut area = rest.clone();
        for (j, q) in planes
            .iter()
            .enumerate()
            .filter(|&(j, q)| j != i && *q != planes[i] || j < i)
        {
            // Equal planes: the first keeps all.
            if q == p {
                if j < i {
                    area = MultiPolygon(vec![]);
                }
                continue;
            }
            let wins = match room.ceiling().join() {
                Join::Lower => minus(q, p),
                Join::Upper => minus(p, q),
            };
            area = area.intersection(&half_plane(wins));
        }
        volume += under(&area, p);
    }
    (volume, covered)
}

#[test]
fn divergence_theorem_agrees_with_columns_over_the_plan() {
    for (seed, _, room) in seeded_rooms(300) {
        let (volume, covered) = columns(&room);
        // The other library snaps to a grid of 2⁻³⁰ of the half planes' size, at worst
        // 1e-6 m, along outlines of some 30 m.
        assert!(
            (volume - room.volume().0).abs() < 3e-5,
            "seed {seed}: {volume} {:?}",
            room.volume()
        );
        let plan_area = plan::area(room.plan()).0;
        let own = under_boxes(&room) + plan_area - room.area(Surface::Floor).0;
        assert!((covered - own).abs() < 3e-5, "seed {seed}: {covered} {own}");
    }
}

#[test]
fn turning_the_room_changes_no_area_or_volume() {
    for (seed, drawn, room) in seeded_rooms(100) {
        let turned = drawn.built(seed as f64 * 1.7 - 2.0).unwrap();
        assert!(
            (turned.volume().0 - room.volume().0).abs() < 1e-6,
            "seed {seed}"
        );
        assert!(
            (surface(&turned) - surface(&room)).abs() < 1e-5,
            "seed {seed}"
        );
        let walls = |s: &Solid| s.area(Surface::Wall(1)).0;
        assert!((walls(&turned) - walls(&room)).abs() < 1e-6, "seed {seed}");
    }
}

#[test]
fn the_mirrored_room_has_the_same_areas_and_volume() {
    for (seed, _, room) in seeded_rooms(100) {
        let image = mirrored(&room);
        assert!(
            (image.volume().0 - room.volume().0).abs() < 1e-6,
            "seed {seed}"
        );
        let n = room.plan().len();
        for wall in 0..n {
            let own = room.area(Surface::Wall(wall)).0;
            let theirs = image.area(Surface::Wall((2 * n - 2 - wall) % n)).0;
            assert!((own - theirs).abs() < 1e-6, "seed {seed}, wall {wall}");
        }
        assert!(
            (under_boxes(&image) - under_boxes(&room)).abs() < 1e-6,
            "seed {seed}"
        );
    }
}

#[test]
fn points_inside_and_outside_agree_with_winding() {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    for (seed, _, room) in seeded_rooms(40) {
        for _ in 0..50 {
            let p = Point3::new(
                rng.random_range(-8.0..9.0),
                rng.random_range(-8.0..9.0),
                rng.random_range(-0.2..3.5),
            );
            // Solid angle of all triangles: 4π inside, 0 outside (van Oosterom and
            // Strackee 1983, from memory).
            let angle: f64 = room
                .triangles()
                .map(|(_, t)| {
                    let [a, b, c] = t.map(|v| v - p);
                    let (la, lb, lc) = (a.length(), b.length(), c.length());
                    let below = la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb;
                    2.0 * a.dot(b.cross(c)).atan2(below)
                })
                .sum();
            assert_eq!(room.contains(p), angle > 2.0 * PI, "seed {seed}: {p:?}");
        }
    }
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
