//! A finder's patches against the checks: nothing inside fails, a step over each edge fails
//! that edge's own check, and thousands of random places say the same.

use std::collections::BTreeMap;

use analysis::Analysis;
use checks::placing::findings_of_loudspeaker;
use checks::{Caution, Verdict};
use finders::{
    ChannelPlaces, Patch, exact_spot, loudspeaker_at, loudspeaker_patches, loudspeaker_place,
};
use geometry::Point2;
use model::Item;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

mod cinema;

use cinema::{FLAT, GABLE, SHED, THINGS, cinema, item, read};

/// A step over an edge, m.
const STEP_M: f64 = 1e-3;
/// Random places on each surface; the long run in docs/validation.md asks 10,000 of each room.
fn places() -> usize {
    let asked = std::env::var("DRYFIT_PLACES").ok();
    asked.and_then(|count| count.parse().ok()).unwrap_or(60)
}

/// Every room that the finder is held against the checks in, with the loudspeaker asked about.
fn rooms() -> Vec<(&'static str, String, &'static str)> {
    let in_wall = item(
        "left-surround",
        "in-wall-w1",
        "on",
        ["south", "4 m", "1.2 m"],
    );
    let on_wall = item(
        "left-surround",
        "on-wall-b1",
        "on",
        ["south", "4 m", "1.2 m"],
    );
    let front = item("left", "in-wall-w1", "on", ["west", "1 m", "1.1 m"]);
    let overhead = item(
        "top-front-left",
        "in-ceiling-c1",
        "hung",
        ["west", "2.6 m", "3.4 m"],
    );
    let middle = item(
        "top-middle-left",
        "in-ceiling-c1",
        "hung",
        ["west", "3.9 m", "3.4 m"],
    );
    let others = format!("{front}{overhead}");
    vec![
        (
            "in a wall",
            cinema("7.1.4", FLAT, &format!("{in_wall}{others}")),
            "left-surround",
        ),
        (
            "on a wall with things",
            cinema("7.1.4", FLAT, &format!("{THINGS}{on_wall}{others}")),
            "left-surround",
        ),
        (
            "on a wall under a gable",
            cinema("7.1.4", GABLE, &format!("{on_wall}{others}")),
            "left-surround",
        ),
        (
            "in a ceiling with things",
            cinema(
                "7.1.4",
                FLAT,
                &format!("{THINGS}{in_wall}{front}{overhead}"),
            ),
            "top-front-left",
        ),
        (
            "in a gable",
            cinema("7.1.4", GABLE, &format!("{in_wall}{front}{overhead}")),
            "top-front-left",
        ),
        (
            "in a shed roof, seen from the side",
            cinema("7.1.2", SHED, &format!("{in_wall}{front}{middle}")),
            "top-middle-left",
        ),
        ("on the floor", tower(), "left"),
        (
            "on the floor under a gable",
            tower().replace(FLAT, GABLE),
            "left",
        ),
        (
            "a dipole on a wall",
            cinema("7.1.4", FLAT, &format!("{on_wall}{others}")).replace(
                "form = \"on-wall\"",
                "form = \"on-wall\"\npattern = \"dipole\"",
            ),
            "left-surround",
        ),
    ]
}

fn item_of<'a>(analysis: &'a Analysis, id: &str) -> &'a Item {
    analysis.item(id).expect("the loudspeaker asked about")
}

/// The checks that fail with the loudspeaker at a place of a surface.
fn failing(
    analysis: &Analysis,
    id: &str,
    surface: &str,
    at: Point2,
) -> BTreeMap<&'static str, String> {
    let edits = exact_spot(analysis, item_of(analysis, id), surface, at).expect("a place");
    let tried = analysis.tried(&edits).expect("the place can be written");
    let item = item_of(&tried, id);
    let space = tried.space_of(item).expect("a room");
    findings_of_loudspeaker(&tried, space, item)
        .into_iter()
        .filter(|finding| finding.verdict == Verdict::Fails)
        .map(|finding| {
            let margin = finding.margin.clone().map_or(0.0, |margin| margin.value());
            (finding.check, format!("{}: {margin}", finding.subject.id))
        })
        .collect()
}

fn found(analysis: &Analysis, id: &str) -> ChannelPlaces {
    let found = loudspeaker_patches(analysis, item_of(analysis, id)).expect("all is known");
    assert!(found.needs.is_empty(), "{:?}", found.needs);
    found
}

