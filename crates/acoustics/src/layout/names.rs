//! What the trade calls the standard's systems and channels.

use std::sync::LazyLock;

use units::Radians;

use super::{DEFAULT_TOLERANCE_DEG, Limit, Position, Source, found, system};
use crate::direction::{AzimuthRange, ElevationRange};

/// The layouts by the trade's count: mains . subwoofers . overheads.
pub(super) const TRADE_SYSTEMS: [&str; 10] = [
    "2.0", "5.1", "5.1.2", "5.1.4", "7.1", "7.1.2", "7.1.4", "9.1.4", "9.1.6", "22.2",
];

/// The standard system behind a count such as `7.2.4`; any number of subwoofers.
pub(super) fn standard_system(count: &str) -> Option<&'static str> {
    let Count {
        mains, overheads, ..
    } = Count::read(count)?;
    match (mains, overheads) {
        (2, 0) => Some("0+2+0"),
        (5, 0) => Some("0+5+0"),
        (5, 2) => Some("2+5+0"),
        (5, 4) => Some("4+5+0"),
        (7, 0 | 2) => Some("0+7+0"),
        (7, 4) => Some("4+7+0"),
        (9, 4 | 6) => Some("4+9+0"),
        (22, 0) => Some("9+10+3"),
        _ => None,
    }
}

/// A layout's name as the trade counts it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Count {
    /// Loudspeakers at ear level.
    pub mains: u32,
    /// Subwoofers.
    pub subwoofers: u32,
    /// Loudspeakers above the listeners.
    pub overheads: u32,
}

impl Count {
    /// Reads `7.2.4` or `5.1`.
    pub fn read(name: &str) -> Option<Self> {
        let parts: Vec<u32> = name
            .split('.')
            .map(str::parse)
            .collect::<Result<_, _>>()
            .ok()?;
        let (mains, subwoofers, overheads) = match parts[..] {
            [mains, subwoofers] => (mains, subwoofers, 0),
            [mains, subwoofers, overheads] => (mains, subwoofers, overheads),
            _ => return None,
        };
        Some(Self {
            mains,
            subwoofers,
            overheads,
        })
    }
}

/// What the trade calls a channel of a system of the standard.
pub(super) fn plain_name(layout: &str, channel: &str) -> Option<&'static str> {
    let of = system(layout).ok()?;
    let is_it = |name: &&str| found(layout, of, name).is_some_and(|row| row.channel == channel);
    NAMES.iter().map(|(name, _)| *name).find(is_it)
}

/// The labels a name can stand for; a layout has the first of them that it lists.
const NAMES: &[(&str, &[&str])] = &[
    // In the 22-channel system the outer front pair is the left and right.
    ("left", &["M+060", "M+030", "L"]),
    ("right", &["M-060", "M-030", "R"]),
    ("centre", &["M+000", "C"]),
    ("subwoofer", &["LFE1"]),
    ("subwoofer-left", &["LFE1"]),
    ("subwoofer-right", &["LFE2"]),
    ("left-surround", &["M+110", "M+090", "LS"]),
    ("right-surround", &["M-110", "M-090", "RS"]),
    ("left-back", &["M+135"]),
    ("right-back", &["M-135"]),
    ("left-surround-back", &["M+135"]),
    ("right-surround-back", &["M-135"]),
    ("back-centre", &["M+180"]),
    ("left-screen", &["M+SC"]),
    ("right-screen", &["M-SC"]),
    ("top-front-left", &["U+030", "U+045"]),
    ("top-front-right", &["U-030", "U-045"]),
    ("top-front-centre", &["U+000"]),
    ("top-surround-left", &["U+090"]),
    ("top-surround-right", &["U-090"]),
    ("top-back-left", &["U+110", "U+135"]),
    ("top-back-right", &["U-110", "U-135"]),
    ("top-back-centre", &["U+180", "UH+180"]),
    ("top-centre", &["T+000"]),
    ("bottom-centre", &["B+000"]),
    ("bottom-front-left", &["B+045"]),
    ("bottom-front-right", &["B-045"]),
];

