//! How quiet is a room, and how long may ears bear a loud one?
//!
//! `L_A = 10 log₁₀ Σ 10^((L_i + A_i)/10)`
//!
//! `A(f) = 20 log₁₀ (f₄² f⁴ / ((f² + f₁²) √(f² + f₂²) √(f² + f₃²) (f² + f₄²))) + 2.000 dB`
//!
//! `C(f) = 20 log₁₀ (f₄² f² / ((f² + f₁²) (f² + f₄²))) + 0.062 dB`
//!
//! `NR = max_i (L_i − a_i)/b_i`; NC is the lowest listed curve that no band exceeds
//! (tangent method). `t = 8 h / 2^((L − 85)/3)` (NIOSH).
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | L_i | octave-band levels, 31.5 Hz to 8 kHz | dB re 20 µPa |
//! | f₁ … f₄ | 20.599, 107.653, 737.862, 12194.217 (IEC 61672-1 annex E) | Hz |
//! | a_i, b_i | constants of the NR curve (ISO R 1996) | dB, 1 |
//! | t, L | allowed time a day, A-weighted level | h, dB(A) |
//!
//! NC curves are Beranek's of 1957, in steps of 5 without a 31.5 Hz band: rumble
//! passes them. A limit on hearing here is the general rule for a working day;
//! local rules for noise at work go before it.

use std::sync::OnceLock;

use units::{Decibels, Hertz, Seconds};

use crate::octave::third_octave;
use units::table;

mod references;
pub(crate) use references::REFERENCES;

/// The nominal frequencies of [`NoiseSpectrum`], Hz.
pub const NOISE_BANDS_HZ: [f64; 9] = [
    31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0,
];

/// Octave-band levels from 31.5 Hz to 8 kHz; `None` where nobody measured.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NoiseSpectrum(pub [Option<Decibels>; 9]);

/// A criterion's number and the band that decides it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Criterion {
    /// The number of the curve.
    pub number: f64,
    /// The nominal frequency of the band that decides; `None` for a room below
    /// even the lowest curve, whose number is then a bound.
    pub decided_by: Option<Hertz>,
}

/// Why a spectrum has no number.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoiseError {
    /// A level that the criterion needs is not known.
    #[error("the criterion needs the level in the {0} Hz octave")]
    Missing(f64),
    /// Louder than the highest curve.
    #[error("the noise is above NC-70, the highest curve listed")]
    AboveTheCurves,
}

impl NoiseSpectrum {
    /// The eight octaves from 63 Hz to 8 kHz, as meters print them.
    pub fn from_63_hz(levels_db: [f64; 8]) -> Self {
        let mut spectrum = Self::default();
        for (band, level) in spectrum.0[1..].iter_mut().zip(levels_db) {
            *band = Some(Decibels(level));
        }
        spectrum
    }

    /// The A-weighted level of the bands that are known; −∞ for none. Bands left
    /// out make it read low.
    pub fn a_weighted(&self) -> Decibels {
        let known = self
            .0
            .iter()
            .enumerate()
            .filter_map(|(i, level)| Some((i, (*level)?)));
        crate::level::power_sum(known.map(|(i, level)| level + a_weight(exact_mid(i))))
    }

    /// The NC number: needs 63 Hz to 8 kHz.
    pub fn nc(&self) -> Result<Criterion, NoiseError> {
        let levels = self.levels_from_63()?;
        let mut decided_by = None;
        for (number, curve) in nc_curves() {
            let over = (1..9).find(|&i| curve[i].is_some_and(|limit| levels[i] > limit));
            let Some(band) = over else {
                let number = *number;
                return Ok(Criterion { number, decided_by });
            };
            decided_by = Some(Hertz(NOISE_BANDS_HZ[band]));
        }
        Err(NoiseError::AboveTheCurves)
    }

    /// The NC number between the listed curves: in each band straight between the two that
    /// enclose the level, the highest band deciding. Rounded up to a listed curve it is
    /// [`NoiseSpectrum::nc`]; below NC-15 and above NC-70 the outermost pair is continued.
    pub fn nc_between(&self) -> Result<Criterion, NoiseError> {
        let levels = self.levels_from_63()?;
        let curves = nc_curves();
        let rating = |band: usize| {
            let listed = |index: usize| (curves[index].0, curves[index].1[band].expect("63 Hz up"));
            let above = (1..curves.len() - 1).find(|&index| listed(index).1 >= levels[band]);
            let above = above.unwrap_or(curves.len() - 1);
            let ((low, low_db), (high, high_db)) = (listed(above - 1), listed(above));
            Criterion {
                number: low + (high - low) * (levels[band] - low_db) / (high_db - low_db),
                decided_by: Some(Hertz(NOISE_BANDS_HZ[band])),
            }
        };
        Ok((1..9)
            .map(rating)
            .max_by(|one, other| one.number.total_cmp(&other.number))
            .expect("eight bands"))
    }