/// A box a little wider than a patch, within its surface.
fn around(patch: &Patch) -> [f64; 4] {
    let wider = |points: &mut dyn Iterator<Item = Point2>, by: f64| {
        let mut ends = [
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::INFINITY,
            f64::NEG_INFINITY,
        ];
        for Point2 { x, y } in points {
            ends = [
                ends[0].min(x - by),
                ends[1].max(x + by),
                ends[2].min(y - by),
                ends[3].max(y + by),
            ];
        }
        ends
    };
    let own = wider(&mut patch.region.edges().map(|edge| edge.from), 0.3);
    let all = wider(&mut patch.outline.iter().copied(), -0.002);
    [
        own[0].max(all[0]),
        own[1].min(all[1]),
        own[2].max(all[2]),
        own[3].min(all[3]),
    ]
}

fn is_in_outline(patch: &Patch, at: Point2) -> bool {
    let corners = &patch.outline;
    let mut inside = false;
    for (k, a) in corners.iter().enumerate() {
        let b = corners[(k + 1) % corners.len()];
        if (a.y > at.y) != (b.y > at.y) {
            inside ^= a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x) > at.x;
        }
    }
    inside
}

#[test]
fn random_places_are_judged_as_the_checks_judge_them() {
    let mut random = ChaCha8Rng::seed_from_u64(31);
    for (name, text, id) in rooms() {
        let analysis = read(&text);
        let found = found(&analysis, id);
        let mut inside = 0;
        for patch in found
            .patches
            .iter()
            .filter(|patch| !patch.region.parts.is_empty())
        {
            let [left, right, low, high] = around(patch);
            for _ in 0..places() {
                let at = Point2::new(
                    random.random_range(left..right),
                    random.random_range(low..high),
                );
                let depth = patch.region.depth_m(at);
                if depth.abs() < STEP_M || !is_in_outline(patch, at) {
                    continue;
                }
                let failing = failing(&analysis, id, &patch.surface, at);
                assert_eq!(
                    depth > 0.0,
                    failing.is_empty(),
                    "{name}, {} {at:?}, {depth} m in: {failing:?}",
                    patch.surface
                );
                inside += usize::from(depth > 0.0);
            }
        }
        assert!(inside > 0, "{name}: no place is inside");
    }
}

#[test]
fn a_step_over_each_edge_fails_the_check_of_that_edge_and_a_step_back_none() {
    for (name, text, id) in rooms() {
        let analysis = read(&text);
        for patch in &found(&analysis, id).patches {
            for edge in patch.region.edges() {
                if edge.from.distance(edge.to) < 8.0 * STEP_M {
                    continue;
                }
                let way = (edge.to - edge.from).unit().expect("not a point");
                let middle = edge.from.towards(edge.to, 0.5);
                let beside = |by: f64| Point2::new(middle.x - way.y * by, middle.y + way.x * by);
                let Some(stop) = &edge.stop else {
                    // Between two planes of a ceiling the region goes on.
                    assert!(patch.is_ceiling, "{name}: nothing stops {edge:?}");
                    continue;
                };
                let over = failing(&analysis, id, &patch.surface, beside(-STEP_M));
                assert!(
                    over.contains_key(stop.check),
                    "{name}: {} {stop:?}, {edge:?}: {over:?}",
                    patch.surface
                );
                if patch.region.depth_m(beside(STEP_M)) > STEP_M / 2.0 {
                    let within = failing(&analysis, id, &patch.surface, beside(STEP_M));
                    assert!(within.is_empty(), "{name}: {stop:?}, {edge:?}: {within:?}");
                }
            }
        }
    }
}

#[test]
fn the_place_to_use_fails_nothing() {
    for (name, text, id) in rooms() {
        let analysis = read(&text);
        let found = loudspeaker_place(&analysis, item_of(&analysis, id)).expect("all is known");
        let best = found.best.expect("a place");
        assert_ne!(best.verdict, Verdict::Fails, "{name}: {}", best.because);
        assert!(
            best.losses.iter().all(|loss| loss.out_rad <= 1e-6),
            "{name}"
        );
    }
}

