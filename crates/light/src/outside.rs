//! What light is there outside at a moment?
//!
//! Sun, sky by direction, and lit ground, for a cloudless and for an overcast day. A real day
//! lies mostly between the two. Irradiance becomes light by luminous efficacies from memory
//! (direct 98 lm/W, sky 130 lm/W: handbook ranges in `typicals.csv`); the dusk has the light
//! of [`global_illuminance`], under cloud in the proportion that Krochmann's rule leaves at
//! sunset.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use units::{Lux, Radians};

use crate::clear_sky::{LINKE_TURBIDITY, clear_sky, global_illuminance};
use crate::domain::{finite, fraction};
use crate::sky::overcast_illuminance;
use crate::sky_luminance::{CLEAR, OVERCAST, SkyType};
use crate::sun::{Site, SunPosition};

/// Luminous efficacy of the sun's beam and of the clear sky, lm/W.
const DIRECT_EFFICACY: f64 = 98.0;
const SKY_EFFICACY: f64 = 130.0;

/// Share of its light that usual ground gives back (common practice).
pub const GROUND_REFLECTANCE: f64 = 0.2;

/// The two ends of the weather.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weather {
    /// Not a cloud.
    Clear,
    /// Cloud all over.
    Overcast,
}

/// Sky in steps of 6° of height and 10° of azimuth.
const BANDS: usize = 15;
const SECTORS: usize = 36;
/// Number of the sky's parts.
pub const PARTS: usize = BANDS * SECTORS;

/// The sky's parts: directions, solid angles, and what each weighs on level ground.
#[derive(Clone, Debug)]
pub struct SkyDome {
    directions: Vec<[f64; 3]>,
    solid_angles: [f64; BANDS],
    on_level: [f64; BANDS],
}

impl Default for SkyDome {
    fn default() -> Self {
        Self::new()
    }
}

impl SkyDome {
    /// The same for every place.
    pub fn new() -> Self {
        let edge = |band: usize| (band as f64 / BANDS as f64 * FRAC_PI_2).sin();
        let step = TAU / SECTORS as f64;
        let mut directions = Vec::with_capacity(PARTS);
        let mut solid_angles = [0.0; BANDS];
        let mut on_level = [0.0; BANDS];
        for band in 0..BANDS {
            let (low, high) = (edge(band), edge(band + 1));
            solid_angles[band] = step * (high - low);
            on_level[band] = step * (high * high - low * low) / 2.0;
            let (up, level) = ((band as f64 + 0.5) / BANDS as f64 * FRAC_PI_2).sin_cos();
            for sector in 0..SECTORS {
                let (sin, cos) = ((sector as f64 + 0.5) * step).sin_cos();
                directions.push([sin * level, cos * level, up]);
            }
        }
        Self {
            directions,
            solid_angles,
            on_level,
        }
    }

    /// The part that a direction above the horizon (to the east, to the north, up) lies in.
    pub fn part([east, north, up]: [f64; 3]) -> usize {
        let height = up.clamp(0.0, 1.0).asin() / FRAC_PI_2;
        let azimuth = east.atan2(north).rem_euclid(TAU) / TAU;
        let band = ((height * BANDS as f64) as usize).min(BANDS - 1);
        band * SECTORS + ((azimuth * SECTORS as f64) as usize).min(SECTORS - 1)
    }

    /// The middle of each part: to the east, to the north, up.
    pub fn directions(&self) -> &[[f64; 3]] {
        &self.directions
    }

    /// Solid angle of a part, sr.
    pub fn solid_angle(&self, part: usize) -> f64 {
        self.solid_angles[part / SECTORS]
    }
}

/// Sun, sky and ground at one moment.
#[derive(Clone, Debug)]
pub struct Outside {
    /// Where the sun stands.
    pub sun: SunPosition,
    /// Which sky it is.
    pub weather: Weather,
    /// Light of the sun alone, square to it.
    pub direct: Lux,
    /// Light of the sky alone on open level ground.
    pub diffuse: Lux,
    /// Luminance of the ground, cd/m².
    pub ground_cd_m2: f64,
    /// Luminance of each part of the sky, cd/m².
    pub sky_cd_m2: Vec<f64>,
}

impl Outside {
    /// The light at a place with the sun where it is. `None` unless `ground`, the share that
    /// the ground gives back, is from 0 to 1, or when the sun is nowhere.
    pub fn new(
        dome: &SkyDome,
        site: Site,
        sun: SunPosition,
        weather: Weather,
        ground: f64,
    ) -> Option<Self> {
        let ground = fraction(ground)?;
        let h = finite(sun.height.0)?;
        let up = h.sin().max(0.0);
        let (direct, diffuse, sky) = match weather {
            Weather::Clear => {
                let clear = clear_sky(site, sun, LINKE_TURBIDITY)?;
                let direct = clear.direct.0 * DIRECT_EFFICACY;
                let dusk = global_illuminance(sun.height)?.0 - direct * up;
                (direct, (clear.diffuse.0 * SKY_EFFICACY).max(dusk), CLEAR)
            }
            Weather::Overcast => (0.0, overcast_diffuse(h)?, OVERCAST),
        };
        let ground_cd_m2 = ground * (diffuse + direct * up) / PI;
        Some(Self {
            sun,
            weather,
            direct: Lux(direct),
            diffuse: Lux(diffuse),
            ground_cd_m2,
            sky_cd_m2: luminances(dome, sky, sun, diffuse),
        })
    }

