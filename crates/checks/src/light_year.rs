//! What contrast a projected picture has through the year, and from when on it can be watched.
//!
//! Asked for on purpose by the command, the page and a sheet: some 300 hours under two skies
//! are too many for each proof.

use std::cell::RefCell;
use std::collections::HashMap;

use analysis::{Analysis, Known, Parts, item_label};
use light::gain::{GainCurve, GainShape};
use light::luminance::foot_lamberts;
use light::targets::CONTRAST_CLASSES;
use light::year::{HoldsFrom, Year};
use model::{Item, Kit, ProjectorKit, Space};
use units::{CandelasPerSquareMetre, Radians};

pub use light::outside::Weather;
pub use light::year::{DAY_OF_MONTH, HoldsFrom as From};

use crate::picture::light_kept;
use crate::screen_light::ScreenLight;
use crate::shared::watching::{WEATHERS, Watching, When};
pub use crate::shared::watching::{clock_time, month_name};

/// A projected picture through the year, best estimates.
#[derive(Clone, Debug)]
pub struct LightYear {
    /// The projector.
    pub projector: String,
    /// Its name for people.
    pub projector_label: String,
    /// The screen.
    pub screen: String,
    /// Its name for people.
    pub screen_label: String,
    /// White with the light source at the end of its use, cd/m².
    pub white_cd_m2: f64,
    /// Black with nothing else lit, cd/m².
    pub black_cd_m2: f64,
    /// White over black with nothing else lit.
    pub native_contrast: f64,
    /// Luminance that room light makes, over that of a white diffuser.
    pub ambient_reflectance: f64,
    /// Contrast of a picture half white at night with the lamps that burn then.
    pub night_contrast: f64,
    /// Each hour under a clear and under an overcast sky.
    pub skies: [SkyYear; 2],
    /// From when on each class of contrast is reached, under whichever sky is brighter.
    pub classes: Vec<ClassYear>,
    /// Each window, and the share of light that passes its glass and blind.
    pub windows: Vec<(String, f64)>,
    /// What each seat sees.
    pub seats: Vec<SeatLight>,
    /// The screen's gain by the angle from its normal.
    pub gain: GainByAngle,
    /// Light read on site, lx.
    pub reading_lux: Option<f64>,
    /// Minutes after midnight between which the picture is watched.
    pub watched: Option<[u16; 2]>,
}

/// One kind of sky through the year.
#[derive(Clone, Debug)]
pub struct SkyYear {
    /// Which sky.
    pub weather: Weather,
    /// By month and hour; none where the clock skips it.
    pub hours: [[Option<HourLight>; 24]; 12],
}

/// One hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HourLight {
    /// On the picture, lx.
    pub lux: f64,
    /// What it leaves of contrast.
    pub contrast: f64,
    /// Whether the sun shines on the picture itself.
    pub sun_on_picture: bool,
}

/// A published class of contrast through the year.
#[derive(Clone, Debug)]
pub struct ClassYear {
    /// Its name.
    pub name: &'static str,
    /// Its least contrast.
    pub contrast: f64,
    /// How well that number is backed.
    pub backing: &'static str,
    /// From when on it holds until midnight, on the 21st of each month.
    pub from: [HoldsFrom; 12],
}

/// How a screen's gain falls off to the sides.
#[derive(Clone, Debug, PartialEq)]
pub struct GainByAngle {
    /// The angle at which half of it is left, rad; none where its sheet is silent, and the
    /// cloth is taken to shine alike all round.
    pub half_rad: Option<f64>,
    /// Beyond this angle the curve is not known well, rad.
    pub reliable_rad: Option<f64>,
    /// Angle, rad, and gain there, from straight ahead outwards.
    pub points: Vec<[f64; 2]>,
}

/// A seat's share of the light.
#[derive(Clone, Debug)]
pub struct SeatLight {
    /// The seat.
    pub seat: String,
    /// Its angle from the screen's normal, rad.
    pub angle_rad: f64,
    /// The screen's gain there.
    pub gain: f64,
    /// White seen from it, cd/m².
    pub white_cd_m2: f64,
    /// The same in foot-lamberts.
    pub white_fl: f64,
    /// Whether the gain is known at that angle: within one and a half half-gain angles.
    pub is_reliable: bool,
}

