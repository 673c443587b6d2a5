//! Does a walk through a room say what to measure next, and what is wrong with what was?

use std::sync::Arc;

use crate::jobs::{golden, proved, read};
use expect_test::{Expect, expect};
use model::Job;
use view::{Scene, Walk};

fn walk_of(job: &Arc<Job>, space: &str) -> Walk {
    let proved = proved(job);
    let findings: Vec<_> = proved.findings().collect();
    view::walk(proved.analysis(), &findings, space).expect("a space of this job")
}

fn scene_of(job: &Arc<Job>, space: &str) -> Scene {
    let proved = proved(job);
    let findings: Vec<_> = proved.findings().collect();
    view::scene(proved.analysis(), &findings, space).expect("a space of this job")
}

/// The walk as somebody reads it.
fn told(walk: &Walk) -> String {
    let mut lines = Vec::new();
    lines.extend(walk.wall_strip.iter().map(|wall| wall.says.clone()));
    match (&walk.closes, &walk.closes_needs) {
        (Some(closes), _) => {
            lines.push(closes.says.clone());
            let suspects = closes.suspects.iter();
            lines.extend(suspects.map(|suspect| {
                let set = suspect.edit.set.as_ref().map(ToString::to_string);
                format!(
                    "? {} [{} = {}]",
                    suspect.says,
                    suspect.edit.at,
                    set.unwrap_or_default()
                )
            }));
        }
        (None, Some(needs)) => lines.push(needs.clone()),
        (None, None) => lines.push("neither tried nor wanting".to_owned()),
    }
    let fields = walk.fields.iter();
    lines.extend(fields.map(|field| {
        let text = field.text.as_deref().unwrap_or("–");
        let blocks = match field.blocks {
            0 => String::new(),
            blocks => format!(", blocks {blocks}"),
        };
        format!("{}: {text}{blocks}", field.label)
    }));
    let things = (walk.openings.iter())
        .chain(&walk.fixtures)
        .chain(&walk.seats);
    lines.extend(things.map(|thing| format!("· {}", thing.says)));
    let blanks = walk.blanks.iter();
    lines.extend(
        blanks.map(|blank| format!("! {} ({}): {}", blank.what, blank.tool, blank.decides)),
    );
    lines.join("\n").replace('\u{202f}', " ") + "\n"
}

fn check(walk: &Walk, expected: Expect) {
    expected.assert_eq(&told(walk));
}

