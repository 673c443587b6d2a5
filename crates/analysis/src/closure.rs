//! How well the walls of a space close, and which measurement is to blame if they do not.

use model::Space;
use survey::{Observation, Observed, SurveyError, Suspect, Swap, Traverse};
use uncertainty::{Uncertain, Vector2};

use crate::numbers::degrees;
use crate::{Analysis, COVERAGE_FACTOR, Means, Missing};

/// How square a corner is that nobody measured, 95 %: common practice, no source.
const SQUARE_CORNER_TOLERANCE_DEG: f64 = 1.0;
/// Standard uncertainty given to a wall that nobody measured, so that the others decide, m.
const UNMEASURED_SIGMA_M: f64 = 1e3;

/// How well the walls close.
#[derive(Clone, Debug)]
pub struct Closure {
    /// The measurements that went in, in the survey engine's order.
    pub traverse: Traverse,
    /// The adjustment.
    pub adjusted: survey::Adjusted,
    /// Mistakes that would explain a misclosure, likeliest first.
    pub suspects: Vec<Suspect>,
    /// Pairs of walls that, exchanged, close the room, the best first.
    pub swaps: Vec<Swap>,
    /// Walls whose length was worked out from the others.
    pub inferred: Vec<usize>,
}

/// Walls that are all measured and still enclose no room.
#[derive(Clone, Debug)]
pub struct FailedClosure {
    /// The corners as they came out, and what would explain them.
    pub closure: Closure,
    /// What is wrong with them.
    pub fault: WallsFault,
}

/// Why adjusted walls enclose no room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WallsFault {
    /// Two walls meet where they should not.
    Cross {
        /// The earlier wall.
        first: usize,
        /// The later wall.
        second: usize,
    },
    /// The inside is on the left hand.
    InsideOut {
        /// Sum of the inside angles given, rad.
        sum_rad: f64,
        /// What they should add up to, rad.
        expected_rad: f64,
    },
}

/// Why there are no corners: what is missing, or the walls as they failed.
pub(crate) struct Open {
    pub missing: Missing,
    pub failed: Option<Box<FailedClosure>>,
}

impl From<Missing> for Open {
    fn from(missing: Missing) -> Self {
        Self {
            missing,
            failed: None,
        }
    }
}

/// Adjusts the traverse and gives every corner its budget.
pub(crate) fn close(analysis: &Analysis, space: &Space) -> Result<(Closure, Vec<Vector2>), Open> {
    let count = space.walls.len();
    let path = format!("space.{}.walls", space.id);
    let angles: Vec<Uncertain> = (space.walls.iter())
        .map(|wall| {
            analysis.number(wall.corner.as_ref()).unwrap_or_else(|| {
                let what = format!(
                    "the corner at the right end of wall {} in {}, taken as square",
                    wall.id,
                    space.label()
                );
                analysis.assumed(
                    &what,
                    &format!("{path}.{}.corner", wall.id),
                    degrees(90.0),
                    degrees(SQUARE_CORNER_TOLERANCE_DEG),
                )
            })
        })
        .collect();
    let measured: Vec<Option<Uncertain>> = space
        .walls
        .iter()
        .map(|wall| analysis.number(wall.length.as_ref()))
        .collect();
    let inferred: Vec<usize> = (0..count)
        .filter(|wall| measured[*wall].is_none())
        .collect();
    let guesses = unmeasured_lengths(&measured, &angles).ok_or_else(|| {
        let names: Vec<&str> = inferred
            .iter()
            .map(|wall| space.walls[*wall].id.as_str())
            .collect();
        Missing::new(
            format!(
                "the length of {} {} in {}",
                if names.len() == 1 { "wall" } else { "walls" },
                names.join(", "),
                space.label()
            ),
            format!(
                "{path}.{}.length",
                names.first().copied().unwrap_or_default()
            ),
            Means::Tape,
        )
    })?;
    let lengths: Vec<Uncertain> = measured
        .into_iter()
        .zip(&guesses)
        .map(|(length, guess)| length.unwrap_or_else(|| Uncertain::exact(*guess)))
        .collect();
    let mut diagonals = Vec::new();
    let mut across = Vec::new();
    for diagonal in &space.diagonals {
        let corner = |name: &str| {
            let (wall, end) = name.rsplit_once('.')?;
            let wall = space.wall(wall)?;
            Some(if end == "left" {
                wall
            } else {
                (wall + 1) % count
            })
        };
        if let (Some(from), Some(to), Some(length)) = (
            corner(&diagonal.0),
            corner(&diagonal.1),
            analysis.number(Some(&diagonal.2)),
        ) {
            diagonals.push(survey::Diagonal {
                from,
                to,
                length: observed(&length),
            });
            across.push(length);
        }
    }
    let traverse = Traverse {
        lengths: lengths
            .iter()
            .enumerate()
            .map(|(wall, length)| match inferred.contains(&wall) {
                true => Observed {
                    value: length.value(),
                    sigma: UNMEASURED_SIGMA_M,
                },
                false => observed(length),
            })
            .collect(),
        angles: angles.iter().map(observed).collect(),
        diagonals,
    };
    let does_not_close = |why: &str| {
        Missing::new(
            format!("walls of {} that close: {why}", space.label()),
            path.clone(),
            Means::Tape,
        )
    };
    let (adjusted, fault) = match survey::adjust(&traverse) {
        Ok(adjusted) => (adjusted, None),
        Err(SurveyError::WallsCross {
            first,
            second,
            adjusted,
        }) => (*adjusted, Some(WallsFault::Cross { first, second })),
        Err(SurveyError::InsideOut {
            sum_rad,
            expected_rad,
            adjusted,
        }) => (
            *adjusted,
            Some(WallsFault::InsideOut {
                sum_rad,
                expected_rad,
            }),
        ),
        Err(error) => return Err(does_not_close(&error.to_string()).into()),
    };
    let suspects = survey::suspects(&traverse, &adjusted);
    let swaps = survey::swaps(&traverse, &adjusted);
    if let Some(fault) = fault {
        return Err(Open {
            missing: does_not_close(&fault.words(space)),
            failed: Some(Box::new(FailedClosure {
                closure: Closure {
                    traverse,
                    adjusted,
                    suspects,
                    swaps,
                    inferred,
                },
                fault,
            })),
        });
    }
    let inputs: Vec<&Uncertain> = lengths.iter().chain(&angles).chain(&across).collect();
    let coordinate = |value: f64, slopes: &[f64]| {
        let parts: Vec<(f64, &Uncertain)> =
            slopes.iter().copied().zip(inputs.iter().copied()).collect();
        Uncertain::combined(value, &parts)
    };
    let corners = (adjusted.corners.iter().zip(&adjusted.jacobian))
        .map(|(corner, [dx, dy])| Vector2 {
            x: coordinate(corner[0], dx),
            y: coordinate(corner[1], dy),
        })
        .collect();
    Ok((
        Closure {
            traverse,
            adjusted,
            suspects,
            swaps,
            inferred,
        },
        corners,
    ))
}

