//! Clearances of solids against samples, bounds and a many-sided prism.

use std::f64::consts::TAU;

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::*;

fn rng(seed: u64) -> ChaCha8Rng {
    ChaCha8Rng::seed_from_u64(seed)
}

fn upright(x: f64, y: f64, z: f64, size: [f64; 3], degrees: f64) -> OrientedBox {
    OrientedBox::upright(
        Point3::new(x, y, z),
        size.map(Metres),
        Radians::from_degrees(degrees),
    )
    .unwrap()
}

fn cylinder(x: f64, y: f64, z: f64, radius: f64, height: f64) -> UprightCylinder {
    UprightCylinder::new(Point3::new(x, y, z), Metres(radius), Metres(height)).unwrap()
}

/// A beam from 2.3 m to a picture 2.2 m wide and 1.24 m high, 3 m away.
fn beam() -> Convex {
    let corner = |y, z| Point3::new(3.0, y, z);
    Convex::pyramid(
        Point3::new(0.0, 0.0, 2.3),
        [
            corner(1.1, 0.9),
            corner(-1.1, 0.9),
            corner(-1.1, 2.14),
            corner(1.1, 2.14),
        ],
    )
    .unwrap()
}

fn random_box(rng: &mut ChaCha8Rng) -> OrientedBox {
    let size = [0; 3].map(|_| rng.random_range(0.1..1.0));
    let mut at = || rng.random_range(-1.0..1.0);
    let (x, y, z) = (at(), at(), at());
    upright(x, y, z, size, rng.random_range(0.0..360.0))
        .tilted(Radians(rng.random_range(-1.5..1.5)))
        .unwrap()
}

fn random_pyramid(rng: &mut ChaCha8Rng) -> Convex {
    let (w, h, d) = (
        rng.random_range(0.2..1.0),
        rng.random_range(0.2..1.0),
        rng.random_range(0.5..2.0),
    );
    let turn = Vec2::from_angle(rng.random_range(0.0..TAU));
    let place = |x: f64, y: f64, z: f64| {
        let flat = turn * x + turn.left() * y;
        Point3::new(flat.x - 0.8, flat.y, z)
    };
    let up = rng.random_range(-0.8..0.8);
    Convex::pyramid(
        place(0.0, 0.0, up),
        [
            place(d, w, h),
            place(d, -w, h),
            place(d, -w, -h),
            place(d, w, -h),
        ],
    )
    .unwrap()
}

/// A random point of the body: a random mixture of its corners.
fn sample(body: &Convex, rng: &mut ChaCha8Rng) -> Point3 {
    let weights: Vec<f64> = body
        .vertices()
        .iter()
        .map(|_| -rng.random_range(1e-9..1.0_f64).ln())
        .collect();
    let total: f64 = weights.iter().sum();
    let origin = body.vertices()[0];
    body.vertices()
        .iter()
        .zip(weights)
        .fold(origin, |p, (&v, w)| p + (v - origin) * (w / total))
}

fn moved(body: &Convex, step: Vec3) -> Convex {
    Convex {
        vertices: body.vertices.iter().map(|&v| v + step).collect(),
        ..body.clone()
    }
}

#[test]
fn beam_edges_run_straight_from_lens_to_corner() {
    // Lens (0, 0, 2.30), corner (3.0, 1.1, 0.9): at x = 1.5, y = 0.55 and z = 1.6.
    let edge = Point3::new(0.0, 0.0, 2.3).towards(Point3::new(3.0, 1.1, 0.9), 0.5);
    assert!(edge.distance(Point3::new(1.5, 0.55, 1.6)) < 1e-12);
    // A pin prick there touches the beam; 1 mm out it is clear.
    let rod = |y: f64, z: f64| {
        Convex::segment(Point3::new(1.5, y, z), Point3::new(1.5, y + 0.1, z - 0.1)).unwrap()
    };
    assert!(beam().clearance(&rod(0.55, 1.6)).signed.0.abs() < 1e-12);
    assert!(beam().clearance(&rod(0.551, 1.599)).signed.0 > 5e-4);
    assert!(beam().clearance(&rod(0.549, 1.601)).signed.0 < -5e-4);
}

