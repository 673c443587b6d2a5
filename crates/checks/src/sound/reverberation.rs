//! Does the room ring as long as it should, octave by octave?

mod treatment;

pub(crate) use treatment::additions as more_absorption;

use std::cell::OnceCell;

use acoustics::layout;
use acoustics::listening_room::{reverberation_nominal, reverberation_tolerance};
use acoustics::octave::OctaveBand;
use acoustics::reverberation::{BandRoom, Surface};
use analysis::{Analysis, COVERAGE_FACTOR, Limit, LimitValue, Parts, Source};
use model::{Space, SpaceKind};
use units::{CubicMetres, Dimension, SquareMetres};

use crate::room_sound::{BandSound, RoomSound, room_sound};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject, Uncertain};

/// Living rooms that sound neither dead nor loud.
pub(super) static REVERBERATION_MIN: Limit = Limit {
    name: "reverberation_min",
    meaning: "the shortest reverberation time at 500 Hz and 1 kHz of a room with a picture or fewer than five channels",
    dimension: Dimension::Time,
    value: 0.3,
    source: Source::CommonPractice,
    regional: &[],
};

/// The longest of them.
pub(super) static REVERBERATION_MAX: Limit = Limit {
    name: "reverberation_max",
    meaning: "the longest reverberation time at 500 Hz and 1 kHz of a room with a picture or fewer than five channels",
    dimension: Dimension::Time,
    value: 0.6,
    source: Source::CommonPractice,
    regional: &[],
};

/// How much longer than a listening room a lived-in cinema may ring.
pub(super) static CINEMA_REVERBERATION_EXCESS: Limit = Limit {
    name: "cinema_reverberation_excess",
    meaning: "how much longer than the nominal time of a listening room a home cinema may ring from 250 Hz up",
    dimension: Dimension::Time,
    value: 0.15,
    source: Source::CommonPractice,
    regional: &[],
};

const LISTENING_ROOM: Source = Source::FromMemory {
    work: "ITU-R BS.1116-3, annex 1, reverberation time and its tolerance mask",
};

pub(crate) static CHECK: Check = Check {
    id: "reverberation",
    area: Area::Sound,
    proves: "In each octave from 125 Hz to 4 kHz the room rings as long as a listening room of its volume should.",
    matters: "A room that rings too long smears speech and the places of sounds; one that is dead at the top and booms below tires the ear.",
    formula: "Sabine T = K V/(A + 4mV) for ᾱ ≤ 0.2, else Norris–Eyring T = K V/(−S ln(1 − ᾱ) + 4mV); K = 24 ln 10/c; V: volume, m³; S: surfaces, m²; A = Σ S_i α_i, m²; ᾱ = A/S; m: energy lost to the air, 1/m. Doors, windows, rugs, curtains and panels hide what they cover; an archway absorbs all; furniture and people add to A. An archway that leads into a room whose finishes are known lets energy back: the decays of both are solved together, V_i dw_i/dt = (c/4)(−(A_i + S) w_i + S w_j), and T is read between −5 and −25 dB. Where one pair of opposite sides of a box absorbs three times as much as another, the time by Arau-Puchades, T = K V/(S Π(−ln(1 − ᾱ_a))^(S_a/S) + 4mV), is told beside: the longer one, where little scatters sound. Rooms with a layout of five or more channels: T_m = 0.25 s (V/100 m³)^(1/3); not more than 0.05 s below it, as in a listening room, and not more than the house's excess above it, below 200 Hz as much more as the listening room's mask rises there. Other rooms with a picture or a layout: 0.3 s to 0.6 s at 500 Hz and 1 kHz. Valid above the Schroeder frequency 2000 √(T/V) Hz; tables of α alone leave ±20 % on T. Where T was measured, A is what the law makes of it, A = K V/T − 4mV (55.3 V/(c T) − 4mV), and coverings that come or go add what the tables say of them.",
    source: LISTENING_ROOM,
    when_it_fails: "Add carpet, curtains or panels by the computed area, take some away, or put others in their place; spread them over opposite walls.",
    limits: &[
        &REVERBERATION_MIN,
        &REVERBERATION_MAX,
        &CINEMA_REVERBERATION_EXCESS,
    ],
    published: &[
        Published {
            cite: "three surface pairs 240, 600, 500 m², α 0.1, 0.25, 0.45, 3000 m³, c 343 m/s: Norris–Eyring (confirmed in python-acoustics tests/test_room.py; c here 343.2 m/s)",
            computed: || law(3000.0, &[(240.0, 0.1), (600.0, 0.25), (500.0, 0.45)]) * 343.2 / 343.0,
            expected: 1.020_427_763,
            tolerance: 1e-6, // Printed digits.
            unit: "s",
        },
        Published {
            cite: "BS.1116-3 nominal time at 50 m³: 0.25 (V/100)^(1/3) (from memory, computed)",
            computed: || reverberation_nominal(CubicMetres(50.0)).0,
            expected: 0.198_425_131_5,
            tolerance: 1e-9,
            unit: "s",
        },
        Published {
            cite: "6.0 × 4.5 × 2.6 m, floor 0.69, one short wall 0.72, the rest 0.04: Norris–Eyring (computed)",
            computed: || law(70.2, &[(27.0, 0.69), (11.7, 0.72), (69.9, 0.04)]),
            expected: 0.323_854_808_1,
            tolerance: 1e-6, // Printed digits of the computed value.
            unit: "s",
        },
    ],
    run: Run::EachSpaceIn(Parts::OPENINGS.and(Parts::COVERINGS), run),
};

