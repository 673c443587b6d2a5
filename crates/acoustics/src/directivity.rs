//! How strong is the sound that a loudspeaker sends off its axis, and how much does it send
//! in all?
//!
//! | known of it | law | valid |
//! | --- | --- | --- |
//! | coverage angle φ | `L(θ) = −6.02 dB (2θ/φ)²`, never below −18 dB | the band for which φ is printed; common practice, no source |
//! | radius of its diaphragm | piston, see [`crate::piston`] | rigid piston in a baffle |
//! | coverage and diaphragm | the narrower of both; a piston that is wider than the coverage plays no more than its share of that octave | as of each |
//! | a dome alone | piston from ka = ½ on, below that the coverage that is taken for it | where a dome plays: common practice, no source |
//! | polar data | interpolated, see [`crate::polar`] | where it was measured |
//! | two like sides in opposite phase | point dipole, `L = 20 log₁₀ |sin θ sin β|`, never below −18 dB | sides near to each other against the wavelength; how deep a real null is: common practice, no source |
//! | two like sides in phase | both coverages added by power, re the loudest direction | octaves, not tones; common practice, no source |
//!
//! Of two sides the lobes are to the loudspeaker's left and right, as it looks into the room: a
//! dipole sends nothing straight ahead, up or down.
//!
//! `Q = 4π / ∮ 10^(L/10) dΩ`, over the half space in front of a wall where it is built in.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | L(θ) | level at an angle off the axis, re the axis | dB |
//! | β | angle around the axis, from the loudspeaker's upper side | rad |
//! | φ | full angle between the −6 dB directions | rad |
//! | Q | directivity factor: 1 all round, 2 into a half space | 1 |
//! | ka | circumference of the diaphragm in wavelengths | 1 |

use std::f64::consts::{PI, TAU};

use units::{Decibels, Hertz, Metres, MetresPerSecond, Radians};

use crate::piston::Piston;
use crate::polar::Balloon;
use crate::vector::{cross, dot, norm};

/// What leaks past any coverage angle.
const FLOOR_DB: f64 = -18.0;

/// What is known of how a loudspeaker spreads its sound.
#[derive(Clone, Debug, PartialEq)]
pub enum Directivity {
    /// Its coverage angle.
    Coverage(Radians),
    /// The radius of the diaphragm that plays.
    Piston(Metres),
    /// The diaphragm that plays the top, and the coverage of the whole.
    Topped(Topped),
    /// Measured.
    Measured(Balloon),
    /// Two like sides back to back in opposite phase.
    Dipole,
    /// Two like sides in phase.
    Bipole(Bipole),
}

/// A loudspeaker whose diaphragm tells its spread in some octaves alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Topped {
    /// Half the width of the diaphragm that plays the top.
    pub radius: Metres,
    /// The coverage of the whole loudspeaker.
    pub coverage: Radians,
    /// Whether the coverage is stated, and not the usual one.
    pub is_stated: bool,
}

/// A dome plays the octaves above this many wavelengths around it: a crossover keeps it from
/// those where it would have to move too far. Common practice, no source.
const DOME_KA_MIN: f64 = 0.5;

impl Topped {
    /// Whether its diaphragm tells how it spreads at a frequency: where its piston is narrower
    /// than what is stated of the whole; where nothing is stated, where a dome plays.
    fn is_piston(&self, frequency: Hertz, speed: MetresPerSecond) -> bool {
        let piston = Piston::new(self.radius, frequency, speed);
        match self.is_stated {
            true => (piston.coverage()).is_some_and(|coverage| coverage < self.coverage),
            false => piston.ka() >= DOME_KA_MIN,
        }
    }
}

/// Two like sides in phase, each turned off square to its own side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bipole {
    coverage: Radians,
    splay: Radians,
    /// Energy in the loudest direction, re that of one side on its own axis.
    loudest: f64,
}

impl Bipole {
    /// Sides of a coverage angle, each turned off square by a splay.
    pub fn new(coverage: Radians, splay: Radians) -> Self {
        let bare = Self {
            coverage,
            splay,
            loudest: 1.0,
        };
        // Between the middle and a side's axis; a hundredth of the way is a hundredth of a decibel.
        let level = |step: u32| bare.energy(splay.0 * f64::from(step) / 100.0, 1.0);
        let loudest = (0..=100).map(level).fold(0.0, f64::max);
        Self { loudest, ..bare }
    }

