//! How long does a room ring on, and how much absorption would it take to stop it?
//!
//! | formula | law | valid for |
//! | --- | --- | --- |
//! | Sabine 1900 | `T = K V / (A + 4 m V)` | ᾱ ≤ 0.2, diffuse field |
//! | Norris–Eyring 1930 | `T = K V / (−S ln(1 − ᾱ) + 4 m V)` | even absorption |
//! | Millington–Sette | `T = K V / (−Σ S_i ln(1 − α_i) + 4 m V)` | no very absorbent part |
//! | Fitzroy 1959 | `T = K V / S² · Σ_a S_a / −ln(1 − ᾱ_a)`, m = 0 | shoebox; reads high with one live pair |
//! | Arau-Puchades 1988 | `T = K V / (S Π_a (−ln(1 − ᾱ_a))^(S_a/S) + 4 m V)` | shoebox, uneven absorption |
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | T | time of a 60 dB decay | s |
//! | K | 24 ln 10 / c (0.161 at 343 m/s) | s/m |
//! | c | speed of sound | m/s |
//! | V, S | volume, area of all surfaces | m³, m² |
//! | S_i, α_i | area and absorption of a surface | m², 1 |
//! | S_a, ᾱ_a | area and mean absorption of a pair of opposite walls | m², 1 |
//! | A, ᾱ | Σ S_i α_i, A/S | m², 1 |
//! | m | energy attenuation of the air | 1/m |
//!
//! All of them assume a diffuse field, which a small room has only above its
//! Schroeder frequency. Tables of α alone carry ±20 % on T. Absorption above 1 (edge
//! effect) is taken as 1 in Sabine's law and as 0.99 under a logarithm.
//!
//! The choice that [`BandRoom::reverberation_time`] makes and reports: Sabine for
//! ᾱ ≤ 0.2, Norris–Eyring above. (Sources: the textbook forms; each is checked
//! against printed or separately computed values, see `reverberation/references.rs`.)

use std::f64::consts::{LN_10, PI};

use units::{CubicMetres, Hertz, Metres, MetresPerSecond, Seconds, SquareMetres};

use crate::air::{Air, Attenuation, SPEED_AT_20_C};
use crate::octave::{OctaveBand, Octaves};

mod references;
pub(crate) use references::REFERENCES;

/// Mean absorption up to which Sabine's law is chosen.
pub const SABINE_MEAN_ALPHA_MAX: f64 = 0.2;

/// The largest absorption that a logarithm is given.
const LOG_ALPHA_MAX: f64 = 0.99;

/// A part of the room's surface in one band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Its area.
    pub area: SquareMetres,
    /// Its random-incidence absorption coefficient, 0 or more.
    pub alpha: f64,
}

/// A law for the reverberation time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// Sabine.
    Sabine,
    /// Norris–Eyring.
    NorrisEyring,
    /// Millington–Sette.
    MillingtonSette,
    /// Fitzroy.
    Fitzroy,
    /// Arau-Puchades.
    ArauPuchades,
}

impl Method {
    /// The law's name as textbooks print it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Sabine => "Sabine",
            Self::NorrisEyring => "Norris–Eyring",
            Self::MillingtonSette => "Millington–Sette",
            Self::Fitzroy => "Fitzroy",
            Self::ArauPuchades => "Arau-Puchades",
        }
    }
}

/// A reverberation time and the law that gave it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reverberation {
    /// Infinite where nothing absorbs.
    pub time: Seconds,
    /// The law.
    pub method: Method,
}

/// Why a room has no reverberation time.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ReverberationError {
    /// Zero, negative or not a number.
    #[error("a room volume of {0} m³ is not a volume")]
    Volume(f64),
    /// A surface with a negative area, or none with a positive one.
    #[error("the room's surfaces need positive areas")]
    Area,
    /// Negative or not a number.
    #[error("an absorption of {0} is less than nothing")]
    Absorption(f64),
}

