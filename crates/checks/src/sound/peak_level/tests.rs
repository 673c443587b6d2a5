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
    // 1 kHz: A = 72 · 0.04 + 24 · 0.07 = 4.56 m², R = 4.79 m²; Q of 90° in a wall, summed over
    // 200,000 rings elsewhere, 9.629: 10 log(1 + (4/R)/(Q/4πr²)) = 10.34 dB.
    assert!((gain - 10.34).abs() < 0.05, "{gain}");
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

/// As [`theatre`] with the loudspeaker 1.5 m along its wall: 26.565° off its axis, √11.25 m away.
fn aside(sensitivity: &str, facts: &str) -> String {
    theatre(sensitivity, 200, "")
        .replace("from_left = \"2 m\"", "from_left = \"3.5 m\"")
        .replace("coverage = \"90 deg\"\n", facts)
}

#[test]
fn a_dome_tells_nothing_of_an_octave_that_it_does_not_play() {
    let level = |sheet: &str| {
        let found = findings(&CHECK, &aside("100 dB", sheet));
        (decibels(&found[0]), found[0].uncertainty().unwrap())
    };
    let (stated, usual) = (level("coverage = \"90 deg\"\n"), level(""));
    let dome = "driver = \"25 mm\"\n";
    assert_eq!(level(&format!("coverage = \"90 deg\"\n{dome}")), stated);
    assert_eq!(level(dome), usual);
    assert!(usual.1 > stated.1 + 0.5);
    // From 50 mm on it is a cone that plays 1 kHz as well.
    assert_eq!(level("driver = \"49 mm\"\n"), usual);
    assert!(level("driver = \"50 mm\"\n").0 > usual.0 + 1.5);
}

#[test]
fn what_it_sends_off_its_axis_is_less() {
    // 111.463 dB at 3 m on the axis of the case above; √11.25 m take 0.969 dB more, and 26.565°
    // of a coverage of 90° 6.0206 · (2 · 26.565/90)² = 2.098 dB.
    let found = findings(&CHECK, &aside("98 dB", "coverage = \"90 deg\"\n"));
    assert!(
        (decibels(&found[0]) - 108.396).abs() < 3e-3,
        "{}",
        told(&found)
    );
    assert!(
        found[0]
            .because
            .contains("sends 2.1\u{202f}dB less that way"),
        "{}",
        told(&found)
    );
    // A cone of 130 mm at 1 kHz: x = 1.19 sin 26.565° = 0.532, 2 J1(x)/x = 0.965: 0.309 dB.
    let cone = findings(&CHECK, &aside("98 dB", "driver = \"130 mm\"\n"));
    assert!(
        (decibels(&cone[0]) - 110.494 + 0.309).abs() < 0.02,
        "{}",
        told(&cone)
    );
    // Half way from 0 to −3 dB between 23.13° and 30°.
    let polar = "polar = \"\"\"\nfrequency_hz, around_deg, off_deg, level_db\n1000, 0, 0, 90\n1000, 0, 23.13, 90\n1000, 0, 30, 87\n1000, 0, 60, 82\n1000, 0, 90, 70\n1000, 0, 120, 70\n1000, 0, 150, 70\n1000, 0, 180, 70\n\"\"\"\n";
    let polar = findings(&CHECK, &aside("98 dB", polar));
    assert!(
        (decibels(&polar[0]) - 110.494 + 1.5).abs() < 0.02,
        "{}",
        told(&polar)
    );
}

#[test]
fn a_coverage_that_no_sheet_states_is_open() {
    let value = |facts: &str| {
        let found = findings(&CHECK, &aside("100 dB", facts));
        let value = found[0].value.clone().unwrap();
        (value.value(), 2.0 * value.standard_uncertainty())
    };
    let (stated, sure) = value("coverage = \"90 deg\"\n");
    let (usual, open) = value("");
    assert!((stated - usual).abs() < 1e-6);
    // dL/dφ = 2 · 2.098 dB / 90°, by 30°.
    let of_coverage = (open.powi(2) - sure.powi(2)).sqrt();
    assert!((of_coverage - 1.399).abs() < 0.01, "{of_coverage}");
}

#[test]
fn turned_drivers_mend_what_is_lost_off_the_axis() {
    let facts = "coverage = \"60 deg\"\nturns = \"30 deg\"\n";
    // 26.565° of 60° take 4.72 dB: 104.3 dB, and turned 109 dB.
    let text = with_finishes(&aside("96.5 dB", facts), DEAD);
    let found = findings(&CHECK, &text);
    assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
    let turn = &found[0].remedies[0];
    assert!(turn.says.starts_with("Turn the drivers"), "{}", turn.says);
    let after = findings_after(&CHECK, &text, &turn.edits);
    assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
}

