//! Jobs of any size, made from one furnished room, to see how proving grows.

use std::fmt::Write;

/// Rooms of 10 items and 25 cables each, wired to one rack, with a mishap in every room.
pub fn house(rooms: usize) -> String {
    let mut text = String::from(HEAD);
    for room in 0..rooms {
        let surround_height = if room % 2 == 0 { "1.9 m" } else { "1.3 m" };
        write!(
            text,
            r#"
[[space]]
id = "room-{room}"
walls = [
  {{ id = "north", length = "6.0{d} m" }},
  {{ id = "east", length = "4.2 m" }},
  {{ id = "south", length = "6.0{d} m" }},
  {{ id = "west", length = "4.2 m" }},
]
ceiling = {{ shape = "flat", height = "2.5 m" }}
finishes = {{ walls = "plasterboard", floor = "wood_floor_joists", ceiling = "plasterboard" }}
ambient = "5 lx"
temperature = "21 °C"
{joined}
[[space.opening]]
id = "door"
kind = "door"
on = {{ wall = "south", from_left = "0.5 m", height = "0" }}
size = ["0.9 m", "2.0 m"]
[[space.opening]]
id = "door-back"
kind = "door"
on = {{ wall = "north", from_left = "0.5 m", height = "0" }}
size = ["0.9 m", "2.0 m"]
[[space.fixture]]
id = "lamp"
kind = "wall-light"
on = {{ wall = "west", from_left = "0.5 m", height = "1.8 m" }}
size = ["150 mm", "300 mm", "100 mm"]
[[space.construction]]
of = "west"
framing = "stud"
spacing = "400 mm"
first_from_left = "390 mm"
cavity = "90 mm"
board = "12 mm"
fire_block_at = []
[[space.seat]]
id = "sofa-a"
at = {{ from = ["west", "3.4 m"], and = ["north", "1.6 m"] }}
eye = "1.1 m"
[[space.seat]]
id = "sofa-b"
at = {{ from = ["west", "3.4 m"], and = ["north", "2.6 m"] }}
eye = "1.1 m"
[[space.covering]]
id = "rug"
finish = "carpet_1.35_kg_m2"
over = "floor"
area = "8 m²"
"#,
            d = room % 10,
            joined = if room == 0 {
                String::new()
            } else {
                format!("joined = {{ opening = \"door\", to = \"room-{}.door-back\", wall = \"120 mm\" }}", room - 1)
            },
        )
        .expect("writing to a string can't fail");
        items(&mut text, room, surround_height);
        cables(&mut text, room);
    }
    text
}

