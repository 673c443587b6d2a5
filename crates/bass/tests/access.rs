//! What wire and socket do places take?

use std::sync::Arc;

use analysis::Analysis;
use bass::{Access, Accesses, Mains, PlaceSort, Signal, Stand, Tree, planned_subs, sub_places};

/// 6 × 4 × 2.4 m, walls named by the compass, walked clockwise; a powered sub in one corner,
/// its receiver in another.
const JOB: &str = r#"
format = 1
[job]
name = "Test house"
units = "metric"
[rates]
currency = "EUR"
hour = 60
wireless_link = 150
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
diagonals = [["north.left", "south.left", "7.2111 m"]]
ceiling = { shape = "flat", height = "2.4 m" }
[[space.fixture]]
id = "socket-north"
kind = "socket"
on = { wall = "north", from_left = "1 m", height = "0.3 m" }
size = ["8 cm", "8 cm", "1 cm"]
[[space.fixture]]
id = "old-plate"
kind = "plate"
on = { wall = "south", from_left = "3 m", height = "0.3 m" }
cable = "W1"
[[kit.loudspeaker]]
id = "sub-s"
form = "subwoofer"
size = ["40 cm", "42 cm", "42 cm"]
watts = 300
channels = 0
[[kit.amplifier]]
id = "receiver-r"
size = ["43 cm", "17 cm", "40 cm"]
[[kit.cable]]
id = "line"
carries = "line"
price_per_metre = 1.5
[[item]]
id = "receiver"
is = "receiver-r"
space = "den"
at = { from = ["north", "0.3 m"], and = ["west", "0.3 m"] }
[[item]]
id = "sub"
is = "sub-s"
space = "den"
at = { from = ["north", "0.3 m"], and = ["east", "0.3 m"] }
[[cable]]
id = "W1"
kind = "line"
from = "receiver"
to = "sub"
way = "underfoot"
"#;

fn analysis(text: &str) -> Analysis {
    let job = model::read(text, &[]).unwrap_or_else(|problems| panic!("{problems:?}"));
    Analysis::new(Arc::new(job))
}

fn access(text: &str, at: [f64; 3]) -> Access {
    let job = analysis(text);
    let space = job.space("den").expect("the job has it");
    let accesses = Accesses::new(&job, space).expect("a sub is planned");
    accesses.at(at, None)
}

/// A place by its distances from north and west.
fn place(text: &str, north_m: f64, west_m: f64) -> [f64; 3] {
    let job = analysis(text);
    let shape = job.shape(job.space("den").expect("the job has it"));
    let [north, west] = [north_m, west_m].map(analysis::Uncertain::exact);
    let plan = shape.point_from_walls([0, 3], [&north, &west]);
    let [x, y] = plan.expect("they meet").value();
    [x, y, 0.21]
}

#[test]
fn a_new_wire_is_as_long_as_the_cable_of_a_sub_that_stands_there() {
    let at = place(JOB, 2.0, 5.5);
    let told = access(JOB, at);
    let Signal::Wire(wire) = told.signal else {
        panic!("{told:?}");
    };
    let there = JOB.replace(
        "[\"north\", \"0.3 m\"], and = [\"east\", \"0.3 m\"]",
        "[\"north\", \"2 m\"], and = [\"west\", \"5.5 m\"]",
    );
    let there = analysis(&there);
    let cable = there.cables().next().expect("W1");
    let length_m = there
        .cut_length(cable)
        .expect("both ends are placed")
        .value();
    assert!(
        (wire.length_m - length_m).abs() < 1e-3,
        "{wire:?} {length_m}"
    );
    // By hand: 2 min a metre and two holes of 10 min; 60 EUR an hour and 1.50 EUR a metre.
    let time_s = 120.0 * length_m + 1200.0;
    assert!((wire.takes.time_s - time_s).abs() < 1.0, "{wire:?}");
    let money = time_s / 60.0 + 1.5 * length_m;
    assert!((wire.takes.money.expect("an hour is priced") - money).abs() < 0.05);
    // 15 min at 60 EUR an hour and 150 EUR for both ends.
    let wireless = told.wireless.expect("it is priced");
    assert!((wireless.money.expect("an hour is priced") - 165.0).abs() < 1e-9);
}

