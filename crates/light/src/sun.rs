//! Where is the sun?
//!
//! The solar position algorithm of Reda and Andreas (2004, Solar Energy 76, 577–589), as the
//! `solar-positioning` crate computes it: stated error ±0.0003° from the year −2000 to 6000.
//! The apparent height has the air's refraction in it while the sun's rim is above the
//! horizon. TT − UT1 is the crate's own estimate for the date.

use solar_positioning::{
    Location, RefractionCorrection, SolarPositions, delta_t, time::JulianDate,
};
use units::{Metres, Radians};

use crate::domain::{finite, positive};

/// A moment: seconds since 1970-01-01 00:00 UTC, as clocks count (no leap seconds).
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Instant(pub f64);

/// A place on the earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    latitude: Radians,
    longitude: Radians,
    elevation: Metres,
}

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Apparent height of its middle above the horizon; negative below.
    pub height: Radians,
    /// Clockwise from north.
    pub azimuth: Radians,
}

/// What bends the sun's light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Pressure at the site, hPa.
    pub pressure_hpa: f64,
    /// Its yearly mean temperature, °C.
    pub temperature_c: f64,
}

impl Site {
    /// `None` unless the latitude is from −90° to 90°, the longitude from −180° to 180° (east
    /// positive), and the elevation from −500 m to 9,000 m.
    pub fn new(latitude: Radians, longitude: Radians, elevation: Metres) -> Option<Self> {
        let is_in = |x: f64, least: f64, most: f64| (least..=most).contains(&x);
        let possible = is_in(latitude.degrees(), -90.0, 90.0)
            && is_in(longitude.degrees(), -180.0, 180.0)
            && is_in(elevation.0, -500.0, 9000.0);
        possible.then_some(Self {
            latitude,
            longitude,
            elevation,
        })
    }

    /// North positive.
    pub fn latitude(self) -> Radians {
        self.latitude
    }

    /// Above the sea.
    pub fn elevation(self) -> Metres {
        self.elevation
    }

    /// Air of the standard atmosphere at the site's elevation, at 12 °C:
    /// p = 1013.25 (1 − 2.25577·10⁻⁵ h)^5.25588 hPa.
    pub fn air(self) -> Air {
        Air {
            pressure_hpa: 1013.25 * (1.0 - 2.255_77e-5 * self.elevation.0).powf(5.255_88),
            temperature_c: 12.0,
        }
    }

    /// Where the sun stands at a moment, through the site's usual air. `None` for a moment
    /// that is not finite or outside the years −2000 to 3000.
    pub fn sun(self, at: Instant) -> Option<SunPosition> {
        self.sun_through(at, self.air(), None)
    }

    /// As [`Site::sun`], with the air and, where it is known, TT − UT1 in seconds.
    pub fn sun_through(self, at: Instant, air: Air, delta_t_s: Option<f64>) -> Option<SunPosition> {
        let days = finite(at.0)? / 86_400.0;
        let year = 1970.0 + days / 365.2425;
        let delta_t_s = match delta_t_s {
            Some(known) => known,
            None => delta_t::estimate(year).ok()?,
        };
        // 1970-01-01 00:00 UTC as a Julian date.
        let time = JulianDate::new(2_440_587.5 + days, delta_t_s).ok()?;
        let location = Location {
            latitude: self.latitude.degrees(),
            longitude: self.longitude.degrees(),
        };
        let pressure = positive(air.pressure_hpa)?;
        let refraction = RefractionCorrection::new(pressure, air.temperature_c).ok()?;
        let position = SolarPositions::new()
            .at_from_julian(time, location, self.elevation.0, Some(refraction))
            .ok()?;
        Some(SunPosition {
            height: Radians::from_degrees(position.elevation_angle()),
            azimuth: Radians::from_degrees(position.azimuth()),
        })
    }
}

#[cfg(test)]
mod tests {
    //! The published worked example, and pvlib's positions of six cities.

    use units::table::{number, rows};

    use super::*;

    fn site(latitude: f64, longitude: f64, elevation: f64) -> Site {
        let (latitude, longitude) = (
            Radians::from_degrees(latitude),
            Radians::from_degrees(longitude),
        );
        Site::new(latitude, longitude, Metres(elevation)).unwrap()
    }

    /// Seconds since 1970 of `2026-03-20T15:00:00Z`.
    pub(crate) fn instant(text: &str) -> Instant {
        let stamp: jiff::Timestamp = text.parse().unwrap();
        Instant(stamp.as_second() as f64)
    }

