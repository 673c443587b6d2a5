//! Rooms against mesh booleans of a general library.

use super::*;

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
