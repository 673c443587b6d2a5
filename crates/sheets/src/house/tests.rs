//! Whether a proven job's sheets say what the job says.

use std::collections::BTreeSet;
use std::sync::Arc;

use analysis::{Means, Missing, Source, Uncertain};
use checks::{
    Area as Trade, Caution, Change, Cost, Counts, Decider, Effect, Finding, MeasureAgain, Remedy,
    Subject, Verdict,
};
use expect_test::expect;
use uncertainty_of::measured;
use units::Dimension;

use super::*;
use crate::{Content, svg, texts};

/// A room that has one of each, a room of blanks, and one without a ceiling.
const SMALL: &str = r#"
format = 1
[job]
name = "Quay 3"
customer = "the people upstairs"
units = "metric"
revision = 2
date = "2026-02-03"
[rates]
currency = "EUR"
hour = 60.0
[[space]]
id = "den"
name = "Den"
walls = [
  { id = "north-wall", length = "5 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "5 m" },
  { id = "west", length = "4 m paced" },
]
ceiling = { shape = "flat", height = "2.5 m" }
first_wall_faces = "0 deg"
[[space.opening]]
id = "door"
kind = "door"
on = { wall = "south", from_left = "0.4 m", height = "0 m" }
size = ["0.8 m", "2 m"]
swing = { hinge = "left", into = "room" }
[[space.fixture]]
id = "socket-left"
kind = "socket"
on = { wall = "north-wall", from_left = "1 m", height = "0.3 m" }
size = ["8 cm", "8 cm", "1 cm"]
[[space.fixture]]
id = "alarm"
kind = "smoke-alarm"
hung = { from = ["north-wall", "2 m"], and = ["west", "1 m"], drop = "0 m" }
size = ["10 cm", "4 cm", "10 cm"]
[[space.fixture]]
id = "lost-switch"
kind = "switch"
on = { wall = "north-wall", from_left = "?", height = "1.1 m" }
[[space.construction]]
of = "north-wall"
framing = "stud"
spacing = "0.6 m"
first_from_left = "0.3 m"
cavity = "9 cm"
board = "12 mm"
[[space.seat]]
id = "sofa"
at = { from = ["north-wall", "3 m"], and = ["west", "2.5 m"] }
eye = "1.1 m"
[[space]]
id = "attic"
name = "Attic"
walls = [
  { id = "a", length = "?" },
  { id = "b", length = "?" },
  { id = "c", length = "?" },
]
[[space]]
id = "hall"
name = "Hall"
walls = [
  { id = "n", length = "2 m" },
  { id = "e", length = "3 m" },
  { id = "s", length = "2 m" },
  { id = "w", length = "3 m" },
]
[[kit.display]]
id = "display-a"
name = "Display A"
diagonal = "1.4 m"
size = ["1.25 m", "0.72 m", "5 cm"]
mass = "20 kg"
watts = 150
[[kit.loudspeaker]]
id = "inwall-b"
name = "In-wall B"
form = "in-wall"
size = ["22 cm", "30 cm", "9 cm"]
mass = "3 kg"
cutout = ["19 cm", "27 cm"]
depth_behind = "8 cm"
[[kit.loudspeaker]]
id = "inceiling-c"
name = "In-ceiling C"
form = "in-ceiling"
size = ["20 cm", "20 cm", "9 cm"]
mass = "2 kg"
cutout = ["18 cm", "18 cm"]
[[kit.amplifier]]
id = "amp-d"
name = "Amplifier D"
size = ["40 cm", "10 cm", "30 cm"]
mass = "8 kg"
watts = 200
[[kit.cable]]
id = "wire-e"
name = "Wire E"
carries = "loudspeaker"
price_per_metre = 2.0
[[item]]
id = "screen"
is = "display-a"
name = "Screen"
space = "den"
on = { wall = "north-wall", from_left = "2.5 m", height = "1.4 m" }
[[item]]
id = "left"
is = "inwall-b"
name = "Left"
space = "den"
on = { wall = "north-wall", from_left = "1.2 m", height = "1.4 m" }
[[item]]
id = "top"
is = "inceiling-c"
name = "Top"
space = "den"
hung = { from = ["north-wall", "2 m"], and = ["west", "2.5 m"] }
[[item]]
id = "amp"
is = "amp-d"
name = "Amplifier"
space = "den"
at = { from = ["south", "0.5 m"], and = ["west", "4 m"] }
[[item]]
id = "old-amp"
is = "amp-d"
name = "Old amplifier"
space = "den"
existing = true
at = { from = ["south", "0.5 m"], and = ["west", "3.2 m"] }
[[cable]]
id = "W1"
kind = "wire-e"
from = "amp.left"
to = "left"
way = "underfoot"
[[cable]]
id = "W2"
kind = "wire-e"
from = "amp.top"
to = "top"
[[spool]]
id = "spool-e"
kind = "wire-e"
length = "50 m"
"#;

mod uncertainty_of {
    use super::*;

    /// A number with its expanded uncertainty.
    pub fn measured(value: f64, expanded: f64) -> Uncertain {
        Uncertain::measured(
            value,
            expanded / analysis::COVERAGE_FACTOR,
            ::uncertainty::SourceId(0),
        )
    }
}

fn read(text: &str) -> Arc<Job> {
    match model::read(text, &checks::limit_names()) {
        Ok(job) => Arc::new(job),
        Err(problems) => {
            let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("the test's job does not read:\n{}", told.join("\n"))
        }
    }
}

fn finding(verdict: Verdict, subject: &str, because: &str) -> Finding {
    Finding {
        check: "made-up",
        area: Trade::Picture,
        subject: Subject::new(subject, subject),
        space: Some("den".to_owned()),
        value: None,
        limit: None,
        dimension: Dimension::Length,
        margin: None,
        verdict,
        because: because.to_owned(),
        source: Source::CommonPractice,
        needs: Vec::new(),
        remedies: Vec::new(),
        cautions: Vec::new(),
        deciders: Vec::new(),
    }
}

/// A proof by hand, so that the words of no check stand in a golden text.
fn proof() -> Proof {
    let change = |subject: &str| Change {
        check: "made-up",
        subject: subject.to_owned(),
        from: Some(Verdict::Fits),
        to: Some(Verdict::Tight),
    };
    let mut remedy =
        Remedy::new("Move screen 30 mm to the right", Vec::new()).caution(Caution::Lifting);
    remedy.cost = Cost {
        time_s: 600.0,
        wire_m: 0.0,
        holes: 2,
        money: Some(10.0),
    };
    remedy.effect = Some(Effect {
        verdict: Verdict::Fits,
        better: Vec::new(),
        worse: ["one", "two", "three"].map(change).into(),
        refused: None,
    });
    let findings = vec![
        Finding {
            value: Some(measured(0.37, 0.004)),
            limit: Some(0.4),
            margin: Some(measured(-0.03, 0.004)),
            remedies: vec![remedy],
            ..finding(
                Verdict::Fails,
                "screen+left",
                "Screen and left are 370 mm apart; 400 mm is the least.",
            )
        },
        Finding {
            value: Some(measured(0.1, 0.006)),
            limit: Some(0.12),
            margin: Some(measured(0.02, 0.05)),
            deciders: vec![Decider {
                what: "length of wall west".to_owned(),
                path: "space.den.walls.west.length".to_owned(),
                share: 0.9,
            }],
            ..finding(
                Verdict::Tight,
                "top.edge",
                "Top is 100 mm from a joist; up to 120 mm is asked for.",
            )
        },
        Finding {
            needs: vec![Missing::new("the depth", "kit.x", Means::SpecSheet)],
            ..finding(
                Verdict::Unknown,
                "amp",
                "Can't tell yet: needs the depth (maker's spec sheet).",
            )
        },
        finding(Verdict::Fits, "sofa", "All well at sofa."),
    ];
    Proof {
        findings,
        measure_again: vec![
            MeasureAgain {
                what: "length of wall west in den (4 m paced)".to_owned(),
                path: "space.den.walls.west.length".to_owned(),
                tool: Means::Tape.tool(),
                blank: false,
                settles: vec![("made-up", "top".to_owned())],
            },
            MeasureAgain {
                what: "the length of wall a".to_owned(),
                path: "space.attic.walls.a.length".to_owned(),
                tool: Means::Tape.tool(),
                blank: true,
                settles: vec![("made-up", "attic".to_owned())],
            },
        ],
        counts: Counts {
            fits: 1,
            tight: 1,
            fails: 1,
            unknown: 1,
        },
    }
}

/// Writes a set where a person can look at it.
fn keep(name: &str, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("SHEETS_TO") {
        std::fs::write(format!("{folder}/{name}.pdf"), bytes)
            .expect("the folder can be written to");
    }
}

fn small(paper: Paper) -> Vec<Sheet> {
    house(&Analysis::new(read(SMALL)), &proof(), paper)
}

fn drawings(sheets: &[Sheet]) -> impl Iterator<Item = (&Sheet, &drawing::Drawing)> {
    sheets.iter().flat_map(|sheet| {
        sheet
            .contents
            .iter()
            .filter_map(move |content| match content {
                Content::Drawing { drawing, .. } => Some((sheet, drawing.as_ref())),
                _ => None,
            })
    })
}

fn drawing_of<'a>(sheets: &'a [Sheet], id: &str) -> &'a drawing::Drawing {
    drawings(sheets)
        .find(|(sheet, _)| sheet.id == id)
        .expect("the sheet has a drawing")
        .1
}

