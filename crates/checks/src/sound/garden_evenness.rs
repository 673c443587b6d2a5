//! Is music outdoors about as loud wherever somebody sits or stands?

use acoustics::coverage;
use acoustics::octave::OctaveBand;
use analysis::{Analysis, Limit, Means, Missing, Parts, Sounding, Source};
use model::{Item, LoudspeakerForm, LoudspeakerKit, Space, SpaceKind, Zone};
use uncertainty::Vector3;
use units::{Dimension, Metres};

use super::background_evenness::points;
use crate::listening::zone_label;
use crate::{Area, Check, Finding, Known, Outcome, Published, Run, Subject, Uncertain, Verdict};

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
    formula: "At each point of a grid over the plan, 1.1 m up, 0.6 m off its edges and 1 m or more from every loudspeaker: L = 10 log Σ(q/r²) at 2 kHz over all loudspeakers of the zone; q: off-axis loss as a share of energy; r: distance, m. Told is the loudest place less the quietest. Free field: no ground, no walls, no wind. Count: on a square grid of spacing s = r √(8 · 10^(X/10)) the middle of four is X dB below the nearest place r.",
    source: Source::Derived {
        from: "sources in the free field, added by power",
    },
    when_it_fails: "More and softer loudspeakers, evenly round the edge and looking inwards; turn each one down in step.",
    limits: &[&GARDEN_SPREAD_MAX],
    published: &[Published {
        cite: "doubling the distance in the free field: 20 lg 2 (computed)",
        computed: || level_db(&[1.0]) - level_db(&[2.0]),
        expected: 6.020_599_913,
        tolerance: 1e-9,
        unit: "dB",
    }],
    run: Run::EachSpaceIn(Parts::OPENINGS, run),
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

/// Direct energy of loudspeakers at a point, re that 1 m before one.
pub(super) fn energy(sources: &[Sounding<'_>], at: [f64; 3]) -> Uncertain {
    let ear = Vector3::new(at[0], at[1], at[2]);
    let of = |source: &Sounding<'_>| {
        let off_axis = 10_f64.powf(source.level_towards(at, OctaveBand::Hz2000) / 10.0);
        let distance = (&ear - &source.at).norm();
        Uncertain::exact(off_axis) / distance.square()
    };
    sources.iter().map(of).sum()
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
    let is_free = |point: &&[f64; 3]| {
        sources.iter().all(|source| {
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
    let levels: Vec<Uncertain> = (free.iter())
        .map(|point| energy(&sources, **point).log10() * 10.0)
        .collect();
    let by_value = |a: &&Uncertain, b: &&Uncertain| a.value().total_cmp(&b.value());
    let loudest = levels.iter().max_by(by_value).expect("a plan has points");
    let quietest = levels.iter().min_by(by_value).expect("a plan has points");
    let spread = loudest - quietest;
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
        "{} is {} louder where it is loudest on {} than where it is quietest, with {} in the free field; at most {} is asked for.{more}",
        zone_label(zone),
        analysis.print(&spread, Dimension::Level),
        space.label(),
        match speakers.len() {
            1 => "one loudspeaker".to_owned(),
            count => format!("{count} loudspeakers"),
        },
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
