//! Where is something on the paper?
//!
//! Points are in millimetres of paper, x to the right and y down, as in SVG.

use std::ops::{Add, Mul, Sub};

/// A point or a vector on the paper, in millimetres, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right, mm.
    pub x: f64,
    /// Down, mm.
    pub y: f64,
}

/// The point `(x, y)` in millimetres of paper.
pub const fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

impl Add for Point {
    type Output = Point;
    fn add(self, other: Point) -> Point {
        point(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Point;
    fn sub(self, other: Point) -> Point {
        point(self.x - other.x, self.y - other.y)
    }
}

impl Mul<f64> for Point {
    type Output = Point;
    fn mul(self, factor: f64) -> Point {
        point(self.x * factor, self.y * factor)
    }
}

impl Point {
    pub(crate) fn dot(self, other: Point) -> f64 {
        self.x * other.x + self.y * other.y
    }

    pub(crate) fn cross(self, other: Point) -> f64 {
        self.x * other.y - self.y * other.x
    }

    pub(crate) fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// The unit vector, or x when the length is nothing.
    pub(crate) fn unit(self) -> Point {
        let length = self.length();
        if length < 1e-12 {
            point(1.0, 0.0)
        } else {
            self * (1.0 / length)
        }
    }

    /// Turned by `angle_rad`, clockwise as seen on paper because y is down.
    pub(crate) fn turned(self, angle_rad: f64) -> Point {
        let (sin, cos) = angle_rad.sin_cos();
        point(self.x * cos - self.y * sin, self.x * sin + self.y * cos)
    }
}

/// An upright rectangle on the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Upper left corner.
    pub min: Point,
    /// Lower right corner.
    pub max: Point,
}

impl Bounds {
    /// The rectangle with these two opposite corners.
    pub fn new(a: Point, b: Point) -> Bounds {
        Bounds {
            min: point(a.x.min(b.x), a.y.min(b.y)),
            max: point(a.x.max(b.x), a.y.max(b.y)),
        }
    }

    /// The smallest rectangle round the points; `None` without points.
    pub fn of(points: impl IntoIterator<Item = Point>) -> Option<Bounds> {
        let mut points = points.into_iter();
        let first = points.next()?;
        Some(points.fold(Bounds::new(first, first), |b, p| b.with(p)))
    }

    pub(crate) fn centred(centre: Point, width: f64, height: f64) -> Bounds {
        let half = point(width / 2.0, height / 2.0);
        Bounds {
            min: centre - half,
            max: centre + half,
        }
    }

    pub(crate) fn with(self, p: Point) -> Bounds {
        Bounds {
            min: point(self.min.x.min(p.x), self.min.y.min(p.y)),
            max: point(self.max.x.max(p.x), self.max.y.max(p.y)),
        }
    }

    pub(crate) fn joined(self, other: Bounds) -> Bounds {
        self.with(other.min).with(other.max)
    }

    pub(crate) fn grown(self, by: f64) -> Bounds {
        Bounds {
            min: self.min - point(by, by),
            max: self.max + point(by, by),
        }
    }

    /// Width in mm.
    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }

    /// Height in mm.
    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }

    /// The middle.
    pub fn centre(&self) -> Point {
        (self.min + self.max) * 0.5
    }

    pub(crate) fn covers(&self, other: &Bounds) -> bool {
        self.min.x <= other.min.x + 1e-9
            && self.min.y <= other.min.y + 1e-9
            && self.max.x >= other.max.x - 1e-9
            && self.max.y >= other.max.y - 1e-9
    }

    pub(crate) fn meets(&self, other: &Bounds) -> bool {
        self.min.x < other.max.x
            && other.min.x < self.max.x
            && self.min.y < other.max.y
            && other.min.y < self.max.y
    }

    /// The point of the rectangle that is nearest to `p`.
    pub(crate) fn nearest(&self, p: Point) -> Point {
        // A rectangle shrunk to a line may end a rounding error before it starts, which `clamp` does not bear.
        point(
            p.x.max(self.min.x).min(self.max.x),
            p.y.max(self.min.y).min(self.max.y),
        )
    }

    pub(crate) fn quad(&self) -> Quad {
        Quad([
            self.min,
            point(self.max.x, self.min.y),
            self.max,
            point(self.min.x, self.max.y),
        ])
    }
}

/// A convex four-sided shape: the box of a text that may be turned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quad(pub [Point; 4]);

impl Quad {
    /// The upright rectangle round it.
    pub fn bounds(&self) -> Bounds {
        Bounds::of(self.0).expect("a quad has four corners")
    }

