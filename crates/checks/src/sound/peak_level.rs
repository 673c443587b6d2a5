//! Does every channel reach the promised peak level at every seat?

use std::rc::Rc;

use acoustics::level::{
    RoomPath, amplifier_power, free_field_level, power_for_level, room_level, sensitivity_per_watt,
    sound_power_level,
};
use acoustics::octave::OctaveBand;
use analysis::{
    Analysis, COVERAGE_FACTOR, Limit, LimitValue, Means, Missing, Parts, SeatPlace, Source, Vector3,
};
use model::{Edit, Item, LoudspeakerForm, LoudspeakerKit, Seat, Space, Zone};
use units::{Decibels, Dimension, Metres, Ohms, SquareMetres, Watts};

use crate::room_sound::{RoomSound, room_sound};
use crate::track::{Track, shortest};
use crate::{
    Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain,
};

const CONVENTION: Source = Source::Derived {
    from: "85 dB(C) with pink noise at −20 dBFS rms (cinema practice, confirmed in a production guide) + 20 dB; the low-frequency effects channel +10 dB in its band; 0 dBFS = rms of a full-scale sine (AES17)",
};

/// The peak of a main channel.
pub(super) static PEAK_LEVEL_MIN: Limit = Limit {
    name: "peak_level_min",
    meaning: "the level of a full-scale sine, rms, that each main channel reaches at each seat",
    dimension: Dimension::Level,
    value: 105.0,
    source: CONVENTION,
    regional: &[],
};

/// The peak of the low-frequency effects channel.
pub(super) static PEAK_LEVEL_LFE_MIN: Limit = Limit {
    name: "peak_level_lfe_min",
    meaning: "the level of a full-scale sine, rms, that the subwoofers together reach at each seat",
    dimension: Dimension::Level,
    value: 115.0,
    source: CONVENTION,
    regional: &[],
};

/// What equalising and a warm voice coil take.
pub(super) static PEAK_LEVEL_HEADROOM: Limit = Limit {
    name: "peak_level_headroom",
    meaning: "the margin above the peak level below which a channel is called tight: equalising and warm voice coils take it",
    dimension: Dimension::Level,
    value: 3.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "peak-level",
    area: Area::Sound,
    proves: "Each main channel, and the subwoofers together, reach the promised peak level at each seat with every channel driven.",
    matters: "What can't play loud enough compresses and distorts in the very scenes that the room was built for, and may burn out.",
    formula: "L = L(2.83 V) − 10 log(8.009/Z) + 10 log P − 20 log r in the free field, plus the room's own sound by L_W + 10 log(Q/4πr² + 4/R) at 1 kHz where finishes are known; L(2.83 V): sensitivity at 1 m, dB; Z: impedance, Ω; P: the lesser of amplifier and loudspeaker, W; r: distance, m; R = A/(1 − ᾱ). Without finishes the direct sound alone is a lower bound. Subwoofers are added by power without any room gain. The convention: rms of a full-scale sine, 3 dB below its instantaneous peak.",
    source: CONVENTION,
    when_it_fails: "More amplifier power up to what the loudspeaker takes, a more sensitive loudspeaker, or a shorter distance.",
    limits: &[&PEAK_LEVEL_MIN, &PEAK_LEVEL_LFE_MIN, &PEAK_LEVEL_HEADROOM],
    published: &[
        Published {
            cite: "90 dB for 1 W at 1 m, 200 W, 3.5 m, free field: inverse square law (computed)",
            computed: || direct(90.0, 200.0, 3.5),
            expected: 102.128_939_1,
            tolerance: 1e-6, // Printed digits of the computed value.
            unit: "dB",
        },
        Published {
            cite: "105 dB at 4.0 m from 88 dB at 2.83 V and 8 Ω: 802.79 W (computed)",
            computed: || {
                let per_watt = sensitivity_per_watt(Decibels(88.0), Ohms(8.0));
                power_for_level(Decibels(105.0), per_watt, Metres(4.0)).0
            },
            expected: 802.791_687_1,
            tolerance: 0.8, // 0.1 %: 2.83 V into 8 Ω is 1.0011 W and not 1 W.
            unit: "W",
        },
        Published {
            cite: "87 dB at 2.83 V, 4 Ω: level for 1 W at 1 m (computed)",
            computed: || sensitivity_per_watt(Decibels(87.0), Ohms(4.0)).0,
            expected: 83.984_871_2,
            tolerance: 1e-6,
            unit: "dB",
        },
        Published {
            cite: "main channel: pink noise at −20 dBFS rms gives 85 dB(C): full-scale sine (computed)",
            computed: || acoustics::level::full_scale_sine(Decibels(85.0), Decibels(-20.0)).0,
            expected: 105.0,
            tolerance: 1e-9,
            unit: "dB",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::OPENINGS).and(Parts::COVERINGS), run),
};