#[test]
fn a_room_half_measured_lists_its_blanks() {
    let (_, job) = golden()
        .into_iter()
        .find(|(name, _)| name == "half-filled")
        .expect("a golden job");
    check(
        &walk_of(&job, "snug"),
        expect![[r#"
            Fire, 13′ 4″, paced, corner at its right end taken as square
            Lane, 11′ 2″, paced, corner at its right end taken as square
            Back, still to measure, corner at its right end taken as square
            Orchard, still to measure, corner at its right end taken as square
            Back and Orchard are worked out from the other walls, so nothing proves the survey: measure them too.
            Fire, length: 13' 4"
            Fire, corner at its right end: –
            Lane, length: 11' 2"
            Lane, corner at its right end: –
            Back, length: –
            Back, corner at its right end: –
            Orchard, length: –
            Orchard, corner at its right end: –
            Ceiling, shape: –, blocks 4
            Ceiling height: –, blocks 4
            Floor level: –
            First wall faces: –
            Finish of the walls: –
            Finish of the floor: –
            Finish of the ceiling: –
            Light on the screen wall: –
            Background noise: –
            Rings at 125 Hz: –
            Rings at 250 Hz: –
            Rings at 500 Hz: –
            Rings at 1 kHz: –
            Rings at 2 kHz: –
            Rings at 4 kHz: –
            Made to ring by: –
            Measured from so many places: –
            Usual air temperature: –
            · Lane window, on wall lane, its place still to measure
            · Lamp, on wall fire, its place still to measure
            · Seat armchair, not placed yet
            ! The ceiling of Snug (tape or laser): 4
            ! Where seat armchair stands (tape or laser): 4
            ! The place of Left (to be decided): 2
            ! The place of Right (to be decided): 2
            ! The circuit that Projector hangs on (to be decided): 1
            ! The circuit that Receiver hangs on (to be decided): 1
            ! Height above the floor of Screen (tape or laser): 0
            ! Height above the floor of opening lane window in Snug (tape or laser): 0
            ! Height of opening lane window in Snug (tape or laser): 0
            ! Length of wall back in Snug (tape or laser): 0
            ! Length of wall orchard in Snug (tape or laser): 0
        "#]],
    );
}

/// A box of 5 m by 4 m of which one wall is typed 1 m short.
const MISTYPED: &str = r#"
format = 1
job = { name = "Mistyped", units = "metric" }
[[space]]
id = "den"
walls = [
  { id = "north", length = "5.00 m" },
  { id = "east", length = "4.00 m" },
  { id = "south", length = "4.00 m" },
  { id = "west", length = "4.00 m" },
]
diagonals = [["north.left", "south.left", "6.403 m"]]
ceiling = { shape = "flat", height = "2.40 m" }
[[space.fixture]]
id = "lamp"
kind = "wall-light"
on = { wall = "north", from_left = "1.20 m", height = "2.05 m" }
size = ["100 mm", "200 mm", "100 mm"]
"#;

#[test]
fn a_mistyped_wall_is_named_with_what_would_mend_it() {
    check(
        &walk_of(&read(MISTYPED), "den"),
        expect![[r#"
            North, 5 m by tape, corner at its right end taken as square
            East, 4 m by tape, corner at its right end taken as square
            South, 4 m by tape, corner at its right end taken as square
            West, 4 m by tape, corner at its right end taken as square
            The walk ends 1 m from where it begins; measured as well as it says, it may by 121 mm. Walls, corners and diagonals together disagree by 10.5 times what chance explains.
            ? Measure wall south again; if it is 5 m (one metre off), write that. [space.den.walls.south.length = "5.00 m"]
            North, length: 5.00 m
            North, corner at its right end: –
            East, length: 4.00 m
            East, corner at its right end: –
            South, length: 4.00 m
            South, corner at its right end: –
            West, length: 4.00 m
            West, corner at its right end: –
            Diagonal from left end of north to left end of south: 6.403 m
            Ceiling, shape: flat
            Ceiling height: 2.40 m
            Floor level: –
            First wall faces: –
            Finish of the walls: –
            Finish of the floor: –
            Finish of the ceiling: –
            Light on the screen wall: –
            Background noise: –
            Rings at 125 Hz: –
            Rings at 250 Hz: –
            Rings at 500 Hz: –
            Rings at 1 kHz: –
            Rings at 2 kHz: –
            Rings at 4 kHz: –
            Made to ring by: –
            Measured from so many places: –
            Usual air temperature: –
            · Lamp, on wall north, 1.2 m from left, 2.05 m high
        "#]],
    );
}

#[test]
fn without_a_diagonal_the_one_that_would_tell_is_named() {
    let text = MISTYPED.replace(
        r#"diagonals = [["north.left", "south.left", "6.403 m"]]"#,
        "",
    );
    let closes = walk_of(&read(&text), "den").closes.expect("it was tried");
    assert!(!closes.closed);
    let walls: Vec<&str> = (closes.suspects.iter())
        .filter_map(|suspect| suspect.wall.as_deref())
        .collect();
    assert!(
        walls.contains(&"north") && walls.contains(&"south"),
        "{walls:?}"
    );
    assert!(
        closes
            .says
            .contains("measure the diagonal from the left end of wall"),
        "{}",
        closes.says
    );
}

#[test]
fn a_room_that_is_open_still_shows_its_walls_and_what_is_on_them() {
    // Two lengths of parallel walls are missing: nothing closes it.
    let text = MISTYPED.replace(
        r#"{ id = "south", length = "4.00 m" }"#,
        r#"{ id = "south" }"#,
    );
    let text = text.replace(
        r#"{ id = "north", length = "5.00 m" }"#,
        r#"{ id = "north", length = "?" }"#,
    );
    let text = text.replace(
        r#"diagonals = [["north.left", "south.left", "6.403 m"]]"#,
        "",
    );
    let scene = scene_of(&read(&text), "den");
    assert!(!scene.closed);
    let gap = scene.gap_text.expect("it is open");
    assert!(
        gap.starts_with("Needs the length of walls north, south in den"),
        "{gap}"
    );
    let drawn: Vec<bool> = scene.walls.iter().map(|wall| wall.from.is_some()).collect();
    // Walked back from where it ends.
    assert_eq!(drawn, [false, false, false, true]);
    assert_eq!(scene.walls[3].from, Some([0.0, -4.0]));
    assert_eq!(scene.walls[1].top, [[0.0, 2.4], [4.0, 2.4]]);
    let lamp = &scene.bodies[0];
    let rect = lamp
        .on_wall
        .expect("its place on the wall needs no corners");
    assert_eq!((rect.left, rect.top), (1.15, 2.15));
    assert_eq!(
        lamp.missing.as_deref(),
        Some("needs the walls up to wall north to be drawn in plan")
    );
}

#[test]
fn a_walk_that_crosses_itself_is_drawn_open() {
    let text = MISTYPED.replace(
        r#"{ id = "west", length = "4.00 m" }"#,
        r#"{ id = "west", length = "4.00 m", corner = "270 deg" }"#,
    );
    let text = text.replace(
        r#"{ id = "east", length = "4.00 m" }"#,
        r#"{ id = "east", length = "4.00 m", corner = "300 deg" }"#,
    );
    let scene = scene_of(&read(&text), "den");
    assert!(!scene.closed, "{:?}", scene.gap_text);
    assert!(
        scene
            .gap_text
            .is_some_and(|gap| gap.contains("enclose no room"))
    );
    assert_eq!(scene.floor.len(), 5);
    assert!(scene.bodies[0].outline.is_some(), "its wall is drawn");
}

#[test]
fn every_room_of_every_job_can_be_walked() {
    let mut fields = 0;
    for (name, job) in golden() {
        for space in &job.space {
            let walk = walk_of(&job, &space.id);
            assert_eq!(walk.wall_strip.len(), space.walls.len(), "{name}");
            assert!(
                walk.closes.is_some() != walk.closes_needs.is_some(),
                "{name}, {}",
                space.id
            );
            let ranked: Vec<usize> = walk.blanks.iter().map(|blank| blank.decides).collect();
            assert!(ranked.is_sorted_by(|a, b| a >= b), "{name}");
            for field in &walk.fields {
                assert!(!field.help.is_empty(), "{name}: {}", field.at);
            }
            fields += walk.fields.len();
        }
    }
    assert!(fields > 100, "{fields}");
}

#[test]
fn what_lies_and_hangs_there_has_the_fields_of_its_kind() {
    let room = "[[space]]\nid = \"den\"\nwalls = [{ id = \"a\", length = \"5 m\" }, { id = \"b\", length = \"4 m\" }, { id = \"c\", length = \"5 m\" }, { id = \"d\", length = \"4 m\" }]\n";
    let covering = |facts: &str| format!("[[space.covering]]\n{facts}\n");
    let text = [
        "format = 1\n[job]\nname = \"Test\"\n".to_owned(),
        room.to_owned(),
        covering("id = \"rug\"\nfinish = \"carpet_thin\"\nover = \"floor\"\narea = \"4 m²\""),
        covering("id = \"curtain\"\nfinish = \"curtains_velvet\"\nover = \"a\""),
        covering("id = \"sofa\"\nfinish = \"chairs_medium_upholstered\"\narea = \"2 m²\""),
        covering("id = \"friends\"\nfinish = \"person_standing\"\ncount = 3"),
    ];
    let walk = walk_of(&read(&text.concat()), "den");
    let told = walk.coverings.iter().map(|thing| {
        let facts = thing.fields.iter().map(|field| {
            let text = field.text.as_deref().unwrap_or("–");
            format!("  {}: {text}\n", field.label)
        });
        format!("{}\n{}", thing.says, facts.collect::<String>())
    });
    expect![[r#"
        Rug: carpet thin cemented to concrete, over the floor
          What it is: carpet_thin
          Over: floor
          Area: 4 m²
          Along the first wall: –
          Away from the first wall: –
          First wall: –
          Its middle off the first wall: –
          Second wall: –
          Its middle off the second wall: –
          What becomes of it: –
        Curtain: velvet curtain tight (not gathered), over a
          What it is: curtains_velvet
          Over: a
          Area: –
          Width: –
          Height: –
          Its middle from the left corner: –
          Its middle above the floor: –
          What becomes of it: –
        Sofa: upholstered chairs medium empty (per m2 seating area)
          What it is: chairs_medium_upholstered
          Over: –
          Area: 2 m²
          Width: –
          Height: –
          What becomes of it: –
        Friends: person standing
          What it is: person_standing
          How many: 3
          What becomes of it: –
    "#]]
    .assert_eq(&told.collect::<String>());
    assert!(walk.covering_finishes.len() > 40);
}

#[test]
fn a_wall_worked_out_from_walls_that_disagree_is_not_told_as_harmless() {
    // Front and back differ by 1.2 m between square corners: no left wall closes that.
    let text = r#"
format = 1
[job]
name = "House"
units = "metric"
[survey]
by = "tape"
[[space]]
id = "den"
walls = [
  { id = "front", length = "5.6 m" },
  { id = "right", length = "4.2 m" },
  { id = "back", length = "4.4 m" },
  { id = "left", length = "?" },
]
"#;
    let job = Arc::new(model::read(text, &[]).expect("the job reads"));
    let walk = walk_of(&job, "den");
    let needs = walk.closes_needs.expect("a wall is blank");
    assert!(needs.contains("can't be right"), "{needs}");
    assert!(!needs.contains("nothing proves"), "{needs}");
    // With like walls there is nothing to say against them.
    let job = Arc::new(model::read(&text.replace("4.4 m", "5.6 m"), &[]).expect("the job reads"));
    let needs = walk_of(&job, "den").closes_needs.expect("a wall is blank");
    assert!(needs.contains("nothing proves"), "{needs}");
}
