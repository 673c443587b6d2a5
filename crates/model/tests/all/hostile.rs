//! Documents made to be slow or deep: a step that is not linear takes minutes at the longest
//! length that is read, and an unguarded depth ends the program.

use model::{LimitName, Problem, read};
use units::Dimension;

const LIMITS: &[LimitName] = &[LimitName {
    name: "surround_elevation_max",
    dimension: Dimension::Angle,
}];

/// Long enough to notice a step that is not linear, short enough for every day.
const LONG: usize = 200_000;

fn refused(text: &str) -> Vec<Problem> {
    let problems = read(text, LIMITS).expect_err("the document is bad");
    for problem in &problems {
        assert!(
            problem.message.len() < 1_000,
            "{} bytes",
            problem.message.len()
        );
        if let Some(span) = &problem.span {
            assert!(text.get(span.clone()).is_some(), "{problem:?}");
        }
    }
    problems
}

/// `header`, then as many numbered lines as fit.
fn filled(header: &str, line: impl Fn(usize) -> String) -> String {
    let mut text = header.to_owned();
    for number in 0.. {
        let line = line(number);
        if text.len() + line.len() > LONG {
            break;
        }
        text.push_str(&line);
    }
    text
}

const HEADER: &str = "format = 1\n[job]\nname = \"x\"\n";

#[test]
fn a_longer_document_is_not_parsed() {
    let text = "#".repeat(5_000_001);
    assert_eq!(refused(&text)[0].message, "the document is 5.0 MB long");
}

#[test]
fn many_unknown_keys() {
    let problems = refused(&filled(HEADER, |n| format!("k{n} = 1\n")));
    assert!(problems.len() > 10_000);
}

#[test]
fn many_duplicate_keys() {
    let problems = refused(&filled(HEADER, |_| "name = 1\n".to_owned()));
    assert!(problems.len() > 10_000);
}

#[test]
fn many_duplicate_tables() {
    refused(&filled(HEADER, |_| "[job]\n".to_owned()));
}

#[test]
fn many_tables_made_before_their_heading() {
    let headings = |count: usize, rest: &str| -> String {
        (0..count).map(|n| format!("[a.k{n}{rest}]\n")).collect()
    };
    refused(&(headings(4_000, ".b") + &headings(4_000, "")));
    let problems = refused(&(headings(6_000, ".b") + &headings(6_000, "")));
    assert_eq!(problems[0].message, "too many headings");
}

#[test]
fn the_longest_document_that_is_read() {
    let line = "key = \"written twice\"\n";
    assert!(refused(&line.repeat(5_000_000 / line.len())).len() > 200_000);
}

#[test]
fn many_syntax_errors() {
    refused(&filled(HEADER, |_| "= ]\n".to_owned()));
    refused(&filled(HEADER, |_| "a b c\n".to_owned()));
    refused(&filled("a = [", |_| "= ,".to_owned()));
    refused(&"\"".repeat(LONG));
    refused(&"\\".repeat(LONG));
    refused(&"\u{feff}".repeat(LONG / 3));
    refused(&"\0".repeat(LONG));
    refused(&"'''".repeat(LONG / 3));
    refused(&"a=\"\\q\"\n".repeat(LONG / 7));
}

#[test]
fn many_items_that_point_nowhere() {
    refused(&filled(HEADER, |n| {
        format!("[[item]]\nid=\"i{n}\"\nis=\"k{n}\"\nmount=\"m{n}\"\n")
    }));
}

#[test]
fn many_items_with_one_id() {
    refused(&filled(HEADER, |_| "[[item]]\nid=\"i\"\nis=\"k\"\n".into()));
}

#[test]
fn a_long_chain_and_a_large_ring_of_items() {
    let next = |n: usize| format!("[[item]]\nid=\"i{n}\"\nis=\"k\"\nin=\"i{}\"\n", n + 1);
    let chain = filled(HEADER, next);
    let last = chain.matches("[[item]]").count();
    refused(&chain);
    refused(&chain.replace(&format!("\"i{last}\""), "\"i0\""));
}

#[test]
fn a_large_ring_of_joined_spaces() {
    let next = |n: usize| {
        format!(
            "[[space]]\nid=\"s{n}\"\nwalls=[]\njoined={{opening=\"o\",to=\"s{}.o\"}}\n",
            n + 1
        )
    };
    let chain = filled(HEADER, next);
    let last = chain.matches("[[space]]").count();
    refused(&chain.replace(&format!("\"s{last}.o\""), "\"s0.o\""));
}

