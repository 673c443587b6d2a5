//! Does every channel reach the promised peak level at every seat?

mod remedies;

use std::rc::Rc;

use acoustics::directivity::coverage_loss;
use acoustics::level::{
    amplifier_power, free_field_level, power_for_level, sensitivity_per_watt, sine_of_peak,
    sine_power_by_heat, sine_power_of_peak,
};
use acoustics::octave::OctaveBand;
use analysis::{
    Analysis, COVERAGE_FACTOR, Limit, LimitValue, Means, Missing, Parts, SeatPlace, Sounding,
    Source, Vector3,
};
use model::{Item, LoudspeakerForm, LoudspeakerKit, Seat, Space, SpaceKind, Zone};
use units::{Decibels, Dimension, Metres, Ohms, Radians, Watts};

use crate::garden_sound::{self, Garden};
use crate::listening::main_seat;
use crate::room_sound::{RoomSound, room_sound};
use crate::seat_sound::reverberant;
use crate::seats_apart::SEAT_APART_MIN;
use crate::speaker_wire::{WIRE_LOSS_MAX, loss_db, lost_on_the_way};
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Run, Subject, Uncertain};

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
    formula: "L = L(2.83 V) − 10 log(8.009/Z) + 10 log P + D(θ) − 20 log r in the free field, plus the room's own sound by L_W + 10 log(4/R) at 1 kHz where finishes are known, L_W = L(1 m) − 10 log(Q/4π); L(2.83 V): sensitivity at 1 m, dB; Z: impedance, Ω; P: the lesser of what comes out of the wire and what the loudspeaker takes, W; D(θ): what the loudspeaker sends towards the seat re its axis, dB, by polar data, both its sides, its coverage or a piston of its diaphragm where that is narrower; where no coverage is stated by the piston in octaves that it plays, which for a dome below 50 mm 1 kHz is not (common practice, no source), else by 90° ± 30° (see `loudspeaker-aim`, `level-spread`), at 1 kHz, outdoors at 2 kHz, nothing for subwoofers; Q: directivity factor on the axis, by the same; r: distance, m; R = A/(1 − ᾱ). Out of the wire comes P_a · 10^(−W/10), P_a: the amplifier's power of each channel, all driven, into Z; W: what `wire-loss` finds of the wire from the amplifier to the loudspeaker, dB; half of `wire_loss_max` ± as much where a cable's thickness or way is not known, nothing where the job has none. Crest: film is set to a mean of 85 dB (low-frequency effects 95 dB), a full-scale sine is 20 dB over that, its instants 3 dB more. All levels here are that sine's rms, as an amplifier's watts are a sine's; a `level_peak` counts 3 dB less. A loudspeaker takes `power_max`, or with a `power_peak` the sine that reaches it in its instants, P_peak/2, as long as the mean of loud passages does not overheat it: P_max · 10^(C/10)/2, C: `loud_crest_min`. Without finishes the direct sound alone is a lower bound. Outdoors the direct sound and what ground and house walls give back (see `garden-evenness`). Subwoofers are added by power without any room gain.",
    source: CONVENTION,
    when_it_fails: "More amplifier power up to what the loudspeaker takes, a more sensitive loudspeaker, one that is turned to the seat or spreads wider, or a shorter distance.",
    limits: &[
        &PEAK_LEVEL_MIN,
        &PEAK_LEVEL_LFE_MIN,
        &PEAK_LEVEL_HEADROOM,
        &LOUD_CREST_MIN,
        &WIRE_LOSS_MAX,
        &SEAT_APART_MIN,
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
            cite: "90 dB for 1 W at 1 m, 200 W, 3.5 m, coverage 90°, seat 22.5° off the axis: 1.5051 dB less than on it (computed)",
            computed: || {
                let [coverage, off] = [90.0, 22.5].map(Radians::from_degrees);
                direct(90.0, 200.0, 3.5) + coverage_loss(coverage, off).0
            },
            expected: 100.623_789_1,
            tolerance: 1e-6, // Printed digits of the computed value.
            unit: "dB",
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
    // Nobody listens there: a zone of ceiling loudspeakers is judged by its evenness.
    if space.seat.is_empty() {
        return Vec::new();
    }
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
        found.reserve((main.len() + 1) * space.seat.len());
        for (item, kit) in main {
            found.extend(question.of_main(item, kit));
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
    /// Level at 1 m on its axis in the free field at its greatest power, dB.
    level: Uncertain,
    at: Vector3,
    power: Option<PowerChain>,
}

/// A loudspeaker and what it can give.
struct Driven<'a> {
    item: &'a Item,
    kit: &'a LoudspeakerKit,
    output: Output,
    /// Which way it looks and how it spreads; nothing for a subwoofer, which plays all round.
    sounding: Option<Sounding<'a>>,
    /// What the room adds, as energy re 1 m before it; nothing where that is not known.
    room: Option<Uncertain>,
}

