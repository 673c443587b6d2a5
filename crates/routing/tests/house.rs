//! Ways through rooms, each worked out by hand; and laws that every way obeys.

mod common;

use std::sync::Arc;

use common::{ABOVE, BELOW, Build, above, best, house, media, on};
use geometry::Point3;
use routing::{
    Bars, Blocks, Conduit, End, Framing, Hazard, House, HouseGraph, Joists, Media, Medium, Mouth,
    Obstacle, Reckoning, Route, Span, Times, Weights, cheapest, dear_step, of_another_kind,
};

fn length(route: &Route) -> f64 {
    assert!(route.length_m().width() < 1e-9);
    route.length_m().middle()
}

fn joists(first_m: Option<f64>) -> Option<Joists> {
    Some(Joists {
        first_m,
        spacing_m: 0.4,
        either_way: false,
        doubt: Some(7),
    })
}

/// No baseboard and nothing to be seen: through walls and voids alone.
fn hidden() -> Bars {
    let mut bars = Bars::usual();
    for medium in [
        Medium::Baseboard,
        Medium::Doorway,
        Medium::Surface,
        Medium::Rug,
    ] {
        bars = bars.and_medium(medium);
    }
    bars
}

#[test]
fn over_the_attic_it_is_up_along_across_and_down() {
    let room = house(&Build::default());
    // North wall 1 m from its left, 0.3 m high, to south wall 1 m from its left (x = 5), 0.3 m.
    let ends = [on(&room, 0, 1.0, 0.3), on(&room, 2, 1.0, 0.3)];
    let route = best(room, ends, &hidden()).expect("there is a way");
    // 2.1 up, 4 along, 4 across, 2.1 down; two plates.
    assert!((length(&route) - 12.2).abs() < 1e-9);
    assert_eq!(route.holes(), Span::exact(2.0));
    assert_eq!(
        media(&route),
        [
            Medium::StudBay,
            Medium::Plate,
            Medium::Attic,
            Medium::Plate,
            Medium::StudBay
        ]
    );
    // Pulling 2 min/m, crawling 1 min/m more, two holes of 10 min and 1 min to fish. Half a bay may be gone inside
    // the wall instead of in the attic.
    let attic = (route.steps.iter()).filter(|step| step.by.medium == Medium::Attic);
    let attic_m: f64 = attic.map(|step| step.by.length_m.middle()).sum();
    assert!((7.2..=8.0).contains(&attic_m), "{attic_m}");
    let time_s = 12.2 * 120.0 + attic_m * 60.0 + 2.0 * 660.0;
    assert!((route.time_s().middle() - time_s).abs() < 1e-6);
}

#[test]
fn a_fire_block_is_drilled_through_an_opened_board() {
    let plain = house(&Build::default());
    let blocked = house(&Build {
        blocks: Blocks::At(vec![1.22]),
        ..Build::default()
    });
    let ends = |room: &House| [on(room, 0, 1.0, 0.3), on(room, 2, 1.0, 0.3)];
    let [a, b] = [plain, blocked].map(|room| {
        let ends = ends(&room);
        best(room, ends, &hidden()).expect("there is a way")
    });
    assert!((length(&a) - length(&b)).abs() < 1e-9);
    // 25 min for each block, and 1 min to fish.
    assert!((b.time_s().middle() - a.time_s().middle() - 3120.0).abs() < 1e-6);
    assert!(b.hazards().contains(&Hazard::FireBlock));
    assert!(b.media().holds(Medium::FireBlock));
}

#[test]
fn above_the_block_nothing_is_drilled_but_the_plate() {
    let room = house(&Build {
        blocks: Blocks::At(vec![1.22]),
        ..Build::default()
    });
    let ends = [on(&room, 0, 1.0, 1.5), on(&room, 2, 1.0, 1.5)];
    let route = best(room, ends, &hidden()).expect("there is a way");
    assert_eq!(route.holes(), Span::exact(2.0));
}