    /// The NR number: needs 63 Hz to 8 kHz, and takes 31.5 Hz in where it is known.
    pub fn nr(&self) -> Result<Criterion, NoiseError> {
        let levels = self.levels_from_63()?;
        let ratings = (0..9).map(|i| Criterion {
            number: (levels[i] - NR_A[i]) / NR_B[i],
            decided_by: Some(Hertz(NOISE_BANDS_HZ[i])),
        });
        Ok(ratings
            .max_by(|one, other| one.number.total_cmp(&other.number))
            .expect("nine bands"))
    }

    fn levels_from_63(&self) -> Result<[f64; 9], NoiseError> {
        if let Some(i) = (1..9).find(|&i| self.0[i].is_none()) {
            return Err(NoiseError::Missing(NOISE_BANDS_HZ[i]));
        }
        // The lowest band stands in as silence where it is not known.
        Ok(self
            .0
            .map(|level| level.map_or(f64::NEG_INFINITY, |level| level.0)))
    }
}

/// The NC curve of a number, straight between the two listed curves that enclose it, 63 Hz to
/// 8 kHz, dB; beyond the listed curves the outermost pair is continued.
pub fn nc_curve_between(number: f64) -> [f64; 8] {
    let curves = nc_curves();
    let above = (1..curves.len() - 1).find(|&index| curves[index].0 >= number);
    let above = above.unwrap_or(curves.len() - 1);
    let ((low, low_db), (high, high_db)) = (&curves[above - 1], &curves[above]);
    let share = (number - low) / (high - low);
    [1, 2, 3, 4, 5, 6, 7, 8].map(|band| {
        let at = |curve: &[Option<f64>; 9]| curve[band].expect("63 Hz up");
        at(low_db) + share * (at(high_db) - at(low_db))
    })
}

/// The A-weight of a frequency, IEC 61672-1 annex E.
pub fn a_weight(frequency: Hertz) -> Decibels {
    let f2 = frequency.0.powi(2);
    let [p1, p2, p3, p4] = POLES_HZ.map(|pole| pole * pole);
    let response = p4 * f2 * f2 / ((f2 + p1) * ((f2 + p2) * (f2 + p3)).sqrt() * (f2 + p4));
    Decibels(20.0 * response.log10() + 2.000)
}

/// The C-weight of a frequency, IEC 61672-1 annex E.
pub fn c_weight(frequency: Hertz) -> Decibels {
    let f2 = frequency.0.powi(2);
    let [p1, _, _, p4] = POLES_HZ.map(|pole| pole * pole);
    Decibels(20.0 * (p4 * f2 / ((f2 + p1) * (f2 + p4))).log10() + 0.062)
}

/// How long a day an A-weighted level may last (NIOSH 1998: 85 dB(A) for 8 h,
/// halved for every 3 dB).
pub fn allowed_exposure(level_a: Decibels) -> Seconds {
    Seconds(8.0 * 3600.0 / 2_f64.powf((level_a.0 - 85.0) / 3.0))
}

/// The share of a day's allowance that spells of noise use up: 1 is all of it.
pub fn exposure_dose(spells: impl IntoIterator<Item = (Decibels, Seconds)>) -> f64 {
    spells
        .into_iter()
        .map(|(level, time)| time.0 / allowed_exposure(level).0)
        .sum()
}

const POLES_HZ: [f64; 4] = [20.598_997, 107.652_65, 737.862_23, 12_194.217];

/// a and b of the NR curves, 31.5 Hz to 8 kHz (ISO R 1996; AS 1469, read in the
/// documentation of a public spreadsheet).
const NR_A: [f64; 9] = [55.4, 35.5, 22.0, 12.0, 4.8, 0.0, -3.5, -6.1, -8.0];
const NR_B: [f64; 9] = [0.681, 0.790, 0.870, 0.930, 0.974, 1.0, 1.015, 1.025, 1.030];

/// The exact mid-band frequency of a band of [`NOISE_BANDS_HZ`].
fn exact_mid(index: usize) -> Hertz {
    third_octave(3 * (index as i32 - 5)).exact
}

type Curve = (f64, [Option<f64>; 9]);

fn nc_curves() -> &'static [Curve] {
    static CURVES: OnceLock<Vec<Curve>> = OnceLock::new();
    CURVES.get_or_init(|| curves("NC"))
}

