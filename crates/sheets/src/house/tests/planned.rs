//! Whether what could be is parted from what is planned, and what is planned comes with its dangers.

use super::*;

/// Sheets of a kept job, by the end of their ids.
fn kept(job: &str, ends: &str) -> Vec<Sheet> {
    let file = format!("{}/../../jobs/{job}.toml", env!("CARGO_MANIFEST_DIR"));
    let analysis = Analysis::new(read(&std::fs::read_to_string(file).unwrap()));
    let proof = checks::prove_without_remedies(&analysis);
    let set = super::Set::new(&analysis, &proof, Paper::A4);
    let planned = set.planned().into_iter();
    let wanted = planned.filter(|one| one.listed.id.contains(ends));
    wanted.map(|one| set.made(one)).collect()
}

#[test]
fn what_could_be_is_told_beside_the_plan_and_not_ticked_off() {
    for ends in ["loudspeakers", "hanging", "pictures"] {
        let sheets = kept("cellar-cinema", ends);
        assert_eq!(sheets.len(), 1, "{ends}");
        let words = all_words(&sheets[0]);
        assert!(words.contains(ALTERNATIVES), "{ends}");
        assert!(!words.contains("Tick"), "{ends}");
        assert!(!words.contains("Order Screen") && !words.contains("Hang the middle"));
        let planned = ["Planned", "planned"]
            .iter()
            .any(|told| words.contains(told));
        assert!(planned, "{ends}");
    }
}

#[test]
fn a_channel_that_no_place_serves_has_no_best_place() {
    let sheets = kept("cellar-cinema", "loudspeakers");
    let tables = sheets[0]
        .contents
        .iter()
        .filter_map(|content| match content {
            Content::Table(table) => Some(table),
            _ => None,
        });
    let rows: Vec<&Vec<String>> = tables.flat_map(|table| &table.rows).collect();
    let of = |label: &str| {
        let row = rows.iter().find(|row| row[0] == label);
        row.expect("each channel has a row").as_slice()
    };
    let served = of("Left");
    assert!(served[1].starts_with("Garden side, 6.385") && served[2].ends_with("allowed"));
    let planned = "Screen wall, 1.2\u{a0}\u{202f}m from its left corner";
    let planned = planned
        .replace(['\u{a0}', '\u{202f}'], " ")
        .replace("  ", " ");
    let told = served[3].replace(['\u{a0}', '\u{202f}'], " ");
    assert!(
        told.starts_with(&planned),
        "as the wall's sheet has it: {told}"
    );
    let unserved = of("Left surround");
    assert_eq!(unserved[1], "no place serves every seat");
    assert!(
        unserved[2].contains("seat front-left: 140"),
        "{}",
        unserved[2]
    );
    assert!(!all_words(&sheets[0]).contains("too far"));
}

#[test]
fn things_at_one_place_of_a_ceiling_share_their_distances() {
    let sheets = kept("cellar-cinema", "ceiling");
    let (_, drawing) = drawings(&sheets).next().expect("a ceiling is drawn");
    let lengths = |words: &str| {
        let told = |text: &&drawing::Text| text.content.replace('\u{202f}', " ") == words;
        drawing.texts.iter().filter(told).count()
    };
    assert_eq!(lengths("5.6 m"), 1, "projector and mount");
}

#[test]
fn heavy_things_are_cautioned_where_they_are_planned() {
    let lifting = |sheet: &Sheet| {
        let words = Caution::Lifting.words();
        sheet.cautions.iter().any(|told| told == words)
    };
    for (job, of) in [
        ("harbour-lane-settled", "loft-wall-screen-wall"),
        ("harbour-lane-settled", "loft-ceiling"),
        ("cellar-cinema", "cellar-wall-screen-wall"),
    ] {
        let sheets = kept(job, of);
        assert!(lifting(&sheets[0]), "{job}: {of}");
    }
    // Two loudspeakers of 5 kg below the height of a head.
    assert!(!lifting(
        &kept("cellar-cinema", "cellar-wall-boiler-side")[0]
    ));
}

#[test]
fn who_works_outdoors_is_told_to_look_before_digging() {
    let digging = |id: &str| {
        let sheets = kept("harbour-lane-settled", id);
        let words = Caution::Digging.words();
        sheets[0].cautions.iter().any(|told| told == words)
    };
    assert!(digging("terrace-plan"));
    assert!(!digging("loft-plan"));
}

#[test]
fn a_true_minus_and_no_wall_twice() {
    assert_eq!(decibels(-0.5), "\u{2212}0.5 dB");
    assert_eq!(decibels(0.0), "+0.0 dB");
    assert_eq!(wall_words("screen-wall"), "Screen wall");
    assert_eq!(wall_words("party"), "wall Party");
}

#[test]
fn a_loudspeaker_stands_out_of_its_wall_as_deep_as_it_is() {
    let sheets = kept("metric-flat", "main-plan");
    let drawing = drawing_of(&sheets, "main-plan");
    let bounds = |id: &str| {
        let element = drawing.elements.iter().find(|element| element.id == id);
        let drawing::Shape::Path { points, .. } = &element.expect("it is drawn").shapes[0] else {
            panic!("{id} starts with its outline")
        };
        drawing::Bounds::of(points.iter().copied()).expect("it has points")
    };
    let left = bounds("left");
    let mm = |length_m: f64| drawing.scale.paper_mm(length_m);
    let depth = left.max.y - left.min.y;
    assert!((depth - mm(0.15)).abs() < 1e-6, "{depth}");
    // The subwoofer stands with its middle 250 mm off the same wall and is 320 mm deep: its back is 90 mm off it.
    let back = bounds("sub").min.y - mm(0.09);
    assert!((left.min.y - back).abs() < 1e-6, "{left:?} {back}");
}