#[test]
fn joists_cost_a_hole_each_across_and_none_along() {
    let room = house(&Build {
        joists: joists(Some(0.3)),
        ..Build::default()
    });
    let along = [on(&room, 1, 2.0, 2.0), on(&room, 3, 2.0, 2.0)];
    let route = best(room.clone(), along, &hidden()).expect("there is a way");
    assert_eq!(route.holes(), Span::exact(2.0));
    assert!((length(&route) - (0.4 + 6.0 + 0.4)).abs() < 1e-9);
    // North to south: joists at 0.3, 0.7 … 3.9 m from the north wall: ten.
    let across = [on(&room, 0, 1.0, 2.0), on(&room, 2, 5.0, 2.0)];
    let drilled = best(room.clone(), across, &hidden()).expect("there is a way");
    assert_eq!(drilled.holes(), Span::exact(12.0));
    // Nobody drills ten joists who may take the baseboard off: 10 min each against 4 m.
    let free = best(room, across, &Bars::usual()).expect("there is a way");
    assert!(free.media().holds(Medium::Baseboard) && !free.media().holds(Medium::Joist));
}

#[test]
fn unknown_joists_and_blocks_are_a_span_with_its_doubt() {
    let room = house(&Build {
        joists: joists(None),
        blocks: Blocks::Unknown(3),
        ..Build::default()
    });
    let ends = [on(&room, 0, 1.0, 0.3), on(&room, 2, 5.0, 0.3)];
    let route = best(room, ends, &hidden()).expect("there is a way");
    // Ten joists in 4 m, at least and at most since 4 m is ten spacings; a block in neither or
    // both walls.
    assert_eq!(route.holes(), Span::between(12.0, 14.0));
    assert_eq!(route.doubts().into_iter().collect::<Vec<_>>(), [3]);
    assert!((route.time_s().width() - 2.0 * 1500.0).abs() < 1e-6);
}

#[test]
fn a_window_sends_the_cable_through_the_next_bay() {
    let window = [0.8, 2.2, 0.9, 2.1];
    let room = house(&Build {
        openings: vec![window],
        ..Build::default()
    });
    let ends = [on(&room, 0, 1.5, 0.4), on(&room, 2, 4.5, 2.0)];
    let route = best(room, ends, &hidden()).expect("there is a way");
    assert!(route.media().holds(Medium::Stud));
    // Beside the window, not through it: no step runs up between its jambs above the sill.
    for step in &route.steps {
        let high = step.points.iter().map(|point| point.z).fold(0.0, f64::max);
        let low = step.points.iter().map(|point| point.z).fold(9.0, f64::min);
        let inside = step.points[0].x > window[0] && step.points[0].x < window[1];
        assert!(!(inside && step.points[0].y > 3.9 && low < window[2] && high > window[2]));
    }
}

#[test]
fn masonry_is_left_alone_unless_it_is_allowed() {
    let mut room = house(&Build::default());
    room.walls[0].framing = Framing::Solid;
    let ends = [on(&room, 0, 1.0, 0.3), on(&room, 2, 5.0, 2.0)];
    assert_eq!(best(room.clone(), ends, &hidden()), None);
    let seen = best(room.clone(), ends, &Bars::usual()).expect("there is a way");
    assert!(seen.media().holds(Medium::Surface));
    let cut = best(
        room,
        ends,
        &Bars {
            media: Media::of([Medium::Surface, Medium::Baseboard]),
            ..Bars::default()
        },
    );
    let cut = cut.expect("there is a way");
    assert!(cut.hazards().contains(&Hazard::Masonry));
}

#[test]
fn a_rated_wall_is_a_licensed_trades_work() {
    let mut room = house(&Build::default());
    room.walls[0].hazard = Some(Hazard::RatedWall);
    let ends = [on(&room, 0, 1.0, 0.3), on(&room, 2, 5.0, 2.0)];
    assert_eq!(best(room.clone(), ends, &hidden()), None);
    let allowed = Bars {
        hazards: Vec::new(),
        ..hidden()
    };
    assert!(best(room, ends, &allowed).is_some());
}

#[test]
fn what_hangs_drops_out_of_the_void() {
    let room = house(&Build::default());
    let ends = [on(&room, 0, 1.0, 2.0), above(Point3::new(3.0, 2.0, 2.0))];
    let route = best(room, ends, &hidden()).expect("there is a way");
    // 0.4 up, 2 along, 2 across, 0.4 down; one plate.
    assert!((length(&route) - 4.8).abs() < 1e-9);
    assert_eq!(route.holes(), Span::exact(1.0));
}

