//! Where may each loudspeaker of a layout stand, and who says so?
//!
//! The systems of ITU-R BS.2051 and the five channels of ITU-R BS.775-3, found by
//! the standard's channel label (`M+030`) or by the trade's name for it (`left`).
//! Limits are azimuth and elevation ranges seen from the ear, both ends included.
//! Where a standard prints a position without a range, the tolerance of
//! [`DEFAULT_TOLERANCE_DEG`] is common practice and says so.
//!
//! Not here: distances (equalised by delay), aim and level.

use std::fmt;
use std::sync::OnceLock;

use units::Radians;

use crate::direction::{AzimuthRange, Direction, ElevationRange};
use units::table;

mod names;
mod promised;
mod references;
pub use promised::{Promised, promised};
pub(crate) use references::REFERENCES;

/// The tolerance to both sides of a position printed without a range; common
/// practice, no source.
pub const DEFAULT_TOLERANCE_DEG: f64 = 5.0;

/// Where a limit comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// The range that ITU-R BS.2051 prints for a channel of a system (read in a
    /// public renderer's copy of the tables).
    Bs2051 {
        /// Upper+middle+bottom layer, as `4+7+0`.
        system: &'static str,
        /// The channel label, as `M+030`.
        channel: &'static str,
    },
    /// ITU-R BS.775-3 figure 1.
    Bs775,
    /// Common practice of the trade; no source.
    CommonPractice,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Bs2051 { system, channel } => {
                write!(f, "ITU-R BS.2051 system {system}, {channel}")
            }
            Self::Bs775 => f.write_str("ITU-R BS.775-3 figure 1"),
            Self::CommonPractice => f.write_str("common practice, no source"),
        }
    }
}

/// A range and who asks for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit<Range> {
    /// The allowed range.
    pub range: Range,
    /// Who asks for it.
    pub source: Source,
}

/// Where one channel of a layout belongs.
///
/// A limit of `None` means that nobody sets one that can be relied on: a
/// low-frequency channel may stand anywhere, the zenith has no azimuth, and the
/// range of the screen-edge pair (`M±SC`) is printed in two ways.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    /// The system's own name, as `4+7+0` or `BS.775-3`.
    pub system: &'static str,
    /// The channel label, as `M+030`.
    pub channel: &'static str,
    /// Whether the channel carries only low-frequency effects.
    pub low_frequency: bool,
    /// The set azimuth, if there is one.
    pub azimuth: Option<Radians>,
    /// The set elevation, if there is one.
    pub elevation: Option<Radians>,
    /// The allowed azimuths.
    pub azimuth_limit: Option<Limit<AzimuthRange>>,
    /// The allowed elevations.
    pub elevation_limit: Option<Limit<ElevationRange>>,
    /// The allowed angles up from straight ahead in the side view
    /// ([`Direction::overhead`]), for a lone overhead pair.
    pub overhead_limit: Option<Limit<ElevationRange>>,
}

/// How far a loudspeaker is inside (positive) or outside (negative) its limits.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Margins {
    /// Against the azimuth limit.
    pub azimuth: Option<Radians>,
    /// Against the elevation limit.
    pub elevation: Option<Radians>,
    /// Against the side-view limit of an overhead pair.
    pub overhead: Option<Radians>,
}

impl Position {
    /// The margins of a loudspeaker heard from `direction`.
    pub fn margins(&self, direction: &Direction) -> Margins {
        Margins {
            azimuth: self
                .azimuth_limit
                .map(|limit| limit.range.margin(direction.azimuth)),
            elevation: self
                .elevation_limit
                .map(|limit| limit.range.margin(direction.elevation)),
            overhead: self
                .overhead_limit
                .map(|limit| limit.range.margin(direction.overhead())),
        }
    }
}

