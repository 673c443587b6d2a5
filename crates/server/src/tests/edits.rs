//! Are changes saved once, merged, taken back and told?

use super::*;

async fn flat(bench: &Bench) -> (String, String) {
    let job = bench.begin_flat().await;
    let path = format!("/api/jobs/{job}");
    let space = bench.get(&path).await.good()["spaces"][0]["id"].clone();
    let light = format!("space.{}.ceiling.height", space.as_str().unwrap());
    (path, light)
}

fn light(op: &str, base: u64, at: &str, set: &str) -> Value {
    json!({ "op": op, "base": base, "edits": [{ "at": at, "set": set }] })
}

#[test]
fn a_change_is_saved_told_undone_and_made_again() {
    on_both(async |bench| {
        let (path, at) = flat(&bench).await;
        let before = bench.get(&format!("{path}/findings")).await.good();
        let saved = bench
            .post(&format!("{path}/edits"), light("a", 1, &at, "2.30 m"))
            .await
            .good();
        assert_eq!(saved["revision"], json!(2));
        assert_eq!(saved["merged"], json!(false));
        assert_eq!(saved["undo"], json!(format!("{at}: 2.30 m")));
        let changed = saved["delta"]["changed"].as_array().unwrap();
        assert!(!changed.is_empty());
        // What the client shows with the delta is what a fresh look shows.
        let after = bench.get(&format!("{path}/findings")).await.good();
        assert_eq!(after["counts"], saved["delta"]["counts"]);
        for finding in changed {
            let same = |one: &&Value| one["key"] == finding["key"];
            let fresh = after["findings"]
                .as_array()
                .unwrap()
                .iter()
                .find(same)
                .unwrap();
            assert_eq!(fresh["because"], finding["because"]);
        }
        let undone = bench
            .post(&format!("{path}/undo"), json!({ "op": "b" }))
            .await
            .good();
        assert_eq!(undone["revision"], json!(3));
        assert_eq!(undone["delta"]["counts"], before["counts"]);
        assert!(undone["redo"].is_string());
        let again = bench
            .post(&format!("{path}/redo"), json!({ "op": "c", "base": 1 }))
            .await
            .good();
        assert_eq!(again["delta"]["counts"], after["counts"]);
        bench
            .post(&format!("{path}/redo"), json!({ "op": "d" }))
            .await
            .bad(409);
    });
}

#[test]
fn the_same_operation_is_done_once() {
    on_both(async |bench| {
        let (path, at) = flat(&bench).await;
        let edits = format!("{path}/edits");
        for _ in 0..2 {
            let saved = bench
                .post(&edits, light("a", 1, &at, "2.30 m"))
                .await
                .good();
            assert_eq!(saved["revision"], json!(2));
        }
        assert_eq!(bench.get(&path).await.good()["revision"], json!(2));
    });
}

#[test]
fn changes_of_two_people_are_put_together_or_set_side_by_side() {
    on_both(async |bench| {
        let (path, at) = flat(&bench).await;
        let edits = format!("{path}/edits");
        bench
            .post(&edits, light("a", 1, &at, "2.40 m"))
            .await
            .good();
        let other = json!({
            "op": "b", "base": 1, "edits": [{ "at": "job.name", "set": "Quay Row" }],
        });
        let merged = bench.post(&edits, other).await.good();
        assert_eq!(
            (&merged["merged"], &merged["contested"]),
            (&json!(true), &json!([]))
        );
        assert_eq!(merged["revision"], json!(3));
        let against = bench
            .post(&edits, light("c", 1, &at, "2.45 m"))
            .await
            .good();
        let contested = &against["contested"][0];
        assert_eq!(contested["at"], json!(at));
        assert_eq!(contested["earlier"]["text"], json!("2.40 m"));
        assert_eq!(contested["later"]["text"], json!("2.45 m"));
        let job = bench.get(&path).await.good();
        assert_eq!(job["contested"].as_array().unwrap().len(), 1);
        let id = contested["id"].as_str().unwrap();
        let keep = json!({ "op": "d", "keep": "earlier" });
        bench
            .post(&format!("{path}/contested/{id}"), keep.clone())
            .await
            .good();
        let job = bench.get(&path).await.good();
        assert_eq!(job["contested"], json!([]));
        assert_eq!(bench.get(&format!("{path}/file")).await.status, 200);
        let keep = json!({ "op": "e", "keep": "later" });
        bench
            .post(&format!("{path}/contested/{id}"), keep)
            .await
            .bad(409);
    });
}

#[test]
fn a_change_that_can_not_be_saved_is_refused_and_says_what_is_kept() {
    on_both(async |bench| {
        let (path, at) = flat(&bench).await;
        let edits = format!("{path}/edits");
        let says = bench
            .post(&edits, light("a", 1, &at, "bright"))
            .await
            .bad(422);
        assert_eq!(says["at"], json!(at));
        let nowhere = light("b", 1, "space.attic.ceiling.height", "2.40 m");
        bench.post(&edits, nowhere).await.bad(422);
        assert_eq!(bench.get(&path).await.good()["revision"], json!(1));
        bench
            .post(&format!("{path}/undo"), json!({ "op": "c" }))
            .await
            .bad(409);
    });
}

