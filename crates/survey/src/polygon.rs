//! Do two walls of the room cross, and does a diagonal stay inside?

/// Twice the signed area: negative for a clockwise walk.
pub(crate) fn doubled_area(corners: &[[f64; 2]]) -> f64 {
    (0..corners.len())
        .map(|i| cross(corners[i], corners[(i + 1) % corners.len()]))
        .sum()
}

/// The first two walls that meet anywhere but at a corner they share.
pub(crate) fn crossing_walls(corners: &[[f64; 2]]) -> Option<[usize; 2]> {
    let n = corners.len();
    let wall = |i: usize| [corners[i], corners[(i + 1) % n]];
    for first in 0..n {
        for second in first + 1..n {
            let meet = if second == first + 1 {
                folds_back(wall(first), wall(second))
            } else if (second + 1) % n == first {
                folds_back(wall(second), wall(first))
            } else {
                touch(wall(first), wall(second))
            };
            if meet {
                return Some([first, second]);
            }
        }
    }
    None
}

/// Whether the straight line between two corners runs inside the room.
pub(crate) fn sees(corners: &[[f64; 2]], from: usize, to: usize) -> bool {
    let n = corners.len();
    let sight = [corners[from], corners[to]];
    let blocked = (0..n)
        .filter(|&i| ![from, to].contains(&i) && ![from, to].contains(&((i + 1) % n)))
        .any(|i| touch(sight, [corners[i], corners[(i + 1) % n]]));
    let middle = [
        (sight[0][0] + sight[1][0]) / 2.0,
        (sight[0][1] + sight[1][1]) / 2.0,
    ];
    !blocked && inside(corners, middle)
}

fn inside(corners: &[[f64; 2]], point: [f64; 2]) -> bool {
    let n = corners.len();
    let crossed = (0..n).filter(|&i| {
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        (a[1] > point[1]) != (b[1] > point[1])
            && point[0] < a[0] + (point[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    crossed.count() % 2 == 1
}

/// Whether the second wall runs back along the first from the corner they share.
fn folds_back(first: [[f64; 2]; 2], second: [[f64; 2]; 2]) -> bool {
    let (a, b) = (minus(first[1], first[0]), minus(second[1], second[0]));
    let along = a[0] * b[0] + a[1] * b[1];
    // One nanoradian: less than any tape can tell from flat.
    along < 0.0 && cross(a, b).abs() <= 1e-9 * along.abs()
}

fn touch(a: [[f64; 2]; 2], b: [[f64; 2]; 2]) -> bool {
    let side = |line: [[f64; 2]; 2], p: [f64; 2]| cross(minus(line[1], line[0]), minus(p, line[0]));
    let within = |line: [[f64; 2]; 2], p: [f64; 2]| {
        (0..2).all(|axis| {
            let (low, high) = (
                line[0][axis].min(line[1][axis]),
                line[0][axis].max(line[1][axis]),
            );
            (low..=high).contains(&p[axis])
        })
    };
    let (a0, a1) = (side(b, a[0]), side(b, a[1]));
    let (b0, b1) = (side(a, b[0]), side(a, b[1]));
    ((a0 > 0.0) != (a1 > 0.0)
        && (b0 > 0.0) != (b1 > 0.0)
        && [a0, a1, b0, b1].iter().all(|s| *s != 0.0))
        || (a0 == 0.0 && within(b, a[0]))
        || (a1 == 0.0 && within(b, a[1]))
        || (b0 == 0.0 && within(a, b[0]))
        || (b1 == 0.0 && within(a, b[1]))
}

fn minus(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    const L: [[f64; 2]; 6] = [
        [0.0, 0.0],
        [6.0, 0.0],
        [6.0, -3.0],
        [3.0, -3.0],
        [3.0, -5.0],
        [0.0, -5.0],
    ];

    #[test]
    fn a_bow_tie_crosses_itself() {
        let bow_tie = [[0.0, 0.0], [2.0, -2.0], [2.0, 0.0], [0.0, -2.0]];
        assert_eq!(crossing_walls(&bow_tie), Some([0, 2]));
    }

    #[test]
    fn an_l_shape_does_not_cross_itself() {
        assert_eq!(crossing_walls(&L), None);
        assert_eq!(doubled_area(&L), -48.0);
    }

    #[test]
    fn a_wall_that_runs_back_on_itself_crosses() {
        let spike = [[0.0, 0.0], [4.0, 0.0], [1.0, 0.0], [1.0, -3.0]];
        assert_eq!(crossing_walls(&spike), Some([0, 1]));
    }

    #[test]
    fn the_inner_corner_hides_the_far_leg() {
        assert!(sees(&L, 0, 3));
        assert!(!sees(&L, 2, 4));
    }
}
