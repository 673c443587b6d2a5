//! Convex pieces of the plan, as what several straight lines leave.

/// A point of the plan, m.
pub(crate) type Point = [f64; 2];

/// The side of a straight line where n · p ≤ k.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HalfPlane {
    /// Unit normal out of it, or nothing where p does not matter.
    n: Point,
    k: f64,
}

impl HalfPlane {
    /// Where n · p ≤ k, with n of any length.
    pub fn new(n: Point, k: f64) -> Self {
        // Normals are of a size that needs no care for overflow.
        let length = (n[0] * n[0] + n[1] * n[1]).sqrt();
        // Below this a metre of plan changes nothing that anybody measures.
        if length < 1e-9 {
            return Self { n: [0.0; 2], k };
        }
        Self {
            n: [n[0] / length, n[1] / length],
            k: k / length,
        }
    }

    /// The other side.
    pub fn turned(self) -> Self {
        Self {
            n: [-self.n[0], -self.n[1]],
            k: -self.k,
        }
    }

    /// How far inside a point is, m; the excess itself where the place does not matter.
    pub fn depth(self, p: Point) -> f64 {
        self.k - self.n[0] * p[0] - self.n[1] * p[1]
    }

    /// A convex outline cut to this side.
    pub fn clipped(self, outline: &[Point]) -> Vec<Point> {
        self.cut(outline, |corner| *corner, |corner| corner)
    }

    /// The same of corners that carry a mark; those that the cut makes carry none.
    pub fn clipped_marked(self, outline: &[(Point, bool)]) -> Vec<(Point, bool)> {
        self.cut(outline, |(corner, _)| *corner, |corner| (corner, false))
    }

    fn cut<C: Copy>(
        self,
        outline: &[C],
        point: impl Fn(&C) -> Point,
        new: impl Fn(Point) -> C,
    ) -> Vec<C> {
        let mut kept = Vec::with_capacity(outline.len() + 1);
        for (at, corner) in outline.iter().enumerate() {
            let (here, next) = (point(corner), point(&outline[(at + 1) % outline.len()]));
            let (a, b) = (self.depth(here), self.depth(next));
            if a >= 0.0 {
                kept.push(*corner);
            }
            if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
                let part = a / (a - b);
                kept.push(new([
                    here[0] + (next[0] - here[0]) * part,
                    here[1] + (next[1] - here[1]) * part,
                ]));
            }
        }
        kept
    }
}

/// A convex outline cut to all of several sides; empty where nothing of it is left.
pub(crate) fn clipped(outline: &[Point], sides: &[HalfPlane]) -> Vec<Point> {
    let mut kept = outline.to_vec();
    for side in sides {
        kept = side.clipped(&kept);
        if kept.len() < 3 {
            return Vec::new();
        }
    }
    kept
}

/// Twice nothing: the area of an outline, m², positive anticlockwise.
pub(crate) fn area_m2(outline: &[Point]) -> f64 {
    let cross = |at: usize| {
        let ([ax, ay], [bx, by]) = (outline[at], outline[(at + 1) % outline.len()]);
        ax * by - ay * bx
    };
    (0..outline.len()).map(cross).sum::<f64>() / 2.0
}

/// How something depends on a point of the plan: a x + b y + c.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Affine {
    pub slope: Point,
    pub at_origin: f64,
}

impl Affine {
    pub fn constant(value: f64) -> Self {
        Self {
            slope: [0.0; 2],
            at_origin: value,
        }
    }

    /// The way along a direction from a point.
    pub fn along(direction: Point, from: Point) -> Self {
        Self {
            slope: direction,
            at_origin: -direction[0] * from[0] - direction[1] * from[1],
        }
    }

    pub fn at(self, p: Point) -> f64 {
        self.slope[0] * p[0] + self.slope[1] * p[1] + self.at_origin
    }

    /// The same of a point that is moved by so much.
    pub fn moved(self, by: Point) -> Self {
        Self {
            at_origin: self.at(by),
            ..self
        }
    }

    pub fn plus(self, more: f64) -> Self {
        Self {
            at_origin: self.at_origin + more,
            ..self
        }
    }

    pub fn times(self, factor: f64) -> Self {
        Self {
            slope: self.slope.map(|slope| slope * factor),
            at_origin: self.at_origin * factor,
        }
    }

    pub fn minus(self, other: Self) -> Self {
        Self {
            slope: [
                self.slope[0] - other.slope[0],
                self.slope[1] - other.slope[1],
            ],
            at_origin: self.at_origin - other.at_origin,
        }
    }

    /// Where it is at most so much.
    pub fn at_most(self, most: f64) -> HalfPlane {
        HalfPlane::new(self.slope, most - self.at_origin)
    }

    /// Where it is at least so much.
    pub fn at_least(self, least: f64) -> HalfPlane {
        self.times(-1.0).at_most(-least)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [Point; 4] = [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]];

    #[test]
    fn a_square_cut_along_its_diagonal_is_half_as_large() {
        let half = HalfPlane::new([1.0, 1.0], 2.0).clipped(&SQUARE);
        assert!((area_m2(&half) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_side_on_which_the_place_does_not_matter_leaves_all_or_nothing() {
        assert_eq!(
            clipped(&SQUARE, &[Affine::constant(1.0).at_most(2.0)]).len(),
            4
        );
        assert!(clipped(&SQUARE, &[Affine::constant(3.0).at_most(2.0)]).is_empty());
    }

    #[test]
    fn moving_what_is_looked_at_moves_the_line() {
        let height = Affine::along([0.5, 0.0], [1.0, 0.0]).plus(2.0);
        assert!((height.moved([0.4, 0.0]).at([1.0, 0.0]) - 2.2).abs() < 1e-12);
        assert!((height.at_most(2.5).depth([1.0, 0.0]) - 1.0).abs() < 1e-12);
    }
}
