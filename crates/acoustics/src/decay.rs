//! How does sound die away that decays at several rates at once?
//!
//! `w(t)/w(0) = Σ_k g_k e^(−λ_k t)`, `Σ g_k = 1`
//!
//! A reverberation time is read off such a decay as off a measured one: a straight line is
//! fitted by least squares to the level between two values below the start, and continued to
//! 60 dB (ISO 3382-1: −5 to −25 dB for T₂₀, −5 to −35 dB for T₃₀, 0 to −10 dB for the early
//! decay time).
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | w | energy density after a steady sound has stopped | J/m³ |
//! | g_k, λ_k | share and rate of each part | 1, 1/s |
//!
//! A part alone has T = 6 ln 10/λ = 13.8155/λ. Where T₃₀ is more than 10 % longer than T₂₀
//! the decay is bent, and no single time describes it (ISO 3382-2 annex B, from memory).

use std::f64::consts::LN_10;

use units::{Decibels, Seconds};

/// A decay of one or more parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Decay {
    /// Share and rate, 1/s.
    parts: Vec<(f64, f64)>,
}

/// Points on the line that is fitted.
const POINTS: usize = 400;

impl Decay {
    /// From shares (of any sum above 0) and rates above 0; `None` otherwise.
    pub fn new(parts: &[(f64, f64)]) -> Option<Self> {
        let sum: f64 = parts.iter().map(|(share, _)| share).sum();
        let sound = |&(share, rate): &(f64, f64)| share >= 0.0 && rate > 0.0 && rate.is_finite();
        (sum > 0.0 && sum.is_finite() && parts.iter().all(sound)).then(|| Self {
            parts: parts
                .iter()
                .map(|(share, rate)| (share / sum, *rate))
                .collect(),
        })
    }

    /// A single rate, from its reverberation time.
    pub fn of_time(time: Seconds) -> Option<Self> {
        Self::new(&[(1.0, 6.0 * LN_10 / time.0)])
    }

    /// The level re the start.
    pub fn level(&self, time: Seconds) -> Decibels {
        let energy: f64 = (self.parts.iter())
            .map(|(share, rate)| share * (-rate * time.0).exp())
            .sum();
        Decibels(10.0 * energy.log10())
    }

    /// The reverberation time by the line between two levels below the start, e.g. −5 dB and
    /// −25 dB.
    pub fn time_between(&self, from: Decibels, to: Decibels) -> Seconds {
        let (start, end) = (self.falls_to(from), self.falls_to(to));
        let (mut t_sum, mut l_sum, mut tt, mut tl) = (0.0, 0.0, 0.0, 0.0);
        for point in 0..POINTS {
            let t = start + (end - start) * (point as f64 + 0.5) / POINTS as f64;
            let level = self.level(Seconds(t)).0;
            t_sum += t;
            l_sum += level;
            tt += t * t;
            tl += t * level;
        }
        let n = POINTS as f64;
        let slope = (n * tl - t_sum * l_sum) / (n * tt - t_sum * t_sum);
        Seconds(-60.0 / slope)
    }

    /// T₂₀.
    pub fn t20(&self) -> Seconds {
        self.time_between(Decibels(-5.0), Decibels(-25.0))
    }

    /// T₃₀.
    pub fn t30(&self) -> Seconds {
        self.time_between(Decibels(-5.0), Decibels(-35.0))
    }

    /// The early decay time.
    pub fn early(&self) -> Seconds {
        self.time_between(Decibels(0.0), Decibels(-10.0))
    }

    /// How much longer T₃₀ is than T₂₀, as a share.
    pub fn bend(&self) -> f64 {
        self.t30().0 / self.t20().0 - 1.0
    }

    fn falls_to(&self, level: Decibels) -> f64 {
        let slowest = self
            .parts
            .iter()
            .map(|part| part.1)
            .fold(f64::INFINITY, f64::min);
        // By its slowest part alone it is never later.
        let mut late = (-level.0 / 10.0 * LN_10 / slowest).max(0.0) + 1e-9;
        let mut early = 0.0;
        for _ in 0..80 {
            let middle = 0.5 * (early + late);
            if self.level(Seconds(middle)).0 > level.0 {
                early = middle;
            } else {
                late = middle;
            }
        }
        0.5 * (early + late)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_rate_has_one_time() {
        let decay = Decay::of_time(Seconds(0.7)).unwrap();
        for time in [decay.early(), decay.t20(), decay.t30()] {
            assert!((time.0 - 0.7).abs() < 1e-9);
        }
        assert!(decay.bend().abs() < 1e-9);
        assert!((decay.level(Seconds(0.35)).0 + 30.0).abs() < 1e-9);
    }

    #[test]
    fn a_bent_decay_is_read_as_it_is_measured() {
        // e^(−13.8155t/0.3) + 10^−1.5 e^(−13.8155t/1.2) as squared impulse response: EDT
        // 0.3187, T20 0.5310, T30 0.8517 s, curvature 60 % (computed by fine sampling).
        // Integrated backwards each part grows by its own time: T/13.8155.
        let part = |weight: f64, time: f64| (weight * time, 6.0 * LN_10 / time);
        let decays = [
            Decay::new(&[part(1.0, 0.3), part(10_f64.powf(-1.5), 1.2)]).unwrap(),
            Decay::new(&[
                (1.0, 6.0 * LN_10 / 0.3),
                (10_f64.powf(-1.5), 6.0 * LN_10 / 1.2),
            ])
            .unwrap(),
        ];
        let told: Vec<[f64; 3]> = decays
            .iter()
            .map(|d| [d.early().0, d.t20().0, d.t30().0])
            .collect();
        let listed = [0.3187, 0.5310, 0.8517];
        let off = |told: &[f64; 3]| {
            (told.iter().zip(listed).map(|(a, b)| (a - b).abs())).fold(0.0, f64::max)
        };
        assert!(
            told.iter().map(off).fold(f64::INFINITY, f64::min) < 2e-3,
            "{told:?}"
        );
    }

    #[test]
    fn what_never_ends_is_refused() {
        assert!(Decay::new(&[(1.0, 0.0)]).is_none());
        assert!(Decay::new(&[]).is_none());
        assert!(Decay::new(&[(-1.0, 3.0), (2.0, 3.0)]).is_none());
        assert!(Decay::of_time(Seconds(f64::NAN)).is_none());
    }
}
