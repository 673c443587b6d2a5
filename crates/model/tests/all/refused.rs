//! Slips at their place: the bytes that are named, and corrections that mend.

use model::{LimitName, Problem, read};
use units::Dimension;

const LIMITS: &[LimitName] = &[LimitName {
    name: "surround_elevation_max",
    dimension: Dimension::Angle,
}];

/// A small sound job; each test spoils one place of it.
const JOB: &str = r#"format = 1

[job]
name = "Mill Lane"
units = "metric"

[[space]]
id = "den"
walls = [
  { id = "north", length = "5 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "5 m" },
  { id = "west", length = "4 m" },
]
diagonals = [["north.left", "south.left", "6.4 m"]]
ceiling = { shape = "gable", ridge = ["north", "south"], eaves = "2.2 m", top = "3 m" }

[[space.seat]]
id = "sofa"
at = { from = ["north", "3 m"], and = ["west", "2.5 m"] }

[[space.fixture]]
id = "lamp"
kind = "wall-light"
on = { wall = "east", from_left = "1 m", height = "2 m" }

[[kit.amplifier]]
id = "amp-a2"

[[kit.cable]]
id = "speaker-wire"
carries = "loudspeaker"

[[item]]
id = "amp"
is = "amp-a2"
in = "rack"

[[item]]
id = "rack"
is = "amp-a2"
space = "den"

[[zone]]
id = "den"
space = "den"
amplifiers = ["amp"]

[[cable]]
id = "W01"
kind = "speaker-wire"
from = "amp.left"
to = "rack"

[rules]
surround_elevation_max = "15 deg"

[rules.reason]
surround_elevation_max = "agreed"
"#;

fn spoiled(good: &str, bad: &str) -> (String, Vec<Problem>) {
    assert!(JOB.contains(good), "{good}");
    let text = JOB.replacen(good, bad, 1);
    let problems = read(&text, LIMITS).expect_err(bad);
    (text, problems)
}

/// Spoils a place, and expects one problem there.
fn check(good: &str, bad: &str, place: &str, message: &str) {
    let (text, problems) = spoiled(good, bad);
    let found: Vec<_> = problems
        .iter()
        .map(|problem| {
            let span = problem.span.clone().expect("a document has places");
            (&text[span], problem.message.as_str())
        })
        .collect();
    assert_eq!(found, [(place, message)], "{problems:#?}");
}

#[test]
fn the_job_itself_is_sound() {
    read(JOB, LIMITS).unwrap_or_else(|problems| panic!("{problems:#?}"));
}

#[test]
fn a_slip_inside_a_text_is_named_alone() {
    check("\"5 m\"", "\"5 q\"", "q", "`q` is not a unit of a length");
    check("\"5 m\"", "\"5′ 漢\"", "漢", "`漢` is not a number");
}

#[test]
fn numbers_that_no_house_has_are_refused() {
    for number in ["nan", "inf", "-inf", "1e308", "-1e308", "1e999"] {
        let (text, problems) = spoiled(
            "carries = \"loudspeaker\"",
            &format!("carries = \"loudspeaker\"\nprice_per_metre = {number}"),
        );
        assert_eq!(&text[problems[0].span.clone().unwrap()], number);
        let (text, problems) = spoiled(
            "carries = \"loudspeaker\"",
            &format!("carries = \"loudspeaker\"\ndiameter = {number}"),
        );
        assert_eq!(&text[problems[0].span.clone().unwrap()], number);
    }
    let inside = |bad: &str| spoiled("\"5 m\"", bad).1[0].message.clone();
    assert!(!inside("\"1e308 m\"").is_empty());
    assert!(!inside("\"nan m\"").is_empty());
    check("\"5 m\"", "\"0 m\"", "0 m", "a wall can't be 0 m");
    check("\"5 m\"", "\"-5 m\"", "-5 m", "a wall can't be -5 m");
}

#[test]
fn a_house_off_the_globe_is_refused() {
    let check = |facts: &str, place: &str, message: &str| {
        check(
            "[[kit.cable]]",
            &format!("[site]\n{facts}\n\n[[kit.cable]]"),
            place,
            message,
        );
    };
    check(
        "latitude = \"200 deg\"",
        "200 deg",
        "200 deg is off the globe",
    );
    check(
        "latitude = \"-90.1 deg\"",
        "-90.1 deg",
        "-90.1 deg is off the globe",
    );
    check(
        "longitude = \"-300 deg\"",
        "-300 deg",
        "-300 deg is off the globe",
    );
    let poles = "[site]\nlatitude = \"-90 deg\"\nlongitude = \"180 deg\"\n\n[[kit.cable]]";
    read(&JOB.replacen("[[kit.cable]]", poles, 1), LIMITS).expect("both are on it");
}

#[test]
fn money_of_no_code_and_glass_that_adds_light_are_refused() {
    check(
        "[rules]",
        "[rates]\ncurrency = \"dollars\"\n\n[rules]",
        "dollars",
        "`dollars` is no currency's code",
    );
    let window = |share: &str| {
        format!(
            "[[space.opening]]\nid = \"pane\"\nkind = \"window\"\non = {{ wall = \"east\", from_left = \"1 m\", height = \"1 m\" }}\nsize = [\"1 m\", \"1 m\"]\ntransmittance = \"{share}\"\n\n[[space.fixture]]"
        )
    };
    check(
        "[[space.fixture]]",
        &window("40"),
        "40",
        "40 is no share of the light",
    );
    read(
        &JOB.replacen("[[space.fixture]]", &window("40 %"), 1),
        LIMITS,
    )
    .expect("two fifths");
}

#[test]
fn a_picture_without_sides_is_refused() {
    let screen =
        |facts: &str| format!("[[kit.screen]]\nid = \"screen-s1\"\n{facts}\n\n[[kit.cable]]");
    let check = |facts: &str, place: &str, message: &str| {
        check("[[kit.cable]]", &screen(facts), place, message);
    };
    check(
        "aspect = \"0\"",
        "0",
        "a picture can't be 0 times as wide as high",
    );
    check("diagonal = \"0 m\"", "0 m", "a diagonal can't be 0 m");
    check("frame = \"-8 mm\"", "-8 mm", "a frame can't be -8 mm");
    check(
        "case = [\"2 m\", \"0 m\", \"10 cm\"]",
        "0 m",
        "a side of a case can't be 0 m",
    );
}

#[test]
fn a_thing_of_no_size_is_refused() {
    let plate = |facts: &str| format!("[[kit.plate]]\nid = \"plate-p1\"\n{facts}\n\n[[kit.cable]]");
    let check = |facts: &str, place: &str, message: &str| {
        check("[[kit.cable]]", &plate(facts), place, message);
    };
    let size = |size: &str| format!("size = [{size}]");
    check(
        &size("\"-70 mm\", \"115 mm\", \"5 mm\""),
        "-70 mm",
        "a width can't be -70 mm",
    );
    check(
        &size("\"70 mm\", \"0 mm\", \"5 mm\""),
        "0 mm",
        "a height can't be 0 mm",
    );
    check(
        &size("\"70 mm\", \"115 mm\", \"-5 mm\""),
        "-5 mm",
        "a depth can't be -5 mm",
    );
    check(
        "cutout = [\"50 mm\", \"0 mm\"]",
        "0 mm",
        "a side of a cut-out can't be 0 mm",
    );
    check(
        "depth_behind = \"-1 mm\"",
        "-1 mm",
        "a depth can't be -1 mm",
    );
}

#[test]
fn an_id_is_refused_where_it_stands() {
    let long = "x".repeat(65);
    for id in ["a b", "a.b", "", "a'b", "a\\nb", "\\u0000", long.as_str()] {
        let (text, problems) = spoiled("id = \"sofa\"", &format!("id = \"{id}\""));
        assert_eq!(problems.len(), 1, "{id}: {problems:#?}");
        let place = &text[problems[0].span.clone().unwrap()];
        assert_eq!(place, format!("\"{id}\""));
    }
    read(
        &JOB.replace("\"sofa\"", &format!("\"{}\"", "é".repeat(64))),
        LIMITS,
    )
    .unwrap();
}

#[test]
fn the_second_of_two_ids_is_named() {
    let (text, problems) = spoiled("id = \"east\"", "id = \"north\"");
    let problem = &problems[0];
    assert_eq!(problem.message, "the id `north` is used already");
    let line = text[..problem.span.clone().unwrap().start]
        .matches('\n')
        .count()
        + 1;
    assert_eq!(line, 11);
    check(
        "[[kit.cable]]",
        "[[kit.plate]]\nid = \"amp-a2\"\n\n[[kit.cable]]",
        "amp-a2",
        "the id `amp-a2` is used already",
    );
}

#[test]
fn a_key_written_twice_is_named() {
    check(
        "name = \"Mill Lane\"",
        "name = \"a\"\nname = \"b\"",
        "name",
        "`name` is written twice",
    );
}

/// Each correction, made where it is proposed, mends the document.
#[test]
fn a_correction_mends_what_it_is_proposed_for() {
    for (good, bad) in [
        ("units = \"metric\"", "units = \"metrik\""),
        ("units = \"metric\"", "units = \"\"\"metrik\"\"\""),
        ("units = \"metric\"", "units = \"m\\u0065trik\""),
        ("name = \"Mill", "nam = \"Mill"),
        ("\"north.left\"", "\"nort.left\""),
        ("ridge = [\"north\"", "ridge = [\"nrth\""),
        ("from = [\"north\"", "from = [\"noth\""),
        ("and = [\"west\"", "and = [\"\\u0077esst\""),
        ("wall = \"east\"", "wall = \"eest\""),
        ("is = \"amp-a2\"", "is = \"amp-b2\""),
        ("in = \"rack\"", "in = \"rak\""),
        ("space = \"den\"", "space = \"dne\""),
        ("amplifiers = [\"amp\"]", "amplifiers = ['amb']"),
        ("kind = \"speaker-wire\"", "kind = \"speaker-wires\""),
        ("from = \"amp.left\"", "from = \"anp.left\""),
        ("to = \"rack\"", "to = \"racks\""),
        (
            "surround_elevation_max = \"15",
            "surround_elevation_mx = \"15",
        ),
        (
            "surround_elevation_max = \"agreed",
            "surround_elevation_maxx = \"agreed",
        ),
    ] {
        let (mut text, problems) = spoiled(good, bad);
        let mut corrections: Vec<_> = problems
            .iter()
            .filter_map(|problem| problem.suggestion.as_ref())
            .map(|correction| (correction.span.clone().unwrap(), &correction.replacement))
            .collect();
        assert!(!corrections.is_empty(), "{bad}: {problems:#?}");
        corrections.sort_by_key(|(span, _)| std::cmp::Reverse(span.start));
        for (span, replacement) in corrections {
            text.replace_range(span, replacement);
        }
        assert!(
            read(&text, LIMITS).is_ok(),
            "{bad}: {:#?}",
            read(&text, LIMITS)
        );
    }
}

#[test]
fn a_thing_inside_itself_or_in_too_many_others_is_refused() {
    check(
        "space = \"den\"\n\n[[zone]]",
        "in = \"rack\"\n\n[[zone]]",
        "rack",
        "`rack` is inside itself",
    );
    let boxes: String = (0..20)
        .map(|n| {
            format!(
                "[[item]]\nid = \"box{n}\"\nis = \"amp-a2\"\nin = \"box{}\"\n",
                n + 1
            )
        })
        .collect();
    let (_, problems) = spoiled(
        "[[zone]]",
        &format!("{boxes}[[item]]\nid = \"box20\"\nis = \"amp-a2\"\n[[zone]]"),
    );
    assert_eq!(problems.len(), 12, "{problems:#?}");
    assert_eq!(
        problems[0].message,
        "`box0` is inside more than 8 things, one in the other"
    );
}

#[test]
fn spaces_joined_in_a_ring_are_refused() {
    let space = |id: &str, to: &str| {
        format!(
            r#"
            [[space]]
            id = "{id}"
            walls = [{{ id = "a", length = "3 m" }}, {{ id = "b", length = "3 m" }}, {{ id = "c", length = "3 m" }}]
            joined = {{ opening = "arch", to = "{to}.arch" }}
            [[space.opening]]
            id = "arch"
            kind = "archway"
            on = {{ wall = "a", from_left = "1 m" }}
            size = ["1 m", "2 m"]
            "#
        )
    };
    let house = |last: &str| {
        let spaces = [space("x", "y"), space("y", "z"), space("z", last)];
        format!("format = 1\n[job]\nname = \"ring\"\n{}", spaces.concat())
    };
    let messages = |text: &str| -> Vec<String> {
        let problems = read(text, LIMITS).expect_err("a ring");
        problems
            .into_iter()
            .map(|problem| problem.message)
            .collect()
    };
    let ring = |id: &str| format!("`{id}` is joined to itself round a ring");
    assert_eq!(messages(&house("x")), ["x", "y", "z"].map(ring));
    // A tail that leads into a ring is not part of it.
    assert_eq!(messages(&house("y")), ["y", "z"].map(ring));
}

#[test]
fn line_ends_of_other_systems_and_a_byte_order_mark_are_read() {
    read(&JOB.replace('\n', "\r\n"), LIMITS).unwrap();
    read(&format!("\u{feff}{JOB}"), LIMITS).unwrap();
    let text = format!("\u{feff}{}", JOB.replace('\n', "\r\n")).replace("\"5 m\"", "\"5 é\"");
    let problems = read(&text, LIMITS).unwrap_err();
    assert_eq!(&text[problems[0].span.clone().unwrap()], "é");
}

#[test]
fn a_document_without_anything_says_what_it_lacks() {
    let messages = |text: &str| -> Vec<String> {
        let problems = read(text, LIMITS).unwrap_err();
        problems
            .into_iter()
            .map(|problem| problem.message)
            .collect()
    };
    assert_eq!(messages(""), ["`format` is missing", "`job` is missing"]);
    assert_eq!(
        messages("# nothing yet\n"),
        ["`format` is missing", "`job` is missing"]
    );
}
