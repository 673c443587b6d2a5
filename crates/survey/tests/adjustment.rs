//! Adjusted rooms against an independent solver, a textbook and exact shapes.

use std::f64::consts::PI;

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use survey::{Adjusted, Diagonal, Observed, SurveyError, Traverse, adjust};

struct Case {
    name: &'static str,
    lengths_m: &'static [f64],
    length_sigmas_m: &'static [f64],
    angles_deg: &'static [f64],
    angle_sigmas_deg: &'static [f64],
    diagonals: &'static [(usize, usize, f64)],
    corners_m: &'static [[f64; 2]],
    disagreement: f64,
    standardised: &'static [f64],
}

/// Solved with `scipy.optimize.least_squares` (scipy 1.17.1, numpy 2.4.6) over
/// the same unknowns with finite differences, and standardised residuals from
/// numpy's pseudo-inverse. Diagonals have σ = 3 mm. `skew`, `mistake` and
/// `l_shape_wrong_diagonal` disagree grossly on purpose: there the curvature of
/// the readings matters.
#[rustfmt::skip]
const CASES: &[Case] = &[
    Case {
        name: "rectangle",
        lengths_m: &[5.204, 4.098, 5.197, 4.103],
        length_sigmas_m: &[0.003, 0.003, 0.003, 0.003],
        angles_deg: &[90.0, 90.0, 90.0, 90.0],
        angle_sigmas_deg: &[0.5, 0.5, 0.5, 0.5],
        diagonals: &[],
        corners_m: &[[0.00000000, 0.00000000], [5.20395149, 0.00000000], [5.20245842, -4.09802143], [0.00541225, -4.10297481]],
        disagreement: 0.049770,
        standardised: &[-0.19422, 0.10990, 0.19430, -0.10949, -0.04839, 0.17506, 0.04861, -0.17513],
    },
    Case {
        name: "rectangle_diag",
        lengths_m: &[5.204, 4.098, 5.197, 4.103],
        length_sigmas_m: &[0.003, 0.003, 0.003, 0.003],
        angles_deg: &[90.0, 90.0, 90.0, 90.0],
        angle_sigmas_deg: &[0.5, 0.5, 0.5, 0.5],
        diagonals: &[(0, 2, 6.629)],
        corners_m: &[[0.00000000, 0.00000000], [5.20405839, 0.00000000], [5.21014439, -4.09810120], [0.01299158, -4.10304231]],
        disagreement: 0.241757,
        standardised: &[0.16728, 0.38390, 0.44486, 0.22793, 0.17205, -0.06191, 0.25669, -0.36682, -0.43816],
    },
    Case {
        name: "l_shape",
        lengths_m: &[6.002, 3.197, 2.503, 2.196, 3.501, 5.405],
        length_sigmas_m: &[0.003, 0.003, 0.003, 0.003, 0.003, 0.003],
        angles_deg: &[90.0, 90.0, 270.0, 90.0, 90.0, 90.0],
        angle_sigmas_deg: &[0.5, 0.5, 0.5, 0.5, 0.5, 0.5],
        diagonals: &[(0, 3, 4.743)],
        corners_m: &[[0.00000000, 0.00000000], [6.00197563, 0.00000000], [6.00329346, -3.19702197], [3.50027181, -3.20073589], [3.50485038, -5.39679353], [0.00387922, -5.40493622]],
        disagreement: 0.065025,
        standardised: &[-0.08338, 0.10026, 0.08353, 0.23217, -0.07843, -0.23219, 0.05037, 0.18798, 0.10690, 0.04247, -0.19589, -0.08696, 0.11611],
    },
    Case {
        name: "l_shape_wrong_diagonal",
        lengths_m: &[6.002, 3.197, 2.503, 2.196, 3.501, 5.405],
        length_sigmas_m: &[0.003, 0.003, 0.003, 0.003, 0.003, 0.003],
        angles_deg: &[90.0, 90.0, 270.0, 90.0, 90.0, 90.0],
        angle_sigmas_deg: &[0.5, 0.5, 0.5, 0.5, 0.5, 0.5],
        diagonals: &[(0, 3, 5.415)],
        corners_m: &[[0.00000000, 0.00000000], [6.01108288, 0.00000000], [6.57688367, -3.15355689], [4.10602596, -3.49798817], [4.01910356, -5.68432365], [0.52303369, -5.38852068]],
        disagreement: 1524.199723,
        standardised: &[30.89793, 28.34871, -29.65907, -30.22167, 28.11740, 31.53525, 22.09989, -6.84841, -30.22592, -7.81487, 22.40830, -11.68214, -39.03281],
    },
    Case {
        name: "skew",
        lengths_m: &[5.31, 4.356, 5.258, 3.99],
        length_sigmas_m: &[0.003, 0.003, 0.003, 0.003],
        angles_deg: &[86.3, 98.9, 86.0, 88.9],
        angle_sigmas_deg: &[0.25, 0.25, 0.25, 0.25],
        diagonals: &[(0, 2, 6.632)],
        corners_m: &[[0.00000000, 0.00000000], [5.32505811, 0.00000000], [4.99748578, -4.33434758], [-0.24878816, -4.00154527]],
        disagreement: 1803.894279,
        standardised: &[24.45641, -18.69764, -1.74689, 37.00911, -2.57048, -34.03318, 16.95658, 19.38931, -15.13733],
    },
    Case {
        name: "mistake",
        lengths_m: &[5.204, 4.098, 5.502, 4.103],
        length_sigmas_m: &[0.003, 0.003, 0.003, 0.003],
        angles_deg: &[90.0, 90.0, 90.0, 90.0],
        angle_sigmas_deg: &[0.5, 0.5, 0.5, 0.5],
        diagonals: &[(1, 3, 6.625)],
        corners_m: &[[0.00000000, 0.00000000], [5.20414219, 0.00000000], [5.49331756, -4.08667235], [-0.00474899, -4.10141948]],
        disagreement: 131.062644,
        standardised: &[0.40743, -4.42271, -11.44675, -5.73137, 8.18495, -7.86265, -0.44456, 0.13415, 7.91850],
    },
    Case {
        name: "pentagon",
        lengths_m: &[4.802, 3.004, 1.693, 3.598, 4.203],
        length_sigmas_m: &[0.003, 0.003, 0.006, 0.003, 0.003],
        angles_deg: &[90.0, 135.0, 135.0, 90.0, 90.0],
        angle_sigmas_deg: &[0.5, 0.25, 0.25, 0.5, 0.5],
        diagonals: &[(0, 2, 5.662), (1, 4, 6.382)],
        corners_m: &[[0.00000000, 0.00000000], [4.80235492, 0.00000000], [4.79866405, -3.00438441], [3.59929917, -4.20182276], [0.00082884, -4.20324751]],
        disagreement: 0.320523,
        standardised: &[0.30769, 0.47164, 0.55321, 0.50956, 0.34015, -0.14233, 0.12633, 0.42026, -0.02316, -0.02277, -0.30823, -0.49951],
    },
];