/// A room in one frequency band.
#[derive(Clone, Debug, PartialEq)]
pub struct BandRoom {
    volume: CubicMetres,
    surfaces: Vec<Surface>,
    objects: SquareMetres,
    air: Attenuation,
    speed: MetresPerSecond,
    /// The law that a measurement was worked out by; else the mean absorption decides.
    law: Option<Law>,
}

/// Which of the two laws that a room goes by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Law {
    /// Sabine's, up to a mean absorption of 0.2.
    Sabine,
    /// Norris and Eyring's.
    NorrisEyring,
}

impl Law {
    /// Among all laws.
    pub fn method(self) -> Method {
        match self {
            Self::Sabine => Method::Sabine,
            Self::NorrisEyring => Method::NorrisEyring,
        }
    }
}

impl BandRoom {
    /// A room of surfaces, without furniture or air, at 343.2 m/s.
    pub fn new(volume: CubicMetres, surfaces: Vec<Surface>) -> Result<Self, ReverberationError> {
        if !(volume.0 > 0.0 && volume.0.is_finite()) {
            return Err(ReverberationError::Volume(volume.0));
        }
        check(&surfaces)?;
        let air = Attenuation::default();
        Ok(Self {
            volume,
            surfaces,
            objects: SquareMetres(0.0),
            air,
            speed: SPEED_AT_20_C,
            law: None,
        })
    }

    /// The same room filled with air.
    pub fn with_air(self, attenuation: Attenuation, speed: MetresPerSecond) -> Self {
        Self {
            air: attenuation,
            speed,
            ..self
        }
    }

    /// The same room with people and furniture of this absorption area, which is
    /// added to A and has no surface of its own.
    pub fn with_objects(self, absorption: SquareMetres) -> Result<Self, ReverberationError> {
        if !(absorption.0 >= 0.0 && absorption.0.is_finite()) {
            return Err(ReverberationError::Absorption(absorption.0));
        }
        Ok(Self {
            objects: absorption,
            ..self
        })
    }

    /// The same surfaces around another volume.
    pub fn with_volume(&self, volume: CubicMetres) -> Self {
        Self {
            volume,
            ..self.clone()
        }
    }

    /// The same room with another absorption area A in all, spread evenly over its surfaces, and
    /// the law by which it is reckoned on. What its objects absorb beyond that is left out.
    pub fn with_absorption(&self, absorption: SquareMetres, law: Law) -> Self {
        let objects = self.objects.0.min(absorption.0);
        let area = self.area();
        let alpha = ((absorption.0 - objects) / area.0).max(0.0);
        Self {
            surfaces: vec![Surface { area, alpha }],
            objects: SquareMetres(objects),
            law: (law == Law::NorrisEyring).then_some(law),
            ..self.clone()
        }
    }

    /// The absorption area A (surfaces and objects, without air) of a room in which this time was
    /// measured. By Sabine's law that is the equivalent sound absorption area of ISO 354,
    /// `A = 55.3 V/(c T) − 4 m V` (from memory).
    pub fn absorption_measured(&self, law: Law, time: Seconds) -> SquareMetres {
        let needed = decay_constant(self.speed) * self.volume.0 / time.0 - self.air_absorption();
        let surfaces = needed - self.objects.0;
        SquareMetres(match law {
            Law::NorrisEyring if surfaces > 0.0 => {
                let area = self.area().0;
                self.objects.0 + area * -(-surfaces / area).exp_m1()
            }
            _ => needed.max(0.0),
        })
    }

    /// The time with an absorption area A in its surfaces and objects.
    pub fn time_with(&self, law: Law, absorption: SquareMetres) -> Seconds {
        let surfaces = absorption.0 - self.objects.0;
        match law {
            Law::NorrisEyring if surfaces > 0.0 => {
                let area = self.area().0;
                self.time(area * exponent(surfaces / area) + self.objects.0)
            }
            _ => self.time(absorption.0),
        }
    }

    /// The law that a measured time is worked out by: Sabine's where it makes of it a mean
    /// absorption of 0.2 or less.
    pub fn law_of_measured(&self, time: Seconds) -> Law {
        let absorption = self.absorption_measured(Law::Sabine, time);
        match absorption.0 <= SABINE_MEAN_ALPHA_MAX * self.area().0 {
            true => Law::Sabine,
            false => Law::NorrisEyring,
        }
    }

