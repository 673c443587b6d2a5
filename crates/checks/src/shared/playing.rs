//! What an activity plays: the things that its picture and its sound pass.

use analysis::{Analysis, Known, Means, Missing, item_label};
use model::{Activity, Item, Kit, Zone};

use crate::hops::{Hop, Use, hops};

/// An activity with the ways of its picture and its sound.
pub(crate) struct Playing<'a> {
    pub activity: &'a Activity,
    /// From the source to the picture; empty where nothing is watched.
    pub picture: Vec<&'a Item>,
    /// From the source to what drives the loudspeakers.
    pub sound: Vec<&'a Item>,
    pub zones: Vec<&'a Zone>,
}

impl<'a> Playing<'a> {
    /// The ways, or what has to be decided first.
    pub fn of(analysis: &'a Analysis, activity: &'a Activity) -> Known<Self> {
        let items = |ids: &'a [String]| -> Vec<&'a Item> {
            ids.iter().filter_map(|id| analysis.item(id)).collect()
        };
        let zones: Vec<&Zone> = (activity.zones.iter())
            .filter_map(|id| analysis.zone(id))
            .collect();
        let signal = (activity.picture.as_deref())
            .and_then(|id| analysis.signals().iter().find(|signal| signal.id == id));
        // A screen only catches light.
        let picture: Vec<&Item> = signal.map_or_else(Vec::new, |signal| {
            (items(&signal.through).into_iter())
                .filter(|item| !matches!(analysis.kit_of(item), Some(Kit::Screen(_))))
                .collect()
        });
        let mut sound = items(&activity.sound);
        if sound.is_empty() {
            let drives =
                |item: &&Item| (zones.iter()).any(|zone| zone.amplifiers.contains(&item.id));
            let end = picture.iter().position(drives);
            let end = end.ok_or_else(|| {
                Missing::new(
                    format!("the things that the sound of {} passes", activity.label()),
                    format!("activity.{}.sound", activity.id),
                    Means::Decide,
                )
            })?;
            sound = picture[..=end].to_vec();
        }
        Ok(Self {
            activity,
            picture,
            sound,
            zones,
        })
    }

    /// Every activity of the job.
    pub fn all(analysis: &'a Analysis) -> Vec<(&'a Activity, Known<Self>)> {
        (analysis.activities().iter())
            .map(|activity| (activity, Self::of(analysis, activity)))
            .collect()
    }

    pub fn picture_hops(&self, analysis: &'a Analysis) -> Vec<Hop<'a>> {
        hops(analysis, &self.picture, Use::Picture)
    }

    pub fn sound_hops(&self, analysis: &'a Analysis) -> Vec<Hop<'a>> {
        hops(analysis, &self.sound, Use::Sound)
    }

    /// To amplifiers beside the sound's way that loudspeakers of its zones name: from what of
    /// the way has a lead to each, else from its last thing.
    pub fn feeding_hops(&self, analysis: &'a Analysis) -> Vec<Hop<'a>> {
        let mut found: Vec<Hop> = Vec::new();
        let Some(last) = self.sound.last() else {
            return found;
        };
        let loudspeakers = (self.zones.iter()).flat_map(|zone| analysis.loudspeakers_of(zone));
        let named = loudspeakers.filter_map(|(item, _)| item.driven_by.as_deref());
        for amplifier in named.filter_map(|id| analysis.item(id)) {
            let on_way = |item: &&Item| item.id == amplifier.id;
            if self.sound.iter().any(on_way) || found.iter().any(|hop| on_way(&hop.to)) {
                continue;
            }
            let hop = |from: &&'a Item| hops(analysis, &[*from, amplifier], Use::Sound).pop();
            let fed = (self.sound.iter().filter_map(hop)).find(|hop| hop.lead.is_some());
            found.extend(fed.or_else(|| hop(last)));
        }
        found
    }

    /// Everything that is switched on, in the order of the ways.
    pub fn devices(&self, analysis: &'a Analysis) -> Vec<&'a Item> {
        let fed = self.feeding_hops(analysis);
        let fed = fed.iter().map(|hop| hop.to);
        let mut devices: Vec<&Item> = Vec::new();
        for item in (self.picture.iter().chain(&self.sound).copied()).chain(fed) {
            if devices.iter().all(|known| known.id != item.id) {
                devices.push(item);
            }
        }
        devices
    }

    /// What it plays from.
    pub fn source(&self) -> Option<&'a Item> {
        self.sound.first().or(self.picture.first()).copied()
    }

    /// What of its sound's way drives a zone: the last that does, or that feeds what does.
    pub fn driver_of(&self, analysis: &Analysis, zone: &Zone) -> Option<&'a Item> {
        let drives = |id: &str| {
            zone.amplifiers.iter().any(|amplifier| amplifier == id)
                || (analysis.loudspeakers_of(zone))
                    .any(|(item, _)| item.id == id || item.driven_by.as_deref() == Some(id))
        };
        let feeds = |item: &Item| {
            analysis.cables_at(&item.id).any(|cable| {
                [&cable.from, &cable.to].into_iter().any(|end| {
                    let other = model::cable_end(end).0;
                    other != item.id
                        && drives(other)
                        && analysis.item(other).is_some_and(|other| {
                            matches!(analysis.kit_of(other), Some(Kit::Amplifier(_)))
                        })
                })
            })
        };
        let mut backwards = self.sound.iter().rev();
        backwards
            .clone()
            .find(|item| drives(&item.id))
            .or_else(|| backwards.find(|item| feeds(item)))
            .copied()
    }

    /// Why another activity can't be had at the same time, each reason a phrase.
    pub fn conflicts(&self, analysis: &'a Analysis, other: &Playing<'a>) -> Vec<String> {
        let mut reasons = Vec::new();
        for zone in &self.zones {
            if other.zones.iter().any(|one| one.id == zone.id) {
                let name = zone.name.as_deref().unwrap_or(&zone.id);
                reasons.push(format!("both play in {name}"));
            }
        }
        if let (Some(mine), Some(theirs)) = (self.source(), other.source())
            && mine.id == theirs.id
        {
            reasons.push(format!("both play from {}", item_label(mine)));
        }
        for item in self.devices(analysis) {
            let wanted = [self, other].map(|one| one.inputs(analysis, item));
            let [mine, theirs] = &wanted;
            if mine.is_empty() || theirs.is_empty() || mine == theirs {
                continue;
            }
            let apart = match analysis.kit_of(item) {
                Some(Kit::Amplifier(kit)) => kit.zones.unwrap_or(1),
                _ => 1,
            };
            if apart < 2 {
                reasons.push(format!(
                    "{} would have to be set to {} and to {}",
                    item_label(item),
                    mine.join(" and "),
                    theirs.join(" and ")
                ));
            }
        }
        reasons
    }

    /// The inputs that a thing is set to, in words.
    pub fn inputs(&self, analysis: &'a Analysis, item: &Item) -> Vec<String> {
        let mut inputs: Vec<String> = Vec::new();
        let picture = hops(analysis, &self.picture, Use::Picture);
        let sound = hops(analysis, &self.sound, Use::Sound);
        let feeding = self.feeding_hops(analysis);
        for hop in picture
            .iter()
            .chain(&sound)
            .chain(&feeding)
            .filter(|hop| hop.to.id == item.id)
        {
            let input = match hop.lead {
                Some(lead) if lead.back => {
                    format!("the sound that {} sends back", item_label(hop.from))
                }
                _ => crate::hops::input_words(hop),
            };
            if !inputs.contains(&input) {
                inputs.push(input);
            }
        }
        inputs
    }
}
