//! A display over a mantel shelf, between wall lights, under a soffit.

use expect_test::expect;

use super::CHECK;
use crate::Verdict;
use crate::testing::{findings, findings_after, told};

/// Parked: back 50 mm off the wall, lower edge 1.5 m. Down 600 mm, out to 450 mm.
fn room(fixture: &str, reach: &str) -> String {
    format!(
        r#"
[survey]
by = "laser"
{fixture}
[[kit.display]]
id = "display-d1"
diagonal = "1.2 m"
size = ["1.2 m", "0.7 m", "50 mm"]
[[kit.mount]]
id = "arm-a1"
standoff = "50 mm"
pull_down = "600 mm"
{reach}
[[item]]
id = "arm"
is = "arm-a1"
space = "den"
[[item]]
id = "display"
is = "display-d1"
mount = "arm"
on = {{ wall = "west", from_left = "2 m", height = "1.85 m" }}
"#
    )
}

const REACH: &str = "reach = \"450 mm\"";

/// A shelf 1.4 m wide, 50 mm thick.
fn mantel(top_m: f64, depth_m: f64) -> String {
    format!(
        r#"
[[space.fixture]]
id = "mantel"
kind = "mantel"
on = {{ wall = "west", from_left = "2 m", height = "{top_m} m", to = "top-centre" }}
size = ["1.4 m", "50 mm", "{depth_m} m"]
"#
    )
}

fn verdict(top_m: f64, depth_m: f64) -> Verdict {
    findings(&CHECK, &room(&mantel(top_m, depth_m), REACH))[0].verdict
}