    /// As [`Outside::new`] under a sky of one type that gives `diffuse` on level ground, over
    /// ground that gives nothing back and without a sun.
    pub fn of_sky(dome: &SkyDome, sky: SkyType, sun: SunPosition, diffuse: Lux) -> Self {
        Self {
            sun,
            weather: Weather::Overcast,
            direct: Lux(0.0),
            diffuse,
            ground_cd_m2: 0.0,
            sky_cd_m2: luminances(dome, sky, sun, diffuse.0),
        }
    }
}

fn overcast_diffuse(height: f64) -> Option<f64> {
    if height >= 0.0 {
        return Some(overcast_illuminance(Radians(height))?.0);
    }
    let at_sunset = overcast_illuminance(Radians(0.0))?.0 / global_illuminance(Radians(0.0))?.0;
    Some(at_sunset * global_illuminance(Radians(height))?.0)
}

/// The type's shape, so that the whole gives `diffuse` on level ground.
fn luminances(dome: &SkyDome, sky: SkyType, sun: SunPosition, diffuse: f64) -> Vec<f64> {
    let (up, level) = sun.height.0.max(0.0).sin_cos();
    let (sin, cos) = sun.azimuth.0.sin_cos();
    let to_sun = [sin * level, cos * level, up];
    let gradation: Vec<f64> = (0..BANDS)
        .map(|band| sky.gradation(dome.directions[band * SECTORS][2]))
        .collect();
    let mut shape = Vec::with_capacity(PARTS);
    let mut on_level = 0.0;
    for (part, [east, north, up]) in dome.directions.iter().enumerate() {
        let band = part / SECTORS;
        let cos_sun = east * to_sun[0] + north * to_sun[1] + up * to_sun[2];
        let relative = sky.indicatrix(cos_sun) * gradation[band];
        on_level += relative * dome.on_level[band];
        shape.push(relative);
    }
    let scale = if on_level > 0.0 {
        diffuse / on_level
    } else {
        0.0
    };
    shape.iter_mut().for_each(|relative| *relative *= scale);
    shape
}

#[cfg(test)]
mod tests {
    use units::Metres;

    use super::*;
    use crate::sky_luminance::UNIFORM;

    fn sun(height: f64) -> SunPosition {
        SunPosition {
            height: Radians::from_degrees(height),
            azimuth: Radians::from_degrees(200.0),
        }
    }

    fn site() -> Site {
        Site::new(Radians::from_degrees(50.0), Radians(0.0), Metres(0.0)).unwrap()
    }

    #[test]
    fn every_sky_gives_its_light_on_the_ground() {
        let dome = SkyDome::new();
        for weather in [Weather::Clear, Weather::Overcast] {
            for height in [-4.0, 0.0, 5.0, 40.0, 89.0] {
                let outside = Outside::new(&dome, site(), sun(height), weather, 0.2).unwrap();
                let sum: f64 = outside
                    .sky_cd_m2
                    .iter()
                    .enumerate()
                    .map(|(part, l)| l * dome.on_level[part / SECTORS])
                    .sum();
                assert!((sum / outside.diffuse.0 - 1.0).abs() < 1e-9);
                assert!(outside.sky_cd_m2.iter().all(|l| *l > 0.0));
            }
        }
    }

    #[test]
    fn a_uniform_sky_has_e_over_pi() {
        let dome = SkyDome::new();
        let whole: f64 = (0..PARTS).map(|part| dome.solid_angle(part)).sum();
        assert!((whole - TAU).abs() < 1e-9);
        let outside = Outside::of_sky(&dome, UNIFORM, sun(30.0), Lux(1000.0 * PI));
        assert!(outside.sky_cd_m2.iter().all(|l| (l - 1000.0).abs() < 1e-6));
    }

    #[test]
    fn parts_and_their_middles_agree() {
        let dome = SkyDome::new();
        for (part, direction) in dome.directions().iter().enumerate() {
            assert_eq!(SkyDome::part(*direction), part);
        }
        assert_eq!(SkyDome::part([0.0, 0.0, 1.0]) / SECTORS, BANDS - 1);
    }

    #[test]
    fn light_goes_out_with_the_sun_without_a_step() {
        let dome = SkyDome::new();
        for weather in [Weather::Clear, Weather::Overcast] {
            let level = |tenths: i32| {
                let outside =
                    Outside::new(&dome, site(), sun(f64::from(tenths) / 10.0), weather, 0.2)
                        .unwrap();
                outside.diffuse.0
                    + outside.direct.0 * (f64::from(tenths) / 10.0).to_radians().sin().max(0.0)
            };
            for tenths in -150..300 {
                let (low, high) = (level(tenths), level(tenths + 1));
                assert!(
                    high > low * 0.95 && high < low * 1.3,
                    "{weather:?} {tenths} {low} {high}"
                );
            }
        }
    }

    #[test]
    fn impossible_moments_are_refused() {
        let dome = SkyDome::new();
        assert!(Outside::new(&dome, site(), sun(f64::NAN), Weather::Clear, 0.2).is_none());
        assert!(Outside::new(&dome, site(), sun(10.0), Weather::Clear, 1.2).is_none());
    }
}
