//! Each kind of thing against hand-worked pyramids, both sides, and every remedy.

use expect_test::expect;

use super::CHECK;
use crate::testing::{findings, findings_after, told};
use crate::{Finding, Verdict};

/// A picture 1.6 × 0.9 m on the west wall, its middle 2 m from north and 1.3 m up: from
/// 0.85 to 1.75 m. The lens, 20 mm wide, is 4 m from it, on its middle line, at
/// 2.4 − drop − 75 mm: 1.75 m, level with the upper edge, for a drop of 575 mm.
fn cinema(drop: &str, extra: &str) -> String {
    format!(
        r#"
[[space.seat]]
id = "far"
at = {{ from = ["west", "5.6 m"], and = ["north", "3.6 m"] }}
eye = "1.1 m"
{extra}
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "1.6 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
lens_diameter = "20 mm"
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "4.2 m"], and = ["north", "2 m"], drop = "{drop}" }}
"#
    )
}

fn about(found: &[Finding], other: &str) -> Finding {
    let ends = format!("+{other}");
    let found = found
        .iter()
        .find(|finding| finding.subject.id.ends_with(&ends));
    found
        .cloned()
        .unwrap_or_else(|| panic!("nothing about {other}"))
}

fn gap(found: &[Finding], other: &str) -> f64 {
    about(found, other).value.clone().expect("decided").value()
}

fn lamp(drop: &str) -> String {
    format!(
        r#"
[[space.fixture]]
id = "pendant"
kind = "ceiling-light"
hung = {{ from = ["west", "2 m"], and = ["north", "2 m"], drop = "{drop}" }}
size = ["300 mm", "200 mm", "300 mm"]
"#
    )
}

fn mends_alone(text: &str, other: &str, count: usize) {
    let before = about(&findings(&CHECK, text), other);
    assert_eq!(before.verdict, Verdict::Fails, "{}", before.because);
    assert_eq!(before.remedies.len(), count, "{:#?}", before.remedies);
    for remedy in &before.remedies {
        let after = findings_after(&CHECK, text, &remedy.edits);
        let ends = format!("+{other}");
        // Beyond what is told there is no finding left.
        let left = after
            .iter()
            .find(|finding| finding.subject.id.ends_with(&ends));
        assert!(
            left.is_none_or(|finding| finding.verdict == Verdict::Fits),
            "{}: {}",
            remedy.says,
            told(&after)
        );
    }
}

#[test]
fn a_beam_with_nobody_near_tells_of_the_nearest() {
    // Seat "far": 1.6 m aside and behind the lens.
    let found = findings(&CHECK, &cinema("575 mm", ""));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].subject.id, "projector");
    assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
}

