//! What holds of every shape of every golden job.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use analysis::Analysis;
use model::{Edit, Seat, Space};

use crate::jobs::{golden, proved};
use view::Scene;

/// Every scene of every golden job, with the job's name and the space's.
fn scenes() -> &'static [(String, Scene)] {
    static SCENES: OnceLock<Vec<(String, Scene)>> = OnceLock::new();
    SCENES.get_or_init(|| {
        let mut scenes = Vec::new();
        for (name, job) in golden() {
            let proved = proved(&job);
            let findings: Vec<_> = proved.findings().collect();
            for space in &job.space {
                let scene = view::scene(proved.analysis(), &findings, &space.id);
                let scene = scene.expect("a space of this job");
                scenes.push((format!("{name}, {}", space.id), scene));
            }
        }
        scenes
    })
}

#[test]
fn every_body_has_an_id_of_its_own() {
    for (name, scene) in scenes() {
        let soffits = scene.soffits.iter().map(|soffit| &soffit.id);
        let ids: Vec<&String> = scene
            .bodies
            .iter()
            .map(|body| &body.id)
            .chain(soffits)
            .collect();
        let distinct: BTreeSet<&&String> = ids.iter().collect();
        assert_eq!(ids.len(), distinct.len(), "{name}");
    }
}

#[test]
fn every_finding_speaks_of_bodies_that_exist() {
    let mut told = 0;
    for (name, job) in golden() {
        let proved = proved(&job);
        let findings: Vec<_> = proved.findings().collect();
        let mut keys = BTreeSet::new();
        for finding in &findings {
            let shown = view::finding(proved.analysis(), finding);
            assert!(keys.insert(shown.key.clone()), "{name}: {}", shown.key);
            let Some(space) = &shown.space else {
                assert!(shown.about.is_empty(), "{name}: {}", shown.key);
                continue;
            };
            let whole = format!("{name}, {space}");
            let of_space = scenes().iter().find(|(name, _)| *name == whole);
            let (_, scene) = of_space.expect("its space");
            let bodies = scene.bodies.iter().map(|body| body.id.as_str());
            let soffits = scene.soffits.iter().map(|soffit| soffit.id.as_str());
            let known: BTreeSet<&str> = bodies.chain(soffits).collect();
            for about in &shown.about {
                assert!(
                    known.contains(about.as_str()),
                    "{name}: {} of {}",
                    about,
                    shown.key
                );
            }
            // What is about nothing is about the space, or a point or band of it.
            let of_space = shown.subject.id.split(['+', '.']).any(|part| part == space);
            assert!(!shown.about.is_empty() || of_space, "{name}: {}", shown.key);
            told += shown.about.len();
        }
    }
    assert!(told > 300, "{told}");
}

#[test]
fn studs_and_blocks_stand_inside_their_wall() {
    let mut studs = 0;
    for (name, scene) in scenes() {
        for wall in &scene.walls {
            for stud in &wall.studs {
                let length = wall
                    .length_m
                    .expect("studs stand on a wall of known length");
                assert!(
                    stud.centre_m - stud.width_m / 2.0 >= -1e-5,
                    "{name}: {}",
                    wall.id
                );
                assert!(
                    stud.centre_m + stud.width_m / 2.0 <= length + 1e-5,
                    "{name}: {}",
                    wall.id
                );
                studs += 1;
            }
            for block in &wall.blocks {
                assert!(
                    block.from_m >= 0.0 && Some(block.to_m) <= wall.length_m,
                    "{name}"
                );
            }
        }
    }
    assert!(studs > 20, "{studs}");
}

