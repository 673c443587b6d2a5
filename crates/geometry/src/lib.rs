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
//!
//! ```
//! use geometry::{Ceiling, Plan, Point2, Point3, Solid, Surface, plan};
//! use units::Metres;
//!
//! // A loft 5 m by 6.5 m: wall 0 on the west, then north, east, south.
//! let corners = [(0.0, 0.0), (0.0, 6.5), (5.0, 6.5), (5.0, 0.0)];
//! let loft = Plan::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec())?;
//! let seat = plan::point_from_two_walls(&loft, 3, Metres(2.3), 0, Metres(2.5))?;
//!
//! let roof = Ceiling::gable(&loft, [3, 1], Metres(0.0), Metres(1.9), Metres(3.2))?;
//! let room = Solid::new(loft, roof, vec![])?;
//! assert!((room.volume().0 - 5.0 * 6.5 * 2.55).abs() < 1e-9);
//! assert!((room.area(Surface::Wall(1)).0 - 5.0 * 2.55).abs() < 1e-9);
//!
//! // From the seat's eyes through the roof: where does the line leave the room?
//! let exit = room.exit(seat.at_height(1.1), Point3::new(2.5, 2.3, 4.0));
//! assert!((exit.expect("the roof is lower").point.z - 3.2).abs() < 1e-9);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

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
pub use convex::{Clearance, Convex, Nearby, OrientedBox, ShapeError, UprightCylinder};
pub use leaf::DoorLeaf;
pub use plan::{Line2, Plan, PlanError, PlanRect, Wall};
pub use ray::Exit;
pub use rect2::{Gap, Rect, Shift};
pub use solid::{BoxSide, Face, HangingBox, Solid, SolidError, Surface};
pub use vector::{Point2, Point3, Vec2, Vec3};
