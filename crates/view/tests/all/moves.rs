//! Does a drag end where it was let go, and leave alone what stays?

use std::sync::Arc;

use crate::jobs::{golden, proved, read};
use analysis::Analysis;
use model::Units;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use view::scene::{Body, Scene, Surface};
use view::{Move, MoveTo, Moved, edits_of};

const SEED: u64 = 20_260_504;

fn scene_of(analysis: &Analysis, space: &str) -> Scene {
    view::scene(analysis, &[], space).expect("a space of this job")
}

fn step_m(analysis: &Analysis) -> f64 {
    match analysis.units() {
        Units::Imperial => 0.0254 / 8.0,
        Units::Metric => 0.001,
    }
}

fn middle(body: &Body) -> Option<[f64; 2]> {
    let rect = body.on_wall?;
    Some([
        (rect.left + rect.right) / 2.0,
        (rect.bottom + rect.top) / 2.0,
    ])
}

fn move_to(body: &Body, space: &str, to: MoveTo) -> Move {
    Move {
        of: body.id.clone(),
        space: Some(space.to_owned()),
        to,
    }
}

fn edited(analysis: &Analysis, moved: &Moved) -> Analysis {
    let edits: Vec<model::Edit> = moved.edits.iter().cloned().map(model::Edit::from).collect();
    analysis
        .edited(&edits)
        .expect("edits of a move are accepted")
}

/// Each body that can be dragged, in each space of each golden job.
fn each_body(mut check: impl FnMut(&str, &Analysis, &Scene, &Body)) {
    for (name, job) in golden() {
        let analysis = Analysis::new(Arc::clone(&job));
        for space in &job.space {
            let scene = scene_of(&analysis, &space.id);
            for body in &scene.bodies {
                let name = format!("{name}, {}, {}", space.id, body.id);
                check(&name, &analysis, &scene, body);
            }
        }
    }
}

#[test]
fn what_is_let_go_where_it_was_is_not_written() {
    let mut tried = 0;
    each_body(|name, analysis, scene, body| {
        let height_m = body
            .bottom_m
            .zip(body.top_m)
            .map(|(low, high)| (low + high) / 2.0);
        let to = match (body.moves, middle(body), body.centre) {
            (Some(Surface::Wall), Some([along_m, height_m]), _) => MoveTo::Wall {
                wall: body.wall.clone().expect("it is on a wall"),
                along_m,
                height_m,
            },
            (Some(Surface::Floor | Surface::Ceiling), _, Some([x, y])) => MoveTo::Plan {
                x,
                y,
                height_m: height_m.filter(|_| !body.id.starts_with("seat:")),
            },
            _ => return,
        };
        let moved = edits_of(analysis, &move_to(body, &scene.space, to)).expect("it can be moved");
        assert_eq!(moved.edits, [], "{name}: {}", moved.says);
        assert!(!moved.held, "{name}");
        tried += 1;
    });
    assert!(tried > 80, "{tried}");
}

#[test]
fn a_thing_on_a_wall_ends_where_it_is_let_go() {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let (mut tried, mut held) = (0, 0);
    each_body(|name, analysis, scene, body| {
        if body.moves != Some(Surface::Wall) || !scene.closed {
            return;
        }
        for _ in 0..6 {
            let wall = &scene.walls[random.random_range(0..scene.walls.len())];
            let length = wall.length_m.expect("a closed room");
            let along_m = random.random_range(-0.2..length + 0.2);
            let height_m = random.random_range(0.0..2.6);
            let to = MoveTo::Wall {
                wall: wall.id.clone(),
                along_m,
                height_m,
            };
            let moved = edits_of(analysis, &move_to(body, &scene.space, to)).expect("it moves");
            let after = scene_of(&edited(analysis, &moved), &scene.space);
            let now = after
                .bodies
                .iter()
                .find(|one| one.id == body.id)
                .expect("still there");
            assert_eq!(now.wall.as_ref(), Some(&wall.id), "{name}");
            let Some(rect) = now.on_wall else { continue };
            let [along, up] = middle(now).expect("on its wall");
            // What stops it within half a step is not told, and places are written to half a
            // step.
            let near = step_m(analysis) + 2e-5;
            if moved.held {
                held += 1;
                // Inside as far as it is small enough.
                if rect.right - rect.left < length {
                    let slack = near;
                    assert!(
                        rect.left > -slack && rect.right < length + slack,
                        "{name}: {rect:?}"
                    );
                }
            } else {
                assert!(
                    (along - along_m).abs() < near,
                    "{name}: {along} for {along_m}"
                );
                assert!((up - height_m).abs() < near, "{name}: {up} for {height_m}");
            }
            tried += 1;
        }
    });
    assert!(
        tried > 300 && held > 20 && held < tried / 2,
        "{held} of {tried}"
    );
}

