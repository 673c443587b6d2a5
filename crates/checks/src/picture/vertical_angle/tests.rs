//! Both limits, the better of an arm's two positions, and each remedy.

use expect_test::expect;

use super::CHECK;
use crate::Verdict;
use crate::testing::{findings, findings_after, told};

/// A display 1.2 m by 0.675 m on the west wall, and a seat square before it.
fn room(centre: &str, off_west: &str, mount: &str) -> String {
    format!(
        r#"
[[kit.display]]
id = "display-d1"
diagonal = "1.3768 m"
size = ["1.22 m", "0.7 m", "0 m"]
[[kit.mount]]
id = "arm-a1"
standoff = "0 m"
reach = "0.3 m"
pull_down = "600 mm"
[[kit.mount]]
id = "flat-f1"
standoff = "0 m"
[[item]]
id = "display"
is = "display-d1"
on = {{ wall = "west", from_left = "2 m", height = "{centre}" }}
{mount}
[[item]]
id = "arm"
is = "arm-a1"
space = "den"
[[item]]
id = "flat"
is = "flat-f1"
space = "den"
[[space.seat]]
id = "sofa"
at = {{ from = ["west", "{off_west}"], and = ["north", "2 m"] }}
eye = "1.1 m laser"
"#
    )
}

fn verdict(centre: &str) -> Verdict {
    findings(&CHECK, &room(centre, "3 m laser", ""))[0].verdict
}

#[test]
fn a_low_picture_fits() {
    // Centre: atan(0.3 / 3) = 5.71°, margin 9.29° = 0.162 rad.
    expect![[r#"
            seat sofa: fits +0.162: From seat sofa the centre of display stands 5.7° above the eyes (at most 15°) and its top edge 12.0° (at most 35°).
        "#]].assert_eq(&told(&findings(&CHECK, &room("1.4 m", "3 m", ""))));
}

#[test]
fn the_centre_decides_far_away() {
    // 15°: Δz = 3 tan 15° = 0.8038 m over 1.1 m.
    assert_eq!(verdict("1.895 m"), Verdict::Fits);
    assert_eq!(verdict("1.905 m"), Verdict::Fails);
}

#[test]
fn the_top_edge_decides_close_by() {
    // At 1 m: top 35° is Δz = 0.7002 m, centre 0.7002 − 0.3375 = 0.3627 m, 19.9°;
    // with a centre limit of 30° the top edge decides.
    let rules = "[rules]\nvertical_angle_centre_max = \"30 deg\"\n";
    let at = |centre: &str| {
        let text = format!("{}{rules}", room(centre, "1 m laser", ""));
        findings(&CHECK, &text)[0].clone()
    };
    assert_eq!(at("1.452 m").verdict, Verdict::Fits);
    assert_eq!(at("1.466 m").verdict, Verdict::Fails);
    assert!((at("1.466 m").limit.unwrap().to_degrees() - 35.0).abs() < 1e-9);
}

#[test]
fn an_arm_is_judged_in_its_better_position() {
    // 1.95 m is 15.8° parked; pulled down to 1.35 m and 0.3 m nearer: atan(0.25 / 2.7) = 5.3°.
    let text = room("1.95 m", "3 m", "mount = \"arm\"");
    expect![[r#"
            seat sofa: fits +0.169: From seat sofa the centre of display, pulled down, stands 5.3° above the eyes (at most 15°) and its top edge 12.3° (at most 35°).
        "#]].assert_eq(&told(&findings(&CHECK, &text)));
}

#[test]
fn an_eye_height_from_a_table_leaves_it_tight() {
    let text = room("1.89 m", "3 m", "").replace("eye = \"1.1 m laser\"", "");
    assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Tight);
}

#[test]
fn who_lies_on_a_bed_looks_up_at_rest() {
    // Eyes 0.8 m high, at rest 30° up. The centre at 2 m: atan(1.2 / 3) − 30° = −8.2°.
    let bed = |centre: &str| {
        room(centre, "3 m laser", "").replace(
            "eye = \"1.1 m laser\"",
            "eye = \"0.8 m laser\"\npitch = \"30 deg\"",
        )
    };
    let found = findings(&CHECK, &bed("2 m"));
    assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
    // 15° below rest: 0.8 + 3 tan 15° = 1.6038 m.
    let verdict = |centre: &str| findings(&CHECK, &bed(centre))[0].verdict;
    assert_eq!(verdict("1.8 m"), Verdict::Fits);
    assert_ne!(verdict("1.61 m"), Verdict::Fails);
    assert_eq!(verdict("1.59 m"), Verdict::Fails);
    let text = bed("1.2 m");
    let found = findings(&CHECK, &text);
    assert_eq!(found[0].remedies.len(), 1, "{}", told(&found));
    let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
    assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
}

#[test]
fn a_seat_that_leans_back_looks_up_by_about_half() {
    // Leaning back 40°, at rest 20° ± 20°: nobody can tell from here.
    let text = room("1.6 m", "3 m laser", "").replace(
        "eye = \"1.1 m laser\"",
        "eye = \"1.1 m laser\"\nrecline = \"40 deg\"",
    );
    let found = findings(&CHECK, &text);
    assert_eq!(found[0].verdict, Verdict::Tight, "{}", told(&found));
    // Eyes 0.76 sin 40° = 0.4885 m back and 0.76 (1 − cos 40°) = 0.1778 m down:
    // atan(0.6778 / 3.4885) − 20° = −9.0°, 6° from the limit below rest.
    let margin = found[0].margin.as_ref().expect("decided").value();
    assert!((margin.to_degrees() - 6.0).abs() < 0.05, "{margin}");
}

#[test]
fn one_height_suits_both_rows_best() {
    // Eyes 1.1 m high 3 m away and 1.5 m high 4.5 m away: (z − 1.1) / 3 = (1.5 − z) / 4.5
    // at z = 1.26 m.
    let rear = r#"
[[space.seat]]
id = "rear"
at = { from = ["west", "4.5 m laser"], and = ["north", "2 m"] }
eye = "1.5 m laser"
"#;
    let text = format!("{}{rear}", room("2.2 m", "3 m laser", ""));
    let found = findings(&CHECK, &text);
    let best = found[0].remedies.last().expect("a remedy");
    assert!(best.says.contains("suits all 2 seats"), "{}", best.says);
    assert!(
        best.says.replace('\u{202f}', " ").contains("at 1.26 m"),
        "{}",
        best.says
    );
    let after = findings_after(&CHECK, &text, &best.edits);
    let open = after.iter().filter(|one| one.verdict != Verdict::Fits);
    assert_eq!(open.count(), 0, "{}", told(&after));
}

#[test]
fn an_unplaced_display_is_unknown() {
    let text = room("?", "3 m", "");
    let found = findings(&CHECK, &text);
    assert_eq!(found[0].verdict, Verdict::Unknown);
    assert_eq!(found[0].needs[0].at, "item.display.on.height");
}

#[test]
fn each_remedy_makes_it_fit() {
    for mount in ["", "mount = \"flat\""] {
        let text = room("2 m", "3 m", mount);
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].remedies.len(), 3, "{}", told(&found));
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
