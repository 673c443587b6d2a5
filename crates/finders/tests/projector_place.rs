//! A finder's answer against the checks: nothing inside fails, a step over each edge fails
//! that edge's own check, and thousands of random places say the same.

use std::collections::BTreeMap;
use std::sync::Arc;

use analysis::Analysis;
use checks::Verdict;
use checks::hanging::findings_of_place;
use finders::{Height, ProjectorRegion, exact_place, projector_region};
use geometry::Point2;
use model::{Item, Kit};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A step over an edge, m.
const STEP_M: f64 = 1e-3;
/// Random places in each room; the long run in docs/validation.md asks 10,000.
const PLACES: usize = 150;

fn job(ceiling: &str, extra: &str, shift: &str) -> String {
    format!(
        r#"
format = 1
[job]
name = "Test house"
units = "metric"
[[space]]
id = "den"
walls = [
  {{ id = "north", length = "6 m" }},
  {{ id = "east", length = "4 m" }},
  {{ id = "south", length = "6 m" }},
  {{ id = "west", length = "4 m" }},
]
diagonals = [["north.left", "south.left", "7.2111 m"]]
{ceiling}
[[space.seat]]
id = "left"
at = {{ from = ["west", "4.2 m"], and = ["north", "1.4 m"] }}
eye = "1.1 m"
[[space.seat]]
id = "right"
at = {{ from = ["west", "4.2 m"], and = ["north", "2.6 m"] }}
eye = "1.1 m"
{extra}
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
gain = 1.0
[[kit.projector]]
id = "projector-p3"
size = ["420 mm", "160 mm", "400 mm"]
throw = [1.3, 2.1]
{shift}
lens_right = "60 mm"
lens_diameter = "50 mm"
lumens = 2500
mode_share = 0.7
zoom_share = 0.6
rear_clearance = "150 mm"
side_clearance = "120 mm"
exhaust = "left"
exhaust_clearance = "300 mm"
plug_depth = "60 mm"
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.5 m" }}
[[item]]
id = "projector"
is = "projector-p3"
space = "den"
hung = {{ from = ["west", "3.5 m"], and = ["north", "2 m"], drop = "100 mm" }}
"#
    )
}

const FLAT: &str = r#"ceiling = { shape = "flat", height = "2.5 m" }"#;
const GABLE: &str =
    r#"ceiling = { shape = "gable", ridge = ["west", "east"], eaves = "1.9 m", top = "2.7 m" }"#;
const SHED: &str = r#"ceiling = { shape = "shed", low = "east", eaves = "2.1 m", top = "2.9 m" }"#;
const VALLEY: &str = r#"ceiling = { shape = "planes", join = "highest", planes = [
  { through = [
    { from = ["west", "0 m"], and = ["north", "0 m"], height = "2.9 m" },
    { from = ["west", "6 m"], and = ["north", "0 m"], height = "2.9 m" },
    { from = ["west", "0 m"], and = ["north", "2 m"], height = "2.4 m" },
  ] },
  { through = [
    { from = ["west", "0 m"], and = ["south", "0 m"], height = "2.8 m" },
    { from = ["west", "6 m"], and = ["south", "0 m"], height = "2.8 m" },
    { from = ["west", "0 m"], and = ["south", "2 m"], height = "2.4 m" },
  ] },
] }"#;
const DIAMOND: &str = r#"shift = { up = 100, across = 30, of = "picture", joint = "diamond" }"#;
const ELLIPSE: &str = r#"shift = { up = 100, across = 30, of = "picture", joint = "ellipse" }"#;
const CHART: &str = r#"shift = { up = 100, across = 30, of = "picture", chart = [[30, 0], [12, 40], [8, 80], [0, 100]] }"#;
const OFFSET: &str = r#"offset = 115"#;
/// Fixed: 0.28 × 2 m from the picture, its axis 20 % of the height below the lower edge.
const ULTRA_SHORT: &str = "offset = 120\nlens_forward = \"-120 mm\"";
const THINGS: &str = r#"
[[space.fixture]]
id = "lamp"
kind = "ceiling-light"
hung = { from = ["west", "2.2 m"], and = ["north", "1.5 m"], drop = "0 m" }
size = ["300 mm", "350 mm", "300 mm"]
[[space.soffit]]
id = "duct"
from = ["south", "0 m"]
and = ["east", "0.5 m"]
size = ["2.5 m", "700 mm"]
underside = "2.2 m"
[[space.fixture]]
id = "cupboard"
kind = "furniture"
at = { from = ["east", "0.4 m"], and = ["north", "0.6 m"] }
size = ["700 mm", "2.1 m", "900 mm"]
[[space.fixture]]
id = "way"
kind = "walkway"
at = { from = ["west", "3 m"], and = ["south", "0.5 m"] }
size = ["5 m", "0 m", "600 mm"]
"#;

