//! The light of the room on a projected picture, hour by hour, and what it leaves of contrast.

use std::rc::Rc;

use analysis::{Analysis, Daylight, Known, Means, Missing, Uncertain};
use light::contrast::{DarkRoomPicture, ambient_luminance};
use light::outside::{Outside, Weather};
use model::Kit;
use units::{CandelasPerSquareMetre, Lux};

use crate::screen_light::ScreenLight;

/// A projected picture in its room.
pub(crate) struct Watching {
    /// White on the screen, cd/m².
    pub white: Uncertain,
    /// White over black with nothing else lit.
    pub native: f64,
    /// How the screen returns room light: luminance over that of a perfect diffuser.
    pub ambient_reflectance: Uncertain,
    /// The screen's gain.
    pub gain: Uncertain,
    /// The room's light.
    pub daylight: Rc<Daylight>,
}

/// A sky over the room, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct When {
    /// 0 for January.
    pub month: usize,
    /// Minutes after midnight.
    pub minute: u16,
    pub weather: Weather,
}

/// Below this height of the sun, rad, the sky gives no light that a picture could lose by:
/// 12° down, some 0.01 lx on open ground.
const DARK_BELOW: f64 = -0.21;

pub(crate) const WEATHERS: [Weather; 2] = [Weather::Clear, Weather::Overcast];

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A month's name.
pub fn month_name(month: usize) -> &'static str {
    MONTHS[month % 12]
}

/// A time of day as `19:05`.
pub fn clock_time(minute: u16) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

impl When {
    /// "21 June at 19:00 under a clear sky".
    pub fn words(self) -> String {
        let sky = match self.weather {
            Weather::Clear => "a clear",
            Weather::Overcast => "an overcast",
        };
        let day = light::year::DAY_OF_MONTH;
        let (month, time) = (month_name(self.month), clock_time(self.minute));
        format!("{day} {month} at {time} under {sky} sky")
    }
}

impl Watching {
    /// A projector's picture, with what its spec sheets say.
    pub fn of(analysis: &Analysis, light: &ScreenLight) -> Known<Self> {
        let projector = light.projector;
        let id = &projector.kit.common.id;
        let native = projector.kit.native_contrast.ok_or_else(|| {
            let at = format!("kit.projector.{id}.native_contrast");
            Missing::new(format!("the native contrast of {id}"), at, Means::SpecSheet)
        })?;
        let reflectance = match analysis.kit_of(projector.screen) {
            Some(Kit::Screen(kit)) => analysis.number(kit.ambient_reflectance.as_ref()),
            _ => None,
        };
        let watching = Self {
            white: light.white()?,
            native,
            ambient_reflectance: reflectance.unwrap_or_else(|| light.gain.clone()),
            gain: light.gain.clone(),
            daylight: analysis.daylight(projector.screen)?,
        };
        if watching
            .contrast(&watching.white, &Uncertain::exact(0.0))
            .value()
            .is_finite()
        {
            return Ok(watching);
        }
        let at = format!("kit.projector.{id}.native_contrast");
        let what = format!("a native contrast of {id} above 1");
        Err(Missing::new(what, at, Means::SpecSheet))
    }

    /// Of the white's luminance, what the room sends back of a picture that is half white and
    /// half black: ½ ρ_s R ρ_a/g, R the lux that come back for each lm/m² that leave.
    fn returned_share(&self) -> Uncertain {
        let screen = self.daylight.screen_share();
        self.daylight.returned() * &self.ambient_reflectance / &self.gain * (screen / 2.0)
    }

    /// Contrast with a white and a room light, lx.
    pub fn contrast(&self, white: &Uncertain, lux: &Uncertain) -> Uncertain {
        self.contrast_on(white, lux, &self.ambient_reflectance)
    }

    /// As [`Watching::contrast`], on a screen that returns room light otherwise.
    pub fn contrast_on(
        &self,
        white: &Uncertain,
        lux: &Uncertain,
        reflectance: &Uncertain,
    ) -> Uncertain {
        let returned = self.returned_share() * (reflectance / &self.ambient_reflectance);
        uncertainty::through(
            [white, lux, reflectance, &returned],
            |[white, lux, reflectance, returned]| {
                // A spread about a dark room's zero may not carry the light below it.
                contrast(
                    white,
                    self.native,
                    lux.max(0.0),
                    reflectance,
                    returned.max(0.0),
                )
            },
        )
    }

    /// Contrast in a room light, lx, by best estimates alone.
    pub fn contrast_in(&self, lux: f64) -> f64 {
        let returned = self.returned_share().value();
        contrast(
            self.white.value(),
            self.native,
            lux,
            self.ambient_reflectance.value(),
            returned,
        )
    }

    /// Room light, lx, that leaves a contrast by best estimates; negative when even darkness
    /// does not.
    pub fn lux_for(&self, contrast: f64) -> f64 {
        // (L_w + L)/(L_b + L) = C with L = L_a + L_r.
        let (white, reflectance) = (self.white.value(), self.ambient_reflectance.value());
        let allowed = (white - contrast * white / self.native) / (contrast - 1.0);
        (allowed - white * self.returned_share().value()) * std::f64::consts::PI / reflectance
    }

    /// Sky, sun and ground at a moment; none at night, where no window lets them in, or where
    /// the clock skips the moment.
    pub fn outside(&self, when: When) -> Option<Rc<Outside>> {
        let sun = self.daylight.sun(when.month, when.minute)?;
        if sun.height.0 < DARK_BELOW {
            return None;
        }
        self.daylight.at(when.month, when.minute, when.weather)
    }

    /// The moment between two times of day at which the room is brightest, and its light, lx.
    pub fn brightest(&self, [from, until]: [u16; 2]) -> (When, f64) {
        let minutes = (from..until).step_by(60).chain([until]);
        let moments = (0..12).flat_map(|month| minutes.clone().map(move |minute| (month, minute)));
        let mut brightest = (
            When {
                month: 0,
                minute: from,
                weather: Weather::Clear,
            },
            f64::NEG_INFINITY,
        );
        for (month, minute) in moments {
            for weather in WEATHERS {
                let when = When {
                    month,
                    minute,
                    weather,
                };
                let lux = self.daylight.lux(self.outside(when).as_deref());
                if lux > brightest.1 {
                    brightest = (when, lux);
                }
            }
        }
        brightest
    }
}

/// C = (L_w + L)/(L_w/C₀ + L), L = E ρ/π + L_w s; not a number outside the engine's range.
pub(crate) fn contrast(white: f64, native: f64, lux: f64, reflectance: f64, returned: f64) -> f64 {
    let picture = DarkRoomPicture {
        white: CandelasPerSquareMetre(white),
        native_contrast: native,
    };
    ambient_luminance(Lux(lux), reflectance)
        .map(|ambient| CandelasPerSquareMetre(ambient.0 + white * returned))
        .and_then(|ambient| picture.system_contrast(ambient))
        .unwrap_or(f64::NAN)
}
