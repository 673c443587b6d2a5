//! How should a display on an arm be turned so that its seats see it squarely?
//!
//! The panel turns about its own centre: where the arm moves the centre with
//! the tilt, give the moved centre. The angle itself is [`Pose::off_axis`].
//! For one eye at d = eye − centre and a panel that faces along the plan
//! direction f, the tilt with the least angle is t = atan2(−d_z, d·f).
//! Exact geometry, no source needed.

use std::ops::RangeInclusive;

use units::Radians;

use crate::Pose;
use crate::domain::finite;
use crate::vector::{self, Point};

/// The pose that faces an eye squarely. `None` when the eye is straight above
/// or below the centre (any facing does) or a number is not finite.
pub fn pose_towards(centre_m: Point, eye_m: Point) -> Option<Pose> {
    let [dx, dy, dz] = vector::sub(eye_m, centre_m);
    let plan = dx.hypot(dy);
    let usable = plan > 0.0 && plan.is_finite() && dz.is_finite();
    usable.then(|| Pose {
        centre_m,
        facing: Radians(dy.atan2(dx)),
        tilt: Radians((-dz).atan2(plan)),
    })
}

/// The tilts that an arm or bracket allows: −90° ≤ least ≤ greatest ≤ 90°,
/// positive when the panel faces down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TiltRange {
    least: Radians,
    greatest: Radians,
}

impl TiltRange {
    /// A range as printed, least first; `None` outside −90° to 90°.
    pub fn new(tilts: RangeInclusive<Radians>) -> Option<Self> {
        let (least, greatest) = (*tilts.start(), *tilts.end());
        let quarter = std::f64::consts::FRAC_PI_2;
        let ordered = -quarter <= least.0 && least <= greatest && greatest.0 <= quarter;
        ordered.then_some(Self { least, greatest })
    }
}

/// A tilt and the angle that the worst-placed eye then has from the normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestTilt {
    /// The tilt, positive when the panel faces down.
    pub tilt: Radians,
    /// The greatest off-axis angle over the eyes at that tilt.
    pub off_axis: Radians,
}

/// The tilt in a range at which the worst-placed eye is least off the axis.
///
/// The facing of `pose` stays, its tilt is not used. Each eye's angle falls
/// and then rises over the tilt, so their greatest does too, and a
/// golden-section search finds its least to better than 1e-6 rad. `None`
/// without eyes, with an eye not before the upright panel, or with a number
/// that is not finite.
pub fn best_tilt(pose: Pose, eyes_m: &[Point], range: TiltRange) -> Option<BestTilt> {
    let upright = Pose {
        tilt: Radians(0.0),
        ..pose
    };
    let front = upright.checked()?.normal();
    let ahead = |eye: &Point| {
        let distance = vector::dot(vector::sub(*eye, pose.centre_m), front);
        vector::is_finite(*eye) && finite(distance).is_some_and(|d| d > 0.0)
    };
    if !eyes_m.iter().all(ahead) {
        return None;
    }
    let worst = |tilt: f64| {
        let tilted = Pose {
            tilt: Radians(tilt),
            ..pose
        };
        worst_off_axis(tilted, eyes_m).map(|angle| angle.0)
    };

    let golden = (5f64.sqrt() - 1.0) / 2.0;
    let (mut low, mut high) = (range.least.0, range.greatest.0);
    // 40 cuts shrink half a turn to 1.4e-8 rad.
    for _ in 0..40 {
        let width = golden * (high - low);
        if worst(high - width)? <= worst(low + width)? {
            high = low + width;
        } else {
            low = high - width;
        }
    }
    // A least at an end of the range is reached there exactly.
    let candidates = [range.least.0, (low + high) / 2.0, range.greatest.0];
    let mut best: Option<BestTilt> = None;
    for tilt in candidates {
        let off_axis = worst(tilt)?;
        if best.is_none_or(|b| off_axis < b.off_axis.0) {
            best = Some(BestTilt {
                tilt: Radians(tilt),
                off_axis: Radians(off_axis),
            });
        }
    }
    best
}

