//! How should a display on an arm be turned so that its seats see it squarely?
//!
//! The panel turns about its own centre: where the arm moves the centre with
//! the tilt, give the moved centre. The angle itself is [`Pose::off_axis`].
//! For one eye at d = eye − centre and a panel that faces along the plan
//! direction f, the tilt with the least angle is t = atan2(−d_z, d·f).
//! Exact geometry, no source needed.
//!
//! An arm on two equal links carries the panel along an arc without turning it:
//! every point of the panel goes round a circle of the links' length. Places
//! before a wall are told as off it and up it, m.

use std::ops::RangeInclusive;

use units::{Metres, Radians};

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

/// What an arm that pulls a panel down and out does to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArmTravel {
    /// From the wall to the panel's back, parked, m.
    pub standoff: Metres,
    /// From the wall to the panel's back, fully down, m.
    pub reach: Metres,
    /// How far it comes down, m.
    pub drop: Metres,
    /// Length of its two equal links; a straight way when not known, m.
    pub link: Option<Metres>,
}

impl ArmTravel {
    /// Whether its links are long enough to get from one end to the other.
    pub fn is_possible(self) -> bool {
        let chord = (self.reach.0 - self.standoff.0).hypot(self.drop.0);
        self.link.is_none_or(|link| link.0 >= chord / 2.0)
    }

    /// Off the wall and down from the parked place at a part of the way, 0 to 1.
    ///
    /// Straight: both in proportion. On links of length L: round the point on the wall's
    /// side of the chord c that is √(L² − c²/4) from its middle.
    pub fn at(self, part: f64) -> [f64; 2] {
        let (s, r, t) = (self.standoff.0, self.reach.0, self.drop.0);
        let (out, chord) = (r - s, (r - s).hypot(t));
        let straight = [s + out * part, t * part];
        let Some(link) = self.link.map(|link| link.0).filter(|_| chord > 0.0) else {
            return straight;
        };
        let bow = link * link - chord * chord / 4.0;
        if bow < 0.0 {
            return straight;
        }
        // The chord runs out and down, (out, t)/c; (−t, out)/c points at the wall, and down.
        let bow = bow.sqrt() / chord;
        let centre = [(s + r) / 2.0 - t * bow, t / 2.0 + out * bow];
        let angle = |off: f64, down: f64| (down - centre[1]).atan2(off - centre[0]);
        let (from, to) = (angle(s, 0.0), angle(r, t));
        let here = from + (to - from) * part;
        [centre[0] + link * here.cos(), centre[1] + link * here.sin()]
    }
}

/// An upright box before a wall: where it begins and ends on each axis, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxBeforeWall {
    /// Along the wall.
    pub along: [f64; 2],
    /// Up the wall.
    pub up: [f64; 2],
    /// Out from the wall.
    pub off: [f64; 2],
}

/// Free distance between two stretches of one line; negative where they overlap.
fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[1]).max(b[0] - a[1])
}

/// The least free distance of a parked panel from a thing while its arm carries it all the
/// way, m: at each place the largest of the distances along, up and out, negative where they
/// meet. `off` of the panel is as parked. `None` for numbers that are not finite.
pub fn clearance_on_the_way(
    travel: ArmTravel,
    parked: BoxBeforeWall,
    thing: BoxBeforeWall,
) -> Option<Metres> {
    let along = apart(parked.along, thing.along);
    let here = |part: f64| {
        let [off, down] = travel.at(part);
        let out = off - travel.standoff.0;
        let up = apart(parked.up.map(|edge| edge - down), thing.up);
        let off = apart(parked.off.map(|face| face + out), thing.off);
        along.max(up).max(off)
    };
    const PLACES: u32 = 48;
    let place = |count: u32| f64::from(count) / f64::from(PLACES);
    let (nearest, there) = (0..=PLACES)
        .map(|count| (count, here(place(count))))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    // Nowhere is it less than along the wall.
    if there == along {
        return finite(there).map(Metres);
    }
    // Between its neighbours the distance falls and rises once: thirds find the turn.
    let mut low = place(nearest.saturating_sub(1));
    let mut high = place((nearest + 1).min(PLACES));
    for _ in 0..40 {
        let third = (high - low) / 3.0;
        if here(low + third) <= here(high - third) {
            high -= third;
        } else {
            low += third;
        }
    }
    let least = here((low + high) / 2.0).min(there);
    finite(least).map(Metres)
}

/// A panel on an arm at full reach, turned to a side and tilted down about the middle of its
/// back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnedPanel {
    /// Panel's width, m.
    pub width: Metres,
    /// Panel's height, m.
    pub height: Metres,
    /// From the wall to the middle of its back, m.
    pub reach: Metres,
}

