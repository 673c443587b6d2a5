//! Both sides of each limit by hand, both ways to print it, joint shapes, and remedies.

use expect_test::expect;

use super::CHECK;
use crate::testing::{findings, findings_after, told};
use crate::{Finding, Verdict};

/// A picture 1.6 × 0.9 m, its middle 1.3 m up and 2 m from the north wall. The lens is
/// 75 mm above the case's underside: at 2.4 m − drop − 75 mm.
fn cinema(from_north: &str, drop: &str, shift: &str) -> String {
    format!(
        r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "1.6 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
{shift}
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "3 m"], and = ["north", "{from_north}"], drop = "{drop}" }}
"#
    )
}

fn only(from_north: &str, drop: &str, shift: &str) -> Finding {
    let mut found = findings(&CHECK, &cinema(from_north, drop, shift));
    assert_eq!(found.len(), 1);
    found.remove(0)
}

const DIAMOND: &str = r#"shift = { up = 70, across = 20, of = "picture", joint = "diamond" }"#;

#[test]
fn the_used_share_is_what_a_hand_works_out() {
    // Lens at 2.4 − 0.575 − 0.075 = 1.75 m, 0.45 m above the middle: v = −0.45/0.9 =
    // −0.5; 80 mm off the middle: u = 0.08/1.6 = 0.05. 0.5/0.7 + 0.05/0.2 = 0.964.
    // Facing the west wall, north is on the right: 1.92 m from north is a lens to the
    // right of the picture, which goes to the left.
    expect![[r#"
            projector: fits +0.036: The lens of projector must shift the picture 50 % of its height down and 5 % of its width to the left: 96.4 % of what it can do (70 % down, 20 % across, both together within a diamond).
        "#]]
    .assert_eq(&told(&[only("1.92 m", "575 mm", DIAMOND)]));
}

#[test]
fn either_side_of_the_limit() {
    // Level ± tape: the ceiling's ±3 mm are 0.003/0.9/0.7 = 0.5 % of the limit.
    // All of it is used at v = 0.7: a lens 0.63 m up, a drop of 395 mm.
    assert_eq!(only("2 m", "380 mm", DIAMOND).verdict, Verdict::Fails);
    assert_eq!(only("2 m", "480 mm", DIAMOND).verdict, Verdict::Fits);
}

#[test]
fn half_pictures_count_double() {
    let half = r#"shift = { up = 140, across = 40, of = "half-picture", joint = "diamond" }"#;
    let found = [DIAMOND, half].map(|shift| only("1.92 m", "575 mm", shift));
    let [full, half] = found.map(|finding| finding.value.clone().expect("decided").value());
    assert!((full - half).abs() < 1e-12);
}

#[test]
fn the_joint_shape_decides_and_the_strictest_is_taken_when_unknown() {
    // v/V = 0.7143, u/U = 0.5: diamond 1.214, ellipse 0.872, rectangle 0.714.
    let of = |joint: &str| {
        let shift = format!(r#"shift = {{ up = 70, across = 20, of = "picture"{joint} }}"#);
        only("1.84 m", "575 mm", &shift)
    };
    for (joint, used) in [
        (r#", joint = "diamond""#, 1.2143),
        (r#", joint = "ellipse""#, 0.8719),
        (r#", joint = "rectangle""#, 0.7143),
        ("", 1.2143),
    ] {
        let value = of(joint).value.clone().expect("decided").value();
        assert!((value - used).abs() < 1e-3, "{joint}: {value}");
    }
}

#[test]
fn tilting_is_named_as_the_last_resort_with_its_cost() {
    // v = 0.764 of 0.7: 57 mm lack over 2.8 m: a tilt of 1.2°, and 1 % of the light.
    let found = only("2 m", "340 mm", DIAMOND);
    assert_eq!(found.verdict, Verdict::Fails);
    assert!(found.because.contains("last resort"), "{}", found.because);
    // A lens that fits needs none.
    assert!(
        !only("2 m", "575 mm", DIAMOND)
            .because
            .contains("last resort")
    );
}

#[test]
fn down_may_differ_from_up() {
    let shift = r#"shift = { up = 70, down = 40, across = 20, of = "picture" }"#;
    assert_eq!(only("2 m", "575 mm", shift).verdict, Verdict::Fails);
}

#[test]
fn a_lens_without_shift_fits_only_on_the_axis() {
    let none = r#"shift = { up = 0, across = 0, of = "picture" }"#;
    let found = only("2 m", "575 mm", none);
    assert_eq!(found.verdict, Verdict::Fails);
    assert!(found.value.clone().expect("decided").value().is_finite());
    // Lens at 1.3 m: drop 1.025 m.
    assert_ne!(only("2 m", "1.025 m", none).verdict, Verdict::Fails);
}

#[test]
fn a_chart_decides_instead_of_a_shape() {
    // v/V = 0.7143, u/U = 0.5: on the chart's slant from (1, 0) to (0.25, 1) the same
    // way reaches u/U = 0.7 u', 0.5 t = 1 − 0.75 × 0.7143 t, so t = 0.9655.
    let shift =
        r#"shift = { up = 70, across = 20, of = "picture", chart = [[20, 0], [5, 70], [0, 70]] }"#;
    let found = only("1.84 m", "575 mm", shift);
    let value = found.value.clone().expect("decided").value();
    assert!((value - 1.0357).abs() < 1e-3, "{value}");
    assert!(found.because.contains("the maker's chart"));
    let turned = r#"shift = { up = 70, across = 20, of = "picture", chart = [[20, 0], [0, 60]] }"#;
    let found = only("1.84 m", "575 mm", turned);
    assert_eq!(found.verdict, Verdict::Unknown);
    assert_eq!(found.needs[0].at, "kit.projector.projector-p3.shift.chart");
}

#[test]
fn a_fixed_offset_lens_fits_at_its_own_height_alone() {
    // 105 % from the axis to the far edge: the axis is 0.05 of 0.9 m above the upper
    // edge of 1.75 m, at 1.795 m: a drop of 530 mm.
    assert_eq!(
        only("2 m", "530 mm", "offset = 105").verdict,
        Verdict::Tight
    );
    let found = only("2 m", "575 mm", "offset = 105");
    assert_eq!(found.verdict, Verdict::Fails);
    assert!(
        found
            .because
            .contains("built-in offset of 55\u{202f}% down"),
        "{}",
        found.because
    );
    for remedy in &found.remedies {
        let text = cinema("2 m", "575 mm", "offset = 105");
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_ne!(after[0].verdict, Verdict::Fails, "{}", remedy.says);
    }
    let found = only("2 m", "575 mm", "offset = 40");
    assert_eq!(found.needs[0].at, "kit.projector.projector-p3.offset");
}

#[test]
fn a_paced_place_on_the_axis_is_as_uncertain_as_off_it() {
    let shift = r#"shift = { up = 70, across = 2, of = "picture" }"#;
    assert_eq!(
        only("2 m ± 40 mm", "1.025 m", shift).verdict,
        Verdict::Tight
    );
}

#[test]
fn without_the_shift_nothing_is_claimed() {
    let found = only("2 m", "575 mm", "");
    assert_eq!(found.verdict, Verdict::Unknown);
    assert_eq!(found.needs[0].at, "kit.projector.projector-p3.shift");
}

#[test]
fn each_remedy_mends_it_alone() {
    for (from_north, drop, count) in [
        ("2 m", "380 mm", 2),
        ("1.84 m", "575 mm", 3),
        // Too far aside for any height, too high for any place: both at once.
        ("1.6 m", "200 mm", 1),
    ] {
        let text = cinema(from_north, drop, DIAMOND);
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].remedies.len(), count, "{:?}", found[0].remedies);
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
