//! Points, planes, polygons and closed solids: the shape of a room as it is measured.
//!
//! The frame of a space: z points up from the finished floor; the floor plan is
//! the list of its corners in walking order, clockwise seen from above, so that
//! the interior is on the right hand. Wall *i* runs from corner *i* to corner
//! *i* + 1. Facing it from inside, corner *i* is its left end: `from_left` counts
//! from there, `height` from the floor. Walls, corners, planes and boxes are
//! counted from 0, and messages print them as `#0`.
//!
//! Points and vectors are plain `f64` in metres. Everything is a pure function;
//! constructors refuse what is not finite, so queries never meet it.

pub mod ceiling;
pub mod convex;
pub mod leaf;
pub mod path;
pub mod plan;
pub mod ray;
pub mod rect2;
pub mod solid;
mod subdivision;
mod vector;

pub use ceiling::{Ceiling, CeilingError, HipPitch, Join, Plane, WallPoint};
pub use convex::{Clearance, Convex, OrientedBox, ShapeError, UprightCylinder};
pub use leaf::DoorLeaf;
pub use plan::{Line2, Plan, PlanError, PlanRect, Wall};
pub use ray::Exit;
pub use rect2::{Gap, Rect, Shift};
pub use solid::{BoxSide, Face, HangingBox, Solid, SolidError, Surface};
pub use vector::{Point2, Point3, Vec2, Vec3};
