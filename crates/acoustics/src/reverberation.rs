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
        } else if needed <= SABINE_MEAN_ALPHA_MAX * area {
            Some(SquareMetres(needed.max(0.0)))
        } else {
            let alpha = 1.0 - (-(needed - self.objects.0).max(0.0) / area).exp();
            // Where Eyring takes over from Sabine it gives a shorter time: its
            // answer must not fall back into Sabine's range.
            let least = SABINE_MEAN_ALPHA_MAX * area * (1.0 + 1e-9);
            let absorption = (alpha * area + self.objects.0).max(least);
            (alpha <= LOG_ALPHA_MAX).then_some(SquareMetres(absorption))
        }
    }

    fn method(&self) -> Method {
        if self.mean_alpha() <= SABINE_MEAN_ALPHA_MAX {
            Method::Sabine
        } else {
            Method::NorrisEyring
        }
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
    let mut surfaces = Vec::new();
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