#[test]
fn walls_follow_each_other_and_tops_span_them() {
    for (name, scene) in scenes() {
        if !scene.closed {
            continue;
        }
        for (index, wall) in scene.walls.iter().enumerate() {
            let next = &scene.walls[(index + 1) % scene.walls.len()];
            assert_eq!(wall.from, Some(scene.floor[index]), "{name}: {}", wall.id);
            let ([x, y], [u, v]) = (wall.to.expect("closed"), next.from.expect("closed"));
            assert!((x - u).hypot(y - v) < 2e-5, "{name}: {}", wall.id);
            if let (Some(first), Some(last)) = (wall.top.first(), wall.top.last()) {
                assert!(first[0].abs() < 1e-4, "{name}: {}", wall.id);
                assert!(
                    (last[0] - wall.length_m.expect("closed")).abs() < 1e-4,
                    "{name}"
                );
            }
        }
    }
}

#[test]
fn a_scene_stays_small() {
    for (name, scene) in scenes() {
        let bytes = serde_json::to_string(scene).expect("keys are texts").len();
        assert!(bytes < 300_000, "{name}: {bytes} bytes");
    }
}

#[test]
fn every_scene_is_what_its_schema_says() {
    let schema = view::schema_of::<Scene>();
    let parts = schema["properties"].as_object().expect("a table");
    for (name, scene) in scenes() {
        let scene = serde_json::to_value(scene).expect("keys are texts");
        let scene = scene.as_object().expect("a table");
        assert_eq!(scene.len(), parts.len(), "{name}");
        assert!(scene.keys().all(|key| parts.contains_key(key)), "{name}");
    }
}

#[test]
fn everything_drawn_has_words() {
    for (name, scene) in scenes() {
        for body in &scene.bodies {
            assert!(body.says.starts_with(&body.label), "{name}: {}", body.says);
            let drawn = body.outline.is_some() || body.missing.is_some();
            let inside = body.place == view::scene::BodyPlace::Inside;
            assert!(drawn || inside, "{name}: {}", body.id);
            for field in &body.fields {
                assert!(
                    !field.label.is_empty() && !field.help.is_empty(),
                    "{name}: {}",
                    field.at
                );
            }
        }
    }
}

#[test]
fn bodies_are_where_the_checks_take_them_to_be() {
    let near = |a: f64, b: f64| (a - b).abs() < 2e-5;
    let (mut fixtures, mut others) = (0, 0);
    for (name, job) in golden() {
        let analysis = analysis::Analysis::new(job.clone());
        for space in &job.space {
            let scene = view::scene(&analysis, &[], &space.id).expect("a space of this job");
            let body_of = |id: String| {
                let body = scene.bodies.iter().find(|body| body.id == id);
                body.unwrap_or_else(|| panic!("{name}: {id}"))
            };
            let is_at = |id: String, body: &analysis::Body| {
                let shown = body_of(id.clone());
                let ([x, y, _], [u, v]) = (body.centre.value(), shown.centre.expect("placed"));
                assert!(
                    near(x, u) && near(y, v),
                    "{name}: {id}: {x}, {y} and {u}, {v}"
                );
                let (low, high) = (
                    shown.bottom_m.expect("placed"),
                    shown.top_m.expect("placed"),
                );
                let bounds = (body.bottom().value(), body.top().value());
                assert!(
                    near(low, bounds.0) && near(high, bounds.1),
                    "{name}: {id}: {bounds:?}"
                );
            };
            for fixture in &space.fixture {
                if let Ok(body) = analysis.fixture_body(space, fixture) {
                    is_at(format!("fixture:{}", fixture.id), &body);
                    fixtures += 1;
                }
            }
            for (item, kit) in analysis.projectors_in(space) {
                if let Ok(place) = analysis.projector(item, kit) {
                    let shown = body_of(format!("item:{}", item.id));
                    // Its outline is turned to the screen as its case is.
                    let [x, y, _] = place.case.centre.value();
                    let [ax, ay] = place.case.along.value();
                    let [half, _, deep] = place.case.size.clone().map(|side| side.value() / 2.0);
                    let corner = shown.outline.as_ref().expect("placed")[0];
                    assert!(
                        near(corner[0], x - ax * half - ay * deep),
                        "{name}: {corner:?}"
                    );
                    assert!(
                        near(corner[1], y - ay * half + ax * deep),
                        "{name}: {corner:?}"
                    );
                    is_at(shown.id.clone(), &place.case);
                    others += 1;
                }
            }
            for item in analysis.pictures_in(space) {
                if let Ok(picture) = analysis.picture(item) {
                    let rect = body_of(format!("item:{}", item.id))
                        .on_wall
                        .expect("placed");
                    assert!(
                        near(rect.left, picture.outside.left.value()),
                        "{name}: {rect:?}"
                    );
                    assert!(
                        near(rect.top, picture.outside.top.value()),
                        "{name}: {rect:?}"
                    );
                    others += 1;
                }
            }
            for (seat, place) in analysis.seats_in(space) {
                if let Ok(place) = place {
                    let shown = body_of(format!("seat:{}", seat.id));
                    let ([x, y, z], [u, v]) = (place.eye.value(), shown.centre.expect("placed"));
                    // A seat is drawn where the tape found its head; who leans back looks from
                    // behind there.
                    let leans = seat.recline.is_some();
                    let [x, y] = if leans {
                        upright(&analysis, space, seat)
                    } else {
                        [x, y]
                    };
                    assert!(near(x, u) && near(y, v), "{name}: {}", shown.id);
                    assert!(near(z, shown.top_m.expect("eyes")), "{name}: {}", shown.id);
                    others += 1;
                }
            }
        }
    }
    assert!(fixtures > 20 && others > 20, "{fixtures}, {others}");
}