impl HourLight {
    /// How many of the published classes it reaches, 0 to 4.
    pub fn classes(&self) -> usize {
        classes_of(self.contrast)
    }
}

impl LightYear {
    /// The brighter sky's hour.
    pub fn worse(&self, month: usize, hour: usize) -> Option<HourLight> {
        let hours = self.skies.iter().filter_map(|sky| sky.hours[month][hour]);
        hours.reduce(|a, b| if b.contrast < a.contrast { b } else { a })
    }
}

/// How many of the published classes a contrast reaches, 0 to 4.
pub fn classes_of(contrast: f64) -> usize {
    let reached = |class: &&light::targets::ContrastClass| contrast >= class.contrast;
    CONTRAST_CLASSES.iter().filter(reached).count()
}

/// A contrast in three letters at most: `3.1`, `48`, `412`, `2k`.
pub fn contrast_text(contrast: f64) -> String {
    match contrast {
        c if c < 9.95 => format!("{c:.1}"),
        c if c < 999.5 => format!("{c:.0}"),
        c => format!("{:.0}k", (c / 1000.0).min(99.0)),
    }
}

/// Every projected picture of a space, by its projector's id.
pub fn light_years(analysis: &Analysis, space: &Space) -> Vec<(String, Known<LightYear>)> {
    let projectors = analysis.projectors_in(space);
    let year = |(item, kit): (&Item, &ProjectorKit)| {
        (item.id.clone(), light_year(analysis, space, item, kit))
    };
    projectors.map(year).collect()
}

fn light_year(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    kit: &ProjectorKit,
) -> Known<LightYear> {
    let projector = analysis.projector(item, kit)?;
    let light = ScreenLight::of(analysis, &projector, light_kept(analysis))?;
    let watching = Watching::of(analysis, &light)?;
    let white = watching.white.value();
    let lamps = watching.daylight.lamps_lux();
    Ok(LightYear {
        projector: item.id.clone(),
        projector_label: item_label(item).to_owned(),
        screen: projector.screen.id.clone(),
        screen_label: item_label(projector.screen).to_owned(),
        white_cd_m2: white,
        black_cd_m2: white / watching.native,
        native_contrast: watching.native,
        ambient_reflectance: watching.ambient_reflectance.value(),
        night_contrast: watching.contrast_in(lamps),
        skies: WEATHERS.map(|weather| SkyYear {
            weather,
            hours: hours(&watching, weather),
        }),
        classes: classes(&watching),
        windows: (watching.daylight.windows().iter())
            .map(|window| (window.id.clone(), window.transmittance.value()))
            .collect(),
        seats: seats(analysis, space, &light, white),
        gain: gain_by_angle(analysis, &light),
        reading_lux: analysis
            .number(space.ambient.as_ref())
            .map(|lux| lux.value()),
        watched: space.watched.as_ref().and_then(|watched| watched.minutes()),
    })
}

fn hours(watching: &Watching, weather: Weather) -> [[Option<HourLight>; 24]; 12] {
    let daylight = &watching.daylight;
    let lamps = daylight.lamps_lux();
    let at = |when: When| {
        let outside = watching.outside(when);
        let windows = daylight.through_windows(outside.as_deref());
        let day: f64 = (windows.iter().zip(daylight.windows()))
            .map(|(window, of)| window.lux() * of.transmittance.value())
            .sum();
        let lux = day + lamps;
        HourLight {
            lux,
            contrast: watching.contrast_in(lux),
            sun_on_picture: windows.iter().any(|window| window.sun_on_picture > 0.0),
        }
    };
    std::array::from_fn(|month| {
        std::array::from_fn(|hour| {
            let minute = hour as u16 * 60;
            let is_shown = daylight.sky().is_none() || daylight.sun(month, minute).is_some();
            is_shown.then(|| {
                at(When {
                    month,
                    minute,
                    weather,
                })
            })
        })
    })
}

