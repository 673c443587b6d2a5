//! What is left of a room where nothing stops a thing, and what stops it at each edge.
//!
//! Stops are convex pieces of the plan, or what is outside one. Their union is taken off
//! the room by boolean operations; an edge of what is left belongs to the stop that a step
//! over it leads into.

use std::fmt;

use geo::{
    Area as _, BooleanOps, Coord, InteriorPoint as _, LineString, MultiPolygon, Polygon,
    unary_union,
};
use geometry::Point2;

use crate::half_plane::{HalfPlane, Point, area_m2, clipped};

/// A step over an edge, to see what is there, m.
const STEP_M: f64 = 1e-4;
/// Slivers that rounding leaves, m².
const SLIVER_M2: f64 = 1e-7;
/// Edges shorter than this are drawn together, m.
const EDGE_MIN_M: f64 = 1e-6;

/// What stops a thing.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stop {
    /// The check that refuses a step further.
    pub check: &'static str,
    /// A few words: "the zoom's wide end", "beam: seat left".
    pub label: String,
}

/// Its words and its check.
impl fmt::Display for Stop {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} ({})", self.label, self.check)
    }
}

impl Stop {
    /// Whether it is a stud, joist or block behind the board, which elevations show anyway.
    pub fn is_framing(&self) -> bool {
        matches!(self.check, "cutout-framing" | "cutout-fire-block")
    }
}

/// A stretch of the boundary.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Where it starts, m.
    pub from: Point2,
    /// Where it ends, m; what is allowed lies on its left.
    pub to: Point2,
    /// What stops a step over it; nothing where the region goes on in another piece.
    pub stop: Option<Stop>,
}

/// A connected part of the region.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its edge, anticlockwise, and the edges of its holes, clockwise.
    pub rings: Vec<Vec<Edge>>,
    /// Its area, m².
    pub area_m2: f64,
}

/// Where nothing stops a thing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// Connected parts, the largest first.
    pub parts: Vec<Part>,
}

impl Edge {
    /// How far a point is from it, m.
    pub fn distance_m(&self, point: Point2) -> f64 {
        distance(self.from, self.to, point)
    }
}

impl Region {
    /// Its area, m².
    pub fn area_m2(&self) -> f64 {
        self.parts.iter().map(|part| part.area_m2).sum()
    }

    /// Every edge.
    pub fn edges(&self) -> impl Iterator<Item = &Edge> {
        self.parts
            .iter()
            .flat_map(|part| part.rings.iter().flatten())
    }

    /// How far inside a point is, m; negative outside: the distance to the nearest edge.
    pub fn depth_m(&self, point: Point2) -> f64 {
        let mut crossings = false;
        let mut nearest = f64::INFINITY;
        for edge in self.edges() {
            let (a, b) = (edge.from, edge.to);
            if (a.y > point.y) != (b.y > point.y) {
                let x = a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x);
                crossings ^= x > point.x;
            }
            nearest = nearest.min(distance(a, b, point));
        }
        if crossings { nearest } else { -nearest }
    }

    /// The place that is farthest from every edge, and how far that is, m: the middle of the
    /// largest circle, to a tenth of a millimetre.
    pub fn roomiest(&self) -> Option<(Point2, f64)> {
        roomiest(self)
    }
}