fn curves(family: &str) -> Vec<Curve> {
    table::rows(include_str!("noise/curves.csv"))
        .filter(|row| row[0] == family)
        .map(|row| {
            let number = table::number(row[1]);
            (
                number,
                [2, 3, 4, 5, 6, 7, 8, 9, 10].map(|i| table::number_or_blank(row[i])),
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_curve_rates_as_itself() {
        for (number, curve) in nc_curves() {
            let spectrum = NoiseSpectrum(curve.map(|level| level.map(Decibels)));
            assert_eq!(spectrum.nc().unwrap().number, *number);
        }
        assert_eq!(nc_curves().len(), 12);
    }

    #[test]
    fn every_nr_curve_rates_as_itself_in_every_band_alone() {
        let mut rated = 0;
        for (number, curve) in curves("NR") {
            for band in 0..9 {
                let mut spectrum = NoiseSpectrum([Some(Decibels(-100.0)); 9]);
                spectrum.0[band] = curve[band].map(Decibels);
                // The printed curves are rounded to 0.1 dB.
                let found = spectrum.nr().unwrap();
                assert!((found.number - number).abs() < 0.08, "{number}: {found:?}");
                assert_eq!(found.decided_by, Some(Hertz(NOISE_BANDS_HZ[band])));
                rated += 1;
            }
        }
        assert_eq!(rated, 15 * 9);
    }

    #[test]
    fn one_tenth_above_a_curve_is_the_next_and_names_its_band() {
        let mut levels = [64.0, 56.0, 50.0, 45.0, 41.0, 39.0, 38.0, 37.0];
        levels[4] += 0.1;
        let rated = NoiseSpectrum::from_63_hz(levels).nc().unwrap();
        assert_eq!(
            (rated.number, rated.decided_by),
            (45.0, Some(Hertz(1000.0)))
        );
    }

    #[test]
    fn between_two_curves_the_number_is_between_theirs() {
        for pair in nc_curves().windows(2) {
            let halfway = [1, 2, 3, 4, 5, 6, 7, 8].map(|band| {
                pair.iter()
                    .map(|(_, curve)| curve[band].unwrap())
                    .sum::<f64>()
                    / 2.0
            });
            let rated = NoiseSpectrum::from_63_hz(halfway).nc_between().unwrap();
            assert!((rated.number - pair[0].0 - 2.5).abs() < 1e-9, "{rated:?}");
            let own = NoiseSpectrum(pair[0].1.map(|level| level.map(Decibels)));
            assert!((own.nc_between().unwrap().number - pair[0].0).abs() < 1e-9);
            let between = nc_curve_between(pair[0].0 + 2.5);
            assert!((0..8).all(|band| (between[band] - halfway[band]).abs() < 1e-9));
        }
        let silent = NoiseSpectrum::from_63_hz([0.0; 8]).nc_between().unwrap();
        assert!(silent.number < 15.0);
    }

    #[test]
    fn weights_round_to_the_standards_table() {
        let mut count = 0;
        for row in table::rows(include_str!("noise/weighting.csv")) {
            let cell = |i: usize| table::number(row[i]);
            let exact =
                Hertz(1000.0 * 10_f64.powf(((cell(0) / 1000.0).log10() * 10.0).round() / 10.0));
            // IEC 61672-1:2013 table 3, printed to 0.1 dB; then the pole formula's digits.
            assert!((a_weight(exact).0 - cell(2)).abs() < 0.0515, "{row:?}");
            assert!((c_weight(exact).0 - cell(3)).abs() < 0.0515, "{row:?}");
            assert!(
                (a_weight(exact).0 - cell(5)).abs() < 1.5e-3,
                "{row:?}: {}",
                a_weight(exact).0
            );
            assert!(
                (c_weight(exact).0 - cell(6)).abs() < 1.5e-3,
                "{row:?}: {}",
                c_weight(exact).0
            );
            count += 1;
        }
        assert_eq!(count, 34);
    }

    #[test]
    fn missing_and_deafening_bands_are_named() {
        let mut spectrum = NoiseSpectrum::from_63_hz([40.0; 8]);
        spectrum.0[3] = None;
        assert_eq!(spectrum.nc(), Err(NoiseError::Missing(250.0)));
        let loud = NoiseSpectrum::from_63_hz([90.0; 8]).nc();
        assert_eq!(loud, Err(NoiseError::AboveTheCurves));
        assert_eq!(nc_curves().last().map(|(number, _)| *number), Some(70.0));
        // Below the lowest curve no band decides.
        let silent = NoiseSpectrum::from_63_hz([0.0; 8]).nc().unwrap();
        assert_eq!((silent.number, silent.decided_by), (15.0, None));
    }

    #[test]
    fn rumble_counts_for_nr_where_it_is_known() {
        let mut spectrum = NoiseSpectrum::from_63_hz([20.0; 8]);
        spectrum.0[0] = Some(Decibels(82.6));
        let rated = spectrum.nr().unwrap();
        assert!((rated.number - 40.0).abs() < 0.1 && rated.decided_by == Some(Hertz(31.5)));
    }
}
