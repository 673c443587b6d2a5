//! Is what leaves a room's surfaces what arrives there and is given back?

use geometry::{Solid, Surface};

use super::*;
use crate::mesh::tests::{den, on_first_wall, room};
use crate::mesh::{facets, patches};

fn enclosure(solid: &Solid, size_m: f64) -> Enclosure {
    let facets = facets(solid);
    let spots = [on_first_wall(1.0, 0.8, 2.0, 1.125)];
    let patches = patches(&facets, &spots, size_m);
    Enclosure::new(patches, facets).unwrap()
}

fn l_shaped() -> Solid {
    room(
        &[
            (0.0, 0.0),
            (0.0, 5.0),
            (4.0, 5.0),
            (4.0, 2.0),
            (7.0, 2.0),
            (7.0, 0.0),
        ],
        2.6,
    )
}

#[test]
fn a_grey_furnace_glows_as_its_series() {
    // Each patch gives 1 lm/m² of its own: M = 1 + ρ + ρ² + … = 1/(1 − ρ), E = M.
    for solid in [den(), l_shaped()] {
        let room = enclosure(&solid, 1.0);
        let n = room.patches().len();
        for rho in [0.0, 0.3, 0.8, 0.95] {
            let leaving = room.exitance(&vec![rho; n], &vec![1.0; n]).unwrap();
            for m in leaving {
                assert!((m * (1.0 - rho) - 1.0).abs() < 1e-8, "{rho} {m}");
            }
        }
    }
}

#[test]
fn every_patch_sees_one_whole_room_and_is_seen_as_it_sees() {
    for (solid, misfit) in [(den(), 0.03), (l_shaped(), 0.20)] {
        let room = enclosure(&solid, 0.8);
        let n = room.patches().len();
        for i in 0..n {
            let sum: f64 = (0..n).map(|j| room.factor(i, j)).sum();
            assert!((sum - 1.0).abs() < 1e-9);
            for j in 0..n {
                let there = room.patches()[i].area_m2 * room.factor(i, j);
                let back = room.patches()[j].area_m2 * room.factor(j, i);
                assert!((there - back).abs() < 1e-12);
            }
        }
        assert!(room.misfit() < misfit, "{} patches: {}", n, room.misfit());
    }
}

#[test]
fn surfaces_exchange_light_as_the_handbook_says() {
    let room = enclosure(&den(), 0.8);
    let exchange = |from: Surface, to: Surface| {
        let picked = |s: Surface| {
            room.patches()
                .iter()
                .enumerate()
                .filter(move |(_, p)| p.surface == s)
        };
        let mut flux = 0.0;
        let mut area = 0.0;
        for (i, a) in picked(from) {
            area += a.area_m2;
            for (j, _) in picked(to) {
                flux += a.area_m2 * room.factor(i, j);
            }
        }
        flux / area
    };
    use units::Metres;
    let ceiling = view_factor::facing_rectangles(Metres(6.0), Metres(4.0), Metres(2.4)).unwrap();
    let wall = view_factor::standing_rectangles(Metres(6.0), Metres(2.4), Metres(4.0)).unwrap();
    let found = exchange(Surface::Floor, Surface::Ceiling(0));
    assert!((found / ceiling - 1.0).abs() < 0.005, "{found} {ceiling}");
    let found = exchange(Surface::Floor, Surface::Wall(0));
    assert!((found / wall - 1.0).abs() < 0.005, "{found} {wall}");
}

#[test]
fn importance_answers_what_the_light_would() {
    let room = enclosure(&den(), 1.0);
    let n = room.patches().len();
    let rho: Vec<f64> = (0..n).map(|i| 0.2 + 0.5 * (i as f64 / n as f64)).collect();
    let is_picture = |p: &Patch| p.spot == Some(0);
    let importance = room.importance(&rho, is_picture).unwrap();
    // Straight light on every third patch.
    let straight: Vec<f64> = (0..n)
        .map(|i| if i % 3 == 0 { 100.0 } else { 0.0 })
        .collect();
    let own: Vec<f64> = straight.iter().zip(&rho).map(|(e, rho)| e * rho).collect();
    let leaving = room.exitance(&rho, &own).unwrap();
    let reflected = room.illuminance(&leaving);
    let (mut flux, mut area) = (0.0, 0.0);
    for (i, patch) in room
        .patches()
        .iter()
        .enumerate()
        .filter(|(_, p)| is_picture(p))
    {
        flux += patch.area_m2 * (straight[i] + reflected[i]);
        area += patch.area_m2;
    }
    let by_adjoint: f64 = straight
        .iter()
        .zip(importance.all())
        .map(|(e, y)| e * y)
        .sum();
    assert!((by_adjoint / (flux / area) - 1.0).abs() < 1e-9);
}