    #[test]
    fn published_example_comes_out_to_every_printed_digit() {
        // NREL/TP-560-34302, table A5.1: 2003-10-17 12:30:30 at UTC − 7 h.
        let at = instant("2003-10-17T19:30:30Z");
        let air = Air {
            pressure_hpa: 820.0,
            temperature_c: 11.0,
        };
        let place = site(39.742_476, -105.178_6, 1830.14);
        let sun = place.sun_through(at, air, Some(67.0)).unwrap();
        assert!((90.0 - sun.height.degrees() - 50.111_62).abs() < 5e-6);
        assert!((sun.azimuth.degrees() - 194.340_24).abs() < 5e-6);
        // Intermediates that the crate shows: radius vector, right ascension, declination.
        let time = JulianDate::new(2_440_587.5 + at.0 / 86_400.0, 67.0).unwrap();
        assert!((time.julian_date() - 2_452_930.312_847).abs() < 5e-7);
        assert!((time.julian_ephemeris_day() - 2_452_930.313_623).abs() < 5e-7);
        // The example counts on from a Julian date rounded to 10⁻⁶ days.
        assert!((time.julian_century() - 0.037_927_798_685_8).abs() < 1.4e-11);
        assert!((time.julian_ephemeris_century() - 0.037_927_819_916_852).abs() < 1.4e-11);
        assert!((time.julian_ephemeris_millennium() - 0.003_792_781_991_685).abs() < 1.4e-12);
        let parts = SolarPositions::new().for_time_from_julian(time).unwrap();
        assert!((parts.earth_radius_vector().unwrap() - 0.996_542_297_4).abs() < 5e-11);
        assert!((parts.right_ascension() - 202.227_408).abs() < 5e-6);
        assert!((parts.declination() + 9.314_34).abs() < 5e-6);
        let bare = Location {
            latitude: 39.742_476,
            longitude: -105.178_6,
        };
        let unrefracted = parts.at(bare, 1830.14, None).unwrap();
        assert!((unrefracted.elevation_angle() - 39.872_046).abs() < 5e-6);
        assert!((sun.height.degrees() - unrefracted.elevation_angle() - 0.016_332).abs() < 5e-6);
    }

    #[test]
    fn six_cities_agree_with_the_reference_library() {
        let mut worst = 0.0_f64;
        for row in rows(include_str!("sun-positions.csv")) {
            let place = site(number(row[1]), number(row[2]), number(row[3]));
            let sun = place.sun(instant(row[6])).unwrap();
            worst = worst.max((sun.height.degrees() - number(row[9])).abs());
            worst = worst.max((sun.azimuth.degrees() - number(row[10])).abs());
            let air = place.air();
            assert!((air.pressure_hpa * 100.0 - number(row[7])).abs() < 1.0);
        }
        // Printed to four decimals; TT − UT1 differs by a fraction of a second.
        assert!(worst < 2e-4, "{worst}");
    }

    #[test]
    fn random_moments_and_places_agree_with_the_reference_library() {
        let mut off: Vec<f64> = rows(include_str!("sun-random.csv"))
            .map(|row| {
                let place = site(number(row[0]), number(row[1]), number(row[2]));
                let sun = place.sun(Instant(number(row[3]))).unwrap();
                let height = sun.height.degrees() - number(row[4]);
                // A turn round the zenith counts by the arc that it makes on the sky.
                let turn =
                    (sun.azimuth.degrees() - number(row[5]) + 540.0).rem_euclid(360.0) - 180.0;
                height.hypot(turn * number(row[4]).to_radians().cos())
            })
            .collect();
        off.sort_by(f64::total_cmp);
        let (median, worst) = (off[off.len() / 2], off[off.len() - 1]);
        // Stated error of the algorithm ±0.0003° on each side; TT − UT1 is another estimate,
        // a minute off by the year 2100.
        assert_eq!(off.len(), 400);
        assert!(
            median < 1e-4 && off[396] < 1e-3 && worst < 1e-3,
            "{median} {} {worst}",
            off[396]
        );
    }

    #[test]
    fn poles_and_date_line_have_a_sun() {
        let noon = instant("2026-06-21T12:00:00Z");
        for (latitude, longitude) in [(90.0, 0.0), (-90.0, 0.0), (0.0, 180.0), (0.0, -180.0)] {
            let sun = site(latitude, longitude, 0.0).sun(noon).unwrap();
            assert!(sun.height.0.is_finite() && sun.azimuth.0.is_finite());
        }
        // The pole's sun stands as high as its declination.
        let pole = site(90.0, 0.0, 0.0).sun(noon).unwrap();
        assert!((pole.height.degrees() - 23.44).abs() < 0.05);
    }

    #[test]
    fn impossible_places_and_moments_are_refused() {
        let place = |latitude, longitude, elevation| {
            Site::new(
                Radians::from_degrees(latitude),
                Radians::from_degrees(longitude),
                Metres(elevation),
            )
        };
        for (a, b, c) in [
            (90.1, 0.0, 0.0),
            (0.0, 181.0, 0.0),
            (0.0, 0.0, 1e5),
            (f64::NAN, 0.0, 0.0),
        ] {
            assert_eq!(place(a, b, c), None);
        }
        let here = place(50.0, 0.0, 0.0).unwrap();
        for bad in [f64::NAN, f64::INFINITY, 1e13] {
            assert_eq!(here.sun(Instant(bad)), None);
        }
    }
}
