//! The largest picture and the best height, put back into the checks.

use std::sync::Arc;

use analysis::Analysis;
use checks::hanging::findings_of_pictures;
use checks::{Finding, Verdict};
use finders::{display_place, largest_picture};
use model::Edit;

const ROOM: &str = r#"
format = 1
[job]
name = "Test house"
units = "metric"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
diagonals = [["north.left", "south.left", "7.2111 m"]]
ceiling = { shape = "flat", height = "2.5 m" }
[[space.seat]]
id = "left"
at = { from = ["west", "4.2 m"], and = ["north", "1.4 m"] }
eye = "1.1 m"
[[space.seat]]
id = "right"
at = { from = ["west", "4.2 m"], and = ["north", "2.6 m"] }
eye = "1.1 m"
"#;

/// A screen with a socket 0.3 m left of the wall's middle line and 0.5 m up, and a lamp.
const CINEMA: &str = r#"
[[space.fixture]]
id = "lamp"
kind = "wall-light"
on = { wall = "west", from_left = "3.5 m", height = "1.5 m" }
size = ["100 mm", "200 mm", "100 mm"]
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "1.8 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["420 mm", "160 mm", "400 mm"]
throw = [1.3, 2.1]
[[item]]
id = "screen"
is = "screen-s1"
space = "den"
on = { wall = "west", from_left = "2 m", height = "1.3 m" }
[[item]]
id = "projector"
is = "projector-p3"
space = "den"
hung = { from = ["west", "3.5 m"], and = ["north", "2 m"], drop = "100 mm" }
"#;

const DISPLAY: &str = r#"
[[kit.display]]
id = "display-d1"
diagonal = "65 in"
size = ["1450 mm", "830 mm", "40 mm"]
[[kit.mount]]
id = "mount-m1"
standoff = "60 mm"
tilt_down = "15 deg"
[[item]]
id = "mount"
is = "mount-m1"
space = "den"
on = { wall = "west", from_left = "2 m", height = "1.9 m" }
[[item]]
id = "display"
is = "display-d1"
space = "den"
mount = "mount"
on = { wall = "west", from_left = "2 m", height = "1.9 m" }
"#;

fn read(extra: &str) -> Analysis {
    match model::read(&format!("{ROOM}{extra}"), &checks::limit_names()) {
        Ok(job) => Analysis::new(Arc::new(job)),
        Err(problems) => {
            let listed: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("the test's job does not read:\n{}", listed.join("\n"))
        }
    }
}

fn failing(analysis: &Analysis, edits: &[Edit]) -> Vec<Finding> {
    let tried = analysis.tried(edits).expect("the edits can be made");
    let space = tried.space("den").expect("the room");
    let mut found = findings_of_pictures(&tried, space);
    found.retain(|finding| finding.verdict == Verdict::Fails);
    found
}

#[test]
fn the_largest_picture_ends_where_the_zoom_or_the_lamp_does() {
    let analysis = read(CINEMA);
    let item = analysis.item("screen").expect("the screen");
    let found = largest_picture(&analysis, item).expect("all is known");
    let width_of = |check: &str| {
        let own = |stop: &&finders::SizeStop| stop.stop.check == check;
        found.stops.iter().find(own).expect("a stop").width_m
    };
    // Lens 3.5 − 0.2 m from the picture: 3.3/1.3 = 2.5385 m.
    assert!((width_of("throw-ratio") - 3.3 / 1.3).abs() < 1e-3);
    let lamp = found
        .stops
        .iter()
        .find(|stop| stop.stop.label.contains("lamp"));
    // Its left edge is at 3.45 m: 1.45 m beside the middle, less frame and gap.
    let lamp = lamp.expect("the lamp stops it").width_m;
    assert!((2.5..2.75).contains(&lamp), "{lamp}");
    assert!(
        found
            .stops
            .windows(2)
            .all(|pair| pair[0].width_m <= pair[1].width_m)
    );
    assert!((found.largest_m.expect("a width") - found.stops[0].width_m).abs() < 1e-12);
}

#[test]
fn the_order_fits_and_a_step_beyond_each_stop_fails_its_check() {
    let analysis = read(CINEMA);
    let item = analysis.item("screen").expect("the screen");
    let found = largest_picture(&analysis, item).expect("all is known");
    let order = found.order.expect("something fits");
    assert!(order.width_m <= found.largest_m.expect("a width"));
    let always: Vec<&str> = found.always.iter().map(|stop| stop.check).collect();
    let fails = failing(&analysis, &order.edits);
    assert!(
        fails.iter().all(|finding| always.contains(&finding.check)),
        "{fails:?}"
    );
    for stop in &found.stops {
        let wider = Edit::set(
            "kit.screen.screen-s1.picture_width",
            format!("{:.4} m", stop.width_m + 2e-3),
        );
        let fails = failing(&analysis, &[wider]);
        assert!(
            fails.iter().any(|finding| finding.check == stop.stop.check),
            "{stop:?}"
        );
    }
}

