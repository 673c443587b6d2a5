//! Which part of the picture does a thing in the beam darken?
//!
//! Each point P of the thing is thrown from the lens L onto the picture's plane at
//! L + (P − L) D/d, D the throw and d the way of P from the lens towards the picture. The
//! shadow of a convex thing is the hull of the shadows of its corners, cut to the picture.
//! Valid for a point lens and a thing that is wholly between lens and picture.

use crate::beam::Pyramid;
use crate::domain::finite;
use crate::vector::{self, Point};

/// Nearer to the lens than this a shadow has no edge, m.
const BEFORE_LENS_M: f64 = 0.01;

/// The part of a picture that a thing darkens.
#[derive(Clone, Debug, PartialEq)]
pub struct Shadow {
    /// Share of the picture's area, 0 to 1.
    pub part: f64,
    /// From where to where it reaches across, in shares of the width from the left.
    pub across: [f64; 2],
    /// From where to where it reaches up, in shares of the height from the lower edge.
    pub up: [f64; 2],
    /// Its corners, anticlockwise as a viewer sees them: shares of the width from the left and
    /// of the height from the lower edge.
    pub outline: Vec<[f64; 2]>,
}

impl Pyramid {
    /// The shadow of a convex thing by its corners; `None` where it darkens nothing, a corner
    /// is not before the lens or a number is not finite.
    pub fn shadow(self, corners_m: &[Point]) -> Option<Shadow> {
        let [top_left, top_right, _, bottom_left] = self.corners();
        let (right, up) = (
            vector::sub(top_right, top_left),
            vector::sub(top_left, bottom_left),
        );
        let (lens, normal) = (self.lens(), self.normal());
        let mut thrown = Vec::with_capacity(corners_m.len());
        for corner in corners_m {
            let way = vector::sub(*corner, lens);
            let before = finite(-vector::dot(way, normal))?;
            if before < BEFORE_LENS_M {
                return None;
            }
            let at = vector::add(lens, vector::scale(way, self.throw().0 / before));
            let from_corner = vector::sub(at, bottom_left);
            let share = |side: Point| vector::dot(from_corner, side) / vector::dot(side, side);
            thrown.push([share(right), share(up)]);
        }
        let mut outline = hull(thrown);
        for (axis, end, sign) in [(0, 0.0, 1.0), (0, 1.0, -1.0), (1, 0.0, 1.0), (1, 1.0, -1.0)] {
            outline = cut(&outline, |p| sign * (p[axis] - end));
        }
        let part = area(&outline);
        let reach = |axis: usize| {
            let ends = [f64::INFINITY, f64::NEG_INFINITY];
            (outline.iter()).fold(ends, |[low, high], p| [low.min(p[axis]), high.max(p[axis])])
        };
        let (across, up) = (reach(0), reach(1));
        (part > 0.0).then_some(Shadow {
            part,
            across,
            up,
            outline,
        })
    }
}

type Flat = [f64; 2];

fn turn([ax, ay]: Flat, [bx, by]: Flat, [cx, cy]: Flat) -> f64 {
    (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
}

/// The convex hull, anticlockwise.
fn hull(mut points: Vec<Flat>) -> Vec<Flat> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let chain = |points: &mut dyn Iterator<Item = Flat>| {
        let mut kept: Vec<Flat> = Vec::new();
        for point in points {
            while kept.len() > 1 && turn(kept[kept.len() - 2], kept[kept.len() - 1], point) <= 0.0 {
                kept.pop();
            }
            kept.push(point);
        }
        kept.pop();
        kept
    };
    let lower = chain(&mut points.iter().copied());
    let upper = chain(&mut points.iter().rev().copied());
    [lower, upper].concat()
}

/// The part of a convex outline where `inside` is not negative.
fn cut(outline: &[Flat], inside: impl Fn(Flat) -> f64) -> Vec<Flat> {
    let mut kept = Vec::new();
    for (at, here) in outline.iter().enumerate() {
        let next = outline[(at + 1) % outline.len()];
        let (a, b) = (inside(*here), inside(next));
        if a >= 0.0 {
            kept.push(*here);
        }
        if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
            let part = a / (a - b);
            kept.push([0, 1].map(|k| here[k] + (next[k] - here[k]) * part));
        }
    }
    kept
}

fn area(outline: &[Flat]) -> f64 {
    (0..outline.len())
        .map(|at| {
            let ([ax, ay], [bx, by]) = (outline[at], outline[(at + 1) % outline.len()]);
            (ax * by - ay * bx) / 2.0
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use units::{Metres, Radians};

    use super::*;
    use crate::{Aspect, Picture, PictureSize, Pose};

    /// A picture 1.6 × 0.9 m with its middle 1.3 m up, the lens 4 m before it at 1.75 m.
    fn beam() -> Pyramid {
        let size = PictureSize::from_width(Metres(1.6), Aspect::TELEVISION).unwrap();
        let pose = Pose {
            centre_m: [0.0, 0.0, 1.3],
            facing: Radians(0.0),
            tilt: Radians(0.0),
        };
        Pyramid::new([4.0, 0.0, 1.75], Picture::new(size, pose).unwrap()).unwrap()
    }

    #[test]
    fn a_plate_half_way_throws_a_shadow_twice_as_large() {
        // Half way, 0.2 wide and from 1.4 to 1.6 high: on the picture 0.4 wide, from
        // 1.75 − 2 × 0.35 = 1.05 to 1.75 − 2 × 0.15 = 1.45: of 0.85 to 1.75 m.
        let plate = [
            [2.0, -0.1, 1.4],
            [2.0, 0.1, 1.4],
            [2.0, 0.1, 1.6],
            [2.0, -0.1, 1.6],
        ];
        let shadow = beam().shadow(&plate).unwrap();
        assert!((shadow.part - 0.4 * 0.4 / (1.6 * 0.9)).abs() < 1e-12);
        assert!(
            (shadow.across[0] - 0.375).abs() < 1e-12 && (shadow.across[1] - 0.625).abs() < 1e-12
        );
        assert!(
            (shadow.up[0] - 0.2 / 0.9).abs() < 1e-12 && (shadow.up[1] - 0.6 / 0.9).abs() < 1e-12
        );
        assert_eq!(shadow.outline.len(), 4);
        assert!((area(&shadow.outline) - shadow.part).abs() < 1e-12);
    }

    #[test]
    fn what_stands_beside_the_beam_or_behind_the_lens_throws_none() {
        let beside = [[2.0, 0.9, 1.0], [2.0, 1.0, 1.0], [2.0, 1.0, 2.0]];
        assert_eq!(beam().shadow(&beside), None);
        let behind = [[4.5, -0.1, 1.0], [4.5, 0.1, 1.0], [4.5, 0.1, 2.0]];
        assert_eq!(beam().shadow(&behind), None);
    }

    #[test]
    fn what_covers_the_whole_picture_darkens_all_of_it() {
        let board = [
            [1.0, -2.0, 0.0],
            [1.0, 2.0, 0.0],
            [1.0, 2.0, 3.0],
            [1.0, -2.0, 3.0],
        ];
        let shadow = beam().shadow(&board).unwrap();
        assert!((shadow.part - 1.0).abs() < 1e-12);
        assert_eq!([shadow.across, shadow.up], [[0.0, 1.0]; 2]);
    }
}
