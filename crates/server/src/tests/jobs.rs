//! Do jobs begin, come in and go out whole?

use super::*;

#[tokio::test]
async fn the_demo_is_begun_listed_and_shown() {
    let bench = Bench::new().await;
    let none = bench.get("/api/jobs").await.good();
    assert_eq!(none, json!([]));
    let begun = bench.post("/api/jobs", json!({ "from": "demo" })).await;
    assert_eq!(begun.status, 201);
    let id = begun.good()["id"].as_str().unwrap().to_owned();
    for _ in 0..2 {
        let list = bench.get("/api/jobs").await.good();
        assert_eq!(list[0]["id"], json!(id));
        assert_eq!(list[0]["by"], json!("Ada's laptop"));
        assert_eq!(list[0]["revision"], json!(1));
        assert!(list[0]["counts"]["fails"].as_u64().unwrap() > 0, "{list}");
        assert_eq!(list[0]["next"], json!("walk"));
    }
    let job = bench.get(&format!("/api/jobs/{id}")).await.good();
    assert_eq!(job["units"], json!("imperial"));
    assert_eq!(job["document"]["format"], json!(1));
    assert_eq!(job["undo"], Value::Null);
    assert!(job["spaces"].as_array().unwrap().len() > 1);
    assert!(job["by_moment"][0]["open"].as_u64().unwrap() > 0);
    let file = bench.get(&format!("/api/jobs/{id}/file")).await;
    assert_eq!(
        file.bytes,
        include_str!("../../../../jobs/harbour-lane-surveyed.toml")
    );
}

#[tokio::test]
async fn a_blank_job_asks_for_what_was_left_out() {
    let bench = Bench::new().await;
    let new = json!({
        "from": "blank", "name": "Quay Row", "room": "Den", "units": "metric",
        "lengths": ["4.2 m", "3 m", "4.2 m", ""],
    });
    let id = bench.post("/api/jobs", new).await.good();
    let walk = format!("/api/jobs/{}/spaces/den/walk", id["id"].as_str().unwrap());
    let blanks = bench.get(&walk).await.good()["blanks"].to_string();
    assert!(blanks.contains("space.den.walls.left.length"), "{blanks}");
}

#[tokio::test]
async fn a_blank_job_with_a_length_that_does_not_read_is_refused_at_its_field() {
    let bench = Bench::new().await;
    let new = json!({
        "from": "blank", "name": "Quay Row", "room": "Den", "units": "metric",
        "lengths": ["4.2 m", "wide", "", ""],
    });
    let says = bench.post("/api/jobs", new).await.bad(422);
    assert_eq!(says["at"], json!("space.den.walls.right.length"));
}

#[tokio::test]
async fn a_bad_job_file_is_refused_with_all_its_slips_at_their_lines() {
    let bench = Bench::new().await;
    let text = "format = 1\n[job]\nname = \"x\"\nnam = 1\n[survey]\nby = \"nose\"\n";
    let says = bench
        .post("/api/jobs", json!({ "from": "text", "text": text }))
        .await
        .bad(422);
    let lines: Vec<u64> = (says["problems"].as_array().unwrap().iter())
        .map(|problem| problem["line"].as_u64().unwrap())
        .collect();
    assert_eq!(lines, [4, 6], "{says}");
    assert_eq!(bench.get("/api/jobs").await.good(), json!([]));
}

#[tokio::test]
async fn a_job_file_is_taken_as_it_is_and_other_bytes_are_not() {
    let bench = Bench::new().await;
    let text = include_str!("../../../../jobs/l-shaped.toml");
    let file = |bytes: &'static [u8]| request(Method::POST, "/api/import", Body::from(bytes));
    let id = bench.send(file(text.as_bytes())).await.good();
    let path = format!("/api/jobs/{}/file", id["id"].as_str().unwrap());
    assert_eq!(bench.get(&path).await.bytes, text);
    bench.send(file(b"\xff\xfe")).await.bad(422);
    bench.send(file(b"PK\x03\x04 but no bundle")).await.bad(422);
}

#[tokio::test]
async fn a_bundle_brings_a_job_with_its_history() {
    let (bench, job) = Bench::with_flat().await;
    let renamed = json!({
        "op": "a", "base": 1, "edits": [{ "at": "job.name", "set": "Quay Row" }],
    });
    bench
        .post(&format!("/api/jobs/{job}/edits"), renamed)
        .await
        .good();
    let bundle = bench.get(&format!("/api/jobs/{job}/bundle")).await;
    assert_eq!(bundle.headers[header::CONTENT_TYPE], "application/zip");
    let other = Bench::new().await;
    let taken = other.send_file("/api/import", bundle.bytes).await.good();
    let path = format!("/api/jobs/{}", taken["id"].as_str().unwrap());
    assert_eq!(other.get(&path).await.good()["name"], json!("Quay Row"));
    let history = other.get(&format!("{path}/history")).await.good();
    assert!(history.as_array().unwrap().len() >= 2, "{history}");
}
