//! Lengths of shortest ways against a general graph library, and sums against trying everything.

use std::collections::BTreeSet;

use geometry::Point3;
use routing::{
    Bars, Graph, Hole, Holes, Medium, Move, NodeId, Obstacle, Reckoning, Run, Span, Spot, Weights,
    cheapest, together,
};
use units::Seconds;

/// A metre costs 1, nothing else costs.
const BY_LENGTH: Weights = Weights {
    metre_s_per_m: 1.0,
    hole: Seconds(0.0),
    seen_s_per_m: 0.0,
    hazard: Seconds(0.0),
};

fn shortest(graph: &Graph, from: NodeId, to: NodeId) -> Option<f64> {
    let bars = Bars::default();
    let route = cheapest(graph, from, to, &Reckoning::new(&BY_LENGTH, &bars))?;
    let length_m = route.length_m().middle();
    assert!((route.price_s - length_m).abs() < 1e-9);
    Some(length_m)
}

fn rows(table: &str) -> impl Iterator<Item = Vec<&str>> {
    table.lines().skip(2).map(|line| line.split(',').collect())
}

fn length_of(cell: &str) -> Option<f64> {
    (!cell.is_empty()).then(|| cell.parse().expect("a length"))
}

fn walk(to: NodeId, length_m: f64) -> Move {
    Move::free(to, Medium::Attic, length_m, 0.0)
}

/// A map of free and blocked cells; diagonal steps need both side cells free.
fn grid(map: &str, has_diagonals: bool) -> (Graph, NodeId, NodeId) {
    let cells: Vec<Vec<char>> = map.split('/').map(|row| row.chars().collect()).collect();
    let is_free = |row: i32, column: i32| {
        let cell = (usize::try_from(row).ok()).zip(usize::try_from(column).ok());
        let cell = cell.and_then(|(row, column)| cells.get(row)?.get(column));
        cell.is_some_and(|cell| *cell != '#')
    };
    let width = cells[0].len();
    let mut graph = Graph::default();
    let (mut start, mut goal) = (0, 0);
    for (row, line) in cells.iter().enumerate() {
        for (column, cell) in line.iter().enumerate() {
            let at = Point3::new(column as f64, row as f64, 0.0);
            let node = graph.add(at, Spot::Other);
            match cell {
                'S' => start = node,
                'G' => goal = node,
                _ => {}
            }
        }
    }
    for row in 0..cells.len() as i32 {
        for column in 0..width as i32 {
            for (down, right) in [(0, 1), (1, 0), (1, 1), (1, -1)] {
                let is_diagonal = down != 0 && right != 0;
                let is_open = is_free(row, column)
                    && is_free(row + down, column + right)
                    && is_free(row + down, column)
                    && is_free(row, column + right);
                if is_open && (has_diagonals || !is_diagonal) {
                    let node = |row: i32, column: i32| row as usize * width + column as usize;
                    let length_m = f64::from(down).hypot(f64::from(right));
                    let there = walk(node(row + down, column + right), length_m);
                    graph.join(node(row, column), there);
                }
            }
        }
    }
    (graph, start, goal)
}

#[test]
fn maps_agree_with_the_library() {
    let mut seen = 0;
    for row in rows(include_str!("grids.csv")) {
        for (has_diagonals, cell) in [(false, row[2]), (true, row[3])] {
            let (graph, start, goal) = grid(row[1], has_diagonals);
            let (got, want) = (shortest(&graph, start, goal), length_of(cell));
            match (got, want) {
                // The table prints six digits after the point.
                (Some(got), Some(want)) => assert!((got - want).abs() < 1e-6, "{}", row[0]),
                (got, want) => assert_eq!(got, want, "{}", row[0]),
            }
            // There and back the same; sums in another order differ by rounding alone.
            let back = shortest(&graph, goal, start);
            assert!(
                got.zip(back)
                    .is_none_or(|(got, back)| (got - back).abs() < 1e-9)
            );
            assert_eq!(got.is_some(), back.is_some());
            seen += 1;
        }
    }
    assert_eq!(seen, 12);
}

#[test]
fn two_hundred_random_graphs_agree_with_the_library() {
    let mut seen = 0;
    for row in rows(include_str!("random-graphs.csv")) {
        let mut graph = Graph::default();
        let count: usize = row[1].parse().unwrap();
        for index in 0..count {
            // Places far apart: lengths of random graphs know no geometry.
            graph.add(Point3::new(100.0 * index as f64, 0.0, 0.0), Spot::Other);
        }
        for edge in row[4].split_whitespace() {
            let (ends, length) = edge.split_once(':').unwrap();
            let (a, b) = ends.split_once('-').unwrap();
            let there = walk(b.parse().unwrap(), length.parse().unwrap());
            graph.join(a.parse().unwrap(), there);
        }
        let (start, goal) = (row[2].parse().unwrap(), row[3].parse().unwrap());
        match (shortest(&graph, start, goal), length_of(row[5])) {
            // The table prints six digits after the point.
            (Some(got), Some(want)) => assert!((got - want).abs() < 1e-6, "{}", row[0]),
            (got, want) => assert_eq!(got, want, "{}", row[0]),
        }
        seen += 1;
    }
    assert_eq!(seen, 200);
}