/// A value with the standard uncertainty that the adjustment weighs it by; an exact
/// number still gets a hundredth of a millimetre, which no tape reads.
fn observed(number: &Uncertain) -> Observed {
    Observed {
        value: number.value(),
        sigma: number.standard_uncertainty().max(1e-5),
    }
}

/// Lengths of walls that nobody measured, from the walk closing on itself:
/// Σ L_i d_i = 0 in plan gives two unknowns if their walls are not parallel.
fn unmeasured_lengths(measured: &[Option<Uncertain>], angles: &[Uncertain]) -> Option<Vec<f64>> {
    let mut heading = 0.0_f64;
    let mut directions = Vec::with_capacity(measured.len());
    for angle in angles {
        directions.push([heading.cos(), heading.sin()]);
        // Clockwise: the walk turns right by what the inside angle lacks of a half turn.
        heading -= std::f64::consts::PI - angle.value();
    }
    let known = |k: usize| -> f64 {
        measured
            .iter()
            .zip(&directions)
            .map(|(length, d)| length.as_ref().map_or(0.0, |length| length.value() * d[k]))
            .sum()
    };
    let gap = [-known(0), -known(1)];
    let unknown: Vec<usize> = (0..measured.len())
        .filter(|wall| measured[*wall].is_none())
        .collect();
    let mut lengths: Vec<f64> = measured
        .iter()
        .map(|length| length.as_ref().map_or(0.0, Uncertain::value))
        .collect();
    match unknown[..] {
        [] => {}
        [wall] => lengths[wall] = gap[0] * directions[wall][0] + gap[1] * directions[wall][1],
        [a, b] => {
            let (p, q) = (directions[a], directions[b]);
            let determinant = p[0] * q[1] - p[1] * q[0];
            if determinant.abs() < 0.2 {
                return None;
            }
            lengths[a] = (gap[0] * q[1] - gap[1] * q[0]) / determinant;
            lengths[b] = (p[0] * gap[1] - p[1] * gap[0]) / determinant;
        }
        _ => return None,
    }
    lengths
        .iter()
        .all(|length| *length > 0.05)
        .then_some(lengths)
}

/// Names a measurement of a traverse by wall.
fn observation_path(space: &Space, observation: Observation) -> String {
    match observation {
        Observation::Length(wall) => {
            format!("space.{}.walls.{}.length", space.id, space.walls[wall].id)
        }
        Observation::Angle(wall) => {
            format!("space.{}.walls.{}.corner", space.id, space.walls[wall].id)
        }
        Observation::Diagonal(index) => format!("space.{}.diagonals.{index}.2", space.id),
    }
}

impl WallsFault {
    /// What is wrong, by the walls' names.
    pub fn words(&self, space: &Space) -> String {
        match *self {
            Self::Cross { first, second } => format!(
                "walls {} and {} cross, so one of the measurements between them is far off",
                space.walls[first].id, space.walls[second].id
            ),
            Self::InsideOut {
                sum_rad,
                expected_rad,
            } => format!(
                "the inside corners add up to {:.0}° and should add up to {:.0}°, so some are outside angles or the room was walked anticlockwise",
                sum_rad.to_degrees(),
                expected_rad.to_degrees()
            ),
        }
    }
}

impl Closure {
    /// How far the measurements are from agreeing, in standard uncertainties.
    pub fn distance(&self) -> f64 {
        self.adjusted.closing_distance()
    }

    /// The distance that chance alone exceeds once in 370 rooms.
    ///
    /// A wall that was worked out from the others agrees with them by construction, so
    /// it counts for nothing.
    pub fn limit(&self) -> f64 {
        let redundancy = self.adjusted.redundancy.saturating_sub(self.inferred.len());
        survey::closing_limit(redundancy.max(1))
    }

    /// Where a suspect's value stands in the document.
    pub fn path_of(&self, space: &Space, suspect: &Suspect) -> String {
        observation_path(space, suspect.observation)
    }

    /// The typed value's standard uncertainty that 3 σ refers to.
    pub fn expanded(&self, observation: Observation) -> f64 {
        self.traverse
            .observed(observation)
            .map_or(0.0, |observed| COVERAGE_FACTOR * observed.sigma)
    }
}
