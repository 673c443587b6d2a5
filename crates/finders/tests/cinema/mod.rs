//! A cinema with two rows of four seats for the finders of loudspeakers.

use std::sync::Arc;

use analysis::Analysis;

pub const FLAT: &str = r#"ceiling = { shape = "flat", height = "2.7 m" }"#;
#[allow(dead_code, reason = "not every test asks for it")]
pub const GABLE: &str =
    r#"ceiling = { shape = "gable", ridge = ["west", "east"], eaves = "2.3 m", top = "3.1 m" }"#;
#[allow(dead_code, reason = "not every test asks for it")]
pub const SHED: &str =
    r#"ceiling = { shape = "shed", low = "east", eaves = "2.5 m", top = "3.1 m" }"#;

#[allow(dead_code, reason = "not every test asks for it")]
/// Lamps, a door that opens into the room, a cupboard, an old plate, a vent and a soffit.
pub const THINGS: &str = r#"
[[space.fixture]]
id = "lamp"
kind = "wall-light"
on = { wall = "south", from_left = "2.2 m", height = "1.4 m" }
size = ["200 mm", "300 mm", "120 mm"]
[[space.fixture]]
id = "plate"
kind = "plate"
on = { wall = "south", from_left = "3.1 m", height = "1.3 m" }
size = ["70 mm", "115 mm", "5 mm"]
[[space.fixture]]
id = "vent"
kind = "vent"
hung = { from = ["west", "2.8 m"], and = ["north", "3.2 m"], drop = "0 m" }
size = ["300 mm", "20 mm", "200 mm"]
[[space.soffit]]
id = "duct"
from = ["south", "0 m"]
and = ["east", "0.5 m"]
size = ["4.5 m", "500 mm"]
underside = "2.3 m"
[[space.opening]]
id = "door"
kind = "door"
on = { wall = "south", from_left = "0.3 m", height = "0 m" }
size = ["900 mm", "2.0 m"]
swing = { into = "room", hinge = "right" }
"#;

const FRONT: &str = r#"
format = 1
[job]
name = "Test house"
units = "metric"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6.5 m" },
  { id = "east", length = "5 m" },
  { id = "south", length = "6.5 m" },
  { id = "west", length = "5 m" },
]
diagonals = [["north.left", "south.left", "8.2006 m"]]
"#;

const KIT: &str = r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2.2 m"
frame = "80 mm"
[[kit.loudspeaker]]
id = "in-wall-w1"
form = "in-wall"
size = ["220 mm", "320 mm", "95 mm"]
cutout = ["190 mm", "290 mm"]
depth_behind = "90 mm"
[[kit.loudspeaker]]
id = "on-wall-b1"
form = "on-wall"
size = ["240 mm", "360 mm", "180 mm"]
[[kit.loudspeaker]]
id = "in-ceiling-c1"
form = "in-ceiling"
size = ["230 mm", "230 mm", "120 mm"]
cutout = ["205 mm", "205 mm"]
depth_behind = "120 mm"
[[item]]
id = "screen"
is = "screen-s1"
on = { wall = "west", from_left = "2.5 m", height = "1.4 m" }
"#;

/// Two rows of four agree on no surround within the usual 20°.
const RULES: &str = r#"
[rules]
other_seat_allowance = "40 deg"
reason.other_seat_allowance = "two rows of four"
"#;

