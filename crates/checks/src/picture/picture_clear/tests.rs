//! Every kind of neighbour by hand, both sides of the limit, and every remedy.

use expect_test::expect;

use super::CHECK;
use crate::testing::{findings, findings_after, told};
use crate::{Finding, Verdict};

/// 2 m wide 16:9 with an 80 mm frame: outside 2.16 × 1.285 m, on the 6 m north wall.
fn screen(from_left: &str, height: &str, extra: &str) -> String {
    format!(
        r#"
[[space.seat]]
id = "sofa"
{extra}
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "north", from_left = "{from_left}", height = "{height}" }}
"#
    )
}

fn sconce(from_left: &str) -> String {
    format!(
        r#"
[[space.fixture]]
id = "sconce"
kind = "wall-light"
on = {{ wall = "north", from_left = "{from_left}", height = "1.3 m" }}
size = ["120 mm", "280 mm", "150 mm"]
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

#[test]
fn a_lonely_screen_tells_of_its_nearest_neighbour() {
    // Ceiling: 2.4 − (1.3 + 1.285/2) = 0.4575 m; floor 0.6575 m; ends 1.92 m.
    let found = findings(&CHECK, &screen("3 m", "1.3 m", ""));
    expect![[r#"
        screen: fits +0.448: The outside of screen is 458 mm from the ceiling, at its upper edge; 10 mm are asked for.
    "#]]
    .assert_eq(&told(&found));
}

#[test]
fn outside_of_a_hundred_inch_screen() {
    // 100 in 16:9 with 80 mm frame: 2373.8 × 1405.26 mm (computed, picture + 2 frame):
    // centred on a 6 m wall it leaves (6000 − 2373.8)/2 = 1813.1 mm, and 1.2 m up
    // 1200 − 702.63 = 497.37 mm below it and 2400 − 1902.63 = 497.37 mm above it.
    let text =
        screen("3 m", "1.2 m", "").replace("picture_width = \"2 m\"", "diagonal = \"100 in\"");
    let found = findings(&CHECK, &text);
    let value = found[0].value.as_ref().expect("decided").value();
    assert!((value - 0.497_37).abs() < 1e-5, "{value}");
}

#[test]
fn either_side_of_the_gap_to_a_sconce() {
    // Right edge at 3 + 1.08 = 4.08 m; the sconce's left edge 60 mm left of its middle:
    // 10 mm gap at 4.15 m, known to a tape's ± 3 mm or so.
    for (place, verdict) in [
        ("4.13 m", Verdict::Fails),
        ("4.149 m", Verdict::Fails),
        ("4.151 m", Verdict::Tight),
        ("4.18 m", Verdict::Fits),
    ] {
        let found = findings(&CHECK, &screen("3 m", "1.3 m", &sconce(place)));
        assert_eq!(about(&found, "sconce").verdict, verdict, "{place}");
    }
    let paced = findings(&CHECK, &screen("3 m", "1.3 m", &sconce("4.18 m paced")));
    assert_eq!(about(&paced, "sconce").verdict, Verdict::Tight);
    // Far away nothing is told of it.
    let found = findings(&CHECK, &screen("3 m", "1.3 m", &sconce("4.5 m")));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].subject.id, "screen");
}

#[test]
fn a_fixture_without_size_is_asked_for() {
    let extra = sconce("4.3 m").replace("size =", "note = \"old\" #");
    let found = findings(&CHECK, &screen("3 m", "1.3 m", &extra));
    let sconce = about(&found, "sconce");
    assert_eq!(sconce.verdict, Verdict::Unknown);
    assert_eq!(sconce.needs[0].at, "space.den.fixture.sconce.size");
}

#[test]
fn remedies_move_the_screen_shrink_it_or_move_the_light() {
    let text = screen("3 m", "1.3 m", &sconce("4.1 m"));
    let found = findings(&CHECK, &text);
    expect![[r#"
            screen and sconce: fails -0.050: The outside of screen overlaps sconce by 40 mm at its right edge; 10 mm clear of it are asked for.
        "#]]
    .assert_eq(&told(&found));
    let sconce = about(&found, "sconce");
    let said: Vec<&str> = sconce
        .remedies
        .iter()
        .map(|remedy| remedy.says.as_str())
        .collect();
    assert_eq!(said.len(), 3, "{said:?}");
    for remedy in &sconce.remedies {
        let after = findings_after(&CHECK, &text, &remedy.edits);
        let left = after
            .iter()
            .filter(|finding| finding.verdict != Verdict::Fits);
        assert_eq!(left.count(), 0, "{}: {}", remedy.says, told(&after));
    }
}

#[test]
fn a_window_that_it_covers_and_a_recess_that_it_hangs_in() {
    let opening = |kind: &str| {
        format!(
            r#"
[[space.opening]]
id = "hole"
kind = "{kind}"
on = {{ wall = "north", from_left = "1.9 m", height = "0.5 m" }}
size = ["2.2 m", "1.6 m"]
"#
        )
    };
    // Outside from 1.92 to 4.08 m and 0.6575 to 1.9425 m; the hole ends 20 mm outside.
    let found = findings(&CHECK, &screen("3 m", "1.3 m", &opening("window")));
    assert_eq!(about(&found, "hole").verdict, Verdict::Fails);
    let found = findings(&CHECK, &screen("3 m", "1.3 m", &opening("recess")));
    let hole = about(&found, "hole");
    assert_eq!(hole.verdict, Verdict::Fits, "{}", hole.because);
    assert!((hole.value.clone().expect("decided").value() - 0.02).abs() < 1e-9);
}

#[test]
fn a_door_that_swings_over_the_screen_is_seen() {
    let door = |opens: &str, hinge: &str| {
        format!(
            r#"
[[space.opening]]
id = "hall-door"
kind = "door"
on = {{ wall = "north", from_left = "0.9 m", height = "0 m" }}
size = ["0.9 m", "2 m"]
swing = {{ hinge = "{hinge}", into = "room", opens = "{opens}" }}
"#
        )
    };
    // Jamb at 1.8 m, screen from 1.92 m: at 90° the leaf stays 120 mm away on either
    // hinge; turned back to 178° on the right hinge it passes 120 mm · tan 2° = 4.2 mm before it.
    let found = findings(&CHECK, &screen("3 m", "1.3 m", &door("90 deg", "right")));
    let leaf = about(&found, "hall-door.leaf");
    assert!((leaf.value.clone().expect("decided").value() - 0.12).abs() < 2e-3);
    let text = screen("3 m", "1.3 m", &door("178 deg", "right"));
    let found = findings(&CHECK, &text);
    let leaf = about(&found, "hall-door.leaf");
    assert_eq!(leaf.verdict, Verdict::Fails, "{}", leaf.because);
    assert!(!leaf.remedies.is_empty());
    for remedy in &leaf.remedies {
        let after = findings_after(&CHECK, &text, &remedy.edits);
        let failed = after
            .iter()
            .filter(|finding| finding.verdict == Verdict::Fails);
        assert_eq!(failed.count(), 0, "{}: {}", remedy.says, told(&after));
    }
}

#[test]
fn a_door_on_the_next_wall_sweeps_to_the_corner() {
    // Hung on the far jamb of the west wall's right end (the corner with north): the
    // leaf, 0.9 m long and hinged 0.1 m from north, lies along north at 90°... 0.1 m off.
    let door = r#"
[[space.opening]]
id = "hall-door"
kind = "door"
on = { wall = "west", from_left = "3 m", height = "0 m" }
size = ["0.9 m", "2 m"]
swing = { hinge = "right", into = "room", opens = "90 deg" }
"#;
    // Left edge at 0.5 m: the leaf passes 100 mm before the screen's face.
    let found = findings(&CHECK, &screen("1.58 m", "1.3 m", door));
    let leaf = about(&found, "hall-door.leaf");
    assert!(
        (leaf.value.clone().expect("decided").value() - 0.1).abs() < 3e-3,
        "{}",
        leaf.because
    );
}

#[test]
fn a_mantel_a_soffit_and_a_radiator_round_the_corner() {
    let extra = r#"
[[space.fixture]]
id = "mantel"
kind = "mantel"
on = { wall = "north", from_left = "3 m", height = "600 mm" }
size = ["2 m", "80 mm", "200 mm"]
[[space.fixture]]
id = "radiator"
kind = "radiator"
on = { wall = "west", from_left = "3.5 m", height = "700 mm" }
size = ["1 m", "600 mm", "110 mm"]
[[space.soffit]]
id = "duct"
from = ["north", "0 m"]
and = ["west", "0 m"]
size = ["6 m", "400 mm"]
underside = "2.1 m"
"#;
    // Mantel's top 640 mm, screen's lower edge 657.5 mm: 17.5 mm. Duct: 2.1 − 1.9425 m.
    // The radiator on west reaches the north corner, 110 mm out of west; the screen's
    // left edge is at 0.2 m.
    let found = findings(
        &CHECK,
        &screen("1.28 m", "1.3 m", extra)
            .replace(r#""3 m", height = "600"#, r#""1.28 m", height = "600"#),
    );
    let value = |of: &str| about(&found, of).value.clone().expect("decided").value();
    assert!((value("mantel") - 0.0175).abs() < 1e-9);
    assert!((value("duct") - 0.1575).abs() < 1e-9);
    assert!((value("radiator") - 0.09).abs() < 2e-3);
}

#[test]
fn a_gable_cuts_the_upper_corners() {
    // Eaves 1.8 m at both ends of north, ridge 2.8 m over its middle: 1.92 m from the
    // left the ceiling is at 1.8 + 1.92/3 = 2.44 m; the top edge is at 1.9425 m.
    let text = screen("3 m", "1.3 m", "");
    let job = |text: &str| {
        let room = crate::testing::ROOM.replace(
            r#"{ shape = "flat", height = "2.4 m" }"#,
            r#"{ shape = "gable", ridge = ["north", "south"], eaves = "1.8 m", top = "2.8 m" }"#,
        );
        let analysis = analysis::Analysis::new(crate::testing::job(&format!("{room}{text}")));
        CHECK.run.ask(&analysis, Some(0))
    };
    let found = job(&text);
    let value = found[0].value.as_ref().expect("decided").value();
    assert!((value - 0.4975).abs() < 2e-3, "{}", told(&found));
    // Pushed to the left by 1.8 m its corner sticks through: 1.8 + 0.12/3 = 1.84 m.
    let found = job(&screen("1.2 m", "1.3 m", ""));
    assert_eq!(about(&found, "ceiling").verdict, Verdict::Fails);
    // Down is a way out; so is the right, away from the eaves.
    let says = &about(&found, "ceiling").remedies;
    assert!(
        says.iter().any(|remedy| remedy.says.contains(" down,")),
        "{says:?}"
    );
    assert!(
        says.iter()
            .any(|remedy| remedy.says.contains(" to the right,")),
        "{says:?}"
    );
}

#[test]
fn a_socket_behind_the_screen_is_hidden_and_one_half_out_is_not() {
    let socket = |from_left: &str| sconce(from_left).replace("wall-light", "socket");
    let found = findings(&CHECK, &screen("3 m", "1.3 m", &socket("3 m")));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].subject.id, "screen");
    let found = findings(&CHECK, &screen("3 m", "1.3 m", &socket("4.08 m")));
    assert_eq!(about(&found, "sconce").verdict, Verdict::Fails);
}

#[test]
fn a_drop_down_screen_counts_its_case_and_its_black_drop() {
    // Case 120 mm, drop 300 mm, picture 1.125 m, tail 60 mm: 1.605 m from 2.35 m down, so
    // 50 mm below the ceiling; its case is 2.3 m wide, wider than 2 + 2 × 0.08 m.
    let case = r#"form = "drop-down"
case = ["2.3 m", "120 mm", "150 mm"]
black_drop = "300 mm"
tail = "60 mm""#;
    let text = screen("3 m", "2.35 m\", to = \"top-centre", "");
    let text = text.replace("frame = \"80 mm\"", &format!("frame = \"80 mm\"\n{case}"));
    let found = findings(&CHECK, &text);
    assert!((found[0].value.as_ref().expect("decided").value() - 0.05).abs() < 1e-9);
    let analysis = analysis::Analysis::new(crate::testing::job(&format!(
        "{}{text}",
        crate::testing::ROOM
    )));
    let screen = analysis.item("screen").expect("an item");
    let picture = analysis.picture(screen).expect("a place");
    let value = |length: &analysis::Uncertain| length.value();
    assert!((value(&picture.lit.top) - (2.35 - 0.42)).abs() < 1e-9);
    assert!((value(&picture.lit.bottom) - (2.35 - 1.545)).abs() < 1e-9);
    assert!((value(&picture.outside.bottom) - (2.35 - 1.605)).abs() < 1e-9);
    assert!((value(&picture.outside.width()) - 2.3).abs() < 1e-9);
    assert!((value(&picture.face.off) - 0.075).abs() < 1e-9);
    // What the sheet does not say is asked for.
    let found = findings(&CHECK, &text.replace("black_drop = \"300 mm\"", ""));
    assert_eq!(found[0].needs[0].at, "kit.screen.screen-s1.black_drop");
}

#[test]
fn a_screen_larger_than_its_wall_or_a_drop_longer_than_the_room_says_so() {
    // 6.1 m and two frames on a wall of 6 m: 260 mm too wide.
    let wide = screen("3 m", "1.2 m", "").replace("\"2 m\"", "\"6.1 m\"");
    // 300 mm of case and 900 of drop over a picture of 1.125 m and 80 mm: 2.405 m.
    let case = r#"form = "tab-tensioned"
case = ["2.3 m", "300 mm", "150 mm"]
black_drop = "900 mm""#;
    let high = screen("3 m", "1.2 m", "")
        .replace("frame = \"80 mm\"", &format!("frame = \"80 mm\"\n{case}"));
    for (text, words) in [(wide, "and wall north is"), (high, "and the room there is")] {
        let found = findings(&CHECK, &text);
        assert_eq!(found.len(), 1, "{}", told(&found));
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(told(&found).contains(words), "{}", told(&found));
        let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
        let failed = after.iter().filter(|one| one.verdict == Verdict::Fails);
        assert_eq!(failed.count(), 0, "{}", told(&after));
    }
}

#[test]
fn a_loudspeaker_on_the_same_wall_counts() {
    let speaker = r#"
[[kit.loudspeaker]]
id = "bar"
form = "on-wall"
size = ["900 mm", "100 mm", "90 mm"]
[[item]]
id = "centre"
is = "bar"
on = { wall = "north", from_left = "3 m", height = "602 mm" }
"#;
    // The bar's top 652 mm, the screen's lower edge 657.5 mm: 5.5 mm, 10 are asked.
    let text = screen("3 m", "1.3 m", speaker);
    let centre = about(&findings(&CHECK, &text), "centre");
    assert_eq!(centre.verdict, Verdict::Fails);
    for remedy in &centre.remedies {
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(
            about(&after, "centre").verdict,
            Verdict::Fits,
            "{}: {}",
            remedy.says,
            told(&after)
        );
    }
}
