//! Does each row see the picture over the heads in front?
//!
//! N = (R + C)(D + T)/D − R
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | N | rise of the rear eye over the front eye: the riser for equal seats | m |
//! | R | front eye above the focus, the lowest point that must be seen | m |
//! | C | clearance of the sight line over the front eye | m |
//! | D | front eye to focus in plan | m |
//! | T | row pitch | m |
//!
//! Straight sight lines in one vertical plane. The form is that of spectator
//! seating guides; C of 0.120 m is good, 0.090 m acceptable, 0.060 m enough
//! where one looks between heads (from memory).

use units::Metres;

use crate::domain::{finite, positive};
use crate::vector::{self, Point};

/// A front row and the row behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowPair {
    /// D, front eye to focus in plan, m; above zero.
    pub focus_distance: Metres,
    /// R, front eye above the focus, m; negative when the focus is higher.
    pub eye_above_focus: Metres,
    /// T, row pitch, m; above zero.
    pub pitch: Metres,
}

impl RowPair {
    /// The riser N that gives a clearance. Zero or below: no riser is needed.
    ///
    /// `None` when a distance is not above zero or a number is not finite.
    pub fn riser(self, clearance: Metres) -> Option<Metres> {
        let (d, t, r) = self.checked()?;
        let c = finite(clearance.0)?;
        finite((r + c) * (d + t) / d - r).map(Metres)
    }

    /// The clearance C that a riser gives: C = (N + R) D/(D + T) − R.
    ///
    /// `None` when a distance is not above zero or a number is not finite.
    pub fn clearance(self, riser: Metres) -> Option<Metres> {
        let (d, t, r) = self.checked()?;
        let n = finite(riser.0)?;
        finite((n + r) * d / (d + t) - r).map(Metres)
    }

    /// The risers of `rows` further rows of equal pitch, front to back, each
    /// over the row before. Each but the first is higher than the last: the
    /// lift adds to R.
    ///
    /// `None` when a distance is not above zero or a number is not finite.
    pub fn risers(self, clearance: Metres, rows: usize) -> Option<Vec<Metres>> {
        let mut pair = self;
        let mut risers = Vec::with_capacity(rows);
        for _ in 0..rows {
            let riser = pair.riser(clearance)?;
            risers.push(riser);
            pair.focus_distance = pair.focus_distance + pair.pitch;
            pair.eye_above_focus = pair.eye_above_focus + riser;
        }
        Some(risers)
    }

    fn checked(self) -> Option<(f64, f64, f64)> {
        Some((
            positive(self.focus_distance.0)?,
            positive(self.pitch.0)?,
            finite(self.eye_above_focus.0)?,
        ))
    }
}

/// A rear eye that looks past a front eye at a focus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SightLine {
    /// The lowest point of the picture that must be seen, m.
    pub focus_m: Point,
    /// The eye in front, m.
    pub front_eye_m: Point,
    /// The eye behind, m.
    pub rear_eye_m: Point,
}

/// How a sight line passes the eye in front.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passing {
    /// C, sight line above the front eye, m; negative below it.
    pub clearance: Metres,
    /// Sight line beside the front eye in plan, m; zero for a head in line.
    pub aside: Metres,
}

impl Passing {
    /// Clearance in hand over the clearance asked for; negative when short.
    pub fn margin(self, needed: Metres) -> Metres {
        self.clearance - needed
    }
}

impl SightLine {
    /// Clearance above and distance beside the front eye, taken where the
    /// sight line passes nearest to it in plan.
    ///
    /// `None` when the front eye is not between rear eye and focus in plan
    /// (it hides nothing) or a number is not finite.
    pub fn passing(self) -> Option<Passing> {
        let [lx, ly, lz] = vector::sub(self.focus_m, self.rear_eye_m);
        let [fx, fy, fz] = vector::sub(self.front_eye_m, self.rear_eye_m);
        let length_squared = positive(lx * lx + ly * ly)?;
        let part = finite((fx * lx + fy * ly) / length_squared)?;
        if part <= 0.0 || part >= 1.0 {
            return None;
        }
        Some(Passing {
            clearance: Metres(finite(part * lz - fz)?),
            aside: Metres(finite((fx * ly - fy * lx).abs() / length_squared.sqrt())?),
        })
    }
}

/// An eye in the section drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EyeInSection {
    /// Eye to picture plane, m.
    pub distance: Metres,
    /// Eye above any fixed level, m.
    pub height: Metres,
}

