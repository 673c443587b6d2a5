//! Under which angles does an eye see the picture?

use units::{Metres, Radians};

use crate::domain::positive;
use crate::vector::{self, Point};
use crate::{PictureSize, Pose};

/// A flat picture at its place in the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Picture {
    size: PictureSize,
    pose: Pose,
}

impl Picture {
    /// A picture of a size at a pose; `None` when the pose has a number that
    /// is not finite or a tilt past 90°.
    pub fn new(size: PictureSize, pose: Pose) -> Option<Self> {
        let pose = pose.checked()?;
        Some(Self { size, pose })
    }

    /// Its size.
    pub fn size(self) -> PictureSize {
        self.size
    }

    /// Its place and facing.
    pub fn pose(self) -> Pose {
        self.pose
    }

    /// The point of the picture plane right of and above the centre, m.
    pub fn point(self, from_centre: OnPicture) -> Point {
        let across = vector::scale(self.pose.across(), from_centre.right.0);
        let up = vector::scale(self.pose.up(), from_centre.up.0);
        vector::add(self.pose.centre_m, vector::add(across, up))
    }

    /// Corners as seen from the seats: top left, top right, bottom right,
    /// bottom left, m.
    pub fn corners_m(self) -> [Point; 4] {
        let (w, h) = (self.size.width() * 0.5, self.size.height() * 0.5);
        [(-w, h), (w, h), (w, -h), (-w, -h)].map(|(right, up)| self.point(OnPicture { right, up }))
    }

    /// Distance of a point from the picture plane, m: positive in front.
    pub fn distance_in_front(self, point_m: Point) -> Option<Metres> {
        let from_centre = vector::sub(point_m, self.pose.centre_m);
        crate::domain::finite(vector::dot(from_centre, self.pose.normal())).map(Metres)
    }

    /// Horizontal picture angle: between the lines from the eye to the middles
    /// of the left and right edges.
    ///
    /// Taken in space, so an eye above or below the picture's centre sees a
    /// smaller angle than the plan shows. At the height of the centre it is
    /// 2 atan(w/2D) on the axis (w picture width, D eye to picture, m) and the
    /// difference of two arc tangents off it. `None` unless the eye is in
    /// front of the picture plane.
    pub fn horizontal_angle(self, eye_m: Point) -> Option<Radians> {
        positive(self.distance_in_front(eye_m)?.0)?;
        let half = self.size.width() * 0.5;
        let [left, right] = [-half, half].map(|right| {
            let edge = self.point(OnPicture {
                right,
                up: Metres(0.0),
            });
            vector::sub(edge, eye_m)
        });
        vector::angle_between(left, right).map(Radians)
    }

    /// Angle of the picture's centre above the eye's level, negative below.
    ///
    /// atan(Δz/d), Δz rise and d plan distance from eye to centre, m. `None`
    /// when the eye is at the centre or not finite.
    pub fn vertical_angle_to_centre(self, eye_m: Point) -> Option<Radians> {
        elevation(eye_m, self.pose.centre_m)
    }

    /// Angle of the top edge above the eye's level, at the point of the edge
    /// nearest to the eye, where it stands highest.
    ///
    /// Before the picture this is the angle of the section drawing, atan(Δz/d).
    /// `None` when the eye is on the edge or not finite.
    pub fn vertical_angle_to_top(self, eye_m: Point) -> Option<Radians> {
        let from_centre = vector::sub(eye_m, self.pose.centre_m);
        let half = self.size.width().0 / 2.0;
        let right = vector::dot(from_centre, self.pose.across());
        // `max` and `min` pass a NaN over in silence; `clamp` keeps it.
        let top = OnPicture {
            right: Metres(right.clamp(-half, half)),
            up: self.size.height() * 0.5,
        };
        elevation(eye_m, self.point(top))
    }

    /// Angle at the picture's centre between its normal and the eye; see
    /// [`Pose::off_axis`].
    pub fn off_axis(self, eye_m: Point) -> Option<Radians> {
        self.pose.off_axis(eye_m)
    }