    /// S, the area of all surfaces.
    pub fn area(&self) -> SquareMetres {
        SquareMetres(self.surfaces.iter().map(|surface| surface.area.0).sum())
    }

    /// A, the absorption area of surfaces and objects, without air.
    pub fn absorption(&self) -> SquareMetres {
        self.objects + self.surface_absorption(1.0)
    }

    /// ᾱ = A/S.
    pub fn mean_alpha(&self) -> f64 {
        self.absorption().0 / self.area().0
    }

    /// The reverberation time by Sabine's law.
    pub fn sabine(&self) -> Seconds {
        self.time(self.absorption().0)
    }

    /// The reverberation time by Norris and Eyring's law; objects add their
    /// absorption area outside the logarithm.
    pub fn eyring(&self) -> Seconds {
        let area = self.area().0;
        let alpha = self.surface_absorption(LOG_ALPHA_MAX).0 / area;
        self.time(area * exponent(alpha) + self.objects.0)
    }

    /// The reverberation time by Millington and Sette's law.
    pub fn millington(&self) -> Seconds {
        let sum: f64 = self
            .surfaces
            .iter()
            .map(|s| s.area.0 * exponent(s.alpha))
            .sum();
        self.time(sum + self.objects.0)
    }

    /// The reverberation time by Arau-Puchades' law, for a shoebox whose pairs of walls these
    /// are; objects add their absorption area outside the logarithm.
    pub fn arau(&self, pairs: &WallPairs) -> Seconds {
        self.time(pairs.arau_absorption() + self.objects.0)
    }

    /// What absorbs in it, air and all, as the law for this room counts it: the absorption
    /// area with which Sabine's law gives its reverberation time.
    pub fn equivalent_absorption(&self) -> SquareMetres {
        let time = self.reverberation_time().time;
        SquareMetres(decay_constant(self.speed) * self.volume.0 / time.0)
    }

    /// V.
    pub fn volume(&self) -> CubicMetres {
        self.volume
    }

    /// The speed of sound in it.
    pub fn speed_of_sound(&self) -> MetresPerSecond {
        self.speed
    }

    /// The reverberation time by the law for this room, and which law that is.
    pub fn reverberation_time(&self) -> Reverberation {
        let method = self.method();
        let time = if method == Method::Sabine {
            self.sabine()
        } else {
            self.eyring()
        };
        Reverberation { time, method }
    }

    /// The least absorption area A (surfaces and objects) with which the law for
    /// the room gives no more than `time`. Zero where the air alone is enough;
    /// `None` where it would take surfaces of more than ᾱ = 0.99.
    ///
    /// What the objects do not absorb is taken as spread over the surfaces.
    pub fn absorption_for(&self, time: Seconds) -> Option<SquareMetres> {
        let needed = decay_constant(self.speed) * self.volume.0 / time.0 - self.air_absorption();
        let area = self.area().0;
        if needed.is_nan() {
            None
        } else if self.law.is_none() && needed <= SABINE_MEAN_ALPHA_MAX * area {
            Some(SquareMetres(needed.max(0.0)))
        } else {
            let alpha = 1.0 - (-(needed - self.objects.0).max(0.0) / area).exp();
            // Where Eyring takes over from Sabine it gives a shorter time: its
            // answer must not fall back into Sabine's range.
            let least = match self.law {
                None => SABINE_MEAN_ALPHA_MAX * area * (1.0 + 1e-9),
                Some(_) => 0.0,
            };
            let absorption = (alpha * area + self.objects.0).max(least);
            (alpha <= LOG_ALPHA_MAX).then_some(SquareMetres(absorption))
        }
    }

    fn method(&self) -> Method {
        self.law().method()
    }

    /// The law for this room.
    pub fn law(&self) -> Law {
        let by_mean = || match self.mean_alpha() <= SABINE_MEAN_ALPHA_MAX {
            true => Law::Sabine,
            false => Law::NorrisEyring,
        };
        self.law.unwrap_or_else(by_mean)
    }

