//! Each side by hand, both sides of its limit, soffits and slopes, and remedies.

use expect_test::expect;

use super::CHECK;
use crate::testing::{ROOM, findings, findings_after, findings_of, told};
use crate::{Finding, Verdict};

const SHEET: &str = r#"rear_clearance = "150 mm"
plug_depth = "60 mm"
side_clearance = "100 mm"
exhaust = "left"
exhaust_clearance = "500 mm""#;

/// The screen is on the west wall; the case's back looks east, 6 m away.
fn cinema(from_west: &str, from_north: &str, drop: &str, sheet: &str) -> String {
    format!(
        r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["500 mm", "150 mm", "400 mm"]
{sheet}
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "{from_west}"], and = ["north", "{from_north}"], drop = "{drop}" }}
"#
    )
}

fn side(found: &[Finding], side: &str) -> Finding {
    let ends = format!(".{side}");
    let found = found
        .iter()
        .find(|finding| finding.subject.id.ends_with(&ends));
    found
        .cloned()
        .unwrap_or_else(|| panic!("nothing about {side}"))
}

#[test]
fn each_side_asks_for_its_own_space() {
    // Behind: 6 − 5.5 − 0.2 = 0.3 m. North is on the right of who faces west: 0.9 −
    // 0.25 = 0.65 m. Above: the drop. South is 2.85 m away on the left: not spoken of.
    let found = findings(&CHECK, &cinema("5.5 m", "0.9 m", "100 mm", SHEET));
    expect![[r#"
        projector, behind: fits +0.090: Behind projector there are 300 mm to wall east; asked for are 150 mm for air and 60 mm for plugs and the bend of their cables.
        projector, right: fits +0.550: On the right of projector there are 650 mm to wall north; asked for are 100 mm on each side.
        projector, above: fits +0.075: Above projector there are 100 mm to the ceiling; asked for are 25 mm.
    "#]]
    .assert_eq(&told(&found));
}

#[test]
fn either_side_of_the_rear_limit() {
    // 6 − x − 0.2 = 0.21 at x = 5.59 m; the room is known to some 3 mm.
    for (from_west, verdict) in [
        ("5.58 m", Verdict::Fits),
        ("5.589 m", Verdict::Tight),
        ("5.60 m", Verdict::Fails),
    ] {
        let found = findings(&CHECK, &cinema(from_west, "2 m", "100 mm", SHEET));
        assert_eq!(side(&found, "behind").verdict, verdict, "{from_west}");
    }
}

#[test]
fn plugs_of_unknown_depth_take_the_customary_one() {
    let sheet = r#"rear_clearance = "150 mm""#;
    let found = findings(&CHECK, &cinema("5.5 m", "2 m", "100 mm", sheet));
    let behind = side(&found, "behind");
    assert!((behind.limit.expect("decided") - 0.225).abs() < 1e-12);
    assert_eq!(behind.source, analysis::Source::CommonPractice);
}

#[test]
fn the_exhaust_asks_for_more_than_the_other_side() {
    // 0.4 m to the south wall, on the left, where the exhaust is; as much to the north.
    let found = findings(&CHECK, &cinema("4 m", "3.35 m", "100 mm", SHEET));
    assert_eq!(side(&found, "left").verdict, Verdict::Fails);
    let found = findings(&CHECK, &cinema("4 m", "0.65 m", "100 mm", SHEET));
    assert_eq!(side(&found, "right").verdict, Verdict::Fits);
}

#[test]
fn a_soffit_behind_counts_at_the_height_of_the_case() {
    let soffit = |underside: &str| {
        format!(
            r#"{}
[[space.soffit]]
id = "duct"
from = ["east", "0 m"]
and = ["north", "0 m"]
size = ["4 m", "600 mm"]
underside = "{underside}"
"#,
            cinema("5 m", "2 m", "100 mm", SHEET)
        )
    };
    // 6 − 0.6 − 5 − 0.2 = 0.2 m to the duct's face, 0.21 m asked.
    let found = findings(&CHECK, &soffit("2.2 m"));
    let behind = side(&found, "behind");
    assert_eq!(behind.verdict, Verdict::Fails, "{}", behind.because);
    assert!((behind.value.clone().expect("decided").value() - 0.2).abs() < 1e-3);
    // The case ends 150 mm below 2.3 m; a duct above that passes over.
    let found = findings(&CHECK, &soffit("2.35 m"));
    assert_eq!(side(&found, "behind").verdict, Verdict::Fits);
}

#[test]
fn a_flush_case_lacks_its_gap_above() {
    let found = findings(&CHECK, &cinema("4 m", "2 m", "0 mm", SHEET));
    assert_eq!(side(&found, "above").verdict, Verdict::Fails);
}

#[test]
fn without_the_sheet_nothing_is_claimed_of_the_back() {
    let found = findings(&CHECK, &cinema("4 m", "2 m", "100 mm", ""));
    let behind = side(&found, "behind");
    assert_eq!(behind.verdict, Verdict::Unknown);
    assert_eq!(
        behind.needs[0].at,
        "kit.projector.projector-p3.rear_clearance"
    );
}

#[test]
fn each_remedy_mends_it_alone() {
    for (from_west, from_north, drop, which) in [
        ("5.7 m", "2 m", "100 mm", "behind"),
        ("4 m", "3.3 m", "100 mm", "left"),
        ("4 m", "0.3 m", "100 mm", "right"),
        ("4 m", "2 m", "10 mm", "above"),
    ] {
        let text = cinema(from_west, from_north, drop, SHEET);
        let before = side(&findings(&CHECK, &text), which);
        assert_eq!(before.verdict, Verdict::Fails, "{which}");
        assert_eq!(before.remedies.len(), 1, "{which}");
        let after = findings_after(&CHECK, &text, &before.remedies[0].edits);
        let after = side(&after, which);
        assert_eq!(
            after.verdict,
            Verdict::Fits,
            "{}: {}",
            before.remedies[0].says,
            after.because
        );
    }
}

/// The cinema under another ceiling, which `told` hangs lower than the flat one.
fn under(ceiling: &str, text: &str) -> Vec<Finding> {
    let flat = "{ shape = \"flat\", height = \"2.4 m\" }";
    assert!(ROOM.contains(flat));
    findings_of(&CHECK, &format!("{}{text}", ROOM.replace(flat, ceiling)))
}

/// Rising from 1.8 m at the north wall to 2.6 m at the south one, 0.2 in the metre.
const SHED: &str = r#"{ shape = "shed", low = "north", eaves = "1.8 m", top = "2.6 m" }"#;

#[test]
fn beside_the_case_a_slope_counts_where_it_is_down_to_its_middle() {
    // At 2 m from north the ceiling is 2.2 m high, and the case's middle 0.1 + 0.075 m
    // below that. Its side is 1.75 m from north, where the ceiling is 2.15 m: 0.125 m above
    // the middle, which a slope of 0.2 falls in 0.625 m. South the ceiling rises.
    let found = under(SHED, &cinema("4 m", "2 m", "100 mm", SHEET));
    let right = side(&found, "right");
    assert!((right.value.as_ref().expect("decided").value() - 0.625).abs() < 1e-3);
    assert_eq!(right.verdict, Verdict::Fits);
    assert!(
        right.because.contains("the sloping ceiling"),
        "{}",
        right.because
    );
    assert!(
        !found
            .iter()
            .any(|finding| finding.subject.id.ends_with(".left"))
    );
    // The lowest corner decides above: 2.15 − 2.1 m.
    assert!(
        (side(&found, "above")
            .value
            .clone()
            .expect("decided")
            .value()
            - 0.05)
            .abs()
            < 1e-3
    );
}

#[test]
fn either_side_of_the_clearance_to_a_slope() {
    // At the drop d the middle hangs d + 0.025 m below the ceiling at the side: 0.5 m of
    // free space take d = 0.5 · 0.2 − 0.025 = 75 mm. The exhaust looks north here.
    let sheet = SHEET.replace("\"left\"", "\"right\"");
    for (drop, verdict) in [
        ("74 mm", Verdict::Fails),
        ("76 mm", Verdict::Tight),
        ("85 mm", Verdict::Fits),
    ] {
        let found = under(SHED, &cinema("4 m", "2 m", drop, &sheet));
        assert_eq!(side(&found, "right").verdict, verdict, "{drop}");
    }
}

#[test]
fn what_hangs_beside_a_slope_is_lowered() {
    let sheet = SHEET.replace("\"left\"", "\"right\"");
    let text = cinema("4 m", "2 m", "50 mm", &sheet);
    let right = side(&under(SHED, &text), "right");
    assert_eq!(right.verdict, Verdict::Fails);
    assert_eq!(right.remedies.len(), 1, "{:?}", right.remedies);
    let drop = right.remedies[0].edits[0].set.as_ref();
    let drop = drop.and_then(serde_json::Value::as_str).expect("a drop");
    let after = under(SHED, &cinema("4 m", "2 m", drop, &sheet));
    assert_eq!(side(&after, "right").verdict, Verdict::Fits);
}

#[test]
fn under_a_gable_both_sides_slope_away() {
    // The ridge runs over the case from west to east, 2 m from north: 1.6 m at the eaves and
    // 2.6 m at the ridge, 0.5 in the metre. Each side is 0.25 m from the ridge, where the
    // ceiling is 2.475 m high; the case's middle is at 2.6 − 0.3 − 0.075 = 2.225 m.
    let gable = r#"{ shape = "gable", ridge = ["west", "east"], eaves = "1.6 m", top = "2.6 m" }"#;
    let found = under(gable, &cinema("4 m", "2 m", "300 mm", SHEET));
    for which in ["left", "right"] {
        let value = side(&found, which).value.clone().expect("decided").value();
        assert!((value - 0.5).abs() < 2e-3, "{which}: {value}");
    }
    let above = side(&found, "above")
        .value
        .clone()
        .expect("decided")
        .value();
    assert!((above - 0.175).abs() < 2e-3, "{above}");
}

#[test]
fn a_valley_over_the_case_is_lowest_between_its_corners() {
    // Two planes that meet 2 m from north at 2.2 m and rise by 0.2 in the metre to both
    // sides: the corners, 0.25 m off the valley, have 50 mm more above them.
    let point = |from_west: &str, from_north: &str, height: &str| {
        format!(
            r#"{{ from = ["west", "{from_west}"], and = ["north", "{from_north}"], height = "{height}" }}"#
        )
    };
    let plane = |edge: &str| {
        let points = [
            point("1 m", "2 m", "2.2 m"),
            point("5 m", "2 m", "2.2 m"),
            point("1 m", edge, "2.6 m"),
        ];
        format!("{{ through = [{}] }}", points.join(", "))
    };
    let valley = format!(
        r#"{{ shape = "planes", join = "highest", planes = [{}, {}] }}"#,
        plane("0 m"),
        plane("4 m")
    );
    // Hung at 2.1 m from north, where the ceiling is 2.22 m high, with its top 0.1 m lower.
    let found = under(&valley, &cinema("4 m", "2.1 m", "100 mm", SHEET));
    let above = side(&found, "above")
        .value
        .clone()
        .expect("decided")
        .value();
    assert!((above - 0.08).abs() < 2e-3, "{above}");
    // Nothing comes down beside it: the other plane holds the ceiling up.
    assert!(
        !found
            .iter()
            .any(|finding| finding.because.contains("sloping"))
    );
}