/// The labels that a trade name can stand for; empty for an unknown name.
pub(super) fn labels(name: &str) -> &'static [&'static str] {
    static IN_WORDS: LazyLock<Vec<Vec<String>>> =
        LazyLock::new(|| NAMES.iter().map(|(name, _)| words(name)).collect());
    let wanted = words(name);
    (IN_WORDS.iter().zip(NAMES))
        .find(|(words, _)| **words == wanted)
        .map_or(&[], |(_, (_, labels))| labels)
}

/// A channel that the trade fits and the standard's system does not list.
pub(super) fn beyond_the_standard(
    layout: &str,
    system: &'static str,
    name: &str,
) -> Option<Position> {
    let free = |channel, low_frequency| Position {
        system,
        channel,
        low_frequency,
        azimuth: None,
        elevation: None,
        azimuth_limit: None,
        elevation_limit: None,
        overhead_limit: None,
    };
    // A lone overhead pair: 65° to 100° in the side view, as trade guides have it;
    // from memory.
    let overhead = |channel| Position {
        overhead_limit: Some(Limit {
            range: ElevationRange {
                min: Radians::from_degrees(65.0),
                max: Radians::from_degrees(100.0),
            },
            source: Source::CommonPractice,
        }),
        ..free(channel, false)
    };
    // Between the front and the side pair, at the ears; from memory.
    let wide = |channel, min, max| Position {
        azimuth_limit: Some(Limit {
            range: AzimuthRange {
                min: Radians::from_degrees(min),
                max: Radians::from_degrees(max),
            },
            source: Source::CommonPractice,
        }),
        elevation_limit: Some(Limit {
            range: ElevationRange::about(
                Radians(0.0),
                Radians::from_degrees(DEFAULT_TOLERANCE_DEG),
            ),
            source: Source::CommonPractice,
        }),
        ..free(channel, false)
    };
    let Count {
        mains, overheads, ..
    } = Count::read(layout).unwrap_or_default();
    let wanted = words(name);
    let is = |name| words(name) == wanted;
    if wanted
        .first()
        .is_some_and(|word| word.starts_with("subwoofer"))
    {
        Some(free("subwoofer", true))
    } else if matches!(overheads, 2 | 6) && is("top-middle-left") {
        Some(overhead("top-middle-left"))
    } else if matches!(overheads, 2 | 6) && is("top-middle-right") {
        Some(overhead("top-middle-right"))
    } else if mains == 9 && is("left-wide") {
        Some(wide("left-wide", 50.0, 70.0))
    } else if mains == 9 && is("right-wide") {
        Some(wide("right-wide", -70.0, -50.0))
    } else if mains == 7 && overheads == 2 {
        // The standard has a front pair above seven mains with a back pair alone.
        let next = super::system("4+7+0");
        let front = found("4+7+0", next.ok()?, name)?;
        matches!(front.channel, "U+045" | "U-045").then_some(front)
    } else {
        None
    }
}

/// The words of a name in one order and one spelling, so that `surround-left`
/// and `left-surround` are one channel.
fn words(name: &str) -> Vec<String> {
    let mut words: Vec<String> = name
        .to_ascii_lowercase()
        .split(['-', '_', ' '])
        .filter(|word| !word.is_empty() && *word != "channel")
        .map(|word| match word {
            "center" => "centre".to_owned(),
            "rear" => "back".to_owned(),
            "height" | "overhead" => "top".to_owned(),
            "side" => "surround".to_owned(),
            "sub" | "lfe" => "subwoofer".to_owned(),
            other => other.to_owned(),
        })
        .collect();
    words.sort_unstable();
    // "front left" is the left; "top front left" keeps its layer.
    if words.len() == 2 && words[0] == "front" {
        words.remove(0);
    }
    // Subwoofers sort first, whatever follows their name.
    words.sort_by_key(|word| !word.starts_with("subwoofer"));
    words
}

#[cfg(test)]
mod tests {
    use units::Metres;

    use super::super::{position, systems};
    use super::*;
    use crate::direction::Direction;

