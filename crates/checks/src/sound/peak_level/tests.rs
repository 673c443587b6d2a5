//! A loudspeaker 3 m before the head, told by the inverse square law.

use super::CHECK;
use crate::testing::{findings, findings_after, told};
use crate::{Finding, Verdict};

/// In the middle of the west wall at ear height: r = 3 m to the head.
fn theatre(sensitivity: &str, amplifier_w: u32, more: &str) -> String {
    format!(
        r#"
[[space.seat]]
id = "sofa"
at = {{ from = ["west", "3 m"], and = ["north", "2 m"] }}
eye = "1.1 m"
{more}
[[kit.loudspeaker]]
id = "in-wall-w1"
form = "in-wall"
sensitivity = "{sensitivity}"
impedance = "8 ohm"
power_max = "300 W"
coverage = "90 deg"
[[kit.amplifier]]
id = "amplifier-a1"
channels = 5
power = "{amplifier_w} W"
into = "8 ohm"
[[item]]
id = "amplifier"
is = "amplifier-a1"
[[zone]]
id = "film"
space = "den"
layout = "5.1"
amplifiers = ["amplifier"]
[[item]]
id = "centre"
is = "in-wall-w1"
zone = "film"
channel = "centre"
on = {{ wall = "west", from_left = "2 m", height = "1.1 m" }}
"#
    )
}

fn decibels(finding: &Finding) -> f64 {
    finding.value.as_ref().unwrap().value()
}

const DEAD: &str = "finishes = { walls = \"glass_fibre_50_wall\", floor = \"glass_fibre_50_wall\", ceiling = \"glass_fibre_50_wall\" }";
const LIVE: &str = "finishes = { walls = \"gypsum-on-studs\", floor = \"wood-on-joists\", ceiling = \"gypsum-on-studs\" }";

fn with_finishes(text: &str, finishes: &str) -> String {
    text.replacen(
        "\n[[space.seat]]",
        &format!("\n{finishes}\n[[space.seat]]"),
        1,
    )
}

#[test]
fn the_direct_sound_is_the_inverse_square_law() {
    // 98 dB at 2.83 V into 8 Ω is 97.995 dB at 1 W; 200 W add 23.010, 3 m take 9.542 dB:
    // 111.463 dB, 6.46 above 105 dB.
    let found = findings(&CHECK, &theatre("98 dB", 200, ""));
    assert!(
        (decibels(&found[0]) - 111.463).abs() < 2e-3,
        "{}",
        told(&found)
    );
    assert_eq!(found[0].verdict, Verdict::Fits);
    assert!(found[0].because.contains("direct sound alone"));
}

#[test]
fn headroom_and_limit_each_decide() {
    // In a room that swallows all, the direct sound is everything: sensitivity + 13.463 dB.
    let verdict = |sensitivity: &str| {
        findings(&CHECK, &with_finishes(&theatre(sensitivity, 200, ""), DEAD))[0].verdict
    };
    assert_eq!(verdict("91.5 dB"), Verdict::Fails);
    assert_eq!(verdict("91.6 dB"), Verdict::Tight);
    assert_eq!(verdict("94.5 dB"), Verdict::Tight);
    assert_eq!(verdict("94.7 dB"), Verdict::Fits);
}

#[test]
fn a_live_room_adds_its_own_sound() {
    let dead = findings(&CHECK, &with_finishes(&theatre("90 dB", 200, ""), DEAD));
    let live = findings(&CHECK, &with_finishes(&theatre("90 dB", 200, ""), LIVE));
    let gain = decibels(&live[0]) - decibels(&dead[0]);
    // 1 kHz: A = 72 · 0.04 + 24 · 0.07 = 4.56 m², R = 4.79 m²; Q = 2/(1 − cos 45°) = 6.83:
    // 10 log((Q/4πr² + 4/R)/(Q/4πr²)) = 10 log(1 + 0.835/0.0604) = 11.7 dB.
    assert!((gain - 11.7).abs() < 0.1, "{gain}");
}

#[test]
fn a_shortfall_without_finishes_asks_for_them() {
    let found = findings(&CHECK, &theatre("88 dB", 100, ""));
    assert_eq!(found[0].verdict, Verdict::Unknown);
    assert!(found[0].needs[0].at.starts_with("space.den.finishes"));
}

#[test]
fn a_paced_seat_makes_the_edge_tight() {
    let text = theatre("95 dB", 200, "").replace("\"3 m\"", "\"3 m paced\"");
    let without_comfort =
        "[rules]\npeak_level_headroom = \"0 dB\"\npeak_level_min = \"108.3 dB\"\n";
    let found = findings(&CHECK, &with_finishes(&(text + without_comfort), DEAD));
    assert_eq!(found[0].verdict, Verdict::Tight, "{}", told(&found));
}

#[test]
fn missing_facts_are_named() {
    for (from, to, at) in [
        (
            "sensitivity = \"95 dB\"\n",
            "",
            "kit.loudspeaker.in-wall-w1.sensitivity",
        ),
        (
            "power_max = \"300 W\"\n",
            "",
            "kit.loudspeaker.in-wall-w1.power_max",
        ),
        (
            "power = \"200 W\"\n",
            "",
            "kit.amplifier.amplifier-a1.power",
        ),
        (
            "amplifiers = [\"amplifier\"]\n",
            "",
            "item.centre.driven_by",
        ),
    ] {
        let text = theatre("95 dB", 200, "").replace(from, to);
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown, "{from}");
        assert_eq!(found[0].needs[0].at, at);
    }
}

#[test]
fn the_zones_own_level_is_promised() {
    let text = theatre("98 dB", 200, "").replace(
        "layout = \"5.1\"\n",
        "layout = \"5.1\"\npeak_level = \"95 dB\"\n",
    );
    let found = findings(&CHECK, &text);
    assert_eq!(found[0].limit, Some(95.0));
}

#[test]
fn two_subwoofers_add_by_power() {
    let sub = |id: &str, from_left: &str| {
        format!(
            "[[item]]\nid = \"{id}\"\nis = \"sub-s1\"\nzone = \"film\"\nchannel = \"subwoofer\"\non = {{ wall = \"west\", from_left = \"{from_left}\", height = \"1.1 m\" }}\n"
        )
    };
    let kit = "[[kit.loudspeaker]]\nid = \"sub-s1\"\nform = \"subwoofer\"\nchannels = 0\nlevel_max = \"118 dB\"\nsize = [\"1 mm\", \"1 mm\", \"0 mm\"]\n";
    let one = theatre("98 dB", 200, "") + kit + &sub("sub", "2 m");
    let two = format!("{one}{}", sub("sub-two", "2 m"));
    let low = |text: &str| {
        let found = findings(&CHECK, text);
        let finding = found.into_iter().find(|found| found.limit == Some(115.0));
        decibels(&finding.expect("the subwoofers are judged"))
    };
    // 118 dB − 9.542 dB = 108.458 dB; twice that is 3.010 dB more.
    assert!((low(&one) - 108.458).abs() < 2e-3);
    assert!((low(&two) - 111.468).abs() < 2e-3);
}

#[test]
fn each_remedy_mends_it_alone() {
    for (sensitivity, watts, count) in [("94.4 dB", 100, 3), ("88 dB", 300, 1)] {
        let text = with_finishes(&theatre(sensitivity, watts, ""), DEAD);
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert_eq!(found[0].remedies.len(), count, "{:?}", found[0].remedies);
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{}: {}",
                remedy.says,
                told(&after)
            );
        }
    }
}
