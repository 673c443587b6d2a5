//! How even, how flat and how loud is an arrangement?
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | H_i,s(f) | transfer of sub i to seat s, over free field at 1 m | 1 |
//! | r_i(f) | factor of sub i's setting | 1 |
//! | L_s(f) = 20 lg abs Σ_i r_i H_i,s | level at a seat over one sub's at 1 m | dB |
//! | w_s, q_f | weights of seats and frequencies, each adding to one | 1 |
//! | M(f) = Σ_s w_s L_s | mean over seats | dB |
//! | MSV = Σ_f q_f Σ_s w_s (L_s − M)² | mean spatial variance | dB² |
//! | T(f), C(f) | wanted curve; output of one sub at 1 m in free field | dB |
//! | F² = Σ_f q_f (M − T − mean)² | variance of the mean curve from the wanted one | dB² |
//! | R = min_f (C + M − T) | what the arrangement reaches, over the curve | dB |
//!
//! cost = MSV + k F² + 100 max(0, wanted − R)². Evenness counts first, since no
//! equaliser cures it; flatness by k, since an equaliser does a part of it; and 1 dB
//! short of the wanted level as much as 10 dB of spread.
//!
//! MSV is the seat-to-seat measure of Welti & Devantier, JAES 54 (2006) 347–364
//! (from memory); the weights k and 100 are common practice, no source. The level
//! that is reached assumes that an equaliser brings the mean to the wanted curve.

use num_complex::Complex;
use units::Decibels;

use crate::decibel::level_db;
use crate::{Arrangement, Transfers};

/// What an arrangement should come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Goal {
    curve_db: Vec<f64>,
    flatness_weight: f64,
    output: Option<Output>,
}

#[derive(Clone, Debug, PartialEq)]
struct Output {
    at_1m_db: Vec<f64>,
    wanted_db: f64,
}

/// Why a goal can't be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{what} needs one finite level for each of {frequencies} frequencies")]
pub struct GoalError {
    what: &'static str,
    frequencies: usize,
}

/// What an arrangement comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Score {
    /// √MSV: how far seats differ.
    pub spread: Decibels,
    /// F: how far the mean over seats strays from the wanted curve.
    pub flatness: Decibels,
    /// The mean over seats and frequencies, over one sub's level at 1 m.
    pub gain: Decibels,
    /// How far above the wanted level the weakest frequency can be played; negative
    /// is short. `None` without a sub's output.
    pub reserve: Option<Decibels>,
    /// What a search makes least, dB².
    pub cost: f64,
}

/// 1 dB short counts as 10 dB of spread.
const SHORTAGE_WEIGHT: f64 = 100.0;

impl Goal {
    /// A flat curve, flatness at a quarter of the weight of evenness, any output.
    pub fn even(transfers: &Transfers) -> Self {
        Self {
            curve_db: vec![0.0; transfers.frequencies_hz().len()],
            flatness_weight: 0.25,
            output: None,
        }
    }

    /// Another weight of flatness: k of the formula.
    pub fn with_flatness_weight(mut self, weight: f64) -> Self {
        self.flatness_weight = weight.max(0.0);
        self
    }

    /// Another wanted curve over frequency; only its shape counts unless output is given.
    ///
    /// # Errors
    ///
    /// A curve that has not one finite level for each frequency.
    pub fn with_curve(mut self, curve: &[Decibels]) -> Result<Self, GoalError> {
        self.curve_db = whole("the wanted curve", curve, self.curve_db.len())?;
        Ok(self)
    }

    /// One sub's output in free field at 1 m by frequency, and the level over the
    /// curve that the mean of the seats should reach.
    ///
    /// # Errors
    ///
    /// An output that has not one finite level for each frequency.
    pub fn with_output(mut self, at_1m: &[Decibels], wanted: Decibels) -> Result<Self, GoalError> {
        self.output = Some(Output {
            at_1m_db: whole("a sub's output", at_1m, self.curve_db.len())?,
            wanted_db: wanted.0,
        });
        Ok(self)
    }
}

