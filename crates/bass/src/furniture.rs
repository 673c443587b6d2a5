//! How far would the furniture that the solve leaves out move the resonances?
//!
//! To first order a hard box in a wave changes its frequency by what the air that it takes held of
//! the wave's energy (Boltzmann's and Ehrenfest's principle; the factor for the air that flows round
//! it is a sphere's; both from memory):
//! `δf/f = ½ ∫_box (p² − (1 + χ) (∇p/k)²) dV / ∫_room p² dV`, `χ = ½`.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | p | pressure of the resonance | any |
//! | k | its wavenumber | rad/m |
//! | χ | mass of air that moves with the box by the air that it takes | 1 |

use analysis::Body;
use waves::Modes;

use crate::frame::{Frame, point};

/// A piece of furniture as a box, in the frame of the space that was asked for.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece {
    pub(crate) name: String,
    centre: [f64; 3],
    /// Unit direction of its first side, in plan.
    along: [f64; 2],
    /// Along, up and across, m.
    size: [f64; 3],
}

/// By how much the furniture would move the resonance that it moves most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Moved {
    /// The resonance, Hz.
    pub(crate) hz: f64,
    /// By how much of it; positive is up.
    pub(crate) share: f64,
}

/// Air that moves with a box, by what it takes: a sphere's.
const CARRIED: f64 = 0.5;
/// Sides are cut into pieces of at most this, m.
const PIECE_M: f64 = 0.3;
/// Slopes are taken over this either way, m.
const SLOPE_M: f64 = 0.02;

impl Piece {
    pub(crate) fn new(name: String, body: &Body, frame: &Frame) -> Self {
        let centre = body.centre.value();
        let ahead = body.along.value();
        let origin = frame.out(centre);
        let ahead = frame.out([centre[0] + ahead[0], centre[1] + ahead[1], centre[2]]);
        Self {
            name,
            centre: origin,
            along: [ahead[0] - origin[0], ahead[1] - origin[1]],
            size: [0, 1, 2].map(|side| body.size[side].value()),
        }
    }

    pub(crate) fn volume_m3(&self) -> f64 {
        self.size.iter().product()
    }

    /// Middles of its pieces, and the volume of each, m³.
    fn pieces(&self) -> (Vec<[f64; 3]>, f64) {
        let [along, up, across] = self
            .size
            .map(|side| (side / PIECE_M).ceil().max(1.0) as usize);
        let share = |at: usize, count: usize| (at as f64 + 0.5) / count as f64 - 0.5;
        let [x, y] = self.along;
        let mut middles = Vec::new();
        for i in 0..along {
            for j in 0..up {
                for k in 0..across {
                    let [u, z, v] = [
                        self.size[0] * share(i, along),
                        self.size[1] * share(j, up),
                        self.size[2] * share(k, across),
                    ];
                    middles.push([
                        self.centre[0] + u * x - v * y,
                        self.centre[1] + u * y + v * x,
                        self.centre[2] + z,
                    ]);
                }
            }
        }
        let count = middles.len() as f64;
        (middles, self.volume_m3() / count)
    }
}

/// The resonance up to a frequency that the pieces would move most; `None` without a piece in the
/// air or a resonance.
pub(crate) fn most_moved(
    pieces: &[Piece],
    modes: &Modes,
    volume_m3: f64,
    speed_m_s: f64,
    to_hz: f64,
) -> Option<Moved> {
    let mut at = Vec::new();
    let mut weights = Vec::new();
    for piece in pieces {
        let (middles, share_m3) = piece.pieces();
        for middle in middles {
            let near = |axis: usize, by: f64| {
                let mut moved = middle;
                moved[axis] += by;
                point(moved)
            };
            at.push(point(middle));
            at.extend((0..3).flat_map(|axis| [near(axis, -SLOPE_M), near(axis, SLOPE_M)]));
            weights.push(share_m3);
        }
    }
    let all = modes.modes();
    let moved = all
        .iter()
        .enumerate()
        .skip(1)
        .take_while(|(_, mode)| mode.frequency_hz <= to_hz)
        .map(|(number, mode)| {
            let k = std::f64::consts::TAU * mode.frequency_hz / speed_m_s;
            let heard = modes.shape(number, &at);
            let sum: f64 = (heard.chunks_exact(7).zip(&weights))
                .filter_map(|(heard, weight_m3)| {
                    let pressure = heard[0]?;
                    let slope = |axis: usize| {
                        let [low, high] = [heard[1 + 2 * axis], heard[2 + 2 * axis]];
                        Some((high? - low?) / (2.0 * SLOPE_M))
                    };
                    // Beside a wall nothing flows across it.
                    let flow: f64 = (0..3).map(|axis| slope(axis).unwrap_or(0.0).powi(2)).sum();
                    Some(weight_m3 * (pressure * pressure - (1.0 + CARRIED) * flow / (k * k)))
                })
                .sum();
            Moved {
                hz: mode.frequency_hz,
                share: 0.5 * sum / volume_m3,
            }
        });
    moved
        .filter(|_| !weights.is_empty())
        .max_by(|a, b| a.share.abs().total_cmp(&b.share.abs()))
}

