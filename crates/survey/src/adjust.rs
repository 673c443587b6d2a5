//! Where are the corners, and by how much do the measurements disagree?
//!
//! Least squares: the corners `x` that make `T = Σ (v_k / σ_k)²` smallest, with
//! `v_k = f_k(x) − l_k` the adjusted minus the observed value. Bowditch's rule
//! gives the first guess, Newton steps the rest.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `l`, `σ` | observed value and its standard uncertainty | m or rad |
//! | `J` | `∂f/∂x` | |
//! | `W` | diagonal of `1/σ²` | |
//! | `N` | `Jᵀ W J`, normal matrix | |
//! | `H` | `N + Σ W v ∂²f/∂x²`, curvature of `T/2` | |
//! | `σ_v²` | diagonal of `W⁻¹ − J N⁻¹ Jᵀ`, variance of the residuals | |
//! | `r` | redundancy, observations less unknowns: 3 + diagonals | |

use std::f64::consts::PI;

use crate::linear::{Cholesky, Square, dot};
use crate::network::{Network, wrap};
use crate::polygon::{crossing_walls, doubled_area};
use crate::{Observation, Observed, SurveyError, Traverse};

/// The corners of a room and how well the measurements agree on them.
///
/// Per-measurement lists are in the order of [`Traverse::observations`].
#[derive(Clone, Debug, PartialEq)]
pub struct Adjusted {
    /// Corner `i` is the start of wall `i`, m.
    pub corners: Vec<[f64; 2]>,
    /// For each corner, the derivative of its x and of its y by each
    /// measurement (m per m, or m per rad).
    pub jacobian: Vec<[Vec<f64>; 2]>,
    /// Adjusted minus observed value, m or rad.
    pub residuals: Vec<f64>,
    /// Each residual over its own standard uncertainty; 0 for a measurement
    /// that no other one checks. Standard normal when nothing is mistaken.
    pub standardised: Vec<f64>,
    /// Measurements beyond what the corners need: 3 plus the diagonals.
    pub redundancy: usize,
    /// End minus start of the walk along wall 0, 1, … with the values as typed, m.
    pub misclosure_m: [f64; 2],
    /// Mahalanobis distance of `misclosure_m` from zero. It knows neither the
    /// last angle nor the diagonals; [`Adjusted::closing_distance`] does.
    pub misclosure_sigma: f64,
    /// Sum of the inside angles less (n − 2) π, rad.
    pub angle_misclosure_rad: f64,
    /// `T / r`; near 1 when the tolerances are honest and nothing is mistaken.
    pub variance_factor: f64,
}

impl Adjusted {
    /// `√T`: the distance of all closing conditions together from zero, in
    /// standard uncertainties. The room closes when it is within [`closing_limit`].
    pub fn closing_distance(&self) -> f64 {
        (self.variance_factor * self.redundancy as f64).sqrt()
    }

    /// Whether the measurements agree within their tolerances.
    pub fn closes(&self) -> bool {
        self.closing_distance() <= closing_limit(self.redundancy)
    }

    /// Covariance of a corner's x and y, m², propagated from the tolerances as
    /// given; nothing for a corner the room does not have.
    pub fn corner_covariance(&self, traverse: &Traverse, corner: usize) -> Option<[[f64; 2]; 2]> {
        let sigmas = Network::new(traverse).sigmas;
        let [by_x, by_y] = self.jacobian.get(corner)?;
        let sum = |a: &[f64], b: &[f64]| -> f64 {
            a.iter()
                .zip(b)
                .zip(&sigmas)
                .map(|((a, b), sigma)| a * b * sigma * sigma)
                .sum()
        };
        Some([
            [sum(by_x, by_x), sum(by_x, by_y)],
            [sum(by_y, by_x), sum(by_y, by_y)],
        ])
    }
}

