//! Does every channel reach the promised peak level at every seat?

use std::rc::Rc;

use acoustics::level::{
    RoomPath, amplifier_power, free_field_level, power_for_level, room_level, sensitivity_per_watt,
    sine_of_peak, sine_power_by_heat, sine_power_of_peak, sound_power_level,
};
use acoustics::octave::OctaveBand;
use analysis::{
    Analysis, COVERAGE_FACTOR, Limit, LimitValue, Means, Missing, Parts, SeatPlace, Source, Vector3,
};
use model::{Edit, Item, LoudspeakerForm, LoudspeakerKit, Seat, Space, SpaceKind, Zone};
use units::{Decibels, Dimension, Metres, Ohms, SquareMetres, Watts};

use crate::garden_sound::Garden;
use crate::listening::main_seat;
use crate::room_sound::{RoomSound, room_sound};
use crate::seat_sound::Playing;
use crate::speaker_wire::{WIRE_LOSS_MAX, loss_db, lost_on_the_way};
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

/// What heats a voice coil while peaks are as high as they get.
pub(super) static LOUD_CREST_MIN: Limit = Limit {
    name: "loud_crest_min",
    meaning: "how far the peaks of the loudest passages of film stand over their mean: what decides how hot voice coils get",
    dimension: Dimension::Level,
    value: 10.0,
    source: Source::FromMemory {
        work: "programme has a crest of 10 to 20 dB; its lower end",
    },
    regional: &[],
};

/// A full-scale sine over the mean level of film, dB: −20 dBFS, by the same convention.
const OVER_MEAN_DB: f64 = 20.0;

pub(crate) static CHECK: Check = Check {
    id: "peak-level",
    area: Area::Sound,
    proves: "Each main channel, and the subwoofers together, reach the promised peak level at each seat with every channel driven.",
    matters: "What can't play loud enough compresses and distorts in the very scenes that the room was built for, and may burn out.",
    formula: "L = L(2.83 V) − 10 log(8.009/Z) + 10 log P − 20 log r in the free field, plus the room's own sound by L_W + 10 log(Q/4πr² + 4/R) at 1 kHz where finishes are known; L(2.83 V): sensitivity at 1 m, dB; Z: impedance, Ω; P: the lesser of what comes out of the wire and what the loudspeaker takes, W; r: distance, m; R = A/(1 − ᾱ). Out of the wire comes P_a · 10^(−D/10), P_a: the amplifier's power of each channel, all driven, into Z; D: what `wire-loss` finds of the cable that ends at the loudspeaker, dB; half of `wire_loss_max` ± as much where that cable's thickness or way is not known, nothing where the job has none. Crest: film is set to a mean of 85 dB (low-frequency effects 95 dB), a full-scale sine is 20 dB over that, its instants 3 dB more. All levels here are that sine's rms, as an amplifier's watts are a sine's; a `level_peak` counts 3 dB less. A loudspeaker takes `power_max`, or with a `power_peak` the sine that reaches it in its instants, P_peak/2, as long as the mean of loud passages does not overheat it: P_max · 10^(C/10)/2, C: `loud_crest_min`. Of a dipole or bipole the direct sound is that of both its sides towards the seat (see `level-spread`), and the room is fed by what they send in all. Without finishes the direct sound alone is a lower bound. Outdoors the direct sound and what ground and house walls give back (see `garden-evenness`). Subwoofers are added by power without any room gain.",
    source: CONVENTION,
    when_it_fails: "More amplifier power up to what the loudspeaker takes, a more sensitive loudspeaker, or a shorter distance.",
    limits: &[
        &PEAK_LEVEL_MIN,
        &PEAK_LEVEL_LFE_MIN,
        &PEAK_LEVEL_HEADROOM,
        &LOUD_CREST_MIN,
        &WIRE_LOSS_MAX,
    ],
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
        Published {
            cite: "18 AWG solid, 30 m one way, 8 Ω takes 1.26748 dB (computed): 200 W as they arrive",
            computed: || {
                let gauge = wiring::awg::Awg::new(18).map_or(f64::NAN, |gauge| gauge.area().0);
                let lost = loss_db(gauge, wiring::wire::Lay::Solid, 30.0, 8.0);
                arriving(200.0, lost)
            },
            expected: 149.372,
            tolerance: 0.08, // Third decimal of the resistivity that tables print.
            unit: "W",
        },
        Published {
            cite: "main channel: full-scale sine of 105 dB, instantaneous peak 108.0103 dB (computed): back to the sine",
            computed: || sine_of_peak(Decibels(108.0103)).0,
            expected: 105.0,
            tolerance: 1e-4, // Printed digits.
            unit: "dB",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::OPENINGS).and(Parts::COVERINGS), run),
};

