//! What subs that are tried do at the seats and in the room, from a solve that is at hand.

use bass::{Judged, Placed, Polarity, Ready, Setting};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Decibels, Hertz, Seconds};

use crate::bass_study::{BassArrangement, BassStudy, arrangement, rounded};

/// What is known of a space's bass.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassState {
    /// The space's id.
    pub space: String,
    /// Its name for people.
    pub label: String,
    /// How far it is.
    pub state: BassSolved,
    /// The same in a sentence.
    pub says: String,
    /// What was found; none unless it is solved.
    pub study: Option<BassStudy>,
}

/// How far a space's bass is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BassSolved {
    /// It can't be solved as the survey is.
    Impossible,
    /// Nobody solved it.
    Unsolved,
    /// The room was changed after it was solved.
    Stale,
    /// What was found holds.
    Solved,
}

/// A sub that is tried.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
pub struct TriedSub {
    /// Along the first wall, m.
    pub x: f64,
    /// Square to that, m.
    pub y: f64,
    /// The middle of its case above the floor, m; as it stands on the floor when left out.
    #[serde(default)]
    pub z: Option<f64>,
    /// Gain, dB.
    #[serde(default)]
    pub gain_db: f64,
    /// Delay, s.
    #[serde(default)]
    pub delay_s: f64,
    /// Whether its polarity is turned.
    #[serde(default)]
    pub inverted: bool,
}

/// What tried subs do at the seats.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassHeard {
    /// The frequencies of the curves, Hz.
    pub frequencies_hz: Vec<f64>,
    /// Seats by id, in the curves' order.
    pub seats: Vec<String>,
    /// What they come to.
    pub arrangement: BassArrangement,
}

/// What is drawn of a field.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BassPlane {
    /// Seen from above, at the height of the ears.
    #[default]
    Plan,
    /// Upright, along the first wall, through the middle of the seats.
    Along,
    /// Upright, square to that.
    Across,
}

/// Levels over a plane of the room at one frequency.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassField {
    /// The frequency, Hz.
    pub hz: f64,
    /// The plane.
    pub plane: BassPlane,
    /// The first point: along the plane's first direction and its second, m.
    pub from: [f64; 2],
    /// From one point to the next either way, m.
    pub step_m: f64,
    /// Points in a row.
    pub columns: usize,
    /// Level over one sub's at 1 m in the open, dB, row by row; none outside the room.
    pub levels_db: Vec<Option<f64>>,
    /// The mean level over the points, dB.
    pub mean_db: f64,
    /// Lines of equal level: how far from the mean, dB, and pieces from point to point, m.
    pub contours: Vec<BassContour>,
    /// Where the plane is, in words.
    pub words: String,
}

/// A line of equal level.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassContour {
    /// Level over the mean, dB.
    pub over_mean_db: f64,
    /// Straight pieces, each from one point to another: x, y, x, y, m.
    pub pieces: Vec<[f64; 4]>,
}

/// Points at most along the longer side.
const POINTS_MOST: f64 = 56.0;
const STEP_LEAST_M: f64 = 0.08;
/// Lines are drawn so far over the mean, dB.
const CONTOURS_DB: [f64; 4] = [-12.0, -6.0, 0.0, 6.0];

fn placed(ready: &Ready, sub: &TriedSub) -> Placed {
    let mut at = ready.standing([sub.x, sub.y]);
    if let Some(z) = sub.z {
        at[2] = z;
    }
    Placed {
        words: "as tried".to_owned(),
        kind: "as tried".to_owned(),
        sort: None,
        wall: None,
        at,
        setting: Setting {
            gain: Decibels(sub.gain_db),
            delay: Seconds(sub.delay_s),
            polarity: match sub.inverted {
                true => Polarity::Inverted,
                false => Polarity::Normal,
            },
        },
    }
}

/// What tried subs do at the seats; none with a sub outside the room or none at all.
pub fn bass_heard(ready: &Ready, subs: &[TriedSub]) -> Option<BassHeard> {
    let subs: Vec<Placed> = subs.iter().map(|sub| placed(ready, sub)).collect();
    if subs.is_empty() {
        return None;
    }
    let judged: Judged = ready.judge(&subs, None)?;
    Some(BassHeard {
        frequencies_hz: ready.frequencies().iter().map(|line| line.0).collect(),
        seats: ready.seats().iter().map(|(id, _)| id.clone()).collect(),
        arrangement: arrangement(&judged),
    })
}

