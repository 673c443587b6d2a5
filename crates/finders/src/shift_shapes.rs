//! The outline of what a lens can shift, laid over the plan.

use crate::half_plane::{Affine, HalfPlane};
use crate::region::Shape;

/// The shifts that a lens can set, as places: outside its hull, and in what a curve that
/// bends inwards leaves between the hull and itself.
pub(crate) fn shift_shapes(outline: &[[f64; 2]], right: Affine, up: Affine) -> Vec<Shape> {
    let hull = hull(outline);
    // On the left of each piece of an anticlockwise outline.
    let side = |a: [f64; 2], b: [f64; 2]| {
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        right
            .plus(-a[0])
            .times(-dy)
            .minus(up.plus(-a[1]).times(-dx))
            .at_least(0.0)
    };
    let round = |ring: &[[f64; 2]]| -> Vec<HalfPlane> {
        (0..ring.len())
            .map(|at| side(ring[at], ring[(at + 1) % ring.len()]))
            .collect()
    };
    let mut shapes = vec![Shape::Outside(round(&hull))];
    for pocket in pockets(outline, &hull) {
        shapes.push(Shape::Inside(round(&pocket)));
    }
    shapes
}

/// The convex hull of an anticlockwise outline, anticlockwise.
fn hull(outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut points = outline.to_vec();
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turn = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| {
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    };
    let chain = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut kept: Vec<[f64; 2]> = Vec::new();
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

/// Triangles between an outline that bends inwards and its hull.
fn pockets(outline: &[[f64; 2]], hull: &[[f64; 2]]) -> Vec<Vec<[f64; 2]>> {
    let count = outline.len();
    let Some(first) = outline.iter().position(|point| hull.contains(point)) else {
        return Vec::new();
    };
    let mut pockets = Vec::new();
    let mut from = first;
    for step in 1..=count {
        let at = (first + step) % count;
        if !hull.contains(&outline[at]) {
            continue;
        }
        // Between two corners of the hull the curve sags: fans of triangles from the first.
        let between: Vec<[f64; 2]> = (0..)
            .map(|k| (from + k) % count)
            .take_while(|k| *k != at)
            .map(|k| outline[k])
            .chain([outline[at]])
            .collect();
        pockets.extend(ears(&between));
        from = at;
    }
    pockets
}

/// Cuts an outline, clockwise along the curve and back along the hull, into triangles.
fn ears(curve: &[[f64; 2]]) -> Vec<Vec<[f64; 2]>> {
    let mut ring: Vec<[f64; 2]> = curve.iter().rev().copied().collect();
    let turn = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| {
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    };
    let mut triangles = Vec::new();
    while ring.len() > 2 {
        let count = ring.len();
        let ear = (0..count).find(|at| {
            let [a, b, c] = [*at, at + 1, at + 2].map(|k| ring[k % count]);
            let others =
                (0..count).filter(|k| ![*at, (at + 1) % count, (at + 2) % count].contains(k));
            let holds =
                |p: [f64; 2]| turn(a, b, p) > 0.0 && turn(b, c, p) > 0.0 && turn(c, a, p) > 0.0;
            turn(a, b, c) > 1e-15 && others.map(|k| ring[k]).all(|p| !holds(p))
        });
        let Some(at) = ear else { break };
        triangles.push([at, at + 1, at + 2].map(|k| ring[k % count]).to_vec());
        ring.remove((at + 1) % count);
    }
    triangles
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_that_bends_inwards_leaves_pockets_of_the_missing_area() {
        // A square of side 2 with one corner pulled in to (0.2, 0.2).
        let outline = [
            [-1.0, -1.0],
            [1.0, -1.0],
            [1.0, 0.0],
            [0.2, 0.2],
            [0.0, 1.0],
            [-1.0, 1.0],
        ];
        let hull = hull(&outline);
        assert_eq!(hull.len(), 5);
        let area = |ring: &[[f64; 2]]| crate::half_plane::area_m2(ring);
        let missing: f64 = pockets(&outline, &hull).iter().map(|ring| area(ring)).sum();
        assert!((area(&hull) - area(&outline) - missing).abs() < 1e-12);
    }
}