#[test]
fn a_shallow_shelf_fits() {
    // Way (0.4, −0.6), √0.52 = 0.72111. Square to it the display's lower back corner is at
    // (0.05 · 0.6 + 1.5 · 0.4) / 0.72111 = 0.87365, the shelf's upper front corner at
    // (0.08 · 0.6 + 1.35 · 0.4) / 0.72111 = 0.81541: 0.0582 m clear.
    let found = findings(&CHECK, &room(&mantel(1.35, 0.08), REACH));
    expect![[r#"
        display past mantel: fits +0.033: display, on its way to 450 mm out from the wall and 600 mm down, passes 58 mm clear of mantel; 25 mm is the least.
    "#]].assert_eq(&told(&found));
}

#[test]
fn the_limit_holds_from_both_sides() {
    // 25 mm: shelf's depth (0.63 − 0.025 · 0.72111 − 1.35 · 0.4) / 0.6 = 0.11995 m.
    assert_eq!(verdict(1.35, 0.112), Verdict::Fits);
    assert_eq!(verdict(1.35, 0.121), Verdict::Fails);
    // Below the lowered display, 0.9 m, only the height counts.
    assert_eq!(verdict(0.865, 0.9), Verdict::Fits);
    assert_eq!(verdict(0.880, 0.9), Verdict::Fails);
}

#[test]
fn a_wall_light_beside_it_counts_along_the_wall() {
    // The display's edge is at 2.6 m; the light, 100 mm wide, begins at 2.65 or 2.62 m.
    let light = |from_left: &str| {
        let fixture = format!(
            r#"
[[space.fixture]]
id = "sconce"
kind = "wall-light"
on = {{ wall = "west", from_left = "{from_left}", height = "1.4 m" }}
size = ["100 mm", "250 mm", "500 mm"]
"#
        );
        findings(&CHECK, &room(&fixture, REACH))[0].verdict
    };
    assert_eq!(light("2.70 m"), Verdict::Fits);
    assert_eq!(light("2.67 m"), Verdict::Fails);
}

#[test]
fn the_arm_moves_with_its_display() {
    let fixture = r#"
[[space.fixture]]
id = "sconce"
kind = "wall-light"
on = { wall = "west", from_left = "2.67 m", height = "1.4 m" }
size = ["100 mm", "250 mm", "500 mm"]
"#;
    let arm = "is = \"arm-a1\"\non = { wall = \"west\", from_left = \"2 m\", height = \"1.85 m\" }";
    let text = room(fixture, REACH).replace("is = \"arm-a1\"\nspace = \"den\"", arm);
    let found = findings(&CHECK, &text);
    let aside = &found[0].remedies[0];
    // Edge at 2.6 m, light from 2.62 m: 5 mm lack, and the tapes' uncertainty.
    expect!["Hang display 9 mm to the left, at 1.991 m from the left corner."]
        .assert_eq(&aside.says.replace('\u{202f}', " "));
    let at: Vec<&str> = aside.edits.iter().map(|edit| edit.at.as_str()).collect();
    assert_eq!(at, ["item.display.on.from_left", "item.arm.on.from_left"]);
    assert_eq!(aside.edits[0].set, aside.edits[1].set);
}

#[test]
fn a_bar_on_the_arm_comes_down_too() {
    // Parked from 1.36 to 1.46 m, 60 mm deep: 10 mm over a shelf as deep as 90 mm, and in
    // the way once it comes down. Square to the way its lower back corner is at
    // (0.05 · 0.6 + 1.36 · 0.4) / 0.72111 = 0.79599, the shelf's upper front corner at
    // (0.09 · 0.6 + 1.35 · 0.4) / 0.72111 = 0.82373: they meet by 27.7 mm.
    let bar = r#"
[[kit.loudspeaker]]
id = "bar-b1"
form = "bar"
size = ["1 m", "100 mm", "60 mm"]
[[item]]
id = "bar"
is = "bar-b1"
under = "display"
mount = "arm"
on = { wall = "west", from_left = "2 m", height = "1.41 m" }
"#;
    let text = room(&(mantel(1.35, 0.09) + bar), REACH);
    let found = findings(&CHECK, &text);
    expect![[r#"
        display past mantel: fits +0.025: display, on its way to 450 mm out from the wall and 600 mm down, passes 50 mm clear of mantel; 25 mm is the least.
        bar past mantel: fails -0.053: bar, on its way to 450 mm out from the wall and 600 mm down, runs 28 mm into mantel; it must pass 25 mm clear.
    "#]].assert_eq(&told(&found));
    assert!(!found[1].remedies.is_empty());
    for remedy in &found[1].remedies {
        let after = findings_after(&CHECK, &text, &remedy.edits);
        let fits = after.iter().all(|one| one.verdict == Verdict::Fits);
        assert!(fits, "{} {}", remedy.says, told(&after));
    }
    // Hung in the shelf, it does not pass for clear of it.
    let within = text.replace("height = \"1.41 m\"", "height = \"1.38 m\"");
    assert_eq!(findings(&CHECK, &within)[1].verdict, Verdict::Fails);
    // On the wall by itself it stays where it is.
    let apart = text.replace(
        "under = \"display\"\nmount = \"arm\"",
        "under = \"display\"",
    );
    assert_eq!(findings(&CHECK, &apart).len(), 1);
}

#[test]
fn a_soffit_before_the_wall_is_met_on_the_way_out() {
    // Square to the way the display's upper front corner is at (0.1 · 0.6 + 2.2 · 0.4) /
    // 0.72111 = 1.3035, the soffit's lower edge at (0.17 · 0.6 + 2.1 · 0.4) / 0.72111 =
    // 1.3063: 2.8 mm clear.
    let soffit = r#"
[[space.soffit]]
id = "beam"
from = ["west", "0.17 m"]
and = ["north", "0 m"]
size = ["4 m", "0.3 m"]
underside = "2.1 m"
"#;
    assert_eq!(
        findings(&CHECK, &room(soffit, REACH))[0].verdict,
        Verdict::Fails
    );
}

#[test]
fn links_carry_it_farther_out_than_either_end() {
    // Stand-off 50, reach 450, down 600 mm: chord 721.1 mm. On links of 400 mm the pivots
    // are √(400² − 360.6²) = 173.2 mm behind its middle (250 out, 300 down), at (105.9,
    // 396.1): the back comes out to 505.9 mm, the front to 555.9 mm, 15.9 mm into a
    // cabinet whose near side is 540 mm off the wall. Straight it passes 40 mm before it.
    let cabinet = r#"
[[space.fixture]]
id = "cabinet"
kind = "furniture"
at = { from = ["west", "590 mm"], and = ["north", "2 m"], height = "0.9 m" }
size = ["200 mm", "250 mm", "100 mm"]
"#;
    let value = |reach: &str| {
        let found = findings(&CHECK, &room(cabinet, reach));
        let of = found.iter().find(|one| one.subject.id.ends_with("cabinet"));
        of.expect("the cabinet is near")
            .value
            .clone()
            .expect("decided")
            .value()
    };
    assert!((value(REACH) - 0.04).abs() < 1e-9);
    let linked = format!("{REACH}\nlink = \"400 mm\"");
    assert!((value(&linked) + 0.0159).abs() < 1e-4, "{}", value(&linked));
    // Links that can't span the way are asked about.
    let found = findings(
        &CHECK,
        &room(cabinet, &format!("{REACH}\nlink = \"300 mm\"")),
    );
    assert_eq!(found[0].verdict, Verdict::Unknown);
    assert_eq!(found[0].needs[0].at, "kit.mount.arm-a1.link");
}

#[test]
fn a_tape_on_a_close_shelf_leaves_it_tight() {
    let text = room(&mantel(1.35, 0.112), REACH).replace("\"0.112 m\"", "\"0.112 m ± 20 mm\"");
    assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Tight);
}

#[test]
fn without_reach_or_size_nothing_is_claimed() {
    let found = findings(&CHECK, &room(&mantel(1.35, 0.08), ""));
    assert_eq!(found[0].verdict, Verdict::Unknown);
    assert_eq!(found[0].needs[0].at, "kit.mount.arm-a1.reach");
    let text = room(&mantel(1.35, 0.08), REACH).replace("size = [\"1.4 m\"", "# [\"1.4 m\"");
    let found = findings(&CHECK, &text);
    assert_eq!(found[0].verdict, Verdict::Unknown);
    assert_eq!(found[0].needs[0].at, "space.den.fixture.mantel.size");
}

#[test]
fn a_fixed_mount_is_no_question() {
    let text = room(&mantel(1.35, 0.08), REACH).replace("pull_down = \"600 mm\"", "");
    assert!(findings(&CHECK, &text).is_empty());
}

#[test]
fn each_remedy_makes_it_fit() {
    for (top_m, depth_m) in [(1.35, 0.2), (1.0, 0.9), (1.35, 0.117)] {
        let text = room(&mantel(top_m, depth_m), REACH);
        let found = findings(&CHECK, &text);
        assert!(!found[0].remedies.is_empty(), "{}", told(&found));
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{} {}",
                remedy.says,
                told(&after)
            );
        }
    }
}
