//! Is the room quiet enough at each seat, with vents and projector running?

use acoustics::noise::NoiseSpectrum;
use analysis::{Analysis, COVERAGE_FACTOR, Limit, Source};
use model::{Edit, Space, SpaceKind};
use units::Dimension;

use super::peak_level::PEAK_LEVEL_MIN;
use crate::room_sound::room_sound;
use crate::seat_sound::{NOISE_HZ, Noise, NoiseOf, noise_at, noises};
use crate::{Area, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain};

pub(super) static NOISE_CRITERION_MAX: Limit = Limit {
    name: "noise_criterion_max",
    meaning: "the highest noise criterion curve (NC) that the noise at a seat may reach with everything running",
    dimension: Dimension::Factor,
    value: 20.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "room-noise",
    area: Area::Sound,
    proves: "With vents and projector running the noise at the noisiest seat stays below the criterion curve in every octave.",
    matters: "Noise buries whispers and the quiet of a scene, and eats the dynamic range that the loudspeakers were bought for.",
    formula: "L = 10 log Σ 10^((L_W + 10 log(Q/4πr² + 4/R))/10) in each octave, with what was measured with all off; L_W: sound power of a vent, or of a projector from its level at 1 m + 11 dB; Q: 2 in a surface, 1 in the open; r: distance, m; R = A/(1 − ᾱ), m². NC: in each octave between the two curves that enclose the level, the highest octave decides (Beranek's curves of 1957, 63 Hz to 8 kHz; rumble at 31.5 Hz passes them). NR = max (L − a)/b beside it. At 63 Hz the absorption of 125 Hz is taken.",
    source: Source::Published {
        work: "NC curves as kept in python-acoustics (Beranek 1957)",
    },
    when_it_fails: "Slow the fan, line the duct, move the projector away or into its quiet mode, or put it behind glass with its own air.",
    limits: &[&NOISE_CRITERION_MAX],
    published: &[
        Published {
            cite: "octaves 64 56 50 45 41 39 38 37 dB: NC-40 (confirmed: python-acoustics tests/test_criterion.py)",
            computed: || criterion([64.0, 56.0, 50.0, 45.0, 41.0, 39.0, 38.0, 37.0]),
            expected: 40.0,
            tolerance: 1e-9,
            unit: "1",
        },
        Published {
            cite: "the NC-15 curve rates as itself (confirmed: the same table)",
            computed: || criterion([47.0, 36.0, 29.0, 22.0, 17.0, 14.0, 12.0, 11.0]),
            expected: 15.0,
            tolerance: 1e-9,
            unit: "1",
        },
    ],
    run: Run::EachSpace(run),
};

fn criterion(levels_db: [f64; 8]) -> f64 {
    (NoiseSpectrum::from_63_hz(levels_db).nc_between()).map_or(f64::NAN, |rated| rated.number)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut zones = analysis.zones_in(space);
    let is_watched = zones.any(|zone| zone.layout.is_some() || zone.faces.is_some());
    // Where nothing is known to make noise and nobody measured, there is nothing to ask.
    let is_noisy = space.noise_octaves.is_some()
        || analysis.projectors_in(space).next().is_some()
        || (space.fixture.iter()).any(|fixture| fixture.noise_power.is_some());
    if !is_watched || !is_noisy || space.kind == Some(SpaceKind::Outdoor) || space.seat.is_empty() {
        return Vec::new();
    }
    vec![CHECK.about(space, Subject::space(space), || decide(analysis, space))]
}