fn distance(a: Point2, b: Point2, p: Point2) -> f64 {
    let (way, to) = ([b.x - a.x, b.y - a.y], [p.x - a.x, p.y - a.y]);
    let squared = way[0] * way[0] + way[1] * way[1];
    let part = if squared > 0.0 {
        ((to[0] * way[0] + to[1] * way[1]) / squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (to[0] - part * way[0]).hypot(to[1] - part * way[1])
}

/// Squares are halved, most promising first, until none can hold a larger circle.
fn roomiest(region: &Region) -> Option<(Point2, f64)> {
    const FINE_M: f64 = 1e-4;
    const SQUARES_MAX: usize = 4000;
    let ends = |edge: &Edge| [edge.from, edge.to];
    let points: Vec<Point2> = region.edges().flat_map(ends).collect();
    let fold = |pick: fn(&Point2) -> f64| {
        let values = || points.iter().map(pick);
        [
            values().fold(f64::INFINITY, f64::min),
            values().fold(f64::NEG_INFINITY, f64::max),
        ]
    };
    let ([left, right], [low, high]) = (fold(|p| p.x), fold(|p| p.y));
    if points.is_empty() {
        return None;
    }
    let half = (right - left).max(high - low) / 2.0;
    let middle = Point2::new((left + right) / 2.0, (low + high) / 2.0);
    let square = |middle: Point2, half: f64| {
        let depth = region.depth_m(middle);
        (depth + half * std::f64::consts::SQRT_2, depth, middle, half)
    };
    let mut waiting = vec![square(middle, half)];
    let mut best = (middle, region.depth_m(middle));
    for _ in 0..SQUARES_MAX {
        let most = (0..waiting.len()).max_by(|a, b| waiting[*a].0.total_cmp(&waiting[*b].0));
        let Some(at) = most else { break };
        let (possible, _, middle, half) = waiting.swap_remove(at);
        if possible <= best.1 + FINE_M {
            break;
        }
        for (right, up) in [(-0.5, -0.5), (0.5, -0.5), (-0.5, 0.5), (0.5, 0.5)] {
            let quarter = square(
                Point2::new(middle.x + right * half, middle.y + up * half),
                half / 2.0,
            );
            if quarter.1 > best.1 {
                best = (quarter.2, quarter.1);
            }
            waiting.push(quarter);
        }
    }
    (best.1 > 0.0).then_some(best)
}

/// A piece of the plan in which something stops a thing.
#[derive(Clone, Debug)]
pub(crate) struct Barred {
    pub stop: usize,
    pub shape: Shape,
}

#[derive(Clone, Debug)]
pub(crate) enum Shape {
    /// Inside of all these sides it is stopped.
    Inside(Vec<HalfPlane>),
    /// Outside of any of these sides it is stopped.
    Outside(Vec<HalfPlane>),
}

impl Shape {
    /// How far inside of what is barred a point is, m.
    pub fn depth(&self, p: Point) -> f64 {
        let depths = |sides: &[HalfPlane]| {
            (sides.iter())
                .map(|side| side.depth(p))
                .fold(f64::INFINITY, f64::min)
        };
        match self {
            Self::Inside(sides) => depths(sides),
            Self::Outside(sides) => -depths(sides),
        }
    }
}

/// A convex piece of the room in which the same numbers hold, and what is barred in it.
pub(crate) struct Cell {
    pub sides: Vec<HalfPlane>,
    pub barred: Vec<Barred>,
}

/// The region that the cells of a room leave.
pub(crate) fn region(corners: &[Point2], cells: &[Cell], stops: &[Stop]) -> Region {
    let room = polygon(corners.iter().map(|corner| [corner.x, corner.y]));
    let around = frame(corners);
    let left: Vec<MultiPolygon> = (cells.iter())
        .map(|cell| left_of(cell, &room, &around))
        .collect();
    let all = match left.len() {
        1 => left
            .into_iter()
            .next()
            .unwrap_or_else(|| MultiPolygon::new(vec![])),
        _ => unary_union(left.iter().flatten()),
    };
    let mut parts: Vec<Part> = (all.0.iter())
        .filter(|part| part.unsigned_area() > SLIVER_M2)
        .map(|part| labelled(part, cells, stops))
        .collect();
    parts.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    Region { parts }
}

/// A place that a cell leaves, away from its edges; nothing where it leaves none.
pub(crate) fn any_place(corners: &[Point2], cell: &Cell) -> Option<Point> {
    let room = polygon(corners.iter().map(|corner| [corner.x, corner.y]));
    let left = left_of(cell, &room, &frame(corners));
    let largest = (left.iter())
        .max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()))
        .filter(|part| part.unsigned_area() > SLIVER_M2)?;
    let place = largest.interior_point()?;
    Some([place.x(), place.y()])
}

/// Whether the cells leave any place.
pub(crate) fn has_place(corners: &[Point2], cells: &[Cell]) -> bool {
    cells.iter().any(|cell| any_place(corners, cell).is_some())
}

/// Whether nothing bars a point of a cell, by more than a step.
pub(crate) fn is_free(cell: &Cell, place: Point) -> bool {
    let within = |side: &HalfPlane| side.depth(place) > STEP_M;
    let is_barred = |barred: &Barred| barred.shape.depth(place) > -STEP_M;
    cell.sides.iter().all(within) && !cell.barred.iter().any(is_barred)
}

/// A box a metre wider than the room all round.
pub(crate) fn frame(corners: &[Point2]) -> Vec<Point> {
    let [mut left, mut right, mut low, mut high] = [
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
    ];
    for corner in corners {
        (left, right) = (left.min(corner.x - 1.0), right.max(corner.x + 1.0));
        (low, high) = (low.min(corner.y - 1.0), high.max(corner.y + 1.0));
    }
    vec![[left, low], [right, low], [right, high], [left, high]]
}

fn left_of(cell: &Cell, room: &Polygon, around: &[Point]) -> MultiPolygon {
    let nothing = || MultiPolygon::new(vec![]);
    let mut outline = clipped(around, &cell.sides);
    for barred in cell.barred.iter() {
        if let Shape::Outside(sides) = &barred.shape {
            outline = clipped(&outline, sides);
        }
    }
    if outline.len() < 3 {
        return nothing();
    }
    // Reaching over the outline, so that no sliver is left between two pieces along it.
    let met = |sides: &[HalfPlane]| {
        let piece = clipped(&outline, sides);
        piece.len() > 2 && area_m2(&piece).abs() > 1e-10
    };
    let pieces: Vec<Polygon> = (cell.barred.iter())
        .filter_map(|barred| match &barred.shape {
            Shape::Inside(sides) => met(sides).then(|| polygon(clipped(around, sides))),
            Shape::Outside(_) => None,
        })
        .collect();
    let inside = polygon(outline).intersection(room);
    if pieces.is_empty() {
        return inside;
    }
    inside.difference(&unary_union(&pieces))
}

