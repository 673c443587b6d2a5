//! Which amplifier drives which loudspeaker.

use analysis::{Analysis, Known, Means, Missing, item_label};
use model::{AmplifierKit, Item, Kit, LoudspeakerKit};

/// A loudspeaker that asks for amplifier channels.
#[derive(Clone, Copy)]
pub(super) struct Load<'a> {
    pub item: &'a Item,
    pub kit: &'a LoudspeakerKit,
    /// Channels that it asks for, all of its kind at this place together.
    pub channels: u32,
}

/// An amplifier and what it drives.
pub(super) struct Driver<'a> {
    pub item: &'a Item,
    pub kit: &'a AmplifierKit,
    pub loads: Vec<Load<'a>>,
    /// Zones of which it drives a loudspeaker, in the order of the job.
    pub zones: Vec<&'a str>,
}

/// Every amplifier, and the loudspeakers that none drives with what is missing.
pub(super) struct Drivers<'a> {
    pub drivers: Vec<Driver<'a>>,
    pub loose: Vec<(Load<'a>, Missing)>,
}

impl<'a> Drivers<'a> {
    /// A loudspeaker that names its amplifier goes there; the others go, in the order of
    /// the job, to the first of their zone's amplifiers that has channels left, and to its
    /// last one when none has.
    pub fn of(analysis: &'a Analysis) -> Self {
        let job = analysis.job();
        let items = || job.item.iter().map(AsRef::as_ref);
        let drivers = items().filter_map(|item: &Item| match job.kit_of(item) {
            Some(Kit::Amplifier(kit)) => Some(Driver {
                item,
                kit,
                loads: Vec::new(),
                zones: Vec::new(),
            }),
            _ => None,
        });
        let mut all = Self {
            drivers: drivers.collect(),
            loose: Vec::new(),
        };
        let loads: Vec<Load> = items()
            .filter_map(|item: &Item| match job.kit_of(item) {
                Some(Kit::Loudspeaker(kit)) => {
                    let channels = kit
                        .channels
                        .unwrap_or(1)
                        .saturating_mul(item.count.unwrap_or(1));
                    Some(Load {
                        item,
                        kit,
                        channels,
                    })
                }
                _ => None,
            })
            .filter(|load| load.channels > 0)
            .collect();
        let (named, by_zone): (Vec<Load>, Vec<Load>) = loads
            .into_iter()
            .partition(|load| load.item.driven_by.is_some());
        for load in named.into_iter().chain(by_zone) {
            match all.driver_of(analysis, &load) {
                Ok(index) => all.drivers[index].take(load),
                Err(missing) => all.loose.push((load, missing)),
            }
        }
        for driver in &mut all.drivers {
            let has = |zone: &&str| {
                driver
                    .loads
                    .iter()
                    .any(|load| load.item.zone.as_deref() == Some(*zone))
            };
            driver.zones = job
                .zone
                .iter()
                .map(|zone| zone.id.as_str())
                .filter(has)
                .collect();
        }
        all
    }

    fn driver_of(&self, analysis: &Analysis, load: &Load) -> Known<usize> {
        let label = item_label(load.item);
        let index_of = |id: &str| self.drivers.iter().position(|driver| driver.item.id == id);
        if let Some(named) = &load.item.driven_by {
            return index_of(named).ok_or_else(|| {
                let what = format!("an amplifier that drives {label}: {named} is none");
                Missing::new(
                    what,
                    format!("item.{}.driven_by", load.item.id),
                    Means::Decide,
                )
            });
        }
        let zone = (load.item.zone.as_deref())
            .and_then(|id| analysis.job().zone(id))
            .ok_or_else(|| {
                let what = format!("the zone or the amplifier of {label}");
                Missing::new(what, format!("item.{}.zone", load.item.id), Means::Decide)
            })?;
        let choices: Vec<usize> = zone
            .amplifiers
            .iter()
            .filter_map(|id| index_of(id))
            .collect();
        let with_room = choices
            .iter()
            .find(|index| self.drivers[**index].has_room(load));
        with_room.or(choices.last()).copied().ok_or_else(|| {
            let what = format!(
                "the amplifiers that feed zone {}, where {label} plays",
                zone.id
            );
            Missing::new(what, format!("zone.{}.amplifiers", zone.id), Means::Decide)
        })
    }
}

impl<'a> Driver<'a> {
    fn take(&mut self, load: Load<'a>) {
        self.loads.push(load);
    }

    fn has_room(&self, load: &Load) -> bool {
        self.kit
            .channels
            .is_some_and(|channels| self.used() + load.channels <= channels)
    }

    /// Channels that its loudspeakers ask for.
    pub fn used(&self) -> u32 {
        self.loads
            .iter()
            .fold(0, |sum, load| sum.saturating_add(load.channels))
    }

    /// Channels that it has.
    pub fn channels(&self) -> Known<u32> {
        (self.kit.channels.filter(|channels| *channels > 0)).ok_or_else(|| {
            Missing::new(
                format!("the number of loudspeaker channels of {}", self.item.is),
                format!("kit.amplifier.{}.channels", self.item.is),
                Means::SpecSheet,
            )
        })
    }

    /// Words for the loudspeakers that it drives.
    pub fn loads_words(&self) -> String {
        let names: Vec<String> = (self.loads.iter())
            .map(|load| match load.channels {
                1 => item_label(load.item).to_owned(),
                channels => format!("{} ({channels} channels)", item_label(load.item)),
            })
            .collect();
        names.join(", ")
    }
}

/// An id that no item has yet: `amp-2`, `amp-3`, and so on.
pub(super) fn further_id(analysis: &Analysis, id: &str) -> String {
    (2..)
        .map(|number| format!("{id}-{number}"))
        .find(|id| analysis.job().item(id).is_none())
        .expect("a number that no item has")
}