#[test]
fn sockets_in_reach_are_used_and_others_told() {
    // 1 m from the left end of north: 0.3 m off that wall and 0.09 m up.
    let west_of_north = analysis(JOB);
    let shape = west_of_north.shape(west_of_north.space("den").expect("the job has it"));
    let (left, along, inward) = shape.wall_frame(0).expect("it closes");
    let (left, along, inward) = (left.value(), along.value(), inward.value());
    let near = [0, 1].map(|axis| left[axis] + along[axis] * 1.0 + inward[axis] * 0.3);
    let told = access(JOB, [near[0], near[1], 0.21]);
    let Mains::Reached(name, off_m) = told.mains else {
        panic!("{told:?}");
    };
    assert!(
        name == "socket north" && (off_m - 0.39).abs() < 1e-3,
        "{off_m}"
    );
    let far = [0, 1].map(|axis| left[axis] + along[axis] * 4.0 + inward[axis] * 0.3);
    let told = access(JOB, [far[0], far[1], 0.21]);
    assert!(matches!(told.mains, Mains::New(_, off_m) if (off_m - 3.104).abs() < 1e-2));
    let none = JOB.replace("kind = \"socket\"", "kind = \"switch\"");
    assert_eq!(
        access(&none, [far[0], far[1], 0.21]).mains,
        Mains::NotSurveyed
    );
}

#[test]
fn nothing_is_pulled_to_an_end_that_carries_the_signal_already() {
    let near = place(JOB, 3.7, 3.0);
    assert_eq!(access(JOB, near).signal, Signal::There("old plate".into()));
    // What nobody has looked at is told, and a wire is reckoned with.
    let words = JOB.replace("cable = \"W1\"", "cable = \"two black leads\"");
    let told = access(&words, near);
    assert!(matches!(told.signal, Signal::Wire(_)), "{told:?}");
    let end = ("old plate".to_owned(), "two black leads".to_owned());
    assert_eq!(told.unread_end, Some(end));
}

#[test]
fn a_sub_that_an_amplifier_drives_needs_no_socket_and_takes_no_link() {
    let passive = JOB.replace("watts = 300\nchannels = 0\n", "impedance = 4\n");
    let told = access(&passive, place(JOB, 2.0, 5.5));
    assert_eq!((told.mains, told.wireless), (Mains::None, None));
}

fn sorts(text: &str) -> Vec<(PlaceSort, String)> {
    let job = analysis(text);
    let space = job.space("den").expect("the job has it");
    let places = sub_places(&job, space, &planned_subs(&job, space)).expect("walls are known");
    let told = places.into_iter().map(|place| (place.sort, place.words));
    told.collect()
}

#[test]
fn a_cabinet_that_holds_the_case_is_a_place_and_a_walkway_is_none() {
    let bench = |inside: &str| {
        format!(
            "{JOB}[[space.fixture]]\nid = \"bench\"\nkind = \"furniture\"\nat = {{ from = [\"south\", \"0.3 m\"], and = [\"west\", \"3 m\"] }}\nsize = [\"2 m\", \"0.5 m\", \"0.6 m\"]\ninside = {inside}\n"
        )
    };
    let inside = |text: &str| {
        let places = sorts(text);
        places
            .iter()
            .filter(|place| place.0 == PlaceSort::Cabinet)
            .count()
    };
    assert_eq!(inside(&bench("[\"0.5 m\", \"0.45 m\", \"0.5 m\"]")), 1);
    assert_eq!(inside(&bench("[\"0.5 m\", \"0.40 m\", \"0.5 m\"]")), 0);
    let at_south = |text: &str| {
        let places = sorts(text);
        places
            .iter()
            .filter(|place| place.1.contains("at south"))
            .count()
    };
    let walkway = format!(
        "{JOB}[[space.fixture]]\nid = \"way\"\nkind = \"walkway\"\nat = {{ from = [\"south\", \"0.5 m\"], and = [\"west\", \"3 m\"] }}\nsize = [\"5.9 m\", \"1 mm\", \"1 m\"]\n"
    );
    assert!(
        at_south(JOB) > 5 && at_south(&walkway) == 0,
        "{}",
        at_south(&walkway)
    );
}

