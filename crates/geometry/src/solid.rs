//! The air of a room as one closed solid: floor, walls, ceiling, and what hangs from it.
//!
//! Air fills 0 ≤ z ≤ t(x, y) over the plan, where t is the ceiling, or the
//! underside of the lowest box that hangs there. A box reaches from its underside
//! up through the ceiling; with its underside on the floor it is a column. So the
//! volume is exact, boxes may overlap each other and the walls, and whatever part
//! of them lies outside the room is ignored.
//!
//! Validity: the ceiling is nowhere below the floor, and no wall leans.

mod build;
mod mesh;

use std::fmt;

use thiserror::Error;
use units::{CubicMetres, Metres, SquareMetres};

use crate::plan::{self, Plan, PlanRect};
use crate::{Ceiling, Plane, Point2, Point3, Rect, Vec3, WallPoint};

/// A soffit, beam or column: everything above `underside_m` within its plan rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HangingBox {
    /// Its outline seen from above.
    pub rect: PlanRect,
    /// Height of its underside above the floor, m; 0 makes it a column.
    pub underside_m: f64,
}

/// A side of a hanging box.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
pub enum BoxSide {
    /// The level underside.
    Underside,
    /// Side *s* of its plan rectangle, as [`PlanRect::corners`] counts them.
    Side(usize),
}

/// What a face of the solid is part of.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
pub enum Surface {
    /// The finished floor.
    Floor,
    /// A wall of the plan.
    Wall(usize),
    /// A plane of the ceiling.
    Ceiling(usize),
    /// A side of a hanging box.
    Box(usize, BoxSide),
}

/// One flat face, seen from inside or outside alike as loops of vertex indices.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// What it is part of.
    pub surface: Surface,
    /// Its outline (first) and its holes: anticlockwise and clockwise seen from
    /// outside the air.
    pub loops: Vec<Vec<usize>>,
    /// The same face in triangles, anticlockwise seen from outside the air.
    pub triangles: Vec<[usize; 3]>,
    /// Out of the air, length 1.
    pub normal: Vec3,
    /// Area, m².
    pub area_m2: f64,
}

/// Where on the plan something is, in words that a fitter can find.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Place {
    /// At a corner.
    Corner(usize),
    /// On a wall.
    Wall {
        /// The wall.
        wall: usize,
        /// Distance from its left end, m.
        from_left_m: f64,
    },
    /// Away from the walls.
    Inside(Point2),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Corner(corner) => write!(f, "at corner #{corner}"),
            Self::Wall { wall, from_left_m } => {
                write!(f, "on wall #{wall}, {from_left_m:.3} m from its left end")
            }
            Self::Inside(p) => write!(f, "inside the room at x {:.3} m, y {:.3} m", p.x, p.y),
        }
    }
}

/// Why a room cannot be closed.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum SolidError {
    /// The ceiling dips below the floor.
    #[error("the ceiling is {below_m:.3} m below the floor {place}")]
    CeilingBelowFloor {
        /// Where it is lowest.
        place: Place,
        /// By how much, m.
        below_m: f64,
    },
    /// A box with a measure that is infinite or not a number.
    #[error("box #{index} has a measure that is not a finite number")]
    BoxNotFinite {
        /// The box.
        index: usize,
    },
    /// A box with a side under 1 mm, or without a direction.
    #[error(
        "box #{index} is {length_mm:.3} mm by {width_mm:.3} mm; each side must be at least 1 mm and its direction of length 1"
    )]
    BoxTooSmall {
        /// The box.
        index: usize,
        /// Along its direction, mm.
        length_mm: f64,
        /// Across, mm.
        width_mm: f64,
    },
    /// A box that reaches below the floor.
    #[error("the underside of box #{index} is {below_m:.3} m below the floor")]
    BoxBelowFloor {
        /// The box.
        index: usize,
        /// By how much, m.
        below_m: f64,
    },
    /// A box that shares nothing with the room.
    #[error("box #{index} is outside the room, {away_m:.3} m from wall #{wall}")]
    BoxOutside {
        /// The box.
        index: usize,
        /// The nearest wall.
        wall: usize,
        /// Distance of the nearest part of the box, m.
        away_m: f64,
    },
    /// A box whose underside is nowhere below the ceiling.
    #[error(
        "the underside of box #{index} is nowhere below the ceiling; it is at least {above_m:.3} m too high"
    )]
    BoxAboveCeiling {
        /// The box.
        index: usize,
        /// Least height of the underside over the ceiling, m.
        above_m: f64,
    },
    /// Nothing is left of the room.
    #[error("the room has no air: its ceiling lies on the floor or boxes fill it")]
    NoAir,
    /// Faces do not meet; lines closer than the rounding of the input are the cause.
    #[error(
        "the room does not close near x {x_m:.4} m, y {y_m:.4} m: lines there are closer than 0.01 mm but not the same; align or part them"
    )]
    NotClosed {
        /// Place, m.
        x_m: f64,
        /// Place, m.
        y_m: f64,
    },
}