#[test]
fn a_conduit_is_taken_where_it_saves_work() {
    let mut room = house(&Build {
        joists: joists(Some(0.3)),
        ..Build::default()
    });
    let ends = [on(&room, 0, 1.0, 0.3), on(&room, 2, 5.0, 0.3)];
    room.conduits.push(Conduit {
        medium: Medium::Conduit,
        mouths: [
            Mouth::Wall {
                wall: 0,
                from_left_m: 1.1,
                height_m: 0.3,
            },
            Mouth::Wall {
                wall: 2,
                from_left_m: 4.9,
                height_m: 0.3,
            },
        ],
        length_m: Span::between(9.0, 10.0),
        time_s: Span::exact(300.0),
        doubt: Some(1),
    });
    let route = best(room, ends, &hidden()).expect("there is a way");
    assert!(route.media().holds(Medium::Conduit));
    // 0.1 m to each mouth, 9 to 10 m inside.
    assert!((route.length_m().low - 9.2).abs() < 1e-9);
    assert!((route.length_m().high - 10.2).abs() < 1e-9);
    assert_eq!(route.holes(), Span::ZERO);
}

#[test]
fn the_dear_step_and_the_way_round_it() {
    let room = house(&Build {
        blocks: Blocks::At(vec![1.22]),
        has_crawl_space: true,
        ..Build::default()
    });
    let ends = [on(&room, 0, 1.0, 1.5), on(&room, 1, 1.0, 0.3)];
    let graph = HouseGraph::new(Arc::new(room), &Times::PRACTICE);
    let (graph, nodes) = graph.with_ends(&ends);
    let (weights, bars) = (Weights::PRACTICE, hidden());
    let by = Reckoning::new(&weights, &bars);
    let nodes = [nodes[0], nodes[1]];
    let route = cheapest(&graph, nodes[0], nodes[1], &by).expect("there is a way");
    let dear = dear_step(&graph, nodes, &route, &by).expect("something is drilled");
    assert!(matches!(dear.obstacle, Obstacle::Block { block: 0, .. }));
    assert!((dear.time_s - 1500.0).abs() < 1e-9);
    let round = dear.round.expect("there is a way round");
    assert!(round.price_s > route.price_s);
    let other = of_another_kind(&graph, nodes, &route, &by).expect("there is another");
    assert!(other.price_s >= route.price_s);
    assert!(
        route
            .media()
            .iter()
            .any(|medium| !other.media().holds(medium))
    );
}

/// A fixed linear congruential sequence: the same cases on every machine.
struct Cases(u64);

