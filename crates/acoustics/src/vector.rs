//! The few vector sums that directions and reflections share.

use crate::direction::Point;

/// From one point to another, m.
pub(crate) fn step(from: Point, to: Point) -> [f64; 3] {
    [0, 1, 2].map(|i| to[i].0 - from[i].0)
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(crate) fn norm(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}
