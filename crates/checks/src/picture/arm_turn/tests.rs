//! A display 1.2 m × 0.7 m on an arm that reaches 450 mm.

use expect_test::expect;

use super::CHECK;
use crate::Verdict;
use crate::testing::{findings, findings_after, told};

fn room(extra: &str, mount: &str, item: &str) -> String {
    format!(
        r#"
[survey]
by = "laser"
{extra}
[[kit.display]]
id = "display-d1"
diagonal = "1.2 m"
size = ["1.2 m", "0.7 m", "50 mm"]
[[kit.mount]]
id = "arm-a1"
standoff = "50 mm"
{mount}
[[item]]
id = "arm"
is = "arm-a1"
space = "den"
[[item]]
id = "display"
is = "display-d1"
mount = "arm"
{item}
on = {{ wall = "west", from_left = "2 m", height = "1.4 m" }}
"#
    )
}

fn swing(turns: &str) -> String {
    format!("reach = \"450 mm\"\nturns = \"{turns}\"")
}

#[test]
fn a_display_that_turns_a_little_clears_its_wall() {
    // 450 − 600 sin 30° = 150 mm.
    expect![[r#"
            display past its wall: fits +0.125: display, turned up to 30°, stays 150 mm clear of its wall; 25 mm clear is the least, and it is pulled 325 mm out before it is turned so far.
        "#]]
    .assert_eq(&told(&findings(&CHECK, &room("", &swing("30 deg"), ""))));
}

#[test]
fn the_wall_holds_from_both_sides() {
    // 25 mm: sin ψ = 425/600, ψ = 45.099°.
    let verdict = |turns: &str| findings(&CHECK, &room("", &swing(turns), ""))[0].verdict;
    assert_eq!(verdict("45 deg"), Verdict::Fits);
    assert_eq!(verdict("45.2 deg"), Verdict::Fails);
    // Tilted 10° as well: the least over the turn is at tan ψ = 1.2/(0.7 sin 10°), far on.
    let tilted = format!("{}\ntilt_down = \"10 deg\"", swing("40 deg"));
    let found = findings(&CHECK, &room("", &tilted, ""));
    // 450 − 600 sin 40° − 350 sin 10° cos 40° = 17.8 mm.
    let value = found[0].value.as_ref().expect("decided").value();
    assert!((value - 0.017_77).abs() < 2e-5, "{value}");
}

#[test]
fn a_tilted_display_on_a_flat_mount_meets_the_wall_below() {
    // 50 − 350 sin 5° = 19.5 mm; 4° leaves 25.6 mm.
    let mount = "tilt_down = \"15 deg\"";
    let found = findings(&CHECK, &room("", mount, "tilt = \"5 deg\""));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
    let found = findings(&CHECK, &room("", mount, "tilt = \"4 deg\""));
    assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
    assert!(findings(&CHECK, &room("", mount, "")).is_empty());
}

/// A lamp 100 mm wide that stands 300 mm out of the wall, its near side this far left of the
/// display's middle.
fn lamp(left_m: f64) -> String {
    let middle = 2.0 - left_m - 0.05;
    format!(
        r#"
[[space.fixture]]
id = "lamp"
kind = "wall-light"
on = {{ wall = "west", from_left = "{middle} m", height = "1.4 m" }}
size = ["100 mm", "200 mm", "300 mm"]
"#
    )
}

#[test]
fn a_lamp_beside_it_is_met_on_the_turn() {
    // Turned 30° the left rear edge is at 600 cos 30° = 519.6 mm to the left and 150 mm off:
    // through a lamp whose side is 500 mm from the middle, clear of one at 700 mm.
    let about = |left_m: f64| {
        let found = findings(&CHECK, &room(&lamp(left_m), &swing("30 deg"), ""));
        found
            .into_iter()
            .find(|one| one.subject.id.ends_with("lamp"))
    };
    let hit = about(0.5).expect("near");
    assert_eq!(hit.verdict, Verdict::Fails, "{}", hit.because);
    let clear = about(0.7).expect("near enough to tell");
    assert_eq!(clear.verdict, Verdict::Fits, "{}", clear.because);
    let value = clear.value.clone().expect("decided").value();
    // On the way round the front edge is √(600² + 50²) = 602.1 mm from the axis; the lamp's
    // near front corner is √(700² + 150²) = 715.9 mm from it.
    assert!((value - 0.1138).abs() < 5e-4, "{value}");
}

#[test]
fn the_swept_solid_is_no_larger_than_its_poses() {
    // Against poses tried one by one on a fine grid, and never nearer than the ball.
    let found = findings(&CHECK, &room(&lamp(0.62), &swing("60 deg"), ""));
    let lamp = found.iter().find(|one| one.subject.id.ends_with("lamp"));
    let value = lamp
        .and_then(|one| one.value.clone())
        .expect("decided")
        .value();
    let corner = [-0.62f64, -0.15];
    let least = (-6000..=6000)
        .map(|count| {
            let turn = f64::from(count) / 6000.0 * 60f64.to_radians();
            // The panel in plan: from its axis 600 mm to each side, 50 mm forwards.
            let (sin, cos) = turn.sin_cos();
            let local = [
                corner[0] * cos - corner[1] * sin,
                corner[0] * sin + corner[1] * cos,
            ];
            let across = (local[0].abs() - 0.6).max(0.0);
            let ahead = (-local[1]).max(local[1] - 0.05).max(0.0);
            across.hypot(ahead)
        })
        .fold(f64::INFINITY, f64::min);
    // The lamp's near front corner is what comes nearest.
    assert!((value - least).abs() < 1e-3, "{value} {least}");
}

#[test]
fn without_a_reach_it_is_asked_for() {
    let found = findings(&CHECK, &room("", "turns = \"30 deg\"", ""));
    assert_eq!(found[0].verdict, Verdict::Unknown);
    assert_eq!(found[0].needs[0].at, "kit.mount.arm-a1.reach");
}

#[test]
fn each_remedy_mends_it() {
    for text in [
        room("", &swing("60 deg"), ""),
        room(&lamp(0.5), &swing("30 deg"), ""),
        room("", "tilt_down = \"15 deg\"", "tilt = \"10 deg\""),
    ] {
        let found = findings(&CHECK, &text);
        let failing = found.iter().find(|one| one.verdict == Verdict::Fails);
        let failing = failing.expect("something fails");
        assert!(!failing.remedies.is_empty(), "{}", told(&found));
        for remedy in &failing.remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            let same = after
                .iter()
                .find(|one| one.subject.id == failing.subject.id);
            assert!(
                same.is_none_or(|one| one.verdict == Verdict::Fits),
                "{} {}",
                remedy.says,
                told(&after)
            );
        }
    }
}