#[test]
fn a_thing_in_plan_ends_where_it_is_let_go() {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let (mut tried, mut held) = (0, 0);
    each_body(|name, analysis, scene, body| {
        if !matches!(body.moves, Some(Surface::Floor | Surface::Ceiling)) || !scene.closed {
            return;
        }
        for _ in 0..6 {
            let within = |k: usize| scene.bounds.min[k]..scene.bounds.max[k];
            let (x, y) = (
                random.random_range(within(0)),
                random.random_range(within(1)),
            );
            let to = MoveTo::Plan {
                x,
                y,
                height_m: None,
            };
            let moved = edits_of(analysis, &move_to(body, &scene.space, to)).expect("it moves");
            let after = scene_of(&edited(analysis, &moved), &scene.space);
            let now = after
                .bodies
                .iter()
                .find(|one| one.id == body.id)
                .expect("still there");
            let [u, v] = now.centre.expect("it is placed");
            if moved.held {
                held += 1;
            } else {
                let away = (u - x).hypot(v - y);
                assert!(away < step_m(analysis), "{name}: {away} away from {x}, {y}");
            }
            tried += 1;
        }
    });
    assert!(
        tried > 150 && held > 10 && held < tried / 2,
        "{held} of {tried}"
    );
}

#[test]
fn a_hanging_thing_ends_at_its_height() {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let mut tried = 0;
    each_body(|name, analysis, scene, body| {
        let (Some(Surface::Ceiling), Some([x, y])) = (body.moves, body.centre) else {
            return;
        };
        let (Some(low), Some(high)) = (body.bottom_m, body.top_m) else {
            return;
        };
        for _ in 0..6 {
            let height_m = random.random_range(0.0..scene.height_m);
            let to = MoveTo::Plan {
                x,
                y,
                height_m: Some(height_m),
            };
            let moved = edits_of(analysis, &move_to(body, &scene.space, to)).expect("it moves");
            let after = scene_of(&edited(analysis, &moved), &scene.space);
            let now = after
                .bodies
                .iter()
                .find(|one| one.id == body.id)
                .expect("still there");
            let up = (now.bottom_m.expect("placed") + now.top_m.expect("placed")) / 2.0;
            if (high - low).abs() < 1e-9 {
                assert_eq!(moved.edits, [], "{name} sits in the ceiling");
            } else if !moved.held {
                let near = step_m(analysis) / 2.0 + 2e-5;
                assert!((up - height_m).abs() < near, "{name}: {up} for {height_m}");
            }
            tried += 1;
        }
    });
    assert!(tried > 30, "{tried}");
}

#[test]
fn the_text_is_edited_as_the_job_in_memory_is() {
    let folder = format!("{}/../../jobs", env!("CARGO_MANIFEST_DIR"));
    let path = format!("{folder}/harbour-lane-surveyed.toml");
    let text = std::fs::read_to_string(path).expect("a golden job");
    let analysis = Analysis::new(read(&text));
    let mut tried = 0;
    for space in ["living", "loft", "terrace"] {
        let scene = scene_of(&analysis, space);
        for body in &scene.bodies {
            let to = match body.moves {
                Some(Surface::Wall) => MoveTo::Wall {
                    wall: scene.walls[0].id.clone(),
                    along_m: 2.0,
                    height_m: 1.2,
                },
                Some(_) => MoveTo::Plan {
                    x: 2.0,
                    y: -1.5,
                    height_m: None,
                },
                None => continue,
            };
            let moved = edits_of(&analysis, &move_to(body, space, to)).expect("it moves");
            let edits: Vec<model::Edit> =
                moved.edits.iter().cloned().map(model::Edit::from).collect();
            let changed = model::edited_text(&text, &edits).expect("edits of a text");
            let written = serde_json::to_value(&*read(&changed)).expect("a document");
            let in_memory = edited(&analysis, &moved);
            let in_memory = serde_json::to_value(in_memory.job()).expect("a document");
            assert_eq!(written, in_memory, "{}", body.id);
            tried += 1;
        }
    }
    assert!(tried > 25, "{tried}");
}