/// The law's time for a volume and pairs of area and absorption.
fn law(volume_m3: f64, surfaces: &[(f64, f64)]) -> f64 {
    let surfaces = surfaces.iter().map(|&(area, alpha)| Surface {
        area: SquareMetres(area),
        alpha,
    });
    BandRoom::new(CubicMetres(volume_m3), surfaces.collect())
        .map_or(f64::NAN, |room| room.reverberation_time().time.0)
}

/// A decay whose T30 is this much longer than its T20 is bent (ISO 3382-2 annex B, from memory).
const BEND_MOST: f64 = 0.1;

/// The octaves that are judged; what lies above is known too badly.
const BANDS: [OctaveBand; 6] = [
    OctaveBand::Hz125,
    OctaveBand::Hz250,
    OctaveBand::Hz500,
    OctaveBand::Hz1000,
    OctaveBand::Hz2000,
    OctaveBand::Hz4000,
];

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    // Where music plays in the background, nobody asks how long the room rings.
    let zones = analysis
        .zones_in(space)
        .filter(|zone| zone.layout.is_some() || zone.faces.is_some());
    let layouts: Vec<Option<&str>> = zones.map(|zone| zone.layout.as_deref()).collect();
    if layouts.is_empty() || space.kind == Some(SpaceKind::Outdoor) {
        return Vec::new();
    }
    let listening_room = layouts.iter().flatten().any(|name| has_five_channels(name));
    let sound = match room_sound(analysis, space) {
        Ok(sound) => sound,
        Err(missing) => return vec![CHECK.about(space, Subject::space(space), || Err(missing))],
    };
    let is_judged = |band: &OctaveBand| {
        listening_room || matches!(band, OctaveBand::Hz500 | OctaveBand::Hz1000)
    };
    let judged: Vec<Judged> = (BANDS.into_iter().filter(is_judged))
        .filter_map(|band| {
            let here = sound.bands[band.index()].as_ref()?;
            let limits = limits(analysis, &sound.volume, band, listening_room)?;
            Some(Judged { band, here, limits })
        })
        .collect();
    let room = Room {
        analysis,
        space,
        sound: &sound,
        judged: &judged,
        treatments: OnceCell::new(),
    };
    (judged.iter())
        .map(|octave| {
            let hertz = octave.band.nominal().0;
            let subject = Subject::new(
                format!("{}+{hertz:.0}Hz", space.id),
                format!(
                    "{} {}",
                    space.label(),
                    (analysis.printer()).print(hertz, Dimension::Frequency, None)
                ),
            );
            CHECK.about(space, subject, || Ok(room.decide(octave)))
        })
        .collect()
}

fn has_five_channels(layout: &str) -> bool {
    layout::system(layout).is_ok_and(|system| {
        let main = (system.channels.iter()).filter(|channel| !channel.low_frequency);
        main.count() >= 5
    })
}

/// The shortest and longest time, s, of an octave that is judged in a space; none where it is not.
pub(crate) fn reverberation_limits(
    analysis: &Analysis,
    space: &Space,
    volume: &Uncertain,
    band: OctaveBand,
) -> Option<[f64; 2]> {
    let zones = analysis.zones_in(space);
    let layouts: Vec<&str> = zones.filter_map(|zone| zone.layout.as_deref()).collect();
    let listening_room = layouts.iter().any(|name| has_five_channels(name));
    let middle = matches!(band, OctaveBand::Hz500 | OctaveBand::Hz1000);
    if !(listening_room && BANDS.contains(&band) || middle) {
        return None;
    }
    let Limits { low, high, .. } = limits(analysis, volume, band, listening_room)?;
    Some([low.value(), high.value()])
}

/// A room with every octave that is judged in it.
struct Room<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    sound: &'a RoomSound,
    judged: &'a [Judged<'a>],
    /// What mends all octaves at once.
    treatments: OnceCell<Vec<Remedy>>,
}

/// An octave and its limits.
struct Judged<'a> {
    band: OctaveBand,
    here: &'a BandSound,
    limits: Limits,
}