/// A wire of a known length from the amplifier.
fn wire(conductor: &str, length: &str) -> String {
    format!(
        "[[kit.cable]]\nid = \"wire-w1\"\ncarries = \"loudspeaker\"\n{conductor}[[cable]]\nid = \"W1\"\nkind = \"wire-w1\"\nfrom = \"amplifier\"\nto = \"centre\"\n{length}"
    )
}

#[test]
fn a_long_thin_wire_takes_its_loss_off() {
    let bare = decibels(&findings(&CHECK, &theatre("98 dB", 200, ""))[0]);
    let wired = |length: &str| {
        let text = theatre("98 dB", 200, "").replace(
            "impedance = \"8 ohm\"\n",
            "impedance = \"8 ohm\"\nimpedance_min = \"8 ohm\"\n",
        );
        text + &wire(
            "conductor = \"1.5 mm²\"\n",
            &format!("length = \"{length}\"\n"),
        )
    };
    let found = findings(&CHECK, &wired("30 m"));
    // Strands of 1.5 mm² carry 2 % more resistance: 2 · 30 m · 1.7241e-8 Ωm · 1.02 / 1.5 mm²
    // = 0.7034 Ω before 8 Ω: 20 log(8.7034/8) = 0.732 dB.
    assert!(
        (bare - decibels(&found[0]) - 0.732).abs() < 0.01,
        "{}",
        told(&found)
    );
    assert!(
        found[0].because.contains("its wire leaves"),
        "{}",
        told(&found)
    );
    // With 300 W at 98 dB and 1 m more than it takes, the wire only takes what is too much.
    let strong = wired("30 m").replace("power = \"200 W\"", "power = \"400 W\"");
    let most = wired("0.1 m").replace("power = \"200 W\"", "power = \"400 W\"");
    let level = |text: &str| decibels(&findings(&CHECK, text)[0]);
    assert!((level(&strong) - level(&most)).abs() < 1e-9);
    assert!(!findings(&CHECK, &strong)[0].because.contains("wire"));
}

#[test]
fn a_wire_decides_what_its_loss_decides() {
    // 13.463 dB from 200 W at 3 m; the wire of the case above takes 0.732 dB of it.
    let verdict = |sensitivity: &str, length: &str| {
        let text = theatre(sensitivity, 200, "").replace(
            "impedance = \"8 ohm\"\n",
            "impedance = \"8 ohm\"\nimpedance_min = \"8 ohm\"\n",
        );
        let wire = wire(
            "conductor = \"1.5 mm²\"\n",
            &format!("length = \"{length}\"\n"),
        );
        findings(&CHECK, &with_finishes(&(text + &wire), DEAD))[0].verdict
    };
    assert_eq!(verdict("91.7 dB", "1 m"), Verdict::Tight);
    assert_eq!(verdict("91.7 dB", "30 m"), Verdict::Fails);
    assert_eq!(verdict("92.4 dB", "30 m"), Verdict::Tight);
}

#[test]
fn a_wire_over_a_plate_takes_what_both_of_its_parts_take() {
    let text = theatre("98 dB", 200, "").replace(
        "impedance = \"8 ohm\"\n",
        "impedance = \"8 ohm\"\nimpedance_min = \"8 ohm\"\n",
    );
    let bare = decibels(&findings(&CHECK, &text)[0]);
    // Two halves of the 30 m that take 0.732 dB above.
    let plate = "[[kit.plate]]\nid = \"plate-p1\"\n[[item]]\nid = \"plate\"\nis = \"plate-p1\"\nspace = \"den\"\non = { wall = \"west\", from_left = \"2 m\", height = \"0.3 m\" }\n[[cable]]\nid = \"W2\"\nkind = \"wire-w1\"\nfrom = \"plate\"\nto = \"centre\"\nlength = \"15 m\"\n";
    let first = wire("conductor = \"1.5 mm²\"\n", "length = \"15 m\"\n")
        .replace("to = \"centre\"", "to = \"plate\"");
    let found = findings(&CHECK, &format!("{text}{first}{plate}"));
    assert!(
        (bare - decibels(&found[0]) - 0.732).abs() < 0.01,
        "{}",
        told(&found)
    );
}

