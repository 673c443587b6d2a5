//! Does a field read what a person types, and does its edit write just that?

use std::sync::Arc;

use crate::jobs::{golden, proved, read};
use analysis::Analysis;
use expect_test::{Expect, expect};
use serde_json::json;
use view::{FieldKind, field};

fn demo() -> Analysis {
    let (_, job) = golden()
        .into_iter()
        .find(|(name, _)| name == "harbour-lane-surveyed")
        .expect("the demo");
    Analysis::new(job)
}

fn check(at: &str, text: &str, expected: Expect) {
    let told = match field(&demo(), at, text) {
        Ok(read) => format!(
            "{:?}, {} = {}",
            read.text.unwrap_or_default(),
            read.edit.at,
            read.edit.set.unwrap_or_default()
        ),
        Err(refused) => format!(
            "{} | {} | {:?}",
            refused.message, refused.accepted, refused.column
        ),
    };
    expected.assert_eq(&told.replace('\u{202f}', " "));
}

#[test]
fn a_quantity_reads_and_prints_in_the_jobs_units() {
    check(
        "space.living.walls.hearth.length",
        "5.54 m laser",
        expect![[
            r#""18′\u{202f}2\u{202f}1/8″ ±1/8″", space.living.walls.hearth.length = "5.54 m laser""#
        ]],
    );
    check(
        "space.living.walls.hearth.length",
        "18' 14\"",
        expect![[
            r#"inches after feet stay under 12 | ft, in, m, cm or mm, for example 10' 6 1/2", 126 1/2 in, 3.21 m, 3210 mm or ? | Some(4)"#
        ]],
    );
    check(
        "space.living.walls.hearth.corner",
        "91",
        expect![[r#""91°", space.living.walls.hearth.corner = "91""#]],
    );
    check(
        "space.living.noise",
        "31",
        expect![[r#""31\u{202f}dB", space.living.noise = "31""#]],
    );
    check(
        "space.living.walls.hearth.length",
        "?",
        expect![[r#""", space.living.walls.hearth.length = "?""#]],
    );
    check(
        "space.living.walls.hearth.length",
        "",
        expect![[r#""", space.living.walls.hearth.length = null"#]],
    );
}

#[test]
fn words_flags_and_numbers_are_held_to_what_the_file_accepts() {
    check(
        "space.living.fixture.mantel.kind",
        "Wall light",
        expect![[r#""Wall light", space.living.fixture.mantel.kind = "wall-light""#]],
    );
    check(
        "space.living.fixture.mantel.kind",
        "spaceship",
        expect![
            "`spaceship` is none of them | wall-light, ceiling-light, fan, vent, sprinkler, smoke-alarm, thermostat, switch, socket, mains-run, fireplace, mantel, chimney-breast, radiator, curtain-stack, picture-rail, furniture, plate, conduit-end, cable-end, walkway, post, other | Some(0)"
        ],
    );
    check(
        "space.living.walls.hearth.open",
        "yes",
        expect![[r#""yes", space.living.walls.hearth.open = true"#]],
    );
    check(
        "space.loft.seat.rear-left.row",
        "2.5",
        expect!["`2.5` is no whole number | a whole number | Some(0)"],
    );
    check(
        "space.living.walls.hearth.colour",
        "red",
        expect![
            "there is no fact at `space.living.walls.hearth.colour` | a place that the job file has | None"
        ],
    );
    check(
        "space.living.fixture.mantel.kind",
        "",
        expect![
            "space.living.fixture.mantel: `kind` is missing; accepted: kind: What it is; one of `wall-light`, `ceiling-light`, `fan`, `vent`, `sprinkler`, `smoke-alarm`, `thermostat`, `switch`, `socket`, `mains-run`, `fireplace`, `mantel`, `chimney-breast`, `radiator`, `curtain-stack`, `picture-rail`, `furniture`, `plate`, `conduit-end`, `cable-end`, `walkway`, `post`, `other` | What it is. | None"
        ],
    );
}

#[test]
fn a_first_distance_makes_the_place_that_it_belongs_to() {
    check(
        "space.living.opening.garden-door.swing.hinge",
        "right",
        expect![[
            r#""right", space.living.opening.garden-door.swing = {"hinge":"right","into":"room"}"#
        ]],
    );
    check(
        "item.tv.hung.from.1",
        "3'",
        expect![[
            r#""3′\u{202f}0″", item.tv.hung = {"from":["hearth","3'"],"and":["garden","?"]}"#
        ]],
    );
    check(
        "space.terrace.ceiling.height",
        "8'",
        expect![[r#""8′\u{202f}0″", space.terrace.ceiling = {"shape":"flat","height":"8'"}"#]],
    );
}

#[test]
fn a_covering_hangs_on_the_wall_that_it_is_over_and_has_two_sides() {
    let job = read(
        "format = 1\n[job]\nname = \"Test\"\n[[space]]\nid = \"den\"\nwalls = [{ id = \"a\" }, { id = \"b\" }, { id = \"c\" }]\n[[space.covering]]\nid = \"curtain\"\nfinish = \"curtains_velvet\"\nover = \"b\"\n",
    );
    let analysis = Analysis::new(job);
    let curtain = |fact: &str, text: &str| {
        let read = field(
            &analysis,
            &format!("space.den.covering.curtain.{fact}"),
            text,
        );
        let edit = read.expect("it reads").edit;
        (edit.at, edit.set.unwrap_or_default())
    };
    assert_eq!(
        curtain("on.height", "4'"),
        (
            "space.den.covering.curtain.on".to_owned(),
            json!({ "wall": "b", "height": "4'" })
        )
    );
    assert_eq!(
        curtain("size.1", "8'"),
        (
            "space.den.covering.curtain.size".to_owned(),
            json!(["?", "8'"])
        )
    );
}

#[test]
fn a_ridge_runs_to_the_wall_opposite_until_another_is_said() {
    check(
        "space.living.ceiling.ridge.0",
        "hearth",
        expect![[r#""hearth", space.living.ceiling.ridge = ["hearth","kitchen-side"]"#]],
    );
    check(
        "space.living.ceiling.ridge.1",
        "hearth",
        expect![[r#""hearth", space.living.ceiling.ridge = ["kitchen-side","hearth"]"#]],
    );
}

#[test]
fn every_field_of_every_scene_reads_its_own_text() {
    let mut tried = 0;
    for (name, job) in golden() {
        let analysis = Analysis::new(Arc::clone(&job));
        for space in &job.space {
            let scene = view::scene(&analysis, &[], &space.id).expect("a space of this job");
            for shown in scene.bodies.iter().flat_map(|body| &body.fields) {
                let Some(text) = &shown.text else { continue };
                let read = field(&analysis, &shown.at, text);
                let read =
                    read.unwrap_or_else(|refused| panic!("{name}: {}: {refused:?}", shown.at));
                let is_quantity = !matches!(
                    shown.kind,
                    FieldKind::Text | FieldKind::Choice | FieldKind::Flag | FieldKind::Number
                );
                assert_eq!(read.value.is_some(), is_quantity, "{name}: {}", shown.at);
                let edit = [model::Edit::from(read.edit)];
                let same = analysis.job().edited(&edit).expect("it was accepted");
                assert_eq!(
                    serde_json::to_value(&same).expect("a document"),
                    serde_json::to_value(analysis.job()).expect("a document"),
                    "{name}: {}",
                    shown.at
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 300, "{tried}");
}

#[test]
fn two_states_of_the_demo_differ_in_facts_and_findings() {
    let jobs = golden();
    let of = |name: &str| {
        proved(
            &jobs
                .iter()
                .find(|(one, _)| one == name)
                .expect("a golden job")
                .1,
        )
    };
    let comparison = view::compare(&of("harbour-lane-surveyed"), &of("harbour-lane-settled"));
    let facts: Vec<String> = (comparison.facts.iter())
        .take(8)
        .map(|fact| {
            format!(
                "{}: {} → {}",
                fact.what,
                fact.before.as_deref().unwrap_or("–"),
                fact.after.as_deref().unwrap_or("–")
            )
        })
        .collect();
    expect![[r#"
        Revision of the job: 1 → 2
        Date of the job: 2026-05-04 → 2026-05-18
        Reading of fixture firebox in Living room: – → 31 °C
        Built of fixture firebox in Living room: – → masonry
        Distance from the left corner of fixture sconce left in Living room: 5' 10" → 5' 7"
        Distance from the left corner of fixture sconce right in Living room: 11' 8" → 11' 9 1/2"
        Finish of covering rug in Living room: – → carpet_1.35_kg_m2
        Surface of covering rug in Living room: – → floor
    "#]]
    .assert_eq(&(facts.join("\n") + "\n"));
    let findings: Vec<String> = (comparison.findings.iter())
        .take(8)
        .map(|finding| {
            format!(
                "{} of {}: {:?} → {:?}",
                finding.title, finding.subject, finding.from, finding.to
            )
        })
        .collect();
    expect![[r#"
        Arm studs of Arm over the fire: Some(Fails) → Some(Tight)
        Cupboard heat of Cupboard by the stairs: Some(Fails) → Some(Tight)
        Reverberation of Living room 1 kHz: Some(Fails) → Some(Tight)
        Reverberation of Living room 500 Hz: Some(Fails) → Some(Tight)
        Reverberation of Loft cinema 250 Hz: Some(Fails) → Some(Tight)
        Wire loss of W20: Some(Fails) → Some(Tight)
        Wire loss of W21: Some(Fails) → Some(Tight)
        Level spread of Top rear left: Some(Fits) → Some(Tight)
    "#]]
    .assert_eq(&(findings.join("\n") + "\n"));
    let same = view::compare(&of("l-shaped"), &of("l-shaped"));
    assert!(same.facts.is_empty() && same.findings.is_empty());
}
