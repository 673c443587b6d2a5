//! Is speech from the picture understood at every seat?

use acoustics::octave::OctaveBand;
use acoustics::speech::{BandField, SPEECH_SPECTRUM_DB, transmission_index, weighted_transmission};
use analysis::{
    Analysis, COVERAGE_FACTOR, Limit, Means, Missing, Parts, SeatPlace, Source, item_label,
};
use model::{Edit, Item, LoudspeakerKit, Space, SpaceKind};
use units::{Decibels, Dimension, Seconds};

use super::reverberation::more_absorption;
use crate::listening::{audiences, main_seat};
use crate::room_sound::{RoomSound, room_sound};
use crate::seat_sound::{HeardOctave, Playing, noise_at, noises};
use crate::{Area, Check, Finding, Known, Outcome, Published, Run, Uncertain, Verdict};

pub(super) static SPEECH_INDEX_MIN: Limit = Limit {
    name: "speech_index_min",
    meaning: "the lowest speech transmission index of the loudspeaker that speaks, at any seat",
    dimension: Dimension::Factor,
    value: 0.7,
    source: Source::CommonPractice,
    regional: &[],
};

pub(super) static SPEECH_LEVEL: Limit = Limit {
    name: "speech_level",
    meaning: "the A-weighted level of speech at the seats, against which noise is set",
    dimension: Dimension::Level,
    value: 60.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "speech-clarity",
    area: Area::Sound,
    proves: "The loudspeaker that speaks is understood at the seat where it is understood least.",
    matters: "Where the room's sound covers the next syllable, people turn up the volume and still ask what was said.",
    formula: "STI by modulation transfer: m(F) = |D + R/(1 + j2πFT/13.8155)|/(D + R + N) at 14 frequencies from 0.63 to 12.5 Hz; SNR = 10 log(m/(1 − m)) within ±15 dB; TI = (SNR + 15)/30; MTI their mean; STI = Σ α_k MTI_k − Σ β_k √(MTI_k MTI_k+1), 125 Hz to 8 kHz; D = Q/4πr² and off its axis, R = 4/R_room: direct and reverberant energy; N: noise; T: reverberation time, s. C50 = 10 log of early over late energy, D50 the early share. Threshold and masking are left out, 8 kHz takes what is known of 4 kHz. Valid above the Schroeder frequency.",
    source: Source::Published {
        work: "IEC 60268-16, modulation frequencies, weights and redundancies of the male spectrum (ed. 4; the one set of ed. 5), as kept in a public source file",
    },
    when_it_fails: "Make the room ring less, bring the loudspeaker nearer or aim it at the seats, or quieten what hums.",
    limits: &[&SPEECH_INDEX_MIN, &SPEECH_LEVEL],
    published: &[
        Published {
            cite: "T 0.4 s and 15 dB over noise in every band: STI (computed by the indirect method)",
            computed: || {
                let band = BandField::reverberant(Seconds(0.4), Decibels(15.0));
                transmission_index(&[band; 7])
            },
            expected: 0.740_880_973_1,
            tolerance: 1e-6,
            unit: "1",
        },
        Published {
            cite: "T 0.8 s and 10 dB over noise in every band: STI (computed by the indirect method)",
            computed: || {
                let band = BandField::reverberant(Seconds(0.8), Decibels(10.0));
                transmission_index(&[band; 7])
            },
            expected: 0.567_898_231,
            tolerance: 1e-6,
            unit: "1",
        },
    ],
    run: Run::EachSpace(run),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if space.kind == Some(SpaceKind::Outdoor) || space.seat.is_empty() {
        return Vec::new();
    }
    let mut found = Vec::new();
    for audience in audiences(analysis, space) {
        let named = |name: &str| {
            let mut channels = audience.channels.iter();
            channels.find(|channel| channel.position.channel == name)
        };
        // The centre speaks; without one the left does.
        let speaks = ["M+000", "C", "M+030", "L"].into_iter().find_map(named);
        let Some(item) = speaks.map(|channel| channel.item) else {
            continue;
        };
        let Some(model::Kit::Loudspeaker(kit)) = analysis.kit_of(item) else {
            continue;
        };
        found.push(CHECK.about_item(analysis, space, item, || decide(analysis, space, item, kit)));
    }
    found
}

