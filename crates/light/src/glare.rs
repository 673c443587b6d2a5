//! Does a lamp or window mirror in the picture for an eye?
//!
//! P′ = P − 2((P − Q)·n) n; the glare point is where the line from the eye to
//! P′ crosses the picture plane.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | P, P′ | lamp and its mirror image | m |
//! | Q, n | point and unit normal of the picture plane | m, 1 |
//!
//! Valid for flat, glossy or lightly matt panels. Law of reflection, no source
//! needed. Take the corners of a window one by one.

use units::Metres;

use crate::domain::{finite, positive};

/// A place or direction in the room: x, y, z in metres, right-handed, z up.
pub type Point = [f64; 3];

/// A flat panel: centre, half sides and their directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Panel {
    pub(crate) centre: Point,
    pub(crate) across: Point,
    pub(crate) up: Point,
    pub(crate) normal: Point,
    pub(crate) width: f64,
    pub(crate) height: f64,
}

/// What describes a panel, unchecked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PanelPlace {
    /// Centre, m.
    pub centre_m: Point,
    /// Direction to the right as seen from the seats, of any length.
    pub across: Point,
    /// Direction up along the panel, square to `across`, of any length.
    pub up: Point,
    /// Side along `across`, m.
    pub width: Metres,
    /// Side along `up`, m.
    pub height: Metres,
}

/// Where a lamp shows in a panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Glare {
    /// Nowhere: eye or lamp is not before the panel.
    None,
    /// At this point of the panel's plane.
    At {
        /// The glare point, m.
        point_m: Point,
        /// How far it is outside the panel along the side it misses most, m;
        /// zero or below on the panel.
        outside: Metres,
    },
}

impl Glare {
    /// Whether the lamp shows on the panel itself.
    pub fn on_panel(self) -> bool {
        matches!(self, Self::At { outside, .. } if outside.0 <= 0.0)
    }
}

impl Panel {
    /// A panel at a place. `None` unless both sides are above zero, both
    /// directions have a length and are square to each other within 1e-6.
    pub fn new(place: PanelPlace) -> Option<Self> {
        let (across, up) = (unit(place.across)?, unit(place.up)?);
        let square = dot(across, up).abs() <= 1e-6;
        let [ax, ay, az] = across;
        let [ux, uy, uz] = up;
        (square && place.centre_m.iter().all(|c| c.is_finite())).then_some(())?;
        Some(Self {
            centre: place.centre_m,
            across,
            up,
            normal: [ay * uz - az * uy, az * ux - ax * uz, ax * uy - ay * ux],
            width: positive(place.width.0)?,
            height: positive(place.height.0)?,
        })
    }

    /// Where a lamp mirrors for an eye. `None` when a number is not finite.
    pub fn glare(self, sight: Sight) -> Option<Glare> {
        let before = |point| finite(dot(along(self.centre, point), self.normal));
        let (eye, lamp) = (before(sight.eye_m)?, before(sight.lamp_m)?);
        if eye <= 0.0 || lamp <= 0.0 {
            return Some(Glare::None);
        }
        let mirrored = shifted(sight.lamp_m, self.normal, -2.0 * lamp);
        let to_image = along(sight.eye_m, mirrored);
        // The image is as far behind the plane as the lamp is before it.
        let point_m = shifted(sight.eye_m, to_image, finite(eye / (eye + lamp))?);
        let from_centre = along(self.centre, point_m);
        let sideways = dot(from_centre, self.across).abs() - self.width / 2.0;
        let upwards = dot(from_centre, self.up).abs() - self.height / 2.0;
        Some(Glare::At {
            point_m,
            outside: Metres(finite(sideways)?.max(finite(upwards)?)),
        })
    }
}

/// An eye, and a lamp or the corner of a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sight {
    /// The eye, m.
    pub eye_m: Point,
    /// The lamp, m.
    pub lamp_m: Point,
}

pub(crate) fn along([ax, ay, az]: Point, [bx, by, bz]: Point) -> Point {
    [bx - ax, by - ay, bz - az]
}

