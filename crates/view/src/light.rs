//! What contrast the projected pictures of a space have through the year, as JSON.

use analysis::Analysis;
use checks::light_year::{self, From, HourLight, LightYear};
use schemars::JsonSchema;
use serde::Serialize;
use units::Dimension;

use crate::Need;

/// The light on a space's projected pictures.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Light {
    /// The space.
    pub space: String,
    /// Its name for people.
    pub name: String,
    /// Each projected picture; none where nothing projects.
    pub pictures: Vec<PictureLight>,
}

/// One projected picture.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PictureLight {
    /// The projector.
    pub projector: String,
    /// What must be learned first; null where the year is known.
    pub missing: Option<Need>,
    /// Its year; null where something is missing.
    pub year: Option<YearLight>,
}

/// A picture through the year, on the 21st of each month, best estimates.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct YearLight {
    /// The projector's name for people.
    pub projector_name: String,
    /// The screen.
    pub screen: String,
    /// Its name for people.
    pub screen_name: String,
    /// White with the light source at the end of its use, cd/m².
    pub white_cd_m2: f64,
    /// White and black in the job's own units.
    pub white_text: String,
    /// Black with nothing else lit, cd/m².
    pub black_cd_m2: f64,
    /// White over black with nothing else lit.
    pub native_contrast: f64,
    /// Luminance that room light makes, over that of a white diffuser.
    pub ambient_reflectance: f64,
    /// Contrast of a picture half white at night, the lamps lit that burn while it is watched.
    pub night_contrast: f64,
    /// The published classes of contrast, from the least.
    pub classes: Vec<ContrastClass>,
    /// January to December.
    pub months: Vec<MonthLight>,
    /// The windows that let daylight in.
    pub windows: Vec<WindowLight>,
    /// What each seat sees.
    pub seats: Vec<SeatLight>,
    /// The screen's gain by the angle from its normal.
    pub gain: GainByAngle,
    /// Light on the screen that was read on site, lx.
    pub reading_lux: Option<f64>,
    /// Between which times of day it is watched, as `["19:00", "23:30"]`.
    pub watched: Option<[String; 2]>,
    /// The same in minutes after midnight.
    pub watched_minutes: Option<[u16; 2]>,
}

/// One window.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WindowLight {
    /// The opening.
    pub opening: String,
    /// The share of light that passes glass and blind together.
    pub transmittance: f64,
}

/// A class of viewing and what it asks for.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ContrastClass {
    /// Its name.
    pub name: &'static str,
    /// Its least contrast.
    pub contrast: f64,
    /// How well that number is backed.
    pub backing: &'static str,
}

/// One month's day.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MonthLight {
    /// The month.
    pub name: &'static str,
    /// Each full hour of the clock on the wall; null where the clock skips it.
    pub hours: Vec<Option<HourOfLight>>,
    /// From when on each class holds until midnight, in the classes' order.
    pub from: Vec<HoldsFrom>,
}

/// One hour.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct HourOfLight {
    /// Light on the picture under a clear sky, lx.
    pub clear_lux: f64,
    /// Under an overcast one, lx.
    pub overcast_lux: f64,
    /// Contrast under the brighter of both.
    pub contrast: f64,
    /// The same as printed, three letters at most.
    pub contrast_text: String,
    /// How many of the classes it reaches, 0 for none.
    pub classes: usize,
    /// Whether the sun shines on the picture itself.
    pub sun_on_picture: bool,
}

/// From when on something holds until midnight.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HoldsFrom {
    /// Minutes after midnight; 0 for all day, null where not even midnight is dark enough.
    pub minute: Option<u16>,
    /// The same in words: `20:52`, `all day`, `not that day`.
    pub text: String,
}

/// How a screen's gain falls off to the sides.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GainByAngle {
    /// The angle at which half of it is left, rad; null where the sheet is silent and the
    /// cloth is taken to shine alike all round.
    pub half_rad: Option<f64>,
    /// Beyond this angle the curve is not known well, rad.
    pub reliable_rad: Option<f64>,
    /// Angle, rad, and gain there, from straight ahead outwards.
    pub points: Vec<[f64; 2]>,
}

/// What one seat sees.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SeatLight {
    /// The seat.
    pub seat: String,
    /// Its angle from the screen's normal, rad.
    pub angle_rad: f64,
    /// The same in the job's own units.
    pub angle_text: String,
    /// The screen's gain there.
    pub gain: f64,
    /// White seen from it, cd/m².
    pub white_cd_m2: f64,
    /// The same in foot-lamberts.
    pub white_fl: f64,
    /// Whether the gain is known there: within one and a half half-gain angles.
    pub is_reliable: bool,
}