fn decide(analysis: &Analysis, space: &Space, item: &Item, kit: &LoudspeakerKit) -> Known<Outcome> {
    let room = room_sound(analysis, space)?;
    let main = main_seat(space).expect("a space with seats");
    let towards = analysis.seat(space, main)?.ear.value();
    let source = analysis.sounding(space, item, kit, towards)?;
    let playing = Playing::new(&room, &source, &OctaveBand::ALL)?;
    let times = times(space, &room)?;
    let mut worst: Option<(&str, f64, SeatPlace, [f64; 7])> = None;
    for (seat, place) in analysis.seats_in(space) {
        let place = place?;
        let ratios = noise_ratios(analysis, space, &room, &place)?;
        let index = index_value(analysis, &fields(&playing, &place, &times, &ratios));
        if (worst.as_ref()).is_none_or(|(_, least, ..)| index < *least) {
            worst = Some((&seat.id, index, place, ratios));
        }
    }
    let (seat, _, place, ratios) = worst.expect("a space with seats");
    let heard = playing.at(&place.ear);
    let numbers = heard
        .iter()
        .flat_map(|heard| [&heard.direct, &heard.reverberant]);
    let numbers: Vec<&Uncertain> = numbers.chain(&times).collect();
    // Most remedies leave all of it as it is.
    let told_from: (&[&str], &[f64], &[&Uncertain]) = (&[&space.id, &item.id], &ratios, &numbers);
    let index =
        analysis.remembered_in_trials("speech index", told_from, || index(&heard, &times, &ratios));
    let limit = analysis.limit(&SPEECH_INDEX_MIN);
    let outcome = Outcome::at_least(index.clone(), &limit, Dimension::Factor);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let middle = &fields(&playing, &place, &times, &ratios)[OctaveBand::Hz1000.index()];
    let noise = if middle.signal_to_noise.0.is_finite() {
        ", noise included"
    } else {
        ", without noise, which nobody measured"
    };
    let outcome = outcome.because(format!(
        "At seat {seat} the speech transmission index of {} is {:.2}{noise} (C50 {} and D50 {:.2} at 1\u{202f}kHz); {:.2} is asked for.",
        item_label(item),
        index.value(),
        analysis.exact(middle.clarity().0, Dimension::Level),
        middle.definition(),
        limit.value,
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let fields = fields(&playing, &place, &times, &ratios);
    // The room's own sound and its decay both shrink with more absorption.
    let wanted = limit.value + 1.25 * COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
    let with = |share: f64| {
        let drier = fields.map(|field| BandField {
            direct_to_reverberant: Decibels(field.direct_to_reverberant.0 - 10.0 * share.log10()),
            time: Seconds(field.time.0 * share),
            ..field
        });
        transmission_index(&drier)
    };
    let shares = (1..=18).map(|step| 1.0 - 0.05 * f64::from(step));
    let served = shares.filter(|share| with(*share) >= wanted);
    let serves = |edits: &[Edit]| {
        let Ok(tried) = analysis.tried(edits) else {
            return false;
        };
        let there = tried.item(&item.id).zip(tried.space(&space.id));
        let found = there.and_then(|(item, space)| decide(&tried, space, item, kit).ok());
        found.is_some_and(|found| found.verdict() == Verdict::Fits)
    };
    // Other octaves than the one that it is reckoned in gain less: more of it, if need be.
    const TRIES: usize = 6;
    let absorption = room.bands[OctaveBand::Hz1000.index()].as_ref();
    let absorption = absorption.map_or(0.0, |band| band.absorption.value());
    let mut remedies = Vec::new();
    for share in served.take(TRIES) {
        let more_m2 = absorption * (1.0 / share - 1.0);
        let found = more_absorption(analysis, space, &room, OctaveBand::Hz1000, more_m2);
        remedies.extend(found.into_iter().filter(|remedy| serves(&remedy.edits)));
        if !remedies.is_empty() {
            break;
        }
    }
    Ok(
        (remedies.into_iter().take(3))
            .fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy))),
    )
}

/// How long the room rings in each octave; the highest as the one below where no table knows it.
fn times(space: &Space, room: &RoomSound) -> Known<[Uncertain; 7]> {
    let time = |band: OctaveBand| -> Known<Uncertain> {
        let known = [band.index(), band.index().saturating_sub(1)];
        let time = known.into_iter().find_map(|band| room.bands[band].as_ref());
        let time = time.ok_or_else(|| {
            let what = format!("what the finishes of {} absorb", space.label());
            Missing::new(what, format!("space.{}.finishes", space.id), Means::Look)
        })?;
        Ok(time.time.clone())
    };
    let times: Vec<Uncertain> = OctaveBand::ALL
        .into_iter()
        .map(time)
        .collect::<Known<_>>()?;
    Ok(times.try_into().expect("seven octaves"))
}

/// The field in an octave, from direct and reverberant energy.
fn field([direct, reverberant]: [f64; 2], time_s: f64, signal_to_noise_db: f64) -> BandField {
    BandField {
        direct_to_reverberant: Decibels(10.0 * (direct / reverberant).log10()),
        time: Seconds(time_s.max(1e-3)),
        signal_to_noise: Decibels(signal_to_noise_db),
    }
}