/// Why a channel was not found.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LayoutError {
    /// The layout's name is not known.
    #[error("there is no layout {name:?}; the layouts are {}", .known.join(", "))]
    System {
        /// The name asked for.
        name: String,
        /// Every name that is known.
        known: Vec<&'static str>,
    },
    /// The layout has no such channel.
    #[error("layout {system} has no channel {channel:?}; its channels are {}", .known.join(", "))]
    Channel {
        /// The layout.
        system: &'static str,
        /// The channel asked for.
        channel: String,
        /// The labels of its channels.
        known: Vec<&'static str>,
    },
}

/// A loudspeaker layout of a standard.
#[derive(Clone, Debug, PartialEq)]
pub struct System {
    /// The name in the standard, as `4+7+0`, or `BS.775-3`.
    pub name: &'static str,
    /// Its channels in the order of the table.
    pub channels: Vec<Position>,
}

/// Every layout, in the order of the table, BS.775-3 last.
pub fn systems() -> &'static [System] {
    static SYSTEMS: OnceLock<Vec<System>> = OnceLock::new();
    SYSTEMS.get_or_init(|| {
        let mut systems = bs2051();
        systems.push(bs775());
        systems
    })
}

/// The layout of that name: a system of the standard (`4+7+0`, `BS.775-3`) or the
/// trade's count of mains, subwoofers and overheads (`7.1.4`, `5.2`).
///
/// `7.1.2` and `9.1.6` give the standard system they extend (`0+7+0`, `4+9+0`); [`promised`]
/// tells what they have besides.
pub fn system(name: &str) -> Result<&'static System, LayoutError> {
    let standard = names::standard_system(name).unwrap_or(name);
    systems()
        .iter()
        .find(|system| system.name.eq_ignore_ascii_case(standard))
        .ok_or_else(|| LayoutError::System {
            name: name.to_owned(),
            known: systems()
                .iter()
                .map(|system| system.name)
                .chain(names::TRADE_SYSTEMS)
                .collect(),
        })
}

/// Where a channel of a layout belongs. `channel` is a label of the standard
/// (`U+045`) or a name of the trade (`top-front-left`; the words in any order).
///
/// A subwoofer that the standard does not place, a wide pair (`left-wide`) and
/// the overhead middle pair (`top-middle-left`) of layouts with them are found
/// too; they carry no limit but what practice gives. A front overhead pair of `7.1.2` has the
/// ranges of the standard's next system that has one, `4+7+0`.
pub fn position(layout: &str, channel: &str) -> Result<Position, LayoutError> {
    let system = system(layout)?;
    found(layout, system, channel).ok_or_else(|| LayoutError::Channel {
        system: system.name,
        channel: channel.to_owned(),
        known: promised(layout)
            .into_iter()
            .flatten()
            .flat_map(|own| own.any_of)
            .map(|row| row.channel)
            .collect(),
    })
}

/// A channel of a layout of a system, if it has it.
fn found(layout: &str, system: &System, channel: &str) -> Option<Position> {
    let has = |label: &str| system.channels.iter().find(|row| row.channel == label);
    let standard = has(channel)
        .or_else(|| names::labels(channel).iter().find_map(|label| has(label)))
        .copied();
    standard.or_else(|| names::beyond_the_standard(layout, system.name, channel))
}

/// What the trade calls a channel of a layout; nothing where it goes by its label alone.
pub fn plain_name(layout: &str, channel: &str) -> Option<&'static str> {
    names::plain_name(layout, channel)
}

fn bs2051() -> Vec<System> {
    let mut systems: Vec<System> = Vec::new();
    for row in table::rows(include_str!("layout/bs2051.csv")) {
        let position = bs2051_row(&row);
        match systems.last_mut() {
            Some(last) if last.name == position.system => last.channels.push(position),
            _ => systems.push(System {
                name: position.system,
                channels: vec![position],
            }),
        }
    }
    systems
}

