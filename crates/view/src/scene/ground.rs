//! Where do walls and corners lie: as adjusted, or as far as the walk can be followed?

use analysis::{Analysis, COVERAGE_FACTOR, Closure, SpaceModel, Vector2};
use geometry::Point2;
use model::{CeilingShape, Space, SpaceKind};

use super::{Plan, Point};

/// A wall's line, seen from inside the room.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    /// Its left end.
    pub left: Plan,
    /// Unit vector to its right end.
    pub along: Plan,
    /// Unit vector into the room.
    pub inward: Plan,
    /// Its length, m.
    pub length_m: f64,
}

impl Frame {
    fn between(from: Plan, to: Plan) -> Option<Self> {
        let step = minus(to, from);
        let length_m = step[0].hypot(step[1]);
        let along = [step[0] / length_m, step[1] / length_m];
        (length_m > 0.0).then_some(Self {
            left: from,
            along,
            inward: right_of(along),
            length_m,
        })
    }

    /// A point of the wall, `off` it into the room.
    pub fn point(&self, along_m: f64, off_m: f64) -> Plan {
        [0, 1].map(|k| self.left[k] + self.along[k] * along_m + self.inward[k] * off_m)
    }

    /// Distance along the wall and off it of a point in plan.
    pub fn place_of(&self, point: Plan) -> [f64; 2] {
        let offset = minus(point, self.left);
        [dot(offset, self.along), dot(offset, self.inward)]
    }
}

pub(crate) fn minus(a: Plan, b: Plan) -> Plan {
    [a[0] - b[0], a[1] - b[1]]
}

pub(crate) fn dot(a: Plan, b: Plan) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

pub(crate) fn cross(a: Plan, b: Plan) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

fn right_of(along: Plan) -> Plan {
    [along[1], -along[0]]
}

pub(crate) fn at_height([x, y]: Plan, z: f64) -> Point {
    [x, y, z]
}

/// A space's walls in plan.
pub(crate) struct Ground<'a> {
    pub analysis: &'a Analysis,
    pub space: &'a Space,
    pub shape: &'a SpaceModel,
    /// By wall; none where the walk can't be followed to it.
    pub walls: Vec<Option<Frame>>,
    /// Corners in the order of the walk.
    pub floor: Vec<Plan>,
    /// Whether the walls enclose a room.
    pub closed: bool,
}

impl<'a> Ground<'a> {
    pub fn new(analysis: &'a Analysis, space: &'a Space) -> Self {
        let shape = analysis.shape(space);
        let (walls, floor, closed) = match shape.outline() {
            Ok(outline) => {
                let floor: Vec<Plan> = outline.iter().map(|corner| [corner.x, corner.y]).collect();
                let next = |wall: usize| floor[(wall + 1) % floor.len()];
                let walls = (0..floor.len())
                    .map(|wall| Frame::between(floor[wall], next(wall)))
                    .collect();
                (walls, floor, true)
            }
            Err(_) => {
                let (walls, floor) = as_walked(analysis, space);
                (walls, floor, false)
            }
        };
        Self {
            analysis,
            space,
            shape,
            walls,
            floor,
            closed,
        }
    }

    /// A wall's line by the wall's name.
    pub fn wall(&self, id: &str) -> Option<Frame> {
        self.walls.get(self.space.wall(id)?).copied().flatten()
    }

    /// The point at distances from two walls.
    pub fn meeting(&self, [a, b]: [&Frame; 2], distances_m: [f64; 2]) -> Option<Plan> {
        let turn = cross(a.along, b.along);
        if turn.abs() < PARALLEL {
            return None;
        }
        let (p, q) = (a.point(0.0, distances_m[0]), b.point(0.0, distances_m[1]));
        let t = cross(minus(q, p), b.along) / turn;
        Some([0, 1].map(|k| p[k] + a.along[k] * t))
    }

    /// The ceiling's height above a point; none where it is not known, or outdoors.
    pub fn ceiling_at(&self, [x, y]: Plan) -> Option<f64> {
        let known = self.shape.ceiling_at(&Vector2::new(x, y));
        known
            .ok()
            .map(|height| height.value())
            .or_else(|| self.flat_height())
    }

    /// The height of a flat ceiling, which needs no corners.
    pub fn flat_height(&self) -> Option<f64> {
        let is_room = self.space.kind != Some(SpaceKind::Outdoor);
        let ceiling = self.space.ceiling.as_ref().filter(|_| is_room)?;
        match ceiling.shape {
            CeilingShape::Flat => ceiling.height.as_ref()?.value(),
            _ => None,
        }
    }

    /// A wall's upper edge, left to right; empty while unknown.
    pub fn wall_top(&self, wall: usize) -> Vec<[f64; 2]> {
        let mut top: Vec<[f64; 2]> = Vec::new();
        if let Ok(solid) = self.shape.solid() {
            let points = solid.wall_top(wall);
            top.extend(
                points
                    .iter()
                    .map(|point| [point.from_left_m, point.height_m]),
            );
        }
        if top.len() < 2 {
            let corners: Vec<Point2> = self
                .floor
                .iter()
                .map(|[x, y]| Point2::new(*x, *y))
                .collect();
            let ceiling = self.shape.ceiling().ok().filter(|_| self.closed);
            let bare = ceiling.and_then(|ceiling| ceiling.wall_top(&corners, wall).ok());
            let points = bare.into_iter().flatten();
            top = points
                .map(|point| [point.from_left_m, point.height_m])
                .collect();
        }
        if top.len() < 2
            && let (Some(height), Some(length)) = (self.flat_height(), self.length_m(wall))
        {
            top = vec![[0.0, height], [length, height]];
        }
        top
    }