fn whole(
    what: &'static str,
    levels: &[Decibels],
    frequencies: usize,
) -> Result<Vec<f64>, GoalError> {
    let fits = levels.len() == frequencies && levels.iter().all(|level| level.0.is_finite());
    match fits {
        true => Ok(levels.iter().map(|level| level.0).collect()),
        false => Err(GoalError { what, frequencies }),
    }
}

/// What an arrangement comes to against a goal.
///
/// # Panics
///
/// If the arrangement names a place that the table lacks.
pub fn score(transfers: &Transfers, goal: &Goal, arrangement: &Arrangement) -> Score {
    let (mut re, mut im) = (Vec::new(), Vec::new());
    for pressures in sums(transfers, arrangement) {
        re.extend(pressures.iter().map(|pressure| pressure.re));
        im.extend(pressures.iter().map(|pressure| pressure.im));
    }
    Scale::new(transfers, goal).weigh(&re, &im, &mut Vec::new())
}

/// The level at each seat and frequency, over one sub's level at 1 m:
/// `levels[seat][frequency]`.
///
/// # Panics
///
/// If the arrangement names a place that the table lacks.
pub fn levels(transfers: &Transfers, arrangement: &Arrangement) -> Vec<Vec<Decibels>> {
    let by_frequency: Vec<Vec<Complex<f64>>> = sums(transfers, arrangement).collect();
    (0..transfers.seats())
        .map(|seat| {
            let level = |sums: &Vec<Complex<f64>>| Decibels(level_db(sums[seat].norm_sqr()));
            by_frequency.iter().map(level).collect()
        })
        .collect()
}

/// The summed pressure at each seat, frequency by frequency.
fn sums<'a>(
    transfers: &'a Transfers,
    arrangement: &'a Arrangement,
) -> impl Iterator<Item = Vec<Complex<f64>>> + 'a {
    transfers
        .frequencies()
        .enumerate()
        .map(move |(at, frequency)| {
            let mut sums = vec![Complex::new(0.0, 0.0); transfers.seats()];
            for &(place, setting) in &arrangement.subs {
                let factor = setting.factor(frequency);
                for (sum, seat) in sums.iter_mut().zip(&transfers.places()[place].pressures) {
                    *sum += factor * seat[at];
                }
            }
            sums
        })
}

/// A goal laid against a table, ready to weigh many sums.
pub(crate) struct Scale<'a> {
    transfers: &'a Transfers,
    goal: &'a Goal,
}

impl<'a> Scale<'a> {
    pub(crate) fn new(transfers: &'a Transfers, goal: &'a Goal) -> Self {
        Self { transfers, goal }
    }

    /// Weighs summed pressures, all seats of the first frequency first. `levels` is
    /// scratch.
    pub(crate) fn weigh(&self, re: &[f64], im: &[f64], levels: &mut Vec<f64>) -> Score {
        let seat_weights = self.transfers.seat_weights();
        // All levels at once: one long loop runs faster than many of a few seats.
        levels.clear();
        levels.extend(
            re.iter()
                .zip(im)
                .map(|(re, im)| level_db(re * re + im * im)),
        );
        let (mut variance, mut gain, mut off, mut off_squared) = (0.0, 0.0, 0.0, 0.0);
        let mut reach = f64::INFINITY;
        let lines = levels.chunks_exact(seat_weights.len());
        for (at, (levels, &share)) in lines.zip(self.transfers.frequency_weights()).enumerate() {
            let mean: f64 = levels
                .iter()
                .zip(seat_weights)
                .map(|(level, w)| w * level)
                .sum();
            let spread: f64 = levels
                .iter()
                .zip(seat_weights)
                .map(|(level, w)| w * (level - mean) * (level - mean))
                .sum();
            let above = mean - self.goal.curve_db[at];
            variance += share * spread;
            gain += share * mean;
            off += share * above;
            off_squared += share * above * above;
            if let Some(output) = &self.goal.output {
                reach = reach.min(output.at_1m_db[at] + above);
            }
        }
        let flatness = (off_squared - off * off).max(0.0);
        let reserve = self
            .goal
            .output
            .as_ref()
            .map(|output| reach - output.wanted_db);
        let short = reserve.map_or(0.0, |reserve| (-reserve).max(0.0));
        Score {
            spread: Decibels(variance.sqrt()),
            flatness: Decibels(flatness.sqrt()),
            gain: Decibels(gain),
            reserve: reserve.map(Decibels),
            cost: variance + self.goal.flatness_weight * flatness + SHORTAGE_WEIGHT * short * short,
        }
    }
}

