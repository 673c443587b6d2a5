//! Are the finders' answers given, and can they be used?

use super::*;

#[tokio::test]
async fn each_finder_answers_for_a_space_and_names_one_that_is_not_there() {
    let (bench, job) = Bench::with_flat().await;
    let path = format!("/api/jobs/{job}");
    let space = bench.get(&path).await.good()["spaces"][0]["id"].clone();
    let space = space.as_str().unwrap();
    for (finder, list) in [
        ("projector-place", "projectors"),
        ("largest-picture", "pictures"),
        ("display-place", "displays"),
        ("loudspeaker-place", "loudspeakers"),
        ("layout-places", "zones"),
    ] {
        let found = bench
            .get(&format!("{path}/spaces/{space}/find/{finder}"))
            .await
            .good();
        assert_eq!(found["space"], json!(space));
        assert!(found[list].is_array(), "{finder}");
        bench
            .get(&format!("{path}/spaces/attic/find/{finder}"))
            .await
            .bad(404);
    }
}

#[tokio::test]
async fn a_point_of_a_surface_says_what_stops_a_loudspeaker_there() {
    let bench = Bench::new().await;
    let id = bench
        .post("/api/jobs", json!({ "from": "demo" }))
        .await
        .good()["id"]
        .clone();
    let path = format!("/api/jobs/{}", id.as_str().unwrap());
    let job = bench.get(&path).await.good();
    let spaces = job["spaces"].as_array().unwrap();
    let mut asked = 0;
    for space in spaces.iter().map(|space| space["id"].as_str().unwrap()) {
        let find = format!("{path}/spaces/{space}/find");
        let found = bench.get(&format!("{find}/loudspeaker-place")).await.good();
        for one in found["loudspeakers"].as_array().unwrap() {
            let Some(spot) = one["spot"].as_object() else {
                continue;
            };
            let at = |x: f64, y: f64| {
                let (item, surface) = (
                    one["item"].as_str().unwrap(),
                    spot["surface"].as_str().unwrap(),
                );
                format!("{find}/loudspeaker-at?item={item}&surface={surface}&x={x}&y={y}")
            };
            let place = [&spot["at"][0], &spot["at"][1]].map(|part| part.as_f64().unwrap());
            let here = bench.get(&at(place[0], place[1])).await.good();
            assert_eq!(here["is_allowed"], spot["is_allowed"], "{here}");
            assert_ne!(here["says"], json!(""));
            let off = bench.get(&at(1e3, 1e3)).await.good();
            assert_eq!(off["is_allowed"], json!(false));
            bench.get(&at(1e9, 0.0)).await.bad(422);
            asked += 1;
        }
        bench
            .get(&format!(
                "{find}/loudspeaker-at?item=nobody&surface=floor&x=0&y=0"
            ))
            .await
            .bad(404);
    }
    assert!(asked > 0);
}

#[tokio::test]
async fn a_space_tells_its_levels_by_octave_and_what_a_change_makes_of_them() {
    let bench = Bench::new().await;
    let id = bench
        .post("/api/jobs", json!({ "from": "demo" }))
        .await
        .good()["id"]
        .clone();
    let path = format!("/api/jobs/{}", id.as_str().unwrap());
    let job = bench.get(&path).await.good();
    let base = job["revision"].clone();
    for space in job["spaces"].as_array().unwrap() {
        let sound = format!("{path}/spaces/{}/sound", space["id"].as_str().unwrap());
        let told = bench.get(&sound).await.good();
        for octave in told["octaves"].as_array().unwrap() {
            let levels = octave["level_db"].as_array().unwrap();
            assert_eq!(levels.len(), told["cells"].as_array().unwrap().len());
            assert!(levels.iter().all(|level| level.as_f64().unwrap() <= 0.0));
        }
        let changed = bench
            .post(&sound, json!({ "base": base, "edits": [] }))
            .await
            .good();
        assert_eq!(changed, told);
    }
    bench
        .get(&format!("{path}/spaces/attic-nobody/sound"))
        .await
        .bad(404);
}