fn bs2051_row(row: &[&'static str]) -> Position {
    let (system, channel) = (row[0], row[1]);
    let [
        azimuth,
        azimuth_min,
        azimuth_max,
        elevation,
        elevation_min,
        elevation_max,
    ] = [3, 4, 5, 6, 7, 8].map(|i| table::number_or_blank(row[i]).map(Radians::from_degrees));
    let published = Source::Bs2051 { system, channel };
    let tolerance = Radians::from_degrees(DEFAULT_TOLERANCE_DEG);
    let low_frequency = row[2] == "1";
    // Without a set azimuth a low-frequency channel may stand anywhere, and the
    // screen-edge pair has ranges that differ from copy to copy of the table
    // (5° to 25° and 5° to 60° were seen): too doubtful to judge by.
    let unset = azimuth.is_none();
    let zenith = elevation == Some(Radians::from_degrees(90.0));

    let azimuth_limit = match (azimuth_min, azimuth_max) {
        _ if unset || zenith => None,
        (Some(min), Some(max)) if min == max => Some(Limit {
            range: AzimuthRange::about(min, tolerance),
            source: Source::CommonPractice,
        }),
        (Some(min), Some(max)) => Some(Limit {
            range: AzimuthRange { min, max },
            source: published,
        }),
        _ => None,
    };
    let elevation_limit = match (elevation_min, elevation_max) {
        _ if elevation.is_none() => None,
        (Some(min), Some(max)) if min == max => Some(Limit {
            range: ElevationRange::about(min, tolerance),
            source: Source::CommonPractice,
        }),
        (Some(min), Some(max)) => Some(Limit {
            range: ElevationRange { min, max },
            source: published,
        }),
        _ => None,
    };
    Position {
        system,
        channel,
        low_frequency,
        azimuth,
        elevation,
        azimuth_limit,
        elevation_limit,
        overhead_limit: None,
    }
}

/// ITU-R BS.775-3 figure 1 (seen in a stored copy): C 0°, L and R ±30° at ear
/// height without a range; LS and RS ±100° to ±120°, tilted 0° to 15° down, which
/// puts them 0° to 15° up as seen from the ear.
fn bs775() -> System {
    let degrees = Radians::from_degrees;
    let tolerance = degrees(DEFAULT_TOLERANCE_DEG);
    let level = ElevationRange::about(degrees(0.0), tolerance);
    let raised = ElevationRange {
        min: degrees(0.0),
        max: degrees(15.0),
    };
    let front = |channel, azimuth| Position {
        system: "BS.775-3",
        channel,
        low_frequency: false,
        azimuth: Some(degrees(azimuth)),
        elevation: Some(degrees(0.0)),
        azimuth_limit: Some(Limit {
            range: AzimuthRange::about(degrees(azimuth), tolerance),
            source: Source::CommonPractice,
        }),
        elevation_limit: Some(Limit {
            range: level,
            source: Source::CommonPractice,
        }),
        overhead_limit: None,
    };
    let surround = |channel, min, max| Position {
        azimuth: Some(degrees((min + max) / 2.0)),
        azimuth_limit: Some(Limit {
            range: AzimuthRange {
                min: degrees(min),
                max: degrees(max),
            },
            source: Source::Bs775,
        }),
        elevation_limit: Some(Limit {
            range: raised,
            source: Source::Bs775,
        }),
        ..front(channel, 0.0)
    };
    System {
        name: "BS.775-3",
        channels: vec![
            front("L", 30.0),
            front("R", -30.0),
            front("C", 0.0),
            surround("LS", 100.0, 120.0),
            surround("RS", -120.0, -100.0),
        ],
    }
}

#[cfg(test)]
mod tests {
    use units::Metres;

    use super::*;

    fn toward(azimuth: f64, elevation: f64) -> Direction {
        Direction {
            azimuth: Radians::from_degrees(azimuth),
            elevation: Radians::from_degrees(elevation),
            distance: Metres(2.0),
        }
    }

    #[test]
    fn the_whole_table_is_read() {
        let rows: usize = systems().iter().map(|system| system.channels.len()).sum();
        assert_eq!((systems().len(), rows), (11, 107 + 5));
    }

    #[test]
    fn every_set_position_is_inside_its_own_limits() {
        for row in systems().iter().flat_map(|system| &system.channels) {
            let (Some(azimuth), Some(elevation)) = (row.azimuth, row.elevation) else {
                continue;
            };
            let margins = row.margins(&Direction {
                azimuth,
                elevation,
                distance: Metres(2.0),
            });
            for margin in [margins.azimuth, margins.elevation].into_iter().flatten() {
                assert!(margin.0 >= 0.0, "{row:?}");
            }
        }
    }

    #[test]
    fn every_left_channel_mirrors_its_right_one() {
        let mut pairs = 0;
        for left in systems().iter().flat_map(|system| &system.channels) {
            let mirror = left.channel.replace('+', "-");
            let Ok(right) = position(left.system, &mirror) else {
                continue;
            };
            if right.channel == left.channel {
                continue;
            }
            let ends =
                |limit: Option<Limit<AzimuthRange>>| limit.map(|l| (l.range.min, l.range.max));
            let mirrored = ends(right.azimuth_limit).map(|(min, max)| (-max, -min));
            assert_eq!(ends(left.azimuth_limit), mirrored, "{left:?}");
            assert_eq!(left.elevation_limit, {
                let limit = right.elevation_limit.unwrap();
                let source = left.elevation_limit.unwrap().source;
                Some(Limit { source, ..limit })
            });
            pairs += 1;
        }
        assert_eq!(pairs, 40);
    }

    #[test]
    fn limits_say_who_asks() {
        let source = |layout, channel| position(layout, channel).unwrap().azimuth_limit.unwrap();
        assert_eq!(
            source("7.1", "left-surround").source.to_string(),
            "ITU-R BS.2051 system 0+7+0, M+090"
        );
        assert_eq!(source("5.1", "left").source, Source::CommonPractice);
        assert_eq!(source("BS.775-3", "left-surround").source, Source::Bs775);
    }

    #[test]
    fn the_default_tolerance_crosses_the_back() {
        let back = position("9+10+3", "back-centre").unwrap();
        for (azimuth, inside) in [(180.0, true), (-176.0, true), (176.0, true), (174.0, false)] {
            let margin = back.margins(&toward(azimuth, 5.0)).azimuth.unwrap().0;
            assert_eq!(margin >= 0.0, inside, "{azimuth}");
        }
    }

    #[test]
    fn the_zenith_has_no_azimuth() {
        let top = position("9+10+3", "T+000").unwrap();
        let margins = top.margins(&toward(77.0, 89.0));
        assert_eq!(margins.azimuth, None);
        assert!((margins.elevation.unwrap().degrees() - 4.0).abs() < 1e-9);
    }

    #[test]
    fn the_screen_edge_pair_is_judged_by_height_alone() {
        let edge = position("9.1.4", "left-screen").unwrap();
        let margins = edge.margins(&toward(40.0, 6.0));
        assert_eq!(margins.azimuth, None);
        assert!((margins.elevation.unwrap().degrees() + 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_subwoofer_may_stand_anywhere_unless_the_standard_places_it() {
        for layout in ["5.1", "7.2.4", "2.1"] {
            let sub = position(layout, "subwoofer").unwrap();
            assert_eq!(
                sub.margins(&toward(160.0, -20.0)),
                Margins::default(),
                "{layout}"
            );
            assert!(sub.low_frequency);
        }
        let placed = position("9+10+3", "subwoofer").unwrap();
        assert!(placed.margins(&toward(160.0, -20.0)).azimuth.unwrap().0 < 0.0);
    }

    #[test]
    fn a_channel_too_many_is_refused_with_the_list() {
        let text = position("5.1", "left-back").unwrap_err().to_string();
        assert!(text.starts_with("layout 0+5+0 has no channel \"left-back\"; its channels are M+"));
        assert!(system("6.1").unwrap_err().to_string().contains("4+7+0"));
    }
}
