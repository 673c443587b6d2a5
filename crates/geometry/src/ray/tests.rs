//! Where a line of sight leaves a room.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use units::{Metres, Radians};

use super::*;
use crate::plan::PlanRect;
use crate::{BoxSide, Ceiling, HangingBox, Plan, Vec2};

fn room(boxes: Vec<HangingBox>) -> Solid {
    // An L, 6 m by 5.4 m, with its inner corner at (3.5, 3.2).
    let corners = [
        (0.0, 5.4),
        (3.5, 5.4),
        (3.5, 3.2),
        (6.0, 3.2),
        (6.0, 0.0),
        (0.0, 0.0),
    ];
    let plan = Plan::new(corners.iter().map(|&(x, y)| Point2::new(x, y)).collect()).unwrap();
    Solid::new(plan, Ceiling::flat(Metres(2.5)).unwrap(), boxes).unwrap()
}

fn beam() -> HangingBox {
    let rect = PlanRect {
        centre: Point2::new(3.0, 1.5),
        along: Vec2::new(0.0, 1.0),
        length_m: 2.0,
        width_m: 0.2,
    };
    HangingBox {
        rect,
        underside_m: 2.2,
    }
}

fn at(x: f64, y: f64, z: f64) -> Point3 {
    Point3::new(x, y, z)
}

#[test]
fn a_line_of_sight_within_the_room_is_clear() {
    let room = room(vec![beam()]);
    assert_eq!(room.exit(at(0.5, 0.5, 1.0), at(5.5, 2.5, 2.0)), None);
    // From wall to wall, and along a wall and the floor.
    assert_eq!(room.exit(at(0.0, 1.0, 1.0), at(6.0, 1.0, 1.0)), None);
    assert_eq!(room.exit(at(0.0, 0.5, 0.0), at(0.0, 5.0, 0.0)), None);
    // Under the beam, touching its underside.
    assert_eq!(room.exit(at(1.0, 1.5, 2.2), at(5.0, 1.5, 2.2)), None);
    // A point.
    assert_eq!(room.exit(at(1.0, 1.0, 1.0), at(1.0, 1.0, 1.0)), None);
}

#[test]
fn round_the_inner_corner_the_wall_is_in_the_way() {
    let room = room(vec![]);
    let exit = room.exit(at(2.5, 5.2, 1.0), at(5.5, 3.0, 1.0)).unwrap();
    assert_eq!(exit.through, Some(Surface::Wall(1)));
    assert!((exit.point.x - 3.5).abs() < 1e-12);
    // Through the corner's very edge is a touch, not a hit.
    assert_eq!(room.exit(at(2.5, 4.2, 1.0), at(4.5, 2.2, 1.0)), None);
    let past = room.exit(at(2.5, 4.2, 1.0), at(4.51, 2.22, 1.0)).unwrap();
    assert_eq!(past.through, Some(Surface::Wall(1)));
}

#[test]
fn a_beam_is_hit_on_the_side_that_faces_the_start() {
    let room = room(vec![beam()]);
    let there = room.exit(at(0.5, 1.5, 2.4), at(5.5, 1.5, 2.4)).unwrap();
    assert!((there.point.x - 2.9).abs() < 1e-12 && (there.share - 0.48).abs() < 1e-12);
    // The beam runs along y: its left side is towards −x.
    assert_eq!(there.through, Some(Surface::Box(0, BoxSide::Side(2))));
    let back = room.exit(at(5.5, 1.5, 2.4), at(0.5, 1.5, 2.4)).unwrap();
    assert_eq!(back.through, Some(Surface::Box(0, BoxSide::Side(0))));
    let up = room.exit(at(3.0, 1.5, 1.0), at(3.0, 1.5, 2.4)).unwrap();
    assert_eq!(up.through, Some(Surface::Box(0, BoxSide::Underside)));
}

#[test]
fn leaving_names_wall_ceiling_and_floor() {
    let room = room(vec![]);
    let middle = at(1.0, 1.0, 1.0);
    let through = |to| room.exit(middle, to).unwrap().through;
    assert_eq!(through(at(1.0, 1.0, 3.0)), Some(Surface::Ceiling(0)));
    assert_eq!(through(at(1.0, 1.0, -1.0)), Some(Surface::Floor));
    assert_eq!(through(at(-1.0, 1.0, 1.0)), Some(Surface::Wall(5)));
    assert_eq!(room.exit(middle, at(-1.0, 1.0, 1.0)).unwrap().share, 0.5);
}

#[test]
fn what_starts_outside_has_left_already() {
    let room = room(vec![]);
    let outside = Some(Exit {
        share: 0.0,
        point: at(-1.0, 1.0, 1.0),
        through: None,
    });
    assert_eq!(room.exit(at(-1.0, 1.0, 1.0), at(1.0, 1.0, 1.0)), outside);
    let lost = room
        .exit(at(1.0, 1.0, 1.0), at(f64::NAN, 1.0, 1.0))
        .unwrap();
    assert_eq!((lost.share, lost.through), (0.0, None));
    // On a wall and straight out.
    let out = room.exit(at(0.0, 1.0, 1.0), at(-1.0, 1.0, 1.0)).unwrap();
    assert_eq!((out.share, out.through), (0.0, Some(Surface::Wall(5))));
}

#[test]
fn exits_agree_with_stepping_along_the_line() {
    let room = room(vec![beam()]);
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let mut place = || {
        at(
            rng.random_range(-0.5..6.5),
            rng.random_range(-0.5..6.0),
            rng.random_range(-0.2..2.8),
        )
    };
    let mut left = 0;
    for _ in 0..900 {
        let (from, to) = (place(), place());
        if !room.contains(from) {
            continue;
        }
        const STEPS: u32 = 2000;
        let share = |i: u32| f64::from(i) / f64::from(STEPS);
        let stepped = (0..=STEPS).find(|&i| !room.contains(from.towards(to, share(i))));
        let exit = room.exit(from, to);
        // A graze shorter than one step may be missed by the stepping only.
        match (stepped, exit) {
            (Some(i), Some(exit)) => {
                left += 1;
                assert!(exit.share <= share(i) && exit.share > share(i.saturating_sub(2)) - 1e-9);
                assert!(exit.through.is_some());
            }
            (None, None) => {}
            (stepped, exit) => panic!("{from:?} {to:?}: {stepped:?} {exit:?}"),
        }
    }
    assert!(left > 100);
}

#[test]
fn a_segment_meets_a_turned_box_where_it_enters_and_leaves() {
    let size = [Metres(2.0), Metres(1.0), Metres(0.5)];
    let sofa = OrientedBox::upright(at(1.0, 1.0, 0.25), size, Radians::from_degrees(90.0)).unwrap();
    let [enter, leave] = sofa
        .meets_segment(at(-1.0, 1.0, 0.2), at(3.0, 1.0, 0.2))
        .unwrap();
    assert!((enter - 0.375).abs() < 1e-12 && (leave - 0.625).abs() < 1e-12);
    assert_eq!(
        sofa.meets_segment(at(-1.0, 1.0, 0.6), at(3.0, 1.0, 0.6)),
        None
    );
    assert_eq!(
        sofa.meets_segment(at(-1.0, 1.0, 0.2), at(0.4, 1.0, 0.2)),
        None
    );
    // Wholly inside.
    assert_eq!(
        sofa.meets_segment(at(1.0, 1.0, 0.2), at(1.0, 1.1, 0.2)),
        Some([0.0, 1.0])
    );
}