fn decide(analysis: &Analysis, space: &Space) -> Known<Outcome> {
    let room = room_sound(analysis, space)?;
    let noises = noises(analysis, space)?;
    let mut worst: Option<(&str, Uncertain, [Uncertain; 8])> = None;
    for (seat, place) in analysis.seats_in(space) {
        let levels = noise_at(analysis, space, &room, &noises, &place?.ear)?;
        let rated = rated(&levels);
        if (worst.as_ref()).is_none_or(|(_, most, _)| rated.value() > most.value()) {
            worst = Some((&seat.id, rated, levels));
        }
    }
    let (seat, rated, levels) = worst.expect("a space with seats");
    let limit = analysis.limit(&NOISE_CRITERION_MAX);
    let outcome = Outcome::at_most(rated.clone(), &limit, Dimension::Factor);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let spectrum = NoiseSpectrum::from_63_hz(levels.each_ref().map(Uncertain::value));
    let decides = (spectrum.nc_between().ok())
        .and_then(|rated| rated.decided_by)
        .map_or(NOISE_HZ[0], |band| band.0);
    let weighted = spectrum.a_weighted().0;
    let peak = (analysis.zones_in(space))
        .find_map(|zone| zone.peak_level.as_ref()?.value())
        .unwrap_or_else(|| analysis.limit(&PEAK_LEVEL_MIN).value);
    let loudest = (noises.iter())
        .max_by(|a, b| a.power_db[4].value().total_cmp(&b.power_db[4].value()))
        .map_or(String::new(), |noise| {
            format!(" What sounds most at 1\u{202f}kHz is {}.", noise.label)
        });
    let number = |value: f64| format!("{value:.0}");
    let outcome = outcome.because(format!(
        "At seat {seat} the noise is NC-{} ({} decides), {} A-weighted, NR-{}; NC-{} is asked for. Between it and the promised peak of {} lie {}.{loudest}",
        number(rated.value()),
        analysis.exact(decides, Dimension::Frequency),
        analysis.exact(weighted, Dimension::Level),
        spectrum.nr().map_or_else(|_| "?".to_owned(), |nr| number(nr.number)),
        number(limit.value),
        analysis.exact(peak, Dimension::Level),
        analysis.exact(peak - weighted, Dimension::Level),
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let wanted = limit.value - 1.02 * COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
    // The criterion at the noisiest seat with some sources quieter by so much.
    let with = |less_db: &[f64]| -> f64 {
        let quieter: Vec<Noise> = (noises.iter().zip(less_db))
            .map(|(noise, less)| Noise {
                label: noise.label.clone(),
                item: noise.item.clone(),
                at: noise.at.clone(),
                power_db: noise.power_db.each_ref().map(|level| level - *less),
                factor: noise.factor,
            })
            .collect();
        let rated = analysis.seats_in(space).filter_map(|(_, place)| {
            let levels = noise_at(analysis, space, &room, &quieter, &place.ok()?.ear).ok()?;
            Some(criterion(levels.each_ref().map(Uncertain::value)))
        });
        rated.fold(f64::NEG_INFINITY, f64::max)
    };
    let one = |at: usize| quieter(analysis, space, &noises, &[at], &with, wanted);
    let alone: Vec<Remedy> = (0..noises.len()).filter_map(one).collect();
    let all: Vec<usize> = (0..noises.len()).collect();
    let together = (alone.is_empty() && all.len() > 1)
        .then(|| quieter(analysis, space, &noises, &all, &with, wanted))
        .flatten();
    Ok((alone.into_iter().chain(together))
        .fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy))))
}

/// More than this no lining or slower fan takes off, dB: common practice.
const QUIETER_MOST_DB: f64 = 30.0;

/// Some sources quieter in every octave by the least whole decibel that serves.
fn quieter(
    analysis: &Analysis,
    space: &Space,
    noises: &[Noise],
    which: &[usize],
    with: &dyn Fn(&[f64]) -> f64,
    wanted: f64,
) -> Option<Remedy> {
    let reaches = |less: f64| {
        let mut all = vec![0.0; noises.len()];
        which.iter().for_each(|at| all[*at] = less);
        with(&all) <= wanted
    };
    let least = (1..=QUIETER_MOST_DB as u32)
        .map(f64::from)
        .find(|less| reaches(*less))?;
    let mut edits = Vec::new();
    let mut labels = Vec::new();
    for at in which {
        let noise = &noises[*at];
        let less = analysis.exact(least, Dimension::Level);
        labels.push(match &noise.item {
            NoiseOf::Vent(_) => format!(
                "{} by {less} (slower air, a lined duct or a silencer, by whoever does the ducts)",
                noise.label
            ),
            NoiseOf::Projector(_) => format!(
                "{} by {less} (its quiet mode, a quieter one, or a box with air of its own)",
                noise.label
            ),
        });
        let path = match &noise.item {
            NoiseOf::Vent(id) => format!("space.{}.fixture.{id}.noise_power", space.id),
            NoiseOf::Projector(kit) => format!("kit.projector.{kit}.noise_octaves"),
        };
        // A projector's sheet gives the level at 1 m, 11 dB below its power.
        let off = match &noise.item {
            NoiseOf::Vent(_) => 0.0,
            NoiseOf::Projector(_) => 10.0 * (4.0 * std::f64::consts::PI).log10(),
        };
        for (octave, level) in noise.power_db.iter().enumerate() {
            let text = format!("{:.1} dB", level.value() - off - least);
            edits.push(Edit::set(format!("{path}.{octave}"), text));
        }
    }
    let says = format!("Make every octave of {} quieter.", labels.join(" and of "));
    Some(Remedy::new(says, edits))
}