/// How large [`Adjusted::closing_distance`] may be before the measurements are
/// said to disagree: exceeded by chance once in 370 rooms, as 3 σ is.
///
/// `T` follows the χ² distribution with `redundancy` degrees of freedom when
/// nothing is mistaken, so the limit is the root of its 99.73 % quantile, here
/// by Wilson and Hilferty's cube-root approximation (within 1 % from 3 degrees
/// of freedom up). The familiar 3 is right for one closing condition alone; a
/// room has three or more, and the largest of several is larger by chance.
pub fn closing_limit(redundancy: usize) -> f64 {
    // Standard normal quantile of 1 − 0.0027.
    const Z: f64 = 2.782;
    let r = redundancy as f64;
    let spread = 2.0 / (9.0 * r);
    (r * (1.0 - spread + Z * spread.sqrt()).powi(3)).sqrt()
}

/// Finds the corners that fit all measurements best, each weighted by `1/σ²`.
///
/// # Errors
/// Values no room can have; walls that cross or an inside on the left after
/// the adjustment (both carry the corners as found); corners that do not
/// settle or that the measurements do not fix.
pub fn adjust(traverse: &Traverse) -> Result<Adjusted, SurveyError> {
    validate(traverse)?;
    let network = Network::new(traverse);
    let weights: Vec<f64> = network
        .sigmas
        .iter()
        .map(|sigma| (sigma * sigma).recip())
        .collect();
    let solution = solve(&network, &weights, first_guess(traverse))?;
    let adjusted = describe(traverse, &network, &weights, solution);
    if let Some([first, second]) = crossing_walls(&adjusted.corners) {
        return Err(SurveyError::WallsCross {
            first,
            second,
            adjusted: Box::new(adjusted),
        });
    }
    if doubled_area(&adjusted.corners) >= 0.0 {
        return Err(SurveyError::InsideOut {
            sum_rad: traverse.angles.iter().map(|angle| angle.value).sum(),
            expected_rad: (network.walls as f64 - 2.0) * PI,
            adjusted: Box::new(adjusted),
        });
    }
    Ok(adjusted)
}

/// Corners at the minimum, with what the caller needs to know about it.
pub(crate) struct Solution {
    pub(crate) corners: Vec<[f64; 2]>,
    pub(crate) readings: Vec<f64>,
    pub(crate) gradients: Vec<Vec<f64>>,
    pub(crate) normal: Cholesky,
    curvature: Cholesky,
    /// `T`.
    pub(crate) disagreement: f64,
}

/// Minimises `T`; a weight of zero leaves a measurement out.
pub(crate) fn solve(
    network: &Network,
    weights: &[f64],
    start: Vec<[f64; 2]>,
) -> Result<Solution, SurveyError> {
    const ITERATIONS: usize = 100;
    const HALVINGS: usize = 40;
    let scale: f64 = network.values[..network.walls].iter().sum();
    let disagreement = |readings: &[f64]| -> f64 {
        let squares = readings.iter().zip(&network.values).zip(weights);
        squares.map(|((f, l), w)| w * (f - l) * (f - l)).sum()
    };
    let mut x = Network::unknowns_of(&start);
    for _ in 0..ITERATIONS {
        let corners = network.corners(&x);
        let readings = network.readings(&corners);
        let t = disagreement(&readings);
        if !t.is_finite() {
            return Err(SurveyError::Singular);
        }
        let gradients = network.gradients(&corners);
        let mut normal = Square::zero(x.len());
        let mut slope = vec![0.0; x.len()];
        for (k, row) in gradients.iter().enumerate() {
            for a in 0..x.len() {
                slope[a] += weights[k] * row[a] * (readings[k] - network.values[k]);
                for b in 0..x.len() {
                    normal.add(a, b, weights[k] * row[a] * row[b]);
                }
            }
        }
        let mut curvature = normal.clone();
        for (k, &observation) in network.observations.iter().enumerate() {
            let factor = weights[k] * (readings[k] - network.values[k]);
            network.add_curvature(&mut curvature, &corners, observation, factor);
        }
        let (normal, curvature) = (normal.cholesky(), curvature.cholesky());
        // Far from the minimum `T` may curve downwards; the Gauss–Newton step
        // leads down all the same.
        let step = match curvature.as_ref().or(normal.as_ref()) {
            Some(factored) => factored.solve(&slope),
            None => return Err(SurveyError::Singular),
        };
        let longest = step
            .iter()
            .fold(0.0, |longest: f64, part| longest.max(part.abs()));
        let settled = longest <= 1e-11 * scale;
        // This near, rounding and no longer the step decides whether `T`
        // falls, and Newton's step needs no guard.
        let near = longest <= 1e-6 * scale && curvature.is_some();
        let mut factor = 1.0;
        let mut next = None;
        for _ in 0..HALVINGS {
            let tried: Vec<f64> = x
                .iter()
                .zip(&step)
                .map(|(x, step)| x - factor * step)
                .collect();
            if near || disagreement(&network.readings(&network.corners(&tried))) <= t {
                next = Some(tried);
                break;
            }
            factor /= 2.0;
        }
        match (settled, next) {
            (true, _) => {
                let (Some(normal), Some(curvature)) = (normal, curvature) else {
                    return Err(SurveyError::Singular);
                };
                return Ok(Solution {
                    corners,
                    readings,
                    gradients,
                    normal,
                    curvature,
                    disagreement: t,
                });
            }
            (false, Some(next)) => x = next,
            (false, None) => break,
        }
    }
    Err(SurveyError::DidNotConverge {
        iterations: ITERATIONS,
    })
}