/// A loudspeaker as it is heard at a seat.
struct Heard<'a, 'b> {
    of: &'b Driven<'a>,
    /// The direct sound as energy re 1 m before it.
    direct: Uncertain,
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

impl Heard<'_, '_> {
    /// The direct sound, dB.
    fn direct(&self) -> Uncertain {
        &self.of.output.level + self.direct.log10() * 10.0
    }

    /// Direct sound and the room's own, dB.
    fn in_room(&self) -> Uncertain {
        match &self.of.room {
            Some(room) => &self.of.output.level + (&self.direct + room).log10() * 10.0,
            None => self.direct(),
        }
    }
}

impl<'a> Question<'a> {
    /// Of a main channel at each seat.
    fn of_main(&self, item: &'a Item, kit: &'a LoudspeakerKit) -> Vec<Finding> {
        let analysis = self.analysis;
        CHECK.shared_by_trials(analysis, self.space, item, || {
            // Noted: what is known of both was asked for before.
            analysis.zone_of(item);
            let _ = room_sound(analysis, self.space);
            self.at_each_seat(&[(item, kit)], &Subject::item(item), false)
        })
    }

    fn at_each_seat(
        &self,
        loudspeakers: &[Loudspeaker<'a>],
        subject: &Subject,
        low: bool,
    ) -> Vec<Finding> {
        let limit = self.limit(low);
        let driven: Known<Vec<Driven<'a>>> = (loudspeakers.iter())
            .map(|(item, kit)| self.of(item, kit, low))
            .collect();
        let found = |seat: &Seat, place: &Known<SeatPlace>| {
            CHECK.about(self.space, subject.with(&Subject::seat(seat), "at"), || {
                let place = place.as_ref().map_err(Missing::clone)?;
                let driven = driven.as_ref().map_err(Missing::clone)?;
                let heard = driven.iter().map(|driven| self.heard(driven, place));
                self.decide(heard.collect(), seat, place, low, &limit)
            })
        };
        let known = driven.as_ref().ok().zip(self.numbers(&driven));
        let limits = [limit.value, self.analysis.limit(&PEAK_LEVEL_HEADROOM).value];
        let one = |(seat, place): (&Seat, Known<SeatPlace>)| match (&known, &place) {
            (Some((driven, (exact, numbers))), Ok(SeatPlace { ear, .. })) => {
                let words = [&self.space.id, &subject.id, &subject.label, &seat.id];
                let mut inputs = vec![&ear.x, &ear.y, &ear.z];
                inputs.extend(numbers);
                for Output { level, at, .. } in driven.iter().map(|driven| &driven.output) {
                    inputs.extend([level, &at.x, &at.y, &at.z]);
                }
                let exact: Vec<f64> = exact.iter().chain(&limits).copied().collect();
                let told_from = (&words.map(String::as_str)[..], &exact[..], &inputs[..]);
                (self.analysis).remembered_in_trials(CHECK.id, told_from, || found(seat, &place))
            }
            _ => found(seat, &place),
        };
        self.analysis.seats_in(self.space).map(one).collect()
    }

    /// What the levels at seats rest on in a trial, beside the seat, the limits and what
    /// loudspeakers give on their axes; nothing where a missing fact may be asked for.
    fn numbers(&self, driven: &Known<Vec<Driven<'_>>>) -> Option<(Vec<f64>, Vec<Uncertain>)> {
        if !self.analysis.is_trial() {
            return Some((Vec::new(), Vec::new()));
        }
        let (mut exact, mut numbers) = (Vec::new(), Vec::new());
        for driven in driven.as_ref().ok()? {
            let Some(sounding) = &driven.sounding else {
                continue;
            };
            let (ways, usual) = sounding.numbers()?;
            exact.extend(ways);
            numbers.extend(usual.cloned());
            numbers.push(driven.room.clone()?);
        }
        Some((exact, numbers))
    }

    fn of(&self, item: &'a Item, kit: &'a LoudspeakerKit, low: bool) -> Known<Driven<'a>> {
        let output = self.output(item, kit)?;
        let sounding = match low {
            true => None,
            false => Some(
                self.analysis
                    .sounding(self.space, item, kit, self.towards()?)?,
            ),
        };
        let room = match (&sounding, self.room) {
            (Some(sounding), Ok(room)) => Some(reverberant(room, sounding, self.band())?),
            _ => None,
        };
        Ok(Driven {
            item,
            kit,
            output,
            sounding,
            room,
        })
    }

    fn heard<'b>(&self, driven: &'b Driven<'a>, place: &SeatPlace) -> Heard<'a, 'b> {
        let direct = match &driven.sounding {
            Some(sounding) => sounding.direct_to(&place.ear, self.band()),
            None => 1.0 / place.distance_to(&driven.output.at).square(),
        };
        Heard { of: driven, direct }
    }

