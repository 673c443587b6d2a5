//! Routes by hand: each leg's length is written out beside the room that it runs in.

use std::sync::Arc;

use analysis::Analysis;
use model::{Edit, Way};

const ROOMS: &str = r#"
format = 1
[job]
name = "Routes"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
ceiling = CEILING
[[space.opening]]
id = "door"
kind = "door"
on = { wall = "east", from_left = "1 m", height = "0 m" }
size = ["0.9 m", "2 m"]
[[space.fixture]]
id = "old-plate"
kind = "plate"
on = { wall = "south", from_left = "2 m", height = "1 m" }
[[space]]
id = "hall"
JOINED
walls = [
  { id = "north", length = "3 m" },
  { id = "east", length = "3 m" },
  { id = "south", length = "3 m" },
  { id = "west", length = "3 m" },
]
ceiling = { shape = "flat", height = "2.6 m" }
[[space.opening]]
id = "door"
kind = "door"
on = { wall = "west", from_left = "1 m", height = "0 m" }
size = ["0.9 m", "2 m"]
[[space]]
id = "garden"
kind = "outdoor"
walls = [
  { id = "house", length = "6 m" },
  { id = "fence", length = "6 m", open = true },
  { id = "hedge", length = "6 m", open = true },
  { id = "gate", length = "6 m", open = true },
]
[[kit.device]]
id = "box"
size = ["0.4 m", "0.1 m", "0.3 m"]
[[kit.cupboard]]
id = "rack"
size = ["0.6 m", "1 m", "0.5 m"]
[[kit.cable]]
id = "wire"
carries = "line"
[[item]]
id = "a"
is = "box"
space = "den"
on = { wall = "north", from_left = "1 m", height = "0.3 m" }
[[item]]
id = "b"
is = "box"
space = "den"
on = { wall = "south", from_left = "1 m", height = "1.1 m" }
[[item]]
id = "hanging"
is = "box"
space = "den"
hung = { from = ["north", "1.5 m"], and = ["west", "3 m"], drop = "0.4 m" }
[[item]]
id = "rack"
is = "rack"
space = "den"
at = { from = ["west", "0.5 m"], and = ["north", "2 m"] }
[[item]]
id = "player"
is = "box"
in = "rack"
[[item]]
id = "amp"
is = "box"
in = "rack"
[[item]]
id = "reusing"
is = "box"
space = "den"
reuses = "old-plate"
[[item]]
id = "far"
is = "box"
space = "hall"
on = { wall = "east", from_left = "1 m", height = "1.1 m" }
[[item]]
id = "outside"
is = "box"
space = "garden"
on = { wall = "house", from_left = "1 m", height = "2 m" }
"#;

const FLAT: &str = r#"{ shape = "flat", height = "2.4 m" }"#;
const GABLE: &str =
    r#"{ shape = "gable", ridge = ["west", "east"], eaves = "2.0 m", top = "3.0 m" }"#;
const JOINED: &str = r#"joined = { opening = "door", to = "den.door", wall = "100 mm" }"#;

fn house(ceiling: &str, joined: &str, cable: &str) -> Analysis {
    let text = ROOMS.replace("CEILING", ceiling).replace("JOINED", joined);
    let text = format!("{text}\n[[cable]]\nid = \"W1\"\nkind = \"wire\"\n{cable}\n");
    match model::read(&text, &[]) {
        Ok(job) => Analysis::new(Arc::new(job)),
        Err(problems) => panic!("{problems:?}"),
    }
}

/// Legs in words with millimetres, and the sum.
fn told(analysis: &Analysis) -> String {
    let cable = &analysis.job().cable[0];
    match analysis.route(cable) {
        Ok(route) => {
            let legs: Vec<String> = (route.legs.iter())
                .map(|leg| format!("{} {:.3}", leg.along.words(), leg.length.value()))
                .collect();
            format!("{}: {:.3}", legs.join(", "), route.length.value())
        }
        Err(missing) => format!("{} at {}", missing.what, missing.at),
    }
}

#[test]
fn overhead_goes_up_along_across_and_down() {
    // Heights 0.3 and 1.1 m below 2.4 m; x from 1 to 6 − 1 m, y from 0 to 4 m.
    let den = house(FLAT, JOINED, "from = \"a\"\nto = \"b.in\"");
    assert_eq!(
        told(&den),
        "up 2.100, along 4.000, across 4.000, down 1.300: 11.400"
    );
    // 11.4 m and 10 %, and 300 mm at both ends.
    let cut = den.cut_length(&den.job().cable[0]).unwrap();
    assert!((cut.value() - 13.14).abs() < 1e-9);
    assert!(cut.standard_uncertainty() > 0.0);
}

