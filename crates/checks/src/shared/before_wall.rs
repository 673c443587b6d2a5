//! What a thing takes up before a wall: along it, up it, and out from it.

use analysis::{Analysis, Body, Known, Uncertain, WallRect};
use model::Space;

/// A box before a wall, seen from inside.
#[derive(Clone, Debug)]
pub(crate) struct BeforeWall {
    /// Its outline on the wall.
    pub rect: WallRect,
    /// Distance of its near face from the wall, m.
    pub near: Uncertain,
    /// Distance of its far face from the wall, m.
    pub far: Uncertain,
}

impl BeforeWall {
    /// Distances of a body's near and far face from the wall by best estimates, m: most
    /// bodies of a room are far from most of its walls.
    pub fn faces_m(
        analysis: &Analysis,
        space: &Space,
        wall: usize,
        body: &Body,
    ) -> Known<[f64; 2]> {
        let [left, along, inward] = analysis.shape(space).wall_frame_m(wall)?;
        let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
        let ([x, y], [left_x, left_y]) = ([body.centre.x.value(), body.centre.y.value()], left);
        let off = dot([x - left_x, y - left_y], inward);
        let ([ux, uy], [ax, ay]) = (body.along.value(), along);
        let (cos, sin) = ((ux * ax + uy * ay).abs(), (ux * ay - uy * ax).abs());
        let [length, _, depth] = body.size.each_ref().map(Uncertain::value);
        let half_out = (length * sin + depth * cos) / 2.0;
        Ok([off - half_out, off + half_out])
    }

    /// The least box along the wall that holds a body.
    pub fn of(analysis: &Analysis, space: &Space, wall: usize, body: &Body) -> Known<Self> {
        let shape = analysis.shape(space);
        let (from_left, off) = shape.on_wall(wall, &body.centre.in_plan())?;
        let (_, along, _) = shape.wall_frame(wall)?;
        let (cos, sin) = (body.along.dot(&along).abs(), body.along.cross(&along).abs());
        let [length, _, depth] = &body.size;
        let half_along = (length * &cos + depth * &sin) / 2.0;
        let half_out = (length * &sin + depth * &cos) / 2.0;
        Ok(Self {
            rect: WallRect {
                wall,
                left: &from_left - &half_along,
                right: &from_left + &half_along,
                bottom: body.bottom(),
                top: body.top(),
                out: None,
            },
            near: &off - &half_out,
            far: &off + &half_out,
        })
    }
}

/// Free distance between two stretches of one line; negative where they overlap.
pub(crate) fn apart(a: [&Uncertain; 2], b: [&Uncertain; 2]) -> Uncertain {
    (a[0] - b[1]).max(&(b[0] - a[1]))
}

/// Free distance between two upright rectangles on one wall, along or up whichever is
/// larger; negative where they overlap.
pub(crate) fn rects_apart(a: &WallRect, b: &WallRect) -> Uncertain {
    let along = apart([&a.left, &a.right], [&b.left, &b.right]);
    let up = apart([&a.bottom, &a.top], [&b.bottom, &b.top]);
    along.max(&up)
}
