//! In which direction, and how far away, does a listener hear a loudspeaker?
//!
//! With d = loudspeaker − ear, f the seat's facing direction in plan and
//! l = (−f_y, f_x) its left:
//!
//! `azimuth = atan2(d·l, d·f)`, `elevation = atan2(d_z, √(d_x² + d_y²))`
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | azimuth | 0 in front, positive to the left, in (−π, π] | rad |
//! | elevation | 0 at ear height, positive up, in [−π/2, π/2] | rad |
//!
//! Convention: ITU-R BS.2051 and its audio definition model. Other documents
//! count azimuth clockwise. Geometry only: valid at any distance but zero.

use std::f64::consts::{PI, TAU};

use units::{Metres, Radians};

use crate::vector::{cross, dot, norm, step};

mod references;
pub(crate) use references::REFERENCES;

/// A place in the room: x, y and height z.
pub type Point = [Metres; 3];

/// A pair of ears and where the seat looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Listener {
    /// Mid-point between the ears.
    pub ear: Point,
    /// The seat's look direction in plan, `[x, y]`; any length but zero.
    pub facing: [f64; 2],
}

/// Where a loudspeaker is heard from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    /// From the look direction, positive to the left, in (−π, π]; 0 for a
    /// loudspeaker straight above or below, which has no azimuth.
    pub azimuth: Radians,
    /// From ear height, positive up.
    pub elevation: Radians,
    /// Straight from the ear.
    pub distance: Metres,
}

/// Why a direction has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DirectionError {
    /// Two points coincide, so nothing points from one to the other.
    #[error("the two points are the same place, so there is no direction between them")]
    SamePlace,
    /// The look direction has no length.
    #[error("the seat's facing direction has no length")]
    NoFacing,
    /// A coordinate is not a finite number.
    #[error("a coordinate is not a finite number")]
    NotFinite,
}

impl Direction {
    /// The direction of `loudspeaker` as `listener` hears it.
    pub fn heard(listener: &Listener, loudspeaker: Point) -> Result<Self, DirectionError> {
        let [x, y, z] = between(listener.ear, loudspeaker)?;
        let [f_x, f_y] = listener.facing;
        if !(f_x.is_finite() && f_y.is_finite()) {
            return Err(DirectionError::NotFinite);
        }
        if f_x == 0.0 && f_y == 0.0 {
            return Err(DirectionError::NoFacing);
        }
        let azimuth = (y * f_x - x * f_y).atan2(x * f_x + y * f_y);
        Ok(Self {
            azimuth: wrapped(Radians(azimuth)),
            elevation: Radians(z.atan2(x.hypot(y))),
            distance: Metres(norm([x, y, z])),
        })
    }

    /// The unit vector forward, left, up.
    pub fn unit_vector(&self) -> [f64; 3] {
        let (sin_azimuth, cos_azimuth) = self.azimuth.0.sin_cos();
        let (sin_elevation, cos_elevation) = self.elevation.0.sin_cos();
        [
            cos_elevation * cos_azimuth,
            cos_elevation * sin_azimuth,
            sin_elevation,
        ]
    }

    /// The angle that this and another direction enclose at the ear, in [0, π].
    pub fn angle_to(&self, other: &Self) -> Radians {
        angle_between(self.unit_vector(), other.unit_vector())
    }

    /// The angle up from straight ahead in the side view, in (−π, π]: 0 ahead,
    /// π/2 overhead, more than π/2 behind. Trade guides give overhead
    /// loudspeakers by it.
    pub fn overhead(&self) -> Radians {
        let [forward, _, up] = self.unit_vector();
        Radians(up.atan2(forward))
    }

    /// The same direction on the other side of the listener.
    pub fn mirrored(&self) -> Self {
        Self {
            azimuth: wrapped(-self.azimuth),
            ..*self
        }
    }
}