fn traverse(case: &Case) -> Traverse {
    let observed = |(&value, &sigma): (&f64, &f64)| Observed { value, sigma };
    Traverse {
        lengths: case
            .lengths_m
            .iter()
            .zip(case.length_sigmas_m)
            .map(observed)
            .collect(),
        angles: case
            .angles_deg
            .iter()
            .zip(case.angle_sigmas_deg)
            .map(|(value, sigma)| Observed {
                value: value.to_radians(),
                sigma: sigma.to_radians(),
            })
            .collect(),
        diagonals: case
            .diagonals
            .iter()
            .map(|&(from, to, value)| Diagonal {
                from,
                to,
                length: Observed {
                    value,
                    sigma: 0.003,
                },
            })
            .collect(),
    }
}

fn room(lengths_m: &[f64], angles_deg: &[f64]) -> Traverse {
    Traverse {
        lengths: lengths_m
            .iter()
            .map(|&value| Observed {
                value,
                sigma: 0.003,
            })
            .collect(),
        angles: angles_deg
            .iter()
            .map(|&value| Observed {
                value: value.to_radians(),
                sigma: 0.5_f64.to_radians(),
            })
            .collect(),
        diagonals: vec![],
    }
}

/// The lengths and inside angles of a polygon given clockwise.
fn room_of(corners: &[[f64; 2]]) -> Traverse {
    let n = corners.len();
    let way = |i: usize| {
        let (a, b) = (corners[i % n], corners[(i + 1) % n]);
        [b[0] - a[0], b[1] - a[1]]
    };
    let heading = |i: usize| way(i)[1].atan2(way(i)[0]);
    let lengths: Vec<f64> = (0..n).map(|i| way(i)[0].hypot(way(i)[1])).collect();
    let angles: Vec<f64> = (0..n)
        .map(|i| {
            (PI + heading(i + 1) - heading(i))
                .rem_euclid(2.0 * PI)
                .to_degrees()
        })
        .collect();
    room(&lengths, &angles)
}