impl TurnedPanel {
    /// How far its nearest corner stays from the wall:
    /// reach − w/2 |sin ψ| − h/2 |sin t| cos ψ, m; ψ turn, t tilt, up to a right angle each.
    /// Negative: it does not get there. `None` outside.
    pub fn off_wall(self, turn: Radians, tilt: Radians) -> Option<Metres> {
        let quarter = std::f64::consts::FRAC_PI_2;
        let usable = |angle: Radians| finite(angle.0).filter(|angle| angle.abs() <= quarter);
        let (turn, tilt) = (usable(turn)?, usable(tilt)?);
        let side = self.width.0 / 2.0 * turn.sin().abs();
        let edge = self.height.0 / 2.0 * tilt.sin().abs() * turn.cos();
        finite(self.reach.0 - side - edge).map(Metres)
    }

    /// The greatest turn, untilted, that leaves a distance to the wall: ψ = asin(2 (reach −
    /// c)/w), a right angle where the panel never gets that near. `None` when it is nearer
    /// already.
    pub fn turn_max(self, clear: Metres) -> Option<Radians> {
        let room = crate::domain::non_negative(self.reach.0 - clear.0)?;
        let half = crate::domain::positive(self.width.0)? / 2.0;
        Some(Radians((room / half).min(1.0).asin()))
    }
}

/// An eye before a picture in the section drawing, and how far above level it looks at rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RestingEye {
    /// To the picture in plan, m; above zero.
    pub distance: Metres,
    /// Above the floor, m.
    pub height: Metres,
    /// Above level, positive up.
    pub rest: Radians,
}

impl RestingEye {
    /// The angle by which a point at a height stands above the way the eye looks at rest.
    pub fn above_rest(self, height: Metres) -> Radians {
        let above = (height.0 - self.height.0).atan2(self.distance.0);
        Radians(above - self.rest.0)
    }
}

