//! Do overhead channels stand far enough from the ear-level ones to be told apart?

use analysis::{Analysis, COVERAGE_FACTOR, Limit, LimitValue, Parts, Source, Vector3, item_label};
use model::Space;
use units::{Dimension, Metres};

use crate::listening::{Channel, Ears, OTHER_SEAT_ALLOWANCE, audiences, example, point, questions};
use crate::track::{Track, shortest};
use crate::{Area, Check, Finding, Outcome, Published, Run};

/// The least angle between an overhead loudspeaker and the nearest ear-level one.
pub(crate) static HEIGHT_SEPARATION_MIN: Limit = Limit {
    name: "height_separation_min",
    meaning: "the least angle at the ear between an overhead loudspeaker and the nearest ear-level one",
    dimension: Dimension::Angle,
    value: 30.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "height-separation",
    area: Area::Sound,
    proves: "At each seat every overhead loudspeaker is heard well apart from the nearest ear-level one.",
    matters: "When a surround hangs so high that it stands next to an overhead loudspeaker, effects above and beside the listener blend into one.",
    formula: "γ = arccos(a · b); a, b: unit vectors from the ear to the overhead loudspeaker and to the ear-level one with the smallest γ. Low-frequency channels do not count. Seats other than the main one are allowed half of what directions are allowed there.",
    source: Source::CommonPractice,
    when_it_fails: "Lower the surround that is too near, or move the overhead loudspeaker towards the middle of the ceiling.",
    limits: &[&HEIGHT_SEPARATION_MIN, &OTHER_SEAT_ALLOWANCE],
    published: &[Published {
        cite: "ear (2.25 2.0 1.1) m: left surround (az 128.6598083° el 7.121575587°) and left front height (az 35.7066914° el 37.28072729°); spherical law of cosines on these (computed)",
        computed: || {
            let ears = example([2.25, 2.0, 1.1]);
            let angle = ears.angle_between(&point([1.0, 1.0, 1.3]), &point([1.1, 3.6, 2.6]));
            angle.value().to_degrees()
        },
        expected: 88.027_591,
        tolerance: 1e-5, // Digits of the four angles.
        unit: "°",
    }],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut found = Vec::new();
    for audience in audiences(analysis, space) {
        let (overhead, ear_level): (Vec<_>, Vec<_>) =
            (audience.channels.iter()).partition(|channel| channel.is_overhead());
        if overhead.is_empty() {
            continue;
        }
        found.extend(questions(&CHECK, space, &audience));
        let least = analysis.limit(&HEIGHT_SEPARATION_MIN).value;
        found.reserve(overhead.len() * audience.seats.len());
        for channel in overhead {
            found.extend(audience.seats.iter().filter_map(|ears| {
                let nearest = nearest(channel, &ear_level, ears)?;
                let Vector3 { x, y, z } = &nearest.at;
                let limits = [least, ears.allowance(analysis)];
                let finding = || {
                    CHECK.about(space, channel.subject(ears), || {
                        Ok(decide(analysis, channel, nearest, &ear_level, ears))
                    })
                };
                let here = (analysis, space);
                Some(channel.heard(&CHECK, here, ears, &limits, &[x, y, z], finding))
            }));
        }
    }
    found
}

