//! A flat outline with holes, cut into triangles by ear clipping.
//!
//! Every corner of the outline is a corner of a triangle, also one in the middle of a straight
//! edge: neighbouring faces then share whole edges. Ears are chosen by their shape, the least
//! pointed first, so that fewer slivers come out.

use crate::room::{cross, dot, norm, ring_normal, sub, unit};

/// Triangles that fill `rings[0]` less the other rings; `None` if an outline crosses itself.
pub(crate) fn triangulate(rings: &[Vec<[f64; 3]>]) -> Option<Vec<[[f64; 3]; 3]>> {
    let n = unit(ring_normal(&rings[0]));
    // Drop the coordinate along which the face is seen most squarely; keep the turning sense.
    let widest = (0..3).max_by(|a, b| n[*a].abs().total_cmp(&n[*b].abs()))?;
    let (u, v) = ((widest + 1) % 3, (widest + 2) % 3);
    let sign = n[widest].signum();
    let flat = |p: &[f64; 3]| {
        if sign > 0.0 {
            [p[u], p[v]]
        } else {
            [p[v], p[u]]
        }
    };
    let points: Vec<[f64; 3]> = rings.iter().flatten().copied().collect();
    let plane: Vec<[f64; 2]> = points.iter().map(flat).collect();
    let outline = with_holes_joined(rings, &plane)?;
    let ears = clip_ears(outline, &plane)?;
    let triangles: Vec<[[f64; 3]; 3]> =
        ears.into_iter().map(|ear| ear.map(|i| points[i])).collect();
    let area = |t: &[[f64; 3]; 3]| 0.5 * norm(cross(sub(t[1], t[0]), sub(t[2], t[0])));
    let sum: f64 = triangles.iter().map(area).sum();
    let expected: f64 = rings.iter().map(|r| 0.5 * dot(ring_normal(r), n)).sum();
    ((sum - expected).abs() <= 1e-6 * expected.abs().max(1e-6)).then_some(triangles)
}

/// One outline of indices: each hole is joined by a bridge walked there and back.
fn with_holes_joined(rings: &[Vec<[f64; 3]>], plane: &[[f64; 2]]) -> Option<Vec<usize>> {
    let mut start = 0;
    let mut all: Vec<Vec<usize>> = Vec::new();
    for ring in rings {
        all.push((start..start + ring.len()).collect());
        start += ring.len();
    }
    let mut outline = all[0].clone();
    let mut holes: Vec<Vec<usize>> = all[1..].to_vec();
    // The hole that reaches furthest right first: its bridge then can't meet another hole.
    let right = |hole: &Vec<usize>| hole.iter().map(|i| plane[*i][0]).fold(f64::MIN, f64::max);
    holes.sort_by(|a, b| right(b).total_cmp(&right(a)));
    for hole in holes {
        let mut bridges: Vec<(f64, usize, usize)> = Vec::new();
        for (k, &h) in hole.iter().enumerate() {
            for (j, &o) in outline.iter().enumerate() {
                let d = (plane[h][0] - plane[o][0]).hypot(plane[h][1] - plane[o][1]);
                bridges.push((d, j, k));
            }
        }
        bridges.sort_by(|a, b| a.0.total_cmp(&b.0));
        let rings = [outline.clone(), hole.clone()];
        let (_, j, k) = bridges.into_iter().find(|(_, j, k)| {
            let (a, b) = (plane[outline[*j]], plane[hole[*k]]);
            !rings.iter().any(|ring| {
                (0..ring.len()).any(|i| {
                    let (c, d) = (plane[ring[i]], plane[ring[(i + 1) % ring.len()]]);
                    crosses(a, b, c, d)
                })
            })
        })?;
        let mut joined = outline[..=j].to_vec();
        joined.extend(hole[k..].iter().chain(&hole[..=k]));
        joined.extend(&outline[j..]);
        outline = joined;
    }
    Some(outline)
}

