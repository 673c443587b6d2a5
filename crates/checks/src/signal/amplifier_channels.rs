//! Has each amplifier a channel for every loudspeaker, and zones enough?

use analysis::{Analysis, Known, Source, Uncertain, item_label};
use model::{AmplifierKit, Edit, Kit};
use serde_json::Value;
use units::Dimension;

use crate::driven::{Driver, Drivers, another_amplifier, channels_words};
use crate::{Area, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "amplifier-channels",
    area: Area::Signal,
    proves: "Each amplifier has a channel for every loudspeaker that it drives, and plays as many zones at once as it feeds.",
    matters: "A loudspeaker is left over on the day of the fitting, or two rooms can only ever play the same.",
    formula: "Σ c ≤ C and z ≤ Z; c: channels that each loudspeaker asks for (1 when its sheet says nothing, 0 when it has its own amplifier), C: channels of the amplifier; z: zones that it feeds, Z: zones that it can play apart (1 when its sheet says nothing). A loudspeaker that names no amplifier takes the first of its zone's with channels left; where that leaves one over, every assignment is searched for one that leaves none, several alike (`count`) shared out over amplifiers one by one. The value is the share of channels or zones in use: all of them may be.",
    source: Source::SpecSheet,
    when_it_fails: "Add an amplifier for what is over, or feed one zone from an amplifier with channels to spare.",
    limits: &[],
    published: &[],
    run: Run::House(run),
};

fn run(analysis: &Analysis) -> Vec<Finding> {
    let all = Drivers::of(analysis);
    let mut findings = Vec::new();
    for driver in all.drivers.iter().filter(|driver| !driver.loads.is_empty()) {
        let subject = Subject::item(driver.item);
        if driver.zones.len() > 1 {
            let zones = Subject::new(
                format!("{}+zones", subject.id),
                format!("{}, zones", subject.label),
            );
            findings.push(CHECK.about_house(zones, || decide_zones(analysis, driver)));
        }
        findings.push(CHECK.about_house(subject, || decide(analysis, &all, driver)));
    }
    for (load, missing) in all.loose {
        findings.push(CHECK.about_house(Subject::item(load.item), || Err(missing)));
    }
    findings
}

/// `used` of `most`: using all of them fits, which half a one to spare says.
fn counted(used: u32, most: u32) -> Outcome {
    let (used, most) = (f64::from(used), f64::from(most));
    let spare = most - used;
    let margin = if spare < 0.0 { spare } else { spare + 0.5 };
    Outcome::with_margin(
        Uncertain::exact(used),
        most,
        Uncertain::exact(margin),
        Dimension::Factor,
        Source::SpecSheet,
    )
}

fn decide(analysis: &Analysis, all: &Drivers, driver: &Driver) -> Known<Outcome> {
    let (used, most) = (driver.used(), driver.channels()?);
    let sentence = format!(
        "{} has {} and drives {}: {used} in all.",
        item_label(driver.item),
        channels_words(most),
        driver.loads_words(),
    );
    let outcome = counted(used, most).because(sentence);
    if used <= most {
        return Ok(outcome);
    }
    Ok(outcome.mended(analysis, || {
        [
            another_amplifier(analysis, driver),
            zone_elsewhere(analysis, all, driver, used - most),
        ]
    }))
}

fn decide_zones(analysis: &Analysis, driver: &Driver) -> Known<Outcome> {
    let most = driver.kit.zones.unwrap_or(1).max(1);
    let used = driver.zones.len() as u32;
    let sentence = format!(
        "{} feeds {used} zones ({}) and can play {most} apart.{}",
        item_label(driver.item),
        driver.zones.join(", "),
        price_words(driver),
    );
    Ok(counted(used, most)
        .because(sentence)
        .mended(analysis, || [more_zones(analysis, driver, used)]))
}

/// What the further zones cost the one with the most channels: channels, and the share of the
/// power that all channels have together. An amplifier's channels draw on one supply; with fewer
/// of them playing each may peak higher, at most by 10 log₁₀ of their numbers' ratio.
fn price_words(driver: &Driver) -> String {
    let channels = |zone: &str| -> u32 {
        (driver.loads.iter())
            .filter(|load| load.item.zone.as_deref() == Some(zone))
            .map(|load| load.channels)
            .sum()
    };
    let taken: Vec<(&str, u32)> = (driver.zones.iter())
        .map(|zone| (*zone, channels(zone)))
        .collect();
    // The first of those with the most.
    let Some((main, own)) = taken
        .iter()
        .rev()
        .copied()
        .max_by_key(|(_, channels)| *channels)
    else {
        return String::new();
    };
    let others: u32 = taken.iter().map(|(_, channels)| channels).sum::<u32>() - own;
    if others == 0 || own == 0 {
        return String::new();
    }
    let peak_db = 10.0 * (f64::from(own + others) / f64::from(own)).log10();
    let left = match driver.kit.channels {
        Some(all) => format!(
            ", and leaves {} of {all} to spare",
            all.saturating_sub(own + others)
        ),
        None => String::new(),
    };
    format!(
        " That costs {main} {}{left}; while all play, its {own} share the amplifier's power with them: {peak_db:.1} dB less at most.",
        channels_words(others),
    )
}

