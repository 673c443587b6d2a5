//! Is what the search finds the best there is, and does it keep to what it was asked?

use num_complex::Complex;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use units::{Decibels, Hertz, Seconds};

use super::*;
use crate::{Place, Setting};

fn go_on(_: f64) -> bool {
    true
}

/// A made-up room: some resonances, each with its own shape over places and seats.
fn room(seed: u64, places: usize, seats: usize, lines: usize) -> Transfers {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let modes: Vec<(f64, Vec<f64>, Vec<f64>)> = (0..9)
        .map(|mode| {
            let at = 22.0 + 9.0 * f64::from(mode) + random.random_range(-2.0..2.0);
            let mut shape = |count: usize| -> Vec<f64> {
                (0..count).map(|_| random.random_range(-1.0..1.0)).collect()
            };
            (at, shape(places), shape(seats))
        })
        .collect();
    let frequencies: Vec<Hertz> = (0..lines)
        .map(|n| Hertz(20.0 * 4_f64.powf(n as f64 / (lines - 1) as f64)))
        .collect();
    let pressure = |place: usize, seat: usize, hertz: f64| {
        modes
            .iter()
            .fold(Complex::new(0.2, 0.1), |sum, (at, by_place, by_seat)| {
                let resonance = Complex::new(at * at - hertz * hertz, at * hertz / 8.0);
                sum + by_place[place] * by_seat[seat] * at * at / resonance
            })
    };
    let table = (0..places)
        .map(|place| Place {
            kind: format!("kind {}", place % 3),
            pressures: (0..seats)
                .map(|seat| {
                    frequencies
                        .iter()
                        .map(|f| pressure(place, seat, f.0))
                        .collect()
                })
                .collect(),
        })
        .collect();
    Transfers::new(&frequencies, &vec![1.0; seats], table).unwrap()
}

fn small_grid() -> Grid {
    Grid::new(&[Decibels(0.0), Decibels(-4.0)], Seconds(0.003), 3, true).unwrap()
}

fn wanted(subs: usize, grid: Grid) -> Wanted {
    Wanted {
        subs,
        kept: Vec::new(),
        grid,
        runners_up: 3,
    }
}

/// The least cost of all arrangements, by the plainest loops and [`score`] itself.
fn least_by_hand(table: &Transfers, goal: &Goal, subs: usize, grid: &Grid) -> f64 {
    let settings: Vec<Setting> = grid
        .knobs()
        .into_iter()
        .map(|knobs| grid.setting(knobs))
        .collect();
    let mut least = f64::INFINITY;
    let mut stack = vec![Arrangement { subs: Vec::new() }];
    while let Some(arrangement) = stack.pop() {
        if arrangement.subs.len() == subs {
            least = least.min(score(table, goal, &arrangement).cost);
            continue;
        }
        let from = arrangement.subs.last().map_or(0, |sub| sub.0 + 1);
        for place in from..table.places().len() {
            for &setting in &settings {
                let mut more = arrangement.clone();
                more.subs.push((place, setting));
                stack.push(more);
            }
        }
    }
    least
}

#[test]
fn the_best_pair_is_the_best_of_all() {
    for seed in 0..4 {
        let table = room(seed, 5, 3, 6);
        let goal = Goal::even(&table);
        let found = search(&table, &goal, &wanted(2, small_grid()), &go_on).unwrap();
        let least = least_by_hand(&table, &goal, 2, &small_grid());
        assert_eq!(found.effort, Effort::Every);
        assert!((found.ranked[0].1.cost - least).abs() < 1e-9, "seed {seed}");
    }
}

#[test]
fn one_sub_is_as_it_comes() {
    let table = room(5, 7, 3, 8);
    let goal = Goal::even(&table);
    let found = search(&table, &goal, &wanted(1, Grid::usual()), &go_on).unwrap();
    assert_eq!(found.ranked[0].0.subs[0].1, Setting::PLAIN);
    let least = least_by_hand(&table, &goal, 1, &Grid::fixed());
    assert!((found.ranked[0].1.cost - least).abs() < 1e-9);
}