#[test]
fn a_bar_low_under_a_display_bounds_how_far_down_it_is_tried() {
    // The bar hangs 1.4 m below the display, on the same arm: 1.5 m down it is in the floor.
    let bar = r#"
[[kit.loudspeaker]]
id = "bar-b1"
form = "bar"
size = ["1 m", "100 mm", "100 mm"]
[[item]]
id = "bar"
is = "bar-b1"
space = "den"
mount = "mount"
under = "display"
on = { wall = "west", from_left = "2 m", height = "0.5 m" }
"#;
    let analysis = read(&format!("{DISPLAY}{bar}"));
    let item = analysis.item("display").expect("the display");
    let found = display_place(&analysis, item).expect("it hangs somewhere");
    assert!(!found.stretches.is_empty());
    assert!(
        found.stretches[0].low_m >= 1.9 - 0.5,
        "{:?}",
        found.stretches
    );
}

#[test]
fn a_display_hangs_where_nobody_looks_up_too_far() {
    let analysis = read(DISPLAY);
    let item = analysis.item("display").expect("the display");
    let found = display_place(&analysis, item).expect("all is known");
    // At 4.1 m a picture this small fills too little of the view whatever its height.
    let by_size = |check: &str| check == "picture-angle";
    assert!(
        found.always.iter().all(|stop| by_size(stop.check)),
        "{:?}",
        found.always
    );
    let best = found.best.expect("a height");
    assert!(best.height_m < 1.9 && best.tilt_rad.is_some());
    let fails = failing(&analysis, &best.edits);
    assert!(
        fails.iter().all(|finding| by_size(finding.check)),
        "{fails:?}"
    );
    let last = found.stretches.last().expect("a stretch");
    let above = last.above.as_ref().expect("something stops it");
    // From 1.1 m, 4.1 m before the panel, 15° up to the centre: 1.1 + 4.1 tan 15° = 2.2 m;
    // the panel meets the ceiling's side of things before or there.
    assert!(last.high_m < 2.25, "{above:?} at {}", last.high_m);
}

#[test]
fn where_no_height_serves_it_is_told_what_fails_at_the_nearest() {
    // From 1.1 m, 4.1 m before it, the middle may be up to 2.2 m high; the mantel is at 2.3 m.
    let mantel = r#"
[[space.fixture]]
id = "mantel"
kind = "mantel"
on = { wall = "west", from_left = "2 m", height = "1.4 m" }
size = ["3 m", "1.8 m", "50 mm"]
"#;
    let analysis = read(&format!("{mantel}{DISPLAY}"));
    let item = analysis.item("display").expect("the display");
    let found = display_place(&analysis, item).expect("all is known");
    assert!(found.stretches.is_empty(), "{:?}", found.stretches);
    let (_, stops) = found.least_bad.as_ref().expect("something fails there");
    assert!(!stops.is_empty());
    let says = found.says(&analysis);
    assert!(
        stops.iter().all(|stop| says.contains(&stop.to_string())),
        "{says}"
    );
}

#[test]
fn a_display_that_meets_its_wall_when_tilted_hangs_with_less_tilt() {
    // 30 mm off the wall a panel 830 mm high may tilt by asin(30 / 415) = 4°, where the eyes ask for 8° and more.
    let flat = DISPLAY.replace("standoff = \"60 mm\"", "standoff = \"30 mm\"");
    let low = ROOM.replace("eye = \"1.1 m\"", "eye = \"0.9 m\"");
    let text = format!("{low}{flat}");
    let job = model::read(&text, &checks::limit_names()).expect("it reads");
    let analysis = Analysis::new(Arc::new(job));
    let item = analysis.item("display").expect("the display");
    let found = display_place(&analysis, item).expect("all is known");
    let high = found.stretches.last().expect("a stretch").high_m;
    // Square on, 15° from the axis at 4.1 m before it is 1.1 m above the eyes; with 4° of tilt 1.4 m.
    assert!(high > 1.95, "{:?}", found.stretches);
    let best = found.best.expect("a height");
    let fails = failing(&analysis, &best.edits);
    assert!(
        fails.iter().all(|finding| finding.check == "picture-angle"),
        "{fails:?}"
    );
}
