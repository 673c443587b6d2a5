//! Is music outdoors about as loud wherever somebody sits or stands?

use acoustics::coverage;
use acoustics::outdoors::{Face, way_by};
use analysis::{Analysis, Limit, Means, Missing, Parts, Sounding, Source};
use model::{Item, LoudspeakerForm, LoudspeakerKit, Space, SpaceKind, Zone};
use units::{Dimension, Metres};

use super::background_evenness::points;
use crate::garden_sound::Garden;
use crate::listening::zone_label;
use crate::{Area, Check, Finding, Known, Outcome, Published, Run, Subject, Verdict};

pub(super) static GARDEN_SPREAD_MAX: Limit = Limit {
    name: "garden_spread_max",
    meaning: "the most that music outdoors may differ from place to place, 2 kHz, at the ears of somebody who sits",
    dimension: Dimension::Level,
    // ± 6 dB, twice what is asked for indoors.
    value: 12.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "garden-evenness",
    area: Area::Sound,
    proves: "Music outdoors is about as loud all over the place where people are.",
    matters: "Nothing comes back from walls outdoors: a few loud loudspeakers deafen who sits beside one and leave the rest without, and then the neighbours hear it too.",
    formula: "At each point of a grid over the plan, 1.1 m up, 0.6 m off its edges and 1 m or more from every loudspeaker: L = 10 log Σ(q/r² + Σ k q_b/r_b²) at 2 kHz over all loudspeakers of the zone; q: off-axis loss as a share of energy; r: distance, m; b: what comes by the ground, by each house wall (a side that isn't open) and by both, straight from the loudspeaker to the ear's image in them; k: the share that they give back, 1 − α of the finish where one is noted, else ground 0.6 ± 0.4 (between lawn and paving, common practice, no source) and walls 0.95 ± 0.05 (brick, render and glass absorb 2 to 7 %). Added by power: octaves, not tones. No fence, no wind, nothing from wall to wall. Told is the loudest place less the quietest. Count in the free field: on a square grid of spacing s = r √(8 · 10^(X/10)) the middle of four is X dB below the nearest place r.",
    source: Source::Derived {
        from: "sources and their images in ground and walls, added by power",
    },
    when_it_fails: "More and softer loudspeakers, evenly round the edge and looking inwards; turn each one down in step.",
    limits: &[&GARDEN_SPREAD_MAX],
    published: &[
        Published {
            cite: "doubling the distance in the free field: 20 lg 2 (computed)",
            computed: || level_db(&[1.0]) - level_db(&[2.0]),
            expected: 6.020_599_913,
            tolerance: 1e-9,
            unit: "dB",
        },
        Published {
            cite: "source and ear 1 m over hard ground, 4 m apart: 10 lg(1 + 16/20) over the free field (computed)",
            computed: || {
                let way = |faces: &[Face]| way_by(faces, [0.0, 0.0, 1.0], [4.0, 0.0, 1.0]);
                let energy = |faces: &[Face]| {
                    way(faces).map_or(f64::NAN, |way| {
                        1.0 / way.map(|part| part * part).iter().sum::<f64>()
                    })
                };
                10.0 * (1.0 + energy(&[Face::Ground]) / energy(&[])).log10()
            },
            expected: 2.552_725_1,
            tolerance: 1e-6,
            unit: "dB",
        },
    ],
    run: Run::EachSpaceIn(Parts::OPENINGS.and(Parts::COVERINGS), run),
};

fn level_db(distances_m: &[f64]) -> f64 {
    let energy: f64 = distances_m.iter().map(|r| 1.0 / r.powi(2)).sum();
    10.0 * energy.log10()
}

type Speaker<'a> = (&'a Item, &'a LoudspeakerKit);