/// Every way without a repeated place.
fn every_way(graph: &Graph, from: NodeId, to: NodeId) -> Vec<Vec<Move>> {
    fn go(
        graph: &Graph,
        at: NodeId,
        to: NodeId,
        seen: &mut Vec<NodeId>,
        way: &mut Vec<Move>,
        ways: &mut Vec<Vec<Move>>,
    ) {
        if at == to {
            ways.push(way.clone());
            return;
        }
        for there in graph.moves_from(at) {
            if !seen.contains(&there.to) {
                seen.push(there.to);
                way.push(*there);
                go(graph, there.to, to, seen, way, ways);
                seen.pop();
                way.pop();
            }
        }
    }
    let mut ways = Vec::new();
    go(graph, from, to, &mut vec![from], &mut Vec::new(), &mut ways);
    ways
}

#[test]
fn shared_holes_against_every_pair_of_ways() {
    // A fixed linear congruential sequence: the same graphs on every machine.
    let mut state = 20_261_125_u64;
    let mut next = |below: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % below
    };
    let (mut gaps, mut cases) = (Vec::new(), 0);
    for _ in 0..150 {
        let mut graph = Graph::default();
        for index in 0..7 {
            graph.add(Point3::new(0.0, 0.0, f64::from(index)), Spot::Other);
        }
        for edge in 0..9 + next(4) {
            let (a, b) = (next(7) as usize, next(7) as usize);
            if a == b {
                continue;
            }
            let each_s = 10.0 + next(60) as f64;
            // Two of three moves drill; now and then two moves drill the same.
            let holes = (next(3) > 0).then(|| Holes {
                obstacle: Obstacle::Other((edge * 4 / 5) as usize),
                first: 0,
                lane: 0,
                sure: 1,
                most: 1,
                each_s,
            });
            let there = Move {
                holes,
                ..Move::free(b, Medium::Attic, 20.0 + next(20) as f64, 0.0)
            };
            graph.join(a, there);
        }
        let weights = BY_LENGTH;
        let bars = Bars::default();
        let ends = [[0, 5], [1, 6]];
        let runs = ends.map(|ends| Run {
            ends,
            by: Reckoning::new(&weights, &bars),
        });
        let got = together(&graph, &runs);
        let ways = ends.map(|[from, to]| every_way(&graph, from, to));
        let mut least = f64::INFINITY;
        for one in &ways[0] {
            for other in &ways[1] {
                let mut made: BTreeSet<Hole> = BTreeSet::new();
                let mut sum = 0.0;
                for there in one.iter().chain(other) {
                    let by = Reckoning {
                        made: Some(&made),
                        ..Reckoning::new(&weights, &bars)
                    };
                    sum += by.price(there).unwrap();
                    made.extend(there.holes.iter().flat_map(Holes::each));
                }
                least = least.min(sum);
            }
        }
        if !least.is_finite() {
            continue;
        }
        cases += 1;
        assert!(got.price_s >= least - 1e-9, "below the least possible");
        assert!(got.price_s <= got.alone_s + 1e-9, "never worse than alone");
        gaps.push(got.price_s / least - 1.0);
    }
    assert!(cases >= 60, "{cases} cases");
    gaps.sort_by(f64::total_cmp);
    let exact = gaps.iter().filter(|gap| **gap < 1e-9).count();
    // A local search: the least in nearly every case, and never far off.
    assert!(exact * 100 >= 90 * cases, "{exact} of {cases} at the least");
    println!(
        "{exact} of {cases} at the least, worst {:.3}",
        gaps[cases - 1]
    );
    assert!(gaps[cases - 1] < 0.30, "worst gap {}", gaps[cases - 1]);
}

#[test]
fn spans_are_counted_at_their_middle_unless_said_otherwise() {
    let mut graph = Graph::default();
    let nodes: Vec<NodeId> = (0..2)
        .map(|index| graph.add(Point3::new(f64::from(index), 0.0, 0.0), Spot::Other))
        .collect();
    let there = Move {
        length_m: Span::between(2.0, 6.0),
        ..Move::free(nodes[1], Medium::Conduit, 0.0, 0.0)
    };
    graph.join(nodes[0], there);
    let bars = Bars::default();
    for (share, want) in [(0.0, 2.0), (0.5, 4.0), (1.0, 6.0)] {
        let by = Reckoning {
            share,
            ..Reckoning::new(&BY_LENGTH, &bars)
        };
        let route = cheapest(&graph, nodes[0], nodes[1], &by).unwrap();
        assert!((route.price_s - want).abs() < 1e-12);
        assert_eq!(route.length_m(), Span::between(2.0, 6.0));
    }
}