/// The angle at `apex` between the directions to two points, in [0, π].
///
/// With the apex at an ear: the angle a pair subtends. With the apex at a
/// loudspeaker, the aim point and an ear: how far off its axis the ear lies.
pub fn angle_at(apex: Point, one: Point, other: Point) -> Result<Radians, DirectionError> {
    Ok(angle_between(between(apex, one)?, between(apex, other)?))
}

/// A range of azimuths, both ends included, running anticlockwise (to the left)
/// from `min` to `max`; it may cross ±π, as from 175° to 185° or −175°.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AzimuthRange {
    /// The clockwise (right) end.
    pub min: Radians,
    /// The anticlockwise (left) end.
    pub max: Radians,
}

impl AzimuthRange {
    /// The range `half_width` to both sides of `nominal`.
    pub fn about(nominal: Radians, half_width: Radians) -> Self {
        Self {
            min: nominal - half_width,
            max: nominal + half_width,
        }
    }

    /// The signed distance of `azimuth` to the nearest end: positive inside,
    /// zero on an end, negative outside. π for a range that spans the circle.
    pub fn margin(&self, azimuth: Radians) -> Radians {
        let (min, max) = (self.min.0, self.max.0);
        if max - min >= TAU {
            return Radians(PI);
        }
        let width = (max - min).rem_euclid(TAU);
        let offset = (azimuth.0 - min).rem_euclid(TAU);
        if offset <= width {
            Radians(offset.min(width - offset))
        } else {
            Radians(-(offset - width).min(TAU - offset))
        }
    }
}

/// A range of elevations, both ends included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ElevationRange {
    /// The lower end.
    pub min: Radians,
    /// The upper end.
    pub max: Radians,
}

impl ElevationRange {
    /// The range `half_width` to both sides of `nominal`.
    pub fn about(nominal: Radians, half_width: Radians) -> Self {
        Self {
            min: nominal - half_width,
            max: nominal + half_width,
        }
    }

    /// The signed distance of `elevation` to the nearest end: positive inside,
    /// negative outside.
    pub fn margin(&self, elevation: Radians) -> Radians {
        Radians((elevation.0 - self.min.0).min(self.max.0 - elevation.0))
    }
}

fn between(from: Point, to: Point) -> Result<[f64; 3], DirectionError> {
    let step = step(from, to);
    if !step.iter().all(|part| part.is_finite()) {
        Err(DirectionError::NotFinite)
    } else if step == [0.0; 3] {
        Err(DirectionError::SamePlace)
    } else {
        Ok(step)
    }
}

/// By the tangent: the arc cosine loses half its digits near 0 and π.
fn angle_between(a: [f64; 3], b: [f64; 3]) -> Radians {
    Radians(norm(cross(a, b)).atan2(dot(a, b)))
}