/// Every room that the finder is held against the checks in, with a height.
fn rooms() -> Vec<(&'static str, String, Height)> {
    vec![
        ("flat", job(FLAT, "", DIAMOND), Height::Drop(0.1)),
        (
            "flat with things",
            job(FLAT, THINGS, ELLIPSE),
            Height::Drop(0.12),
        ),
        ("gable", job(GABLE, "", ELLIPSE), Height::Drop(0.3)),
        (
            "gable with things",
            job(GABLE, THINGS, DIAMOND),
            Height::Drop(0.25),
        ),
        ("shed", job(SHED, THINGS, CHART), Height::Drop(0.15)),
        ("valley", job(VALLEY, "", DIAMOND), Height::Drop(0.12)),
        ("chart", job(FLAT, "", CHART), Height::Drop(0.2)),
        ("fixed offset", job(FLAT, "", OFFSET), Height::Drop(0.19)),
        (
            "on a shelf",
            job(FLAT, THINGS, DIAMOND),
            Height::Above(2.12),
        ),
        (
            "from a cabinet close by",
            job(FLAT, "", ULTRA_SHORT).replace("throw = [1.3, 2.1]", "throw = [0.28, 0.28]"),
            // The lower edge at 0.9375 m, the axis 0.225 m below it, 80 mm over the underside.
            Height::Above(0.6325),
        ),
        ("below joists", mounted(FLAT), Height::Drop(0.15)),
        ("below rafters", mounted(GABLE), Height::Drop(0.3)),
        (
            "on a shelf under a gable",
            job(GABLE, "", DIAMOND),
            Height::Above(2.0),
        ),
    ]
}

fn read(text: &str) -> Analysis {
    match model::read(text, &checks::limit_names()) {
        Ok(job) => Analysis::new(Arc::new(job)),
        Err(problems) => {
            let listed: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("the test's job does not read:\n{}", listed.join("\n"))
        }
    }
}

fn projector(analysis: &Analysis) -> &Item {
    let is_projector = |item: &&Item| matches!(analysis.kit_of(item), Some(Kit::Projector(_)));
    analysis.items().find(is_projector).expect("a projector")
}

/// The checks that fail with the projector at a point.
fn failing(analysis: &Analysis, at: Point2, height: Height) -> BTreeMap<&'static str, String> {
    let item = projector(analysis);
    let edits = exact_place(analysis, item, at, height).expect("walls to measure from");
    let tried = analysis.tried(&edits).expect("the place can be written");
    let item = projector(&tried);
    let space = tried.space_of(item).expect("a room");
    findings_of_place(&tried, space, item)
        .into_iter()
        .filter(|finding| finding.verdict == Verdict::Fails)
        .map(|finding| (finding.check, finding.because.clone()))
        .collect()
}

fn found(analysis: &Analysis, height: Height) -> ProjectorRegion {
    let found = projector_region(analysis, projector(analysis), height).expect("all is known");
    assert!(found.needs.is_empty(), "{:?}", found.needs);
    found
}

/// A box a little wider than what was found.
fn around(found: &ProjectorRegion) -> [f64; 4] {
    let mut ends = [
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
    ];
    for edge in found.region.edges() {
        let Point2 { x, y } = edge.from;
        ends = [
            ends[0].min(x),
            ends[1].max(x),
            ends[2].min(y),
            ends[3].max(y),
        ];
    }
    let [left, right, low, high] = ends;
    let [across, along] = [(right - left).min(0.2), (high - low).min(0.2)];
    [left - across, right + across, low - along, high + along]
}