fn items(text: &mut String, room: usize, surround_height: &str) {
    let mut item = |id: &str, is: &str, place: &str, more: &str| {
        write!(
            text,
            "[[item]]\nid = \"{id}-{room}\"\nis = \"{is}\"\nspace = \"room-{room}\"\n{place}\n{more}\n"
        )
        .expect("writing to a string can't fail");
    };
    let zone = format!("zone = \"zone-{room}\"\ndriven_by = \"amp-{room}\"");
    let channel = |name: &str| format!("channel = \"{name}\"\n{zone}");
    item(
        "screen",
        "screen-s",
        "on = { wall = \"west\", from_left = \"2.1 m\", height = \"1.3 m\" }",
        "",
    );
    item(
        "projector",
        "projector-p",
        "hung = { from = [\"west\", \"3.6 m\"], and = [\"north\", \"2.1 m\"], drop = \"150 mm\" }",
        "circuit = \"main\"",
    );
    item(
        "left",
        "wall-w",
        "on = { wall = \"west\", from_left = \"0.35 m\", height = \"1.1 m\" }",
        &channel("left"),
    );
    item(
        "right",
        "wall-w",
        "on = { wall = \"west\", from_left = \"3.85 m\", height = \"1.1 m\" }",
        &channel("right"),
    );
    item(
        "centre",
        "wall-w",
        "on = { wall = \"west\", from_left = \"2.1 m\", height = \"0.45 m\" }",
        &channel("centre"),
    );
    let side = |wall: &str, at: &str| {
        format!(
            "on = {{ wall = \"{wall}\", from_left = \"{at}\", height = \"{surround_height}\" }}"
        )
    };
    item(
        "surround-l",
        "wall-w",
        &side("south", "2.0 m"),
        &channel("left-surround"),
    );
    item(
        "surround-r",
        "wall-w",
        &side("north", "4.0 m"),
        &channel("right-surround"),
    );
    item(
        "sub",
        "sub-s",
        "at = { from = [\"west\", \"0.4 m\"], and = [\"south\", \"0.4 m\"] }",
        &channel("lfe"),
    );
    item(
        "amp",
        "amp-a",
        "at = { from = [\"east\", \"0.4 m\"], and = [\"south\", \"2 m\"], height = \"0.5 m\" }",
        "circuit = \"main\"",
    );
    item(
        "player",
        "player-v",
        "at = { from = [\"east\", \"0.4 m\"], and = [\"south\", \"2.5 m\"], height = \"0.5 m\" }",
        "circuit = \"main\"",
    );
    write!(text, "[[zone]]\nid = \"zone-{room}\"\nspace = \"room-{room}\"\nlayout = \"0+5+0\"\nfaces = \"screen-{room}\"\npeak_level = 98\namplifiers = [\"amp-{room}\"]\n[[signal]]\nid = \"film-{room}\"\nthrough = [\"player-{room}\", \"projector-{room}\"]\nformat = \"3840x2160p60\"\nchroma = \"4:2:0\"\nbits = 10\n")
        .expect("writing to a string can't fail");
}

fn cables(text: &mut String, room: usize) {
    let ends = ["left", "right", "centre", "surround-l", "surround-r", "sub"];
    for cable in 0..25 {
        let (kind, from, to) = match cable {
            0 => ("video-25", "player", "projector"),
            _ => ("speaker-14-2", "amp", ends[cable % ends.len()]),
        };
        write!(text, "[[cable]]\nid = \"W{room}-{cable}\"\nkind = \"{kind}\"\nfrom = \"{from}-{room}\"\nto = \"{to}-{room}\"\n")
            .expect("writing to a string can't fail");
    }
}

const HEAD: &str = r#"format = 1
[job]
name = "Large house"
units = "metric"
rules = "eu"
[site]
mains = { voltage = 230, frequency = 50 }
[[circuit]]
id = "main"
breaker = "16 A"
existing = "300 W"
[[kit.screen]]
id = "screen-s"
aspect = "16:9"
diagonal = "100\""
frame = "80 mm"
gain = 1.0
[[kit.projector]]
id = "projector-p"
size = ["400 mm", "150 mm", "400 mm"]
throw = [1.4, 2.2]
shift = { up = 60, across = 24, of = "half-picture" }
lumens = 2200
native_contrast = 10000
watts = 300
rear_clearance = "150 mm"
video_rate = "18 Gbit/s"
[[kit.loudspeaker]]
id = "wall-w"
form = "on-wall"
size = ["180 mm", "280 mm", "110 mm"]
sensitivity = 88
impedance = 8
impedance_min = 6
power_max = 120
[[kit.loudspeaker]]
id = "sub-s"
form = "subwoofer"
size = ["400 mm", "400 mm", "400 mm"]
channels = 0
watts = 200
[[kit.amplifier]]
id = "amp-a"
size = ["430 mm", "160 mm", "380 mm"]
channels = 5
power = 90
into = 8
load_min = 4
watts = 400
[[kit.device]]
id = "player-v"
size = ["250 mm", "50 mm", "200 mm"]
watts = 25
video_rate = "18 Gbit/s"
[[kit.cable]]
id = "speaker-14-2"
carries = "loudspeaker"
conductor = "14 AWG"
conductors = 2
[[kit.cable]]
id = "video-25"
carries = "video"
data_rate = "18 Gbit/s"
active = true
reach = "20 m"
[[spool]]
id = "spool-a"
kind = "speaker-14-2"
length = "9000 m"
"#;