#[test]
fn boxes_face_to_face_are_apart_by_the_gap() {
    let a = Convex::from(&upright(0.0, 0.0, 0.0, [1.0, 1.0, 1.0], 0.0));
    let b = Convex::from(&upright(1.3, 0.2, 0.1, [1.0, 1.0, 1.0], 0.0));
    let clearance = a.clearance(&b);
    assert!((clearance.signed.0 - 0.3).abs() < 1e-12);
    assert!((clearance.away - Vec3::new(1.0, 0.0, 0.0)).length() < 1e-9);
    let diagonal = Convex::from(&upright(4.0, 5.0, 0.0, [1.0, 1.0, 1.0], 0.0));
    assert!((a.clearance(&diagonal).signed.0 - 5.0).abs() < 1e-12);
}

#[test]
fn overlap_is_the_least_push_out() {
    let a = Convex::from(&upright(0.0, 0.0, 0.0, [2.0, 2.0, 2.0], 0.0));
    let b = Convex::from(&upright(0.3, 1.4, 0.2, [1.0, 1.0, 1.0], 0.0));
    let clearance = a.clearance(&b);
    assert!((clearance.signed.0 + 0.1).abs() < 1e-12);
    assert!((clearance.away - Vec3::new(0.0, 1.0, 0.0)).length() < 1e-12);
    // One wholly inside the other still knows its way out.
    let inner = Convex::from(&upright(0.5, 0.0, 0.0, [0.2, 0.2, 0.2], 30.0));
    assert!(a.clearance(&inner).signed.0 < -0.5);
}

#[test]
fn edge_against_edge_is_found() {
    let bar = |p: Point3, q: Point3| Convex::segment(p, q).unwrap();
    let a = bar(Point3::new(-1.0, 0.0, 0.0), Point3::new(1.0, 0.0, 0.0));
    let b = bar(Point3::new(0.0, -1.0, 0.25), Point3::new(0.0, 1.0, 0.25));
    assert!((a.clearance(&b).signed.0 - 0.25).abs() < 1e-12);
}

/// Bounds of the distance by walking a point of the Minkowski difference towards the
/// origin (Gilbert 1966, SIAM J. Control 4, 61–80, from memory): the farthest point
/// against the walk bounds from below, the point itself from above.
fn bracketed_distance(a: &Convex, b: &Convex) -> [f64; 2] {
    let farthest = |body: &Convex, n: Vec3| {
        let along = |p: &Point3| (*p - Point3::default()).dot(n);
        *body
            .vertices()
            .iter()
            .max_by(|p, q| along(p).total_cmp(&along(q)))
            .unwrap()
    };
    let mut x = a.vertices()[0] - b.vertices()[0];
    let mut low = 0.0_f64;
    for _ in 0..4000 {
        let s = farthest(a, -x) - farthest(b, x);
        low = low.max(s.dot(x) / x.length());
        let way = s - x;
        let t = (-x.dot(way) / way.dot(way)).clamp(0.0, 1.0);
        if !t.is_finite() {
            break;
        }
        x = x + way * t;
    }
    [low, x.length()]
}

#[test]
fn clearance_agrees_with_sampled_points_and_with_bounds() {
    let mut rng = rng(11);
    let (mut apart, mut overlapping) = (0, 0);
    for _ in 0..250 {
        let (a, b) = (
            random_pyramid(&mut rng),
            Convex::from(&random_box(&mut rng)),
        );
        let Clearance {
            signed: Metres(signed),
            away,
        } = a.clearance(&b);
        if signed > 0.0 {
            apart += 1;
            for _ in 0..500 {
                let (p, q) = (sample(&a, &mut rng), sample(&b, &mut rng));
                assert!(p.distance(q) >= signed - 1e-12);
            }
            let [low, high] = bracketed_distance(&a, &b);
            assert!(
                low - 1e-12 <= signed && signed <= high + 1e-12,
                "{low} {signed} {high}"
            );
            // The walk slows down near touching.
            assert!(high - low < 0.02, "{low} to {high}");
        } else {
            overlapping += 1;
            // Pushed out they touch; pushed a little less, or any other way by less,
            // they still overlap.
            let out = a.clearance(&moved(&b, away * -signed)).signed.0;
            assert!(out.abs() < 1e-9, "{out}");
            for _ in 0..100 {
                let any = Vec3::new(
                    rng.random_range(-1.0..1.0),
                    rng.random_range(-1.0..1.0),
                    rng.random_range(-1.0..1.0),
                );
                let step = any.unit().unwrap() * (-signed * 0.999);
                assert!(a.clearance(&moved(&b, step)).signed.0 <= 1e-12);
            }
        }
    }
    assert!(
        apart > 30 && overlapping > 30,
        "{apart} apart, {overlapping} overlapping"
    );
}

