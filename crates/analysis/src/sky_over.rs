//! Which sky is over a space: its sun by the clock, its compass, and what hides it.
//!
//! A moment's sun and sky are the same for every picture of the space and in every copy that
//! moves one, so that they are kept once they are worked out.

use std::cell::RefCell;
use std::rc::Rc;

use light::clock::Clock;
use light::compass::Compass;
use light::horizon::Horizon;
use light::outside::{GROUND_REFLECTANCE, Outside, SkyDome, Weather};
use light::sun::{Site, SunPosition};
use light::year::Year;
use model::Space;
use rustc_hash::FxHashMap;
use units::{Metres, Radians};

use crate::{Analysis, Known, Means, Missing, Parts};

/// The year whose sun is taken where the job has no date: it differs by less than half a
/// degree from year to year.
const YEAR: i16 = 2026;

/// The sky over one space.
#[derive(Clone, Debug)]
pub struct SkyOver {
    site: Site,
    clock: Clock,
    year: i16,
    /// Which way north is in the space's plan.
    pub compass: Compass,
    /// What hides the sky.
    pub horizon: Horizon,
    /// The sky's parts.
    pub dome: SkyDome,
    kept: RefCell<FxHashMap<(usize, u16), Kept>>,
}

/// A minute of a month's day: none where the clock skips it; its sky by weather once asked for.
#[derive(Clone, Debug)]
struct Kept {
    sun: Option<SunPosition>,
    outside: [Option<Rc<Outside>>; 2],
}

/// Moments that are kept, of some 10 kB each: every hour of the year, and as many between.
const KEPT_MOST: usize = 600;

impl SkyOver {
    /// The place, its clock and its year.
    pub fn year(&self) -> Year<'_> {
        Year {
            site: self.site,
            clock: &self.clock,
            year: self.year,
        }
    }

    /// The sun at a minute of a month's day (0 for January); none where the clock skips it.
    pub fn sun(&self, month: usize, minute: u16) -> Option<SunPosition> {
        self.kept(month, minute, |kept| kept.sun)
    }

    /// Sun, sky and ground at a minute of a month's day; none where the clock skips it.
    pub fn at(&self, month: usize, minute: u16, weather: Weather) -> Option<Rc<Outside>> {
        self.kept(month, minute, |kept| {
            let outside = &mut kept.outside[weather as usize];
            if outside.is_none() {
                *outside = Some(Rc::new(self.outside(kept.sun?, weather)));
            }
            outside.clone()
        })
    }

    fn kept<T>(&self, month: usize, minute: u16, ask: impl FnOnce(&mut Kept) -> T) -> T {
        let mut all = self.kept.borrow_mut();
        if all.len() >= KEPT_MOST && !all.contains_key(&(month, minute)) {
            all.clear();
        }
        let kept = all.entry((month, minute)).or_insert_with(|| Kept {
            sun: self.year().sun(month, minute),
            outside: [None, None],
        });
        ask(kept)
    }

    /// Sun, sky and ground with the sun where it is.
    pub fn outside(&self, sun: SunPosition, weather: Weather) -> Outside {
        Outside::new(&self.dome, self.site, sun, weather, GROUND_REFLECTANCE)
            .expect("a sun that was worked out is somewhere, and the ground's share is one")
    }
}

impl Analysis {
    /// The sky over a space; missing where nobody says where the house is or which way the
    /// space faces.
    pub fn sky_over(&self, space: &Space) -> Known<Rc<SkyOver>> {
        self.kept_of_space("sky over", space, Parts::NONE, |space| {
            self.sky_anew(space).map(Rc::new)
        })
    }

    /// The coldest and the hottest air outdoors where the house is, °C in SI, where known.
    pub fn outdoor_air(&self) -> [Option<crate::Uncertain>; 2] {
        let site = self.job.site.as_ref();
        [
            self.number(site.and_then(|site| site.coldest.as_ref())),
            self.number(site.and_then(|site| site.hottest.as_ref())),
        ]
    }

    fn sky_anew(&self, space: &Space) -> Known<SkyOver> {
        let ask =
            |what: &str, field: &str| Missing::new(what, format!("site.{field}"), Means::Look);
        let site = self.job.site.as_ref();
        let place = |fact: Option<&model::Angle>, what: &str, field: &str| {
            self.number(fact).ok_or_else(|| ask(what, field))
        };
        let latitude = place(
            site.and_then(|s| s.latitude.as_ref()),
            "the house's latitude",
            "latitude",
        )?;
        let longitude = place(
            site.and_then(|s| s.longitude.as_ref()),
            "the house's longitude",
            "longitude",
        )?;
        let elevation = self.number(site.and_then(|s| s.elevation.as_ref()));
        let elevation = Metres(elevation.map_or(0.0, |elevation| elevation.value()));
        let here = Site::new(
            Radians(latitude.value()),
            Radians(longitude.value()),
            elevation,
        );
        let here = here.ok_or_else(|| {
            let what = "a latitude from −90° to 90° and a longitude from −180° to 180°";
            ask(what, "latitude")
        })?;
        let zone = site.and_then(|s| s.time_zone.as_deref());
        let zone =
            zone.ok_or_else(|| ask("the house's time zone, such as `Europe/Oslo`", "time_zone"))?;
        let clock = Clock::of(zone).ok_or_else(|| {
            ask(
                &format!("a time zone by a name that is in use: there is no `{zone}`"),
                "time_zone",
            )
        })?;
        let faces = self
            .number(space.first_wall_faces.as_ref())
            .ok_or_else(|| {
                let what = format!(
                    "the compass direction in which one faces the first wall of {}",
                    space.label()
                );
                Missing::new(
                    what,
                    format!("space.{}.first_wall_faces", space.id),
                    Means::Look,
                )
            })?;
        let (_, _, inward) = self.shape(space).wall_frame(0)?;
        let [x, y] = inward.value();
        let compass = Compass::of(geometry::Vec2::new(-x, -y), Radians(faces.value()));
        let compass = compass.expect("a wall has a direction and an angle that was read is finite");
        let points = site
            .map_or(&[][..], |site| &site.horizon)
            .iter()
            .filter_map(|point| {
                let (azimuth, height) =
                    (self.number(Some(&point.0))?, self.number(Some(&point.1))?);
                Some((Radians(azimuth.value()), Radians(height.value())))
            });
        let horizon = Horizon::new(&points.collect::<Vec<_>>())
            .ok_or_else(|| ask("heights of the horizon from −90° to 90°", "horizon"))?;
        Ok(SkyOver {
            site: here,
            clock,
            year: self.year(),
            compass,
            horizon,
            dome: SkyDome::new(),
            kept: RefCell::default(),
        })
    }

    fn year(&self) -> i16 {
        let date = self.job.job.date.as_deref();
        let year = date.and_then(|date| date.get(..4)?.parse().ok());
        year.filter(|year| (1900..=2999).contains(year))
            .unwrap_or(YEAR)
    }
}