fn assert_near(name: &str, what: &str, found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{name}: {what} {found}, expected {expected}"
    );
}

#[test]
fn agrees_with_scipy() {
    for case in CASES {
        let adjusted =
            adjust(&traverse(case)).unwrap_or_else(|error| panic!("{}: {error}", case.name));
        for (found, expected) in adjusted
            .corners
            .iter()
            .flatten()
            .zip(case.corners_m.iter().flatten())
        {
            // scipy stops when its own steps fall below about 1e-8 of the size.
            assert_near(case.name, "corner", *found, *expected, 2e-7);
        }
        let t = adjusted.variance_factor * adjusted.redundancy as f64;
        assert_near(case.name, "T", t, case.disagreement, 2e-6 * (1.0 + t));
        for (found, expected) in adjusted.standardised.iter().zip(case.standardised) {
            assert_near(
                case.name,
                "w",
                *found,
                *expected,
                1e-4 * (1.0 + expected.abs()),
            );
        }
    }
}

/// E. M. Mikhail and F. Ackermann, "Observations and Least Squares" (1976),
/// example 7.1, pp. 140–141, as worked in the public repository
/// eunhwanshin/OBS_LSQ, `ex7_1.m`: a triangle's angles 40°19′02″, 70°30′01″,
/// 69°11′00″ of equal weight exceed 180° by 3″, so each is reduced by 1″.
#[test]
fn triangle_angles_share_their_excess() {
    let dms = |d: f64, m: f64, s: f64| d + m / 60.0 + s / 3600.0;
    let angles = [
        dms(40.0, 19.0, 2.0),
        dms(70.0, 30.0, 1.0),
        dms(69.0, 11.0, 0.0),
    ];
    // One side by the sine rule, the others unknown: a kilometre of tolerance
    // on sides of a metre says nothing about the angles.
    let side = |i: usize| angles[(i + 1) % 3].to_radians().sin();
    let second = (1.0_f64 / 3600.0).to_radians();
    let traverse = Traverse {
        lengths: (0..3)
            .map(|i| Observed {
                value: side(i),
                sigma: 1.0,
            })
            .collect(),
        angles: angles
            .map(|a| Observed {
                value: a.to_radians(),
                sigma: second,
            })
            .to_vec(),
        diagonals: vec![],
    };
    let adjusted = adjust(&traverse).expect("a triangle");
    for residual in &adjusted.residuals[3..] {
        assert_near(
            "triangle",
            "correction in seconds",
            residual / second,
            -1.0,
            1e-4,
        );
    }
    assert_near(
        "triangle",
        "excess in seconds",
        adjusted.angle_misclosure_rad / second,
        3.0,
        1e-6,
    );
}