#[test]
fn random_places_are_judged_as_the_checks_judge_them() {
    let mut random = ChaCha8Rng::seed_from_u64(20);
    for (name, text, height) in rooms() {
        let analysis = read(&text);
        let found = found(&analysis, height);
        assert!(
            !found.region.parts.is_empty(),
            "{name}: {:?}",
            found.stopped_by
        );
        let (mut inside, mut near) = (0, 0);
        let [left, right, low, high] = around(&found);
        for _ in 0..PLACES {
            let at = Point2::new(
                random.random_range(left..right),
                random.random_range(low..high),
            );
            let depth = found.region.depth_m(at);
            if depth.abs() < STEP_M {
                near += 1;
                continue;
            }
            let failing = failing(&analysis, at, height);
            assert_eq!(
                depth > 0.0,
                failing.is_empty(),
                "{name}, {at:?}, {depth} m in: {failing:?}"
            );
            inside += usize::from(depth > 0.0);
        }
        assert!(near < PLACES / 4, "{name}");
        assert!(inside > 0, "{name}: no place of {PLACES} is inside");
    }
}

#[test]
fn a_step_over_each_edge_fails_the_check_of_that_edge_and_a_step_back_none() {
    for (name, text, height) in rooms() {
        let analysis = read(&text);
        let found = found(&analysis, height);
        for edge in found.region.edges() {
            if edge.from.distance(edge.to) < 4.0 * STEP_M {
                continue;
            }
            let way = (edge.to - edge.from).unit().expect("not a point");
            let middle = edge.from.towards(edge.to, 0.5);
            let beside = |by: f64| Point2::new(middle.x - way.y * by, middle.y + way.x * by);
            let stop = edge.stop.as_ref();
            let stop = stop.unwrap_or_else(|| panic!("{name}: nothing stops {edge:?}"));
            let over = failing(&analysis, beside(-STEP_M), height);
            assert!(
                over.contains_key(stop.check),
                "{name}: {stop:?}, {edge:?}: {over:?}"
            );
            let within = failing(&analysis, beside(STEP_M), height);
            // In a narrow neck a step back may cross to the other side.
            if found.region.depth_m(beside(STEP_M)) > STEP_M / 2.0 {
                assert!(within.is_empty(), "{name}: {stop:?}, {edge:?}: {within:?}");
            }
        }
    }
}

#[test]
fn a_mount_bars_drops_that_it_has_not_and_slopes_that_it_cannot_level() {
    let mount = r#"
[[space.construction]]
of = "ceiling"
framing = "concrete"
[[kit.mount]]
id = "mount-m1"
drop = ["250 mm", "400 mm"]
slope_max = "15 deg"
[[item]]
id = "mount"
is = "mount-m1"
space = "den"
"#;
    let text = job(GABLE, mount, ELLIPSE).replace(
        "id = \"projector\"\n",
        "id = \"projector\"\nmount = \"mount\"\n",
    );
    let analysis = read(&text);
    // The gable rises 0.8 m over 2 m: 21.8°.
    let steep = projector_region(&analysis, projector(&analysis), Height::Drop(0.3)).unwrap();
    assert!(steep.region.parts.is_empty());
    let labels: Vec<&str> = steep
        .stopped_by
        .iter()
        .map(|stop| stop.label.as_str())
        .collect();
    assert_eq!(labels, ["the slope that its mount levels"]);
    let gentle = read(&text.replace("15 deg", "30 deg"));
    assert!(!found(&gentle, Height::Drop(0.3)).region.parts.is_empty());
    let short = projector_region(&gentle, projector(&gentle), Height::Drop(0.2)).unwrap();
    let labels: Vec<&str> = short
        .stopped_by
        .iter()
        .map(|stop| stop.label.as_str())
        .collect();
    assert_eq!(labels, ["the drop that its mount has"]);
    // Neither alone would leave a place.
    let both = projector_region(&analysis, projector(&analysis), Height::Drop(0.2)).unwrap();
    assert!(both.stopped_by.is_empty(), "{:?}", both.stopped_by);
    let mut labels: Vec<&str> = (both.stopped_together.iter())
        .map(|stop| stop.label.as_str())
        .collect();
    labels.sort_unstable();
    let expected = [
        "the drop that its mount has",
        "the slope that its mount levels",
    ];
    assert_eq!(labels, expected);
    let place = Point2::new(3.6, -2.0);
    assert!(failing(&gentle, place, Height::Drop(0.2)).contains_key("projector-mount"));
    assert!(failing(&analysis, place, Height::Drop(0.3)).contains_key("projector-mount"));
}

