//! Are rooms drawn and walked as saved, and as changed?

use super::*;

async fn flat() -> (Bench, String, String) {
    let (bench, job) = Bench::with_flat().await;
    let path = format!("/api/jobs/{job}");
    let space = bench.get(&path).await.good()["spaces"][0]["id"].clone();
    let space = format!("{path}/spaces/{}", space.as_str().unwrap());
    (bench, path, space)
}

#[tokio::test]
async fn a_body_is_moved_in_a_copy_and_then_for_good() {
    let (bench, path, space) = flat().await;
    let scene = bench.get(&format!("{space}/scene")).await.good();
    let bodies = scene["bodies"].as_array().unwrap();
    let on_wall = |body: &&Value| body["moves"] == json!("wall") && !body["on_wall"].is_null();
    let body = bodies
        .iter()
        .find(on_wall)
        .expect("something hangs on a wall");
    let at = |key: &str| body["on_wall"][key].as_f64().unwrap();
    let along_m = (at("left") + at("right")) / 2.0 + 0.1;
    let height_m = (at("bottom") + at("top")) / 2.0;
    let moved = json!({
        "of": body["id"], "wall": body["wall"], "along_m": along_m, "height_m": height_m,
    });
    let change = json!({ "base": 1, "moves": [moved] });
    let copy = bench
        .post(&format!("{space}/scene"), change.clone())
        .await
        .good();
    let of = |scene: &Value| {
        let mut bodies = scene["bodies"].as_array().unwrap().iter();
        bodies.find(|one| one["id"] == body["id"]).unwrap()["on_wall"]["left"]
            .as_f64()
            .unwrap()
    };
    assert!(
        (of(&copy) - of(&scene) - 0.1).abs() < 0.002,
        "{} {}",
        of(&copy),
        of(&scene)
    );
    let unsaved = bench.get(&format!("{space}/scene")).await.good();
    assert_eq!(of(&unsaved), of(&scene));
    let mut saved = change;
    saved["op"] = json!("a");
    let saved = bench.post(&format!("{path}/edits"), saved).await.good();
    assert_eq!(saved["revision"], json!(2));
    let after = bench.get(&format!("{space}/scene")).await.good();
    assert_eq!(of(&after), of(&copy));
}

#[tokio::test]
async fn a_walk_lists_walls_and_a_changed_copy_has_fewer_blanks() {
    let (bench, _, space) = flat().await;
    let walk = bench.get(&format!("{space}/walk")).await.good();
    assert!(walk["wall_strip"].as_array().unwrap().len() > 2);
    let change = json!({ "base": 1, "edits": [] });
    let same = bench.post(&format!("{space}/walk"), change).await.good();
    assert_eq!(walk, same);
}

#[tokio::test]
async fn a_space_or_body_that_is_not_there_is_told() {
    let (bench, path, space) = flat().await;
    bench
        .get(&format!("{path}/spaces/attic/scene"))
        .await
        .bad(404);
    bench
        .get(&format!("{path}/spaces/attic/walk"))
        .await
        .bad(404);
    let moved = json!({ "of": "item:nothing", "x": 1.0, "y": 1.0 });
    bench
        .post(
            &format!("{space}/scene"),
            json!({ "base": 1, "moves": [moved] }),
        )
        .await
        .bad(422);
}

#[tokio::test]
async fn a_field_reads_without_being_saved() {
    let (bench, path, space) = flat().await;
    let walk = bench.get(&format!("{space}/walk")).await.good();
    let fields = walk["fields"].as_array().unwrap();
    let field = fields
        .iter()
        .find(|field| field["kind"] == json!("length"))
        .unwrap();
    let typed = |text: &str| json!({ "at": field["at"], "text": text });
    let read = bench
        .post(&format!("{path}/field"), typed("3.5 m"))
        .await
        .good();
    assert_eq!(read["value"], json!(3.5));
    let says = bench
        .post(&format!("{path}/field"), typed("3.5 parsecs"))
        .await
        .bad(422);
    assert_eq!(says["at"], field["at"]);
    assert!(!says["accepted"].as_str().unwrap().is_empty());
    assert_eq!(bench.get(&path).await.good()["revision"], json!(1));
}