#[test]
fn underfoot_goes_down_and_up_and_direct_goes_straight() {
    let below = house(
        FLAT,
        JOINED,
        "from = \"a\"\nto = \"b\"\nway = \"underfoot\"",
    );
    assert_eq!(
        told(&below),
        "down 0.300, along 4.000, across 4.000, up 1.100: 9.400"
    );
    // √(4² + 4² + 0.8²) = 5.7131.
    let direct = house(FLAT, JOINED, "from = \"a\"\nto = \"b\"\nway = \"direct\"");
    assert_eq!(told(&direct), "straight 5.713: 5.713");
}

#[test]
fn things_away_from_the_walls_are_wired_from_the_nearest() {
    let standing = house(FLAT, JOINED, "from = \"amp\"\nto = \"b\"");
    assert_eq!(
        told(&standing),
        "to wall west 0.500, up 2.400, along 5.000, across 2.000, down 1.300: 11.200"
    );
    let hung = house(
        FLAT,
        JOINED,
        "from = \"a\"\nto = \"hanging\"\nway = \"underfoot\"",
    );
    assert_eq!(
        told(&hung),
        "down 0.300, along 2.000, up 2.000, from wall north 1.500: 5.800"
    );
    let above = house(FLAT, JOINED, "from = \"a\"\nto = \"hanging\"");
    assert_eq!(
        told(&above),
        "up 2.100, along 2.000, across 1.500, down 0.400: 6.000"
    );
}

#[test]
fn under_a_gable_the_run_climbs_over_the_ridge() {
    // Across: 2 m to the ridge and 2 m beyond, 1 m up and down: 2 √5 = 4.472.
    let loft = house(GABLE, JOINED, "from = \"a\"\nto = \"b\"");
    assert_eq!(
        told(&loft),
        "up 1.700, along 4.000, across 4.472, down 0.900: 11.072"
    );
}

#[test]
fn joined_spaces_share_one_frame() {
    // The hall's far wall is 6 + 0.1 + 3 m along; its left corner is 0.1 m north of the
    // den's, so a metre from it lies 0.9 m across. Its ceiling is 0.2 m higher.
    let house_part = house(FLAT, JOINED, "from = \"a\"\nto = \"far\"");
    assert_eq!(
        told(&house_part),
        "up 2.100, along 8.100, across 0.900, between levels 0.200, down 1.500: 12.800"
    );
}

#[test]
fn spaces_that_are_not_joined_need_measured_legs() {
    let apart = house(FLAT, "", "from = \"a\"\nto = \"far\"");
    assert_eq!(
        told(&apart),
        "the legs of cable W1 from den to hall, which the survey does not join at cable.W1.legs"
    );
    let legs = r#"legs = [{ along = "attic", length = "7 m" }, { along = "down the stair", length = "3.5 m" }]"#;
    let stated = house(FLAT, "", &format!("from = \"a\"\nto = \"far\"\n{legs}"));
    assert_eq!(told(&stated), "attic 7.000, down the stair 3.500: 10.500");
    let blank = house(
        FLAT,
        "",
        &format!("from = \"a\"\nto = \"far\"\n{}", legs.replace("7 m", "?")),
    );
    assert_eq!(
        told(&blank),
        "the length of cable W1 attic at cable.W1.legs.0.length"
    );
    let open = house(FLAT, JOINED, "from = \"a\"\nto = \"outside\"");
    assert!(told(&open).contains("no ceiling to run above"));
}

#[test]
fn inside_one_cupboard_half_its_height_give_or_take_half() {
    let rack = house(FLAT, JOINED, "from = \"player\"\nto = \"amp\"");
    assert_eq!(told(&rack), "inside rack 0.500: 0.500");
    let route = rack.route(&rack.job().cable[0]).unwrap();
    assert!((2.0 * route.length.standard_uncertainty() - 0.5).abs() < 1e-12);
}

#[test]
fn a_thing_without_a_place_sits_at_the_plate_that_it_takes_over() {
    let reused = house(FLAT, JOINED, "from = \"b\"\nto = \"reusing\"");
    assert_eq!(told(&reused), "up 1.300, along 1.000, down 1.400: 3.700");
}

#[test]
fn an_edit_renews_the_routes_that_it_touches() {
    let den = house(FLAT, JOINED, "from = \"a\"\nto = \"b\"");
    // Asked first, so that there is an answer to keep.
    assert!(told(&den).ends_with(": 11.400"));
    let edited = |at: &str, text: &str| {
        let copy = den.edited(&[Edit::set(at, text)]).unwrap();
        let length = copy.route(&copy.job().cable[0]).unwrap().length.value();
        (length * 1e6).round() / 1e6
    };
    assert_eq!(edited("item.far.on.height", "2 m"), 11.4);
    assert_eq!(edited("item.b.on.height", "1.0 m"), 11.5);
    assert_eq!(edited("space.den.ceiling.height", "2.5 m"), 11.6);
    assert_eq!(edited("cable.W1.way", "underfoot"), 9.4);
    let below = den.route_by(&den.job().cable[0], Way::Underfoot).unwrap();
    assert!((below.length.value() - 9.4).abs() < 1e-9);
}
