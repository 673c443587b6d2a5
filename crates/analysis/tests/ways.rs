//! Ways through rooms whose construction is known, each length written out beside it.

use std::sync::Arc;

use analysis::{Analysis, LegKind, Route, WayMedium};
use model::Edit;

/// The den's walls hold studs every 400 mm; joists of the ceiling run along its north wall.
const HOUSE: &str = r#"
format = 1
[job]
name = "Ways"
rules = "eu"
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
size = ["0.9 m", "2 m"]
[[space.construction]]
of = "north"
framing = "stud"
spacing = "400 mm"
first_from_left = "200 mm"
fire_block_at = []
[[space.construction]]
of = "south"
framing = "stud"
spacing = "400 mm"
first_from_left = "200 mm"
fire_block_at = ["1.2 m"]
[[space.construction]]
of = "east"
framing = "stud"
spacing = "400 mm"
first_from_left = "200 mm"
fire_block_at = []
[[space.construction]]
of = "west"
framing = "stud"
spacing = "400 mm"
first_from_left = "200 mm"
fire_block_at = []
[[space.construction]]
of = "ceiling"
framing = "joist"
spacing = "400 mm"
along = "north"
first_from_left = "200 mm"
beyond = "attic"
[[space]]
id = "hall"
joined = { opening = "door", to = "den.door", wall = "100 mm" }
walls = [
  { id = "north", length = "3 m" },
  { id = "east", length = "3 m" },
  { id = "south", length = "3 m" },
  { id = "west", length = "3 m" },
]
ceiling = { shape = "flat", height = "2.4 m" }
[[space.opening]]
id = "door"
kind = "door"
on = { wall = "west", from_left = "1 m", height = "0 m" }
size = ["0.9 m", "2 m"]
[[space.construction]]
of = "ceiling"
framing = "joist"
spacing = "400 mm"
along = "north"
first_from_left = "200 mm"
beyond = "attic"
[[space.construction]]
of = "north"
framing = "stud"
spacing = "400 mm"
first_from_left = "200 mm"
fire_block_at = []
[[kit.device]]
id = "box"
[[kit.cable]]
id = "wire"
carries = "line"
[[item]]
id = "a"
is = "box"
space = "den"
on = { wall = "north", from_left = "1 m", height = "1.9 m" }
[[item]]
id = "b"
is = "box"
space = "den"
on = { wall = "south", from_left = "1 m", height = "1.9 m" }
[[item]]
id = "low"
is = "box"
space = "den"
on = { wall = "south", from_left = "1 m", height = "1 m" }
[[item]]
id = "far"
is = "box"
space = "hall"
on = { wall = "north", from_left = "1 m", height = "2 m" }
[[item]]
id = "hanging"
is = "box"
space = "den"
hung = { from = ["north", "1.5 m"], and = ["west", "3 m"] }
[[cable]]
id = "over"
kind = "wire"
from = "a"
to = "b"
way = "overhead"
[[cable]]
id = "blocked"
kind = "wire"
from = "a"
to = "low"
way = "overhead"
[[cable]]
id = "up"
kind = "wire"
from = "a"
to = "hanging"
way = "overhead"
[[cable]]
id = "free"
kind = "wire"
from = "a"
to = "b"
[[cable]]
id = "out"
kind = "wire"
from = "a"
to = "far"
way = "overhead"
"#;

fn analysis(edits: &[Edit]) -> Analysis {
    let job = model::read(HOUSE, &[]).expect("the job reads");
    let job = job.edited(edits).expect("the edits can be made");
    Analysis::new(Arc::new(job))
}

fn route(analysis: &Analysis, cable: &str) -> Route {
    let cable = analysis.job().cable.iter().find(|it| it.id == cable);
    let route = analysis.route(cable.expect("it is there"));
    route.expect("there is a way").clone()
}

fn media(route: &Route) -> Vec<WayMedium> {
    let legs = route.legs.iter().filter_map(|leg| match &leg.along {
        LegKind::Through(passage) => Some(passage.medium),
        _ => None,
    });
    legs.collect()
}

#[test]
fn overhead_through_bays_plates_and_attic() {
    let analysis = analysis(&[]);
    let over = route(&analysis, "over");
    // 0.5 up, 4 along (from x = 1 to x = 5), 4 across, 0.5 down; two top plates.
    assert!(
        (over.length.value() - 9.0).abs() < 1e-9,
        "{}",
        over.length.value()
    );
    assert_eq!(over.holes(), Some([2, 2]));
    // Two heights and ceilings by tape, two from_lefts, the walls: some centimetres.
    let spread = over.length.standard_uncertainty();
    assert!((0.001..0.05).contains(&spread), "{spread}");
    let line = &over.path[0];
    assert_eq!(line.space, "den");
    assert!((line.points[0][2] - 1.9).abs() < 1e-9);
    let top = line.points.iter().map(|point| point[2]).fold(0.0, f64::max);
    assert!((top - 2.4).abs() < 1e-9);
}

