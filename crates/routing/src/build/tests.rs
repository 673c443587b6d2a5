//! A graph with ends shares its house with others and is the same as one that was built whole.

use geometry::{Ceiling, Join, Plane, Point2, Vec2};
use units::Metres;

use super::*;
use crate::house::{Blocks, Party, Room, SoffitBox, Studs, Wall};
use crate::medium::Medium;
use crate::reach::Reach;
use crate::search::{Reckoning, cheapest};
use crate::void::{Joists, Void};
use crate::weights::{Bars, Weights};

/// Two rooms of 4 m by 3 m side by side under one sloped roof, with a wall between them that
/// each has its own face of, a soffit and a conduit.
fn house() -> House {
    let times = &Times::PRACTICE;
    let plane = |slope_y, height_m| Plane {
        slope_x: 0.0,
        slope_y,
        height_m,
    };
    let roof = Ceiling::new(vec![plane(0.5, 2.4), plane(-0.5, 3.9)], Join::Lower);
    let along = Vec2::new(0.0, 1.0);
    let joists = Joists {
        first_m: None,
        spacing_m: 0.4,
        either_way: false,
        doubt: Some(0),
    };
    let above = Void {
        joists: Some(joists),
        surface: Some(roof.expect("a gable")),
        ..Void::open(Medium::JoistBay, along, Metres(2.4), times)
    };
    let below = Void::open(Medium::CrawlSpace, along, Metres(0.0), times);
    let soffit = Void::open(Medium::Soffit, along, Metres(2.1), times);
    let mut walls = Vec::new();
    for room in 0..2 {
        let left_x = 4.0 * room as f64;
        let corners = [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]]
            .map(|[x, y]| Point2::new(left_x + x, y));
        for side in 0..4 {
            let (left, right) = (corners[side], corners[(side + 1) % 4]);
            let length_m = left.distance(right);
            let party = match (room, side) {
                (0, 1) => Some(7),
                (1, 3) => Some(1),
                _ => None,
            };
            walls.push(Wall {
                room,
                left,
                along: (right - left) * (1.0 / length_m),
                length_m,
                floor_m: 0.0,
                top: vec![[0.0, 2.4], [length_m, 2.4]],
                framing: Framing::Studs(Studs {
                    first_m: Some(0.3),
                    spacing_m: 0.4,
                    doubt: None,
                    has_knockouts: false,
                    blocks: match side {
                        0 => Blocks::Unknown(0),
                        _ => Blocks::At(vec![1.2]),
                    },
                }),
                hazard: None,
                openings: Vec::new(),
                above: Some(0),
                below: Some(1),
                behind: None,
                party: party.map(|wall| Party {
                    wall,
                    mirror_m: 3.0,
                }),
            });
        }
    }
    let mouth = |wall| Mouth::Wall {
        wall,
        from_left_m: 1.1,
        height_m: 0.4,
    };
    let room = |first: usize, soffits| Room {
        walls: (first..first + 4).collect(),
        soffits,
    };
    let soffit_box = SoffitBox {
        void: 2,
        centre: Point2::new(2.0, 0.2),
        along: Vec2::new(1.0, 0.0),
        half_m: [2.0, 0.2],
        height_m: 2.1,
    };
    House {
        walls,
        rooms: vec![room(0, vec![soffit_box]), room(4, Vec::new())],
        voids: vec![above, below, soffit],
        conduits: vec![Conduit {
            medium: Medium::Conduit,
            mouths: [mouth(0), mouth(6)],
            length_m: Span::between(5.0, 7.0),
            time_s: Span::exact(300.0),
            doubt: Some(0),
        }],
        ..House::default()
    }
}

/// Ends that look drawn by lot: on walls, before them, and hanging.
fn end(house: &House, number: usize) -> End {
    let turn = number as f64 * 0.618_034;
    let share = turn - turn.floor();
    let wall = number * 5 % house.walls.len();
    let (from_left_m, height_m) = (house.walls[wall].length_m * share, 2.2 * (1.0 - share));
    let on_wall = house.walls[wall].point(from_left_m, height_m);
    match number % 3 {
        0 => End {
            at: on_wall,
            wall: Some((wall, from_left_m, height_m)),
            above: None,
            has_rug: false,
            is_flush: number.is_multiple_of(2),
        },
        1 => End {
            at: Point3::new(on_wall.x, 1.5, height_m),
            wall: Some((wall, from_left_m, height_m)),
            above: None,
            has_rug: number.is_multiple_of(2),
            is_flush: false,
        },
        _ => End {
            at: Point3::new(8.0 * share, 1.2, 1.9),
            wall: None,
            above: Some(0),
            has_rug: false,
            is_flush: number.is_multiple_of(2),
        },
    }
}