impl Cases {
    fn share(&mut self) -> f64 {
        self.0 = (self.0)
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn end(&mut self, house: &House) -> End {
        let wall = (self.share() * 4.0) as usize;
        let from_left_m = 0.1 + self.share() * (house.walls[wall].length_m - 0.2);
        on(house, wall, from_left_m, 0.1 + self.share() * 2.1)
    }
}

#[test]
fn there_and_back_are_the_same() {
    let mut cases = Cases(1);
    for case in 0..60 {
        let room = house(&Build {
            joists: joists(if case % 2 == 0 { Some(0.3) } else { None }),
            blocks: Blocks::At(vec![1.22]),
            has_crawl_space: case % 3 == 0,
            ..Build::default()
        });
        let ends = [cases.end(&room), cases.end(&room)];
        let bars = Bars::usual();
        let there = best(room.clone(), ends, &bars).expect("there is a way");
        let back = best(room, [ends[1], ends[0]], &bars).expect("there is a way");
        assert!((there.price_s - back.price_s).abs() < 1e-6, "case {case}");
    }
}

#[test]
fn more_in_the_way_is_never_cheaper() {
    let mut cases = Cases(2);
    for case in 0..60 {
        let plain = Build {
            joists: joists(Some(0.3)),
            has_crawl_space: case % 2 == 0,
            ..Build::default()
        };
        let room = house(&plain);
        let ends = [cases.end(&room), cases.end(&room)];
        let price = |build: &Build, bars: &Bars| {
            best(house(build), ends, bars).map_or(f64::INFINITY, |route| route.price_s)
        };
        let bars = Bars::usual();
        let free = price(&plain, &bars);
        let harder = [
            Build {
                blocks: Blocks::At(vec![1.22]),
                ..plain.clone()
            },
            Build {
                blocks: Blocks::At(vec![0.8, 1.6]),
                ..plain.clone()
            },
            Build {
                has_crawl_space: false,
                ..plain.clone()
            },
        ];
        for build in &harder {
            assert!(price(build, &bars) >= free - 1e-6, "case {case}");
        }
        assert!(price(&plain, &hidden()) >= free - 1e-6, "case {case}");
        let no_crawl = Bars {
            voids: vec![BELOW],
            ..bars.clone()
        };
        assert!(price(&plain, &no_crawl) >= free - 1e-6, "case {case}");
        let no_void = Bars {
            voids: vec![ABOVE, BELOW],
            ..bars
        };
        assert!(price(&plain, &no_void) >= free - 1e-6, "case {case}");
    }
}

#[test]
fn a_stop_on_the_way_is_never_cheaper() {
    let mut cases = Cases(3);
    for case in 0..60 {
        let room = house(&Build {
            joists: joists(Some(0.3)),
            blocks: Blocks::At(vec![1.22]),
            has_crawl_space: case % 2 == 0,
            ..Build::default()
        });
        let ends = [cases.end(&room), cases.end(&room), cases.end(&room)];
        let graph = HouseGraph::new(Arc::new(room), &Times::PRACTICE);
        let (graph, nodes) = graph.with_ends(&ends);
        let (weights, bars) = (Weights::PRACTICE, Bars::usual());
        let by = Reckoning::new(&weights, &bars);
        let price = |from: usize, to: usize| {
            let route = cheapest(&graph, nodes[from], nodes[to], &by);
            route.expect("there is a way").price_s
        };
        assert!(
            price(0, 2) <= price(0, 1) + price(1, 2) + 1e-6,
            "case {case}"
        );
    }
}

#[test]
fn a_turned_house_has_the_same_ways() {
    let mut cases = Cases(4);
    for case in 0..40 {
        let build = Build {
            joists: joists(Some(0.3)),
            blocks: Blocks::At(vec![1.22]),
            has_crawl_space: case % 2 == 0,
            openings: vec![[1.0, 1.9, 0.0, 2.0], [3.1, 4.3, 0.9, 2.1]],
            ..Build::default()
        };
        let room = house(&build);
        let places = [0, 1].map(|_| cases.end(&room).wall.expect("it is on a wall"));
        let price = |turn_rad: f64| {
            let room = house(&Build {
                turn_rad,
                ..build.clone()
            });
            let ends =
                places.map(|(wall, from_left_m, height_m)| on(&room, wall, from_left_m, height_m));
            best(room, ends, &Bars::usual()).map(|route| route.price_s)
        };
        let straight = price(0.0).expect("there is a way");
        for turn_rad in [0.3, 1.57, 2.9, -1.1] {
            let turned = price(turn_rad).expect("there is a way");
            assert!(
                (turned - straight).abs() < 1e-6,
                "case {case}: {turned} {straight}"
            );
        }
    }
}

#[test]
fn what_is_set_into_a_framed_wall_gets_its_cable_inside() {
    // From the floor to a place above a block: 1.1 m on the surface are cheaper than a hole
    // through the board and one through the block.
    let found = |framing: Option<Framing>, is_flush, height_m| {
        let mut room = house(&Build {
            blocks: Blocks::At(vec![0.7]),
            ..Build::default()
        });
        if let Some(framing) = framing {
            room.walls[1].framing = framing;
        }
        let to = End {
            is_flush,
            ..on(&room, 1, 2.0, height_m)
        };
        let ends = [on(&room, 0, 5.0, 0.0), to];
        let route = best(room, ends, &Bars::usual()).expect("there is a way");
        (route.media().holds(Medium::Surface), route.holes())
    };
    assert_eq!(found(None, false, 1.1), (true, Span::ZERO));
    assert_eq!(found(None, true, 1.1), (false, Span::exact(2.0)));
    // A solid wall has no inside.
    assert_eq!(found(Some(Framing::Solid), true, 1.1), (true, Span::ZERO));
    // At the floor it is at the baseboard.
    assert_eq!(found(None, true, 0.0), (false, Span::ZERO));
}

/// Lengths behind the baseboard and across doorways, the moves across doorways, and the time.
fn round_the_room(openings: Vec<[f64; 4]>, places: [(usize, f64); 2]) -> (f64, Vec<f64>, f64) {
    let room = house(&Build {
        openings,
        ..Build::default()
    });
    let ends = places.map(|(wall, from_left_m)| on(&room, wall, from_left_m, 0.0));
    let bars = Bars::usual().and_medium(Medium::StudBay);
    let route = best(room, ends, &bars).expect("there is a way");
    let lengths = |of: Medium| {
        let steps = route.steps.iter().filter(move |step| step.by.medium == of);
        let lengths = steps.map(|step| step.by.length_m.middle());
        lengths
            .filter(|length_m| *length_m > 1e-9)
            .collect::<Vec<f64>>()
    };
    let behind_m = lengths(Medium::Baseboard).iter().sum();
    (behind_m, lengths(Medium::Doorway), route.time_s().middle())
}

fn is_near(got: (f64, Vec<f64>, f64), (behind_m, doorways_m, time_s): (f64, &[f64], f64)) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    near(got.0, behind_m)
        && got.1.len() == doorways_m.len()
        && got.1.iter().zip(doorways_m).all(|(a, b)| near(*a, *b))
        && near(got.2, time_s)
}