/// Two eyes, one behind the other, in the section drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EyePair {
    /// The eye in front.
    pub front: EyeInSection,
    /// The eye behind it.
    pub rear: EyeInSection,
}

impl EyePair {
    /// Height on the picture plane below which the rear eye sees nothing with
    /// `clearance` over the front eye, from the same level as the eyes.
    ///
    /// z = z_f + C − (z_r − z_f − C) d_f/(d_r − d_f). `None` unless
    /// 0 < d_f < d_r.
    pub fn lowest_visible(self, clearance: Metres) -> Option<Metres> {
        let d_f = positive(self.front.distance.0)?;
        let between = positive(self.rear.distance.0 - d_f)?;
        let over_front = self.front.height.0 + clearance.0;
        finite(over_front - (self.rear.height.0 - over_front) * d_f / between).map(Metres)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const PAIR: RowPair = RowPair {
        focus_distance: Metres(3.5),
        eye_above_focus: Metres(0.5),
        pitch: Metres(1.8),
    };

    #[test]
    fn later_rows_need_higher_risers() {
        let risers = PAIR.risers(Metres(0.12), 3).unwrap();
        assert!((risers[0].0 - 0.438857).abs() < 1e-6);
        assert!(risers[1] > risers[0] && risers[2] > risers[1]);
    }

    #[test]
    fn head_beside_the_line_is_measured_in_plan() {
        let line = SightLine {
            focus_m: [0.0, 0.0, 0.6],
            front_eye_m: [3.0, 0.3, 1.0],
            rear_eye_m: [6.0, 0.0, 1.2],
        };
        let passing = line.passing().unwrap();
        assert!((passing.aside.0 - 0.3).abs() < 1e-12);
        assert!((passing.clearance.0 + 0.1).abs() < 1e-12);
        assert!((passing.margin(Metres(0.06)).0 + 0.16).abs() < 1e-12);
    }

    #[test]
    fn impossible_rows_are_refused() {
        for bad in [0.0, -1.0, f64::NAN] {
            for pair in [
                RowPair {
                    focus_distance: Metres(bad),
                    ..PAIR
                },
                RowPair {
                    pitch: Metres(bad),
                    ..PAIR
                },
            ] {
                assert_eq!(pair.riser(Metres(0.12)), None);
                assert_eq!(pair.clearance(Metres(0.3)), None);
                assert_eq!(pair.risers(Metres(0.12), 2), None);
            }
        }
        assert_eq!(PAIR.riser(Metres(f64::NAN)), None);
        let behind = SightLine {
            focus_m: [0.0, 0.0, 0.6],
            front_eye_m: [7.0, 0.0, 1.0],
            rear_eye_m: [6.0, 0.0, 1.2],
        };
        assert_eq!(behind.passing(), None);
        let nowhere = SightLine {
            front_eye_m: [3.0, 0.0, f64::NAN],
            ..behind
        };
        assert_eq!(nowhere.passing(), None);
    }

    proptest! {
        #[test]
        fn riser_and_clearance_invert(d in 1.0..8.0, t in 0.7..2.5, r in -0.5..1.0, c in 0.0..0.3) {
            let pair = RowPair { focus_distance: Metres(d), eye_above_focus: Metres(r), pitch: Metres(t) };
            let riser = pair.riser(Metres(c)).unwrap();
            prop_assert!((pair.clearance(riser).unwrap().0 - c).abs() < 1e-9);

            let line = SightLine {
                focus_m: [0.0, 0.0, 0.6],
                front_eye_m: [d, 0.0, 0.6 + r],
                rear_eye_m: [d + t, 0.0, 0.6 + r + riser.0],
            };
            prop_assert!((line.passing().unwrap().clearance.0 - c).abs() < 1e-9);

            let eyes = EyePair {
                front: EyeInSection { distance: Metres(d), height: Metres(0.6 + r) },
                rear: EyeInSection { distance: Metres(d + t), height: Metres(0.6 + r + riser.0) },
            };
            prop_assert!((eyes.lowest_visible(Metres(c)).unwrap().0 - 0.6).abs() < 1e-9);
        }

        #[test]
        fn mirrored_head_hides_as_much(y in -1.0..1.0, x in 0.5..5.0) {
            let line = |y| SightLine {
                focus_m: [0.0, 0.0, 0.6],
                front_eye_m: [x, y, 1.1],
                rear_eye_m: [6.0, 0.0, 1.4],
            };
            prop_assert_eq!(line(y).passing(), line(-y).passing());
        }
    }
}
