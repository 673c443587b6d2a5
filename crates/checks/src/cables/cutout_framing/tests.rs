//! Walls and ceilings on both sides of the limit, and every remedy tried.

use expect_test::expect;

use super::CHECK;
use crate::testing::{findings, findings_after, told};
use crate::{Finding, Verdict};

/// Studs 0.4 m apart from 0.2 m, faces of 40 mm: the bay from 0.62 to 0.98 m.
fn walled(from_left: &str, cutout: &str, framing: &str) -> String {
    format!(
        r#"
[[space.construction]]
of = "north"
{framing}
[[kit.loudspeaker]]
id = "inwall-w1"
form = "in-wall"
size = ["0.3 m", "0.4 m", "0.1 m"]
{cutout}
[[kit.loudspeaker]]
id = "inwall-w2"
name = "Slim W2"
form = "in-wall"
cutout = ["100 mm", "300 mm"]
[[item]]
id = "left"
is = "inwall-w1"
space = "den"
on = {{ wall = "north", from_left = "{from_left}", height = "1 m" }}
"#
    )
}

const STUDS: &str = "framing = \"stud\"\nspacing = \"0.4 m ± 0\"\nfirst_from_left = \"0.2 m ± 2 mm\"\nface = \"40 mm ± 0\"";
const HOLE: &str = "cutout = [\"200 mm\", \"300 mm\"]";

fn only(text: &str) -> Finding {
    let mut found = findings(&CHECK, text);
    assert_eq!(found.len(), 1);
    found.remove(0)
}

