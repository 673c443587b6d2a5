//! Does each channel sound from the side that its layout asks for?

use std::f64::consts::TAU;

use acoustics::direction::AzimuthRange;
use acoustics::layout::{DEFAULT_TOLERANCE_DEG, Position, Source as LayoutSource};
use analysis::{Analysis, COVERAGE_FACTOR, Limit, Parts, Source, item_label};
use model::Space;
use units::{Dimension, Radians};

use crate::listening::{
    Channel, Ears, OTHER_SEAT_ALLOWANCE, audiences, example, heard, is_overhead, point, questions,
};
use crate::seats_apart::SEAT_APART_MIN;
use crate::track::{Track, shortest};
use crate::{Area, Check, Finding, Outcome, Published, Run, Uncertain};

/// How far from a position that is printed without a range a channel may stand.
pub(super) static AZIMUTH_TOLERANCE: Limit = Limit {
    name: "azimuth_tolerance",
    meaning: "how far to either side of its printed azimuth a channel may stand where the layout prints no range",
    dimension: Dimension::Angle,
    value: 5.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// Where a side surround of two sides may be.
pub(super) static TWO_SIDED_AZIMUTH_MIN: Limit = Limit {
    name: "two_sided_azimuth_min",
    meaning: "how far from straight ahead a dipole or bipole side surround may begin, where the layout prints a side surround's range from farther back",
    dimension: Dimension::Angle,
    value: 80.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// A printed range that begins farther back than this is no side surround's, rad.
const SIDE_MAX: f64 = 110.0 * std::f64::consts::PI / 180.0;

pub(super) const LAYOUT_WORK: &str =
    "ITU-R BS.2051-2, table 1 and the tables of the systems (read in a public renderer's copy)";

pub(crate) static CHECK: Check = Check {
    id: "channel-azimuth",
    area: Area::Sound,
    proves: "Seen from above, each channel is heard from the direction that the zone's layout prints for it.",
    matters: "A side loudspeaker too far back leaves a hole beside the listener; a front pair too wide tears voices apart. The mixing room had them where the layout says.",
    formula: "az = atan2(f × d, f · d) in plan; f: from the head to the middle of the picture (without a picture: to the middle between the left and right loudspeaker); d: from the head to the loudspeaker; 0° straight ahead, positive to the left. Each listener turns to the picture, so every seat has its own straight ahead. The printed range is meant for the main seat, the one with the highest importance; the others are allowed some more. Distance does not count: delay evens it out. A side surround with two sides, dipole or bipole, may be from 80° on where the printed range begins between 80° and 110° (common practice, no source): straight beside the seat a dipole's null meets it.",
    source: Source::Published { work: LAYOUT_WORK },
    when_it_fails: "Move the loudspeaker along its wall or in the ceiling, or move the seat. Move both of a pair alike.",
    limits: &[
        &AZIMUTH_TOLERANCE,
        &OTHER_SEAT_ALLOWANCE,
        &TWO_SIDED_AZIMUTH_MIN,
        &SEAT_APART_MIN,
    ],
    published: &[
        Published {
            cite: "ear (2.25 2.0 1.1) m, left main (0.6 5.0 1.1) m, front +y: atan2(−dx, dy) (computed)",
            computed: || {
                example([2.25, 2.0, 1.1])
                    .azimuth(&point([0.6, 5.0, 1.1]))
                    .value()
                    .to_degrees()
            },
            expected: 28.810_793_74,
            tolerance: 1e-6, // Printed digits of the computed value.
            unit: "°",
        },
        Published {
            cite: "ear (2.25 2.0 1.1) m, left surround (1.0 1.0 1.3) m (computed)",
            computed: || {
                example([2.25, 2.0, 1.1])
                    .azimuth(&point([1.0, 1.0, 1.3]))
                    .value()
                    .to_degrees()
            },
            expected: 128.659_808_3,
            tolerance: 1e-6,
            unit: "°",
        },
        Published {
            cite: "ITU-R BS.2051-2 system 0+5+0, M+110: azimuth 95° is 5° short of 100° (confirmed in the public renderer's table)",
            computed: || {
                acoustics::layout::position("0+5+0", "M+110").map_or(f64::NAN, |position| {
                    let limit = position.azimuth_limit.map(|limit| limit.range);
                    limit.map_or(f64::NAN, |range| {
                        let azimuth = Uncertain::exact(95_f64.to_radians());
                        margin(&azimuth, &range).0.value().to_degrees()
                    })
                })
            },
            expected: -5.0,
            tolerance: 1e-9, // Whole degrees in the table.
            unit: "°",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut found = Vec::new();
    for audience in audiences(analysis, space) {
        found.extend(questions(&CHECK, space, &audience));
        found.reserve(audience.channels.len() * audience.seats.len());
        for channel in &audience.channels {
            let two_sided = channel.is_two_sided(analysis);
            let Some((range, source)) = allowed(analysis, &channel.position, two_sided) else {
                continue;
            };
            let here = (analysis, space);
            let at_seat = |ears: &Ears<'_>| {
                let limits = [range.min.0, range.max.0, ears.allowance(analysis)];
                channel.heard(&CHECK, here, ears, &limits, &[], || {
                    CHECK.about(space, channel.subject(ears), || {
                        Ok(decide(
                            analysis,
                            space,
                            channel,
                            ears,
                            &range,
                            source.clone(),
                        ))
                    })
                })
            };
            found.extend(audience.seats.iter().map(at_seat));
        }
    }
    found
}

/// The azimuths that a position allows to a loudspeaker, and who says so.
pub(crate) fn allowed(
    analysis: &Analysis,
    position: &Position,
    two_sided: bool,
) -> Option<(AzimuthRange, Source)> {
    let (range, source) = printed(analysis, position)?;
    if !two_sided || is_overhead(position) {
        return Some((range, source));
    }
    let begins = analysis.limit(&TWO_SIDED_AZIMUTH_MIN);
    let is_side = |nearest: f64| (begins.value..=SIDE_MAX).contains(&nearest);
    Some(match [range.min.0, -range.max.0] {
        [left, _] if is_side(left) => {
            let min = Radians(begins.value);
            (AzimuthRange { min, ..range }, begins.source)
        }
        [_, right] if is_side(right) => {
            let max = Radians(-begins.value);
            (AzimuthRange { max, ..range }, begins.source)
        }
        _ => (range, source),
    })
}

/// The azimuths that a layout has for a position, and who says so.
fn printed(analysis: &Analysis, position: &Position) -> Option<(AzimuthRange, Source)> {
    let limit = position.azimuth_limit?;
    let source = match limit.source {
        LayoutSource::Bs2051 { .. } => Source::Published { work: LAYOUT_WORK },
        LayoutSource::Bs775 => Source::Published {
            work: "ITU-R BS.775-3, figure 1",
        },
        LayoutSource::CommonPractice => {
            let tolerance = analysis.limit(&AZIMUTH_TOLERANCE);
            // Practice itself has a range.
            let half = (limit.range.max.0 - limit.range.min.0) / 2.0;
            if half > DEFAULT_TOLERANCE_DEG.to_radians() + 1e-9 {
                return Some((limit.range, Source::CommonPractice));
            }
            let middle = (limit.range.min.0 + limit.range.max.0) / 2.0;
            let range = AzimuthRange::about(Radians(middle), Radians(tolerance.value));
            return Some((range, tolerance.source));
        }
    };
    Some((limit.range, source))
}

/// The signed distance to the nearest end of the range, and that end.
fn margin(azimuth: &Uncertain, range: &AzimuthRange) -> (Uncertain, f64) {
    // The same angle between −180° and 180°.
    let wrapped = |angle: Uncertain| {
        let turns = (angle.value() / TAU).round();
        angle - turns * TAU
    };
    let signed = range.margin(Radians(azimuth.value())).0;
    let from_min = wrapped(azimuth - range.min.0);
    let to_max = wrapped(range.max.0 - azimuth);
    if (from_min.value() - signed).abs() <= (to_max.value() - signed).abs() {
        (from_min, range.min.0)
    } else {
        (to_max, range.max.0)
    }
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    channel: &Channel<'_>,
    ears: &Ears<'_>,
    range: &AzimuthRange,
    source: Source,
) -> Outcome {
    let azimuth = analysis.remembered("azimuth", &ears.inputs(&channel.at), || {
        ears.azimuth(&channel.at)
    });
    let main_range = range;
    let allowance = ears.allowance(analysis);
    let range = &AzimuthRange {
        min: Radians(range.min.0 - allowance),
        max: Radians(range.max.0 + allowance),
    };
    let (margin, limit) = margin(&azimuth, range);
    if analysis.is_trial() {
        return Outcome::with_margin(azimuth, limit, margin, Dimension::Angle, source);
    }
    let (inner, outer) = match (main_range.min.0, main_range.max.0) {
        (min, max) if max <= 0.0 => (max, min),
        ends => ends,
    };
    let sentence = format!(
        "Seat {} hears {} from {}; layout {} has this channel, {}, between {} and {}.{}",
        ears.seat.id,
        item_label(channel.item),
        bearing(analysis, &azimuth),
        channel.position.system,
        channel.position.channel,
        bearing(analysis, &Uncertain::exact(inner)),
        bearing(analysis, &Uncertain::exact(outer)),
        ears.remark(analysis),
    );
    let outcome = Outcome::with_margin(azimuth, limit, margin, Dimension::Angle, source);
    let expanded = COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
    let (ear, at, faced) = (
        ears.place.ear.value(),
        channel.at.value(),
        ears.faced.value(),
    );
    // What is nearer, loudspeaker or picture, is known less well as an angle.
    let nearness = |ear: [f64; 3], at: [f64; 3]| {
        let picture_m = (faced[0] - ear[0]).hypot(faced[1] - ear[1]).max(0.01);
        [1.0 / in_plan_distance(ear, at), 1.0 / picture_m]
    };
    let now = nearness(ear, at);
    let good = |ear: [f64; 3], at: [f64; 3]| {
        heard(ear, faced, at).is_some_and(|direction| {
            let there = nearness(ear, at);
            let grown = (there[0] / now[0]).max(there[1] / now[1]).max(1.0);
            let spread = 1.25 * expanded * grown;
            range.margin(direction.azimuth).0 > spread
        })
    };
    if !outcome.asks_for_remedies(analysis) {
        return outcome.because(sentence);
    }
    // What serves a side seat must not spoil the seat that the layout is meant for.
    let keeps_main = |at: [f64; 3]| {
        let inside = |ear: [f64; 3], at: [f64; 3]| {
            heard(ear, faced, at).is_some_and(|heard| main_range.margin(heard.azimuth).0 >= 0.0)
        };
        ears.main_ear
            .is_none_or(|main| inside(main, at) || !inside(main, channel.at.value()))
    };
    let sideways = Track::of_item(analysis, channel.item, &channel.at);
    let of_item = (sideways.iter().filter(|track| !track.is_vertical()))
        .map(|track| track.nearest(analysis, |place| good(ear, place) && keeps_main(place)));
    let of_seat = Track::of_seat(analysis, space, ears.seat, &ears.place);
    let of_seat = (of_seat.iter()).map(|track| track.nearest(analysis, |place| good(place, at)));
    let remedies = shortest(of_item)
        .into_iter()
        .chain(shortest(of_seat).into_iter().take(1));
    remedies.fold(outcome.because(sentence), |outcome, remedy| {
        outcome.remedy(Some(remedy))
    })
}

fn in_plan_distance(ear: [f64; 3], at: [f64; 3]) -> f64 {
    (at[0] - ear[0]).hypot(at[1] - ear[1]).max(0.01)
}

/// An azimuth in words.
fn bearing(analysis: &Analysis, azimuth: &Uncertain) -> String {
    let size = analysis.angle(&azimuth.abs());
    let degrees = azimuth.value().to_degrees();
    if degrees > 0.05 {
        format!("{size} left")
    } else if degrees < -0.05 {
        format!("{size} right")
    } else {
        "straight ahead".to_owned()
    }
}

#[cfg(test)]
mod tests {
    //! The surround of a 5.1 layout on the side wall, and the front pair, whose range is
    //! the house's own.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_wall};
    use crate::testing::{findings, findings_after, told};

    /// On the south wall, 2 m to the left of the head: az = 90° + atan(b / 2 m), with
    /// b = 3 m − from_left behind the head.
    fn surround(from_left: &str) -> String {
        cinema(
            "5.1",
            &in_wall("left-surround", "south", from_left, "1.1 m"),
        )
    }

    fn verdict(text: &str) -> Verdict {
        findings(&CHECK, text)[0].verdict
    }

    #[test]
    fn a_surround_at_110_degrees_fits() {
        // b = 2 m · tan 20° = 0.728 m.
        let found = findings(&CHECK, &surround("2.272 m"));
        expect![[r#"
            left-surround at seat sofa: fits +0.175: Seat sofa hears left-surround from 110.0° left; layout 0+5+0 has this channel, M+110, between 100° left and 120° left.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn the_ends_of_the_range_decide() {
        // 100°: b = 2 m · tan 10° = 0.353 m, from_left 2.647 m.
        // 120°: b = 2 m · tan 30° = 1.155 m, from_left 1.845 m.
        assert_ne!(verdict(&surround("2.640 m")), Verdict::Fails);
        assert_eq!(verdict(&surround("2.655 m")), Verdict::Fails);
        assert_ne!(verdict(&surround("1.853 m")), Verdict::Fails);
        assert_eq!(verdict(&surround("1.838 m")), Verdict::Fails);
    }

    #[test]
    fn a_seat_is_moved_onto_no_other() {
        // 94.6° asks for 5.4° more: the seat forward by 2 m · (tan 10° − tan 4.6°) = 0.19 m.
        let text = surround("2.84 m");
        let forward = |text: &str| {
            let found = findings(&CHECK, text);
            let mut remedies = found.iter().flat_map(|found| &found.remedies);
            remedies.any(|remedy| remedy.edits[0].at == "space.den.seat.sofa.at.from.1")
        };
        assert!(forward(&text));
        let other = |from_west: &str| {
            format!(
                "{text}[[space.seat]]\nid = \"front\"\nat = {{ from = [\"west\", \"{from_west}\"], and = [\"north\", \"2 m\"] }}\neye = \"1.1 m\"\nimportance = 0\n"
            )
        };
        // The seat goes to 2.79 m or so: 0.55 m before it is 2.24 m.
        assert!(forward(&other("2.15 m")));
        assert!(!forward(&other("2.33 m")));
    }

    #[test]
    fn the_front_pair_has_the_house_tolerance() {
        // 25°: 3 m · tan 25° = 1.399 m beside the axis, 0.601 m from the left corner.
        let front = |from_left: &str| cinema("5.1", &in_wall("left", "west", from_left, "1.1 m"));
        assert_ne!(verdict(&front("0.593 m")), Verdict::Fails);
        assert_eq!(verdict(&front("0.609 m")), Verdict::Fails);
        let wider =
            "[rules]\nazimuth_tolerance = \"8 deg\"\nreason.azimuth_tolerance = \"window\"\n";
        assert_eq!(verdict(&(front("0.609 m") + wider)), Verdict::Fits);
    }

    #[test]
    fn a_loudspeaker_on_the_wrong_side_is_far_out() {
        let found = findings(
            &CHECK,
            &cinema(
                "5.1",
                &in_wall("right-surround", "south", "2.272 m", "1.1 m"),
            ),
        );
        // From 110° left to the nearer end, 120° right: 130° round the back.
        let margin = found[0].margin.as_ref().unwrap().value().to_degrees();
        assert!((margin + 130.0).abs() < 0.1, "{margin}");
    }

    #[test]
    fn a_back_centre_is_judged_across_180_degrees() {
        let text = cinema("5.1", &in_wall("centre", "west", "2 m", "1.1 m"));
        assert_eq!(verdict(&text), Verdict::Fits);
        let text = cinema("3+7+0", &in_wall("top-back-centre", "east", "2 m", "2.3 m"));
        assert_eq!(verdict(&text), Verdict::Fits);
    }

    #[test]
    fn a_paced_seat_makes_the_edge_tight() {
        let text = surround("2.60 m").replace("\"3 m\"", "\"3 m paced\"");
        assert_eq!(verdict(&text), Verdict::Tight);
    }

    #[test]
    fn without_channel_or_picture_nothing_is_claimed() {
        let text = surround("2.272 m").replace("channel = \"left-surround\"\n", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "item.left-surround.channel");
        let text = surround("2.272 m").replace("picture_width = \"2 m\"\n", "");
        assert_eq!(verdict(&text), Verdict::Unknown);
    }

    #[test]
    fn without_a_picture_the_front_pair_is_faced() {
        let pair = in_wall("left", "west", "0.268 m", "1.1 m")
            + &in_wall("right", "west", "3.732 m", "1.1 m");
        let text = cinema("2.0", &pair)
            .replace("faces = \"screen\"\n", "")
            .replace(
                "id = \"screen\"\nis = \"screen-s1\"",
                "id = \"screen\"\nis = \"in-wall-w1\"",
            );
        let found = findings(&CHECK, &text);
        assert_eq!(found.len(), 2, "{}", told(&found));
        assert!(found.iter().all(|finding| finding.verdict == Verdict::Fits));
    }

    #[test]
    fn each_remedy_mends_it_alone() {
        for place in ["3.4 m", "1.2 m", "2.646 m"] {
            let text = surround(place);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 2, "{place}");
            for remedy in &found[0].remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_eq!(after[0].verdict, Verdict::Fits, "{place}: {}", remedy.says);
            }
        }
    }

    #[test]
    fn what_serves_a_side_seat_leaves_the_main_seat_served() {
        // The side seat sits 0.3 m farther back: only a place between both ranges will do.
        let side = "[[space.seat]]\nid = \"back\"\nat = { from = [\"west\", \"3.3 m\"], and = [\"north\", \"2 m\"] }\neye = \"1.1 m\"\n[[kit.screen]]";
        let strict = "[rules]\nother_seat_allowance = \"0 deg\"\nreason.other_seat_allowance = \"two owners\"\n";
        let text = surround("2.55 m").replacen("[[kit.screen]]", side, 1) + strict;
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
        assert_eq!(found[1].verdict, Verdict::Fails, "{}", told(&found));
        let moved = (found[1].remedies.iter())
            .find(|remedy| remedy.says.contains("Move left-surround"))
            .expect("the ranges of both seats overlap");
        for after in findings_after(&CHECK, &text, &moved.edits) {
            assert_ne!(after.verdict, Verdict::Fails, "{}", moved.says);
        }
    }

    #[test]
    fn a_side_seat_is_allowed_twenty_degrees_more() {
        // 1.5 m behind the surround's line: az = 90° − atan(b / 2 m); 80° is b = 0.353 m.
        let side = |off_west: &str| {
            format!(
                "[[space.seat]]\nid = \"back\"\nat = {{ from = [\"west\", \"{off_west}\"], and = [\"north\", \"2 m\"] }}\neye = \"1.1 m\"\n[[kit.screen]]"
            )
        };
        // The head is 2.272 m + b off the screen's wall… the surround 6 m − 2.272 m from it.
        let at = |off_west: &str| {
            let text = surround("2.272 m").replacen("[[kit.screen]]", &side(off_west), 1);
            findings(&CHECK, &text)[1].verdict
        };
        assert_eq!(at("4.06 m"), Verdict::Fits);
        assert_eq!(at("4.12 m"), Verdict::Fails);
    }

    #[test]
    fn the_move_is_the_nearest_place_that_fits() {
        // b must be at least 0.353 m: from_left at most 2.647 m less the uncertainty.
        let found = findings(&CHECK, &surround("3.4 m"));
        let moved = &found[0].remedies[0];
        assert!(
            moved.says.starts_with("Move left-surround"),
            "{}",
            moved.says
        );
        assert!(moved.says.contains("along wall south"), "{}", moved.says);
        let to = moved.edits[0].set.as_ref().unwrap().as_str().unwrap();
        let metres: f64 = to.replace("\u{202f}m", "").parse().unwrap();
        assert!((2.60..2.647).contains(&metres), "{to}");
    }
}