    /// Energy at an angle off square, `across` of it to a side, re one side on its axis.
    fn energy(&self, off: f64, across: f64) -> f64 {
        let (ahead, aside) = (off.cos(), off.sin() * across);
        let (sine, cosine) = self.splay.0.sin_cos();
        let one = |side: f64| {
            let along = ahead * cosine + side * aside * sine;
            let loss = coverage_loss(self.coverage, Radians(along.clamp(-1.0, 1.0).acos()));
            10_f64.powf(loss.0 / 10.0)
        };
        one(1.0) + one(-1.0)
    }
}

/// Which way a loudspeaker looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    axis: [f64; 3],
    up: [f64; 3],
}

impl Aim {
    /// An axis and which way its upper side is, each of any length but zero and not along
    /// each other; `None` otherwise.
    pub fn new(axis: [f64; 3], up: [f64; 3]) -> Option<Self> {
        let unit = |v: [f64; 3]| {
            let length = norm(v);
            (length > 1e-9 && length.is_finite()).then(|| v.map(|part| part / length))
        };
        let axis = unit(axis)?;
        let along = dot(axis, up);
        let up = unit([0, 1, 2].map(|i| up[i] - along * axis[i]))?;
        Some(Self { axis, up })
    }

    /// Level, straight away from a wall or turned off that: to the right of somebody who looks at
    /// the loudspeaker. `inward` leads from the wall into the room, in plan.
    pub fn off_wall(inward: [f64; 2], turned: Radians) -> Option<Self> {
        let [x, y] = inward;
        let (sine, cosine) = turned.0.sin_cos();
        let axis = [x * cosine - y * sine, y * cosine + x * sine, 0.0];
        Self::new(axis, [0.0, 0.0, 1.0])
    }

    /// Turned off this axis towards an angle around it: clockwise from its upper side, as
    /// seen by somebody who looks at the loudspeaker.
    pub fn turned(self, around: Radians, off: Radians) -> Self {
        // Somebody who looks at it from in front has the loudspeaker's own left on the right.
        let right = self.right();
        let (sine, cosine) = around.0.sin_cos();
        let towards = [0, 1, 2].map(|i| cosine * self.up[i] + sine * right[i]);
        let (sine, cosine) = off.0.sin_cos();
        let axis = [0, 1, 2].map(|i| cosine * self.axis[i] + sine * towards[i]);
        let up = [0, 1, 2].map(|i| cosine * towards[i] - sine * self.axis[i]);
        // Its upper side turns along with it.
        let side = cross(axis, up);
        let (sine, cosine) = (-around.0).sin_cos();
        let up = [0, 1, 2].map(|i| cosine * up[i] - sine * side[i]);
        Self { axis, up }
    }

    /// Its right side as somebody in front of it sees it, of length 1.
    pub fn right(&self) -> [f64; 3] {
        cross(self.axis, self.up).map(|part| -part)
    }

    /// The axis, of length 1.
    pub fn axis(&self) -> [f64; 3] {
        self.axis
    }

    /// A direction as angles around and off this axis.
    pub fn angles_to(&self, way: [f64; 3]) -> (Radians, Radians) {
        let right = self.right();
        let (ahead, up, side) = (dot(way, self.axis), dot(way, self.up), dot(way, right));
        let across = up.hypot(side);
        (Radians(side.atan2(up)), Radians(across.atan2(ahead)))
    }

    /// The angle between the axis and a direction.
    pub fn off(&self, way: [f64; 3]) -> Radians {
        let (ahead, across) = (
            dot(way, self.axis),
            dot(way, self.up).hypot(dot(way, self.right())),
        );
        Radians(across.atan2(ahead))
    }
}

impl Directivity {
    /// Numbers that tell it from every other; none where it was measured, which takes too many.
    pub fn numbers(&self) -> Option<[f64; 3]> {
        match self {
            Self::Coverage(coverage) => Some([0.0, coverage.0, 0.0]),
            Self::Piston(radius) => Some([1.0, radius.0, 0.0]),
            Self::Dipole => Some([2.0, 0.0, 0.0]),
            Self::Topped(topped) => Some([
                if topped.is_stated { 4.0 } else { 5.0 },
                topped.radius.0,
                topped.coverage.0,
            ]),
            // The loudest direction follows from both.
            Self::Bipole(sides) => Some([3.0, sides.coverage.0, sides.splay.0]),
            Self::Measured(_) => None,
        }
    }

    /// Whether it is the same all around its axis.
    fn is_round(&self) -> bool {
        match self {
            Self::Coverage(_) | Self::Piston(_) | Self::Topped(_) => true,
            Self::Measured(_) | Self::Dipole | Self::Bipole(_) => false,
        }
    }