/// What is grown and improved is held against all arrangements, 40 seeded rooms each.
#[test]
fn growing_finds_the_best_of_all_in_95_of_100() {
    let grid = small_grid();
    for subs in [2, 3] {
        let (mut met, mut rooms) = (0, 0);
        for seed in 0..40 {
            let table = room(100 + seed, 7, 4, 8);
            let goal = Goal::even(&table);
            let asked = wanted(subs, grid.clone());
            let bench = Bench::new(&table, &goal, &grid);
            let all = every::every(&bench, &asked, &go_on)
                .unwrap()
                .best_of_each_kind();
            let grown = grow::grow(&bench, &asked, &go_on)
                .unwrap()
                .best_of_each_kind();
            assert!(grown[0].cost >= all[0].cost - 1e-6, "seed {seed}");
            met += usize::from(grown[0].cost <= all[0].cost + 1e-6);
            rooms += 1;
        }
        assert!(met * 100 >= rooms * 95, "{subs} subs: {met} of {rooms}");
    }
}

#[test]
fn four_subs_among_many_places_do_no_worse_than_three() {
    let table = room(9, 20, 4, 10);
    let goal = Goal::even(&table);
    let cost = |subs| {
        let found = search(&table, &goal, &wanted(subs, Grid::usual()), &go_on).unwrap();
        found.ranked[0].1.cost
    };
    let costs = [cost(1), cost(2), cost(3), cost(4)];
    assert!(costs.windows(2).all(|pair| pair[1] < pair[0]), "{costs:?}");
}

#[test]
fn runners_up_differ_in_kind_and_cost_more() {
    let table = room(3, 9, 3, 8);
    let goal = Goal::even(&table);
    let found = search(&table, &goal, &wanted(2, small_grid()), &go_on).unwrap();
    assert_eq!(found.ranked.len(), 4);
    let kinds: Vec<Vec<usize>> = found
        .ranked
        .iter()
        .map(|(arrangement, _)| {
            let mut kinds: Vec<usize> = arrangement
                .subs
                .iter()
                .map(|(place, _)| place % 3)
                .collect();
            kinds.sort_unstable();
            kinds
        })
        .collect();
    for (at, kind) in kinds.iter().enumerate() {
        assert!(!kinds[..at].contains(kind), "{kinds:?}");
    }
    assert!(
        found
            .ranked
            .windows(2)
            .all(|pair| pair[0].1.cost <= pair[1].1.cost)
    );
}

#[test]
fn a_kept_sub_stays() {
    let table = room(4, 30, 3, 8);
    let goal = Goal::even(&table);
    for subs in [1, 2, 3, 4] {
        for kept in [vec![17], vec![17, 2], vec![17, 2, 11]] {
            if kept.len() > subs {
                continue;
            }
            let asked = Wanted {
                kept: kept.clone(),
                ..wanted(subs, small_grid())
            };
            let found = search(&table, &goal, &asked, &go_on).unwrap();
            for (arrangement, _) in &found.ranked {
                assert_eq!(arrangement.subs.len(), subs);
                for place in &kept {
                    assert!(arrangement.subs.iter().any(|sub| sub.0 == *place));
                }
            }
        }
    }
}

#[test]
fn the_same_search_finds_the_same() {
    let table = room(6, 16, 4, 8);
    let goal = Goal::even(&table);
    let asked = wanted(3, Grid::usual());
    let first = search(&table, &goal, &asked, &go_on).unwrap();
    assert_eq!(first.effort, Effort::Grown);
    assert_eq!(search(&table, &goal, &asked, &go_on).unwrap(), first);
}

#[test]
fn a_search_stops_when_it_is_told() {
    let table = room(7, 16, 4, 8);
    let goal = Goal::even(&table);
    for subs in [2, 3] {
        let stopped = search(&table, &goal, &wanted(subs, Grid::usual()), &|share| {
            share < 0.2
        });
        assert_eq!(stopped, Err(Stopped::Asked));
    }
}

#[test]
fn what_cannot_be_searched_is_told() {
    let table = room(8, 3, 2, 4);
    let goal = Goal::even(&table);
    let told = |asked: Wanted| search(&table, &goal, &asked, &go_on).unwrap_err();
    assert_eq!(told(wanted(0, Grid::fixed())), Stopped::Subs(0));
    assert_eq!(told(wanted(5, Grid::fixed())), Stopped::Subs(5));
    assert_eq!(
        told(wanted(4, Grid::fixed())),
        Stopped::Places { subs: 4, places: 3 }
    );
    for kept in [vec![3], vec![1, 1], vec![0, 1, 2]] {
        let asked = Wanted {
            kept,
            ..wanted(2, Grid::fixed())
        };
        assert!(matches!(told(asked), Stopped::Kept(_)));
    }
}
