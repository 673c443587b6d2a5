//! Which space does the light take on its way from lens to picture?
//!
//! The beam is the pyramid of straight lines from the lens to the corners:
//! P(t) = L + t (K − L), with L lens, K corner, t from 0 at the lens to 1 at
//! the picture. Valid for a point lens: keep things off it by the lens radius
//! and 50 mm more (from memory). It changes with every change of zoom or
//! shift.

use units::Metres;

use crate::Picture;
use crate::domain::{finite, positive};
use crate::vector::{self, Point};

/// The beam between a lens and a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pyramid {
    lens_m: Point,
    corners_m: [Point; 4],
    /// Unit normal of the picture, towards the lens.
    normal: Point,
    throw_m: f64,
}

/// A plane through a point, square to a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Any point of the plane, m.
    pub point_m: Point,
    /// Direction square to the plane, of any length but zero.
    pub normal: Point,
}

impl Pyramid {
    /// The beam from a lens onto a picture; `None` unless the lens is in front
    /// of the picture plane.
    pub fn new(lens_m: Point, picture: Picture) -> Option<Self> {
        let throw_m = positive(picture.distance_in_front(lens_m)?.0)?;
        let corners_m = picture.corners_m();
        let usable = vector::is_finite(lens_m) && corners_m.iter().all(|c| vector::is_finite(*c));
        usable.then(|| Self {
            lens_m,
            corners_m,
            normal: picture.pose().normal(),
            throw_m,
        })
    }

    /// The front of the lens, m.
    pub(crate) fn lens(self) -> Point {
        self.lens_m
    }

    /// The picture's corners in the order of [`Pyramid::corners_at`], m.
    pub(crate) fn corners(self) -> [Point; 4] {
        self.corners_m
    }

    /// Unit normal of the picture, towards the lens.
    pub(crate) fn normal(self) -> Point {
        self.normal
    }

    /// Lens to picture plane, square to it, m.
    pub fn throw(self) -> Metres {
        Metres(self.throw_m)
    }

    /// The four corners of the beam at a distance from the lens, measured
    /// square to the picture: top left, top right, bottom right, bottom left
    /// as seen from the seats, m. `None` outside lens to picture.
    pub fn corners_at(self, distance: Metres) -> Option<[Point; 4]> {
        let t = finite(distance.0 / self.throw_m)?;
        (0.0..=1.0)
            .contains(&t)
            .then(|| self.corners_m.map(|corner| on_line(self.lens_m, corner, t)))
    }

    /// Where the four corner lines cross a plane between lens and picture, in
    /// the order of [`Pyramid::corners_at`]. `None` when the plane misses one
    /// of them, touches the lens, or is not finite.
    pub fn section(self, plane: Plane) -> Option<[Point; 4]> {
        let to_plane = finite(vector::dot(
            vector::sub(plane.point_m, self.lens_m),
            plane.normal,
        ))?;
        let mut section = [[0.0; 3]; 4];
        for (crossing, corner) in section.iter_mut().zip(self.corners_m) {
            let to_corner = vector::dot(vector::sub(corner, self.lens_m), plane.normal);
            let t = finite(to_plane / to_corner)?;
            if t <= 0.0 || t > 1.0 {
                return None;
            }
            *crossing = on_line(self.lens_m, corner, t);
        }
        Some(section)
    }

    /// [`Pyramid::section`] at the plane of one x.
    pub fn section_at_x(self, x: Metres) -> Option<[Point; 4]> {
        self.section(Plane {
            point_m: [x.0, 0.0, 0.0],
            normal: [1.0, 0.0, 0.0],
        })
    }