#[test]
fn a_wire_of_unknown_thickness_is_open_by_what_is_allowed() {
    let text = theatre("98 dB", 200, "");
    let bare = decibels(&findings(&CHECK, &text)[0]);
    let found = findings(&CHECK, &(text + &wire("", "length = \"30 m\"\n")));
    assert!(
        (bare - decibels(&found[0]) - 0.25).abs() < 1e-6,
        "{}",
        told(&found)
    );
    let value = found[0].value.as_ref().unwrap();
    assert!((2.0 * value.standard_uncertainty() - 0.25).abs() < 0.02);
}

#[test]
fn a_stated_peak_power_counts_as_the_sine_that_reaches_it() {
    let level = |fact: &str| {
        let text = theatre("98 dB", 2000, "").replace(
            "power_max = \"300 W\"\n",
            &format!("power_max = \"100 W\"\n{fact}"),
        );
        decibels(&findings(&CHECK, &text)[0])
    };
    let plain = level("");
    // 400 W in the instant is a sine of 200 W: 3.01 dB more than 100 W.
    assert!((level("power_peak = \"400 W\"\n") - plain - 3.0103).abs() < 1e-4);
    // At a crest of 10 dB the mean heats as 100 W where the sine is 500 W: 6.99 dB, no more.
    assert!((level("power_peak = \"4000 W\"\n") - plain - 6.9897).abs() < 1e-4);
}

#[test]
fn a_level_stated_for_peaks_counts_three_decibels_less() {
    let powered = |facts: &str| {
        let text = theatre("98 dB", 200, "").replace(
            "sensitivity = \"98 dB\"\nimpedance = \"8 ohm\"\npower_max = \"300 W\"\n",
            &format!("channels = 0\n{facts}"),
        );
        findings(&CHECK, &with_finishes(&text, DEAD))
    };
    let tone = decibels(&powered("level_max = \"120 dB\"\n")[0]);
    let peak = decibels(&powered("level_peak = \"120 dB\"\n")[0]);
    assert!((tone - peak - 3.0103).abs() < 1e-4);
    let both = powered("level_max = \"120 dB\"\nlevel_peak = \"122 dB\"\n");
    assert!((tone - decibels(&both[0]) - 1.0103).abs() < 1e-4);
    assert!(
        both[0].because.contains("which is film at 85"),
        "{}",
        told(&both)
    );
}

#[test]
fn outdoors_the_ground_gives_some_of_it_back() {
    let outdoors = |sensitivity: &str| {
        let garden = "[[space]]\nid = \"garden\"\nkind = \"outdoor\"\nfinishes = { floor = \"unpainted_concrete\" }\nwalls = [{ id = \"a\", length = \"8 m\", open = true }, { id = \"b\", length = \"6 m\", open = true }, { id = \"c\", length = \"8 m\", open = true }, { id = \"d\", length = \"6 m\", open = true }]\ndiagonals = [[\"a.left\", \"c.left\", \"10 m\"]]\n[[space.seat]]\nid = \"bench\"\nat = { from = [\"a\", \"3 m\"], and = [\"d\", \"6 m\"] }\near = \"1.1 m\"\neye = \"1.1 m\"\n";
        let kit = "[[kit.loudspeaker]]\nid = \"garden-g1\"\nform = \"landscape\"\nchannels = 0\nsize = [\"20 cm\", \"2 mm\", \"20 cm\"]\ncoverage = \"360 deg\"\n";
        let rest = "[[zone]]\nid = \"outside\"\nspace = \"garden\"\npeak_level = \"90 dB\"\n[[item]]\nid = \"g\"\nis = \"garden-g1\"\nspace = \"garden\"\nzone = \"outside\"\nat = { from = [\"a\", \"3 m\"], and = [\"d\", \"2 m\"] }\n";
        findings(
            &CHECK,
            &format!("{garden}{kit}level_max = \"{sensitivity}\"\n{rest}"),
        )
    };
    // On the ground 4 m off and 1.1 m below the ear: √17.21 m takes 12.358 dB, hard ground gives
    // 10 log(1 + 0.98) = 2.967 dB back; 15.4° up a coverage of 360° takes 0.044 dB.
    let found = outdoors("100 dB");
    assert!(
        (decibels(&found[0]) - 90.565).abs() < 0.01,
        "{}",
        told(&found)
    );
    assert_ne!(found[0].verdict, Verdict::Unknown);
    assert_eq!(outdoors("99 dB")[0].verdict, Verdict::Fails);
    assert_eq!(outdoors("103 dB")[0].verdict, Verdict::Fits);
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