/// An exact room comes back exact, with nothing left over.
#[test]
fn exact_shapes_are_rebuilt() {
    let table = include_str!("room-polygons.csv");
    for line in table.lines().filter(|line| !line.starts_with('#')).skip(1) {
        let (name, rest) = line
            .split_once(",\"")
            .expect("a quoted list follows the name");
        let (vertices, numbers) = rest.split_once("\",").expect("numbers follow the list");
        let numbers: Vec<f64> = numbers
            .split(',')
            .map(|cell| cell.parse().expect("a number"))
            .collect();
        let mut corners: Vec<[f64; 2]> = vertices
            .split(' ')
            .map(|pair| pair.split_once(',').expect("x,y"))
            .map(|(x, y)| [x.parse().expect("a number"), y.parse().expect("a number")])
            .collect();
        // The table lists them anticlockwise; its second corner becomes our corner 0.
        corners.reverse();
        let last = corners.len() - 1;
        let (origin, along) = (corners[0], corners[1]);
        let adjusted = adjust(&room_of(&corners)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(adjusted.closing_distance() < 1e-6, "{name}");
        let n = adjusted.corners.len();
        let (mut area, mut perimeter, mut moment) = (0.0, 0.0, [0.0, 0.0]);
        for i in 0..n {
            let ([x0, y0], [x1, y1]) = (adjusted.corners[i], adjusted.corners[(i + 1) % n]);
            let cross = x0 * y1 - x1 * y0;
            area -= cross / 2.0;
            perimeter += (x1 - x0).hypot(y1 - y0);
            moment = [
                moment[0] - (x0 + x1) * cross / 6.0,
                moment[1] - (y0 + y1) * cross / 6.0,
            ];
        }
        // Back from the frame of wall 0 to the table's.
        let turn = (along[1] - origin[1]).atan2(along[0] - origin[0]);
        let (sin, cos) = turn.sin_cos();
        let [x, y] = [moment[0] / area, moment[1] / area];
        let centroid = [origin[0] + x * cos - y * sin, origin[1] + x * sin + y * cos];
        // Printed to six decimals.
        assert_near(name, "area", area, numbers[0], 1e-6);
        assert_near(name, "perimeter", perimeter, numbers[1], 1e-6);
        assert_near(name, "centroid x", centroid[0], numbers[2], 1e-6);
        assert_near(name, "centroid y", centroid[1], numbers[3], 1e-6);
        assert!(last + 1 == n);
    }
}

#[test]
fn jacobian_matches_finite_differences() {
    const STEP: f64 = 1e-5;
    for case in CASES {
        let traverse = traverse(case);
        let adjusted = adjust(&traverse).expect("solved above");
        for (k, &observation) in traverse.observations().iter().enumerate() {
            let value = traverse.observed(observation).expect("listed").value;
            let moved =
                |by: f64| adjust(&traverse.with_value(observation, value + by)).expect("nearby");
            let (up, down) = (moved(STEP), moved(-STEP));
            for corner in 0..adjusted.corners.len() {
                for axis in 0..2 {
                    let expected =
                        (up.corners[corner][axis] - down.corners[corner][axis]) / (2.0 * STEP);
                    let found = adjusted.jacobian[corner][axis][k];
                    // Central differences err by STEP² and by rounding over STEP.
                    assert_near(
                        case.name,
                        &format!("{observation:?} corner {corner}"),
                        found,
                        expected,
                        1e-5 * (1.0 + expected.abs()),
                    );
                }
            }
        }
    }
}

fn rotated(traverse: &Traverse, by: usize) -> Traverse {
    let n = traverse.lengths.len();
    let mut turned = traverse.clone();
    turned.lengths.rotate_left(by);
    turned.angles.rotate_left(by);
    for diagonal in &mut turned.diagonals {
        diagonal.from = (diagonal.from + n - by) % n;
        diagonal.to = (diagonal.to + n - by) % n;
    }
    turned
}

/// The room in a mirror, walked clockwise again from the same corner.
fn mirrored(traverse: &Traverse) -> Traverse {
    let n = traverse.lengths.len();
    let mut other = traverse.clone();
    other.lengths.reverse();
    // Angle i stands at corner i + 1, which becomes corner n − 1 − i.
    other.angles = (0..n)
        .map(|j| traverse.angles[(2 * n - 2 - j) % n])
        .collect();
    for diagonal in &mut other.diagonals {
        diagonal.from = (n - diagonal.from) % n;
        diagonal.to = (n - diagonal.to) % n;
    }
    other
}

fn distances(adjusted: &Adjusted, corner: impl Fn(usize) -> usize) -> Vec<f64> {
    let n = adjusted.corners.len();
    let at = |i: usize| adjusted.corners[corner(i) % n];
    (0..n)
        .flat_map(|i| (0..i).map(move |j| (i, j)))
        .map(|(i, j)| (at(i)[0] - at(j)[0]).hypot(at(i)[1] - at(j)[1]))
        .collect()
}

#[test]
fn the_starting_wall_does_not_matter() {
    for case in CASES {
        let traverse = traverse(case);
        let n = traverse.lengths.len();
        let here = adjust(&traverse).expect("solved above");
        for by in 1..n {
            let there = adjust(&rotated(&traverse, by)).expect("the same room");
            assert_near(
                case.name,
                "T",
                there.closing_distance(),
                here.closing_distance(),
                1e-7,
            );
            for (a, b) in distances(&there, |i| i + n - by)
                .iter()
                .zip(distances(&here, |i| i))
            {
                assert_near(case.name, "distance", *a, b, 1e-8);
            }
            for i in 0..n {
                assert_near(
                    case.name,
                    "w",
                    there.standardised[i],
                    here.standardised[(i + by) % n],
                    1e-5,
                );
            }
        }
    }
}

#[test]
fn a_mirrored_room_is_the_mirror_image() {
    for case in CASES {
        let traverse = traverse(case);
        let n = traverse.lengths.len();
        let here = adjust(&traverse).expect("solved above");
        let there = adjust(&mirrored(&traverse)).expect("the same room");
        assert_near(
            case.name,
            "T",
            there.closing_distance(),
            here.closing_distance(),
            1e-7,
        );
        for (a, b) in distances(&there, |i| n - i)
            .iter()
            .zip(distances(&here, |i| i))
        {
            assert_near(case.name, "distance", *a, b, 1e-8);
        }
    }
}

/// Laws of chance: with honest tolerances `T` averages its degrees of freedom.
#[test]
fn disagreement_averages_the_redundancy() {
    const SEED: u64 = 20_251_125;
    const ROOMS: usize = 400;
    let exact = [[0.0, 0.0], [5.2, 0.0], [5.2, -4.1], [0.0, -4.1]];
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let mut normal = move || {
        let (u, v): (f64, f64) = (random.random(), random.random());
        (-2.0 * (1.0 - u).ln()).sqrt() * (2.0 * PI * v).cos()
    };
    let (mut sum, mut open, mut squared_miss) = (0.0, 0, 0.0);
    let mut predicted = 0.0;
    for _ in 0..ROOMS {
        let mut noisy = room_of(&exact);
        noisy.diagonals = vec![Diagonal {
            from: 0,
            to: 2,
            length: Observed {
                value: 5.2_f64.hypot(4.1),
                sigma: 0.003,
            },
        }];
        for observation in noisy.observations() {
            let Observed { value, sigma } = noisy.observed(observation).expect("listed");
            noisy = noisy.with_value(observation, value + sigma * normal());
        }
        let adjusted = adjust(&noisy).expect("nearly a rectangle");
        sum += adjusted.variance_factor * adjusted.redundancy as f64;
        open += usize::from(!adjusted.closes());
        squared_miss += (adjusted.corners[2][0] - 5.2).powi(2);
        predicted += adjusted.corner_covariance(&noisy, 2).expect("corner 2")[0][0];
    }
    let rooms = ROOMS as f64;
    // χ² with 4 degrees of freedom has mean 4 and variance 8.
    assert_near(
        "seed 20251125",
        "mean T",
        sum / rooms,
        4.0,
        3.0 * (8.0 / rooms).sqrt(),
    );
    assert!(
        open <= 5,
        "{open} of {ROOMS} honest rooms said to be open; about 1 expected"
    );
    // A sample variance is known to √(2/n) of itself.
    assert_near(
        "seed 20251125",
        "variance of corner 2",
        squared_miss / predicted,
        1.0,
        3.0 * (2.0 / rooms).sqrt(),
    );
}

#[test]
fn crossing_walls_are_named() {
    // Walls 3 and 5 run out through wall 0.
    let corners = [
        [0.0, 0.0],
        [6.0, 0.0],
        [6.0, -3.0],
        [3.0, -3.0],
        [3.0, 1.0],
        [2.0, 1.0],
        [2.0, -5.0],
        [0.0, -5.0],
    ];
    let error = adjust(&room_of(&corners));
    assert!(
        matches!(
            error,
            Err(SurveyError::WallsCross {
                first: 0,
                second: 3,
                ..
            })
        ),
        "{error:?}"
    );
}

#[test]
fn outside_angles_are_refused() {
    let error = adjust(&room(&[4.0, 3.0, 4.0, 3.0], &[270.0; 4]));
    assert!(
        matches!(error, Err(SurveyError::InsideOut { .. })),
        "{error:?}"
    );
}

#[test]
fn impossible_values_are_refused() {
    let square = room(&[4.0; 4], &[90.0; 4]);
    let with = |change: &dyn Fn(&mut Traverse)| {
        let mut changed = square.clone();
        change(&mut changed);
        adjust(&changed).expect_err("refused").to_string()
    };
    assert_eq!(
        with(&|t| t.lengths.truncate(2)),
        "2 walls do not enclose a room; measure at least 3"
    );
    assert_eq!(
        with(&|t| t.angles.truncate(3)),
        "4 wall lengths but 3 inside angles; give one angle for each wall"
    );
    assert_eq!(
        with(&|t| t.lengths[2].value = -1.0),
        "Length(2) is -1 m; a length must be above zero"
    );
    assert!(with(&|t| t.lengths[2].value = f64::NAN).contains("NaN"));
    assert!(with(&|t| t.angles[1].value = 7.0).contains("end of wall 1"));
    assert!(with(&|t| t.angles[1].sigma = 0.0).contains("standard uncertainty 0"));
    let far = Diagonal {
        from: 0,
        to: 4,
        length: Observed {
            value: 1.0,
            sigma: 0.003,
        },
    };
    assert!(with(&|t| t.diagonals.push(far)).contains("corners 0 to 3"));
}