#[test]
fn what_hangs_on_the_same_arm_goes_along() {
    let (_, job) = golden()
        .into_iter()
        .find(|(name, _)| name == "harbour-lane-surveyed")
        .expect("the demo");
    let analysis = Analysis::new(job);
    let asked = Move {
        of: "item:tv".to_owned(),
        space: None,
        to: MoveTo::Wall {
            wall: "hearth".to_owned(),
            along_m: 2.5908 + 0.0254,
            height_m: 1.8542,
        },
    };
    let moved = edits_of(&analysis, &asked).expect("it moves");
    let told: Vec<String> = moved
        .edits
        .iter()
        .map(|edit| format!("{} = {:?}", edit.at, edit.set))
        .collect();
    assert_eq!(
        told,
        [
            r#"item.tv.on.from_left = Some(String("8' 7\""))"#,
            r#"item.tv-arm.on.from_left = Some(String("8' 7\""))"#,
            r#"item.bar.on.from_left = Some(String("8' 7\""))"#,
        ]
    );
    assert!(
        moved
            .says
            .ends_with("with Arm over the fire and Bar under the display"),
        "{}",
        moved.says
    );
}

#[test]
fn a_move_that_can_not_be_made_says_why() {
    let (_, job) = golden()
        .into_iter()
        .find(|(name, _)| name == "harbour-lane-surveyed")
        .expect("the demo");
    let analysis = Analysis::new(job);
    let refused = |of: &str, to: MoveTo| {
        let asked = Move {
            of: of.to_owned(),
            space: None,
            to,
        };
        edits_of(&analysis, &asked)
            .expect_err("it can't")
            .to_string()
    };
    let plan = |x: f64| MoveTo::Plan {
        x,
        y: -1.0,
        height_m: None,
    };
    let wall = |wall: &str| MoveTo::Wall {
        wall: wall.to_owned(),
        along_m: 1.0,
        height_m: 1.0,
    };
    assert_eq!(
        refused("item:tv", plan(1.0)),
        "Display over the fire is on a wall"
    );
    assert_eq!(
        refused("item:projector", wall("screen-wall")),
        "Projector is on no wall"
    );
    assert_eq!(
        refused("item:receiver", plan(1.0)),
        "Receiver has no place of its own"
    );
    assert_eq!(refused("item:tv", wall("attic")), "there is no wall attic");
    assert_eq!(
        refused("item:ghost", plan(1.0)),
        "there is no item ghost in this job"
    );
    assert_eq!(refused("ghost", plan(1.0)), "there is no ghost in this job");
    assert_eq!(
        refused("seat:table", plan(f64::NAN)),
        "the place is not within a house"
    );
}

#[test]
fn a_move_reads_as_the_page_sends_it() {
    let wall: Move =
        serde_json::from_str(r#"{"of":"item:tv","wall":"hearth","along_m":2.5,"height_m":1.8}"#)
            .expect("a move");
    assert!(matches!(wall.to, MoveTo::Wall { .. }));
    let plan: Move = serde_json::from_str(r#"{"of":"seat:table","space":"terrace","x":1,"y":-2}"#)
        .expect("a move");
    assert_eq!(
        plan.to,
        MoveTo::Plan {
            x: 1.0,
            y: -2.0,
            height_m: None
        }
    );
}

#[test]
fn findings_of_a_move_back_are_those_before_it() {
    let (_, job) = golden()
        .into_iter()
        .find(|(name, _)| name == "metric-flat")
        .expect("a golden job");
    let before = proved(&job);
    let scene = scene_of(before.analysis(), "main");
    let body = scene
        .bodies
        .iter()
        .find(|body| body.moves == Some(Surface::Wall) && body.id.starts_with("item:"))
        .expect("an item on a wall");
    let [along_m, height_m] = middle(body).expect("it is placed");
    let to = |along_m: f64| MoveTo::Wall {
        wall: body.wall.clone().expect("a wall"),
        along_m,
        height_m,
    };
    let out = edits_of(
        before.analysis(),
        &move_to(body, "main", to(along_m + 0.05)),
    )
    .expect("it moves");
    let away = edited(before.analysis(), &out);
    let back = edits_of(&away, &move_to(body, "main", to(along_m))).expect("it moves back");
    assert!(!out.edits.is_empty() && !back.edits.is_empty());
    let job = edited(&away, &back);
    let after = proved(&Arc::new(job.job().clone()));
    let delta = view::delta_between(&before, &after);
    assert_eq!((delta.changed.len(), delta.gone.len()), (0, 0));
}
