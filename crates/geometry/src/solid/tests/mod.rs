//! Rooms against other libraries, hand formulas and the laws of closed solids.

mod booleans;
mod by_hand;
mod seeded;

use std::f64::consts::PI;

use geo::{Area, BooleanOps, Centroid, Coord, LineString, MultiPolygon, Polygon};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use units::Radians;

use super::*;
use crate::{HipPitch, Join, Vec2};

fn corners(places: &[(f64, f64)]) -> Vec<Point2> {
    places.iter().map(|&(x, y)| Point2::new(x, y)).collect()
}

fn plan(places: &[(f64, f64)]) -> Plan {
    Plan::new(corners(places)).unwrap()
}

fn hanging(
    x: f64,
    y: f64,
    degrees: f64,
    length_m: f64,
    width_m: f64,
    underside_m: f64,
) -> HangingBox {
    let along = Vec2::from_angle(degrees.to_radians());
    HangingBox {
        rect: PlanRect {
            centre: Point2::new(x, y),
            along,
            length_m,
            width_m,
        },
        underside_m,
    }
}

const RECT: [(f64, f64); 4] = [(0.0, 0.0), (0.0, 6.5), (5.0, 6.5), (5.0, 0.0)];
const WIDE: [(f64, f64); 4] = [(0.0, 0.0), (0.0, 4.1), (5.2, 4.1), (5.2, 0.0)];
const SKEW: [(f64, f64); 4] = [(-0.21, 3.98), (5.02, 4.47), (5.31, 0.12), (0.0, 0.0)];
const CHAMFER: [(f64, f64); 5] = [(0.0, 4.2), (3.6, 4.2), (4.8, 3.0), (4.8, 0.0), (0.0, 0.0)];
const L: [(f64, f64); 6] = [
    (0.0, 5.4),
    (3.5, 5.4),
    (3.5, 3.2),
    (6.0, 3.2),
    (6.0, 0.0),
    (0.0, 0.0),
];
const T: [(f64, f64); 8] = [
    (0.0, 2.5),
    (2.4, 2.5),
    (2.4, 6.0),
    (4.6, 6.0),
    (4.6, 2.5),
    (7.0, 2.5),
    (7.0, 0.0),
    (0.0, 0.0),
];

fn gable(plan: &Plan, ridge: [usize; 2], shift: f64, eaves: f64, top: f64) -> Ceiling {
    Ceiling::gable(plan, ridge, Metres(shift), Metres(eaves), Metres(top)).unwrap()
}

fn flat(height: f64) -> Ceiling {
    Ceiling::flat(Metres(height)).unwrap()
}

fn solid(places: &[(f64, f64)], ceiling: Ceiling, boxes: Vec<HangingBox>) -> Solid {
    Solid::new(plan(places), ceiling, boxes).unwrap()
}

fn under_boxes(solid: &Solid) -> f64 {
    solid
        .area_of(|s| matches!(s, Surface::Box(_, BoxSide::Underside)))
        .0
}

fn surface(solid: &Solid) -> f64 {
    solid.area_of(|_| true).0
}

/// Every edge of the triangles exactly once each way: watertight and two-sided.
fn assert_watertight(solid: &Solid, what: &str) {
    assert!(solid.is_closed(), "{what}: faces");
    let mut edges: Vec<(usize, usize)> = solid
        .faces()
        .iter()
        .flat_map(|f| &f.triangles)
        .flat_map(|t| (0..3).map(move |i| (t[i], t[(i + 1) % 3])))
        .collect();
    edges.sort_unstable();
    for pair in edges.windows(2) {
        assert_ne!(pair[0], pair[1], "{what}: an edge twice");
    }
    for &(a, b) in &edges {
        assert!(
            edges.binary_search(&(b, a)).is_ok(),
            "{what}: open edge {a}–{b}"
        );
    }
}

/// ⅙ Σ a · (b × c) over the triangles.
fn triangle_volume(solid: &Solid) -> f64 {
    let o = solid.vertices()[0];
    solid
        .triangles()
        .map(|(_, [a, b, c])| (a - o).dot((b - o).cross(c - o)) / 6.0)
        .sum()
}