#[test]
fn a_doorway_is_as_long_as_its_door_is_wide() {
    // From 0.5 m to 5.5 m along the wall past a door in its middle: 5 min a metre behind the
    // baseboard, 2 min a metre where there is none, 10 min for the doorway.
    for wide_m in [0.5, 0.9, 1.6, 2.0] {
        let door = [3.0 - 0.5 * wide_m, 3.0 + 0.5 * wide_m, 0.0, 2.0];
        let time_s = 300.0 * (5.0 - wide_m) + 120.0 * wide_m + 600.0;
        let got = round_the_room(vec![door], [(0, 0.5), (0, 5.5)]);
        let want = (5.0 - wide_m, &[wide_m][..], time_s);
        assert!(is_near(got.clone(), want), "{got:?} {want:?}");
        // There is no doorway under a window.
        let window = [door[0], door[1], 0.9, 2.0];
        let got = round_the_room(vec![window], [(0, 0.5), (0, 5.5)]);
        assert!(is_near(got.clone(), (5.0, &[], 1500.0)), "{got:?}");
    }
}

#[test]
fn a_way_ends_on_either_side_of_a_jamb() {
    let door = vec![[2.0, 3.0, 0.0, 2.0]];
    let past = |to_m| round_the_room(door.clone(), [(0, 0.5), (0, to_m)]);
    let (before, after) = (past(1.95), past(3.05));
    assert!(is_near(before.clone(), (1.45, &[], 435.0)), "{before:?}");
    let want = (1.55, &[1.0][..], 465.0 + 720.0);
    assert!(is_near(after.clone(), want), "{after:?} {want:?}");
    // What stands in the doorway itself has its cable under the threshold.
    let inside = past(2.4);
    let want = (1.5, &[0.4][..], 450.0 + 48.0 + 600.0);
    assert!(is_near(inside.clone(), want), "{inside:?} {want:?}");
}

#[test]
fn doors_at_corners_and_side_by_side_are_each_a_doorway() {
    // From the wall before to the wall after the one of 6 m, which has a door at its left
    // corner and two that share a jamb.
    let doors = vec![
        [0.0, 0.8, 0.0, 2.0],
        [3.0, 3.9, 0.0, 2.0],
        [3.9, 4.4, 0.0, 2.0],
    ];
    let got = round_the_room(doors, [(3, 3.5), (1, 0.5)]);
    let want = (
        1.0 + 3.8,
        &[0.8, 0.9, 0.5][..],
        300.0 * 4.8 + 120.0 * 2.2 + 1800.0,
    );
    assert!(is_near(got.clone(), want), "{got:?} {want:?}");
}

#[test]
fn spacings_that_can_not_be_are_no_panic() {
    for spacing_m in [0.0, -1.0, 1e-12, f64::INFINITY, f64::NAN] {
        let mut room = house(&Build {
            joists: Some(Joists {
                first_m: Some(0.2),
                spacing_m,
                either_way: true,
                doubt: None,
            }),
            ..Build::default()
        });
        for wall in &mut room.walls {
            if let Framing::Studs(studs) = &mut wall.framing {
                studs.spacing_m = spacing_m;
            }
        }
        let ends = [on(&room, 0, 1.0, 0.3), on(&room, 2, 1.0, 0.3)];
        assert!(best(room, ends, &Bars::usual()).is_some(), "{spacing_m}");
    }
}

#[test]
fn the_same_house_gives_the_same_way() {
    let room = house(&Build::default());
    // Dead centre: every way round is as long as another.
    let ends = [on(&room, 0, 3.0, 1.2), on(&room, 2, 3.0, 1.2)];
    let first = best(room.clone(), ends, &Bars::usual());
    for _ in 0..3 {
        assert_eq!(best(room.clone(), ends, &Bars::usual()), first);
    }
}
