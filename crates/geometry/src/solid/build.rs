//! From plan, ceiling and boxes to faces: cells first, then what is raised over them.
//!
//! 1. The plan is cut along walls, box sides, creases of the ceiling, and the
//!    lines where the ceiling passes through a box's underside.
//! 2. Each cell has one top: a ceiling plane or an underside.
//! 3. Over each edge between cells stand the vertical faces between their tops.
//! 4. Edges between two pieces of one surface cancel; the rest are chained into
//!    the outlines of the faces.

use super::{BoxSide, Face, HangingBox, Place, Solid, SolidError, Surface, mesh};
use crate::plan::{self, Plan, TOUCH_M};
use crate::subdivision::{Piece, Subdivision};
use crate::{Ceiling, Join, Plane, Point2, Point3, Vec2, Vec3};

/// Tops at one point of the plan that are closer than this are one height: steep
/// planes that meet within the plan's weld differ by less.
const LEVEL_M: f64 = 1e-5;

/// What stands over a cell of the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Cell {
    Outside,
    /// A column, from floor to ceiling.
    Filled(usize),
    /// Air under this surface.
    Air(Surface, Plane),
}

impl Cell {
    fn top_at(&self, point: Point2) -> Option<f64> {
        match self {
            Self::Air(_, plane) => Some(plane.at(point).max(0.0)),
            Self::Outside | Self::Filled(_) => None,
        }
    }
}

pub(super) fn solid(
    plan: Plan,
    ceiling: Ceiling,
    boxes: Vec<HangingBox>,
) -> Result<Solid, SolidError> {
    check_boxes(&plan, &boxes)?;
    let subdivision = Subdivision::new(&pieces(&plan, &ceiling, &boxes));
    let cells: Vec<Cell> = subdivision
        .samples
        .iter()
        .map(|sample| match *sample {
            Some(point) if plan::encloses(&plan, point) => cell_at(&ceiling, &boxes, point),
            _ => Cell::Outside,
        })
        .collect();
    check_heights(&plan, &ceiling, &subdivision, &cells)?;
    check_box_heights(&ceiling, &boxes, &subdivision, &cells)?;

    let levels = Levels::new(&subdivision, &cells);
    let edges = raise(&subdivision, &cells, &levels, &boxes)?;
    let mut vertices = levels.vertices(&subdivision);
    let normal = |surface| normal_of(surface, &plan, &ceiling, &boxes);
    let mut faces = mesh::faces(edges, &vertices, normal);
    if faces.is_empty() {
        return Err(SolidError::NoAir);
    }
    mesh::drop_straight_vertices(&mut faces, &mut vertices);
    if let Some(vertex) = mesh::open_edge(faces.iter().flat_map(|f| &f.loops).map(Vec::as_slice)) {
        let Point3 { x, y, .. } = vertices[vertex];
        return Err(SolidError::NotClosed { x_m: x, y_m: y });
    }
    check_areas(&plan, &boxes, &faces, &vertices)?;
    mesh::triangulate(&mut faces, &vertices);
    let solid = Solid {
        plan,
        ceiling,
        boxes,
        vertices,
        faces,
    };
    // Floor and ceiling on each other close too, round nothing.
    if solid.volume().0 > 1e-9 {
        Ok(solid)
    } else {
        Err(SolidError::NoAir)
    }
}

/// Faces turned inside out, or a floor and a ceiling of different extent, mean that
/// lines too close together were taken apart in the wrong order.
fn check_areas(
    plan: &Plan,
    boxes: &[HangingBox],
    faces: &[Face],
    vertices: &[Point3],
) -> Result<(), SolidError> {
    const SLACK_M2: f64 = 1e-4;
    let (mut floor_m2, mut overhead_m2) = (0.0, 0.0);
    for face in faces {
        if face.area_m2 < -SLACK_M2 {
            let Point3 { x, y, .. } = vertices[face.loops[0][0]];
            return Err(SolidError::NotClosed { x_m: x, y_m: y });
        }
        match face.surface {
            Surface::Floor => floor_m2 += face.area_m2,
            _ => overhead_m2 += face.area_m2 * face.normal.z,
        }
    }
    let plan_m2 = plan::area(plan).0;
    let filled = boxes.iter().any(|b| b.underside_m <= TOUCH_M);
    let too_small = !filled && floor_m2 < plan_m2 - SLACK_M2;
    if (floor_m2 - overhead_m2).abs() > SLACK_M2 || floor_m2 > plan_m2 + SLACK_M2 || too_small {
        let Point2 { x, y } = plan[0];
        return Err(SolidError::NotClosed { x_m: x, y_m: y });
    }
    Ok(())
}

