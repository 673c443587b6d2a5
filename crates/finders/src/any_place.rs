//! Is there any place for a projector at a height?
//!
//! One free place is enough, and where there was one a little higher there mostly is one. A
//! thing's shadow over the plan, which takes some sixty distances of two bodies, is followed
//! only where the thing stands in the beam from a place that nothing else bars.

use std::cell::Cell;

use checks::hanging::Hanging;
use geometry::{Convex, Point3, Vec3};

use crate::half_plane::Point;
use crate::hanging_cells::{Height, Unshadowed, beam_gap_m, outline, picture_corners, unshadowed};
use crate::region::{Barred, Shape, any_place, is_free};
use crate::shadow::{LensAt, Met, shadow};

/// Looks for places at one height after another.
pub(crate) struct AnyPlace<'a> {
    hanging: &'a Hanging,
    picture: [Point3; 4],
    met: Vec<Met>,
    /// The direction that parted each thing from the last beam that was clear of it: a beam
    /// that it parts as well needs no distance.
    apart: Vec<Cell<Vec3>>,
    /// Where there was one.
    last: Option<Point>,
}

impl<'a> AnyPlace<'a> {
    pub fn new(hanging: &'a Hanging) -> Self {
        let solids = hanging.shadows.iter().flat_map(|thing| &thing.solids);
        let met: Vec<Met> = solids.filter_map(Met::of).collect();
        Self {
            hanging,
            picture: picture_corners(&hanging.picture),
            apart: vec![Cell::default(); met.len()],
            met,
            last: None,
        }
    }

    /// Whether there is a place at a height.
    pub fn is_at(&mut self, height: Height) -> bool {
        let mut cells = unshadowed(self.hanging, height);
        let is_one = |place: Point| {
            let free = |found: &&Unshadowed| is_free(&found.cell, place);
            let cell = cells.iter().find(free);
            cell.is_some_and(|found| self.first_met(found.lens, place, &[]).is_none())
        };
        if self.last.is_some_and(is_one) {
            return true;
        }
        self.last = (cells.iter_mut()).find_map(|found| self.place_in(found));
        self.last.is_some()
    }

    /// A free place of a cell, its shadows followed as far as they stand in the way.
    fn place_in(&self, found: &mut Unshadowed) -> Option<Point> {
        let corners = &self.hanging.corners;
        let whole = outline(corners, &found.cell);
        if whole.len() < 3 {
            return None;
        }
        let mut followed = Vec::new();
        loop {
            let place = any_place(corners, &found.cell)?;
            let Some(thing) = self.first_met(found.lens, place, &followed) else {
                return Some(place);
            };
            let gap_m = beam_gap_m(self.hanging);
            let met = &self.met[thing];
            if let Some(sides) = shadow(&whole, found.lens, self.picture, met, gap_m) {
                found.cell.barred.push(Barred {
                    stop: 0,
                    shape: Shape::Inside(sides),
                });
            }
            followed.push(thing);
        }
    }

    /// The first thing that the beam meets from a place, of those not followed yet.
    fn first_met(&self, lens: LensAt, place: Point, followed: &[usize]) -> Option<usize> {
        let beam = Convex::pyramid(lens.lens(place), self.picture).ok()?;
        let gap_m = beam_gap_m(self.hanging);
        let is_met = |thing: &usize| {
            let (met, apart) = (&self.met[*thing], &self.apart[*thing]);
            let n = apart.get();
            let along = |p: &Point3| (*p - Point3::default()).dot(n);
            let reach = beam
                .vertices()
                .iter()
                .map(along)
                .fold(f64::NEG_INFINITY, f64::max);
            if met.nearest(n) - reach > gap_m {
                return false;
            }
            let (distance, away) = met.clearance(&beam);
            if distance > gap_m {
                apart.set(away);
            }
            distance <= gap_m
        };
        (0..self.met.len()).find(|thing| !followed.contains(thing) && is_met(thing))
    }
}