fn classes(watching: &Watching) -> Vec<ClassYear> {
    let lamps = watching.daylight.lamps_lux();
    let known: RefCell<HashMap<(usize, u64), f64>> = RefCell::default();
    let of = |class: &light::targets::ContrastClass| {
        let allowed = watching.lux_for(class.contrast);
        let from = |month: usize| match watching.daylight.sky() {
            None if lamps <= allowed => HoldsFrom::AllDay,
            None => HoldsFrom::NotThatDay,
            Some(sky) => {
                let year: Year<'_> = sky.year();
                year.holds_from(month, |sun| {
                    let brightest = || {
                        let skies = WEATHERS.map(|weather| {
                            let outside = watching.daylight.outside(sun, weather);
                            watching.daylight.lux(outside.as_ref())
                        });
                        skies.into_iter().fold(0.0, f64::max)
                    };
                    let key = (month, sun.azimuth.0.to_bits() ^ sun.height.0.to_bits());
                    let lux = *known.borrow_mut().entry(key).or_insert_with(brightest);
                    lux <= allowed
                })
            }
        };
        ClassYear {
            name: class.name,
            contrast: class.contrast,
            backing: class.mark.words(),
            from: std::array::from_fn(from),
        }
    };
    CONTRAST_CLASSES.iter().map(of).collect()
}

fn half_gain_rad(analysis: &Analysis, light: &ScreenLight) -> Option<f64> {
    match analysis.kit_of(light.projector.screen) {
        Some(Kit::Screen(kit)) => Some(analysis.number(kit.half_gain_angle.as_ref())?.value()),
        _ => None,
    }
}

fn gain_curve(peak: f64, half_rad: f64) -> Option<GainCurve> {
    GainCurve::new(peak, Radians(half_rad), GainShape::CosinePower)
}

/// The curve to 80° off the normal, which no seat sits beyond.
fn gain_by_angle(analysis: &Analysis, light: &ScreenLight) -> GainByAngle {
    const STEP_DEG: f64 = 2.5;
    const STEPS: u32 = 32;
    let peak = light.gain.value();
    let half = half_gain_rad(analysis, light);
    let curve = half.and_then(|half| Some((half, gain_curve(peak, half)?)));
    let angle = |step: u32| (f64::from(step) * STEP_DEG).to_radians();
    let reliable = |curve: &GainCurve| {
        let steps = (0..=STEPS).map(angle);
        steps
            .take_while(|rad| curve.is_reliable(Radians(*rad)))
            .last()
    };
    let gain = |rad: f64| match &curve {
        Some((_, curve)) => curve.at(Radians(rad)),
        None => Some(peak),
    };
    GainByAngle {
        half_rad: curve.as_ref().map(|(half, _)| *half),
        reliable_rad: curve.as_ref().and_then(|(_, curve)| reliable(curve)),
        points: (0..=STEPS)
            .filter_map(|step| Some([angle(step), gain(angle(step))?]))
            .collect(),
    }
}