/// What is over a point of the plan, the walls left aside: the lowest box under
/// the ceiling, the first of equally low ones, or the ceiling.
pub(super) fn cell_at(ceiling: &Ceiling, boxes: &[HangingBox], point: Point2) -> Cell {
    let plane = ceiling.surface_above(point);
    let mut cell = Cell::Air(Surface::Ceiling(plane), ceiling.planes()[plane]);
    let mut top = ceiling.planes()[plane].at(point);
    for (index, hanging) in boxes.iter().enumerate() {
        if hanging.underside_m < top && hanging.rect.depth(point) > 0.0 {
            top = hanging.underside_m;
            cell = if top <= TOUCH_M {
                Cell::Filled(index)
            } else {
                Cell::Air(Surface::Box(index, BoxSide::Underside), Plane::level(top))
            };
        }
    }
    cell
}

fn check_boxes(plan: &Plan, boxes: &[HangingBox]) -> Result<(), SolidError> {
    for (index, HangingBox { rect, underside_m }) in boxes.iter().enumerate() {
        let measures = rect.centre.x
            + rect.centre.y
            + rect.along.x
            + rect.along.y
            + rect.length_m
            + rect.width_m;
        if !(measures + underside_m).is_finite() {
            return Err(SolidError::BoxNotFinite { index });
        }
        if rect.length_m < 1e-3 || rect.width_m < 1e-3 || (rect.along.length() - 1.0).abs() > 1e-9 {
            let (length_mm, width_mm) = (rect.length_m * 1e3, rect.width_m * 1e3);
            return Err(SolidError::BoxTooSmall {
                index,
                length_mm,
                width_mm,
            });
        }
        if *underside_m < 0.0 {
            return Err(SolidError::BoxBelowFloor {
                index,
                below_m: -underside_m,
            });
        }
        let corners = rect.corners();
        let shares_area = corners
            .iter()
            .any(|&c| plan::contains(plan, c) && !on_wall(plan, c))
            || plan.iter().any(|&c| rect.depth(c) > TOUCH_M)
            || crosses(plan, &corners)
            || plan::contains(plan, rect.centre);
        if !shares_area {
            let (wall, away_m) = distance_apart(plan, &corners);
            return Err(SolidError::BoxOutside {
                index,
                wall,
                away_m,
            });
        }
    }
    Ok(())
}

fn on_wall(plan: &Plan, point: Point2) -> bool {
    plan::nearest_wall(plan, point).is_some_and(|n| n.distance_m <= TOUCH_M)
}

/// Does a side of the rectangle pass through a wall, not only touch it?
fn crosses(plan: &Plan, corners: &[Point2; 4]) -> bool {
    let beyond = |from: Point2, to: Point2, p: Point2| {
        let side = (to - from).cross(p - from) / from.distance(to);
        if side.abs() <= TOUCH_M {
            0.0
        } else {
            side.signum()
        }
    };
    (0..plan.len()).any(|wall| {
        let (a, b) = plan::wall_ends(plan, wall);
        (0..4).any(|side| {
            let (c, d) = plan::wall_ends(corners, side);
            beyond(a, b, c) * beyond(a, b, d) < 0.0 && beyond(c, d, a) * beyond(c, d, b) < 0.0
        })
    })
}

fn distance_apart(plan: &Plan, corners: &[Point2; 4]) -> (usize, f64) {
    let distance = |wall: usize| {
        let (a, b) = plan::wall_ends(plan, wall);
        let sides = (0..4).map(|side| {
            let (c, d) = plan::wall_ends(corners, side);
            plan::segment_distance(a, b, c, d)
        });
        (wall, sides.fold(f64::INFINITY, f64::min))
    };
    let nearest = (0..plan.len())
        .map(distance)
        .min_by(|a, b| a.1.total_cmp(&b.1));
    nearest.expect("a plan has walls")
}