#[test]
fn a_block_costs_a_hole_and_says_where_it_is() {
    let analysis = analysis(&[]);
    let blocked = route(&analysis, "blocked");
    assert!((blocked.length.value() - 9.9).abs() < 1e-9);
    assert_eq!(blocked.holes(), Some([3, 3]));
    assert!(media(&blocked).contains(&WayMedium::FireBlock));
    let words: Vec<String> = blocked.legs.iter().map(|leg| leg.along.words()).collect();
    assert!(
        words
            .iter()
            .any(|words| words.starts_with("through the block at 1.2")),
        "{words:?}"
    );
}

#[test]
fn what_hangs_is_reached_from_above() {
    let analysis = analysis(&[]);
    let up = route(&analysis, "up");
    // 0.5 up, 2 along, 1.5 across.
    assert!(
        (up.length.value() - 4.0).abs() < 1e-9,
        "{}",
        up.length.value()
    );
    assert_eq!(up.holes(), Some([1, 1]));
}

#[test]
fn an_unknown_fact_widens_it_and_is_named() {
    // Nobody looked for blocks in the south wall.
    let place = "space.den.construction.1.fire_block_at";
    let analysis = analysis(&[Edit::remove(place)]);
    let blocked = route(&analysis, "blocked");
    let work = blocked.work.as_ref().expect("it was found");
    assert_eq!(work.holes, [2, 3]);
    assert!(work.time_s[1] > work.time_s[0]);
    assert_eq!(
        work.doubts,
        ["whether wall south has blocks between its studs, and how high"]
    );
}

#[test]
fn measured_legs_win_and_unknown_rooms_are_square() {
    let legs = serde_json::json!([{ "along": "attic", "length": "20 m" }]);
    let stated = analysis(&[Edit::set("cable.over.legs", legs)]);
    let over = route(&stated, "over");
    assert!((over.length.value() - 20.0).abs() < 1e-9);
    assert_eq!(over.work, None);
    let bare: Vec<Edit> = (0..5)
        .rev()
        .map(|index| Edit::remove(format!("space.den.construction.{index}")))
        .collect();
    let unknown = analysis(&bare);
    let over = route(&unknown, "over");
    assert!((over.length.value() - 9.0).abs() < 1e-9);
    assert_eq!(over.work, None);
}

#[test]
fn between_spaces_by_the_attic_that_they_share() {
    let analysis = analysis(&[]);
    let out = route(&analysis, "out");
    // The hall's west wall and the den's east wall share the door: the hall begins at x = 6.1 m.
    // The den's door is 1 m to 1.9 m down from its north-east corner; the hall's, facing west, 1 m
    // to 1.9 m from its south-west corner, so the hall's north wall is 0.1 m above the den's.
    // 0.5 up, 6.1 + 1 − 1 across, 0.1 along, 0.4 down.
    assert!(
        (out.length.value() - 7.1).abs() < 1e-9,
        "{}",
        out.length.value()
    );
    assert_eq!(out.holes(), Some([2, 2]));
    let spaces: Vec<&str> = out.path.iter().map(|piece| piece.space.as_str()).collect();
    assert_eq!(spaces, ["den", "hall"]);
}

#[test]
fn a_conduit_between_spaces_is_taken_and_a_full_one_is_not() {
    let conduit = serde_json::json!({
        "id": "pipe", "kind": "conduit", "length": "9 m", "inside": "20 mm",
        "ends": [
            { "space": "den", "on": { "wall": "north", "from_left": "1.1 m", "height": "1.9 m" } },
            { "space": "hall", "on": { "wall": "north", "from_left": "1.2 m", "height": "2 m" } },
        ],
    });
    let with = |more: Vec<Edit>| {
        let mut edits = vec![Edit::set("pathway.pipe", conduit.clone())];
        edits.extend(more);
        route(&analysis(&edits), "out")
    };
    let piped = with(Vec::new());
    assert!(media(&piped).contains(&WayMedium::Conduit));
    // 0.1 m and 0.2 m to the mouths and 9 m inside.
    assert!(
        (piped.length.value() - 9.3).abs() < 1e-9,
        "{}",
        piped.length.value()
    );
    let blocked = with(vec![Edit::set("pathway.pipe.blocked", true)]);
    assert!(!media(&blocked).contains(&WayMedium::Conduit));
    // 19 mm in 20 mm is more than 53 %.
    let full = with(vec![Edit::set("kit.cable.wire.diameter", "19 mm")]);
    assert!(!media(&full).contains(&WayMedium::Conduit));
}

