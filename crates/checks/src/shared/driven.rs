//! Which amplifier drives which loudspeaker.

use std::collections::BTreeMap;

use analysis::{Analysis, Known, Means, Missing, Uncertain, item_label};
use links::assignment::{self, assign};
use model::{AmplifierKit, Edit, Item, Kit, LoudspeakerKit};
use serde_json::{Map, Value};

use crate::Remedy;

/// Lowest impedance over the nominal one, at the least (IEC 60268-5, from memory).
pub(crate) const LOWEST_OF_NOMINAL: f64 = 0.8;

/// Of several loudspeakers alike, so many are told apart when they are shared out.
const PIECES_MAX: u32 = 16;

/// For each item the amplifiers that drive it, each with its channels.
type Chosen<'a> = BTreeMap<&'a str, Vec<(usize, u32)>>;

/// A loudspeaker that asks for amplifier channels.
#[derive(Clone, Copy)]
pub(crate) struct Load<'a> {
    pub item: &'a Item,
    pub kit: &'a LoudspeakerKit,
    /// Channels that it asks for here, all of its kind at this place together.
    pub channels: u32,
}

/// An amplifier and what it drives.
pub(crate) struct Driver<'a> {
    pub item: &'a Item,
    pub kit: &'a AmplifierKit,
    pub loads: Vec<Load<'a>>,
    /// Zones of which it drives a loudspeaker, in the order of the job.
    pub zones: Vec<&'a str>,
}

/// Every amplifier, and the loudspeakers that none drives with what is missing.
pub(crate) struct Drivers<'a> {
    pub drivers: Vec<Driver<'a>>,
    pub loose: Vec<(Load<'a>, Missing)>,
}

impl<'a> Drivers<'a> {
    /// A loudspeaker that names its amplifier goes there; the others go, in the order of
    /// the job, to the first of their zone's amplifiers that has channels left, and to its
    /// last one when none has. Where that leaves any without a channel, all assignments are
    /// searched for one that does not.
    pub fn of(analysis: &'a Analysis) -> Self {
        let in_order = Self::assigned(analysis, None);
        let is_over = |driver: &Driver| {
            (driver.channels()).is_ok_and(|channels| driver.used() > channels)
                || driver.zones.len() > driver.kit.zones.unwrap_or(1).max(1) as usize
        };
        if !in_order.drivers.iter().any(is_over) {
            return in_order;
        }
        match in_order.searched(analysis) {
            Some(better) => better,
            None => in_order,
        }
    }

    /// The assignment that plays everything, if there is one.
    fn searched(&self, analysis: &'a Analysis) -> Option<Self> {
        let zones: Vec<&str> = analysis.zones().map(|zone| zone.id.as_str()).collect();
        let amplifiers = (self.drivers.iter())
            .map(|driver| {
                Some(assignment::Amplifier {
                    channels: driver.kit.channels?,
                    zones: driver.kit.zones.unwrap_or(1).max(1),
                })
            })
            .collect::<Option<Vec<_>>>()?;
        let index_of = |id: &str| self.drivers.iter().position(|driver| driver.item.id == id);
        let mut items: Vec<&str> = Vec::new();
        let mut loads = Vec::new();
        for load in self.drivers.iter().flat_map(|driver| &driver.loads) {
            let zone = load.item.zone.as_deref()?;
            let may = match &load.item.driven_by {
                Some(named) => vec![index_of(named)?],
                None => (analysis.zone(zone)?.amplifiers.iter())
                    .filter_map(|id| index_of(id))
                    .collect(),
            };
            // Several alike may be shared out over amplifiers, one loudspeaker each.
            let pieces = load.item.count.unwrap_or(1).clamp(1, PIECES_MAX);
            let zone = zones.iter().position(|id| *id == zone)?;
            let channels = load.channels / pieces;
            for piece in 0..pieces {
                items.push(&load.item.id);
                loads.push(assignment::Load {
                    channels: match piece {
                        0 => load.channels - channels * (pieces - 1),
                        _ => channels,
                    },
                    zone,
                    weight: 1,
                    may: may.clone(),
                });
            }
        }
        // Two checks ask, and few remedies change what the answer rests on.
        let numbers = numbers(&amplifiers, &loads);
        let found = (analysis).remembered_in_trials("assignment", (&[], &numbers, &[]), || {
            assign(&amplifiers, &loads)
        })?;
        let to = found.to.into_iter().collect::<Option<Vec<usize>>>()?;
        let mut chosen: Chosen = BTreeMap::new();
        for ((item, to), load) in items.into_iter().zip(to).zip(&loads) {
            let parts = chosen.entry(item).or_default();
            match parts.iter_mut().find(|part| part.0 == to) {
                Some(part) => part.1 += load.channels,
                None => parts.push((to, load.channels)),
            }
        }
        Some(Self::assigned(analysis, Some(&chosen)))
    }

