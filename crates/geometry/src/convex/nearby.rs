//! Two bodies that are apart, and which of their parts can be nearest after a small step.

use units::Metres;

use super::{Convex, foot_on_triangle, segment_step};
use crate::Point3;

/// What is farther than the nearest by more than this is left out, m.
const NEAR_M: f64 = 1e-3;

/// Two bodies as they stand, and their parts that are about as near as the nearest: to take a
/// derivative, their distance is asked for many times with tiny steps between.
#[derive(Clone, Debug)]
pub struct Nearby {
    bodies: [Convex; 2],
    /// Corners of each with triangles of the other.
    corners: [Vec<(usize, [usize; 3])>; 2],
    edges: Vec<[[usize; 2]; 2]>,
}

impl Convex {
    /// What is nearest between two bodies; nothing where they touch or nearly do.
    pub fn nearby(&self, other: &Self) -> Option<Nearby> {
        let distance = self.clearance(other).signed.0;
        (distance > 2.0 * NEAR_M).then_some(())?;
        let most = distance + NEAR_M;
        let corners = [(self, other), (other, self)].map(|(body, other)| {
            let of_triangle = |triangle: &[usize; 3]| {
                let triangle = *triangle;
                let near = (body.vertices.iter().enumerate())
                    .filter(move |(_, v)| least_off(other.corners_of(triangle), **v) <= most);
                near.map(move |(corner, _)| (corner, triangle))
            };
            other.triangles.iter().flat_map(of_triangle).collect()
        });
        let pairs = (self.edges.iter()).flat_map(|a| other.edges.iter().map(|b| [*a, *b]));
        let edges = pairs
            .filter(|[a, b]| segment_step(self.ends(*a), other.ends(*b)).length() <= most)
            .collect();
        Some(Nearby {
            bodies: [self.clone(), other.clone()],
            corners,
            edges,
        })
    }
}

impl Nearby {
    /// The distance of both bodies after a small step, as [`Convex::clearance`] tells it.
    /// Nothing where the step is so long that something else may have come nearer.
    pub fn distance(&self, one: &Convex, other: &Convex) -> Option<Metres> {
        let [was_one, was_other] = &self.bodies;
        // No distance of two parts changes by more than that.
        let change = step(was_one, one)? + step(was_other, other)?;
        (change < NEAR_M / 4.0).then_some(())?;
        let [own, others] = &self.corners;
        let feet = |(body, other): (&Convex, &Convex), (corner, triangle): &(usize, [usize; 3])| {
            let v = body.vertices[*corner];
            Some((foot_on_triangle(other.corners_of(*triangle), v)? - v).length())
        };
        let own = own.iter().filter_map(|part| feet((one, other), part));
        let others = others.iter().filter_map(|part| feet((other, one), part));
        let edges =
            (self.edges.iter()).map(|[a, b]| segment_step(one.ends(*a), other.ends(*b)).length());
        let distance = own.chain(others).chain(edges).fold(f64::INFINITY, f64::min);
        Some(Metres(distance))
    }
}

/// A point is at least as far from a triangle as from its plane, m.
fn least_off([a, b, c]: [Point3; 3], point: Point3) -> f64 {
    let normal = (b - a).cross(c - a).unit();
    normal.map_or(0.0, |normal| (point - a).dot(normal).abs())
}

/// How far the corner that moves most has moved, m; nothing for bodies with other parts.
fn step(was: &Convex, is: &Convex) -> Option<f64> {
    let alike = was.vertices.len() == is.vertices.len()
        && was.triangles == is.triangles
        && was.edges == is.edges;
    let corners = was.vertices.iter().zip(&is.vertices);
    alike.then(|| {
        corners
            .map(|(was, is)| was.distance(*is))
            .fold(0.0, f64::max)
    })
}