/// The noise criterion of uncertain levels.
fn rated(levels: &[Uncertain; 8]) -> Uncertain {
    uncertainty::through(levels.each_ref(), criterion)
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::listening::cinema;
    use crate::testing::{findings, findings_after, told};

    const FINISHES: &str = "finishes = { walls = \"gypsum-on-studs\", floor = \"carpet-on-pad\", ceiling = \"gypsum-on-studs\" }\n";

    fn text(octaves: &str, more: &str) -> String {
        format!("{FINISHES}{octaves}{}{more}", cinema("5.1", ""))
    }

    fn background(levels: [u32; 8]) -> String {
        format!("noise_octaves = {levels:?}\n")
    }

    #[test]
    fn what_was_measured_is_rated_as_it_is() {
        // The NC-15 curve itself.
        let found = findings(
            &CHECK,
            &text(&background([47, 36, 29, 22, 17, 14, 12, 11]), ""),
        );
        assert_eq!(found.len(), 1, "{}", told(&found));
        assert!((found[0].value.as_ref().unwrap().value() - 15.0).abs() < 1e-3);
        assert_eq!(found[0].verdict, Verdict::Fits);
        // 2 dB above NC-20 in one octave.
        let found = findings(
            &CHECK,
            &text(&background([47, 36, 29, 28, 17, 14, 12, 11]), ""),
        );
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(
            found[0].because.contains("500\u{202f}Hz decides"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn a_vent_is_heard_direct_and_by_the_room() {
        // 40 dB of sound power in each octave 3 m away: at 1 kHz A = 24 · 0.69 + 72 · 0.04 =
        // 19.44 m², ᾱ 0.2025, R = 24.38 m²: 10 log(2/(4π · 9) + 4/24.38) = −7.39 dB: 32.6 dB,
        // between NC-30 (31) and NC-35 (36): 31.6; at 8 kHz it decides higher.
        let vent = "[[space.fixture]]\nid = \"vent\"\nkind = \"vent\"\non = { wall = \"west\", from_left = \"2 m\", height = \"1.1 m\" }\nsize = [\"30 cm\", \"30 cm\", \"1 cm\"]\nnoise_power = [0, 0, 0, 0, 40, 0, 0, 0]\n";
        let text = format!("{FINISHES}{vent}{}", cinema("5.1", ""));
        let found = findings(&CHECK, &text);
        let rated = found[0].value.as_ref().unwrap().value();
        assert!((rated - 31.6).abs() < 0.1, "{}", told(&found));
        assert!(found[0].because.contains("vent"));
    }

    #[test]
    fn a_vent_that_is_too_loud_is_told_by_how_much() {
        let vent = "[[space.fixture]]\nid = \"vent\"\nkind = \"vent\"\non = { wall = \"west\", from_left = \"2 m\", height = \"1.1 m\" }\nsize = [\"30 cm\", \"30 cm\", \"1 cm\"]\nnoise_power = [\"30 dB\", \"30 dB\", \"30 dB\", \"30 dB\", \"40 dB\", \"20 dB\", \"10 dB\", \"5 dB\"]\n";
        let text = format!("{FINISHES}{vent}{}", cinema("5.1", ""));
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
    fn a_projector_without_data_is_asked_for() {
        let projector = "[[kit.projector]]\nid = \"projector-p1\"\n[[item]]\nid = \"projector\"\nis = \"projector-p1\"\nspace = \"den\"\nhung = { from = [\"east\", \"1 m\"], and = [\"north\", \"2 m\"], drop = \"30 cm\" }\n";
        let found = findings(&CHECK, &text("", projector));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert!(
            found[0].needs[0].at.ends_with("noise_octaves"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn a_quiet_room_without_data_is_left_alone() {
        assert!(findings(&CHECK, &text("", "")).is_empty());
    }
}
