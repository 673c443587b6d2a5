//! Does the sound of what is watched meet its picture?

use analysis::{Analysis, Known, Limit, Means, Missing, Source, Uncertain, item_label};
use links::sync::{ACCEPTABLE, DETECTABLE, SPEED_OF_SOUND_M_S, sound_after_picture};
use model::{Edit, Item, Kit};
use units::{Dimension, Metres, Seconds};

use crate::listening::main_seat;
use crate::playing::Playing;
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

static SOUND_EARLY_MAX: Limit = Limit {
    name: "sound_early_max",
    meaning: "how long before its picture sound may be heard",
    dimension: Dimension::Time,
    value: ACCEPTABLE.early.0,
    source: Source::Published {
        work: "ITU-R BT.1359-1, recommends 2: acceptable",
    },
    regional: &[],
};

static SOUND_LATE_MAX: Limit = Limit {
    name: "sound_late_max",
    meaning: "how long after its picture sound may be heard",
    dimension: Dimension::Time,
    value: ACCEPTABLE.late.0,
    source: Source::Published {
        work: "ITU-R BT.1359-1, recommends 2: acceptable",
    },
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "sound-to-picture",
    area: Area::Signal,
    proves: "At the main seat, the sound of each activity with a picture is neither too early nor too late for it.",
    matters: "Lips that move before or after the words: everybody sees it, nobody knows which menu mends it.",
    formula: "t = t_s + t_d + d/c − t_p; t_p: delays that the picture passes behind its source, s; t_s: delays that the sound passes behind its source, s; t_d: delay set in one of them, s; d: from the nearest loudspeaker of the zone to the main seat, m; c = 343.2 m/s. Fits from 45 ms early to 125 ms late, where the difference can't be detected; tight up to 90 ms early and 185 ms late, which is still accepted.",
    source: Source::Published {
        work: "ITU-R BT.1359-1, considering g and recommends 2",
    },
    when_it_fails: "Set the sound's delay in the receiver, or a quicker picture mode.",
    limits: &[&SOUND_EARLY_MAX, &SOUND_LATE_MAX],
    published: &[
        Published {
            cite: "one frame of film at 24 Hz is 41.667 ms, as long as sound takes for 14.3 m (computed)",
            computed: || after_ms(0.0, 0.0, 14.3),
            expected: 41.667,
            tolerance: 5e-3, // 14.3 m is printed to a decimetre; this is the third decimal.
            unit: "ms",
        },
        Published {
            cite: "sound can be 45 ms early before it is detected (ITU-R BT.1359-1, considering g)",
            computed: || DETECTABLE.early.0 * 1e3,
            expected: 45.0,
            tolerance: 0.0, // A whole number as printed.
            unit: "ms",
        },
    ],
    run: Run::House(run),
};

fn after_ms(sound_s: f64, picture_s: f64, distance_m: f64) -> f64 {
    sound_after_picture(Seconds(sound_s), Seconds(picture_s), Metres(distance_m))
        .map_or(f64::NAN, |after| after.0 * 1e3)
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    (Playing::all(analysis).into_iter())
        .filter_map(|(activity, playing)| Some((activity, playing.ok()?)))
        .filter(|(_, playing)| !playing.picture.is_empty())
        .map(|(activity, playing)| {
            let subject = Subject::new(format!("activity.{}", activity.id), activity.label());
            CHECK.about_house(subject, || decide(analysis, &playing))
        })
        .collect()
}

/// A picture's or a sound's delay through a thing.
fn delay(analysis: &Analysis, item: &Item, of: &str) -> Known<Uncertain> {
    let kit = analysis.kit_of(item);
    let stated = kit.and_then(|kit| match of {
        "picture" => analysis.number(kit.common().picture_delay.as_ref()),
        _ => analysis.number(kit.common().sound_delay.as_ref()),
    });
    stated.ok_or_else(|| {
        let kind = kit.map_or("device", Kit::kind);
        Missing::new(
            format!("the time that {of} takes through {}", item.is),
            format!("kit.{kind}.{}.{of}_delay", item.is),
            Means::SpecSheet,
        )
    })
}

/// From the nearest loudspeaker to the main seat; where places are not known, what rooms have.
fn distance(analysis: &Analysis, playing: &Playing) -> Uncertain {
    let found = (playing.zones.iter()).find_map(|zone| {
        let space = analysis.space(&zone.space)?;
        let seat = analysis.seat(space, main_seat(space)?).ok()?;
        (analysis.loudspeakers_of(zone))
            .filter_map(|(item, kit)| analysis.loudspeaker(item, kit).ok())
            .map(|place| (&place.at - &seat.ear).norm())
            .reduce(|near, next| {
                if next.value() < near.value() {
                    next
                } else {
                    near
                }
            })
    });
    found.unwrap_or_else(|| {
        let id = &playing.activity.id;
        analysis.assumed(
            &format!("the distance from the loudspeakers to the main seat for {id}"),
            &format!("activity.{id}.zones"),
            3.0,
            2.0,
        )
    })
}

