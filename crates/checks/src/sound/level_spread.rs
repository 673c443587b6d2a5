//! Does each loudspeaker play about as loud at every seat?

use acoustics::level::{RoomPath, room_level};
use acoustics::octave::OctaveBand;
use analysis::{Analysis, COVERAGE_FACTOR, Limit, Parts, Sounding, Source, Vector3, item_label};
use model::{Item, LoudspeakerForm, LoudspeakerKit, Space, SpaceKind};
use units::{Decibels, Dimension, Metres, SquareMetres};

use crate::aiming::Turning;
use crate::listening::main_seat;
use crate::room_sound::room_sound;
use crate::seat_sound::{HeardOctave, Playing, reverberant};
use crate::track::{Track, shortest};
use crate::{Area, Check, Finding, Known, Outcome, Published, Remedy, Run, Uncertain, Verdict};

pub(super) static LEVEL_SPREAD_MAX: Limit = Limit {
    name: "level_spread_max",
    meaning: "the most that a loudspeaker's level at any seat may differ from that at the main seat, mean of 500 Hz to 4 kHz",
    dimension: Dimension::Level,
    value: 3.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "level-spread",
    area: Area::Sound,
    proves: "Each loudspeaker of a layout plays at every seat within a few decibels of what it plays at the main seat.",
    matters: "Where a surround is twice as loud at one seat, that seat hears nothing else; one set right for the middle is wrong for everybody else.",
    formula: "L = 10 log(q Q/4πr² + 4/R) + constant, octave by octave, mean of 500 Hz to 4 kHz; q: off-axis loss as a share of energy, of a dipole or bipole that of both its sides; Q: directivity factor; r: distance, m; R = A/(1 − ᾱ), m². What is open of q counts: both places, and a coverage that no sheet states, 90° ± 30°. Of each seat the difference to the main seat; the largest decides. Valid above the Schroeder frequency; small rooms fall off by 3 to 6 dB a doubling, which lies between both terms.",
    source: Source::Derived {
        from: "direct and diffuse field of a source in a room",
    },
    when_it_fails: "Turn the loudspeaker past the near seats to the far ones, move it away from the near ones, or take one with a wider coverage.",
    limits: &[&LEVEL_SPREAD_MAX],
    published: &[
        Published {
            cite: "doubling the distance in the free field (computed)",
            computed: || level_db(1.0, 1e9) - level_db(2.0, 1e9),
            expected: 6.020_599_913,
            tolerance: 1e-3, // What the diffuse part of so large a room leaves.
            unit: "dB",
        },
        Published {
            cite: "A 20 m², S 96 m², Q 2: level at 1 m over that at 3 m: 10 lg((2/4π + 4/25.263)/(2/36π + 4/25.263)) (computed)",
            computed: || level_db(1.0, 20.0) - level_db(3.0, 20.0),
            expected: 2.561_725_5,
            tolerance: 1e-4,
            unit: "dB",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::OPENINGS).and(Parts::COVERINGS), run),
};

fn level_db(distance_m: f64, absorption_m2: f64) -> f64 {
    let path = RoomPath {
        directivity: 2.0,
        distance: Metres(distance_m),
        absorption: SquareMetres(absorption_m2),
        surfaces: SquareMetres(if absorption_m2 > 1e6 { 1e12 } else { 96.0 }),
    };
    room_level(Decibels(0.0), &path).total.0
}

const BANDS: [OctaveBand; 4] = [
    OctaveBand::Hz500,
    OctaveBand::Hz1000,
    OctaveBand::Hz2000,
    OctaveBand::Hz4000,
];

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if space.kind == Some(SpaceKind::Outdoor) || space.seat.len() < 2 {
        return Vec::new();
    }
    let loudspeakers = analysis.loudspeakers_in(space).filter(|(item, kit)| {
        let zone = analysis.zone_of(item);
        zone.is_some_and(|zone| zone.layout.is_some())
            && kit.form != Some(LoudspeakerForm::Subwoofer)
    });
    loudspeakers
        .map(|(item, kit)| {
            CHECK.about_item(analysis, space, item, || decide(analysis, space, item, kit))
        })
        .collect()
}