    /// Angle across one pixel at the picture's centre as seen by the eye.
    ///
    /// On the axis atan(p/D) for a small pitch p = w/columns at distance D;
    /// moved sideways it falls with cos² of the off-axis angle. `None` without
    /// columns or unless the eye is in front of the picture plane.
    pub fn pixel_angle(self, eye_m: Point, columns: u32) -> Option<Radians> {
        positive(self.distance_in_front(eye_m)?.0)?;
        let half_pitch = self.size.width() * (0.5 / positive(f64::from(columns))?);
        let [left, right] = [-half_pitch, half_pitch].map(|right| {
            let edge = self.point(OnPicture {
                right,
                up: Metres(0.0),
            });
            vector::sub(edge, eye_m)
        });
        vector::angle_between(left, right).map(Radians)
    }
}

/// A place on the picture plane, from its centre, seen from the seats.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OnPicture {
    /// To the right, m.
    pub right: Metres,
    /// Up along the picture, m.
    pub up: Metres,
}

/// Angle of a point above the eye's level.
fn elevation(eye_m: Point, point_m: Point) -> Option<Radians> {
    let [dx, dy, dz] = vector::sub(point_m, eye_m);
    let d = dx.hypot(dy);
    let usable = d.is_finite() && dz.is_finite() && (d > 0.0 || dz != 0.0);
    usable.then(|| Radians(dz.atan2(d)))
}

