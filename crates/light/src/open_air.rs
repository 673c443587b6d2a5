//! How much light falls on a panel outdoors?
//!
//! E = Σ_k L_k ω_k (n · d_k) over the free parts of the sky + half of it by the ground's tilt
//! factor, π L_g (1 − n_z)/2, + the sun's beam E_n (n · s) when nothing hides it.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | L_k, ω_k, d_k | luminance, solid angle and direction of a part of the sky | cd/m², sr, 1 |
//! | L_g | luminance of the ground | cd/m² |
//! | n | the panel's normal: to the east, to the north, up | 1 |
//! | E_n, s | the sun's light square to it, and its direction | lx, 1 |
//!
//! What hides the sky is taken as bright as the ground. Sum of lights, no source needed.

use std::f64::consts::PI;

use units::{Lux, Radians};

use crate::domain::finite;
use crate::horizon::Horizon;
use crate::outside::{Outside, SkyDome};
use crate::sun::SunPosition;

/// A panel's place under the open sky.
#[derive(Clone, Debug)]
pub struct OpenPanel<'a> {
    /// The compass direction that it faces.
    pub faces: Radians,
    /// How far it leans back to the sky; 0 is upright, negative downwards.
    pub leans_back: Radians,
    /// What hides the sky.
    pub horizon: &'a Horizon,
    /// A roof over it: no sky and no sun from higher than this; 90° without one.
    pub roof_from: Radians,
}

/// Light on a panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PanelLight {
    /// From sky and ground.
    pub shade: Lux,
    /// From the sun's beam; zero in the shade.
    pub beam: Lux,
}

impl PanelLight {
    /// Both together.
    pub fn total(self) -> Lux {
        Lux(self.shade.0 + self.beam.0)
    }
}

impl OpenPanel<'_> {
    /// The light on it at a moment. `None` when a number is not finite.
    pub fn light(&self, dome: &SkyDome, outside: &Outside) -> Option<PanelLight> {
        let normal = self.normal()?;
        let dot = |d: &[f64; 3]| d[0] * normal[0] + d[1] * normal[1] + d[2] * normal[2];
        let mut shade = PI * outside.ground_cd_m2 * (1.0 - normal[2]) / 2.0;
        for (part, direction) in dome.directions().iter().enumerate() {
            let cosine = dot(direction);
            if cosine > 0.0 {
                let [east, north, up] = *direction;
                let free = self.is_free(east.atan2(north), up.asin());
                let seen = if free {
                    outside.sky_cd_m2[part]
                } else {
                    outside.ground_cd_m2
                };
                shade += seen * dome.solid_angle(part) * cosine;
            }
        }
        let beam = outside.direct.0 * self.incidence(outside.sun)?;
        Some(PanelLight {
            shade: Lux(finite(shade)?),
            beam: Lux(finite(beam)?),
        })
    }

    /// The share of a sun's light square to it that falls on the panel; 0 in the shade.
    /// `None` when a number is not finite.
    pub fn incidence(&self, sun: SunPosition) -> Option<f64> {
        let (azimuth, height) = (finite(sun.azimuth.0)?, finite(sun.height.0)?);
        let [east, north, up] = self.normal()?;
        let cosine =
            height.cos() * (azimuth.sin() * east + azimuth.cos() * north) + height.sin() * up;
        let is_lit = cosine > 0.0 && height > 0.0 && self.is_free(azimuth, height);
        Some(if is_lit { cosine } else { 0.0 })
    }

    /// To the east, to the north, up.
    fn normal(&self) -> Option<[f64; 3]> {
        let (sin, cos) = finite(self.faces.0)?.sin_cos();
        let (up, level) = finite(self.leans_back.0)?.sin_cos();
        Some([sin * level, cos * level, up])
    }

    fn is_free(&self, azimuth: f64, height: f64) -> bool {
        height > self.horizon.height(Radians(azimuth)).0 && height < self.roof_from.0
    }
}