    /// With amplifiers chosen by item, or each in its turn.
    fn assigned(analysis: &'a Analysis, chosen: Option<&Chosen>) -> Self {
        let items = || analysis.items_anywhere();
        let drivers = items().filter_map(|item: &Item| match analysis.kit_of(item) {
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
            .filter_map(|item: &Item| match analysis.kit_of(item) {
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
            if let Some(parts) = chosen.and_then(|chosen| chosen.get(load.item.id.as_str())) {
                for (index, channels) in parts {
                    let channels = *channels;
                    all.drivers[*index].take(Load { channels, ..load });
                }
                continue;
            }
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
            driver.zones = analysis
                .zones()
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
            .and_then(|id| analysis.zone(id))
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

/// All numbers that an assignment rests on.
fn numbers(amplifiers: &[assignment::Amplifier], loads: &[assignment::Load]) -> Vec<f64> {
    let mut numbers = vec![amplifiers.len() as f64];
    for assignment::Amplifier { channels, zones } in amplifiers {
        numbers.extend([channels, zones].map(|count| f64::from(*count)));
    }
    for load in loads {
        // By all of its parts, so that a further one is not forgotten here.
        let assignment::Load {
            channels,
            zone,
            weight,
            may,
        } = load;
        numbers.extend([channels, weight].map(|count| f64::from(*count)));
        numbers.extend([*zone, may.len()].map(|count| count as f64));
        numbers.extend(may.iter().map(|index| *index as f64));
    }
    numbers
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
                channels => format!("{} ({})", item_label(load.item), channels_words(channels)),
            })
            .collect();
        names.join(", ")
    }
}

impl Load<'_> {
    /// Its lowest impedance, Ω.
    pub fn lowest(&self, analysis: &Analysis) -> Known<Uncertain> {
        let stated = analysis.number(self.kit.impedance_min.as_ref());
        let nominal = || {
            let nominal = analysis.number(self.kit.impedance.as_ref())?;
            Some(nominal * LOWEST_OF_NOMINAL)
        };
        (stated.or_else(nominal))
            .filter(|impedance| impedance.value() > 0.0)
            .ok_or_else(|| {
                Missing::new(
                    format!("the lowest impedance of {}", self.item.is),
                    format!("kit.loudspeaker.{}.impedance_min", self.item.is),
                    Means::SpecSheet,
                )
            })
    }
}

/// `1 channel`, `7 channels`.
pub(crate) fn channels_words(channels: u32) -> String {
    if channels == 1 {
        "1 channel".to_owned()
    } else {
        format!("{channels} channels")
    }
}

/// The last loudspeakers, until what is left has a channel each: to a further amplifier of
/// the catalogue, one that may drive them before one that may not, and of those the one
/// with the fewest channels.
pub(crate) fn another_amplifier(analysis: &Analysis, driver: &Driver) -> Option<Remedy> {
    let most = driver.channels().ok()?;
    let mut left = driver.used();
    let mut over: Vec<&Load> = Vec::new();
    for load in driver.loads.iter().rev() {
        if left <= most {
            break;
        }
        left -= load.channels;
        over.push(load);
    }
    over.reverse();
    let needed: u32 = over.iter().map(|load| load.channels).sum();
    let drives = |kit: &AmplifierKit| {
        let Some(least) = analysis.number(kit.load_min.as_ref()) else {
            return false;
        };
        let allows = |load: &&Load| {
            (load.lowest(analysis)).is_ok_and(|impedance| impedance.value() >= least.value())
        };
        over.iter().all(allows)
    };
    let (kit, channels) = (analysis.catalogue().amplifier.iter())
        .filter_map(|kit| Some((kit, kit.channels?)))
        .filter(|(_, channels)| needed > 0 && *channels >= needed)
        .min_by_key(|(kit, channels)| (!drives(kit), *channels))?;
    let id = further_id(analysis, &driver.item.id);
    let mut table = Map::new();
    table.insert("id".into(), id.clone().into());
    table.insert("is".into(), kit.common.id.as_str().into());
    for (key, fact) in [
        ("in", &driver.item.inside),
        ("space", &driver.item.space),
        ("circuit", &driver.item.circuit),
    ] {
        if let Some(fact) = fact {
            table.insert(key.into(), fact.as_str().into());
        }
    }
    let names: Vec<&str> = over.iter().map(|load| item_label(load.item)).collect();
    let says = format!(
        "Add an amplifier {} ({}) for {}.",
        kit.common.id,
        channels_words(channels),
        names.join(", "),
    );
    let mut edits = vec![Edit::set(format!("item.{id}"), Value::Object(table))];
    let driven_by =
        |load: &&Load| Edit::set(format!("item.{}.driven_by", load.item.id), id.as_str());
    edits.extend(over.iter().map(driven_by));
    Some(Remedy::new(says, edits))
}

/// An id that no item has yet: `amp-2`, `amp-3`, and so on.
fn further_id(analysis: &Analysis, id: &str) -> String {
    (2..)
        .map(|number| format!("{id}-{number}"))
        .find(|id| analysis.item(id).is_none())
        .expect("a number that no item has")
}
