//! Is wrong wiring refused in clear words with nothing lost, and are a cable's ways told?

use super::*;

/// Two boxes with ports, and a cable between them.
fn wired() -> Value {
    json!([
        { "at": "kit.device", "set": [{ "id": "box-b1", "port": [
            { "id": "out", "kind": "video", "direction": "out" },
            { "id": "in", "kind": "video", "direction": "in", "count": 2 },
        ] }] },
        { "at": "kit.cable", "set": [{ "id": "lead-v1", "carries": "video" }] },
        { "at": "item", "set": [{ "id": "first", "is": "box-b1" }, { "id": "second", "is": "box-b1" }] },
        { "at": "cable", "set": [
            { "id": "V1", "kind": "lead-v1", "from": "first.out", "to": "second.in-1" },
        ] },
    ])
}

#[tokio::test]
async fn what_is_refused_leaves_the_job_as_it_was() {
    let bench = Bench::new().await;
    let begun = json!({
        "from": "blank", "name": "Quay Row", "room": "Den",
        "lengths": ["5 m", "4 m", "5 m", "4 m"], "height": "2.4 m", "units": "metric",
    });
    let job = bench.post("/api/jobs", begun).await.good()["id"].clone();
    let path = format!("/api/jobs/{}", job.as_str().unwrap());
    let edits = format!("{path}/edits");
    let first = json!({ "op": "kit", "base": 1, "edits": wired() });
    let saved = bench.post(&edits, first).await.good();
    let base = saved["revision"].clone();
    let before = bench.get(&path).await.good();
    let lead = |id: &str, from: &str, to: &str| json!({ "id": id, "kind": "lead-v1", "from": from, "to": to });
    let wall = before["document"]["space"][0]["walls"][0]["id"].clone();
    let studs = |spacing: &str| {
        let set = json!([{ "of": wall, "framing": "stud", "spacing": spacing }]);
        let space = before["document"]["space"][0]["id"].as_str().unwrap();
        (format!("space.{space}.construction"), set)
    };
    let cable = |id: &str, set: Value| (format!("cable.{id}"), set);
    let wrong = [
        (
            cable("V2", lead("V2", "second.out", "first.in-3")),
            "no port",
            "`first.in-2`",
        ),
        (
            cable("V2", lead("V2", "second", "second.in-1")),
            "is taken by cable `V1`",
            "`second.in-2`",
        ),
        (
            cable("V2", lead("V2", "second.out", "first.in-1")),
            "comes back to where it started",
            "never back",
        ),
        (studs("20 m"), "can't meet wall", "below the wall's"),
        (studs("16 mm"), "leave no bay", "the middle of one"),
    ];
    for (number, ((at, set), message, hint)) in wrong.into_iter().enumerate() {
        let asked = json!({ "op": format!("wrong-{number}"), "base": base, "edits": [{ "at": at, "set": set }] });
        let said = bench.post(&edits, asked).await.bad(422);
        let words = said.to_string();
        assert!(words.contains(message), "{words}");
        assert!(words.contains(hint), "{words}");
        let after = bench.get(&path).await.good();
        assert_eq!(after["document"], before["document"], "{message}");
        assert_eq!(after["revision"], base, "{message}");
    }
}

#[tokio::test]
async fn a_cable_tells_its_way_and_one_that_is_not_there_is_named() {
    let bench = Bench::new().await;
    let text = include_str!("../../../../jobs/harbour-lane-settled.toml");
    let begun = json!({ "from": "text", "text": text });
    let job = bench.post("/api/jobs", begun).await.good()["id"].clone();
    let path = format!("/api/jobs/{}", job.as_str().unwrap());
    let document = bench.get(&path).await.good()["document"].clone();
    let cables = document["cable"].as_array().unwrap();
    let mut others = 0;
    for cable in cables {
        let id = cable["id"].as_str().unwrap();
        let way = bench.get(&format!("{path}/cables/{id}/way")).await.good();
        assert_eq!(way["cable"], json!(id));
        if way["other"]["edits"]
            .as_array()
            .is_some_and(|edits| !edits.is_empty())
        {
            others += 1;
        }
    }
    assert!(others > 0, "some cable of the house has another way");
    let conduits = bench.get(&format!("{path}/conduits")).await.good();
    assert!(conduits["conduits"].is_array());
    let wiring = bench.get(&format!("{path}/wiring")).await.good();
    for part in ["racks", "circuits", "buttons", "network", "cut_outs"] {
        let is_there = wiring[part].as_array().is_some_and(|all| !all.is_empty());
        assert!(is_there, "{part}: {}", wiring[part]);
    }
    assert!(wiring["diagram"]["drawn"]["things"].is_array());
    bench.get("/api/jobs/nobody/wiring").await.bad(404);
    bench
        .get(&format!("{path}/cables/nobody/way"))
        .await
        .bad(404);
}