#[test]
fn a_sub_that_is_let_in_goes_between_studs_and_nowhere_else() {
    let let_in = JOB.replace(
        "channels = 0\n",
        "channels = 0\ncutout = [\"34 cm\", \"38 cm\"]\ndepth_behind = \"95 mm\"\n",
    );
    let built = |spacing: &str, rated: &str| {
        format!(
            "{let_in}[[space.construction]]\nof = \"north\"\nframing = \"stud\"\nspacing = \"{spacing}\"\nfirst_from_left = \"39 cm\"\ncavity = \"89 mm\"\nboard = \"12.5 mm\"\nfire_block_at = []\n{rated}"
        )
    };
    let places = sorts(&built("40 cm", ""));
    assert!(places.iter().all(|place| place.0 == PlaceSort::InWall));
    // Studs at 0.39 m, 0.79 m … 5.99 m: 14 bays of 40 cm less 38 mm take 34 cm. The grille of 40 cm by
    // 42 cm over the socket at 1 m, 0.3 m up, has no room: 13.
    assert_eq!(places.len(), 13, "{places:?}");
    assert!(
        sorts(&built("37 cm", "")).is_empty(),
        "33.2 cm between studs"
    );
    assert!(sorts(&built("40 cm", "rated = true\n")).is_empty());
    assert!(sorts(&let_in).is_empty(), "nothing is known of the walls");
}

/// Two subs at the far end from their receiver, 0.6 m from each other, by their delays in ms.
fn two(text: &str, delays_ms: [f64; 2]) -> Tree {
    let job = analysis(text);
    let space = job.space("den").expect("the job has it");
    let accesses = Accesses::new(&job, space).expect("a sub is planned");
    let stands = [2.0, 2.6].map(|north_m| place(text, north_m, 5.5));
    let stands = stands.into_iter().zip(delays_ms);
    let stands: Vec<Stand> = stands
        .map(|(at, delay_ms)| Stand {
            at,
            on: None,
            delay_s: delay_ms / 1000.0,
        })
        .collect();
    accesses.tree(&stands)
}

fn with_output() -> String {
    let ports = "[[kit.loudspeaker.port]]\nid = \"out\"\nkind = \"line\"\ndirection = \"out\"\n";
    JOB.replacen("[[kit.amplifier]]", &format!("{ports}[[kit.amplifier]]"), 1)
}

fn length_m(tree: &Tree) -> f64 {
    let wires = tree.signals.iter().map(|signal| match signal {
        Signal::Wire(wire) => wire.length_m,
        other => panic!("{other:?}"),
    });
    wires.sum()
}

#[test]
fn a_sub_is_fed_from_the_one_beside_it_where_that_has_an_output() {
    let each = two(JOB, [0.0; 2]);
    assert_eq!(each.fed_by, [None, None], "no output is stated");
    let chained = two(&with_output(), [0.0; 2]);
    assert_eq!(chained.fed_by, [None, Some(0)]);
    assert!(length_m(&chained) < 0.7 * length_m(&each));
}

#[test]
fn subs_of_unlike_delay_each_take_a_wire_of_their_own() {
    assert_eq!(two(&with_output(), [0.0, 4.0]).fed_by, [None, None]);
}