/// The field in each octave, best estimates.
fn fields(
    playing: &Playing<'_>,
    place: &SeatPlace,
    times: &[Uncertain; 7],
    ratios: &[f64; 7],
) -> [BandField; 7] {
    let mut energies = playing.energies(place.ear.value());
    [0, 1, 2, 3, 4, 5, 6].map(|band| {
        let energies = energies.next().expect("seven octaves");
        field(energies, times[band].value(), ratios[band])
    })
}

/// The index in these fields, best estimate.
fn index_value(analysis: &Analysis, fields: &[BandField; 7]) -> f64 {
    let numbers = fields.map(|field| {
        [
            field.direct_to_reverberant.0,
            field.time.0,
            field.signal_to_noise.0,
        ]
    });
    analysis.remembered_value("best speech index", numbers.as_flattened(), || {
        transmission_index(fields)
    })
}

/// The index at a seat: each octave's own index depends on three numbers, the index on those.
fn index(heard: &[HeardOctave], times: &[Uncertain; 7], ratios: &[f64; 7]) -> Uncertain {
    let octaves = [0, 1, 2, 3, 4, 5, 6].map(|band| {
        let known = [&heard[band].direct, &heard[band].reverberant, &times[band]];
        uncertainty::through(known, |[direct, reverberant, time_s]| {
            let energies = [direct, reverberant];
            field(energies, time_s, ratios[band]).transmission()
        })
    });
    uncertainty::through(octaves.each_ref(), weighted_transmission)
}

/// Speech over noise in each octave, dB: by octave where the noise is known so, from its
/// A-weighted level where only that was measured, and without noise otherwise.
fn noise_ratios(
    analysis: &Analysis,
    space: &Space,
    room: &RoomSound,
    place: &SeatPlace,
) -> Known<[f64; 7]> {
    let speech = analysis.limit(&SPEECH_LEVEL).value;
    let full = analysis.with_parts(space, Parts::ALL);
    if full.noise_octaves.is_some()
        && let Ok(noises) = noises(analysis, space)
    {
        let noise = noise_at(analysis, full, room, &noises, &place.ear)?;
        return Ok([0, 1, 2, 3, 4, 5, 6]
            .map(|band| speech + SPEECH_SPECTRUM_DB[band] - noise[band + 1].value()));
    }
    let measured = space.noise.as_ref().and_then(|level| level.value());
    Ok([measured.map_or(f64::INFINITY, |noise| speech - noise); 7])
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_wall};
    use crate::testing::{findings, findings_after, told};

    const HARD: &str = "finishes = { walls = \"gypsum-on-studs\", floor = \"tile\", ceiling = \"gypsum-on-studs\" }\n";
    const SOFT: &str = "finishes = { walls = \"porous_50_sigma10k\", floor = \"carpet-on-pad\", ceiling = \"porous_50_sigma10k\" }\n";

    fn text(finishes: &str, more: &str) -> String {
        let kit = "form = \"in-wall\"\n";
        let items = in_wall("centre", "west", "2 m", "1.1 m");
        let film =
            cinema("5.1", &items).replacen(kit, "form = \"in-wall\"\ncoverage = \"90 deg\"\n", 1);
        format!("{finishes}{more}{film}")
    }

    fn index(text: &str) -> f64 {
        findings(&CHECK, text)[0].value.as_ref().unwrap().value()
    }

    #[test]
    fn a_soft_room_is_clear_and_a_hard_one_is_not() {
        let found = findings(&CHECK, &text(SOFT, ""));
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
        let found = findings(&CHECK, &text(HARD, ""));
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(found[0].because.contains("without noise"));
    }

    #[test]
    fn absorption_mends_a_hard_room() {
        let text = text(HARD, "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(!found[0].remedies.is_empty(), "{}", told(&found));
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{} {}",
                remedy.says,
                told(&after)
            );
        }
    }

    #[test]
    fn noise_takes_from_it() {
        let quiet = index(&text(HARD, ""));
        let hum = index(&text(HARD, "noise = \"50 dB\"\n"));
        let octaves = index(&text(
            HARD,
            "noise_octaves = [60, 55, 55, 50, 45, 45, 40, 35]\n",
        ));
        assert!(
            hum < quiet - 0.02 && octaves < quiet - 0.02,
            "{quiet} {hum} {octaves}"
        );
    }

    #[test]
    fn missing_finishes_are_asked_for() {
        let found = findings(&CHECK, &text("", ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
    }

    #[test]
    fn both_sides_of_the_limit_decide() {
        let now = index(&text(HARD, ""));
        let verdict = |limit: f64| {
            let rules = format!("[rules]\nspeech_index_min = \"{limit:.3}\"\n");
            findings(&CHECK, &format!("{}{rules}", text(HARD, "")))[0].verdict
        };
        assert_eq!(verdict(now + 0.01), Verdict::Fails);
        assert_eq!(verdict(now - 0.01), Verdict::Tight);
        assert_eq!(verdict(now - 0.2), Verdict::Fits);
    }
}
