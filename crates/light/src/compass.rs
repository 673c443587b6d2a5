//! Which way is a compass direction in the room's frame?
//!
//! Azimuths run clockwise from north, seen from above; heights up from the horizon. The
//! room's frame is right-handed with z up, as in [`geometry`].

use geometry::{Vec2, Vec3};
use units::Radians;

use crate::domain::finite;

/// North in the room's plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compass {
    north: Vec2,
}

impl Compass {
    /// The compass of a room in which a plan direction has a known azimuth. `None` for a
    /// direction without length or an azimuth that is not finite.
    pub fn of(direction: Vec2, azimuth: Radians) -> Option<Self> {
        let d = direction.unit()?;
        let (sin, cos) = finite(azimuth.0)?.sin_cos();
        // North lies the azimuth anticlockwise of the direction.
        let north = Vec2::new(cos * d.x - sin * d.y, sin * d.x + cos * d.y);
        Some(Self { north })
    }

    /// The unit vector to a place on the sky.
    pub fn direction(self, azimuth: Radians, height: Radians) -> Vec3 {
        let (sin, cos) = azimuth.0.sin_cos();
        let (up, level) = height.0.sin_cos();
        let plan = self.north * cos + self.north.right() * sin;
        Vec3::new(plan.x * level, plan.y * level, up)
    }

    /// The direction's components to the east, to the north and up.
    pub fn east_north_up(self, direction: Vec3) -> [f64; 3] {
        let plan = Vec2::new(direction.x, direction.y);
        [
            plan.dot(self.north.right()),
            plan.dot(self.north),
            direction.z,
        ]
    }

    /// Azimuth of a direction, 0 to below 360°; 0 for one straight up or down.
    pub fn azimuth(self, direction: Vec3) -> Radians {
        let [east, north, _] = self.east_north_up(direction);
        Radians(east.atan2(north).rem_euclid(std::f64::consts::TAU))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quarter_turns_are_east_south_and_west() {
        // One looks along +y towards 90°: east is +y, so north is −x.
        let compass = Compass::of(Vec2::new(0.0, 2.0), Radians::from_degrees(90.0)).unwrap();
        for (azimuth, x, y) in [
            (0.0, -1.0, 0.0),
            (90.0, 0.0, 1.0),
            (180.0, 1.0, 0.0),
            (270.0, 0.0, -1.0),
        ] {
            let there = compass.direction(Radians::from_degrees(azimuth), Radians(0.0));
            assert!((there.x - x).abs() < 1e-12 && (there.y - y).abs() < 1e-12);
            assert!((compass.azimuth(there).degrees() - azimuth).abs() < 1e-9);
        }
        let up = compass.direction(Radians(1.0), Radians::from_degrees(90.0));
        assert!((up.z - 1.0).abs() < 1e-12);
    }

    #[test]
    fn impossible_directions_are_refused() {
        assert_eq!(Compass::of(Vec2::new(0.0, 0.0), Radians(0.0)), None);
        assert_eq!(Compass::of(Vec2::new(1.0, 0.0), Radians(f64::NAN)), None);
    }
}
