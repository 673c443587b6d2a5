//! What holds in every room: closure, reciprocity, passivity, the same answer twice.

use std::ops::ControlFlow;

use geometry::Point3;
use units::Hertz;
use waves::{
    Admittance, Complex, Face, Finish, Place, Room, RoomError, SolveError, Solver, level_db,
};

use crate::rooms::{lying, rectangle, shoebox, solved, turned, up_to};

/// Two rooms of 4 × 3 m joined by an archway 1.1 m wide and 2.1 m high in a wall 0.15 m thick.
fn archway(angle_deg: f64) -> Room {
    let (sin, cos) = angle_deg.to_radians().sin_cos();
    let turn = |p: [f64; 3]| [cos * p[0] - sin * p[1], sin * p[0] + cos * p[1], p[2]];
    let plan = [
        [0.0, 0.0],
        [4.0, 0.0],
        [4.0, 0.9],
        [4.15, 0.9],
        [4.15, 0.0],
        [8.15, 0.0],
        [8.15, 3.0],
        [4.15, 3.0],
        [4.15, 2.0],
        [4.0, 2.0],
        [4.0, 3.0],
        [0.0, 3.0],
    ];
    // Up to the head of the archway as one prism; above it the two rooms alone.
    let low =
        |z: f64, p: &[[f64; 2]]| -> Vec<[f64; 3]> { p.iter().map(|q| [q[0], q[1], z]).collect() };
    let mut faces = vec![Face {
        outline: low(0.0, &plan).into_iter().rev().collect(),
        holes: vec![],
        surface: 0,
    }];
    for i in 0..plan.len() {
        let (a, b) = (plan[i], plan[(i + 1) % plan.len()]);
        let outline = vec![
            [a[0], a[1], 0.0],
            [b[0], b[1], 0.0],
            [b[0], b[1], 2.1],
            [a[0], a[1], 2.1],
        ];
        faces.push(Face {
            outline,
            holes: vec![],
            surface: 1,
        });
    }
    faces.push(Face {
        outline: low(2.1, &[[4.0, 0.9], [4.15, 0.9], [4.15, 2.0], [4.0, 2.0]]),
        holes: vec![],
        surface: 1,
    });
    for (from, to) in [(0.0, 4.0), (4.15, 8.15)] {
        let corners = [[from, 0.0], [to, 0.0], [to, 3.0], [from, 3.0]];
        for i in 0..4 {
            let (a, b) = (corners[i], corners[(i + 1) % 4]);
            let outline = vec![
                [a[0], a[1], 2.1],
                [b[0], b[1], 2.1],
                [b[0], b[1], 2.5],
                [a[0], a[1], 2.5],
            ];
            faces.push(Face {
                outline,
                holes: vec![],
                surface: 1,
            });
        }
        faces.push(Face {
            outline: low(2.5, &corners),
            holes: vec![],
            surface: 2,
        });
    }
    for corner in faces.iter_mut().flat_map(|f| f.outline.iter_mut()) {
        *corner = turn(*corner);
    }
    Room::new(&faces).expect("closed")
}

fn odd_rooms() -> Vec<(&'static str, Room)> {
    let alcove = [
        [0.0, 0.0],
        [4.0, 0.0],
        [4.0, 1.0],
        [4.35, 1.0],
        [4.35, 1.12],
        [4.0, 1.12],
        [4.0, 3.0],
        [0.0, 3.0],
    ];
    let sliver = [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.004]];
    let pointed = [[0.0, 0.0], [6.0, 0.0], [6.0, 0.9]];
    let skew = [[0.0, 0.0], [5.31, 0.12], [5.02, 4.47], [-0.21, 3.98]];
    let bay = [
        [0.0, 0.0],
        [5.0, 0.0],
        [5.0, 4.0],
        [3.9, 4.0],
        [3.4, 4.9],
        [1.6, 4.9],
        [1.1, 4.0],
        [0.0, 4.0],
    ];
    let prism = |plan: &[[f64; 2]]| Room::prism(plan, 0.0, 2.4).expect("closed");
    vec![
        ("alcove", prism(&alcove)),
        ("alcove, turned", prism(&turned(&alcove, 28.0))),
        ("sliver", prism(&sliver)),
        ("pointed", prism(&pointed)),
        ("skew", prism(&skew)),
        ("bay", prism(&bay)),
        (
            "gable",
            lying(
                &[[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [2.0, 3.5], [0.0, 2.0]],
                5.0,
                9.0,
            ),
        ),
        ("archway", archway(0.0)),
        ("archway, turned", archway(23.0)),
    ]
}

