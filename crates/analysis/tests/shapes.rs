//! Rooms worked out by hand: corners, heights, volumes, and how spaces fit together.

use std::sync::Arc;

use analysis::{Analysis, COVERAGE_FACTOR, Means, Uncertain, Vector2};
use model::{Edit, Job};

fn analysis(spaces: &str) -> Analysis {
    let text = format!("format = 1\n[job]\nname = \"Test house\"\n{spaces}");
    let job: Job = model::read(&text, &[]).unwrap_or_else(|problems| {
        let listed: Vec<String> = problems.iter().map(ToString::to_string).collect();
        panic!("the test's job does not read:\n{}", listed.join("\n"))
    });
    Analysis::new(Arc::new(job))
}

fn assert_corners(analysis: &Analysis, expected: &[[f64; 2]], within_m: f64) {
    let corners = analysis.space_model(0).corners().expect("the walls close");
    assert_eq!(corners.len(), expected.len());
    for (index, (corner, expected)) in corners.iter().zip(expected).enumerate() {
        let [x, y] = corner.value();
        let off = (x - expected[0]).hypot(y - expected[1]);
        assert!(
            off < within_m,
            "corner {index}: ({x:.4}, {y:.4}) is {off:.4} m off"
        );
    }
}

fn assert_close(value: &Uncertain, expected: f64, within: f64) {
    let value = value.value();
    assert!((value - expected).abs() < within, "{value} for {expected}");
}

/// A 6 × 5 m room without its south-west quarter of 3 × 2 m.
const L_SHAPED: &str = r#"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "5 m" },
  { id = "south", length = "3 m" },
  { id = "step", length = "2 m", corner = 270 },
  { id = "ledge", length = "3 m" },
  { id = "west", length = "3 m" },
]
diagonals = [["north.left", "south.left", "7.8102 m"], ["north.left", "ledge.left", "4.2426 m"]]
ceiling = { shape = "flat", height = "2.5 m" }
"#;

#[test]
fn an_l_shaped_room_has_its_inward_corner() {
    // √(6² + 5²) = 7.8102 m; √(3² + 3²) = 4.2426 m.
    let den = analysis(L_SHAPED);
    assert_corners(
        &den,
        &[
            [0.0, 0.0],
            [6.0, 0.0],
            [6.0, -5.0],
            [3.0, -5.0],
            [3.0, -3.0],
            [0.0, -3.0],
        ],
        1e-3,
    );
    // (6 · 5 − 3 · 2) · 2.5 = 60 m³.
    assert_close(&den.space_model(0).volume().unwrap(), 60.0, 0.01);
}

#[test]
fn a_skew_room_keeps_its_measured_corners() {
    // Corners (0, 0), (5, 0), (5, −4), (−1, −4): the south wall is 6 m, the west one
    // √(1² + 4²) = 4.1231 m; inside angles 90°, 90°, atan 4 = 75.964°, 104.036°; diagonals
    // √(5² + 4²) = 6.4031 m and √(6² + 4²) = 7.2111 m.
    let den = analysis(
        r#"
[[space]]
id = "den"
walls = [
  { id = "north", length = "5 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m", corner = 75.964 },
  { id = "west", length = "4.1231 m", corner = 104.036 },
]
diagonals = [["north.left", "south.left", "6.4031 m"], ["east.left", "west.left", "7.2111 m"]]
"#,
    );
    assert_corners(
        &den,
        &[[0.0, 0.0], [5.0, 0.0], [5.0, -4.0], [-1.0, -4.0]],
        1e-3,
    );
    let closure = den.space_model(0).closure().unwrap();
    assert!(closure.distance() < 0.1, "{}", closure.distance());
    assert!(closure.suspects.is_empty());
}