    fn surface_absorption(&self, alpha_max: f64) -> SquareMetres {
        SquareMetres(
            self.surfaces
                .iter()
                .map(|s| s.area.0 * s.alpha.min(alpha_max))
                .sum(),
        )
    }

    fn air_absorption(&self) -> f64 {
        4.0 * self.air.energy_per_m() * self.volume.0
    }

    fn time(&self, absorption: f64) -> Seconds {
        Seconds(decay_constant(self.speed) * self.volume.0 / (absorption + self.air_absorption()))
    }
}

/// The three pairs of opposite walls of a shoebox room; each pair's area is that
/// of both walls, its absorption their mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallPairs([Surface; 3]);

impl WallPairs {
    /// From three pairs.
    pub fn new(pairs: [Surface; 3]) -> Result<Self, ReverberationError> {
        check(&pairs)?;
        // A pair without area leaves no room between it.
        if pairs.iter().any(|pair| pair.area.0 <= 0.0) {
            return Err(ReverberationError::Area);
        }
        Ok(Self(pairs))
    }

    /// The reverberation time by Fitzroy's law; the law has no air in it.
    pub fn fitzroy(&self, volume: CubicMetres, speed: MetresPerSecond) -> Seconds {
        let area = self.area();
        let sum: f64 = self
            .0
            .iter()
            .map(|pair| pair.area.0 / exponent(pair.alpha))
            .sum();
        Seconds(decay_constant(speed) * volume.0 / area.powi(2) * sum)
    }

    /// The reverberation time by Arau-Puchades' law.
    pub fn arau(&self, volume: CubicMetres, air: Attenuation, speed: MetresPerSecond) -> Seconds {
        let air = 4.0 * air.energy_per_m() * volume.0;
        Seconds(decay_constant(speed) * volume.0 / (self.arau_absorption() + air))
    }

    /// How uneven it is: the highest mean absorption of a pair over the lowest.
    pub fn unevenness(&self) -> f64 {
        let alphas = self.0.map(|pair| pair.alpha);
        let highest = alphas.into_iter().fold(0.0, f64::max);
        highest / alphas.into_iter().fold(f64::INFINITY, f64::min)
    }

    fn arau_absorption(&self) -> f64 {
        let area = self.area();
        let product: f64 = (self.0.iter())
            .map(|pair| exponent(pair.alpha).powf(pair.area.0 / area))
            .product();
        area * product
    }

    fn area(&self) -> f64 {
        self.0.iter().map(|pair| pair.area.0).sum()
    }
}

/// Every law's answer for one room; their spread is an honest uncertainty. The
/// laws for shoeboxes answer only where `pairs` are given.
pub fn every_answer(room: &BandRoom, pairs: Option<&WallPairs>) -> Vec<Reverberation> {
    let mut answers = vec![
        Reverberation {
            time: room.sabine(),
            method: Method::Sabine,
        },
        Reverberation {
            time: room.eyring(),
            method: Method::NorrisEyring,
        },
        Reverberation {
            time: room.millington(),
            method: Method::MillingtonSette,
        },
    ];
    if let Some(pairs) = pairs {
        let fitzroy = pairs.fitzroy(room.volume, room.speed);
        let arau = pairs.arau(room.volume, room.air, room.speed);
        answers.push(Reverberation {
            time: fitzroy,
            method: Method::Fitzroy,
        });
        answers.push(Reverberation {
            time: arau,
            method: Method::ArauPuchades,
        });
    }
    answers
}

/// What absorbs in a room, in every octave band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part {
    /// A finish: area and absorption coefficients.
    Surface(SquareMetres, Octaves<f64>),
    /// A number of people or pieces, and the absorption area of each, m².
    Objects(f64, Octaves<f64>),
}