fn direct(per_watt_db: f64, power_w: f64, distance_m: f64) -> f64 {
    free_field_level(Decibels(per_watt_db), Watts(power_w), Metres(distance_m)).0
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let zones = analysis
        .zones_in(space)
        .filter(|zone| zone.layout.is_some() || zone.peak_level.is_some());
    let mut found = Vec::new();
    let mut room: Option<Known<Rc<RoomSound>>> = None;
    for zone in zones {
        let room = room.get_or_insert_with(|| room_sound(analysis, space));
        let here = |item: &Item| analysis.is_in(item, space);
        let (subwoofers, main): (Vec<_>, Vec<_>) = (analysis.loudspeakers_of(zone))
            .filter(|(item, _)| here(item))
            .partition(|(_, kit)| kit.form == Some(LoudspeakerForm::Subwoofer));
        let question = Question {
            analysis,
            space,
            zone,
            room,
        };
        for (item, kit) in main {
            found.extend(question.at_each_seat(&[(item, kit)], &Subject::item(item), false));
        }
        if !subwoofers.is_empty() {
            let all = match subwoofers.as_slice() {
                [(item, _)] => Subject::item(item),
                _ => Subject::new(format!("{}+subwoofers", zone.id), "subwoofers"),
            };
            found.extend(question.at_each_seat(&subwoofers, &all, true));
        }
    }
    found
}

struct Question<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    zone: &'a Zone,
    room: &'a Known<Rc<RoomSound>>,
}

type Loudspeaker<'a> = (&'a Item, &'a LoudspeakerKit);

/// What one loudspeaker can give.
#[derive(Clone)]
struct Output {
    /// Level at 1 m in the free field at its greatest power, dB.
    level: Uncertain,
    at: Vector3,
    power: Option<PowerChain>,
}

/// A loudspeaker as it is heard at a seat.
struct Heard<'a> {
    item: &'a Item,
    kit: &'a LoudspeakerKit,
    output: &'a Output,
    /// How far it is heard from, m.
    distance: Uncertain,
}

/// How a passive loudspeaker is driven.
#[derive(Clone)]
struct PowerChain {
    /// The amplifier's catalogue entry.
    amplifier: String,
    /// What reaches the loudspeaker, W.
    driven_w: f64,
    /// What it takes, W.
    takes_w: f64,
    impedance: Uncertain,
}