/// Every line that cuts the plan.
fn pieces(plan: &Plan, ceiling: &Ceiling, boxes: &[HangingBox]) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = (0..plan.len())
        .map(|wall| {
            let (from, to) = plan::wall_ends(plan, wall);
            Piece {
                from,
                to,
                wall: Some(wall),
            }
        })
        .collect();
    for hanging in boxes {
        let corners = hanging.rect.corners();
        pieces.extend((0..4).map(|side| {
            let (from, to) = plan::wall_ends(&corners, side);
            Piece {
                from,
                to,
                wall: None,
            }
        }));
    }
    let planes = ceiling.planes();
    let reach = Reach::of(plan);
    let on_envelope = |i: usize| {
        let others = planes.iter().enumerate().filter(move |&(k, _)| k != i);
        others.map(move |(_, other)| match ceiling.join() {
            Join::Lower => difference(other, &planes[i]),
            Join::Upper => difference(&planes[i], other),
        })
    };
    for i in 0..planes.len() {
        for j in i + 1..planes.len() {
            pieces.extend(reach.level_line(&difference(&planes[i], &planes[j]), on_envelope(i)));
        }
        for hanging in boxes {
            let inside = hanging.rect.corners();
            let sides = (0..4).map(|side| {
                let (from, to) = plan::wall_ends(&inside, side);
                let inward = (to - from).left() * (1.0 / from.distance(to));
                let offset = (from - Point2::default()).dot(inward);
                Plane {
                    slope_x: inward.x,
                    slope_y: inward.y,
                    height_m: -offset,
                }
            });
            let under = difference(&planes[i], &Plane::level(hanging.underside_m));
            pieces.extend(reach.level_line(&under, on_envelope(i).chain(sides)));
        }
    }
    pieces
}

fn difference(p: &Plane, q: &Plane) -> Plane {
    Plane {
        slope_x: p.slope_x - q.slope_x,
        slope_y: p.slope_y - q.slope_y,
        height_m: p.height_m - q.height_m,
    }
}

/// A disc that covers the plan, to keep endless lines finite.
struct Reach {
    centre: Point2,
    radius_m: f64,
}

impl Reach {
    fn of(plan: &Plan) -> Self {
        let (mut low, mut high) = (plan[0], plan[0]);
        for p in plan.iter() {
            low = Point2::new(low.x.min(p.x), low.y.min(p.y));
            high = Point2::new(high.x.max(p.x), high.y.max(p.y));
        }
        Self {
            centre: low.towards(high, 0.5),
            radius_m: 0.51 * low.distance(high),
        }
    }

    /// The part of the line f(x, y) = 0 where every other function is at least 0.
    fn level_line(&self, f: &Plane, others: impl Iterator<Item = Plane>) -> Option<Piece> {
        let gradient = Vec2::new(f.slope_x, f.slope_y);
        let uphill = gradient.unit().filter(|_| gradient.length() > 1e-9)?;
        let foot = self.centre - uphill * (f.at(self.centre) / gradient.length());
        let along = uphill.left();
        let half = self.radius_m.powi(2) - self.centre.distance(foot).powi(2);
        if half <= 0.0 {
            return None;
        }
        let (mut low, mut high) = (-half.sqrt(), half.sqrt());
        for g in others {
            let at_foot = g.at(foot);
            let rise = g.slope_x * along.x + g.slope_y * along.y;
            if rise.abs() < 1e-12 {
                if at_foot < -1e-9 {
                    return None;
                }
            } else if rise > 0.0 {
                low = low.max(-at_foot / rise);
            } else {
                high = high.min(-at_foot / rise);
            }
        }
        (high - low > 1e-6).then(|| Piece {
            from: foot + along * low,
            to: foot + along * high,
            wall: None,
        })
    }
}

