//! A space's own axes, and the house's that it lies in.

use geometry::{Ceiling, Plane, Point2, Point3, Vec2};
use model::Space;
use uncertainty::Vector3;

use crate::{Analysis, Known};

/// How a space lies in the frame of its house.
#[derive(Clone, Copy, Debug)]
pub(in crate::ways) struct Frame {
    cos: f64,
    sin: f64,
    origin: Point2,
    pub up_m: f64,
}

impl Frame {
    pub const OWN: Self = Self {
        cos: 1.0,
        sin: 0.0,
        origin: Point2::new(0.0, 0.0),
        up_m: 0.0,
    };

    pub fn of(analysis: &Analysis, space: &Space) -> Known<(String, Self)> {
        let moved = |x: f64| {
            let point = Vector3::new(x, 0.0, 0.0);
            analysis.in_house(space, &point)
        };
        let ((root, origin), (_, east)) = (moved(0.0)?, moved(1.0)?);
        let ([x, y, z], [east_x, east_y, _]) = (origin.value(), east.value());
        let turn = Vec2::new(east_x - x, east_y - y);
        let frame = Self {
            cos: turn.x,
            sin: turn.y,
            origin: Point2::new(x, y),
            up_m: z,
        };
        Ok((root, frame))
    }

    pub fn point(&self, [x, y, z]: [f64; 3]) -> Point3 {
        self.plan(Point2::new(x, y)).at_height(z + self.up_m)
    }

    pub fn plan(&self, point: Point2) -> Point2 {
        self.origin + self.direction(Vec2::new(point.x, point.y))
    }

    pub fn direction(&self, vector: Vec2) -> Vec2 {
        Vec2::new(
            self.cos * vector.x - self.sin * vector.y,
            self.sin * vector.x + self.cos * vector.y,
        )
    }

    /// A point of the house in the space's own frame.
    pub fn back(&self, point: Point3) -> [f64; 3] {
        let off = point.on_plan() - self.origin;
        [
            self.cos * off.x + self.sin * off.y,
            -self.sin * off.x + self.cos * off.y,
            point.z - self.up_m,
        ]
    }

    /// A direction of the house in the space's own frame.
    pub fn back_direction(&self, vector: Vec2) -> Vec2 {
        Vec2::new(
            self.cos * vector.x + self.sin * vector.y,
            -self.sin * vector.x + self.cos * vector.y,
        )
    }

    pub fn ceiling(&self, ceiling: &Ceiling) -> Option<Ceiling> {
        let planes = ceiling.planes().iter().map(|plane| {
            let slope = self.direction(Vec2::new(plane.slope_x, plane.slope_y));
            let origin = Vec2::new(self.origin.x, self.origin.y);
            Plane {
                slope_x: slope.x,
                slope_y: slope.y,
                height_m: plane.height_m + self.up_m - slope.dot(origin),
            }
        });
        Ceiling::new(planes.collect(), ceiling.join()).ok()
    }
}