fn describe(
    traverse: &Traverse,
    network: &Network,
    weights: &[f64],
    solution: Solution,
) -> Adjusted {
    let count = network.observations.len();
    let mut jacobian = vec![[vec![0.0; count], vec![0.0; count]]; network.walls];
    for (k, row) in solution.gradients.iter().enumerate() {
        // At the minimum `Jᵀ W v = 0`. Moving `l_k` moves `x` so that it stays
        // zero: `dx/dl_k = H⁻¹ Jᵀ W e_k`.
        let weighted: Vec<f64> = row.iter().map(|slope| slope * weights[k]).collect();
        let moved = solution.curvature.solve(&weighted);
        for (corner, by_axis) in jacobian.iter_mut().enumerate() {
            for (place, by_observation) in Network::places(corner).into_iter().zip(by_axis) {
                by_observation[k] = place.map_or(0.0, |place| moved[place]);
            }
        }
    }
    let residuals: Vec<f64> = solution
        .readings
        .iter()
        .zip(&network.values)
        .map(|(f, l)| f - l)
        .collect();
    let standardised = (0..count)
        .map(|k| {
            let row = &solution.gradients[k];
            let variance = network.sigmas[k].powi(2) - dot(row, &solution.normal.solve(row));
            // Below a part in a million nothing but this measurement fixes the corner.
            if variance > 1e-6 * network.sigmas[k].powi(2) {
                residuals[k] / variance.sqrt()
            } else {
                0.0
            }
        })
        .collect();
    let redundancy = count - network.unknowns();
    let (misclosure_m, misclosure_sigma) = misclosure(traverse);
    Adjusted {
        corners: solution.corners,
        jacobian,
        residuals,
        standardised,
        redundancy,
        misclosure_m,
        misclosure_sigma,
        angle_misclosure_rad: angle_misclosure(&traverse.angles),
        variance_factor: solution.disagreement / redundancy as f64,
    }
}

fn validate(traverse: &Traverse) -> Result<(), SurveyError> {
    let walls = traverse.lengths.len();
    if walls < 3 {
        return Err(SurveyError::TooFewWalls { walls });
    }
    if traverse.angles.len() != walls {
        return Err(SurveyError::CountsDiffer {
            lengths: walls,
            angles: traverse.angles.len(),
        });
    }
    for (diagonal, &crate::Diagonal { from, to, .. }) in traverse.diagonals.iter().enumerate() {
        if from == to || from >= walls || to >= walls {
            return Err(SurveyError::BadDiagonal {
                diagonal,
                from,
                to,
                last: walls - 1,
            });
        }
    }
    for observation in traverse.observations() {
        let Some(Observed { value, sigma }) = traverse.observed(observation) else {
            continue;
        };
        match observation {
            Observation::Angle(wall) if !(value > 0.0 && value < 2.0 * PI) => {
                return Err(SurveyError::BadAngle { wall, value });
            }
            _ if !(value > 0.0 && value.is_finite()) => {
                return Err(SurveyError::BadLength { observation, value });
            }
            _ if !(sigma > 0.0 && sigma.is_finite()) => {
                return Err(SurveyError::BadSigma { observation, sigma });
            }
            _ => {}
        }
    }
    Ok(())
}

