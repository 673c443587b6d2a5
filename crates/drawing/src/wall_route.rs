//! How does a cable run inside a wall, seen from the room?

use crate::canvas::Canvas;
use crate::model::RouteDash;
use crate::paper::Point;
use crate::plan_signs::draw_path;

/// A cable's way inside one wall.
#[derive(Clone, Debug, PartialEq)]
pub struct WallRoute {
    /// Its id in the job.
    pub id: String,
    /// Its corners, metres from the left corner and from the floor.
    pub points_m: Vec<[f64; 2]>,
    /// Dashes by its kind.
    pub dash: RouteDash,
    /// What is written in it; may be empty.
    pub label: String,
}

/// Draws it through points of the paper.
pub(crate) fn draw_wall_route(canvas: &mut Canvas, route: &WallRoute, points: Vec<Point>) {
    draw_path(canvas, &route.id, &route.label, route.dash, points);
}