    /// How far a point is outside the beam, m: negative inside.
    ///
    /// The distance to the nearest side plane that the point is beyond, or to
    /// the picture plane behind it. Beside an edge or the lens the true
    /// distance is a little more, so a thing of radius r that has a clearance
    /// above r is surely clear. `None` when the point is not finite.
    pub fn clearance(self, point_m: Point) -> Option<Metres> {
        let from_lens = vector::sub(point_m, self.lens_m);
        let beyond_picture = -vector::dot(from_lens, self.normal) - self.throw_m;
        let mut clearance = finite(beyond_picture)?;
        for side in 0..4 {
            let [here, next, opposite] = [side, side + 1, side + 2]
                .map(|corner| vector::sub(self.corners_m[corner % 4], self.lens_m));
            let square = vector::cross(here, next);
            // The opposite corner is inside, so it tells which way is out.
            let outward = -vector::dot(square, opposite).signum() / vector::norm(square);
            clearance = clearance.max(finite(vector::dot(from_lens, square) * outward)?);
        }
        Some(Metres(clearance))
    }
}

fn on_line(lens: Point, corner: Point, t: f64) -> Point {
    vector::add(lens, vector::scale(vector::sub(corner, lens), t))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use units::Radians;

    use super::*;
    use crate::{Aspect, PictureSize, Pose};

    fn picture() -> Picture {
        let size = PictureSize::from_width(Metres(2.4), Aspect::TELEVISION).unwrap();
        let pose = Pose {
            centre_m: [0.0, 0.0, 1.4],
            facing: Radians(0.0),
            tilt: Radians(0.0),
        };
        Picture::new(size, pose).unwrap()
    }

    fn beam() -> Pyramid {
        Pyramid::new([3.6, 0.0, 2.2], picture()).unwrap()
    }

    #[test]
    fn beam_is_half_as_wide_half_way() {
        let [top_left, top_right, bottom_right, _] = beam().corners_at(Metres(1.8)).unwrap();
        assert!((top_right[1] - top_left[1] - 1.2).abs() < 1e-12);
        assert!((top_right[2] - bottom_right[2] - 0.675).abs() < 1e-12);
        assert!((top_left[0] - 1.8).abs() < 1e-12);
    }

    #[test]
    fn picture_closes_the_beam() {
        let end = beam().corners_at(Metres(3.6)).unwrap();
        for (at_end, corner) in end.into_iter().zip(picture().corners_m()) {
            assert!(vector::norm(vector::sub(at_end, corner)) < 1e-12);
        }
        assert_eq!(beam().corners_at(Metres(3.7)), None);
    }

    #[test]
    fn clearance_tells_inside_from_outside() {
        let clearance = |point| beam().clearance(point).unwrap().0;
        // Half way the beam is 1.2 m wide: its axis is inside, a lamp 0.9 m
        // aside is 0.3 m from the edge and a little less from the slant side.
        assert!(clearance([1.8, 0.0, 1.8]) < -0.3);
        let slant = (1.2f64 / 3.6).atan().cos();
        assert!((clearance([1.8, 0.9, 1.8]) - 0.3 * slant).abs() < 1e-12);
        assert!(clearance([4.0, 0.0, 2.2]) > 0.0);
        assert!((clearance([-0.2, 0.0, 1.4]) - 0.2).abs() < 1e-12);
    }

    #[test]
    fn impossible_beams_are_refused() {
        assert_eq!(Pyramid::new([-1.0, 0.0, 2.0], picture()), None);
        assert_eq!(Pyramid::new([0.0, 0.0, 2.0], picture()), None);
        assert_eq!(Pyramid::new([f64::NAN, 0.0, 2.0], picture()), None);
        assert_eq!(beam().clearance([0.0, f64::NAN, 1.0]), None);
        for x in [3.6, 4.0, -0.1, f64::NAN] {
            assert_eq!(beam().section_at_x(Metres(x)), None);
        }
    }

    proptest! {
        #[test]
        fn section_points_lie_on_the_beam(x in 0.1..3.5) {
            for point in beam().section_at_x(Metres(x)).unwrap() {
                prop_assert!((point[0] - x).abs() < 1e-9);
                prop_assert!(beam().clearance(point).unwrap().0.abs() < 1e-9);
            }
        }

        #[test]
        fn mirrored_thing_has_the_same_clearance(x in -1.0..5.0, y in -3.0..3.0, z in 0.0..3.0) {
            let here = beam().clearance([x, y, z]).unwrap().0;
            let there = beam().clearance([x, -y, z]).unwrap().0;
            prop_assert!((here - there).abs() < 1e-9);
        }
    }
}
