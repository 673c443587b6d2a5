//! Which outside values must the light engine reproduce?

use units::{
    CandelasPerSquareMetre, Lumens, Lux, Metres, Radians, Reference, Seconds, SquareMetres,
};

use crate::age::{AgeModel, LightSource};
use crate::contrast::{DarkRoomPicture, ambient_luminance};
use crate::daylight::DaylitRoom;
use crate::gain::{GainCurve, GainShape};
use crate::glare::{Glare, Panel, PanelPlace, Sight};
use crate::glazing::surface_reflectance;
use crate::luminance::{FluxFactors, Projection, foot_lamberts, from_foot_lamberts};
use crate::sky::{LumensPerWatt, WattsPerSquareMetre, haurwitz_clear_sky, overcast_illuminance};
use crate::sky_luminance::OVERCAST;
use crate::sun::{Air, Instant, Site, SunPosition};
use crate::view_factor::{facing_rectangles, standing_rectangles};
use crate::window::SunOnWindow;
use crate::zoom::FNumbers;

/// Every outside value that this crate is checked against.
pub fn references() -> Vec<Reference> {
    [
        luminance_references(),
        contrast_references(),
        source_references(),
        daylight_references(),
        window_references(),
        sun_and_room_references(),
    ]
    .concat()
}

/// A refused case becomes NaN, which no tolerance admits.
fn or_nan(value: Option<f64>) -> f64 {
    value.unwrap_or(f64::NAN)
}

/// A 16:9 picture of 100 in: A = d² a/(1 + a²).
fn on_100_inches(gain: f64, factors: FluxFactors) -> Projection {
    let (d, a) = (Metres::from_inches(100.0).0, 16.0 / 9.0);
    Projection {
        factors,
        gain,
        area: SquareMetres(d * d * a / (1.0 + a * a)),
    }
}

fn sun_and_room_references() -> Vec<Reference> {
    vec![
        Reference {
            cite: "NREL/TP-560-34302, table A5.1: 2003-10-17 12:30:30 at UTC − 7 h, zenith angle of the sun, as in tests/test_spa.py of pvlib (confirmed)",
            computed: || or_nan(worked_example().map(|sun| 90.0 - sun.height.degrees())),
            expected: 50.111_62,
            tolerance: 5e-6,
            unit: "°",
        },
        Reference {
            cite: "the same, azimuth from north (confirmed)",
            computed: || or_nan(worked_example().map(|sun| sun.azimuth.degrees())),
            expected: 194.340_24,
            tolerance: 5e-6,
            unit: "°",
        },
        Reference {
            cite: "view factor of a cube's opposite faces, closed form of handbooks (from memory)",
            computed: || or_nan(facing_rectangles(Metres(1.0), Metres(1.0), Metres(1.0))),
            expected: 0.1998,
            tolerance: 5e-5,
            unit: "1",
        },
        Reference {
            cite: "view factor of a cube's adjacent faces, closed form of handbooks (from memory)",
            computed: || or_nan(standing_rectangles(Metres(1.0), Metres(1.0), Metres(1.0))),
            expected: 0.2000,
            tolerance: 5e-5,
            unit: "1",
        },
        Reference {
            cite: "overcast sky, luminance of the horizon over that of the zenith CIE type 1 by Darula and Kittler 2002: 1/(1 + 4 e^−0.7) (computed)",
            computed: || OVERCAST.relative(0.0, 0.0, 0.5),
            expected: 0.334_86,
            tolerance: 5e-6,
            unit: "1",
        },
        Reference {
            cite: "reflectance of one surface of glass at 60°, index 1.526, Duffie and Beckman, example 5.1.1 (from memory)",
            computed: || or_nan(surface_reflectance(Radians::from_degrees(60.0))),
            expected: 0.093,
            tolerance: 5e-4,
            unit: "1",
        },
    ]
}

/// 2003-10-17 19:30:30 UTC at 39.742476° N 105.1786° W.
fn worked_example() -> Option<SunPosition> {
    let degrees = Radians::from_degrees;
    let site = Site::new(degrees(39.742_476), degrees(-105.1786), Metres(1830.14))?;
    let air = Air {
        pressure_hpa: 820.0,
        temperature_c: 11.0,
    };
    site.sun_through(Instant(1_066_419_030.0), air, Some(67.0))
}