/// Refuses a ceiling below the floor, at its lowest place.
fn check_heights(
    plan: &Plan,
    ceiling: &Ceiling,
    subdivision: &Subdivision,
    cells: &[Cell],
) -> Result<(), SolidError> {
    let in_room = |walk: usize| cells[walk] != Cell::Outside;
    let heights = subdivision
        .half_edges
        .iter()
        .filter(|e| in_room(e.walk))
        .map(|e| subdivision.points[e.from])
        .chain(plan.iter().copied())
        .map(|p| (p, ceiling.height_at(p).0));
    let lowest = heights.min_by(|a, b| a.1.total_cmp(&b.1));
    match lowest {
        Some((point, height_m)) if height_m < -TOUCH_M => Err(SolidError::CeilingBelowFloor {
            place: place_of(plan, point),
            below_m: -height_m,
        }),
        _ => Ok(()),
    }
}

fn place_of(plan: &Plan, point: Point2) -> Place {
    if let Some(corner) = plan.iter().position(|c| c.distance(point) <= TOUCH_M) {
        return Place::Corner(corner);
    }
    match plan::nearest_wall(plan, point) {
        Some(n) if n.distance_m <= TOUCH_M => Place::Wall {
            wall: n.wall,
            from_left_m: n.from_left_m,
        },
        _ => Place::Inside(point),
    }
}

/// Refuses a box that the ceiling hides completely.
fn check_box_heights(
    ceiling: &Ceiling,
    boxes: &[HangingBox],
    subdivision: &Subdivision,
    cells: &[Cell],
) -> Result<(), SolidError> {
    for (index, hanging) in boxes.iter().enumerate() {
        let over = |walk: usize| match subdivision.samples[walk] {
            Some(p) if cells[walk] != Cell::Outside && hanging.rect.depth(p) > 0.0 => Some(p),
            _ => None,
        };
        let mut above_m = f64::INFINITY;
        for edge in subdivision.half_edges.iter() {
            if over(edge.walk).is_some() {
                let height = ceiling.height_at(subdivision.points[edge.from]).0;
                above_m = above_m.min(hanging.underside_m - height);
            }
        }
        if above_m.is_finite() && above_m >= -TOUCH_M {
            return Err(SolidError::BoxAboveCeiling {
                index,
                above_m: above_m.max(0.0),
            });
        }
    }
    Ok(())
}

/// The heights at which faces meet over each point of the subdivision; each is a
/// vertex of the solid.
struct Levels {
    heights: Vec<Vec<f64>>,
    first_vertex: Vec<usize>,
}

impl Levels {
    fn new(subdivision: &Subdivision, cells: &[Cell]) -> Self {
        let mut heights: Vec<Vec<f64>> = vec![Vec::new(); subdivision.points.len()];
        for edge in &subdivision.half_edges {
            if let Some(top) = cells[edge.walk].top_at(subdivision.points[edge.from]) {
                heights[edge.from].extend([0.0, top]);
            }
        }
        let mut first_vertex = Vec::with_capacity(heights.len());
        let mut count = 0;
        for over in &mut heights {
            over.sort_by(f64::total_cmp);
            over.dedup_by(|next, kept| *next - *kept < LEVEL_M);
            first_vertex.push(count);
            count += over.len();
        }
        Self {
            heights,
            first_vertex,
        }
    }

    /// The vertex over a point at a height that one of its cells has.
    fn vertex(&self, point: usize, height: f64) -> usize {
        let above = self.heights[point]
            .iter()
            .take_while(|&&level| level <= height)
            .count();
        self.first_vertex[point] + above.saturating_sub(1)
    }

    fn vertices(&self, subdivision: &Subdivision) -> Vec<Point3> {
        let over = |(point, heights): (&Point2, &Vec<f64>)| {
            heights
                .iter()
                .map(|&z| point.at_height(z))
                .collect::<Vec<_>>()
        };
        subdivision
            .points
            .iter()
            .zip(&self.heights)
            .flat_map(over)
            .collect()
    }
}