/// A loudspeaker whose id is its channel; its place on a wall, or from two walls.
pub fn item(channel: &str, kit: &str, how: &str, [wall, first, second]: [&str; 3]) -> String {
    let place = match how {
        "on" => format!(r#"{{ wall = "{wall}", from_left = "{first}", height = "{second}" }}"#),
        _ => format!(r#"{{ from = ["{wall}", "{first}"], and = ["north", "{second}"] }}"#),
    };
    format!(
        r#"
[[item]]
id = "{channel}"
is = "{kit}"
space = "den"
zone = "film"
channel = "{channel}"
{how} = {place}
"#
    )
}

/// The room with its seats, a layout and more. What follows `[[space]]` comes first.
pub fn cinema(layout: &str, ceiling: &str, extra: &str) -> String {
    let mut text = format!("{FRONT}{ceiling}\n");
    for (row, from_west) in ["3.6 m", "4.8 m"].iter().enumerate() {
        for (place, from_north) in ["1.15 m", "2.05 m", "2.95 m", "3.85 m"].iter().enumerate() {
            let importance = if (row, place) == (0, 1) { 3 } else { 1 };
            text += &format!(
                "[[space.seat]]\nid = \"{}{}\"\nat = {{ from = [\"west\", \"{from_west}\"], and = [\"north\", \"{from_north}\"] }}\neye = \"1.1 m\"\nimportance = {importance}\n",
                ["front-", "rear-"][row],
                place + 1,
            );
        }
    }
    for wall in ["north", "east", "south", "west"] {
        text += &format!(
            "[[space.construction]]\nof = \"{wall}\"\nframing = \"stud\"\nface = \"38 mm ± 0\"\nspacing = \"406.4 mm ± 0\"\nfirst_from_left = \"400 mm ± 0\"\ncavity = \"90 mm\"\nboard = \"13 mm\"\nfire_block_at = [\"1.5 m\"]\n",
        );
    }
    text += "[[space.construction]]\nof = \"ceiling\"\nframing = \"joist\"\nface = \"45 mm ± 0\"\nspacing = \"600 mm\"\nfirst_from_left = \"300 mm\"\nalong = \"north\"\ncavity = \"200 mm\"\nboard = \"13 mm\"\n";
    let (of_space, of_job) = match extra.find("\n[[item]]") {
        Some(at) => extra.split_at(at),
        None => (extra, ""),
    };
    text += of_space;
    text += KIT;
    text += of_job;
    text + &format!(
        "[[zone]]\nid = \"film\"\nspace = \"den\"\nlayout = \"{layout}\"\nfaces = \"screen\"\n{RULES}"
    )
}

/// Every channel of a 9.1.6 layout, roughly where it belongs.
#[allow(dead_code, reason = "not every test asks for it")]
pub fn nine_one_six() -> String {
    let mut text = String::new();
    for (channel, place) in [
        ("left", ["west", "0.7 m", "1.1 m"]),
        ("right", ["west", "4.3 m", "1.1 m"]),
        ("centre", ["west", "2.5 m", "0.5 m"]),
        ("left-screen", ["west", "1.1 m", "1.1 m"]),
        ("right-screen", ["west", "3.9 m", "1.1 m"]),
        ("left-surround", ["south", "2.9 m", "1.2 m"]),
        ("right-surround", ["north", "3.7 m", "1.2 m"]),
        ("left-back", ["east", "4.3 m", "1.2 m"]),
        ("right-back", ["east", "0.7 m", "1.2 m"]),
    ] {
        text += &item(channel, "in-wall-w1", "on", place);
    }
    for (channel, place) in [
        ("top-front-left", ["west", "2.5 m", "3.4 m"]),
        ("top-front-right", ["west", "2.5 m", "1.6 m"]),
        ("top-middle-left", ["west", "3.9 m", "3.4 m"]),
        ("top-middle-right", ["west", "3.9 m", "1.6 m"]),
        ("top-back-left", ["west", "5.4 m", "3.4 m"]),
        ("top-back-right", ["west", "5.4 m", "1.6 m"]),
    ] {
        text += &item(channel, "in-ceiling-c1", "hung", place);
    }
    text
}

pub fn read(text: &str) -> Analysis {
    match model::read(text, &checks::limit_names()) {
        Ok(job) => Analysis::new(Arc::new(job)),
        Err(problems) => {
            let listed: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("the test's job does not read:\n{}", listed.join("\n"))
        }
    }
}