/// The eyes' place in plan with the seat's back upright.
fn upright(analysis: &Analysis, space: &Space, seat: &Seat) -> [f64; 2] {
    let at = format!("space.{}.seat.{}.recline", space.id, seat.id);
    let copy = analysis
        .edited(&[Edit { at, set: None }])
        .expect("it can be taken away");
    let space = copy.space(&space.id).expect("still there");
    let mut seats = copy.seats_in(space);
    let (_, place) = seats
        .find(|(one, _)| one.id == seat.id)
        .expect("still there");
    let [x, y, _] = place.expect("placed").eye.value();
    [x, y]
}

#[test]
fn a_placed_item_is_where_the_sheets_draw_it() {
    const ROUNDING_M: f64 = 2e-5;
    let mut compared = 0;
    for (name, job) in golden() {
        let proved = proved(&job);
        let analysis = proved.analysis();
        for space in &job.space {
            let whole = format!("{name}, {}", space.id);
            let scene = scenes().iter().find(|(name, _)| *name == whole);
            let (_, scene) = scene.expect("its space");
            for item in analysis.items_in(space) {
                let id = format!("item:{}", item.id);
                let body = scene.bodies.iter().find(|body| body.id == id);
                let Some((body, drawn)) = body.zip(analysis.item_body(space, item).ok()) else {
                    continue;
                };
                // A place that the item takes over is not its own.
                let (Some(centre), true) = (body.centre, item.is_placed()) else {
                    continue;
                };
                let [x, y, _] = drawn.centre.value();
                let apart = (centre[0] - x).hypot(centre[1] - y);
                assert!(apart < ROUNDING_M, "{whole}: {id} is {apart} m apart");
                let edges = [(body.bottom_m, drawn.bottom()), (body.top_m, drawn.top())];
                for (shown, drawn) in edges {
                    let apart = (shown.expect("its height") - drawn.value()).abs();
                    assert!(
                        apart < ROUNDING_M,
                        "{whole}: {id} is {apart} m higher or lower"
                    );
                }
                compared += 1;
            }
        }
    }
    assert!(compared > 40, "{compared} items");
}

#[test]
fn a_finding_is_told_alone_as_among_all() {
    for (name, job) in golden() {
        let proved = proved(&job);
        let proof = proved.proof();
        let all = view::findings(proved.analysis(), &proof).findings;
        assert_eq!(all.len(), proof.findings.len(), "{name}");
        for (told, finding) in all.iter().zip(&proof.findings) {
            assert_eq!(*told, view::finding(proved.analysis(), finding), "{name}");
        }
    }
}