/// The light on a space's projected pictures; none where the job has no such space.
pub fn light(analysis: &Analysis, space: &str) -> Option<Light> {
    let space = analysis.space(space)?;
    let years = light_year::light_years(analysis, space).into_iter();
    let pictures = years.map(|(projector, year)| match year {
        Ok(year) => PictureLight {
            projector,
            missing: None,
            year: Some(shown(analysis, &year)),
        },
        Err(missing) => PictureLight {
            projector,
            missing: Some(Need {
                what: missing.what,
                at: missing.at,
                tool: missing.means.tool(),
            }),
            year: None,
        },
    });
    Some(Light {
        space: space.id.clone(),
        name: space.label().to_owned(),
        pictures: pictures.collect(),
    })
}

fn shown(analysis: &Analysis, year: &LightYear) -> YearLight {
    let luminance = |value: f64| analysis.exact(value, Dimension::Luminance);
    let [clear, overcast] = &year.skies;
    let hour = |month: usize, hour: usize| {
        let (a, b) = (clear.hours[month][hour]?, overcast.hours[month][hour]?);
        let worse: HourLight = year.worse(month, hour)?;
        Some(HourOfLight {
            clear_lux: a.lux,
            overcast_lux: b.lux,
            contrast: worse.contrast,
            contrast_text: light_year::contrast_text(worse.contrast),
            classes: worse.classes(),
            sun_on_picture: a.sun_on_picture,
        })
    };
    let month = |month: usize| MonthLight {
        name: light_year::month_name(month),
        hours: (0..24).map(|at| hour(month, at)).collect(),
        from: year
            .classes
            .iter()
            .map(|class| holds(class.from[month]))
            .collect(),
    };
    let seats = year.seats.iter().map(|seat| SeatLight {
        seat: seat.seat.clone(),
        angle_rad: seat.angle_rad,
        angle_text: analysis.exact(seat.angle_rad, Dimension::Angle),
        gain: seat.gain,
        white_cd_m2: seat.white_cd_m2,
        white_fl: seat.white_fl,
        is_reliable: seat.is_reliable,
    });
    YearLight {
        projector_name: year.projector_label.clone(),
        screen: year.screen.clone(),
        screen_name: year.screen_label.clone(),
        white_cd_m2: year.white_cd_m2,
        white_text: format!(
            "white {}, black {}",
            luminance(year.white_cd_m2),
            luminance(year.black_cd_m2)
        ),
        black_cd_m2: year.black_cd_m2,
        native_contrast: year.native_contrast,
        ambient_reflectance: year.ambient_reflectance,
        night_contrast: year.night_contrast,
        classes: (year.classes.iter())
            .map(|class| ContrastClass {
                name: class.name,
                contrast: class.contrast,
                backing: class.backing,
            })
            .collect(),
        months: (0..12).map(month).collect(),
        windows: (year.windows.iter())
            .map(|(opening, transmittance)| WindowLight {
                opening: opening.clone(),
                transmittance: *transmittance,
            })
            .collect(),
        seats: seats.collect(),
        gain: GainByAngle {
            half_rad: year.gain.half_rad,
            reliable_rad: year.gain.reliable_rad,
            points: year.gain.points.clone(),
        },
        reading_lux: year.reading_lux,
        watched: year.watched.map(|times| times.map(light_year::clock_time)),
        watched_minutes: year.watched,
    }
}

fn holds(from: From) -> HoldsFrom {
    let (minute, text) = match from {
        From::AllDay => (Some(0), "all day".to_owned()),
        From::Minute(minute) => (Some(minute), light_year::clock_time(minute)),
        From::NotThatDay => (None, "not that day".to_owned()),
    };
    HoldsFrom { minute, text }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use analysis::Analysis;

    use super::light;

    const JOB: &str = include_str!("../../checks/src/light_year/cinema.toml");

    fn analysis(text: &str) -> Analysis {
        let job = model::read(text, &[]).expect("the job reads");
        Analysis::new(Arc::new(job))
    }

    #[test]
    fn a_year_has_twelve_months_of_24_hours_and_a_time_for_each_class() {
        let light = light(&analysis(JOB), "den").expect("it is there");
        let year = light.pictures[0].year.as_ref().expect("nothing is missing");
        assert_eq!(year.months.len(), 12);
        assert!(
            year.months
                .iter()
                .all(|month| month.hours.len() == 24 && month.from.len() == 4)
        );
        assert!(
            year.months[5].from[3].text.starts_with("20:")
                || year.months[5].from[3].text.starts_with("21:")
        );
        assert_eq!(year.watched, Some(["19:00".to_owned(), "23:00".to_owned()]));
        assert_eq!(year.seats.len(), 2);
        assert_eq!(year.gain.points.len(), 33);
    }

    #[test]
    fn what_is_missing_is_named_and_an_unknown_space_is_none() {
        let blind = JOB.replace("transmittance = 0.7", "blind = \"roller\"");
        let light_of = light(&analysis(&blind), "den").expect("it is there");
        let missing = light_of.pictures[0].missing.as_ref().expect("a blind");
        assert_eq!(missing.at, "space.den.opening.garden.transmittance");
        assert_eq!(missing.tool, "light meter");
        assert!(light(&analysis(JOB), "attic").is_none());
    }
}
