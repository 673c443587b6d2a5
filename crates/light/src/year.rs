//! What is it like at each hour of the year, and from when on in the evening?
//!
//! A day of each month stands for the month: the 21st, on or next to the solstices and
//! equinoxes. Hours are those of the clock on the wall.

use crate::clock::{Clock, Day, Moment};
use crate::sun::{Site, SunPosition};

/// The day that stands for its month.
pub const DAY_OF_MONTH: i8 = 21;

/// One value for each month and each full hour; none where the clock skips the hour.
pub type YearMap<T> = [[Option<T>; 24]; 12];

/// A place with its clock, in one year.
#[derive(Clone, Debug)]
pub struct Year<'a> {
    /// The place.
    pub site: Site,
    /// Its clock.
    pub clock: &'a Clock,
    /// The year.
    pub year: i16,
}

/// From when on something holds until midnight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HoldsFrom {
    /// At every hour of the day.
    AllDay,
    /// From this minute after midnight on.
    Minute(u16),
    /// Not even at midnight.
    NotThatDay,
}

impl Year<'_> {
    /// The sun at a minute of a month's day (0 for January); none where the clock skips it,
    /// the first time where it shows it twice, and for a year or month out of range.
    pub fn sun(&self, month: usize, minute: u16) -> Option<SunPosition> {
        let day = Day {
            year: self.year,
            month: i8::try_from(month + 1).ok()?,
            day: DAY_OF_MONTH,
        };
        let instant = self.clock.moment(day, minute).and_then(Moment::first)?;
        self.site.sun(instant)
    }

    /// Asks for each hour of the day of each month.
    pub fn map<T>(&self, mut at: impl FnMut(SunPosition) -> T) -> YearMap<T> {
        std::array::from_fn(|month| {
            std::array::from_fn(|hour| self.sun(month, hour as u16 * 60).map(&mut at))
        })
    }

    /// From when on in a month's day something holds until midnight, to the minute. Hours are
    /// tried first, so that a lapse between two hours may be missed.
    pub fn holds_from(
        &self,
        month: usize,
        mut holds: impl FnMut(SunPosition) -> bool,
    ) -> HoldsFrom {
        // What the clock skips is not seen, and so holds.
        let mut at = |minute: u16| self.sun(month, minute).is_none_or(&mut holds);
        if !at(1440) {
            return HoldsFrom::NotThatDay;
        }
        let Some(last) = (0..24)
            .rev()
            .map(|hour| hour * 60)
            .find(|minute| !at(*minute))
        else {
            return HoldsFrom::AllDay;
        };
        let (mut fails, mut good) = (last, last + 60);
        while good - fails > 1 {
            let middle = (fails + good) / 2;
            if at(middle) {
                good = middle;
            } else {
                fails = middle;
            }
        }
        HoldsFrom::Minute(good)
    }
}

#[cfg(test)]
mod tests {
    use units::{Metres, Radians};

    use super::*;

    fn site(latitude: f64, longitude: f64) -> Site {
        Site::new(
            Radians::from_degrees(latitude),
            Radians::from_degrees(longitude),
            Metres(0.0),
        )
        .unwrap()
    }

    #[test]
    fn the_map_follows_the_wall_clock() {
        let clock = Clock::of("Europe/London").unwrap();
        let year = Year {
            site: site(51.5, -0.13),
            clock: &clock,
            year: 2026,
        };
        let map = year.map(|sun| sun.height.degrees());
        // Noon by the sun: 12 in winter, 13 in summer.
        let highest = |month: usize| {
            (0..24).max_by(|a, b| map[month][*a].partial_cmp(&map[month][*b]).unwrap())
        };
        assert_eq!(highest(11), Some(12));
        assert_eq!(highest(5), Some(13));
        // pvlib, 2026-06-21 16:00 in London: 46.0068°.
        assert!((map[5][16].unwrap() - 46.01).abs() < 0.03);
    }

    #[test]
    fn darkness_begins_when_the_sun_has_set() {
        let clock = Clock::of("Europe/London").unwrap();
        let year = Year {
            site: site(51.5074, -0.1278),
            clock: &clock,
            year: 2026,
        };
        let dark = |sun: SunPosition| sun.height.degrees() < -6.0;
        // Civil dusk in London, almanac rounded: 21 Dec 16:33, 21 June 22:08 (from memory, ± 3 min).
        let HoldsFrom::Minute(winter) = year.holds_from(11, dark) else {
            panic!()
        };
        let HoldsFrom::Minute(summer) = year.holds_from(5, dark) else {
            panic!()
        };
        assert!((i32::from(winter) - (16 * 60 + 33)).abs() <= 3, "{winter}");
        assert!((i32::from(summer) - (22 * 60 + 8)).abs() <= 3, "{summer}");
    }

    #[test]
    fn polar_day_and_night_are_answers() {
        let clock = Clock::of("Arctic/Longyearbyen").unwrap();
        let year = Year {
            site: site(78.2, 15.6),
            clock: &clock,
            year: 2026,
        };
        let dark = |sun: SunPosition| sun.height.0 < 0.0;
        assert_eq!(year.holds_from(5, dark), HoldsFrom::NotThatDay);
        assert_eq!(year.holds_from(11, dark), HoldsFrom::AllDay);
    }

    #[test]
    fn an_hour_that_the_clock_skips_is_left_blank() {
        // Where the day that stands for the month is the one on which the clock jumps: Iran
        // went to summer time at midnight before 21 March 2016.
        let clock = Clock::of("Asia/Tehran").unwrap();
        let year = Year {
            site: site(35.7, 51.4),
            clock: &clock,
            year: 2016,
        };
        let blanks: Vec<(usize, usize)> = (0..12)
            .flat_map(|m| (0..24).map(move |h| (m, h)))
            .filter(|(m, h)| year.map(|_| ())[*m][*h].is_none())
            .collect();
        assert_eq!(blanks, [(2, 0)]);
        assert_eq!(year.sun(12, 0), None);
    }
}
