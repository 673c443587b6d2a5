//! Both sides of the limit by hand, the damping band, unknowns, and each remedy.

use expect_test::expect;

use super::CHECK;
use crate::testing::{ROOM, findings, findings_after, job, told};
use crate::{Finding, Verdict};

/// A wire of a stated length, so that the hand calculation starts from a plain number.
fn wired(length: &str, conductor: &str, impedance: &str) -> String {
    format!(
        r#"
[[kit.loudspeaker]]
id = "tower-t4"
{impedance}
[[kit.amplifier]]
id = "amp-a2"
[[kit.cable]]
id = "thin"
carries = "loudspeaker"
{conductor}
[[item]]
id = "amp"
is = "amp-a2"
space = "den"
on = {{ wall = "north", from_left = "1 m", height = "0.3 m" }}
[[item]]
id = "left"
is = "tower-t4"
space = "den"
on = {{ wall = "south", from_left = "1 m", height = "0.3 m" }}
driven_by = "amp"
[[cable]]
id = "W1"
kind = "thin"
from = "amp"
to = "left"
{length}
"#
    )
}

const THICK: &str = "\n[[kit.cable]]\nid = \"thick\"\nname = \"Thick wire\"\ncarries = \"loudspeaker\"\nconductor = \"12 AWG\"\n[[kit.cable]]\nid = \"thickest\"\ncarries = \"loudspeaker\"\nconductor = \"10 AWG\"\n";

fn only(text: &str) -> Finding {
    let mut found = findings(&CHECK, text);
    assert_eq!(found.len(), 1);
    found.remove(0)
}

#[test]
fn a_short_wire_fits() {
    // 2.5 mm² stranded: r = 0.017241 · 1.02 / 2.5 = 0.0070343 Ω/m; R = 2 · 10 · r =
    // 0.140687 Ω; loss = 20 log10(6.140687 / 6) = 0.20128 dB; 6 / R = 42.6.
    let text = wired(
        "length = \"10 m\"",
        "conductor = \"2.5 mm²\"",
        "impedance_min = \"6 Ω\"",
    );
    expect![[r#"
            W1: fits +0.299: 10 m of 2.5 mm² to left loses 0.2 dB at 6 Ω, where 0.5 dB is allowed, and leaves a damping factor of 42.6 (20 or more is good).
        "#]]
    .assert_eq(&told(&[only(&text)]));
}

#[test]
fn both_sides_of_the_limits() {
    // 1.5 mm²: r = 0.01172388 Ω/m. At 4 Ω, 0.5 dB is R = 4 (10^(0.5/20) − 1) = 0.237015 Ω,
    // which is 10.108 m; damping 20 is R = 0.2 Ω, which is 8.530 m.
    let verdict = |length: &str| {
        let text = wired(length, "conductor = \"1.5 mm²\"", "impedance_min = \"4 Ω\"");
        only(&text).verdict
    };
    assert_eq!(verdict("length = \"8.52 m\""), Verdict::Fits);
    assert_eq!(verdict("length = \"8.54 m\""), Verdict::Tight);
    assert_eq!(verdict("length = \"10.10 m\""), Verdict::Tight);
    assert_eq!(verdict("length = \"10.12 m\""), Verdict::Fails);
}

#[test]
fn the_lowest_impedance_is_taken_from_the_nominal_one_with_its_spread() {
    // 8 Ω nominal stands for 6.4 ± 0.8 Ω: 20 log10(1 + 2 · 15 · 0.01172388 / 6.4) = 0.46473 dB.
    let found = only(&wired(
        "length = \"15 m\"",
        "conductor = \"1.5 mm²\"",
        "impedance = \"8 Ω\"",
    ));
    assert!((found.value.as_ref().unwrap().value() - 0.46473).abs() < 1e-4);
    assert_eq!(found.verdict, Verdict::Tight);
    assert!(found.uncertainty().unwrap() > 0.03);
}

#[test]
fn a_paced_leg_near_the_limit_is_tight() {
    let legs = "legs = [{ along = \"attic\", length = \"6.7 m guess\" }]\nservice_loop = \"0 m\"\nslack = \"0 %\"";
    let found = only(&wired(
        legs,
        "conductor = \"1.5 mm²\"",
        "impedance_min = \"3 Ω\"",
    ));
    assert_eq!(found.verdict, Verdict::Tight);
}

#[test]
fn the_routed_length_counts_with_slack_and_loops() {
    // Up and down 2.1 m each, 4 m along, 4 m across: 12.2 m; 10 % and 2 × 0.3 m: 14.02 m.
    let found = only(&wired(
        "",
        "conductor = \"2.5 mm²\"",
        "impedance_min = \"8 Ω\"",
    ));
    // 20 log10(1 + 2 · 14.02 · 0.00703433 / 8) = 0.21158 dB.
    assert!((found.value.clone().unwrap().value() - 0.21158).abs() < 1e-4);
}

#[test]
fn missing_facts_are_named() {
    let needs = |text: &str| only(text).needs[0].at.clone();
    let bare = wired("length = \"9 m\"", "", "impedance = \"8 Ω\"");
    assert_eq!(needs(&bare), "kit.cable.thin.conductor");
    let unrated = wired("length = \"9 m\"", "conductor = \"1.5 mm²\"", "");
    assert_eq!(needs(&unrated), "kit.loudspeaker.tower-t4.impedance_min");
}

#[test]
fn a_loudspeaker_with_its_own_amplifier_is_left_alone() {
    let text = wired("length = \"90 m\"", "conductor = \"1 mm²\"", "channels = 0");
    assert!(findings(&CHECK, &text).is_empty());
}

#[test]
fn each_remedy_mends_it_alone() {
    let thin = "conductor = \"1 mm²\"";
    let four = "impedance_min = \"4 Ω\"";
    let cases = [
        // No other kind: a thicker conductor; underfoot is not short enough.
        (wired("", thin, four), 1),
        // The thinner of the two that suffice, and the way under the floor.
        (wired("", "conductor = \"1.8 mm²\"", four) + THICK, 2),
        (wired("length = \"14 m\"", thin, four) + THICK, 1),
    ];
    for (text, count) in cases {
        let found = only(&text);
        assert_eq!(found.verdict, Verdict::Fails, "{}", found.because);
        assert_eq!(found.remedies.len(), count, "{:?}", found.remedies);
        for remedy in &found.remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{} {}",
                remedy.says,
                after[0].because
            );
        }
    }
}

