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