/// The zone with the fewest channels that suffices, to an amplifier with as many to spare.
fn zone_elsewhere(
    analysis: &Analysis,
    all: &Drivers,
    driver: &Driver,
    over: u32,
) -> Option<Remedy> {
    let asked = |zone: &str| -> u32 {
        (driver.loads.iter())
            .filter(|load| load.item.zone.as_deref() == Some(zone))
            .filter(|load| load.item.driven_by.is_none())
            .map(|load| load.channels)
            .sum()
    };
    let room = |other: &Driver| other.kit.channels.unwrap_or(0).saturating_sub(other.used());
    let mut zones: Vec<(&str, u32)> = (driver.zones.iter())
        .map(|zone| (*zone, asked(zone)))
        .filter(|(_, channels)| *channels >= over)
        .collect();
    zones.sort_by_key(|(_, channels)| *channels);
    let (zone, channels, other) = zones.into_iter().find_map(|(zone, channels)| {
        let other = (all.drivers.iter())
            .filter(|other| other.item.id != driver.item.id)
            .find(|other| room(other) >= channels)?;
        Some((zone, channels, other))
    })?;
    let amplifiers = (analysis.zone(zone)?.amplifiers.iter())
        .map(|id| {
            if *id == driver.item.id {
                &other.item.id
            } else {
                id
            }
        })
        .map(|id| Value::from(id.as_str()))
        .collect::<Vec<Value>>();
    let says = format!(
        "Feed zone {zone} ({}) from {}, which has {} to spare.",
        channels_words(channels),
        item_label(other.item),
        room(other),
    );
    let edit = Edit::set(format!("zone.{zone}.amplifiers"), Value::Array(amplifiers));
    Some(Remedy::new(says, vec![edit]))
}

/// The catalogue's amplifier with as many channels and the fewest zones that suffice.
fn more_zones(analysis: &Analysis, driver: &Driver, zones: u32) -> Option<Remedy> {
    let suits = |kit: &&AmplifierKit| {
        kit.zones.unwrap_or(1) >= zones && kit.channels.unwrap_or(0) >= driver.used()
    };
    let kit = (analysis.catalogue().all())
        .filter_map(|kit| match kit {
            Kit::Amplifier(kit) => Some(kit),
            _ => None,
        })
        .filter(suits)
        .min_by_key(|kit| kit.zones.unwrap_or(1))?;
    let says = format!(
        "Use {} in place of {}: it plays {} zones apart.",
        kit.common.id,
        driver.item.is,
        kit.zones.unwrap_or(1),
    );
    let edit = Edit::set(
        format!("item.{}.is", driver.item.id),
        kit.common.id.as_str(),
    );
    Some(Remedy::new(says, vec![edit]))
}

