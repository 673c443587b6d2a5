//! What each measurement should read, given the corners, and how that changes
//! when a corner moves.
//!
//! Unknowns `x`: first the x of corner 1 (its y is 0 by the frame), then x and
//! y of corners 2 to n − 1; corner 0 is the origin.
//!
//! A distance reads `L = |d|` and a wall's direction `θ = atan2(d_y, d_x)` with
//! `d` the vector between two corners. The inside angle at the end of wall `i`
//! reads `a = π + θ(i+1) − θ(i)`, since a clockwise walk turns right by `π − a`.

use std::f64::consts::{PI, TAU};

use crate::linear::Square;
use crate::{Observation, Traverse};

/// The measurements of one room, ready to be compared with corners.
pub(crate) struct Network {
    pub(crate) walls: usize,
    pub(crate) observations: Vec<Observation>,
    pub(crate) values: Vec<f64>,
    pub(crate) sigmas: Vec<f64>,
    ends: Vec<[usize; 2]>,
}

/// One vector between two corners, as it enters a reading.
enum Term {
    Distance([usize; 2]),
    Direction([usize; 2], f64),
}

impl Network {
    pub(crate) fn new(traverse: &Traverse) -> Self {
        let observations = traverse.observations();
        let observed: Vec<_> = observations
            .iter()
            .filter_map(|&observation| traverse.observed(observation))
            .collect();
        Self {
            walls: traverse.lengths.len(),
            values: observed.iter().map(|observed| observed.value).collect(),
            sigmas: observed.iter().map(|observed| observed.sigma).collect(),
            ends: traverse
                .diagonals
                .iter()
                .map(|diagonal| [diagonal.from, diagonal.to])
                .collect(),
            observations,
        }
    }

    pub(crate) fn unknowns(&self) -> usize {
        2 * self.walls - 3
    }

    pub(crate) fn corners(&self, x: &[f64]) -> Vec<[f64; 2]> {
        let mut corners = vec![[0.0, 0.0], [x[0], 0.0]];
        corners.extend(x[1..].chunks_exact(2).map(|corner| [corner[0], corner[1]]));
        corners
    }

    pub(crate) fn unknowns_of(corners: &[[f64; 2]]) -> Vec<f64> {
        let mut x = vec![corners[1][0]];
        x.extend(corners[2..].iter().flatten());
        x
    }

    /// Place of a corner's x and y among the unknowns, where they are unknown.
    pub(crate) fn places(corner: usize) -> [Option<usize>; 2] {
        match corner {
            0 => [None, None],
            1 => [Some(0), None],
            _ => [Some(2 * corner - 3), Some(2 * corner - 2)],
        }
    }

    fn wall(&self, wall: usize) -> [usize; 2] {
        [wall % self.walls, (wall + 1) % self.walls]
    }

    fn terms(&self, observation: Observation) -> Vec<Term> {
        match observation {
            Observation::Length(i) => vec![Term::Distance(self.wall(i))],
            Observation::Diagonal(i) => vec![Term::Distance(self.ends[i])],
            Observation::Angle(i) => vec![
                Term::Direction(self.wall(i + 1), 1.0),
                Term::Direction(self.wall(i), -1.0),
            ],
        }
    }

    /// What every measurement should read; an angle is given on the turn
    /// nearest its measured value.
    pub(crate) fn readings(&self, corners: &[[f64; 2]]) -> Vec<f64> {
        let read = |(k, &observation): (usize, &Observation)| {
            let sum: f64 = self
                .terms(observation)
                .iter()
                .map(|term| match *term {
                    Term::Distance(ends) => {
                        let d = between(corners, ends);
                        d[0].hypot(d[1])
                    }
                    Term::Direction(ends, sign) => {
                        let d = between(corners, ends);
                        sign * d[1].atan2(d[0])
                    }
                })
                .sum();
            match observation {
                Observation::Angle(_) => self.values[k] + wrap(PI + sum - self.values[k]),
                _ => sum,
            }
        };
        self.observations.iter().enumerate().map(read).collect()
    }

    /// Derivative of each reading by each unknown.
    pub(crate) fn gradients(&self, corners: &[[f64; 2]]) -> Vec<Vec<f64>> {
        let gradient = |&observation: &Observation| {
            let mut row = vec![0.0; self.unknowns()];
            for term in self.terms(observation) {
                let (ends, by_d) = match term {
                    Term::Distance(ends) => {
                        let [x, y] = between(corners, ends);
                        let length = x.hypot(y);
                        (ends, [x / length, y / length])
                    }
                    Term::Direction(ends, sign) => {
                        let [x, y] = between(corners, ends);
                        let square = x * x + y * y;
                        (ends, [-sign * y / square, sign * x / square])
                    }
                };
                for (end, end_sign) in ends.into_iter().zip([-1.0, 1.0]) {
                    for (place, slope) in Self::places(end).into_iter().zip(by_d) {
                        if let Some(place) = place {
                            row[place] += end_sign * slope;
                        }
                    }
                }
            }
            row
        };
        self.observations.iter().map(gradient).collect()
    }

    /// Adds `factor` times the second derivatives of one reading.
    pub(crate) fn add_curvature(
        &self,
        matrix: &mut Square,
        corners: &[[f64; 2]],
        observation: Observation,
        factor: f64,
    ) {
        for term in self.terms(observation) {
            let (ends, [xx, xy, yy]) = match term {
                Term::Distance(ends) => {
                    let [x, y] = between(corners, ends);
                    let cube = x.hypot(y).powi(3);
                    (ends, [y * y / cube, -x * y / cube, x * x / cube])
                }
                Term::Direction(ends, sign) => {
                    let [x, y] = between(corners, ends);
                    let fourth = (x * x + y * y).powi(2);
                    let xx = sign * 2.0 * x * y / fourth;
                    (ends, [xx, sign * (y * y - x * x) / fourth, -xx])
                }
            };
            let by_d = [[xx, xy], [xy, yy]];
            for (end_a, sign_a) in ends.into_iter().zip([-1.0, 1.0]) {
                for (end_b, sign_b) in ends.into_iter().zip([-1.0, 1.0]) {
                    for (axis_a, place_a) in Self::places(end_a).into_iter().enumerate() {
                        for (axis_b, place_b) in Self::places(end_b).into_iter().enumerate() {
                            if let (Some(a), Some(b)) = (place_a, place_b) {
                                matrix.add(a, b, factor * sign_a * sign_b * by_d[axis_a][axis_b]);
                            }
                        }
                    }
                }
            }
        }
    }
}

fn between(corners: &[[f64; 2]], [from, to]: [usize; 2]) -> [f64; 2] {
    [
        corners[to][0] - corners[from][0],
        corners[to][1] - corners[from][1],
    ]
}

/// The same angle between −π and π.
pub(crate) fn wrap(angle: f64) -> f64 {
    angle - TAU * (angle / TAU).round()
}