#[test]
fn history_names_and_compares_revisions() {
    on_both(async |bench| {
        let (path, at) = flat(&bench).await;
        bench
            .post(&format!("{path}/edits"), light("a", 1, &at, "2.30 m"))
            .await
            .good();
        let name = format!("{path}/revisions/1/name");
        let named = bench.post(&name, json!({ "name": "as quoted" })).await;
        assert_eq!(named.status, 204);
        let history = bench.get(&format!("{path}/history")).await.good();
        let numbers: Vec<_> = (history.as_array().unwrap().iter())
            .map(|line| &line["n"])
            .collect();
        assert_eq!(numbers, [&json!(2), &json!(1)]);
        assert_eq!(history[1]["name"], json!("as quoted"));
        let between = bench
            .get(&format!("{path}/compare?from=1&to=2"))
            .await
            .good();
        assert_eq!(between["facts"].as_array().unwrap().len(), 1);
        assert_eq!(between["facts"][0]["at"], json!(at));
        assert!(!between["findings"].as_array().unwrap().is_empty());
        bench
            .get(&format!("{path}/compare?from=1&to=5"))
            .await
            .bad(404);
    });
}

#[test]
fn a_contested_fact_has_a_name_for_people() {
    on_both(async |bench| {
        let (path, at) = flat(&bench).await;
        let edits = format!("{path}/edits");
        for (op, set) in [("a", "2.40 m"), ("b", "2.45 m")] {
            bench.post(&edits, light(op, 1, &at, set)).await.good();
        }
        let job = bench.get(&path).await.good();
        let space = job["spaces"][0]["name"].as_str().unwrap();
        let title = format!("Height of the ceiling in {space}");
        assert_eq!(job["contested"][0]["title"], json!(title));
        assert_eq!(job["contested"][0]["at"], json!(at));
    });
}

#[tokio::test]
async fn an_answer_tells_how_long_the_server_took() {
    let (bench, job) = Bench::with_flat().await;
    let path = format!("/api/jobs/{job}");
    let prove = json!({ "base": 1, "client": "a", "seq": 1 });
    let nothing = json!({ "op": "a", "base": 1, "edits": [] });
    for (path, asked) in [
        (format!("{path}/prove"), prove),
        (format!("{path}/edits"), nothing),
    ] {
        let answer = bench.post(&path, asked).await;
        let share = answer.headers["server-timing"].to_str().unwrap();
        let ms: f64 = share.strip_prefix("server;dur=").unwrap().parse().unwrap();
        assert!(ms > 0.0, "{share}");
    }
}

#[test]
fn later_revisions_are_told_to_a_page_that_asks() {
    on_both(async |bench| {
        let (path, at) = flat(&bench).await;
        let since = |n: u64| format!("{path}/history?since={n}");
        assert_eq!(bench.get(&since(1)).await.good(), json!([]));
        for (op, base, set) in [("a", 1, "2.30 m"), ("b", 2, "2.31 m")] {
            let change = light(op, base, &at, set);
            bench.post(&format!("{path}/edits"), change).await.good();
        }
        let later = bench.get(&since(1)).await.good();
        let numbers: Vec<&Value> = (later.as_array().unwrap().iter())
            .map(|line| &line["n"])
            .collect();
        assert_eq!(numbers, [&json!(3), &json!(2)]);
        assert_eq!(bench.get(&since(3)).await.good(), json!([]));
        assert_eq!(bench.get(&since(9)).await.good(), json!([]));
    });
}

#[test]
fn a_wall_takes_what_names_it_along_to_another_name() {
    on_both(async |bench| {
        let (path, _) = flat(&bench).await;
        let document = bench.get(&path).await.good()["document"].clone();
        let space = document["space"][0]["id"].as_str().unwrap().to_owned();
        let wall = document["space"][0]["walls"][0]["id"]
            .as_str()
            .unwrap()
            .to_owned();
        let other = document["space"][0]["walls"][1]["id"]
            .as_str()
            .unwrap()
            .to_owned();
        let at = format!("space.{space}.walls.{wall}.id");
        let edits = format!("{path}/edits");
        let refused = bench
            .post(&edits, light("a", 1, &at, &other))
            .await
            .bad(422);
        assert!(
            refused["message"].as_str().unwrap().contains("already"),
            "{refused}"
        );
        let saved = bench
            .post(&edits, light("b", 1, &at, "long-side"))
            .await
            .good();
        assert_eq!(saved["revision"], json!(2));
        let renamed = bench.get(&path).await.good()["document"].clone();
        assert_eq!(renamed["space"][0]["walls"][0]["id"], json!("long-side"));
        assert_ne!(renamed, document);
        bench
            .post(&format!("{path}/undo"), json!({ "op": "c" }))
            .await
            .good();
        assert_eq!(bench.get(&path).await.good()["document"], document);
    });
}
