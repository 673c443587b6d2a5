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

/// How a mount holds what it carries while somebody watches.
struct Carried {
    /// How far its back is off the wall.
    off: Uncertain,
    /// How far below its parked place it is.
    down: Uncertain,
    /// How far it is turned to the right as seen from the seats.
    turn: Uncertain,
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
    /// when flush, the middle of its case or where its sheet says otherwise. What a mount
    /// carries stands off its wall; on an arm that pulls down it is heard where it is watched.
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
                let carried = self.carried(item);
                // A case on the wall sounds from its front.
                let depth = size().map(|[_, _, depth]| depth).ok();
                let off = match &carried {
                    Some(carried) => Some(&carried.off + &depth.unwrap_or_default()),
                    None => depth,
                };
                if let (Some(off), Ok(space)) = (off, self.room_of(item))
                    && let Some(wall) = space.wall(&on.wall)
                {
                    let (_, _, inward) = self.shape(space).wall_frame(wall)?;
                    at = (&at.in_plan() + &inward.scaled(&off)).at_height(at.z);
                }
                if let Some(Carried { down, .. }) = carried {
                    at.z = at.z - down;
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

    /// How its mount holds a thing while somebody watches; `None` without a mount. An arm that
    /// pulls down or that is turned is at full reach, as the picture that it carries.
    fn carried(&self, item: &Item) -> Option<Carried> {
        let (held_by, mount) = self.mount_of(item)?;
        let down = self.number(mount.pull_down.as_ref()).unwrap_or_default();
        let turn = self.turn_on_mount(item, held_by);
        let moves = down.value() > 0.0 || turn.value() != 0.0;
        let reach = mount.reach.as_ref().filter(|_| moves);
        let off = self.number(reach.or(mount.standoff.as_ref()));
        Some(Carried {
            off: off.unwrap_or_default(),
            down,
            turn,
        })
    }

    /// How far a mount's arm is turned to the right as seen from the seats: what it carries
    /// turns together.
    fn turn_on_mount(&self, item: &Item, mount: &Item) -> Uncertain {
        let own = self.number(item.turn.as_ref());
        let of_another = || {
            self.carried_by(mount)
                .find_map(|other| self.number(other.turn.as_ref()))
        };
        own.or_else(of_another).unwrap_or_default()
    }

    /// How far the arm that carries a thing is turned while somebody watches, rad.
    pub(crate) fn turn_in_use(&self, item: &Item) -> f64 {
        self.carried(item)
            .map_or(0.0, |carried| carried.turn.value())
    }

    /// How far the mount of a thing on the wall lowers it to be watched, m; nothing where it
    /// hangs still.
    pub fn pulled_down_m(&self, item: &Item) -> f64 {
        item.on
            .as_ref()
            .and_then(|_| self.carried(item))
            .map_or(0.0, |carried| carried.down.value())
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