#[test]
fn a_hole_in_the_middle_of_its_bay_fits() {
    // From 0.69 to 0.89 m: 70 mm after the stud, 90 mm before the next; less 6.35 mm.
    expect![[r#"
            left: fits +0.064: The 200 mm wide hole of left in wall north is 70 mm clear of the nearer stud, where 6 mm is asked for.
        "#]]
    .assert_eq(&told(&[only(&walled("0.79 m", HOLE, STUDS))]));
}

#[test]
fn both_sides_of_the_clearance() {
    // Free on the left: x − 0.1 − 0.62 = 6.35 mm at x = 726.35 mm, ± 2 mm of the stud.
    let verdict = |place: &str| only(&walled(place, HOLE, STUDS)).verdict;
    assert_eq!(verdict("726.3 mm"), Verdict::Fails);
    assert_eq!(verdict("726.4 mm"), Verdict::Tight);
    assert_eq!(verdict("728.3 mm"), Verdict::Tight);
    assert_eq!(verdict("728.4 mm"), Verdict::Fits);
    // On the right: 0.98 − x − 0.1 = 6.35 mm at x = 873.65 mm.
    assert_eq!(verdict("871.6 mm"), Verdict::Fits);
    assert_eq!(verdict("873.7 mm"), Verdict::Fails);
}

#[test]
fn a_stud_at_the_corner_tells_where_all_are_too() {
    // Studs at 0, 0.4 m, 0.8 m, …: the bay from 0.82 to 1.18 m, the hole from 0.9 to 1.1 m.
    let of = |first: &str| {
        let studs = STUDS.replace("\"0.2 m ± 2 mm\"", &format!("\"{first} ± 2 mm\""));
        told(&[only(&walled("1 m", HOLE, &studs))])
    };
    for first in ["0", "0.4 m", "0.8 m", "2 m"] {
        assert_eq!(of(first), of("1.2 m"), "{first}");
    }
    expect![[r#"
        left: fits +0.074: The 200 mm wide hole of left in wall north is 80 mm clear of the nearer stud, where 6 mm is asked for.
    "#]]
    .assert_eq(&of("0.4 m"));
}

#[test]
fn any_stud_tells_where_all_are() {
    let far = STUDS.replace("\"0.2 m ± 2 mm\"", "\"1.4 m ± 2 mm\"");
    assert_eq!(
        told(&[only(&walled("0.79 m", HOLE, STUDS))]),
        told(&[only(&walled("0.79 m", HOLE, &far))])
    );
}

#[test]
fn without_the_first_stud_only_a_hole_wider_than_a_bay_is_decided() {
    let blind = "framing = \"stud\"\nspacing = \"0.4 m\"\nface = \"40 mm ± 0\"";
    let found = only(&walled("0.79 m", HOLE, blind));
    assert_eq!(found.verdict, Verdict::Unknown);
    assert_eq!(
        found.needs[0].at,
        "space.den.construction.0.first_from_left"
    );
    let wide = only(&walled(
        "0.79 m",
        "cutout = [\"360 mm\", \"300 mm\"]",
        blind,
    ));
    assert_eq!(wide.verdict, Verdict::Fails);
}

#[test]
fn where_no_bay_is_wide_enough_one_goes_on_the_wall() {
    let more = r#"
[[kit.loudspeaker]]
id = "onwall-o1"
form = "on-wall"
size = ["100 mm", "150 mm", "80 mm"]
[[kit.loudspeaker]]
id = "onwall-o2"
name = "On-wall O2"
form = "on-wall"
size = ["280 mm", "300 mm", "90 mm"]
"#;
    let wide = "cutout = [\"360 mm\", \"300 mm\"]";
    let blind = "framing = \"stud\"\nspacing = \"0.4 m\"\nface = \"40 mm ± 0\"";
    for framing in [STUDS, blind] {
        let text = format!("{}{more}", walled("0.79 m", wide, framing));
        let found = only(&text);
        let remedy = found.remedies.last().expect("a remedy");
        assert!(
            remedy.says.starts_with("Fit On-wall O2 instead of"),
            "{}",
            remedy.says
        );
        assert!(findings_after(&CHECK, &text, &remedy.edits).is_empty());
    }
    // A hole that a bay holds is moved.
    let narrow = format!("{}{more}", walled("0.6 m", HOLE, STUDS));
    let says = |remedy: &crate::Remedy| remedy.says.contains("On-wall");
    assert!(!only(&narrow).remedies.iter().any(says));
}

#[test]
fn missing_facts_are_named() {
    let needs = |text: &str| only(text).needs[0].at.clone();
    assert_eq!(
        needs(&walled("0.79 m", HOLE, "framing = \"stud\"")),
        "space.den.construction.0.spacing"
    );
    assert_eq!(
        needs(&walled("0.79 m", "", STUDS)),
        "kit.loudspeaker.inwall-w1.cutout"
    );
    let other = walled("0.79 m", HOLE, STUDS).replace("of = \"north\"", "of = \"south\"");
    assert_eq!(needs(&other), "space.den.construction");
}

#[test]
fn masonry_and_existing_holes_are_left_alone() {
    assert!(findings(&CHECK, &walled("0.79 m", HOLE, "framing = \"masonry\"")).is_empty());
    let there = walled("0.79 m", HOLE, STUDS) + "existing = true\n";
    assert!(findings(&CHECK, &there).is_empty());
}

#[test]
fn every_remedy_mends_it() {
    for (place, count) in [("0.6 m", 2), ("0.70 m", 3), ("0.95 m", 2), ("0.05 m", 2)] {
        let text = walled(place, HOLE, STUDS);
        let found = only(&text);
        assert_eq!(found.verdict, Verdict::Fails, "{place}");
        assert_eq!(found.remedies.len(), count, "{place}: {:?}", found.remedies);
        for remedy in &found.remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{place}: {} {}",
                remedy.says,
                after[0].because
            );
        }
    }
}

/// Joists 0.4 m apart along the north wall, the first 0.2 m off it.
fn ceiled(from_north: &str, cutout: &str) -> String {
    format!(
        r#"
[[space.construction]]
of = "ceiling"
framing = "joist"
along = "north"
spacing = "0.4 m ± 0"
first_from_left = "0.2 m ± 2 mm"
face = "40 mm ± 0"
[[kit.loudspeaker]]
id = "ceiling-c1"
form = "in-ceiling"
cutout = {cutout}
[[item]]
id = "top"
is = "ceiling-c1"
space = "den"
hung = {{ from = ["west", "2 m"], and = ["north", "{from_north}"] }}
"#
    )
}

#[test]
fn ceiling_holes_are_counted_off_the_wall_that_joists_run_along() {
    let round = "[\"200 mm\", \"200 mm\"]";
    let found = only(&ceiled("0.79 m", round));
    assert_eq!(found.verdict, Verdict::Fits);
    assert!((found.margin.clone().unwrap().value() - 0.06365).abs() < 1e-6);
    let text = ceiled("0.70 m", round);
    let found = only(&text);
    assert_eq!(found.verdict, Verdict::Fails);
    assert_eq!(found.remedies.len(), 2);
    for remedy in &found.remedies {
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
    }
}

#[test]
fn an_oblong_ceiling_hole_is_turned_with_its_wall() {
    // Measured from west first: its width runs with that wall, which is across the joists.
    assert_eq!(
        only(&ceiled("0.8 m", "[\"300 mm\", \"900 mm\"]")).verdict,
        Verdict::Fits
    );
    assert_eq!(
        only(&ceiled("0.8 m", "[\"900 mm\", \"300 mm\"]")).verdict,
        Verdict::Fails
    );
}