#[cfg(test)]
mod tests {
    use std::ops::ControlFlow;

    use units::Hertz;
    use waves::{Face, Room, Settings, Solver};

    use super::*;

    const SIZE: [f64; 3] = [5.2, 3.9, 2.6];

    fn box_of([low, high]: [[f64; 3]; 2], is_room: bool) -> Vec<Face> {
        let at = |i: usize, j: usize, k: usize| {
            [[low, high][i][0], [low, high][j][1], [low, high][k][2]]
        };
        let rings = [
            vec![at(0, 0, 1), at(1, 0, 1), at(1, 1, 1), at(0, 1, 1)],
            vec![at(0, 0, 0), at(1, 0, 0), at(1, 0, 1), at(0, 0, 1)],
            vec![at(1, 0, 0), at(1, 1, 0), at(1, 1, 1), at(1, 0, 1)],
            vec![at(1, 1, 0), at(0, 1, 0), at(0, 1, 1), at(1, 1, 1)],
            vec![at(0, 1, 0), at(0, 0, 0), at(0, 0, 1), at(0, 1, 1)],
        ];
        let rings = rings.into_iter().map(|mut outline| {
            if !is_room {
                outline.reverse();
            }
            Face {
                outline,
                holes: Vec::new(),
                surface: 0,
            }
        });
        rings.collect()
    }

    /// The room, with a box standing on its floor.
    fn room(inner: Option<[[f64; 3]; 2]>) -> Room {
        let [x, y, _] = SIZE;
        let mut faces = box_of([[0.0; 3], SIZE], true);
        let holes = inner.map(|[low, high]| {
            vec![
                [low[0], low[1], 0.0],
                [high[0], low[1], 0.0],
                [high[0], high[1], 0.0],
                [low[0], high[1], 0.0],
            ]
        });
        faces.push(Face {
            outline: vec![[0.0, 0.0, 0.0], [0.0, y, 0.0], [x, y, 0.0], [x, 0.0, 0.0]],
            holes: holes.into_iter().collect(),
            surface: 0,
        });
        faces.extend(inner.into_iter().flat_map(|inner| box_of(inner, false)));
        Room::new(&faces).expect("it is closed")
    }

    fn modes(room: &Room) -> Modes {
        let solver = Solver::new(room, Settings::up_to(Hertz(90.0))).expect("it is small");
        let modes = solver.run(&[], &mut |_| ControlFlow::Continue(()));
        modes.expect("it settles")
    }

    /// A sofa's box on the floor: what is told of the first six resonances against a solve with the
    /// box cut out of the air. To first order, so a third of the shift may be missing.
    #[test]
    fn a_box_moves_resonances_as_a_solve_with_it_says() {
        let (low, high) = ([1.5, 1.2, 0.0], [3.5, 2.1, 0.6]);
        let bare = modes(&room(None));
        let filled = modes(&room(Some([low, high])));
        let piece = Piece {
            name: "sofa".into(),
            centre: [0, 1, 2].map(|axis| 0.5 * (low[axis] + high[axis])),
            along: [1.0, 0.0],
            size: [2.0, 0.6, 0.9],
        };
        let frequencies = |modes: &Modes| {
            modes
                .modes()
                .iter()
                .map(|mode| mode.frequency_hz)
                .collect::<Vec<_>>()
        };
        let (before, after) = (frequencies(&bare), frequencies(&filled));
        let mut worst: f64 = 0.0;
        for number in 1..7 {
            let shift = after[number] / before[number] - 1.0;
            worst = worst.max(shift.abs());
        }
        let told = most_moved(&[piece], &bare, 52.728, 343.0, before[6] + 0.01);
        let told = told.expect("there are resonances").share.abs();
        assert!(worst > 0.005, "{worst}");
        assert!(
            (told / worst - 1.0).abs() < 0.34,
            "told {told}, solved {worst}"
        );
    }

    /// A board before a whole wall shortens the room: 0.1 m of 5.2 m is 1.9 % up.
    #[test]
    fn a_box_along_a_wall_shortens_the_room() {
        let piece = Piece {
            name: "board".into(),
            centre: [0.05, 1.95, 1.3],
            along: [1.0, 0.0],
            size: [0.1, 2.6, 3.9],
        };
        let told = most_moved(&[piece], &modes(&room(None)), 52.728, 343.0, 34.0);
        let told = told.expect("the first resonance is at 33.0 Hz");
        assert!((told.share - 0.1 / 5.2).abs() < 1e-3, "{told:?}");
    }
}