#[cfg(test)]
mod tests {
    use units::{Hertz, Seconds};

    use super::*;
    use crate::{Place, Polarity, Setting};

    /// Places whose level at each seat is the same at three frequencies an octave apart.
    fn plain(levels_db: &[&[f64]]) -> Transfers {
        let places = levels_db
            .iter()
            .map(|seats| Place {
                kind: String::new(),
                pressures: seats
                    .iter()
                    .map(|db| vec![Complex::new(10_f64.powf(db / 20.0), 0.0); 3])
                    .collect(),
            })
            .collect();
        let weights = vec![1.0; levels_db[0].len()];
        Transfers::new(&[20.0, 40.0, 80.0].map(Hertz), &weights, places).unwrap()
    }

    fn at(places: &[usize]) -> Arrangement {
        Arrangement {
            subs: places
                .iter()
                .map(|&place| (place, Setting::PLAIN))
                .collect(),
        }
    }

    #[test]
    fn two_seats_six_decibels_apart_spread_by_three() {
        let table = plain(&[&[3.0, -3.0]]);
        let told = score(&table, &Goal::even(&table), &at(&[0]));
        assert!((told.spread.0 - 3.0).abs() < 1e-12);
        assert!(told.flatness.0.abs() < 1e-6 && told.gain.0.abs() < 1e-12);
        assert!((told.cost - 9.0).abs() < 1e-9);
        assert_eq!(told.reserve, None);
    }

    #[test]
    fn two_alike_subs_add_six_decibels_and_inverted_ones_cancel() {
        let table = plain(&[&[0.0, 0.0], &[0.0, 0.0]]);
        let goal = Goal::even(&table);
        assert!((score(&table, &goal, &at(&[0, 1])).gain.0 - 6.0206).abs() < 1e-4);
        let mut turned = at(&[0, 1]);
        turned.subs[1].1.polarity = Polarity::Inverted;
        assert!(score(&table, &goal, &turned).gain.0 < -200.0);
    }

    #[test]
    fn output_is_short_where_the_weakest_frequency_is() {
        // One sub gives 100, 106 and 110 dB at 1 m; seats get 2 dB less on average;
        // 105 dB are wanted at the lowest frequency 3 dB more: 100 − 2 − 3 − 105 = −10.
        let table = plain(&[&[-1.0, -3.0]]);
        let goal = Goal::even(&table)
            .with_curve(&[3.0, 0.0, 0.0].map(Decibels))
            .unwrap()
            .with_output(&[100.0, 106.0, 110.0].map(Decibels), Decibels(105.0))
            .unwrap();
        let told = score(&table, &goal, &at(&[0]));
        assert!((told.reserve.unwrap().0 + 10.0).abs() < 1e-9);
        // The mean strays from (3, 0, 0) by −3, 0, 0 about its mean −1: variance 2.
        assert!((told.flatness.0.powi(2) - 2.0).abs() < 1e-9);
        assert!((told.cost - (1.0 + 0.25 * 2.0 + 100.0 * 100.0)).abs() < 1e-6);
    }