/// Left and right ends of an element on paper, mm.
fn ends(drawing: &drawing::Drawing, id: &str) -> (f64, f64) {
    let element = drawing
        .elements
        .iter()
        .find(|element| element.id == id)
        .expect("it is drawn");
    let drawing::Shape::Path { points, .. } = &element.shapes[0] else {
        panic!("{id} starts with its outline")
    };
    let bounds = drawing::Bounds::of(points.iter().copied()).expect("it has points");
    (bounds.min.x, bounds.max.x)
}

fn all_words(sheet: &Sheet) -> String {
    format!("{sheet:?}")
}

#[test]
fn the_set_says_what_the_job_says() {
    let sheets = small(Paper::A4);
    let job = read(SMALL);
    let pages = texts(&title_block(&job, ""), Paper::A4, &sheets).unwrap();
    // Thin, unbreakable and breaking blanks differ in nothing that a reader sees.
    let pages = pages.join("\n=====\n").replace(['\u{202f}', '\u{a0}'], " ");
    let pages = pages.replace('\u{200b}', "");
    keep(
        "small",
        &pdf(&title_block(&job, ""), Paper::A4, &sheets).unwrap(),
    );
    expect![[r#"
        What was proved
        Caution
        Heavy or awkward lift: two people, path cleared first; follow local lifting rules.
        Verdict Check Value Limit Margin Why, and what would cure it
         fails 1 A limit is broken: order nothing that hangs on it.
        1 It fits on paper, but by no more than the survey can be off or custom asks to spare: measure again.
         tight
        1 Something needed is not known yet: see the measure-again sheet.
         unknown
        1 With more room than the survey can be off. Not listed below.
         fits
        At a glance
        Where fails tight unknown fits What fails
        Den 1 1 1 1 made up
        What fails: Den
        Verdict Check Value Limit Margin Why, and what would cure it
        Made up 370 mm ≥ 400 mm −30 mm ±4 mm Screen+left: Screen and left are 370 mm apart; 400 mm is the least.
         fails
        – Move screen 30 mm to the right. Takes 10 min 0 s, 2 holes, 10.00 EUR. Then it fits. Worse: made up 
        tight (one, two, 1 more).
        Limit: common practice, no source
        What is tight: Den
        Verdict Check Value Limit Margin Why, and what would cure it
         tight Made up 100 mm ≤ 120 mm +0 mm ±50 mm Top.edge: Top is 100 mm from a joist; up to 120 mm is asked for.
        Limit: common practice, no source
        What is not known yet: Den
        Verdict Check Value Limit Margin Why, and what would cure it
        Made up Amp: Can't tell yet: needs the depth (maker's spec sheet).
         unknown
        Quay 3 What was proved
        Sheet 1 of 11
        the people upstairs Revision 2
        A4
        2026-02-03
        =====
        Measure again
        Most decisive first
        Done What With Reading What it settles
        Length of wall west in den (4 m paced): take it  tape or laser ______________ made up of top
        again
        The length of wall a tape or laser ______________ made up of attic
        Quay 3 Measure again
        Sheet 2 of 11
        the people upstairs Revision 2
        A4
        2026-02-03
        =====
        Caution
        Ladder work: one person holds; foot out a 
        quarter of the height; belt buckle between the 
        rails. Follow local rules for work at height.
        Heavy or awkward lift: two people, path cleared 
        first; follow local lifting rules.
        Notes
        – Screen and left are 370 mm apart; 400 mm is the 
        least.
        – Top is 100 mm from a joist; up to 120 mm is 
        asked for.
        – Nothing on these walls, so not drawn: East, West.
        – Walls without hatch: what is inside them is not 
        known. Their thickness is a sign only.
        – Cables that share a way are drawn side by side.
        Lines
        there already
        Cable W1, Cable W2
        100 mm. Check with a rule; if it differs, do not measure off this sheet: print it again at 100 %.
        Quay 3 Den, plan Sheet 3 of 11
        the people upstairs Revision 2 Scale 1 : 50
        2026-02-03 A4
        | A
        | B
        | W1
        | W2
        | 5.000 m
        | North wall
        | 4.000 m
        | East
        | 800 mm
        | 3.80 m
        | 400 mm
        | 5.000 m
        | South
        | (4.00 m)
        | West
        | Sofa
        | Left: fails
        | Screen: fails
        | Top: tight
        | Old amplifier
        | Amplifier:
        | unknown
        | Door
        | N
        | Den, plan
        | 0
        | 1
        | 2 m
        | 1 : 50
        =====
        Den, wall A: North wall
        Caution
        Heavy or awkward lift: two people, path cleared first; follow local lifting rules.
        Mains: switched off, locked and proved dead. Mains wiring is a licensed electrician's work; local code decides.
        Before cutting or drilling: scan for cables, pipes and studs, and look behind with a small hole. Eye protection, and dust control in old houses (lead, asbestos: stop and 
        ask).
        Where things go; left is left when you face the wall
        Fitted What Verdict Middle from left corner Middle from floor Lower edge from floor Outside Cut-out
        Screen fails 2.5 m 1.4 m 1.04 m 1.25 m × 720 mm –
        Left fails 1.2 m 1.4 m 1.25 m 220 mm × 300 mm 190 mm × 270 mm, 80 mm deep
        Quay 3 Den, wall A: North wall Sheet 4 of 11
        the people upstairs Revision 2 Scale 1 : 50
        2026-02-03 A4 , page 1 of 2
        =====
        Notes
        – Screen and left are 370 mm apart; 400 mm is the 
        least.
        – Studs as surveyed: first middle 300 mm from the 
        left corner, then every 600 mm. Find each one 
        before drilling.
        – Lost switch is not drawn: needs its distance from 
        the left corner on wall north-wall (tape or laser).
        Lines
        behind or above
        middle line
        there already
        100 mm. Check with a rule; if it differs, do not measure off this sheet: print it again at 100 %.
        Quay 3 Den, wall A: North wall Sheet 4 of 11
        the people upstairs Revision 2 Scale 1 : 50
        2026-02-03 A4 , page 2 of 2
        | 1.2 m
        | 1.3 m
        | 1.000 m
        | 5.000 m
        | 1.4 m
        | 300 mm
        | 2.500 m
        | Screen:
        | fails
        | Socket left
        | Left: fails
        | Cut 190 mm
        | × 270 mm
        | Den, wall A: North wall, seen from inside
        | 0
        | 1
        | 2 m
        | 1 : 50
        =====
        Notes
        – What is inside this wall is not known: look before 
        cutting.
        100 mm. Check with a rule; if it differs, do not measure off this sheet: print it again at 100 %.
        Quay 3 Den, wall B: South Sheet 5 of 11
        the people upstairs Revision 2 Scale 1 : 50
        2026-02-03 A4
        | 800 mm
        | 400 mm
        | 5.000 m
        | 2.000 m
        | 2.500 m
        | Door
        | Den, wall B: South, seen from inside
        | 0
        | 1
        | 2 m
        | 1 : 50
        =====
        Den, ceiling
        Caution
        Ladder work: one person holds; foot out a quarter of the height; belt buckle between the rails. Follow local rules for work at height.
        Before cutting or drilling: scan for cables, pipes and studs, and look behind with a small hole. Eye protection, and dust control in old houses (lead, asbestos: stop and 
        ask).
        Where things go; to their middles
        Fitted What Verdict Off a first wall Off a second wall Top below ceiling Cut-out
        Top tight 2 m off north wall 2.5 m off west flush 180 mm round
        Quay 3 Den, ceiling Sheet 6 of 11
        the people upstairs Revision 2 Scale 1 : 50
        2026-02-03 A4 , page 1 of 2
        =====
        Notes
        – Top is 100 mm from a joist; up to 120 mm is 
        asked for.
        – Left and right are as on the plan.
        – What is above this ceiling is not known: look 
        before cutting.
        Lines
        there already
        100 mm. Check with a rule; if it differs, do not measure off this sheet: print it again at 100 %.
        Quay 3 Den, ceiling Sheet 6 of 11
        the people upstairs Revision 2 Scale 1 : 50
        2026-02-03 A4 , page 2 of 2
        | 2.000 m
        | 1.000 m
        | 2 m
        | 2.500 m
        | 5.000 m
        | North wall
        | 4.000 m
        | East
        | 5.000 m
        | South
        | (4.00 m)
        | West
        | Alarm
        | Top: tight
        | N
        | Den, ceiling seen in a mirror on the floor
        | 0
        | 1
        | 2 m
        | 1 : 50
        =====
        Attic, not drawn yet
        Attic can't be drawn: its walls are not known well enough to close. Plan, walls and ceiling 
        follow when these are measured.
        To measure
        – the length of walls a, b, c in Attic (tape or laser)
        – the length of wall a (tape or laser)
        Quay 3 Attic, not drawn yet
        Sheet 7 of 11
        the people upstairs Revision 2
        A4
        2026-02-03
        =====
        Notes
        – Walls and ceiling are not drawn: needs the ceiling of 
        Hall (tape or laser).
        – Walls without hatch: what is inside them is not 
        known. Their thickness is a sign only.
        – Which way is north is not known: hold a compass to 
        the first wall.
        100 mm. Check with a rule; if it differs, do not 
        measure off this sheet: print it again at 100 %.
        Quay 3 Hall, plan Sheet 8 of 11
        the people upstairs Revision 2 Scale 1 : 20
        2026-02-03 A4
        | 2.000 m
        | N
        | 3.000 m
        | E
        | 2.000 m
        | S
        | 3.000 m
        | W
        | Hall, plan
        | 0
        | 0.5
        | 1 m
        | 1 : 20
        =====
        Cable schedule
        Caution
        Ladder work: one person holds; foot out a quarter of the height; belt buckle between the rails. Follow local rules 
        for work at height.
        Mains: switched off, locked and proved dead. Mains wiring is a licensed electrician's work; local code decides.
        Before cutting or drilling: scan for cables, pipes and studs, and look behind with a small hole. Eye protection, and 
        dust control in old houses (lead, asbestos: stop and ask).
        Cut lengths hold the way, 10 % slack (common practice, no source), a loop of 300 mm at 
        each end (common practice, no source) and what the survey may be off, rounded up to the 
        next 100 mm; a cable with its own slack or loops says so.
        Taken 
        Pulled Label Cable From To Way Cut from
        W1 Wire E Amplifier, left Left along 2.80 m, across 3.50 m, up 1.4 m 9.2 m spool-e
        W2 Wire E Amplifier, top Top to wall south 500 mm, up 2.500 m, along  7.8 m spool-e
        1.50 m, across 2.00 m
        To cut in all; lengths are rounded up, the survey's uncertainty included
        Cable Pieces Length On spools
        Wire E 2 17 m spool-e: 50 m
        Quay 3 Cable schedule
        Sheet 9 of 11
        the people upstairs Revision 2
        A4
        2026-02-03
        =====
        Cable labels
        Cut along the lines; each strip goes round its end of the cable, the name outside.
        Cable On Strip for the first end On Strip for the far end
        W1 W1 · here Amplifier, left · other end Left W1 · here Left · other end Amplifier, left
        W2 W2 · here Amplifier, top · other end Top W2 · here Top · other end Amplifier, top
        Quay 3 Cable labels
        Sheet 10 of 11
        the people upstairs Revision 2
        A4
        2026-02-03
        =====
        Parts
        Kit; what is in the house already is left out
        In 
        van Part Kind Count Mass of each Mass Power of each
        Display A Display 1 20 kg 20 kg 150 W
        In-wall B Loudspeaker 1 3 kg 3 kg –
        In-ceiling C Loudspeaker 1 2 kg 2 kg –
        Amplifier D Amplifier 1 8 kg 8 kg 200 W
        All together 4 33 kg 350 W
        Cable
        In 
        van Cable Pieces To cut Price
        Wire E 2 17 m 34.00 EUR
        Quay 3 Parts
        Sheet 11 of 11
        the people upstairs Revision 2
        A4
        2026-02-03"#]].assert_eq(&pages);
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let print = || {
        house_pdf(
            &Analysis::new(read(SMALL)),
            &proof(),
            Paper::Letter,
            "2026-02-03",
        )
        .unwrap()
    };
    assert!(print() == print());
}

#[test]
fn a_room_of_blanks_says_what_to_measure() {
    let sheets = small(Paper::A4);
    let attic = sheets
        .iter()
        .find(|sheet| sheet.id == "attic-plan")
        .expect("no sheet is left out");
    assert!(drawings(std::slice::from_ref(attic)).next().is_none());
    assert!(
        all_words(attic).contains("the length of wall a (tape or laser)"),
        "{attic:?}"
    );
}

#[test]
fn a_room_without_a_ceiling_keeps_its_plan_and_says_so() {
    let sheets = small(Paper::A4);
    let hall = sheets
        .iter()
        .find(|sheet| sheet.id == "hall-plan")
        .expect("the hall closes");
    assert!(
        all_words(hall).contains("Walls and ceiling are not drawn: needs"),
        "{hall:?}"
    );
    assert!(!sheets.iter().any(|sheet| sheet.id.starts_with("hall-wall")));
}

#[test]
fn walls_that_enclose_nothing_are_a_sheet_of_words() {
    let mut inside_out = SMALL.to_owned();
    for wall in ["n", "e", "s", "w"] {
        let end = format!("id = \"{wall}\",");
        assert!(inside_out.contains(&end));
        inside_out = inside_out.replace(&end, &format!("{end} corner = \"270 deg\","));
    }
    let analysis = Analysis::new(read(&inside_out));
    let sheets = house(&analysis, &proof(), Paper::A4);
    let hall = sheets
        .iter()
        .find(|sheet| sheet.id == "hall-plan")
        .expect("no sheet is left out");
    assert_eq!(hall.title, "Hall, not drawn yet");
    assert!(pdf(&title_block(analysis.job(), ""), Paper::A4, &sheets).is_ok());
}

#[test]
fn any_blank_leaves_a_set_and_no_space_without_a_word() {
    let quoted: Vec<&str> = SMALL.split('"').collect();
    let is_length = |index: &usize| {
        index % 2 == 1
            && [" m", " cm", " mm", " m paced"]
                .iter()
                .any(|unit| quoted[*index].ends_with(unit))
    };
    let lengths: Vec<usize> = (0..quoted.len()).filter(is_length).collect();
    assert!(lengths.len() > 50, "{}", lengths.len());
    let proof = proof();
    for blank in lengths {
        let mut parts = quoted.clone();
        parts[blank] = "?";
        let Ok(job) = model::read(&parts.join("\""), &checks::limit_names()) else {
            // A file that may not have a blank there says so when it is read.
            continue;
        };
        let analysis = Analysis::new(Arc::new(job));
        let sheets = house(&analysis, &proof, Paper::A4);
        for space in &analysis.job().space {
            let id = format!("{}-plan", space.id);
            assert!(
                sheets.iter().any(|sheet| sheet.id == id),
                "{id} without {}",
                quoted[blank - 1]
            );
        }
        for (sheet, drawing) in drawings(&sheets) {
            assert_eq!(
                drawing::overlaps(drawing),
                [],
                "{} without {}",
                sheet.title,
                quoted[blank - 1]
            );
        }
    }
}

#[test]
fn left_is_left_when_facing_the_wall() {
    let sheets = small(Paper::A4);
    let wall = drawing_of(&sheets, "den-wall-north-wall");
    assert!(ends(wall, "left").1 < ends(wall, "screen").0 + 1e-9);
    // The door is at the left of the south wall, which is on the right of a plan with north above.
    let south = drawing_of(&sheets, "den-wall-south");
    assert!(ends(south, "door").1 < south.width_mm / 2.0);
    let plan = drawing_of(&sheets, "den-plan");
    assert!(ends(plan, "door").0 > plan.width_mm / 2.0);
}

#[test]
fn verdicts_are_the_worst_that_speak_of_a_thing() {
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    let set = Set::new(&analysis, &proof, Paper::A4);
    let den = &analysis.job().space[0];
    assert_eq!(set.verdict(den, "left"), Some(drawing::Verdict::Fails));
    assert_eq!(set.verdict(den, "top"), Some(drawing::Verdict::Tight));
    assert_eq!(set.verdict(den, "to"), None);
    // The same name in another space is another thing.
    assert_eq!(set.verdict(&analysis.job().space[2], "sofa"), None);
}

#[test]
fn cable_is_cut_long_enough() {
    // W1 runs below the floor: from the amplifier (4 m, 3.5 m from the north wall) 2.8 m along, 3.5 m across and 1.4 m
    // up: 7.7 m. A tenth more and two loops of 0.3 m make 9.07 m; the paced wall adds its uncertainty.
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    let set = Set::new(&analysis, &proof, Paper::A4);
    let cable::Supply::Cut(length_m) = set.supply(&analysis.job().cable[0]) else {
        panic!("a new cable is cut")
    };
    let plain = analysis.cut_length(&analysis.job().cable[0]).unwrap();
    assert!((plain.value() - 9.07).abs() < 0.05, "{}", plain.value());
    assert!(length_m >= plain.value() + 2.0 * plain.standard_uncertainty());
    assert!(
        (length_m * 10.0 - (length_m * 10.0).round()).abs() < 1e-9,
        "{length_m}"
    );
}

#[test]
fn all_drawings_are_black_on_white() {
    let sheets = small(Paper::Letter);
    let colours: BTreeSet<String> = sheets
        .iter()
        .flat_map(svg)
        .flat_map(|svg| {
            svg.split('"')
                .filter(|part| part.starts_with('#'))
                .map(str::to_owned)
                .collect::<Vec<_>>()
        })
        .collect();
    // The third is the soft ink of what is there already: a grey.
    assert!(
        colours
            .iter()
            .all(|colour| ["#000", "#fff", "#57554e"].contains(&colour.as_str())),
        "{colours:?}"
    );
}

#[test]
fn every_drawing_of_every_kept_job_can_be_read() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../jobs");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    assert!(!files.is_empty());
    for file in files {
        let job = read(&std::fs::read_to_string(&file).unwrap());
        let analysis = Analysis::new(Arc::clone(&job));
        let looked_at = std::env::var("SHEETS_TO").is_ok();
        let proof = match looked_at {
            true => checks::prove(job),
            false => checks::prove_without_remedies(&analysis),
        };
        let name = file
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        for (paper, size) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
            let sheets = house(&analysis, &proof, paper);
            for (sheet, drawing) in drawings(&sheets) {
                assert_eq!(
                    drawing::overlaps(drawing),
                    [],
                    "{name}: {} on {size}",
                    sheet.title
                );
            }
            if looked_at || size == "a4" {
                let title = title_block(analysis.job(), "2026-05-04");
                keep(
                    &format!("{name}-{size}"),
                    &pdf(&title, paper, &sheets).unwrap(),
                );
            }
        }
    }
}