fn luminance_references() -> Vec<Reference> {
    vec![
        Reference {
            cite: "2000 lm on a 16:9 picture of 100 in, gain 1.0, L = Φ g/(π A) (computed)",
            computed: || {
                let projection = on_100_inches(1.0, FluxFactors::default());
                or_nan(projection.luminance(Lumens(2000.0)).map(|l| l.0))
            },
            expected: 230.93,
            tolerance: 0.1,
            unit: "cd/m²",
        },
        Reference {
            cite: "the same with gain 0.8, half the lamp and a zoom loss of 25 %, \
                   L = Φ k g/(π A) (computed)",
            computed: || {
                let factors = FluxFactors {
                    age: 0.5,
                    zoom: 0.75,
                    ..FluxFactors::default()
                };
                let projection = on_100_inches(0.8, factors);
                or_nan(projection.luminance(Lumens(2000.0)).map(|l| l.0))
            },
            expected: 69.279,
            tolerance: 0.05,
            unit: "cd/m²",
        },
        Reference {
            cite: "1 fL, 1/π cd/ft² (computed)",
            computed: || from_foot_lamberts(1.0).0,
            expected: 3.42626,
            tolerance: 0.00001,
            unit: "cd/m²",
        },
        Reference {
            cite: "16 fL, 1/π cd/ft² each (computed)",
            computed: || from_foot_lamberts(16.0).0,
            expected: 54.8201,
            tolerance: 0.01,
            unit: "cd/m²",
        },
        Reference {
            cite: "14 fL, 1/π cd/ft² each (computed)",
            computed: || from_foot_lamberts(14.0).0,
            expected: 47.9676,
            tolerance: 0.01,
            unit: "cd/m²",
        },
        Reference {
            cite: "48 cd/m² in fL, 1/π cd/ft² each (computed)",
            computed: || foot_lamberts(CandelasPerSquareMetre(48.0)),
            expected: 14.0094,
            tolerance: 0.001,
            unit: "fL",
        },
        Reference {
            cite: "48 cd/m² on a 16:9 picture of 100 in, gain 1.0, Φ = L π A/g (computed)",
            computed: || {
                let projection = on_100_inches(1.0, FluxFactors::default());
                let flux = projection.flux_needed(CandelasPerSquareMetre(48.0));
                or_nan(flux.map(|flux| flux.0))
            },
            expected: 415.711,
            tolerance: 0.5,
            unit: "lm",
        },
    ]
}

fn contrast_references() -> Vec<Reference> {
    vec![
        Reference {
            cite: "10 lx on a diffuse screen of gain 1.0, L = E g/π (computed)",
            computed: || or_nan(ambient_luminance(Lux(10.0), 1.0).map(|l| l.0)),
            expected: 3.1831,
            tolerance: 0.001,
            unit: "cd/m²",
        },
        Reference {
            cite: "white 200 cd/m², native 2000:1, ambient 3.1831 cd/m², \
                   C = (L_w + L_a)/(L_b + L_a) (computed)",
            computed: || {
                let picture = DarkRoomPicture {
                    white: CandelasPerSquareMetre(200.0),
                    native_contrast: 2000.0,
                };
                or_nan(picture.system_contrast(CandelasPerSquareMetre(3.1831)))
            },
            expected: 61.8876,
            tolerance: 0.05,
            unit: "1",
        },
        Reference {
            cite: "white 120 cd/m², native 5000:1, gain 1.0, largest ambient for 50:1, \
                   E = π(L_w − C L_b)/((C − 1) g) (computed)",
            computed: || {
                let picture = DarkRoomPicture {
                    white: CandelasPerSquareMetre(120.0),
                    native_contrast: 5000.0,
                };
                or_nan(picture.ambient_limit(50.0, 1.0).map(|e| e.0))
            },
            expected: 7.61676,
            tolerance: 0.05,
            unit: "lx",
        },
    ]
}

#[expect(
    clippy::approx_constant,
    reason = "0.707107 is the outside value as printed; 1/√2 would be our own"
)]
fn source_references() -> Vec<Reference> {
    fn gain_at_20_degrees(shape: GainShape) -> f64 {
        let curve = GainCurve::new(1.0, Radians::from_degrees(30.0), shape);
        or_nan(curve.and_then(|curve| curve.at(Radians::from_degrees(20.0))))
    }
    vec![
        Reference {
            cite: "half-gain angle 30°, part of the peak at 20°, cosine power, \
                   n = ln ½/ln cos α (computed)",
            computed: || gain_at_20_degrees(GainShape::CosinePower),
            expected: 0.741008,
            tolerance: 0.001,
            unit: "1",
        },
        Reference {
            cite: "half-gain angle 30°, part of the peak at 20°, gaussian, 2^(−(θ/α)²) (computed)",
            computed: || gain_at_20_degrees(GainShape::Gaussian),
            expected: 0.734867,
            tolerance: 0.001,
            unit: "1",
        },
        Reference {
            cite: "light source with half its light at 3000 h, left at 1500 h, \
                   exponential, 2^(−t/T) (computed)",
            computed: || {
                let source = LightSource {
                    life: Seconds(3000.0 * 3600.0),
                    model: AgeModel::Exponential,
                };
                or_nan(source.left(Seconds(1500.0 * 3600.0)))
            },
            expected: 0.707107,
            tolerance: 0.0005,
            unit: "1",
        },
        Reference {
            cite: "zoom from f/2.0 to f/2.8, light left, (F_w/F)² (computed)",
            computed: || {
                let numbers = FNumbers {
                    wide: 2.0,
                    set: 2.8,
                };
                or_nan(numbers.light())
            },
            expected: 0.510204,
            tolerance: 0.001,
            unit: "1",
        },
    ]
}