    #[test]
    fn a_common_delay_polarity_and_place_order_change_nothing() {
        let table = plain(&[&[1.0, -4.0, 2.0], &[0.0, 3.0, -5.0]]);
        let goal = Goal::even(&table);
        let apart = Setting {
            delay: Seconds(0.004),
            gain: Decibels(-3.0),
            ..Setting::PLAIN
        };
        let later = Setting {
            delay: Seconds(0.009),
            gain: Decibels(-3.0),
            polarity: Polarity::Inverted,
        };
        let shifted = Setting {
            gain: Decibels(0.0),
            delay: Seconds(0.005),
            ..later
        };
        let first = Arrangement {
            subs: vec![(0, Setting::PLAIN), (1, apart)],
        };
        let second = Arrangement {
            subs: vec![(1, later), (0, shifted)],
        };
        let (a, b) = (score(&table, &goal, &first), score(&table, &goal, &second));
        assert!((a.cost - b.cost).abs() < 1e-9, "{a:?} {b:?}");
    }

    #[test]
    fn a_seat_of_double_weight_counts_as_two() {
        let lines = [20.0, 40.0, 80.0].map(Hertz);
        let seat = |db: f64| vec![Complex::new(10_f64.powf(db / 20.0), 0.0); 3];
        let place = |seats: &[f64]| {
            let pressures = seats.iter().map(|&db| seat(db)).collect();
            vec![Place {
                kind: String::new(),
                pressures,
            }]
        };
        let weighted = Transfers::new(&lines, &[2.0, 1.0], place(&[4.0, -2.0])).unwrap();
        let twice = Transfers::new(&lines, &[1.0; 3], place(&[4.0, 4.0, -2.0])).unwrap();
        let one = score(&weighted, &Goal::even(&weighted), &at(&[0]));
        let other = score(&twice, &Goal::even(&twice), &at(&[0]));
        assert!((one.cost - other.cost).abs() < 1e-9);
    }

    #[test]
    fn levels_are_told_by_seat() {
        let table = plain(&[&[3.0, -3.0]]);
        let told = levels(&table, &at(&[0]));
        assert_eq!((told.len(), told[0].len()), (2, 3));
        assert!((told[1][2].0 + 3.0).abs() < 1e-12);
    }

    #[test]
    fn three_subs_come_to_what_numpy_says() {
        let rows = include_str!("score.csv").lines().skip(2);
        let mut places = vec![Vec::new(); 3];
        let mut lines = Vec::new();
        for row in rows {
            let cells: Vec<f64> = row.split(',').map(|cell| cell.parse().unwrap()).collect();
            let [place, seat] = [cells[0], cells[1]].map(|cell| cell as usize);
            places[place].resize(seat + 1, Vec::new());
            places[place][seat].push(Complex::new(cells[3], cells[4]));
            if (place, seat) == (0, 0) {
                lines.push(Hertz(cells[2]));
            }
        }
        let place = |pressures| Place {
            kind: String::new(),
            pressures,
        };
        let places = places.into_iter().map(place).collect();
        let table = Transfers::new(&lines, &[2.0, 1.0, 1.0, 3.0], places).unwrap();
        let sub = |gain, delay, polarity| Setting {
            gain: Decibels(gain),
            delay: Seconds(delay),
            polarity,
        };
        let subs = [
            sub(0.0, 0.0, Polarity::Normal),
            sub(-3.0, 0.004, Polarity::Inverted),
            sub(-6.0, 0.007, Polarity::Normal),
        ];
        let subs = subs.into_iter().enumerate().collect();
        let told = score(&table, &Goal::even(&table), &Arrangement { subs });
        for (told, numpy) in [
            (told.spread, 4.757468000),
            (told.flatness, 4.850017498),
            (told.gain, 0.327564880),
        ] {
            assert!((told.0 - numpy).abs() < 1e-6, "{told:?} {numpy}");
        }
    }
}