/// The room band by band, 125 Hz to 8 kHz; `None` in a band where the absorption
/// of some part is not known.
pub fn rooms_by_octave(
    volume: CubicMetres,
    parts: &[Part],
    air: &Air,
) -> Result<Octaves<BandRoom>, ReverberationError> {
    let mut rooms = Octaves::default();
    for band in OctaveBand::ALL {
        rooms[band.index()] = room_in_band(volume, parts, air, band)?;
    }
    Ok(rooms)
}

fn room_in_band(
    volume: CubicMetres,
    parts: &[Part],
    air: &Air,
    band: OctaveBand,
) -> Result<Option<BandRoom>, ReverberationError> {
    let mut surfaces = Vec::with_capacity(parts.len());
    let mut objects = 0.0;
    for part in parts {
        let (Part::Surface(_, absorption) | Part::Objects(_, absorption)) = part;
        let Some(absorption) = absorption[band.index()] else {
            return Ok(None);
        };
        match part {
            Part::Surface(area, _) => surfaces.push(Surface {
                area: *area,
                alpha: absorption,
            }),
            Part::Objects(count, _) => objects += count * absorption,
        }
    }
    let room = BandRoom::new(volume, surfaces)?
        .with_objects(SquareMetres(objects))?
        .with_air(air.attenuation(band.exact()), air.speed_of_sound());
    Ok(Some(room))
}

/// The area of a finish to hang over another so that the absorption area grows by
/// `wanted`; `None` if the finish absorbs no more than what it covers.
pub fn covering_area(wanted: SquareMetres, alpha: f64, alpha_covered: f64) -> Option<SquareMetres> {
    let gain = alpha.min(1.0) - alpha_covered;
    (gain > 0.0).then(|| SquareMetres(wanted.0.max(0.0) / gain))
}

/// The Schroeder frequency `f_s = 2000 √(T/V)`: modes stand apart below it, a
/// diffuse field may be assumed above it.
pub fn schroeder_frequency(time: Seconds, volume: CubicMetres) -> Hertz {
    Hertz(2000.0 * (time.0 / volume.0).sqrt())
}

/// The mean free path `4V/S` between reflections in a convex room.
pub fn mean_free_path(volume: CubicMetres, area: SquareMetres) -> Metres {
    Metres(4.0 * volume.0 / area.0)
}

/// The critical distance `r_c = √(Q A / 16π)`, where the direct and the diffuse
/// sound are equally strong. Q is the directivity factor (1 in all directions).
pub fn critical_distance(directivity: f64, absorption: SquareMetres) -> Metres {
    Metres((directivity * absorption.0 / (16.0 * PI)).sqrt())
}

/// The 95 % interval of a reverberation time, s, that was read off the first 20 dB of decays in an
/// octave band, which is what chance alone leaves open of it:
/// `2 σ(T20)`, `σ(T20) = 0.88 T20 √((1 + 1.90/n)/(N B T20))`, B = 0.71 f (ISO 3382-2:2008, from memory).
///
/// N: independent places of source and microphone; n: decays at each, 1 of noise that is cut off. An
/// impulse or sweep, integrated backwards, counts as 10 of them.
pub fn measured_interval(time: Seconds, centre: Hertz, places: u32, decays: u32) -> Seconds {
    let bandwidth = 0.71 * centre.0;
    let (places, decays) = (f64::from(places.max(1)), f64::from(decays.max(1)));
    let share = 0.88 * ((1.0 + 1.9 / decays) / (places * bandwidth * time.0)).sqrt();
    Seconds(2.0 * share * time.0)
}

/// A by Sabine's law from a measured reverberation time, air included.
pub fn absorption_from_time(
    time: Seconds,
    volume: CubicMetres,
    speed: MetresPerSecond,
) -> SquareMetres {
    SquareMetres(decay_constant(speed) * volume.0 / time.0)
}

fn check(surfaces: &[Surface]) -> Result<(), ReverberationError> {
    let bad_area = |s: &Surface| !(s.area.0 >= 0.0 && s.area.0.is_finite());
    if surfaces.iter().any(bad_area) || surfaces.iter().all(|s| s.area.0 == 0.0) {
        return Err(ReverberationError::Area);
    }
    match surfaces
        .iter()
        .find(|s| !(s.alpha >= 0.0 && s.alpha.is_finite()))
    {
        Some(bad) => Err(ReverberationError::Absorption(bad.alpha)),
        None => Ok(()),
    }
}

