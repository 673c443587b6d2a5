//! What a person sees who mistyped something.

use expect_test::{Expect, expect};
use model::read;

use super::report;
use crate::style::Style;

fn printed(text: &str) -> String {
    let problems = read(text, &checks::limit_names()).expect_err("the document is bad");
    report("job.toml", text, &problems, Style::Plain)
}

/// A sound job with one line more, or with a part in another's place.
fn check(good: &str, bad: &str, expected: Expect) {
    const JOB: &str = r#"format = 1
[job]
name = "Mill Lane"
[[space]]
id = "den"
walls = [
  { id = "north", length = "5 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "5 m" },
  { id = "west", length = "4 m" },
]
[[space.opening]]
id = "door"
kind = "door"
on = { wall = "east", from_left = "1 m" }
size = ["80 cm", "2 m"]
[[kit.device]]
id = "disc-player"
[[item]]
id = "player"
is = "disc-player"
in = "rack"
[[item]]
id = "rack"
is = "disc-player"
"#;
    read(JOB, &checks::limit_names()).expect("the job is sound");
    assert!(JOB.contains(good), "{good}");
    expected.assert_eq(&printed(&JOB.replacen(good, bad, 1)));
}

#[test]
fn unknown_key() {
    check(
        "name = \"Mill",
        "nmae = \"Mill",
        expect![[r#"
        error: `name` is missing
         --> job.toml:2:1
          |
        2 | [job]
          | ^^^^^ job
          |
          = note: accepted: name: The job's name

        error: unknown key `nmae`
         --> job.toml:3:1
          |
        3 | nmae = "Mill Lane"
          | ^^^^ job.nmae
          |
          = note: accepted: one of `name`, `customer`, `units`, `rules`, `revision`, `date`
        help: did you mean `name`?
          |
        3 - nmae = "Mill Lane"
        3 + name = "Mill Lane"
          |

        2 things are wrong with job.toml; nothing was proved
    "#]],
    );
}

#[test]
fn bad_length() {
    check(
        "\"80 cm\"",
        "\"2' 7 1/ in\"",
        expect![[r#"
        error: `/` is not a unit of a length
          --> job.toml:16:16
           |
        16 | size = ["2' 7 1/ in", "2 m"]
           |                ^ space.den.opening.door.size.0
           |
           = note: accepted: ft, in, m, cm or mm, for example 10' 6 1/2", 126 1/2 in, 3.21 m, 3210 mm or ?

        one thing is wrong with job.toml; nothing was proved
    "#]],
    );
}

#[test]
fn missing_key() {
    check(
        "kind = \"door\"\n",
        "",
        expect![[r#"
            error: `kind` is missing
              --> job.toml:13:6
               |
            13 | id = "door"
               |      ^^^^^^ space.den.opening.door
               |
               = note: accepted: kind: What it is; one of `door`, `window`, `archway`, `recess`

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
}

#[test]
fn wrong_type() {
    check(
        "\"80 cm\"",
        "true",
        expect![[r#"
        error: this is true or false, where a length in quotes belongs
          --> job.toml:16:9
           |
        16 | size = [true, "2 m"]
           |         ^^^^ space.den.opening.door.size.0
           |
           = note: accepted: a length in quotes

        one thing is wrong with job.toml; nothing was proved
    "#]],
    );
    check(
        "[\"80 cm\", \"2 m\"]",
        "[\"80 cm\"]",
        expect![[r#"
            error: this list has 1 part, where 2 belong
              --> job.toml:16:8
               |
            16 | size = ["80 cm"]
               |        ^^^^^^^^^ space.den.opening.door.size
               |
               = note: accepted: 2 parts in square brackets

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
}

#[test]
fn duplicate_ids() {
    check(
        "\"south\"",
        "\"north\"",
        expect![[r#"
        error: the id `north` is used already
         --> job.toml:9:11
          |
        9 |   { id = "north", length = "5 m" },
          |           ^^^^^ space.den.walls.2
          |
          = note: accepted: an id of its own for each

        one thing is wrong with job.toml; nothing was proved
    "#]],
    );
}

#[test]
fn unknown_reference() {
    check(
        "wall = \"east\"",
        "wall = \"eats\"",
        expect![[r#"
        error: there is no wall of `den` called `eats`
          --> job.toml:15:16
           |
        15 | on = { wall = "eats", from_left = "1 m" }
           |                ^^^^ space.den.opening.door.on.wall
           |
           = note: accepted: `north`, `east`, `south`, `west`
        help: did you mean `east`?
           |
        15 - on = { wall = "eats", from_left = "1 m" }
        15 + on = { wall = "east", from_left = "1 m" }
           |

        one thing is wrong with job.toml; nothing was proved
    "#]],
    );
}

#[test]
fn place_outside_its_wall() {
    check(
        "\"1 m\"",
        "\"3.5 m\"",
        expect![[r#"
            error: `door` reaches from 3.5 m to 4.3 m along `east`, which is 4 m long
              --> job.toml:15:36
               |
            15 | on = { wall = "east", from_left = "3.5 m" }
               |                                    ^^^^^ space.den.opening.door.on.from_left
               |
               = note: accepted: a place from 0 to 3.2 m, or a longer wall `east`

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
}

#[test]
fn inside_itself() {
    check(
        "id = \"rack\"\n",
        "id = \"rack\"\nin = \"player\"\n",
        expect![[r#"
            error: `player` is inside itself
              --> job.toml:22:7
               |
            22 | in = "rack"
               |       ^^^^ item.player.in
               |
               = note: accepted: a cupboard or rack that is not inside it

            error: `rack` is inside itself
              --> job.toml:25:7
               |
            25 | in = "player"
               |       ^^^^^^ item.rack.in
               |
               = note: accepted: a cupboard or rack that is not inside it

            2 things are wrong with job.toml; nothing was proved
        "#]],
    );
}

#[test]
fn broken_toml() {
    check(
        "\"Mill Lane\"",
        "\"Mill Lane",
        expect![[r#"
            error: invalid basic string, expected `"`
             --> job.toml:3:18
              |
            3 | name = "Mill Lane
              |                  ^
              |
              = note: accepted: lines as `key = value` under [headings]; texts and quantities in quotes; every
                      bracket closed, perhaps on a line above

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
    check(
        "size = [\"80 cm\"",
        "size = \"80 cm\"",
        expect![[r#"
            error: unexpected key or value, expected newline, `#`
              --> job.toml:16:15
               |
            16 | size = "80 cm", "2 m"]
               |               ^
               |
               = note: accepted: lines as `key = value` under [headings]; texts and quantities in quotes; every
                       bracket closed, perhaps on a line above

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
}

#[test]
fn numbers_without_a_size() {
    check(
        "\"80 cm\"",
        "nan",
        expect![[r#"
            error: NaN is not a usable number
              --> job.toml:16:9
               |
            16 | size = [nan, "2 m"]
               |         ^^^ space.den.opening.door.size.0
               |
               = note: accepted: a length in quotes

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
    check(
        "\"80 cm\"",
        "1e308",
        expect![[r#"
            error: 1e308 is not a usable number
              --> job.toml:16:9
               |
            16 | size = [1e308, "2 m"]
               |         ^^^^^ space.den.opening.door.size.0
               |
               = note: accepted: a length in quotes

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
    check(
        "length = \"5 m\"",
        "length = \"0 m\"",
        expect![[r#"
        error: a wall can't be 0 m
         --> job.toml:7:29
          |
        7 |   { id = "north", length = "0 m" },
          |                             ^^^ space.den.walls.north.length
          |
          = note: accepted: a length above zero

        one thing is wrong with job.toml; nothing was proved
    "#]],
    );
    check(
        "length = \"5 m\"",
        "length = \"-5 m\"",
        expect![[r#"
        error: a wall can't be -5 m
         --> job.toml:7:29
          |
        7 |   { id = "north", length = "-5 m" },
          |                             ^^^^ space.den.walls.north.length
          |
          = note: accepted: a length above zero

        one thing is wrong with job.toml; nothing was proved
    "#]],
    );
}

#[test]
fn tabs_and_wide_letters_before_the_slip() {
    check(
        "from_left = \"1 m\"",
        "\t\tfrom_left\t=\t\"1 q\"",
        expect![[r#"
            error: `q` is not a unit of a length
              --> job.toml:15:40
               |
            15 | on = { wall = "east",         from_left    =    "1 q" }
               |                                                    ^ space.den.opening.door.on.from_left
               |
               = note: accepted: ft, in, m, cm or mm, for example 10' 6 1/2", 126 1/2 in, 3.21 m, 3210 mm or ?

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
    check(
        "\"Mill Lane\"",
        "\"漢字 👩‍🔧 é\" q",
        expect![[r#"
            error: unexpected key or value, expected newline, `#`
             --> job.toml:3:19
              |
            3 | name = "漢字 👩🔧 é" q
              |                      ^
              |
              = note: accepted: lines as `key = value` under [headings]; texts and quantities in quotes; every
                      bracket closed, perhaps on a line above

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
    check(
        "{ id = \"north\", length = \"5 m\" }",
        "{ id = \"漢字-é\", length = \"5 q\" }",
        expect![[r#"
            error: `q` is not a unit of a length
             --> job.toml:7:30
              |
            7 |   { id = "漢字-é", length = "5 q" },
              |                                ^ space.den.walls.漢字-é.length
              |
              = note: accepted: ft, in, m, cm or mm, for example 10' 6 1/2", 126 1/2 in, 3.21 m, 3210 mm or ?

            one thing is wrong with job.toml; nothing was proved
        "#]],
    );
}

#[test]
fn a_huge_line_is_cut_about_the_slip() {
    let walls = "{ id = \"w\", length = \"5 q\" },".repeat(3);
    let long = format!("walls = [{}{walls}", " ".repeat(10_000));
    check(
        "walls = [",
        &long,
        expect![[r#"
            error: `q` is not a unit of a length
             --> job.toml:6:10034
              |
             ::: 
            6 | ...   { id = "w", length = "5 q" },{ id = "w", length = "5 q" },{ id = "w", length = "5 q" },
              |                               ^ space.den.walls.w.length
              |
              = note: accepted: ft, in, m, cm or mm, for example 10' 6 1/2", 126 1/2 in, 3.21 m, 3210 mm or ?

            error: `q` is not a unit of a length
             --> job.toml:6:10063
              |
             ::: 
            6 | ...   { id = "w", length = "5 q" },{ id = "w", length = "5 q" },{ id = "w", length = "5 q" },
              |                                                            ^ space.den.walls.w.length
              |
              = note: accepted: ft, in, m, cm or mm, for example 10' 6 1/2", 126 1/2 in, 3.21 m, 3210 mm or ?

            error: `q` is not a unit of a length
             --> job.toml:6:10092
              |
             ::: 
            6 | ..."5 q" },{ id = "w", length = "5 q" },
              |                                    ^ space.den.walls.w.length
              |
              = note: accepted: ft, in, m, cm or mm, for example 10' 6 1/2", 126 1/2 in, 3.21 m, 3210 mm or ?

            3 things are wrong with job.toml; nothing was proved
        "#]],
    );
}

#[test]
fn empty() {
    expect![[r#"
        error: `format` is missing
         --> job.toml:1:1
          |
        1 |
          | ^
          |
          = note: accepted: format: The file format's number: 1

        error: `job` is missing
         --> job.toml:1:1
          |
        1 |
          | ^
          |
          = note: accepted: job: Who and what for

        2 things are wrong with job.toml; nothing was proved
    "#]]
    .assert_eq(&printed(""));
}

#[test]
fn line_ends_of_other_systems_and_a_byte_order_mark() {
    expect![[r#"
        error: format 2 is not known to this program
         --> job.toml:1:11
          |
        1 | ﻿format = 2
          |          ^ format
          |
          = note: accepted: format = 1

        one thing is wrong with job.toml; nothing was proved
    "#]]
    .assert_eq(&printed("\u{feff}format = 2\r\n[job]\r\nname = \"x\"\r\n"));
    let plain = printed("format = 1\n[job]\nname = \"x\"\nnmae = 1\n[[space]]\n");
    let windows = printed("format = 1\r\n[job]\r\nname = \"x\"\r\nnmae = 1\r\n[[space]]\r\n");
    assert_eq!(plain, windows);
}

#[test]
fn fifty_are_shown_and_the_rest_counted() {
    let keys: String = (0..60).map(|n| format!("k{n} = 1\n")).collect();
    let text = printed(&format!("{keys}format = 1\n[job]\nname = \"x\"\n"));
    assert_eq!(text.matches("error: ").count(), 50);
    assert!(text.ends_with(
        "and 10 more like these\n\n60 things are wrong with job.toml; nothing was proved\n"
    ));
}

#[test]
fn no_slip_of_any_kind_breaks_the_printer() {
    let long = "x".repeat(400_000);
    for text in [
        "\0".repeat(1_000),
        "\"".repeat(10_000),
        "\u{feff}".repeat(100),
        "\u{1b}[2J = 1".to_owned(),
        format!("a = {}", "[".repeat(10_000)),
        format!("{} = 1", "a.".repeat(10_000)),
        format!("{long} = 1"),
        format!("a = \"{long}"),
        "a = [".to_owned() + &"= ,".repeat(50_000),
        "é".repeat(10_000),
        "a = \"\"\"\n\n\n".to_owned(),
        "a = '''x\n".repeat(1_000),
        "\r".repeat(1_000),
        "a\t=\t\"\u{200f}\u{202e}\u{7}\n".to_owned(),
    ] {
        let printed = printed(&text);
        assert!(printed.len() < 200_000, "{} bytes", printed.len());
        assert!(!printed.contains('\u{1b}'), "{printed}");
    }
}
