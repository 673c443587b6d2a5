//! Which shifts can be had together, read point by point off a maker's chart?
//!
//! A chart shows the picture's reach up against its reach aside. In fractions of
//! either reach alone, its first quarter runs from (1, 0), all aside, to (0, 1),
//! all up; straight lines join the points read. What is used of it in a direction
//! is the length of the shift over the length to the curve the same way.

/// The most points that a quarter of a chart is read at.
const POINTS_MAX: usize = 10;

/// The first quarter of a maker's chart, in fractions of the reach aside and up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    points: [[f64; 2]; POINTS_MAX],
    count: usize,
}

impl Curve {
    /// The most points that it is read at.
    pub const POINTS_MAX: usize = POINTS_MAX;

    /// A curve from (1, 0) to (0, 1) through points that turn from aside to up.
    ///
    /// `None` for fewer than two or more than ten points, other ends, a fraction
    /// outside 0 to 1 or not finite, or points that turn back: a direction would
    /// meet such a curve twice.
    pub fn new(points: &[[f64; 2]]) -> Option<Self> {
        let (first, last) = (points.first()?, points.last()?);
        let is_near =
            |[u, v]: [f64; 2], [x, y]: [f64; 2]| (u - x).abs() < 1e-9 && (v - y).abs() < 1e-9;
        let ends = is_near(*first, [1.0, 0.0]) && is_near(*last, [0.0, 1.0]);
        let inside = points.iter().flatten().all(|x| (0.0..=1.0).contains(x));
        let turns = (points.windows(2)).all(|pair| cross(pair[0], pair[1]) > 1e-9);
        if !(ends && inside && turns && points.len() <= POINTS_MAX) {
            return None;
        }
        let mut kept = [[0.0, 1.0]; POINTS_MAX];
        kept[..points.len()].copy_from_slice(points);
        Some(Self {
            points: kept,
            count: points.len(),
        })
    }

    /// Its points, from (1, 0) to (0, 1).
    pub fn points(&self) -> &[[f64; 2]] {
        &self.points[..self.count]
    }

    /// Up and aside exchanged.
    pub(super) fn exchanged(mut self) -> Self {
        let points = &mut self.points[..self.count];
        points.reverse();
        for point in points {
            point.reverse();
        }
        self
    }

    /// The part of the way to the curve that a pair of fractions takes.
    pub(super) fn norm(&self, u: f64, v: f64) -> f64 {
        if !(u.is_finite() && v.is_finite()) {
            return f64::INFINITY;
        }
        let at = [u, v];
        let piece = |pair: &&[[f64; 2]]| cross(pair[0], at) >= 0.0 && cross(at, pair[1]) >= 0.0;
        // (u, v) = norm (a + s (b − a)), so both crosses with b − a agree.
        let through = |pair: &[[f64; 2]]| {
            let chord = [pair[1][0] - pair[0][0], pair[1][1] - pair[0][1]];
            cross(at, chord) / cross(pair[0], chord)
        };
        (self.points().windows(2)).find(piece).map_or(0.0, through)
    }

    /// The greatest fraction up when the one aside is `u`, 0 to 1.
    pub(super) fn rest(&self, u: f64) -> f64 {
        let at = |pair: &[[f64; 2]]| {
            let ([a, from], [b, to]) = (pair[0], pair[1]);
            let (low, high) = (a.min(b), a.max(b));
            if !(low..=high).contains(&u) {
                return None;
            }
            let part = if high > low { (u - a) / (b - a) } else { 1.0 };
            Some(if high > low {
                from + part * (to - from)
            } else {
                from.max(to)
            })
        };
        (self.points().windows(2))
            .filter_map(at)
            .fold(0.0, f64::max)
    }
}

fn cross([ax, ay]: [f64; 2], [bx, by]: [f64; 2]) -> f64 {
    ax * by - ay * bx
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Read off a chart: full reach up as far as 30 % aside, then a straight line down.
    const CHART: [[f64; 2]; 3] = [[1.0, 0.0], [0.3, 1.0], [0.0, 1.0]];

    #[test]
    fn a_straight_chart_is_the_diamond() {
        let diamond = Curve::new(&[[1.0, 0.0], [0.0, 1.0]]).unwrap();
        // The worked value of the diamond: 30/60 with 10/25 is 0.900.
        assert!((diamond.norm(0.4, 0.5) - 0.9).abs() < 1e-12);
        assert!((diamond.rest(0.4) - 0.6).abs() < 1e-12);
    }

    #[test]
    fn a_chart_is_used_along_its_own_direction() {
        let chart = Curve::new(&CHART).unwrap();
        // Straight up and up to 30 % aside the top line counts: v alone.
        assert!((chart.norm(0.1, 0.8) - 0.8).abs() < 1e-12);
        // On the slant: the point half way down it is on the curve.
        assert!((chart.norm(0.65, 0.5) - 1.0).abs() < 1e-12);
        assert!((chart.rest(0.65) - 0.5).abs() < 1e-12);
        assert!((chart.exchanged().rest(0.5) - 0.65).abs() < 1e-12);
    }

    #[test]
    fn charts_that_are_none_are_refused() {
        let bad: [&[[f64; 2]]; 5] = [
            &[],
            &[[1.0, 0.0]],
            &[[0.9, 0.0], [0.0, 1.0]],
            &[[1.0, 0.0], [0.2, 0.9], [0.3, 0.8], [0.0, 1.0]],
            &[[1.0, 0.0], [f64::NAN, 0.5], [0.0, 1.0]],
        ];
        for points in bad {
            assert_eq!(Curve::new(points), None, "{points:?}");
        }
    }
}