#[test]
fn a_graph_with_ends_is_the_same_as_one_that_shares_nothing() {
    let house = Arc::new(house());
    let settled = HouseGraph::new(Arc::clone(&house), &Times::PRACTICE);
    let whole = HouseGraph::unsettled(Arc::clone(&house), &Times::PRACTICE);
    let (weights, bars) = (Weights::PRACTICE, Bars::usual());
    for case in 0..60 {
        let ends = [end(&house, case), end(&house, 7 * case + 1)];
        let (shared, nodes) = settled.with_ends(&ends);
        let (plain, plain_nodes) = whole.with_ends(&ends);
        assert_eq!(nodes, plain_nodes);
        assert_eq!(shared.len(), plain.len());
        for id in 0..plain.len() {
            assert_eq!(shared.node(id), plain.node(id));
            assert!(shared.moves_from(id).eq(plain.moves_from(id)));
        }
        for void in 0..house.voids.len() {
            let places = |graph: &Graph| -> Vec<[NodeId; 2]> {
                let entries = graph.entries(void).concat();
                entries
                    .iter()
                    .map(|entry| [entry.into, entry.out])
                    .collect()
            };
            assert_eq!(places(&shared), places(&plain));
        }
        for share in [0.0, 0.5, 1.0] {
            let by = Reckoning {
                share,
                ..Reckoning::new(&weights, &bars)
            };
            let found = |graph| cheapest(graph, nodes[0], nodes[1], &by);
            assert_eq!(found(&shared), found(&plain));
            assert!(found(&shared).is_some(), "case {case}");
        }
    }
    // What others add is nobody else's.
    let (empty, _) = settled.with_ends(&[]);
    assert_eq!(empty.len(), whole.graph.len());
    for id in 0..empty.len() {
        assert!(empty.moves_from(id).eq(whole.graph.moves_from(id)));
    }
}

#[test]
fn a_reach_finds_ways_as_cheap_as_a_search_of_their_own_whatever_was_asked_before() {
    let house = Arc::new(house());
    let settled = HouseGraph::new(Arc::clone(&house), &Times::PRACTICE);
    let weights = Weights::PRACTICE;
    let usual = Bars::usual();
    let all_bars = [
        usual.clone(),
        usual.and_medium(Medium::Surface),
        Bars {
            voids: vec![0],
            ..usual.clone()
        },
        usual.and_medium(Medium::Surface).and_medium(Medium::Board),
    ];
    let (mut found, mut none) = (0, 0);
    for first in 0..6 {
        for (bars, share) in all_bars.iter().zip([0.5, 0.0, 1.0, 0.5]) {
            let (started, from) = settled.with_end(0, &end(&house, first));
            let reach = || Reach::new(started.graph().clone(), from, weights, bars.clone(), share);
            let by = Reckoning {
                share,
                ..Reckoning::new(&weights, bars)
            };
            let mut asked = reach();
            for second in 0..40 {
                let (graph, to) = started.with_end(1, &end(&house, 7 * second + 1));
                let graph = graph.graph();
                let way = asked.cheapest(graph, to);
                assert_eq!(way, reach().cheapest(graph, to), "{first} {second}");
                let alone = cheapest(graph, from, to, &by);
                let prices = [&way, &alone].map(|way| way.as_ref().map(|way| way.price_s));
                let [Some(price_s), Some(alone_s)] = prices else {
                    assert_eq!(prices, [None, None]);
                    none += 1;
                    continue;
                };
                found += 1;
                assert!((price_s / alone_s - 1.0).abs() < 1e-12, "{first} {second}");
                let steps = way.iter().flat_map(|way| &way.steps);
                let sum_s: f64 = steps.map(|step| by.price(&step.by).unwrap()).sum();
                assert!((price_s - sum_s).abs() < 1e-6, "{price_s} {sum_s}");
            }
        }
    }
    assert!(found > 600 && none > 20, "{found} found, {none} not");
}