#[cfg(test)]
mod tests {
    use units::Metres;

    use super::*;
    use crate::outside::Weather;
    use crate::sky_luminance::UNIFORM;
    use crate::sun::Site;

    fn degrees(d: f64) -> Radians {
        Radians::from_degrees(d)
    }

    fn panel(faces: f64, leans_back: f64, horizon: &Horizon) -> OpenPanel<'_> {
        OpenPanel {
            faces: degrees(faces),
            leans_back: degrees(leans_back),
            horizon,
            roof_from: degrees(90.0),
        }
    }

    fn sun(height: f64, azimuth: f64) -> SunPosition {
        SunPosition {
            height: degrees(height),
            azimuth: degrees(azimuth),
        }
    }

    #[test]
    fn upright_panels_get_their_published_share_of_the_sky() {
        let (dome, open) = (SkyDome::new(), Horizon::default());
        let mut outside = Outside::of_sky(&dome, UNIFORM, sun(30.0, 180.0), Lux(10_000.0));
        let upright = |outside: &Outside| {
            let light = panel(77.0, 0.0, &open).light(&dome, outside).unwrap();
            light.total().0 / outside.diffuse.0
        };
        assert!(
            (upright(&outside) - 0.5).abs() < 0.003,
            "{}",
            upright(&outside)
        );
        // Moon and Spencer's overcast sky, (1 + 2 sin h)/3: 0.396 (handbook, from memory); on
        // level ground it gives 7π/9 of the zenith's luminance.
        outside.sky_cd_m2 = dome
            .directions()
            .iter()
            .map(|d| (1.0 + 2.0 * d[2]) / 3.0)
            .collect();
        outside.diffuse = Lux(7.0 * PI / 9.0);
        assert!(
            (upright(&outside) - 0.396).abs() < 0.002,
            "{}",
            upright(&outside)
        );
    }

    #[test]
    fn a_panel_on_its_back_gets_what_the_ground_gets() {
        let (dome, open) = (SkyDome::new(), Horizon::default());
        let site = Site::new(degrees(40.0), degrees(0.0), Metres(0.0)).unwrap();
        let outside = Outside::new(&dome, site, sun(50.0, 170.0), Weather::Clear, 0.2).unwrap();
        let light = panel(0.0, 90.0, &open).light(&dome, &outside).unwrap();
        assert!((light.shade.0 / outside.diffuse.0 - 1.0).abs() < 0.01);
        assert!((light.beam.0 / (outside.direct.0 * degrees(50.0).0.sin()) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn sun_behind_the_panel_a_neighbour_or_a_roof_leaves_shade() {
        let (dome, open) = (SkyDome::new(), Horizon::default());
        let site = Site::new(degrees(40.0), degrees(0.0), Metres(0.0)).unwrap();
        let outside = Outside::new(&dome, site, sun(20.0, 180.0), Weather::Clear, 0.2).unwrap();
        let beam = |panel: OpenPanel<'_>| panel.light(&dome, &outside).unwrap().beam.0;
        assert!(beam(panel(180.0, 0.0, &open)) > 40_000.0);
        assert_eq!(beam(panel(0.0, 0.0, &open)), 0.0);
        let wood = Horizon::new(&[(degrees(180.0), degrees(25.0))]).unwrap();
        assert_eq!(beam(panel(180.0, 0.0, &wood)), 0.0);
        let porch = OpenPanel {
            roof_from: degrees(15.0),
            ..panel(180.0, 0.0, &open)
        };
        assert_eq!(beam(porch), 0.0);
    }

    #[test]
    fn impossible_panels_are_refused() {
        let (dome, open) = (SkyDome::new(), Horizon::default());
        let outside = Outside::of_sky(&dome, UNIFORM, sun(30.0, 180.0), Lux(1.0));
        assert!(panel(f64::NAN, 0.0, &open).light(&dome, &outside).is_none());
    }
}