/// What plays at ear level from nearest to the direction of an overhead loudspeaker.
fn nearest<'a>(
    overhead: &Channel<'_>,
    ear_level: &[&'a Channel<'a>],
    ears: &Ears<'_>,
) -> Option<&'a Channel<'a>> {
    let apart = |channel: &Channel<'_>| ears.angle_value_between(&overhead.at, &channel.at);
    let (nearest, _) = (ear_level.iter())
        .map(|channel| (*channel, apart(channel)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(nearest)
}

fn decide(
    analysis: &Analysis,
    overhead: &Channel<'_>,
    nearest: &Channel<'_>,
    ear_level: &[&Channel<'_>],
    ears: &Ears<'_>,
) -> Outcome {
    let [ear, above, other] = [&ears.place.ear, &overhead.at, &nearest.at];
    let inputs = [ear, above, other].map(|point| [&point.x, &point.y, &point.z]);
    let angle = analysis.remembered("angle between", inputs.as_flattened(), || {
        ears.angle_between(&overhead.at, &nearest.at)
    });
    let printed = analysis.limit(&HEIGHT_SEPARATION_MIN);
    let limit = LimitValue {
        value: printed.value - ears.allowance(analysis) / 2.0,
        ..printed
    };
    if analysis.is_trial() {
        return Outcome::at_least(angle, &limit, Dimension::Angle);
    }
    let sentence = format!(
        "Seat {} hears {} only {} from {}; {} or more keep them apart.",
        ears.seat.id,
        item_label(overhead.item),
        analysis.angle(&angle),
        item_label(nearest.item),
        analysis.exact(limit.value, Dimension::Angle),
    );
    let needed = limit.value;
    let outcome = Outcome::at_least(angle, &limit, Dimension::Angle);
    if !outcome.asks_for_remedies(analysis) {
        return outcome.because(sentence.replace("only ", ""));
    }
    let spread = COVERAGE_FACTOR * outcome.margin().standard_uncertainty() * 1.25;
    let ear = ears.place.ear.value();
    let between = |one: [f64; 3], other: [f64; 3]| {
        acoustics::direction::angle_at(ear.map(Metres), one.map(Metres), other.map(Metres))
            .map_or(0.0, |angle| angle.0)
    };
    let above = overhead.at.value();
    let others: Vec<[f64; 3]> = (ear_level.iter())
        .filter(|channel| channel.item.id != nearest.item.id)
        .map(|channel| channel.at.value())
        .collect();
    let rest_is_good = others
        .iter()
        .all(|place| between(above, *place) > needed + spread);
    let lower = Track::of_item(analysis, nearest.item, &nearest.at);
    let lower = (lower.iter())
        .filter(|_| rest_is_good)
        .map(|track| track.nearest(analysis, |place| between(above, place) > needed + spread));
    let away = Track::of_item(analysis, overhead.item, &overhead.at);
    let away = away.iter().map(|track| {
        track.nearest(analysis, |place| {
            let mut all = others.iter().copied().chain([nearest.at.value()]);
            all.all(|other| between(place, other) > needed + spread)
        })
    });
    let remedies = shortest(lower).into_iter().chain(shortest(away));
    remedies.fold(outcome.because(sentence), |outcome, remedy| {
        outcome.remedy(Some(remedy))
    })
}

#[cfg(test)]
mod tests {
    //! A surround on the side wall under an overhead loudspeaker, both square to the left.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_ceiling, in_wall};
    use crate::testing::{findings, findings_after, told};

    /// The overhead: 1.3 m up, 1.3 m to the left, so 45° up. The surround on the wall 2 m
    /// to the left: atan((height − 1.1 m) / 2 m) up.
    fn room(height: &str) -> String {
        let items = in_wall("left-surround", "south", "3 m", height)
            + &in_ceiling("top-front-left", "3 m", "3.3 m");
        cinema("7.1.4", &items)
    }

    fn verdict(text: &str) -> Verdict {
        findings(&CHECK, text)[0].verdict
    }

    #[test]
    fn a_low_surround_is_told_apart() {
        expect![[r#"
            top-front-left at seat sofa: fits +0.262: Seat sofa hears top-front-left 45.0° from left-surround; 30° or more keep them apart.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &room("1.1 m"))));
    }

    #[test]
    fn a_surround_fifteen_degrees_up_is_the_end() {
        // 45° − 30° = 15°: 1.1 m + 2 m · tan 15° = 1.636 m.
        assert_ne!(verdict(&room("1.630 m")), Verdict::Fails);
        assert_eq!(verdict(&room("1.642 m")), Verdict::Fails);
    }

    #[test]
    fn an_ear_height_that_nobody_measured_makes_the_edge_tight() {
        let text = room("1.628 m").replace("eye = \"1.1 m\"\n", "");
        assert_eq!(verdict(&text), Verdict::Tight);
    }

    #[test]
    fn a_layout_without_overheads_is_left_alone() {
        let text = cinema("7.1", &in_wall("left-surround", "south", "3 m", "1.1 m"));
        assert!(findings(&CHECK, &text).is_empty());
    }

    #[test]
    fn an_overhead_without_a_place_is_unknown() {
        let text = room("1.1 m") + &in_ceiling("top-front-right", "?", "1 m");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found.len(), 2);
    }

    #[test]
    fn each_remedy_mends_it_alone() {
        for height in ["2.2 m", "1.9 m"] {
            let text = room(height);
            let found = findings(&CHECK, &text);
            assert!(found[0].remedies.len() >= 2, "{}", told(&found));
            assert!(
                found[0].remedies[0].says.starts_with("Lower left-surround"),
                "{}",
                found[0].remedies[0].says
            );
            for remedy in &found[0].remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
            }
        }
    }
}