fn decide(analysis: &Analysis, space: &Space, item: &Item, kit: &LoudspeakerKit) -> Known<Outcome> {
    let room = room_sound(analysis, space)?;
    let main = main_seat(space).expect("a space with seats");
    let at_main = analysis.seat(space, main)?.ear;
    let source = analysis.sounding(space, item, kit, at_main.value())?;
    let playing = Playing::new(&room, &source, &BANDS)?;
    let best = |ear: &Vector3| mean_level_db(playing.energies(ear.value()));
    let reference = best(&at_main);
    let mut worst: Option<(&str, f64, Vector3)> = None;
    for (seat, place) in analysis.seats_in(space) {
        if seat.id == main.id {
            continue;
        }
        let ear = place?.ear;
        let apart = (best(&ear) - reference).abs();
        if (worst.as_ref()).is_none_or(|(_, most, _)| apart > *most) {
            worst = Some((&seat.id, apart, ear));
        }
    }
    let (seat, _, ear) = worst.expect("two seats");
    let difference = mean_level(&playing.at(&ear)) - mean_level(&playing.at(&at_main));
    let limit = analysis.limit(&LEVEL_SPREAD_MAX);
    let outcome = Outcome::at_most(difference.abs(), &limit, Dimension::Level);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let outcome = outcome.because(format!(
        "{} is {} {} at seat {seat} than at seat {}, direct and room sound together; at most {} is asked for.",
        item_label(item),
        analysis.print(&difference.abs(), Dimension::Level),
        if difference.value() > 0.0 { "louder" } else { "quieter" },
        main.id,
        analysis.exact(limit.value, Dimension::Level),
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let seats: Vec<[f64; 3]> = (analysis.seats_in(space))
        .filter(|(seat, _)| seat.id != main.id)
        .map(|(_, place)| Ok(place?.ear.value()))
        .collect::<Known<_>>()?;
    let mut gains = [0.0; BANDS.len()];
    for (gain, band) in gains.iter_mut().zip(BANDS) {
        *gain = reverberant(&room, &source, band)?.value();
    }
    let wanted = limit.value - 1.25 * COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
    // How far the level at any seat is from that at the main one, dB.
    let apart = |of: &Sounding<'_>| {
        let level = |ear: [f64; 3]| -> f64 {
            let of_band =
                |(band, gain): (OctaveBand, &f64)| (of.direct_towards(ear, band) + gain).log10();
            BANDS.into_iter().zip(&gains).map(of_band).sum::<f64>() * 10.0 / BANDS.len() as f64
        };
        let reference = level(at_main.value());
        let each = seats.iter().map(|ear| (level(*ear) - reference).abs());
        each.fold(0.0, f64::max)
    };
    let good = |place: [f64; 3]| {
        let mut there = source.aimed(source.aim);
        there.at = Vector3::new(place[0], place[1], place[2]);
        apart(&there) <= wanted
    };
    let tracks = Track::of_item(analysis, item, &source.at);
    let moves = shortest(tracks.iter().map(|track| track.nearest(analysis, good)));
    // The way that it looks changes with its place; only what then still serves is offered.
    let serves = |remedy: &Remedy| {
        let Ok(tried) = analysis.tried(&remedy.edits) else {
            return false;
        };
        let there = tried.item(&item.id).zip(tried.space(&space.id));
        let found = there.and_then(|(item, space)| decide(&tried, space, item, kit).ok());
        found.is_some_and(|found| found.verdict() == Verdict::Fits)
    };
    let turning = Turning {
        analysis,
        space,
        item,
        kit,
        towards: at_main.value(),
    };
    let turned = turning.best(&source, |aimed| -apart(aimed));
    Ok((turned.into_iter().chain(moves))
        .filter(serves)
        .fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy))))
}

/// A level at an ear, mean of the octaves, dB.
fn mean_level(heard: &[HeardOctave]) -> Uncertain {
    let sum: Uncertain = (heard.iter())
        .map(|octave| (&octave.direct + &octave.reverberant).log10())
        .sum();
    sum * 10.0 / BANDS.len() as f64
}

