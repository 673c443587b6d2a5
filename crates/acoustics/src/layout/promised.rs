//! Which loudspeakers does a layout's name promise?

use super::names::{self, Count};
use super::{LayoutError, Position, found, system};

/// One loudspeaker that a layout's name promises.
#[derive(Clone, Debug, PartialEq)]
pub struct Promised {
    /// The channels of which it plays one, the standard's first; one but for pairs that the trade
    /// puts in either of two places.
    pub any_of: Vec<Position>,
}

impl Promised {
    /// Whether a loudspeaker of that channel is it.
    pub fn is_played_by(&self, channel: &Position) -> bool {
        (self.any_of.iter())
            .any(|own| own.channel == channel.channel || own.low_frequency && channel.low_frequency)
    }

    /// Whether it plays low-frequency effects alone.
    pub fn is_low_frequency(&self) -> bool {
        self.any_of.iter().any(|own| own.low_frequency)
    }

    /// What a crew calls it, as "left" or "top-middle-left or top-front-left".
    pub fn name(&self) -> String {
        let names = self.any_of.iter().map(|position| {
            names::plain_name(position.system, position.channel).unwrap_or(position.channel)
        });
        names.collect::<Vec<_>>().join(" or ")
    }
}

/// Every loudspeaker that a layout promises: the channels of its system, as many subwoofers as
/// the trade's count says, and the overheads of a count that the system lacks.
pub fn promised(layout: &str) -> Result<Vec<Promised>, LayoutError> {
    let system = system(layout)?;
    let count = Count::read(layout);
    let at = |channel: &str| found(layout, system, channel);
    let mut all = Vec::new();
    for row in &system.channels {
        if row.low_frequency && count.is_some() {
            continue;
        }
        // Where the trade puts the pair instead.
        let instead = match row.channel {
            "M+SC" => at("left-wide"),
            "M-SC" => at("right-wide"),
            "U+030" => at("top-middle-left"),
            "U-030" => at("top-middle-right"),
            _ => None,
        };
        let any_of = std::iter::once(*row).chain(instead).collect();
        all.push(Promised { any_of });
    }
    for side in ["left", "right"] {
        let pair = ["top-middle", "top-front"].map(|place| at(&format!("{place}-{side}")));
        let any_of: Vec<Position> = pair.into_iter().flatten().collect();
        let has = |own: &Promised| any_of.iter().any(|position| own.is_played_by(position));
        let beyond: Vec<Position> = match count {
            Some(Count { overheads: 6, .. }) => any_of.into_iter().take(1).collect(),
            Some(Count { overheads: 2, .. }) if !all.iter().any(has) => any_of,
            _ => continue,
        };
        all.push(Promised { any_of: beyond });
    }
    if let (Some(Count { subwoofers, .. }), Some(one)) = (count, at("subwoofer")) {
        let any_of = vec![one];
        all.extend((0..subwoofers).map(|_| Promised {
            any_of: any_of.clone(),
        }));
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::super::names::TRADE_SYSTEMS;
    use super::super::{position, systems};
    use super::*;

    fn names(layout: &str) -> Vec<String> {
        let all = promised(layout).expect("a known layout");
        all.iter().map(Promised::name).collect()
    }

    #[test]
    fn a_count_promises_as_many_as_it_says() {
        for name in TRADE_SYSTEMS {
            let said: usize = name
                .split('.')
                .map(|part| part.parse::<usize>().unwrap())
                .sum();
            assert_eq!(names(name).len(), said, "{name}: {:?}", names(name));
        }
        assert_eq!(names("5.2.4").len(), 11);
        assert_eq!(names("5.0").len(), 5);
        assert_eq!(names("2.1"), ["left", "right", "subwoofer"]);
    }

    #[test]
    fn a_system_of_the_standard_promises_its_table() {
        for system in systems() {
            assert_eq!(names(system.name).len(), system.channels.len());
        }
    }

    #[test]
    fn pairs_that_stand_in_either_place_count_once() {
        let either = "top-middle-left or top-front-left".to_owned();
        assert!(names("7.1.2").contains(&either));
        assert!(names("5.1.2").contains(&"top-front-left or top-middle-left".to_owned()));
        assert!(names("9.1.6").contains(&"left-screen or left-wide".to_owned()));
        assert!(names("9.1.6").contains(&"top-middle-left".to_owned()));
    }

    #[test]
    fn every_channel_that_is_promised_is_found_by_its_name() {
        for layout in TRADE_SYSTEMS {
            for own in promised(layout).unwrap().iter().flat_map(|own| &own.any_of) {
                let name = names::plain_name(own.system, own.channel).unwrap_or(own.channel);
                assert_eq!(
                    position(layout, name).unwrap().channel,
                    own.channel,
                    "{layout}"
                );
            }
        }
    }
}
