//! When does each sound arrive, and how strong is what the walls send after it?
//!
//! `t = r/c`; trims to the farthest loudspeaker: `Δt = (r_max − r)/c`,
//! `ΔL = 20 log₁₀(r/r_max)`. A flat wall's reflection is the direct sound of the
//! source mirrored in it, `L − L_direct = 20 log₁₀(r_direct/r) + 10 log₁₀(1 − α)`.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | t, c | time of flight, speed of sound | s, m/s |
//! | r, r_max | path, longest path of the set | m |
//! | α | absorption of the wall, 0 to 1 | 1 |
//!
//! ITU-R BS.775 (annex, note): loudspeakers nearer than the circle are delayed so
//! that all arrive together. Delay cures time, not level or bass. Levels hold for
//! the free field and equal loudspeakers; a reflection for a wall flat and large
//! against the wavelength, and for a source that radiates as strongly towards the
//! wall as towards the ear: subtract its off-axis loss otherwise.

use units::{Decibels, Metres, MetresPerSecond, Seconds};

use crate::direction::Point;
use crate::vector::{dot, norm, step};

mod references;
pub(crate) use references::REFERENCES;

/// How long sound takes over a path.
pub fn flight_time(path: Metres, speed: MetresPerSecond) -> Seconds {
    Seconds(path.0 / speed.0)
}

/// What brings one loudspeaker in line with the farthest of its set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trim {
    /// Delay to add; 0 for the farthest.
    pub delay: Seconds,
    /// Gain to add; 0 dB for the farthest, negative for the nearer.
    pub gain: Decibels,
}

/// The trims of a set of loudspeakers at one seat, in the order of `distances`
/// (each above 0).
pub fn trims(distances: &[Metres], speed: MetresPerSecond) -> Vec<Trim> {
    let farthest = distances
        .iter()
        .map(|distance| distance.0)
        .fold(0.0, f64::max);
    let trim = |distance: &Metres| Trim {
        delay: flight_time(Metres(farthest) - *distance, speed),
        gain: Decibels(20.0 * (distance.0 / farthest).log10()),
    };
    distances.iter().map(trim).collect()
}

/// A flat wall: any point of it, and a normal of any length but zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// A point of the wall.
    pub point: Point,
    /// Square to the wall, to either side.
    pub normal: [f64; 3],
    /// Its absorption coefficient in the band looked at; above 1 counts as 1.
    pub alpha: f64,
}

/// The first reflection of one wall, as it reaches an ear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reflection {
    /// Where on the wall's plane it is reflected. Whether the wall reaches that
    /// far, and nothing stands in the way, is the caller's to see.
    pub at: Point,
    /// The way by the wall.
    pub path: Metres,
    /// How long after the direct sound.
    pub delay: Seconds,
    /// Re the direct sound; −∞ from a wall that absorbs all.
    pub level: Decibels,
}

