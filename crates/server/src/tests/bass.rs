//! Is bass solved once, told while it works, and answered at once afterwards?

use super::*;
use crate::Shelf;

fn path(job: &str) -> String {
    format!("/api/jobs/{job}/spaces/main/bass")
}

/// Solves and waits until it is done.
async fn solve(bench: &Bench, job: &str) {
    let begins = std::time::Instant::now();
    let begun = bench.post(&format!("{}/solve", path(job)), json!({})).await;
    let key = begun.good()["key"].as_str().unwrap().to_owned();
    let events = bench.get(&format!("/api/solves/{key}/events")).await;
    let events = String::from_utf8_lossy(&events.bytes).into_owned();
    assert!(events.contains("event: done"), "{events}");
    // Ten times a second within each of some stages.
    let told = events.matches("event: progress").count() as f64;
    let most = 10.0 * begins.elapsed().as_secs_f64() + 10.0;
    assert!(told <= most, "{told} told where {most} is enough");
}

/// The whole set as it is printed now.
#[cfg(feature = "sheets")]
async fn printed(bench: &Bench, job: &str) -> usize {
    let print = json!({ "paper": "a4", "date": "" });
    let begun = bench.post(&format!("/api/jobs/{job}/print"), print).await;
    let key = begun.good()["key"].as_str().unwrap().to_owned();
    bench.get(&format!("/api/solves/{key}/events")).await;
    let pdf = bench.get(&format!("/api/solves/{key}/result.pdf")).await;
    assert!(pdf.bytes.starts_with(b"%PDF-"));
    pdf.bytes.len()
}

#[cfg(feature = "sheets")]
#[tokio::test]
async fn the_printed_set_holds_the_bass_once_it_is_solved() {
    let (bench, job) = Bench::with_flat().await;
    let folder = tempfile::tempdir().unwrap();
    bench.state.keep_solves(Shelf::new(folder.path()));
    let before = printed(&bench, &job).await;
    solve(&bench, &job).await;
    let after = printed(&bench, &job).await;
    // A page with curves takes some 10 kB.
    assert!(
        after > before + 4_000,
        "{before} bytes before, {after} after"
    );
}

#[tokio::test]
async fn a_solve_answers_places_curves_and_fields() {
    let (bench, job) = Bench::with_flat().await;
    let unsolved = bench.get(&path(&job)).await.good();
    assert_eq!(unsolved["state"], "unsolved");
    assert!(unsolved["study"].is_null());
    let sub = json!({ "subs": [{ "x": 1.0, "y": 1.0 }] });
    let heard = format!("{}/heard", path(&job));
    bench.post(&heard, sub.clone()).await.bad(409);

    solve(&bench, &job).await;
    let solved = bench.get(&path(&job)).await.good();
    assert_eq!(solved["state"], "solved");
    let study = &solved["study"];
    let seats = study["seats"].as_array().unwrap().len();
    assert_eq!(seats, 2);
    assert_eq!(study["best"].as_array().unwrap().len(), 4);
    assert!(study["best"][0]["ranked"][0]["put"]["moves"][0]["of"] == "item:sub");

    // As planned, and the same tried: one answer.
    let planned = &study["planned"];
    let [x, y, z] = [0, 1, 2].map(|axis| planned["subs"][0]["at"][axis].clone());
    let tried = json!({ "subs": [{ "x": x, "y": y, "z": z }] });
    let told = bench.post(&heard, tried.clone()).await.good();
    assert_eq!(told["arrangement"]["levels_db"], planned["levels_db"]);
    let field = json!({ "subs": tried["subs"], "hz": 40.0 });
    let field = bench.post(&format!("{}/field", path(&job)), field).await;
    let field = field.good();
    let points = field["levels_db"].as_array().unwrap();
    let columns = field["columns"].as_u64().unwrap() as usize;
    assert!(columns > 10 && points.len() % columns == 0);
    assert!(points.iter().any(|level| level.is_number()));

    let outside = json!({ "subs": [{ "x": -40.0, "y": 0.0 }] });
    bench.post(&heard, outside).await.bad(422);
    let shrill = json!({ "subs": [{ "x": 1.0, "y": 1.0 }], "hz": 5000.0 });
    bench
        .post(&format!("{}/field", path(&job)), shrill)
        .await
        .bad(422);
}

#[tokio::test]
async fn a_finish_asks_to_compare_again_and_a_moved_sub_does_not() {
    let (bench, job) = Bench::with_flat().await;
    let folder = tempfile::tempdir().unwrap();
    bench.state.keep_solves(Shelf::new(folder.path()));
    solve(&bench, &job).await;
    let first = bench.get(&path(&job)).await.good();
    let put = first["study"]["best"][0]["ranked"][0]["put"].clone();
    let edit = |base: u64, edits: Value, moves: Value| {
        let body = json!({ "op": format!("op-{base}-{}", edits), "base": base, "edits": edits, "moves": moves });
        let url = format!("/api/jobs/{job}/edits");
        let bench = &bench;
        async move {
            bench.post(&url, body).await.good()["revision"]
                .as_u64()
                .unwrap()
        }
    };
    let revision = bench.get(&format!("/api/jobs/{job}")).await.good()["revision"]
        .as_u64()
        .unwrap();
    let revision = edit(revision, put["edits"].clone(), put["moves"].clone()).await;
    let moved = bench.get(&path(&job)).await.good();
    assert_eq!(moved["state"], "solved");
    let spread = |study: &Value| study["spread_db"].as_f64().unwrap();
    let best = &first["study"]["best"][0]["ranked"][0];
    // The tape's marks are a millimetre apart.
    assert!((spread(&moved["study"]["planned"]) - spread(best)).abs() < 0.05);

    let softer = json!([{ "at": "space.main.finishes.floor", "set": "carpet_heavy_on_concrete" }]);
    edit(revision, softer, json!([])).await;
    assert_eq!(bench.get(&path(&job)).await.good()["state"], "stale");
    // The modes are kept as a file, which another program finds.
    let kept = std::fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(kept, 1);
    solve(&bench, &job).await;
    assert_eq!(bench.get(&path(&job)).await.good()["state"], "solved");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), kept);
}

#[tokio::test]
async fn what_cannot_be_asked_is_refused() {
    let (bench, job) = Bench::with_flat().await;
    let attic = format!("/api/jobs/{job}/spaces/attic/bass");
    bench.get(&attic).await.bad(404);
    let begin = format!("{}/solve", path(&job));
    bench
        .post(&begin, json!({ "level_db": 900.0 }))
        .await
        .bad(422);
    let heard = format!("{}/heard", path(&job));
    bench.post(&heard, json!({ "subs": [] })).await.bad(422);
    solve(&bench, &job).await;
    let outside = json!({ "subs": [{ "x": -40.0, "y": 0.0 }] });
    bench.post(&heard, outside).await.bad(422);
    let field = json!({ "subs": [{ "x": 1.0, "y": 1.0 }], "hz": 5000.0 });
    bench
        .post(&format!("{}/field", path(&job)), field)
        .await
        .bad(422);
}
