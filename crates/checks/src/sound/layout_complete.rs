//! Is there a loudspeaker for each channel that the zone's layout names?

use std::collections::BTreeSet;

use acoustics::layout::{self, Promised};
use analysis::{Analysis, Means, Missing, Parts, Source, item_label};
use model::{Item, LoudspeakerForm, LoudspeakerKit, Space, Zone};

use crate::listening::{position, zone_label};
use crate::whole::counted;
use crate::{Area, Check, Finding, Known, Outcome, Published, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "layout-complete",
    area: Area::Sound,
    proves: "Each channel of the layout that a zone is sold as is played by a loudspeaker of that zone.",
    matters: "What was mixed for a loudspeaker that is not there goes to others or is lost: the customer paid for rain overhead and hears it from the front.",
    formula: "missing = channels of the layout that no loudspeaker of the zone plays. A name of the trade, mains.subwoofers.overheads, asks for that many of each, a name of ITU-R BS.2051 for its table. A low-frequency channel is played by any subwoofer of the zone, one each, or by a loudspeaker that names it. A bar that asks for three amplifier channels or more, or for none, plays left, centre and right (common practice). A zone whose loudspeakers name three channels or more without a layout is asked for one; other zones without a layout play music and are left alone. The limit is nothing.",
    source: Source::Published {
        work: super::channel_azimuth::LAYOUT_WORK,
    },
    when_it_fails: "Add the loudspeakers that are named, or write the layout that the customer gets.",
    limits: &[],
    published: &[
        Published {
            cite: "ITU-R BS.2051-2 system 4+5+0: ten channels, the low-frequency one among them",
            computed: || count("4+5+0"),
            expected: 10.0,
            tolerance: 0.0, // Rows of a table.
            unit: "1",
        },
        Published {
            cite: "ITU-R BS.2051-2 system 9+10+3: 24 channels, two of low frequency",
            computed: || count("9+10+3"),
            expected: 24.0,
            tolerance: 0.0,
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn count(layout: &str) -> f64 {
    layout::promised(layout).map_or(f64::NAN, |all| all.len() as f64)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let asked: Vec<&Zone> = (analysis.zones())
        .filter(|zone| zone.space == space.id && is_asked(analysis, zone))
        .collect();
    if asked.is_empty() {
        return Vec::new();
    }
    vec![CHECK.about(space, Subject::space(space), || decide(analysis, &asked))]
}

/// Whether a zone claims a layout, or looks as if it had one that nobody wrote down.
fn is_asked(analysis: &Analysis, zone: &Zone) -> bool {
    let channels = || {
        let named = |(item, _): (&Item, _)| item.channel.clone();
        let all: BTreeSet<String> = analysis.loudspeakers_of(zone).filter_map(named).collect();
        all.len()
    };
    zone.layout.is_some() || channels() >= 3
}

fn decide(analysis: &Analysis, zones: &[&Zone]) -> Known<Outcome> {
    let mut missing = 0_usize;
    let mut told = Vec::new();
    for zone in zones {
        let layout = zone.layout.as_deref().ok_or_else(|| {
            let what = format!("the layout of {}", zone_label(zone));
            Missing::new(what, format!("zone.{}.layout", zone.id), Means::Decide)
        })?;
        let lacks = lacking(analysis, zone, layout)?;
        told.push(match lacks.as_slice() {
            [] => format!(
                "{} has a loudspeaker for each channel of layout {layout}.",
                capital(&zone_label(zone)),
            ),
            lacks => format!(
                "{} is called {layout}, and no loudspeaker of it plays {}.",
                capital(&zone_label(zone)),
                lacks.join(", "),
            ),
        });
        missing += lacks.len();
    }
    Ok(counted(missing, 0, CHECK.source.clone()).because(told.join(" ")))
}

/// The names of the channels of a layout that no loudspeaker of the zone plays.
fn lacking(analysis: &Analysis, zone: &Zone, layout: &str) -> Known<Vec<String>> {
    let mut open = layout::promised(layout).map_err(|error| {
        let what = format!("a layout of {}: {error}", zone_label(zone));
        Missing::new(what, format!("zone.{}.layout", zone.id), Means::Decide)
    })?;
    let mut silent = None;
    for (item, kit) in analysis.loudspeakers_of(zone) {
        if kit.form == Some(LoudspeakerForm::Subwoofer) {
            take(&mut open, Promised::is_low_frequency);
            continue;
        }
        if item.channel.is_none() && !plays_the_front(kit) {
            silent = silent.or(Some(item));
            continue;
        }
        if plays_the_front(kit) {
            for channel in ["left", "centre", "right"] {
                if let Ok(front) = layout::position(layout, channel) {
                    take(&mut open, |own| own.is_played_by(&front));
                }
            }
        }
        // A channel that the layout has not is what the other checks ask about.
        if let Ok(played) = position(zone, layout, item) {
            take(&mut open, |own| own.is_played_by(&played));
        }
    }
    match silent {
        Some(item) if !open.is_empty() => {
            let what = format!("the channel that {} plays", item_label(item));
            let at = format!("item.{}.channel", item.id);
            Err(Missing::new(what, at, Means::Decide))
        }
        _ => Ok(open.iter().map(Promised::name).collect()),
    }
}

/// Takes the first that is meant off a list.
fn take(open: &mut Vec<Promised>, is_meant: impl Fn(&Promised) -> bool) {
    if let Some(at) = open.iter().position(is_meant) {
        open.remove(at);
    }
}

/// Whether a loudspeaker is a bar with the three front channels in it.
fn plays_the_front(kit: &LoudspeakerKit) -> bool {
    kit.form == Some(LoudspeakerForm::Bar) && !matches!(kit.channels, None | Some(1 | 2))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

#[cfg(test)]
mod tests {
    //! The test cinema with in-wall loudspeakers of given channels.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_wall};
    use crate::testing::{findings, told};

    const FRONT: [&str; 3] = ["left", "centre", "right"];
    const FIVE: [&str; 6] = [
        "left",
        "centre",
        "right",
        "left-surround",
        "right-surround",
        "lfe",
    ];

    fn playing(layout: &str, channels: &[&str], more: &str) -> String {
        let items: String = (channels.iter())
            .map(|channel| in_wall(channel, "west", "2 m", "1.1 m"))
            .collect();
        cinema(layout, &(items + more))
    }

    fn verdict(text: &str) -> Verdict {
        let found = findings(&CHECK, text);
        assert_eq!(found.len(), 1, "{}", told(&found));
        found[0].verdict
    }

    #[test]
    fn all_channels_fit_and_one_less_fails() {
        assert_eq!(verdict(&playing("5.1", &FIVE, "")), Verdict::Fits);
        for index in 0..FIVE.len() {
            let mut less = FIVE.to_vec();
            less.remove(index);
            assert_eq!(
                verdict(&playing("5.1", &less, "")),
                Verdict::Fails,
                "{index}"
            );
        }
        // More than the layout has harms nothing.
        let more = [&FIVE[..], &["left-wide"]].concat();
        assert_eq!(verdict(&playing("5.1", &more, "")), Verdict::Fits);
    }

    #[test]
    fn what_is_missing_is_named_and_counted() {
        let tops = ["top-front-left", "top-front-right"];
        let found = findings(&CHECK, &playing("5.1.4", &[&FIVE[..], &tops].concat(), ""));
        expect![[r#"
            den: fails -2.000: Zone film is called 5.1.4, and no loudspeaker of it plays top-back-left, top-back-right.
        "#]]
        .assert_eq(&told(&found));
        assert_eq!(found[0].value.as_ref().unwrap().value(), 2.0);
        assert_eq!(found[0].limit, Some(0.0));
        expect![[r#"
            den: fails -2.000: Zone film is called 7.1, and no loudspeaker of it plays left-back, right-back.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &playing("7.1", &FIVE, ""))));
    }

    #[test]
    fn a_pair_may_stand_in_either_of_two_places() {
        let seven = [&FIVE[..], &["left-back", "right-back"]].concat();
        let with = |tops: [&str; 2]| verdict(&playing("7.1.2", &[&seven[..], &tops].concat(), ""));
        assert_eq!(with(["top-front-left", "top-front-right"]), Verdict::Fits);
        assert_eq!(with(["top-middle-left", "top-middle-right"]), Verdict::Fits);
        assert_eq!(with(["top-middle-left", "top-front-left"]), Verdict::Fails);
    }

    #[test]
    fn a_subwoofer_is_the_low_frequency_channel_whatever_it_names() {
        let sub = |id: &str| {
            format!("[[item]]\nid = \"{id}\"\nis = \"sub-s1\"\nspace = \"den\"\nzone = \"film\"\n")
        };
        let kit = "[[kit.loudspeaker]]\nid = \"sub-s1\"\nform = \"subwoofer\"\nchannels = 0\n";
        let five = &FIVE[..5];
        let one = kit.to_owned() + &sub("sub-a");
        assert_eq!(verdict(&playing("5.1", five, &one)), Verdict::Fits);
        assert_eq!(verdict(&playing("5.0", five, "")), Verdict::Fits);
        assert_eq!(verdict(&playing("5.2", five, &one)), Verdict::Fails);
        let two = one + &sub("sub-b");
        assert_eq!(verdict(&playing("5.2", five, &two)), Verdict::Fits);
    }

    #[test]
    fn a_bar_of_three_channels_is_the_front() {
        let bar = |channels: u32| {
            let rest = &FIVE[3..];
            playing(
                "5.1",
                rest,
                &format!(
                    "[[kit.loudspeaker]]\nid = \"bar-b1\"\nform = \"bar\"\nchannels = {channels}\n[[item]]\nid = \"bar\"\nis = \"bar-b1\"\nspace = \"den\"\nzone = \"film\"\nchannel = \"centre\"\n"
                ),
            )
        };
        assert_eq!(verdict(&bar(3)), Verdict::Fits);
        assert_eq!(verdict(&bar(0)), Verdict::Fits);
        assert_eq!(verdict(&bar(2)), Verdict::Fails);
    }

    #[test]
    fn a_layout_that_is_not_written_is_asked_for() {
        let without =
            |channels: &[&str]| playing("5.1", channels, "").replace("layout = \"5.1\"\n", "");
        let found = findings(&CHECK, &without(&FRONT));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "zone.film.layout");
        // A pair plays music.
        assert!(findings(&CHECK, &without(&["left", "right"])).is_empty());
        let found = findings(&CHECK, &playing("6.1", &FIVE, ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
    }

    #[test]
    fn a_channel_that_nobody_wrote_may_be_the_missing_one() {
        let text = playing("5.1", &FIVE, "").replace("channel = \"left\"\n", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "item.left.channel");
    }
}