/// Distance on the axis at which a picture fills a horizontal angle.
///
/// D = w/(2 tan(φ/2)), φ from above 0 to below 180°. `None` outside.
pub fn distance_for_angle(width: Metres, angle: Radians) -> Option<Metres> {
    let half_angle = positive(angle.0)? / 2.0;
    if half_angle >= std::f64::consts::FRAC_PI_2 {
        return None;
    }
    positive(positive(width.0)? / (2.0 * half_angle.tan())).map(Metres)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::size::{Aspect, Sides};

    fn picture(facing_deg: f64, tilt_deg: f64) -> Picture {
        let size = PictureSize::from_width(Metres(2.2138), Aspect::TELEVISION).unwrap();
        let pose = Pose {
            centre_m: [0.0, 0.0, 1.5],
            facing: Radians::from_degrees(facing_deg),
            tilt: Radians::from_degrees(tilt_deg),
        };
        Picture::new(size, pose).unwrap()
    }

    #[test]
    fn corners_go_clockwise_from_the_top_left_of_the_seats() {
        let size = PictureSize::from_sides(Sides {
            width: Metres(2.0),
            height: Metres(1.0),
        })
        .unwrap();
        let pose = Pose {
            centre_m: [0.0, 0.0, 1.5],
            facing: Radians(0.0),
            tilt: Radians(0.0),
        };
        // Seen from +x the right hand points to +y.
        let expected = [
            [0.0, -1.0, 2.0],
            [0.0, 1.0, 2.0],
            [0.0, 1.0, 1.0],
            [0.0, -1.0, 1.0],
        ];
        assert_eq!(Picture::new(size, pose).unwrap().corners_m(), expected);
    }

    #[test]
    fn off_centre_angle_is_the_difference_of_two_arc_tangents() {
        let (d, y, half) = (3.0, 0.8, 1.1069_f64);
        let exact = ((half - y) / d).atan() - ((-half - y) / d).atan();
        let angle = picture(0.0, 0.0).horizontal_angle([d, y, 1.5]).unwrap();
        assert!((angle.0 - exact).abs() < 1e-12);
    }

    #[test]
    fn sideways_pixel_angle_falls_with_the_square_of_the_cosine() {
        let picture = picture(0.0, 0.0);
        let on_axis = picture.pixel_angle([3.0, 0.0, 1.5], 3840).unwrap().0;
        let aside = picture.pixel_angle([3.0, 3.0, 1.5], 3840).unwrap().0;
        assert!((aside / on_axis - 0.5).abs() < 1e-6);
    }

    #[test]
    fn top_edge_is_highest_straight_ahead() {
        let picture = picture(0.0, 0.0);
        let ahead = picture.vertical_angle_to_top([2.0, 0.0, 1.1]).unwrap().0;
        let within = picture.vertical_angle_to_top([2.0, 1.0, 1.1]).unwrap().0;
        let beside = picture.vertical_angle_to_top([2.0, 2.0, 1.1]).unwrap().0;
        assert!((ahead - within).abs() < 1e-12);
        assert!(beside < within);
    }

    #[test]
    fn eyes_behind_or_nowhere_see_no_picture() {
        let picture = picture(0.0, 0.0);
        for eye in [
            [-2.0, 0.0, 1.1],
            [0.0, 0.5, 1.5],
            [f64::NAN, 0.0, 1.1],
            [2.0, f64::NAN, 1.1],
            [f64::INFINITY, 0.0, 1.1],
        ] {
            assert_eq!(picture.horizontal_angle(eye), None, "{eye:?}");
            assert_eq!(picture.pixel_angle(eye, 1920), None, "{eye:?}");
        }
        assert_eq!(picture.vertical_angle_to_centre([f64::NAN; 3]), None);
        assert_eq!(picture.vertical_angle_to_top([f64::NAN; 3]), None);
        assert_eq!(picture.pixel_angle([2.0, 0.0, 1.1], 0), None);
        for bad in [0.0, -0.1, 180.0, f64::NAN] {
            let angle = Radians::from_degrees(bad);
            assert_eq!(distance_for_angle(Metres(2.0), angle), None);
        }
        assert_eq!(distance_for_angle(Metres(-2.0), Radians(0.5)), None);
    }

    proptest! {
        #[test]
        fn distance_for_angle_inverts_the_angle(d in 0.5..20.0) {
            let picture = picture(0.0, 0.0);
            let angle = picture.horizontal_angle([d, 0.0, 1.5]).unwrap();
            let back = distance_for_angle(picture.size().width(), angle).unwrap();
            prop_assert!((back.0 - d).abs() < 1e-9 * d);
        }

        #[test]
        fn angle_falls_with_distance_before_the_picture(d in 0.3..10.0, step in 0.01..3.0, y in -1.1..1.1, z in 0.5..2.5) {
            let picture = picture(0.0, 0.0);
            let near = picture.horizontal_angle([d, y, z]).unwrap().0;
            let far = picture.horizontal_angle([d + step, y, z]).unwrap().0;
            prop_assert!(far < near);
        }

        #[test]
        fn mirrored_eye_sees_the_same_angles(d in 0.3..10.0, y in -4.0..4.0, z in 0.2..3.0, tilt in -30.0..30.0) {
            let picture = picture(0.0, tilt);
            prop_assume!(picture.distance_in_front([d, y, z]).unwrap().0 > 0.01);
            let angles = |eye| [
                picture.horizontal_angle(eye),
                picture.off_axis(eye),
                picture.vertical_angle_to_centre(eye),
                picture.vertical_angle_to_top(eye),
                picture.pixel_angle(eye, 1920),
            ].map(|angle| angle.unwrap().0);
            let (here, there) = (angles([d, y, z]), angles([d, -y, z]));
            for (a, b) in here.into_iter().zip(there) {
                prop_assert!((a - b).abs() < 1e-9);
            }
        }

        #[test]
        fn turning_the_room_changes_no_angle(d in 0.3..10.0, y in -4.0..4.0, z in 0.2..3.0, turn in -180.0..180.0) {
            let (sin, cos) = f64::to_radians(turn).sin_cos();
            let turned = [d * cos - y * sin, d * sin + y * cos, z];
            let angle = |facing, eye| picture(facing, 0.0).horizontal_angle(eye).unwrap().0;
            prop_assert!((angle(0.0, [d, y, z]) - angle(turn, turned)).abs() < 1e-9);
        }
    }
}