#[test]
fn the_other_kind_and_the_dear_step_are_told() {
    let analysis = analysis(&[Edit::remove("cable.blocked.way")]);
    let cable = analysis.job().cable.iter().find(|it| it.id == "blocked");
    let told = analysis
        .way_told(cable.expect("it is there"))
        .expect("there is a way");
    let dear = told.dear.expect("something is drilled");
    assert!(dear.time_s > 0.0);
    assert!(
        dear.sentence.contains(" costs ") && dear.sentence.contains("or go round by"),
        "{}",
        dear.sentence
    );
    let other = told.other.expect("the surface is left");
    assert!(!other.leaves_out.is_empty());
}

#[test]
fn the_other_way_is_taken_by_its_own_edit_and_given_back() {
    let told = |edits: &[Edit]| {
        let analysis = analysis(edits);
        let cable = analysis.job().cable.iter().find(|it| it.id == "blocked");
        (analysis.way_told(cable.expect("it is there"))).expect("there is a way")
    };
    let free = Edit::remove("cable.blocked.way");
    let first = told(std::slice::from_ref(&free));
    let other = first.other.expect("the surface is left");
    let mut edits = vec![free];
    edits.extend(other.edits);
    let taken = told(&edits);
    let work = taken.route.work.as_ref().expect("it was found");
    assert_eq!(
        (work.holes, work.time_s, work.length_m),
        (other.holes, other.time_s, other.length_m)
    );
    assert_eq!(taken.route.path, other.path);
    edits.push(Edit::remove("cable.blocked.keeps_out_of"));
    let back = told(&edits);
    assert_eq!(back.route.path, first.route.path);
}

#[test]
fn the_way_round_the_dear_step_is_taken_by_its_edit() {
    let told = |edits: &[Edit], id: &str| {
        let analysis = analysis(edits);
        let cable = analysis.job().cable.iter().find(|it| it.id == id);
        analysis.way_told(cable.expect("it is there"))
    };
    let all = analysis(&[]);
    let mut taken = 0;
    for cable in &all.job().cable {
        let first = all.way_told(cable);
        let round = first.ok().and_then(|first| first.dear?.round);
        let Some(round) = round else { continue };
        let after = told(&round.edits, &cable.id).expect("the way round is a way");
        assert_eq!(after.route.path, round.path, "{}", cable.id);
        let work = after.route.work.as_ref().expect("it was searched");
        assert_eq!((work.holes, work.time_s), (round.holes, round.time_s));
        taken += 1;
    }
    assert!(taken > 0, "some cable has a way round its dearest step");
}