fn angle_misclosure(angles: &[Observed]) -> f64 {
    angles.iter().map(|angle| angle.value).sum::<f64>() - (angles.len() as f64 - 2.0) * PI
}

/// Direction of each wall when wall 0 runs along +x.
fn headings(angles: impl Iterator<Item = f64>) -> Vec<f64> {
    let turn = |heading: &mut f64, angle: f64| {
        let this = *heading;
        *heading = wrap(this - PI + angle);
        Some(this)
    };
    angles.scan(0.0, turn).collect()
}

/// Start of each wall and the end of the last one.
fn walk(lengths: &[Observed], headings: &[f64]) -> Vec<[f64; 2]> {
    let mut corners = vec![[0.0, 0.0]];
    let mut at = [0.0, 0.0];
    for (length, heading) in lengths.iter().zip(headings) {
        at = [
            at[0] + length.value * heading.cos(),
            at[1] + length.value * heading.sin(),
        ];
        corners.push(at);
    }
    corners
}

/// Misclosure of the walk as typed and its Mahalanobis distance.
fn misclosure(traverse: &Traverse) -> ([f64; 2], f64) {
    let headings = headings(traverse.angles.iter().map(|angle| angle.value));
    let corners = walk(&traverse.lengths, &headings);
    let n = traverse.lengths.len();
    let end = corners[n];
    let mut covariance = [0.0; 3];
    let mut add = |by: [f64; 2], sigma: f64| {
        let variance = sigma * sigma;
        covariance[0] += by[0] * by[0] * variance;
        covariance[1] += by[0] * by[1] * variance;
        covariance[2] += by[1] * by[1] * variance;
    };
    for (length, heading) in traverse.lengths.iter().zip(&headings) {
        add([heading.cos(), heading.sin()], length.sigma);
    }
    // Opening the angle at a corner swings all that follows about that corner;
    // nothing follows the last angle.
    for (i, angle) in traverse.angles[..n - 1].iter().enumerate() {
        let pivot = corners[i + 1];
        add([-(end[1] - pivot[1]), end[0] - pivot[0]], angle.sigma);
    }
    let [xx, xy, yy] = covariance;
    let square = (yy * end[0] * end[0] - 2.0 * xy * end[0] * end[1] + xx * end[1] * end[1])
        / (xx * yy - xy * xy);
    (end, square.max(0.0).sqrt())
}

/// Shares the misclosure of a walk among its corners in proportion to the
/// distance walked (Bowditch's rule, the compass rule).
fn bowditch(lengths: &[Observed], headings: &[f64]) -> Vec<[f64; 2]> {
    let mut corners = walk(lengths, headings);
    let end = corners.pop().unwrap_or_default();
    let perimeter: f64 = lengths.iter().map(|length| length.value).sum();
    let mut walked = 0.0;
    for (corner, length) in corners.iter_mut().zip(lengths) {
        let share = walked / perimeter;
        *corner = [corner[0] - share * end[0], corner[1] - share * end[1]];
        walked += length.value;
    }
    corners
}