/// Cells hold the air of the room, no more and no less; the pressure may be alike everywhere; no
/// surface adds energy; source and ear may change places; and a grid along the walls gives the modes
/// of one that lies across them.
#[test]
fn odd_rooms_keep_the_laws() {
    for (name, room) in odd_rooms() {
        let mut lists = Vec::new();
        for along_walls in [true, false] {
            let mut settings = up_to(80.0);
            settings.along_walls = along_walls;
            let solver = Solver::new(&room, settings).expect("fits");
            let volume = solver.volume().0;
            assert!(
                (volume / room.volume().0 - 1.0).abs() < 1e-9,
                "{name}: {volume}"
            );
            let modes = solver
                .run(&[], &mut |_| ControlFlow::Continue(()))
                .expect("settles");
            let list = modes.modes();
            assert!(
                list[0].frequency_hz < 0.05 && list[1].frequency_hz > 10.0,
                "{name}: {list:?}"
            );
            for surface in 0..room.surfaces() {
                let (low, high) = modes.damping_range(surface).expect("listed");
                assert!(low > -1e-9 * high && high > 0.0, "{name}: {low} {high}");
            }
            let mut inside = Vec::new();
            for i in 0..400 {
                let share = |k: f64| (f64::from(i) * k).fract();
                let p = Point3::new(
                    -3.0 + 11.0 * share(0.618_034),
                    -1.0 + 7.0 * share(0.754_878),
                    3.0 * share(0.569_84),
                );
                inside.extend(modes.place(p));
            }
            assert!(inside.len() > 5, "{name}: {}", inside.len());
            let finish = Finish::new(
                (0..room.surfaces())
                    .map(|s| Admittance::diffuse(0.04 + 0.02 * s as f64))
                    .collect(),
            );
            let f = [Hertz(31.0), Hertz(67.0)];
            let there = modes.response(&finish, &inside[0], &inside[1], &f);
            let back = modes.response(&finish, &inside[1], &inside[0], &f);
            for (a, b) in there.iter().zip(&back) {
                assert!((a - b).norm() < 1e-9 * a.norm(), "{name}: {a} {b}");
            }
            lists.push(list);
        }
        for (on, off) in lists[0].iter().zip(&lists[1]).skip(1) {
            let (on, off) = (on.frequency_hz, off.frequency_hz);
            assert!((on / off - 1.0).abs() < 5e-3, "{name}: {on} {off}");
        }
    }
}

/// Two equal rooms behind a small opening resonate as a pair: each mode of one alone comes twice,
/// once with equal and once with opposite signs.
#[test]
fn a_thin_wall_parts_what_is_on_its_two_sides() {
    let modes = solved(&archway(0.0), up_to(60.0), &[]);
    let list: Vec<f64> = modes.modes().iter().map(|m| m.frequency_hz).collect();
    // The lowest is the air in the archway swinging between the rooms, far below 343/(2·8.15).
    assert!(list[1] < 20.0 && list[1] > 8.0, "{list:?}");
    let (a, b) = (Point3::new(3.95, 0.3, 1.0), Point3::new(4.2, 0.3, 1.0));
    let shape = modes.shape(1, &[a, b]);
    let (a, b) = (shape[0].expect("inside"), shape[1].expect("inside"));
    assert!(a * b < 0.0 && a.abs() > 0.5, "{a} {b}");
    assert!(modes.place(Point3::new(4.07, 0.3, 1.0)).is_none());
}

#[test]
fn the_same_room_gives_the_same_bits() {
    let room = lying(
        &[[0.0, 0.0], [3.0, 0.0], [3.0, 2.0], [1.5, 2.8], [0.0, 2.0]],
        4.0,
        9.0,
    );
    let ear = Point3::new(1.0, 1.4, 1.2);
    let once = solved(&room, up_to(80.0), &[ear]);
    let again = solved(&room, up_to(80.0), &[ear]);
    assert_eq!(once.place(ear), again.place(ear));
    assert_eq!(once.modes(), again.modes());
}