/// The greatest angle from the panel's normal over a set of eyes. `None`
/// without eyes or where [`Pose::off_axis`] has none.
pub fn worst_off_axis(pose: Pose, eyes_m: &[Point]) -> Option<Radians> {
    let mut worst = pose.off_axis(*eyes_m.first()?)?.0;
    for eye in eyes_m {
        worst = worst.max(pose.off_axis(*eye)?.0);
    }
    Some(Radians(worst))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const CENTRE: Point = [0.3, 0.0, 1.9];

    fn range(least_deg: f64, greatest_deg: f64) -> TiltRange {
        let ends = Radians::from_degrees(least_deg)..=Radians::from_degrees(greatest_deg);
        TiltRange::new(ends).unwrap()
    }

    fn pose() -> Pose {
        Pose {
            centre_m: CENTRE,
            facing: Radians(0.0),
            tilt: Radians(0.0),
        }
    }

    #[test]
    fn bracket_that_stops_short_is_used_to_its_stop() {
        let best = best_tilt(pose(), &[[1.3, 0.0, 0.9]], range(0.0, 15.0)).unwrap();
        assert_eq!(best.tilt, Radians::from_degrees(15.0));
        assert!((best.off_axis.degrees() - 30.0).abs() < 1e-9);
    }

    #[test]
    fn two_eyes_share_the_angle() {
        // 45° and 15° down: the middle, 30°, leaves 15° to each.
        let eyes = [[1.3, 0.0, 0.9], [1.3, 0.0, 1.9 - 15f64.to_radians().tan()]];
        let best = best_tilt(pose(), &eyes, range(-10.0, 60.0)).unwrap();
        assert!((best.tilt.degrees() - 30.0).abs() < 1e-4);
        assert!((best.off_axis.degrees() - 15.0).abs() < 1e-4);
    }

    #[test]
    fn worst_eye_decides() {
        // 45° and 0° from an upright panel.
        let eyes = [[1.3, 1.0, 1.9], [2.3, 0.0, 1.9]];
        let worst = worst_off_axis(pose(), &eyes).unwrap();
        assert!((worst.degrees() - 45.0).abs() < 1e-9);
        assert_eq!(worst_off_axis(pose(), &[]), None);
        assert_eq!(worst_off_axis(pose(), &[eyes[0], [f64::NAN; 3]]), None);
    }

    #[test]
    fn impossible_displays_are_refused() {
        assert_eq!(pose_towards(CENTRE, CENTRE), None);
        assert_eq!(pose_towards(CENTRE, [f64::NAN, 0.0, 1.0]), None);
        assert_eq!(best_tilt(pose(), &[], range(0.0, 15.0)), None);
        for eye in [[-1.0, 0.0, 1.0], [2.0, f64::NAN, 1.0]] {
            assert_eq!(best_tilt(pose(), &[eye], range(0.0, 15.0)), None);
        }
        let inside_out = Radians(0.2)..=Radians(0.1);
        assert_eq!(TiltRange::new(inside_out), None);
        assert_eq!(TiltRange::new(Radians(f64::NAN)..=Radians(0.1)), None);
    }

    proptest! {
        #[test]
        fn pose_towards_an_eye_faces_it(x in -4.0..4.0, y in -4.0..4.0, z in 0.2..3.0) {
            prop_assume!(f64::hypot(x - CENTRE[0], y) > 0.01);
            let pose = pose_towards(CENTRE, [x, y, z]).unwrap();
            prop_assert!(pose.off_axis([x, y, z]).unwrap().0 < 1e-9);
        }

        #[test]
        fn search_agrees_with_the_equation_for_one_eye(x in 1.0..4.0, y in -2.0..2.0, z in 0.2..3.0) {
            let exact = f64::atan2(CENTRE[2] - z, x - CENTRE[0]);
            let best = best_tilt(pose(), &[[x, y, z]], range(-90.0, 90.0)).unwrap();
            prop_assert!((best.tilt.0 - exact).abs() < 1e-6);
        }

        #[test]
        fn mirrored_eyes_want_the_same_tilt(x in 1.0..4.0, y in -2.0..2.0, z in 0.2..1.8) {
            let other = [2.5, 0.4, 1.0];
            let best = |eyes: [Point; 2]| best_tilt(pose(), &eyes, range(-10.0, 20.0)).unwrap();
            let here = best([[x, y, z], other]);
            let there = best([[x, -y, z], [2.5, -0.4, 1.0]]);
            prop_assert!((here.tilt.0 - there.tilt.0).abs() < 1e-9);
        }
    }
}