/// Twice the signed area of a triangle.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Do two segments cross at inner points of both?
fn crosses(a: [f64; 2], b: [f64; 2], c: [f64; 2], d: [f64; 2]) -> bool {
    turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
}

fn clip_ears(mut outline: Vec<usize>, plane: &[[f64; 2]]) -> Option<Vec<[usize; 3]>> {
    let mut ears = Vec::new();
    while outline.len() > 3 {
        let n = outline.len();
        let quality = |i: usize| {
            let ear = [outline[(i + n - 1) % n], outline[i], outline[(i + 1) % n]];
            let [a, b, c] = ear.map(|k| plane[k]);
            let twice = turn(a, b, c);
            let longest = [(a, b), (b, c), (c, a)]
                .iter()
                .map(|(p, q)| (p[0] - q[0]).powi(2) + (p[1] - q[1]).powi(2))
                .fold(0.0, f64::max);
            let shape = twice / longest;
            // A corner in a straight edge is no ear yet: it belongs to a neighbouring one.
            if shape.is_nan() || shape <= 1e-9 {
                return None;
            }
            let empty = outline.iter().all(|k| {
                let p = plane[*k];
                let inside =
                    turn(a, b, p) >= -1e-12 && turn(b, c, p) >= -1e-12 && turn(c, a, p) >= -1e-12;
                !inside || ear.iter().any(|e| plane[*e] == p)
            });
            empty.then_some(shape)
        };
        let best = (0..n)
            .filter_map(|i| quality(i).map(|q| (q, i)))
            .max_by(|x, y| x.0.total_cmp(&y.0).then(y.1.cmp(&x.1)))?;
        let i = best.1;
        ears.push([outline[(i + n - 1) % n], outline[i], outline[(i + 1) % n]]);
        outline.remove(i);
    }
    ears.push([outline[0], outline[1], outline[2]]);
    Some(ears)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(triangles: &[[[f64; 3]; 3]]) -> f64 {
        triangles
            .iter()
            .map(|t| 0.5 * norm(cross(sub(t[1], t[0]), sub(t[2], t[0]))))
            .sum()
    }

    #[test]
    fn an_l_with_a_corner_in_a_straight_edge_is_filled() {
        let ring = [
            [0.0, 0.0],
            [4.0, 0.0],
            [7.0, 0.0],
            [7.0, 3.0],
            [4.0, 3.0],
            [4.0, 5.0],
            [0.0, 5.0],
        ];
        let ring: Vec<[f64; 3]> = ring.iter().map(|p| [p[0], 2.0, p[1]]).collect();
        let triangles = triangulate(std::slice::from_ref(&ring)).expect("simple");
        assert!((area(&triangles) - 29.0).abs() < 1e-12);
        assert_eq!(triangles.len(), 5);
        for corner in ring {
            assert!(triangles.iter().flatten().any(|p| *p == corner));
        }
    }

    #[test]
    fn two_windows_are_left_out() {
        let rect = |x: f64, y: f64, w: f64, h: f64| {
            vec![
                [x, y, 0.0],
                [x + w, y, 0.0],
                [x + w, y + h, 0.0],
                [x, y + h, 0.0],
            ]
        };
        let reversed = |mut ring: Vec<[f64; 3]>| {
            ring.reverse();
            ring
        };
        let rings = [
            rect(0.0, 0.0, 5.0, 2.5),
            reversed(rect(1.0, 1.0, 1.0, 1.0)),
            reversed(rect(3.0, 0.5, 1.2, 1.5)),
        ];
        let triangles = triangulate(&rings).expect("simple");
        assert!((area(&triangles) - (12.5 - 1.0 - 1.8)).abs() < 1e-12);
    }

    #[test]
    fn a_crossing_outline_is_refused() {
        let ring = vec![
            [0.0, 0.0, 0.0],
            [2.0, 2.0, 0.0],
            [2.0, 0.0, 0.0],
            [0.0, 3.0, 0.0],
        ];
        assert_eq!(triangulate(&[ring]), None);
    }
}