#[test]
fn paler_rooms_give_more_light_back() {
    let room = enclosure(&den(), 1.0);
    let n = room.patches().len();
    let is_picture = |p: &Patch| p.spot == Some(0);
    let returned = |rho: f64| {
        let importance = room.importance(&vec![rho; n], is_picture).unwrap();
        room.returned(&importance, is_picture)
    };
    assert_eq!(returned(0.0), 0.0);
    assert!(returned(0.2) < returned(0.5) && returned(0.5) < returned(0.8));
}

#[test]
fn what_leaves_the_picture_is_swallowed_to_the_last_lumen() {
    for solid in [den(), l_shaped()] {
        let room = enclosure(&solid, 1.0);
        let n = room.patches().len();
        let rho: Vec<f64> = (0..n).map(|i| 0.1 + 0.8 * (i as f64 / n as f64)).collect();
        let own = room
            .patches()
            .iter()
            .map(|p| f64::from(u8::from(p.spot == Some(0))));
        let own: Vec<f64> = own.collect();
        let given: f64 = room
            .patches()
            .iter()
            .zip(&own)
            .map(|(p, m)| p.area_m2 * m)
            .sum();
        let lit = room.illuminance(&room.exitance(&rho, &own).unwrap());
        let kept = room.patches().iter().zip(lit.iter().zip(&rho));
        let swallowed: f64 = kept.map(|(p, (e, rho))| p.area_m2 * e * (1.0 - rho)).sum();
        assert!((swallowed / given - 1.0).abs() < 1e-9);
    }
}

#[test]
fn a_ray_lands_where_it_must() {
    let room = enclosure(&den(), 1.0);
    let hit = |to: (f64, f64, f64)| {
        let from = Point3::new(3.0, 2.0, 1.2);
        let index = room
            .hit(from, Point3::new(to.0, to.1, to.2) - from)
            .unwrap();
        &room.patches()[index]
    };
    assert_eq!(hit((0.0, 2.0, 1.2)).spot, Some(0));
    assert_eq!(hit((3.3, 2.1, 0.0)).surface, Surface::Floor);
    assert_eq!(hit((3.0, 2.0, 2.4)).surface, Surface::Ceiling(0));
    assert!(room.sees(Point3::new(1.0, 1.0, 1.0), Point3::new(5.0, 3.0, 2.0)));
    let corner = enclosure(&l_shaped(), 1.0);
    assert!(!corner.sees(Point3::new(1.0, 4.5, 1.0), Point3::new(6.5, 1.5, 1.0)));
    assert!(corner.sees(Point3::new(1.0, 1.0, 1.0), Point3::new(6.5, 1.0, 1.0)));
}

#[test]
fn a_room_cut_anew_asks_for_nothing_of_the_wall_that_is_cut() {
    let facets = facets(&l_shaped());
    let cut = |left: f64| patches(&facets, &[on_first_wall(left, 0.8, 2.0, 1.125)], 1.0);
    let first = Enclosure::new(cut(1.0), facets.clone()).unwrap();
    let asked = |room: &Enclosure| room.sampled.iter().filter(|f| f.get().is_some()).count();
    assert_eq!(asked(&first), 0);
    let moved = first.with_patches(cut(1.3)).unwrap();
    let others = first.kept(moved.patches()).iter().flatten().count();
    assert!(others < first.patches().len());
    assert_eq!(asked(&first), pair(others, 0));
    // What was asked for in another order, or not at all, is what it is in a room of its own.
    let anew = Enclosure::new(cut(1.3), facets.clone()).unwrap();
    let n = anew.patches().len();
    for (i, j) in (0..n).flat_map(|i| (0..n).map(move |j| (i, j))) {
        assert_eq!(moved.sampled(i, j), anew.sampled(i, j));
        assert_eq!(moved.factor(i, j), anew.factor(i, j));
    }
    assert_eq!(asked(&moved), pair(n, 0));
}

#[test]
fn impossible_surfaces_are_refused() {
    let room = enclosure(&den(), 2.0);
    let n = room.patches().len();
    assert!(room.exitance(&vec![1.0; n], &vec![1.0; n]).is_none());
    assert!(room.exitance(&vec![f64::NAN; n], &vec![1.0; n]).is_none());
    assert!(room.exitance(&[0.5], &vec![1.0; n]).is_none());
    assert!(room.importance(&vec![0.5; n], |_| false).is_none());
    assert!(Enclosure::new(Vec::new(), Vec::new()).is_none());
}