#[test]
fn many_places_on_many_walls() {
    let mut text = filled(HEADER, |n| {
        if n == 0 {
            "[[space]]\nid=\"s\"\nwalls=[\n".to_owned()
        } else {
            format!("{{id=\"w{n}\",length=\"1 m\"}},\n")
        }
    });
    text.truncate(LONG / 2);
    text.truncate(text.rfind('\n').unwrap());
    text.push_str("\n]\n");
    let text = filled(&text, |n| {
        format!(
            "[[space.seat]]\nid=\"a{n}\"\nat={{from=[\"w{n}\",\"1 m\"],and=[\"v{n}\",\"1 m\"]}}\n"
        )
    });
    refused(&text);
}

#[test]
fn a_room_of_more_walls_than_any_has() {
    // They close: looking for the mistyped one among many is what takes long.
    let room = |count: usize| {
        let walls: String = (0..count)
            .map(|n| format!("{{id=\"w{n}\",length=\"1 m\",corner=\"174 deg\"}},\n"))
            .collect();
        format!("{HEADER}[[space]]\nid=\"s\"\nwalls=[\n{walls}]\n")
    };
    assert!(read(&room(60), LIMITS).is_ok());
    let problems = refused(&room(61));
    assert_eq!(problems[0].at, "space.s.walls");
    assert_eq!(problems[0].message, "`s` has 61 walls");
}

#[test]
fn many_changed_limits() {
    refused(&filled(&format!("{HEADER}[rules]\n"), |n| {
        format!("r{n}=\"1\"\n")
    }));
    refused(&filled(&format!("{HEADER}[rules.reason]\n"), |n| {
        format!("r{n}=\"1\"\n")
    }));
}

#[test]
fn names_and_texts_of_megabytes() {
    let huge = "x".repeat(LONG / 2);
    let space = |rest: &str| format!("{HEADER}[[space]]\nid=\"s\"\nwalls=[]\n{rest}");
    refused(&format!("{HEADER}{huge} = 1\n"));
    refused(&format!("{HEADER}[[space]]\nid=\"{huge}\"\nwalls=[]\n"));
    refused(&filled(
        &format!("{HEADER}[[space]]\nid=\"{huge}\"\nwalls=[]\n"),
        |n| format!("k{n}=1\n"),
    ));
    refused(&space(&format!("kind=\"{huge}\"\n")));
    refused(&space(&format!("ambient=\"{huge}\"\n")));
    refused(&space(&format!("ambient=\"{}\"\n", "9".repeat(LONG / 2))));
    refused(&space(&format!(
        "joined={{opening=\"{huge}\",to=\"{huge}\"}}\n"
    )));
    refused(&format!("{HEADER}[rules]\n{huge}=\"1\"\n"));
    refused(&format!(
        "{HEADER}[rules]\nsurround_elevation_max=\"{huge}\"\n"
    ));
    refused(&format!(
        "{HEADER}[[item]]\nid=\"a\"\nis=\"{huge}\"\nin=\"{huge}\"\n"
    ));
}

#[test]
fn deep_nesting() {
    let deep = |open: &str, close: &str, levels: usize| {
        format!("a = {}{}\n", open.repeat(levels), close.repeat(levels))
    };
    for levels in [31, 33, 79, 81, 500, 10_000, 1_000_000] {
        refused(&deep("[", "]", levels));
        refused(&deep("[", "", levels));
    }
    for levels in [31, 81, 10_000, 600_000] {
        refused(&deep("{a=", "}", levels));
        refused(&deep("[{a=", "}]", levels));
    }
    for parts in [10, 17, 10_000, 2_000_000] {
        let dots = "a.".repeat(parts);
        refused(&format!("{dots}a = 1\n"));
        refused(&format!("[{dots}a]\n"));
        refused(&format!("[[{dots}a]]\n"));
        refused(&format!("x = {{ {dots}a = 1 }}\n"));
    }
    let mut growing = String::new();
    for depth in 1..=1_000 {
        growing.push_str(&format!("[{}a]\n", "a.".repeat(depth)));
    }
    refused(&growing);
}