/// The air of a room, bounded by flat faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    plan: Plan,
    ceiling: Ceiling,
    boxes: Vec<HangingBox>,
    vertices: Vec<Point3>,
    faces: Vec<Face>,
}

impl Solid {
    /// Builds and closes the solid.
    pub fn new(plan: Plan, ceiling: Ceiling, boxes: Vec<HangingBox>) -> Result<Self, SolidError> {
        build::solid(plan, ceiling, boxes)
    }

    /// The plan it stands on.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// The ceiling over it.
    pub fn ceiling(&self) -> &Ceiling {
        &self.ceiling
    }

    /// The boxes that hang in it.
    pub fn boxes(&self) -> &[HangingBox] {
        &self.boxes
    }

    /// Corners of all faces, m.
    pub fn vertices(&self) -> &[Point3] {
        &self.vertices
    }

    /// All faces, sorted by surface.
    pub fn faces(&self) -> &[Face] {
        &self.faces
    }

    /// All triangles with the surface that each is part of; neighbours share whole
    /// edges, also where a corner of one face lies along the edge of another.
    pub fn triangles(&self) -> impl Iterator<Item = (Surface, [Point3; 3])> {
        self.faces.iter().flat_map(|face| {
            face.triangles
                .iter()
                .map(|t| (face.surface, t.map(|i| self.vertices[i])))
        })
    }

    /// Volume of the air by the divergence theorem: ⅓ Σ area × (normal · a point of the face).
    pub fn volume(&self) -> CubicMetres {
        let origin = self.vertices[0];
        let cone = |face: &Face| {
            let apex = self.vertices[face.loops[0][0]] - origin;
            apex.dot(face.normal) * face.area_m2 / 3.0
        };
        CubicMetres(self.faces.iter().map(cone).sum())
    }

    /// Exposed area of one surface; 0 when none of it is left.
    pub fn area(&self, surface: Surface) -> SquareMetres {
        self.area_of(|s| s == surface)
    }

    /// Exposed area of all surfaces that the question picks.
    pub fn area_of(&self, picks: impl Fn(Surface) -> bool) -> SquareMetres {
        SquareMetres(
            self.faces
                .iter()
                .filter(|f| picks(f.surface))
                .map(|f| f.area_m2)
                .sum(),
        )
    }

    /// Exposed area of each surface, sorted.
    pub fn areas(&self) -> Vec<(Surface, SquareMetres)> {
        let mut areas: Vec<(Surface, SquareMetres)> = Vec::new();
        for face in &self.faces {
            match areas.last_mut() {
                Some((surface, area)) if *surface == face.surface => area.0 += face.area_m2,
                _ => areas.push((face.surface, SquareMetres(face.area_m2))),
            }
        }
        areas
    }

    /// Does every edge of every face run as often one way as the other? Then the
    /// faces bound the air without a gap.
    pub fn is_closed(&self) -> bool {
        mesh::open_edge(self.faces.iter().flat_map(|f| &f.loops).map(Vec::as_slice)).is_none()
    }

    /// Vertices − edges + triangles of the triangle mesh: 2 for each piece of air,
    /// less 2 for each column that stands free in it.
    pub fn euler_characteristic(&self) -> i64 {
        mesh::euler_characteristic(self.faces.iter().flat_map(|f| &f.triangles))
    }

    /// What is overhead at a point of the plan, and how high; `None` outside the
    /// walls and inside a column.
    pub fn overhead(&self, point: Point2) -> Option<(Surface, Metres)> {
        if !plan::contains(&self.plan, point) {
            return None;
        }
        let (surface, plane) = self.overhead_unbounded(point)?;
        Some((surface, plane.height_at(point)))
    }