/// A Helmholtz-like room far below its first mode: pressure follows the volume flowing in,
/// `p = ρc² q/(−ω² V)` against `ρ q/(4π)` at 1 m.
#[test]
fn far_below_the_first_mode_the_pressure_is_the_same_everywhere() {
    let room = shoebox(3.0, 2.5, 2.2);
    let modes = solved(&room, up_to(60.0), &[]);
    let (a, b) = (
        modes.place(Point3::new(0.2, 0.2, 0.2)),
        modes.place(Point3::new(2.8, 2.2, 1.9)),
    );
    let finish = Finish::new(vec![Admittance::Rigid; 6]);
    let found = modes.response(
        &finish,
        &a.expect("inside"),
        &b.expect("inside"),
        &[Hertz(2.0)],
    )[0];
    let k = 2.0 * std::f64::consts::PI * 2.0 / 343.0;
    let expected = -4.0 * std::f64::consts::PI / (k * k * room.volume().0);
    assert!(
        (found.re / expected - 1.0).abs() < 0.02 && found.im.abs() < 1e-9,
        "{found} {expected}"
    );
}

/// The field of two sources is the sum of the responses to each.
#[test]
fn a_field_adds_up() {
    let room = shoebox(4.0, 3.0, 2.4);
    let modes = solved(&room, up_to(80.0), &[]);
    let at = |x: f64, y: f64| modes.place(Point3::new(x, y, 1.0)).expect("inside");
    let finish = Finish::new(vec![Admittance::diffuse(0.08); 6]);
    let (a, b, ear) = (at(0.3, 0.4), at(3.7, 2.0), at(2.2, 1.3));
    let gain = Complex::new(-0.5, 0.3);
    let field = modes.field(
        &finish,
        &[(a.clone(), Complex::new(1.0, 0.0)), (b.clone(), gain)],
        std::slice::from_ref(&ear),
        Hertz(52.0),
    );
    let sum = modes.response(&finish, &a, &ear, &[Hertz(52.0)])[0]
        + modes.response(&finish, &b, &ear, &[Hertz(52.0)])[0] * gain;
    assert!((field[0] - sum).norm() < 1e-9 * sum.norm());
}

#[test]
fn what_is_no_room_is_refused() {
    let faces = |keep: usize| -> Vec<Face> {
        let c = |x: f64, y: f64, z: f64| [x, y, z];
        let quads = [
            vec![c(0., 0., 0.), c(0., 1., 0.), c(1., 1., 0.), c(1., 0., 0.)],
            vec![c(0., 0., 1.), c(1., 0., 1.), c(1., 1., 1.), c(0., 1., 1.)],
            vec![c(0., 0., 0.), c(1., 0., 0.), c(1., 0., 1.), c(0., 0., 1.)],
            vec![c(1., 0., 0.), c(1., 1., 0.), c(1., 1., 1.), c(1., 0., 1.)],
            vec![c(1., 1., 0.), c(0., 1., 0.), c(0., 1., 1.), c(1., 1., 1.)],
            vec![c(0., 1., 0.), c(0., 0., 0.), c(0., 0., 1.), c(0., 1., 1.)],
        ];
        quads
            .into_iter()
            .take(keep)
            .map(|outline| Face {
                outline,
                holes: vec![],
                surface: 0,
            })
            .collect()
    };
    assert!(Room::new(&faces(6)).is_ok());
    assert!(matches!(Room::new(&faces(5)), Err(RoomError::Open { .. })));
    let mut turned_in = faces(6);
    turned_in.iter_mut().for_each(|f| f.outline.reverse());
    assert_eq!(Room::new(&turned_in), Err(RoomError::InsideOut));
    let mut warped = faces(6);
    for corner in warped
        .iter_mut()
        .flat_map(|f| f.outline.iter_mut())
        .filter(|c| **c == [1.0, 1.0, 1.0])
    {
        corner[2] = 1.1;
    }
    assert!(matches!(Room::new(&warped), Err(RoomError::NotFlat { .. })));
    warped[0].outline[0][0] = f64::NAN;
    assert!(matches!(
        Room::new(&warped),
        Err(RoomError::NotFinite { face: 0 })
    ));
    warped[0].outline.truncate(2);
    assert!(Room::new(&warped).is_err());
    assert!(Room::new(&[]).is_err());
}