impl<'a> Question<'a> {
    fn at_each_seat(
        &self,
        loudspeakers: &[Loudspeaker<'a>],
        subject: &Subject,
        low: bool,
    ) -> Vec<Finding> {
        let outputs: Known<Vec<Output>> = (loudspeakers.iter())
            .map(|(item, kit)| self.output(item, kit))
            .collect();
        let found = |seat: &Seat, place: &Known<SeatPlace>| {
            CHECK.about(self.space, subject.with(&Subject::seat(seat), "at"), || {
                let (place, outputs) = (place.as_ref(), outputs.as_ref());
                let (place, outputs) = place
                    .and_then(|place| Ok((place, outputs?)))
                    .map_err(Missing::clone)?;
                let heard: Vec<_> = (loudspeakers.iter().zip(outputs))
                    .map(|((item, kit), output)| Heard {
                        item,
                        kit,
                        output,
                        distance: place.distance_to(&output.at),
                    })
                    .collect();
                self.decide(heard, seat, place, low)
            })
        };
        let known = outputs.as_ref().ok().zip(self.numbers(loudspeakers, low));
        let limits = [
            self.limit(low).value,
            self.analysis.limit(&PEAK_LEVEL_HEADROOM).value,
        ];
        let one = |(seat, place): (&Seat, Known<SeatPlace>)| match (&known, &place) {
            (Some((outputs, numbers)), Ok(SeatPlace { ear, .. })) => {
                let words = [&self.space.id, &subject.id, &subject.label, &seat.id];
                let mut inputs = vec![&ear.x, &ear.y, &ear.z];
                inputs.extend(numbers);
                for Output { level, at, .. } in *outputs {
                    inputs.extend([level, &at.x, &at.y, &at.z]);
                }
                let told_from = (&words.map(String::as_str)[..], &limits[..], &inputs[..]);
                (self.analysis).remembered_in_trials(CHECK.id, told_from, || found(seat, &place))
            }
            _ => found(seat, &place),
        };
        self.analysis.seats_in(self.space).map(one).collect()
    }

    /// What the level at a seat rests on in a trial, beside the seat, the limits and what
    /// loudspeakers give; nothing where a missing fact may be asked for.
    fn numbers(&self, loudspeakers: &[Loudspeaker<'_>], low: bool) -> Option<Vec<Uncertain>> {
        if low || !self.analysis.is_trial() {
            return Some(Vec::new());
        }
        let room = self.room.as_ref().ok()?;
        let band = room.bands[OctaveBand::Hz1000.index()].as_ref();
        let absorption = band.map(|band| band.absorption.clone());
        let coverages = (loudspeakers.iter()).map(|(item, kit)| self.coverage(item, kit));
        Some(
            coverages
                .chain([room.surfaces.clone()])
                .chain(absorption)
                .collect(),
        )
    }

    fn decide(
        &self,
        sources: Vec<Heard<'_>>,
        seat: &Seat,
        place: &SeatPlace,
        low: bool,
    ) -> Known<Outcome> {
        let analysis = self.analysis;
        let limit = self.limit(low);
        let comfort = analysis.limit(&PEAK_LEVEL_HEADROOM).value;
        let bare = power_sum(
            sources
                .iter()
                .map(|source| &source.output.level - source.distance.log10() * 20.0),
        );
        // The direct sound is a lower bound; only if it falls short must the room be known.
        let enough =
            (&bare - limit.value).value() > comfort + COVERAGE_FACTOR * bare.standard_uncertainty();
        let (level, with_room) = match (low, self.room) {
            (true, _) => (bare, false),
            (false, Ok(room)) => (self.in_room(&sources[0], room), true),
            (false, Err(_)) if enough => (bare, false),
            (false, Err(missing)) => return Err(missing.clone()),
        };
        if analysis.is_trial() {
            return Ok(Outcome::at_least(level, &limit, Dimension::Level).comfort(comfort));
        }
        let names: Vec<&str> = (sources.iter())
            .map(|source| analysis::item_label(source.item))
            .collect();
        let powers: Vec<String> = (sources
            .iter()
            .filter_map(|source| source.output.power.as_ref()))
        .map(|power| analysis.exact(power.driven_w.min(power.takes_w), Dimension::Power))
        .collect();
        let sentence = format!(
            "At seat {}, {} from {}, {} reach{} {}{}{}; {} is asked for, {} of headroom besides.",
            seat.id,
            analysis.length(&sources[0].distance),
            names[0],
            names.join(" and "),
            if names.len() == 1 { "es" } else { "" },
            analysis.print(&level, Dimension::Level),
            if powers.is_empty() {
                String::new()
            } else {
                format!(" with {}", powers.join(" and "))
            },
            match (with_room, low) {
                (true, _) => ", the room's own sound included",
                (_, true) => ", without any room gain",
                _ => " by the direct sound alone",
            },
            analysis.exact(limit.value, Dimension::Level),
            analysis.exact(comfort, Dimension::Level),
        );
        let outcome = Outcome::at_least(level, &limit, Dimension::Level)
            .comfort(comfort)
            .because(sentence)
            .caution(Caution::LoudSweep);
        let spread = COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
        let short = spread.max(comfort) - outcome.margin().value() + 0.05;
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        let moves = self.nearer(&sources, seat, place, short);
        Ok((self.other_kit(&sources, short).into_iter())
            .chain(moves)
            .fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy))))
    }

    /// The zone's own peak level, else the customary one.
    fn limit(&self, low: bool) -> LimitValue {
        let promised = (self.zone.peak_level.as_ref()).and_then(|level| level.value());
        let gain = if low {
            acoustics::level::LFE_GAIN.0
        } else {
            0.0
        };
        match promised {
            Some(level) => LimitValue {
                value: level + gain,
                source: Source::Agreed {
                    reason: Some(format!(
                        "the peak level of {}{}",
                        crate::listening::zone_label(self.zone),
                        if low {
                            ", +10 dB in the subwoofers' band"
                        } else {
                            ""
                        }
                    )),
                },
            },
            None => self.analysis.limit(if low {
                &PEAK_LEVEL_LFE_MIN
            } else {
                &PEAK_LEVEL_MIN
            }),
        }
    }

    fn output(&self, item: &'a Item, kit: &LoudspeakerKit) -> Known<Output> {
        self.analysis
            .kept_of_item("loudspeaker's output", item, || {
                // Noted: the answer rests on the entry as well.
                let _ = self.analysis.kit_of(item);
                self.output_anew(item, kit)
            })
    }

    fn output_anew(&self, item: &'a Item, kit: &LoudspeakerKit) -> Known<Output> {
        let analysis = self.analysis;
        let ask = |what: &str, fact: &str| {
            let at = format!("kit.loudspeaker.{}.{fact}", kit.common.id);
            Missing::new(format!("{what} of {}", item.is), at, Means::SpecSheet)
        };
        let at = analysis.loudspeaker(item, kit)?.at;
        let level_max = analysis.number(kit.level_max.as_ref());
        if kit.channels == Some(0) {
            let level = level_max.ok_or_else(|| ask("the highest level at 1 m", "level_max"))?;
            return Ok(Output {
                level,
                at,
                power: None,
            });
        }
        let sensitivity = analysis
            .number(kit.sensitivity.as_ref())
            .ok_or_else(|| ask("the sensitivity", "sensitivity"))?;
        let impedance = analysis
            .number(kit.impedance.as_ref())
            .ok_or_else(|| ask("the impedance", "impedance"))?;
        let takes = analysis
            .number(kit.power_max.as_ref())
            .ok_or_else(|| ask("the highest power", "power_max"))?;
        let (amplifier, driven) = self.driven(item, &impedance)?;
        let power = driven.min(&takes);
        let level = uncertainty::through([&sensitivity, &impedance, &power], |[s, z, p]| {
            let per_watt = sensitivity_per_watt(Decibels(s), Ohms(z));
            direct(per_watt.0, p, 1.0)
        });
        Ok(Output {
            level: level_max.map_or(level.clone(), |most| level.min(&most)),
            at,
            power: Some(PowerChain {
                amplifier: amplifier.is.clone(),
                driven_w: driven.value(),
                takes_w: takes.value(),
                impedance,
            }),
        })
    }

    /// The amplifier and what can be counted on into that impedance.
    fn driven(&self, item: &'a Item, impedance: &Uncertain) -> Known<(&'a Item, Uncertain)> {
        let analysis = self.analysis;
        let (amplifier, kit) = analysis.amplifier_of(item).ok_or_else(|| {
            Missing::new(
                format!("which amplifier drives {}", analysis::item_label(item)),
                format!("item.{}.driven_by", item.id),
                Means::Decide,
            )
        })?;
        let ask = |what: &str, fact: &str| {
            let at = format!("kit.amplifier.{}.{fact}", kit.common.id);
            Missing::new(format!("{what} of {}", amplifier.is), at, Means::SpecSheet)
        };
        let rated = analysis
            .number(kit.power.as_ref())
            .ok_or_else(|| ask("the power of each channel with all driven", "power"))?;
        let into = analysis
            .number(kit.into.as_ref())
            .ok_or_else(|| ask("the load for which the power is stated", "into"))?;
        let sure = uncertainty::through([&rated, &into, impedance], |[p, into, z]| {
            amplifier_power(Watts(p), Ohms(into), Ohms(z)).sure.0
        });
        Ok((amplifier, sure))
    }

    /// Direct and diffuse sound at 1 kHz.
    fn in_room(&self, source: &Heard<'_>, room: &RoomSound) -> Uncertain {
        let level = &source.output.level;
        let Some(band) = &room.bands[OctaveBand::Hz1000.index()] else {
            return level - source.distance.log10() * 20.0;
        };
        let coverage = self.coverage(source.item, source.kit);
        let inputs = [
            level,
            &source.distance,
            &band.absorption,
            &room.surfaces,
            &coverage,
        ];
        self.analysis.remembered("level in room", &inputs, || {
            uncertainty::through(
                inputs,
                |[level, distance, absorption, surfaces, coverage]| {
                    let directivity = cone_directivity(coverage);
                    let path = RoomPath {
                        directivity,
                        distance: Metres(distance),
                        absorption: SquareMetres(absorption),
                        surfaces: SquareMetres(surfaces),
                    };
                    let power_level = sound_power_level(Decibels(level), directivity);
                    room_level(power_level, &path).total.0
                },
            )
        })
    }

    fn coverage(&self, item: &Item, kit: &LoudspeakerKit) -> Uncertain {
        (self.analysis.number(kit.coverage.as_ref())).unwrap_or_else(|| {
            self.analysis.assumed(
                &format!("the coverage angle of {}, taken as 90°", item.is),
                &format!("kit.loudspeaker.{}.coverage", kit.common.id),
                90_f64.to_radians(),
                30_f64.to_radians(),
            )
        })
    }

    /// More power, more sensitive loudspeakers.
    fn other_kit(&self, sources: &[Heard<'_>], short_db: f64) -> Vec<Remedy> {
        let analysis = self.analysis;
        let factor = 10_f64.powf(short_db / 10.0);
        let mut remedies = Vec::new();
        if let [only] = sources
            && let Some(power) = &only.output.power
        {
            let needed_w = (power.driven_w.min(power.takes_w) * factor / 5.0).ceil() * 5.0;
            if power.driven_w < power.takes_w && needed_w <= power.takes_w {
                let path = format!("kit.amplifier.{}", power.amplifier);
                let watts = analysis.exact(needed_w, Dimension::Power);
                let load = analysis.exact(power.impedance.value(), Dimension::Resistance);
                let says = format!(
                    "Drive {} with an amplifier of {watts} into {load} for each channel, all driven.",
                    analysis::item_label(only.item)
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
            let (fact, now) = match &source.output.power {
                Some(_) => ("sensitivity", source.kit.sensitivity.as_ref()),
                None => ("level_max", source.kit.level_max.as_ref()),
            };
            let Some(now_db) = now.and_then(|level| level.value()) else {
                continue;
            };
            let at = format!("kit.loudspeaker.{}.{fact}", source.kit.common.id);
            if edits.iter().any(|edit| edit.at == at) {
                continue;
            }
            let level = analysis.exact(((now_db + short_db) * 2.0).ceil() / 2.0, Dimension::Level);
            words.push(match source.output.power {
                Some(_) => format!("a sensitivity of {level} at 2.83 V and 1 m"),
                None => format!("a highest level of {level} at 1 m"),
            });
            edits.push(Edit::set(at, level));
        }
        if !edits.is_empty() {
            let says = format!("Order loudspeakers with {} or more.", words.join(" and "));
            remedies.push(Remedy::new(says, edits));
        }
        remedies
    }

    /// The loudspeaker or the seat moved nearer.
    fn nearer(
        &self,
        sources: &[Heard<'_>],
        seat: &Seat,
        place: &SeatPlace,
        short_db: f64,
    ) -> Vec<Remedy> {
        let analysis = self.analysis;
        let [only] = sources else {
            return Vec::new();
        };
        let level = &only.output.level;
        // The room's own sound does not grow: the direct sound has to bring it all.
        let room_share = match (self.room, only.kit.form) {
            (Ok(room), form) if form != Some(LoudspeakerForm::Subwoofer) => {
                let bare = level - only.distance.log10() * 20.0;
                let total = self.in_room(only, room).value();
                10_f64.powf(total / 10.0) - 10_f64.powf(bare.value() / 10.0)
            }
            _ => 0.0,
        };
        let total = |distance_m: f64| {
            let bare = level.value() - 20.0 * distance_m.log10();
            10.0 * (10_f64.powf(bare / 10.0) + room_share.max(0.0)).log10()
        };
        let wanted = total(only.distance.value()) + short_db + 0.05;
        let Ok(at) = analysis.loudspeaker(only.item, only.kit) else {
            return Vec::new();
        };
        let (ear, sound) = (place.ear.value(), at.at.value());
        let apart =
            |a: [f64; 3], b: [f64; 3]| (a[0] - b[0]).hypot(a[1] - b[1]).hypot(a[2] - b[2]).max(0.1);
        let tracks = Track::of_item(analysis, only.item, &at.at);
        let of_item = (tracks.iter())
            .map(|track| track.nearest(analysis, |place| total(apart(ear, place)) > wanted));
        let tracks = Track::of_seat(analysis, self.space, seat, place);
        let of_seat = (tracks.iter())
            .map(|track| track.nearest(analysis, |place| total(apart(place, sound)) > wanted));
        shortest(of_item.chain(of_seat))
            .into_iter()
            .take(1)
            .collect()
    }
}

/// The directivity factor of a source that fills a cone evenly: Q = 2/(1 − cos(θ/2)).
fn cone_directivity(coverage_rad: f64) -> f64 {
    2.0 / (1.0 - (coverage_rad / 2.0).cos()).max(1e-3)
}

/// 10 log Σ 10^(L/10).
fn power_sum(levels: impl Iterator<Item = Uncertain>) -> Uncertain {
    let to_power = std::f64::consts::LN_10 / 10.0;
    let sum: Uncertain = levels.map(|level| (level * to_power).exp()).sum();
    sum.log10() * 10.0
}

#[cfg(test)]
mod tests;
