//! A case grown into what it keeps clear of.

use std::f64::consts::TAU;
use std::sync::LazyLock;

/// How far a case reaches in a ring of directions and in any other.
pub(super) struct Around {
    along: [f64; 2],
    half_m: [f64; 2],
    /// Directions, and how far the case reaches from its middle, m.
    ring: Vec<([f64; 2], f64)>,
}

impl Around {
    pub fn new(along: [f64; 2], half_m: [f64; 2]) -> Self {
        const RING: usize = 48;
        static RING_WAYS: LazyLock<[(f64, f64); RING]> =
            LazyLock::new(|| std::array::from_fn(|at| (TAU * at as f64 / RING as f64).sin_cos()));
        let [ax, ay] = along;
        let bare = Self {
            along,
            half_m,
            ring: Vec::new(),
        };
        let ring = (RING_WAYS.iter())
            .map(|(sin, cos)| [cos * ax - sin * ay, cos * ay + sin * ax])
            .map(|way| (way, bare.reach(way)));
        Self {
            ring: ring.collect(),
            ..bare
        }
    }

    fn reach(&self, [nx, ny]: [f64; 2]) -> f64 {
        let [ax, ay] = self.along;
        (nx * ax + ny * ay).abs() * self.half_m[0] + (ny * ax - nx * ay).abs() * self.half_m[1]
    }

    /// Where the middle of the case is when it meets a convex piece of the plan: a side for each
    /// direction of the ring, and for those square to the piece's own sides.
    pub fn sides<'a>(&'a self, hull: &'a [[f64; 2]]) -> impl Iterator<Item = [f64; 3]> + 'a {
        let own = hull.iter().enumerate().flat_map(|(at, from)| {
            let to = hull[(at + 1) % hull.len()];
            let [ex, ey] = [to[0] - from[0], to[1] - from[1]];
            let long = ex.hypot(ey);
            let ways = [[ey / long, -ex / long], [-ey / long, ex / long]];
            ways.into_iter().filter(move |_| long > 1e-9)
        });
        let own = own.map(|way| (way, self.reach(way)));
        (self.ring.iter().copied().chain(own)).map(|way| side(hull, way))
    }

    /// Some of those sides.
    pub fn some_sides<'a>(&'a self, hull: &'a [[f64; 2]]) -> impl Iterator<Item = [f64; 3]> + 'a {
        const EACH: usize = 6;
        (self.ring.iter().step_by(EACH)).map(|way| side(hull, *way))
    }
}

fn side(hull: &[[f64; 2]], ([nx, ny], reach): ([f64; 2], f64)) -> [f64; 3] {
    let along = hull.iter().map(|[x, y]| nx * x + ny * y);
    let support = along.fold(f64::NEG_INFINITY, f64::max);
    [nx, ny, support + reach]
}

/// From sides to a place, m: no less than from some of them.
pub(super) fn clearance(sides: impl Iterator<Item = [f64; 3]>, [x, y]: [f64; 2]) -> f64 {
    let off = sides.map(|[nx, ny, s]| nx * x + ny * y - s);
    off.fold(f64::NEG_INFINITY, f64::max)
}