    /// Whether it sends the same in every octave, as far as is known.
    pub fn is_alike_in_octaves(&self) -> bool {
        match self {
            Self::Coverage(_) | Self::Dipole | Self::Bipole(_) => true,
            Self::Piston(_) | Self::Topped(_) | Self::Measured(_) => false,
        }
    }

    /// The level in a direction, re the axis.
    pub fn level(
        &self,
        aim: &Aim,
        way: [f64; 3],
        frequency: Hertz,
        speed: MetresPerSecond,
    ) -> Decibels {
        let (around, off) = match self.is_round() {
            true => (Radians(0.0), aim.off(way)),
            false => aim.angles_to(way),
        };
        self.level_at(around, off, frequency, speed)
    }

    /// The level at angles around and off the axis.
    pub fn level_at(
        &self,
        around: Radians,
        off: Radians,
        frequency: Hertz,
        speed: MetresPerSecond,
    ) -> Decibels {
        match self {
            Self::Coverage(coverage) => coverage_loss(*coverage, off),
            Self::Piston(radius) => piston_loss(*radius, off, frequency, speed),
            Self::Topped(topped) if topped.is_piston(frequency, speed) => {
                piston_loss(topped.radius, off, frequency, speed)
            }
            Self::Topped(topped) => coverage_loss(topped.coverage, off),
            Self::Measured(balloon) => balloon.level(frequency, around, off),
            Self::Dipole => {
                let share = (off.0.sin() * around.0.sin()).abs();
                Decibels((20.0 * share.log10()).max(FLOOR_DB))
            }
            Self::Bipole(sides) => {
                let energy = sides.energy(off.0, around.0.sin()) / sides.loudest;
                Decibels((10.0 * energy.log10()).max(FLOOR_DB))
            }
        }
    }

    /// The directivity factor on the axis of a loudspeaker in a wall, which sends nothing
    /// behind it, or of one that stands free.
    pub fn factor(&self, in_wall: bool, frequency: Hertz, speed: MetresPerSecond) -> f64 {
        let last = if in_wall { PI / 2.0 } else { PI };
        let (rings, around) = match self.is_round() {
            true => (180, 1),
            false => (90, 24),
        };
        let step = last / f64::from(rings);
        let mut power = 0.0;
        for ring in 0..rings {
            let off = (f64::from(ring) + 0.5) * step;
            let sum: f64 = (0..around)
                .map(|turn| {
                    let turn = Radians(TAU * f64::from(turn) / f64::from(around));
                    let level = self.level_at(turn, Radians(off), frequency, speed).0;
                    10_f64.powf(level / 10.0)
                })
                .sum();
            power += sum / f64::from(around) * TAU * off.sin() * step;
        }
        4.0 * PI / power
    }
}

/// What a piston sends less off its axis.
fn piston_loss(radius: Metres, off: Radians, frequency: Hertz, speed: MetresPerSecond) -> Decibels {
    let level = Piston::new(radius, frequency, speed).level_off_axis(off);
    // A null is that of an ideal piston; no real one is as deep.
    Decibels(level.0.max(2.0 * FLOOR_DB))
}