    #[test]
    fn word_order_and_spelling_do_not_matter() {
        let channel = |layout, name| position(layout, name).unwrap().channel;
        assert_eq!(channel("5.1", "surround-left"), "M+110");
        assert_eq!(channel("7.1", "side-left"), "M+090");
        assert_eq!(channel("7.1.4", "Top Rear Right"), "U-135");
        assert_eq!(channel("5.1.4", "height-front-left"), "U+030");
        assert_eq!(channel("2.0", "front-right"), "M-030");
        assert_eq!(channel("5.1", "center"), "M+000");
        assert_eq!(channel("22.2", "left"), "M+060");
    }

    #[test]
    fn every_label_is_one_of_the_standards() {
        let known: Vec<&str> = systems()
            .iter()
            .flat_map(|s| &s.channels)
            .map(|row| row.channel)
            .collect();
        for (name, labels) in NAMES {
            assert!(labels.iter().all(|label| known.contains(label)), "{name}");
        }
    }

    #[test]
    fn every_channel_has_a_trade_name_in_its_system() {
        for row in systems().iter().flat_map(|system| &system.channels) {
            let named = NAMES.iter().any(|(name, _)| {
                position(row.system, name).is_ok_and(|p| p.channel == row.channel)
            });
            // The inner front pair of the 22-channel system goes by its label.
            let inner = row.system == "9+10+3" && ["M+030", "M-030"].contains(&row.channel);
            assert!(named || inner, "{row:?}");
        }
    }

    #[test]
    fn every_trade_layout_has_a_standard_system() {
        for name in TRADE_SYSTEMS {
            assert!(standard_system(name).is_some(), "{name}");
        }
        assert_eq!(standard_system("7.2.4"), Some("4+7+0"));
        assert_eq!(standard_system("7.x"), None);
    }

    #[test]
    fn a_lone_overhead_pair_is_judged_in_the_side_view() {
        let pair = position("7.1.2", "top-middle-left").unwrap();
        assert_eq!(pair.overhead_limit.unwrap().source, Source::CommonPractice);
        // Inside from 65° to 100° up from straight ahead; past 90° it stands behind.
        for (azimuth, elevation, inside) in [
            (0.0, 64.0, false),
            (0.0, 66.0, true),
            (180.0, 81.0, true),
            (180.0, 79.0, false),
        ] {
            let heard = Direction {
                azimuth: Radians::from_degrees(azimuth),
                elevation: Radians::from_degrees(elevation),
                distance: Metres(1.5),
            };
            let margin = pair.margins(&heard).overhead.unwrap().degrees();
            assert!(
                (margin.abs() - 1.0).abs() < 1e-9,
                "{azimuth} {elevation}: {margin}"
            );
            assert_eq!(margin > 0.0, inside);
        }
        assert!(position("7.1.4", "top-middle-left").is_err());
    }

    #[test]
    fn a_name_places_every_overhead_that_it_promises() {
        let front = position("7.1.2", "top-front-left").unwrap();
        assert_eq!((front.system, front.channel), ("4+7+0", "U+045"));
        assert_eq!(position("7.1.2", "U-045").unwrap().channel, "U-045");
        assert!(position("7.1.2", "top-back-left").is_err());
        assert!(position("7.1", "top-front-left").is_err());
        let third = position("9.1.6", "top-middle-right").unwrap();
        assert_eq!(third.overhead_limit.unwrap().source, Source::CommonPractice);
        assert!(position("9.1.4", "top-middle-right").is_err());
    }

    #[test]
    fn a_wide_pair_stands_between_front_and_side() {
        let heard = |azimuth: f64| Direction {
            azimuth: Radians::from_degrees(azimuth),
            elevation: Radians(0.0),
            distance: Metres(2.0),
        };
        let wide = position("9.1.6", "left-wide").unwrap();
        for (azimuth, margin) in [(49.0, -1.0), (51.0, 1.0), (69.0, 1.0), (71.0, -1.0)] {
            let found = wide.margins(&heard(azimuth)).azimuth.unwrap().degrees();
            assert!((found - margin).abs() < 1e-9, "{azimuth}: {found}");
        }
        let right = position("9.1.4", "wide right").unwrap();
        assert!(right.margins(&heard(-60.0)).azimuth.unwrap().0 > 0.0);
    }
}
