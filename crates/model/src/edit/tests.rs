//! Edits keep comments in text, and identities in memory.

use expect_test::expect;

use crate::{Edit, MeasureNumber, edited_text, read};

const DOCUMENT: &str = r#"format = 1

[job]
name = "Mill Lane" # as on the gate

[[space]]
id = "den"
walls = [
  { id = "north", length = "5 m" }, # behind the books
  { id = "east", length = "4 m" },
  { id = "south", length = "5 m" },
  { id = "west", length = "4 m" },
]

# the good seat
[[space.seat]]
id = "sofa"
at = { from = ["north", "3 m"], and = ["west", "2.5 m"] } # middle
eye = "1.10 m"   # slouching
"#;

#[test]
fn text_keeps_its_comments_and_order() {
    let edits = [
        Edit::set("space.den.seat.sofa.eye", "1.05 m"),
        Edit::set("space.den.walls.east.length", "4.02 m"),
        Edit::set("space.den.seat.sofa.at.from.1", "2.8 m"),
        Edit::set("job.revision", 2),
        Edit::remove("space.den.walls.south.length"),
    ];
    let text = edited_text(DOCUMENT, &edits).unwrap();
    expect![[r##"
        format = 1

        [job]
        name = "Mill Lane" # as on the gate
        revision = 2

        [[space]]
        id = "den"
        walls = [
          { id = "north", length = "5 m" }, # behind the books
          { id = "east", length = "4.02 m" },
          { id = "south"},
          { id = "west", length = "4 m" },
        ]

        # the good seat
        [[space.seat]]
        id = "sofa"
        at = { from = ["north", "2.8 m"], and = ["west", "2.5 m"] } # middle
        eye = "1.05 m"   # slouching
    "##]]
    .assert_eq(&text);
}

#[test]
fn memory_and_text_agree_after_the_same_edits() {
    let edits = [
        Edit::set("space.den.seat.sofa.eye", "1.05 m"),
        Edit::set(
            "space.den.fixture.lamp",
            serde_json::json!({ "id": "lamp", "kind": "wall-light" }),
        ),
        Edit::set(
            "item.screen",
            serde_json::json!({ "id": "screen", "is": "screen-s1" }),
        ),
        Edit::set("job.revision", 3),
    ];
    let from_memory = read(DOCUMENT, &[]).unwrap().edited(&edits).unwrap();
    let text = edited_text(DOCUMENT, &edits).unwrap();
    let known = text.replace(
        "is = \"screen-s1\"",
        "is = \"screen-s1\"\n[[kit.screen]]\nid = \"screen-s1\"",
    );
    let from_text = read(&known, &[]).unwrap_or_else(|problems| panic!("{problems:?}\n{known}"));
    assert_eq!(
        serde_json::to_value(&from_memory.space).unwrap(),
        serde_json::to_value(&from_text.space).unwrap()
    );
    assert_eq!(from_memory.item.len(), 1);
    assert_eq!(from_memory.job.revision, from_text.job.revision);
}

#[test]
fn untouched_measurements_keep_their_numbers() {
    let job = read(DOCUMENT, &[]).unwrap();
    let edited = job
        .edited(&[Edit::set("space.den.seat.sofa.eye", "1.05 m")])
        .unwrap();
    let number =
        |job: &crate::Job, wall: usize| job.space[0].walls[wall].length.as_ref().unwrap().number();
    assert_eq!(number(&job, 2), number(&edited, 2));
    assert_eq!(number(&job, 0), Some(MeasureNumber(0)));
    let eye = |job: &crate::Job| job.space[0].seat[0].eye.as_ref().unwrap().number().unwrap();
    assert_ne!(eye(&job), eye(&edited));
    assert_eq!(edited.measurements[eye(&edited).0 as usize].text, "1.05 m");
}

#[test]
fn facts_that_an_edit_leaves_alone_stay_as_they_were_read() {
    let job = read(DOCUMENT, &[]).unwrap();
    for measurement in job.measurements.iter() {
        let same = Edit::set(&measurement.path, measurement.text.as_str());
        assert_eq!(job.edited(&[same]).unwrap(), job, "{}", measurement.path);
        let other = [Edit::set(&measurement.path, "2.2 m ± 1 mm")];
        let there_and_back = [
            other[0].clone(),
            Edit::set(&measurement.path, measurement.text.as_str()),
        ];
        let [other, back] = [&other[..], &there_and_back[..]].map(|edits| {
            let in_memory = job.edited(edits).unwrap();
            let in_text = read(&edited_text(DOCUMENT, edits).unwrap(), &[]).unwrap();
            let told = |job: &crate::Job| serde_json::to_value(job).unwrap();
            assert_eq!(told(&in_memory), told(&in_text), "{}", measurement.path);
            in_memory.measurements
        });
        // What holds last at a path counts: the way back is a measurement of its own.
        assert_eq!(other.len(), job.measurements.len() + 1);
        assert_eq!(back.len(), job.measurements.len() + 2);
    }
}

#[test]
fn an_edit_of_a_thing_that_is_not_there_says_which_part() {
    let job = read(DOCUMENT, &[]).unwrap();
    let edit = [Edit::set("space.attic.seat.sofa.eye", "1 m")];
    expect!["`space.attic.seat.sofa.eye` is not in the job: there is no `attic`"]
        .assert_eq(&job.edited(&edit).unwrap_err().to_string());
    assert!(edited_text(DOCUMENT, &edit).is_err());
}

#[test]
fn an_edit_that_does_not_read_is_refused() {
    let job = read(DOCUMENT, &[]).unwrap();
    assert!(
        job.edited(&[Edit::set("space.den.seat.sofa.eye", "tall")])
            .is_err()
    );
    assert!(
        job.edited(&[Edit::set("space.den.seat.sofa.eyes", "1 m")])
            .is_err()
    );
}

#[test]
fn the_first_entry_of_a_kind_begins_its_list() {
    let edits = [
        Edit::set(
            "kit.projector.p3",
            serde_json::json!({ "id": "p3", "lumens": 1800 }),
        ),
        Edit::set("kit.screen.s1", serde_json::json!({ "id": "s1" })),
        Edit::set("kit.projector.p4", serde_json::json!({ "id": "p4" })),
    ];
    let text = edited_text(DOCUMENT, &edits).unwrap();
    expect![[r#"
        [[kit.projector]]
        id = "p3"
        lumens = 1800

        [[kit.projector]]
        id = "p4"

        [[kit.screen]]
        id = "s1"
    "#]]
    .assert_eq(text.split_once("# slouching\n\n").unwrap().1);
    let job = read(DOCUMENT, &[]).unwrap().edited(&edits).unwrap();
    let told = |job: &crate::Job| serde_json::to_value(&job.kit).unwrap();
    assert_eq!(told(&job), told(&read(&text, &[]).unwrap()));
}

#[test]
fn a_whole_thing_is_replaced_with_its_comments_kept() {
    let seat = serde_json::json!({ "id": "sofa", "eye": "1.2 m" });
    let edits = [Edit::set("space.den.seat.sofa", seat)];
    let text = edited_text(DOCUMENT, &edits).unwrap();
    assert!(
        text.ends_with(
            "# the good seat\n[[space.seat]]\nid = \"sofa\"\neye = \"1.2 m\"   # slouching\n"
        ),
        "{text}"
    );
    let job = read(DOCUMENT, &[]).unwrap().edited(&edits).unwrap();
    let told = |job: &crate::Job| serde_json::to_value(&job.space).unwrap();
    assert_eq!(told(&job), told(&read(&text, &[]).unwrap()));
}

#[test]
fn what_was_written_beside_a_fact_that_goes_stays() {
    let text = "\
[[item]]
id = \"left\"
is = \"k\"
# from the old house
reuses = \"plate\"   # keep: ask the owner
driven_by = \"amp\"
# the last one
channel = \"left\" # of two
";
    let gone = |at: &str| edited_text(text, &[Edit::remove(at)]).unwrap();
    expect![[r#"
        [[item]]
        id = "left"
        is = "k"
        # from the old house
        # keep: ask the owner
        driven_by = "amp"
        # the last one
        channel = "left" # of two
    "#]]
    .assert_eq(&gone("item.left.reuses"));
    expect![[r#"
        [[item]]
        id = "left"
        is = "k"
        # from the old house
        reuses = "plate"   # keep: ask the owner
        driven_by = "amp"
        # the last one
        # of two
    "#]]
    .assert_eq(&gone("item.left.channel"));
}

#[test]
fn lines_end_as_they_did_and_the_mark_stays() {
    let text = "\u{feff}[[item]]\r\nid = \"left\"\r\nis = \"k\" # that one\r\n";
    let edits = [Edit::set("item.left.channel", "left")];
    assert_eq!(
        edited_text(text, &edits).unwrap(),
        "\u{feff}[[item]]\r\nid = \"left\"\r\nis = \"k\" # that one\r\nchannel = \"left\"\r\n"
    );
    // Where lines end in both ways nobody's way is theirs.
    let mixed = text.replacen("\r\n", "\n", 1);
    assert!(!edited_text(&mixed, &edits).unwrap().ends_with("\r\n"));
}