#[test]
fn clearance_is_the_same_both_ways() {
    let mut rng = rng(12);
    for _ in 0..200 {
        let (a, b) = (
            random_pyramid(&mut rng),
            Convex::from(&random_box(&mut rng)),
        );
        let (there, back) = (a.clearance(&b), b.clearance(&a));
        assert!((there.signed.0 - back.signed.0).abs() < 1e-12);
    }
}

#[test]
fn moving_away_gains_the_distance_moved() {
    let mut rng = rng(13);
    for _ in 0..200 {
        let (a, b) = (
            random_pyramid(&mut rng),
            Convex::from(&random_box(&mut rng)),
        );
        let Clearance { signed, away } = a.clearance(&b);
        assert!((away.length() - 1.0).abs() < 1e-9);
        let further = a.clearance(&moved(&b, away * 0.01)).signed.0;
        assert!(
            (further - signed.0 - 0.01).abs() < 1e-9,
            "{further} {signed:?}"
        );
    }
}

#[test]
fn turning_or_mirroring_both_bodies_changes_no_clearance() {
    let mut rng = rng(14);
    for _ in 0..100 {
        let (a, b) = (
            random_pyramid(&mut rng),
            Convex::from(&random_box(&mut rng)),
        );
        let (angle, tip) = (rng.random_range(0.0..TAU), rng.random_range(0.0..TAU));
        let turned = |body: &Convex, mirror: f64| {
            let turn = |p: Point3| {
                let (x, y, z) = (p.x * mirror, p.y, p.z);
                let (x, y) = (
                    x * angle.cos() - y * angle.sin(),
                    x * angle.sin() + y * angle.cos(),
                );
                Point3::new(
                    x,
                    y * tip.cos() - z * tip.sin(),
                    y * tip.sin() + z * tip.cos(),
                )
            };
            let vertices = body.vertices.iter().map(|&p| turn(p)).collect();
            Convex::with_normals(vertices, body.triangles.clone(), body.edges.clone())
        };
        let before = a.clearance(&b).signed.0;
        for mirror in [1.0, -1.0] {
            let after = turned(&a, mirror).clearance(&turned(&b, mirror)).signed.0;
            assert!((before - after).abs() < 1e-9);
        }
    }
}

#[test]
fn a_standing_head_beside_below_and_before_the_beam() {
    // Under the beam: at x = 1.5 its lower edge is at 1.6 m, falling by 1.4 m in 3 m.
    let head = |height: f64| cylinder(1.5, 0.0, 0.0, 0.1, height);
    let slope = 1.4_f64 / 3.0;
    // The rim's far side (x = 1.6) is nearest to the lower face.
    let lower_edge = |x: f64| 2.3 - slope * x;
    let square = 1.0 / (1.0 + slope * slope).sqrt();
    let clear = beam().clearance_to_cylinder(&head(1.45)).signed.0;
    assert!(
        (clear - (lower_edge(1.6) - 1.45) * square).abs() < 1e-9,
        "{clear}"
    );
    let deep = beam().clearance_to_cylinder(&head(1.6)).signed.0;
    assert!(
        (deep - (lower_edge(1.6) - 1.6) * square).abs() < 1e-9,
        "{deep}"
    );
    // Beyond the picture: 0.4 m from its plane, less the radius.
    let beyond = beam()
        .clearance_to_cylinder(&cylinder(3.4, 0.0, 0.5, 0.1, 1.4))
        .signed
        .0;
    assert!((beyond - 0.3).abs() < 1e-9);
    // Above: the end's disc over the upper face.
    let above = beam()
        .clearance_to_cylinder(&cylinder(-1.0, 0.0, 0.0, 0.3, 2.3))
        .signed
        .0;
    assert!((above - 0.7).abs() < 1e-9, "{above}");
}