    /// Is the point in the air? Surfaces within 1 µm count as in.
    pub fn contains(&self, point: Point3) -> bool {
        point.z >= -plan::TOUCH_M
            && self
                .overhead_loose(point.on_plan())
                .is_some_and(|height| point.z <= height + plan::TOUCH_M)
    }

    /// Area, m², of the part of a rectangle on a wall that lies on the wall's
    /// exposed faces: what an opening takes away from them.
    pub fn opening_area_on_wall(&self, wall: usize, opening: &Rect) -> SquareMetres {
        let Ok(frame) = plan::wall(&self.plan, wall) else {
            return SquareMetres(0.0);
        };
        let on_wall = |&i: &usize| {
            let (from_left, height, _) = frame.place_of(self.vertices[i]);
            Point2::new(from_left.0, height.0)
        };
        let pieces = self
            .faces
            .iter()
            .filter(|f| f.surface == Surface::Wall(wall));
        let clipped = pieces.flat_map(|f| &f.loops).map(|corners| {
            let outline: Vec<Point2> = corners.iter().map(on_wall).collect();
            // Seen from outside the loop runs the other way than from inside.
            -plan::signed_area(&opening.clip(&outline)).0
        });
        SquareMetres(clipped.sum())
    }

    /// The upper outline of a wall's exposed faces from left to right, boxes
    /// included: upright steps stand at the sides of soffits, and where a column
    /// hides the wall the outline drops to the floor. Empty for a wall that is
    /// hidden or that the plan lacks.
    pub fn wall_top(&self, wall: usize) -> Vec<WallPoint> {
        let Ok(frame) = plan::wall(&self.plan, wall) else {
            return Vec::new();
        };
        let on_wall = |&i: &usize| {
            let (from_left, height, _) = frame.place_of(self.vertices[i]);
            WallPoint {
                from_left_m: from_left.0,
                height_m: height.0,
            }
        };
        let mut pieces: Vec<Vec<WallPoint>> = self
            .faces
            .iter()
            .filter(|f| f.surface == Surface::Wall(wall))
            .map(|f| f.loops[0].iter().map(on_wall).collect())
            .collect();
        for outline in &mut pieces {
            // The outline goes up at the left end, along the top, and back on the floor.
            let floor = |p: &WallPoint| {
                if p.height_m <= 0.0 {
                    p.from_left_m
                } else {
                    f64::INFINITY
                }
            };
            let left = (0..outline.len())
                .min_by(|&a, &b| floor(&outline[a]).total_cmp(&floor(&outline[b])))
                .unwrap_or(0);
            outline.rotate_left(left);
            let top_end = outline.iter().skip(1).position(|p| p.height_m <= 0.0);
            outline.truncate(top_end.map_or(outline.len(), |end| end + 2));
        }
        pieces.sort_by(|a, b| a[0].from_left_m.total_cmp(&b[0].from_left_m));
        let mut top = pieces.concat();
        // At the wall's own ends the corner of the room is no step of the outline.
        let upright =
            |a: &WallPoint, b: &WallPoint| (a.from_left_m - b.from_left_m).abs() <= plan::TOUCH_M;
        if top.len() > 1 && upright(&top[0], &top[1]) && top[0].from_left_m <= plan::TOUCH_M {
            top.remove(0);
        }
        if let [.., before, last] = &top[..]
            && upright(before, last)
            && last.from_left_m >= frame.length_m - plan::TOUCH_M
        {
            top.pop();
        }
        top
    }

    /// The top of the air as if the plan had no walls; `None` inside a column.
    fn overhead_unbounded(&self, point: Point2) -> Option<(Surface, Plane)> {
        match build::cell_at(&self.ceiling, &self.boxes, point) {
            build::Cell::Air(surface, plane) => Some((surface, plane)),
            build::Cell::Filled(_) | build::Cell::Outside => None,
        }
    }

    /// Height of the air within 1 µm of the point, so that the faces of boxes
    /// belong to the air.
    fn overhead_loose(&self, point: Point2) -> Option<f64> {
        if !plan::contains(&self.plan, point) {
            return None;
        }
        let mut height = self.ceiling.height_at(point).0;
        for hanging in &self.boxes {
            if hanging.rect.depth(point) > plan::TOUCH_M {
                height = height.min(hanging.underside_m);
            }
        }
        (height > 0.0).then_some(height)
    }
}

#[cfg(test)]
mod tests;
