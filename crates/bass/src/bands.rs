//! What the bass comes to by third octave: how long it rings, how loud it can play.

use subwoofers::{Arrangement, Transfers, levels};
use units::{Decibels, Hertz};

use crate::frame::point;
use crate::ready::Ready;
use crate::study::Placed;

/// The third octaves that bass is read in, Hz: preferred frequencies of ISO 266, which stand
/// for 10^(n/10) (from memory).
const CENTRES_HZ: [f64; 10] = [
    20.0, 25.0, 31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0,
];

/// A third octave's decay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandDecay {
    /// The band's name.
    pub centre: Hertz,
    /// Time for 60 dB as it would be measured, s: twice the time from −5 dB to −35 dB of what
    /// the seats hear of the band after the subs stop; `None` without a resonance in the band.
    pub t60_s: Option<f64>,
    /// The longest of its resonances, s.
    pub longest_s: Option<f64>,
}

/// The loudest that an arrangement plays in a third octave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandLevel {
    /// The band's name.
    pub centre: Hertz,
    /// The mean over the seats at the band's weakest line.
    pub level: Decibels,
}

/// Resonances nearer to each other than this share are one to the ear (ITU-R BS.1116-3, annex 1,
/// from memory, asks the same of a box's sides).
const TOGETHER_SHARE: f64 = 0.05;
/// In a third octave of so many, two that fall together do not stand out.
const MANY: usize = 5;

/// Whether resonances are spread, in sentences: none where they are.
///
/// The number in each third octave should not fall from one to the next, and none may coincide
/// where there are fewer than five (Bonello 1981, J. Audio Eng. Soc. 29, 597–606, from memory).
pub(crate) fn spacing(resonances: &[Hertz], up_to: Hertz) -> Vec<String> {
    let bands: Vec<(f64, Vec<f64>)> = CENTRES_HZ
        .iter()
        .filter(|centre| edges(**centre)[1] <= up_to.0)
        .map(|centre| {
            let [low, high] = edges(*centre);
            let within = resonances.iter().map(|hertz| hertz.0);
            (
                *centre,
                within.filter(|hz| (low..high).contains(hz)).collect(),
            )
        })
        .skip_while(|(_, within): &(f64, Vec<f64>)| within.is_empty())
        .collect();
    let mut said = Vec::new();
    for pair in bands.windows(2) {
        let [(below, fewer), (centre, within)] = pair else {
            continue;
        };
        if within.len() < fewer.len() {
            said.push(format!(
                "{} in the third octave of {centre} Hz, fewer than the {} of {below} Hz: a gap in the bass",
                counted(within.len()),
                fewer.len()
            ));
        }
    }
    for (centre, within) in &bands {
        let close = within
            .windows(2)
            .filter(|pair| within.len() < MANY && pair[1] / pair[0] - 1.0 < TOGETHER_SHARE);
        said.extend(close.map(|pair| {
            format!(
                "{:.1} Hz and {:.1} Hz fall on each other in the third octave of {centre} Hz: that note booms",
                pair[0], pair[1]
            )
        }));
    }
    said
}

fn counted(resonances: usize) -> String {
    match resonances {
        0 => "no resonance".to_owned(),
        1 => "1 resonance".to_owned(),
        more => format!("{more} resonances"),
    }
}

/// Lower and upper edge, Hz.
fn edges(centre_hz: f64) -> [f64; 2] {
    let exact = 10_f64.powf((10.0 * centre_hz.log10()).round() / 10.0);
    [exact / 10_f64.powf(0.05), exact * 10_f64.powf(0.05)]
}

/// Twice the time that a sum of decaying energies takes from −5 dB to −35 dB, s; each energy
/// with its time for 60 dB.
///
/// `E(t) = Σ w 10^(−6 t/T)` falls steadily, so both times are found by halving.
fn decay_s(parts: &[(f64, f64)]) -> Option<f64> {
    let longest = parts.iter().map(|part| part.1).fold(0.0, f64::max);
    let energy = |t: f64| -> f64 {
        let part = |(weight, t60): &(f64, f64)| weight * 10_f64.powf(-6.0 * t / t60);
        parts.iter().map(part).sum()
    };
    let whole = energy(0.0);
    let found = whole > 0.0 && longest > 0.0 && longest.is_finite();
    let reached = |down_db: f64| {
        let wanted = whole * 10_f64.powf(-down_db / 10.0);
        let (mut before, mut after) = (0.0, longest);
        for _ in 0..60 {
            let middle = 0.5 * (before + after);
            match energy(middle) > wanted {
                true => before = middle,
                false => after = middle,
            }
        }
        after
    };
    found.then(|| 2.0 * (reached(35.0) - reached(5.0)))
}

