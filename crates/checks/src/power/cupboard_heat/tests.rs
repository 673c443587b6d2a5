//! A cupboard of 0.6 × 0.5 × 1.2 m with 2.22 m² of free faces, shut and vented.

use expect_test::expect;

use analysis::Analysis;

use super::CHECK;
use crate::Verdict;
use crate::testing::{ROOM, findings, findings_after, told};

fn cupboard(watts: u32, panels: &str) -> String {
    format!(
        r#"
[[kit.amplifier]]
id = "amp-a7"
watts = {watts}
rated_to = "40 °C"
[[kit.device]]
id = "player-d1"
watts = 20
rated_to = "45 °C"
[[kit.cupboard]]
id = "cupboard-c1"
size = ["600 mm", "1.2 m", "500 mm"]
{panels}
[[item]]
id = "rack"
is = "cupboard-c1"
space = "den"
at = {{ from = ["west", "300 mm"], and = ["north", "500 mm"] }}
[[item]]
id = "amp"
is = "amp-a7"
in = "rack"
[[item]]
id = "player"
is = "player-d1"
in = "rack"
"#
    )
}

/// The room at 22 °C: `extra` follows its `[[space]]`, so the temperature goes first.
fn at_22(extra: &str) -> String {
    format!("temperature = \"22 °C\"\n{extra}")
}

#[test]
fn a_shut_cupboard_with_a_little_heat_fits() {
    // 80 W / (3.5 × 2.22) = 10.296 K; 40 − 22 − 10.296 = 7.704 K.
    assert!(ROOM.ends_with("}\n"), "the temperature follows the space");
    let found = findings(&CHECK, &at_22(&cupboard(60, "")));
    expect![[r#"
        rack: fits +7.704: Everything together gives 80 W of heat inside rack, shut: the air there gets 10.3 K warmer than the 22 °C around it, to 32.3 °C, and amp is rated to 40 °C.
    "#]]
    .assert_eq(&told(&found));
}

#[test]
fn both_sides_of_the_rating() {
    // With U = 3.5 stated: 18 K × 3.5 × 2.22 = 139.86 W in all, 119.86 W of them the amplifier's.
    let verdict =
        |watts, panels: &str| findings(&CHECK, &at_22(&cupboard(watts, panels)))[0].verdict;
    assert_eq!(verdict(119, "transmittance = 3.5"), Verdict::Fits);
    assert_eq!(verdict(120, "transmittance = 3.5"), Verdict::Fails);
    // Between panels of 3 and of 4 W/m²K: ±14 % of the rise.
    assert_eq!(verdict(110, ""), Verdict::Tight);
}

#[test]
fn vents_carry_what_the_formula_says() {
    // At 12 K two vents of 0.020 m² 1.0 m apart carry 1.204 × 1006 × 12 × 0.6 × 0.020 / √2
    // × √(2 × 9.80665 × 12 / 307.15) = 107.96 W; shut, 107 W would make 13.8 K.
    let vents = "vent_area = \"0.02 m²\"\nvent_rise = \"1 m\"";
    let found = findings(&CHECK, &at_22(&cupboard(87, vents)));
    let rise = found[0].value.as_ref().expect("decided").value();
    // 107 W: 12 × (107 / 107.96)^(2/3) = 11.929 K, but for the absolute temperature.
    assert!((rise - 11.929).abs() < 0.005, "{rise}");
    // ±25 % of the heat is ±2/3 × 25 % of the rise.
    let uncertainty = found[0].uncertainty().expect("decided");
    assert!((uncertainty / rise - 0.1667).abs() < 0.003, "{uncertainty}");
}

#[test]
fn what_is_not_known_is_asked() {
    let found = findings(&CHECK, &cupboard(60, ""));
    assert_eq!(found[0].needs[0].at, "space.den.temperature");
    let unrated = at_22(&cupboard(60, "")).replace("rated_to = \"45 °C\"\n", "");
    let found = findings(&CHECK, &unrated);
    assert_eq!(found[0].verdict, Verdict::Unknown);
    assert_eq!(found[0].needs[0].at, "kit.device.player-d1.rated_to");
}

#[test]
fn an_empty_cupboard_is_no_matter() {
    let text = at_22(&cupboard(60, "")).replace("in = \"rack\"", "space = \"den\"");
    assert!(findings(&CHECK, &text).is_empty());
}

#[test]
fn a_box_in_a_cupboard_starts_from_its_air() {
    let inner = "[[kit.cupboard]]\nid = \"box-b1\"\nsize = [\"400 mm\", \"200 mm\", \"300 mm\"]\ntransmittance = 3.5\n[[item]]\nid = \"box\"\nis = \"box-b1\"\nin = \"rack\"\n[[item]]\nid = \"switch\"\nis = \"player-d1\"\nin = \"box\"\n";
    let text = at_22(&cupboard(40, "transmittance = 3.5")) + inner;
    let found = findings(&CHECK, &text);
    // 80 W in all warm the rack by 10.296 K; the box has 0.08 + 2 × 0.06 + 0.12 = 0.32 m²
    // free, so its 20 W add 17.857 K: 45 − 22 − 10.296 − 17.857 = −5.153 K.
    let margins: Vec<String> = (found.iter())
        .map(|finding| format!("{:.3}", finding.margin.as_ref().expect("decided").value()))
        .collect();
    assert_eq!(margins, ["7.704", "-5.153"]);
}

#[test]
fn each_state_stands_against_the_lowest_rating() {
    let vents =
        "transmittance = 3.5\nvent_area = \"0.02 m²\"\nvent_rise = \"1 m\"\nfan_m3_per_h = 60";
    let text = format!("{}{}", crate::testing::ROOM, at_22(&cupboard(100, vents)));
    let analysis = Analysis::new(crate::testing::job(&text));
    let rack = analysis.item("rack").expect("it is there");
    let states = super::cupboard_states(&analysis, rack);
    let told: Vec<String> = (states.iter())
        .map(|state| format!("{}: {:.1}", state.words, state.inside.value()))
        .collect();
    // 120 W: shut 120/(3.5 × 2.22) = 15.44 K; by vents 12 × (120/107.96)^(2/3) = 12.88 K but
    // for the absolute temperature; by the fan 120/(1.204 × 1006 × 60/3600) = 5.94 K; open
    // 0.6 × 1.2 m: 5 × (120/386.1)^(2/3) = 2.29 K but for the absolute temperature.
    assert_eq!(
        told,
        [
            "doors shut, no air through it: 37.4",
            "doors open: 24.3",
            "doors shut, by its vents: 34.9",
            "doors shut, by its fan: 27.9",
        ]
    );
    for state in states {
        let (label, rated) = state.lowest.expect("amp is rated");
        assert_eq!((label.as_str(), rated.value()), ("amp", 40.0));
    }
}

#[test]
fn each_remedy_mends_it() {
    let text = at_22(&cupboard(200, ""));
    let found = findings(&CHECK, &text);
    assert_eq!(found[0].verdict, Verdict::Fails);
    assert_eq!(found[0].remedies.len(), 2);
    for remedy in &found[0].remedies {
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(
            after[0].verdict,
            Verdict::Fits,
            "{}: {}",
            remedy.says,
            after[0].because
        );
    }
}