#[test]
fn where_nothing_is_allowed_the_worst_seat_loses_least() {
    // A surround in the only wall that is deep enough, which is in front of everybody.
    let text = cinema(
        "7.1.4",
        FLAT,
        &item("left-surround", "in-wall-w1", "on", ["west", "0.6 m", "1.2 m"]),
    )
    .replace("of = \"south\"\nframing = \"stud\"\nface = \"38 mm ± 0\"\nspacing = \"406.4 mm ± 0\"\nfirst_from_left = \"400 mm ± 0\"\ncavity = \"90 mm\"", "of = \"south\"\nframing = \"masonry\"")
    .replace("of = \"north\"\nframing = \"stud\"\nface = \"38 mm ± 0\"\nspacing = \"406.4 mm ± 0\"\nfirst_from_left = \"400 mm ± 0\"\ncavity = \"90 mm\"", "of = \"north\"\nframing = \"masonry\"")
    .replace("of = \"east\"\nframing = \"stud\"\nface = \"38 mm ± 0\"\nspacing = \"406.4 mm ± 0\"\nfirst_from_left = \"400 mm ± 0\"\ncavity = \"90 mm\"", "of = \"east\"\nframing = \"masonry\"");
    let analysis = read(&text);
    let found = loudspeaker_place(&analysis, item_of(&analysis, "left-surround")).unwrap();
    assert!(found.best.is_none());
    let least = found.least_bad.expect("the west wall can be cut");
    assert_eq!(least.surface, "west");
    assert_eq!(least.verdict, Verdict::Fails);
    let worst = |losses: &[finders::SeatLoss]| {
        let weighted = losses
            .iter()
            .map(|loss| loss.importance * loss.out_rad.max(0.0));
        weighted.fold(0.0, f64::max)
    };
    assert!(worst(&least.losses) > 0.5);
    let depths: Vec<_> = found.stopped_by.iter().map(|stop| stop.check).collect();
    assert!(depths.contains(&"cavity-depth"), "{:?}", found.stopped_by);
}

#[test]
fn in_a_house_of_ceiling_loudspeakers_it_is_told_what_each_seat_pays() {
    let text = cinema(
        "5.1",
        FLAT,
        &item(
            "left-surround",
            "in-ceiling-c1",
            "hung",
            ["west", "4.2 m", "4.4 m"],
        ),
    );
    let analysis = read(&text);
    let found = loudspeaker_place(&analysis, item_of(&analysis, "left-surround")).unwrap();
    assert!(found.best.is_none());
    let least = found.least_bad.expect("the ceiling takes it");
    assert_eq!(least.surface, "ceiling");
    // 15° and 40° more are allowed; from the main seat nothing of a ceiling is so low.
    let main = least.losses.iter().find(|loss| loss.is_main).unwrap();
    assert!(main.out_rad.to_degrees() > 5.0, "{main:?}");
    assert_eq!(least.losses.len(), 8);
    assert_eq!(least.verdict, Verdict::Fails);
}

/// A tower on the floor as the left channel.
fn tower() -> String {
    let left = item("left", "in-wall-w1", "at", ["west", "0.5 m", "4.3 m"]);
    cinema("7.1.4", FLAT, &(THINGS.to_owned() + &left)).replace(
        "form = \"in-wall\"\nsize = [\"220 mm\", \"320 mm\", \"95 mm\"]",
        "form = \"floor\"\nsounds_up = \"950 mm\"\nsize = [\"240 mm\", \"1.0 m\", \"300 mm\"]",
    )
}

#[test]
fn a_subwoofer_has_no_channel_to_be_placed_for() {
    let text = tower().replace("form = \"floor\"", "form = \"subwoofer\"");
    let analysis = read(&text);
    let refused = loudspeaker_place(&analysis, item_of(&analysis, "left")).unwrap_err();
    assert_eq!(refused.at, "kit.loudspeaker.in-wall-w1.form");
}

#[test]
fn each_edge_on_the_floor_says_what_stops_it() {
    let analysis = read(&tower());
    let found = loudspeaker_place(&analysis, item_of(&analysis, "left")).unwrap();
    let best = found.best.expect("there is a place");
    assert_eq!(best.surface, "floor");
    assert_ne!(best.verdict, Verdict::Fails, "{}", best.because);
    assert_eq!(found.cautions, [Caution::Lifting]);
    assert!(found.present.is_some());
    let edges = found.patches[0].region.edges();
    assert!(edges.into_iter().all(|edge| edge.stop.is_some()));
}

