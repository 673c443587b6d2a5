//! A display of 30 kg at 0.60 m on an arm of 8 kg: 200.06 N m, as in the worked example.

use expect_test::expect;

use structure::quantity::newtons;

use super::CHECK;
use crate::Verdict;
use crate::testing::{findings, findings_after, told};

fn arm(wall: &str, from_left: &str, screws: &str) -> String {
    format!(
        r#"
[[space.construction]]
of = "north"
{wall}
[[kit.mount]]
id = "arm-m2"
mass = "8 kg"
reach = "600 mm"
row_spacing = "300 mm"
screws = 4
screw_spread = "406.4 mm"
{screws}
[[kit.display]]
id = "display-t4"
size = ["1.2 m", "700 mm", "0 mm"]
mass = "30 kg"
[[item]]
id = "arm"
is = "arm-m2"
on = {{ wall = "north", from_left = "{from_left}", height = "1.2 m" }}
[[item]]
id = "tv"
is = "display-t4"
mount = "arm"
on = {{ wall = "north", from_left = "{from_left}", height = "1.3 m" }}
"#
    )
}

const STUDS: &str = "framing = \"stud\"\nspacing = \"406.4 mm\"\nfirst_from_left = \"368 mm\"";
const LAG: &str = "screw_diameter = \"7.9375 mm\"\nthread_in_wood = \"38.1 mm\"";

#[test]
fn two_upper_screws_in_studs_hold() {
    // T = 2 × 200.056 / 0.3 / 2 = 666.85 N; 0.9 × 1366.35 = 1229.7 N.
    let found = findings(&CHECK, &arm(STUDS, "1.384 m", LAG));
    expect![[r#"
        arm: fits +562.862: arm carries 30 kg of tv, 600 mm from the wall at full reach, and its own 8 kg at 300 mm; with 2.0 times that for a person's pull, each of the 2 upper screws (of 2) that sit in studs is pulled with 667 N, and holds 1230 N by 38 mm of thread.
    "#]]
    .assert_eq(&told(&found));
}

#[test]
fn one_screw_in_a_stud_fails_and_none_holds_nothing() {
    // The studs are 406.4 mm apart: with 300 mm of spread only one column meets one.
    let narrow = |from_left: &str| {
        arm(STUDS, from_left, LAG)
            .replace("screw_spread = \"406.4 mm\"", "screw_spread = \"300 mm\"")
    };
    // 2 × 200.056 / 0.3 = 1333.7 N on one screw that holds 1229.7 N.
    let one = findings(&CHECK, &narrow("1.3308 m"));
    assert!((one[0].margin.as_ref().expect("decided").value() + 104.0).abs() < 0.5);
    let none = findings(&CHECK, &narrow("1.384 m"));
    assert_eq!(none[0].verdict, Verdict::Fails);
    assert_eq!(none[0].limit, Some(0.0));
}

#[test]
fn both_sides_of_the_thread_that_is_needed() {
    // 666.85 / (0.9 × 1366.35 / 38.1) = 20.66 mm.
    let verdict = |thread: &str| {
        findings(
            &CHECK,
            &arm(STUDS, "1.384 m", &LAG.replace("38.1 mm", thread)),
        )[0]
        .verdict
    };
    assert_eq!(verdict("20.6 mm"), Verdict::Fails);
    assert_eq!(verdict("20.7 mm"), Verdict::Fits);
    assert_eq!(verdict("22 mm ± 3 mm"), Verdict::Tight);
}

#[test]
fn denser_wood_holds_more() {
    let fir = format!("{STUDS}\nspecies = \"douglas fir-larch\"");
    let limit = |wall: &str| {
        findings(&CHECK, &arm(wall, "1.384 m", LAG))[0]
            .limit
            .expect("decided")
    };
    // (0.50 / 0.42)^1.5 = 1.299.
    assert!((limit(&fir) / limit(STUDS) - 1.2989).abs() < 1e-4);
}

#[test]
fn anchors_in_brick_lose_by_their_edge() {
    let anchors = "screw_diameter = \"6.35 mm\"\nthread_in_wood = \"41.3 mm\"";
    let brick = "framing = \"masonry\"";
    // 550 lbf = 2446.5 N, less 93.163 × 2 / (405 lbf = 1801.5 N) = 10.34 %: 2193.5 N.
    let found = findings(&CHECK, &arm(brick, "1.384 m", anchors));
    assert_eq!(found[0].verdict, Verdict::Fits);
    let full = newtons(550.0).0 * (1.0 - 186.3264 / newtons(405.0).0);
    assert!((found[0].limit.expect("decided") - full).abs() < 0.1);
    // A screw 31.75 mm (1 1/4 in) from the end keeps 0.25 of its tension, 0.20 of its shear.
    let edge = newtons(550.0 * 0.25).0 * (1.0 - 186.3264 / newtons(405.0 * 0.2).0);
    let found = findings(&CHECK, &arm(brick, "234.95 mm", anchors));
    assert_eq!(found[0].verdict, Verdict::Fails);
    assert!((found[0].limit.expect("decided") - edge).abs() < 0.5);
}

#[test]
fn what_is_not_known_is_asked() {
    let at = |text: &str| findings(&CHECK, text)[0].needs[0].at.clone();
    let text = arm(STUDS, "1.384 m", LAG);
    assert_eq!(
        at(&text.replace("mass = \"30 kg\"\n", "")),
        "kit.display.display-t4.mass"
    );
    assert_eq!(
        at(&text.replace("row_spacing = \"300 mm\"\n", "")),
        "kit.mount.arm-m2.row_spacing"
    );
    assert_eq!(
        at(&text.replace("first_from_left = \"368 mm\"", "")),
        "space.den.construction.0.first_from_left"
    );
    assert_eq!(
        findings(&CHECK, &arm("framing = \"steel-stud\"", "1.384 m", LAG))[0].verdict,
        Verdict::Unknown
    );
}

#[test]
fn each_remedy_mends_it() {
    let short = LAG.replace("38.1 mm", "18.5 mm");
    let off = arm(STUDS, "1.3 m", LAG);
    let off_and_short = arm(STUDS, "1.3 m", &short);
    let narrow = off_and_short.replace("spread = \"406.4 mm\"", "spread = \"300 mm\"");
    for (text, remedies) in [
        (arm(STUDS, "1.384 m", &short), 2),
        (off, 1),
        (off_and_short, 1),
        (narrow, 1),
    ] {
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert_eq!(found[0].remedies.len(), remedies, "{}", found[0].because);
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
}