/// Corners near enough to start from: angles balanced, then Bowditch, then
/// turned until wall 0 lies along +x.
pub(crate) fn first_guess(traverse: &Traverse) -> Vec<[f64; 2]> {
    let excess = angle_misclosure(&traverse.angles);
    let variance: f64 = traverse
        .angles
        .iter()
        .map(|angle| angle.sigma * angle.sigma)
        .sum();
    let balanced = traverse
        .angles
        .iter()
        .map(|angle| angle.value - excess * angle.sigma * angle.sigma / variance);
    let corners = bowditch(&traverse.lengths, &headings(balanced));
    let [x, y] = corners[1];
    let length = x.hypot(y);
    let (cos, sin) = (x / length, y / length);
    corners
        .iter()
        .map(|&[x, y]| [x * cos + y * sin, y * cos - x * sin])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A walk in azimuths (clockwise from north) and its printed results.
    struct Published {
        courses: &'static [(f64, f64)],
        misclosure_north_east: [f64; 2],
        balanced_north_east: &'static [[f64; 2]],
        misclosure_within: f64,
        balanced_within: f64,
    }

    fn check(published: &Published) {
        let courses = published.courses;
        let n = courses.len();
        let azimuth = |i: usize| courses[i % n].0.to_radians();
        let exact = |value| Observed { value, sigma: 1e-3 };
        let traverse = Traverse {
            lengths: courses.iter().map(|course| exact(course.1)).collect(),
            angles: (0..n)
                .map(|i| exact((PI - azimuth(i + 1) + azimuth(i)).rem_euclid(2.0 * PI)))
                .collect(),
            diagonals: vec![],
        };
        assert!(angle_misclosure(&traverse.angles).abs() < 1e-9);
        // Our x runs along the first course and our y to its left.
        let (sin, cos) = azimuth(0).sin_cos();
        let north_east = |[x, y]: [f64; 2]| [x * cos + y * sin, x * sin - y * cos];
        let close = |found: [f64; 2], expected: [f64; 2], within: f64| {
            assert!(
                (found[0] - expected[0]).abs() <= within
                    && (found[1] - expected[1]).abs() <= within,
                "found {found:?}, published {expected:?}"
            );
        };
        let (end, _) = misclosure(&traverse);
        close(
            north_east(end),
            published.misclosure_north_east,
            published.misclosure_within,
        );
        let directions = headings(traverse.angles.iter().map(|angle| angle.value));
        for (corner, &expected) in bowditch(&traverse.lengths, &directions)
            .iter()
            .zip(published.balanced_north_east)
        {
            close(north_east(*corner), expected, published.balanced_within);
        }
    }

    /// Purdue University, ASM 215 course notes, "Traverse calculations",
    /// <https://engineering.purdue.edu/~asm215/topics/travcalc.html>: five
    /// courses with latitudes and departures, the misclosure −0.71 and +0.53,
    /// and coordinates balanced by the compass rule.
    #[test]
    fn closes_and_balances_the_purdue_traverse() {
        check(&Published {
            courses: &[
                (26.0 + 10.0 / 60.0, 285.10),
                (104.0 + 35.0 / 60.0, 610.45),
                (195.5, 720.48),
                (358.0 + 18.0 / 60.0, 203.00),
                (306.9, 647.02),
            ],
            misclosure_north_east: [-0.71, 0.53],
            // Printed as 10000 plus these.
            balanced_north_east: &[
                [0.0, 0.0],
                [255.96, 125.66],
                [102.44, 716.31],
                [-591.63, 523.62],
                [-388.66, 517.55],
            ],
            // Five courses printed to 0.01 may miss by 5 × 0.005; a balanced
            // corner adds its shares, also printed to 0.01.
            misclosure_within: 0.025,
            balanced_within: 0.03,
        });
    }

    #[test]
    fn limit_follows_the_chi_square_quantile() {
        // scipy 1.17.1: sqrt(chi2.ppf(1 - 0.0026997960632601866, r)).
        for (redundancy, root) in [
            (3, 3.762_501),
            (4, 4.031_295),
            (5, 4.266_769),
            (6, 4.479_072),
            (9, 5.025_621),
            (12, 5.486_098),
        ] {
            let limit = closing_limit(redundancy);
            assert!(
                (limit / root - 1.0).abs() < 0.01,
                "{redundancy}: {limit} against {root}"
            );
        }
    }
}