/// −π and π are one direction; BS.2051 writes it +180°.
fn wrapped(azimuth: Radians) -> Radians {
    if azimuth.0 <= -PI {
        Radians(PI)
    } else {
        azimuth
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heard(ear: [f64; 3], facing: [f64; 2], at: [f64; 3]) -> Direction {
        let listener = Listener {
            ear: ear.map(Metres),
            facing,
        };
        Direction::heard(&listener, at.map(Metres)).unwrap()
    }

    fn degrees(degrees: f64) -> Radians {
        Radians::from_degrees(degrees)
    }

    #[test]
    fn straight_behind_is_plus_180_whichever_way_the_seat_looks() {
        for facing in [[0.0, 1.0], [0.0, -1.0], [1.0, 0.0], [-1.0, 0.0], [3.0, 0.0]] {
            let behind = [-facing[0], -facing[1], 0.0];
            let azimuth = heard([0.0; 3], facing, behind).azimuth;
            assert_eq!(azimuth.degrees(), 180.0, "{facing:?}");
        }
    }

    #[test]
    fn turning_seat_and_loudspeaker_together_changes_nothing() {
        let still = heard([0.0; 3], [0.0, 1.0], [-1.0, 2.0, 0.5]);
        for turn in 0..24 {
            let (sin, cos) = (f64::from(turn) * PI / 12.0).sin_cos();
            let turned = |x: f64, y: f64| [x * cos - y * sin, x * sin + y * cos];
            let [x, y] = turned(-1.0, 2.0);
            let moved = heard([0.0; 3], turned(0.0, 1.0), [x, y, 0.5]);
            assert!((moved.azimuth.0 - still.azimuth.0).abs() < 1e-12);
            assert!((moved.elevation.0 - still.elevation.0).abs() < 1e-12);
        }
    }

    #[test]
    fn overhead_has_no_azimuth_but_an_elevation() {
        let top = heard([1.0, 2.0, 1.1], [0.6, 0.8], [1.0, 2.0, 2.6]);
        assert_eq!((top.azimuth.0, top.elevation.degrees()), (0.0, 90.0));
        assert_eq!(top.overhead().degrees(), 90.0);
    }

    #[test]
    fn the_unit_vector_points_forward_left_and_up() {
        let found = heard([0.0; 3], [1.0, 0.0], [2.0, 3.0, 6.0]).unit_vector();
        let expected = [2.0 / 7.0, 3.0 / 7.0, 6.0 / 7.0];
        assert!(
            (0..3).all(|i| (found[i] - expected[i]).abs() < 1e-12),
            "{found:?}"
        );
    }

    #[test]
    fn no_direction_where_there_is_none() {
        let listener = Listener {
            ear: [Metres(1.0); 3],
            facing: [0.0, 1.0],
        };
        let same = Direction::heard(&listener, [Metres(1.0); 3]);
        assert_eq!(same, Err(DirectionError::SamePlace));
        let blind = Listener {
            facing: [0.0; 2],
            ..listener
        };
        let at = [Metres(2.0); 3];
        assert_eq!(Direction::heard(&blind, at), Err(DirectionError::NoFacing));
        let lost = [Metres(f64::NAN); 3];
        assert_eq!(
            Direction::heard(&listener, lost),
            Err(DirectionError::NotFinite)
        );
    }

    #[test]
    fn azimuth_margin_counts_from_the_nearest_end() {
        let range = AzimuthRange {
            min: degrees(100.0),
            max: degrees(120.0),
        };
        for (azimuth, margin) in [
            (100.0, 0.0),
            (103.0, 3.0),
            (112.0, 8.0),
            (120.0, 0.0),
            (95.0, -5.0),
            (150.0, -30.0),
        ] {
            let found = range.margin(degrees(azimuth)).degrees();
            assert!((found - margin).abs() < 1e-9, "{azimuth}: {found}");
        }
        // Opposite the middle of the range both ends are equally far.
        assert!((range.margin(degrees(-70.0)).degrees() + 170.0).abs() < 1e-9);
    }

    #[test]
    fn azimuth_margin_crosses_the_back() {
        for range in [
            AzimuthRange {
                min: degrees(175.0),
                max: degrees(185.0),
            },
            AzimuthRange {
                min: degrees(175.0),
                max: degrees(-175.0),
            },
        ] {
            for (azimuth, margin) in [
                (180.0, 5.0),
                (-180.0, 5.0),
                (-178.0, 3.0),
                (176.0, 1.0),
                (-170.0, -5.0),
            ] {
                let found = range.margin(degrees(azimuth)).degrees();
                assert!((found - margin).abs() < 1e-9, "{azimuth}: {found}");
            }
        }
    }

    #[test]
    fn a_full_circle_holds_every_azimuth() {
        let any = AzimuthRange {
            min: degrees(-180.0),
            max: degrees(180.0),
        };
        assert_eq!(any.margin(degrees(-180.0)).degrees(), 180.0);
    }

    #[test]
    fn a_mirrored_pair_subtends_twice_its_azimuth() {
        let left = heard([0.0; 3], [0.0, 1.0], [-1.0, 3_f64.sqrt(), 0.0]);
        assert!((left.angle_to(&left.mirrored()).degrees() - 60.0).abs() < 1e-9);
    }
}