    fn is_outdoors(&self) -> bool {
        self.space.kind == Some(SpaceKind::Outdoor)
    }

    /// The octave in which it is judged.
    fn band(&self) -> OctaveBand {
        match self.is_outdoors() {
            true => garden_sound::BAND,
            false => OctaveBand::Hz1000,
        }
    }

    /// What is looked at by what stands free: the main seat's ear, or that of the first seat
    /// that has a place.
    fn towards(&self) -> Known<[f64; 3]> {
        let main = main_seat(self.space).expect("a space with seats");
        let place = match self.analysis.seat(self.space, main) {
            Ok(place) => place,
            Err(missing) => (self.analysis.seats_in(self.space))
                .find_map(|(_, place)| place.ok())
                .ok_or(missing)?,
        };
        Ok(place.ear.value())
    }

    fn decide(
        &self,
        sources: Vec<Heard<'_, '_>>,
        seat: &Seat,
        place: &SeatPlace,
        low: bool,
        limit: &LimitValue,
    ) -> Known<Outcome> {
        let analysis = self.analysis;
        let comfort = analysis.limit(&PEAK_LEVEL_HEADROOM).value;
        let bare = || power_sum(sources.iter().map(Heard::direct));
        // The direct sound is a lower bound; only if it falls short must the room be known.
        let is_enough = |bare: &Uncertain| {
            (bare - limit.value).value() > comfort + COVERAGE_FACTOR * bare.standard_uncertainty()
        };
        let (level, how) = match (low, self.room) {
            (true, _) => (bare(), ", without any room gain"),
            (false, Ok(_)) => (sources[0].in_room(), ", the room's own sound included"),
            (false, Err(missing)) => match bare() {
                bare if is_enough(&bare) => (bare, " by the direct sound alone"),
                bare if self.is_outdoors() => (
                    bare + self.given_back(&sources[0], place)?,
                    ", with what the ground and house walls give back",
                ),
                _ => return Err(missing.clone()),
            },
        };
        if analysis.is_trial() {
            return Ok(Outcome::at_least(level, limit, Dimension::Level).comfort(comfort));
        }
        let names: Vec<&str> = (sources.iter())
            .map(|source| analysis::item_label(source.of.item))
            .collect();
        let powers: Vec<String> = (sources.iter())
            .filter_map(|source| source.of.output.power.as_ref())
            .map(|power| self.power_words(power))
            .collect();
        let sentence = format!(
            "At seat {}, {} from {}{}, {} reach{} {}{}{how}; {} is asked for{}, {} of headroom besides.",
            seat.id,
            analysis.length(&place.distance_to(&sources[0].of.output.at)),
            names[0],
            self.off_axis_words(&sources[0], place),
            names.join(" and "),
            if names.len() == 1 { "es" } else { "" },
            analysis.print(&level, Dimension::Level),
            if powers.is_empty() {
                String::new()
            } else {
                format!(" with {}", powers.join(" and "))
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
        let outcome = Outcome::at_least(level, limit, Dimension::Level)
            .comfort(comfort)
            .because(sentence)
            .caution(Caution::LoudSweep);
        let spread = COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
        let short = spread.max(comfort) - outcome.margin().value() + 0.05;
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        let remedies = self.remedies(&sources, seat, place, short);
        Ok((remedies.into_iter()).fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy))))
    }

    /// What is lost off its axis, where that is heard.
    fn off_axis_words(&self, source: &Heard<'_, '_>, place: &SeatPlace) -> String {
        const HEARD_DB: f64 = 0.5;
        let Some(sounding) = &source.of.sounding else {
            return String::new();
        };
        let lost = -sounding.level_to(&place.ear, self.band());
        match lost.value() >= HEARD_DB {
            true => format!(
                ", which sends {} less that way than along its axis",
                self.analysis.print(&lost, Dimension::Level)
            ),
            false => String::new(),
        }
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

    /// What ground and house walls add outdoors, dB.
    fn given_back(&self, source: &Heard<'_, '_>, place: &SeatPlace) -> Known<Uncertain> {
        let sounding = (source.of.sounding.as_ref()).map(|sounding| sounding.aimed(sounding.aim));
        let sources = sounding.into_iter().collect();
        Ok(Garden::new(self.analysis, self.space, sources)?.gain(place.ear.value()))
    }
}

/// 10 log Σ 10^(L/10).
fn power_sum(levels: impl Iterator<Item = Uncertain>) -> Uncertain {
    let to_power = std::f64::consts::LN_10 / 10.0;
    let sum: Uncertain = levels.map(|level| (level * to_power).exp()).sum();
    sum.log10() * 10.0
}

#[cfg(test)]
mod tests;