/// The reflection of `source` in `wall` at `ear`; `None` unless both lie on the
/// same side of the wall, off it, and apart from each other.
pub fn reflection(
    source: Point,
    ear: Point,
    wall: &Wall,
    speed: MetresPerSecond,
) -> Option<Reflection> {
    let length = norm(wall.normal);
    let n = wall.normal.map(|part| part / length);
    let height = |point: Point| dot(step(wall.point, point), n);
    let (source_height, ear_height) = (height(source), height(ear));
    let direct = norm(step(source, ear));
    // Also refuses what is not a number.
    let seen = source_height * ear_height > 0.0 && direct > 0.0 && direct.is_finite();
    if !seen {
        return None;
    }
    let image = [0, 1, 2].map(|i| Metres(source[i].0 - 2.0 * source_height * n[i]));
    let way = step(image, ear);
    let path = norm(way);
    let share = source_height / (source_height + ear_height);
    let spread = 20.0 * (direct / path).log10();
    Some(Reflection {
        at: [0, 1, 2].map(|i| Metres(image[i].0 + share * way[i])),
        path: Metres(path),
        delay: flight_time(Metres(path - direct), speed),
        level: Decibels(spread + 10.0 * (1.0 - wall.alpha.min(1.0)).log10()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const SPEED: MetresPerSecond = MetresPerSecond(343.2);

    fn floor(alpha: f64, normal_z: f64) -> Wall {
        Wall {
            point: [0.0, 0.0, 0.0].map(Metres),
            normal: [0.0, 0.0, normal_z],
            alpha,
        }
    }

    #[test]
    fn the_farthest_is_left_alone_and_all_arrive_together() {
        let distances = [3.4, 2.1, 2.98].map(Metres);
        let trims = trims(&distances, SPEED);
        assert_eq!(
            trims[0],
            Trim {
                delay: Seconds(0.0),
                gain: Decibels(0.0)
            }
        );
        for (distance, trim) in distances.into_iter().zip(&trims) {
            let arrival = flight_time(distance, SPEED) + trim.delay;
            assert!((arrival.0 - 3.4 / 343.2).abs() < 1e-12);
            let level = trim.gain.0 - 20.0 * distance.0.log10();
            assert!((level + 20.0 * 3.4_f64.log10()).abs() < 1e-12);
        }
        assert!(super::trims(&[], SPEED).is_empty());
    }

    #[test]
    fn a_floor_reflects_half_way_between_equal_heights() {
        // By hand: 4 m apart, 1 m up: √(4² + 2²) = 4.4721 m.
        let [source, ear] = [[0.0, 0.0, 1.0], [4.0, 0.0, 1.0]].map(|p| p.map(Metres));
        for normal in [1.0, -2.0] {
            let found = reflection(source, ear, &floor(0.5, normal), SPEED).unwrap();
            assert_eq!(found.at, [2.0, 0.0, 0.0].map(Metres));
            assert!((found.path.0 - 20_f64.sqrt()).abs() < 1e-12);
            assert!((found.delay.0 * 1e3 - 1.375_5).abs() < 1e-3);
            // 20 lg(4/4.4721) − 3.0103.
            assert!((found.level.0 + 0.9691 + 3.0103).abs() < 1e-3, "{found:?}");
        }
    }

    #[test]
    fn the_way_back_is_the_way_there() {
        let [one, other] = [[0.3, 0.7, 1.1], [2.0, 3.0, 2.2]].map(|p| p.map(Metres));
        let wall = Wall {
            point: [5.0, 0.0, 0.0].map(Metres),
            normal: [1.0, 0.4, 0.2],
            alpha: 0.1,
        };
        let there = reflection(one, other, &wall, SPEED).unwrap();
        let back = reflection(other, one, &wall, SPEED).unwrap();
        assert!((there.path.0 - back.path.0).abs() < 1e-12);
        assert!((0..3).all(|i| (there.at[i].0 - back.at[i].0).abs() < 1e-12));
        // The point lies on the wall, and the two legs make the path.
        assert!(dot(step(wall.point, there.at), wall.normal).abs() < 1e-12);
        let legs = norm(step(one, there.at)) + norm(step(there.at, other));
        assert!((legs - there.path.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_is_reflected_from_behind_a_wall() {
        let [above, below] = [[0.0, 0.0, 1.0], [1.0, 0.0, -1.0]].map(|p| p.map(Metres));
        assert_eq!(reflection(above, below, &floor(0.1, 1.0), SPEED), None);
        assert_eq!(reflection(above, above, &floor(0.1, 1.0), SPEED), None);
        assert_eq!(
            reflection(above, [Metres(1.0); 3], &floor(0.1, 0.0), SPEED),
            None
        );
        assert_eq!(
            reflection(above, [Metres(f64::NAN); 3], &floor(0.1, 1.0), SPEED),
            None
        );
        let all = reflection(above, [Metres(1.0); 3], &floor(1.2, 1.0), SPEED).unwrap();
        assert_eq!(all.level.0, f64::NEG_INFINITY);
    }
}
