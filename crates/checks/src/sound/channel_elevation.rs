//! Is each channel heard from the height that its layout asks for?

use acoustics::direction::Direction;
use acoustics::layout::{Position, Source as LayoutSource};
use analysis::{Analysis, COVERAGE_FACTOR, Limit, LimitValue, Parts, Source, item_label};
use model::Space;
use units::Dimension;

use super::channel_azimuth::LAYOUT_WORK;
use crate::listening::{
    Channel, Ears, OTHER_SEAT_ALLOWANCE, audiences, example, heard, is_surround, point, questions,
};
use crate::seats_apart::SEAT_APART_MIN;
use crate::track::{Track, shortest};
use crate::{Area, Check, Finding, Outcome, Published, Run, Uncertain};

const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// How far above or below ear height an ear-level channel may be.
pub(super) static ELEVATION_TOLERANCE: Limit = Limit {
    name: "elevation_tolerance",
    meaning: "how far above or below ear height an ear-level channel may be heard where the layout prints no range",
    dimension: Dimension::Angle,
    value: 5.0 * DEGREE,
    source: Source::CommonPractice,
    regional: &[],
};

/// How high a surround may be.
pub(super) static SURROUND_ELEVATION_MAX: Limit = Limit {
    name: "surround_elevation_max",
    meaning: "the greatest angle above the ears at which an ear-level channel beside or behind the listeners may be heard",
    dimension: Dimension::Angle,
    value: 15.0 * DEGREE,
    source: Source::Published {
        work: "ITU-R BS.775-3, figure 1 (surrounds tilted 0° to 15° down to the listener)",
    },
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "channel-elevation",
    area: Area::Sound,
    proves: "Each channel is heard from the height that the zone's layout prints for it: ear-level channels at the ear, overhead channels above.",
    matters: "Surrounds that hang too high blend with the overhead effects, and rain falls from the walls. Overheads too low sound like another ring of surrounds.",
    formula: "el = atan2(d_z, √(d_x² + d_y²)); d: from the ear to the middle of the loudspeaker's front, m; 0° at ear height, positive up; what hangs on an arm that pulls down counts as it is watched, pulled down and at full reach. For a lone overhead pair instead the angle up from straight ahead in the side view, atan2(d_z, d · f). Front channels: the printed 0° give or take the house's tolerance; surrounds: from that below the ear up to 15°; overheads: the printed range. Seats other than the main one are allowed some more.",
    source: Source::Published { work: LAYOUT_WORK },
    when_it_fails: "Lower or raise the loudspeaker; an overhead one moves towards the listeners or away from them.",
    limits: &[
        &ELEVATION_TOLERANCE,
        &SURROUND_ELEVATION_MAX,
        &OTHER_SEAT_ALLOWANCE,
        &SEAT_APART_MIN,
    ],
    published: &[
        Published {
            cite: "ear (2.25 2.0 1.1) m, left surround (1.0 1.0 1.3) m: atan2(dz, hypot(dx, dy)) (computed)",
            computed: || {
                example([2.25, 2.0, 1.1])
                    .elevation(&point([1.0, 1.0, 1.3]))
                    .value()
                    / DEGREE
            },
            expected: 7.121_575_587,
            tolerance: 1e-6, // Printed digits of the computed value.
            unit: "°",
        },
        Published {
            cite: "ear (2.25 2.0 1.1) m, left front height (1.1 3.6 2.6) m (computed)",
            computed: || {
                example([2.25, 2.0, 1.1])
                    .elevation(&point([1.1, 3.6, 2.6]))
                    .value()
                    / DEGREE
            },
            expected: 37.280_727_29,
            tolerance: 1e-6,
            unit: "°",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

/// What is judged, between which limits.
struct Question {
    value: Uncertain,
    low: LimitValue,
    high: LimitValue,
    side_view: bool,
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut found = Vec::new();
    for audience in audiences(analysis, space) {
        found.extend(questions(&CHECK, space, &audience));
        let own = [&ELEVATION_TOLERANCE, &SURROUND_ELEVATION_MAX];
        let [tolerance, most] = own.map(|limit| analysis.limit(limit).value);
        found.reserve(audience.channels.len() * audience.seats.len());
        for channel in &audience.channels {
            let here = (analysis, space);
            let at_seat = |ears: &Ears<'_>| {
                let limits = [tolerance, most, ears.allowance(analysis)];
                channel.heard(&CHECK, here, ears, &limits, &[], || {
                    let question = question(analysis, channel, ears)?;
                    Some(CHECK.about(space, channel.subject(ears), || {
                        Ok(decide(analysis, space, channel, ears, question))
                    }))
                })
            };
            found.extend(audience.seats.iter().filter_map(at_seat));
        }
    }
    found
}

/// The angles up that a position allows, and whether they are seen from the side.
pub(crate) struct Heights {
    pub low: LimitValue,
    pub high: LimitValue,
    pub side_view: bool,
}

/// The angles up that a position allows at the main seat; nothing where nobody limits them.
pub(crate) fn heights(analysis: &Analysis, position: &Position) -> Option<Heights> {
    if let Some(limit) = position.overhead_limit {
        let end = |value| LimitValue {
            value,
            source: Source::CommonPractice,
        };
        return Some(Heights {
            low: end(limit.range.min.0),
            high: end(limit.range.max.0),
            side_view: true,
        });
    }
    let limit = position.elevation_limit?;
    let published = matches!(limit.source, LayoutSource::Bs2051 { .. });
    let tolerance = analysis.limit(&ELEVATION_TOLERANCE);
    let (low, high) = if published {
        let end = |value| LimitValue {
            value,
            source: Source::Published { work: LAYOUT_WORK },
        };
        (end(limit.range.min.0), end(limit.range.max.0))
    } else {
        let nominal = position.elevation.map_or(0.0, |angle| angle.0);
        let end = |value| LimitValue {
            value,
            source: tolerance.source.clone(),
        };
        let high = if is_surround(position) {
            analysis.limit(&SURROUND_ELEVATION_MAX)
        } else {
            end(nominal + tolerance.value)
        };
        (end(nominal - tolerance.value), high)
    };
    Some(Heights {
        low,
        high,
        side_view: false,
    })
}

fn question(analysis: &Analysis, channel: &Channel<'_>, ears: &Ears<'_>) -> Option<Question> {
    let Heights {
        low,
        high,
        side_view,
    } = heights(analysis, &channel.position)?;
    let inputs = ears.inputs(&channel.at);
    let value = match side_view {
        true => analysis.remembered("overhead", &inputs, || ears.overhead(&channel.at)),
        false => analysis.remembered("elevation", &inputs, || ears.elevation(&channel.at)),
    };
    Some(Question {
        value,
        low,
        high,
        side_view,
    })
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    channel: &Channel<'_>,
    ears: &Ears<'_>,
    question: Question,
) -> Outcome {
    let Question {
        value,
        low,
        high,
        side_view,
    } = question;
    let main_range = [low.value, high.value];
    let allowance = ears.allowance(analysis);
    let [low_rad, high_rad] = [low.value - allowance, high.value + allowance];
    let low = LimitValue {
        value: low_rad,
        ..low
    };
    let high = LimitValue {
        value: high_rad,
        ..high
    };
    if analysis.is_trial() {
        return Outcome::between(value, &low, &high, Dimension::Angle);
    }
    let sentence = format!(
        "Seat {} hears {}{} ({} of the layout) from {} {}; it should be {}.{}",
        ears.seat.id,
        item_label(channel.item),
        match analysis.pulled_down_m(channel.item) > 0.0 {
            true => ", pulled down,",
            false => "",
        },
        channel.position.channel,
        analysis.angle(&value.abs()),
        match (side_view, value.value() < 0.0) {
            (true, _) => "up from straight ahead",
            (false, true) => "below ear height",
            (false, false) => "above ear height",
        },
        between(analysis, main_range[0], main_range[1], side_view),
        ears.remark(analysis),
    );
    let outcome = Outcome::between(value, &low, &high, Dimension::Angle);
    if !outcome.asks_for_remedies(analysis) {
        return outcome.because(sentence);
    }
    let expanded = COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
    let (ear, at, faced) = (
        ears.place.ear.value(),
        channel.at.value(),
        ears.faced.value(),
    );
    let now_m = heard(ear, faced, at).map_or(1.0, |direction| direction.distance.0);
    let angle = |direction: &Direction| {
        if side_view {
            direction.overhead().0
        } else {
            direction.elevation.0
        }
    };
    let margin =
        |direction: &Direction| (angle(direction) - low_rad).min(high_rad - angle(direction));
    let good = |ear: [f64; 3], at: [f64; 3]| {
        heard(ear, faced, at).is_some_and(|direction| {
            // What is nearer is known less well as an angle.
            let spread = expanded * (now_m / direction.distance.0).max(1.0) * 1.25;
            margin(&direction) > spread
        })
    };
    // What serves a side seat must not spoil the seat that the layout is meant for.
    let keeps_main = |at: [f64; 3]| {
        let inside = |ear: [f64; 3], at: [f64; 3]| {
            heard(ear, faced, at).is_some_and(|direction| {
                (main_range[0]..=main_range[1]).contains(&angle(&direction))
            })
        };
        ears.main_ear
            .is_none_or(|main| inside(main, at) || !inside(main, channel.at.value()))
    };
    let tracks = Track::of_item(analysis, channel.item, &channel.at);
    let of_item = (tracks.iter())
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

/// A range of heights, each end said to be above or below the ear.
fn between(analysis: &Analysis, low_rad: f64, high_rad: f64, side_view: bool) -> String {
    let [low, high] =
        [low_rad, high_rad].map(|angle| analysis.exact(angle.abs(), Dimension::Angle));
    match (side_view, low_rad < 0.0, high_rad <= 0.0) {
        (true, ..) => format!("between {low} and {high} up"),
        (false, true, true) => format!("between {high} and {low} below"),
        (false, true, false) => format!("between {low} below and {high} above"),
        (false, false, _) => format!("between {low} and {high} above"),
    }
}

#[cfg(test)]
mod tests {
    //! A surround on the side wall 2 m from the head, a front channel and an overhead.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_ceiling, in_wall};
    use crate::testing::{findings, findings_after, told};

    /// Square to the left of the head, 2 m away: el = atan((height − 1.1 m) / 2 m).
    fn surround(height: &str) -> String {
        cinema("7.1", &in_wall("left-surround", "south", "3 m", height))
    }

    /// On the line 1.5 m to the left of the head, in the ceiling 1.3 m above the ear.
    fn overhead(from_west: &str) -> String {
        cinema("7.1.4", &in_ceiling("top-front-left", from_west, "2 m"))
    }

    fn verdict(text: &str) -> Verdict {
        findings(&CHECK, text)[0].verdict
    }

    #[test]
    fn a_surround_a_little_above_the_ear_fits() {
        // atan(0.3 / 2) = 8.53°.
        expect![[r#"
            left-surround at seat sofa: fits +0.113: Seat sofa hears left-surround (M+090 of the layout) from 8.5° above ear height; it should be between 5° below and 15° above.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &surround("1.4 m"))));
    }

    #[test]
    fn fifteen_degrees_is_the_end() {
        // 1.1 m + 2 m · tan 15° = 1.636 m; the ear's ±6 mm are 0.17°.
        assert_eq!(verdict(&surround("1.60 m")), Verdict::Fits);
        assert_ne!(verdict(&surround("1.634 m")), Verdict::Fails);
        assert_eq!(verdict(&surround("1.638 m")), Verdict::Fails);
        // 1.1 m − 2 m · tan 5° = 0.925 m.
        assert_ne!(verdict(&surround("0.927 m")), Verdict::Fails);
        assert_eq!(verdict(&surround("0.923 m")), Verdict::Fails);
        let own = "[rules]\nsurround_elevation_max = \"20 deg\"\nreason.surround_elevation_max = \"window\"\n";
        assert_eq!(verdict(&(surround("1.638 m") + own)), Verdict::Fits);
    }

    #[test]
    fn an_overhead_has_the_printed_range() {
        // el 30° to 55°: 1.3 m / tan 55° = 0.910 m to 1.3 m / tan 30° = 2.252 m away in plan.
        assert_ne!(verdict(&overhead("2.085 m")), Verdict::Fails);
        assert_eq!(verdict(&overhead("2.095 m")), Verdict::Fails);
        assert_ne!(verdict(&overhead("0.753 m")), Verdict::Fails);
        assert_eq!(verdict(&overhead("0.743 m")), Verdict::Fails);
    }

    #[test]
    fn a_lone_overhead_pair_is_judged_in_the_side_view() {
        // 65° up from straight ahead: 1.3 m / tan 65° = 0.606 m before the head.
        let pair =
            |from_west: &str| cinema("5.1.2", &in_ceiling("top-middle-left", from_west, "3 m"));
        assert_eq!(verdict(&pair("2.9 m")), Verdict::Fits);
        assert_eq!(verdict(&pair("2.38 m")), Verdict::Fails);
    }

    #[test]
    fn an_ear_height_that_nobody_measured_makes_the_edge_tight() {
        // ±8 cm at 2 m are 2.2°.
        let text = surround("1.6 m").replace("eye = \"1.1 m\"\n", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Tight);
    }

    #[test]
    fn without_a_height_nothing_is_claimed() {
        let text = surround("?");
        assert_eq!(verdict(&text), Verdict::Unknown);
    }

    /// A bar on the arm of a display before the west wall, the head 3 m from that: its middle
    /// as high as this while parked.
    fn on_arm(height: &str, pull_down: &str) -> String {
        let items = format!(
            r#"
[[kit.mount]]
id = "arm-m1"
standoff = "100 mm"
reach = "600 mm"
pull_down = "{pull_down}"
[[kit.loudspeaker]]
id = "bar-b1"
form = "bar"
size = ["1 m", "100 mm", "100 mm"]
[[kit.display]]
id = "display-d1"
diagonal = "1.4 m"
size = ["1.2 m", "0.7 m", "50 mm"]
[[item]]
id = "arm"
is = "arm-m1"
on = {{ wall = "west", from_left = "2 m", height = "1.9 m" }}
[[item]]
id = "tv"
is = "display-d1"
mount = "arm"
on = {{ wall = "west", from_left = "2 m", height = "1.9 m" }}
[[item]]
id = "bar"
is = "bar-b1"
mount = "arm"
zone = "film"
channel = "centre"
on = {{ wall = "west", from_left = "2 m", height = "{height}" }}
"#
        );
        cinema("5.1", &items)
    }

    #[test]
    fn a_bar_on_an_arm_is_heard_where_it_is_watched() {
        // Parked at 1.5 m and 0.2 m before the wall: atan(0.4 / 2.8) = 8.1° up. Pulled 0.5 m
        // down and out to 0.6 m + 0.1 m: atan(−0.1 / 2.3) = −2.5°.
        let told = told(&findings(&CHECK, &on_arm("1.5 m", "500 mm")));
        expect![[r#"
            bar at seat sofa: fits +0.044: Seat sofa hears bar, pulled down, (M+000 of the layout) from 2.5° below ear height; it should be between 5° below and 5° above.
        "#]]
        .assert_eq(&told);
        // 5° at 2.3 m are 0.201 m: the parked middle between 1.399 m and 1.801 m.
        assert_ne!(verdict(&on_arm("1.410 m", "500 mm")), Verdict::Fails);
        assert_eq!(verdict(&on_arm("1.395 m", "500 mm")), Verdict::Fails);
        assert_ne!(verdict(&on_arm("1.795 m", "500 mm")), Verdict::Fails);
        assert_eq!(verdict(&on_arm("1.805 m", "500 mm")), Verdict::Fails);
        // What does not move is heard where it hangs.
        assert_eq!(verdict(&on_arm("1.5 m", "0 mm")), Verdict::Fails);
    }

    #[test]
    fn what_hangs_on_an_arm_moves_with_all_that_hangs_there() {
        let text = on_arm("1.9 m", "500 mm");
        let found = findings(&CHECK, &text);
        let remedy = &found[0].remedies[0];
        assert!(
            remedy
                .says
                .starts_with("Lower bar together with arm and tv by ")
                && remedy.says.ends_with(" above the floor while parked."),
            "{}",
            remedy.says
        );
        let moved: Vec<&str> = remedy.edits.iter().map(|edit| edit.at.as_str()).collect();
        assert_eq!(
            moved,
            [
                "item.bar.on.height",
                "item.arm.on.height",
                "item.tv.on.height"
            ]
        );
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
    }

    #[test]
    fn each_remedy_mends_it_alone() {
        for text in [
            surround("2.1 m"),
            surround("0.5 m"),
            overhead("2.6 m"),
            overhead("0.3 m"),
        ] {
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
            assert!(!found[0].remedies.is_empty(), "{}", told(&found));
            for remedy in &found[0].remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
            }
        }
    }

    #[test]
    fn a_high_surround_is_told_how_far_to_come_down() {
        let found = findings(&CHECK, &surround("2.1 m"));
        let says = &found[0].remedies[0].says;
        assert!(says.starts_with("Lower left-surround by "), "{says}");
    }
}