fn polygon(points: impl IntoIterator<Item = Point>) -> Polygon {
    let ring = points.into_iter().map(|[x, y]| Coord { x, y });
    Polygon::new(LineString::from_iter(ring), vec![])
}

fn labelled(part: &Polygon, cells: &[Cell], stops: &[Stop]) -> Part {
    use geo::orient::{Direction, Orient};
    let part = part.orient(Direction::Default);
    let rings = std::iter::once(part.exterior())
        .chain(part.interiors())
        .map(|ring| edges(ring, cells, stops))
        .collect();
    Part {
        rings,
        area_m2: part.unsigned_area(),
    }
}

fn edges(ring: &LineString, cells: &[Cell], stops: &[Stop]) -> Vec<Edge> {
    let at = |c: &Coord| Point2::new(c.x, c.y);
    let mut corners: Vec<Point2> = ring.0.iter().map(at).collect();
    corners.dedup_by(|a, b| a.distance(*b) < EDGE_MIN_M);
    (corners.windows(2))
        .map(|ends| Edge {
            from: ends[0],
            to: ends[1],
            stop: stopped_by(ends[0], ends[1], cells).map(|stop| stops[stop].clone()),
        })
        .collect()
}

/// What a step over the middle of an edge leads into: of several the one whose own edge it is.
fn stopped_by(from: Point2, to: Point2, cells: &[Cell]) -> Option<usize> {
    let way = (to - from).unit()?;
    let middle = from.towards(to, 0.5);
    let here = [middle.x, middle.y];
    let over = [middle.x + way.y * STEP_M, middle.y - way.x * STEP_M];
    (cells.iter())
        .filter(|cell| {
            cell.sides
                .iter()
                .all(|side| side.depth(over) > -STEP_M / 10.0)
        })
        .flat_map(|cell| &cell.barred)
        .filter(|barred| barred.shape.depth(over) > 0.0)
        .min_by(|a, b| {
            let off = |barred: &Barred| barred.shape.depth(here).abs();
            off(a).total_cmp(&off(b))
        })
        .map(|barred| barred.stop)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room() -> Vec<Point2> {
        [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]]
            .map(|[x, y]| Point2::new(x, y))
            .to_vec()
    }

    fn stop(label: &str) -> Stop {
        Stop {
            check: "test",
            label: label.to_owned(),
        }
    }

    /// x from 1 to 3, and a pillar from 1.5 to 2 and 1 to 2 in it.
    fn cell() -> Cell {
        let side = |x: f64, y: f64, k: f64| HalfPlane::new([x, y], k);
        Cell {
            sides: vec![],
            barred: vec![
                Barred {
                    stop: 0,
                    shape: Shape::Outside(vec![side(1.0, 0.0, 3.0), side(-1.0, 0.0, -1.0)]),
                },
                Barred {
                    stop: 1,
                    shape: Shape::Inside(vec![
                        side(-1.0, 0.0, -1.5),
                        side(1.0, 0.0, 2.0),
                        side(0.0, -1.0, -1.0),
                        side(0.0, 1.0, 2.0),
                    ]),
                },
                Barred {
                    stop: 2,
                    shape: Shape::Inside(vec![side(0.0, 1.0, 0.5)]),
                },
            ],
        }
    }

    #[test]
    fn each_edge_says_what_stops_there() {
        let stops = [stop("reach"), stop("pillar"), stop("wall")];
        let region = region(&room(), &[cell()], &stops);
        assert!((region.area_m2() - (2.0 * 2.5 - 0.5)).abs() < 1e-6);
        let of = |label: &str| {
            let own = |edge: &&Edge| edge.stop.as_ref().is_some_and(|stop| stop.label == label);
            region.edges().filter(own).count()
        };
        assert_eq!([of("reach"), of("pillar"), of("wall")], [2, 4, 1]);
        // The room's own upper wall is nobody's.
        assert_eq!(region.edges().filter(|edge| edge.stop.is_none()).count(), 1);
    }

    #[test]
    fn the_roomiest_place_is_the_middle_of_the_largest_circle() {
        let region = region(&room(), &[cell()], &[stop(""), stop(""), stop("")]);
        let (place, room) = region.roomiest().unwrap();
        // Up right it touches x = 3, the wall y = 3 and the pillar's corner at (2, 2), so
        // that √2 (1 − r) = r.
        assert!(
            (room - (2.0 - std::f64::consts::SQRT_2)).abs() < 2e-4,
            "{room}"
        );
        assert!((region.depth_m(place) - room).abs() < 1e-12);
    }
}
