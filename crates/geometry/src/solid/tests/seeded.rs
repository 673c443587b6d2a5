//! Rooms by lot: closed, and the same however they are turned, mirrored or summed.

use super::*;

type CeilingOver = dyn Fn(&Plan) -> Option<Ceiling>;

/// A room as drawn, turned by an angle and moved, before it is built.
pub(super) struct Drawn {
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

pub(super) fn seeded_rooms(count: usize) -> Vec<(u64, Drawn, Solid)> {
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
pub(super) fn columns(room: &Solid) -> (f64, f64) {
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
