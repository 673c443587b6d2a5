//! What brings a channel to its peak level: turned, driven harder, ordered anew, moved.

use analysis::{SeatPlace, Sounding, Vector3};
use model::{Edit, Seat};
use units::Dimension;

use super::{Driven, Heard, Question, arriving};
use crate::aiming::Turning;
use crate::listening::main_seat;
use crate::track::{Track, shortest};
use crate::{Remedy, Uncertain};

impl Question<'_> {
    /// What brings as many decibels more at a seat.
    pub(super) fn remedies(
        &self,
        sources: &[Heard<'_, '_>],
        seat: &Seat,
        place: &SeatPlace,
        short_db: f64,
    ) -> Vec<Remedy> {
        let mut found: Vec<Remedy> = self.turned(sources, place, short_db).into_iter().collect();
        found.extend(self.other_kit(sources, short_db));
        found.extend(self.nearer(sources, seat, place, short_db));
        found
    }

    /// More power, more sensitive loudspeakers.
    fn other_kit(&self, sources: &[Heard<'_, '_>], short_db: f64) -> Vec<Remedy> {
        let analysis = self.analysis;
        let factor = 10_f64.powf(short_db / 10.0);
        let mut remedies = Vec::new();
        if let [only] = sources
            && let Some(power) = &only.of.output.power
        {
            let arrives = (power.lost.as_ref()).map_or(1.0, |lost| arriving(1.0, lost.value()));
            let needed_w = (power.driven_w * factor / arrives / 5.0).ceil() * 5.0;
            if power.driven_w < power.takes_w && needed_w * arrives <= power.takes_w {
                let path = format!("kit.amplifier.{}", power.amplifier);
                let watts = analysis.exact(needed_w, Dimension::Power);
                let load = analysis.exact(power.impedance.value(), Dimension::Resistance);
                let says = format!(
                    "Drive {} with an amplifier of {watts} into {load} for each channel, all driven.",
                    analysis::item_label(only.of.item)
                );
                let edits = vec![
                    Edit::set(format!("{path}.power"), watts),
                    Edit::set(format!("{path}.into"), load),
                ];
                remedies.push(Remedy::new(says, edits));
            }
        }
        let mut edits: Vec<Edit> = Vec::new();
        let mut words: Vec<String> = Vec::new();
        for source in sources {
            let kit = source.of.kit;
            let facts = [
                (
                    "sensitivity",
                    kit.sensitivity.as_ref(),
                    "a sensitivity",
                    "at 2.83 V and 1 m",
                ),
                (
                    "level_max",
                    kit.level_max.as_ref(),
                    "a highest level",
                    "at 1 m",
                ),
                ("level_peak", kit.level_peak.as_ref(), "peaks", "at 1 m"),
            ];
            let is_passive = source.of.output.power.is_some();
            for (fact, now, what, where_) in &facts[usize::from(!is_passive)..] {
                let at = format!("kit.loudspeaker.{}.{fact}", kit.common.id);
                let Some(now_db) = now.and_then(model::Measured::value) else {
                    continue;
                };
                if edits.iter().any(|edit| edit.at == at) {
                    continue;
                }
                let most = ((now_db + short_db) * 2.0).ceil() / 2.0;
                let level = analysis.exact(most, Dimension::Level);
                words.push(format!("{what} of {level} {where_}"));
                edits.push(Edit::set(at, level));
            }
        }
        if !edits.is_empty() {
            let says = format!("Order loudspeakers with {} or more.", words.join(" and "));
            remedies.push(Remedy::new(says, edits));
        }
        remedies
    }

    /// The loudspeaker turned to where every seat has most, if that is enough here.
    fn turned(
        &self,
        sources: &[Heard<'_, '_>],
        place: &SeatPlace,
        short_db: f64,
    ) -> Option<Remedy> {
        let [only] = sources else {
            return None;
        };
        let (sounding, now) = (only.of.sounding.as_ref()?, only.in_room().value());
        let wanted = now + short_db;
        let turning = Turning {
            analysis: self.analysis,
            space: self.space,
            item: only.of.item,
            kit: only.of.kit,
            towards: self.towards().ok()?,
        };
        let seats = self.analysis.seats_in(self.space);
        let ears: Vec<[f64; 3]> = seats
            .filter_map(|(_, place)| Some(place.ok()?.ear.value()))
            .collect();
        let best = turning.best(sounding, |sounding| {
            let levels = ears.iter().map(|ear| self.level(only, sounding, *ear));
            levels.fold(f64::INFINITY, f64::min)
        })?;
        let tried = self.analysis.tried(&best.edits).ok()?;
        let (item, space) = (tried.item(&only.of.item.id)?, tried.space(&self.space.id)?);
        let towards = turning.towards;
        let aimed = tried.sounding(space, item, only.of.kit, towards).ok()?;
        (self.level(only, &aimed, place.ear.value()) >= wanted).then_some(best)
    }

    /// The level at an ear with a loudspeaker set otherwise, dB, best estimate.
    fn level(&self, of: &Heard<'_, '_>, sounding: &Sounding<'_>, ear: [f64; 3]) -> f64 {
        let direct = sounding.direct_towards(ear, self.band());
        let room = of.of.room.as_ref().map_or(0.0, Uncertain::value);
        of.of.output.level.value() + 10.0 * (direct + room).log10()
    }

    /// The loudspeaker or the seat moved nearer.
    fn nearer(
        &self,
        sources: &[Heard<'_, '_>],
        seat: &Seat,
        place: &SeatPlace,
        short_db: f64,
    ) -> Vec<Remedy> {
        let analysis = self.analysis;
        let [only] = sources else {
            return Vec::new();
        };
        let Driven {
            item, kit, output, ..
        } = only.of;
        let Ok(now) = analysis.loudspeaker(item, kit) else {
            return Vec::new();
        };
        let is_main = main_seat(self.space).is_some_and(|main| main.id == seat.id);
        let towards = self.towards().unwrap_or(place.ear.value());
        // The room's own sound does not grow: the direct sound has to bring it all.
        let total = |at: [f64; 3], ear: [f64; 3]| -> Option<f64> {
            let Some(sounding) = &only.of.sounding else {
                let squared: f64 = (0..3).map(|axis| (ear[axis] - at[axis]).powi(2)).sum();
                return Some(output.level.value() - 10.0 * squared.max(0.01).log10());
            };
            // What stands free turns with the main seat.
            let towards = if is_main { ear } else { towards };
            let aim = analysis.aim(self.space, item, kit, at, towards).ok()?;
            let mut there = sounding.aimed(aim);
            there.at = Vector3::new(at[0], at[1], at[2]);
            Some(self.level(only, &there, ear))
        };
        let (ear, sound) = (place.ear.value(), now.at.value());
        let Some(level) = total(sound, ear) else {
            return Vec::new();
        };
        let wanted = level + short_db + 0.05;
        let good = |at, ear| total(at, ear).is_some_and(|level| level > wanted);
        let tracks = Track::of_item(analysis, item, &now.at);
        let of_item = (tracks.iter()).map(|track| track.nearest(analysis, |at| good(at, ear)));
        let tracks = Track::of_seat(analysis, self.space, seat, place);
        let of_seat = (tracks.iter()).map(|track| track.nearest(analysis, |ear| good(sound, ear)));
        shortest(of_item.chain(of_seat))
            .into_iter()
            .take(1)
            .collect()
    }
}