/// The directed edges of all faces, air on their inner side, before pieces of one
/// surface are joined.
fn raise(
    subdivision: &Subdivision,
    cells: &[Cell],
    levels: &Levels,
    boxes: &[HangingBox],
) -> Result<Vec<mesh::Edge>, SolidError> {
    let mut edges = Vec::with_capacity(8 * subdivision.half_edges.len());
    for (i, edge) in subdivision.half_edges.iter().enumerate() {
        let beyond = cells[subdivision.half_edges[i ^ 1].walk];
        let Cell::Air(top, plane) = cells[edge.walk] else {
            continue;
        };
        let (a, b) = (subdivision.points[edge.from], subdivision.points[edge.to]);
        let (a_top, b_top) = (
            levels.vertex(edge.from, plane.at(a).max(0.0)),
            levels.vertex(edge.to, plane.at(b).max(0.0)),
        );
        let (a_floor, b_floor) = (levels.first_vertex[edge.from], levels.first_vertex[edge.to]);
        edges.push(mesh::Edge {
            surface: top,
            from: a_top,
            to: b_top,
        });
        let (surface, a_low, b_low) = match beyond {
            Cell::Air(surface, lower) => (
                surface,
                levels.vertex(edge.from, lower.at(a).max(0.0)),
                levels.vertex(edge.to, lower.at(b).max(0.0)),
            ),
            Cell::Filled(k) => (Surface::Box(k, BoxSide::Underside), a_floor, b_floor),
            Cell::Outside => match edge.wall {
                Some(wall) => (Surface::Wall(wall), a_floor, b_floor),
                None => return Err(SolidError::NotClosed { x_m: a.x, y_m: a.y }),
            },
        };
        if !matches!(beyond, Cell::Air(..)) {
            edges.push(mesh::Edge {
                surface: Surface::Floor,
                from: b_floor,
                to: a_floor,
            });
        }
        if a_low >= a_top && b_low >= b_top {
            continue; // Level with what is beyond, or lower: then its own side raises the face.
        }
        if a_low > a_top || b_low > b_top {
            return Err(SolidError::NotClosed { x_m: a.x, y_m: a.y });
        }
        let surface = match surface {
            Surface::Box(k, _) => {
                Surface::Box(k, BoxSide::Side(side_at(&boxes[k], a.towards(b, 0.5))))
            }
            Surface::Ceiling(_) => return Err(SolidError::NotClosed { x_m: a.x, y_m: a.y }),
            other => other,
        };
        let mut push = |from, to| edges.push(mesh::Edge { surface, from, to });
        push(a_low, b_low);
        (b_low..b_top).for_each(|level| push(level, level + 1));
        push(b_top, a_top);
        (a_low..a_top)
            .rev()
            .for_each(|level| push(level + 1, level));
    }
    Ok(edges)
}

/// The side of the box that passes closest to a point on its outline.
fn side_at(hanging: &HangingBox, point: Point2) -> usize {
    let corners = hanging.rect.corners();
    let distance = |side: usize| {
        let (from, to) = plan::wall_ends(&corners, side);
        plan::nearest_on_segment(from, to, point).1.distance(point)
    };
    (0..4)
        .min_by(|&a, &b| distance(a).total_cmp(&distance(b)))
        .expect("a box has four sides")
}

/// Out of the air, square to the surface.
fn normal_of(surface: Surface, plan: &Plan, ceiling: &Ceiling, boxes: &[HangingBox]) -> Vec3 {
    let level = |v: Vec2| Vec3::new(v.x, v.y, 0.0);
    match surface {
        Surface::Floor => -Vec3::UP,
        Surface::Wall(wall) => {
            let (a, b) = plan::wall_ends(plan, wall);
            level((b - a).left() * (1.0 / a.distance(b)))
        }
        Surface::Ceiling(plane) => {
            let Plane {
                slope_x, slope_y, ..
            } = ceiling.planes()[plane];
            let normal = Vec3::new(-slope_x, -slope_y, 1.0);
            normal * (1.0 / normal.length())
        }
        Surface::Box(_, BoxSide::Underside) => Vec3::UP,
        Surface::Box(k, BoxSide::Side(side)) => {
            let along = boxes[k].rect.along;
            level([along.left(), -along, along.right(), along][side % 4])
        }
    }
}

/// Face with its outlines, to be triangulated later.
pub(super) fn face(surface: Surface, loops: Vec<Vec<usize>>, normal: Vec3, area_m2: f64) -> Face {
    Face {
        surface,
        loops,
        triangles: Vec::new(),
        normal,
        area_m2,
    }
}