fn seats(analysis: &Analysis, space: &Space, light: &ScreenLight, white: f64) -> Vec<SeatLight> {
    let space = analysis.with_parts(space, Parts::SEATS);
    let picture = &light.projector.picture;
    let peak = light.gain.value();
    let curve = half_gain_rad(analysis, light).and_then(|half| gain_curve(peak, half));
    let normal = picture.face.normal.value();
    let centre = picture.centre.value();
    let seen = |(seat, place): (&model::Seat, Known<analysis::SeatPlace>)| {
        let eye = place.ok()?.eye.value();
        let to_eye: [f64; 3] = std::array::from_fn(|axis| eye[axis] - centre[axis]);
        let square = to_eye[0] * normal[0] + to_eye[1] * normal[1];
        let length = to_eye.iter().map(|c| c * c).sum::<f64>().sqrt();
        let angle = (square / length).clamp(-1.0, 1.0).acos();
        // Without an angle on the sheet the cloth is taken to shine alike all round.
        let gain = curve.map_or(Some(peak), |curve| curve.at(Radians(angle)))?;
        let white_cd_m2 = white * gain / peak;
        Some(SeatLight {
            seat: seat.id.clone(),
            angle_rad: angle,
            gain,
            white_cd_m2,
            white_fl: foot_lamberts(CandelasPerSquareMetre(white_cd_m2)),
            is_reliable: curve.is_some_and(|curve| curve.is_reliable(Radians(angle))),
        })
    };
    analysis.seats_in(space).filter_map(seen).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::job;

    const CINEMA: &str = include_str!("light_year/cinema.toml");

    fn year(text: &str) -> LightYear {
        let analysis = Analysis::new(job(text));
        let space = analysis.space("den").expect("it is there");
        let (_, year) = light_years(&analysis, space).remove(0);
        year.unwrap_or_else(|missing| panic!("{missing}"))
    }

    #[test]
    fn evenings_come_later_in_june_and_earlier_for_lesser_classes() {
        let year = year(CINEMA);
        let minute = |class: usize, month: usize| match year.classes[class].from[month] {
            HoldsFrom::Minute(minute) => minute,
            other => panic!("{other:?}"),
        };
        assert_eq!(year.classes.len(), 4);
        // Sunset at 43.1° N 70.8° W: 20:26 in June, 16:11 in December (almanac, from memory).
        let (june, december) = (minute(3, 5), minute(3, 11));
        assert!(june > 20 * 60 + 10 && june < 21 * 60 + 30, "{june}");
        assert!(december > 16 * 60 && december < 17 * 60 + 15, "{december}");
        assert!((0..12).all(|month| minute(0, month) <= minute(3, month)));
        let noon = year.worse(5, 12).unwrap();
        let night = year.worse(5, 23).unwrap();
        assert!(noon.classes() < night.classes() && night.classes() == 4);
        assert!((night.contrast / year.night_contrast - 1.0).abs() < 1e-3);
    }

    #[test]
    fn side_seats_see_less_of_a_screen_with_gain() {
        let year = year(CINEMA);
        let seat = |id: &str| year.seats.iter().find(|seat| seat.seat == id).unwrap();
        let (middle, side) = (seat("middle"), seat("side"));
        // Half-gain angle 35°: n = ln ½/ln cos 35° = 3.474; the side seat is 2 m along and 1.5 m
        // off the screen's middle, 53.1° in plan, 53.3° with the 0.2 m down: 1.3 cosⁿ 53.3°.
        let expected = 1.3 * 53.3_f64.to_radians().cos().powf(3.474);
        assert!(
            (side.gain - expected).abs() < 0.02,
            "{} {expected}",
            side.gain
        );
        assert!(middle.gain > 1.25 && middle.white_cd_m2 > side.white_cd_m2);
        assert!((middle.white_fl * 3.426_26 - middle.white_cd_m2).abs() < 1e-3);
        assert!(middle.is_reliable && !side.is_reliable);
    }

    #[test]
    fn the_curve_of_gain_runs_through_its_half_and_through_the_seats() {
        let year = year(CINEMA);
        let gain = &year.gain;
        assert!((gain.half_rad.unwrap().to_degrees() - 35.0).abs() < 1e-9);
        assert_eq!(gain.points[0], [0.0, 1.3]);
        // 35° is the 14th step of 2.5°: half of the gain straight ahead.
        assert!((gain.points[14][1] - 0.65).abs() < 1e-9);
        // Known to one and a half half-gain angles, 52.5°, a step of the curve.
        assert!((gain.reliable_rad.unwrap().to_degrees() - 52.5).abs() < 2.5 + 1e-9);
        assert!(gain.points.windows(2).all(|pair| pair[1][1] < pair[0][1]));
        for seat in &year.seats {
            let after = gain
                .points
                .iter()
                .position(|[rad, _]| *rad >= seat.angle_rad);
            let after = after.unwrap();
            let [near, far] = [after.max(1) - 1, after].map(|at| gain.points[at][1]);
            assert!(
                seat.gain <= near + 1e-9 && seat.gain >= far - 1e-9,
                "{seat:?}"
            );
        }
    }

    #[test]
    fn contrasts_take_three_letters() {
        for (contrast, text) in [
            (1.04, "1.0"),
            (9.96, "10"),
            (412.3, "412"),
            (1600.0, "2k"),
            (1e9, "99k"),
        ] {
            assert_eq!(contrast_text(contrast), text);
        }
    }

    #[test]
    fn a_room_without_windows_is_watched_all_day() {
        let dark = CINEMA
            .replace("kind = \"window\"", "kind = \"recess\"")
            .replace("transmittance = 0.7\n", "");
        let year = year(&dark);
        assert!(
            year.classes
                .iter()
                .all(|class| class.from == [HoldsFrom::AllDay; 12])
        );
        assert!(year.skies[0].hours.iter().flatten().all(Option::is_some));
    }
}