/// Loudspeakers of a zone outdoors that are placed there.
pub(super) fn speakers<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    zone: &'a Zone,
) -> Vec<Speaker<'a>> {
    (analysis.loudspeakers_of(zone))
        .filter(|(item, kit)| {
            analysis.is_in(item, space) && kit.form != Some(LoudspeakerForm::Subwoofer)
        })
        .collect()
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if space.kind != Some(SpaceKind::Outdoor) {
        return Vec::new();
    }
    (analysis.zones_in(space))
        .filter_map(|zone| {
            let speakers = speakers(analysis, space, zone);
            let subject = Subject::new(&zone.id, zone_label(zone));
            (!speakers.is_empty())
                .then(|| CHECK.about(space, subject, || decide(analysis, space, zone, &speakers)))
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    zone: &Zone,
    speakers: &[Speaker<'_>],
) -> Known<Outcome> {
    let points = points(analysis, space)?;
    let towards = points[points.len() / 2];
    let sources = (speakers.iter())
        .map(|(item, kit)| analysis.sounding(space, item, kit, towards))
        .collect::<Known<Vec<Sounding<'_>>>>()?;
    let garden = Garden::new(analysis, space, sources)?;
    let is_free = |point: &&[f64; 3]| {
        garden.sources().iter().all(|source| {
            let [x, y, _] = source.at.value();
            (point[0] - x).hypot(point[1] - y) >= OFF_LOUDSPEAKER_M
        })
    };
    let free: Vec<&[f64; 3]> = points.iter().filter(is_free).collect();
    if free.is_empty() {
        let what = format!(
            "a place on {} a step away from every loudspeaker",
            space.label()
        );
        return Err(Missing::new(
            what,
            format!("space.{}", space.id),
            Means::Decide,
        ));
    }
    let by_energy = |a: &(f64, [f64; 3]), b: &(f64, [f64; 3])| a.0.total_cmp(&b.0);
    let told = || free.iter().map(|point| (garden.energy(**point), **point));
    let (_, loudest) = told().max_by(by_energy).expect("a plan has points");
    let (_, quietest) = told().min_by(by_energy).expect("a plan has points");
    let level = |at: [f64; 3]| garden.energy_over(&[at]).log10() * 10.0;
    let spread = level(loudest) - level(quietest);
    let limit = analysis.limit(&GARDEN_SPREAD_MAX);
    let outcome = Outcome::at_most(spread.clone(), &limit, Dimension::Level);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let area = geometry::plan::area(&analysis.shape(space).outline()?)
        .0
        .abs();
    let reach = coverage::free_field_spacing(Metres(NEAREST_M), limit.value);
    let count = (area / reach.0.powi(2)).ceil().max(1.0);
    let more = match count > speakers.len() as f64 {
        true => format!(
            " {count:.0} of them on an even grid, {} apart, keep to it.",
            analysis.exact(reach.0, Dimension::Length)
        ),
        false => {
            " Spread over the place and not only along an edge, as many keep to it.".to_owned()
        }
    };
    let more = match outcome.verdict() {
        Verdict::Fits => String::new(),
        _ => more,
    };
    Ok(outcome.because(format!(
        "{} is {} louder where it is loudest on {} than where it is quietest, with {} and what comes back from {}; at most {} is asked for.{more}",
        zone_label(zone),
        analysis.print(&spread, Dimension::Level),
        space.label(),
        match speakers.len() {
            1 => "one loudspeaker".to_owned(),
            count => format!("{count} loudspeakers"),
        },
        garden.words(),
        analysis.exact(limit.value, Dimension::Level),
    )))
}

/// Nobody sits nearer to a loudspeaker in the planting than this in plan, m, and so no ear is
/// nearer than that (common practice).
const OFF_LOUDSPEAKER_M: f64 = 1.0;
const NEAREST_M: f64 = 1.35;

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, told};

    fn garden(items: &[(&str, &str)]) -> String {
        let mut text = "[[space]]\nid = \"garden\"\nkind = \"outdoor\"\nwalls = [{ id = \"a\", length = \"8 m\", open = true }, { id = \"b\", length = \"6 m\", open = true }, { id = \"c\", length = \"8 m\", open = true }, { id = \"d\", length = \"6 m\", open = true }]\ndiagonals = [[\"a.left\", \"c.left\", \"10 m\"]]\n[[zone]]\nid = \"outside\"\nspace = \"garden\"\n[[kit.loudspeaker]]\nid = \"garden-g1\"\nform = \"landscape\"\nsize = [\"20 cm\", \"30 cm\", \"20 cm\"]\ncoverage = \"360 deg\"\nsensitivity = 86\n".to_owned();
        for (index, (from_a, from_d)) in items.iter().enumerate() {
            text += &format!(
                "[[item]]\nid = \"g{index}\"\nis = \"garden-g1\"\nspace = \"garden\"\nzone = \"outside\"\nat = {{ from = [\"a\", \"{from_a}\"], and = [\"d\", \"{from_d}\"] }}\n"
            );
        }
        text
    }

    fn spread(items: &[(&str, &str)]) -> f64 {
        let found = findings(&CHECK, &garden(items));
        let own: Vec<_> = found.iter().filter(|one| one.check == CHECK.id).collect();
        let value = own[0].value.as_ref();
        value.unwrap_or_else(|| panic!("{}", told(&found))).value()
    }

    #[test]
    fn one_in_a_corner_is_uneven_and_four_are_less_so() {
        let one = spread(&[("0.3 m", "0.3 m")]);
        assert!(one > 10.0, "{one}");
        let four = spread(&[
            ("0.3 m", "0.3 m"),
            ("0.3 m", "7.7 m"),
            ("5.7 m", "0.3 m"),
            ("5.7 m", "7.7 m"),
        ]);
        assert!(four < one - 2.0, "{four}");
    }

    /// One loudspeaker 1.5 m from side `a`, 3 m along it, told against a copy of the text.
    fn spread_with(from: &str, to: &str) -> f64 {
        let text = garden(&[("1.5 m", "3 m")]).replace(from, to);
        let found = findings(&CHECK, &text);
        found[0].value.as_ref().expect("all is known").value()
    }

    #[test]
    fn a_house_wall_behind_evens_out_what_is_far() {
        let open = spread_with("", "");
        let walled = spread_with(
            "{ id = \"a\", length = \"8 m\", open = true }",
            "{ id = \"a\", length = \"8 m\" }",
        );
        // Near the loudspeaker the wall adds little, far from it nearly as much as comes straight.
        assert!(walled < open - 0.3, "{walled} {open}");
    }

    #[test]
    fn paving_gives_back_more_than_what_nobody_noted() {
        let paved = "kind = \"outdoor\"\nfinishes = { floor = \"unpainted_concrete\" }\n";
        let found = findings(
            &CHECK,
            &garden(&[("1.5 m", "3 m")]).replace("kind = \"outdoor\"\n", paved),
        );
        let known = found[0].value.as_ref().unwrap().standard_uncertainty();
        let found = findings(&CHECK, &garden(&[("1.5 m", "3 m")]));
        let open = found[0].value.as_ref().unwrap().standard_uncertainty();
        assert!(known < open, "{known} {open}");
        assert!(
            found[0].because.contains("from the ground;"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn the_limit_decides() {
        let text = garden(&[("0.3 m", "0.3 m")]);
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        let own = "[rules]\ngarden_spread_max = \"40 dB\"\nreason.garden_spread_max = \"a bar\"\n";
        assert_eq!(findings(&CHECK, &(text + own))[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_room_is_no_garden() {
        assert!(findings(&CHECK, "").is_empty());
    }
}