/// The field of tried subs over a plane; none with a sub outside the room or none at all.
pub fn bass_field(
    ready: &Ready,
    subs: &[TriedSub],
    plane: BassPlane,
    at: Hertz,
) -> Option<BassField> {
    let subs: Vec<Placed> = subs.iter().map(|sub| placed(ready, sub)).collect();
    let [low, high] = ready.bounds();
    let ears = ready.seats();
    let mean = |axis: usize| ears.iter().map(|(_, ear)| ear[axis]).sum::<f64>() / ears.len() as f64;
    let middle = [mean(0), mean(1), mean(2)];
    let [first, second] = match plane {
        BassPlane::Plan => [0, 1],
        BassPlane::Along => [0, 2],
        BassPlane::Across => [1, 2],
    };
    let (wide, tall) = (high[first] - low[first], high[second] - low[second]);
    let step_m = (wide.max(tall) / POINTS_MOST).max(STEP_LEAST_M);
    let count = |side: f64| (side / step_m).ceil().max(1.0) as usize;
    let (columns, rows) = (count(wide), count(tall));
    let from = [low[first] + step_m / 2.0, low[second] + step_m / 2.0];
    let mut points = Vec::with_capacity(columns * rows);
    for row in 0..rows {
        for column in 0..columns {
            let mut point = middle;
            point[first] = from[0] + step_m * column as f64;
            point[second] = from[1] + step_m * row as f64;
            points.push(point);
        }
    }
    let levels = ready.field(&subs, &points, at);
    if subs.is_empty() || levels.is_empty() {
        return None;
    }
    let known: Vec<f64> = levels.iter().flatten().map(|level| level.0).collect();
    let mean_db = known.iter().sum::<f64>() / known.len().max(1) as f64;
    let plain: Vec<Option<f64>> = levels
        .iter()
        .map(|level| level.map(|level| level.0))
        .collect();
    let contours = CONTOURS_DB
        .iter()
        .map(|&over_mean_db| BassContour {
            over_mean_db,
            pieces: contour(&plain, columns, from, step_m, mean_db + over_mean_db),
        })
        .collect();
    Some(BassField {
        hz: at.0,
        plane,
        from,
        step_m,
        columns,
        levels_db: plain.iter().map(|level| level.map(rounded)).collect(),
        mean_db: rounded(mean_db),
        contours,
        words: match plane {
            BassPlane::Plan => "seen from above, at the height of the ears",
            BassPlane::Along => "upright along the first wall, through the middle of the seats",
            BassPlane::Across => "upright across the first wall, through the middle of the seats",
        }
        .to_owned(),
    })
}

/// Where a grid of levels crosses one: straight across each square of four points that are all
/// known, cut into two triangles so that no case is in doubt.
fn contour(
    levels: &[Option<f64>],
    columns: usize,
    from: [f64; 2],
    step_m: f64,
    level: f64,
) -> Vec<[f64; 4]> {
    let rows = levels.len() / columns.max(1);
    let mut pieces = Vec::new();
    for row in 1..rows {
        for column in 1..columns {
            let corner = |right: usize, up: usize| {
                let (column, row) = (column - 1 + right, row - 1 + up);
                let point = [
                    from[0] + step_m * column as f64,
                    from[1] + step_m * row as f64,
                ];
                Some((point, levels[row * columns + column]? - level))
            };
            let corners = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)];
            let [Some(a), Some(b), Some(c), Some(d)] = corners else {
                continue;
            };
            for triangle in [[a, b, c], [a, c, d]] {
                pieces.extend(across(triangle));
            }
        }
    }
    pieces
}

fn across(triangle: [([f64; 2], f64); 3]) -> Option<[f64; 4]> {
    let edges = [(0, 1), (1, 2), (2, 0)];
    let mut ends = edges.into_iter().filter_map(|(one, other)| {
        let ((p, u), (q, v)) = (triangle[one], triangle[other]);
        // A corner exactly on the line counts as above it, so that each edge is crossed or not.
        ((u >= 0.0) != (v >= 0.0)).then(|| {
            let part = u / (u - v);
            [0, 1].map(|axis| p[axis] + (q[axis] - p[axis]) * part)
        })
    });
    let ([x, y], [to_x, to_y]) = (ends.next()?, ends.next()?);
    let plain = |length_m: f64| (length_m * 1000.0).round() / 1000.0;
    Some([x, y, to_x, to_y].map(plain))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slope_is_crossed_where_it_has_the_level() {
        // Levels are x over 4 × 3 points a metre apart: 1.5 is crossed half way, from row to row.
        let levels: Vec<Option<f64>> = (0..12).map(|at| Some(f64::from(at % 4))).collect();
        let pieces = contour(&levels, 4, [0.0, 0.0], 1.0, 1.5);
        assert_eq!(pieces.len(), 4);
        for [x, y, to_x, to_y] in &pieces {
            assert!((x - 1.5).abs() < 1e-9 && (to_x - 1.5).abs() < 1e-9);
            assert!((0.0..=2.0).contains(y) && (0.0..=2.0).contains(to_y));
        }
    }

    #[test]
    fn nothing_is_drawn_past_the_rooms_edge() {
        let mut levels: Vec<Option<f64>> = (0..9).map(|at| Some(f64::from(at % 3))).collect();
        levels[4] = None;
        assert!(contour(&levels, 3, [0.0, 0.0], 1.0, 0.5).is_empty());
    }
}