#[test]
fn a_wall_that_nobody_measured_follows_from_the_others() {
    let text = L_SHAPED.replace("{ id = \"ledge\", length = \"3 m\" }", "{ id = \"ledge\" }");
    let den = analysis(&text);
    let shape = den.space_model(0);
    assert_close(&shape.wall_length(4).unwrap(), 3.0, 1e-3);
    assert_eq!(shape.closure().unwrap().inferred, [4]);
    // It is known as well as what it follows from: corners square to ±1° turn the 3 m wall
    // beside it by 52 mm, which the diagonals and the other corners hold back.
    let spread = COVERAGE_FACTOR * shape.wall_length(4).unwrap().standard_uncertainty();
    assert!((0.006..0.052).contains(&spread), "{spread}");
}

#[test]
fn two_parallel_walls_unmeasured_are_asked_for() {
    let text = L_SHAPED
        .replace("{ id = \"ledge\", length = \"3 m\" }", "{ id = \"ledge\" }")
        .replace("{ id = \"south\", length = \"3 m\" }", "{ id = \"south\" }");
    let den = analysis(&text);
    let missing = den.space_model(0).closure().unwrap_err();
    assert_eq!(missing.at, "space.den.walls.south.length");
    assert_eq!(missing.means, Means::Tape);
}

#[test]
fn a_gable_rises_evenly_from_eaves_to_ridge() {
    // Ridge along x in the middle of 4 m: 2 m at the eaves, 3 m at y = −2.
    let den = analysis(
        r#"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
ceiling = { shape = "gable", ridge = ["east", "west"], eaves = "2 m", top = "3 m" }
"#,
    );
    let shape = den.space_model(0);
    for (x, y, height) in [
        (3.0, -2.0, 3.0),
        (1.0, -1.0, 2.5),
        (5.0, -3.5, 2.25),
        (0.0, 0.0, 2.0),
    ] {
        let found = shape.ceiling_at(&Vector2::new(x, y)).unwrap();
        assert_close(&found, height, 1e-9);
    }
    // 6 · 4 · 2 + ½ · 6 · 4 · 1 = 60 m³.
    assert_close(&shape.volume().unwrap(), 60.0, 1e-6);
}

#[test]
fn a_ridge_off_the_middle_stands_where_it_was_measured() {
    // 1 m from the east wall's left corner, which is the north one: y = −1.
    let den = analysis(
        r#"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
ceiling = { shape = "gable", ridge = ["east", "west"], ridge_from_left = "1 m", eaves = "2 m", top = "3 m" }
"#,
    );
    let at = |y: f64| {
        den.space_model(0)
            .ceiling_at(&Vector2::new(3.0, y))
            .unwrap()
    };
    assert_close(&at(-1.0), 3.0, 1e-9);
    assert!(at(-1.2).value() < 3.0 && at(-0.8).value() < 3.0);
}

#[test]
fn a_volume_is_as_uncertain_as_its_measures() {
    // 6 × 4 × 2.4 m by tape, corners exact to a thousandth of a degree: opposite walls
    // share their error, so each side has σ 3 mm / √2 = 2.12 mm and the height 3 mm.
    // V = 57.6 m³; dV = V √((2.12/6000)² + (2.12/4000)² + (3/2400)²) = 0.0806 m³.
    let corner = "corner = \"90 deg ± 0.001 deg\"";
    let den = analysis(&format!(
        r#"
[[space]]
id = "den"
walls = [
  {{ id = "north", length = "6 m", {corner} }},
  {{ id = "east", length = "4 m", {corner} }},
  {{ id = "south", length = "6 m", {corner} }},
  {{ id = "west", length = "4 m", {corner} }},
]
ceiling = {{ shape = "flat", height = "2.4 m" }}
"#
    ));
    let volume = den.space_model(0).volume().unwrap();
    assert_close(&volume, 57.6, 1e-6);
    let sigma = volume.standard_uncertainty();
    assert!((sigma - 0.0806).abs() < 0.0005, "{sigma}");
}