    /// A wall's length as adjusted, else as measured.
    pub fn length_m(&self, wall: usize) -> Option<f64> {
        let as_written = || {
            let length = self.space.walls.get(wall)?.length.as_ref()?.value()?;
            (length > 0.0).then_some(length)
        };
        let drawn = self.walls.get(wall).copied().flatten();
        drawn.map(|frame| frame.length_m).or_else(as_written)
    }

    /// Whether a point is within the walls; true where they enclose nothing.
    pub fn contains(&self, [x, y]: Plan) -> bool {
        if !self.closed {
            return true;
        }
        let corners: Vec<Point2> = self
            .floor
            .iter()
            .map(|[x, y]| Point2::new(*x, *y))
            .collect();
        geometry::plan::contains(&corners, Point2::new(x, y))
    }
}

/// Two walls whose directions have a smaller sine between them are taken as parallel.
pub(crate) const PARALLEL: f64 = 0.05;

/// How far the walk as measured ends from where it begins, and how far it may if each
/// measurement is as good as it says (95 %, along the less certain direction), m.
///
/// The end of the walk is e = Σ L_i d_i; ∂e/∂L_i = d_i, and a corner turns all walls after
/// it, so ∂e/∂θ_j = ⊥ Σ_{i>j} L_i d_i.
pub(crate) fn misclosure_m(closure: &Closure) -> [f64; 2] {
    let (lengths, corners) = (&closure.traverse.lengths, &closure.traverse.angles);
    let directions = directions(corners.iter().map(|corner| corner.value));
    let step = |wall: usize| directions[wall].map(|part| part * lengths[wall].value);
    let plus = |a: Plan, b: Plan| [a[0] + b[0], a[1] + b[1]];
    // Sums of squares of each measurement's part: xx, xy, yy.
    let mut spread = [0.0; 3];
    let mut add = |[x, y]: Plan| {
        for (sum, square) in spread.iter_mut().zip([x * x, x * y, y * y]) {
            *sum += square;
        }
    };
    for (length, direction) in lengths.iter().zip(&directions) {
        add(direction.map(|part| part * length.sigma));
    }
    for (at, corner) in corners.iter().enumerate() {
        let [x, y] = (at + 1..lengths.len()).map(step).fold([0.0; 2], plus);
        add([-y * corner.sigma, x * corner.sigma]);
    }
    let [xx, xy, yy] = spread;
    let greatest = (xx + yy) / 2.0 + ((xx - yy) / 2.0).hypot(xy);
    let [x, y] = closure.adjusted.misclosure_m;
    [x.hypot(y), COVERAGE_FACTOR * greatest.sqrt()]
}

/// The direction of each wall as walked, by the inside angles at their ends.
fn directions(corners: impl Iterator<Item = f64>) -> Vec<Plan> {
    let mut heading = 0.0_f64;
    corners
        .map(|corner| {
            let direction = [heading.cos(), heading.sin()];
            heading -= std::f64::consts::PI - corner;
            direction
        })
        .collect()
}

/// The walk from its beginning to the first wall without a length, and back from its end to
/// the last one; corners that nobody measured are square.
fn as_walked(analysis: &Analysis, space: &Space) -> (Vec<Option<Frame>>, Vec<Plan>) {
    let count = space.walls.len();
    let corners = space.walls.iter().map(|wall| {
        let corner = analysis.number(wall.corner.as_ref());
        corner.map_or(std::f64::consts::FRAC_PI_2, |corner| corner.value())
    });
    let directions = directions(corners);
    let length = |wall: usize| {
        let known = analysis.number(space.walls[wall].length.as_ref())?.value();
        (known > 0.0).then_some(known)
    };
    let mut walls: Vec<Option<Frame>> = vec![None; count];
    let mut floor = vec![[0.0, 0.0]];
    let mut here = [0.0, 0.0];
    let mut reached = 0;
    while let Some(length_m) = (reached < count).then(|| length(reached)).flatten() {
        let along = directions[reached];
        let next = [0, 1].map(|k| here[k] + along[k] * length_m);
        walls[reached] = Frame::between(here, next);
        floor.push(next);
        (here, reached) = (next, reached + 1);
    }
    let mut back = Vec::new();
    let mut there = [0.0, 0.0];
    let mut last = count;
    while let Some(length_m) = (last > reached).then(|| length(last - 1)).flatten() {
        last -= 1;
        let along = directions[last];
        let before = [0, 1].map(|k| there[k] - along[k] * length_m);
        walls[last] = Frame::between(before, there);
        back.push(before);
        there = before;
    }
    floor.extend(back.into_iter().rev());
    (walls, floor)
}
