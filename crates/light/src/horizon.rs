//! What stands between a window and the sky?
//!
//! Neighbours and trees as a line of heights all round, and a roof's edge over the window.
//! Where they hide the sky, they are taken as bright as the ground, since the same light
//! falls on them; the underside of an overhang gets its light from the ground and is taken
//! half as bright (common practice).

use std::f64::consts::TAU;

use geometry::{Point3, Vec3};
use units::{Metres, Radians};

use crate::compass::Compass;
use crate::domain::{finite, non_negative};

/// Heights above the horizon up to which something hides the sky, all round.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Horizon {
    points: Vec<(f64, f64)>,
}

impl Horizon {
    /// A line through points (azimuth, height); straight between them, once round. `None`
    /// unless all are finite and each height is from −90° to 90°. No point: an open horizon.
    pub fn new(points: &[(Radians, Radians)]) -> Option<Self> {
        let mut line = Vec::with_capacity(points.len());
        for (azimuth, height) in points {
            let height = finite(height.0).filter(|h| h.abs() <= std::f64::consts::FRAC_PI_2)?;
            line.push((finite(azimuth.0)?.rem_euclid(TAU), height));
        }
        line.sort_by(|a, b| a.0.total_cmp(&b.0));
        Some(Self { points: line })
    }

    /// How high the sky begins in a direction.
    pub fn height(&self, azimuth: Radians) -> Radians {
        let Some((first, last)) = self.points.first().zip(self.points.last()) else {
            return Radians(0.0);
        };
        let a = azimuth.0.rem_euclid(TAU);
        let next = self.points.partition_point(|point| point.0 <= a);
        let (before, after) = match (
            next.checked_sub(1).map(|k| self.points[k]),
            self.points.get(next),
        ) {
            (Some(before), Some(after)) => (before, *after),
            (Some(before), None) => (before, (first.0 + TAU, first.1)),
            (None, _) => ((last.0 - TAU, last.1), *first),
        };
        let span = after.0 - before.0;
        let share = if span > 0.0 {
            (a - before.0) / span
        } else {
            0.0
        };
        Radians(before.1 + (after.1 - before.1) * share)
    }
}

/// A roof's edge, balcony or awning over a window, wider than the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overhang {
    out_m: f64,
    height_m: f64,
}

impl Overhang {
    /// How far it reaches out from the glass, and its underside above the floor. `None`
    /// unless both are finite and the reach is not negative.
    pub fn new(out: Metres, height: Metres) -> Option<Self> {
        Some(Self {
            out_m: non_negative(out.0)?,
            height_m: finite(height.0)?,
        })
    }

    /// Whether it hides a direction out of a window from a point of the glass.
    pub fn hides(self, point: Point3, outward: Vec3, direction: Vec3) -> bool {
        let out = direction.dot(outward);
        out > 0.0 && point.z + self.out_m * direction.z / out > self.height_m
    }
}

/// What one sees through a window in a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Behind {
    /// The sky, in a direction to the east, to the north and up.
    Sky([f64; 3]),
    /// Ground, neighbours, or with a share of the ground's luminance an overhang.
    Ground(f64),
}

/// What is behind a point of a window's glass in a direction.
pub fn behind(
    compass: Compass,
    horizon: &Horizon,
    overhang: Option<Overhang>,
    (point, outward, direction): (Point3, Vec3, Vec3),
) -> Behind {
    if overhang.is_some_and(|overhang| overhang.hides(point, outward, direction)) {
        return Behind::Ground(0.5);
    }
    let [east, north, up] = compass.east_north_up(direction);
    if up <= 0.0 {
        return Behind::Ground(1.0);
    }
    if !horizon.points.is_empty() {
        let azimuth = Radians(east.atan2(north));
        if up.clamp(0.0, 1.0).asin() <= horizon.height(azimuth).0 {
            return Behind::Ground(1.0);
        }
    }
    Behind::Sky([east, north, up])
}

#[cfg(test)]
mod tests {
    use geometry::Vec2;

    use super::*;

    fn degrees(d: f64) -> Radians {
        Radians::from_degrees(d)
    }

    #[test]
    fn heights_run_straight_between_points_and_once_round() {
        let line = Horizon::new(&[
            (degrees(270.0), degrees(10.0)),
            (degrees(90.0), degrees(20.0)),
        ])
        .unwrap();
        for (azimuth, height) in [
            (90.0, 20.0),
            (180.0, 15.0),
            (270.0, 10.0),
            (0.0, 15.0),
            (315.0, 12.5),
            (45.0, 17.5),
            (720.0, 15.0),
        ] {
            assert!(
                (line.height(degrees(azimuth)).degrees() - height).abs() < 1e-9,
                "{azimuth}"
            );
        }
        assert_eq!(Horizon::default().height(degrees(33.0)), Radians(0.0));
        let single = Horizon::new(&[(degrees(10.0), degrees(5.0))]).unwrap();
        assert!((single.height(degrees(200.0)).degrees() - 5.0).abs() < 1e-12);
    }

    #[test]
    fn an_overhang_hides_the_high_sky_alone() {
        // 0.5 m out, 0.5 m over the point: up to 45° is free.
        let overhang = Overhang::new(Metres(0.5), Metres(2.0)).unwrap();
        let outward = Vec3::new(0.0, 1.0, 0.0);
        let at = |d: f64| {
            let (up, out) = d.to_radians().sin_cos();
            overhang.hides(Point3::new(0.0, 0.0, 1.5), outward, Vec3::new(0.0, out, up))
        };
        assert!(!at(44.9) && at(45.1) && !at(-10.0));
    }

    #[test]
    fn behind_the_glass_is_ground_neighbour_or_sky() {
        let compass = Compass::of(Vec2::new(0.0, 1.0), Radians(0.0)).unwrap();
        let horizon = Horizon::new(&[(degrees(0.0), degrees(15.0))]).unwrap();
        let outward = Vec3::new(0.0, 1.0, 0.0);
        let look = |d: f64| {
            let (up, out) = d.to_radians().sin_cos();
            behind(
                compass,
                &horizon,
                None,
                (Point3::new(0.0, 0.0, 1.0), outward, Vec3::new(0.0, out, up)),
            )
        };
        assert_eq!(look(-5.0), Behind::Ground(1.0));
        assert_eq!(look(10.0), Behind::Ground(1.0));
        assert!(matches!(look(20.0), Behind::Sky([_, north, _]) if north > 0.9));
    }

    #[test]
    fn impossible_lines_are_refused() {
        assert!(Horizon::new(&[(degrees(f64::NAN), degrees(5.0))]).is_none());
        assert!(Horizon::new(&[(degrees(5.0), degrees(91.0))]).is_none());
        assert!(Overhang::new(Metres(-0.1), Metres(2.0)).is_none());
        assert!(Overhang::new(Metres(0.1), Metres(f64::NAN)).is_none());
    }
}