fn daylight_references() -> Vec<Reference> {
    fn room() -> DaylitRoom {
        DaylitRoom {
            transmittance: 0.68,
            glass: SquareMetres(4.0),
            sky_angle: Radians::from_degrees(65.0),
            dirt: 1.0,
            surfaces: SquareMetres(110.0),
            reflectance: 0.5,
        }
    }
    fn clear_sky() -> Option<WattsPerSquareMetre> {
        haurwitz_clear_sky(Radians::from_degrees(60.0))
    }
    vec![
        Reference {
            cite: "average daylight factor, T 0.68, glass 4 m², sky 65°, surfaces 110 m², R 0.5, \
                   T A_w θ/(A (1 − R²)) (computed)",
            computed: || or_nan(room().daylight_factor().map(|fraction| fraction * 100.0)),
            expected: 2.14303,
            tolerance: 0.005,
            unit: "%",
        },
        Reference {
            cite: "the same room under 10000 lx overcast, DF E (computed)",
            computed: || or_nan(room().illuminance(Lux(10_000.0)).map(|e| e.0)),
            expected: 214.303,
            tolerance: 0.5,
            unit: "lx",
        },
        Reference {
            cite: "overcast sky, sun 30° high, Krochmann, E = 300 + 21000 sin h (from memory)",
            computed: || {
                let e = overcast_illuminance(Radians::from_degrees(30.0));
                or_nan(e.map(|e| e.0))
            },
            expected: 10_800.0,
            tolerance: 1.0,
            unit: "lx",
        },
        Reference {
            cite: "clear sky, zenith angle 60°, 1098 cos z exp(−0.059/cos z), \
                   formula confirmed in pvlib clearsky.haurwitz, value (computed)",
            computed: || or_nan(clear_sky().map(|e| e.0)),
            expected: 487.894,
            tolerance: 0.5,
            unit: "W/m²",
        },
        Reference {
            cite: "the same clear sky at 110 lm/W, efficacy from memory, product (computed)",
            computed: || {
                let e = clear_sky().and_then(|sky| sky.illuminance(LumensPerWatt(110.0)));
                or_nan(e.map(|e| e.0))
            },
            expected: 53_668.4,
            tolerance: 60.0,
            unit: "lx",
        },
    ]
}

fn window_references() -> Vec<Reference> {
    fn sun() -> SunOnWindow {
        SunOnWindow {
            sun_height: Radians::from_degrees(30.0),
            sun_azimuth: Radians::from_degrees(225.0),
            window_azimuth: Radians::from_degrees(180.0),
        }
    }
    fn glare_y() -> Option<f64> {
        let panel = Panel::new(PanelPlace {
            centre_m: [0.0, 0.0, 1.1],
            across: [0.0, 1.0, 0.0],
            up: [0.0, 0.0, 1.0],
            width: Metres(1.6),
            height: Metres(0.9),
        })?;
        let sight = Sight {
            eye_m: [3.0, 0.0, 1.1],
            lamp_m: [2.0, 2.0, 1.1],
        };
        match panel.glare(sight)? {
            Glare::At { point_m, .. } => Some(point_m[1]),
            Glare::None => None,
        }
    }
    vec![
        Reference {
            cite: "panel in the plane x = 0, eye (3, 0, 1.1), lamp (2, 2, 1.1), glare point y, \
                   line to the mirrored lamp (−2, 2, 1.1) (computed)",
            computed: || or_nan(glare_y()),
            expected: 1.2,
            tolerance: 0.001,
            unit: "m",
        },
        Reference {
            cite: "sun 30° high at azimuth 225°, window facing 180°, incidence, \
                   acos(cos h cos(a − γ)) (computed)",
            computed: || or_nan(sun().incidence().map(Radians::degrees)),
            expected: 52.2388,
            tolerance: 0.05,
            unit: "°",
        },
        Reference {
            cite: "the same sun over a sill at 0.9 m, depth of the beam, \
                   y cos(a − γ)/tan h (computed)",
            computed: || or_nan(sun().landing(Metres(0.9)).map(|landing| landing.depth.0)),
            expected: 1.10227,
            tolerance: 0.005,
            unit: "m",
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reference_holds() {
        let missed: Vec<String> = references()
            .iter()
            .filter(|reference| !reference.holds())
            .map(|r| {
                format!(
                    "{}: {} {}, not {}",
                    r.cite,
                    (r.computed)(),
                    r.unit,
                    r.expected
                )
            })
            .collect();
        assert!(missed.is_empty(), "{missed:#?}");
    }

    #[test]
    fn every_reference_says_its_mark() {
        let marks = ["(confirmed)", "(computed)", "(from memory)"];
        for reference in references() {
            let cite = reference.cite;
            assert!(marks.iter().any(|mark| cite.ends_with(mark)), "{cite}");
        }
    }

    #[test]
    fn refused_case_never_holds() {
        let refused = Reference {
            cite: "a refused case (computed)",
            computed: || or_nan(None),
            expected: 0.0,
            tolerance: f64::INFINITY,
            unit: "1",
        };
        assert!(!refused.holds());
    }
}
