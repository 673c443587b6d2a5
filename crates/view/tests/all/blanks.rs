//! Does a room with any one fact still to measure, or measured wildly wrong, still show what
//! is known?

use crate::jobs::golden;
use analysis::Analysis;
use model::Edit;
use view::scene::{BodyPlace, Surface};
use view::{Move, MoveTo, edits_of};

/// Every scene and walk of a job, and a drag of every body.
fn show_all(name: &str, analysis: &Analysis, changed: &str) {
    let is_changed = |space: &&std::sync::Arc<model::Space>| {
        let own = format!("space.{}.", space.id);
        changed.starts_with("item.") || changed.starts_with(&own)
    };
    for space in analysis.job().space.iter().filter(is_changed) {
        let scene = view::scene(analysis, &[], &space.id).expect("a space of this job");
        let walk = view::walk(analysis, &[], &space.id).expect("a space of this job");
        assert_eq!(scene.walls.len(), walk.wall_strip.len(), "{name}");
        assert!(
            scene.closed || scene.gap_text.is_some(),
            "{name}: open without a word"
        );
        assert!(scene.height_m.is_finite(), "{name}");
        for body in &scene.bodies {
            let told = body.missing.is_some() || body.place == BodyPlace::Inside;
            assert!(body.outline.is_some() || told, "{name}: {}", body.id);
            let is_true = body
                .outline
                .iter()
                .flatten()
                .flatten()
                .all(|part| part.is_finite());
            assert!(is_true, "{name}: {}", body.id);
            let to = match body.moves {
                None => continue,
                Some(Surface::Wall) => MoveTo::Wall {
                    wall: scene.walls[0].id.clone(),
                    along_m: 1.0,
                    height_m: 1.0,
                },
                Some(_) => MoveTo::Plan {
                    x: 1.0,
                    y: -1.0,
                    height_m: None,
                },
            };
            let asked = Move {
                of: body.id.clone(),
                space: Some(space.id.clone()),
                to,
            };
            if let Ok(moved) = edits_of(analysis, &asked) {
                let edits: Vec<Edit> = moved.edits.into_iter().map(Edit::from).collect();
                let edited = analysis.edited(&edits);
                assert!(edited.is_ok(), "{name}: {}: {edits:?}", body.id);
            }
        }
    }
}

fn with_each_fact_as(text: &str, every: usize) -> usize {
    let mut tried = 0;
    for (name, job) in golden() {
        let whole = Analysis::new(job.clone());
        let is_here = |path: &str| path.starts_with("space.") || path.starts_with("item.");
        let paths = job
            .measurements
            .iter()
            .map(|measurement| measurement.path.clone());
        for path in paths.filter(|path| is_here(path)).step_by(every) {
            if let Ok(edited) = whole.edited(&[Edit::set(&path, text)]) {
                show_all(&format!("{name}, {path} = {text}"), &edited, &path);
                tried += 1;
            }
        }
    }
    tried
}

#[test]
fn any_one_fact_may_be_blank() {
    assert!(with_each_fact_as("?", 5) > 40);
}

#[test]
fn any_one_length_may_be_nothing() {
    assert!(with_each_fact_as("0", 13) > 10);
}

#[test]
fn any_one_length_may_be_far_too_long() {
    assert!(with_each_fact_as("900 m", 13) > 10);
}

#[test]
fn any_one_length_may_be_negative() {
    assert!(with_each_fact_as("-3 m", 13) > 10);
}

#[test]
fn a_job_of_nothing_has_nothing_to_show() {
    let job = crate::jobs::read("format = 1\n[job]\nname = \"x\"\n");
    let analysis = Analysis::new(job);
    assert!(view::scene(&analysis, &[], "den").is_none());
    assert!(view::walk(&analysis, &[], "den").is_none());
}