/// The mean of the octaves' levels, dB, of direct and reverberant energies.
fn mean_level_db(energies: impl Iterator<Item = [f64; 2]>) -> f64 {
    let sum: f64 = energies.map(|[direct, room]| (direct + room).log10()).sum();
    sum * 10.0 / BANDS.len() as f64
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_wall};
    use crate::testing::{findings, findings_after, told};

    const DEAD: &str = "finishes = { walls = \"glass_fibre_50_wall\", floor = \"glass_fibre_50_wall\", ceiling = \"glass_fibre_50_wall\" }\n";
    const LIVE: &str = "finishes = { walls = \"gypsum-on-studs\", floor = \"wood-on-joists\", ceiling = \"gypsum-on-studs\" }\n";

    /// A surround in the south wall beside the main seat, and a second seat `off` m nearer.
    fn text(finishes: &str, nearer: f64) -> String {
        let kit = "form = \"in-wall\"\n";
        let items = in_wall("left-surround", "south", "3 m", "1.1 m");
        let second = format!(
            "[[space.seat]]\nid = \"chair\"\nat = {{ from = [\"west\", \"3 m\"], and = [\"north\", \"{:.2} m\"] }}\neye = \"1.1 m\"\n",
            2.0 + nearer
        );
        let film = cinema("5.1", &items)
            .replacen(kit, "form = \"in-wall\"\ncoverage = \"120 deg\"\n", 1)
            .replacen("eye = \"1.1 m\"\n", "eye = \"1.1 m\"\nimportance = 2\n", 1);
        format!("{finishes}{second}{film}")
    }

    fn spread(text: &str) -> f64 {
        findings(&CHECK, text)[0].value.as_ref().unwrap().value()
    }

    #[test]
    fn the_direct_sound_decides_in_a_dead_room() {
        // 2 m and 1 m before it on its axis: 6.02 dB less what little the room adds.
        let found = findings(&CHECK, &text(DEAD, 1.0));
        assert_eq!(found.len(), 1, "{}", told(&found));
        let value = spread(&text(DEAD, 1.0));
        assert!((5.0..6.03).contains(&value), "{value}");
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(found[0].because.contains("louder"), "{}", told(&found));
    }

    #[test]
    fn a_live_room_evens_it_out() {
        assert!(spread(&text(LIVE, 1.0)) < spread(&text(DEAD, 1.0)) - 1.0);
        assert_eq!(findings(&CHECK, &text(LIVE, 0.3))[0].verdict, Verdict::Fits);
    }

    #[test]
    fn both_sides_of_the_limit_decide() {
        let now = spread(&text(DEAD, 0.6));
        let verdict = |limit: f64| {
            let rules = format!("[rules]\nlevel_spread_max = \"{limit:.3} dB\"\n");
            findings(&CHECK, &format!("{}{rules}", text(DEAD, 0.6)))[0].verdict
        };
        assert_eq!(verdict(now - 0.005), Verdict::Fails);
        assert_eq!(verdict(now + 0.005), Verdict::Tight);
        assert_eq!(verdict(now + 2.0), Verdict::Fits);
    }

    #[test]
    fn a_place_farther_from_the_near_seat_mends_it() {
        let text = text(DEAD, 0.55);
        let rules = "[rules]\nlevel_spread_max = \"2.2 dB\"\n";
        let text = format!("{text}{rules}");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(!found[0].remedies.is_empty(), "{}", told(&found));
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
        }
    }

    #[test]
    fn turned_to_the_seat_beside_it_plays_as_loud_at_both() {
        // 2 m straight before it, and 1.80 m away 56.3° off its axis: 0.9 dB nearer, but 5.3 dB
        // less of a coverage of 120°.
        let text = text(DEAD, 1.0)
            .replace(
                "[\"west\", \"3 m\"], and = [\"north\", \"3.00 m\"]",
                "[\"west\", \"4.5 m\"], and = [\"north\", \"3 m\"]",
            )
            .replace(
                "coverage = \"120 deg\"\n",
                "coverage = \"120 deg\"\nturns = \"30 deg\"\n",
            );
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(found[0].because.contains("quieter"), "{}", told(&found));
        let turn = &found[0].remedies[0];
        assert!(turn.says.starts_with("Turn the drivers"), "{}", turn.says);
        let after = findings_after(&CHECK, &text, &turn.edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
    }

    #[test]
    fn a_single_seat_has_no_spread_and_missing_finishes_are_asked_for() {
        let items = in_wall("left-surround", "south", "3 m", "1.1 m");
        assert!(findings(&CHECK, &cinema("5.1", &items)).is_empty());
        assert_eq!(
            findings(&CHECK, &text("", 1.0))[0].verdict,
            Verdict::Unknown
        );
    }
}