#[test]
fn a_rim_beside_a_corner_is_at_the_slanted_distance() {
    let body = Convex::from(&upright(0.0, 0.0, 0.0, [1.0, 1.0, 1.0], 0.0));
    // Corner (0.5, 0.5, 0.5); axis 0.3 + r along the diagonal from it, bottom 0.4 above it.
    let out = (0.3 + 0.2) / 2.0_f64.sqrt();
    let pendant = cylinder(0.5 + out, 0.5 + out, 0.9, 0.2, 1.0);
    let clear = body.clearance_to_cylinder(&pendant).signed.0;
    assert!((clear - 0.5).abs() < 1e-9, "{clear}");
    // Beside the upright edge only the plan counts.
    let pipe = cylinder(0.5 + out, 0.5 + out, -3.0, 0.2, 6.0);
    assert!((body.clearance_to_cylinder(&pipe).signed.0 - 0.3).abs() < 1e-9);
    // The edge 0.1 deep in the pipe.
    let out = 0.1 / 2.0_f64.sqrt();
    let pipe = cylinder(0.5 + out, 0.5 + out, -3.0, 0.2, 6.0);
    assert!((body.clearance_to_cylinder(&pipe).signed.0 + 0.1).abs() < 1e-9);
}

/// The cylinder as a prism of many sides: between it and the true one lie at most
/// r (1 − cos(π / n)).
fn many_sided(base: Point3, radius: f64, height: f64, n: usize) -> Convex {
    let step = TAU / n as f64;
    let rim = |i: usize, end: f64| {
        let out = Vec2::from_angle(i as f64 * step) * radius;
        base + Vec3::new(out.x, out.y, end * height)
    };
    let vertices = (0..n)
        .map(|i| rim(i, 0.0))
        .chain((0..n).map(|i| rim(i, 1.0)))
        .collect();
    let mut triangles: Vec<[usize; 3]> = Vec::new();
    let mut edges = Vec::new();
    for i in 0..n {
        let j = (i + 1) % n;
        triangles.extend([[i, j, n + j], [i, n + j, n + i]]);
        edges.extend([[i, j], [n + i, n + j], [i, n + i]]);
        if i > 0 && j > 0 {
            triangles.extend([[0, i, j], [n, n + i, n + j]]);
        }
    }
    Convex::with_normals(vertices, triangles, edges)
}

#[test]
fn cylinder_agrees_with_a_prism_of_many_sides() {
    let mut rng = rng(15);
    let (mut apart, mut overlapping) = (0, 0);
    for _ in 0..100 {
        let body = if rng.random_bool(0.5) {
            random_pyramid(&mut rng)
        } else {
            Convex::from(&random_box(&mut rng))
        };
        let mut at = || rng.random_range(-0.7..0.7);
        let (x, y, z) = (at(), at(), at());
        let (radius, height) = (rng.random_range(0.05..0.5), rng.random_range(0.1..1.5));
        let round = cylinder(x, y, z, radius, height);
        let Clearance {
            signed: Metres(signed),
            away,
        } = body.clearance_to_cylinder(&round);
        let n = 96;
        let slack = radius * (1.0 - (TAU / 2.0 / n as f64).cos());
        let prism = body
            .clearance(&many_sided(Point3::new(x, y, z), radius, height, n))
            .signed
            .0;
        // The prism lies within the cylinder, so it is never nearer.
        assert!(prism >= signed - 1e-9, "prism {prism} under {signed}");
        assert!(
            prism <= signed + slack + 1e-9,
            "prism {prism} over {signed} + {slack}"
        );
        let out = away * 0.01;
        let further = cylinder(x + out.x, y + out.y, z + out.z, radius, height);
        let gained = body.clearance_to_cylinder(&further).signed.0 - signed;
        assert!((gained - 0.01).abs() < 1e-7, "{gained}");
        if signed > 0.0 {
            apart += 1
        } else {
            overlapping += 1
        }
    }
    assert!(
        apart > 10 && overlapping > 10,
        "{apart} apart, {overlapping} overlapping"
    );
}