impl Ready {
    /// Decay by third octave, as subs excite it and the seats hear it.
    ///
    /// A mode counts by its mean square pressure over the seats, times that of what the subs make
    /// of it; modes beside a band's edges count in their own band alone.
    pub(crate) fn band_decays(&self, subs: &[Placed], decays: &[waves::Decay]) -> Vec<BandDecay> {
        let modes = &self.solved.modes;
        let ears: Vec<_> = self.seats().iter().map(|(_, at)| point(*at)).collect();
        let stand: Vec<_> = subs.iter().map(|sub| point(sub.at)).collect();
        // The first mode is pressure alike everywhere; decays leave it out.
        let weighed: Vec<(f64, f64, f64)> = decays
            .iter()
            .enumerate()
            .map(|(at, decay)| {
                let heard: f64 = (modes.shape(at + 1, &ears).iter().flatten())
                    .map(|pressure| pressure * pressure)
                    .sum();
                let driven: num_complex::Complex<f64> = (modes.shape(at + 1, &stand).iter())
                    .zip(subs)
                    .filter_map(|(pressure, sub)| {
                        let factor = sub.setting.factor(Hertz(decay.frequency_hz));
                        Some(factor * (*pressure)?)
                    })
                    .sum();
                let driven = match subs.is_empty() {
                    true => 1.0,
                    false => driven.norm_sqr(),
                };
                (decay.frequency_hz, heard * driven, decay.t60_s)
            })
            .collect();
        CENTRES_HZ
            .iter()
            .filter(|centre| edges(**centre)[1] <= self.holds_up_to().0)
            .map(|centre| {
                let [low, high] = edges(*centre);
                let within: Vec<(f64, f64)> = weighed
                    .iter()
                    .filter(|(hertz, ..)| (low..high).contains(hertz))
                    .map(|(_, weight, t60)| (*weight, *t60))
                    .collect();
                let longest = within.iter().map(|part| part.1).reduce(f64::max);
                BandDecay {
                    centre: Hertz(*centre),
                    t60_s: decay_s(&within),
                    longest_s: longest,
                }
            })
            .collect()
    }

    /// The loudest by third octave; nothing without the sub's output.
    pub(crate) fn plays(&self, table: &Transfers, arrangement: &Arrangement) -> Vec<BandLevel> {
        let Some(output) = &self.inputs.output_db else {
            return Vec::new();
        };
        let seats = levels(table, arrangement);
        let total: f64 = self.inputs.importance.iter().sum();
        let mean = |line: usize| -> f64 {
            let weighed = seats.iter().zip(&self.inputs.importance);
            weighed.map(|(seat, w)| seat[line].0 * w).sum::<f64>() / total
        };
        CENTRES_HZ
            .iter()
            .filter_map(|centre| {
                let [low, high] = edges(*centre);
                let weakest = (self.lines.iter().enumerate())
                    .filter(|(_, line)| (low..high).contains(&line.0))
                    .map(|(at, _)| output[at] + mean(at))
                    .reduce(f64::min)?;
                Some(BandLevel {
                    centre: Hertz(*centre),
                    level: Decibels(weakest),
                })
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_resonance_decays_with_its_own_time() {
        let told = decay_s(&[(3.0, 0.8)]).expect("it rings");
        assert!((told - 0.8).abs() < 1e-9);
        assert_eq!(decay_s(&[]), None);
    }

    #[test]
    fn a_long_tail_is_heard_once_the_loud_part_is_gone() {
        let told = decay_s(&[(1.0, 0.4), (0.1, 0.8)]).expect("it rings");
        assert!(told > 0.4 && told < 0.8, "{told}");
        // 10 dB below and twice as long. By bisection: 35.48 ms to −5 dB, 329.73 ms to −35 dB.
        let by_hand = |t: f64| 10_f64.powf(-15.0 * t) + 0.1 * 10_f64.powf(-7.5 * t);
        let at = |down: f64| by_hand(0.0) * 10_f64.powf(-down / 10.0);
        let (t5, t35) = (0.035_48, 0.329_73);
        assert!((by_hand(t5) / at(5.0) - 1.0).abs() < 1e-3);
        assert!((by_hand(t35) / at(35.0) - 1.0).abs() < 1e-3);
        assert!((told - 2.0 * (t35 - t5)).abs() < 1e-4, "{told}");
    }

    #[test]
    fn a_band_with_fewer_and_two_that_coincide_are_told() {
        let told = |hz: &[f64]| {
            let all: Vec<Hertz> = hz.iter().copied().map(Hertz).collect();
            spacing(&all, Hertz(120.0))
        };
        // Third octaves of 25, 31.5, 40, 50, 63, 80 and 100 Hz with 1, 1, 2, 2, 3, 3, 4.
        let even = [
            25.0, 31.0, 37.0, 43.0, 47.0, 54.0, 58.0, 62.0, 67.0, 73.0, 78.0, 85.0, 91.0, 97.0,
            103.0, 109.0,
        ];
        assert!(told(&even).is_empty(), "{:?}", told(&even));
        // None between 44.7 Hz and 56.2 Hz.
        let gap: Vec<f64> = even
            .into_iter()
            .filter(|hz| *hz < 44.0 || *hz > 56.0)
            .collect();
        assert_eq!(told(&gap).len(), 1);
        assert!(told(&gap)[0].starts_with("no resonance in the third octave of 50 Hz"));
        // 37 Hz and 38 Hz, 2.7 % apart, in place of 37 Hz and 43 Hz.
        let close = even.map(|hz| if hz == 43.0 { 38.0 } else { hz });
        assert_eq!(told(&close).len(), 1);
        assert!(told(&close)[0].starts_with("37.0 Hz and 38.0 Hz fall on each other"));
    }

    #[test]
    fn edges_are_those_of_a_tenth_of_a_decade() {
        // 63 Hz stands for 10^1.8 = 63.096 Hz: 56.23 Hz to 70.79 Hz.
        let [low, high] = edges(63.0);
        assert!((low - 56.234).abs() < 1e-3 && (high - 70.795).abs() < 1e-3);
    }
}
