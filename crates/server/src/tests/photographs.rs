//! Are photographs kept, shown and taken out, and other files refused?

use super::*;

/// One grey pixel.
const PNG: &[u8] = &[
    0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A, 0, 0, 0, 0x0D, 0x49, 0x48, 0x44, 0x52, 0, 0, 0,
    1, 0, 0, 0, 1, 8, 0, 0, 0, 0, 0x3A, 0x7E, 0x9B, 0x55, 0, 0, 0, 0x0A, 0x49, 0x44, 0x41, 0x54,
    0x78, 0x9C, 0x63, 0x68, 0, 0, 0, 0x82, 0, 0x81, 0x77, 0xCD, 0x72, 0xB6, 0, 0, 0, 0, 0x49, 0x45,
    0x4E, 0x44, 0xAE, 0x42, 0x60, 0x82,
];

#[tokio::test]
async fn a_photograph_is_kept_shown_and_taken_out() {
    let (bench, job) = Bench::with_flat().await;
    let path = format!("/api/jobs/{job}/photographs");
    let add = format!("{path}?op=a&pinned=space.main.walls.party&caption=Behind%20the%20board");
    let added = bench.send_file(&add, PNG).await;
    assert_eq!(added.status, 201);
    let added = added.good();
    assert_eq!((&added["width"], &added["height"]), (&json!(1), &json!(1)));
    assert_eq!(added["caption"], json!("Behind the board"));
    assert_eq!(bench.get(&path).await.good(), json!([added]));
    let hash = added["hash"].as_str().unwrap();
    let shown = bench.get(&format!("/api/photographs/{hash}")).await;
    assert_eq!(shown.headers[header::CONTENT_TYPE], "image/jpeg");
    assert!(shown.bytes.starts_with(&[0xFF, 0xD8]));
    let one = format!("{path}/{hash}");
    assert_eq!(bench.delete(&one).await.status, 204);
    assert_eq!(bench.get(&path).await.good(), json!([]));
    bench.delete(&one).await.bad(404);
}

#[tokio::test]
async fn what_is_no_picture_is_refused() {
    let (bench, job) = Bench::with_flat().await;
    let path = format!("/api/jobs/{job}/photographs");
    bench
        .send_file(&format!("{path}?op=a"), "<svg onload=alert(1)>")
        .await
        .bad(422);
    bench.send_file(&path, PNG).await.bad(400);
    bench.get("/api/photographs/none").await.bad(404);
    bench
        .get("/api/photographs/..%2f..%2fetc%2fpasswd")
        .await
        .bad(404);
}

#[test]
fn a_photograph_follows_its_wall_to_another_name_and_back() {
    on_both(async |bench| {
        let job = bench.begin_flat().await;
        let path = format!("/api/jobs/{job}");
        let pinned = async || -> Vec<String> {
            let listed = bench.get(&format!("{path}/photographs")).await.good();
            let of = |one: &Value| one["pinned"].as_str().unwrap().to_owned();
            listed.as_array().unwrap().iter().map(of).collect()
        };
        let add = format!("{path}/photographs?op=b&pinned=space.main.walls.party");
        assert_eq!(bench.send_file(&add, PNG).await.status, 201);
        let rename = json!({ "op": "c", "base": 1, "edits": [
            { "at": "space.main.walls.party.id", "set": "neighbour" },
        ] });
        bench.post(&format!("{path}/edits"), rename).await.good();
        // One that is taken of the renamed wall, and one of the room.
        let add = format!("{path}/photographs?op=d&pinned=space.main.walls.neighbour");
        assert_eq!(bench.send_file(&add, PNG).await.status, 201);
        let add = format!("{path}/photographs?op=e&pinned=space.main");
        assert_eq!(bench.send_file(&add, PNG).await.status, 201);
        let [new, old] = ["neighbour", "party"].map(|name| format!("space.main.walls.{name}"));
        let room = "space.main".to_owned();
        assert_eq!(pinned().await, [new.clone(), new, room.clone()]);
        bench
            .post(&format!("{path}/undo"), json!({ "op": "f" }))
            .await
            .good();
        assert_eq!(pinned().await, [old.clone(), old, room]);
    });
}