/// K = 24 ln 10 / c, s/m.
fn decay_constant(speed: MetresPerSecond) -> f64 {
    24.0 * LN_10 / speed.0
}

/// `−ln(1 − α)`, the absorption exponent.
fn exponent(alpha: f64) -> f64 {
    -(-alpha.min(LOG_ALPHA_MAX)).ln_1p()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(parts: &[(f64, f64)]) -> BandRoom {
        let surface = |&(area, alpha): &(f64, f64)| Surface {
            area: SquareMetres(area),
            alpha,
        };
        BandRoom::new(CubicMetres(70.2), parts.iter().map(surface).collect()).unwrap()
    }

    #[test]
    fn the_law_changes_just_above_a_mean_of_one_fifth() {
        let method = |alpha| room(&[(100.0, alpha)]).reverberation_time().method;
        assert_eq!(method(0.2), Method::Sabine);
        assert_eq!(method(0.2001), Method::NorrisEyring);
    }

    #[test]
    fn more_absorber_never_rings_longer() {
        let mut last = f64::INFINITY;
        for step in 0..200 {
            let room = room(&[(60.0, 0.05), (48.6, f64::from(step) / 100.0)]);
            for time in [room.sabine(), room.eyring(), room.millington()] {
                assert!(time.0 > 0.0 && time.0.is_finite());
            }
            let time = room.reverberation_time().time.0;
            assert!(time <= last, "step {step}");
            last = time;
        }
    }

    #[test]
    fn absorption_for_a_time_gives_that_time() {
        for objects in [0.0, 4.0] {
            let with = |alpha| {
                room(&[(108.6, alpha)])
                    .with_objects(SquareMetres(objects))
                    .unwrap()
            };
            // 0.49 s lies in the step between the two laws: 0.52 s by Sabine's, 0.47 s by
            // Eyring's at ᾱ = 0.2.
            for target in [2.0, 1.0, 0.6, 0.49, 0.45, 0.3, 0.1] {
                let needed = with(0.05).absorption_for(Seconds(target)).unwrap();
                let treated = with((needed.0 - objects) / 108.6);
                let reached = treated.reverberation_time().time.0;
                assert!(reached <= target * (1.0 + 1e-9), "{target}: {reached}");
                // Only between the two laws is the answer shorter than asked.
                let between = (needed.0 / 108.6 - 0.2).abs() < 1e-6;
                assert!(
                    between || (reached / target - 1.0).abs() < 1e-9,
                    "{target}: {reached}"
                );
            }
        }
        assert_eq!(room(&[(108.6, 0.05)]).absorption_for(Seconds(0.01)), None);
    }

    #[test]
    fn a_measured_time_comes_back_as_it_was() {
        // V = 70.2 m³, K = 0.161017 s/m: 0.6 s is A = 18.839 m², ᾱ = 0.1735, Sabine's; 0.4 s would be
        // ᾱ = 0.2602, so that Norris and Eyring's law holds: ᾱ = 1 − exp(−0.2602) = 0.2291,
        // A = 24.88 m².
        let bare = room(&[(108.6, 0.05)]);
        for (time_s, law, absorption_m2) in [
            (0.6, Law::Sabine, 18.839),
            (0.4, Law::NorrisEyring, 24.88),
            // Between the two laws, whose times at ᾱ = 0.2 are 0.5204 s and 0.4664 s.
            (0.49, Law::NorrisEyring, 20.78),
        ] {
            let time = Seconds(time_s);
            assert_eq!(bare.law_of_measured(time), law);
            let absorption = bare.absorption_measured(law, time);
            assert!(
                (absorption.0 - absorption_m2).abs() < 0.01,
                "{absorption:?}"
            );
            let measured = bare.with_absorption(absorption, law);
            assert!((measured.reverberation_time().time.0 - time_s).abs() < 1e-12);
            assert!((bare.time_with(law, absorption).0 - time_s).abs() < 1e-12);
            let asked = measured.absorption_for(time).unwrap();
            assert!((asked.0 - absorption.0).abs() < 1e-9, "{asked:?}");
        }
    }

    #[test]
    fn a_measured_time_below_what_furniture_absorbs_is_still_kept() {
        let furnished = room(&[(108.6, 0.05)])
            .with_objects(SquareMetres(30.0))
            .unwrap();
        let absorption = furnished.absorption_measured(Law::Sabine, Seconds(0.8));
        let measured = furnished.with_absorption(absorption, Law::Sabine);
        assert!((measured.reverberation_time().time.0 - 0.8).abs() < 1e-12);
    }

    #[test]
    fn more_places_leave_less_open() {
        // 0.88 · 0.5 s · √(1.19/(355 Hz · 0.5 s)) · 2 = 0.0721 s.
        let interval =
            |places, decays| measured_interval(Seconds(0.5), Hertz(500.0), places, decays).0;
        assert!(
            (interval(1, 10) - 0.0721).abs() < 1e-4,
            "{}",
            interval(1, 10)
        );
        assert!((interval(4, 10) - interval(1, 10) / 2.0).abs() < 1e-12);
        assert!(interval(1, 1) > interval(1, 10));
    }

    #[test]
    fn air_alone_may_be_enough() {
        let dry = Attenuation::from_db_per_m(0.2);
        let room = room(&[(108.6, 0.01)]).with_air(dry, SPEED_AT_20_C);
        assert_eq!(room.absorption_for(Seconds(2.0)), Some(SquareMetres(0.0)));
    }

    #[test]
    fn edge_effect_never_passes_a_logarithm() {
        let room = room(&[(50.0, 1.24), (58.6, 0.05)]);
        assert!((room.absorption().0 - (50.0 + 58.6 * 0.05)).abs() < 1e-12);
        assert!(room.millington().0 > 0.0);
    }

    #[test]
    fn nothing_absorbed_rings_for_ever() {
        assert_eq!(room(&[(100.0, 0.0)]).sabine().0, f64::INFINITY);
    }

    #[test]
    fn impossible_rooms_are_refused() {
        let one = Surface {
            area: SquareMetres(1.0),
            alpha: 0.1,
        };
        let refused = |volume, surface| BandRoom::new(CubicMetres(volume), vec![surface]).is_err();
        assert!(refused(0.0, one));
        assert!(refused(f64::NAN, one));
        assert!(refused(
            10.0,
            Surface {
                area: SquareMetres(-1.0),
                ..one
            }
        ));
        assert!(refused(10.0, Surface { alpha: -0.1, ..one }));
        assert!(refused(
            10.0,
            Surface {
                alpha: f64::NAN,
                ..one
            }
        ));
        assert!(BandRoom::new(CubicMetres(10.0), Vec::new()).is_err());
        let flat = [
            one,
            one,
            Surface {
                area: SquareMetres(0.0),
                ..one
            },
        ];
        assert_eq!(WallPairs::new(flat), Err(ReverberationError::Area));
    }

    #[test]
    fn a_band_with_an_unknown_part_stays_unknown() {
        let known = [Some(0.1); 7];
        let mut without_8k = known;
        without_8k[6] = None;
        let parts = [
            Part::Surface(SquareMetres(60.0), known),
            Part::Surface(SquareMetres(48.6), without_8k),
            Part::Objects(2.0, [Some(0.4); 7]),
        ];
        let rooms = rooms_by_octave(CubicMetres(70.2), &parts, &Air::indoors()).unwrap();
        assert!((rooms[0].as_ref().unwrap().absorption().0 - 11.66).abs() < 1e-9);
        assert!(rooms[5].is_some() && rooms[6].is_none());
    }

    #[test]
    fn covering_counts_what_it_hides() {
        let rug = covering_area(SquareMetres(2.0), 0.5, 0.1);
        assert!((rug.unwrap().0 - 5.0).abs() < 1e-12);
        assert_eq!(covering_area(SquareMetres(2.0), 0.1, 0.1), None);
    }
}
