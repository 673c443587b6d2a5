//! Whatever numbers come in, an answer or an error comes out, never a panic.

use geometry::{
    Ceiling, Convex, DoorLeaf, HangingBox, HipPitch, Join, OrientedBox, Plan, PlanRect, Plane,
    Point2, Point3, Rect, Solid, UprightCylinder, Vec2, WallPoint, path, plan,
};
use proptest::prelude::*;
use units::{Metres, Radians};

/// Room-sized numbers, often equal, with the odd impossible one between them.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => (-2..8).prop_map(f64::from),
        6 => -2.0..8.0_f64,
        1 => any::<f64>(),
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(0.0), Just(1e-7), Just(1e300)],
    ]
}

fn point2() -> impl Strategy<Value = Point2> {
    (number(), number()).prop_map(|(x, y)| Point2::new(x, y))
}

fn point3() -> impl Strategy<Value = Point3> {
    (number(), number(), number()).prop_map(|(x, y, z)| Point3::new(x, y, z))
}

fn rect() -> impl Strategy<Value = PlanRect> {
    (point2(), number(), number(), number()).prop_map(|(centre, angle, length_m, width_m)| {
        PlanRect {
            centre,
            along: Vec2::from_angle(angle),
            length_m,
            width_m,
        }
    })
}

/// Simple plans often enough: a rectangle with its corners pushed about.
fn corners() -> impl Strategy<Value = Vec<Point2>> {
    let pushed = prop::collection::vec((0..4_i32, 0..4_i32), 4).prop_map(|pushes| {
        let base = [(0.0, 0.0), (0.0, 5.0), (6.0, 5.0), (6.0, 0.0)];
        let push = |((x, y), (u, v)): ((f64, f64), &(i32, i32))| {
            Point2::new(x + f64::from(*u) * 0.3, y + f64::from(*v) * 0.3)
        };
        base.into_iter().zip(&pushes).map(push).collect::<Vec<_>>()
    });
    prop_oneof![3 => pushed, 1 => prop::collection::vec(point2(), 0..8)]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn plans_answer(corners in corners(), p in point2(), a in 0..9_usize, d in number(), e in number()) {
        let _ = Plan::new(corners.clone());
        let _ = plan::area(&corners);
        let _ = plan::perimeter(&corners);
        let _ = plan::centroid(&corners);
        let _ = plan::crossing_walls(&corners);
        let _ = plan::contains(&corners, p);
        let _ = plan::nearest_wall(&corners, p);
        let _ = plan::nearest_on_wall(&corners, a, p);
        let _ = plan::reflex_corner(&corners);
        let _ = plan::point_on_wall(&corners, a, Metres(d), Metres(e));
        let _ = plan::point_from_two_walls(&corners, a, Metres(d), a / 2, Metres(e));
    }

    #[test]
    fn solids_close_or_say_why(
        corners in corners(),
        kind in 0..6,
        walls in (0..5_usize, 0..5_usize),
        h in (number(), number(), number()),
        points in prop::collection::vec((point3(), point3(), point3()), 1..4),
        boxes in prop::collection::vec((rect(), number()), 0..3),
        ends in (point3(), point3()),
    ) {
        let Ok(plan) = Plan::new(corners) else { return Ok(()) };
        let (a, b, c) = (Metres(h.0), Metres(h.1), Metres(h.2));
        let points: Vec<[Point3; 3]> = points.into_iter().map(|(p, q, r)| [p, q, r]).collect();
        let ceiling = match kind {
            0 => Ceiling::flat(a),
            1 => Ceiling::shed(&plan, walls.0, a, b),
            2 => Ceiling::gable(&plan, [walls.0, walls.1], c, a, b),
            3 => Ceiling::hip(&plan, a, HipPitch::Top(b)),
            4 => Ceiling::hip(&plan, a, HipPitch::Angle(Radians(h.1))).and_then(|hip| hip.cut_off_at(c)),
            _ => Ceiling::through(&points, if h.0 > 2.0 { Join::Lower } else { Join::Upper }),
        };
        let Ok(ceiling) = ceiling else { return Ok(()) };
        let _ = ceiling.wall_top(&plan, walls.0);
        let boxes = boxes.into_iter().map(|(rect, underside_m)| HangingBox { rect, underside_m });
        if let Ok(solid) = Solid::new(plan, ceiling, boxes.collect()) {
            prop_assert!(solid.is_closed());
            prop_assert!(solid.volume().0 > 0.0);
            let _ = solid.exit(ends.0, ends.1);
            let _ = solid.contains(ends.0);
            let _ = solid.wall_top(walls.1);
        }
    }

    #[test]
    fn bodies_answer(
        p in prop::array::uniform5(point3()),
        size in prop::array::uniform3(number()),
        q in point3(),
        angles in (number(), number()),
    ) {
        let size = size.map(Metres);
        let (yaw, pitch) = (Radians(angles.0), Radians(angles.1));
        let body = OrientedBox::upright(q, size, yaw).and_then(|b| b.tilted(pitch));
        let beam = Convex::pyramid(p[0], [p[1], p[2], p[3], p[4]]);
        let cylinder = UprightCylinder::new(q, size[0], size[1]);
        if let (Ok(body), Ok(beam)) = (&body, &beam) {
            let _ = beam.clearance(&Convex::from(body));
            let _ = body.meets_segment(p[0], p[1]);
        }
        if let (Ok(beam), Ok(cylinder)) = (&beam, &cylinder) {
            let _ = beam.clearance_to_cylinder(cylinder);
        }
        if let (Ok(line), Ok(cylinder)) = (Convex::segment(p[0], p[1]), &cylinder) {
            let _ = line.clearance_to_cylinder(cylinder);
        }
        let _ = path::manhattan(p[0], p[1], Vec2::new(q.x, q.y));
    }

    #[test]
    fn walls_and_leaves_answer(n in prop::array::uniform8(number()), rect in rect(), planes in (number(), number())) {
        let m = n.map(Metres);
        let a = Rect::new(m[0], m[1], m[2], m[3]);
        let b = Rect::new(m[4], m[5], m[6], m[7]);
        if let (Ok(a), Ok(b)) = (a, b) {
            let _ = a.gap(&b);
            let _ = a.headroom(&[
                WallPoint { from_left_m: n[4], height_m: n[5] },
                WallPoint { from_left_m: n[6], height_m: n[7] },
            ]);
        }
        if let Ok(leaf) = DoorLeaf::new(Point2::new(n[0], n[1]), m[2], Radians(n[3]), Radians(n[4])) {
            let _ = leaf.clearance(&rect);
        }
        let _ = Ceiling::new(vec![Plane { slope_x: planes.0, slope_y: planes.1, height_m: n[0] }], Join::Upper);
    }
}