#[test]
fn what_stands_is_turned_to_where_its_worst_seat_is_best() {
    let narrow = "form = \"floor\"\ncoverage = \"50 deg\"\n";
    let analysis = read(&tower().replace("form = \"floor\"\n", narrow));
    let found = loudspeaker_place(&analysis, item_of(&analysis, "left")).unwrap();
    let best = found.best.expect("there is a place");
    let (is_turn, placed): (Vec<_>, Vec<_>) =
        (best.edits.iter().cloned()).partition(|edit| edit.at == "item.left.turned");
    assert_eq!(is_turn.len(), 1, "{:?}", best.edits);
    let says = best.turned.expect("words on how it is turned");
    assert!(
        says.starts_with("Turn left to ") && says.contains("° off straight away from wall"),
        "{says}"
    );
    let main = best.losses.iter().find(|loss| loss.is_main).unwrap();
    // What is left of 6 dB at the main seat and of 9 dB at the others.
    let spare = |edits: &[model::Edit]| {
        let tried = analysis.edited(edits).unwrap();
        let (item, space) = (item_of(&tried, "left"), tried.space(&found.space).unwrap());
        let Some(model::Kit::Loudspeaker(kit)) = tried.kit_of(item) else {
            panic!("a loudspeaker");
        };
        let ear = |id: &str| {
            let seat = space.seat.iter().find(|seat| seat.id == id).unwrap();
            tried.seat(space, seat).unwrap().ear.value()
        };
        let source = tried.sounding(space, item, kit, ear(&main.seat)).unwrap();
        let at = source.at.value();
        let spares = best.losses.iter().map(|loss| {
            let ear = ear(&loss.seat);
            let off = source.aim.off([0, 1, 2].map(|axis| ear[axis] - at[axis]));
            let loss_db = 6.0206 * (2.0 * off.degrees() / 50.0).powi(2);
            let limit_db = if loss.is_main { 6.0 } else { 9.0 };
            limit_db - loss_db.min(18.0)
        });
        spares.fold(f64::INFINITY, f64::min)
    };
    let [faced, turned] = [&placed, &best.edits].map(|edits| spare(edits));
    assert!(turned > faced + 0.1, "{turned} {faced}");
    // A degree either way is no better.
    let by = |degrees: f64| {
        let mut edit = is_turn[0].clone();
        let table = edit.set.as_mut().unwrap();
        let now: f64 = table["by"]
            .as_str()
            .unwrap()
            .trim_end_matches(" deg")
            .parse()
            .unwrap();
        table["by"] = format!("{} deg", now + degrees).into();
        spare(&[placed.clone(), vec![edit]].concat())
    };
    assert!(by(1.0) <= turned + 1e-9 && by(-1.0) <= turned + 1e-9);
}

#[test]
fn any_point_says_what_stops_it_and_where_the_nearest_place_is() {
    let analysis = read(&tower());
    let left = item_of(&analysis, "left");
    let allowed = loudspeaker_place(&analysis, left).unwrap().best.unwrap();
    let here = loudspeaker_at(&analysis, left, "floor", allowed.at).unwrap();
    assert!(here.stops.is_empty() && here.room_m.unwrap() > 0.0);
    assert!(here.spot.unwrap().at.distance(allowed.at) < 1e-9);
    // In the corner of the west and the north wall.
    let corner = Point2::new(0.1, -0.1);
    let there = loudspeaker_at(&analysis, left, "floor", corner).unwrap();
    let labels: Vec<&str> = there.stops.iter().map(|stop| stop.label.as_str()).collect();
    assert!(
        labels.contains(&"wall west") && labels.contains(&"wall north"),
        "{labels:?}"
    );
    let nearest = there.spot.unwrap();
    assert_ne!(nearest.verdict, Verdict::Fails);
    assert!(nearest.at.distance(corner) <= allowed.at.distance(corner) + 1e-6);
}

#[test]
fn a_cut_overhead_is_drilled_from_a_ladder() {
    let text = cinema(
        "7.1.4",
        FLAT,
        &item(
            "top-front-left",
            "in-ceiling-c1",
            "hung",
            ["west", "2.5 m", "3.4 m"],
        ),
    );
    let analysis = read(&text);
    let found = loudspeaker_place(&analysis, item_of(&analysis, "top-front-left")).unwrap();
    assert_eq!(found.cautions, [Caution::Ladder, Caution::Drilling]);
}