#[test]
fn a_lamp_above_the_beam_is_its_drop_away() {
    // The beam's upper side is level at 1.75 m. A lamp whose underside is at 2.4 − 0.4 −
    // 0.2 = 1.8 m is 50 mm above it, less the 10 mm of the lens: 40 mm.
    let found = findings(&CHECK, &cinema("575 mm", &lamp("400 mm")));
    assert!((gap(&found, "pendant") - 0.040).abs() < 1e-6);
    expect![[r#"
            projector and pendant: fails -0.010: The beam of projector, wider by the radius of its lens, passes 40 mm from pendant; 50 mm are asked for.
        "#]]
    .assert_eq(&told(&found));
    for (drop, verdict) in [
        ("391 mm", Verdict::Fails),
        ("389.9 mm", Verdict::Tight),
        ("370 mm", Verdict::Fits),
    ] {
        let found = findings(&CHECK, &cinema("575 mm", &lamp(drop)));
        assert_eq!(about(&found, "pendant").verdict, verdict, "{drop}");
    }
}

#[test]
fn a_tape_is_not_good_enough_for_a_paced_lamp() {
    let found = findings(&CHECK, &cinema("575 mm", &lamp("370 mm ± 40 mm")));
    assert_eq!(about(&found, "pendant").verdict, Verdict::Tight);
}

#[test]
fn remedies_for_a_lamp_in_the_beam() {
    // Lower the lens, or shift the lamp up or aside. Raising the lens or moving it
    // within a metre does not free a lamp in the middle of the beam.
    mends_alone(&cinema("575 mm", &lamp("420 mm")), "pendant", 3);
}

#[test]
fn a_soffit_has_no_remedy_of_its_own() {
    let soffit = r#"
[[space.soffit]]
id = "beam"
from = ["west", "2 m"]
and = ["north", "0 m"]
size = ["4 m", "200 mm"]
underside = "1.74 m"
"#;
    let text = cinema("575 mm", soffit);
    let found = findings(&CHECK, &text);
    // The upper side of the beam is 1.75 m all along: 10 mm deep, and 10 mm of lens.
    assert!((gap(&found, "beam") + 0.020).abs() < 1e-6);
    mends_alone(&text, "beam", 1);
}

#[test]
fn somebody_standing_in_the_beam_is_a_passing_shadow() {
    let seat = r#"
[[space.seat]]
id = "front"
at = { from = ["west", "2 m"], and = ["north", "2 m"] }
eye = "1.0 m"
"#;
    let found = findings(&CHECK, &cinema("575 mm", seat));
    // Standing, 2 m high, in the middle of it.
    let standing = about(&found, "front.standing");
    assert_eq!(standing.verdict, Verdict::Fails);
    assert!(
        standing.because.contains("each time a shadow crosses"),
        "{}",
        standing.because
    );
    // Seated: the crown at 1.12 m; at 2.25 m from the screen, on the near side of the
    // person, the beam's lower side is at 0.85 + 0.9·2.25/4 = 1.356 m, and at 1.75 m
    // 1.244 m: there it is nearest, cos(atan(0.9/4)) · (1.2438 − 1.12) − 10 mm = 110.8 mm.
    assert!(
        (gap(&found, "front") - 0.1108).abs() < 1e-3,
        "{}",
        told(&found)
    );
}

#[test]
fn a_walkway_is_as_wide_as_the_people_on_it() {
    let walkway = |size: &str| {
        format!(
            r#"
[[space.fixture]]
id = "way"
kind = "walkway"
at = {{ from = ["north", "3.2 m"], and = ["west", "2 m"] }}
{size}
"#
        )
    };
    // Half way the beam is 0.4 m wide to each side: to 2.4 m from north. A person at
    // 3.2 m begins at 2.95 m: 0.55 m away, square to the slant side × cos(atan(0.8/4)).
    let found = findings(&CHECK, &cinema("575 mm", &walkway("")));
    let slant = 1.0 / (1.0f64 + 0.2 * 0.2).sqrt();
    // The cylinder's own nearest point: 0.8 m from axis to side, × slant − 0.25 − 0.01.
    let gap_m = found
        .iter()
        .find(|finding| finding.subject.id.ends_with("projector"))
        .expect("the nearest");
    let value = gap_m.value.as_ref().expect("decided").value();
    assert!((value - (0.8 * slant - 0.26)).abs() < 1e-3, "{value}");
    // An area 1 m across begins at 3.2 − 0.5 − 0.25 = 2.45 m.
    let found = findings(
        &CHECK,
        &cinema("575 mm", &walkway(r#"size = ["1 m", "1 m", "1 m"]"#)),
    );
    // Its corner nearest to the screen is 1.25 m from it, where the beam ends 2 + 0.8 ·
    // 2.75/4 = 2.55 m from north: 0.1 m inside.
    let value = gap(&found, "way");
    assert!((value - (-0.1 * slant - 0.01)).abs() < 1e-3, "{value}");
}

#[test]
fn furniture_in_the_way_can_be_moved() {
    let shelf = r#"
[[space.fixture]]
id = "shelf"
kind = "furniture"
at = { from = ["west", "3 m"], and = ["north", "1.6 m"] }
size = ["400 mm", "1.6 m", "400 mm"]
"#;
    let text = cinema("575 mm", shelf);
    let found = findings(&CHECK, &text);
    assert_eq!(about(&found, "shelf").verdict, Verdict::Fails);
    let moves = about(&found, "shelf").remedies.clone();
    assert!(
        moves
            .iter()
            .any(|remedy| remedy.says.starts_with("Move shelf")),
        "{moves:?}"
    );
    mends_alone(&text, "shelf", moves.len());
}

#[test]
fn a_tall_door_leaf_is_seen_where_it_swings() {
    let door = |opens: &str| {
        format!(
            r#"
[[space.opening]]
id = "hall-door"
kind = "door"
on = {{ wall = "north", from_left = "0.2 m", height = "0 m" }}
size = ["1 m", "2 m"]
swing = {{ hinge = "right", into = "room", opens = "{opens}" }}
"#
        )
    };
    // At 90° its edge is 1 m from north and 1.2 m from west, where the beam begins
    // 2 − 0.8·2.8/4 = 1.44 m from north.
    let found = findings(&CHECK, &cinema("575 mm", &door("90 deg")));
    let slant = 1.0 / (1.0f64 + 0.2 * 0.2).sqrt();
    let value = gap(&found, "hall-door.leaf");
    assert!((value - (0.44 * slant - 0.01)).abs() < 0.02, "{value}");
}

#[test]
fn what_is_not_known_is_asked_for() {
    let text = cinema(
        "575 mm",
        &lamp("400 mm").replace("size =", r#"note = "x" #"#),
    );
    let found = findings(&CHECK, &text);
    let pendant = about(&found, "pendant");
    assert_eq!(pendant.verdict, Verdict::Unknown);
    assert_eq!(pendant.needs[0].at, "space.den.fixture.pendant.size");
}

#[test]
fn an_assumed_lens_is_marked_by_its_tolerance() {
    let text = cinema("575 mm", &lamp("370 mm")).replace(r#"lens_diameter = "20 mm""#, "");
    let found = findings(&CHECK, &text);
    // 80 mm less 30 mm of an assumed lens: the margin itself, ± 15 mm.
    assert!((gap(&found, "pendant") - 0.050).abs() < 1e-6);
    assert_eq!(about(&found, "pendant").verdict, Verdict::Tight);
}