#[test]
fn clearance_is_continuous_through_touching() {
    let body = beam();
    let mut last: Option<f64> = None;
    for i in 0..400 {
        let c = cylinder(1.5, 1.2 - 0.003 * f64::from(i), 0.0, 0.1, 2.0);
        let signed = body.clearance_to_cylinder(&c).signed.0;
        if let Some(before) = last {
            assert!(
                (signed - before).abs() <= 0.003 + 1e-9,
                "step {i}: {before} to {signed}"
            );
        }
        last = Some(signed);
    }
    assert!(last.unwrap() < 0.0);
}

#[test]
fn a_picture_off_one_plane_takes_the_body_that_holds_all_corners() {
    let corner = |x, y, z| Point3::new(x, y, z);
    for bent in [2.9, 3.1] {
        let body = Convex::pyramid(
            Point3::new(0.0, 0.0, 2.0),
            [
                corner(bent, 1.0, 1.0),
                corner(3.0, -1.0, 1.0),
                corner(3.0, -1.0, 2.0),
                corner(3.0, 1.0, 2.0),
            ],
        )
        .unwrap();
        for n in &body.normals {
            let reach = body.reach(*n);
            let on = |t: &&[usize; 3]| {
                t.iter()
                    .all(|&i| ((body.vertices[i] - Point3::default()).dot(*n) - reach).abs() < 1e-9)
            };
            assert!(
                body.triangles.iter().any(|t| on(&t)),
                "a face that is not outermost"
            );
        }
    }
}

#[test]
fn shapes_without_size_are_refused() {
    let o = Point3::default();
    let nan = Point3::new(f64::NAN, 0.0, 0.0);
    assert!(OrientedBox::upright(nan, [Metres(1.0); 3], Radians(0.0)).is_err());
    assert!(
        OrientedBox::upright(o, [Metres(1.0), Metres(0.0), Metres(1.0)], Radians(0.0)).is_err()
    );
    assert!(UprightCylinder::new(o, Metres(-0.1), Metres(1.0)).is_err());
    assert!(Convex::segment(o, nan).is_err());
    let c = |y, z| Point3::new(3.0, y, z);
    let picture = [c(1.0, 0.0), c(-1.0, 0.0), c(-1.0, 1.0), c(1.0, 1.0)];
    let flat = Convex::pyramid(c(0.0, 5.0), picture);
    assert_eq!(flat, Err(ShapeError::FlatPyramid { height_mm: 0.0 }));
    let crossed = [picture[0], picture[2], picture[1], picture[3]];
    assert!(matches!(
        Convex::pyramid(o, crossed),
        Err(ShapeError::CornersNotConvex { .. })
    ));
}

/// Every corner with every face and every edge with every edge: what is left out of the search
/// for the least distance must not change it.
#[test]
fn distances_are_those_of_looking_at_everything() {
    let plain = |a: &Convex, b: &Convex| {
        let mut steps = Vec::new();
        for &v in &a.vertices {
            let feet = b.triangles.iter();
            steps.extend(feet.filter_map(|t| Some(foot_on_triangle(b.corners_of(*t), v)? - v)));
        }
        for &v in &b.vertices {
            let feet = a.triangles.iter();
            steps.extend(feet.filter_map(|t| Some(v - foot_on_triangle(a.corners_of(*t), v)?)));
        }
        for edge in a.edges.iter() {
            let other = b.edges.iter();
            steps.extend(other.map(|other| segment_step(a.ends(*edge), b.ends(*other))));
        }
        let shorter = |one: Vec3, other: Vec3| {
            if other.length() < one.length() {
                other
            } else {
                one
            }
        };
        let step = steps.into_iter().reduce(shorter).unwrap();
        (step.length(), step)
    };
    let mut rng = rng(11);
    let mut apart = 0;
    for i in 0..3000 {
        let shift = Vec3::new(
            rng.random_range(-2.5..2.5),
            rng.random_range(-2.5..2.5),
            0.3,
        );
        let a = Convex::from(&random_box(&mut rng));
        let b = match i % 3 {
            0 => Convex::from(&random_box(&mut rng)),
            1 => random_pyramid(&mut rng),
            // Square to the first: distances of many pairs are alike.
            _ => moved(&a, Vec3::new(0.0, shift.y.round(), shift.x.round())),
        };
        let b = moved(&b, shift);
        for (a, b) in [(&a, &b), (&b, &a)] {
            let clearance = a.clearance(b);
            if clearance.signed.0 > 0.0 {
                let (distance, step) = plain(a, b);
                assert_eq!(clearance.signed.0, distance, "{i}");
                if distance > 1e-9 {
                    assert_eq!(Some(clearance.away), step.unit(), "{i}");
                }
                apart += 1;
            }
        }
    }
    assert!(apart > 2000, "{apart}");
}