impl Judged<'_> {
    /// What 95 % of what is open of its time is, as a share of the time.
    fn open_share(&self) -> f64 {
        let known = &self.here.time;
        COVERAGE_FACTOR * known.standard_uncertainty() / known.value()
    }

    /// How far a time keeps from both limits, s; negative beyond one.
    fn spare(&self, time_s: f64) -> f64 {
        (time_s - self.limits.low.value()).min(self.limits.high.value() - time_s)
    }

    fn fails(&self) -> bool {
        self.spare(self.here.time.value()) < 0.0
    }
}

/// The shortest and the longest time, with where they come from.
struct Limits {
    low: Uncertain,
    high: Uncertain,
    low_source: Source,
    high_source: Source,
}

fn limits(
    analysis: &Analysis,
    volume: &Uncertain,
    band: OctaveBand,
    listening_room: bool,
) -> Option<Limits> {
    if listening_room {
        let (lower, upper) = reverberation_tolerance(band.nominal())?;
        let nominal = uncertainty::through([volume], |[volume]| {
            reverberation_nominal(CubicMetres(volume)).0
        });
        // The mask is for rooms built to listen in; its rise below 200 Hz is kept.
        let excess = analysis.limit(&CINEMA_REVERBERATION_EXCESS);
        let rise = upper.0 + lower.0;
        return Some(Limits {
            low: &nominal + lower.0,
            high: &nominal + excess.value + rise,
            low_source: LISTENING_ROOM,
            high_source: excess.source,
        });
    }
    let end = |limit: &Limit| {
        let LimitValue { value, source } = analysis.limit(limit);
        (Uncertain::exact(value), source)
    };
    let ((low, low_source), (high, high_source)) =
        (end(&REVERBERATION_MIN), end(&REVERBERATION_MAX));
    Some(Limits {
        low,
        high,
        low_source,
        high_source,
    })
}

impl Room<'_> {
    fn decide(&self, octave: &Judged<'_>) -> Outcome {
        let (analysis, here, limits) = (self.analysis, octave.here, &octave.limits);
        let (above, below) = (&here.time - &limits.low, &limits.high - &here.time);
        let too_dead = above.value() <= below.value();
        let (margin, limit, source) = if too_dead {
            (above, limits.low.value(), limits.low_source.clone())
        } else {
            (below, limits.high.value(), limits.high_source.clone())
        };
        let rests_on = match &here.measured {
            None => here.method.name().to_owned(),
            Some(measured) if self.space.has_planned_coverings() => format!(
                "from {} as measured before what is planned, {}",
                seconds_text(measured.time.value()),
                here.method.name()
            ),
            Some(_) => format!("as measured, {}", here.method.name()),
        };
        let mut sentence = format!(
            "{} rings for {} at {} ({rests_on}, absorption area {}, volume {}); it should be between {} and {}.",
            self.space.label(),
            seconds_text(here.time.value()),
            analysis.exact(octave.band.nominal().0, Dimension::Frequency),
            analysis.print(&here.absorption, Dimension::Area),
            analysis.print(&self.sound.volume, Dimension::Volume),
            seconds_text(limits.low.value()),
            seconds_text(limits.high.value()),
        );
        if here.measured.is_none() && (here.coupled - 1.0).abs() > 0.01 {
            let bent = if here.bend > BEND_MOST {
                ", and the end of the decay hangs on longer"
            } else {
                ""
            };
            sentence += &format!(
                " The room behind its archway makes that {} times as long as an open window would{bent}.",
                analysis.exact(here.coupled, Dimension::Factor),
            );
        }
        if let Some(uneven_s) = here.uneven_s.filter(|uneven| *uneven > here.time.value()) {
            sentence += &format!(
                " Its sides absorb unevenly: with little in the room that scatters sound it is {} (Arau-Puchades).",
                seconds_text(uneven_s),
            );
        }
        let outcome =
            Outcome::with_margin(here.time.clone(), limit, margin, Dimension::Time, source)
                .because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return outcome;
        }
        let remedies = match self.treatments(octave) {
            [] => treatment::of_octave(self, octave, too_dead),
            whole => whole.to_vec(),
        };
        remedies
            .into_iter()
            .fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy)))
    }

    /// What mends every octave at once, where more than this one fail.
    fn treatments(&self, octave: &Judged<'_>) -> &[Remedy] {
        let failing = self.judged.iter().filter(|one| one.fails()).count();
        if failing < 2 || !octave.fails() {
            return &[];
        }
        self.treatments.get_or_init(|| treatment::of_room(self))
    }
}

/// Two decimals, as reverberation times are stated.
fn seconds_text(time_s: f64) -> String {
    format!("{time_s:.2}\u{202F}s")
}

#[cfg(test)]
mod tests;