#[test]
fn going_round_what_is_not_there_is_refused_where_it_is_written() {
    let problems = |round: &str| {
        let text = HOUSE.replacen(
            "id = \"blocked\"\n",
            &format!("id = \"blocked\"\ngoes_round = [{round}]\n"),
            1,
        );
        let problems = model::read(&text, &[]).err().unwrap_or_default();
        problems.iter().map(ToString::to_string).collect::<String>()
    };
    let good = problems(r#"{ space = "den", of = "south", part = "fire-block", row = 1 }"#);
    assert_eq!(good, "");
    let nowhere = problems(r#"{ space = "shed", of = "south", part = "studs" }"#);
    assert!(nowhere.contains("`shed`"), "{nowhere}");
    let no_wall = problems(r#"{ space = "den", of = "front", part = "studs" }"#);
    assert!(no_wall.contains("`front`"), "{no_wall}");
    let joists = problems(r#"{ space = "den", of = "south", part = "joists" }"#);
    assert!(joists.contains("has no joists"), "{joists}");
}

#[test]
fn keeping_out_of_everything_leaves_no_way_and_says_so() {
    let all = serde_json::json!([
        "lead",
        "stud-bays",
        "board",
        "surface",
        "baseboard",
        "rug",
        "masonry"
    ]);
    let edits = [
        Edit::remove("cable.blocked.way"),
        Edit::set("cable.blocked.keeps_out_of", all),
    ];
    let analysis = analysis(&edits);
    let cable = analysis.job().cable.iter().find(|it| it.id == "blocked");
    let missing = analysis
        .way_told(cable.expect("it is there"))
        .expect_err("no way is left");
    assert!(
        missing
            .what
            .contains("keeps out of a lead to the wall, the stud bays"),
        "{}",
        missing.what
    );
}

#[test]
fn all_together_take_no_longer_than_alone() {
    let analysis = analysis(&[]);
    let all = analysis.ways_together();
    assert!(all.together_s < all.alone_s);
    // The top plate over `a` is shared.
    assert!(
        all.shared.iter().any(|hole| hole.cables.len() > 1),
        "{all:?}"
    );
    let pulled: usize = all.pulls.iter().map(Vec::len).sum();
    assert_eq!(pulled, 5);
}

/// With a cable along the floor that takes the baseboard by itself, though it could go overhead
/// through the holes of others.
fn with_one_behind_the_baseboard() -> Analysis {
    let low = |id: &str, wall: &str| {
        let on = serde_json::json!({ "wall": wall, "from_left": "1 m", "height": "0.1 m" });
        let item = serde_json::json!({ "id": id, "is": "box", "space": "den", "on": on });
        Edit::set(format!("item.{id}"), item)
    };
    let cable =
        serde_json::json!({ "id": "floor", "kind": "wire", "from": "floor-a", "to": "floor-b" });
    analysis(&[
        low("floor-a", "north"),
        low("floor-b", "south"),
        Edit::set("cable.floor", cable),
    ])
}

#[test]
fn an_in_wall_loudspeaker_is_wired_on_the_surface_only_where_nothing_else_leads_to_it() {
    // Above the block at 1.2 m of the south wall.
    let on = serde_json::json!({ "wall": "south", "from_left": "1 m", "height": "1.3 m" });
    let item = |is: &str| {
        let item = serde_json::json!({ "id": "speaker", "is": is, "space": "den", "on": on });
        Edit::set("item.speaker", item)
    };
    let below = serde_json::json!({ "wall": "south", "from_left": "2 m", "height": "0 m" });
    let seen = |is: &str, more: &[Edit]| {
        let kit = |form: &str| {
            let kit = serde_json::json!({ "id": form, "form": form });
            Edit::set(format!("kit.loudspeaker.{form}"), kit)
        };
        let amp = serde_json::json!({ "id": "amp", "is": "box", "space": "den", "on": below });
        let cable =
            serde_json::json!({ "id": "w", "kind": "wire", "from": "amp", "to": "speaker" });
        let mut edits = vec![kit("in-wall"), kit("on-wall"), item(is)];
        edits.push(Edit::set("item.amp", amp));
        edits.push(Edit::set("cable.w", cable));
        edits.extend_from_slice(more);
        media(&route(&analysis(&edits), "w")).contains(&WayMedium::Surface)
    };
    assert!(seen("on-wall", &[]));
    assert!(!seen("in-wall", &[]));
    let no_bays = Edit::set("cable.w.keeps_out_of", serde_json::json!(["stud-bays"]));
    assert!(seen("in-wall", &[no_bays]));
    let solid = Edit::set("space.den.construction.1.framing", "masonry");
    assert!(seen("in-wall", &[solid]));
}

#[test]
fn holes_are_shared_by_the_ways_that_are_told() {
    let analysis = with_one_behind_the_baseboard();
    assert_eq!(route(&analysis, "floor").holes(), Some([0, 0]));
    let all = analysis.ways_together();
    for cable in analysis.job().cable.iter() {
        let shares = all
            .shared
            .iter()
            .filter(|hole| hole.cables.contains(&cable.id));
        let shares: u32 = shares.map(|hole| hole.holes).sum();
        let holes = route(&analysis, &cable.id).holes().expect("it is searched");
        assert!(
            shares <= holes[1],
            "{} shares {shares} of {holes:?}: {all:?}",
            cable.id
        );
    }
    let floor = (all.pulls.iter()).find(|pull| pull.contains(&"floor".to_owned()));
    assert_eq!(floor, Some(&vec!["floor".to_owned()]));
    // Those overhead begin in one bay, whichever rooms they join.
    let plate = (all.shared.iter()).find(|hole| hole.through == "the top plate of wall north");
    let cables = plate.map(|hole| hole.cables.clone()).unwrap_or_default();
    assert!(
        cables.len() >= 4 && cables.contains(&"out".to_owned()),
        "{all:?}"
    );
}

#[test]
fn a_copy_searches_only_what_it_touches() {
    let before = analysis(&[]);
    let kept = route(&before, "over");
    let moved = before.edited(&[Edit::set("item.low.on.height", "0.5 m")]);
    let moved = moved.expect("the edit can be made");
    assert!((route(&moved, "blocked").length.value() - 10.4).abs() < 1e-9);
    assert!((route(&moved, "over").length.value() - kept.length.value()).abs() < 1e-12);
}
