//! All loudspeakers of a layout together: nothing fails, pairs mirror each other, old plates are
//! used where that costs little, and what is told is what the edits make.

use analysis::Analysis;
use finders::{LayoutPlaces, LayoutPlan, layout_places};

mod cinema;

use cinema::{FLAT, GABLE, cinema, item, read};

const PLATE: &str = r#"
[[space.fixture]]
id = "old-plate"
kind = "plate"
on = { wall = "south", from_left = "1.8 m", height = "1.15 m" }
size = ["70 mm", "115 mm", "5 mm"]
"#;

/// A 5.1.2 layout, every loudspeaker somewhere wrong.
fn five_one_two() -> String {
    [
        item("left", "in-wall-w1", "on", ["west", "0.5 m", "1.9 m"]),
        item("right", "in-wall-w1", "on", ["west", "4.5 m", "0.6 m"]),
        item(
            "left-surround",
            "in-wall-w1",
            "on",
            ["south", "4.9 m", "2.0 m"],
        ),
        item(
            "right-surround",
            "in-wall-w1",
            "on",
            ["north", "1.2 m", "1.2 m"],
        ),
        item(
            "top-middle-left",
            "in-ceiling-c1",
            "hung",
            ["west", "1.2 m", "3.4 m"],
        ),
        item(
            "top-middle-right",
            "in-ceiling-c1",
            "hung",
            ["west", "4.0 m", "1.6 m"],
        ),
    ]
    .concat()
}

fn found(analysis: &Analysis) -> LayoutPlaces {
    let zone = analysis.zone("film").expect("the cinema's zone");
    layout_places(analysis, zone).expect("all is known")
}

fn plan<'a>(found: &'a LayoutPlaces, title: &str) -> &'a LayoutPlan {
    let mut plans = found.plans.iter();
    plans.find(|plan| plan.title == title).expect("that answer")
}

#[test]
fn the_best_places_fail_nothing_and_mirror_each_other() {
    for ceiling in [FLAT, GABLE] {
        let analysis = read(&cinema("5.1.2", ceiling, &five_one_two()));
        let found = found(&analysis);
        assert!(found.left_out.is_empty(), "{:?}", found.left_out);
        let present = found.present.as_ref().expect("all are placed");
        assert!(present.failing > 0);
        let best = plan(&found, "best directions");
        assert!(best.is_proved);
        assert_eq!(best.failing, 0, "{best:?}");
        assert_eq!(best.places.len(), 6);
        assert!(best.objective < present.objective / 2.0);
        // The main seat is no middle seat, and stud bays keep pairs from exact mirror images.
        let [now, then] = [present, best].map(|plan| plan.asymmetry_rad.to_degrees());
        assert!(then < now, "{then} {now}");
        assert!(best.seats.iter().all(|seat| seat.out_rad < 1e-6));
    }
}

#[test]
fn what_is_told_is_what_its_edits_make() {
    let analysis = read(&cinema("5.1.2", FLAT, &five_one_two()));
    let best = plan(&found(&analysis), "best directions").clone();
    let placed = analysis.edited(&best.edits).expect("the edits can be made");
    let there = found(&placed).present.expect("all are placed");
    assert_eq!(there.failing, 0);
    // To the tape's millimetre.
    assert!(
        (there.objective - best.objective).abs() < 1.0,
        "{} {}",
        there.objective,
        best.objective
    );
}

#[test]
fn an_old_plate_is_used_where_that_costs_little() {
    let text = cinema("5.1.2", FLAT, &format!("{PLATE}{}", five_one_two()));
    let analysis = read(&text);
    let found = found(&analysis);
    let plates = plan(&found, "old plates used");
    assert_eq!(plates.reused, 1, "{plates:?}");
    assert_eq!(plates.failing, 0, "{plates:?}");
    let over = plates.places.iter().find(|place| place.reuses.is_some());
    let over = over.expect("one hides the plate");
    assert_eq!(
        (over.item.as_str(), over.surface.as_str()),
        ("left-surround", "south")
    );
    assert!((over.at.x - 1.8).abs() < 0.11 && (over.at.y - 1.15).abs() < 0.16);
    assert!(
        plates
            .edits
            .iter()
            .any(|edit| edit.at == "item.left-surround.reuses")
    );
    let best = plan(&found, "best directions");
    assert!(plates.objective >= best.objective - 1e-9);
    assert_eq!(plates.cuts, best.cuts - (1 - best.reused));
}