#[cfg(test)]
mod tests {
    //! Two zones on one amplifier, with a second one beside it.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn house(channels: &str, more: &str) -> String {
        let mut text = format!(
            r#"
[[kit.amplifier]]
id = "amp-a7"
{channels}
[[kit.amplifier]]
id = "amp-a2"
channels = 2
zones = 1
[[kit.amplifier]]
id = "amp-a8"
channels = 8
zones = 3
[[kit.loudspeaker]]
id = "speaker-l1"
[[kit.loudspeaker]]
id = "bar-b3"
channels = 3
[[kit.loudspeaker]]
id = "sub-s1"
channels = 0
[[item]]
id = "amp"
is = "amp-a7"
[[zone]]
id = "film"
space = "den"
amplifiers = ["amp"]
[[zone]]
id = "kitchen"
space = "den"
amplifiers = ["amp"]
[[item]]
id = "bar"
is = "bar-b3"
zone = "film"
[[item]]
id = "sub"
is = "sub-s1"
zone = "film"
{more}
"#
        );
        for (id, zone) in [("left", "film"), ("right", "film"), ("cook", "kitchen")] {
            text += &format!("[[item]]\nid = \"{id}\"\nis = \"speaker-l1\"\nzone = \"{zone}\"\n");
        }
        text
    }

    #[test]
    fn all_channels_in_use_fit_and_one_more_fails() {
        let found = findings(&CHECK, &house("channels = 6\nzones = 2", ""));
        expect![[r#"
            amp, zones: fits +0.500: amp feeds 2 zones (film, kitchen) and can play 2 apart. That costs film 1 channel, and leaves 0 of 6 to spare; while all play, its 5 share the amplifier's power with them: 0.8 dB less at most.
            amp: fits +0.500: amp has 6 channels and drives bar (3 channels), left, right, cook: 6 in all.
        "#]]
        .assert_eq(&told(&found));
        let found = findings(&CHECK, &house("channels = 5", ""));
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert_eq!(found[1].verdict, Verdict::Fails);
    }

    #[test]
    fn the_second_amplifier_of_a_zone_takes_what_is_over() {
        let more = "[[item]]\nid = \"amp-rear\"\nis = \"amp-a2\"\n";
        let text = house("channels = 4", more).replace(
            "space = \"den\"\namplifiers = [\"amp\"]",
            "space = \"den\"\namplifiers = [\"amp\", \"amp-rear\"]",
        );
        let found = findings(&CHECK, &text);
        let told = told(&found);
        assert!(
            told.contains("amp has 4 channels and drives bar (3 channels), left: 4 in all."),
            "{told}"
        );
        assert!(
            told.contains("amp-rear has 2 channels and drives right, cook: 2 in all."),
            "{told}"
        );
    }

    #[test]
    fn taking_turns_may_leave_one_over_where_another_assignment_does_not() {
        // In turn, two single loudspeakers fill the first amplifier's four channels half, and
        // the bar of three finds no amplifier with three left.
        let text = r#"
[[kit.amplifier]]
id = "amp-a4"
channels = 4
[[kit.amplifier]]
id = "amp-a2"
channels = 2
[[kit.loudspeaker]]
id = "speaker-l1"
[[kit.loudspeaker]]
id = "bar-b3"
channels = 3
[[item]]
id = "first"
is = "amp-a4"
[[item]]
id = "second"
is = "amp-a2"
[[zone]]
id = "film"
space = "den"
amplifiers = ["first", "second"]
[[item]]
id = "left"
is = "speaker-l1"
zone = "film"
[[item]]
id = "right"
is = "speaker-l1"
zone = "film"
[[item]]
id = "bar"
is = "bar-b3"
zone = "film"
"#;
        let found = findings(&CHECK, text);
        assert!(
            found.iter().all(|one| one.verdict == Verdict::Fits),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn several_alike_are_shared_out_where_no_amplifier_has_room_for_all() {
        let text = r#"
[[kit.amplifier]]
id = "amp-a4"
channels = 4
zones = 2
[[kit.loudspeaker]]
id = "speaker-l1"
[[item]]
id = "first"
is = "amp-a4"
[[item]]
id = "second"
is = "amp-a4"
[[zone]]
id = "film"
space = "den"
amplifiers = ["first", "second"]
[[zone]]
id = "kitchen"
space = "den"
amplifiers = ["second"]
[[item]]
id = "ring"
is = "speaker-l1"
count = 6
zone = "film"
[[item]]
id = "cook"
is = "speaker-l1"
count = 2
zone = "kitchen"
"#;
        let found = findings(&CHECK, text);
        let told = told(&found);
        assert!(
            found.iter().all(|one| one.verdict == Verdict::Fits),
            "{told}"
        );
        assert!(
            told.contains("drives ring (4 channels): 4 in all"),
            "{told}"
        );
        assert!(
            told.contains("drives ring (2 channels), cook (2 channels): 4 in all"),
            "{told}"
        );
        // One more finds no channel.
        let more = text.replace("count = 6", "count = 7");
        let found = findings(&CHECK, &more);
        assert!(found.iter().any(|one| one.verdict == Verdict::Fails));
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let found = findings(&CHECK, &house("zones = 2", ""));
        assert_eq!(found[1].needs[0].at, "kit.amplifier.amp-a7.channels");
        let loose = "[[item]]\nid = \"porch\"\nis = \"speaker-l1\"\n";
        let found = findings(&CHECK, &house("channels = 6\nzones = 2", loose));
        let last = found.last().expect("the loose one");
        assert_eq!(last.verdict, Verdict::Unknown);
        assert_eq!(last.needs[0].at, "item.porch.zone");
    }

    #[test]
    fn each_remedy_mends_it() {
        let spare = "[[item]]\nid = \"amp-spare\"\nis = \"amp-a2\"\n";
        let text = house("channels = 5\nzones = 1", spare);
        let found = findings(&CHECK, &text);
        let says: Vec<&str> = (found.iter())
            .flat_map(|finding| &finding.remedies)
            .map(|remedy| remedy.says.as_str())
            .collect();
        assert_eq!(
            says,
            [
                "Use amp-a8 in place of amp-a7: it plays 3 zones apart.",
                "Add an amplifier amp-a2 (2 channels) for cook.",
                "Feed zone kitchen (1 channel) from amp-spare, which has 2 to spare.",
            ]
        );
        for finding in &found {
            for remedy in &finding.remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                let own = after
                    .iter()
                    .find(|after| after.subject.id == finding.subject.id);
                let verdict = own.map_or(Verdict::Fits, |own| own.verdict);
                assert_eq!(verdict, Verdict::Fits, "{}", remedy.says);
            }
        }
    }
}