fn direct(per_watt_db: f64, power_w: f64, distance_m: f64) -> f64 {
    free_field_level(Decibels(per_watt_db), Watts(power_w), Metres(distance_m)).0
}

/// What is left of a power behind a wire, W.
fn arriving(power_w: f64, lost_db: f64) -> f64 {
    power_w * 10_f64.powf(-lost_db / 10.0)
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
    /// Of a dipole or bipole, what its sides send there.
    sides: Option<Sides>,
}

/// What a loudspeaker of two sides sends to a seat at 1 kHz, re 1 m before its loudest side.
struct Sides {
    /// The direct sound's share by direction, dB.
    direct: Uncertain,
    /// What the room adds, as energy; nothing where it is not known.
    room: Option<Uncertain>,
}

/// How a passive loudspeaker is driven.
#[derive(Clone)]
struct PowerChain {
    /// The amplifier's catalogue entry.
    amplifier: String,
    /// What reaches the loudspeaker, W.
    driven_w: f64,
    /// What its wire takes, dB, where there is one.
    lost: Option<Uncertain>,
    /// What it takes, W.
    takes_w: f64,
    impedance: Uncertain,
}

impl Heard<'_> {
    /// The direct sound, dB.
    fn direct(&self) -> Uncertain {
        let level = &self.output.level - self.distance.log10() * 20.0;
        match &self.sides {
            Some(sides) => level + &sides.direct,
            None => level,
        }
    }
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
                let heard = (loudspeakers.iter().zip(outputs))
                    .map(|((item, kit), output)| {
                        Ok(Heard {
                            item,
                            kit,
                            output,
                            distance: place.distance_to(&output.at),
                            sides: self.sides(item, kit, place)?,
                        })
                    })
                    .collect::<Known<Vec<_>>>()?;
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
        if loudspeakers.iter().any(|(_, kit)| kit.is_two_sided()) {
            return None;
        }
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
        let bare = power_sum(sources.iter().map(Heard::direct));
        // The direct sound is a lower bound; only if it falls short must the room be known.
        let enough =
            (&bare - limit.value).value() > comfort + COVERAGE_FACTOR * bare.standard_uncertainty();
        let (level, with_room) = match (low, self.room) {
            (true, _) => (bare, false),
            (false, Ok(room)) => (self.in_room(&sources[0], room), true),
            (false, Err(_)) if enough => (bare, false),
            (false, Err(_)) if self.space.kind == Some(SpaceKind::Outdoor) => {
                (bare + self.given_back(&sources[0], place)?, false)
            }
            (false, Err(missing)) => return Err(missing.clone()),
        };
        if analysis.is_trial() {
            return Ok(Outcome::at_least(level, &limit, Dimension::Level).comfort(comfort));
        }
        let names: Vec<&str> = (sources.iter())
            .map(|source| analysis::item_label(source.item))
            .collect();
        let powers: Vec<String> = (sources.iter())
            .filter_map(|source| source.output.power.as_ref())
            .map(|power| self.power_words(power))
            .collect();
        let sentence = format!(
            "At seat {}, {} from {}, {} reach{} {}{}{}; {} is asked for{}, {} of headroom besides.",
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
                _ if self.space.kind == Some(SpaceKind::Outdoor) && !enough => {
                    ", with what the ground and house walls give back"
                }
                _ => " by the direct sound alone",
            },
            analysis.exact(limit.value, Dimension::Level),
            match self.zone.layout {
                Some(_) => format!(
                    ", which is film at {} and {} for its peaks",
                    analysis.exact(limit.value - OVER_MEAN_DB, Dimension::Level),
                    analysis.exact(OVER_MEAN_DB, Dimension::Level),
                ),
                None => String::new(),
            },
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

    /// What a loudspeaker is driven with, and what its wire keeps where that counts.
    fn power_words(&self, power: &PowerChain) -> String {
        let watts = (self.analysis).exact(power.driven_w.min(power.takes_w), Dimension::Power);
        match &power.lost {
            Some(lost) if power.driven_w <= power.takes_w => {
                let lost = self.analysis.print(lost, Dimension::Level);
                format!("{watts} that its wire leaves ({lost} less than the amplifier gives)")
            }
            _ => watts,
        }
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
        let level_max = analysis.tone_level_max(kit);
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
        let steady = analysis
            .number(kit.power_max.as_ref())
            .ok_or_else(|| ask("the highest power", "power_max"))?;
        let takes = match analysis.number(kit.power_peak.as_ref()) {
            Some(peak) => {
                let crest = Decibels(analysis.limit(&LOUD_CREST_MIN).value);
                let by_heat = steady * sine_power_by_heat(Watts(1.0), crest).0;
                (peak * sine_power_of_peak(Watts(1.0)).0).min(&by_heat)
            }
            None => steady,
        };
        let (amplifier, given) = self.driven(item, &impedance)?;
        let lost = lost_on_the_way(analysis, item, kit);
        let driven = match &lost {
            Some(lost) => {
                uncertainty::through([&given, lost], |[power, lost]| arriving(power, lost))
            }
            None => given,
        };
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
                lost,
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

    /// What both sides of a loudspeaker send to a seat.
    fn sides(&self, item: &Item, kit: &LoudspeakerKit, place: &SeatPlace) -> Known<Option<Sides>> {
        if !kit.is_two_sided() {
            return Ok(None);
        }
        let main = main_seat(self.space).expect("a space with seats");
        let towards = self.analysis.seat(self.space, main)?.ear.value();
        let source = self.analysis.sounding(self.space, item, kit, towards)?;
        let room = match self.room {
            Ok(room) => {
                let heard = Playing::new(room, &source, &[OctaveBand::Hz1000])?.at(&place.ear);
                heard.octaves.into_iter().next()
            }
            Err(_) => None,
        };
        Ok(Some(Sides {
            direct: source.level_to(&place.ear, OctaveBand::Hz1000),
            room: room.map(|octave| octave.reverberant),
        }))
    }

    /// What ground and house walls add outdoors, dB.
    fn given_back(&self, source: &Heard<'_>, place: &SeatPlace) -> Known<Uncertain> {
        let ear = place.ear.value();
        let source = (self.analysis).sounding(self.space, source.item, source.kit, ear)?;
        Ok(Garden::new(self.analysis, self.space, vec![source])?.gain(ear))
    }

    /// Direct and diffuse sound at 1 kHz.
    fn in_room(&self, source: &Heard<'_>, room: &RoomSound) -> Uncertain {
        let level = &source.output.level;
        if let Some(Sides { room, .. }) = &source.sides {
            let added = room.iter().map(|room| level + room.log10() * 10.0);
            return power_sum(added.chain([source.direct()]));
        }
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
            let arrives = (power.lost.as_ref()).map_or(1.0, |lost| arriving(1.0, lost.value()));
            let needed_w = (power.driven_w * factor / arrives / 5.0).ceil() * 5.0;
            if power.driven_w < power.takes_w && needed_w * arrives <= power.takes_w {
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
            let kit = source.kit;
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
            let is_passive = source.output.power.is_some();
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
        // Nearer, a seat is elsewhere in the lobes of two sides.
        if only.sides.is_some() {
            return Vec::new();
        }
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
