//! What may be done with a cable that lies in the wall already?

use model::{Cable, CableUse, Kit, Way};
use routing::existing::{Existing, InBay, Joint, UseCost, uses};
use routing::{End, Reckoning, Span};
use units::Seconds;

pub use routing::existing::{Use as ExistingUse, UseCost as ExistingUseCost, Why as WhyNot};

use super::Ends;
use crate::{Analysis, Known, Means, Missing, Parts};

/// Time to move a plate within its bay and patch the old hole: common practice, no source.
const PLATE_MOVE_S: f64 = 2700.0;
/// Nearer than this an end is where it is needed, m.
const THERE_M: f64 = 0.02;

/// Every use of an old cable, the cheapest that is open first.
#[derive(Clone, Debug, PartialEq)]
pub struct ExistingUses {
    /// The cable's id.
    pub cable: String,
    /// Uses with what they take.
    pub uses: Vec<UseCost>,
}

impl Analysis {
    /// The uses of the old cable that a run is to take over; nothing where it takes over none.
    pub fn existing_uses(&self, cable: &Cable) -> Option<Known<ExistingUses>> {
        let plate = cable.existing.as_deref()?;
        Some(self.uses_of(cable, plate))
    }

    fn uses_of(&self, cable: &Cable, plate: &str) -> Known<ExistingUses> {
        let ask = |what: &str, field: &str| {
            Missing::new(
                format!("{what} cable {}", cable.id),
                format!("cable.{}.{field}", cable.id),
                Means::Decide,
            )
        };
        let from = self
            .held_at(&cable.from)
            .ok_or_else(|| ask("what is at the start of", "from"))?;
        let to = self
            .held_at(&cable.to)
            .ok_or_else(|| ask("what is at the end of", "to"))?;
        let home = self.room_of(to)?;
        let space = self.with_parts(home, Parts::FIXTURES);
        let length = self.number(cable.length.as_ref());
        let length_m = length.map_or(Span::between(0.0, 0.0), |length| {
            Span::exact(length.value())
        });
        let Some(fixture) = space.fixture(plate) else {
            return Err(ask("the old end, in the same space, of", "existing"));
        };
        let (there, here) = (self.fixture_point(space, fixture)?, self.item_point(to)?);
        let off = (&here - &there).value();
        let is_behind = self.is_behind(space, fixture, to);
        let off_m = match is_behind {
            true => 0.0,
            false => off.iter().map(|part| part * part).sum::<f64>().sqrt(),
        };

        let weights = self.weights();
        let found = self.ends(cable, [from, to]).ok();
        let anew = found.as_ref().and_then(|ends| {
            let bars = self.bars(&ends.planned, cable, cable.way);
            let joined = ends.planned.joined(&ends.ends);
            joined.cheapest(&weights, &bars, Reckoning::HALFWAY)
        });
        let onward = self.ends(cable, [to, to]).ok().and_then(|ends| {
            let old = self.plate_end(&ends, space, fixture)?;
            let joined = ends.planned.joined(&[old, ends.ends[1]]);
            let bars = self.bars(&ends.planned, cable, None);
            joined.cheapest(&weights, &bars, Reckoning::HALFWAY)
        });
        let old = Existing {
            is_right_kind: true,
            joint: self.joint(cable),
            is_fixed: cable.fixed,
            length_m,
            off_m: if off_m < THERE_M { 0.0 } else { off_m },
            in_bay: self.move_in_bay(cable, space, fixture, to),
            onward: onward.as_ref(),
            anew: anew.as_ref(),
        };
        let plate_move = (self.rates().plate_move.as_ref()).and_then(|own| own.value());
        let plate_move = Seconds(plate_move.unwrap_or(PLATE_MOVE_S));
        Ok(ExistingUses {
            cable: cable.id.clone(),
            uses: uses(&old, plate_move, &self.way_times(), &weights),
        })
    }

    /// How a kind may be joined inside a house.
    fn joint(&self, cable: &Cable) -> Joint {
        let carries = match self.kit(&cable.kind) {
            Some(Kit::Cable(kit)) => Some(kit.carries),
            _ => None,
        };
        match carries {
            Some(CableUse::Network) => Joint::Coupler,
            Some(CableUse::Video) | None => Joint::Never,
            Some(_) => Joint::Splice,
        }
    }

    /// Whether an old plate lies within the outline of what takes it over.
    fn is_behind(&self, space: &model::Space, plate: &model::Fixture, item: &model::Item) -> bool {
        let (Some(on), Some(at)) = (&item.on, &plate.on) else {
            return false;
        };
        let Ok(size) = self.item_size(item) else {
            return false;
        };
        let points = self
            .fixture_point(space, plate)
            .ok()
            .zip(self.item_point(item).ok());
        on.wall == at.wall
            && points.is_some_and(|(plate, item)| {
                let [x, y, z] = (&plate - &item).value();
                x.hypot(y) <= 0.5 * size[0].value() && z.abs() <= 0.5 * size[1].value()
            })
    }

    /// A move of an old plate up or down its own bay to the item.
    fn move_in_bay(
        &self,
        cable: &Cable,
        space: &model::Space,
        plate: &model::Fixture,
        item: &model::Item,
    ) -> Option<InBay> {
        let (on, at) = (item.on.as_ref()?, plate.on.as_ref()?);
        let it = space.construction_of(&at.wall)?;
        let value = |length: &Option<model::Length>| length.as_ref()?.value();
        let (spacing_m, first_m) = (value(&it.spacing)?, value(&it.first_from_left)?);
        let bay = |from_left_m: f64| ((from_left_m - first_m) / spacing_m).floor();
        let same = on.wall == at.wall && bay(value(&on.from_left)?) == bay(value(&at.from_left)?);
        let (old_m, new_m) = (value(&at.height)?, value(&on.height)?);
        let (low, high) = (old_m.min(new_m), old_m.max(new_m));
        let blocks = match &it.fire_block_at {
            Some(blocks) => {
                let between = blocks.iter().filter_map(model::Length::value);
                Span::exact(between.filter(|block| (low..=high).contains(block)).count() as f64)
            }
            None => Span::between(0.0, 1.0),
        };
        let up_m = new_m - old_m;
        let takes_m = match cable.way {
            Some(Way::Overhead) => -up_m,
            Some(Way::Underfoot) => up_m,
            // Nobody has said where it comes from: it may take either.
            Some(Way::Direct) | None => up_m.abs(),
        };
        same.then(|| InBay {
            takes_m,
            spare_m: Span::exact(self.service_loop(cable).value()),
            blocks,
        })
    }

    /// An old plate as an end in the frame of a plan.
    fn plate_end(
        &self,
        ends: &Ends<'_>,
        space: &model::Space,
        plate: &model::Fixture,
    ) -> Option<End> {
        let planned = &ends.planned;
        let index = planned.index_of(self.space_at(&space.id)?);
        let point = self.fixture_point(space, plate).ok()?;
        let wall = space.wall(&plate.on.as_ref()?.wall)?;
        let (from_left, _) = self.shape(space).on_wall(wall, &point.in_plan()).ok()?;
        let [x, y, z] = point.value();
        Some(End {
            at: planned.frames[index].point([x, y, z]),
            wall: Some((planned.first_wall[index] + wall, from_left.value(), z)),
            above: None,
            has_rug: false,
            // From an old plate a further length may go on the surface.
            is_flush: false,
        })
    }
}