#[test]
fn where_no_wire_leaves_the_damping_one_that_saves_the_level_is_proposed() {
    // 8 mm² would leave 60 m at 3 Ω a damping of 3 / 0.2638 = 11.4 and lose 0.73 dB;
    // 10 mm²: 14.2 and 0.59 dB; at 45 m: 19.0 and 0.45 dB.
    let text = wired(
        "length = \"45 m\"",
        "conductor = \"4 mm²\"",
        "impedance_min = \"3 Ω\"",
    );
    let found = only(&text);
    assert_eq!(found.remedies.len(), 1);
    let after = findings_after(&CHECK, &text, &found.remedies[0].edits);
    assert_eq!(after[0].verdict, Verdict::Tight, "{}", after[0].because);
    let longer = wired(
        "length = \"60 m\"",
        "conductor = \"4 mm²\"",
        "impedance_min = \"3 Ω\"",
    );
    assert!(only(&longer).remedies.is_empty());
}

#[test]
fn the_thinnest_kind_that_suffices_is_proposed() {
    let text = wired("", "conductor = \"1 mm²\"", "impedance_min = \"4 Ω\"") + THICK;
    let says = only(&text).remedies[0].says.replace('\u{202f}', " ");
    expect![[r#"Pull Thick wire (3.31 mm²) to left instead of 1 mm²."#]].assert_eq(&says);
}

#[test]
fn what_is_in_stock_comes_before_what_is_to_order() {
    let text = wired("", "conductor = \"1 mm²\"", "impedance_min = \"4 Ω\"") + THICK;
    let says = |spool: &str| only(&(text.clone() + spool)).remedies[0].says.clone();
    let spool = "[[spool]]\nid = \"s1\"\nkind = \"thickest\"\nlength = \"50 m\"\n";
    assert!(
        says(spool).starts_with("Pull thickest ("),
        "{}",
        says(spool)
    );
    assert!(says(spool).contains(", in stock)"), "{}", says(spool));
    // Too little is left on it.
    let short = spool.replace("50 m", "2 m");
    assert!(
        says(&short).starts_with("Pull Thick wire"),
        "{}",
        says(&short)
    );
}

#[test]
fn a_kind_that_saves_the_level_comes_before_one_that_nobody_has() {
    // 20 m at 4 Ω: 4 mm² (0.00440 Ω/m) loses 20 log10(1 + 0.176 / 4) = 0.37 dB and leaves
    // a damping of 4 / 0.176 = 23; 3.31 mm² loses 0.45 dB and leaves 4 / 0.212 = 18.9.
    let twelve =
        "\n[[kit.cable]]\nid = \"twelve\"\ncarries = \"loudspeaker\"\nconductor = \"12 AWG\"\n";
    let text = wired(
        "length = \"20 m\"",
        "conductor = \"1.5 mm²\"",
        "impedance_min = \"4 Ω\"",
    ) + twelve;
    let found = only(&text);
    assert!(
        found.remedies[0].says.starts_with("Pull twelve"),
        "{}",
        found.remedies[0].says
    );
    let after = findings_after(&CHECK, &text, &found.remedies[0].edits);
    assert_eq!(after[0].verdict, Verdict::Tight, "{}", after[0].because);
}

#[test]
fn an_existing_thin_cable_is_replaced_by_a_pulled_one() {
    let plate = "\n[[space.fixture]]\nid = \"old\"\nkind = \"plate\"\n";
    let text = wired(
        "length = \"20 m\"\nexisting = \"old\"",
        "conductor = \"1 mm²\"",
        "impedance_min = \"4 Ω\"",
    );
    let text = format!("{plate}{text}{THICK}");
    let found = only(&text);
    let after = findings_after(&CHECK, &text, &found.remedies[0].edits);
    assert_eq!(after[0].verdict, Verdict::Fits, "{}", after[0].because);
    assert_eq!(found.remedies[0].cost.holes, [2, 2]);
    // In studs where nobody has looked for blocks it takes what the changed job says.
    let studs = "[[space.construction]]\nof = \"north\"\nframing = \"stud\"\nspacing = \"0.4 m\"\n";
    let text = format!("{text}{studs}").replace("height = \"0.3 m\"", "height = \"1.6 m\"");
    let pull = &only(&text).remedies[0];
    let before = analysis::Analysis::new(job(&format!("{ROOM}{text}")));
    let after = before.edited(&pull.edits).expect("the edits can be made");
    let cable = after.cable("W1").expect("it is there");
    let work = (after.route(cable).expect("it has a way").work.clone()).expect("it is searched");
    assert!(work.holes[0] < work.holes[1], "{:?}", work.holes);
    assert_eq!(
        (pull.cost.holes, pull.cost.time_s),
        (work.holes, work.time_s)
    );
    assert_eq!(
        pull.cost.wire_m,
        after.cut_to(cable).expect("it can be cut")
    );
    let takes = analysis::work_words(work.holes, work.time_s);
    assert!(
        pull.says.ends_with(&format!(" W1 takes {takes}.")),
        "{}",
        pull.says
    );
}

#[test]
fn a_cable_that_is_pulled_anyway_takes_no_more_work_when_thicker() {
    // 20 m at 4 Ω of 1 mm² loses too much; the thickest is dearer by 0.70 a metre: 14.00.
    let thick = format!("{THICK}price_per_metre = 1.9\n");
    let wire = "conductor = \"1 mm²\"\nprice_per_metre = 1.2";
    let text = wired("length = \"20 m\"", wire, "impedance_min = \"4 Ω\"");
    let cost = only(&format!("{text}{thick}")).remedies[0].cost.clone();
    assert_eq!((cost.time_s, cost.wire_m), ([0.0; 2], 0.0));
    assert_eq!(cost.holes, [0; 2]);
    assert!((cost.money.unwrap() - 14.0).abs() < 1e-9);
    // With nothing thicker in the catalogue nobody knows its price.
    assert_eq!(only(&text).remedies[0].cost, crate::Cost::default());
}

#[test]
fn a_loss_just_over_the_limit_is_told_as_over() {
    // 2.5 mm² stranded at 6 Ω: 25.3 m there and back is 0.35593 Ω, 20 log10(6.35593 / 6) = 0.5006 dB.
    let text = wired(
        "length = \"25.3 m\"",
        "conductor = \"2.5 mm²\"",
        "impedance_min = \"6 Ω\"",
    );
    let found = only(&text);
    assert_eq!(found.verdict, Verdict::Fails);
    assert!(
        found.because.contains("loses just over 0.5\u{202f}dB"),
        "{}",
        found.because
    );
}

/// 10 m of 2.5 mm² from the amplifier to a plate, and from it 3 m of 1.5 mm² to the loudspeaker.
fn over_a_plate(first: &str, plate: [&str; 2]) -> String {
    let lead = wired(
        "length = \"3 m\"",
        "conductor = \"1.5 mm²\"",
        "impedance_min = \"6 Ω\"",
    );
    let lead = lead.replace("from = \"amp\"", &format!("from = \"{}\"", plate[1]));
    format!(
        r#"
[[space.fixture]]
id = "old"
kind = "plate"
{lead}
[[kit.cable]]
id = "wall-wire"
carries = "loudspeaker"
conductor = "2.5 mm²"
[[kit.plate]]
id = "plate-p1"
[[item]]
id = "plate"
is = "plate-p1"
space = "den"
on = {{ wall = "south", from_left = "2 m", height = "0.3 m" }}
[[cable]]
id = "W2"
kind = "wall-wire"
from = "amp"
to = "{}"
{first}
"#,
        plate[0]
    )
}

#[test]
fn a_wire_over_a_plate_counts_in_all_its_parts() {
    // 2 · (10 · 0.0070343 + 3 · 0.01172388) = 0.21103 Ω: 20 log10(6.21103 / 6) = 0.30023 dB;
    // 6 / 0.21103 = 28.4.
    for first in ["length = \"10 m\"", "length = \"10 m\"\nexisting = \"old\""] {
        let found = only(&over_a_plate(first, ["plate", "plate"]));
        expect![[r#"
            W1: fits +0.200: 10 m of 2.5 mm² and from plate 3 m of 1.5 mm² to left lose 0.3 dB at 6 Ω, where 0.5 dB is allowed, and leave a damping factor of 28.4 (20 or more is good).
        "#]]
        .assert_eq(&told(std::slice::from_ref(&found)));
        assert!((found.value.clone().unwrap().value() - 0.30023).abs() < 1e-4);
    }
}

#[test]
fn a_plates_ports_say_which_wire_goes_on() {
    let other = "[[cable]]\nid = \"W3\"\nkind = \"wall-wire\"\nfrom = \"amp\"\nto = \"plate.b\"\nlength = \"80 m\"\n";
    let by_ports = |ends: [&str; 2]| {
        let text = over_a_plate("length = \"10 m\"", ends) + other;
        only(&text).value.clone().map(|value| value.value())
    };
    let near = |value: Option<f64>, loss: f64| (value.unwrap() - loss).abs() < 1e-4;
    assert!(near(by_ports(["plate.a", "plate.a"]), 0.30023));
    // 2 · (80 · 0.0070343 + 3 · 0.01172388) = 1.19583 Ω: 20 log10(7.19583 / 6) = 1.5786 dB.
    assert!(near(by_ports(["plate.a", "plate.b"]), 1.57861));
    // Nobody says which of two goes on.
    assert_eq!(by_ports(["plate.a", "plate.c"]), None);
}

#[test]
fn a_plate_that_no_wire_reaches_is_asked_about() {
    let text = over_a_plate("length = \"10 m\"", ["left-behind", "plate"]).replace(
        "[[kit.plate]]",
        "[[item]]\nid = \"left-behind\"\nis = \"plate-p1\"\nspace = \"den\"\non = { wall = \"south\", from_left = \"4 m\", height = \"0.3 m\" }\n[[kit.plate]]",
    );
    let found = only(&text);
    assert_eq!(found.verdict, Verdict::Unknown);
    assert_eq!(found.needs[0].at, "item.plate");
}

#[test]
fn a_thicker_part_in_place_of_one_mends_a_wire_over_a_plate() {
    // 30 m of 2.5 mm² alone take 0.42 Ω, at 6 Ω 0.59 dB.
    let text = over_a_plate("length = \"30 m\"", ["plate", "plate"]) + THICK;
    let found = only(&text);
    assert_eq!(found.verdict, Verdict::Fails, "{}", found.because);
    assert!(!found.remedies.is_empty());
    for remedy in &found.remedies {
        assert!(remedy.says.contains("for W2"), "{}", remedy.says);
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_ne!(after[0].verdict, Verdict::Fails, "{}", after[0].because);
    }
}
