//! Where does the outer face of a wall lie?

use crate::paper::{Point, point};

/// Twice the signed area; positive when the corners run clockwise on paper (y down).
pub(crate) fn doubled_area(polygon: &[Point]) -> f64 {
    polygon
        .iter()
        .enumerate()
        .map(|(i, p)| p.cross(polygon[(i + 1) % polygon.len()]))
        .sum()
}

/// The polygon with each side moved outwards by `by` and its corners mitred; corners keep their order.
pub(crate) fn offset_polygon(polygon: &[Point], by: f64) -> Vec<Point> {
    offset_sides(polygon, &vec![by; polygon.len()])
}

/// Like [`offset_polygon`], with a distance for each side (side `i` runs from corner `i` to the next).
pub(crate) fn offset_sides(polygon: &[Point], by: &[f64]) -> Vec<Point> {
    let n = polygon.len();
    let outward = if doubled_area(polygon) > 0.0 {
        1.0
    } else {
        -1.0
    };
    let normal = |i: usize| {
        let along = (polygon[(i + 1) % n] - polygon[i]).unit();
        point(along.y, -along.x) * outward
    };
    (0..n)
        .map(|i| {
            let before = (i + n - 1) % n;
            let (a, b) = (normal(before), normal(i));
            let det = a.cross(b);
            // Sides in one line share a normal: any corner between them serves.
            if det.abs() < 1e-6 {
                return polygon[i] + b * by[i];
            }
            let mitre = point(
                by[before] * b.y - by[i] * a.y,
                by[i] * a.x - by[before] * b.x,
            ) * (1.0 / det);
            // A very sharp corner would send its mitre across the sheet.
            let longest = 3.0 * by[before].max(by[i]);
            polygon[i]
                + if mitre.length() > longest {
                    mitre.unit() * longest
                } else {
                    mitre
                }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_grows_on_all_sides_whichever_way_it_runs() {
        let mut square = vec![
            point(0.0, 0.0),
            point(4.0, 0.0),
            point(4.0, 4.0),
            point(0.0, 4.0),
        ];
        assert_eq!(offset_polygon(&square, 1.0)[0], point(-1.0, -1.0));
        square.reverse();
        assert_eq!(offset_polygon(&square, 1.0)[3], point(-1.0, -1.0));
    }
}
