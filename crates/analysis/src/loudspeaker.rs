//! Loudspeakers, where they sound from, and what feeds them.

use acoustics::level::sine_of_peak;
use model::{AmplifierKit, Item, Kit, LoudspeakerForm, LoudspeakerKit, Space, Zone};
use uncertainty::{Uncertain, Vector3};
use units::Decibels;

use crate::{Analysis, Known};

/// A loudspeaker in its place.
#[derive(Clone, Debug)]
pub struct LoudspeakerPlace<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its spec sheet.
    pub kit: &'a LoudspeakerKit,
    /// The middle of its sound, in the room.
    pub at: Vector3,
}

impl Analysis {
    /// Loudspeakers of a space.
    pub fn loudspeakers_in<'a>(
        &'a self,
        space: &'a Space,
    ) -> impl Iterator<Item = (&'a Item, &'a LoudspeakerKit)> {
        self.items_of_kind(space, is_loudspeaker)
            .filter_map(|item| match self.kit_of(item) {
                Some(Kit::Loudspeaker(kit)) => Some((item, kit)),
                _ => None,
            })
    }

    /// Where a loudspeaker sounds from: its front's middle on a wall, in the ceiling's face
    /// when flush, the middle of its case or where its sheet says otherwise.
    pub fn loudspeaker<'a>(
        &'a self,
        item: &'a Item,
        kit: &'a LoudspeakerKit,
    ) -> Known<LoudspeakerPlace<'a>> {
        let mut at = self.item_point(item)?;
        let size = || self.item_size(item);
        match (kit.form, &item.on, &item.at, &item.hung) {
            (Some(LoudspeakerForm::InWall | LoudspeakerForm::InCeiling), ..) => {}
            (_, Some(on), ..) => {
                // A case on the wall sounds from its front.
                if let (Ok([_, _, depth]), Ok(space)) = (size(), self.room_of(item))
                    && let Some(wall) = space.wall(&on.wall)
                {
                    let (_, _, inward) = self.shape(space).wall_frame(wall)?;
                    at = (&at.in_plan() + &inward.scaled(&depth)).at_height(at.z);
                }
            }
            (_, _, Some(_), _) => {
                let up = self.number(kit.sounds_up.as_ref());
                at.z = at.z + up.map_or_else(|| Ok(&size()?[1] / 2.0), Ok)?;
            }
            (_, _, _, Some(hung)) if hung.drop.is_some() => at.z = at.z - &size()?[1] / 2.0,
            _ => {}
        }
        Ok(LoudspeakerPlace { item, kit, at })
    }

    /// A loudspeaker's zone.
    pub fn zone_of(&self, item: &Item) -> Option<&Zone> {
        self.zone(item.zone.as_deref()?)
    }

    /// Loudspeakers that play in a zone.
    pub fn loudspeakers_of<'a>(
        &'a self,
        zone: &'a Zone,
    ) -> impl Iterator<Item = (&'a Item, &'a LoudspeakerKit)> {
        self.items_of_zone(zone, is_loudspeaker)
            .filter_map(move |item| match self.kit_of(item) {
                Some(Kit::Loudspeaker(kit)) => Some((item, kit)),
                _ => None,
            })
    }

    /// The amplifier that drives a loudspeaker: the one it names, else its zone's only one.
    pub fn amplifier_of<'a>(&'a self, item: &'a Item) -> Option<(&'a Item, &'a AmplifierKit)> {
        let named = item.driven_by.as_deref();
        let zones = self.zone_of(item).map(|zone| zone.amplifiers.as_slice());
        let only = zones.and_then(|amplifiers| match amplifiers {
            [only] => Some(only.as_str()),
            _ => None,
        });
        let amplifier = self.item(named.or(only)?)?;
        match self.kit_of(amplifier) {
            Some(Kit::Amplifier(kit)) => Some((amplifier, kit)),
            _ => None,
        }
    }
}

impl Analysis {
    /// The highest level that a sheet states at 1 m, as the rms of a tone, dB: a level in the
    /// instant of a peak counts 3 dB less, and of both the lower.
    pub fn tone_level_max(&self, kit: &LoudspeakerKit) -> Option<Uncertain> {
        let of_peak = |peak: Uncertain| peak + sine_of_peak(Decibels(0.0)).0;
        let peak = self.number(kit.level_peak.as_ref()).map(of_peak);
        match (self.number(kit.level_max.as_ref()), peak) {
            (Some(tone), Some(peak)) => Some(tone.min(&peak)),
            (tone, peak) => tone.or(peak),
        }
    }
}

fn is_loudspeaker(kit: Kit<'_>) -> bool {
    matches!(kit, Kit::Loudspeaker(_))
}

impl LoudspeakerPlace<'_> {
    /// Whether it is a subwoofer, which no one can point at.
    pub fn is_subwoofer(&self) -> bool {
        self.kit.form == Some(LoudspeakerForm::Subwoofer)
    }

    /// Height above the floor.
    pub fn height(&self) -> &Uncertain {
        &self.at.z
    }
}