/// The height of the picture's centre, within a range, at which the eye that has to turn most
/// has to turn least.
///
/// Every angle grows with the height, so the best is where the greatest and the least are
/// opposite. `None` without eyes, with an eye not before the picture, or with a range that is
/// none.
pub fn best_height(eyes: &[RestingEye], range: RangeInclusive<Metres>) -> Option<Metres> {
    let (mut low, mut high) = (finite(range.start().0)?, finite(range.end().0)?);
    let usable = |eye: &RestingEye| {
        eye.distance.0 > 0.0 && finite(eye.distance.0 + eye.height.0 + eye.rest.0).is_some()
    };
    if eyes.is_empty() || low > high || !eyes.iter().all(usable) {
        return None;
    }
    let balance = |height: f64| {
        let above = eyes.iter().map(|eye| eye.above_rest(Metres(height)).0);
        let (least, most) = above.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), a| {
            (least.min(a), most.max(a))
        });
        least + most
    };
    if balance(low) >= 0.0 {
        return Some(Metres(low));
    }
    if balance(high) <= 0.0 {
        return Some(Metres(high));
    }
    // 50 halvings of any room leave less than rounding does.
    for _ in 0..50 {
        let middle = (low + high) / 2.0;
        if balance(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(Metres((low + high) / 2.0))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const TRAVEL: ArmTravel = ArmTravel {
        standoff: Metres(0.1),
        reach: Metres(0.1),
        drop: Metres(0.6),
        link: Some(Metres(0.5)),
    };

    #[test]
    fn an_arc_comes_out_before_it_comes_down() {
        // Links of 0.5 m, 0.6 m down between places equally far off: 3-4-5 twice, so that the
        // pivots are 0.4 m behind the chord and the panel 0.1 m farther out halfway.
        let [off, down] = TRAVEL.at(0.5);
        assert!((off - 0.2).abs() < 1e-12 && (down - 0.3).abs() < 1e-12);
        for (part, expected) in [(0.0, [0.1, 0.0]), (1.0, [0.1, 0.6])] {
            let [off, down] = TRAVEL.at(part);
            assert!((off - expected[0]).abs() < 1e-12 && (down - expected[1]).abs() < 1e-12);
        }
        let straight = ArmTravel {
            link: None,
            ..TRAVEL
        };
        assert_eq!(straight.at(0.5), [0.1, 0.3]);
        let short = ArmTravel {
            link: Some(Metres(0.29)),
            ..TRAVEL
        };
        assert!(!short.is_possible() && TRAVEL.is_possible());
    }

    #[test]
    fn the_way_meets_what_neither_end_meets() {
        // A panel 50 mm thick and 0.7 m high; a shelf 0.2 m below its parked lower edge that
        // ends 0.25 m off the wall. Straight down it goes through the shelf (front at 0.15 m).
        let parked = BoxBeforeWall {
            along: [0.0, 1.2],
            up: [1.5, 2.2],
            off: [0.1, 0.15],
        };
        let lamp = BoxBeforeWall {
            along: [0.5, 0.7],
            up: [1.25, 1.3],
            off: [0.24, 0.4],
        };
        let straight = ArmTravel {
            link: None,
            ..TRAVEL
        };
        let clear = |travel| clearance_on_the_way(travel, parked, lamp).unwrap().0;
        // Straight the front stays at 0.15 m, 90 mm before the lamp.
        assert!((clear(straight) - 0.09).abs() < 1e-9);
        // On the arc the front comes out to 0.25 m where the panel is 0.3 m down: 10 mm in.
        assert!((clear(TRAVEL) + 0.01).abs() < 1e-6, "{}", clear(TRAVEL));
        // Beside the panel it is clear by the distance along the wall.
        let beside = BoxBeforeWall {
            along: [1.3, 1.4],
            ..lamp
        };
        let clear = clearance_on_the_way(TRAVEL, parked, beside).unwrap();
        assert!((clear.0 - 0.1).abs() < 1e-9);
    }

    #[test]
    fn a_hundred_arms_agree_with_brute_force() {
        // The table's least of 200,001 places lies within 5 µm of the true one.
        let rows = include_str!("display_arms.csv").lines().skip(2);
        let mut count = 0;
        for row in rows {
            let cells: Vec<f64> = row.split(',').map(|cell| cell.parse().unwrap()).collect();
            let [
                s,
                r,
                t,
                link,
                w,
                h,
                bottom,
                a0,
                a1,
                u0,
                u1,
                o0,
                o1,
                expected,
            ] = cells.try_into().unwrap();
            let travel = ArmTravel {
                standoff: Metres(s),
                reach: Metres(r),
                drop: Metres(t),
                link: Some(Metres(link)),
            };
            let parked = BoxBeforeWall {
                along: [-w / 2.0, w / 2.0],
                up: [bottom, bottom + h],
                off: [s, s + 0.05],
            };
            let thing = BoxBeforeWall {
                along: [a0, a1],
                up: [u0, u1],
                off: [o0, o1],
            };
            let clear = clearance_on_the_way(travel, parked, thing).unwrap().0;
            assert!((clear - expected).abs() < 1e-5, "{row}: {clear}");
            count += 1;
        }
        assert_eq!(count, 100);
    }

    #[test]
    fn a_turned_panel_meets_the_wall_at_its_edge() {
        // 1.2 m wide, 0.45 m off: sin ψ = 0.45/0.6, ψ = 48.59°.
        let panel = TurnedPanel {
            width: Metres(1.2),
            height: Metres(0.7),
            reach: Metres(0.45),
        };
        let most = panel.turn_max(Metres(0.0)).unwrap();
        assert!((most.degrees() - 48.5904).abs() < 1e-4);
        let level = Radians(0.0);
        assert!(panel.off_wall(most, level).unwrap().0.abs() < 1e-12);
        // Tilted 10°: 0.35 sin 10° = 0.060777 m nearer when square to the wall.
        let tilted = panel.off_wall(level, Radians::from_degrees(10.0)).unwrap();
        assert!((tilted.0 - (0.45 - 0.060_777)).abs() < 1e-6);
        assert_eq!(panel.off_wall(Radians(f64::NAN), level), None);
        assert_eq!(panel.turn_max(Metres(0.46)), None);
    }

    #[test]
    fn the_best_height_shares_the_turn_between_rows() {
        let eye = |distance: f64, height: f64, rest: f64| RestingEye {
            distance: Metres(distance),
            height: Metres(height),
            rest: Radians(rest),
        };
        let range = || Metres(0.3)..=Metres(2.2);
        // Two eyes equally far off: halfway between their heights.
        let best = best_height(&[eye(3.0, 1.1, 0.0), eye(3.0, 1.5, 0.0)], range()).unwrap();
        assert!((best.0 - 1.3).abs() < 1e-9);
        // On a pillow, looking 30° up from 0.8 m: 3 tan 30° higher, 2.532 m; the ceiling stops it.
        let rest = 30f64.to_radians();
        let best = best_height(&[eye(3.0, 0.8, rest)], Metres(0.3)..=Metres(3.0)).unwrap();
        assert!((best.0 - (0.8 + 3f64.sqrt())).abs() < 1e-9);
        assert_eq!(
            best_height(&[eye(3.0, 0.8, rest)], range()),
            Some(Metres(2.2))
        );
        assert_eq!(best_height(&[], range()), None);
        assert_eq!(best_height(&[eye(0.0, 1.0, 0.0)], range()), None);
    }

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
