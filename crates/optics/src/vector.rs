//! The few vector operations that picture geometry needs.

/// A place or direction in the room: x, y, z in metres, right-handed, z up.
pub type Point = [f64; 3];

pub(crate) fn is_finite(p: Point) -> bool {
    p.iter().all(|c| c.is_finite())
}

pub(crate) fn add([ax, ay, az]: Point, [bx, by, bz]: Point) -> Point {
    [ax + bx, ay + by, az + bz]
}

pub(crate) fn sub([ax, ay, az]: Point, [bx, by, bz]: Point) -> Point {
    [ax - bx, ay - by, az - bz]
}

pub(crate) fn scale([x, y, z]: Point, factor: f64) -> Point {
    [x * factor, y * factor, z * factor]
}

pub(crate) fn dot([ax, ay, az]: Point, [bx, by, bz]: Point) -> f64 {
    ax * bx + ay * by + az * bz
}

pub(crate) fn cross([ax, ay, az]: Point, [bx, by, bz]: Point) -> Point {
    [ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx]
}

pub(crate) fn norm(p: Point) -> f64 {
    dot(p, p).sqrt()
}

/// Angle between two directions, 0 to π; `None` when either has no direction.
///
/// By the arc tangent of cross over dot product: the arc cosine loses half
/// its digits near 0 and π.
pub(crate) fn angle_between(a: Point, b: Point) -> Option<f64> {
    let (sine, cosine) = (norm(cross(a, b)), dot(a, b));
    let usable = norm(a) > 0.0 && norm(b) > 0.0 && sine.is_finite() && cosine.is_finite();
    usable.then(|| sine.atan2(cosine))
}