/// A den of 6 × 4 m and a hall of 3 × 2 m behind its east wall, 100 mm thick. The doors'
/// middles are 1.4 m from the den's north-east corner, and 0.5 m from the hall's.
const HOUSE: &str = r#"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
ceiling = { shape = "flat", height = "2.4 m" }
[[space.opening]]
id = "door"
kind = "door"
on = { wall = "east", from_left = "1 m", height = "0 m" }
size = ["0.8 m", "2 m"]
[[space]]
id = "hall"
floor_level = "150 mm"
walls = [
  { id = "a", length = "2 m" },
  { id = "b", length = "3 m" },
  { id = "c", length = "2 m" },
  { id = "d", length = "3 m" },
]
joined = { opening = "back", to = "den.door", wall = "100 mm" }
[[space.opening]]
id = "back"
kind = "door"
on = { wall = "a", from_left = "0.1 m", height = "0 m" }
size = ["0.8 m", "2 m"]
"#;

#[test]
fn a_joined_space_is_carried_through_its_door() {
    // The hall's wall a runs along its x from (0, 0); the room lies at y < 0. Seen from
    // the hall the door's middle is (0.5, 0); seen from the den it is (6, −1.4). What is
    // deep in the hall is as deep behind the den's east wall and 0.1 m more; what is to
    // the right in the hall, facing a, is to the left in the den, facing east: north.
    let house = analysis(HOUSE);
    let hall = house.job().space("hall").unwrap();
    for (point, expected) in [
        ([0.5, 0.0, 0.0], [6.1, -1.4, 0.15]),
        ([0.5, -3.0, 1.0], [9.1, -1.4, 1.15]),
        ([1.5, -1.0, 2.0], [7.1, -0.4, 2.15]),
        ([0.0, -1.0, 0.0], [7.1, -1.9, 0.15]),
    ] {
        let [x, y, z] = point;
        let (frame, found) = house
            .in_house(hall, &analysis::Vector3::new(x, y, z))
            .expect("the door joins them");
        assert_eq!(frame, "den");
        for (found, expected) in found.value().iter().zip(expected) {
            assert!((found - expected).abs() < 1e-6, "{found} for {expected}");
        }
    }
}

#[test]
fn a_space_that_is_not_joined_keeps_its_own_frame() {
    let house = analysis(HOUSE);
    let den = house.job().space("den").unwrap();
    let (frame, point) = house
        .in_house(den, &analysis::Vector3::new(1.0, -2.0, 0.5))
        .unwrap();
    assert_eq!((frame.as_str(), point.value()), ("den", [1.0, -2.0, 0.5]));
}

#[test]
fn an_edited_copy_shares_what_the_edit_leaves_alone() {
    let house = analysis(HOUSE);
    let (den, hall) = (house.space_model(0), house.space_model(1));
    let edited = house
        .edited(&[Edit::set("space.den.walls.east.length", "4.01 m")])
        .unwrap();
    assert!(!std::ptr::eq(den, edited.space_model(0)));
    assert!(std::ptr::eq(hall, edited.space_model(1)));
    let length = edited.space_model(0).wall_length(1).unwrap();
    assert!(length.value() > den.wall_length(1).unwrap().value());
}

#[test]
fn another_survey_method_is_a_new_shape_everywhere() {
    let house = analysis(HOUSE);
    let _ = (house.space_model(0), house.space_model(1));
    let edited = house.edited(&[Edit::set("survey.by", "laser")]).unwrap();
    let sigma = |analysis: &Analysis| {
        analysis
            .space_model(1)
            .wall_length(0)
            .unwrap()
            .standard_uncertainty()
    };
    assert!(sigma(&edited) < 0.6 * sigma(&house));
}

#[test]
fn walls_that_fail_keep_their_suspects() {
    // The east wall typed as 0.5 m: whatever becomes of the corners, the mistake is named.
    let text = L_SHAPED.replace(
        "{ id = \"east\", length = \"5 m\" }",
        "{ id = \"east\", length = \"0.5 m\" }",
    );
    let den = analysis(&text);
    let shape = den.space_model(0);
    let closure = match (shape.failed_closure(), shape.closure()) {
        (Some(failed), _) => &failed.closure,
        (None, closure) => closure.unwrap(),
    };
    assert!(closure.distance() > closure.limit());
    let first = &closure.suspects[0];
    assert_eq!(
        closure.path_of(&den.job().space[0], first),
        "space.den.walls.east.length"
    );
    assert!((first.needed - 5.0).abs() < 0.05, "{}", first.needed);
}