#[test]
fn distances_to_a_cylinder_are_those_of_looking_at_every_edge() {
    let plain = |body: &Convex, cylinder: &UprightCylinder| {
        let along = |edge: &[usize; 2]| {
            let [a, b] = body.ends(*edge);
            let share = cylinder::lowest(0.0, 1.0, |t| cylinder.distance(a.towards(b, t)));
            [0.0, share, 1.0].map(|t| cylinder.distance(a.towards(b, t)))
        };
        let edges = body.edges.iter().flat_map(along);
        let faces = body.triangles.iter().flat_map(|t| {
            let [a, b, c] = body.corners_of(*t);
            let n = (b - a).cross(c - a).unit();
            n.into_iter().flat_map(|n| [n, -n]).filter_map(move |n| {
                let support = cylinder.farthest_against(n);
                Some((support - foot_on_triangle([a, b, c], support)?).length())
            })
        });
        edges.chain(faces).fold(f64::INFINITY, f64::min)
    };
    let mut rng = rng(12);
    let mut apart = 0;
    for i in 0..1000 {
        let body = match i % 2 {
            0 => Convex::from(&random_box(&mut rng)),
            _ => random_pyramid(&mut rng),
        };
        let mut at = || rng.random_range(-2.5..2.5);
        let (x, y, z) = (at(), at(), at());
        let cylinder = cylinder(x, y, z, 0.25, 1.2);
        let distance = body.clearance_to_cylinder(&cylinder).signed.0;
        if distance > 0.0 {
            assert!((distance - plain(&body, &cylinder)).abs() < 1e-12, "{i}");
            apart += 1;
        }
    }
    assert!(apart > 500, "{apart}");
}

/// By the faces alone two bodies are never farther apart than they are.
#[test]
fn faces_never_tell_too_much() {
    let mut rng = rng(13);
    for _ in 0..1000 {
        let (a, b) = (random_pyramid(&mut rng), random_box(&mut rng));
        let b = Convex::from(&b);
        let by_faces = a
            .faces()
            .map(|(n, reach)| -reach - b.reach(-n))
            .fold(f64::NEG_INFINITY, f64::max);
        assert!(by_faces <= a.clearance(&b).signed.0.max(0.0) + 1e-12);
    }
}

#[test]
fn a_small_step_leaves_the_nearest_parts_nearest() {
    let mut rng = rng(14);
    let mut told = 0;
    for i in 0..600 {
        let shift = Vec3::new(rng.random_range(1.0..2.5), rng.random_range(-2.0..2.0), 0.2);
        let a = random_pyramid(&mut rng);
        let b = match i % 2 {
            0 => Convex::from(&random_box(&mut rng)),
            // Square to its plan: several parts are as near as each other.
            _ => Convex::from(&upright(0.0, 0.0, 0.0, [0.5, 0.4, 0.3], 0.0)),
        };
        let b = moved(&b, shift);
        let Some(nearby) = a.nearby(&b) else { continue };
        for step_m in [0.0, 1e-6, 1e-4] {
            // Each corner by itself, as sizes and directions change.
            let jittered = |body: &Convex, rng: &mut ChaCha8Rng| {
                let mut jitter = || rng.random_range(-step_m..=step_m);
                let vertices = (body.vertices.iter())
                    .map(|v| *v + Vec3::new(jitter(), jitter(), jitter()))
                    .collect();
                Convex::with_normals(vertices, body.triangles.clone(), body.edges.clone())
            };
            let (a, b) = (jittered(&a, &mut rng), jittered(&b, &mut rng));
            if let Some(distance) = nearby.distance(&a, &b) {
                assert_eq!(distance, a.clearance(&b).signed, "{i}");
                told += 1;
            }
        }
        let far = moved(&b, Vec3::new(0.01, 0.0, 0.0));
        assert_eq!(nearby.distance(&a, &far), None);
        assert_eq!(nearby.distance(&b, &a), None);
    }
    assert!(told > 500, "{told}");
}