pub(crate) fn shifted([x, y, z]: Point, [dx, dy, dz]: Point, factor: f64) -> Point {
    [x + dx * factor, y + dy * factor, z + dz * factor]
}

pub(crate) fn dot([ax, ay, az]: Point, [bx, by, bz]: Point) -> f64 {
    ax * bx + ay * by + az * bz
}

fn unit(direction: Point) -> Option<Point> {
    let length = positive(dot(direction, direction).sqrt())?;
    Some(direction.map(|c| c / length))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const PLACE: PanelPlace = PanelPlace {
        centre_m: [0.0, 0.0, 1.1],
        across: [0.0, 2.0, 0.0],
        up: [0.0, 0.0, 1.0],
        width: Metres(1.6),
        height: Metres(0.9),
    };

    fn glare(eye_m: Point, lamp_m: Point) -> Option<Glare> {
        Panel::new(PLACE).unwrap().glare(Sight { eye_m, lamp_m })
    }

    #[test]
    fn glare_beside_the_panel_says_how_far() {
        let Some(Glare::At { point_m, outside }) = glare([3.0, 0.0, 1.1], [2.0, 2.0, 1.1]) else {
            panic!("lamp and eye are before the panel");
        };
        assert!((point_m[1] - 1.2).abs() < 1e-12);
        assert!((outside.0 - 0.4).abs() < 1e-12);
    }

    #[test]
    fn lamp_behind_the_panel_never_shows() {
        let behind = glare([3.0, 0.0, 1.1], [-0.1, 0.0, 1.1]).unwrap();
        assert_eq!(behind, Glare::None);
        assert!(!behind.on_panel());
    }

    #[test]
    fn lamp_beside_the_eye_shows_in_the_middle() {
        assert!(glare([3.0, 0.3, 1.1], [3.0, -0.3, 1.1]).unwrap().on_panel());
    }

    #[test]
    fn impossible_panels_are_refused() {
        assert_eq!(glare([f64::NAN, 0.0, 1.1], [2.0, 0.0, 1.1]), None);
        assert_eq!(glare([3.0, 0.0, 1.1], [2.0, f64::NAN, 1.1]), None);
        for place in [
            PanelPlace {
                across: [0.0; 3],
                ..PLACE
            },
            PanelPlace {
                up: [0.0, 0.1, 1.0],
                ..PLACE
            },
            PanelPlace {
                width: Metres(0.0),
                ..PLACE
            },
            PanelPlace {
                centre_m: [f64::NAN, 0.0, 1.0],
                ..PLACE
            },
        ] {
            assert_eq!(Panel::new(place), None);
        }
    }

    proptest! {
        #[test]
        fn angles_in_and_out_are_equal(ex in 0.5..5.0, ey in -3.0..3.0, lx in 0.5..5.0, ly in -3.0..3.0, lz in 0.2..2.6) {
            let (eye, lamp) = ([ex, ey, 1.1], [lx, ly, lz]);
            let Some(Glare::At { point_m, .. }) = glare(eye, lamp) else {
                return Err(TestCaseError::fail("both are before the panel"));
            };
            prop_assert!(point_m[0].abs() < 1e-9);
            let cosine = |from| unit(along(point_m, from)).unwrap()[0];
            prop_assert!((cosine(eye) - cosine(lamp)).abs() < 1e-9);
        }

        #[test]
        fn eye_and_lamp_may_change_places(ex in 0.5..5.0, ey in -3.0..3.0, lx in 0.5..5.0, ly in -3.0..3.0) {
            let (eye, lamp) = ([ex, ey, 1.1], [lx, ly, 1.9]);
            let (there, back) = (glare(eye, lamp), glare(lamp, eye));
            let (Some(Glare::At { point_m: a, .. }), Some(Glare::At { point_m: b, .. })) = (there, back) else {
                return Err(TestCaseError::fail("both are before the panel"));
            };
            prop_assert!(dot(along(a, b), along(a, b)) < 1e-18);
        }
    }
}