/// What a coverage angle takes off the axis.
pub fn coverage_loss(coverage: Radians, off: Radians) -> Decibels {
    let share = 2.0 * off.0 / coverage.0;
    Decibels((-20.0 * 2_f64.log10() * share * share).max(FLOOR_DB))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SPEED: MetresPerSecond = MetresPerSecond(343.2);
    const FRONT: Aim = Aim {
        axis: [0.0, -1.0, 0.0],
        up: [0.0, 0.0, 1.0],
    };

    #[test]
    fn coverage_is_six_decibels_down_at_its_edge() {
        let coverage = Radians::from_degrees(90.0);
        let at = |off: f64| coverage_loss(coverage, Radians::from_degrees(off)).0;
        assert!((at(45.0) + 6.0206).abs() < 1e-4);
        assert_eq!(at(0.0), 0.0);
        assert_eq!(at(170.0), FLOOR_DB);
        assert!(at(20.0) > at(21.0));
    }

    #[test]
    fn a_dome_does_not_overrule_what_is_stated_of_the_whole() {
        let degrees = Radians::from_degrees;
        let at = |diameter: f64, is_stated: bool, frequency: f64| {
            let (radius, coverage) = (Metres(diameter / 2.0), degrees(80.0));
            let topped = Directivity::Topped(Topped {
                radius,
                coverage,
                is_stated,
            });
            let [topped, piston, coverage] = [
                topped,
                Directivity::Piston(radius),
                Directivity::Coverage(coverage),
            ]
            .map(|of| {
                of.level_at(Radians(0.0), degrees(35.0), Hertz(frequency), SPEED)
                    .0
            });
            assert!(topped == piston || topped == coverage);
            topped == piston
        };
        // A piston is 80° wide at ka = 2.21509 / sin 40° = 3.446: 25 mm across at 15.06 kHz.
        assert!(!at(0.025, true, 15_000.0));
        assert!(at(0.025, true, 15_100.0));
        // 165 mm across at 2.281 kHz.
        assert!(!at(0.165, true, 2_250.0));
        assert!(at(0.165, true, 2_300.0));
        // With nothing stated a dome tells from ka = 0.5 on: 25 mm across at 2.185 kHz.
        assert!(!at(0.025, false, 2_150.0));
        assert!(at(0.025, false, 2_200.0));
    }

    #[test]
    fn a_piston_sends_what_its_directivity_index_says() {
        // DI of a circular piston in a baffle, re a source that radiates all round.
        for (radius, frequency) in [(0.05, 1000.0), (0.0825, 2000.0), (0.0825, 4000.0)] {
            let piston = Piston::new(Metres(radius), Hertz(frequency), SPEED);
            let factor = Directivity::Piston(Metres(radius)).factor(true, Hertz(frequency), SPEED);
            let index = 10.0 * factor.log10();
            // The floor under the nulls and the sums over rings cost less than 0.02 dB.
            assert!(
                (index - piston.directivity_index().0).abs() < 0.02,
                "{index}"
            );
        }
    }

    #[test]
    fn what_a_law_leaves_alone_makes_no_difference_to_it() {
        let degrees = Radians::from_degrees;
        let ways = [[0.3, -1.0, -0.4], [-0.5, 0.2, 0.2], [0.0, -1.0, 0.0]];
        let octaves = [500.0, 1000.0, 4000.0].map(Hertz);
        for law in [
            Directivity::Coverage(degrees(90.0)),
            Directivity::Piston(Metres(0.0825)),
            Directivity::Dipole,
            Directivity::Bipole(Bipole::new(degrees(90.0), degrees(45.0))),
        ] {
            for way in ways {
                let (around, off) = FRONT.angles_to(way);
                assert_eq!(FRONT.off(way), off);
                let plain = octaves.map(|octave| law.level_at(around, off, octave, SPEED));
                assert_eq!(
                    octaves.map(|octave| law.level(&FRONT, way, octave, SPEED)),
                    plain
                );
                if law.is_alike_in_octaves() {
                    assert_eq!(plain, [plain[0]; 3]);
                }
            }
        }
    }

    #[test]
    fn a_dipole_is_silent_ahead_and_loudest_along_its_wall() {
        let level = |way| {
            Directivity::Dipole
                .level(&FRONT, way, Hertz(1000.0), SPEED)
                .0
        };
        assert_eq!(level([0.0, -1.0, 0.0]), FLOOR_DB);
        assert_eq!(level([0.0, -1.0, 0.7]), FLOOR_DB);
        assert!(level([1.0, 0.0, 0.0]).abs() < 1e-9);
        assert!(level([-1.0, 0.0, 0.0]).abs() < 1e-9);
        // cos 60° of the lobe's axis.
        let half = level([0.5, -(0.75_f64.sqrt()), 0.0]);
        assert!((half + 6.0206).abs() < 1e-4, "{half}");
    }

    #[test]
    fn a_dipole_sends_a_third_of_what_plays_all_round_sends() {
        // ∮ cos² dΩ = 4π/3, half of it before a wall; the floor under the null costs 0.02 dB.
        for (in_wall, factor) in [(false, 3.0_f64), (true, 6.0)] {
            let found = Directivity::Dipole.factor(in_wall, Hertz(1000.0), SPEED);
            assert!((10.0 * (found / factor).log10()).abs() < 0.03, "{found}");
        }
    }

    #[test]
    fn a_bipole_is_broader_than_one_of_its_sides() {
        let degrees = Radians::from_degrees;
        let sides = Directivity::Bipole(Bipole::new(degrees(90.0), degrees(45.0)));
        let at = |off: f64| {
            let [around, off] = [degrees(90.0), degrees(off)];
            sides.level_at(around, off, Hertz(1000.0), SPEED).0
        };
        // Each side 6.02 dB down, two of them: 3.01 dB below a side's axis, where the other
        // side adds 10^(−1.8) and so 0.07 dB.
        assert!((at(0.0) + 3.0103 + 0.0683).abs() < 0.02, "{}", at(0.0));
        assert!(at(45.0) > -0.05 && at(45.0) <= 1e-9, "{}", at(45.0));
        assert!(at(80.0) > coverage_loss(degrees(90.0), degrees(80.0)).0 + 10.0);
        // The same to both sides, and up as if there were one.
        let other = sides
            .level_at(degrees(-90.0), degrees(30.0), Hertz(1000.0), SPEED)
            .0;
        assert!((at(30.0) - other).abs() < 1e-12);
    }

    #[test]
    fn sides_that_look_the_same_way_are_one() {
        let coverage = Radians::from_degrees(90.0);
        let both = Directivity::Bipole(Bipole::new(coverage, Radians(0.0)));
        let one = Directivity::Coverage(coverage);
        for off in [0.0, 20.0, 45.0, 70.0] {
            let off = Radians::from_degrees(off);
            let [a, b] =
                [&both, &one].map(|of| of.level_at(Radians(1.0), off, Hertz(1000.0), SPEED).0);
            assert!((a - b).abs() < 1e-9, "{a} {b}");
        }
    }

    #[test]
    fn around_runs_clockwise_for_somebody_in_front() {
        // It looks along −y; somebody in front looks along +y, with +x on the right.
        let angle = |way| FRONT.angles_to(way);
        let near = |(around, off): (Radians, Radians), a: f64, o: f64| {
            assert!(
                (around.degrees() - a).abs() < 1e-9 && (off.degrees() - o).abs() < 1e-9,
                "{around:?} {off:?}"
            );
        };
        near(angle([0.0, -1.0, 1.0]), 0.0, 45.0);
        near(angle([1.0, -1.0, 0.0]), 90.0, 45.0);
        near(angle([-1.0, 0.0, 0.0]), -90.0, 90.0);
        near(angle([0.0, -1.0, -1.0]), 180.0, 45.0);
    }

    #[test]
    fn turning_brings_a_direction_onto_the_axis() {
        for way in [[0.3, -1.0, -0.4], [-0.5, -1.0, 0.2], [0.0, -1.0, -0.7]] {
            let (around, off) = FRONT.angles_to(way);
            let turned = FRONT.turned(around, off);
            assert!(turned.off(way).0 < 1e-7);
            assert!(dot(turned.axis, turned.up).abs() < 1e-12);
            assert!((norm(turned.up) - 1.0).abs() < 1e-12);
        }
        // Turned down, the upper side still faces up.
        let down = FRONT.turned(Radians(PI), Radians::from_degrees(20.0));
        assert!(down.up[2] > 0.9, "{:?}", down.up);
        let side = FRONT.turned(Radians(PI / 2.0), Radians::from_degrees(20.0));
        assert!(side.up[2] > 0.999, "{:?}", side.up);
    }

    #[test]
    fn what_stands_turns_to_the_right_of_who_looks_at_it() {
        let degrees = Radians::from_degrees;
        let near = |aim: Option<Aim>, way: [f64; 3]| {
            let axis = aim.expect("a wall has a direction").axis();
            let off: f64 = (0..3).map(|i| (axis[i] - way[i]).abs()).sum();
            assert!(off < 1e-12, "{axis:?}");
        };
        // Away from the wall along −y; who looks at it has +x on the right.
        near(Aim::off_wall([0.0, -2.0], degrees(0.0)), [0.0, -1.0, 0.0]);
        near(Aim::off_wall([0.0, -1.0], degrees(90.0)), [1.0, 0.0, 0.0]);
        let half = 0.75_f64.sqrt();
        near(
            Aim::off_wall([0.0, -1.0], degrees(-30.0)),
            [-0.5, -half, 0.0],
        );
        // As the dial turns it to 90°.
        let square = Aim::off_wall([1.0, 0.0], degrees(0.0)).expect("a wall has a direction");
        near(
            Aim::off_wall([1.0, 0.0], degrees(20.0)),
            square.turned(degrees(90.0), degrees(20.0)).axis(),
        );
    }

    #[test]
    fn an_aim_needs_two_directions() {
        assert!(Aim::new([0.0; 3], [0.0, 0.0, 1.0]).is_none());
        assert!(Aim::new([0.0, 0.0, -1.0], [0.0, 0.0, 1.0]).is_none());
        assert!(Aim::new([0.0, -2.0, 1.0], [0.0, 0.0, 3.0]).is_some());
    }
}
