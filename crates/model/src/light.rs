//! Facts of light: what surfaces give back, what hides the sky, and when a picture is watched.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Angle, Length, Ratio};

/// A point of the line above which the sky begins: `["90 deg", "12 deg"]`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HorizonPoint(
    /// The compass direction.
    pub Angle,
    /// The height of neighbours or trees there, above the level.
    pub Angle,
);

/// A roof's edge, balcony or awning over a window, wider than the window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Overhang {
    /// How far it reaches out from the glass.
    pub out: Length,
    /// Its underside above the window's upper edge; level with it when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above: Option<Length>,
}

/// Shares of the light that surfaces give back: white paint about 0.8, dark theatre paint
/// about 0.05.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Reflectances {
    /// All walls that are not named below.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub walls: Option<Ratio>,
    /// The floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor: Option<Ratio>,
    /// The ceiling.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ceiling: Option<Ratio>,
    /// Single walls by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub wall: BTreeMap<String, Ratio>,
}

/// When a picture is watched, by the clock on the wall: `["19:00", "23:30"]`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Watched(
    /// From this time of day.
    pub String,
    /// Until this time of day; `24:00` is midnight.
    pub String,
);

impl Watched {
    /// Both in minutes after midnight; `None` unless both are times of day, the second one
    /// after the first.
    pub fn minutes(&self) -> Option<[u16; 2]> {
        let (from, until) = (minutes(&self.0)?, minutes(&self.1)?);
        (from < until).then_some([from, until])
    }
}

/// Minutes after midnight of a time such as `19:30`.
fn minutes(time: &str) -> Option<u16> {
    let (hours, minutes) = time.trim().split_once(':')?;
    let number = |text: &str, digits: std::ops::RangeInclusive<usize>| {
        let plain = digits.contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
        if plain {
            text.parse::<u16>().ok()
        } else {
            None
        }
    };
    let total = number(hours, 1..=2)? * 60 + number(minutes, 2..=2).filter(|m| *m < 60)?;
    (total <= 1440).then_some(total)
}

#[cfg(test)]
mod tests {
    use super::Watched;

    #[test]
    fn times_of_day_are_read_and_others_refused() {
        let read = |from: &str, until: &str| Watched(from.into(), until.into()).minutes();
        assert_eq!(read("19:00", "23:30"), Some([1140, 1410]));
        assert_eq!(read("7:05", "24:00"), Some([425, 1440]));
        for (from, until) in [
            ("19:00", "18:00"),
            ("19", "20"),
            ("19:60", "23:00"),
            ("25:00", "26:00"),
            ("+9:00", "10:00"),
            ("", ""),
            ("99999999:00", "1:00"),
        ] {
            assert_eq!(read(from, until), None, "{from} {until}");
        }
    }
}
