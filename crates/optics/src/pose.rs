//! Where does a flat picture stand, and which way does it face?

use units::Radians;

use crate::domain::finite;
use crate::vector::{self, Point};

/// A picture's centre and facing; pictures never roll about their normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Picture centre, m.
    pub centre_m: Point,
    /// Plan direction of the normal towards the seats, from +x towards +y.
    pub facing: Radians,
    /// Tilt about the horizontal axis, positive when the picture faces down;
    /// from −90° to 90°.
    pub tilt: Radians,
}

impl Pose {
    /// Unit normal from the picture towards the seats:
    /// n = (cos t cos f, cos t sin f, −sin t), f facing, t tilt.
    pub fn normal(self) -> Point {
        let (sin_t, cos_t) = self.tilt.0.sin_cos();
        let (sin_f, cos_f) = self.facing.0.sin_cos();
        [cos_t * cos_f, cos_t * sin_f, -sin_t]
    }

    /// Unit vector to the right as seen from the seats.
    pub fn across(self) -> Point {
        let (sin_f, cos_f) = self.facing.0.sin_cos();
        [-sin_f, cos_f, 0.0]
    }

    /// Unit vector up along the picture.
    pub fn up(self) -> Point {
        let (sin_t, cos_t) = self.tilt.0.sin_cos();
        let (sin_f, cos_f) = self.facing.0.sin_cos();
        [sin_t * cos_f, sin_t * sin_f, cos_t]
    }

    /// Angle at the centre between the normal and the line to an eye.
    ///
    /// θ = ∠(eye − centre, n), 0 to π; above 90° the eye is behind the
    /// picture. `None` when the eye is at the centre, a number is not finite
    /// or the tilt is past 90°.
    pub fn off_axis(self, eye_m: Point) -> Option<Radians> {
        self.checked()?;
        let to_eye = vector::sub(eye_m, self.centre_m);
        vector::angle_between(to_eye, self.normal()).map(Radians)
    }

    /// This pose when all its numbers are usable.
    pub(crate) fn checked(self) -> Option<Self> {
        finite(self.facing.0)?;
        let upright = finite(self.tilt.0)?.abs() <= std::f64::consts::FRAC_PI_2;
        (upright && vector::is_finite(self.centre_m)).then_some(self)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::vector::{cross, dot, norm, sub};

    #[test]
    fn picture_tilted_down_faces_the_floor() {
        let pose = Pose {
            centre_m: [0.0, 0.0, 2.0],
            facing: Radians(0.0),
            tilt: Radians::from_degrees(30.0),
        };
        let below = [3f64.sqrt(), 0.0, 1.0];
        assert!(pose.off_axis(below).unwrap().0 < 1e-12);
    }

    #[test]
    fn unusable_poses_have_no_angle() {
        let pose = Pose {
            centre_m: [0.0, 0.0, 1.0],
            facing: Radians(0.0),
            tilt: Radians(0.0),
        };
        assert_eq!(pose.off_axis(pose.centre_m), None);
        assert_eq!(pose.off_axis([f64::NAN, 0.0, 0.0]), None);
        assert_eq!(pose.off_axis([f64::INFINITY, 0.0, 0.0]), None);
        let overturned = Pose {
            tilt: Radians(2.0),
            ..pose
        };
        assert_eq!(overturned.off_axis([1.0, 0.0, 0.0]), None);
    }

    proptest! {
        #[test]
        fn axes_are_orthonormal_and_right_handed(f in -4.0..4.0, t in -1.5..1.5) {
            let pose = Pose { centre_m: [0.0; 3], facing: Radians(f), tilt: Radians(t) };
            let (across, up, normal) = (pose.across(), pose.up(), pose.normal());
            prop_assert!(dot(across, up).abs() < 1e-12);
            prop_assert!((norm(up) - 1.0).abs() < 1e-12);
            prop_assert!(norm(sub(cross(across, up), normal)) < 1e-12);
        }
    }
}