    /// Whether the insides overlap by more than `slack` mm (separating axes).
    pub fn overlaps(&self, other: &Quad, slack: f64) -> bool {
        // Most pairs lie far apart: their upright boxes say so at once.
        let (a, b) = (extent(&self.0), extent(&other.0));
        if (0..2).any(|axis| a[axis][1] < b[axis][0] || b[axis][1] < a[axis][0]) {
            return false;
        }
        let parted = |a: &Quad, b: &Quad| {
            (0..4).any(|i| {
                let edge = a.0[(i + 1) % 4] - a.0[i];
                let axis = point(-edge.y, edge.x).unit();
                let span = |q: &Quad| {
                    q.0.iter()
                        .map(|p| p.dot(axis))
                        .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
                            (lo.min(v), hi.max(v))
                        })
                };
                let ((a_lo, a_hi), (b_lo, b_hi)) = (span(a), span(b));
                a_hi - slack <= b_lo || b_hi - slack <= a_lo
            })
        };
        !parted(self, other) && !parted(other, self)
    }

    /// Whether the segment from `a` to `b` passes through the inside.
    pub(crate) fn struck(&self, a: Point, b: Point) -> bool {
        let (box_of, line) = (extent(&self.0), extent(&[a, b]));
        if (0..2).any(|axis| box_of[axis][1] < line[axis][0] || line[axis][1] < box_of[axis][0]) {
            return false;
        }
        // Clip the segment against the four edges; what is left is inside. The corners run clockwise on paper.
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let along = b - a;
        for i in 0..4 {
            let edge = self.0[(i + 1) % 4] - self.0[i];
            let (here, change) = (edge.cross(a - self.0[i]), edge.cross(along));
            if change.abs() < 1e-12 {
                if here <= 1e-9 {
                    return false;
                }
            } else if change > 0.0 {
                from = from.max(-here / change);
            } else {
                to = to.min(-here / change);
            }
        }
        to - from > 1e-9
    }
}

/// Least and greatest x, and y, of some points.
fn extent(points: &[Point]) -> [[f64; 2]; 2] {
    let mut found = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
    for p in points {
        for (span, v) in found.iter_mut().zip([p.x, p.y]) {
            *span = [span[0].min(v), span[1].max(v)];
        }
    }
    found
}

/// Whether two segments cross.
pub(crate) fn segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    side(a, b, c) * side(a, b, d) < -1e-9 && side(c, d, a) * side(c, d, b) < -1e-9
}

/// The parts of parallel lines inside a polygon (even-odd), `spacing` apart, turned by `angle_rad`.
///
/// The lines pass through the paper's origin when `first` is 0, so that neighbouring areas continue each other.
pub(crate) fn lines_inside(
    polygon: &[Point],
    angle_rad: f64,
    spacing: f64,
    first: f64,
) -> Vec<(Point, Point)> {
    let turned: Vec<Point> = polygon.iter().map(|p| p.turned(-angle_rad)).collect();
    let Some(bounds) = Bounds::of(turned.iter().copied()) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let mut step = ((bounds.min.y - first) / spacing).ceil();
    while first + step * spacing < bounds.max.y {
        let y = first + step * spacing;
        step += 1.0;
        let mut crossings: Vec<f64> = Vec::new();
        for (i, a) in turned.iter().enumerate() {
            let b = turned[(i + 1) % turned.len()];
            if (a.y <= y) != (b.y <= y) {
                crossings.push(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
            }
        }
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            if pair[1] - pair[0] > 0.05 {
                found.push((
                    point(pair[0], y).turned(angle_rad),
                    point(pair[1], y).turned(angle_rad),
                ));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn touching_boxes_do_not_overlap() {
        let a = Bounds::new(point(0.0, 0.0), point(10.0, 4.0)).quad();
        assert!(!a.overlaps(&Bounds::new(point(10.0, 0.0), point(20.0, 4.0)).quad(), 0.0));
        assert!(a.overlaps(&Bounds::new(point(9.9, 0.0), point(20.0, 4.0)).quad(), 0.0));
    }

    #[test]
    fn a_turned_box_is_parted_along_its_own_axis() {
        // Upright bounds overlap, the turned boxes do not.
        let a = Quad([
            point(0.0, 0.0),
            point(10.0, 10.0),
            point(9.0, 11.0),
            point(-1.0, 1.0),
        ]);
        let b = Bounds::new(point(6.0, 0.0), point(9.0, 4.0)).quad();
        assert!(a.bounds().meets(&b.bounds()));
        assert!(!a.overlaps(&b, 0.0));
    }

    #[test]
    fn a_segment_strikes_only_through_the_inside() {
        let q = Bounds::new(point(0.0, 0.0), point(10.0, 4.0)).quad();
        assert!(q.struck(point(-5.0, 2.0), point(15.0, 2.0)));
        assert!(q.struck(point(4.0, 1.0), point(5.0, 2.0)));
        assert!(!q.struck(point(-5.0, 5.0), point(15.0, 5.0)));
        assert!(!q.struck(point(-5.0, 0.0), point(15.0, 0.0)));
    }

    #[test]
    fn hatch_lines_of_a_square_add_up_to_its_area() {
        let square = [
            point(0.0, 0.0),
            point(20.0, 0.0),
            point(20.0, 20.0),
            point(0.0, 20.0),
        ];
        let lines = lines_inside(&square, std::f64::consts::FRAC_PI_4, 0.1, 0.0);
        let area: f64 = lines.iter().map(|(a, b)| (*b - *a).length() * 0.1).sum();
        // The sum of strips is the midpoint rule; 0.5 % is its error at this spacing.
        assert!((area - 400.0).abs() < 2.0, "{area}");
    }
}