#[test]
fn a_solve_can_be_stopped_and_too_large_a_room_is_refused() {
    let room = shoebox(5.0, 4.0, 2.4);
    let solver = Solver::new(&room, up_to(100.0)).expect("fits");
    let mut told = 0;
    let stopped = solver.run(&[], &mut |_| {
        told += 1;
        if told > 2 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    assert!(matches!(stopped, Err(SolveError::Stopped)));
    let outside = solver.run(&[Point3::new(9.0, 1.0, 1.0)], &mut |_| {
        ControlFlow::Continue(())
    });
    assert!(matches!(outside, Err(SolveError::Outside { index: 0, .. })));
    let hall = Room::prism(&rectangle(40.0, 30.0), 0.0, 12.0).expect("closed");
    match Solver::new(&hall, up_to(250.0)).map(|_| ()) {
        Err(SolveError::Memory {
            fitting_hz,
            fitting,
            ..
        }) => {
            assert!(
                fitting_hz > 60.0
                    && fitting_hz < 250.0
                    && fitting.0 > 500.0
                    && fitting.0 < 14_400.0
            );
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(
        Solver::new(&room, up_to(-1.0)).map(|_| ()),
        Err(SolveError::Setting(_))
    ));
}

/// Guesses at the absorption are answered as if each had been asked for alone; more absorption
/// lowers the peak of a resonance. A map gives at a point what the point's place gives.
#[test]
fn guesses_and_maps_agree_with_single_answers() {
    let room = lying(&[[0.0, 0.0], [3.0, 0.0], [3.0, 2.0], [0.0, 2.6]], 4.0, 0.0);
    let modes = solved(&room, up_to(80.0), &[]);
    let finish = Finish::new(vec![Admittance::diffuse(0.1); room.surfaces()]);
    let points = [
        Point3::new(0.2, 0.3, 0.2),
        Point3::new(3.1, 1.2, 1.1),
        Point3::new(9.0, 9.0, 9.0),
    ];
    let places: Vec<Place> = points.iter().filter_map(|p| modes.place(*p)).collect();
    let peak = [Hertz(modes.modes()[1].frequency_hz)];
    let scales: Vec<Vec<f64>> = [0.5, 1.0, 2.0]
        .iter()
        .map(|s| vec![*s; room.surfaces()])
        .collect();
    let guesses = modes.ensemble(&finish, &scales, &places[1..], &peak);
    let levels: Vec<f64> = guesses
        .iter()
        .map(|g| level_db(g.from(&places[0])[0][0]))
        .collect();
    assert!(
        levels[0] > levels[1] + 3.0 && levels[1] > levels[2] + 3.0,
        "{levels:?}"
    );
    let alone = modes.response(&finish, &places[0], &places[1], &peak)[0];
    assert!((level_db(alone) - levels[1]).abs() < 1e-9);
    let source = [(places[0].clone(), Complex::new(1.0, 0.0))];
    let map = modes.field_at(&finish, &source, &points, peak[0]);
    assert!((map[1].expect("inside") - alone).norm() < 1e-9 * alone.norm());
    assert!(map[2].is_none());
}

/// Floor plans of many shapes, turned anyhow: the cells hold area times height, and the modes
/// settle on and off the grid. So they do in a cupboard that is smaller than every wave.
#[test]
fn every_floor_plan_is_filled_and_settles() {
    let mut plans: Vec<(Vec<[f64; 2]>, f64)> = vec![(rectangle(0.9, 0.6), 0.54)];
    for line in include_str!("room-polygons.csv").lines().skip(2) {
        let (_, rest) = line.split_once(",\"").expect("quoted corners");
        let (corners, rest) = rest.split_once("\",").expect("quoted corners");
        let number = |text: &str| -> f64 { text.parse().expect("a number") };
        let corner = |text: &str| {
            let (x, y) = text.split_once(',').expect("two numbers");
            [number(x), number(y)]
        };
        let area = number(rest.split(',').next().expect("area"));
        plans.push((corners.split(' ').map(corner).collect(), area));
    }
    assert_eq!(plans.len(), 8);
    for (i, (plan, area)) in plans.iter().enumerate() {
        let room = Room::prism(&turned(plan, 41.0 * i as f64), -0.4, 2.0).expect("closed");
        for along_walls in [true, false] {
            let mut settings = up_to(60.0);
            settings.along_walls = along_walls;
            let solver = Solver::new(&room, settings).expect("fits");
            assert!(
                (solver.volume().0 / (area * 2.4) - 1.0).abs() < 1e-6,
                "plan {i}"
            );
            let modes = solver
                .run(&[], &mut |_| ControlFlow::Continue(()))
                .expect("settles");
            assert!(modes.modes()[0].frequency_hz < 0.05, "plan {i}");
        }
    }
}