/// Joists 610 mm apart along the north wall, and a plate whose screws are 300 mm apart.
const JOISTS: &str = r#"
[[space.construction]]
of = "ceiling"
framing = "joist"
spacing = "610 mm"
along = "north"
first_from_left = "250 mm"
[[kit.mount]]
id = "mount-m1"
drop = ["50 mm", "900 mm"]
slope_max = "30 deg"
screw_spread = "300 mm"
[[item]]
id = "mount"
is = "mount-m1"
space = "den"
"#;

fn mounted(ceiling: &str) -> String {
    job(ceiling, JOISTS, ELLIPSE).replace(
        "id = \"projector\"\n",
        "id = \"projector\"\nmount = \"mount\"\n",
    )
}

#[test]
fn between_the_joists_no_mount_can_be_screwed() {
    let analysis = read(&mounted(FLAT));
    let found = found(&analysis, Height::Drop(0.15));
    let of_joists = |edge: &&finders::Edge| {
        let stop = edge.stop.as_ref();
        stop.is_some_and(|stop| stop.check == "mount-joists")
    };
    assert!(found.region.edges().filter(of_joists).count() >= 2);
    // Joists at 0.25 + 0.6096 n m off the north wall (24 in): within 150 mm of one.
    for edge in found.region.edges().filter(of_joists) {
        let off = -edge.from.y;
        let nearest = ((off - 0.25) / 0.6096).round() * 0.6096 + 0.25;
        assert!(((off - nearest).abs() - 0.15).abs() < 1e-6, "{edge:?}");
    }
}

#[test]
fn a_dim_picture_bars_the_long_end_of_the_zoom() {
    // Of 2500 lm the mode keeps 0.7 and age 0.5; on 2.25 m² that is 123.8 cd/m² at the wide
    // end. 100 cd/m² are asked for: 0.808 of the light, which is 0.192/0.4 of the way from
    // 1.3 to 2.1 widths, 1.684 × 2 m.
    let text = job(FLAT, "", DIAMOND).replace(
        "format = 1\n",
        "format = 1\nrules = { screen_luminance_min = \"100 cd/m²\", reason = { screen_luminance_min = \"a bright room\" } }\n",
    );
    let analysis = read(&text);
    let found = found(&analysis, Height::Drop(0.1));
    let fresh = 2500.0 * 0.35 / (std::f64::consts::PI * 2.25);
    let throw = 1.3 + 0.8 * (1.0 - 100.0 / fresh) / 0.4;
    let edges: Vec<&finders::Edge> = found
        .region
        .edges()
        .filter(|edge| {
            let stop = edge.stop.as_ref();
            stop.is_some_and(|stop| stop.check == "screen-luminance")
        })
        .collect();
    assert!(!edges.is_empty());
    for edge in edges {
        // The lens is half a depth before the middle of the case.
        assert!((edge.from.x - 0.2 - throw * 2.0).abs() < 2e-3, "{edge:?}");
    }
}

#[test]
fn each_stretch_of_drops_ends_where_the_region_does() {
    for (name, text, _) in rooms() {
        let analysis = read(&text);
        let item = projector(&analysis);
        let Ok(whole) = finders::projector_place(&analysis, item, Some(Height::Drop(0.3))) else {
            panic!("{name}")
        };
        let has_place = |drop_m: f64| {
            let found = projector_region(&analysis, item, Height::Drop(drop_m));
            !found.expect("all is known").region.parts.is_empty()
        };
        for [short, long] in whole.drops_m {
            assert!(
                has_place(short) && has_place(long),
                "{name}: {short} {long}"
            );
            assert!(has_place((short + long) / 2.0), "{name}: {short} {long}");
            assert!(short < 1e-9 || !has_place(short - 2e-3), "{name}: {short}");
            assert!(
                long > 2.0 - 1e-9 || !has_place(long + 2e-3),
                "{name}: {long}"
            );
        }
    }
}

#[test]
fn the_place_to_use_fails_nothing() {
    for (name, text, height) in rooms() {
        let analysis = read(&text);
        let found = found(&analysis, height);
        let place = found.place.expect("a place");
        assert_ne!(place.verdict, Verdict::Fails, "{name}: {}", place.because);
    }
}