fn decide(analysis: &Analysis, playing: &Playing) -> Known<Outcome> {
    let source = playing.picture.first().map(|item| item.id.as_str());
    let behind = |row: &[&Item], of: &str| -> Known<Uncertain> {
        let mut sum = Uncertain::exact(0.0);
        for item in row.iter().filter(|item| Some(item.id.as_str()) != source) {
            sum = sum + delay(analysis, item, of)?;
        }
        Ok(sum)
    };
    let picture = behind(&playing.picture, "picture")?;
    let mut sound = behind(&playing.sound, "sound")?;
    for item in &playing.sound {
        if let Some(set) = analysis.number(item.sound_delay.as_ref()) {
            sound = sound + set;
        }
    }
    let flight = distance(analysis, playing) * (1.0 / SPEED_OF_SOUND_M_S);
    let after = &(&sound + &flight) - &picture;
    let label = playing.activity.label();
    let time = |seconds: f64| analysis.exact(seconds.abs(), Dimension::Time);
    let word = if after.value() < 0.0 {
        "before"
    } else {
        "after"
    };
    let sentence = format!(
        "{label}: the picture takes {}, the sound {} and {} through the air, so that it is heard {} {word} the picture.",
        time(picture.value()),
        time(sound.value()),
        time(flight.value()),
        time(after.value()),
    );
    let early = analysis.limit(&SOUND_EARLY_MAX);
    let late = analysis.limit(&SOUND_LATE_MAX);
    let low = analysis::LimitValue {
        value: -early.value,
        source: early.source.clone(),
    };
    // What is accepted and can be detected is tight.
    let comfort = if after.value() + early.value <= late.value - after.value() {
        (early.value - DETECTABLE.early.0).max(0.0)
    } else {
        (late.value - DETECTABLE.late.0).max(0.0)
    };
    let outcome = Outcome::between(after.clone(), &low, &late, Dimension::Time);
    Ok(outcome.comfort(comfort).because(sentence).remedy(set_delay(
        analysis,
        playing,
        after.value(),
    )))
}

/// The delay that makes both one, in the last thing that drives loudspeakers.
fn set_delay(analysis: &Analysis, playing: &Playing, after_s: f64) -> Option<Remedy> {
    let item = playing.sound.last()?;
    let own = (analysis.number(item.sound_delay.as_ref())).map_or(0.0, |own| own.value());
    let set_ms = ((own - after_s) * 1e3).round();
    let says = format!(
        "Set a delay of {set_ms:.0} ms for sound in {}.",
        item_label(item)
    );
    let at = format!("item.{}.sound_delay", item.id);
    (set_ms >= 0.0).then(|| Remedy::new(says, vec![Edit::set(at, format!("{set_ms:.0} ms"))]))
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::super::activity_path::{TO_TV, house};
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// Sound through the receiver takes 10 ms and 3 m of air 8.74 ms.
    fn slow(picture_ms: f64) -> String {
        house(TO_TV)
            .replace(
                "id = \"receiver-a7\"",
                "id = \"receiver-a7\"\npicture_delay = \"0 ms\"\nsound_delay = \"10 ms\"",
            )
            .replace(
                "id = \"display-t4\"",
                &format!("id = \"display-t4\"\npicture_delay = \"{picture_ms} ms\""),
            )
    }

    #[test]
    fn a_quick_picture_fits() {
        let found = findings(&CHECK, &slow(40.0));
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", found[0].because);
        // 10 + 3/343.2 s − 40 ms, by hand.
        let value = found[0].value.as_ref().map(|value| value.value());
        assert!((value.unwrap() - (0.010 + 3.0 / 343.2 - 0.040)).abs() < 1e-12);
    }

    #[test]
    fn what_can_be_detected_is_tight_and_what_is_not_accepted_fails() {
        assert_eq!(findings(&CHECK, &slow(80.0))[0].verdict, Verdict::Tight);
        // 18.74 − 108 = −89.3 ms is within 90, 18.74 − 109 = −90.3 is not.
        assert_eq!(findings(&CHECK, &slow(108.0))[0].verdict, Verdict::Tight);
        assert_eq!(findings(&CHECK, &slow(109.0))[0].verdict, Verdict::Fails);
    }

    #[test]
    fn a_delay_in_the_receiver_mends_it() {
        let text = slow(150.0);
        let found = findings(&CHECK, &text);
        expect![[r#"
            Watch a film: fails -0.041: Watch a film: the picture takes 150 ms, the sound 10 ms and 8.74 ms through the air, so that it is heard 131 ms before the picture.
        "#]]
        .assert_eq(&told(&found));
        let remedy = &found[0].remedies[0];
        assert_eq!(remedy.says, "Set a delay of 131 ms for sound in receiver.");
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let found = findings(&CHECK, &house(TO_TV));
        assert_eq!(
            found[0].needs[0].at,
            "kit.amplifier.receiver-a7.picture_delay"
        );
    }
}
